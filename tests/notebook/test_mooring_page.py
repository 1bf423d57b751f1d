"""The page of stage 11: its sentence, drawings, tables and the card for the day of the launch."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import open_stage
from kit.notebook.mooring_plan import leg_side, load_curve, mooring_plan
from kit.notebook.paper import card_body
from kit.notebook.stages import mooring
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_says_load_gear_test_and_lost_leg(build: Build) -> None:
    """With the figures of the demo; nothing fails and nothing is open there."""
    said = mooring.sentence(build)

    for words in (
        "pushes with 1060 N at most, from the right or left side",
        "the new rope needs 7.7 kN of 27.0 kN",
        "pulled to 3.22 kN; the weakest was seen to hold 3.40 kN",
        "the raft goes 5.3 m",
        "by 11.9 kg",
    ):
        assert words in said
    assert "Fails" not in said and "Still open" not in said


def test_a_gale_is_said_to_fail(build: Build) -> None:
    """The sentence names the check."""
    build.enter("brief.gust", "30 m/s")

    assert re.search("Fails: .*anchors, by pull test", mooring.sentence(build))


def test_an_anchor_that_was_not_pulled_is_said(build: Build) -> None:
    """And the load curve has no line for what an anchor is good for."""
    for name in build.rows("mooring.pull_test.anchors"):
        build.leave_out(f"mooring.pull_test.anchors[{name}].proven")

    assert "not all have been pulled yet" in mooring.sentence(build)
    assert "what one anchor is good for" not in texts_of(load_curve(build))


def test_a_blank_build_says_what_is_open(tmp_path: Path) -> None:
    """A sentence, a card that waits, and drawings that name what they wait for."""
    blank = blank_build(tmp_path)

    assert mooring.sentence(blank).startswith("Still open: what wind and waves push with, rope and anchors")
    assert mooring.card(blank).steps[0].startswith("The card is ready when")
    for draw in mooring.DRAWINGS.values():
        with pytest.raises(LookupError, match="it waits for"):
            draw(blank)


def test_the_plan_has_every_leg_with_its_direction_and_place(build: Build) -> None:
    """Bearing, distance and running places from the middle of the deck, the scale bar and the origin."""
    texts = texts_of(mooring_plan(build))

    for words in (
        "ladder end, right",
        "45°, 22.7 m",
        "17.4 m ahead, 17 m right",
        "17.4 m back, 17 m left",
        "ladder end",
        "5 m",
        "x",
        "y",
    ):
        assert words in texts
    assert any("20 m of rope, 3 m of chain" in text for text in texts)


def test_the_plan_follows_the_legs(build: Build) -> None:
    """A leg turned is drawn turned."""
    build.enter("mooring.leg.legs[ladder end, right].bearing", "60 deg")

    assert "60°, 22.7 m" in texts_of(mooring_plan(build))


def test_the_leg_from_the_side_has_levels_and_pull(build: Build) -> None:
    """Heights from the bottom, the distance, and what pulls at which slope."""
    texts = texts_of(leg_side(build))

    for words in (
        "low water 3.2 m",
        "usual level 3.5 m",
        "high water 4.1 m",
        "flood 4.6 m",
        "22.86 m",
        "1.08 kN at 11.6°",
    ):
        assert words in texts


def test_the_load_by_direction_has_its_limit_and_both_curves(build: Build) -> None:
    """Axes with units, the limit dashed."""
    texts = texts_of(load_curve(build))

    for words in ("wind, waves, current", "wind alone", "what one anchor is good for", "load (N)"):
        assert words in texts


def test_lost_legs_and_the_form_are_tables(build: Build) -> None:
    """A line for each leg, a line for each corner with a blank, then with what was read."""
    assert mooring.lost_legs(build).count("5.3 m") == 4
    assert mooring.floated_form(build).count("________") == 4
    build.enter("mooring.floated.named_right", "480 mm")
    form = mooring.floated_form(build)
    assert form.count("________") == 3
    assert "480 mm" in form
    assert "record it first" in form


def test_the_card_has_steps_that_stop_and_places_to_write(build: Build) -> None:
    """Eight steps, the legs, the gear, two blanks, three more sheets; nothing is promised for a lift in water."""
    card = mooring.card(build)
    body = card_body(card)

    assert len(card.steps) == 8
    assert sum("Stop" in step or "stop" in step for step in card.steps) >= 5
    assert "8 people, no number is given" in card.steps[5]
    assert [title for title, _, _ in card.tables] == ["Legs", "From the cleat down, each leg"]
    assert [title for title, _ in card.sheets] == ["The mooring from above", "One leg, from the side", "As floated"]
    assert re.search(r"468 mm and 50[89] mm", body)
    assert "________" in body


def test_the_page_opens_with_its_tables(build: Build) -> None:
    """Views of the stage say what the notebook shows."""
    page = open_stage("mooring", build)

    assert "between the inner floats" in str(page.table("openings.judged"))
    assert "no number" in str(page.table("lifting.judged", "name", "share"))


@pytest.mark.parametrize(("off", "drawing"), [("raft", "floated"), ("raft", "drawing"), ("frame", "drawing")])
def test_a_stage_that_is_switched_off_is_waited_for_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, off: str, drawing: str
) -> None:
    """A build without floats or frame has no plan of the mooring, and the page says what it waits for."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    build = demo_build()
    build.keep_stages([key for key in build.graph.stages if key != off])

    with pytest.raises(LookupError, match=r"^it waits for "):
        mooring.DRAWINGS[drawing](build)
    assert build.value(f"{off}.anything.at_all") is None


def test_the_card_does_not_print_an_anchor_that_was_not_chosen(build: Build) -> None:
    """The kind left out is said in words."""
    build.leave_out("mooring.pull_test.kind")

    rows = {row[0]: row[1] for row in mooring.card(build).tables[1][2]}
    assert rows["anchor"] == "kind not chosen yet"
