"""Air shut in a float: what its pressure does when the float cools in the water or lies in the sun."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.kinds import In, Out
from kit.quantities import Q, Quantity

__all__ = ["SealedAir", "sealed_air"]


@result
class SealedAir:
    """Pressure of the air in a sealed float."""

    inside: Annotated[Quantity, Out("kPa", "pressure inside", resolution=0.01)]
    over: Annotated[Quantity, Out(
        "kPa", "pressure inside over that outside (negative: the ends bow in)", resolution=0.01)]
    force: Annotated[Quantity, Out("N", "force on a flat end (negative: inwards)", rounding="up")]


@calculator("archimedes")
def sealed_air(
    *,
    closed: Annotated[Quantity, In("degC", "temperature when it was closed", 15, ge=-40, le=60)],
    now: Annotated[Quantity, In("degC", "temperature of the air in it now", 5, ge=-40, le=90)],
    diameter: Annotated[Quantity, In("mm", "inside diameter of the end", 470, ge=10, le=3000)],
    outside: Annotated[Quantity, In("kPa", "air pressure when it was closed and now", 101.325, ge=50, le=110)] = Q(
        101.325, "kPa"),
) -> SealedAir:
    """Pressure in a sealed float at another temperature than it was closed at.

    p = p0 T/T0 with absolute temperatures, an ideal gas in a body that keeps its
    volume.  Weather, height above the sea, moisture and walls that give are left
    out.  Close it on a cool day, vent it, or fill it with foam.

    >>> print(f"{sealed_air(closed=Q(30, 'degC'), now=Q(5, 'degC'), diameter=Q(470, 'mm')).over:.2f~P}")
    -8.36 kPa
    """
    inside = (outside * (now.to("kelvin") / closed.to("kelvin")).m_as("")).to("kPa")
    over = inside - outside
    force = (over * np.pi / 4 * diameter**2).to("N")
    return SealedAir(inside=inside, over=over, force=force)
