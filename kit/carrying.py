"""Lifting and carrying by people: the published lifting equation inside its scope, and a refusal outside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_most, does_not_apply, not_covered
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.loading import nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts, read_table

__all__ = ["Carried", "Carrying", "Lift", "carrying"]

_LOAD = read_facts("mooring")["load-constant"]
_RATES = np.array([[float(line["per_minute"]), float(line["multiplier"])] for line in read_table("lift_frequency")])
_OUTSIDE = "outside the equation's scope"


@row
class Lift:
    """One thing that is lifted by hand, and how."""

    name: Annotated[str, Text("what is lifted", "frame without boards")]
    mass: Annotated[Quantity, In("kg", "its mass", 74, ge=0, le=5000, resolution=0.1,
                                 find="bathroom scale, one end after the other")]
    carriers: Annotated[int, Count("people who lift it", 6, ge=1, le=40)]
    ground: Annotated[Literal["dry and firm", "wet or slippery", "in the water"],
                      Choice("what they stand on", "dry and firm")] = "dry and firm"
    stable: Annotated[Literal["stiff and steady", "long, floppy or with water in it"],
                      Choice("how it handles", "stiff and steady")] = "stiff and steady"
    grip: Annotated[Literal["good", "fair", "poor"],
                    Choice("how it is held", "good", find="handles good, edges to hook fingers under fair")] = "fair"
    out: Annotated[Quantity, In("cm", "hands in front of the ankles", 35, ge=0, le=120, resolution=1,
                                find="at the start of the lift, along the ground")] = Q(35, "cm")
    low: Annotated[Quantity, In("cm", "height of the hands at the start", 50, ge=0, le=175, resolution=1)] = Q(50, "cm")
    travel: Annotated[Quantity, In("cm", "how far it is lifted", 40, ge=0, le=175, resolution=1)] = Q(40, "cm")
    twist: Annotated[Quantity, In("deg", "how far they turn", 0, ge=0, le=180, resolution=1)] = Q(0, "deg")
    rate: Annotated[Quantity, In("1/min", "lifts a minute, for an hour at most", 0.2, ge=0, le=15, resolution=0.1)] = Q(
        0.2, "1/min")


@result
class Carried:
    """One lift judged."""

    name: Annotated[str, Text("what is lifted", "frame without boards")]
    carriers: Annotated[str, Says("people who lift it")]
    share: Annotated[Quantity, Out("kg", "each one's share", resolution=0.1, rounding="up", absent="no number")]
    recommended: Annotated[Quantity, Out("kg", "mass recommended for one of them", resolution=0.1, rounding="down",
                                         absent="no number")]
    needed: Annotated[Quantity, Out("1", "people that it needs", resolution=1, rounding="up", absent="no number")]
    words: Annotated[str, Says("what follows")]


@result
class Carrying:
    """All lifts, and the worst."""

    index: Annotated[Quantity, Out("1", "greatest share over the mass recommended", resolution=0.01, rounding="up",
                                   absent="no lift is inside the equation's scope")]
    worst: Annotated[str, Says("worst lift")]
    judged: Annotated[tuple[Carried, ...], Rows("lift by lift")]
    light_enough: Annotated[Check, Asks("lifts on dry firm ground (NIOSH equation)", "niosh-94-110", hazard=True)]
    in_scope: Annotated[Check, Asks("lifts that no number covers", "niosh-94-110", hazard=True)]


@calculator("niosh-94-110", "practice")
def carrying(
    *,
    lifts: Annotated[Sequence[Lift], Rows("things lifted by hand", least=1, most=60)],
    uneven: Annotated[Quantity, In("1", "most loaded person over an even share", 1.15, ge=1, le=2, resolution=0.01,
                                   find="common practice, no source: one end is heavier, one step higher")] = Q(1.15),
) -> Carrying:
    """Each one's share of a lift against the revised NIOSH equation; a lift outside its scope gets no number.

    23 kg times 25/H, 1 - 0.003|V - 75|, 0.82 + 4.5/D, 1 - 0.0032 A, the table of
    frequencies and the grip, in cm and degrees.  Made for one person with two
    hands; the even share times `uneven` is taken for each of several.  Not for
    wet or slippery ground, loads that shift, carrying far, cold hands: there the
    carriers are named and no number is given.

    >>> found = carrying(lifts=[Lift(name="frame", mass=Q(74, "kg"), carriers=6),
    ...                         Lift(name="float", mass=Q(80, "kg"), carriers=4, ground="in the water")])
    >>> print(f"{found.judged[0].share:.1f~P} of {found.judged[0].recommended:.1f~P}; {found.judged[1].words}")
    14.2 kg of 13.5 kg; 4 people, no number is given: they stand in the water. Float, roll or winch it
    """
    inside = [one for one in lifts if not _why_not(one)]
    shares = {one.name: (one.mass / one.carriers * (uneven if one.carriers > 1 else Q(1))).to("kg") for one in lifts}
    limits = {one.name: _recommended(one) for one in inside}
    used = {name: _index(shares[name], limit) for name, limit in limits.items()}
    worst = max(used, key=lambda name: nominal(used[name], ""), default="none")
    index = Q(np.maximum.reduce(np.broadcast_arrays(*(q.m for q in used.values())))[()] if used else np.nan)
    refused = [one for one in lifts if _why_not(one)]
    return Carrying(
        index=index, worst=worst,
        judged=tuple(_judged(one, shares[one.name], limits.get(one.name), used.get(one.name)) for one in lifts),
        light_enough=at_most(index, Q(1), reason=worst) if inside else does_not_apply("no such lift"),
        in_scope=not_covered("; ".join(f"{one.name}: {one.carriers} people, {_why_not(one)}" for one in refused)
                             + ": float, roll or winch it; nobody can say what is safe") if refused
        else does_not_apply("all lifts are inside the equation's scope"),
    )


def _why_not(one: Lift) -> str:
    """Why the equation does not cover a lift; empty when it does."""
    if one.ground != "dry and firm":
        return "they stand in the water" if one.ground == "in the water" else f"the ground is {one.ground}"
    if one.stable != "stiff and steady":
        return "it is long, floppy or has water in it"
    return ""


def _recommended(one: Lift) -> Quantity:
    """The recommended mass; nothing outside the reach, height, turn and frequency that the equation allows.

    The published multipliers take cm, degrees and lifts a minute.
    """
    h, v, d, a, f = (np.asarray(q.m_as(text), dtype=float) for q, text in (
        (one.out, "cm"), (one.low, "cm"), (one.travel, "cm"), (one.twist, "deg"), (one.rate, "1/min")))
    reach = np.where(h > 63, 0.0, 25 / np.maximum(h, 25))
    height = 1 - 0.003 * np.abs(v - 75)
    travel = 0.82 + 4.5 / np.maximum(d, 25)
    twist = np.where(a > 135, 0.0, 1 - 0.0032 * a)
    often = np.where(f > _RATES[-1, 0], 0.0, np.interp(f, *_RATES.T))
    low = 1.0 if one.grip == "good" else 0.95
    grip = 0.9 if one.grip == "poor" else np.where(v < 75, low, 1.0)
    made = _LOAD.value * reach * height * travel * twist * often * grip
    return Q(np.where(np.isnan(h + v + d + a + f), np.nan, made)[()], "kg")


def _index(share: Quantity, limit: Quantity) -> Quantity:
    """Share over the mass recommended; a lift that is recommended to nobody counts as a hundred times too much."""
    allowed = np.maximum(limit.m_as("kg"), share.m_as("kg") / 100)
    with np.errstate(invalid="ignore", divide="ignore"):
        return Q(np.where(allowed > 0, share.m_as("kg") / np.where(allowed > 0, allowed, 1), 0.0)[()])


def _judged(one: Lift, share: Quantity, limit: Quantity | None, used: Quantity | None) -> Carried:
    if limit is None or used is None:
        nothing = share * np.nan
        words = f"{one.carriers} people, no number is given: {_why_not(one)}. Float, roll or winch it"
        return Carried(name=one.name, carriers=str(one.carriers), share=nothing, recommended=nothing,
                       needed=Q(nothing.m), words=words)
    index = nominal(used, "")
    people = Q(np.where(used.m < 100, np.ceil(used.m * one.carriers - 1e-9), np.nan)[()])
    words = "light enough" if index <= 1 else "more people, closer hands, or do not lift it: roll, float or winch it"
    return Carried(name=one.name, carriers=str(one.carriers), share=share, recommended=limit, needed=people,
                   words=words)
