"""A stage opened in a notebook: one build, one lock, and the views that follow it.

Callbacks of widgets run on other threads and out of order in current
JupyterLab, so nothing here trusts the event: under one lock every box is read
again, what differs is entered into the build, and every view is drawn anew.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

from kit.build.build import Build
from kit.notebook import text
from kit.stage import Stage

__all__ = ["Box", "Page", "Refreshed", "open_stage"]


class Refreshed(Protocol):
    """Anything that is drawn again when the build changes."""

    def refresh(self) -> None: ...


class Box(Protocol):
    """A widget that holds the text of one entry."""

    path: str

    def typed(self) -> str | None:
        """The text in it when it differs from what was last shown, else None."""

    def known_as(self) -> dict[str, str] | None:
        """Basis, give or take and note when they differ from what was last shown, else None."""

    def show(self) -> None:
        """Show what the build holds now."""


class Page:
    """One stage of one build, open in a notebook."""

    def __init__(self, build: Build, stage: Stage) -> None:
        self.build = build
        self.stage = stage
        self.lock = threading.RLock()
        self.boxes: list[Box] = []
        self.views: list[Refreshed] = []
        self.trouble = ""
        self._busy = False

    # -- what a notebook shows, in order ----------------------------------------------------------

    def first_look(self) -> Any:
        """One sentence, the drawing, at most six entries, the count of checks."""
        from kit.notebook.form import FirstLook

        return FirstLook(self)

    def form(self) -> Any:
        """Every entry of the stage, folded by subject."""
        from kit.notebook.form import FullForm

        return FullForm(self)

    def results(self) -> Any:
        """What the stage worked out."""
        from kit.notebook.views import Results

        return Results(self)

    def checks(self) -> Any:
        """The stage's checks, those of concern first."""
        from kit.notebook.views import Checks

        return Checks(self)

    def drawing(self, name: str = "drawing") -> Any:
        """A drawing of the stage, to scale."""
        from kit.notebook.views import Drawing

        return Drawing(self, name)

    def closer(self, name: str) -> Any:
        """A closer look, too slow for every keystroke: worked out now, and again when its button is pressed."""
        from kit.notebook.closer_look import CloserLook

        return CloserLook(self, name)

    def doubt(self, *paths: str, count: int = 10_000) -> Any:
        """Chances of checks, results with their intervals, what they hang on; `paths` picks results, `count` samples."""
        from kit.notebook.doubt_view import DoubtView

        return DoubtView(self, paths, count)

    def alternatives(self, *paths: str) -> Any:
        """Named alternatives beside the present; `paths` picks the results that are compared."""
        from kit.notebook.alternatives_view import AlternativesBox

        return AlternativesBox(self, paths)

    def history(self) -> Any:
        """What was changed, when and why, and the button that tries the way back."""
        from kit.notebook.alternatives_view import HistoryBox

        return HistoryBox(self)

    def as_built(self) -> Any:
        """Planned beside measured, and what measuring settled."""
        from kit.notebook.as_built_view import AsBuiltBox

        return AsBuiltBox(self)

    def states(self) -> Any:
        """How far parts, purchases and tasks are: planned, bought, cut, fitted, weighed or done."""
        from kit.notebook.as_built_view import StatesBox

        return StatesBox(self)

    def table(self, path: str, *columns: str) -> Any:
        """The rows of a result or entry, whole or the columns named, such as `page.table("pour.cups")`."""
        from kit.notebook.rows_table import RowsTable

        return RowsTable(self, path, columns)

    def behind(self) -> Any:
        """Equations, sources and the working with the numbers put in, folded."""
        from kit.notebook.views import Behind

        return Behind(self)

    def mistakes(self) -> Any:
        """Mistakes that are often made at this stage."""
        from kit.notebook.views import Mistakes

        return Mistakes(self)

    def hazards(self) -> Any:
        """What can hurt somebody at this stage, at its step."""
        from kit.notebook.views import Hazards

        return Hazards(self)

    def shop_card(self) -> Any:
        """One sheet of A4 for the bench, with blanks for what is measured."""
        from kit.notebook.paper import ShopCard

        return ShopCard(self)

    def record(self) -> Any:
        """What is being tried, what it moves, and the button that writes it down."""
        from kit.notebook.views import RecordBox

        return RecordBox(self)

    def builds(self) -> Any:
        """Which build is open, and how to open another or begin from blank."""
        from kit.notebook.views import BuildsBox

        return BuildsBox(self)

    def build_sheet(self) -> Any:
        """The whole build on one document, and the buttons that write it as a page and as a list for buying."""
        from kit.notebook.build_sheet import BuildSheet

        return BuildSheet(self)

    def handed(self) -> Any:
        """Parts, purchases and tasks that this stage hands on."""
        from kit.notebook.views import Handed

        return Handed(self)

    # -- keeping up -------------------------------------------------------------------------------

    @contextmanager
    def quiet(self) -> Iterator[None]:
        """Within this block widgets may be set without that being taken for something typed."""
        with self.lock:
            before, self._busy = self._busy, True
            try:
                yield
            finally:
                self._busy = before

    def changed(self, _: Any = None) -> None:
        """Some box changed: read every box, enter what differs, draw everything again."""
        with self.lock:
            if self._busy:
                return
            self._busy = True
            try:
                self.trouble = ""
                self._read_boxes()
                self._draw()
            except Exception as error:
                self.trouble = text.sentence_of(error)
                self._draw_trouble()
            finally:
                self._busy = False

    def _read_boxes(self) -> None:
        for box in self.boxes:
            typed, about = box.typed(), box.known_as()
            if typed is None and about is None:
                continue
            entry = self.build.now.entries.get(box.path)
            words = typed if typed is not None else (entry.value if entry else "")
            if not words.strip():
                self.build.leave_out(box.path)
            else:
                self.build.enter(box.path, words.strip(), **(about or {}))

    def act(self, action: Callable[[], None]) -> None:
        """Do something to the build under the lock, then draw everything again; a fault becomes a sentence."""
        with self.lock:
            self.trouble = ""
            self._busy = True
            try:
                action()
                self._draw()
            except Exception as error:
                self.trouble = text.sentence_of(error)
                self._draw_trouble()
            finally:
                self._busy = False

    def _draw(self) -> None:
        self.build.follow()
        for box in self.boxes:
            box.show()
        for view in self.views:
            view.refresh()

    def _draw_trouble(self) -> None:
        for view in self.views:
            try:
                view.refresh()
            except Exception as error:
                self.trouble = self.trouble or text.sentence_of(error)


def open_stage(key: str, build: str | Path | Build | None = None) -> Page:
    """Open a stage of the build last opened, of a demo by its name, or of the record at a path.

    Raises KeyError when the build has no such stage and RecordError when the
    record cannot be read, each with one sentence.
    """
    opened = build if isinstance(build, Build) else Build.open(build)
    if key not in opened.graph.stages:
        there = ", ".join(opened.graph.stages)
        raise KeyError(f"this build has no stage '{key}'; it has {there}")
    return Page(opened, opened.graph.stages[key])
