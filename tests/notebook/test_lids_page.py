"""The page of stage 05: its sentence, its drawings, its template at true size and its card."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import lid_curves, lid_places, lid_template, open_stage
from kit.notebook.paper import card_body
from kit.notebook.stages import lids
from kit.quantities import Q
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_says_what_lid_hand_strut_and_hinges_do(build: Build) -> None:
    """As the sheet of the demo has them: 31 N to open, shut until about 52 degrees, nothing failed, nothing open."""
    said = lids.sentence(build)

    for words in ("stays shut", "52 degrees", "31.2 N", "17.0 N", "11.7 mm", "8.2 mm", "pulls the hinges up"):
        assert words in said
    assert "Fails" not in said
    assert "Still open" not in said


def test_a_weak_strut_is_said_to_fail(build: Build) -> None:
    """With 120 N the lid does not stay open, and the sentence names the check."""
    build.enter("lids.balance.force", "120 N")

    assert "Fails: stays open, cold and worn or hot and new" in lids.sentence(build)


def test_the_section_measures_both_mounts_from_edges(build: Build) -> None:
    """From the front edge and from the rim, beside the three positions, the balance and the handle's path."""
    texts = texts_of(lids.section(build))

    for words in ("390 mm", "540 mm", "640 mm", "from the front edge", "190 mm below the rim", "20 mm below the lid",
                  "shut", "half open 40.0°", "open 80.0°", "balances at 51.7°, 20 °C", "620 mm from the pin", "100 mm"):
        assert words in texts


def test_the_section_is_to_scale(build: Build) -> None:
    """The radius of the handle's path against the scale bar is 6.2."""
    drawing = lids.section(build)
    bar = float(re.findall(r'v8 m0 -4 h([\d.]+) m0', drawing)[0])
    path = next(d for d in re.findall(r'd="(M[^"]+)"[^>]*stroke-dasharray="4 4"', drawing))
    points = [tuple(map(float, pair.split())) for pair in path[1:].split(" L")]
    (a, b), (c, d) = points[0], points[-1]

    # Chord of 80 degrees at 620 mm, in pixels rounded to a tenth.
    chord = ((a - c) ** 2 + (b - d) ** 2) ** 0.5
    assert chord / bar == pytest.approx(2 * 6.2 * 0.642788, abs=0.02)


def test_the_lid_is_as_thick_as_its_panel(build: Build, tmp_path: Path) -> None:
    """26 mm in the demo; a thin board of 20 mm where a build has no stage of panels."""
    assert lids._thickness(build) == pytest.approx(0.026)

    file = tmp_path / "boxed.toml"
    file.write_text('schema = 1\n\n[build]\nname = "Boxed"\nrevision = 1\nstages_off = ["panels"]\n', encoding="utf-8")
    assert lids._thickness(Build.open(file)) == 0.02


def test_the_curves_name_their_states_limit_and_units(build: Build) -> None:
    """Opening and closing have the same limit; axes carry their unit in brackets."""
    for draw in (lid_curves.opening, lid_curves.closing):
        texts = texts_of(draw(build))
        for words in ("cold and worn", "20 °C and new", "hot and new", "limit 50.0 N", "opening angle (°)",
                      "hand, square to the lid (N)"):
            assert words in texts


def test_weight_and_struts_cross_where_the_lid_balances(build: Build) -> None:
    """Three marks, at the three angles of the results."""
    texts = texts_of(lid_curves.moments(build))

    for state in lid_curves.STATES:
        assert build.shown(f"lids.balance.balance_{state}") in texts


def test_a_lid_that_never_balances_has_no_mark(build: Build) -> None:
    """A strut of 20 N lifts nothing."""
    build.enter("lids.balance.force", "20 N")

    assert not any(re.fullmatch(r"[\d.]+°", text) for text in texts_of(lid_curves.moments(build)))
    assert not any("balances at" in text for text in texts_of(lids.section(build)))


def test_the_template_prints_at_true_size(build: Build) -> None:
    """Browsers print 96 pixels to the inch: the check bar is 100 mm, and the hole 190 mm below the edge."""
    drawing = lid_template.template(build)
    circle = re.search(r'<circle cx="([\d.]+)" cy="([\d.]+)"', drawing)
    edge = re.search(r'd="M[\d.]+ ([\d.]+) L[\d.]+ \1" [^>]*stroke-width="2.6"', drawing)
    bar = re.search(r'd="M([\d.]+) ([\d.]+) L([\d.]+) \2" [^>]*stroke-width="1.6"', drawing)
    assert circle is not None and edge is not None and bar is not None
    millimetre = 96 / 25.4

    # Each end is rounded to a tenth of a pixel, 0.03 mm.
    assert (float(bar[3]) - float(bar[1])) / millimetre == pytest.approx(100, abs=0.06)
    assert (float(circle[2]) - float(edge[1])) / millimetre == pytest.approx(190, abs=0.06)
    assert float(re.search(r'width="(\d+)"', drawing)[1]) / millimetre < 182  # type: ignore[index]


def test_mounts_too_far_apart_for_a_sheet_are_said_so(build: Build) -> None:
    """A body mount half a metre down does not fit on A4; the card says how to set it out instead."""
    build.enter("lids.balance.body_mount_above", "-500 mm")

    with pytest.raises(LookupError, match="set them out with a rule and a square"):
        lid_template.template(build)
    assert "set them out with a rule and a square" in card_body(lids.card(build))


def test_the_card_has_mounts_positions_and_blanks(build: Build) -> None:
    """Below zero the hand has nothing to do: the card says that the lid rises, not a minus sign."""
    card = lids.card(build)
    (_, _, mounts), (_, _, swing) = card.tables

    assert mounts[0] == ("on the lid", "540 mm", "20 mm below the lid", "100 mm along, -30 mm above")
    assert mounts[1][1:3] == ("390 mm", "190 mm below the rim")
    assert [row[1] for row in swing] == ["227 mm", "286 mm", "357 mm"]
    assert swing[0][2:] == ("31 N", "27 N", "26 N")
    assert all(cell.startswith("springs open, ") for cell in swing[2][2:])
    assert len(card.blanks) >= 5
    assert "<section class='sheet'>" in card_body(card)


def test_a_scale_under_the_strut_shows_its_force_as_mass(build: Build) -> None:
    """150 N and 10 N of friction are 16.3 kg."""
    assert dict(lids.card(build).blanks)["strut pressed on a scale, rod just moving in"] == "16.3 kg"
    assert Q(16.3, "kg").m_as("kg") * 9.80665 == pytest.approx(160, abs=0.5)


def test_an_inch_reader_sees_inches_and_pounds_force(build: Build) -> None:
    """Axes, limits and dimensions follow the brief."""
    build.enter("brief.units", "inch")

    assert "hand, square to the lid (lbf)" in texts_of(lid_curves.opening(build))
    assert "limit 11.2 lbf" in texts_of(lid_curves.opening(build))
    assert not any(" mm below" in text for text in texts_of(lids.section(build)))


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; every view of the page still stands."""
    page = open_stage("lids", blank_build(tmp_path))
    look, card = page.first_look(), page.shop_card()

    assert lids.sentence(page.build).startswith("Still open: what the lid does by itself, the hand")
    assert "No drawing yet: it waits for the mounts and the strut" in look.picture.value
    for name in ("opening", "closing", "moments", "template"):
        assert "No drawing yet: it waits for" in page.drawing(name).out.value
    assert "The card is ready when" in card.out.value


def test_the_map_waits_for_its_search_and_then_shows_places_and_the_best_struts(build: Build) -> None:
    """Before the button it says so; after it each square centimetre is drawn once and three struts are numbered."""
    with pytest.raises(LookupError, match="waits for the search"):
        lid_places.places(build)
    build.ask("lids.mounts")
    drawing = lid_places.places(build)
    found = build.closer("lids.mounts")
    assert drawing.count("<path") > len(found.spots)
    assert {"1", "2", "3", "shut lid, front edge here", "100 mm"} <= set(texts_of(drawing))


def test_the_map_says_when_no_place_is_left(build: Build) -> None:
    """With a hand of 5 N nothing is found, and the drawing points at the search."""
    build.enter("lids.balance.hand_limit", "5 N")
    build.ask("lids.mounts")
    with pytest.raises(LookupError, match="no place keeps every limit"):
        lid_places.places(build)


def test_a_place_kept_clear_is_drawn_by_its_name(build: Build) -> None:
    """A row of what must stay clear is on the map."""
    build.add_row("lids.mounts.clear", "battery", {
        "along_from": "300 mm", "along_to": "600 mm", "above_from": "-400 mm", "above_to": "-300 mm"})
    build.ask("lids.mounts")
    assert "battery" in texts_of(lid_places.places(build))


def test_the_hand_leaning_is_drawn_both_ways_and_wet(build: Build) -> None:
    """Five curves with their names, the limit dashed."""
    texts = texts_of(lid_places.leaning(build))
    for words in ("opening, to the front", "opening, to the back", "opening, wet through", "closing, to the back",
                  "limit 50.0 N"):
        assert words in texts


def test_the_rod_is_drawn_pointing_down(build: Build) -> None:
    """The demo's strut has its rod at the body, and its card says so."""
    assert build.shown("lids.travel.rod_end") == "rod at the body, tube at the lid"
    assert any("rod at the body" in step for step in lids.card(build).steps)
