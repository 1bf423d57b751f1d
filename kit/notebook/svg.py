"""Drawings to scale as SVG: lines, dimensions from one datum, the origin, and a scale bar.

Everything is drawn in the colour of the text around it, so that it reads in
light and dark themes and on paper; line weight and hatching carry the meaning,
never colour alone.  World coordinates are metres.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Sequence

from kit.notebook.text import escape

__all__ = ["Sheet"]

Point = tuple[float, float]


class Sheet:
    """A drawing of the world rectangle `x` by `y` (metres), `width` pixels wide, with margins for dimensions.

    `down=True` lets the second coordinate grow down the page, as y does in a
    plan whose x points right.  `title` is what a screen reader says.
    """

    def __init__(
        self, x: Point, y: Point, title: str, *, width: int = 640, margin: int = 56, down: bool = False
    ) -> None:
        self.x0, self.x1 = x
        self.y0, self.y1 = y
        self.margin, self.down, self.title = margin, down, title
        self.scale = (width - 2 * margin) / (self.x1 - self.x0)
        self.width = width
        self.height = round((self.y1 - self.y0) * self.scale + 2 * margin)
        self.body: list[str] = []

    def at(self, x: float, y: float) -> Point:
        """Pixels of a world point."""
        across = self.margin + (x - self.x0) * self.scale
        share = (y - self.y0) if self.down else (self.y1 - y)
        return across, self.margin + share * self.scale

    # -- shapes ---------------------------------------------------------------------------------

    def line(
        self, points: Iterable[Point], *, weight: float = 1.2, dash: str = "", closed: bool = False, fill: float = 0
    ) -> None:
        """A line through world points; `fill` is the opacity of the area inside."""
        path = " L".join(f"{a:.1f} {b:.1f}" for a, b in (self.at(*p) for p in points))
        self._path(f"M{path}{' Z' if closed else ''}", weight, dash, fill)

    def rect(
        self, x: float, y: float, wide: float, high: float, *, weight: float = 1.2, dash: str = "", fill: float = 0
    ) -> None:
        """A rectangle by its corner of least x and y, and its size."""
        self.line(
            [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)],
            weight=weight,
            dash=dash,
            closed=True,
            fill=fill,
        )

    def circle(
        self, x: float, y: float, radius: float, *, weight: float = 1.2, dash: str = "", fill: float = 0
    ) -> None:
        """A circle of a world radius."""
        a, b = self.at(x, y)
        self.body.append(
            f'<circle cx="{a:.1f}" cy="{b:.1f}" r="{radius * self.scale:.1f}" fill="currentColor" fill-opacity="{fill:g}" '
            f'stroke="currentColor" stroke-width="{weight:g}"{_dashed(dash)}/>'
        )

    def arc(
        self, x: float, y: float, radius: float, start: float, end: float, *, weight: float = 1, dash: str = ""
    ) -> None:
        """A circular arc between two angles in degrees, anticlockwise in world axes."""
        steps = max(2, int(abs(end - start) / 3) + 1)
        turns = [math.radians(start + (end - start) * i / steps) for i in range(steps + 1)]
        self.line([(x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns], weight=weight, dash=dash)

    def dot(self, x: float, y: float, label: str = "", *, size: float = 4, dx: float = 7, dy: float = -6) -> None:
        """A point with a label beside it."""
        a, b = self.at(x, y)
        self.body.append(f'<circle cx="{a:.1f}" cy="{b:.1f}" r="{size:g}" fill="currentColor"/>')
        if label:
            self._words(a + dx, b + dy, label)

    def cross(self, x: float, y: float, label: str = "", *, size: float = 6) -> None:
        """A centre mark with a label."""
        a, b = self.at(x, y)
        self._path(f"M{a - size:.1f} {b:.1f} H{a + size:.1f} M{a:.1f} {b - size:.1f} V{b + size:.1f}", 1.6, "", 0)
        if label:
            self._words(a + size + 2, b - 4, label)

    def words(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = 12,
        anchor: str = "start",
        bold: bool = False,
        turn: float = 0,
    ) -> None:
        """Text at a world point."""
        a, b = self.at(x, y)
        self._words(a, b, text, size=size, anchor=anchor, bold=bold, turn=turn)

    def note(self, line: int, text: str) -> None:
        """A line of text along the foot of the drawing."""
        self._words(8, self.height - 8 - 15 * line, text, size=11)

    def notes(self, text: str, *, keep: int = 110) -> None:
        """Text along the foot of the drawing, wrapped so that `keep` pixels stay free for the scale bar."""
        # About five and a half pixels a letter at this size.
        for place, line in enumerate(reversed(textwrap.wrap(text, int((self.width - keep) / 5.5)))):
            self.note(place, line)

    def arrow(self, start: Point, end: Point, label: str = "", *, weight: float = 1.6) -> None:
        """An arrow between world points."""
        (a, b), (c, d) = self.at(*start), self.at(*end)
        turn = math.atan2(d - b, c - a)
        wings = "".join(
            f" M{c:.1f} {d:.1f} L{c - 8 * math.cos(turn + w):.1f} {d - 8 * math.sin(turn + w):.1f}" for w in (0.4, -0.4)
        )
        self._path(f"M{a:.1f} {b:.1f} L{c:.1f} {d:.1f}{wings}", weight, "", 0)
        if label:
            self._words((a + c) / 2 + 6, (b + d) / 2 - 5, label)

    # -- dimensions -----------------------------------------------------------------------------

    def across(self, start: float, end: float, y: float, text: str, *, off: float = 22) -> None:
        """A dimension along x, `off` pixels below the world height y (negative: above)."""
        (a, b), (c, _) = self.at(start, y), self.at(end, y)
        line = b + off
        self._path(
            f"M{a:.1f} {b:.1f} V{line + 4:.1f} M{c:.1f} {b:.1f} V{line + 4:.1f} M{a:.1f} {line:.1f} H{c:.1f}",
            0.7,
            "",
            0,
        )
        self._ticks([(a, line), (c, line)])
        self._words((a + c) / 2, line - 4, text, anchor="middle")

    def along(self, start: float, end: float, x: float, text: str, *, off: float = -22) -> None:
        """A dimension along y, `off` pixels right of the world x (negative: left)."""
        (a, b), (_, d) = self.at(x, start), self.at(x, end)
        line = a + off
        self._path(
            f"M{a:.1f} {b:.1f} H{line - 4:.1f} M{a:.1f} {d:.1f} H{line - 4:.1f} M{line:.1f} {b:.1f} V{d:.1f}",
            0.7,
            "",
            0,
        )
        self._ticks([(line, b), (line, d)])
        self._words(line - 5, (b + d) / 2, text, anchor="middle", turn=-90)

    def running(self, datum: float, marks: Sequence[tuple[float, str]], y: float, *, off: float = 22) -> None:
        """Running dimensions along x, every one from the same datum, so that errors cannot add up."""
        a, b = self.at(datum, y)
        line = b + off
        ends = [self.at(x, y)[0] for x, _ in marks]
        self._path(f"M{min([a, *ends]):.1f} {line:.1f} H{max([a, *ends]):.1f}", 0.7, "", 0)
        self.body.append(f'<circle cx="{a:.1f}" cy="{line:.1f}" r="3" fill="none" stroke="currentColor"/>')
        for (_, text), c in zip(marks, ends, strict=True):
            self._path(f"M{c:.1f} {b:.1f} V{line + 4:.1f}", 0.5, "", 0)
            self._ticks([(c, line)])
            self._words(c + 4, line + 7, text, size=10.5, turn=60)

    def running_along(self, datum: float, marks: Sequence[tuple[float, str]], x: float, *, off: float = 22) -> None:
        """Running dimensions along y, `off` pixels right of the world x (negative: left); texts keep clear of each other."""
        a, b = self.at(x, datum)
        line, side = a + off, 1 if off > 0 else -1
        ends = sorted((self.at(x, y)[1], text) for y, text in marks)
        stretch = [b, *(d for d, _ in ends)]
        self._path(f"M{line:.1f} {min(stretch):.1f} V{max(stretch):.1f}", 0.7, "", 0)
        self.body.append(f'<circle cx="{line:.1f}" cy="{b:.1f}" r="3" fill="none" stroke="currentColor"/>')
        below = -math.inf
        for d, text in ends:
            below = max(d, below + 13)
            self._path(f"M{a:.1f} {d:.1f} H{line + 4 * side:.1f} L{line + 12 * side:.1f} {below:.1f}", 0.5, "", 0)
            self._ticks([(line, d)])
            self._words(line + 15 * side, below + 4, text, size=10.5, anchor="start" if side > 0 else "end")

    def origin(self, x: float = 0, y: float = 0, names: tuple[str, str] = ("x", "y")) -> None:
        """The datum: origin and the directions of the axes."""
        a, b = self.at(x, y)
        sign = 1 if self.down else -1
        self._path(
            f"M{a:.1f} {b:.1f} h26 m-6 -3 l6 3 l-6 3 M{a:.1f} {b:.1f} v{26 * sign} m-3 {-6 * sign} l3 {6 * sign} l3 {-6 * sign}",
            1.2,
            "",
            0,
        )
        self.body.append(
            f'<circle cx="{a:.1f}" cy="{b:.1f}" r="3.2" fill="none" stroke="currentColor" stroke-width="1.2"/>'
        )
        self._words(a + 29, b + 4, names[0], size=11)
        self._words(a + 4, b + sign * 32 + (6 if self.down else 0), names[1], size=11)

    def scale_bar(self, length: float, text: str) -> None:
        """A bar of a known length, to check the scale of a print with a rule."""
        a, b = self.width - 12 - length * self.scale, self.height - 14
        self._path(f"M{a:.1f} {b - 4:.1f} v8 m0 -4 h{length * self.scale:.1f} m0 -4 v8", 1.6, "", 0)
        self._words(a + length * self.scale / 2, b - 7, text, size=11, anchor="middle")

    def svg(self) -> str:
        """The drawing."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width} {self.height}" width="{self.width}" height="{self.height}" '
            f'role="img" aria-label="{escape(self.title)}" font-family="Liberation Sans, Arial, sans-serif" color="currentColor">'
            f"<title>{escape(self.title)}</title>{''.join(self.body)}</svg>"
        )

    # -- pixels ---------------------------------------------------------------------------------

    def _path(self, d: str, weight: float, dash: str, fill: float) -> None:
        inside = f'fill="currentColor" fill-opacity="{fill:g}"' if fill else 'fill="none"'
        self.body.append(f'<path d="{d}" {inside} stroke="currentColor" stroke-width="{weight:g}"{_dashed(dash)}/>')

    def _words(
        self,
        a: float,
        b: float,
        text: str,
        *,
        size: float = 12,
        anchor: str = "start",
        bold: bool = False,
        turn: float = 0,
    ) -> None:
        turned = f' transform="rotate({turn:g} {a:.1f} {b:.1f})"' if turn else ""
        weight = ' font-weight="700"' if bold else ""
        self.body.append(
            f'<text x="{a:.1f}" y="{b:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="currentColor"{weight}{turned}>{escape(text)}</text>'
        )

    def _ticks(self, points: Iterable[Point]) -> None:
        for a, b in points:
            self._path(f"M{a - 3.5:.1f} {b + 3.5:.1f} l7 -7", 1.3, "", 0)


def _dashed(dash: str) -> str:
    return f' stroke-dasharray="{dash}"' if dash else ""
