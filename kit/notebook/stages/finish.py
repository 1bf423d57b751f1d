"""The page of stage 06: tins and days in a sentence, the calendar of the coats, areas, dew through the year, joints in section."""

from __future__ import annotations

import math
from typing import Any

from kit.build.build import Build
from kit.notebook.curves import Axis, Curve, Limit, chart
from kit.notebook.paper import Card, Table
from kit.notebook.spans import Mark, Span, spans
from kit.notebook.svg import Sheet
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "areas", "calendar", "card", "coat_rows", "dew", "joint_rows", "joints", "sentence"]


def sentence(build: Build) -> str:
    """Tins, coats and days, hours of sanding, cartridges; what is missing is said to be open."""
    said, missing = split_clauses(build, _CLAUSES)
    if missing:
        said.append(f"Still open: {', '.join(missing)}.")
    return " ".join(said)


def _counted(build: Build, path: str, name: str) -> str:
    value = build.value(path)
    number = round(float(getattr(value, "magnitude", value)))
    return f"{number} {name}{'' if number == 1 else 's'}"


def _tins(build: Build) -> str:
    return (
        f"{build.shown('finish.coats.area')} in {_counted(build, 'finish.coats.coats', 'coat')} take "
        f"{build.shown('finish.coats.litres')}: {_counted(build, 'finish.coats.tins_needed', 'tin')} of "
        f"{build.shown('finish.coats.tin')}; {build.shown('finish.coats.left_bare')} stay bare."
    )


def _days(build: Build) -> str:
    if build.value("finish.drying.way") == "wet on wet":
        latest = build.value("finish.drying.largest").magnitude
        at_once = "" if math.isnan(latest) else f", no more than {build.shown('finish.drying.largest')} at once"
        between = f"The second coat goes on {build.shown('finish.drying.gap')} after the first{at_once}"
    else:
        between = f"Coats follow each other after {build.shown('finish.drying.earliest_here')} at the soonest"
    return f"{between}; it may be used after {build.shown('finish.drying.ready')}, {build.shown('finish.drying.days')} of waiting."


def _sanding(build: Build) -> str:
    return (
        f"Sanding {build.shown('finish.sanding.sequence')} takes {build.shown('finish.sanding.likely')} and "
        f"{_counted(build, 'finish.sanding.discs', 'disc')}."
    )


def _sealing(build: Build) -> str:
    return f"The joints take {_counted(build, 'finish.sealant.needed', 'cartridge')}."


_CLAUSES: dict[str, Clause] = {
    "the tins": (("finish.coats.litres", "finish.coats.tins_needed"), _tins),
    "the calendar": (("finish.drying.ready", "finish.drying.gap"), _days),
    "the sanding": (("finish.sanding.likely",), _sanding),
    "the sealant": (("finish.sealant.needed",), _sealing),
}


def _night(build: Build, hours: float) -> list[tuple[float, float]]:
    """Stretches outside the working day, in hours from the first stroke, which is made when a day begins."""
    day = build.value("finish.drying.ends").m_as("h") - build.value("finish.drying.begins").m_as("h")
    return [(24 * n + day, 24.0 * (n + 1)) for n in range(int(hours // 24) + 1)]


def calendar(build: Build) -> str:
    """Coats in the hours from the first stroke: brush, wet, window of the next coat, nights, and when it may be used."""
    needs(build, {"the calendar of the coats": ("finish.drying.calendar", "finish.drying.ready")})
    coats, ready = build.value("finish.drying.calendar"), build.value("finish.drying.ready").m_as("h")
    # Wet on wet all coats are over in a morning: then only their hours are drawn, and the wait is a mark beyond.
    last = max(one.done.m_as("h") for one in coats)
    short = last < 0.2 * ready
    unit, scale = ("min", 60.0) if short and last < 4 else ("h", 1.0)
    rows = []
    for one in coats:
        start, end = one.starts.m_as("h") * scale, one.done.m_as("h") * scale
        bars = [Span(start, end, "brush", 0.3)]
        low, high = one.not_before.m_as("h") * scale, one.not_after.m_as("h") * scale
        if math.isfinite(high) and high > low > 0:
            bars.insert(0, Span(low, high, "", 0, "4 3"))
        rows.append((f"{one.name}, {one.when}", bars))
    marks = [] if short else [Mark(ready, f"may be used: {build.shown('finish.drying.ready')}")]
    if not short:
        rows.append(("hardening", [Span(last, ready, "leave it alone", 0.06)]))
    shade = [] if short else _night(build, ready)
    shut = "dashed box: the window of that coat" + ("" if short else "; grey: nights")
    title = f"Coats of the first part; ready {build.shown('finish.drying.ready')} after the first stroke"
    return spans(rows, f"from the first stroke ({unit}); {shut}", title, marks=marks, shade=shade)


def areas(build: Build) -> str:
    """Each surface: what is coated, and what is glued, bedded or left bare."""
    needs(build, {"the surfaces": ("finish.coats.by_surface",)})
    surfaces = build.value("finish.coats.by_surface")
    if not surfaces:
        raise LookupError("there is no surface to coat yet")
    inch = build.prefs.system == "inch"
    unit = "ft^2" if inch else "m^2"
    rows = []
    for one in surfaces:
        coated, bare = one.area.m_as(unit), one.left_bare.m_as(unit)
        said = show(one.area, "m^2", resolution=0.01, prefs=build.prefs)
        coats = f"{one.coats.magnitude:.0f} coats" if coated else "bare"
        rows.append((one.name, [Span(0, coated, "", 0.5), Span(coated, coated + bare, f"{said}, {coats}" if coated else "left bare", 0)]))
    return spans(rows, f"area ({'ft²' if inch else 'm²'}); filled: coated; empty: glued, bedded or left bare", "What is coated, and what is not")


def dew(build: Build) -> str:
    """The air above its dew point month by month, against the margin that a finish wants."""
    needs(build, {"the months of the year": ("finish.outdoors.margin",)})
    margin = build.value("finish.outdoors.margin")
    return chart(
        build.value("finish.outdoors.month"), [Curve(margin, "air above dew point", 2)],
        axes=(Axis("month of the year", "1", 1), Axis("air above its dew point", "delta_degC")),
        limits=[Limit(Q(3, "delta_degC"), "least wanted")],
        title=f"Outdoors: {build.shown('finish.outdoors.says')}", prefs=build.prefs,
    )


def joints(build: Build) -> str:
    """Every kind of joint in section, to one scale, with what it holds to and what it must not."""
    needs(build, {"the joints": ("finish.sealant.by_joint", "finish.sealant.joints")})
    kinds = build.value("finish.sealant.joints")
    big = max(max(one.width.m_as("m"), one.depth.m_as("m") if one.depth is not None else 0) for one in kinds)
    pitch = 2.9 * big
    sheet = Sheet((-0.4 * big, pitch * len(kinds)), (-1.75 * big, 1.0 * big), "joints in section", width=640, margin=26)
    for place, one in enumerate(kinds):
        _joint(build, sheet, one, place * pitch + 1.2 * big, big)
    bar = Q(0.5, "in") if build.prefs.system == "inch" else Q(10, "mm")
    sheet.scale_bar(bar.m_as("m"), show(bar, "mm", prefs=build.prefs))
    sheet.notes("Filled: sealant. Faint: wood. Ring: backer rod, to which sealant does not stick.", keep=90)
    return sheet.svg()


def _joint(build: Build, sheet: Sheet, one: Any, middle: float, big: float) -> None:
    width = one.width.m_as("m")
    if one.section == "rectangle":
        depth = one.depth.m_as("m")
        for side in (-1, 1):
            x = middle + side * width / 2
            sheet.rect(min(x, x + side * 0.6 * big), -1.5 * big, 0.6 * big, 1.5 * big, weight=1, fill=0.07)
        sheet.rect(middle - width / 2, -depth, width, depth, weight=1.2, fill=0.55)
        if one.backed:
            sheet.circle(middle, -depth - width / 2, width / 2, weight=1.2)
        else:
            sheet.rect(middle - width / 2, -1.5 * big, width, 1.5 * big - depth, weight=1, fill=0.07)
        said = f"{_mm(build, one.width)} wide, {_mm(build, one.depth)} deep"
    elif one.section == "fillet":
        sheet.rect(middle - 0.9 * big, -1.5 * big, 0.4 * big, 1.7 * big, weight=1, fill=0.07)
        sheet.rect(middle - 0.5 * big, -1.5 * big, 1.5 * big, 0.4 * big, weight=1, fill=0.07)
        at, low = middle - 0.5 * big, -1.1 * big
        sheet.line([(at, low), (at + width, low), (at, low + width)], weight=1.2, closed=True, fill=0.55)
        said = f"legs of {_mm(build, one.width)}"
    else:
        sheet.rect(middle - big, -1.5 * big, 2 * big, 0.5 * big, weight=1, fill=0.07)
        sheet.circle(middle, -big + width / 2, width / 2, weight=1.2, fill=0.55)
        said = f"{_mm(build, one.width)} across"
    sheet.words(middle, 0.8 * big, one.name if len(one.name) < 30 else f"{one.name[:29]}…", anchor="middle", size=11.5, bold=True)
    sheet.words(middle, 0.8 * big - 16 / sheet.scale, said, anchor="middle", size=11)


def _mm(build: Build, size: Quantity) -> str:
    return show(size, "mm", resolution=0.5, prefs=build.prefs)


def coat_rows(build: Build) -> list[tuple[str, ...]]:
    """One row a coat: when, not before, not after, blanks for the real time and the air."""
    rows: list[tuple[str, ...]] = []
    for one in build.value("finish.drying.calendar") or ():
        low = show(one.not_before, "h", resolution=0.1, rounding="up", prefs=build.prefs)
        high = show(one.not_after, "h", resolution=0.1, rounding="down", prefs=build.prefs)
        rows.append((one.name, one.when, low, "-" if math.isnan(one.not_after.magnitude) else high, "______", "______"))
    return rows


def joint_rows(build: Build) -> list[tuple[str, ...]]:
    """One row a joint: section, volume, movement, and how far a cartridge reaches."""
    return [
        (
            one.name, show(one.section, "mm^2", resolution=1, prefs=build.prefs),
            show(one.volume, "mL", resolution=1, rounding="up", prefs=build.prefs),
            show(one.strain, "percent", resolution=1, rounding="up", prefs=build.prefs),
            show(one.reach, "m", resolution=0.1, rounding="down", prefs=build.prefs),
        )
        for one in build.value("finish.sealant.by_joint") or ()
    ]


def card(build: Build) -> Card:
    """The order at the bench: sand, dust off, coats by the clock, rags first and last."""
    if not known(build, ("finish.coats.litres", "finish.drying.ready")):
        return Card(steps=("The card is ready when the surfaces, the tin and its times are entered: fill in what is open.",))
    bare = [one.name for one in build.value("finish.coats.by_surface") if one.left_bare.magnitude > 0]
    steps = [
        "Rags: a lidded metal can with water in it stands ready before the tin is opened. Every rag goes in, or is hung out flat outdoors.",
        f"Sand {build.shown('finish.sanding.sequence')}, with extraction and a mask; vacuum, never sweep." if known(build, ("finish.sanding.sequence",)) else "Sand, with extraction and a mask.",
        f"Not coated, in part or whole: {'; '.join(bare)}." if bare else "All faces are coated.",
        f"Wood and air: at least {build.shown('finish.drying.least_temperature')}, no more than {build.shown('finish.drying.greatest_humidity')}, the wood 3 °C above the dew point of {build.shown('finish.drying.dew')}.",
        f"{_tins(build)} End grain {build.shown('finish.coats.end_coats')} coats.",
        _days(build),
        "Seal the joints when the finish is hard, or before it where the cartridge says so; rods in first, tool them off wet.",
        "Wipe off what stands. Brush, rags and washings stay out of the water. Empty the can today.",
    ]
    tables: list[Table] = [("Coats", ("coat", "planned", "not before", "not after", "begun", "air and humidity"), coat_rows(build))]
    if known(build, ("finish.sealant.by_joint",)):
        tables.append(("Joints", ("joint", "section", "sealant", "stretches", "a cartridge reaches"), joint_rows(build)))
    blanks = (
        ("one panel with one grit, timed", build.shown("finish.sanding.panel_time")),
        ("pot before and after 0.25 m² of offcut", ""), ("temperature of the wood", ""), ("temperature and humidity of the air", ""),
        ("batch number on the tin", ""), ("batch number and date of the sealant", ""), ("put on again, by", build.shown("finish.upkeep.every")),
    )
    return Card(steps=tuple(steps), tables=tuple(tables), blanks=blanks, drawing=calendar(build))


DRAWINGS = {"drawing": calendar, "areas": areas, "dew": dew, "joints": joints}

# What the build sheet shows with its doubt.
MAIN = (
    "finish.coats.litres",
    "finish.sanding.likely",
)
