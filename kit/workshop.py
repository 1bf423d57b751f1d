"""Reading and writing quantities as a workshop writes them.

`read` takes workshop text apart by a grammar of its own: a sign, a number
(decimal, mixed fraction, or feet and inches) and one unit from the kit's list.
Anything else is refused with one sentence; text never reaches the unit
library's parser and is never evaluated.  `write` gives text for the record that
reads back exactly, `echo` says what was understood, and `show` (from
`kit.showing`) rounds to what a person can measure.

    >>> print(read("1 1/8 in").to("mm"))
    28.575 mm
    >>> print(echo(read("5 ft")))
    5 ft = 1.524 m
    >>> read("1,200 mm")
    Traceback (most recent call last):
    ...
    kit.workshop.ReadError: '1,200' may mean a thousand or a decimal; write 1200 or 1.200
"""

from __future__ import annotations

import math
import numbers
import re
from fractions import Fraction
from typing import Any

import numpy as np
import pint

from kit.quantities import Q, Quantity, UnitError, adopt, convert, is_absolute, is_quantity, same_kind, spell, unit
from kit.showing import CURRENCIES, Prefs, label, other_system, rule_text, show

__all__ = ["CURRENCIES", "Prefs", "ReadError", "echo", "label", "read", "read_any", "show", "write"]

# The longest text read: any float in any unit of the kit fits, as `write` writes it.
_LONGEST = 60
_LARGEST = 1e12
_NO_PREFS = Prefs()

# Typographic signs and what a keyboard has for them; a no-break space is pasted from pages and tables.
_TYPED = str.maketrans({
    "\t": " ", "\u00a0": " ", "\u2009": " ", "\u202f": " ", "−": "-", "⁄": "/",
    "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"',
    "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3",
    "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
})
_COUNTED = ("piece", "pieces", "pcs")
_CODE = re.compile(r"[A-Z]{3}(?=$|[ */·])")
_DIFFERENCES = (unit("delta_degC"), unit("delta_degF"))
_PERCENT = unit("percent")
_ANGLES = (unit("deg"), unit("rad"))
_MARKS = {"'": "ft", '"': "in", "''": "in"}
_VALUE = r"[0-9]+(?:(?:\ +|-\ ?)[0-9]+)?/[0-9]+|(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?"
_ONE = re.compile(rf"([+-]?)\ *({_VALUE})\ *(.*)")
_FEET_INCHES = re.compile(
    rf"([+-]?)\ *([0-9]+)\ *(?:'|ft|feet|foot)\ *-?\ *({_VALUE})\ *(?:\"|''|in|inch|inches)")
_MIXED = re.compile(r"(?:([0-9]+)(?:\ +|-\ ?))?([0-9]+)/([0-9]+)")
_DECIMAL = re.compile(r"([.,])")


class ReadError(ValueError):
    """Text or a value that cannot be read as a quantity; one sentence, which does not name the input."""


def read(text: str, unit_text: str = "", *, difference: bool = False, prefs: Prefs | None = None) -> Quantity:
    """A quantity from workshop text, in the unit that was written.

    `unit_text` is a unit it must be convertible to; "" allows any.  A number
    without a unit is read only where `unit_text` is "1", or "percent" and the
    number is below 1.  Feet and inches come back in inches.  With `difference`
    (or a `unit_text` such as "delta_degC") degrees are read as a temperature
    difference.  Money is written with its ISO 4217 code; with `prefs` only in
    their currency.  Raises ReadError, whose message is one sentence.
    """
    plain = _vetted(text)
    compound = _FEET_INCHES.fullmatch(plain)
    if compound is not None:
        made = Quantity(_feet_inches(*compound.groups()), unit("in"))
        return _fitting(made, plain, unit_text, difference)
    one = _ONE.fullmatch(plain)
    if one is None:
        raise ReadError(f"{_quoted(text)} is not a number and a unit; write it like '{_example(unit_text, prefs)}'")
    sign, digits, rest = one.groups()
    value = _number(digits)
    value = -value if sign == "-" else value
    if not rest:
        return _unitless(value, plain, unit_text, prefs)
    try:
        made = Quantity(value, _read_unit(rest, unit_text, difference, prefs))
    except UnitError as error:
        raise ReadError(_explained(plain, rest, str(error), _example(unit_text, prefs))) from None
    return _fitting(made, plain, unit_text, difference)


def read_any(value: object, unit_text: str, *, difference: bool = False, prefs: Prefs | None = None) -> Quantity:
    """A quantity from text, a quantity of this or another registry, or a bare number where none needs a unit.

    Arrays are taken as quantities only.  Raises ReadError as `read` does.
    """
    if isinstance(value, str):
        return read(value, unit_text, difference=difference, prefs=prefs)
    if is_quantity(value):
        try:
            given = adopt(value)
        except (UnitError, TypeError, ValueError) as error:
            raise ReadError(str(error)) from None
        return _fitting(given, _brief(given), unit_text, difference)
    name = spell(unit(unit_text)) or "mm"
    if isinstance(value, bool) or not isinstance(value, numbers.Real | np.ndarray):
        raise ReadError(f"{_quoted(value)} is not a quantity; write Q(8, '{name}')")
    if _needs_no_unit(value, unit_text):
        return Q(value)
    if isinstance(value, np.ndarray):
        raise ReadError(f"an array has no unit; write Q([8, 9], '{name}')")
    raise ReadError(f"{value} has no unit; write Q({value}, '{name}')")


def write(q: Quantity, prefs: Prefs | None = None) -> str:
    """Text for the record: the exact value in its own unit, in ASCII, which `read` gives back to the last bit.

    Money is written in the currency of `prefs`.  Raises ValueError for what
    the record cannot keep: an array, nan, or a value beyond 1e12.
    """
    mine = adopt(q)
    if np.ndim(mine.magnitude) or not abs(mine.magnitude) <= _LARGEST:
        raise ValueError(f"{_brief(mine)} cannot be written to the record; write one finite number like Q(12.5, 'mm')")
    name = spell(mine)
    if prefs is not None:
        name = re.sub(r"\bmoney\b", prefs.currency, name)
    return f"{_digits(mine.magnitude)} {name}".rstrip()


def echo(q: Quantity, prefs: Prefs = _NO_PREFS) -> str:
    """What was understood, unrounded, in the unit written and in the other system: "5 ft = 1.524 m".

    "≈" stands before a value of the other system that needs more than nine figures; six of them are shown.
    """
    mine = adopt(q)
    if np.ndim(mine.magnitude):
        return show(mine, "", prefs=prefs)
    name = spell(mine)
    own = ("a difference of " if mine.units in _DIFFERENCES else "") + _exact(mine, prefs)
    inch, metric = other_system(name, "inch"), other_system(name, "metric")
    other = inch if inch != name else metric
    if other == name or not math.isfinite(mine.magnitude):
        return own
    there = convert(mine, unit(other))
    near = Quantity(float(f"{there.magnitude:.9g}"), there.units)
    if _on_a_rule(there) or math.isclose(near.magnitude, there.magnitude, rel_tol=1e-12):
        return f"{own} = {_exact(there, prefs)}"
    return f"{own} ≈ {_exact(Quantity(float(f'{there.magnitude:.6g}'), there.units), prefs)}"


def _vetted(text: str) -> str:
    """The text with a keyboard's signs, or a refusal of what no number and unit can be."""
    if not isinstance(text, str):
        raise ReadError(f"{_quoted(text)} is not text; write it like '12.5 mm'")
    if len(text) > _LONGEST:
        raise ReadError(f"a text of {len(text)} characters is too long for one amount; write it like '12.5 mm'")
    plain = text.translate(_TYPED).strip(" ")
    if not plain:
        raise ReadError("there is nothing to read; write a number and a unit, like '12.5 mm'")
    if not plain.isprintable():
        raise ReadError(f"{_quoted(text)} has a sign in it that is not printed; write it like '12.5 mm'")
    return plain


def _number(digits: str) -> float:
    """The float nearest to a decimal or a mixed fraction as written."""
    exact = _exactly(digits)
    if abs(exact) > _LARGEST or (exact and not float(exact)):
        raise _beyond(digits)
    return float(exact)


def _exactly(digits: str) -> Fraction:
    mixed = _MIXED.fullmatch(digits)
    if mixed is not None:
        front, over, under = (int(part or 0) for part in mixed.groups())
        if under == 0 or (mixed[1] and over >= under):
            raise ReadError(f"the fraction in '{digits}' is not one; write it like '1 1/8'")
        return front + Fraction(over, under)
    mantissa, _, exponent = digits.lower().partition("e")
    whole, point, decimals = _DECIMAL.split(mantissa) if _DECIMAL.search(mantissa) else (mantissa, "", "")
    if point == "," and len(decimals) == 3 and int(whole or 0):
        raise ReadError(f"'{digits}' may mean a thousand or a decimal; write {whole}{decimals} or {whole}.{decimals}")
    if len(exponent.lstrip("+-")) > 3:
        raise _beyond(digits)
    return Fraction(int(whole + decimals)) * Fraction(10) ** (int(exponent or 0) - len(decimals))


def _beyond(number: str) -> ReadError:
    return ReadError(f"{number} is beyond sense; write a number up to 1e12, like '12.5 mm'")


def _feet_inches(sign: str, feet: str, inches: str) -> float:
    rest = _exactly(inches)
    if rest >= 12:
        raise ReadError(f"the inches after the feet are {inches}, a foot or more; write it like '5 ft 6 in'")
    if int(feet) > _LARGEST:
        raise _beyond(feet)
    total = float(12 * int(feet) + rest)
    return -total if sign == "-" else total


def _unitless(value: float, plain: str, unit_text: str, prefs: Prefs | None) -> Quantity:
    if _needs_no_unit(value, unit_text):
        return Q(value)
    target = unit(unit_text)
    if target == _PERCENT:
        raise ReadError(f"{plain} has no unit and may mean {plain} % or {plain} times; write {plain} % or a part of 1")
    if "money" in spell(target):
        raise ReadError(f"{plain} has no currency; write it like '{_example(unit_text, prefs)}'")
    inches = "/" in plain and (not unit_text or same_kind(target, unit("in")))
    raise ReadError(f"{plain} has no unit; write it like '{plain} {'in' if inches else spell(target) or 'mm'}'")


def _needs_no_unit(value: Any, unit_text: str) -> bool:
    """True for a pure number; for a part of a whole only below 1, as 12 may mean 12 % or twelvefold."""
    if unit_text.strip() == "1":
        return True
    return unit(unit_text) == _PERCENT and bool(np.all(np.abs(np.asarray(value, dtype=float)) < 1))


def _read_unit(text: str, unit_text: str, difference: bool, prefs: Prefs | None) -> pint.Unit:
    """The unit written; a degree is a step of temperature where a difference is due."""
    text = _MARKS.get(text, text)
    if text in _COUNTED:
        return unit("")
    code = _CODE.match(text)
    if code is not None and (code[0] in CURRENCIES or "money" in unit_text):
        if code[0] not in CURRENCIES:
            raise UnitError(f"{code[0]} is not a currency this kit knows; write one of {', '.join(CURRENCIES)}")
        if prefs is not None and code[0] != prefs.currency:
            raise UnitError(f"{code[0]} is not the currency of this build; write the price in {prefs.currency}")
        text = "money" + text[3:]
    made = unit(text)
    if is_absolute(made) and _wants_difference(unit_text, difference):
        return unit(f"delta_{spell(made)}")
    return made


def _wants_difference(unit_text: str, difference: bool) -> bool:
    return difference or unit(unit_text) in _DIFFERENCES


def _fitting(made: Quantity, plain: str, unit_text: str, difference: bool) -> Quantity:
    """The quantity, if it is of the kind that `unit_text` names."""
    wants = _wants_difference(unit_text, difference)
    if wants and is_absolute(made.units):
        raise ReadError(f"{plain} is a temperature, not a difference of two; write Q(5, 'delta_degC')")
    if not unit_text:
        return made
    target = unit(unit_text)
    if made.units in _DIFFERENCES and not wants and (is_absolute(target) or target == unit("K")):
        raise ReadError(f"{plain} is a difference of two temperatures, not a temperature; write it like '20 degC'")
    if wants and is_absolute(target):
        target = unit(f"delta_{spell(target)}")
    angles = [u in _ANGLES for u in (made.units, target)]
    if not same_kind(made.units, target) or angles[0] != angles[1]:
        hint = " (a mass is not a force: N, kgf and lbf are forces)" if _weighs(made.units, target) else ""
        due = f"an amount in {spell(target)}" if spell(target) else "a pure number"
        raise ReadError(f"{plain} is not {due}{hint}; write it like '{_example(unit_text, None)}'")
    return made


def _weighs(made: Any, target: Any) -> bool:
    return bool((made * unit("m/s^2")).dimensionality == target.dimensionality)


def _explained(plain: str, rest: str, why: str, example: str) -> str:
    """Why the text after the number is not a unit, in the words that help most."""
    if rest[0] in "0123456789":
        return f"{_quoted(plain)} has two numbers; write it like '1200 mm' or '1 1/2 in'"
    if rest[0] == "'":
        return f"{_quoted(plain)} needs whole feet and an inch mark at its end; write it like 5' 6\""
    if "is not a unit;" in why:
        return f"{_quoted(plain)} is not a number and a unit; write it like '{example}'"
    return why


def _example(unit_text: str, prefs: Prefs | None) -> str:
    name = spell(unit(unit_text)) if unit_text != "1" else "1"
    special = {"": "12.5 mm", "1": "0.5", "percent": "12 %", "degC": "20 degC", "degF": "68 degF",
               "delta_degC": "5 degC", "delta_degF": "9 degF"}
    if "money" in name:
        return "13.40 " + name.replace("money", (prefs or _NO_PREFS).currency)
    return special.get(name, f"12.5 {name}")


def _quoted(given: object) -> str:
    """What was given, clipped, with anything unprintable escaped."""
    text = repr(given)
    if isinstance(given, str):
        return text if len(text) <= 2 * _LONGEST else repr(given[:10] + "...")
    return text if text.isprintable() and len(text) <= _LONGEST else f"a {type(given).__name__}"


def _brief(q: Quantity) -> str:
    if np.ndim(q.magnitude):
        return f"an array in {spell(q) or '1'}"
    return f"{q.magnitude:.12g} {spell(q)}".rstrip()


def _digits(value: float) -> str:
    return repr(float(value) + 0.0).removesuffix(".0")


def _exact(q: Quantity, prefs: Prefs) -> str:
    """The value unrounded (to twelve figures, which hides the dust of a conversion)."""
    sign = label(spell(q), prefs)
    return _on_a_rule(q) or f"{q.magnitude + 0.0:.12g}{'' if sign in ('', '°') else ' '}{sign}"


def _on_a_rule(q: Quantity) -> str:
    """Inches or feet that fall on a 64th, as a rule is read; "" for any other quantity."""
    name = spell(q)
    if name not in ("in", "ft"):
        return ""
    steps = convert(q, unit("in")).magnitude * 64
    if not math.isfinite(steps) or abs(steps) > _LARGEST or abs(steps - round(steps)) > 1e-9:
        return ""
    return rule_text(Fraction(round(steps), 64), feet=name == "ft")
