"""Notches and holes, cut lengths against the layout, and a right angle by 3-4-5."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.calculator import InputError
from kit.cut_lengths import cut_lengths
from kit.members import Member
from kit.notches import notch
from kit.quantities import Q
from kit.right_angle import right_angle
from tests.one_by_one import agrees_one_by_one


def cut(**changed):
    """A seat of 20 mm in a joist of 45 x 120 of C24."""
    given = {"rules": "European", "thickness": Q(45, "mm"), "depth": Q(120, "mm"), "shear": Q(4, "MPa"),
             "force": Q(2300, "N"), "cut": Q(20, "mm"), "length": Q(60, "mm"), "from_support": Q(40, "mm")}
    return notch(**given | changed)


def test_a_notch_worked_by_hand():
    """Five sixths left: kv is 5 / (10.954 x (0.3727 + 0.8 x 0.3333 x 0.7115)) = 0.811; 0.77 MPa on 100 mm."""
    found = cut()
    share = 100 / 120
    bite = math.sqrt(share * (1 - share)) + 0.8 * 40 / 120 * math.sqrt(1 / share - share**2)

    assert found.reduction.m == pytest.approx(5 / (math.sqrt(120) * bite))
    assert found.shear_stress.m_as("MPa") == pytest.approx(1.5 * 2300 / 4500)
    assert found.holds.verdict == "meets"


def test_deeper_is_weaker_eased_is_stronger_and_none_takes_nothing():
    """One direction a term."""
    plain = cut()

    assert cut(cut=Q(30, "mm")).reduction < plain.reduction
    assert cut(from_support=Q(80, "mm")).reduction < plain.reduction
    assert cut(slope=Q(3, "1")).reduction > plain.reduction
    assert cut(cut=Q(0, "mm"), from_support=Q(0, "mm")).reduction.m == 1
    assert cut(cut=Q(0, "mm")).holds.verdict == "does not apply"


def test_the_north_american_rule_is_the_square_of_the_depth_left():
    """(100 / 120)^2."""
    assert cut(rules="North American").reduction.m == pytest.approx((100 / 120) ** 2)


def test_limits_by_place():
    """A quarter over a support, a sixth beside it and as long as a third, none in the middle; a hole a third."""
    middle = cut(where="in the middle third of a span")
    outer = cut(where="in the outer third of a span")

    assert cut().deepest.m_as("mm") == pytest.approx(30)
    assert outer.deepest.m_as("mm") == pytest.approx(20)
    assert outer.short.verdict == "fails"
    assert middle.shallow.verdict == "fails"
    assert middle.holds.verdict == "does not apply"
    assert cut(hole=Q(45, "mm"), from_edge=Q(50, "mm")).hole_small.verdict == "fails"
    assert cut(hole=Q(20, "mm"), from_edge=Q(40, "mm")).hole_inside.verdict == "fails"
    assert cut().hole_small.verdict == "does not apply"


def test_rules_that_do_not_fit_leave_a_notch_uncovered():
    """The handbook alone, and a grade of the other family."""
    assert cut(rules="handbook only").holds.verdict == "not covered"
    assert cut(grade="hem-fir No. 2").holds.verdict == "not covered"


def test_a_notch_through_the_joist_is_refused():
    """With what to write."""
    with pytest.raises(InputError, match="it takes the whole depth away; write 20 mm for a joist of 120 mm"):
        cut(cut=Q(130, "mm"))


def member(name, length, pieces):
    """A row of the cut list."""
    return Member(name=name, timber="Douglas-fir (coast)", pieces=pieces, thickness=Q(45, "mm"), depth=Q(120, "mm"),
                  length=Q(length, "mm"), x=Q(0, "m"), y=Q(0, "m"), z=Q(60, "mm"))


def listed(*rows, **changed):
    """The layout of a deck of 3000 x 2200 with eight joists."""
    given = {"joist_length": Q(2110, "mm"), "rim_length": Q(3000, "mm"), "clear": Q(366.4, "mm"), "joists": 8}
    return cut_lengths(pieces=rows, **given | changed)


def test_a_cut_list_that_fits_the_layout_meets():
    """Joists between the rims, rims along, noggings a third of a millimetre short."""
    found = listed(member("joists", 2110, 8), member("rims", 3000, 2), member("noggings", 366, 7))

    assert found.fit.verdict == found.enough.verdict == "meets"
    assert [row.off.m_as("mm") for row in found.rows] == pytest.approx([0, 0, -0.4])


def test_rims_that_were_forgotten_are_found():
    """Joists cut to the width of the deck are 90 mm too long."""
    found = listed(member("joists", 2200, 8), member("rims", 3000, 2))

    assert found.fit.verdict == "fails"
    assert found.furthest.m_as("mm") == pytest.approx(90)


def test_a_joist_too_few_is_found():
    """Seven of eight, or six noggings for seven bays."""
    assert listed(member("joists", 2110, 7)).enough.verdict == "fails"
    assert listed(member("noggings", 366.4, 6)).spare.m == -1
    assert listed(member("noggings", 366.4, 9)).enough.verdict == "meets"


def test_rows_of_other_names_are_left_alone():
    """Nothing to compare is no pass."""
    found = listed(member("ladder stringers", 900, 2))

    assert found.rows == ()
    assert found.fit.verdict == "does not apply"
    assert listed(member("floor beams", 2110, 8), joist_row="floor beams").fit.verdict == "meets"


def corner(**changed):
    """A frame of 3000 x 2200."""
    return right_angle(long_side=Q(3000, "mm"), short_side=Q(2200, "mm"), **changed)


def test_the_largest_triangle_that_fits():
    """Seven steps of 100 mm: 2800, 2100, 3500."""
    found = corner()

    assert [leg.m_as("mm") for leg in (found.long_leg, found.short_leg, found.slope)] == [2800, 2100, 3500]
    assert found.square.verdict == "does not apply"


def test_a_turned_frame_has_its_longer_leg_on_the_longer_side():
    """Sides swapped, legs swapped."""
    found = right_angle(long_side=Q(2200, "mm"), short_side=Q(3000, "mm"))

    assert found.long_leg.m_as("mm") == 2100
    assert found.short_leg.m_as("mm") == 2800


def test_a_corner_that_is_open_is_told_to_close():
    """6 mm more than 3500 between the marks; the far end lies out by what the law of cosines says."""
    found = corner(measured=Q(3506, "mm"))

    assert found.square.verdict == "fails"
    assert found.advice.startswith("Close the corner until the marks are 3500 mm apart")
    assert found.offset.m_as("mm") == pytest.approx(2200 * (3506**2 - 3500**2) / (2 * 2800 * 2100))
    assert corner(measured=Q(3490, "mm")).advice.startswith("Open the corner")
    assert corner(measured=Q(3500, "mm")).angle.m_as("deg") == pytest.approx(90)


def test_lengths_that_make_no_triangle_are_refused():
    """With what to measure."""
    with pytest.raises(InputError, match="these three lengths make no triangle"):
        corner(measured=Q(6000, "mm"))


def test_samples_agree_one_by_one():
    """Notches, lists and corners."""
    for rules in ("European", "North American", "handbook only"):
        agrees_one_by_one(lambda pick, rules=rules: cut(
            rules=rules, cut=pick([10, 20, 40], "mm"), from_support=pick([0, 40, 90], "mm")), 3)
    agrees_one_by_one(lambda pick: listed(
        member("joists", 2110, 8), member("rims", 3000, 2), joist_length=pick([2105, 2110, 2120], "mm")), 3)
    agrees_one_by_one(lambda pick: corner(measured=pick([3490, 3500, 3507], "mm")), 3)
    agrees_one_by_one(lambda pick: right_angle(
        long_side=pick([3000, 1500, 2500], "mm"), short_side=pick([2200, 2500, 900], "mm")), 3)
    assert np.isnan(corner().angle.m)
