"""The page of stage 03: its sentence, its drawings and its card."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import open_stage
from kit.notebook.stages import machining
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture(scope="module")
def still() -> Build:
    """The demo, for tests that change nothing."""
    return demo_build()


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_says_feed_time_and_chips(still: Build) -> None:
    """1800 mm/min, two hours, and a bag."""
    said = machining.sentence(still)

    assert "goes 1800 mm/min, 2.0 mm deep a pass" in said
    assert "runs 2.0 h" in said and "5 L of chips fill 1 bag." in said
    assert "Depths are true to 0.10 mm" in said


def test_a_recess_counted_from_the_bed_is_said_to_err(build: Build) -> None:
    """Zero on the bed adds the give or take of the thickness."""
    build.enter("machining.operations.work[ring].zero", "bed")

    assert "more than 0.20 mm: set zero on top of the wood" in machining.sentence(build)


def test_the_section_runs_down_from_the_face_of_the_wood(still: Build) -> None:
    """Both passes, the V, the mouth and the step-over."""
    texts = texts_of(machining.section(still))

    for words in ("face of the wood", "2.0 mm pass 1", "4.0 mm pass 2", "4.33 mm V", "mouth 5.0 mm", "ring", "V of 60°",
                  "step-over 1.20 mm", "z", "5 mm"):
        assert words in texts


def test_a_v_held_short_is_drawn_with_its_floor(build: Build) -> None:
    """3 mm allowed: the mark of its depth follows."""
    build.enter("machining.v_groove.deepest", "3 mm")

    assert "3.00 mm V" in texts_of(machining.section(build))


def test_the_corner_is_measured_from_its_point(build: Build) -> None:
    """The rounding begins a radius along each side; the relief is drawn where it is cut."""
    texts = texts_of(machining.corner(build))
    assert "3.00 mm rounding begins" in texts and "3.00 mm relief" in texts
    assert any("1.24 mm of wood from the point" in text for text in texts)

    build.enter("machining.inside_corner.relief", "none")
    assert not any("relief" in text for text in texts_of(machining.corner(build)))


def test_hours_stand_in_the_order_of_the_operations(still: Build) -> None:
    """One row each, with the cutter it wants."""
    texts = texts_of(machining.hours(still))
    names = [text for text in texts if text in still.rows("machining.operations.work")]

    assert names == ["ring", "long kites", "short kites", "disc", "letters", "finger joints", "facing after the pour"]
    assert any(text.startswith("6 mm end mill, ") for text in texts)


def test_the_chart_of_chips_marks_the_main_cutter(build: Build) -> None:
    """Within the sizes shown; a cutter beyond them is left out."""
    assert "main cutter" in texts_of(machining.chip_loads(build))

    build.enter("machining.main_cutter.diameter", "25 mm")
    assert "main cutter" not in texts_of(machining.chip_loads(build))


def test_the_card_has_a_line_an_operation_with_its_zero(still: Build) -> None:
    """Passes by depth, floor from the zero named, and a blank for the time it took."""
    rows = {row[0]: row for row in machining.card(still).tables[0][2]}

    assert rows["ring"][1:6] == ("main cutter", "1800 mm/min", "2 x 2.00 mm", "top: -4.00 mm", "7.3 min")
    assert rows["finger joints"][4] == "bed: -0.20 mm"
    assert all(row[-1] == "______" for row in rows.values())
    assert "1800 mm/min, first in an offcut" in " ".join(machining.card(still).steps)


def test_an_inch_reader_sees_inches(build: Build) -> None:
    """In the drawings and on the card."""
    build.enter("brief.units", "inch")

    assert not any(" mm" in text for text in texts_of(machining.section(build)))
    assert "in/min" in machining.card(build).tables[0][2][0][2]


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; every view of the page still stands."""
    page = open_stage("machining", blank_build(tmp_path))

    assert machining.sentence(page.build) == (
        "Still open: the feed of the main cutter, the running time of the machine, the depths by their zero.")
    assert "it waits for the main cutter" in page.first_look().picture.value
    for name in ("corner", "hours", "chips"):
        assert "it waits for" in page.drawing(name).out.value
    assert "The card is ready when" in page.shop_card().out.value
