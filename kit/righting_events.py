"""At which heel something happens: an edge goes under, an opening floods, a float comes out.

A kernel on plain SI numbers.  Every event is a clearance that falls through
nothing as the body is heeled; it is bracketed on the angles of the curve and
then closed in on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.hydro_energy import Load
from kit.hydro_kernel import Compartments
from kit.hydro_shapes import Array
from kit.hydro_turned import Held, held_at, spans

__all__ = ["Heeled", "first_fall"]

_STEPS = 12


@dataclass(frozen=True, slots=True)
class Heeled:
    """A loaded body that is heeled to one side, `way` in plan, trim held; loads are one column a sample."""

    bodies: Compartments
    density: Array
    load: Load
    way: tuple[float, float]

    def up(self, angle: Array) -> Array:
        """Unit vectors up at angles in radians."""
        sine = np.sin(angle)
        return np.stack([-sine * self.way[0], -sine * self.way[1], np.cos(angle)])

    def at(self, angle: Array) -> tuple[Held, Array]:
        """How it is held at angles (..., samples), flat, and the vectors up, (3, cases)."""
        samples = self.load.mass.size
        column = np.broadcast_to(np.arange(samples), angle.shape).ravel()
        water = np.broadcast_to(self.density, (samples,))[column]
        up = self.up(np.broadcast_to(angle, np.broadcast_shapes(angle.shape, (samples,))).reshape(-1))
        return held_at(self.bodies.of_cases(column), water, self.load.of_cases(column), up), up

    def lever(self, held: Held, angle: Array) -> Array:
        """Level distance from the centre of gravity out to that of the displaced water, towards the low side."""
        column = np.broadcast_to(np.arange(self.load.mass.size), angle.shape)
        out = [
            buoyant.reshape(angle.shape) - weight[column]
            for buoyant, weight in zip((held.x, held.y, held.z), (self.load.x, self.load.y, self.load.z), strict=True)
        ]
        level = self.way[0] * out[0] + self.way[1] * out[1]
        return np.asarray(np.cos(angle) * level + np.sin(angle) * out[2])

    def work(self, held: Held, up: Array, shape: tuple[int, ...]) -> Array:
        """Height of the centre of gravity above that of the displaced water: it rises by the area under the levers."""
        column = np.broadcast_to(np.arange(self.load.mass.size), shape).ravel()
        apart = sum(n * (weight[column] - buoyant) for n, weight, buoyant in zip(
            up, (self.load.x, self.load.y, self.load.z), (held.x, held.y, held.z), strict=True))
        return np.asarray(apart).reshape(shape)

    def clearances(self, points: Sequence[tuple[Array, Array, Array]], angle: Array) -> Array:
        """What falls through nothing at an event, (events, ..., samples).

        First every point's height above the water; then for every compartment
        how deep its lowest point is, how far its highest stands out, how deep
        its underside's far edge is, and how far its top's low edge stands out.
        """
        held, up = self.at(angle)
        flat = np.broadcast_to(np.arange(self.load.mass.size), angle.shape).ravel()
        heights = [
            sum(n * (np.broadcast_to(part, (self.load.mass.size,))[flat]) for n, part in zip(up, point, strict=True))
            - held.depth for point in points]
        low, high, under, over = spans(self.bodies.of_cases(flat), up)
        rows = [*heights, *(held.depth - low), *(high - held.depth), *(held.depth - under), *(over - held.depth)]
        return np.stack(rows).reshape(len(rows), *angle.shape)


def first_fall(
    clearance: Callable[[Array], Array], angles: Array, values: Array, *, from_start: bool = True
) -> Array:
    """Angle (events, samples) at which each clearance first falls through nothing; nan where it never does.

    `values` (events, angles, samples) are the clearances at `angles`, and
    `clearance` gives them at any angles (events, samples), each event at its
    own.  Where `from_start` one that is gone at the outset is at angle nothing.
    """
    falls = (values[:, :-1] > 0) & (values[:, 1:] <= 0)
    first = np.argmax(falls, axis=1)
    there = falls.any(axis=1)
    found = _closed_in(clearance, angles[first], angles[first + 1], *(
        np.take_along_axis(values, (first + n)[:, None], axis=1)[:, 0] for n in (0, 1)))
    made = np.where(there, found, np.nan)
    return np.where(values[:, 0] <= 0, 0.0, made) if from_start else made


def _closed_in(
    clearance: Callable[[Array], Array], low: Array, high: Array, at_low: Array, at_high: Array
) -> Array:
    """False position between two angles; an end that stays twice has its value halved, so that both come nearer."""
    stayed = np.zeros(low.shape)
    for _ in range(_STEPS):
        with np.errstate(divide="ignore", invalid="ignore"):
            share = at_low / (at_low - at_high)
        angle = low + (high - low) * np.where(np.isfinite(share), np.clip(share, 0.0, 1.0), 0.5)
        here = clearance(angle)
        above: NDArray[np.bool_] = here > 0
        low, high = np.where(above, angle, low), np.where(above, high, angle)
        at_low, at_high = (
            np.where(above, here, np.where(stayed < 0, at_low / 2, at_low)),
            np.where(above, np.where(stayed > 0, at_high / 2, at_high), here))
        stayed = np.where(above, 1.0, -1.0)
    return np.asarray(angle)
