"""What can go wrong with a record's file: each is one sentence, and the file is as it was."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Any

import pytest
from filelock import FileLock

from kit.build import schema
from kit.build.record import Change, Entry, Record, RecordError, State
from kit.build.schema import Step, moved, upgraded

TEXT = 'schema = 1\n\n[build]\nname = "One"\n\n[frame.layout]\ngap = "6 mm" # finger\n\n# end of record\n'
GAP = [Change("frame.layout.gap", Entry("7 mm"), Entry("6 mm"))]


@pytest.fixture
def record(tmp_path: Path) -> Record:
    """A record alone in its folder."""
    file = tmp_path / "one.toml"
    file.write_text(TEXT)
    return Record(file, patience=0.2)


def left(record: Record) -> set[str]:
    """Names in the record's folder, without the lock."""
    return {path.name for path in record.file.parent.iterdir()} - {f"{record.file.name}.lock"}


@pytest.mark.parametrize(("text", "complaint"), [
    (TEXT.replace('"6 mm"', '"6 mm'), "one.toml, line 7: Illegal character"),
    (TEXT + "[frame.layout]\n", "one.toml, line 10: Cannot declare"),
    (TEXT + "gap = ", "one.toml, line 10: Invalid value"),
    (TEXT.replace("schema = 1\n", ""), "one.toml is not a record of a build: it has no schema number"),
    (TEXT.replace("schema = 1", "schema = true"), "one.toml is not a record of a build"),
    (TEXT.replace("schema = 1", "schema = 2"), "one.toml was written by a newer version (schema 2, this one knows up"),
    ("", "one.toml is not a record of a build"),
    ("x = " + "[" * 5000, "one.toml"),
    ("x = " + "9" * 5000, "one.toml, line 1: Exceeds the limit"),
])
def test_a_file_that_cannot_be_understood_is_never_written(record: Record, text: str, complaint: str) -> None:
    """Loading, saving and saying a state each give one sentence with line and cause; not a byte changes."""
    record.file.write_text(text)

    for act in (record.load, lambda: record.save(GAP), lambda: record.set_state(["x"], "cut"),
                lambda: record.copy_to(record.file.with_name("copy.toml"))):
        with pytest.raises(RecordError) as refused:
            act()
        assert str(refused.value).startswith(complaint)
        assert "\n" not in str(refused.value) and len(str(refused.value)) < 400
    assert record.file.read_text() == text
    assert left(record) == {"one.toml"}


def test_a_byte_that_is_no_text_is_named_with_its_line(record: Record) -> None:
    """A file in another encoding is refused with the line of the first such byte."""
    record.file.write_bytes(TEXT.replace("finger", "F\xfc\xdfe").encode("latin-1"))

    with pytest.raises(RecordError, match=r"^one\.toml, line 7: a byte is not UTF-8 text; the file was left as it is$"):
        record.load()


def test_a_missing_file_or_folder_a_folder_and_a_pipe_are_each_said(tmp_path: Path) -> None:
    """Where no record can be, one sentence says what is there instead, and nothing is made."""
    (tmp_path / "folder").mkdir()
    (tmp_path / "file").write_text("")
    os.mkfifo(tmp_path / "pipe")
    cases = {
        "none.toml": "there is no record ", "no/none.toml": "there is no folder ", "folder": "a record is a file, such",
        "pipe": "is no ordinary file", "file/x.toml": "so there is no record ", "a\0b": "is no name of a file",
        "x" * 300: "cannot be read: file name too long",
    }
    before = sorted(tmp_path.rglob("*"))
    for name, complaint in cases.items():
        with pytest.raises(RecordError) as refused:
            Record(f"{tmp_path}/{name}").load()
        assert complaint in str(refused.value)
        with pytest.raises(RecordError):
            Record(f"{tmp_path}/{name}").save(GAP)
    assert sorted(tmp_path.rglob("*")) == before


def test_a_file_that_vanishes_between_loading_and_saving_is_said(record: Record) -> None:
    """A record deleted meanwhile is not brought back by a save."""
    record.load()
    record.file.unlink()

    with pytest.raises(RecordError, match=r"it may have been moved, renamed or deleted$"):
        record.save(GAP)
    assert left(record) == set()


def test_a_read_only_file_or_folder_is_not_written(record: Record) -> None:
    """Permission taken away is respected, whoever asks, and it still can be read."""
    os.chmod(record.file, 0o444)
    with pytest.raises(RecordError, match=r"^one\.toml was not written: the file is read-only"):
        record.save(GAP)
    os.chmod(record.file, 0o644)
    os.chmod(record.file.parent, 0o555)
    try:
        with pytest.raises(RecordError, match=r"^one\.toml was not written: the folder .* is read-only; copy the"):
            record.save(GAP)
        assert record.load().entries["frame.layout.gap"] == Entry("6 mm")
    finally:
        os.chmod(record.file.parent, 0o755)
    assert record.file.read_text() == TEXT
    assert left(record) == {"one.toml"}


@pytest.mark.parametrize("call", [1, 2])
def test_a_full_disk_leaves_the_file_and_no_scraps(record: Record, monkeypatch: pytest.MonkeyPatch, call: int) -> None:
    """When the disk is full at the history laid ready or at the record itself, both are as they were."""
    real, count = os.fsync, 0

    def full(handle: int) -> None:
        nonlocal count
        count += 1
        if count == call:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(handle)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RecordError, match=r"^one\.toml was not written and is as it was: no space left on device$"):
        record.save(GAP)
    assert record.file.read_text() == TEXT
    assert left(record) == {"one.toml"}
    assert record.save(GAP).applied == ("frame.layout.gap",)


def test_a_history_that_cannot_be_written_is_caught_up_later(record: Record) -> None:
    """The record is saved, the result says what is missing, and the next save adds both lines."""
    record.log_file.mkdir()
    saved = record.save(GAP, why="first")
    assert saved.applied and "could not be written" in saved.notes[0]
    record.log_file.rmdir()
    record.save([Change("frame.layout.gap", Entry("8 mm"), Entry("7 mm"))], why="second")

    assert [(line.revision, line.why) for line in record.history()] == [(1, "first"), (2, "second")]
    assert left(record) == {"one.toml", "one.changes.jsonl"}


def test_another_writer_is_waited_for_and_then_said(record: Record) -> None:
    """A lock held for too long gives a sentence that says what to do."""
    with FileLock(f"{record.file}.lock"), pytest.raises(RecordError, match=r"another notebook or program has been"):
        record.save(GAP)
    assert record.save(GAP).applied


def test_a_link_is_followed_and_stays_a_link(record: Record, tmp_path: Path) -> None:
    """What a link points at is changed, in its own folder, with its mode kept."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    os.chmod(record.file, 0o640)
    (elsewhere / "link.toml").symlink_to(record.file)
    Record(elsewhere / "link.toml").save(GAP)

    assert (elsewhere / "link.toml").is_symlink()
    assert record.load().entries["frame.layout.gap"] == Entry("7 mm")
    assert record.file.stat().st_mode & 0o777 == 0o640
    assert [path.name for path in elsewhere.iterdir()] == ["link.toml"]


def test_a_file_cut_off_between_tables_is_noticed(record: Record) -> None:
    """A missing last line is a problem, not a refusal; a save keeps the file as it was beside the new one."""
    cut = TEXT.partition("\n# end")[0]
    record.file.write_text(cut)
    assert record.load().problems[0].startswith("one.toml does not end with the line '# end of record': it may have")
    saved = record.save(GAP)

    assert saved.notes[0].endswith("as it was it is kept in one.revision-0.bak")
    assert (record.file.parent / "one.revision-0.bak").read_text() == cut
    assert record.load().problems == ()


def test_what_is_added_below_the_last_line_is_read_and_moved_above_it(record: Record) -> None:
    """A hand that writes below the last line loses nothing, and the last line is last again after a save."""
    record.file.write_text(TEXT + "[brief]\nplace = 'Tarn' # ours\n")
    record.save(GAP)

    assert record.load().entries["brief.place"] == Entry("Tarn")
    lines = record.file.read_text().splitlines()
    assert lines.count("# end of record") == 1 and lines[-1] == "# end of record" and "place = 'Tarn' # ours" in lines


def test_the_last_line_inside_a_text_is_left_there(record: Record) -> None:
    """Words that only look like the end mark, in a note of several lines, stay part of the note."""
    note = 'note = """first\n# end of record\nlast"""\n'
    record.file.write_text(TEXT.replace("[frame", f"{note}[frame") + "# below\n")
    saved = record.save(GAP)

    assert not any("written anew" in remark for remark in saved.notes)
    assert record.load().note == "first\n# end of record\nlast"
    assert record.load().entries["frame.layout.gap"] == Entry("7 mm")


def test_torn_lines_of_the_history_are_reported_and_closed(record: Record) -> None:
    """A last line torn by a crash, and lines changed by hand, come as unreadable; the lines after them are whole."""
    record.save(GAP)
    with record.log_file.open("a") as log:
        log.write('{"when": 3}\n[]\n{"when": "2026-05-02T10:00')
    record.save([Change("frame.layout.gap", Entry("8 mm"), Entry("7 mm"))])

    assert [line.what for line in record.history()] == ["entry", "unreadable", "unreadable", "unreadable", "entry"]
    assert record.history()[3].why == "line 4 of one.changes.jsonl is torn or was changed by hand"


# -- upgrades ---------------------------------------------------------------------------------------

def _halved(data: dict[str, Any]) -> dict[str, Any]:
    return {**data, "frame": {**data["frame"], "halved": {"gap": "3 mm"}}}


# Steps that no kit ever had: they prove the machinery.
RENAMED = {"frame.layout.gap": "frame.boards.gap", "raft.floats[].dia": "raft.floats[].diameter"}
STEPS = {1: Step(RENAMED), 2: Step({}, _halved)}
OLD = TEXT.replace("\n# end", "boards = '13' # one spare\n\n[raft.floats.a]\ndia = '1 m'\n\n# end")


def test_an_older_record_is_read_as_of_today_and_not_written(record: Record) -> None:
    """Loading follows renamed paths, columns and steps; the file is left alone."""
    record.file.write_text(OLD)
    content = Record(record.file, steps=STEPS, current=3).load()

    assert content.entries == {
        "frame.boards.gap": Entry("6 mm"), "frame.layout.boards": Entry("13"), "frame.halved.gap": Entry("3 mm"),
        "raft.floats[a].diameter": Entry("1 m"),
    }
    assert record.file.read_text() == OLD


def test_an_older_record_is_kept_beside_when_it_is_first_saved(record: Record) -> None:
    """The first save writes today's schema with comments, keeps the file as it was, and the history says so."""
    record.file.write_text(OLD)
    newer = Record(record.file, steps=STEPS, current=3)
    saved = newer.save([Change("frame.boards.gap", Entry("7 mm"), Entry("6 mm"))])

    assert saved.notes == ("brought from schema 1 to 3; as it was it is kept in one.schema-1.bak",)
    assert (record.file.parent / "one.schema-1.bak").read_text() == OLD
    assert record.file.read_text().startswith("schema = 3\n") and "# one spare" in record.file.read_text()
    assert newer.load().entries["frame.boards.gap"] == Entry("7 mm")
    assert [line.what for line in newer.history()] == ["upgraded", "entry"]
    assert newer.set_state(["x"], "cut").notes == ()
    assert newer.load().states == {"x": State("cut", None, 2)}


def test_a_step_that_is_missing_or_fails_is_said_and_nothing_written(record: Record) -> None:
    """A chain with a gap, or a step that meets what it does not expect, refuses the file in one sentence."""
    for steps, cause in (({}, "there is no step from schema 1 to 2"), ({1: Step({}, lambda data: data["no"])}, "'no'")):
        with pytest.raises(RecordError) as refused:
            Record(record.file, steps=steps, current=2).save(GAP)
        assert str(refused.value) == f"one.toml could not be brought from schema 1 to 2 and was left as it is: {cause}"
    assert record.file.read_text() == TEXT


def test_steps_leave_what_they_are_given_and_never_overwrite() -> None:
    """Upgrading is pure, and a renamed path does not displace what already has the new name."""
    frame = {"layout": {"gap": "6 mm"}, "boards": {"gap": "9 mm"}}
    floats = {"a": {"dia": "1"}}
    old = {"schema": 1, "frame": frame, "raft": {"floats": floats}}
    new = upgraded(old, STEPS, 2)

    assert new == {"schema": 2, "frame": frame, "raft": {"floats": {"a": {"diameter": "1"}}}}
    assert old["schema"] == 1 and floats == {"a": {"dia": "1"}}
    assert moved({"a": "x"}, "a.b.c", "a.d") == {"a": "x"}
    both = {"a": {"t": {"x": {"old": "1", "new": "2"}}}}
    assert moved(both, "a.t[].old", "a.t[].new") == both
    assert set(schema.STEPS) == set(range(1, schema.SCHEMA))
