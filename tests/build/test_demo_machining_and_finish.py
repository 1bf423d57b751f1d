"""Stages 03 and 06 of the demo build: the figures of its sheet, and what a change does elsewhere."""

from __future__ import annotations

import pytest

from kit.build.build import Build
from kit.handed import Hazard, Purchase, Task


@pytest.fixture(scope="module")
def still() -> Build:
    """The demo, for tests that change nothing."""
    return Build.open("tarn_locker")


@pytest.fixture
def build() -> Build:
    """The demo build, from its record."""
    return Build.open("tarn_locker")


def handed(build, kind, stage):
    """What a stage hands on, by name."""
    return {row.name: row for key, row in build.handed(kind) if key == stage}


@pytest.mark.parametrize(("path", "unit", "printed"), [
    ("machining.main_cutter.feed", "mm/min", "1800"), ("machining.main_cutter.pass_depth", "mm", "2"),
    ("machining.v_groove.depth", "mm", "4.33"), ("machining.v_groove.volume", "mL", "9.7"),
    ("finish.coats.area", "m^2", "8.0"), ("finish.coats.litres", "L", "2.2"), ("finish.coats.tins_needed", "", "1"),
    ("finish.drying.days", "d", "5")])
def test_figures_of_the_sheet_come_out(still, path, unit, printed):
    """To half the last digit that the demo's own sheet gives."""
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])

    assert still.value(path).m_as(unit) == pytest.approx(float(printed), abs=half)


def test_recesses_take_two_passes_of_two_millimetres(still):
    """All that the main cutter clears."""
    rows = [row for row in still.value("machining.operations.by_operation") if row.cutter == "main cutter"]

    assert {(row.passes.magnitude, round(row.each.m_as("mm"), 6)) for row in rows} == {(2, 2)}


def test_what_the_rose_loses_is_what_the_resin_fills(still):
    """Ring, kites and disc row by row to a tenth of a millilitre; letters likewise."""
    cut = {row.name: row.removed.m_as("mL") for row in still.value("machining.operations.by_operation")}

    for row in still.value("resin.recesses.by_recess"):
        assert cut[row.name] == pytest.approx(row.volume.m_as("mL"), abs=0.1)


def test_hours_and_costs_are_those_of_the_sheet(still):
    """5, 7, 12 and 9, 12, 18 hours; oil 48, sealant 16, abrasives 18; five days of waiting."""
    (mill,), (coat,) = (handed(still, Task, stage).values() for stage in ("machining", "finish"))

    assert [q.m_as("h") for q in (mill.quick, mill.likely, mill.slow)] == pytest.approx([5, 7, 12], abs=0.005)
    assert [q.m_as("h") for q in (coat.quick, coat.likely, coat.slow)] == pytest.approx([9, 12, 18], abs=0.005)
    assert coat.wait.m_as("d") == 5
    assert {n: p.cost.magnitude for n, p in handed(still, Purchase, "finish").items()} == pytest.approx(
        {"finish": 48, "sealant": 16, "abrasives": 18})
    assert handed(still, Purchase, "machining") == {}


def test_every_check_meets_or_does_not_apply(still):
    """None marginal, none open."""
    verdicts = {c.verdict for path, _, c in still.checks() if path.split(".")[0] in ("machining", "finish")}

    assert verdicts == {"meets", "does not apply"}


def test_rags_come_first_among_the_hazards(still):
    """And no stage has more than four."""
    assert next(iter(still.handed(Hazard, "finish")))[1].text.startswith("Rags wet with drying oil")
    assert all(1 <= len(still.handed(Hazard, stage)) <= 4 for stage in ("machining", "finish"))


def test_another_cutter_is_seen_in_the_build_sheet(build):
    """Finger joints cut with the thin cutter: hours of the machine, and with them those of the build, grow."""
    before = build.value("sheet.all.hours").m_as("h")
    build.enter("machining.operations.work[finger joints].cutter", "main cutter")

    assert build.value("machining.operations.machine_time").m_as("h") > 4
    assert build.value("sheet.all.hours").m_as("h") > before + 2
    assert "machining: machine recesses, letters and joints" in {t.path for t in build.report().tasks}


def test_each_drill_goes_as_deep_as_its_own_hole(build):
    """The thin drill as far into the joist as the screw, below the board; the thick one through the board."""
    thread, through = (build.now.outcomes[f"machining.{name}"].result for name in ("drilling", "through_holes"))

    assert (thread.travel - thread.point).m_as("mm") == pytest.approx(60 - 28)
    assert (through.travel - through.point).m_as("mm") == pytest.approx(28)
    build.enter("machining.drilling.stands_out", "45 mm")
    assert build.check("machining.drilling.reaches").verdict == "fails"


def test_the_slot_to_cut_is_that_of_the_fingers_and_the_face_that_of_the_resin(build):
    """Neither is asked twice: 41 fingers are too narrow for 10 mm, a shallow recess is faced too thin."""
    build.enter("panels.fingers.fingers", "41")
    build.enter("machining.inside_corner.diameter", "10.2 mm")
    for row in ("ring", "long kites", "short kites", "disc"):
        build.enter(f"resin.recesses.pockets[{row}].depth", "2.2 mm")
    build.enter("resin.recesses.pockets[letters].width", "2.4 mm")

    assert build.check("machining.inside_corner.slot").verdict == "fails"
    assert build.check("machining.after_the_pour.resin_deep").verdict == "fails"


def test_a_cold_workshop_is_seen_in_the_waiting(build):
    """Ten degrees colder, twice as long to harden."""
    build.enter("brief.workshop_temperature", "5 degC")

    assert handed(build, Task, "finish")["sand, coat and seal"].wait.m_as("d") == 9


def test_another_species_of_lid_moves_the_sealant(build):
    """A timber that moves more stretches the joint of the fixed top further."""
    before = build.value("finish.sealant.by_joint")[1].moves
    build.enter("panels.swelling.cut", "flat-sawn")

    assert build.value("finish.sealant.by_joint")[1].moves > 1.5 * before
    assert build.check("finish.sealant.stretches").verdict == "fails"


def test_a_thicker_lid_goes_on_to_the_rough_stock_and_the_planer(build):
    """30 mm out of 32 leaves no room to flatten."""
    build.enter("panels.lid.thickness", "30 mm")

    assert build.check("machining.stock_facing.thick").verdict == "fails"
    assert build.value("machining.planer.passes").magnitude == 2
