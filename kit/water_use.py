"""What a pump and its valves take from the battery in a day, and what the work done is worth of it."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import applies, calculator, result
from kit.kinds import Choice, In, Out, Says
from kit.quantities import Q, Quantity

__all__ = ["WaterUse", "water_use"]

ValveKind = Literal["held open", "latching", "by hand"]


@result
class WaterUse:
    """Energy a day of pump and valves."""

    pump_hours: Annotated[Quantity, Out("h", "pump runs on a day in the season", resolution=0.01)]
    winter_hours: Annotated[Quantity, Out("h", "pump runs on a day out of the season", resolution=0.01)]
    start: Annotated[Quantity, Out("W", "power at the moment the pump starts", resolution=1, rounding="up")]
    pump_energy: Annotated[Quantity, Out("Wh", "pump, a day in the season", resolution=0.1, rounding="up")]
    valve_energy: Annotated[Quantity, Out("Wh", "valve, a day in the season", resolution=0.01, rounding="up")]
    season: Annotated[Quantity, Out("Wh", "in all, a day in the season", resolution=0.1, rounding="up")]
    winter: Annotated[Quantity, Out("Wh", "in all, a day out of the season", resolution=0.1, rounding="up")]
    held: Annotated[Quantity, Out("Wh", "a valve held open would take", resolution=0.01, rounding="up")]
    latching: Annotated[Quantity, Out("Wh", "a latching valve would take", resolution=0.001, rounding="up")]
    valve_hours: Annotated[Quantity, Out("h", "coil draws on a day in the season", resolution=0.01)]
    valve_winter: Annotated[Quantity, Out("h", "coil draws on a day out of the season", resolution=0.01)]
    efficiency: Annotated[Quantity, Out("percent", "work done on the water, share of what the pump takes", resolution=1,
                                        absent="the pump does not run")]
    says: Annotated[str, Says("what the valve costs, in words")]


@calculator("practice", "kit")
def water_use(
    *,
    season_open: Annotated[Quantity, In("min", "pump runs on a day in the season", 12, ge=0, le=1440)],
    winter_open: Annotated[Quantity, In("min", "pump runs on a day out of the season", 0, ge=0, le=1440)] = Q(0, "min"),
    season_valves: Annotated[Quantity | None, In(
        "min", "valves open on a day in the season, added up", 12, ge=0, le=30_000,
        find="leave it out where one is open at a time: then as long as the pump runs")] = None,
    winter_valves: Annotated[Quantity | None, In(
        "min", "valves open on a day out of the season, added up", 0, ge=0, le=30_000)] = None,
    work: Annotated[Quantity, In("Wh", "work done on the water on a day in the season", 1.4, ge=0, le=1e6)]
    = Q(0, "Wh"),
    power: Annotated[Quantity, In("W", "what the pump takes while it runs", 36, ge=0.1, le=100_000, everyday=(5, 500),
                                  resolution=0.1, basis="measured", find="clamp meter on its wire times its volts")],
    start_factor: Annotated[Quantity, In(
        "1", "current at the start over that while it runs", 3, ge=1, le=15, resolution=0.1, basis="common practice",
        find="clamp meter that holds the peak")] = Q(3),
    valve: Annotated[ValveKind, Choice("kind of valve", "held open")] = "held open",
    coil: Annotated[Quantity, In("W", "what a valve takes while it is held open", 6, ge=0, le=1000, resolution=0.1,
                                 basis="data sheet", find="printed on its coil")] = Q(6, "W"),
    openings: Annotated[Quantity, In("1", "times a day that a valve opens", 10, ge=0, le=10_000)] = Q(10),
    pulse: Annotated[Quantity, In("ms", "length of one pulse of a latching valve", 50, ge=1, le=5000,
                                  basis="data sheet")] = Q(50, "ms"),
) -> WaterUse:
    """Energy a day: power times hours, a held valve its coil as long as it is open, a latching one two pulses a time.

    The starting current lasts well under a second; it sizes wire and fuse, not the battery.

    >>> day = water_use(season_open=Q(12, "min"), power=Q(36, "W"))
    >>> print(f"pump {day.pump_energy:.1f~P}, valve {day.valve_energy:.1f~P}")
    pump 7.2 Wh, valve 1.2 Wh
    """
    hours, winter_hours = season_open.to("h"), winter_open.to("h")
    # Two valves that are open together draw twice, though the pump runs once.
    held = hours if season_valves is None else season_valves.to("h")
    winter_held = winter_hours if winter_valves is None else winter_valves.to("h")
    pulses = (2 * openings * pulse).to("h")
    coil_on = {"held open": held, "latching": pulses, "by hand": 0 * hours}[valve]
    # Nothing opens on a day on which nothing runs.
    runs = np.asarray(winter_hours.magnitude) > 0
    winter_on = {"held open": winter_held, "latching": pulses * runs, "by hand": 0 * hours}[valve]
    pump, valves = (power * hours).to("Wh"), (coil * coil_on).to("Wh")
    takes = pump.m_as("Wh")
    share = Q(np.where(takes > 0, work.m_as("Wh") / np.where(takes > 0, takes, 1), np.nan)[()])
    applies(~(np.asarray(share.magnitude) > 0.6), "no small pump turns more than half of what it takes into work: "
            "check its watts and the points of its curve")
    return WaterUse(
        pump_hours=hours, winter_hours=winter_hours, start=power * start_factor, pump_energy=pump, valve_energy=valves,
        season=pump + valves, winter=(power * winter_hours + coil * winter_on).to("Wh"),
        held=(coil * held).to("Wh"), latching=(coil * pulses).to("Wh"), valve_hours=coil_on, valve_winter=winter_on,
        efficiency=share.to("percent"), says=_says(valve),
    )


def _says(valve: str) -> str:
    return {
        "held open": "the valve's coil draws as long as water runs, and keeps it open only while there is power",
        "latching": "the valve draws only to turn; it stays open when power fails: fit a tap by hand besides",
        "by hand": "no power for valves",
    }[valve]
