"""What a tilted water surface cuts off round tubes: volumes, moments and waterplane.

A kernel on plain SI numbers.  A tube's section at any station is a circular
segment, and the depth of its axis varies linearly along it: every integral has
an antiderivative.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from kit.hydro_shapes import Array, Immersed, Tubes, Up

__all__ = ["of_tubes"]

# Below this half-change of depth along a tube (in radii) the antiderivatives cancel; three Gauss points are better.
_NEARLY_LEVEL = 0.01
_GAUSS_3 = ((-np.sqrt(0.6) / 2, 5 / 18), (0.0, 8 / 18), (np.sqrt(0.6) / 2, 5 / 18))


def of_tubes(t: Tubes, share: Array, depth: Array, up: Up) -> Immersed:
    """What the plane `up . r = depth` cuts off all tubes together, each with its buoyant share."""
    if t.lengthwise.all():
        return _alike(t, share, depth, up[0], up[1], up[2])
    if not t.lengthwise.any():
        return _turned(_alike(t, share, depth, up[1], up[0], up[2]))
    along, across = (_picked(t, which) for which in (t.lengthwise, ~t.lengthwise))
    return _alike(along, share[t.lengthwise], depth, up[0], up[1], up[2]) + _turned(
        _alike(across, share[~t.lengthwise], depth, up[1], up[0], up[2]))


def _picked(t: Tubes, which: NDArray[np.bool_]) -> Tubes:
    return Tubes(*(getattr(t, f.name)[which] for f in fields(Tubes)))


def _turned(of: Immersed) -> Immersed:
    """The same with x and y exchanged."""
    return Immersed(of.volume, of.y, of.x, of.z, of.area, of.area_y, of.area_x, of.area_yy, of.area_xy, of.area_xx)


def _alike(t: Tubes, share: Array, depth: Array, up_along: Array, up_across: Array, up_z: Array) -> Immersed:
    """Tubes that lie one way; x is along them, y across."""
    steep = np.hypot(up_across, up_z)
    sine, cosine, fall = up_across / steep, up_z / steep, up_along / steep
    level = (depth / steep - fall * t.along - sine * t.across - cosine * t.z) / t.radius
    slope = -fall * t.length
    segment = _segment_means(level, slope / (2 * t.radius))
    plan = share * t.radius * t.length
    scale = plan * t.radius
    volume, drop = segment.area, segment.third
    drop *= scale * t.radius
    volume *= scale
    x = segment.area_1
    x *= scale * t.length
    x += volume * t.along
    # A third of the half-chord cubed is the width's own part; it shrinks with the cosine, as the chord does.
    own, low = drop.sum(axis=0), cosine * drop.sum(axis=0)
    # The chord seen from above: its middle moves across as the tube dips.
    level *= t.radius * sine
    middle, slide = np.add(level, t.across, out=level), slope * sine
    area, first, second = segment.chord, segment.chord_1, segment.chord_2
    area *= plan
    first *= plan
    second *= plan
    area_x, area_y = t.along * area + t.length * first, middle * area + slide * first
    along = t.along * first + t.length * second
    xx = t.along * area_x + t.length * along
    yy = middle * (area_y + slide * first) + slide**2 * second
    xy = middle * area_x + slide * along
    return Immersed(
        volume.sum(axis=0), x.sum(axis=0), (volume * t.across).sum(axis=0) - sine * drop.sum(axis=0),
        (volume * t.z).sum(axis=0) - low,
        cosine * area.sum(axis=0), cosine * area_x.sum(axis=0), cosine * area_y.sum(axis=0),
        cosine * xx.sum(axis=0), cosine * xy.sum(axis=0), cosine * yy.sum(axis=0) + cosine**3 * own,
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
    one, turn = 0.5 / half, a2 - a1
    rise = f2 - f1
    # In place: every array that is not made anew is one the memory need not hand out.
    weighted = np.add(f2, f1, out=f1)
    weighted *= half
    weighted -= np.subtract(g2, g1, out=g2)
    chord_1 = np.add(a2, a1, out=a1)
    chord_1 *= half
    chord_1 -= rise
    two = one * one
    chord_2 = half * half
    chord_2 *= turn
    chord_2 -= 2 * weighted
    chord_2 *= two
    chord_2 *= one
    chord_1 *= two
    weighted *= two
    rise *= one
    turn *= one
    third = np.subtract(h2, h1, out=h2)
    third *= one
    return _Segment(rise, weighted, third, turn, chord_1, chord_2)


def _antiderivatives(level: Array) -> tuple[Array, Array, Array, Array]:
    """Segment area, its first and second integral, and the integral of chord cubed over 12, up to a level in radii."""
    s = np.clip(level, -1, 1)
    square = 1 - s
    square *= 1 + s
    root = np.sqrt(square)
    angle = np.arccos(-s)
    product = s * root
    area = angle + product
    first = s * angle
    root *= 1 - square / 3
    first += root
    second = np.subtract(5 / 8, square / 2, out=s)
    second *= angle
    third = product * square
    third /= 6
    square *= -1 / 12
    square += 5 / 8
    product *= square
    second += product
    third += np.multiply(area, 0.25, out=square)
    if np.any(level > 1):
        beyond = np.maximum(level - 1, 0)
        first += np.pi * beyond
        second += np.pi * beyond * (1 + beyond / 2)
    return area, first, second, third
