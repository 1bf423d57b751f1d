"""The air test of floats before they are built in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, at_most, open_check
from kit.kinds import Asks, In, Out, Rows, Says, Text
from kit.loading import nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["CellTest", "LeakTest", "PutUnderAir", "leak_test"]

_FACTS = read_facts("mooring")


@row
class CellTest:
    """One compartment under air: pressure and temperature at the start and at the end."""

    name: Annotated[str, Text("compartment", "left outer, cell 1")]
    start: Annotated[Quantity | None, In("mbar", "pressure at the start, above the air's", 60, out_by="1 mbar",
                                         ge=0, le=1000,
                                         resolution=1, basis="measured", find="water column: 10 mm is 1 mbar")] = None
    stop: Annotated[Quantity | None, In("mbar", "pressure at the end", 58, out_by="1 mbar", ge=0, le=1000, resolution=1,
                                        basis="measured")] = None
    minutes: Annotated[Quantity, In("min", "time between", 30, out_by="1 min",
                                    ge=0, le=10_000, resolution=1, basis="measured")] = Q(
        30, "min")
    warm: Annotated[Quantity, In("degC", "temperature at the start", 15, ge=-20, le=60, basis="measured")] = Q(
        15, "degC")
    cool: Annotated[Quantity, In("degC", "temperature at the end", 15, ge=-20, le=60, basis="measured")] = Q(
        15, "degC")


@result
class PutUnderAir:
    """One compartment and its loss."""

    name: Annotated[str, Text("compartment", "left outer, cell 1")]
    by_cooling: Annotated[Quantity, Out("mbar", "loss that cooling explains", resolution=0.1,
                                        absent="not tested yet")]
    lost: Annotated[Quantity, Out("percent", "loss by leaking, of the pressure at the start", resolution=1,
                                  rounding="up", absent="not tested yet")]
    words: Annotated[str, Says("what follows")]


@result
class LeakTest:
    """Whether every compartment is tight."""

    tested: Annotated[Quantity, Out("1", "compartments that were tested", rounding="down")]
    lost: Annotated[Quantity, Out("percent", "greatest loss by leaking", resolution=1, rounding="up",
                                  absent="not every one is tested yet")]
    results: Annotated[tuple[PutUnderAir, ...], Rows("compartment by compartment")]
    tight: Annotated[Check, Asks("every compartment is tight", "practice", hazard=True)]
    read_right: Annotated[Check, Asks("no compartment gained pressure, cooling taken out", "practice", hazard=True)]
    enough: Annotated[Check, Asks("tested with enough pressure", "practice")]
    not_too_much: Annotated[Check, Asks("tested with no more pressure than plastic bears", "practice", hazard=True)]
    long_enough: Annotated[Check, Asks("tested long enough", "practice")]


@calculator("practice")
def leak_test(
    *,
    cells: Annotated[Sequence[CellTest], Rows("compartments under air", least=1, most=60)],
    air: Annotated[Quantity, In("kPa", "pressure of the air on the day", 97, ge=60, le=108, resolution=0.1,
                                find="weather station nearby, not reduced to the sea; 12 hPa less a 100 m")] = Q(
                                    101.325, "kPa"),
) -> LeakTest:
    """What each compartment lost in the air test, the loss by cooling taken out.

    At one volume p/T stays: p2 = p1 T2/T1 in absolute pressures is no leak.
    Test with 0.05 to 0.1 bar for 30 minutes, soap on every seam; above 0.1 bar
    plastic may burst.  Stretching of the float and the sun on it are left out.

    >>> found = leak_test(cells=[CellTest(name="cell", start=Q(60, "mbar"), stop=Q(42, "mbar"), cool=Q(10, "degC"))])
    >>> print(f"cooling {found.results[0].by_cooling:.0f~P}: {found.tight.verdict}")
    cooling 19 mbar: meets
    """
    made = [(one, *_lost(one, np.asarray(air.m_as("mbar")))) for one in cells]
    untested = [one.name for one, cooled, _ in made if cooled is None]
    every = [lost for _, _, lost in made if lost is not None]
    worst = Q(np.maximum.reduce(np.broadcast_arrays(*every))[()] if every else np.nan, "percent")
    missing = open_check(f"not tested yet: {', '.join(untested[:3])}{' and others' if len(untested) > 3 else ''}")
    return LeakTest(
        tested=Q(len(cells) - len(untested)), lost=worst * (np.nan if untested else 1.0),
        results=tuple(PutUnderAir(
            name=one.name, by_cooling=Q(np.nan if cooled is None else cooled, "mbar"),
            lost=Q(np.nan if lost is None else lost, "percent"), words=_words(lost)) for one, cooled, lost in made),
        read_right=missing if untested else _read_right(cells, every),
        tight=missing if untested else at_most(worst, _FACTS["leak-loss"].q),
        **(dict.fromkeys(("enough", "not_too_much", "long_enough"), missing) if untested else _test_checks(cells)),
    )


def _lost(one: CellTest, air: Any) -> tuple[Any, Any]:
    """Loss by cooling in mbar, and loss by leaking as a share of the start in percent; None where it is not entered.

    Worked on plain numbers, as a build has a dozen of these; `air` is in mbar.
    """
    if one.start is None or one.stop is None:
        return None, None
    start, stop, warm, cool = (np.asarray(q.m_as(text)) for q, text in (
        (one.start, "mbar"), (one.stop, "mbar"), (one.warm, "K"), (one.cool, "K")))
    require(np.all(start > 0), f"{one.name}: there was no pressure to lose; enter it, such as 60 mbar", "cells")
    cooled = (start + air) * (1 - cool / warm)
    return cooled[()], (100 * (start - stop - cooled) / np.maximum(start, 1e-6))[()]


def _read_right(cells: Sequence[CellTest], every: Sequence[Any]) -> Check:
    """Air does not flow in: a gain larger than the loss that is let pass was written down wrong."""
    rows = np.stack(np.broadcast_arrays(*every))
    name = cells[int(np.argmin([nominal(Q(row, "percent"), "percent") for row in rows]))].name
    return at_least(Q(rows.min(axis=0)[()], "percent"), -_FACTS["leak-loss"].q, share=False, reason=(
        f"{name}: loss by leaking, minus for a gain; read both pressures and both temperatures again if it gained"))


def _words(lost: Any) -> str:
    if lost is None:
        return "test it: 0.05 bar, soap, 30 minutes"
    tight = nominal(Q(lost, "percent"), "percent") <= _FACTS["leak-loss"].value
    return "tight" if tight else "it leaks: find it with soap and mend it"


def _test_checks(cells: Sequence[CellTest]) -> dict[str, Check]:
    """Pressure and time of the test itself."""
    most, least, time = (_FACTS[key].q for key in ("leak-most", "leak-least", "leak-time"))
    starts = np.stack(np.broadcast_arrays(*(one.start.m_as("bar") for one in cells if one.start is not None)))
    times = np.stack(np.broadcast_arrays(*(one.minutes.m_as("min") for one in cells)))
    return {
        "enough": at_least(Q(starts.min(axis=0)[()], "bar"), least),
        "not_too_much": at_most(Q(starts.max(axis=0)[()], "bar"), most, reason="compressed air in plastic bursts"),
        "long_enough": at_least(Q(times.min(axis=0)[()], "min"), time, share=False),
    }
