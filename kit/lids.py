"""What a lid on gas struts does through its whole swing, cold and worn to hot and new."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit import lid_swing, struts
from kit.calculator import applies, calculator, require, result
from kit.checks import Check, at_least, at_most, open_check
from kit.kinds import Asks, Choice, Out, Says
from kit.lid_swing import Reach, Swing, balance, settled
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import Mounts, Strut, in_metres, nominal, nq, require_sense, swing, trimmed

__all__ = ["StrutBalance", "strut_balance"]

FACTS = read_facts("lids")
# A straight pull turns a lid less and less as it comes upright; beyond 80 degrees nobody opens it that way.
UPRIGHT = 0.17
STATES = ("cold", "nominal", "hot")
States = dict[str, tuple[Quantity, Any]]
Curves = dict[str, Quantity]


@result
class StrutBalance:
    """Moments about the hinge pin and forces at the hand, for every angle of the lid.

    Cold means cold and worn, nominal 20 degC and new, hot means hot and new.
    """

    angle: Annotated[Quantity, Out("deg", "opening angle", resolution=0.1)]
    gravity: Annotated[Quantity, Out("N*m", "moment of the lid's weight (plus closes)", over="angle")]
    spring_help: Annotated[Quantity, Out("N*m", "moment of spring hinges (plus opens)", over="angle")]
    wind_over: Annotated[Quantity, Out("N*m", "moment of the wind square on it at each angle", over="angle",
                                       absent="wind not entered")]
    force_cold: Annotated[Quantity, Out("N", "push of one strut, cold and worn", over="angle")]
    force_nominal: Annotated[Quantity, Out("N", "push of one strut, 20 degC and new", over="angle")]
    force_hot: Annotated[Quantity, Out("N", "push of one strut, hot and new", over="angle")]
    strut_cold: Annotated[Quantity, Out("N*m", "moment of the struts, cold and worn (plus opens)", over="angle")]
    strut_nominal: Annotated[Quantity, Out("N*m", "moment of the struts, 20 degC and new (plus opens)", over="angle")]
    strut_hot: Annotated[Quantity, Out("N*m", "moment of the struts, hot and new (plus opens)", over="angle")]
    net_cold: Annotated[Quantity, Out("N*m", "what is left, cold and worn (plus closes)", over="angle")]
    net_nominal: Annotated[Quantity, Out("N*m", "what is left, 20 degC and new (plus closes)", over="angle")]
    net_hot: Annotated[Quantity, Out("N*m", "what is left, hot and new (plus closes)", over="angle")]
    open_cold: Annotated[Quantity, Out("N", "hand opening it, square to the lid, cold and worn", over="angle")]
    open_nominal: Annotated[Quantity, Out("N", "hand opening it, square to the lid, 20 degC and new", over="angle")]
    open_hot: Annotated[Quantity, Out("N", "hand opening it, square to the lid, hot and new", over="angle")]
    close_cold: Annotated[Quantity, Out("N", "hand closing it, square to the lid, cold and worn", over="angle")]
    close_nominal: Annotated[Quantity, Out("N", "hand closing it, square to the lid, 20 degC and new", over="angle")]
    close_hot: Annotated[Quantity, Out("N", "hand closing it, square to the lid, hot and new", over="angle")]
    lift_cold: Annotated[Quantity, Out("N", "hand opening it, straight up, cold and worn", over="angle",
                                       absent="a lid near upright is not turned by a straight pull up")]
    lift_hot: Annotated[Quantity, Out("N", "hand opening it, straight up, hot and new", over="angle",
                                      absent="a lid near upright is not turned by a straight pull up")]
    lift_nominal: Annotated[Quantity, Out("N", "hand opening it, straight up, 20 degC and new", over="angle",
                                          absent="a lid near upright is not turned by a straight pull up")]
    press_cold: Annotated[Quantity, Out("N", "hand closing it, straight down, cold and worn", over="angle",
                                        absent="a lid near upright is not turned by a straight push down")]
    press_nominal: Annotated[Quantity, Out("N", "hand closing it, straight down, 20 degC and new", over="angle",
                                           absent="a lid near upright is not turned by a straight push down")]
    press_hot: Annotated[Quantity, Out("N", "hand closing it, straight down, hot and new", over="angle",
                                       absent="a lid near upright is not turned by a straight push down")]
    balance_cold: Annotated[Quantity, Out("deg", "balances at, cold and worn", resolution=0.1, absent="never balances")]
    balance_nominal: Annotated[Quantity, Out("deg", "balances at, 20 degC", resolution=0.1, absent="never balances")]
    balance_hot: Annotated[Quantity, Out("deg", "balances at, hot and new", resolution=0.1, absent="never balances")]
    falls_below: Annotated[Quantity, Out("deg", "falls shut by itself below, cold and worn", resolution=0.1,
                                         absent="no such angle")]
    rises_above: Annotated[Quantity, Out("deg", "rises by itself above, cold and worn", resolution=0.1,
                                         absent="no such angle")]
    shut: Annotated[Quantity, Out("N*m", "least moment that keeps it shut", rounding="down", resolution=0.1)]
    hold: Annotated[Quantity, Out("N*m", "least moment that keeps it open, without friction", rounding="down",
                                  resolution=0.1)]
    hold_with_friction: Annotated[Quantity, Out("N*m", "least moment against a push shut, friction included",
                                                rounding="down", resolution=0.1)]
    hand_open: Annotated[Quantity, Out("N", "greatest force of the hand opening it", rounding="up", resolution=0.1)]
    hand_close: Annotated[Quantity, Out("N", "greatest force of the hand closing it", rounding="up", resolution=0.1)]
    strut_open: Annotated[Quantity, Out("N*m", "least moment of struts and hinges, lid open", rounding="down",
                                        resolution=0.01)]
    strut_open_most: Annotated[Quantity, Out("N*m", "greatest moment of struts and springs, lid open", rounding="up",
                                             resolution=0.01)]
    gravity_leaning: Annotated[Quantity, Out("N*m", "moment of the open lid's weight, leaning the wrong way",
                                             rounding="up", resolution=0.01, absent="lean not entered")]
    wind_moment: Annotated[Quantity, Out("N*m", "moment of the wind on the open lid", rounding="up", resolution=0.1,
                                         absent="wind not entered")]
    leaning_to: Annotated[str, Says("what the lid does by itself, in words")]
    stays_shut: Annotated[Check, Asks("stays shut, hot and new or cold and worn", "practice")]
    stays_open: Annotated[Check, Asks("stays open, cold and worn or hot and new", "practice")]
    opens_lightly: Annotated[Check, Asks("hand opens it, all the way", "practice")]
    closes_lightly: Annotated[Check, Asks("hand closes it, all the way", "practice")]
    stays_open_leaning: Annotated[Check, Asks("stays open when everything leans the wrong way", "kit")]
    stays_open_in_wind: Annotated[Check, Asks("stays open in the wind in which it may stand open", "plate-drag")]


@calculator("kit", "practice", "memory", "plate-drag")
def strut_balance(
    *,
    mass: lid_swing.LidMass,
    centre: lid_swing.Centre,
    centre_above: lid_swing.CentreAbove = Q(0, "mm"),
    handle: lid_swing.Handle,
    fall: lid_swing.Fall = Q(0, "deg"),
    opening: struts.Opening,
    depth: struts.Depth,
    width: lid_swing.Width,
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
    shut_margin: lid_swing.ShutMargin = Q(4, "N*m"),
    open_margin: lid_swing.OpenMargin = Q(3, "N*m"),
    lean: lid_swing.Lean = None,
    wind: lid_swing.Gust = None,
) -> StrutBalance:
    """What a lid on gas struts does at every angle, and what the hand has to do.

    Weight closes with m g (a cos t - b sin t), t the angle of the lid above the
    horizontal; n struts open with n F(S) dS/dangle; friction works against the
    motion; spring hinges open with their moment less rate x angle.  F rises with
    compression and with absolute temperature (real nitrogen at the pressure of a
    small strut moves up to 1 % more).  What is
    said to hold is the least of three states: cold and worn, 20 degC, hot and
    new; friction is left out of what keeps the lid shut or open, but counted
    where wind has to push the strut in.  Bending, play and snow are left out.

    >>> lid = strut_balance(mass=Q(8.6, "kg"), centre=Q(315, "mm"), handle=Q(620, "mm"), fall=Q(2, "deg"),
    ...     opening=Q(80, "deg"), depth=Q(640, "mm"), width=Q(550, "mm"), force=Q(150, "N"), extended=Q(365, "mm"),
    ...     stroke=Q(150, "mm"), lid_mount_along=Q(100, "mm"), lid_mount_above=Q(-30, "mm"),
    ...     body_mount_along=Q(250, "mm"), body_mount_above=Q(-200, "mm"), cold=Q(-10, "degC"), hot=Q(45, "degC"))
    >>> print(f"{lid.hand_open.m_as('N'):.0f} N to open, balances at {lid.balance_nominal.m_as('deg'):.0f} degrees")
    31 N to open, balances at 52 degrees
    """
    require(cold <= hot, "the coldest strut must not be warmer than the hottest", "cold", "hot")
    mounts = in_metres(Mounts(lid_mount_along, lid_mount_above, body_mount_along, body_mount_above))
    require_sense(mounts, opening, extended, stroke)
    strut = in_metres(Strut(force, force_ratio, extended, stroke, law, rod))
    shortest, longest, _ = mounts.extremes(opening)
    applies((shortest >= extended - stroke) & (longest <= extended),
            "the strut does not reach through the whole swing: its force is taken at the end of its stroke")
    lid = Swing(mass, centre.to("m"), centre_above.to("m"), fall, mounts, strut, struts_fitted, friction,
                (spring, spring_rate))
    angle = swing(opening, mass, centre, centre_above, handle, fall, struts_fitted, force, force_ratio, extended,
                  stroke, friction, worn, rod, *mounts.places(), cold, hot, hinge_friction, hinge_hold, spring,
                  spring_rate, wind, width, depth)
    states = {"cold": (cold, worn), "nominal": (Q(20, "degC"), 1.0), "hot": (hot, 1.0)}
    reach = mounts.reach(angle)
    curves = _curves(lid, angle, reach, states, handle.to("m"), hinge_friction)
    angles = _angles(curves, lid.drag(reach))
    ends = _ends(lid, curves, opening, lean, hinge_hold)
    gust = _gust(wind, width, depth)
    # Square on the lid at whatever angle it stands: the gust on a float comes from anywhere.
    curves["wind_over"] = gust * np.ones_like(angle.magnitude)
    no_lean, no_wind = "how far it may lean is not entered", "the wind in which it may stand open is not entered"
    return StrutBalance(
        **trimmed(curves),
        **angles,
        **ends,
        wind_moment=gust,
        leaning_to=_in_words(ends["shut"], ends["hold"], angles["balance_nominal"]),
        stays_shut=at_least(ends["shut"], shut_margin),
        stays_open=at_least(ends["hold"], open_margin),
        opens_lightly=at_most(ends["hand_open"], hand_limit),
        closes_lightly=at_most(ends["hand_close"], hand_limit),
        stays_open_leaning=(
            open_check(no_lean) if lean is None else at_most(ends["gravity_leaning"], ends["strut_open"])),
        stays_open_in_wind=open_check(no_wind) if wind is None else at_most(
            gust, ends["hold_with_friction"], factor="counts the friction that the wind has to push against"),
    )


def _curves(
    lid: Swing, angle: Quantity, reach: Reach, states: States, handle: Quantity, hinge_friction: Quantity
) -> Curves:
    """Every curve of the result, by its name there."""
    gravity, friction = lid.gravity(angle), lid.drag(reach)
    helped = lid.helped(angle)
    made = {"angle": angle, "gravity": gravity, "spring_help": helped}
    left = gravity - helped
    for name, (temperature, worn) in states.items():
        force, moment = lid.push(reach, temperature, worn)
        made[f"force_{name}"] = force
        made[f"strut_{name}"] = moment
        made[f"net_{name}"] = left - moment
        made[f"open_{name}"] = ((left - moment + friction + hinge_friction) / handle).to("N")
        made[f"close_{name}"] = ((moment - left + friction + hinge_friction) / handle).to("N")
    level = nq.cos(angle - lid.fall).m_as("")
    straight = np.where(level >= UPRIGHT, level, np.nan)
    made |= {f"lift_{name}": made[f"open_{name}"] / straight for name in STATES}
    return made | {f"press_{name}": made[f"close_{name}"] / straight for name in STATES}


def _angles(curves: Curves, friction: Quantity) -> Curves:
    """The angles at which the lid balances, and between which friction holds it where it is left."""
    angle, cold = curves["angle"], curves["net_cold"]
    closing = {f"balance_{name}": curves[f"net_{name}"] for name in STATES}
    closing |= {"falls_below": cold - friction, "rises_above": cold + friction}
    return {name: balance(angle, curve) for name, curve in closing.items()}


def _ends(lid: Swing, curves: Curves, opening: Quantity, lean: Quantity | None, hinge_hold: Quantity) -> Curves:
    """What keeps it shut and open, and the most that the hand has to do: the worst of the three states."""
    at_shut = [_at(curves[f"net_{name}"], 0) for name in STATES]
    at_open = [-_at(curves[f"net_{name}"], -1) for name in STATES]
    # Friction hinges are made to hold, so what is left of them when worn counts; a strut's own friction does not.
    hold = _fold(nq.minimum, at_open) + hinge_hold
    helps = _at(curves["spring_help"], -1) + hinge_hold
    return {
        "shut": _fold(nq.minimum, at_shut),
        "hold": hold,
        "hold_with_friction": hold + lid.drag(lid.mounts.reach(opening)),
        "hand_open": _fold(nq.maximum, [_most(curves[f"open_{name}"]) for name in STATES]),
        "hand_close": _fold(nq.maximum, [_most(curves[f"close_{name}"]) for name in STATES]),
        "strut_open": _fold(nq.minimum, [_at(curves[f"strut_{name}"], -1) for name in STATES]) + helps,
        "strut_open_most": _fold(nq.maximum, [_at(curves[f"strut_{name}"], -1) for name in STATES])
        + _at(curves["spring_help"], -1),
        "gravity_leaning": Q(np.nan, "N*m") if lean is None else lid.gravity(opening, lean),
    }


def _gust(wind: Quantity | None, width: Quantity, depth: Quantity) -> Quantity:
    """Wind square on the open lid, taken at its middle."""
    if wind is None:
        return Q(np.nan, "N*m")
    pressure = FACTS["air"].q * wind**2 / 2 * FACTS["plate drag"].q
    moment: Quantity = pressure * width * depth**2 / 2
    return moment.to("N*m")


def _at(curve: Quantity, place: int) -> Quantity:
    return settled(Quantity(curve.magnitude[place], curve.units))


def _most(curve: Quantity) -> Quantity:
    return settled(Quantity(curve.magnitude.max(axis=0), curve.units))


def _fold(take: Any, values: list[Quantity]) -> Quantity:
    found: Quantity = take(take(values[0], values[1]), values[2])
    return found


def _in_words(shut: Quantity, hold: Quantity, balances: Quantity) -> str:
    """What a lid left alone does."""
    at, opening = nominal(balances), nominal(hold)
    if nominal(shut) < 0:
        return "springs open: it does not stay shut without a latch"
    if np.isfinite(at) and opening > 0:
        return f"stays shut, and rises by itself once opened to {at:.0f} degrees"
    return "stays shut, and falls shut from any angle: it needs a prop to stand open"
