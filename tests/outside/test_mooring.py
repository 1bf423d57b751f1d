"""Load, legs, gear and anchors of a mooring against published figures and independent methods."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, linprog, minimize

from kit.anchors import ProvedAnchor, dead_weight, pull_test
from kit.catenary import HangingLeg, hanging_lift, shape
from kit.cleats import cleat_fixing
from kit.mooring_gear import gear_strength, rope_strength
from kit.pull_down import pull_down
from kit.quantities import Q
from tests.mooring_cases import at_rest, below, caught, held, in_storm, legs, pushed
from tests.raft_cases import half_digit

# -- load --------------------------------------------------------------------------------------------

# Depth in m, force in MN: frigate of 124.36 m, draft 4.389 m, 1.5 m/s; length from memory, C0 fitted in the notes.
TABLE = [("45.7", "0.55"), ("15.2", "0.66"), ("7.62", "1.03"), ("6.096", "1.30"), ("4.572", "1.90")]


@pytest.mark.outside("weather_load", "UFC 4-159-03 (2005) Table 4-6, current on a ship broadside by depth")
@pytest.mark.parametrize(("depth", "force"), TABLE)
def test_a_current_pushes_harder_in_shallow_water(depth, force):
    """Five depths of the printed table, to the last printed digit."""
    load = pushed(
        gust=Q(0, "m/s"),
        waves=Q(0, "m"),
        current=Q(1.5, "m/s"),
        density=Q(1025, "kg/m^3"),
        draft=Q(4.389, "m"),
        depth=Q(float(depth), "m"),
        under=below(124.36 * 4.389, 0, 0.853),
    )

    assert load.current_side.m_as("N") / 1e6 == pytest.approx(float(force), abs=half_digit(force))


@pytest.mark.outside(
    "weather_load", "Munson et al., Fundamentals of Fluid Mechanics, figure 9.20: cube face-on and edge-on"
)
def test_a_cube_edge_on_is_pushed_as_published():
    """0.80 on the area seen edge-on, which is root two times the face, against 1.05 face-on."""
    load = pushed(waves=Q(0, "m"), sides=caught(1, 1.05), ends=caught(1, 1.05))
    at_45 = load.by_heading.m_as("N")[load.heading.m_as("deg") == 45][0]

    assert at_45 / load.wind_side.m_as("N") == pytest.approx(0.80 * math.sqrt(2) / 1.05, rel=1e-9)


@pytest.mark.outside("weather_load", "homeworksource.com/p/1080568, worked solution: waves of 15 m/s over 200 km")
def test_waves_by_fetch():
    """3.417 m; the solution rounds its dimensionless height to 0.149, half a digit of which is 12 mm."""
    load = pushed(gust=Q(15, "m/s"), fetch=Q(100_000, "m"), waves=None)
    # The limit of the fetch entered is 100 km; height goes with its root.
    height = load.wave_by_fetch.m_as("m") * math.sqrt(2)

    assert height == pytest.approx(3.417, abs=0.0005 * 15**2 / 9.81)


@pytest.mark.outside("weather_load", "mean force of a standing wave on a wall, pressure integrated by scipy quad")
def test_the_push_of_waves_that_are_thrown_back():
    """Bernoulli under a standing wave of twice the amplitude: the crest's part less the part of the moving water."""
    a, rho, g, k = 0.15, 1000.0, 9.80665, 2.0
    speed = math.sqrt(g * k)
    over_period = quad(lambda t: 0.5 * rho * g * (2 * a * math.cos(t)) ** 2, 0, 2 * math.pi)[0] / (2 * math.pi)
    moving = quad(lambda z: -0.5 * rho * 0.5 * (2 * a * speed * math.exp(k * z)) ** 2, -20, 0)[0]
    load = pushed(gust=Q(0, "m/s"), waves=Q(2 * a, "m"), deck_length=Q(4, "m"))

    assert load.wave_side.m_as("N") == pytest.approx(4 * (over_period + moving), rel=1e-9)
    assert load.wave_side.m_as("N") == pytest.approx(441, abs=0.5)


# -- legs --------------------------------------------------------------------------------------------


@pytest.mark.outside(
    "leg_in_storm", "MIT 2.019 lecture 13, catenary without uplift, by hand for three pulls and chains"
)
@pytest.mark.parametrize(
    ("pull", "weight", "length", "across", "tension"),
    [(1000, 12, "26.128", "25.718", "1048"), (500, 12, "18.690", "18.114", "548"), (1000, 40, "14.697", None, "1160")],
)
def test_chain_that_just_lies_flat(pull, weight, length, across, tension):
    """Length l = sqrt(h^2 + 2 h H/w), distance (H/w) asinh(w l/H), tension H + w h, at 4 m."""
    found = in_storm(
        pull=Q(pull, "N"),
        high_height=Q(4, "m"),
        low_height=Q(3, "m"),
        rope=Q(0, "m"),
        chain=Q(float(length), "m"),
        chain_weight=Q(weight, "N/m"),
    )

    assert found.flat_chain.m_as("m") == pytest.approx(float(length), abs=half_digit(length))
    assert found.tension.m_as("N") == pytest.approx(float(tension), abs=half_digit(tension))
    if across is not None:
        assert found.high_x.m_as("m")[-1] == pytest.approx(float(across), abs=half_digit(across) + half_digit(length))


def hanging(leg, pull, lift):
    """The leg from the raft down, integrated: position and lift along it until it lies on the bottom or ends."""

    def run(s, state):
        v = state[2]
        weight, soft = (leg.rope_weight, 1 / leg.stiffness) if s < leg.rope else (leg.chain_weight, 0.0)
        t = math.hypot(pull, v)
        return [pull / t * (1 + t * soft), -v / t * (1 + t * soft), -weight]

    def touches(s, state):
        return state[2]

    touches.terminal = True
    x, z, s = 0.0, 0.0, 0.0
    state = [0.0, 0.0, lift]
    for end in (leg.rope, leg.rope + leg.chain):
        made = solve_ivp(run, (s, end), state, events=touches, rtol=1e-11, atol=1e-11, max_step=0.2)
        state, s = list(made.y[:, -1]), made.t[-1]
        if made.t_events[0].size:
            break
    x, z, _ = state
    return x + (leg.rope + leg.chain - s), -z


@pytest.mark.outside("leg_in_storm", "leg of rope and chain integrated by scipy solve_ivp")
@pytest.mark.parametrize("pull", [60.0, 145.0, 1057.0, 4000.0])
def test_a_leg_of_rope_and_chain_by_integration(pull):
    """From the lift found, the integrated leg reaches the bottom at the height asked and the distance found."""
    found = in_storm(pull=Q(pull, "N"))
    leg = HangingLeg(20.0, 3.0, 0.11, 12.0, 67_500.0)
    x, z = hanging(leg, pull, found.lift.m_as("N"))

    assert z == pytest.approx(4.59, abs=1e-5)
    # A rope that lies on the bottom is stretched there too; what the integration leaves out is below a millimetre.
    assert found.high_x.m_as("m")[-1] == pytest.approx(x, abs=1e-3)


@pytest.mark.outside("leg_at_rest", "two-part catenary solved by scipy brentq at each level")
@pytest.mark.parametrize(("level", "rise"), [("high", 0.6), ("flood", 1.1)])
def test_pull_at_rest_when_the_water_rises(level, rise):
    """The closed form for a nearly straight leg is within 4 % of the whole catenary from high water on."""
    found = at_rest()
    leg = HangingLeg(20.0, 3.0, found.rope_weight.m_as("N/m"), found.chain_weight.m_as("N/m"), 67_500.0)
    height, distance = 3.99 + rise, found.distance.m_as("m")

    def off(pull):
        return float(shape(leg, pull, hanging_lift(leg, np.array(pull), np.array(height)), np.array(1.0))[0]) - distance

    exact = brentq(off, 5, 1e5)

    # The result is a tension; the horizontal pull is a little less.
    tension = math.hypot(exact, float(hanging_lift(leg, np.array(exact), np.array(height))) - leg.weight / 2)
    assert getattr(found, f"pull_{level}").m_as("N") == pytest.approx(tension, rel=0.04)


@pytest.mark.outside("leg_at_rest", "leg of rope and chain integrated by scipy solve_ivp, the anchor's place by brentq")
def test_where_the_anchor_goes():
    """Integrating the leg from the lift that carries it to the bottom ends at the anchor's place."""
    found = at_rest()
    leg = HangingLeg(20.0, 3.0, found.rope_weight.m_as("N/m"), found.chain_weight.m_as("N/m"), 67_500.0)
    lift = brentq(lambda v: hanging(leg, 145.0, v)[1] - 3.99, 10, 100, xtol=1e-10)

    assert found.distance.m_as("m") == pytest.approx(hanging(leg, 145.0, lift)[0], abs=1e-4)
    assert found.pull_down.m_as("kg") == pytest.approx(4 * lift / 9.80665, abs=1e-4)


@pytest.mark.outside("moored", "least energy of stretched legs by scipy minimize, random legs and loads")
@pytest.mark.parametrize("seed", range(12))
def test_pull_and_drift_with_a_leg_lost(seed):
    """Each leg lost in turn: the most loaded leg and the drift agree with a search for the least energy."""
    random = np.random.default_rng(seed)
    bearings = np.sort(random.uniform(0, 360, random.integers(3, 6)))
    longer = random.uniform(-0.3, 0.3, bearings.size)
    distance, rate = random.uniform(15, 23), 67_500 / 20
    wind = random.uniform(200, 2000, 2)
    found = held(
        legs=legs(bearings.tolist(), longer.tolist()),
        distance=Q(distance, "m"),
        wind_side=Q(wind[0], "N"),
        wind_end=Q(wind[1], "N"),
        wave_side=Q(0, "N"),
        wave_end=Q(0, "N"),
    )
    centre = distance * np.stack([np.cos(np.radians(bearings)), np.sin(np.radians(bearings))])
    extra = 2 * (0.80 * math.sqrt(2) / 1.05 - 1)
    for lost, bearing in enumerate(np.radians(bearings)):
        c, s = math.cos(bearing), math.sin(bearing)
        push = -np.array([wind[1] * c * (1 + extra * s * s), wind[0] * s * (1 + extra * c * c)])
        kept = np.arange(bearings.size) != lost
        for height, what in ((4.59, "pull"), (3.69, "drift")):
            reach = np.sqrt((23 + longer) ** 2 - height**2)

            def pulls(place, reach=reach, kept=kept):
                return rate * np.where(kept, np.maximum(np.hypot(*(place[:, None] - centre)) - reach, 0), 0)

            def energy(place, push=push, pulls=pulls):
                return float((pulls(place) ** 2).sum() / (2 * rate) - push @ place)

            start = push / np.hypot(*push) * 3
            tried = [
                minimize(energy, at, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-9, "maxiter": 9000})
                for at in (start, start * 4, np.zeros(2))
            ]
            best = min(tried, key=lambda one: one.fun).x
            row = found.cases[lost]
            if what == "pull":
                assert row.lost_pull.m_as("N") == pytest.approx(pulls(best).max(), rel=1e-4, abs=0.1)
            else:
                assert row.drift.m_as("m") == pytest.approx(float(np.hypot(*best)), rel=1e-4, abs=1e-3)


# -- gear and anchors --------------------------------------------------------------------------------


@pytest.mark.outside(
    "rope_strength", "examination rule for small line, nauticalinformation.blogspot.com (2008): 1/2 in nylon 5546 lb"
)
def test_the_rule_for_small_rope():
    """900 lb times circumference squared times 2.5; the rule's circumference is printed as 1.57 in."""
    rope = rope_strength(fibre="nylon", diameter=Q(0.5, "in"))

    assert rope.rule_breaking.m_as("lbf") == pytest.approx(5546, rel=2 * half_digit("1.57") / 1.57)


@pytest.mark.outside(
    "gear_strength", "UFC 4-159-03 (2005) Tables 3-7 and 6-8: factor 3, nylon 15 % weaker wet; example of the notes"
)
def test_breaking_strength_that_one_leg_needs():
    """1958 N in one leg, wet nylon, a knot that costs half: 13.8 kN."""
    gear = gear_strength(
        tension=Q(1.958, "kN"),
        lost_pull=Q(0, "N"),
        slope=Q(0, "deg"),
        breaking=Q(20, "kN"),
        kept=Q(8.5, "kN"),
        chain_breaking=Q(32, "kN"),
        shackle_limit=Q(7.3, "kN"),
    )

    assert gear.need.m_as("kN") == pytest.approx(13.8, abs=half_digit("13.8"))


@pytest.mark.outside("pull_test", "UFC 4-159-03 (2005) Table 3-7: piles and plates 3.0")
def test_the_factor_on_a_plate_or_pile():
    """1000 N asks for 3000 N."""
    test = pull_test(
        kind="ground screws or stakes", anchor_pull=Q(1, "kN"), anchors=[ProvedAnchor(name="one", proven=Q(3, "kN"))]
    )

    assert test.needed.m_as("N") == pytest.approx(3000)
    assert test.holds.passes


BLOCKS = [
    (0.3, 0, "343.2"),
    (0.3, 10, "326.0"),
    (0.3, 20, "309.4"),
    (0.5, 0, "572.1"),
    (0.5, 10, "525.7"),
    (0.5, 20, "484.0"),
]


@pytest.mark.outside("dead_weight", "greatest pull before a block slides, a linear programme by scipy linprog")
@pytest.mark.parametrize(("friction", "angle", "holds"), BLOCKS)
def test_a_concrete_block_slides(friction, angle, holds):
    """200 kg of concrete in fresh water: pull, friction and weight as a linear programme, and as worked by hand."""
    up = math.tan(math.radians(angle))
    weight = 200 * 9.80665 * (1 - 1000 / 2400)
    # Variables: horizontal pull, friction force, force on the bottom.
    made = linprog([-1, 0, 0], A_ub=[[0, 1, -friction]], b_ub=[0], A_eq=[[1, -1, 0], [up, 0, 1]], b_eq=[0, weight])
    block = dead_weight(
        kind="dead weights",
        mass=Q(200, "kg"),
        friction=Q(friction),
        pull=Q(100, "N"),
        uplift=Q(100 * up, "N"),
        density=Q(1000, "kg/m^3"),
    )

    assert block.holding.m_as("N") == pytest.approx(-made.fun, rel=1e-9)
    assert block.holding.m_as("N") == pytest.approx(float(holds), abs=half_digit(holds))


@pytest.mark.outside("dead_weight", "the notes' example: 1958 N on mud of friction 0.3 asks for 1141 kg of concrete")
def test_the_block_that_would_hold():
    """In air, without a factor."""
    block = dead_weight(
        kind="dead weights",
        mass=Q(200, "kg"),
        friction=Q(0.3),
        pull=Q(1958, "N"),
        factor=Q(1),
        density=Q(1000, "kg/m^3"),
    )

    assert block.needed_mass.m_as("kg") == pytest.approx(1141, abs=0.5)


@pytest.mark.outside(
    "cleat_fixing", "limit analysis of a bolt under a thin plate by scipy: the theory behind EN 1995-1-1 8.2.3"
)
def test_a_bolt_under_a_thin_plate():
    """Bending: 1.15 times the load whose zero shear lies at the plastic moment; bearing: 0.4 for root 2 less 1."""
    cleat = cleat_fixing(
        rules="European",
        tension=Q(1, "kN"),
        slope=Q(0, "deg"),
        limit=Q(5, "kN"),
        bolts=4,
        diameter=Q(8, "mm"),
        tensile=Q(500, "MPa"),
        washer=Q(30, "mm"),
        timber=Q(68, "mm"),
        spacing=Q(60, "mm"),
        height=Q(40, "mm"),
        density=Q(350, "kg/m^3"),
    )
    d, t = 8.0, 68.0
    bears = 0.082 * (1 - 0.01 * d) * 350 / (1.35 + 0.015 * d)
    plastic = 0.3 * 500 * d**2.6

    # The hinge lies where shear is nothing: there the moment F b - f d b^2/2 is greatest.
    def over(force):
        b = force / (bears * d)
        return force * b - bears * d * b**2 / 2 - plastic

    # Rigid: bearing turns over at a depth b; the moment about the plate is nothing.
    turned = brentq(lambda b: b**2 / 2 - (t**2 - b**2) / 2, 0, t)
    assert cleat.bending.m_as("N") / 1.15 == pytest.approx(brentq(over, 1, 1e5), rel=1e-9)
    assert cleat.bearing.m_as("N") / 0.4 * (math.sqrt(2) - 1) == pytest.approx(bears * d * (2 * turned - t), rel=1e-9)


@pytest.mark.outside("pull_down", "standard gravity, CODATA, from scipy.constants")
def test_a_pull_as_a_mass():
    """12 kg pull by 12 times standard gravity."""
    from scipy.constants import g

    assert pull_down(pull=Q(12, "kg")).newtons.m_as("N") == pytest.approx(12 * g)
