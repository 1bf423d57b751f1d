"""The page of stage 02: its sentence, its drawings and its card."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import open_stage
from kit.notebook.paper import card_body
from kit.notebook.stages import panels
from kit.quantities import Q
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_says_mass_clamps_clock_and_movement(build: Build) -> None:
    """As the sheet of the demo has them: 8.6 kg, centre at 315 mm, 5 of 6 clamps, 250 s of 8 min."""
    said = panels.sentence(build)

    for words in ("8.6 kg", "315 mm", "5 of your 6 clamps", "4:10, within the open time of 8:00", "19.9 %", "wider"):
        assert words in said


def test_a_short_open_time_is_said_to_be_too_late(build: Build) -> None:
    """Three minutes are less than 4:10."""
    build.enter("panels.glue_up.open_time", "3 min")

    assert "4:10, too late for the open time of 3:00" in panels.sentence(build)


def test_wood_that_dries_is_said_to_be_narrower(build: Build) -> None:
    """From 12 to 8 % it shrinks."""
    build.enter("panels.swelling.end", "8 %")

    assert "narrower than when it was fitted" in panels.sentence(build)


def test_the_plan_has_running_dimensions_from_the_hinge_edge(build: Build) -> None:
    """Board edges, battens, centre and clamps, every one from the same corner."""
    texts = texts_of(panels.plan(build))

    assert [t for t in texts if t in ("110 mm", "220 mm", "330 mm", "440 mm", "550 mm")] == [
        "110 mm", "220 mm", "330 mm", "440 mm", "550 mm"]
    for words in ("batten 120 mm", "batten 500 mm", "centre 315 mm", "64 mm clamp 1, above", "192 mm clamp 2, below",
                  "640 mm front edge", "x", "y", "100 mm"):
        assert words in texts


def test_the_plan_draws_as_many_clamps_as_are_needed(build: Build) -> None:
    """Clamps of 2 kN are twice as many; the last stands half a space before the front edge."""
    build.enter("panels.glue_up.clamp_force", "2 kN")
    rows = panels.clamp_rows(build)

    assert len(rows) == 10
    assert rows[-1] == ("10", "608 mm", "below")
    assert sum("clamp " in text for text in texts_of(panels.plan(build))) == 10


@pytest.mark.parametrize(("cut", "advice"), [
    ("flat-sawn", "turn every second board over"), ("quarter-sawn", "rings stand upright"),
    ("in between", "Turn every second board over")])
def test_the_section_says_what_the_rings_ask_for(build: Build, cut: str, advice: str) -> None:
    """Each cut has its own note, and the movement stands above it."""
    build.enter("panels.swelling.cut", cut)
    texts = texts_of(panels.section(build))

    assert any(advice in text for text in texts)
    assert any("each edge, from the middle screw" in text and "outwards" in text for text in texts)


def test_an_edge_travels_half_the_movement_rounded_up(build: Build) -> None:
    """A slot a little long does no harm; one too short splits the panel."""
    change = build.value("panels.swelling.change")
    said = next(text for text in texts_of(panels.section(build)) if "each edge" in text)
    travel = float(said.split(": ")[1].split(" mm")[0])

    assert 0 <= travel - change.m_as("mm") / 2 < 0.1


def test_the_corner_is_drawn_with_every_finger_from_one_edge(build: Build) -> None:
    """Nineteen ends from the datum, the last at 420 mm; widths to cut and the glue at a face in words."""
    texts = texts_of(panels.fingers(build))

    assert "19 fingers and slots, each 22.11 mm by even division" in texts
    assert [t for t in texts if t in ("22.1", "221.1", "420.0")] == ["22.1", "221.1", "420.0"]
    assert "Cut fingers 22.05 mm and slots 22.16 mm wide" in " ".join(texts)


def test_the_gap_through_the_year_has_both_limits(build: Build) -> None:
    """As fitted and what must stay, over twelve months."""
    texts = texts_of(panels.DRAWINGS["gap"](build))

    assert "month of the year" in texts
    assert "as fitted 6.0 mm" in texts
    assert "must stay 2.0 mm" in texts


def test_sticks_show_every_piece_by_number_and_every_cut_from_one_end(build: Build) -> None:
    """Oak and cedar, the proof, and the running dimensions of a board of four."""
    texts = texts_of(panels.DRAWINGS["sticks"](build))

    assert "carcass timber: proven: no plan takes fewer sticks" in texts
    legend = "1 lid boards 690 mm; 2 top boards 690 mm; 3 batten at the hinge 550 mm"
    assert any(text.startswith(legend) for text in texts)
    for words in ("690", "1383", "2076", "2769", "keep", "waste", "500 mm"):
        assert words in texts


def test_the_sentence_says_gap_and_corners(build: Build) -> None:
    """What to leave at an edge, and whether the corners will go."""
    said = panels.sentence(build)

    assert "at each moving edge" in said
    assert "4 corners of 19 fingers go together in 99.9 % of all tries" in said


def test_the_clock_has_a_bar_a_glue_line_and_the_open_time(build: Build) -> None:
    """Four lines, the last clamp at 4:10, planned until 6:24 of 8:00."""
    texts = texts_of(panels.glue_clock(build))

    for words in ("1", "4", "4:10", "open time 8:00", "planned for 80 % of it: 6:24", "since the first glue (min)"):
        assert words in texts


def test_a_watch_shows_minutes_and_seconds_rounded_up() -> None:
    """59.2 s is a whole minute, and an exact one stays."""
    from kit.notebook.clock import minutes

    assert [minutes(Q(s, "s")) for s in (0, 59.2, 60, 250, 3600)] == ["0:00", "1:00", "1:00", "4:10", "60:00"]


def test_the_card_has_sizes_places_and_blanks(build: Build) -> None:
    """Rough boards, every clamp on the drawing, and something to measure beside every plan."""
    card = panels.card(build)
    ((_, head, boards),) = card.tables

    assert {len(row) for row in boards} == {len(head)}
    boards = [tuple(cell.replace("\N{NO-BREAK SPACE}", " ") for cell in row) for row in boards]
    assert boards[0] == ("each lid", "5", "690 mm", "118 mm x 32 mm", "26.0 mm", "2", "4:10", "5", "128 mm")
    assert boards[2] == ("long sides", "4", "1510 mm", "240 mm x 27 mm", "22.0 mm", "2", "3:04", "5", "300 mm")
    assert boards[5][5:] == ("", "", "", "")
    assert "slots of 10.5 mm, the screw 7.0 mm from their outer end" in " ".join(card.steps)
    assert "320 mm clamp 3, above" in texts_of(card.drawing)
    assert len(card.blanks) >= 4
    assert "never after 8:00" in " ".join(card.steps)
    assert "<svg" in card_body(card)


def test_an_inch_reader_sees_inches_and_a_true_scale_bar(build: Build) -> None:
    """Four inches are drawn as four inches."""
    build.enter("brief.units", "inch")
    texts = texts_of(panels.plan(build))

    assert "4 in" in texts
    assert not any(" mm" in text for text in texts)


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; every view of the page still stands."""
    page = open_stage("panels", blank_build(tmp_path))
    look, drawing, card = page.first_look(), page.drawing("section"), page.shop_card()

    assert "still open: the mass of the lid" in panels.sentence(page.build).lower()
    assert "No drawing yet: it waits for" in look.picture.value
    assert "it waits for the size of the lid and its boards" in drawing.out.value
    assert "The card is ready when" in card.out.value
