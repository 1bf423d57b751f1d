"""Panels: what sun each face gets as it stands and swings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit import sky
from kit.calculator import applies, calculator, result, row
from kit.climate import MonthName
from kit.kinds import Choice, Count, In, Out, Rows, Text
from kit.months import MONTH, Year, in_season
from kit.quantities import Q, Quantity
from kit.struts import nominal
from kit.sun import SunMonth, clearness_of

__all__ = ["KWH", "FaceLine", "PanelFace", "PanelSun", "panel_sun"]

KWH = "kWh/m^2"


@row
class PanelFace:
    """Panels that look the same way."""

    name: Annotated[str, Text("panels", "left panel")]
    pieces: Annotated[int, Count("of them", 1, ge=1, le=500)] = 1
    power: Annotated[
        Quantity, In("W", "rated power of one", 15, ge=0.1, le=1000, basis="data sheet", find="printed on its back")
    ]
    tilt: Annotated[
        Quantity, In("deg", "tilt from the flat", 60, out_by="3 deg",
                     ge=0, le=90, resolution=1, find="level and bevel gauge")
    ]
    azimuth: Annotated[
        Quantity,
        In(
            "deg",
            "direction it looks, clockwise from true north",
            180,
            out_by="10 deg", ge=0,
            le=360,
            resolution=1,
            find="compass, mended for declination; south 180, north 0; of something moored: at its usual heading",
        ),
    ]
    shade: Annotated[
        Quantity,
        In(
            "percent",
            "share of the direct sun that is shaded off, in the season",
            0,
            ge=0,
            le=100,
            resolution=1,
            find="photo along the panel at noon; trees and masts in eight directions",
        ),
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
    ground: Annotated[
        Quantity, Out("1", "sun from the ground over the sun on the flat", over="month", resolution=0.001)
    ]
    daylight: Annotated[Quantity, Out("h", "from sunrise to sunset", over="month", resolution=0.1)]
    power: Annotated[Quantity, Out("W", "rated power of all")]
    panels: Annotated[Quantity, Out("1", "panels in all")]
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
        In(
            "deg",
            "how far it swings to either side of its usual heading",
            5,
            out_by="3 deg", ge=0,
            le=180,
            resolution=1,
            find="a compass on deck, on a windy day and a calm one; four lines: few degrees; one line: all round",
        ),
    ] = Q(0, "deg"),
    reflects: Annotated[
        Quantity,
        In(
            "percent",
            "share the ground or water before it reflects",
            20,
            ge=0,
            le=90,
            resolution=1,
            find="grass 20, water 10, snow 60 to 80",
        ),
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
    applies(nominal(swing.m_as("deg")) < 60, "It swings so far that its usual heading hardly matters.")
    return _gathered(year, faces, seen, flat, diffuse, year.si(reflects, ""), place, down)


def _face(year: Year, one: PanelFace, place: Any, down: Any, turn: Any, season: Any) -> sky.Tilted:
    """Shares of one face, its shade taken off the direct sun."""
    winter = one.shade if one.winter_shade is None else one.winter_shade
    clear = 1 - np.where(season[:, None], year.si(one.shade, ""), year.si(winter, ""))
    tilt, azimuth = np.radians(year.si(one.tilt, "deg")), np.radians(year.si(one.azimuth, "deg"))
    shares = sky.tilted(place, down, tilt, azimuth, turn)
    return sky.Tilted(shares.direct * clear, shares.sky, shares.ground, shares.still * clear)


def _gathered(
    year: Year,
    faces: Sequence[PanelFace],
    seen: Sequence[sky.Tilted],
    flat: Any,
    diffuse: Any,
    reflects: Any,
    place: Any,
    down: Any,
) -> PanelSun:
    powers = [year.si(one.pieces * one.power, "W") for one in faces]
    whole = sum(powers, np.zeros((1, 1)))

    def together(part: str) -> Any:
        return sum(p * getattr(one, part) for p, one in zip(powers, seen, strict=True)) / whole

    def on(direct: Any, above: Any, below: Any) -> Any:
        return flat * ((1 - diffuse) * direct + diffuse * above + reflects * below)

    direct, above, below = (together(part) for part in ("direct", "sky", "ground"))
    got, calm = on(direct, above, below), on(together("still"), above, below)
    lines = tuple(
        FaceLine(
            name=one.name,
            power=year.out(p[0], "W"),
            best=year.out(np.max(own, axis=0), KWH),
            worst=year.out(np.min(own, axis=0), KWH),
        )
        for one, p, part in zip(faces, powers, seen, strict=True)
        for own in [on(*part[:3])]
    )
    days = sky.DAYS[:, None]
    lost = 1 - np.sum(days * got, axis=0) / np.maximum(np.sum(days * calm, axis=0), 1e-9)
    return PanelSun(
        month=MONTH,
        sun=year.months(got, KWH),
        flat=year.months(flat, KWH),
        direct=year.months(direct),
        diffuse=year.months(above),
        ground=year.months(reflects * below),
        daylight=year.months(24 / np.pi * sky.sunset(place, down), "h"),
        power=year.out(whole[0], "W"),
        panels=year.out(np.array([float(sum(one.pieces for one in faces))])),
        swing_loss=year.out(100 * np.maximum(lost, 0.0), "percent"),
        lines=lines,
    )
