"""A control panel: where its holes go, evenly spread, and whether bodies and wires find room behind it.

The datum is the lower left corner of the panel, seen from the front.  In each
row the gaps between neighbours and to the edges are equal, and so are the gaps
between rows; a part takes the room of its face or of its body, whichever is
larger.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_least, at_most
from kit.columns import at_rows, cell, cells, column, worst_row
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["DrillHole", "DrillPlan", "PanelPart", "drill_plan"]

_FIND = "calipers on the part, or its data sheet"


@row
class PanelPart:
    """A switch, lamp, display, socket or gland in the panel."""

    name: Annotated[str, Text("part", "pump switch", longest=40)]
    kind: Annotated[Literal["switch", "indicator", "display", "socket", "gland", "other"],
                    Choice("what it is", "switch")]
    row: Annotated[int, Count("row, from the top", 1, ge=1, le=20)] = 1
    hole: Annotated[Literal["round", "rectangle"], Choice("hole", "round")] = "round"
    hole_width: Annotated[Quantity, In("mm", "hole, diameter or width", 16, out_by="0.1 mm",
                                       ge=1, le=500, resolution=0.1, find=_FIND)]
    hole_height: Annotated[Quantity | None, In("mm", "height of the hole, if it is not round", 27, out_by="0.1 mm",
                                               ge=1, le=500,
                                               resolution=0.1)] = None
    width: Annotated[Quantity, In("mm", "room it takes across, face or body", 24, out_by="0.5 mm",
                                  ge=1, le=1000, find=_FIND)]
    height: Annotated[Quantity, In("mm", "room it takes up, face or body", 24, out_by="0.5 mm",
                                   ge=1, le=1000, find=_FIND)]
    depth: Annotated[Quantity, In("mm", "body behind the panel", 30, out_by="1 mm", ge=0, le=1000, find=_FIND)] = field(
        default_factory=lambda: Q(30, "mm")
    )


@result
class DrillHole:
    """One hole, from the lower left corner."""

    name: Annotated[str, Says("part")]
    kind: Annotated[str, Says("what it is")]
    x: Annotated[Quantity, Out("mm", "centre, from the left edge", resolution=0.1)]
    y: Annotated[Quantity, Out("mm", "centre, from the lower edge", resolution=0.1)]
    hole: Annotated[str, Says("hole")]
    gap: Annotated[Quantity, Out("mm", "gap in its row", resolution=0.1, rounding="down")]


@result
class DrillPlan:
    """Every hole, and the room left."""

    holes: Annotated[tuple[DrillHole, ...], Rows("holes")]
    least_gap: Annotated[Quantity, Out("mm", "least gap across", resolution=0.1, rounding="down")]
    row_gap: Annotated[Quantity, Out("mm", "gap between rows", resolution=0.1, rounding="down")]
    deepest: Annotated[Quantity, Out("mm", "room needed behind", resolution=1, rounding="up")]
    across: Annotated[Check, Asks("parts have room side by side", "practice")]
    up: Annotated[Check, Asks("rows have room above each other", "practice")]
    behind: Annotated[Check, Asks("bodies and wires have room behind", "practice")]
    holes_hidden: Annotated[Check, Asks("every hole is covered by its part", "kit")]


@calculator("kit", "practice")
def drill_plan(
    *,
    parts: Annotated[Sequence[PanelPart], Rows("parts of the panel", least=1, most=60)],
    width: Annotated[Quantity, In("mm", "width of the panel", 240, out_by="0.5 mm", ge=20, le=3000, basis="measured")],
    height: Annotated[Quantity, In("mm", "height of the panel", 160, out_by="0.5 mm",
                                   ge=20, le=3000, basis="measured")],
    room: Annotated[Quantity, In("mm", "room behind the panel", 70, out_by="2 mm", ge=1, le=2000, basis="measured",
                                 find="depth of the box less what is on its floor")],
    bend: Annotated[Quantity, In("mm", "room for terminals and the bend of the wires", 20, ge=0, le=200, find=(
        "six times the thickness of the wire"))] = Q(20, "mm"),
    finger: Annotated[Quantity, In("mm", "least gap between parts, and to the edge", 10, ge=0, le=200, find=(
        "10 mm for bare fingers, 15 for cold and wet ones, 25 for gloves"), chosen=True)] = Q(15, "mm"),
) -> DrillPlan:
    """Spread the parts of each row evenly and set out their holes from one corner.

    gap = (width - sum of the parts' widths)/(parts + 1); rows alike.  Fingers
    ask for 10 to 25 mm (common practice, no source).

    >>> plan = drill_plan(width=Q(200, "mm"), height=Q(100, "mm"), room=Q(70, "mm"), parts=[
    ...     PanelPart(name=n, kind="switch", hole_width=Q(16, "mm"), width=Q(24, "mm"), height=Q(24, "mm"))
    ...     for n in ("pump", "lamps")])
    >>> [f"{hole.x:.1f~P}" for hole in plan.holes], f"{plan.least_gap:.1f~P}"
    (['62.7 mm', '137.3 mm'], '50.7 mm')
    """
    levels = sorted({one.row for one in parts})
    wide, high = column((one.width for one in parts), "mm"), column((one.height for one in parts), "mm")
    depth = column((one.depth for one in parts), "mm")
    in_row = np.array([[float(one.row == level) for one in parts] for level in levels])
    gaps = Q((width - Q(in_row @ wide.m, "mm")) / (in_row.sum(axis=1)[:, None] + 1), "mm")
    tall = Q(np.where(in_row[:, :, None] > 0, high.m[None], 0.0).max(axis=1), "mm")
    row_gap = cell((height - Q(tall.m.sum(axis=0), "mm")) / (len(levels) + 1))
    rows, worst = worst_row(-gaps.m)
    least = at_rows(gaps, rows)
    deep_rows, deepest = worst_row(depth.m)
    needed = Q(at_rows(depth, deep_rows) + bend, "mm")
    return DrillPlan(
        holes=_holes(parts, levels, gaps, tall, row_gap, wide, height), least_gap=least, row_gap=Q(row_gap, "mm"),
        deepest=needed, across=at_least(least, finger, reason=f"row {levels[worst]}"),
        up=at_least(Q(row_gap, "mm"), finger, reason=f"{len(levels)} rows"),
        behind=at_most(needed, room, reason=f"{parts[deepest].name}"), holes_hidden=_hidden(parts, wide, high),
    )


def _holes(
    parts: Sequence[PanelPart], levels: Sequence[int], gaps: Any, tall: Any, row_gap: Any, wide: Any, height: Any
) -> tuple[DrillHole, ...]:
    """Centres, running from the left and from the top edge down, then measured from below; in millimetres."""
    between = np.atleast_1d(row_gap.m_as("mm"))
    across: list[Any] = [None] * len(parts)
    up: list[Any] = [None] * len(parts)
    in_gap: list[Any] = [None] * len(parts)
    top = np.atleast_1d(height.m_as("mm"))
    for level, gap, row_height in zip(levels, gaps.m, tall.m, strict=True):
        x: Any = 0.0
        for n in (n for n, one in enumerate(parts) if one.row == level):
            across[n], up[n], in_gap[n] = x + gap + 0.5 * wide.m[n], top - between - 0.5 * row_height, gap
            x = across[n] + 0.5 * wide.m[n]
        top = top - between - row_height
    columns = (cells(Q(np.stack(np.broadcast_arrays(*one)), "mm"), len(parts)) for one in (across, up, in_gap))
    return tuple(
        DrillHole(name=one.name, kind=one.kind, x=at_x, y=at_y, hole=_hole_words(one), gap=gap)
        for one, at_x, at_y, gap in zip(parts, *columns, strict=True)
    )


def _hole_words(one: PanelPart) -> str:
    width = float(np.nanmean(one.hole_width.m_as("mm")))
    if one.hole == "round":
        return f"{width:.1f} mm round"
    height = width if one.hole_height is None else float(np.nanmean(one.hole_height.m_as("mm")))
    return f"{width:.1f} x {height:.1f} mm"


def _hidden(parts: Sequence[PanelPart], wide: Any, high: Any) -> Check:
    """A part's face must be larger than its hole, both ways."""
    across = column((one.hole_width for one in parts), "mm")
    up = column((one.hole_width if one.hole == "round" or one.hole_height is None else one.hole_height
                 for one in parts), "mm")
    used = np.maximum(*np.broadcast_arrays(across.m / wide.m, up.m / high.m))
    rows, worst = worst_row(used)
    return at_most(at_rows(Q(used, ""), rows), Q(1), reason=f"{parts[worst].name}, hole to face", share=False)
