"""A lid let go, against an integration in time and the balance of energy; and again leaning, wet and under snow."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from kit.calculator import InputError, declared
from kit.lid_again import LidAgain, lid_again
from kit.lid_motion import LidMotion, lid_motion
from kit.lid_weight import LidExtra, lid_weight
from kit.lids import strut_balance
from kit.quantities import Q
from tests.lid_cases import CASES, agrees_one_by_one
from tests.lid_energy import EnergyLid

outside = pytest.mark.outside


def of(calculator: Any, name: str, **changed: Any) -> Any:
    """A calculator with what it needs of a case, some inputs changed."""
    kinds = declared(calculator).inputs
    return calculator(**{key: value for key, value in (CASES[name] | changed).items() if key in kinds})


def moved(name: str, **changed: Any) -> LidMotion:
    """The motion of a case."""
    result: LidMotion = of(lid_motion, name, **changed)
    return result


def again(name: str, **changed: Any) -> LidAgain:
    """The states of a case."""
    result: LidAgain = of(lid_again, name, **changed)
    return result


def energy_lid(name: str, share: float = 1.0) -> EnergyLid:
    """A case by its energy, its strut as strong as `share` says."""
    c = CASES[name]

    def si(key: str, unit: str, absent: float = 0.0) -> float:
        return float(c[key].m_as(unit)) if key in c else absent

    return EnergyLid(
        si("mass", "kg"),
        si("centre", "m"),
        si("centre_above", "m"),
        si("fall", "rad"),
        si("lid_mount_along", "m"),
        si("lid_mount_above", "m"),
        si("body_mount_along", "m"),
        si("body_mount_above", "m"),
        si("force", "N") * share,
        si("force_ratio", ""),
        si("extended", "m"),
        si("stroke", "m"),
        int(c.get("struts_fitted", 1)),
    )


def integrated(
    lid: EnergyLid, inertia: float, start: float, end: float, friction: float = 0.0, damping: float = 0.0
) -> tuple[float, float]:
    """Time and rate at the end by an integration in time, moments taken from the slope of the energy."""
    way = np.sign(end - start)

    def slope(_: float, state: Any) -> list[float]:
        angle, rate = state
        arm = float(lid.arm(angle))
        torque = (
            -float(lid.closing(angle)) - way * lid.count * friction * abs(arm) - lid.count * damping * arm**2 * rate
        )
        return [rate, torque / inertia]

    def lands(_: float, state: Any) -> float:
        return float(state[0] - end)

    lands.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(slope, (0, 30), [start, 0.0], events=lands, rtol=1e-9, atol=1e-11)
    return float(run.t_events[0][0]), float(abs(run.y_events[0][0][1]))


@outside("lid_motion", "scipy.integrate.solve_ivp in time, moments from the slope of the energy")
@pytest.mark.parametrize("name", ["plain", "over-centre", "locker"])
@pytest.mark.parametrize("damping", [0, 400])
def test_shutting_agrees_with_an_integration_in_time(name: str, damping: float) -> None:
    """Time and speed of the edge agree to 0.3 % undamped, and to 1.5 % with damping."""
    c = CASES[name]
    ours = moved(name, damping=Q(damping, "N*s/m"))
    share = float(c["worn"].m_as("") * c["cold"].m_as("K") / 293.15)
    time, rate = integrated(
        energy_lid(name, share),
        ours.inertia.m_as("kg*m^2"),
        ours.shut_from.m_as("rad"),
        0.0,
        c["friction"].m_as("N"),
        damping,
    )
    near = 0.015 if damping else 0.003
    assert ours.shut_time.m_as("s") == pytest.approx(time, rel=near)
    assert ours.shut_speed.m_as("m/s") == pytest.approx(rate * c["depth"].m_as("m"), rel=near)


@outside("lid_motion", "scipy.integrate.solve_ivp in time, moments from the slope of the energy")
@pytest.mark.parametrize("name", ["plain", "over-centre", "locker"])
def test_opening_agrees_with_an_integration_in_time(name: str) -> None:
    """A lid that rises hot and new arrives when and as fast as the integration says, to 0.3 %."""
    c = CASES[name]
    ours = moved(name)
    lid = energy_lid(name, float(c["hot"].m_as("K") / 293.15))
    time, rate = integrated(
        lid, ours.inertia.m_as("kg*m^2"), ours.open_from.m_as("rad"), c["opening"].m_as("rad"), c["friction"].m_as("N")
    )
    assert ours.open_time.m_as("s") == pytest.approx(time, rel=0.003)
    assert ours.open_speed.m_as("m/s") == pytest.approx(rate * c["depth"].m_as("m"), rel=0.003)


@outside(
    "lid_motion", "conservation of energy: what arrives is what was stored, strut work by integration over its length"
)
@settings(max_examples=40, deadline=None, phases=[Phase.generate])
@given(
    p=st.floats(0.06, 0.25),
    q=st.floats(-0.06, 0.0),
    x=st.floats(0.25, 0.5),
    y=st.floats(-0.3, -0.08),
    force=st.floats(20, 120),
    mass=st.floats(6, 20),
    centre=st.floats(0.2, 0.4),
)
def test_what_arrives_is_what_was_stored(
    p: float, q: float, x: float, y: float, force: float, mass: float, centre: float
) -> None:
    """Without friction or damping the energy at the end is the difference of the energies, on random geometries."""
    lid = EnergyLid(mass, centre, 0.0, 0.0, p, q, x, y, force, 1.25, 1.0, 0.95)
    ours = moved(
        "plain",
        mass=Q(mass, "kg"),
        centre=Q(centre, "m"),
        lid_mount_along=Q(p, "m"),
        lid_mount_above=Q(q, "m"),
        body_mount_along=Q(x, "m"),
        body_mount_above=Q(y, "m"),
        force=Q(force, "N"),
        force_ratio=Q(1.25),
        extended=Q(1.0, "m"),
        stroke=Q(0.95, "m"),
        cold=Q(20, "degC"),
        hot=Q(20, "degC"),
    )
    start = ours.shut_from.m_as("rad")
    if np.isfinite(start):
        assert ours.shut_energy.m_as("J") == pytest.approx(float(lid.energy(start) - lid.energy(0.0)), abs=2e-4)
    if np.isfinite(start := ours.open_from.m_as("rad")):
        assert ours.open_energy.m_as("J") == pytest.approx(
            float(lid.energy(start) - lid.energy(np.radians(85))), abs=2e-4
        )


@outside("strut_balance", "slope of the energy on random geometries")
@settings(max_examples=60, deadline=None, phases=[Phase.generate])
@given(
    p=st.floats(-0.1, 0.4),
    q=st.floats(-0.2, 0.2),
    x=st.floats(-0.3, 0.6),
    y=st.floats(-0.6, -0.25),
    fall=st.floats(-30, 30),
    opening=st.floats(20, 150),
)
def test_the_struts_moment_is_the_slope_of_its_energy(
    p: float, q: float, x: float, y: float, fall: float, opening: float
) -> None:
    """Net moment = slope of the energy at every angle of the swing, whatever the geometry, to 0.001 N m."""
    lid = EnergyLid(12, 0.3, 0.02, np.radians(fall), p, q, x, y, 150, 1.3, 1.4, 1.3)
    made = strut_balance(
        **(
            CASES["plain"]
            | {
                "centre_above": Q(20, "mm"),
                "fall": Q(fall, "deg"),
                "opening": Q(opening, "deg"),
                "lid_mount_along": Q(p, "m"),
                "lid_mount_above": Q(q, "m"),
                "body_mount_along": Q(x, "m"),
                "body_mount_above": Q(y, "m"),
                "extended": Q(1.4, "m"),
                "stroke": Q(1.3, "m"),
            }
        )
    )
    angle = made.angle.m_as("rad")
    # The clip at either end of the stroke has a corner, which no slope straddles.
    inside = (lid.length(angle) > 0.101) & (lid.length(angle) < 1.399)
    assert np.allclose(made.net_nominal.m_as("N*m")[inside], lid.closing(angle)[inside], atol=1e-3)


def test_a_free_fall_is_that_of_the_even_board() -> None:
    """0.5 m from 60 degrees: 3.569 m/s in 0.3402 s with 25.48 J, as the closed formula of an even board has it."""
    fell = moved("plain", struts_fitted=0, centre=Q(250, "mm"), depth=Q(500, "mm"), opening=Q(60, "deg"))
    assert fell.free_speed.m_as("m/s") == pytest.approx(3.569, abs=5e-4)
    assert fell.free_time.m_as("s") == pytest.approx(0.3402, abs=5e-5)
    assert fell.free_energy.m_as("J") == pytest.approx(25.48, abs=5e-3)


def test_a_lid_past_upright_is_let_go_where_it_tips() -> None:
    """Opening 110 degrees it does not fall from there, but from two degrees short of upright."""
    assert moved("plain", opening=Q(110, "deg")).free_from.m_as("deg") == pytest.approx(88, abs=0.01)


def test_a_lid_that_springs_open_rises_from_shut_and_never_falls() -> None:
    """Its motion begins at nothing, and there is no angle from which it shuts."""
    one = moved("springs open")
    assert one.open_from.m_as("deg") == 0 and np.isnan(one.shut_from.m_as("deg"))
    assert "rises from 0 degrees" in one.in_words


def test_damping_slows_and_a_worn_strut_quickens() -> None:
    """Each acts in its direction on the speed of the edge."""
    plain = moved("locker").shut_speed
    assert moved("locker", damping=Q(300, "N*s/m")).shut_speed < plain
    assert moved("locker", worn=Q(0.6)).shut_speed > plain


def test_a_toy_box_wants_a_lid_that_drops_from_no_angle() -> None:
    """The demo's lid falls and fails; one that springs open does not drop; unasked it does not apply."""
    assert moved("locker", rule="toy box").never_drops.verdict == "fails"
    assert moved("springs open", rule="toy box").never_drops.verdict == "meets"
    assert moved("locker").never_drops.verdict == "does not apply"
    assert moved("locker", edge_limit=Q(1, "m/s")).shuts_gently.verdict == "fails"


def test_samples_of_motion_and_states_equal_single_calls() -> None:
    """Arrays give what each sample gives alone."""
    for calculator in (lid_motion, lid_again):
        kinds = declared(calculator).inputs
        agrees_one_by_one(calculator, {key: value for key, value in CASES["locker"].items() if key in kinds})


# -- again ----------------------------------------------------------------------------------------------------------


def test_leaning_is_the_same_as_another_fall() -> None:
    """The states leaning 7 degrees are those of a lid with 7 degrees more and less of fall, by the other calculator."""
    states = {one.name: one for one in again("locker").states}
    for name, fall in (("leaning to the front", 9), ("leaning to the back", -5), ("as fitted, level", 2)):
        other = strut_balance(**(CASES["locker"] | {"fall": Q(fall, "deg")}))
        for ours, theirs in (
            ("shut", "shut"),
            ("hold", "hold"),
            ("hand_open", "hand_open"),
            ("hand_close", "hand_close"),
        ):
            assert getattr(states[name], ours).magnitude == pytest.approx(getattr(other, theirs).magnitude, rel=1e-9)
        assert states[name].balances == f"{other.balance_nominal.m_as('deg'):.1f}°"


def test_a_wet_lid_is_the_same_as_a_heavier_one() -> None:
    """Wet through it is worked out as the other calculator does with its wet mass."""
    one = again("locker", wet_mass=Q(9.7, "kg"))
    other = strut_balance(**(CASES["locker"] | {"mass": Q(9.7, "kg")}))
    assert one.hold_wet.magnitude == pytest.approx(other.hold.magnitude, rel=1e-9)
    assert one.hand_wet.magnitude == pytest.approx(other.hand_open.magnitude, rel=1e-9)


def test_leaning_by_the_energy() -> None:
    """What holds the leaning lid open, cold and worn, is the slope of its energy there."""
    lid = energy_lid("locker", 0.85 * 263.15 / 293.15).leaning(np.radians(7))
    assert again("locker").hold_leaning.m_as("N*m") == pytest.approx(-float(lid.closing(np.radians(80))), abs=1e-4)


def test_snow_adds_its_moment_at_the_handle() -> None:
    """20 kg in the middle of the lid want 20 g x 320/620 more at the handle; without snow nothing is said."""
    dry, snowed = again("locker"), again("locker", snow=Q(20, "kg"), snow_centre=Q(320, "mm"))
    first = strut_balance(**CASES["locker"]).open_cold.m_as("N")[0]
    assert np.isnan(dry.hand_snow.magnitude)
    assert snowed.hand_snow.m_as("N") - first == pytest.approx(
        20 * 9.80665 * 320 / 620 * np.cos(np.radians(2)), abs=1e-6
    )


def test_what_springs_open_is_said_to() -> None:
    """The word is in its states and in the sentence; a light lid with a strong strut needs no hand at all."""
    assert again("springs open").states[0].does == "springs open"
    assert again("springs open", mass=Q(2, "kg")).in_words.startswith("springs open")


def test_states_that_are_not_known_are_left_out_and_open() -> None:
    """Without lean and wet mass two states remain and their checks wait."""
    one = again("plain")
    assert [state.name for state in one.states] == ["as fitted, level", "struts off, level"]
    assert one.stays_shut_leaning.verdict == one.stays_open_wet.verdict == "open"


def test_spring_hinges_take_their_moment_off_the_weight() -> None:
    """Five newton metres less a tenth a degree: the net moment is smaller by that, and by nothing once unwound."""
    plain, helped = (
        strut_balance(**CASES["plain"]),
        strut_balance(**CASES["plain"], spring=Q(5, "N*m"), spring_rate=Q(0.1, "N*m/deg")),
    )
    gone = (plain.net_nominal - helped.net_nominal).m_as("N*m")
    assert np.allclose(gone, np.maximum(5 - 0.1 * plain.angle.m_as("deg"), 0), atol=1e-9)


def test_friction_hinges_hold_it_open_and_are_felt_by_the_hand() -> None:
    """What they hold is added to the moment that keeps it open; their friction adds to the hand both ways."""
    plain = strut_balance(**CASES["plain"])
    stiff = strut_balance(**CASES["plain"], hinge_friction=Q(3, "N*m"), hinge_hold=Q(2, "N*m"))
    assert (stiff.hold - plain.hold).m_as("N*m") == pytest.approx(2)
    assert (stiff.hand_open - plain.hand_open).m_as("N") == pytest.approx(5)
    assert (stiff.hand_close - plain.hand_close).m_as("N") == pytest.approx(5)


def test_a_lid_without_struts_is_worked_out_too() -> None:
    """No strut: it falls from everywhere, and only springs or friction hold it."""
    bare = strut_balance(**(CASES["plain"] | {"struts_fitted": 0}))
    assert np.allclose(bare.net_nominal.m_as("N*m"), bare.gravity.m_as("N*m"))
    assert "needs a prop" in bare.leaning_to


# -- weight ---------------------------------------------------------------------------------------------------------

LID = {
    "panel": Q(8.6, "kg"),
    "panel_wet": Q(9.7, "kg"),
    "panel_centre": Q(315, "mm"),
    "depth": Q(640, "mm"),
    "width": Q(550, "mm"),
}


def test_the_centre_is_where_the_sum_of_moments_is() -> None:
    """Edging, glass and a counterweight against the sum by complex places."""
    extras = [
        LidExtra(name="edging", mass=Q(0.8, "kg"), along=Q(320, "mm"), above=Q(5, "mm"), soaks=Q(10, "percent")),
        LidExtra(name="glass", mass=Q(2, "kg"), along=Q(400, "mm"), above=Q(12, "mm")),
        LidExtra(name="counterweight", mass=Q(3, "kg"), along=Q(-120, "mm"), above=Q(-30, "mm")),
    ]
    lid = lid_weight(**LID, extras=extras, panel_above=Q(2, "mm"), pin_behind=Q(10, "mm"))
    parts = np.array([8.6, 0.8, 2, 3])
    places = np.array([325 + 2j, 320 + 5j, 400 + 12j, -120 - 30j])
    centre = np.average(places, weights=parts)
    assert lid.mass.m_as("kg") == pytest.approx(14.4)
    assert (lid.centre.m_as("mm"), lid.centre_above.m_as("mm")) == pytest.approx((centre.real, centre.imag))
    assert lid.wet_mass.m_as("kg") == pytest.approx(14.4 + 1.1 + 0.08)


def test_a_counterweight_that_just_balances_leaves_no_moment() -> None:
    """The mass for which the centre comes over the pin, by root finding, leaves no moment; more is refused."""

    def moment(mass: float) -> float:
        extra = LidExtra(name="counterweight", mass=Q(mass, "kg"), along=Q(-200, "mm"))
        return 8.6 * 315 - mass * 200 if mass > 13.5 else lid_weight(**LID, extras=[extra]).moment.m_as("N*m")

    mass = 8.6 * 315 / 200
    assert mass == pytest.approx(brentq(moment, 1, 20), abs=1e-6)
    with pytest.raises(InputError, match="outweighs the lid and holds it open"):
        lid_weight(**LID, extras=[LidExtra(name="counterweight", mass=Q(mass + 0.1, "kg"), along=Q(-200, "mm"))])


def test_snow_is_depth_times_density_times_area() -> None:
    """300 mm of 200 kg/m3 on 550 x 640 mm weigh 21.1 kg."""
    lid = lid_weight(**LID, snow=Q(300, "mm"))
    assert lid.snow_mass.m_as("kg") == pytest.approx(0.3 * 200 * 0.55 * 0.64)
    assert lid.with_snow.m_as("kg") == pytest.approx(9.7 + 0.3 * 200 * 0.55 * 0.64)
