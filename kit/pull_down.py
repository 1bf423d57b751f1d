"""The downward pull of mooring legs as a part of the raft's mass."""

from __future__ import annotations

from typing import Annotated

from kit.calculator import calculator, result
from kit.handed import Part, along
from kit.kinds import In, Out, Rows
from kit.quantities import Q, Quantity

__all__ = ["PullDown", "pull_down"]


@result
class PullDown:
    """What the raft carries for its moorings."""

    newtons: Annotated[Quantity, Out("N", "downward force of all legs", rounding="up")]
    as_parts: Annotated[tuple[Part, ...], Rows("the pull as a part")]


@calculator("kit")
def pull_down(
    *,
    pull: Annotated[Quantity, In("kg", "pull-down of all legs at rest, as a mass", 12, ge=0, le=50_000,
                                 find="guess a twentieth of what people weigh; the legs say better")],
    x: Annotated[Quantity, along("x of its middle, towards the named end")] = Q(0, "m"),
    y: Annotated[Quantity, along("y of its middle, to the right")] = Q(0, "m"),
    z: Annotated[Quantity, along("z of the cleats, up from the underside of the frame", 0.08)] = Q(0.08, "m"),
) -> PullDown:
    """The pull of the legs as a mass that sits where the cleats are.

    m = F/g.  A guess stands until the legs are worked out, as they hang on the
    freeboard and the freeboard hangs on it.

    >>> print(f"{pull_down(pull=Q(12, 'kg')).newtons:.0f~P}")
    118 N
    """
    made = Part(name="mooring pull-down", mass=pull, x=x, y=y, z=z)
    return PullDown(newtons=(pull * Q(9.80665, "m/s^2")).to("N"), as_parts=(made,))
