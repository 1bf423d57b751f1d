"""Paper: one shop card a stage, and the build sheet, as pages that print without any code on them.

Every sheet carries the build, the revision it is valid for, the date of that
revision and the page; an old print cannot know that it is old, so it says
"compare before cutting".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
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
from kit.notebook.page import Page
from kit.notebook.stages import page_of
from kit.notebook.text import STYLE, counts, escape, html_table, plain_table
from kit.notebook.views import View, check_row

__all__ = ["BuildSheet", "Card", "ShopCard", "build_sheet", "card_body", "sheet_page", "valid_for", "write_page"]

Table = tuple[str, Sequence[str], Sequence[Sequence[str]]]

PRINT = """<style>
@page{size:A4;margin:14mm 14mm 16mm}
body{font:11pt/1.35 "Liberation Sans",Arial,Helvetica,sans-serif;color:#000;background:#fff;max-width:182mm;margin:8mm auto}
h1{font-size:17pt;margin:0 0 2mm}h2{font-size:12.5pt;margin:5mm 0 1.5mm;break-after:avoid}
table{border-collapse:collapse;width:100%;margin:0 0 2mm}th,td{border-bottom:.3mm solid #888;padding:.8mm 2mm .8mm 0;text-align:left;vertical-align:top}
th{border-bottom:.5mm solid #000}tr{break-inside:avoid}td.n{text-align:right}
.head{display:flex;justify-content:space-between;gap:6mm;border-bottom:.6mm solid #000;padding-bottom:1mm;margin-bottom:3mm;font-size:9.5pt}
.blank{display:inline-block;min-width:34mm;border-bottom:.3mm solid #000}svg{max-width:100%;height:auto;color:#000}
h2+table,.sheet{break-inside:avoid}.valid{font-weight:bold}.small{font-size:8.5pt}ol{margin:1mm 0;padding-left:6mm}
.small td,.small th{padding:.4mm 2mm .4mm 0}td.n{white-space:nowrap}
@media print{body{margin:0 auto}.fresh{break-before:page}}
@media screen and (max-width:600px){body{margin:4mm}}
</style>"""


@dataclass(frozen=True, slots=True)
class Card:
    """One shop card: steps in order, tables of numbers, and blanks for what is measured beside what is planned.

    `sheets` are titled drawings that are never cut by the end of a page, such as a template at true size.
    """

    steps: Sequence[str] = ()
    tables: Sequence[Table] = ()
    blanks: Sequence[tuple[str, str]] = ()
    drawing: str = ""
    sheets: Sequence[tuple[str, str]] = ()


class ShopCard(View):
    """The stage's card, and a button that writes it as a page to print."""

    def __init__(self, page: Page) -> None:
        self.out = W.HTML(tooltip="")
        self.button = W.Button(
            description="Write the card as a page to print", layout=W.Layout(width="auto"), tooltip=""
        )
        self.button.on_click(lambda _: page.act(self._write))
        self.said = W.HTML(tooltip="")
        super().__init__(page, [self.out, self.button, self.said])

    def _card(self) -> Card:
        module = page_of(self.page.stage.key)
        make = getattr(module, "card", None)
        return make(self.page.build) if make is not None else Card()

    def _body(self) -> str:
        return card_body(self._card())

    def _write(self) -> None:
        stage = self.page.stage
        title = f"{stage.number} {stage.title}: shop card"
        file = write_page(self.page.build, f"{stage.number}_{stage.key}_card", title, self._body())
        self.said.value = f"<div class='br-page' role='status'>Written: {escape(file.name)}, in the folder of your builds. Open it and print at 100 %.</div>"

    def refresh(self) -> None:
        try:
            body = self._body()
        except Exception as error:
            body = f"<p>The card is not ready: {escape(error)}</p>"
        self.set(self.out, f"{STYLE}<div class='br-page'>{_header(self.page.build, self.page.stage.title)}{body}</div>")

    def plain(self) -> str:
        card = self._card()
        said = [f"shop card of stage {self.page.stage.number}, {valid_for(self.page.build)}"]
        said += [f"{i}. {step}" for i, step in enumerate(card.steps, start=1)]
        said += [f"{title}\n{plain_table(head, rows)}" for title, head, rows in card.tables]
        if card.blanks:
            said.append(plain_table(("to measure", "planned", "measured"), [(a, b, "____") for a, b in card.blanks]))
        return "\n".join(said)

    def static_html(self) -> str:
        return f"<p>{escape(valid_for(self.page.build))}</p>" + card_body(self._card(), drawing=False)


class BuildSheet(View):
    """The build sheet, and buttons that write it as a page to print and as a list for buying."""

    def __init__(self, page: Page) -> None:
        self.out = W.HTML(tooltip="")
        self.page_button = W.Button(
            description="Write the build sheet as a page to print", layout=W.Layout(width="auto"), tooltip=""
        )
        self.list_button = W.Button(
            description="Write the buy list for a spreadsheet", layout=W.Layout(width="auto"), tooltip=""
        )
        self.page_button.on_click(lambda _: page.act(self._write))
        self.list_button.on_click(lambda _: page.act(self._write_list))
        self.said = W.HTML(tooltip="")
        super().__init__(
            page,
            [W.Box([self.page_button, self.list_button], layout=W.Layout(flex_flow="row wrap")), self.said, self.out],
        )

    def _write(self) -> None:
        build = self.page.build
        file = write_page(build, "build_sheet", f"Build sheet of {build.name}", build_sheet(build))
        self._say(file)

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
        self.set(self.out, f"{STYLE}<div class='br-page'>{build_sheet(self.page.build)}</div>")

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


def card_body(card: Card, *, drawing: bool = True) -> str:
    """A card as the inside of a page."""
    steps = f"<ol>{''.join(f'<li>{escape(s)}</li>' for s in card.steps)}</ol>" if card.steps else ""
    parts = [_beside(steps, card.drawing) if drawing and card.drawing else steps]
    parts += [f"<h2>{escape(title)}</h2>{html_table(head, rows)}" for title, head, rows in card.tables]
    if card.blanks:
        rows = "".join(
            f"<tr><td>{escape(what)}</td><td>{escape(planned)}</td><td><span class='blank'>&nbsp;</span></td></tr>"
            for what, planned in card.blanks
        )
        parts.append(
            f"<h2>Measure and write down</h2><table><thead><tr><th>what</th><th>planned</th><th>measured</th></tr></thead><tbody>{rows}</tbody></table>"
        )
    if drawing:
        parts += [
            f"<section class='sheet'><h2>{escape(title)}</h2>{picture}</section>" for title, picture in card.sheets
        ]
    return "".join(parts)


def _beside(steps: str, drawing: str) -> str:
    """A drawing stands beside the steps where both find room, else below them."""
    return (
        f"<div style='display:flex;flex-wrap:wrap;gap:0 5mm'><div style='flex:1 1 60mm'>{steps}</div>"
        f"<div style='flex:0 1 auto;max-width:100%'>{drawing}</div></div>"
    )


def valid_for(build: Build) -> str:
    """What a print is valid for."""
    trying = " with entries that are not recorded" if build.is_tried else ""
    return f"{build.name}, valid for revision {build.content.revision}{trying}; compare before cutting"


def _header(build: Build, title: str) -> str:
    return f"<div class='head' style='display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 6mm'><span>{escape(build.name)}: {escape(title)}</span><span class='valid'>{escape(valid_for(build))}</span></div>"


def sheet_page(build: Build, title: str, body: str) -> str:
    """A whole page that prints on A4, with the build, the revision and the number of the sheet at the foot of each."""
    stamp = f"{_header(build, title)}<h1>{escape(title)}</h1>"
    foot = (
        f"<p class='small'>Printed {date.today().isoformat()}; record checksum {build.content.checksum[:12]}. "
        "Worked out, not certified: local codes and licensed trades decide.</p>"
    )
    return (
        f"<!doctype html><html lang='en'><head><meta charset='utf-8'><title>{escape(title)}</title>{PRINT}{_feet(build)}</head>"
        f"<body>{stamp}{body}{foot}</body></html>"
    )


def _feet(build: Build) -> str:
    """The foot of every printed sheet; letters that a style could take for its own end are left out."""
    words = "".join(c for c in valid_for(build) if c.isalnum() or c in " ,;.:-()")
    small = "font:8.5pt 'Liberation Sans',Arial,sans-serif"
    return (
        f'<style>@page{{@bottom-left{{content:"{words}";{small}}}@bottom-right{{content:"sheet " counter(page) " of " '
        f"counter(pages);{small}}}}}</style>"
    )


def write_page(build: Build, name: str, title: str, body: str) -> Path:
    """Write a page into the reader's folder of builds, named after the record; returns the file."""
    folder = builds_folder()
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / f"{build.record.file.stem}_{name}.html"
    file.write_text(sheet_page(build, title, body), encoding="utf-8")
    return file


CHECK_HEAD = ("verdict", "stage", "check", "result", "limit", "used", "source and reason")
# What keeps a builder from beginning, or is near its limit.
CONCERNS = ("fails", "open", "not covered", "marginal")


def build_sheet(build: Build) -> str:
    """The build sheet as the inside of a page: two sheets for everybody, then what the builders need."""
    return "".join(_section(*one) for one in _sections(build))


def _section(title: str, body: str, fresh: bool = False) -> str:
    return f"<section{' class=fresh' if fresh else ''}><h2>{escape(title)}</h2>{body}</section>"


def _sections(build: Build) -> Iterator[tuple[str, str] | tuple[str, str, bool]]:
    checks = sorted(build.checks(), key=lambda one: worst_first(one[2]))
    yield from _in_short(build, checks)
    hazards = [(_stage(build, stage), h.at, h.text) for stage, h in build.handed(Hazard)]
    yield "Hazards", _small(html_table(("stage", "at", "hazard and what to do"), hazards))
    met = [one for one in checks if one[2].verdict == "meets"]
    yield f"Checks that are met: {len(met)}", _small(html_table(CHECK_HEAD, _check_rows(build, met))), True
    yield from _lists(build)
    yield from _grounds(build, checks)


def _stage(build: Build, key: str) -> str:
    return one_line(stage_title(build, key))


def _in_short(build: Build, checks: Sequence[tuple[str, Asks, Check]]) -> Iterator[tuple[str, str] | tuple[str, str, bool]]:
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


def _lists(build: Build) -> Iterator[tuple[str, str] | tuple[str, str, bool]]:
    """What goes to the shop and to the bench; every list says for which revision it is valid."""
    bought = _small(html_table(BUY_HEAD, _tight(buy_rows(build), range(3, 10))))
    yield "Buy list", _valid(build) + f"<p>{escape(buy_total(build))}</p>" + bought, True
    if early := order_rows(build):
        yield "Order early", _valid(build) + html_table(("article", "shop", "delivery", "stage"), early)
    for place, (title, body) in enumerate(_bench(build)):
        yield title, _valid(build) + body, place == 0
    work = [(one_line(row[0]), *row[1:]) for row in work_rows(build)]
    yield "Work", _small(html_table(("stage", "task", "likely", "quick to slow", "then wait"), work))


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


def _grounds(build: Build, checks: Sequence[tuple[str, Asks, Check]]) -> Iterator[tuple[str, str] | tuple[str, str, bool]]:
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


def _check_rows(build: Build, checks: Sequence[tuple[str, Asks, Check]]) -> list[tuple[str, ...]]:
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
