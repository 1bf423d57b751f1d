"""The page of stage 10: how it lies in a sentence, plan and section, people by spot, the limits plate, the launch card."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

import numpy as np

from kit.build.build import Build
from kit.build.doubt import sample
from kit.handed import Part
from kit.notebook.paper import Card
from kit.notebook.raft_curves import lever_chart, spread_chart, thickness_chart, tilt_chart
from kit.notebook.raft_map import freeboard_map
from kit.notebook.raft_plan import CORNERS, launch, mm, plan, worded
from kit.notebook.raft_plate import plate
from kit.notebook.raft_section import section
from kit.notebook.text import escape, html_table
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "card", "cells", "expected", "levers", "sentence", "spots"]

# Samples for the range of a freeboard; nine tenths of them lie between the two ends shown.
SAMPLES, LOW, HIGH = 400, 5, 95
READY = ("frame.deck.top", "raft.afloat.end_right", "raft.crowd.spots", "raft.ballast.filled")
BLANK = "________"
# Checks named in the sentence; the table has them all.
NAMED = 3


def sentence(build: Build) -> str:
    """How deep and level it lies, what people do to it, what a leak does; then what fails or is open."""
    said, missing = split_clauses(build, _CLAUSES)
    parts = [f"{text[:1].upper()}{text[1:]}." for text in said]
    wrong = [asks.label for _, asks, check in build.checks("raft") if check.verdict == "fails"]
    if wrong:
        more = f" and {len(wrong) - NAMED} more" if len(wrong) > NAMED else ""
        parts.append(f"Fails: {'; '.join(wrong[:NAMED])}{more}.")
    if missing:
        parts.append(f"Still open: {', '.join(missing)}.")
    return " ".join(parts)


def _lies(build: Build) -> str:
    if not _there(build.value("raft.afloat.draft")):
        why = build.check("raft.afloat.comes_to_rest").reason
        return f"it does not lie upright by its own weight{f' ({why})' if why else ''}"
    return (
        f"unloaded it sits {mm(build, build.value('raft.afloat.draft'), 'up')} deep with its deck edge "
        f"{mm(build, build.value('raft.afloat.deck_edge'), 'down')} above water, {build.value('raft.afloat.lies')}"
    )


def _crowded(build: Build) -> str:
    worst, sharing = str(build.value("raft.crowd.worst")), build.shown("brief.sharing")
    carries = min(float(spot.carries.magnitude) for spot in build.value("raft.crowd.spots")[4:])
    corner = f"a corner carries {'1 person' if carries == 1 else f'{carries:.0f} people'} before an edge is wet"
    edges = [build.value(f"raft.crowd.{kind}_deck") for kind in ("edge", "corner", "aboard")]
    if not all(map(_there, edges)):
        return f"with {sharing} people at one place it does not come to rest ({worst.partition(':')[0]}); {corner}"
    left = mm(build, min(edges), "down")
    return f"with {sharing} people at the worst place ({worst}) the lowest deck edge is {left} above water; {corner}"


def _leaks(build: Build) -> str:
    if not _there(build.value("raft.flooded.deck_edge")):
        return f"with one compartment flooded it may turn over or sink ({build.value('raft.flooded.worst')})"
    return (
        f"with its worst compartment flooded and people at that edge {mm(build, build.value('raft.flooded.deck_edge'), 'down')} "
        f"are left and it tilts {build.shown('raft.flooded.tilt')}"
    )


def _there(value: Any) -> bool:
    return value is not None and math.isfinite(value.magnitude)


_CLAUSES: dict[str, Clause] = {
    "how deep and how level it lies": (("raft.afloat.draft",), _lies),
    "people at an edge or in a corner": (("raft.crowd.spots", "brief.sharing"), _crowded),
    "one compartment flooded": (("raft.flooded.worst",), _leaks),
}


# -- tables -----------------------------------------------------------------------------------------------------------


def spots(build: Build) -> str:
    """People by spot: how far it tilts with all who may share it, what is left at the edge, how many it carries."""
    needs(build, {"the people and the floats": ("raft.crowd.spots",)})
    end, sharing = build.shown("brief.named_end"), build.shown("brief.sharing")
    return html_table(
        ("spot", "lengthwise", "across", f"tilt with {sharing} there", "lowest deck edge then", "people before an edge is wet, up to 12"),
        [(s.name, _way(build, s.x, ("other end", end)), _way(build, s.y, ("left", "right")), _deg(build, s.tilt),
          _edge(build, s.deck_edge), f"{float(s.carries.magnitude):.0f}") for s in build.value("raft.crowd.spots")],
    )


def cells(build: Build) -> str:
    """Compartment by compartment: flooded, with people at the edge nearest to it."""
    needs(build, {"the floats and the people": ("raft.flooded.cells",)})
    return html_table(
        ("flooded", "tilt", "lowest deck edge"),
        [(c.name, _deg(build, c.tilt), _edge(build, c.deck_edge))
         for c in (*build.value("raft.flooded.cells"), *(build.value("raft.flooded.pairs") or ()))],
    ) + _cure(build)


def _cure(build: Build) -> str:
    """The rule of design, only when a lost compartment is too much."""
    wrong = [build.check(f"raft.flooded.{name}").verdict for name in ("stays_up", "freeboard", "pair_stays_up")]
    return f"<p class='br-bad'>{escape(build.value('raft.flooded.rule'))}</p>" if "fails" in wrong else ""


def levers(build: Build, most: int = 10) -> str:
    """What pulls it off level: the greatest moments about the middle, biggest first; the floats as one, for they come in pairs."""
    needs(build, {"the masses": ("raft.weight.weighed", "raft.afloat.outlines")})
    end, names = build.shown("brief.named_end"), {one.name for one in build.value("raft.afloat.outlines")}
    floats = [row for row in build.value("raft.weight.weighed") if row.name in names]
    rows = [(row.name, row.mass, row.moment_x, row.moment_y) for row in build.value("raft.weight.weighed") if row.name not in names]
    mass, along, across = (sum((getattr(row, field) for row in floats), Q(0, unit)) for field, unit in (
        ("mass", "kg"), ("moment_x", "kg*m"), ("moment_y", "kg*m")))
    rows.append(("all floats together", mass, along, across))
    rows.sort(key=lambda row: -math.hypot(row[2].m_as("kg*m"), row[3].m_as("kg*m")))
    return html_table(
        ("part, with the stage it comes from", "mass", "pulls lengthwise", "pulls across"),
        [(name, show(mass, "kg", prefs=build.prefs), _pull(build, x, (f"{end} down", "other end down")),
          _pull(build, y, ("right down", "left down"))) for name, mass, x, y in rows[:most]],
    )


def _pull(build: Build, moment: Quantity, ways: tuple[str, str]) -> str:
    if abs(moment.m_as("kg*m")) < 0.05:
        return "–"
    return f"{ways[0] if moment.magnitude > 0 else ways[1]}, {show(abs(moment), 'kg*m', resolution=0.1, prefs=build.prefs)}"


def _deg(build: Build, angle: Quantity) -> str:
    return show(angle, "deg", resolution=0.1, rounding="up", prefs=build.prefs) if _there(angle) else "does not come to rest"


def _edge(build: Build, height: Quantity) -> str:
    return mm(build, height, "down") if _there(height) else "does not come to rest"


# -- card -------------------------------------------------------------------------------------------------------------


def card(build: Build) -> Card:
    """Launch day: leak tests, float places, ballast, four freeboards to read, sandbags before people; then two more sheets."""
    if not known(build, READY) or not _there(build.value("raft.afloat.end_right")):
        return Card(steps=("The card is ready when floats, masses, people and places for ballast are entered and it comes to rest.",))
    return Card(
        steps=(
            "Weigh every part (last sheet). What is off by more than a tenth is entered before launch day.",
            "Leak-test each compartment on its own (next sheet), before anything is built over it.",
            "Fix the floats at the distances of the table, from the middle line of the deck.",
            "Launch into knee-deep water, nobody aboard. Place the ballast. Read the four freeboards with a rule, deck top to water.",
            "One corner off by more than the range shown: look for water in that float, then for mass that is not on the list.",
            f"Before anybody stands on it: {_sandbags(build)} of sandbags at the worst place ({build.value('raft.crowd.worst')}). They lie lower than "
            f"people stand, so it must tilt less than {_deg(build, build.value('raft.crowd.tilt'))}; stop when an edge goes under.",
        ),
        tables=(
            ("Freeboard to expect, deck top to water, nobody aboard", ("corner", "expect", "nine in ten lie between", "read"),
             _freeboards(build)),
            ("Floats", ("float", "its middle", "axis below the frame", "mass", "girth, mass measured"), _float_rows(build)),
            ("Ballast", ("", "place, from the middle of the deck", "mass", "weighed"), _ballast_rows(build)),
        ),
        drawing=launch(build, 330),
        sheets=(("Leak test", _leak_log(build)), ("Limits plate", plate(build)), ("Weigh list", _weigh_list(build))),
    )


def _sandbags(build: Build) -> str:
    group = build.value("brief.sharing") * build.value("brief.person_mass")
    return show(group, "kg", resolution=1, rounding="up", prefs=build.prefs)


def expected(build: Build) -> dict[str, tuple[Quantity, Quantity]]:
    """The range of each corner's freeboard from the gives and takes; nothing while entries are tried and not recorded.

    Samples take longer than a reader waits after every key, so they are drawn once for each state of the record.
    """
    return {} if build.is_tried else _ranges(_Recorded(build))


class _Recorded:
    """A build as recorded, alike for every page that holds the same record."""

    def __init__(self, build: Build) -> None:
        self.build, self.checksum = build, build.content.checksum

    def __hash__(self) -> int:
        return hash(self.checksum)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Recorded) and self.checksum == other.checksum


@lru_cache(maxsize=2)
def _ranges(recorded: _Recorded) -> dict[str, tuple[Quantity, Quantity]]:
    worked = recorded.build.recorded
    lies = sample(recorded.build.graph, worked.values, worked.entries, count=SAMPLES, seed=1)["raft.afloat"].result
    found = {}
    for name in CORNERS:
        heights = np.atleast_1d(getattr(lies, name).m_as("m"))
        low, high = np.nanpercentile(heights, (LOW, HIGH))
        found[name] = (Q(float(low), "m"), Q(float(high), "m"))
    return found


def _freeboards(build: Build) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    ranges = expected(build)
    end = build.shown("brief.named_end")
    for name, (along, across) in CORNERS.items():
        corner = f"{end if along > 0 else 'other end'}, {'right' if across > 0 else 'left'}"
        low_high = ranges.get(name)
        between = "record it first" if low_high is None else f"{mm(build, low_high[0], 'down')} and {mm(build, low_high[1], 'up')}"
        rows.append((corner, mm(build, build.value(f"raft.afloat.{name}"), "down"), between, BLANK))
    return rows


def _float_rows(build: Build) -> list[tuple[str, ...]]:
    masses = {part.name: part.mass for _, part in build.handed(Part, "raft")}
    rows: list[tuple[str, ...]] = []
    for one in build.value("raft.afloat.floats"):
        below = mm(build, abs(one.z)) if one.z.magnitude <= 0 else f"{mm(build, one.z)} above"
        rows.append((one.name, worded(build, one.x, one.y), below, show(masses[one.name], "kg", prefs=build.prefs), f"{BLANK} {BLANK}"))
    return rows


def _ballast_rows(build: Build) -> list[tuple[str, ...]]:
    placed = build.value("raft.weight.ballast") or ()
    rows = [(f"B{n}", f"{worded(build, row.x, row.y)} ({row.name})", show(row.mass, "kg", prefs=build.prefs), BLANK)
            for n, row in enumerate(placed, start=1)]
    needed = show(build.value("raft.ballast.total"), "kg", rounding="up", prefs=build.prefs)
    return [*rows, ("", "needed in all, if every mass is as listed", needed, "")]


def _leak_log(build: Build) -> str:
    """A line for each compartment."""
    rows = [(one.name, f"{cell} of {one.cells}", "___ bar", "___ bar", "dry / bubbles", BLANK)
            for one in build.value("raft.afloat.floats") for cell in range(1, one.cells + 1)]
    head = ("float", "compartment", "at the start", "after 30 minutes", "seams with soap", "date, who")
    return (
        "<p>0.05 bar of air, soap on every seam, 30 minutes out of the sun. Never above 0.1 bar: air under pressure in plastic "
        f"bursts. Stand to the side of the end caps.</p>{html_table(head, rows)}"
    )


def _weigh_list(build: Build) -> str:
    """Every part with its planned mass and place, heaviest first, and a blank; what weighs nothing on a scale is left out."""
    end = build.shown("brief.named_end")
    parts = sorted((part for _, part in build.handed(Part) if part.mass.m_as("kg") >= 0.05), key=lambda part: -part.mass.m_as("kg"))
    return html_table(
        ("part", "planned", "centre, lengthwise", "across", "to frame underside", "weighed"),
        [(part.name, show(part.mass, "kg", prefs=build.prefs), _way(build, part.x, ("other end", end)),
          _way(build, part.y, ("left", "right")), _way(build, part.z, ("below", "above")), BLANK) for part in parts],
    )


def _way(build: Build, size: Quantity, ways: tuple[str, str]) -> str:
    """A length from the datum with its way in words: a sign alone is misread."""
    if abs(size.m_as("mm")) < 0.5:
        return "middle" if "below" not in ways else "level with it"
    # On one line: a list of thirty parts has to stay on one sheet.
    return f"{mm(build, abs(size))} {ways[1] if size.magnitude > 0 else ways[0]}".replace(" ", "\N{NO-BREAK SPACE}")


DRAWINGS = {
    "drawing": plan, "section": section, "spots": spots, "cells": cells, "levers": levers, "launch": launch,
    "plate": plate, "lever": lever_chart, "map": freeboard_map, "stiffness": spread_chart, "tilt": tilt_chart,
    "thickness": thickness_chart,
}

# What the build sheet shows with its doubt.
MAIN = (
    "raft.afloat.draft",
    "raft.afloat.deck_edge",
    "raft.afloat.list",
    "raft.afloat.trim",
    "raft.crowd.corner_deck",
    "raft.crowd.tilt",
    "raft.flooded.deck_edge",
)
