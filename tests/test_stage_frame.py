"""Stage 01 of the demo build: what stands in it, and what a change does."""

from __future__ import annotations

import pytest

from kit.build.build import Build
from kit.handed import Hazard, Part, Purchase, Task
from kit.sources import SOURCES


@pytest.fixture
def build(tmp_path, monkeypatch):
    """The demo build, from its record, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return Build.open("tarn_locker")


def handed(build, kind):
    """What the stage hands on, by name."""
    return {row.name: row for _, row in build.handed(kind, "frame")}


@pytest.mark.parametrize(("path", "unit", "printed"), [
    ("frame.deck.full_boards", "1", "13"), ("frame.deck.edge_width", "mm", "115.5"),
    ("frame.deck.exact_gap", "mm", "6.0"), ("frame.deck.gap_wet", "mm", "3.7"), ("frame.deck.gap_dry", "mm", "6.3"),
    ("frame.deck.mass", "kg", "103.5"), ("frame.deck.top", "m", "0.148"), ("frame.joists.spacing", "mm", "411.4"),
    ("frame.joists.joist_length", "mm", "2110"), ("frame.joists.clear", "mm", "366"),
    ("frame.foot.stress", "MPa", "12.2"), ("frame.foot.strength", "MPa", "16.8"),
    ("frame.pilot.thread_drill", "mm", "3.5"), ("frame.screws.screws", "1", "240"), ("frame.screws.boxes", "1", "2"),
])
def test_figures_of_the_demo_come_out(build, path, unit, printed):
    """To half the last digit that the demo's own sheet gives."""
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])

    assert build.value(path).m_as(unit) == pytest.approx(float(printed), abs=half)


def test_the_end_joists_stand_where_the_demo_has_them(build):
    """1440 mm from the middle, both ways."""
    lines = build.value("frame.joists.lines")

    assert [lines[0].from_middle.m_as("mm"), lines[-1].from_middle.m_as("mm")] == pytest.approx([-1440, 1440])


@pytest.mark.parametrize(("name", "mass", "place"), [
    ("deck boards", "103.5", (0, 0, 0.134)), ("joists", "49.0", (0, 0, 0.060)), ("rims", "17.4", (0, 0, 0.060)),
    ("noggings", "7.4", (0, 0, 0.060)), ("saddles and straps", "17", (0, 0, -0.03)),
    ("screws, bolts and brackets", "6", (0, 0, 0.08)), ("cleats", "2.4", (0, 0, 0.168)),
    ("grip, oil and sealant", "4.5", (0, 0, 0.148)), ("ladder", "16", (1.60, 0.60, -0.05)),
    ("hand rails", "6", (1.40, 0.60, 0.578)),
])
def test_parts_lie_where_the_demo_has_them(build, name, mass, place):
    """Mass to half the digit printed, place to a millimetre."""
    part = handed(build, Part)[name]

    assert part.mass.m_as("kg") == pytest.approx(float(mass), abs=0.5 * 10.0 ** -len(mass.partition(".")[2]))
    assert [part.x.m_as("m"), part.y.m_as("m"), part.z.m_as("m")] == pytest.approx(place, abs=0.001)


def test_only_wood_grows_heavier_when_it_is_wet(build):
    """Boards and members by 1.28 / 1.12; steel not at all."""
    wood = {"deck boards", "joists", "rims", "noggings"}
    for name, part in handed(build, Part).items():
        assert (part.soaked / part.mass).m_as("") == pytest.approx(1.28 / 1.12 if name in wood else 1)


@pytest.mark.parametrize(("name", "packs", "cost"), [
    ("deck boards", 16, 214.40), ("frame timber", 6, 159), ("deck screws", 2, 48), ("saddles", 32, 102),
    ("straps", 16, 104), ("bolts and brackets", 1, 85), ("ladder", 1, 210), ("hand rails", 1, 88),
    ("deck grip", 1, 36), ("cleats", 1, 44),
])
def test_purchases_cost_what_the_demo_says(build, name, packs, cost):
    """Whole packs at the demo's prices."""
    bought = handed(build, Purchase)[name]

    assert bought.packs == packs
    assert bought.cost.m == pytest.approx(cost)


def test_hours_are_those_of_the_demo(build):
    """20, 26 and 38."""
    task, = handed(build, Task).values()

    assert [task.quick.m_as("h"), task.likely.m_as("h"), task.slow.m_as("h")] == [20, 26, 38]


def test_hazards_are_few_and_cite_a_source_at_a_step(build):
    """Four at most, each at a step that somebody takes."""
    hazards = [row for _, row in build.handed(Hazard, "frame")]

    assert 1 <= len(hazards) <= 4
    assert all(hazard.cites in SOURCES and hazard.at != "-" for hazard in hazards)


def test_no_check_fails_and_only_what_is_to_be_measured_is_open(build):
    """Squareness waits for its diagonals and heights; loads on a screw were not entered."""
    verdicts = {path: check.verdict for path, _, check in build.checks("frame")}

    assert {path for path, verdict in verdicts.items() if verdict == "open"} == {
        "frame.square.diagonals_equal", "frame.square.measured_well", "frame.square.flat"}
    assert set(verdicts.values()) == {"meets", "open", "does not apply"}


def test_diagonals_entered_as_text_close_the_open_checks(build):
    """A frame 6 mm out of its diagonals is told which corner to push; its checks are no longer open."""
    build.enter("frame.square.first_diagonal", "3723.2 mm")
    build.enter("frame.square.second_diagonal", "3717.2 mm")

    assert build.check("frame.square.diagonals_equal").verdict == "fails"
    assert build.value("frame.square.advice") == (
        "Hold the left side and push the right side 3.7 mm away from the ladder end, at the corner ladder end, right.")


def test_screws_near_the_board_end_fail_until_they_are_moved(build):
    """22 mm fails where 35 is needed."""
    build.enter("frame.joists.inset", "22.5 mm")

    assert build.check("frame.spacing.board_end").verdict == "fails"
    screws, joists = build.value("frame.spacing.lines"), build.value("frame.joists.lines")
    assert [one.from_end.m_as("mm") for one in screws] == pytest.approx([one.from_end.m_as("mm") for one in joists])


def test_names_stay_when_sizes_change(build):
    """An article that is renamed at every change could not be marked as bought."""
    before = set(handed(build, Part)) | set(handed(build, Purchase))
    build.enter("frame.deck.thickness", "1 1/8 in")
    build.enter("frame.deck.timber", "white oak")
    build.enter("frame.timbers.pieces[joists].depth", "150 mm")

    assert before <= set(handed(build, Part)) | set(handed(build, Purchase))


def test_turning_the_boards_turns_the_joists_under_them(build):
    """Boards across the deck lie on joists along it."""
    build.enter("frame.deck.run", "along the width")

    assert build.value("frame.joists.joist_length").m_as("mm") == pytest.approx(3000 - 90)
    assert build.value("frame.joists.spacing").m_as("mm") == pytest.approx((2200 - 120) / 7)


def test_other_rules_turn_distances_and_strength(build):
    """One choice in the brief changes the family everywhere; the handbook alone leaves strength uncovered."""
    assert build.value("frame.spacing.needed_end").m_as("mm") == pytest.approx(35)

    build.enter("brief.rules", "North American")
    assert build.value("frame.spacing.needed_end").m_as("mm") == pytest.approx(25)

    build.enter("brief.rules", "handbook only")
    assert build.check("frame.spacing.board_end").verdict == "not covered"
    assert build.check("frame.foot.strong").verdict == "not covered"
