"""Mitres, half-laps and dowels: angles, sizes, counts and glue areas.

    >>> frame = mitre_joint(corners=4, width=Q(70, "mm"), thickness=Q(20, "mm"), saw_error=Q(0.1, "deg"))
    >>> print(f"saw at {frame.saw_angle:.0f~P}; the last corner gapes {frame.gap:.1f~P}")
    saw at 45 deg; the last corner gapes 1.4 mm

Finger joints have modules of their own.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, between
from kit.kinds import Asks, Count, In, Out
from kit.quantities import Q, Quantity

__all__ = ["DowelJoint", "LapJoint", "MitreJoint", "dowel_joint", "lap_joint", "mitre_joint"]

# A dowel is this part of the thickness of the thinner piece. Common practice, no source.
_THINNEST, _THICKEST = 1 / 3, 1 / 2


def _size(meaning: str, example: float, most: float = 2000) -> In:
    return In("mm", meaning, example, ge=1, le=most, resolution=0.5, find="rule or calipers", basis="measured")


def _least(one: Quantity, other: Quantity) -> Quantity:
    return Q(np.minimum(one.m_as("mm"), other.m_as("mm")), "mm")


@result
class MitreJoint:
    """The mitres of a frame or box."""

    saw_angle: Annotated[Quantity, Out("deg", "angle of each cut, from square across", resolution=0.1)]
    inside_angle: Annotated[Quantity, Out("deg", "angle between two sides", resolution=0.1)]
    cut_length: Annotated[Quantity, Out("mm", "length of each cut", resolution=0.1)]
    longer: Annotated[Quantity, Out("mm", "outside of a side longer than its inside by", resolution=0.1)]
    glue_area: Annotated[Quantity, Out("cm^2", "glue area of one corner", resolution=0.1, rounding="down")]
    gap: Annotated[Quantity, Out("mm", "gap at the last corner when every cut is out alike", resolution=0.1,
                                 rounding="up")]
    closes: Annotated[Check, Asks("the last mitre closes", "practice")]


@calculator("kit", "practice")
def mitre_joint(
    *,
    corners: Annotated[int, Count("corners of the frame", 4, ge=3, le=60)],
    width: Annotated[Quantity, _size("width of the sides, along the cut", 70)],
    thickness: Annotated[Quantity, _size("thickness of the sides", 20, 300)],
    saw_error: Annotated[Quantity, In("deg", "error of the saw's angle", 0.1, ge=0, le=5, resolution=0.05,
                                      basis="measured",
                                      find="cut eight pieces and close the ring: the gap is sixteen times the error")]
    = Q(0.1, "deg"),
    allowed: Annotated[Quantity, In("mm", "gap that can still be drawn shut", 0.3, ge=0, le=10, resolution=0.05,
                                    find="thin stock bends more than thick", basis="common practice")] = Q(0.3, "mm"),
) -> MitreJoint:
    """Angles, glue area and closing error of equal mitres.

    Each cut stands 180/n degrees from square.  Its length is width / cos(that);
    end grain meets end grain, so the glue area is no measure of strength.  With
    every cut out by e, two cuts a corner, the ring misses by 2 n e and the last
    corner gapes cut_length * tan(2 n e).

    >>> six = mitre_joint(corners=6, width=Q(60, "mm"), thickness=Q(18, "mm"))
    >>> print(f"{six.saw_angle:.0f~P}, {six.inside_angle:.0f~P} inside")
    30 deg, 120 deg inside
    """
    half = Q(180 / corners, "deg")
    cut = (width / np.cos(half.m_as("radian"))).to("mm")
    miss = (2 * corners * saw_error).m_as("radian")
    require(np.all(np.asarray(miss) < 1), "so many corners so far out never close; the error must be smaller, "
            "such as 0.1 deg", "saw_error", "corners")
    gap = cut * np.tan(np.where(np.asarray(miss) < 1, miss, np.nan)[()])
    return MitreJoint(
        saw_angle=half, inside_angle=Q(180 - 360 / corners, "deg"), cut_length=cut,
        longer=(2 * width * np.tan(half.m_as("radian"))).to("mm"), glue_area=(cut * thickness).to("cm^2"),
        gap=gap, closes=at_most(gap, allowed),
    )


@result
class LapJoint:
    """A half-lap of two pieces that cross or meet at a right angle."""

    first_depth: Annotated[Quantity, Out("mm", "depth to cut into the first piece", resolution=0.1)]
    second_depth: Annotated[Quantity, Out("mm", "depth to cut into the second piece", resolution=0.1)]
    glue_area: Annotated[Quantity, Out("cm^2", "glue area, face to face", resolution=0.1, rounding="down")]
    glue_mass: Annotated[Quantity, Out("g", "glue for it, both faces", resolution=0.1, rounding="up")]
    flush: Annotated[Quantity, Out("mm", "greatest step at the surface from both errors of depth", resolution=0.1,
                                   rounding="up")]
    left: Annotated[Quantity, Out("mm", "thickness left in the weaker piece", resolution=0.1, rounding="down")]
    keeps_half: Annotated[Check, Asks("thickness left at the lap", "practice")]


@calculator("kit", "practice")
def lap_joint(
    *,
    first_width: Annotated[Quantity, _size("width of the first piece", 60)],
    second_width: Annotated[Quantity, _size("width of the second piece", 60)],
    first_thickness: Annotated[Quantity, _size("thickness of the first piece", 26, 300)],
    second_thickness: Annotated[Quantity, _size("thickness of the second piece", 26, 300)],
    depth_error: Annotated[Quantity, In("mm", "error of one depth", 0.2, ge=0, le=5, resolution=0.05,
                                        find="cut two laps in offcuts and feel the step")] = Q(0.2, "mm"),
    spread: Annotated[Quantity, In("g/m^2", "glue on each face", 200, ge=10, le=2000, find="label")]
    = Q(200, "g/m^2"),
) -> LapJoint:
    """Depths and glue area of a half-lap whose faces come out flush on one side.

    Each piece loses half of the thinner one's thickness.  Area = product of the
    widths.  The step at the surface is at worst the sum of both errors.

    >>> lap = lap_joint(first_width=Q(60, "mm"), second_width=Q(45, "mm"), first_thickness=Q(26, "mm"),
    ...                 second_thickness=Q(20, "mm"))
    >>> print(f"{lap.first_depth:.0f~P} deep, {lap.glue_area:.0f~P}")
    10 mm deep, 27 cm²
    """
    thin, thick = _least(first_thickness, second_thickness), Q(-_least(-first_thickness, -second_thickness))
    depth = (thin / 2).to("mm")
    area = (first_width * second_width).to("cm^2")
    left = (thin - depth - depth_error).to("mm")
    return LapJoint(
        first_depth=depth, second_depth=depth, glue_area=area, glue_mass=(2 * area * spread).to("g"),
        flush=2 * depth_error, left=left, keeps_half=at_least(left, thick / 4, factor="a quarter of the thicker piece"),
    )


@result
class DowelJoint:
    """A row of dowels along a joint."""

    dowels: Annotated[Quantity, Out("1", "dowels", rounding="up")]
    spacing: Annotated[Quantity, Out("mm", "from dowel to dowel, the first at the end distance", resolution=0.5,
                                     absent="there is only one")]
    length: Annotated[Quantity, Out("mm", "length of each dowel", resolution=1, rounding="down")]
    first_hole: Annotated[Quantity, Out("mm", "depth of the hole in the first piece", resolution=1, rounding="up")]
    second_hole: Annotated[Quantity, Out("mm", "depth of the hole in the second piece", resolution=1, rounding="up")]
    glue_area: Annotated[Quantity, Out("cm^2", "glue area round all dowels", resolution=1, rounding="down")]
    thick_enough: Annotated[Check, Asks("diameter of the dowels for the thickness", "practice")]
    holds_back: Annotated[Check, Asks("wood left below the holes", "practice")]


@calculator("kit", "practice")
def dowel_joint(
    *,
    joint: Annotated[Quantity, _size("length of the joint", 400, 5000)],
    thickness: Annotated[Quantity, _size("thickness of the thinner piece", 22, 200)],
    diameter: Annotated[Quantity, In("mm", "diameter of the dowels", 8, ge=3, le=40, basis="data sheet",
                                     find="the packet")],
    first_depth: Annotated[Quantity, _size("depth of wood in the first piece, along the dowel", 60)],
    second_depth: Annotated[Quantity, _size("depth of wood in the second piece, along the dowel", 22)],
    into_first: Annotated[Quantity, _size("how far a dowel reaches into the first piece", 25, 300)],
    into_second: Annotated[Quantity, _size("how far it reaches into the second piece", 15, 300)],
    pitch: Annotated[Quantity, In("mm", "widest spacing", 100, ge=10, le=1000, basis="common practice",
                                  find="75 to 150 mm to line up, 50 to hold")] = Q(100, "mm"),
    end: Annotated[Quantity, In("mm", "from each end to the first dowel", 30, ge=5, le=500,
                                basis="common practice")] = Q(30, "mm"),
    below: Annotated[Quantity, In("mm", "hole deeper than the dowel, for glue and air", 2, ge=0, le=20,
                                  basis="common practice")] = Q(2, "mm"),
    leave: Annotated[Quantity, In("mm", "wood to leave below a hole", 4, ge=0, le=100,
                                  basis="common practice")] = Q(4, "mm"),
) -> DowelJoint:
    """Number, spacing and holes of dowels.

    n = ceil((joint - 2 end) / pitch) + 1, spread evenly.  A dowel is a third to
    a half of the thickness; its strength is left out.

    >>> row = dowel_joint(joint=Q(400, "mm"), thickness=Q(22, "mm"), diameter=Q(8, "mm"), first_depth=Q(60, "mm"),
    ...                   second_depth=Q(22, "mm"), into_first=Q(25, "mm"), into_second=Q(15, "mm"))
    >>> print(f"{row.dowels.magnitude:.0f} dowels {row.spacing:.0f~P} apart, {row.length:.0f~P} long")
    5 dowels 85 mm apart, 40 mm long
    """
    require(joint > 2 * end, "the end distances use up the joint; they must be less than half of it, such as 30 mm of "
            "400 mm", "joint", "end")
    run = np.asarray((joint - 2 * end).m_as("mm"))
    count = np.where(run > 0, np.ceil(run / pitch.m_as("mm") - 1e-9) + 1, np.nan)
    first, second = (into_first + below).to("mm"), (into_second + below).to("mm")
    around = Q(np.pi) * diameter * (into_first + into_second)
    left = _least(first_depth - first, second_depth - second)
    return DowelJoint(
        dowels=Q(count[()]), spacing=Q((run / (count - 1))[()], "mm"), length=(into_first + into_second).to("mm"),
        first_hole=first, second_hole=second, glue_area=(count[()] * around).to("cm^2"),
        thick_enough=between(diameter.to("mm"), _THINNEST * thickness.to("mm"), _THICKEST * thickness.to("mm")),
        holds_back=at_least(left, leave, share=False),
    )
