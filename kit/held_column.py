"""Water held up above its surface by the air outside: a shut riser, or a wall of water that stands over a pool."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_most, does_not_apply
from kit.kinds import Asks, In, Out
from kit.liquid_water import GRAVITY, Altitude, Density, LowWeather, air_pressure, vapour_pressure, warmth
from kit.quantities import Q, Quantity

__all__ = ["HeldColumn", "held_column"]


@result
class HeldColumn:
    """How high water is held up, how hard the air presses on its walls, and how far trapped air lets it down."""

    limit: Annotated[Quantity, Out("m", "height at which the water would boil at its top", resolution=0.01,
                                   rounding="down")]
    top_pressure: Annotated[Quantity, Out("kPa", "pressure at the top, against the air outside", resolution=0.1)]
    inward: Annotated[Quantity, Out("kg/m^2", "push of the air on a wall at the top, as a load", resolution=1,
                                    rounding="up")]
    push: Annotated[Quantity, Out("N", "push of the air on the wall, in all", resolution=1, rounding="up",
                                  absent="no wall given")]
    water: Annotated[Quantity, Out("m", "water above the free surface as filled", resolution=0.01)]
    warm_water: Annotated[Quantity, Out("m", "water above the free surface when it is warm", resolution=0.01)]
    falls: Annotated[Quantity, Out("mm", "how far warming lets the water down", resolution=1, rounding="up")]
    stands: Annotated[Check, Asks("the column stays well below where it boils", "npsh")]


@calculator("npsh", "us-atmosphere", "wmo-cimo")
def held_column(
    *,
    height: Annotated[Quantity, In(
        "m", "top of the closed space above the free surface of the water", 1.65, ge=-50, le=30, resolution=0.01,
        basis="measured", find="rule, plumb")],
    trapped: Annotated[Quantity, In("mm", "air left at the top when it was filled, as a height", 20, out_by="5 mm",
                                    ge=0, le=30_000)]
    = Q(0, "mm"),
    filled_at: Annotated[Quantity, warmth("temperature at filling", 10)] = Q(10, "degC"),
    warmest: Annotated[Quantity, warmth("warmest it gets in the sun", 35)] = Q(35, "degC"),
    wall: Annotated[Quantity | None, In("m^2", "area of the wall above the free surface", 0.1, ge=0, le=100,
                                        resolution=0.001)] = None,
    altitude: Altitude = Q(0, "m"),
    low_weather: LowWeather = Q(3, "percent"),
    share: Annotated[Quantity, In(
        "percent", "share of the limit that may be used", 60, ge=10, le=100, chosen=True, basis="common practice",
        find="air dissolved in the water comes out long before it boils")] = Q(60, "percent"),
    density: Density = Q(999.7, "kg/m^3"),
) -> HeldColumn:
    """Pressure in water held above its free surface by the air outside, and its limit.

    p(y) = p_air - rho g y; it boils where that meets the vapour pressure, at
    h = (p_air - p_vapour)/(rho g).  Trapped air keeps p V / T and grows as it
    warms, with the vapour of the water in it, so that the level falls until all
    balances.  A leak above the surface lets the whole column down; a shut valve
    on a riser is such a place.  Dissolved air that comes out is left out.

    >>> wall = held_column(height=Q(0.5, "m"), wall=Q(0.2, "m^2"))
    >>> print(f"{wall.top_pressure:.1f~P}, {wall.push:.0f~P} on the wall, limit {wall.limit:.1f~P}")
    -4.9 kPa, 490 N on the wall, limit 9.5 m
    """
    height = Q(np.maximum(height.m_as("m"), 0.0)[()], "m")
    require(trapped <= height, "there cannot be more air at the top than the space is high; such as 20 mm of 1.65 m",
            "trapped", "height")
    weight, air = density * GRAVITY, air_pressure(altitude, low_weather)
    vapour = vapour_pressure(warmest)
    limit = ((air - vapour) / weight).to("m")
    water = height - trapped
    warm = _settled(height, water, air, weight, filled_at, warmest)
    top = -(weight * height).to("kPa")
    none = not np.any(np.asarray(height.magnitude) > 0)
    return HeldColumn(
        limit=limit, top_pressure=top, inward=(density * height).to("kg/m^2"),
        # The pressure grows evenly from nothing at the surface: half of it on the whole wall.
        push=Q(np.nan * top.magnitude, "N") if wall is None else (-top / 2 * wall).to("N"),
        water=water, warm_water=warm, falls=(water - warm).to("mm"),
        stands=does_not_apply("no water is held up") if none else at_most(
            height, (share * limit).to("m"), factor="limit includes a margin for air that comes out of the water"),
    )


def _settled(
    height: Quantity, water: Quantity, air: Quantity, weight: Quantity, cold: Quantity, hot: Quantity
) -> Quantity:
    """Level of the water when its trapped air has warmed: air p V / T constant, vapour besides.

    With g for what is left of the air's pressure over the weight of water,
    (g - y)(h - y) = n, of which the lower root is taken: the other would lie above the top.
    """
    weigh = weight.to("Pa/m")
    trapped_head = ((air - vapour_pressure(cold)) / weigh).to("m") - water
    warmer = (hot.to("K") / cold.to("K")).m_as("")
    n = np.maximum((trapped_head * (height - water)).m_as("m^2"), 0) * warmer
    g, h = ((air - vapour_pressure(hot)) / weigh).m_as("m"), height.m_as("m")
    level = (g + h - np.sqrt((g - h) ** 2 + 4 * n)) / 2
    return Q(np.clip(level, 0, None)[()], "m")
