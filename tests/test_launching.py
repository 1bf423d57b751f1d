"""Lifting, launching, openings, leak test and ice: every term moved, every verdict reached."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from kit.calculator import InputError
from kit.carrying import Lift, carrying
from kit.climate import Month
from kit.ice import ice
from kit.launching import float_off, skids
from kit.leak_test import CellTest, leak_test
from kit.openings import Opening, openings
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

# -- lifting -----------------------------------------------------------------------------------------


def lift(**how: Any) -> Lift:
    """An easy lift of 10 kg."""
    given = {
        "name": "load",
        "mass": Q(10, "kg"),
        "carriers": 1,
        "out": Q(25, "cm"),
        "low": Q(75, "cm"),
        "travel": Q(25, "cm"),
        "grip": "good",
    }
    return Lift(**{**given, **how})


def kg(**how: Any) -> float:
    """The mass recommended for one person."""
    return float(carrying(lifts=[lift(**how)]).judged[0].recommended.m_as("kg"))


def test_the_ideal_lift_is_the_load_constant():
    """Close, at hip height, rarely, with handles: 23 kg; a travel of 25 cm costs nothing."""
    assert kg() == pytest.approx(23 * (0.82 + 4.5 / 25))


@pytest.mark.parametrize(
    ("how", "times"),
    [
        ({"out": Q(50, "cm")}, 0.5),
        ({"low": Q(25, "cm")}, 0.85),
        ({"low": Q(125, "cm")}, 0.85),
        ({"travel": Q(100, "cm")}, 0.865),
        ({"twist": Q(90, "deg")}, 0.712),
        ({"rate": Q(5, "1/min")}, 0.80),
        ({"rate": Q(1.5, "1/min")}, 0.925),
        ({"grip": "poor"}, 0.9),
        ({"grip": "fair", "low": Q(74.9, "cm")}, 0.9497),
        ({"grip": "fair"}, 1.0),
    ],
)
def test_each_multiplier(how: Any, times: float):
    """One at a time, against the lift of a mass that is held close."""
    assert kg(**how) / kg() == pytest.approx(times, rel=1e-3)


@pytest.mark.parametrize(
    "how",
    [
        {"out": Q(64, "cm")},
        {"twist": Q(136, "deg")},
        {"rate": Q(12.5, "1/min")},
    ],
)
def test_beyond_the_equations_limits_nothing_is_recommended(how: Any):
    """Too far out, too far round, too often: no mass at all, and the check fails."""
    found = carrying(lifts=[lift(**how)])

    assert found.judged[0].recommended.m == 0
    assert found.light_enough.verdict == "fails"
    assert np.isnan(found.judged[0].needed.m)


def test_several_share_unevenly():
    """Four times the mass on four people with 1.15 for the worst placed."""
    found = carrying(lifts=[lift(mass=Q(40, "kg"), carriers=4)])

    assert found.judged[0].share.m_as("kg") == pytest.approx(11.5)
    assert carrying(lifts=[lift()]).judged[0].share.m_as("kg") == pytest.approx(10)


def test_the_people_needed_make_it_light_enough():
    """With so many it passes, with one fewer it does not."""
    found = carrying(lifts=[lift(mass=Q(100, "kg"), carriers=4)])
    needed = int(found.judged[0].needed.m)

    assert carrying(lifts=[lift(mass=Q(100, "kg"), carriers=needed)]).light_enough.passes
    assert not carrying(lifts=[lift(mass=Q(100, "kg"), carriers=needed - 1)]).light_enough.passes


@pytest.mark.parametrize(
    ("how", "why"),
    [
        ({"ground": "wet or slippery"}, "the ground is wet or slippery"),
        ({"ground": "in the water"}, "they stand in the water"),
        ({"stable": "long, floppy or with water in it"}, "it is long, floppy or has water in it"),
    ],
)
def test_outside_the_scope_no_number_is_given(how: Any, why: str):
    """Neither share nor limit nor people needed; who carries, and why there is none, in words."""
    found = carrying(lifts=[lift(carriers=4, **how)])
    row = found.judged[0]

    assert np.isnan([row.share.m, row.recommended.m, row.needed.m, found.index.m]).all()
    assert row.words == f"4 people, no number is given: {why}. Float, roll or winch it"
    assert found.in_scope.verdict == "not covered"
    assert f"4 people, {why}" in found.in_scope.reason
    assert found.light_enough.verdict == "does not apply"


def test_lifts_inside_and_outside_stand_side_by_side():
    """The worst inside decides; the one outside is named in its own check."""
    found = carrying(lifts=[lift(), lift(name="heavy", mass=Q(60, "kg")), lift(name="wet", ground="in the water")])

    assert found.worst == "heavy"
    assert found.light_enough.verdict == "fails"
    assert found.in_scope.reason.startswith("wet: 1 people")
    assert carrying(lifts=[lift()]).in_scope.verdict == "does not apply"


# -- slopes ------------------------------------------------------------------------------------------


def moved(**changed: Any) -> Any:
    """80 kg on a trolley."""
    return skids(**{"mass": Q(80, "kg"), "slope": Q(5, "deg"), "way": "trolley", "rope": Q(2000, "N"), **changed})


def test_weight_slope_and_friction_each_count():
    """On the level only friction, without friction only the slope; both with the mass."""
    weight = 80 * 9.80665

    assert moved(slope=Q(0, "deg")).up_pull.m_as("N") == pytest.approx(0.1 * weight)
    assert moved(friction=Q(0)).up_pull.m_as("N") == pytest.approx(weight * np.sin(np.radians(5)))
    assert moved(mass=Q(160, "kg")).up_pull.m == pytest.approx(2 * moved().up_pull.m)
    assert moved().hold_back.m_as("N") == pytest.approx(weight * np.sin(np.radians(5)))


@pytest.mark.parametrize(
    ("way", "friction"),
    [("dry timber skids", 0.4), ("greased skids", 0.2), ("pipes as rollers", 0.05), ("trolley", 0.1)],
)
def test_ways_by_their_friction(way: Any, friction: float):
    """A measured one replaces it."""
    assert moved(way=way).friction_used.m == pytest.approx(friction)
    assert moved(way=way, friction=Q(0.33)).friction_used.m == pytest.approx(0.33)


@pytest.mark.parametrize(
    ("slope", "words"),
    [
        (1, "it stays"),
        (4, "it stays, but a push sets it going"),
        (10, "it runs away: never stand below it, and never let go of the rope"),
    ],
)
def test_what_it_does_when_let_go(slope: float, words: str):
    """Rolling friction of 0.1 holds to 5.7 degrees."""
    assert moved(slope=Q(slope, "deg")).words == words


def test_a_weak_winch_fails():
    """Up, and holding back."""
    assert moved().rope_holds.verdict == "meets"
    assert moved(mass=Q(5000, "kg")).rope_holds.verdict == "fails"
    assert moved(mass=Q(5000, "kg")).held_back.verdict == "fails"


def off(**changed: Any) -> Any:
    """A float of 3 m."""
    return float_off(
        **{"draft": Q(170, "mm"), "support": Q(150, "mm"), "length": Q(3, "m"), "slope": Q(5, "deg"), **changed}
    )


def test_it_floats_free_when_its_shallow_end_does():
    """Draft and support at the shallow end, the ramp's rise more at the deep end."""
    assert off().depth_needed.m_as("mm") == pytest.approx(320)
    assert (off().deep_end - off().depth_needed).m_as("m") == pytest.approx(3 * np.sin(np.radians(5)))
    assert off().run.m_as("m") == pytest.approx(off().deep_end.m_as("m") / np.tan(np.radians(5)))


def test_a_steeper_ramp_is_shorter_and_lifts_the_deep_end_first():
    """The load on the shallow support grows towards a half."""
    assert off(slope=Q(12, "deg")).run < off().run
    assert off(slope=Q(12, "deg")).on_support > off().on_support
    assert 45 < off(slope=Q(40, "deg"), draft=Q(10, "mm")).on_support.m_as("percent") < 50


def test_the_checks_of_a_ramp():
    """Open until its depth is entered; a short ramp and a steep one fail."""
    assert off().deep_enough.verdict == "open"
    assert off(ramp_depth=Q(800, "mm")).deep_enough.verdict == "meets"
    assert off(ramp_depth=Q(400, "mm")).deep_enough.verdict == "fails"
    assert off(slope=Q(12, "deg")).wheels_hold.verdict == "fails"


# -- openings ----------------------------------------------------------------------------------------


def gap(size: float, **how: Any) -> Opening:
    """An opening by its size in mm."""
    return Opening(**{"name": f"{size} mm", "size": Q(size, "mm"), "closed": False, **how})


def test_the_worst_opening_counts_and_all_are_named():
    """150 mm is 61 mm inside the range that holds a head."""
    found = openings(every=[gap(150), gap(250), gap(200)])

    assert found.head.m_as("mm") == pytest.approx(150 - 88.9)
    assert found.no_head.verdict == "fails"
    assert found.no_head.reason == "from 89 to 229 mm: 150 mm, 200 mm"


def test_what_is_closed_or_out_of_reach_does_not_count():
    """Closed holds nothing; fingers that cannot reach are not held."""
    assert openings(every=[gap(150, closed=True)]).no_head.verdict == "does not apply"
    assert openings(every=[gap(15)]).no_finger.verdict == "fails"
    assert openings(every=[gap(15, fingers=False)]).no_finger.verdict == "does not apply"


def test_each_opening_says_what_it_holds():
    """Head, finger, nothing."""
    found = openings(every=[gap(150), gap(15), gap(5), gap(160, closed=True)])

    assert [row.holds for row in found.judged] == [
        "a head: close it",
        "a finger: make it smaller or larger, or close it",
        "nothing",
        "nothing: it is closed",
    ]


# -- leak test ---------------------------------------------------------------------------------------


def cell(name: str = "cell", **how: Any) -> CellTest:
    """A compartment that lost 2 of 60 mbar."""
    return CellTest(**{"name": name, "start": Q(60, "mbar"), "stop": Q(58, "mbar"), **how})


def test_a_loss_is_a_share_of_the_start():
    """2 of 60; a tenth passes, more does not."""
    assert leak_test(cells=[cell()]).lost.m_as("percent") == pytest.approx(2 / 60 * 100)
    assert leak_test(cells=[cell(stop=Q(53, "mbar"))]).tight.verdict == "fails"
    assert leak_test(cells=[cell(stop=Q(53, "mbar"))]).results[0].words.startswith("it leaks")


def test_cooling_is_no_leak_and_warming_hides_one():
    """Five degrees cooler explains 18.6 mbar; five warmer would have raised it by as much."""
    cooled = leak_test(cells=[cell(stop=Q(41.4, "mbar"), cool=Q(10, "degC"))])
    warmed = leak_test(cells=[cell(stop=Q(60, "mbar"), cool=Q(20, "degC"))])

    assert cooled.results[0].by_cooling.m_as("mbar") == pytest.approx(18.6, abs=0.05)
    assert cooled.tight.passes
    assert warmed.tight.verdict == "fails"
    assert (
        leak_test(cells=[cell(stop=Q(41.4, "mbar"), cool=Q(10, "degC"))], air=Q(80, "kPa")).results[0].by_cooling
        < cooled.results[0].by_cooling
    )


@pytest.mark.parametrize(
    ("how", "check"),
    [
        ({"start": Q(40, "mbar"), "stop": Q(40, "mbar")}, "enough"),
        ({"start": Q(150, "mbar"), "stop": Q(150, "mbar")}, "not_too_much"),
        ({"minutes": Q(10, "min")}, "long_enough"),
    ],
)
def test_how_it_was_tested(how: Any, check: str):
    """Too little, too much, too short."""
    assert getattr(leak_test(cells=[cell()]), check).passes
    assert getattr(leak_test(cells=[cell("a"), cell("b", **how)]), check).verdict == "fails"


def test_a_compartment_that_was_not_tested_leaves_all_open():
    """And is named."""
    found = leak_test(cells=[cell("a"), CellTest(name="b")])

    assert {found.tight.verdict, found.enough.verdict} == {"open"}
    assert found.tight.reason == "not tested yet: b"
    assert found.tested.m == 1
    assert np.isnan(found.lost.m)


@pytest.mark.parametrize("how", [{"stop": Q(110, "mbar")}, {"stop": Q(60, "mbar"), "cool": Q(5, "degC")}])
def test_a_float_that_gained_air_was_written_down_wrong(how: Any):
    """Air does not flow into it: a pressure that rose, or a cooling that would have taken more than was lost."""
    found = leak_test(cells=[cell("sound"), cell(**how)])

    assert leak_test(cells=[cell("sound")]).read_right.passes
    assert found.read_right.verdict == "fails"
    assert found.read_right.reason.startswith("cell: ")


def test_no_pressure_is_refused():
    """There is nothing to lose."""
    with pytest.raises(InputError) as refused:
        leak_test(cells=[cell(start=Q(0, "mbar"))])

    assert refused.value.faults["cells"] == "cell: there was no pressure to lose; enter it, such as 60 mbar"


# -- ice ---------------------------------------------------------------------------------------------


def winter(january: float = 1, **changed: Any) -> Any:
    """A winter by its January."""
    months = [
        Month(name="January", temperature=Q(january, "degC"), humidity=Q(85, "percent")),
        Month(name="July", temperature=Q(15, "degC"), humidity=Q(75, "percent")),
    ]
    return ice(**{"months": months, "spell": Q(10, "d"), "coldest": Q(-4, "degC"), **changed})


def test_ice_grows_with_the_root_of_the_cold():
    """Four times the days, twice the ice; a cold January counts when it is more than the spell."""
    assert (winter(spell=Q(40, "d")).thickness / winter().thickness).m == pytest.approx(2)
    assert winter(january=-10).frost > winter().frost
    assert winter(coldest=Q(2, "degC")).thickness.m == 0
    assert winter(coldest=Q(2, "degC")).words.startswith("by these figures no lasting ice")


@pytest.mark.parametrize(
    ("plan", "verdict"),
    [
        ("not decided", "open"),
        ("hauled out before ice", "does not apply"),
        ("left in, ice kept open", "does not apply"),
        ("left in", "fails"),
    ],
)
def test_what_is_done_about_it(plan: Any, verdict: str):
    """Thick ice: open until it is decided, failing when it is left to itself."""
    assert winter(plan=plan).ready.verdict == verdict


def test_thin_ice_passes():
    """Undecided or not."""
    assert winter(coldest=Q(-0.1, "degC")).ready.passes


def test_samples_of_launching():
    """Each against itself, one by one."""
    agrees_one_by_one(
        lambda pick: carrying(lifts=[lift(mass=pick([5, 20, 60], "kg"), out=pick([20, 40, 70], "cm"))]), 3
    )
    agrees_one_by_one(lambda pick: moved(mass=pick([50, 80, 900], "kg"), slope=pick([1, 5, 30], "deg")), 3)
    agrees_one_by_one(lambda pick: off(draft=pick([20, 170, 800], "mm"), slope=pick([2, 5, 20], "deg")), 3)
    agrees_one_by_one(
        lambda pick: openings(every=[gap(150), Opening(name="b", size=pick([5, 20, 100], "mm"), closed=False)]), 3
    )
    agrees_one_by_one(
        lambda pick: leak_test(cells=[cell(stop=pick([40, 55, 59], "mbar"), cool=pick([10, 14, 15], "degC"))]), 3
    )
    agrees_one_by_one(
        lambda pick: winter(coldest=pick([-1, -4, -20], "degC"), spell=pick([2, 10, 30], "d"), plan="left in"), 3
    )
