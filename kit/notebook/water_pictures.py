"""Drawings of the water stage: its pipes with heights to scale, pump against system, where the head goes."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from kit.build.build import Build
from kit.notebook.curves import Axis, Curve, chart
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.outlets import system_head
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["curves", "goes", "metres", "scheme"]

FLOWS = {"the pump and the outlets": ("water.outlets.by_outlet", "water.pump.head")}
SCHEME = FLOWS | {"the suction side": ("water.suction.lift", "water.suction.strainer_depth")}
# Pixels kept for heights on the right, names above, and notes below.
ROOM_RIGHT, ROOM_LEFT, ROOM_TOP = 178, 20, 40
# The entries of the outlets that a way to one of them needs.
GIVEN = ("deck", "shared_length", "shared_bore", "strainer", "shared_loss", "roughness", "temperature", "density")
DASHES = ("", "7 4", "2 3", "10 3 2 3", "1 4")


def metres(build: Build, path: str) -> float:
    """A length in force, in metres."""
    return float(build.value(path).m_as("m"))


# -- the pipes --------------------------------------------------------------------------------------------------------


def scheme(build: Build, width: int = 700) -> str:
    """Strainer, pump and outlets at their heights above the water; across, in the order in which water passes them."""
    needs(build, SCHEME)
    rows = build.value("water.outlets.by_outlet")
    deck, pump = metres(build, "water.outlets.deck"), metres(build, "water.suction.lift")
    strainer = -metres(build, "water.suction.strainer_depth")
    mouths = [float(row.lift.m_as("m")) for row in rows]
    low, high = min([strainer, *mouths, 0.0]), max([deck, pump, 0.0, *mouths])
    span = max(high - low, 0.3)
    # As wide as it is high, or wider, so that names find room.
    wide = span * max(1.3, 0.42 * (2 + len(rows)))
    scale = (width - ROOM_LEFT - ROOM_RIGHT) / wide
    # A small drawing needs more lines for the same note.
    foot = 40 + 15 * math.ceil(900 / (width - 150))
    sheet = Sheet((-ROOM_LEFT / scale, wide + ROOM_RIGHT / scale), (low - foot / scale, high + ROOM_TOP / scale),
                  "the pipes from strainer to outlets, heights to scale", width=width, margin=0)
    # What is nearest to the pump's height ends the row, so that no pipe passes through its jet.
    ordered = sorted(rows, key=lambda row: -abs(float(row.lift.m_as("m")) - pump))
    last = max(0.62 * wide, min(0.85 * wide, wide - 96 / scale))
    places = [last - (last - 0.46 * wide) * n / max(len(rows) - 1, 1) for n in range(len(rows))][::-1]
    _water(build, sheet, wide, deck)
    tee = _suction(sheet, wide, strainer, pump)
    for place, row in zip(places, ordered, strict=True):
        _branch(build, sheet, row, place, pump, tee)
    marks = [(strainer, f"{_mm(build, -strainer)} under it: strainer"), (0.0, "0 water, nobody aboard"),
             (deck, f"{_mm(build, deck)} deck"), (pump, f"{_mm(build, pump)} pump"),
             *((mouth, f"{_mm(build, mouth)} {row.name}") for mouth, row in zip(mouths, rows, strict=True))]
    sheet.running_along(0.0, marks, wide, off=16)
    sheet.scale_bar(0.5, show(Q(500, "mm"), "mm", prefs=build.prefs))
    sheet.notes("Heights are to scale and run from the water's surface; distances across are not. Bow ties: valves. "
                f"Hose {show(build.value('water.outlets.shared_bore'), 'mm', prefs=build.prefs)} bore unless said.", keep=150)
    return sheet.svg()


def _mm(build: Build, height: Any) -> str:
    return show(Q(float(height), "m"), "mm", prefs=build.prefs)


def _water(build: Build, sheet: Sheet, wide: float, deck: float) -> None:
    """The surface with its ripples, and the deck as a broken slab."""
    sheet.line([(0, 0), (wide, 0)], weight=1.6)
    for n, short in enumerate((0.10, 0.06, 0.03), start=1):
        y = -5 * n / sheet.scale
        sheet.line([(0.02 * wide, y), ((0.02 + short) * wide, y)], weight=0.8)
    thick = 8 / sheet.scale
    sheet.rect(0.30 * wide, deck - thick, 0.70 * wide, thick, weight=1, fill=0.15)
    sheet.words(0.31 * wide, deck - thick - 12 / sheet.scale, "deck", size=11)


def _suction(sheet: Sheet, wide: float, strainer: float, pump: float) -> float:
    """Strainer, suction pipe, pump, and the pipe to the first tee; returns where along the tee stands."""
    x, at_pump, tee = 0.10 * wide, 0.20 * wide, 0.32 * wide
    half = 7 / sheet.scale
    sheet.rect(x - half, strainer - half, 2 * half, 2 * half, weight=1.4, dash="3 2", fill=0.1)
    sheet.line([(x, strainer), (x, pump), (at_pump, pump)], weight=2.4)
    sheet.circle(at_pump, pump, 11 / sheet.scale, weight=2, fill=0.08)
    sheet.line([(at_pump - half, pump - half), (at_pump + 1.5 * half, pump), (at_pump - half, pump + half)],
               closed=True, weight=1.2, fill=0.5)
    sheet.line([(at_pump + 11 / sheet.scale, pump), (tee, pump)], weight=2.4)
    sheet.words(at_pump, pump + 17 / sheet.scale, "pump", size=11.5, anchor="middle", bold=True)
    sheet.words(x + 12 / sheet.scale, strainer - 4 / sheet.scale, "strainer", size=11)
    return tee


def _branch(build: Build, sheet: Sheet, row: Any, place: float, pump: float, tee: float) -> None:
    """From the tee up or down to a mouth, with its valve, its jet, and its flow alone."""
    mouth, small = float(row.lift.m_as("m")), 6 / sheet.scale
    sheet.line([(tee, pump), (place, pump), (place, mouth)], weight=2)
    if abs(mouth - pump) > 4 * small:
        _valve(sheet, place, pump + math.copysign(2.2 * small, mouth - pump), small)
    else:
        _valve(sheet, place - 2.2 * small, pump, small, level=True)
    sheet.arrow((place, mouth), (place + 26 / sheet.scale, mouth), weight=1.6)
    flow = show(row.flow, "L/min", resolution=0.1, prefs=build.prefs)
    up = (max(mouth, pump) if abs(mouth - pump) < 6 * small else mouth) + 10 / sheet.scale
    sheet.words(place - 4 / sheet.scale, up + 14 / sheet.scale, row.name, size=11.5, bold=True)
    sheet.words(place - 4 / sheet.scale, up, f"{flow} alone", size=11)


def _valve(sheet: Sheet, x: float, y: float, small: float, *, level: bool = False) -> None:
    """Two triangles, tip to tip, on an upright or a level pipe."""
    turns = [(-1, -1), (1, -1), (-1, 1), (1, 1)]
    corners = [(x + small * (b if level else a), y + small * (a if level else b)) for a, b in turns]
    sheet.line(corners, closed=True, weight=1.2, fill=0.25)


# -- pump against system ----------------------------------------------------------------------------------------------


def curves(build: Build) -> str:
    """The pump's head by its flow, and what the way to each outlet takes: they meet at the flow of that outlet alone."""
    needs(build, FLOWS)
    flow, head = build.value("water.pump.flow"), build.value("water.pump.head")
    highest = float(head.m_as("m")[0])
    lines = [Curve(head, "pump", 3.0)]
    points = []
    for n, row in enumerate(build.value("water.outlets.by_outlet")):
        takes = _takes(build, row.name, flow).m_as("m")
        shown = Q(np.where(takes <= 1.05 * highest, takes, np.nan), "m")
        if np.isfinite(shown.magnitude).any():
            lines.append(Curve(shown, f"to {row.name}", 1.6, DASHES[n % len(DASHES)]))
        if row.flow.magnitude > 0:
            points.append((row.flow, row.head, show(row.flow, "L/min", resolution=0.1, prefs=build.prefs)))
    return chart(
        flow, lines, axes=(Axis("flow", "L/min"), Axis("head", "m")), title="Where pump and system meet, one valve open",
        points=points, prefs=build.prefs)


def _takes(build: Build, name: str, flow: Quantity) -> Quantity:
    outlets = [one for one in build.value("water.outlets.outlets") if one.name == name]
    given = {key: build.value(f"water.outlets.{key}") for key in GIVEN}
    return system_head(given | {"outlets": outlets, "fittings": build.value("water.outlets.fittings") or ()}, flow)


# -- where the head goes ----------------------------------------------------------------------------------------------


PARTS = (("lift", "lifting", 0.55), ("along", "pipe", 0.28), ("fittings", "fittings", 0.12), ("at_hole", "hole", 0.0))


def goes(build: Build, width: int = 640) -> str:
    """A bar for each outlet: how much of the pump's head goes into lifting, pipe, fittings and the hole."""
    needs(build, FLOWS)
    rows = [row for row in build.value("water.outlets.by_outlet") if row.flow.magnitude > 0]
    if not rows:
        raise LookupError("the pump lifts to none of the outlets")
    most = max(float(row.head.m_as("m")) - min(0.0, float(row.lift.m_as("m"))) for row in rows)
    line, left = 46, 130
    # One unit of the sheet is a pixel here: there is nothing to scale but the bars.
    sheet = Sheet((0, width), (-line * len(rows) - 44, 12), "where the pump's head goes", width=width, margin=0)
    for n, row in enumerate(rows):
        _bar(build, sheet, row, -line * (n + 1), left, (width - left - 90) / most)
    _key(sheet, -line * len(rows) - 34, left)
    return sheet.svg()


def _bar(build: Build, sheet: Sheet, row: Any, y: float, left: float, scale: float) -> None:
    sheet.words(left - 8, y + 8, row.name, size=12, anchor="end", bold=True)
    x = left
    for name, _, fill in PARTS:
        wide = max(float(getattr(row, name).m_as("m")), 0.0) * scale
        sheet.rect(x, y, wide, 22, weight=1.2, fill=fill)
        if wide > 32:
            sheet.words(x + wide / 2, y + 26, _head(build, getattr(row, name)), size=10, anchor="middle")
        x += wide
    sheet.words(x + 8, y + 8, f"{_head(build, row.head)} in all", size=11)


def _head(build: Build, head: Quantity) -> str:
    return show(head, "m", resolution=0.1, prefs=build.prefs)


def _key(sheet: Sheet, y: float, left: float) -> None:
    x = left
    for _, words, fill in PARTS:
        sheet.rect(x, y, 14, 12, weight=1, fill=fill)
        sheet.words(x + 20, y + 1, words, size=11)
        x += 96

