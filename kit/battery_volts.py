"""The volts of a battery, from the cut-off up to charging in the cold."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any

import numpy as np

from kit.battery import Chemistry, fact
from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, between
from kit.kinds import Asks, Choice, Count, In, Out
from kit.quantities import Q, Quantity

__all__ = ["BatteryVolts", "battery_volts"]


@result
class BatteryVolts:
    """Volts that everything joined to the battery has to live with."""

    lowest: Annotated[Quantity, Out("V", "lowest, where loads are cut off", resolution=0.1, rounding="down")]
    nominal: Annotated[Quantity, Out("V", "nominal", resolution=0.1)]
    highest: Annotated[Quantity, Out("V", "highest, charging in the cold", resolution=0.1, rounding="up")]
    charging: Annotated[Quantity, Out("V", "charging at 20 degC", resolution=0.1)]
    returns: Annotated[Quantity, Out("V", "loads come back", resolution=0.1)]
    apart: Annotated[Check, Asks("loads do not chatter between cut-off and return", "battery-manuals")]
    comes_on: Annotated[Check, Asks("loads come back below the charging volts", "practice")]
    suits: Annotated[Check, Asks("charging volts suit the cells", "battery-manuals", hazard=True)]
    in_order: Annotated[Check, Asks("cut-off lies above the deep discharge of the cells", "battery-manuals")]


@calculator("battery-manuals", "kuphaldt")
def battery_volts(
    *,
    chemistry: Annotated[Chemistry, Choice("kind of battery", find="printed on it")],
    block_volts: Annotated[Quantity, In("V", "volts of one block", 12, chosen=True, ge=1, le=60, basis="data sheet")],
    series: Annotated[int, Count("blocks one behind the other in a string", 1, ge=1, le=24)] = 1,
    cold: Annotated[Quantity, In("degC", "coldest air", -10, ge=-60, le=40)],
    charge: Annotated[
        Quantity | None,
        In(
            "V",
            "charging volts of the bank at 20 degC, as the regulator is set",
            14.4,
            ge=1,
            le=90,
            resolution=0.1,
            find="regulator's sheet: absorption or boost volts",
        ),
    ] = None,
    colder: Annotated[
        Quantity | None,
        In(
            "mV",
            "more volts of a cell for each degree colder",
            5,
            ge=0,
            le=10,
            resolution=0.1,
            find="regulator's sheet; 0 without a temperature sensor",
        ),
    ] = None,
    cut_off: Annotated[
        Quantity | None, In("V", "volts at which the regulator cuts loads off", 11.5, ge=1, le=70, resolution=0.1)
    ] = None,
    comes_back: Annotated[
        Quantity | None, In("V", "volts at which it lets them back on", 12.5, ge=1, le=75, resolution=0.1)
    ] = None,
) -> BatteryVolts:
    """From the cut-off up to charging on the coldest day, when a regulator raises its volts.

    Highest = charge + cells k (20 degC - cold), k the volts a cell and degree.
    Spikes of a panel without a battery behind it are not covered: fuse and
    regulator have to outlive those.

    >>> volts = battery_volts(chemistry="sealed lead-acid", block_volts=Q("12 V"), cold=Q("-10 degC"))
    >>> round(float(volts.highest.m_as("V")), 1), round(float(volts.lowest.m_as("V")), 1)
    (15.3, 11.5)
    """
    cells = np.round(np.asarray((series * block_volts / fact(chemistry, "cell")).m_as("")))
    cells = np.maximum(cells, 1.0)
    at_20 = cells * fact(chemistry, "charge") if charge is None else charge
    step = fact(chemistry, "colder").m_as("V/delta_degC") if colder is None else colder.m_as("V")
    degrees = np.maximum(20.0 - cold.m_as("degC"), 0.0)
    lowest = cells * fact(chemistry, "cut") if cut_off is None else cut_off
    back = cells * fact(chemistry, "back") if comes_back is None else comes_back
    deep = cells * Q(2.5 if chemistry.startswith("lithium") else 1.75, "V")
    like = 0 * (series * block_volts).to("V") + 0 * at_20 + Q(0 * degrees, "V")
    return BatteryVolts(
        lowest=(lowest + like).to("V"),
        nominal=(series * block_volts + like).to("V"),
        highest=(at_20 + Q(cells * step * degrees, "V") + like).to("V"),
        charging=(at_20 + like).to("V"),
        returns=(back + like).to("V"),
        apart=at_least(
            (back - lowest + like).to("V"),
            (cells * Q(0.05, "V") + like).to("V"),
            share=False,
            reason="volts between cut-off and return; under load a battery sags and recovers by as much",
        ),
        comes_on=at_most(
            (back + like).to("V"),
            (at_20 + like).to("V"),
            share=False,
            reason="a battery on charge never gets higher, and the loads would stay off",
        ),
        suits=_suits(chemistry, (at_20 + like).to("V"), cells),
        in_order=at_least((lowest + like).to("V"), (deep + like).to("V"), share=False),
    )


def _suits(chemistry: Chemistry, charging: Quantity, cells: Any) -> Check:
    """Charging volts of a cell between those that fill it and those that boil or burn it, by no share of either."""
    low, high = ((cells * fact(chemistry, f"{which}-charge")).to("V") for which in ("least", "most"))
    found = between(charging, low + 0 * charging, high + 0 * charging, reason="at 20 degC, by the number of its cells")
    return replace(found, share=np.nan)
