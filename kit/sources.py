"""Published sources by key, and handbook facts that rest on them.

`SOURCES` is the bibliography: every key used by a calculator, a table row or a
check stands in it once.  `read_table` loads a handbook table whose every row
names its source.  A `Fact` is one value with its unit, source, place in the
source, and whether it was read there or is from memory; it hands out a fresh
quantity each time, so that no caller can change it for the others.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Literal

from kit.quantities import Q, Quantity

__all__ = ["SOURCES", "Fact", "Known", "Source", "read_facts", "read_table"]

# How a value was come by: read in the source named, worked out from values read, or from memory, to be confirmed.
Known = Literal["read", "worked out", "memory", "common practice"]


@dataclass(frozen=True, slots=True)
class Source:
    """One published source."""

    key: str
    title: str
    where: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Fact:
    """One handbook value: what it is, its value and unit, and where it stands."""

    key: str
    meaning: str
    value: float
    unit: str
    source: str
    place: str
    known: Known
    note: str = ""

    @property
    def q(self) -> Quantity:
        """The value as a fresh quantity."""
        return Q(self.value, self.unit)


@lru_cache(maxsize=64)
def read_table(name: str) -> tuple[Mapping[str, str], ...]:
    """The rows of `kit/tables/NAME.csv`, as text by column; lines that begin with # are left out."""
    text = (files("kit") / "tables" / f"{name}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    return tuple(MappingProxyType(line) for line in csv.DictReader(lines))


@lru_cache(maxsize=64)
def read_facts(name: str) -> Mapping[str, Fact]:
    """A table of facts by key; its columns are those of `Fact`."""
    made = {
        line["key"]: Fact(
            line["key"], line["meaning"], float(line["value"]), line["unit"], line["source"], line["place"],
            line["known"], line["note"] or "",  # type: ignore[arg-type]
        )
        for line in read_table(name)
    }
    return MappingProxyType(made)


SOURCES: Mapping[str, Source] = MappingProxyType({
    line["key"]: Source(line["key"], line["title"], line["where"], line["note"] or "") for line in read_table("sources")
})
