"""The cut plan: which pieces come out of which bought stick, what is left over, and whether enough is bought.

    >>> boards = Piece(name="boards", stock="oak", length=Q(690, "mm"), count=14)
    >>> oak = StickOffer(name="oak 2.8 m", stock="oak", length=Q(2.8, "m"))
    >>> plan = cut_plan(pieces=[boards], offers=[oak], kerf=Q(3, "mm"))
    >>> [(stick.times.magnitude, stick.pieces) for stick in plan.sticks]
    [(3.0, '4 boards'), (1.0, '2 boards')]

The working is in `kit.stock_cuts`, the search in `kit.stick_cuts`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Annotated, Any, Literal

from kit.calculator import calculator, result, row
from kit.checks import Check, at_most, does_not_apply, open_check
from kit.handed import Piece, Purchase
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text
from kit.nominal import each_of_few, nominal
from kit.quantities import Q, Quantity, unit
from kit.stick_cuts import CutSticks, Pattern
from kit.stock_cuts import Group, Pick, Planned, groups_of, left_of, planned, sums_of

__all__ = ["CutPlan", "CutStick", "StickCut", "StickOffer", "StockCuts", "cut_plan"]

Search = Literal["quick", "thorough"]
_MM = unit("mm")


@row
class StickOffer:
    """A length in which a stock can be had, besides the one on the buy list."""

    name: Annotated[str, Text("offer", "oak 2.8 m")]
    stock: Annotated[str, Text("stock, as the pieces name it", "lid and top timber")]
    length: Annotated[Quantity, In("m", "length of one stick", 2.8, ge=0.01, le=30, everyday=(1, 6),
                                   find="ask the yard", basis="data sheet")]
    price: Annotated[Quantity, In("money", "price of one stick, 0 where it is not known", 34, ge=0, le=1e5,
                                  resolution=0.01, find="ask the yard")] = Q(0, "money")
    end_cut: Annotated[Quantity, In("mm", "cut off each end before the first piece", 10, ge=0, le=1000, resolution=1,
                                    find="splits, paint, factory ends out of square")] = Q(0, "mm")


@result
class StickCut:
    """One piece in a stick."""

    name: Annotated[str, Says("piece")]
    start: Annotated[Quantity, Out("mm", "where it begins, from the end of the stick", resolution=1)]
    end: Annotated[Quantity, Out("mm", "where it ends", resolution=1)]


@result
class CutStick:
    """Sticks that are cut alike."""

    stock: Annotated[str, Says("stock")]
    times: Annotated[Quantity, Out("1", "sticks cut so")]
    length: Annotated[Quantity, Out("mm", "length of the stick", resolution=1)]
    pieces: Annotated[str, Says("pieces")]
    offcut: Annotated[Quantity, Out("mm", "offcut", rounding="down", resolution=1)]
    fate: Annotated[str, Says("what the offcut is")]
    cuts: Annotated[tuple[StickCut, ...], Rows("its pieces in order")]


@result
class StockCuts:
    """One stock: how many sticks, and how near to the best possible."""

    name: Annotated[str, Says("stock")]
    pieces: Annotated[Quantity, Out("1", "pieces")]
    sticks: Annotated[Quantity, Out("1", "sticks in the plan")]
    bought: Annotated[Quantity, Out("1", "sticks on the buy list", absent="none of this stock")]
    needed: Annotated[Quantity, Out("1", "sticks of that length it takes", absent="no such length")]
    used: Annotated[Quantity, Out("percent", "share of the sticks in the pieces", rounding="down")]
    usable: Annotated[Quantity, Out("m", "offcuts long enough to keep", resolution=0.01, rounding="down")]
    wasted: Annotated[Quantity, Out("m", "short offcuts, saw cuts and ends", resolution=0.01, rounding="up")]
    proof: Annotated[str, Says("how near it is to the best possible")]


@result
class CutPlan:
    """All sticks of the build."""

    sticks_needed: Annotated[Quantity, Out("1", "sticks in the plan")]
    pieces_cut: Annotated[Quantity, Out("1", "pieces cut from sticks")]
    price: Annotated[Quantity, Out("money", "price of the sticks in the plan", rounding="up")]
    saved: Annotated[Quantity, Out("money", "saved by the lengths on offer, against those on the buy list",
                                   rounding="down")]
    used: Annotated[Quantity, Out("percent", "share of the sticks in the pieces", rounding="down",
                                  absent="nothing is cut")]
    usable_offcuts: Annotated[Quantity, Out("m", "offcuts long enough to keep", resolution=0.01, rounding="down")]
    wasted: Annotated[Quantity, Out("m", "short offcuts, saw cuts and ends", resolution=0.01, rounding="up")]
    sticks: Annotated[tuple[CutStick, ...], Rows("sticks and their cuts")]
    by_stock: Annotated[tuple[StockCuts, ...], Rows("cuts by stock")]
    covered: Annotated[Check, Asks("the buy list covers the cut plan", "kit")]
    fits: Annotated[Check, Asks("every piece fits the longest stick", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice", "gilmore-gomory")
def cut_plan(
    *,
    pieces: Annotated[Sequence[Piece], Rows("pieces to cut", most=500)],
    bought: Annotated[Sequence[Purchase], Rows("what is on the buy list", most=2000)] = (),
    offers: Annotated[Sequence[StickOffer], Rows("other lengths on offer", most=50)] = (),
    kerf: Annotated[Quantity, In("mm", "width of a saw cut", 3, ge=0, le=20, everyday=(1, 5), resolution=0.1,
                                 find="cut an offcut part way and measure the slot", basis="measured")] = Q(3, "mm"),
    end_cut: Annotated[Quantity, In(
        "mm", "cut off each end of a stick on the buy list before the first piece", 0, ge=0, le=1000, resolution=1,
        find="0 where the pieces hold it already, or the ends are square and sound")] = Q(0, "mm"),
    keep: Annotated[Quantity, In("mm", "shortest offcut worth keeping", 400, ge=0, le=5000, resolution=1,
                                 find="what you have ever used again")] = Q(400, "mm"),
    search: Annotated[Search, Choice("how long to look for a cheaper plan", "quick",
                                     find="thorough takes seconds, and proves more")] = "quick",
) -> CutPlan:
    """The cheapest sticks from which all pieces can be cut, with saw cuts and end cuts.

    A set of pieces fits a stick when sum(length + kerf) <= stick - 2 end_cut +
    kerf; the least price over all such sets is an integer program.  The lengths
    are those on the buy list under the stock's name and those on offer; without
    prices the least length counts.  Knots, grain and the order of cutting are
    left out, and pieces with a width are not cut from sticks.  Of many samples
    only the middle one is planned.

    >>> joists = Piece(name="joists", stock="frame timber", length=Q(2110, "mm"), count=8)
    >>> rims = Piece(name="rims", stock="frame timber", length=Q(3000, "mm"), count=2)
    >>> four_eight = StickOffer(name="4.8 m", stock="frame timber", length=Q(4.8, "m"), price=Q(26.5, "money"))
    >>> plan = cut_plan(pieces=[joists, rims], offers=[four_eight])
    >>> print(f"{plan.sticks_needed.magnitude:.0f} sticks, {plan.price.magnitude:.0f} in money")
    6 sticks, 159 in money
    """
    groups = tuple(groups_of(pieces, bought, [(o.stock, o.length, o.price, o.end_cut) for o in offers], end_cut))

    def sums_for(pick: Pick) -> tuple[Any, ...]:
        done = [planned(group, pick, float(pick(kerf).m_as(_MM)), search) for group in groups]
        return sums_of(done, float(pick(keep).m_as(_MM)))

    sticks = [group.purchase for group in groups if group.purchase is not None]
    varying = [kerf, end_cut, keep, *(p.length for p in pieces),
               *(q for s in sticks for q in (s.pack, s.price, s.needed)),
               *(q for o in offers for q in (o.length, o.price, o.end_cut))]
    worked = [planned(group, nominal, float(nominal(kerf).m_as(_MM)), search) for group in groups]
    kept = float(nominal(keep).m_as(_MM))
    sums = each_of_few(sums_for, varying, sums_of(worked, kept))
    unsold, long = [g.name for g in groups if not g.sizes], [name for one in worked for name in one.too_long]
    return CutPlan(
        sticks_needed=Q(sums[0]), pieces_cut=Q(sums[1]), price=Q(sums[2], "money"), saved=Q(sums[3], "money"),
        used=Q(sums[4], "percent"), usable_offcuts=Q(sums[5], "mm").to("m"), wasted=Q(sums[6], "mm").to("m"),
        sticks=tuple(stick for one in worked for stick in _sticks(one, kept)),
        by_stock=tuple(_stock(one, kept) for one in worked if one.plan is not None),
        covered=_covered(Q(sums[7]), groups, unsold, [one.name for one in worked if one.short > 0]),
        fits=_fits(Q(sums[8]), groups, long),
        notes=_notes(worked),
    )


def _sticks(one: Planned, keep: float) -> Iterator[CutStick]:
    if one.plan is None:
        return
    fullest = sorted(Counter(one.plan.sticks).items(), key=lambda entry: (left_of(one, *entry[0]), entry[0]))
    for (size, pattern), times in fullest:
        left = left_of(one, size, pattern)
        yield CutStick(
            stock=_plain(one.name), times=Q(float(times)), length=Q(one.sizes[size][0], "mm"),
            pieces=", ".join(f"{n} {_plain(p.name)}" for n, p in zip(pattern, one.pieces, strict=True) if n),
            offcut=Q(left, "mm"), fate="keep" if left >= keep and left > 0 else "waste" if left > 0 else "none",
            cuts=tuple(_cuts(one, size, pattern)),
        )


def _cuts(one: Planned, size: int, pattern: Pattern) -> Iterator[StickCut]:
    """Longest first, so that an error of measuring falls on the short ones."""
    at = one.sizes[size][2]
    for n in sorted(range(len(pattern)), key=lambda n: -one.lengths[n]):
        for _ in range(pattern[n]):
            yield StickCut(name=_plain(one.pieces[n].name), start=Q(at, "mm"), end=Q(at + one.lengths[n], "mm"))
            at += one.lengths[n] + one.kerf


def _stock(one: Planned, keep: float) -> StockCuts:
    sums = sums_of([one], keep)
    assert one.plan is not None
    return StockCuts(
        name=_plain(one.name), pieces=Q(sums[1]), sticks=Q(sums[0]), bought=Q(one.bought), needed=Q(one.needed),
        used=Q(sums[4], "percent"), usable=Q(sums[5], "mm").to("m"), wasted=Q(sums[6], "mm").to("m"),
        proof=_proof(one.plan, one.priced, len(one.sizes)),
    )


def _proof(plan: CutSticks, priced: bool, sizes: int) -> str:
    what = "fewer sticks" if sizes == 1 else "less money" if priced else "less length"
    if plan.is_best:
        return f"proven: no plan takes {what}"
    gap = 100 * (plan.cost / plan.bound - 1)
    return f"within {max(gap, 0.1):.1f} % of the best possible; a thorough search may prove more"


def _plain(name: str) -> str:
    """A name without the stage that handed it on."""
    return name.rpartition(": ")[2]


def _covered(short: Quantity, groups: Sequence[Group], unsold: Sequence[str], lacking: Sequence[str]) -> Check:
    if not groups:
        return does_not_apply("nothing is cut from a stick")
    if unsold:
        return open_check(f"no length is known in which {_plain(unsold[0])} is sold; enter one among those on offer")
    if all(group.purchase is None for group in groups):
        return does_not_apply("none of these stocks stands on the buy list")
    names = f": {', '.join(map(_plain, lacking))}" if lacking else ""
    return at_most(short, Q(0.0), share=False, reason=f"sticks that the buy list lacks{names}")


def _fits(long: Quantity, groups: Sequence[Group], names: Sequence[str]) -> Check:
    if not any(group.sizes for group in groups):
        return does_not_apply("no stick to cut from is known")
    which = f": {', '.join(map(_plain, names))}" if names else ""
    return at_most(long, Q(0.0), share=False, reason=f"rows of pieces longer than any stick{which}")


def _notes(worked: Sequence[Planned]) -> tuple[str, ...]:
    mixed = [one.name for one in worked if not one.priced and any(price > 0 for _, price, _ in one.sizes)]
    return tuple(f"{_plain(name)}: not every length has a price, so the least length is sought" for name in mixed)
