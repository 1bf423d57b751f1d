"""Alternatives beside the present, the history of the build, and the way back."""

from __future__ import annotations

from collections.abc import Sequence

import ipywidgets as W
import numpy as np

from kit.build.beside import Beside, SharedCheck, side_by_side
from kit.build.build import Build
from kit.build.entries import said
from kit.build.inputs import kind_of, split_cell
from kit.checks import MARGINAL, Verdict
from kit.notebook.build_lists import one_line, readable, stage_title
from kit.notebook.page import Page
from kit.notebook.text import MARKS, STYLE, escape, html_table, plain_table
from kit.notebook.views import TableView, View

__all__ = ["AlternativesBox", "HistoryBox", "changed_name", "compared_rows", "shares_drawing"]

COUNTED: tuple[Verdict, ...] = ("fails", "open", "marginal", "meets")
_SHAPES = "●■▲◆○□△◇"
_LEFT, _WIDE, _LINE, _TOP = 330, 300, 22, 46


class AlternativesBox(View):
    """Keep what is tried as a named alternative, try one, drop one, and see all side by side."""

    def __init__(self, page: Page, paths: Sequence[str] = ()) -> None:
        self.paths = tuple(paths)
        style = {"description_width": "6em"}
        self.name = W.Text(description="name", placeholder="a name for it", style=style, tooltip="")
        self.note = W.Text(description="because", placeholder="what speaks for it", style=style, tooltip="")
        self.keep = _button("Keep what is being tried beside the present")
        self.pick = W.Dropdown(options=list(page.build.alternatives), description="which", style=style, tooltip="")
        self.tries = _button("Try it")
        self.drop = _button("Drop it")
        for button, act in ((self.keep, self._keep), (self.tries, self._try), (self.drop, self._drop)):
            button.on_click(lambda _, act=act: page.act(act))
        self.out = W.HTML(tooltip="")
        self.said = ""
        wrap = W.Layout(flex_flow="row wrap")
        rows = [W.Box([self.name, self.note, self.keep], layout=wrap), W.Box([self.pick, self.tries, self.drop], layout=wrap)]
        super().__init__(page, [self.out, *rows])

    def _keep(self) -> None:
        self.page.build.keep_alternative(self.name.value.strip(), self.note.value.strip())
        self.said = f"'{self.name.value.strip()}' is kept; the present is as it was."
        self.name.value = self.note.value = ""

    def _try(self) -> None:
        if self.pick.value:
            self.page.build.try_alternative(self.pick.value)
            self.said = f"'{self.pick.value}' is being tried; write it to the record or put it back."

    def _drop(self) -> None:
        if self.pick.value:
            self.said = f"'{self.pick.value}' is dropped."
            self.page.build.drop_alternative(self.pick.value)

    def _beside(self) -> Beside | None:
        return side_by_side(self.page.build) if self.page.build.alternatives else None

    def _words(self) -> str:
        kept = self.page.build.alternatives
        if not kept:
            return "No alternative is kept yet: change something in any notebook, then keep it here under a name."
        return "; ".join(f"{name}: {one.note or ', '.join(one.changes.values())}" for name, one in kept.items()) + "."

    def refresh(self) -> None:
        names = list(self.page.build.alternatives)
        if list(self.pick.options) != names:
            self.pick.options = names
        body = f"<p>{escape(self.said)}</p>" if self.said else ""
        self.set(self.out, f"{STYLE}<div class='br-page' role='status'>{self._trouble()}{body}{self.static_html()}</div>")

    def plain(self) -> str:
        beside = self._beside()
        if beside is None:
            return self._words()
        return "\n".join([self._words(), plain_table(("of", *beside.names), compared_rows(beside, self.paths))])

    def static_html(self) -> str:
        beside = self._beside()
        if beside is None:
            return f"<p>{escape(self._words())}</p>"
        rows = [tuple(map(one_line, row[1:])) for row in compared_rows(beside, self.paths)]
        firsts = [row[0] for row in compared_rows(beside, self.paths)]
        table = html_table(("of", *beside.names), [(a, *b) for a, b in zip(firsts, rows, strict=True)])
        return f"<p>{escape(self._words())}</p>{table}{shares_drawing(beside)}"


def _button(words: str) -> W.Button:
    return W.Button(description=words, layout=W.Layout(width="auto"), tooltip="")


def compared_rows(beside: Beside, paths: Sequence[str] = ()) -> list[tuple[str, ...]]:
    """Results, counts of checks and the checks that turn, a column for the present and for each alternative."""
    build = beside.builds[0]
    rows: list[tuple[str, ...]] = []
    for path in paths:
        kind = build.graph.kind_at(path)
        meaning = getattr(kind, "meaning", path)
        rows.append((f"{meaning} ({stage_title(build, path.split('.')[0])})", *beside.shown(path)))
    found = [one.count() for one in beside.builds]
    rows += [(f"checks: {verdict}", *(str(one[verdict]) for one in found)) for verdict in COUNTED]
    rows += [
        (f"{readable(build, shared.asks.label)} ({stage_title(build, shared.path.split('.')[0])})",
         *(f"{MARKS[c.verdict]} {c.verdict}" for c in shared.checks))
        for shared in beside.checks if shared.turns
    ]
    return rows


def shares_drawing(beside: Beside, most: int = 14) -> str:
    """How much of each limit the present and each alternative use: a mark each, the limit dashed."""
    worth = sorted((one for one in beside.checks if one.matters), key=lambda one: -_largest(one))[:most]
    if not worth:
        return "<p>No check comes nearer to its limit or leaves it in any of them.</p>"
    high = _TOP + _LINE * len(worth) + 30 + 16 * len(beside.names)
    scale = _WIDE / 1.25

    def at(share: float) -> float:
        return _LEFT + scale * min(max(share, 0.0), 1.25)

    foot = _TOP + _LINE * len(worth)
    body = [
        f'<path d="M{at(1):.1f} {_TOP - 10} V{foot}" stroke="currentColor" stroke-width="1.6" stroke-dasharray="6 4"/>',
        f'<path d="M{at(MARGINAL):.1f} {_TOP - 4} V{foot}" stroke="currentColor" stroke-width="0.8" stroke-dasharray="2 4"/>',
        f'<text x="{at(1):.1f}" y="{_TOP - 14}" font-size="11" text-anchor="middle">limit</text>',
        f'<text x="{_LEFT}" y="{_TOP - 14}" font-size="11">share of the limit used: 0</text>',
    ]
    for place, one in enumerate(worth):
        y = _TOP + _LINE * place + 14
        words = readable(beside.builds[0], one.asks.label)
        label = words if len(words) <= 52 else f"{words[:51]}…"
        body.append(f'<text x="{_LEFT - 8}" y="{y}" font-size="12" text-anchor="end">{escape(label)}</text>')
        body.append(f'<path d="M{_LEFT} {y - 4} H{_LEFT + _WIDE}" stroke="currentColor" stroke-width="0.4"/>')
        for mark, share, check in zip(_marks(beside), one.shares, one.checks, strict=True):
            if np.isfinite(share):
                body.append(_mark(at(share), y, mark))
            elif check.verdict == "fails":
                body.append(_mark(at(1.25), y, mark))
    for place, (mark, name) in enumerate(zip(_marks(beside), beside.names, strict=True)):
        body.append(f'<text x="{_LEFT}" y="{foot + 22 + 16 * place}" font-size="12">{mark} {escape(name)}</text>')
    wide = _LEFT + _WIDE + 30
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" role="img" '
        'aria-label="share of each limit used by the present and its alternatives" font-family="sans-serif" '
        f'fill="currentColor">{"".join(body)}</svg>'
    )


def _marks(beside: Beside) -> list[str]:
    return [_SHAPES[place % len(_SHAPES)] for place in range(len(beside.names))]


def _mark(x: float, y: float, mark: str) -> str:
    return f'<text x="{x:.1f}" y="{y}" font-size="12" text-anchor="middle">{mark}</text>'


def _largest(one: SharedCheck) -> float:
    finite = [share for share in one.shares if np.isfinite(share)]
    return max(finite, default=2.0) + (2.0 if one.turns else 0.0)


class HistoryBox(TableView):
    """What was changed, when, from what to what and why, newest first; and a button that tries the way back."""

    head = ("revision", "when", "what", "from", "to", "why", "by")

    def __init__(self, page: Page, most: int = 20) -> None:
        self.most = most
        self.back = W.Button(description="Try the way back from the last change", layout=W.Layout(width="auto"), tooltip="")
        self.back.on_click(lambda _: page.act(self._back))
        self.out = W.HTML(tooltip="")
        View.__init__(self, page, [self.out, self.back])

    def _back(self) -> None:
        self.page.build.try_way_back()

    def above(self) -> str:
        lines = self.page.build.record.history()
        if not lines:
            return "Nothing was changed since the build was begun."
        more = f", the last {self.most} of {len(lines)}" if len(lines) > self.most else ""
        return f"Changes, newest first{more}:"

    def table(self) -> list[tuple[str, ...]]:
        rows: list[tuple[str, ...]] = []
        for line in reversed(self.page.build.record.history()[-self.most :]):
            when = line.when.strftime("%Y-%m-%d %H:%M") if line.when else ""
            done = "" if line.applied else " (not made)"
            rows.append((
                str(line.revision), when, f"{changed_name(self.page.build, line.path)}{done}",
                said(line.old) if line.old is not None else "", said(line.new) if line.new is not None else "",
                line.why, line.who,
            ))
        return rows


def changed_name(build: Build, path: str) -> str:
    """What a line of the history is about, in words, with its stage."""
    cell = split_cell(path)
    kind = kind_of(build.graph, path)
    if kind is None:
        return path
    return f"{f'{cell.row}: ' if cell.row else ''}{kind.meaning} ({stage_title(build, path.split('.')[0])})"
