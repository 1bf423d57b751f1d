"""A straight member over two to six supports: moments, shears, reactions and sag from three moments.

A kernel on plain SI numbers: places in m, one row a support, samples in the
last axis.  Loads are units (1 N/m over one stretch, or 1 N at one point), so
that a caller multiplies by its own loads and picks, stretch by stretch, those
that make a result worse.  A stretch is an overhang or a span; they count from
the first end: overhang, spans, overhang.

The moments over the supports follow from the equation of three moments
(Clapeyron, 1857): for spans L and l left and right of a support, M before, at
and after it,  M- L + 2 M (L + l) + M+ l = -(w L^3 + w l^3)/4  under uniform
loads.  Section and stiffness are those of one member all along; supports do
not give.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

__all__ = ["POINTS", "Cases", "Line", "along_spans", "line_of", "peak", "point_loads", "uniform_loads", "worst"]

# Where in a span a walking load is tried; between them the worst place is read off a parabola.
POINTS = np.linspace(0.2, 0.8, 5)


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """The places of a member: its two overhangs, shape (samples,), and its spans, shape (spans, samples)."""

    first: Any
    spans: Any
    last: Any
    inverse: Any

    @property
    def stretches(self) -> list[Any]:
        """Every stretch from the first end."""
        return [self.first, *self.spans, self.last]


@dataclass(frozen=True, slots=True, eq=False)
class Cases:
    """Answers to unit loads: one column a load, samples last.

    `moments` over the supports, sagging positive; `left` and `right` the shears
    at the two ends of every span; `reactions` of the supports; `tips` how far
    the two ends go down, times stiffness.
    """

    moments: Any
    left: Any
    right: Any
    reactions: Any
    tips: Any


def line_of(places: Any, length: Any) -> Line:
    """A member of a length on supports at `places` from its first end, shape (supports, samples).

    Samples whose supports do not lie one after the other on the member come out as nan.
    """
    places = np.broadcast_to(places, np.broadcast_shapes(places.shape, (1, *np.shape(length))))
    spans = np.diff(places, axis=0)
    last = length - places[-1]
    good = (spans > 0).all(axis=0) & (places[0] >= 0) & (last >= -1e-9)
    spans = np.where(good, spans, np.nan)
    inner = spans.shape[0] - 1
    matrix = np.zeros((spans.shape[1], inner, inner))
    for place in range(inner):
        matrix[:, place, place] = 2 * (spans[place] + spans[place + 1])
        if place:
            matrix[:, place, place - 1] = matrix[:, place - 1, place] = spans[place]
    safe = np.where(good[:, None, None], matrix, np.eye(inner))
    return Line(places[0], spans, np.maximum(last, 0.0), np.linalg.inv(safe) if inner else safe)


def _supports(line: Line, ends: tuple[Any, Any], terms: Any) -> Any:
    """Moments over the supports, shape (supports, loads, samples), from those over the outer two and the load terms.

    `terms` has the right-hand side of every inner support, shape (inner, loads, samples).
    """
    inner = line.spans.shape[0] - 1
    known = np.array(terms, copy=True)
    if inner:
        known[0] -= ends[0] * line.spans[0]
        known[-1] -= ends[1] * line.spans[-1]
    found = np.einsum("sij,jls->ils", line.inverse, known) if inner else known
    return np.concatenate([ends[0][None], found, ends[1][None]])


def uniform_loads(line: Line) -> Cases:
    """1 N/m on each stretch in turn."""
    spans, n = line.spans, line.spans.shape[0]
    loads, samples = n + 2, spans.shape[1]
    on = np.zeros((n, loads, 1))
    on[np.arange(n), np.arange(1, n + 1), 0] = 1.0
    cubes = on * spans[:, None] ** 3 / 4
    ends = (np.zeros((loads, samples)), np.zeros((loads, samples)))
    ends[0][0], ends[1][-1] = -line.first**2 / 2, -line.last**2 / 2
    moments = _supports(line, ends, -(cubes[:-1] + cubes[1:]))
    half = on * spans[:, None] / 2
    over = (np.zeros((loads, samples)), np.zeros((loads, samples)))
    over[0][0], over[1][-1] = line.first, line.last
    own = (np.zeros((loads, samples)), np.zeros((loads, samples)))
    own[0][0], own[1][-1] = line.first**4 / 8, line.last**4 / 8
    turns = on * spans[:, None] ** 3 / 24
    return _cases(line, moments, (half, half), over, (turns[0], turns[-1]), own)


def point_loads(line: Line, shares: Any = POINTS) -> Cases:
    """1 N at both tips and at the same shares of every span: first tip, the spans in turn, last tip."""
    spans, n, k = line.spans, line.spans.shape[0], shares.size
    loads, samples = n * k + 2, spans.shape[1]
    left, right, before, after = (np.zeros((n, loads, samples)) for _ in range(4))
    turn_left, turn_right = np.zeros((n, loads, samples)), np.zeros((n, loads, samples))
    share = shares[:, None]
    for place in range(n):
        span, own = spans[place], slice(1 + place * k, 1 + (place + 1) * k)
        left[place, own], right[place, own] = np.broadcast_to(1 - share, (k, samples)), share + 0 * span
        # P a (L^2 - a^2)/L on the support behind the load, P b (L^2 - b^2)/L on the one before it.
        after[place, own] = span**2 * share * (1 - share**2)
        before[place, own] = span**2 * (1 - share) * (1 - (1 - share) ** 2)
    turn_left, turn_right = before / 6, after / 6
    ends = (np.zeros((loads, samples)), np.zeros((loads, samples)))
    ends[0][0], ends[1][-1] = -line.first, -line.last
    moments = _supports(line, ends, -(after[:-1] + before[1:]))
    over = (np.zeros((loads, samples)), np.zeros((loads, samples)))
    over[0][0], over[1][-1] = 1.0, 1.0
    own_sag = (np.zeros((loads, samples)), np.zeros((loads, samples)))
    own_sag[0][0], own_sag[1][-1] = line.first**3 / 3, line.last**3 / 3
    return _cases(line, moments, (left, right), over, (turn_left[0], turn_right[-1]), own_sag)


def _cases(line: Line, moments: Any, simple: tuple[Any, Any], over: tuple[Any, Any], turns: tuple[Any, Any],
           own: tuple[Any, Any]) -> Cases:
    """Shears, reactions and tips from the moments: `simple` are shears, `turns` end slopes of spans on two supports."""
    rise = np.diff(moments, axis=0) / line.spans[:, None]
    left, right = simple[0] + rise, simple[1] - rise
    nothing = np.zeros((1, *left.shape[1:]))
    reactions = np.concatenate([left, nothing]) + np.concatenate([nothing, right])
    reactions[0] += over[0]
    reactions[-1] += over[1]
    first = turns[0] + line.spans[0] * (moments[0] / 3 + moments[1] / 6)
    last = turns[1] + line.spans[-1] * (moments[-1] / 3 + moments[-2] / 6)
    tips = np.stack([own[0] - first * line.first, own[1] - last * line.last])
    return Cases(moments, left, right, reactions, tips)


def worst(answers: Any, *, least: bool = False) -> Any:
    """The most (or least) that loads on any choice of stretches give: those of one sign added up along axis 1."""
    return (np.minimum if least else np.maximum)(answers, 0.0).sum(axis=1)


def along_spans(answers: Any, spans: int) -> Any:
    """Answers to the point loads within the spans, shape (places, what, spans, samples), without those at the tips."""
    what, samples = answers.shape[0], answers.shape[2]
    return np.moveaxis(answers[:, 1:-1].reshape(what, spans, POINTS.size, samples), 2, 0)


def peak(values: Any) -> Any:
    """The top along the first axis, read off the parabola through the highest value and its neighbours."""
    top = np.clip(np.argmax(np.nan_to_num(values, nan=-np.inf), axis=0), 1, values.shape[0] - 2)
    before, at, after = (np.take_along_axis(values, (top + step)[None], axis=0)[0] for step in (-1, 0, 1))
    bend = 2 * at - before - after
    with np.errstate(divide="ignore", invalid="ignore"):
        step = np.where(bend > 0, np.clip((after - before) / (2 * bend), -1.0, 1.0), 0.0)
    return np.maximum(at + step * (after - before) / 4, np.maximum(before, np.maximum(at, after)))
