"""Water as it is pumped, and the air that presses on it: viscosity, vapour pressure, pressure of the air by height.

>>> from kit.quantities import Q
>>> print(f"{air_pressure(Q(320, 'm')).to('kPa'):.1f~P}")
97.5 kPa
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.kinds import In
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["GRAVITY", "Altitude", "Density", "LowWeather", "air_pressure", "thickness_of", "vapour_pressure", "warmth"]

GRAVITY = Q(9.80665, "m/s^2")

Altitude = Annotated[Quantity, In(
    "m", "height above the sea", 320, ge=-430, le=5000, resolution=1, find="any map of the place")]
Density = Annotated[Quantity, In(
    "kg/m^3", "density of the water", 999.7, ge=950, le=1100, resolution=0.1, basis="handbook")]
LowWeather = Annotated[Quantity, In(
    "percent", "how far bad weather lowers the pressure of the air", 3, ge=0, le=10, basis="common practice",
    find="3 % is a deep low; common practice, no source")]


def warmth(meaning: str, example: float) -> In:
    """A temperature of liquid water."""
    return In("degC", meaning, example, ge=0, le=60, everyday=(0, 45), basis="measured",
              find="thermometer held in the water")


def air_pressure(altitude: Quantity, lower: Quantity | None = None) -> Quantity:
    """Pressure of the standard atmosphere at a height, less a share for low weather.

    p = p0 (1 - c z)^n, the lowest layer of the standard atmosphere; good from
    below sea level to 11 km.
    """
    sea, fall, power = (read_facts("pumping")[key].q for key in ("air-sea", "air-fall", "air-power"))
    pressure: Quantity = sea * (1 - (fall * altitude).m_as("")) ** power.m_as("")
    return pressure if lower is None else pressure * (1 - lower.m_as(""))


def vapour_pressure(temperature: Quantity) -> Quantity:
    """Pressure at which water of a temperature boils: 6.112 hPa exp(17.62 t / (243.12 + t)), over liquid water."""
    scale, rate, turn = (read_facts("pumping")[f"vapour-{key}"].q for key in ("scale", "rate", "turn"))
    above = temperature - Q(0, "degC")
    pressure: Quantity = scale * np.exp((rate * above / (turn + above)).m_as(""))
    return pressure


def thickness_of(temperature: Quantity, density: Quantity) -> Quantity:
    """Kinematic viscosity of liquid water: a sum of four powers of temperature, over the density.

    Salt thickens sea water by some 8 %, which is left out.
    """
    facts = read_facts("pumping")
    share = (temperature.to("K") / Q(300, "K")).m_as("")
    terms: Any = sum(facts[f"visc-a{n}"].value * share ** facts[f"visc-b{n}"].value for n in range(1, 5))
    viscosity: Quantity = (Q(terms * 1e-6, "Pa*s") / density).to("mm^2/s")
    return viscosity
