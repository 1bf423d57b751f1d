"""How heavy the water is that a build floats in.

>>> from kit.quantities import Q
>>> print(f"{water_density(kind='fresh', temperature=Q(10, 'degC')).density:.1f~P}")
999.7 kg/m³
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import applies, calculator, require, result
from kit.kinds import Choice, In, Out
from kit.quantities import Q, Quantity, unit
from kit.sources import read_facts

__all__ = ["WaterDensity", "WaterKind", "water_density"]

WaterKind = Literal["fresh", "brackish", "sea"]


@result
class WaterDensity:
    """Density of the water and the salt it was worked out with."""

    density: Annotated[Quantity, Out("kg/m^3", "density of the water", resolution=0.1)]
    salt: Annotated[Quantity, Out("g/kg", "salt in the water", resolution=0.1)]
    pure: Annotated[Quantity, Out("kg/m^3", "density of pure water at the same temperature", resolution=0.001)]


@calculator("tanaka-2001", "eos-1980", "teos-10")
def water_density(
    *,
    kind: Annotated[WaterKind, Choice("kind of water", "fresh", find="ask the keeper, or taste it far from houses")],
    temperature: Annotated[Quantity, In(
        "degC", "temperature of the water", 10, ge=0, le=40, everyday=(0, 30),
        find="thermometer on a string, at the depth of the floats", basis="measured")],
    salinity: Annotated[Quantity | None, In(
        "g/kg", "salt in the water, where it was measured", 0.3, ge=0, le=42, resolution=0.1,
        find="hydrometer or conductivity meter; leave out if not measured", basis="measured")] = None,
) -> WaterDensity:
    """Density of fresh, brackish or sea water at atmospheric pressure.

    Pure water by the equation of 2001 for 0 to 40 degC,
    rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4))), to which the terms in
    salt of the one-atmosphere equation of state are added.  Mud, bubbles and
    dissolved lime are left out: a hard fresh water is heavier by some 0.3 kg/m^3.

    >>> print(f"{water_density(kind='sea', temperature=Q(15, 'degC')).density:.1f~P}")
    1026.0 kg/m³
    """
    facts = read_facts("water")
    require(kind != "fresh" or salinity is None or np.all(salinity <= Q(1, "g/kg")),
            "fresh water holds at most 1 g/kg of salt; choose 'brackish', or leave the salt out", "kind", "salinity")
    salt = facts[kind].q if salinity is None else salinity
    applies(kind != "brackish" or salinity is not None,
            "brackish water was taken at 10 g/kg of salt; it may hold anything from 0.5 to 30 g/kg: measure it")
    warmth = temperature - Q(0, "degC")
    a1, a2, a3, a4, a5 = (facts[f"pure-a{n}"].q for n in range(1, 6))
    pure = a5 * (1 - (warmth + a1) ** 2 * (warmth + a2) / (a3 * (warmth + a4)))
    practical = 35 * (salt / facts["practical"].q).m_as("")
    density = (pure + _salt_terms(warmth.m_as(unit("delta_degC")), practical)).to("kg/m^3")
    return WaterDensity(density=density, salt=salt, pure=pure.to("kg/m^3"))


def _salt_terms(celsius: Any, practical: Any) -> Quantity:
    """What salt adds.  The published fit is in bare degC and practical salinity, so it is evaluated on numbers."""
    fit = {key: fact.value for key, fact in read_facts("water").items() if key.startswith("salt-")}
    first = sum(fit[f"salt-a{n}"] * celsius**n for n in range(5))
    second = sum(fit[f"salt-b{n}"] * celsius**n for n in range(3))
    return Q(first * practical + second * practical**1.5 + fit["salt-c0"] * practical**2, "kg/m^3")
