"""Reading, writing and showing workshop quantities: the literal cases, and properties over everything else."""

from __future__ import annotations

import math
import subprocess
import sys
import time
from fractions import Fraction
from pathlib import Path

import numpy as np
import pint
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from kit.quantities import UNITS, Q, UnitError, convert, spell, unit, ureg
from kit.workshop import CURRENCIES, Prefs, ReadError, echo, label, read, read_any, show, write

INCH = Prefs(system="inch")

ACCEPTED = [
    # Written, unit to fit, value and unit read.
    ("12.5 mm", "mm", 12.5, "mm"), ("12,5 mm", "mm", 12.5, "mm"), ("1 1/8 in", "mm", 1.125, "in"),
    ("1-1/8 in", "mm", 1.125, "in"), ('3/4"', "mm", 0.75, "in"), ("5' 6 1/2\"", "mm", 66.5, "in"),
    ("5 ft 6 in", "m", 66, "in"), ("2 m", "mm", 2, "m"), ("40 lb", "kg", 40, "lb"),
    ("250 g/m^2", "g/m^2", 250, "g/m^2"),
    ("20 degC", "degC", 20, "degC"), ("1.5 h", "min", 1.5, "h"), ("0,125 m", "m", 0.125, "m"),
    ("5'6\"", "mm", 66, "in"), ("5'-6\"", "mm", 66, "in"), ("5' - 6 1/2\"", "mm", 66.5, "in"),
    ("5'6-1/2\"", "m", 66.5, "in"),
    ("5ft6in", "m", 66, "in"), ("5 feet 6 inches", "m", 66, "in"), ("-5' 6\"", "m", -66, "in"),
    ("0' 6\"", "m", 6, "in"),
    ("5'", "m", 5, "ft"), ("5 1/2 ft", "m", 5.5, "ft"), ('6.25"', "mm", 6.25, "in"), ("6''", "mm", 6, "in"),
    ("½ in", "mm", 0.5, "in"), ("1½\"", "mm", 1.5, "in"), ("1-½ in", "mm", 1.5, "in"), ("5′ 6½″", "mm", 66.5, "in"),
    ("5’ 6”", "mm", 66, "in"), ("1 1⁄8 in", "mm", 1.125, "in"), ("3/4 lb", "kg", 0.75, "lb"),
    ("-3 mm", "mm", -3, "mm"), ("−3 mm", "mm", -3, "mm"), ("+3 mm", "mm", 3, "mm"), ("- 3 mm", "mm", -3, "mm"),
    (".5 mm", "mm", 0.5, "mm"), ("5. mm", "mm", 5, "mm"), (",125 m", "m", 0.125, "m"), ("12,50 mm", "mm", 12.5, "mm"),
    ("1.200 m", "m", 1.2, "m"), ("1e3 mm", "mm", 1000, "mm"), ("1.5E-3 m", "m", 0.0015, "m"),
    ("  7mm  ", "mm", 7, "mm"),
    ("5\u00a0mm", "mm", 5, "mm"), ("5\tmm", "mm", 5, "mm"), ("8 L/min", "L/min", 8, "L/min"),
    ("8 m²/L", "m^2/L", 8, "m^2/L"),
    ("15 N m", "N*m", 15, "N*m"), ("15 Nm", "N*m", 15, "Nm"), ("2 1/min", "1/min", 2, "1/min"),
    ("30.8°", "deg", 30.8, "deg"),
    ("20 °C", "degC", 20, "degC"), ("68 °F", "degC", 68, "degF"), ("280 K", "degC", 280, "K"), ("5 K", "K", 5, "K"),
    ("12 %", "percent", 12, "percent"), ("12 percent", "1", 12, "percent"), ("0.12", "percent", 0.12, "1"),
    ("0.12", "1", 0.12, "1"), ("12", "1", 12, "1"), ("1/8", "1", 0.125, "1"), ("240 pieces", "1", 240, "1"),
    ("240 pieces", "", 240, "1"), ("13.40 GBP", "money", 13.4, "money"), ("13.4 money", "money", 13.4, "money"),
    ("13,40 EUR", "money", 13.4, "money"), ("4.20 GBP/m", "money/m", 4.2, "money/m"), ("3 t", "kg", 3, "t"),
    ("1000000000000 mm", "mm", 1e12, "mm"), ("0 mm", "mm", 0, "mm"), ("5 kg", "", 5, "kg"),
]

# Written, unit to fit, words that the one sentence must hold.
REFUSED = [
    ("1,200 mm", "mm", "'1,200' may mean a thousand or a decimal; write 1200 or 1.200"),
    ("-1,200 mm", "mm", "may mean a thousand or a decimal"), ("12,345 m", "m", "write 12345 or 12.345"),
    ("1,200.5 mm", "mm", "may mean a thousand"), ("5 ft 1,125 in", "mm", "may mean a thousand"),
    ("5 kg", "mm", "5 kg is not an amount in mm; write it like '12.5 mm'"),
    ("5 kg", "N", "a mass is not a force"), ("5 kg/m^2", "kPa", "a mass is not a force"),
    ("12 in", "kg", "not an amount in kg"),
    ("5 lb", "1", "5 lb is not a pure number; write it like '0.5'"),
    ("nan", "mm", "'nan' is not a number and a unit"), ("nan m", "m", "is not a number"),
    ("inf", "m", "is not a number"),
    ("-inf m", "m", "is not a number"), ("1e400 m", "m", "1e400 is beyond sense; write a number up to 1e12"),
    ("1e13 m", "m", "beyond sense"), ("1e-400 m", "m", "beyond sense"), ("1e9999999999 m", "m", "beyond sense"),
    ("1e0003 m", "m", "beyond sense"),
    ("9" * 40 + " m", "m", "beyond sense"), ("1" * 20 + "/3 in", "m", "beyond sense"),
    ("9999999999999' 1\"", "m", "beyond"),
    ("__import__('os')", "m", "is not a number and a unit"), ("9**9**9 m", "m", "is not a number and a unit"),
    ("(1+1) m", "m", "is not a number"), ("2*3 m", "m", "is not a number"),
    ("3.5.1 m", "m", "is not a number and a unit"),
    ("0x10 m", "m", "not a unit"), ("1_000 m", "m", "not a unit"), ("5--3 m", "m", "is not a number"),
    ("１２ mm", "mm", "is not a number"), ("٣ mm", "mm", "is not a number"), ("5² m", "m", "is not a number"),
    ("5\ud800 mm", "mm", r"'5\ud800 mm' has a sign in it that is not printed"), ("5\0 mm", "mm", r"\x00"),
    ("5\nmm", "mm", r"\n"), ("5 mm\n", "mm", r"\n"), ("5\u202e mm", "mm", "not printed"),
    ("", "mm", "nothing to read"), ("   ", "mm", "nothing to read"), ("mm", "mm", "is not a number"),
    ("x" * 100_000, "mm", "a text of 100000 characters is too long"), ("1" * 61, "mm", "too long"),
    ("12", "mm", "12 has no unit; write it like '12 mm'"), ("12", "", "12 has no unit"),
    ("1 1/8", "mm", "1 1/8 has no unit; write it like '1 1/8 in'"), ("1 1/8", "", "'1 1/8 in'"),
    ("20", "degC", "20 has no unit; write it like '20 degC'"), ("0.5", "deg", "has no unit"),
    ("3 ton", "kg", "'ton' can be read in more than one way; write t (1000 kg) or lb"),
    ("2 gal", "L", "write L (a US gallon is 3.785 L"), ("20 C", "degC", "write degC"),
    ("3 M", "m", "write m for metres"),
    ("5 Mpa", "MPa", "did you mean 'MPa'?"), ("3 furlong", "m", "is not a unit this kit knows"),
    ("1/0 in", "in", "the fraction in '1/0' is not one"), ("1 0/0 in", "in", "is not one"),
    ("1 9/8 in", "in", "is not one"),
    ("1 8/8 in", "in", "is not one"), ("5' 14\"", "m", "the inches after the feet are 14, a foot or more"),
    ("5' 12\"", "m", "a foot or more"), ("5'6", "m", "needs whole feet and an inch mark"),
    ("1'200 mm", "mm", "an inch mark"),
    ("5.5' 6\"", "m", "needs whole feet"), ("6\" 5'", "m", "is not"), ("5 m 6 in", "m", "is not"),
    ("5 lb 3 oz", "kg", "is not"),
    ("1 200 mm", "mm", "'1 200 mm' has two numbers"), ("5 1 mm", "mm", "has two numbers"),
    ("10 x 20 mm", "mm", "is not"),
    ("5-6 mm", "mm", "is not a number and a unit"), ("5 mm 6", "mm", "is not"), ("5 ± 1 mm", "mm", "is not"),
    ("13.40", "money", "13.40 has no currency; write it like '13.40 GBP'"),
    ("£13.40", "money", "write it like '13.40 GBP'"),
    ("13.40 XAU", "money", "XAU is not a currency this kit knows; write one of AUD, CAD"),
    ("13.40 GBP", "mm", "not an amount"),
    ("12", "percent", "12 has no unit and may mean 12 % or 12 times; write 12 % or a part of 1"),
    ("1", "percent", "1 %"),
    ("12 %", "deg", "not an amount in deg"), ("5 deg", "1", "not a pure number"),
    ("5 mm", "percent", "not an amount in percent"),
    ("5 delta_degC", "degC", "is a difference of two temperatures, not a temperature"),
    ("5 delta_degF", "K", "is a difference of two temperatures"), ("20 degC", "delta_degC/m", "not an amount"),
]


def refusal(text, unit_text="", **more):
    """The sentence with which a text is refused."""
    with pytest.raises(ReadError) as caught:
        read(text, unit_text, **more)
    return str(caught.value)


def one_line(said):
    """Whether a message is one printable line that neither rambles nor ends in a stop."""
    return said.isprintable() and 0 < len(said) <= 250 and not said.endswith(".")


@pytest.mark.parametrize(("text", "unit_text", "value", "name"), ACCEPTED)
def test_workshop_text_is_read_in_the_unit_written(text, unit_text, value, name):
    """Each way of writing gives exactly the value, in the unit that was written."""
    made = read(text, unit_text)
    assert made.magnitude == value
    assert made.units == unit(name)


@pytest.mark.parametrize(("text", "unit_text", "words"), REFUSED)
def test_other_text_is_refused_in_one_sentence(text, unit_text, words):
    """Each text is refused with one sentence that says why."""
    said = refusal(text, unit_text)
    assert words in said
    assert one_line(said)
    assert ". " not in said


@pytest.mark.parametrize(("text", "unit_text"), [(text, unit_text) for text, unit_text, _ in REFUSED])
def test_a_refusal_takes_less_than_ten_milliseconds(text, unit_text):
    """No text takes 10 ms to refuse, at the quickest of three tries."""
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        refusal(text, unit_text)
        taken.append(time.perf_counter() - start)
    assert min(taken) < 0.010


@given(st.text(max_size=70) | st.text("0123456789.,/-+eE'\" ftinm½′″%^*()", max_size=45))
@example("5 ft 6 1/")
@example("1/8/8 in")
@example("'" * 40)
@example("5\U0010ffff" * 30)
def test_any_text_is_read_or_refused_in_one_sentence(text):
    """Whatever is typed, the outcome is a finite quantity or one ReadError with a printable sentence."""
    for unit_text in ("", "mm", "degC", "percent", "money"):
        try:
            made = read(text, unit_text)
        except ReadError as error:
            assert one_line(str(error)), error
        else:
            assert abs(made.magnitude) <= 1.2e13
            assert isinstance(made.magnitude, float)


def test_text_never_reaches_the_unit_library_s_parser(monkeypatch):
    """No text, accepted or refused, is handed to the unit library to parse."""
    def parser(*args, **kwargs):
        raise AssertionError(f"the unit library was asked to parse {args}")

    unit.cache_clear()
    for name in ("parse_expression", "parse_units", "parse_units_as_container"):
        monkeypatch.setattr(type(ureg), name, parser)
    with pytest.raises(AssertionError):
        pint.Quantity("5 mm")
    for text, unit_text, value, _ in ACCEPTED:
        made = read(text, unit_text)
        assert made.magnitude == value
        show(made, unit_text, prefs=INCH)
        echo(made)
        write(made)
    for text, unit_text, _ in REFUSED:
        refusal(text, unit_text)


def test_reading_needs_nothing_heavy():
    """A fresh interpreter that reads a quantity has loaded neither plotting, widgets, solvers nor record files."""
    heavy = ["matplotlib", "ipywidgets", "scipy.optimize", "scipy.special", "tomlkit", "hypothesis"]
    code = ("import sys; from kit.workshop import read; read('1 1/8 in', 'mm');"
            f"print([name for name in {heavy} if name in sys.modules])")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                          cwd=Path(__file__).parents[1])
    assert done.stdout.strip() == "[]"


def test_an_inch_and_an_eighth_is_exact_everywhere():
    """1 1/8 in is 28.575 mm to the last bit, however it is written."""
    for text in ("1 1/8 in", "1-1/8 in", '1 1/8"', "1⅛ in", "1.125 in", "0' 1 1/8\"", "9/8 in"):
        assert read(text, "mm").to(unit("mm")).magnitude == 28.575


@given(st.integers(0, 10_000), st.integers(0, 11), st.integers(0, 63), st.sampled_from(["", "-"]))
def test_feet_and_inches_are_exact(feet, inches, parts, sign):
    """Feet, inches and 64ths come back as the exact number of inches."""
    fraction = Fraction(parts, 64)
    small = f"{inches} {fraction}" if parts else str(inches)
    exact = (feet * 12 + inches + fraction) * (-1 if sign else 1)
    for text in (f"{sign}{feet}' {small}\"", f"{sign}{feet} ft {small} in", f"{sign}{feet}'-{small}\""):
        assert Fraction(read(text, "mm").magnitude) == exact


@given(st.decimals(-1_000_000, 1_000_000, allow_nan=False, allow_infinity=False, places=6))
def test_a_decimal_comma_is_a_decimal_point(number):
    """A decimal with a comma is the same float as with a point, unless it could mean thousands."""
    text = f"{number:f}"
    assert read(f"{text} mm").magnitude == float(text)
    assert read(f"{text.replace('.', ',')} mm").magnitude == float(text)


# --- temperatures, money and quantities that come as objects


@pytest.mark.parametrize(("text", "unit_text", "difference", "value", "name"), [
    ("5 degC", "degC", True, 5, "delta_degC"), ("9 degF", "degC", True, 9, "delta_degF"), ("5 K", "degC", True, 5, "K"),
    ("5 delta_degC", "degC", True, 5, "delta_degC"), ("5 degC", "delta_degC", False, 5, "delta_degC"),
    ("5 degC", "K", True, 5, "delta_degC"), ("5 degC", "", True, 5, "delta_degC"), ("5 degC", "", False, 5, "degC"),
    ("5 delta_degC", "", False, 5, "delta_degC"), ("5 degC", "K", False, 5, "degC"),
])
def test_a_difference_is_read_where_a_difference_is_due(text, unit_text, difference, value, name):
    """Degrees are a difference where one is asked for, and a temperature elsewhere."""
    made = read(text, unit_text, difference=difference)
    assert (made.magnitude, spell(made)) == (value, name)


def test_temperatures_given_as_quantities_are_never_mixed():
    """A temperature is refused as a difference and a difference as a temperature, with what to write."""
    for target in ("degC", "K", "delta_degF", ""):
        with pytest.raises(ReadError, match=r"20 degC is a temperature, not a difference of two"):
            read_any(Q(20, "degC"), target, difference=True)
    for target in ("degC", "K"):
        with pytest.raises(ReadError, match="5 delta_degC is a difference of two temperatures"):
            read_any(Q(5, "delta_degC"), target)
    assert read_any(Q(5, "K"), "degC", difference=True).magnitude == 5
    with pytest.raises(UnitError):
        show(Q(20, "degC"), "degC", difference=True)
    with pytest.raises(UnitError):
        show(Q(20, "delta_degC"), "degC")


def test_money_is_read_in_the_currency_of_the_build_only():
    """With preferences a price in another currency is refused; without, any known code is read."""
    assert read("13.40 GBP", "money", prefs=Prefs()).magnitude == 13.4
    assert refusal("13.40 EUR", "money", prefs=Prefs()) == (
        "EUR is not the currency of this build; write the price in GBP")
    assert "'13.40 SEK'" in refusal("13.40", "money", prefs=Prefs(currency="SEK"))
    for code in CURRENCIES:
        assert read(f"1 {code}", "money").units == unit("money")


def test_preferences_that_do_not_exist_are_refused():
    """An unknown system or currency is refused with what is allowed."""
    with pytest.raises(ValueError, match="'metric' or 'inch'"):
        Prefs(system="imperial")
    with pytest.raises(ValueError, match="currency: 'gbp' is not one of AUD"):
        Prefs(currency="gbp")


@pytest.mark.parametrize(("value", "unit_text", "said"), [
    (8, "A", "8 has no unit; write Q(8, 'A')"), (8.5, "", "8.5 has no unit; write Q(8.5, 'mm')"),
    (np.float64(2), "m", "2.0 has no unit; write Q(2.0, 'm')"), (np.array([1.0]), "m", "an array has no unit"),
    (True, "m", "True is not a quantity; write Q(8, 'm')"), (True, "1", "True is not a quantity"),
    (np.bool_(True), "1", "is not a quantity"), (None, "m", "None is not a quantity"), ([1, 2], "m", "not a quantity"),
    (object(), "m", "object"), (12, "percent", "12 has no unit"), (Q(5, "kg"), "m", "5 kg is not an amount in m"),
    (Q([5.0, 6.0], "kg"), "m", "an array in kg is not an amount in m"), ("5 kg", "m", "5 kg is not an amount in m"),
])
def test_a_value_without_its_unit_is_refused(value, unit_text, said):
    """Numbers without a unit, truth values and the wrong kind are refused with what to write."""
    with pytest.raises(ReadError) as caught:
        read_any(value, unit_text)
    assert said in str(caught.value)
    assert one_line(str(caught.value))


def test_values_with_a_unit_are_taken_as_they_are():
    """Text, quantities, arrays with a unit, and pure numbers where no unit is due, are taken."""
    assert read_any("1 1/8 in", "mm").magnitude == 1.125
    q = Q(3, "m")
    assert read_any(q, "mm") is q
    array = Q([1, 2], "ft")
    assert read_any(array, "mm") is array
    assert read_any(0.3, "1").magnitude == 0.3
    assert read_any(np.array([0.1, 0.2]), "percent").magnitude.tolist() == [0.1, 0.2]


def test_a_quantity_of_another_registry_is_taken_over():
    """A quantity from a registry of its own is neither refused nor a crash."""
    other = pint.UnitRegistry()
    taken = read_any(other.Quantity(2, "gallon"), "L")
    assert taken.to(unit("L")).magnitude == pytest.approx(2 * 3.785411784)
    assert show(other.Quantity(28.575, "mm"), "mm", prefs=INCH) == "1 1/8 in"
    assert write(other.Quantity(3, "inch")) == "3 in"
    assert echo(other.Quantity(20, "degC")) == "20 °C = 68 °F"
    with pytest.raises(ReadError, match="no unit this kit knows"):
        read_any(other.Quantity(2, "mole"), "L")


# --- writing and echoing


UNIT_NAMES = [*sorted(UNITS), "g/m^2", "kN/m", "N*m", "kg/m^3", "1/s", "W/m/K", "money/m", "1/delta_degC", "ohm*mm^2/m"]


@given(st.floats(-1e12, 1e12), st.sampled_from(UNIT_NAMES))
@example(28.575, "mm")
@example(-0.0, "m")
@example(5e-324, "kg*m/s^2")
@example(-1.2345678901234567e-300, "delta_degree_Fahrenheit")
def test_writing_and_reading_back_is_exact(value, name):
    """What is written for the record reads back to the same float in the same unit, and is ASCII."""
    q = Q(value, name)
    text = write(q)
    back = read(text, spell(q) or "1")
    assert text.isascii()
    assert back.magnitude == value
    assert back.units == q.units


@pytest.mark.parametrize(("q", "text"), [
    (Q(28.575, "mm"), "28.575 mm"), (Q(20, "degC"), "20 degC"), (Q(5, "delta_degC"), "5 delta_degC"),
    (Q(250, "g/m^2"), "250 g/m^2"), (Q(0.12), "0.12"), (Q(12, "%"), "12 percent"), (Q(13.4, "money"), "13.4 money"),
    (Q(0.1, "m") + Q(0.2, "m"), "0.30000000000000004 m"), (Q(-0.0, "m"), "0 m"), (Q(np.float64(2), "Ω"), "2 ohm"),
])
def test_the_record_holds_plain_text(q, text):
    """A quantity is written in its own unit, in plain letters, without losing a bit."""
    assert write(q) == text


def test_money_is_written_in_the_currency_of_the_build():
    """With preferences money carries its code, and reads back."""
    assert write(Q(13.4, "money"), Prefs()) == "13.4 GBP"
    assert write(Q(4.2, "money/m"), Prefs(currency="EUR")) == "4.2 EUR/m"
    assert read(write(Q(13.4, "money"), Prefs()), "money") == Q(13.4, "money")


@pytest.mark.parametrize("value", [math.nan, math.inf, 1e13, [1.0, 2.0]])
def test_what_the_record_cannot_keep_is_not_written(value):
    """Nan, endless, senseless and many values are refused rather than written unreadably."""
    with pytest.raises(ValueError, match="cannot be written to the record"):
        write(Q(value, "mm"))


@pytest.mark.parametrize(("text", "said"), [
    ("1.524 m", "1.524 m = 5 ft"), ("5 ft", "5 ft = 1.524 m"), ("1 1/8 in", "1 1/8 in = 28.575 mm"),
    ("28.575 mm", "28.575 mm = 1 1/8 in"), ("12,5 mm", "12.5 mm ≈ 0.492126 in"), ("20 degC", "20 °C = 68 °F"),
    ("-40 °F", "-40 °F = -40 °C"), ("23 5/64 in", "23 5/64 in = 586.184375 mm"), ("1.5 h", "1.5 h"),
    ("5' 6 1/2\"", "66 1/2 in = 1689.1 mm"), ("5.5 ft", "5 ft 6 in = 1.6764 m"), ("132.8 g", "132.8 g"),
    ("8 L/min", "8 L/min"), ("40 lb", "40 lb = 18.1436948 kg"), ("12 %", "12 %"), ("30.8 deg", "30.8°"),
    ("0 mm", "0 mm = 0 in"), ("13.4 GBP", "13.4 GBP"), ("0.1 mm", "0.1 mm ≈ 0.00393701 in"),
    ("1 kN/m^2", "1 kN/m² ≈ 20.8854 psf"), ("1.2345678 mm", "1.2345678 mm ≈ 0.048605 in"),
    ("2200 mm", "2200 mm ≈ 86.6142 in"), ("15 N*m", "15 N·m ≈ 11.0634 lbf·ft"), ("3 psi", "3 psi ≈ 20.6843 kPa"),
])
def test_what_was_understood_is_said_in_both_systems(text, said):
    """The echo gives the value as written, unrounded, and in the other system where there is one."""
    assert echo(read(text)) == said


def test_a_difference_is_echoed_as_one():
    """The echo of a temperature difference says that it is one."""
    assert echo(read("5 degC", "degC", difference=True)) == "a difference of 5 °C = 9 °F"


def test_an_echo_never_fails():
    """Arrays, nan and endless values are echoed in words or plainly."""
    assert echo(Q([1, 2], "mm")) == "2 values, 1 to 2 mm"
    assert echo(Q(math.nan, "mm")) == "nan mm"
    assert echo(Q(math.inf, "1")) == "inf"


@given(
    st.floats(-1e9, 1e9),
    st.sampled_from(["mm", "m", "in", "ft", "kg", "lb", "degC", "degF", "N", "MPa", "h", "kg/m^3"]),
)
def test_both_sides_of_an_echo_are_the_value(value, name):
    """Read back, the first side of an echo is the value to twelve figures and the second to six."""
    assume(value == 0 or abs(value) > 1e-6)
    q = Q(value, name)
    sides = echo(q).replace("≈", "=").split(" = ")
    for side, close in zip(sides, (1e-11, 6e-6), strict=False):
        back = convert(read(side, name), q.units).magnitude
        # Of a thermometer scale the figures count from its own zero: 40 degrees are lost in the conversion.
        assert back == pytest.approx(value, rel=close, abs=40 * close if name.startswith("deg") else 0)


def test_labels_are_as_a_person_reads_them():
    """Units are labelled with the signs that people write, and the label of a unit names it again."""
    assert label("kg/m^3") == "kg/m³"
    assert label("percent") == "%"
    assert label("delta_degC") == "°C"
    assert label("1") == ""
    assert label("money/m", Prefs(currency="EUR")) == "EUR/m"
    for name in sorted(UNITS):
        if name != "money" and not name.startswith("delta") and "Δ" not in name:
            assert unit(label(name)) == unit(name)


def kind_of(name):
    """What a unit measures, by its dimension and the two distinctions that dimensions do not make."""
    own = UNITS[name]
    angle = own in ("degree", "radian")
    scale = {"degree_": "scale", "delta_d": "step"}.get(own[:7])
    return str(unit(name).dimensionality), angle, scale


@given(st.sampled_from(sorted(UNITS)), st.sampled_from(sorted(UNITS)))
@example("degC", "K")
@example("delta_degC", "degF")
@example("percent", "deg")
def test_a_text_is_read_exactly_where_its_kind_is_due(name, other):
    """A text fits a unit when both measure one kind; kelvin serves both of temperature, and an angle is no ratio."""
    (dimension, angle, scale), (other_dimension, other_angle, other_scale) = kind_of(name), kind_of(other)
    fits = dimension == other_dimension and angle == other_angle
    if scale == "step" and (other_scale == "scale" or UNITS[other] == "kelvin"):
        fits = False
    # Where a step is due, a degree is read as a step.
    try:
        made = read(f"5 {name}", other)
    except ReadError:
        assert not fits
    else:
        assert fits
        assert made.magnitude == 5
