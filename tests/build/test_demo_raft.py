"""Stage 10 of the demo build: ladder, open lids, a named pair, and the named alternatives of its sheet."""

from __future__ import annotations

import pytest

from kit.build import Build


@pytest.fixture
def demo(tmp_path, monkeypatch) -> Build:
    """Tarn Locker, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return Build.open("tarn_locker")


def every_float(build: Build, column: str, text: str) -> None:
    """Enter the same in a column of all four floats."""
    for side in ("left", "right"):
        for row in ("outer", "inner"):
            build.enter(f"raft.afloat.floats[{side} {row}].{column}", text)


def test_thinner_floats_are_marginal_in_the_corner(demo: Build) -> None:
    """The alternative of the sheet, 450 mm floats on the same axis: corner deck edge 0.151 m, to the 5 mm it claims."""
    every_float(demo, "diameter", "450 mm")
    every_float(demo, "mass_per_metre", "18.0 kg/m")
    every_float(demo, "wall", "13.8 mm")

    assert demo.value("raft.crowd.corner_deck").m_as("m") == pytest.approx(0.151, abs=0.005)
    assert demo.check("raft.crowd.corner_freeboard").verdict == "marginal"


def test_every_closer_look_of_the_stage_works_out(demo: Build) -> None:
    """Each gives a result and no fault, and the worst load case is the one of the crowd."""
    for name in ("cases", "lever", "damage", "ways", "sets", "sweeps", "yardsticks"):
        demo.ask(f"raft.{name}")
        outcome = demo.looked_at(f"raft.{name}")
        assert outcome.works, (name, outcome.fault, outcome.waits)
    worst = demo.closer("raft.cases")
    assert worst.worst == f"3 people, {demo.value('raft.crowd.worst')}"
    assert worst.least.m_as("m") == pytest.approx(demo.value("raft.crowd.corner_deck").m_as("m"), abs=1e-9)
    assert demo.closer("raft.damage").lost == "none"
    assert demo.closer("raft.sets").best != "none of these holds"


def test_the_ladder_and_the_lids_are_held_against_the_rule_chosen(demo: Build) -> None:
    """With another rule they do not apply; a raft tilted by them is judged by none it did not choose."""
    assert demo.check("raft.crowd.ladder_freeboard").passes
    assert demo.check("raft.weather.lids_heel_little").passes
    demo.enter("raft.crowd.criterion", "none")

    for path in ("crowd.ladder_freeboard", "crowd.ladder_heel", "weather.lids_heel_little", "weather.heels_little",
                 "weather.carries_snow", "flooded.freeboard"):
        assert demo.check(f"raft.{path}").verdict == "does not apply", path
    assert demo.check("raft.weather.stays_dry").passes


def test_a_pair_in_one_float_turns_it_over_with_people_in_the_corner(demo: Build) -> None:
    """Both halves of an outer float: three people at that side are carried, three in its corner are not."""
    demo.add_row("raft.flooded.together", "left outer, both cells")
    for column, cell in (("first", 1), ("second", 2)):
        demo.enter(f"raft.flooded.together[left outer, both cells].{column}", f"left outer, cell {cell} of 2")

    check = demo.check("raft.flooded.pair_stays_up")
    assert check.verdict == "fails"
    assert "turns over" in check.reason


def test_the_reservoir_owners_rule_refuses_wet_foam(demo: Build) -> None:
    """Foam that takes up 5 per cent is too wet for it; without the rule that is no failure."""
    assert demo.check("raft.stuff.dry").verdict == "does not apply"
    demo.enter("raft.stuff.also", "yes")

    assert demo.check("raft.stuff.dry").verdict == "fails"
