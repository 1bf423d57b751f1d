"""The greatest and least moment along a member, for its drawing: every crowd and every place of a person."""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.continuous import line_of, point_loads, uniform_loads, worst
from kit.quantities import Q, Quantity

__all__ = ["moment_envelope"]

_STEPS = 16


def moment_envelope(
    places: Any, length: Quantity, *, dead: Quantity, crowd: Quantity, person: Quantity, on_dead: float, on_live: float
) -> tuple[Quantity, Quantity, Quantity]:
    """Places along a member and the most and the least moment there, sagging positive, load factors included.

    `places` are those of the supports in m, plain numbers one after the other.
    A person stands at the place itself for the most, and anywhere else for the
    least; crowds stand on the stretches that make it worse.
    """
    line = line_of(np.asarray(places, dtype=float)[:, None], np.atleast_1d(length.m_as("m")))
    shares = np.linspace(0.0, 1.0, _STEPS + 1)[1:-1]
    even, point = uniform_loads(line), point_loads(line, shares)
    rest, live, one = on_dead * dead.m_as("N/m"), on_live * crowd.m_as("N/m"), on_live * person.m_as("N")
    found = [(0.0, 0.0, 0.0), *_overhang(float(line.first[0]), 0.0, 1, rest, live, one)]
    for n, span in enumerate(line.spans[:, 0]):
        found += _span(n, float(span), float(places[n]), shares, even.moments[:, :, 0], point.moments[:, :, 0],
                       (rest, live, one))
    whole = float(length.m_as("m"))
    found += [*_overhang(float(line.last[0]), whole, -1, rest, live, one)[::-1], (whole, 0.0, 0.0)]
    x, most, least = np.array(found).T
    return Q(x, "m"), Q(most, "N*m"), Q(least, "N*m")


def _overhang(reach: float, tip: float, way: int, rest: float, live: float, one: float) -> list[tuple[float, ...]]:
    """From the tip to just before the support: dead load, and the worse of crowd and person at the tip."""
    if not reach:
        return []
    out = np.linspace(0.0, reach, _STEPS + 1)[1:]
    return [(tip + way * t, -rest * t**2 / 2, -rest * t**2 / 2 - max(live * t**2 / 2, one * t)) for t in out]


def _span(n: int, span: float, start: float, shares: Any, even: Any, point: Any,
          loads: tuple[float, float, float]) -> list[tuple[float, ...]]:
    """From support to support, both ends included."""
    rest, live, one = loads
    made: list[tuple[float, ...]] = []
    for step, share in enumerate(np.linspace(0.0, 1.0, _STEPS + 1)):
        own = np.zeros(even.shape[1])
        own[n + 1] = span**2 * share * (1 - share) / 2
        unit = even[n] * (1 - share) + even[n + 1] * share + own
        still = rest * unit.sum()
        far = point[n] * (1 - share) + point[n + 1] * share
        inside = slice(1 + n * shares.size, 1 + (n + 1) * shares.size)
        under = far[inside][step - 1] + span * share * (1 - share) if 0 < share < 1 else 0.0
        elsewhere = np.delete(far, np.arange(far.size)[inside]) if 0 < share < 1 else far
        most = still + max(live * worst(unit[None, :, None])[0, 0], one * max(under, elsewhere.max(), 0.0))
        least = still + min(live * worst(unit[None, :, None], least=True)[0, 0], one * min(elsewhere.min(), 0.0))
        made.append((start + share * span, most, least))
    return made
