"""How far floats are apart: whether two are in the same place, and whether a gap could hold a head."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Any

import numpy as np

from kit.floats import FloatBody, columns
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["gaps", "half_sizes"]


def gaps(floats: Sequence[FloatBody]) -> tuple[Quantity, Quantity]:
    """Least gap between two floats (negative where they overlap), and how far the worst gap lies inside the range
    that lets a body through and holds a head (negative where every gap is outside it); nan where there is one float.

    Two parallel tubes are as far apart as their axes less their radii; any
    other pair as far as the boxes around them.  Only neighbours can trap: a
    gap with another float in it is none.  Worked on plain millimetres.
    """
    pairs = list(combinations(range(len(floats)), 2))
    if not pairs:
        return Q(np.nan, "mm"), Q(np.nan, "mm")
    places, halves = _measured(floats)
    found = {(i, j): _gap(floats, places, halves, i, j) for i, j in pairs}
    facts = read_facts("openings")
    low, high = facts["head-low"].q.m_as("mm"), facts["head-high"].q.m_as("mm")
    middles = np.array([[float(np.mean(part[np.isfinite(part)])) if np.isfinite(part).any() else np.nan
                         for part in map(np.atleast_1d, axis)] for axis in places])[:2].T
    inside = [np.minimum(gap - low, high - gap) for pair, gap in found.items() if _neighbours(middles, *pair)]
    worst = np.maximum.reduce(np.broadcast_arrays(*inside)) if inside else -low
    return Q(np.minimum.reduce(np.broadcast_arrays(*found.values()))[()], "mm"), Q(np.asarray(worst)[()], "mm")


def half_sizes(one: FloatBody) -> tuple[Quantity, Quantity, Quantity]:
    """Half the sizes of a float along x, y and z."""
    wide, high = (one.diameter, one.diameter) if one.is_round else (one.width, one.height)
    assert wide is not None and high is not None
    if one.direction == "standing":
        return wide / 2, wide / 2, one.length / 2
    sides = (one.length / 2, wide / 2) if one.direction == "lengthwise" else (wide / 2, one.length / 2)
    return sides[0], sides[1], high / 2


def _measured(floats: Sequence[FloatBody]) -> tuple[list[Any], list[Any]]:
    """Middles and half sizes in mm, by axis and then by float."""
    diameter, width, height, length, *places = (
        q.magnitude for q in columns(
            floats, diameter="mm", width="mm", height="mm", length="mm", x="mm", y="mm", z="mm"))
    shape = (-1,) + (1,) * (length.ndim - 1)
    tube, turned, stands = (np.array(flags).reshape(shape) for flags in zip(
        *((one.is_round, one.direction == "lengthwise", one.direction == "standing") for one in floats), strict=True))
    wide, high = np.where(tube, diameter, width), np.where(tube, diameter, height)
    x, y = np.where(turned, length, wide), np.where(turned | stands, wide, length)
    return places, [x / 2, y / 2, np.where(stands, length, high) / 2]


def _gap(floats: Sequence[FloatBody], places: Sequence[Any], halves: Sequence[Any], i: int, j: int) -> Any:
    apart = [np.abs(axis[i] - axis[j]) for axis in places]
    clear = [d - half[i] - half[j] for d, half in zip(apart, halves, strict=True)]
    one, other = floats[i], floats[j]
    if one.is_round and other.is_round and one.direction == other.direction:
        along, *round_ = {"lengthwise": (0, 1, 2), "crosswise": (1, 0, 2), "standing": (2, 0, 1)}[one.direction]
        side = round_[0]
        between = np.hypot(*(apart[axis] for axis in round_)) - halves[side][i] - halves[side][j]
        return np.maximum(clear[along], between)
    return np.maximum.reduce(np.broadcast_arrays(*clear))


def _neighbours(middles: Any, i: int, j: int) -> bool:
    """Whether no third float lies between two, by the middles of the floats in plan."""
    line = middles[j] - middles[i]
    reach = float(line @ line)
    for n in range(len(middles)):
        if n in (i, j) or reach == 0:
            continue
        share = float((middles[n] - middles[i]) @ line) / reach
        off = np.linalg.norm(middles[i] + share * line - middles[n])
        if 0 < share < 1 and off < 0.5 * np.sqrt(reach):
            return False
    return True
