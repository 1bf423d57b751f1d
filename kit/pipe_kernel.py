"""Head lost in pipes and where two heads meet, on plain arrays in SI units: m, m^3/s, m^2/s.

Every loss comes with its slope, so that a flow is found by Newton's rule kept
within a bracket.  Below a Reynolds number of 2000 the flow is laminar; from
2300 the larger, turbulent loss is taken, for between 2300 and 4000 nothing
reliable is known; from 2000 to 2300 the two are joined by a straight line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

__all__ = ["LAMINAR", "TURBULENT", "Curve", "Line", "friction", "head_of", "rising_root"]

Array = Any

LAMINAR, TURBULENT = 2000.0, 2300.0
_G = 9.80665
_LOG = 2 / np.log(10)
# Flows below this are none: a millionth of a drop a second.
_LEAST = 1e-15
_CLOSE = 1e-7


def friction(reynolds: Array, rough: Array) -> tuple[Array, Array]:
    """Darcy's friction factor, and its power of the Reynolds number there; `rough` is roughness over bore.

    Colebrook's equation by two turns of Newton from Haaland's, which leaves
    less than 1e-9 of it.
    """
    re = np.maximum(reynolds, 1e-9)
    turbulent, power = _colebrook(np.maximum(re, TURBULENT), rough)
    laminar = 64 / np.minimum(re, LAMINAR)
    share = np.clip((re - LAMINAR) / (TURBULENT - LAMINAR), 0, 1)
    factor = laminar + share * (turbulent - laminar)
    between = re * (turbulent - laminar) / (TURBULENT - LAMINAR) / factor
    return factor, np.where(re <= LAMINAR, -1.0, np.where(re >= TURBULENT, power, between))


def _colebrook(re: Array, rough: Array) -> tuple[Array, Array]:
    wall, film = rough / 3.7, 2.51 / re
    x = -1.8 * np.log10(wall**1.11 + 6.9 / re)
    for _ in range(2):
        inside = wall + film * x
        x = x - (x + _LOG * np.log(inside)) / (1 + _LOG * film / inside)
    bend = _LOG * film / (wall + film * x)
    return x**-2.0, -2 * bend / (1 + bend)


@dataclass(frozen=True, slots=True)
class Line:
    """A pipe with its fittings, and the hole at its end when it has one."""

    length: Array
    bore: Array
    loss: Array
    roughness: Array
    viscosity: Array
    hole: Array = 0.0  # head lost at the hole over the square of the flow

    def speed(self, flow: Array) -> Array:
        """Mean speed of the water."""
        return flow / (np.pi / 4 * self.bore**2)

    def reynolds(self, flow: Array) -> Array:
        """Reynolds number of the pipe."""
        return self.speed(flow) * self.bore / self.viscosity

    def parts(self, flow: Array) -> tuple[Array, Array, Array]:
        """Head lost along the pipe, in fittings and at the hole."""
        factor, _ = friction(self.reynolds(flow), self.roughness / self.bore)
        velocity = self.speed(flow) ** 2 / (2 * _G)
        return factor * self.length / self.bore * velocity, self.loss * velocity, self.hole * flow**2

    def head(self, flow: Array) -> tuple[Array, Array]:
        """Head lost in all, and its slope with the flow."""
        q = np.maximum(flow, _LEAST)
        factor, power = friction(self.reynolds(q), self.roughness / self.bore)
        velocity = self.speed(q) ** 2 / (2 * _G)
        along, rest = factor * self.length / self.bore * velocity, self.loss * velocity + self.hole * q**2
        return along + rest, ((2 + power) * along + 2 * rest) / q


@dataclass(frozen=True, slots=True)
class Curve:
    """A pump's head by its flow, straight between points that lie one after the other along the first axis."""

    flow: Array
    head: Array

    def at(self, flow: Array) -> tuple[Array, Array]:
        """Head at a flow and its slope: level before the first point, straight on beyond the last."""
        head, slope = self.head[0] + 0 * flow, 0 * flow
        for n in range(len(self.flow) - 1):
            wide, high = self.flow[n + 1] - self.flow[n], self.head[n + 1] - self.head[n]
            rate = high / np.where(wide == 0, 1, wide)  # a point given twice
            # Past the last point the last piece runs on.
            here = flow >= self.flow[n]
            head = np.where(here, self.head[n] + rate * (flow - self.flow[n]), head)
            slope = np.where(here, rate, slope)
        return head, slope

    def flow_at(self, head: Array) -> Array:
        """Flow at which the head has fallen to a value; nothing where it never reaches it."""
        flow = 0 * (head + self.head[0])
        for n in range(len(self.flow) - 1):
            wide, high = self.flow[n + 1] - self.flow[n], self.head[n + 1] - self.head[n]
            rate = wide / np.where(high == 0, 1, high)
            flow = np.where(head <= self.head[n], self.flow[n] + rate * (head - self.head[n]), flow)
        return flow


def head_of(flow: Array, area: Array) -> Array:
    """Head that drives a flow through an area without loss: (q/A)^2 / 2g."""
    return (flow / area) ** 2 / (2 * _G)


def rising_root(
    work: Callable[[Array], tuple[Array, Array]], low: Array, high: Array, start: Array | None = None
) -> Array:
    """Where a rising function is zero, between two bounds: Newton, halved where that leaves the bracket.

    `work` gives value and slope.  A bound is the answer where the function does
    not cross zero between them.  Every element settles by itself, so that what
    else is in the array does not change it.
    """
    low, high = (np.array(bound, dtype=float) for bound in np.broadcast_arrays(low, high))
    x = (low + high) / 2 if start is None else np.clip(start, low, high)
    settled = np.zeros(low.shape, dtype=bool)
    for turn in range(120):
        value, slope = work(x)
        with np.errstate(divide="ignore", invalid="ignore"):
            new = x - value / slope
            low, high = np.where(value < 0, x, low), np.where(value < 0, high, x)
            # A kink may throw Newton to and fro: then every other turn halves.
            newton = (new >= low) & (new <= high) & (turn < 12 or turn % 2 == 0)
            new = np.where(newton, new, (low + high) / 2)
            # A step of Newton's, taken, leaves an error of about its square.
            near = np.abs(new - x) <= np.where(newton, _CLOSE, _CLOSE**2) * np.maximum(np.abs(x), _CLOSE**2)
        x = np.where(settled, x, new)
        settled = settled | near | np.isnan(new)  # not in place: the first turn may have widened it
        if settled.all():
            break
    return x
