"""Forms without a browser: what is typed is read, explained, tried, carried on and written."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kit.build.build import Build
from kit.build.record import Record
from kit.notebook import open_stage
from kit.notebook.form import EntryBox
from kit.notebook.page import Page


@pytest.fixture
def page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Page]:
    """The brief of the demo build, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path / "builds"))
    yield open_stage("brief")


def box_of(page: Page, path: str) -> EntryBox:
    """The last box made for a path."""
    return next(b for b in reversed(page.boxes) if b.path == path)  # type: ignore[return-value]


def text_of(view: Any) -> str:
    """What a view's page says, tags included."""
    return str(view.out.value)


def test_a_changed_entry_moves_the_sentence_and_turns_its_check(page: Page) -> None:
    """Twice the mass puts the floats under water."""
    look, checks = page.first_look(), page.checks()
    assert "It floats" in look.sentence.value

    box_of(page, "brief.first.mass").entry.value = "2100 kg"

    assert "The floats are too small" in look.sentence.value
    assert "br-fails" in text_of(checks)


def test_a_wrong_entry_is_explained_beside_its_box_and_is_not_written(page: Page) -> None:
    """Text without a unit stays in the box with one sentence, and writing is refused with the same words."""
    page.first_look()
    record = page.record()
    box = box_of(page, "brief.first.mass")

    box.entry.value = "heavy"
    assert "is not a number and a unit" in box.message.value
    record._write_now()

    assert "nothing was written" in text_of(record)
    assert page.build.record.load().entries["brief.first.mass"].value == "680 kg"


def test_an_entry_out_of_its_limits_says_what_is_allowed(page: Page) -> None:
    """Nothing is clamped."""
    page.first_look()
    box = box_of(page, "brief.first.length")

    box.entry.value = "300 m"

    assert box.entry.value == "300 m"
    assert "300 m is outside 0.3 to 30 m, such as 3 m" in box.message.value


def test_the_same_entry_in_two_forms_shows_the_same_text(page: Page) -> None:
    """The full form follows the first look."""
    page.first_look()
    page.form().open_all()
    boxes = [b for b in page.boxes if b.path == "brief.first.length"]
    assert len(boxes) == 2

    boxes[0].entry.value = "4 m"  # type: ignore[attr-defined]

    assert boxes[1].entry.value == "4 m"  # type: ignore[attr-defined]


def test_after_a_failed_working_out_old_numbers_are_struck_through(page: Page) -> None:
    """The last results stand, marked as no longer holding."""
    results = page.results()
    page.first_look()
    assert "br-stale" not in text_of(results).split("</style>")[1]

    box_of(page, "brief.first.mass").entry.value = "nan kg"

    assert "class='br-stale'" in text_of(results)


def test_writing_copies_the_demo_and_bumps_the_revision(page: Page) -> None:
    """The shipped demo stays as it is; the copy has the change, its basis and the reason."""
    page.form().open_all()
    record = page.record()
    shipped = page.build.record.file.read_bytes()
    box = box_of(page, "brief.first.mass")
    box.entry.value = "700 kg"
    box.basis.value = "measured"
    record.note.value = "weighed"
    record._write_now()

    build = Build.open()
    assert build.content.entries["brief.first.mass"].value == "700 kg"
    assert build.content.entries["brief.first.mass"].basis == "measured"
    assert build.content.revision == 2
    assert build.record.history("brief.first.mass")[-1].why == "weighed"
    assert open_stage("brief", "tarn_locker").build.record.file.read_bytes() == shipped


def test_another_notebooks_change_arrives_with_the_next_event(page: Page) -> None:
    """Two pages on one record: what one writes, the other reads."""
    page.first_look()
    box_of(page, "brief.first.mass").entry.value = "700 kg"
    page.record()._write_now()
    other = open_stage("brief")
    other.first_look()
    box_of(other, "brief.first.length").entry.value = "3.4 m"
    other.record()._write_now()

    page.changed()

    assert box_of(page, "brief.first.length").entry.value == "3.4 m"


def test_a_row_is_added_filled_and_removed(page: Page) -> None:
    """A new allowance has open cells until they are entered, and is gone when removed."""
    form = page.form()
    form.open_all()
    table = next(v for v in page.views if getattr(getattr(v, "place", None), "path", "") == "brief.allowances")
    table.name.value = "anvil"  # type: ignore[attr-defined]
    page.act(table._add)  # type: ignore[attr-defined]
    assert "anvil" in page.build.rows("brief.allowances")

    box_of(page, "brief.allowances[anvil].stands_for").entry.value = "gear"
    box_of(page, "brief.allowances[anvil].mass").entry.value = "30 kg"
    assert any(p.name == "anvil" for _, p in page.build.handed(_part(), "brief"))

    page.act(lambda: page.build.remove_row("brief.allowances", "anvil"))
    assert not page.build.is_tried
    assert form is not None


def test_opening_every_fold_of_every_stage_tries_nothing(page: Page) -> None:
    """A form only shows: with all boxes made, no entry, basis, give or take or note differs from the record."""
    for stage in page.build.graph.stages:
        opened = open_stage(stage, page.build)
        opened.first_look()
        opened.form().open_all()
        opened.changed()

    assert dict(page.build.tried()) == {}
    assert not page.build.is_tried


def test_hostile_text_in_names_and_notes_stays_text(page: Page) -> None:
    """Markup in a row's name, a place's name and a note is shown, never run."""
    page.form().open_all()
    record, handed = page.record(), page.handed()
    nasty = "<img src=x onerror=alert(1)>"
    box_of(page, "brief.place").entry.value = nasty
    page.act(lambda: page.build.add_row("brief.allowances", nasty, {"stands_for": "gear", "mass": "1 kg"}))

    for words in (text_of(record), text_of(handed), *(b.message.value for b in page.boxes)):  # type: ignore[attr-defined]
        assert "<img" not in words
    assert "&lt;img" in text_of(handed)


def test_a_blank_build_has_a_page_with_everything_open(page: Page, tmp_path: Path) -> None:
    """Nothing entered: no traceback, checks open."""
    record = Record.create(tmp_path / "blank.toml", "Blank")
    blank = open_stage("brief", Build(record))
    views = [
        blank.first_look(), blank.form(), blank.results(), blank.checks(), blank.behind(), blank.hazards(),
        blank.handed(), blank.shop_card(), blank.record(),
    ]

    assert blank.build.count("brief")["open"] > 0
    assert blank.build.count("brief")["meets"] == 0
    assert all(isinstance(view.plain(), str) and "Traceback" not in view.plain() for view in views)


def test_an_impossible_give_or_take_is_explained(page: Page) -> None:
    """A give or take of the wrong kind never reaches the record."""
    page.form().open_all()
    box = box_of(page, "brief.first.mass")

    box.take.value = "3 m"

    assert "give or take" in box.message.value
    with pytest.raises(ValueError, match="nothing was written"):
        page.build.commit()


def _part() -> type:
    from kit.handed import Part

    return Part


def test_stages_a_build_does_not_have_are_switched_off_in_the_first_notebook(page: Page) -> None:
    """A bench keeps no float: the copy says so, the demo stays as it was, and a page of the float is refused."""
    builds = page.builds()
    builds.boxes["raft"].value = False
    page.act(builds._keep)

    assert "raft" not in Build.open().graph.stages
    assert "raft" in Build.open("tarn_locker").graph.stages
    with pytest.raises(KeyError, match="this build has no stage 'raft'"):
        open_stage("raft")
