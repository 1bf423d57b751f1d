"""Drawings for the saw: every stick with its cuts from one end, every sheet with its pieces.

Used by the stages that hand on pieces and by the build sheet.  Pieces are
numbered, the numbers explained beside each stock; offcuts are hatched.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kit.build.build import Build
from kit.handed import Piece
from kit.notebook.svg import Sheet
from kit.notebook.text import escape
from kit.notebook.waits import needs
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["drawn_sheets", "own_sticks", "sheet_layout", "sticks"]

_LEFT, _WIDE, _BAR = 46, 560, 24
# Pixels of a letter of the running dimensions, and of a line of them.
_LETTER, _LINE = 5.6, 12


def own_sticks(stage: str) -> Any:
    """A drawing function for the sticks that hold pieces of one stage."""

    def drawing(build: Build) -> str:
        needs(build, {"the cut plan": ("sheet.cuts.sticks",)})
        return sticks(build, {piece.stock for _, piece in build.handed(Piece, stage)})

    return drawing


def sticks(build: Build, stocks: set[str] | None = None) -> str:
    """Every stick of the cut plan, or of some stocks: pieces numbered, cuts dimensioned from the left end."""
    needs(build, {"the cut plan": ("sheet.cuts.sticks",)})
    rows = [one for one in build.value("sheet.cuts.sticks") if stocks is None or one.stock in stocks]
    if not rows:
        raise LookupError("nothing is cut from a stick yet")
    longest = max(one.length.m_as("mm") for one in rows)
    scale = _WIDE / longest
    body, y = [], 16.0
    for stock in dict.fromkeys(one.stock for one in rows):
        mine = [one for one in rows if one.stock == stock]
        names = list(dict.fromkeys(cut.name for one in mine for cut in one.cuts))
        body.append(_text(6, y, _heading(build, stock), size=12.5, bold=True))
        for line in _legend(build, mine, names):
            y += 15
            body.append(_text(6, y, line, size=11))
        y += 8
        for one in mine:
            drawn, high = _stick(build, one, names, y, scale)
            body.append(drawn)
            y += high
        y += 20
    bar = Q(12, "in") if build.prefs.system == "inch" else Q(500, "mm")
    body += [_bar(bar.m_as("mm") * scale, y, _mm(build, bar)), _text(6, y, "Every cut is measured from the left end. Hatched: offcut.", size=11)]
    high = round(y + 12)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_LEFT + _WIDE + 74} {high}" width="{_LEFT + _WIDE + 74}" '
        f'height="{high}" role="img" aria-label="sticks and their cuts" font-family="Liberation Sans, Arial, sans-serif" '
        f'color="currentColor" fill="currentColor"><title>sticks and their cuts</title>{"".join(body)}</svg>'
    )


def _hatched(x: float, y: float, wide: float) -> str:
    """An offcut: slanting lines, clipped by hand so that no other drawing on the page can lend its pattern."""
    lines = []
    for n in range(int((wide + _BAR) / 8) + 1):
        at = 8 * n
        start, end = (min(at, wide), max(at - wide, 0.0)), (max(at - _BAR, 0.0), min(at, float(_BAR)))
        lines.append(f"M{x + start[0]:.0f} {y + start[1]:.0f}L{x + end[0]:.0f} {y + end[1]:.0f}")
    return _line("".join(lines), 0.8)


def _heading(build: Build, stock: str) -> str:
    found = [one for one in build.value("sheet.cuts.by_stock") if one.name == stock]
    proof = f": {found[0].proof}" if found else ""
    return f"{stock}{proof}"


def _legend(build: Build, rows: Sequence[Any], names: Sequence[str]) -> list[str]:
    """What each number is, with its length, in lines that fit the page."""
    long = {cut.name: cut.end - cut.start for one in rows for cut in one.cuts}
    lines, line = [], ""
    for number, name in enumerate(names, start=1):
        said = f"{number} {name} {_mm(build, long[name])}"
        if line and len(line) + len(said) > 104:
            lines.append(line)
            line = ""
        line = f"{line}; {said}" if line else said
    return [*lines, line]


def _stick(build: Build, one: Any, names: Sequence[str], y: float, scale: float) -> tuple[str, float]:
    """One stick and the height it takes."""
    long, left = one.length.m_as("mm") * scale, one.offcut.m_as("mm") * scale
    body = [_text(_LEFT - 8, y + 16, f"{one.times.magnitude:.0f} x", anchor="end", bold=True)]
    spans = [(_LEFT + cut.start.m_as("mm") * scale, _LEFT + cut.end.m_as("mm") * scale) for cut in one.cuts]
    boxes = "".join(f"M{a:.1f} {y:.1f}H{b:.1f}v{_BAR}H{a:.1f}Z" for a, b in spans)
    body += [
        f'<path d="{boxes}" fill-opacity="0.1" stroke="currentColor" stroke-width="1.6"/>',
        _line(f"M{_LEFT} {y:.1f}h{long:.1f}v{_BAR}H{_LEFT}Z", 1.6),
    ]
    for cut, (a, b) in zip(one.cuts, spans, strict=True):
        body.append(_text((a + b) / 2, y + 16, f"{names.index(cut.name) + 1}", anchor="middle", bold=True))
    if left > 1:
        body.append(_hatched(_LEFT + long - left, y, left))
    said = (one.fate, _mm(build, one.offcut)) if one.offcut.magnitude > 0 else ("no", "offcut")
    body += [_text(_LEFT + long + 5, y + 10 + 11 * place, words, size=10) for place, words in enumerate(said)]
    ends = [(b, _mm(build, cut.end, unit=False)) for cut, (_, b) in zip(one.cuts, spans, strict=True)]
    marks, lines = _running(ends, y + _BAR)
    return "".join(body) + marks, _BAR + 8 + _LINE * lines + 6


def _running(ends: Sequence[tuple[float, str]], y: float) -> tuple[str, int]:
    """Running dimensions below a stick, on as many lines as keep them apart."""
    free: list[float] = []
    ticks, words = [], []
    for x, text in ends:
        wide = _LETTER * len(text)
        line = next((n for n, at in enumerate(free) if x - wide > at + 4), len(free))
        if line == len(free):
            free.append(0)
        free[line] = x
        foot = y + 5 + _LINE * (line + 1)
        ticks.append(f"M{x:.1f} {y:.1f}V{foot - 1:.1f}")
        words.append(_text(x - 2, foot - 1, text, size=10, anchor="end"))
    return _line("".join(ticks), 0.6) + "".join(words), len(free)


def _line(path: str, weight: float) -> str:
    return f'<path d="{path}" fill="none" stroke="currentColor" stroke-width="{weight:g}"/>'


def _bar(long: float, y: float, text: str) -> str:
    """A scale bar at the right foot."""
    a = _LEFT + _WIDE - long
    return (
        _line(f"M{a:.1f} {y - 6:.1f}v8m0-4h{long:.1f}m0-4v8", 1.6) + _text(a + long / 2, y - 7, text, size=11, anchor="middle")
    )


def _mm(build: Build, size: Quantity, *, unit: bool = True) -> str:
    said = show(size, "mm", resolution=1, prefs=build.prefs)
    return said if unit else said.removesuffix(" mm").removesuffix(" in")


def _text(x: float, y: float, words: str, *, size: float = 12, anchor: str = "start", bold: bool = False) -> str:
    weight = ' font-weight="700"' if bold else ""
    side = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}"{side}{weight}>{escape(words)}</text>'


def sheet_layout(build: Build) -> str:
    """Every sheet of the build with its pieces, grain along the sheet."""
    needs(build, {"the sheets": ("sheet.layout.sheets",)})
    sheets = build.value("sheet.layout.sheets")
    if not sheets:
        raise LookupError("nothing is cut from a sheet in this build")
    return drawn_sheets(sheets, build)


def drawn_sheets(sheets: Sequence[Any], build: Build) -> str:
    """Sheets one below the other to one scale, each from its own corner."""
    wide = max(one.length.m_as("m") for one in sheets)
    step = max(one.width.m_as("m") for one in sheets) + 0.13 * wide
    page = Sheet((-0.03 * wide, 1.04 * wide), (-0.05 * wide, step * len(sheets) - 0.02 * wide), "sheets and their pieces", width=660, margin=30, down=True)
    for place, one in enumerate(sheets):
        top = place * step
        long, high = one.length.m_as("m"), one.width.m_as("m")
        used = show(one.used, "percent", resolution=1, rounding="down", prefs=build.prefs)
        page.words(0, top - 0.02 * wide, f"{one.stock}, sheet {one.number.magnitude:.0f}: {used} used", bold=True)
        page.rect(0, top, long, high, weight=2)
        for piece in one.pieces:
            _piece(page, piece, top, build)
        page.dot(0, top)
        page.arrow((0.8 * long, top - 0.016 * wide), (long, top - 0.016 * wide), "grain")
    bar = Q(12, "in") if build.prefs.system == "inch" else Q(500, "mm")
    page.scale_bar(bar.m_as("m"), _mm(build, bar))
    page.notes("Size along and across the sheet; below it how far the piece begins from the end and the edge that meet at the dot.", keep=150)
    return page.svg()


def _piece(page: Sheet, piece: Any, top: float, build: Build) -> None:
    x, y, long, high = (q.m_as("m") for q in (piece.x, piece.y, piece.along, piece.across))
    page.rect(x, top + y, long, high, weight=1.4, fill=0.1)
    size = f"{_mm(build, piece.along, unit=False)} x {_mm(build, piece.across)}"
    begins = f"at {_mm(build, piece.x, unit=False)}, {_mm(build, piece.y)}"
    # Six pixels a letter: what does not fit across stands upright.
    upright = long * page.scale < 6 * max(map(len, (piece.name, size, begins))) and high > long
    line = 13 / page.scale
    for place, words in enumerate((piece.name, size, begins)):
        off = (place - 0.6) * line
        where = (x + long / 2 + off, top + y + high / 2) if upright else (x + long / 2, top + y + high / 2 + off)
        if (long if upright else high) * page.scale > 16 + 13 * place:
            page.words(*where, words, size=10.5, anchor="middle", bold=place == 0, turn=-90 if upright else 0)
