"""The build sheet: two sheets for everybody, lists for the shop and the bench, and what it all rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import ipywidgets as W

from kit.build.build import Build
from kit.build.places import builds_folder
from kit.checks import Check, worst_first
from kit.handed import Hazard
from kit.kinds import Asks
from kit.notebook.build_lists import (
    ASSUMED_HEAD,
    BUY_HEAD,
    ORDER,
    assumed,
    buy_csv,
    buy_rows,
    buy_total,
    offered_rows,
    one_line,
    open_rows,
    order_rows,
    readable,
    source_rows,
    stage_title,
    total_rows,
    work_rows,
)
from kit.notebook.build_record import doubt_sections, grounds_sections, order_section
from kit.notebook.page import Page
from kit.notebook.paper import valid_for, write_page
from kit.notebook.pdf import write_pdf
from kit.notebook.stages import page_of
from kit.notebook.text import STYLE, counts, escape, html_table, plain_table
from kit.notebook.views import View, check_row

__all__ = ["BuildSheet", "build_sheet"]

Checked = tuple[str, Asks, Check]
# Title, body, and whether it begins a sheet of paper.
Section = tuple[str, str] | tuple[str, str, bool]
CHECK_HEAD = ("verdict", "stage", "check", "result", "limit", "used", "source and reason")
SAMPLES = 10_000
# What keeps a builder from beginning, or is near its limit.
CONCERNS = ("fails", "open", "not covered", "marginal")


class BuildSheet(View):
    """The build sheet, what is short open and the lists folded, and buttons that write it as a page and as a list for buying."""

    def __init__(self, page: Page) -> None:
        self.out = W.HTML(tooltip="")
        self.folded = {"Checks, and lists for the shop and the bench": W.HTML(tooltip=""), "What it rests on": W.HTML(tooltip="")}
        self.fold = W.Accordion(children=list(self.folded.values()), selected_index=None)
        for place, title in enumerate(self.folded):
            self.fold.set_title(place, title)
        self.fold.observe(lambda _: self._opened(), "selected_index")
        self.page_button = W.Button(
            description="Write the build sheet as a page to print", layout=W.Layout(width="auto"), tooltip=""
        )
        self.pdf_button = W.Button(description="Write the build sheet as PDF", layout=W.Layout(width="auto"), tooltip="")
        self.list_button = W.Button(
            description="Write the buy list for a spreadsheet", layout=W.Layout(width="auto"), tooltip=""
        )
        self.page_button.on_click(lambda _: page.act(self._write))
        self.pdf_button.on_click(lambda _: page.act(self._write_pdf))
        self.list_button.on_click(lambda _: page.act(self._write_list))
        self.said = W.HTML(tooltip="")
        buttons = W.Box([self.page_button, self.pdf_button, self.list_button], layout=W.Layout(flex_flow="row wrap"))
        super().__init__(page, [buttons, self.said, self.out, self.fold])

    def _opened(self) -> None:
        with self.page.lock:
            self.refresh()

    def _write(self) -> None:
        build = self.page.build
        file = write_page(build, "build_sheet", f"Build sheet of {build.name}", build_sheet(build, doubt=SAMPLES))
        self._say(file)

    def _write_pdf(self) -> None:
        build = self.page.build
        self._say(write_pdf(build, "build_sheet", f"Build sheet of {build.name}", build_sheet(build, doubt=SAMPLES)))

    def _write_list(self) -> None:
        build = self.page.build
        file = builds_folder() / f"{build.record.file.stem}_buy_list.csv"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(buy_csv(build), encoding="utf-8")
        self._say(file)

    def _say(self, file: Path) -> None:
        self.said.value = (
            f"<div class='br-page' role='status'>Written: {escape(file.name)}, in the folder of your builds.</div>"
        )

    def refresh(self) -> None:
        build = self.page.build
        checks = _worst_first(build)
        self._fill(self.out, _in_short(build, checks))
        # A closed fold is not worked out: the lists are long, and nobody reads them while typing.
        for place, (make, out) in enumerate(zip((_lists, _grounds), self.folded.values(), strict=True)):
            if place == self.fold.selected_index:
                self._fill(out, make(build, checks))

    def _fill(self, out: W.HTML, sections: Iterator[Section]) -> None:
        self.set(out, f"{STYLE}<div class='br-page'>{''.join(_section(*one) for one in sections)}</div>")

    def plain(self) -> str:
        build = self.page.build
        parts = [
            valid_for(build),
            plain_table(("what", "value"), list(total_rows(build))),
            plain_table(BUY_HEAD, buy_rows(build)),
        ]
        return "\n\n".join(parts)

    def static_html(self) -> str:
        return build_sheet(self.page.build)


def build_sheet(build: Build, *, doubt: int = 0) -> str:
    """The build sheet as the inside of a page: two sheets for everybody, then what the builders need.

    With `doubt` the build is worked out on that many samples too, which takes some seconds.
    """
    checks = _worst_first(build)
    more = doubt_sections(build, count=doubt) if doubt else ()
    parts = (*_in_short(build, checks), *_lists(build, checks), *_grounds(build, checks), *more, *grounds_sections(build))
    return "".join(_section(*one) for one in parts)


def _worst_first(build: Build) -> list[Checked]:
    return sorted(build.checks(), key=lambda one: worst_first(one[2]))


def _section(title: str, body: str, fresh: bool = False) -> str:
    return f"<section{' class=fresh' if fresh else ''}><h2>{escape(title)}</h2>{body}</section>"


def _stage(build: Build, key: str) -> str:
    return one_line(stage_title(build, key))


def _in_short(build: Build, checks: Sequence[Checked]) -> Iterator[Section]:
    """Two sheets for people who do not build: what it is; what stands in the way, what it takes, what its limits are."""
    raft = page_of("raft") if "raft" in build.graph.stages else None
    picture = _drawn(build, raft.DRAWINGS["drawing"]) if raft is not None else ""
    says = [(_stage(build, key), _sentence(build, key)) for key in build.graph.stages if key != "sheet"]
    yield "What this is", f"<p>{escape(build.content.note)}</p>{picture}" + _small(html_table(("stage", "in short"), says))
    worry = [one for one in checks if one[2].verdict in CONCERNS]
    none = "<p>Nothing fails, nothing is open, nothing is close to its limit.</p>"
    table = _small(html_table(CHECK_HEAD, _check_rows(build, worry))) if worry else none
    yield f"What stands in the way, or is close to its limit: {counts(build.count())}", table, True
    yield "Totals", _small(html_table(("what", "value"), list(total_rows(build))))
    if raft is not None:
        yield "Limits plate", _drawn(build, raft.DRAWINGS["plate"])
    hazards = [(_stage(build, stage), h.at, h.text) for stage, h in build.handed(Hazard)]
    yield "Hazards", _small(html_table(("stage", "at", "hazard and what to do"), hazards))


def _lists(build: Build, checks: Sequence[Checked]) -> Iterator[Section]:
    """What holds, then what goes to the shop and to the bench; every list says for which revision it is valid."""
    met = [one for one in checks if one[2].verdict == "meets"]
    yield f"Checks that are met: {len(met)}", _small(html_table(CHECK_HEAD, _check_rows(build, met))), True
    bought = _small(html_table(BUY_HEAD, _tight(buy_rows(build), range(3, 10))))
    yield "Buy list", _valid(build) + f"<p>{escape(buy_total(build))}</p>" + bought, True
    if early := order_rows(build):
        yield "Order early", _valid(build) + html_table(("article", "shop", "delivery", "stage"), early)
    for place, (title, body) in enumerate(_bench(build)):
        yield title, _valid(build) + body, place == 0
    work = [(one_line(row[0]), *row[1:]) for row in work_rows(build)]
    yield "Work", _small(html_table(("stage", "task", "likely", "quick to slow", "then wait"), work))
    yield from order_section(build)


def _valid(build: Build) -> str:
    return f"<p class='valid' style='margin:0 0 1mm'>{escape(valid_for(build))}</p>"


def _bench(build: Build) -> Iterator[tuple[str, str]]:
    """The tables of the stages' shop cards: cut lists, mix sheets, places to drill."""
    for key in build.graph.stages:
        make = getattr(page_of(key), "card", None)
        if make is None or key in ("brief", "sheet"):
            continue
        for title, head, rows in make(build).tables:
            if rows:
                yield f"{stage_title(build, key)}: {title[:1].lower()}{title[1:]}", _small(html_table(head, rows))


def _grounds(build: Build, checks: Sequence[Checked]) -> Iterator[Section]:
    """What it all rests on, the weakest first; what nobody has answered; where limits come from."""
    asked = [(one_line(row[0]), *row[1:]) for row in open_rows(build)]
    yield "Open questions", _small(html_table(("stage", "what", "why it is open"), asked)), True
    away = [f"{readable(build, asks.label)} ({stage_title(build, path.partition('.')[0])})"
            for path, asks, check in checks if check.verdict == "does not apply"]
    yield f"Checks that do not apply: {len(away)}", f"<p class='small'>{escape('; '.join(away) or 'none')}.</p>"
    for basis in ORDER:
        if rows := assumed(build, basis):
            lines = [(one_line(row[0]), *row[1:]) for row in rows]
            yield f"Assumptions, {basis}: {len(rows)}", _small(html_table(ASSUMED_HEAD, lines))
    offered = [(one_line(row[0]), *row[1:]) for row in offered_rows(build)]
    yield "Not entered by anybody: taken as the kit offers it", _small(html_table(("stage", "for", "value"), offered))
    yield "Sources of limits and hazards", _small(html_table(("key", "source", "note"), source_rows(build, checks)))


def _check_rows(build: Build, checks: Sequence[Checked]) -> list[tuple[str, ...]]:
    rows = []
    for path, asks, check in checks:
        verdict, label, *rest, why = check_row(build, path, asks, check)
        rows.append((verdict, _stage(build, path.partition(".")[0]), readable(build, label), *rest, readable(build, why)))
    return _tight(rows, range(3, 6))


def _tight(rows: Sequence[tuple[str, ...]], columns: range) -> list[tuple[str, ...]]:
    """Rows whose numbers are not torn from their units."""
    return [tuple(one_line(cell) if place in columns else cell for place, cell in enumerate(row)) for row in rows]


def _small(body: str) -> str:
    return f"<div class='small'>{body}</div>"


def _sentence(build: Build, key: str) -> str:
    make = getattr(page_of(key), "sentence", None)
    try:
        return str(make(build)) if make is not None else build.graph.stages[key].settles
    except Exception as why:
        return f"Not worked out yet: {why}"


def _drawn(build: Build, draw: Callable[[Build], str]) -> str:
    """A drawing, or a sentence that says what it waits for: a sheet is printed on the first day too."""
    try:
        return draw(build)
    except Exception as why:
        return f"<p>No drawing yet: {escape(why)}</p>"
