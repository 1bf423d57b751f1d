"""The charts of stage 07: energy in against out by month, a year of the battery's charge, what eats it.

Written by hand as SVG in the colour of the text around it; outline and solid
bars, weight and dashes tell things apart, never colour.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from kit import sky
from kit.build.build import Build
from kit.climate import MONTHS
from kit.months import in_season
from kit.notebook.curves import nice
from kit.notebook.text import escape
from kit.notebook.waits import needs
from kit.quantities import Q
from kit.workshop import show

__all__ = ["by_month", "eats", "year"]

_LEFT, _WIDE, _TOP, _HIGH = 54, 560, 46, 230
_MONTHLY = {
    "the loads": ("power.loads.energy",), "the panels and the sun": ("power.panel_yield.energy",),
    "the season": ("brief.season_begins", "brief.season_ends"),
}  # fmt: skip


class _Paper:
    """Shapes of one chart, in pixels."""

    def __init__(self, title: str, wide: float, high: float, plot: float = _HIGH) -> None:
        self.title, self.wide, self.high, self.plot = title, wide, high, plot
        self.body: list[str] = [self.text(8, 14, title, size=12.5, bold=True)]

    def text(
        self, x: float, y: float, words: str, *, anchor: str = "start", size: float = 11.5, bold: bool = False,
        turn: float = 0,
    ) -> str:
        """A text; returned, not drawn."""
        turned = f' transform="rotate({turn:g} {x:.1f} {y:.1f})"' if turn else ""
        weight = ' font-weight="700"' if bold else ""
        return (
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="currentColor"{weight}{turned}>'
            f"{escape(words)}</text>"
        )

    def write(self, *args: Any, **how: Any) -> None:
        """Draw a text."""
        self.body.append(self.text(*args, **how))

    def bar(self, x: float, y: float, wide: float, high: float, fill: float, dash: str = "") -> None:
        """A rectangle; `fill` is how dark it is."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.body.append(
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{max(wide, 0):.1f}" height="{max(high, 0):.1f}" fill="currentColor" '
            f'fill-opacity="{fill:g}" stroke="currentColor" stroke-width="1.2"{dashed}/>'
        )

    def path(self, d: str, weight: float = 1.2, dash: str = "", faint: float = 1, fill: float = 0) -> None:
        """A line, or with a fill the area in it."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        inside = f'fill="currentColor" fill-opacity="{fill:g}" stroke="none"' if fill else (
            f'fill="none" stroke="currentColor" stroke-width="{weight:g}" stroke-opacity="{faint:g}"'
        )
        self.body.append(f'<path d="{d}" {inside}{dashed}/>')

    def svg(self) -> str:
        """The chart."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.wide:g} {self.high:g}" width="{self.wide:g}" '
            f'height="{self.high:g}" role="img" aria-label="{escape(self.title)}" '
            f'font-family="Liberation Sans, Arial, sans-serif" color="currentColor"><title>{escape(self.title)}</title>'
            f"{''.join(self.body)}</svg>"
        )


def by_month(build: Build, wide: float = _WIDE) -> str:
    """Energy in and out on a mean day of every month; over each pair how many times the one covers the other."""
    needs(build, _MONTHLY)
    comes, goes = (build.value(path).m_as("Wh") for path in ("power.panel_yield.energy", "power.loads.energy"))
    title = "Energy on a mean day" if wide < 0.8 * _WIDE else "Energy on a mean day: what the panels bring, what the loads take"
    plot = 170 if wide < 0.8 * _WIDE else _HIGH
    paper = _Paper(title, _LEFT + wide + 16, plot + 126, plot)
    top = _scale_up(paper, max(comes.max(), goes.max()) * 1.08, "energy a day (Wh)", wide)
    ratio = comes / np.maximum(goes, 1e-6)
    step, narrow = wide / 12, wide < 0.8 * _WIDE
    for month, name in enumerate(MONTHS):
        x = _LEFT + step * month
        for share, energy, fill in ((0.14, comes[month], 0.12), (0.52, goes[month], 0.75)):
            high = energy / top * paper.plot
            paper.bar(x + share * step, _TOP + paper.plot - high, 0.34 * step, high, fill)
        worst = month == int(ratio.argmin())
        peak = _TOP + paper.plot - max(comes[month], goes[month]) / top * paper.plot
        if worst or not narrow:
            size = 12.5 if worst else 11
            paper.write(x + step / 2, peak - 6, f"{min(ratio[month], 99):.2f}", anchor="middle", bold=worst, size=size)
        paper.write(x + step / 2, _TOP + paper.plot + 16, name[: 1 if narrow else 3], anchor="middle", bold=worst)
    _season(paper, build, step)
    _key(paper, plot + 104, (("in, from the panels", 0.12), ("out, to the loads", 0.75)))
    if not narrow:
        paper.write(_LEFT + wide, plot + 113, "figure: in over out, worst month bold", anchor="end", size=11)
    return paper.svg()


def _scale_up(paper: _Paper, most: float, name: str, wide: float = _WIDE) -> float:
    """The upright axis from nothing to at least `most`; returns its top."""
    step = nice(max(most, 1e-6) / 5)
    top = float(np.ceil(most / step) * step)
    paper.path(f"M{_LEFT} {_TOP} V{_TOP + paper.plot} H{_LEFT + wide}")
    for n in range(round(top / step) + 1):
        y = _TOP + paper.plot - n * step / top * paper.plot
        paper.path(f"M{_LEFT - 4} {y:.1f} H{_LEFT + wide}", 0.5, faint=0.3)
        paper.write(_LEFT - 8, y + 4, f"{n * step:g}", anchor="end")
    paper.write(13, _TOP + paper.plot / 2, name, anchor="middle", turn=-90)
    return top


def _season(paper: _Paper, build: Build, step: float) -> None:
    """A line under the months of the season."""
    inside = in_season(build.value("brief.season_begins"), build.value("brief.season_ends"))
    y, month = _TOP + paper.plot + 26, 0
    while month < 12:
        if not inside[month]:
            month += 1
            continue
        end = month
        while end < 12 and inside[end]:
            end += 1
        a, b = _LEFT + step * month + 4, _LEFT + step * end - 4
        paper.path(f"M{a:.1f} {y - 4} v8 M{b:.1f} {y - 4} v8 M{a:.1f} {y} H{b:.1f}", 1.4)
        paper.write((a + b) / 2, y + 14, "season", anchor="middle")
        month = end


def _key(paper: _Paper, y: float, of: tuple[tuple[str, float], ...]) -> None:
    x = float(_LEFT)
    for words, fill in of:
        paper.bar(x, y, 16, 10, fill)
        paper.write(x + 22, y + 9, words, size=11)
        x += 40 + 6.2 * len(words)


def year(build: Build) -> str:
    """The charge of the battery through the year: half of the drawn years, one in twenty, and the lowest of all."""
    needs(build, {"the drawn years": ("power.drawn_years.usual", "power.battery.depth")})
    usual, lean, worst = (build.value(f"power.drawn_years.{name}").m_as("percent") for name in ("usual", "lean", "worst"))
    cut = 100 - build.value("power.battery.depth").m_as("percent")
    paper = _Paper("Charge of the battery through the year, over many drawn years", _LEFT + _WIDE + 120, 330)
    _scale_up(paper, 100, "charge at the end of the day (%)")
    days = (np.arange(365) + 0.5) / 365 * _WIDE + _LEFT

    def line(values: Any) -> list[str]:
        return [f"{x:.1f} {_TOP + _HIGH * (1 - v / 100):.1f}" for x, v in zip(days[::3], values[::3], strict=True)]

    paper.path("M" + " L".join([*line(usual), *line(lean)[::-1]]) + " Z", fill=0.13)
    for values, weight, dash in ((usual, 1.8, ""), (lean, 1.3, "7 4"), (worst, 1.0, "2 3")):
        paper.path("M" + " L".join(line(values)), weight, dash)
    y = _TOP + _HIGH * (1 - cut / 100)
    paper.path(f"M{_LEFT} {y:.1f} H{_LEFT + _WIDE}", 1.6, "12 4")
    paper.write(_LEFT + 6, y + 15, f"loads are cut off at {show(Q(cut, 'percent'), 'percent', resolution=1)}")
    _months_below(paper)
    _names(paper, (("half of the years above", usual[-1]), ("one in twenty below", lean[-1]), ("lowest of all", worst[-1])))
    return paper.svg()


def _months_below(paper: _Paper) -> None:
    ends = np.cumsum(sky.DAYS) / 365 * _WIDE + _LEFT
    for end, name in zip(ends, MONTHS, strict=True):
        paper.path(f"M{end:.1f} {_TOP + _HIGH} v5", 1)
        paper.write(end - _WIDE / 24, _TOP + _HIGH + 17, name[:3], anchor="middle")
    paper.write(_LEFT + _WIDE / 2, _TOP + _HIGH + 36, "month", anchor="middle")


def _names(paper: _Paper, of: tuple[tuple[str, float], ...]) -> None:
    """The name of each curve at its right end, clear of one another."""
    last = -99.0
    for words, value in of:
        there = _TOP + _HIGH * (1 - value / 100)
        y = max(there, last + 15)
        paper.path(f"M{_LEFT + _WIDE} {there:.1f} L{_LEFT + _WIDE + 10} {y:.1f}", 0.6)
        paper.write(_LEFT + _WIDE + 13, y + 4, words, size=10.5)
        last = y


def eats(build: Build, wide: float = 640) -> str:
    """Watt hours a day of every load, in the season and out of it, the hungriest first."""
    needs(build, {"the loads": ("power.loads.lines",)})
    lines = sorted(build.value("power.loads.lines"), key=lambda line: -float(line.season.m_as("Wh")))
    left, step = 120.0, 40.0
    paper = _Paper("What eats it: energy a day by load", wide, 34 + step * len(lines) + 44)
    most = max(float(max(line.season, line.winter).m_as("Wh")) for line in lines) or 1.0
    scale = (wide - left - 110) / most
    for place, line in enumerate(lines):
        y = 30 + step * place
        paper.write(left - 10, y + 14, _clipped(line.name), anchor="end", bold=line.always)
        if line.always:
            paper.write(left - 10, y + 27, "day and night", anchor="end", size=10)
        for down, energy, fill in ((0, line.season, 0.75), (15, line.winter, 0.12)):
            watt_hours = float(energy.m_as("Wh"))
            paper.bar(left, y + down, watt_hours * scale, 13, fill)
            shown = show(energy, "Wh", resolution=0.1, prefs=build.prefs) if watt_hours else "nothing"
            paper.write(left + watt_hours * scale + 6, y + down + 11, shown, size=11)
    foot = 30 + step * len(lines) + 8
    paper.path(f"M{left} 24 V{foot}", 1.2)
    _key(paper, foot + 10, (("a day in the season", 0.75), ("a day out of it", 0.12)))
    return paper.svg()


def _clipped(name: str) -> str:
    return name if len(name) <= 18 else f"{name[:17]}…"
