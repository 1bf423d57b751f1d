"""A small plan of the deck for every load case: the fuller its shade, the nearer to the water."""

from __future__ import annotations

import math
import textwrap
from typing import Any

from kit.build.build import Build
from kit.notebook.raft_curves import asked
from kit.notebook.raft_plan import CORNERS, deck_of, mm
from kit.notebook.svg import Sheet

__all__ = ["freeboard_map"]

COLUMNS, SQUARES = 4, (9, 6)
# Pixels around each plan for its name above and its numbers.
ROOM_SIDE, ROOM_UP, ROOM_FOOT = 14, 40, 34
DARKEST = 0.62


def freeboard_map(build: Build, width: int = 760) -> str:
    """Deck edge above water at the four corners in every load case, and how it slopes between them."""
    look = asked(build, "cases", "Cases")
    length, wide, _ = deck_of(build)
    scale = (width / COLUMNS - 2 * ROOM_SIDE) / length
    across, down = width / COLUMNS / scale, wide + (ROOM_UP + ROOM_FOOT) / scale
    rows = math.ceil(len(look.cases) / COLUMNS)
    sheet = Sheet((0, COLUMNS * across), (0, rows * down + 56 / scale), "deck edge above water in every load case",
                  width=width, margin=0, down=True)
    highest = max(
        (float(getattr(case, name).m_as("m")) for case in look.cases for name in CORNERS
         if math.isfinite(getattr(case, name).magnitude)), default=1.0)
    for place, case in enumerate(look.cases):
        left = (place % COLUMNS) * across + ROOM_SIDE / scale
        top = (place // COLUMNS) * down + ROOM_UP / scale
        _plan(build, sheet, case, (left, top, length, wide), highest)
    end = build.shown("brief.named_end")
    sheet.notes(
        f"Deck edge above water at each corner, the lowest in bold; the {end} is at the right, the right side below. "
        "The fuller the shade, the nearer to the water; full: under it. First case as fitted, all others wet through.", keep=20)
    return sheet.svg()


def _plan(build: Build, sheet: Sheet, case: Any, where: tuple[float, float, float, float], highest: float) -> None:
    left, top, length, wide = where
    pixel = 1 / sheet.scale
    for line, text in enumerate(reversed(textwrap.wrap(case.name, 26)[:2])):
        sheet.words(left, top - (19 + 12 * line) * pixel, text, size=10.5, bold=True)
    edges = {name: float(getattr(case, name).m_as("m")) for name in CORNERS}
    if not all(map(math.isfinite, edges.values())):
        sheet.rect(left, top, length, wide, weight=1.4)
        sheet.line([(left, top), (left + length, top + wide)], weight=1)
        sheet.words(left + length / 2, top + wide / 2, "does not come to rest", size=10.5, anchor="middle", bold=True)
        return
    _shade(sheet, edges, where, highest)
    sheet.rect(left, top, length, wide, weight=1.4)
    low = min(edges, key=lambda name: edges[name])
    for name, (end, side) in CORNERS.items():
        x = left + (length if end > 0 else 0)
        y = top + wide + 13 * pixel if side > 0 else top - 4 * pixel
        sheet.words(x, y, mm(build, getattr(case, name), "down"), size=10.5, anchor="end" if end > 0 else "start",
                    bold=name == low)


def _shade(sheet: Sheet, edges: dict[str, float], where: tuple[float, float, float, float], highest: float) -> None:
    """Squares of the deck, each as dark as it is low; the deck is flat, so its corners say all."""
    left, top, length, wide = where
    many, few = SQUARES
    for i in range(many):
        for j in range(few):
            u, v = (i + 0.5) / many, (j + 0.5) / few
            # u from the other end to the named end, v from the left to the right side.
            height = ((1 - u) * ((1 - v) * edges["other_left"] + v * edges["other_right"])
                      + u * ((1 - v) * edges["end_left"] + v * edges["end_right"]))
            dark = 1.0 if height < 0 else DARKEST * (1 - height / highest) ** 1.5
            if dark > 0.01:
                sheet.body.append(_square(sheet, left + i * length / many, top + j * wide / few, length / many, wide / few, dark))


def _square(sheet: Sheet, x: float, y: float, wide: float, high: float, dark: float) -> str:
    a, b = sheet.at(x, y)
    return (f'<rect x="{a:.1f}" y="{b:.1f}" width="{wide * sheet.scale:.1f}" height="{high * sheet.scale:.1f}" '
            f'shape-rendering="crispEdges" fill="currentColor" fill-opacity="{dark:.2f}"/>')
