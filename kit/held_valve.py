"""What a valve or relay costs while it is held open, against a latching one that takes a pulse to turn."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, require, result
from kit.kinds import In, Out
from kit.quantities import Q, Quantity

__all__ = ["HeldValve", "held_valve"]


@result
class HeldValve:
    """Energy of both, and what the difference would do elsewhere."""

    held: Annotated[Quantity, Out("Wh", "held open, a day", resolution=0.01)]
    latching: Annotated[Quantity, Out("Wh", "latching, a day", resolution=0.001, rounding="up")]
    spared: Annotated[Quantity, Out("Wh", "spared, a day", resolution=0.01, rounding="down")]
    share: Annotated[Quantity, Out("percent", "spared of what is drawn on a day in the season", resolution=0.1)]
    minutes: Annotated[Quantity, Out("min", "more of the lamps for it, a day", resolution=1, rounding="down",
                                     absent="there are no lamps")]  # fmt: skip


@calculator("practice")
def held_valve(
    *,
    power: Annotated[
        Quantity, In("W", "power while it is held open", 6, ge=0, le=500, basis="data sheet", find="label of the coil")
    ],
    open_time: Annotated[Quantity, In("min", "time it is open, a day", 12, ge=0, le=30_000)],
    openings: Annotated[Quantity, In("1", "openings a day", 8, ge=0, le=10_000)],
    pulse_power: Annotated[
        Quantity, In("W", "power of the latching one during its pulse", 6, ge=0, le=500, basis="data sheet")
    ] = Q(6, "W"),
    pulse: Annotated[
        Quantity, In("ms", "length of a pulse", 50, ge=1, le=5000, basis="data sheet", find="its sheet; 20 to 100 ms")
    ] = Q(50, "ms"),
    season: Annotated[Quantity, In("Wh", "drawn on a day in the season", 30.9, ge=0.01, le=1e6)] = Q(30, "Wh"),
    lamps: Annotated[Quantity, In("W", "power of the lamps", 3.6, ge=0, le=100_000)] = Q(0, "W"),
) -> HeldValve:
    """Held: P t; latching: two pulses an opening, one to open and one to shut.

    A held valve shuts by itself when the power fails; a latching one stays as
    it is, so that water may run on: that, not the energy, may decide.

    >>> valve = held_valve(power=Q("6 W"), open_time=Q("12 min"), openings=Q(8))
    >>> round(float(valve.held.m_as("Wh")), 2), round(float(valve.latching.m_as("Wh")), 4)
    (1.2, 0.0013)
    """
    require(
        (2 * openings * pulse).m_as("h") <= 24,
        "two pulses an opening do not fit into a day; write 50 ms and 8 openings", "openings", "pulse",
    )  # fmt: skip
    held = (power * open_time).to("Wh")
    latching = (2 * openings * pulse_power * pulse).to("Wh")
    spared = held - latching
    watts = lamps.m_as("W")
    minutes = (spared / Q(np.where(watts > 0, watts, np.nan)[()], "W")).to("min")
    return HeldValve(
        held=held, latching=latching, spared=spared, share=(spared / season).to("percent"), minutes=minutes
    )
