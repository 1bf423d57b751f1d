"""How far floats are apart: whether two are in the same place, and whether a gap could hold a head."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Any

import numpy as np

from kit.floats import FloatBody
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["gaps", "half_sizes"]


def gaps(floats: Sequence[FloatBody]) -> tuple[Quantity, Quantity]:
    """Least gap between two floats (negative where they overlap), and how far the worst gap lies inside the range
    that lets a body through and holds a head (negative where every gap is outside it); nan where there is one float.

    Two parallel tubes are as far apart as their axes less their radii; any
    other pair as far as the boxes around them.  Only neighbours can trap: a
    gap with another float in it is none.
    """
    found = {(i, j): _gap(floats[i], floats[j]) for i, j in combinations(range(len(floats)), 2)}
    if not found:
        return Q(np.nan, "mm"), Q(np.nan, "mm")
    least = _fold(np.minimum, found.values())
    facts = read_facts("openings")
    low, high = facts["head-low"].q, facts["head-high"].q
    inside = [
        np.minimum((gap - low).to("mm"), (high - gap).to("mm"))
        for (i, j), gap in found.items() if _neighbours(floats, i, j)
    ]
    return least.to("mm"), _fold(np.maximum, inside) if inside else -low.to("mm")


def _fold(pick: Any, values: Any) -> Any:
    first, *rest = values
    for value in rest:
        first = pick(first, value)
    return first


def half_sizes(one: FloatBody) -> tuple[Quantity, Quantity, Quantity]:
    """Half the sizes of a float along x, y and z."""
    wide, high = (one.diameter, one.diameter) if one.shape == "round tube" else (one.width, one.height)
    assert wide is not None and high is not None
    sides = (one.length / 2, wide / 2) if one.direction == "lengthwise" else (wide / 2, one.length / 2)
    return sides[0], sides[1], high / 2


def _gap(one: FloatBody, other: FloatBody) -> Any:
    a, b = half_sizes(one), half_sizes(other)
    apart = [abs(getattr(one, axis) - getattr(other, axis)) for axis in "xyz"]
    clear = [(d - p - q).to("mm") for d, p, q in zip(apart, a, b, strict=True)]
    if one.shape == other.shape == "round tube" and one.direction == other.direction:
        along, across = (clear[0], apart[1]) if one.direction == "lengthwise" else (clear[1], apart[0])
        return np.maximum(along, (np.sqrt(across**2 + apart[2] ** 2) - a[2] - b[2]).to("mm"))
    return _fold(np.maximum, clear)


def _neighbours(floats: Sequence[FloatBody], i: int, j: int) -> bool:
    """Whether no third float lies between two, by the middles of the floats."""
    one, other = _place(floats[i]), _place(floats[j])
    line = other - one
    reach = float(line @ line)
    for n, third in enumerate(floats):
        if n in (i, j) or reach == 0:
            continue
        share = float((_place(third) - one) @ line) / reach
        off = np.linalg.norm(one + share * line - _place(third))
        if 0 < share < 1 and off < 0.5 * np.sqrt(reach):
            return False
    return True


def _place(one: FloatBody) -> Any:
    return np.array([float(np.mean(getattr(one, axis).m_as("m"))) for axis in "xy"])
