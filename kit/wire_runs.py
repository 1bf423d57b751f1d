"""Runs of wire, row by row: voltage lost, current borne, and what the controller gets while a motor starts.

A run hangs on another run (`fed_by`) or on the battery.  Every run names what
it carries at most in use; while a motor starts, its start current flows in
addition through every run between it and the battery, and pulls down all that
hangs on those.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply, fails, not_covered
from kit.columns import at_rows, cell, cells, column, middle, numbers, worst_row
from kit.kinds import Asks, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.runs import BATTERY, Run, amps_of, bears_of, ohms_of, tree
from kit.wire import COPPER, FACTS, SIZES, hotter, tables
from kit.wire_size import series

__all__ = ["RunResult", "WireRuns", "wire_runs"]

@result
class RunResult:
    """What one run does."""

    name: Annotated[str, Says("run")]
    size: Annotated[str, Says("wire")]
    drop: Annotated[Quantity, Out("percent", "drop of the run itself", resolution=0.1, rounding="up")]
    start_drop: Annotated[Quantity, Out("percent", "drop at start", resolution=0.1, rounding="up", absent="no start")]
    whole_way: Annotated[Quantity, Out("percent", "drop from the battery", resolution=0.1, rounding="up")]
    volts: Annotated[Quantity, Out("V", "volts at its end, battery low", rounding="down")]
    loss: Annotated[Quantity, Out("W", "heat it makes", rounding="up")]
    ampacity: Annotated[Quantity, Out("A", "current it may carry for long", rounding="down", absent="no table")]
    least: Annotated[str, Says("least size for its drop")]


@result
class WireRuns:
    """All runs together."""

    by_run: Annotated[tuple[RunResult, ...], Rows("runs")]
    worst_drop: Annotated[Quantity, Out("percent", "greatest drop of a critical run", resolution=0.1, rounding="up",
                                        absent="no critical run")]
    worst_start: Annotated[Quantity, Out("percent", "greatest drop at start", resolution=0.1, rounding="up",
                                         absent="nothing starts")]
    feed: Annotated[Quantity, Out("V", "least the controller gets while the worst motor starts", rounding="down",
                                  absent="no run of that name")]
    feed_while: Annotated[str, Says("what starts then")]
    motor_volts: Annotated[Quantity, Out("V", "volts at the motor that starts hardest, running alone, battery at its "
                                         "nominal", resolution=0.01, rounding="down", absent="nothing starts")]
    loss: Annotated[Quantity, Out("W", "heat in all wires, everything on", rounding="up")]
    copper: Annotated[Quantity, Out("kg", "copper in all wires")]
    cable: Annotated[Quantity, Out("m", "cable of two wires, all runs", rounding="up", resolution=0.1)]
    critical_drop: Annotated[Check, Asks("critical runs keep their drop", "ABYC-E-11")]
    other_drop: Annotated[Check, Asks("other runs keep their drop", "ABYC-E-11")]
    way_drop: Annotated[Check, Asks("critical runs keep it from the battery on", "ABYC-E-11")]
    start_keeps: Annotated[Check, Asks("motors start without too much drop", "ABYC-E-11")]
    controller_stays: Annotated[Check, Asks("controller stays on while a motor starts", "practice")]
    wires_bear: Annotated[Check, Asks("no wire carries more than it may", "CFR-183.425", hazard=True)]
    thick_enough: Annotated[Check, Asks("no wire is too thin to last", "ISO-10133")]
    trunks_whole: Annotated[Check, Asks("shared runs are reckoned with all that hangs on them", "kit")]
    notes: tuple[str, ...] = ()


@calculator("IEC-60228", "CFR-183.425", "ABYC-E-11", "ISO-10133")
def wire_runs(
    *,
    runs: Annotated[Sequence[Run], Rows("runs", least=1, most=80, find="one row a cable, the battery's own first")],
    volts: Annotated[Quantity, In("V", "nominal voltage of the system", 12, ge=1, le=120, chosen=True)] = Q(12, "V"),
    lowest: Annotated[Quantity, In("V", "lowest battery voltage at which things still run", 11.5, ge=1, le=120,
                                   find="where the regulator switches the loads off")] = Q(11.5, "V"),
    resistance: Annotated[Quantity, In("mohm", "resistance inside the battery", 15, ge=0, le=5000, basis="data sheet",
                                       find="data sheet, or the dip of its volts divided by a known current")],
    controller: Annotated[str, Text("run that feeds the controller", "controller", longest=40)] = "controller",
    controller_least: Annotated[Quantity, In("V", "least volts the controller's supply works with", 7, ge=1, le=100,
                                             basis="data sheet", chosen=True)] = Q(7, "V"),
    allowed: Annotated[Quantity, In("percent", "drop allowed on critical runs", 3, ge=0.1, le=50,
                                    chosen=True)] = Q(3, "percent"),
    allowed_other: Annotated[Quantity, In("percent", "drop allowed on other runs", 10, ge=0.1, le=50, chosen=True)]
    = Q(10, "percent"),
    allowed_start: Annotated[Quantity, In("percent", "drop allowed while a motor starts", 10, ge=0.1, le=60,
                                          chosen=True)]
    = Q(10, "percent"),
) -> WireRuns:
    """Drop, heat and current of every run, and the controller's own feed while a motor starts.

    A run loses 2 L I R of the nominal voltage.  At the end of a run the volts
    are those of the battery less I Ri inside it and less the drop of every run
    on the way; while one motor starts, its start current replaces its running
    current in all of them.  Left out: terminals, fuses and switches, 0.1 to
    0.2 V more; a battery that is old or cold has two to three times its Ri.

    >>> found = wire_runs(resistance=Q(15, "mohm"), controller="box", runs=[
    ...     Run(name="main", one_way=Q(0.6, "m"), current=Q(6, "A"), size="4 mm2"),
    ...     Run(name="box", fed_by="main", one_way=Q(0.3, "m"), current=Q(0.02, "A"), size="1 mm2"),
    ...     Run(name="pump", fed_by="main", one_way=Q(1.8, "m"), current=Q(3, "A"), start=Q(9, "A"), size="1.5 mm2")])
    >>> print(f"{found.worst_drop.m:.1f} %, at start {found.worst_start.m:.1f} %; the box gets {found.feed:.2f~P}")
    1.3 %, at start 3.8 %; the box gets 11.24 V
    """
    ways = tree(runs)
    amps, ohms, bears = amps_of(runs), ohms_of(runs), bears_of(runs)
    starts = column((one.start for one in runs), "A")
    drop = Q(amps * ohms, "V")
    shares, start_shares = Q(drop / volts, "percent"), Q(starts * ohms / volts, "percent")
    way = ways @ drop.m
    ways_shares = Q(Q(way, "V") / volts, "percent")
    inside = _inside(runs, amps) * resistance
    ends = Q(lowest - inside - Q(way, "V"), "V")
    feed, feed_while = _feed(runs, ways, ohms, starts - amps, lowest, inside, way, resistance, controller)
    critical = np.array([one.critical for one in runs])
    worst = [_worst(shares, critical, runs), _worst(shares, ~critical, runs),
             _worst(ways_shares, critical, runs), _worst(start_shares, critical | True, runs)]
    lengths = column((one.one_way for one in runs), "m")
    areas = Q(np.array([tables().area[SIZES.index(one.size)] for one in runs])[:, None] * 1e6, "mm^2")
    return WireRuns(
        by_run=_lines(runs, shares, start_shares, ways_shares, ends, drop * amps, bears,
                      _least(runs, amps, lengths, allowed, allowed_other, volts)),
        motor_volts=_at_motor(
            starts.m, volts, Q(amps * Q(ways @ ohms.m_as("ohm") + resistance.m_as("ohm"), "ohm"), "V")),
        worst_drop=worst[0][0], worst_start=worst[3][0], feed=feed, feed_while=feed_while,
        loss=cell(Q((drop * amps).sum(axis=0), "W")), copper=cell(Q((2 * lengths * areas * COPPER).sum(axis=0), "kg")),
        cable=cell(lengths.sum(axis=0)),
        critical_drop=_kept(worst[0], allowed, "no run is marked critical"),
        other_drop=_kept(worst[1], allowed_other, "every run is critical"),
        way_drop=_kept(worst[2], allowed, "no run is marked critical"),
        start_keeps=_kept(worst[3], allowed_start, "no run has a start current"),
        controller_stays=_stays(feed, controller_least, feed_while, controller),
        wires_bear=_borne(runs, amps, bears), thick_enough=_thick(runs, lengths, areas),
        trunks_whole=_whole(runs, amps),
    )


def _inside(runs: Sequence[Run], amps: Any) -> Any:
    """Current through the battery: that of all runs which hang on it and are no source."""
    return Q((amps * _drawn(runs)).sum(axis=0), "A")


def _at_motor(starts: Any, volts: Quantity, alone: Any) -> Quantity:
    """Volts at the end of the run with the greatest start current, less its own drop all the way and in the battery."""
    if np.isnan(starts).all():
        return cell(Q(np.full(alone.shape[-1:], np.nan), "V"))
    most, drops = np.broadcast_arrays(np.where(np.isnan(starts), -np.inf, starts), alone.m)
    return cell(Q(volts - Q(np.take_along_axis(drops, most.argmax(axis=0)[None], axis=0)[0], "V"), "V"))


def _drawn(runs: Sequence[Run]) -> np.ndarray[Any, Any]:
    return numbers(one.fed_by == BATTERY and one.source_most is None for one in runs)


def _feed(
    runs: Sequence[Run], ways: Any, ohms: Any, more: Any, lowest: Quantity, inside: Any, way: Any,
    resistance: Quantity, controller: str,
) -> tuple[Quantity, str]:
    """Least volts at the end of the controller's run, over every motor that may start."""
    names = [one.name for one in runs]
    if controller not in names:
        return cell(Q(np.full(np.shape(way)[-1:], np.nan), "V")), f"there is no run called '{controller}'"
    own = names.index(controller)
    steady = lowest - inside - Q(way[own], "V")
    # What a start adds flows through the battery and the runs that its way and the controller's have in common.
    shared = (ways * ways[own]) @ ohms.m_as("ohm") + resistance.m_as("ohm")
    pulled = np.where(np.isnan(more.m), 0.0, shared * more.m_as("A"))
    feed = cell(Q(steady - Q(pulled.max(axis=0), "V"), "V"))
    worst = int(np.argmax(np.nanmean(pulled, axis=1))) if np.isfinite(pulled).any() else 0
    return feed, names[worst] if np.nanmax(pulled, initial=0) > 0 else "nothing starts"


def _worst(shares: Any, which: Any, runs: Sequence[Run]) -> tuple[Quantity, str]:
    """The greatest of the rows picked, and the name of the row that is greatest on the whole."""
    known = which & ~np.isnan(shares.m).all(axis=1)
    if not known.any():
        return cell(Q(np.full(shares.shape[-1:], np.nan), "percent")), ""
    picked_rows = shares[known]
    names = [one.name for one, there in zip(runs, known, strict=True) if there]
    means = [middle(line) for line in picked_rows.m]
    return cell(Quantity(picked_rows.m.max(axis=0), shares.units)), names[int(np.nanargmax(means))]


def _kept(worst: tuple[Quantity, str], allowed: Quantity, nothing: str) -> Check:
    share, name = worst
    return at_most(share, allowed, reason=name) if name else not_covered(nothing)


def _stays(feed: Quantity, least: Quantity, while_: str, controller: str) -> Check:
    if np.isnan(feed.m).all():
        return fails(f"there is no run called '{controller}': name the run that feeds the controller")
    return at_least(feed, least, reason=f"while starting: {while_}, lowest battery voltage")


def _borne(runs: Sequence[Run], amps: Any, bears: Any) -> Check:
    """The run that uses most of what its wire may carry."""
    unknown = [one.name for one, line in zip(runs, bears.m, strict=True) if np.isnan(line).all()]
    if unknown:
        return not_covered(f"{unknown[0]}: no table of currents goes below 18 AWG; take 1 mm2")
    rows, worst = worst_row(amps.m / np.maximum(bears.m, 1e-9))
    return at_most(at_rows(amps, rows), at_rows(bears, rows), reason=f"{runs[worst].name}, of all runs")


def _thick(runs: Sequence[Run], lengths: Any, areas: Any) -> Check:
    """The thinnest wire against what its sheath asks for; shorter than 200 mm nothing is asked."""
    least = np.array([(FACTS["cored"] if one.sheathed else FACTS["single"]).value for one in runs])[:, None]
    asked = np.where(lengths.m > 0.2, least, 0.0)
    rows, worst = worst_row(asked / areas.m)
    where = "in a sheath" if runs[worst].sheathed else "as a single wire"
    return at_least(at_rows(areas, rows), at_rows(Q(asked, "mm^2"), rows), reason=f"{runs[worst].name}, {where}")


def _whole(runs: Sequence[Run], amps: Any) -> Check:
    """Whether every run that others hang on is reckoned with the sum of what they draw."""
    # What a source brings does not add to what is drawn.
    draws = [other.source_most is None for other in runs]
    hangs = np.array([[float(other.fed_by == one.name and draw) for other, draw in zip(runs, draws, strict=True)]
                      for one in runs])
    if not hangs.any():
        return does_not_apply("no run hangs on another")
    drawn = Q(hangs @ amps.m, "A")
    trunk = np.asarray(hangs.any(axis=1))[:, None]
    rows, worst = worst_row(np.where(trunk, drawn.m / np.maximum(amps.m, 1e-12), np.nan))
    below = ", ".join(other.name for other, on in zip(runs, hangs[worst], strict=True) if on)
    return at_most(at_rows(drawn, rows), at_rows(amps, rows), reason=f"{runs[worst].name}, that feeds {below}")


def _lines(
    runs: Sequence[Run], shares: Any, starts: Any, way: Any, ends: Any, loss: Any, bears: Any, least: Sequence[str]
) -> tuple[RunResult, ...]:
    columns = (cells(one, len(runs)) for one in (shares, starts, way, ends, Q(loss, "W"), bears))
    return tuple(
        RunResult(name=one.name, size=one.size, drop=drop, start_drop=start, whole_way=whole, volts=volts, loss=heat,
                  ampacity=most, least=named)
        for one, drop, start, whole, volts, heat, most, named in zip(runs, *columns, least, strict=True)
    )


def _least(
    runs: Sequence[Run], amps: Any, lengths: Any, allowed: Quantity, other: Quantity, volts: Quantity
) -> list[str]:
    """The thinnest size of each run's own system that keeps its drop, by the mean of what is given."""
    loops = 2 * amps.m.mean(axis=1) * lengths.m.mean(axis=1)
    loops = loops * hotter(Q(column((one.temperature for one in runs), "degC").m.mean(axis=1), "degC"))
    critical, others = (middle(one.m_as("")) * middle(volts.m_as("V")) for one in (allowed, other))
    found = []
    for one, loop in zip(runs, loops, strict=True):
        ohms = tables().resistance[one.make]
        does = (name for name in series("mm2" if one.size.endswith("mm2") else "AWG")
                if loop * ohms[SIZES.index(name)] <= (critical if one.critical else others))
        found.append(next(does, "none held here"))
    return found
