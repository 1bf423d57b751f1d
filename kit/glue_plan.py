"""All glue-ups of a build together: its glue lines gathered, how many goes they take, and clamps for each.

One panel's glue-up in detail is `kit.glue.glue_up`; how much glue, `kit.glue.glue_coverage`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.glue import Joint
from kit.kinds import Asks, Count, In, Out, Rows, Says
from kit.panel_boards import PanelToGlue
from kit.quantities import Q, Quantity

__all__ = ["GlueGo", "GlueLines", "GluePlan", "glue_lines", "glue_plan"]

_NEAR = 1e-9


@result
class GlueLines:
    """The glue lines of lids, top, panels and corners."""

    joints: Annotated[tuple[Joint, ...], Rows("glue lines, for the amount of glue")]
    to_glue: Annotated[tuple[PanelToGlue, ...], Rows("panels that go into clamps")]
    edge_glued: Annotated[Quantity, Out("m^2", "glue lines between boards, one face each", resolution=0.001)]
    at_corners: Annotated[Quantity, Out("m^2", "glue lines at the corners, one face each", resolution=0.001)]
    notes: tuple[str, ...] = ()


def _length(meaning: str, example: float, most: float = 5000) -> In:
    return In("mm", meaning, example, ge=1, le=most, resolution=1)


@calculator("kit")
def glue_lines(
    *,
    lids: Annotated[int, Count("lids", 2, ge=1, le=50)] = 2,
    lid_lines: Annotated[int, Count("glue lines in a lid", 4, ge=0, le=100)],
    lid_length: Annotated[Quantity, _length("length of a glue line of a lid", 640)],
    lid_thickness: Annotated[Quantity, _length("thickness of a lid", 26, 150)],
    lid_board: Annotated[Quantity, _length("width of a board of a lid", 110)],
    top_lines: Annotated[int, Count("glue lines in the fixed top", 3, ge=0, le=100)],
    top_board: Annotated[Quantity, _length("width of a board of the fixed top", 100)],
    lid_pressure: Annotated[Quantity, In("MPa", "pressure on lids and top", 1.2, ge=0.01, le=5)],
    panels: Annotated[Sequence[PanelToGlue], Rows("other panels", most=60)] = (),
    corners: Annotated[int, Count("finger-jointed corners", 4, ge=0, le=100)] = 0,
    corner_path: Annotated[Quantity, _length("length of the glue line of a corner, in and out", 816, 50_000)]
    = Q(816, "mm"),
    corner_thickness: Annotated[Quantity, _length("thickness of the boards at the corners", 22, 150)] = Q(22, "mm"),
    others: Annotated[Sequence[Joint], Rows("other joints that are glued", most=60)] = (),
) -> GlueLines:
    """Every glue line of the build, once.

    The area of a line is its length times the thickness of the boards; the
    fixed top is as deep and as thick as a lid.

    >>> lines = glue_lines(lid_lines=4, lid_length=Q(640, "mm"), lid_thickness=Q(26, "mm"), lid_board=Q(110, "mm"),
    ...                    top_lines=3, top_board=Q(100, "mm"), lid_pressure=Q(1.2, "MPa"))
    >>> [(joint.name, joint.count) for joint in lines.joints]
    [('lids', 8), ('fixed top', 3)]
    """
    def glued(name: str, count: int, lines: int, board: Quantity) -> tuple[PanelToGlue, ...]:
        row = PanelToGlue(name=name, count=count, lines=max(lines, 1), length=lid_length, thickness=lid_thickness,
                          board_width=board, pressure=lid_pressure)
        return (row,) if lines else ()

    to_glue = (*glued("lids", lids, lid_lines, lid_board), *glued("fixed top", 1, top_lines, top_board), *panels)
    between = [Joint(name=one.name, length=one.length, width=one.thickness, count=one.count * one.lines, faces="both")
               for one in to_glue]
    fingers = [Joint(name="finger-jointed corners", length=corner_path, width=corner_thickness, count=corners,
                     faces="both")] if corners else []
    return GlueLines(
        joints=_apart((*between, *fingers, *others)), to_glue=_apart(to_glue),
        edge_glued=_area(between), at_corners=_area(fingers),
    )


def _apart(rows: Any) -> Any:
    """Rows whose names differ: a panel of the reader's may be called 'lids' too."""
    seen: dict[str, int] = {}
    made = []
    for one in rows:
        seen[one.name] = seen.get(one.name, 0) + 1
        cells = {name: getattr(one, name) for name in type(one).declaration.inputs}
        other = {**cells, "name": f"{one.name[:50]} ({seen[one.name]})"}
        made.append(one if seen[one.name] == 1 else type(one)(**other))
    return tuple(made)


def _area(joints: Sequence[Joint]) -> Quantity:
    return Q(sum((one.length.m_as("mm") * one.width.m_as("mm") * one.count for one in joints), 0.0), "mm^2").to("m^2")


@result
class GlueGo:
    """How one row of panels is glued up."""

    name: Annotated[str, Says("panel")]
    goes: Annotated[Quantity, Out("1", "goes for all of them", rounding="up")]
    lines_a_go: Annotated[Quantity, Out("1", "glue lines closed in one go")]
    time: Annotated[Quantity, Out("s", "from the first glue to the last clamp", rounding="up", resolution=1)]
    force: Annotated[Quantity, Out("kN", "clamping force", rounding="up", resolution=0.1)]
    clamps: Annotated[Quantity, Out("1", "clamps", rounding="up")]
    spacing: Annotated[Quantity, Out("mm", "distance between clamps", rounding="down", resolution=1)]
    reached: Annotated[Quantity, Out("MPa", "pressure with every clamp there is", rounding="down", resolution=0.01)]
    caul: Annotated[Quantity, Out("mm", "caul with which the clamps for the force are enough", rounding="up",
                                  resolution=1)]
    at_once: Annotated[Quantity, Out("1", "panels in clamps at once", rounding="down")]


@result
class GluePlan:
    """All glue-ups."""

    goes: Annotated[Quantity, Out("1", "goes in all", rounding="up")]
    rounds: Annotated[Quantity, Out("1", "times that all clamps are used", rounding="up")]
    clamped: Annotated[Quantity, Out("h", "time that work stands in clamps", rounding="up", resolution=0.1)]
    most_clamps: Annotated[Quantity, Out("1", "clamps that the greediest panel takes", rounding="up")]
    by_panel: Annotated[tuple[GlueGo, ...], Rows("glue-ups by panel")]
    enough: Annotated[Check, Asks("clamps for every panel", "practice")]
    one_line: Annotated[Check, Asks("one glue line of any panel within the planned time", "practice")]
    notes: tuple[str, ...] = ()


@calculator("practice", "AC-43.13-1B")
def glue_plan(
    *,
    panels: Annotated[Sequence[PanelToGlue], Rows("panels that go into clamps", most=120)],
    joint_time: Annotated[Quantity, In("s", "time to spread and close a line of a metre", 60, ge=1, le=3600,
                                       basis="measured", find="time one in a dry run")],
    fixed_time: Annotated[Quantity, In("s", "time for everything else: lining up, clamps", 90, ge=0, le=7200,
                                       basis="measured", find="time it in a dry run")],
    open_time: Annotated[Quantity, In("min", "open time of the glue", 8, ge=0.5, le=240, everyday=(3, 60),
                                      find="label, at the temperature of the workshop", basis="data sheet")],
    pressure: Annotated[Quantity, In("MPa", "pressure the glue wants on this wood", 0.8, ge=0.01, le=5,
                                     everyday=(0.1, 2), find="label", basis="data sheet")],
    clamp_force: Annotated[Quantity, In("kN", "force of one clamp", 4, ge=0.05, le=60, everyday=(0.5, 12),
                                        find="squeeze a bathroom scale between two blocks", basis="measured")],
    clamps: Annotated[int, Count("clamps there are", 6, ge=0, le=500)],
    clamp_time: Annotated[Quantity, In("min", "time in clamps", 60, ge=1, le=10_000, basis="data sheet",
                                       find="label, in the cold twice that")] = Q(60, "min"),
    planned_share: Annotated[Quantity, In("percent", "share of the open time to plan on", 80, ge=10, le=100,
                                          basis="common practice", chosen=True)] = Q(80, "percent"),
    caul: Annotated[Quantity, In("mm", "thickness of the strips under the clamp pads", 0, ge=0, le=300,
                                 basis="measured")] = Q(0, "mm"),
) -> GluePlan:
    """Goes, clamps and time in clamps for every panel of the build.

    A line takes joint_time * its length in metres, and a go as many lines as
    fit into the planned share of the open time.  Force = pressure * length *
    thickness; pads reach 45 degrees, 2 (board_width + caul) apart at most.  With
    fewer clamps than that two panels cannot stand side by side, and the
    pressure falls to clamps * force / area.  Whole numbers are for these times:
    dry runs decide.

    >>> side = PanelToGlue(name="sides", count=2, lines=1, length=Q(1500, "mm"), thickness=Q(22, "mm"),
    ...                    board_width=Q(210, "mm"))
    >>> plan = glue_plan(panels=[side], joint_time=Q(60, "s"), fixed_time=Q(90, "s"), open_time=Q(8, "min"),
    ...                  pressure=Q(0.8, "MPa"), clamp_force=Q(4, "kN"), clamps=8)
    >>> print(f"{plan.goes.magnitude:.0f} goes, {plan.most_clamps.magnitude:.0f} clamps, {plan.clamped:.0f~P}")
    2 goes, 7 clamps, 2 h
    """
    per_metre, fixed, planned = joint_time.m_as("s"), fixed_time.m_as("s"), (planned_share * open_time).m_as("s")
    bench = _Bench(per_metre, fixed, planned, clamp_force.m_as("kN"), clamps, caul.m_as("mm"))
    rows = tuple(_go(one, (pressure if one.pressure is None else one.pressure).m_as("MPa"), bench) for one in panels)
    goes = sum(one.goes.magnitude for one in rows) * 1.0
    rounds = sum(np.ceil(one.goes.magnitude / one.at_once.magnitude - _NEAR) for one in rows) * 1.0
    most = Q(np.max([one.clamps.magnitude for one in rows], axis=0)) if rows else Q(0.0)
    return GluePlan(
        goes=Q(goes), rounds=Q(rounds), clamped=(Q(rounds) * clamp_time).to("h"), most_clamps=most, by_panel=rows,
        enough=at_least(Q(clamps * 1.0), most) if rows else does_not_apply("nothing is glued up"),
        one_line=_in_time([fixed + per_metre * one.length.m_as("m") for one in panels], planned),
    )


@dataclass(frozen=True, slots=True)
class _Bench:
    """What all panels share, in seconds, kilonewtons and millimetres: a build asks for it at every change."""

    per_metre: Any
    fixed: Any
    planned: Any
    force: Any
    clamps: Any
    caul: Any


def _in_time(alone: Sequence[Any], planned: Any) -> Check:
    if not alone:
        return does_not_apply("nothing is glued up")
    return at_most(Q(np.max(np.broadcast_arrays(*alone), axis=0)[()], "s"), Q(planned, "s"))


def _go(one: PanelToGlue, pressure: Any, bench: _Bench) -> GlueGo:
    length, thickness, board = (size.m_as("mm") for size in (one.length, one.thickness, one.board_width))
    each = bench.per_metre * length / 1000
    a_go = np.clip(np.floor((bench.planned - bench.fixed) / each + _NEAR), 1, one.lines)
    force = pressure * length * thickness / 1000
    by_force = _whole(force / bench.force)
    needed = np.maximum(by_force, _whole(length / (2 * (board + bench.caul))))
    return GlueGo(
        name=one.name, goes=Q(one.count * _whole(one.lines / a_go)), lines_a_go=Q(a_go),
        time=Q(bench.fixed + a_go * each, "s"), force=Q(force, "kN"), clamps=Q(needed),
        spacing=Q(length / needed, "mm"), reached=Q(1000 * bench.clamps * bench.force / (length * thickness), "MPa"),
        caul=Q(np.maximum(length / by_force / 2 - board, 0.0), "mm"),
        at_once=Q(np.maximum(np.floor(bench.clamps / needed), 1.0)),
    )


def _whole(share: Any) -> Any:
    """The next whole number of things, an exact fit needing no further one; at least one."""
    return np.maximum(np.ceil(share - _NEAR), 1.0)
