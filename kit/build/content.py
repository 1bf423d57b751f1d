"""From the plain dictionary of a record file to its content; nothing unknown is dropped without a word.

How a key is understood follows from its depth alone, so that a record can be
read without knowing any calculator: a text two or three keys deep is an input,
one that lies deeper is a cell: its last key is the column, the key before that
the row, the rest the table.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from functools import cached_property
from typing import Any

from kit.build.entries import (
    BASES,
    ROW_SPEAKS,
    STATES,
    TOP,
    Entry,
    RecordError,
    State,
    faults_of,
    join_path,
    row_name_fault,
    split_path,
)

__all__ = ["Content", "is_entry", "is_marker", "plain_entry", "read_content", "spoken_by_row", "with_row"]

_KNOWN_BUILD = ("name", "revision", "note", "made_from", "stages_off")
_FIELDS = ("value", "basis", "give_or_take", "shared", "source", "note", "date")


@dataclass(frozen=True, eq=False)
class Content:
    """What a record says: entries and rows by path, states by name, and what was odd about the file.

    `rows` has the names of the rows of every table in the order of the file,
    tables that were emptied on purpose included.
    """

    entries: Mapping[str, Entry] = field(default_factory=dict)
    rows: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    states: Mapping[str, State] = field(default_factory=dict)
    meta: Mapping[str, Any] = field(default_factory=dict)
    problems: tuple[str, ...] = ()
    schema: int = 1

    @property
    def name(self) -> str:
        """The name of the build."""
        return str(self.meta.get("name", ""))

    @property
    def revision(self) -> int:
        """The number of the last save."""
        return int(self.meta.get("revision", 0))

    @property
    def note(self) -> str:
        """What is said about the build as a whole."""
        return str(self.meta.get("note", ""))

    @property
    def made_from(self) -> str:
        """The demo this build was copied from, or nothing."""
        return str(self.meta.get("made_from", ""))

    @property
    def stages_off(self) -> tuple[str, ...]:
        """Stages that this build does not have."""
        return tuple(self.meta.get("stages_off", ()))

    @cached_property
    def checksum(self) -> str:
        """SHA-256 over everything the record says; comments, layout and order of tables do not count, order of rows does."""
        said = [sorted(self.entries.items()), sorted(self.rows.items()), sorted(self.states.items()), sorted(self.meta.items())]
        return hashlib.sha256(json.dumps(said, default=_as_json, ensure_ascii=True).encode()).hexdigest()

    def unknown(self, known: Collection[str]) -> tuple[str, ...]:
        """Paths in the record that are not among the known ones; a cell is known as `table.column`, a table as itself."""
        def key(path: str) -> str:
            place = split_path(path)
            return f"{place.table}.{place.column}" if place.column else path

        return tuple(path for path in (*self.entries, *self.rows) if key(path) not in known)


def _as_json(value: object) -> object:
    return [getattr(value, name) for name in value.__slots__] if isinstance(value, Entry | State) else str(value)


def is_entry(item: object) -> bool:
    """True for what stands for one input: a bare value, or a table with a key `value`."""
    if isinstance(item, dict):
        return "value" in item and not isinstance(item["value"], dict | list)
    return not isinstance(item, list)


def is_marker(item: object) -> bool:
    """True for a table that says it has no rows."""
    return isinstance(item, dict) and item == {"rows": "none"}


def plain_entry(item: Any) -> Entry:
    """An entry from a bare value or table; fields that cannot be understood are left out."""
    return _entry(item, [], "")


def _text_of(value: object) -> str:
    """Bare numbers and yes or no are taken as if they stood in quotes: `count = 4`, `wet = true`."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value.isoformat() if isinstance(value, date | time) else str(value)


def _entry(item: Any, problems: list[str], path: str) -> Entry:
    if not isinstance(item, dict):
        return Entry(_text_of(item))
    problems += [f"{path} has a key '{key}' that means nothing here; it is kept" for key in item if key not in _FIELDS]
    about = _about(item, problems, path)
    for key in ("give_or_take", "shared"):
        if _said(item.get(key)):
            about[key] = _text_of(item[key])
    return Entry(_text_of(item["value"]), **about)


def _said(value: object) -> bool:
    return value is not None and value != "" and not isinstance(value, dict | list)


def _about(group: Mapping[str, Any], problems: list[str], path: str) -> dict[str, Any]:
    """Basis, source, note and date of an entry or row, as far as they are given and understood."""
    about: dict[str, Any] = {}
    for key in ROW_SPEAKS:
        value = group.get(key)
        if not _said(value):
            continue
        if key == "basis":
            value = value if value in BASES else None
        elif key == "date":
            value = _date(value)
        else:
            value = _text_of(value)
        if value is None:
            hint = f"it may be {', '.join(BASES)}" if key == "basis" else "write one such as 2026-05-02"
            problems.append(f"{path}: the {key} '{group[key]}' is not understood and not used; {hint}")
        else:
            about[key] = value
    return about


def _date(value: object) -> date | None:
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        return None


def spoken_by_row(group: Mapping[str, Any]) -> dict[str, Any]:
    """What a row says for all of its cells."""
    return _about(group, [], "")


def with_row(entry: Entry, about: Mapping[str, Any]) -> Entry:
    """A cell together with what its row says where the cell itself says nothing."""
    def own(name: str) -> Any:
        return getattr(entry, name) or about.get(name) or ("" if name in ("source", "note") else None)

    if not about:
        return entry
    return Entry(
        entry.value, own("basis"), entry.give_or_take, entry.shared, own("source"), own("note"), own("date"),
    )


def read_content(data: Mapping[str, Any], problems: list[str] | None = None) -> Content:
    """The content of a record from the dictionary of its file."""
    reader = _Reader(problems if problems is not None else [])
    for key, item in data.items():
        if key not in TOP:
            reader.stage(key, item)
    meta = reader.meta(data.get("build", {}))
    states = dict(reader.states(data.get("states", {})))
    return Content(reader.entries, reader.rows, states, meta, tuple(reader.problems), data.get("schema", 1))


class _Reader:
    """Collects entries, rows and problems while a record is walked through."""

    def __init__(self, problems: list[str]) -> None:
        self.entries: dict[str, Entry] = {}
        self.rows: dict[str, tuple[str, ...]] = {}
        self.problems = problems

    def stage(self, key: str, item: Any) -> None:
        if not isinstance(item, dict):
            self._odd((key,), "stands outside every stage")
            return
        for name, inner in item.items():
            if is_entry(inner):
                self._take((key, name), inner, f"{key}.{name}")
            elif is_marker(inner):
                self._table((key, name), {})
            elif isinstance(inner, dict):
                self._middle((key, name), inner)
            else:
                self._odd((key, name), "is a list")

    def _middle(self, trail: tuple[str, ...], group: Mapping[str, Any]) -> None:
        """A calculator with its inputs, or a table of the stage itself with its rows."""
        rows: dict[str, Any] = {}
        for name, inner in group.items():
            path = ".".join((*trail, name))
            if is_entry(inner):
                self._take((*trail, name), inner, path)
            elif is_marker(inner):
                self._table((*trail, name), {})
            elif not isinstance(inner, dict):
                self._odd((*trail, name), "is a list")
            elif any(map(is_entry, inner.values())):
                rows[name] = inner
            elif inner or not _has_rows(group):
                self._table((*trail, name), inner)
            else:
                rows[name] = inner
        if rows:
            self._table(trail, rows)

    def _table(self, trail: tuple[str, ...], rows: Mapping[str, Any]) -> None:
        table = ".".join(trail)
        names = []
        for name, group in rows.items():
            if name == "rows" and not isinstance(group, dict):
                continue
            if not isinstance(group, dict) or is_entry(group):
                self._odd((*trail, name), "is no row, because it holds no cells")
            elif (why := row_name_fault(name)) is not None:
                self.problems.append(f"{table}: {why}; the row is kept and not used")
            else:
                names.append(name)
                self._row(trail, name, group)
        if self._is_path(trail):
            self.rows[table] = tuple(names)

    def _row(self, trail: tuple[str, ...], row: str, group: Mapping[str, Any]) -> None:
        table = ".".join(trail)
        about = _about(group, self.problems, f"{table}[{row}]")
        for column, item in group.items():
            if column in ROW_SPEAKS:
                continue
            if not is_entry(item):
                self._odd((*trail, row, column), "is no cell")
                continue
            try:
                path = join_path(table, row, column)
            except RecordError as error:
                self.problems.append(f"{error}; it is kept and not used")
                continue
            self.entries[path] = with_row(self._judged(path, item), about)

    def _take(self, trail: tuple[str, ...], item: Any, path: str) -> None:
        if self._is_path(trail):
            self.entries[path] = self._judged(path, item)

    def _judged(self, path: str, item: Any) -> Entry:
        entry = _entry(item, self.problems, path)
        self.problems += faults_of(path, entry)
        return entry

    def _is_path(self, trail: tuple[str, ...]) -> bool:
        try:
            if any(set(name) & set(".[]") for name in trail):
                self._odd(trail, "has a key that no input can have")
                return False
            split_path(".".join(trail))
        except RecordError as error:
            self.problems.append(f"{error}; it is kept and not used")
            return False
        return True

    def _odd(self, trail: tuple[str, ...], why: str) -> None:
        self.problems.append(f"{'.'.join(trail)!a} {why}; it is kept and not used")

    def meta(self, build: Any) -> dict[str, Any]:
        """The table [build]; what cannot be used is reported."""
        if not isinstance(build, dict):
            self._odd(("build",), "is no table")
            return {}
        made: dict[str, Any] = {}
        for key, value in build.items():
            fits = {"revision": _is_count(value), "stages_off": _is_words(value)}.get(key, isinstance(value, str))
            if key not in _KNOWN_BUILD:
                self.problems.append(f"[build] has a key '{key}' that means nothing here; it is kept")
            elif not fits:
                self.problems.append(f"[build]: {key} = {value!r} is not understood and not used")
            else:
                made[key] = tuple(value) if key == "stages_off" else value
        return made

    def states(self, states: Any) -> Iterator[tuple[str, State]]:
        """The table [states]; what cannot be used is reported."""
        if not isinstance(states, dict):
            self._odd(("states",), "is no table")
            return
        for name, item in states.items():
            word = item.get("state") if isinstance(item, dict) else item
            if word not in STATES:
                self.problems.append(f"[states]: '{name}' is '{word}', which is not understood; it may be {', '.join(STATES)}")
                continue
            said = item if isinstance(item, dict) else {}
            revision = said.get("revision")
            yield name, State(word, _date(said["date"]) if "date" in said else None, revision if _is_count(revision) else None)


def _has_rows(group: Mapping[str, Any]) -> bool:
    rows = [inner for inner in group.values() if isinstance(inner, dict) and not is_entry(inner)]
    return any(any(map(is_entry, inner.values())) for inner in rows)


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**12


def _is_words(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)
