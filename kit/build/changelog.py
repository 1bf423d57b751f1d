"""The history of a build: one line of JSON for each change, only ever added to.

A line is written for every change that was made and for every one that was
not, because the file had something else than the writer had seen.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from kit.build.entries import Entry, Held, State

__all__ = ["LogLine", "append", "last_line", "read_log"]


@dataclass(frozen=True, slots=True)
class LogLine:
    """One change: when, at which revision, what kind, where, from what to what, why and by whom.

    `what` is entry, rows, state, build, copied, upgraded, by hand, or unreadable
    (then `why` says what stands there instead of a line).  Where `applied` is
    false the change was not made, `old` is what its writer had seen and `found`
    what the file had.  `after` is the checksum of the record it led to.
    """

    when: datetime | None
    revision: int
    what: str
    path: str
    old: Held = None
    new: Held = None
    why: str = ""
    who: str = ""
    applied: bool = True
    found: Held = None
    after: str = ""

    def as_text(self) -> str:
        """The line as it stands in the log."""
        said = {one.name: _written(getattr(self, one.name)) for one in fields(self)}
        plain = {key: value for key, value in said.items() if key in ("when", "revision", "what", "path", "old", "new") or value}
        plain["applied"] = self.applied
        return json.dumps(plain, ensure_ascii=True) + "\n"


def now() -> datetime:
    """The present, to the second, in universal time."""
    return datetime.now(UTC).replace(microsecond=0)


def _written(value: Any) -> Any:
    if isinstance(value, Entry | State):
        said = {one.name: _written(getattr(value, one.name)) for one in fields(value)}
        return {key: item for key, item in said.items() if item not in (None, "")}
    if isinstance(value, tuple):
        return list(value)
    return value.isoformat() if isinstance(value, date) else value


def _held(value: Any) -> Held:
    if isinstance(value, dict):
        made = {str(key): item for key, item in value.items()}
        if "date" in made:
            made["date"] = date.fromisoformat(made["date"])
        return State(**made) if "state" in made else Entry(**made)
    if isinstance(value, list):
        return tuple(map(str, value))
    return None if value is None else str(value)


def read_log(file: Path) -> Iterator[LogLine]:
    """Every line of a log, oldest first; what cannot be read comes as a line of its own."""
    try:
        raw = file.read_bytes()
    except FileNotFoundError:
        return
    for number, line in enumerate(raw.split(b"\n"), start=1):
        if line.strip():
            yield _line(line, f"line {number} of {file.name}")


def _line(raw: bytes, place: str) -> LogLine:
    try:
        said = json.loads(raw)
        return LogLine(
            datetime.fromisoformat(said["when"]) if said.get("when") else None,
            int(said["revision"]), str(said["what"]), str(said["path"]),
            _held(said.get("old")), _held(said.get("new")), str(said.get("why", "")), str(said.get("who", "")),
            bool(said.get("applied", True)), _held(said.get("found")), str(said.get("after", "")),
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return LogLine(None, 0, "unreadable", "", why=f"{place} is torn or was changed by hand", applied=False)


def last_line(file: Path) -> LogLine | None:
    """The last line of a log that can be read, without reading the whole of a long one."""
    try:
        with file.open("rb") as log:
            log.seek(max(0, log.seek(0, os.SEEK_END) - 65536))
            tail = log.read()
    except FileNotFoundError:
        return None
    for raw in reversed(tail.split(b"\n")):
        if raw.strip() and (line := _line(raw, "")).what != "unreadable":
            return line
    return None


def append(file: Path, lines: Iterable[str]) -> None:
    """Add lines in one write and see them onto the disk; a torn last line is closed first.  Raises OSError."""
    text = "".join(lines).encode("ascii")
    with file.open("ab+") as log:
        size = log.seek(0, os.SEEK_END)
        if size:
            log.seek(size - 1)
            text = text if log.read(1) == b"\n" else b"\n" + text
        log.write(text)
        log.flush()
        os.fsync(log.fileno())
