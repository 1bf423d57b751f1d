"""The cut plan against published optima, and against trying every way to cut a few pieces."""

from __future__ import annotations

from itertools import combinations_with_replacement

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.cut_plan import StickOffer, cut_plan
from kit.handed import Piece
from kit.quantities import Q
from kit.stick_cuts import StickSize, cut_sticks, maximal_patterns

# Length x count. Chvatal, Linear Programming (1983), p. 195, as used in a published notebook on cutting stock.
CHVATAL = {45: 97, 36: 610, 31: 395, 14: 211}
# The example of an encyclopedia's article on the problem (data from memory): 308 ways to cut, 73 sticks of 5600 mm.
PAPER = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}
# A small benchmark of a constraint language, its data read.
BENCHMARK = {7: 2, 5: 2, 3: 4}


def plan_of(wanted, stock, *, kerf=0.0):
    """The plan for pieces in millimetres from one length without a price."""
    pieces = [
        Piece(name=f"{length} mm", stock="timber", length=Q(length, "mm"), count=n) for length, n in wanted.items()
    ]
    offers = [StickOffer(name=f"{length} mm", stock="timber", length=Q(length, "mm")) for length in stock]
    return cut_plan(pieces=pieces, offers=offers, kerf=Q(kerf, "mm"))


def tenfold(wanted):
    """A problem without units, in tens of millimetres."""
    return {10 * length: n for length, n in wanted.items()}


@pytest.mark.parametrize(
    ("wanted", "stock", "kerf", "best"),
    [
        (tenfold(CHVATAL), 1000, 0, 453),
        (PAPER, 5600, 0, 73),
        (tenfold(BENCHMARK), 100, 0, 4),
        # Worked by hand: three sticks are the least by length (30 of 30), and first-fit-decreasing takes four.
        (tenfold({5: 2, 4: 2, 3: 4}), 100, 0, 3),
        # The saw cut decides: four pieces of 600 mm fill 2400 mm only if the saw takes nothing.
        ({600: 8}, 2400, 0, 2),
        ({600: 8}, 2400, 3, 3),
        ({1000: 6, 750: 8}, 3000, 0, 4),
        ({1000: 6, 750: 8}, 3000, 3.2, 5),
    ],
)
@pytest.mark.outside("cut_plan", "Chvatal (1983) p. 195 and other published cutting-stock instances, optimum")
def test_the_fewest_sticks_of_published_instances_are_found_and_proven(wanted, stock, kerf, best):
    """Exactly the optimum, and the plan says that it is."""
    plan = plan_of(wanted, [stock], kerf=kerf)

    assert plan.sticks_needed == Q(best)
    assert plan.by_stock[0].proof == "proven: no plan takes fewer sticks"


@pytest.mark.outside("cut_plan", "Kantor, University of Notre Dame CBE40455, notebook 05.07, cutting stock")
def test_two_lengths_of_stock_leave_no_offcut():
    """15 m and 10 m sticks for 7 m x 3, 6 m x 2, 4 m x 6 and 3 m: 60 m in all, nothing left over."""
    plan = plan_of({7000: 3, 6000: 2, 4000: 6, 3000: 1}, [15_000, 10_000])

    assert sum((s.times * s.length for s in plan.sticks), Q(0, "m")).m_as("m") == pytest.approx(60)
    assert plan.wasted.m_as("m") == pytest.approx(0, abs=1e-9)
    assert plan.usable_offcuts.m_as("m") == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("wanted", "stock", "every"), [(CHVATAL, 100, 37), (PAPER, 5600, 308)])
@pytest.mark.outside("cut_plan", "Chvatal (1983): 37 patterns; encyclopedia example: 308 patterns")
def test_patterns_are_those_counted_in_print(wanted, stock, every):
    """Print counts every set that fits; the kernel lists those of them that have room for no further piece."""
    fit = [
        bars
        for n in range(1, 1 + stock // min(wanted))
        for bars in combinations_with_replacement(sorted(wanted), n)
        if sum(bars) <= stock
    ]
    full = {bars for bars in fit if stock - sum(bars) < min(wanted)}
    lengths, counts = list(wanted), list(wanted.values())
    listed = [
        tuple(sorted(b for b, n in zip(lengths, pattern, strict=True) for _ in range(n)))
        for _, pattern in maximal_patterns(lengths, counts, [StickSize(stock, 1)], 0, 1000)
    ]

    assert len(fit) == every
    assert sorted(listed) == sorted(full)


def cheapest_by_trying(pieces, sizes, kerf):
    """The least cost by putting the pieces one after another into every stick that is begun, or into a new one."""
    order = sorted(pieces, reverse=True)
    best = [float("inf")]

    def put(place, sticks, cost):
        if cost >= best[0]:
            return
        if place == len(order):
            best[0] = cost
            return
        seen = set()
        for n, room in enumerate(sticks):
            if room not in seen and order[place] + kerf <= room:
                seen.add(room)
                put(place + 1, [*sticks[:n], room - order[place] - kerf, *sticks[n + 1 :]], cost)
        for size, price in sizes:
            if order[place] <= size:
                put(place + 1, [*sticks, size - order[place]], cost + price)

    put(0, [], 0)
    return best[0]


@settings(max_examples=60, deadline=None)
@given(
    pieces=st.lists(st.integers(2, 12), min_size=1, max_size=7),
    kerf=st.integers(0, 1),
    sizes=st.lists(st.tuples(st.integers(12, 20), st.integers(3, 9)), min_size=1, max_size=3),
)
@pytest.mark.outside("cut_plan", "every way to cut up to seven pieces, tried one by one")
def test_no_way_of_cutting_costs_less(pieces, kerf, sizes):
    """Against a search that knows nothing of patterns, with prices that do not follow the lengths."""
    counted = {length: pieces.count(length) for length in pieces}
    sold = [StickSize(float(length), float(price)) for length, price in sizes]
    made = cut_sticks(list(counted), list(counted.values()), sold, float(kerf))

    assert made.cost == pytest.approx(cheapest_by_trying(pieces, sizes, kerf))
    assert made.is_best


@pytest.mark.parametrize(("wanted", "stock", "best"), [(CHVATAL, 100, 453), (PAPER, 5600, 73)])
@pytest.mark.outside("cut_plan", "the same optima with patterns generated by their prices")
def test_generated_patterns_reach_the_same_optimum(wanted, stock, best):
    """With no pattern listed beforehand: the bound of the relaxation and the plan meet."""
    made = cut_sticks(list(wanted), list(wanted.values()), [StickSize(stock, 1.0)], 0.0, most_patterns=0)

    assert (made.cost, made.bound) == (best, best)
