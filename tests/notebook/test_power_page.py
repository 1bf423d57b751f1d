"""The page of stage 07: its sentence, its charts and its card, for the demo and for a build with nothing in it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import power_charts
from kit.notebook.paper import card_body
from kit.notebook.stages import power
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_names_the_month_to_fear_the_reserve_the_years_and_the_lamps(build: Build) -> None:
    """As the sheet of the demo has them, with the confidence of the drawn years; nothing failed, nothing open."""
    said = power.sentence(build)

    for words in ("October is the month to fear", "39.1 Wh", "30.9 Wh", "1.27 times", "6.4 d without sun",
                  "days in ten years, give or take", "95 % confidence", "Lamps left on take 3.9 W"):  # fmt: skip
        assert words in said
    assert "Fails" not in said
    assert "Still open" not in said


def test_lamps_until_midnight_are_said_to_fail(build: Build) -> None:
    """Six hours of lamps are too much for October, and the sentence names the check."""
    build.enter("power.loads.own[lamps].season", "6 h")

    assert "Fails: energy in over energy out, worst month of the season" in power.sentence(build)


def test_the_months_are_drawn_with_their_ratio_and_the_worst_is_bold(build: Build) -> None:
    """Twelve months, the season beneath, a key, the unit in brackets; 1.27 stands out over October."""
    drawing = power_charts.by_month(build)
    texts = texts_of(drawing)

    for words in ("Jan", "Oct", "Dec", "season", "1.27", "1.62", "in, from the panels", "out, to the loads",
                  "energy a day (Wh)"):  # fmt: skip
        assert words in texts
    bold = re.findall(r'font-weight="700">([^<]+)<', drawing)
    assert bold[1:] == ["1.27", "Oct"]


def test_the_bars_are_to_scale(build: Build) -> None:
    """In October the bar of what comes in is 1.27 times as high as that of what goes out."""
    bars = re.findall(r'<rect x="[\d.]+" y="[\d.]+" width="[\d.]+" height="([\d.]+)"', power_charts.by_month(build))
    comes, goes = float(bars[18]), float(bars[19])

    # Heights are written to a tenth of a pixel.
    assert comes / goes == pytest.approx(1.2655, abs=0.003)


def test_a_season_over_the_turn_of_the_year_has_two_lines(build: Build) -> None:
    """From November to February, where the year is drawn from January."""
    build.enter("brief.season_begins", "November")
    build.enter("brief.season_ends", "February")

    assert texts_of(power_charts.by_month(build)).count("season") == 2


def test_the_year_names_its_curves_and_the_cut_off(build: Build) -> None:
    """Half of the years, one in twenty, the lowest of all; the cut-off dashed with its charge."""
    texts = texts_of(power_charts.year(build))

    for words in ("half of the years above", "one in twenty below", "lowest of all", "loads are cut off at 50 %",
                  "charge at the end of the day (%)", "month"):  # fmt: skip
        assert words in texts


def test_what_eats_it_is_sorted_and_says_what_draws_day_and_night(build: Build) -> None:
    """Lamps first; logger and regulator marked; what does not run out of the season draws nothing."""
    texts = texts_of(power_charts.eats(build))

    sorted_by_energy = ["lamps", "water: pump", "wiring: logger", "display", "regulator", "water: valve"]
    assert [text for text in texts if text in sorted_by_energy] == sorted_by_energy
    assert texts.count("day and night") == 2
    assert texts.count("nothing") == 2
    assert "10.8 Wh" in texts


def test_the_card_has_loads_volts_blanks_and_what_to_switch_off_first(build: Build) -> None:
    """On it are the totals, the volts to live with, the table of volts at rest and the hungriest loads in order."""
    card = power.card(build)
    body = card_body(card)

    assert "Switch off first when it is low: lamps, water: pump, display, water: valve." in card.steps
    assert "Everything joined to it has to live with 11.5 V to 15.3 V." in card.steps
    assert ("in all", "", "30.9 Wh", "11.3 Wh") in card.tables[0][2]
    assert any("12.06 V" in row and "50 %" in row for row in card.tables[1][2])
    assert ("drawn with everything off, ten minutes", "28 mA") in card.blanks
    assert "<svg" in body


def test_a_lithium_battery_has_no_table_of_volts_at_rest(build: Build) -> None:
    """Its volts say nothing of its charge."""
    build.enter("power.battery.chemistry", "lithium iron phosphate")

    assert [title for title, _, _ in power.card(build).tables] == ["Loads"]


def test_a_blank_build_says_what_is_open(tmp_path: Path) -> None:
    """A sentence, drawings that say what they wait for, a card that says when it is ready."""
    blank = blank_build(tmp_path)

    assert power.sentence(blank) == ("Still open: energy in against out, days without sun, the drawn years, the lamps.")
    for draw in power.DRAWINGS.values():
        with pytest.raises(LookupError, match="it waits for"):
            draw(blank)
    assert power.card(blank).steps == ("The card is ready when loads, panels and battery are entered.",)
