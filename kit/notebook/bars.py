"""Bars about a value: how far each of several things moves a result to either side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from kit.notebook.text import escape

__all__ = ["Bar", "bars"]

_LEFT, _WIDE, _RIGHT, _LINE, _TOP = 300, 250, 90, 24, 40


@dataclass(frozen=True, slots=True)
class Bar:
    """One line: its text, and the result with that thing at its low and at its high end."""

    text: str
    low: float
    high: float


def bars(title: str, lines: Sequence[Bar], middle: float, say: Callable[[float], str]) -> str:
    """Bars as SVG: solid towards the high end of each thing, open towards its low end; in the order given.

    `say` puts a value into words.
    """
    if not lines:
        return "<p>Nothing that is in doubt moves it.</p>"
    ends = np.array([[one.low, one.high] for one in lines])
    least, most = min(float(np.nanmin(ends)), middle), max(float(np.nanmax(ends)), middle)
    span = (most - least) or 1.0

    def at(value: float) -> float:
        return _LEFT + _WIDE * (value - least) / span

    high = _TOP + _LINE * len(lines) + 12
    body = [
        f'<text x="8" y="16" font-size="13" font-weight="600">{escape(title)}</text>',
        f'<text x="{at(middle):.1f}" y="32" font-size="11" text-anchor="middle">{escape(say(middle))}</text>',
        f'<path d="M{at(middle):.1f} {_TOP - 4} V{high - 6}" stroke="currentColor" stroke-width="1.4"/>',
    ]
    for place, one in enumerate(lines):
        y = _TOP + _LINE * place
        for value, fill in ((one.low, 0.0), (one.high, 0.75)):
            if not np.isfinite(value):
                continue
            a, b = sorted((at(middle), at(value)))
            body.append(
                f'<rect x="{a:.1f}" y="{y + 4}" width="{max(b - a, 0.5):.1f}" height="{_LINE - 9}" fill="currentColor" '
                f'fill-opacity="{fill}" stroke="currentColor" stroke-width="1"/>'
            )
        text = one.text if len(one.text) <= 46 else f"{one.text[:45]}…"
        body.append(f'<text x="{_LEFT - 8}" y="{y + 17}" font-size="12" text-anchor="end">{escape(text)}</text>')
        body.append(
            f'<text x="{_LEFT + _WIDE + 8}" y="{y + 17}" font-size="11">{escape(say(one.low))} … {escape(say(one.high))}</text>'
        )
    wide = _LEFT + _WIDE + _RIGHT + 60
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" role="img" '
        f'aria-label="{escape(title)}: what moves it" font-family="sans-serif" fill="currentColor">{"".join(body)}</svg>'
        "<p class='br-quiet'>Open: with the entry at its low end; filled: at its high end; all others as they stand.</p>"
    )
