"""The page of stage 09: its sentence, its drawings, its card and its notice."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import open_stage
from kit.notebook.stages import water
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_says_flows_suction_energy_frost_and_use(build: Build) -> None:
    """As the sheet of the demo has them."""
    said = water.sentence(build)

    assert said.startswith("Deck jet 9.8 L/min, hand shower 8.8 L/min with one valve open")
    for words in ("0.62 m above the water, 1.4 m at most", "8.4 Wh in the season and nothing out of it",
                  "November to March", "a rinse, never a drink"):
        assert words in said


def test_the_sentence_names_what_fails_and_what_is_open(build: Build) -> None:
    """A pump seven metres up; a pump without a curve."""
    build.enter("water.suction.pump_height", "7 m")
    assert "Fails: the pump runs full of water" in water.sentence(build)

    build.leave_out("water.pump.shut_off_head")
    assert "Still open: the outlets" in water.sentence(build)


def test_one_outlet_is_said_with_its_strainer_stopped_up(build: Build) -> None:
    """There are no others to open."""
    build.remove_row("water.outlets.outlets", "deck jet")
    build.remove_row("water.outlets.fittings", "elbow at the jet")

    assert water.sentence(build).startswith("Hand shower 8.8 L/min, and 8.7 L/min with the strainer partly stopped up")


def test_the_scheme_measures_every_height_from_the_water(build: Build) -> None:
    """Strainer, deck, pump and both outlets, and the water itself as the datum."""
    texts = texts_of(water.scheme(build))

    for words in ("0 water, nobody aboard", "300 mm under it: strainer", "490 mm deck", "620 mm pump",
                  "600 mm deck jet", "1650 mm hand shower", "8.8 L/min alone", "pump", "500 mm"):
        assert words in texts
    assert any("not" in text and "across" in text for text in texts)


def test_the_scheme_follows_an_outlet_that_is_raised(build: Build) -> None:
    """A metre more on its post."""
    build.enter("water.outlets.outlets[hand shower].height", "2.16 m")

    assert "2650 mm hand shower" in texts_of(water.scheme(build))


def test_the_scheme_holds_outlets_below_the_water_and_many_of_them(build: Build) -> None:
    """Five outlets, one of them under water."""
    for n, height in enumerate(("-0.8 m", "0.4 m", "0.8 m")):
        build.add_row("water.outlets.outlets", f"more {n}", {
            "height": height, "length": "1 m", "bore": "13 mm", "hole": "6 mm"})

    assert "-310 mm more 0" in texts_of(water.scheme(build))


def test_the_curves_meet_at_the_flows(build: Build) -> None:
    """A line a way, one for the pump, and both flows marked."""
    texts = texts_of(water.curves(build))

    for words in ("pump", "to deck jet", "to hand shower", "9.8 L/min", "8.8 L/min", "flow (L/min)", "head (m)"):
        assert words in texts


def test_an_outlet_out_of_reach_has_no_flow_marked(build: Build) -> None:
    """Its line lies above the pump's: it is left out where the chart ends."""
    build.enter("water.outlets.outlets[hand shower].height", "14 m")
    texts = texts_of(water.curves(build))

    assert "9.8 L/min" in texts and "to hand shower" not in texts
    assert texts_of(water.goes(build)).count("hand shower") == 0


def test_where_the_head_goes_is_a_bar_an_outlet(build: Build) -> None:
    """Each with its whole, and a key for its parts."""
    texts = texts_of(water.goes(build))

    for words in ("deck jet", "hand shower", "4.1 m in all", "5.4 m in all", "lifting", "pipe", "fittings", "hole"):
        assert words in texts


def test_the_card_lists_pipes_flows_and_draining(build: Build) -> None:
    """Pipes in the order of the water; the pump no higher than it primes."""
    card = water.card(build)

    assert [row[0] for row in card.tables[0][2]] == ["shared, strainer to tee", "to deck jet", "to hand shower"]
    assert card.tables[0][2][2][1:4] == ("2400 mm", "13 mm", "2 x elbow")
    assert [row[2] for row in card.tables[1][2]] == ["9.8 L/min", "8.8 L/min"]
    assert any("Pump at most 1.4 m" in step for step in card.steps)
    assert "fuse" in card.tables[2][2][0][1]


def test_a_notice_is_printed_only_while_the_water_is_fit(build: Build) -> None:
    """Warm water takes it away and says why; that there is none yet does not."""
    assert "Not drinking water" in water.notice(build)
    assert "Let it run 30 s" in water.notice(build)

    build.enter("water.shower.notice", "no")
    assert "Not drinking water" in water.notice(build)

    build.enter("water.shower.warmest", "24 degC")
    told = water.notice(build)
    assert "No notice is printed" in told and "too cool for Legionella" in told and "Let it run" not in told


def test_a_pump_without_priming_may_stand_as_high_as_it_draws(build: Build) -> None:
    """Filled by hand: 4.8 m; one that would have to stand under water is said to."""
    build.enter("water.suction.priming", "filled by hand, foot valve")
    assert "4.8 m at most" in water.sentence(build)

    build.enter("water.suction.needs", "14 m")
    assert "would have to stand under it" in water.sentence(build)


def test_a_closer_look_tries_every_hose(build: Build) -> None:
    """Six bores, worked out when asked for."""
    view = open_stage("water", build).closer("hoses")

    assert "10 mm" in view.plain() and "25 mm" in view.plain()


def test_an_inch_reader_sees_feet_and_inches(build: Build) -> None:
    """No millimetre is left on the drawing."""
    build.enter("brief.units", "inch")

    assert not any(" mm" in text for text in texts_of(water.scheme(build)))


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; every view of the page still stands."""
    page = open_stage("water", blank_build(tmp_path))
    look, drawing, card = page.first_look(), page.drawing("curves"), page.shop_card()

    assert water.sentence(page.build).startswith("Still open: the outlets, the suction side")
    assert "No drawing yet: it waits for the pump and the outlets" in look.picture.value
    assert "it waits for the pump and the outlets" in drawing.out.value
    assert "The card is ready when" in card.out.value
    assert "No notice yet" in water.notice(page.build)
