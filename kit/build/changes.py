"""What moved and what turned between two workings-out of a build."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from kit.build.graph import Graph, Outcome, alike
from kit.checks import Verdict
from kit.handed import Part, Purchase, Task
from kit.kinds import Out
from kit.quantities import is_quantity
from kit.workshop import Prefs

__all__ = ["Moved", "Report", "Turned", "compare"]


@dataclass(frozen=True, slots=True)
class Moved:
    """One result that is not what it was."""

    path: str
    meaning: str
    old: str
    new: str
    share: float


@dataclass(frozen=True, slots=True)
class Turned:
    """One check whose verdict is not what it was."""

    path: str
    label: str
    old: Verdict
    new: Verdict


@dataclass(frozen=True, slots=True)
class Report:
    """All that a change did: results moved (as shown), checks turned, things to buy, make and do that differ."""

    moved: tuple[Moved, ...] = ()
    turned: tuple[Turned, ...] = ()
    parts: tuple[Moved, ...] = ()
    purchases: tuple[Moved, ...] = ()
    tasks: tuple[Moved, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.moved or self.turned or self.parts or self.purchases or self.tasks)


def compare(
    graph: Graph,
    before: tuple[Mapping[str, Any], Mapping[str, Outcome]],
    after: tuple[Mapping[str, Any], Mapping[str, Outcome]],
    prefs: Prefs = Prefs(),
) -> Report:
    """What differs between two (values, outcomes) pairs of one graph.

    A result counts as moved when the text a person would read differs; checks
    are compared on their verdicts, which are taken on unrounded values.
    """
    old_checks = {path: check for path, _, check in graph.checks(*before)}
    turned = tuple(
        Turned(path, asks.label, old_checks[path].verdict, check.verdict)
        for path, asks, check in graph.checks(*after)
        if path in old_checks and old_checks[path].verdict != check.verdict
    )
    return Report(
        tuple(_moved(graph, before[1], after[1], prefs)),
        turned,
        tuple(_rows(graph, before[1], after[1], Part, _part)),
        tuple(_rows(graph, before[1], after[1], Purchase, lambda p: _purchase(p, prefs))),
        tuple(_rows(graph, before[1], after[1], Task, _task)),
    )


def _moved(graph: Graph, before: Mapping[str, Outcome], after: Mapping[str, Outcome], prefs: Prefs) -> Iterator[Moved]:
    for key, node in graph.nodes.items():
        old, new = before.get(key, Outcome(waits=("it",))), after[key]
        if old.result is new.result:
            continue
        for name, out in node.outputs.items():
            if not isinstance(out, Out) or out.over:
                continue
            one = getattr(old.result, name) if old.works else None
            other = getattr(new.result, name) if new.works else None
            if _many(one) or _many(other):
                continue
            shown = out.show(one, prefs), out.show(other, prefs)
            if shown[0] != shown[1]:
                yield Moved(f"{key}.{name}", out.meaning, *shown, _share(one, other))


def _many(value: Any) -> bool:
    """True for a curve or samples, which no single text can stand for."""
    return value is not None and np.ndim(getattr(value, "magnitude", value)) > 0


def _share(one: Any, other: Any) -> float:
    """Change as a share of the old value; inf where there was nothing to compare with."""
    if not is_quantity(one) or not is_quantity(other) or not one.magnitude or not one._is_multiplicative:
        return float("inf")
    return float((other.m_as(one.units) - one.magnitude) / abs(one.magnitude))


def _rows(
    graph: Graph, before: Mapping[str, Outcome], after: Mapping[str, Outcome], wanted: type, said: Any
) -> Iterator[Moved]:
    old = {f"{stage}: {row.name}": row for stage, row in graph.handed(before, wanted)}
    new = {f"{stage}: {row.name}": row for stage, row in graph.handed(after, wanted)}
    for name in dict.fromkeys([*old, *new]):
        one, other = old.get(name), new.get(name)
        if one is not None and other is not None and alike(one, other):
            continue
        was, now = ("none" if row is None else str(said(row)) for row in (one, other))
        yield Moved(name, wanted.__name__.lower(), was, now, float("nan"))


def _part(part: Part) -> str:
    where = ", ".join(f"{getattr(part, axis).m_as('m'):.3f}" for axis in "xyz")
    return f"{Out('kg', '').show(part.mass)} at ({where}) m"


def _purchase(item: Purchase, prefs: Prefs) -> str:
    return f"{item.packs} of {item.size}, {Out('money', '').show(item.cost, prefs)}"


def _task(task: Task) -> str:
    return Out("h", "").show(task.mean)
