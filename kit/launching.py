"""Getting a raft into the water: skids and slopes, and floating it off a trailer or a ramp."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, open_check
from kit.kinds import Asks, Choice, In, Out, Says
from kit.loading import nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["FloatOff", "Skids", "float_off", "skids"]

_FACTS = read_facts("mooring")
_GRAVITY = Q(9.80665, "m/s^2")
Way = Literal["dry timber skids", "greased skids", "pipes as rollers", "trolley"]
_KEYS = {"dry timber skids": "skid-dry", "greased skids": "skid-greased", "pipes as rollers": "skid-rollers",
         "trolley": "skid-trolley"}


@result
class Skids:
    """What it takes to move a mass on a slope, and to hold it back."""

    friction_used: Annotated[Quantity, Out("1", "friction reckoned with", resolution=0.01, rounding="up")]
    up_pull: Annotated[Quantity, Out("N", "pull along the slope to move it up", rounding="up")]
    level_pull: Annotated[Quantity, Out("N", "pull to move it on the level", rounding="up")]
    hold_back: Annotated[Quantity, Out("N", "pull that holds it back on the slope, wheels or rollers free",
                                       rounding="up")]
    least_pull: Annotated[Quantity, Out("N", "least pull that moves it up, at the best angle", rounding="up")]
    best_angle: Annotated[Quantity, Out("deg", "that angle, above level ground")]
    rest_slope: Annotated[Quantity, Out("deg", "slope on which it begins to slide by itself", rounding="down")]
    words: Annotated[str, Says("what it does when let go")]
    rope_holds: Annotated[Check, Asks("winch and rope move it up the slope", "practice", hazard=True)]
    held_back: Annotated[Check, Asks("what holds it back is strong enough", "practice", hazard=True)]


@calculator("kit", "practice")
def skids(
    *,
    mass: Annotated[Quantity, In("kg", "mass that is moved", 75, ge=0, le=100_000, find="the heaviest single piece")],
    slope: Annotated[Quantity, In("deg", "slope of the ground", 5, out_by="1 deg",
                                  ge=0, le=60, resolution=0.5, basis="measured",
                                  find="spirit level and rule: 1 in 8 is 7 deg")],
    way: Annotated[Way, Choice("what it moves on", "trolley")],
    friction: Annotated[Quantity | None, In("1", "friction measured", 0.1, ge=0, le=1.5, resolution=0.01,
                                            basis="measured", find="spring balance on the level, over the weight")
                        ] = None,
    rope: Annotated[Quantity, In("N", "working load of winch, rope and what it is tied to", 2000, ge=10, le=1e6,
                                 basis="data sheet", find="the least of the three")],
) -> Skids:
    """Pull up a slope, on the level, and to hold back: weight times sine and friction times cosine.

    Up: W (sin b + mu cos b); least at the angle of friction f above the slope,
    W sin(b + f).  Held back as if nothing rubbed: W sin b, the safe side.
    Starting from rest takes more than moving; ruts, mud and steps are left out.

    >>> moved = skids(mass=Q(80, "kg"), slope=Q(5, "deg"), way="trolley", rope=Q(2000, "N"))
    >>> print(f"{moved.up_pull:.0f~P} up, {moved.hold_back:.0f~P} to hold; {moved.words}")
    147 N up, 68 N to hold; it stays, but a push sets it going
    """
    mu = Q(_FACTS[_KEYS[way]].value) + 0 * mass / Q(1, "kg") if friction is None else friction
    weight = (mass * _GRAVITY).to("N")
    angle = Q(np.arctan(mu.m_as("")), "rad").to("deg")
    steep = slope.m_as("rad")
    up = weight * (np.sin(steep) + mu * np.cos(steep))
    down = weight * np.sin(steep)
    return Skids(
        friction_used=mu.to(""), up_pull=up.to("N"), level_pull=(weight * mu).to("N"), hold_back=down.to("N"),
        least_pull=(weight * np.sin(np.minimum((slope + angle).m_as("rad"), np.pi / 2))).to("N"),
        best_angle=slope + angle, rest_slope=angle, words=_let_go(nominal(slope, "deg"), nominal(angle, "deg")),
        rope_holds=at_most(up.to("N"), rope), held_back=at_most(down.to("N"), rope),
    )


def _let_go(slope: float, angle: float) -> str:
    if slope > angle:
        return "it runs away: never stand below it, and never let go of the rope"
    return "it stays, but a push sets it going" if slope > 0.3 * angle else "it stays"


@result
class FloatOff:
    """How far a raft has to go in before it floats."""

    depth_needed: Annotated[Quantity, Out("mm", "water at its shallow end when it floats free", resolution=10,
                                          rounding="up")]
    deep_end: Annotated[Quantity, Out("mm", "water at its deep end then", resolution=10, rounding="up")]
    run: Annotated[Quantity, Out("m", "how far its deep end is in the water then", resolution=0.1, rounding="up")]
    lifts_first: Annotated[Quantity, Out("mm", "water at its deep end when that begins to lift", resolution=10)]
    on_support: Annotated[Quantity, Out("percent", "share of its weight on the shallow support then", rounding="up")]
    deep_enough: Annotated[Check, Asks("the ramp reaches deep enough to float it off", "practice")]
    wheels_hold: Annotated[Check, Asks("the slope is gentle enough for what goes in with it", "practice", hazard=True)]


@calculator("archimedes", "practice")
def float_off(
    *,
    draft: Annotated[Quantity, In("mm", "draft of the floats", 170, ge=1, le=10_000, resolution=1)],
    support: Annotated[Quantity, In("mm", "underside of the floats above the ground, on trolley or skids", 150,
                                    out_by="20 mm", ge=0,
                                    le=2000, resolution=1, basis="measured")],
    length: Annotated[Quantity, In("m", "length of the floats along the ramp", 3, ge=0.1, le=100)],
    slope: Annotated[Quantity, In("deg", "slope of the ramp", 5, out_by="1 deg",
                                  ge=0.2, le=45, resolution=0.5, basis="measured",
                                  find="spirit level and rule: 1 in 8 is 7 deg")],
    ramp_depth: Annotated[Quantity | None, In("mm", "depth where the ramp ends", 800, out_by="50 mm",
                                              ge=0, le=50_000, resolution=10,
                                              basis="measured", find="a stick at its end, at low water")] = None,
    steepest: Annotated[Quantity, In("deg", "steepest slope that vehicle, people and trolley can hold", 8, ge=0.5,
                                     le=40, chosen=True, find="wet ramps for cars 7 to 8; people on weed far less: "
                                     "common practice, no source")] = Q(8, "deg"),
) -> FloatOff:
    """Water that a raft needs over a sloping ramp before it floats free, and how far in it must go.

    It floats free when its shallow end has draft + support over the ground; its
    deep end then stands in L sin b more.  That end begins to lift when the water
    holds half the moment of the weight about the shallow support: T + L sin b/3
    over the floats' undersides, or q L sin b with q^2 (1 - q/3) = T/(L sin b)
    where the shallow end is still dry.  Floats are taken as boxes; waves and soft
    ground are left out.

    >>> off = float_off(draft=Q(170, "mm"), support=Q(150, "mm"), length=Q(3, "m"), slope=Q(5, "deg"))
    >>> print(f"{off.depth_needed:.0f~P} and {off.deep_end:.0f~P}, {off.run:.1f~P} in")
    320 mm and 581 mm, 6.6 m in
    """
    steep = slope.m_as("rad")
    rise = length * np.sin(steep)
    shallow = draft + support
    deep = shallow + rise
    over, share = _begins_to_lift((draft / rise).m_as(""))
    return FloatOff(
        depth_needed=shallow.to("mm"), deep_end=deep.to("mm"), run=(deep / np.tan(steep)).to("m"),
        lifts_first=(support + over * rise).to("mm"), on_support=Q(share, "").to("percent"),
        deep_enough=open_check("enter the depth where the ramp ends") if ramp_depth is None
        else at_least(ramp_depth, deep.to("mm")),
        wheels_hold=at_most(slope, steepest),
    )


def _begins_to_lift(draft: Any) -> tuple[Any, Any]:
    """Water over the undersides at the deep end when it begins to lift, in rises of the ramp under it, and the share
    of the weight on the shallow support; from the draft in rises.
    """
    dry = np.minimum(np.asarray(draft, dtype=float), 2 / 3)
    wedge = 1 + 2 * np.cos((np.arccos(1 - 1.5 * dry) + 4 * np.pi) / 3)
    over = np.where(draft >= 2 / 3, draft + 1 / 3, wedge)
    share = np.where(draft >= 2 / 3, 1 / (6 * np.maximum(draft, 2 / 3)), 1 - wedge**2 / (2 * np.maximum(dry, 1e-12)))
    return over[()], share[()]
