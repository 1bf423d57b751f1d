"""A battery's voltage brought down to an input by two resistors.

The input sees most when the charger is at its highest, in the cold, and both
resistors are off in the unlucky direction; that, and not the nominal voltage,
decides whether it lives.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most
from kit.kinds import Asks, Choice, Count, In, Out
from kit.quantities import Q, Quantity
from kit.sources import read_table

__all__ = ["Divider", "divider", "flattest"]


@result
class Divider:
    """What the input sees, and what it can tell."""

    ratio: Annotated[Quantity, Out("1", "share of the battery's volts at the input", resolution=0.0001)]
    at_nominal: Annotated[Quantity, Out("V", "input at the nominal voltage")]
    at_highest: Annotated[Quantity, Out("V", "input at the highest voltage", rounding="up")]
    worst: Annotated[Quantity, Out("V", "input at the highest voltage, worst resistors", rounding="up")]
    too_low: Annotated[Quantity, Out("percent", "reads low by at most", resolution=0.01, rounding="up")]
    too_high: Annotated[Quantity, Out("percent", "reads high by at most", resolution=0.01, rounding="up")]
    source: Annotated[Quantity, Out("kohm", "resistance that the converter sees")]
    drain: Annotated[Quantity, Out("uA", "current it takes from the battery all day", rounding="up")]
    step: Annotated[Quantity, Out("mV", "one step of the converter, in battery volts")]
    levels: Annotated[Quantity, Out("1", "levels of the converter", resolution=1)]
    settles_in: Annotated[Quantity, Out("us", "time to settle to half a step without a capacitor", rounding="up")]
    step_charge: Annotated[Quantity, Out("percent", "one step, in percent of charge", resolution=0.01, rounding="up",
                                         absent="no table for this battery")]
    error_charge: Annotated[Quantity, Out("percent", "error of the resistors, in percent of charge", resolution=1,
                                          rounding="up", absent="no table for this battery")]
    input_safe: Annotated[Check, Asks("input never sees more than it bears", "kit", hazard=True)]
    reads_highest: Annotated[Check, Asks("the charger's highest can still be read", "kit")]
    highest_sound: Annotated[Check, Asks("highest voltage is that of a charger, not of the label", "practice")]
    settled: Annotated[Check, Asks("converter sees a settled voltage", "kit")]
    fine: Annotated[Check, Asks("steps are fine enough", "practice")]


@calculator("kuphaldt", "charge-manual")
def divider(
    *,
    upper: Annotated[Quantity, In("kohm", "resistor to the battery", 100, chosen=True,
                                  ge=0.01, le=20_000, find="colour rings")],
    lower: Annotated[Quantity, In("kohm", "resistor to earth", 22, chosen=True,
                                  ge=0.01, le=20_000, find="colour rings")],
    tolerance: Annotated[Quantity, In("percent", "tolerance of each resistor", 1, chosen=True, ge=0, le=20,
                                      basis="data sheet")] = Q(1, "percent"),
    highest: Annotated[Quantity, In("V", "highest voltage of the charger, cold", 15.3, ge=1, le=200, find=(
        "data sheet of the charger, with its cold correction; never the 12 V of the label"))],
    nominal: Annotated[Quantity, In("V", "nominal voltage", 12, ge=1, le=200, chosen=True)] = Q(12, "V"),
    bears: Annotated[Quantity, In("V", "most the input bears", 3.3, ge=0.5, le=50, basis="data sheet", chosen=True)],
    reference: Annotated[Quantity, In("V", "voltage that the converter measures against", 3.3, ge=0.5, le=50,
                                      basis="data sheet")] = Q(3.3, "V"),
    bits: Annotated[int, Count("bits of the converter", 12, ge=4, le=24)] = 12,
    sampling: Annotated[Quantity, In("pF", "sampling capacitance of the converter", 8, ge=0.5, le=500,
                                     basis="data sheet")] = Q(8, "pF"),
    acquiring: Annotated[Quantity, In("us", "time the converter takes to sample", 2, ge=0.05, le=10_000,
                                      basis="data sheet")] = Q(2, "us"),
    capacitor: Annotated[Quantity | None, In("nF", "capacitor from the input to earth", 100, ge=0.01, le=1e6)] = None,
    wanted: Annotated[Quantity, In("mV", "step wanted, in battery volts", 20, ge=0.1, le=2000,
                                   chosen=True)] = Q(20, "mV"),
    battery: Annotated[Literal["lead-acid", "other"], Choice("kind of battery", "lead-acid")] = "lead-acid",
) -> Divider:
    """Worst voltage at the input, and what a step means.

    V = highest R2/(R1 + R2), worst with R2 high and R1 low by the tolerance.
    A step is reference/2^bits brought back to the battery.  The converter
    settles to half a step in R_th C ln 2^(bits + 1), or a capacitor of
    2^(bits + 1) times its own holds the input.  Percent of charge by the
    flattest stretch of a table of rest volts: only at rest does it mean
    anything.  Left out: leakage of the input, errors of the reference.

    >>> feed = divider(upper=Q(100, "kohm"), lower=Q(22, "kohm"), highest=Q(15.3, "V"), bears=Q(3.3, "V"))
    >>> print(f"{feed.worst:.2f~P} of 3.3 V, {feed.step:.1f~P} a step")
    2.80 V of 3.3 V, 4.5 mV a step
    """
    require(highest >= nominal, "the highest voltage lies below the nominal one; write 15.3 V for 12 V", "highest")
    off = tolerance.m_as("")
    ratio = lower / (upper + lower)
    most = lower * (1 + off) / (lower * (1 + off) + upper * (1 - off))
    least = lower * (1 - off) / (lower * (1 - off) + upper * (1 + off))
    levels = 2.0 ** np.asarray(bits, dtype=float)
    step = Q(reference / levels / ratio, "mV")
    source = Q(upper * lower / (upper + lower), "kohm")
    settles = Q(source * sampling * np.log(2 * levels), "us")
    slope = flattest() * nominal / Q(12, "V") if battery == "lead-acid" else Q(np.nan, "V")
    error = np.maximum((most / ratio).m_as("") - 1, 1 - (least / ratio).m_as(""))
    worst = Q(highest * most, "V")
    return Divider(
        ratio=Q(ratio, "1"), at_nominal=Q(nominal * ratio, "V"), at_highest=Q(highest * ratio, "V"), worst=worst,
        too_low=Q(1 - least / ratio, "percent"), too_high=Q(most / ratio - 1, "percent"), source=source,
        drain=Q(highest / (upper + lower), "uA"), step=step, levels=Q(levels, "1"), settles_in=settles,
        step_charge=Q(step / slope, "percent"), error_charge=Q(error * nominal / slope, "percent"),
        input_safe=at_most(worst, bears, reason=_why(nominal * ratio, bears)),
        reads_highest=at_most(worst, reference, reason="above the reference every voltage reads the same"),
        highest_sound=at_least(
            highest, Q(1.15 * nominal, "V"), reason="a 12 V battery on charge reaches 14.4 V", share=False),
        settled=_settled(settles, acquiring, capacitor, sampling, levels),
        fine=at_most(step, wanted),
    )


def _why(at_nominal: Quantity, bears: Quantity) -> str:
    if np.all(at_nominal <= bears):
        return "at the charger's highest, cold, worst resistors; the nominal voltage alone would look right"
    return "at the charger's highest, cold, worst resistors; even the nominal voltage is too much"


def _settled(
    settles: Quantity, acquiring: Quantity, capacitor: Quantity | None, sampling: Quantity, levels: Any
) -> Check:
    """Fast enough by itself, or held by a capacitor that the converter's own cannot pull down by half a step."""
    if capacitor is None:
        return at_most(settles, acquiring, reason="no capacitor at the input")
    return at_least(capacitor, Q(2 * levels * sampling, "nF"), reason="capacitor, 2 levels times the converter's own")


@lru_cache(maxsize=1)
def _flattest() -> float:
    lines = [(float(x["charge"]), float(x["volts"])) for x in read_table("rest_volts")]
    charge, volts = np.array(lines).T
    return float((np.diff(volts) / np.diff(charge / 100)).min())


def flattest() -> Quantity:
    """Volts for the whole charge of a 12 V lead-acid battery, if all of it were as flat as its flattest stretch."""
    return Q(_flattest(), "V")


