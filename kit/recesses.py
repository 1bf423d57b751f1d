"""Recesses that resin fills: what they hold, and how much wood soaks it up.

    >>> hexagons = Recess(name="hexagons", shape="hexagon", width=Q(30, "mm"), depth=Q(4, "mm"), count=37)
    >>> print(f"{recesses(pockets=[hexagons]).volume:.2f~P}")
    115.35 mL

Depth decides: two tenths of a millimetre are a tenth of a groove 2 mm deep.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import InputError, calculator, declared, require, result, row
from kit.kinds import Choice, Count, In, Out, Rows, Text, YesNo
from kit.quantities import Q, Quantity

__all__ = ["Recess", "RecessVolume", "Recesses", "recesses"]

Shape = Literal[
    "rectangle", "hexagon", "circle", "ring", "border", "kite", "V-groove", "tapered V", "straight groove",
    "ball groove",
]
# Cut with a flat bottom and upright walls: these may go right through.
_UPRIGHT = ("rectangle", "hexagon", "circle", "ring", "border", "kite", "straight groove")


def _size(meaning: str, example: float, find: str = "rule, or the drawing the cutter followed") -> In:
    """A size in plan."""
    return In("mm", meaning, example, ge=0.1, le=50_000, resolution=0.1, find=find, basis="measured")


@row
class Recess:
    """Recesses of one shape and size.  Cells that a shape has no use for are left empty."""

    name: Annotated[str, Text("recess", "ring")]
    shape: Annotated[Shape, Choice("shape", "rectangle")]
    width: Annotated[Quantity | None, _size(
        "width; across flats of a hexagon, diameter of a circle, outer diameter of a ring, outside of a border, mouth "
        "of a groove, diameter of a ball cutter", 30)] = None
    length: Annotated[Quantity | None, _size("length; from tip to tip of a kite, along a groove", 100)] = None
    depth: Annotated[Quantity | None, In(
        "mm", "depth", 4, ge=0.05, le=500, everyday=(1, 20), resolution=0.1, basis="measured",
        find="depth gauge at five points: depth sets the order")] = None
    count: Annotated[int, Count("how many", 1, ge=0, le=10_000)] = 1
    corner_radius: Annotated[Quantity, In(
        "mm", "radius of its corners in plan: the cutter's", 1.5, ge=0, le=500, resolution=0.1, basis="measured",
        find="half the diameter of the last cutter")] = Q(0, "mm")
    inner: Annotated[Quantity | None, _size("inner diameter of a ring", 20)] = None
    waist: Annotated[Quantity | None, _size("widest place of a kite, from one tip; its middle if left out", 50)] = None
    stroke: Annotated[Quantity | None, _size("width of the line of a border", 8)] = None
    narrow: Annotated[Quantity | None, In(
        "mm", "mouth at the narrow end of a tapered V", 1, ge=0, le=500, resolution=0.1, basis="measured",
        find="the drawing; 0 where it runs to a point")] = None
    through: Annotated[bool, YesNo(
        "cut right through, with a backing below", find="seal the edge of the backing: it leaks")] = False
    angle: Annotated[Quantity, In("deg", "full angle of a V cutter", 60, ge=10, le=170, find="engraved on its shank",
                                  basis="data sheet")] = Q(60, "deg")


@dataclass(frozen=True, slots=True)
class _Shape:
    """One piece: area of its opening, volume, wood wetted, and depth of the flat pour that runs as hot."""

    opening: Quantity
    volume: Quantity
    wetted: Quantity
    depth: Quantity
    as_slab: Quantity


@result
class RecessVolume:
    """What the recesses of one row hold."""

    name: Annotated[str, Text("recess", "ring")]
    volume: Annotated[Quantity, Out("mL", "volume of all pieces", resolution=0.1)]
    each: Annotated[Quantity, Out("mL", "volume of one piece", resolution=0.01)]
    opening: Annotated[Quantity, Out("cm^2", "area of all openings", resolution=0.1)]
    wetted: Annotated[Quantity, Out("cm^2", "walls and floors of all pieces", resolution=0.1)]
    depth: Annotated[Quantity, Out("mm", "depth", resolution=0.1)]
    share: Annotated[Quantity, Out("percent", "change of volume when the depth is off by the give or take given",
                                   resolution=0.1, absent="there are none")]


@result
class Recesses:
    """What all recesses together hold."""

    volume: Annotated[Quantity, Out("mL", "volume of all recesses", resolution=0.1)]
    wetted: Annotated[Quantity, Out("cm^2", "walls and floors that soak up resin", resolution=1)]
    opening: Annotated[Quantity, Out("cm^2", "area of resin seen from above", resolution=1)]
    depth: Annotated[Quantity, Out("mm", "deepest place", resolution=0.1)]
    as_slab: Annotated[Quantity, Out("mm", "depth of a flat pour that would run as hot as the deepest recess",
                                     resolution=0.1, rounding="up")]
    doubt: Annotated[Quantity, Out("mL", "change of volume when every depth is off the same way", resolution=0.1,
                                   rounding="up")]
    share: Annotated[Quantity, Out("percent", "that change as a share", resolution=0.1, absent="there is no volume")]
    by_recess: Annotated[tuple[RecessVolume, ...], Rows("volume by recess")]


@calculator("kit")
def recesses(
    *,
    pockets: Annotated[Sequence[Recess], Rows("recesses", least=1)],
    depth_doubt: Annotated[Quantity, In(
        "mm", "give or take of every depth, all one way", 0.2, ge=0, le=20, resolution=0.05, basis="estimate",
        find="how far the zero of the cutter may be off, and the thickness of the wood")] = Q(0.2, "mm"),
) -> Recesses:
    """Volume, wetted area and depth of rows of recesses, by geometry.

    Straight-walled shapes hold area times depth; cut right through onto a backing they have no floor that
    soaks up resin; a corner rounded to radius r
    loses r^2 (cot(a/2) - (pi - a)/2), a its angle.  A V of mouth w and full
    angle t is w / (2 tan(t/2)) deep and w^2 / (4 tan(t/2)) in section; a ball
    of radius R cut d deep is R^2 acos((R - d)/R) - (R - d) sqrt(2 R d - d^2).
    A V whose mouth runs from w to v over L holds L (w^2 + w v + v^2) / (12 tan(t/2)).
    Ends of grooves and overlaps of recesses are left out.  A V runs as hot as a
    flat pour of its slant / sqrt(2), for heat leaves by the mouth alone.

    >>> letters = Recess(name="letters", shape="V-groove", width=Q(6, "mm"), length=Q(3, "m"))
    >>> found = recesses(pockets=[letters])
    >>> print(f"{found.volume:.3f~P}, {found.depth:.3f~P} deep")
    46.765 mL, 5.196 mm deep
    """
    pieces = [_piece(pocket) for pocket in pockets]
    rows = tuple(_row(pocket, piece, depth_doubt) for pocket, piece in zip(pockets, pieces, strict=True))
    volume = _sum(rows, "volume", "mL")
    doubt = _sum(rows, "opening", "cm^2") * depth_doubt
    return Recesses(
        volume=volume, doubt=doubt.to("mL"), share=_share(doubt, volume),
        wetted=_sum(rows, "wetted", "cm^2"), opening=_sum(rows, "opening", "cm^2"),
        depth=_deepest(piece.depth for piece in pieces), as_slab=_deepest(piece.as_slab for piece in pieces),
        by_recess=rows,
    )


def _piece(pocket: Recess) -> _Shape:
    piece = _SHAPES[pocket.shape](pocket)
    if not pocket.through:
        return piece
    _fits(pocket, pocket.shape in _UPRIGHT,
          f"a {pocket.shape} cannot be cut right through; say no to that, or choose a shape with upright walls")
    return replace(piece, wetted=piece.wetted - piece.opening)


def _row(pocket: Recess, piece: _Shape, depth_doubt: Quantity) -> RecessVolume:
    # Volume grows with depth by the area of the opening, whatever the shape of the section.
    return RecessVolume(
        name=pocket.name, each=piece.volume.to("mL"), volume=(pocket.count * piece.volume).to("mL"),
        opening=(pocket.count * piece.opening).to("cm^2"), wetted=(pocket.count * piece.wetted).to("cm^2"),
        depth=piece.depth.to("mm"), share=_share(piece.opening * depth_doubt, piece.volume),
    )


def _sum(rows: Sequence[RecessVolume], name: str, unit: str) -> Quantity:
    return sum((getattr(r, name) for r in rows), Q(0, unit))


def _share(part: Quantity, whole: Quantity) -> Quantity:
    """A part as a percentage; nan of nothing."""
    there = np.asarray(whole.m_as("mL"))
    return Q(100 * part.m_as("mL") / np.where(there > 0, there, np.nan)[()], "percent")


def _deepest(depths: Iterable[Quantity]) -> Quantity:
    return reduce(lambda one, other: Q(np.maximum(one.m_as("mm"), other.m_as("mm")), "mm"), depths).to("mm")


def _cell(pocket: Recess, name: str) -> Quantity:
    """A cell that the shape cannot do without."""
    value: Quantity | None = getattr(pocket, name)
    if value is None:
        sample = declared(Recess).inputs[name].kind.usual
        why = f"{pocket.name}: a {pocket.shape} needs its {name}, such as {sample.magnitude:g} mm"
        raise InputError("recesses", {"pockets": why})
    return value


def _fits(pocket: Recess, holds: Any, sentence: str) -> None:
    require(holds, f"{pocket.name}: {sentence}", "pockets")


def _polygon(pocket: Recess, area: Quantity, perimeter: Quantity, cot_sum: Any) -> _Shape:
    """A straight-walled polygon about one circle, or a rectangle, its corners rounded.

    A corner of angle a loses r^2 (cot(a/2) - (pi - a)/2) of area; over all
    corners the second term adds up to pi.
    """
    depth, radius, spared = _cell(pocket, "depth"), pocket.corner_radius, cot_sum - math.pi
    floor = area - radius**2 * spared
    wall = (perimeter - 2 * radius * spared) * depth
    return _Shape(floor, floor * depth, floor + wall, depth, depth)


def _rectangle(pocket: Recess) -> _Shape:
    width, length = _cell(pocket, "width"), _cell(pocket, "length")
    _fits(pocket, (2 * pocket.corner_radius <= width) & (2 * pocket.corner_radius <= length),
          "the corner radius is more than half a side; a 30 mm slot takes 15 mm at most")
    return _polygon(pocket, width * length, 2 * (width + length), 4.0)


def _hexagon(pocket: Recess) -> _Shape:
    width = _cell(pocket, "width")
    _fits(pocket, 2 * pocket.corner_radius <= width,
          "the corner radius is more than half the width across flats; 30 mm takes 15 mm at most")
    return _polygon(pocket, math.sqrt(3) / 2 * width**2, 2 * math.sqrt(3) * width, 2 * math.sqrt(3))


def _circle(pocket: Recess) -> _Shape:
    width, depth = _cell(pocket, "width"), _cell(pocket, "depth")
    floor = math.pi / 4 * width**2
    return _Shape(floor, floor * depth, floor + math.pi * width * depth, depth, depth)


def _ring(pocket: Recess) -> _Shape:
    outer, inner, depth = _cell(pocket, "width"), _cell(pocket, "inner"), _cell(pocket, "depth")
    _fits(pocket, inner < outer, "the inner diameter must be less than the outer one, such as 284 mm in 300 mm")
    floor = math.pi / 4 * (outer**2 - inner**2)
    return _Shape(floor, floor * depth, floor + math.pi * (outer + inner) * depth, depth, depth)


def _border(pocket: Recess) -> _Shape:
    length, width, stroke = _cell(pocket, "length"), _cell(pocket, "width"), _cell(pocket, "stroke")
    depth, radius = _cell(pocket, "depth"), pocket.corner_radius
    _fits(pocket, (2 * stroke < width) & (2 * stroke < length),
          "the line of a border must be less than half its outside, such as 8 mm of 100 mm")
    _fits(pocket, 2 * radius <= stroke,
          "the corner radius is more than half the line of the border; an 8 mm line takes 4 mm at most")
    # Only the four outer corners are rounded: round an inner one the cutter runs sharp.
    inside = (length - 2 * stroke) * (width - 2 * stroke)
    floor = length * width - inside - (4 - math.pi) * radius**2
    around = 4 * (length + width) - 8 * stroke - (8 - 2 * math.pi) * radius
    return _Shape(floor, floor * depth, floor + around * depth, depth, depth)


def _kite(pocket: Recess) -> _Shape:
    length, width = _cell(pocket, "length"), _cell(pocket, "width")
    near = length / 2 if pocket.waist is None else pocket.waist
    far = length - near
    _fits(pocket, far > Q(0, "mm"), "its widest place must lie between the tips, such as 40 mm of 130 mm")
    near, far, half = (q.m_as("mm") for q in (near, far, width / 2))
    tips = 2 * np.arctan2(half, near), 2 * np.arctan2(half, far)
    side = math.pi - (tips[0] + tips[1]) / 2
    cot_sum = near / half + far / half + 2 / np.tan(side / 2)
    perimeter = Q(2 * (np.hypot(near, half) + np.hypot(far, half)), "mm")
    area = length * width / 2
    _fits(pocket, pocket.corner_radius <= 2 * area / perimeter,
          "the corner radius is more than the circle that fits inside; a kite of 130 x 36 mm takes 17 mm at most")
    return _polygon(pocket, area, perimeter, cot_sum)


def _v_groove(pocket: Recess) -> _Shape:
    length, slope = _cell(pocket, "length"), np.tan(pocket.angle.m_as("rad") / 2)
    if pocket.width is None and pocket.depth is None:
        _cell(pocket, "width")
    mouth = 2 * _cell(pocket, "depth") * slope if pocket.width is None else pocket.width
    depth = mouth / (2 * slope)
    if pocket.width is not None and pocket.depth is not None:
        _fits(pocket, abs(depth - pocket.depth) <= Q(0.1, "mm"),
              "mouth, angle and depth of the V do not agree; leave the depth empty, 5 mm at 60 deg is 4.33 mm deep")
    slant = Q(np.hypot(depth.m_as("mm"), (mouth / 2).m_as("mm")), "mm")
    # Heat made in a sector of radius s leaves by its arc; its middle runs as hot as that of a slab s/sqrt(2) deep.
    as_slab = Q(np.minimum(depth.m_as("mm"), slant.m_as("mm") / math.sqrt(2)), "mm")
    return _Shape(mouth * length, mouth * depth / 2 * length, 2 * slant * length, depth, as_slab)


def _tapered_v(pocket: Recess) -> _Shape:
    length, wide, narrow = _cell(pocket, "length"), _cell(pocket, "width"), _cell(pocket, "narrow")
    _fits(pocket, narrow <= wide, "the narrow end of a tapered V must be no wider than its mouth, such as 1 mm of 5 mm")
    half = pocket.angle.m_as("rad") / 2
    slope, depth = np.tan(half), wide / (2 * np.tan(half))
    opening = (wide + narrow) / 2 * length
    volume = length * (wide**2 + wide * narrow + narrow**2) / (12 * slope)
    slant = (wide / 2).m_as("mm") / np.sin(half)
    as_slab = Q(np.minimum(depth.m_as("mm"), slant / math.sqrt(2)), "mm")
    return _Shape(opening, volume, opening / np.sin(half), depth, as_slab)


def _straight_groove(pocket: Recess) -> _Shape:
    width, length, depth = _cell(pocket, "width"), _cell(pocket, "length"), _cell(pocket, "depth")
    floor = width * length
    return _Shape(floor, floor * depth, floor + 2 * length * depth, depth, depth)


def _ball_groove(pocket: Recess) -> _Shape:
    length, depth, radius = _cell(pocket, "length"), _cell(pocket, "depth"), _cell(pocket, "width") / 2
    r, d = radius.m_as("mm"), depth.m_as("mm")
    bowl, above = np.minimum(d, r), np.maximum(d - r, 0)
    half_mouth = np.sqrt(2 * r * bowl - bowl**2)
    half_arc = np.arccos((r - bowl) / r)
    section = Q(r**2 * half_arc - (r - bowl) * half_mouth + 2 * r * above, "mm^2")
    around = Q(2 * r * half_arc + 2 * above, "mm")
    return _Shape(Q(2 * half_mouth, "mm") * length, section * length, around * length, depth, depth)


_SHAPES: dict[str, Callable[[Recess], _Shape]] = {
    "rectangle": _rectangle, "hexagon": _hexagon, "circle": _circle, "ring": _ring, "border": _border, "kite": _kite,
    "V-groove": _v_groove, "tapered V": _tapered_v, "straight groove": _straight_groove, "ball groove": _ball_groove,
}
