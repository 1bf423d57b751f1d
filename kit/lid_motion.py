"""A lid that is let go: how long it takes, and how fast its edge arrives, with its struts and without."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit import lid_swing, struts
from kit.calculator import applies, calculator, require, result
from kit.checks import Check, at_most, does_not_apply
from kit.kinds import Asks, Choice, In, Out, Says
from kit.lid_swing import Swing, balance
from kit.quantities import Q, Quantity
from kit.struts import Mounts, Strut, in_metres, nominal, pick, require_sense, swing

__all__ = ["LidMotion", "lid_motion"]

# Steps of one motion: the time agrees with a far finer reckoning to one part in ten thousand.
STEPS = 240
NONE = "it does not move by itself"


@result
class LidMotion:
    """A lid let go: shutting cold and worn, shutting without struts, and opening hot and new."""

    inertia: Annotated[Quantity, Out("kg*m^2", "moment of inertia about the pin")]
    shut_from: Annotated[Quantity, Out("deg", "cold and worn, falls shut from", resolution=0.1, absent=NONE)]
    shut_time: Annotated[
        Quantity, Out("s", "falling shut, cold and worn: time", rounding="down", resolution=0.01, absent=NONE)
    ]
    shut_speed: Annotated[
        Quantity,
        Out(
            "m/s",
            "falling shut, cold and worn: speed of its edge at the end",
            rounding="up",
            resolution=0.01,
            absent=NONE,
        ),
    ]
    shut_energy: Annotated[
        Quantity, Out("J", "falling shut, cold and worn: energy at the end", rounding="up", resolution=0.1, absent=NONE)
    ]
    free_from: Annotated[Quantity, Out("deg", "without its struts, falls shut from", resolution=0.1, absent=NONE)]
    free_time: Annotated[
        Quantity, Out("s", "falling shut without struts: time", rounding="down", resolution=0.01, absent=NONE)
    ]
    free_speed: Annotated[
        Quantity,
        Out(
            "m/s",
            "falling shut without struts: speed of its edge at the end",
            rounding="up",
            resolution=0.01,
            absent=NONE,
        ),
    ]
    free_energy: Annotated[
        Quantity, Out("J", "falling shut without struts: energy at the end", rounding="up", resolution=0.1, absent=NONE)
    ]
    open_from: Annotated[Quantity, Out("deg", "hot and new, rises from", resolution=0.1, absent=NONE)]
    open_time: Annotated[Quantity, Out("s", "rising, hot and new: time", rounding="down", resolution=0.01, absent=NONE)]
    open_speed: Annotated[
        Quantity,
        Out("m/s", "rising, hot and new: speed of its edge at the end", rounding="up", resolution=0.01, absent=NONE),
    ]
    open_energy: Annotated[
        Quantity, Out("J", "rising, hot and new: energy at the end", rounding="up", resolution=0.1, absent=NONE)
    ]
    drop: Annotated[
        Quantity,
        Out("N*m", "greatest moment that makes it drop, half open, friction taken off", rounding="up", resolution=0.1),
    ]
    in_words: Annotated[str, Says("what it does when let go, in words")]
    shuts_gently: Annotated[Check, Asks("edge arrives slowly enough, cold and worn", "kit")]
    never_drops: Annotated[Check, Asks("lid drops from no angle", "memory")]


@calculator("kit", "memory")
def lid_motion(
    *,
    mass: lid_swing.LidMass,
    centre: lid_swing.Centre,
    centre_above: lid_swing.CentreAbove = Q(0, "mm"),
    depth: struts.Depth,
    gyration: Annotated[
        Quantity | None,
        In(
            "mm",
            "radius of gyration about the pin",
            370,
            ge=1,
            le=3000,
            find=(
                "let it swing: radius = period/6.28 x root of (9.81 x centre of gravity); left out: an even board"
            ),
        ),
    ] = None,
    fall: lid_swing.Fall = Q(0, "deg"),
    opening: struts.Opening,
    struts_fitted: struts.StrutCount = 1,
    force: struts.StrutForce,
    force_ratio: struts.StrutRatio = Q(1.25),
    extended: struts.Extended,
    stroke: struts.Stroke,
    law: Annotated[struts.Law, Choice("how its force rises: in a straight line, or as a closed gas does")] = "linear",
    friction: lid_swing.Friction = Q(10, "N"),
    damping: Annotated[
        Quantity,
        In(
            "N*s/m",
            "damping of one strut: force for each metre a second",
            0,
            ge=0,
            le=5000,
            find="time it rising and change this until the time here agrees",
        ),
    ] = Q(0, "N*s/m"),
    worn: lid_swing.Worn = Q(0.85),
    rod: struts.StrutRod = None,
    lid_mount_along: struts.LidAlong,
    lid_mount_above: struts.LidAbove,
    body_mount_along: struts.BodyAlong,
    body_mount_above: struts.BodyAbove,
    cold: Annotated[Quantity, struts.strut_temperature("coldest strut in use", -10)],
    hot: Annotated[Quantity, struts.strut_temperature("hottest strut in use", 45)],
    hinge_friction: lid_swing.HingeFriction = Q(0, "N*m"),
    spring: lid_swing.Spring = Q(0, "N*m"),
    spring_rate: lid_swing.SpringRate = Q(0, "N*m/deg"),
    nudge: Annotated[
        Quantity, In("deg", "let go this far beyond where it would stand still", 2, ge=0.1, le=20, chosen=True)
    ] = Q(2, "deg"),
    edge_limit: Annotated[
        Quantity | None, In("m/s", "fastest that its edge may arrive", 1, ge=0.05, le=10, chosen=True)
    ] = None,
    rule: Annotated[
        Literal["toy box", "none"],
        Choice(
            "rule for a lid over children: toy box wants a lid that drops "
            "from no angle between 50 mm open and 60 degrees"
        ),
    ] = "none",
) -> LidMotion:
    """Let a lid go and reckon its motion, shutting cold and worn and opening hot and new.

    I w^2 / 2 = work of weight, struts, springs and friction since it was let go,
    less what damping takes; time = integral of dangle / w.  Each motion starts
    `nudge` beyond the angle where the lid would stand still.  Without gyration I
    is that of an even board about its own centre, m (a^2 + b^2 + depth^2/12).
    Air, bounce and bending are left out; without damping it is as fast as can be.

    >>> moved = lid_motion(mass=Q(12, "kg"), centre=Q(250, "mm"), depth=Q(500, "mm"), opening=Q(60, "deg"),
    ...     struts_fitted=0, force=Q(150, "N"), extended=Q(560, "mm"), stroke=Q(250, "mm"),
    ...     lid_mount_along=Q(200, "mm"), lid_mount_above=Q(-30, "mm"), body_mount_along=Q(500, "mm"),
    ...     body_mount_above=Q(-120, "mm"), cold=Q(-10, "degC"), hot=Q(45, "degC"))
    >>> print(f"{moved.free_speed.m_as('m/s'):.2f} m/s in {moved.free_time.m_as('s'):.2f} s")
    3.57 m/s in 0.34 s
    """
    require(cold <= hot, "the coldest strut must not be warmer than the hottest", "cold", "hot")
    mounts = in_metres(Mounts(lid_mount_along, lid_mount_above, body_mount_along, body_mount_above))
    require_sense(mounts, opening, extended, stroke)
    strut = in_metres(Strut(force, force_ratio, extended, stroke, law, rod))
    shape = (centre**2 + centre_above**2 + depth**2 / 12) if gyration is None else gyration**2
    inertia = (mass * shape).to("kg*m^2")

    def moving(count: Any, temperature: Quantity, age: Any, ways: int) -> _Motion:
        lid = Swing(
            mass, centre.to("m"), centre_above.to("m"), fall, mounts, strut, count, friction, (spring, spring_rate)
        )
        return _Motion(lid, (temperature, age), hinge_friction, damping, inertia, ways)

    angle = swing(
        opening,
        mass,
        centre,
        centre_above,
        fall,
        force,
        force_ratio,
        extended,
        stroke,
        friction,
        worn,
        rod,
        *mounts.places(),
        cold,
        hot,
        hinge_friction,
        spring,
        spring_rate,
    )
    shutting, free, rising = (
        moving(struts_fitted, cold, worn, -1),
        moving(0, cold, worn, -1),
        moving(struts_fitted, hot, 1.0, 1),
    )
    found = {
        "shut": shutting.run(shutting.start_down(angle, opening, nudge), Q(0, "deg")),
        "free": free.run(free.start_down(angle, opening, nudge), Q(0, "deg")),
        "open": rising.run(rising.start_up(angle, nudge), opening),
    }
    drop = _drop(shutting, angle, opening, depth)
    results = {
        f"{name}_{part}": value
        for name, (start, time, rate) in found.items()
        for part, value in (
            ("from", start),
            ("time", time),
            ("speed", (rate * depth).to("m/s")),
            ("energy", (inertia * rate**2 / 2).to("J")),
        )
    }
    applies(gyration is not None, "inertia reckoned as that of an even board; a heavy handle or frame makes it slower")
    return LidMotion(
        inertia=inertia,
        **results,
        drop=drop,
        in_words=_in_words(results),
        shuts_gently=_gentle(results["shut_speed"], edge_limit),
        never_drops=(
            at_most(drop, Q(0, "N*m"), share=False) if rule == "toy box" else does_not_apply("no such rule was chosen")
        ),
    )


class _Motion:
    """One motion of a lid, downward (-1) or upward (1), in one state of its struts."""

    def __init__(
        self,
        lid: Swing,
        state: tuple[Quantity, Any],
        hinge_friction: Quantity,
        damping: Quantity,
        inertia: Quantity,
        way: int,
    ) -> None:
        self.lid, self.state, self.hinge_friction = lid, state, hinge_friction
        self.damping, self.inertia, self.way = damping, inertia, way

    def drive(self, angle: Quantity) -> Quantity:
        """What moves it on, friction taken off."""
        reach = self.lid.mounts.reach(angle)
        net = self.lid.gravity(angle) - self.lid.helped(angle) - self.lid.push(reach, *self.state)[1]
        drive: Quantity = -self.way * net - self.lid.drag(reach) - self.hinge_friction
        return drive

    def start_down(self, angle: Quantity, opening: Quantity, nudge: Quantity) -> Quantity:
        """A little below the least angle at which it would stand still; nan when it does not fall at all."""
        drive = self.drive(angle)
        stands = balance(angle, drive)
        falls = drive.magnitude[0] > 0
        # It may fall from every angle; then it is let go where it stands open.
        start = pick(np.isfinite(stands.magnitude), stands - nudge, opening)
        return pick(falls & (start.magnitude > 0), start, Q(np.nan, "deg"))

    def start_up(self, angle: Quantity, nudge: Quantity) -> Quantity:
        """A little above the angle from which it rises; from shut when it springs open; nan when it never rises."""
        held = -self.drive(angle)
        shut = balance(angle, held)
        springs = held.magnitude[0] < 0
        start = pick(springs, Q(np.zeros(np.shape(shut.magnitude)), "deg"), shut + nudge)
        return pick(start < Quantity(angle.magnitude[-1], angle.units), start, Q(np.nan, "deg"))

    def run(self, start: Quantity, end: Quantity) -> tuple[Quantity, Quantity, Quantity]:
        """Where it starts, how long it takes and how fast it turns at the end.

        Steps grow with the square of their number, so that the slow beginning is
        looked at closely.  Each step keeps the balance of energy; damping acts
        with the speed at its end.
        """
        first, last = np.asarray(start.m_as("rad")), np.asarray(end.m_as("rad"))
        spaced = np.linspace(0, 1, 2 * STEPS + 1) ** 2
        angle = Q(first + np.multiply.outer(spaced, last - first), "rad")
        drive = self.drive(angle).m_as("N*m") * self.way
        arm = self.lid.mounts.reach(angle)[1].m_as("m")
        drag = np.asarray(self.damping.m_as("N*s/m") * self.lid.count) * arm[1::2] ** 2
        inertia = np.asarray(self.inertia.m_as("kg*m^2"))
        rate, time = np.zeros(np.shape(first)), np.zeros(np.shape(first))
        for step in range(STEPS):
            width = angle.magnitude[2 * step + 2] - angle.magnitude[2 * step]
            work = _work(angle.magnitude[2 * step : 2 * step + 3], drive[2 * step : 2 * step + 3])
            lost = drag[step] * abs(width) / inertia
            square = lost**2 + rate**2 + 2 * work / inertia
            then = -lost + np.sqrt(np.where(square >= lost**2, square, np.nan))
            time = time + 2 * abs(width) / (rate + then)
            rate = then
        return start.to("deg"), Q(time[()], "s"), Q(rate[()], "1/s")


def _work(angles: Any, drive: Any) -> Any:
    """The integral of a parabola through three unequal points."""
    h0, h1 = angles[1] - angles[0], angles[2] - angles[1]
    with np.errstate(divide="ignore", invalid="ignore"):
        return (
            (h0 + h1)
            / 6
            * ((2 - h1 / h0) * drive[0] + (h0 + h1) ** 2 / (h0 * h1) * drive[1] + (2 - h0 / h1) * drive[2])
        )


def _drop(shutting: _Motion, angle: Quantity, opening: Quantity, depth: Quantity) -> Quantity:
    """The greatest moment that makes it drop between 50 mm open at the edge and 60 degrees, or its greatest opening."""
    low = np.degrees(2 * np.arcsin(np.minimum((Q(25, "mm") / depth).m_as(""), 1.0)))
    looked = np.linspace(0, 1, 61)
    high = np.maximum(np.minimum(opening.m_as("deg"), 60.0), low)
    angles = Q(low + np.multiply.outer(looked, high - low), "deg")
    drive = shutting.drive(angles)
    return Q(drive.magnitude.max(axis=0), "N*m")


def _gentle(speed: Quantity, limit: Quantity | None) -> Check:
    if limit is None:
        return does_not_apply("no limit was chosen")
    # A lid that never falls arrives with nothing.
    return at_most(pick(np.isfinite(speed.magnitude), speed, Q(0, "m/s")), limit)


def _in_words(found: dict[str, Quantity]) -> str:
    said = []
    for name, words in (
        ("shut", "cold and worn it falls shut from {:.0f} degrees in {:.1f} s"),
        ("open", "hot and new it rises from {:.0f} degrees in {:.1f} s"),
    ):
        start, time = nominal(found[f"{name}_from"]), nominal(found[f"{name}_time"])
        if np.isfinite(start) and np.isfinite(time):
            said.append(words.format(start, time))
    return "; ".join(said) or "it stays where it is left"
