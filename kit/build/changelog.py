"""The history of a build: one line of JSON for each change, only ever added to.

A line is written for every change that was made and for every one that was
not, because the file had something else than its writer had seen.  Before the
record is replaced the lines are laid ready in a file of their own, so that a
writer killed in between loses neither the change nor its history.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from kit.build.entries import Entry, Held, State
from kit.build.files import said_of, write_beside

__all__ = ["History", "LogLine", "now"]


@dataclass(frozen=True, slots=True)
class LogLine:
    """One change: when, at which revision, what kind, where, from what to what, why and by whom.

    `what` is entry, rows, row renamed, state, alternative, build, created, copied, upgraded,
    by hand, or unreadable (then `why` says where).  Where `applied` is false the
    change was not made, `old` is what its writer had seen and `found` what the
    file had.  `after` is the checksum of the record it led to.
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
        always = ("when", "revision", "what", "path", "old", "new", "applied")
        kept = {key: value for key, value in said.items() if value or key in always}
        return json.dumps(kept, ensure_ascii=True) + "\n"


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


class History:
    """The log beside one record, and the lines that are laid ready while the record is replaced."""

    def __init__(self, record: Path) -> None:
        self.record = record
        self.file = record.with_name(f"{record.stem}.changes.jsonl")
        self._ready = record.with_name(f".{record.stem}.changes.ready")

    def lines(self, path: str = "") -> Iterator[LogLine]:
        """Every line whose path begins so, oldest first; a line that cannot be read has no path.  Raises OSError."""
        try:
            raw = self.file.read_bytes()
        except FileNotFoundError:
            return
        # Most of a long log is about other things: only lines that hold the path at all are taken apart.
        held = json.dumps(path).removesuffix('"').encode("ascii")
        for number, text in enumerate(raw.split(b"\n"), start=1):
            if text.strip() and (not path or held in text):
                line = _line(text, f"line {number} of {self.file.name}")
                if line.path.startswith(path):
                    yield line

    def last(self) -> LogLine | None:
        """The last line that can be read, without reading the whole of a long log; None when there is none."""
        with contextlib.suppress(OSError), self.file.open("rb") as log:
            log.seek(max(0, log.seek(0, os.SEEK_END) - 65_536))
            for raw in reversed(log.read().split(b"\n")):
                if raw.strip() and (line := _line(raw, "")).what != "unreadable":
                    return line
        return None

    def recover(self, revision: int) -> None:
        """Add what a killed writer recorded but did not log; forget what it did not come to record.  Raises OSError."""
        try:
            raw = self._ready.read_bytes()
        except FileNotFoundError:
            return
        lines = [_line(line, "") for line in raw.splitlines()]
        logged = self.last()
        recorded = bool(lines) and lines[-1].what != "unreadable" and lines[-1].revision <= revision
        if recorded and (logged is None or (logged.revision, logged.after) != (lines[-1].revision, lines[-1].after)):
            self._append(raw)
        self._ready.unlink()

    def lay_ready(self, lines: Sequence[LogLine]) -> None:
        """Have the lines on the disk before the record they tell of is replaced.  Raises OSError."""
        os.replace(write_beside(self.record, _bytes(lines), 0o600), self._ready)

    def forget(self) -> None:
        """The record was not replaced after all."""
        with contextlib.suppress(OSError):
            self._ready.unlink()

    def add(self, lines: Sequence[LogLine]) -> str | None:
        """Add lines, laid ready or not; a sentence when that fails."""
        if not lines:
            return None
        try:
            self._append(_bytes(lines))
            self._ready.unlink(missing_ok=True)
        except OSError as error:
            later = "; that will be done at the next save" if self._ready.exists() else ""
            return f"the history {self.file.name} could not be written: {said_of(error)}{later}"
        return None

    def _append(self, raw: bytes) -> None:
        """Add in one write and see it onto the disk; a torn last line is closed first."""
        with self.file.open("ab+") as log:
            size = log.seek(0, os.SEEK_END)
            if size:
                log.seek(size - 1)
                raw = raw if log.read(1) == b"\n" else b"\n" + raw
            log.write(raw)
            log.flush()
            os.fsync(log.fileno())


def _bytes(lines: Sequence[LogLine]) -> bytes:
    return "".join(line.as_text() for line in lines).encode("ascii")
