"""A build of one stage and one calculator, for tests that need a graph of their own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from kit.build import Build
from kit.build.graph import Graph
from kit.build.record import Change as Changed
from kit.build.record import Entry, Record
from kit.handed import Part
from kit.stage import run, stage

__all__ = ["small_build"]


def small_build(
    folder: Path, patch: pytest.MonkeyPatch, calculator: Callable[..., Any], entries: Mapping[str, Entry]
) -> Build:
    """A build whose only stage `one` runs the calculator as `one.it`, with its inputs as entries by name."""
    running = run(calculator)

    @stage("one", "01", "One", settles="one thing")
    def one(*, it: Any = running) -> Iterator[Part]:
        """Hands on nothing."""
        yield from ()

    graph = Graph([one])
    patch.setattr("kit.build.build.graph_without", lambda off: graph)
    record = Record.create(folder / "small.toml", "Small")
    record.save([Changed(f"one.it.{name}", entry) for name, entry in entries.items()])
    return Build(record)
