"""The grounds of a build on paper: doubt, alternatives, as built, history, and who answers for it."""

from __future__ import annotations

import platform
from collections.abc import Iterator

from kit import __version__
from kit.build.beside import side_by_side
from kit.build.build import Build
from kit.build.entries import said
from kit.build.spread import Figure, work_out
from kit.notebook.alternatives_view import changed_name, compared_rows, shares_drawing
from kit.notebook.as_built_view import FOUND, found_rows
from kit.notebook.build_lists import stage_title
from kit.notebook.doubt_view import CHANCES, FIGURES, NEXT, chance_rows, figure_rows, measure_next
from kit.notebook.rows_table import columns_of, head_of, row_lines
from kit.notebook.stages import page_of
from kit.notebook.text import escape, html_table
from kit.order_of_work import Step, Whole

__all__ = ["doubt_sections", "grounds_sections", "order_section"]

Section = tuple[str, str, bool]
MOST = 15


def _small(body: str) -> str:
    return f"<div class='small'>{body}</div>"


def order_section(build: Build) -> Iterator[Section]:
    """The order of work: what waits for what, and when."""
    steps = build.value("sheet.order.steps")
    if not steps:
        return
    dated = steps[0].on[:4].isdigit()
    columns = columns_of(Step, ("name", "begins", "ends", "ready", "because", *(("on",) if dated else ())))
    rows = list(row_lines(steps, columns, build.prefs))
    (whole,) = row_lines(build.value("sheet.order.whole"), columns_of(Whole), build.prefs)
    words = (
        f"{whole[1]} of work by one pair of hands at {build.shown('sheet.order.pace')} a week: ready after {whole[0]}, of which "
        f"{whole[2]} are waiting and nothing else. Glue, resin, finish and deliveries wait without hands; other work goes on "
        "meanwhile."
    )
    yield "Order of work", f"<p>{escape(words)}</p>{_small(html_table(head_of(columns), rows))}", False


def doubt_sections(build: Build, *, count: int = 10_000, seed: int = 1) -> Iterator[Section]:
    """Chances of checks, results with their intervals, and what to measure next.  Works the build out on samples."""
    spread = work_out(build, count=count, seed=seed)
    words = (
        f"{spread.count} builds drawn at random (seed {spread.seed}) within the give or take of {len(spread.groups)} entries; "
        "an entry without one is taken as its how known says."
    )
    worth = [one for one in spread.chances if one.met < 1][:MOST]
    chances = _small(html_table(CHANCES, chance_rows(build, spread, worth))) if worth else "<p>Every check in every one.</p>"
    yield "Doubt: checks least likely to be met", f"<p>{escape(words)}</p>{chances}", True
    yield "Doubt: the main results", _small(html_table(FIGURES, figure_rows(build, _main(build, spread.figures)))), False
    yield "Measure this next", _small(html_table(NEXT, measure_next(build, spread)[:MOST])), False


def _main(build: Build, figures: dict[str, Figure]) -> list[Figure]:
    """Totals of the build, and what each stage's page names as its main results."""
    wanted = [path for path in figures if path.startswith("sheet.all.")]
    for key in build.graph.stages:
        wanted += [path for path in getattr(page_of(key), "MAIN", ()) if path in figures]
    return [figures[path] for path in wanted]


def grounds_sections(build: Build) -> Iterator[Section]:
    """Alternatives, as built, history, and how the sheet was made."""
    if build.alternatives:
        beside = side_by_side(build)
        paths = [p for p in ("sheet.all.mass", "sheet.all.cost", "sheet.all.hours") if build.value(p) is not None]
        rows = compared_rows(beside, paths)
        notes = "; ".join(f"{name}: {one.note}" for name, one in build.alternatives.items() if one.note)
        table = _small(html_table(("of", *beside.names), rows))
        yield "Alternatives beside the present", f"<p>{escape(notes)}</p>{table}{shares_drawing(beside)}", True
    measured = found_rows(build)
    body = _small(html_table(FOUND, measured)) if measured else "<p>Nothing that was planned has been measured yet.</p>"
    yield "As built: planned beside measured", body, False
    lines = build.record.history()[-30:]
    history = [
        (str(line.revision), line.when.strftime("%Y-%m-%d") if line.when else "", changed_name(build, line.path),
         said(line.old) if line.old is not None else "", said(line.new) if line.new is not None else "", line.why, line.who)
        for line in reversed(lines)
    ]
    head = ("revision", "when", "what", "from", "to", "why", "by")
    yield "History", _small(html_table(head, history)) if history else "<p>Nothing was changed since it was begun.</p>", False
    yield "How this sheet was made", _small(html_table(("what", "value"), made_rows(build))), False


def made_rows(build: Build) -> list[tuple[str, str]]:
    """Who, with what, from which record."""
    return [
        ("worked out by", build.shown("brief.signed.originator")),
        ("looked through by", build.shown("brief.signed.checker")),
        ("record", f"{build.record.file.name}, revision {build.content.revision}"),
        ("checksum of the record (SHA-256)", build.content.checksum),
        ("made with", f"build-reckoner {__version__}, Python {platform.python_version()}"),
        ("if a result looks odd", "write down what was entered and what came out, and tell whoever worked it out before you cut"),
        ("what it does not cover", "it approves nothing: local codes, the owner and licensed trades decide; see the notes of "
         "each check for the range its rule was made for"),
        ("stages that are switched off", ", ".join(stage_title(build, key) for key in build.content.stages_off) or "none"),
    ]
