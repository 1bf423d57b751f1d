"""Texts a record keeps and texts it refuses: whatever is kept is read back and does nothing."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kit.build.record import BASES, Change, Entry, Record, RecordError, RowsChange, join_path, split_path
from tests.build.test_record import BY_HAND


@pytest.fixture
def record(tmp_path: Path) -> Record:
    """A record as somebody wrote it."""
    file = tmp_path / "tarn.toml"
    file.write_bytes(BY_HAND.encode())
    return Record(file)


@pytest.mark.parametrize(("entry", "complaint"), [
    (Entry("6\x00mm"), "the value holds the character U+0000; only printable text is kept, such as '145 mm'"),
    (Entry("6 mm", note="\ud800"), "the note holds the character U+D800; only printable text is kept, such as 'dry"),
    (Entry("6 mm", source="a\u202eb"), "the source holds the character U+202E"),
    (Entry("x" * 201), "the value has 201 characters; 200 are allowed, such as '145 mm'"),
    (Entry("6 mm", note="x" * 2001), "the note has 2001 characters; 2000 are allowed"),
    (Entry("  "), "the value is empty; write one such as '145 mm', or take the entry out"),
    (Entry(6), "the value is int 6, not text; write it as text, such as '145 mm'"),  # type: ignore[arg-type]
    (Entry("6 mm", "guess"), f"the basis 'guess' is unknown; it may be {', '.join(BASES)}"),  # type: ignore[arg-type]
    (Entry("6 mm", date=datetime(2026, 5, 2)), "the date 2026-05-02 00:00:00 is no date"),
])
def test_text_that_cannot_be_kept_is_refused(record: Record, entry: Entry, complaint: str) -> None:
    """One sentence names path and field, what is wrong and an example; nothing of the save is written."""
    with pytest.raises(RecordError) as refused:
        record.save([Change("brief.place", Entry("Tarn")), Change("frame.layout.gap", entry, Entry("6 mm"))])

    assert str(refused.value).startswith(f"frame.layout.gap: {complaint}")
    assert record.file.read_text() == BY_HAND


@pytest.mark.parametrize("path", [
    "", "gap", "a.b.c.d", "build.name", "schema.x.y", "a.b[c]", "a.b[c].", "a.b[].d", "a.b[x[y]].d", "a.b[ x].d",
    "../x.y", "a.b[x\x07].d", f"a.b[{'x' * 61}].d", "a.b[x].note", "a.value", "a..b", "a.b\n",
])
def test_a_path_that_is_none_is_refused(record: Record, path: str) -> None:
    """A path that no entry can have is refused in one sentence and nothing is written."""
    with pytest.raises(RecordError, match="is no path of an entry"):
        record.save([Change(path, Entry("6 mm"))])
    assert record.file.read_text() == BY_HAND


ROW_NAMES = st.text(st.characters(exclude_categories=("C", "Z"), exclude_characters="[]"), min_size=1, max_size=60)
TEXTS = st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"), exclude_characters="".join(
    map(chr, [*range(0x202A, 0x202F), *range(0x2066, 0x206A)]))), max_size=60)
ENTRIES = st.builds(
    Entry, TEXTS.filter(str.strip), st.sampled_from([None, *BASES]), TEXTS.map(lambda t: t or None),
    TEXTS.map(lambda t: t or None), TEXTS, TEXTS, st.one_of(st.none(), st.dates()),
)


@given(ROW_NAMES)
def test_a_path_comes_apart_as_it_was_put_together(row: str) -> None:
    """Any row's name, dots and quotes included, is found again in a path."""
    place = split_path(join_path("raft.afloat.floats", row, "length"))

    assert (place.table, place.row, place.column) == ("raft.afloat.floats", row, "length")


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(row=ROW_NAMES, one=ENTRIES, other=ENTRIES)
def test_every_text_is_read_back_and_does_nothing(tmp_path: Path, row: str, one: Entry, other: Entry) -> None:
    """Whatever quotes, brackets, hashes or backslashes a text holds, it comes back the same, alone in its place."""
    file = tmp_path / "texts.toml"
    file.write_text(BY_HAND)
    record = Record(file)
    cell = join_path("raft.afloat.floats", row, "length")
    before = record.load()
    rows = before.rows["raft.afloat.floats"]
    seen = before.entries.get(cell)
    wanted_rows = rows if row in rows else (*rows, row)
    record.save([
        RowsChange("raft.afloat.floats", wanted_rows, rows), Change(cell, one, seen), Change("brief.place", other),
    ])

    content = record.load()
    about = Entry("", "measured", source="tape") if row == "port outer" else Entry("")
    assert content.entries[cell] == replace(one, basis=one.basis or about.basis, source=one.source or about.source)
    assert content.entries["brief.place"] == other
    assert content.rows["raft.afloat.floats"] == wanted_rows
    assert content.problems == ()
    assert len(content.entries) == len(before.entries) + (seen is None) + 1
    assert all(json.loads(line) for line in record.log_file.read_text().splitlines())
    record.log_file.unlink()
