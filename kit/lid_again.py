"""A lid again in every state it will meet: leaning either way, wet through, under snow, with the struts off."""

from __future__ import annotations

from typing import Annotated, Any

from kit import lid_swing, struts
from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, at_most, open_check
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text
from kit.lid_swing import Swing, balance, settled
from kit.quantities import Q, Quantity
from kit.struts import Mounts, Strut, in_metres, nominal, nq, require_sense, swing, trimmed

__all__ = ["LidAgain", "LidState", "lid_again"]


@row
class LidState:
    """What the lid does in one state, at its worst of cold and worn, 20 degC and new, hot and new."""

    name: Annotated[str, Text("state", "leaning to the front")]
    shut: Annotated[Quantity, In("N*m", "kept shut with", 9, ge=-1e6, le=1e6, resolution=0.1, rounding="down")]
    hold: Annotated[Quantity, In("N*m", "kept open with", 2, ge=-1e6, le=1e6, resolution=0.1, rounding="down")]
    hand_open: Annotated[Quantity, In("N", "hand opening", 35, ge=-1e6, le=1e6, resolution=1, rounding="up")]
    hand_close: Annotated[Quantity, In("N", "hand closing", 20, ge=-1e6, le=1e6, resolution=1, rounding="up")]
    balances: Annotated[str, Text("balances at, 20 degC", "51.7 deg")]
    does: Annotated[str, Text("left alone", "stays shut", longest=80)]


@result
class LidAgain:
    """A lid's curves leaning to the front and to the back, and every state at its worst."""

    angle: Annotated[Quantity, Out("deg", "opening angle", resolution=0.1)]
    open_to_front: Annotated[
        Quantity,
        Out("N", "hand opening it, leaning to the front, cold and worn", over="angle", absent="lean not entered"),
    ]
    open_to_back: Annotated[
        Quantity,
        Out("N", "hand opening it, leaning to the back, cold and worn", over="angle", absent="lean not entered"),
    ]
    close_to_front: Annotated[
        Quantity,
        Out("N", "hand closing it, leaning to the front, hot and new", over="angle", absent="lean not entered"),
    ]
    close_to_back: Annotated[
        Quantity, Out("N", "hand closing it, leaning to the back, hot and new", over="angle", absent="lean not entered")
    ]
    open_wet: Annotated[
        Quantity, Out("N", "hand opening it, wet through, cold and worn", over="angle", absent="wet mass not entered")
    ]
    shut_leaning: Annotated[
        Quantity,
        Out(
            "N*m",
            "least moment that keeps it shut, leaning to the back",
            rounding="down",
            resolution=0.1,
            absent="lean not entered",
        ),
    ]
    hold_leaning: Annotated[
        Quantity,
        Out(
            "N*m",
            "least moment that keeps it open, leaning to the front",
            rounding="down",
            resolution=0.1,
            absent="lean not entered",
        ),
    ]
    hand_leaning: Annotated[
        Quantity,
        Out(
            "N",
            "greatest force of the hand, leaning either way",
            rounding="up",
            resolution=0.1,
            absent="lean not entered",
        ),
    ]
    hold_wet: Annotated[
        Quantity,
        Out(
            "N*m",
            "least moment that keeps it open, wet through",
            rounding="down",
            resolution=0.1,
            absent="wet mass not entered",
        ),
    ]
    hand_wet: Annotated[
        Quantity,
        Out(
            "N",
            "greatest force of the hand opening it, wet through",
            rounding="up",
            resolution=0.1,
            absent="wet mass not entered",
        ),
    ]
    hold_wet_leaning: Annotated[
        Quantity,
        Out(
            "N*m",
            "the same, wet through and leaning to the front",
            rounding="down",
            resolution=0.1,
            absent="lean or wet mass not entered",
        ),
    ]
    hand_snow: Annotated[
        Quantity,
        Out("N", "hand opening it from shut under snow", rounding="up", resolution=1, absent="no snow entered"),
    ]
    hand_unhelped: Annotated[Quantity, Out("N", "hand opening it with the struts off", rounding="up", resolution=1)]
    states: Annotated[tuple[LidState, ...], Rows("every state, the worst of cold, 20 degC and hot")]
    in_words: Annotated[str, Says("what changes, in words")]
    stays_shut_leaning: Annotated[Check, Asks("stays shut when everything leans to the back", "kit")]
    stays_open_wet: Annotated[Check, Asks("stays open wet through", "kit")]
    opens_leaning: Annotated[Check, Asks("hand opens and closes it leaning either way", "practice")]
    opens_wet: Annotated[Check, Asks("hand opens it wet through", "practice")]


@calculator("kit", "practice")
def lid_again(
    *,
    mass: lid_swing.LidMass,
    centre: lid_swing.Centre,
    centre_above: lid_swing.CentreAbove = Q(0, "mm"),
    wet_mass: Annotated[Quantity | None, In("kg", "mass of the lid wet through", 9.6, ge=0.1, le=400)] = None,
    snow: Annotated[Quantity, In("kg", "snow, or water that stands on it", 0, ge=0, le=500)] = Q(0, "kg"),
    snow_centre: Annotated[
        Quantity | None,
        In(
            "mm",
            "where that lies, along the lid from the pin",
            320,
            ge=0,
            le=3000,
            find="half the depth of the lid; left out: as the lid",
        ),
    ] = None,
    handle: lid_swing.Handle,
    fall: lid_swing.Fall = Q(0, "deg"),
    opening: struts.Opening,
    struts_fitted: struts.StrutCount = 1,
    force: struts.StrutForce,
    force_ratio: struts.StrutRatio = Q(1.25),
    extended: struts.Extended,
    stroke: struts.Stroke,
    law: Annotated[struts.Law, Choice("how its force rises: in a straight line, or as a closed gas does")] = "linear",
    friction: lid_swing.Friction = Q(10, "N"),
    worn: lid_swing.Worn = Q(0.85),
    rod: struts.StrutRod = None,
    lid_mount_along: struts.LidAlong,
    lid_mount_above: struts.LidAbove,
    body_mount_along: struts.BodyAlong,
    body_mount_above: struts.BodyAbove,
    cold: Annotated[Quantity, struts.strut_temperature("coldest strut in use", -10)],
    hot: Annotated[Quantity, struts.strut_temperature("hottest strut in use", 45)],
    hinge_friction: lid_swing.HingeFriction = Q(0, "N*m"),
    hinge_hold: lid_swing.HingeHold = Q(0, "N*m"),
    spring: lid_swing.Spring = Q(0, "N*m"),
    spring_rate: lid_swing.SpringRate = Q(0, "N*m/deg"),
    hand_limit: lid_swing.HandLimit = Q(50, "N"),
    lean: lid_swing.Lean = None,
) -> LidAgain:
    """Work a lid out again leaning to the front, leaning to the back, wet through and under snow.

    The rule is that of the balance: m g (a cos t - b sin t) less struts and
    springs, with t moved by the lean either way, and the mass that of a wet lid.
    Leaning to the back it stays shut least, leaning to the front it stays open
    least.  A shut lid may carry snow; a lid is never said to stand open under it.

    >>> again = lid_again(mass=Q(8.6, "kg"), centre=Q(315, "mm"), handle=Q(620, "mm"), fall=Q(2, "deg"),
    ...     opening=Q(80, "deg"), force=Q(150, "N"), extended=Q(365, "mm"), stroke=Q(150, "mm"),
    ...     lid_mount_along=Q(100, "mm"), lid_mount_above=Q(-30, "mm"), body_mount_along=Q(250, "mm"),
    ...     body_mount_above=Q(-200, "mm"), cold=Q(-10, "degC"), hot=Q(45, "degC"), lean=Q(7, "deg"))
    >>> print(f"{again.hold_leaning.m_as('N*m'):.1f} N m left leaning")
    2.0 N m left leaning
    """
    require(cold <= hot, "the coldest strut must not be warmer than the hottest", "cold", "hot")
    mounts = in_metres(Mounts(lid_mount_along, lid_mount_above, body_mount_along, body_mount_above))
    require_sense(mounts, opening, extended, stroke)
    strut = in_metres(Strut(force, force_ratio, extended, stroke, law, rod))
    angle = swing(
        opening,
        mass,
        centre,
        centre_above,
        wet_mass,
        snow,
        snow_centre,
        handle,
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
        hinge_hold,
        spring,
        spring_rate,
        lean,
    )
    temperatures = {"cold": (cold, worn), "nominal": (Q(20, "degC"), 1.0), "hot": (hot, 1.0)}
    missing = Q(float("nan"), "kg")
    wet = missing if wet_mass is None else wet_mass
    tilt = Q(float("nan"), "deg") if lean is None else lean
    level = Q(0, "deg")

    def worked(weight: Quantity, leaning: Quantity, count: Any = struts_fitted) -> _Worked:
        lid = Swing(
            weight, centre.to("m"), centre_above.to("m"), fall, mounts, strut, count, friction, (spring, spring_rate)
        )
        return _Worked(lid, angle, leaning, temperatures, handle.to("m"), hinge_friction, hinge_hold)

    all_states = {
        "as fitted, level": worked(mass, level),
        "leaning to the front": worked(mass, tilt),
        "leaning to the back": worked(mass, -tilt),
        "wet through, level": worked(wet, level),
        "wet through, leaning to the front": worked(wet, tilt),
        "struts off, level": worked(mass, level, 0),
    }
    fitted, front, back, soaked, worst, off = all_states.values()
    lies = centre if snow_centre is None else snow_centre
    first = fitted.hand("open", "cold")
    under = Quantity(first.magnitude[0], first.units) + (
        snow * lid_swing.GRAVITY * lies.to("m") * nq.cos(fall) / handle
    ).to("N")
    hand = nq.maximum(
        nq.maximum(front.most("open"), front.most("close")), nq.maximum(back.most("open"), back.most("close"))
    )
    no_lean, no_wet = "how far it may lean is not entered", "the mass of the wet lid is not entered"
    curves = {
        "angle": angle,
        "open_to_front": front.hand("open", "cold"),
        "open_to_back": back.hand("open", "cold"),
        "close_to_front": front.hand("close", "hot"),
        "close_to_back": back.hand("close", "hot"),
        "open_wet": soaked.hand("open", "cold"),
    }
    return LidAgain(
        **trimmed(curves),
        shut_leaning=back.shut,
        hold_leaning=front.hold,
        hand_leaning=hand,
        hold_wet=soaked.hold,
        hand_wet=soaked.most("open"),
        hold_wet_leaning=worst.hold,
        hand_unhelped=off.most("open"),
        hand_snow=settled(under) if nominal(snow) > 0 else under * float("nan"),
        states=tuple(one.as_row(name) for name, one in all_states.items() if one.exists),
        in_words=_in_words(fitted, off),
        stays_shut_leaning=open_check(no_lean) if lean is None else at_least(back.shut, Q(0, "N*m")),
        stays_open_wet=open_check(no_wet) if wet_mass is None else at_least(soaked.hold, Q(0, "N*m")),
        opens_leaning=open_check(no_lean) if lean is None else at_most(hand, hand_limit),
        opens_wet=open_check(no_wet) if wet_mass is None else at_most(soaked.most("open"), hand_limit),
    )


class _Worked:
    """One state of a lid: every temperature and age of its struts."""

    def __init__(
        self,
        lid: Swing,
        angle: Quantity,
        lean: Quantity,
        temperatures: Any,
        handle: Quantity,
        hinge_friction: Quantity,
        hinge_hold: Quantity,
    ) -> None:
        reach = lid.mounts.reach(angle)
        left = lid.gravity(angle, lean) - lid.helped(angle)
        self.nets = {name: left - lid.push(reach, *state)[1] for name, state in temperatures.items()}
        self.drag, self.handle, self.angle = lid.drag(reach) + hinge_friction, handle, angle
        self.shut = _least([net.magnitude[0] for net in self.nets.values()])
        self.hold = _least([-net.magnitude[-1] for net in self.nets.values()]) + hinge_hold

    def hand(self, way: str, state: str) -> Quantity:
        """The hand square to the lid, opening or closing it."""
        net = self.nets[state] if way == "open" else -self.nets[state]
        force: Quantity = ((net + self.drag) / self.handle).to("N")
        return force

    def most(self, way: str) -> Quantity:
        """The greatest force of the hand over the swing and all states."""
        curves = [self.hand(way, state) for state in self.nets]
        most = curves[0]
        for curve in curves[1:]:
            most = nq.maximum(most, curve)
        return settled(Quantity(most.magnitude.max(axis=0), most.units))

    @property
    def exists(self) -> bool:
        return nominal(self.shut) == nominal(self.shut)

    def as_row(self, name: str) -> LidState:
        at = nominal(balance(self.angle, self.nets["nominal"]))
        shut, hold = nominal(self.shut), nominal(self.hold)
        does = "springs open" if shut < 0 else "stays shut" + (", stays open" if hold >= 0 else ", falls shut")
        return LidState(
            name=name,
            shut=self.shut,
            hold=self.hold,
            hand_open=self.most("open"),
            hand_close=self.most("close"),
            balances=f"{at:.1f} deg" if at == at else "never",
            does=does,
        )


def _least(values: list[Any]) -> Quantity:
    least = values[0]
    for value in values[1:]:
        least = nq.minimum(least, value)
    return settled(Q(least, "N*m"))


def _in_words(fitted: _Worked, off: _Worked) -> str:
    with_, without = nominal(fitted.most("open")), nominal(off.most("open"))
    if with_ <= 0:
        return "springs open: no hand is needed, and it does not stay shut without a latch"
    return f"with the struts off it takes {without:.0f} N instead of {with_:.0f} N to open"
