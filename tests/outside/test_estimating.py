"""Guesses, totals and the place held against printed figures."""

from __future__ import annotations

from statistics import NormalDist

import pytest

from kit.estimating import first_look, totals
from kit.handed import Task
from kit.lockers import way_out
from kit.quantities import Q
from kit.site import swimming_water

# Activities of a worked network: optimistic, most likely, pessimistic, and the expected time by the rule.
# Data: pmknowledgecenter.be, article on the program evaluation and review technique, table 1 (read).
NETWORK = {
    "A": ("2", "5", "8", "5"), "B": ("1", "2", "9", "3"), "C": ("0.25", "0.5", "3.75", "1"), "D": ("1", "1", "7", "2"),
    "E": ("1", "2", "9", "3"), "F": ("1", "3", "11", "4"),
}
# Along the longest path A-B-E-F: sum 15 and variance 1 + 16/9 + 16/9 + 25/9, by hand.
PATH = "ABEF"


def task(name: str, quick: float, likely: float, slow: float) -> Task:
    """An activity in hours, as the kit counts."""
    return Task(name=name, quick=Q(quick, "h"), likely=Q(likely, "h"), slow=Q(slow, "h"))


@pytest.mark.outside("totals", "pmknowledgecenter.be, review technique article, table 1: expected times 5 3 1 2 3 4")
@pytest.mark.parametrize("name", NETWORK)
def test_the_mean_of_three_estimates_is_the_printed_expected_time(name: str):
    """(a + 4 m + b)/6, printed as a whole number; the inputs are exact."""
    quick, likely, slow, expected = NETWORK[name]
    sums = totals(tasks=[task(name, *map(float, (quick, likely, slow)))], contingency=Q(0, "percent"))

    assert sums.hours.m_as("h") == pytest.approx(float(expected), abs=1e-9)


@pytest.mark.outside("totals", "pmknowledgecenter.be, review technique article, table 1: longest path A-B-E-F")
def test_means_and_variances_add_along_a_path():
    """15 in all; standard deviation the root of 7.3333, 2.7080."""
    rows = [task(name, *map(float, NETWORK[name][:3])) for name in PATH]
    sums = totals(tasks=rows, contingency=Q(0, "percent"), shared_error=Q(0, "percent"))

    assert sums.hours.m_as("h") == pytest.approx(15)
    assert sums.independent.m_as("h") == pytest.approx(2.7080, abs=5e-5)


@pytest.mark.outside("totals", "curioustab.com, set question: means 3 8 6, deviations 1 2 2, chance 0.84 of 20 or less")
def test_the_chance_to_keep_a_date_is_the_printed_one():
    """Mean 17, deviation 3, chance 0.84."""
    rows = [task(n, m - 3 * s, m, m + 3 * s) for n, m, s in (("a", 3, 1), ("b", 8, 2), ("c", 6, 2))]
    sums = totals(tasks=rows, contingency=Q(0, "percent"), shared_error=Q(0, "percent"))
    chance = NormalDist(sums.hours.m_as("h"), sums.independent.m_as("h")).cdf(20)

    assert sums.hours.m_as("h") == pytest.approx(17)
    assert sums.independent.m_as("h") == pytest.approx(3)
    assert chance == pytest.approx(0.84, abs=0.005)


@pytest.mark.outside("first_look", "BinSchUO 2008, Annex II, 15.03: 3.75 persons a square metre")
@pytest.mark.parametrize(("people", "passes"), [(15, True), (16, False)])
def test_the_densest_crowd_is_that_of_the_inland_passenger_rule(people: int, passes: bool):
    """On 4 square metres the rule reckons with 15 people, not with 16."""
    guess = first_look(length=Q(2, "m"), width=Q(2, "m"), people=people, mass=Q(300, "kg"), float_volume=Q(9000, "L"),
                       materials=Q(100, "money"))

    assert guess.roomy.passes is passes


@pytest.mark.outside("first_look", "OpenStax, College Physics 11.7: a hull of 1.00e5 m3 lifts 9.80e8 N")
def test_the_lift_of_the_book_s_hull_is_the_printed_weight_of_water():
    """1.00e5 m3 lift 9.80e8 N in the book; 100 000 L lift a thousandth, 9.80e5 N, to its three figures."""
    guess = first_look(length=Q(10, "m"), width=Q(10, "m"), people=1, mass=Q(1000, "kg"), float_volume=Q(100_000, "L"),
                       materials=Q(0, "money"), density=Q(1000, "kg/m^3"))

    assert guess.lift.m_as("kg") * 9.80 == pytest.approx(9.80e5, rel=0.0005)


@pytest.mark.outside("swimming_water", "American Red Cross, least depth for head-first entry 9 ft")
def test_nine_feet_are_deep_enough_and_eight_are_not():
    """The advice is 9 ft; public beaches mark depths under 8 ft with a sign (New York 6-2.16)."""
    nine, eight = (swimming_water(shallowest=Q(f"{feet} ft"), falls=Q(0, "m"), diving=True) for feet in (9, 8))

    assert nine.head_first.passes
    assert not eight.head_first.passes


@pytest.mark.outside("way_out", "Toy standard as printed at docs.cntd.ru/document/1200086022: 650 mm2, 150 mm, 50 N")
def test_a_locker_just_at_the_toy_standard_passes_and_just_short_of_it_fails():
    """Each printed limit is allowed exactly and refused a hundredth beyond."""
    def box(area: float, apart: float, push: float):
        return way_out(children=True, lid_force=Q(push, "N"), latch_force=Q(0, "N"), vents=2,
                       vent_area=Q(area, "mm^2"), apart=Q(apart, "mm"))

    at, short = box(650, 150, 50), box(649.99, 149.99, 50.01)
    names = ("vent_size", "vents_apart", "opens_from_inside")

    assert all(getattr(at, name).passes for name in names)
    assert not any(getattr(short, name).passes for name in names)
