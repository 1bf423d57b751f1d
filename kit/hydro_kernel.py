"""What a tilted water surface cuts off round tubes and boxes: volumes, moments and waterplane.

A kernel on plain SI numbers, for speed: metres, cubic metres, no quantities.
Coordinates are the build's own (x towards the named end, y to the right, z up).
The water surface is the plane `n . r = d`, `n` the unit vector that points up;
what lies below it is immersed.  Everything is exact: circular segments are
integrated along the tube by their antiderivatives, boxes column by column with
the breaks where the surface meets an edge.

Arrays are (compartments, cases); a compartment's last axis may be 1 where it is
the same in all cases.  Tilt must stay below 80 degrees, so that every column
of a box meets the surface once.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import pairwise
from typing import Any, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

__all__ = ["Boxes", "Compartments", "Immersed", "Tubes", "immersed"]

Array: TypeAlias = NDArray[Any]

# Below this half-change of depth along a tube (in radii) the antiderivatives cancel; three Gauss points are better.
_NEARLY_LEVEL = 0.01
_GAUSS_3 = ((-np.sqrt(0.6) / 2, 5 / 18), (0.0, 8 / 18), (np.sqrt(0.6) / 2, 5 / 18))
_GAUSS_2 = (0.5 - 0.5 / np.sqrt(3), 0.5 + 0.5 / np.sqrt(3))


@dataclass(frozen=True, slots=True)
class Tubes:
    """Round compartments with a level axis along x (`lengthwise`) or along y; positions are of their middles."""

    lengthwise: NDArray[np.bool_]
    along: Array
    across: Array
    z: Array
    length: Array
    radius: Array


@dataclass(frozen=True, slots=True)
class Boxes:
    """Box compartments with sides along x and y; `z` is the height of the underside."""

    x: Array
    y: Array
    z: Array
    length: Array
    width: Array
    height: Array


@dataclass(frozen=True, slots=True)
class Compartments:
    """All compartments: the tubes first, then the boxes; a `share` of buoyant volume runs over both in that order."""

    tubes: Tubes
    boxes: Boxes

    def __len__(self) -> int:
        return len(self.tubes.z) + len(self.boxes.z)

    def of_cases(self, which: NDArray[np.intp]) -> Compartments:
        """The compartments as they are in the cases `which` of the last axis."""
        return Compartments(_of_cases(self.tubes, which), _of_cases(self.boxes, which))

    @property
    def volumes(self) -> Array:
        """Whole volume of every compartment."""
        t, b = self.tubes, self.boxes
        return _joined(np.pi * t.radius**2 * t.length, b.length * b.width * b.height)

    @property
    def reach(self) -> tuple[Array, Array]:
        """Lowest underside and highest top of all."""
        t, b = self.tubes, self.boxes
        return _joined(t.z - t.radius, b.z).min(axis=0), _joined(t.z + t.radius, b.z + b.height).max(axis=0)


def _joined(of_tubes: Array, of_boxes: Array) -> Array:
    """Values of tubes and boxes in one table; either may be the same in all cases."""
    wide = max(part.shape[1] for part in (of_tubes, of_boxes) if len(part))
    return np.concatenate([np.broadcast_to(part, (len(part), wide)) for part in (of_tubes, of_boxes) if len(part)])


Shapes = TypeVar("Shapes", Tubes, Boxes)


def _of_cases(shapes: Shapes, which: NDArray[np.intp]) -> Shapes:
    made = {f.name: getattr(shapes, f.name) for f in fields(shapes)}
    return type(shapes)(**{k: v[:, which] if v.ndim > 1 and v.shape[1] > 1 else v for k, v in made.items()})


@dataclass(frozen=True, slots=True)
class Immersed:
    """Immersed volume, its moments about the datum, and the waterplane as seen from above in the build's own plan."""

    volume: Array
    x: Array
    y: Array
    z: Array
    area: Array
    area_x: Array
    area_y: Array
    area_xx: Array
    area_xy: Array
    area_yy: Array

    def __add__(self, other: Immersed) -> Immersed:
        return Immersed(*(getattr(self, f.name) + getattr(other, f.name) for f in fields(self)))


def immersed(
    bodies: Compartments, share: Array, depth: Array, up: tuple[Array, Array, Array]
) -> Immersed:
    """What the plane `up . r = depth` cuts off, each compartment counted with its buoyant `share`."""
    tubes = len(bodies.tubes.z)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        parts = []
        if tubes:
            parts.append(_tubes(bodies.tubes, share[:tubes], depth, up))
        if len(bodies.boxes.z):
            parts.append(_boxes(bodies.boxes, share[tubes:], depth, up))
    return parts[0] if len(parts) == 1 else parts[0] + parts[1]


# -- round tubes ---------------------------------------------------------------------------------


def _tubes(t: Tubes, share: Array, depth: Array, up: tuple[Array, Array, Array]) -> Immersed:
    """A tube's section at any station is a circular segment; depth varies linearly along the tube."""
    turned = t.lengthwise[:, None]
    up_along, up_across = np.where(turned, up[0], up[1]), np.where(turned, up[1], up[0])
    steep = np.hypot(up_across, up[2])
    level = (depth - up_along * t.along - up_across * t.across - up[2] * t.z) / (steep * t.radius)
    segment = _segment_means(level, -up_along * t.length / (2 * steep * t.radius))
    sine, cosine = up_across / steep, up[2] / steep
    scale = share * t.radius**2 * t.length
    volume = scale * segment.area
    drop = scale * t.radius * segment.third
    along = volume * t.along + scale * t.length * segment.area_1
    across = volume * t.across - sine * drop
    # The chord seen from above: its middle moves across as the tube dips, its width shrinks with the cosine.
    middle, slide = t.across + t.radius * level * sine, -up_along * t.length * sine / steep
    plan = share * t.radius * t.length * cosine
    area, first, second = plan * segment.chord, plan * segment.chord_1, plan * segment.chord_2
    own = share * t.radius**3 * t.length * cosine**3 * segment.third
    a_first = t.along * area + t.length * first
    c_first = middle * area + slide * first
    a_second = t.along**2 * area + 2 * t.along * t.length * first + t.length**2 * second
    c_second = middle**2 * area + 2 * middle * slide * first + slide**2 * second + own
    cross = t.along * middle * area + (t.along * slide + t.length * middle) * first + t.length * slide * second

    alike = turned.all()

    def in_plan(lengthways: Array, crossways: Array) -> Array:
        return np.asarray((lengthways if alike else np.where(turned, lengthways, crossways)).sum(axis=0))

    return Immersed(
        volume.sum(axis=0), in_plan(along, across), in_plan(across, along),
        (volume * t.z - cosine * drop).sum(axis=0),
        area.sum(axis=0), in_plan(a_first, c_first), in_plan(c_first, a_first),
        in_plan(a_second, c_second), cross.sum(axis=0), in_plan(c_second, a_second),
    )


@dataclass(frozen=True, slots=True)
class _Segment:
    """Means along a tube of radius one: segment area, chord, chord cubed over 12; _1, _2 weighted with station."""

    area: Array
    area_1: Array
    third: Array
    chord: Array
    chord_1: Array
    chord_2: Array


def _segment_means(level: Array, half: Array) -> _Segment:
    """Means over stations -1/2 to 1/2 where the axis lies `level + 2 half station` radii below the surface."""
    nearly = np.abs(half) < _NEARLY_LEVEL
    if nearly.all():
        return _by_gauss(level, half)
    exact = _by_antiderivatives(level, half)
    if nearly.any():
        near = _by_gauss(level[nearly], half[nearly])
        for f in fields(_Segment):
            getattr(exact, f.name)[nearly] = getattr(near, f.name)
    return exact


def _by_gauss(level: Array, half: Array) -> _Segment:
    sums = [np.zeros(level.shape) for _ in range(6)]
    for station, weight in _GAUSS_3:
        s = np.clip(level + 2 * half * station, -1, 1)
        root = np.sqrt((1 - s) * (1 + s))
        area, third, chord = np.pi / 2 + np.arcsin(s) + s * root, root**3 * (2 / 3), 2 * root
        sums[0] += weight * area
        sums[1] += weight * station * area
        sums[2] += weight * third
        sums[3] += weight * chord
        sums[4] += weight * station * chord
        sums[5] += weight * station**2 * chord
    return _Segment(*sums)


def _by_antiderivatives(level: Array, half: Array) -> _Segment:
    """With A the segment area, F and G its first and second integral: chord integrates to A, A to F, F to G."""
    a1, f1, g1, h1 = _antiderivatives(level - half)
    a2, f2, g2, h2 = _antiderivatives(level + half)
    span = 2 * half
    weighted = half * (f2 + f1) - (g2 - g1)
    return _Segment(
        (f2 - f1) / span, weighted / span**2, (h2 - h1) / span,
        (a2 - a1) / span, (half * (a2 + a1) - (f2 - f1)) / span**2,
        (half**2 * (a2 - a1) - 2 * weighted) / span**3,
    )


def _antiderivatives(level: Array) -> tuple[Array, Array, Array, Array]:
    """Segment area, its first and second integral, and the integral of chord cubed over 12, up to a level in radii."""
    s = np.clip(level, -1, 1)
    square = (1 - s) * (1 + s)
    root, angle = np.sqrt(square), np.arccos(-s)
    product = s * root
    area = angle + product
    first = s * angle + root * (1 - square / 3)
    second = angle * (5 / 8 - square / 2) + product * (5 / 8 - square / 12)
    third = product * square / 6 + area / 4
    if np.any(level > 1):
        beyond = np.maximum(level - 1, 0)
        first += np.pi * beyond
        second += np.pi * beyond * (1 + beyond / 2)
    return area, first, second, third


# -- boxes ---------------------------------------------------------------------------------------


def _boxes(b: Boxes, share: Array, depth: Array, up: tuple[Array, Array, Array]) -> Immersed:
    """Each column of a box is immersed by its height above the underside, no less than 0, no more than the box."""
    slope_x, slope_y = -up[0] / up[2], -up[1] / up[2]
    water = depth / up[2] + slope_x * b.x + slope_y * b.y - b.z
    rise_x, rise_y = slope_x * b.length, slope_y * b.width
    low, high = _ramp(water, rise_x, rise_y), _ramp(water - b.height, rise_x, rise_y)
    r, r_x, r_y, i, i_x, i_y, i_xx, i_xy, i_yy = (lo - hi for lo, hi in zip(low[:-1], high[:-1], strict=True))
    plan = share * b.length * b.width
    volume, area = plan * r, plan * i
    squares = plan * (low[-1] - high[-1] - b.height * high[0])
    ax, ay = area * b.x + plan * b.length * i_x, area * b.y + plan * b.width * i_y
    axx = 2 * b.x * ax - area * b.x**2 + plan * b.length**2 * i_xx
    ayy = 2 * b.y * ay - area * b.y**2 + plan * b.width**2 * i_yy
    axy = b.x * ay + b.y * ax - b.x * b.y * area + plan * b.length * b.width * i_xy
    x, y, z = volume * b.x + plan * b.length * r_x, volume * b.y + plan * b.width * r_y, volume * b.z + squares
    return Immersed(*(part.sum(axis=0) for part in (volume, x, y, z, area, ax, ay, axx, axy, ayy)))


def _ramp(middle: Array, rise_x: Array, rise_y: Array) -> tuple[Array, ...]:
    """Means over a unit square of a plane's positive part p: of p, p x, p y, the wet share and its moments, p p / 2.

    Between the stations where the plane passes zero at an edge every integrand
    is at most cubic, so two Gauss points a piece are exact.
    """
    def clipped_root(value: Array) -> Array:
        return np.nan_to_num(np.clip(-value / rise_x, -0.5, 0.5), nan=-0.5)

    one, other = clipped_root(middle - rise_y / 2), clipped_root(middle + rise_y / 2)
    ends: tuple[Any, ...] = (-0.5, np.minimum(one, other), np.maximum(one, other), 0.5)
    sums: list[Array] = [np.zeros(np.broadcast_shapes(middle.shape, rise_x.shape))] * 10
    for start, end in pairwise(ends):
        for place in _GAUSS_2:
            at = start + (end - start) * place
            line = _line(middle + rise_x * at, rise_y)
            weight = (end - start) / 2
            for n, term in enumerate(_at_station(line, at)):
                sums[n] = sums[n] + weight * term
    return tuple(sums)


def _at_station(line: tuple[Array, ...], at: Array) -> tuple[Array, ...]:
    p, p_y, wet, wet_y, wet_yy, half_square = line
    return p, at * p, p_y, wet, at * wet, wet_y, at * at * wet, at * wet_y, wet_yy, half_square


def _line(middle: Array, rise: Array) -> tuple[Array, ...]:
    """Means of a straight line's positive part over stations -1/2 to 1/2."""
    root = np.clip(-middle / rise, -0.5, 0.5)
    lo, hi = np.where(middle - rise / 2 > 0, -0.5, root), np.where(middle + rise / 2 > 0, 0.5, root)
    both_dry = (middle - rise / 2 <= 0) & (middle + rise / 2 <= 0)
    lo, hi = np.where(both_dry, 0.0, lo), np.where(both_dry, 0.0, hi)
    i0, i1, i2 = hi - lo, (hi**2 - lo**2) / 2, (hi**3 - lo**3) / 3
    return (
        middle * i0 + rise * i1, middle * i1 + rise * i2, i0, i1, i2,
        (middle**2 * i0 + 2 * middle * rise * i1 + rise**2 * i2) / 2,
    )

