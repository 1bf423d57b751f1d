"""Forms made from declarations: the first look and the full form.

A box holds the text of one entry.  What is typed is parsed, never clamped; a
wrong entry is explained beside its box and never reaches the record.  The same
entry may stand in several forms of a page; all follow.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

import ipywidgets as W

from kit.build.graph import Place
from kit.build.inputs import cell_path, split_cell
from kit.calculator import Entry, declared
from kit.kinds import BASES, Choice, In, Kind, Rows, Unreadable, YesNo
from kit.notebook.page import Page
from kit.notebook.text import STYLE, escape, html_table, plain_table
from kit.notebook.views import View, count_of, drawing_of, sentence_of_stage
from kit.quantities import is_quantity
from kit.stage import title_of
from kit.workshop import echo

__all__ = ["EntryBox", "FirstLook", "FullForm"]

_LABEL = {"description_width": "15em"}
_SHORT = {"description_width": "auto"}
# One layout and one style serve all boxes: each widget of its own would open two more channels to the browser.
_WIDE = W.Layout(flex="1 1 340px", max_width="470px", min_width="240px", width="auto")
_NARROW = W.Layout(flex="0 1 190px", min_width="150px", width="auto")
_SMALL = W.Layout(flex="0 1 170px", min_width="120px", width="auto")
_NOTE = W.Layout(flex="1 1 200px", min_width="140px", max_width="420px", width="auto")
_FULL = W.Layout(width="100%")
_WRAP = W.Layout(display="flex", flex_flow="row wrap", align_items="baseline", width="100%")


class EntryBox:
    """The widgets of one entry: text or choice, how known, give or take, note, and the message under them."""

    def __init__(self, page: Page, path: str, kind: Kind, place: Place | None, *, full: bool, label: str = "") -> None:
        self.page, self.path, self.kind, self.place = page, path, kind, place
        self._shown = ""
        self._about: dict[str, str] = {}
        self._drawn: tuple[Any, ...] = ()
        self.entry = self._entry_widget(label or kind.meaning)
        self.basis = W.Dropdown(options=["", *BASES], description="how known", style=_SHORT, layout=_NARROW, tooltip="")
        self.take = W.Text(description="give or take", style=_SHORT, layout=_SMALL, continuous_update=False, tooltip="")
        self.note = W.Text(description="note", style=_SHORT, layout=_NOTE, continuous_update=False, tooltip="")
        self.message = W.HTML(tooltip="", layout=_FULL)
        extras = (
            [self.basis, self.take, self.note]
            if full and isinstance(kind, In)
            else [self.basis, self.note]
            if full
            else []
        )
        self.extras = extras
        self.widget = W.VBox([W.Box([self.entry, *extras], layout=_WRAP), self.message], layout=_FULL)
        self.widget.add_class("br-entry")
        for widget in (self.entry, *extras):
            widget.observe(page.changed, "value")
        page.boxes.append(self)
        self.full = full
        self.show()

    def _entry_widget(self, label: str) -> Any:
        options = self._options()
        if options is None:
            return W.Text(description=label, continuous_update=False, style=_LABEL, layout=_WIDE, tooltip="")
        return W.Dropdown(options=[("", ""), *options], description=label, style=_LABEL, layout=_WIDE, tooltip="")

    def _options(self) -> list[tuple[str, str]] | None:
        if isinstance(self.kind, Choice):
            return [(word, word) for word in self.kind.options]
        return [("yes", "yes"), ("no", "no")] if isinstance(self.kind, YesNo) else None

    def typed(self) -> str | None:
        now = str(self.entry.value or "")
        return now if now != self._shown else None

    def known_as(self) -> dict[str, str] | None:
        if not self.full:
            return None
        now = self._read_about()
        return {key: value for key, value in now.items() if value != self._about.get(key, "")} or None

    def _read_about(self) -> dict[str, str]:
        names = {"basis": self.basis, "give_or_take": self.take, "note": self.note}
        return {name: str(w.value or "").strip() for name, w in names.items() if w in self.extras}

    def show(self) -> None:
        # Setting one widget must not be read as typing while the others still hold what they held before.
        with self.page.quiet():
            self._show()

    def _show(self) -> None:
        build = self.page.build
        entry = build.now.entries.get(self.path)
        value = build.now.values.cells.get(self.path)
        linked = build.value(self.place.link) if self.place is not None and self.place.link is not None else None
        clash = build.clash(self.path)
        # Most boxes are as they were: the same objects mean the same words, and drawing all again would cost every key.
        drawn = (entry, value, linked, clash, self.path in build.tried())
        untouched = self.typed() is None and self.known_as() is None
        if untouched and self._drawn and all(a is b for a, b in zip(drawn, self._drawn, strict=True)):
            return
        self._drawn = drawn
        words = entry.value if entry is not None else ""
        options = self._options()
        if options is not None:
            # A word that is not on the list cannot stand in the box; the message quotes it.
            words = "" if isinstance(value, Unreadable) or value is None else self.kind.write(value)
            wanted = ((self._otherwise(), ""), *options)
            if tuple(self.entry.options) != wanted:
                self.entry.options = wanted
        self._shown = words
        if self.entry.value != words:
            self.entry.value = words
        if hasattr(self.entry, "placeholder"):
            self.entry.placeholder = self._otherwise()
        if self.full:
            self._about = {
                "basis": (entry.basis or "") if entry else "",
                "give_or_take": (entry.give_or_take or "") if entry else "",
                "note": entry.note if entry else "",
            }
            self._set(self.basis, self._about["basis"])
            self._set(self.take, self._about["give_or_take"])
            self._set(self.note, self._about["note"])
        said = self._message(entry, value)
        if self.message.value != said:
            self.message.value = said

    @staticmethod
    def _set(widget: Any, words: str) -> None:
        if widget.value != words and (not hasattr(widget, "options") or words in widget.options):
            widget.value = words

    def _otherwise(self) -> str:
        """What stands when the box is empty."""
        build = self.page.build
        if self.place is not None and self.place.link is not None:
            return f"{build.shown(self.place.link)} from {self.place.link}"
        entry = _declared_entry(self.page, self.path)
        if entry is not None and not entry.required and entry.default is not None:
            return f"{entry.kind.show(entry.default, build.prefs)} if left empty"
        return (
            "may stay empty" if entry is not None and entry.optional else f"such as {self.kind.write(self.kind.usual)}"
        )

    def _message(self, entry: Any, value: Any) -> str:
        build, said = self.page.build, []
        fault = build.fault(self.path) or self._drawn[3]
        if fault:
            return f"<div class='br-page br-bad' role='alert'>✗ {escape(fault)}</div>"
        if entry is not None and is_quantity(value):
            said.append(f"read as {echo(value, build.prefs)}")
        if self.place is not None and self.place.link is not None and entry is not None:
            said.append(
                f"here only: {self.place.link} says {build.shown(self.place.link)}; empty the box to follow it again"
            )
        if value is not None and not isinstance(value, Unreadable):
            said += self.kind.remarks(value, build.prefs)
        if self.path in build.tried():
            said.append("not recorded yet")
        if self.full and self.kind.find:
            said.append(f"how to find it: {self.kind.find}")
        if entry is None and self.place is not None and self.place.required:
            said.insert(0, "○ still open")
        return f"<div class='br-page br-quiet' role='status'>{escape('; '.join(said))}</div>" if said else ""


def _declared_entry(page: Page, path: str) -> Entry | None:
    cell = split_cell(path)
    place = page.build.graph.places.get(cell.path)
    if place is None:
        return None
    if cell.column and isinstance(place.kind, Rows):
        return declared(place.kind.row).inputs.get(cell.column)
    return Entry(place.name, place.kind, place.default, place.optional)


class FirstLook(View):
    """The stage at a glance: a sentence, the drawing, at most six entries, the count of checks."""

    def __init__(self, page: Page) -> None:
        self.sentence = W.HTML(tooltip="")
        self.picture = W.HTML(tooltip="")
        self.boxes: list[EntryBox | TableBox] = []
        for short in page.stage.first_look:
            own = f"{page.stage.key}.{short}"
            place = page.build.graph.places[own if own in page.build.graph.places else short]
            if isinstance(place.kind, Rows):
                self.boxes.append(TableBox(page, place))
            else:
                self.boxes.append(EntryBox(page, place.path, place.kind, place, full=False))
        entries = W.VBox([b.widget for b in self.boxes], layout=W.Layout(flex="1 1 380px", min_width="260px"))
        picture = W.Box([self.picture], layout=W.Layout(flex="2 1 420px", min_width="260px"))
        top = W.Layout(display="flex", flex_flow="row wrap", align_items="flex-start", width="100%")
        super().__init__(page, [W.HTML(STYLE, tooltip=""), self.sentence, W.Box([entries, picture], layout=top)])

    def refresh(self) -> None:
        said = (
            f"<div class='br-page' role='status'>{self._trouble()}<p class='br-sentence'>{escape(self._said())}</p>"
            f"<p>{escape(count_of(self.page))}</p></div>"
        )
        self.set(self.sentence, said)
        self.set(self.picture, f"<div class='br-page br-drawing' tabindex='0' role='group' aria-label='drawing'>{drawing_of(self.page, 'drawing')}</div>")

    def _said(self) -> str:
        return sentence_of_stage(self.page)

    def rows(self) -> list[tuple[str, str, str]]:
        """Meaning, value and how known of the entries asked first."""
        build = self.page.build
        return [
            (b.place.kind.meaning, build.shown(b.place.path), build.basis(b.place.path) or "")
            for b in self.boxes
            if b.place is not None
        ]

    def plain(self) -> str:
        return "\n".join(
            [self._said(), count_of(self.page), "", plain_table(("entry", "value", "how known"), self.rows())]
        )

    def static_html(self) -> str:
        table = html_table(("entry", "value", "how known"), self.rows())
        return f"<p>{escape(self._said())}</p><p>{escape(count_of(self.page))}</p>{table}"


class FullForm(View):
    """Every entry of the stage, folded by the calculator it belongs to; tables row by row.

    A fold is filled when it is first opened: a stage has hundreds of boxes, and
    most readers open two or three folds.
    """

    def __init__(self, page: Page) -> None:
        self.groups: list[tuple[str, str]] = list(_groups(page))
        self.fold = _LazyFold([(title, partial(self._group, node)) for title, node in self.groups], page)
        super().__init__(page, [self.fold.widget])

    def _group(self, node: str) -> Any:
        page = self.page
        name = node.partition(".")[2]
        said = {**page.stage.runs, **page.stage.looks}[name].declaration.summary if name else page.stage.settles
        inside: list[Any] = [W.HTML(f"<div class='br-page'><p>{escape(said)}</p></div>", tooltip="")]
        for place in page.build.graph.places.values():
            if place.node == node and isinstance(place.kind, Rows):
                inside.append(TableBox(page, place).widget)
            elif place.node == node:
                inside.append(EntryBox(page, place.path, place.kind, place, full=True).widget)
        return W.VBox(inside)

    def open_all(self) -> None:
        """Fill every fold, tables and rows included."""
        self.fold.open_all()
        for view in list(self.page.views):
            if isinstance(view, TableBox):
                view.fold.open_all()

    def refresh(self) -> None:
        """Boxes follow the build by themselves."""

    def rows(self) -> list[tuple[str, str, str, str]]:
        """Group, meaning, value in force and how known of every entry, without those that follow another."""
        build = self.page.build
        titles = {node: title for title, node in self.groups}
        return [
            (titles[p.node], p.kind.meaning, build.shown(p.path), build.basis(p.path) or "")
            for p in build.graph.places.values()
            if p.stage == self.page.stage.key and (p.link is None or p.path in build.now.entries)
        ]

    def plain(self) -> str:
        return plain_table(("of", "entry", "value", "how known"), self.rows())

    def static_html(self) -> str:
        return html_table(("of", "entry", "value", "how known"), self.rows())


class _LazyFold:
    """Folds with titles whose insides are made when they are first opened."""

    def __init__(self, parts: Iterable[tuple[str, Callable[[], Any]]], page: Page) -> None:
        self.page = page
        self.made: dict[str, Any] = {}
        self.widget = W.Accordion(children=[], selected_index=None)
        self.parts: dict[str, Callable[[], Any]] = {}
        self.show(parts)
        self.widget.observe(self._opened, "selected_index")

    def show(self, parts: Iterable[tuple[str, Callable[[], Any]]]) -> None:
        """Have these folds, in this order; those made already stay as they are."""
        self.parts = dict(parts)
        self.made = {title: inside for title, inside in self.made.items() if title in self.parts}
        self.widget.children = [self.made.get(title) or W.VBox() for title in self.parts]
        for place, title in enumerate(self.parts):
            self.widget.set_title(place, title)

    def _opened(self, _: Any) -> None:
        with self.page.lock:
            place = self.widget.selected_index
            if place is not None and place < len(self.parts):
                self.fill(list(self.parts)[place])

    def fill(self, title: str) -> None:
        """Make the inside of one fold, unless that is done."""
        if title not in self.made:
            self.made[title] = self.parts[title]()
            self.widget.children = [
                self.made.get(name, child) for name, child in zip(self.parts, self.widget.children, strict=True)
            ]

    def open_all(self) -> None:
        """Make the inside of every fold."""
        for title in self.parts:
            self.fill(title)


class TableBox:
    """A table of entries: a fold for each row, and one to add a row."""

    def __init__(self, page: Page, place: Place) -> None:
        self.page, self.place = page, place
        self.columns = {n: e for n, e in declared(place.kind.row).inputs.items() if n != "name"}  # type: ignore[attr-defined]
        self.name = W.Text(description="new row", placeholder="its name", style=_SHORT, layout=_NOTE, tooltip="")
        self.add = W.Button(description="Add a row", layout=W.Layout(width="auto"), tooltip="")
        self.add.on_click(lambda _: page.act(self._add))
        self.names = page.build.rows(place.path)
        self.boxes: dict[str, list[EntryBox]] = {}
        self.fold = _LazyFold(self._parts(), page)
        title = W.HTML(
            f"<div class='br-page'><b>{escape(place.kind.meaning)}</b> <span class='br-quiet'>{escape(place.kind.find)}</span></div>",
            tooltip="",
        )
        self.widget = W.VBox([title, self.fold.widget, W.Box([self.name, self.add], layout=_WRAP)])
        page.views.append(self)

    def _parts(self) -> list[tuple[str, Callable[[], Any]]]:
        return [(name, partial(self._row, name)) for name in self.names]

    def refresh(self) -> None:
        """Follow the rows the build has now."""
        names = self.page.build.rows(self.place.path)
        if names == self.names:
            return
        for gone in set(self.names) - set(names):
            boxes = self.boxes.pop(gone, [])
            self.page.boxes = [b for b in self.page.boxes if b not in boxes]
        added = [name for name in names if name not in self.names]
        self.names = names
        self.fold.show(self._parts())
        for name in added:
            self.fold.fill(name)

    def _row(self, name: str) -> Any:
        self.boxes[name] = [
            EntryBox(self.page, cell_path(self.place.path, name, column), entry.kind, None, full=True)
            for column, entry in self.columns.items()
        ]
        remove = W.Button(description=f"Remove {name}", layout=W.Layout(width="auto"), tooltip="")
        remove.on_click(lambda _: self.page.act(lambda: self.page.build.remove_row(self.place.path, name)))
        return W.VBox([*(b.widget for b in self.boxes[name]), remove])

    def _add(self) -> None:
        self.page.build.add_row(self.place.path, self.name.value)
        self.name.value = ""


def _groups(page: Page) -> Iterable[tuple[str, str]]:
    """Title and node of each group of entries, the stage's own first."""
    graph, stage = page.build.graph, page.stage
    if any(p.node == stage.key for p in graph.places.values()):
        yield "In general", stage.key
    for name in (*stage.runs, *stage.looks):
        node = f"{stage.key}.{name}"
        if any(p.node == node for p in graph.places.values()):
            yield title_of(name), node
