"""The righting lever of a raft from upright to large angles."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.floats import FloatBody, check_floats
from kit.handed import along
from kit.kinds import In, Out, Rows
from kit.loading import raft_of, si
from kit.quantities import Q, Quantity

__all__ = ["RightingCurve", "righting"]

_ANGLES = np.radians(np.arange(0.0, 61.0, 1.0))


@result
class RightingCurve:
    """Righting lever against heel, trim held."""

    angle: Annotated[Quantity, Out("deg", "heel, right side down")]
    lever: Annotated[Quantity, Out("m", "righting lever (GZ)", over="angle", absent="it sinks")]
    stiffness: Annotated[Quantity, Out(
        "m", "metacentric height across (GM), level", rounding="down", absent="it sinks")]
    greatest: Annotated[Quantity, Out("m", "greatest lever up to 60 degrees", rounding="down", absent="it sinks")]
    at: Annotated[Quantity, Out("deg", "heel of the greatest lever", absent="it sinks")]
    vanishes: Annotated[Quantity, Out(
        "deg", "heel at which the lever is gone", absent="beyond 60 degrees, or never there")]


@calculator("archimedes")
def righting(
    *,
    mass: Annotated[Quantity, In("kg", "whole mass", 703.6, ge=1, le=1e6)],
    y: Annotated[Quantity, along("y of the centre of gravity")],
    z: Annotated[Quantity, along("z of the centre of gravity", -0.02)],
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
) -> RightingCurve:
    """Righting lever at each heel to the right from 0 to 60 degrees, sinkage solved, no trim.

    The lever is the level distance from the centre of gravity to the vertical
    through the centre of the displaced water.  Before any edge goes in or out
    it follows GM; past that it does not.  Deck and frame displace nothing, and
    nothing on deck slides: people do, at about 15 degrees.
    """
    check_floats(floats)
    raft = raft_of(floats, density, mass, y, z)
    load = [si(mass, "kg"), np.zeros(1), si(y, "m"), si(z, "m")]
    up = np.stack([0 * _ANGLES, -np.sin(_ANGLES), np.cos(_ANGLES)])
    lies = raft.level([np.broadcast_to(part, (_ANGLES.size, part.size)) for part in load], up)
    sine, cosine = np.sin(_ANGLES)[:, None], np.cos(_ANGLES)[:, None]
    curve = cosine * (lies.buoyancy_y - load[2]) + sine * (lies.buoyancy_z - load[3])
    upright = raft.level(load).reshaped((raft.samples,))
    degrees = np.degrees(_ANGLES)
    best = np.argmax(np.where(np.isnan(curve), -np.inf, curve), axis=0)
    greatest = np.take_along_axis(curve, best[None], axis=0)[0]
    return RightingCurve(
        angle=Q(degrees, "deg"), lever=Q(curve[:, 0] if raft.single else curve, "m"),
        stiffness=raft.out(upright.metacentric_y, "m"), greatest=raft.out(greatest, "m"),
        at=raft.out(np.where(np.isnan(greatest), np.nan, degrees[best]), "deg"),
        vanishes=raft.out(_vanishing(curve, degrees), "deg"),
    )


def _vanishing(curve: Any, degrees: Any) -> Any:
    """First angle past the start at which the lever falls through zero, by a straight line between angles."""
    falls = (curve[:-1] > 0) & (curve[1:] <= 0)
    first = np.argmax(falls, axis=0)
    here, there = (np.take_along_axis(part, first[None], axis=0)[0] for part in (curve[:-1], curve[1:]))
    with np.errstate(invalid="ignore", divide="ignore"):
        share = here / (here - there)
    return np.where(falls.any(axis=0), degrees[first] + share, np.nan)
