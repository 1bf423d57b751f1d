"""Grade of timber, and a board between two joists under one heavy foot.

Strength comes from the grade stamped on the stick, never from the species: the
clear-wood averages of the species table must not be used here.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, not_covered
from kit.fasteners import Rules, rule_family
from kit.kinds import Asks, Choice, In, Out
from kit.quantities import Q, Quantity
from kit.screw_strength import Duration, WetOrDry, duration_factors
from kit.sources import read_table

__all__ = ["BoardBending", "StrengthClass", "board_bending", "strength_class"]

Grade = Literal["ungraded", "C14", "C16", "C18", "C24", "C30", "D30", "D40"]
_GRADES = {line["grade"]: line for line in read_table("grades")}
# Solid timber by EN 1995-1-1 Table 2.3.
_MATERIAL = 1.3


@result
class StrengthClass:
    """What a strength class promises."""

    bending: Annotated[Quantity, Out("MPa", "characteristic bending strength")]
    elasticity: Annotated[Quantity, Out("MPa", "mean modulus of elasticity")]
    density: Annotated[Quantity, Out("kg/m^3", "characteristic density, for fasteners only", resolution=1)]
    notes: tuple[str, ...] = ()


@calculator("EN338")
def strength_class(
    *,
    grade: Annotated[Grade, Choice("strength class stamped on the timber", "C24",
                                   find="the stamp on every stick; no stamp is ungraded", basis="data sheet")],
) -> StrengthClass:
    """Strength, stiffness and density of a strength class; ungraded counts as C16.

    The density is the one that nineteen sticks in twenty exceed: it serves
    fasteners, never the mass of a build.

    >>> print(f"{strength_class(grade='C24').bending:.0f~P}")
    24 MPa
    """
    line = _GRADES[grade]
    return StrengthClass(
        bending=Q(float(line["bending"]), "MPa"), elasticity=Q(float(line["elasticity"]), "MPa"),
        density=Q(float(line["density"]), "kg/m^3"),
        notes=() if line["known"] == "read" else (f"the values of {grade} are from memory, not yet read in EN 338",),
    )


@result
class BoardBending:
    """A board between two joists under one point load."""

    moment: Annotated[Quantity, Out("N*m", "bending moment, load factor included", rounding="up")]
    stress: Annotated[Quantity, Out("MPa", "bending stress, load factor included")]
    strength: Annotated[Quantity, Out("MPa", "bending strength to design with",
                                      absent="no design value by the handbook only")]
    deflection: Annotated[Quantity, Out("mm", "how far the board gives under the load", resolution=0.01)]
    strong: Annotated[Check, Asks("board carries one heavy foot", "build-rules", hazard=True)]
    stiff: Annotated[Check, Asks("board does not give too much under a foot", "practice")]


@calculator("EN1995-1-1", "NDS-2018", "FPL-GTR-190")
def board_bending(
    *,
    rules: Annotated[Rules, rule_family()],
    load: Annotated[Quantity, In("N", "point load: one heavy foot, or a leg of a ladder", 1500, ge=1, le=50_000,
                                 everyday=(800, 2500), find="1.5 kN is a large person landing")],
    load_factor: Annotated[Quantity, In("1", "European load factor", 1.5, ge=1, le=2)] = Q(1.5, "1"),
    span: Annotated[Quantity, In("mm", "joist centre to joist centre", 411, ge=50, le=3000, everyday=(250, 700),
                                 resolution=1)],
    width: Annotated[Quantity, In("mm", "width of the board", 145, ge=20, le=400, resolution=0.5, find="calipers",
                                  basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the board", 28, ge=8, le=150, resolution=0.5,
                                      find="calipers, the thinnest of five", basis="measured")],
    bending: Annotated[Quantity, In("MPa", "bending strength of the grade: characteristic, or North American reference",
                                    24, ge=3, le=80, basis="data sheet")],
    elasticity: Annotated[Quantity, In("MPa", "mean modulus of elasticity of the grade", 11_000, ge=3000, le=25_000,
                                       basis="data sheet")],
    duration: Annotated[Duration, Choice("how long the load lasts", "a week or less")] = "a week or less",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
    share_of_span: Annotated[Quantity, In("1", "span over the deflection allowed", 300, ge=100, le=1000)] = Q(300, "1"),
) -> BoardBending:
    """One board on two joists with a point load at mid-span.

    M = F L / 4, stress = M / (b h^2 / 6), deflection = F L^3 / (48 E b h^3 / 12).
    European strength is f kmod kh / 1.3 with kh = (150 mm / h)^0.2, at most 1.3;
    North American is the reference value with load duration and, when wet, 0.85
    above 1150 psi, and E by 0.9.  The help of the neighbouring spans, shear and
    sagging with the years are left out; the first two make the board better.

    >>> foot = board_bending(rules="European", load=Q(1500, "N"), span=Q(411, "mm"), width=Q(145, "mm"),
    ...     thickness=Q(28, "mm"), bending=Q(24, "MPa"), elasticity=Q(11, "GPa"))
    >>> print(f"{foot.stress:.1f~P} of {foot.strength:.1f~P}, {foot.deflection:.2f~P}")
    12.2 MPa of 16.8 MPa, 0.74 mm
    """
    european = rules == "European"
    moment = Q(load * span / 4 * (load_factor if european else 1), "N*m")
    stress = Q(moment / (width * thickness**2 / 6), "MPa")
    strength = _strength(rules, bending, thickness, duration, service)
    stiffness = elasticity * (0.9 if service == "wet" and rules == "North American" else 1)
    deflection = Q(load * span**3 / (48 * stiffness * width * thickness**3 / 12), "mm")
    factor = "load 1.5, material 1.3" if european else "allowable"
    return BoardBending(
        moment=moment, stress=stress, strength=strength, deflection=deflection,
        strong=not_covered("handbook only: averages of clear wood are no strength to design with")
        if rules == "handbook only" else at_most(stress, strength, factor=factor),
        stiff=at_most(deflection, Q(span / share_of_span, "mm")),
    )


def _strength(rules: str, bending: Quantity, thickness: Quantity, duration: str, service: str) -> Quantity:
    american, european = duration_factors(duration, service)
    if rules == "European":
        size: Any = np.clip((150 / thickness.m_as("mm")) ** 0.2, 1.0, 1.3)
        return Q(bending * european * size / _MATERIAL, "MPa")
    if rules == "North American":
        wet = np.where((bending > Q(1150, "psi")) & (service == "wet"), 0.85, 1.0)[()]
        return Q(bending * american * wet, "MPa")
    return Q(bending * thickness.m * np.nan, "MPa")
