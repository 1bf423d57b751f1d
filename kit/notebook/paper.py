"""Paper: one shop card a stage, and whole pages that print without any code on them.

Every sheet carries the build, the revision it is valid for, the date of that
revision and the page; an old print cannot know that it is old, so it says
"compare before cutting".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import ipywidgets as W

from kit.build.build import Build
from kit.build.places import builds_folder
from kit.notebook.page import Page
from kit.notebook.stages import page_of
from kit.notebook.text import STYLE, escape, html_table, plain_table
from kit.notebook.views import View

__all__ = ["Card", "ShopCard", "Table", "card_body", "printed_foot", "sheet_page", "valid_for", "write_page"]

Table = tuple[str, Sequence[str], Sequence[Sequence[str]]]

PRINT = """<style>
@page{margin:14mm 14mm 16mm}
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
            description="Write the card as a page to print", layout=W.Layout(width="auto", align_self="flex-start"), tooltip=""
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


def printed_foot(build: Build) -> str:
    """What stands at the end of everything that is printed."""
    return (
        f"Printed {date.today().isoformat()}; record checksum {build.content.checksum[:12]}. "
        "Worked out, not certified: local codes and licensed trades decide."
    )


def sheet_page(build: Build, title: str, body: str) -> str:
    """A whole page that prints on A4, with the build, the revision and the number of the sheet at the foot of each."""
    stamp = f"{_header(build, title)}<h1>{escape(title)}</h1>"
    foot = f"<p class='small'>{escape(printed_foot(build))}</p>"
    return (
        f"<!doctype html><html lang='en'><head><meta charset='utf-8'><title>{escape(title)}</title>{PRINT}{_feet(build)}</head>"
        f"<body>{stamp}{body}{foot}</body></html>"
    )


def _feet(build: Build) -> str:
    """The foot of every printed sheet; letters that a style could take for its own end are left out."""
    words = "".join(c for c in valid_for(build) if c.isalnum() or c in " ,;.:-()")
    paper = build.value("brief.paper") or "A4"
    small = "font:8.5pt 'Liberation Sans',Arial,sans-serif"
    return (
        f'<style>@page{{size:{paper};@bottom-left{{content:"{words}";{small}}}@bottom-right{{content:"sheet " counter(page) " of " '
        f"counter(pages);{small}}}}}</style>"
    )


def write_page(build: Build, name: str, title: str, body: str) -> Path:
    """Write a page into the reader's folder of builds, named after the record; returns the file."""
    folder = builds_folder()
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / f"{build.record.file.stem}_{name}.html"
    file.write_text(sheet_page(build, title, body), encoding="utf-8")
    return file
