"""The page of stage 08: what wires, fuses and inputs do in a sentence; diagrams of wires, pins and panel; the card."""

from __future__ import annotations

from typing import Any

from kit.build.build import Build
from kit.notebook.curves import Axis, Curve, Limit, chart
from kit.notebook.panel_drawing import PANEL, drill_template, panel_plan
from kit.notebook.paper import Card
from kit.notebook.pin_diagram import PINS, pin_drawing, pin_rows
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.notebook.wire_diagram import CABLES, one_line, run_order, size_words
from kit.quantities import Q
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "card", "sentence"]

PROBE = {"the probe": ("wiring.probe.volts",)}
AIR = {"the air of the box": ("wiring.box_air.margin",)}


def sentence(build: Build) -> str:
    """Drop, feed, input and box; then what fails or is still open."""
    said, missing = split_clauses(build, _CLAUSES)
    parts = [f"{text[:1].upper()}{text[1:]}." for text in said]
    wrong = [asks.label for _, asks, check in build.checks("wiring") if check.verdict == "fails"]
    if wrong:
        parts.append(f"Fails: {', '.join(wrong)}.")
    if missing:
        parts.append(f"Still open: {', '.join(missing)}.")
    return " ".join(parts)


_CLAUSES: dict[str, Clause] = {
    "the runs of wire": (
        ("wiring.cables.worst_drop", "wiring.cables.feed"),
        lambda b: f"of the runs that matter the worst{_worst(b)} loses {b.shown('wiring.cables.worst_drop')}, and while "
                  f"{_named(b.shown('wiring.cables.feed_while'))} the controller still gets {b.shown('wiring.cables.feed')}"),
    "the fuses": (("wiring.fuses.order",), lambda b: f"fuses: {b.shown('wiring.fuses.order')}"),
    "the divider": (
        ("wiring.divider.worst",),
        lambda b: f"the battery input sees at most {b.shown('wiring.divider.worst')} of the "
                  f"{b.shown('wiring.divider.bears')} it bears"),
    "the heat of the box": (
        ("wiring.box_heat.inside",), lambda b: f"the box gets to {b.shown('wiring.box_heat.inside')} inside"),
}


def _worst(build: Build) -> str:
    reason = build.check("wiring.cables.critical_drop").reason
    return f", {reason}," if reason else ""


def _named(starting: str) -> str:
    return "nothing starts" if starting == "nothing starts" else f"the {starting} starts"


# -- charts -----------------------------------------------------------------------------------------------------------


def probe_curve(build: Build) -> str:
    """Volts at the converter over the probe's range."""
    needs(build, PROBE)
    return chart(
        build.value("wiring.probe.temperature"), [Curve(build.value("wiring.probe.volts"), "at the converter", 2)],
        axes=(Axis("temperature of the probe", "degC"), Axis("voltage", "V")),
        title="what the converter sees of the thermistor", prefs=build.prefs)


def dew_margin(build: Build) -> str:
    """How far the wall of a box that breathes stays above the dew point, month by month."""
    needs(build, AIR)
    return chart(
        build.value("wiring.box_air.month"), [Curve(build.value("wiring.box_air.margin"), "wall above dew", 2)],
        axes=(Axis("month", "1", 1), Axis("degrees above the dew point", "delta_degC")),
        limits=[Limit(Q(0, "delta_degC"), "dew")], title="a breathing box through the year", prefs=build.prefs)


# -- card -------------------------------------------------------------------------------------------------------------


def card(build: Build) -> Card:
    """What to cut, fuse, land and drill, in order; what to measure before the battery is connected."""
    if not all(known(build, paths) for wanted in (CABLES, PINS, PANEL) for paths in wanted.values()):
        return Card(steps=("The card is ready when runs, fuses, pins and panel are worked out: fill in what is open.",))
    return Card(
        steps=(
            "Cut every cable to the table, a label with its name on both ends before it is pulled.",
            "Drill the panel from the template at the end. Try one part in each size of hole in an offcut first.",
            f"Fuse board: {build.shown('wiring.fuses.order')}. Each fuse where its wire begins; write its rating beside it.",
            "All minus wires to one point. Signal cables on their own side; glands point down, a drip loop before each.",
            "Land the pins by the pin plan. No wire of the 12 V side on the controller except its supply.",
            f"Before the controller is plugged in: battery on, measure the divider; it must read near "
            f"{_divided_now(build)} with the battery at rest.",
            "Main fuse last. Pull on every crimp, close the box, start the pump: the controller must not reset.",
        ),
        tables=(
            ("Runs", ("run", "hangs on", "wire", "one way", "fuse", "drop", "at start", "cut"), _run_rows(build)),
            ("Pins", ("pin", "signal", "as", "wire", "at most", "landed"), pin_rows(build)),
            ("Holes in the panel, from the lower left corner", ("part", "across", "up", "hole"), _hole_rows(build)),
        ),
        blanks=(
            ("battery at rest, full", build.shown("wiring.fuses.rest")),
            ("battery while the pump starts", ""),
            ("at the controller while the pump starts", build.shown("wiring.cables.feed")),
            ("divider, at the input", _divided_now(build)),
            ("current of the logger, ten minutes", build.shown("wiring.logger_current")),
            ("pump, running; at start", ""),
        ),
        drawing=one_line(build),
        sheets=(("Pin plan", pin_drawing(build)), ("Panel: stick on, punch and drill. Print at 100 %", _template(build))),
    )


def _template(build: Build) -> str:
    try:
        return drill_template(build)
    except LookupError as why:
        return f"{panel_plan(build)}<p>{why.args[0]}</p>"


def _divided_now(build: Build) -> str:
    rest = build.value("wiring.fuses.rest")
    return show(rest * build.value("wiring.divider.ratio"), "V", prefs=build.prefs)


def _run_rows(build: Build) -> list[tuple[str, ...]]:
    found = {line.name: line for line in build.value("wiring.cables.by_run") or ()}
    return [_run_row(build, one, found[one.name]) for _, one in run_order(build.value("wiring.cables.runs"))]


def _run_row(build: Build, one: Any, found: Any) -> tuple[str, ...]:
    def percent(value: Any) -> str:
        return show(value, "percent", resolution=0.1, rounding="up", prefs=build.prefs)

    length = show(one.one_way, "m", resolution=0.1, rounding="up", prefs=build.prefs)
    return (one.name, one.fed_by, size_words(one.size), length, one.fuse, percent(found.drop),
            percent(found.start_drop) if one.start is not None else "-", "____")


def _hole_rows(build: Build) -> list[tuple[str, ...]]:
    def from_corner(place: Any) -> str:
        return show(place, "mm", resolution=0.1, prefs=build.prefs)

    return [(hole.name, from_corner(hole.x), from_corner(hole.y), hole.hole)
            for hole in build.value("wiring.drill_plan.holes") or ()]


DRAWINGS = {"drawing": one_line, "pins": pin_drawing, "panel": panel_plan, "probe": probe_curve, "dew": dew_margin}

# What the build sheet shows with its doubt.
MAIN = (
    "wiring.cables.worst_drop",
    "wiring.divider.worst",
)
