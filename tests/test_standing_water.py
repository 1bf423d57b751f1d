"""Whether a spray of lake water is fit to stand under."""

from __future__ import annotations

import math

import pytest

from kit.calculator import InputError
from kit.quantities import Q
from kit.standing_water import shower_water
from tests.one_by_one import agrees_one_by_one


def sprayed(**changed):
    """A coarse jet of cool lake water with everything done."""
    given = {
        "source": "lake or stream", "warmest": Q(18, "degC"), "spray": "coarse jet", "finest": Q(6.5, "mm"),
        "volume": Q(1, "L"), "flow": Q(10, "L/min"), "planned": Q(30, "s"), "bloom": True, "notice": True,
    }
    return shower_water(**given | changed)


CHECKS = ("cool", "coarse", "flushed", "watched", "told")


def test_everything_done_meets_everything():
    """Five checks."""
    assert {name: getattr(sprayed(), name).verdict for name in CHECKS} == dict.fromkeys(CHECKS, "meets")


@pytest.mark.parametrize(("changed", "name", "verdict"), [
    ({"warmest": Q(22, "degC")}, "cool", "fails"),
    ({"warmest": Q(22, "degC"), "limit": Q(25, "degC")}, "cool", "meets"),
    ({"spray": "fine mist"}, "coarse", "fails"), ({"finest": Q(0.5, "mm")}, "coarse", "fails"),
    ({"finest": Q(0.5, "mm"), "coarsest_mist": Q(0.3, "mm")}, "coarse", "meets"),
    ({"planned": Q(10, "s")}, "flushed", "fails"), ({"planned": None}, "flushed", "open"),
    ({"bloom": False}, "watched", "fails"), ({"bloom": None}, "watched", "open"),
    ({"notice": False}, "told", "fails"), ({"notice": None}, "told", "open"),
    ({"source": "mains"}, "watched", "does not apply"), ({"source": "mains"}, "told", "does not apply"),
])
def test_each_thing_left_undone_turns_its_own_check(changed, name, verdict):
    """And no other."""
    made = sprayed(**changed)

    assert getattr(made, name).verdict == verdict
    others = [other for other in CHECKS if other != name and "source" not in changed]
    assert all(getattr(made, other).verdict == "meets" for other in others)


def test_a_flush_changes_the_water_in_the_pipes_three_times():
    """Three litres at ten a minute are 18 s."""
    made = sprayed()

    assert made.flush_water.m_as("L") == pytest.approx(3)
    assert made.flush.m_as("s") == pytest.approx(18)
    assert sprayed(turns=Q(6)).flush.m_as("s") == pytest.approx(36)
    assert math.isnan(sprayed(flow=Q(0, "L/min")).flush.magnitude)
    assert sprayed(flow=Q(0, "L/min")).flushed.verdict == "fails"


def test_the_limit_of_temperature_says_that_it_was_not_verified():
    """It stands beside the verdict."""
    assert "not verified" in sprayed().cool.reason


def test_lake_water_is_never_said_to_be_a_drink():
    """Whatever is done about it."""
    assert "never a drink" in sprayed().says
    assert "never a drink" in sprayed(source="rain tank").says


def test_a_limit_above_25_degrees_is_refused():
    """Nobody may set it where growth is certain."""
    with pytest.raises(InputError) as refused:
        sprayed(limit=Q(30, "degC"))

    assert refused.value.faults == {"limit": "30 degC is outside 10 to 25 degC, such as 20 degC"}


def test_samples_of_shower_water_agree_with_one_by_one():
    """Temperature, hole, volume and flow."""
    agrees_one_by_one(lambda pick: sprayed(
        warmest=pick([18, 22, 10], "degC"), finest=pick([6, 0.5, 2], "mm"), volume=pick([1, 2, 3], "L"),
        flow=pick([10, 0, 5], "L/min")), 3)
