"""A chart of curves over one axis: labelled axes with the unit in brackets, bands between states, limits dashed.

Written by hand as SVG, in the colour of the text around it; weight and dashes
tell the curves apart, never colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from kit.notebook.text import escape
from kit.quantities import Quantity, unit
from kit.showing import Prefs, label, other_system

__all__ = ["Axis", "Band", "Curve", "Limit", "chart", "nice"]

METRIC = Prefs()
_LEFT, _WIDE, _RIGHT, _TOP, _FOOT = 58, 420, 176, 24, 44


@dataclass(frozen=True, slots=True)
class Axis:
    """What an axis shows, and its metric unit; an inch reader sees the unit of the other system."""

    text: str
    unit: str
    step: float = 0


@dataclass(frozen=True, slots=True)
class Curve:
    """One line, with a text at its right end."""

    y: Quantity
    text: str
    weight: float = 1.6
    dash: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """The area between two curves."""

    low: Quantity
    high: Quantity
    fill: float = 0.13


@dataclass(frozen=True, slots=True)
class Limit:
    """A dashed line across the chart with its text above it."""

    y: Quantity
    text: str


def chart(
    x: Quantity, curves: Sequence[Curve], *, axes: tuple[Axis, Axis], title: str, bands: Sequence[Band] = (),
    limits: Sequence[Limit] = (), points: Sequence[tuple[Quantity, Quantity, str]] = (), height: int = 230,
    prefs: Prefs = METRIC,
) -> str:
    """The chart; `points` are marked on it with a text each.  Places where a curve does not exist are left out."""
    plot = _Plot(x, curves, limits, axes, height, prefs)
    body = [plot.grid(), *(plot.band(band) for band in bands), *(plot.curve(curve) for curve in curves)]
    body += [*(plot.limit(limit) for limit in limits), *(plot.point(*point) for point in points), plot.names(curves)]
    wide, high = _LEFT + _WIDE + _RIGHT, _TOP + height + _FOOT
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" role="img" '
        f'aria-label="{escape(title)}" font-family="Liberation Sans, Arial, sans-serif" color="currentColor">'
        f"<title>{escape(title)}</title>{_text(_LEFT, 13, title, size=12.5, bold=True)}{''.join(body)}</svg>"
    )


class _Plot:
    """Where things fall on the page."""

    def __init__(
        self, x: Quantity, curves: Sequence[Curve], limits: Sequence[Limit], axes: tuple[Axis, Axis], height: int,
        prefs: Prefs,
    ) -> None:
        self.axes, self.height, self.prefs = axes, height, prefs
        self.units = [other_system(axis.unit, "inch") if prefs.system == "inch" else axis.unit for axis in axes]
        self.x = self.plain(x, 0)
        heights = np.concatenate([*(self.plain(c.y, 1) for c in curves), *(self.plain(q.y, 1) for q in limits), [0.0]])
        low, high = float(np.nanmin(heights)), float(np.nanmax(heights))
        self.step = nice((high - low or 1) / 6)
        self.low = math.floor(low / self.step) * self.step
        self.high = math.ceil((high + 0.04 * (high - low)) / self.step) * self.step or self.step

    def plain(self, q: Quantity, axis: int) -> Any:
        """Plain numbers in the unit of an axis."""
        return np.atleast_1d(q.to(unit(self.units[axis])).magnitude).astype(float)

    def at(self, x: Any, y: Any) -> tuple[float, float]:
        """Pixels of a point."""
        across = _LEFT + (float(x) - self.x[0]) / (self.x[-1] - self.x[0]) * _WIDE
        return across, _TOP + (self.high - float(y)) / (self.high - self.low) * self.height

    def grid(self) -> str:
        """Both axes with their numbers, and a line at zero."""
        step = self.axes[0].step or nice((self.x[-1] - self.x[0]) / 8)
        foot, (_, zero) = _TOP + self.height, self.at(self.x[0], 0)
        parts = [_path(f"M{_LEFT} {_TOP} V{foot} H{_LEFT + _WIDE}", 1.2), _path(f"M{_LEFT} {zero:.1f} h{_WIDE}", 0.8)]
        for n in range(int((self.x[-1] - self.x[0]) / step + 1e-9) + 1):
            a, _ = self.at(self.x[0] + n * step, 0)
            parts += [_path(f"M{a:.1f} {foot} v5", 1), _text(a, foot + 17, f"{self.x[0] + n * step:g}", anchor="middle")]
        for n in range(round((self.high - self.low) / self.step) + 1):
            value = self.low + n * self.step
            _, b = self.at(self.x[0], value)
            parts += [_path(f"M{_LEFT - 5} {b:.1f} h5", 1), _path(f"M{_LEFT} {b:.1f} h{_WIDE}", 0.5, opacity=0.25)]
            parts.append(_text(_LEFT - 8, b + 4, f"{value:g}".replace("-", "−"), anchor="end"))
        said = [(axis.text, label(name, self.prefs)) for axis, name in zip(self.axes, self.units, strict=True)]
        across, up = (f"{text} ({name})" if name else text for text, name in said)
        parts.append(_text(_LEFT + _WIDE / 2, foot + 36, across, anchor="middle"))
        parts.append(_text(14, _TOP + self.height / 2, up, anchor="middle", turn=-90))
        return "".join(parts)

    def _runs(self, y: Any) -> list[list[tuple[float, float]]]:
        """The stretches over which a curve exists, in pixels."""
        runs: list[list[tuple[float, float]]] = [[]]
        for a, b in zip(self.x, y, strict=True):
            if math.isfinite(b):
                runs[-1].append(self.at(a, b))
            elif runs[-1]:
                runs.append([])
        return [run for run in runs if run]

    def curve(self, curve: Curve) -> str:
        """One curve."""
        return "".join(_path(_joined(run), curve.weight, curve.dash) for run in self._runs(self.plain(curve.y, 1)))

    def band(self, band: Band) -> str:
        """The area between two curves, where both exist."""
        low, high = self.plain(band.low, 1), self.plain(band.high, 1)
        both = np.isfinite(low) & np.isfinite(high)
        there = [self.at(a, b) for a, b in zip(self.x[both], high[both], strict=True)]
        back = [self.at(a, b) for a, b in zip(self.x[both], low[both], strict=True)][::-1]
        if not there:
            return ""
        return f'<path d="{_joined(there + back)} Z" fill="currentColor" fill-opacity="{band.fill:g}" stroke="none"/>'

    def limit(self, limit: Limit) -> str:
        """A dashed line from side to side."""
        a, b = self.at(self.x[0], self.plain(limit.y, 1)[0])
        return _path(f"M{a:.1f} {b:.1f} h{_WIDE}", 1.6, "7 4") + _text(a + 6, b - 5, limit.text)

    def point(self, x: Quantity, y: Quantity, text: str) -> str:
        """A marked point, dropped to the foot of the chart, with its text along the drop."""
        a, b = self.at(self.plain(x, 0)[0], self.plain(y, 1)[0])
        foot = _TOP + self.height
        dot = f'<circle cx="{a:.1f}" cy="{b:.1f}" r="3.6" fill="currentColor"/>'
        return dot + _path(f"M{a:.1f} {b:.1f} V{foot}", 0.8, "2 3") + _text(a - 4, foot - 8, text, turn=-90)

    def names(self, curves: Sequence[Curve]) -> str:
        """The name of each curve at its right end, clear of one another, with a thin line to it."""
        ends = sorted((run[-1][1], run[-1][0], c.text) for c in curves if (run := (self._runs(self.plain(c.y, 1)) or [[]])[-1]))
        places: list[float] = []
        for b, _, _ in ends:
            places.append(max(b, places[-1] + 15) if places else b)
        over = max(0.0, (places[-1] if places else 0) - (_TOP + self.height - 2))
        parts = []
        for (b, a, text), place in zip(ends, places, strict=True):
            parts += [_path(f"M{a:.1f} {b:.1f} L{_LEFT + _WIDE + 12} {place - over:.1f}", 0.5)]
            parts.append(_text(_LEFT + _WIDE + 16, place - over + 4, text))
        return "".join(parts)


def nice(step: float) -> float:
    """The next larger of 1, 2 and 5 times a power of ten."""
    power = 10.0 ** math.floor(math.log10(step))
    return next(power * n for n in (1, 2, 5, 10) if power * n >= step * (1 - 1e-9))


def _joined(points: Sequence[tuple[float, float]]) -> str:
    return "M" + " L".join(f"{a:.1f} {b:.1f}" for a, b in points)


def _path(d: str, weight: float, dash: str = "", opacity: float = 1) -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    faint = f' stroke-opacity="{opacity:g}"' if opacity < 1 else ""
    return f'<path d="{d}" fill="none" stroke="currentColor" stroke-width="{weight:g}"{faint}{dashed}/>'


def _text(
    x: float, y: float, words: str, *, anchor: str = "start", size: float = 11.5, bold: bool = False, turn: float = 0
) -> str:
    turned = f' transform="rotate({turn:g} {x:.1f} {y:.1f})"' if turn else ""
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="currentColor"{weight}{turned}>'
        f"{escape(words)}</text>"
    )
