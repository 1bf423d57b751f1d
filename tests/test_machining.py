"""Router, grooves, corners, moves, operations, saw, planer, drill, flattening and holding: term by term."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.cutter_paths import Cutter, Operation
from kit.flattening import face_after_pour, stock_facing
from kit.grooves import scallop, v_groove
from kit.hold_down import hold_down
from kit.inside_corners import corner_relief, ramp
from kit.move_time import run_time, timed_run
from kit.operations import operations
from kit.quantities import Q
from kit.router import chip_range, deepest_pass, router_cut
from kit.shop_tools import drilling, planer_marks, saw_cut
from tests.one_by_one import agrees_one_by_one

CUT = {"diameter": Q(3, "mm"), "flutes": 2, "speed": Q(18_000, "rpm"), "chip_load": Q(0.05, "mm"),
       "pass_depth": Q(2, "mm"), "step_over": Q(1.2, "mm"), "stock": "hardwood", "spindle_power": Q(500, "W")}
GROOVE = {"mouth": Q(5, "mm"), "angle": Q(60, "deg"), "diameter": Q(12, "mm"), "thickness": Q(26, "mm")}
SAW = {"blade": Q(254, "mm"), "teeth": 24, "speed": Q(4000, "rpm"), "feed": Q(5, "m/min"), "height": Q(28, "mm")}
PLANER = {"knives": 3, "speed": Q(5000, "rpm"), "feed": Q(7, "m/min"), "head": Q(62, "mm")}
DRILL = {"diameter": Q(3.5, "mm"), "speed": Q(1500, "rpm"), "turn_feed": Q(0.2, "mm"), "depth": Q(28, "mm"),
         "holes": Q(240)}
MACHINE = {"diameter": Q(3, "mm"), "feed": Q(1800, "mm/min"), "pass_depth": Q(2, "mm"), "step_over": Q(1.2, "mm"),
           "thickness": Q(26, "mm"), "spindle_power": Q(500, "W")}
KITES = {"name": "kites", "cut": "pocket", "length": Q(65, "mm"), "area": Q(23.4, "cm^2"), "depth": Q(4, "mm"),
         "count": 4}


def ratio(after, before):
    """How many times one quantity is of another."""
    return (after / before).m_as("")


# -- the router -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("changed", "name", "times"), [
    ({"flutes": 4}, "feed", 2), ({"speed": Q(9000, "rpm")}, "feed", 0.5), ({"chip_load": Q(0.1, "mm")}, "feed", 2),
    ({"pass_depth": Q(1, "mm")}, "removal", 0.5), ({"pass_depth": Q(1, "mm")}, "force", 0.5),
    ({"cutting_energy": Q(100, "J/cm^3")}, "power", 2), ({"stick_out": Q(36, "mm")}, "bend", 8),
    ({"speed": Q(9000, "rpm")}, "surface_speed", 0.5), ({"step_over": Q(0.6, "mm")}, "removal", 0.5)])
def test_one_term_of_a_router_cut_at_a_time(changed, name, times):
    """Proportional to what it should be."""
    before, after = router_cut(**CUT), router_cut(**CUT | changed)

    assert ratio(getattr(after, name), getattr(before, name)) == pytest.approx(times, rel=1e-9)


def test_a_thicker_cutter_of_the_same_stick_out_bends_by_its_fourth_power():
    """Under the same force: half the diameter, sixteen times the bend."""
    thick = router_cut(**CUT | {"diameter": Q(6, "mm"), "step_over": Q(6, "mm")})
    thin = router_cut(**CUT | {"diameter": Q(3, "mm"), "step_over": Q(3, "mm")})

    assert ratio(thin.bend, thick.bend) == pytest.approx(16, rel=1e-9)


def test_a_wide_step_over_never_thickens_a_chip_beyond_the_feed_per_tooth():
    """From half the diameter on the thickest place is the feed per tooth."""
    for share in (0.5, 0.7, 1.0):
        assert router_cut(**CUT | {"step_over": Q(3 * share, "mm")}).thinning.m_as("percent") == pytest.approx(100)


@pytest.mark.parametrize(("load", "verdict", "word"), [
    (0.02, "fails", "thinner"), (0.06, "meets", "steady"), (0.2, "fails", "thicker")])
def test_chips_outside_the_usual_are_said_to_be_so(load, verdict, word):
    """In the check and in words."""
    found = router_cut(**CUT | {"chip_load": Q(load, "mm")})

    assert found.chips.verdict == verdict
    assert word in found.listen


def test_cutters_beyond_the_table_are_not_covered():
    """A 25 mm facing cutter has no usual range here, and the result says so."""
    found = router_cut(**CUT | {"diameter": Q(25, "mm"), "step_over": Q(15, "mm")})

    assert found.chips.verdict == "not covered"
    assert any("3 to 12 mm" in note for note in found.notes)


def test_usual_chip_loads_are_read_off_between_the_diameters():
    """Half-way between 3 and 6 mm, half-way between their loads; at the ends those of the table."""
    low, high = chip_range("hardwood", Q(4.5, "mm"))

    assert (low.m_as("mm"), high.m_as("mm")) == pytest.approx((0.06, 0.14))
    assert [q.m_as("mm") for q in chip_range("plywood or board", Q(12, "mm"))] == pytest.approx([0.30, 0.55])


@pytest.mark.parametrize(("diameter", "deepest"), [(2, 1), (3, 3), (6, 6), (2.5, 1.875), (1, 0.5)])
def test_the_deepest_pass_is_a_diameter_and_half_of_a_thin_one(diameter, deepest):
    """Common practice."""
    assert deepest_pass(Q(diameter, "mm")).m_as("mm") == pytest.approx(deepest)


def test_a_step_over_wider_than_the_cutter_is_refused():
    """The sentence stands beside both."""
    with pytest.raises(InputError) as caught:
        router_cut(**CUT | {"step_over": Q(4, "mm")})

    why = "the step-over cannot be wider than the cutter, such as 1.2 mm of 3 mm"
    assert caught.value.faults == {"step_over": why, "diameter": why}


def test_inches_and_millimetres_say_the_same():
    """An eighth of an inch is 3.175 mm."""
    inch, metric = (router_cut(**CUT | {"diameter": d}) for d in (Q("1/8 in"), Q(3.175, "mm")))

    assert inch.bend.m_as("mm") == pytest.approx(metric.bend.m_as("mm"), rel=1e-12)
    assert inch.peak_chip.m_as("in") == pytest.approx(metric.peak_chip.m_as("in"), rel=1e-12)


# -- grooves and ridges -----------------------------------------------------------------------------------


def test_a_v_held_short_of_its_depth_has_a_floor():
    """5 mm wide at 60 deg, cut 3 mm deep: a floor of 5 - 2 x 3 tan 30 deg."""
    found = v_groove(**GROOVE, deepest=Q(3, "mm"))

    assert found.depth.m_as("mm") == pytest.approx(3)
    assert found.floor.m_as("mm") == pytest.approx(5 - 6 * np.tan(np.pi / 6))
    assert found.shape.startswith("a flat floor 1.54 mm wide")


def test_a_depth_that_is_not_reached_changes_nothing():
    """10 mm allowed, 4.33 needed."""
    assert v_groove(**GROOVE, deepest=Q(10, "mm")).depth == v_groove(**GROOVE).depth


def test_a_mouth_wider_than_the_cutter_fails():
    """A 12 mm cutter cannot cut 14 mm in one go."""
    assert v_groove(**GROOVE | {"mouth": Q(14, "mm")}).wide_enough.verdict == "fails"


def test_thin_wood_under_a_groove_fails():
    """8 mm less 4.33 leaves less than 6."""
    assert v_groove(**GROOVE | {"thickness": Q(8, "mm")}).deep_enough_wood.verdict == "fails"


def test_too_deep_by_a_tenth_widens_a_v_by_its_angle():
    """0.2 tan 30 deg."""
    assert v_groove(**GROOVE).by_depth.m_as("mm") == pytest.approx(0.2 * np.tan(np.pi / 6))


def test_a_tip_wider_than_the_mouth_is_refused():
    """In a sentence beside both."""
    with pytest.raises(InputError) as caught:
        v_groove(**GROOVE, tip=Q(6, "mm"))

    why = "the tip must be narrower than the mouth, such as 0.2 mm in 5 mm"
    assert caught.value.faults == {"tip": why, "mouth": why}


def test_ridges_grow_with_the_square_of_the_step_and_shrink_with_the_ball():
    """While the step is small; on a slope of 60 deg with twice the step."""
    small, double = (scallop(tip="ball", diameter=Q(6, "mm"), step_over=Q(s, "mm")).ridge for s in (0.1, 0.2))
    large = scallop(tip="ball", diameter=Q(12, "mm"), step_over=Q(0.1, "mm")).ridge
    steep = scallop(tip="ball", diameter=Q(6, "mm"), step_over=Q(0.1, "mm"), slope=Q(60, "deg")).ridge

    assert ratio(double, small) == pytest.approx(4, rel=1e-3)
    assert ratio(small, large) == pytest.approx(2, rel=1e-3)
    assert ratio(steep, double) == pytest.approx(1, rel=1e-9)


def test_a_flat_end_leaves_no_ridges():
    """Whatever its step, up to its diameter."""
    found = scallop(tip="flat", diameter=Q(6, "mm"), step_over=Q(5, "mm"))

    assert found.ridge.magnitude == 0
    assert found.fine.verdict == "does not apply"


# -- corners and ramps ------------------------------------------------------------------------------------


def test_a_sharp_piece_goes_into_a_corner_only_with_relief_or_clearance():
    """At 90 deg clearance of (1 - sin 45 deg) of the radius is enough."""
    assert corner_relief(diameter=Q(6, "mm"), relief="none").fits.verdict == "fails"
    assert corner_relief(diameter=Q(6, "mm"), relief="none", part_radius=Q(3, "mm")).fits.passes
    assert corner_relief(diameter=Q(6, "mm"), relief="none", play=Q(0.879, "mm")).fits.passes
    assert corner_relief(diameter=Q(6, "mm"), relief="across the corner").fits.verdict == "does not apply"


def test_a_slot_as_wide_as_the_cutter_fails():
    """It needs a tenth more, to correct the fit."""
    for width, verdict in ((6.0, "fails"), (6.1, "marginal"), (22.1, "meets")):
        assert corner_relief(diameter=Q(6, "mm"), relief="none", slot_width=Q(width, "mm")).slot.verdict == verdict


def test_a_shoulder_hides_a_relief():
    """Along one side it cuts a whole radius, across the corner 0.29 of it."""
    covered = {"diameter": Q(6, "mm"), "shoulder": Q(2, "mm")}

    assert corner_relief(**covered, relief="along one side").hidden.verdict == "fails"
    assert corner_relief(**covered, relief="across the corner").hidden.verdict == "meets"


def test_a_steeper_ramp_takes_fewer_runs():
    """4 mm down in runs of 40 mm: 1.9, 0.94 and 5.7 runs, in whole ones."""
    runs = [ramp(way="straight ramp", depth=Q(4, "mm"), feed=Q(1800, "mm/min"), diameter=Q(3, "mm"), room=Q(40, "mm"),
                 slope=Q(s, "deg")).legs.magnitude for s in (3, 6.1, 1)]

    assert runs == [2, 1, 6]


def test_a_plunge_needs_a_cutter_that_cuts_in_its_middle():
    """Only one whose steepest slope is 90 deg."""
    given = {"way": "plunge", "depth": Q(4, "mm"), "feed": Q(1800, "mm/min"), "diameter": Q(3, "mm"),
             "room": Q(40, "mm")}

    assert ramp(**given).gentle.verdict == "fails"
    assert ramp(**given, steepest=Q(90, "deg")).gentle.passes
    assert ramp(**given).time.m_as("s") == pytest.approx(4 / (1800 * 0.3 / 60))


def test_a_helix_wider_than_the_cutter_leaves_a_pillar():
    """A path of 8 mm round a cutter of 6."""
    given = {"way": "helix", "depth": Q(4, "mm"), "feed": Q(1800, "mm/min"), "diameter": Q(6, "mm")}

    assert ramp(**given, room=Q(8, "mm")).clears.verdict == "fails"
    assert ramp(**given, room=Q(4, "mm")).clears.verdict == "meets"


# -- moves and operations ---------------------------------------------------------------------------------


def test_more_stops_and_a_lazier_machine_take_longer():
    """Each term one way."""
    given = {"length": Q(6, "m"), "segments": 40, "feed": Q(3000, "mm/min"), "acceleration": Q(400, "mm/s^2")}
    before = run_time(**given).time

    assert run_time(**given | {"segments": 80}).time > before
    assert run_time(**given | {"acceleration": Q(200, "mm/s^2")}).time > before
    assert run_time(**given | {"feed": Q(6000, "mm/min")}).time < before


def test_a_higher_feed_gains_nothing_on_short_pieces():
    """Pieces of a millimetre are as slow at 3000 as at 9000 mm/min, and the words say so."""
    times = [run_time(length=Q(1, "m"), segments=1000, feed=Q(f, "mm/min"), acceleration=Q(400, "mm/s^2"))
             for f in (3000, 9000)]

    assert times[0].time == times[1].time
    assert "gains nothing" in times[0].says


def test_a_watch_that_ran_too_short_is_refused():
    """A path of 6 m at 3 m/min takes two minutes at the least."""
    with pytest.raises(InputError, match="shorter than the path at an even feed"):
        timed_run(length=Q(6, "m"), segments=39, feed=Q(3000, "mm/min"), time=Q(100, "s"))


def test_passes_are_whole_and_time_goes_with_them():
    """4 mm in passes of 2, 1.9 and 4 mm."""
    rows = [operations(work=[Operation(**KITES)], **MACHINE | {"pass_depth": Q(d, "mm")}).by_operation[0]
            for d in (2, 1.9, 4)]

    assert [row.passes.magnitude for row in rows] == [2, 3, 1]
    assert rows[1].time > rows[0].time > rows[2].time
    assert rows[0].removed.m_as("mL") == pytest.approx(4 * 23.4 * 0.4)


def test_zero_decides_which_depth_is_true():
    """From the top the floor is 4 mm below it; from the bed 22 mm above it, and errs with the wood."""
    top, bed = (operations(work=[Operation(**KITES, zero=zero)], **MACHINE, uneven=Q(0.3, "mm"),
                           touch_off=Q(0.1, "mm")) for zero in ("top of the wood", "bed"))

    assert top.by_operation[0].floor.m_as("mm") == pytest.approx(-4)
    assert bed.by_operation[0].floor.m_as("mm") == pytest.approx(22)
    assert (top.worst_off.m_as("mm"), bed.worst_off.m_as("mm")) == pytest.approx((0.1, 0.4))
    assert (top.true_depth.verdict, bed.true_depth.verdict) == ("meets", "fails")


def test_a_cutter_is_changed_only_when_the_next_operation_wants_another():
    """Main, V, main, main: three times put in, four minutes each."""
    v = Cutter(name="V", diameter=Q(12, "mm"), flutes=2, speed=Q(16_000, "rpm"), chip_load=Q(0.05, "mm"),
               pass_depth=Q(4.5, "mm"), step_over=Q(1, "mm"), angle=Q(60, "deg"))
    work = [Operation(**KITES), Operation(name="letters", cut="V-groove", cutter="V", length=Q(0.9, "m"),
                                          depth=Q(4.33, "mm")),
            Operation(**KITES | {"name": "again"}), Operation(**KITES | {"name": "once more"})]
    slow, quick = (operations(work=work, cutters=[v], **MACHINE, change=Q(m, "min")) for m in (4, 0))

    assert slow.changes == Q(3)
    assert (slow.machine_time - quick.machine_time).m_as("min") == pytest.approx(12)
    assert slow.by_operation[1].removed.m_as("mL") == pytest.approx(4.33**2 * np.tan(np.pi / 6) * 0.9)


@pytest.mark.parametrize(("changed", "said"), [
    ({"cutter": "ball"}, "kites: there is no cutter 'ball'; there are main cutter"),
    ({"area": None}, "kites: a pocket needs its area, such as 23.4 cm^2"),
    ({"area": Q(1, "cm^2")}, "kites: 1.5 mm is narrower than the cutter (3.0 mm); take a thinner one, or check area "
                             "and length"),
    ({"cut": "V-groove"}, "kites: a V-groove needs a V cutter; give 'main cutter' its full angle, such as 60 deg")])
def test_an_operation_that_cannot_be_done_is_refused_by_name(changed, said):
    """One sentence with its name and an example."""
    with pytest.raises(InputError) as caught:
        operations(work=[Operation(**KITES | changed)], **MACHINE)

    assert caught.value.faults["work"] == said


def test_what_is_meant_to_go_through_has_to():
    """22.1 mm deep in wood of 22 mm goes through, in wood of 23 mm it leaves most of a millimetre standing."""
    free = Operation(name="shelf", cut="outline", length=Q(2, "m"), depth=Q(22.1, "mm"), through=True, zero="bed")
    through, short = (operations(work=[free], **MACHINE | {"thickness": Q(t, "mm")}) for t in (22, 23))

    assert (through.cut_through.verdict, short.cut_through.verdict) == ("meets", "fails")
    assert through.tabs == "shelf: cut free; leave tabs, or screw both pieces down"
    assert through.floors.verdict == through.true_depth.verdict == "does not apply"


@pytest.mark.parametrize(("zero", "depth", "verdict"), [
    ("bed", 22.0, "fails"), ("bed", 22.1, "meets"),
    ("top of the wood", 22.1, "fails"), ("top of the wood", 22.4, "meets")])
def test_a_cut_through_goes_as_far_below_as_zero_and_thickness_may_be_off(zero, depth, verdict):
    """A tenth for the zero on the bed; three tenths more when the zero is on wood that thick, give or take."""
    free = Operation(name="shelf", cut="outline", length=Q(2, "m"), depth=Q(depth, "mm"), through=True, zero=zero)
    given = MACHINE | {"thickness": Q(22, "mm")}

    assert operations(work=[free], **given, touch_off=Q(0.1, "mm"), uneven=Q(0.3, "mm")).cut_through.verdict == verdict


def test_holes_are_drilled_one_by_one():
    """Their number times the way down; no power is reckoned for them here."""
    one, many = (operations(work=[Operation(name="h", cut="holes", depth=Q(20, "mm"), count=n)], **MACHINE,
                            change=Q(0, "min")) for n in (1, 50))

    assert ratio(many.machine_time, one.machine_time) == pytest.approx(50)


# -- saw, planer, drill -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("changed", "name", "times"), [
    ({"feed": Q(10, "m/min")}, "tooth_feed", 2), ({"teeth": 48}, "tooth_feed", 0.5),
    ({"speed": Q(2000, "rpm")}, "rim_speed", 0.5), ({"kerf": Q(6, "mm")}, "power", 2),
    ({"feed": Q(10, "m/min")}, "time", 0.5), ({"motor": Q(2000, "W")}, "fastest", 2)])
def test_one_term_of_a_saw_cut_at_a_time(changed, name, times):
    """Proportional to what it should be."""
    assert ratio(getattr(saw_cut(**SAW | changed), name), getattr(saw_cut(**SAW), name)) == pytest.approx(times)


def test_a_blade_turned_faster_than_it_is_marked_for_fails():
    """And with no marking entered the check says that it is still to be read."""
    assert saw_cut(**SAW, marked=Q(3500, "rpm")).turns.verdict == "fails"
    assert "read it on the blade" in saw_cut(**SAW).turns.reason


def test_a_blade_too_small_for_the_wood_is_refused():
    """Half its diameter is the most that it could ever reach."""
    with pytest.raises(InputError, match="the blade does not reach through"):
        saw_cut(**SAW | {"height": Q(125, "mm")})


def test_one_proud_knife_leaves_all_the_marks():
    """Three knives cut alike mark three times as close."""
    alike, proud = (planer_marks(**PLANER, equal=word) for word in ("yes", "no"))

    assert ratio(proud.pitch, alike.pitch) == pytest.approx(3)
    assert ratio(proud.wave, alike.wave) == pytest.approx(9)
    assert planer_marks(**PLANER | {"feed": Q(40, "m/min")}, equal="no").fine.verdict == "fails"


def test_passes_of_the_planer_are_whole():
    """32 to 26 mm by 1.5 is four passes, by 1.4 five."""
    assert [planer_marks(**PLANER, cut=Q(c, "mm")).passes.magnitude for c in (1.5, 1.4)] == [4, 5]


def test_a_deep_hole_is_cleared_and_long_flutes_are_needed():
    """29 mm with a 3.5 mm drill: one lift; flutes of 25 mm are too short."""
    assert drilling(**DRILL).lifts == Q(1)
    assert drilling(**DRILL, flute=Q(25, "mm")).long_enough.verdict == "fails"
    assert drilling(**DRILL | {"turn_feed": Q(0.02, "mm")}).bites.verdict == "fails"


def test_a_drill_must_reach_through_the_wider_hole_above():
    """32 mm below a board of 28 and a point of 1.05: 61.05 mm must stand out; the time is that of the 32 mm alone."""
    low = DRILL | {"depth": Q(32, "mm"), "above": Q(28, "mm")}

    assert [drilling(**low, stands_out=Q(out, "mm")).reaches.verdict for out in (45, 61, 68)] == [
        "fails", "fails", "meets"]
    assert drilling(**low).reaches.verdict == "does not apply"
    assert drilling(**low).each == drilling(**low | {"above": Q(0, "mm")}).each


# -- flattening and holding -------------------------------------------------------------------------------


def test_cup_and_bow_cost_all_and_twist_half():
    """One millimetre of each."""
    given = {"finished": Q(20, "mm"), "thickness": Q(30, "mm"), "skim": Q(0, "mm")}

    lost = [stock_facing(**given, **{bend: Q(1, "mm")}).shape.m_as("mm") for bend in ("cup", "bow", "twist")]
    assert lost == [1, 1, 0.5]


def test_facing_after_the_pour_takes_from_recess_and_top_alike():
    """A hollow of half a millimetre and a skim of 0.2."""
    found = face_after_pour(recess_depth=Q(4, "mm"), thickness=Q(26, "mm"), dish=Q(0.5, "mm"),
                            least_thickness=Q(25.5, "mm"))

    assert (found.recess_left.m_as("mm"), found.thickness_left.m_as("mm")) == pytest.approx((3.3, 25.3))
    assert found.wood_thick.verdict == "fails"


def test_facing_that_takes_all_resin_is_refused():
    """In a sentence that says what to do."""
    with pytest.raises(InputError, match="fill the hollow first, or cut the recess deeper"):
        face_after_pour(recess_depth=Q(1, "mm"), thickness=Q(26, "mm"), dish=Q(1, "mm"), least_thickness=Q(20, "mm"))


def test_an_up_cut_that_lifts_harder_than_the_clamps_press_holds_nothing():
    """Grip is never less than none."""
    found = hold_down(force=Q(1000, "N"), clamps=1, clamp_force=Q(100, "N"))

    assert found.grip.magnitude == 0
    assert found.held.verdict == "fails"


@pytest.mark.parametrize(("outline", "tabs"), [(0, 0), (0.05, 3), (0.6, 3), (0.61, 4), (2, 10)])
def test_tabs_by_distance_and_three_at_least(outline, tabs):
    """None where nothing is cut free."""
    assert hold_down(force=Q(5, "N"), clamps=4, clamp_force=Q(500, "N"), outline=Q(outline, "m")).tabs == Q(tabs)


# -- samples ----------------------------------------------------------------------------------------------


def test_samples_of_every_calculator_equal_single_calls():
    """Three samples each, rows of operations included."""
    agrees_one_by_one(lambda pick: router_cut(**CUT | {"diameter": pick([3, 3.2, 5], "mm"),
                                                       "chip_load": pick([0.05, 0.06, 0.1], "mm")}), 3)
    agrees_one_by_one(lambda pick: v_groove(**GROOVE | {"angle": pick([60, 62, 90], "deg")}, deepest=Q(4, "mm")), 3)
    agrees_one_by_one(lambda pick: scallop(tip="ball", diameter=pick([6, 8, 3], "mm"), step_over=Q(1, "mm")), 3)
    agrees_one_by_one(lambda pick: corner_relief(diameter=pick([3, 6], "mm"), relief="along one side"), 2)
    agrees_one_by_one(lambda pick: ramp(way="helix", depth=pick([3, 5], "mm"), feed=Q(1200, "mm/min"),
                                        diameter=Q(6, "mm"), room=Q(5, "mm")), 2)
    agrees_one_by_one(lambda pick: operations(
        work=[Operation(**KITES | {"depth": pick([4, 4.3, 3.9], "mm"), "area": pick([23, 24, 25], "cm^2")})],
        **MACHINE | {"thickness": pick([26, 25, 24], "mm")}), 3)
    agrees_one_by_one(lambda pick: saw_cut(**SAW | {"feed": pick([4, 5], "m/min")}), 2)
    agrees_one_by_one(lambda pick: planer_marks(**PLANER | {"feed": pick([5, 7], "m/min")}), 2)
    agrees_one_by_one(lambda pick: drilling(**DRILL | {"depth": pick([20, 28], "mm")}), 2)
    agrees_one_by_one(lambda pick: hold_down(force=pick([5, 50], "N"), clamps=2, clamp_force=Q(400, "N")), 2)
