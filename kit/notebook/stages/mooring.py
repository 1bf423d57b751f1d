"""The page of stage 11: what holds it in a sentence, plan, side and load, and the card for the day of the launch."""

from __future__ import annotations

import math
from typing import Any

from kit.build.build import Build
from kit.notebook.mooring_plan import leg_side, load_curve, metres, mooring_plan
from kit.notebook.paper import Card
from kit.notebook.raft_plan import CORNERS, mm
from kit.notebook.stages.raft import expected
from kit.notebook.text import escape, html_table
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "card", "floated_form", "lost_legs", "sentence"]

READY = ("mooring.leg.distance", "mooring.legs_together.pull", "raft.afloat.end_right")
BLANK = "________"
# Checks named in the sentence; the table has them all.
NAMED = 3


def sentence(build: Build) -> str:
    """What pushes, what holds, what a lost leg does, how it was found afloat; then what fails or is open."""
    said, missing = split_clauses(build, _CLAUSES)
    parts = [f"{text[:1].upper()}{text[1:]}." for text in said]
    wrong = [asks.label for _, asks, check in build.checks("mooring") if check.verdict == "fails"]
    if wrong:
        more = f" and {len(wrong) - NAMED} more" if len(wrong) > NAMED else ""
        parts.append(f"Fails: {'; '.join(wrong[:NAMED])}{more}.")
    if missing:
        parts.append(f"Still open: {', '.join(missing)}.")
    return " ".join(parts)


def _pushes(build: Build) -> str:
    return (f"a gust of {build.shown('brief.gust')} with waves of {build.shown('mooring.load.wave_height')} pushes with "
            f"{build.shown('mooring.load.worst')} at most, from {build.value('mooring.load.worst_from')}")


def _holds(build: Build) -> str:
    proved = build.value("mooring.pull_test.least")
    test = (f"the weakest was seen to hold {build.shown('mooring.pull_test.least')}" if _there(proved)
            else "not all have been pulled yet")
    return (f"one leg takes all of it: the new rope needs {build.shown('mooring.gear.need')} of "
            f"{build.shown('mooring.rope.new_breaking')}, and each anchor has to be pulled to {build.shown('mooring.pull_test.needed')}; {test}")


def _parts(build: Build) -> str:
    if not _there(build.value("mooring.legs_together.drift")):
        return "if its one leg parts it drifts off"
    return (f"if a leg parts in that weather the next one pulls with {build.shown('mooring.legs_together.lost_pull')} and the raft goes "
            f"{build.shown('mooring.legs_together.drift')}")


def _rests(build: Build) -> str:
    return (f"at rest the legs pull it down by {build.shown('mooring.leg.pull_down')}, at high water by "
            f"{build.shown('mooring.leg.pull_down_high')}")


def _there(value: Any) -> bool:
    return value is not None and math.isfinite(value.magnitude)


_CLAUSES: dict[str, Clause] = {
    "what wind and waves push with": (("brief.gust", "mooring.load.worst"), _pushes),
    "rope and anchors": (("mooring.gear.need", "mooring.pull_test.needed"), _holds),
    "a leg that parts": (("mooring.legs_together.pull", "mooring.legs_together.lost_pull"), _parts),
    "the legs at rest": (("mooring.leg.pull_down",), _rests),
}


# -- tables -----------------------------------------------------------------------------------------------------------


def lost_legs(build: Build) -> str:
    """Each leg lost in turn, in the weather it held against."""
    needs(build, {"the legs and the load": ("mooring.legs_together.cases",)})
    return html_table(
        ("leg that parts", "load from its direction", "pull in the next leg", "which one", "the raft goes"),
        [(case.name, _newtons(build, case.load), _newtons(build, case.lost_pull), case.lost_leg,
          show(case.drift, "m", resolution=0.1, rounding="up", prefs=build.prefs) if _there(case.drift) else "off")
         for case in build.value("mooring.legs_together.cases")],
    )


def floated_form(build: Build) -> str:
    """Freeboards to expect and what was read, then what follows from it."""
    needs(build, {"how it lies": ("raft.afloat.end_right",)})
    table = html_table(("corner", "expect", "nine in ten lie between", "read"), _corner_rows(build))
    said, row = (build.value(f"mooring.floated.{name}") for name in ("says", "proposal"))
    if not said:
        return table
    whole = build.value("mooring.floated.mass")
    return f"{table}<p>{escape(said)}</p>" + (f"<p>Row to enter: {escape(row)}</p>" if _there(whole) else "")


def _newtons(build: Build, force: Any) -> str:
    return show(force, "N", resolution=10, rounding="up", prefs=build.prefs)


def _corner_rows(build: Build) -> list[tuple[str, ...]]:
    ranges = expected(build)
    rows: list[tuple[str, ...]] = []
    entries = {"end_right": "named_right", "end_left": "named_left", "other_right": "other_right", "other_left": "other_left"}
    for name, (along, across) in CORNERS.items():
        low_high = ranges.get(name)
        between = "record it first" if low_high is None else f"{mm(build, low_high[0], 'down')} and {mm(build, low_high[1], 'up')}"
        read = build.value(f"mooring.floated.{entries[name]}")
        corner = f"{build.shown('brief.named_end') if along > 0 else 'other end'}, {'right' if across > 0 else 'left'}"
        rows.append((corner, mm(build, build.value(f"raft.afloat.{name}"), "down"), between, BLANK if read is None else mm(build, read)))
    return rows


# -- card -------------------------------------------------------------------------------------------------------------


def card(build: Build) -> Card:
    """Plan and list of the legs, the pull test, launch steps with what stops each, and the form for what was floated."""
    if not known(build, READY) or not _there(build.value("raft.afloat.end_right")):
        return Card(steps=("The card is ready when wind, legs and floats are entered and the raft comes to rest.",))
    return Card(
        steps=(
            f"Anchors: set each at its place. Pull it along the bottom to {build.shown('mooring.pull_test.needed')} and hold a minute; nobody in line with "
            "the rope. It creeps: set it again or deeper. Stop the launch until all hold.",
            "Legs: chain to the anchor, rope to the chain by thimble and shackle, every pin moused with wire. Buoy the free ends.",
            "Ashore: leak test done, floats dry, every part weighed. Stop when a float lost pressure.",
            f"To the water: {_word(build)} Pull up to {build.shown('mooring.skids.up_pull')}, hold back {build.shown('mooring.skids.hold_back')}. "
            "Stop when anybody stands below it.",
            f"Float it off: it floats free with {build.shown('mooring.float_off.depth_needed')} at its shallow end; hands and feet clear of the shallow end, "
            "which carries more until then. Stop in wind, in the dark, or when one person is alone.",
            f"Frame onto floats in knee-deep water: {_refused(build)}",
            f"Make fast at the usual level: each leg to {build.shown('mooring.leg.preload')} by a spring balance at the cleat.",
            "Flat calm, nobody aboard: read the four freeboards (last sheet). Outside the range shown: stop, look for water in that float, then "
            "for mass that is not on the list.",
        ),
        tables=(
            ("Legs", ("leg", "direction", "anchor from the cleat", "rope, chain", "pull test", "held, date"), _leg_rows(build)),
            ("From the cleat down, each leg", ("piece", "what", "carries", "checked"), _gear_rows(build)),
        ),
        blanks=(
            ("depth at the anchors, at the level of the day", build.shown("mooring.leg.depth")),
            ("pull of each leg at rest, at the cleat", build.shown("mooring.leg.preload")),
        ),
        sheets=(("The mooring from above", mooring_plan(build)), ("One leg, from the side", leg_side(build)),
                ("As floated", _floated_sheet(build))),
    )


def _floated_sheet(build: Build) -> str:
    """What is read afloat: freeboards, then an inclining test."""
    readings = [(n, side, BLANK, BLANK, BLANK) for n, side in (("1", "right"), ("2", "left"), ("3", "right"), ("4", "left"))]
    return (
        "<p>Flat calm, nobody aboard, legs made fast as in step 7 (their pull is in the figures). Deck top to water at each corner, the mean of three. Then type them in: the page says how much "
        f"heavier it is, and where.</p>{html_table(('corner', 'expect', 'nine in ten lie between', 'read'), _corner_rows(build))}"
        "<p>Inclining: legs slack. One person, weighed, stands in the middle, then at a mark to one side and still; a long pendulum hangs in a bucket of water. "
        f"Pendulum {build.shown('mooring.inclined.pendulum')}.</p>"
        f"{html_table(('no', 'moved to the', 'mass', 'how far', 'swing of the pendulum'), readings)}"
    )


def _word(build: Build) -> str:
    said = build.value("mooring.skids.words")
    return f"on the slope {said}." if said else "one person gives the word."


def _refused(build: Build) -> str:
    lifts = [row for row in build.value("mooring.lifting.judged") or () if not _there(row.share)]
    if not lifts:
        return "float it, do not lift it."
    return " ".join(f"{row.name}: {row.words}." for row in lifts[:2])


def _leg_rows(build: Build) -> list[tuple[str, ...]]:
    lengths = f"{metres(build, build.value('mooring.leg.rope'))}, {metres(build, build.value('mooring.leg.chain'))}"
    return [
        (leg.name, show(leg.bearing, "deg", resolution=1, prefs=build.prefs), metres(build, build.value("mooring.leg.distance")), lengths,
         build.shown("mooring.pull_test.needed"), BLANK) for leg in build.value("mooring.leg.legs")
    ]


def _gear_rows(build: Build) -> list[tuple[str, ...]]:
    rope = f"{build.shown('mooring.rope.diameter')} {build.value('mooring.rope.fibre')}, {build.shown('mooring.leg.rope')}"
    return [
        ("cleat", f"{build.shown('mooring.cleats.bolts')} bolts {build.shown('mooring.cleats.diameter')}, washers "
         f"{build.shown('mooring.cleats.washer')}", build.shown("mooring.cleats.limit"), BLANK),
        ("rope, with anti-chafe where it touches", rope, f"{build.shown('mooring.rope.working')} wet and knotted", BLANK),
        ("thimble and shackle, moused", f"{build.shown('mooring.shackles_each')} shackles a leg", build.shown("mooring.gear.shackle_limit"), BLANK),
        ("chain", build.shown("mooring.leg.chain"), build.shown("mooring.gear.chain_working"), BLANK),
        ("anchor", build.value("mooring.pull_test.kind") or "kind not chosen yet", f"to be pulled to {build.shown('mooring.pull_test.needed')}", BLANK),
    ]


DRAWINGS = {"drawing": mooring_plan, "side": leg_side, "load": load_curve, "lost": lost_legs, "floated": floated_form}

# What the build sheet shows with its doubt.
MAIN = (
    "mooring.load.worst",
    "mooring.storm.tension",
    "mooring.storm.anchor_pull",
)
