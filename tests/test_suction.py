"""The suction side: head left at the pump, priming, the pull of the strainer."""

from __future__ import annotations

import math

import pytest

from kit.liquid_water import air_pressure, thickness_of, vapour_pressure
from kit.pipe_flow import pipe_loss
from kit.quantities import Q
from kit.suction import suction
from tests.one_by_one import agrees_one_by_one

HEAD = 101325 / (999.7 * 9.80665)


def drawn(**changed):
    """A pump 1 m above the sea's level, no losses, water at 10 degrees, fine weather."""
    given = {
        "pump_height": Q(1, "m"), "length": Q(0, "m"), "bore": Q(13, "mm"), "loss": Q(0), "strainer": Q(0),
        "flow": Q(10, "L/min"), "temperature": Q(10, "degC"), "low_weather": Q(0, "percent"),
        "strainer_depth": Q(0.5, "m"), "open_area": Q(20, "cm^2"), "stopped": Q(0, "percent"),
    }
    return suction(**given | changed)


def test_what_is_left_is_the_air_less_vapour_lift_and_losses():
    """10.34 m less 0.125 m of vapour less 1 m."""
    made = drawn()
    vapour = vapour_pressure(Q(10, "degC")).m_as("Pa") / (999.7 * 9.80665)

    assert made.presses.m_as("m") == pytest.approx(HEAD - vapour)
    assert made.available.m_as("m") == pytest.approx(HEAD - vapour - 1)
    assert made.inlet.m_as("Pa") == pytest.approx(-999.7 * 9.80665)
    assert made.highest.m_as("m") == pytest.approx(HEAD - vapour - 3.5)


def test_deck_and_pump_heights_add_up_to_the_lift():
    """The deck 0.49 m above the water, the pump 0.13 m above the deck."""
    made = drawn(deck=Q(0.49, "m"), pump_height=Q(0.13, "m"))

    assert made.lift.m_as("m") == pytest.approx(0.62)
    assert made.available.m_as("m") == pytest.approx(drawn().available.m_as("m") + 0.38)


def test_losses_are_those_of_the_pipe_with_a_stopped_up_strainer():
    """The same pipe by itself, the strainer's loss four times what it is clean."""
    made = drawn(length=Q(2, "m"), loss=Q(1), strainer=Q(3), stopped=Q(50, "percent"))
    pipe = pipe_loss(flow=Q(10, "L/min"), length=Q(2, "m"), bore=Q(13, "mm"), loss=Q(13))

    assert made.lost.m_as("m") == pytest.approx(pipe.head.m_as("m"), rel=1e-9)
    assert made.available.m_as("m") == pytest.approx(drawn().available.m_as("m") - pipe.head.m_as("m"))
    assert made.inlet.m_as("Pa") == pytest.approx(-999.7 * 9.80665 * (1 + pipe.head.m_as("m")))


def test_low_weather_and_thin_air_leave_less():
    """3 % of ten metres; 320 m of height."""
    assert (drawn().available - drawn(low_weather=Q(3, "percent")).available).m_as("m") == pytest.approx(0.03 * HEAD)
    thin = (air_pressure(Q(0, "m")) - air_pressure(Q(320, "m"))).m_as("Pa") / (999.7 * 9.80665)
    assert (drawn().available - drawn(altitude=Q(320, "m")).available).m_as("m") == pytest.approx(thin)


@pytest.mark.parametrize(("changed", "cause", "cure"), [
    ({"pump_height": Q(8, "m")}, "the lift", "set the pump lower"),
    ({"length": Q(60, "m")}, "friction and the strainer", "wider suction pipe"),
    ({"temperature": Q(60, "degC"), "needs": Q(7, "m")}, "the vapour of warm water", "cooler water"),
    ({"altitude": Q(4500, "m"), "needs": Q(5, "m")}, "thin air at this height", "under water"),
])
def test_a_pump_that_cannot_draw_fails_and_the_cause_is_named(changed, cause, cure):
    """Too high, too long, too warm, too far up; and what to do about it."""
    made = drawn(**changed)

    assert made.draws.verdict == "fails"
    assert made.goes == cause
    assert cause in made.draws.reason and cure in made.draws.reason
    assert drawn().draws.verdict == "meets" and ":" not in drawn().draws.reason


@pytest.mark.parametrize(("changed", "cause"), [
    ({"pump_height": Q(0.60, "m"), "temperature": Q(35, "degC")}, "the lift"),
    ({"pump_height": Q(0.55, "m"), "temperature": Q(35, "degC")}, "the vapour of warm water"),
    ({"pump_height": Q(0.40, "m"), "altitude": Q(320, "m")}, "the lift"),
    ({"pump_height": Q(0.37, "m"), "altitude": Q(320, "m")}, "thin air at this height"),
])
def test_the_cause_is_the_larger_of_two_that_are_close(changed, cause):
    """Vapour at 35 degrees takes 0.57 m, 320 m of height 0.39 m."""
    assert drawn(**changed).goes == cause


def test_needed_head_and_margin_add_up():
    """The limit is their sum."""
    made = drawn(needs=Q(4, "m"), margin=Q(1, "m"))

    assert made.draws.limit == Q(5, "m")
    assert made.highest.m_as("m") == pytest.approx(drawn().highest.m_as("m") - 1.5)


def test_a_pump_primes_less_high_in_thin_air():
    """Its label's lift goes with the pressure of the air."""
    sea, hill = drawn(dry_lift=Q(2, "m")), drawn(dry_lift=Q(2, "m"), altitude=Q(1000, "m"))

    assert sea.primes.limit.m_as("m") == pytest.approx(2)
    assert hill.primes.limit.m_as("m") == pytest.approx(2 * 89875 / 101325, rel=1e-4)
    assert drawn(dry_lift=Q(0.9, "m")).primes.verdict == "fails"
    assert hill.primes_to.m_as("m") == hill.primes.limit.m_as("m")
    assert math.isnan(drawn(priming="stands under water").primes_to.magnitude)


def test_priming_is_judged_by_how_the_pump_gets_its_first_water():
    """A foot valve needs none; a pump said to stand under water must do so."""
    assert drawn(priming="filled by hand, foot valve").primes.verdict == "does not apply"
    assert drawn(priming="stands under water").primes.verdict == "fails"
    assert drawn(priming="stands under water", pump_height=Q(-0.2, "m")).primes.verdict == "meets"


def test_priming_takes_as_long_as_the_air_in_the_pipe_to_be_thinned():
    """A pipe of 13 mm and 4 m holds 0.531 L of air: V/S ln(p / (p - rho g h)) at 3 L/min."""
    made = drawn(length=Q(4, "m"), air_rate=Q(3, "L/min"))
    volume = math.pi / 4 * 0.013**2 * 4

    assert made.priming_time.m_as("s") == pytest.approx(-volume / 5e-5 * math.log(1 - 1 / HEAD))
    assert math.isnan(drawn().priming_time.magnitude)
    assert math.isnan(drawn(air_rate=Q(3, "L/min"), pump_height=Q(11, "m")).priming_time.magnitude)
    assert drawn(air_rate=Q(3, "L/min"), length=Q(4, "m"), pump_height=Q(-1, "m")).priming_time.m_as("s") == 0


def test_a_strainer_draws_through_what_is_left_open():
    """10 L/min through half of 20 cm2 is 0.167 m/s; through 1 cm2 it is far too quick."""
    made = drawn(stopped=Q(50, "percent"))

    assert made.face_speed.m_as("m/s") == pytest.approx(1e-2 / 60 / 1e-3)
    assert made.gentle.verdict == "meets"
    assert drawn(open_area=Q(1, "cm^2")).gentle.verdict == "fails"
    assert drawn(open_area=None).gentle.verdict == "open"


def test_a_strainer_rises_as_the_raft_leans():
    """1 m out, 10 degrees: 176 mm of 500."""
    made = drawn(strainer_out=Q(1, "m"), lean=Q(10, "deg"))

    assert made.covered.m_as("mm") == pytest.approx(500 - 1000 * math.tan(math.radians(10)))
    assert made.under.verdict == "meets"
    assert drawn(strainer_out=Q(3, "m"), lean=Q(10, "deg")).under.verdict == "fails"


def test_samples_of_a_suction_agree_with_one_by_one():
    """Heights, flow, temperature, altitude and lean."""
    agrees_one_by_one(lambda pick: drawn(
        pump_height=pick([1, 8, -1], "m"), length=Q(2, "m"), flow=pick([0, 5, 10], "L/min"),
        temperature=pick([5, 20, 40], "degC"), altitude=pick([0, 500, 3000], "m"), lean=pick([0, 5, 20], "deg"),
        strainer_out=Q(1, "m"), air_rate=Q(3, "L/min")), 3)


def test_the_air_thins_with_height_and_water_boils_sooner_when_warm():
    """Both fall or rise all the way."""
    assert air_pressure(Q(-100, "m")) > air_pressure(Q(0, "m")) > air_pressure(Q(3000, "m"))
    assert vapour_pressure(Q(0, "degC")) < vapour_pressure(Q(20, "degC")) < vapour_pressure(Q(60, "degC"))
    assert thickness_of(Q(1, "degC"), Q(1000, "kg/m^3")) > thickness_of(Q(30, "degC"), Q(1000, "kg/m^3"))
    assert thickness_of(Q(1, "degC"), Q(1000, "kg/m^3")) > thickness_of(Q(1, "degC"), Q(1020, "kg/m^3"))
