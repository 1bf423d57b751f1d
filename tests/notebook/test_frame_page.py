"""The page of stage 01: its sentence, the deck in plan, the board end, its card."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import board_end, frame_drawings, open_stage
from kit.notebook.paper import card_body
from kit.notebook.stages import frame
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_says_boards_joists_diagonals_foot_and_mass(build: Build) -> None:
    """As the sheet of the demo has them."""
    said = frame.sentence(build)

    for words in ("13 whole boards and 2 ripped to 115.5 mm", "gaps of 6.0 mm (3.6 mm wet, 6.3 mm dry)",
                  "8 joists stand at 411.4 mm centres", "3720.0 mm", "103.5 kg and 73.9 kg at fitting"):
        assert words in said
    assert "Fails" not in said
    assert "Still open" not in said


def test_too_few_joists_are_said_to_fail(build: Build) -> None:
    """Six joists are too far apart for a board of 28 mm."""
    build.enter("frame.joists.joists", "6")

    assert ("Fails: cut lengths are those of the layout, board carries one heavy foot, board does not give too much "
            "under a foot.") in frame.sentence(build)


def test_boards_that_come_out_even_are_not_said_to_be_ripped(build: Build) -> None:
    """Ten boards of 145 mm and nine gaps of 6 mm are 1504 mm."""
    build.enter("frame.deck.width", "1504 mm")

    assert "10 whole boards lie with gaps" in frame.sentence(build)


def test_joists_and_boards_run_from_one_end_and_one_edge(build: Build) -> None:
    """Eight joist middles and fifteen board edges, none from its neighbour."""
    texts = texts_of(frame.plan(build))

    for words in ("60 mm", "471 mm", "883 mm", "1294 mm", "1706 mm", "2117 mm", "2529 mm", "2940 mm", "0.0 mm",
                  "121.5 mm", "2084.5 mm", "left side, 3000 mm", "other end, 2200 mm", "ladder end", "500 mm"):
        assert words in texts
    assert "Both diagonals, corner to corner: 3720.0 mm." in " ".join(texts)


def test_every_screw_has_a_dot(build: Build) -> None:
    """240 screws, in one path."""
    dots = re.search(r'<path d="([^"]+)"[^>]*stroke-linecap="round"', frame.plan(build))
    assert dots is not None

    assert dots[1].count("h0") == build.value("frame.screws.screws").magnitude == 240


def test_boards_across_the_deck_turn_the_plan(build: Build) -> None:
    """Then the joists run along the right-hand side, from the left side of the deck."""
    build.enter("frame.deck.run", "along the width")
    texts = texts_of(frame.plan(build))

    assert "Joist middles from the left side" in " ".join(texts)
    assert "2140 mm" in texts


def test_the_board_end_shows_what_is_needed_and_what_is_given(build: Build) -> None:
    """35 mm needed, 60 mm given, both drills, and the depth in the joist."""
    texts = texts_of(board_end.screws(build))

    for words in ("35.0 mm at least", "60 mm screws", "30 mm from the edge", "115.0 mm", "145.0 mm board", "28.0 mm",
                  "through the board: drill 5.00 mm", "into the joist: drill 3.50 mm", "32 mm in the joist"):
        assert words in texts


def test_rules_without_distances_leave_the_board_end_without_grey(build: Build) -> None:
    """The handbook gives no distances, so no strip is drawn as safe or unsafe."""
    build.enter("brief.rules", "handbook only")
    drawing = board_end.screws(build)

    assert 'fill-opacity="0.16"' not in drawing
    assert not any("at least" in text or "Grey" in text for text in texts_of(drawing))


def test_the_cut_list_has_boards_rips_and_members(build: Build) -> None:
    """Pieces, section, length and timber of the demo."""
    rows = frame.cut_rows(build)

    assert rows[1] == ("2", "edge boards, ripped", "28.0 mm x 115.5 mm", "3000 mm", "western larch")
    assert [row[:2] for row in rows[2:]] == [("8", "joists"), ("2", "rims"), ("7", "noggings")]
    assert rows[2][3] == "2110 mm"


def test_the_card_has_blanks_for_sides_diagonals_and_heights(build: Build) -> None:
    """Everything that squareness asks for can be written down."""
    blanks = dict(frame.card(build).blanks)

    assert blanks["diagonal, other end left to ladder end right"] == "3720.0 mm"
    assert {"left side; right side", "ladder end; other end", "heights at the ladder end: left; right",
            "heights at the other end: left; right"} <= set(blanks)
    assert "Screws at a board end" in card_body(frame.card(build))


def test_the_joist_stands_on_the_floats(build: Build) -> None:
    """Four supports from the left side, moved with the floats of stage 10."""
    before = texts_of(frame_drawings.joist(build))
    build.enter("raft.afloat.floats[left outer].y", "-0.80 m")
    after = texts_of(frame_drawings.joist(build))

    assert {"250 mm", "775 mm", "1425 mm", "1950 mm", "2200 mm", "left side", "right side"} <= set(before)
    assert "300 mm" in after
    assert "250 mm" not in after


def test_the_moments_lie_between_what_the_joist_carries(build: Build) -> None:
    """Both limits stand in the chart; without rules there is none."""
    assert "joist carries 1610 N·m" in texts_of(frame_drawings.moments(build))
    build.enter("brief.rules", "handbook only")

    assert not any("carries" in text for text in texts_of(frame_drawings.moments(build)))


def test_the_year_and_the_gaps_are_drawn(build: Build) -> None:
    """Wettest and driest of the wood, both limits of the gap, and the gap three times to scale."""
    assert {"wettest, 19.9 %", "driest, 14.4 %"} <= set(texts_of(frame_drawings.moisture_year(build)))
    assert {"finger, 8.0 mm", "drains, 3.0 mm"} <= set(texts_of(frame_drawings.gap_year(build)))
    ends = texts_of(frame_drawings.gap_ends(build))
    assert {"6.0 mm", "3.6 mm", "6.3 mm", "laid", "wettest", "driest"} <= set(ends)
    assert "Lay with a gap from 5.4 mm to 7.7 mm" in " ".join(ends)


def test_the_card_has_marks_for_the_first_corner(build: Build) -> None:
    """The 3-4-5 of the deck, the window of gaps, and the joist on a sheet of its own."""
    made = frame.card(build)

    assert any("marks at 2800 mm and 2100 mm from it, 3500 mm apart" in step for step in made.steps)
    assert any("from 5.4 mm to 7.7 mm stays right all year" in step for step in made.steps)
    assert "One joist on its supports" in card_body(made)


def test_an_inch_reader_sees_inches(build: Build) -> None:
    """Every text of every drawing follows the brief."""
    build.enter("brief.units", "inch")

    for drawing in (made(build) for made in frame.DRAWINGS.values()):
        assert not any(re.search(r"\d mm", text) for text in texts_of(drawing))


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; every view of the page still stands."""
    page = open_stage("frame", blank_build(tmp_path))
    look, drawing, card = page.first_look(), page.drawing("screws"), page.shop_card()

    assert frame.sentence(page.build).startswith("Still open: the boards, the joists")
    assert "No drawing yet: it waits for the boards" in look.picture.value
    assert "No drawing yet: it waits for" in drawing.out.value
    assert "The card is ready when" in card.out.value
