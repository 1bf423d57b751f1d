"""Panels of boards, all glue lines and glue-ups together, and room for a panel to move."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.calculator import InputError
from kit.climate import Month
from kit.glue import Joint
from kit.glue_plan import glue_lines, glue_plan
from kit.panel_boards import GluedPanel, PanelToGlue, board_measure, panel_boards
from kit.panel_gaps import panel_gaps
from kit.panel_year import panel_year
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one


def glued(length, width, count=1, name="side"):
    """Equal panels."""
    return GluedPanel(name=name, length=Q(length, "mm"), width=Q(width, "mm"), count=count)


def boards(*panels, **changed):
    """Boards for panels of 22 mm from boards of 240 x 27 mm."""
    given = {"rough_width": Q(240, "mm"), "rough_thickness": Q(27, "mm"), "thickness": Q(22, "mm")}
    return panel_boards(panels=panels or [glued(1500, 420, 2)], **given | changed)


def test_a_panel_takes_as_many_boards_as_reach_and_one_where_one_is_wide_enough():
    """430 mm over 234 mm are two boards; 234 mm are one, untrimmed, and 235 are two."""
    widths = [boards(glued(1500, w)).by_panel[0].boards_each.magnitude for w in (420, 234, 235, 459)]

    assert widths == [2, 1, 2, 3]


def test_boards_are_cut_longer_by_both_ends():
    """1500 mm and twice 25 mm, four boards: 6.2 m."""
    assert boards().by_panel[0].rough_length == Q(1550, "mm")
    assert boards().board_length.m_as("m") == pytest.approx(4 * 1.55)
    assert boards(end=Q(0, "mm")).board_length.m_as("m") == pytest.approx(6)


def test_what_is_ripped_off_and_each_boards_width_make_up_the_panel():
    """Two boards of 234 mm are 48 mm wider than 420."""
    (side,) = boards().by_panel

    assert side.ripped.m_as("mm") == pytest.approx(48)
    assert (side.boards_each * side.board_width).m_as("mm") == pytest.approx(420)


def test_yield_is_finished_timber_over_rough():
    """Two panels of 1500 x 420 x 22 mm out of 6.2 m of 240 x 27 mm."""
    made = boards()

    assert made.rough_volume.m_as("mm^3") == pytest.approx(6200 * 240 * 27)
    assert made.yielded.m_as("") == pytest.approx(2 * 1500 * 420 * 22 / (6200 * 240 * 27))


def test_glue_lines_are_counted_once_and_single_boards_have_none():
    """One line in each of two sides; a shelf of one board goes into no clamp."""
    made = boards(glued(1500, 420, 2), glued(600, 200, 3, "shelf"))

    assert made.joint_area.m_as("mm^2") == pytest.approx(2 * 1500 * 22)
    assert [(row.name, row.count, row.lines) for row in made.to_glue] == [("side", 2, 1)]
    assert made.area.m_as("mm^2") == pytest.approx(2 * 1500 * 420 + 3 * 600 * 200)
    assert made.edges.m_as("mm^2") == pytest.approx(22 * 2 * (2 * 1920 + 3 * 800))


def test_boards_that_do_not_plane_to_the_thickness_fail():
    """27 mm less twice 2.5 leave 22."""
    assert boards().planes_to.verdict == "meets"
    assert boards(thickness=Q(23, "mm")).planes_to.verdict == "fails"


def test_jointing_that_uses_up_a_board_is_refused():
    """The sentence stands beside both inputs."""
    with pytest.raises(InputError) as refused:
        boards(rough_width=Q(6, "mm"))

    assert set(refused.value.faults) == {"rough_width", "edge"}


def test_samples_of_boards_agree_with_one_by_one():
    """Rows are worked out with their samples; what goes into clamps is counted from the middle."""
    agrees_one_by_one(
        lambda pick: replace(
            boards(
                GluedPanel(name="a", length=pick([1500, 1400], "mm"), width=pick([420, 470], "mm")),
                rough_width=pick([240, 245], "mm"),
            ),
            to_glue=(),
        ),
        2,
    )


def test_board_feet_count_thin_stock_as_an_inch():
    """Half an inch is sold as one; the volume is what it is."""
    thin, inch = (board_measure(thickness=Q(t, "in"), width=Q(12, "in"), length=Q(1, "ft")) for t in (0.5, 1))

    assert thin.feet == inch.feet
    assert (inch.volume / thin.volume).m_as("") == pytest.approx(2)


def lines(**changed):
    """The glue lines of the demo's lids and top."""
    given = {
        "lid_lines": 4,
        "lid_length": Q(640, "mm"),
        "lid_thickness": Q(26, "mm"),
        "lid_board": Q(110, "mm"),
        "top_lines": 3,
        "top_board": Q(100, "mm"),
        "lid_pressure": Q(1.2, "MPa"),
    }
    return glue_lines(**given | changed)


def to_glue(name="sides", count=2, line=1, length=1500.0, board=210.0, pressure=None):
    """Panels for the clamps."""
    return PanelToGlue(
        name=name,
        count=count,
        lines=line,
        length=Q(length, "mm"),
        thickness=Q(22, "mm"),
        board_width=Q(board, "mm"),
        pressure=pressure,
    )


def test_every_glue_line_is_taken_once():
    """Two lids of four lines, a top of three, sides, corners and what the reader adds."""
    drawer = Joint(name="drawer", length=Q(100, "mm"), width=Q(10, "mm"), count=3, faces="one")
    found = lines(panels=[to_glue()], corners=4, others=[drawer])

    assert {j.name: j.count for j in found.joints} == {
        "lids": 8,
        "fixed top": 3,
        "sides": 2,
        "finger-jointed corners": 4,
        "drawer": 3,
    }
    assert found.edge_glued.m_as("mm^2") == pytest.approx(11 * 640 * 26 + 2 * 1500 * 22)
    assert found.at_corners.m_as("mm^2") == pytest.approx(4 * 816 * 22)


def test_a_panel_of_one_board_has_no_line_and_equal_names_are_told_apart():
    """A lid without joints leaves the list; a second row called 'fixed top' is numbered."""
    found = lines(lid_lines=0, panels=[to_glue("fixed top")])

    assert [row.name for row in found.to_glue] == ["fixed top", "fixed top (2)"]


def plan(*panels, **changed):
    """Their glue-ups with eight clamps of 4 kN."""
    given = {
        "joint_time": Q(60, "s"),
        "fixed_time": Q(90, "s"),
        "open_time": Q(8, "min"),
        "pressure": Q(0.8, "MPa"),
        "clamp_force": Q(4, "kN"),
        "clamps": 8,
    }
    return glue_plan(panels=panels or [to_glue()], **given | changed)


def test_a_go_holds_the_lines_that_fit_into_the_planned_time():
    """384 s less 90 s are three lines of 90 s; ten lines are four goes."""
    (row,) = plan(to_glue(count=1, line=10)).by_panel

    assert (row.lines_a_go, row.goes) == (Q(3), Q(4))
    assert row.time == Q(90 + 3 * 90, "s")


def test_clamps_are_the_more_of_force_and_spread():
    """26.4 kN over 4 kN are seven; narrow boards of 50 mm take fifteen."""
    assert plan().by_panel[0].clamps == Q(7)
    assert plan(to_glue(board=50)).by_panel[0].clamps == Q(15)
    assert plan(to_glue(board=50), caul=Q(60, "mm")).by_panel[0].clamps == Q(7)


def test_a_caul_makes_the_clamps_for_the_force_enough():
    """Seven clamps on 1500 mm stand 214 mm apart; boards of 50 mm need 57 mm of caul."""
    (row,) = plan(to_glue(board=50)).by_panel

    assert row.caul.m_as("mm") == pytest.approx(1500 / 7 / 2 - 50)
    assert plan().by_panel[0].caul == Q(0, "mm")


def test_too_few_clamps_fail_and_the_pressure_they_reach_is_said():
    """Three of 4 kN on 1500 x 22 mm."""
    found = plan(clamps=3)

    assert found.enough.verdict == "fails"
    assert found.by_panel[0].reached.m_as("MPa") == pytest.approx(12_000 / (1500 * 22))


def test_panels_stand_in_clamps_side_by_side_where_clamps_allow():
    """Fourteen clamps hold two at once: one round instead of two."""
    assert plan().clamped.m_as("h") == pytest.approx(2)
    assert plan(clamps=14).clamped.m_as("h") == pytest.approx(1)
    assert plan(clamp_time=Q(90, "min")).clamped.m_as("h") == pytest.approx(3)


def test_a_panel_may_have_a_pressure_of_its_own():
    """Oak among cedar."""
    oak, cedar = plan(to_glue("oak", pressure=Q(1.2, "MPa")), to_glue("cedar")).by_panel

    assert (oak.force / cedar.force).m_as("") == pytest.approx(1.5)


def test_a_line_too_long_for_the_open_time_fails():
    """5 m at a minute a metre and 90 s are more than 384 s."""
    assert plan(to_glue(length=5000)).one_line.verdict == "fails"
    assert plan().one_line.verdict == "meets"


def test_nothing_to_glue_is_no_fault():
    """A build of single boards."""
    found = glue_plan(
        panels=[],
        joint_time=Q(60, "s"),
        fixed_time=Q(90, "s"),
        open_time=Q(8, "min"),
        pressure=Q(0.8, "MPa"),
        clamp_force=Q(4, "kN"),
        clamps=8,
    )

    assert (found.goes, found.enough.verdict) == (Q(0), "does not apply")


def test_samples_of_a_glue_plan_agree_with_one_by_one():
    """Every number of every row."""
    agrees_one_by_one(
        lambda pick: plan(
            to_glue(line=5),
            pressure=pick([0.6, 0.9], "MPa"),
            joint_time=pick([60, 90], "s"),
            clamp_force=pick([4, 3], "kN"),
        ),
        2,
    )


def room(**changed):
    """A quarter-sawn oak lid, 550 mm wide, fitted at 12 %."""
    given = {
        "width": Q(550, "mm"),
        "timber": "white oak",
        "cut": "quarter-sawn",
        "start": Q(12, "percent"),
        "driest": Q(10, "percent"),
        "wettest": Q(20, "percent"),
        "farthest": Q(220, "mm"),
    }
    return panel_gaps(**given | changed)


def test_a_panel_held_in_the_middle_moves_half_at_each_edge():
    """550 mm x 0.0018 x 8 and x 2; held at one edge all of it shows at the other."""
    middle, edge = room(), room(held="at one edge")

    assert middle.swells.m_as("mm") == pytest.approx(550 * 0.0018 * 8)
    assert middle.shrinks.m_as("mm") == pytest.approx(550 * 0.0018 * 2)
    assert (middle.travel_out / middle.swells).m_as("") == pytest.approx(0.5)
    assert edge.travel_out == edge.swells


def test_the_gap_at_fitting_leaves_the_least_when_wettest():
    """2 mm and what the edge goes outwards; dry it opens by what the edge goes back."""
    found = room()

    assert (found.gap - found.travel_out).m_as("mm") == pytest.approx(2)
    assert found.gap_wet.m_as("mm") == pytest.approx(2)
    assert (found.gap_dry - found.gap).m_as("mm") == pytest.approx(found.travel_in.m_as("mm"))


def test_a_gap_decided_too_small_binds_when_wet():
    """3 mm are less than 3.96 mm and 2 mm besides."""
    assert room(fitted_gap=Q(3, "mm")).stays_clear.verdict == "fails"
    assert room(fitted_gap=Q(7, "mm")).stays_clear.verdict == "meets"
    assert room().stays_clear.verdict == "does not apply"


def test_a_gap_too_wide_when_dry_fails():
    """7 mm open to 8."""
    assert room(fitted_gap=Q(7, "mm"), most_gap=Q(8, "mm")).not_wide.passes
    assert not room(fitted_gap=Q(7.1, "mm"), most_gap=Q(8, "mm")).not_wide.passes


def test_a_slot_is_screw_travel_both_ways_and_spare():
    """5 mm, 220 mm x 0.0018 x 10, and 1 mm at each end; the screw sits where it can still go out."""
    found = room()

    assert found.slot.m_as("mm") == pytest.approx(5 + 220 * 0.0018 * 10 + 2)
    assert found.screw_place.m_as("mm") == pytest.approx(2.5 + 220 * 0.0018 * 8 + 1)
    assert room(slot_made=Q(10, "mm")).slotted.verdict == "fails"
    assert room(slot_made=Q(12, "mm")).slotted.passes


def test_wood_fitted_wetter_than_it_ever_gets_only_shrinks():
    """Fitted at 22 % and never above 20."""
    found = room(start=Q(22, "percent"))

    assert found.swells == Q(0, "mm")
    assert found.shrinks.m_as("mm") == pytest.approx(550 * 0.0018 * 12)


def test_moistures_the_wrong_way_round_are_refused():
    """The wettest below the driest."""
    with pytest.raises(InputError, match="the wettest must not be drier than the driest"):
        room(wettest=Q(8, "percent"))


def test_samples_of_room_agree_with_one_by_one():
    """Every number and check."""
    agrees_one_by_one(
        lambda pick: room(
            width=pick([500, 550], "mm"), wettest=pick([18, 20], "percent"), fitted_gap=pick([3, 9], "mm")
        ),
        2,
    )


def test_the_year_of_a_panel_follows_the_air_of_its_months():
    """Widest in the damp month, and the gap is what is left of the one it was fitted with."""
    months = [
        Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
        Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent")),
    ]
    found = panel_year(
        months=months,
        width=Q(550, "mm"),
        timber="white oak",
        cut="quarter-sawn",
        start=Q(12, "percent"),
        gap=Q(6, "mm"),
    )

    assert (found.wet_month, found.dry_month) == ("January", "July")
    assert (Q(6, "mm") - found.gap_left - found.change / 2).m_as("mm") == pytest.approx([0] * 12)
    assert (found.least_gap, found.widest_gap) == (found.gap_left[0], found.gap_left[6])


def test_samples_of_a_year_agree_with_one_by_one():
    """Months in front, samples behind."""

    def one(pick):
        air = [Month(name="January", temperature=pick([1, 3], "degC"), humidity=pick([88, 80], "percent"))]
        made = panel_year(
            months=air,
            width=pick([550, 500], "mm"),
            timber="white oak",
            cut="quarter-sawn",
            start=Q(12, "percent"),
            gap=Q(6, "mm"),
        )
        return (made.widest_gap, made.least_gap, made.change[0], made.gap_left[6])

    agrees_one_by_one(one, 2)
