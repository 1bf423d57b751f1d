"""What the sun brings at a place in every month: above the air, on a clear day, and on the ground as it is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit import sky
from kit.calculator import applies, calculator, result, row
from kit.checks import Check, at_most
from kit.climate import MonthName, month_weights
from kit.kinds import Asks, Choice, In, Out, Rows, Says
from kit.months import MONTH, Year, middle, month_named, name_of
from kit.quantities import Q, Quantity
from kit.sources import read_table

__all__ = ["SunMonth", "SunYear", "clearness_of", "sun_year"]

_MEGAJOULES = 3.6
# FAO paper 56, equations 35 and 37: what an overcast and a clear day let through, and how much more with height.
_OVERCAST, _SUNNY, _CLEAR, _HIGHER = 0.25, 0.50, 0.75, 2e-5


@row
class SunMonth:
    """What is known of the sun in one month; the first of the three that is given counts."""

    name: Annotated[MonthName, Choice("month", "January")]
    radiation: Annotated[
        Quantity | None,
        In(
            "kWh/m^2",
            "radiation on the flat on a mean day",
            0.6,
            ge=0.01,
            le=12,
            resolution=0.01,
            find="nearest weather station, monthly means; kWh/m2 a day",
        ),
    ] = None
    sunshine: Annotated[
        Quantity | None,
        In("h", "hours of sunshine on a mean day", 1.5, ge=0, le=24, find="nearest weather station, monthly means"),
    ] = None
    clearness: Annotated[
        Quantity | None,
        In(
            "1",
            "clearness: share of the sun above the air that reaches the ground",
            0.32,
            ge=0.02,
            le=0.85,
            everyday=(0.15, 0.75),
            resolution=0.01,
            find="radiation on the flat over that above the air",
        ),
    ] = None


@result
class SunYear:
    """The sun on the flat, day by day, in every month."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    declination: Annotated[Quantity, Out("deg", "declination of the sun", over="month", resolution=0.1)]
    daylight: Annotated[Quantity, Out("h", "from sunrise to sunset", over="month", resolution=0.1)]
    top: Annotated[Quantity, Out("kWh/m^2", "sun above the air, a day", over="month", resolution=0.01)]
    clear: Annotated[Quantity, Out("kWh/m^2", "sun on the flat, a clear day", over="month", resolution=0.01)]
    clearness: Annotated[Quantity, Out("1", "clearness", over="month", resolution=0.01)]
    ground: Annotated[
        Quantity, Out("kWh/m^2", "sun on the flat, a mean day", over="month", resolution=0.01, rounding="down")
    ]
    least: Annotated[
        Quantity, Out("kWh/m^2", "sun on the flat, a mean day of the darkest month", resolution=0.01, rounding="down")
    ]
    darkest: Annotated[str, Says("darkest month")]
    known: Annotated[str, Says("where the clearness comes from")]
    believable: Annotated[Check, Asks("no month is sunnier than a clear sky", "fao-56")]


def clearness_of(months: Sequence[SunMonth], latitude: Any, declination: Any, top: Any) -> Any:
    """Clearness of the twelve months, shape (12, samples or 1).

    As the reader knows it; from hours of sunshine (Angstrom); or, where nothing
    is given, from the latitude.  Months that are not given lie on a straight
    line between those that are.  `latitude` in radians, `top` in MJ/m^2.
    """
    if not months:
        return _from_latitude(latitude)
    daylight = 24 / np.pi * sky.sunset(latitude, declination)
    found = np.stack(np.broadcast_arrays(*(_clearness(one, daylight, top, latitude) for one in months)))
    weights = month_weights([one.name for one in months])
    mixed: Any = np.tensordot(weights, found, axes=1)
    return np.clip(mixed, 0.02, 0.85)


def _clearness(one: SunMonth, daylight: Any, top: Any, latitude: Any) -> Any:
    place = month_named(one.name)
    if one.radiation is not None:
        return np.atleast_1d(one.radiation.m_as("kWh/m^2")) * _MEGAJOULES / np.maximum(top[place], 0.1)
    if one.sunshine is not None:
        share = np.atleast_1d(one.sunshine.m_as("h")) / np.maximum(daylight[place], 0.1)
        return _OVERCAST + _SUNNY * np.minimum(share, 1.0)
    if one.clearness is not None:
        return np.atleast_1d(one.clearness.magnitude)
    return _from_latitude(latitude)[place]


def _from_latitude(latitude: Any) -> Any:
    """An estimate of clearness from latitude alone: bands read off between, the darker half of the year darker."""
    rows = read_table("clearness")
    bands, means, swings = ([float(line[key]) for line in rows] for key in ("latitude", "mean", "swing"))
    size = np.abs(np.degrees(latitude))
    midsummer = np.cos(2 * np.pi * (np.arange(12)[:, None] - 5.5) / 12) * np.sign(latitude)
    estimate: Any = np.interp(size, bands, means) + np.interp(size, bands, swings) * midsummer
    return estimate


@calculator("fao-56", "duffie-beckman", "klein-1977")
def sun_year(
    *,
    latitude: Annotated[Quantity, In("deg", "latitude, north positive", 54.5, ge=-66, le=66, find="any map")],
    altitude: Annotated[Quantity, In("m", "height above the sea", 320, ge=-430, le=5000, find="any map")] = Q(0, "m"),
    months: Annotated[
        Sequence[SunMonth],
        Rows("sun by month", most=12, find="leave it empty for an estimate from the latitude"),
    ] = (),
) -> SunYear:
    """Sun on the flat on the mean day of every month.

    Above the air H0 = 24 60/pi Gsc d (w sin f sin s + cos f cos s sin w) for the
    day that stands for the month; on the ground H = K H0 with the clearness K.
    A clear day lets 0.75 + 2e-5 of the height in metres through.  Cooper's
    declination is up to a degree off near the equinoxes: at 55 degrees north
    October comes out some 4 % too dark.  Hills around and haze are left out.

    >>> sun = sun_year(latitude=Q("54.5 deg"), months=[SunMonth(name="October", clearness=Q(0.35))])
    >>> round(float(sun.top[9].m_as("kWh/m^2")), 1), round(float(sun.ground[9].m_as("kWh/m^2")), 1)
    (4.0, 1.4)
    """
    year = Year(latitude, altitude, *(cell for one in months for cell in (one.radiation, one.sunshine, one.clearness)))
    place, height = np.radians(year.si(latitude, "deg")), year.si(altitude, "m")
    declination = sky.cooper(sky.MEAN_DAYS)
    distance = 1 + 0.033 * np.cos(2 * np.pi * sky.MEAN_DAYS / 365)
    top = sky.daily_top(place, declination, distance)
    clearness = clearness_of(months, place, declination, top)
    ground, clear = clearness * top / _MEGAJOULES, (_CLEAR + _HIGHER * height) * top / _MEGAJOULES
    applies(bool(months), "The clearness is an estimate from the latitude, good to a fifth: ask a weather station.")
    # Clearness given for a polar night divides by next to nothing: such a month is no month of sun at all.
    worst = np.max(clearness / (_CLEAR + _HIGHER * height), axis=0)
    kwh = "kWh/m^2"
    return SunYear(
        month=MONTH,
        declination=year.months(np.degrees(declination), "deg"),
        daylight=year.months(24 / np.pi * sky.sunset(place, declination), "h"),
        top=year.months(top, kwh) / _MEGAJOULES,
        clear=year.months(clear, kwh),
        clearness=year.months(clearness),
        ground=year.months(ground, kwh),
        least=year.out(np.min(ground, axis=0), kwh),
        darkest=name_of(int(np.argmin(np.nan_to_num(middle(ground), nan=1e9)))),
        known=_known(months),
        believable=at_most(year.out(worst), Q(1), reason="clearness over that of a clear day"),
    )


def _known(months: Sequence[SunMonth]) -> str:
    if not months:
        return "an estimate from the latitude"
    return f"{len(months)} month{'s' if len(months) > 1 else ''} given" + (
        "" if len(months) == 12 else ", the others read off between them"
    )
