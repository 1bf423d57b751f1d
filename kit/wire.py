"""Copper wire: its resistance, what current it may carry, and the thinnest that will do.

Sizes are the metric ones of IEC 60228 and the gauges from 18 to 4 AWG.  A
class 5 wire is fine-stranded, as every wire on something that moves has to be;
its greatest resistance is a sixth above what the nominal area would give.
Current is held to the published table for boats at 30 degrees of air, less for
hotter air and for wires in a bundle.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any, Literal, NamedTuple, get_args

import numpy as np

from kit.calculator import calculator, result
from kit.kinds import Choice, Count, In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import read_facts, read_table

__all__ = [
    "COPPER", "FACTS", "INSULATIONS", "SIZES", "Insulation", "Make", "Size", "Wire", "ampacity_of", "area_of",
    "bundled", "current", "current_left", "hotter", "insulation", "length", "make", "resistance_of", "size",
    "surroundings", "tables", "wire",
]  # fmt: skip

Size = Literal[
    "0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2", "25 mm2", "35 mm2",
    "50 mm2", "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG",
]  # fmt: skip
SIZES: tuple[Size, ...] = get_args(Size)
Make = Literal["tinned class 5", "class 5", "class 2"]
Insulation = Literal["60 degC", "75 degC", "80 degC", "90 degC", "105 degC", "125 degC", "200 degC"]
INSULATIONS: tuple[Insulation, ...] = get_args(Insulation)

FACTS = read_facts("wiring")
_ZERO = FACTS["zero"].value
# Kilograms of copper in a cubic metre: 8.89 in the standard of its resistance.
COPPER = Q(8890, "kg/m^3")
_MAKES = {"tinned class 5": "tinned", "class 5": "class_5", "class 2": "class_2"}
# Tinned wire against plain: 8.21 to 7.98 ohm/km at 2.5 mm2 in the table of metric sizes.
_TINNED = 8.21 / 7.98
_KFT = Q(1000, "ft")
_AIR = 30.0


class Tables(NamedTuple):
    """Every size at once, in SI: area, resistance a metre at 20 degC, current (nan where nothing is printed)."""

    area: np.ndarray[Any, Any]
    resistance: dict[Any, np.ndarray[Any, Any]]
    current: dict[Any, np.ndarray[Any, Any]]


@lru_cache(maxsize=1)
def tables() -> Tables:
    """The printed tables, with gauges brought from 75 to 20 degC."""
    lines = {line["size"]: line for line in read_table("wires")}
    area = np.array([float(lines[s]["area"]) for s in SIZES]) * 1e-6

    def ohms(name: Size, kind: Make) -> float:
        printed = lines[name]
        if not printed["awg_75"]:
            return float(printed[_MAKES[kind]]) * 1e-3
        plain = float(printed["awg_75"]) / _KFT.m_as("m") * (_ZERO + 20) / (_ZERO + 75)
        return float(plain * (_TINNED if kind == "tinned class 5" else 1.0))

    resistance = {kind: np.array([ohms(name, kind) for name in SIZES]) for kind in get_args(Make)}
    printed = [(float(line["area"]) * 1e-6, line) for line in read_table("ampacity")]

    def amperes(kind: Insulation) -> list[tuple[float, float]]:
        return [(size, float(line[kind.removesuffix(" degC")])) for size, line in printed]

    current = {kind: np.array([_stepped(a, amperes(kind)) for a in area]) for kind in INSULATIONS}
    return Tables(area, resistance, current)


def _stepped(area: float, printed: list[tuple[float, float]]) -> float:
    """The current of the largest printed gauge that is no thicker; nothing is read off between two."""
    return float(max((amperes for size, amperes in printed if size <= area * (1 + 1e-9)), default=np.nan))


def area_of(name: Size) -> Quantity:
    """Copper area of a size, as its name says it."""
    return Q(tables().area[SIZES.index(name)] * 1e6, "mm^2")


def resistance_of(name: Size, kind: Make, temperature: Quantity) -> Quantity:
    """Greatest resistance of a metre of one wire at the temperature of its copper."""
    return Q(tables().resistance[kind][SIZES.index(name)] * hotter(temperature), "ohm/m")


def hotter(temperature: Quantity) -> Any:
    """Resistance of copper at a temperature, as a multiple of that at 20 degC."""
    return (_ZERO + temperature.m_as("degC")) / (_ZERO + 20)


def ampacity_of(name: Size, kind: Insulation, ambient: Quantity, wires: Any) -> Quantity:
    """Current the wire may carry for long in air of this temperature, in a bundle of so many loaded wires.

    Below 18 AWG nothing is printed: nan.
    """
    left = current_left(float(kind.removesuffix(" degC")), ambient.m_as("degC"), wires)
    return Q(tables().current[kind][SIZES.index(name)] * left, "A")


def current_left(most: Any, ambient: Any, wires: Any) -> Any:
    """Share of the table's current left to insulation for `most` degC in warm air, and in a bundle."""
    # Nothing is added for air cooler than the table's own.
    room = np.clip((most - ambient) / (most - _AIR), 0, 1)
    return np.sqrt(room) * bundle_share(wires)


def bundle_share(wires: Any) -> Any:
    """Share of the current left to each of so many loaded wires in one bundle; more than 24 as for 24."""
    count = np.asarray(wires, dtype=float)
    shares = [FACTS[f"bundle {least}"].value for least in (3, 4, 7)]
    picked_share = np.select([count < 3, count < 4, count < 7, count >= 7], [1.0, *shares], default=np.nan)
    return picked_share[()]


# -- kinds that rows and calculators share -------------------------------------------------------------------


def size() -> Choice:
    """The kind of a wire size."""
    return Choice("wire size", "1.5 mm2", find="printed on the sheath or the drum; mm2 or AWG")


def make() -> Choice:
    """The kind of how a wire is stranded."""
    return Choice("how it is stranded", "tinned class 5", find="class 5 is fine-stranded; a wire gauge of plain copper "
                  "counts as class 5")


def insulation() -> Choice:
    """The kind of an insulation's temperature rating."""
    return Choice("temperature rating of the insulation", "60 degC", find="count 105 degC only if it is printed on it")


def surroundings() -> In:
    """The kind of the air's temperature around a wire."""
    return In("degC", "temperature of the air around it at its hottest", 30, ge=-40, le=120, everyday=(15, 60),
              find="shaded and near the water as the air; behind a dark panel in the sun 50 degC and more")


def bundled() -> Count:
    """The kind of the number of loaded wires in one bundle."""
    return Count("loaded wires in one bundle or sheath, its return included", 2, ge=1, le=24)


def length() -> In:
    """The kind of a run's length one way."""
    return In("m", "length one way", 1.8, ge=0.01, le=500, resolution=0.1, rounding="up", basis="measured",
              find="lay a string along the real path, and add 15 %")


def current(meaning: str = "current while it runs", example: float = 3) -> In:
    """The kind of a current."""
    return In("A", meaning, example, ge=0, le=1000, everyday=(0.001, 60), basis="data sheet",
              find="clamp meter, or watts divided by volts")


# -- one wire in figures -------------------------------------------------------------------------------------


@result
class Wire:
    """What one wire is and bears."""

    area: Annotated[Quantity, Out("mm^2", "copper area")]
    nearest: Annotated[str, Says("nearest size of the other system that is not thinner")]
    at_20: Annotated[Quantity, Out("mohm/m", "greatest resistance of a metre at 20 degC")]
    hot: Annotated[Quantity, Out("mohm/m", "greatest resistance of a metre at its temperature", rounding="up")]
    ampacity: Annotated[Quantity, Out("A", "current it may carry for long", rounding="down",
                                      absent="no table goes below 18 AWG")]
    drop: Annotated[Quantity, Out("V", "voltage lost, both ways", resolution=0.001, rounding="up")]
    loss: Annotated[Quantity, Out("W", "heat it makes, both ways", rounding="up")]


@calculator("IEC-60228", "CFR-183.425")
def wire(
    *,
    size: Annotated[Size, size()],
    make: Annotated[Make, make()] = "tinned class 5",
    insulation: Annotated[Insulation, insulation()] = "60 degC",
    temperature: Annotated[Quantity, surroundings()] = Q(30, "degC"),
    wires: Annotated[int, bundled()] = 2,
    one_way: Annotated[Quantity, length()],
    current: Annotated[Quantity, current()],
) -> Wire:
    """Resistance, allowed current, drop and heat of one run of wire.

    Drop = 2 L I R; R = R20 (234.5 + T)/254.5 with the greatest resistance the
    standard allows.  The allowed current is that of the largest printed gauge
    that is no thicker, times sqrt((Tm - T)/(Tm - 30)) for warm air (from
    memory; it gives the printed 0.85 for 105 degC wire at 50 degC) and times
    the share for bundles.  Left out: terminals, switch and fuse, which lose
    another 0.1 to 0.2 V.

    >>> run = wire(size="2.5 mm2", make="class 5", temperature=Q(20, "degC"), one_way=Q(8, "m"), current=Q(5, "A"))
    >>> print(f"{run.drop:.3f~P}")
    0.638 V
    """
    resistance = resistance_of(size, make, temperature)
    drop = Q(2 * one_way * current * resistance, "V")
    return Wire(
        area=area_of(size), nearest=_nearest(size), at_20=resistance_of(size, make, Q(20, "degC")), hot=resistance,
        ampacity=ampacity_of(size, insulation, temperature, wires), drop=drop, loss=Q(drop * current, "W"),
    )


def _nearest(name: Size) -> str:
    """The thinnest size of the other system that is not thinner; thinner by less than 1 % counts as the same."""
    area, other = area_of(name).m, "AWG" if name.endswith("mm2") else "mm2"
    there = sorted((area_of(s).m, s) for s in SIZES if s.endswith(other) and area_of(s).m >= 0.99 * area)
    return there[0][1] if there else f"none of the {other} sizes held here is as thick"
