"""The control panel: its holes by running dimensions from one corner, and the same at true size as a drill template."""

from __future__ import annotations

from typing import Any

from kit.build.build import Build
from kit.notebook.lid_template import TRUE_SIZE
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.quantities import Q
from kit.workshop import show

__all__ = ["PANEL", "drill_template", "panel_plan"]

PANEL = {"the panel": ("wiring.drill_plan.holes", "wiring.drill_plan.width", "wiring.drill_plan.height")}
# What fits between the margins of A4, upright, beside a heading.
WIDEST, TALLEST = 0.182, 0.215


def _size(build: Build) -> tuple[float, float]:
    return tuple(float(build.value(f"wiring.drill_plan.{side}").m_as("m")) for side in ("width", "height"))  # type: ignore[return-value]


def _pairs(build: Build) -> list[tuple[Any, Any]]:
    return list(zip(build.value("wiring.drill_plan.parts"), build.value("wiring.drill_plan.holes"), strict=True))


def panel_plan(build: Build, width: int = 640) -> str:
    """The panel from the front with every hole, its part's outline, and dimensions from the lower left corner."""
    needs(build, PANEL)
    wide, high = _size(build)
    scale = (width - 150) / wide
    sheet = Sheet((-20 / scale, wide + 120 / scale), (-120 / scale, high + 26 / scale), "drill plan of the control panel",
                  width=width, margin=4)
    sheet.rect(0, 0, wide, high, weight=2)
    for part, hole in _pairs(build):
        _part(sheet, part, hole, labelled=True)
    _dimensions(build, sheet, wide)
    sheet.origin(names=("", ""))
    sheet.scale_bar(0.1, show(Q(100, "mm"), "mm", prefs=build.prefs))
    sheet.words(0, high + 8 / scale, f"{build.shown('wiring.drill_plan.width')} x {build.shown('wiring.drill_plan.height')}, from the front",
                size=11.5, bold=True)
    sheet.notes("Every dimension from the lower left corner. Dashed: face or body of the part. Cross: centre to punch.",
                keep=round(0.1 * sheet.scale) + 40)
    return sheet.svg()


def _part(sheet: Sheet, part: Any, hole: Any, *, labelled: bool) -> None:
    x, y = float(hole.x.m_as("m")), float(hole.y.m_as("m"))
    w, h = float(part.width.m_as("m")), float(part.height.m_as("m"))
    sheet.rect(x - w / 2, y - h / 2, w, h, weight=0.8, dash="4 3")
    across = float(part.hole_width.m_as("m"))
    if part.hole == "round":
        sheet.circle(x, y, across / 2, weight=1.6)
    else:
        up = float((part.hole_height or part.hole_width).m_as("m"))
        sheet.rect(x - across / 2, y - up / 2, across, up, weight=1.6)
    sheet.cross(x, y, size=5)
    if labelled:
        sheet.words(x, y - h / 2 - 13 / sheet.scale, part.name, size=11, anchor="middle")


def _dimensions(build: Build, sheet: Sheet, wide: float) -> None:
    """Columns below the panel and rows at its right, each measured once from the corner."""
    columns: dict[str, float] = {}
    rows: dict[str, float] = {}
    for _, hole in _pairs(build):
        columns.setdefault(_mm(build, hole.x), float(hole.x.m_as("m")))
        rows.setdefault(_mm(build, hole.y), float(hole.y.m_as("m")))
    _along_foot(sheet, sorted((x, text) for text, x in columns.items()))
    sheet.running_along(0, sorted((y, text) for text, y in rows.items()), wide, off=18)


def _along_foot(sheet: Sheet, marks: list[tuple[float, str]]) -> None:
    """Running dimensions below the panel, their texts kept clear of each other."""
    pixel, before = 1 / sheet.scale, -1.0
    sheet.line([(0, -10 * pixel), (marks[-1][0], -10 * pixel)], weight=0.7)
    for x, text in marks:
        before = max(x, before + 15 * pixel)
        sheet.line([(x, 0), (x, -14 * pixel), (before, -24 * pixel)], weight=0.5)
        sheet.words(before - 3 * pixel, -31 * pixel, text, size=10.5, turn=60)


def _mm(build: Build, place: Any) -> str:
    return show(place, "mm", resolution=0.1, prefs=build.prefs)


def drill_template(build: Build) -> str:
    """The panel at true size, to stick on and punch through."""
    needs(build, PANEL)
    wide, high = _size(build)
    turned = wide > WIDEST
    across, up = (high, wide) if turned else (wide, high)
    if across > WIDEST or up > TALLEST:
        raise LookupError("the panel is larger than one sheet of A4; set the holes out by the dimensions of the drawing")
    sheet = Sheet((-0.002, max(across, 0.15) + 0.002), (-0.016, up + 0.002), "drill template of the panel, true size",
                  width=round((max(across, 0.15) + 0.004) * TRUE_SIZE) + 12, margin=6)
    sheet.rect(0, 0, across, up, weight=1.6)
    for part, hole in _pairs(build):
        x, y = float(hole.x.m_as("m")), float(hole.y.m_as("m"))
        w, h = float(part.hole_width.m_as("m")), float((part.hole_height or part.hole_width).m_as("m"))
        if turned:
            x, y, w, h = high - y, x, h, w
        if part.hole == "round":
            sheet.circle(x, y, w / 2, weight=1.2)
        else:
            sheet.rect(x - w / 2, y - h / 2, w, h, weight=1.2)
        sheet.cross(x, y, size=9)
        sheet.words(x, y - max(w, h) / 2 - 0.005, f"{part.name}, {hole.hole}", size=10, anchor="middle", turn=0)
    if turned:
        sheet.words(0.006, up / 2, "top of the panel", size=10.5, anchor="middle", turn=-90, bold=True)
    sheet.line([(0, -0.008), (0.1, -0.008)], weight=1.6)
    for n in range(11):
        sheet.line([(n / 100, -0.008), (n / 100, -0.004 if n % 5 == 0 else -0.0055)], weight=1)
    sheet.words(0.103, -0.009, "100 mm: check with a rule", size=10.5)
    return sheet.svg()
