"""Doubt on the page: chances of checks, intervals of results, what an answer hangs on, what to measure next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import ipywidgets as W

from kit.build.build import Build
from kit.build.influence import indices
from kit.build.inputs import kind_of, split_cell
from kit.build.spread import Chance, Figure, Group, Spread, work_out
from kit.checks import Verdict
from kit.notebook.bars import Bar, bars
from kit.notebook.build_lists import stage_title
from kit.notebook.page import Page
from kit.notebook.text import MARKS, STYLE, escape, html_table, plain_table
from kit.notebook.views import View
from kit.quantities import Quantity

__all__ = ["DoubtView", "chance_rows", "figure_rows", "measure_next", "named_entry"]

Table = tuple[str, tuple[str, ...], list[tuple[str, ...]]]

CHANCES = ("check", "stage", "as it stands", "met in 100", "give or take", "remark")
FIGURES = ("result", "stage", "as it stands", "95 in 100 lie from", "to", "remark")
NEXT = ("measure this next", "stage", "how known", "value", "on its own it can turn")
# More lines are read by nobody; the build sheet has them all.
MOST = 12


class DoubtView(View):
    """The build under doubt, worked out when the cell is run and again when its button is pressed."""

    def __init__(self, page: Page, paths: Sequence[str] = (), count: int = 10_000) -> None:
        self.count = count
        self.page, self.spread = page, work_out(page.build, count=count)
        self.paths = tuple(paths)
        self.button = W.Button(description="Work it out again", layout=W.Layout(width="auto"), tooltip="")
        self.button.on_click(lambda _: page.act(self._again))
        self.pick = W.Dropdown(
            options=self._choices(), description="what hangs on what:", style={"description_width": "initial"},
            layout=W.Layout(width="auto", max_width="100%"), tooltip="",
        )
        self.pick.observe(lambda _: self._picked(), "value")
        self.out, self.hangs = W.HTML(tooltip=""), W.HTML(tooltip="")
        super().__init__(page, [self.out, self.button, self.pick, self.hangs])

    def _again(self) -> None:
        self.spread = work_out(self.page.build, count=self.count)
        self.pick.options = self._choices()

    def _picked(self) -> None:
        with self.page.lock:
            self.set(self.hangs, self._influences())

    @property
    def _current(self) -> bool:
        return self.spread.now is self.page.build.now

    def _shown(self) -> list[Figure]:
        figures, stage = self.spread.figures, self.page.stage.key
        wanted = self.paths or tuple(path for path in figures if path.split(".")[0] == stage)
        return [figures[path] for path in wanted if path in figures]

    def _choices(self) -> list[tuple[str, str]]:
        return [(f"{f.out.meaning} ({_stage(self.page.build, f.path)})", f.path) for f in self._shown()]

    def above(self) -> str:
        """How it was worked out, and whether it still holds."""
        stale = "" if self._current else " Something has changed since: work it out again."
        lost = max((figure.missing for figure in self.spread.figures.values()), default=0)
        said = f" In up to {lost} of them some result does not exist." if lost else ""
        return (
            f"{self.spread.count} builds drawn at random (seed {self.spread.seed}) within the give or take of "
            f"{len(self.spread.groups)} entries; an entry without one is taken as its how known says.{said}{stale}"
        )

    def tables(self) -> Iterator[Table]:
        """Chances, intervals and what to measure next."""
        build, stage = self.page.build, self.page.stage.key
        chances = [c for c in self.spread.chances if stage == "sheet" or c.path.split(".")[0] == stage]
        worth = [one for one in chances if one.met < 1][:MOST]
        if not worth and chances:
            yield f"All {len(chances)} checks that compare are met in every one", CHANCES, []
        yield "Checks least likely to be met", CHANCES, chance_rows(build, self.spread, worth)
        yield "Results with their doubt", FIGURES, figure_rows(build, self._shown())
        yield "What doubt can turn", NEXT, measure_next(build, self.spread, "" if stage == "sheet" else stage)[:MOST]

    def _influences(self) -> str:
        path = self.pick.value
        if path is None or path not in self.spread.figures or not self._current:
            return ""
        try:
            return _hanging(self.page.build, self.spread, path)
        except (KeyError, ValueError) as error:
            return f"<p class='br-note'>{escape(error.args[0] if error.args else error)}</p>"

    def refresh(self) -> None:
        stale = "" if self._current else " class='br-stale'"
        body = "".join(_html(table) for table in self.tables())
        self.button.disabled = self._current
        self.set(
            self.out,
            f"{STYLE}<div class='br-page' role='status'>{self._trouble()}<p>{escape(self.above())}</p>"
            f"<div{stale}>{body}</div></div>",
        )
        self.set(self.hangs, f"<div class='br-page'>{self._influences()}</div>")

    def plain(self) -> str:
        parts = [self.above()]
        for title, head, rows in self.tables():
            if rows:
                parts += [title, plain_table(head, rows)]
        return "\n".join(parts)

    def static_html(self) -> str:
        return f"<p>{escape(self.above())}</p>" + "".join(map(_html, self.tables())) + self._influences()


def chance_rows(build: Build, spread: Spread, chances: Sequence[Chance]) -> list[tuple[str, ...]]:
    """Checks with their chance to be met, and what they hang on alone."""
    rows: list[tuple[str, ...]] = []
    alone: dict[str, list[Group]] = {}
    for group, paths in spread.turning:
        for path in paths:
            alone.setdefault(path, []).append(group)
    for one in chances:
        guesses = [g for g in alone.get(one.path, []) if any(build.basis(d.path) == "estimate" for d in g.members)]
        remark = f"only if the estimate holds: {named_entry(build, guesses[0])}" if guesses else ""
        verdict: Verdict = one.check.verdict
        rows.append((
            one.asks.label, _stage(build, one.path), f"{MARKS[verdict]} {verdict}", f"{100 * one.met:.1f}",
            f"{100 * one.error:.1f}", remark if one.check.passes else "",
        ))
    return rows


def figure_rows(build: Build, figures: Sequence[Figure]) -> list[tuple[str, ...]]:
    """Results with the interval that holds 95 in 100."""
    return [
        (
            one.out.meaning, _stage(build, one.path),
            *(one.out.show(q, build.prefs) for q in (one.nominal, one.low, one.high)),
            "bent: straight lines would mislead" if one.parts else "",
        )
        for one in figures
    ]


def measure_next(build: Build, spread: Spread, stage: str = "") -> list[tuple[str, ...]]:
    """Entries whose give or take alone can turn a check; estimates without a source first, most checks first."""
    rows = []
    for group, paths in spread.turning:
        if stage and not any(p.split(".")[0] == stage for p in paths):
            continue
        first = group.members[0].path
        entry = build.now.entries.get(first)
        guess = build.basis(first) == "estimate" and not (entry and entry.source)
        labels = {path: asks.label for path, asks, _ in build.checks()}
        turns = "; ".join(f"{labels[p]} ({_stage(build, p)})" for p in paths)
        rows.append((not guess, -len(paths), (
            named_entry(build, group), _stage(build, first), build.basis(first) or "", build.shown(first), turns,
        )))
    return [row for *_, row in sorted(rows, key=lambda one: one[:2])]


def named_entry(build: Build, group: Group) -> str:
    """An entry in words, its row if it is a cell, or the shared name."""
    first = group.members[0]
    kind, row = kind_of(build.graph, first.path), split_cell(first.path).row
    meaning = kind.meaning if kind is not None else first.path
    if len(group.members) > 1:
        return f"{group.name}: {meaning}, {len(group.members)} entries together"
    return f"{row}: {meaning}" if row else meaning


def _stage(build: Build, path: str) -> str:
    return stage_title(build, path.split(".")[0])


def _hanging(build: Build, spread: Spread, path: str) -> str:
    """Bars of what moves one result, and shares of its variance for the widest of them."""
    figure, swings = spread.figures[path], spread.swings(path)[:8]
    name = figure.nominal.units
    drawn = [Bar(named_entry(build, one.group), one.low, one.high) for one in swings]
    picture = bars(
        figure.out.meaning, drawn, float(figure.nominal.magnitude),
        lambda value: str(figure.out.show(Quantity(value, name), build.prefs)),
    )
    found = {one.name: one for one in indices(build, path, of=[one.group.name for one in swings])} if swings else {}
    shares = [
        (named_entry(build, one.group), f"{max(0.0, found[one.group.name].alone):.2f}",
         f"{max(0.0, found[one.group.name].together):.2f}")
        for one in swings
    ]
    table = html_table(("of what doubt these bring", "alone", "with others"), shares, numbers=(1, 2))
    return f"{picture}{table}"


def _html(table: Any) -> str:
    title, head, rows = table
    return f"<p><b>{escape(title)}</b></p>" + (html_table(head, rows) if rows else "")
