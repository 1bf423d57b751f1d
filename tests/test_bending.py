"""A board under one foot, and what its grade promises."""

from __future__ import annotations

import numpy as np
import pytest

from kit.bending import board_bending
from kit.calculator import InputError
from kit.grades import strength_class
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one


def foot(**changed):
    """1.5 kN on a C24 board of 28 x 145 mm between joists at 411 mm."""
    given = {"rules": "European", "load": Q(1500, "N"), "span": Q(411, "mm"), "width": Q(145, "mm"),
             "thickness": Q(28, "mm"), "bending": Q(24, "MPa"), "elasticity": Q(11, "GPa")}
    return board_bending(**given | changed)


def test_a_foot_worked_by_hand():
    """1.5 x 1500 x 0.411 / 4 = 231.2 N m on 18 947 mm3 is 12.2 MPa; 24 x 0.7 x 1.3 / 1.3 = 16.8 MPa; 0.74 mm."""
    found = foot()

    assert found.stress.m_as("MPa") == pytest.approx(1.5 * 1500 * 411 / 4 / (145 * 28**2 / 6))
    assert found.strength.m_as("MPa") == pytest.approx(16.8)
    assert found.deflection.m_as("mm") == pytest.approx(0.74, abs=0.005)
    assert found.strong.verdict == found.stiff.verdict == "meets"


def test_stress_and_deflection_go_with_powers_of_thickness_and_span():
    """Squares and cubes."""
    thin, long = foot(thickness=Q(14, "mm")), foot(span=Q(822, "mm"))

    assert (thin.stress / foot().stress).m_as("") == pytest.approx(4)
    assert (thin.deflection / foot().deflection).m_as("") == pytest.approx(8)
    assert (long.stress / foot().stress).m_as("") == pytest.approx(2)
    assert (long.deflection / foot().deflection).m_as("") == pytest.approx(8)


def test_size_helps_only_between_its_bounds():
    """Nothing at 150 mm, a fifth root between, at most 1.3."""
    deep, middling, thin = (foot(thickness=Q(mm, "mm")).strength.m_as("MPa") for mm in (150, 75, 10))

    assert middling / deep == pytest.approx(2**0.2)
    assert thin / deep == pytest.approx(1.3)


def test_a_lower_grade_or_a_wider_span_fails():
    """Ungraded counts as C16; the same foot on a span of 900 mm breaks C24 too."""
    ungraded = strength_class(grade="ungraded")

    assert foot(bending=ungraded.bending, elasticity=ungraded.elasticity).strong.verdict == "fails"
    assert foot(span=Q(900, "mm")).strong.verdict == "fails"
    assert ungraded.bending == strength_class(grade="C16").bending


def test_north_american_values_are_allowable_and_lose_by_wet_service():
    """No load factor; 0.85 above 1150 psi and none below; E by 0.9."""
    strong, weak = (foot(rules="North American", bending=Q(psi, "psi")) for psi in (1500, 1000))

    assert strong.stress.m_as("MPa") == pytest.approx(foot().stress.m_as("MPa") / 1.5)
    assert strong.strength.m_as("psi") == pytest.approx(1500 * 1.25 * 0.85)
    assert weak.strength.m_as("psi") == pytest.approx(1000 * 1.25)
    assert strong.deflection.m_as("mm") == pytest.approx(foot().deflection.m_as("mm") / 0.9)


def test_the_handbook_alone_gives_no_strength():
    """Averages of clear wood design nothing."""
    found = foot(rules="handbook only")

    assert found.strong.verdict == "not covered"
    assert np.isnan(found.strength.m)


def test_values_of_a_grade_from_memory_are_said_to_be_so():
    """Of C24 only the rarer ones."""
    assert strength_class(grade="C24").notes == (
        "shear, bearing and low stiffness of C24 are from memory, not yet read in EN 338",)
    assert strength_class(grade="C16").notes == ("the values of C16 are from memory, not yet read in EN 338",)


def test_a_grade_nobody_sells_is_refused():
    """With those there are."""
    with pytest.raises(InputError, match="'C25' is not one of 'ungraded', 'C14', 'C16'"):
        strength_class(grade="C25")


def test_inches_and_pounds_give_the_same_stress():
    """The unit of an entry does not matter."""
    imperial = foot(load=Q(1500 / 4.4482216152605, "lbf"), span=Q(411 / 25.4, "in"), width=Q(145 / 25.4, "in"))

    assert imperial.stress.m_as("MPa") == pytest.approx(foot().stress.m_as("MPa"))


def test_samples_of_a_foot_agree_one_by_one():
    """Size bounds and the wet step included."""
    for rules in ("European", "North American"):
        agrees_one_by_one(lambda pick, rules=rules: foot(
            rules=rules, thickness=pick([28, 60, 150], "mm"), bending=pick([24, 7, 8.5], "MPa")), 3)
