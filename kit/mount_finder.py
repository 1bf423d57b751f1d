"""The search itself: candidates, what rejects each, the force to order, and how far all may be off."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from kit.mount_kernel import LOWER, UPPER, Array, Candidates, Demands, bounds, clears, cut_circles, extremes
from kit.mount_rows import FoundMount, MountSearch, Rejected, Spot, StrutSize
from kit.quantities import Q
from kit.struts import nominal

__all__ = ["Finder", "square"]

LISTED, OF_A_SIZE = 12, 3
# Candidates that are looked at closely, each with its mounts drilled off in eight ways.
CLOSE = 600
# Places of the lid mount down and up, and how the strut's spare length is shared between its two ends.
DEEP, SLACKS = 5, 9
MOST = 420_000


class Finder:
    """One search: its candidates, what rejects them, and what is left."""

    def __init__(self, d: Demands, sizes: Sequence[StrutSize], law: str, margin: float, drilling: float) -> None:
        self.d, self.sizes, self.gas, self.margin, self.drilling = d, sizes, law == "gas", margin, drilling
        self.reasons: dict[str, int] = {}
        self.extended, self.stroke, self.weakest, self.strongest, self.step, self.ratio = (
            np.array([nominal(getattr(size, name).to(unit)) for size in sizes])
            for name, unit in (
                ("extended", "m"),
                ("stroke", "m"),
                ("weakest", "N"),
                ("strongest", "N"),
                ("step", "N"),
                ("force_ratio", ""),
            )
        )
        self.looked_at = 0

    def candidates(self, lid: list[float]) -> Candidates:
        """Every lid mount with every strut and spare length, both places of the body mount, in whole millimetres."""
        along = int(np.clip(MOST // (len(self.sizes) * DEEP * 2 * SLACKS**2), 4, 40))
        p: Array = np.unique(np.round(np.linspace(lid[0], lid[1], along), 3))
        q: Array = np.unique(np.round(np.linspace(lid[2], lid[3], DEEP), 3))
        # What few lid mounts or struts leave free goes into a finer division of the spare length.
        parts = int(np.clip(np.sqrt(MOST / (2 * len(p) * len(q) * len(self.sizes))), SLACKS, 4 * SLACKS))
        spare = np.linspace(0.0, 0.5, parts) ** 1.5
        grid = np.meshgrid(p, q, np.arange(len(self.sizes)), spare, spare, indexing="ij")
        p, q, row, first, last = (part.ravel() for part in grid)
        row = row.astype(int)
        usable = np.maximum(self.stroke[row] - 2 * self.margin - 0.003, 0.0)
        # A millimetre and a half beyond the margin, which rounding may take away again.
        shut = self.extended[row] - self.stroke[row] + self.margin + 0.0015 + first * usable
        opened = self.extended[row] - self.margin - 0.0015 - last * usable
        x, y = cut_circles(p, q, self.d.opening, shut, opened)
        self.looked_at = x.size
        made = Candidates(np.tile(p, 2), np.tile(q, 2), x.ravel(), y.ravel(), np.tile(row, 2))
        made = self._drop(made, np.isfinite(made.x), "the strut's change of length does not fit the lid mount's way")
        return Candidates(made.p, made.q, np.round(made.x, 3), np.round(made.y, 3), made.row)

    def _drop(self, c: Candidates, keep: Array, why: str) -> Candidates:
        lost = int(np.count_nonzero(~keep))
        if lost:
            self.reasons[why] = self.reasons.get(why, 0) + lost
        return c.only(keep)

    def sift(self, c: Candidates, body: list[float], boxes: Array, room: float) -> tuple[Candidates, Array, Array]:
        """Those that keep every limit, with the force to order and by how much it may be off, drilled as marked."""
        inside = (c.x >= body[0] - 1e-9) & (c.x <= body[1] + 1e-9) & (c.y >= body[2] - 1e-9) & (c.y <= body[3] + 1e-9)
        c = self._drop(c, inside, "the body mount lies outside the space given for it")
        shortest, _ = extremes(c, self.d.opening)
        c = self._drop(c, shortest - self._shortest(c) >= self.margin, "the strut is pushed to its end on the way")
        _, longest = extremes(c, self.d.opening)
        c = self._drop(c, self.extended[c.row] - longest >= self.margin, "the strut would be what stops the lid")
        c = self._drop(c, clears(c, self.d.opening, boxes, room), "the strut passes through a place to keep clear")
        return self._forces(c)

    def _shortest(self, c: Candidates) -> Array:
        pushed_in: Array = self.extended[c.row] - self.stroke[c.row]
        return pushed_in

    def _bounds(self, c: Candidates) -> tuple[Array, Array]:
        return bounds(c, self.d, (self.extended[c.row], self.stroke[c.row], self.ratio[c.row], self.gas))

    def _forces(self, c: Candidates) -> tuple[Candidates, Array, Array]:
        low, high = self._bounds(c)
        least, most = low.max(axis=0), high.min(axis=0)
        for one, words in enumerate(LOWER):
            for other, against in enumerate(UPPER):
                torn = (least > most) & (low.argmax(axis=0) == one) & (high.argmin(axis=0) == other)
                if count := int(np.count_nonzero(torn)):
                    self.reasons[f"the force needed {words} is too much {against}"] = count
        keep = least <= most
        c, least, most = c.only(keep), least[keep], most[keep]
        force = self._sold(c, least, most)
        off = _off(force, least, most)
        # A hundredth is kept back: the sweep here is in steps, and a lid knows every angle.
        good = off >= 0.01
        c = self._drop(c, good, "no force that is sold lies between what it needs and what it may be")
        return c, force[good], off[good]

    def _sold(self, c: Candidates, least: Array, most: Array) -> Array:
        """The force that is sold and lies nearest to the middle of what would do."""
        weakest, strongest, step = self.weakest[c.row], self.strongest[c.row], self.step[c.row]
        # In the middle it may be off by the same either way; without an upper bound twice the least will do.
        least = np.maximum(least, 0.0)
        wanted = (least + np.minimum(most, 3 * least)) / 2
        steps = np.floor((strongest - weakest) / step + 1e-9)
        force: Array = weakest + np.clip(np.round((wanted - weakest) / step), 0, np.maximum(steps, 0)) * step
        return force

    def report(self, kept: tuple[Candidates, Array, Array]) -> MountSearch:
        c, force, off = kept
        near = np.argsort(-off, kind="stable")[:CLOSE]
        drilled = self._drilled(c.only(near), force[near])
        rank = np.argsort(-drilled, kind="stable")
        rows = tuple(
            self._found(c, force, near[place], drilled[place], n)
            for n, place in enumerate(_apart(c.only(near), rank))
            if drilled[place] > 0
        )
        reasons = sorted(self.reasons.items(), key=lambda item: -item[1])
        return MountSearch(
            looked_at=f"{self.looked_at} candidates, of which {len(c)} keep every limit",
            found=rows,
            rejected=tuple(Rejected(name=name, count=Q(float(count))) for name, count in reasons),
            best=_best(rows),
            main_reason=reasons[0][0] if reasons else "none was rejected",
            spots=tuple(self._spot(c, place, off, n) for n, place in enumerate(_spots(c, off))),
        )

    def _spot(self, c: Candidates, place: int, off: Array, rank: int) -> Spot:
        return Spot(
            name=f"{rank + 1}: {self.sizes[int(c.row[place])].name}",
            off=Q(100 * min(float(off[place]), 10.0), "percent"),
            lid_along=Q(1000 * float(c.p[place]), "mm"),
            lid_above=Q(1000 * float(c.q[place]), "mm"),
            body_along=Q(1000 * float(c.x[place]), "mm"),
            body_above=Q(1000 * float(c.y[place]), "mm"),
        )

    def _drilled(self, c: Candidates, force: Array) -> Array:
        """By how much the force may be off when either mount is drilled off its mark, at worst."""
        worst = np.full(len(c), np.inf)
        e = self.drilling
        for lid, body in [((0.0, 0.0), (0.0, 0.0))] + [
            (((e * dx, e * dy), (0.0, 0.0)) if on_lid else ((0.0, 0.0), (e * dx, e * dy)))
            for on_lid in (True, False)
            for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))
        ]:
            moved = c.moved(lid, body)
            low, high = self._bounds(moved)
            shortest, longest = extremes(moved, self.d.opening)
            reaches = (shortest >= self._shortest(moved)) & (longest <= self.extended[moved.row])
            off = _off(force, low.max(axis=0), high.min(axis=0))
            worst = np.minimum(worst, np.where(reaches, off, -1.0))
        capped: Array = np.minimum(worst, 10.0)
        return capped

    def _found(self, c: Candidates, force: Array, place: int, off: float, rank: int) -> FoundMount:
        one = c.only(np.array([place]))
        low, high = self._bounds(one)
        shortest, longest = extremes(one, self.d.opening)
        size = self.sizes[int(one.row[0])]
        limit = min(float(high.min()), 1e5)
        return FoundMount(
            name=f"{rank + 1}: {size.name}",
            force=Q(float(force[place]), "N"),
            off=Q(100 * float(off), "percent"),
            lid_along=Q(1000 * float(one.p[0]), "mm"),
            lid_above=Q(1000 * float(one.q[0]), "mm"),
            body_along=Q(1000 * float(one.x[0]), "mm"),
            body_above=Q(1000 * float(one.y[0]), "mm"),
            weakest=Q(max(float(low.max()), 0.0), "N"),
            strongest=Q(limit, "N"),
            left_in=Q(1000 * float((shortest - self._shortest(one))[0]), "mm"),
            left_out=Q(1000 * float((self.extended[one.row] - longest)[0]), "mm"),
        )


def _off(force: Array, least: Array, most: Array) -> Array:
    """The share by which a force may be off either way before it leaves its bounds."""
    share: Array = np.minimum(1 - np.maximum(least, 0.0) / force, most / force - 1)
    return share


def _apart(c: Candidates, rank: Array) -> list[int]:
    """The best of each neighbourhood, a few of each strut, so that the list holds real alternatives."""
    seen: set[tuple[int, ...]] = set()
    of_size: dict[int, int] = {}
    chosen: list[int] = []
    for place in rank:
        key = (int(c.row[place]), *(round(float(part[place]) / 0.04) for part in (c.p, c.x, c.y)))
        if key not in seen and of_size.get(key[0], 0) < OF_A_SIZE:
            seen.add(key)
            of_size[key[0]] = of_size.get(key[0], 0) + 1
            chosen.append(int(place))
        if len(chosen) == LISTED:
            break
    return chosen


def square(metres: Any) -> Any:
    """The square centimetre a length falls in; a length on the border, to the last bit, goes to the next."""
    return np.floor(metres * 100 + 0.5 + 1e-6)


def _spots(c: Candidates, off: Array) -> Array:
    """The best candidate of each square of ten millimetres for the body mount."""
    order = np.argsort(-off, kind="stable")
    cells = np.stack([square(c.x[order]), square(c.y[order])], axis=1)
    _, first = np.unique(cells, axis=0, return_index=True)
    best: Array = order[np.sort(first)]
    return best


def _best(rows: Sequence[FoundMount]) -> str:
    if not rows:
        return "nothing keeps every limit: widen the space for the mounts, raise the hand's limit or add struts"
    one = rows[0]
    p, q, x, y = (f"{q.m_as('mm'):.0f} mm" for q in (one.lid_along, one.lid_above, one.body_along, one.body_above))
    return (
        f"strut {one.name.partition(': ')[2]} of {one.force.m_as('N'):.0f} N; lid mount {p} along, {q} above; "
        f"body mount {x} along, {y} above"
    )
