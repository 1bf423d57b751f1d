"""Slack tanks: liquid that runs to the low side and takes stiffness away."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result, row
from kit.floats import columns
from kit.handed import along
from kit.kinds import Count, In, Out, Rows, Text
from kit.quantities import Q, Quantity

__all__ = ["FreeSurface", "SlackTank", "TankLoss", "free_surface", "surface_moments"]


@row
class SlackTank:
    """A tank, a wet bilge or a pool that is neither full nor empty."""

    name: Annotated[str, Text("tank", "water tank under the seat")]
    mass: Annotated[Quantity, In("kg", "liquid in it", 40, ge=0, le=50_000, find="litres by its density")]
    x: Annotated[Quantity, along("x of its middle")]
    y: Annotated[Quantity, along("y of its middle")]
    z: Annotated[Quantity, along("z of the middle of the liquid", 0.2)]
    length: Annotated[Quantity, In("m", "length of the surface, along x", 0.6, ge=0.01, le=50, basis="measured")]
    width: Annotated[Quantity, In("m", "width of the surface, along y", 0.4, ge=0.01, le=50, basis="measured")]
    strips: Annotated[int, Count("parts that walls along x divide it into", 1, ge=1, le=20)] = 1
    liquid: Annotated[Quantity, In("kg/m^3", "density of the liquid", 1000, ge=500, le=2000, basis="handbook")] = Q(
        1000, "kg/m^3")


@result
class TankLoss:
    """What one tank takes away."""

    name: Annotated[str, Text("tank", "water tank under the seat")]
    across: Annotated[Quantity, Out("m", "metacentric height lost across", resolution=0.0001, rounding="up")]
    lengthwise: Annotated[Quantity, Out("m", "metacentric height lost lengthwise", resolution=0.0001, rounding="up")]


@result
class FreeSurface:
    """Stiffness that slack tanks take away."""

    across: Annotated[Quantity, Out("m", "metacentric height lost across", resolution=0.0001, rounding="up")]
    lengthwise: Annotated[Quantity, Out("m", "metacentric height lost lengthwise", resolution=0.0001, rounding="up")]
    losses: Annotated[tuple[TankLoss, ...], Rows("tank by tank")]


@calculator("archimedes")
def free_surface(
    *,
    mass: Annotated[Quantity, In("kg", "whole mass, the liquid included", 760, ge=1, le=1e9)],
    tanks: Annotated[Sequence[SlackTank], Rows("slack tanks", least=0, most=40)] = (),
) -> FreeSurface:
    """Metacentric height lost to the free surface of every slack tank, both ways.

    The sum of rho l b^3/12 over the mass, each about the tank's own middle line;
    walls that divide it into n strips divide the loss across by n^2.  A tank
    pressed full or empty loses nothing.  Rectangular surfaces at small angles.

    >>> tank = SlackTank(name="tank", mass=Q(400, "kg"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0.2, "m"), length=Q(2, "m"),
    ...                  width=Q(1, "m"))
    >>> print(f"{free_surface(mass=Q(2592, 'kg'), tanks=[tank]).across:.4f~P}")
    0.0643 m
    """
    across, lengthwise = surface_moments(tanks)
    return FreeSurface(
        across=across.sum(axis=0) / mass, lengthwise=lengthwise.sum(axis=0) / mass,
        losses=tuple(
            TankLoss(name=one.name, across=a / mass, lengthwise=b / mass)
            for one, a, b in zip(tanks, across, lengthwise, strict=True)))


def surface_moments(tanks: Sequence[SlackTank]) -> tuple[Any, Any]:
    """Mass times metacentric height that each tank takes, across and lengthwise."""
    if not tanks:
        return Q(np.zeros(0), "kg*m"), Q(np.zeros(0), "kg*m")
    length, width, liquid, mass = columns(tanks, length="m", width="m", liquid="kg/m^3", mass="kg")
    strips = np.array([one.strips for one in tanks]).reshape((-1,) + (1,) * (width.ndim - 1))
    # An empty tank has no surface.
    wet = mass.m_as("kg") > 0
    across, lengthwise = liquid * length * width**3 / 12 / strips**2, liquid * width * length**3 / 12
    return (across * wet).to("kg*m"), (lengthwise * wet).to("kg*m")
