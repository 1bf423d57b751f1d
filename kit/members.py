"""The members of a frame: what they weigh dry and wet, and how much timber to buy."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import numpy as np

from kit.calculator import calculator, result, row
from kit.handed import along
from kit.kinds import Count, In, Out, Rows, Text
from kit.quantities import Q, Quantity
from kit.timber import SPECIES, moisture, species

__all__ = ["Member", "MemberMass", "Members", "Sold", "Stock", "members"]

# Two measured sizes of one sawn section may differ by this much, mm. Common practice, no source.
_SAWN = 4.0


@row
class Member:
    """Equal pieces of timber with one place."""

    name: Annotated[str, Text("members", "joists", longest=30)]
    timber: Annotated[str, species("species")]
    pieces: Annotated[int, Count("pieces", 8, ge=1, le=500)]
    thickness: Annotated[Quantity, In("mm", "thickness", 45, ge=5, le=400, everyday=(15, 150), resolution=0.5,
                                      find="calipers", basis="measured")]
    depth: Annotated[Quantity, In("mm", "depth", 120, ge=5, le=600, everyday=(30, 300), resolution=0.5,
                                  find="calipers", basis="measured")]
    length: Annotated[Quantity, In("mm", "cut length of one", 2110, ge=10, le=20_000, resolution=1, find="tape")]
    stock: Annotated[str, Text("stock it is cut from", "frame timber", longest=25)] = "frame timber"
    x: Annotated[Quantity, along("x of the middle of them all")]
    y: Annotated[Quantity, along("y of the middle of them all")]
    z: Annotated[Quantity, along("z of the middle of them all", 0.06)]


@result
class MemberMass:
    """What the pieces of one row weigh."""

    name: Annotated[str, Text("members", "joists")]
    mass: Annotated[Quantity, Out("kg", "mass at fitting", resolution=0.1)]
    wet_mass: Annotated[Quantity, Out("kg", "mass when wet through", resolution=0.1, rounding="up")]
    metres: Annotated[Quantity, Out("m", "length of all pieces", resolution=0.01)]
    length: Annotated[Quantity, Out("mm", "cut length of one", resolution=1)]
    pieces: Annotated[int, Count("pieces", 8, ge=1, le=500)]
    faces: Annotated[Quantity, Out("m^2", "area of their four long faces", resolution=0.01)]
    stock: Annotated[str, Text("stock it is cut from, as it is bought", "frame timber", longest=60)]
    x: Annotated[Quantity, Out("m", "x of their middle", resolution=0.001)]
    y: Annotated[Quantity, Out("m", "y of their middle", resolution=0.001)]
    z: Annotated[Quantity, Out("m", "z of their middle", resolution=0.001)]


@row
class Sold:
    """How one stock of timber is sold."""

    name: Annotated[str, Text("stock, as the members name it", "frame timber")]
    length: Annotated[Quantity, In("m", "length of one bought piece", 4.8, ge=0.1, le=20, everyday=(2, 6),
                                   find="ask the yard")]
    price: Annotated[Quantity, In("money", "price of one bought piece", 26.5, ge=0, le=1e5, resolution=0.01,
                                  find="ask the yard")]


@result
class Stock:
    """One section of timber to buy."""

    name: Annotated[str, Text("stock", "frame timber")]
    section: Annotated[str, Text("section and species", "45 x 120 mm Douglas-fir (coast)", longest=120)]
    metres: Annotated[Quantity, Out("m", "length to buy, waste included", resolution=0.1, rounding="up")]
    pieces: Annotated[Quantity, Out("1", "pieces cut from it", resolution=1)]
    sold_length: Annotated[Quantity, Out("m", "length of one bought piece", resolution=0.01)]
    price: Annotated[Quantity, Out("money", "price of one bought piece", resolution=0.01)]


@result
class Members:
    """The frame's timber together."""

    mass: Annotated[Quantity, Out("kg", "mass of all members at fitting", resolution=0.1)]
    wet_mass: Annotated[Quantity, Out("kg", "mass of all members when wet through", resolution=0.1, rounding="up")]
    volume: Annotated[Quantity, Out("m^3", "volume of all members")]
    by_row: Annotated[tuple[MemberMass, ...], Rows("mass of each row of members")]
    faces: Annotated[Quantity, Out("m^2", "long faces of all members", resolution=0.1)]
    stocks: Annotated[tuple[Stock, ...], Rows("timber to buy, by stock")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "practice")
def members(
    *,
    pieces: Annotated[Sequence[Member], Rows("members of the frame", least=1, find="one row for equal pieces")],
    fitting_moisture: Annotated[Quantity, moisture("moisture of the wood when it is weighed and fitted", 12)],
    wet_moisture: Annotated[Quantity, moisture("moisture when wet through", 28)],
    sold: Annotated[Sequence[Sold], Rows("how each stock is sold", find="a stock not listed is reckoned by the metre, "
                                         "without a price")] = (),
    waste: Annotated[Quantity, In("percent", "waste of timber length", 10, ge=0, le=100, everyday=(5, 25))]
    = Q(10, "percent"),
) -> Members:
    """Mass of a frame's timber, dry and wet, and the length to buy of each stock.

    mass = pieces * thickness * depth * length * 1000 G (1 + M).  A stock has one
    section and species; rows that name it with another are bought apart.  Where the cuts fall in the
    bought lengths is left to the cut plan: the waste stands in for it.

    >>> made = members(pieces=[Member(name="joists", timber="Douglas-fir (coast)", pieces=8, thickness=Q(45, "mm"),
    ...     depth=Q(120, "mm"), length=Q(2110, "mm"), x=Q(0, "m"), y=Q(0, "m"), z=Q(60, "mm"))],
    ...     fitting_moisture=Q(12, "percent"), wet_moisture=Q(28, "percent"))
    >>> print(f"{made.mass:.1f~P} dry, {made.wet_mass:.1f~P} wet")
    49.0 kg dry, 56.0 kg wet
    """
    volumes = [Q(one.pieces * one.thickness * one.depth * one.length, "m^3") for one in pieces]
    kinds = {one.timber: SPECIES[one.timber] for one in pieces}
    groups = _groups(pieces)
    bought_as = {one.name: stock for stock, rows in groups.items() for one in rows}
    rows = tuple(
        _weighed(one, volume, fitting_moisture, wet_moisture, bought_as[one.name])
        for one, volume in zip(pieces, volumes, strict=True))
    offers = {one.name: one for one in sold}
    stocks = tuple(_stock(name, rows, offers.get(name), waste) for name, rows in groups.items())
    return Members(
        mass=Q(sum((one.mass for one in rows), Q(0, "kg")), "kg"),
        wet_mass=Q(sum((one.wet_mass for one in rows), Q(0, "kg")), "kg"),
        volume=Q(sum(volumes, Q(0, "m^3")), "m^3"), by_row=rows, stocks=stocks,
        faces=Q(sum((one.faces for one in rows), Q(0, "m^2")), "m^2"),
        notes=(*_odd(pieces, stocks, sold), *(
            note for kind in kinds.values() for note in kind.remembered("gravity", "gravity_green"))),
    )


def _weighed(one: Member, volume: Quantity, fitting: Quantity, wet: Quantity, stock: str) -> MemberMass:
    kind = SPECIES[one.timber]
    return MemberMass(
        name=one.name, mass=Q(volume * kind.density(fitting), "kg"), wet_mass=Q(volume * kind.density(wet), "kg"),
        metres=Q(one.pieces * one.length, "m"), length=one.length, pieces=one.pieces,
        faces=Q(2 * one.pieces * (one.thickness + one.depth) * one.length, "m^2"), stock=stock,
        x=one.x, y=one.y, z=one.z,
    )


def _odd(pieces: Sequence[Member], stocks: Sequence[Stock], sold: Sequence[Sold]) -> tuple[str, ...]:
    """Remarks on stocks of several sections, and on offers that nothing is cut from."""
    meant, made = {one.stock for one in pieces}, {one.name for one in stocks}
    apart = sorted(made - meant)
    idle = sorted({one.name for one in sold} - made)
    return (*(f"'{name}' has a section of its own and is bought apart" for name in apart),
            *(f"no member is cut from '{name}', which has a price" for name in idle))


def _groups(pieces: Sequence[Member]) -> dict[str, list[Member]]:
    """The members by the stock they are cut from, as it is bought."""
    groups: list[list[Member]] = []
    for one in pieces:
        group = next((rows for rows in groups if _alike(rows[0], one)), None)
        groups.append([one]) if group is None else group.append(one)
    named: dict[str, list[Member]] = {}
    for rows in groups:
        # A second section of the same stock is called after the first member cut from it.
        stock = rows[0].stock
        named[stock if stock not in named else f"{stock}, {rows[0].name}"] = rows
    return named


def _alike(one: Member, other: Member) -> bool:
    """True when two members are cut from one stock: same name, species and section as far as a saw keeps it."""
    near = all(
        abs(float(np.mean(mine.m_as("mm"))) - float(np.mean(its.m_as("mm")))) <= _SAWN
        for mine, its in ((one.thickness, other.thickness), (one.depth, other.depth)))
    return near and (one.stock, one.timber) == (other.stock, other.timber)


def _stock(name: str, rows: Sequence[Member], offer: Sold | None, waste: Quantity) -> Stock:
    metres = Q(sum((one.pieces * one.length for one in rows), Q(0, "m")) * (1 + waste.m_as("")), "m")
    return Stock(
        name=name, section=_section(rows[0]), pieces=Q(sum(np.asarray(one.pieces) for one in rows), "1"), metres=metres,
        sold_length=Q(1, "m") if offer is None else offer.length,
        price=Q(0, "money") if offer is None else offer.price,
    )


def _section(one: Member) -> str:
    """Section and species in words, by the mean sizes when sampled."""
    thick, deep = (float(np.mean(size.m_as("mm"))) for size in (one.thickness, one.depth))
    return f"{thick:.4g} x {deep:.4g} mm {one.timber}"
