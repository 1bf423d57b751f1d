"""What of the panels' power arrives in the battery: heat, dirt, wires, the regulator and the battery itself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

import numpy as np

from kit import sky
from kit.calculator import calculator, result
from kit.checks import Check, at_least
from kit.climate import Month, by_month
from kit.kinds import Asks, Choice, In, Out, Rows
from kit.months import MONTH, Year
from kit.quantities import Q, Quantity
from kit.solar_panels import KWH
from kit.sources import read_facts

__all__ = ["PanelYield", "panel_yield"]

# The sun on a panel over its day, as a half wave: its mean weighted by itself is pi squared over eight of its mean.
_WEIGHTED = np.pi**2 / 8
_STANDARD = Q(1000, "W/m^2")
_AIR = {
    "open rack": "noct-open", "60 to 90 mm off a roof": "noct-75", "40 to 60 mm off a roof": "noct-50",
    "15 to 40 mm off a roof": "noct-25", "flat on a roof": "noct-flat",
}  # fmt: skip


@result
class PanelYield:
    """What of the panels' power arrives in the battery, and how much that is."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    energy: Annotated[
        Quantity, Out("Wh", "energy into the battery, a mean day", over="month", resolution=0.1, rounding="down")
    ]
    hot: Annotated[Quantity, Out("degC", "temperature of the panel while it earns", over="month", resolution=1)]
    pieces: Annotated[Quantity, Out("percent", "yield, from its pieces", over="month", resolution=1, rounding="down")]
    taken: Annotated[
        Quantity, Out("percent", "yield that is reckoned with", over="month", resolution=1, rounding="down")
    ]
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
        Quantity,
        In("V", "panel volts at its best point", 18, ge=1, le=200, basis="data sheet", find="printed as Vmp or Vmpp"),
    ],
    charge_volts: Annotated[
        Quantity, In("V", "battery volts while it charges", 13.2, ge=1, le=70, find="12 V lead-acid: 13 to 13.5 V")
    ],
    mounting: Annotated[
        Literal[
            "open rack", "60 to 90 mm off a roof", "40 to 60 mm off a roof", "15 to 40 mm off a roof", "flat on a roof"
        ],
        Choice("how much air is behind the panel", "open rack"),
    ] = "open rack",
    noct: Annotated[
        Quantity,
        In(
            "degC",
            "cell temperature at 800 W/m2 and 20 degC",
            45,
            ge=35,
            le=70,
            basis="data sheet",
            find="printed as NOCT",
        ),
    ] = Q(45, "degC"),
    loses: Annotated[
        Quantity,
        In(
            "percent",
            "power lost for each degree above 25",
            0.4,
            ge=0,
            le=1,
            resolution=0.01,
            basis="data sheet",
            find="temperature coefficient of power",
        ),
    ] = Q(0.4, "percent"),
    soiling: Annotated[
        Quantity, In("percent", "lost to dirt and birds", 3, ge=0, le=90, find="2 where rain washes it; gulls: 10")
    ] = Q(3, "percent"),
    mismatch: Annotated[Quantity, In("percent", "lost in wires, joints, age and unlike panels", 6, ge=0, le=60)] = Q(
        6, "percent"
    ),
    charging: Annotated[
        Quantity,
        In(
            "percent",
            "share of what goes into the battery that comes out again",
            85,
            ge=30,
            le=100,
            find="lead-acid 80 to 85, lithium 95",
        ),
    ] = Q(85, "percent"),
    yield_factor: Annotated[
        Quantity | None,
        In(
            "percent",
            "or the yield as a whole, which then counts instead",
            60,
            ge=5,
            le=100,
            find="energy out over rated power times hours of full sun, from a month of readings",
        ),
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
    taken = pieces if yield_factor is None else year.si(yield_factor, "") + 0 * pieces
    energy = year.curve(power, "W") * Q(hours, KWH) / _STANDARD * Q(taken)
    plain = energy.m_as("Wh")
    # Panels lose about a third of a percent of their volts for each degree, at the best point.
    volts_hot = year.si(panel_volts, "V")[0] * np.maximum(1 - 0.0035 * (np.max(cell, axis=0) - 25), 0.1)
    return PanelYield(
        month=MONTH,
        energy=year.months(plain, "Wh"),
        hot=year.months(cell, "degC"),
        pieces=year.months(100 * pieces, "percent"),
        taken=year.months(100 * taken, "percent"),
        regulator_share=year.months(100 * lets, "percent"),
        current=year.out((year.si(power, "W") / year.si(panel_volts, "V"))[0], "A"),
        year=year.out(np.sum(sky.DAYS[:, None] * plain, axis=0) / 1000, "kWh"),
        least=year.out(np.min(plain, axis=0), "Wh"),
        fits=at_least(
            year.out(volts_hot, "V"),
            year.out(year.si(charge_volts, "V")[0] + 1.0, "V"),
            reason="the hottest month against the charging volts and a volt for wires and diode",
        ),
    )
