"""Rows of bars over one axis: days of a calendar, hours of operations, areas of surfaces.

Fill tells the bars apart, never colour; a text that finds no room in its bar
stands behind it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit.notebook.curves import nice
from kit.notebook.text import escape

__all__ = ["Mark", "Span", "spans"]

_LEFT, _WIDE, _RIGHT, _LINE, _LETTER = 168, 420, 132, 28, 5.9


@dataclass(frozen=True, slots=True)
class Span:
    """A bar from `start` to `end` in the unit of the axis; `fill` is how dark it is."""

    start: float
    end: float
    text: str = ""
    fill: float = 0.25
    dash: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """A dashed line down all rows, with its text at the top."""

    at: float
    text: str


def spans(
    rows: Sequence[tuple[str, Sequence[Span]]], axis: str, title: str, *, marks: Sequence[Mark] = (),
    shade: Sequence[tuple[float, float]] = (), step: float = 0,
) -> str:
    """The bars; `shade` are stretches of the axis drawn grey, such as nights."""
    last = max([1e-9, *(bar.end for _, bars in rows for bar in bars), *(mark.at for mark in marks)])
    scale = _WIDE / (1.02 * last)
    top = 26 + 15 * len(marks)
    foot = top + _LINE * len(rows)
    body = [_text(8, 14, title, "start", bold=True)]
    body += [_grey(low, min(high, 1.02 * last), top, foot, scale) for low, high in shade if low < 1.02 * last]
    body += [_mark(mark, place, foot, scale) for place, mark in enumerate(marks)]
    for place, (name, bars) in enumerate(rows):
        y = top + _LINE * place + 4
        body.append(_text(_LEFT - 8, y + 14, name if len(name) <= 26 else f"{name[:25]}…", "end"))
        body += [_bar(bar, y, scale) for bar in bars]
    body.append(_axis(last, foot, scale, axis, step or nice(last / 7)))
    wide, high = _LEFT + _WIDE + _RIGHT, foot + 44
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" role="img" '
        f'aria-label="{escape(title)}" font-family="Liberation Sans, Arial, sans-serif" color="currentColor">'
        f"<title>{escape(title)}</title>{''.join(body)}</svg>"
    )


def _grey(low: float, high: float, top: float, foot: float, scale: float) -> str:
    return (
        f'<rect x="{_LEFT + low * scale:.1f}" y="{top}" width="{(high - low) * scale:.1f}" height="{foot - top}" '
        'fill="currentColor" fill-opacity="0.08"/>'
    )


def _bar(bar: Span, y: float, scale: float) -> str:
    a, long = _LEFT + bar.start * scale, max((bar.end - bar.start) * scale, 0.8)
    dash = f' stroke-dasharray="{bar.dash}"' if bar.dash else ""
    shape = (
        f'<rect x="{a:.1f}" y="{y:.1f}" width="{long:.1f}" height="19" fill="currentColor" fill-opacity="{bar.fill:g}" '
        f'stroke="currentColor"{dash}/>'
    )
    if not bar.text:
        return shape
    # Dark bars would hide a text in the same colour, so it then stands behind.
    if bar.fill <= 0.35 and long > _LETTER * len(bar.text) + 6:
        return shape + _text(a + long / 2, y + 14, bar.text, "middle")
    return shape + _text(a + long + 5, y + 14, bar.text, "start")


def _mark(mark: Mark, place: int, foot: float, scale: float) -> str:
    a, b = _LEFT + mark.at * scale, 32 + 15 * place
    right = a > _LEFT + _WIDE / 2
    line = f'<path d="M{a:.1f} {b - 8} V{foot}" stroke="currentColor" stroke-width="1.3" stroke-dasharray="6 4"/>'
    return line + _text(a - 5 if right else a + 5, b, mark.text, "end" if right else "start")


def _axis(last: float, foot: float, scale: float, axis: str, step: float) -> str:
    places = [n * step for n in range(int(1.02 * last / step + 1e-9) + 1)]
    ticks = "".join(f"M{_LEFT + p * scale:.1f} {foot} v5" for p in places)
    numbers = "".join(_text(_LEFT + p * scale, foot + 18, f"{p:g}", "middle") for p in places)
    line = f'<path d="M{_LEFT} {foot} H{_LEFT + _WIDE} {ticks}" fill="none" stroke="currentColor"/>'
    return line + numbers + _text(_LEFT + _WIDE / 2, foot + 36, axis, "middle")


def _text(x: float, y: float, words: str, anchor: str, *, bold: bool = False) -> str:
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="11.5" text-anchor="{anchor}" fill="currentColor"{weight}>'
        f"{escape(words)}</text>"
    )
