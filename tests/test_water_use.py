"""Energy a day of pump and valves."""

from __future__ import annotations

import math

import pytest

from kit.quantities import Q
from kit.water_use import water_use
from tests.one_by_one import agrees_one_by_one


def used(**changed):
    """36 W for 12 minutes with a valve of 6 W held open."""
    return water_use(**{"season_open": Q(12, "min"), "power": Q(36, "W"), "work": Q(1.44, "Wh")} | changed)


def test_energy_is_power_by_time():
    """7.2 and 1.2 Wh, as the sheet of the demo has them."""
    made = used()

    assert made.pump_energy.m_as("Wh") == pytest.approx(7.2)
    assert made.valve_energy.m_as("Wh") == pytest.approx(1.2)
    assert made.season.m_as("Wh") == pytest.approx(8.4)
    assert made.winter.m_as("Wh") == 0
    assert (made.pump_hours.m_as("h"), made.valve_hours.m_as("h")) == pytest.approx((0.2, 0.2))


def test_winter_is_reckoned_like_the_season():
    """Six minutes: half of it."""
    made = used(winter_open=Q(6, "min"))

    assert made.winter.m_as("Wh") == pytest.approx(4.2)
    assert made.winter_hours.m_as("h") == pytest.approx(0.1)
    assert made.valve_winter.m_as("h") == pytest.approx(0.1)


def test_two_valves_open_together_draw_twice():
    """The pump runs 12 minutes once, two coils of 6 W are held for all of it."""
    made = used(season_valves=Q(24, "min"), winter_open=Q(6, "min"), winter_valves=Q(12, "min"))

    assert made.pump_energy.m_as("Wh") == pytest.approx(7.2)
    assert made.valve_energy.m_as("Wh") == pytest.approx(2.4)
    assert made.held.m_as("Wh") == pytest.approx(2.4)
    assert made.winter.m_as("Wh") == pytest.approx(3.6 + 1.2)


def test_a_latching_valve_draws_only_to_turn():
    """Ten openings, two pulses of 50 ms each, 6 W: six joules."""
    made = used(valve="latching")

    assert made.valve_energy.m_as("J") == pytest.approx(6)
    assert made.latching.m_as("J") == pytest.approx(6)
    assert made.held.m_as("Wh") == pytest.approx(1.2)
    assert made.valve_hours.m_as("s") == pytest.approx(1)
    assert made.valve_winter.m_as("s") == 0
    assert used(valve="latching", winter_open=Q(1, "min")).valve_winter.m_as("s") == pytest.approx(1)
    slower = used(valve="latching", openings=Q(20), pulse=Q(100, "ms"), coil=Q(3, "W"))
    assert slower.valve_energy.m_as("J") == pytest.approx(12)


def test_a_valve_by_hand_draws_nothing():
    """Neither in the season nor in winter."""
    made = used(valve="by hand", winter_open=Q(6, "min"))

    assert made.valve_energy.m_as("Wh") == 0
    assert made.season.m_as("Wh") == pytest.approx(7.2)
    assert made.winter.m_as("Wh") == pytest.approx(3.6)


def test_the_start_takes_a_multiple():
    """108 W for a moment."""
    assert used().start.m_as("W") == pytest.approx(108)
    assert used(start_factor=Q(5)).start.m_as("W") == pytest.approx(180)


def test_efficiency_is_work_over_what_the_pump_takes():
    """A fifth; more than six tenths is not believed; a pump that does not run has none."""
    assert used().efficiency.m_as("percent") == pytest.approx(20)
    assert not used().notes
    assert any("no small pump" in note for note in used(work=Q(5, "Wh")).notes)
    assert math.isnan(used(season_open=Q(0, "min"), work=Q(0, "Wh")).efficiency.magnitude)


def test_samples_of_water_use_agree_with_one_by_one():
    """Minutes, power, work, and pulses."""
    for valve in ("held open", "latching", "by hand"):
        agrees_one_by_one(lambda pick, valve=valve: used(
            valve=valve, season_open=pick([12, 0, 5], "min"), winter_open=pick([0, 1, 2], "min"),
            power=pick([36, 30, 40], "W"), work=pick([1, 0, 2], "Wh"), openings=pick([10, 1, 5], "")), 3)
