"""Stage 10 in the demo build: what comes out of it, what follows a change elsewhere, and what does not."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from kit.build.build import Build
from kit.handed import Hazard, Part, Purchase, Task
from kit.sources import SOURCES

DEMO = Path(__file__).resolve().parents[1] / "shared" / "builds" / "tarn_locker.toml"


@pytest.fixture
def build():
    """The demo build as it is recorded; tries are never written."""
    return Build.open(DEMO)


def outcome(build, node):
    """The result of a calculator of this stage."""
    found = build.now.outcomes[f"raft.{node}"]
    assert found.works, (found.fault, found.waits)
    return found.result


def test_every_calculator_of_the_stage_works_in_the_demo(build):
    """Nothing waits and nothing is refused."""
    for node in ("weight", "afloat", "crowd", "flooded", "weather", "ballast", "size"):
        outcome(build, node)


def test_no_check_of_the_stage_fails_or_is_open_in_the_demo(build):
    """What the demo's sheet lists meets; criteria not chosen do not apply."""
    verdicts = {path: check.verdict for path, _, check in build.checks("raft")}

    assert set(verdicts.values()) <= {"meets", "marginal", "does not apply"}, verdicts
    assert verdicts["raft.crowd.corner_freeboard"] == "meets"
    assert verdicts["raft.crowd.landing_load"] == "does not apply"


def test_the_stage_hands_on_its_floats_and_ballast(build):
    """Four floats and the ballast as parts, purchases (no drums, no blocks), one task, hazards with their sources."""
    masses = [row.mass.m_as("kg") for _, row in build.handed(Part, "raft")]

    assert masses == pytest.approx([80.32] * 4 + [28], abs=0.01)
    assert [row.cost.m_as("money") for _, row in build.handed(Purchase, "raft")] == [888, 204, 129, 0, 0, 320, 12]
    (task,) = (row for _, row in build.handed(Task, "raft"))
    assert (task.quick.m_as("h"), task.likely.m_as("h"), task.slow.m_as("h")) == (10, 14, 22)
    hazards = [row for _, row in build.handed(Hazard, "raft")]
    assert 0 < len(hazards) <= 4
    assert all(row.cites in SOURCES for row in hazards)
    assert hazards[0].text.startswith("Worked out, not certified.")


def test_the_raft_weighs_the_parts_of_all_other_stages_and_its_own(build):
    """The parts handed on by everyone add up to the whole mass."""
    every = sum(row.mass.m_as("kg") for _, row in build.handed(Part))

    assert outcome(build, "weight").mass.m_as("kg") == pytest.approx(every)


def test_another_species_on_the_deck_moves_draft_and_list_and_leaves_the_ballast(build):
    """Mass, draft, freeboard and list follow; the moments do not, for the deck is symmetric."""
    before = {node: outcome(build, node) for node in ("weight", "afloat", "ballast")}
    species = build.graph.places["frame.deck.timber"].kind
    other = next(word for word in species.options if "cedar" in word)
    build.enter("frame.deck.timber", other)
    after = {node: outcome(build, node) for node in ("weight", "afloat", "ballast")}

    assert after["weight"].mass < before["weight"].mass
    assert after["afloat"].draft < before["afloat"].draft
    assert after["afloat"].deck_edge > before["afloat"].deck_edge
    assert after["afloat"].list != before["afloat"].list
    assert after["ballast"].total.m_as("kg") == pytest.approx(before["ballast"].total.m_as("kg"), abs=1e-9)


def test_the_ladder_on_the_other_end_changes_the_ballast(build):
    """Its moment changes sign, and the ballast needed goes to other places."""
    before = outcome(build, "ballast")
    build.enter("frame.fittings[ladder].x", "-1.6 m")
    after = outcome(build, "ballast")

    assert after.total.m_as("kg") != pytest.approx(before.total.m_as("kg"), abs=0.1)
    masses = [[place.mass.m_as("kg") for place in made.filled] for made in (before, after)]
    assert masses[0] != pytest.approx(masses[1], abs=0.1)
    assert after.placed_levels.verdict == "fails"


def test_people_come_from_the_brief(build):
    """One more kilogram each in the brief tilts the raft more here."""
    before = outcome(build, "crowd").tilt
    build.enter("brief.person_mass", "81 kg")

    assert outcome(build, "crowd").tilt > before


def test_a_float_that_cannot_be_is_told_at_its_table(build):
    """The first calculator that meets it says so, the rest wait for it; nothing falls back to another value."""
    build.enter("raft.afloat.floats[left outer].wall", "190 mm")
    build.enter("raft.afloat.floats[left outer].diameter", "300 mm")

    fault = build.now.outcomes["raft.weight"].fault
    assert "left outer: twice the wall is more than its size" in str(fault)
    assert build.check("raft.afloat.level").verdict == "open"


def test_the_leak_test_opens_and_closes_the_flooded_check(build):
    """Untested air floats may not be said to hold."""
    build.enter("raft.flooded.leak_tested", "no")

    assert build.check("raft.flooded.freeboard").verdict == "open"


def test_doubt_reaches_every_result_of_the_stage(build):
    """A hundred samples of the whole build: results vary, and none is lost."""
    done = build.doubt(100)
    crowd = done["raft.crowd"].result

    assert crowd.tilt.magnitude.shape == (100,)
    assert 0 < crowd.tilt.magnitude.std() < 5
    assert all(math.isfinite(v) for v in done["raft.flooded"].result.deck_edge.magnitude)
