"""A closer look at the year by the hour: charging limits, absorption, the cut-off and what a heavy current costs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, NamedTuple

import numpy as np

from kit import sky
from kit.battery import Chemistry, fact
from kit.battery_year import MANY, by_days
from kit.calculator import calculator, require, result
from kit.climate import Month, MonthName, by_month
from kit.dull_days import MONTH_OF, drawn_clearness, sun_of_days
from kit.handed import Load
from kit.kinds import Choice, Count, In, Out, Rows, Says, YesNo
from kit.load_hours import Clock, by_the_hour, handed_take, own_take
from kit.months import Year, in_season
from kit.power_loads import DrawnLoad, load_cells
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["YearByHour", "year_by_hour"]

_DAY = Q(np.arange(1, 366), "d")
_HOURS = np.arange(24) + 0.5
# Hours run before the first of January, with the autumn of the same year.
_BEFORE = 90 * 24


@result
class YearByHour:
    """Drawn years, hour by hour."""

    day: Annotated[Quantity, Out("d", "day of the year")]
    usual: Annotated[
        Quantity, Out("percent", "lowest charge of the day, half of the years above", over="day", resolution=1)
    ]
    worst: Annotated[
        Quantity,
        Out(
            "percent", "lowest charge of the day, lowest of all drawn years", over="day", resolution=1, rounding="down"
        ),
    ]
    lost: Annotated[Quantity, Out("d", "days with loads cut off, in ten years", resolution=1, rounding="up")]
    lost_hours: Annotated[Quantity, Out("h", "hours with loads cut off, in a mean year", resolution=1, rounding="up")]
    give_or_take: Annotated[Quantity, Out("d", "give or take, at 95 % confidence", resolution=1, rounding="up")]
    thrown: Annotated[
        Quantity, Out("percent", "of a year's energy not taken, the battery full or nearly so", resolution=1)
    ]
    held_back: Annotated[Quantity, Out("percent", "of a year's energy held back by the charging limit", resolution=0.1)]
    not_full: Annotated[
        Quantity, Out("d", "longest time without being full, in a usual year", resolution=1, rounding="up")
    ]
    heavy: Annotated[
        Quantity, Out("percent", "more charge drawn because currents are heavy", resolution=0.1, rounding="up")
    ]
    said: Annotated[str, Says("in words")]


class _Path(NamedTuple):
    """Hours of drawn years: lowest charge of each day, whether loads were off, full, and energy not taken."""

    lowest: Any
    off: Any
    full: Any
    thrown: Any
    held: Any


@calculator("bendt-1981", "graham-1988", "duffie-beckman", "battery-manuals", "peukert")
def year_by_hour(
    *,
    energy: Annotated[Quantity, In("Wh", "energy into the battery, a mean day of each month", 39, ge=0, le=1e6)],
    latitude: Annotated[Quantity, In("deg", "latitude, north positive", 54.5, ge=-66, le=66)],
    clearness: Annotated[Quantity, In("1", "clearness of each month", 0.38, ge=0.02, le=0.85)],
    direct: Annotated[Quantity, In("1", "direct sun on the panels over that on the flat", 1.6, ge=0, le=1e6)] = Q(1),
    diffuse: Annotated[Quantity, In("1", "diffuse sun on the panels over that on the flat", 0.75, ge=0, le=1)] = Q(1),
    ground: Annotated[Quantity, In("1", "sun from the ground over the sun on the flat", 0.05, ge=0, le=1)] = Q(0),
    own: Annotated[Sequence[DrawnLoad], Rows("loads", most=60)] = (),
    others: Annotated[Sequence[Load], Rows("loads handed on by other stages", most=60)] = (),
    volts: Annotated[Quantity, In("V", "volts of the build", 12, chosen=True, ge=1, le=60)] = Q(12, "V"),
    season_begins: Annotated[MonthName, Choice("first month of the season", "April")] = "April",
    season_ends: Annotated[MonthName, Choice("last month of the season", "October")] = "October",
    clock_ahead: Annotated[Quantity, In("h", "how far the clock is ahead of the sun", 0, out_by="0.1 h",
                                        ge=-3, le=4)] = Q(0, "h"),
    usable: Annotated[Quantity, In("Wh", "energy that may be used, each month", 198, ge=0.1, le=1e7)],
    depth: Annotated[Quantity, In("percent", "share of the battery that may be used", 50, ge=5, le=100)],
    capacity: Annotated[Quantity, In("Ah", "capacity of the bank", 33, ge=0.1, le=40_000)],
    limit: Annotated[Quantity, In("A", "greatest charging current of the battery", 6.6, ge=0.01, le=5000)],
    air: Annotated[Sequence[Month], Rows("air by month", least=1, most=12)],
    chemistry: Annotated[Chemistry, Choice("kind of battery")] = "sealed lead-acid",
    heater: Annotated[bool, YesNo("the battery has a heater")] = False,
    tapers_from: Annotated[
        Quantity,
        In(
            "percent",
            "charge from which it takes less and less (absorption)",
            80,
            ge=50,
            le=99,
            find="lead-acid 80, lithium 95",
        ),
    ] = Q(80, "percent"),
    returns_at: Annotated[
        Quantity, In("percent", "share of the usable energy at which loads come back after a cut-off", 30, chosen=True,
                     ge=1, le=95)
    ] = Q(30, "percent"),
    years: Annotated[int, Count("years to draw", 2, ge=2, le=100)] = 20,
    seed: Annotated[int, Count("seed of the weather", 1, ge=0, le=10_000)] = 1,
) -> YearByHour:
    """Run the battery hour by hour through the same weather as the year by days.

    A day's energy falls on its hours as the direct and diffuse sun do; loads
    take theirs by clock, dusk or evenly.  Charging keeps to the current limit,
    which shrinks to nothing from the taper to full; below the cut-off loads are
    off until the battery has come back.  A load over the 20 hour current draws
    (I/I20)^(k-1) times its charge.  Lithium takes nothing on days below freezing
    unless it has a heater.  Over 50 samples at once are worked out from their mean.

    >>> from kit.quantities import Q
    >>> lamp = DrawnLoad(name="lamp", power=Q("5 W"), duty="dusk to dawn", dark=True)
    >>> look = year_by_hour(energy=Q("90 Wh"), latitude=Q("50 deg"), clearness=Q(0.4), own=[lamp], usable=Q("300 Wh"),
    ...     depth=Q("50 %"), capacity=Q("50 Ah"), limit=Q("10 A"), years=2,
    ...     air=[Month(name="May", temperature=Q("9 degC"), humidity=Q("80 %"))])
    >>> bool(look.lost_hours.m_as("h") >= 0)
    True
    """
    require(bool(own or others), "list at least one load, such as a regulator with 8 mA", "own")
    curves = (
        energy,
        clearness,
        direct,
        diffuse,
        ground,
        usable,
        by_month(air)[0],
        latitude,
        depth,
        capacity,
        limit,
        volts,
        clock_ahead,
        tapers_from,
        returns_at,
    )
    units = ("Wh", "", "", "", "", "Wh", "degC", "deg", "", "Ah", "A", "V", "h", "", "")
    box = Year(*curves, *load_cells(own, others))
    # Beyond many samples the rows too are taken at their mean, by the mean of every curve they make.
    plain = [box.si(one, unit) for one, unit in zip(curves, units, strict=True)]
    goes, heavy = _goes(
        box,
        own,
        others,
        volts,
        np.radians(plain[7]),
        plain[12],
        plain[9],
        in_season(season_begins, season_ends),
        chemistry,
    )
    if box.samples > MANY:
        plain = [np.nanmean(one, axis=-1, keepdims=True) for one in plain]
        goes, heavy, box = np.nanmean(goes, axis=-1, keepdims=True), np.nanmean(heavy, axis=-1, keepdims=True), Year()
    wide = [np.broadcast_to(one, (12, box.samples)) for one in plain]
    comes = _comes(wide, chemistry, heater, years, seed)
    path = _walk(comes, np.broadcast_to(goes, (12, 24, box.samples)), wide, years)
    return _told(box, path, comes, heavy, wide, years)


def _goes(
    box: Year,
    own: Sequence[DrawnLoad],
    others: Sequence[Load],
    volts: Quantity,
    place: Any,
    ahead: Any,
    capacity: Any,
    season: Any,
    chemistry: str,
) -> tuple[Any, Any]:
    """Watt hours drawn in each hour of each month's day, and by how much heavy currents swell the day of the year."""
    night = 24 - 24 / np.pi * sky.sunset(place, sky.cooper(sky.MEAN_DAYS))
    clock = Clock(night, ahead, season)
    takes = [own_take(box, one, volts, clock) for one in own] + [handed_take(box, one, volts, clock) for one in others]
    k, rated = fact(chemistry, "peukert").m_as(""), capacity / 20
    light = swollen = np.zeros((12, 24, 1))
    for one in takes:
        share = by_the_hour(one)
        more = np.maximum(one.power / box.si(volts, "V") / rated, 1.0) ** (k - 1)
        runs, waits = one.power[:, None, :] * share, one.waits[:, None, :] * (1 - share)
        light, swollen = light + runs + waits, swollen + runs * more[:, None, :] + waits
    days = sky.DAYS[:, None, None]
    heavy = (days * swollen).sum(axis=(0, 1)) / np.maximum((days * light).sum(axis=(0, 1)), 1e-9) - 1
    return swollen, heavy


def _comes(wide: Sequence[Any], chemistry: str, heater: bool, years: int, seed: int) -> Any:
    """Watt hours that come in every hour, shape (365, 24, years, samples)."""
    energy, mean, direct, diffuse, ground, _, air, latitude = wide[:8]
    down, place = sky.cooper(sky.MEAN_DAYS), np.radians(latitude)
    sets = sky.sunset(place, down)
    kt = drawn_clearness(mean, years, seed)
    day = energy[MONTH_OF][:, None, :] * sun_of_days(kt, mean, direct, diffuse, ground, sets)
    if chemistry.startswith("lithium") and not heater:
        day = np.where((by_days(air) < 0)[:, None, :], 0.0, day)
    share = sky.daily_diffuse(kt, sets[MONTH_OF][:, None, :])
    beam = (1 - share) * direct[MONTH_OF][:, None, :]
    rest = share * diffuse[MONTH_OF][:, None, :] + ground[MONTH_OF][:, None, :]
    beam = beam / np.maximum(beam + rest, 1e-9)
    sharp, soft = (one[MONTH_OF][:, :, None, :] for one in _hours_of_sun(place, down, sets))
    return day[:, None] * (beam[:, None] * sharp + (1 - beam[:, None]) * soft)


def _hours_of_sun(place: Any, down: Any, sets: Any) -> tuple[Any, Any]:
    """Shares of a day's direct and diffuse sun in each hour, (12, 24, samples) (Collares-Pereira and Rabl)."""
    turn = np.pi / 12 * (_HOURS[None, :, None] - 12)
    w = sets[:, None, :]
    height = np.maximum(np.cos(turn) - np.cos(w), 0.0) * (np.abs(turn) < w)
    steep = 0.409 + 0.5016 * np.sin(w - np.pi / 3) + (0.6609 - 0.4767 * np.sin(w - np.pi / 3)) * np.cos(turn)
    both = (np.maximum(steep, 0.0) * height, height)
    sharp, soft = (one / np.maximum(one.sum(axis=1, keepdims=True), 1e-9) for one in both)
    return sharp, soft


def _walk(comes: Any, goes: Any, wide: Sequence[Any], years: int) -> _Path:
    """The walk itself, on the share of the usable charge above the cut-off; energies in watt hours."""
    samples = comes.shape[-1]
    usable, depth, limit, volts, taper, back = (wide[n] for n in (5, 8, 10, 11, 13, 14))
    holds, most = (np.repeat(one[MONTH_OF], 24, axis=0) for one in (usable, limit * volts))
    gives = comes.reshape(8760, years, samples)
    allowed = np.minimum(gives, most[:, None, :])
    # All as shares of what may be held in that hour; above the taper the charge taken falls in a line to nothing.
    offered = allowed / holds[:, None, :]
    slope = most / holds * depth[0] / np.maximum(1 - taper[0], 1e-9)
    draws = goes[MONTH_OF].reshape(8760, samples) / holds
    takes, charge, off = np.empty_like(gives), np.empty_like(gives), np.empty(gives.shape, dtype=bool)
    level, on = np.ones((years, samples)), np.ones((years, samples), dtype=bool)
    begin = level
    for hour in (*range(8760 - _BEFORE, 8760), *range(8760)):
        if hour == 0:
            begin = level.copy()
        took = takes[hour]
        np.subtract(1.0, level, out=took)
        np.multiply(took, slope[hour], out=took)
        np.add(took, 1e-3, out=took)
        np.minimum(took, offered[hour], out=took)
        level = np.minimum(np.maximum(level + (took - draws[hour] * on), 0.0), 1.0)
        charge[hour], off[hour] = level, ~on
        on = (level > 0) & (on | (level >= back[0]))
    before = np.concatenate([begin[None], charge[:-1]])
    over = np.maximum(before + takes - draws[:, None, :] * ~off - charge, 0.0)
    thrown = (allowed - (takes - over) * holds[:, None, :]).sum(axis=0)
    by_day = charge.reshape(365, 24, years, samples)
    held = (gives - allowed).sum(axis=0)
    return _Path(by_day.min(axis=1), off, (by_day >= 0.98).any(axis=1), thrown, held)


def _told(box: Year, path: _Path, comes: Any, heavy: Any, wide: Sequence[Any], years: int) -> YearByHour:
    depth = wide[8]
    level = np.sort(100 * (1 - depth[0] + depth[0] * path.lowest), axis=1)
    samples = path.off.shape[-1]
    days = path.off.reshape(365, 24, years, samples).any(axis=1).sum(axis=0)
    lost, doubt = 10 * days.mean(axis=0), 10 * 1.96 * days.std(axis=0, ddof=1) / np.sqrt(years)
    doubt = np.where(lost == 0, 30.0 / years, doubt)
    total = np.maximum(comes.sum(axis=(0, 1, 2)), 1e-9)
    hours = path.off.sum(axis=0).mean(axis=0)
    gone = np.where(np.isnan(path.lowest[0, 0]), np.nan, 1.0)
    return YearByHour(
        day=_DAY,
        usual=box.out(level[:, years // 2], "percent"),
        worst=box.out(level[:, 0], "percent"),
        lost=box.out(lost * gone, "d"),
        lost_hours=box.out(hours * gone, "h"),
        give_or_take=box.out(doubt * gone, "d"),
        thrown=box.out(100 * path.thrown.sum(axis=0) / total, "percent"),
        held_back=box.out(100 * path.held.sum(axis=0) / total, "percent"),
        not_full=box.out(np.median(_longest(~path.full), axis=0) * gone, "d"),
        heavy=box.out(100 * heavy, "percent"),
        said=f"{nominal(lost):.0f} days with loads off in ten years, give or take {np.ceil(nominal(doubt)):.0f} at "
        f"95 % confidence ({years} drawn years, hour by hour)",
    )


def _longest(empty: Any) -> Any:
    """The longest run of true along the first axis."""
    run = best = np.zeros(empty.shape[1:])
    for day in empty:
        run = (run + 1) * day
        best = np.maximum(best, run)
    return best
