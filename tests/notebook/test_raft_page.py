"""The page of stage 10: its sentence, plan, section, tables, limits plate and launch-day card."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from kit.build.build import Build
from kit.loading import raft_of, si
from kit.notebook import open_stage, raft_plan, raft_plate, raft_section
from kit.notebook.paper import card_body
from kit.notebook.stages import raft
from kit.quantities import Q
from tests.notebook.pages import blank_build, demo_build, texts_of

OUTER = ("left outer", "right outer")


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def cells_of(table: str) -> list[str]:
    """The cells of a table, in order."""
    return re.findall(r"<td[^>]*>(.*?)</td>", table)


def test_the_sentence_says_draft_people_and_leak(build: Build) -> None:
    """As the sheet of the demo has them: level, deck edge 488 mm, a corner carries four people."""
    said = raft.sentence(build)

    for words in ("170 mm deep", "deck edge 488 mm above water", "level lengthwise",
                  "3 people at the worst place (ladder end, right)", "a corner carries 4 people",
                  "worst compartment flooded"):
        assert words in said
    assert "Fails" not in said and "Still open" not in said


def test_heavier_people_are_said_to_fail(build: Build) -> None:
    """With 100 kg each the corner fails, as the sheet of the demo says, and the sentence names the check."""
    build.enter("brief.person_mass", "100 kg")

    assert "Fails: deck edge, people in a corner" in raft.sentence(build)


def test_many_failures_are_counted_and_not_all_named(build: Build) -> None:
    """Floats of 200 mm sink; the sentence says so once and names three checks."""
    for name in build.rows("raft.afloat.floats"):
        build.enter(f"raft.afloat.floats[{name}].diameter", "200 mm")
    said = raft.sentence(build)

    assert "it sinks" in said
    assert re.search(r"and \d+ more\.", said)
    with pytest.raises(LookupError, match="does not come to rest"):
        raft_section.section(build)


def test_the_plan_has_floats_masses_people_and_centres(build: Build) -> None:
    """Eight boxed numbers, four floats, the heaviest things by name, everything from the middle of the deck."""
    texts = texts_of(raft_plan.plan(build))

    carried = [f"{float(spot.carries.magnitude):.0f}" for spot in build.value("raft.crowd.spots")]
    assert len(carried) == 8
    for words in (*carried, *build.rows("raft.afloat.floats"), "ballast under the deck", "ladder", "G, B", "704 kg",
                  "1500 mm", "850 mm", "ladder end", "left side", "500 mm"):
        assert words in texts


def test_every_mass_stands_in_the_key_once(build: Build) -> None:
    """Places and floats together weigh what the raft weighs."""
    heaps = sum((heap.mass.m_as("kg") for heap in raft_plan.places(build)), 0.0)

    floats = build.value("raft.weight.floats_mass").m_as("kg")
    assert heaps + floats == pytest.approx(build.value("raft.weight.mass").m_as("kg"), abs=1e-6)


def test_the_lift_acts_where_the_displaced_water_has_its_centre(build: Build) -> None:
    """Without ballast the raft leans; the point drawn from trim and list is the centroid of the immersed volume."""
    build.remove_row("raft.weight.ballast", "ballast under the deck")
    deck = [build.value(f"frame.deck.{name}") for name in ("length", "width", "top")]
    mass, *place = (build.value(f"raft.weight.{name}") for name in ("mass", "x", "y", "z"))
    water = raft_of(build.value("raft.afloat.floats"), build.value("brief.water.density"), mass, *place, *deck)
    lies = water.rest([si(mass, "kg"), *(si(q, "m") for q in place)]).reshaped((1,))

    drawn = raft_plan.centre_of_buoyancy(build)
    assert drawn == pytest.approx([lies.buoyancy_x[0], lies.buoyancy_y[0], lies.buoyancy_z[0]], abs=1e-6)
    assert abs(drawn[0] - place[0].m_as("m")) > 0.001


def test_a_place_is_told_in_words(build: Build) -> None:
    """Two lengths from the middle and their ways; no sign."""
    said = raft_plan.worded(build, Q(-1.4, "m"), Q(-0.28, "m"))

    assert said == "1400 mm away from the ladder end, 280 mm to the left"
    assert raft_plan.worded(build, Q(0, "m"), Q(0, "m")) == "in the middle"


def test_the_section_measures_draft_and_freeboards(build: Build) -> None:
    """Three numbered waterlines, the draft, and the deck edge unloaded, with all aboard and with people at a side."""
    texts = texts_of(raft_section.section(build))

    for words in ("1", "2", "3", "488 mm", "309 mm", "draft 170 mm", "3 people, 240 kg, at the right side",
                  "tilt 6.7°"):
        assert words in texts
    aboard = next(text for text in texts if text.startswith("all aboard"))
    # Four people of 80 kg and 57 kg of water and weed sink it by their mass over the waterplane: about 66 mm.
    assert 488 - 80 < int(re.findall(r"(\d+) mm", aboard)[0]) < 488 - 50


def test_the_section_is_to_scale(build: Build) -> None:
    """A float of 500 mm is as wide as the bar of 500 mm."""
    drawing = raft_section.section(build)
    radius = float(re.findall(r'<circle [^>]*r="([\d.]+)"', drawing)[0])
    bar = float(re.findall(r"v8 m0 -4 h([\d.]+) m0", drawing)[0])

    assert 2 * radius == pytest.approx(bar, abs=0.2)


def test_tables_have_a_row_for_each_spot_cell_and_pair(build: Build) -> None:
    """Eight spots; eight compartments and the pair that is named."""
    assert raft.spots(build).count("<tr") == 1 + 8
    assert raft.cells(build).count("<tr") == 1 + 8 + 1
    assert "both outer, ladder end" in raft.cells(build)


def test_the_rule_of_design_is_told_only_when_a_lost_compartment_is_too_much(build: Build) -> None:
    """With the foam left out it fails, and the table says what helps."""
    assert "Three or more compartments a side" not in raft.cells(build)
    for side in ("left", "right"):
        for row in ("outer", "inner"):
            build.enter(f"raft.afloat.floats[{side} {row}].foam", "0 %")
    assert "Three or more compartments a side" in raft.cells(build)


def test_charts_wait_until_their_closer_look_was_asked_for(build: Build) -> None:
    """Then they are drawn, and a change asks again."""
    for look, charts in {"lever": ("lever",), "sweeps": ("stiffness", "tilt", "thickness"), "cases": ("map",)}.items():
        for name in charts:
            with pytest.raises(LookupError, match="work out"):
                raft.DRAWINGS[name](build)
        build.ask(f"raft.{look}")
        for name in charts:
            ElementTree.fromstring(raft.DRAWINGS[name](build))
    build.enter("brief.person_mass", "90 kg")
    with pytest.raises(LookupError, match="work out"):
        raft.DRAWINGS["map"](build)


def test_the_map_has_every_case_and_the_lowest_corner_in_bold(build: Build) -> None:
    """The numbers of the load cases, each at its corner."""
    build.ask("raft.cases")
    drawing = raft.DRAWINGS["map"](build)
    said = texts_of(drawing)

    assert sum(text.endswith(" mm") for text in said) == 4 * len(build.closer("raft.cases").cases)
    assert "224 mm" in re.findall(r'font-weight="700"[^>]*>([^<]*)<', drawing)


def test_the_lever_marks_what_happens_on_the_way(build: Build) -> None:
    """Deck edge, tubes that come out, and the formula that flatters."""
    build.ask("raft.lever")
    said = " ".join(texts_of(raft.DRAWINGS["lever"](build)))

    for words in ("left outer out", "deck edge under", "wall-sided formula", "righting lever (GZ)"):
        assert words in said


def test_a_plate_by_another_rule_says_that_it_certifies_nothing(build: Build) -> None:
    """A private raft is certified by none."""
    build.enter("raft.crowd.criterion", "small workboat rule")
    build.enter("brief.people", "3")
    build.enter("brief.sharing", "2")

    held = dict(raft_plate.plate_rows(build))["held against"]
    assert "certifies no private raft" in held


def test_the_biggest_lever_comes_first(build: Build) -> None:
    """The ballast is heavy and far out; the ladder is next, and it pulls its own end down."""
    cells = cells_of(raft.levers(build))

    assert cells[:3] == ["ballast under the deck", "28.0 kg", "other end down, 39.2 kg·m"]
    assert cells[4:8] == ["frame: ladder", "16.0 kg", "ladder end down, 25.6 kg·m", "right down, 9.6 kg·m"]


def test_a_flooded_float_without_foam_does_not_come_to_rest(build: Build) -> None:
    """The named alternative of the demo: no foam, one compartment flooded, people at that edge."""
    for name in OUTER:
        build.enter(f"raft.afloat.floats[{name}].foam", "0 %")

    assert "does not come to rest" in raft.cells(build)
    assert "may turn over or sink" in raft.sentence(build)


def test_the_plate_names_people_mass_worst_place_wind_and_water(build: Build) -> None:
    """With its wording, and the standard as a borrowed yardstick."""
    plate = raft_plate.plate(build)

    for words in ("at most 4, of 80 kg each", "at most 3 of them", "ladder end, right: lowest deck edge 224 mm",
                  "borrowed yardstick, outside its scope", "close the lids above 8.0 m/s", "Nobody swims under it",
                  "Worked out, not certified. Test it in shallow water with sandbags before anybody stands on it.",
                  "valid for revision"):
        assert words in plate


@pytest.mark.parametrize(("path", "text", "words"), [
    ("brief.person_mass", "100 kg", "✗ fails"),
    ("raft.flooded.leak_tested", "no", "○ open"),
    ("brief.lid_wind", "", "the wind above which the lids are shut is not entered"),
])
def test_one_check_in_the_way_takes_the_plate_away(build: Build, path: str, text: str, words: str) -> None:
    """A check that fails or is open, or a wind nobody has answered: no plate, and the reason in its place."""
    if text:
        build.enter(path, text)
    else:
        build.leave_out(path)
    plate = raft_plate.plate(build)

    assert "No limits plate is printed" in plate
    assert words in plate
    assert "at most 4" not in plate
    assert raft_plate.plate(demo_build()) in card_body(raft.card(demo_build()))


def test_shallow_water_forbids_head_first_entry_on_the_plate(build: Build) -> None:
    """2.4 m at low water are less than the 2.7 m of the rule."""
    build.enter("brief.depth.shallowest", "2.7 m")

    assert "No head-first entry." in raft_plate.plate(build)


def test_the_card_expects_four_freeboards_within_their_range(build: Build) -> None:
    """Each corner lies between the ends of its range, and there is a blank to write in."""
    rows = next(rows for title, _, rows in raft.card(build).tables if title.startswith("Freeboard"))

    assert len(rows) == 4
    for _, expect, between, read in rows:
        low, high = map(int, re.findall(r"(\d+) mm", between))
        assert low < int(expect.removesuffix(" mm")) < high
        assert read.startswith("_")


def test_no_range_is_shown_for_what_is_only_tried(build: Build) -> None:
    """The range belongs to the record; while something is tried the card says so."""
    build.enter("brief.person_mass", "81 kg")

    assert raft.expected(build) == {}
    assert "record it first" in card_body(raft.card(build))


def test_the_card_has_a_leak_log_and_a_weigh_list(build: Build) -> None:
    """A line for each of eight compartments; every part that a scale can feel."""
    sheets = dict(raft.card(build).sheets)

    assert sheets["Leak test"].count("dry / bubbles") == 8
    assert "Never above 0.1 bar" in sheets["Leak test"]
    assert "1600\N{NO-BREAK SPACE}mm\N{NO-BREAK SPACE}ladder\N{NO-BREAK SPACE}end" in sheets["Weigh list"]
    assert "resin inlay" not in sheets["Weigh list"]


def test_an_inch_reader_sees_inches(build: Build) -> None:
    """Dimensions, freeboards and places follow the brief."""
    build.enter("brief.units", "inch")

    for drawing in (raft_plan.plan(build), raft_section.section(build), raft_plan.launch(build)):
        assert not any(re.search(r"\d mm", text) for text in texts_of(drawing))
    assert " mm" not in raft.spots(build)


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named, no plate is printed, and every view of the page still stands."""
    page = open_stage("raft", blank_build(tmp_path))
    look, card = page.first_look(), page.shop_card()

    assert raft.sentence(page.build).startswith("Still open: how deep and how level it lies")
    assert "No drawing yet: it waits for the size of the deck" in look.picture.value
    for name in ("section", "spots", "cells", "levers", "launch"):
        assert "No drawing yet: it waits for" in page.drawing(name).out.value
    assert "No limits plate is printed" in page.drawing("plate").out.value
    assert "The card is ready when" in card.out.value
