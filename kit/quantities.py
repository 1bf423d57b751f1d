"""The one unit registry, and quantities made from it.

The registry holds only the units a workshop writes (`UNITS`), with the
kilogram, metre and second as base units.  Names that mean different things to
different readers (`ton`, `gal`, `C`, `M`) are left out on purpose; `MEANT`
says what to write instead.  Text never reaches the unit library's own parser:
`unit` takes it apart by a small grammar and looks every name up here.

    >>> board = Q(28.5, "mm")
    >>> print(board.to("m"))
    0.0285 m
    >>> print(Q("1 1/8 in").to("mm"))
    28.575 mm
"""

from __future__ import annotations

import difflib
import re
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
import pint
from pint.util import UnitsContainer

if TYPE_CHECKING:
    from pint.facets.plain import PlainQuantity

__all__ = [
    "MEANT", "UNITS", "Q", "Quantity", "UnitError", "adopt", "convert", "is_absolute", "is_quantity", "same_kind",
    "spell", "unit", "ureg",
]

# Each line is one unit: name = value = symbol = further spellings.
DEFINITIONS = """
meter = [length] = m = metre = meters = metres
second = [time] = s = sec = seconds
kilogram = [mass] = kg = kilograms = kgs
kelvin = [temperature]; offset: 0 = K
ampere = [current] = A = amp = amps
revolution = [rotation] = rev = revs
money = [money]
byte = [data] = B = bytes
radian = [] = rad

micrometer = 1e-6 meter = um = µm = μm = micrometre = micron = microns
millimeter = 1e-3 meter = mm = millimetre = millimeters = millimetres
centimeter = 1e-2 meter = cm = centimetre = centimeters = centimetres
kilometer = 1e3 meter = km = kilometre = kilometers = kilometres
inch = 0.0254 meter = in = inches
foot = 0.3048 meter = ft = feet
yard = 0.9144 meter = yd = yards
mil = 25.4e-6 meter = mils

liter = 1e-3 meter ** 3 = L = l = litre = liters = litres
milliliter = 1e-6 meter ** 3 = mL = ml = millilitre = milliliters = millilitres
cubic_centimeter = 1e-6 meter ** 3 = cc
board_foot = 0.0254 * 0.3048 * 0.3048 meter ** 3 = bdft = board_feet

milligram = 1e-6 kilogram = mg
gram = 1e-3 kilogram = g = grams
tonne = 1000 kilogram = t = tonnes
pound = 0.45359237 kilogram = lb = lbs = pounds
ounce = 0.028349523125 kilogram = oz = ounces

nanosecond = 1e-9 second = ns
microsecond = 1e-6 second = us = µs = μs
millisecond = 1e-3 second = ms
minute = 60 second = min = minutes = mins
hour = 3600 second = h = hr = hours = hrs
day = 86400 second = d = days
week = 604800 second = wk = weeks
year = 31557600 second = yr = years

degree = 0.017453292519943295 radian = deg = degrees = °
rpm = revolution / minute

newton = kilogram * meter / second ** 2 = N = newtons
kilonewton = 1000 newton = kN
newton_meter = newton * meter = Nm
pound_force = 4.4482216152605 newton = lbf
kilogram_force = 9.80665 newton = kgf

pascal = newton / meter ** 2 = Pa
kilopascal = 1e3 pascal = kPa
megapascal = 1e6 pascal = MPa
gigapascal = 1e9 pascal = GPa
bar = 1e5 pascal
millibar = 100 pascal = mbar
psi = 6894.757293168361 pascal
psf = 47.88025898033584 pascal

joule = newton * meter = J
kilojoule = 1e3 joule = kJ
megajoule = 1e6 joule = MJ
watt = joule / second = W
milliwatt = 1e-3 watt = mW
kilowatt = 1e3 watt = kW
watt_hour = 3600 joule = Wh
kilowatt_hour = 3.6e6 joule = kWh

microampere = 1e-6 ampere = uA = µA = μA
milliampere = 1e-3 ampere = mA
ampere_hour = 3600 ampere * second = Ah
milliampere_hour = 3.6 ampere * second = mAh
volt = watt / ampere = V
millivolt = 1e-3 volt = mV
milliohm = 1e-3 volt / ampere = mohm = mΩ
ohm = volt / ampere = Ω = ohms
kiloohm = 1e3 ohm = kohm = kΩ
picofarad = 1e-12 ampere * second / volt = pF
nanofarad = 1e-9 ampere * second / volt = nF
microfarad = 1e-6 ampere * second / volt = uF = µF = μF
hertz = 1 / second = Hz
kilohertz = 1e3 / second = kHz
megahertz = 1e6 / second = MHz
millihenry = 1e-3 volt * second / ampere = mH
henry = volt * second / ampere = H

kilobyte = 1e3 byte = kB
megabyte = 1e6 byte = MB
gigabyte = 1e9 byte = GB

percent = 0.01 = pct = %
degree_Celsius = kelvin; offset: 273.15 = degC = celsius = °C = ℃
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = degF = fahrenheit = °F = ℉
"""

# Names refused because they are read in more than one way, with what to write.
MEANT = {
    "ton": "t (1000 kg) or lb", "tons": "t (1000 kg) or lb",
    "gal": "L (a US gallon is 3.785 L, an imperial one 4.546 L)",
    "gallon": "L (a US gallon is 3.785 L, an imperial one 4.546 L)",
    "gallons": "L (a US gallon is 3.785 L, an imperial one 4.546 L)",
    "pint": "mL", "quart": "mL", "cup": "mL", "floz": "mL",
    "C": "degC for a temperature", "F": "degF for a temperature",
    "c": "degC for a temperature", "f": "degF for a temperature",
    "M": "m for metres or min for minutes",
    "kph": "km/h", "mph": "km/h or m/s", "fpm": "ft/min",
    "gpm": "L/min", "cfm": "m^3/h", "knot": "m/s (1 knot is 0.514 m/s)", "kn": "kN or m/s",
    "hp": "W or kW", "BTU": "kJ", "cal": "J", "sqm": "m^2", "sqft": "ft^2", "sqin": "in^2",
    "lbft": "lbf*ft", "ftlb": "lbf*ft", "ftlbs": "lbf*ft",
    "mM": "mm", "MM": "mm", "Mm": "mm", "KG": "kg", "Kg": "kg", "CM": "cm",
}


class UnitError(ValueError):
    """A unit that cannot be used, with what to write instead."""


def _registry() -> pint.UnitRegistry[Any]:
    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=False)
    registry.load_definitions([line for line in DEFINITIONS.splitlines() if line])
    # The library makes the differences of temperature itself, without the short names that this kit writes.
    registry.define("@alias delta_degree_Celsius = delta_degC")
    registry.define("@alias delta_degree_Fahrenheit = delta_degF")
    registry.formatter.default_format = "~P"
    return registry


ureg = _registry()
pint.set_application_registry(ureg)  # type: ignore[no-untyped-call]

if TYPE_CHECKING:
    Quantity: TypeAlias = PlainQuantity[Any]
else:
    Quantity = ureg.Quantity

# Every name on the list, as typed, and the registry's own name for it.
UNITS: dict[str, str] = {}
# The registry's own name, and the name this kit writes: the first short one in ASCII.
_WRITTEN: dict[str, str] = {}
for _line in DEFINITIONS.splitlines():
    if _line:
        _own, _, *_short = (part.strip() for part in _line.split("="))
        UNITS.update(dict.fromkeys((_own, *_short), _own))
        _WRITTEN[_own] = _own if _own in ("percent", "ohm", "mil") else next((n for n in _short if n.isascii()), _own)
_DIFFERENCES = {"degree_Celsius": "delta_degree_Celsius", "degree_Fahrenheit": "delta_degree_Fahrenheit"}
for _own, _delta in _DIFFERENCES.items():
    _WRITTEN[_delta] = f"delta_{_WRITTEN[_own]}"
    UNITS.update(dict.fromkeys((_delta, _WRITTEN[_delta], f"Δ{_WRITTEN[_own]}"), _delta))

# Names in the unit library's own list for units that this kit calls otherwise.
_ELSEWHERE = {
    "force_pound": "pound_force", "force_kilogram": "kilogram_force", "pound_force_per_square_inch": "psi",
    "revolutions_per_minute": "rpm", "turn": "revolution",
}

_LONGEST = 40
# Superscripts, and the ohm sign, which looks like the Greek letter and is another character.
_AS_TYPED = str.maketrans({"\u2126": "Ω", "¹": "1", "²": "2", "³": "3", "⁴": "4", "⁻": "-"})
_TERM = re.compile(r"([A-Za-zµμΩ°%℃℉Δ_]+|1(?= */))(?:(?:\*\*|\^)?(-?[1-9]))?")
_BETWEEN = re.compile(r" *(\*|/|·| ) *")
_NONE = ureg.Unit(UnitsContainer())


@lru_cache(maxsize=2048)
def unit(text: str) -> pint.Unit:
    """The unit that `text` names, such as "mm", "g/m^2", "kN/m" or "1" (a pure number, as is "").

    Raises UnitError for anything but names from `UNITS` with whole powers,
    joined by `*`, `·`, a space or `/`.  A name after `/` divides; nothing else
    does.  A degree in a compound ("1/degC") is a step of temperature.
    """
    if len(text) > _LONGEST:
        raise UnitError(f"a unit of {len(text)} characters is too long; write it like 'g/m^2'")
    if text.strip(" ") in ("", "1"):
        return _NONE
    terms = _terms(text)
    if len(terms) == 1 and terms[0][1] == 1:
        return ureg.Unit(UnitsContainer({terms[0][0]: 1}))
    made = _NONE
    for name, power in terms:
        made = made * ureg.Unit(UnitsContainer({_DIFFERENCES.get(name, name): power}))
    return made


def _terms(text: str) -> list[tuple[str, int]]:
    """The names and powers that a unit's text is made of."""
    rest, sign = text.strip(" ").translate(_AS_TYPED), 1
    terms: list[tuple[str, int]] = []
    while rest:
        term = _TERM.match(rest)
        if term is None:
            raise _not_a_unit(text)
        name, power = term.groups()
        if name != "1":
            terms.append((_named(name), sign * int(power or 1)))
        elif terms:
            raise _not_a_unit(text)
        rest = rest[term.end():]
        if rest:
            between = _BETWEEN.match(rest)
            if between is None or between.end() == len(rest):
                raise _not_a_unit(text)
            sign = -1 if between.group(1) == "/" else 1
            rest = rest[between.end():]
    return terms


def _not_a_unit(text: str) -> UnitError:
    return UnitError(f"{text!a} is not a unit; write it like 'mm', 'kg' or 'g/m^2'")


@lru_cache(maxsize=512)
def _named(name: str) -> str:
    """The registry's own name for a name as typed."""
    if name in UNITS:
        return UNITS[name]
    if name in MEANT:
        raise UnitError(f"'{name}' can be read in more than one way; write {MEANT[name]}")
    lowered = {known.lower(): known for known in UNITS}
    near = difflib.get_close_matches(name.lower(), lowered, n=1, cutoff=0.75)
    asked = f"; did you mean '{lowered[near[0]]}'?" if near else "; write it like 'mm', 'kg' or 'g/m^2'"
    raise UnitError(f"'{name}' is not a unit this kit knows{asked}")


def spell(of: Any) -> str:
    """A unit, or the unit of a quantity, in plain letters that `unit` reads back: "kg/m^3", "delta_degC", ""."""
    return _spelt(tuple(getattr(of, "units", of)._units.items()))


@lru_cache(maxsize=1024)
def _spelt(items: tuple[tuple[str, Any], ...]) -> str:
    def term(name: str, power: Any) -> str:
        return _WRITTEN[name] + (f"^{power:g}" if power != 1 else "")

    over = "*".join(term(name, power) for name, power in items if power > 0)
    under = "".join(f"/{term(name, -power)}" for name, power in items if power < 0)
    return (over or "1") + under if under else over


def Q(value: Any, unit_text: str = "") -> Quantity:
    """A quantity from a number or array and a unit, or from workshop text alone.

    Numbers become floats, so that a conversion never fails or truncates;
    text ("1 1/8 in") is read by `kit.workshop.read`.  Raises UnitError for a
    unit that is not on the list and ValueError for text that cannot be read.
    """
    if isinstance(value, str):
        from kit.workshop import read

        return read(value, unit_text)
    if is_quantity(value):
        return convert(adopt(value), unit(unit_text)) if unit_text else adopt(value)
    if isinstance(value, (bool, np.bool_)) or value is None:
        raise ValueError(f"{value!r} is not a number; write Q(12.5, 'mm')")
    return Quantity(_floats(value), unit(unit_text))


def is_quantity(value: object) -> bool:
    """True for a quantity of this registry or of any other."""
    return isinstance(value, pint.Quantity)


def adopt(value: Any) -> Quantity:
    """The same quantity in this registry, with a float magnitude.

    One made elsewhere is taken over by the names of its units; a unit that is
    not on the list here goes by way of the other registry's base units.
    Raises UnitError when those are not known here either.
    """
    if isinstance(value, ureg.Quantity):
        magnitude = value.magnitude
        as_float = isinstance(magnitude, float) or getattr(magnitude, "dtype", None) == np.float64
        return value if as_float else Quantity(_floats(magnitude), value.units)
    for known in (value, value.to_base_units()):
        made = _taken_over(known)
        if made is not None:
            return made
    raise UnitError(f"a quantity in {value.units} has no unit this kit knows; write it like Q(12.5, 'mm')")


def _taken_over(value: Any) -> Quantity | None:
    """The quantity of another registry by the names of its units; None where one is unknown or means another kind."""
    known = {_ELSEWHERE.get(name, name): power for name, power in value.unit_items()}
    if not all(name in _WRITTEN for name in known):
        return None
    if len(known) > 1:
        known = {_DIFFERENCES.get(name, name): power for name, power in known.items()}
    made = ureg.Unit(UnitsContainer(known))
    # Elsewhere a turn is an angle without a dimension of its own.
    kinds = {name: power for name, power in made.dimensionality.items() if name != "[rotation]"}
    return Quantity(_floats(value.magnitude), made) if kinds == dict(value.dimensionality) else None


def _floats(magnitude: Any) -> Any:
    return float(magnitude) if np.ndim(magnitude) == 0 else np.asarray(magnitude, dtype=float)


def is_absolute(of: Any) -> bool:
    """True for a thermometer scale with a zero of its own (degC, degF); kelvin serves for both kinds."""
    return len(of._units) == 1 and all(name in _DIFFERENCES and power == 1 for name, power in of._units.items())


def _is_difference(of: Any) -> bool:
    return len(of._units) == 1 and all(name.startswith("delta_") for name in of._units)


@lru_cache(maxsize=1024)
def same_kind(one: Any, other: Any) -> bool:
    """True when two units measure the same kind of quantity; a temperature and a difference are two kinds."""
    mixed = (is_absolute(one) and _is_difference(other)) or (_is_difference(one) and is_absolute(other))
    return bool(one.dimensionality == other.dimensionality) and not mixed


def convert(q: Quantity, to: pint.Unit) -> Quantity:
    """The quantity in another unit of its kind.

    Raises UnitError for another kind, and where a temperature would become a
    temperature difference or the other way round.
    """
    if q.units == to:
        return q
    if not same_kind(q.units, to):
        raise UnitError(f"{spell(q) or 'a pure number'} is not an amount in {spell(to) or '1'}")
    return q.to(to)
