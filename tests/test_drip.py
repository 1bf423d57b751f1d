"""A line of drip emitters."""

from __future__ import annotations

import math

import pytest

from kit.drip import drip_line
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one


def dripping(**changed):
    """Twenty emitters of 4 L/h at 10 m on a level line, 10 m at its start."""
    return drip_line(**{"emitters": 20} | changed)


def test_at_the_rated_head_the_first_emitter_gives_its_rated_flow():
    """And all together a little less than twenty of them."""
    made = dripping()

    assert made.first.m_as("L/h") == pytest.approx(4)
    assert 79 < made.total.m_as("L/h") < 80
    assert made.last < made.first


def test_a_plain_emitter_goes_with_the_root_of_the_head_and_a_compensating_one_not_at_all():
    """A quarter of the head: half, a quarter, and the same."""
    quarter = {"head": Q(2.5, "m")}

    assert dripping(**quarter).first.m_as("L/h") == pytest.approx(2)
    assert dripping(**quarter, exponent=Q(1)).first.m_as("L/h") == pytest.approx(1)
    assert dripping(**quarter, exponent=Q(0)).first.m_as("L/h") == pytest.approx(4)


def test_rising_ground_leaves_the_last_less_and_falling_ground_more():
    """Two metres of ten."""
    up, down = dripping(rise=Q(2, "m")), dripping(rise=Q(-2, "m"))

    assert up.last.m_as("L/h") == pytest.approx(4 * math.sqrt((10 - up.lost.m_as("m") - 2) / 10))
    assert down.last > down.first
    assert up.even.verdict == "fails" and down.even.passes and dripping().even.passes


@pytest.mark.parametrize("changed", [
    {"emitters": 60}, {"spacing": Q(1, "m")}, {"bore": Q(10, "mm")}, {"rated_flow": Q(8, "L/h")},
    {"temperature": Q(1, "degC")}, {"rated_head": Q(5, "m")},
])
def test_more_flow_over_more_narrow_pipe_loses_more(changed):
    """And the last emitter gives less of the first."""
    assert dripping(**changed).lost > dripping().lost
    assert dripping(**changed).uniformity < dripping().uniformity


def test_water_a_day_is_flow_by_hours():
    """Half an hour."""
    made = dripping(hours=Q(0.5, "h"))

    assert made.a_day.m_as("L") == pytest.approx(made.total.m_as("L/h") / 2)


def test_one_emitter_has_the_whole_line_behind_it():
    """The factor of many outlets is nearly one for one."""
    one = dripping(emitters=1, spacing=Q(100, "m"), rated_flow=Q(500, "L/h"), exponent=Q(0))
    factor = 1 / 2.75 + 1 / 2 + 0.75**0.5 / 6

    assert factor == pytest.approx(1, abs=0.01)
    assert one.total.m_as("L/h") == pytest.approx(500)


def test_a_line_without_emitters_is_none():
    """Nothing flows and nothing is judged."""
    none = dripping(emitters=0)

    assert none.total.m_as("L/h") == 0
    assert none.lost.m_as("m") == 0
    assert math.isnan(none.first.magnitude)
    assert none.even.verdict == "does not apply"


def test_samples_of_a_drip_line_agree_with_one_by_one():
    """Head, bore, exponent and rise."""
    agrees_one_by_one(lambda pick: dripping(
        emitters=200, head=pick([10, 3, 0], "m"), bore=pick([13, 8, 10], "mm"), exponent=pick([0.5, 1, 0.1], ""),
        rise=pick([0, 1, -1], "m")), 3)


def test_samples_of_the_water_alone_agree_with_one_by_one():
    """Only temperature and roughness vary: the bounds of the root are single numbers then."""
    agrees_one_by_one(lambda pick: dripping(temperature=pick([5, 15, 25], "degC"), roughness=pick([1, 2, 3], "um")), 3)
