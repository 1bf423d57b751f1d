"""Finger joints, their fit and trials, tolerance stacks, mitres, laps and dowels: one term at a time."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from kit.calculator import InputError
from kit.finger_joint import finger_joint
from kit.joint_fit import joint_fit
from kit.joint_trials import joint_trials
from kit.plain_joints import dowel_joint, lap_joint, mitre_joint
from kit.quantities import Q
from kit.tolerance_stack import StackPart, tolerance_stack
from kit.workshop import show
from tests.one_by_one import agrees_one_by_one


def corner(**changed):
    """The corner of the demo's carcass."""
    given = {"width": Q(420, "mm"), "thickness": Q(22, "mm"), "other": Q(22, "mm"), "fingers": 19}
    return finger_joint(**given | changed)


def fit(**changed):
    """The fit of its four corners."""
    given = {"fingers": 19, "finger": Q(22.1, "mm"), "joints": 4, "clearance": Q(0.10, "mm"), "wall": Q(0.02, "mm")}
    return joint_fit(**given | changed)


def test_fingers_are_an_even_division_and_share_the_clearance():
    """420 / 19 mm; slot less finger is the clearance, half of it on each."""
    made = corner(clearance=Q(0.2, "mm"))

    assert made.finger.m_as("mm") == pytest.approx(420 / 19)
    assert (made.slot - made.pin).m_as("mm") == pytest.approx(0.2)
    assert (made.slot - made.finger).m_as("mm") == pytest.approx(0.1)


def test_widths_as_shown_keep_the_clearance():
    """Shown to 0.05 mm a clearance of 0.10 would be cut as 0.15; as shown it is out by a hundredth at most."""
    made = corner(clearance=Q(0.10, "mm"))
    seen = {name: float(show(getattr(made, name), "mm", resolution=out.resolution, rounding=out.rounding).split()[0])
            for name, out in type(made).declaration.outputs.items() if name in ("pin", "slot")}

    assert seen["slot"] - seen["pin"] == pytest.approx(0.10, abs=0.0101)


def test_marks_run_from_one_edge_to_the_other_and_alternate():
    """The first and last are fingers, none overlaps, and the outer edges stay."""
    marks = corner().marks

    assert [mark.name.split()[0] for mark in marks[:3]] == ["finger", "slot", "finger"]
    assert (len(marks), marks[0].start, marks[-1].end.m_as("mm")) == (19, Q(0, "mm"), pytest.approx(420))
    assert all(one.end.m_as("mm") == pytest.approx(two.start.m_as("mm")) for one, two in pairwise(marks))
    widths = [(m.end - m.start).m_as("mm") for m in marks[1:-1]]
    assert widths[::2] == pytest.approx([420 / 19 + 0.05] * 9)
    assert widths[1::2] == pytest.approx([420 / 19 - 0.05] * 8)


def test_slots_are_as_deep_as_the_other_board_and_a_little_more():
    """22 mm and half a millimetre proud; a board 0.2 mm thicker leaves 0.3."""
    made = corner()

    assert made.depth == Q(22.5, "mm")
    assert (made.least_proud.m_as("mm"), made.most_proud.m_as("mm")) == pytest.approx((0.3, 0.7))
    assert corner(proud=Q(0.1, "mm")).stands_proud.verdict == "fails"


def test_glue_follows_the_line_in_and_out():
    """420 + 18 x 22 mm long, 22 mm wide; the long grain is the 18 walls."""
    made = corner()

    assert made.glue_path.m_as("mm") == pytest.approx(816)
    assert made.glue_area.m_as("mm^2") == pytest.approx(816 * 22)
    assert made.long_grain.m_as("mm^2") == pytest.approx(18 * 22 * 22)


def test_errors_of_chained_marks_add_up():
    """Nineteen marks of 0.05 mm each are 0.95 mm at the far edge."""
    assert corner(step=Q(0.05, "mm")).chained.m_as("mm") == pytest.approx(0.95)


def test_a_cutter_as_wide_as_the_slot_is_too_wide():
    """It needs a tenth of a millimetre to work in."""
    assert corner(cutter=Q(22.1, "mm")).takes_cutter.verdict == "fails"
    assert corner(cutter=Q(22.0, "mm")).takes_cutter.verdict == "meets"


def test_an_even_number_of_fingers_is_refused():
    """Both edges of a board should be alike."""
    with pytest.raises(InputError) as refused:
        corner(fingers=20)

    assert refused.value.faults == {
        "fingers": "the number of fingers must be odd, so that both edges of a board are alike, such as 19"
    }


def test_worst_case_and_root_of_squares_add_each_error_once():
    """0.05 less 0.02 of the cutter and 0.02 of each wall; squared, 0.02 of the cutter and two walls of 0.02."""
    found = fit()

    assert found.worst.m_as("mm") == pytest.approx(0.05 - 0.02 - 2 * 0.02)
    assert found.by_squares.m_as("mm") == pytest.approx(0.05 - (3 * 0.02**2) ** 0.5)
    assert found.loosest.m_as("mm") == pytest.approx(0.05 + (3 * 0.02**2) ** 0.5)


@pytest.mark.parametrize(
    ("changed", "moved"),
    [
        ({"clearance": Q(0.14, "mm")}, 0.02),
        ({"oversize": Q(0.03, "mm")}, 0.03),
        ({"film": Q(0.01, "mm")}, -0.02),
    ],
)
def test_each_term_moves_the_gap_at_a_face(changed, moved):
    """Half the clearance, the whole oversize of the cutter, both films."""
    assert (fit(**changed).face - fit().face).m_as("mm") == pytest.approx(moved)


@pytest.mark.parametrize(
    "changed",
    [
        {"wall": Q(0.04, "mm")},
        {"oversize_doubt": Q(0.04, "mm")},
        {"film_doubt": Q(0.02, "mm")},
        {"joints": 40},
        {"clearance": Q(0.06, "mm")},
        {"apart": Q(0.1, "percent")},
        {"apart": Q(-0.1, "percent")},
        {"least": Q(0.03, "mm")},
    ],
)
def test_whatever_makes_it_tighter_lowers_the_chance(changed):
    """Wider errors, more corners, less clearance, boards of unequal moisture either way."""
    assert fit(**changed).chance_set < fit().chance_set


def test_one_joint_goes_more_often_than_four_and_less_often_than_a_face():
    """The chance falls with every face that must go."""
    found = fit(clearance=Q(0.06, "mm"))

    assert found.chance_set < found.chance_joint < found.chance_face


def test_combs_move_apart_with_their_moisture():
    """19 x 22.1 mm of flat-sawn cedar at 0.00234 a percent, by half a percent."""
    assert fit(apart=Q(0.5, "percent")).comb.m_as("mm") == pytest.approx(419.9 * 0.00234 * 0.5, rel=2e-3)
    assert fit(apart=Q(0.5, "percent"), cut="quarter-sawn").comb < fit(apart=Q(0.5, "percent")).comb


def test_what_is_taken_off_makes_them_go():
    """Taken off each face, the tightest face is free by root of squares."""
    tight = fit(clearance=Q(0.02, "mm"))
    eased = fit(clearance=Q(0.02, "mm") + 2 * tight.take_off)

    assert tight.goes_together.verdict == "fails"
    assert tight.take_off.magnitude > 0
    assert eased.by_squares.m_as("mm") == pytest.approx(0, abs=1e-12)
    assert "1/16 in" in tight.advice and "common practice, no source" in tight.advice
    assert "by hand" in fit().advice


def test_a_joint_far_too_tight_is_to_be_cut_again():
    """More than a sixteenth of an inch off each face is no easing."""
    assert "cut them again" in fit(clearance=Q(-0.5, "mm"), film=Q(2, "mm")).advice


def test_a_sloppy_joint_has_too_thick_a_glue_line():
    """0.4 mm of clearance leaves more than 0.15 mm at a face."""
    assert fit().glue_line.verdict == "meets"
    assert fit(clearance=Q(0.4, "mm")).glue_line.verdict == "fails"


def test_the_unit_of_a_clearance_does_not_matter():
    """A tenth of a millimetre is 3.937 thousandths of an inch."""
    assert fit(clearance=Q(0.1 / 25.4, "in")).chance_set.magnitude == pytest.approx(fit().chance_set.magnitude)


def test_samples_of_joints_agree_with_one_by_one():
    """Every number and check of both calculators; the marks are those of the middle."""
    agrees_one_by_one(
        lambda pick: replace(corner(width=pick([400, 420], "mm"), clearance=pick([0.1, 0.2], "mm")), marks=()), 2
    )
    agrees_one_by_one(
        lambda pick: fit(
            wall=pick([0.01, 0.05], "mm"), clearance=pick([0.1, 0.05], "mm"), apart=pick([0, 0.1], "percent")
        ),
        2,
    )


def test_the_same_seed_draws_the_same_errors_and_another_others():
    """Trials can be repeated."""
    given = {"fingers": 19, "finger": Q(22.1, "mm"), "joints": 4, "clearance": Q(0.05, "mm"), "wall": Q(0.02, "mm")}
    first, again, other = joint_trials(**given), joint_trials(**given), joint_trials(**given, seed=2)

    assert first.together == again.together
    assert first.together != other.together


def test_even_errors_fail_more_often_and_have_no_closed_form():
    """An even error reaches the end of its tolerance far more often than a normal one."""
    given = {"fingers": 19, "finger": Q(22.1, "mm"), "clearance": Q(0.06, "mm"), "wall": Q(0.02, "mm")}
    normal, even = (joint_trials(**given, shape=shape) for shape in ("normal", "even"))

    assert even.together < normal.together
    assert even.agrees.verdict == "does not apply"
    assert even.binding.magnitude >= 1


def test_too_many_draws_are_refused():
    """Nobody waits minutes for a count."""
    with pytest.raises(InputError, match="try fewer sets, such as 4000"):
        joint_trials(
            fingers=199, finger=Q(20, "mm"), joints=50, clearance=Q(0.1, "mm"), wall=Q(0.02, "mm"), sets=20_000
        )


def gap(*sizes, **more):
    """A gap of sizes (size, times, tolerance)."""
    return tolerance_stack(
        parts=[
            StackPart(name=f"{n}", size=Q(size, "mm"), times=Q(times), tolerance=Q(tolerance, "mm"))
            for n, (size, times, tolerance) in enumerate(sizes)
        ],
        **more,
    )


def test_a_gap_is_the_signed_sum_of_its_sizes():
    """An opening of 100 less four boards of 24.9."""
    found = gap((100, 1, 0.3), (24.9, -4, 0.1))

    assert found.gap.m_as("mm") == pytest.approx(0.4)
    assert found.worst.m_as("mm") == pytest.approx(0.3 + 0.4)
    assert found.by_squares.m_as("mm") == pytest.approx(0.5)
    assert found.inflated.m_as("mm") == pytest.approx(0.75)


def test_a_least_gap_is_held_against_worst_case_and_squares():
    """0.4 less 0.7 fails at the worst, 0.4 less 0.5 by squares too; without a least gap neither applies."""
    asked, free = gap((100, 1, 0.3), (24.95, -4, 0.05), least=Q(-0.2, "mm")), gap((100, 1, 0.3))

    assert (asked.worst_clears.verdict, asked.squares_clear.verdict) == ("fails", "meets")
    assert 50 < asked.chance.m_as("percent") <= 100
    assert free.worst_clears.verdict == "does not apply"


def test_samples_of_a_stack_agree_with_one_by_one():
    """Tolerances, sizes and the least gap."""
    agrees_one_by_one(
        lambda pick: tolerance_stack(
            parts=[
                StackPart(name="a", size=pick([1, 2], "mm"), tolerance=pick([0.1, 0.2], "mm"), shape="even"),
                StackPart(name="b", tolerance=Q(0.1, "mm")),
            ],
            least=pick([0.9, 2.1], "mm"),
            trials=2000,
        ),
        2,
    )


def test_a_saw_out_by_a_tenth_of_a_degree_shows_at_the_last_corner():
    """Eight cuts of 0.1 degrees over a cut of 99 mm; a wider frame gapes more."""
    small, wide = (mitre_joint(corners=4, width=Q(w, "mm"), thickness=Q(20, "mm")) for w in (20, 70))

    assert (small.closes.verdict, wide.closes.verdict) == ("fails", "fails")
    assert wide.gap / small.gap == pytest.approx(3.5)
    assert mitre_joint(corners=4, width=Q(70, "mm"), thickness=Q(20, "mm"), saw_error=Q(0, "deg")).gap == Q(0, "mm")


def test_corners_that_never_close_are_refused():
    """Sixty corners out by five degrees each."""
    with pytest.raises(InputError, match="so many corners so far out never close"):
        mitre_joint(corners=60, width=Q(70, "mm"), thickness=Q(20, "mm"), saw_error=Q(5, "deg"))


def test_a_lap_between_unequal_pieces_weakens_the_thicker_least():
    """Half of the thinner comes off each, and 10 mm less an error of 0.2 stay where a quarter of 26 is asked."""
    lap = lap_joint(
        first_width=Q(60, "mm"), second_width=Q(45, "mm"), first_thickness=Q(26, "mm"), second_thickness=Q(20, "mm")
    )

    assert lap.first_depth == Q(10, "mm")
    assert lap.left.m_as("mm") == pytest.approx(9.8)
    assert lap.keeps_half.verdict == "meets"
    assert lap.glue_mass.m_as("g") == pytest.approx(2 * 2700e-6 * 200)


def dowels(**changed):
    """A row of dowels along a ledge."""
    given = {
        "joint": Q(400, "mm"),
        "thickness": Q(22, "mm"),
        "diameter": Q(8, "mm"),
        "first_depth": Q(60, "mm"),
        "second_depth": Q(22, "mm"),
        "into_first": Q(25, "mm"),
        "into_second": Q(15, "mm"),
    }
    return dowel_joint(**given | changed)


def test_a_dowel_is_a_third_to_a_half_of_the_thickness():
    """8 mm suit 22, 6 mm are too thin and 12 too thick."""
    verdicts = [dowels(diameter=Q(d, "mm")).thick_enough.passes for d in (6, 8, 12)]

    assert verdicts == [False, True, False]


def test_a_hole_must_not_come_through():
    """15 mm and 2 mm below leave 5 of 22; 18 mm leave 2, less than 4."""
    assert dowels().holds_back.verdict == "meets"
    assert dowels(into_second=Q(18, "mm")).holds_back.verdict == "fails"


def test_samples_of_plain_joints_agree_with_one_by_one():
    """Mitre, lap and dowels."""
    agrees_one_by_one(lambda pick: mitre_joint(corners=4, width=pick([50, 70], "mm"), thickness=Q(20, "mm")), 2)
    agrees_one_by_one(lambda pick: dowels(joint=pick([300, 420], "mm"), pitch=pick([100, 90], "mm")), 2)
    agrees_one_by_one(
        lambda pick: lap_joint(
            first_width=Q(60, "mm"),
            second_width=Q(45, "mm"),
            first_thickness=pick([20, 26], "mm"),
            second_thickness=pick([22, 22], "mm"),
        ),
        2,
    )
