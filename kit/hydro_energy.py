"""The energy of a floating body, its slopes and its curvatures, and the step they ask for.

A kernel on plain SI numbers, with energy over g:

    E(d, n) = m (n . G - d) + rho integral of (d - n . r) over the immersed volume.

Its slope along d is displaced mass less mass; its slope in the tilts is the
moment m G - rho (moment of the immersed volume); its curvatures are moments of
the waterplane.  With the sinkage taken out the tilting part is mass times
metacentric height.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.hydro_kernel import Compartments, Immersed, immersed

__all__ = ["Energy", "Load", "energy_at", "newton_step"]

Array: TypeAlias = NDArray[Any]
Flags: TypeAlias = NDArray[np.bool_]
Up: TypeAlias = tuple[Array, Array, Array]

_LONGEST_TURN = 0.15
# A step this small, taken, leaves an error of about its square.
_STILL = 1e-5
# Steps shrink like squares near a minimum; where they do not, they must come to nothing.
_QUICKLY, _NOTHING = 0.05, 1e-10


@dataclass(frozen=True, slots=True)
class Load:
    """What rests on the floats, case by case: mass, place of its centre, and each compartment's buoyant share."""

    mass: Array
    x: Array
    y: Array
    z: Array
    share: Array

    def of_cases(self, which: NDArray[np.intp]) -> Load:
        """The loads of the cases `which`."""
        return Load(self.mass[which], self.x[which], self.y[which], self.z[which], self.share[:, which])


@dataclass(frozen=True, slots=True)
class Energy:
    """The energy over g at an attitude, its slopes, and its curvatures along depth and the two tilting axes."""

    energy: Array
    slope_d: Array
    slope: Array
    curve_d: Array
    mixed: Array
    curve: Array
    axes: Array
    scale: Array
    volume: Array
    centre: Array
    area: Array

    def weakest(self) -> Array:
        """Direction of the least curvature, for a push off a level that does not hold."""
        _, a, b, c = self.tilting()
        angle = 0.5 * np.arctan2(2 * b, a - c) + np.pi / 2
        return np.stack([np.cos(angle), np.sin(angle)])

    def tilting(self) -> tuple[Array, Array, Array, Array]:
        """Least curvature with the sinkage taken out, and that curvature's three entries."""
        depth = np.maximum(self.curve_d, 1e-9 * self.scale)
        a = self.curve[0] - self.mixed[0] ** 2 / depth
        b = self.curve[1] - self.mixed[0] * self.mixed[1] / depth
        c = self.curve[2] - self.mixed[1] ** 2 / depth
        return (a + c) / 2 - np.hypot((a - c) / 2, b), a, b, c


def energy_at(bodies: Compartments, density: Array, load: Load, depth: Array, up: Array) -> Energy:
    """The energy with the water plane `depth` along `up`, one column a case."""
    n = (up[0], up[1], up[2])
    wet = immersed(bodies, load.share, depth, n)
    centre, lift = (load.x, load.y, load.z), (wet.x, wet.y, wet.z)
    pull = np.stack([load.mass * weighs - density * lifts for weighs, lifts in zip(centre, lift, strict=True)])
    upward = (up * pull).sum(axis=0)
    axes = _axes(up)
    curve_d = density * wet.area / up[2]
    offsets = [_on_axis(axis, wet, depth, n) for axis in axes]
    curve = np.stack([
        _product(offsets[i], offsets[j], wet) * density / up[2] - (upward if i == j else 0.0)
        for i, j in ((0, 0), (0, 1), (1, 1))
    ])
    mixed = np.stack([-density / up[2] * (o[0] * wet.area + o[1] * wet.area_x + o[2] * wet.area_y) for o in offsets])
    return Energy(
        upward + depth * (density * wet.volume - load.mass), density * wet.volume - load.mass,
        (axes * pull).sum(axis=1), curve_d, mixed, curve, axes, load.mass,
        wet.volume, np.stack([wet.x, wet.y, wet.z]), wet.area,
    )


def _axes(up: Array) -> Array:
    """Two directions square to `up` and to each other: up tips towards -x (named end down) and -y (right side down)."""
    flat = np.hypot(up[0], up[2])
    trim = np.stack([-up[2] / flat, np.zeros_like(flat), up[0] / flat])
    heel = np.stack([up[0] * up[1] / flat, -flat, up[1] * up[2] / flat])
    return np.stack([trim, heel])


def _on_axis(axis: Array, wet: Immersed, depth: Array, up: Up) -> tuple[Array, Array, Array]:
    """A waterplane point's offset along an axis, as a constant plus parts in its plan x and y."""
    slant = axis[2] / up[2]
    return slant * depth, axis[0] - slant * up[0], axis[1] - slant * up[1]


def _product(p: tuple[Array, Array, Array], q: tuple[Array, Array, Array], wet: Immersed) -> Array:
    return np.asarray(
        p[0] * q[0] * wet.area + (p[0] * q[1] + p[1] * q[0]) * wet.area_x + (p[0] * q[2] + p[2] * q[0]) * wet.area_y
        + p[1] * q[1] * wet.area_xx + (p[1] * q[2] + p[2] * q[1]) * wet.area_xy + p[2] * q[2] * wet.area_yy
    )


def newton_step(at: Energy, damping: Array, last: Array) -> tuple[Array, Array, Flags, Flags, Array]:
    """Step in depth and turn about the axes; whether the step is nothing any more, and whether that is a minimum.

    Also the size of the full turn, which is the `last` of the next step: in a
    flat valley turns shrink slowly, and a small one is then not near the end.

    At a minimum it is the full step that must be nothing: a lifted or damped
    one is small long before the attitude is found, and how small would hang on
    the way there.
    """
    least, a, b, c = at.tilting()
    lift = np.maximum(0.0, 0.02 * at.scale - least) + damping * at.scale
    stable = least > 0
    depth = np.maximum(at.curve_d, 1e-3 * at.scale)
    g0 = at.slope[0] - at.mixed[0] * at.slope_d / depth
    g1 = at.slope[1] - at.mixed[1] * at.slope_d / depth
    with np.errstate(divide="ignore", invalid="ignore"):
        full = _solved(a, b, c, g0, g1)
    size = np.hypot(full[0], full[1])
    near = stable & (size < _STILL) & ((size < _QUICKLY * last) | (size < _NOTHING))
    turn = np.where(near, full, _solved(a + lift, b, c + lift, g0, g1))
    long = np.maximum(1.0, np.hypot(turn[0], turn[1]) / _LONGEST_TURN)
    turn = turn / long
    step = -(at.slope_d + at.mixed[0] * turn[0] + at.mixed[1] * turn[1]) / depth
    step = np.clip(step, -0.5, 0.5)
    still = (np.abs(step) < _STILL) & np.where(stable, near, np.hypot(turn[0], turn[1]) < _STILL)
    return step, turn, still, stable, size


def _solved(a: Array, b: Array, c: Array, g0: Array, g1: Array) -> Array:
    """The turn that takes a slope to nothing over a curvature."""
    det = a * c - b * b
    return np.stack([-(c * g0 - b * g1) / det, -(a * g1 - b * g0) / det])
