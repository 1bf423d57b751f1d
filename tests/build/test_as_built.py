"""Planned beside measured: a measured part, what it settles, and states of parts, purchases and tasks."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build import Build
from kit.build.as_built import as_planned, found, measure, settled

LADDER = "frame.fittings[ladder].mass"


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Build:
    """Tarn Locker, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return Build.open("tarn_locker")


def test_a_measured_value_stands_beside_the_planned_one(demo: Build) -> None:
    """The ladder planned at 16 kg give or take 5 % weighs 16.5: within it, tried as well as recorded."""
    measure(demo, LADDER, "16.5 kg", "0.1 kg", note="bathroom scale")
    for _ in range(2):
        (one,) = found(demo)
        assert (one.path, one.planned.value, one.measured.value) == (LADDER, "16 kg", "16.5 kg")
        assert one.difference is not None and one.difference.m_as("kg") == pytest.approx(0.5)
        assert one.expected
        if demo.is_tried:
            demo.commit("weighed")
    assert demo.basis(LADDER) == "measured"


def test_a_guess_that_was_too_far_off_is_named(demo: Build) -> None:
    """Twenty kilograms where 16 give or take 5 % were planned is outside."""
    measure(demo, LADDER, "20 kg")

    assert not found(demo)[0].expected


def test_measuring_narrows_what_hangs_on_it(demo: Build) -> None:
    """The force of a strut pressed on a scale: what keeps the lid shut is surer than it was."""
    measure(demo, "lids.balance.force", "150 N", "1 N")
    narrower = {one.before.path: one for one in settled(demo, count=1500)}

    assert "lids.balance.shut" in narrower
    one = narrower["lids.balance.shut"]
    assert one.after is not None
    assert one.after.standard < one.before.standard


def test_the_build_as_planned_has_the_guesses_again(demo: Build) -> None:
    """Before and after differ by what was measured and by nothing else."""
    measure(demo, LADDER, "20 kg")
    demo.commit("weighed")

    assert as_planned(demo).now.entries[LADDER].value == "16 kg"
    heavier = demo.value("sheet.all.mass") - as_planned(demo).value("sheet.all.mass")
    assert heavier.m_as("kg") == pytest.approx(4.0)


def test_words_cannot_be_measured(demo: Build) -> None:
    """A choice is refused by its path."""
    with pytest.raises(KeyError, match=r"frame\.deck\.timber is nothing that can be measured"):
        measure(demo, "frame.deck.timber", "oak")


def test_what_is_cut_is_said_and_reported_with_a_change(demo: Build) -> None:
    """Boards marked as cut say so in the list of what a change does to them."""
    demo.set_state(["frame: deck boards"], "cut", why="Saturday")
    assert demo.state_of("frame: deck boards") == "cut"
    demo.enter("frame.deck.thickness", "30 mm")
    changed = {one.path for one in demo.report().parts}

    assert "frame: deck boards" in changed
    with pytest.raises(KeyError, match="hands on nothing called 'frame: sails'"):
        demo.set_state(["frame: sails"], "cut")
