"""Quantities as a person reads them: rounded to what a workshop can measure.

`SHOWN` is the one table of resolutions; lengths, masses and money have a shop
resolution of their own, and only stress, energy, flow and their like are shown
with three significant figures.  `INCH` says what an inch reader sees instead
of each metric unit.  Showing changes no stored value.

    >>> from kit.quantities import Q
    >>> show(Q(28.575, "mm"), "mm")
    '29 mm'
    >>> show(Q(28.575, "mm"), "mm", prefs=Prefs(system="inch"))
    '1 1/8 in'
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Literal, get_args

import numpy as np

from kit.quantities import Quantity, adopt, convert, is_absolute, spell, unit

__all__ = ["CURRENCIES", "INCH", "SHOWN", "Prefs", "Rounding", "System", "label", "other_system", "rule_text", "show"]

System = Literal["metric", "inch"]
Rounding = Literal["near", "up", "down"]

# Codes of ISO 4217, from memory, and the decimals each is written with.
CURRENCIES: Mapping[str, int] = MappingProxyType({
    "AUD": 2, "CAD": 2, "CHF": 2, "CZK": 2, "DKK": 2, "EUR": 2, "GBP": 2, "HUF": 2, "INR": 2, "ISK": 0, "JPY": 0,
    "NOK": 2, "NZD": 2, "PLN": 2, "RON": 2, "SEK": 2, "USD": 2, "ZAR": 2,
})


@dataclass(frozen=True, slots=True)
class Prefs:
    """How the reader of a build wants numbers shown; changes no stored value.

    `system` is "metric" or "inch"; `currency` is an ISO 4217 code from
    `CURRENCIES`.  Raises ValueError for any other.
    """

    system: System = "metric"
    currency: str = "GBP"

    def __post_init__(self) -> None:
        if self.system not in get_args(System):
            raise ValueError(f"system: {self.system!r} is not 'metric' or 'inch'; write Prefs(system='inch')")
        if self.currency not in CURRENCIES:
            raise ValueError(
                f"currency: {self.currency!r} is not one of {', '.join(CURRENCIES)}; write Prefs(currency='EUR')")


# Shop resolution by unit: one step for all sizes, or (step, below this size) pairs that end with the step beyond.
# A unit that is not here is shown with three significant figures. Common practice, no source.
Steps = tuple[tuple[float, float], ...]
SHOWN: Mapping[str, Steps] = MappingProxyType({
    "mm": ((1, math.inf),),
    "cm": ((0.1, math.inf),),
    "m": ((0.001, math.inf),),
    "um": ((1, math.inf),),
    "mil": ((0.1, math.inf),),
    "kg": ((0.1, 100), (1, math.inf)),
    "g": ((0.1, math.inf),),
    "lb": ((0.1, 100), (1, math.inf)),
    "oz": ((0.1, math.inf),),
    "mL": ((0.1, math.inf),),
    "s": ((0.1, 10), (1, math.inf)),
    "min": ((0.1, 10), (1, math.inf)),
    "h": ((0.1, 10), (1, math.inf)),
    "d": ((0.1, 10), (1, math.inf)),
    "wk": ((0.1, 10), (1, math.inf)),
    "yr": ((0.1, 10), (1, math.inf)),
    "deg": ((0.1, math.inf),),
    "V": ((0.01, math.inf),),
    "percent": ((0.1, 10), (1, math.inf)),
    "degC": ((0.1, math.inf),),
    "degF": ((0.1, math.inf),),
    "delta_degC": ((0.1, math.inf),),
    "delta_degF": ((0.1, math.inf),),
    "kg/m^3": ((1, math.inf),),
    "lb/ft^3": ((0.1, math.inf),),
    "rpm": ((1, math.inf),),
})

# What an inch reader sees for each metric unit, term by term; "kN/m^2" and its like are looked up whole first.
# Litres, grams, hours, watts and volts stay: resin is weighed in grams and pumps are rated in litres there too.
INCH: Mapping[str, str] = MappingProxyType({
    "kN/m^2": "psf", "N/m^2": "psf", "N/mm^2": "psi", "um": "mil",
    "mm": "in", "cm": "in", "m": "ft", "kg": "lb", "t": "lb", "N": "lbf", "kN": "lbf", "Nm": "lbf*ft",
    "Pa": "psi", "kPa": "psi", "MPa": "psi", "GPa": "psi", "bar": "psi", "mbar": "psi",
    "degC": "degF", "delta_degC": "delta_degF",
})
_METRIC = {
    "in": "mm", "ft": "m", "yd": "m", "mil": "um", "lb": "kg", "oz": "g", "lbf": "N", "psi": "kPa", "psf": "kPa",
    "bdft": "m^3", "degF": "degC", "delta_degF": "delta_degC",
}
# With one of these in it a unit is one of volume sold, power or heat, and an inch reader reads it as it stands.
_STAYS = {"L", "W", "kW", "mW", "J", "kJ", "MJ", "Wh", "kWh", "V", "mV", "A", "mA", "Ah", "mAh", "ohm", "K", "mL"}

_SIGNS = {"percent": "%", "degC": "°C", "degF": "°F", "delta_degC": "°C", "delta_degF": "°F", "deg": "°",
          "ohm": "Ω", "mohm": "mΩ", "kohm": "kΩ", "um": "µm", "uA": "µA", "uF": "µF", "us": "µs"}
_NAME = re.compile(r"[A-Za-z_]+")
_POWERS = str.maketrans({"-": "⁻", "1": "¹", "2": "²", "3": "³", "4": "⁴"})
# An inch rule is read to a fraction that follows from the resolution asked, in mm: finest 32nds, below that decimals.
_FRACTIONS = ((10.0, 2), (1.0, 16), (0.1000001, 32))
_FORGIVEN = 1e-9
# Below this, three figures are clearer with an exponent.
_PLAIN = 1e-4


def show(
    q: Quantity,
    unit_text: str,
    *,
    resolution: float | None = None,
    rounding: Rounding = "near",
    prefs: Prefs = Prefs(),
    difference: bool = False,
) -> str:
    """The quantity as text for a person, rounded to `resolution` (in `unit_text`) or to its shop resolution.

    `unit_text` is the metric unit to show it in ("" keeps its own); an inch
    reader sees the unit that `INCH` names.  "up" and "down" round the safe way
    and forgive 1e-9 of a step.  nan is "not worked out", an endless value "no
    limit"; an array is shown by the number of its values and their range.
    Raises `UnitError` when the quantity is of another kind.
    """
    mine = adopt(q)
    name = _name(unit_text, difference) or spell(mine)
    seen = other_system(name, "inch") if prefs.system == "inch" else name
    write = _writer(name, seen, resolution, rounding, prefs)
    magnitude = convert(mine, unit("in" if seen == "ft" else seen)).magnitude
    if np.ndim(magnitude) == 0:
        return _words(float(magnitude)) or write(float(magnitude))
    return _range(np.asarray(magnitude, dtype=float), write, "" if seen == "ft" else _suffix(seen, prefs))


def label(unit_text: str, prefs: Prefs = Prefs()) -> str:
    """A unit as a person reads it ("kg/m³", "%", "GBP"), for headings and limits; "" for a pure number."""
    text = _NAME.sub(lambda m: prefs.currency if m[0] == "money" else _SIGNS.get(m[0], m[0]), spell(unit(unit_text)))
    return re.sub(r"\^(-?\d+)", lambda m: m[1].translate(_POWERS), text).replace("*", "·")


@lru_cache(maxsize=512)
def other_system(unit_text: str, system: System) -> str:
    """The unit that a metric or inch reader uses in place of this one; the same where both use one."""
    table = INCH if system == "inch" else _METRIC
    name = spell(unit(unit_text))
    if name in table:
        return table[name]
    if _STAYS.intersection(_NAME.findall(name)):
        return name
    return spell(unit(_NAME.sub(lambda m: table.get(m[0], m[0]), name)))


@lru_cache(maxsize=512)
def _name(unit_text: str, difference: bool) -> str:
    name = spell(unit(unit_text))
    return f"delta_{name}" if difference and is_absolute(unit(name)) else name


def _writer(name: str, seen: str, resolution: float | None, rounding: Rounding, prefs: Prefs) -> Callable[[float], str]:
    """What writes one finite number of the unit seen."""
    if seen in ("in", "ft"):
        millimetres = 1.0 if resolution is None else resolution * _size(name, "mm")
        if seen == "in" or millimetres < 50:
            return lambda value: _imperial(value, millimetres, rounding, feet=seen == "ft")
        return lambda value: _decimal(value / 12, 0.1, rounding) + " ft"
    step = resolution
    if step is not None and seen != name:
        step = 10.0 ** math.floor(math.log10(step * _size(name, seen)) + _FORGIVEN)
    if "money" in seen:
        step = max(step or 0.0, 10.0 ** -CURRENCIES[prefs.currency])
    suffix = _suffix(seen, prefs)
    trim = seen in ("m", "")
    return lambda value: _decimal(value, step or _step(value, seen), rounding, trim=trim) + suffix


@lru_cache(maxsize=512)
def _size(name: str, other: str) -> float:
    """One step of a unit in another; of a thermometer scale, the size of its degree."""
    one, none = (float(convert(Quantity(v, unit(name)), unit(other)).magnitude) for v in (1.0, 0.0))
    return one - none


def _step(value: float, name: str) -> float:
    """The shop resolution at this value, or the step of its third significant figure."""
    for step, below in SHOWN.get(name, ()):
        if abs(value) < below:
            return step
    if value == 0:
        return 1.0
    third = 10.0 ** max(math.floor(math.log10(abs(value))) - 2, -300)
    if name:
        return third
    # A count is never rounded to tens, and a whole one is shown whole.
    return min(third, 1.0) if abs(value) != round(abs(value)) else 1.0


def _whole(steps: float, rounding: Rounding) -> int:
    """The number of whole steps; a value within 1e-9 of one counts as that one."""
    slack = _FORGIVEN + 1e-15 * abs(steps)
    if rounding == "up":
        return math.ceil(steps - slack)
    if rounding == "down":
        return math.floor(steps + slack)
    return int(math.copysign(math.floor(abs(steps) + 0.5 + slack), steps))


def _decimal(value: float, step: float, rounding: Rounding, *, trim: bool = False) -> str:
    steps = value / step
    if not abs(steps) < 1e15:
        return f"{value:.6g}"
    rounded = _whole(steps, rounding) * Decimal(f"{step:.12g}")
    text = f"{rounded:e}" if 0 < abs(rounded) < _PLAIN else f"{rounded:f}"
    return text.rstrip("0").rstrip(".") if trim and "." in text else text


def _imperial(inches: float, millimetres: float, rounding: Rounding, *, feet: bool) -> str:
    """Inches, or feet and inches, as a rule is read; in decimals where a rule is too coarse."""
    parts = next((parts for least, parts in _FRACTIONS if millimetres >= least), 0)
    if not abs(inches * 1000) < 1e15:
        return f"{inches:.6g} in"
    if not parts:
        return _decimal(inches, 0.001, rounding) + " in"
    return rule_text(Fraction(_whole(inches * parts, rounding), parts), feet=feet)


def rule_text(inches: Fraction, *, feet: bool = False) -> str:
    """Inches as a rule is read: "1 1/8 in", or with `feet` "5 ft 6 1/2 in"."""
    whole = int(abs(inches) // 12) if feet else 0
    rest = abs(inches) - 12 * whole
    number = " ".join(str(part) for part in (int(rest), rest % 1) if part) or "0"
    sign = "-" if inches < 0 else ""
    if not whole:
        return f"{sign}{number} in"
    return f"{sign}{whole} ft" + (f" {number} in" if rest else "")


def _suffix(name: str, prefs: Prefs) -> str:
    sign = label(name, prefs)
    return sign if sign in ("", "°") else f" {sign}"


def _words(value: float) -> str:
    return "not worked out" if math.isnan(value) else "no limit" if math.isinf(value) else ""


def _range(values: Any, write: Callable[[float], str], suffix: str) -> str:
    known = values[~np.isnan(values)]
    if not values.size:
        return "no values"
    if not known.size:
        return "not worked out"
    low, high = (_words(float(v)) or write(float(v)) for v in (known.min(), known.max()))
    span = low if low == high else f"{low.removesuffix(suffix if high.endswith(suffix) else '')} to {high}"
    missing = values.size - known.size
    count = f"{values.size} value{'s' if values.size > 1 else ''}"
    return f"{count}, {span}" + (f", {missing} not worked out" if missing else "")
