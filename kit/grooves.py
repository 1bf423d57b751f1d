"""Grooves and floors: how deep a V goes for a mouth, where its bottom turns flat, and what ridges a step-over leaves.

    >>> letters = v_groove(mouth=Q(5, "mm"), angle=Q(60, "deg"), diameter=Q(12, "mm"), thickness=Q(26, "mm"))
    >>> print(f"{letters.depth:.2f~P} deep, {letters.section:.2f~P}")
    4.33 mm deep, 10.83 mm²

What resin fills is in `kit.recesses`; this is how the cutter gets there.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.kinds import Asks, Choice, In, Out, Says
from kit.quantities import Q, Quantity

__all__ = ["Scallop", "VGroove", "scallop", "v_groove"]


@result
class VGroove:
    """Depth, section and floor of a groove cut by a V cutter."""

    full_depth: Annotated[Quantity, Out("mm", "depth at which the flanks meet for this mouth", resolution=0.01)]
    depth: Annotated[Quantity, Out("mm", "depth to cut", resolution=0.01)]
    floor: Annotated[Quantity, Out("mm", "width of the floor", resolution=0.01)]
    flank: Annotated[Quantity, Out("mm", "length of one flank down its slope", resolution=0.01)]
    section: Annotated[Quantity, Out("mm^2", "section of the groove", resolution=0.01)]
    widest: Annotated[Quantity, Out("mm", "widest mouth that one pass of this cutter gives", rounding="down",
                                    resolution=0.1)]
    widest_pointed: Annotated[Quantity, Out("mm", "widest mouth that comes to its point within the greatest depth",
                                            rounding="down", resolution=0.1)]
    left: Annotated[Quantity, Out("mm", "wood left under it", rounding="down", resolution=0.1)]
    by_depth: Annotated[Quantity, Out("mm", "mouth wider for a tenth of a millimetre too deep", resolution=0.01)]
    volume: Annotated[Quantity, Out("mL", "wood cut away, which resin has to fill", resolution=0.1)]
    shape: Annotated[str, Says("what the bottom looks like")]
    wide_enough: Annotated[Check, Asks("the cutter is wide enough for the mouth", "kit")]
    deep_enough_wood: Annotated[Check, Asks("wood left under the groove", "practice")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice")
def v_groove(
    *,
    mouth: Annotated[Quantity, In("mm", "width of the groove at the face of the wood", 5, ge=0.1, le=200,
                                  everyday=(0.5, 40), resolution=0.1, find="the stroke of the letter",
                                  chosen=True)],
    angle: Annotated[Quantity, In("deg", "full angle of the V cutter", 60, ge=10, le=170, everyday=(20, 150),
                                  resolution=1, find="engraved on its shank: from flank to flank, not half of it",
                                  basis="data sheet")],
    diameter: Annotated[Quantity, In("mm", "greatest diameter of the V cutter", 12, ge=0.5, le=200, resolution=0.1,
                                     find="calipers", basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the wood", 26, ge=1, le=500, resolution=0.1,
                                      find="calipers, where it is thinnest", basis="measured")],
    tip: Annotated[Quantity, In("mm", "flat at the tip of the cutter", 0, ge=0, le=50, resolution=0.05,
                                find="magnifier and rule; a new engraving tip is 0.1 to 0.3", basis="data sheet")]
    = Q(0, "mm"),
    deepest: Annotated[Quantity | None, In("mm", "greatest depth you allow", 4.5, ge=0.05, le=500, resolution=0.1,
                                           chosen=True, find="leave it out to let the flanks meet")] = None,
    least_left: Annotated[Quantity, In("mm", "least wood to leave under it", 6, ge=0, le=500, resolution=0.5,
                                       chosen=True, basis="common practice")] = Q(6, "mm"),
    length: Annotated[Quantity, In("m", "length of all grooves", 0.9, ge=0, le=1000, resolution=0.01,
                                   find="string along the letters", basis="measured")] = Q(0, "m"),
) -> VGroove:
    """Depth for a mouth: (mouth - tip) / (2 tan(angle/2)), unless the depth you allow is less.

    Held at a lesser depth the groove gets a floor of mouth - 2 depth tan(angle/2);
    the cutter then goes round by its flank and the floor is cleared with the
    tip, or with an end mill.  A groove wider than the cutter cannot be cut in
    one pass.  Section: depth (mouth + floor) / 2.  Ends and corners, where a V
    rises to a point, are left out.

    >>> chisel = v_groove(mouth=Q(3, "mm"), angle=Q(60, "deg"), tip=Q(0.2, "mm"), diameter=Q(6, "mm"),
    ...                   thickness=Q(20, "mm"))
    >>> print(f"{chisel.depth:.3f~P}")
    2.425 mm
    """
    require(tip < mouth, "the tip must be narrower than the mouth, such as 0.2 mm in 5 mm", "tip", "mouth")
    require(tip < diameter, "the tip must be narrower than the cutter, such as 0.2 mm of 12 mm", "tip", "diameter")
    slope = np.tan(angle.m_as("rad") / 2)
    full = ((mouth - tip) / (2 * slope)).to("mm")
    depth = full if deepest is None else _least(full, deepest)
    floor = mouth - 2 * slope * depth
    left = (thickness - depth).to("mm")
    section = depth * (mouth + floor) / 2
    reach = diameter if deepest is None else _least(diameter, tip + 2 * slope * deepest)
    return VGroove(
        full_depth=full, depth=depth, floor=floor.to("mm"), flank=depth / np.cos(angle.m_as("rad") / 2),
        section=section.to("mm^2"), widest=diameter.to("mm"), widest_pointed=reach.to("mm"), left=left,
        by_depth=Q(0.1, "mm") * 2 * slope, volume=(section * length).to("mL"), shape=_shape(floor, tip),
        wide_enough=at_most(mouth, diameter, reason="wider than the cutter: go round twice, or take a larger one"),
        deep_enough_wood=at_least(left, least_left),
    )


def _least(one: Quantity, other: Quantity) -> Quantity:
    return Q(np.minimum(one.m_as("mm"), other.m_as("mm")), "mm")


def _shape(floor: Quantity, tip: Quantity) -> str:
    """In words, from the middle of the values when they are samples."""
    wide, flat = (float(np.nanmean(q.m_as("mm"))) for q in (floor, tip))
    if wide > flat + 1e-6:
        return f"a flat floor {wide:.2f} mm wide: clear it after the flanks, or cut deeper"
    return "comes to a point" if flat == 0 else f"a floor as wide as the tip, {flat:.2f} mm"


Tip = Literal["ball", "V", "flat"]


@result
class Scallop:
    """Ridges that a raster leaves between neighbouring paths."""

    ridge: Annotated[Quantity, Out("mm", "height of the ridges", rounding="up", resolution=0.001)]
    step_for_wanted: Annotated[Quantity, Out("mm", "step-over for the ridges you allow", rounding="down",
                                             resolution=0.01)]
    mean_left: Annotated[Quantity, Out("mm", "mean height of what is left to sand off", resolution=0.001)]
    paths: Annotated[Quantity, Out("1/m", "paths side by side on a metre", resolution=1, rounding="up")]
    fine: Annotated[Check, Asks("ridges to sand off", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit")
def scallop(
    *,
    tip: Annotated[Tip, Choice("shape of the cutter's tip", "ball")],
    diameter: Annotated[Quantity, In("mm", "cutter diameter", 6, ge=0.2, le=100, resolution=0.1, find="calipers",
                                     basis="measured")],
    step_over: Annotated[Quantity, In("mm", "step-over", 0.5, ge=0.005, le=100, resolution=0.05, chosen=True)],
    angle: Annotated[Quantity, In("deg", "full angle of a V cutter", 90, ge=10, le=170, resolution=1,
                                  basis="data sheet")] = Q(90, "deg"),
    slope: Annotated[Quantity, In("deg", "slope of the surface across the paths", 0, ge=0, le=75, resolution=1,
                                  find="0 for a floor", basis="measured")] = Q(0, "deg"),
    wanted: Annotated[Quantity, In("mm", "ridges you allow", 0.05, ge=0.0005, le=10, resolution=0.005, chosen=True,
                                   find="what a few strokes of 120 grit take off: about 0.05")] = Q(0.05, "mm"),
) -> Scallop:
    """Height of the ridges between two paths, and the step-over for ridges that you allow.

    Ball of radius R: h = R - sqrt(R^2 - s^2/4), on a slope with s / cos(slope).
    V of full angle t run on its point: h = s / (2 tan(t/2)), floors only.  A
    flat end mill leaves none as long as it steps over by no more than its
    diameter.  Run-out and a tool that bends are left out.

    >>> floor = scallop(tip="ball", diameter=Q(6, "mm"), step_over=Q(0.5, "mm"))
    >>> print(f"{floor.ridge.m_as('mm'):.5f} mm")
    0.01043 mm
    """
    along = step_over / np.cos(slope.m_as("rad"))
    require(along <= diameter, "the step-over, measured up the slope, cannot be wider than the cutter, such as 0.5 mm "
            "of 6 mm", "step_over", "diameter", "slope")
    require((tip == "ball") | (slope.m_as("deg") == 0), "only a ball is worked out on a slope; write 0 deg", "slope")
    ridge, mean, step = _RIDGES[tip](along, diameter, angle, wanted)
    step = step * np.cos(slope.m_as("rad"))
    flat = tip == "flat"
    return Scallop(
        ridge=ridge.to("mm"), mean_left=mean.to("mm"), step_for_wanted=step.to("mm"), paths=(1 / step_over).to("1/m"),
        fine=does_not_apply("a flat end leaves no ridges on a floor") if flat
        else at_most(ridge.to("um"), wanted.to("um")),
    )


def _ball(step: Quantity, diameter: Quantity, angle: Quantity, wanted: Quantity) -> tuple[Quantity, ...]:
    """Ridge, mean height of what is left, step-over for a ridge, under a ball; kernel in millimetres."""
    r, s, h = (q.m_as("mm") for q in (diameter / 2, step, wanted))
    half = np.minimum(s / 2, r)
    h = np.minimum(h, r)
    # The difference of near equals would lose digits: R - sqrt(R^2 - x^2) is x^2 / (R + sqrt(R^2 - x^2)).
    root = np.sqrt(r**2 - half**2)
    ridge = half**2 / (r + root)
    # Mean height under the arc from the middle of a path to the ridge.
    mean = r - (half * root + r**2 * np.arcsin(half / r)) / (2 * half)
    return Q(ridge, "mm"), Q(np.maximum(mean, 0), "mm"), Q(2 * np.sqrt(2 * r * h - h**2), "mm")


def _vee(step: Quantity, diameter: Quantity, angle: Quantity, wanted: Quantity) -> tuple[Quantity, ...]:
    """The same under the point of a V."""
    slope = np.tan(angle.m_as("rad") / 2)
    ridge = step / (2 * slope)
    widest = Q(np.minimum((2 * slope * wanted).m_as("mm"), diameter.m_as("mm")), "mm")
    return ridge, ridge / 2, widest


def _flat(step: Quantity, diameter: Quantity, angle: Quantity, wanted: Quantity) -> tuple[Quantity, ...]:
    """Nothing is left under a flat end."""
    none = 0.0 * step
    return none, none, diameter + none


_RIDGES: dict[str, Any] = {"ball": _ball, "V": _vee, "flat": _flat}
