"""Showing: what a person reads, within the resolution shown and on the safe side."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kit.quantities import Q, UnitError, convert, unit
from kit.showing import INCH, SHOWN, other_system
from kit.workshop import Prefs, read, show

INCHES = Prefs(system="inch")

# The unit that is shown, and the step it is shown in: one number, or what the step is below and above a size.
# Set down from the rules for shop resolution, not from the table under test. Units not listed: three figures.
STEPS = {
    "mm": 1, "cm": 0.1, "m": 0.001, "um": 1, "mil": 0.1, "g": 0.1, "oz": 0.1, "mL": 0.1, "deg": 0.1, "V": 0.01,
    "money": 0.01, "degC": 0.1, "degF": 0.1, "delta_degC": 0.1, "delta_degF": 0.1, "kg/m^3": 1, "lb/ft^3": 0.1,
    "rpm": 1,
    "in": 1 / 16, "ft": 1 / 192,
    "kg": (0.1, 100, 1), "lb": (0.1, 100, 1), "percent": (0.1, 10, 1), "s": (0.1, 10, 1), "min": (0.1, 10, 1),
    "h": (0.1, 10, 1), "d": (0.1, 10, 1), "wk": (0.1, 10, 1), "yr": (0.1, 10, 1),
}
THREE_FIGURES = ["N", "kN", "N*m", "MPa", "kPa", "psi", "J", "kWh", "W", "A", "Ah", "Wh", "L", "L/min", "m^2", "m^3",
                 "mm^2", "g/m^2", "kN/m^2", "kN/m", "m/s", "m^2/L", "ohm", "km", "t", "1/s", "lbf", "lbf*ft", "ft^2"]


def step_of(name, value):
    """The step in which a value of the unit shown is rounded."""
    step = STEPS.get(name)
    if isinstance(step, tuple):
        below, size, above = step
        return below if abs(value) < size else above
    if step is not None:
        return step
    return 10.0 ** (math.floor(math.log10(abs(value))) - 2) if value else 1.0


@pytest.mark.parametrize(("q", "name", "metric", "inch"), [
    (Q(28.575, "mm"), "mm", "29 mm", "1 1/8 in"), (Q(3724, "mm"), "mm", "3724 mm", "146 5/8 in"),
    (Q(3716, "mm"), "mm", "3716 mm", "146 5/16 in"), (Q(1.524, "m"), "m", "1.524 m", "5 ft"),
    (Q(6, "m"), "m", "6 m", "19 ft 8 1/4 in"), (Q(5.5, "ft"), "m", "1.676 m", "5 ft 6 in"),
    (Q(-100, "mm"), "m", "-0.1 m", "-3 15/16 in"), (Q(0, "m"), "m", "0 m", "0 in"), (Q(0, "mm"), "mm", "0 mm", "0 in"),
    (Q(8.6, "kg"), "kg", "8.6 kg", "19.0 lb"), (Q(675.6, "kg"), "kg", "676 kg", "1489 lb"),
    (Q(91.64, "g"), "g", "91.6 g", "91.6 g"), (Q(30.83, "deg"), "deg", "30.8°", "30.8°"),
    (Q(12.006, "V"), "V", "12.01 V", "12.01 V"), (Q(13.4, "money"), "money", "13.40 GBP", "13.40 GBP"),
    (Q(12.2, "percent"), "percent", "12 %", "12 %"), (Q(0.035), "percent", "3.5 %", "3.5 %"),
    (Q(20, "degC"), "degC", "20.0 °C", "68.0 °F"), (Q(5, "delta_degC"), "delta_degC", "5.0 °C", "9.0 °F"),
    (Q(11000, "MPa"), "MPa", "11000 MPa", "1600000 psi"), (Q(12.24, "MPa"), "MPa", "12.2 MPa", "1780 psi"),
    (Q(9.84, "L/min"), "L/min", "9.84 L/min", "9.84 L/min"),
    (Q(999.7, "kg/m^3"), "kg/m^3", "1000 kg/m³", "62.4 lb/ft³"),
    (Q(122, "N"), "N", "122 N", "27.4 lbf"), (Q(15.5, "N*m"), "N*m", "15.5 N·m", "11.4 lbf·ft"),
    (Q(2, "m^2"), "m^2", "2.00 m²", "21.5 ft²"), (Q(240), "1", "240", "240"), (Q(1234), "1", "1234", "1234"),
    (Q(0.12345), "1", "0.123", "0.123"), (Q(0.5), "1", "0.5", "0.5"), (Q(1234.4), "1", "1234", "1234"),
    (Q(148.5, "h"), "h", "149 h", "149 h"), (Q(1.25, "h"), "h", "1.3 h", "1.3 h"),
    (Q(90, "s"), "min", "1.5 min", "1.5 min"),
    (Q(3.5, "kN/m^2"), "kN/m^2", "3.50 kN/m²", "73.1 psf"), (Q(4.2, "money/m"), "money/m", "4.20 GBP/m", "1.28 GBP/ft"),
    (Q(0.17, "W/m/K"), "W/m/K", "0.170 W/m/K", "0.170 W/m/K"), (Q(1.2345e-7, "Pa"), "Pa", "1.23e-7 Pa", "1.79e-11 psi"),
    (Q(600, "rpm"), "rpm", "600 rpm", "600 rpm"), (Q(200, "g/m^2"), "g/m^2", "200 g/m²", "18.6 g/ft²"),
])
def test_a_quantity_is_shown_at_shop_resolution(q, name, metric, inch):
    """Each kind of quantity is shown to the step a workshop can measure, in both systems."""
    assert show(q, name) == metric
    assert show(q, name, prefs=INCHES) == inch


@pytest.mark.parametrize(("resolution", "metric", "inch"), [
    (5, "30 mm", "1 1/8 in"), (1, "29 mm", "1 1/8 in"), (0.5, "28.5 mm", "1 1/8 in"), (0.1, "28.6 mm", "1.127 in"),
    (0.05, "28.65 mm", "1.127 in"), (10, "30 mm", "1 in"),
])
def test_a_declared_resolution_decides_the_step(resolution, metric, inch):
    """Joints and fits are shown finer, and an inch reader gets 16ths, 32nds or thousandths to match."""
    assert show(Q(28.63, "mm"), "mm", resolution=resolution) == metric
    assert show(Q(28.63, "mm"), "mm", resolution=resolution, prefs=INCHES) == inch


def test_long_lengths_are_shown_in_tenths_of_a_foot():
    """With a resolution of 50 mm or more an inch reader sees decimal feet, and below that feet and inches."""
    assert show(Q(250, "m"), "m", resolution=0.1, prefs=INCHES) == "820.2 ft"
    assert show(Q(250, "m"), "m", resolution=0.01, prefs=INCHES) == "820 ft 2 1/2 in"


def test_thirty_seconds_are_shown_where_sixteenths_are_too_coarse():
    """With a resolution of half a millimetre inches are shown in 32nds."""
    assert show(Q(1.09375, "in"), "mm", resolution=0.5, prefs=INCHES) == "1 3/32 in"


@pytest.mark.parametrize(("value", "name", "up", "down"), [
    (28.575, "mm", "1 1/8 in", "1 1/8 in"), (28.6, "mm", "1 3/16 in", "1 1/8 in"),
    (-20.4, "mm", "-3/4 in", "-13/16 in"),
])
def test_inches_are_rounded_the_safe_way(value, name, up, down):
    """An exact sixteenth stays where it is and anything beyond goes the safe way."""
    assert show(Q(value, name), "mm", rounding="up", prefs=INCHES) == up
    assert show(Q(value, name), "mm", rounding="down", prefs=INCHES) == down


@pytest.mark.parametrize(("value", "name", "up", "near", "down"), [
    (164.2, "mm", "165 mm", "164 mm", "164 mm"), (-20.4, "mm", "-20 mm", "-20 mm", "-21 mm"),
    (0.3, "kg", "0.3 kg", "0.3 kg", "0.3 kg"), (0.1 + 0.2, "kg", "0.3 kg", "0.3 kg", "0.3 kg"),
    (-0.2, "mm", "0 mm", "0 mm", "-1 mm"), (2.5, "mm", "3 mm", "3 mm", "2 mm"), (-2.5, "mm", "-2 mm", "-3 mm", "-3 mm"),
    (0.15, "kg", "0.2 kg", "0.2 kg", "0.1 kg"),
    (999.6, "N", "1000 N", "1000 N", "999 N"), (9.96, "percent", "10.0 %", "10.0 %", "9.9 %"),
])
def test_rounding_goes_the_way_that_is_asked(value, name, up, near, down):
    """Up, near and down differ by at most one step, nothing is shown as minus nought, and halves go outward."""
    shown = [show(Q(value, name), name, rounding=way) for way in ("up", "near", "down")]
    assert shown == [up, near, down]


@given(
    st.floats(-1e6, 1e6) | st.integers(-10_000, 10_000).map(lambda n: n / 16) | st.integers(-9999, 9999).map(float),
    st.sampled_from([*STEPS, *THREE_FIGURES]),
    st.sampled_from(["near", "up", "down"]),
    st.sampled_from(["metric", "inch"]),
)
@example(28.575, "mm", "up", "inch")
@example(0.3, "m", "down", "metric")
@example(99.96, "kg", "near", "metric")
@example(-1e-9, "mm", "down", "inch")
def test_reading_what_was_shown_gives_the_value_back(value, name, rounding, system):
    """Text shown reads back within the step shown, and on the safe side, in both systems and for every kind."""
    if name not in STEPS and abs(value) < 1e-9:
        value = 0.0
    q = Q(value, name)
    seen = other_system(name, "inch") if system == "inch" else name
    true = convert(q, unit(seen)).magnitude
    text = show(q, name, rounding=rounding, prefs=Prefs(system=system))
    back = convert(read(text, seen, difference=name.startswith("delta_")), unit(seen)).magnitude
    step = step_of(seen, true)
    # Rounding forgives 1e-9 of a step; a float of this size carries a few parts in 1e15.
    slack = 1e-8 * step + 1e-14 * abs(true)
    if rounding == "near":
        assert abs(back - true) <= step / 2 + slack
    elif rounding == "up":
        assert -slack <= back - true <= step + slack
    else:
        assert -slack <= true - back <= step + slack


@given(st.floats(-1e5, 1e5), st.sampled_from([50, 10, 5, 1, 0.5, 0.1, 0.05, 0.01, 0.001]),
       st.sampled_from(["mm", "m", "kg", "N", "V", "degC", "1", "kg/m^3"]), st.sampled_from(["near", "up", "down"]),
       st.sampled_from(["metric", "inch"]))
def test_a_declared_resolution_is_kept_in_both_systems(value, resolution, name, rounding, system):
    """Whatever resolution is declared, text shown reads back within it, except that a rule has its own fractions."""
    q = Q(value, name)
    text = show(q, name, resolution=resolution, rounding=rounding, prefs=Prefs(system=system))
    back = convert(read(text, name), unit(name)).magnitude
    step = resolution
    if system == "inch" and name in ("mm", "m"):
        millimetres = resolution * (1000 if name == "m" else 1)
        # Half inches from 10 mm, 16ths from 1, 32nds above 0.1, else thousandths; feet in tenths from 50 mm.
        rules = ((10, 25.4 / 2), (1, 25.4 / 16), (0.1001, 25.4 / 32), (0, 0.0254))
        rule = next(size for least, size in rules if millimetres >= least)
        if name == "m" and millimetres >= 50:
            rule = 30.48
        step = rule / (1000 if name == "m" else 1)
    slack = 1e-8 * step + 1e-12 * (abs(value) + 300)
    assert abs(back - value) <= (step / 2 if rounding == "near" else step) + slack
    if rounding != "near":
        assert (back - value if rounding == "up" else value - back) >= -slack


def test_what_does_not_exist_is_said_in_words():
    """Nan and endless values are shown in words."""
    assert show(Q(math.nan, "mm"), "mm") == "not worked out"
    assert show(Q(math.inf, "kN"), "kN", prefs=INCHES) == "no limit"
    assert show(Q(-math.inf, "kN"), "kN") == "no limit"


@pytest.mark.parametrize(("values", "name", "metric", "inch"), [
    ([12, 340.4, 100], "mm", "3 values, 12 to 340 mm", "3 values, 1/2 to 13 3/8 in"),
    ([1.0, math.nan, 3.0], "deg", "3 values, 1.0 to 3.0°, 1 not worked out", "3 values, 1.0 to 3.0°, 1 not worked out"),
    ([5, 5], "kg", "2 values, 5.0 kg", "2 values, 11.0 lb"), ([7], "mm", "1 value, 7 mm", "1 value, 1/4 in"),
    ([math.nan], "mm", "not worked out", "not worked out"), ([], "mm", "no values", "no values"),
    ([1, math.inf], "m", "2 values, 1 m to no limit", "2 values, 3 ft 3 3/8 in to no limit"),
    ([1.524, 1.8288], "m", "2 values, 1.524 to 1.829 m", "2 values, 5 ft to 6 ft"),
    ([[1, 2], [3, 4]], "1", "4 values, 1 to 4", "4 values, 1 to 4"),
])
def test_many_values_are_shown_by_their_range(values, name, metric, inch):
    """An array is shown by the number of its values and their range, and says how many do not exist."""
    q = Q(np.array(values, dtype=float), name)
    assert show(q, name) == metric
    assert show(q, name, prefs=INCHES) == inch


def test_money_is_shown_in_the_currency_of_the_build():
    """Money carries the code of the build's currency and as many decimals as that currency has."""
    assert show(Q(13.4, "money"), "money", prefs=Prefs(currency="EUR")) == "13.40 EUR"
    assert show(Q(1340.4, "money"), "money", prefs=Prefs(currency="JPY")) == "1340 JPY"
    assert show(Q(1340.4, "money"), "money", resolution=0.01, prefs=Prefs(currency="JPY")) == "1340 JPY"
    assert show(Q(4523.6, "money"), "money", resolution=1) == "4524 GBP"


def test_showing_changes_no_stored_value():
    """The quantity is the same object with the same value and unit after it was shown in either system."""
    q = Q([1.0, 2.0], "ft")
    show(q, "mm", prefs=INCHES)
    show(q, "m")
    assert q.magnitude.tolist() == [1.0, 2.0]
    assert q.units == unit("ft")


def test_a_quantity_may_keep_its_own_unit():
    """Without a unit to show in, the quantity's own is used."""
    assert show(Q(2, "kg"), "") == "2.0 kg"
    assert show(Q(1.125, "in"), "") == "1 1/8 in"
    assert show(Q(12, "percent"), "") == "12 %"
    assert show(Q(3), "") == "3"


def test_the_unit_library_s_own_spelling_of_a_unit_is_understood():
    """A unit may be named as the unit library prints it."""
    for name in ("delta_degC", "kg/m^3", "kN/m^2", "percent", "ohm", "1/s"):
        q = Q(5, name)
        assert show(q, f"{q.units:~C}") == show(q, name)


def test_a_wrong_kind_is_an_error():
    """A mass cannot be shown in millimetres."""
    with pytest.raises(UnitError, match="kg is not an amount in mm"):
        show(Q(1, "kg"), "mm")


def test_a_temperature_difference_is_shown_as_one():
    """With `difference` a degree Celsius is a step of 1.8 degrees Fahrenheit, without the offset."""
    assert show(Q(5, "K"), "degC", difference=True) == "5.0 °C"
    assert show(Q(5, "delta_degC"), "degC", difference=True, prefs=INCHES) == "9.0 °F"


@pytest.mark.parametrize("size", [1e12, 1e15, 1e30, 1e300])
def test_senseless_sizes_are_shown_shortly(size):
    """Values far beyond a workshop are shown without rows of digits that mean nothing, and without a crash."""
    for name in ("mm", "m", "kN", "1", "degC", "money"):
        for prefs in (Prefs(), INCHES):
            assert len(show(Q(-size, name), name, resolution=0.001, prefs=prefs)) < 32


def test_the_tables_name_units_of_the_kit_that_measure_the_same():
    """Each entry of the tables names units of the kit, and an inch unit measures what its metric one does."""
    assert all(unit(name) is not None for name in SHOWN)
    for metric, inch in INCH.items():
        assert unit(metric).dimensionality == unit(inch).dimensionality
    # A unit that this test's own rules list is in the table, and the other way round.
    assert set(SHOWN) == set(STEPS) - {"in", "ft", "money"}
