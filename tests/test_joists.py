"""Strength and stiffness of a joist: every factor, every check, and how far it may span."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.grades import strength_class
from kit.joists import joist_strength
from kit.longest_span import longest_span
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

C24 = {"bending": Q(24, "MPa"), "shear": Q(4, "MPa"), "across": Q(2.5, "MPa"), "elasticity": Q(11, "GPa")}
FIR = {"bending": Q(900, "psi"), "shear": Q(180, "psi"), "across": Q(625, "psi"), "elasticity": Q(1.6e6, "psi")}


def joist(**changed):
    """45 x 120 of C24 under 600 N m, 2300 N and 3600 N."""
    given = C24 | {
        "rules": "European", "thickness": Q(45, "mm"), "depth": Q(120, "mm"), "seat": Q(100, "mm"),
        "sagging": Q(250, "N*m"), "hogging": Q(600, "N*m"), "force": Q(2300, "N"), "reaction": Q(3600, "N"),
        "longest": Q(650, "mm"), "overhang": Q(250, "mm"), "bow": Q(4.4, "N*m^3"), "bow_lasting": Q(4.6, "N*m^3"),
        "dip": Q(22, "N*m^3"), "dip_lasting": Q(23, "N*m^3")}
    return joist_strength(**given | changed)


def american(**changed):
    """A 2 x 8 of Douglas fir-larch No. 2."""
    return joist(rules="North American", thickness=Q(1.5, "in"), depth=Q(7.25, "in"), **FIR | changed)


def test_stresses_worked_by_hand():
    """600 N m on 108 000 mm3, 1.5 x 2300 N on 5400 mm2, 3600 N on 4500 mm2, 22 / 71 280 of stiffness."""
    found = joist()

    assert found.bending_stress.m_as("MPa") == pytest.approx(600 / 0.108e-3 / 1e6)
    assert found.shear_stress.m_as("MPa") == pytest.approx(1.5 * 2300 / 5400)
    assert found.bearing_stress.m_as("MPa") == pytest.approx(0.8)
    assert found.tip.m_as("mm") == pytest.approx(22 / (11e9 * 0.045 * 0.12**3 / 12) * 1000)
    assert found.least_seat.m_as("mm") == pytest.approx(3600 / 45 / (2.5 * 0.7 / 1.3))


def test_european_strengths_by_their_factors():
    """0.7 for a wet week, 1.3 on material, (150/120)^0.2 for size, 1.1 when shared, 0.67 for cracks."""
    found, alone = joist(shared=True), joist()

    assert alone.bending_allowed.m_as("MPa") == pytest.approx(24 * 0.7 / 1.3 * (150 / 120) ** 0.2)
    assert (found.bending_allowed / alone.bending_allowed).m_as("") == pytest.approx(1.1)
    assert found.shear_allowed.m_as("MPa") == pytest.approx(4 * 0.7 / 1.3 * 0.67)
    assert joist(duration="permanent").bending_allowed < alone.bending_allowed
    assert joist(service="dry").bending_allowed > alone.bending_allowed


def test_north_american_strengths_by_their_factors():
    """Size 1.2, a week 1.25, sharing 1.15; wet bearing 0.67, shear 0.97, and bending 0.85 above 1150 psi."""
    wet, dry = american(shared=True), american(service="dry")

    assert wet.bending_allowed.m_as("psi") == pytest.approx(900 * 1.2 * 1.25 * 1.15)
    assert wet.shear_allowed.m_as("psi") == pytest.approx(180 * 1.25 * 0.97)
    assert wet.bearing_allowed.m_as("psi") == pytest.approx(625 * 0.67)
    assert (wet.sag / dry.sag).m_as("") == pytest.approx(1 / 0.9)
    assert american(bending=Q(1000, "psi")).bending_allowed.m_as("psi") == pytest.approx(1200 * 1.25 * 0.85)
    assert american(incised=True).bending_allowed.m_as("psi") == pytest.approx(900 * 1.2 * 1.25 * 0.8)


def test_a_grade_that_holds_its_size_gets_no_size_factor():
    """Southern pine."""
    rolled = american(grade="southern pine No. 2, 7.25 in deep", bending=Q(925, "psi"))

    assert rolled.bending_allowed.m_as("psi") == pytest.approx(925 * 1.25)


def test_a_grade_of_the_other_family_is_not_covered():
    """One family of rules a build: never a European grade with allowable stresses."""
    mixed = american(grade="C24")

    assert mixed.bends.verdict == mixed.bears.verdict == "not covered"
    assert "C24 belongs to the European rules" in mixed.bends.reason
    assert mixed.stiff.verdict == "meets"
    assert joist(grade="C24").bends.verdict == "meets"


def test_the_handbook_alone_gives_no_strength_but_a_sag():
    """Averages of clear wood design nothing; stiffness is stiffness."""
    found = joist(rules="handbook only")

    assert found.bends.verdict == "not covered"
    assert np.isnan(found.bending_allowed.m)
    assert found.sag.m == pytest.approx(joist().sag.m)


def test_every_check_can_fail():
    """Three times the forces, or a narrow seat, or a soft joist."""
    assert joist(hogging=Q(1800, "N*m")).bends.verdict == "fails"
    assert joist(force=Q(7000, "N")).shears.verdict == "fails"
    assert joist(seat=Q(40, "mm")).bears.verdict == "fails"
    assert joist(bow=Q(140, "N*m^3")).stiff.verdict == "fails"
    assert joist(bow_lasting=Q(200, "N*m^3")).stiff_lasting.verdict == "fails"
    assert joist(dip=Q(120, "N*m^3")).stiff_tip.verdict == "fails"
    assert joist(overhang=Q(0, "mm")).stiff_tip.verdict == "does not apply"


def test_what_lifts_off_must_be_held():
    """Without the strength of a strap the check is open; it never reads as a pass."""
    assert joist().held.verdict == "does not apply"
    assert joist(uplift=Q(1500, "N")).held.verdict == "open"
    assert joist(uplift=Q(1500, "N"), strap=Q(1, "kN")).held.verdict == "fails"
    assert joist(uplift=Q(1500, "N"), strap=Q(3, "kN")).held.verdict == "meets"


def test_what_governs_is_named():
    """Bearing on a seat of 100 mm, bending on a long one."""
    assert joist().governed_by == "bearing"
    assert joist(seat=Q(500, "mm"), force=Q(100, "N")).governed_by == "bending"


def test_a_slender_joist_is_told_to_be_kept_upright():
    """More than four times as deep as thick."""
    assert any("blocking must keep it upright" in note for note in joist(depth=Q(200, "mm")).notes)
    assert not any("upright" in note for note in joist().notes)


def reach(**changed):
    """C24 45 x 120 at 411 mm."""
    given = C24 | {"rules": "European", "thickness": Q(45, "mm"), "depth": Q(120, "mm"), "spacing": Q(411, "mm")}
    return longest_span(**given | changed)


def test_spans_go_with_depth_spacing_and_load():
    """Bending with the root of the load's inverse, sag with the cube root; shear and bearing straight."""
    plain, twice = reach(dead=Q(0, "kPa")), reach(dead=Q(0, "kPa"), spacing=Q(822, "mm"))

    assert (plain.by_bending / twice.by_bending).m_as("") == pytest.approx(2**0.5)
    assert (plain.by_sag / twice.by_sag).m_as("") == pytest.approx(2 ** (1 / 3))
    assert (plain.by_shear / twice.by_shear).m_as("") == pytest.approx(2)
    assert (plain.by_bearing / twice.by_bearing).m_as("") == pytest.approx(2)
    assert plain.span.m == min(plain.by_bending.m, plain.by_shear.m, plain.by_bearing.m, plain.by_sag.m)
    assert plain.governed_by == "sag"


def test_a_span_that_is_there_is_compared():
    """With the shortest of the four; without one there is nothing to compare."""
    assert reach(present=Q(650, "mm")).short_enough.verdict == "meets"
    assert reach(present=Q(4, "m")).short_enough.verdict == "fails"
    assert reach().short_enough.verdict == "does not apply"
    assert reach(rules="handbook only", present=Q(4, "m")).short_enough.verdict == "not covered"


def test_north_american_grades_are_read_in_their_own_unit():
    """900 psi is 6.2 MPa."""
    fir = strength_class(grade="Douglas fir-larch No. 2")

    assert fir.bending.m_as("psi") == pytest.approx(900)
    assert fir.family == "North American"
    assert strength_class(grade="C24").family == "European"


def test_a_joist_of_no_thickness_is_refused():
    """With what is allowed."""
    with pytest.raises(InputError, match=r"thickness .*: 4 mm is outside 15 to 300 mm"):
        joist(thickness=Q(4, "mm"))


def test_samples_agree_one_by_one():
    """Steps of size and wet service included."""
    for rules in ("European", "North American", "handbook only"):
        agrees_one_by_one(lambda pick, rules=rules: joist(
            rules=rules, depth=pick([90, 150, 240], "mm"), bending=pick([5, 7, 24], "MPa"),
            hogging=pick([100, 600, 3000], "N*m")), 3)
        agrees_one_by_one(lambda pick, rules=rules: reach(
            rules=rules, depth=pick([90, 150, 240], "mm"), spacing=pick([300, 400, 600], "mm"),
            elasticity=pick([8, 11, 12], "GPa"), present=Q(2, "m")), 3)
