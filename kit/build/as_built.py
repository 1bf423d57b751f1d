"""Planned beside measured: what was taken for granted, what was found, and what that settled."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kit.build.build import Build
from kit.build.doubt import Doubt, doubtful
from kit.build.entries import Entry
from kit.build.inputs import kind_of
from kit.build.spread import Figure, work_out
from kit.kinds import In
from kit.quantities import Quantity, is_quantity

__all__ = ["Found", "Settled", "as_planned", "found", "settled"]


@dataclass(frozen=True, slots=True)
class Found:
    """One entry that was measured: as it was planned, as it was found, and how far apart in give or takes."""

    path: str
    planned: Entry
    measured: Entry
    difference: Quantity | None
    expected: bool


@dataclass(frozen=True, slots=True)
class Settled:
    """One result before and after the measurements: its interval then and now."""

    before: Figure
    after: Figure | None


def _plans(build: Build) -> dict[str, Entry]:
    """For each entry that is measured now, what it last was before it was measured."""
    last: dict[str, Entry] = {}
    for line in build.record.history():
        if line.what != "entry" or not line.applied or not isinstance(line.old, Entry):
            continue
        new_basis = line.new.basis if isinstance(line.new, Entry) else None
        if line.old.basis != "measured" and new_basis == "measured":
            last[line.path] = line.old
    for path, tried in build.tried().items():
        recorded = build.content.entries.get(path)
        if tried is not None and tried.basis == "measured" and recorded is not None and recorded.basis != "measured":
            last[path] = recorded
    return {path: plan for path, plan in last.items() if path in build.now.entries}


def found(build: Build) -> list[Found]:
    """Entries that were planned on another basis and are measured now, in the order in which they were."""
    before = as_planned(build)
    widths: dict[str, Doubt] = {d.path: d for d in doubtful(before.graph, before.now.values, before.now.entries)}
    rows = []
    for path, plan in _plans(build).items():
        if build.now.entries[path].basis != "measured":
            continue
        old, new = before.now.values.cells.get(path), build.now.values.cells.get(path)
        apart = new - old if old is not None and is_quantity(old) and is_quantity(new) else None
        expected = apart is None
        if apart is not None and path in widths:
            down, up, name = widths[path].give_or_take.widths(widths[path].value)
            expected = -down <= float(apart.m_as(name)) <= up
        elif apart is not None:
            expected = float(apart.magnitude) == 0
        rows.append(Found(path, plan, build.now.entries[path], apart, expected))
    return rows


def as_planned(build: Build) -> Build:
    """The build as it is now, but with every measured entry as it was planned."""
    other = Build(build.record, copy_to=build.copy_to)
    other.content, other._recorded = build.content, build.recorded
    other._tried = dict(build._tried) | dict(_plans(build))
    other._rows = dict(build._rows)
    return other


def settled(build: Build, *, count: int = 4000, seed: int = 1) -> list[Settled]:
    """Results whose interval the measurements narrowed by a tenth or more, most first."""
    before = work_out(as_planned(build), count=count, seed=seed).figures
    after = work_out(build, count=count, seed=seed).figures

    def width(figure: Figure | None) -> float:
        return 0.0 if figure is None else float(figure.standard.magnitude)

    moved = [Settled(one, after.get(path)) for path, one in before.items()]
    narrower = [one for one in moved if width(one.after) < 0.9 * width(one.before)]
    return sorted(narrower, key=lambda one: width(one.after) / width(one.before))


def measure(build: Build, path: str, text: str, give_or_take: str = "", note: str = "") -> None:
    """Try a measured value in place of a planned one: the basis becomes measured and the old give or take goes."""
    kind = kind_of(build.graph, path)
    if not isinstance(kind, In):
        raise KeyError(f"{path} is nothing that can be measured")
    base = build.now.entries.get(path, Entry(value=text))
    build.enter(path, text, **{
        name: getattr(replace(base, basis="measured", give_or_take=give_or_take or None, source="", note=note), name)
        for name in ("basis", "give_or_take", "source", "note")
    })
