"""Pieces grouped by stock, and each group planned: the working behind the cut plan, in millimetres.

The lengths of a stock are the one under its name on the buy list and those on
offer.  Where every length has a price the least money is sought, else the
least length.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from kit.handed import Piece, Purchase
from kit.quantities import Quantity, same_kind, unit
from kit.stick_cuts import CutSticks, Pattern, StickSize, cut_sticks

__all__ = ["Group", "Offer", "Pick", "Planned", "groups_of", "left_of", "planned", "sums_of"]

_MM = unit("mm")
# Patterns listed and branches searched: what a change of one entry may take, and what a reader may wait for.
_SEARCH: dict[str, dict[str, int]] = {
    "quick": {"most_patterns": 400, "most_nodes": 50}, "thorough": {"most_patterns": 20_000, "most_nodes": 5_000},
}
# Takes the value of the moment out of a quantity that may be an array of samples.
Pick: TypeAlias = Callable[[Quantity], Quantity]
# A length on offer: the stock it belongs to, length, price, and what is cut off each end.
Offer: TypeAlias = tuple[str, Quantity, Quantity, Quantity]


@dataclass(frozen=True, slots=True)
class Group:
    """Pieces of one stock, and the lengths in which it is sold: length, price, and what is cut off each end."""

    name: str
    pieces: tuple[Piece, ...]
    sizes: tuple[tuple[Quantity, Quantity, Quantity], ...]
    purchase: Purchase | None


@dataclass(frozen=True, slots=True)
class Planned:
    """A group worked out in millimetres.

    `bought` and `needed` are sticks of the length on the buy list, nan where
    the stock does not stand on it; `unlisted` pieces are longer than that.
    """

    name: str
    pieces: tuple[Piece, ...]
    lengths: tuple[float, ...]
    sizes: tuple[tuple[float, float, float], ...]
    kerf: float
    plan: CutSticks | None
    too_long: tuple[str, ...]
    bought: float
    needed: float
    unlisted: int
    priced: bool
    saved: float

    @property
    def short(self) -> float:
        """Sticks that the buy list lacks; a row of pieces that its length does not hold counts as one."""
        lacking = self.needed - self.bought
        return self.unlisted + (max(0.0, lacking) if np.isfinite(lacking) else 0.0)


def groups_of(
    pieces: Sequence[Piece], bought: Sequence[Purchase], offers: Sequence[Offer], end_cut: Quantity
) -> Iterator[Group]:
    """Pieces without a width by their stock, with the lengths in which it can be had."""
    sold = {one.name: one for one in bought if same_kind(one.pack.units, _MM)}
    named: dict[str, list[Piece]] = {}
    for piece in pieces:
        if piece.width is None:
            # A stage's own stock comes first: two stages may call different timber by one name.
            own = f"{piece.name.rpartition(': ')[0]}: {piece.stock}"
            named.setdefault(own if own in sold else piece.stock, []).append(piece)
    for name, group in named.items():
        purchase = sold.get(name)
        listed = [] if purchase is None else [(purchase.pack, purchase.price, end_cut)]
        extra = [(length, price, end) for stock, length, price, end in offers if stock in (name, group[0].stock)]
        yield Group(name, tuple(group), (*listed, *extra), purchase)


def planned(group: Group, pick: Pick, kerf: float, search: str) -> Planned:
    """The cheapest sticks for a group, and how many of the length on the buy list it takes."""
    sizes = tuple(
        (float(pick(length).m_as(_MM)), float(pick(price).magnitude), float(pick(end).m_as(_MM)))
        for length, price, end in group.sizes)
    lengths = tuple(float(pick(one.length).m_as(_MM)) for one in group.pieces)
    # A count may be sampled with the sizes it follows from; sticks are cut from whole pieces.
    counts = [round(float(np.nanmean(one.count))) for one in group.pieces]
    priced = bool(sizes) and all(price > 0 for _, price, _ in sizes)
    fits = _fitting(lengths, sizes)
    plan = _best(lengths, counts, fits, sizes, kerf, search, priced)
    bought, needed, unlisted, saved = np.nan, np.nan, 0, 0.0
    if group.purchase is not None:
        bought = float(np.ceil(float(pick(group.purchase.needed).m_as(_MM)) / sizes[0][0] - 1e-9))
        listed = _fitting(lengths, sizes[:1])
        alone = plan if len(sizes) == 1 else _best(lengths, counts, listed, sizes[:1], kerf, search, priced)
        needed, unlisted = float(len(alone.sticks)) if alone else 0.0, len(lengths) - len(listed)
        if priced and alone and plan and listed == fits:
            saved = max(0.0, alone.cost - plan.cost)
    too_long = tuple(one.name for n, one in enumerate(group.pieces) if n not in fits) if sizes else ()
    return Planned(
        group.name, group.pieces, lengths, sizes, kerf, plan, too_long, bought, needed, unlisted, priced, saved)


def _fitting(lengths: Sequence[float], sizes: Sequence[tuple[float, float, float]]) -> list[int]:
    """Which pieces the longest of these sticks holds."""
    longest = max((length - 2 * end for length, _, end in sizes), default=0.0) * (1 + 1e-9)
    return [n for n, length in enumerate(lengths) if length <= longest]


def _best(
    lengths: Sequence[float], counts: Sequence[int], which: Sequence[int],
    sizes: Sequence[tuple[float, float, float]], kerf: float, search: str, priced: bool,
) -> CutSticks | None:
    """The kernel's plan for the pieces that fit, told over all pieces; None where none fits."""
    if not which:
        return None
    there = [(n, StickSize(length - 2 * end, price if priced else length))
             for n, (length, price, end) in enumerate(sizes) if length > 2 * end]
    made = cut_sticks(
        [lengths[n] for n in which], [counts[n] for n in which], [one for _, one in there], kerf, **_SEARCH[search])
    told = []
    for size, pattern in made.sticks:
        cut = dict(zip(which, pattern, strict=True))
        told.append((there[size][0], tuple(cut.get(n, 0) for n in range(len(lengths)))))
    return CutSticks(tuple(told), made.cost, made.bound)


def left_of(one: Planned, size: int, pattern: Pattern) -> float:
    """The offcut of one stick; a piece that ends within a saw cut of the end leaves none."""
    length, _, end = one.sizes[size]
    used = sum(n * (piece + one.kerf) for n, piece in zip(pattern, one.lengths, strict=True))
    return max(0.0, length - 2 * end - used)


def sums_of(done: Sequence[Planned], keep: float) -> tuple[float, ...]:
    """Sticks, pieces, price, saving, share used, offcuts to keep, waste, sticks lacking, rows of pieces too long."""
    sticks = [(one, size, pattern) for one in done if one.plan for size, pattern in one.plan.sticks]
    bought = sum(one.sizes[size][0] for one, size, _ in sticks)
    inside = sum(n * length for one, _, p in sticks for n, length in zip(p, one.lengths, strict=True))
    usable = sum(left for left in (left_of(*stick) for stick in sticks) if left >= keep and left > 0)
    return (
        float(len(sticks)), float(sum(sum(p) for _, _, p in sticks)),
        sum(one.sizes[size][1] for one, size, _ in sticks), sum(one.saved for one in done),
        100 * inside / bought if bought else np.nan, usable, bought - inside - usable,
        sum(one.short for one in done), float(sum(len(one.too_long) for one in done)),
    )
