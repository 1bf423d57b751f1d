"""Notches and holes in a joist: how large they may be, where, and what a notch at a support leaves of the shear."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply, fails, not_covered
from kit.fasteners import Rules, rule_family
from kit.grades import NO_DESIGN, Grade, design, foreign, grade_choice, strength_input
from kit.kinds import Asks, Choice, In, Out
from kit.quantities import Q, Quantity
from kit.screw_strength import Duration, WetOrDry

__all__ = ["Notch", "notch"]

Where = Literal["over a support", "in the outer third of a span", "in the middle third of a span"]
# Shares of the depth. At ends a quarter, elsewhere a sixth and none in the middle third; a hole a third.
_AT_END, _ELSEWHERE, _HOLE = 1 / 4, 1 / 6, 1 / 3
_FROM_EDGE = Q(50, "mm")
# Solid timber by EN 1995-1-1 6.5.2, from memory.
_SOLID = 5.0


@result
class Notch:
    """What a notch and a hole leave of a joist, and whether they may be there."""

    deepest: Annotated[Quantity, Out("mm", "deepest notch allowed there", resolution=1, rounding="down")]
    longest: Annotated[Quantity, Out("mm", "longest notch allowed away from a support", resolution=1,
                                     rounding="down")]
    largest_hole: Annotated[Quantity, Out("mm", "largest hole allowed", resolution=1, rounding="down")]
    left: Annotated[Quantity, Out("mm", "depth that is left at the notch", resolution=1)]
    reduction: Annotated[Quantity, Out("1", "what splitting at the notch leaves of the shear strength")]
    shear_stress: Annotated[Quantity, Out("MPa", "shear stress on what is left, load factors included")]
    shear_allowed: Annotated[Quantity, Out("MPa", "shear strength to design with at the notch",
                                           absent="no design value by the handbook only")]
    shallow: Annotated[Check, Asks("notch is shallow enough for its place", "IRC-R502.8")]
    short: Annotated[Check, Asks("notch is short enough", "IRC-R502.8")]
    holds: Annotated[Check, Asks("notched joist does not split at its support", "build-rules")]
    hole_small: Annotated[Check, Asks("hole is small enough", "IRC-R502.8")]
    hole_inside: Annotated[Check, Asks("hole is far enough from both edges", "IRC-R502.8")]


@calculator("IRC-R502.8", "EN1995-1-1", "NDS-2018")
def notch(
    *,
    rules: Annotated[Rules, rule_family()],
    grade: Annotated[Grade | None, grade_choice()] = None,
    thickness: Annotated[Quantity, In("mm", "thickness of the joist", 45, ge=15, le=300, everyday=(35, 100),
                                      resolution=0.5, find="calipers", basis="measured")],
    depth: Annotated[Quantity, In("mm", "depth of the joist", 120, ge=30, le=600, everyday=(70, 300), resolution=1,
                                  find="rule", basis="measured")],
    shear: Annotated[Quantity, strength_input("shear strength of the grade", 4, 15)],
    force: Annotated[Quantity, In("N", "shear at the notch", 2300, ge=0, le=1e7, find="what the joist bears")],
    cut: Annotated[Quantity, In("mm", "depth of the notch; 0 for none", 20, ge=0, le=500, resolution=1)]
    = Q(0, "mm"),
    length: Annotated[Quantity, In("mm", "length of the notch along the joist", 60, ge=0, le=5000, resolution=1)]
    = Q(0, "mm"),
    where: Annotated[Where, Choice("where the notch is")] = "over a support",
    from_support: Annotated[Quantity, In("mm", "middle of the support to the corner of the notch", 40, ge=0, le=1000,
                                         resolution=1)] = Q(0, "mm"),
    slope: Annotated[Quantity, In("1", "length of a slope that eases the corner, for each mm of depth; 0 for square",
                                  0, ge=0, le=20)] = Q(0, "1"),
    hole: Annotated[Quantity, In("mm", "diameter of the hole; 0 for none", 25, ge=0, le=500, resolution=1)]
    = Q(0, "mm"),
    from_edge: Annotated[Quantity, In("mm", "edge of the hole to the nearer edge of the joist", 50, ge=0, le=300,
                                      resolution=1)] = Q(0, "mm"),
    duration: Annotated[Duration, Choice("how long the load lasts", "a week or less")] = "a week or less",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
) -> Notch:
    """Limits of notches and holes in a sawn joist, and the shear that a notch on the supported side leaves.

    A quarter of the depth over a support, a sixth in an outer third and none in
    the middle third, no longer than a third of the depth; a hole a third of the
    depth and 50 mm from both edges.  European shear at a notch: kv = 5 (1 + 1.1
    i^1.5 / sqrt h) / (sqrt h (sqrt(a (1 - a)) + 0.8 x/h sqrt(1/a - a^2))), at
    most 1, with a the share of depth left; North American: (dn / d)^2.  A notch
    on the far side of the support, and moment at a notch, are left out.

    >>> seat = notch(rules="European", thickness=Q(45, "mm"), depth=Q(120, "mm"), shear=Q(4, "MPa"),
    ...              force=Q(2300, "N"), cut=Q(20, "mm"), length=Q(60, "mm"), from_support=Q(40, "mm"))
    >>> print(f"{seat.reduction.m:.2f}, {seat.shear_stress:.2f~P} of {seat.shear_allowed:.2f~P}")
    0.81, 0.77 MPa of 1.17 MPa
    """
    require(np.all(cut < depth) and np.all(hole < depth), "it takes the whole depth away; write 20 mm for a joist of "
            "120 mm", "cut", "hole")
    share = np.clip(((depth - cut) / depth).m_as(""), 1e-6, 1.0)
    strength = design(rules, bending=shear, shear=shear, across=shear, elasticity=shear, depth=depth,
                      duration=duration, service=service).shear
    kept = Q(_split(rules, share, depth, from_support, slope), "1")
    left, allowed = Q(depth * share, "mm"), Q(strength * kept, "MPa")
    stress = Q(1.5 * force / (thickness * left), "MPa")
    deepest = Q(depth * {"over a support": _AT_END, "in the outer third of a span": _ELSEWHERE}.get(where, 0.0), "mm")
    longest, largest = Q(depth / 3, "mm"), Q(depth * _HOLE, "mm")
    undesigned = NO_DESIGN if rules == "handbook only" else foreign(grade, rules)
    return Notch(
        deepest=deepest, longest=longest, largest_hole=largest, left=left, reduction=kept, shear_stress=stress,
        shear_allowed=allowed, **_notch_checks(where, cut, length, deepest, longest, undesigned, stress, allowed),
        **_hole_checks(hole, from_edge, largest),
    )


def _split(rules: str, share: Any, depth: Quantity, from_support: Quantity, slope: Quantity) -> Any:
    """The share of the shear strength that splitting at a square or eased corner leaves."""
    if rules == "North American":
        return share**2
    if rules == "handbook only":
        return share
    root, out = np.sqrt(depth.m_as("mm")), from_support.m_as("mm") / depth.m_as("mm")
    eased = 1 + 1.1 * slope.m_as("") ** 1.5 / root
    bite = np.sqrt(share * (1 - share)) + 0.8 * out * np.sqrt(np.maximum(1 / share - share**2, 0.0))
    with np.errstate(divide="ignore"):
        return np.minimum(1.0, np.where(bite > 0, _SOLID * eased / (root * bite), np.inf))[()]


def _notch_checks(where: str, cut: Quantity, length: Quantity, deepest: Quantity, longest: Quantity,
                  undesigned: str | None, stress: Quantity, allowed: Quantity) -> dict[str, Check]:
    if not np.any(cut.m > 0):
        none = does_not_apply("there is no notch")
        return {"shallow": none, "short": none, "holds": none}
    middle = where == "in the middle third of a span"
    support = where == "over a support"
    return {
        "shallow": fails("no notch is allowed in the middle third of a span") if middle else at_most(cut, deepest),
        "short": does_not_apply("it is over a support") if support else at_most(length, longest),
        "holds": does_not_apply("it is not over a support") if not support
        else not_covered(undesigned) if undesigned is not None else at_most(stress, allowed, factor="design value"),
    }


def _hole_checks(hole: Quantity, from_edge: Quantity, largest: Quantity) -> dict[str, Check]:
    if not np.any(hole.m > 0):
        none = does_not_apply("there is no hole")
        return {"hole_small": none, "hole_inside": none}
    return {"hole_small": at_most(hole, largest), "hole_inside": at_least(from_edge, _FROM_EDGE)}
