"""What a record holds, as text: entries by path, changes to them, and what came of a change.

A path is `stage.input`, `stage.calculator.input`, or for one cell of a table
`stage.calculator.table[row].column`.  Everything here is text and dates; units,
limits and meanings are judged by the floors that read a record.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal, TypeAlias, get_args

__all__ = [
    "BASES", "RESERVED", "ROW_SPEAKS", "STATES", "TOP", "Alternative", "Basis", "Change", "Conflict", "Entry", "Held",
    "Place", "RecordError", "RecordExists", "RowsChange", "Saved", "State", "StateName", "clipped", "faults_of",
    "join_path", "row_name_fault", "said", "split_path", "text_fault",
]

Basis = Literal["measured", "data sheet", "handbook", "common practice", "estimate"]
BASES: tuple[Basis, ...] = get_args(Basis)
StateName = Literal["planned", "bought", "cut", "fitted", "weighed", "done"]
STATES: tuple[StateName, ...] = get_args(StateName)

# What a row may say once for all of its cells.
ROW_SPEAKS = ("basis", "source", "note", "date")
# Words with a meaning of their own in a row: no column may be called one of them, and no input `value` or `rows`.
RESERVED = frozenset({"value", "give_or_take", "shared", "rows", *ROW_SPEAKS})
# Tables at the top of a record that are not stages.
TOP = frozenset({"schema", "build", "states", "alternatives"})

_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*\Z")
_PATH = re.compile(r"([^\[\].]+(?:\.[^\[\].]+){1,2})(?:\[([^\[\]]*)\]\.([^\[\].]+))?\Z")
# Marks that turn the direction of writing can make a line read as what it is not.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")

_LONGEST = {"value": 200, "give_or_take": 200, "shared": 60, "source": 500, "note": 2000}
_EXAMPLES = {
    "value": "145 mm", "give_or_take": "1 mm", "shared": "pipe batch", "source": "calipers on five",
    "note": "dry side up",
}


class RecordError(Exception):
    """A record could not be read or written; one sentence with the file and the cause."""


class RecordExists(RecordError):
    """A new record was to be made where a file lies already."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One input as recorded: text with its unit, how it is known, its give or take, and where it comes from.

    `shared` names what makes entries err together, such as a pipe they are cut from.
    """

    value: str
    basis: Basis | None = None
    give_or_take: str | None = None
    shared: str | None = None
    source: str = ""
    note: str = ""
    date: date | None = None


@dataclass(frozen=True, slots=True)
class State:
    """How far a part, purchase or task is, since when, and at which revision that was said."""

    state: StateName
    date: date | None = None
    revision: int | None = None


@dataclass(frozen=True, slots=True)
class Alternative:
    """A named way the build might go instead: texts by path that differ from the present, and a note."""

    changes: Mapping[str, str]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """A path taken apart: the names up to the input or table, and for a cell its row and column."""

    names: tuple[str, ...]
    row: str = ""
    column: str = ""

    @property
    def table(self) -> str:
        """The path without row and column."""
        return ".".join(self.names)

    @property
    def trail(self) -> tuple[str, ...]:
        """The keys that lead to the place in the file."""
        return (*self.names, self.row, self.column) if self.column else self.names


@dataclass(frozen=True, slots=True)
class Change:
    """One entry to write, or to take out when `entry` is None.

    `seen` is what the writer believed to be there; when the file has something
    else, the change is not made and comes back as a conflict.
    """

    path: str
    entry: Entry | None
    seen: Entry | None = None


@dataclass(frozen=True, slots=True)
class RowsChange:
    """The rows a table is to have, in order; None takes the table out, so that its default stands again.

    `seen` are the rows the writer believed to be there, `renamed` gives new names
    by old ones.  Rows that others added meanwhile stay.  Changes to cells in
    the same save go by the new names; a row is taken out only once all of its
    cells are taken out in the same save, so that no cell is lost unseen.
    """

    table: str
    rows: tuple[str, ...] | None
    seen: tuple[str, ...] | None = None
    renamed: Mapping[str, str] = field(default_factory=dict)


Held: TypeAlias = "Entry | State | tuple[str, ...] | str | None"


@dataclass(frozen=True, slots=True)
class Conflict:
    """A change that was not made: what was wanted, what its writer had seen, what the file has, who wrote that when."""

    path: str
    wanted: Held
    seen: Held
    found: Held
    who: str = ""
    when: datetime | None = None
    why: str = ""
    what: str = "entry"

    def __str__(self) -> str:
        by = f", written by {self.who}" if self.who else ""
        at = f" at {self.when:%Y-%m-%d %H:%M}" if self.when else ""
        reason = f" ({self.why})" if self.why else ""
        return (
            f"{self.path} was not changed to {said(self.wanted)}: it was {said(self.seen)} when read "
            f"and is {said(self.found)} now{by}{at}{reason}"
        )


@dataclass(frozen=True, slots=True)
class Saved:
    """What a save did: the revision now in the file, paths changed, changes not made, and remarks."""

    revision: int
    applied: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    notes: tuple[str, ...] = ()


def said(held: Held) -> str:
    """An entry, state or list of rows in a few words."""
    if held is None:
        return "nothing"
    if isinstance(held, Entry):
        return f"'{held.value}'" + (f" ({held.basis})" if held.basis else "")
    if isinstance(held, State):
        return held.state
    return f"'{held}'" if isinstance(held, str) else ", ".join(held) or "no rows"


def split_path(path: str) -> Place:
    """Take a path apart.  Raises RecordError with one sentence when it is none.

    >>> split_path("raft.afloat.floats[port outer].diameter").row
    'port outer'
    """
    found = _PATH.match(path)
    if found is None:
        raise RecordError(
            f"'{clipped(path)}' is no path of an entry; "
            "write one such as frame.layout.gap or raft.afloat.floats[port].length"
        )
    place = Place(tuple(found[1].split(".")), found[2] or "", found[3] or "")
    why = _names_fault(place)
    if why is None and found[2] is not None:
        why = row_name_fault(place.row)
    if why is not None:
        raise RecordError(f"'{clipped(path)}' is no path of an entry: {why}")
    return place


def join_path(table: str, row: str, column: str) -> str:
    """The path of one cell.  Raises RecordError when a name in it cannot be used.

    >>> join_path("raft.afloat.floats", "port outer", "diameter")
    'raft.afloat.floats[port outer].diameter'
    """
    why = row_name_fault(row)
    if why is not None:
        raise RecordError(f"{table}: {why}")
    path = f"{table}[{row}].{column}"
    split_path(path)
    return path


def _names_fault(place: Place) -> str | None:
    if place.names[0] in TOP:
        return f"'{place.names[0]}' is no stage but a part of every record"
    for name in (*place.names, *([place.column] if place.column else [])):
        if not _NAME.match(name) or len(name) > 60:
            return f"'{clipped(name)}' is no name of an input; letters, digits and _ make one, such as board_width"
        if name in ("value", "rows") or (name == place.column and name in RESERVED):
            return f"'{name}' has a meaning of its own there; call it something else"
    return None


def row_name_fault(name: str) -> str | None:
    """Why a row cannot have this name, or None."""
    allowed = "a row's name has 1 to 60 printable characters without [ and ], such as 'port outer'"
    if not name.strip():
        return f"a row without a name was given; {allowed}"
    if name != name.strip() or len(name) > 60 or not name.isprintable() or set(name) & set("[]"):
        return f"'{clipped(name)}' cannot be a row's name; {allowed}"
    return None


def text_fault(text: object, longest: int, example: str, *, lines: bool = False) -> str | None:
    """Why a text cannot be kept, or None: control characters, halves of characters, too long."""
    if not isinstance(text, str):
        return f"is {type(text).__name__} {clipped(str(text))}, not text; write it as text, such as '{example}'"
    if len(text) > longest:
        return f"has {len(text)} characters; {longest} are allowed, such as '{example}'"
    for letter in text:
        refused = unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp") or letter in _TURNING
        if refused and not (lines and letter == "\n"):
            return f"holds the character U+{ord(letter):04X}; only printable text is kept, such as '{example}'"
    return None


def faults_of(path: str, entry: Entry) -> list[str]:
    """One sentence for each field of an entry that cannot be kept."""
    faults = []
    for name, longest in _LONGEST.items():
        text = getattr(entry, name)
        if text is None and name in ("give_or_take", "shared"):
            continue
        why = text_fault(text, longest, _EXAMPLES[name], lines=name == "note")
        if why is None and name == "value" and not text.strip():
            why = "is empty; write one such as '145 mm', or take the entry out"
        if why is not None:
            faults.append(f"{path}: the {name.replace('_', ' ')} {why}")
    if entry.basis is not None and entry.basis not in BASES:
        faults.append(f"{path}: the basis '{clipped(str(entry.basis))}' is unknown; it may be {', '.join(BASES)}")
    if entry.date is not None and type(entry.date) is not date:
        faults.append(f"{path}: the date {clipped(str(entry.date))} is no date; give one such as date(2026, 5, 2)")
    return faults


def clipped(text: str) -> str:
    """Text as it can stand in a sentence: what cannot be printed is spelt out, what is long is cut."""
    plain = text.encode("unicode_escape").decode("ascii") if not text.isprintable() else text
    return plain if len(plain) <= 80 else f"{plain[:77]}..."
