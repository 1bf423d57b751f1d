"""A build as a graph of results: what hangs on what, and working it all out.

A node is one calculator of a stage, or the stage's body; never a whole stage.
Links are checked when the graph is made: the path exists, the dimension fits,
the words of a choice fit, nothing waits for itself.  `Graph.evaluate` works
out every node and never raises for a half-filled build: an `Outcome` is a
result, a fault, or a wait for what is missing.  Given the last outcomes it
works out only what a change reaches, and stops where values are equal.
"""

from __future__ import annotations

import difflib
import graphlib
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import MISSING, dataclass, replace
from typing import Any

import numpy as np

from kit.calculator import InputError
from kit.checks import Check, at_most, open_check, reopened
from kit.kinds import Asks, Choice, Count, In, Kind, Out, Rows, Says
from kit.quantities import is_quantity, unit
from kit.sampling import is_sampling
from kit.stage import Every, Pencil, Stage

__all__ = ["Graph", "GraphError", "Node", "Outcome", "Place", "alike"]


class GraphError(ValueError):
    """The stages do not fit together; the message says which link and what there is instead."""


@dataclass(frozen=True, slots=True)
class Place:
    """One entry of a build: where it is, what it is, and where its value comes from if it is not entered."""

    path: str
    stage: str
    node: str
    name: str
    kind: Kind
    default: Any = MISSING
    optional: bool = False
    link: str | None = None
    pencil: Pencil | None = None

    @property
    def required(self) -> bool:
        """True when nothing but an entry can supply it."""
        return self.link is None and self.default is MISSING and not self.optional


@dataclass(frozen=True, slots=True)
class Node:
    """One calculator or one stage body, with the places and sources of its inputs."""

    key: str
    stage: str
    call: Callable[..., Any]
    places: Mapping[str, str]
    takes: Mapping[str, str]
    gathers: Mapping[str, type]
    outputs: Mapping[str, Out | Says | Rows]
    checks: Mapping[str, Asks]
    gives: tuple[type, ...] = ()
    is_body: bool = False
    idle: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What became of a node: its result, or why there is none.

    `waits` names the entries or results it needs and has not got; `lacks` names
    stages whose rows are missing from its sums, so that none of its checks may
    say more than `open`.
    """

    result: Any = None
    fault: InputError | None = None
    waits: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    given: Mapping[str, Any] | None = None

    @property
    def works(self) -> bool:
        return self.fault is None and not self.waits


class Graph:
    """The stages of a build joined by their links.

    `off` names stages this build does not have: their nodes are dropped and
    links to them become ordinary entries.  Raises GraphError.
    """

    def __init__(self, stages: Iterable[Stage], off: Iterable[str] = ()) -> None:
        every = list(stages)
        known = {s.key for s in every}
        self.off = frozenset(off)
        if strange := self.off - known:
            raise GraphError(f"there is no stage called {sorted(strange)[0]}; there are {', '.join(sorted(known))}")
        self.stages: dict[str, Stage] = {s.key: s for s in every if s.key not in self.off}
        self.places: dict[str, Place] = {}
        self.nodes: dict[str, Node] = {}
        self.looks: dict[str, Node] = {}
        for one in self.stages.values():
            self._add(one)
        for place in self.places.values():
            self._check_link(place)
        self.needs: dict[str, tuple[str, ...]] = {key: tuple(self._needed(node)) for key, node in self.nodes.items()}
        self.needs |= {key: tuple(self._needed(node)) for key, node in self.looks.items()}
        try:
            ordered = graphlib.TopologicalSorter(self.needs).static_order()
            self.order = tuple(key for key in ordered if key not in self.looks)
        except graphlib.CycleError as error:
            round_trip = " waits for ".join(reversed(error.args[1]))
            raise GraphError(f"a calculator would wait for itself: {round_trip}; pencil one of these in") from None

    # -- making it ------------------------------------------------------------------------------

    def _add(self, one: Stage) -> None:
        for name, running in {**one.runs, **one.looks}.items():
            key = f"{one.key}.{name}"
            places, gathers = {}, {}
            for entry in running.declaration.inputs.values():
                link = running.links.get(entry.name)
                if isinstance(link, Every):
                    gathers[entry.name] = entry.kind.row if isinstance(entry.kind, Rows) else object
                    continue
                places[entry.name] = self._place(one.key, key, entry, link)
            outputs = running.declaration.outputs
            (self.looks if running.asked else self.nodes)[key] = Node(
                key, one.key, running.calculator, places, {}, gathers, outputs, running.declaration.checks
            )
        places = {entry.name: self._place(one.key, one.key, entry, None) for entry in one.entries.values()}
        takes = {name: t.path for name, t in one.takes.items()} | {name: f"{one.key}.{name}" for name in one.runs}
        # A body waits only for what it uses: a half-filled stage still hands on what it can.
        idle = tuple(name for name in (*places, *takes) if name not in one.uses)
        places = {name: path for name, path in places.items() if name in one.uses}
        takes = {name: path for name, path in takes.items() if name in one.uses}
        self.nodes[one.key] = Node(one.key, one.key, one.body, places, takes, {}, {}, {}, one.gives, True, idle)

    def _place(self, stage: str, node: str, entry: Any, link: str | Pencil | None) -> str:
        path = f"{node}.{entry.name}"
        pencilled = link if isinstance(link, Pencil) else None
        linked = link if isinstance(link, str) and link.split(".")[0] not in self.off else None
        if pencilled is not None and pencilled.path.split(".")[0] in self.off:
            pencilled = None
        self.places[path] = Place(
            path, stage, node, entry.name, entry.kind, entry.default, entry.optional, linked, pencilled
        )
        return path

    def _check_link(self, place: Place) -> None:
        for path in filter(None, (place.link, place.pencil.path if place.pencil else None)):
            source = self.kind_at(path)
            if source is None:
                raise GraphError(f"{place.path} is linked to {path}, but {self._near(path)}")
            if why := _misfit(source, place.kind):
                raise GraphError(f"{place.path} is linked to {path}, but {why}")

    def kind_at(self, path: str) -> Any:
        """The kind of the entry or result at a path, or None."""
        if path in self.places:
            return self.places[path].kind
        node, _, name = path.rpartition(".")
        return self.nodes[node].outputs.get(name) if node in self.nodes else None

    def _near(self, path: str) -> str:
        node, _, name = path.rpartition(".")
        if node in self.nodes:
            there = [*self.nodes[node].outputs, *(p.name for p in self.places.values() if p.node == node)]
            return f"{node} has no {name}; it has {', '.join(there)}"
        if node in self.looks:
            return f"{node} is a closer look, worked out only when it is asked for; nothing may hang on it"
        near = difflib.get_close_matches(node, self.nodes, n=1)
        return f"there is no {node}" + (
            f"; did you mean {near[0]}?" if near else f"; there are {', '.join(self.nodes)}"
        )

    def source_node(self, path: str) -> str | None:
        """The node whose result stands at a path, or None when an entry stands there."""
        return None if path in self.places else path.rpartition(".")[0] or path

    def _needed(self, node: Node) -> Iterator[str]:
        for path in node.places.values():
            while (link := self.places[path].link) is not None and link in self.places:
                path = link
            if link is not None:
                yield link.rpartition(".")[0]
        for path in node.takes.values():
            if path in self.nodes:
                yield path
            elif path.split(".")[0] in self.off:
                continue
            elif self.kind_at(path) is None:
                raise GraphError(f"{node.key} takes {path}, but {self._near(path)}")
            elif path not in self.places:
                yield path.rpartition(".")[0]
        for wanted in node.gathers.values():
            yield from (giver.key for giver in self._givers(node, wanted))

    def _givers(self, node: Node, wanted: type) -> Iterator[Node]:
        for other in self.nodes.values():
            if other.is_body and other.stage != node.stage and wanted in other.gives:
                yield other

    def upstream(self, node: str) -> frozenset[str]:
        """Every node that `node` rests on, itself included."""
        seen: set[str] = set()
        todo = [node]
        while todo:
            key = todo.pop()
            if key not in seen:
                seen.add(key)
                todo += self.needs[key]
        return frozenset(seen)

    # -- working it out -------------------------------------------------------------------------

    def evaluate(
        self,
        values: Mapping[str, Any],
        last: Mapping[str, Outcome] | None = None,
        only: Collection[str] | None = None,
    ) -> dict[str, Outcome]:
        """Work out every node from the entered values by path, or `only` those of an `upstream` set.

        A value is a ready quantity, count, word or tuple of rows, or an
        `Unreadable` or `InputError` that says why it could not be read.
        """
        done: dict[str, Outcome] = {}
        for key in self.order:
            if only is not None and key not in only:
                continue
            node = self.nodes[key]
            given, waits, lacks = self._gather(node, values, done)
            before = last.get(key) if last else None
            if (
                before is not None
                and before.waits == waits
                and before.lacks == lacks
                and _same_inputs(before.given, given)
            ):
                done[key] = before
            elif waits:
                done[key] = Outcome(waits=waits, lacks=lacks, given=given)
            else:
                done[key] = _settle(self._refused(node, given, lacks) or _work_out(node, given, lacks), before)
        return done

    def _refused(self, node: Node, given: Mapping[str, Any], lacks: tuple[str, ...]) -> Outcome | None:
        """What came of a body with an entry that its own kind refuses: a calculator looks by itself, a body not."""
        if not node.is_body or is_sampling():
            return None
        faults = {}
        for name, path in (*node.places.items(), *node.takes.items()):
            place, value = self.places.get(path), given.get(name)
            if place is not None and value is not None and not isinstance(value, InputError):
                why = place.kind.check(value)[1]
                if why is not None:
                    faults[name] = why
        return Outcome(fault=InputError(node.key, faults), lacks=lacks, given=given) if faults else None

    def look(self, key: str, values: Mapping[str, Any], done: Mapping[str, Outcome]) -> Outcome:
        """Work out a closer look on a build that is worked out."""
        node = self.looks[key]
        given, waits, lacks = self._gather(node, values, done)
        return Outcome(waits=waits, lacks=lacks, given=given) if waits else _work_out(node, given, lacks)

    def still_holds(self, key: str, values: Mapping[str, Any], done: Mapping[str, Outcome], last: Outcome) -> bool:
        """True when a closer look was worked out from the inputs the build has now."""
        given, waits, lacks = self._gather(self.looks[key], values, done)
        return last.waits == waits and last.lacks == lacks and _same_inputs(last.given, given)

    def _gather(
        self, node: Node, values: Mapping[str, Any], done: Mapping[str, Outcome]
    ) -> tuple[dict[str, Any], tuple[str, ...], tuple[str, ...]]:
        given: dict[str, Any] = dict.fromkeys(node.idle)
        waits: list[str] = []
        lacks: list[str] = []
        for name, path in node.places.items():
            self._fetch(path, values, done, given, name, waits, lacks)
        for name, path in node.takes.items():
            if path.split(".")[0] in self.off:
                given[name] = None
                continue
            self._fetch(path, values, done, given, name, waits, lacks)
        for name, wanted in node.gathers.items():
            given[name] = tuple(self._rows(node, wanted, done, lacks))
        return given, tuple(dict.fromkeys(waits)), tuple(dict.fromkeys(lacks))

    def _fetch(
        self,
        path: str,
        values: Mapping[str, Any],
        done: Mapping[str, Outcome],
        given: dict[str, Any],
        name: str,
        waits: list[str],
        lacks: list[str],
    ) -> None:
        place = self.places.get(path)
        if place is not None:
            if path in values:
                given[name] = values[path]
            elif place.link is not None:
                self._fetch(place.link, values, done, given, name, waits, lacks)
            elif place.default is not MISSING:
                given[name] = place.default
            elif place.optional:
                given[name] = None
            else:
                waits.append(path)
            return
        source = path if path in self.nodes else path.rpartition(".")[0]
        outcome = done[source]
        if not outcome.works:
            waits.append(path)
            return
        lacks += outcome.lacks
        given[name] = outcome.result if path == source else getattr(outcome.result, path.rpartition(".")[2])

    def _rows(self, node: Node, wanted: type, done: Mapping[str, Outcome], lacks: list[str]) -> Iterator[Any]:
        for giver in self._givers(node, wanted):
            outcome = done[giver.key]
            lacks += outcome.lacks
            if not outcome.works:
                lacks.append(giver.key)
                continue
            for row in outcome.result:
                if isinstance(row, wanted):
                    yield _renamed(row, giver.stage)

    # -- what came of it ------------------------------------------------------------------------

    def value_at(self, path: str, values: Mapping[str, Any], done: Mapping[str, Outcome]) -> Any:
        """The value in force at a path of an entry or result, or None when there is none yet."""
        given: dict[str, Any] = {}
        # Of a stage that is switched off there is nothing.
        if path.split(".")[0] not in self.off:
            self._fetch(path, values, done, given, "it", [], [])
        return given.get("it")

    def results(self, done: Mapping[str, Outcome]) -> Iterator[tuple[str, Out, Any]]:
        """Every declared result that was worked out: path, declaration, value."""
        for key, node in self.nodes.items():
            if done[key].works:
                for name, out in node.outputs.items():
                    if isinstance(out, Out):
                        yield f"{key}.{name}", out, getattr(done[key].result, name)

    def checks(self, values: Mapping[str, Any], done: Mapping[str, Outcome]) -> Iterator[tuple[str, Asks, Check]]:
        """Every check of the build, pencilled values included: path, declaration, check."""
        for key, node in self.nodes.items():
            for name, asks in node.checks.items():
                yield f"{key}.{name}", asks, _check_of(done[key], name)
        for place in self.places.values():
            if place.pencil is not None:
                label = f"pencilled {place.kind.meaning} is near {place.pencil.path}"
                yield place.path, Asks(label, "kit"), self._closing(place, values, done)

    def _closing(self, place: Place, values: Mapping[str, Any], done: Mapping[str, Outcome]) -> Check:
        assert place.pencil is not None
        guess = self.value_at(place.path, values, done)
        found = self.value_at(place.pencil.path, values, done)
        if not is_quantity(guess) or not is_quantity(found):
            return open_check(f"{place.pencil.path} is not worked out yet")
        return at_most(abs(found - guess), place.pencil.within)

    def handed(self, done: Mapping[str, Outcome], wanted: type) -> Iterator[tuple[str, Any]]:
        """Every row of one type that the stages hand on: stage key, row."""
        for node in self.nodes.values():
            if node.is_body and done[node.key].works:
                yield from ((node.stage, row) for row in done[node.key].result if isinstance(row, wanted))


def alike(one: Any, other: Any) -> bool:
    """True when two values are the same to the last bit, arrays and rows included."""
    if one is other:
        return True
    if type(one) is not type(other):
        return False
    if is_quantity(one):
        return bool(one.units == other.units) and alike(one.magnitude, other.magnitude)
    if isinstance(one, (np.ndarray, np.generic)):
        return bool(np.array_equal(one, other, equal_nan=True))
    if isinstance(one, float):
        return bool(one == other or (one != one and other != other))
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(alike, one, other))
    if hasattr(type(one), "declaration"):
        return all(alike(value, vars(other)[name]) for name, value in vars(one).items())
    return bool(one == other)


def _same_inputs(before: Mapping[str, Any] | None, given: Mapping[str, Any]) -> bool:
    return (
        before is not None and before.keys() == given.keys() and all(alike(before[name], given[name]) for name in given)
    )


def _settle(new: Outcome, before: Outcome | None) -> Outcome:
    """Keep the old result object when the new one is equal, so that what hangs on it need not be worked out again."""
    if (
        before is not None
        and new.works
        and before.works
        and new.lacks == before.lacks
        and alike(new.result, before.result)
    ):
        return replace(new, result=before.result)
    return new


def _work_out(node: Node, given: Mapping[str, Any], lacks: tuple[str, ...]) -> Outcome:
    broken = {name: value for name, value in given.items() if isinstance(value, InputError)}
    if broken:
        faults = {f"{name}: {inner}": why for name, error in broken.items() for inner, why in error.faults.items()}
        return Outcome(fault=InputError(node.key, faults), lacks=lacks, given=given)
    try:
        made = tuple(node.call(**given)) if node.is_body else node.call(**given)
    except InputError as error:
        faults = error.faults if error.where in ("", getattr(node.call, "__name__", "")) else {error.where: str(error)}
        return Outcome(fault=InputError(node.key, faults, error.meanings), lacks=lacks, given=given)
    return Outcome(result=made, lacks=lacks, given=given)


def _check_of(outcome: Outcome, name: str) -> Check:
    if outcome.waits:
        return open_check(f"waits for {', '.join(outcome.waits[:3])}" + (" and more" if len(outcome.waits) > 3 else ""))
    if outcome.fault is not None:
        return open_check(next(iter(outcome.fault.faults.values())))
    check: Check = getattr(outcome.result, name)
    if outcome.lacks:
        return reopened(check, f"could not be taken in yet: {', '.join(outcome.lacks)}")
    return check


def _renamed(row: Any, stage: str) -> Any:
    made = object.__new__(type(row))
    made.__dict__.update(row.__dict__, name=f"{stage}: {row.name}")
    return made


def _misfit(source: Any, kind: Any) -> str | None:
    if isinstance(kind, In) and kind.unit != "*":
        given = source.unit if isinstance(source, In | Out) else "1" if isinstance(source, Count) else None
        if given is None:
            return f"that is not a quantity in {kind.unit}"
        if given != "*" and unit(given).dimensionality != unit(kind.unit).dimensionality:
            return f"that is in {given}, not in {kind.unit}"
    if isinstance(kind, Choice):
        if not isinstance(source, Choice | Says):
            return "that is not a choice of words"
        if isinstance(source, Choice) and (strange := set(source.options) - set(kind.options)):
            return f"that may be {', '.join(sorted(strange))}, which is not among {kind.allowed()}"
    if isinstance(kind, Rows) and getattr(source, "row", None) is not kind.row:
        return f"that is not a table of {kind.row.__name__}"
    return None
