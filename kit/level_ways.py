"""Ways to level a raft: ballast, a part moved, or some of both, and which costs least."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import numpy as np

from kit.ballast import BallastPlace
from kit.calculator import calculator, result, row
from kit.handed import Part, along
from kit.hydro_shapes import Array
from kit.kinds import In, Out, Rows, Says, Text
from kit.least_ballast import MOST_PLACES, least_ballast
from kit.loading import nominal
from kit.quantities import Q, Quantity

__all__ = ["LevelWays", "Movable", "Way", "level_ways"]

# Parts that are looked at when none is said to be movable.
_LOOKED_AT = 6
_STEP = 0.005
# A part lighter than a milligram balances nothing, in kilograms.
_WEIGHTLESS = 1e-6


@row
class Movable:
    """A part that may be moved, between two places each way."""

    name: Annotated[str, Text("part, with its stage", "power: battery")]
    x_least: Annotated[Quantity, along("least x it may have", -0.5)]
    x_most: Annotated[Quantity, along("greatest x it may have", 0.5)]
    y_least: Annotated[Quantity, along("least y it may have", -0.3)]
    y_most: Annotated[Quantity, along("greatest y it may have", 0.3)]
    cost: Annotated[Quantity, In("money", "cost of moving it", 5, ge=0, le=1e5, resolution=0.01)] = Q(0, "money")


@result
class Way:
    """One way to level the raft."""

    name: Annotated[str, Text("way", "move the battery")]
    says: Annotated[str, Says("what to do")]
    ballast: Annotated[Quantity, Out("kg", "ballast besides", rounding="up")]
    left: Annotated[Quantity, Out("kg*m", "moment left", rounding="up")]
    cost: Annotated[Quantity, Out("money", "cost", resolution=0.01, rounding="up")]


@result
class LevelWays:
    """The ways there are, the cheapest first."""

    cheapest: Annotated[str, Says("the cheapest that levels it")]
    ways: Annotated[tuple[Way, ...], Rows("ways, the cheapest first")]


@calculator("kit")
def level_ways(
    *,
    parts: Annotated[Sequence[Part], Rows("parts that the floats carry", least=0, most=500)],
    moment_x: Annotated[Quantity, In("kg*m", "moment towards the named end, ballast left out", 39.3, ge=-1e6, le=1e6)],
    moment_y: Annotated[Quantity, In("kg*m", "moment to the right, ballast left out", 8.4, ge=-1e6, le=1e6)],
    places: Annotated[Sequence[BallastPlace], Rows("places for ballast", least=1, most=MOST_PLACES)],
    movable: Annotated[Sequence[Movable], Rows(
        "parts that may be moved", least=0, most=20, find="battery, gear, tanks: what stands anywhere as well")] = (),
    within: Annotated[Quantity, In("kg*m", "moment that may be left", 5, ge=0.01, le=1e5)] = Q(5, "kg*m"),
    ballast_pack: Annotated[Quantity, In("kg", "ballast in one piece", 7, ge=0.1, le=1000)] = Q(10, "kg"),
    ballast_price: Annotated[Quantity, In("money", "price of one piece of ballast", 3, ge=0, le=1e6)] = Q(0, "money"),
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100, basis="measured")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100, basis="measured")],
) -> LevelWays:
    """Ballast alone, each part moved alone, and all of them moved, each with the ballast that is then still needed.

    A part is moved until its moment balances, or as far as it may; the rest is
    the least ballast in the places there are.  When no part is said to be
    movable, the parts are looked at that would balance it by themselves without
    leaving the deck.  Worked at the means of the samples; heights are not
    judged.
    """
    moment = np.array([nominal(moment_x, "kg*m"), nominal(moment_y, "kg*m")])
    size = np.array([nominal(deck_length, "m"), nominal(deck_width, "m")]) / 2
    known = {one.name: one for one in parts}
    asked = [one for one in movable if one.name in known] or _that_would_do(parts, moment, size)
    levels = _Levels(places, ballast_pack, ballast_price, nominal(within, "kg*m"))
    ways = [levels.way("ballast alone", "nothing is moved", moment, Q(0, "money"))]
    left, said, cost = moment, [], Q(0, "money")
    for one in asked:
        shift, after = _moved(known[one.name], one, moment)
        if np.hypot(*shift) >= _STEP:
            words = f"move it {_words(shift)}"
            ways.append(levels.way(f"move {one.name}", words, after, one.cost))
        shift, left = _moved(known[one.name], one, left)
        if np.hypot(*shift) >= _STEP:
            said.append(f"{one.name} {_words(shift)}")
            cost = cost + one.cost
    if len(said) > 1 and movable:
        ways.append(levels.way("move several", f"{'; '.join(said)}", left, cost))
    missing = [one.name for one in movable if one.name not in known]
    ways.sort(key=lambda way: (way.left.magnitude > levels.within, way.cost.magnitude, way.ballast.magnitude))
    best = ways[0]
    levelled = best.left.magnitude <= levels.within
    told = f"{best.name}: {best.says}" if levelled else f"none levels it; least is left by: {best.name}, {best.says}"
    return LevelWays(cheapest=told + (f"; there is no part called {missing[0]}" if missing else ""), ways=tuple(ways))


class _Levels:
    """The ballast that a moment needs, and what that costs."""

    def __init__(self, places: Sequence[BallastPlace], pack: Quantity, price: Quantity, within: float) -> None:
        self.x, self.y, self.most = (
            np.array([[nominal(getattr(one, name), text)] for one in places])
            for name, text in (("x", "m"), ("y", "m"), ("capacity", "kg")))
        self.pack, self.price, self.within = nominal(pack, "kg"), Q(nominal(price, "money"), "money"), within

    def way(self, name: str, says: str, moment: Array, cost: Quantity) -> Way:
        """The least ballast for a moment, in whole pieces for its price."""
        masses = least_ballast(self.x, self.y, self.most, -moment[:1], -moment[1:])
        left = np.hypot(*(moment + np.array([(masses * self.x).sum(), (masses * self.y).sum()])))
        # Less than may be left needs no ballast at all.
        total = 0.0 if np.hypot(*moment) <= self.within else float(masses.sum())
        rest = float(np.hypot(*moment)) if total == 0.0 else float(left)
        # A rest of the last bits of a cancelled moment is nothing.
        rest = rest if rest > 1e-9 * max(float(np.hypot(*moment)), 1.0) else 0.0
        pieces = int(np.ceil(total / self.pack - 1e-9))
        spent = Q(nominal(cost, "money"), "money") + pieces * self.price
        return Way(name=name, says=says, ballast=Q(total, "kg"), left=Q(rest, "kg*m"), cost=spent)


def _that_would_do(parts: Sequence[Part], moment: Array, size: Array) -> list[Movable]:
    """Parts that would balance it alone without leaving the deck, those that move least first."""
    found = []
    for one in parts:
        mass, place = nominal(one.mass, "kg"), np.array([nominal(one.x, "m"), nominal(one.y, "m")])
        if mass <= _WEIGHTLESS:
            continue
        to = place - moment / mass
        if np.all(np.abs(to) <= size):
            found.append((float(np.hypot(*(moment / mass))), one))
    found.sort(key=lambda pair: pair[0])
    (length, width) = (Q(float(half), "m") for half in size)
    return [Movable(name=one.name, x_least=-length, x_most=length, y_least=-width, y_most=width)
            for _, one in found[:_LOOKED_AT]]


def _moved(part: Part, limits: Movable, moment: Array) -> tuple[Array, Array]:
    """How far a part is moved, in metres along x and y, and the moment then left."""
    mass = nominal(part.mass, "kg")
    place = np.array([nominal(part.x, "m"), nominal(part.y, "m")])
    low, high = (
        np.array([nominal(getattr(limits, f"{axis}_{end}"), "m") for axis in "xy"]) for end in ("least", "most"))
    # A part that stands outside its own limits is not pulled back by levelling.
    wanted = place - moment / mass if mass > _WEIGHTLESS else place
    to = np.clip(wanted, np.minimum(low, place), np.maximum(high, place))
    shift = to - place
    return shift, moment + mass * shift


def _words(shift: Array) -> str:
    """A shift in words, to the centimetre."""
    ways = (("towards the named end", "away from the named end"), ("to the right", "to the left"))
    said = [f"{abs(step):.2f} m {names[0] if step > 0 else names[1]}"
            for step, names in zip(shift, ways, strict=True) if abs(step) >= _STEP]
    return ", ".join(said)
