"""Resin: ratio and scale."""

from __future__ import annotations

import math

import pytest

from kit.calculator import InputError
from kit.quantities import Q
from kit.resin import mix_ratio, weighing_error
from tests.one_by_one import agrees_one_by_one

DENSITIES = {"density_a": Q(1.15, "g/mL"), "density_b": Q(0.95, "g/mL")}


def ratio(a=100, b=45, by="mass", **changed):
    """100 to 45 by mass on a scale, densities known."""
    return mix_ratio(parts_a=Q(a), parts_b=Q(b), by=by, **DENSITIES | changed)


def test_a_mass_ratio_keeps_its_parts_and_divides_by_densities_for_volume():
    """45 to 100 by mass is 0.45 x 1.15 / 0.95 by volume."""
    found = ratio()

    assert found.by_mass.m_as("") == pytest.approx(0.45)
    assert found.by_volume.m_as("") == pytest.approx(0.45 * 1.15 / 0.95)
    assert found.hundred.m_as("g") == pytest.approx(45)


def test_a_volume_ratio_goes_the_other_way():
    """1 to 2 by volume is 0.5 x 0.95 / 1.15 by mass."""
    found = ratio(2, 1, "volume")

    assert found.by_volume.m_as("") == pytest.approx(0.5)
    assert found.by_mass.m_as("") == pytest.approx(0.5 * 0.95 / 1.15)


def test_there_and_back_is_the_same_ratio():
    """By volume and back by mass."""
    there = ratio()

    back = ratio(1, there.by_volume.m_as(""), "volume")
    assert back.by_mass.m_as("") == pytest.approx(0.45)


def test_the_mix_lies_between_its_components():
    """Masses add and volumes add: 145 g in 100/1.15 + 45/0.95 mL."""
    assert ratio().density.m_as("g/mL") == pytest.approx(145 / (100 / 1.15 + 45 / 0.95))
    assert 0.95 < ratio().density.m_as("g/mL") < 1.15


def test_more_of_the_lighter_component_makes_a_lighter_mix():
    """The density of the mix falls as B is added."""
    assert ratio(b=60).density < ratio(b=45).density


def test_equal_densities_make_no_difference():
    """By mass and by volume are then the same."""
    same = ratio(density_b=Q(1.15, "g/mL"))

    assert same.by_mass.m_as("") == pytest.approx(same.by_volume.m_as(""))
    assert same.wrong_way.m_as("percent") == pytest.approx(0)


def test_taking_volume_for_mass_gives_too_much_of_a_light_hardener():
    """2 to 1 by volume weighed as 2 to 1 is 50 g where 41.3 are due: a fifth too much."""
    assert ratio(2, 1, "volume").wrong_way.m_as("percent") == pytest.approx(100 * (1.15 / 0.95 - 1))
    assert ratio().wrong_way.m_as("percent") == pytest.approx(100 * (0.95 / 1.15 - 1))


def test_a_volume_ratio_on_a_scale_without_densities_is_refused():
    """The sentence stands beside both densities."""
    with pytest.raises(InputError) as refused:
        ratio(2, 1, "volume", density_a=None, density_b=None)

    assert refused.value.faults == dict.fromkeys(
        ("density_a", "density_b"),
        "the ratio is by volume but it is measured with a scale; enter both densities, such as 1.15 g/mL, "
        "or measure by what the label says")


@pytest.mark.parametrize("missing", ["density_a", "density_b"])
def test_one_density_is_not_enough(missing):
    """Neither alone converts anything."""
    with pytest.raises(InputError):
        ratio(by="volume", **{missing: None})


def test_a_mass_ratio_in_cups_without_densities_is_refused():
    """The other way round."""
    with pytest.raises(InputError, match="measured with a measuring cup"):
        ratio(measured_with="measuring cups", density_a=None, density_b=None)


def test_what_needs_no_density_works_without():
    """A mass ratio on a scale, a volume ratio in cups; the converted ratio is absent."""
    by_mass = ratio(density_a=None, density_b=None)
    by_volume = ratio(2, 1, "volume", measured_with="measuring cups", density_a=None, density_b=None)

    assert by_mass.by_mass.m_as("") == pytest.approx(0.45)
    assert math.isnan(by_mass.by_volume.magnitude) and math.isnan(by_mass.density.magnitude)
    assert by_volume.by_volume.m_as("") == pytest.approx(0.5)
    assert math.isnan(by_volume.by_mass.magnitude)


def test_the_label_is_read_out():
    """Which number is the resin."""
    assert ratio(2, 1, "volume").reads == "2 of A (resin) to 1 of B (hardener), by volume"


def test_samples_of_a_ratio_agree_with_one_by_one():
    """Parts and densities that err."""
    for by in ("mass", "volume"):
        agrees_one_by_one(lambda pick, by=by: mix_ratio(
            parts_a=Q(100), parts_b=pick([44, 45, 46], ""), by=by, density_a=pick([1.14, 1.15, 1.17], "g/mL"),
            density_b=Q(0.95, "g/mL")), 3)


def weighed(division=1.0, batch=100, part=0.45, **changed):
    """A batch of 100 to 45 on a scale of 1 g."""
    return weighing_error(division=Q(division, "g"), batch=Q(batch, "g"), ratio=Q(part), **changed)


def test_the_components_add_up_to_the_batch():
    """And stand in the ratio."""
    found = weighed()

    assert (found.component_a + found.component_b).m_as("g") == pytest.approx(100)
    assert (found.component_b / found.component_a).m_as("") == pytest.approx(0.45)


def test_the_worst_error_is_half_a_division_each_the_wrong_way():
    """Too much B and too little A."""
    a, b = 100 / 1.45, 45 / 1.45

    assert weighed().worst.m_as("") == pytest.approx((b + 0.5) / (a - 0.5) / 0.45 - 1)


def test_a_finer_scale_and_a_larger_batch_err_less():
    """Both errors fall."""
    for better in (weighed(division=0.1), weighed(batch=1000)):
        assert better.worst < weighed().worst
        assert better.standard < weighed().standard


def test_the_standard_error_goes_with_the_division():
    """Half the division is half the error."""
    assert (weighed(0.5).standard / weighed(1).standard).m_as("") == pytest.approx(0.5)


def test_the_least_batch_is_at_its_limit():
    """Weighed on the same scale, its worst error is the limit."""
    least = weighed().least_batch.m_as("g")

    assert weighed(batch=least).worst.m_as("percent") == pytest.approx(5)
    assert weighed(batch=least * 1.01).fine_enough.verdict in ("meets", "marginal")
    assert weighed(batch=least * 0.99).fine_enough.verdict == "fails"


def test_a_stricter_limit_needs_a_larger_batch():
    """2 % instead of 5."""
    assert weighed(limit=Q(2, "percent")).least_batch > weighed().least_batch


def test_a_scale_as_coarse_as_the_batch_is_refused():
    """Half a division of 20 g against 6.9 g of A."""
    with pytest.raises(InputError) as refused:
        weighed(division=20, batch=10)

    assert refused.value.faults["division"] == (
        "half a division is as much as component A itself; use a finer scale, such as one of 0.1 g")


def test_the_unit_of_a_batch_does_not_matter():
    """100 g are 3.527 oz."""
    ounces = weighing_error(division=Q(1, "g"), batch=Q(100 / 28.349523125, "oz"), ratio=Q(0.45))

    assert ounces.worst.m_as("") == pytest.approx(weighed().worst.m_as(""), rel=1e-12)


def test_samples_of_a_weighing_agree_with_one_by_one():
    """A sample whose A is less than half a division is nan, the others are not touched."""
    agrees_one_by_one(lambda pick: weighing_error(
        division=Q(1, "g"), batch=pick([20, 66, 132], "g"), ratio=pick([0.45, 0.3, 1], "")), 3)
