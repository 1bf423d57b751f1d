"""The page of stage 06: its sentence, its drawings and its card."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import open_stage
from kit.notebook.stages import finish
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture(scope="module")
def still() -> Build:
    """The demo, for tests that change nothing."""
    return demo_build()


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def film(build: Build) -> None:
    """Three coats of a film finish, each dry."""
    build.enter("finish.drying.way", "each coat dry")
    build.enter("finish.drying.earliest", "16 h")
    build.enter("finish.drying.latest", "72 h")
    build.enter("finish.coats.coats", "3")


def test_the_sentence_says_tins_days_hours_and_cartridges(still: Build) -> None:
    """As the sheet of the demo has them; its 2.2 L are 2.24 with a third coat on the end grain, shown rounded up."""
    said = finish.sentence(still)

    assert said.startswith("8.0 m² in 2 coats take 2.3 L: 1 tin of 2.50 L")
    assert "5 d of waiting" in said and "takes 6.0 h and 12 discs" in said and said.endswith("2 cartridges.")


def test_coats_that_dry_are_said_to_wait(build: Build) -> None:
    """The earliest time, stretched for the cold."""
    film(build)

    assert "Coats follow each other after 1358 min at the soonest" in finish.sentence(build)


def test_the_calendar_shows_every_coat_and_the_window(build: Build) -> None:
    """Wet on wet in minutes; each coat dry in hours, over nights, until it may be used."""
    quick = texts_of(finish.calendar(build))
    assert "coat 1, day 1, 09:00" in quick and any("(min)" in text for text in quick)

    film(build)
    slow = texts_of(finish.calendar(build))
    assert sum(text.startswith("coat ") for text in slow) == 3
    assert "hardening" in slow and any(text.startswith("may be used: ") for text in slow)


def test_areas_tell_coated_from_bare(still: Build) -> None:
    """The deck top is left bare."""
    texts = texts_of(finish.areas(still))

    assert "5.80 m², 2 coats" in texts and "left bare" in texts


def test_the_chart_of_dew_names_the_months(still: Build) -> None:
    """And the margin that is wanted."""
    texts = texts_of(finish.dew(still))

    assert "Outdoors: June to August" in texts and "least wanted" in texts
    assert "month of the year" in texts


def test_joints_are_drawn_with_their_sizes(still: Build) -> None:
    """Fillet, slot with its rod, bead."""
    texts = texts_of(finish.joints(still))

    for words in ("legs of 8.0 mm", "15.0 mm wide, 7.5 mm deep", "6.0 mm across", "10 mm"):
        assert words in texts


def test_the_card_begins_and_ends_with_the_rags(still: Build) -> None:
    """Coats by the clock, joints, and what is measured."""
    card = finish.card(still)

    assert card.steps[0].startswith("Rags:") and "Empty the can today" in card.steps[-1]
    assert [row[:2] for row in card.tables[0][2]] == [("coat 1", "day 1, 09:00"), ("coat 2", "day 1, 09:29")]
    assert len(card.tables[1][2]) == 3
    assert any("batch number" in what for what, _ in card.blanks)


def test_an_inch_reader_sees_feet_and_inches(build: Build) -> None:
    """In areas and joints."""
    build.enter("brief.units", "inch")

    assert any("ft²" in text for text in texts_of(finish.areas(build)))
    assert not any(" mm" in text for text in texts_of(finish.joints(build)))


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; every view of the page still stands."""
    page = open_stage("finish", blank_build(tmp_path))

    assert finish.sentence(page.build) == "Still open: the tins, the calendar, the sanding, the sealant."
    assert "it waits for the calendar of the coats" in page.first_look().picture.value
    for name in ("areas", "dew", "joints"):
        assert "it waits for" in page.drawing(name).out.value
    assert "The card is ready when" in page.shop_card().out.value
