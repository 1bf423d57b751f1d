"""Kernel: a curing layer of resin in one dimension, heat made by the reaction and conducted to its two faces.

On bare numbers in SI units (seconds, kelvin, metres): it is walked through
thousands of small steps.  The layer is cut into cells of equal depth.  Each
step lets every cell react by the midpoint rule, then lets heat flow exactly for
that time: the flow is linear, so it is worked out once in the cells' own modes.
What the reaction gives off is either in the cells or has left by a face, to
rounding.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from kit.sources import read_facts

__all__ = ["Cured", "Layer", "Reaction", "cure", "fixture"]

_FACTS = read_facts("resin")
_GAS = float(_FACTS["gas-constant"].value)
# Most that any cell may react in a step, and the longest step, s.
_SHARE, _LONGEST = 0.004, 20.0
# Beyond this the model says only that the layer runs away, K.
RUNAWAY = 150.0 + 273.15


@dataclass(frozen=True, slots=True)
class Reaction:
    """How fast a resin cures: share of the reaction a second, from how far it is and its temperature in kelvin."""

    rate: Callable[[Any, Any], Any]


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer and its surroundings, in SI units; `held` faces keep the temperature of the surroundings."""

    depth: float
    start: float
    around: float
    density: float
    specific_heat: float
    conductivity: float
    heat: float
    top: float
    bottom: float
    held: bool = False


@dataclass(frozen=True, slots=True)
class Cured:
    """What became of a layer: the hottest cell and the mean, step by step, and how far it had cured at the end.

    `lost` is the heat that left by the faces, J/m^2.
    """

    time: np.ndarray
    hottest: np.ndarray
    mean: np.ndarray
    share: np.ndarray
    temperature: np.ndarray
    lost: float

    @property
    def peak(self) -> float:
        """Highest temperature of any cell, K."""
        return float(self.hottest.max())

    @property
    def peak_time(self) -> float:
        """When that was, s."""
        return float(self.time[int(self.hottest.argmax())])


def fixture(speed: float = 1.0, *, diffusion: bool = False) -> Reaction:
    """The one published reaction, all its speeds times `speed`; with `diffusion` slowed as its chains stiffen.

    d(alpha)/dt = (k1 + k2 alpha^m)(1 - alpha)^n, k = A exp(-E/RT).  With
    diffusion 1/k = 1/k_i + 1/k_d, k_d from the distance to the glass
    temperature after DiBenedetto.
    """
    a1, e1, a2, e2, m, n = (float(_FACTS[key].value) for key in ("A1", "E1", "A2", "E2", "m", "n"))

    def slowed(k: Any, alpha: Any, kelvin: Any) -> Any:
        if not diffusion:
            return k
        glass = 273.15 - 57 + 148 * 0.36903 * alpha / (1 - (1 - 0.36903) * alpha)
        free = np.maximum(0.00048 * (kelvin - glass) + 0.025, 1e-5)
        apart = 7e18 * np.exp(-137300 / (_GAS * kelvin) - 0.009 / free)
        return k * apart / (k + apart)

    def rate(alpha: Any, kelvin: Any) -> Any:
        k1 = slowed(a1 * np.exp(-e1 / (_GAS * kelvin)), alpha, kelvin)
        k2 = slowed(a2 * np.exp(-e2 / (_GAS * kelvin)), alpha, kelvin)
        return speed * (k1 + k2 * alpha**m) * (1 - alpha) ** n

    return Reaction(rate)


def _flow(layer: Layer, cells: int) -> tuple[np.ndarray, np.ndarray, float, float]:
    """Rates between cells and at the faces, 1/s, as a matrix on temperatures above the surroundings."""
    across = layer.depth / cells
    store = layer.density * layer.specific_heat * across
    inner = layer.conductivity / across

    def face(transfer: float) -> float:
        # Half a cell lies between its middle and the face.
        return 2 * inner if layer.held else 1 / (1 / transfer + 0.5 / inner) if transfer else 0.0

    top, bottom = face(layer.top), face(layer.bottom)
    matrix = np.zeros((cells, cells))
    for place in range(cells - 1):
        for one, other in ((place, place + 1), (place + 1, place)):
            matrix[one, one] -= inner
            matrix[one, other] += inner
    matrix[0, 0] -= top
    matrix[-1, -1] -= bottom
    values, modes = np.linalg.eigh(matrix / store)
    return values, modes, top, bottom


def cure(
    layer: Layer, reaction: Reaction, *, cells: int = 40, longest: float = 48 * 3600.0, until: float = np.inf,
    share: float = _SHARE, step: float = _LONGEST,
) -> Cured:
    """Walk a layer through its cure until it has cured or cooled, reached `until` kelvin or taken `longest` seconds."""
    values, modes, top, bottom = _flow(layer, cells)
    alpha = np.zeros(cells)
    warm = np.full(cells, layer.start - layer.around)
    rise = layer.heat / layer.specific_heat
    rate = reaction.rate
    time, lost = 0.0, 0.0
    times, hottest, means = [0.0], [float(layer.start)], [float(layer.start)]
    while time < longest:
        now = rate(alpha, warm + layer.around)
        dt = min(step, share / max(float(now.max()), 1e-12))
        half = np.minimum(alpha + dt / 2 * now, 1.0)
        done = np.minimum(alpha + dt * rate(half, warm + layer.around + rise * (half - alpha)), 1.0)
        warm = warm + rise * (done - alpha)
        alpha = done
        decay = np.exp(values * dt)
        inside = modes.T @ warm
        # The integral of each mode over the step gives what passed the faces.
        passed = modes @ (inside * np.where(values < -1e-15, np.expm1(values * dt) / np.minimum(values, -1e-15), dt))
        lost += float(top * passed[0] + bottom * passed[-1])
        warm = modes @ (inside * decay)
        time += dt
        times.append(time)
        hottest.append(float(warm.max()) + layer.around)
        means.append(float(warm.mean()) + layer.around)
        if hottest[-1] >= until or (alpha.min() > 0.95 and warm.max() < 1) or _over(alpha, hottest):
            break
    return Cured(
        np.array(times), np.array(hottest), np.array(means), alpha, warm + layer.around, lost,
    )  # fmt: skip


def _over(alpha: np.ndarray, hottest: list[float]) -> bool:
    """True when the heat is past: half cured or more, and cooled to a tenth of the way from the peak to the start."""
    top, first = max(hottest), hottest[0]
    return bool(alpha.min() > 0.5 and top > first + 1 and hottest[-1] < first + 0.1 * (top - first))
