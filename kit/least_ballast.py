"""The least ballast in a few places, for many samples at once.

A kernel on plain SI numbers.  The least sum of masses with two moments to
balance and every place between empty and full stands at a corner of what is
possible: all but two places are empty or full.  With few places the corners
are few enough to try them all, for all samples together.  Where no corner
balances, the least moment is left with all but one place empty or full.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

__all__ = ["MOST_PLACES", "least_ballast", "whole_places"]

Array: TypeAlias = NDArray[Any]

# More places make too many corners: six make 240, eight 1792.
MOST_PLACES = 6
_CLOSE = 1e-9
# An arm or a triangle of arms smaller than this, in square metres, balances nothing.
_POINT = 1e-12


def least_ballast(x: Array, y: Array, capacity: Array, moment_x: Array, moment_y: Array) -> Array:
    """Masses (places, samples) whose moments are `moment_x` and `moment_y`, or as near as can be.

    `x`, `y` and `capacity` are (places, samples), the moments (samples).
    """
    scale = np.abs(moment_x) + np.abs(moment_y) + 1e-12
    best = np.zeros(x.shape)
    least = np.where(scale <= 1e-12, 0.0, np.inf)
    for masses, inside in _corners(x, y, capacity, moment_x, moment_y):
        total = masses.sum(axis=0)
        better = inside & (total < least - _CLOSE * np.where(np.isfinite(least), least, 0))
        least = np.where(better, total, least)
        best = np.where(better, masses, best)
    if np.isfinite(least).all():
        return best
    left = np.hypot(moment_x, moment_y)
    short = ~np.isfinite(least)
    for masses in _edges(x, y, capacity, moment_x, moment_y):
        remains = np.hypot(moment_x - (masses * x).sum(axis=0), moment_y - (masses * y).sum(axis=0))
        better = short & (remains < left - _CLOSE * scale)
        left, best = np.where(better, remains, left), np.where(better, masses, best)
    return np.where(np.isfinite(moment_x + moment_y + (x + y + capacity).sum(axis=0)), best, np.nan)


def whole_places(
    x: Array, y: Array, capacity: Array, moment_x: Array, moment_y: Array, within: Array, otherwise: Array
) -> Array:
    """The least mass of places that are full or empty and leave no more than `within`; where none does, `otherwise`."""
    best, least = otherwise, np.full(moment_x.shape, np.inf)
    for full in product((0.0, 1.0), repeat=len(x)):
        masses = np.array(full)[:, None] * capacity
        left = np.hypot(moment_x - (masses * x).sum(axis=0), moment_y - (masses * y).sum(axis=0))
        total = masses.sum(axis=0)
        better = (left <= within) & (total < least)
        least, best = np.where(better, total, least), np.where(better, masses, best)
    return best


def _corners(x: Array, y: Array, capacity: Array, moment_x: Array, moment_y: Array) -> Iterator[tuple[Array, Any]]:
    """Every way to fill two places partly and leave the others empty or full, and which samples it balances."""
    places = len(x)
    if places == 1:
        yield from _one_place(x, y, capacity, moment_x, moment_y)
        return
    for i, j in combinations(range(places), 2):
        others = [n for n in range(places) if n not in (i, j)]
        cross = x[i] * y[j] - x[j] * y[i]
        in_line = np.abs(cross) < _POINT
        whole = np.where(in_line, 1.0, cross)
        for full in product((0.0, 1.0), repeat=len(others)):
            masses = np.zeros(x.shape)
            for n, share in zip(others, full, strict=True):
                masses[n] = share * capacity[n]
            need_x, need_y = moment_x - (masses * x).sum(axis=0), moment_y - (masses * y).sum(axis=0)
            first, second = (need_x * y[j] - need_y * x[j]) / whole, (x[i] * need_y - y[i] * need_x) / whole
            inside = ~in_line & _within(first, capacity[i]) & _within(second, capacity[j])
            masses[i], masses[j] = np.clip(first, 0, capacity[i]), np.clip(second, 0, capacity[j])
            yield masses, inside
    yield from _one_place(x, y, capacity, moment_x, moment_y)


def _one_place(x: Array, y: Array, capacity: Array, moment_x: Array, moment_y: Array) -> Iterator[tuple[Array, Any]]:
    """One place alone, where its arm points the right way: two places in line give no corner."""
    for n in range(len(x)):
        arm = x[n] ** 2 + y[n] ** 2
        mass = (x[n] * moment_x + y[n] * moment_y) / np.where(arm < _POINT, 1.0, arm)
        off = np.abs(mass * x[n] - moment_x) + np.abs(mass * y[n] - moment_y)
        masses = np.zeros(x.shape)
        masses[n] = np.clip(mass, 0, capacity[n])
        balances = off <= _CLOSE * (np.abs(moment_x) + np.abs(moment_y))
        yield masses, (arm >= _POINT) & _within(mass, capacity[n]) & balances


def _within(mass: Array, capacity: Array) -> Any:
    return (mass >= -_CLOSE * (1 + capacity)) & (mass <= capacity + _CLOSE * (1 + capacity))


def _edges(x: Array, y: Array, capacity: Array, moment_x: Array, moment_y: Array) -> Iterator[Array]:
    """Every way to fill one place partly, as near as it can come, and leave the others empty or full."""
    places = len(x)
    for n in range(places):
        others = [k for k in range(places) if k != n]
        arm = x[n] ** 2 + y[n] ** 2
        for full in product((0.0, 1.0), repeat=len(others)):
            masses = np.zeros(x.shape)
            for k, share in zip(others, full, strict=True):
                masses[k] = share * capacity[k]
            need_x, need_y = moment_x - (masses * x).sum(axis=0), moment_y - (masses * y).sum(axis=0)
            masses[n] = np.clip((need_x * x[n] + need_y * y[n]) / np.where(arm < _POINT, 1.0, arm), 0, capacity[n])
            yield masses
