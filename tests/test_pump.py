"""A pump's curve: its ends, its points, its volts."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.pump import PumpPoint, pump_curve
from kit.quantities import Q
from kit.sampling import sampling
from tests.one_by_one import agrees_one_by_one


def point(flow, head, name="point"):
    """One point."""
    return PumpPoint(name=name, flow=Q(flow, "L/min"), head=Q(head, "m"))


def curved(**changed):
    """Twelve metres shut, twelve litres a minute open, 8 m at 6 L/min."""
    given = {"shut_off_head": Q(12, "m"), "open_flow": Q(12, "L/min"), "points": [point(6, 8)]}
    return pump_curve(**given | changed)


def head_at(made, flow):
    """The drawn curve at a flow."""
    return float(np.interp(flow, made.flow.m_as("L/min"), made.head.m_as("m")))


def test_the_curve_passes_through_its_ends_and_points():
    """Straight in between, in whatever order the points are given."""
    made = curved(points=[point(9, 5, "b"), point(6, 8, "a")])

    assert [head_at(made, q) for q in (0, 12)] == [12, 0]
    assert made.shut_off == Q(12, "m")
    assert made.most_flow.m_as("L/min") == pytest.approx(12)
    assert head_at(made, 3) == pytest.approx(10)
    assert head_at(made, 10.5) == pytest.approx(2.5, abs=0.01)


def test_half_the_volts_halve_the_flow_and_quarter_the_head():
    """Points that belong together, at half the speed; power goes with its cube."""
    full, half = curved(), curved(volts=Q(6, "V"))

    assert half.speed.m_as("percent") == pytest.approx(50)
    assert half.shut_off.m_as("m") == pytest.approx(3)
    assert half.most_flow.m_as("L/min") == pytest.approx(6)
    assert head_at(half, 3) == pytest.approx(2)
    assert half.most_power.m_as("W") == pytest.approx(full.most_power.m_as("W") / 8)
    assert any("measure the pump" in note for note in half.notes)


def test_power_is_weight_lifted_by_time_and_greatest_where_it_is_said_to_be():
    """A straight line gives most at half its flow: rho g Q H / 4."""
    made = curved(points=(), density=Q(1000, "kg/m^3"))

    assert made.best_flow.m_as("L/min") == pytest.approx(6)
    assert made.most_power.m_as("W") == pytest.approx(1000 * 9.80665 * 12 * 2e-4 / 4, rel=1e-6)
    assert np.all(made.power.m_as("W") <= made.most_power.m_as("W") + 1e-12)


def test_pressure_with_every_outlet_shut_is_held_against_the_weakest_joint():
    """Twelve metres are 1.18 bar."""
    made = curved(density=Q(1000, "kg/m^3"))

    assert made.shut_pressure.m_as("bar") == pytest.approx(12 * 9806.65 / 1e5)
    assert made.holds.verdict == "meets"
    assert curved(rating=Q(1, "bar")).holds.verdict == "fails"


def test_two_ends_alone_are_noted():
    """A straight line between label figures is low."""
    assert any("only the two ends" in note for note in curved(points=()).notes)
    assert not curved().notes


@pytest.mark.parametrize("points", [
    [point(6, 13)], [point(13, 8)], [point(4, 8, "a"), point(6, 9, "b")], [point(6, 8, "a"), point(6, 7, "b")],
    [point(0, 8)], [point(12, 0)],
])
def test_points_that_do_not_fall_are_refused(points):
    """Above the shut-off head, beyond the open flow, rising, or two heads at one flow."""
    with pytest.raises(InputError, match="larger flow and a lower head"):
        curved(points=points)


def test_a_point_measured_twice_is_one_point():
    """It changes nothing."""
    twice = curved(points=[point(6, 8, "a"), point(6, 8, "b")])

    np.testing.assert_allclose(twice.head.m_as("m"), curved().head.m_as("m"))


def test_volts_far_from_those_of_the_curve_are_refused():
    """Beside both boxes, with an example."""
    with pytest.raises(InputError) as refused:
        curved(volts=Q(30, "V"))

    assert set(refused.value.faults) == {"volts", "curve_volts"}


def test_a_sample_whose_points_do_not_fall_is_none():
    """The others are what they were."""
    with sampling():
        made = curved(points=[PumpPoint(name="p", flow=Q(6, "L/min"), head=Q(np.array([8.0, 13.0]), "m"))])

    assert made.most_power.m_as("W")[0] == pytest.approx(curved().most_power.m_as("W"))
    assert np.isnan(made.shut_off.m_as("m")[1])


def test_samples_of_a_pump_agree_with_one_by_one():
    """Ends, points and volts; the middle of the curve too."""
    def some(pick):
        made = curved(shut_off_head=pick([12, 13, 11], "m"), volts=pick([12, 11, 10], "V"),
                      points=[PumpPoint(name="p", flow=pick([6, 5, 7], "L/min"), head=pick([8, 9, 7], "m"))])
        return (made.speed, made.shut_off, made.most_flow, made.most_power, made.best_flow, made.holds,
                made.flow[20], made.head[20], made.power[20])

    agrees_one_by_one(some, 3)
