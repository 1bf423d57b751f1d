"""Heat of a pour: ceiling, bounds, and what is said about them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.calculator import InputError
from kit.quantities import Q
from kit.resin_heat import cure_rate, pour_heat
from tests.one_by_one import agrees_one_by_one


def heated(**changed):
    """4 mm of resin at 20 degC."""
    return pour_heat(**{"depth": Q(4, "mm"), "temperature": Q(20, "degC")} | changed)


def test_the_ceiling_is_the_start_and_the_rise():
    """446 J/g over 1.7 J/g for each degree, on top of 20 degC."""
    found = heated()

    assert found.rise.m_as("delta_degC") == pytest.approx(446 / 1.7)
    assert found.ceiling.m_as("degC") == pytest.approx(20 + 446 / 1.7)


def test_a_warmer_pour_is_bounded_nearer_to_the_surface():
    """It cures faster and has less room to warm."""
    warm = heated(temperature=Q(30, "degC"))

    assert warm.rate > heated().rate
    assert warm.bound < heated().bound
    assert warm.ceiling.m_as("degC") == pytest.approx(30 + 446 / 1.7)


@pytest.mark.parametrize(("name", "value", "times"), [
    ("heat", Q(669, "J/g"), 1.5), ("density", Q(2.3, "g/mL"), 2), ("speed", Q(2), 2)])
def test_more_heat_made_lowers_both_bounds(name, value, times):
    """The film bound goes with one over heat, density and speed, the slab bound with the root of it."""
    more = heated(**{name: value})

    assert (more.film_bound / heated().film_bound).m_as("") == pytest.approx(1 / times)
    assert (more.slab_bound / heated().slab_bound).m_as("") == pytest.approx(math.sqrt(1 / times))


def test_conduction_counts_for_the_slab_and_the_surface_for_the_film():
    """Each bound has its own way out for the heat."""
    conducting = heated(conductivity=Q(0.4, "W/m/delta_degC"))
    windy = heated(surface=Q(20, "W/m^2/delta_degC"))

    assert (conducting.slab_bound / heated().slab_bound).m_as("") == pytest.approx(math.sqrt(2))
    assert conducting.film_bound == heated().film_bound
    assert (windy.film_bound / heated().film_bound).m_as("") == pytest.approx(2)
    assert windy.slab_bound == heated().slab_bound


def test_heat_through_the_wood_is_added_to_that_of_the_surface():
    """10 and 3.75 are 13.75."""
    both = heated(underside=Q(3.75, "W/m^2/delta_degC"))

    assert (both.film_bound / heated().film_bound).m_as("") == pytest.approx(1.375)


def test_the_lesser_depth_is_the_bound():
    """By the surface in still air, by conduction in a gale."""
    assert heated().bound == heated().film_bound
    gale = heated(surface=Q(100, "W/m^2/delta_degC"))

    assert gale.bound == gale.slab_bound


def test_specific_heat_moves_the_ceiling_and_no_bound():
    """The bounds are of a steady state."""
    heavy = heated(specific_heat=Q(2, "kJ/kg/delta_degC"))

    assert heavy.rise.m_as("delta_degC") == pytest.approx(223)
    assert heavy.bound == heated().bound


def test_layers_share_the_depth():
    """8 mm in two layers are 4 mm each."""
    two = heated(depth=Q(8, "mm"), layers=2)

    assert two.layer.m_as("mm") == pytest.approx(4)
    assert two.within.verdict == "meets"
    assert heated(depth=Q(8, "mm")).within.verdict == "fails"


def test_within_the_bound_is_never_called_safe():
    """Whatever the depth, a cup test is asked for, and the check says that it is an estimate."""
    for depth in (1, 4, 5.1, 8, 50):
        found = heated(depth=Q(depth, "mm"))

        assert "do a cup test of the same depth" in found.advice
        assert "never an approval" in found.within.reason
        assert "safe" not in found.advice + found.within.reason


def test_the_advice_follows_the_bound():
    """In words."""
    assert heated().advice.startswith("Within the conservative bound;")
    assert heated(depth=Q(6, "mm")).advice.startswith("Deeper than the conservative bound:")


def test_the_surface_bound_says_that_it_is_no_proof():
    """Its Biot number is 0.26, and it was made for less than 0.1; a bound so thin as to be below has no such note."""
    assert heated().biot.m_as("") == pytest.approx(0.26, abs=0.005)
    assert any("Biot numbers below 0.1" in note for note in heated().notes)
    assert not any("Biot" in note for note in heated(speed=Q(4)).notes)


def test_values_from_memory_are_named_until_they_are_replaced():
    """Specific heat and conductivity."""
    assert sum("from memory" in note for note in heated().notes) == 2
    replaced = heated(specific_heat=Q(1.6, "kJ/kg/delta_degC"), conductivity=Q(0.18, "W/m/delta_degC"))

    assert not any("from memory" in note for note in replaced.notes)


def test_cold_and_hot_components_fail():
    """60 to 100 degF are 15.6 to 37.8 degC, both allowed."""
    assert heated(temperature=Q(15, "degC")).warmth.verdict == "fails"
    assert heated(temperature=Q(16, "degC")).warmth.verdict == "meets"
    assert heated(temperature=Q(100, "degF")).warmth.verdict == "meets"
    assert heated(temperature=Q(38, "degC")).warmth.verdict == "fails"


def test_the_cup_test_is_open_until_it_is_made():
    """A peak of 60 degC passes, one above does not."""
    assert heated().cup_test.verdict == "open"
    assert heated(cup_peak=Q(60, "degC")).cup_test.verdict == "meets"
    assert heated(cup_peak=Q(61, "degC")).cup_test.verdict == "fails"


def test_the_unit_of_a_temperature_does_not_matter():
    """20 degC are 68 degF and 293.15 K."""
    for same in (Q(68, "degF"), Q(293.15, "K")):
        assert heated(temperature=same).bound.m_as("mm") == pytest.approx(heated().bound.m_as("mm"), rel=1e-9)


def test_a_depth_outside_its_limits_is_refused_in_one_sentence():
    """The input, what was given, what is allowed and an example."""
    with pytest.raises(InputError) as refused:
        heated(depth=Q(0, "mm"))

    assert str(refused.value) == (
        "pour_heat: 1 to mend\ndepth (depth of the pour): 0 mm is outside 0.05 to 500 mm, such as 4 mm")


def test_the_greatest_speed_is_greater_than_its_neighbours():
    """No other degree of cure is faster, at four temperatures."""
    for kelvin in (283.15, 293.15, 303.15, 333.15):
        rate, _ = cure_rate(kelvin)
        cured = np.linspace(1e-6, 1 - 1e-6, 20_001)
        k1, k2 = (a * math.exp(-e / 8.314462618 / kelvin) for a, e in ((35982, 54960), (3574.1, 44289)))

        assert rate >= np.max((k1 + k2 * cured**0.39845) * (1 - cured) ** 1.5361)


def test_samples_of_heat_agree_with_one_by_one():
    """Bounds, checks and ceiling."""
    agrees_one_by_one(lambda pick: heated(
        depth=pick([3, 5, 7], "mm"), temperature=pick([18, 20, 25], "degC"), speed=pick([0.5, 1, 2], ""),
        surface=pick([8, 10, 100], "W/m^2/delta_degC"), cup_peak=pick([40, 60, 90], "degC")), 3)
