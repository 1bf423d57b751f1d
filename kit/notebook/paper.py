"""Paper: one shop card a stage, and the build sheet, as pages that print without any code on them.

Every sheet carries the build, the revision it is valid for, the date of that
revision and the page; an old print cannot know that it is old, so it says
"compare before cutting".
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import ipywidgets as W

from kit.build.build import Build
from kit.build.inputs import kind_of
from kit.build.places import builds_folder
from kit.checks import worst_first
from kit.handed import Hazard, Purchase, Task
from kit.kinds import Out
from kit.notebook.page import Page
from kit.notebook.stages import page_of
from kit.notebook.text import STYLE, counts, escape, html_table, plain_table
from kit.notebook.views import View, check_row

__all__ = ["BuildSheet", "Card", "ShopCard", "build_sheet", "buy_csv", "buy_rows", "sheet_page", "write_page"]

Table = tuple[str, Sequence[str], Sequence[Sequence[str]]]

PRINT = """<style>
@page{size:A4;margin:14mm}
body{font:11pt/1.35 "Liberation Sans",Arial,Helvetica,sans-serif;color:#000;background:#fff;max-width:182mm;margin:8mm auto}
h1{font-size:17pt;margin:0 0 2mm}h2{font-size:12.5pt;margin:5mm 0 1.5mm;break-after:avoid}
table{border-collapse:collapse;width:100%;margin:0 0 2mm}th,td{border-bottom:.3mm solid #888;padding:.8mm 2mm .8mm 0;text-align:left;vertical-align:top}
th{border-bottom:.5mm solid #000}tr{break-inside:avoid}td.n{text-align:right}
.head{display:flex;justify-content:space-between;gap:6mm;border-bottom:.6mm solid #000;padding-bottom:1mm;margin-bottom:3mm;font-size:9.5pt}
.blank{display:inline-block;min-width:34mm;border-bottom:.3mm solid #000}svg{max-width:100%;height:auto;color:#000}
h2+table,.sheet{break-inside:avoid}.valid{font-weight:bold}.small{font-size:9pt}ol{margin:1mm 0;padding-left:6mm}
@media print{body{margin:0 auto}}
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
    """A whole page that prints on A4."""
    stamp = f"{_header(build, title)}<h1>{escape(title)}</h1>"
    foot = (
        f"<p class='small'>Printed {date.today().isoformat()}; record checksum {build.content.checksum[:12]}. "
        "Worked out, not certified: local codes and licensed trades decide.</p>"
    )
    return (
        f"<!doctype html><html lang='en'><head><meta charset='utf-8'><title>{escape(title)}</title>{PRINT}</head>"
        f"<body>{stamp}{body}{foot}</body></html>"
    )


def write_page(build: Build, name: str, title: str, body: str) -> Path:
    """Write a page into the reader's folder of builds, named after the record; returns the file."""
    folder = builds_folder()
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / f"{build.record.file.stem}_{name}.html"
    file.write_text(sheet_page(build, title, body), encoding="utf-8")
    return file


def buy_rows(build: Build) -> list[tuple[str, ...]]:
    """The buy list merged over all stages: shop, article, size, packs, pack, needed, left over, price, cost."""
    prefs = build.prefs
    money, any_unit, number = Out("money", "", rounding="up"), Out("*", ""), Out("1", "")
    rows = [
        (
            b.shop,
            b.name,
            b.size,
            number.show(b.packs),
            any_unit.show(b.pack, prefs),
            any_unit.show(b.needed, prefs),
            any_unit.show(b.left_over, prefs),
            money.show(b.price, prefs),
            money.show(b.cost, prefs),
            stage,
        )
        for stage, b in build.handed(Purchase)
    ]
    return sorted(rows, key=lambda row: (row[0], row[1]))


BUY_HEAD = ("shop", "article", "size or grade", "packs", "a pack", "needed", "left over", "price", "cost", "stage")


def buy_csv(build: Build) -> str:
    """The buy list as comma-separated text, for a spreadsheet or a shop."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(BUY_HEAD)
    writer.writerows(_harmless(row) for row in buy_rows(build))
    return out.getvalue()


def _harmless(row: Sequence[str]) -> list[str]:
    """A text that a spreadsheet would take for a formula is set in quotes of its own."""
    return [f"'{cell}" if cell[:1] in "=+-@" and len(cell) > 1 and not cell[1:2].isdigit() else cell for cell in row]


def build_sheet(build: Build) -> str:
    """The build sheet as the inside of a page: checks, buy list, work, cost, hazards, assumptions, open questions."""
    return "".join(f"<h2>{escape(title)}</h2>{body}" for title, body in _sections(build))


def _sections(build: Build) -> Iterator[tuple[str, str]]:
    prefs = build.prefs
    stages = ", ".join(f"{s.number} {s.title}" for s in build.graph.stages.values())
    yield "What this is", f"<p>{escape(build.name)}. {escape(build.content.note)} Stages: {escape(stages)}.</p>"
    module = page_of("raft")
    if module is not None and "raft" in build.graph.stages:
        yield "Drawing", module.DRAWINGS["drawing"](build)
    checks = sorted(build.checks(), key=lambda one: worst_first(one[2]))
    yield (
        f"Checks in order of concern: {counts(build.count())}",
        html_table(
            ("verdict", "check", "result", "limit", "used", "source and reason"),
            [check_row(build, *one) for one in checks],
        ),
    )
    yield "Totals", html_table(("what", "value"), list(total_rows(build)))
    yield f"Buy list ({valid_for(build)})", html_table(BUY_HEAD[:-1], [row[:-1] for row in buy_rows(build)])
    hours, days = Out("h", ""), Out("d", "")
    yield (
        "Work",
        html_table(
            ("stage", "task", "likely", "then wait"),
            [
                (stage, t.name, hours.show(t.mean, prefs), days.show(t.wait, prefs) if t.wait.magnitude else "")
                for stage, t in build.handed(Task)
            ],
        ),
    )
    yield (
        "Hazards",
        html_table(
            ("stage", "at", "hazard and what to do"), [(stage, h.at, h.text) for stage, h in build.handed(Hazard)]
        ),
    )
    yield (
        "Assumptions",
        html_table(("entry", "value", "how known", "give or take", "source or note"), list(assumption_rows(build))),
    )
    yield "Open questions", html_table(("what", "where"), list(open_rows(build)))


def total_rows(build: Build) -> Iterator[tuple[str, str]]:
    """Totals of the build as rows of texts."""
    outcome = build.now.outcomes.get("sheet.all")
    if outcome is None or not outcome.works:
        yield "totals", "not worked out yet"
        return
    for name, out in build.graph.nodes["sheet.all"].outputs.items():
        if isinstance(out, Out):
            yield out.meaning, out.show(getattr(outcome.result, name), build.prefs)


def assumption_rows(build: Build) -> Iterator[tuple[str, ...]]:
    """Every entry that is not measured, weakest basis first."""
    order = ("estimate", "common practice", "handbook", "data sheet", "measured")
    rows = []
    for path, entry in build.now.entries.items():
        kind = kind_of(build.graph, path)
        if kind is not None and build.basis(path) != "measured":
            rows.append(
                (
                    f"{kind.meaning} ({path})",
                    build.shown(path),
                    build.basis(path) or "",
                    entry.give_or_take or "",
                    entry.source or entry.note,
                )
            )
    yield from sorted(rows, key=lambda row: order.index(row[2]) if row[2] in order else 9)


def open_rows(build: Build) -> Iterator[tuple[str, str]]:
    """What nobody has answered yet: entries that are needed, and checks left open."""
    for place in build.graph.places.values():
        if place.required and place.path not in build.now.ready:
            yield place.kind.meaning, place.path
    for path, asks, check in build.checks():
        if check.verdict == "open":
            yield f"{asks.label}: {check.reason}", path
