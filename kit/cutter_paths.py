"""The cutters of a router, and the paths they take: outlines, pockets, facings, grooves, holes.

Kernels here are in metres and seconds.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import require, row
from kit.kinds import Choice, Count, In, Text, YesNo
from kit.quantities import Quantity
from kit.router import per_turn

__all__ = ["MAIN", "Cutter", "Operation", "Tool", "paths", "tool_of", "tools", "volume"]

Cut = Literal["outline", "pocket", "facing", "V-groove", "holes"]
Zero = Literal["top of the wood", "bed"]

MAIN = "main cutter"
# A whole number is whole when it is this near.
_NEAR = 1e-9


@row
class Cutter:
    """A cutter besides the main one."""

    name: Annotated[str, Text("cutter", "V cutter")]
    diameter: Annotated[Quantity, In("mm", "diameter as measured", 12, ge=0.2, le=200, resolution=0.05,
                                     basis="measured", find="calipers; or cut a slot and measure it")]
    flutes: Annotated[int, Count("cutting edges", 2, ge=1, le=12)]
    speed: Annotated[Quantity, In("rpm", "spindle speed", 16_000, ge=100, le=60_000, resolution=100)]
    chip_load: Annotated[Quantity, In("mm", "feed per tooth", 0.08, ge=0.001, le=3, resolution=0.005, chosen=True)]
    pass_depth: Annotated[Quantity, In("mm", "depth of one pass", 3, ge=0.02, le=200, resolution=0.1, chosen=True)]
    step_over: Annotated[Quantity, In("mm", "step-over", 5, ge=0.01, le=200, resolution=0.05, chosen=True)]
    angle: Annotated[Quantity | None, In("deg", "full angle, of a V cutter", 60, ge=10, le=170, resolution=1,
                                         basis="data sheet")] = None


@row
class Operation:
    """One kind of cut, with its size."""

    name: Annotated[str, Text("operation", "long kites")]
    cut: Annotated[Cut, Choice("kind of cut", "pocket")]
    depth: Annotated[Quantity, In("mm", "depth", 4, ge=0.02, le=300, everyday=(0.2, 60), resolution=0.1,
                                  basis="measured", chosen=True)]
    cutter: Annotated[str, Text("cutter, by its name", MAIN)] = MAIN
    length: Annotated[Quantity | None, In("mm", "length of one: along its path, or of the longest line in an area", 65,
                                          ge=1, le=200_000, resolution=1, basis="measured")] = None
    area: Annotated[Quantity | None, In("cm^2", "area of one, of a pocket or a facing", 23.4, ge=0.01, le=200_000,
                                        resolution=0.1, basis="measured")] = None
    count: Annotated[int, Count("how many", 4, ge=0, le=10_000)] = 1
    corners: Annotated[int, Count("stops along a path: corners, ends of letters", 8, ge=1, le=100_000)] = 8
    zero: Annotated[Zero, Choice("where the depth is counted from", "top of the wood",
                                 find="top: recesses that resin fills; bed: cuts that go through")] = "top of the wood"
    through: Annotated[bool, YesNo("goes through the wood")] = False
    thickness: Annotated[Quantity | None, In("mm", "thickness of the wood here, if it is another", 22, ge=0.5, le=500,
                                             resolution=0.1, basis="measured")] = None


@dataclass(frozen=True, slots=True)
class Tool:
    """A cutter in metres and seconds; `slope` is the tangent of half the angle of a V."""

    name: str
    diameter: Any
    feed: Any
    pass_depth: Any
    step: Any
    slope: Any = None


def tools(cutters: Sequence[Cutter], main: Tool) -> dict[str, Tool]:
    """Every cutter by its name, the main one first."""
    require(all(one.name != MAIN for one in cutters), f"'{MAIN}' is the one above; give this cutter another name, "
            "such as 'V cutter'", "cutters")
    made = {MAIN: main}
    for one in cutters:
        feed = (per_turn(one.flutes) * one.speed * one.chip_load).m_as("m/s")
        slope = None if one.angle is None else np.tan(one.angle.m_as("rad") / 2)
        made[one.name] = Tool(one.name, one.diameter.m_as("m"), feed, one.pass_depth.m_as("m"),
                               one.step_over.m_as("m"), slope)
    return made


def tool_of(one: Operation, there: Mapping[str, Tool]) -> Tool:
    """The cutter an operation names; a name that is not there is refused."""
    require(one.cutter in there, f"{one.name}: there is no cutter '{one.cutter}'; there are {', '.join(there)}", "work")
    return there.get(one.cutter, there[MAIN])


def _cell(one: Operation, name: str) -> Any:
    """A size that this kind of cut cannot do without, in metres or square metres."""
    value: Quantity | None = getattr(one, name)
    sample = {"length": "65 mm", "area": "23.4 cm^2"}[name]
    require(value is not None, f"{one.name}: a {one.cut} needs its {name}, such as {sample}", "work")
    if value is None:  # only while sampling, where nothing is refused
        return np.nan
    return value.m_as("m" if name == "length" else "m^2")


def paths(one: Operation, tool: Tool) -> tuple[Any, Any, Any]:
    """Length of one pass of one piece, its straight pieces, and the area it clears, in metres."""
    if one.cut == "holes":
        return 0.0 * tool.diameter, 1, math.pi / 4 * tool.diameter**2
    if one.cut in ("outline", "V-groove"):
        length = _cell(one, "length")
        return length, one.corners, length * tool.diameter
    length, area = _cell(one, "length"), _cell(one, "area")
    wide = area / length
    inset = tool.diameter if one.cut == "pocket" else 0.0
    require(wide >= inset * (1 - _NEAR), f"{one.name}: {1000 * np.min(wide):.1f} mm is narrower than the cutter "
            f"({1000 * np.max(tool.diameter):.1f} mm); take a thinner one, or check area and length", "work")
    across, along = np.maximum(wide - inset, 0), np.maximum(length - inset, 0)
    lines = np.floor(across / tool.step + _NEAR) + 1
    lap = 2 * (across + along) if one.cut == "pocket" else 0.0
    return lines * along + across + lap, 2 * lines - 1 + (4 if one.cut == "pocket" else 0), area


def volume(one: Operation, tool: Tool, area: Any, depth: Any) -> Any:
    """Wood cut away by one piece, in cubic metres."""
    if one.cut != "V-groove":
        return area * depth
    require(tool.slope is not None, f"{one.name}: a V-groove needs a V cutter; give '{tool.name}' its full angle, "
            "such as 60 deg", "work", "cutters")
    return depth**2 * (np.nan if tool.slope is None else tool.slope) * _cell(one, "length")
