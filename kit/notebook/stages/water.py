"""The page of stage 09: what comes out of each outlet in a sentence, the pipes to scale, the curves, the card, the notice."""

from __future__ import annotations

from typing import Any

from kit.build.build import Build
from kit.notebook.paper import Card, valid_for
from kit.notebook.text import MARKS, escape, html_table
from kit.notebook.waits import Clause, known, split_clauses
from kit.notebook.water_pictures import SCHEME, curves, goes, scheme
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "card", "notice", "pipe_rows", "sentence"]

BLANK = "________"
# Checks of the water itself that keep a notice from being printed; that there is one is not among them.
STOPS = ("fails", "open", "not covered")


def sentence(build: Build) -> str:
    """What each outlet gives, whether the pump draws, what a day takes, when it must be empty; then what fails or is open."""
    said, missing = split_clauses(build, _CLAUSES)
    parts = [f"{text[:1].upper()}{text[1:]}." for text in said]
    wrong = [asks.label for _, asks, check in build.checks("water") if check.verdict == "fails"]
    if wrong:
        parts.append(f"Fails: {'; '.join(wrong[:3])}{f' and {len(wrong) - 3} more' if len(wrong) > 3 else ''}.")
    if missing:
        parts.append(f"Still open: {', '.join(missing)}.")
    return " ".join(parts)


def _outlets(build: Build) -> str:
    rows = build.value("water.outlets.by_outlet")
    each = ", ".join(f"{row.name} {_flow(build, row.flow)}" for row in rows)
    if len(rows) == 1:
        return f"{each}, and {_flow(build, rows[0].blocked)} with the strainer partly stopped up"
    both = " and ".join(_flow(build, row.shared) for row in rows)
    return f"{each} with one valve open; {both} with all of them open"


def _suction(build: Build) -> str:
    lift = build.value("water.suction.lift")
    stands = (f"{show(lift, 'm', resolution=0.01, rounding='up', prefs=build.prefs)} above the water" if lift.magnitude > 0
              else "under water")
    return f"the pump stands {stands}, {_reach(build)} at most"


def _reach(build: Build) -> str:
    """How high the pump may stand: as high as it draws from, and no higher than it primes itself to."""
    highest, primes = build.value("water.suction.highest"), build.value("water.suction.primes_to")
    if primes is not None and primes.magnitude < highest.magnitude:
        highest = primes
    if highest.magnitude < 0:
        return "and would have to stand under it"
    return show(highest, "m", resolution=0.1, rounding="down", prefs=build.prefs)


_CLAUSES: dict[str, Clause] = {
    "the outlets": (("water.outlets.by_outlet",), _outlets),
    "the suction side": (("water.suction.lift", "water.suction.highest"), _suction),
    "the energy of a day": (
        ("water.energy.season", "water.energy.winter"),
        lambda b: f"a day takes {b.shown('water.energy.season')} in the season and {_winter(b)} out of it"),
    "the months of frost": (
        ("water.frost.freezing",),
        lambda b: f"months of frost, in which it must be empty: {b.value('water.frost.freezing')}"),
    "what the water is fit for": (("water.shower.says",), lambda b: f"the water is {b.value('water.shower.says')}"),
}


def _winter(build: Build) -> str:
    return build.shown("water.energy.winter") if build.value("water.energy.winter").magnitude else "nothing"


def _flow(build: Build, flow: Any) -> str:
    return show(flow, "L/min", resolution=0.1, prefs=build.prefs)


def _length(build: Build, length: Any, unit: str = "mm") -> str:
    return show(length, unit, prefs=build.prefs)


# -- card -------------------------------------------------------------------------------------------------------------


def card(build: Build) -> Card:
    """Pipes in the order they are fitted, flows to expect, draining; then the notice for each outlet."""
    if not all(known(build, paths) for paths in SCHEME.values()) or build.value("water.draining.steps") is None:
        return Card(steps=("The card is ready when pump, outlets, suction and the pipes to drain are entered.",))
    return Card(
        steps=(
            "Fuse out. Cut the pipes of the table; push a drill shank of the bore into each to see that it is what was paid for.",
            f"Strainer {build.shown('water.suction.strainer_depth')} under the water, away from the ladder, tied so that nobody can pull it off.",
            f"Pump at most {_reach(build)} above the water, every pipe falling to a low end, no loops.",
            "Every joint that is sucked at is tight to air: wet it with soap and look for bubbles drawn in.",
            f"Fill the suction pipe, or let it prime: it claims {build.shown('water.suction.dry_lift')} dry. Fuse in, one valve at a time.",
            "Bucket and watch at each outlet (table). Off by more than a tenth: strainer, kink, air, then volts at the pump.",
        ),
        tables=(
            ("Pipes, in the order of the water", ("pipe", "length", "bore", "fittings", "cut"), pipe_rows(build)),
            ("Flow to expect, one valve open", ("outlet", "mouth above the water", "clean strainer", "partly stopped up", "measured"),
             _flow_rows(build)),
            ("Draining, in order", ("step", "do"), [(step.name, step.does) for step in build.value("water.draining.steps")]),
        ),
        blanks=(
            ("deck above the water, nobody aboard", build.shown("water.outlets.deck")),
            ("volts at the pump, running", build.shown("water.pump.volts")),
            ("watts of the pump, running; at the start", f"{build.shown('water.energy.power')}; {build.shown('water.energy.start')}"),
            ("gauge on a shut outlet", build.shown("water.pump.shut_pressure")),
        ),
        drawing=scheme(build, 430),
        sheets=(("Notice for each outlet", notice(build)),),
    )


def pipe_rows(build: Build) -> list[tuple[str, ...]]:
    """Every pipe from the strainer on: length, bore, what is fitted into it, and a blank for when it is cut."""
    fittings = build.value("water.outlets.fittings") or ()

    def listed(line: str) -> str:
        return ", ".join(f"{one.count} x {one.kind}" for one in fittings if one.line == line and one.count) or "none listed"

    shared = ("shared, strainer to tee", _length(build, build.value("water.outlets.shared_length")),
              _length(build, build.value("water.outlets.shared_bore")), listed("shared"), BLANK)
    return [shared, *((f"to {one.name}", _length(build, one.length), _length(build, one.bore), listed(one.name), BLANK)
                      for one in build.value("water.outlets.outlets"))]


def _flow_rows(build: Build) -> list[tuple[str, ...]]:
    return [(row.name, _length(build, row.lift), _flow(build, row.flow), _flow(build, row.blocked), BLANK)
            for row in build.value("water.outlets.by_outlet")]


def in_the_way(build: Build) -> list[tuple[str, str]]:
    """Verdict and label of every check of the water that keeps the notice from being printed."""
    return [
        (f"{MARKS[check.verdict]} {check.verdict}", f"{asks.label}{f': {check.reason}' if check.reason else ''}")
        for path, asks, check in build.checks("water")
        if path.startswith("water.shower.") and path != "water.shower.told" and check.verdict in STOPS
    ]


def notice(build: Build) -> str:
    """The notice, framed to be cut out; or which checks of the water stand in its way."""
    if not known(build, ("water.shower.flush", "water.shower.planned")):
        return "<p>No notice yet: it waits for the water and the flush that is planned.</p>"
    if blocked := in_the_way(build):
        return ("<p class='br-bad'>No notice is printed: these checks of the water stand in the way.</p>"
                + html_table(("verdict", "check"), blocked))
    run = show(build.value("water.shower.planned"), "s", resolution=1, rounding="up", prefs=build.prefs)
    lines = [
        f"Let it run {run} away from you, then feel it: the first water may be hot and stale.",
        "Keep it out of mouth and eyes, and off open wounds.",
        "Not while the water is green, streaked or scummy: a bloom of algae may be poisonous.",
    ]
    head = "Water from a hose" if build.value("water.shower.source") == "mains" else "Not drinking water"
    body = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return (
        "<div style='border:3px solid currentColor;padding:.7em 1em;max-width:150mm;break-inside:avoid'>"
        f"<p style='font-size:1.9em;font-weight:700;margin:0 0 .3em'>{escape(head)}</p>"
        f"<ul style='font-size:1.2em;margin:.2em 0 .4em;padding-left:1.2em'>{body}</ul>"
        f"<p style='margin:0'>{escape(valid_for(build))}</p></div>"
    )


DRAWINGS = {"drawing": scheme, "curves": curves, "goes": goes}

# What the build sheet shows with its doubt.
MAIN = (
    "water.outlets.least_flow",
    "water.suction.highest",
)
