"""Rules made for passenger pontoon boats and for floats on owners' reservoirs, as yardsticks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply, fails, open_check
from kit.crowd_cases import Criterion
from kit.floats import FloatBody, check_floats
from kit.kinds import Asks, Choice, In, Out, Rows, Says, YesNo
from kit.loading import nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["FloatStuff", "WeatherMetacentre", "float_stuff", "weather_metacentre"]

_WATERS = {"protected": "weather-protected", "partially protected": "weather-partial", "exposed": "weather-exposed"}


@result
class WeatherMetacentre:
    """The metacentric height that the weather rule asks for."""

    pressure: Annotated[Quantity, Out("Pa", "wind pressure of the rule", rounding="up")]
    needed: Annotated[Quantity, Out("m", "metacentric height (GM) needed", resolution=0.001, rounding="up")]


@calculator("cfr-46-170")
def weather_metacentre(
    *,
    length: Annotated[Quantity, In("m", "length", 6, ge=0.5, le=100)],
    area: Annotated[Quantity, In("m^2", "area that the wind catches above water", 5.4, ge=0, le=2000)],
    lever: Annotated[Quantity, In("m", "from the middle of that area down to half the draft", 0.8, ge=0, le=30)],
    mass: Annotated[Quantity, In("kg", "whole mass", 1700, ge=1, le=1e7)],
    angle: Annotated[Quantity, In(
        "deg", "angle at which half the freeboard is under water", 8, ge=0.1, le=60)],
    waters: Annotated[Literal["protected", "partially protected", "exposed"], Choice("waters")] = "protected",
) -> WeatherMetacentre:
    """Least metacentric height of the weather rule for passenger vessels (46 CFR 170.170).

    GM = P A H/(W tan T), P the rule's pressure for the waters plus (L/1309)^2 in
    t/m^2, T the lesser of 14 degrees and the angle that puts half the freeboard
    under.  Made for passenger vessels, not for a swimming raft.

    >>> found = weather_metacentre(length=Q(6, "m"), area=Q(5.4, "m^2"), lever=Q(0.8, "m"), mass=Q(1700, "kg"),
    ...                            angle=Q(8, "deg"))
    >>> print(f"{found.needed:.3f~P}")
    0.507 m
    """
    facts = read_facts("floating_rules")
    per_area = facts[_WATERS[waters]].value + (length.m_as("m") / facts["weather-length"].value) ** 2
    pressure = Q(per_area * 1000, "kg/m^2")
    turned = np.minimum(angle.m_as("rad"), facts["weather-angle"].q.m_as("rad"))
    needed = (pressure * area * lever / (mass * np.tan(turned))).to("m")
    return WeatherMetacentre(pressure=(pressure * Q(9.80665, "m/s^2")).to("Pa"), needed=needed)


@result
class FloatStuff:
    """What the floats are made of, against the rule of a reservoir's owner."""

    judged: Annotated[str, Says("whether it is judged, and by what")]
    encased: Annotated[Check, Asks("no bare foam (reservoir owner's rule)", "cfr-18-1304")]
    not_reused: Annotated[Check, Asks("no reused drums (reservoir owner's rule)", "cfr-18-1304")]
    dry: Annotated[Check, Asks("foam takes up little water (reservoir owner's rule, from memory)", "cfr-36-327")]


@calculator("cfr-18-1304", "cfr-36-327")
def float_stuff(
    *,
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    criterion: Annotated[Criterion, Choice("rule the raft is held against")],
    also: Annotated[bool, YesNo("hold the floats against the reservoir owner's rule whatever else is chosen")] = False,
    reused: Annotated[bool | None, YesNo("were drums used for anything before")] = None,
) -> FloatStuff:
    """Whether the floats are of the stuff that some owners of reservoirs ask for: encased foam, new drums, dry.

    It says nothing of how the raft lies.  The owner's own permit holds, here and
    everywhere else; ask for it.  How much water the stuff may hold is from memory.
    """
    check_floats(floats)
    if not (also or criterion.startswith("reservoir")):
        none = does_not_apply("another criterion was chosen")
        return FloatStuff(judged="not judged: another criterion was chosen", encased=none, not_reused=none, dry=none)
    bare = [one.name for one in floats if one.is_foam or (nominal(one.wall, "mm") <= 0 and nominal(one.foam, "") > 0)]
    drums = [one.name for one in floats if one.shape == "drum"]
    limit = read_facts("floating_rules")["waterlogged"].q
    foamed = [one.uptake for one in floats if one.is_foam or nominal(one.foam, "") > 0]
    encased = fails(f"{bare[0]} is bare foam") if bare else at_most(Q(0), Q(0), share=False)
    wet = does_not_apply("there is no foam") if not foamed else at_most(
        Q(np.maximum.reduce(np.broadcast_arrays(*(q.m_as("percent") for q in foamed)))[()], "percent"), limit)
    return FloatStuff(
        judged="judged by the rule of some reservoirs' owners; the permit of yours holds",
        encased=encased, not_reused=_reused(drums, reused), dry=wet)


def _reused(drums: Sequence[str], reused: bool | None) -> Check:
    if not drums:
        return does_not_apply("there are no drums")
    if reused is None:
        return open_check("say whether the drums were used for anything before")
    return fails(f"{drums[0]} was used before") if reused else at_most(Q(0), Q(0), share=False)
