"""A clock drawn as bars: what happens when, against the times by which it has to be done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kit.notebook.text import escape
from kit.quantities import Quantity

__all__ = ["Bar", "clock", "minutes"]

_STEPS = (0.5, 1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 1440)
_LEFT, _WIDE, _LINE = 96, 470, 30


@dataclass(frozen=True, slots=True)
class Bar:
    """Something that lasts from `start` to `end`; `fill` is how dark it is, and `text` stands in it when there is room."""

    start: Quantity
    end: Quantity
    text: str = ""
    fill: float = 0.15


def minutes(time: Quantity) -> str:
    """A time as a watch shows it, minutes:seconds, rounded up to a whole second."""
    seconds = int(np.ceil(round(float(time.m_as("s")), 6)))
    return f"{seconds // 60}:{seconds % 60:02d}"


def clock(
    rows: Sequence[tuple[str, Sequence[Bar]]], limits: Sequence[tuple[Quantity, str]], axis: str, title: str
) -> str:
    """Rows of bars over one axis of minutes, with dashed lines at the limits."""
    last = max([*(bar.end.m_as("min") for _, bars in rows for bar in bars), *(q.m_as("min") for q, _ in limits)])
    scale = _WIDE / (1.08 * last)
    top = 14 + 15 * len(limits)
    foot = top + _LINE * len(rows)
    body = [_limit(q, text, place, scale, foot) for place, (q, text) in enumerate(limits)]
    for place, (name, bars) in enumerate(rows):
        y = top + _LINE * place + 5
        body.append(_text(_LEFT - 8, y + 14, name, "end"))
        body += [_bar(bar, y, scale) for bar in bars]
    body.append(_axis(last, scale, foot, axis))
    wide, high = _LEFT + _WIDE + 44, foot + 44
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" role="img" '
        f'aria-label="{escape(title)}" font-family="Liberation Sans, Arial, sans-serif" color="currentColor">'
        f"<title>{escape(title)}</title>{''.join(body)}</svg>"
    )


def _bar(bar: Bar, y: float, scale: float) -> str:
    a, long = _LEFT + bar.start.m_as("min") * scale, (bar.end - bar.start).m_as("min") * scale
    shape = (
        f'<rect x="{a:.1f}" y="{y:.1f}" width="{long:.1f}" height="20" fill="currentColor" fill-opacity="{bar.fill:g}" '
        'stroke="currentColor"/>'
    )
    # About six pixels a letter; a text that would spill over its bar is left out.
    return shape + (_text(a + long / 2, y + 14, bar.text, "middle") if long > 6 * len(bar.text) else "")


def _limit(time: Quantity, text: str, place: int, scale: float, foot: float) -> str:
    a, b = _LEFT + time.m_as("min") * scale, 14 + 15 * place
    right = a > _LEFT + _WIDE / 2
    line = (
        f'<path d="M{a:.1f} {b - 9:.1f} V{foot:.1f}" stroke="currentColor" stroke-width="1.3" stroke-dasharray="6 4"/>'
    )
    return line + _text(a - 5 if right else a + 5, b, text, "end" if right else "start")


def _axis(last: float, scale: float, foot: float, axis: str) -> str:
    step = next((s for s in _STEPS if last / s <= 9), last / 8)
    marks = [n * step for n in range(int(1.08 * last / step) + 1)]
    ticks = "".join(f"M{_LEFT + m * scale:.1f} {foot} v5" for m in marks)
    numbers = "".join(_text(_LEFT + m * scale, foot + 18, f"{m:g}", "middle") for m in marks)
    line = f'<path d="M{_LEFT} {foot} H{_LEFT + _WIDE} {ticks}" fill="none" stroke="currentColor"/>'
    return line + numbers + _text(_LEFT + _WIDE / 2, foot + 36, f"{axis} (min)", "middle")


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="11.5" text-anchor="{anchor}" fill="currentColor">{escape(words)}</text>'
