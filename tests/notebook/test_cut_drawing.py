"""Drawings for the saw: sticks of all stages, sheets, and what they say when there is nothing to cut."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build.build import Build
from kit.handed import Piece
from kit.notebook.cut_drawing import drawn_sheets, own_sticks, sticks
from kit.notebook.stages import sheet
from kit.quantities import Q
from kit.sheet_cuts import SheetOffer, sheet_cuts
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_cut_plan_shows_every_stock_and_sheets_say_that_there_are_none(build: Build) -> None:
    """Sticks of all stages on one drawing; a build without sheets says so in a sentence."""
    texts = texts_of(sheet.DRAWINGS["cuts"](build))

    for stock in {one.stock for one in build.value("sheet.cuts.sticks")}:
        assert any(text.startswith(f"{stock}: ") for text in texts)
    with pytest.raises(LookupError, match="nothing is cut from a sheet in this build"):
        sheet.DRAWINGS["sheets"](build)


def test_a_sheet_is_drawn_with_sizes_places_and_grain(build: Build) -> None:
    """A side of plywood from the corner with the dot."""
    side = Piece(name="side", stock="ply", length=Q(1500, "mm"), width=Q(420, "mm"), count=2)
    offer = SheetOffer(name="ply", stock="ply", length=Q(2440, "mm"), width=Q(1220, "mm"))
    texts = texts_of(drawn_sheets(sheet_cuts(pieces=[side], offers=[offer]).sheets, build))

    for words in ("ply, sheet 1: 42 % used", "1500 x 420 mm", "at 0, 0 mm", "at 0, 423 mm", "grain", "500 mm"):
        assert words in texts


def test_a_stage_shows_only_its_own_stocks(build: Build) -> None:
    """Oak and cedar on the page of the panels, and no joist."""
    texts = " ".join(texts_of(own_sticks("panels")(build)))

    assert "lid boards" in texts
    assert "joists" not in texts


def test_a_blank_build_has_nothing_to_saw(tmp_path: Path) -> None:
    """One sentence, no fault."""
    with pytest.raises(LookupError, match="nothing is cut from a stick yet"):
        sticks(blank_build(tmp_path))


def test_an_inch_reader_sees_inches(build: Build) -> None:
    """A foot for the scale, and no millimetre."""
    build.enter("brief.units", "inch")
    texts = texts_of(sticks(build))

    assert "12 in" in texts
    assert not any(" mm" in text for text in texts)
