"""Ice around a moored raft."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply, open_check
from kit.climate import Month, by_month
from kit.kinds import Asks, Choice, In, Out, Rows, Says
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["Ice", "ice"]

_FACTS = read_facts("mooring")
_DAYS = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


@result
class Ice:
    """How thick ice may get, and what to do about it."""

    frost: Annotated[Quantity, Out("K*d", "cold of a winter below freezing, by monthly means and the coldest spell",
                                   resolution=1, rounding="up")]
    thickness: Annotated[Quantity, Out("mm", "ice at most, without snow on it", resolution=1, rounding="up")]
    words: Annotated[str, Says("what to do")]
    ready: Annotated[Check, Asks("ice is reckoned with", "stefan-ice", hazard=True)]


@calculator("stefan-ice", "practice")
def ice(
    *,
    months: Annotated[Sequence[Month], Rows("air of the year", least=1, most=12)],
    spell: Annotated[Quantity, In("d", "longest cold spell", 10, ge=0, le=200, resolution=1,
                                  find="neighbours, or the nearest station")],
    coldest: Annotated[Quantity, In("degC", "mean of the air in that spell", -4, ge=-50, le=10,
                                    find="nearest weather station")],
    allowed: Annotated[Quantity, In("mm", "ice that may close round the raft without harm", 50, ge=0, le=1000,
                                    resolution=1, chosen=True,
                                    find="common practice, no source: thin ice breaks against round floats")] = Q(
                                        50, "mm"),
    plan: Annotated[Literal["not decided", "hauled out before ice", "left in, ice kept open", "left in"],
                    Choice("what is done before ice comes", "hauled out before ice")] = "not decided",
) -> Ice:
    """Greatest thickness of ice by the cold of the winter, and whether it has been reckoned with.

    Stefan: h = sqrt(2 k S/(rho L)), S the degree days below 0 degC, here the
    more of monthly means and of one cold spell.  Without snow, current or warm
    inflow, so an upper bound.  No force of ice is worked out: a sheet that moves
    or jacks with the level overloads any leg.

    >>> found = ice(months=[Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
    ...     Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent"))], spell=Q(10, "d"),
    ...     coldest=Q(-4, "degC"))
    >>> print(f"{found.thickness:.0f~P}, {found.ready.verdict}")
    223 mm, open
    """
    warmth = by_month(months)[0].m_as("degC")
    days = _DAYS.reshape((-1,) + (1,) * (warmth.ndim - 1))
    by_means = (np.maximum(-warmth, 0) * days).sum(axis=0)
    in_spell = np.maximum(-coldest.m_as("degC"), 0) * spell.m_as("d")
    frost = np.maximum(by_means, in_spell)
    growth = 2 * _FACTS["ice-conductivity"].q / (_FACTS["ice-density"].q * _FACTS["ice-melting"].q)
    thickness = Q(np.sqrt((growth * Q(frost, "K*d")).m_as("m^2")), "m").to("mm")
    check = at_most(thickness, allowed, reason="an upper bound, without snow on the ice")
    if plan == "not decided" and not check.passes:
        check = open_check("ice thicker than that may come: decide whether it is hauled out or kept open")
    elif plan != "left in" and plan != "not decided":
        check = does_not_apply(plan)
    return Ice(frost=Q(frost, "K*d"), thickness=thickness, words=_words(plan, bool(np.all(frost <= 0))), ready=check)


def _words(plan: str, never: bool) -> str:
    if never:
        return "by these figures no lasting ice; watch the first calm frosts all the same"
    return {
        "not decided": "decide before the first frost: haul it out, or keep the water round it open",
        "hauled out before ice": "haul it out before the first lasting frost, and slack or lift the legs",
        "left in, ice kept open": "keep the water round it moving or broken every cold morning, and legs slack",
        "left in": "ice may shift, jack or crush it; slack the legs and look after every thaw",
    }[plan]
