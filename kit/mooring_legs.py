"""One mooring leg: at rest as the water falls and rises, and in a storm."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.catenary import HangingLeg, hanging_lift, shape, taut_pull
from kit.checks import Check, at_least, at_most
from kit.kinds import Asks, In, Out, Rows
from kit.moored import MooringLeg
from kit.quantities import Q, Quantity

__all__ = ["LegAtRest", "LegInStorm", "leg_at_rest", "leg_in_storm"]

_GRAVITY = Q(9.80665, "m/s^2")
_STEEL = Q(7850, "kg/m^3")
_TOO_SHORT = "the leg is too short to reach the bottom"
# Points of the drawn leg, as shares of its length from the anchor up; the chain is short, so its end is drawn finely.
_POINTS = np.array([0.0, 0.02, 0.04, 0.06, 0.08, 0.1, 0.13, 0.16, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0])


def _length(meaning: str, example: float, find: str = "", least: float = 0.0) -> In:
    return In("m", meaning, example, ge=least, le=500, resolution=0.01, find=find, out_by="0.1 m")


_DEPTH = _length("depth at the usual level where the anchor lies", 3.5, "weighted line at the anchor", 0.1)
_FALLS = _length("how far the level falls below that", 0.3, "strand line; ask the keeper")
_RISES = _length("how far the level rises above that", 0.6, "strand line; ask the keeper")
_FAIRLEAD = _length("height of the cleat above water", 0.49, "deck edge above water, from stage 10")
_ROPE = _length("rope in one leg, between chain and cleat", 20, "knots and the tail on the cleat come on top", 0.5)
_CHAIN = _length("chain in one leg, at the anchor", 3)
_ROPE_MASS = In("kg/m", "mass of the rope by length, dry", 0.092, ge=0.005, le=20, resolution=0.001,
                find="coil on a scale, divided by its length", basis="data sheet")
_FIBRE = In("kg/m^3", "density of the fibre", 1140, ge=800, le=2000, basis="handbook",
            find="nylon 1140, polyester 1380, polypropylene 910, which floats")
_CHAIN_MASS = In("kg/m", "mass of the chain by length", 1.4, ge=0.05, le=100, resolution=0.01, basis="data sheet",
                 find="8 mm 1.4, 10 mm 2.2, or a scale")
_BREAKING = In("kN", "breaking strength of the new dry rope", 27, ge=0.5, le=2000, basis="data sheet",
               find="the label")
_STRETCH = In("percent", "stretch of the rope at a fifth of that", 8, ge=0.2, le=40,
              find="nylon 6 to 12, polyester 3 to 5, polypropylene 4 to 8")
_WATER = In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")


@result
class LegAtRest:
    """One leg in calm weather, from low water to a flood."""

    length: Annotated[Quantity, Out("m", "length of one leg", resolution=0.01)]
    low_height: Annotated[Quantity, Out("m", "cleat above the bottom at low water", resolution=0.01)]
    usual_height: Annotated[Quantity, Out("m", "cleat above the bottom at the usual level", resolution=0.01)]
    high_height: Annotated[Quantity, Out("m", "cleat above the bottom at high water", resolution=0.01)]
    flood_height: Annotated[Quantity, Out("m", "cleat above the bottom in a flood", resolution=0.01)]
    scope: Annotated[Quantity, Out("1", "scope at high water", resolution=0.1, rounding="down")]
    scope_low: Annotated[Quantity, Out("1", "scope at low water", resolution=0.1, rounding="down")]
    distance: Annotated[Quantity, Out("m", "from below the cleat to the anchor", resolution=0.01, absent=_TOO_SHORT)]
    slack_low: Annotated[Quantity, Out("m", "slack at low water (negative: stretched)", resolution=0.01,
                                       absent=_TOO_SHORT)]
    slack_high: Annotated[Quantity, Out("m", "slack at high water (negative: stretched)", resolution=0.01,
                                        absent=_TOO_SHORT)]
    pull_high: Annotated[Quantity, Out("N", "pull at rest at high water", rounding="up", absent=_TOO_SHORT)]
    pull_flood: Annotated[Quantity, Out("N", "pull at rest in a flood", rounding="up", absent=_TOO_SHORT)]
    pull_down: Annotated[Quantity, Out("kg", "pull-down of all legs on the raft", rounding="up", absent=_TOO_SHORT)]
    pull_down_high: Annotated[Quantity, Out("kg", "pull-down of all legs at high water", rounding="up",
                                            absent=_TOO_SHORT)]
    pull_down_flood: Annotated[Quantity, Out("kg", "pull-down of all legs in a flood", rounding="up",
                                             absent=_TOO_SHORT)]
    reach_low: Annotated[Quantity, Out("m", "furthest a leg reaches at low water", resolution=0.01, rounding="up",
                                       absent=_TOO_SHORT)]
    stiffness: Annotated[Quantity, Out("kN", "pull that would double the rope's length")]
    rope_weight: Annotated[Quantity, Out("N/m", "weight of the rope under water by length")]
    chain_weight: Annotated[Quantity, Out("N/m", "weight of the chain under water by length")]
    long_enough: Annotated[Check, Asks("scope at high water", "practice", hazard=True)]
    rides_flood: Annotated[Check, Asks("rope holds the raft down in a flood without breaking", "practice",
                                       hazard=True)]
    stays_up: Annotated[Check, Asks("legs do not pull the raft under in a flood", "practice", hazard=True)]


@calculator("mit-2.019", "practice")
def leg_at_rest(
    *,
    depth: Annotated[Quantity, _DEPTH],
    falls: Annotated[Quantity, _FALLS],
    rises: Annotated[Quantity, _RISES],
    flood: Annotated[Quantity, _length("how far a flood rises above high water", 0.5, "the oldest neighbour")],
    fairlead: Annotated[Quantity, _FAIRLEAD],
    legs: Annotated[Sequence[MooringLeg], Rows("mooring legs", least=1, most=20,
                                               find="one a corner, at 45 degrees, holds from all sides")],
    rope: Annotated[Quantity, _ROPE],
    chain: Annotated[Quantity, _CHAIN],
    rope_mass: Annotated[Quantity, _ROPE_MASS],
    fibre: Annotated[Quantity, _FIBRE] = Q(1140, "kg/m^3"),
    chain_mass: Annotated[Quantity, _CHAIN_MASS],
    breaking: Annotated[Quantity, _BREAKING],
    stretch: Annotated[Quantity, _STRETCH],
    preload: Annotated[Quantity, In("N", "horizontal pull of one leg at rest at the usual level", 145, ge=1, le=1e5,
                                    find="spring balance at the cleat: by hand is 100 to 200 N", chosen=True)],
    wanted: Annotated[Quantity, In("1", "scope wanted at high water", 5, ge=1.2, le=15, chosen=True,
                                   find="3 chain in a calm place, 5 to 10 rope")] = Q(5),
    working: Annotated[Quantity, In("kN", "load the rope may carry, wet and knotted, factor taken off", 3.8, ge=0.05,
                                    le=1000)],
    carries: Annotated[Quantity, In("kg", "load that the raft can carry down at rest", 400, ge=0, le=1e6,
                                    find="lift left over, from stage 10, less what people weigh")],
    density: Annotated[Quantity, _WATER],
) -> LegAtRest:
    """Scope, slack and pull of one leg at low, usual and high water and in a flood, and how far away the anchor goes.

    The anchor is put where the leg pulls by `preload` at the usual level,
    x = (H/w)(asinh(V/H) - asinh(V0/H)) over rope and chain; at the other levels
    T solves straight = L + T L_rope/EA - I/(2 T^2), I its sag.  All legs are
    taken alike on a level bottom; waves, and a bottom that slopes, are left out.

    >>> legs = [MooringLeg(name=str(b), x=Q(0, "m"), y=Q(0, "m"), bearing=Q(b, "deg")) for b in (45, 135, 225, 315)]
    >>> leg = leg_at_rest(depth=Q(3.5, "m"), falls=Q(0.3, "m"), rises=Q(0.6, "m"), flood=Q(0.5, "m"),
    ...     fairlead=Q(0.49, "m"), legs=legs, rope=Q(20, "m"), chain=Q(3, "m"), rope_mass=Q(0.092, "kg/m"),
    ...     chain_mass=Q(1.4, "kg/m"), breaking=Q(27, "kN"), stretch=Q(8, "percent"), preload=Q(145, "N"),
    ...     working=Q(3.8, "kN"), carries=Q(400, "kg"), density=Q(999.7, "kg/m^3"))
    >>> print(f"scope {leg.scope:.1f~P}, anchor {leg.distance:.1f~P} away, {leg.pull_down:.0f~P} down")
    scope 5.0, anchor 22.7 m away, 12 kg down
    """
    require(np.all(depth > falls), "the level cannot fall by more than the depth", "depth", "falls")
    top = depth + fairlead
    heights = {"low": top - falls, "usual": top, "high": top + rises, "flood": top + rises + flood}
    length = rope + chain
    require(np.all(1.02 * heights["flood"] < length),
            "the leg does not even reach the bottom in a flood; make it longer than the depth", "rope", "chain")
    weights = _under_water(rope_mass, fibre, chain_mass, density)
    stiffness = breaking / 5 / stretch
    leg = _hanging(rope, chain, weights, stiffness)
    pull, usual = np.asarray(preload.m_as("N")), np.asarray(heights["usual"].m_as("m"))
    lift = hanging_lift(leg, pull, usual)
    distance = shape(leg, pull, lift, np.array(1.0))[0]
    straight = {level: np.hypot(distance, np.asarray(heights[level].m_as("m"))) for level in ("low", "high", "flood")}
    rest = {level: taut_pull(leg, straight[level]) for level in ("high", "flood")}
    down = {level: _downward(leg, rest[level], distance, np.asarray(heights[level].m_as("m")), straight[level])
            for level in rest}
    slack = {level: length - Q(straight[level], "m") for level in straight}
    reach = np.sqrt(np.maximum((length**2 - heights["low"] ** 2).m_as("m^2"), 0))
    under = Q(len(legs) * down["flood"], "N") / _GRAVITY
    return LegAtRest(
        length=length, **{f"{level}_height": height for level, height in heights.items()},
        scope=(length / heights["high"]).to(""), scope_low=(length / heights["low"]).to(""),
        distance=Q(distance, "m"), slack_low=slack["low"], slack_high=slack["high"],
        pull_high=Q(rest["high"], "N"), pull_flood=Q(rest["flood"], "N"),
        pull_down=(Q(len(legs) * lift, "N") / _GRAVITY).to("kg"),
        pull_down_high=(Q(len(legs) * down["high"], "N") / _GRAVITY).to("kg"), pull_down_flood=under.to("kg"),
        reach_low=Q(reach, "m"), stiffness=stiffness.to("kN"), rope_weight=weights[0], chain_weight=weights[1],
        long_enough=at_least((length / heights["high"]).to(""), wanted, share=False),
        rides_flood=at_most(Q(rest["flood"], "N"), working, factor="factor, wet and knot taken off"),
        stays_up=at_most(under.to("kg"), carries, reason="slack the legs when a flood is forecast"),
    )


@result
class LegInStorm:
    """The most loaded leg in a storm."""

    tension: Annotated[Quantity, Out("kN", "pull in the rope at the cleat, high water", resolution=0.01, rounding="up",
                                     absent=_TOO_SHORT)]
    angle: Annotated[Quantity, Out("deg", "slope of the rope at the cleat, high water", rounding="up",
                                   absent=_TOO_SHORT)]
    lift: Annotated[Quantity, Out("N", "downward pull at the cleat, high water", rounding="up", absent=_TOO_SHORT)]
    uplift: Annotated[Quantity, Out("N", "upward pull on the anchor, high water", rounding="up", absent=_TOO_SHORT)]
    anchor_pull: Annotated[Quantity, Out("kN", "pull on the anchor, high water", resolution=0.01, rounding="up",
                                         absent=_TOO_SHORT)]
    anchor_angle: Annotated[Quantity, Out("deg", "slope of the leg at the anchor, high water", rounding="up",
                                          absent=_TOO_SHORT)]
    straight_angle: Annotated[Quantity, Out("deg", "slope if the leg weighed nothing")]
    low_angle: Annotated[Quantity, Out("deg", "slope of the leg at the anchor, low water", rounding="up",
                                       absent=_TOO_SHORT)]
    flat_chain: Annotated[Quantity, Out("m", "chain that would pull along the bottom, without rope", resolution=0.1,
                                        rounding="up")]
    stretched: Annotated[Quantity, Out("m", "how much longer the rope gets", resolution=0.01)]
    station: Annotated[Quantity, Out("1", "points along the leg from the anchor, as shares of its length")]
    high_x: Annotated[Quantity, Out("m", "leg at high water: distance from the anchor", over="station",
                                    absent=_TOO_SHORT)]
    high_z: Annotated[Quantity, Out("m", "leg at high water: height above the bottom", over="station",
                                    absent=_TOO_SHORT)]
    low_x: Annotated[Quantity, Out("m", "leg at low water: distance from the anchor", over="station",
                                   absent=_TOO_SHORT)]
    low_z: Annotated[Quantity, Out("m", "leg at low water: height above the bottom", over="station",
                                   absent=_TOO_SHORT)]


@calculator("mit-2.019")
def leg_in_storm(
    *,
    pull: Annotated[Quantity, In("N", "horizontal pull on the leg", 1060, ge=1, le=1e6)],
    high_height: Annotated[Quantity, In("m", "cleat above the bottom at high water", 4.59, ge=0.1, le=600)],
    low_height: Annotated[Quantity, In("m", "cleat above the bottom at low water", 3.69, ge=0.1, le=600)],
    rope: Annotated[Quantity, In("m", "rope in one leg", 20, ge=0, le=500)],
    chain: Annotated[Quantity, In("m", "chain in one leg", 3, ge=0, le=500)],
    rope_weight: Annotated[Quantity, In("N/m", "weight of the rope under water by length", 0.11, ge=0, le=200)],
    chain_weight: Annotated[Quantity, In("N/m", "weight of the chain under water by length", 12, ge=0.05, le=1000)],
    stiffness: Annotated[Quantity, In("kN", "pull that would double the rope's length", 67.5, ge=0.1, le=1e6)],
) -> LegInStorm:
    """Shape, pull and slope of a leg of rope and chain under a horizontal pull, at high and at low water.

    Two catenaries one above the other, rope over chain: T = hypot(H, V), V the
    weight hanging plus what pulls the anchor up.  A leg of chain alone pulls
    along the bottom from l = sqrt(h^2 + 2 h H/w) on.  Waves that snatch are left out.

    >>> leg = leg_in_storm(pull=Q(1000, "N"), high_height=Q(4, "m"), low_height=Q(3, "m"), rope=Q(0, "m"),
    ...     chain=Q(26.2, "m"), rope_weight=Q(0, "N/m"), chain_weight=Q(12, "N/m"), stiffness=Q(70, "kN"))
    >>> print(f"{leg.tension:.3f~P} at {leg.angle:.1f~P}, {leg.flat_chain:.1f~P} of chain lie flat at the anchor")
    1.048 kN at 17.4 deg, 26.1 m of chain lie flat at the anchor
    """
    require(np.all(1.001 * high_height < rope + chain), "the leg is no longer than the height it has to reach; make it "
            "several times as long", "rope", "chain")
    require(np.all(low_height <= high_height), "low water cannot be above high water", "low_height", "high_height")
    leg = _hanging(rope, chain, (rope_weight, chain_weight), stiffness)
    level = [np.asarray(height.m_as("m"), dtype=float) for height in (high_height, low_height)]
    force = np.asarray(pull.m_as("N"), dtype=float)
    high, low = (hanging_lift(leg, force, height) for height in level)
    feet = [np.maximum(lift - leg.weight, 0.0) for lift in (high, low)]
    stations = _POINTS.reshape((-1,) + (1,) * np.ndim(high * leg.weight))
    curves = [shape(leg, force, lift, stations) for lift in (high, low)]
    flat = np.sqrt(level[0] ** 2 + 2 * level[0] * force / np.asarray(chain_weight.m_as("N/m")))
    return LegInStorm(
        tension=Q(np.hypot(force, high), "N").to("kN"), angle=_slope(high, force), lift=Q(high, "N"),
        uplift=Q(feet[0], "N"), anchor_pull=Q(np.hypot(force, feet[0]), "N").to("kN"),
        anchor_angle=_slope(feet[0], force), low_angle=_slope(feet[1], force),
        straight_angle=Q(np.degrees(np.arcsin((high_height / (rope + chain)).m_as(""))), "deg"),
        stretched=(rope * pull / stiffness).to("m"), station=Q(_POINTS, ""),
        flat_chain=Q(flat, "m"),
        **{f"{name}_{axis}": Q(values, "m") for name, curve in zip(("high", "low"), curves, strict=True)
           for axis, values in zip("xz", curve, strict=True)},
    )


def _under_water(rope_mass: Quantity, fibre: Quantity, chain_mass: Quantity, water: Quantity) -> tuple[Any, Any]:
    """Weights by length under water; a rope that floats is taken as weightless."""
    rope = (rope_mass * (1 - water / fibre) * _GRAVITY).to("N/m")
    return Q(np.maximum(rope.m, 0)[()], "N/m"), (chain_mass * (1 - water / _STEEL) * _GRAVITY).to("N/m")


def _hanging(rope: Quantity, chain: Quantity, weights: tuple[Any, Any], stiffness: Quantity) -> HangingLeg:
    values = (rope.m_as("m"), chain.m_as("m"), weights[0].m_as("N/m"), weights[1].m_as("N/m"), stiffness.m_as("N"))
    return HangingLeg(*(np.asarray(value, dtype=float) for value in values))


def _downward(leg: HangingLeg, tension: Any, distance: Any, height: Any, straight: Any) -> Any:
    """Downward pull at the top of a nearly straight leg: its slope, and its share of the weight."""
    middle = leg.chain**2 * leg.chain_weight / 2 + leg.rope * leg.rope_weight * (leg.chain + leg.rope / 2)
    return tension * height / straight + middle / (leg.rope + leg.chain) * distance / straight


def _slope(lift: Any, pull: Any) -> Quantity:
    return Q(np.degrees(np.arctan2(lift, pull)), "deg")
