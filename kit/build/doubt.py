"""Doubt: what each input may be give or take, and what the whole build makes of it.

Entries that err together carry the same *shared* name and are drawn as one.
Where no give or take is entered the default of the entry's basis stands in.

Each entry has its own stream of random numbers, keyed by its path, so that a
new entry leaves all other draws as they were and two alternatives are compared
on the same draws.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from kit.build.give_or_take import GiveOrTake, Side, even_share, read_give_or_take
from kit.build.graph import Graph, Outcome
from kit.build.inputs import Values, assemble, kind_of
from kit.kinds import Basis, In
from kit.quantities import Q, Quantity, is_quantity
from kit.sampling import sampling

__all__ = ["BY_BASIS", "Doubt", "doubtful", "draw", "kept_within", "one_of", "sample"]

# Half-width as a share of the value where no give or take is entered. Judgement of the trades, no source.
BY_BASIS: Mapping[Basis, float] = {
    "measured": 0.01,
    "data sheet": 0.05,
    "handbook": 0.15,
    "common practice": 0.15,
    "estimate": 0.30,
}


# A share of a temperature means nothing: two degrees to either side.
_DEGREES = GiveOrTake("even", Side(amount=Q(2, "delta_degC")), Side(amount=Q(2, "delta_degC")))


@dataclass(frozen=True, slots=True)
class Doubt:
    """One doubtful entry: its value, its give or take, and the stream it is drawn from."""

    path: str
    value: Quantity
    give_or_take: GiveOrTake
    shared: str = ""
    stated: bool = True

    @property
    def key(self) -> str:
        return f"shared {self.shared}" if self.shared else self.path


def doubtful(graph: Graph, values: Values, entries: Mapping[str, Any]) -> list[Doubt]:
    """Every entry that is sampled: its own give or take, or the default of its basis.

    `entries` are the record's entries by path, with `basis`, `give_or_take` and
    `shared`.  Words, counts and what is declared as chosen are decisions and
    are not drawn, unless a give or take is entered.
    """
    found = []
    for path, value in values.cells.items():
        kind = kind_of(graph, path)
        entry = entries.get(path)
        if not isinstance(kind, In) or not is_quantity(value) or entry is None:
            continue
        if entry.give_or_take:
            half = read_give_or_take(entry.give_or_take, kind)
        elif kind.chosen:
            continue
        elif kind.out_by:
            half = read_give_or_take(kind.out_by, kind)
        elif kind.unit in ("degC", "degF"):
            half = _DEGREES
        else:
            half = even_share(BY_BASIS[entry.basis or kind.basis])
        if not half.is_nothing(value):
            found.append(Doubt(path, value, half, entry.shared or "", bool(entry.give_or_take)))
    return found


def draw(doubt: Doubt, kind: In, count: int, seed: int) -> Quantity:
    """Samples of one entry, kept within its declared limits."""
    stream = np.random.default_rng([seed, zlib.crc32(doubt.key.encode())])
    return kept_within(kind, doubt.give_or_take.quantile(doubt.value, stream.random(count)))


def kept_within(kind: In, moved: Quantity) -> Quantity:
    """Draws kept within the declared limits of an entry."""
    if kind.unit == "*":
        return moved
    low, high = (Q(limit, kind._name).to(moved.units).magnitude for limit in (kind.ge, kind.le))
    return Quantity(np.clip(moved.magnitude, low, high), moved.units)


def sample(
    graph: Graph, values: Values, entries: Mapping[str, Any], *, count: int = 10_000, seed: int = 1
) -> dict[str, Outcome]:
    """The whole build worked out on `count` samples of every doubtful entry at once.

    Every result comes back with samples along its last axis; a result that no
    doubtful entry reaches stays a single value.
    """
    drawn: dict[str, Any] = dict(values.cells)
    for doubt in doubtful(graph, values, entries):
        kind = kind_of(graph, doubt.path)
        assert isinstance(kind, In)
        drawn[doubt.path] = draw(doubt, kind, count, seed)
    with sampling():
        return graph.evaluate(assemble(graph, Values(drawn, values.tables)))


def one_of(values: Values, drawn: Mapping[str, Any], place: int) -> Values:
    """The entries of a single sample, for working it out on its own."""
    picked = {
        path: Quantity(float(v.magnitude[place]), v.units) if is_quantity(v) and np.ndim(v.magnitude) else v
        for path, v in drawn.items()
    }
    return Values(picked, values.tables)
