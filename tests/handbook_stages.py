"""The handbook's page of each stage: what it settles, asks, works out, checks, hands on, and where it gets it from."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping

from kit.build.build import Build
from kit.build.graph import Graph
from kit.build.places import demo_file
from kit.build.record import Record
from kit.calculator import Entry
from kit.handed import Hazard
from kit.kinds import Asks, Out, Rows, Says
from kit.sources import SOURCES
from kit.stage import EVERY, Every, Pencil, Run, Stage, title_of
from kit.stages import STAGES

__all__ = ["stage_lines", "stage_pages"]


def stage_pages() -> dict[str, Stage]:
    """The file name of each stage's page."""
    return {f"stages/{one.number}_{one.key}.md": one for one in STAGES}


def stage_lines(stage: Stage) -> Iterator[tuple[str, ...]]:
    """The page of a stage as blocks: a heading, a paragraph, an item, or a row of a table."""
    graph = Graph(STAGES)
    yield "title", f"{stage.number} {stage.title}"
    yield "words", stage.settles
    if stage.have_at_hand:
        yield "heading", "What to have at hand"
        yield from (("item", words) for words in stage.have_at_hand)
    yield "heading", "Asked first"
    for path in stage.first_look:
        whole = path if path in graph.places else f"{stage.key}.{path}"
        yield "item", f"{graph.places[whole].kind.meaning} (`{whole}`)"
    yield "heading", "What it asks"
    own = list(stage.entries.values())
    if own:
        yield "words", "Of the stage itself:"
        yield from _entries(stage.key, own, {})
    for name, running in {**stage.runs, **stage.looks}.items():
        closer = " (a closer look, worked out when it is asked for)" if running.asked else ""
        yield "words", f"**{title_of(name)}**{closer}: {running.declaration.summary}"
        yield from _entries(f"{stage.key}.{name}", running.declaration.inputs.values(), running.links)
    yield "heading", "What it works out"
    yield "table", "result", "meaning", "unit"
    for name, running in stage.runs.items():
        yield from _results(f"{stage.key}.{name}", running)
    yield "end",
    checks = [
        (f"{stage.key}.{name}.{key}", asks)
        for name, running in stage.runs.items() for key, asks in running.declaration.checks.items()
    ]  # fmt: skip
    if checks:
        yield "heading", "What it checks"
        yield "table", "check", "asks", "limit from"
        yield from (("row", f"`{path}`", asks.label, _source(asks)) for path, asks in checks)
        yield "end",
    yield "heading", "What it hands on"
    yield "words", ", ".join(f"{one.__name__.casefold()}s" for one in stage.gives if one is not Hazard) or "nothing"
    yield "heading", "Hazards (as the demo build has them)"
    yield from (("item", f"{h.at}: {h.text} ({h.cites})") for h in _hazards(stage))
    yield "heading", "Common mistakes"
    yield from (("item", words) for words in stage.mistakes)


def _entries(
    node: str, entries: Iterable[Entry], links: Mapping[str, str | Every | Pencil]
) -> Iterator[tuple[str, ...]]:
    yield "table", "entry", "meaning", "allowed", "comes from"
    for entry in entries:
        origin = _origin(entry, links.get(entry.name))
        yield "row", f"`{node}.{entry.name}`", entry.kind.meaning, _allowed(entry), origin
    yield "end",


def _allowed(entry: Entry) -> str:
    kind = entry.kind
    return f"{kind.least} to {kind.most} rows of {kind.row.__name__}" if isinstance(kind, Rows) else kind.allowed()


def _origin(entry: Entry, link: str | Every | Pencil | None) -> str:
    if link is EVERY or isinstance(link, Every):
        return "every other stage"
    if isinstance(link, Pencil):
        return f"entered; held against `{link.path}`"
    if isinstance(link, str):
        return f"`{link}`"
    if entry.required:
        return "must be entered"
    if entry.default is None or (isinstance(entry.kind, Rows) and not entry.default):
        return "entered, or left out"
    return f"entered, or {entry.kind.show(entry.default)}"


def _results(node: str, running: Run) -> Iterator[tuple[str, ...]]:
    for name, out in running.declaration.outputs.items():
        if isinstance(out, Out):
            curve = f", over {out.over}" if out.over else ""
            yield "row", f"`{node}.{name}`", f"{out.meaning}{curve}", out.unit or "-"
        else:
            yield "row", f"`{node}.{name}`", out.meaning, "words" if isinstance(out, Says) else "table"


def _source(asks: Asks) -> str:
    return f"[{asks.source}](../sources.md)" if asks.source in SOURCES else asks.source or "-"


@functools.lru_cache(maxsize=1)
def _demo() -> Build:
    file = demo_file("tarn_locker")
    assert file is not None
    return Build(Record(file))


def _hazards(stage: Stage) -> list[Hazard]:
    build = _demo()
    return [hazard for _, hazard in build.handed(Hazard, stage.key)] if stage.key in build.graph.stages else []
