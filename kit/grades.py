"""Grades of timber: what is stamped on the stick, and what it may be designed with by the rules chosen.

Strength comes from the grade, never from the species: the clear-wood averages
of the species table must not be used here.  European grades are designed with
partial factors on load and material, North American ones with allowable
stresses and no factor on load; a build goes by one of the two, never by both.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, NamedTuple

import numpy as np

from kit.calculator import calculator, result
from kit.kinds import Choice, In, Out, Says
from kit.quantities import Q, Quantity
from kit.screw_strength import duration_factors
from kit.sources import read_table

__all__ = [
    "MATERIAL", "NO_DESIGN", "Design", "Grade", "StrengthClass", "creep_factor", "design", "foreign", "grade_choice",
    "load_factors", "rolled", "strength_class", "strength_input",
]

Grade = Literal[
    "ungraded", "C14", "C16", "C18", "C24", "C30", "D30", "D40", "Douglas fir-larch No. 2", "hem-fir No. 2",
    "spruce-pine-fir No. 2", "western cedars No. 2", "southern pine No. 2, 5.5 in deep",
    "southern pine No. 2, 7.25 in deep", "southern pine No. 2, 9.25 in deep", "southern pine No. 2, 11.25 in deep",
]
_GRADES = {line["grade"]: line for line in read_table("grades")}
# Solid timber by EN 1995-1-1 Table 2.3.
MATERIAL = 1.3
NO_DESIGN = "handbook only: averages of clear wood are no strength to design with"
# Shear strength of solid timber counts by this share because of cracks: EN 1995-1-1 with A1, 6.1.7, from memory.
_CRACKS = 0.67
# North American size factor by greatest depth in inches, for all but southern pine. NDS Supplement 4A, from memory.
_SIZES = ((3.5, 1.5), (4.5, 1.4), (5.5, 1.3), (7.25, 1.2), (9.25, 1.1), (11.25, 1.0), (np.inf, 0.9))
# Wet service in bending above this reference value, shear, bearing and stiffness. NDS Supplement 4A, from memory.
_WET_ABOVE, _WET = Q(1150, "psi"), {"bending": 0.85, "shear": 0.97, "across": 0.67, "elasticity": 0.9}
# Incised for treatment: bending and shear, stiffness. NDS 4.3.8, as used to reproduce the published deck spans.
_INCISED, _INCISED_STIFF = 0.8, 0.95


def grade_choice() -> Choice:
    """The kind of an input that names a grade."""
    return Choice("strength class stamped on the timber", "C24", basis="data sheet",
                  find="the stamp on every stick; no stamp is ungraded")


def strength_input(meaning: str, example: float, le: float) -> In:
    """A strength: characteristic by European rules, a reference value by North American ones."""
    return In("MPa", f"{meaning}: characteristic, or North American reference", example, ge=0.3, le=le,
              basis="data sheet", find="strength class table")


@result
class StrengthClass:
    """What a strength class promises."""

    family: Annotated[str, Says("rules the grade belongs to")]
    bending: Annotated[Quantity, Out("MPa", "bending strength: characteristic, or North American reference")]
    shear: Annotated[Quantity, Out("MPa", "shear strength: characteristic, or North American reference")]
    across: Annotated[Quantity, Out("MPa", "bearing strength across the grain: characteristic, or reference")]
    elasticity: Annotated[Quantity, Out("MPa", "mean modulus of elasticity")]
    stiffness: Annotated[Quantity, Out("MPa", "low modulus of elasticity, for stability only")]
    density: Annotated[Quantity, Out("kg/m^3", "characteristic density, for fasteners only", resolution=1)]
    notes: tuple[str, ...] = ()


@calculator("EN338", "NDS-2018")
def strength_class(*, grade: Annotated[Grade, grade_choice()]) -> StrengthClass:
    """Strength, stiffness and density of a strength class; ungraded counts as C16.

    European values are characteristic ones, North American ones reference
    values before any factor.  The density is the one that nineteen sticks in
    twenty exceed: it serves fasteners, never the mass of a build.

    >>> print(f"{strength_class(grade='C24').bending:.0f~P}")
    24 MPa
    """
    line = _GRADES[grade]
    read = {name: Q(float(line[name]), line["unit"]) for name in
            ("bending", "shear", "across", "elasticity", "stiffness")}
    return StrengthClass(
        family=line["rules"], density=Q(float(line["density"]), "kg/m^3"),
        **{name: Q(value, "MPa") for name, value in read.items()}, notes=_known(grade, line),
    )


def _known(grade: str, line: Any) -> tuple[str, ...]:
    title = "EN 338" if line["source"] == "EN338" else "the NDS Supplement"
    if line["known"] != "read":
        return (f"the values of {grade} are from memory, not yet read in {title}",)
    return (f"shear, bearing and low stiffness of {grade} are from memory, not yet read in {title}",)


def foreign(grade: Grade | None, rules: str) -> str | None:
    """Why a grade cannot be designed with by the rules, or None: one family of rules a build, never mixed."""
    if grade is None or rules == "handbook only" or _GRADES[grade]["rules"] == rules:
        return None
    other = "Douglas fir-larch No. 2" if rules == "North American" else "C24"
    return f"{grade} belongs to the {_GRADES[grade]['rules']} rules and the build goes by the {rules}: " \
           f"choose a grade such as {other}"


def rolled(grade: Grade | None) -> bool:
    """True where the size of the stick is in the grade's bending value already."""
    return grade is not None and grade.startswith("southern pine")


def load_factors(rules: str) -> tuple[float, float]:
    """Factors on dead and on live load: 1.35 and 1.5 by European rules (EN 1990), none with allowable stresses."""
    return (1.35, 1.5) if rules == "European" else (1.0, 1.0)


def creep_factor(rules: str, service: str) -> float:
    """What the years add to the sag under a lasting load, as a share of it.

    k_def of solid timber in service classes 2 and 3, or K_cr less one.  Both
    from memory of EN 1995-1-1 Table 3.2 and NDS 3.5.2.
    """
    if rules == "North American":
        return 1.0 if service == "wet" else 0.5
    return 2.0 if service == "wet" else 0.8


class Design(NamedTuple):
    """Stresses that may be designed with, and the stiffness to reckon sag with."""

    bending: Quantity
    shear: Quantity
    across: Quantity
    elasticity: Quantity
    size: Any
    duration: float


def design(
    rules: str, *, bending: Quantity, shear: Quantity, across: Quantity, elasticity: Quantity, depth: Quantity,
    duration: str, service: str, shared: bool = False, incised: bool = False, sized: bool = False,
) -> Design:
    """Strengths by the rules chosen; nan by the handbook only.

    `shared`: at least three alike side by side under boards; `sized`: the
    bending value holds the size of the stick already.
    """
    american, european = duration_factors(duration, service)
    if rules == "European":
        return _european(bending, shear, across, elasticity, depth, european, shared)
    if rules == "North American":
        return _american(bending, shear, across, elasticity, depth, american, shared, incised, sized, service == "wet")
    nothing = Q(bending * depth.m * np.nan, "MPa")
    return Design(nothing, nothing, nothing, elasticity, 1.0, 1.0)


def _european(bending: Quantity, shear: Quantity, across: Quantity, elasticity: Quantity, depth: Quantity,
              modified: float, shared: bool) -> Design:
    """Values by kmod / 1.3; bending with the size of sticks below 150 mm and 1.1 for sharing, shear with its cracks."""
    size: Any = np.clip((150 / depth.m_as("mm")) ** 0.2, 1.0, 1.3)
    share = modified / MATERIAL
    return Design(
        Q(bending * share * size * (1.1 if shared else 1.0), "MPa"), Q(shear * share * _CRACKS, "MPa"),
        Q(across * share, "MPa"), elasticity, size, modified)


def _american(bending: Quantity, shear: Quantity, across: Quantity, elasticity: Quantity, depth: Quantity,
              duration: float, shared: bool, incised: bool, sized: bool, wet: bool) -> Design:
    """Reference values with size, wet service, incising, sharing and, but for bearing, load duration."""
    inches = np.asarray(depth.m_as("in"))
    size: Any = np.select([inches <= deep + 1e-9 for deep, _ in _SIZES], [factor for _, factor in _SIZES])[()]
    plain = bending * (np.ones_like(size) if sized else size)
    damp: dict[str, Any] = {name: factor if wet else 1.0 for name, factor in _WET.items()}
    damp["bending"] = np.where(wet & (plain > _WET_ABOVE), damp["bending"], 1.0)[()]
    cut, stiff = (_INCISED, _INCISED_STIFF) if incised else (1.0, 1.0)
    return Design(
        Q(plain * duration * damp["bending"] * cut * (1.15 if shared else 1.0), "MPa"),
        Q(shear * duration * damp["shear"] * cut, "MPa"), Q(across * damp["across"], "MPa"),
        Q(elasticity * damp["elasticity"] * stiff), size, duration)
