"""Filling and emptying a vessel."""

from __future__ import annotations

import math

import pytest

from kit.quantities import Q
from kit.tank_time import fill_and_empty
from tests.one_by_one import agrees_one_by_one


def timed(**changed):
    """Ten litres, a quarter metre deep, a hole of 10 mm."""
    return fill_and_empty(**{"flow": Q(8, "L/min")} | changed)


def test_filling_takes_volume_over_flow():
    """Ten litres at eight a minute are 75 s; nothing never fills it."""
    assert timed().fills.m_as("s") == pytest.approx(75)
    assert timed(volume=Q(20, "L")).fills.m_as("s") == pytest.approx(150)
    assert math.isnan(timed(flow=Q(0, "L/min")).fills.magnitude)


def test_emptying_takes_twice_as_long_as_at_the_first_flow():
    """The flow falls evenly to nothing."""
    made = timed()

    assert made.first_flow.m_as("m^3/s") == pytest.approx(0.62 * math.pi / 4 * 1e-4 * math.sqrt(2 * 9.80665 * 0.25))
    assert made.empties.m_as("s") == pytest.approx(2 * 0.01 / made.first_flow.m_as("m^3/s"))
    assert made.half.m_as("s") == pytest.approx(made.empties.m_as("s") * (1 - math.sqrt(0.5)))


@pytest.mark.parametrize(("changed", "share"), [
    ({"hole": Q(20, "mm")}, 0.25), ({"coefficient": Q(0.31)}, 2), ({"volume": Q(20, "L")}, 2),
    ({"depth": Q(1, "m")}, 0.5),
])
def test_emptying_goes_with_volume_over_area_and_the_root_of_the_depth(changed, share):
    """Four times the hole, half the coefficient, twice the water, four times the depth."""
    assert timed(**changed).empties.m_as("s") == pytest.approx(share * timed().empties.m_as("s"))


def test_samples_of_a_vessel_agree_with_one_by_one():
    """Flow, depth and hole."""
    agrees_one_by_one(lambda pick: timed(
        flow=pick([0, 5, 8], "L/min"), depth=pick([100, 200, 300], "mm"), hole=pick([5, 8, 12], "mm")), 3)
