"""A compartment lost and ballast against worked examples, a linear programme and energy minima."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import linprog

from kit.ballast import BallastPlace, ballast
from kit.flooded import flooded
from kit.quantities import Q
from tests.raft_cases import (
    FRESH,
    half_digit,
    hull,
)

# -- flooded ---------------------------------------------------------------------------------------


def lost(hulls, mass, z, deck_top, length, width, density=FRESH):
    """Each hull flooded in turn, nobody aboard."""
    return flooded(
        mass=Q(mass, "kg"),
        x=Q(0, "m"),
        y=Q(0, "m"),
        z=Q(z, "m"),
        floats=hulls,
        density=density,
        sharing=0,
        person_mass=Q(80, "kg"),
        leak_tested=True,
        criterion="EN 14504 (borrowed yardstick)",
        deck_length=Q(length, "m"),
        deck_width=Q(width, "m"),
        deck_top=Q(deck_top, "m"),
    )


@pytest.mark.outside("flooded", "Derrett, Ship Stability for Masters and Mates, 5th ed., p. 218, example 2 (one tenth)")
def test_a_midship_compartment_bilged():
    """Box 150 x 24 x 12 m, draft 5 m, an empty 20 m compartment amidships open to the sea: new draft 5.77 m."""
    hulls = [
        hull(2.4, 1.2, length, name=name, x=Q(x, "m"))
        for name, length, x in (("ahead", 6.5, 4.25), ("amidships", 2.0, 0), ("astern", 6.5, -4.25))
    ]
    # The book rounds KM to 11.21 and has KG 11.20; 11.15 stands a little firmer and moves the draft by nothing.
    made = lost(hulls, 1000 * 15 * 2.4 * 0.5, 1.115, 1.2, 15, 2.4).cells[1]

    assert made.name == "amidships"
    assert 10 * (1.2 - made.deck_edge.m_as("m")) == pytest.approx(5.77, abs=half_digit("5.77"))
    assert made.tilt.m_as("deg") == pytest.approx(0, abs=1e-4)


@pytest.mark.outside("flooded", "sailorsknowit.com inputs: box 40 x 6 m, draft 2 m, 10 m amidships bilged (one tenth)")
def test_a_bilged_box_sinks_to_a_third_more():
    """The waterplane left carries it at 2.667 m."""
    hulls = [
        hull(0.6, 0.5, length, name=name, x=Q(x, "m"))
        for name, length, x in (("ahead", 1.5, 1.25), ("amidships", 1.0, 0), ("astern", 1.5, -1.25))
    ]
    made = lost(hulls, 1000 * 4 * 0.6 * 0.2, 0.15, 0.5, 4, 0.6).cells[1]

    assert 10 * (0.5 - made.deck_edge.m_as("m")) == pytest.approx(2.667, abs=half_digit("2.667"))


@pytest.mark.outside(
    "flooded", "six box floats, one lost: plane of immersion solved in closed form, and minimum of energy"
)
def test_one_of_six_boxes_lost():
    """Trim 3.0486 and roll 4.5089 degrees: tilt 5.436; the deck corner over it 7 mm under water."""
    hulls = [hull(0.7, 0.5, 1.6, name=f"{x} {y}", x=Q(x, "m"), y=Q(y, "m")) for x in (-2, 0, 2) for y in (-1, 1)]
    made = lost(hulls, 1200, 0.75, 0.5, 5.6, 2.7)
    cell = made.cells[5]

    assert cell.name == "2 1"
    assert cell.tilt.m_as("deg") == pytest.approx(5.436, abs=0.001)
    assert cell.deck_edge.m_as("m") == pytest.approx(-0.007, abs=half_digit("0.007"))
    assert made.freeboard.verdict == "fails"


@pytest.mark.outside("flooded", "four box floats, one lost: minimum of energy, with and without residual lift")
@pytest.mark.parametrize(
    ("foam", "trim", "roll"), [(30, "1.926", "3.485"), (50, "1.040", "1.892"), (70, "0.501", "0.915")]
)
def test_one_of_four_boxes_lost_with_foam_in_it(foam, trim, roll):
    """Tilt from the trim and roll printed, to half their last digits."""
    hulls = [
        hull(
            0.8,
            0.5,
            2.0,
            name=f"{x} {y}",
            x=Q(x, "m"),
            y=Q(y, "m"),
            foam=Q(foam, "percent"),
            foam_density=Q(5, "kg/m^3"),
        )
        for x in (-1.6, 1.6)
        for y in (-1, 1)
    ]
    made = lost(hulls, 1000, 0.75, 0.5, 5.2, 2.8).cells[3]

    tilt = math.degrees(math.atan(math.hypot(*(math.tan(math.radians(float(a))) for a in (trim, roll)))))
    assert made.tilt.m_as("deg") == pytest.approx(tilt, abs=half_digit(trim) + half_digit(roll))


@pytest.mark.outside("flooded", "four box floats, one lost, no foam: the energy has no minimum")
def test_one_of_four_boxes_lost_turns_over():
    """The centre of gravity stands over the diagonal of the two neighbours; the check fails and says so."""
    hulls = [hull(0.8, 0.5, 2.0, name=f"{x} {y}", x=Q(x, "m"), y=Q(y, "m")) for x in (-1.6, 1.6) for y in (-1, 1)]
    made = lost(hulls, 1000, 0.75, 0.5, 5.2, 2.8)

    assert made.stays_up.verdict == "fails"
    assert "turns over" in made.stays_up.reason


# -- ballast ---------------------------------------------------------------------------------------


def tanks(capacity, names=((1.6, 1.0), (1.6, -1.0), (-1.6, 1.0), (-1.6, -1.0))):
    """Four tanks at the corners."""
    return [
        BallastPlace(name=f"{x} {y}", x=Q(x, "m"), y=Q(y, "m"), z=Q(0.15, "m"), capacity=Q(capacity, "kg"))
        for x, y in names
    ]


@pytest.mark.outside(
    "ballast", "scipy linprog, and every corner enumerated: M 1400 kg, centre (0.12, -0.05), tanks of 120 kg"
)
def test_the_least_ballast_of_four_tanks():
    """87.5 and 17.5 kg at the far end, 105 kg in all."""
    made = ballast(moment_x=Q(168, "kg*m"), moment_y=Q(-70, "kg*m"), places=tanks(120))

    assert [round(place.mass.m_as("kg"), 6) for place in made.filled] == [0, 0, 87.5, 17.5]
    assert made.total.m_as("kg") == pytest.approx(105)


@pytest.mark.outside("ballast", "scipy lsq_linear with bounds: the same with tanks of 60 kg")
def test_what_four_small_tanks_leave():
    """The best fill leaves 24.72 and -39.55 kg m: 46.64 in all; the fit is flat, so the sum is held to 0.01."""
    made = ballast(moment_x=Q(168, "kg*m"), moment_y=Q(-70, "kg*m"), places=tanks(60))

    left = math.hypot(made.left_x.m_as("kg*m"), made.left_y.m_as("kg*m"))
    assert made.can_level.verdict == "fails"
    assert left <= math.hypot(24.72, -39.55) + 0.01


@pytest.mark.outside("ballast", "scipy linprog (HiGHS) on random places")
def test_the_least_ballast_of_random_places():
    """The same least sum as the linear programme, or none in both."""
    rng = np.random.default_rng(11)
    for _ in range(60):
        count = int(rng.integers(2, 6))
        arms, most, moment = rng.uniform(-2, 2, (2, count)), rng.uniform(1, 100, count), rng.uniform(-120, 120, 2)
        places = [
            BallastPlace(
                name=str(n), x=Q(arms[0, n], "m"), y=Q(arms[1, n], "m"), z=Q(0, "m"), capacity=Q(most[n], "kg")
            )
            for n in range(count)
        ]
        made = ballast(
            moment_x=Q(moment[0], "kg*m"), moment_y=Q(moment[1], "kg*m"), places=places, within=Q(0.01, "kg*m")
        )
        solved = linprog(np.ones(count), A_eq=arms, b_eq=-moment, bounds=[(0, m) for m in most], method="highs")

        assert (made.can_level.verdict == "meets") is (solved.status == 0)
        if solved.status == 0:
            assert made.total.m_as("kg") == pytest.approx(solved.fun, abs=1e-6)
