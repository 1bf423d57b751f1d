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
from functools import cached_property
from types import MappingProxyType
from typing import Any

from kit.build.entries import (
    ROW_SPEAKS,
    STATES,
    TOP,
    Alternative,
    Entry,
    RecordError,
    State,
    clipped,
    faults_of,
    join_path,
    row_name_fault,
    split_path,
)
from kit.build.items import about_of, date_of, entry_of, is_entry, is_group, is_marker, text_of, with_row

__all__ = ["Content", "read_content", "read_state"]

_BUILD = ("name", "revision", "note", "made_from", "stages_off")


@dataclass(frozen=True, eq=False)
class Content:
    """What a record says: entries and rows by path, states by name, and what was odd about the file.

    `rows` has the names of the rows of every table in the order of the file,
    tables that were emptied on purpose included.
    """

    entries: Mapping[str, Entry] = field(default_factory=dict)
    rows: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    states: Mapping[str, State] = field(default_factory=dict)
    alternatives: Mapping[str, Alternative] = field(default_factory=dict)
    meta: Mapping[str, Any] = field(default_factory=dict)
    problems: tuple[str, ...] = ()

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
        """SHA-256 over all that the record says, revision included; comments and layout do not count."""
        said = [sorted(part.items()) for part in (self.entries, self.rows, self.states, self.meta)]
        if self.alternatives:
            said.append(sorted((n, [sorted(one.changes.items()), one.note]) for n, one in self.alternatives.items()))
        return hashlib.sha256(json.dumps(said, default=_as_json, ensure_ascii=True).encode()).hexdigest()

    def unknown(self, known: Collection[str]) -> tuple[str, ...]:
        """Paths in the record that are not known; a cell is known as `table.column`, a table as itself."""
        return tuple(path for path in (*self.entries, *self.rows) if _bare(path) not in known)


def _bare(path: str) -> str:
    place = split_path(path)
    return f"{place.table}.{place.column}" if place.column else path


def _as_json(value: object) -> object:
    return [getattr(value, name) for name in value.__slots__] if isinstance(value, Entry | State) else str(value)


def read_content(data: Mapping[str, Any], problems: list[str] | None = None) -> Content:
    """The content of a record from the dictionary of its file; problems found are added to those given."""
    reader = _Reader([] if problems is None else problems)
    for key, item in data.items():
        if key not in TOP:
            reader.stage(key, item)
    meta = dict(reader.meta(data.get("build", {})))
    states = dict(reader.states(data.get("states", {})))
    others = dict(reader.alternatives(data.get("alternatives", {})))
    fixed = MappingProxyType
    return Content(
        fixed(reader.entries), fixed(reader.rows), fixed(states), fixed(others), fixed(meta), tuple(reader.problems)
    )


def read_state(item: Any) -> State | None:
    """How far something is, from a bare word or a table; None when it is not understood."""
    said = item if isinstance(item, dict) else {"state": item}
    if said.get("state") not in STATES:
        return None
    revision = said.get("revision")
    return State(said["state"], date_of(said.get("date")), revision if _is_count(revision) else None)


class _Reader:
    """Collects entries, rows and problems while a record is walked through."""

    def __init__(self, problems: list[str]) -> None:
        self.entries: dict[str, Entry] = {}
        self.rows: dict[str, tuple[str, ...]] = {}
        self.problems = problems

    def stage(self, key: str, item: Any) -> None:
        """A stage with its inputs, its calculators and its tables."""
        if not isinstance(item, dict):
            self._odd((key,), "stands outside every stage")
            return
        for name, inner in item.items():
            if is_group(inner):
                self._middle((key, name), inner)
            else:
                self._leaf((key, name), inner)

    def _middle(self, trail: tuple[str, ...], group: Mapping[str, Any]) -> None:
        """A calculator with its inputs, or a table of the stage itself with its rows."""
        rows: dict[str, Any] = {}
        for name, inner in group.items():
            if not is_group(inner):
                if (name, inner) != ("rows", "none"):
                    self._leaf((*trail, name), inner)
            elif any(map(is_entry, inner.values())) or (not inner and _has_rows(group)):
                rows[name] = inner
            else:
                self._table((*trail, name), inner)
        if rows:
            self._table(trail, rows)

    def _leaf(self, trail: tuple[str, ...], item: Any) -> None:
        """An input, or a table that says it has no rows."""
        if is_marker(item):
            self._table(trail, {})
        elif not is_entry(item):
            self._odd(trail, "is a list")
        elif self._is_path(trail):
            self._take(".".join(trail), item, {})

    def _table(self, trail: tuple[str, ...], rows: Mapping[str, Any]) -> None:
        if not self._is_path(trail):
            return
        table = ".".join(trail)
        names = []
        for name, group in rows.items():
            if (name, group) == ("rows", "none"):
                continue
            if not isinstance(group, dict) or is_entry(group):
                self._odd((*trail, name), "is no row, because it holds no cells")
            elif (why := row_name_fault(name)) is not None:
                self.problems.append(f"{table}: {why}; the row is kept and not used")
            else:
                names.append(name)
                self._row(table, name, group)
        self.rows[table] = tuple(names)

    def _row(self, table: str, row: str, group: Mapping[str, Any]) -> None:
        about = about_of(group, f"{table}[{row}]", self.problems)
        for column, item in group.items():
            if column in ROW_SPEAKS:
                continue
            if not is_entry(item):
                self._odd((table, row, column), "is no cell")
                continue
            try:
                self._take(join_path(table, row, column), item, about)
            except RecordError as error:
                self.problems.append(f"{error}; it is kept and not used")

    def _take(self, path: str, item: Any, about: Mapping[str, Any]) -> None:
        entry = entry_of(item, path, self.problems)
        self.problems += faults_of(path, entry)
        self.entries[path] = with_row(entry, about)

    def _is_path(self, trail: tuple[str, ...]) -> bool:
        if any(set(name) & set(".[]") for name in trail):
            self._odd(trail, "has a key that no input can have")
            return False
        try:
            split_path(".".join(trail))
        except RecordError as error:
            self.problems.append(f"{error}; it is kept and not used")
            return False
        return True

    def _odd(self, trail: tuple[str, ...], why: str) -> None:
        self.problems.append(f"'{clipped('.'.join(trail))}' {why}; it is kept and not used")

    def alternatives(self, there: Any) -> Iterator[tuple[str, Alternative]]:
        """The table [alternatives]: for each name, texts by path and a note."""
        if not isinstance(there, dict):
            self._odd(("alternatives",), "is no table")
            return
        for name, group in there.items():
            if not isinstance(group, dict):
                self._odd(("alternatives", name), "is no table of changes")
                continue
            changes = {}
            for path, value in group.items():
                if path == "note" or isinstance(value, str):
                    changes[path] = value
                else:
                    self._odd(("alternatives", name, path), "is no text")
            note = changes.pop("note", "")
            yield name, Alternative(MappingProxyType(changes), note if isinstance(note, str) else "")

    def meta(self, build: Any) -> Iterator[tuple[str, Any]]:
        """The table [build]; what cannot be used is reported."""
        if not isinstance(build, dict):
            self._odd(("build",), "is no table")
            return
        for key, value in build.items():
            fits = {"revision": _is_count(value), "stages_off": _is_words(value)}.get(key, isinstance(value, str))
            if key not in _BUILD:
                self.problems.append(f"[build] has a key '{clipped(key)}' that means nothing here; it is kept")
            elif not fits:
                self.problems.append(f"[build]: {key} = {clipped(text_of(value))} is not understood and not used")
            else:
                yield key, tuple(value) if key == "stages_off" else value

    def states(self, states: Any) -> Iterator[tuple[str, State]]:
        """The table [states]; what cannot be used is reported."""
        if not isinstance(states, dict):
            self._odd(("states",), "is no table")
            return
        for name, item in states.items():
            state = read_state(item)
            if state is not None:
                yield name, state
            else:
                given = clipped(text_of(item.get("state") if isinstance(item, dict) else item))
                self.problems.append(
                    f"[states]: '{clipped(name)}' is '{given}', which is not understood; it may be {', '.join(STATES)}"
                )


def _has_rows(group: Mapping[str, Any]) -> bool:
    return any(any(map(is_entry, inner.values())) for inner in group.values() if is_group(inner))


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**12


def _is_words(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)
