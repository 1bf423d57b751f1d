"""The page of stage 03: feed and time in a sentence, cuts in section, an inside corner, hours by operation, the card."""

from __future__ import annotations

import math
from typing import Any

from kit.build.build import Build
from kit.notebook.curves import Axis, Band, Curve, chart
from kit.notebook.paper import Card
from kit.notebook.spans import Span, spans
from kit.notebook.svg import Sheet
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.quantities import Q, Quantity
from kit.router import chip_range
from kit.workshop import show

__all__ = ["DRAWINGS", "card", "chip_loads", "corner", "hours", "operation_rows", "section", "sentence"]


def sentence(build: Build) -> str:
    """Feed, passes and what to listen for; how long it runs; where the depths stand."""
    said, missing = split_clauses(build, _CLAUSES)
    if missing:
        said.append(f"Still open: {', '.join(missing)}.")
    return " ".join(said)


def _feed(build: Build) -> str:
    return (
        f"The {build.shown('machining.main_cutter.diameter')} cutter at {build.shown('machining.main_cutter.speed')} goes "
        f"{build.shown('machining.main_cutter.feed')}, {build.shown('machining.main_cutter.pass_depth')} deep a pass. "
        f"{build.shown('machining.main_cutter.listen')}"
    )


def _running(build: Build) -> str:
    cutters = round(float(build.value("machining.operations.changes").magnitude))
    bags = round(float(build.value("machining.operations.bags").magnitude))
    return (
        f"The machine runs {build.shown('machining.operations.machine_time')}, a cutter is put in {cutters} "
        f"time{'' if cutters == 1 else 's'}, and {build.shown('machining.operations.chips')} of chips fill {bags} "
        f"bag{'' if bags == 1 else 's'}."
    )


def _off(build: Build) -> str:
    if not build.check("machining.operations.true_depth").passes:
        return (
            f"By the zero chosen a recess may be {build.shown('machining.operations.worst_off')} off in depth, more than "
            f"{build.shown('machining.operations.may_be_off')}: set zero on top of the wood."
        )
    return f"Depths are true to {build.shown('machining.operations.worst_off')} by the zero chosen."


_CLAUSES: dict[str, Clause] = {
    "the feed of the main cutter": (("machining.main_cutter.feed", "machining.main_cutter.listen"), _feed),
    "the running time of the machine": (("machining.operations.machine_time",), _running),
    "the depths by their zero": (("machining.operations.worst_off", "machining.operations.may_be_off"), _off),
}


def _tenth(build: Build, size: Quantity, step: float = 0.1) -> str:
    return show(size, "mm", resolution=step, prefs=build.prefs)


def _bar(build: Build, metric: Quantity, inch: Quantity) -> tuple[float, str]:
    bar = inch if build.prefs.system == "inch" else metric
    return bar.m_as("m"), show(bar, "mm", prefs=build.prefs)


def _recess(build: Build) -> Any:
    """The deepest recess that the main cutter clears, to draw its passes."""
    rows = build.value("machining.operations.by_operation") or ()
    own = [row for row in rows if row.cutter == "main cutter" and row.left.magnitude > 0]
    if not own:
        return None
    return max(own, key=lambda row: float(abs(row.each.m_as("mm") * row.passes.magnitude)))


def section(build: Build) -> str:
    """A recess with its passes and a V with its cutter, cut across to scale, depths from the face of the wood."""
    needs(build, {"the main cutter": ("machining.main_cutter.feed",), "the grooves": ("machining.v_groove.depth",)})
    row, depth = _recess(build), build.value("machining.v_groove.depth").m_as("m")
    floor = row.each.m_as("m") * row.passes.magnitude if row else 0.0
    wide = build.value("machining.main_cutter.diameter").m_as("m")
    deep = max(depth, floor)
    thick = build.value("machining.v_groove.thickness").m_as("m")
    shown = min(thick, 2.1 * deep)
    mouth = build.value("machining.v_groove.mouth").m_as("m")
    pocket = max(4.5 * wide, 2.2 * deep)
    gap = 1.1 * deep
    total = 4 * gap + pocket + mouth
    sheet = Sheet((-0.03 * total, 1.4 * total), (-1.12 * shown, 1.35 * deep), "a recess and a V-groove with their cutters, cut across",
                  width=640, margin=24)
    sheet.rect(0, -shown, total, shown, weight=0, fill=0.07)
    marks = [(0.0, "face of the wood")]
    if row:
        marks += _passes(build, sheet, row, gap, pocket, wide, deep)
    marks += _groove(build, sheet, 2 * gap + pocket + mouth / 2, depth, deep)
    sheet.line([(0, 0), (total, 0)], weight=1)
    if thick <= shown:
        marks.append((-thick, f"{_tenth(build, Q(thick, 'm'))} underside, on the bed"))
    sheet.running_along(0, marks, total, off=14)
    sheet.origin(0, 0, ("", "z"))
    sheet.scale_bar(*_bar(build, Q(5, "mm"), Q(0.25, "in")))
    sheet.note(1, "Dashed: where each pass ends. Faint: wood.")
    sheet.note(0, "Recesses that resin fills: zero on top of the wood; cuts that go through: zero on the bed.")
    return sheet.svg()


def _passes(build: Build, sheet: Sheet, row: Any, left: float, pocket: float, wide: float, deep: float) -> list[tuple[float, str]]:
    each, count = row.each.m_as("m"), round(float(row.passes.magnitude))
    floor = each * count
    sheet.line([(left, 0), (left, -floor), (left + pocket, -floor), (left + pocket, 0)], weight=2.4)
    for n in range(1, count):
        sheet.line([(left, -n * each), (left + pocket, -n * each)], weight=1, dash="6 4")
    sheet.rect(left, -floor, wide, floor + 0.95 * deep, weight=1.4, fill=0.28)
    _beside(sheet, left, left + wide, 0.95 * deep, _tenth(build, Q(wide, "m"), 0.05), -14)
    step = build.value("machining.main_cutter.step_over").m_as("m")
    sheet.rect(left + step, -floor, wide, floor + 0.55 * deep, weight=0.9, dash="3 3")
    _beside(sheet, left, left + step, -floor, f"step-over {_tenth(build, Q(step, 'm'), 0.05)}", 20)
    sheet.words(left + pocket * 0.62, 0.24 * deep, row.name, anchor="middle", bold=True)
    return [(-n * each, f"{_tenth(build, Q(n * each, 'm'))} pass {n}") for n in range(1, count + 1)]


def _beside(sheet: Sheet, start: float, end: float, y: float, text: str, off: float) -> None:
    """A dimension along x too short for its text, which stands to the right of it."""
    sheet.across(start, end, y, "", off=off)
    sheet.words(end + 7 / sheet.scale, y - (off + 4) / sheet.scale, text, size=11)


def _groove(build: Build, sheet: Sheet, middle: float, depth: float, deep: float) -> list[tuple[float, str]]:
    slope = math.tan(build.value("machining.v_groove.angle").m_as("rad") / 2)
    floor = build.value("machining.v_groove.floor").m_as("m") / 2
    tip = build.value("machining.v_groove.tip").m_as("m") / 2
    mouth = floor + depth * slope
    sheet.line([(middle - mouth, 0), (middle - floor, -depth), (middle + floor, -depth), (middle + mouth, 0)], weight=2.4)
    reach = min(build.value("machining.v_groove.diameter").m_as("m") / 2, tip + slope * (depth + 0.95 * deep))
    top = (reach - tip) / slope - depth
    at = middle - floor + tip
    sheet.line([(at - tip, -depth), (at + tip, -depth), (at + reach, top), (at - reach, top)], weight=1.4, closed=True, fill=0.28)
    sheet.words(at, top + 0.1 * deep, f"V of {build.shown('machining.v_groove.angle')}", anchor="middle", bold=True)
    _beside(sheet, middle - mouth, middle + mouth, -depth, f"mouth {_tenth(build, Q(2 * mouth, 'm'))}", 20)
    return [(-depth, f"{_tenth(build, Q(depth, 'm'), 0.01)} V")]


def corner(build: Build) -> str:
    """An inside corner from above: the walls, what the cutter leaves, and the relief, all from the point of the corner."""
    needs(build, {"the corner": ("machining.inside_corner.left_in", "machining.inside_corner.overcut")})
    turn = build.value("machining.inside_corner.corner").m_as("rad")
    radius = build.value("machining.inside_corner.diameter").m_as("m") / 2
    starts, relief = build.value("machining.inside_corner.starts").m_as("m"), build.value("machining.inside_corner.relief")
    side = max(3.4 * radius, 1.4 * starts)
    along = [build.value(f"machining.inside_corner.{name}").m_as("m") for name in ("centre_along", "centre_off")]
    low = min(side * math.cos(turn), 0) - 1.6 * radius
    high = max(side * math.sin(turn), side * 0.6) + 0.4 * radius
    # Running dimensions and two lines of notes want about 140 pixels below the wood.
    scale = (520 - 60) / (side + 1.8 * radius - low)
    sheet = Sheet((low, side + 1.8 * radius), (-1.3 * radius - 140 / scale, high), "an inside corner from above", width=520, margin=30)
    far = (side * math.cos(turn), side * math.sin(turn))
    back = 1.15 * radius
    sheet.line([(side, 0), (0, 0), far, (far[0] - back, far[1]), (-back, -back), (side, -back)], weight=0, closed=True, fill=0.07)
    sheet.line([(side, 0), (0, 0), far], weight=1.2, dash="6 4")
    arc = (starts, radius)
    sheet.line([(side, 0), (starts, 0)], weight=2.6)
    sheet.line([far, (starts * math.cos(turn), starts * math.sin(turn))], weight=2.6)
    sheet.arc(*arc, radius, math.degrees(turn) + 90, 270, weight=2.6)
    if relief != "none":
        sheet.circle(along[0], along[1], radius, weight=1.6, fill=0.16)
        sheet.cross(*along)
    marks = [(0.0, "corner"), (starts, f"{_tenth(build, Q(starts, 'm'), 0.05)} rounding begins")]
    if relief != "none":
        marks.append((along[0], f"{_tenth(build, Q(along[0], 'm'), 0.05)} relief"))
        sheet.running_along(0, [(0.0, "side"), (along[1], f"{_tenth(build, Q(along[1], 'm'), 0.05)} relief")], side, off=14)
    sheet.running(0, sorted(_apart(marks)), -1.2 * radius, off=10)
    sheet.origin()
    sheet.scale_bar(*_bar(build, Q(2, "mm"), Q(0.125, "in")))
    left = build.shown("machining.inside_corner.left_in")
    said = f"Thick: what the cutter leaves, {left} of wood from the point. "
    said += "Filled disc: the relief; cross: its centre." if relief != "none" else "Nothing is relieved."
    sheet.notes(said, keep=90)
    return sheet.svg()


def _apart(marks: list[tuple[float, str]]) -> list[tuple[float, str]]:
    """Marks at one place said together."""
    found: dict[float, str] = {}
    for at, text in marks:
        key = round(at, 6)
        found[key] = f"{found[key]}, {text}" if key in found else text
    return list(found.items())


def hours(build: Build) -> str:
    """Minutes of the machine, operation by operation in their order, and the cutter each wants."""
    needs(build, {"the operations": ("machining.operations.by_operation", "machining.operations.change")})
    rows, start, last = [], 0.0, ""
    change = build.value("machining.operations.change").m_as("min")
    for one in build.value("machining.operations.by_operation"):
        bars = []
        if one.cutter != last:
            bars.append(Span(start, start + change, "", 0.6))
            start += change
        wood = one.in_wood.m_as("min")
        bars.append(Span(start, start + wood, f"{one.cutter}, {wood:.1f} min", 0.2))
        start += one.time.m_as("min")
        last = one.cutter
        rows.append((one.name, bars))
    return spans(rows, "running time of the machine (min); strong fill: a cutter is changed", "Operations one after another")


def chip_loads(build: Build) -> str:
    """The usual feed per tooth by diameter, and where the main cutter stands."""
    needs(build, {"the main cutter": ("machining.main_cutter.peak_chip", "machining.main_cutter.stock")})
    least, most = 2.0, 12.0
    sizes = Q([least + 0.25 * n for n in range(41)], "mm")
    low, high = chip_range(build.value("machining.main_cutter.stock"), sizes)
    diameter, chip = build.value("machining.main_cutter.diameter"), build.value("machining.main_cutter.peak_chip")
    inside = least <= diameter.m_as("mm") <= most
    points = [(diameter, chip, "main cutter")] if inside else []
    return chart(
        sizes, [Curve(high, "greatest usual"), Curve((low * 2 + high) / 3, "to begin with", 1.2, "5 4"), Curve(low, "least usual")],
        bands=[Band(low, high, 0.08)], axes=(Axis("diameter of the cutter", "mm", 1), Axis("feed per tooth", "mm")),
        title=f"Usual feed per tooth in {build.value('machining.main_cutter.stock')} (common practice)", points=points, prefs=build.prefs,
    )


def operation_rows(build: Build) -> list[tuple[str, ...]]:
    """One row an operation in their order: cutter, feed, passes, zero and floor, clamps to write down, time."""
    made: list[tuple[str, ...]] = []
    for one in build.value("machining.operations.by_operation") or ():
        feed = show(one.feed, "mm/min", resolution=10, rounding="down", prefs=build.prefs)
        passes = f"{one.passes.magnitude:.0f} x {_tenth(build, one.each, 0.01)}"
        floor = f"{one.zero.split()[0]}: {_tenth(build, one.floor, 0.01)}"
        time = show(one.time, "min", resolution=0.1, rounding="up", prefs=build.prefs)
        made.append((one.name, one.cutter, feed, passes, floor, time, "______"))
    return made


def _first(build: Build) -> str:
    return (
        f"{build.shown('machining.main_cutter.diameter')} cutter: {build.shown('machining.main_cutter.speed')}, "
        f"{build.shown('machining.main_cutter.feed')}, first in an offcut (a usual start: {build.shown('machining.main_cutter.start_feed')})."
    )


def card(build: Build) -> Card:
    """The operations in order, as they are set at the machine."""
    if not known(build, ("machining.operations.by_operation", "machining.main_cutter.feed")):
        return Card(steps=("The card is ready when the main cutter and the operations are worked out: fill in what is open.",))
    steps = [
        "Eyes and ears covered, sleeves and hair back, extraction on. Calipers on cutters and wood.",
        f"Held: {build.shown('machining.holding.clamps')} clamps, out of the cutter's way; {build.shown('machining.operations.tabs')}.",
        "Zero as each line says: on top of the wood for what resin fills, on the bed for what goes through.",
        _first(build),
        "A dry run above the wood, then the lines in order; spindle stopped before a hand goes near.",
        f"Listen. {build.shown('machining.main_cutter.listen')}",
        f"Bag the chips: {build.shown('machining.operations.chips')}. Clear the collector before you leave.",
    ]
    head = ("operation", "cutter", "feed", "passes", "floor by its zero", "time", "took")
    blanks = [
        ("main cutter by calipers", build.shown("machining.main_cutter.diameter")),
        ("width of a slot cut in an offcut", build.shown("machining.main_cutter.diameter")),
        ("thickness of the wood, five places", build.shown("machining.operations.thickness")),
        ("depth of the first recess", ""),
        ("length of a 200 mm line", show(Q(200, "mm"), "mm", prefs=build.prefs)),
        ("running time in all", build.shown("machining.operations.machine_time")),
    ]
    return Card(steps=tuple(steps), tables=(("Operations in order", head, operation_rows(build)),), blanks=tuple(blanks),
                drawing=section(build) if known(build, ("machining.v_groove.depth",)) else "")


DRAWINGS = {"drawing": section, "corner": corner, "hours": hours, "chips": chip_loads}
