"""A lid again in every state it will meet: leaning either way, wet through, under snow, with the struts off."""

from __future__ import annotations

from functools import reduce
from typing import Annotated

import numpy as np

from kit import lid_swing, struts
from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, open_check
from kit.kinds import Asks, Choice, In, Out, Rows, Says
from kit.lid_states import FREE_FALL, LidState, Swung, ready
from kit.lid_swing import Swing
from kit.quantities import Q, Quantity
from kit.struts import Mounts, Strut, in_metres, nominal, require_sense, swing, trimmed

__all__ = ["LidAgain", "lid_again"]

_NO_MOMENT = Q(0, "N*m")


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
    base = Swing(
        mass, centre.to("m"), centre_above.to("m"), fall, mounts, strut, struts_fitted, friction, (spring, spring_rate)
    )
    reach = mounts.reach(angle)
    temperatures = ((cold, worn), (Q(20, "degC"), 1.0), (hot, 1.0))
    level = (angle - fall).m_as("rad")
    pushes = tuple(base.push(reach, *state)[1].m_as("N*m") for state in temperatures)
    swung = Swung(
        angle=angle,
        cos=np.cos(level),
        sin=np.sin(level),
        lever=(centre.m_as("m"), centre_above.m_as("m")),
        spring=base.helped(angle).m_as("N*m"),
        pushes=pushes,
        least=reduce(np.minimum, pushes),
        greatest=reduce(np.maximum, pushes),
        drag=base.drag(reach).m_as("N*m"),
        hinge_friction=hinge_friction.m_as("N*m"),
        hinge_hold=hinge_hold.m_as("N*m"),
        handle=handle.m_as("m"),
    )
    dry, wet = mass.m_as("kg"), np.nan if wet_mass is None else wet_mass.m_as("kg")
    tilt = np.nan if lean is None else lean.m_as("rad")
    all_states = {
        "as fitted, level": swung.state(dry, 0.0),
        "leaning to the front": swung.state(dry, tilt),
        "leaning to the back": swung.state(dry, -tilt),
        "wet through, level": swung.state(wet, 0.0),
        "wet through, leaning to the front": swung.state(wet, tilt),
        "struts off, level": swung.state(dry, 0.0, helped=False),
    }
    fitted, front, back, soaked, worst, off = all_states.values()
    lies = (centre if snow_centre is None else snow_centre).m_as("m")
    weight = snow.m_as("kg") * FREE_FALL * lies * np.cos(fall.m_as("rad"))
    under = ready(swung.hand(fitted, 1, 0)[0] + weight / handle.m_as("m"), "N")
    hand = np.maximum(np.maximum(front.most_open, front.most_close), np.maximum(back.most_open, back.most_close))
    leaning, wet_open = ready(hand, "N"), ready(soaked.most_open, "N")
    shut_leaning, hold_wet = ready(back.shut, "N*m"), ready(soaked.hold, "N*m")
    no_lean, no_wet = "how far it may lean is not entered", "the mass of the wet lid is not entered"
    curves = {
        "open_to_front": swung.hand(front, 1, 0),
        "open_to_back": swung.hand(back, 1, 0),
        "close_to_front": swung.hand(front, -1, 2),
        "close_to_back": swung.hand(back, -1, 2),
        "open_wet": swung.hand(soaked, 1, 0),
    }
    return LidAgain(
        **trimmed({"angle": angle} | {name: Q(curve, "N") for name, curve in curves.items()}),
        shut_leaning=shut_leaning,
        hold_leaning=ready(front.hold, "N*m"),
        hand_leaning=leaning,
        hold_wet=hold_wet,
        hand_wet=wet_open,
        hold_wet_leaning=ready(worst.hold, "N*m"),
        hand_unhelped=ready(off.most_open, "N"),
        hand_snow=under if nominal(snow) > 0 else under * np.nan,
        states=tuple(swung.row(name, one) for name, one in all_states.items() if np.any(np.isfinite(one.shut))),
        in_words=_in_words(nominal(fitted.most_open), nominal(off.most_open)),
        stays_shut_leaning=open_check(no_lean) if lean is None else at_least(shut_leaning, _NO_MOMENT),
        stays_open_wet=open_check(no_wet) if wet_mass is None else at_least(hold_wet, _NO_MOMENT),
        opens_leaning=open_check(no_lean) if lean is None else at_most(leaning, hand_limit),
        opens_wet=open_check(no_wet) if wet_mass is None else at_most(wet_open, hand_limit),
    )


def _in_words(helped: float, unhelped: float) -> str:
    if helped <= 0:
        return "springs open: no hand is needed, and it does not stay shut without a latch"
    return f"with the struts off it takes {unhelped:.0f} N instead of {helped:.0f} N to open"
