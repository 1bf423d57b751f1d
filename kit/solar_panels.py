"""Panels: what sun each face gets as it stands and swings, and what of it arrives in the battery."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit import sky
from kit.calculator import applies, calculator, result, row
from kit.checks import Check, at_least
from kit.climate import Month, MonthName, by_month
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.months import MONTH, Year, in_season
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.sun import SunMonth, clearness_of

__all__ = ["FaceLine", "PanelFace", "PanelSun", "PanelYield", "panel_sun", "panel_yield"]

KWH = "kWh/m^2"
# The sun on a panel over its day, as a half wave: its mean weighted by itself is pi squared over eight of its mean.
_WEIGHTED = np.pi**2 / 8
_STANDARD = Q(1000, "W/m^2")
_AIR = {
    "open rack": "noct-open", "60 to 90 mm off a roof": "noct-75", "40 to 60 mm off a roof": "noct-50",
    "15 to 40 mm off a roof": "noct-25", "flat on a roof": "noct-flat",
}  # fmt: skip


@row
class PanelFace:
    """Panels that look the same way."""

    name: Annotated[str, Text("panels", "left panel")]
    pieces: Annotated[int, Count("of them", 1, ge=1, le=500)] = 1
    power: Annotated[
        Quantity, In("W", "rated power of one", 15, ge=0.1, le=1000, basis="data sheet", find="printed on its back")
    ]
    tilt: Annotated[
        Quantity, In("deg", "tilt from the flat", 60, ge=0, le=90, resolution=1, find="level and bevel gauge")
    ]
    azimuth: Annotated[
        Quantity,
        In("deg", "direction it looks, clockwise from true north", 180, ge=0, le=360, resolution=1,
           find="compass, mended for declination; south 180, north 0; of something moored: at its usual heading"),
    ]
    shade: Annotated[
        Quantity,
        In("percent", "share of the direct sun that is shaded off, in the season", 0, ge=0, le=100, resolution=1,
           find="photo along the panel at noon; trees and masts in eight directions"),
    ] = Q(0, "percent")
    winter_shade: Annotated[
        Quantity | None, In("percent", "the same out of the season, when the sun is low", 10, ge=0, le=100)
    ] = None


@result
class FaceLine:
    """What one face gets."""

    name: Annotated[str, Text("panels", "left panel")]
    power: Annotated[Quantity, Out("W", "rated power")]
    best: Annotated[Quantity, Out(KWH, "sun on it, a mean day of its best month", resolution=0.01, rounding="down")]
    worst: Annotated[Quantity, Out(KWH, "sun on it, a mean day of its worst month", resolution=0.01, rounding="down")]


@result
class PanelSun:
    """Sun on the panels, all faces together by their power."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    sun: Annotated[Quantity, Out(KWH, "sun on the panels, a mean day", over="month", resolution=0.01, rounding="down")]
    flat: Annotated[Quantity, Out(KWH, "sun on the flat, a mean day", over="month", resolution=0.01, rounding="down")]
    direct: Annotated[Quantity, Out("1", "direct sun on them over that on the flat", over="month", resolution=0.01)]
    diffuse: Annotated[Quantity, Out("1", "diffuse sun on them over that on the flat", over="month", resolution=0.01)]
    ground: Annotated[Quantity, Out("1", "sun from the ground over the sun on the flat", over="month",
                                    resolution=0.001)]
    daylight: Annotated[Quantity, Out("h", "from sunrise to sunset", over="month", resolution=0.1)]
    power: Annotated[Quantity, Out("W", "rated power of all")]
    swing_loss: Annotated[Quantity, Out("percent", "lost by swinging, over the year", resolution=0.1, rounding="up")]
    lines: Annotated[tuple[FaceLine, ...], Rows("panels one by one")]


@calculator("duffie-beckman", "erbs-1982", "klein-1977", "fao-56")
def panel_sun(
    *,
    faces: Annotated[Sequence[PanelFace], Rows("panels", least=1, most=20, find="one row for each way they look")],
    latitude: Annotated[Quantity, In("deg", "latitude, north positive", 54.5, ge=-66, le=66, find="any map")],
    months: Annotated[Sequence[SunMonth], Rows("sun by month", most=12)] = (),
    season_begins: Annotated[MonthName, Choice("first month of the season", "April")] = "April",
    season_ends: Annotated[MonthName, Choice("last month of the season", "October")] = "October",
    swing: Annotated[
        Quantity,
        In("deg", "how far it swings to either side of its usual heading", 5, ge=0, le=180, resolution=1,
           find="a compass on deck, on a windy day and a calm one; four lines: few degrees; one line: all round"),
    ] = Q(0, "deg"),
    reflects: Annotated[
        Quantity, In("percent", "share the ground or water before it reflects", 20, ge=0, le=90, resolution=1,
                     find="grass 20, water 10, snow 60 to 80")
    ] = Q(20, "percent"),
) -> PanelSun:
    """Mean sun on every face of every month, from clearness, tilt, direction and swing.

    H_T = H [(1 - d) R + d (1 + cos b)/2 + r (1 - cos b)/2], with d the diffuse
    share of the month (Erbs), R the direct sun on the face against the flat, summed
    over the day of the month, and r the reflection of the ground: a sky of one
    brightness.  A clear sky gives a few percent more; a panel partly in shade
    loses more than the share that is shaded.

    >>> south = PanelFace(name="south", power=Q("15 W"), tilt=Q("60 deg"), azimuth=Q("180 deg"))
    >>> got = panel_sun(faces=[south], latitude=Q("54.5 deg"), months=[SunMonth(name="December", clearness=Q(0.29))])
    >>> round(float(got.sun[11].m_as("kWh/m^2")), 1), round(float(got.flat[11].m_as("kWh/m^2")), 1)
    (1.0, 0.4)
    """
    cells = [c for f in faces for c in (f.power, f.tilt, f.azimuth, f.shade, f.winter_shade)]
    sunny = [c for m in months for c in (m.radiation, m.sunshine, m.clearness)]
    year = Year(latitude, swing, reflects, *cells, *sunny)
    place, turn = np.radians(year.si(latitude, "deg")), np.radians(year.si(swing, "deg"))
    down = sky.cooper(sky.MEAN_DAYS)
    top = sky.daily_top(place, down, 1 + 0.033 * np.cos(2 * np.pi * sky.MEAN_DAYS / 365))
    clearness = clearness_of(months, place, down, top)
    flat, diffuse = clearness * top / 3.6, sky.monthly_diffuse(clearness, sky.sunset(place, down))
    season = in_season(season_begins, season_ends)
    seen = [_face(year, one, place, down, turn, season) for one in faces]
    still = seen if not np.any(turn) else [_face(year, one, place, down, 0 * turn, season) for one in faces]
    applies(nominal_below(year.si(swing, "deg"), 60), "It swings so far that its mean heading hardly matters.")
    return _gathered(year, faces, seen, still, flat, diffuse, year.si(reflects, ""), place, down)


def nominal_below(value: Any, limit: float) -> bool:
    """True when the mean of the samples stays below a limit."""
    return bool(np.nanmean(value) < limit) if np.any(np.isfinite(value)) else True


def _face(year: Year, one: PanelFace, place: Any, down: Any, turn: Any, season: Any) -> sky.Tilted:
    """Shares of one face, its shade taken off the direct sun."""
    winter = one.shade if one.winter_shade is None else one.winter_shade
    clear = 1 - np.where(season[:, None], year.si(one.shade, ""), year.si(winter, ""))
    tilt, azimuth = np.radians(year.si(one.tilt, "deg")), np.radians(year.si(one.azimuth, "deg"))
    shares = sky.tilted(place, down, tilt, azimuth, turn)
    return sky.Tilted(shares.direct * clear, shares.sky, shares.ground)


def _gathered(
    year: Year, faces: Sequence[PanelFace], seen: Sequence[sky.Tilted], still: Sequence[sky.Tilted], flat: Any,
    diffuse: Any, reflects: Any, place: Any, down: Any,
) -> PanelSun:
    powers = [year.si(one.pieces * one.power, "W") for one in faces]
    whole = sum(powers, np.zeros((1, 1)))

    def together(part: str, of: Sequence[sky.Tilted]) -> Any:
        return sum(p * getattr(one, part) for p, one in zip(powers, of, strict=True)) / whole

    def on(direct: Any, above: Any, below: Any) -> Any:
        return flat * ((1 - diffuse) * direct + diffuse * above + reflects * below)

    direct, above, below = (together(part, seen) for part in ("direct", "sky", "ground"))
    got, calm = on(direct, above, below), on(together("direct", still), above, below)
    lines = tuple(
        FaceLine(name=one.name, power=year.out(p[0], "W"), best=year.out(np.max(own, axis=0), KWH),
                 worst=year.out(np.min(own, axis=0), KWH))
        for one, p, part in zip(faces, powers, seen, strict=True) for own in [on(*part)]
    )
    days = sky.DAYS[:, None]
    lost = 1 - np.sum(days * got, axis=0) / np.maximum(np.sum(days * calm, axis=0), 1e-9)
    return PanelSun(
        month=MONTH, sun=year.months(got, KWH), flat=year.months(flat, KWH), direct=year.months(direct),
        diffuse=year.months(above), ground=year.months(reflects * below),
        daylight=year.months(24 / np.pi * sky.sunset(place, down), "h"), power=year.out(whole[0], "W"),
        swing_loss=year.out(100 * np.maximum(lost, 0.0), "percent"), lines=lines,
    )


@result
class PanelYield:
    """What of the panels' power arrives in the battery, and how much that is."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    energy: Annotated[Quantity, Out("Wh", "energy into the battery, a mean day", over="month", resolution=0.1,
                                    rounding="down")]
    hot: Annotated[Quantity, Out("degC", "temperature of the panel while it earns", over="month", resolution=1)]
    pieces: Annotated[Quantity, Out("percent", "yield, from its pieces", over="month", resolution=1, rounding="down")]
    taken: Annotated[Quantity, Out("percent", "yield that is reckoned with", over="month", resolution=1,
                                   rounding="down")]
    regulator_share: Annotated[Quantity, Out("percent", "what the regulator lets through", over="month", resolution=1)]
    current: Annotated[Quantity, Out("A", "current of the panels in full sun", resolution=0.1, rounding="up")]
    year: Annotated[Quantity, Out("kWh", "energy into the battery, a year", resolution=0.1, rounding="down")]
    least: Annotated[Quantity, Out("Wh", "a day of the darkest month", resolution=0.1, rounding="down")]
    fits: Annotated[Check, Asks("panel volts are enough to charge with when hot", "practice")]


@calculator("sandia-noct", "ieee-1562", "practice")
def panel_yield(
    *,
    sun: Annotated[Quantity, In(KWH, "sun on the panels, a mean day of each month", 2, ge=0, le=20)],
    daylight: Annotated[Quantity, In("h", "from sunrise to sunset, each month", 12, ge=0, le=24)],
    power: Annotated[Quantity, In("W", "rated power of all panels", 30, ge=0.1, le=100_000)],
    air: Annotated[Sequence[Month], Rows("air by month", least=1, most=12)],
    regulator: Annotated[
        Literal["switches the panel to the battery", "tracks the best point"],
        Choice("kind of regulator", "switches the panel to the battery", find="PWM switches, MPPT tracks"),
    ],
    panel_volts: Annotated[
        Quantity, In("V", "panel volts at its best point", 18, ge=1, le=200, basis="data sheet",
                     find="printed as Vmp or Vmpp")
    ],
    charge_volts: Annotated[
        Quantity, In("V", "battery volts while it charges", 13.2, ge=1, le=70, find="12 V lead-acid: 13 to 13.5 V")
    ],
    mounting: Annotated[
        Literal["open rack", "60 to 90 mm off a roof", "40 to 60 mm off a roof", "15 to 40 mm off a roof",
                "flat on a roof"],
        Choice("how much air is behind the panel", "open rack"),
    ] = "open rack",
    noct: Annotated[
        Quantity, In("degC", "cell temperature at 800 W/m2 and 20 degC", 45, ge=35, le=70, basis="data sheet",
                     find="printed as NOCT")
    ] = Q(45, "degC"),
    loses: Annotated[
        Quantity, In("percent", "power lost for each degree above 25", 0.4, ge=0, le=1, resolution=0.01,
                     basis="data sheet", find="temperature coefficient of power")
    ] = Q(0.4, "percent"),
    soiling: Annotated[
        Quantity, In("percent", "lost to dirt and birds", 3, ge=0, le=90, find="2 where rain washes it; gulls: 10")
    ] = Q(3, "percent"),
    mismatch: Annotated[
        Quantity, In("percent", "lost in wires, joints, age and unlike panels", 6, ge=0, le=60)
    ] = Q(6, "percent"),
    charging: Annotated[
        Quantity, In("percent", "share of what goes into the battery that comes out again", 85, ge=30, le=100,
                     find="lead-acid 80 to 85, lithium 95")
    ] = Q(85, "percent"),
    yield_factor: Annotated[
        Quantity | None,
        In("percent", "or the yield as a whole, which then counts instead", 60, ge=5, le=100,
           find="energy out over rated power times hours of full sun, from a month of readings"),
    ] = None,
) -> PanelYield:
    """Energy a day that the battery can give back, for the mean day of every month.

    E = P H_T y, with H_T in hours of full sun.  The yield y is the product of
    what dirt, wires, the regulator, heat and the battery leave.  A regulator
    that switches pulls the panel down to the volts of the battery: it takes
    their ratio, and heat costs nothing more.  One that tracks takes 95 % and
    loses with heat: cell = air + (NOCT - 20 degC)/800 W/m2 times the sun.

    >>> made = panel_yield(sun=Q("2.2 kWh/m^2"), daylight=Q("10 h"), power=Q("30 W"), yield_factor=Q("60 %"),
    ...     air=[Month(name="October", temperature=Q("8 degC"), humidity=Q("85 %"))],
    ...     regulator="switches the panel to the battery", panel_volts=Q("18 V"), charge_volts=Q("13.2 V"))
    >>> round(float(made.energy[9].m_as("Wh")), 1)
    39.6
    """
    given = (sun, daylight, power, panel_volts, charge_volts, noct, loses, soiling, mismatch, charging, yield_factor)
    year = Year(*given, *(m.temperature for m in air))
    hours, light = year.si(sun, KWH), np.maximum(year.si(daylight, "h"), 0.1)
    strength = _WEIGHTED * hours / light * 1000
    warmer = read_facts("solar")[_AIR[mounting]].q
    rise = year.si(noct, "degC") + warmer.m_as("delta_degC") - 20
    air_now = year.si(by_month(air)[0], "degC")
    cell = air_now + rise / 800 * strength
    ratio = year.si(charge_volts, "V") / year.si(panel_volts, "V")
    tracks = regulator == "tracks the best point"
    lets = 0.95 * np.maximum(1 - year.si(loses, "") * (cell - 25), 0.0) if tracks else np.minimum(ratio, 1.0)
    lets = np.broadcast_to(lets, (12, np.shape(lets)[-1]))
    pieces = (1 - year.si(soiling, "")) * (1 - year.si(mismatch, "")) * lets * year.si(charging, "")
    taken = pieces if yield_factor is None else np.broadcast_to(year.si(yield_factor, ""), (12, 1)) + 0 * pieces
    energy = year.curve(power, "W") * Q(hours, KWH) / _STANDARD * Q(taken)
    plain = energy.m_as("Wh")
    # Panels lose about a third of a percent of their volts for each degree, at the best point.
    volts_hot = year.si(panel_volts, "V")[0] * np.maximum(1 - 0.0035 * (np.max(cell, axis=0) - 25), 0.1)
    return PanelYield(
        month=MONTH, energy=year.months(plain, "Wh"), hot=year.months(cell, "degC"),
        pieces=year.months(100 * pieces, "percent"), taken=year.months(100 * taken, "percent"),
        regulator_share=year.months(100 * lets, "percent"),
        current=year.out((year.si(power, "W") / year.si(panel_volts, "V"))[0], "A"),
        year=year.out(np.sum(sky.DAYS[:, None] * plain, axis=0) / 1000, "kWh"),
        least=year.out(np.min(plain, axis=0), "Wh"),
        fits=at_least(year.out(volts_hot, "V"), year.out(year.si(charge_volts, "V")[0] + 1.0, "V"),
                      reason="the hottest month against the charging volts and a volt for wires and diode"),
    )
