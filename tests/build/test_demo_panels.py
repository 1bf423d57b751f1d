"""Stage 02 and the cut plan in the demo build: figures of its sheet, what flows on, and changes that travel."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build import Build
from kit.handed import Piece, Purchase, Surface


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Build:
    """Tarn Locker, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return Build.open("tarn_locker")


def amount(build: Build, path: str, unit: str) -> float:
    """A result as a number."""
    found = build.value(path)
    assert found is not None, path
    return float(found.m_as(unit))


@pytest.mark.parametrize(("path", "unit", "printed"), [
    ("panels.fingers.finger", "mm", "22.1"), ("panels.fingers.clearance", "mm", "0.10"),
    ("panels.carcass_boards.area", "m^2", "3.0"), ("panels.carcass.mass", "kg", "23.7"),
    ("panels.coverage.joint_area", "m^2", "0.41"), ("panels.year.most", "percent", "19.9"),
    ("panels.year.least", "percent", "16.3"),
])
def test_figures_of_the_sheet_come_out(demo: Build, path: str, unit: str, printed: str) -> None:
    """To half the last digit printed."""
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])

    assert amount(demo, path, unit) == pytest.approx(float(printed), abs=half)


def test_glue_is_a_hundred_and_ninety_grams(demo: Build) -> None:
    """Printed to ten grams."""
    assert amount(demo, "panels.coverage.mass", "g") == pytest.approx(190, abs=5)


def test_surfaces_of_lids_top_and_carcass_are_eight_square_metres(demo: Build) -> None:
    """The sheet has 8.0 m2 to coat; glued and hidden faces are left out."""
    coated = sum((one.area - one.bare).m_as("m^2") for _, one in demo.handed(Surface, "panels"))

    assert coated == pytest.approx(8.0, rel=0.03)


def test_timber_costs_what_the_sheet_pays_and_covers_the_cut_plan(demo: Build) -> None:
    """Cedar 213 and oak 170; the plan takes every board that is bought, and no plan takes fewer."""
    costs = {one.name: one.cost.magnitude for _, one in demo.handed(Purchase, "panels")}
    stocks = {one.name: one for one in demo.value("sheet.cuts.by_stock")}

    assert costs == pytest.approx({"carcass timber": 213, "lid and top timber": 170, "glue": 14})
    assert demo.check("sheet.cuts.covered").verdict == "meets"
    for name, boards in (("carcass timber", 6), ("lid and top timber", 5)):
        assert (stocks[name].needed.magnitude, stocks[name].bought.magnitude) == (boards, boards)
        assert stocks[name].proof == "proven: no plan takes fewer sticks"


def test_every_piece_that_the_stages_hand_on_is_cut_once(demo: Build) -> None:
    """Counted piece by piece."""
    wanted = sum(one.count for _, one in demo.handed(Piece) if one.width is None)
    cut = sum(stick.times.magnitude * len(stick.cuts) for stick in demo.value("sheet.cuts.sticks"))

    assert cut == wanted


def test_split_ends_are_seen_in_the_plan(demo: Build) -> None:
    """3 m less 60 mm at each end hold no two bottom boards, nor one and a long side: seven boards, not six."""
    demo.enter("sheet.cuts.end_cut", "60 mm")

    assert demo.check("sheet.cuts.covered").verdict == "fails"
    assert "carcass timber" in demo.check("sheet.cuts.covered").reason


def test_a_deeper_lid_takes_longer_boards_and_more_of_them(demo: Build) -> None:
    """From 640 to 700 mm: the boards, the buy list and the plan follow."""
    before = amount(demo, "panels.lid.board_length", "m")
    demo.enter("panels.lid.depth", "700 mm")

    assert amount(demo, "panels.lid.board_length", "m") - before == pytest.approx(5 * 0.06)
    (oak,) = [one for _, one in demo.handed(Purchase, "panels") if one.name == "lid and top timber"]
    assert oak.packs == 6


def test_a_drier_timber_or_another_cut_moves_gap_and_slots(demo: Build) -> None:
    """Flat-sawn oak moves twice as far as quarter-sawn."""
    quarter = amount(demo, "panels.gap_and_slots.travel_out", "mm")
    demo.enter("panels.swelling.cut", "flat-sawn")

    assert amount(demo, "panels.gap_and_slots.travel_out", "mm") / quarter == pytest.approx(0.00365 / 0.00180)


def test_a_wetter_january_makes_the_lid_wider(demo: Build) -> None:
    """The air of the brief reaches the gap around a lid."""
    before = amount(demo, "panels.gap_and_slots.gap", "mm")
    demo.enter("brief.year.months[January].humidity", "93 %")

    assert amount(demo, "panels.gap_and_slots.gap", "mm") > before


def test_trials_are_a_closer_look_and_agree_with_the_closed_form(demo: Build) -> None:
    """Nothing is drawn until somebody asks."""
    assert demo.closer("panels.trials") is None
    demo.ask("panels.trials")
    found = demo.closer("panels.trials")

    assert found is not None
    assert found.agrees.passes
    assert found.closed_form.m_as("percent") == pytest.approx(amount(demo, "panels.finger_fit.chance_set", "percent"))


def test_one_dry_run_sets_the_clock_of_the_lid_and_of_every_panel(demo: Build) -> None:
    """A lid takes as long in the table of all glue-ups as in its own: 4:10, and longer panels by their length."""
    rows = {row.name: row.time.m_as("s") for row in demo.value("panels.all_glue_ups.by_panel")}

    assert rows["lids"] == pytest.approx(amount(demo, "panels.glue_up.time", "s")) == pytest.approx(250)
    assert rows["long sides"] == pytest.approx(90 + 40 * 1500 / 640)
    demo.enter("panels.glue_up.joint_time", "80 s")
    assert {r.name: r.time.m_as("s") for r in demo.value("panels.all_glue_ups.by_panel")}["lids"] > rows["lids"]


def test_another_cutter_is_seen_at_the_fingers(demo: Build) -> None:
    """The cutter of the inside corners is the one that must fit a slot of 22.2 mm."""
    demo.enter("machining.inside_corner.diameter", "25 mm")

    assert amount(demo, "panels.fingers.cutter", "mm") == 25
    assert demo.check("panels.fingers.takes_cutter").verdict == "fails"
