"""The demo's water: flows and loads as its sheet has them, mistakes that are caught, changes that travel."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build import Build
from kit.checks import Check
from kit.handed import Hazard, Load, Part, Purchase, Task


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Build:
    """Tarn Locker, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return Build.open("tarn_locker")


# Outlet, flow in litres a minute and share of the 6 that are wanted, as printed on the sheet of the demo.
FLOWS = [("deck jet", "9.8", "0.61"), ("hand shower", "8.8", "0.68")]


@pytest.mark.parametrize(("name", "flow", "used"), FLOWS)
def test_flows_of_the_demo_come_out_as_on_its_sheet(demo: Build, name: str, flow: str, used: str) -> None:
    """One valve open, from the pump's five points and each outlet's pipe."""
    row = next(one for one in demo.value("water.outlets.by_outlet") if one.name == name)

    assert row.flow.m_as("L/min") == pytest.approx(float(flow), abs=0.05)
    assert 6 / row.flow.m_as("L/min") == pytest.approx(float(used), abs=0.005)


def test_the_check_takes_the_outlet_that_is_worse_off(demo: Build) -> None:
    """The hand shower, .68 used."""
    check = demo.check("water.outlets.enough")

    assert check.verdict == "meets"
    assert float(check.share) == pytest.approx(0.68, abs=0.005)
    assert check.reason.startswith("hand shower")


def test_no_check_of_the_demos_water_fails_or_stays_open(demo: Build) -> None:
    """All were answered; those not chosen do not apply."""
    verdicts = {path: check.verdict for path, _, check in demo.checks("water")}

    assert set(verdicts.values()) <= {"meets", "does not apply"}
    assert list(verdicts.values()).count("meets") >= 15
    assert verdicts["water.outlets.enough_together"] == "does not apply"


def test_parts_money_and_hours_are_those_of_the_sheet(demo: Build) -> None:
    """4.5 kg of pump, pipes and water, 3 kg of post; 190 GBP; 5, 8 and 13 hours."""
    parts = {one.name: one for _, one in demo.handed(Part, "water")}
    pump, post = parts["pump, pipes, water"], parts["shower post"]

    assert pump.mass.m_as("kg") == pytest.approx(4.5, abs=0.01)
    assert [getattr(pump, axis).m_as("m") for axis in "xyz"] == pytest.approx([0.55, -0.15, 0.278])
    assert post.mass.m_as("kg") == pytest.approx(3)
    assert [getattr(post, axis).m_as("m") for axis in "xyz"] == pytest.approx([0.95, -0.20, 0.678])
    bought = {one.name: one.cost.magnitude for _, one in demo.handed(Purchase, "water")}
    assert bought == pytest.approx(
        {"pump": 62, "valves": 38, "hose and fittings": 54, "strainer": 14, "shower and post": 22})
    (task,) = (one for _, one in demo.handed(Task, "water"))
    assert [getattr(task, name).m_as("h") for name in ("quick", "likely", "slow")] == [5, 8, 13]


def test_pump_and_valve_are_handed_on_as_loads(demo: Build) -> None:
    """36 W and 6 W for 12 minutes in the season, nothing in winter; 108 W when the pump starts."""
    loads = {one.name: one for _, one in demo.handed(Load, "water")}

    assert loads["pump"].power.m_as("W") == pytest.approx(36)
    assert loads["pump"].start.m_as("W") == pytest.approx(108)
    assert loads["valve"].power.m_as("W") == pytest.approx(6)
    for load in (loads["pump"], loads["valve"]):
        assert load.season.m_as("min") == pytest.approx(12)
        assert load.winter.m_as("min") == 0


def test_a_pump_set_too_high_fails_and_its_lift_is_named(demo: Build) -> None:
    """Seven metres up on the deck: it neither draws nor primes, and the outlets do not care."""
    flow = demo.value("water.outlets.least_flow")
    demo.enter("water.suction.pump_height", "7 m")

    draws, primes = demo.check("water.suction.draws"), demo.check("water.suction.primes")
    assert (draws.verdict, primes.verdict) == ("fails", "fails")
    assert "the lift: set the pump lower" in draws.reason
    assert demo.value("water.outlets.least_flow") == flow
    turned = {one.path for one in demo.report().turned}
    assert {"water.suction.draws", "water.suction.primes"} <= turned


def test_warm_water_lowers_what_the_pump_can_draw_and_fails_as_a_shower(demo: Build) -> None:
    """26 degrees: too warm to be sprayed, and 0.1 m less suction."""
    before = demo.value("water.suction.available").m_as("m")
    demo.enter("water.shower.warmest", "26 degC")

    assert demo.check("water.shower.cool").verdict == "fails"
    assert 0.05 < before - demo.value("water.suction.available").m_as("m") < 0.25


def test_both_taps_at_once_starve_the_shower(demo: Build) -> None:
    """The check is taken once they are used so, and names the shower."""
    demo.enter("water.outlets.use", "all at once")

    check = demo.check("water.outlets.enough_together")
    assert check.verdict == "fails"
    assert check.reason.startswith("hand shower")
    assert demo.value("water.outlets.all_open").m_as("L/min") > 10


def test_a_pencilled_deck_far_from_the_floats_own_fails_its_check(demo: Build) -> None:
    """0.49 m agrees with 0.488; 0.6 m does not, and costs flow."""
    assert demo.check("water.outlets.deck").verdict == "meets"
    before = demo.value("water.outlets.least_flow")
    demo.enter("water.outlets.deck", "0.6 m")

    assert demo.check("water.outlets.deck").verdict == "fails"
    assert demo.value("water.outlets.least_flow") < before


def test_a_tired_battery_slows_the_pump(demo: Build) -> None:
    """10.5 V of 12: heads by the square, and the flows with them."""
    before = demo.value("water.outlets.least_flow").m_as("L/min")
    demo.enter("water.pump.volts", "10.5 V")

    assert demo.value("water.pump.shut_off").m_as("m") == pytest.approx(12 * (10.5 / 12) ** 2)
    assert demo.value("water.outlets.least_flow").m_as("L/min") < 0.93 * before


def test_longer_use_travels_to_the_battery_and_the_sheet(demo: Build) -> None:
    """Half an hour of shower: energy, load and water of the day move; the mass does not."""
    demo.enter("water.outlets.outlets[hand shower].season", "30 min")

    loads = {one.name: one for _, one in demo.handed(Load, "water")}
    assert loads["pump"].season.m_as("min") == pytest.approx(38)
    moved = {one.path for one in demo.report().moved}
    assert {"water.energy.season", "water.outlets.season_water"} <= moved
    assert "raft.weight.mass" not in moved


def test_a_longer_pipe_travels_to_mass_float_and_purchases(demo: Build) -> None:
    """Its water weighs, and a second roll is bought."""
    demo.enter("water.draining.pipes[to the hand shower].length", "12 m")
    demo.enter("water.outlets.outlets[hand shower].length", "12 m")

    bought = {one.name: one for _, one in demo.handed(Purchase, "water")}
    assert bought["hose and fittings"].packs == 3
    assert "raft.weight.mass" in {one.path for one in demo.report().moved}


def test_water_is_left_out_of_a_build_without_it(demo: Build) -> None:
    """Nothing of it is handed on, and the rest still works."""
    demo.keep_stages(set(demo.graph.stages) - {"water"})

    assert not any(key.startswith("water") for key in demo.now.outcomes)
    assert demo.value("raft.weight.mass").m_as("kg") == pytest.approx(703.5 - 7.5, abs=0.5)


def test_water_works_without_the_float(demo: Build) -> None:
    """On land heights are entered; nothing waits for a raft."""
    demo.keep_stages(set(demo.graph.stages) - {"raft"})

    waiting = {key for key, one in demo.now.outcomes.items() if key.startswith("water") and not one.works}
    assert waiting == set()


def test_at_most_four_hazards_each_with_its_step(demo: Build) -> None:
    """Worst first: electricity near people in the water."""
    hazards = [one for _, one in demo.handed(Hazard, "water")]

    assert 1 <= len(hazards) <= 4
    assert "extra-low voltage" in hazards[0].text
    assert all(one.at != "-" for one in hazards)



def test_all_valves_open_draw_with_all_their_coils(demo: Build) -> None:
    """Two coils of 6 W at once, for eight and four minutes: the same energy in fewer minutes of the pump."""
    demo.enter("water.outlets.use", "all at once")
    valve = next(one for _, one in demo.handed(Load, "water") if one.name == "valve")

    assert valve.power.m_as("W") == pytest.approx(12)
    assert (valve.power * valve.season).m_as("Wh") == pytest.approx(1.2)
    assert demo.value("water.energy.pump_hours").m_as("min") == pytest.approx(8)
    assert demo.value("water.energy.valve_energy").m_as("Wh") == pytest.approx(1.2)


def test_the_valve_of_the_battery_stage_is_the_valve_of_this_one(demo: Build) -> None:
    """Its coil, minutes and openings are entered once: another coil is compared with a latching one of its own."""
    assert demo.value("power.valve.held").m_as("Wh") == pytest.approx(1.2)
    demo.enter("water.energy.coil", "3 W")
    demo.enter("water.energy.openings", "100")

    assert demo.value("power.valve.held").m_as("Wh") == pytest.approx(0.6)
    # The latching one has a pulse of its own: 2 x 100 x 50 ms x 6 W.
    assert demo.value("power.valve.latching").m_as("J") == pytest.approx(60)


def test_the_volts_at_the_pump_are_held_against_what_the_wires_leave(demo: Build) -> None:
    """12 V less 3 A x (15 mohm in the battery, 6.1 and 49.3 mohm of wire): 11.79 V; it may be 0.3 V off."""
    volts = 12 - 3 * (0.015 + 2 * 0.6 * 5.09e-3 + 2 * 1.8 * 13.7e-3)

    # Hot wires have some 4 % more resistance than the table at 20 degrees.
    assert demo.value("wiring.cables.motor_volts").m_as("V") == pytest.approx(volts, abs=0.01)
    assert _closing(demo).verdict == "meets"
    demo.enter("wiring.cables.runs[pump].one_way", "6 m")
    assert _closing(demo).verdict == "fails"


def _closing(demo: Build) -> Check:
    """The check that holds the pencilled volts against the wiring."""
    return next(check for path, _, check in demo.checks("water") if path == "water.pump.volts")
