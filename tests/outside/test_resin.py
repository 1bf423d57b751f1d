"""Ratio and scale against printed ratios and the guide to uncertainty."""

from __future__ import annotations

import numpy as np
import pytest

from kit.quantities import Q
from kit.resin import mix_ratio, weighing_error


def half_digit(printed):
    """Half of the last digit of a printed number."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


@pytest.mark.outside("mix_ratio", "kraska.biz/?p=8323: amine 20.6 on epoxide 200 is 10.3 phr")
def test_equivalents_are_parts_by_mass():
    """Parts by mass in the ratio of the equivalents; parts for a hundred are printed to a tenth."""
    printed = "10.3"

    found = mix_ratio(parts_a=Q(200), parts_b=Q(20.6), by="mass")
    assert found.hundred.m_as("g") == pytest.approx(float(printed), abs=half_digit(printed))


@pytest.mark.outside("mix_ratio", "worked by hand with 1.15 and 0.95 g/mL")
@pytest.mark.parametrize(("parts", "by", "read", "unit", "printed"), [
    ((100, 45), "mass", "density", "g/mL", "1.0795"),
    ((2, 1), "volume", "hundred", "g", "41.304"),
    ((3, 1), "volume", "hundred", "g", "27.536"),
])
def test_conversions_worked_by_hand(parts, by, read, unit, printed):
    """To half the last digit printed."""
    found = mix_ratio(parts_a=Q(parts[0]), parts_b=Q(parts[1]), by=by,
                      density_a=Q(1.15, "g/mL"), density_b=Q(0.95, "g/mL"))

    assert getattr(found, read).m_as(unit) == pytest.approx(float(printed), abs=half_digit(printed))


@pytest.mark.outside("mix_ratio", "worked by hand with 1.15 and 0.95 g/mL")
def test_volumes_of_a_mass_ratio_worked_by_hand():
    """100 to 45 by mass is 1.8357 of A to one of B by volume."""
    found = mix_ratio(parts_a=Q(100), parts_b=Q(45), by="mass", density_a=Q(1.15, "g/mL"), density_b=Q(0.95, "g/mL"))

    assert 1 / found.by_volume.m_as("") == pytest.approx(1.8357, abs=half_digit("1.8357"))


@pytest.mark.outside("mix_ratio", "mixing two volumes drop by drop")
def test_the_mix_weighs_what_two_heaps_of_drops_weigh():
    """Ten thousand drops, one in three of B, each with its own mass and volume."""
    is_b = np.arange(9999) % 3 == 0
    volume = np.full(9999, 0.05)
    mass = np.where(is_b, 0.95, 1.15) * volume

    found = mix_ratio(parts_a=Q(2), parts_b=Q(1), by="volume", density_a=Q(1.15, "g/mL"), density_b=Q(0.95, "g/mL"))

    assert found.density.m_as("g/mL") == pytest.approx(mass.sum() / volume.sum(), rel=1e-9)
    assert found.by_mass.m_as("") == pytest.approx(mass[is_b].sum() / mass[~is_b].sum(), rel=1e-9)


@pytest.mark.outside("weighing_error", "worked by hand, 100 to 45 on a scale of 1 g; 66 g on 1 and 0.1 g")
@pytest.mark.parametrize(("batch", "division", "standard", "worst"), [
    (20, 1, "5.1", "12.1"), (100, 1, "1.02", "2.35"), (500, 1, "0.20", "0.47"),
    (66, 1, None, "3.6"), (66, 0.1, None, "0.35"),
])
def test_errors_worked_by_hand(batch, division, standard, worst):
    """In percent, to half the last digit printed."""
    found = weighing_error(division=Q(division, "g"), batch=Q(batch, "g"), ratio=Q(0.45))

    assert found.worst.m_as("percent") == pytest.approx(float(worst), abs=half_digit(worst))
    if standard is not None:
        assert found.standard.m_as("percent") == pytest.approx(float(standard), abs=half_digit(standard))


@pytest.mark.outside("weighing_error", "JCGM 101:2008, propagation of distributions, and JCGM 100:2008, 4.3.7")
def test_the_standard_error_is_that_of_many_weighings():
    """200 000 weighings, each reading anywhere within its step; three standard errors of their spread are 0.5 %."""
    drawn = np.random.default_rng(1).uniform(-0.5, 0.5, (2, 200_000))
    a, b = 100 / 1.45, 45 / 1.45
    ratios = (b + drawn[0]) / (a + drawn[1]) / 0.45

    found = weighing_error(division=Q(1, "g"), batch=Q(100, "g"), ratio=Q(0.45))

    assert found.standard.m_as("") == pytest.approx(np.std(ratios), rel=0.005)
    assert found.worst.m_as("") >= np.max(ratios) - 1
