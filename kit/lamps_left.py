"""What is left in the battery tonight, and how long the lamps would burn if somebody left them on."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.battery import Chemistry, fact
from kit.calculator import applies, calculator, result
from kit.checks import Check, at_least
from kit.kinds import Asks, Choice, In, Out, Rows, Says
from kit.months import Year
from kit.quantities import Q, Quantity
from kit.sources import read_table
from kit.struts import nominal

__all__ = ["LampHours", "LeftOn", "RunTime", "charge_at_rest", "left_on", "peukert_time"]


def charge_at_rest(volts: Any, nominal_volts: Any) -> Any:
    """Share of its charge that a lead-acid battery has, from the volts it shows after some hours of rest."""
    rows = sorted((float(r["volts"]), float(r["charge"])) for r in read_table("battery_rest"))
    return np.interp(volts * 12 / nominal_volts, [v for v, _ in rows], [c / 100 for _, c in rows])


@result
class RunTime:
    """How long a battery lasts at a steady current."""

    time: Annotated[Quantity, Out("h", "time to empty", resolution=0.1, rounding="down")]
    charge: Annotated[Quantity, Out("Ah", "what it gives until then", resolution=0.1, rounding="down")]
    rate: Annotated[Quantity, Out("1", "current over the one it is rated at", resolution=0.01)]


@calculator("peukert")
def peukert_time(
    *,
    capacity: Annotated[Quantity, In("Ah", "capacity", 100, ge=0.1, le=40_000, basis="data sheet")],
    hours: Annotated[Quantity, In("h", "hours it is rated at", 20, ge=1, le=240, find="printed as C20 or 20 HR")] = Q(
        20, "h"
    ),
    current: Annotated[Quantity, In("A", "steady current", 5, ge=0.001, le=20_000)],
    exponent: Annotated[
        Quantity,
        In(
            "1",
            "Peukert exponent",
            1.2,
            ge=1,
            le=1.6,
            resolution=0.01,
            find="from two lines of the data sheet: ln(t1/t2)/ln(I2/I1)",
        ),
    ] = Q(1.2),
) -> RunTime:
    """Peukert's law with the rated hours: t = H (C/(I H))^k.

    At the rated current it gives back the rated hours exactly.  It holds for a
    steady current between a fiftieth and a half of the capacity, at a steady
    temperature; for milliamperes now and then it says nothing.

    >>> print(round(float(peukert_time(capacity=Q("100 Ah"), current=Q("10 A")).time.m_as("h")), 1))
    8.7
    """
    share = (current / (capacity / hours)).m_as("")
    time = (hours * share ** -exponent.m_as("")).to("h")
    slow = nominal((current / capacity).m_as("1/h"))
    applies(
        0.02 <= slow <= 0.5, "The current is outside a fiftieth to a half of the capacity, where the law was found."
    )
    return RunTime(time=time, charge=(time * current).to("Ah"), rate=Q(share))


@result
class LampHours:
    """How long the lamps burn from one reading."""

    reading: Annotated[Quantity, Out("V", "volts at rest", resolution=0.01)]
    charge: Annotated[Quantity, Out("percent", "charge", resolution=1)]
    hours: Annotated[Quantity, Out("h", "lamps burn for", resolution=1, rounding="down")]


@result
class LeftOn:
    """The lamps left on tonight."""

    charge: Annotated[Quantity, Out("percent", "charge of the battery now", resolution=1, rounding="down")]
    left: Annotated[Quantity, Out("Wh", "left before the cut-off", resolution=1, rounding="down")]
    hours: Annotated[Quantity, Out("h", "the lamps burn until the cut-off", resolution=1, rounding="down")]
    one_night: Annotated[Quantity, Out("Wh", "one night of lamps left on takes", resolution=1, rounding="up")]
    nights: Annotated[Quantity, Out("1", "such nights", resolution=0.1, rounding="down")]
    said: Annotated[str, Says("in one line")]
    by_reading: Annotated[tuple[LampHours, ...], Rows("how long the lamps burn, by the volts at rest")]
    lasts: Annotated[Check, Asks("lamps forgotten for one winter night do not empty it", "practice")]


@calculator("battery-manuals", "practice")
def left_on(
    *,
    lamps: Annotated[Quantity, In("W", "power of the lamps", 3.6, ge=0, le=100_000)],
    always: Annotated[Quantity, In("W", "drawn day and night", 0.34, ge=0, le=100_000)] = Q(0, "W"),
    usable: Annotated[Quantity, In("Wh", "may be used in the coldest month, from full", 147, ge=0.1, le=1e7)],
    depth: Annotated[Quantity, In("percent", "share of the battery that may be used", 50, ge=5, le=100)] = Q(
        50, "percent"
    ),
    chemistry: Annotated[Chemistry, Choice("kind of battery")] = "sealed lead-acid",
    volts: Annotated[Quantity, In("V", "volts of the bank, nominal", 12, ge=1, le=600)] = Q(12, "V"),
    reading: Annotated[
        Quantity | None,
        In(
            "V",
            "volts it shows now, after some hours of rest",
            12.5,
            ge=1,
            le=700,
            resolution=0.01,
            find="meter at the battery, nothing on, no sun for three hours",
        ),
    ] = None,
    night: Annotated[Quantity, In("h", "length of the night", 16, ge=1, le=24)] = Q(16, "h"),
) -> LeftOn:
    """Energy left over power, from the charge that the volts at rest tell; full where nothing was read.

    Hours = (charge - (1 - depth)) / depth times usable over lamps and standby.
    The table of volts is for lead-acid; volts of lithium say nothing of its charge
    between a tenth and nine tenths.

    >>> night = left_on(lamps=Q("3.6 W"), usable=Q("147 Wh"))
    >>> round(float(night.hours.m_as("h")))
    41
    """
    year = Year(lamps, always, usable, depth, volts, reading, night)
    deep, power = depth.m_as(""), (lamps + always).to("W")
    lead = not chemistry.startswith("lithium")
    charge = charge_at_rest(reading.m_as("V"), volts.m_as("V")) if reading is not None and lead else 1.0
    applies(reading is None or lead, "Volts of a lithium battery say nothing of its charge: it is taken as full.")
    if reading is not None and lead:
        cells = volts / fact(chemistry, "cell")
        applies(nominal((reading / cells).m_as("V")) < 2.2, "The reading is that of a battery on charge; let it rest.")
    left = np.maximum(charge - (1 - deep), 0.0) / deep * usable
    watts = np.maximum(power.m_as("W"), 1e-6)
    hours = np.minimum((left.m_as("Wh") / watts), 1e6)
    takes = Q(watts, "W") * night

    def flat(value: Any, unit: str) -> Quantity:
        return year.out(np.atleast_1d(value.m_as(unit) if isinstance(value, type(left)) else value), unit)

    return LeftOn(
        charge=flat(Q(100 * charge, "percent"), "percent"),
        left=flat(left, "Wh"),
        hours=flat(Q(hours, "h"), "h"),
        one_night=flat(takes, "Wh"),
        nights=flat(left / takes, ""),
        by_reading=_by_reading(year, volts, deep, usable, watts) if lead else (),
        said=_said(nominal(hours), nominal(watts), nominal(left.m_as("Wh"))),
        lasts=at_least(flat(left, "Wh"), flat(takes, "Wh"), reason="what is left against one long night"),
    )


def _said(hours: float, watts: float, left: float) -> str:
    if left <= 0:
        return "nothing is left above the cut-off: the lamps are off already"
    days = f", {hours / 24:.1f} days" if hours >= 36 else ""
    return f"lamps left on take {watts:.1f} W and burn for {hours:.0f} h{days}"


def _by_reading(year: Year, volts: Quantity, deep: Any, usable: Quantity, watts: Any) -> tuple[LampHours, ...]:
    """The same for every line of the table of volts at rest that leaves something above the cut-off, fullest first."""
    rows = []
    for line in read_table("battery_rest"):
        charge = float(line["charge"]) / 100
        left = np.maximum(charge - (1 - deep), 0.0) / deep * usable.m_as("Wh")
        if not nominal(left) > 0:
            continue
        rows.append(
            LampHours(
                reading=year.out(np.atleast_1d(float(line["volts"]) / 12 * volts.m_as("V")), "V"),
                charge=Q(100 * charge, "percent"),
                hours=year.out(np.atleast_1d(np.minimum(left / watts, 1e6)), "h"),
            )
        )
    return tuple(rows)
