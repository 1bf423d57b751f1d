"""The page of stage 04: its sentence, its drawings and its mix sheet."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.notebook import open_stage
from kit.notebook.stages import resin
from kit.quantities import Q
from kit.recesses import Recess, recesses
from tests.notebook.pages import blank_build, demo_build, texts_of


@pytest.fixture
def build() -> Build:
    """The demo, for a test to change."""
    return demo_build()


def test_the_sentence_says_what_the_scale_reads_and_approves_nothing(build: Build) -> None:
    """132.8 g in two cups, A to 45.8 g and B to 66.4 g on top, as the sheet of the demo has them."""
    said = resin.sentence(build)

    assert said.startswith("132.8 g of resin in 2 cups and 1 layer")
    assert said.index("A to 45.8 g") < said.index("then B to 66.4 g")
    assert "no approval" in said and "cup test" in said and "safe" not in said


def test_a_deep_layer_is_said_to_be_deeper_than_the_bound(build: Build) -> None:
    """Eight millimetres in one layer are beyond it."""
    build.enter("resin.recesses.pockets[disc].depth", "8 mm")

    assert "Deeper than the conservative bound" in resin.sentence(build)


def test_nothing_to_pour_is_said_so(build: Build) -> None:
    """With no volume there is no cup to fill."""
    for pocket in build.rows("resin.recesses.pockets"):
        build.enter(f"resin.recesses.pockets[{pocket}].count", "0")

    assert "There is nothing to pour yet." in resin.sentence(build)
    assert "there is no recess to draw yet" in open_stage("resin", build).first_look().picture.value


def test_the_section_measures_every_depth_from_the_face_of_the_wood(build: Build) -> None:
    """The recess that rules the heat, the deepest V, and the bound, which is named an estimate."""
    texts = texts_of(resin.section(build))

    for words in ("face of the wood", "4.0 mm floor of ring", "4.3 mm floor of letters", "5.1 mm bound, no approval",
                  "ring", "letters", "z", "5 mm"):
        assert words in texts
    assert any("estimate" in text for text in texts)


def test_the_section_shows_every_layer(build: Build) -> None:
    """A disc of 22 mm with layers of 10 mm at most is poured in three."""
    build.enter("resin.recesses.pockets[disc].depth", "22 mm")
    texts = texts_of(resin.section(build))

    assert sum("top of layer" in text for text in texts) == 2
    assert any("3 layers" in text for text in texts)


SHAPES = [
    Recess(name="r", shape="rectangle", width=Q(20, "mm"), length=Q(90, "mm"), depth=Q(4, "mm")),
    Recess(name="g", shape="ring", width=Q(60, "mm"), inner=Q(40, "mm"), depth=Q(4, "mm")),
    Recess(name="s", shape="straight groove", width=Q(6, "mm"), length=Q(1, "m"), depth=Q(3, "mm")),
    Recess(name="v", shape="V-groove", width=Q(5, "mm"), length=Q(1, "m")),
    Recess(name="b", shape="ball groove", width=Q(8, "mm"), length=Q(1, "m"), depth=Q(3, "mm")),
    Recess(name="deep", shape="ball groove", width=Q(8, "mm"), length=Q(1, "m"), depth=Q(6, "mm")),
]
ACROSS = {"r": 20, "g": 10, "s": 6, "v": 5, "b": 2 * math.sqrt(15), "deep": 8}
RUN = {"r": 90, "g": math.pi * 50, "s": 1000, "v": 1000, "b": 1000, "deep": 1000}


@pytest.mark.parametrize("pocket", SHAPES, ids=[p.name for p in SHAPES])
def test_an_outline_encloses_what_the_recess_holds(pocket: Recess) -> None:
    """Its area times the length it runs is the volume worked out, and its mouth is as wide as it should be."""
    found = recesses(pockets=[pocket]).by_recess[0]
    outline = resin.widths(pocket, found.depth)
    ring = [*outline, outline[0]]
    area = abs(sum(xa * yb - xb * ya for (xa, ya), (xb, yb) in pairwise(ring))) / 2

    assert 1000 * (outline[-1][0] - outline[0][0]) == pytest.approx(ACROSS[pocket.name])
    # A bowl is drawn with twenty chords, which lose less than a hundredth of it.
    assert area * 1e6 * RUN[pocket.name] / 1000 == pytest.approx(found.each.m_as("mL"), rel=0.01)


def test_the_clock_has_a_row_a_cup_and_the_pot_life(build: Build) -> None:
    """Two cups, the pot life of the first, and when the last is poured."""
    texts = texts_of(resin.batch_clock(build))

    for words in ("cup 1", "cup 2", "mix", "pot life of cup 1: 30 min", "last cup poured"):
        assert words in texts


def test_the_mix_sheet_has_a_line_a_cup_with_running_readings(build: Build) -> None:
    """A first, then B on top of it, the scale zeroed once; the cups add up to the whole."""
    rows = resin.mix_rows(build)
    card = resin.card(build)

    assert [row[:4] for row in rows] == [("cup 1", "1", "45.8 g", "66.4 g"), ("cup 2", "1", "45.8 g", "66.4 g")]
    assert sum(float(row[3].split()[0]) for row in rows) == pytest.approx(132.8, abs=0.1)
    assert any("If the cup is warm, stop" in step for step in card.steps)
    assert any("100 of A (resin) to 45 of B (hardener), by mass" in step for step in card.steps)
    assert len(card.tables[1][2]) == 5


def test_an_inch_reader_sees_inches_and_grams(build: Build) -> None:
    """Resin is weighed in grams there too."""
    build.enter("brief.units", "inch")
    texts = texts_of(resin.section(build))

    assert "1/4 in" in texts and not any(" mm" in text for text in texts)
    assert "A to 45.8 g" in resin.sentence(build)


def test_a_blank_build_gets_sentences_and_no_faults(tmp_path: Path) -> None:
    """What is missing is named; every view of the page still stands."""
    page = open_stage("resin", blank_build(tmp_path))
    look, drawing, card = page.first_look(), page.drawing("clock"), page.shop_card()

    assert resin.sentence(page.build) == "Still open: the cups, the heat of the layer."
    assert "No drawing yet: it waits for the recesses" in look.picture.value
    assert "it waits for the cups of the pour" in drawing.out.value
    assert "The card is ready when" in card.out.value
