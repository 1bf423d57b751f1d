"""What draws on the battery: each load by its power and its hours, month by month."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit import sky
from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, open_check
from kit.climate import MonthName
from kit.handed import Load
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text, YesNo
from kit.load_hours import Clock, Duty, Take, handed_take, own_take
from kit.months import MONTH, Year, in_season
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["DrawnLoad", "LoadLine", "PowerLoads", "load_cells", "power_loads"]


@row
class DrawnLoad:
    """A load of your own: its power, or its current, and when it runs."""

    name: Annotated[str, Text("load", "lamps")]
    pieces: Annotated[int, Count("of them", 1, ge=1, le=1000)] = 1
    power: Annotated[
        Quantity | None,
        In("W", "power of one while it runs", 0.6, ge=0, le=5000, resolution=0.01, find="label, or volts times amps"),
    ] = None
    current: Annotated[
        Quantity | None,
        In(
            "mA",
            "or its current, at the volts of the build",
            50,
            ge=0,
            le=400_000,
            resolution=0.1,
            find="meter in series for ten minutes; a pump: clamp meter, running",
        ),
    ] = None
    duty: Annotated[Duty, Choice("how long it runs", "hours a day")] = "hours a day"
    season: Annotated[Quantity | None, In("h", "hours a day in the season, for 'hours a day'", 3, ge=0, le=24)] = None
    winter: Annotated[
        Quantity | None, In("h", "hours a day out of the season, for 'hours a day'", 0.5, ge=0, le=24)
    ] = None
    runs: Annotated[Quantity | None, In("1", "runs a day, for 'runs a day'", 4, ge=0, le=10_000)] = None
    run: Annotated[Quantity | None, In("min", "length of one run, for 'runs a day'", 3, ge=0, le=1440)] = None
    begins: Annotated[Quantity | None, In("h", "hour of the day it begins, for 'by the clock'", 18, ge=0, le=24)] = None
    ends: Annotated[
        Quantity | None,
        In("h", "hour of the day it ends, for 'by the clock' and 'from dusk until'", 23, ge=0, le=24),
    ] = None
    when: Annotated[Literal["all year", "in season", "out of season"], Choice("part of the year", "all year")] = (
        "all year"
    )
    dark: Annotated[bool, YesNo("runs only after sunset")] = False
    start: Annotated[
        Quantity | None,
        In("A", "current at the moment it starts", 9, ge=0, le=2000, find="clamp meter that holds the peak"),
    ] = None
    standby: Annotated[
        Quantity | None,
        In("mA", "current of one while it does not run", 1, ge=0, le=20_000, resolution=0.1, find="meter in series"),
    ] = None


@result
class LoadLine:
    """One load and what it takes."""

    name: Annotated[str, Text("load", "lamps")]
    power: Annotated[Quantity, Out("W", "power while it runs", resolution=0.01)]
    season: Annotated[Quantity, Out("Wh", "a day in the season", resolution=0.1)]
    winter: Annotated[Quantity, Out("Wh", "a day out of the season", resolution=0.1)]
    standby: Annotated[Quantity, Out("Wh", "of that while it does not run", resolution=0.1)]
    dark: Annotated[bool, YesNo("runs only after sunset")]
    always: Annotated[bool, YesNo("runs day and night")]


@result
class PowerLoads:
    """What the battery has to give on a mean day of every month."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    energy: Annotated[Quantity, Out("Wh", "drawn on a mean day", over="month", resolution=0.1)]
    season: Annotated[Quantity, Out("Wh", "drawn on a day in the season", resolution=0.1)]
    winter: Annotated[Quantity, Out("Wh", "drawn on a day out of the season", resolution=0.1)]
    season_charge: Annotated[Quantity, Out("Ah", "charge of a day in the season", resolution=0.01, rounding="up")]
    winter_charge: Annotated[Quantity, Out("Ah", "charge of a day out of it", resolution=0.01, rounding="up")]
    always: Annotated[Quantity, Out("W", "drawn day and night, standby included", resolution=0.01, rounding="up")]
    lamps: Annotated[Quantity, Out("W", "power of all that runs only after sunset", resolution=0.1, rounding="up")]
    together: Annotated[Quantity, Out("A", "current if everything runs at once", resolution=0.1, rounding="up")]
    peak: Annotated[
        Quantity, Out("A", "current if the hungriest starts while everything runs", resolution=0.1, rounding="up")
    ]
    quiet: Annotated[
        Quantity, Out("percent", "share of the day in the season that is drawn day and night", resolution=1)
    ]
    biggest: Annotated[str, Says("what eats most in the season")]
    biggest_winter: Annotated[str, Says("what eats most out of the season")]
    lines: Annotated[tuple[LoadLine, ...], Rows("loads one by one")]
    standby_listed: Annotated[Check, Asks("something is listed that draws day and night", "practice")]


@calculator("practice", "sandia-handbook", "klein-1977")
def power_loads(
    *,
    volts: Annotated[
        Quantity,
        In(
            "V",
            "volts of the build",
            12,
            chosen=True, ge=1,
            le=60,
            basis="data sheet",
            find="printed on pump and regulator; 12, 24 or 48 V",
        ),
    ],
    own: Annotated[Sequence[DrawnLoad], Rows("loads", most=60, find="what eats it? regulator and logger too")] = (),
    others: Annotated[Sequence[Load], Rows("loads handed on by other stages", most=60)] = (),
    season_begins: Annotated[MonthName, Choice("first month of the season", "April")] = "April",
    season_ends: Annotated[MonthName, Choice("last month of the season", "October")] = "October",
    latitude: Annotated[Quantity, In("deg", "latitude, north positive", 54.5, ge=-66, le=66)] = Q(50, "deg"),
    clock_ahead: Annotated[
        Quantity,
        In(
            "h",
            "how far the clock is ahead of the sun",
            0,
            out_by="0.1 h", ge=-3,
            le=4,
            resolution=0.1,
            find="when is the sun highest? minus 12; summer time adds one",
        ),
    ] = Q(0, "h"),
    wiring: Annotated[
        Quantity,
        In(
            "percent",
            "share that reaches the load through wires and converters",
            100,
            ge=30,
            le=100,
            find="100 where the yield factor of the panels has the losses in it: count them once",
        ),
    ] = Q(100, "percent"),
) -> PowerLoads:
    """Sum power times hours over the loads, for a mean day of every month.

    E = sum of P t / n over running time and standby, n the share that reaches
    the load.  Power is taken as given or as current times volts; a converter
    that draws more current as the volts fall is a load given by its power.

    >>> lamps = DrawnLoad(name="lamps", pieces=6, power=Q("0.6 W"), season=Q("3 h"), winter=Q("30 min"))
    >>> drawn = power_loads(volts=Q("12 V"), own=[lamps])
    >>> round(float(drawn.season.m_as("Wh")), 1), round(float(drawn.winter.m_as("Wh")), 1)
    (10.8, 1.8)
    """
    require(bool(own or others), "list at least one load, such as a regulator with 8 mA", "own")
    year = Year(volts, latitude, clock_ahead, wiring, *load_cells(own, others))
    place, ahead = np.radians(year.si(latitude, "deg")), year.si(clock_ahead, "h")
    night = 24 - 24 / np.pi * sky.sunset(place, sky.cooper(sky.MEAN_DAYS))
    season = in_season(season_begins, season_ends)
    clock = Clock(night, ahead, season)
    takes = [own_take(year, one, volts, clock) for one in own] + [
        handed_take(year, one, volts, clock) for one in others
    ]
    return _summed(year, takes, volts, year.si(wiring, ""), season)


def load_cells(own: Sequence[DrawnLoad], others: Sequence[Load]) -> list[Any]:
    """Every quantity of some loads, to see whether any is sampled."""
    names = ("power", "current", "season", "winter", "runs", "run", "begins", "ends", "start", "standby")
    mine = [getattr(one, name) for one in own for name in names]
    return mine + [cell for one in others for cell in (one.power, one.season, one.winter, one.start)]


def _summed(year: Year, takes: Sequence[Take], volts: Quantity, reaches: Any, season: Any) -> PowerLoads:
    v = year.si(volts, "V")
    days = [(one.power * one.hours + one.standing) / reaches for one in takes]
    energy = np.sum(np.broadcast_arrays(*days), axis=0)
    running = [one.power / v for one in takes]
    everything = sum(running, np.zeros((1, 1))) / reaches
    extra = np.max(np.broadcast_arrays(*(one.surge - r for one, r in zip(takes, running, strict=True))), axis=0)
    in_it, out_of_it = _mean_over(energy, season), _mean_over(energy, ~season)
    steady = sum((one.power if one.always else one.waits for one in takes), np.zeros((1, 1))) / reaches
    lamps = sum((one.power for one in takes if one.dark), np.zeros((1, 1)))
    lines = [_line(year, one, day, reaches, season) for one, day in zip(takes, days, strict=True)]
    return PowerLoads(
        month=MONTH,
        energy=year.months(energy, "Wh"),
        season=year.out(in_it, "Wh"),
        winter=year.out(out_of_it, "Wh"),
        season_charge=year.out(in_it / v[0], "Ah"),
        winter_charge=year.out(out_of_it / v[0], "Ah"),
        always=year.out(steady[0], "W"),
        lamps=year.out(lamps[0], "W"),
        together=year.out(everything[0], "A"),
        peak=year.out((everything + np.maximum(extra, 0.0) / reaches)[0], "A"),
        quiet=year.out(100 * 24 * steady[0] / np.maximum(in_it, 1e-9) * (in_it > 0), "percent"),
        biggest=max(lines, key=lambda line: nominal(line.season)).name,
        biggest_winter=max(lines, key=lambda line: nominal(line.winter)).name,
        lines=tuple(lines),
        standby_listed=_listed(takes),
    )


def _mean_over(energy: Any, part: Any) -> Any:
    """Mean of a part of the year; of the whole year where the season has no such part."""
    return energy[part].mean(axis=0) if part.any() else energy.mean(axis=0)


def _line(year: Year, one: Take, day: Any, reaches: Any, season: Any) -> LoadLine:
    whole = np.broadcast_to(day, (12, np.shape(day)[-1]))
    standing = np.broadcast_to(one.standing / reaches, (12, np.shape(one.standing)[-1]))
    return LoadLine(
        name=one.name,
        power=year.out(np.broadcast_to(one.power, (1, np.shape(one.power)[-1]))[0], "W"),
        season=year.out(_mean_over(whole, season), "Wh"),
        winter=year.out(_mean_over(whole, ~season), "Wh"),
        standby=year.out(_mean_over(standing, season), "Wh"),
        dark=one.dark,
        always=one.always,
    )


def _listed(takes: Sequence[Take]) -> Check:
    """A list without anything that draws day and night has forgotten the regulator itself."""
    quiet = [one for one in takes if one.always or np.any(np.nan_to_num(one.waits) > 0)]
    if quiet:
        return at_least(Q(float(len(quiet))), Q(1.0), share=False)
    return open_check("nothing listed draws day and night; a regulator alone takes 5 to 10 mA")
