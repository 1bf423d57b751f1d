"""Doubt: what each input may be give or take, and what the whole build makes of it.

A give or take is a half-width and a shape: "5 %", "2 mm", "triangle 0.1 m",
"normal 7 %".  Even (rectangular) is meant when no shape is named; the
half-width of a normal one holds 95 % of it, two standard deviations.  Entries
that err together carry the same *shared* name and are drawn as one.  Where
nothing is given the default of the entry's basis stands in.

Each entry has its own stream of random numbers, keyed by its path, so that a
new entry leaves all other draws as they were and two alternatives are compared
on the same draws.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from kit.build.graph import Graph, Outcome
from kit.build.inputs import Values, assemble, kind_of
from kit.kinds import Basis, In
from kit.quantities import Q, Quantity, is_quantity
from kit.sampling import sampling
from kit.workshop import ReadError, read

__all__ = ["BY_BASIS", "Doubt", "GiveOrTake", "doubtful", "draw", "read_give_or_take", "sample"]

Shape = Literal["even", "triangle", "normal"]

# Half-width as a share of the value where no give or take is entered. Judgement of the trades, no source.
BY_BASIS: Mapping[Basis, float] = {
    "measured": 0.01,
    "data sheet": 0.05,
    "handbook": 0.15,
    "common practice": 0.15,
    "estimate": 0.30,
}


@dataclass(frozen=True, slots=True)
class GiveOrTake:
    """A half-width, as an amount or as a share of the value, and its shape."""

    shape: Shape
    amount: Quantity | None = None
    share: float | None = None

    def half_width(self, value: Quantity) -> Quantity:
        """The half-width at a value, in the value's own unit (a difference for temperatures)."""
        if self.amount is not None:
            return self.amount
        assert self.share is not None
        size = abs(value.magnitude) * self.share
        name = f"{value.units:~C}"
        return Q(size, f"delta_{name}" if name in ("degC", "degF") else name)


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


def read_give_or_take(text: str, kind: In) -> GiveOrTake:
    """A give or take from its text.  Raises ReadError with one sentence."""
    words = text.strip().split(maxsplit=1)
    shape: Shape = "even"
    amount = text.strip().removeprefix("±").strip()
    if words and words[0] in ("even", "triangle", "normal"):
        shape, amount = words[0], words[1] if len(words) > 1 else ""  # type: ignore[assignment]
    if amount.endswith("%") and kind.unit != "percent":
        share = read(amount, "percent").m_as("")
        half = GiveOrTake(shape, share=float(share))
    else:
        name = "" if kind.unit == "*" else kind.unit
        half = GiveOrTake(shape, amount=read(amount, name, difference=name in ("degC", "degF")))
    size = half.share if half.share is not None else half.amount.magnitude  # type: ignore[union-attr]
    if size < 0:
        raise ReadError(f"'{text}' is negative; a give or take is a half-width, such as '5 %' or '2 mm'")
    return half


def doubtful(graph: Graph, values: Values, entries: Mapping[str, Any]) -> list[Doubt]:
    """Every entry that is sampled: its own give or take, or the default of its basis.

    `entries` are the record's entries by path, with `basis`, `give_or_take` and
    `shared`.  Words, counts and pure choices are decisions and are never drawn.
    """
    found = []
    for path, value in values.cells.items():
        kind = kind_of(graph, path)
        entry = entries.get(path)
        if not isinstance(kind, In) or not is_quantity(value) or entry is None:
            continue
        if entry.give_or_take:
            half = read_give_or_take(entry.give_or_take, kind)
        elif kind.unit in ("degC", "degF"):
            half = GiveOrTake("even", amount=Q(2, "delta_degC"))
        else:
            half = GiveOrTake("even", share=BY_BASIS[entry.basis or kind.basis])
        if half.half_width(value).magnitude:
            found.append(Doubt(path, value, half, entry.shared or "", bool(entry.give_or_take)))
    return found


def draw(doubt: Doubt, kind: In, count: int, seed: int) -> Quantity:
    """Samples of one entry, kept within its declared limits."""
    stream = np.random.default_rng([seed, zlib.crc32(doubt.key.encode())])
    shape = doubt.give_or_take.shape
    if shape == "even":
        unit_draw = stream.uniform(-1, 1, count)
    elif shape == "triangle":
        unit_draw = stream.triangular(-1, 0, 1, count)
    else:
        unit_draw = stream.standard_normal(count) / 2
    half = doubt.give_or_take.half_width(doubt.value)
    moved: Quantity = doubt.value + Quantity(half.magnitude * unit_draw, half.units)
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
