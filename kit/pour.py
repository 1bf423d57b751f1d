"""The cups of one pour of resin: how much, how many, and what the scale reads for each.

A comes first, B on top of it, the scale zeroed once with the empty cup on it;
the order never changes between cups.  A batch is kept to what was tried, for a
cup twice the size cures sooner and hotter by no law that could be relied on.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least
from kit.kinds import Asks, Count, In, Out, Rows, Text
from kit.quantities import Q, Quantity
from kit.resin import liquid_density

__all__ = ["Inlay", "MixCard", "Pour", "inlay", "pour"]

# A whole number is whole when it is this near: exactly at a limit no further cup is due.
_NEAR = 1e-9


@result
class MixCard:
    """What to weigh into one cup, A first, the scale zeroed once with the empty cup on it."""

    name: Annotated[str, Text("cup", "cup 1")]
    layer: Annotated[Quantity, Out("1", "layer it is for")]
    reading_a: Annotated[Quantity, Out("g", "scale reads this after A", resolution=0.1)]
    reading_b: Annotated[Quantity, Out("g", "scale reads this after B, A still in the cup", resolution=0.1)]
    component_a: Annotated[Quantity, Out("g", "component A", resolution=0.1)]
    component_b: Annotated[Quantity, Out("g", "component B", resolution=0.1)]
    volume_a: Annotated[Quantity, Out("mL", "component A", resolution=0.1, absent="density not known")]
    volume_b: Annotated[Quantity, Out("mL", "component B", resolution=0.1, absent="density not known")]


@result
class Pour:
    """One pour: how much, in how many layers and cups."""

    mixed_volume: Annotated[Quantity, Out(
        "mL", "resin to mix, waste and seal coat included", resolution=0.1, rounding="up")]
    mass: Annotated[Quantity, Out("g", "resin to mix", resolution=0.1, rounding="up")]
    component_a: Annotated[Quantity, Out("g", "component A in all", resolution=0.1, rounding="up")]
    component_b: Annotated[Quantity, Out("g", "component B in all", resolution=0.1, rounding="up")]
    seal: Annotated[Quantity, Out("mL", "resin soaked up by the seal coat", resolution=0.1, rounding="up")]
    layers: Annotated[Quantity, Out("1", "layers to pour", rounding="up")]
    layer_depth: Annotated[Quantity, Out("mm", "depth of one layer", resolution=0.1)]
    by_mass: Annotated[Quantity, Out("1", "cups a layer, for the largest batch that was tried", rounding="up")]
    by_container: Annotated[Quantity, Out("1", "cups a layer, for the size of the cup", rounding="up")]
    by_time: Annotated[Quantity, Out("1", "cups a layer, for the pot life", rounding="up")]
    cups_needed: Annotated[Quantity, Out("1", "cups needed", rounding="up")]
    cup_mass: Annotated[Quantity, Out("g", "resin in one cup", resolution=0.1)]
    cup_volume: Annotated[Quantity, Out("mL", "resin in one cup", resolution=0.1)]
    placing_time: Annotated[Quantity, Out("min", "time to mix and pour one cup", resolution=0.1, rounding="up")]
    sets: Annotated[Quantity, Out("1", "sets to buy, spare cups included", rounding="up")]
    to_buy: Annotated[Quantity, Out("g", "resin needed, spare cups included", resolution=1, rounding="up")]
    left_over: Annotated[Quantity, Out("g", "left in the last set if no spare cup is used", resolution=1)]
    cards: Annotated[tuple[MixCard, ...], Rows("mix cards, one a cup")]
    enough_cups: Annotated[Check, Asks("no cup is too big, too full or too slow", "ASTM-D2471")]
    notes: tuple[str, ...] = ()


@calculator("practice", "ASTM-D2471", "kit")
def pour(
    *,
    volume: Annotated[Quantity, In("mL", "volume of the recesses", 101.7, ge=0, le=1e6, resolution=0.1)],
    wetted: Annotated[Quantity, In("cm^2", "walls and floors that soak up resin", 470, ge=0, le=1e7, resolution=1)],
    depth: Annotated[Quantity, In("mm", "deepest recess", 4.3, ge=0.05, le=500, resolution=0.1)],
    ratio: Annotated[Quantity, In("1", "mass of B for one of A", 0.45, ge=0.001, le=10, basis="data sheet")],
    density: Annotated[Quantity, In("g/mL", "density of the mix", 1.079, ge=0.7, le=3, basis="measured")],
    largest_batch: Annotated[Quantity, In(
        "g", "largest batch whose pot life you know", 150, ge=1, le=100_000, everyday=(50, 5000), basis="data sheet",
        find="the mass the pot life is quoted for, usually 100 g, or the largest you have test-poured")],
    pot_life: Annotated[Quantity, In(
        "min", "pot life of that batch at the temperature of the pour", 30, ge=1, le=10_000, everyday=(10, 300),
        find="data sheet, or a test cup of the same shape with a thermometer", basis="data sheet")],
    mixing_time: Annotated[Quantity, In("min", "time to weigh and stir one cup", 5, ge=0.5, le=120, basis="measured")],
    placing_rate: Annotated[Quantity, In("g/min", "how fast you pour", 20, ge=0.1, le=10_000, basis="measured",
                                         find="time a cup of water, with half the speed for thick resin")],
    layer_limit: Annotated[Quantity, In("mm", "deepest layer the maker allows", 10, ge=0.5, le=500,
                                        find="data sheet", basis="data sheet")],
    container: Annotated[Quantity, In("mL", "cup, filled to the brim", 250, ge=1, le=100_000, basis="measured")],
    cups: Annotated[int, Count("cups you mean to mix", 2, ge=1, le=500, find="at least one a colour")],
    set_mass: Annotated[Quantity, In("g", "A and B together in one set", 300, ge=1, le=1e6, basis="data sheet")],
    density_a: Annotated[Quantity | None, liquid_density("density of component A", 1.15)] = None,
    density_b: Annotated[Quantity | None, liquid_density("density of component B", 0.95)] = None,
    fill: Annotated[Quantity, In("percent", "how full a cup may be for stirring", 65, ge=10, le=100,
                                 basis="common practice")] = Q(65, "percent"),
    waste: Annotated[Quantity, In("percent", "waste: cup walls, spills, overfill", 15, ge=0, le=200,
                                  basis="common practice", find="15 for small recesses, 5 for large ones")]
    = Q(15, "percent"),
    seal_coat: Annotated[Quantity, In("g/m^2", "resin soaked up by bare wood", 150, ge=0, le=2000, everyday=(50, 300),
                                      basis="estimate", find="weigh an offcut before and after its seal coat")]
    = Q(150, "g/m^2"),
    colours: Annotated[int, Count("colours", 1, ge=1, le=50)] = 1,
    spare: Annotated[int, Count("spare cups to buy for", 1, ge=0, le=50)] = 1,
) -> Pour:
    """Cups of one pour, with running scale readings for each.

    V = volume (1 + waste) + wetted area * seal coat / density; M = V * density.
    Layers = ceil(depth / limit).  Each layer takes ceil(max(M/M_max, V/(fill *
    cup), M/(rate (pot life - mixing time)))) equal cups, so that none is a small
    inaccurate remnant; exactly at a limit no further cup is due.  Pot life does
    not scale with mass by any law: only what was tried is relied on.  Layers
    are poured by the maker's interval.

    >>> rose = pour(volume=Q(101.7, "mL"), wetted=Q(472, "cm^2"), depth=Q(4, "mm"), ratio=Q(0.45), cups=2, colours=2,
    ...             density=Q(1.0795, "g/mL"), largest_batch=Q(150, "g"), pot_life=Q(30, "min"),
    ...             mixing_time=Q(5, "min"), placing_rate=Q(20, "g/min"), layer_limit=Q(10, "mm"),
    ...             container=Q(250, "mL"), set_mass=Q(300, "g"), seal_coat=Q(137, "g/m^2"))
    >>> print(f"{rose.mass:.1f~P}: A to {rose.cards[0].reading_a:.1f~P}, then B to {rose.cards[0].reading_b:.1f~P}")
    132.7 g: A to 45.8 g, then B to 66.4 g
    """
    require(mixing_time < pot_life, "weighing and stirring takes longer than the pot life; it must be shorter, such as "
            "5 min of 30 min", "mixing_time", "pot_life")
    seal = (wetted * seal_coat / density).to("mL")
    poured = (volume * (1 + waste.m_as("")) + seal).to("mL")
    mass = (poured * density).to("g")
    layers = _whole(depth / layer_limit)
    limits = [_whole(part / layers) for part in (
        mass / largest_batch, poured / (fill.m_as("") * container),
        mass / (placing_rate * _above_nothing(pot_life - mixing_time)))]
    a, b = (mass / (1 + ratio)).to("g"), (mass * ratio / (1 + ratio)).to("g")
    needed = _needed(mass, layers, limits, colours)
    cup = (mass / cups).to("g")
    to_buy = mass + spare * cup
    sets = _whole(to_buy / set_mass)
    return Pour(
        mixed_volume=poured, mass=mass, component_a=a, component_b=b, seal=seal,
        layers=layers, layer_depth=(depth / layers).to("mm"),
        by_mass=limits[0], by_container=limits[1], by_time=limits[2], cups_needed=needed,
        cup_mass=cup, cup_volume=(poured / cups).to("mL"),
        placing_time=(mixing_time + cup / placing_rate).to("min"),
        sets=sets, to_buy=to_buy, left_over=(sets * set_mass - mass).to("g"),
        cards=_cards(a / cups, b / cups, (density_a, density_b), cups, layers),
        enough_cups=at_least(Q(cups), needed, share=False),
    )


def _whole(share: Any) -> Quantity:
    """The next whole number of things; an exact fit needs no further one, and nothing needs none."""
    return Q(np.ceil(share.m_as("") - _NEAR) + 0.0)


def _above_nothing(time: Quantity) -> Quantity:
    """A time that is left; nan where a sample leaves none."""
    left = np.asarray(time.m_as("min"))
    return Q(np.where(left > 0, left, np.nan)[()], "min")


def _needed(mass: Quantity, layers: Quantity, limits: list[Quantity], colours: Any) -> Quantity:
    """Cups for the tightest limit in every layer, one a colour at least, none for nothing."""
    by_limit = np.maximum(np.maximum(limits[0].magnitude, limits[1].magnitude), limits[2].magnitude) * layers.magnitude
    needed = np.maximum(by_limit, colours)
    return Q(np.where(mass.magnitude == 0, 0.0, needed)[()])


def _cards(
    a: Quantity, b: Quantity, densities: tuple[Quantity | None, Quantity | None], cups: Any, layers: Quantity
) -> tuple[MixCard, ...]:
    """One card a cup; how many there are comes from the middle of the values when they are samples."""
    count = round(float(np.mean(cups)))
    volume_a, volume_b = (
        Q(np.nan * m.magnitude, "mL") if density is None else (m / density).to("mL")
        for m, density in zip((a, b), densities, strict=True)
    )
    return tuple(
        MixCard(
            name=f"cup {n + 1}", layer=Q(np.floor(n * layers.magnitude / count + _NEAR) + 1),
            reading_a=a, reading_b=a + b, component_a=a, component_b=b, volume_a=volume_a, volume_b=volume_b,
        )
        for n in range(count)
    )


@result
class Inlay:
    """What resin in place of wood adds to a panel."""

    resin_mass: Annotated[Quantity, Out("g", "resin that stays in the wood", resolution=0.1)]
    wood_mass: Annotated[Quantity, Out("g", "wood cut out", resolution=0.1)]
    added: Annotated[Quantity, Out("kg", "what the inlay adds: resin less wood", resolution=0.01)]


@calculator("kit")
def inlay(
    *,
    volume: Annotated[Quantity, In("mL", "volume of the recesses", 101.7, ge=0, le=1e6, resolution=0.1)],
    seal: Annotated[Quantity, In("mL", "resin soaked up by the seal coat", 6, ge=0, le=1e6, resolution=0.1)],
    density: Annotated[Quantity, In("g/mL", "density of the mix", 1.079, ge=0.7, le=3, basis="measured")],
    wood_density: Annotated[Quantity, In("kg/m^3", "density of the wood cut out", 762, ge=50, le=1500)],
) -> Inlay:
    """Mass of an inlay, less the wood cut out for it.

    added = (volume + seal) * density - volume * density of the wood.  Wood
    heavier than the resin would make it less than nothing; it is then taken as
    nothing, for no part has a mass below nothing.  Overfill is planed away.

    >>> rose = inlay(volume=Q(101.7, "mL"), seal=Q(6, "mL"), density=Q(1.079, "g/mL"), wood_density=Q(762, "kg/m^3"))
    >>> print(f"{rose.added.to('g'):.0f~P}")
    39 g
    """
    resin_mass = ((volume + seal) * density).to("g")
    wood_mass = (volume * wood_density).to("g")
    return Inlay(
        resin_mass=resin_mass, wood_mass=wood_mass,
        added=Q(np.maximum((resin_mass - wood_mass).m_as("kg"), 0.0), "kg"),
    )
