"""How long a vessel takes to fill from a pump, and to run empty through a hole."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.kinds import In, Out
from kit.liquid_water import GRAVITY
from kit.pipe_flow import Coefficient, flow_input
from kit.quantities import Q, Quantity

__all__ = ["FillAndEmpty", "fill_and_empty"]


@result
class FillAndEmpty:
    """Times to fill and to empty."""

    fills: Annotated[Quantity, Out("s", "time to fill", resolution=1, rounding="up", absent="it never fills")]
    half: Annotated[Quantity, Out("s", "time until half has run out", resolution=1)]
    empties: Annotated[Quantity, Out("s", "time until it has run out", resolution=1, rounding="up")]
    first_flow: Annotated[Quantity, Out("L/min", "flow from the hole while it is full", resolution=0.1)]


@calculator("torricelli")
def fill_and_empty(
    *,
    volume: Annotated[Quantity, In("L", "what the vessel holds", 10, ge=0.01, le=1e6, resolution=0.1, basis="measured")]
    = Q(10, "L"),
    flow: Annotated[Quantity, flow_input("flow into it", 8.8)],
    depth: Annotated[Quantity, In("mm", "depth of the water over its hole when full", 250, ge=1, le=50_000,
                                  basis="measured")] = Q(250, "mm"),
    hole: Annotated[Quantity, In("mm", "diameter of the hole it runs out of", 10, ge=0.1, le=1000, resolution=0.1,
                                 basis="measured", find="drill shank that just fits")] = Q(10, "mm"),
    coefficient: Coefficient = Q(0.62),
) -> FillAndEmpty:
    """Times to fill a vessel at a steady flow, and to empty it by its own weight.

    t = V/Q; t = 2 A sqrt(h) / (C a sqrt(2 g)) for straight walls of plan area
    A = V/h.  A vessel that narrows downwards empties sooner, a lid that lets no
    air in stops it.  A pipe at the hole is left out: take its outlet for the hole.

    >>> bucket = fill_and_empty(flow=Q(8.8, "L/min"))
    >>> print(f"{bucket.fills:.0f~P} to fill, {bucket.empties:.0f~P} to run out")
    68 s to fill, 185 s to run out
    """
    leaves = coefficient * np.pi / 4 * hole**2 * (2 * GRAVITY * depth) ** 0.5
    empties = (2 * volume / leaves).to("s")
    with np.errstate(divide="ignore", invalid="ignore"):
        runs = np.maximum(flow.m_as("L/min"), 1e-300)
        fills = Q(np.where(flow.magnitude > 0, volume.m_as("L") / runs, np.nan)[()], "min").to("s")
    # Depth falls evenly with the square root of time left.
    return FillAndEmpty(
        fills=fills, half=empties * (1 - 0.5**0.5), empties=empties, first_flow=leaves.to("L/min"))
