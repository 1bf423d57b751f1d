"""Candidates for the mounts of a lid's strut, all at once, on plain SI arrays.

A candidate is a lid mount, a strut of the list and the two lengths it is to
have shut and open; the body mount then lies where two circles cut, in two
places at most.  Every moment is a constant plus the force of the strut times a
factor, so each demand on the lid is a lower or an upper bound on that force,
and a candidate is good when a force that is sold lies between all bounds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "LOWER",
    "UPPER",
    "Array",
    "Candidates",
    "Demands",
    "bounds",
    "clears",
    "cut_circles",
    "extremes",
    "reach",
    "turned",
]

Array = NDArray[Any]
_ANGLES = 25


@dataclass(frozen=True, slots=True)
class Candidates:
    """Lid mount (p, q), body mount (x, y) with the lid shut, and row of the strut list, one entry a candidate."""

    p: Array
    q: Array
    x: Array
    y: Array
    row: Array

    def __len__(self) -> int:
        return len(self.p)

    def only(self, keep: Array) -> Candidates:
        """Those that `keep` picks."""
        return Candidates(self.p[keep], self.q[keep], self.x[keep], self.y[keep], self.row[keep])

    def moved(self, lid: tuple[float, float], body: tuple[float, float]) -> Candidates:
        """The same with both mounts drilled a little off."""
        return Candidates(self.p + lid[0], self.q + lid[1], self.x + body[0], self.y + body[1], self.row)


@dataclass(frozen=True, slots=True)
class Demands:
    """A lid and what is asked of it, in SI units and radians.

    `scales` are the least and the greatest force of a strut as shares of its
    force new at 20 degC: cold and worn, hot and new.
    """

    weight: float
    centre: float
    centre_above: float
    fall: float
    opening: float
    handle: float
    count: int
    friction: float
    hinge_friction: float
    hinge_hold: float
    spring: float
    spring_rate: float
    scales: tuple[float, float]
    hand_limit: float
    shut_margin: float
    open_margin: float
    lean: float
    wind: float
    rise_before: float
    fall_before: float
    mount_limit: float

    def gravity(self, angle: Array | float, lean: float = 0.0) -> Array:
        """Closing moment of the weight, less what a spring at the hinge takes."""
        level = np.asarray(angle) - self.fall - lean
        weight = self.weight * (self.centre * np.cos(level) - self.centre_above * np.sin(level))
        closing: Array = weight - np.maximum(self.spring - self.spring_rate * np.asarray(angle), 0.0)
        return closing


def turned(p: Array, q: Array, angle: float) -> tuple[Array, Array]:
    """A point of the lid after it has opened by `angle`."""
    c, s = np.cos(angle), np.sin(angle)
    return p * c - q * s, p * s + q * c


def cut_circles(p: Array, q: Array, opening: float, shut: Array, opened: Array) -> tuple[Array, Array]:
    """Both places of the body mount, stacked in front; nan where the circles do not cut."""
    u, v = turned(p, q, opening)
    dx, dy = u - p, v - q
    chord = np.maximum(np.hypot(dx, dy), 1e-9)
    foot = (shut**2 - opened**2 + chord**2) / (2 * chord)
    with np.errstate(invalid="ignore"):
        beside = np.sqrt(shut**2 - foot**2)
    x = p + (foot * dx - np.multiply.outer([1.0, -1.0], beside) * dy) / chord
    y = q + (foot * dy + np.multiply.outer([1.0, -1.0], beside) * dx) / chord
    return x, y


def reach(c: Candidates, angle: float) -> tuple[Array, Array]:
    """Length of the strut and arm of its push at one angle."""
    u, v = turned(c.p, c.q, angle)
    length = np.maximum(np.hypot(u - c.x, v - c.y), 1e-9)
    return length, (c.x * v - c.y * u) / length


def extremes(c: Candidates, opening: float) -> tuple[Array, Array]:
    """Shortest and longest length of the strut over the whole swing, dead centres included."""
    shut, open_ = reach(c, 0.0)[0], reach(c, opening)[0]
    body, lid = np.hypot(c.x, c.y), np.hypot(c.p, c.q)
    dead = (np.arctan2(c.y, c.x) - np.arctan2(c.q, c.p)) % (2 * np.pi)
    far = (dead + np.pi) % (2 * np.pi)
    least, most = np.minimum(shut, open_), np.maximum(shut, open_)
    return (
        np.where(dead <= opening, np.minimum(least, abs(body - lid)), least),
        np.where(far <= opening, np.maximum(most, body + lid), most),
    )


def clears(c: Candidates, opening: float, boxes: Array, room: float) -> Array:
    """True where the strut stays out of every box through the swing.

    Boxes are (n, 4): along from and to, above from and to.  Looked at in steps
    of a twenty-fourth of the swing, each box widened by `room`: half the strut's
    thickness and what the strut moves between two steps at most.
    """
    free = np.ones(len(c), dtype=bool)
    for low_x, high_x, low_y, high_y in boxes:
        for angle in np.linspace(0.0, opening, _ANGLES):
            u, v = turned(c.p, c.q, angle)
            # Half of what the lid mount moves in one step: nothing thinner can slip between two looks.
            wide = room + np.hypot(c.p, c.q) * opening / (_ANGLES - 1) / 2
            free &= ~_cuts((c.x, c.y), (u, v), (low_x - wide, high_x + wide), (low_y - wide, high_y + wide))
    return free


def _cuts(
    start: tuple[Array, Array], end: tuple[Array, Array], along: tuple[Array, Array], above: tuple[Array, Array]
) -> Array:
    """True where a straight line enters an upright box: the parts of it between each pair of sides overlap."""
    enter, leave = np.zeros(len(start[0])), np.ones(len(start[0]))
    for here, there, (low, high) in zip(start, end, (along, above), strict=True):
        step = there - here
        step = np.where(abs(step) < 1e-12, 1e-12, step)
        one, two = (low - here) / step, (high - here) / step
        enter, leave = np.maximum(enter, np.minimum(one, two)), np.minimum(leave, np.maximum(one, two))
    return enter <= leave


# What bounds the force of a strut, in the order in which they are named.
LOWER = (
    "to stay open",
    "to stay open leaning",
    "to stay open in the wind",
    "to be light to open",
    "to rise where wanted",
)
UPPER = ("to stay shut", "to be light to close", "not to rise too early", "for what the mounts hold")


def bounds(c: Candidates, d: Demands, rises: tuple[Array, Array, Array, bool]) -> tuple[Array, Array]:
    """Lower and upper bounds on the force of one strut, (reason, candidate), infinite where there is none.

    `rises` holds of each candidate's strut its length fully out, stroke, ratio,
    and whether the gas law is used.
    """
    low = np.full((len(LOWER), len(c)), -np.inf)
    high = np.full((len(UPPER), len(c)), np.inf)
    for bound in _demands(c, d, rises):
        _bound(low, high, *bound)
    return low, high


def _demands(
    c: Candidates, d: Demands, rises: tuple[Array, Array, Array, bool]
) -> Iterator[tuple[int, int, Array, Array]]:
    """Each demand as constant + slope x force >= 0, with its place among the lower and among the upper reasons."""
    scales = sorted({*d.scales})
    for angle in np.linspace(0.0, d.opening, _ANGLES):
        length, arm = reach(c, angle)
        unit = d.count * arm * _rise(length, rises)
        drag = d.count * d.friction * abs(arm) + d.hinge_friction
        left = d.gravity(angle)
        for scale in scales:
            yield 3, 1, d.hand_limit * d.handle - left - drag, unit * scale
            yield 3, 1, d.hand_limit * d.handle + left - drag, -unit * scale
    length, arm = reach(c, 0.0)
    unit = d.count * arm * _rise(length, rises)
    for scale in scales:
        yield 0, 0, np.full(len(c), d.gravity(0.0) - d.shut_margin), -unit * scale
    length, arm = reach(c, d.opening)
    unit, drag = d.count * arm * _rise(length, rises), d.count * d.friction * abs(arm)
    zero = np.zeros(len(c))
    for scale in scales:
        yield 0, 0, zero - d.gravity(d.opening) + d.hinge_hold - d.open_margin, unit * scale
        yield 1, 0, zero - d.gravity(d.opening, d.lean) + d.hinge_hold, unit * scale
        yield 2, 0, drag - d.gravity(d.opening) + d.hinge_hold - d.wind, unit * scale
    if np.isfinite(d.rise_before):
        length, arm = reach(c, d.rise_before)
        yield 4, 2, zero - d.gravity(d.rise_before), d.count * arm * _rise(length, rises) * scales[0]
    if np.isfinite(d.fall_before):
        length, arm = reach(c, d.fall_before)
        yield 4, 2, zero + d.gravity(d.fall_before), -d.count * arm * _rise(length, rises) * scales[-1]
    if np.isfinite(d.mount_limit):
        shortest, _ = extremes(c, d.opening)
        yield 4, 3, zero + d.mount_limit - d.friction, -_rise(shortest, rises) * scales[-1]


def _rise(length: Array, rises: tuple[Array, Array, Array, bool]) -> Array:
    """Force at a length over the force fully out."""
    extended, stroke, ratio, gas = rises
    share = np.clip((extended - length) / stroke, 0, 1)
    rise: Array = 1 / (1 - (1 - 1 / ratio) * share) if gas else 1 + (ratio - 1) * share
    return rise


def _bound(low: Array, high: Array, lower: int, upper: int, constant: Array, slope: Array) -> None:
    with np.errstate(divide="ignore", invalid="ignore"):
        at = -constant / slope
    # Where the force has no say the demand is met or not, whatever the force.
    flat = abs(slope) < 1e-9
    needs = np.where(flat, np.where(constant >= 0, -np.inf, np.inf), np.where(slope > 0, at, -np.inf))
    allows = np.where(~flat & (slope < 0), at, np.inf)
    np.maximum(low[lower], needs, out=low[lower])
    np.minimum(high[upper], allows, out=high[upper])
