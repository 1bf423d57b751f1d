"""Kernel: curing layers of resin in one dimension, heat made by the reaction and conducted to the two faces.

On bare numbers in SI units (seconds, kelvin, metres), many layers at once: each
is walked through thousands of small steps, and a step costs little more for
thirty layers than for one.  A layer is cut into cells of equal depth.  Each
step lets every cell react by the midpoint rule, then lets heat flow exactly for
that time: the flow is linear, so it is worked out once in the cells' own modes.
What the reaction gives off is either in the cells or has left by a face, to
rounding.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from kit.sources import read_facts

__all__ = ["RUNAWAY", "Cured", "Layers", "cure", "reaction_rate"]

_FACTS = read_facts("resin")
_GAS = float(_FACTS["gas-constant"].value)
# Beyond this the model says only that the layer runs away, K.
RUNAWAY = 150.0 + 273.15


@dataclass(frozen=True)
class Layers:
    """Layers and their surroundings in SI units, each field one number or one for each layer.

    `top` and `bottom` are transfers to the surroundings (infinite where a face
    is held at their temperature); `speed` multiplies the published reaction;
    where `stiffening` the reaction slows as the chains grow.
    """

    depth: Any
    start: Any
    around: Any
    density: Any
    specific_heat: Any
    conductivity: Any
    heat: Any
    top: Any
    bottom: Any
    speed: Any = 1.0
    stiffening: Any = False

    def each(self) -> list[np.ndarray]:
        """All fields as arrays of one length."""
        return [np.atleast_1d(one) for one in np.broadcast_arrays(*(getattr(self, f.name) for f in fields(self)))]


@dataclass(frozen=True)
class Cured:
    """What became of the layers: shape (steps, layers) for times, hottest cell and mean; the rest as they ended.

    `lost` is the heat that left by the faces, J/m^2; `share` how far each cell cured.
    """

    time: np.ndarray
    hottest: np.ndarray
    mean: np.ndarray
    share: np.ndarray
    temperature: np.ndarray
    lost: np.ndarray

    @property
    def peak(self) -> np.ndarray:
        """Highest temperature of any cell of each layer, K."""
        return np.asarray(self.hottest.max(axis=0))

    @property
    def peak_time(self) -> np.ndarray:
        """When that was, s."""
        return np.asarray(np.take_along_axis(self.time, self.hottest.argmax(axis=0)[None], axis=0)[0])


def reaction_rate(alpha: Any, kelvin: Any, speed: Any = 1.0, stiffening: Any = False) -> Any:
    """Share of the reaction a second: the one published resin, all its speeds times `speed`.

    d(alpha)/dt = (k1 + k2 alpha^m)(1 - alpha)^n, k = A exp(-E/RT).  Stiffening:
    1/k = 1/k_i + 1/k_d, k_d from the distance to the glass temperature after
    DiBenedetto.
    """
    a1, e1, a2, e2, m, n = (float(_FACTS[key].value) for key in ("A1", "E1", "A2", "E2", "m", "n"))
    k1, k2 = a1 * np.exp(-e1 / (_GAS * kelvin)), a2 * np.exp(-e2 / (_GAS * kelvin))
    if np.any(stiffening):
        glass = 273.15 - 57 + 148 * 0.36903 * alpha / (1 - (1 - 0.36903) * alpha)
        free = np.maximum(0.00048 * (kelvin - glass) + 0.025, 1e-5)
        apart = 7e18 * np.exp(-137300 / (_GAS * kelvin) - 0.009 / free)
        k1, k2 = (np.where(stiffening, k * apart / (k + apart), k) for k in (k1, k2))
    return speed * (k1 + k2 * alpha**m) * (1 - alpha) ** n


def _flow(each: list[np.ndarray], cells: int) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Modes of the flow of heat in each layer (1/s), and the transfers of its two faces from the outer cells."""
    depth, _, _, density, specific_heat, conductivity, _, top, bottom, *_ = each
    across = depth / cells
    inner = conductivity / across
    # Half a cell lies between its middle and the face.
    with np.errstate(divide="ignore"):
        faces = [1 / (1 / side + 0.5 / inner) for side in (top, bottom)]
    chain = np.diag(np.full(cells - 1, 1.0), 1) + np.diag(np.full(cells - 1, 1.0), -1)
    chain -= np.diag(chain.sum(axis=1))
    matrix = inner[:, None, None] * chain
    matrix[:, 0, 0] -= faces[0]
    matrix[:, -1, -1] -= faces[1]
    values, modes = np.linalg.eigh(matrix / (density * specific_heat * across)[:, None, None])
    return values, modes, faces[0], faces[1]


def cure(
    layers: Layers, *, cells: int = 40, longest: float = 48 * 3600.0, until: float = np.inf, share: float = 0.004,
    step: float = 20.0,
) -> Cured:
    """Walk layers through their cure until each has cured or cooled, reached `until` kelvin or taken `longest` seconds.

    No cell reacts by more than `share` in a step, and no step is longer than
    `step` seconds.
    """
    each = layers.each()
    depth, start, around, _, specific_heat, _, heat, _, _, speed, stiffening = each
    values, modes, top, bottom = _flow(each, cells)
    room, fast, stiff = around[:, None], speed[:, None], stiffening[:, None].astype(bool)
    rise = (heat / specific_heat)[:, None]
    alpha = np.zeros((depth.size, cells))
    warm = np.broadcast_to((start - around)[:, None], alpha.shape).copy()
    time, lost = np.zeros(depth.size), np.zeros(depth.size)
    running = np.ones(depth.size, bool)
    kept = [(time, start.astype(float), start.astype(float))]
    hottest = start.astype(float)
    while running.any():
        now = reaction_rate(alpha, warm + room, fast, stiff)
        dt = np.where(running, np.minimum(step, share / np.maximum(now.max(axis=1), 1e-12)), 0.0)
        wide = dt[:, None]
        half = np.minimum(alpha + wide / 2 * now, 1.0)
        halfway = reaction_rate(half, warm + room + rise * (half - alpha), fast, stiff)
        done = np.minimum(alpha + wide * halfway, 1.0)
        warm, alpha = warm + rise * (done - alpha), done
        inside = np.einsum("lij,li->lj", modes, warm)
        grown = values * wide
        # The integral of each mode over the step gives what passed the faces.
        held = np.where(grown < -1e-12, np.expm1(grown) / np.minimum(values, -1e-300), wide)
        passed = np.einsum("lij,lj->li", modes, inside * held)
        lost = lost + top * passed[:, 0] + bottom * passed[:, -1]
        warm = np.einsum("lij,lj->li", modes, inside * np.exp(grown))
        time = time + dt
        top_now = warm.max(axis=1) + around
        hottest = np.maximum(hottest, top_now)
        kept.append((time, top_now, warm.mean(axis=1) + around))
        # Half cured everywhere and back near where it began: nothing hotter can follow.
        cooled = (alpha.min(axis=1) > 0.5) & (top_now < start + np.maximum(1.0, 0.1 * (hottest - start)))
        running &= ~(cooled | (top_now >= until) | (time >= longest))
    times, tops, means = (np.stack(column) for column in zip(*kept, strict=True))
    return Cured(times, tops, means, alpha, warm + room, lost)
