"""A small build of three stages that the tests of the spine share: a box that floats."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, Literal

import numpy as np

from kit.calculator import applies, calculator, require, result, row
from kit.checks import Check, at_least, at_most, fails
from kit.handed import Part, Purchase
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Text
from kit.quantities import Q, Quantity
from kit.stage import EVERY, Stage, run, stage, take

__all__ = ["STAGES", "Plank", "board_mass", "deck", "draft", "float_stage", "plank_mass", "site"]


@row
class Plank:
    """One plank of the toy."""

    name: Annotated[str, Text("plank", "left")]
    length: Annotated[Quantity, In("m", "length of the plank", 2, ge=0.1, le=10)]
    wood: Annotated[Literal["soft", "hard"], Choice("wood")] = "soft"


@result
class BoardMass:
    """Mass of a board."""

    volume: Annotated[Quantity, Out("m^3", "volume")]
    mass: Annotated[Quantity, Out("kg", "mass of the board")]
    light: Annotated[Check, Asks("light enough", "practice")]


@calculator("practice")
def board_mass(
    *,
    thickness: Annotated[Quantity, In("mm", "thickness of the board", 28, ge=1, le=200, everyday=(10, 60))],
    area: Annotated[Quantity, In("m^2", "area of the board", 6, ge=0.01, le=100)],
    density: Annotated[Quantity, In("kg/m^3", "density", 500, ge=100, le=1500, valid=(300, 900))] = Q(500, "kg/m^3"),
    most: Annotated[Quantity | None, In("kg", "most it may weigh", 100, ge=1, le=1000)] = None,
) -> BoardMass:
    """Mass of a board: density times thickness times area.

    >>> print(f"{board_mass(thickness=Q(28, 'mm'), area=Q(6, 'm^2')).mass:.0f~P}")
    84 kg
    """
    volume = (thickness * area).to("m^3")
    applies(np.all(thickness <= Q(150, "mm")), "a board over 150 mm is a beam")
    mass = (volume * density).to("kg")
    return BoardMass(volume=volume, mass=mass, light=at_most(mass, Q(90, "kg") if most is None else most))


@result
class PlankMass:
    """Mass of planks."""

    mass: Annotated[Quantity, Out("kg", "mass of all planks")]


@calculator("kit")
def plank_mass(
    *,
    planks: Annotated[Sequence[Plank], Rows("planks", least=1)],
    per_metre: Annotated[Quantity, In("kg/m", "mass of a metre of softwood", 2, ge=0.1, le=50)],
) -> PlankMass:
    """Mass of planks by length; hardwood is half as heavy again."""
    each = (p.length * per_metre * (1.5 if p.wood == "hard" else 1) for p in planks)
    return PlankMass(mass=sum((m.to("kg") for m in each), Q(0, "kg")))


@result
class Draft:
    """How deep a box floats."""

    draft: Annotated[Quantity, Out("mm", "draft", rounding="up")]
    freeboard: Annotated[Quantity, Out("mm", "freeboard", rounding="down")]
    dry: Annotated[Check, Asks("stays dry", "kit")]
    depths: Annotated[Quantity, Out("mm", "draft at a share of the load", over="shares")]
    shares: Annotated[Quantity, Out("1", "share of the load")]


@calculator("kit")
def draft(
    *,
    parts: Annotated[Sequence[Part], Rows("everything aboard")] = (),
    length: Annotated[Quantity, In("m", "length of the box", 3, ge=0.1, le=30)],
    width: Annotated[Quantity, In("m", "width of the box", 2, ge=0.1, le=30)],
    depth: Annotated[Quantity, In("mm", "depth of the box", 300, ge=10, le=3000)],
    boxes: Annotated[int, Count("boxes", 1, ge=1, le=20)] = 1,
    lean: Annotated[Quantity, In("mm", "lean allowed for", 5, ge=0, le=500)] = Q(5, "mm"),
) -> Draft:
    """Draft of boxes: mass over density and area."""
    require(length >= width, "the box must be at least as long as wide", "length", "width")
    mass = sum((p.mass for p in parts), Q(0, "kg"))
    sunk = (mass / (Q(1000, "kg/m^3") * length * width * boxes)).to("mm") + lean
    shares = np.array([0.5, 1.0])
    swept = shares[:, None] if np.ndim(sunk.magnitude) else shares
    depths = sunk * swept
    freeboard = depth - sunk
    dry = at_least(freeboard, Q(150, "mm")) if np.all(freeboard > Q(-1, "m")) else fails("it is under water")
    return Draft(draft=sunk, freeboard=freeboard, dry=dry, depths=depths, shares=Q(shares))


@stage("site", "00", "Site", settles="where it is")
def site(*, density: Annotated[Quantity, In("kg/m^3", "density of the wood", 450, ge=100, le=1500)]) -> Iterator[Part]:
    """Hands on nothing."""
    yield from ()


@stage("deck", "01", "Deck", settles="the deck", first_look=("board.thickness",))
def deck(
    *,
    board: BoardMass = run(board_mass, density="site.density"),
    planks: PlankMass = run(plank_mass),
    screws: Annotated[Quantity, In("kg", "mass of screws", 1, ge=0, le=50)] = Q(1, "kg"),
    idle: Annotated[Quantity, In("kg", "an entry the body never reads", 1, ge=0, le=50)],
) -> Iterator[Part | Purchase]:
    """A board, planks and screws."""
    zero = Q(0, "m")
    yield Part(name="board", mass=board.mass + screws, x=zero, y=zero, z=Q(0.1, "m"))
    yield Part(name="planks", mass=planks.mass, x=zero, y=zero, z=zero)
    yield Purchase(name="planks", needed=planks.mass / Q(2, "kg/m"), pack=Q(3, "m"), price=Q(5, "money"))


@stage("float_stage", "10", "Float", settles="whether it floats")
def float_stage(
    *,
    box: Draft = run(draft, parts=EVERY),
    thickness: Quantity = take("deck.board.thickness"),
) -> Iterator[Part]:
    """The box itself weighs what its depth says."""
    yield Part(
        name="box", mass=box.draft / Q(10, "mm/kg") + thickness * Q(0, "kg/mm"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0, "m")
    )


STAGES: tuple[Stage, ...] = (site, deck, float_stage)
