"""The demo's lids: its printed checks, its totals, and that what was added costs and weighs nothing new."""

from __future__ import annotations

import pytest

from kit.build.build import Build
from kit.handed import Part, Purchase, Task
from tests.notebook.pages import demo_build


@pytest.fixture(scope="module")
def build() -> Build:
    """The demo."""
    return demo_build()


@pytest.mark.parametrize(
    ("path", "unit", "value", "near"),
    [
        ("lids.balance.hand_open", "N", 31, 0.5),
        ("lids.balance.shut", "N*m", 15.5, 0.05),
        ("lids.balance.hold", "N*m", 5.1, 0.05),
        ("lids.balance.gravity_leaning", "N*m", 8.65, 0.03),
        ("lids.balance.strut_open", "N*m", 10.6, 0.05),
        ("lids.balance.wind_moment", "N*m", 5.2, 0.05),
        ("lids.balance.hold_with_friction", "N*m", 6.0, 0.05),
    ],
)
def test_the_printed_checks_of_the_demo_come_out(build: Build, path: str, unit: str, value: float, near: float) -> None:
    """Hand, shut, open, leaning and wind are as the sheet of the demo prints them."""
    assert build.value(path).m_as(unit) == pytest.approx(value, abs=near)


def test_no_check_of_the_lids_fails(build: Build) -> None:
    """What is not met is only what is not known of the box's vents and way out."""
    verdicts = {path: check.verdict for path, _, check in build.checks("lids")}
    assert "fails" not in verdicts.values()
    assert {path for path, verdict in verdicts.items() if verdict == "open"} == {
        f"lids.locker.{name}" for name in ("two_vents", "vent_size", "vents_apart", "opens_from_inside")
    }


def test_what_the_lids_hand_on_is_unchanged(build: Build) -> None:
    """Fittings of 3.5 kg, 140 GBP in four articles, 5 to 14 hours."""
    assert [float(part.mass.m_as("kg")) for _, part in build.handed(Part, "lids")] == [3.5]
    costs = {one.name: float(one.cost.m_as("money")) for _, one in build.handed(Purchase, "lids")}
    assert costs == {"hinges": 56, "gas struts": 36, "latches": 30, "seal": 18}
    ((_, task),) = build.handed(Task, "lids")
    assert (task.quick.m_as("h"), task.likely.m_as("h"), task.slow.m_as("h")) == (5, 8, 14)


def test_the_search_lists_struts_for_the_demo_and_says_why_others_fail(build: Build) -> None:
    """Asked for, it lists twelve, all drilled within the space given, and gives reasons for the rest."""
    outcome = build.ask("lids.mounts")
    assert outcome.works and len(outcome.result.found) == 12
    assert all(20 <= one.body_along.m_as("mm") <= 600 for one in outcome.result.found)
    assert len(outcome.result.rejected) >= 4


def test_let_go_the_demos_lid_lands_as_its_slam_says_at_most(build: Build) -> None:
    """With struts its edge arrives slower than without, and the energy at the stop is what the demo entered."""
    moved = build.ask("lids.let_go").result
    assert moved.shut_speed < moved.free_speed
    assert moved.open_energy.m_as("J") == pytest.approx(build.value("lids.held_open.landing").m_as("J"), abs=0.1)
