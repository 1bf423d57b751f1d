"""From the texts of a record to the values a graph can work with, and back.

The record keeps text by path; a path is `stage.argument.input`, or
`stage.argument.table[row].column` for one cell of a table.  `take_in` reads
every text by the kind that declares its path; what cannot be read stays in
place as an `Unreadable`, so that it never falls back to a default unseen.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from kit.build.graph import Graph
from kit.calculator import InputError, declared
from kit.kinds import Kind, Rows, Unreadable
from kit.workshop import Prefs

__all__ = ["Cell", "Values", "assemble", "cell_path", "kind_of", "split_cell", "take_in"]


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a table, or one plain entry when `row` is empty."""

    path: str
    row: str = ""
    column: str = ""


@dataclass(frozen=True, slots=True)
class Values:
    """Values by path, cells of tables included, and the rows each table has."""

    cells: Mapping[str, Any]
    tables: Mapping[str, tuple[str, ...]]
    unknown: tuple[str, ...] = ()


def cell_path(table: str, row: str, column: str) -> str:
    """The path of one cell."""
    return f"{table}[{row}].{column}"


def split_cell(path: str) -> Cell:
    """A path taken apart: the table's path, the row's name and the column; or the plain path alone."""
    if "[" not in path:
        return Cell(path)
    table, _, rest = path.partition("[")
    row, _, column = rest.rpartition("].")
    return Cell(table, row, column)


def kind_of(graph: Graph, path: str) -> Kind | None:
    """The kind declared for an entry or cell, or None when the build has no such path."""
    cell = split_cell(path)
    place = graph.places.get(cell.path)
    if place is None:
        return None
    if not cell.column:
        return place.kind
    columns = declared(place.kind.row).inputs if isinstance(place.kind, Rows) else {}
    return columns[cell.column].kind if cell.column in columns else None


def take_in(
    graph: Graph, texts: Mapping[str, str], tables: Mapping[str, tuple[str, ...]], prefs: Prefs = Prefs()
) -> Values:
    """Every text read by its kind; paths the build does not know are listed, not dropped silently."""
    cells: dict[str, Any] = {}
    unknown: list[str] = []
    for path, text in texts.items():
        kind = kind_of(graph, path)
        if kind is None or isinstance(kind, Rows):
            unknown.append(path)
        else:
            cells[path] = _read(kind, text, prefs)  # type: ignore[arg-type]
    known = {}
    for table, names in tables.items():
        if table in graph.places and isinstance(graph.places[table].kind, Rows):
            known[table] = names
        else:
            unknown.append(table)
    return Values(cells, known, tuple(unknown))


@lru_cache(maxsize=16384)
def _read(kind: Kind, text: str, prefs: Prefs) -> Any:
    """Cached, so that an unchanged text gives the very same object and nothing that hangs on it is worked out again."""
    return kind.read(text, prefs)


def assemble(graph: Graph, values: Values) -> dict[str, Any]:
    """Values by the paths of the graph's places: plain entries as they are, tables as tuples of rows.

    A table with a wrong cell becomes an `InputError` whose faults name the cells.
    """
    ready = {path: value for path, value in values.cells.items() if "[" not in path}
    by_table: dict[str, dict[str, dict[str, Any]]] = {
        table: {n: {} for n in names} for table, names in values.tables.items()
    }
    for path, value in values.cells.items():
        if "[" in path:
            cell = split_cell(path)
            by_table.setdefault(cell.path, {}).setdefault(cell.row, {})[cell.column] = value
    for table, rows in by_table.items():
        kind = graph.places[table].kind
        assert isinstance(kind, Rows)
        ready[table] = _rows(kind, rows)
    return ready


def _rows(kind: Rows, rows: Mapping[str, Mapping[str, Any]]) -> Any:
    made = []
    faults: dict[str, str] = {}
    named = "name" in declared(kind.row).inputs
    for name, cells in rows.items():
        given = {**cells, "name": name} if named else dict(cells)
        try:
            made.append(_row(kind.row, given))
        except InputError as error:
            faults.update({f"[{name}].{column}": why for column, why in error.faults.items()})
    return InputError("", faults) if faults else tuple(made)


def _row(row: Any, given: Mapping[str, Any]) -> Any:
    broken = {column: value.why for column, value in given.items() if isinstance(value, Unreadable)}
    if broken:
        raise InputError("", broken)
    key = (row, *((column, id(value)) for column, value in given.items()))
    kept = _MADE.get(key)
    # The kept values are compared by identity: an id may come back for another object once the first is gone.
    if kept is None or any(kept[0][column] is not value for column, value in given.items()):
        if len(_MADE) > 4096:
            _MADE.clear()
        kept = _MADE[key] = (dict(given), row(**given))
    return kept[1]


_MADE: dict[Any, tuple[dict[str, Any], Any]] = {}


def missing_columns(row: Any, columns: Iterable[str]) -> tuple[str, ...]:
    """The columns of a row type that must be given and are not."""
    have = set(columns)
    return tuple(
        name for name, entry in declared(row).inputs.items() if entry.required and name not in have and name != "name"
    )
