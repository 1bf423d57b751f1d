"""When each coat may go on: recoat windows, working hours, temperature, humidity and dew.

    >>> oiled = drying_calendar(coats=2, way="wet on wet", earliest=Q(20, "min"), latest=Q(60, "min"), hard=Q(72, "h"),
    ...                         area=Q(8, "m^2"), pace=Q(10, "m^2/h"), sections=1, temperature=Q(15, "degC"),
    ...                         humidity=Q(65, "percent"))
    >>> print(f"{oiled.gap.to('min'):.0f~P} between the coats, ready after {oiled.days.magnitude:.0f} days")
    48 min between the coats, ready after 5 days

Times are those of the tin, stretched for a cold or damp place.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import reduce
from itertools import pairwise
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.climate import MONTHS, Month, by_month
from kit.enclosure import dew_point, vapour_pressure
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["CoatTime", "DryingCalendar", "OutdoorMonths", "drying_calendar", "outdoor_months"]

Dries = Literal["oil, stain or varnish that hardens with air", "water-based"]
Way = Literal["wet on wet", "each coat dry"]

# A surface at least this much above the dew point; from memory, made for steel.
DEW_MARGIN = Q(3, "delta_degC")
_NEAR = 1e-9
_DAY = 24.0


@result
class CoatTime:
    """One coat in the calendar; hours count from the first stroke."""

    name: Annotated[str, Text("coat", "coat 1")]
    starts: Annotated[Quantity, Out("h", "starts", resolution=0.1)]
    not_before: Annotated[Quantity, Out("h", "not before", rounding="up", resolution=0.1)]
    not_after: Annotated[Quantity, Out("h", "not after", rounding="down", resolution=0.1, absent="no limit")]
    done: Annotated[Quantity, Out("h", "brush down", rounding="up", resolution=0.1)]
    when: Annotated[str, Says("day and time")]


@result
class DryingCalendar:
    """Coats in order, and when the thing may be used."""

    slower: Annotated[Quantity, Out("1", "times as slow as the tin says", rounding="up", resolution=0.01)]
    earliest_here: Annotated[Quantity, Out("min", "next coat not before, here", rounding="up", resolution=1)]
    latest_here: Annotated[Quantity, Out("min", "next coat not after, here", rounding="down", resolution=1,
                                         absent="no limit")]
    gap: Annotated[Quantity, Out("min", "from a coat to the next at one place", rounding="up", resolution=1)]
    largest: Annotated[Quantity, Out("m^2", "largest area to begin at once", rounding="down", resolution=0.1,
                                     absent="no limit")]
    brushing: Annotated[Quantity, Out("h", "hours with the brush", rounding="up", resolution=0.1)]
    ready: Annotated[Quantity, Out("h", "from the first stroke until it may be used", rounding="up", resolution=1)]
    waiting: Annotated[Quantity, Out("d", "of that waiting", rounding="up", resolution=0.1)]
    days: Annotated[Quantity, Out("d", "whole days of waiting to plan", rounding="up", resolution=1)]
    dew: Annotated[Quantity, Out("degC", "dew point", resolution=0.1)]
    above_dew: Annotated[Quantity, Out("delta_degC", "surface above the dew point", rounding="down", resolution=0.1)]
    calendar: Annotated[tuple[CoatTime, ...], Rows("coats in order")]
    in_window: Annotated[Check, Asks("next coat within its window", "practice")]
    in_a_day: Annotated[Check, Asks("a coat done within working hours", "kit")]
    warm: Annotated[Check, Asks("warm enough for the finish", "FPL-GTR-190")]
    not_damp: Annotated[Check, Asks("air dry enough for the finish", "practice")]
    no_dew: Annotated[Check, Asks("no dew on the surface", "iso-8502-4")]
    wood_dry: Annotated[Check, Asks("wood dry enough to coat", "practice")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "WMO-8", "iso-8502-4", "practice", "kit")
def drying_calendar(
    *,
    coats: Annotated[int, Count("coats", 2, ge=1, le=12)],
    way: Annotated[Way, Choice("how one coat follows another", "wet on wet", basis="data sheet",
                               find="oil that soaks in: wet on wet; film finishes: each coat dry")],
    earliest: Annotated[Quantity, In("min", "next coat not before, says the tin", 20, ge=0, le=20_000, resolution=5,
                                     basis="data sheet")],
    latest: Annotated[Quantity | None, In("min", "next coat not after, says the tin", 60, ge=1, le=100_000,
                                          resolution=5, basis="data sheet",
                                          find="leave it out if the tin names no limit")] = None,
    hard: Annotated[Quantity, In("h", "hard enough to use, says the tin", 72, ge=0.1, le=5000, resolution=1,
                                 basis="data sheet")],
    dries: Annotated[Dries, Choice("how it dries", "oil, stain or varnish that hardens with air", basis="data sheet")]
    = "oil, stain or varnish that hardens with air",
    tin_temperature: Annotated[Quantity, In("degC", "temperature the tin's times are for", 20, ge=5, le=35,
                                            basis="data sheet", chosen=True)] = Q(20, "degC"),
    tin_humidity: Annotated[Quantity, In("percent", "humidity the tin's times are for", 50, ge=10, le=90,
                                         basis="data sheet", chosen=True)] = Q(50, "percent"),
    per_ten: Annotated[Quantity, In("1", "times as slow for every 10 degC colder", 2, ge=1, le=4,
                                    basis="common practice", find="oil that hardens with air")] = Q(2),
    temperature: Annotated[Quantity, In("degC", "temperature where it dries", 15, ge=-10, le=45, basis="measured")],
    humidity: Annotated[Quantity, In("percent", "relative humidity where it dries", 65, ge=5, le=99, basis="measured")],
    colder: Annotated[Quantity, In("degC", "surface colder than the air by", 1, ge=-30, le=30, difference=True,
                                   find="thermometer on the wood; the morning after a clear night 3 and more",
                                   basis="measured")] = Q(0, "delta_degC"),
    area: Annotated[Quantity, In("m^2", "area of one coat", 8, ge=0, le=10_000, resolution=0.1)],
    pace: Annotated[Quantity, In("m^2/h", "area brushed and wiped in an hour", 10, ge=0.1, le=200, resolution=0.5,
                                 find="time one panel", basis="measured")],
    sections: Annotated[int, Count("parts it is done in, one after the other", 1, ge=1, le=100,
                                   find="lids, top, carcass")] = 1,
    begins: Annotated[Quantity, In("h", "the working day begins at", 9, ge=0, le=23, resolution=0.5, chosen=True)]
    = Q(9, "h"),
    ends: Annotated[Quantity, In("h", "the working day ends at", 18, ge=1, le=24, resolution=0.5, chosen=True)]
    = Q(18, "h"),
    least_temperature: Annotated[Quantity, In("degC", "least temperature, says the tin", 5, ge=-10, le=30,
                                              basis="data sheet",
                                              find="oil-alkyd about 4 degC, latex 10 degC through the first day",
                                              chosen=True)]
    = Q(5, "degC"),
    greatest_humidity: Annotated[Quantity, In("percent", "greatest humidity, says the tin", 85, ge=20, le=100,
                                              basis="data sheet", chosen=True)] = Q(85, "percent"),
    moisture: Annotated[Quantity | None, In("percent", "moisture of the wood, % of dry mass", 12, ge=1, le=200,
                                            basis="measured")] = None,
    wettest: Annotated[Quantity, In("percent", "wettest wood to coat, % of dry mass", 18, ge=5, le=60,
                                    basis="common practice", chosen=True)] = Q(18, "percent"),
) -> DryingCalendar:
    """Coats by their windows: not before the tin's earliest time, not after its latest, within working hours.

    Oil that hardens with air is slower by per_ten for every 10 degC colder; what
    dries by water leaving is slower as the air can take less, es(T)(1 - humidity).
    A longer window in the cold is not counted on.  Wet on wet each part is coated
    again while wet, so it may be no larger than pace times the latest time.  Dry
    coats wait for the earliest time after the brush is down, and for the next
    morning when the day is over.  Sun, wind and a closed room are left out.

    >>> film = drying_calendar(coats=3, way="each coat dry", earliest=Q(16, "h"), hard=Q(48, "h"), area=Q(8, "m^2"),
    ...                        pace=Q(8, "m^2/h"), temperature=Q(20, "degC"), humidity=Q(50, "percent"))
    >>> [coat.when for coat in film.calendar]
    ['day 1, 09:00', 'day 2, 09:00', 'day 3, 09:00']
    """
    require(begins < ends, "the working day ends before it begins, such as 9 to 18 h", "begins", "ends")
    require(latest is None or latest >= earliest, "the latest time is before the earliest, such as 20 and 60 min",
            "earliest", "latest")
    slow = _slower(dries, temperature, humidity, tin_temperature, tin_humidity, per_ten)
    soonest = earliest.m_as("h") * slow
    last = np.nan if latest is None else latest.m_as("h") * np.minimum(slow, 1)
    once = (area / sections / pace).m_as("h")
    day = ends.m_as("h") - begins.m_as("h")
    if way == "wet on wet":
        gap = np.maximum(soonest, once)
        rounds = ((coats - 1) * gap + once) * sections
        starts = [place * gap for place in range(coats)]
        done, longest, lags = [start + once for start in starts], rounds, gap
    else:
        once = once * sections
        starts, done = _dry_coats(coats, soonest, once, day)
        rounds, longest = done[-1], once
        lags = reduce(np.maximum, (after - before for before, after in pairwise(starts)), 0.0 * once)
        gap = lags
    brushing = coats * (area / pace).m_as("h")
    ready = rounds + hard.m_as("h") * slow
    waiting = (ready - brushing) / _DAY
    dew = dew_point(temperature, humidity)
    above = Q(temperature.m_as("degC") - colder.m_as("delta_degC") - dew.m_as("degC"), "delta_degC")
    return DryingCalendar(
        slower=Q(slow), earliest_here=Q(soonest * 60, "min"), latest_here=Q(last * 60, "min"), gap=Q(gap * 60, "min"),
        largest=Q(last * pace.m_as("m^2/h"), "m^2"), brushing=Q(brushing, "h"), ready=Q(ready, "h"),
        waiting=Q(waiting, "d"), days=Q(np.ceil(waiting - _NEAR), "d"), dew=dew, above_dew=above,
        calendar=_calendar(starts, done, soonest, last, way, begins.m_as("h")),
        in_window=_window(latest, last, lags, coats), in_a_day=at_most(Q(longest, "h"), Q(day, "h")),
        warm=at_least(temperature, least_temperature, share=False),
        not_damp=at_most(humidity.to("percent"), greatest_humidity.to("percent")),
        no_dew=at_least(above, DEW_MARGIN, share=False, reason="3 degC from memory, made for steel"),
        wood_dry=does_not_apply("no moisture of the wood is entered")
        if moisture is None else at_most(moisture.to("percent"), wettest.to("percent")),
    )


def _slower(
    dries: str, temperature: Quantity, humidity: Quantity, tin_temperature: Quantity, tin_humidity: Quantity,
    per_ten: Quantity,
) -> Any:
    """How many times as slow as on the tin."""
    if dries != "water-based":
        return per_ten.m_as("") ** ((tin_temperature.m_as("degC") - temperature.m_as("degC")) / 10)
    there, here = (
        vapour_pressure(t).m_as("Pa") * (1 - h.m_as("")) for t, h in ((tin_temperature, tin_humidity),
                                                                      (temperature, humidity)))
    return there / here


def _dry_coats(coats: int, soonest: Any, once: Any, day: Any) -> tuple[list[Any], list[Any]]:
    """Start and end of each coat in hours from the first stroke, which is made when a working day begins."""
    starts, done = [0.0 * once], [once]
    for _ in range(coats - 1):
        ready = done[-1] + soonest
        into = ready % _DAY
        # A coat is begun only if it can be done before the day ends; one longer than a day begins in the morning.
        fits = into + once <= day + _NEAR
        starts.append(np.where(fits, ready, (ready // _DAY + 1) * _DAY)[()])
        done.append(starts[-1] + once)
    return starts, done


def _window(latest: Quantity | None, last: Any, lags: Any, coats: int) -> Check:
    if latest is None:
        return does_not_apply("the tin names no latest time")
    if coats == 1:
        return does_not_apply("there is one coat")
    return at_most(Q(lags * 60, "min"), Q(last * 60, "min"),
                   reason="longer than that: begin a smaller part at once, or key the surface as the tin says")


def _calendar(
    starts: Sequence[Any], done: Sequence[Any], soonest: Any, last: Any, way: str, morning: Any
) -> tuple[CoatTime, ...]:
    """The coats of the first part in order."""
    rows = []
    for place, (start, end) in enumerate(zip(starts, done, strict=True)):
        before = starts[place - 1] if place else 0.0 * start
        wait = (before if way == "wet on wet" else done[place - 1]) + soonest if place else before
        rows.append(CoatTime(
            name=f"coat {place + 1}", starts=Q(start, "h"), not_before=Q(wait, "h"),
            not_after=Q(before + last if place else before + np.nan, "h"), done=Q(end, "h"),
            when=_when(float(np.nanmean(start)), float(np.nanmean(morning)))))
    return tuple(rows)


def _when(hours: float, morning: float) -> str:
    """Day and clock of a time counted from the first morning: the full minute after it, for no coat may go on early."""
    minutes = math.ceil((hours + morning) * 60 - 1e-6)
    return f"day {minutes // 1440 + 1}, {minutes // 60 % 24:02d}:{minutes % 60:02d}"


@result
class OutdoorMonths:
    """Which months suit a finish outdoors."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    air: Annotated[Quantity, Out("degC", "mean air temperature", over="month")]
    dew: Annotated[Quantity, Out("degC", "dew point of that air", over="month")]
    margin: Annotated[Quantity, Out("delta_degC", "air above its dew point", over="month")]
    good: Annotated[Quantity, Out("1", "months that suit it")]
    driest: Annotated[Quantity, Out("delta_degC", "greatest margin of a month", rounding="down", resolution=0.1)]
    says: Annotated[str, Says("months to do it outdoors")]
    outdoors: Annotated[Check, Asks("a month to do it outdoors", "iso-8502-4")]
    notes: tuple[str, ...] = ()


@calculator("WMO-8", "iso-8502-4", "FPL-GTR-190")
def outdoor_months(
    *,
    months: Annotated[Sequence[Month], Rows("air by month", find="January and July are enough to begin with")],
    least_temperature: Annotated[Quantity, In("degC", "least temperature, says the tin", 5, ge=-10, le=30,
                                              basis="data sheet", chosen=True)] = Q(5, "degC"),
) -> OutdoorMonths:
    """Months whose mean air is warm enough and at least 3 degC above its dew point.

    Means of a month hide its nights: begin after the dew has gone and stop two
    hours before it comes.

    >>> air = [Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
    ...        Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent"))]
    >>> outdoor_months(months=air).says
    'June to August'
    """
    air, humidity = by_month(months)
    dew = dew_point(air, humidity)
    margin = air.m_as("degC") - dew.m_as("degC")
    warm = air.m_as("degC") >= least_temperature.m_as("degC")
    suits = warm & (margin >= DEW_MARGIN.magnitude)
    best = np.where(warm, margin, -np.inf).max(axis=0)
    found = np.where(np.isfinite(best), best, 0.0)[()]
    return OutdoorMonths(
        month=Q(np.arange(1, 13)), air=air, dew=dew, margin=Q(margin, "delta_degC"),
        good=Q(suits.sum(axis=0) * 1.0), driest=Q(margin.max(axis=0), "delta_degC"), says=_named(suits),
        outdoors=at_least(Q(found, "delta_degC"), DEW_MARGIN, share=False,
                          reason="by monthly means; mornings are wetter"),
    )


def _named(suits: Any) -> str:
    """Months that suit, as runs round the year; of samples, those that suit in half of them."""
    most = suits if suits.ndim == 1 else suits.mean(axis=-1) >= 0.5
    if most.all():
        return "any month"
    runs = [place for place in range(12) if most[place] and not most[place - 1]]
    said = []
    for first in runs:
        long = next(n for n in range(1, 13) if not most[(first + n) % 12])
        last = MONTHS[(first + long - 1) % 12]
        said.append(MONTHS[first] if long == 1 else f"{MONTHS[first]} to {last}")
    return ", ".join(said) or "none: do it under a roof, with heat"
