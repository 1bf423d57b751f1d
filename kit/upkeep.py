"""What is put on again and when: renewals of a finish over the years.

    >>> deck = upkeep(finish="oil stain on smooth wood", every=Q(2, "yr"), area=Q(8, "m^2"), spread=Q(8, "m^2/L"),
    ...               pace=Q(10, "m^2/h"))
    >>> print(f"{deck.renewals.magnitude:.0f} times in 10 years, {deck.litres:.1f~P}")
    4 times in 10 years, 4.4 L

Sun and standing water decide: look every spring where it is wettest.
"""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply
from kit.kinds import Asks, Choice, Count, In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["Upkeep", "upkeep"]

Kept = Literal["oil stain on smooth wood", "oil stain on sawn wood", "clear water repellent", "another, by its tin"]

_FACTS = read_facts("finish")
_NEAR = 1e-9


@result
class Upkeep:
    """Renewals over the years."""

    soonest: Annotated[Quantity, Out("yr", "shortest life", rounding="down", resolution=0.5, absent="see the tin")]
    longest: Annotated[Quantity, Out("yr", "longest life", rounding="down", resolution=0.5, absent="see the tin")]
    renewals: Annotated[Quantity, Out("1", "renewals in that time", rounding="up")]
    litres: Annotated[Quantity, Out("L", "finish for them", rounding="up", resolution=0.1)]
    hours: Annotated[Quantity, Out("h", "hours for them", rounding="up", resolution=1)]
    cost: Annotated[Quantity, Out("money", "finish for them", rounding="up")]
    a_year: Annotated[Quantity, Out("h", "hours a year", rounding="up", resolution=0.5)]
    plan: Annotated[str, Says("upkeep")]
    in_time: Annotated[Check, Asks("renewed before it is gone", "FPL-GTR-190")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "practice", "kit")
def upkeep(
    *,
    finish: Annotated[Kept, Choice("what is on the wood", "oil stain on smooth wood")],
    every: Annotated[Quantity, In("yr", "renewed every", 2, ge=0.25, le=30, resolution=0.5, chosen=True)],
    years: Annotated[int, Count("years to look ahead", 10, ge=1, le=50)] = 10,
    area: Annotated[Quantity, In("m^2", "area that is renewed", 8, ge=0, le=10_000, resolution=0.1)],
    coats: Annotated[int, Count("coats at a renewal", 1, ge=1, le=6)] = 1,
    spread: Annotated[Quantity, In("m^2/L", "area that a litre covers", 8, ge=0.5, le=40, resolution=0.1)],
    waste: Annotated[Quantity, In("percent", "waste", 10, ge=0, le=100)] = Q(10, "percent"),
    pace: Annotated[Quantity, In("m^2/h", "area brushed in an hour", 10, ge=0.1, le=200, resolution=0.5)],
    preparing: Annotated[Quantity, In("h", "cleaning and masking at each", 2, ge=0, le=500, resolution=0.5)]
    = Q(2, "h"),
    tin: Annotated[Quantity, In("L", "finish in one tin", 2.5, ge=0.05, le=200, chosen=True)] = Q(2.5, "L"),
    tin_price: Annotated[Quantity, In("money", "price of one tin", 48, ge=0, le=1e5, resolution=0.01)] = Q(0, "money"),
) -> Upkeep:
    """Renewals at a fixed interval, held against the life a handbook gives the finish.

    The first coat counts from now; a renewal that falls on the last day is not
    made.  Litres, hours and cost are those of the renewals only, cost by the litre.

    >>> upkeep(finish="clear water repellent", every=Q(3, "yr"), area=Q(8, "m^2"), spread=Q(8, "m^2/L"),
    ...        pace=Q(10, "m^2/h")).in_time.verdict
    'fails'
    """
    ends = [_FACTS.get(f"{finish}-{end}") for end in ("low", "high")]
    low, high = (Q(np.nan, "yr") if fact is None else fact.q for fact in ends)
    renewals = np.maximum(np.ceil((Q(years, "yr") / every).m_as("") - _NEAR) - 1, 0)
    litres = (renewals * coats * area / spread * (1 + waste.m_as(""))).to("L")
    hours = (renewals * (preparing + coats * area / pace)).to("h")
    known = ends[1] is not None
    return Upkeep(
        soonest=low, longest=high, renewals=Q(renewals), litres=litres, hours=hours,
        cost=(litres / tin * tin_price).to("money"), a_year=hours / years,
        plan="Look each spring: where water no longer stands in drops, or the wood has gone grey, put one coat on.",
        in_time=at_most(every.to("yr"), high, reason=f"it lasts {low.magnitude:g} to {high.magnitude:g} years"
                        if low != high else f"it lasts about {high.magnitude:g} year")
        if known else does_not_apply("no published life; its tin says when"),
    )
