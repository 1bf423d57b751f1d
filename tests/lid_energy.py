"""A lid by its energy alone, for tests: height of its weight and work stored in its strut, no formula of moments."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

__all__ = ["EnergyLid"]

G = 9.80665


@dataclass(frozen=True, slots=True)
class EnergyLid:
    """A lid with one law of strut, in SI units; angles in radians."""

    mass: float
    a: float
    b: float
    fall: float
    p: float
    q: float
    x: float
    y: float
    force: float
    ratio: float
    extended: float
    stroke: float
    count: int = 1

    def length(self, angle: np.ndarray | float) -> np.ndarray:
        """Distance of the mounts, the lid's turned as a complex number."""
        lid = (self.p + 1j * self.q) * np.exp(1j * np.asarray(angle))
        return np.abs(lid - (self.x + 1j * self.y))

    def energy(self, angle: np.ndarray | float) -> np.ndarray:
        """Height of the centre times weight, plus what the strut would still give until fully out."""
        height = ((self.a + 1j * self.b) * np.exp(1j * (np.asarray(angle) - self.fall))).imag
        left = np.clip(self.extended - self.length(angle), 0.0, self.stroke)
        stored = self.force * (left + (self.ratio - 1) * left**2 / (2 * self.stroke))
        return self.mass * G * height + self.count * stored

    def closing(self, angle: np.ndarray | float, step: float = 1e-5) -> np.ndarray:
        """The moment that closes it: the slope of the energy."""
        angle = np.asarray(angle)
        return (self.energy(angle + step) - self.energy(angle - step)) / (2 * step)

    def arm(self, angle: np.ndarray | float, step: float = 1e-5) -> np.ndarray:
        """How fast the strut lengthens."""
        angle = np.asarray(angle)
        return (self.length(angle + step) - self.length(angle - step)) / (2 * step)

    def scaled(self, share: float) -> EnergyLid:
        """The same with a strut of another force."""
        return EnergyLid(
            self.mass,
            self.a,
            self.b,
            self.fall,
            self.p,
            self.q,
            self.x,
            self.y,
            self.force * share,
            self.ratio,
            self.extended,
            self.stroke,
            self.count,
        )

    def leaning(self, lean: float) -> EnergyLid:
        """The same, everything leaning to the front by `lean`."""
        return EnergyLid(
            self.mass,
            self.a,
            self.b,
            self.fall + lean,
            self.p,
            self.q,
            self.x,
            self.y,
            self.force,
            self.ratio,
            self.extended,
            self.stroke,
            self.count,
        )
