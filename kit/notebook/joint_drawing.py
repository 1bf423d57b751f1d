"""A finger-jointed corner to scale: both combs, every finger from one edge, and one face of it much enlarged."""

from __future__ import annotations

from kit.build.build import Build
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["fingers"]

_WANTED = {"the fingers of the corner": ("panels.fingers.marks", "panels.fingers.width", "panels.finger_fit.face")}


def fingers(build: Build) -> str:
    """The first board's edge with its fingers, the other board drawn out of it, and what one face looks like."""
    needs(build, _WANTED)
    marks = build.value("panels.fingers.marks")
    width, deep = build.value("panels.fingers.width").m_as("m"), build.value("panels.fingers.depth").m_as("m")
    stock = 2.2 * deep
    sheet = Sheet((-0.06 * width, 1.05 * width), (-0.3 * width, 0.29 * width), "a corner with its fingers", width=680, margin=24)
    sheet.words(0, 0.275 * width, f"{len(marks)} fingers and slots, each {_fine(build, build.value('panels.fingers.finger'))} by even division", bold=True)
    high = 0.075 * width
    _comb(sheet, [(m.start.m_as("m"), m.end.m_as("m")) for m in marks if m.name.startswith("finger")], (0, deep), -stock, width)
    lifted = high + deep
    pin = build.value("panels.fingers.pin").m_as("m")
    middles = [(m.start.m_as("m") + m.end.m_as("m")) / 2 for m in marks if m.name.startswith("slot")]
    _comb(sheet, [(at - pin / 2, at + pin / 2) for at in middles], (lifted, lifted - deep), lifted + stock, width)
    sheet.words(1.005 * width, lifted + stock / 2, "2", bold=True)
    sheet.words(1.005 * width, -stock / 2, "1", bold=True)
    sheet.along(0, deep, -0.012 * width, _fine(build, build.value("panels.fingers.depth"), 0.1))
    sheet.running(0, [(m.end.m_as("m"), _fine(build, m.end, 0.1).removesuffix(" mm")) for m in marks], -stock, off=16)
    sheet.origin(0, -stock, ("", ""))
    bar = Q(2, "in") if build.prefs.system == "inch" else Q(50, "mm")
    sheet.scale_bar(bar.m_as("m"), show(bar, "mm", prefs=build.prefs))
    sheet.notes(
        f"Cut fingers {build.shown('panels.fingers.pin')} and slots {build.shown('panels.fingers.slot')} wide: "
        f"{_fine(build, build.value('panels.finger_fit.face'))} of glue at each face. "
        "Ends of fingers and slots of board 1 in mm from its datum edge (circle); board 2 has a finger where board 1 has a slot. Mark from one edge, never one from the next.",
    )
    return sheet.svg()


def _comb(sheet: Sheet, pins: list[tuple[float, float]], reach: tuple[float, float], back: float, width: float) -> None:
    """A board whose fingers reach from `reach[0]` to `reach[1]`, its far side at `back`."""
    root, tip = reach
    line = [(0.0, back), (0.0, root)]
    for start, end in pins:
        line += [(start, root), (start, tip), (end, tip), (end, root)]
    line += [(width, root), (width, back)]
    sheet.line(line, weight=1.8, closed=True, fill=0.1)


def _fine(build: Build, size: Quantity, resolution: float = 0.01) -> str:
    return show(size, "mm", resolution=resolution, prefs=build.prefs)
