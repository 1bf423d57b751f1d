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

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
import pint

if TYPE_CHECKING:
    from pint.facets.plain import PlainQuantity

__all__ = [
    "MEANT", "UNITS", "Quantity", "UnitError",
    "Q", "adopt", "is_quantity", "same_kind", "unit", "ureg",
]

# Each line is one unit: name = value = symbol = further spellings.
DEFINITIONS = """
meter = [length] = m = metre = meters = metres
second = [time] = s = sec = seconds
kilogram = [mass] = kg
kelvin = [temperature]; offset: 0 = K
ampere = [current] = A = amp = amps
revolution = [rotation] = rev = revs
money = [money]
radian = [] = rad

micrometer = 1e-6 meter = um = µm = μm = micron = microns
millimeter = 1e-3 meter = mm = millimetre
centimeter = 1e-2 meter = cm = centimetre
kilometer = 1e3 meter = km = kilometre
inch = 0.0254 meter = in = inches
foot = 0.3048 meter = ft = feet
yard = 0.9144 meter = yd = yards
mil = 25.4e-6 meter = mils

liter = 1e-3 meter ** 3 = L = l = litre = liters = litres
milliliter = 1e-6 meter ** 3 = mL = ml = millilitre
cubic_centimeter = 1e-6 meter ** 3 = cc
board_foot = 0.0254 * 0.3048 * 0.3048 meter ** 3 = bdft = board_feet

milligram = 1e-6 kilogram = mg
gram = 1e-3 kilogram = g = grams
tonne = 1000 kilogram = t = tonnes
pound = 0.45359237 kilogram = lb = lbs = pounds
ounce = 0.028349523125 kilogram = oz = ounces

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

milliampere = 1e-3 ampere = mA
ampere_hour = 3600 ampere * second = Ah
milliampere_hour = 3.6 ampere * second = mAh
volt = watt / ampere = V
millivolt = 1e-3 volt = mV
ohm = volt / ampere = Ω
kiloohm = 1e3 ohm = kohm = kΩ
hertz = 1 / second = Hz

percent = 0.01 = pct = %
degree_Celsius = kelvin; offset: 273.15 = degC = celsius = °C
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = degF = fahrenheit = °F
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
    "'": "ft", '"': "in", "kph": "km/h", "mph": "km/h or m/s", "fpm": "ft/min",
    "gpm": "L/min", "cfm": "m^3/h", "knot": "m/s (1 knot is 0.514 m/s)", "kn": "kN or m/s",
    "hp": "W or kW", "BTU": "kJ", "cal": "J", "sqm": "m^2", "sqft": "ft^2", "lbs/ft2": "psf",
    "mM": "mm", "MM": "mm", "Mm": "mm", "KG": "kg", "Kg": "kg", "CM": "cm",
}


class UnitError(ValueError):
    """A unit that is not on the list, with what to write instead."""


def _registry() -> pint.UnitRegistry[Any]:
    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=False)
    registry.load_definitions([line for line in DEFINITIONS.splitlines() if line])
    registry.formatter.default_format = "~P"
    return registry


ureg = _registry()
pint.set_application_registry(ureg)

if TYPE_CHECKING:
    Quantity: TypeAlias = PlainQuantity[Any]
else:
    Quantity = ureg.Quantity

# Every name on the list, as typed, and the registry's own name for it.
UNITS: dict[str, str] = {}
for _line in DEFINITIONS.splitlines():
    _names = [part.strip() for part in _line.split("=")]
    if len(_names) >= 2:
        UNITS.update({name: _names[0] for name in (_names[0], *_names[2:])})
for _name in ("degree_Celsius", "degree_Fahrenheit"):
    UNITS[f"delta_{_name}"] = f"delta_{_name}"
UNITS["delta_degC"] = "delta_degree_Celsius"
UNITS["delta_degF"] = "delta_degree_Fahrenheit"

_SUPERSCRIPTS = str.maketrans({"²": "2", "³": "3", "⁴": "4"})
_TERM = re.compile(r"([A-Za-zµμΩ°%_]+|1)(?:(?:\*\*|\^)?(-?[1-9]))?")
_BETWEEN = re.compile(r"\s*(\*|/|·|\s)\s*")


@lru_cache(maxsize=2048)
def unit(text: str) -> pint.Unit:
    """The unit that `text` names, such as "mm", "g/m^2", "kN/m" or "" (a pure number).

    Raises UnitError for anything but names from `UNITS` with whole powers,
    joined by `*`, `·`, a space or `/`.  A name after `/` divides; nothing else does.
    """
    if len(text) > 40:
        raise UnitError(f"a unit of {len(text)} characters is too long; write it like 'g/m^2'")
    rest = text.strip().translate(_SUPERSCRIPTS)
    made = ureg.Unit("")
    sign = 1
    while rest:
        term = _TERM.match(rest)
        if term is None:
            raise UnitError(f"'{text}' is not a unit; write it like 'mm', 'kg' or 'g/m^2'")
        name, power = term.groups()
        if name != "1":
            made = made * _named(name) ** (sign * int(power or 1))
        rest = rest[term.end():]
        if rest:
            between = _BETWEEN.match(rest)
            if between is None or between.end() == len(rest):
                raise UnitError(f"'{text}' is not a unit; write it like 'mm', 'kg' or 'g/m^2'")
            sign = -1 if between.group(1) == "/" else 1
            rest = rest[between.end():]
    return made


@lru_cache(maxsize=512)
def _named(name: str) -> pint.Unit:
    if name in MEANT:
        raise UnitError(f"'{name}' can be read in more than one way; write {MEANT[name]}")
    if name not in UNITS:
        raise UnitError(f"'{name}' is not a unit this kit knows")
    return ureg.Unit(UNITS[name])


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
        return adopt(value).to(unit(unit_text)) if unit_text else adopt(value)
    if isinstance(value, (bool, np.bool_)) or value is None:
        raise ValueError(f"{value!r} is not a number; write Q(12.5, 'mm')")
    return Quantity(_floats(value), unit(unit_text))


def is_quantity(value: object) -> bool:
    """True for a quantity of this registry or of any other."""
    return isinstance(value, pint.Quantity)


def adopt(value: Any) -> Quantity:
    """The same quantity in this registry; one made elsewhere is taken over by unit name."""
    if isinstance(value, Quantity):
        return value
    made = ureg.Unit("")
    for name, power in value.unit_items():
        made = made * _named(name) ** power
    return Quantity(_floats(value.magnitude), made)


def _floats(magnitude: Any) -> Any:
    return float(magnitude) if np.ndim(magnitude) == 0 else np.asarray(magnitude, dtype=float)


@lru_cache(maxsize=1024)
def same_kind(one: pint.Unit, other: pint.Unit) -> bool:
    """True when two units measure the same kind of quantity (and both or neither are offset)."""
    return bool(one.dimensionality == other.dimensionality)
