"""As built: what was planned beside what was measured, and how far parts, purchases and tasks are."""

from __future__ import annotations

import ipywidgets as W

from kit.build.as_built import found, measure, settled
from kit.build.build import Build
from kit.build.entries import STATES
from kit.build.inputs import kind_of, split_cell
from kit.handed import Part, Purchase, Task
from kit.kinds import In
from kit.notebook.build_lists import stage_title
from kit.notebook.page import Page
from kit.notebook.text import STYLE, escape, html_table, plain_table
from kit.notebook.views import View
from kit.quantities import is_quantity
from kit.workshop import show

__all__ = ["AsBuiltBox", "StatesBox", "found_rows", "settled_rows"]

FOUND = ("measured", "stage", "planned", "how known then", "found", "apart", "")
SETTLED = ("what it settled", "stage", "95 in 100 lay within", "now within")


class AsBuiltBox(View):
    """Enter a measured value where a guess stood; see how far off the guess was and what that settled."""

    def __init__(self, page: Page) -> None:
        style = {"description_width": "8em"}
        self.pick = W.Dropdown(
            options=_guesses(page), description="what", style=style, layout=W.Layout(width="auto", max_width="100%"), tooltip=""
        )
        self.value = W.Text(description="measured", placeholder="with its unit", style=style, tooltip="")
        self.half = W.Text(description="give or take", placeholder="such as 1 mm", style=style, tooltip="")
        self.enter = W.Button(description="Try the measured value", layout=W.Layout(width="auto"), tooltip="")
        self.see = W.Button(description="See what measuring settled", layout=W.Layout(width="auto"), tooltip="")
        self.enter.on_click(lambda _: page.act(self._measure))
        self.see.on_click(lambda _: page.act(self._settle))
        self.out, self.news = W.HTML(tooltip=""), W.HTML(tooltip="")
        wrap = W.Layout(flex_flow="row wrap")
        super().__init__(
            page, [self.out, self.pick, W.Box([self.value, self.half, self.enter, self.see], layout=wrap), self.news]
        )

    def _measure(self) -> None:
        if self.pick.value and self.value.value.strip():
            measure(self.page.build, self.pick.value, self.value.value.strip(), self.half.value.strip())
            self.value.value = self.half.value = ""

    def _settle(self) -> None:
        rows = settled_rows(self.page.build)
        body = html_table(SETTLED, rows) if rows else "<p>Nothing that was measured narrows a result by a tenth.</p>"
        self.news.value = f"{STYLE}<div class='br-page' role='status'>{body}</div>"

    def refresh(self) -> None:
        self.set(self.out, f"{STYLE}<div class='br-page'>{self._trouble()}{self.static_html()}</div>")

    def plain(self) -> str:
        rows = found_rows(self.page.build)
        return plain_table(FOUND, rows) if rows else _none(self.page)

    def static_html(self) -> str:
        rows = found_rows(self.page.build)
        return html_table(FOUND, rows) if rows else f"<p>{escape(_none(self.page))}</p>"


def _none(page: Page) -> str:
    return f"Nothing that was planned has been measured since; {len(_guesses(page))} entries rest on less than a measurement."


def _guesses(page: Page) -> list[tuple[str, str]]:
    """Entries that are not measured yet, by what they mean."""
    build = page.build
    rows = []
    for path in build.now.entries:
        kind = kind_of(build.graph, path)
        value = build.now.values.cells.get(path)
        if not isinstance(kind, In) or kind.unit == "money" or kind.chosen or build.basis(path) == "measured":
            continue
        if is_quantity(value):
            row = split_cell(path).row
            words = f"{row}: {kind.meaning}" if row else kind.meaning
            rows.append((f"{stage_title(build, path.split('.')[0])}: {words}, {build.shown(path)}", path))
    return sorted(rows)


def found_rows(build: Build) -> list[tuple[str, ...]]:
    """Planned beside measured, as texts."""
    rows: list[tuple[str, ...]] = []
    for one in found(build):
        kind, row = kind_of(build.graph, one.path), split_cell(one.path).row
        meaning = kind.meaning if kind is not None else one.path
        apart = "" if one.difference is None else show(one.difference, "", prefs=build.prefs)
        rows.append((
            f"{row}: {meaning}" if row else meaning, stage_title(build, one.path.split(".")[0]), one.planned.value,
            one.planned.basis or "", one.measured.value, apart,
            "within its give or take" if one.expected else "outside its give or take: look for the reason",
        ))
    return rows


def settled_rows(build: Build) -> list[tuple[str, ...]]:
    """Results that measuring narrowed, as texts."""
    rows: list[tuple[str, ...]] = []
    for one in settled(build)[:15]:
        out = one.before.out
        ends = [
            "as good as certain" if f is None else f"{out.show(f.low, build.prefs)} to {out.show(f.high, build.prefs)}"
            for f in (one.before, one.after)
        ]
        rows.append((out.meaning, stage_title(build, one.before.path.split(".")[0]), *ends))
    return rows


class StatesBox(View):
    """How far parts, purchases and tasks are: planned, bought, cut, fitted, weighed or done."""

    def __init__(self, page: Page) -> None:
        names = _handed_names(page)
        self.pick = W.SelectMultiple(
            options=names, rows=min(10, max(3, len(names))), description="these",
            layout=W.Layout(width="auto", max_width="100%"), tooltip="",
        )
        self.state = W.Dropdown(options=list(STATES), description="are now", tooltip="")
        self.write = W.Button(description="Write it to the record", layout=W.Layout(width="auto"), tooltip="")
        self.write.on_click(lambda _: page.act(self._write))
        self.out = W.HTML(tooltip="")
        super().__init__(page, [self.out, self.pick, W.Box([self.state, self.write], layout=W.Layout(flex_flow="row wrap"))])

    def _write(self) -> None:
        if self.pick.value:
            self.page.build.set_state(self.pick.value, self.state.value)
            self.pick.value = ()

    def refresh(self) -> None:
        names = _handed_names(self.page)
        if list(self.pick.options) != names:
            self.pick.options = names
        self.set(self.out, f"{STYLE}<div class='br-page' role='status'>{self._trouble()}<p>{escape(self.plain())}</p></div>")

    def plain(self) -> str:
        build = self.page.build
        by_state: dict[str, list[str]] = {}
        for name in _handed_names(self.page):
            if (state := build.state_of(name)) != "planned":
                by_state.setdefault(state, []).append(name)
        said = "; ".join(f"{state}: {', '.join(names)}" for state, names in by_state.items())
        return f"{said or 'All is still on paper'}."


def _handed_names(page: Page) -> list[str]:
    every = [f"{stage}: {row.name}" for kind in (Purchase, Part, Task) for stage, row in page.build.handed(kind)]
    return list(dict.fromkeys(every))
