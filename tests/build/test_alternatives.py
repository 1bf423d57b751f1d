"""Named alternatives beside the present, and the way back from a revision."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build import Build
from kit.build.record import Alternative, Entry, Record, RecordError

CEDAR = {"frame.deck.timber": "western redcedar", "frame.board_price": "19 GBP"}


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Build:
    """Tarn Locker, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return Build.open("tarn_locker")


def keep_cedar(build: Build) -> None:
    """Try another deck and keep it as an alternative."""
    for path, text in CEDAR.items():
        build.enter(path, text)
    build.keep_alternative("softer deck", note="lighter and dearer", why="asked by the club")


def test_what_is_tried_can_be_kept_beside_the_present(demo: Build) -> None:
    """The present is put back, the alternative reads back from the file, and the history says why."""
    before = demo.value("raft.afloat.draft")
    keep_cedar(demo)

    assert not demo.is_tried
    assert demo.value("raft.afloat.draft") == before
    assert Record(demo.record.file).load().alternatives["softer deck"] == Alternative(CEDAR, "lighter and dearer")
    line = demo.record.history()[-1]
    assert (line.what, line.path, line.why) == ("alternative", "softer deck", "asked by the club")
    assert line.new[0] == "frame.deck.timber = western redcedar"  # type: ignore[index]


def test_an_alternative_is_worked_out_beside_the_present(demo: Build) -> None:
    """It floats higher and costs more, and the present does not move."""
    keep_cedar(demo)
    other = demo.beside("softer deck")

    assert other.value("raft.afloat.draft") < demo.value("raft.afloat.draft")
    assert other.value("sheet.all.cost") > demo.value("sheet.all.cost")
    assert not demo.is_tried and other.is_tried


def test_an_alternative_can_be_tried_and_recorded(demo: Build) -> None:
    """Trying it enters all it changes; writing makes it the present."""
    keep_cedar(demo)
    demo.try_alternative("softer deck")

    assert demo.tried().keys() == CEDAR.keys()
    demo.commit("the club wants it")
    assert demo.shown("frame.deck.timber") == "western redcedar"


def test_an_alternative_can_be_dropped(demo: Build) -> None:
    """Afterwards there is none of that name, and the sentence says so."""
    keep_cedar(demo)
    demo.drop_alternative("softer deck")

    assert "softer deck" not in demo.alternatives
    with pytest.raises(KeyError, match="there is no alternative 'softer deck'; there are cedar deck"):
        demo.try_alternative("softer deck")


def test_nothing_tried_or_rows_tried_cannot_be_kept(demo: Build) -> None:
    """Each is refused with what to do instead."""
    with pytest.raises(ValueError, match="nothing is being tried"):
        demo.keep_alternative("same")
    demo.add_row("brief.allowances", "anchor")
    demo.enter("brief.people", "5")
    with pytest.raises(ValueError, match="an alternative keeps changed entries, not rows"):
        demo.keep_alternative("more")


def test_an_alternative_with_a_wrong_path_or_name_is_refused(tmp_path: Path) -> None:
    """The record is as it was."""
    record = Record.create(tmp_path / "bench.toml", "Bench")
    was = record.file.read_text()
    with pytest.raises(RecordError):
        record.set_alternative("a[b", Alternative({"a.b": "1"}))
    with pytest.raises(RecordError):
        record.set_alternative("fine", Alternative({"nowhere": "1"}))
    assert record.file.read_text() == was


def test_what_is_odd_about_an_alternative_is_reported_and_kept(tmp_path: Path) -> None:
    """A list where a text should be is named, and the others are read."""
    file = tmp_path / "bench.toml"
    file.write_text('schema = 1\n[build]\nname = "B"\nrevision = 1\n[alternatives."x"]\n"a.b" = "1"\n"a.c" = [1]\n')
    content = Record(file).load()

    assert content.alternatives["x"].changes == {"a.b": "1"}
    assert any("alternatives.x.a.c" in problem for problem in content.problems)


def test_the_way_back_is_tried_and_not_written(demo: Build) -> None:
    """The last revision's entries are tried as they were; committing restores them; later changes stay."""
    demo.enter("brief.people", "6")
    demo.commit("more people")
    demo.enter("brief.sharing", "5")
    demo.commit("all on one side")

    assert demo.try_way_back() == ["brief.sharing"]
    assert demo.content.entries["brief.sharing"].value == "5"
    demo.commit("a mistake")
    assert demo.content.entries["brief.sharing"].value == "3"
    assert demo.content.entries["brief.people"].value == "6"


def test_the_way_back_brings_a_removed_row_back_with_its_cells(demo: Build) -> None:
    """A ladder taken out and taken back is where it was."""
    cells = {p: e for p, e in demo.content.entries.items() if p.startswith("frame.fittings[ladder]")}
    rows = demo.rows("frame.fittings")
    demo.remove_row("frame.fittings", "ladder")
    demo.commit("no ladder")
    assert "ladder" not in demo.rows("frame.fittings")

    demo.try_way_back()
    demo.commit("the ladder again")

    assert demo.rows("frame.fittings") == rows
    assert {p: demo.content.entries[p].value for p in cells} == {p: e.value for p, e in cells.items()}


def test_an_entry_changed_again_since_is_not_taken_back(demo: Build) -> None:
    """What was changed twice stays as the second change left it."""
    demo.enter("brief.people", "6")
    demo.commit("more")
    first = demo.content.revision
    demo.enter("brief.people", "7")
    demo.commit("still more")

    assert demo.try_way_back(first) == []
    with pytest.raises(ValueError, match="revision 99 changed no entry"):
        demo.try_way_back(99)


def test_an_entry_of_the_present_is_an_entry(demo: Build) -> None:
    """An alternative changes the value and keeps how it is known."""
    keep_cedar(demo)
    entry = demo.beside("softer deck").now.entries["frame.board_price"]

    assert isinstance(entry, Entry) and entry.value == "19 GBP"
    assert entry.basis == demo.now.entries["frame.board_price"].basis
