"""Operations at the router row by row: passes, time, chips, and where the zero is set.

    >>> rose = Operation(name="rose", cut="pocket", length=Q(300, "mm"), area=Q(230, "cm^2"), depth=Q(4, "mm"))
    >>> found = operations(work=[rose], diameter=Q(3, "mm"), feed=Q(1800, "mm/min"), pass_depth=Q(2, "mm"),
    ...                    step_over=Q(1.2, "mm"), thickness=Q(26, "mm"), spindle_power=Q(500, "W"))
    >>> print(f"{found.by_operation[0].passes.magnitude:.0f} passes, {found.machine_time.to('min'):.0f~P}")
    2 passes, 26 min

The paths themselves are in `kit.cutter_paths`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.cutter_paths import MAIN, Cutter, Operation, Tool, paths, tool_of, tools, volume
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text
from kit.move_time import seconds
from kit.quantities import Q, Quantity
from kit.router import deepest_pass

__all__ = ["OperationTime", "Operations", "operations"]

# A whole number is whole when it is this near.
_NEAR = 1e-9


@result
class OperationTime:
    """One operation, worked out."""

    name: Annotated[str, Text("operation", "long kites")]
    cutter: Annotated[str, Text("cutter", MAIN)]
    feed: Annotated[Quantity, Out("mm/min", "feed", rounding="down", resolution=10)]
    passes: Annotated[Quantity, Out("1", "passes", rounding="up")]
    each: Annotated[Quantity, Out("mm", "depth of each", resolution=0.01)]
    path: Annotated[Quantity, Out("m", "path cut", resolution=0.1)]
    time: Annotated[Quantity, Out("min", "time", rounding="up", resolution=0.1)]
    in_wood: Annotated[Quantity, Out("min", "of that in the wood", rounding="up", resolution=0.1)]
    removed: Annotated[Quantity, Out("mL", "wood cut away", resolution=1)]
    power: Annotated[Quantity, Out("W", "power", rounding="up", resolution=1)]
    zero: Annotated[str, Says("zero")]
    floor: Annotated[Quantity, Out("mm", "height of its floor from that zero", resolution=0.01)]
    off: Annotated[Quantity, Out("mm", "depth may be off by", rounding="up", resolution=0.05)]
    left: Annotated[Quantity, Out("mm", "wood left below", rounding="down", resolution=0.1)]


@result
class Operations:
    """All operations together."""

    machine_time: Annotated[Quantity, Out("h", "running time of the machine, changes of cutter included",
                                          rounding="up", resolution=0.1)]
    cutting: Annotated[Quantity, Out("percent", "of that, cutter in the wood", resolution=1, absent="nothing to cut")]
    changes: Annotated[Quantity, Out("1", "times a cutter is put in")]
    path: Annotated[Quantity, Out("m", "path cut", resolution=1)]
    removed: Annotated[Quantity, Out("mL", "wood cut away", resolution=10)]
    chips: Annotated[Quantity, Out("L", "loose chips to bag", rounding="up", resolution=1)]
    bags: Annotated[Quantity, Out("1", "bags for them", rounding="up")]
    greatest_power: Annotated[Quantity, Out("W", "greatest power at the cutter", rounding="up", resolution=1)]
    worst_off: Annotated[Quantity, Out("mm", "most that a counted depth may be off", rounding="up", resolution=0.05)]
    tabs: Annotated[str, Says("what has to be held when it is cut free")]
    by_operation: Annotated[tuple[OperationTime, ...], Rows("operations in order")]
    powered: Annotated[Check, Asks("power of the spindle, every operation", "kit")]
    shallow: Annotated[Check, Asks("depth of one pass, every cutter", "practice")]
    reached: Annotated[Check, Asks("feed the machine can go, every cutter", "kit")]
    true_depth: Annotated[Check, Asks("depths true enough by the zero chosen", "kit")]
    floors: Annotated[Check, Asks("wood left under every recess", "practice")]
    cut_through: Annotated[Check, Asks("cuts through go through", "kit")]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Machine:
    """What every operation has in common, in metres and seconds; kernel."""

    acceleration: Any
    rapid: Any
    way: str
    descent: Any
    lift: Any
    travel: Any
    thickness: Any
    energy: Any
    touch: Any
    uneven: Any


@calculator("practice", "kit")
def operations(
    *,
    work: Annotated[Sequence[Operation], Rows("operations in the order they are done", least=1,
                                              find="those with one cutter after another: fewer changes")],
    cutters: Annotated[Sequence[Cutter], Rows("cutters besides the main one")] = (),
    diameter: Annotated[Quantity, In("mm", "diameter of the main cutter", 3, ge=0.2, le=80, resolution=0.05)],
    feed: Annotated[Quantity, In("mm/min", "feed of the main cutter", 1800, ge=0.05, le=1e7, resolution=10)],
    pass_depth: Annotated[Quantity, In("mm", "depth of one pass of the main cutter", 2, ge=0.02, le=100, resolution=0.1,
                                       chosen=True)],
    step_over: Annotated[Quantity, In("mm", "step-over of the main cutter", 1.2, ge=0.01, le=80, resolution=0.05,
                                      chosen=True)],
    thickness: Annotated[Quantity, In("mm", "thickness of the wood", 26, ge=0.5, le=500, resolution=0.1,
                                      find="calipers, where it is thinnest", basis="measured")],
    spindle_power: Annotated[Quantity, In("W", "power the spindle gives", 500, ge=10, le=20_000)],
    cutting_energy: Annotated[Quantity, In("J/cm^3", "energy to cut away a volume of wood", 50, ge=2, le=500)]
    = Q(50, "J/cm^3"),
    fastest: Annotated[Quantity, In("mm/min", "fastest feed of the machine", 3000, ge=50, le=60_000, resolution=10)]
    = Q(3000, "mm/min"),
    rapid: Annotated[Quantity, In("mm/min", "speed of moves through the air", 3000, ge=50, le=100_000, resolution=10,
                                  basis="data sheet")] = Q(3000, "mm/min"),
    acceleration: Annotated[Quantity, In("mm/s^2", "acceleration of the machine", 400, ge=5, le=20_000, resolution=10,
                                         find="its settings; or time a known run and work it back",
                                         basis="data sheet")] = Q(300, "mm/s^2"),
    way: Annotated[Literal["ramp", "plunge"], Choice("how a cutter goes down", "ramp")] = "ramp",
    slope: Annotated[Quantity, In("deg", "slope of a ramp", 3, ge=0.2, le=45, resolution=0.5, chosen=True)]
    = Q(3, "deg"),
    plunge_share: Annotated[Quantity, In("percent", "feed straight down, of the feed along", 30, ge=1, le=100,
                                         basis="common practice")] = Q(30, "percent"),
    lift: Annotated[Quantity, In("mm", "lift between cuts", 5, ge=0.5, le=200, resolution=1)] = Q(5, "mm"),
    travel: Annotated[Quantity, In("mm", "way through the air from one to the next", 150, ge=0, le=10_000)]
    = Q(150, "mm"),
    change: Annotated[Quantity, In("min", "time to change a cutter and find zero again", 4, ge=0, le=120,
                                   resolution=0.5,
                                   find="watch, once", basis="measured")] = Q(4, "min"),
    touch_off: Annotated[Quantity, In("mm", "how far a zero may be off", 0.1, ge=0, le=5, resolution=0.05,
                                      basis="measured", find="set it five times")] = Q(0.1, "mm"),
    uneven: Annotated[Quantity, In("mm", "give or take of the wood's thickness", 0.3, ge=0, le=20, resolution=0.05,
                                   basis="measured", find="calipers at five places")] = Q(0.3, "mm"),
    may_be_off: Annotated[Quantity, In("mm", "how far a depth may be off", 0.2, ge=0, le=20, resolution=0.05,
                                       chosen=True)] = Q(0.2, "mm"),
    least_left: Annotated[Quantity, In("mm", "least wood to leave under a recess", 6, ge=0, le=500, resolution=0.5,
                                       chosen=True, basis="common practice")] = Q(6, "mm"),
    bulk: Annotated[Quantity, In("1", "loose chips to solid wood, by volume", 4, ge=1, le=20, basis="common practice",
                                 find="fill a bucket from a known cut")] = Q(4),
    bag: Annotated[Quantity, In("L", "one bag", 60, ge=1, le=1000, basis="data sheet")] = Q(60, "L"),
) -> Operations:
    """Operations in order: passes = depth by the depth of one, path by kind of cut, time with starts and stops.

    A pocket or facing of area A and longest line L is a raster of floor(W/s) + 1
    lines, W = A/L; a pocket's lines keep half a cutter from its walls and a lap
    round them follows.  Every straight piece starts and stops; each pass goes
    down once, by a ramp or straight.  Zero on top keeps the depth true, zero on
    the bed keeps what is left true: the depth then errs with the thickness.

    >>> slot = Operation(name="slot", cut="outline", length=Q(1, "m"), depth=Q(22, "mm"), zero="bed",
    ...                  through=True, thickness=Q(22, "mm"))
    >>> given = dict(diameter=Q(6, "mm"), feed=Q(2800, "mm/min"), pass_depth=Q(5, "mm"), step_over=Q(3, "mm"))
    >>> operations(work=[slot], thickness=Q(26, "mm"), spindle_power=Q(500, "W"), **given).tabs
    'slot: cut free; leave tabs, or screw both pieces down'
    """
    descent = np.tan(slope.m_as("rad")) if way == "ramp" else plunge_share.m_as("")
    machine = _Machine(acceleration.m_as("m/s^2"), rapid.m_as("m/s"), way, descent, lift.m_as("m"), travel.m_as("m"),
                       thickness.m_as("m"), cutting_energy.m_as("J/m^3"), touch_off.m_as("m"), uneven.m_as("m"))
    main = Tool(MAIN, diameter.m_as("m"), feed.m_as("m/s"), pass_depth.m_as("m"), step_over.m_as("m"))
    there = tools(cutters, main)
    used = {tool.name: tool for tool in (tool_of(one, there) for one in work)}
    rows = tuple(_operation(one, used[one.cutter], machine) for one in work)
    changes = 1 + sum(one.cutter != before.cutter for before, one in pairwise(rows))
    total = (_sum(rows, "time", "min") + changes * change).to("h")
    removed = _sum(rows, "removed", "mL")
    chips = (bulk * removed).to("L")
    power = _most(rows, "power", "W")
    counted = [row for row, one in zip(rows, work, strict=True) if not one.through]
    off = _most(counted, "off", "mm") if counted else Q(0, "mm")
    return Operations(
        machine_time=total, cutting=_share(_sum(rows, "in_wood", "min"), total), changes=Q(changes),
        path=_sum(rows, "path", "m"), removed=removed, chips=chips,
        bags=Q(np.ceil((chips / bag).m_as("") - _NEAR)), greatest_power=power, worst_off=off,
        tabs=_tabs(work), by_operation=rows, powered=at_most(power, spindle_power),
        shallow=_shallow(used), reached=at_most(_fastest(used), fastest.to("mm/min")),
        true_depth=at_most(off, may_be_off, reason="how far zero and thickness may be off, added up")
        if counted else does_not_apply("every cut goes through"),
        floors=_floors(rows, work, least_left), cut_through=_cut_through(work, machine),
    )


def _operation(one: Operation, tool: Tool, machine: _Machine) -> OperationTime:
    """One row; kernel in metres and seconds up to its last lines."""
    depth = one.depth.m_as("m")
    thickness = machine.thickness if one.thickness is None else one.thickness.m_as("m")
    path, segments, area = paths(one, tool)
    passes = np.maximum(np.ceil(depth / tool.pass_depth - _NEAR), 1) if one.cut != "holes" else 1.0 + 0.0 * depth
    each = depth / passes
    cut = _cut_time(one, tool, machine, path, segments, passes)
    through_air = seconds(machine.travel, 1, machine.rapid, machine.acceleration) + 2 * seconds(
        machine.lift, 1, machine.rapid, machine.acceleration)
    time = one.count * (cut + through_air)
    removed = one.count * volume(one, tool, area, depth)
    wide = np.minimum(tool.step, tool.diameter) if one.cut in ("pocket", "facing") else tool.diameter
    off = machine.touch + (machine.uneven if one.zero == "bed" else 0.0)
    return OperationTime(
        name=one.name, cutter=tool.name, feed=Q(tool.feed * 60_000, "mm/min"), passes=Q(passes),
        each=Q(each * 1000, "mm"), path=Q(one.count * passes * path, "m"), time=Q(time / 60, "min"),
        in_wood=Q(one.count * cut / 60, "min"), removed=Q(removed * 1e6, "mL"),
        power=Q(wide * each * tool.feed * machine.energy * (0.0 if one.cut == "holes" else 1.0), "W"), zero=one.zero,
        floor=Q(((thickness - depth) if one.zero == "bed" else -depth) * 1000 + 0.0 * thickness, "mm"),
        off=Q(off * 1000 + 0.0 * depth, "mm"), left=Q(np.maximum(thickness - depth, 0) * 1000, "mm"),
    )


def _cut_time(one: Operation, tool: Tool, machine: _Machine, path: Any, segments: Any, passes: Any) -> Any:
    """Time in the wood for one piece: every pass goes down once and then along."""
    depth = one.depth.m_as("m")
    if one.cut == "holes":
        return seconds(depth, 1, tool.feed, machine.acceleration)
    if machine.way == "ramp":
        down = passes * seconds(np.hypot(depth / passes, depth / passes / machine.descent), 1, tool.feed,
                                machine.acceleration)
    else:
        down = passes * seconds(depth / passes, 1, tool.feed * machine.descent, machine.acceleration)
    return down + passes * seconds(path, segments, tool.feed, machine.acceleration)


def _share(part: Quantity, whole: Quantity) -> Quantity:
    """A part of a time as a percentage; nan of nothing."""
    there = np.asarray(whole.m_as("s"), dtype=float)
    return Q((100 * part.m_as("s") / np.where(there > 0, there, np.nan))[()], "percent")


def _sum(rows: Sequence[OperationTime], name: str, unit: str) -> Quantity:
    return Q(reduce(np.add, (getattr(one, name).m_as(unit) for one in rows)), unit)


def _most(rows: Sequence[OperationTime], name: str, unit: str) -> Quantity:
    return Q(reduce(np.maximum, (getattr(one, name).m_as(unit) for one in rows)), unit)


def _shallow(tools: Mapping[str, Tool]) -> Check:
    """The cutter that goes nearest to its deepest pass, or beyond it."""
    shares = {name: tool.pass_depth / deepest_pass(Q(tool.diameter, "m")).m_as("m") for name, tool in tools.items()}
    worst = max(shares, key=lambda name: float(np.nanmean(shares[name])))
    most = reduce(np.maximum, shares.values())
    return at_most(Q(100 * most, "percent"), Q(100, "percent"), reason=f"of the deepest pass; most: {worst}")


def _fastest(tools: Mapping[str, Tool]) -> Quantity:
    return Q(reduce(np.maximum, (tool.feed for tool in tools.values())) * 60_000, "mm/min")


def _floors(rows: Sequence[OperationTime], work: Sequence[Operation], least: Quantity) -> Check:
    """The thinnest floor of all that does not go through."""
    floors = {row.name: row.left.m_as("mm") for row, one in zip(rows, work, strict=True) if not one.through}
    if not floors:
        return does_not_apply("every cut goes through")
    thin = min(floors, key=lambda name: float(np.nanmean(floors[name])))
    return at_least(Q(reduce(np.minimum, floors.values()), "mm"), least, reason=f"thinnest: {thin}")


def _cut_through(work: Sequence[Operation], machine: _Machine) -> Check:
    """What is meant to go through has to go as far below the wood as its zero, and on top its thickness, may be off."""
    short: dict[str, Any] = {}
    for one in work:
        if one.through:
            thickness = machine.thickness if one.thickness is None else one.thickness.m_as("m")
            off = machine.touch + (machine.uneven if one.zero != "bed" else 0.0)
            short[one.name] = 1000 * (thickness - one.depth.m_as("m") + off)
    if not short:
        return does_not_apply("nothing is meant to go through")
    worst = max(short, key=lambda name: float(np.nanmean(short[name])))
    return at_most(Q(reduce(np.maximum, short.values()), "mm"), Q(1e-6, "mm"), share=False,
                   reason=f"what may be left standing when zero or thickness is off; most: {worst}")


def _tabs(work: Sequence[Operation]) -> str:
    through = [one for one in work if one.count and one.through]
    free = [one.name for one in through if one.cut == "outline"]
    others = [one.name for one in through if one.cut != "outline"]
    said = [f"{', '.join(free)}: cut free; leave tabs, or screw both pieces down"] if free else []
    said += [f"{', '.join(others)}: cut through; a spoil board under it"] if others else []
    return ". ".join(said) or "nothing is cut free"
