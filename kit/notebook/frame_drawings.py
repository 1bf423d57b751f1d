"""Drawings of stage 01 beside the plan: a joist with what it bears, the gap through the year, a gap laid, wet and dry."""

from __future__ import annotations

import math

from kit.build.build import Build
from kit.grades import load_factors
from kit.moment_envelope import moment_envelope
from kit.notebook.curves import Axis, Band, Curve, Limit, chart
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.quantities import Q
from kit.spans import places_of
from kit.workshop import show

__all__ = ["gap_ends", "gap_year", "joist", "moisture_year", "moments"]

BEARS = {"the supports of a joist": ("frame.joist_loads.hogging",), "the size of a joist": ("frame.joists.thickness",)}
YEAR = {"the air of the months": ("frame.moisture.moisture",)}
GAPS = {"the gap through the year": ("frame.gap.widest",), "the boards": ("frame.deck.exact_gap",)}
# Room in pixels left, right, above and below the joist.
SIDE, ABOVE, BELOW = 40, 74, 158


def _places(build: Build) -> list[float]:
    """Where the joist rests, in m from its first end."""
    inputs = [build.value(f"frame.joist_loads.{name}") for name in ("supports", "floats", "run", "length")]
    return [float(place) for place in places_of(*inputs)[:, 0]]


def joist(build: Build, width: int = 700) -> str:
    """One joist from the side, to scale: where it rests, the crowd on it, the person where the moment is worst."""
    needs(build, BEARS)
    length, depth = (float(build.value(path).m_as("m")) for path in ("frame.joist_loads.length", "frame.joist_strength.depth"))
    places = _places(build)
    scale = (width - 2 * SIDE) / length
    sheet = Sheet((-SIDE / scale, length + SIDE / scale), (-depth - BELOW / scale, ABOVE / scale),
                  "one joist from the side with its supports and loads", width=width, margin=0)
    sheet.rect(0, -depth, length, depth, weight=1.8, fill=0.06)
    seat = float(build.value("frame.joist_strength.seat").m_as("m"))
    for place in places:
        sheet.line([(place - seat / 2, -depth), (place + seat / 2, -depth), (place, -depth - 14 / scale)], weight=1.4,
                   closed=True, fill=0.25)
    _crowd(build, sheet, length, scale)
    along = build.value("frame.joist_loads.run") == "along the length"
    sheet.words(6 / scale, -depth - 14 / scale, "left side" if along else "other end", size=11)
    sheet.words(length - 6 / scale, -depth - 14 / scale, "right side" if along else build.shown("brief.named_end"),
                size=11, anchor="end")
    sheet.across(0, length, -depth, build.shown("frame.joist_loads.length"), off=100)
    sheet.running(0, [(place, _row(build, place)) for place in places], -depth, off=30)
    sheet.scale_bar(0.2, show(Q(200, "mm"), "mm", prefs=build.prefs))
    sheet.notes(
        f"Joist {build.shown('frame.joist_strength.thickness')} x {build.shown('frame.joist_strength.depth')}; supports "
        f"{build.shown('frame.joist_strength.seat')} wide. Measured from the first end. Worst: "
        f"{build.shown('frame.joist_loads.governed_by')}.", keep=240)
    return sheet.svg()


def _crowd(build: Build, sheet: Sheet, length: float, scale: float) -> None:
    """A row of arrows for the crowd, and one person at the end that overhangs most."""
    top, foot = 26 / scale, 4 / scale
    count = max(4, math.floor(length * scale / 40))
    for n in range(count + 1):
        x = length * n / count
        sheet.arrow((x, top), (x, foot), weight=0.8)
    sheet.line([(0, top), (length, top)], weight=0.8)
    sheet.words(length / 2, top + 8 / scale, f"crowd {build.shown('frame.joist_loads.live_line')}, deck and joist "
                f"{build.shown('frame.joist_loads.dead_line')}", anchor="middle", size=11.5)
    sheet.arrow((0, 60 / scale), (0, top + 4 / scale), weight=2.4)
    sheet.words(8 / scale, 52 / scale, f"or one person, {build.shown('frame.joist_loads.person')}, here or anywhere",
                size=11.5)


def _row(build: Build, place: float) -> str:
    return show(Q(place, "m"), "mm", resolution=1, prefs=build.prefs)


def moments(build: Build) -> str:
    """The most and the least moment along the joist, with what it may be designed for."""
    needs(build, BEARS)
    dead, live = load_factors(build.value("frame.joist_loads.rules"))
    x, most, least = moment_envelope(
        _places(build), build.value("frame.joist_loads.length"), dead=build.value("frame.joist_loads.dead_line"),
        crowd=build.value("frame.joist_loads.live_line"), person=build.value("frame.joist_loads.person"), on_dead=dead,
        on_live=live)
    limits = []
    allowed = build.value("frame.joist_strength.bending_allowed")
    if allowed is not None and math.isfinite(allowed.m):
        section = build.value("frame.joist_strength.thickness") * build.value("frame.joist_strength.depth") ** 2 / 6
        strong = Q(allowed * section, "N*m")
        limits = [Limit(sign * strong, f"joist carries {show(strong, 'N*m', resolution=10, prefs=build.prefs)}")
                  for sign in (1, -1)]
    return chart(
        x, [Curve(most, "down, between supports", 2.2), Curve(least, "up, over supports", 2.2, "6 3")],
        axes=(Axis("along the joist from its first end", "m"), Axis("moment, load factors in it", "N*m")),
        title="What bends a joist: every crowd, every place of a person", bands=[Band(least, most)], limits=limits,
        prefs=build.prefs)


def moisture_year(build: Build) -> str:
    """The moisture of the wood month by month."""
    needs(build, YEAR)
    return chart(
        build.value("frame.moisture.month"), [Curve(build.value("frame.moisture.moisture"), "in the month's air", 2.4)],
        axes=(Axis("month of the year", "1", 1), Axis("moisture, of dry mass", "percent")),
        title="Wood that stays out: what the air of each month brings it to",
        limits=[Limit(build.value("frame.moisture.most"), f"wettest, {build.shown('frame.moisture.most')}"),
                Limit(build.value("frame.moisture.least"), f"driest, {build.shown('frame.moisture.least')}")],
        prefs=build.prefs)


def gap_year(build: Build) -> str:
    """The gap between two boards month by month, with the least that drains and the most a finger stays out of."""
    needs(build, GAPS)
    return chart(
        build.value("frame.gap.month"), [Curve(build.value("frame.gap.monthly"), "gap in the month's air", 2.4)],
        axes=(Axis("month of the year", "1", 1), Axis("gap", "mm")),
        title=f"Gap through the year, laid with {build.shown('frame.deck.exact_gap')}",
        limits=[Limit(build.value("frame.deck.greatest_gap"), f"finger, {build.shown('frame.deck.greatest_gap')}"),
                Limit(build.value("frame.deck.least_gap"), f"drains, {build.shown('frame.deck.least_gap')}")],
        prefs=build.prefs)


def gap_ends(build: Build, width: int = 640) -> str:
    """Two board ends beside one another, three times: on the day they are laid, wettest and driest; to scale."""
    needs(build, GAPS)
    thick = float(build.value("frame.deck.thickness").m_as("m"))
    states = (("laid", "frame.deck.laid_moisture", "frame.deck.exact_gap"),
              ("wettest", "frame.moisture.most", "frame.gap.narrowest"), ("driest", "frame.moisture.least", "frame.gap.widest"))
    half, pitch = 0.055, thick + 0.018
    sheet = Sheet((-half - 0.012, half + 0.05), (-2 * pitch - thick - 0.022, 0.024),
                  "two board ends with their gap when laid, wettest and driest", width=width, margin=0)
    for n, (words, moisture, gap) in enumerate(states):
        wide, down = float(build.value(gap).m_as("m")), -n * pitch
        for side in (-1, 1):
            _board_end(sheet, side, max(wide, 0.0), down, thick, half)
        sheet.across(-wide / 2, wide / 2, down, build.shown(gap), off=-14)
        sheet.words(half + 0.004, down - thick / 2, words, size=13, bold=True)
        sheet.words(half + 0.004, down - thick / 2 - 0.007, build.shown(moisture), size=12)
    sheet.scale_bar(0.02, show(Q(20, "mm"), "mm", prefs=build.prefs))
    sheet.notes(f"Lay with a gap from {build.shown('frame.gap.lay_at_least')} to {build.shown('frame.gap.lay_at_most')} "
                "at the moisture of the day, and both limits hold all year.", keep=150)
    return sheet.svg()


def _board_end(sheet: Sheet, side: int, gap: float, down: float, thick: float, half: float) -> None:
    """The end of a board beside the gap, broken off where it goes on."""
    inner, outer = side * gap / 2, side * half
    step = thick / 4
    broken = [(outer + side * (0.002 if n % 2 else -0.002), down - thick + n * step) for n in range(1, 4)]
    sheet.line([(outer, down), (inner, down), (inner, down - thick), (outer, down - thick), *broken], weight=1.4,
               closed=True, fill=0.08)
