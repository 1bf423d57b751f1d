"""The record of a build: one TOML file that keeps every input as text, and beside it the history of all changes.

    record = Record.create("bench.toml", "Potting Bench")
    record.save([Change("frame.layout.gap", Entry("6 mm", "measured"))], why="gauge block")
    print(record.load().entries["frame.layout.gap"].value)

Several notebooks and a text editor may have the same file open.  A save locks
it, reads it again, takes in only what was changed, and puts the new text in its
place in one step; comments and whatever else was written by hand stay.  A change
to something that is no longer what its writer had seen is not made but comes
back as a conflict.  A file that cannot be understood is never written.
"""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from kit.build import schema
from kit.build.changelog import History, LogLine, now
from kit.build.content import Content, read_content
from kit.build.entries import (
    BASES,
    STATES,
    Alternative,
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
    StateName,
    clipped,
    join_path,
    row_name_fault,
    split_path,
    text_fault,
)
from kit.build.files import keep_copy, locked, make_new, read_whole, replace_whole, said_of, sweep
from kit.build.merge import Merge, check_changes
from kit.build.reading import Reading, understand
from kit.build.toml_text import edited, is_complete, plain_text, says

__all__ = [
    "BASES", "STATES", "Alternative", "Basis", "Change", "Conflict", "Content", "Entry", "LogLine", "Place", "Record",
    "RecordError", "RecordExists", "RowsChange", "Saved", "State", "StateName", "join_path", "split_path",
]

# A file changed less than this many nanoseconds before it was read may change again without its time showing it.
_TIME_TELLS_NOTHING = 50_000_000


class Record:
    """One build's file.  `patience` is how many seconds a save waits for other writers.

    `steps` and `current` say how older records are upgraded; only tests give others than the kit's own.
    """

    def __init__(
        self, file: Path | str, *, patience: float = 5.0,
        steps: Mapping[int, schema.Step] = schema.STEPS, current: int = schema.SCHEMA,
    ) -> None:
        try:
            # What a link points at is the record: replacing the link itself would part the two.
            self.file = Path(os.path.realpath(file))
        except (ValueError, OSError) as error:
            raise RecordError(f"'{clipped(str(file))}' is no name of a file: {error}") from None
        self.patience = patience
        self._steps, self._current = steps, current
        self._history = History(self.file)
        self._last: tuple[tuple[int, int, int], bool, Reading] | None = None

    def __repr__(self) -> str:
        return f"Record({str(self.file)!r})"

    @classmethod
    def create(
        cls, file: Path | str, name: str, *, note: str = "", made_from: str = "", stages_off: Sequence[str] = ()
    ) -> Record:
        """A blank build in a new file.  Raises RecordExists when there is one, RecordError when it cannot be made."""
        build = {"name": name, "revision": 1, "note": note, "made_from": made_from, "stages_off": list(stages_off)}
        _check_build(build)
        data = {"schema": schema.SCHEMA, "build": {key: value for key, value in build.items() if value}}
        record = cls(file)
        make_new(record.file, plain_text(data).encode("utf-8"))
        record._log_made("created", name)
        return record

    def copy_to(self, file: Path | str) -> Record:
        """The same build in a new file, comments included; its history begins with the copying.

        Raises RecordExists when there is such a file already: a copy never overwrites.
        """
        there = self._read()
        merge = Merge(_copied(there.in_file))
        merge.top("build")["made_from"] = self.file.stem
        text = edited(there.text, there.in_file, merge.data) or plain_text(merge.data)
        copied = Record(file, patience=self.patience, steps=self._steps, current=self._current)
        make_new(copied.file, text.encode("utf-8"))
        copied._log_made("copied", f"{self.file.name}, revision {there.content.revision}")
        return copied

    def _log_made(self, what: str, said: str) -> None:
        content = self.load()
        self._history.add([LogLine(now(), content.revision, what, "build", None, said, after=content.checksum)])

    @property
    def log_file(self) -> Path:
        """The history beside the record."""
        return self._history.file

    # -- reading --------------------------------------------------------------------------------

    def load(self) -> Content:
        """What the record says now; the very same object as long as the file has not changed.

        Raises RecordError in one sentence that names file, line and cause.
        """
        return self._read().content

    def _read(self) -> Reading:
        if self._last is not None:
            stamp, settled, reading = self._last
            with contextlib.suppress(OSError):
                if settled and _stamp(self.file.stat()) == stamp:
                    return reading
        started = time.time_ns()
        raw, about = read_whole(self.file)
        if self._last is not None and self._last[2].raw == raw:
            reading = self._last[2]
        else:
            reading = understand(self.file, raw, self._steps, self._current)
        self._last = _stamp(about), started - about.st_mtime_ns > _TIME_TELLS_NOTHING, reading
        return reading

    def history(self, path: str | None = None) -> list[LogLine]:
        """Every change, oldest first, or those of one entry, table, row or state; torn lines come as `unreadable`."""
        try:
            lines = list(self._history.lines(path or ""))
        except OSError as error:
            raise RecordError(f"the history {self.log_file.name} cannot be read: {said_of(error)}") from None
        if path is None:
            return lines
        return [line for line in lines if line.path == path or line.path.startswith((f"{path}.", f"{path}["))]

    # -- writing --------------------------------------------------------------------------------

    def save(self, changes: Sequence[Change | RowsChange], *, why: str = "", who: str = "") -> Saved:
        """Write changes to what the file has now; the result lists what was changed and what met a conflict.

        Raises RecordError in one sentence, with the file as it was, when a change
        cannot be recorded at all or the file cannot be read or written.
        """
        check_changes(changes)
        return self._rewrite(lambda merge, _: merge.take(changes), why, who)

    def set_state(
        self, names: Iterable[str], state: str, *, on: date | None = None, why: str = "", who: str = ""
    ) -> Saved:
        """Say how far parts, purchases or tasks are, by name such as `frame.deck boards`."""
        names = tuple(dict.fromkeys(names))
        if state not in STATES:
            raise RecordError(f"'{clipped(str(state))}' is no state; a part, purchase or task is {', '.join(STATES)}")
        for name in names:
            _refuse_text("the name of a part, purchase or task", name, 200, "frame.deck boards", empty=False)
        return self._rewrite(lambda merge, revision: merge.set_states(names, State(state, on, revision)), why, who)

    def set_alternative(self, name: str, new: Alternative | None, *, why: str = "", who: str = "") -> Saved:
        """Keep a named alternative beside the present, in place of one of that name; None takes it out.

        Raises RecordError for a name or a path that cannot be kept.
        """
        if (fault := row_name_fault(name)) is not None:
            raise RecordError(f"an alternative cannot be called that: {fault}")
        for path, text in new.changes.items() if new is not None else ():
            split_path(path)
            _refuse_text(f"the value of {path}", text, 200, "western redcedar")
        _refuse_text("the note", new.note if new is not None else "", 2000, "lighter and dearer", lines=True)
        return self._rewrite(lambda merge, _: merge.set_alternative(name, new), why, who)

    def set_meta(
        self, *, name: str | None = None, note: str | None = None, stages_off: Sequence[str] | None = None,
        why: str = "", who: str = "",
    ) -> Saved:
        """Change the build's name or note, or the stages it does not have; what is not given stays."""
        given = {"name": name, "note": note, "stages_off": None if stages_off is None else list(stages_off)}
        wanted = {key: value for key, value in given.items() if value is not None}
        _check_build(wanted)
        return self._rewrite(lambda merge, _: merge.set_build(wanted), why, who)

    def _rewrite(self, edit: Callable[[Merge, int], None], why: str, who: str) -> Saved:
        _refuse_text("the reason", why, 2000, "the gap is a finger wide", lines=True)
        _refuse_text("the writer's name", who, 60, "Ann")
        # Before anything is locked: where there is nothing to read, nothing is left behind.
        read_whole(self.file)
        with locked(self.file, self.patience):
            sweep(self.file)
            there = self._read()
            self._recover(there.content.revision)
            merge = Merge(_copied(there.data))
            edit(merge, there.content.revision + 1)
            merge.conflicts[:] = map(self._with_writer, merge.conflicts)
            notes = self._put(there, merge, why, who)
        revision = there.content.revision + bool(merge.done)
        return Saved(revision, tuple(done.path for done in merge.done), tuple(merge.conflicts), tuple(notes))

    def _recover(self, revision: int) -> None:
        try:
            self._history.recover(revision)
        except OSError as error:
            raise RecordError(
                f"{self.file.name} was not written: its history {self.log_file.name} cannot be: {said_of(error)}"
            ) from None

    def _put(self, there: Reading, merge: Merge, why: str, who: str) -> list[str]:
        """Write the record and its history so that a writer killed in between loses neither."""
        notes: list[str] = []
        if merge.done:
            merge.top("build")["revision"] = there.content.revision + 1
        content = read_content(merge.data) if merge.done else there.content
        lines = [*self._since_last(there), *_log_lines(merge, content, why, who)]
        try:
            if merge.done:
                text = self._text(there, merge, notes)
                self._keep_old(there, notes)
                self._history.lay_ready(lines)
        except OSError as error:
            raise RecordError(f"{self.file.name} was not written and is as it was: {said_of(error)}") from None
        if merge.done:
            try:
                replace_whole(self.file, text)
            except RecordError:
                self._history.forget()
                raise
        failed = self._history.add(lines) if merge.done or merge.conflicts else None
        return notes if failed is None else [*notes, failed]

    def _text(self, there: Reading, merge: Merge, notes: list[str]) -> str:
        text = edited(there.text, there.in_file, merge.data, merge.renamed)
        if text is not None:
            return text
        text = plain_text(merge.data)
        if not says(text, merge.data):
            raise RecordError(f"{self.file.name} was not written: what was to be recorded would not read back the same")
        kept = keep_copy(self.file, there.raw, f"revision-{there.content.revision}")
        notes.append(f"{self.file.name} had to be written anew without its comments; as it was it is kept in {kept}")
        return text

    def _keep_old(self, there: Reading, notes: list[str]) -> None:
        if there.schema != self._current:
            kept = keep_copy(self.file, there.raw, f"schema-{there.schema}")
            notes.append(f"brought from schema {there.schema} to {self._current}; as it was it is kept in {kept}")
        elif not is_complete(there.text):
            kept = keep_copy(self.file, there.raw, f"revision-{there.content.revision}")
            notes.append(f"{there.content.problems[0]}; as it was it is kept in {kept}")

    def _since_last(self, there: Reading) -> list[LogLine]:
        """A line that says the file is not what the history left, because of an upgrade or another hand."""
        last = self._history.last()
        if there.schema != self._current:
            what, why = "upgraded", f"from schema {there.schema} to {self._current}"
        elif last is not None and last.after and last.after != there.content.checksum:
            what, why = "by hand", f"changed by hand or by another program since revision {last.revision}"
        else:
            return []
        return [LogLine(now(), there.content.revision, what, "build", why=why, after=there.content.checksum)]

    def _with_writer(self, conflict: Conflict) -> Conflict:
        """A conflict together with who wrote what stands there, when the history knows."""
        with contextlib.suppress(RecordError):
            for line in reversed(self.history(conflict.path)):
                if line.path == conflict.path and line.applied:
                    same = line.new == conflict.found
                    return replace(conflict, who=line.who, when=line.when, why=line.why) if same else conflict
        return conflict


def _log_lines(merge: Merge, content: Content, why: str, who: str) -> list[LogLine]:
    when, after = now(), content.checksum
    refused = [
        LogLine(when, content.revision, conflict.what, conflict.path, conflict.seen, conflict.wanted, why, who, False,
                conflict.found, after)
        for conflict in merge.conflicts
    ]
    made = [
        LogLine(when, content.revision, done.what, done.path, done.old, done.new, why, who, after=after)
        for done in merge.done
    ]
    return [*refused, *made]


def _stamp(about: os.stat_result) -> tuple[int, int, int]:
    return about.st_mtime_ns, about.st_size, about.st_ino


def _copied(data: Any) -> Any:
    """Dictionaries and lists copied, everything in them as it is."""
    if isinstance(data, Mapping):
        return {key: _copied(item) for key, item in data.items()}
    return [_copied(item) for item in data] if isinstance(data, list) else data


def _refuse_text(
    what: str, text: object, longest: int, example: str, *, lines: bool = False, empty: bool = True
) -> None:
    why = text_fault(text, longest, example, lines=lines)
    if why is None and not empty and not str(text).strip():
        why = f"is empty; write one such as '{example}'"
    if why is not None:
        raise RecordError(f"{what} {why}")


def _check_build(build: Mapping[str, Any]) -> None:
    if "name" in build:
        _refuse_text("the build's name", build["name"], 60, "Tarn Locker", empty=False)
    _refuse_text("the build's note", build.get("note", ""), 2000, "all figures invented", lines=True)
    _refuse_text("what the build was made from", build.get("made_from", ""), 200, "tarn_locker")
    for stage in build.get("stages_off", ()):
        _refuse_text("a stage that is left out", stage, 60, "power", empty=False)
