"""How many hours of a day a load runs, month by month, and in which hours of the day."""

from __future__ import annotations

from typing import Any, Literal, Protocol

import numpy as np

from kit.calculator import require
from kit.months import Year
from kit.quantities import Q, Quantity

__all__ = ["Duty", "Timed", "by_the_hour", "hours_by_month"]

Duty = Literal["always", "hours a day", "runs a day", "by the clock", "dusk to dawn", "from dusk until"]


class Timed(Protocol):
    """What a row of loads says of its time."""

    name: str
    duty: Duty
    season: Quantity | None
    winter: Quantity | None
    runs: Quantity | None
    run: Quantity | None
    begins: Quantity | None
    ends: Quantity | None
    when: str
    dark: bool


# What each duty asks for, with an example.
_ASKS = {
    "hours a day": (("season",), "hours a day in the season, such as 3 h"),
    "runs a day": (("runs", "run"), "runs a day and the length of one, such as 4 and 3 min"),
    "by the clock": (("begins", "ends"), "the hours it begins and ends, such as 18 h and 23 h"),
    "from dusk until": (("ends",), "the hour it ends, such as 23 h"),
}


def hours_by_month(one: Any, night: Any, ahead: Any, season: Any, year: Year) -> Any:
    """Hours a day it runs, shape (12 or 1, samples or 1).

    `night` is the length of the night by month, `ahead` how far the clock is
    ahead of the sun, both in hours; `season` says which months are in it.
    Raises InputError when the duty asks for something that is not given.
    """
    names, what = _ASKS.get(one.duty, ((), ""))
    require(all(getattr(one, name) is not None for name in names), f"{one.name}: give {what}", "own")
    hours = _hours(one, night, ahead, season, year)
    off = {"in season": ~season, "out of season": season}.get(one.when)
    return hours if off is None else np.where(off[:, None], 0.0, hours)


def _hours(one: Any, night: Any, ahead: Any, season: Any, year: Year) -> Any:
    def cell(name: str, unit: str) -> Any:
        return year.si(getattr(one, name), unit)

    if one.duty == "always":
        return year.si(Q(24, "h"), "h")
    if one.duty == "hours a day":
        winter = one.season if one.winter is None else one.winter
        return np.where(season[:, None], cell("season", "h"), year.si(winter, "h"))
    if one.duty == "runs a day":
        return np.minimum(cell("runs", "") * cell("run", "h"), 24.0)
    if one.duty == "by the clock":
        # From 22 to 6 is eight hours; the same hour twice is nothing, from 0 to 24 is the whole day.
        span = cell("ends", "h") - cell("begins", "h")
        return np.where(span < 0, span + 24, span)
    if one.duty == "dusk to dawn":
        return night
    return _from_dusk(night, ahead, cell("ends", "h"))


def _from_dusk(night: Any, ahead: Any, ends: Any) -> Any:
    """From sunset until an hour of the clock: nothing while it is still light then, at most until dawn."""
    dusk = 24 - night / 2 + ahead
    # An hour before noon is one of the next morning.
    until = np.where(ends < 12, ends + 24, ends)
    return np.clip(until - dusk, 0.0, night)


def by_the_hour(one: Any, hours: Any, night: Any, ahead: Any) -> Any:
    """Share of each hour of the sun's day in which it runs, shape (12, 24), for plain hours a day of shape (12,).

    A load by the clock or from dusk runs in one stretch; one that runs after
    sunset only begins at sunset; any other is spread evenly over the day.
    """
    length = np.broadcast_to(hours, (12,))
    if getattr(one, "duty", "") == "by the clock":
        begins = np.full(12, one.begins.m_as("h")) - ahead
    elif one.dark or getattr(one, "duty", "") in ("dusk to dawn", "from dusk until"):
        begins = 24 - night / 2
    else:
        return np.repeat(length[:, None] / 24, 24, axis=1)
    edges = np.arange(24.0)
    share = np.zeros((12, 24))
    for turn in (-24.0, 0.0, 24.0):
        start, end = begins[:, None] + turn, (begins + length)[:, None] + turn
        share += np.clip(np.minimum(end, edges + 1) - np.maximum(start, edges), 0.0, 1.0)
    return share
