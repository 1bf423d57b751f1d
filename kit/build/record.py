"""The record of a build: one TOML file that keeps every input as text, and beside it the history of all changes.

    record = Record.create("bench.toml", "Potting Bench")
    content = record.load()
    saved = record.save([Change("frame.layout.gap", Entry("6 mm", "measured"), seen=None)], why="gauge block")

Several notebooks and a text editor may have the same file open.  A save locks
it, reads it again, takes in only what was changed, and puts the new text in its
place in one step; comments and whatever else was written by hand stay.  A change
to something that is no longer what its writer had seen is not made but comes
back as a conflict.  A file that cannot be understood is never written.
"""

from __future__ import annotations

import contextlib
import os
import re
import time
import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from kit.build import changelog, schema
from kit.build.changelog import LogLine
from kit.build.content import Content, read_content
from kit.build.entries import (
    BASES,
    STATES,
    Basis,
    Change,
    Conflict,
    Entry,
    Place,
    RecordError,
    RecordExists,
    RowsChange,
    Saved,
    State,
    join_path,
    split_path,
    text_fault,
)
from kit.build.files import locked, make_new, read_whole, replace_whole, said_of, sweep, write_beside
from kit.build.merge import Done, Merge, check_changes
from kit.build.toml_text import END, edited, is_complete, plain_text, says

__all__ = [
    "BASES", "STATES", "Basis", "Change", "Conflict", "Content", "Entry", "LogLine", "Place", "Record", "RecordError",
    "RecordExists", "RowsChange", "Saved", "State", "join_path", "split_path",
]

# A file changed less than this long before it was read may change again without its time showing it.
_TIME_TELLS_NOTHING = 50_000_000


@dataclass(frozen=True, slots=True)
class _Read:
    """A record as it was read: its bytes and text, its dictionary as in the file and as of today, its content."""

    raw: bytes
    text: str
    in_file: Mapping[str, Any]
    data: Mapping[str, Any]
    content: Content
    stamp: tuple[int, int, int]
    settled: bool


class Record:
    """One build's file.  `patience` is how many seconds a save waits for other writers.

    `steps` and `current` are the upgrades of older records; only tests give others than the kit's own.
    """

    def __init__(
        self, file: Path | str, *, patience: float = 5.0,
        steps: Mapping[int, schema.Step] = schema.STEPS, current: int = schema.SCHEMA,
    ) -> None:
        # What a link points at is the record: replacing the link itself would part the two.
        self.file = Path(os.path.realpath(file))
        self.patience = patience
        self._steps, self._current = steps, current
        self._last: _Read | None = None

    def __repr__(self) -> str:
        return f"Record({str(self.file)!r})"

    @classmethod
    def create(
        cls, file: Path | str, name: str, *, note: str = "", stages_off: Sequence[str] = (), made_from: str = ""
    ) -> Record:
        """A blank build in a new file.  Raises RecordExists when there is one, RecordError when it cannot be made."""
        record = cls(file)
        build: dict[str, Any] = {"name": name, "revision": 1, "note": note, "made_from": made_from, "stages_off": list(stages_off)}
        _check_build(build)
        data = {"schema": schema.SCHEMA, "build": {key: value for key, value in build.items() if value}}
        make_new(record.file, plain_text(data).encode("utf-8"))
        record._log_made("created", name)
        return record

    def copy_to(self, file: Path | str) -> Record:
        """The same build in a new file with its comments; it begins a history of its own.

        Raises RecordExists when there is such a file already, so that a copy never overwrites.
        """
        now = self._read()
        copied = Record(file, patience=self.patience, steps=self._steps, current=self._current)
        build = {**now.in_file.get("build", {}), "made_from": self.file.stem}
        wanted = {**now.in_file, "build": build}
        text = edited(now.text, now.in_file, wanted) or plain_text(wanted)
        make_new(copied.file, text.encode("utf-8"))
        copied._log_made("copied", f"{self.file.name}, revision {now.content.revision}")
        return copied

    def _log_made(self, what: str, said: str) -> None:
        content = self.load()
        line = LogLine(changelog.now(), content.revision, what, "build", None, said, after=content.checksum)
        with contextlib.suppress(OSError):
            changelog.append(self.log_file, [line.as_text()])

    @property
    def log_file(self) -> Path:
        """The history beside the record."""
        return self.file.with_name(f"{self.file.stem}.changes.jsonl")

    @property
    def _pending(self) -> Path:
        return self.file.with_name(f".{self.file.stem}.changes.pending")

    # -- reading --------------------------------------------------------------------------------

    def load(self) -> Content:
        """What the record says now; the very same object as long as the file has not changed.

        Raises RecordError with one sentence that names file, line and cause.
        """
        return self._read().content

    def _read(self) -> _Read:
        last = self._last
        if last is not None and last.settled:
            with contextlib.suppress(OSError):
                if _stamp(self.file.stat()) == last.stamp:
                    return last
        started = time.time_ns()
        raw, about = read_whole(self.file)
        settled = started - about.st_mtime_ns > _TIME_TELLS_NOTHING
        if last is not None and last.raw == raw:
            self._last = replace(last, stamp=_stamp(about), settled=settled)
        else:
            self._last = self._understood(raw, _stamp(about), settled)
        return self._last

    def _understood(self, raw: bytes, stamp: tuple[int, int, int], settled: bool) -> _Read:
        text = _decoded(self.file, raw)
        in_file = _parsed(self.file, text)
        problems = [] if is_complete(text) else [
            f"{self.file.name} does not end with the line '{END}': it may have been cut off, or something was added below it"
        ]
        data = self._of_today(in_file)
        return _Read(raw, text, in_file, data, read_content(data, problems), stamp, settled)

    def _of_today(self, data: Mapping[str, Any]) -> Mapping[str, Any]:
        number = data.get("schema")
        if not isinstance(number, int) or isinstance(number, bool) or number < 1:
            raise RecordError(
                f"{self.file.name} is not a record of a build: it has no schema number; "
                f"the first line of a record is 'schema = {self._current}'"
            )
        if number > self._current:
            raise RecordError(
                f"{self.file.name} was written by a newer version (schema {number}, this one knows up to {self._current}); "
                "it was left as it is; install the newer version to open it"
            )
        try:
            return data if number == self._current else schema.upgraded(data, self._steps, self._current)
        except (LookupError, TypeError, ValueError, AttributeError) as error:
            raise RecordError(f"{self.file.name} could not be brought from schema {number} to {self._current}: {error}") from None

    # -- writing --------------------------------------------------------------------------------

    def save(self, changes: Sequence[Change | RowsChange], *, why: str = "", who: str = "") -> Saved:
        """Write changes to what the file has now; the result lists what was changed and what met a conflict.

        Raises RecordError in one sentence, with the file as it was, when a change
        cannot be recorded at all or the file cannot be read or written.
        """
        check_changes(changes)
        return self._rewrite(lambda merge, _: merge.take(changes), why, who)

    def set_state(self, names: Iterable[str], state: str, *, on: date | None = None, why: str = "", who: str = "") -> Saved:
        """Say how far parts, purchases or tasks are, by name such as `frame.deck boards`."""
        names = tuple(names)
        if state not in STATES:
            raise RecordError(f"'{state}' is no state; a part, purchase or task is {', '.join(STATES)}")
        for name in names:
            _refuse_text(f"the name {name!a}", name, 200, "frame.deck boards", empty=False)

        def edit(merge: Merge, revision: int) -> None:
            there = merge.data.setdefault("states", {})
            for name in names:
                new = State(state, on, revision)
                old = read_content({"states": {name: there[name]}}).states.get(name) if name in there else None
                if old is None or (old.state, old.date) != (state, on or old.date):
                    there[name] = {"state": state, **({"date": on} if on else {}), "revision": revision}
                    merge.done.append(Done("state", name, old, new))

        return self._rewrite(edit, why, who)

    def set_meta(
        self, *, name: str | None = None, note: str | None = None, stages_off: Sequence[str] | None = None,
        why: str = "", who: str = "",
    ) -> Saved:
        """Change the build's name or note, or the stages it does not have; what is not given stays."""
        given = {"name": name, "note": note, "stages_off": None if stages_off is None else list(stages_off)}
        wanted = {key: value for key, value in given.items() if value is not None}
        _check_build(wanted)

        def edit(merge: Merge, _: int) -> None:
            there = merge.data.setdefault("build", {})
            for key, value in wanted.items():
                old = there.get(key)
                if old != value:
                    there[key] = value
                    merge.done.append(Done("build", key, _plain(old), _plain(value)))

        return self._rewrite(edit, why, who)

    def _rewrite(self, edit: Callable[[Merge, int], None], why: str, who: str) -> Saved:
        _refuse_text("the reason", why, 2000, "the gap is a finger wide", lines=True)
        _refuse_text("the writer's name", who, 60, "Ann")
        read_whole(self.file)
        with locked(self.file, self.patience):
            sweep(self.file)
            now = self._read()
            notes = self._finish_pending(now.content.revision)
            revision = now.content.revision + 1
            merge = Merge(_copied(now.data))
            edit(merge, revision)
            conflicts = tuple(self._with_writer(conflict) for conflict in merge.conflicts)
            merge.conflicts[:] = conflicts
            if merge.done:
                build = merge.data.setdefault("build", {})
                build["revision"] = revision
            notes += self._put(now, merge, why, who)
            applied = tuple(done.path for done in merge.done)
            return Saved(revision if merge.done else revision - 1, applied, conflicts, tuple(notes))

    def _put(self, now: _Read, merge: Merge, why: str, who: str) -> list[str]:
        """Write the record and its history so that being killed in between loses neither."""
        notes: list[str] = []
        content = read_content(merge.data) if merge.done else now.content
        lines = [*self._by_hand(now), *_log_lines(merge, content, why, who)]
        text = "".join(line.as_text() for line in lines)
        if merge.done:
            whole = self._text(now, merge, notes)
            self._keep_old(now, notes)
            self._write_pending(text)
            try:
                replace_whole(self.file, whole)
            except RecordError:
                self._pending.unlink(missing_ok=True)
                raise
        if lines:
            try:
                changelog.append(self.log_file, [text])
                self._pending.unlink(missing_ok=True)
            except OSError as error:
                notes.append(f"{self.log_file.name} could not be written ({said_of(error)}); it is written at the next save")
        return notes

    def _text(self, now: _Read, merge: Merge, notes: list[str]) -> str:
        text = edited(now.text, now.in_file, merge.data, merge.renamed)
        if text is not None:
            return text
        text = plain_text(merge.data)
        if not says(text, merge.data):
            raise RecordError(f"{self.file.name} was not written: its text would not read back as what was to be recorded")
        kept = self._keep(now.raw, f"revision-{now.content.revision}")
        notes.append(f"{self.file.name} had to be written anew without its comments; the text as it was is in {kept}")
        return text

    def _keep_old(self, now: _Read, notes: list[str]) -> None:
        number = now.in_file["schema"]
        if number != self._current:
            kept = self._keep(now.raw, f"schema-{number}")
            notes.append(f"brought from schema {number} to {self._current}; the record as it was is in {kept}")
        elif not is_complete(now.text):
            kept = self._keep(now.raw, f"revision-{now.content.revision}")
            notes.append(f"{now.content.problems[0]}; the file as it was is in {kept}")

    def _keep(self, raw: bytes, word: str) -> str:
        """Keep a file as it was beside the record, unless that has been done already; its name."""
        for number in range(1, 1000):
            kept = self.file.with_name(f"{self.file.stem}.{word}{f'-{number}' if number > 1 else ''}.bak")
            with contextlib.suppress(RecordExists):
                if not kept.exists():
                    make_new(kept, raw)
                    return kept.name
            if kept.read_bytes() == raw:
                return kept.name
        raise RecordError(f"{self.file.name} was not written: there are too many copies {self.file.stem}.{word}-….bak beside it")

    # -- history --------------------------------------------------------------------------------

    def history(self, path: str | None = None) -> list[LogLine]:
        """Every change, oldest first, or those of one entry, table, row or state; torn lines come as `unreadable`."""
        lines = changelog.read_log(self.log_file)
        return [line for line in lines if path is None or line.path == path or line.path.startswith((f"{path}.", f"{path}["))]

    def _with_writer(self, conflict: Conflict) -> Conflict:
        """A conflict together with who wrote what stands there, if the history knows."""
        with contextlib.suppress(OSError):
            for line in reversed(self.history(conflict.path)):
                if line.path == conflict.path and line.applied:
                    return replace(conflict, who=line.who, when=line.when) if line.new == conflict.found else conflict
        return conflict

    def _by_hand(self, now: _Read) -> list[LogLine]:
        last = changelog.last_line(self.log_file)
        if last is None or not last.after or last.after == now.content.checksum:
            return []
        why = f"the file was changed by hand or by another program since revision {last.revision}"
        return [LogLine(changelog.now(), now.content.revision, "by hand", "build", why=why, after=now.content.checksum)]

    def _write_pending(self, text: str) -> None:
        try:
            os.replace(write_beside(self.file, text.encode("ascii"), 0o600), self._pending)
        except OSError as error:
            raise RecordError(f"{self.file.name} was not written and is as it was: {said_of(error)}") from None

    def _finish_pending(self, revision: int) -> list[str]:
        """Add to the history what a writer recorded but could not log before it was killed."""
        try:
            text = self._pending.read_text(encoding="ascii")
            lines = [changelog._line(line.encode(), "") for line in text.splitlines()]
            logged = changelog.last_line(self.log_file)
            made = bool(lines) and lines[-1].revision <= revision and lines[-1].what != "unreadable"
            if made and not (logged is not None and logged.after == lines[-1].after and logged.revision == lines[-1].revision):
                changelog.append(self.log_file, [text])
            self._pending.unlink(missing_ok=True)
        except FileNotFoundError:
            return []
        except (OSError, ValueError) as error:
            return [f"{self._pending.name} could not be added to the history: {error}"]
        return []


def _log_lines(merge: Merge, content: Content, why: str, who: str) -> list[LogLine]:
    when, after = changelog.now(), content.checksum
    made = [LogLine(when, content.revision, d.what, d.path, d.old, d.new, why, who, True, None, after) for d in merge.done]
    refused = [
        LogLine(when, content.revision, "entry" if "[" in c.path or isinstance(c.wanted, Entry) else "rows", c.path, c.seen,
                c.wanted, why, who, False, c.found, after)
        for c in merge.conflicts
    ]
    return [*refused, *made]


def _stamp(about: os.stat_result) -> tuple[int, int, int]:
    return about.st_mtime_ns, about.st_size, about.st_ino


def _copied(data: Any) -> Any:
    """Dictionaries and lists copied, everything in them as it is."""
    if isinstance(data, Mapping):
        return {key: _copied(item) for key, item in data.items()}
    return [_copied(item) for item in data] if isinstance(data, list) else data


def _plain(value: Any) -> Any:
    return tuple(map(str, value)) if isinstance(value, list) else value


def _decoded(file: Path, raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise RecordError(f"{file.name}, line {line}: there is a byte that is not UTF-8 text; the file was left as it is") from None


def _parsed(file: Path, text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        where = re.search(r" \(at line (\d+), column \d+\)", str(error))
        line = where[1] if where else str(text.count("\n") + 1)
        cause = str(error).replace(where[0], "") if where else str(error).replace(" (at end of document)", "")
        raise RecordError(f"{file.name}, line {line}: {cause}; the file was left as it is, correct the line and try again") from None
    except RecursionError:
        raise RecordError(f"{file.name} cannot be read: brackets in it are nested too deep; the file was left as it is") from None


def _refuse_text(what: str, text: object, longest: int, example: str, *, lines: bool = False, empty: bool = True) -> None:
    why = text_fault(text, longest, example, lines=lines)
    if why is None and not empty and not str(text).strip():
        why = f"is empty; write one such as '{example}'"
    if why is not None:
        raise RecordError(f"{what} {why}")


def _check_build(build: Mapping[str, Any]) -> None:
    if "name" in build:
        _refuse_text("the build's name", build["name"], 60, "Tarn Locker", empty=False)
    for key, example in (("note", "all figures invented"), ("made_from", "tarn_locker")):
        _refuse_text(f"the build's {key.replace('_', ' ')}", build.get(key, ""), 2000, example, lines=key == "note")
    for stage in build.get("stages_off", ()):
        _refuse_text("a stage that is left out", stage, 60, "power", empty=False)
