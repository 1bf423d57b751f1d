"""Cutting pieces from sticks at the least cost: one section of timber, several lengths on sale.

A kernel on plain numbers.  A *pattern* is a set of pieces cut from one stick;
it fits when sum a (l + k) <= L + k, with kerf k and L the length between the
end cuts, so that a piece flush with the end of the stick needs no cut.  The
least cost is an integer program over patterns, min c x with A x >= d; A holds
every pattern into which no further piece fits.  Where there are too many of
them for that, they are generated as they are asked for, by the dual prices of
the linear relaxation, which leaves a proven bound beside the plan.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

__all__ = ["CutSticks", "StickSize", "cut_sticks", "first_fit_decreasing", "maximal_patterns"]

Array: TypeAlias = NDArray[Any]
Pattern: TypeAlias = tuple[int, ...]

# Lengths within this share of one another are the same: a nanometre in a metre.
_NEAR = 1e-9
# Patterns looked at before a search by hand gives way to the solver.
_MOST_STEPS = 6000


@dataclass(frozen=True, slots=True)
class StickSize:
    """A length on sale: what is left of it between the end cuts, and what one costs."""

    usable: float
    cost: float


@dataclass(frozen=True, slots=True)
class CutSticks:
    """A plan: for each stick bought its size and how many of each piece it yields; its cost, and the proven bound."""

    sticks: tuple[tuple[int, Pattern], ...]
    cost: float
    bound: float

    @property
    def is_best(self) -> bool:
        """True when no plan can cost less."""
        return self.cost <= self.bound * (1 + _NEAR)


def cut_sticks(
    lengths: Sequence[float], counts: Sequence[int], sizes: Sequence[StickSize], kerf: float,
    *, most_patterns: int = 2000, most_nodes: int = 200,
) -> CutSticks:
    """The cheapest sticks from which all pieces can be cut.

    Every length must fit the longest size.  At most `most_patterns` patterns
    are listed before they are generated as needed, and at most `most_nodes`
    branches are searched; both are counts, so that a slow machine plans the
    same as a fast one.
    """
    best = min((_greedy(lengths, counts, sizes, kerf, only) for only in (None, *range(len(sizes)))),
               key=lambda plan: plan.cost)
    bound = _length_bound(lengths, counts, sizes, kerf)
    if best.cost > bound * (1 + _NEAR):
        patterns = list(maximal_patterns(lengths, counts, sizes, kerf, most_patterns))
        if len(patterns) > most_patterns:
            patterns, bound = _generated(lengths, counts, sizes, kerf, best)
            found, _ = _whole_numbers(patterns, counts, sizes, most_nodes)
        else:
            tried = _searched(patterns, lengths, counts, sizes, kerf, best)
            found, bound = tried or _whole_numbers(patterns, counts, sizes, most_nodes)
        if found is not None and found.cost < best.cost * (1 - _NEAR):
            best = found
    return CutSticks(best.sticks, best.cost, min(best.cost, _whole_cost(bound, sizes)))


def first_fit_decreasing(
    lengths: Sequence[float], counts: Sequence[int], usable: float, kerf: float
) -> list[Pattern]:
    """Each piece, longest first, into the first stick that still holds it."""
    order = sorted(range(len(lengths)), key=lambda i: -lengths[i])
    sticks: list[list[int]] = []
    left: list[float] = []
    for i in order:
        need = lengths[i] + kerf
        for _ in range(counts[i]):
            place = next((n for n, room in enumerate(left) if need <= room + _NEAR * usable), None)
            if place is None:
                sticks.append([0] * len(lengths))
                left.append(usable + kerf)
                place = len(sticks) - 1
            sticks[place][i] += 1
            left[place] -= need
    return [tuple(stick) for stick in sticks]


def _greedy(
    lengths: Sequence[float], counts: Sequence[int], sizes: Sequence[StickSize], kerf: float, only: int | None
) -> CutSticks:
    """First fit into one size, or into the longest; each stick is then bought in the cheapest size that holds it."""
    longest = max(range(len(sizes)), key=lambda n: sizes[n].usable)
    size = longest if only is None or sizes[only].usable * (1 + _NEAR) < max(lengths) else only
    made = []
    for pattern in first_fit_decreasing(lengths, counts, sizes[size].usable, kerf):
        used = _used(pattern, lengths, kerf)
        fits = [n for n, one in enumerate(sizes) if used <= one.usable * (1 + _NEAR)]
        made.append((min(fits, key=lambda n: (sizes[n].cost, sizes[n].usable)), pattern))
    return CutSticks(tuple(made), sum(sizes[n].cost for n, _ in made), 0.0)


def _used(pattern: Pattern, lengths: Sequence[float], kerf: float) -> float:
    """Length a pattern takes when its last piece is flush with the end."""
    return sum(n * (length + kerf) for n, length in zip(pattern, lengths, strict=True)) - kerf


def _length_bound(lengths: Sequence[float], counts: Sequence[int], sizes: Sequence[StickSize], kerf: float) -> float:
    """What the pieces would cost if they could be cut up at will; and two pieces over half a stick never share one."""
    total = sum(n * (length + kerf) for n, length in zip(counts, lengths, strict=True))
    by_length = total * min(one.cost / (one.usable + kerf) for one in sizes)
    half = (max(one.usable for one in sizes) + kerf) / 2
    alone = sum(n for n, length in zip(counts, lengths, strict=True) if length + kerf > half * (1 + _NEAR))
    return _whole_cost(max(by_length, alone * min(one.cost for one in sizes)), sizes)


def _whole_cost(bound: float, sizes: Sequence[StickSize]) -> float:
    """A bound raised to what whole sticks can cost: exact for one price, and for prices that are whole units."""
    costs = sorted({one.cost for one in sizes})
    if len(costs) == 1:
        return float(np.ceil(bound / costs[0] - _NEAR * max(1.0, bound / costs[0]))) * costs[0]
    units = np.array(costs) * 100
    if np.abs(units - np.round(units)).max() > 1e-6:
        return bound
    step = float(np.gcd.reduce(np.round(units).astype(int))) / 100
    return float(np.ceil(bound / step - 1e-7)) * step


def maximal_patterns(
    lengths: Sequence[float], counts: Sequence[int], sizes: Sequence[StickSize], kerf: float, most: int
) -> Iterator[tuple[int, Pattern]]:
    """Every pattern that has room for no further piece of those wanted, by size; stops after `most` and one more."""
    order = sorted(range(len(lengths)), key=lambda i: -lengths[i])
    needs = [lengths[i] + kerf for i in order]
    wants = [counts[i] for i in order]
    given = 0
    for size, one in enumerate(sizes):
        slack = _NEAR * one.usable
        for filled in _fillings(needs, wants, one.usable + kerf, slack):
            pattern = [0] * len(lengths)
            for place, n in zip(order, filled, strict=True):
                pattern[place] = n
            yield size, tuple(pattern)
            given += 1
            if given > most:
                return


def _fillings(needs: Sequence[float], wants: Sequence[int], room: float, slack: float) -> Iterator[list[int]]:
    """Counts of each piece, longest first, that leave no room for one more of any that is still wanted."""
    taken = [0] * len(needs)

    def fill(place: int, left: float, tightest: float) -> Iterator[list[int]]:
        # `tightest` is the shortest piece already passed over that would still be wanted.
        if place == len(needs):
            if left < tightest - slack and any(taken):
                yield list(taken)
            return
        fits = min(wants[place], int((left + slack) / needs[place]))
        for n in range(fits, -1, -1):
            taken[place] = n
            passed = tightest if n == wants[place] else min(tightest, needs[place])
            # What remains must be less than `passed` at the end; shorter pieces can still use some of it up.
            rest = sum(w * need for w, need in zip(wants[place + 1:], needs[place + 1:], strict=True))
            if left - n * needs[place] - rest < passed - slack:
                yield from fill(place + 1, left - n * needs[place], passed)
        taken[place] = 0

    yield from fill(0, room, float("inf"))


class _TooManyError(Exception):
    """A search has taken as many steps as it may."""


def _searched(
    patterns: Sequence[tuple[int, Pattern]], lengths: Sequence[float], counts: Sequence[int],
    sizes: Sequence[StickSize], kerf: float, start: CutSticks,
) -> tuple[CutSticks, float] | None:
    """The best plan by cutting the longest piece that is left in every way, or None when that takes too long.

    A few sticks are settled so in a millisecond or two, without waiting for the
    solver of integer programs to be loaded.
    """
    order = sorted(range(len(lengths)), key=lambda i: -lengths[i])
    rate = min(one.cost / (one.usable + kerf) for one in sizes)
    needs = [(length + kerf) * rate for length in lengths]
    best: list[Any] = [start.cost, start.sticks]
    seen: dict[Pattern, float] = {}
    steps = 0

    def go(left: Pattern, cost: float, cut: tuple[tuple[int, Pattern], ...]) -> None:
        nonlocal steps
        least = cost + _whole_cost(sum(n * need for n, need in zip(left, needs, strict=True)), sizes)
        if least >= best[0] * (1 - _NEAR) or seen.get(left, np.inf) <= cost:
            return
        seen[left] = cost
        longest = next((i for i in order if left[i]), None)
        if longest is None:
            best[0], best[1] = cost, cut
            return
        ways = {(size, tuple(map(min, pattern, left))) for size, pattern in patterns if pattern[longest]}
        steps += len(patterns)
        if steps > _MOST_STEPS:
            raise _TooManyError
        for size, taken in sorted(ways, key=lambda way: sizes[way[0]].cost - _worth(way[1], needs)):
            go(tuple(a - b for a, b in zip(left, taken, strict=True)), cost + sizes[size].cost, (*cut, (size, taken)))

    try:
        go(tuple(counts), 0.0, ())
    except (_TooManyError, RecursionError):
        return None
    return CutSticks(best[1], best[0], 0.0), best[0]


def _worth(pattern: Pattern, needs: Sequence[float]) -> float:
    return sum(n * need for n, need in zip(pattern, needs, strict=True))


def _whole_numbers(
    patterns: Sequence[tuple[int, Pattern]], counts: Sequence[int], sizes: Sequence[StickSize], most_nodes: int
) -> tuple[CutSticks | None, float]:
    """The integer program over the patterns given: the plan, if one was found, and the bound it proves."""
    from scipy.optimize import Bounds, LinearConstraint, milp  # slow to import, and needed only here

    costs = np.array([sizes[size].cost for size, _ in patterns])
    cuts = np.array([pattern for _, pattern in patterns], dtype=float).T
    found = milp(costs, constraints=LinearConstraint(cuts, lb=np.array(counts, dtype=float)),
                 integrality=np.ones(len(patterns), dtype=int), bounds=Bounds(0, np.inf),
                 options={"node_limit": most_nodes, "mip_rel_gap": 0.0})
    bound = float(found.mip_dual_bound) if found.mip_dual_bound is not None else 0.0
    if found.x is None:
        return None, bound
    times = np.round(found.x).astype(int)
    bought = [(size, list(pattern)) for (size, pattern), n in zip(patterns, times, strict=True) for _ in range(n)]
    _drop_surplus(bought, counts)
    sticks = tuple((size, tuple(pattern)) for size, pattern in bought if any(pattern))
    return CutSticks(sticks, sum(sizes[size].cost for size, _ in sticks), 0.0), bound


def _drop_surplus(bought: list[tuple[int, list[int]]], counts: Sequence[int]) -> None:
    """Leave out pieces cut too often, from the emptiest stick first, so that what is left over lies in one piece."""
    surplus = [sum(pattern[i] for _, pattern in bought) - n for i, n in enumerate(counts)]
    for _, pattern in sorted(bought, key=lambda stick: sum(stick[1])):
        for i, over in enumerate(surplus):
            out = min(over, pattern[i])
            pattern[i] -= out
            surplus[i] -= out


def _generated(
    lengths: Sequence[float], counts: Sequence[int], sizes: Sequence[StickSize], kerf: float, start: CutSticks
) -> tuple[list[tuple[int, Pattern]], float]:
    """Patterns worth having by the dual prices of the linear relaxation, and the bound of that relaxation."""
    from scipy.optimize import linprog

    known = list(Counter(start.sticks))
    bound = 0.0
    for _ in range(60 + 4 * len(lengths)):
        costs = np.array([sizes[size].cost for size, _ in known])
        cuts = np.array([pattern for _, pattern in known], dtype=float).T
        relaxed = linprog(costs, A_ub=-cuts, b_ub=-np.array(counts, dtype=float), method="highs")
        prices = np.maximum(-relaxed.ineqlin.marginals, 0.0)
        offers = [(size, *_best_filling(prices, lengths, counts, one.usable, kerf)) for size, one in enumerate(sizes)]
        # Scaled so that no pattern is worth more than it costs, the prices are feasible for the dual: a bound.
        excess = max(worth / sizes[size].cost for size, worth, _ in offers)
        bound = max(bound, float(prices @ np.array(counts, dtype=float)) / max(excess, 1.0))
        new = [(size, pattern) for size, worth, pattern in offers if worth > sizes[size].cost * (1 + 1e-7)]
        if not new:
            break
        known += new
    return known, bound * (1 - 1e-9)


def _best_filling(
    prices: Array, lengths: Sequence[float], counts: Sequence[int], usable: float, kerf: float
) -> tuple[float, Pattern]:
    """The most valuable pattern that fits one stick: branch and bound, dearest per length first."""
    needs = np.array(lengths) + kerf
    order = [int(i) for i in np.argsort(-prices / needs) if prices[i] > 0]
    values = [float(prices[i]) for i in order]
    sizes = [float(needs[i]) for i in order]
    wants = [counts[i] for i in order]
    slack = _NEAR * usable
    taken = [0] * len(order)
    best: list[Any] = [0.0, [0] * len(order)]

    def fill(place: int, left: float, worth: float) -> None:
        if worth > best[0] + 1e-12:
            best[0], best[1] = worth, list(taken)
        if place == len(order) or worth + values[place] / sizes[place] * (left + slack) <= best[0] + 1e-12:
            return
        for n in range(min(wants[place], int((left + slack) / sizes[place])), -1, -1):
            taken[place] = n
            fill(place + 1, left - n * sizes[place], worth + n * values[place])
        taken[place] = 0

    fill(0, usable + kerf, 0.0)
    pattern = [0] * len(lengths)
    for i, n in zip(order, best[1], strict=True):
        pattern[i] = n
    return best[0], tuple(pattern)
