"""Legs that share a load, and a leg lost."""

from __future__ import annotations

import numpy as np
import pytest

from kit.quantities import Q
from tests.mooring_cases import held, legs
from tests.one_by_one import agrees_one_by_one


def test_one_leg_takes_all():
    """Slack legs: the design pull is the whole load; tight legs: rest and half of it where that is more."""
    assert held(pull_high=Q(0, "N")).pull.m_as("N") == pytest.approx(1057)
    assert held(pull_high=Q(900, "N")).pull.m_as("N") == pytest.approx(900 + 1057 / 2)


def test_a_lost_leg_loads_its_neighbours_beyond_the_whole_load():
    """Two legs square to the weather are stretched to more than twice the load."""
    found = held()

    assert found.lost_times.m > 2
    assert found.lost_pull == max(case.lost_pull for case in found.cases)
    assert found.cases[0].lost_leg in ("leg 135", "leg 315")


def test_more_legs_make_a_lost_one_harmless():
    """With eight legs the neighbours stand 45 degrees off and share it."""
    many = held(legs=legs(tuple(range(0, 360, 45))), pull_high=Q(0, "N"), distance=Q(22.5, "m"))

    assert many.lost_times.m < 1


def test_a_stretchier_rope_eases_a_lost_leg_and_lets_it_drift_further():
    """Half the stiffness."""
    soft = held(stiffness=Q(33, "kN"))

    assert soft.lost_pull < held().lost_pull
    assert soft.drift > held().drift


def test_slack_lets_it_drift():
    """Anchors nearer."""
    assert held(distance=Q(21, "m")).drift > held().drift


def test_slack_in_a_neighbour_eases_the_pull_and_lengthens_the_drift():
    """With one neighbour a metre longer the raft swings out until its legs make a better angle."""
    unequal = held(legs=legs(longer=[0, 1, 0, 0]))

    assert unequal.cases[0].lost_pull < held().cases[0].lost_pull
    assert unequal.cases[0].drift > held().cases[0].drift


def test_three_legs_swing_a_long_way_when_one_parts():
    """Two legs 120 degrees apart let it go far off."""
    assert held(legs=legs((0, 120, 240))).drift > Q(8, "m")


def test_one_leg_has_no_neighbour():
    """Nothing else holds; it drifts off and the check of all sides covers nothing."""
    alone = held(legs=legs((90,)))

    assert alone.lost_pull.m == 0
    assert np.isnan(alone.drift.m)
    assert alone.held_all_round.verdict == "not covered"
    assert alone.cases[0].lost_leg == "nothing else holds"


@pytest.mark.parametrize(
    ("bearings", "gap", "verdict"),
    [
        ((45, 135, 225, 315), 90, "meets"),
        ((0, 120, 240), 120, "marginal"),
        ((0, 90, 180), 180, "fails"),
        ((350, 10, 180), 170, "fails"),
    ],
)
def test_the_greatest_gap_between_legs(bearings, gap, verdict):
    """Round the circle, past north."""
    found = held(legs=legs(bearings))

    assert found.gap.m_as("deg") == pytest.approx(gap)
    assert found.held_all_round.verdict == verdict


def test_room_around_it():
    """Nothing entered, enough, too little."""
    assert held().clear_of_shore.verdict == "does not apply"
    assert held(room=Q(15, "m")).clear_of_shore.verdict == "meets"
    assert held(room=Q(2, "m")).clear_of_shore.verdict == "fails"


def test_no_load_no_pull():
    """A calm day with slack legs."""
    calm = held(
        **dict.fromkeys(("wind_side", "wind_end", "wave_side", "wave_end"), Q(0, "N")),
        distance=Q(20, "m"),
        worst=Q(0, "N"),
        pull_high=Q(0, "N"),
    )

    assert calm.lost_pull.m_as("N") == pytest.approx(0, abs=1e-6)
    assert calm.lost_times.m == 0


def test_samples_with_bearings_and_loads():
    """Loads, distances, heights and bearings together."""
    agrees_one_by_one(
        lambda pick: held(
            legs=legs((pick([40, 45, 50], "deg").m, 135, 225, 315)),
            wind_side=pick([500, 910, 1500], "N"),
            distance=pick([22, 22.6, 22.9], "m"),
            high_height=pick([4, 4.59, 5], "m"),
            stiffness=pick([40, 67.5, 100], "kN"),
        ),
        3,
    )
