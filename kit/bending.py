"""A board between two joists under one heavy foot."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply, not_covered
from kit.fasteners import Rules, rule_family
from kit.grades import NO_DESIGN, Grade, design, foreign, grade_choice, load_factors, strength_input
from kit.kinds import Asks, Choice, In, Out
from kit.quantities import Q, Quantity
from kit.screw_strength import Duration, WetOrDry

__all__ = ["BoardBending", "board_bending"]


@result
class BoardBending:
    """A board between two joists under one point load."""

    moment: Annotated[Quantity, Out("N*m", "bending moment, load factor included", rounding="up")]
    stress: Annotated[Quantity, Out("MPa", "bending stress, load factor included")]
    strength: Annotated[Quantity, Out("MPa", "bending strength to design with",
                                      absent="no design value by the handbook only")]
    deflection: Annotated[Quantity, Out("mm", "how far the board gives under the load", resolution=0.01)]
    end_deflection: Annotated[Quantity, Out("mm", "how far a board end gives beyond the last joist", resolution=0.01)]
    shear_stress: Annotated[Quantity, Out("MPa", "shear stress beside a joist, load factor included")]
    shear_strength: Annotated[Quantity, Out("MPa", "shear strength to design with",
                                            absent="no shear strength was given, or no design by the handbook only")]
    strong: Annotated[Check, Asks("board carries one heavy foot", "build-rules", hazard=True)]
    sheared: Annotated[Check, Asks("board is not sheared by a foot beside a joist", "build-rules")]
    stiff: Annotated[Check, Asks("board does not give too much under a foot", "practice")]


@calculator("EN1995-1-1", "NDS-2018", "FPL-GTR-190")
def board_bending(
    *,
    rules: Annotated[Rules, rule_family()],
    load: Annotated[Quantity, In("N", "point load: one heavy foot, or a leg of a ladder", 1500, ge=1, le=50_000,
                                 everyday=(800, 2500), find="1.5 kN is a large person landing", chosen=True)],
    load_factor: Annotated[Quantity, In("1", "European load factor", 1.5, ge=1, le=2)] = Q(1.5, "1"),
    span: Annotated[Quantity, In("mm", "joist centre to joist centre", 411, ge=50, le=3000, everyday=(250, 700),
                                 resolution=1)],
    width: Annotated[Quantity, In("mm", "width of the board", 145, ge=20, le=400, resolution=0.5, find="calipers",
                                  basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the board", 28, ge=8, le=150, resolution=0.5,
                                      find="calipers, the thinnest of five", basis="measured")],
    overhang: Annotated[Quantity, In("mm", "board end beyond the middle of the last joist", 60, ge=0, le=1500,
                                     everyday=(0, 250), resolution=1)] = Q(0, "mm"),
    grade: Annotated[Grade | None, grade_choice()] = None,
    bending: Annotated[Quantity, strength_input("bending strength of the grade", 24, 80)],
    shear: Annotated[Quantity | None, strength_input("shear strength of the grade", 4, 15)] = None,
    elasticity: Annotated[Quantity, In("MPa", "mean modulus of elasticity of the grade", 11_000, ge=3000, le=25_000,
                                       basis="data sheet", find="strength class table")],
    duration: Annotated[Duration, Choice("how long the load lasts", "a week or less")] = "a week or less",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
    share_of_span: Annotated[Quantity, In("1", "span over the deflection allowed", 300, ge=100, le=1000)] = Q(300, "1"),
) -> BoardBending:
    """One board on two joists with a point load at mid-span.

    M = F L / 4, or F a with the foot at an end that sticks out by a, whichever is
    more; stress = M / (b h^2 / 6), deflection = F L^3 / (48 E b h^3 / 12), shear
    1.5 F / (b h) beside a joist.  European strength is f kmod kh / 1.3 with kh =
    (150 mm / h)^0.2, at most 1.3; North American is the reference value with load
    duration and, when wet, 0.85 above 1150 psi, and E by 0.9.  The help of the
    neighbouring spans and boards is left out: it makes the board better.

    >>> foot = board_bending(rules="European", load=Q(1500, "N"), span=Q(411, "mm"), width=Q(145, "mm"),
    ...     thickness=Q(28, "mm"), bending=Q(24, "MPa"), elasticity=Q(11, "GPa"))
    >>> print(f"{foot.stress:.1f~P} of {foot.strength:.1f~P}, {foot.deflection:.2f~P}")
    12.2 MPa of 16.8 MPa, 0.74 mm
    """
    factor = load_factor if rules == "European" else load_factors(rules)[1]
    arm = Q(np.maximum(span.m_as("mm") / 4, overhang.m_as("mm"))[()], "mm")
    moment, section = Q(load * arm * factor, "N*m"), Q(width * thickness**2 / 6)
    allowed = design(rules, bending=bending, shear=bending if shear is None else shear, across=bending,
                     elasticity=elasticity, depth=thickness, duration=duration, service=service, sized=True)
    stiff = Q(allowed.elasticity * width * thickness**3 / 12, "N*mm^2")
    stress, deflection = Q(moment / section, "MPa"), Q(load * span**3 / (48 * stiff), "mm")
    strained = Q(1.5 * load * factor / (width * thickness), "MPa")
    undesigned = NO_DESIGN if rules == "handbook only" else foreign(grade, rules)
    unknown = None if undesigned is None else not_covered(undesigned)
    said = "load 1.5, material 1.3" if rules == "European" else "allowable"
    return BoardBending(
        moment=moment, stress=stress, strength=allowed.bending, deflection=deflection,
        end_deflection=Q(load * overhang**2 * (span + overhang) / (3 * stiff), "mm"), shear_stress=strained,
        shear_strength=Q(allowed.shear * (np.nan if shear is None else 1.0), "MPa"),
        strong=unknown or at_most(stress, allowed.bending, factor=said),
        sheared=unknown or (does_not_apply("no shear strength was given") if shear is None
                            else at_most(strained, allowed.shear, factor=said)),
        stiff=at_most(deflection, Q(span / share_of_span, "mm")),
    )
