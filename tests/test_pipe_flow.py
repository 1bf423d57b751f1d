"""Pipe loss, valve loss and nozzles: each term moves what it should."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.pipe_flow import nozzle, pipe_loss, valve_loss
from kit.pipe_kernel import Curve, Line, friction, rising_root
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one


def lost(**changed):
    """6 L/min through 4 m of 13 mm hose."""
    given = {"flow": Q(6, "L/min"), "length": Q(4, "m"), "bore": Q(13, "mm"), "loss": Q(5)}
    return pipe_loss(**given | changed)


def test_loss_along_the_pipe_goes_with_its_length_and_fittings_with_their_sum():
    """Twice the length loses twice as much along it, and nothing more in fittings."""
    one, two = lost(), lost(length=Q(8, "m"))

    assert two.along.m_as("m") == pytest.approx(2 * one.along.m_as("m"))
    assert two.fittings.m_as("m") == pytest.approx(one.fittings.m_as("m"))
    assert lost(loss=Q(10)).fittings.m_as("m") == pytest.approx(2 * one.fittings.m_as("m"))
    assert one.head.m_as("m") == pytest.approx(one.along.m_as("m") + one.fittings.m_as("m"))


def test_speed_is_flow_over_area_and_fittings_take_velocity_heads():
    """0.1 L/s over 132.7 mm2 is 0.7534 m/s, and five velocity heads of it are 0.1447 m."""
    one = lost()

    assert one.speed.m_as("m/s") == pytest.approx(0.7534, abs=5e-5)
    assert one.fittings.m_as("m") == pytest.approx(5 * 0.7534**2 / 2 / 9.80665, rel=2e-4)
    assert one.pressure.m_as("Pa") == pytest.approx(999.7 * 9.80665 * one.head.m_as("m"), rel=1e-9)
    assert one.power.m_as("W") == pytest.approx(one.pressure.m_as("Pa") * 1e-4, rel=1e-9)


def test_laminar_loss_goes_with_flow_and_viscosity():
    """Oil of 100 mm2/s: twice the flow or twice the viscosity loses twice as much, whatever the wall."""
    oil = {"viscosity": Q(100, "mm^2/s"), "loss": Q(0)}
    one = lost(**oil)

    assert one.flows == "laminar"
    assert one.factor.m_as("") == pytest.approx(64 / one.reynolds.m_as(""))
    assert lost(**oil, flow=Q(12, "L/min")).head.m_as("m") == pytest.approx(2 * one.head.m_as("m"))
    assert lost(**oil, roughness=Q(300, "um")).head.m_as("m") == pytest.approx(one.head.m_as("m"))
    assert lost(**oil | {"viscosity": Q(200, "mm^2/s")}).head.m_as("m") == pytest.approx(2 * one.head.m_as("m"))


def test_warm_water_and_a_smooth_wall_lose_less():
    """Viscosity falls with temperature; roughness costs head only where the flow is turbulent."""
    assert lost(temperature=Q(30, "degC")).along < lost(temperature=Q(10, "degC")).along
    assert lost(roughness=Q(0, "um")).along < lost().along < lost(roughness=Q(150, "um")).along


@pytest.mark.parametrize(("reynolds", "words"), [(1999, "laminar"), (3000, "in between"), (4500, "turbulent")])
def test_the_flow_is_named_and_what_is_unsure_is_said(reynolds, words):
    """Between 2300 and 4000 a note says that the larger loss was taken."""
    bore, nu = 0.013, 1e-6
    made = lost(flow=Q(reynolds * nu * np.pi / 4 * bore, "m^3/s"), viscosity=Q(1, "mm^2/s"))

    assert made.flows.startswith(words)
    assert any("the larger one was taken" in note for note in made.notes) == (2000 < reynolds <= 4000)


def test_a_wall_rougher_than_a_twentieth_of_the_bore_is_noted():
    """Colebrook's equation was made for less."""
    assert any("Colebrook" in note for note in lost(roughness=Q(0.7, "mm")).notes)
    assert not any("Colebrook" in note for note in lost(roughness=Q(0.6, "mm")).notes)


def test_no_flow_loses_nothing():
    """A friction factor does not exist; the losses are nothing."""
    still = lost(flow=Q(0, "L/min"))

    assert still.head.m_as("m") == 0
    assert np.isnan(still.factor.m_as(""))


def test_loss_never_falls_as_the_flow_grows():
    """Through laminar, in between and turbulent the head only rises."""
    line = Line(4.0, 0.013, 0.0, 1.5e-6, 1e-6)
    heads, slopes = line.head(np.geomspace(1e-7, 1e-2, 4000))

    assert np.all(np.diff(heads) > 0)
    assert np.all(slopes > 0)


@pytest.mark.parametrize("reynolds", [500, 1999, 2150, 2301, 5000, 1e6])
def test_the_slope_of_friction_is_its_own_difference(reynolds):
    """The power of the Reynolds number agrees with a difference of two factors."""
    step = 1e-6
    (low, power), (high, _) = friction(reynolds, 1e-3), friction(reynolds * (1 + step), 1e-3)

    assert power == pytest.approx(np.log(high / low) / np.log(1 + step), rel=1e-3)


def test_the_slope_of_a_lines_head_is_its_own_difference():
    """Pipe, fittings and hole together."""
    line, flow = Line(3.0, 0.013, 8.0, 1.5e-6, 1.3e-6, 1e8), 1.5e-4
    (low, slope), (high, _) = line.head(flow), line.head(flow * (1 + 1e-6))

    assert slope == pytest.approx((high - low) / (flow * 1e-6), rel=1e-4)


def test_the_unit_of_a_bore_does_not_matter():
    """Half an inch is 12.7 mm."""
    assert lost(bore=Q(0.5, "in")).head.m_as("m") == pytest.approx(lost(bore=Q(12.7, "mm")).head.m_as("m"))


def test_a_bore_of_nothing_is_refused():
    """The sentence names the input, what was given, what is allowed, and an example."""
    with pytest.raises(InputError) as refused:
        lost(bore=Q(0, "mm"))

    assert refused.value.faults == {"bore": "0 mm is outside 1 to 1000 mm, such as 13 mm"}


def test_samples_of_a_pipe_agree_with_one_by_one():
    """Flow, bore and temperature together, across laminar and turbulent."""
    agrees_one_by_one(lambda pick: lost(
        flow=pick([0, 0.6, 1.5, 2.2, 6], "L/min"), bore=pick([13, 12, 13, 14, 10], "mm"),
        temperature=pick([5, 10, 15, 20, 30], "degC")), 5)


def test_a_curve_is_straight_between_its_points_level_before_and_straight_on_beyond():
    """Points at 0, 4 and 8 with heads 12, 10 and 6."""
    curve = Curve(np.array([0.0, 4, 8]), np.array([12.0, 10, 6]))

    assert [float(curve.at(np.array(q))[0]) for q in (-1.0, 0.0, 2.0, 4.0, 6.0, 9.0)] == [12, 12, 11, 10, 8, 5]
    assert [float(curve.at(np.array(q))[1]) for q in (2.0, 6.0, 9.0)] == [-0.5, -1, -1]
    assert [float(curve.flow_at(np.array(h))) for h in (13.0, 11.0, 8.0, 5.0)] == [0, 2, 6, 9]


def test_a_root_is_found_past_a_kink_and_a_bound_is_the_answer_without_one():
    """A slope that changes a thousandfold; a function that is above zero everywhere; one that is no number."""
    def kinked(x):
        return np.where(x < 1, 1e-3 * (x - 1), 1e3 * (x - 1)) - 5e-4, np.where(x < 1, 1e-3, 1e3)

    assert float(rising_root(kinked, np.zeros(()), 10.0)) == pytest.approx(1 + 5e-7, rel=1e-9)
    assert float(rising_root(lambda x: (x + 1, 1 + 0 * x), np.zeros(()), 3.0)) == pytest.approx(0, abs=1e-12)
    both = rising_root(lambda x: (x - 2, 1 + 0 * x), np.zeros(2), np.array([np.nan, 3.0]))
    assert np.isnan(both[0]) and both[1] == pytest.approx(2)


# -- valves ----------------------------------------------------------------------------------------------


def valved(**changed):
    """A valve of 1 m3/h at one bar, passing 1 m3/h of water of 1000 kg/m3."""
    given = {"coefficient": Q(1, "m^3/h"), "flow": Q(1, "m^3/h"), "bore": Q(13, "mm"), "density": Q(1000, "kg/m^3")}
    return valve_loss(**given | changed)


def test_a_flow_coefficient_is_the_flow_at_one_bar():
    """That is what it means; twice the flow takes four times as much."""
    assert valved().pressure.m_as("bar") == pytest.approx(1)
    assert valved(flow=Q(2, "m^3/h")).pressure.m_as("bar") == pytest.approx(4)
    assert valved(coefficient=Q(2, "m^3/h")).pressure.m_as("bar") == pytest.approx(0.25)


def test_the_loss_coefficient_of_a_valve_gives_its_head_back():
    """K velocity heads in the pipe are the head lost, at any flow and density."""
    one = valved(flow=Q(8.8, "L/min"), density=Q(1025, "kg/m^3"))
    speed = (Q(8.8, "L/min") / (np.pi / 4 * Q(13, "mm") ** 2)).m_as("m/s")

    assert one.head.m_as("m") == pytest.approx(one.loss.m_as("") * speed**2 / 2 / 9.80665, rel=1e-9)


def test_samples_of_a_valve_agree_with_one_by_one():
    """Coefficient, flow and bore."""
    agrees_one_by_one(lambda pick: valved(
        coefficient=pick([0.5, 1], "m^3/h"), flow=pick([3, 8], "L/min"), bore=pick([13, 10], "mm")), 2)


# -- nozzles ---------------------------------------------------------------------------------------------


def jetted(**changed):
    """One hole of 10 mm under 1 m."""
    return nozzle(**{"head": Q(1, "m"), "diameter": Q(10, "mm")} | changed)


def test_flow_goes_with_area_coefficient_and_the_root_of_the_head():
    """Four times the head, twice the diameter, four holes."""
    one = jetted().flow.m_as("L/min")

    assert jetted(head=Q(4, "m")).flow.m_as("L/min") == pytest.approx(2 * one)
    assert jetted(diameter=Q(20, "mm")).flow.m_as("L/min") == pytest.approx(4 * one)
    assert jetted(holes=4).flow.m_as("L/min") == pytest.approx(4 * one)
    assert jetted(coefficient=Q(0.31)).flow.m_as("L/min") == pytest.approx(one / 2)


def test_a_jet_without_loss_rises_to_the_water_it_came_from():
    """And falls short by the square of what its speed lacks."""
    assert jetted(speed_share=Q(1)).rises.m_as("m") == pytest.approx(1)
    assert jetted(speed_share=Q(0.9)).rises.m_as("m") == pytest.approx(0.81)
    assert jetted(speed_share=Q(1)).speed.m_as("m/s") == pytest.approx((2 * 9.80665) ** 0.5)
    assert jetted().narrowing.m_as("") == pytest.approx(0.62 / 0.97)


def test_samples_of_a_nozzle_agree_with_one_by_one():
    """Head and diameter."""
    agrees_one_by_one(lambda pick: jetted(head=pick([0, 1, 9], "m"), diameter=pick([3, 5, 7], "mm")), 3)
