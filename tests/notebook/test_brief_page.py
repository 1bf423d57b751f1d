"""The page of stage 00: its sentence, its plan with people and floats, its card."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import open_stage
from kit.notebook.stages import brief
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_answers_float_carry_and_afford(build: Build) -> None:
    """680 kg of 2349 kg are 29 %, a thousand with people 43 %; 34 people at 20 kg each; cost without pennies."""
    said = brief.sentence(build)

    assert said.startswith("It floats: 29 % of the floats under water empty, 43 % with 4 aboard.")
    assert "34 people on dry, firm ground" in said
    assert "about 5175 GBP" in said


def test_floats_that_are_too_small_are_said_to_be(build: Build) -> None:
    """1200 L carry 1000 kg only up to 83 %, over the limit of 70 %."""
    build.enter("brief.first.float_volume", "1200 L")

    said = brief.sentence(build)
    assert said.startswith("The floats are too small: 57 %")
    assert "Fails: floats with everybody aboard" in said


def test_everybody_stands_on_the_deck(build: Build) -> None:
    """One circle a person, shoulders of half a metre, all inside; rows are even."""
    drawing = brief.plan(build)
    bar = float(re.findall(r"v8 m0 -4 h([\d.]+) m0", drawing)[0])
    circles = re.findall(r'<circle [^>]*r="([\d.]+)" fill="currentColor"', drawing)

    assert len(circles) == 4
    # A radius of 0.25 m is half the bar of 0.5 m; both are rounded to a tenth of a pixel.
    assert [float(r) for r in circles] == pytest.approx([bar / 2] * 4, abs=0.1)
    assert {x for x, _ in brief._spread(4, 3, 2.2)} == {-0.75, 0.75}
    assert all(abs(x) < 1.5 and abs(y) < 1.1 for x, y in brief._spread(11, 3, 2.2))
    assert brief._spread(0, 3, 2.2) == []


def test_the_plan_shows_how_deep_the_floats_go(build: Build) -> None:
    """Empty, with everybody, and the limit, beside the size of the deck."""
    texts = texts_of(brief.plan(build))

    for words in ("empty 29 %", "4 aboard 43 %", "limit 70 %", "3 m", "2.2 m", "ladder end", "500 mm"):
        assert words in texts


def test_the_card_has_blanks_for_the_site_and_for_answers(build: Build) -> None:
    """Who has to say yes, with the answer so far and two dates to fill in."""
    card = brief.card(build)
    (_, head, rows), = card.tables

    assert head[-2:] == ("asked on", "answered on")
    assert ("water keeper", "granted", "________", "________") in rows
    assert len(card.blanks) >= 6


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; the plan says what it waits for; the card can be taken to the water."""
    page = open_stage("brief", blank_build(tmp_path))
    look, card = page.first_look(), page.shop_card()

    assert brief.sentence(page.build) == "Still open: whether it floats, who carries it, what it costs."
    assert "No drawing yet: it waits for the size of the deck, the people aboard" in look.picture.value
    assert "weighted line" in card.out.value
