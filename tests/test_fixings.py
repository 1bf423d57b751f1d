"""Bolts of rails and ladders, and a board over all its joists."""

from __future__ import annotations

import numpy as np
import pytest

from kit.bending import board_bending
from kit.board_spans import board_spans
from kit.calculator import InputError
from kit.fixings import fixing
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

C24 = {"bending": Q(24, "MPa"), "elasticity": Q(11, "GPa")}


def rail(**changed):
    """890 N at 900 mm above two rows of two bolts, 80 mm apart, on plates of 80 mm."""
    given = {"rules": "European", "across": Q(2.5, "MPa"), "lever": Q(900, "mm"), "arm": Q(80, "mm"), "bolts": 2,
             "washer": Q(80, "mm"), "strength": Q(20, "kN")}
    return fixing(**given | changed)


def test_a_push_worked_by_hand():
    """1.5 x 890 x 980 / 80 / 2 = 8177 N a bolt, over pi/4 (80^2 - 11^2) 1.66 MPa, of 3 x 2.5 x 0.9 / 1.3."""
    found = rail()

    assert found.pull.m_as("N") == pytest.approx(1.5 * 890 * 980 / 80 / 2)
    assert found.pressure.m_as("MPa") == pytest.approx(found.pull.m_as("N") / (np.pi / 4 * (80**2 - 11**2)))
    assert found.allowed.m_as("MPa") == pytest.approx(3 * 2.5 * 0.9 / 1.3)
    assert found.moment.m_as("N*m") == pytest.approx(1.5 * 890 * 0.9)


def test_every_strength_of_a_fixing_sends_the_reader_to_a_qualified_person():
    """The verdict line says so itself, also when it meets."""
    found = rail()

    assert found.holds.verdict == found.presses.verdict == "meets"
    assert found.holds.reason == found.presses.reason == "have it checked by a qualified person"
    assert "have it checked by a qualified person" in rail(strength=None).holds.reason


def test_small_washers_and_short_arms_fail():
    """A washer of 30 mm crushes the rim; rows 20 mm apart pull four times as hard."""
    assert rail(washer=Q(30, "mm")).presses.verdict == "fails"
    assert (rail(arm=Q(20, "mm")).pull / rail().pull).m_as("") == pytest.approx(920 / 20 / (980 / 80))
    assert rail(arm=Q(20, "mm")).holds.verdict == "fails"


def test_without_a_rail_nothing_applies_and_without_a_bolt_nothing_is_passed():
    """No lever: does not apply; no strength: open; no rules: the wood is not covered."""
    assert rail(lever=None).holds.verdict == "does not apply"
    assert rail(strength=None).holds.verdict == "open"
    assert rail(rules="handbook only").presses.verdict == "not covered"
    assert rail(rules="North American", grade="C24").presses.verdict == "not covered"
    assert rail(rules="North American").pull.m_as("N") == pytest.approx(890 * 980 / 80 / 2)


def deck(**changed):
    """Larch of 28 x 145 as C24 over eight joists."""
    given = C24 | {"rules": "European", "across": Q(2.5, "MPa"), "width": Q(145, "mm"), "thickness": Q(28, "mm"),
                   "spacing": Q(411.4, "mm"), "joists": 8, "overhang": Q(60, "mm")}
    return board_spans(**given | changed)


def test_neighbouring_spans_help_and_two_joists_have_none():
    """Over eight joists it gives less than on two; on two it is the simple sum."""
    simple = board_bending(rules="European", load=Q(1500, "N"), span=Q(411.4, "mm"), width=Q(145, "mm"),
                           thickness=Q(28, "mm"), **C24)
    two = deck(joists=2, crowd=Q(0, "kPa"), overhang=Q(0, "mm"))

    assert deck().deflection < deck().on_two
    assert deck().stress < simple.stress
    assert two.deflection.m_as("mm") == pytest.approx(simple.deflection.m_as("mm"))
    assert deck().on_two.m_as("mm") == pytest.approx(simple.deflection.m_as("mm"))
    assert deck(joists=20).stress.m == pytest.approx(deck(joists=8).stress.m)


def test_a_long_board_end_governs():
    """A foot at an end of 250 mm bends it over the last joist."""
    assert deck(overhang=Q(250, "mm")).governed_by == "one person, over a support"
    assert deck(overhang=Q(250, "mm")).strong.verdict == "fails"


def test_joists_that_touch_are_refused():
    """With what to write."""
    with pytest.raises(InputError, match="the joists touch; write 411 mm for joists of 45 mm"):
        deck(spacing=Q(60, "mm"), joist_thickness=Q(80, "mm"))


def test_samples_agree_one_by_one():
    """Loads, sizes and spacing; a fixing with and without its rail."""
    agrees_one_by_one(lambda pick: deck(
        spacing=pick([350, 411, 600], "mm"), thickness=pick([20, 28, 45], "mm"), load=pick([900, 1500, 2500], "N")), 3)
    agrees_one_by_one(lambda pick: rail(lever=pick([300, 900, 1100], "mm"), across=pick([2, 2.5, 5], "MPa")), 3)
    agrees_one_by_one(lambda pick: rail(lever=None, across=pick([2, 2.5, 5], "MPa")), 3)
