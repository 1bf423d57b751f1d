"""How many hours of a day a load runs, month by month, and in which hours of the day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

import numpy as np

from kit.calculator import applies, require
from kit.handed import Load
from kit.months import Year
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["Clock", "Duty", "Take", "by_the_hour", "handed_take", "hours_by_month", "own_take"]

Duty = Literal["always", "hours a day", "runs a day", "by the clock", "dusk to dawn", "from dusk until"]


class Clock(NamedTuple):
    """Length of the night by month, how far the clock is ahead of the sun, both in hours, and the months in season."""

    night: Any
    ahead: Any
    season: Any


@dataclass(frozen=True, slots=True)
class Take:
    """One load in plain numbers, months by samples: watts while it runs and waits, hours a day, amperes at its start.

    `begins` is the hour of the sun at which it begins, when it runs in one stretch.
    """

    name: str
    power: Any
    waits: Any
    hours: Any
    surge: Any
    dark: bool
    begins: Any = None

    @property
    def standing(self) -> Any:
        """Watt hours a day while it does not run."""
        return self.waits * (24 - self.hours)

    @property
    def always(self) -> bool:
        """True when it runs day and night."""
        return bool(np.all(np.nan_to_num(self.hours, nan=24.0) > 24 - 1e-9))


def own_take(year: Year, one: Any, volts: Quantity, clock: Clock) -> Take:
    """A load as its row gives it.  Raises InputError when power and current are both missing, or its hours are."""
    name = one.name
    require(
        one.power is not None or one.current is not None,
        f"{name}: give its power or its current, such as 0.6 W or 50 mA",
        "own",
    )
    if one.power is not None and one.current is not None:
        far = nominal(one.power) / max(nominal((one.current * volts).to("W")), 1e-9)
        applies(0.9 < far < 1.1, f"{name}: both power and current are given; the power counts.")
    v = year.si(volts, "V")
    power = one.pieces * (year.si(one.power, "W") if one.power is not None else year.si(one.current, "A") * v)
    waits = one.pieces * (year.si(one.standby, "A") if one.standby is not None else np.zeros((1, 1))) * v
    surge = one.pieces * year.si(one.start, "A") if one.start is not None else power / v
    hours = hours_by_month(one, clock, year)
    dark = one.dark or one.duty in ("dusk to dawn", "from dusk until")
    begins = 24 - clock.night / 2 if dark else None
    if one.duty == "by the clock":
        begins = year.si(one.begins, "h") - clock.ahead
    return Take(name, power, waits, _twelve(hours), surge, dark, begins)


def handed_take(year: Year, one: Load, volts: Quantity, clock: Clock) -> Take:
    """A load that another stage hands on."""
    hours = np.where(clock.season[:, None], year.si(one.season, "h"), year.si(one.winter, "h"))
    power = year.si(one.power, "W")
    start = power if one.start is None else year.si(one.start, "W")
    begins = 24 - clock.night / 2 if one.dark else None
    return Take(one.name, power, np.zeros((1, 1)), hours, start / year.si(volts, "V"), one.dark, begins)


def _twelve(hours: Any) -> Any:
    return np.broadcast_to(hours, (12, np.shape(hours)[-1]))


# What each duty asks for, with an example.
_ASKS = {
    "hours a day": (("season",), "hours a day in the season, such as 3 h"),
    "runs a day": (("runs", "run"), "runs a day and the length of one, such as 4 and 3 min"),
    "by the clock": (("begins", "ends"), "the hours it begins and ends, such as 18 h and 23 h"),
    "from dusk until": (("ends",), "the hour it ends, such as 23 h"),
}


def hours_by_month(one: Any, clock: Clock, year: Year) -> Any:
    """Hours a day that a row of loads runs, shape (12 or 1, samples or 1).

    Raises InputError when its duty asks for something that is not given.
    """
    names, what = _ASKS.get(one.duty, ((), ""))
    require(all(getattr(one, name) is not None for name in names), f"{one.name}: give {what}", "own")
    hours = _hours(one, clock, year)
    off = {"in season": ~clock.season, "out of season": clock.season}.get(one.when)
    return hours if off is None else np.where(off[:, None], 0.0, hours)


def _hours(one: Any, clock: Clock, year: Year) -> Any:
    def cell(name: str, unit: str) -> Any:
        return year.si(getattr(one, name), unit)

    if one.duty == "always":
        return year.si(Q(24, "h"), "h")
    if one.duty == "hours a day":
        winter = one.season if one.winter is None else one.winter
        return np.where(clock.season[:, None], cell("season", "h"), year.si(winter, "h"))
    if one.duty == "runs a day":
        return np.minimum(cell("runs", "") * cell("run", "h"), 24.0)
    if one.duty == "by the clock":
        # From 22 to 6 is eight hours; the same hour twice is nothing, from 0 to 24 is the whole day.
        span = cell("ends", "h") - cell("begins", "h")
        return np.where(span < 0, span + 24, span)
    if one.duty == "dusk to dawn":
        return clock.night
    return _from_dusk(clock.night, clock.ahead, cell("ends", "h"))


def _from_dusk(night: Any, ahead: Any, ends: Any) -> Any:
    """From sunset until an hour of the clock: nothing while it is still light then, at most until dawn."""
    dusk = 24 - night / 2 + ahead
    # An hour before noon is one of the next morning.
    until = np.where(ends < 12, ends + 24, ends)
    return np.clip(until - dusk, 0.0, night)


def by_the_hour(one: Take) -> Any:
    """Share of each hour of the sun's day in which a load runs, shape (12, 24, samples).

    One that runs in a stretch begins at its hour, one that runs after sunset at
    sunset; any other is spread evenly over the day.
    """
    length = one.hours[:, None, :]
    if one.begins is None:
        return np.broadcast_to(length / 24, (12, 24, length.shape[2]))
    begins, edges = _twelve(one.begins)[:, None, :], np.arange(24.0)[None, :, None]
    return sum(
        np.clip(np.minimum(begins + turn + length, edges + 1) - np.maximum(begins + turn, edges), 0.0, 1.0)
        for turn in (-24.0, 0.0, 24.0)
    )
