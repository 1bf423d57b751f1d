"""A lid at rest, held by a prop, strut, stay or rope; and a lid that falls shut."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import applies, calculator, require, result
from kit.kinds import Choice, In, Out, Says
from kit.lid_swing import GRAVITY
from kit.quantities import Q, Quantity
from kit.struts import nominal, nq, turned

__all__ = ["HeldLid", "LidSlam", "held_lid", "lid_slam"]


@result
class HeldLid:
    """The force in what holds a lid, and what is left for its hinges."""

    force: Annotated[Quantity, Out("N", "force in what holds it (plus pushes the lid)", rounding="up")]
    arm: Annotated[Quantity, Out("mm", "arm of that force about the pin")]
    moment: Annotated[Quantity, Out("N*m", "moment of the weights about the pin")]
    length: Annotated[Quantity, Out("mm", "length of what holds it", absent="its direction is given, not its end")]
    hinge_across: Annotated[Quantity, Out("N", "hinges on the lid, level (plus towards the lid's open side)")]
    hinge_up: Annotated[Quantity, Out("N", "hinges on the lid, upright (plus up)")]
    hinges: Annotated[Quantity, Out("N", "hinges together", rounding="up")]
    near_across: Annotated[Quantity, Out("N", "hinge on the held side, level")]
    near_up: Annotated[Quantity, Out("N", "hinge on the held side, upright")]
    far_across: Annotated[Quantity, Out("N", "hinge on the other side, level")]
    far_up: Annotated[Quantity, Out("N", "hinge on the other side, upright")]
    acts: Annotated[str, Says("what the force does, in words")]


@calculator("kit", "den-hartog", "beer-johnston")
def held_lid(
    *,
    weight: Annotated[Quantity, In("N", "weight of the lid", 84, ge=0.1, le=50_000, find="mass x 9.81 m/s^2")],
    centre: Annotated[Quantity, In("mm", "its centre of gravity, along the lid from the pin", 315, ge=0, le=20_000)],
    load: Annotated[Quantity, In("N", "weight of something else on it", 0, ge=0, le=50_000)] = Q(0, "N"),
    load_at: Annotated[Quantity, In("mm", "where that lies, along the lid from the pin", 300, ge=0,
                                    le=20_000)] = Q(0, "mm"),
    angle: Annotated[Quantity, In("deg", "angle of the lid above the horizontal (hanging: minus)", 50,
                                  ge=-180, le=180)],
    held_at: Annotated[Quantity, In("mm", "where it is held, along the lid from the pin", 470, ge=1, le=20_000)],
    known: Annotated[Literal["direction", "other end"], Choice("what is known of what holds it")],
    direction: Annotated[Quantity, In("deg", "direction of its push on the lid, above the horizontal", 90,
                                      ge=-180, le=180, find="90 is straight up")] = Q(90, "deg"),
    foot_across: Annotated[Quantity | None, In("mm", "its other end, level from the pin (plus to the lid's open side)",
                                               178, ge=-20_000, le=20_000)] = None,
    foot_up: Annotated[Quantity | None, In("mm", "its other end, above the pin", 0, ge=-20_000, le=20_000)] = None,
    off_middle: Annotated[Quantity, In("mm", "held off the middle of the width", 0, ge=0, le=5000)] = Q(0, "mm"),
    spacing: Annotated[Quantity, In("mm", "distance between two hinges, middle to middle", 400, ge=1, le=10_000)]
    = Q(400, "mm"),
) -> HeldLid:
    """Force in a prop, strut, stay or rope that holds a lid at rest, and the forces at two hinges.

    Moments about the pin: force x arm = weight x level distance.  Known is
    either the direction of the force or the place of its other end.  Two hinges share
    what lies in the middle equally; what is off the middle goes to them by the
    lever.  Friction at the hinge is left out.

    >>> lid = held_lid(weight=Q(120, "N"), centre=Q(0.4, "m"), angle=Q(30, "deg"), held_at=Q(0.8, "m"),
    ...                known="direction")
    >>> print(f"{lid.force.m_as('N'):.0f} N, hinges {lid.hinge_up.m_as('N'):.0f} N")
    60 N, hinges 60 N
    """
    x, y = turned(held_at, Q(0, "mm"), angle)
    push_x, push_y, length = _line(x, y, known, direction, foot_across, foot_up)
    arm = (x * push_y - y * push_x).to("mm")
    require(abs(arm) > 1e-3 * held_at, "the force passes through the pin and cannot hold the lid", "held_at", "angle")
    moment = ((weight * centre + load * load_at) * nq.cos(angle)).to("N*m")
    force = (moment / np.where(abs(arm.magnitude) > 0, arm.magnitude, np.nan) / Q(1, "mm")).to("N")
    across, up = (-force * push_x).to("N"), (weight + load - force * push_y).to("N")
    lever = (off_middle / spacing).to("")
    side_across, side_up = -force * push_x * lever, -force * push_y * lever
    return HeldLid(
        force=force, arm=arm, moment=moment, length=length.to("mm"), hinge_across=across, hinge_up=up,
        hinges=nq.hypot(across, up),
        near_across=across / 2 + side_across, near_up=up / 2 + side_up,
        far_across=across / 2 - side_across, far_up=up / 2 - side_up,
        acts="pushes on the lid" if nominal(force) >= 0 else "pulls on the lid",
    )


def _line(
    x: Quantity, y: Quantity, known: str, direction: Quantity, across: Quantity | None, up: Quantity | None
) -> tuple[Quantity, Quantity, Quantity]:
    """The direction of what holds the lid at (x, y), as its level and upright parts of one, and its length."""
    if known == "direction":
        return nq.cos(direction), nq.sin(direction), Q(np.nan, "mm")
    require(across is not None and up is not None,
            "its other end must be given both ways, such as 178 mm across and 0 mm up", "foot_across", "foot_up")
    along, above = x - across, y - up
    length = nq.hypot(along, above)
    require(length > Q(1e-6, "mm"), "both ends are in one place; move one", "foot_across", "foot_up")
    return along / length, above / length, length


@result
class LidSlam:
    """A lid that falls shut with nothing to hold it."""

    energy: Annotated[Quantity, Out("J", "energy when it lands", rounding="up")]
    turning: Annotated[Quantity, Out("rad/s", "rate of turning when it lands", rounding="up")]
    edge_speed: Annotated[Quantity, Out("m/s", "speed of the front edge when it lands", rounding="up", resolution=0.01)]
    time: Annotated[Quantity, Out("s", "time it takes to fall", rounding="down", resolution=0.01)]


@calculator("kit")
def lid_slam(
    *,
    mass: Annotated[Quantity, In("kg", "mass of the lid", 8.6, ge=0.1, le=300, basis="measured")],
    depth: Annotated[Quantity, In("mm", "depth of the lid from the pin to the front edge", 640, ge=50, le=3000)],
    opening: Annotated[Quantity, In("deg", "angle from which it falls, closed lid level", 80, ge=1, le=170)],
) -> LidSlam:
    """How fast an even lid falls shut without a strut.

    All of m g (L/2) sin angle goes into turning with m L^2/3: rate = sqrt(3 g sin
    angle / L).  Air and friction are left out, so a real lid is a little slower.
    An upright lid could stand for ever: one that opens beyond 85 degrees is let
    go at 85.

    >>> slam = lid_slam(mass=Q(12, "kg"), depth=Q(500, "mm"), opening=Q(60, "deg"))
    >>> print(f"{slam.edge_speed.m_as('m/s'):.1f} m/s in {slam.time.m_as('s'):.2f} s")
    3.6 m/s in 0.34 s
    """
    length = depth.to("m")
    start = nq.minimum(opening.to("deg"), Q(85, "deg"))
    applies(opening <= Q(85, "deg"), "let go at 85 degrees: beyond that the lid nearly stands by itself")
    rise = nq.sin(start).to("")
    turning = ((3 * GRAVITY * rise / length) ** 0.5).to("1/s") * Q(1, "rad")
    return LidSlam(
        energy=(mass * GRAVITY * length * rise / 2).to("J"), turning=turning,
        edge_speed=(turning * length / Q(1, "rad")).to("m/s"),
        time=((length / (3 * GRAVITY)) ** 0.5).to("s") * _fall(start.m_as("rad")),
    )


def _fall(start: object) -> object:
    """The integral of dangle / sqrt(sin start - sin angle) from shut to `start`, angles in radians.

    With angle = start - u^2 the integrand loses its pole at the start, and
    sixteen Gauss points give it to ten digits.
    """
    top = np.asarray(start, dtype=float)
    nodes, weights = np.polynomial.legendre.leggauss(16)
    reach = np.sqrt(top)[..., None]
    u = reach * (nodes + 1) / 2
    # sin a - sin b = 2 cos((a + b)/2) sin((a - b)/2) keeps its digits where a and b are nearly equal.
    drop = 2 * np.cos(top[..., None] - u**2 / 2) * np.sin(u**2 / 2)
    return (reach[..., 0] / 2 * np.sum(weights * 2 * u / np.sqrt(drop), axis=-1))[()]
