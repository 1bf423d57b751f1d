"""Ballast and float size: least mass, what cannot be levelled, how many tubes and how long."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.afloat import afloat
from kit.ballast import BallastPlace, ballast
from kit.float_size import float_size
from kit.floats import Ballast
from kit.handed import Part
from kit.quantities import Q
from kit.weighing import weigh
from tests.one_by_one import agrees_one_by_one
from tests.raft_cases import DECK, FRESH, tube


def places(arms=((1.4, 0.8), (1.4, -0.8), (-1.4, 0.8), (-1.4, -0.8)), capacity=60.0):
    """Places under the deck."""
    return tuple(
        BallastPlace(name=f"place {n}", x=Q(x, "m"), y=Q(y, "m"), z=Q(0, "m"), capacity=Q(capacity, "kg"))
        for n, (x, y) in enumerate(arms, start=1)
    )


def level(moment_x, moment_y, where=None, **given):
    """Ballast for a moment in kg m."""
    return ballast(moment_x=Q(moment_x, "kg*m"), moment_y=Q(moment_y, "kg*m"), places=where or places(), **given)


def test_the_ballast_balances_both_moments():
    """What is placed, times its arms, is the moment the other way."""
    made = level(39.3, 8.4)
    masses = [place.mass.m_as("kg") for place in made.filled]

    assert sum(m * x for m, x in zip(masses, (1.4, 1.4, -1.4, -1.4), strict=True)) == pytest.approx(-39.3)
    assert sum(m * y for m, y in zip(masses, (0.8, -0.8, 0.8, -0.8), strict=True)) == pytest.approx(-8.4)
    assert made.total.m_as("kg") == pytest.approx(39.3 / 1.4)
    assert made.can_level.verdict == "meets"


@settings(max_examples=80)
@given(mx=st.floats(-80, 80), my=st.floats(-40, 40))
def test_no_less_than_the_moment_over_the_longest_arm(mx, my):
    """The bound that every ballast obeys, and no more than two places partly filled."""
    made = level(mx, my)
    masses = np.array([place.mass.m_as("kg") for place in made.filled])

    assert made.total.m_as("kg") >= max(abs(mx) / 1.4, abs(my) / 0.8) - 1e-6
    assert ((masses > 1e-6) & (masses < 60 - 1e-6)).sum() <= 2
    assert ((masses >= 0) & (masses <= 60 + 1e-6)).all()


def test_a_level_raft_needs_none():
    """Nothing to balance, nothing placed."""
    assert level(0, 0).total.m_as("kg") == 0


def test_what_the_places_cannot_level_fails_and_says_what_is_left():
    """Two full places at one end leave the rest of the moment."""
    made = level(300, 0)

    assert made.total.m_as("kg") == pytest.approx(120)
    assert made.left_x.m_as("kg*m") == pytest.approx(300 - 120 * 1.4)
    assert made.can_level.verdict == "fails"


def test_a_place_on_the_wrong_side_cannot_help():
    """One place at the heavy end stays empty."""
    made = level(40, 0, where=places(((1.4, 0),)))

    assert made.total.m_as("kg") == 0
    assert made.can_level.verdict == "fails"


def test_placed_ballast_is_held_against_what_is_left():
    """28 kg at one point leave little; at the wrong end they double it."""

    def placed(x, y):
        return (Ballast(name="ballast", mass=Q(28, "kg"), x=Q(x, "m"), y=Q(y, "m"), z=Q(0, "m")),)

    good, bad = level(39.325, 8.385, placed=placed(-1.4, -0.28)), level(39.325, 8.385, placed=placed(1.4, 0.28))
    assert good.placed_left.m_as("kg*m") == pytest.approx(np.hypot(39.325 - 39.2, 8.385 - 7.84))
    assert good.placed_levels.verdict == "meets"
    assert bad.placed_levels.verdict == "fails"


def test_levelling_what_is_levelled_adds_nothing():
    """With the moments left by the ballast needed, none is needed."""
    first = level(39.3, 8.4)

    assert level(first.left_x.m_as("kg*m"), first.left_y.m_as("kg*m")).total.m_as("kg") == pytest.approx(0, abs=1e-9)


def test_samples_of_ballast_agree_one_by_one():
    """Moments, arms and capacities sampled, one of them beyond what can be levelled."""
    agrees_one_by_one(
        lambda pick: ballast(
            moment_x=pick([39, -20, 400], "kg*m"),
            moment_y=pick([8, 5, -3], "kg*m"),
            places=(
                *places(),
                BallastPlace(
                    name="more",
                    x=pick([0.5, 0.7, 0.6], "m"),
                    y=Q(0.2, "m"),
                    z=Q(0, "m"),
                    capacity=pick([20, 30, 40], "kg"),
                ),
            ),
        ),
        3,
    )


# -- float size ----------------------------------------------------------------------------------


def size(**changed):
    """Tubes for a load over the middle."""
    return float_size(
        **{
            "load": Q(440, "kg"),
            "diameter": Q(500, "mm"),
            "length": Q(3, "m"),
            "mass_per_metre": Q(24.3, "kg/m"),
            "ends": Q(7.4, "kg"),
            "axis": Q(-0.26, "m"),
            "density": FRESH,
            "wanted": Q(0.4, "m"),
            "count": 4,
            "deck_width": DECK["deck_width"],
            "deck_top": DECK["deck_top"],
            **changed,
        }
    )


def edge_of(count, load, length=Q(3, "m")):
    """Deck edge of a raft of so many of those tubes, unloaded, by full equilibrium."""
    tubes = [
        tube(
            str(n),
            y=Q(float(y), "m"),
            length=length,
            mass_per_metre=Q(24.3, "kg/m"),
            ends=Q(7.4, "kg"),
            foam=Q(0, ""),
        )
        for n, y in enumerate(np.linspace(-0.85, 0.85, count))
    ]
    weight = weigh(parts=[Part(name="load", mass=load, x=Q(0, "m"), y=Q(0, "m"), z=Q(0.18, "m"))], floats=tubes)
    lies = afloat(
        mass=weight.mass, x=weight.x, y=weight.y, z=weight.z, floats=tubes, density=FRESH, **DECK
    )
    return lies.deck_edge.m_as("m")


def test_lift_by_length_is_displacement_less_the_tube():
    """196.3 kg/m of water for 500 mm, less 24.3 kg/m."""
    assert size().lift.m_as("kg/m") == pytest.approx(1000 * np.pi / 4 * 0.25 - 24.3)


def test_usable_lift_stops_at_the_freeboard_wanted():
    """Half immersed when the deck edge is wanted as high above the axis as it is."""
    half = size(wanted=Q(0.148 + 0.26, "m"))

    assert half.draft_allowed.m_as("mm") == pytest.approx(250)
    assert half.usable.m_as("kg/m") == pytest.approx(1000 * np.pi / 8 * 0.25 - 24.3)


def test_the_number_needed_carries_the_load_and_one_less_does_not():
    """Whole tubes, tried in the equilibrium of the whole raft."""
    made = size(load=Q(700, "kg"))
    needed = int(made.needed.m_as(""))

    assert edge_of(needed, Q(700, "kg")) >= 0.4 > edge_of(needed - 1, Q(700, "kg"))


def test_the_length_needed_sits_exactly_at_the_freeboard_wanted():
    """Tubes of that length lie at the draft allowed."""
    made = size(load=Q(700, "kg"))
    longer = size(load=Q(700, "kg"), length=made.length_needed)

    assert longer.long_enough.share == pytest.approx(1)
    assert edge_of(4, Q(700, "kg"), made.length_needed) == pytest.approx(0.4, abs=1e-6)


def test_too_few_tubes_fail():
    """Three bought where four are needed."""
    assert size(load=Q(900, "kg"), count=4).enough.verdict in ("meets", "marginal")
    assert size(load=Q(900, "kg"), count=3).enough.verdict == "fails"


def test_tubes_that_overlap_are_told():
    """Five of 500 mm under 2.2 m overlap, four do not."""
    assert size().fit.verdict == "meets"
    assert size(count=5).fit.verdict == "fails"


def test_a_tube_heavier_than_its_usable_lift_is_never_enough():
    """No number of them carries anything, and the result says that there is none."""
    heavy = size(mass_per_metre=Q(250, "kg/m"))

    assert np.isnan(heavy.needed.magnitude)
    assert heavy.enough.verdict == "fails"


def test_samples_of_float_size_agree_one_by_one():
    """Load and diameter sampled together."""
    agrees_one_by_one(
        lambda pick: size(load=pick([400, 700, 900], "kg"), diameter=pick([500, 450, 520], "mm")), 3
    )
