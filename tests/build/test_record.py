"""A build's record: what is written is read back, hand edits stay, conflicts are shown, nothing unknown is dropped."""

from __future__ import annotations

import os
import time
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from kit.build.record import (
    Change,
    Entry,
    Record,
    RecordError,
    RowsChange,
    State,
)

BY_HAND = '''# Tarn Locker, all figures invented
schema = 1

[build]
name = "Tarn Locker"  # the club's own name
revision = 12
stages_off = ["power"]

[frame.layout]
# measured on the bench
board_width = { value = "145 mm", basis = "measured", give_or_take = "1 mm", date = 2026-05-02 }  # five boards
gap = "6 mm"   # a finger
boards = 13

[raft.afloat.floats."port outer"]  # from one pipe
diameter = { value = "500 mm", basis = "data sheet", shared = "pipe batch" }
length = "3 m"
basis = "measured"
source = "tape"

[raft.afloat.floats.starboard]
length = "3.1 m"

[states]
"frame.deck boards" = { state = "cut", date = 2026-05-02, revision = 11 }

# end of record
'''


@pytest.fixture
def by_hand(tmp_path: Path) -> Record:
    """A record as somebody wrote it."""
    file = tmp_path / "tarn.toml"
    file.write_bytes(BY_HAND.encode())
    return Record(file)


def change(record: Record, path: str, entry: Entry | None) -> Change:
    """A change by somebody who has just read the record."""
    return Change(path, entry, record.load().entries.get(path))


def test_a_record_by_hand_is_read_whole(by_hand: Record) -> None:
    """Inputs, cells, rows in order, states and the build's own data come by path, without a complaint."""
    content = by_hand.load()

    assert content.problems == ()
    assert content.entries["frame.layout.gap"] == Entry("6 mm")
    assert content.entries["frame.layout.boards"] == Entry("13")
    assert content.entries["frame.layout.board_width"] == Entry(
        "145 mm", "measured", give_or_take="1 mm", date=date(2026, 5, 2)
    )
    assert content.rows == {"raft.afloat.floats": ("port outer", "starboard")}
    assert content.states == {"frame.deck boards": State("cut", date(2026, 5, 2), 11)}
    assert (content.name, content.revision, content.stages_off) == ("Tarn Locker", 12, ("power",))


def test_a_row_speaks_for_cells_that_say_nothing(by_hand: Record) -> None:
    """Basis and source of a row stand for its cells unless a cell has its own."""
    entries = by_hand.load().entries

    assert entries["raft.afloat.floats[port outer].length"] == Entry("3 m", "measured", source="tape")
    assert entries["raft.afloat.floats[port outer].diameter"] == Entry(
        "500 mm", "data sheet", shared="pipe batch", source="tape"
    )
    assert entries["raft.afloat.floats[starboard].length"] == Entry("3.1 m")


def test_a_save_changes_only_what_it_says(by_hand: Record) -> None:
    """Two values and the revision change in the text; every other character stays, comments and spaces included."""
    by_hand.save([
        change(by_hand, "frame.layout.gap", Entry("7 mm")),
        change(by_hand, "frame.layout.board_width", Entry("150 mm", "measured", "1 mm", date=date(2026, 5, 2))),
    ])

    wanted = BY_HAND.replace('"6 mm"', '"7 mm"').replace('"145 mm"', '"150 mm"')
    assert by_hand.file.read_text() == wanted.replace("revision = 12", "revision = 13")


def test_a_bare_text_becomes_a_table_with_its_comment_kept(by_hand: Record) -> None:
    """A basis given to a bare value keeps the comment behind it."""
    by_hand.save([change(by_hand, "frame.layout.gap", Entry("6 mm", "measured", note="gauge \"block\""))])

    line = r'gap = { value = "6 mm", basis = "measured", note = "gauge \"block\"" }   # a finger'
    assert line in by_hand.file.read_text().splitlines()


def test_windows_line_ends_and_a_byte_order_mark_are_read_and_line_ends_kept(tmp_path: Path) -> None:
    """A file from Windows is read, and stays one when it is changed."""
    file = tmp_path / "windows.toml"
    file.write_bytes(b"\xef\xbb\xbf" + BY_HAND.replace("\n", "\r\n").encode())
    record = Record(file)
    record.save([change(record, "brief.place", Entry("Tarn")), change(record, "frame.layout.gap", None)])

    raw = file.read_bytes()
    assert raw.count(b"\n") == raw.count(b"\r\n") > 20
    assert record.load().entries["brief.place"] == Entry("Tarn")
    assert record.load().problems == ()


def test_an_entry_taken_out_is_gone_and_its_old_value_in_the_history(by_hand: Record) -> None:
    """Taking an entry out leaves its neighbours, and history tells what it was and why it went."""
    old = by_hand.load().entries["frame.layout.board_width"]
    saved = by_hand.save([change(by_hand, "frame.layout.board_width", None)], why="linked again", who="Ann")

    assert saved.applied == ("frame.layout.board_width",)
    assert "frame.layout.board_width" not in by_hand.load().entries
    (line,) = by_hand.history("frame.layout.board_width")
    assert (line.old, line.new, line.why, line.who, line.revision) == (old, None, "linked again", "Ann", 13)
    assert line.when is not None and abs(datetime.now(UTC) - line.when).total_seconds() < 60


def test_an_empty_field_is_no_field(by_hand: Record) -> None:
    """An empty give or take or shared name is the same as none, in what is written and in what was seen."""
    saved = by_hand.save([Change("frame.layout.gap", Entry("7 mm", give_or_take=""), Entry("6 mm", shared=""))])

    assert saved.conflicts == ()
    assert by_hand.load().entries["frame.layout.gap"] == Entry("7 mm")


def test_nothing_to_change_writes_nothing(by_hand: Record) -> None:
    """A change to what is there already leaves file and history alone."""
    saved = by_hand.save([Change("frame.layout.gap", Entry("6 mm"), seen=Entry("5 mm"))])

    assert (saved.revision, saved.applied, saved.conflicts) == (12, (), ())
    assert by_hand.file.read_text() == BY_HAND
    assert by_hand.history() == []


def test_a_conflict_is_shown_and_all_else_is_written(by_hand: Record) -> None:
    """A change to what another has changed meanwhile is not made; both values, who and why come back and are logged."""
    other = Record(by_hand.file)
    other.save([change(other, "frame.layout.gap", Entry("8 mm"))], who="Ben", why="wet boards")
    saved = by_hand.save(
        [Change("frame.layout.gap", Entry("7 mm"), Entry("6 mm")), Change("brief.place", Entry("Tarn"))], who="Ann"
    )

    (conflict,) = saved.conflicts
    assert (conflict.wanted, conflict.seen, conflict.found) == (Entry("7 mm"), Entry("6 mm"), Entry("8 mm"))
    assert (conflict.who, conflict.why) == ("Ben", "wet boards")
    assert str(conflict).startswith(
        "frame.layout.gap was not changed to '7 mm': it was '6 mm' when read and is '8 mm' now, written by Ben at "
    )
    assert saved.applied == ("brief.place",)
    assert by_hand.load().entries["frame.layout.gap"] == Entry("8 mm")
    refused = by_hand.history("frame.layout.gap")[-1]
    assert (refused.applied, refused.new, refused.found) == (False, Entry("7 mm"), Entry("8 mm"))


def test_a_conflict_alone_is_logged_and_leaves_the_file(by_hand: Record) -> None:
    """When nothing at all can be written the file stays to the last byte and the history says what was wanted."""
    saved = by_hand.save([Change("frame.layout.gap", Entry("7 mm"), None)])

    assert saved.revision == 12 and len(saved.conflicts) == 1
    assert by_hand.file.read_text() == BY_HAND
    assert [line.applied for line in by_hand.history()] == [False]


def test_an_edit_by_hand_between_reading_and_saving_survives(by_hand: Record) -> None:
    """What a text editor changed after the record was loaded is there after a save, and the history says so."""
    by_hand.save([change(by_hand, "brief.place", Entry("Tarn"))])
    text = by_hand.file.read_text()
    by_hand.file.write_text(text.replace("boards = 13", "boards = 14  # one spare\nfinish = \"oil\""))
    by_hand.save([change(by_hand, "frame.layout.gap", Entry("7 mm"))])

    assert "boards = 14  # one spare" in by_hand.file.read_text()
    assert by_hand.load().entries["frame.layout.finish"] == Entry("oil")
    assert [line.what for line in by_hand.history()] == ["entry", "by hand", "entry"]


def test_what_nobody_knows_is_kept_and_reported(by_hand: Record) -> None:
    """Unknown keys stay in the file through a save, are listed as problems, and unknown paths are told apart."""
    text = BY_HAND.replace("boards = 13", "boards = 13\nstrok = '256 mm'").replace("1 mm\",", '1 mm", colour = "red",')
    text = text.replace("[build]", "[build]\nowner = 'club'").replace("[states]", "[states]\nx = 'lost'")
    by_hand.file.write_text(text)
    problems = by_hand.load().problems
    by_hand.save([change(by_hand, "frame.layout.board_width", Entry("150 mm", "estimate"))])

    assert [problem.split(" ")[0] for problem in problems] == ["frame.layout.board_width", "[build]", "[states]:"]
    for kept in ("strok = '256 mm'", 'colour = "red"', "owner = 'club'", "x = 'lost'"):
        assert kept in by_hand.file.read_text()
    known = {"frame.layout.board_width", "frame.layout.gap", "frame.layout.boards", "raft.afloat.floats",
             "raft.afloat.floats.length"}
    assert set(by_hand.load().unknown(known)) == {"frame.layout.strok", "raft.afloat.floats[port outer].diameter"}


@pytest.mark.parametrize(("written", "complaint"), [
    ("gap = { value = '6 mm', basis = 'guess' }", "frame.layout.gap: the basis 'guess' is not understood and not used"),
    ("gap = { value = '6 mm', date = 'May' }", "frame.layout.gap: the date 'May' is not understood and not used"),
    ('gap = "6\\u0007 mm"', "frame.layout.gap: the value holds the character U+0007"),
    ("gap = ['6 mm']", "'frame.layout.gap' is a list; it is kept and not used"),
    ("'gap here' = '6 mm'", "'gap here' is no name of an input"),
    ("'a.b' = '6 mm'", "'frame.layout.a.b' has a key that no input can have"),
    ("rows = '6 mm'", "'rows' has a meaning of its own there"),
    ("[frame.layout.t.a]\nshared = 'x'\nlength = '1 m'", "'shared' has a meaning of its own there"),
    ("[frame.layout.rows_here.'a]b']\nx = '1 m'", "'a]b' cannot be a row's name"),
    ("[frame.layout.t.a]\nx = { y = { z = 1 } }", "'frame.layout.t.a.x' is no cell"),
])
def test_odd_things_in_a_file_are_reported_in_one_sentence(tmp_path: Path, written: str, complaint: str) -> None:
    """Each odd thing is named with its place, and the rest of the file is read."""
    file = tmp_path / "odd.toml"
    file.write_text(f"schema = 1\n[brief]\nplace = 'Tarn'\n[frame.layout]\n{written}\n# end of record\n")
    content = Record(file).load()

    assert len(content.problems) == 1 and complaint in content.problems[0]
    assert content.entries["brief.place"] == Entry("Tarn")


def test_a_layout_that_cannot_be_edited_is_written_anew_and_kept(tmp_path: Path) -> None:
    """A change that the layout does not allow is written all the same, and the text as it was is kept beside."""
    file = tmp_path / "odd.toml"
    text = "# finger\nschema = 1\n[frame]\nlayout.gap = '6 mm'\n[raft.a.t.x]\nl.value = '1 m'\n[frame.more]\nz = '1'\n"
    file.write_text(f"{text}# end of record\n")
    record = Record(file)
    before = record.load()
    record.save([change(record, "frame.layout.gap", None), change(record, "frame.layout.wide", Entry("1 m")),
                 RowsChange("raft.a.t", ("y", "x"), ("x",), {})])

    after = record.load()
    assert after.entries == {**{p: e for p, e in before.entries.items() if p != "frame.layout.gap"},
                             "frame.layout.wide": Entry("1 m")}
    assert after.rows == {"raft.a.t": ("y", "x")}
    texts = [file.read_text(), *(copy.read_text() for copy in tmp_path.glob("*.bak"))]
    assert any("# finger" in one for one in texts)


def test_states_and_the_build_itself_are_recorded(by_hand: Record) -> None:
    """States, name, note and stages are written, logged with what they were, and left alone when they are so."""
    saved = by_hand.set_state(["frame.deck boards", "frame.joists"], "fitted", on=date(2026, 6, 1), who="Ann")
    by_hand.set_meta(name="Tarn Locker 2", stages_off=["power", "water"])

    content = by_hand.load()
    assert content.states["frame.joists"] == State("fitted", date(2026, 6, 1), saved.revision)
    assert (content.name, content.stages_off, content.revision) == ("Tarn Locker 2", ("power", "water"), 14)
    assert by_hand.history("frame.deck boards")[-1].old == State("cut", date(2026, 5, 2), 11)
    assert by_hand.set_state(["frame.joists"], "fitted", on=date(2026, 6, 1)).applied == ()
    assert "# the club's own name" in by_hand.file.read_text()
    with pytest.raises(RecordError, match=r"^'sawn' is no state; a part, purchase or task is planned, bought, cut, "):
        by_hand.set_state(["frame.joists"], "sawn")


def test_loading_again_is_free_until_the_file_changes(by_hand: Record) -> None:
    """The same content object comes back for an unchanged file and for a mere rewrite, a new one for new text."""
    first = by_hand.load()

    assert by_hand.load() is first
    by_hand.file.write_text(BY_HAND)
    assert by_hand.load() is first


def test_a_change_within_the_grain_of_the_clock_is_seen(by_hand: Record) -> None:
    """A file rewritten with the same length, inode and time is read again while its time is too fresh to tell."""
    fresh = time.time_ns() + 10**9
    for gap in ("6 mm", "9 mm"):
        by_hand.file.write_text(BY_HAND.replace("6 mm", gap))
        os.utime(by_hand.file, ns=(fresh, fresh))
        assert by_hand.load().entries["frame.layout.gap"] == Entry(gap)


def test_the_checksum_is_of_what_is_said(by_hand: Record) -> None:
    """Comments and layout leave the checksum alone; a value, the order of rows or a revision changes it."""
    def checksum(text: str) -> str:
        by_hand.file.write_text(text)
        return by_hand.load().checksum

    first = checksum(BY_HAND)
    same = BY_HAND.replace("# a finger", "# two fingers").replace('gap = "6 mm"', "gap = { value = '6 mm' }")
    assert checksum(same) == first
    frame, raft = BY_HAND.index("[frame.layout]"), BY_HAND.index("[raft")
    assert checksum(BY_HAND[:frame] + BY_HAND[raft:].replace("[states]", BY_HAND[frame:raft] + "[states]")) == first
    assert len({first, checksum(BY_HAND.replace("6 mm", "6.0 mm")), checksum(BY_HAND.replace("= 12", "= 13"))}) == 3


def test_a_copy_keeps_comments_and_never_overwrites(by_hand: Record, tmp_path: Path) -> None:
    """A copy says what it was made from, has a history of its own, and refuses the place of another file."""
    copied = by_hand.copy_to(tmp_path / "mine" / "mine.toml")

    assert copied.load().made_from == "tarn"
    assert copied.load().entries == by_hand.load().entries
    assert "# measured on the bench" in copied.file.read_text()
    assert [(line.what, line.new) for line in copied.history()] == [("copied", "tarn.toml, revision 12")]
    assert by_hand.file.read_text() == BY_HAND
    with pytest.raises(RecordError, match=r"mine\.toml exists already and was left as it is; choose another name$"):
        by_hand.copy_to(copied.file)


def test_a_blank_build_is_one_step_away(tmp_path: Path) -> None:
    """A new record reads without a problem and takes entries; the same file is not made twice."""
    record = Record.create(tmp_path / "bench.toml", "Potting \"Bench\"", stages_off=["raft"], note="two\nlines")
    record.save([Change("frame.layout.gap", Entry("6 mm", "measured"))])

    content = record.load()
    assert (content.name, content.note, content.revision, content.problems) == ('Potting "Bench"', "two\nlines", 2, ())
    assert content.entries == {"frame.layout.gap": Entry("6 mm", "measured")}
    with pytest.raises(RecordError, match="exists already"):
        Record.create(record.file, "Another")
