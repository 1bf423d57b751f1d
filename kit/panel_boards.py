"""Several panels glued up from one kind of board: boards of each, lengths to cut, rough stock, yield, glue lines.

    >>> side = GluedPanel(name="sides", length=Q(1500, "mm"), width=Q(420, "mm"), count=2)
    >>> made = panel_boards(panels=[side], rough_width=Q(240, "mm"), rough_thickness=Q(27, "mm"), thickness=Q(22, "mm"))
    >>> [(one.boards_each.magnitude, one.lines_each.magnitude) for one in made.by_panel]
    [(2.0, 1.0)]

One panel with battens, mass and centre is `kit.panels.panel`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least
from kit.kinds import Asks, Count, In, Out, Rows, Says, Text
from kit.nominal import nominal
from kit.quantities import Q, Quantity

__all__ = [
    "BoardMeasure", "GluedPanel", "PanelBoards", "PanelToGlue", "PanelsOfBoards", "board_feet", "board_measure",
    "panel_boards",
]

# A whole number is whole when it is this near.
_NEAR = 1e-9


def _size(meaning: str, example: float, most: float = 5000, find: str = "rule or calipers") -> In:
    return In("mm", meaning, example, ge=1, le=most, resolution=1, find=find, basis="measured")


def _off(meaning: str, example: float, most: float) -> In:
    return In("mm", meaning, example, ge=0, le=most, resolution=0.5, basis="common practice",
              find="plane one offcut flat and measure again")


@row
class GluedPanel:
    """Equal panels, or single boards where one is wide enough."""

    name: Annotated[str, Text("panel", "long sides")]
    length: Annotated[Quantity, _size("finished length, along the grain", 1500)]
    width: Annotated[Quantity, _size("finished width, across the grain", 420)]
    count: Annotated[int, Count("panels", 2, ge=1, le=200)] = 1


@row
class PanelToGlue:
    """Equal panels as they go into the clamps."""

    name: Annotated[str, Text("panel", "long sides")]
    count: Annotated[int, Count("panels", 2, ge=1, le=500)]
    lines: Annotated[int, Count("glue lines in one", 1, ge=1, le=500)]
    length: Annotated[Quantity, In("mm", "length of a glue line", 1500, ge=1, le=50_000, resolution=1)]
    thickness: Annotated[Quantity, In("mm", "thickness of the boards", 22, ge=0.5, le=500, resolution=0.5)]
    board_width: Annotated[Quantity, In("mm", "width of one board", 210, ge=1, le=5000, resolution=1)]
    pressure: Annotated[Quantity | None, In("MPa", "pressure on these, where it is not that of the others", 1.2,
                                            ge=0.01, le=5)] = None


@result
class PanelBoards:
    """The boards of one row of panels."""

    name: Annotated[str, Says("panel")]
    boards_each: Annotated[Quantity, Out("1", "boards in one", rounding="up")]
    boards: Annotated[Quantity, Out("1", "boards in all", rounding="up")]
    rough_length: Annotated[Quantity, Out("mm", "length to cut each board", resolution=1, rounding="up")]
    board_width: Annotated[Quantity, Out("mm", "width of each board in the panel", resolution=0.1)]
    ripped: Annotated[Quantity, Out("mm", "width ripped off the boards of one", resolution=1, rounding="down")]
    lines_each: Annotated[Quantity, Out("1", "glue lines in one")]


@result
class PanelsOfBoards:
    """Rough boards for a set of panels."""

    area: Annotated[Quantity, Out("m^2", "area of the finished panels, one face", resolution=0.01)]
    edges: Annotated[Quantity, Out("m^2", "area of their edges and ends", resolution=0.01)]
    boards: Annotated[Quantity, Out("1", "boards to cut")]
    board_length: Annotated[Quantity, Out("m", "length of all rough boards", resolution=0.01, rounding="up")]
    rough_volume: Annotated[Quantity, Out("m^3", "rough timber in the panels", rounding="up")]
    rough_feet: Annotated[Quantity, Out("bdft", "the same in board feet, under 1 in thick counted as 1 in",
                                        resolution=0.1, rounding="up")]
    yielded: Annotated[Quantity, Out("percent", "share of the rough timber in the finished panels", rounding="down")]
    joint_area: Annotated[Quantity, Out("m^2", "area of the glue lines, one face each", resolution=0.001)]
    by_panel: Annotated[tuple[PanelBoards, ...], Rows("boards by panel")]
    to_glue: Annotated[tuple[PanelToGlue, ...], Rows("panels that are glued up")]
    planes_to: Annotated[Check, Asks("rough boards plane to the thickness of the panels", "practice")]


@calculator("practice", "kit")
def panel_boards(
    *,
    panels: Annotated[Sequence[GluedPanel], Rows("panels", least=1, most=60)],
    rough_width: Annotated[Quantity, _size("width of a rough board", 240, 1000)],
    rough_thickness: Annotated[Quantity, _size("thickness of a rough board", 27, 300)],
    thickness: Annotated[Quantity, In("mm", "thickness of the panels", 22, ge=1, le=150, everyday=(6, 60),
                                      resolution=0.5, find="calipers on a planed offcut", basis="measured")],
    edge: Annotated[Quantity, _off("jointed off each edge of a board", 3, 50)] = Q(3, "mm"),
    face: Annotated[Quantity, _off("planed off each face of a board", 2.5, 50)] = Q(2.5, "mm"),
    end: Annotated[Quantity, _off("cut off each end of a board", 25, 500)] = Q(25, "mm"),
    trim: Annotated[Quantity, _off("cut off the width of a glued panel", 10, 200)] = Q(10, "mm"),
) -> PanelsOfBoards:
    """Rough boards for panels of one thickness, after jointing, planing and trimming.

    n = ceil((width + trim) / (rough_width - 2 edge)); where one board does it
    nothing is trimmed.  Each is cut to length + 2 end.  What knots and splits
    take is left to the waste on the buy list, and where the boards fall in the
    bought lengths to the cut plan.

    >>> made = panel_boards(panels=[GluedPanel(name="top", length=Q(640, "mm"), width=Q(600, "mm"))],
    ...                     rough_width=Q(140, "mm"), rough_thickness=Q(27, "mm"), thickness=Q(22, "mm"))
    >>> print(f"{made.boards.magnitude:.0f} boards, {made.rough_feet:.1f~P}")
    5 boards, 5.5 bdft
    """
    jointed = _left(rough_width, edge, "rough_width", "edge")
    planed = _left(rough_thickness, face, "rough_thickness", "face")
    taken = tuple(size.m_as("mm") for size in (jointed, trim, end))
    rows = tuple(_boards(one, *taken) for one in panels)
    thick = thickness.m_as("mm")
    sides = [(one.count, one.length.m_as("mm"), one.width.m_as("mm")) for one in panels]
    length = Q(sum(made.boards.magnitude * made.rough_length.magnitude for made in rows), "mm").to("m")
    area = _areas([n * long * wide for n, long, wide in sides])
    volume = (length * rough_width * rough_thickness).to("m^3")
    return PanelsOfBoards(
        area=area, edges=_areas([2 * n * (long + wide) * thick for n, long, wide in sides]),
        boards=Q(sum(made.boards.magnitude for made in rows) * 1.0), board_length=length, rough_volume=volume,
        rough_feet=board_feet(rough_thickness, rough_width, length),
        yielded=(area * thickness / volume).to("percent"),
        joint_area=_areas([
            n * made.lines_each.magnitude * long * thick for (n, long, _), made in zip(sides, rows, strict=True)]),
        by_panel=rows,
        to_glue=tuple(_to_glue(one, made, thickness) for one, made in zip(panels, rows, strict=True) if _lines(made)),
        planes_to=at_least(planed, thickness.to("mm"), share=False,
                           reason="planing of both faces is already taken off"),
    )


def _areas(parts: Sequence[Any]) -> Quantity:
    """Areas in square millimetres together."""
    return Q(sum(parts), "mm^2").to("m^2")


def _lines(made: PanelBoards) -> int:
    """Glue lines of one panel as a whole number: of many samples the middle."""
    middle = nominal(made.lines_each).magnitude
    return round(float(middle))


def _left(rough: Quantity, off: Quantity, *names: str) -> Quantity:
    """What is left between two edges or faces; nan where a sample leaves nothing."""
    left = np.asarray((rough - 2 * off).m_as("mm"))
    require(np.all(left >= 1), "nothing is left of a rough board; it must be more than twice what comes off each side, "
            "such as 240 mm with 3 mm off each edge", *names)
    return Q(np.where(left > 0, left, np.nan)[()], "mm")


def _boards(one: GluedPanel, jointed: Any, trim: Any, end: Any) -> PanelBoards:
    """In plain millimetres: a build asks for it at every change."""
    width = one.width.m_as("mm")
    whole = np.ceil((width + trim) / jointed - _NEAR)
    each = np.where(width <= jointed * (1 + _NEAR), np.where(np.isnan(whole), np.nan, 1.0), whole)[()]
    return PanelBoards(
        name=one.name, boards_each=Q(each), boards=Q(one.count * each),
        rough_length=Q(one.length.m_as("mm") + 2 * end, "mm"), board_width=Q(width / each, "mm"),
        ripped=Q(each * jointed - width, "mm"), lines_each=Q(each - 1),
    )


def _to_glue(one: GluedPanel, made: PanelBoards, thickness: Quantity) -> PanelToGlue:
    return PanelToGlue(name=one.name, count=one.count, lines=_lines(made), length=one.length, thickness=thickness,
                       board_width=made.board_width)


def board_feet(thickness: Quantity, width: Quantity, length: Quantity) -> Quantity:
    """Volume in board feet; stock thinner than an inch is counted as an inch."""
    counted = Q(np.maximum(thickness.m_as("in"), 1.0), "in")
    return Q(counted * width * length, "bdft")


@result
class BoardMeasure:
    """What pieces of timber measure."""

    feet: Annotated[Quantity, Out("bdft", "board feet", resolution=0.01, rounding="up")]
    volume: Annotated[Quantity, Out("m^3", "volume by these sizes")]
    metres: Annotated[Quantity, Out("m", "length of all pieces", resolution=0.01)]


@calculator("board-foot", "kit")
def board_measure(
    *,
    thickness: Annotated[Quantity, _size("thickness as it is sold", 51, 400, "nominal where it is sold by board feet")],
    width: Annotated[Quantity, _size("width as it is sold", 102, 1000)],
    length: Annotated[Quantity, In("m", "length of one piece", 4.27, ge=0.01, le=30, resolution=0.01, find="tape")],
    pieces: Annotated[Any, Count("pieces", 1, ge=1, le=10_000)] = 1,
) -> BoardMeasure:
    """Board feet and volume of timber.

    A board foot is 1 in by 12 in by 1 ft.  Board feet go by nominal sizes, and
    stock thinner than an inch counts as an inch; the volume goes by the sizes
    entered.

    >>> two_by_four = board_measure(thickness=Q(2, "in"), width=Q(4, "in"), length=Q(14, "ft"))
    >>> print(f"{two_by_four.feet:.2f~P}")
    9.33 bdft
    """
    metres = (pieces * length).to("m")
    return BoardMeasure(
        feet=board_feet(thickness, width, metres), volume=(thickness * width * metres).to("m^3"), metres=metres)
