"""The registry: its factors against outside lists, its names, and what it takes over and refuses."""

from __future__ import annotations

import pickle

import numpy as np
import pint
import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from kit.quantities import (
    MEANT,
    UNITS,
    Q,
    Quantity,
    UnitError,
    adopt,
    convert,
    is_absolute,
    is_quantity,
    same_kind,
    spell,
    unit,
    ureg,
)

# Each unit beside the name that scipy.constants has for its value in SI base units.
SCIPY = {
    "inch": "inch", "foot": "foot", "yard": "yard", "mil": "mil", "micron": "micron", "lb": "pound", "oz": "ounce",
    "lbf": "lbf", "kgf": "kgf", "psi": "psi", "bar": "bar", "deg": "degree", "min": "minute", "h": "hour", "d": "day",
    "wk": "week", "yr": "Julian_year", "L": "liter", "g": "gram", "t": "metric_ton",
}

# Conversion factors to SI as printed in NIST Special Publication 811 (2008), appendix B; from memory.
PRINTED = {
    "in": ("2.54 E-02", "m"), "ft": ("3.048 E-01", "m"), "yd": ("9.144 E-01", "m"), "mil": ("2.54 E-05", "m"),
    "lb": ("4.535924 E-01", "kg"), "oz": ("2.834952 E-02", "kg"), "lbf": ("4.448222 E+00", "N"),
    "kgf": ("9.80665 E+00", "N"), "psi": ("6.894757 E+03", "Pa"), "psf": ("4.788026 E+01", "Pa"),
    "bdft": ("2.359737 E-03", "m^3"), "lbf*ft": ("1.355818 E+00", "N*m"), "lb/ft^3": ("1.601846 E+01", "kg/m^3"),
    "lbf/ft": ("1.459390 E+01", "N/m"), "kWh": ("3.6 E+06", "J"), "deg": ("1.745329 E-02", "rad"),
}

# The general-purpose list of the unit library calls these otherwise, or does not hold them.
OWN_NAMES = {"money", "rpm", "psf", "newton_meter", "board_foot", "cubic_centimeter", "psi",
             "pound_force", "kilogram_force", "mil", "revolution", "byte", "kilobyte", "megabyte", "gigabyte"}

ONE_OF_EACH = sorted(set(UNITS.values()))


@pytest.mark.parametrize(("name", "constant"), SCIPY.items())
def test_unit_has_the_value_of_an_independent_list(name, constant):
    """A unit is worth what scipy.constants says."""
    ours = Q(1, name).to_base_units().magnitude
    assert ours == pytest.approx(getattr(scipy.constants, constant), rel=1e-14)


@pytest.mark.parametrize(("name", "printed"), PRINTED.items())
def test_unit_has_the_printed_factor(name, printed):
    """A unit is worth the printed factor, within half of its last digit."""
    number, si = printed
    digits, exponent = number.split(" E")
    half = 0.5 * 10.0 ** (int(exponent) - len(digits.split(".")[1]))
    assert Q(1, name).to(unit(si)).magnitude == pytest.approx(float(digits + "e" + exponent), abs=half, rel=0)


@pytest.mark.parametrize("name", [n for n in ONE_OF_EACH if n not in OWN_NAMES])
def test_unit_agrees_with_the_general_list_of_the_unit_library(name):
    """A unit of the kit is worth what the unit library's own long list says of that name."""
    theirs = _general().Quantity(1, name).to_base_units()
    ours = Q(1, name).to_base_units()
    assert ours.magnitude == pytest.approx(theirs.magnitude, rel=1e-12)


_GENERAL: list[pint.UnitRegistry] = []


def _general() -> pint.UnitRegistry:
    if not _GENERAL:
        _GENERAL.append(pint.UnitRegistry())
    return _GENERAL[0]


@pytest.mark.parametrize(
    "text", ["0 degC = 32 degF", "100 degC = 212 degF", "-40 degC = -40 degF", "0 K = -273.15 degC"])
def test_thermometer_scales_meet_at_their_fixed_points(text):
    """Fixed points of the thermometer scales, known by definition, agree."""
    one, other = (side.split(" ") for side in text.split(" = "))
    assert Q(float(one[0]), one[1]).to(unit(other[1])).magnitude == pytest.approx(float(other[0]), abs=1e-9)


@pytest.mark.parametrize("name", sorted(UNITS))
def test_every_name_is_spelt_so_that_it_reads_back(name):
    """The plain spelling of every unit is ASCII and names the same unit."""
    plain = spell(unit(name))
    assert plain.isascii()
    assert unit(plain) == unit(name)


@given(st.lists(st.tuples(st.sampled_from(ONE_OF_EACH), st.sampled_from([-2, -1, 1, 2])), min_size=2, max_size=3))
def test_a_compound_reads_back_from_its_spelling(parts):
    """Any compound of up to three units reads back from its plain spelling, when that is not too long."""
    text = "*".join(f"{name}^{power}" for name, power in parts)
    if len(text) <= 40:
        made = unit(text)
        assert len(spell(made)) > 40 or unit(spell(made)) == made


@pytest.mark.parametrize(("text", "same"), [
    ("g/m^2", "g/m²"), ("g/m^2", "g/m**2"), ("g/m^2", "g/m2"), ("g/m^2", "g m^-2"), ("g/m^2", "g·m⁻²"),
    ("N*m", "N m"), ("N*m", "N·m"), ("N*m", " N * m "),
    ("1/s", "s^-1"), ("1", ""), ("um", "µm"), ("um", "μm"), ("ohm", "Ω"), ("ohm", "\u2126"), ("degC", "°C"),
    ("L", "l"), ("mL", "ml"), ("percent", "%"), ("deg", "°"), ("m", "metre"), ("lb", "lbs"),
])
def test_common_spellings_name_one_unit(text, same):
    """Each usual spelling names the unit."""
    assert unit(same) == unit(text)


@pytest.mark.parametrize("text", [
    "mm 1", "1 mm", "5", "mm5.", "m^0", "m^", "m^^2", "/s", "1/", "m//s", "m*", "*m", "m()", "m.real", "1 1",
    "lambda", "__class__", "m;s", "m\n*s", "\ud800", "m" * 41, "１", "mm'", "m^10",
])
def test_text_that_names_no_unit_is_refused(text):
    """Anything but names from the list with whole powers is refused with a printable sentence."""
    with pytest.raises(UnitError) as caught:
        unit(text)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize("name", sorted(MEANT))
def test_a_doubtful_name_is_refused_with_what_to_write(name):
    """A name that two readers take differently is refused, with what to write instead."""
    assert name not in UNITS
    with pytest.raises(UnitError, match="can be read in more than one way; write "):
        unit(name)


@pytest.mark.parametrize(("typed", "meant"), [("Mpa", "MPa"), ("DEGC", "degC"), ("metter", "meter"), ("kw", "kW")])
def test_a_near_miss_names_the_unit_that_was_probably_meant(typed, meant):
    """A misspelt unit is answered with the nearest name on the list."""
    with pytest.raises(UnitError, match=rf"^'{typed}' is not a unit this kit knows; did you mean '{meant}'\?$"):
        unit(typed)


def test_units_are_found_without_the_unit_library_s_parser(monkeypatch):
    """Naming, spelling and converting units never hands text to the unit library's parser."""
    def parser(*args, **kwargs):
        raise AssertionError(f"the unit library was asked to parse {args}")

    unit.cache_clear()
    for name in ("parse_expression", "parse_units", "parse_units_as_container"):
        monkeypatch.setattr(type(ureg), name, parser)
    assert spell(unit("kg*m/s^2/degC")) == "kg*m/s^2/delta_degC"
    assert convert(Q(1, "ft"), unit("in")).magnitude == pytest.approx(12)
    with pytest.raises(UnitError):
        unit("furlong")


def test_numbers_become_floats():
    """Whole numbers and arrays of them become floats, so that no conversion truncates."""
    assert isinstance(Q(3, "m").magnitude, float)
    assert Q([1, 2], "m").magnitude.dtype == np.float64
    assert Q([1, 2], "m").to(unit("km")).magnitude.tolist() == pytest.approx([0.001, 0.002])
    assert isinstance(adopt(Quantity(3, unit("m"))).magnitude, float)


@pytest.mark.parametrize("value", [True, np.bool_(False), None])
def test_what_is_not_a_number_makes_no_quantity(value):
    """Truth values and None are refused."""
    with pytest.raises(ValueError, match=r"is not a number; write Q\(12\.5, 'mm'\)"):
        Q(value, "mm")


def test_text_is_read_by_the_workshop_s_own_rules():
    """Q reads workshop text, with or without a unit to fit."""
    assert Q("1 1/8 in").to(unit("mm")).magnitude == 28.575
    assert Q("5 kg", "lb").units == unit("kg")
    with pytest.raises(ValueError, match="not an amount in mm"):
        Q("5 kg", "mm")


def test_a_quantity_is_converted_by_q():
    """Q of a quantity and a unit is that quantity in the unit, and of the wrong kind an error."""
    assert Q(Q(1, "m"), "mm").magnitude == pytest.approx(1000)
    with pytest.raises(UnitError, match="kg is not an amount in mm"):
        Q(Q(1, "kg"), "mm")


@pytest.mark.parametrize(("value", "name", "ours", "number"), [
    (5, "kilonewton", "kN", 5), (20, "degree_Celsius", "degC", 20), (5, "delta_degree_Celsius", "delta_degC", 5),
    (60, "rpm", "rpm", 60), (2, "turn", "revolution", 2), (3, "force_pound", "lbf", 3), (2, "psi", "psi", 2),
    (12, "percent", "percent", 12), (1, "gallon", "L", 3.785411784), (1, "ton", "kg", 907.18474),
    (2, "mile", "m", 3218.688), (1, "horsepower", "W", 745.69987),
    (3, "1 / delta_degree_Celsius", "1/delta_degC", 3),
])
def test_a_quantity_of_another_registry_is_taken_over(value, name, ours, number):
    """A quantity of another registry keeps its value, whether or not its unit is on the kit's list."""
    taken = adopt(_general().Quantity(value, name))
    assert isinstance(taken, ureg.Quantity)
    assert taken.to(unit(ours)).magnitude == pytest.approx(number, rel=1e-7)


def test_a_name_that_means_another_kind_elsewhere_is_taken_by_its_value():
    """A mil of the general list is an angle and never becomes a thousandth of an inch; a zero is taken over too."""
    theirs = _general().Quantity(2, "mil")
    assert convert(adopt(theirs), unit("rad")).magnitude == pytest.approx(theirs.m_as("radian"))
    assert adopt(_general().Quantity(0, "mile")).to(unit("m")).magnitude == 0


def test_an_array_of_another_registry_is_taken_over():
    """An array of another registry is taken over with its values."""
    taken = adopt(_general().Quantity(np.array([1, 2]), "inch"))
    assert taken.to(unit("mm")).magnitude.tolist() == pytest.approx([25.4, 50.8])
    assert is_quantity(_general().Quantity(1, "m"))
    assert not is_quantity(1.0)


def test_a_quantity_of_another_registry_without_a_known_unit_is_refused():
    """A kind of quantity that no workshop unit measures is refused with a sentence."""
    with pytest.raises(UnitError, match="no unit this kit knows"):
        adopt(_general().Quantity(1, "mole"))


def test_temperatures_and_differences_are_never_mixed():
    """A temperature does not become a difference of temperatures, nor a difference a temperature."""
    for one, other in (("degC", "delta_degC"), ("delta_degF", "degC"), ("degF", "delta_degC")):
        assert not same_kind(unit(one), unit(other))
        with pytest.raises(UnitError):
            convert(Q(5, one), unit(other))
    assert convert(Q(9, "delta_degF"), unit("delta_degC")).magnitude == pytest.approx(5)
    assert convert(Q(5, "K"), unit("delta_degC")).magnitude == pytest.approx(5)
    assert (Q(20, "degC") - Q(5, "degC")).units == unit("delta_degC")
    with pytest.raises(pint.OffsetUnitCalculusError):
        Q(20, "degC") + Q(5, "degC")
    with pytest.raises(pint.OffsetUnitCalculusError):
        2 * Q(20, "degC")


def test_a_degree_in_a_compound_is_a_step():
    """Per degree means per step of temperature, so that a coefficient times a difference is a plain number."""
    assert unit("1/degC") == unit("1/delta_degC")
    assert (Q(0.00393, "1/degC") * Q(10, "delta_degC")).to(unit("1")).magnitude == pytest.approx(0.0393)
    assert not is_absolute(unit("1/degC"))
    assert is_absolute(unit("degF"))
    assert not is_absolute(unit("K"))


def test_mass_is_not_force_and_turns_are_not_radians():
    """A pound of mass is not a pound of force, and a count of turns is not an angle."""
    assert not same_kind(unit("lb"), unit("lbf"))
    assert not same_kind(unit("rpm"), unit("Hz"))
    assert convert(Q(60, "rpm"), unit("rev/s")).magnitude == pytest.approx(1)


def test_quantities_survive_pickling_and_hashing():
    """A pickled quantity comes back to the same registry, and equal quantities hash alike."""
    q = Q(1.125, "in")
    back = pickle.loads(pickle.dumps(q))
    assert (back + q).to(unit("in")).magnitude == 2.25
    assert hash(Q(1, "m")) == hash(Q(100, "cm"))
