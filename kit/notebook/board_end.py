"""A board end with its screws: from above with the strips that must stay clear, and cut through with both drills."""

from __future__ import annotations

import math

from kit.build.build import Build
from kit.notebook.svg import Sheet
from kit.notebook.waits import known, needs
from kit.quantities import Q
from kit.workshop import show

__all__ = ["screws"]

WANTED = {
    "the board": ("frame.deck.board_width", "frame.deck.thickness"),
    "the screws": ("frame.spacing.needed_end", "frame.spacing.needed_edge", "frame.screws.each"),
    "the end joist": ("frame.joists.inset", "frame.joists.thickness"),
}
DRILLS = ("frame.pilot.clearance_drill", "frame.pilot.thread_drill", "frame.strength.length")


def screws(build: Build, width: int = 680) -> str:
    """The board end, dimensioned from its end and its edge."""
    needs(build, WANTED)
    wide, thick = _size(build, "frame.deck.board_width"), _size(build, "frame.deck.thickness")
    inset, joist = _size(build, "frame.joists.inset"), _size(build, "frame.joists.thickness")
    long = max(1.5 * wide, inset + joist, 2.2 * _size(build, "frame.spacing.end"))
    deep = max(_size(build, "frame.strength.length") if known(build, DRILLS) else 0, 2 * thick) + 0.012
    top = -0.085 - thick / 4
    scale = (width - 205) / long
    sheet = Sheet((-40 / scale, long + 165 / scale), (top - deep - 66 / scale, wide + 0.02), "a board end with its screws",
                  width=width, margin=0)
    _from_above(build, sheet, long, wide)
    _cut_through(build, sheet, long, top)
    sheet.scale_bar(0.05, show(Q(50, "mm"), "mm", prefs=build.prefs))
    sheet.notes(f"{_grey(build)}Dashed: the end joist under the board. Same distances at the other end and on every joist.",
                keep=150)
    return sheet.svg()


def _grey(build: Build) -> str:
    """What the grey strips mean; nothing where the rules give no distances."""
    if not math.isfinite(_size(build, "frame.spacing.needed_end")):
        return ""
    case = build.shown("frame.spacing.case")
    end, edge = build.shown("frame.spacing.needed_end"), build.shown("frame.spacing.needed_edge")
    return f"Grey: too near the end or edge for a screw ({case}; end {end}, edge {edge}). "


def _size(build: Build, path: str) -> float:
    return float(build.value(path).m_as("m"))


def _from_above(build: Build, sheet: Sheet, long: float, wide: float) -> None:
    inset, joist = _size(build, "frame.joists.inset"), _size(build, "frame.joists.thickness")
    end, edge = _size(build, "frame.spacing.end"), _size(build, "frame.spacing.edge")
    clear_end, clear_edge = (_size(build, f"frame.spacing.needed_{name}") for name in ("end", "edge"))
    if math.isfinite(clear_end) and math.isfinite(clear_edge):
        sheet.rect(0, 0, clear_end, wide, weight=0, fill=0.16)
        for start in (0, wide - clear_edge):
            sheet.rect(clear_end, start, long - clear_end, clear_edge, weight=0, fill=0.16)
    sheet.line([(long, 0), (0, 0), (0, wide), (long, wide)], weight=2)
    sheet.line([(long, wide), (long - 0.008, 0.6 * wide), (long + 0.008, 0.4 * wide), (long, 0)], weight=0.9)
    for x in (inset - joist / 2, inset + joist / 2):
        sheet.line([(x, -0.012), (x, wide + 0.012)], weight=1, dash="6 4")
    ups = _ups(build, wide, edge)
    for up in ups:
        sheet.circle(end, up, max(_size(build, "frame.spacing.diameter"), 0.004), weight=1.4)
        sheet.cross(end, up, size=9)
    sheet.running(0, [(clear_end, f"{build.shown('frame.spacing.needed_end')} at least"),
                      (end, f"{build.shown('frame.spacing.end')} screws")] if math.isfinite(clear_end)
                  else [(end, f"{build.shown('frame.spacing.end')} screws")], 0, off=16)
    first = build.shown("frame.spacing.edge")
    marks = [(up, _up(build, up)) for up in ups[1:]]
    sheet.running_along(0, [(ups[0], f"{first} from the edge" if len(ups) > 1 else _up(build, ups[0])), *marks,
                            (wide, f"{build.shown('frame.deck.board_width')} board")], long + 0.008, off=14)


def _ups(build: Build, wide: float, edge: float) -> list[float]:
    """Where the screws stand across the board, from its first edge."""
    rows = int(build.value("frame.screws.each"))
    return [wide / 2] if rows == 1 else [edge + n * (wide - 2 * edge) / (rows - 1) for n in range(rows)]


def _up(build: Build, up: float) -> str:
    return show(Q(up, "m").to("mm"), "mm", resolution=0.5, prefs=build.prefs)


def _cut_through(build: Build, sheet: Sheet, long: float, top: float) -> None:
    """The same end cut along the board through one screw."""
    thick, inset = _size(build, "frame.deck.thickness"), _size(build, "frame.joists.inset")
    joist, end = _size(build, "frame.joists.thickness"), _size(build, "frame.spacing.end")
    foot = sheet.y0 + 58 / sheet.scale
    sheet.line([(long, top), (0, top), (0, top - thick), (long, top - thick)], weight=2)
    sheet.line([(long, top), (long + 0.004, top - thick / 2), (long, top - thick)], weight=0.9)
    left, right = inset - joist / 2, inset + joist / 2
    sheet.line([(left, foot), (left, top - thick), (right, top - thick), (right, foot)], weight=1.6)
    sheet.line([(left - 0.004, foot), (left + joist / 3, foot + 0.005), (left + 2 * joist / 3, foot - 0.005), (right + 0.004, foot)], weight=0.9)
    sheet.words(right + 0.006, foot + 0.004, "end joist", size=11)
    sheet.along(top - thick, top, 0, build.shown("frame.deck.thickness"), off=-6)
    if not known(build, DRILLS):
        return
    clear, pilot = (_size(build, path) for path in DRILLS[:2])
    tip, root = top - _size(build, "frame.strength.length"), 0.7 * _size(build, "frame.spacing.diameter")
    if math.isfinite(clear):
        sheet.rect(end - clear / 2, top - thick, clear, thick, weight=1)
    if math.isfinite(pilot):
        sheet.rect(end - pilot / 2, tip, pilot, top - thick - tip, weight=1)
    head = 2 * root
    sheet.line([(end - head, top), (end + head, top), (end + root / 2, top - head), (end + root / 2, tip + root), (end, tip),
                (end - root / 2, tip + root), (end - root / 2, top - head)], weight=0.8, closed=True, fill=0.5)
    words = right + 0.012
    sheet.words(words, top - thick / 2 - 0.002, f"through the board: drill {build.shown(DRILLS[0])}", size=11)
    sheet.words(words, top - thick - 0.011, f"into the joist: drill {build.shown(DRILLS[1])}", size=11)
    sheet.words(words, top - thick - 0.021, f"{build.shown('frame.strength.penetration')} in the joist", size=11)
