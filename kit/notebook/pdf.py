"""Printed pages as PDF, without a browser: headings, words, tables and drawings of a page laid on A4 or Letter."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, Literal

import matplotlib

from kit.build.build import Build
from kit.build.places import builds_folder
from kit.notebook.paper import printed_foot, valid_for

__all__ = ["PAPERS", "Paper", "blocks", "pdf_bytes", "write_pdf"]

Paper = Literal["A4", "Letter"]
PAPERS: tuple[Paper, ...] = ("A4", "Letter")

_MARGIN = 14.0
_PIXEL = 25.4 / 96
_SVG = re.compile(r"<svg\b.*?</svg>", re.DOTALL)


@dataclass
class Block:
    """One piece of a page, in order: a heading, words, an item of a list, a table, a drawing, or a new sheet."""

    kind: Literal["h1", "h2", "words", "item", "table", "drawing", "sheet"]
    text: str = ""
    head: list[str] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)
    flush: set[int] = field(default_factory=set)


class _Reader(HTMLParser):
    """Collects the blocks of a page made by this kit; what it does not know it reads as words."""

    def __init__(self) -> None:
        super().__init__()
        self.made: list[Block] = []
        self.words: list[str] = []
        self.table: Block | None = None
        self.count = 0
        self.hidden = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        if tag in ("style", "title", "script"):
            self.hidden = True
        elif tag == "section" and said.get("class") in ("fresh", "sheet"):
            self._end("words")
            self.made.append(Block("sheet"))
        elif tag == "table":
            self._end("words")
            self.table = Block("table")
        elif tag == "tr" and self.table is not None:
            self.table.rows.append([])
        elif tag in ("td", "th"):
            self.words = []
            if self.table is not None and said.get("class") == "n":
                self.table.flush.add(len(self.table.rows[-1]))
        elif tag in ("ol", "ul"):
            self._end("words")
            self.count = 1 if tag == "ol" else 0
        elif tag in ("p", "div", "h1", "h2", "li"):
            self._end("words")
        elif tag == "br":
            self.words.append(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("style", "title", "script"):
            self.hidden = False
        elif tag in ("h1", "h2"):
            self._end(tag)  # type: ignore[arg-type]
        elif tag == "li":
            mark = f"{self.count}. " if self.count else "• "
            self.count += 1 if self.count else 0
            self.words.insert(0, mark)
            self._end("item")
        elif tag in ("td", "th") and self.table is not None and self.table.rows:
            self.table.rows[-1].append(" ".join("".join(self.words).split()))
            self.words = []
        elif tag == "thead" and self.table is not None and self.table.rows:
            self.table.head = self.table.rows.pop()
        elif tag == "table" and self.table is not None:
            self.table.rows = [row for row in self.table.rows if row]
            if self.table.rows:
                self.made.append(self.table)
            self.table = None
        elif tag in ("p", "div", "section"):
            self._end("words")

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.words.append(data)

    def _end(self, kind: Literal["h1", "h2", "words", "item"]) -> None:
        if self.table is not None:
            return
        text = " ".join("".join(self.words).split())
        self.words = []
        if text:
            self.made.append(Block(kind, text))


def blocks(page: str) -> list[Block]:
    """The blocks of a page's body, drawings included, in order."""
    made: list[Block] = []
    at = 0
    for found in _SVG.finditer(page):
        made += _read(page[at : found.start()])
        made.append(Block("drawing", found[0]))
        at = found.end()
    return made + _read(page[at:])


def _read(part: str) -> list[Block]:
    reader = _Reader()
    reader.feed(part)
    reader.close()
    reader._end("words")
    return reader.made


def _sheet_class() -> Any:
    from fpdf import FPDF

    class Sheets(FPDF):
        foot = ""

        def footer(self) -> None:
            self.set_y(-12)
            self.set_font("text", size=7.5)
            self.cell(0, 5, self.foot)
            self.set_x(_MARGIN)
            self.cell(0, 5, f"sheet {self.page_no()} of {{nb}}", align="R")

    return Sheets


def pdf_bytes(build: Build, title: str, body: str, paper: Paper | None = None) -> bytes:
    """A page as PDF: `body` is the inside of a page as `kit.notebook.paper` makes it.

    On the paper the brief names when none is given.
    """
    paper = paper or build.value("brief.paper") or "A4"
    pdf = _sheet_class()(format=paper.lower())
    pdf.foot = valid_for(build)
    fonts = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    pdf.add_font("text", fname=str(fonts / "DejaVuSans.ttf"))
    pdf.add_font("text", style="B", fname=str(fonts / "DejaVuSans-Bold.ttf"))
    pdf.set_margins(_MARGIN, _MARGIN, _MARGIN)
    pdf.set_auto_page_break(True, margin=16)
    pdf.set_title(title)
    pdf.add_page()
    for block in _in_order(title, body, build):
        _lay(pdf, block)
    return bytes(pdf.output())


def _in_order(title: str, body: str, build: Build) -> Iterator[Block]:
    yield Block("h1", title)
    yield from blocks(body)
    yield Block("words", printed_foot(build))


def _lay(pdf: Any, block: Block) -> None:
    if block.kind == "sheet":
        if pdf.get_y() > pdf.t_margin + 1:
            pdf.add_page()
    elif block.kind in ("h1", "h2"):
        size = 15 if block.kind == "h1" else 10.5
        if pdf.will_page_break(size * 2.2):
            pdf.add_page()
        pdf.ln(1.5)
        pdf.set_font("text", "B", size)
        pdf.multi_cell(0, size * 0.45, block.text, align="L", new_x="LMARGIN", new_y="NEXT")
        pdf.ln(1)
    elif block.kind in ("words", "item"):
        pdf.set_font("text", size=8.5)
        pdf.multi_cell(0, 4.2, block.text, align="L", new_x="LMARGIN", new_y="NEXT")
        pdf.ln(0.8)
    elif block.kind == "drawing":
        _draw(pdf, block.text)
    else:
        _tabulate(pdf, block)


def _draw(pdf: Any, svg: str) -> None:
    """A drawing at its own size, or as large as the sheet allows."""
    sized = re.search(r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+)"', svg)
    wide, high = (float(sized[1]) * _PIXEL, float(sized[2]) * _PIXEL) if sized else (160.0, 100.0)
    shrink = min(1.0, pdf.epw / wide, (pdf.eph - 12) / high)
    wide, high = wide * shrink, high * shrink
    if pdf.will_page_break(high):
        pdf.add_page()
    black = re.sub(r"<title>.*?</title>", "", svg, flags=re.DOTALL).replace("currentColor", "#000000")
    black = re.sub(r'font-family="[^"]*"', 'font-family="text"', black)
    pdf.set_font("text", size=9)
    pdf.image(io.BytesIO(black.encode()), x=_MARGIN, y=pdf.get_y(), w=wide, h=high)
    pdf.set_y(pdf.get_y() + high + 2)


def _tabulate(pdf: Any, block: Block) -> None:
    from fpdf.fonts import FontFace

    columns = max(len(block.head), *(len(row) for row in block.rows))
    pdf.set_font("text", size=7.5)
    widths = _widths(pdf, block, columns)
    align = tuple("RIGHT" if at in block.flush else "LEFT" for at in range(columns))
    heading = FontFace(emphasis="B")
    lines = [block.head] * bool(block.head) + block.rows
    with pdf.table(
        col_widths=widths, text_align=align, line_height=3.6, padding=(0.4, 1.2, 0.4, 0), borders_layout="HORIZONTAL_LINES",
        headings_style=heading, first_row_as_headings=bool(block.head), align="LEFT", width=min(pdf.epw, sum(widths)),
    ) as table:
        for line in lines:
            row = table.row()
            for at in range(columns):
                row.cell(line[at] if at < len(line) else "")
    pdf.ln(2)


def _widths(pdf: Any, block: Block, columns: int) -> tuple[float, ...]:
    """Each column as wide as its longest word needs, what is left shared by how much it has to say."""
    least, most = [], []
    for at in range(columns):
        texts = [row[at] for row in (block.head, *block.rows) if at < len(row)]
        words = [word for text in texts for word in text.split(" ")]
        least.append(max((pdf.get_string_width(word) for word in words), default=4.0) * 1.09 + 2.6)
        most.append(max((pdf.get_string_width(text) for text in texts), default=4.0) * 1.09 + 2.6)
    if sum(most) <= pdf.epw:
        return tuple(most)
    room = pdf.epw - sum(least)
    if room <= 0:
        return tuple(w * pdf.epw / sum(least) for w in least)
    wanted = [(b - a) ** 0.7 for a, b in zip(least, most, strict=True)]
    return tuple(a + room * w / (sum(wanted) or 1) for a, w in zip(least, wanted, strict=True))


def write_pdf(build: Build, name: str, title: str, body: str, paper: Paper | None = None) -> Path:
    """Write a page as PDF into the reader's folder of builds, named after the record; returns the file."""
    folder = builds_folder()
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / f"{build.record.file.stem}_{name}.pdf"
    file.write_bytes(pdf_bytes(build, title, body, paper))
    return file
