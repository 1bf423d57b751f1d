"""Water held up above its surface by the air."""

from __future__ import annotations

import pytest

from kit.calculator import InputError
from kit.held_column import held_column
from kit.liquid_water import vapour_pressure
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

WEIGHT = 999.7 * 9.80665


def held(**changed):
    """Half a metre at the sea's level in fine weather."""
    return held_column(**{"height": Q(0.5, "m"), "low_weather": Q(0, "percent")} | changed)


def test_pressure_falls_by_the_weight_of_the_water():
    """Half a metre: 4.9 kPa below the air, which presses like 500 kg on a square metre."""
    made = held(wall=Q(2, "m^2"))

    assert made.top_pressure.m_as("Pa") == pytest.approx(-0.5 * WEIGHT)
    assert made.inward.m_as("kg/m^2") == pytest.approx(0.5 * 999.7)
    assert made.push.m_as("N") == pytest.approx(0.25 * WEIGHT * 2)


def test_the_limit_is_air_less_vapour_over_weight():
    """Warmer water and thinner air hold up less."""
    made = held(warmest=Q(20, "degC"))

    assert made.limit.m_as("m") == pytest.approx((101325 - vapour_pressure(Q(20, "degC")).m_as("Pa")) / WEIGHT)
    assert held(warmest=Q(50, "degC")).limit < made.limit
    assert held(warmest=Q(20, "degC"), altitude=Q(1000, "m")).limit < made.limit
    assert held(warmest=Q(20, "degC"), low_weather=Q(3, "percent")).limit.m_as("m") == pytest.approx(
        (0.97 * 101325 - vapour_pressure(Q(20, "degC")).m_as("Pa")) / WEIGHT)


def test_only_a_share_of_the_limit_may_be_used():
    """Six tenths by default: 5.9 m of 9.8; nothing is held up below the surface."""
    assert held(height=Q(5.8, "m"), warmest=Q(30, "degC")).stands.passes
    assert held(height=Q(6.2, "m"), warmest=Q(30, "degC")).stands.verdict == "fails"
    assert held(height=Q(6.2, "m"), warmest=Q(30, "degC"), share=Q(90, "percent")).stands.passes
    assert held(height=Q(0, "m")).stands.verdict == "does not apply"
    assert held(height=Q(-1, "m")).top_pressure.m_as("Pa") == 0


def test_without_trapped_air_nothing_falls():
    """Warm water stays where it is until it boils."""
    made = held()

    assert made.water == Q(0.5, "m")
    assert made.falls.m_as("mm") == pytest.approx(0, abs=1e-6)


def test_trapped_air_lets_the_water_down_as_it_warms():
    """Its pressure, its volume and the water's level balance: p V / T is kept, vapour apart."""
    made = held(trapped=Q(50, "mm"), filled_at=Q(10, "degC"), warmest=Q(40, "degC"))
    level, filled = made.warm_water.m_as("m"), 0.45
    cold, warm = (vapour_pressure(Q(t, "degC")).m_as("Pa") for t in (10, 40))

    assert made.water.m_as("m") == pytest.approx(filled)
    assert level < filled
    assert made.falls.m_as("mm") == pytest.approx(1000 * (filled - level))
    before = (101325 - WEIGHT * filled - cold) * (0.5 - filled) / 283.15
    after = (101325 - WEIGHT * level - warm) * (0.5 - level) / 313.15
    assert after == pytest.approx(before, rel=1e-9)


def test_the_same_temperature_leaves_the_level():
    """Nothing warmed, nothing moved."""
    made = held(trapped=Q(50, "mm"), filled_at=Q(20, "degC"), warmest=Q(20, "degC"))

    assert made.falls.m_as("mm") == pytest.approx(0, abs=1e-6)


def test_more_air_than_there_is_room_is_refused():
    """Beside both boxes."""
    with pytest.raises(InputError) as refused:
        held(trapped=Q(600, "mm"))

    assert refused.value.faults == dict.fromkeys(
        ("trapped", "height"), "there cannot be more air at the top than the space is high; such as 20 mm of 1.65 m")


def test_samples_of_a_column_agree_with_one_by_one():
    """Height, air, temperatures and altitude."""
    agrees_one_by_one(lambda pick: held(
        height=pick([0.5, 1.5, 8], "m"), trapped=pick([0, 50, 20], "mm"), warmest=pick([10, 40, 60], "degC"),
        altitude=pick([0, 300, 900], "m")), 3)
