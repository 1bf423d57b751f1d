"""A floating body held at any attitude, on its side and beyond: only the sinkage is solved.

A kernel on plain SI numbers.  The shapes that the kernel cuts have columns that
must not lie along the water, so past 45 degrees the whole is looked at from
another side: axes are exchanged until the water lies nearly level over them.  A
tube then stands on end, a drum lies down, a box is a box.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from kit.hydro_energy import Load
from kit.hydro_kernel import Boxes, Compartments, Tubes, Uprights, immersed
from kit.hydro_shapes import Array
from kit.hydrostatics import floating

__all__ = ["Held", "held_at", "spans"]


@dataclass(frozen=True, slots=True)
class Held:
    """The water plane and the centre of the displaced water of bodies held at given attitudes; nan where they sink."""

    depth: Array
    x: Array
    y: Array
    z: Array


def held_at(bodies: Compartments, density: Array, load: Load, up: Array) -> Held:
    """Depth along `up` that carries each case's mass, one column a case; `up` may point anywhere."""
    found = np.full((4, load.mass.size), np.nan)
    enough = load.mass < density * (load.share * bodies.volumes).sum(axis=0)
    steepest = np.argmax(np.abs(up), axis=0)
    for axis in range(3):
        for sign in (1.0, -1.0):
            which = np.flatnonzero((steepest == axis) & (up[axis] * sign > 0) & enough)
            if which.size:
                found[:, which] = _seen(bodies, density, load, up, which, axis, sign)
    return Held(*found)


def _seen(
    bodies: Compartments, density: Array, load: Load, up: Array, which: NDArray[np.intp], axis: int, sign: float
) -> Array:
    """Depth and centre of some cases with `axis`, turned by `sign`, taken for upwards."""
    to = [(axis + 1) % 3, (axis + 2) % 3, axis]
    here, share = _exchanged(bodies.of_cases(which), load.share[:, which], axis, sign)
    centre = (load.x[which], load.y[which], load.z[which])
    turned = np.stack([up[to[0], which], up[to[1], which], sign * up[axis, which]])
    part = Load(load.mass[which], centre[to[0]], centre[to[1]], sign * centre[axis], share)
    water = density[which] if density.size > 1 else np.broadcast_to(density, which.shape)
    depth = floating(here, water, part, turned)
    wet = immersed(here, share, depth, (turned[0], turned[1], turned[2]))
    back = [wet.x / wet.volume, wet.y / wet.volume, sign * wet.z / wet.volume]
    place = np.empty((3, which.size))
    for there, value in zip(to, back, strict=True):
        place[there] = value
    return np.stack([depth, *place])


def _exchanged(bodies: Compartments, share: Array, axis: int, sign: float) -> tuple[Compartments, Array]:
    """The bodies in axes of which `axis` is the last; and their shares in the order in which they then stand."""
    middles, halves, rounds = _as_rows(bodies)
    to = [(axis + 1) % 3, (axis + 2) % 3, axis]
    x, y, z = (middles[n] for n in to)
    z = z * sign
    # Round about x, y or z: about which of the exchanged axes; -1 for a box.
    about = np.where(rounds < 0, -1, (rounds - axis - 1) % 3)
    lying, boxes, upright = np.isin(about, (0, 1)), about < 0, about == 2
    lengthwise = about[lying] == 0
    turned = lengthwise[:, None]
    sizes = [halves[n] for n in to]
    tubes = Tubes(
        lengthwise, np.where(turned, x[lying], y[lying]), np.where(turned, y[lying], x[lying]), z[lying],
        2 * np.where(turned, sizes[0][lying], sizes[1][lying]), sizes[2][lying])
    boxed = Boxes(x[boxes], y[boxes], z[boxes] - sizes[2][boxes], *(2 * size[boxes] for size in sizes))
    drums = Uprights(
        x[upright], y[upright], z[upright] - sizes[2][upright], sizes[0][upright], 2 * sizes[2][upright])
    order = np.concatenate([np.flatnonzero(kind) for kind in (lying, boxes, upright)])
    return Compartments(tubes, boxed, drums), share[order]


def _as_rows(bodies: Compartments) -> tuple[list[Array], list[Array], NDArray[np.intp]]:
    """Middles and half sizes by axis, one row a compartment, and the axis about which each is round (-1 for none)."""
    t, b, u = bodies.tubes, bodies.boxes, bodies.uprights
    turned = t.lengthwise[:, None]
    wide = max((getattr(part, f.name).shape[1] for part in (t, b, u) for f in fields(part)
                if f.name != "lengthwise" and len(part.z)), default=1)

    def rows(*parts: Array) -> Array:
        return np.concatenate([np.broadcast_to(part, (len(part), wide)) for part in parts])

    middles = [
        rows(np.where(turned, t.along, t.across), b.x, u.x), rows(np.where(turned, t.across, t.along), b.y, u.y),
        rows(t.z, b.z + b.height / 2, u.z + u.height / 2)]
    halves = [
        rows(np.where(turned, t.length / 2, t.radius), b.length / 2, u.radius),
        rows(np.where(turned, t.radius, t.length / 2), b.width / 2, u.radius),
        rows(t.radius, b.height / 2, u.height / 2)]
    rounds = np.concatenate([np.where(t.lengthwise, 0, 1), np.full(len(b.z), -1), np.full(len(u.z), 2)])
    return middles, halves, rounds


def spans(bodies: Compartments, up: Array) -> tuple[Array, Array, Array, Array]:
    """Heights along `up` of every compartment, (compartments, cases): lowest and highest point, then the highest of its
    underside and the lowest of its top.  A lying tube has no edges: its underside is its lowest point.

    `up` may point anywhere, on its side included, but not upside down.
    """
    middles, halves, rounds = _as_rows(bodies)
    middle = sum(n * part for n, part in zip(up, middles, strict=True))
    reach, tips = np.zeros(np.shape(middle)), np.zeros(np.shape(middle))
    for row, about in enumerate(rounds):
        sides = [halves[n][row] * np.abs(up[n]) for n in range(3)]
        reach[row] = sum(sides) if about < 0 else sides[about] + np.hypot(
            *(sides[n] for n in range(3) if n != about))
        # How far the far edge of its underside lies above the lowest point.
        tips[row] = 0.0 if about in (0, 1) else 2 * (reach[row] - sides[2])
    low, high = np.asarray(middle - reach), np.asarray(middle + reach)
    return low, high, low + tips, high - tips
