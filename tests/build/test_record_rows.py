"""Rows of a record: added, renamed, taken out and put in order, by several writers, with comments kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kit.build.record import Change, Entry, Record, RecordError, RowsChange
from kit.build.toml_text import plain_text, says

TABLE = "raft.afloat.floats"
TEXT = '''schema = 1

[build]
name = "Rows"

[raft.afloat]
wanted = "0.3 m" # above water

# from one pipe
[raft.afloat.floats.a]
length = "1 m" # of a
# after a

[raft.afloat.floats.b]
length = { value = "2 m", basis = "measured" } # of b

[raft.afloat.floats.c]
length = "3 m"

[brief.allowances."above deck"]
mass = "120 kg"

[water.pump]
lift = "0.6 m"

# end of record
'''


@pytest.fixture
def record(tmp_path: Path) -> Record:
    """A record with a table of three rows, and one whose stage has a table of its own."""
    file = tmp_path / "rows.toml"
    file.write_text(TEXT)
    return Record(file)


def cell(row: str, column: str = "length") -> str:
    """The path of a cell of the table."""
    return f"{TABLE}[{row}].{column}"


def lengths(record: Record) -> dict[str, str]:
    """Length by row, in the order of the rows."""
    content = record.load()
    rows = content.rows.get(TABLE, ())
    return {row: content.entries[cell(row)].value for row in rows if cell(row) in content.entries}


def comments(record: Record) -> list[str]:
    """Every comment of the file."""
    return [line.partition("#")[2].strip() for line in record.file.read_text().splitlines() if "#" in line]


def test_rows_are_put_in_order_with_their_comments(record: Record) -> None:
    """A new order is in the file, every comment still is too, and nothing was written anew."""
    before = sorted(comments(record))
    saved = record.save([RowsChange(TABLE, ("c", "a", "b"), ("a", "b", "c"))])

    assert list(lengths(record).items()) == [("c", "3 m"), ("a", "1 m"), ("b", "2 m")]
    assert sorted(comments(record)) == before
    assert (saved.applied, saved.notes) == ((TABLE,), ())
    assert record.history(TABLE)[-1].new == ("c", "a", "b")


def test_a_row_is_renamed_in_its_place_with_its_comments(record: Record) -> None:
    """A new name keeps place, cells and comments, and history tells the old name."""
    before = sorted(comments(record))
    record.save([
        RowsChange(TABLE, ("a", "stern, (port)", "c"), ("a", "b", "c"), {"b": "stern, (port)"}),
        Change(cell("stern, (port)"), Entry("2.5 m", "measured"), Entry("2 m", "measured")),
    ])

    assert lengths(record) == {"a": "1 m", "stern, (port)": "2.5 m", "c": "3 m"}
    assert list(lengths(record)) == ["a", "stern, (port)", "c"]
    assert sorted(comments(record)) == before
    assert [line.new for line in record.history(f"{TABLE}[b]")] == ["stern, (port)"]


def test_two_rows_may_change_names_with_each_other(record: Record) -> None:
    """Names swapped in one save carry their cells along."""
    record.save([RowsChange(TABLE, ("b", "a", "c"), ("a", "b", "c"), {"a": "b", "b": "a"})])

    assert list(lengths(record).items()) == [("b", "1 m"), ("a", "2 m"), ("c", "3 m")]


def test_rows_of_two_writers_are_both_there(record: Record) -> None:
    """One adds a row at the end, one in front and takes another out; both are done, and the order is kept."""
    other = Record(record.file)
    other.save([RowsChange(TABLE, ("a", "b", "c", "d"), ("a", "b", "c")), Change(cell("d"), Entry("4 m"))])
    saved = record.save([
        RowsChange(TABLE, ("new", "c", "a"), ("a", "b", "c")),
        Change(cell("new"), Entry("0 m")),
        Change(cell("b"), None, Entry("2 m", "measured")),
    ])

    assert saved.conflicts == ()
    assert list(lengths(record).items()) == [("new", "0 m"), ("c", "3 m"), ("d", "4 m"), ("a", "1 m")]


def test_a_row_that_changed_meanwhile_is_not_taken_out(record: Record) -> None:
    """A row another has changed stays with what it holds; the conflict says so."""
    other = Record(record.file)
    other.save([Change(cell("b"), Entry("9 m"), Entry("2 m", "measured"))])
    saved = record.save([
        RowsChange(TABLE, ("a", "c"), ("a", "b", "c")), Change(cell("b"), None, Entry("2 m", "measured")),
    ])

    assert [conflict.path for conflict in saved.conflicts] == [cell("b")]
    assert lengths(record) == {"a": "1 m", "b": "9 m", "c": "3 m"}


def test_a_row_with_a_cell_its_writer_never_saw_is_not_taken_out(record: Record) -> None:
    """A cell that another added to the row is not lost with it."""
    Record(record.file).save([Change(cell("b", "diameter"), Entry("0.5 m"))])
    saved = record.save([
        RowsChange(TABLE, ("a", "c"), ("a", "b", "c")), Change(cell("b"), None, Entry("2 m", "measured")),
    ])

    (conflict,) = saved.conflicts
    assert (conflict.path, conflict.found) == (cell("b", "diameter"), Entry("0.5 m"))
    assert record.load().entries[cell("b", "diameter")] == Entry("0.5 m")


def test_a_cell_of_a_row_that_is_gone_is_a_conflict(record: Record) -> None:
    """A new cell does not bring back a row that another has taken out."""
    Record(record.file).save([RowsChange(TABLE, ("a", "b"), ("a", "b", "c")), Change(cell("c"), None, Entry("3 m"))])
    saved = record.save([Change(cell("c", "diameter"), Entry("0.5 m"))])

    assert [conflict.found for conflict in saved.conflicts] == ["no such row"]
    assert record.load().rows[TABLE] == ("a", "b")


def test_an_entry_never_takes_the_place_of_a_table_or_the_other_way_round(record: Record) -> None:
    """Where a table stands no entry is written, and below an entry no other."""
    saved = record.save([Change(TABLE, Entry("4")), Change("water.pump.lifts", Entry("1"))])

    assert [conflict.path for conflict in saved.conflicts] == [TABLE]
    assert lengths(record) == {"a": "1 m", "b": "2 m", "c": "3 m"}
    assert record.save([RowsChange("water.pump.lift", ("x",), None)]).conflicts[0].found == "an entry lift"


def test_a_table_emptied_on_purpose_stays_known_and_one_taken_out_does_not(record: Record) -> None:
    """No rows is something else than nothing said: the first is kept as such, the second gives the default back."""
    gone = [Change(cell(row), None, record.load().entries[cell(row)]) for row in "abc"]
    record.save([RowsChange(TABLE, (), ("a", "b", "c")), *gone])
    assert record.load().rows[TABLE] == ()
    assert record.load().problems == ()

    record.save([RowsChange(TABLE, ("z",), ())])
    assert record.load().rows[TABLE] == ("z",)
    record.save([RowsChange(TABLE, None, ("z",))])
    assert TABLE not in record.load().rows
    assert record.load().entries["raft.afloat.wanted"] == Entry("0.3 m")


def test_a_row_without_cells_stays_a_row(record: Record) -> None:
    """Rows whose last cell is taken out, or that have none yet, are read back as rows at either depth."""
    record.save([
        RowsChange(TABLE, ("a", "b", "c", "empty"), ("a", "b", "c")),
        RowsChange("brief.allowances", ("above deck", "crew"), ("above deck",)),
        Change("brief.allowances[above deck].mass", None, Entry("120 kg")),
    ])

    assert record.load().rows == {TABLE: ("a", "b", "c", "empty"), "brief.allowances": ("above deck", "crew")}
    assert record.load().problems == ()
    assert record.load().entries.keys() == {"raft.afloat.wanted", "water.pump.lift", *map(cell, "abc")}


def test_rows_of_a_stage_itself_are_rows_without_cells_too(record: Record) -> None:
    """Two keys deep, an emptied row, one written by hand and the only row of a new table are read as rows."""
    record.file.write_text(TEXT.replace("[water.pump]", "[brief.allowances.crew]\n\n[water.pump]"))
    assert record.load().rows["brief.allowances"] == ("above deck", "crew")

    record.file.write_text(TEXT)
    record.save([Change("brief.allowances[above deck].mass", None, Entry("120 kg"))])
    record.save([RowsChange("brief.guests", ("Ann",), None)])
    assert record.load().rows == {
        TABLE: ("a", "b", "c"), "brief.allowances": ("above deck",), "brief.guests": ("Ann",),
    }


def test_a_new_name_that_another_has_taken_meanwhile_is_a_conflict(record: Record) -> None:
    """A row is renamed neither onto another row nor when it is gone; the rest of the save is done."""
    other = Record(record.file)
    other.save([RowsChange(TABLE, ("a", "b", "c", "d"), ("a", "b", "c")), Change(cell("d"), Entry("4 m"))])
    onto = RowsChange(TABLE, ("d", "b", "c"), ("a", "b", "c"), {"a": "d"})
    taken = record.save([onto, Change("brief.x", Entry("1"))])
    gone = record.save([RowsChange(TABLE, ("a", "y"), ("a", "x"), {"x": "y"})])

    assert [conflict.found for conflict in (*taken.conflicts, *gone.conflicts)] == [("a", "b", "c", "d")] * 2
    assert taken.applied == ("brief.x",)
    assert lengths(record) == {"a": "1 m", "b": "2 m", "c": "3 m", "d": "4 m"}


def test_a_table_with_rows_its_writer_never_saw_is_not_taken_out(record: Record) -> None:
    """Putting a table back to its default while another adds a row is a conflict, and the row stays."""
    Record(record.file).save([RowsChange("brief.guests", ("Ann",), None)])
    saved = record.save([RowsChange("brief.guests", None, ())])

    assert [(conflict.wanted, conflict.found) for conflict in saved.conflicts] == [(None, ("Ann",))]
    assert record.load().rows["brief.guests"] == ("Ann",)


def test_a_text_reads_as_wanted_only_with_its_rows_in_order() -> None:
    """The last look before a file is replaced tells rows in another order from the order wanted."""
    one = {"raft": {"floats": {"a": {"length": "1 m"}, "b": {"length": "2 m"}}}}
    other = {"raft": {"floats": dict(reversed(one["raft"]["floats"].items()))}}

    assert says(plain_text(one), one) and not says(plain_text(one), other)


def test_rows_that_no_table_can_have_are_refused(record: Record) -> None:
    """Bad names, names given twice and new names that are no rows are each named; nothing is written."""
    with pytest.raises(RecordError) as refused:
        record.save([
            RowsChange(TABLE, ("a", "a", "x]"), None),
            RowsChange("brief.allowances", ("b",), None, {"above deck": "c"}),
        ])

    assert str(refused.value) == (
        f"{TABLE}: 'x]' cannot be a row's name; a row's name has 1 to 60 printable characters without [ and ], "
        f"such as 'port outer'; {TABLE}: two rows are called 'a'; every row needs a name of its own; "
        "brief.allowances: 'c' is a new name but not among the rows"
    )
    assert record.file.read_text() == TEXT


NAMES = st.lists(st.sampled_from(["a", "b", "c", "d e", "f.g", '"', "Ü"]), unique=True, max_size=5)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(orders=st.lists(NAMES, min_size=1, max_size=3), data=st.data())
def test_any_row_work_comes_out_as_asked(record: Record, orders: list[list[str]], data: st.DataObject) -> None:
    """Rows added, taken out, renamed and sorted at random are as a plain dictionary has them, comments kept."""
    record.file.write_text(TEXT)
    model = {"a": "1 m", "b": "2 m", "c": "3 m"}
    for step, order in enumerate(orders):
        content = record.load()
        old = [name for name in model if name not in order]
        fresh = [name for name in order if name not in model]
        renamed = dict(zip(old, fresh, strict=False)) if data.draw(st.booleans()) else {}
        held = {renamed.get(name, name): text for name, text in model.items()}
        changes: list[Change | RowsChange] = [RowsChange(TABLE, tuple(order), content.rows[TABLE], renamed)]
        for name in {*held, *order}:
            was = next((old for old, new in renamed.items() if new == name), name)
            seen = content.entries.get(cell(was)) if name in held else None
            if name not in order:
                changes.append(Change(cell(name), None, seen))
            elif name not in held:
                changes.append(Change(cell(name), Entry(f"{step} m"), None))
        saved = record.save(changes)
        model = {name: held.get(name, f"{step} m") for name in order}

        assert (saved.conflicts, saved.notes) == ((), ())
        assert record.load().rows[TABLE] == tuple(order)
        assert lengths(record) == model
        assert record.load().entries["brief.allowances[above deck].mass"] == Entry("120 kg")
