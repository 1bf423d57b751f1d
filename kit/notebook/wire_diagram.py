"""The one-line diagram of the wiring: every run with its fuse, size, length and drop, from the battery outward."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from kit.build.build import Build
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.runs import BATTERY
from kit.workshop import show

__all__ = ["CABLES", "bare", "one_line", "run_order"]

CABLES = {"the runs of wire": ("wiring.cables.by_run",)}
# Pixels: between rows, the battery's place, the length of one step of the tree, and of the text at the right.
_ROW, _LEFT, _STEP, _TEXT = 43, 96, 214, 128
# From a bar to where the run begins behind its fuse.
_BEHIND = 56


def run_order(runs: Sequence[Any]) -> Iterator[tuple[int, Any]]:
    """Every run with its depth in the tree, a run before those that hang on it."""
    def below(name: str, depth: int) -> Iterator[tuple[int, Any]]:
        for one in runs:
            if one.fed_by == name:
                yield depth, one
                if depth < len(runs):
                    yield from below(one.name, depth + 1)

    yield from below(BATTERY, 0)


def size_words(size: str) -> str:
    """A wire size with its raised two."""
    return size.replace("mm2", "mm²")


def one_line(build: Build) -> str:
    """Battery at the left, a bar where runs branch, a box on the line for each fuse, what hangs on the end at the right."""
    needs(build, CABLES)
    runs = list(build.value("wiring.cables.runs"))
    found = {line.name: line for line in build.value("wiring.cables.by_run")}
    ordered = list(run_order(runs))
    deepest = max(depth for depth, _ in ordered)
    wide, high = _LEFT + _STEP * (deepest + 1) + _TEXT, _ROW * (len(ordered) + 0.5) + 24
    sheet = Sheet((0, wide), (0, high), "one-line diagram of the wiring", width=round(wide) + 20, margin=10, down=True)
    places: dict[str, float] = {one.name: _ROW * (n + 0.75) for n, (_, one) in enumerate(ordered)}
    _battery(build, sheet, runs, places)
    for depth, one in ordered:
        _run(build, sheet, one, found[one.name], _LEFT + _STEP * depth, places, runs)
    for fed_by in dict.fromkeys(one.fed_by for one in runs):
        depth = next(depth for depth, one in ordered if one.fed_by == fed_by)
        _fuses(build, sheet, [one for one in runs if one.fed_by == fed_by], _LEFT + _STEP * depth, places)
    sheet.notes(
        f"One line stands for both wires. Boxes: fuses. Under a run: its drop running"
        f"{', at start' if any(one.start is not None for one in runs) else ''}. Not to scale.", keep=0)
    return sheet.svg()


def _battery(build: Build, sheet: Sheet, runs: Sequence[Any], places: dict[str, float]) -> None:
    """The battery as its plates, and the bar from which its runs start."""
    first = [places[one.name] for one in runs if one.fed_by == BATTERY]
    y = min(first)
    for n, half in enumerate((15, 8, 15, 8)):
        sheet.line([(26 + 8 * n, y - half), (26 + 8 * n, y + half)], weight=2.4 if half == 8 else 1.4)
    sheet.line([(50, y), (_LEFT, y)], weight=1.6)
    sheet.line([(_LEFT, min(first)), (_LEFT, max(first))], weight=3)
    sheet.words(8, y - 20, "battery", size=11.5, bold=True)
    sheet.words(8, y + 30, bare(build.shown("wiring.cables.volts")), size=11)


def _run(
    build: Build, sheet: Sheet, one: Any, found: Any, x: float, places: dict[str, float], runs: Sequence[Any]
) -> None:
    """The line of one run, from behind its fuse to its end, and what is known of it."""
    y, end = places[one.name], x + _STEP
    below = [places[other.name] for other in runs if other.fed_by == one.name]
    sheet.line([(x if one.fuse == "-" else x + _BEHIND, y), (end, y)], weight=1.6)
    if below:
        sheet.line([(end, min(y, *below)), (end, max(y, *below))], weight=3)
    elif one.source_most is not None:
        sheet.arrow((end, y), (end - 12, y), weight=1.4)
    else:
        sheet.circle(end + 6, y, 6, weight=1.4)
    length = show(one.one_way, "m", resolution=0.1, rounding="up", prefs=build.prefs)
    sheet.words(x + _BEHIND + 8, y - 6, f"{size_words(one.size)}, {length}", size=11)
    sheet.words(x + _BEHIND + 8, y + 15, _drop(build, found, one.start is not None), size=10.5)
    if below:
        sheet.words(x + _BEHIND + 8, y - 20, one.name, size=11.5, bold=True)
    else:
        sheet.words(end + 18, y + 1, one.name, size=11.5, bold=True)
        sheet.words(end + 18, y + 15, _amperes(build, one), size=10.5)


def _fuses(build: Build, sheet: Sheet, runs: Sequence[Any], x: float, places: dict[str, float]) -> None:
    """One box a fuse on the way from a bar, and a thin bar behind it where it guards several runs."""
    ratings = {fuse.name: fuse.rating for fuse in build.value("wiring.fuses.fuses") or ()}
    for name in dict.fromkeys(one.fuse for one in runs if one.fuse != "-"):
        ys = [places[one.name] for one in runs if one.fuse == name]
        y = min(ys)
        sheet.line([(x, y), (x + 9, y)], weight=1.6)
        sheet.rect(x + 9, y - 9, 34, 18, weight=1.4)
        sheet.line([(x + 43, y), (x + _BEHIND, y)], weight=1.6)
        if len(ys) > 1:
            sheet.line([(x + _BEHIND, y), (x + _BEHIND, max(ys))], weight=1.8)
        if name in ratings:
            sheet.words(x + 26, y + 4, bare(show(ratings[name], "A", prefs=build.prefs)), size=10.5, anchor="middle")
        for line, words in enumerate(textwrap.wrap(name, 9)):
            sheet.words(x + 6, y + 20 + 11 * line, words, size=9.5)


def bare(text: str) -> str:
    """A rated value as it is printed on things: "5 A", not "5.00 A"."""
    return re.sub(r"(\.\d*?)0+(?=\D|$)", lambda m: "" if m[1] == "." else m[1], text)


def _drop(build: Build, found: Any, starts: bool) -> str:
    steady = show(found.drop, "percent", resolution=0.1, rounding="up", prefs=build.prefs)
    if not starts:
        return steady
    return f"{steady}, {show(found.start_drop, 'percent', resolution=0.1, rounding='up', prefs=build.prefs)} at start"


def _amperes(build: Build, one: Any) -> str:
    said = bare(show(one.current, "A", prefs=build.prefs))
    if one.source_most is not None:
        return f"source, {said}"
    return said if one.start is None else f"{said}, {bare(show(one.start, 'A', prefs=build.prefs))} at start"
