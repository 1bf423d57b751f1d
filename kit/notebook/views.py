"""Views of a page: results, checks, drawing, working, hazards, and the box that writes to the record.

Every view is a widget that also has a deterministic text and a plain table, so
that a notebook opened without a kernel still shows the demo build's results
and nbval can compare them.
"""

from __future__ import annotations

import inspect
from collections.abc import Iterator, Sequence
from typing import Any

import ipywidgets as W

from kit.build.changes import Moved, Report
from kit.build.inputs import kind_of, split_cell
from kit.build.places import demo_names, known_builds, new_build, remember
from kit.calculator import InputError
from kit.checks import Check, worst_first
from kit.handed import Hazard, Part, Purchase, Task
from kit.kinds import Asks, Out, Rows, Says
from kit.notebook.page import Page
from kit.notebook.stages import page_of
from kit.notebook.text import (
    MARKS,
    STYLE,
    counts,
    escape,
    html_table,
    limit_of,
    plain_table,
    sentence_of,
    share_of,
    value_of,
)
from kit.sources import SOURCES
from kit.stage import title_of
from kit.stages import STAGES

__all__ = [
    "Behind",
    "BuildsBox",
    "Checks",
    "Drawing",
    "Handed",
    "Hazards",
    "Mistakes",
    "RecordBox",
    "Results",
    "View",
    "already_made",
    "count_of",
    "drawing_of",
    "sentence_of_stage",
]


ALWAYS = ("brief", "sheet")


class View(W.VBox):
    """A part of a page that follows the build and can also be read without a kernel."""

    def __init__(self, page: Page, children: Sequence[Any]) -> None:
        self.page = page
        super().__init__(list(children))
        self.add_class("br-view")
        page.views.append(self)
        self.refresh()

    def refresh(self) -> None:
        """Draw again from the build."""

    def plain(self) -> str:
        """What it shows, as text."""
        return ""

    def static_html(self) -> str:
        """What it shows, as a page without style or script."""
        return f"<pre>{escape(self.plain())}</pre>"

    @staticmethod
    def set(widget: Any, value: str) -> None:
        """Change a widget only when there is something new: each change travels to the browser."""
        if widget.value != value:
            widget.value = value

    def _trouble(self) -> str:
        return f"<div class='br-bad' role='alert'>✗ {escape(self.page.trouble)}</div>" if self.page.trouble else ""

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None, **more: Any) -> Any:
        data = super()._repr_mimebundle_(include=include, exclude=exclude, **more)
        bundle = data[0] if isinstance(data, tuple) else data
        bundle["text/plain"], bundle["text/html"] = self.plain(), self.static_html()
        return data


class TableView(View):
    """A view that is one or more tables: subclasses say `head`, `table` and what stands above."""

    head: Sequence[str] = ()
    numbers: Sequence[int] = ()

    def __init__(self, page: Page) -> None:
        self.out = W.HTML(tooltip="")
        super().__init__(page, [self.out])

    def table(self) -> list[tuple[str, ...]]:
        """The rows, as text."""
        return []

    def above(self) -> str:
        """A line above the table."""
        return ""

    def classes(self) -> list[str]:
        """A class for each row."""
        return []

    def refresh(self) -> None:
        body = html_table(self.head, self.table(), numbers=self.numbers, classes=self.classes())
        above = f"<p>{escape(self.above())}</p>" if self.above() else ""
        self.set(self.out, f"{STYLE}<div class='br-page' role='status'>{self._trouble()}{above}{body}</div>")

    def plain(self) -> str:
        return "\n".join(filter(None, [self.above(), plain_table(self.head, self.table())]))

    def static_html(self) -> str:
        above = f"<p>{escape(self.above())}</p>" if self.above() else ""
        return above + html_table(self.head, self.table())


class Results(TableView):
    """Results by calculator; after a failed working-out the last ones stand struck through."""

    head = ("of", "result", "value")

    def __init__(self, page: Page) -> None:
        self._last: dict[str, list[tuple[str, ...]]] = {}
        self._stale: list[str] = []
        super().__init__(page)

    def table(self) -> list[tuple[str, ...]]:
        rows: list[tuple[str, ...]] = []
        self._stale = []
        build = self.page.build
        for name, running in self.page.stage.runs.items():
            key = f"{self.page.stage.key}.{name}"
            outcome = build.now.outcomes[key]
            title = title_of(name)
            if outcome.works:
                self._last[key] = list(_result_rows(title, outcome.result, running.declaration.outputs, build.prefs))
                if outcome.lacks:
                    rows.append((title, f"○ not all is in yet: {', '.join(outcome.lacks)}", ""))
                    self._stale.append("br-open")
                rows += self._last[key]
                self._stale += [""] * len(self._last[key])
                continue
            rows.append((title, f"○ {_why(outcome)}", ""))
            self._stale.append("br-open")
            rows += self._last.get(key, [])
            self._stale += ["br-stale"] * len(self._last.get(key, []))
        return rows

    def classes(self) -> list[str]:
        return self._stale

    def static_html(self) -> str:
        return html_table(self.head, self.table())


class Checks(TableView):
    """Every check of the stage: verdict in words and shape, result, limit, share used, source, what it rests on."""

    head = ("verdict", "check", "result", "limit", "used", "source and reason")
    numbers = (4,)

    def _checks(self) -> list[tuple[str, Asks, Check]]:
        return sorted(self.page.build.checks(self.page.stage.key), key=lambda one: worst_first(one[2]))

    def above(self) -> str:
        return count_of(self.page)

    def table(self) -> list[tuple[str, ...]]:
        return [check_row(self.page.build, *one) for one in self._checks()]

    def classes(self) -> list[str]:
        return [f"br-{check.verdict.split()[0]}" for _, _, check in self._checks()]


def check_row(build: Any, path: str, asks: Asks, check: Check) -> tuple[str, ...]:
    """One check as a row of texts."""
    said = [asks.source] if asks.source else []
    if check.factor:
        said.append(f"limit {check.factor}" if not check.factor.startswith("limit") else check.factor)
    if check.reason:
        said.append(check.reason)
    if check.passes and (guesses := build.rests_on(path)):
        said.append(f"rests on {len(guesses)} estimate" + ("s" if len(guesses) > 1 else ""))
    # Mark and word stay on one line.
    verdict = f"{MARKS[check.verdict]} {check.verdict}".replace(" ", "\N{NO-BREAK SPACE}").replace("–", "–\N{WORD JOINER}")
    return (
        verdict,
        _label(build, path, asks),
        value_of(check, build.prefs),
        limit_of(check, build.prefs),
        share_of(check),
        "; ".join(said),
    )


def _label(build: Any, path: str, asks: Asks) -> str:
    """What a check asks; where a stage runs its calculator more than once, for which of them."""
    stage, _, rest = path.partition(".")
    runs = build.graph.stages[stage].runs
    name = rest.partition(".")[0]
    several = name in runs and sum(r.calculator is runs[name].calculator for r in runs.values()) > 1
    return f"{title_of(name)}: {asks.label}" if several else asks.label


class Drawing(View):
    """A drawing of the stage that follows the build."""

    def __init__(self, page: Page, name: str) -> None:
        self.drawing_name = name
        self.out = W.HTML(tooltip="")
        super().__init__(page, [self.out])

    def refresh(self) -> None:
        self.set(self.out, f"{STYLE}<div class='br-page br-drawing' tabindex='0' role='group' aria-label='drawing'>{drawing_of(self.page, self.drawing_name)}</div>")

    def plain(self) -> str:
        return f"{self.drawing_name} of stage {self.page.stage.number}, {self.page.stage.title}"

    def static_html(self) -> str:
        return drawing_of(self.page, self.drawing_name)


class Behind(View):
    """Equations, sources and the working with the numbers put in, folded by calculator."""

    def __init__(self, page: Page) -> None:
        self.outs = {name: W.HTML(tooltip="") for name in page.stage.runs}
        fold = W.Accordion(children=list(self.outs.values()), selected_index=None)
        for place, name in enumerate(page.stage.runs):
            fold.set_title(place, title_of(name))
        super().__init__(page, [fold])

    def refresh(self) -> None:
        for name, out in self.outs.items():
            self.set(out, f"{STYLE}<div class='br-page'>{self._working(name)}</div>")

    def _working(self, name: str) -> str:
        running = self.page.stage.runs[name]
        key = f"{self.page.stage.key}.{name}"
        outcome = self.page.build.now.outcomes[key]
        said = inspect.getdoc(running.calculator) or ""
        words = said.split("\n\nInputs:\n")[0].split("\n>>>")[0]
        paragraphs = "".join(f"<p>{escape(p)}</p>" for p in words.split("\n\n") if ">>>" not in p)
        entries = html_table(("put in", "value", "how known", "from"), list(self._inputs(key)))
        results = ""
        if outcome.works:
            rows = [
                row[1:] for row in _result_rows("", outcome.result, running.declaration.outputs, self.page.build.prefs)
            ]
            results = html_table(("worked out", "value"), rows)
            results += "".join(f"<p class='br-note'>{escape(note)}</p>" for note in outcome.result.notes)
        sources = "".join(
            f"<li>{escape(key)}: {escape(SOURCES[key].title)}{escape('; ' + SOURCES[key].note if SOURCES[key].note else '')}</li>"
            for key in running.declaration.sources
        )
        return f"{paragraphs}{entries}{results}<p>Sources</p><ul>{sources}</ul>"

    def _inputs(self, key: str) -> Iterator[tuple[str, ...]]:
        build = self.page.build
        for path in build.graph.nodes[key].places.values():
            place = build.graph.places[path]
            entered = build.now.entries.get(path)
            origin = "entered" if entered else place.link or ("if left empty" if not place.required else "open")
            source = f" ({entered.source})" if entered and entered.source else ""
            yield place.kind.meaning, build.shown(path), build.basis(path) or "", origin + source

    def plain(self) -> str:
        return "\n".join(
            f"{r.declaration.summary} Sources: {', '.join(r.declaration.sources)}"
            for r in self.page.stage.runs.values()
        )


class Mistakes(TableView):
    """Mistakes that are often made."""

    head = ("common mistakes",)

    def table(self) -> list[tuple[str, ...]]:
        return [(words,) for words in self.page.stage.mistakes]


class Hazards(TableView):
    """Hazards at their step."""

    head = ("at", "hazard and what to do", "source")

    def table(self) -> list[tuple[str, ...]]:
        return [(h.at, h.text, h.cites) for _, h in self.page.build.handed(Hazard, self.page.stage.key)]


class Handed(TableView):
    """What the stage hands on: parts, purchases, tasks."""

    head = ("hands on", "name", "amount", "where, size or wait", "cost")

    def table(self) -> list[tuple[str, ...]]:
        return list(handed_rows(self.page.build, self.page.stage.key))


def handed_rows(build: Any, stage: str | None = None) -> Iterator[tuple[str, ...]]:
    """Parts, purchases and tasks as rows of texts."""
    prefs = build.prefs
    mass, metre, money = Out("kg", ""), Out("m", "", resolution=0.001), Out("money", "", rounding="up")
    for _, p in build.handed(Part, stage):
        where = ", ".join(f"{axis} {metre.show(getattr(p, axis), prefs)}" for axis in "xyz")
        wet = "" if p.wet_mass is None else f" (wet {mass.show(p.wet_mass, prefs)})"
        yield "part", p.name, mass.show(p.mass, prefs) + wet, where, ""
    for _, b in build.handed(Purchase, stage):
        packs = Out("1", "").show(b.packs, prefs)
        yield "to buy", b.name, f"{packs} x {Out('*', '').show(b.pack, prefs)}", b.size, money.show(b.cost, prefs)
    for _, t in build.handed(Task, stage):
        wait = f"then wait {Out('d', '').show(t.wait, prefs)}" if t.wait.magnitude else ""
        yield "to do", t.name, Out("h", "").show(t.mean, prefs), wait, ""


class RecordBox(View):
    """What is being tried, what it moves, and the buttons that write it down or put it back."""

    def __init__(self, page: Page) -> None:
        self.note = W.Text(
            description="why",
            placeholder="a few words for the change log",
            layout=W.Layout(width="auto", flex="1 1 300px"),
            style={"description_width": "4em"},
            tooltip="",
        )
        self.write = W.Button(description="Write to the record", layout=W.Layout(width="auto"), tooltip="")
        self.again = W.Button(description="Read the record again", layout=W.Layout(width="auto"), tooltip="")
        self.again.on_click(lambda _: page.act(lambda: None))
        self.back = W.Button(description="Put everything back", layout=W.Layout(width="auto"), tooltip="")
        self.write.on_click(lambda _: self._write_now())
        self.back.on_click(lambda _: page.act(page.build.put_back))
        self.out = W.HTML(tooltip="")
        self.said = ""
        buttons = W.Box(
            [self.note, self.write, self.back, self.again], layout=W.Layout(flex_flow="row wrap", width="100%")
        )
        super().__init__(page, [self.out, buttons])

    def _write_now(self) -> None:
        self.said = ""
        self.page.act(self._write)

    def _write(self) -> None:
        build = self.page.build
        if not build.is_tried:
            self.said = "Nothing is being tried, so nothing was written."
            return
        saved = build.commit(why=self.note.value)
        self.note.value = ""
        self.said = f"Written to {build.record.file.name}, revision {build.content.revision}."
        if saved.conflicts:
            self.said += " Not written, because somebody else changed them meanwhile: " + "; ".join(
                map(str, saved.conflicts)
            )

    def refresh(self) -> None:
        said = f"<p>{escape(self.said)}</p>" if self.said else ""
        said += f"<p><b>{escape(already)}</b></p>" if (already := already_made(self.page)) else ""
        tables = "".join(
            f"<p><b>{escape(title)}</b></p>" + html_table(head, rows)
            for title, head, rows in change_tables(self.page)
            if rows
        )
        self.set(
            self.out,
            f"{STYLE}<div class='br-page' role='status'>{self._trouble()}<p>{escape(self._state())}</p>{said}{tables}</div>",
        )

    def _state(self) -> str:
        build = self.page.build
        copied = " It is a demo: the first change is written to a copy of your own." if build.copy_to else ""
        where = f"{build.name}, revision {build.content.revision}."
        unknown = list(build.unknown())
        strange = f" Kept but not understood: {', '.join(unknown)}." if unknown else ""
        return where + (" Nothing is being tried." if not build.is_tried else " Not recorded yet:") + copied + strange

    def plain(self) -> str:
        parts = [self._state(), *filter(None, [already_made(self.page)])]
        for title, head, rows in change_tables(self.page):
            if rows:
                parts += [title, plain_table(head, rows)]
        return "\n".join(parts)

    def static_html(self) -> str:
        return f"<p>{escape(self._state())}</p>" + "".join(
            f"<p>{escape(t)}</p>" + html_table(h, rows) for t, h, rows in change_tables(self.page) if rows
        )


def already_made(page: Page) -> str:
    """What a change touches that is bought, cut or fitted already, in words; "" when all of it is still on paper."""
    build = page.build
    if not build.is_tried:
        return ""
    report = build.report()
    touched = [m.path for m in (*report.parts, *report.purchases, *report.tasks)]
    made = [f"{name} ({state})" for name in touched if (state := build.state_of(name)) != "planned"]
    return f"This touches what is no longer on paper only: {', '.join(dict.fromkeys(made))}." if made else ""


def change_tables(page: Page) -> Iterator[tuple[str, tuple[str, ...], list[tuple[str, ...]]]]:
    """What is tried and what it does, as titled tables."""
    build = page.build
    tried: list[tuple[str, ...]] = [
        (
            _meaning_at(build, path),
            build.content.entries[path].value if path in build.content.entries else "not entered",
            entry.value if entry is not None else "taken out",
        )
        for path, entry in build.tried().items()
    ]
    yield "You are trying", ("entry", "recorded", "tried"), tried
    report: Report = build.report() if build.is_tried else Report()
    yield (
        "Checks that turn",
        ("check", "was", "is"),
        [(t.label, f"{MARKS[t.old]} {t.old}", f"{MARKS[t.new]} {t.new}") for t in report.turned],
    )
    yield (
        "Results that move",
        ("result", "was", "is", "by"),
        [(f"{m.meaning} ({m.path.split('.')[0]})", m.old, m.new, _by(m)) for m in report.moved],
    )
    yield (
        "Parts, purchases and tasks that change",
        ("what", "was", "is", "state"),
        [(m.path, m.old, m.new, build.state_of(m.path)) for m in (*report.parts, *report.purchases, *report.tasks)],
    )


def _meaning_at(build: Any, path: str) -> str:
    """What an entry or cell is, with its path so that it can be found in the record."""
    kind, row = kind_of(build.graph, path), split_cell(path).row
    return f"{f'{row}: ' if row else ''}{kind.meaning} ({path})" if kind is not None else path


def _by(moved: Moved) -> str:
    return f"{moved.share:+.1%}" if abs(moved.share) < 10 else ""


class BuildsBox(View):
    """Which build is open, how to open another, a demo or a blank one, and which stages the build has."""

    def __init__(self, page: Page) -> None:
        self.pick = W.Dropdown(
            options=self._names(), description="open", style={"description_width": "6em"}, tooltip=""
        )
        self.opener = W.Button(description="Open it", layout=W.Layout(width="auto"), tooltip="")
        self.new_name = W.Text(
            description="new build", placeholder="a name for it", style={"description_width": "6em"}, tooltip=""
        )
        self.blank_button = W.Button(description="Begin from blank", layout=W.Layout(width="auto"), tooltip="")
        self.opener.on_click(lambda _: page.act(self._open))
        self.blank_button.on_click(lambda _: page.act(self._blank))
        self.out = W.HTML(tooltip="")
        self.said = ""
        # The brief and the build sheet hold every build together; the rest is there if the build has it.
        self.boxes = {
            stage.key: W.Checkbox(
                value=stage.key in page.build.graph.stages, description=f"{stage.number} {stage.title}", indent=False, tooltip="",
                layout=W.Layout(width="auto"),
            )
            for stage in STAGES
            if stage.key not in ALWAYS
        }
        self.keep = W.Button(description="Keep these stages", layout=W.Layout(width="auto"), tooltip="")
        self.keep.on_click(lambda _: page.act(self._keep))
        wrap = W.Layout(flex_flow="row wrap")
        super().__init__(
            page,
            [
                self.out,
                W.Box([self.pick, self.opener], layout=wrap),
                W.Box([self.new_name, self.blank_button], layout=wrap),
                W.Box([*self.boxes.values(), self.keep], layout=wrap),
            ],
        )

    def _names(self) -> list[str]:
        return [*(f"demo: {name}" for name in demo_names()), *(file.stem for file in known_builds())]

    def _keep(self) -> None:
        self.page.build.keep_stages([*ALWAYS, *(key for key, box in self.boxes.items() if box.value)])
        self.said = "These stages are kept. Run this notebook again from the top; the others follow when they are run."

    def _open(self) -> None:
        remember(self.pick.value)
        self.said = (
            f"{self.pick.value} is open now. Run this notebook again from the top; the others follow when they are run."
        )

    def _blank(self) -> None:
        file = new_build(self.new_name.value)
        remember(file.stem)
        self.pick.options = self._names()
        self.new_name.value = ""
        self.said = f"{file.stem} is new and open. Run this notebook again from the top."

    def refresh(self) -> None:
        self.set(
            self.out,
            f"<div class='br-page' role='status'>{self._trouble()}<p>{escape(self.plain())}</p><p>{escape(self.said)}</p></div>",
        )

    def plain(self) -> str:
        return f"The build that is open: {self.page.build.name}."


def count_of(page: Page) -> str:
    """The count of every verdict of the stage."""
    return counts(page.build.count(page.stage.key))


def sentence_of_stage(page: Page) -> str:
    """One sentence from the stage's results, or what is still open."""
    module = page_of(page.stage.key)
    try:
        return str(module.sentence(page.build)) if module is not None else page.stage.settles
    except Exception as error:
        return f"Not worked out yet: {sentence_of(error)}"


def drawing_of(page: Page, name: str) -> str:
    """A drawing as SVG, or a sentence that says why there is none."""
    module = page_of(page.stage.key)
    drawings = getattr(module, "DRAWINGS", {})
    if name not in drawings:
        return "<p>There is no drawing of this stage yet.</p>"
    try:
        return str(drawings[name](page.build))
    except Exception as error:
        return f"<p class='br-note'>No drawing yet: {escape(sentence_of(error))}</p>"


def _result_rows(title: str, result: Any, outputs: Any, prefs: Any) -> Iterator[tuple[str, ...]]:
    # What curves run over is as much a curve as they are: it belongs in a chart, not in a table.
    axes = {out.over for out in outputs.values() if isinstance(out, Out)}
    for name, out in outputs.items():
        value = getattr(result, name)
        if isinstance(out, Out) and not out.over and name not in axes:
            yield title, out.meaning, out.show(value, prefs)
        elif isinstance(out, Says):
            yield title, out.meaning, str(value)
        elif isinstance(out, Rows):
            yield title, out.meaning, out.show(value, prefs)


def _why(outcome: Any) -> str:
    if isinstance(outcome.fault, InputError):
        return sentence_of(outcome.fault)
    return f"waits for {', '.join(outcome.waits[:4])}" + (" and more" if len(outcome.waits) > 4 else "")
