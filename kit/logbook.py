"""A logger's readings: how many, how large, how long the card lasts, how far its clock drifts; and debouncing."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most
from kit.kinds import Asks, Choice, Count, In, Out
from kit.quantities import Q, Quantity

__all__ = ["Debounce", "LogVolume", "debounce", "log_volume"]

_YEAR = Q(365, "d")


@result
class LogVolume:
    """What a logger writes."""

    a_day: Annotated[Quantity, Out("1", "readings a day", resolution=1)]
    a_year: Annotated[Quantity, Out("MB", "written in a year", rounding="up")]
    full_after: Annotated[Quantity, Out("yr", "card full after, a hundred at most", rounding="down")]
    flushes: Annotated[Quantity, Out("1", "writes to the card a day", resolution=1, rounding="up")]
    worn_after: Annotated[Quantity, Out("yr", "card worn after, a hundred at most", rounding="down")]
    lost: Annotated[Quantity, Out("min", "readings lost when the power goes, at most", rounding="up")]
    drift: Annotated[Quantity, Out("s", "clock off after a season without setting", rounding="up")]
    card_lasts: Annotated[Check, Asks("card neither full nor worn in the time wanted", "practice")]
    clock_keeps: Annotated[Check, Asks("clock stays within what is allowed", "practice")]
    often_enough: Annotated[Check, Asks("readings are close enough for what changes", "practice")]


@calculator("practice", "kit")
def log_volume(
    *,
    every: Annotated[Quantity, In("min", "a reading every", 10, ge=0.001, le=10_080, chosen=True)],
    size: Annotated[Quantity, In("B", "one reading, all channels and the time", 32, chosen=True, ge=1, le=1e6,
                                 find="count the letters of one line of the file")] = Q(32, "B"),
    held: Annotated[int, Count("readings held back before they are written", 6, ge=1, le=100_000)] = 1,
    card: Annotated[Quantity, In("GB", "card", 4, ge=0.001, le=10_000, chosen=True)] = Q(4, "GB"),
    block: Annotated[Quantity, In("kB", "block that the card erases for each write", 64, ge=0.1, le=100_000, find=(
        "rarely told; 16 to 4000 kB"))] = Q(64, "kB"),
    endures: Annotated[int, Count("times a block may be erased", 1000, ge=10, le=1_000_000)] = 1000,
    wanted: Annotated[Quantity, In("yr", "time the card should last", 5, ge=0.01, le=50, chosen=True)] = Q(5, "yr"),
    off: Annotated[Quantity, In("1", "clock off by parts in a million", 20, ge=0, le=5000, basis="data sheet",
                                find="plain crystal 20 to 50, compensated 2 to 4")] = Q(20, "1"),
    unset: Annotated[Quantity, In("d", "time between settings of the clock", 214, ge=0, le=4000,
                                  chosen=True)] = Q(214, "d"),
    clock_allowed: Annotated[Quantity, In("min", "clock may be off by", 10, ge=0.01, le=1440,
                                          chosen=True)] = Q(10, "min"),
    fastest: Annotated[Quantity, In("min", "fastest change that must be seen", 30, ge=0.001, le=100_000, chosen=True)]
    = Q(30, "min"),
) -> LogVolume:
    """Readings a day, bytes a year, wear of the card, drift of the clock.

    A reading every T is 24 h/T a day; the card is worn when it has been
    written over as often as its blocks endure, each write costing a whole
    block; the clock drifts by its parts in a million.  A change must last 2.2
    readings to be seen (common practice, no source).

    >>> log = log_volume(every=Q(10, "min"))
    >>> print(f"{log.a_day.m:.0f} a day, {log.a_year:.1f~P} a year")
    144 a day, 1.7 MB a year
    """
    a_day = Q(Q(1, "d") / every, "1")
    a_year = Q(a_day * size * 365, "MB")
    flushes = Q(a_day / np.asarray(held, dtype=float), "1")
    full = _at_most_a_century(card / a_year * _YEAR)
    worn = _at_most_a_century(card * np.asarray(endures, dtype=float) / block / flushes * Q(1, "d"))
    drift = Q(off * 1e-6 * unset, "s")
    return LogVolume(
        a_day=a_day, a_year=a_year, full_after=full, flushes=flushes, worn_after=worn,
        lost=Q(every * np.asarray(held, dtype=float), "min"), drift=drift,
        card_lasts=at_least(Q(np.minimum(full.m, worn.m)[()], "yr"), wanted),
        clock_keeps=at_most(drift, clock_allowed), often_enough=at_most(Q(2.2 * every, "min"), fastest),
    )


def _at_most_a_century(time: Quantity) -> Quantity:
    """Years, but never more than a card of any kind is good for."""
    return Q(np.minimum(time.m_as("yr"), 100.0)[()], "yr")


@result
class Debounce:
    """How a bouncing contact is waited out."""

    samples: Annotated[Quantity, Out("1", "equal samples to wait for", resolution=1, rounding="up")]
    answer: Annotated[Quantity, Out("ms", "time until a press counts", rounding="up")]
    capacitor: Annotated[Quantity, Out("uF", "capacitor that does the same", rounding="up")]
    bridged: Annotated[Check, Asks("filter outlasts the bounce", "kuphaldt")]
    quick: Annotated[Check, Asks("a press still feels immediate", "practice")]


@calculator("kuphaldt", "practice")
def debounce(
    *,
    bounce: Annotated[Quantity, In("ms", "time the contact bounces", 20, ge=0.001, le=1000, find=(
        "a scope; small buttons 1 to 10 ms, float and reed switches more; 20 to 50 ms if you cannot look"))],
    sampled: Annotated[Quantity, In("ms", "time between samples", 5, ge=0.001, le=1000)] = Q(5, "ms"),
    equal: Annotated[int, Count("equal samples the program waits for", 5, ge=1, le=10_000)] = 5,
    resistor: Annotated[Quantity, In("kohm", "resistor of the contact", 10, ge=0.01, le=10_000)] = Q(10, "kohm"),
    supply: Annotated[Quantity, In("V", "supply", 3.3, ge=0.5, le=50)] = Q(3.3, "V"),
    threshold: Annotated[Quantity, In("V", "level below which the input reads closed", 0.8, ge=0.01, le=40,
                                      basis="data sheet")] = Q(0.8, "V"),
    feels: Annotated[Literal["hand", "slow"], Choice("who waits for it", "hand", find=(
        "a hand notices 100 ms; a float switch may take a second"))] = "hand",
) -> Debounce:
    """Samples to wait for, and the capacitor that would do the same.

    n T must outlast the bounce; a capacitor with R C = t/ln(supply/threshold)
    takes as long to fall to the threshold.

    >>> print(f"{debounce(bounce=Q(20, 'ms')).samples.m:.0f} samples")
    5 samples
    """
    needed = Q(np.floor((bounce / sampled).m_as("") + 1e-9)[()] + 1.0, "1")
    waits = Q(np.asarray(equal, dtype=float) * sampled, "ms")
    falls = np.log(np.maximum((supply / threshold).m_as(""), 1.001))
    return Debounce(
        samples=needed, answer=waits, capacitor=Q(bounce / falls / resistor, "uF"),
        bridged=at_least(waits, bounce), quick=at_most(waits, Q(100 if feels == "hand" else 1000, "ms")),
    )
