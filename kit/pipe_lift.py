"""What a standard plastic pipe carries as a float, by length."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least
from kit.kinds import Asks, Choice, In, Out
from kit.quantities import Q, Quantity
from kit.sources import read_table

__all__ = ["PIPES", "PipeLift", "pipe_lift"]

PIPES: tuple[str, ...] = tuple(line["name"] for line in read_table("pipes"))


@result
class PipeLift:
    """Size, mass and lift of a pipe by length, empty and closed."""

    diameter: Annotated[Quantity, Out("mm", "outside diameter", resolution=0.1)]
    wall: Annotated[Quantity, Out("mm", "wall", resolution=0.1)]
    mass: Annotated[Quantity, Out("kg/m", "mass by length", resolution=0.01, rounding="up")]
    displacement: Annotated[Quantity, Out("kg/m", "water displaced by length when wholly under", resolution=0.01,
                                          rounding="down")]
    lift: Annotated[Quantity, Out("kg/m", "lift left for a load, by length", resolution=0.01, rounding="down")]
    floats: Annotated[Check, Asks("it lifts more than itself", "archimedes")]


@calculator("astm-d1785", "en-1401-1", "archimedes")
def pipe_lift(
    *,
    pipe: Annotated[str, Choice("pipe", "PVC-U 315 x 7.7 mm", options=PIPES, find="printed along the pipe")],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
) -> PipeLift:
    """Lift of a closed pipe wholly under water, less its own mass: rho pi/4 D^2 - w, by length.

    Diameter, wall and mass are from the table of the pipe's standard; the
    nominal size is not the diameter.  End caps, foam and the length they cost
    are left out: they are columns of a float.

    >>> print(f"{pipe_lift(pipe='PVC-U 160 x 4.0 mm', density=Q(1000, 'kg/m^3')).lift:.2f~P}")
    17.04 kg/m
    """
    line = next(one for one in read_table("pipes") if one["name"] == pipe)
    diameter, wall, mass = (Q(float(line[key]), line[f"{key}_unit"]) for key in ("diameter", "wall", "mass"))
    displacement = (density * np.pi / 4 * diameter**2).to("kg/m")
    lift = displacement - mass.to("kg/m")
    return PipeLift(
        diameter=diameter.to("mm"), wall=wall.to("mm"), mass=mass.to("kg/m"), displacement=displacement, lift=lift,
        floats=at_least(displacement, mass.to("kg/m")),
    )
