"""Floats and ballast as rows, and what the floats hold and weigh."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import declared, require, row
from kit.handed import along
from kit.kinds import Choice, Count, In, Text
from kit.quantities import Q, Quantity, unit
from kit.sampling import is_sampling

__all__ = ["Ballast", "FloatBody", "FloatTable", "check_floats", "columns", "float_table"]


@row
class FloatBody:
    """One float: tube, drum, box or block of foam, with its watertight compartments and its foam."""

    name: Annotated[str, Text("float", "port outer")]
    shape: Annotated[Literal["round tube", "drum", "box", "foam block"], Choice("shape")] = "round tube"
    diameter: Annotated[Quantity | None, In(
        "mm", "outside diameter of a tube or drum", 500, ge=20, le=3000, basis="measured",
        find="girth by tape measure, divided by 3.1416; a nominal pipe size is not a diameter")] = None
    width: Annotated[Quantity | None, In(
        "mm", "width of a box or block", 600, ge=20, le=30_000, basis="measured")] = None
    height: Annotated[Quantity | None, In(
        "mm", "height of a box or block", 400, ge=20, le=10_000, basis="measured")] = None
    length: Annotated[Quantity, In(
        "m", "length, of a drum its height on end", 3, ge=0.1, le=100, basis="measured")]
    direction: Annotated[Literal["lengthwise", "crosswise", "standing"], Choice("which way it lies")] = "lengthwise"
    x: Annotated[Quantity, along("x of its middle")] = Q(0, "m")
    y: Annotated[Quantity, along("y of its middle")] = Q(0, "m")
    z: Annotated[Quantity, along("z of its axis, or of the middle of its height", -0.26)]
    mass_per_metre: Annotated[Quantity | None, In(
        "kg/m", "mass of the empty body by length", 22.25, ge=0, le=2000, basis="data sheet",
        find="the maker's table, or weigh an offcut")] = None
    weighed: Annotated[Quantity | None, In(
        "kg", "mass of the whole float, foam and ends included, where it was weighed", 80.3, ge=0, le=50_000,
        basis="measured", find="bathroom scale; a long float on two of them")] = None
    ends: Annotated[Quantity, In("kg", "end caps and bulkheads together", 7.4, ge=0, le=5000)] = Q(0, "kg")
    wall: Annotated[Quantity, In(
        "mm", "wall thickness (0 for a bare block of foam)", 15.3, ge=0, le=200, basis="measured")] = Q(0, "mm")
    foam: Annotated[Quantity, In("percent", "share of its inside that is foam", 60, ge=0, le=100)] = Q(0, "percent")
    foam_density: Annotated[Quantity, In(
        "kg/m^3", "density of the foam, dry", 20, ge=5, le=300, basis="data sheet")] = Q(20, "kg/m^3")
    uptake: Annotated[Quantity, In(
        "percent", "water the foam takes up where water reaches it, of its volume", 5, ge=0, le=30,
        find="a day's test says 2 to 4 for expanded polystyrene; years in the water are worse")] = Q(0, "percent")
    cells: Annotated[int, Count("watertight compartments along it", 2, ge=1, le=12)] = 1

    @property
    def is_round(self) -> bool:
        """A circle seen along its axis."""
        return self.shape in ("round tube", "drum")

    @property
    def is_foam(self) -> bool:
        """A block of foam without a shell."""
        return self.shape == "foam block"


@row
class Ballast:
    """A mass that is placed to level the raft."""

    name: Annotated[str, Text("ballast", "ballast under the deck")]
    mass: Annotated[Quantity, In("kg", "mass", 28, ge=0, le=20_000, find="bathroom scale", basis="measured")]
    x: Annotated[Quantity, along("x of its centre", -1.4)]
    y: Annotated[Quantity, along("y of its centre", -0.28)]
    z: Annotated[Quantity, along("z of its centre", 0.02)]


def columns(rows: Sequence[Any], **units: str) -> tuple[Any, ...]:
    """Columns of a table by name and unit: one value a row, with samples on a last axis where any cell has them.

    A cell left out is 0.  Rows cannot change, so the columns of the same rows are kept for the next load case.
    """
    return _columns(tuple(rows), tuple(units.items()))


@lru_cache(maxsize=32)
def _columns(rows: tuple[Any, ...], units: tuple[tuple[str, str], ...]) -> tuple[Any, ...]:
    names = [name for name, entry in declared(type(rows[0])).inputs.items() if isinstance(entry.kind, In)]
    # A cell left out has no magnitude and is not sampled.
    sampled = any(np.ndim(getattr(getattr(one, name), "magnitude", 0.0)) for one in rows for name in names)
    made = []
    for name, text in units:
        wanted = unit(text)
        cells = [0.0 if (cell := getattr(one, name)) is None
                 else cell.magnitude if cell.units == wanted else cell.m_as(wanted) for one in rows]
        made.append(np.stack(np.broadcast_arrays(*cells)) if sampled else np.asarray(cells, dtype=float))
        if sampled and made[-1].ndim == 1:
            made[-1] = made[-1][:, None]
    return tuple(Q(values, text) for values, (_, text) in zip(made, units, strict=True))


def check_floats(floats: Sequence[FloatBody]) -> None:
    """Refuse floats whose sizes are missing or cannot be."""
    _checked(tuple(floats), is_sampling())


@lru_cache(maxsize=32)
def _checked(floats: tuple[FloatBody, ...], sampled: bool) -> None:
    """Once for the same rows: four load cases ask.  What is refused raises and is never kept."""
    for one in floats:
        if one.is_round:
            sizes: tuple[Quantity | None, ...] = (one.diameter,)
            require(one.diameter is not None, f"{one.name}: a {one.shape} needs a diameter, such as 500 mm", "floats")
        else:
            sizes = (one.width, one.height)
            require(one.width is not None and one.height is not None,
                    f"{one.name}: a {one.shape} needs a width and a height, such as 600 mm and 400 mm", "floats")
            require(one.direction != "standing",
                    f"{one.name}: only a round tube or a drum stands on end; turn its sizes instead", "floats")
        require(one.mass_per_metre is not None or one.weighed is not None or one.is_foam,
                f"{one.name}: enter its mass by length, such as 22 kg/m, or weigh it whole", "floats")
        require(not one.is_foam or np.all(one.wall == Q(0, "mm")),
                f"{one.name}: a foam block has no wall; call it a box, or leave the wall out", "floats")
        for size in sizes:
            require(size is None or np.all(2 * one.wall < size),
                    f"{one.name}: twice the wall is more than its size; mend one of them", "floats")
        require(np.all((one.cells + 1) * one.wall < one.length),
                f"{one.name}: ends and bulkheads as thick as the wall fill its whole length; mend one", "floats")


@dataclass(frozen=True, slots=True)
class FloatTable:
    """What the floats hold and weigh, one value a float.

    `dry` and `wet` are masses: only a bare block of foam (no wall) takes up
    water while it is whole.  `kept` is the share of its outside volume that a
    flooded float still displaces: dry foam and the stuff of its walls.
    """

    outside: Any
    foam: Any
    dry: Any
    wet: Any
    kept: Any


def float_table(floats: Sequence[FloatBody]) -> FloatTable:
    """Volumes and masses of checked floats; ends and bulkheads are taken as thick as the wall."""
    return _float_table(tuple(floats))


@lru_cache(maxsize=8)
def _float_table(floats: tuple[FloatBody, ...]) -> FloatTable:
    diameter, width, height, length, wall, per_metre, whole, ends, foam_share, foam_density, uptake = columns(
        floats, diameter="m", width="m", height="m", length="m", wall="m", mass_per_metre="kg/m", weighed="kg",
        ends="kg", foam="", foam_density="kg/m^3", uptake="")
    shape = (-1,) + (1,) * (length.ndim - 1)
    tube, block, given = (np.array(flags).reshape(shape) for flags in zip(
        *((one.is_round, one.is_foam, one.weighed is not None) for one in floats), strict=True))
    cells = np.array([one.cells for one in floats]).reshape(shape)
    fills = np.where(tube, np.pi / 4, 1.0)
    width, height = (Q(np.where(tube, diameter.m_as("m"), side.m_as("m")), "m") for side in (width, height))
    outside = fills * width * height * length
    # A sample may have a wall too thick for its size; its inside is then nothing, never a negative volume.
    hollow = np.maximum((width - 2 * wall).m_as("m"), 0), np.maximum((height - 2 * wall).m_as("m"), 0)
    inside = fills * Q(hollow[0] * hollow[1], "m^2") * (length - (cells + 1) * wall)
    foam = inside * np.where(block, 1.0, foam_share.m_as(""))
    made_up = per_metre * length + ends + foam * foam_density
    dry = Q(np.where(given, whole.m_as("kg"), made_up.m_as("kg")), "kg")
    taken_up = foam * uptake * (wall == Q(0, "m")) * Q(1000, "kg/m^3")
    kept = (foam * (1 - uptake) + outside - inside) / outside
    return FloatTable(outside, foam, dry, (dry + taken_up).to("kg"), kept.to(""))
