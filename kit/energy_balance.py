"""Energy in against energy out by month, and how many days the battery lasts without sun."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most
from kit.climate import MonthName
from kit.kinds import Asks, Choice, In, Out, Says, Text
from kit.months import MONTH, Year, in_season, middle, month_named, name_of
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import nominal

__all__ = ["EnergyBalance", "Reserve", "energy_balance", "reserve"]


@result
class EnergyBalance:
    """What comes in over what goes out, month by month."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    ratio: Annotated[Quantity, Out("1", "energy in over energy out", over="month", resolution=0.01)]
    over: Annotated[
        Quantity, Out("Wh", "left over on a mean day (minus: lacking)", over="month", resolution=0.1, rounding="down")
    ]
    season_ratio: Annotated[Quantity, Out("1", "in over out, worst month of the season", resolution=0.01)]
    winter_ratio: Annotated[Quantity, Out("1", "in over out, worst month out of it", resolution=0.01)]
    worst_season: Annotated[str, Says("worst month of the season")]
    worst_winter: Annotated[str, Says("worst month out of the season")]
    worst: Annotated[str, Says("worst month of the year")]
    needed: Annotated[
        Quantity, Out("W", "rated power of panels that would be enough all year", resolution=1, rounding="up")
    ]
    thrown: Annotated[Quantity, Out("percent", "of a mean year's energy that the loads cannot use", resolution=1)]
    enough_season: Annotated[Check, Asks("energy in over energy out, worst month of the season", "ieee-1562")]
    enough_winter: Annotated[Check, Asks("energy in over energy out, worst month out of the season", "ieee-1562")]


@calculator("ieee-1562", "sandia-handbook")
def energy_balance(
    *,
    energy: Annotated[Quantity, In("Wh", "energy into the battery, a mean day of each month", 39, ge=0, le=1e6)],
    drawn: Annotated[Quantity, In("Wh", "drawn from it, a mean day of each month", 30.9, ge=0, le=1e6)],
    power: Annotated[Quantity, In("W", "rated power of all panels", 30, ge=0.1, le=100_000)],
    wanted: Annotated[
        Quantity,
        In(
            "1",
            "energy in over energy out that is wanted",
            1.2,
            ge=1,
            le=5,
            resolution=0.01,
            chosen=True,
            find="1.1 to 1.2 where a dark day is a nuisance, 1.3 to 1.4 where it is a danger",
        ),
    ] = Q(1.2),
    season_begins: Annotated[MonthName, Choice("first month of the season", "April")] = "April",
    season_ends: Annotated[MonthName, Choice("last month of the season", "October")] = "October",
    biggest: Annotated[str, Text("what eats most in the season", "lamps")] = "-",
    biggest_winter: Annotated[str, Text("what eats most out of the season", "logger")] = "-",
) -> EnergyBalance:
    """The worst month is the one of the least energy in over energy out, not the darkest one.

    A = E_in / E_out on the mean day of the month; what is over one fills the
    battery again after dull days: an empty one takes its days of reserve over
    A - 1.  Means of a month hide its dull weeks: those are in the year by days.

    >>> month = energy_balance(energy=Q("39.2 Wh"), drawn=Q("30.9 Wh"), power=Q("30 W"))
    >>> round(float(month.season_ratio), 2), month.enough_season.verdict
    (1.27, 'marginal')
    """
    year = Year(energy, drawn, power, wanted)
    comes, goes = year.si(energy, "Wh"), year.si(drawn, "Wh")
    ratio = np.broadcast_to(comes / np.maximum(goes, 1e-6), (12, year.samples))
    ratio = np.minimum(ratio, 999.0)
    over = np.broadcast_to(comes - goes, (12, year.samples))
    season = in_season(season_begins, season_ends)
    winter = ~season if not season.all() else season
    need, least = year.si(wanted, "")[0], ratio.min(axis=0)
    enough = year.si(power, "W")[0] * need / np.maximum(least, 1e-6)
    spare = np.sum(np.maximum(over, 0.0), axis=0) / np.maximum(np.sum(np.broadcast_to(comes, over.shape), axis=0), 1e-9)
    return EnergyBalance(
        month=MONTH,
        ratio=year.months(ratio),
        over=year.months(over, "Wh"),
        season_ratio=year.out(ratio[season].min(axis=0)),
        winter_ratio=year.out(ratio[winter].min(axis=0)),
        worst_season=_worst(ratio, season),
        worst_winter=_worst(ratio, winter),
        worst=_worst(ratio, season | winter),
        needed=year.out(np.minimum(enough, 1e9), "W"),
        thrown=year.out(100 * spare, "percent"),
        enough_season=_enough(year, ratio, comes, goes, season, wanted, biggest),
        enough_winter=_enough(year, ratio, comes, goes, winter, wanted, biggest_winter),
    )


def _worst(ratio: Any, part: Any) -> str:
    return name_of(int(np.argmin(np.where(part, np.nan_to_num(middle(ratio), nan=1e9), np.inf))))


def _enough(year: Year, ratio: Any, comes: Any, goes: Any, part: Any, wanted: Quantity, biggest: str) -> Check:
    """The worst month of a part of the year against what is wanted, with its name and what eats most then."""
    name = _worst(ratio, part)
    place = month_named(name)
    amounts = (nominal(np.broadcast_to(m, ratio.shape)[place]) for m in (comes, goes))
    come, go = (f"{amount:.1f} Wh" for amount in amounts)
    most = "" if biggest == "-" else f"; most goes to {biggest}"
    return at_least(
        year.out(ratio[part].min(axis=0)),
        year.out(year.si(wanted, "")[0]),
        reason=f"{name}: {come} a day come in, {go} go out{most}",
        factor="the ratio wanted",
    )


@result
class Reserve:
    """Days without any sun, and the battery that would be wanted."""

    season_days: Annotated[Quantity, Out("d", "days without sun, in the season", resolution=0.1, rounding="down")]
    winter_days: Annotated[Quantity, Out("d", "days without sun, out of the season", resolution=0.1, rounding="down")]
    season_worn: Annotated[
        Quantity, Out("d", "the same when the battery is worn out, in the season", resolution=0.1, rounding="down")
    ]
    winter_worn: Annotated[
        Quantity, Out("d", "the same when it is worn out, out of the season", resolution=0.1, rounding="down")
    ]
    daily_depth: Annotated[Quantity, Out("percent", "of its capacity used each day", resolution=0.1, rounding="up")]
    by_days: Annotated[Quantity, Out("Ah", "capacity wanted for the days without sun", resolution=0.1, rounding="up")]
    by_day: Annotated[Quantity, Out("Ah", "capacity wanted for the daily depth", resolution=0.1, rounding="up")]
    by_age: Annotated[Quantity, Out("Ah", "capacity wanted for its end of life", resolution=0.1, rounding="up")]
    wanted: Annotated[Quantity, Out("Ah", "capacity wanted, by the published method", resolution=1, rounding="up")]
    refill: Annotated[
        Quantity,
        Out(
            "d",
            "mean days to fill it again in the worst month of the season",
            resolution=1,
            rounding="up",
            absent="it never fills again",
        ),
    ]
    rate: Annotated[Quantity, Out("h", "hours at the mean current: read its capacity at that rate", resolution=1)]
    lasts_season: Annotated[Check, Asks("days without sun, in the season", "ieee-1013")]
    lasts_winter: Annotated[Check, Asks("days without sun, out of the season", "ieee-1013")]
    shallow: Annotated[Check, Asks("used a little each day, not much", "ieee-1013")]


@calculator("ieee-1013", "ieee-1562")
def reserve(
    *,
    season: Annotated[Quantity, In("Wh", "drawn on a day in the season", 30.9, ge=0.01, le=1e6)],
    winter: Annotated[Quantity, In("Wh", "drawn on a day out of the season", 11.3, ge=0.01, le=1e6)],
    usable_season: Annotated[Quantity, In("Wh", "may be used, coldest month of the season", 198, ge=0.1, le=1e7)],
    usable_winter: Annotated[Quantity, In("Wh", "may be used, coldest month of the year", 147, ge=0.1, le=1e7)],
    volts: Annotated[Quantity, In("V", "volts of the bank", 12, ge=1, le=600)] = Q(12, "V"),
    capacity: Annotated[Quantity, In("Ah", "capacity of the bank", 33, ge=0.1, le=40_000)] = Q(33, "Ah"),
    depth: Annotated[Quantity, In("percent", "share that may be used", 50, ge=5, le=100)] = Q(50, "percent"),
    divisor: Annotated[Quantity, In("1", "capacity divisor in the cold, each month", 1.35, ge=1, le=4)] = Q(1),
    ratio: Annotated[
        Quantity, In("1", "energy in over energy out, worst month of the season", 1.27, ge=0, le=1000)
    ] = Q(1.2),
    days_season: Annotated[
        Quantity,
        In("d", "days without sun wanted, in the season", 4, ge=0.5, le=60, chosen=True, find="the longest grey spell"),
    ],
    days_winter: Annotated[
        Quantity, In("d", "days without sun wanted, out of the season", 5, ge=0.5, le=60, chosen=True)
    ],
    daily: Annotated[
        Quantity, In("percent", "greatest share used each day", 20, ge=1, le=100, chosen=True, find="lead-acid 20")
    ] = Q(20, "percent"),
    margin: Annotated[Quantity, In("percent", "margin on the capacity", 10, ge=0, le=100, chosen=True)] = Q(
        10, "percent"
    ),
) -> Reserve:
    """Days that the usable energy lasts, and the capacity by the published order of work.

    Days = usable over drawn.  Capacity: the greatest of Q N / depth, Q / daily
    depth and Q N / end of life, times the cold divisor and the margin; the three
    are not multiplied with one another, which would be more careful than the
    method.  The reserve counts from a full battery.

    >>> days = reserve(season=Q("30.9 Wh"), winter=Q("11.3 Wh"), usable_season=Q("198 Wh"), usable_winter=Q("146.7 Wh"),
    ...     days_season=Q("4 d"), days_winter=Q("5 d"))
    >>> round(float(days.season_days.m_as("d")), 1), round(float(days.winter_days.m_as("d")))
    (6.4, 13)
    """
    worn = read_facts("battery")["end-of-life"].q.m_as("")
    year = Year(
        season,
        winter,
        usable_season,
        usable_winter,
        volts,
        capacity,
        depth,
        divisor,
        ratio,
        days_season,
        days_winter,
        daily,
        margin,
    )
    lasts = [(usable / drawn).m_as("") for usable, drawn in ((usable_season, season), (usable_winter, winter))]
    charges = [(drawn / volts).to("Ah") for drawn in (season, winter)]
    asks = [charges[0] * days_season.m_as("d"), charges[1] * days_winter.m_as("d")]
    cold = year.si(divisor, "").max(axis=0) if np.ndim(divisor.magnitude) else divisor.magnitude
    whole, most = _greater(*asks), _greater(*charges)
    sizes = [whole / depth, most / daily, whole / worn]
    need = _greater(_greater(sizes[0], sizes[1]), sizes[2]) * cold * (1 + margin.m_as(""))
    used = (most / capacity).m_as("percent")
    with np.errstate(divide="ignore", invalid="ignore"):
        fills = np.where(ratio.m_as("") > 1, lasts[0] / (ratio.m_as("") - 1), np.nan)[()]
    d = [year.out(np.atleast_1d(one), "d") for one in lasts]
    return Reserve(
        season_days=d[0],
        winter_days=d[1],
        season_worn=d[0] * worn,
        winter_worn=d[1] * worn,
        daily_depth=year.out(np.atleast_1d(used), "percent"),
        by_days=_ah(year, sizes[0]),
        by_day=_ah(year, sizes[1]),
        by_age=_ah(year, sizes[2]),
        wanted=_ah(year, need),
        refill=year.out(np.atleast_1d(fills), "d"),
        rate=year.out(np.atleast_1d((capacity / (most / Q(24, "h"))).m_as("h")), "h"),
        lasts_season=at_least(d[0], days_season),
        lasts_winter=at_least(d[1], days_winter),
        shallow=at_most(year.out(np.atleast_1d(used), "percent"), daily),
    )


def _greater(one: Quantity, other: Quantity) -> Quantity:
    return Q(np.maximum(one.m_as("Ah"), other.m_as("Ah"))[()], "Ah")


def _ah(year: Year, value: Quantity) -> Quantity:
    return year.out(np.atleast_1d(value.m_as("Ah")), "Ah")
