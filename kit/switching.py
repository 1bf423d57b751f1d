"""Switching a load: how hot the switch gets, with PWM or without, and what a coil does when it is let go."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply, fails
from kit.kinds import Asks, Count, In, Out
from kit.quantities import Q, Quantity

__all__ = ["CoilRelease", "SwitchHeat", "coil_release", "switch_heat"]

_ROOM = Q(25, "degC")


@result
class SwitchHeat:
    """A transistor that switches a load."""

    average: Annotated[Quantity, Out("V", "average voltage at the load")]
    effective: Annotated[Quantity, Out("V", "effective voltage at the load")]
    levels: Annotated[Quantity, Out("1", "steps of brightness", resolution=1, rounding="down", absent="not switched")]
    conducting: Annotated[Quantity, Out("mW", "heat while it conducts", rounding="up", absent="it runs away")]
    switching: Annotated[Quantity, Out("mW", "heat of switching", rounding="up")]
    junction: Annotated[Quantity, Out("degC", "temperature of the junction", rounding="up", absent="it runs away")]
    on_resistance: Annotated[Quantity, Out("mohm", "resistance when hot", absent="it runs away")]
    cool: Annotated[Check, Asks("switch stays below its limit", "TI-TPS2062")]
    gate: Annotated[Check, Asks("controller's pin opens it fully", "practice")]
    bears: Annotated[Check, Asks("switch stands the highest voltage", "practice")]


@calculator("TI-TPS2062")
def switch_heat(
    *,
    current: Annotated[Quantity, In("A", "current of the load", 3, ge=0, le=500)],
    volts: Annotated[Quantity, In("V", "highest supply voltage", 15.3, ge=1, le=200)],
    duty: Annotated[Quantity, In("percent", "share of the time it is on", 100, chosen=True,
                                 ge=0, le=100)] = Q(100, "percent"),
    frequency: Annotated[Quantity, In("Hz", "PWM frequency, 0 for plain on and off", 0, chosen=True,
                                      ge=0, le=1e6)] = Q(0, "Hz"),
    clock: Annotated[Quantity, In("MHz", "clock behind the PWM", 80, ge=0.001, le=1000)] = Q(80, "MHz"),
    resistance: Annotated[Quantity, In("mohm", "resistance when on, at 25 degC", 12, ge=0.1, le=1e5, basis="data sheet",
                                       find="data sheet, at the gate voltage you have, not at 10 V")],
    rises: Annotated[Quantity, In("percent/K", "rise of that resistance with temperature", 0.5, ge=0, le=2, find=(
        "1.5 times at 125 degC is 0.5 %/K"))] = Q(0.5, "percent/K"),
    edges: Annotated[Quantity, In("ns", "rise and fall time together", 200, ge=1, le=1e5)] = Q(200, "ns"),
    thermal: Annotated[Quantity, In("K/W", "thermal resistance from junction to air", 62, ge=0.1, le=500,
                                    basis="data sheet", find="with a sink: junction to case, to sink, to air, summed")]
    = Q(62, "K/W"),
    ambient: Annotated[Quantity, In("degC", "air in the box", 50, ge=-40, le=120)],
    limit: Annotated[Quantity, In("degC", "greatest temperature of the junction", 125, ge=50, le=250,
                                  basis="data sheet", chosen=True)] = Q(125, "degC"),
    gate_needs: Annotated[Quantity, In("V", "gate voltage at which that resistance holds", 2.5, ge=0.5, le=20,
                                       basis="data sheet")] = Q(2.5, "V"),
    gate_has: Annotated[Quantity, In("V", "voltage the pin gives", 3.3, ge=0.5, le=20)] = Q(3.3, "V"),
    stands: Annotated[Quantity, In("V", "voltage it stands when off", 40, ge=1, le=2000, basis="data sheet",
                                   chosen=True)]
    = Q(40, "V"),
) -> SwitchHeat:
    """Heat and temperature of a switch, its resistance taken at the temperature it reaches.

    P = D I^2 R (1 + a (Tj - 25)) + V I (tr + tf) f/2 and Tj = Ta + P Rth; both
    are straight lines, so Tj follows at once.  When Rth D I^2 R a reaches one,
    the switch runs away.  Average voltage is D V, effective sqrt(D) V.

    >>> found = switch_heat(current=Q(5, "A"), volts=Q(12, "V"), resistance=Q(18, "mohm"), rises=Q(0, "percent/K"),
    ...                     ambient=Q(40, "degC"))
    >>> print(f"{found.conducting:.0f~P}, {found.junction:.1f~P}")
    450 mW, 67.9 degC
    """
    share = duty.m_as("")
    cold = Q(share * current**2 * resistance, "W")
    switched = Q(0.5 * volts * current * edges * frequency, "W")
    spiral = (thermal * cold * rises).m_as("")
    base = cold + switched
    # Degrees above 25: T = Ta - 25 + Rth (P25 + Psw + P25 a T).
    above = (ambient.m_as("degC") - _ROOM.m + (thermal * base).m_as("K")) / np.where(spiral < 1, 1 - spiral, np.nan)
    hot = resistance * (1 + rises.m_as("1/K") * above)
    junction = Q(above[()] + _ROOM.m, "degC")
    return SwitchHeat(
        average=Q(share * volts, "V"), effective=Q(np.sqrt(share) * volts, "V"),
        levels=Q(clock / np.where(frequency.m_as("Hz") >= 1, frequency.m_as("Hz"), np.nan)[()] / Q(1, "Hz"), "1"),
        conducting=Q(share * current**2 * hot, "mW"), switching=Q(switched, "mW"), junction=junction,
        on_resistance=Q(hot, "mohm"), cool=_cool(junction, limit),
        gate=at_least(gate_has, gate_needs, reason="a switch that wants 10 V at its gate burns at 3.3 V"),
        bears=at_least(stands, volts),
    )


def _cool(junction: Quantity, limit: Quantity) -> Check:
    if np.isnan(junction.m).all():
        return fails("it gets hotter the more it conducts, without end: take a lower resistance or a sink")
    return at_most(junction, limit, share=False)


@result
class CoilRelease:
    """A coil when its current is cut."""

    current: Annotated[Quantity, Out("mA", "current of the coil", rounding="up")]
    energy: Annotated[Quantity, Out("J", "energy stored", rounding="up")]
    decay: Annotated[Quantity, Out("ms", "time constant of the current through the diode")]
    kick: Annotated[Quantity, Out("V", "voltage without a diode, if nothing broke down", resolution=10, rounding="up")]
    caught: Annotated[Check, Asks("coil has its diode", "kuphaldt", hazard=True)]
    diode: Annotated[Check, Asks("diode bears the coil's current", "kuphaldt")]


@calculator("kuphaldt")
def coil_release(
    *,
    volts: Annotated[Quantity, In("V", "highest supply voltage", 15.3, ge=1, le=200)],
    resistance: Annotated[Quantity, In("ohm", "resistance of the coil", 24, ge=0.1, le=1e5, basis="measured",
                                       find="meter across the coil")],
    inductance: Annotated[Quantity, In("mH", "inductance of the coil", 100, ge=0.01, le=1e5)] = Q(100, "mH"),
    coils: Annotated[int, Count("coils or motors that are switched", 2, ge=0, le=100)] = 1,
    diodes: Annotated[int, Count("diodes across them", 2, ge=0, le=100, find="one across each, against the current")],
    diode_bears: Annotated[Quantity, In("A", "current the diode bears", 1, chosen=True,
                                        ge=0.01, le=500, basis="data sheet")]
    = Q(1, "A"),
    opens_in: Annotated[Quantity, In("us", "time in which the switch opens", 10, ge=0.01, le=10_000)] = Q(10, "us"),
) -> CoilRelease:
    """What is stored in a coil and what its diode has to take.

    I = V/R, E = L I^2/2, the current dies with L/R through the diode, and
    without one the switch sees V + L I/t.  A diode slows a relay or valve in
    letting go.

    >>> valve = coil_release(volts=Q(12, "V"), resistance=Q(24, "ohm"), diodes=1)
    >>> print(f"{valve.energy.m_as('J') * 1000:.1f} mJ, {valve.decay:.1f~P}")
    12.5 mJ, 4.2 ms
    """
    current = Q(volts / resistance, "A")
    missing = np.asarray(coils, dtype=float) - np.asarray(diodes, dtype=float)
    none = np.all(np.asarray(coils) == 0)
    return CoilRelease(
        current=Q(current, "mA"), energy=Q(0.5 * inductance * current**2, "J"), decay=Q(inductance / resistance, "ms"),
        kick=Q(volts + inductance * current / opens_in, "V"),
        caught=does_not_apply("nothing with a coil is switched") if none else at_most(
            Q(np.maximum(missing, 0)[()], "1"), Q(0), reason="coils without a diode: their kick kills the switch"),
        diode=does_not_apply("nothing with a coil is switched") if none else at_most(current, diode_bears),
    )
