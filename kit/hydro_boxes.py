"""What a tilted water surface cuts off boxes: volumes, moments and waterplane.

A kernel on plain SI numbers.  Boxes are integrated column by column with the
breaks where the surface meets an edge.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np

from kit.hydro_shapes import Array, Boxes, Immersed, Up

__all__ = ["of_boxes"]

_GAUSS_2 = (0.5 - 0.5 / np.sqrt(3), 0.5 + 0.5 / np.sqrt(3))


def of_boxes(b: Boxes, share: Array, depth: Array, up: Up) -> Immersed:
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

