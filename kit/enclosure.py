"""The box: how warm it gets, and when water condenses inside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.climate import MONTHS, Month, by_month
from kit.columns import cell, middle
from kit.kinds import Asks, Choice, In, Out, Rows, Says
from kit.quantities import Q, Quantity

__all__ = ["BoxAir", "BoxHeat", "box_air", "box_heat", "dew_point", "vapour_pressure"]


def vapour_pressure(temperature: Quantity) -> Quantity:
    """Pressure of saturated vapour over water, by the WMO's formula."""
    t = temperature.m_as("degC")
    return Q(6.112 * np.exp(17.62 * t / (243.12 + t)), "mbar")


def dew_point(temperature: Quantity, humidity: Quantity) -> Quantity:
    """Temperature at which air of this temperature and humidity begins to condense."""
    t = temperature.m_as("degC")
    share = np.log(humidity.m_as("")) + 17.62 * t / (243.12 + t)
    return Q(243.12 * share / (17.62 - share), "degC")


@result
class BoxAir:
    """Dew point in the box against its coldest wall."""

    dew: Annotated[Quantity, Out("degC", "dew point of the air shut in", rounding="up")]
    dry_dew: Annotated[Quantity, Out("degC", "dew point with the drying agent", rounding="up")]
    water: Annotated[Quantity, Out("g", "water in the air shut in", resolution=0.01)]
    month: Annotated[Quantity, Out("1", "month of the year")]
    outside: Annotated[Quantity, Out("degC", "dew point outside", over="month")]
    margin: Annotated[Quantity, Out("delta_degC", "wall above the dew point, breathing box", over="month")]
    wettest: Annotated[str, Says("month nearest to dew in a box that breathes")]
    sealed_dry: Annotated[Check, Asks("air shut in stays dry at the coldest wall", "WMO-8")]
    breathing_dry: Annotated[Check, Asks("a box that breathes stays dry through the year", "WMO-8")]


@calculator("WMO-8")
def box_air(
    *,
    shut_at: Annotated[Quantity, In("degC", "air when the box is shut", 15, ge=-20, le=50)],
    shut_humidity: Annotated[Quantity, In("percent", "humidity when the box is shut", 65, ge=1, le=100,
                                          find="hygrometer in the workshop")],
    coldest: Annotated[Quantity, In("degC", "coldest wall", -10, ge=-45, le=40)],
    volume: Annotated[Quantity, In("L", "air in the box", 9, ge=0.01, le=10_000)] = Q(9, "L"),
    drier: Annotated[Quantity, In("percent", "humidity that a drying agent holds", 20, ge=1, le=100, find=(
        "a fresh silica bag 10 to 20 %; 100 % for none"), chosen=True)] = Q(100, "percent"),
    kind: Annotated[Literal["sealed", "breathing"], Choice("box", "breathing", find=(
        "a box with a cable through its wall breathes, unless every gland is proved"))] = "breathing",
    warmer: Annotated[Quantity, In("degC", "inside wall above the air outside at night", 1, ge=0, le=30,
                                   difference=True)] = Q(1, "delta_degC"),
    months: Annotated[Sequence[Month], Rows("air by month", least=1, most=12)],
) -> BoxAir:
    """Dew point of the air shut in, and of the air outside month by month.

    Td = 243.12 g/(17.62 - g), g = ln RH + 17.62 t/(243.12 + t).  It condenses
    where a wall is colder.  A sealed box keeps the air it was shut with; one
    that breathes takes the mean air of each month, while its wall stands a
    little above it.  Left out: the swing of day and night, which is worse.

    >>> shut = box_air(shut_at=Q(25, "degC"), shut_humidity=Q(50, "percent"), coldest=Q(5, "degC"),
    ...                months=[Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent"))])
    >>> print(f"{shut.dew:.1f~P}")
    13.9 degC
    """
    dew = dew_point(shut_at, shut_humidity)
    dried = dew_point(shut_at, Q(np.minimum(shut_humidity.m_as(""), drier.m_as(""))[()], "1"))
    # One of the two may be sampled and the other not: the months stay the first axis of both.
    warm, damp = (Quantity(one.m.reshape(12, -1), one.units) for one in by_month(months))
    outside = dew_point(warm, damp)
    above = np.atleast_1d(warmer.m_as("delta_degC"))
    margin: Any = Q(warm.m_as("degC") + above - outside.m_as("degC"), "delta_degC")
    kelvin = shut_at.m_as("K")
    water = Q(shut_humidity.m_as("") * vapour_pressure(shut_at).m_as("Pa") * volume.m_as("m^3") / 461.5 / kelvin, "kg")
    least = cell(Q(margin.m.min(axis=0), "delta_degC"))
    wettest = MONTHS[int(np.argmin([middle(line) for line in margin]))]
    return BoxAir(
        dew=dew, dry_dew=dried, water=Q(water, "g"),
        month=Q(np.arange(1, 13)), outside=cell(outside), margin=cell(margin),
        wettest=wettest, sealed_dry=_sealed(kind, coldest, dried, drier),
        breathing_dry=_breathing(kind, least, wettest),
    )


def _sealed(kind: str, coldest: Quantity, dew: Quantity, drier: Quantity) -> Check:
    if kind != "sealed":
        return does_not_apply("the box breathes")
    aid = "drying agent counted" if np.any(drier.m_as("") < 1) else "no drying agent"
    return at_least(coldest, dew, share=False, reason=f"{aid}, proved tight")


def _breathing(kind: str, least: Quantity, wettest: str) -> Check:
    if kind != "breathing":
        return does_not_apply("the box is sealed")
    return at_least(least, Q(0, "delta_degC"), share=False, reason=f"{wettest}; wall against the air that comes in")


@result
class BoxHeat:
    """How warm the box gets inside."""

    surface: Annotated[Quantity, Out("m^2", "all six faces")]
    sun: Annotated[Quantity, Out("W", "heat taken in from the sun", rounding="up")]
    own_rise: Annotated[Quantity, Out("delta_degC", "rise by its own heat", rounding="up")]
    rise: Annotated[Quantity, Out("delta_degC", "rise with the sun", rounding="up")]
    inside: Annotated[Quantity, Out("degC", "air inside at the hottest", rounding="up")]
    skin: Annotated[Quantity, Out("degC", "its face in the sun, nothing behind it", rounding="up")]
    cool: Annotated[Check, Asks("inside stays below what the parts bear", "sol-air")]


@calculator("sol-air")
def box_heat(
    *,
    length: Annotated[Quantity, In("mm", "length of the box", 300, ge=20, le=3000)],
    width: Annotated[Quantity, In("mm", "width", 200, ge=20, le=3000)],
    height: Annotated[Quantity, In("mm", "height", 150, ge=20, le=3000)],
    heat: Annotated[Quantity, In("W", "heat of what is inside", 1, ge=0, le=5000, find="mean, not peak: volts times "
                                 "amperes that stay in the box")],
    hot: Annotated[Quantity, In("degC", "air outside at the hottest", 32, ge=-40, le=60)],
    shade: Annotated[Literal["in the shade", "light, in the sun", "dark, in the sun"],
                     Choice("where it stands, and its colour", "in the shade")] = "in the shade",
    sunlight: Annotated[Quantity, In("W/m^2", "sunlight on it", 1000, ge=0, le=1200)] = Q(1000, "W/m^2"),
    passes: Annotated[Quantity, In("W/m^2/K", "heat that its walls pass", 5.5, ge=0.5, le=30, find=(
        "still air inside and out 5 to 5.5, from memory; thin metal in wind more"))] = Q(5.5, "W/m^2/K"),
    bears: Annotated[Quantity, In("degC", "greatest temperature of the parts", 60, ge=20, le=150, basis="data sheet",
                                  find="the lowest of all data sheets; a display or battery is the first",
                                  chosen=True)],
) -> BoxHeat:
    """Rise of a closed box in the steady state.

    dT = (P + alpha G A_sun)/(U A); the sun meets its largest face, alpha 0.9
    dark and 0.5 light (from memory).  The sun outweighs the electronics ten
    times: shade comes first.  The skin alone, sol-air, is air + alpha I/h with
    h = 17 W/m^2K.

    >>> box = box_heat(length=Q(0.3, "m"), width=Q(0.2, "m"), height=Q(0.15, "m"), heat=Q(5, "W"), hot=Q(30, "degC"),
    ...                bears=Q(60, "degC"))
    >>> print(f"{box.rise.m:.1f} degrees")
    3.4 degrees
    """
    sides = (length * width, length * height, width * height)
    faces = [side.m_as("m^2") for side in sides]
    surface = Q(2 * (faces[0] + faces[1] + faces[2]), "m^2")
    takes = {"in the shade": 0.0, "light, in the sun": 0.5, "dark, in the sun": 0.9}[shade]
    sun = Q(takes * sunlight * Q(np.maximum(np.maximum(faces[0], faces[1]), faces[2])[()], "m^2"), "W")
    passed = (passes * surface).m_as("W/K")
    own, rise = Q(heat.m_as("W") / passed, "delta_degC"), Q((heat + sun).m_as("W") / passed, "delta_degC")
    inside = Q(hot.m_as("degC") + rise.m, "degC")
    return BoxHeat(
        surface=surface, sun=sun, own_rise=own, rise=rise, inside=inside,
        skin=Q(hot.m_as("degC") + takes * sunlight.m_as("W/m^2") / 17.0, "degC"),
        cool=at_most(inside, bears, share=False, reason=shade),
    )

