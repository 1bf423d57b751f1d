"""Fuses: one for every wire, no larger than the thinnest wire behind it, where the wire begins.

A fuse guards the wire, not the load.  It lies between what the load draws for
long and what the thinnest wire behind it may carry; it sits at the source or
where a thinner wire branches off; and it must be able to break what the
battery can push through a short circuit.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, at_most, does_not_apply, not_covered
from kit.columns import at_rows, cells, column, numbers, worst_row
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text, YesNo
from kit.quantities import Q, Quantity
from kit.runs import BATTERY, Run, amps_of, bears_of, ohms_of, tree
from kit.sources import read_table
from kit.wire import FACTS

__all__ = ["Fuse", "FuseResult", "Fuses", "fuses"]

NONE = "-"


@row
class Fuse:
    """One fuse or breaker."""

    name: Annotated[str, Text("fuse", "main", longest=40)]
    rating: Annotated[Quantity, In("A", "rating", 10, ge=0.1, le=1000, everyday=(0.5, 200), basis="data sheet",
                                   find="printed on it", chosen=True)]
    at: Annotated[str, Text("run at whose far end it sits, or 'battery'", BATTERY, longest=40)] = BATTERY
    kind: Annotated[Literal["blade", "cartridge", "bolted", "breaker"], Choice("kind of fuse", "blade")] = "blade"
    bare: Annotated[Quantity, In("mm", "wire between its source and the fuse", 120, out_by="10 mm",
                                 ge=0, le=20_000, resolution=1,
                                 basis="measured", find="rule along the wire")]
    sheathed: Annotated[bool, YesNo("that wire is sheathed all the way", False)] = False
    breaks: Annotated[Quantity | None, In("A", "greatest current it can break", 1000, ge=10, le=1e6, basis="data sheet",
                                          find="data sheet, at direct current; a blade fuse 1000 A",
                                          chosen=True)] = None
    volts: Annotated[Quantity | None, In("V", "rated voltage, direct current", 32, ge=1, le=2000, basis="data sheet",
                                         find="printed on it", chosen=True)] = None
    carries_start: Annotated[Quantity | None, In("s", "time it carries the start current", 1, ge=0.001, le=1e5, find=(
        "maker's time and current curve; a blade fuse is looked up"))] = None


@result
class FuseResult:
    """What one fuse guards."""

    name: Annotated[str, Says("fuse")]
    rating: Annotated[Quantity, Out("A", "rating")]
    guards: Annotated[str, Says("runs behind it")]
    load: Annotated[Quantity, Out("A", "load for long", rounding="up")]
    least: Annotated[Quantity, Out("A", "least rating, 125 % of the load", rounding="up")]
    most: Annotated[Quantity, Out("A", "greatest rating, thinnest wire", rounding="down", absent="no wire behind it")]
    fault: Annotated[Quantity, Out("A", "current of a short circuit behind it", rounding="up")]


@result
class Fuses:
    """All fuses against the wires they guard."""

    by_fuse: Annotated[tuple[FuseResult, ...], Rows("fuses")]
    order: Annotated[str, Says("fuses from the battery outward")]
    guarded: Annotated[Check, Asks("every wire has a fuse", "CFR-183.455", hazard=True)]
    wire_bears: Annotated[Check, Asks("no fuse is larger than its thinnest wire bears", "CFR-183.425", hazard=True)]
    carries: Annotated[Check, Asks("every fuse carries its load for long", "NEC-210.20")]
    starts: Annotated[Check, Asks("no fuse goes while a motor starts", "memory")]
    near: Annotated[Check, Asks("every fuse is at its source", "CFR-183.455", hazard=True)]
    selective: Annotated[Check, Asks("the nearer of two fuses goes first", "memory")]
    can_break: Annotated[Check, Asks("every fuse can break a short circuit", "practice", hazard=True)]
    volts_fit: Annotated[Check, Asks("every fuse stands the highest voltage", "practice")]
    notes: tuple[str, ...] = ()


@calculator("CFR-183.425", "CFR-183.455", "NEC-210.20")
def fuses(
    *,
    runs: Annotated[Sequence[Run], Rows("runs", least=1, most=80)],
    fuses: Annotated[Sequence[Fuse], Rows("fuses", most=40, find="from the battery outward")],
    highest: Annotated[Quantity, In("V", "highest voltage of the charger, cold", 15.3, ge=1, le=200)],
    rest: Annotated[Quantity, In("V", "battery at rest, full", 12.8, ge=1, le=200)] = Q(12.8, "V"),
    resistance: Annotated[Quantity, In("mohm", "resistance inside the battery", 15, ge=0.1, le=5000, basis="data sheet",
                                       find="data sheet; a small one makes a short circuit large")],
    start_time: Annotated[Quantity, In("s", "time a motor takes to start", 0.1, ge=0.001, le=60,
                                       find="a small pump 0.1 s, a stiff one 0.5 s")] = Q(0.1, "s"),
) -> Fuses:
    """Rating against load and wire, place, order and breaking current of every fuse.

    1.25 times the load for long <= rating <= what the thinnest wire behind it
    may carry.  A short circuit at its place draws rest volts/(Ri + wires on
    the way, cold).  A wire from a source that limits itself below what the
    wire bears, such as a panel, needs none.  Least melting times of blade
    fuses, the ratio of 1.6 for two in a row and 1000 A are from memory.

    >>> pump = Run(name="pump", one_way=Q(1.8, "m"), current=Q(3, "A"), start=Q(9, "A"), size="1.5 mm2", fuse="pump")
    >>> found = fuses(runs=[pump], fuses=[Fuse(name="pump", rating=Q(5, "A"), bare=Q(100, "mm"))],
    ...               highest=Q(15.3, "V"), resistance=Q(15, "mohm"))
    >>> found.wire_bears.verdict, found.carries.verdict, found.starts.verdict
    ('meets', 'meets', 'meets')
    """
    known = {fuse.name for fuse in fuses}
    for run in runs:
        require(run.fuse in known | {NONE}, f"run '{run.name}' names the fuse '{run.fuse}', which is not there; "
                                            f"write one of {', '.join(sorted(known)) or 'your fuses'} or '-'", "runs")
    sites = {BATTERY, *(run.name for run in runs)}
    for fuse in fuses:
        require(fuse.at in sites, f"fuse '{fuse.name}' sits at '{fuse.at}', which is no run; write 'battery'", "fuses")
    guarded = _guarded(runs)
    if not fuses:
        nothing = does_not_apply("there is no fuse")
        return Fuses(by_fuse=(), order="there is no fuse", guarded=guarded, wire_bears=nothing, carries=nothing,
                     starts=nothing, near=nothing, selective=nothing, can_break=nothing, volts_fit=nothing)
    behind = np.array([[float(run.fuse == fuse.name) for run in runs] for fuse in fuses])
    amps, bears, ratings = amps_of(runs), bears_of(runs), column((f.rating for f in fuses), "A")
    load, most = Q(_loads(runs, behind) @ amps.m, "A"), Q(_thinnest(behind, bears.m), "A")
    peak = Q(_peaks(runs, behind, amps.m), "A")
    fault = _faults(runs, fuses, rest, resistance)
    return Fuses(
        by_fuse=_lines(runs, fuses, load, most, fault), order=_order(fuses, runs), guarded=guarded,
        wire_bears=_between(ratings, most, fuses, "no wire is behind a fuse"),
        carries=_at_least(ratings, Q(FACTS["continuous"].value * load, "A"), fuses),
        starts=_starts(fuses, ratings, peak, start_time) if any(run.start is not None for run in runs)
        else does_not_apply("no run has a start current"),
        near=_near(fuses), selective=_selective(fuses, runs, ratings),
        can_break=_breaks(fuses, fault), volts_fit=_volts(fuses, highest),
    )


def _guarded(runs: Sequence[Run]) -> Check:
    """Every run names a fuse, or hangs on a source that cannot overload it."""
    bare, bears = [run for run in runs if run.fuse == NONE], bears_of(runs)
    limited = {run.name for run, line in zip(runs, bears.m, strict=True)
               if run.source_most is not None and np.all(run.source_most.m_as("A") * 1.25 <= line)}
    unguarded = [run.name for run in bare if run.name not in limited]
    reason = f"no fuse: {', '.join(unguarded)}" if unguarded else "runs without a fuse that need one"
    return at_most(Q(len(unguarded)), Q(0), reason=reason)


def _loads(runs: Sequence[Run], behind: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Runs whose currents a fuse sums: of two in a row behind one fuse only the nearer, which carries the other."""
    inner = tree(runs) - np.eye(len(runs))
    own = behind.copy()
    for n in range(len(behind)):
        own[n, (inner @ behind[n]) > 0] = 0
    return own


def _thinnest(behind: np.ndarray[Any, Any], bears: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    masked = np.where(behind[:, :, None] > 0, bears[None], np.inf)
    least = masked.min(axis=1)
    return np.where(np.isinf(least), np.nan, least)


def _peaks(runs: Sequence[Run], behind: np.ndarray[Any, Any], amps: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Greatest current of a fuse while one motor starts and everything else runs; no less than the load."""
    ways = tree(runs)
    more = column((run.start for run in runs), "A").m - amps
    added = np.where(np.isnan(more), 0.0, np.maximum(more, 0.0))
    through = ((behind @ ways.T) > 0).astype(float)
    return np.asarray(_loads(runs, behind) @ amps + (through[:, :, None] * added[None]).max(axis=1))


def _faults(runs: Sequence[Run], fuses: Sequence[Fuse], rest: Quantity, resistance: Quantity) -> Any:
    """Current of a short circuit right behind each fuse, its way from the battery cold."""
    ways, names = tree(runs), [run.name for run in runs]
    on_way = np.array([ways[names.index(f.at)] if f.at in names else np.zeros(len(runs)) for f in fuses])
    return Q(rest / (Q(on_way @ ohms_of(runs, cold=True).m, "ohm") + resistance), "A")


def _at_least(values: Any, limits: Any, fuses: Sequence[Fuse]) -> Check:
    rows, worst = worst_row(limits.m / np.maximum(values.m, 1e-9))
    return at_least(at_rows(values, rows), at_rows(limits, rows), reason=f"{fuses[worst].name}, 125 % of its load")


def _between(values: Any, limits: Any, fuses: Sequence[Fuse], nothing: str) -> Check:
    if np.isnan(limits.m).all():
        return not_covered(nothing)
    used = np.where(limits.m > 0, values.m / np.where(limits.m > 0, limits.m, 1.0), np.inf)
    rows, worst = worst_row(np.where(np.isnan(limits.m), np.nan, used))
    return at_most(at_rows(values, rows), at_rows(limits, rows), reason=f"{fuses[worst].name}, its thinnest wire")


@lru_cache(maxsize=1)
def _melting() -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    lines = read_table("fuse_melting")
    return np.array([float(x["multiple"]) for x in lines]), np.array([float(x["seconds"]) for x in lines])


def _starts(fuses: Sequence[Fuse], ratings: Any, peak: Any, start_time: Quantity) -> Check:
    """Time each fuse carries the start current, against the time a motor takes."""
    multiples, seconds = _melting()
    ratio = peak.m / ratings.m
    curve = np.exp(np.interp(np.log(np.maximum(ratio, 1e-9)), np.log(multiples), np.log(seconds)))
    curve = np.where(ratio > multiples[-1], 0.0, curve)
    told = column((f.carries_start for f in fuses), "s").m
    blade = np.array([f.kind == "blade" for f in fuses])[:, None]
    time = np.where(ratio <= multiples[0], 3600.0, np.where(np.isnan(told), np.where(blade, curve, np.nan), told))
    unknown = [f.name for f, line in zip(fuses, time, strict=True) if np.isnan(line).any()]
    if unknown:
        return not_covered(f"{unknown[0]}: enter the time it carries the start current, from its maker's curve")
    rows, worst = worst_row(1 / np.maximum(time, 1e-6))
    carried = at_rows(Q(np.minimum(time, 3600.0) * 1e3, "ms"), rows)
    return at_least(carried, Q(start_time, "ms"), reason=f"{fuses[worst].name}; blade fuses from memory")


def _near(fuses: Sequence[Fuse]) -> Check:
    limits = Q(np.array([(FACTS["sheathed" if f.sheathed else "bare"].q).m_as("mm") for f in fuses])[:, None], "mm")
    bare = column((f.bare for f in fuses), "mm")
    rows, worst = worst_row(bare.m / limits.m)
    how = "sheathed all the way" if fuses[worst].sheathed else "not sheathed"
    return at_most(at_rows(bare, rows), at_rows(limits, rows), reason=f"{fuses[worst].name}, {how}")


def _above(fuses: Sequence[Fuse], runs: Sequence[Run]) -> list[int]:
    """For each fuse the place of the one it hangs behind, or -1."""
    guard, place = {run.name: run.fuse for run in runs}, {f.name: n for n, f in enumerate(fuses)}
    above = [place.get(guard.get(f.at, NONE), -1) for f in fuses]
    return [up if up != n else -1 for n, up in enumerate(above)]


def _selective(fuses: Sequence[Fuse], runs: Sequence[Run], ratings: Any) -> Check:
    pairs = [(n, up) for n, up in enumerate(_above(fuses, runs)) if up >= 0]
    if not pairs:
        return does_not_apply("no fuse stands behind another")
    ratio = Q(np.stack([ratings.m[up] / ratings.m[n] for n, up in pairs]), "")
    rows, worst = worst_row(1 / ratio.m)
    near, far = pairs[worst]
    names = f"{fuses[far].name} to {fuses[near].name}, from memory"
    return at_least(at_rows(ratio, rows), FACTS["apart"].q, reason=names)


def _breaks(fuses: Sequence[Fuse], fault: Any) -> Check:
    told = column((f.breaks for f in fuses), "A")
    blade = np.array([f.kind == "blade" for f in fuses])[:, None]
    limit = Q(np.where(np.isnan(told.m) & blade, FACTS["blade"].value, told.m), "A")
    unknown = [f.name for f, line in zip(fuses, limit.m, strict=True) if np.isnan(line).all()]
    if unknown:
        return not_covered(f"{unknown[0]}: enter the greatest current it can break, from its data sheet")
    rows, worst = worst_row(fault.m / limit.m)
    return at_most(at_rows(fault, rows), at_rows(limit, rows), reason=f"{fuses[worst].name}, short circuit there")


def _volts(fuses: Sequence[Fuse], highest: Quantity) -> Check:
    known = [f for f in fuses if f.volts is not None]
    if not known:
        return not_covered("enter the rated voltage printed on the fuses, such as 32 V")
    rated = column((f.volts for f in known), "V")
    rows, worst = worst_row(1 / rated.m)
    return at_least(at_rows(rated, rows), highest, reason=f"{known[worst].name}, against the charger's highest")


def _order(fuses: Sequence[Fuse], runs: Sequence[Run]) -> str:
    """Names and ratings, those at the battery first."""
    first = sorted(range(len(fuses)), key=lambda n: (_above(fuses, runs)[n] >= 0, n))
    return ", ".join(f"{fuses[n].name} {numbers([fuses[n].rating.m_as('A')]).mean():.3g} A" for n in first)


def _lines(runs: Sequence[Run], fuses: Sequence[Fuse], load: Any, most: Any, fault: Any) -> tuple[FuseResult, ...]:
    columns = (cells(one, len(fuses)) for one in (load, FACTS["continuous"].value * load, most, fault))
    return tuple(
        FuseResult(
            name=fuse.name, rating=fuse.rating, load=carried, least=least, most=greatest, fault=short,
            guards=", ".join(run.name for run in runs if run.fuse == fuse.name) or "nothing",
        )
        for fuse, carried, least, greatest, short in zip(fuses, *columns, strict=True)
    )
