"""Tables of a stage shown whole: the rows of a result, one line each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from kit.calculator import declared
from kit.kinds import Asks, Out, Rows
from kit.notebook.page import Page
from kit.notebook.text import MARKS
from kit.notebook.views import TableView
from kit.workshop import Prefs

__all__ = ["RowsTable", "columns_of", "row_lines"]


def columns_of(row: type, wanted: Sequence[str] = ()) -> dict[str, Any]:
    """The columns of a row or result class that fit a table, by name: all but curves and tables within.

    `wanted` picks and orders them.  Raises KeyError for a column that is not there.
    """
    said = declared(row)
    every: dict[str, Any] = {name: entry.kind for name, entry in said.inputs.items()}
    every |= {**said.outputs, **said.checks}
    fit = {n: kind for n, kind in every.items() if not isinstance(kind, Rows) and not getattr(kind, "over", "")}
    if strange := [name for name in wanted if name not in fit]:
        raise KeyError(f"a row of {row.__name__} has no column {strange[0]}; it has {', '.join(fit)}")
    return {name: fit[name] for name in wanted or fit}


def row_lines(rows: Sequence[Any], columns: dict[str, Any], prefs: Prefs) -> Iterator[tuple[str, ...]]:
    """Each row as texts for a person."""
    for one in rows:
        yield tuple(_cell(getattr(one, name), kind, prefs) for name, kind in columns.items())


def _cell(value: Any, kind: Any, prefs: Prefs) -> str:
    if value is None:
        return ""
    if isinstance(kind, Asks):
        reason = f" ({value.reason})" if value.reason and not value.passes else ""
        return f"{MARKS[value.verdict]} {value.verdict}{reason}"
    return str(kind.show(value, prefs)) if hasattr(kind, "show") else str(value)


def head_of(columns: dict[str, Any]) -> tuple[str, ...]:
    """What stands above each column."""
    return tuple(getattr(kind, "meaning", "") or getattr(kind, "label", "") for kind in columns.values())


class RowsTable(TableView):
    """The rows of one result or entry of the stage, such as the cups of a pour."""

    def __init__(self, page: Page, path: str, columns: Sequence[str] = ()) -> None:
        self.path = path if path.split(".")[0] in page.build.graph.stages else f"{page.stage.key}.{path}"
        kind = page.build.graph.kind_at(self.path)
        if not isinstance(kind, Rows):
            raise KeyError(f"{self.path} is not a table of this build")
        self.meaning = kind.meaning
        self.columns = columns_of(kind.row, columns)
        self.head = head_of(self.columns)
        self.numbers = tuple(place for place, one in enumerate(self.columns.values()) if isinstance(one, Out))
        super().__init__(page)

    def above(self) -> str:
        rows = self.page.build.value(self.path)
        if rows is None:
            return f"{self.meaning}: not worked out yet"
        return f"{self.meaning}:" if rows else f"{self.meaning}: none"

    def table(self) -> list[tuple[str, ...]]:
        rows = self.page.build.value(self.path)
        return list(row_lines(rows or (), self.columns, self.page.build.prefs))
