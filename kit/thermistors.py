"""Thermistors: resistance by temperature, what the converter can tell, and how much it warms itself.

Two laws: beta, from one resistance and one constant, good near its two
temperatures; and the three-term law through three points of the data sheet,
good to hundredths over a hundred degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_most
from kit.columns import cell
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Text
from kit.quantities import Q, Quantity

__all__ = ["Thermistor", "ThermistorPoint", "beta_of", "thermistor", "three_terms"]

_STEPS = 41
FAR = "the law turns round there"


@row
class ThermistorPoint:
    """One point of a data sheet."""

    name: Annotated[str, Text("point", "ice", longest=40)]
    temperature: Annotated[Quantity, In("degC", "temperature", 0, ge=-80, le=200)]
    resistance: Annotated[Quantity, In("ohm", "resistance", 27_326, ge=10, le=1e8, basis="data sheet")]


@result
class Thermistor:
    """A thermistor and its fixed resistor on a converter."""

    temperature: Annotated[Quantity, Out("degC", "temperature")]
    resistance: Annotated[Quantity, Out("kohm", "resistance", over="temperature", absent=FAR)]
    volts: Annotated[Quantity, Out("V", "voltage at the converter", over="temperature", absent=FAR)]
    step: Annotated[Quantity, Out("delta_degC", "one step of the converter", over="temperature", resolution=0.001,
                                  absent=FAR)]
    heating: Annotated[Quantity, Out("delta_degC", "warmth of its own", over="temperature", resolution=0.001,
                                  absent=FAR)]
    cold_resistance: Annotated[Quantity, Out("kohm", "resistance at the cold end", absent=FAR)]
    hot_resistance: Annotated[Quantity, Out("kohm", "resistance at the hot end", absent=FAR)]
    coarsest: Annotated[Quantity, Out("delta_degC", "coarsest step over the range", resolution=0.01, rounding="up",
                                      absent=FAR)]
    warmest: Annotated[Quantity, Out("delta_degC", "greatest warmth of its own", resolution=0.01, rounding="up",
                                      absent=FAR)]
    error: Annotated[Quantity, Out("delta_degC", "error from the tolerance, at the middle of the range",
                                   resolution=0.01, rounding="up", absent=FAR)]
    term_a: Annotated[Quantity, Out("1/K", "first term of the law")]
    term_b: Annotated[Quantity, Out("1/K", "second term")]
    term_c: Annotated[Quantity, Out("1/K", "third term")]
    fine: Annotated[Check, Asks("steps are fine enough over the range", "practice")]
    cool: Annotated[Check, Asks("it does not warm itself too much", "EPCOS-NTC")]
    notes: tuple[str, ...] = ()


@calculator("steinhart-hart", "EPCOS-NTC")
def thermistor(
    *,
    law: Annotated[Literal["beta", "three points"], Choice("law", "beta")] = "beta",
    nominal: Annotated[Quantity, In("kohm", "resistance at its nominal temperature", 10, chosen=True,
                                    ge=0.05, le=10_000,
                                    basis="data sheet")] = Q(10, "kohm"),
    at: Annotated[Quantity, In("degC", "nominal temperature", 25, ge=-50, le=150, chosen=True)] = Q(25, "degC"),
    beta: Annotated[Quantity, In("K", "beta", 3435, ge=500, le=10_000, everyday=(2500, 5000), basis="data sheet",
                                 find="data sheet; it names the two temperatures it was taken from")] = Q(3435, "K"),
    points: Annotated[Sequence[ThermistorPoint], Rows("three points of the data sheet", most=3)] = (),
    tolerance: Annotated[Quantity, In("percent", "tolerance of the resistance", 1, chosen=True,
                                      ge=0, le=30)] = Q(1, "percent"),
    fixed: Annotated[Quantity, In("kohm", "fixed resistor to the supply", 10, ge=0.05, le=10_000)] = Q(10, "kohm"),
    supply: Annotated[Quantity, In("V", "voltage that feeds both and is measured against", 3.3, ge=0.5, le=50)]
    = Q(3.3, "V"),
    bits: Annotated[int, Count("bits of the converter", 12, ge=4, le=24)] = 12,
    spreads: Annotated[Quantity, In("mW/K", "power that warms it by one degree", 1.5, ge=0.05, le=100,
                                    basis="data sheet", find="dissipation factor, in still air")] = Q(1.5, "mW/K"),
    cold: Annotated[Quantity, In("degC", "cold end of the range", -10, ge=-60, le=150, chosen=True)] = Q(-10, "degC"),
    hot: Annotated[Quantity, In("degC", "hot end of the range", 45, ge=-50, le=200, chosen=True)] = Q(45, "degC"),
    wanted: Annotated[Quantity, In("degC", "step wanted", 0.2, ge=0.001, le=10, difference=True, chosen=True)]
    = Q(0.2, "delta_degC"),
    allowed: Annotated[Quantity, In("degC", "warmth of its own allowed", 1, ge=0.001, le=10, difference=True,
                                    chosen=True)]
    = Q(1, "delta_degC"),
) -> Thermistor:
    """Resistance, voltage, steps and own warmth over a range of temperature.

    1/T = A + B ln R + C (ln R)^3 in kelvin and ohm; beta has C = 0 and B =
    1/beta.  The fixed resistor feeds it from the supply that the converter
    measures against, so the supply's drift falls out.  A step is that of
    supply/2^bits over dV/dT; own warmth is V^2/R over the dissipation factor.

    >>> probe = thermistor(beta=Q(3950, "K"), cold=Q(0, "degC"), hot=Q(50, "degC"))
    >>> print(f"{probe.cold_resistance.m_as('ohm'):.0f} to {probe.hot_resistance.m_as('ohm'):.0f} ohm")
    33621 to 3588 ohm
    """
    require(hot > cold, "the hot end must lie above the cold end; write 45 degC", "hot")
    three = law == "three points"
    require(not three or len(points) == 3, "give three points of the data sheet, such as 0, 25 and 50 degC", "points")
    terms = three_terms(points) if three else beta_of(nominal, at, beta)
    share = np.linspace(0, 1, _STEPS)[:, None]
    low, high = (np.atleast_1d(t.m_as("K")) for t in (cold, hot))
    kelvin = low + share * (high - low)
    ohms = _ohms(terms, kelvin)
    pull, volts_in = np.atleast_1d(fixed.m_as("ohm")), np.atleast_1d(supply.m_as("V"))
    volts = volts_in * ohms / (ohms + pull)
    # d ln R/dT from the law itself: dT = -T^2 (B + 3 C (ln R)^2) d ln R.
    falls = kelvin**2 * (terms[1] + 3 * terms[2] * np.log(ohms) ** 2)
    step = volts_in / 2.0 ** np.asarray(bits, dtype=float) / (volts * (1 - volts / volts_in)) * falls
    heating = volts**2 / ohms / np.atleast_1d(spreads.m_as("W/K"))
    middle = falls[_STEPS // 2] * tolerance.m_as("")
    coarsest, warmest = cell(Q(step.max(axis=0), "delta_degC")), cell(Q(heating.max(axis=0), "delta_degC"))
    return Thermistor(
        temperature=cell(Q(kelvin - 273.15, "degC")), resistance=cell(Q(ohms * 1e-3, "kohm")),
        volts=cell(Q(volts, "V")), step=cell(Q(step, "delta_degC")), heating=cell(Q(heating, "delta_degC")),
        cold_resistance=cell(Q(ohms[0] * 1e-3, "kohm")), hot_resistance=cell(Q(ohms[-1] * 1e-3, "kohm")),
        coarsest=coarsest, warmest=warmest, error=cell(Q(np.atleast_1d(middle), "delta_degC")),
        term_a=cell(Q(np.atleast_1d(terms[0]), "1/K")), term_b=cell(Q(np.atleast_1d(terms[1]), "1/K")),
        term_c=cell(Q(np.atleast_1d(terms[2]), "1/K")),
        fine=at_most(coarsest, wanted), cool=at_most(warmest, allowed),
    )


def beta_of(nominal: Quantity, at: Quantity, beta: Quantity) -> tuple[Any, Any, Any]:
    """The three terms of the beta law, in 1/K for ohms."""
    second = np.atleast_1d(1 / beta.m_as("K"))
    return np.atleast_1d(1 / at.m_as("K")) - second * np.log(np.atleast_1d(nominal.m_as("ohm"))), second, 0.0 * second


def three_terms(points: Sequence[ThermistorPoint]) -> tuple[Any, Any, Any]:
    """The three terms of the law through three points, in 1/K for ohms; refuses points that no thermistor has."""
    (r1, y1), (r2, y2), (r3, y3) = (
        (np.atleast_1d(np.log(p.resistance.m_as("ohm"))), np.atleast_1d(1 / p.temperature.m_as("K"))) for p in points)
    with np.errstate(divide="ignore", invalid="ignore"):
        slope2, slope3 = (y2 - y1) / (r2 - r1), (y3 - y1) / (r3 - r1)
        third = (slope3 - slope2) / (r3 - r2) / (r1 + r2 + r3)
        second = slope2 - third * (r1**2 + r1 * r2 + r2**2)
    first = y1 - (second + r1**2 * third) * r1
    # Resistance falls with warmth as long as the slope of the cubic stays above nothing at the points.
    sound = np.isfinite(third) & np.all([second + 3 * third * r**2 > 0 for r in (r1, r2, r3)], axis=0)
    require(bool(np.all(sound)), "no thermistor has these three points: resistance must fall as it gets warmer, "
                                 "such as 27326 ohm at 0, 10000 at 25 and 4158 at 50 degC", "points")
    return tuple(np.where(sound, term, np.nan) for term in (first, second, third))  # type: ignore[return-value]


def _ohms(terms: tuple[Any, Any, Any], kelvin: Any) -> Any:
    """Resistance at temperatures: the root of the cubic in ln R, by Newton's rule from the exponential through it.

    nan where the cubic turns round, far outside its points.
    """
    first, second, third = terms
    with np.errstate(all="ignore"):
        # Started where the straight line of the slope at 10 kohm meets the temperature, which is near for all makes.
        near = np.log(1e4)
        slope = second + 3 * third * near**2
        log = near + (1 / kelvin - first - second * near - third * near**3) / slope
        for _ in range(40):
            left = first + second * log + third * log**3 - 1 / kelvin
            if not np.any(np.abs(left) > 1e-15):
                break
            log = log - left / (second + 3 * third * log**2)
        left = np.abs(first + second * log + third * log**3 - 1 / kelvin)
        return np.where((left < 1e-12) & (second + 3 * third * log**2 > 0) & (np.abs(log) < 60), np.exp(log), np.nan)
