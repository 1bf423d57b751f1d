"""A mooring leg at rest and in a storm: every term moved, and the laws it keeps."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from kit.calculator import InputError
from kit.catenary import HangingLeg, hanging_lift, shape, taut_pull
from kit.quantities import Q
from tests.mooring_cases import at_rest, in_storm, legs
from tests.one_by_one import agrees_one_by_one

# -- the kernel --------------------------------------------------------------------------------------


@pytest.mark.parametrize("pull", [5.0, 50.0, 500.0, 5000.0])
def test_tension_is_pull_and_weight_together(pull):
    """All hanging: hypot(H, w l) at the top is H at the bottom plus w times the height, for one kind of chain."""
    leg = HangingLeg(0.0, 12.0, 0.0, 12.0, 1e9)
    lift = hanging_lift(leg, pull, 4.0)
    foot = max(float(lift) - 144.0, 0.0)

    assert np.hypot(pull, lift) - np.hypot(pull, foot) == pytest.approx(12 * 4.0, rel=1e-9)


def test_a_leg_is_at_least_as_long_as_the_straight_line():
    """At every pull, less what it stretches."""
    leg = HangingLeg(20.0, 3.0, 0.11, 12.0, 67_500.0)
    for pull in (10.0, 100.0, 1000.0):
        lift = hanging_lift(leg, pull, 4.59)
        x, z = shape(leg, pull, lift, np.array(1.0))

        assert np.hypot(x, z) <= 23 + np.hypot(pull, lift) * 20 / 67_500 + 1e-9
        assert z == pytest.approx(4.59, abs=1e-9)


def test_a_leg_without_weight_is_straight():
    """Its slope is that of the line from anchor to cleat."""
    leg = HangingLeg(20.0, 3.0, 0.0, 1e-9, 1e12)
    lift = hanging_lift(leg, 1000.0, 4.59)

    assert lift / 1000 == pytest.approx(4.59 / np.sqrt(23**2 - 4.59**2), rel=1e-6)


def test_a_leg_that_cannot_reach_has_no_lift():
    """nan, not a number that looks like one."""
    assert np.isnan(hanging_lift(HangingLeg(2.0, 1.0, 0.1, 12.0, 1e5), 100.0, 4.0))


def test_a_slack_leg_sags_and_a_tight_one_stretches():
    """Far too long: T from the sag alone; too short: from the stretch alone."""
    leg = HangingLeg(20.0, 3.0, 0.11, 12.0, 67_500.0)

    slack = taut_pull(leg, np.array(22.5))
    assert slack == pytest.approx(np.sqrt(leg.spread_of_weight / (2 * 0.5)), rel=0.02)
    assert taut_pull(leg, np.array(23.5)) == pytest.approx(67_500 * 0.5 / 20, rel=0.01)


def test_the_spread_of_weight_is_what_integrating_gives():
    """The integral of the transverse pull about its mean, by small steps."""
    leg = HangingLeg(20.0, 3.0, 0.5, 12.0, 67_500.0)
    s = (np.arange(230_000) + 0.5) / 10_000
    pull = np.where(s < 3, 12 * s, 36 + 0.5 * (s - 3))

    assert leg.spread_of_weight == pytest.approx(((pull - pull.mean()) ** 2).mean() * 23, rel=1e-6)


# -- at rest -----------------------------------------------------------------------------------------


def test_scope_counts_the_cleat_and_high_water():
    """Length over depth, rise and freeboard together."""
    assert at_rest().scope.m_as("") == pytest.approx(23 / (3.5 + 0.6 + 0.49))
    assert at_rest().scope_low.m_as("") == pytest.approx(23 / (3.5 - 0.3 + 0.49))


def test_the_check_of_scope_turns_with_the_scope_wanted():
    """5.01 meets 5 and fails 6."""
    assert at_rest().long_enough.verdict == "meets"
    assert at_rest(wanted=Q(6)).long_enough.verdict == "fails"


def test_rising_water_tightens_and_falling_water_slackens():
    """Slack goes down with the level; the pull goes up."""
    leg = at_rest()

    assert leg.slack_low > leg.slack_high
    assert leg.pull_flood > leg.pull_high > Q(145, "N")
    assert leg.pull_down < leg.pull_down_high < leg.pull_down_flood


def test_more_preload_puts_the_anchor_further_off_and_pulls_down_more():
    """Also more legs pull down more."""
    slack, tight = at_rest(preload=Q(60, "N")), at_rest(preload=Q(300, "N"))

    assert tight.distance > slack.distance
    assert tight.pull_down > slack.pull_down
    assert at_rest(legs=legs((0, 120, 240))).pull_down.m_as("kg") == pytest.approx(
        0.75 * at_rest().pull_down.m_as("kg")
    )


def test_a_stretchier_rope_pulls_less_in_a_flood():
    """Half the stiffness, less than the pull."""
    assert at_rest(stretch=Q(16, "percent")).pull_flood < at_rest().pull_flood
    assert at_rest(stretch=Q(16, "percent")).stiffness.m_as("kN") == pytest.approx(27 / 5 / 0.16)


def test_a_rope_that_floats_weighs_nothing():
    """Polypropylene."""
    assert at_rest(fibre=Q(910, "kg/m^3")).rope_weight.m == 0


def test_the_flood_checks_turn():
    """A weak rope breaks, a full raft is pulled under."""
    assert at_rest().rides_flood.verdict == "meets"
    assert at_rest(working=Q(0.5, "kN")).rides_flood.verdict == "fails"
    assert at_rest(carries=Q(10, "kg")).stays_up.verdict == "fails"


def test_legs_shorter_than_the_depth_are_refused():
    """Both lengths are named."""
    with pytest.raises(InputError) as refused:
        at_rest(depth=Q(30, "m"))

    assert set(refused.value.faults) == {"rope", "chain"}
    assert refused.value.faults["rope"].startswith("the leg does not even reach the bottom in a flood")


def test_a_fall_below_the_bottom_is_refused():
    """Depth and fall are named."""
    with pytest.raises(InputError) as refused:
        at_rest(falls=Q(4, "m"))

    assert set(refused.value.faults) == {"depth", "falls"}


def test_samples_of_a_leg_at_rest():
    """Depths, lengths, stretch and preload together."""
    agrees_one_by_one(
        lambda pick: at_rest(
            depth=pick([3, 3.5, 4], "m"),
            rope=pick([19, 20, 25], "m"),
            stretch=pick([6, 8, 10], "percent"),
            preload=pick([100, 145, 200], "N"),
        ),
        3,
    )


# -- in a storm --------------------------------------------------------------------------------------


def test_more_chain_lowers_the_slope_at_the_anchor():
    """Heavier or longer; enough of it lies flat."""
    assert in_storm(chain=Q(6, "m"), rope=Q(17, "m")).anchor_angle < in_storm().anchor_angle
    assert in_storm(chain_weight=Q(400, "N/m")).anchor_angle.m_as("deg") == pytest.approx(0, abs=1e-9)
    assert in_storm().low_angle < in_storm().anchor_angle


def test_the_lift_at_the_cleat_is_that_at_the_anchor_and_the_weight():
    """Nothing lies on the bottom in a storm."""
    leg = in_storm()

    assert (leg.lift - leg.uplift).m_as("N") == pytest.approx(20 * 0.11 + 3 * 12)
    assert leg.tension.m_as("N") == pytest.approx(np.hypot(1057, leg.lift.m_as("N")))
    assert leg.straight_angle.m_as("deg") == pytest.approx(np.degrees(np.arcsin(4.59 / 23)))


def test_the_drawn_leg_runs_from_the_anchor_to_the_cleat():
    """At both levels, and never under the bottom."""
    leg = in_storm()

    assert (leg.high_x.m[0], leg.high_z.m[0]) == (0, 0)
    assert leg.high_z.m_as("m")[-1] == pytest.approx(4.59)
    assert leg.low_z.m_as("m")[-1] == pytest.approx(3.69)
    assert np.all(np.diff(leg.high_x.m) > 0)
    assert np.all(leg.low_z.m >= 0)


def test_a_leg_shorter_than_the_height_is_refused():
    """Lengths are named."""
    with pytest.raises(InputError) as refused:
        in_storm(high_height=Q(24, "m"))

    assert set(refused.value.faults) == {"rope", "chain"}


def test_samples_of_a_leg_in_a_storm():
    """Pulls, heights and weights together."""

    def plain(pick: Any) -> Any:
        leg = in_storm(
            pull=pick([300, 1057, 3000], "N"), high_height=pick([4, 4.59, 5], "m"), chain=pick([1, 3, 8], "m")
        )
        return leg.tension, leg.angle, leg.uplift, leg.anchor_angle, leg.low_angle, leg.flat_chain, leg.stretched

    agrees_one_by_one(plain, 3)
