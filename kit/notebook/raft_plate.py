"""The plate with the raft's limits: there only while no check of the raft fails, is open or could not be taken."""

from __future__ import annotations

from kit.build.build import Build
from kit.notebook.paper import valid_for
from kit.notebook.raft_plan import mm
from kit.notebook.text import MARKS, escape, html_table
from kit.workshop import show

__all__ = ["WORDING", "in_the_way", "plate", "plate_rows"]

WORDING = "Worked out, not certified. Test it in shallow water with sandbags before anybody stands on it."
STOPS = ("fails", "open", "not covered")


def in_the_way(build: Build) -> list[tuple[str, str]]:
    """Verdict and label, with the reason, of everything that keeps the plate from being printed."""
    blocked = [
        (f"{MARKS[check.verdict]} {check.verdict}", f"{asks.label}{f': {check.reason}' if check.reason else ''}")
        for _, asks, check in build.checks("raft") if check.verdict in STOPS
    ]
    # What the kit offers when nothing is entered is nobody's answer: a plate must not say it.
    if _has_lids(build) and "brief.lid_wind" not in build.now.entries:
        blocked.append((f"{MARKS['open']} open", "the wind above which the lids are shut is not entered"))
    return blocked


def _has_lids(build: Build) -> bool:
    return "lids" in build.graph.stages


def plate(build: Build) -> str:
    """The plate, framed to be cut out; or which checks stand in its way."""
    if blocked := in_the_way(build):
        return (
            "<p class='br-bad'>No limits plate is printed: these checks of the raft stand in the way.</p>"
            + html_table(("verdict", "check"), blocked)
        )
    rows = "".join(
        f"<tr><td style='padding:.25em 1em .25em 0'>{escape(what)}</td><td style='padding:.25em 0'><b>{escape(value)}</b></td></tr>"
        for what, value in plate_rows(build)
    )
    return (
        "<div style='border:3px solid currentColor;padding:.7em 1em;max-width:150mm;break-inside:avoid'>"
        f"<p style='font-size:1.5em;font-weight:700;margin:0 0 .3em'>Limits of {escape(build.name)}</p>"
        f"<table style='font-size:1.15em;border-collapse:collapse'>{rows}</table>"
        f"<p style='font-weight:700;margin:.6em 0 .3em'>{WORDING}</p>"
        f"<p style='margin:0'>{escape(valid_for(build))}</p></div>"
    )


def plate_rows(build: Build) -> list[tuple[str, str]]:
    """What may be aboard and where, which case governs, and what has to be done about wind and water."""
    prefs = build.prefs
    person = show(build.value("brief.person_mass"), "kg", resolution=1, rounding="down", prefs=prefs)
    deck = mm(build, min(build.value(f"raft.crowd.{kind}_deck") for kind in ("edge", "corner", "aboard")), "down")
    tilt = show(build.value("raft.crowd.tilt"), "deg", resolution=0.1, rounding="up", prefs=prefs)
    rows = [
        ("people aboard", f"at most {build.shown('brief.people')}, of {person} each"),
        ("at one edge or corner", f"at most {build.shown('brief.sharing')} of them"),
        ("worst place", f"{build.value('raft.crowd.worst')}: lowest deck edge {deck} above water; tilt anywhere {tilt} at most"),
        ("held against", f"{_criterion(build)}; raft wet through, still water"),
    ]
    if _has_lids(build):
        wind = show(build.value("brief.lid_wind"), "m/s", resolution=0.1, rounding="down", prefs=prefs)
        rows.append(("wind", f"close the lids above {wind}"))
    water = build.value("brief.depth.words") or "No head-first entry."
    return [*rows, ("water", f"{water} Nobody swims under it, in the dark or in thunder.")]


def _criterion(build: Build) -> str:
    chosen = str(build.value("raft.crowd.criterion"))
    if chosen in ("none", "reservoir owner's rule"):
        return "no published rule; it comes to rest and no deck edge goes under"
    named = chosen.replace("borrowed yardstick", "borrowed yardstick, outside its scope")
    return named if "scope" in named else f"{named}; made for other craft, it certifies no private raft"
