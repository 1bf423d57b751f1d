"""The page of stage 07: which month to fear, how long it lasts, what eats it; charts; the card for the lid of the box."""

from __future__ import annotations

from typing import Any

from kit.build.build import Build
from kit.months import month_named
from kit.notebook.paper import Card
from kit.notebook.power_charts import by_month, eats, year
from kit.notebook.waits import Clause, known, split_clauses
from kit.quantities import Q
from kit.sources import read_table
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "card", "sentence"]

_ENOUGH = ("power.in_against_out.season_ratio", "power.in_against_out.worst_season", "power.panel_yield.energy", "power.loads.energy")


def sentence(build: Build) -> str:
    """The month to fear, days without sun, days without power in drawn years, lamps left on; then what fails or is open."""
    said, missing = split_clauses(build, _CLAUSES)
    parts = [f"{text[:1].upper()}{text[1:]}." for text in said]
    wrong = [asks.label for _, asks, check in build.checks("power") if check.verdict == "fails"]
    if wrong:
        parts.append(f"Fails: {', '.join(wrong)}.")
    if missing:
        parts.append(f"Still open: {', '.join(missing)}.")
    return " ".join(parts)


_CLAUSES: dict[str, Clause] = {
    "energy in against out": (
        _ENOUGH,
        lambda b: f"{b.value('power.in_against_out.worst')} is the month to fear: {_worst(b)}"),
    "days without sun": (
        ("power.days_without_sun.season_days", "power.days_without_sun.winter_days"),
        lambda b: f"a full battery lasts {b.shown('power.days_without_sun.season_days')} without sun in the season and "
                  f"{b.shown('power.days_without_sun.winter_days')} out of it"),
    "the drawn years": (
        ("power.drawn_years.said",), lambda b: f"without power: {b.shown('power.drawn_years.said')}"),
    "the lamps": (("power.lamps_left_on.said",), lambda b: b.shown("power.lamps_left_on.said")),
}


def _worst(build: Build) -> str:
    """What comes and goes in the worst month of the year."""
    place = month_named(build.value("power.in_against_out.worst"))
    comes, goes = (build.value(path)[place] for path in ("power.panel_yield.energy", "power.loads.energy"))
    ratio = show(build.value("power.in_against_out.ratio")[place], "", resolution=0.01)
    return (f"{_wh(build, comes)} a day come in and {_wh(build, goes)} go out, {ratio} times as much; "
            f"{build.shown('power.in_against_out.wanted')} is wanted")


def _wh(build: Build, energy: Any) -> str:
    return show(energy, "Wh", resolution=0.1, prefs=build.prefs)


# -- card -------------------------------------------------------------------------------------------------------------


def card(build: Build) -> Card:
    """How to join it, what to expect on the meter, what to switch off first."""
    if not known(build, ("power.loads.lines", "power.battery.joined", "power.volts.highest")):
        return Card(steps=("The card is ready when loads, panels and battery are entered.",))
    return Card(
        steps=_steps(build),
        tables=(
            ("Loads", ("load", "power", "a day in season", "out of season"), _load_rows(build)),
            *_rest(build),
        ),
        blanks=(
            ("drawn with everything off, ten minutes", _standing(build)),
            ("open volts of the panels at noon", build.shown("power.charging.open_volts")),
            ("their current then, clear sky", build.shown("power.panel_yield.current")),
            ("volts at the battery, charging", build.shown("power.volts.charging")),
            ("cut-off of the regulator", build.shown("power.volts.lowest")),
            ("direction and tilt of each panel", "see step 5"),
        ),
        drawing=by_month(build, 300) if known(build, _ENOUGH) else "",
    )


def _steps(build: Build) -> tuple[str, ...]:
    low, high = build.shown("power.volts.lowest"), build.shown("power.volts.highest")
    return (
        "Battery into its place, poles covered, strapped down; openings low and high free.",
        f"Join it: {build.shown('power.battery.joined')}, {build.shown('power.battery.volts')} in all. "
        "Measure before anything else is joined.",
        "Fuse at the plus pole, left out until the end. Regulator to the battery first, then panels, then loads.",
        f"Everything joined to it has to live with {low} to {high}.",
        f"Set the panels: {_faces(build)}. Look along each at noon: no shade from post, rail or person.",
        f"Switch off first when it is low: {_first_off(build)}.",
    )


def _first_off(build: Build) -> str:
    """Loads that do not run day and night, the hungriest first."""
    lines = sorted(build.value("power.loads.lines"), key=lambda line: -float(line.season.m_as("Wh")))
    return ", ".join(line.name for line in lines if not line.always) or "nothing can be"


def _load_rows(build: Build) -> list[tuple[str, ...]]:
    lines = sorted(build.value("power.loads.lines"), key=lambda line: -float(line.season.m_as("Wh")))
    rows = [
        (line.name, _watts(build, line.power), _wh(build, line.season), _wh(build, line.winter))
        for line in lines
    ]
    return [*rows, ("in all", "", build.shown("power.loads.season"), build.shown("power.loads.winter"))]


def _watts(build: Build, power: Any) -> str:
    return show(power, "W", resolution=0.01 if power.m_as("W") < 1 else 0.1, prefs=build.prefs)


def _rest(build: Build) -> tuple[tuple[str, tuple[str, ...], list[tuple[str, ...]]], ...]:
    """Charge by volts at rest, in two columns, for lead-acid; lithium tells nothing by its volts."""
    if build.value("power.battery.chemistry").startswith("lithium"):
        return ()
    factor = float(build.value("power.battery.volts").m_as("V")) / 12
    every = [(f"{float(r['volts']) * factor:.2f} V", f"{r['charge']} %") for r in read_table("battery_rest")]
    third = -(-len(every) // 3)
    every += [("", "")] * (3 * third - len(every))
    rows: list[tuple[str, ...]] = [(*every[n], *every[n + third], *every[n + 2 * third]) for n in range(third)]
    return (("Charge by volts, three hours after sun and loads", ("volts", "charge") * 3, rows),)


def _standing(build: Build) -> str:
    always = build.value("power.loads.always") / build.value("power.loads.volts")
    return show(Q(always.m_as("mA"), "mA"), "mA", resolution=1, prefs=build.prefs)


def _faces(build: Build) -> str:
    rows = build.value("power.panels.faces") or ()
    return "; ".join(
        f"{one.name} {show(one.azimuth, 'deg', resolution=1)} from north, tilt {show(one.tilt, 'deg', resolution=1)}"
        for one in rows
    )


DRAWINGS = {"drawing": by_month, "year": year, "eats": eats}

# What the build sheet shows with its doubt.
MAIN = (
    "power.in_against_out.season_ratio",
    "power.in_against_out.winter_ratio",
    "power.days_without_sun.season_days",
    "power.days_without_sun.winter_days",
)
