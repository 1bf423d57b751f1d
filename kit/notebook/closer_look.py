"""Closer looks of a stage: worked out when they are asked for, and struck through when they are out of date."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import ipywidgets as W

from kit.kinds import Out, Rows, Says
from kit.notebook.page import Page
from kit.notebook.rows_table import columns_of, head_of, row_lines
from kit.notebook.text import MARKS, STYLE, escape, html_table, limit_of, plain_table, sentence_of, value_of
from kit.notebook.views import View
from kit.stage import title_of

__all__ = ["CloserLook"]

Table = tuple[str, tuple[str, ...], list[tuple[str, ...]]]

MOST_ROWS = 30


class CloserLook(View):
    """One closer look: its button, what it found, and whether that still holds."""

    def __init__(self, page: Page, name: str) -> None:
        self.key = f"{page.stage.key}.{name}"
        self.title = title_of(name)
        page.build.ask(self.key)
        self.button = W.Button(description="Work it out again", layout=W.Layout(width="auto"), tooltip="")
        self.button.on_click(lambda _: page.act(self._ask))
        self.out = W.HTML(tooltip="")
        super().__init__(page, [self.out, self.button])

    def _ask(self) -> None:
        self.page.build.ask(self.key)

    @property
    def _current(self) -> bool:
        return self.page.build.is_current(self.key)

    def above(self) -> str:
        """What it is, and how far it can be trusted now."""
        outcome = self.page.build.looked_at(self.key)
        summary = self.page.stage.looks[self.key.partition(".")[2]].declaration.summary
        if not self._current:
            return f"{summary} Something it rests on has changed since: work it out again."
        if outcome.fault is not None:
            return f"{summary} Not worked out: {sentence_of(outcome.fault)}"
        if outcome.waits:
            return f"{summary} Not worked out: waits for {', '.join(outcome.waits[:4])}."
        lacks = f" Not all is in yet: {', '.join(outcome.lacks)}." if outcome.lacks else ""
        return f"{summary}{lacks}"

    def tables(self) -> Iterator[Table]:
        """Results, checks and tables of rows, each with its title."""
        outcome = self.page.build.looked_at(self.key)
        if not outcome.works:
            return
        node, result, prefs = self.page.build.graph.looks[self.key], outcome.result, self.page.build.prefs
        axes = {out.over for out in node.outputs.values() if isinstance(out, Out)}
        plain: list[tuple[str, ...]] = [
            (
                out.meaning,
                out.show(getattr(result, name), prefs) if isinstance(out, Out) else str(getattr(result, name)),
            )
            for name, out in node.outputs.items()
            if isinstance(out, Says) or (isinstance(out, Out) and not out.over and name not in axes)
        ]
        yield "", ("result", "value"), plain
        checks = [(asks.label, getattr(result, name)) for name, asks in node.checks.items()]
        yield (
            "",
            ("verdict", "check", "result", "limit", "reason"),
            [
                (f"{MARKS[c.verdict]} {c.verdict}", label, value_of(c, prefs), limit_of(c, prefs), c.reason)
                for label, c in checks
            ],
        )
        for name, out in node.outputs.items():
            if isinstance(out, Rows):
                columns, rows = columns_of(out.row), getattr(result, name)
                more = f", the first {MOST_ROWS} of {len(rows)}" if len(rows) > MOST_ROWS else ""
                lines = list(row_lines(rows[:MOST_ROWS], columns, prefs))
                yield f"{out.meaning}{more}", head_of(columns), lines
        if result.notes:
            yield "", ("note",), [(note,) for note in result.notes]

    def refresh(self) -> None:
        stale = "" if self._current else " class='br-stale'"
        body = "".join(_html(table) for table in self.tables())
        above = f"<p>{escape(self.above())}</p>"
        self.button.disabled = self._current
        self.set(
            self.out,
            f"{STYLE}<div class='br-page' role='status'>{self._trouble()}{above}<div{stale}>{body}</div></div>",
        )

    def plain(self) -> str:
        parts = [self.above()]
        for title, head, rows in self.tables():
            if rows:
                parts += [*filter(None, [title]), plain_table(head, rows)]
        return "\n".join(parts)

    def static_html(self) -> str:
        return f"<p>{escape(self.above())}</p>" + "".join(map(_html, self.tables()))


def _html(table: Any) -> str:
    title, head, rows = table
    heading = f"<p><b>{escape(title)}</b></p>" if title else ""
    return heading + html_table(head, rows) if rows else ""
