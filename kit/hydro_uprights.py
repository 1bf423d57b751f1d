"""What a tilted water surface cuts off drums that stand on end: volumes, moments and waterplane.

A kernel on plain SI numbers.  Along the steepest line of the surface the depth
of a drum's columns varies linearly and their breadth is a chord of the circle:
moments of a circular segment say everything.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from kit.hydro_shapes import Array, Immersed, Up, Uprights

__all__ = ["of_uprights"]


def of_uprights(u: Uprights, share: Array, depth: Array, up: Up) -> Immersed:
    """What the plane `up . r = depth` cuts off all drums together, each with its buoyant share.

    Each column is immersed by its height above the underside, no less than
    nothing, no more than the drum.
    """
    slope_x, slope_y = -up[0] / up[2], -up[1] / up[2]
    steep = np.hypot(slope_x, slope_y)
    # A level surface has no steepest line: any will do.
    cosine = np.where(steep > 0, slope_x / np.where(steep > 0, steep, 1.0), 1.0)
    sine = np.where(steep > 0, slope_y / np.where(steep > 0, steep, 1.0), 0.0)
    water = (depth / up[2] + slope_x * u.x + slope_y * u.y - u.z) / u.radius
    low, high = _ramp(water, steep), _ramp(water - u.height / u.radius, steep)
    part = _Ramp(*(getattr(low, f.name) - getattr(high, f.name) for f in fields(_Ramp)))
    one = share * u.radius**2
    volume, area = one * u.radius * part.depth, one * part.wet
    down, out = one * u.radius**2 * part.depth_1, one * u.radius * part.wet_1
    # Half the square of the depth below the water, less what lies above the drum's top.
    squares = one * u.radius**2 * (low.half_square - high.half_square) - one * u.height * u.radius * high.depth
    steepest, level = one * u.radius**2 * part.wet_2, one * u.radius**2 * part.across
    x, y = volume * u.x + cosine * down, volume * u.y + sine * down
    ax, ay = area * u.x + cosine * out, area * u.y + sine * out
    xx = u.x * (ax + cosine * out) + cosine**2 * steepest + sine**2 * level
    yy = u.y * (ay + sine * out) + sine**2 * steepest + cosine**2 * level
    xy = u.x * ay + u.y * cosine * out + cosine * sine * (steepest - level)
    return Immersed(*(
        of.sum(axis=0) for of in (volume, x, y, volume * u.z + squares, area, ax, ay, xx, xy, yy)))


@dataclass(frozen=True, slots=True)
class _Ramp:
    """Integrals over a disc of radius one of a plane's positive part p and of where it is positive.

    `depth` of p, `depth_1` of p times the station along the steepest line,
    `half_square` of p p / 2; `wet`, `wet_1`, `wet_2` of one, the station and
    its square, `across` of the square of the place across.
    """

    depth: Array
    depth_1: Array
    half_square: Array
    wet: Array
    wet_1: Array
    wet_2: Array
    across: Array


def _ramp(middle: Array, steep: Array) -> _Ramp:
    """The plane is `middle` over the disc's middle and rises by `steep` a radius."""
    # Wet from the station where the plane is nothing; a level plane is wet all over or nowhere.
    start = np.clip(np.where(steep > 0, -middle / steep, np.where(middle > 0, -1.0, 1.0)), -1.0, 1.0)
    square = (1 - start) * (1 + start)
    root = np.sqrt(square)
    angle = np.arccos(start)
    wet = angle - start * root
    wet_1 = root * square * (2 / 3)
    # With the half-chord h: across is the mean of h cubed, wet_2 the second moment, both about the disc's middle.
    across = wet / 4 - start * root * square / 6
    wet_2 = wet / 4 + start * root * square / 2
    depth, depth_1 = middle * wet + steep * wet_1, middle * wet_1 + steep * wet_2
    return _Ramp(depth, depth_1, (middle * depth + steep * depth_1) / 2, wet, wet_1, wet_2, across)
