"""The page of stage 08: its sentence, its diagrams and its card."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import open_stage
from kit.notebook.panel_drawing import TRUE_SIZE, drill_template, panel_plan
from kit.notebook.pin_diagram import pin_drawing, pin_rows
from kit.notebook.stages import wiring
from kit.notebook.wire_diagram import bare, one_line, run_order
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture(scope="module")
def opened() -> Build:
    """The demo, opened once."""
    return demo_build()


@pytest.fixture
def build(opened: Build) -> Iterator[Build]:
    """The demo, for a test to change; what it tries is put back."""
    yield opened
    opened.put_back()


def test_the_sentence_names_the_worst_run_the_feed_and_the_input(build: Build) -> None:
    """With the numbers of the demo; nothing fails and nothing is open."""
    said = wiring.sentence(build)

    assert said.startswith("Of the runs that matter the worst, pump, loses 1.3 %")
    assert "while the pump starts the controller still gets 11.24 V" in said
    assert "main 10 A, pump 5 A, lamps and valves 2 A, logic 1 A" in said
    assert "of the 3.30 V it bears" in said
    assert "Fails" not in said and "open" not in said


def test_what_fails_stands_at_the_end_of_the_sentence(build: Build) -> None:
    """A divider for the label's voltage: the divider says so, and so does the pin it ends on."""
    build.enter("wiring.divider.lower", "33 kohm")
    fails = wiring.sentence(build).partition("Fails: ")[2]

    assert fails.startswith("input never sees more than it bears")
    assert fails.endswith("no pin sees more volts than it bears.")


def test_the_diagram_has_every_run_with_size_fuse_and_drop(build: Build) -> None:
    """Names, sizes with their lengths, ratings in boxes, drops, and the motor's start."""
    texts = texts_of(one_line(build))

    for run in build.value("wiring.cables.runs"):
        assert run.name in texts
    for words in ("battery", "12 V", "10 A", "5 A", "2 A", "1 A", "4 mm², 0.6 m", "1.5 mm², 1.8 m", "3 A, 9 A at start",
                  "source, 2.4 A"):
        assert words in texts
    assert texts.count("2 A") == 1  # one fuse for four runs is one box


def test_a_longer_chain_of_runs_is_drawn_further_out(build: Build) -> None:
    """A run that hangs on a run that hangs on a run stands in the third column."""
    build.enter("wiring.cables.runs[lamps right].fed_by", "lamps left")
    depths = {one.name: depth for depth, one in run_order(build.value("wiring.cables.runs"))}

    assert depths["battery run"] == 0 and depths["lamps left"] == 1 and depths["lamps right"] == 2
    assert "lamps right" in texts_of(one_line(build))


@pytest.mark.parametrize(("shown", "printed"), [
    ("5.00 A", "5 A"), ("0.0200 A", "0.02 A"), ("12.50 V", "12.5 V"), ("10 A", "10 A"), ("100 A", "100 A")])
def test_rated_values_are_written_as_they_are_printed_on_things(shown: str, printed: str) -> None:
    """Zeros after the point fall away, others stay."""
    assert bare(shown) == printed


def test_the_pin_plan_shows_used_and_free_pins(build: Build) -> None:
    """Every signal, its wire, and the pin left over."""
    texts = texts_of(pin_drawing(build))

    for signal in build.value("wiring.pin_plan.signals"):
        assert signal.name in texts
    assert texts.count("free") == 1
    assert "analog in, wire 11, 2.81 V" in texts
    assert len(pin_rows(build)) == len(build.value("wiring.pin_plan.signals"))


def test_a_signal_without_a_pin_is_named_under_the_plan(build: Build) -> None:
    """A third analogue signal, with pin 12 told that it has no converter."""
    build.enter("wiring.pin_plan.pins[12].analog", "no")
    build.enter("wiring.pin_plan.signals[float switch].need", "analog in")

    assert any("Without a pin:" in text for text in texts_of(pin_drawing(build)))
    assert build.check("wiring.pin_plan.placed").verdict == "fails"


def test_the_panel_is_measured_from_one_corner(build: Build) -> None:
    """Every row and column once, every part named, and a bar of 100 mm."""
    texts = texts_of(panel_plan(build))

    for words in ("display", "charging", "service", "112.5 mm", "68.0 mm", "30.5 mm", "44.0 mm", "46.5 mm", "100 mm"):
        assert words in texts
    assert texts.count("100.0 mm") == 1


def test_the_template_is_at_true_size(build: Build) -> None:
    """96 pixels to the inch: the outline of 150 by 200 mm and the bar of 100 mm."""
    drawn = drill_template(build)
    outline = re.search(r'd="M([\d.]+) ([\d.]+) L([\d.]+) ([\d.]+) L([\d.]+) ([\d.]+)', drawn)
    assert outline is not None
    x0, y0, x1, _, _, y2 = (float(v) for v in outline.groups())
    # A browser's pixel is 0.26 mm; the whole drawing is made to a whole number of them.
    assert (x1 - x0) / TRUE_SIZE * 1000 == pytest.approx(150, abs=0.3)
    assert (y0 - y2) / TRUE_SIZE * 1000 == pytest.approx(200, abs=0.3)
    assert "top of the panel" in texts_of(drawn)
    assert "100 mm: check with a rule" in texts_of(drawn)


def test_a_panel_larger_than_a_sheet_is_drawn_small_with_its_dimensions(build: Build) -> None:
    """The card says why there is no template."""
    build.enter("wiring.drill_plan.width", "400 mm")
    card = wiring.card(build)

    assert "larger than one sheet" in card.sheets[1][1] and "<svg" in card.sheets[1][1]


def test_the_card_holds_cables_pins_and_holes(build: Build) -> None:
    """One row each, the divider's value at rest, and blanks to measure."""
    card = wiring.card(build)
    runs, pins, holes = (rows for _, _, rows in card.tables)

    assert len(runs) == 8 and len(pins) == 11 and len(holes) == 7
    assert ("pump", "battery run", "1.5 mm²", "1.8 m", "pump", "1.3 %", "3.9 %", "____") in runs
    # 12.8 V at rest through 22 of 122 parts.
    assert any("2.31 V" in step for step in card.steps)


def test_charts_are_drawn(build: Build) -> None:
    """The probe's curve and the margin above the dew point, with labelled axes."""
    assert "temperature of the probe (°C)" in texts_of(wiring.probe_curve(build))
    texts = texts_of(wiring.dew_margin(build))
    assert "month" in texts and "degrees above the dew point (°C)" in texts


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; every view of the page still stands."""
    page = open_stage("wiring", blank_build(tmp_path))
    look, card = page.first_look(), page.shop_card()

    assert wiring.sentence(page.build) == (
        "Still open: the runs of wire, the fuses, the divider, the heat of the box.")
    assert "No drawing yet: it waits for the runs of wire" in look.picture.value
    for name, waits in (("pins", "the pins and signals"), ("panel", "the panel"), ("dew", "the air of the box")):
        assert waits in page.drawing(name).out.value
    assert "The card is ready when" in card.out.value
