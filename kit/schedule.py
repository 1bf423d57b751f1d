"""What runs when: two things at once that must not be, and more current at once than there may be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import field
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_most
from kit.columns import at_rows, cell, column, middle, numbers, worst_row
from kit.kinds import Asks, Count, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["Clash", "ScheduleClashes", "Slot", "schedule_clashes"]

_DAY = 24.0


@row
class Slot:
    """Something that runs at set times, every day or several times a day."""

    name: Annotated[str, Text("what runs", "rinse", longest=40)]
    starts: Annotated[Quantity, In("h", "first start, hours after midnight", 7, ge=0, le=24, chosen=True)]
    lasts: Annotated[Quantity, In("min", "time it runs", 6, ge=0.01, le=1440, chosen=True)]
    times: Annotated[int, Count("times a day, evenly spread", 1, ge=1, le=288, find="24 is every hour")] = 1
    current: Annotated[Quantity, In("A", "current while it runs", 3, ge=0, le=1000)] = field(
        default_factory=lambda: Q(0, "A")
    )
    shares: Annotated[str, Text("what only one may use at a time, '-' for nothing", "pump", longest=30)] = "-"


@result
class Clash:
    """Two things that want the same at once."""

    name: Annotated[str, Says("who with whom")]
    shares: Annotated[str, Says("over what")]
    first: Annotated[Quantity, Out("h", "first clash, hours after midnight", resolution=0.01)]
    together: Annotated[Quantity, Out("min", "time together in a day")]


@result
class ScheduleClashes:
    """The day's schedule."""

    clashes: Annotated[tuple[Clash, ...], Rows("clashes")]
    busiest: Annotated[Quantity, Out("A", "greatest current at once", rounding="up")]
    busiest_at: Annotated[str, Says("what runs then")]
    apart: Annotated[Check, Asks("nothing is wanted by two at once", "kit")]
    within: Annotated[Check, Asks("current at once stays within the fuse's load", "NEC-210.20")]


@calculator("kit", "NEC-210.20")
def schedule_clashes(
    *,
    slots: Annotated[Sequence[Slot], Rows("schedule", least=1, most=40)],
    most: Annotated[Quantity, In("A", "most current at once", 6, ge=0.01, le=1000, find=(
        "the battery run's current, or the main fuse divided by 1.25"), chosen=True)],
) -> ScheduleClashes:
    """Find the times at which two things run that share one, and the greatest current at once.

    Whatever runs at the greatest moment runs at one of the starts, so only the
    starts are looked at: a slot runs when the time since its last start is
    shorter than it lasts.  Times wrap over midnight.  Sampled, the table of
    clashes is that of the mean times; the checks are of each sample.

    >>> day = schedule_clashes(most=Q(6, "A"), slots=[
    ...     Slot(name="rinse", starts=Q(7, "h"), lasts=Q(6, "min"), shares="pump"),
    ...     Slot(name="deck jet", starts=Q(7.05, "h"), lasts=Q(6, "min"), shares="pump")])
    >>> day.clashes[0].name, f"{day.clashes[0].together:.0f~P}"
    ('rinse with deck jet', '3 min')
    """
    starts, running = _running(slots)
    amps = column((one.current for one in slots), "A")
    single = running.shape[-1] == 1
    at_once: Any = Q(running[..., 0] @ amps.m if single else (running * amps.m).sum(axis=1), "A")
    rows, worst = worst_row(at_once.m)
    named = [one.name for one, on in zip(slots, running[worst].mean(axis=-1), strict=True) if on > 0.5]
    busiest = at_rows(at_once, rows)
    clashes = tuple(_clashes(slots))
    said = "; ".join(f"{one.name}, over {one.shares}" for one in clashes[:3])
    return ScheduleClashes(
        clashes=clashes, busiest=busiest, busiest_at=", ".join(named) or "nothing",
        apart=at_most(cell(Q(_count(slots, starts, running), "1")), Q(0), reason=said or "clashes in a day"),
        within=at_most(busiest, most, reason=", ".join(named)),
    )


def _running(slots: Sequence[Slot]) -> tuple[list[int], np.ndarray[Any, Any]]:
    """Whose start each looked-at moment is, and which slots run then: shape (moments, slots, samples)."""
    first = column((one.starts for one in slots), "h").m
    lasts = column((one.lasts for one in slots), "h").m
    again = _DAY / numbers(one.times for one in slots)
    whose = [n for n, one in enumerate(slots) for _ in range(_times(one))]
    turn = np.array([k for one in slots for k in range(_times(one))])[:, None]
    moments = first[whose] + turn * again[whose]
    # A start within a billionth of a second of an end does not clash with it.
    since = (moments[:, None] - first[None] + 1e-12) % again[None]
    return whose, (since < np.minimum(lasts, _DAY)[None] - 1e-9).astype(float)


def _times(one: Slot) -> int:
    return round(middle(one.times))


def _pairs(slots: Sequence[Slot]) -> list[tuple[int, int]]:
    """Slots that share something only one may use."""
    return [(n, m) for n, one in enumerate(slots) for m in range(n + 1, len(slots))
            if one.shares != "-" and one.shares == slots[m].shares]


def _count(slots: Sequence[Slot], whose: Sequence[int], running: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """How many pairs clash, in each sample: one of the two runs when the other starts."""
    at = np.array(whose)
    met = [(running[at == n, m] > 0).any(axis=0) | (running[at == m, n] > 0).any(axis=0) for n, m in _pairs(slots)]
    return np.sum(met, axis=0, dtype=float) if met else np.zeros(running.shape[-1])


def _spans(one: Slot) -> np.ndarray[Any, Any]:
    """Starts and lengths of a day, in hours, of the mean times."""
    start, last = middle(one.starts.to("h")), middle(one.lasts.to("h"))
    times = (start + _DAY / _times(one) * np.arange(_times(one))) % _DAY
    return np.column_stack([times, np.full(times.size, min(last, _DAY / _times(one)))])


def _clashes(slots: Sequence[Slot]) -> Iterator[Clash]:
    for n, m in _pairs(slots):
        together, first = _overlap(_spans(slots[n]), _spans(slots[m]))
        if together > 0:
            yield Clash(name=f"{slots[n].name} with {slots[m].name}", shares=slots[n].shares, first=Q(first, "h"),
                        together=Q(together * 60, "min"))


def _overlap(one: np.ndarray[Any, Any], other: np.ndarray[Any, Any]) -> tuple[float, float]:
    """Hours in a day that two sets of spans run together, and when first."""
    (a, la), (b, lb) = one.T[:, :, None], other.T[:, None, :]
    total, first = 0.0, np.inf
    for shift in (-_DAY, 0.0, _DAY):
        begins, ends = np.maximum(a, b + shift), np.minimum(a + la, b + shift + lb)
        there = ends - begins > 1e-9
        total += float(np.where(there, ends - begins, 0).sum())
        if there.any():
            first = min(first, float((begins[there] % _DAY).min()))
    return total, first
