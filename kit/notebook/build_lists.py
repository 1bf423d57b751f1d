"""What the build sheet lists: what to buy, totals, assumptions, open questions, sources; all as rows of texts."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from kit.build.build import Build
from kit.build.inputs import kind_of, split_cell
from kit.calculator import declared
from kit.checks import Check
from kit.handed import Hazard, Purchase, Task
from kit.kinds import Asks, Count, In, Out, Rows
from kit.quantities import Quantity
from kit.sources import SOURCES
from kit.stage import title_of
from kit.workshop import show

__all__ = [
    "ASSUMED_HEAD", "BUY_HEAD", "assumed", "buy_csv", "buy_rows", "buy_total", "offered_rows", "one_line", "open_rows",
    "order_rows", "readable", "source_rows", "stage_title", "total_rows", "work_rows",
]

# Weakest first: what is only guessed is read first.
ORDER = ("estimate", "common practice", "handbook", "data sheet")
BUY_HEAD = ("shop", "article", "size or grade", "packs", "a pack", "needed", "left over", "price", "cost", "stage")
ASSUMED_HEAD = ("stage", "entry", "value", "give or take", "source or note")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_SIGNED = re.compile(r"[+-]\d+(?:\.\d+)?(?: [^\s+*/=()-]+)?|-")
_PATH = re.compile(r"\b[a-z_]+(?:\.[a-z_]+){1,2}\b")


def stage_title(build: Build, key: str) -> str:
    """Number and title of a stage."""
    stage = build.graph.stages.get(key)
    return f"{stage.number} {stage.title}" if stage is not None else key


def one_line(text: str) -> str:
    """The same text, kept on one line: a number is never torn from its unit."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def readable(build: Build, text: str) -> str:
    """A text in which paths of results are put into words."""

    def words(found: re.Match[str]) -> str:
        kind = kind_of(build.graph, found[0]) or build.graph.kind_at(found[0])
        meaning = getattr(kind, "meaning", "")
        return f"“{meaning}” of {stage_title(build, found[0].partition('.')[0])}" if meaning else found[0]

    return _PATH.sub(words, text)


# -- buying and doing -------------------------------------------------------------------------------------------------


def _bought(build: Build) -> list[tuple[str, Purchase]]:
    """Purchases by shop and article; those without a shop come last."""
    return sorted(build.handed(Purchase), key=lambda one: (one[1].shop == "-", one[1].shop, one[1].name))


def _amount(build: Build, amount: Quantity, pack: Quantity) -> str:
    """An amount in the unit it is sold in, to a hundredth of a pack: nobody buys finer."""
    if pack.dimensionless:
        return str(Out("1", "").show(amount, build.prefs))
    step = 10.0 ** min(0, math.floor(math.log10(float(pack.magnitude))) - 2)
    return show(amount.to(pack.units), "", resolution=step, prefs=build.prefs)


def buy_rows(build: Build) -> list[tuple[str, ...]]:
    """The buy list merged over all stages: shop, article, size, packs, pack, needed, left over, price, cost, stage."""
    money, number = Out("money", "", rounding="up"), Out("1", "")
    rows = []
    for stage, b in _bought(build):
        state = build.state_of(f"{stage}: {b.name}")
        name = b.name if state == "planned" else f"{b.name} ({state})"
        amounts = (_amount(build, amount, b.pack) for amount in (b.pack, b.needed, b.left_over))
        rows.append((
            "no shop named" if b.shop == "-" else b.shop, name, "" if b.size == "-" else b.size, number.show(b.packs),
            *amounts, money.show(b.price, build.prefs), money.show(b.cost, build.prefs), stage_title(build, stage),
        ))
    return rows


def buy_total(build: Build) -> str:
    """What the whole list costs, in words."""
    if build.value("sheet.all.materials") is None:
        return "The sum is not worked out yet."
    return (
        f"Sum {build.shown('sheet.all.materials')}; with contingency of {build.shown('brief.contingency')}, taken once, "
        f"{build.shown('sheet.all.cost')}."
    )


def buy_csv(build: Build) -> str:
    """The buy list as comma-separated text, for a spreadsheet or a shop; prices are bare numbers that can be added up."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([f"{head} ({build.prefs.currency})" if head in ("price", "cost") else head for head in BUY_HEAD])
    money = [[f"{float(q.m_as('money')):.2f}" for q in (b.price, b.cost)] for _, b in _bought(build)]
    for row, (price, cost) in zip(buy_rows(build), money, strict=True):
        writer.writerow([*_harmless(row[:7]), price, cost, *_harmless(row[9:])])
    return out.getvalue()


def _harmless(row: Sequence[str]) -> list[str]:
    """A text that a spreadsheet would take for a formula begins with a quote; an amount with its sign stays as it is."""
    return [f"'{cell}" if cell[:1] in _FORMULA and not _SIGNED.fullmatch(cell) else cell for cell in row]


def order_rows(build: Build) -> list[tuple[str, ...]]:
    """What has to be ordered early, the longest delivery first."""
    slow = sorted((one for one in _bought(build) if one[1].wait.magnitude), key=lambda one: -one[1].wait.m_as("d"))
    days = Out("d", "", resolution=1)
    return [(b.name, b.shop, days.show(b.wait, build.prefs), stage_title(build, stage)) for stage, b in slow]


def work_rows(build: Build) -> list[tuple[str, ...]]:
    """Tasks with their hours and what waits after them; the sum last."""
    hours, days = Out("h", "", resolution=1), Out("d", "", resolution=1)
    rows: list[tuple[str, ...]] = [
        (stage_title(build, stage), f"{t.name} (allowance)" if t.allowance else t.name, hours.show(t.mean, build.prefs),
         f"{hours.show(t.quick, build.prefs)} to {hours.show(t.slow, build.prefs)}",
         days.show(t.wait, build.prefs) if t.wait.magnitude else "")
        for stage, t in build.handed(Task)
    ]
    if build.value("sheet.all.hours") is not None:
        rows.append(("all", "", build.shown("sheet.all.hours"), f"allow {build.shown('sheet.all.allow')}", ""))
    return rows


def total_rows(build: Build) -> Iterator[tuple[str, str]]:
    """Totals of the build as rows of texts."""
    outcome = build.now.outcomes.get("sheet.all")
    if outcome is None or not outcome.works:
        yield "totals", "not worked out yet"
        return
    for name, out in build.graph.nodes["sheet.all"].outputs.items():
        if isinstance(out, Out):
            yield out.meaning, out.show(getattr(outcome.result, name), build.prefs)


# -- what it rests on -------------------------------------------------------------------------------------------------


def assumed(build: Build, basis: str) -> list[tuple[str, ...]]:
    """Numbers that are known in this way, the cells of one row of a table on one line."""
    lines: dict[tuple[str, str], list[tuple[str, Any]]] = {}
    for path, entry in build.now.entries.items():
        if build.basis(path) == basis and isinstance(kind_of(build.graph, path), In | Count):
            cell = split_cell(path)
            lines.setdefault((cell.path, cell.row) if cell.column else (path, ""), []).append((path, entry))
    return [_line(build, table, row, cells) for (table, row), cells in lines.items()]


def _line(build: Build, table: str, row: str, cells: Sequence[tuple[str, Any]]) -> tuple[str, ...]:
    notes = "; ".join(dict.fromkeys(e.source or e.note for _, e in cells if e.source or e.note))
    place = build.graph.places[table]
    title = stage_title(build, place.stage)
    if not row:
        (path, entry), = cells
        return title, _named(build, place), one_line(build.shown(path)), entry.give_or_take or "", notes
    value = ", ".join(
        f"{split_cell(path).column.replace('_', ' ')} {one_line(build.shown(path))}"
        + (f" ± {one_line(entry.give_or_take)}" if entry.give_or_take else "") for path, entry in cells)
    return title, f"{place.kind.meaning}: {row}", value, "", notes


def _named(build: Build, place: Any) -> str:
    """What an entry means; where its stage has several calculators, for which of them."""
    name = place.node.partition(".")[2]
    runs = build.graph.stages[place.stage].runs
    several = name in runs and sum(r.calculator is runs[name].calculator for r in runs.values()) > 1
    return f"{title_of(name)}: {place.kind.meaning}" if several else str(place.kind.meaning)


def offered_rows(build: Build) -> list[tuple[str, ...]]:
    """Numbers nobody has entered, as the kit offers them: one line for each calculator, and one for cells of tables."""
    lines: dict[tuple[str, str], list[str]] = {}
    for place in build.graph.places.values():
        if not isinstance(place.kind, In | Count) or place.link is not None or place.path in build.now.entries:
            continue
        if not place.required and build.value(place.path) is not None:
            where = title_of(place.node.partition(".")[2] or "in general")
            lines.setdefault((place.stage, where), []).append(f"{place.kind.meaning} {one_line(build.shown(place.path))}")
    return [(stage_title(build, stage), where, "; ".join(said)) for (stage, where), said in lines.items()]


def open_rows(build: Build) -> Iterator[tuple[str, str, str]]:
    """What nobody has answered yet: entries that are needed, cells of rows that are needed, and checks left open."""
    for place in build.graph.places.values():
        title = stage_title(build, place.stage)
        if place.required and place.path not in build.now.ready and not build.rows(place.path):
            yield title, _named(build, place), "not entered"
        elif isinstance(place.kind, Rows):
            for row, meaning in _missing_cells(build, place):
                yield title, f"{place.kind.meaning}, {row}: {meaning}", "not entered"
    for path, asks, check in build.checks():
        if check.verdict == "open":
            yield stage_title(build, path.partition(".")[0]), readable(build, asks.label), readable(build, check.reason)


def _missing_cells(build: Build, place: Any) -> Iterator[tuple[str, str]]:
    needed = {name: entry.kind.meaning for name, entry in declared(place.kind.row).inputs.items()
              if name != "name" and entry.required and not entry.optional}
    for row in build.rows(place.path):
        for name, meaning in needed.items():
            if f"{place.path}[{row}].{name}" not in build.now.entries:
                yield row, meaning


def source_rows(build: Build, checks: Iterable[tuple[str, Asks, Check]]) -> list[tuple[str, ...]]:
    """Every source that a check or a hazard of the build names, by key."""
    keys = {asks.source for _, asks, _ in checks} | {h.cites for _, h in build.handed(Hazard)}
    found = [SOURCES[key] for key in sorted(keys, key=str.lower) if key in SOURCES]
    return [(s.key, s.title, s.note) for s in found]
