"""Wood as it is bought: species, density, moisture and movement.

Three different specific gravities are in use and must not be mixed.  Here
*gravity* is oven-dry mass over the volume at 12 % moisture, as the Wood
Handbook prints it; *assigned gravity* is oven-dry mass over oven-dry volume, as
the North American connection rules use it; a green gravity is turned into the
first before anything is worked out.  Moisture is always a percentage of the
oven-dry mass.  Strengths of the species table are averages of clear wood: they
serve no design, for which a stamped grade is needed.

    >>> round(SPECIES["Douglas-fir (coast)"].density(Q(12, "percent")).m_as("kg/m^3"))
    538
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Any, Literal, get_args

import numpy as np

from kit.calculator import InputError, applies, calculator, result
from kit.kinds import Choice, In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import Fact, Known, read_table

__all__ = [
    "CUTS", "SPECIES", "Cut", "EquilibriumMoisture", "Movement", "Species", "WoodDensity", "across",
    "equilibrium_moisture", "moisture", "movement", "movement_coefficient", "sorbed", "species", "wood_density",
]

Cut = Literal["flat-sawn", "quarter-sawn", "in between"]
CUTS: tuple[Cut, ...] = get_args(Cut)

_WATER = Q(1000, "kg/m^3")
# The moisture at which the gravity of the table is stated.
_STATED = Q(12, "percent")
# Moisture below which most woods begin to shrink; the table names the exceptions. Wood Handbook chapter 4, from memory.
_BEGINS = Q(30, "percent")


@dataclass(frozen=True, slots=True)
class Species:
    """One species: its properties as facts, by name of the property."""

    name: str
    group: str
    decay: str
    facts: Mapping[str, Fact]

    @property
    def gravity(self) -> Quantity:
        """Oven-dry mass over volume at 12 % moisture; worked out from the green gravity where only that is known."""
        if "gravity" in self.facts:
            return self.facts["gravity"].q
        shrunk = self.facts["shrinkage_volumetric"].q * (1 - _STATED / self.shrinkage_begins)
        return Q(self.facts["gravity_green"].q / (1 - shrunk), "1")

    @property
    def assigned_gravity(self) -> Quantity:
        """Oven-dry mass over oven-dry volume: as assigned by the North American rules, else worked out by shrinkage."""
        if "gravity_assigned" in self.facts:
            return self.facts["gravity_assigned"].q
        volumetric = self.facts["shrinkage_volumetric"].q if "shrinkage_volumetric" in self.facts else Q(12, "percent")
        at_stated = 1 - volumetric * (1 - _STATED / self.shrinkage_begins)
        return Q(self.gravity * at_stated / (1 - volumetric), "1")

    @property
    def shrinkage_begins(self) -> Quantity:
        """Moisture below which this wood begins to shrink and above which it swells no further."""
        return self.facts["shrinkage_begins"].q if "shrinkage_begins" in self.facts else Q(_BEGINS)

    def dry_density(self) -> Quantity:
        """Oven-dry mass in a volume measured near 12 % moisture."""
        return Q(self.gravity * _WATER)

    def density(self, at: Quantity) -> Quantity:
        """Density of wood cut to size near 12 % moisture, when its moisture is `at`.

        rho = 1000 G (1 + M): 1120 G at 12 %.  The volume is that of the sizes
        as cut; wood measured at another moisture is out by about 0.4 % for
        each percent of moisture, which no one weighs.
        """
        return Q(self.dry_density() * (1 + at.m_as("")))

    def coefficient(self, cut: str) -> Quantity | None:
        """Share of the width by which it moves for each percent of moisture, or None where nothing is known.

        Tabulated, or from the shrinkage S by the rule of the handbook's table,
        C = (S/B) / (100 - S (B - 10)/B), B the moisture where shrinkage begins.
        "in between" is the mean of the two directions.
        """
        radial, tangential = (self._coefficient(way) for way in ("radial", "tangential"))
        if radial is None or tangential is None:
            return None
        return Q(_by_cut(cut, radial, tangential))

    def _coefficient(self, way: str) -> Quantity | None:
        if f"movement_{way}" in self.facts:
            return self.facts[f"movement_{way}"].q
        if f"shrinkage_{way}" not in self.facts:
            return None
        return movement_coefficient(self.facts[f"shrinkage_{way}"].q, self.shrinkage_begins)

    def shrinkage(self, cut: str) -> Quantity | None:
        """Shrinkage across the grain from green to oven-dry, as a share of the green size, or None."""
        if "shrinkage_radial" not in self.facts:
            return None
        radial, tangential = self.facts["shrinkage_radial"].q, self.facts["shrinkage_tangential"].q
        return Q(_by_cut(cut, radial, tangential))

    def remembered(self, *properties: str) -> tuple[str, ...]:
        """A note for every property asked for whose value was not read in its source."""
        said = []
        for name in properties:
            fact = self.facts.get(name)
            if fact is not None and fact.known == "memory":
                what = f"the {name.replace('_', ' ')} ({fact.value:g})"
                said.append(f"{self.name}: {what} is from memory, not yet read in {fact.source} {fact.place}")
        return tuple(said)


def _by_cut(cut: str, radial: Quantity, tangential: Quantity) -> Any:
    return {"flat-sawn": tangential, "quarter-sawn": radial}.get(cut, (radial + tangential) / 2)


def movement_coefficient(shrinkage: Quantity, begins: Quantity) -> Quantity:
    """Share moved for each percent of moisture at 10 %, from the shrinkage and the moisture where it begins."""
    return Q(shrinkage / begins / (1 - shrinkage * (1 - Q(10, "percent") / begins)), "1/percent")


def _read_species() -> Mapping[str, Species]:
    words: dict[str, dict[str, str]] = {}
    facts: dict[str, dict[str, Fact]] = {}
    for line in read_table("species"):
        name, key = line["species"], line["property"]
        if key in ("group", "decay"):
            words.setdefault(name, {})[key] = line["value"]
            continue
        known: Known = line["known"]  # type: ignore[assignment]
        meaning = f"{key.replace('_', ' ')} of {name}"
        facts.setdefault(name, {})[key] = Fact(
            key, meaning, float(line["value"]), line["unit"], line["source"], line["place"], known, line["note"] or "")
    return MappingProxyType({
        name: Species(name, said["group"], said["decay"], MappingProxyType(facts[name])) for name, said in words.items()
    })


SPECIES: Mapping[str, Species] = _read_species()


def species(meaning: str, example: str = "Douglas-fir (coast)") -> Choice:
    """The kind of an input that names a species: `Annotated[str, species("species of the deck boards")]`."""
    find = "ask the yard; or weigh an offcut and compare mass over volume with the densities of the table"
    return Choice(meaning, example, options=tuple(SPECIES), find=find, basis="data sheet")


def moisture(meaning: str, example: float = 12) -> In:
    """The kind of an input that is a moisture, as a percentage of the oven-dry mass."""
    return In(
        "percent", meaning, example, ge=0, le=200, everyday=(6, 35), resolution=0.1,
        basis="measured",
        find="moisture meter; or weigh an offcut, dry it at 103 degC until its mass stays, weigh again",
    )


def across(kind: Species, cut: str, start: Quantity, end: Quantity, rate: Quantity | None = None) -> Quantity | None:
    """Change of a size across the grain as a share of the size at `start` (+ swells); None where nothing is known.

    `rate` takes the place of the tabulated coefficient.
    """
    used = kind.coefficient(cut) if rate is None else rate
    return None if used is None else Q(used * (_bound(kind, end) - _bound(kind, start)), "1")


def _bound(kind: Species, at: Quantity) -> Quantity:
    """The moisture that counts for movement: above it the walls of the cells are full and wood swells no further."""
    return Q(np.minimum(at.m_as("percent"), kind.shrinkage_begins.m_as("percent")), "percent")


@result
class WoodDensity:
    """Density of a species at a moisture."""

    density: Annotated[Quantity, Out("kg/m^3", "density at this moisture", resolution=1)]
    dry_density: Annotated[Quantity, Out("kg/m^3", "oven-dry mass in the same volume", resolution=1)]
    gravity: Annotated[Quantity, Out("1", "oven-dry mass over volume at 12 % moisture", resolution=0.01)]
    assigned_gravity: Annotated[Quantity, Out("1", "oven-dry mass over oven-dry volume", resolution=0.01)]
    decay: Annotated[str, Says("resistance of its heartwood to decay")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "FPL-0153", "NDS-2018")
def wood_density(
    *,
    timber: Annotated[str, species("species")],
    at: Annotated[Quantity, moisture("moisture of the wood")],
) -> WoodDensity:
    """Density of wood at a moisture, from its specific gravity.

    rho = 1000 kg/m^3 * G * (1 + M), with G stated at 12 % moisture.  The size
    is taken as cut near 12 %; swelling of the volume is left out.  A stick may
    differ from its species by a tenth.

    >>> found = wood_density(timber="western larch", at=Q(12, "percent"))
    >>> print(f"{found.density:.0f~P}")
    582 kg/m³
    """
    kind = SPECIES[timber]
    return WoodDensity(
        density=kind.density(at), dry_density=kind.dry_density(), gravity=kind.gravity,
        assigned_gravity=kind.assigned_gravity, decay=kind.decay, notes=kind.remembered("gravity", "gravity_green"),
    )


@result
class EquilibriumMoisture:
    """The moisture that wood comes to in air of a constant temperature and humidity."""

    moisture: Annotated[Quantity, Out("percent", "moisture the wood comes to", resolution=0.1)]


@calculator("FPL-RN-0268", "FPL-GTR-190")
def equilibrium_moisture(
    *,
    temperature: Annotated[Quantity, In(
        "degC", "temperature of the air", 15, ge=-1.2, le=55, find="thermometer in the shade", basis="measured")],
    humidity: Annotated[Quantity, In(
        "percent", "relative humidity of the air", 65, ge=0, le=95, find="hygrometer", basis="measured")],
) -> EquilibriumMoisture:
    """Moisture that wood comes to in still air, by the two-hydrate sorption equation.

    With h the humidity as a fraction and four temperature functions W, K, K1
    and K2: M = 1800/W [K h/(1 - K h) + (K1 K h + 2 K1 K2 K^2 h^2)/(1 + K1 K h +
    K1 K2 K^2 h^2)].  One curve for all species; sun, rain and history of
    wetting are left out, and it stops at 95 % humidity.

    >>> shop = equilibrium_moisture(temperature=Q(15, "degC"), humidity=Q(65, "percent"))
    >>> print(f"{shop.moisture.m_as('percent'):.1f} %")
    12.1 %
    """
    return EquilibriumMoisture(moisture=Q(sorbed(temperature.m_as("degC"), humidity.m_as("")), "percent"))


def sorbed(t: Any, h: Any) -> Any:
    """Moisture in percent from degrees Celsius and humidity as a fraction (plain numbers: an empirical fit)."""
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    bound, twice = k1 * kh, k1 * k2 * kh**2
    return 1800 / w * (kh / (1 - kh) + (bound + 2 * twice) / (1 + bound + twice))


@result
class Movement:
    """How a size across the grain changes with moisture."""

    rate: Annotated[Quantity, Out("1/percent", "share moved for each percent of moisture")]
    change: Annotated[Quantity, Out("mm", "change of the size; + is swelling", resolution=0.1)]
    size_after: Annotated[Quantity, Out("mm", "size afterwards", resolution=0.1)]
    by_total_shrinkage: Annotated[Quantity, Out(
        "mm", "the same change by the total shrinkage of the species", resolution=0.1, absent="no shrinkage is known")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190")
def movement(
    *,
    size: Annotated[Quantity, In(
        "mm", "size across the grain at the first moisture", 140, ge=1, le=5000, everyday=(10, 1200), resolution=0.1,
        find="rule or calipers", basis="measured")],
    timber: Annotated[str, species("species", "western redcedar")],
    cut: Annotated[Cut, Choice("how the board was sawn, by the rings at its end", find="rings flat along the face: "
                               "flat-sawn; rings upright: quarter-sawn")],
    start: Annotated[Quantity, moisture("moisture now", 12)],
    end: Annotated[Quantity, moisture("moisture later", 14)],
    coefficient: Annotated[Quantity | None, In(
        "1/percent", "movement for each percent of moisture, if known better", 0.0025, ge=0, le=0.01)] = None,
) -> Movement:
    """Change of a size across the grain between two moistures.

    change = size * C * (end - start), made for 6 to 14 %.  Above the moisture
    where shrinkage begins nothing moves any more.  Beside it stands the line
    from green to oven-dry, change = size * S * (end - start) / B divided by the
    size at `start`; the two differ by how far the range is left.  Growth along
    the grain, about a fiftieth of this, is left out.

    >>> moved = movement(size=Q(140, "mm"), timber="western redcedar", cut="flat-sawn",
    ...                  start=Q(12, "percent"), end=Q(14, "percent"))
    >>> print(f"{moved.change:.2f~P}")
    0.66 mm
    """
    kind = SPECIES[timber]
    rate = kind.coefficient(cut) if coefficient is None else coefficient
    if rate is None:
        why = f"no movement of {timber} is known; enter a coefficient such as 0.0025 1/percent"
        raise InputError("movement", {"coefficient": why})
    inside = [(m >= Q(6, "percent")) & (m <= Q(14, "percent")) for m in (start, end)]
    applies(np.logical_and(*inside), "the movement coefficient was made for moistures of 6 to 14 %; "
            "outside it is approximate")
    change = Q(size * across(kind, cut, start, end, rate), "mm")
    return Movement(
        rate=rate, change=change, size_after=Q(size + change, "mm"),
        by_total_shrinkage=_by_total(kind, cut, size, start, end),
        notes=kind.remembered("movement_radial", "movement_tangential", "shrinkage_radial", "shrinkage_tangential"),
    )


def _by_total(kind: Species, cut: str, size: Quantity, start: Quantity, end: Quantity) -> Quantity:
    total = kind.shrinkage(cut)
    if total is None:
        return Q(size * np.nan, "mm")
    first, last = (1 - total * (1 - _bound(kind, m) / kind.shrinkage_begins) for m in (start, end))
    return Q(size * (last / first - 1), "mm")
