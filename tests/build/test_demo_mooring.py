"""Stage 11 in the demo build: the figures of its sheet, what it hands on, and changes that travel through it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from kit.build import Build
from kit.handed import Hazard, Part, Purchase, Task
from kit.sources import SOURCES


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Build:
    """Tarn Locker, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return Build.open("tarn_locker")


def newtons(build: Build, path: str) -> float:
    """A result of this stage in newtons."""
    return float(build.value(f"mooring.{path}").m_as("N"))


def test_wind_area_and_load_are_those_of_the_sheet(demo: Build) -> None:
    """C A of 2.38 m2 in a gust of 25 m/s, and waves of 0.2 m: 1057 N broadside, a third of the printed 3.17 kN."""
    assert newtons(demo, "load.wind_side") / (0.5 * 1.225 * 25**2) == pytest.approx(2.38, abs=0.005)
    assert 3 * newtons(demo, "load.side") == pytest.approx(3170, abs=5)
    assert demo.value("mooring.load.worst") == demo.value("mooring.load.side")


def test_the_rope_is_used_as_on_the_sheet(demo: Build) -> None:
    """Wet, knotted, factor 3: 0.28 of 27 kN; level it is the printed 7.5 kN, along the sloping leg 2 in 100 more."""
    check = demo.check("mooring.gear.line")
    level = 3 * newtons(demo, "load.worst") / (0.85 * 0.5)

    assert float(check.share) == pytest.approx(0.28, abs=0.005)
    assert level / 1000 == pytest.approx(7.5, abs=0.05)
    assert newtons(demo, "gear.need") / level == pytest.approx(1.02, abs=0.005)


def test_the_pull_test_is_marginal_as_on_the_sheet(demo: Build) -> None:
    """0.93 on the sheet for the level pull; along the leg, at 9.5 degrees, 0.95."""
    check = demo.check("mooring.pull_test.holds")
    slope = float(np.cos(demo.value("mooring.storm.anchor_angle").m_as("rad")))

    assert check.verdict == "marginal"
    assert float(check.share) * slope == pytest.approx(0.93, abs=0.005)
    assert float(check.share) == pytest.approx(0.946, abs=0.001)


def test_the_scope_and_the_pull_down_are_those_of_the_sheet(demo: Build) -> None:
    """23 m are scope 5 at high water; the 12 kg pencilled are worked out within 5 kg."""
    assert demo.shown("mooring.leg.length") == "23 m"
    assert float(demo.value("mooring.leg.scope").m) == pytest.approx(5, abs=0.02)
    assert float(demo.value("mooring.leg.pull_down").m_as("kg")) == pytest.approx(12, abs=0.5)
    assert demo.check("mooring.pull_down.pull").verdict == "meets"


def test_no_check_fails_and_what_is_open_is_measured_afloat(demo: Build) -> None:
    """Open until the raft is in the water; one lift is covered by no number."""
    verdicts = {path: check.verdict for path, _, check in demo.checks("mooring")}

    assert "fails" not in verdicts.values()
    assert {path.split(".")[1] for path, verdict in verdicts.items() if verdict == "open"} == {"floated", "inclined"}
    assert [path for path, verdict in verdicts.items() if verdict == "not covered"] == ["mooring.lifting.in_scope"]
    assert [path for path, verdict in verdicts.items() if verdict == "marginal"] == ["mooring.pull_test.holds"]


def test_what_the_stage_hands_on(demo: Build) -> None:
    """The pull-down as a part, 448 GBP of ground tackle, hours 10/14/24, four hazards at most with sources."""
    (part,) = (row for _, row in demo.handed(Part, "mooring"))
    (task,) = (row for _, row in demo.handed(Task, "mooring"))
    hazards = [row for _, row in demo.handed(Hazard, "mooring")]

    assert (part.mass.m_as("kg"), part.z.m_as("m")) == (12, 0.08)
    assert [row.cost.m_as("money") for _, row in demo.handed(Purchase, "mooring")] == [192, 84, 110, 62]
    assert (task.quick.m_as("h"), task.likely.m_as("h"), task.slow.m_as("h")) == (10, 14, 24)
    assert 0 < len(hazards) <= 4
    assert all(row.cites in SOURCES for row in hazards)


def test_the_allowance_is_gone_and_the_totals_stay(demo: Build) -> None:
    """Mass, materials and mean hours of the whole as on the sheet."""
    assert not any(row.stands_for == "mooring" for row in demo.value("brief.allowances"))
    assert sum(p.mass.m_as("kg") for _, p in demo.handed(Part)) == pytest.approx(703.6, abs=1)
    assert sum(b.cost.magnitude for _, b in demo.handed(Purchase)) == pytest.approx(4524, abs=0.5)


def test_a_stronger_gust_asks_for_more_and_fails_the_pull_test(demo: Build) -> None:
    """26 m/s is too much for anchors proved to 3.4 kN."""
    before = newtons(demo, "gear.need")
    demo.enter("brief.gust", "26 m/s")

    assert newtons(demo, "gear.need") > before
    assert demo.check("mooring.pull_test.holds").verdict == "fails"


def test_higher_water_lowers_the_scope_and_tightens_the_legs(demo: Build) -> None:
    """A metre more: scope below 5, the deck pulled down harder."""
    down = demo.value("mooring.leg.pull_down_high")
    demo.enter("brief.rises", "1.6 m")

    assert demo.check("mooring.leg.long_enough").verdict == "fails"
    assert demo.value("mooring.leg.pull_down_high") > down


def test_a_guess_of_the_pull_down_that_is_far_off_is_caught(demo: Build) -> None:
    """Pencilled at 30 kg against 12 worked out; the raft floats with what is pencilled."""
    draft = demo.value("raft.afloat.draft")
    demo.enter("mooring.pull_down.pull", "30 kg")

    assert demo.check("mooring.pull_down.pull").verdict == "fails"
    assert demo.value("raft.afloat.draft") > draft


def test_readings_afloat_close_the_open_checks(demo: Build) -> None:
    """The four freeboards that were expected: as predicted; then 10 mm deeper at one end."""
    for corner, of in (
        ("named_right", "end_right"),
        ("named_left", "end_left"),
        ("other_right", "other_right"),
        ("other_left", "other_left"),
    ):
        demo.enter(f"mooring.floated.{corner}", f"{demo.value(f'raft.afloat.{of}').m_as('mm'):.0f} mm")
    assert demo.check("mooring.floated.mass_agrees").verdict == "meets"
    assert demo.value("mooring.floated.says").startswith("as predicted")

    for corner in ("other_right", "other_left"):
        demo.enter(f"mooring.floated.{corner}", "478 mm")
    assert demo.check("mooring.floated.mass_agrees").verdict == "fails"
    assert demo.value("mooring.floated.suspects")[0].name == "brief: gear, left locker"


def test_dead_weights_instead_of_screws(demo: Build) -> None:
    """Another kind of anchor: the pull test does not apply, the block of 200 kg slides."""
    demo.enter("mooring.pull_test.kind", "dead weights")

    assert demo.check("mooring.pull_test.holds").verdict == "does not apply"
    assert demo.check("mooring.block.slide").verdict == "fails"
