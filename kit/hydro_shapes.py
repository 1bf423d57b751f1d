"""Shapes that the equilibrium kernel knows, and what a water surface leaves of them.

Plain SI numbers in the build's own axes.  Arrays are (compartments, cases); a
compartment's last axis may be 1 where it is the same in all cases.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

__all__ = ["Array", "Boxes", "Compartments", "Immersed", "Tubes", "Up", "Uprights"]

Array: TypeAlias = NDArray[Any]
# The unit vector that points up, in the build's axes.
Up: TypeAlias = tuple[Array, Array, Array]


@dataclass(frozen=True, slots=True)
class Tubes:
    """Round compartments with a level axis along x (`lengthwise`) or along y; positions are of their middles."""

    lengthwise: NDArray[np.bool_]
    along: Array
    across: Array
    z: Array
    length: Array
    radius: Array


@dataclass(frozen=True, slots=True)
class Boxes:
    """Box compartments with sides along x and y; `z` is the height of the underside."""

    x: Array
    y: Array
    z: Array
    length: Array
    width: Array
    height: Array


@dataclass(frozen=True, slots=True)
class Uprights:
    """Round compartments that stand on their ends; `z` is the height of the underside."""

    x: Array
    y: Array
    z: Array
    radius: Array
    height: Array


def _none() -> Uprights:
    return Uprights(*(np.empty((0, 1)) for _ in range(5)))


@dataclass(frozen=True, slots=True)
class Compartments:
    """All compartments: tubes, then boxes, then uprights; a `share` of buoyant volume runs over them in that order."""

    tubes: Tubes
    boxes: Boxes
    uprights: Uprights = field(default_factory=_none)

    def __len__(self) -> int:
        return len(self.tubes.z) + len(self.boxes.z) + len(self.uprights.z)

    def of_cases(self, which: NDArray[np.intp]) -> Compartments:
        """The compartments as they are in the cases `which` of the last axis."""
        return Compartments(
            _of_cases(self.tubes, which), _of_cases(self.boxes, which), _of_cases(self.uprights, which))

    def shares(self, share: Array) -> tuple[Array, Array, Array]:
        """A share by compartment, parted by shape."""
        first = len(self.tubes.z)
        second = first + len(self.boxes.z)
        return share[:first], share[first:second], share[second:]

    @property
    def volumes(self) -> Array:
        """Whole volume of every compartment."""
        t, b, u = self.tubes, self.boxes, self.uprights
        return _joined(np.pi * t.radius**2 * t.length, b.length * b.width * b.height, np.pi * u.radius**2 * u.height)

    @property
    def reach(self) -> tuple[Array, Array]:
        """Lowest underside and highest top of all."""
        t, b, u = self.tubes, self.boxes, self.uprights
        low = _joined(t.z - t.radius, b.z, u.z).min(axis=0)
        return low, _joined(t.z + t.radius, b.z + b.height, u.z + u.height).max(axis=0)


def _joined(*parts: Array) -> Array:
    """Values of all shapes in one table; any may be the same in all cases."""
    there = [part for part in parts if len(part)]
    wide = max(part.shape[1] for part in there)
    return np.concatenate([np.broadcast_to(part, (len(part), wide)) for part in there])


Shapes = TypeVar("Shapes", Tubes, Boxes, Uprights)


def _of_cases(shapes: Shapes, which: NDArray[np.intp]) -> Shapes:
    made = {f.name: getattr(shapes, f.name) for f in fields(shapes)}
    return type(shapes)(**{k: v[:, which] if v.ndim > 1 and v.shape[1] > 1 else v for k, v in made.items()})


@dataclass(frozen=True, slots=True)
class Immersed:
    """Immersed volume, its moments about the datum, and the waterplane as seen from above in the build's own plan."""

    volume: Array
    x: Array
    y: Array
    z: Array
    area: Array
    area_x: Array
    area_y: Array
    area_xx: Array
    area_xy: Array
    area_yy: Array

    def __add__(self, other: Immersed) -> Immersed:
        return Immersed(*(getattr(self, f.name) + getattr(other, f.name) for f in fields(self)))
