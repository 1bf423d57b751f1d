"""The tables of the search for mounts: struts that can be had, places to keep clear, what is found and what is not."""

from __future__ import annotations

from typing import Annotated

from kit import struts
from kit.calculator import result, row
from kit.kinds import In, Rows, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["ClearBox", "FoundMount", "MountSearch", "Rejected", "Spot", "StrutSize", "strut_list"]


@row
class StrutSize:
    """A strut that can be had, charged to any force between two."""

    name: Annotated[str, Text("strut", "365-150")]
    extended: struts.Extended
    stroke: struts.Stroke
    weakest: Annotated[Quantity, In("N", "weakest it is sold, fully out at 20 degC", 50, ge=1, le=5000)]
    strongest: Annotated[Quantity, In("N", "strongest it is sold", 400, ge=1, le=5000)]
    step: Annotated[Quantity, In("N", "step of force in which it is sold", 10, ge=1, le=1000)] = Q(10, "N")
    force_ratio: struts.StrutRatio = Q(1.25)


@row
class ClearBox:
    """A place that must stay free for what is inside, from the hinge pin with the lid shut."""

    name: Annotated[str, Text("what must fit", "battery")]
    along_from: Annotated[Quantity, In("mm", "from, along the lid", 300, ge=-1000, le=3000)]
    along_to: Annotated[Quantity, In("mm", "to, along the lid", 600, ge=-1000, le=3000)]
    above_from: Annotated[Quantity, In("mm", "from, above the pin (below is minus)", -400, ge=-3000, le=2000)]
    above_to: Annotated[Quantity, In("mm", "to, above the pin", -300, ge=-3000, le=2000)]


@row
class FoundMount:
    """A strut and both its mounts that satisfy everything asked."""

    name: Annotated[str, Text("rank and strut", "1: 365-150")]
    force: Annotated[Quantity, In("N", "force to order", 150, ge=0, le=1e4, resolution=1)]
    lid_along: Annotated[Quantity, In("mm", "lid mount along", 100, ge=-1e4, le=1e4, resolution=1)]
    lid_above: Annotated[Quantity, In("mm", "lid mount above", -30, ge=-1e4, le=1e4, resolution=1)]
    body_along: Annotated[Quantity, In("mm", "body mount along", 250, ge=-1e4, le=1e4, resolution=1)]
    body_above: Annotated[Quantity, In("mm", "body mount above", -200, ge=-1e4, le=1e4, resolution=1)]
    off: Annotated[Quantity, In("percent", "force may be off by", 12, ge=0, le=1e4, resolution=0.1, rounding="down")]
    weakest: Annotated[Quantity, In("N", "least force that would do", 130, ge=0, le=1e5, resolution=1, rounding="up")]
    strongest: Annotated[
        Quantity, In("N", "greatest force that would do", 170, ge=0, le=1e5, resolution=1, rounding="down")
    ]
    left_in: Annotated[Quantity, In("mm", "stroke left in", 10, ge=-1e3, le=1e4, resolution=0.1, rounding="down")]
    left_out: Annotated[Quantity, In("mm", "stroke left out", 8, ge=-1e3, le=1e4, resolution=0.1, rounding="down")]


@row
class Rejected:
    """Why candidates were rejected, and how many."""

    name: Annotated[str, Text("reason", "outside the space for the body mount", longest=200)]
    count: Annotated[Quantity, In("1", "candidates", 1000, ge=0, le=1e9, resolution=1)]


@row
class Spot:
    """A place where the body mount can go, with the lid mount and strut that go with it."""

    name: Annotated[str, Text("place and strut", "1: 365-150")]
    body_along: Annotated[Quantity, In("mm", "body mount along", 250, ge=-1e4, le=1e4, resolution=1)]
    body_above: Annotated[Quantity, In("mm", "body mount above", -200, ge=-1e4, le=1e4, resolution=1)]
    lid_along: Annotated[Quantity, In("mm", "lid mount along", 100, ge=-1e4, le=1e4, resolution=1)]
    lid_above: Annotated[Quantity, In("mm", "lid mount above", -30, ge=-1e4, le=1e4, resolution=1)]
    off: Annotated[
        Quantity,
        In("percent", "force may be off by, drilled as marked", 12, ge=0, le=1e4, resolution=0.1, rounding="down"),
    ]


@result
class MountSearch:
    """Struts and mounts that keep every limit, the most forgiving first, and why the others do not."""

    best: Annotated[str, Says("the most forgiving")]
    looked_at: Annotated[str, Says("how many were looked at")]
    main_reason: Annotated[str, Says("what most of the others fail by")]
    found: Annotated[tuple[FoundMount, ...], Rows("struts and mounts, the most forgiving first")]
    rejected: Annotated[tuple[Rejected, ...], Rows("why candidates were rejected")]
    spots: Annotated[
        tuple[Spot, ...], Rows("where the body mount can go, the most forgiving of each square centimetre")
    ]


def strut_list() -> tuple[StrutSize, ...]:
    """Fifteen sizes to begin with, in even steps; put in their place what your shop has."""
    sizes = (
        (160, 50),
        (200, 60),
        (245, 80),
        (245, 90),
        (285, 100),
        (305, 120),
        (335, 130),
        (365, 150),
        (405, 160),
        (445, 180),
        (485, 200),
        (520, 220),
        (560, 250),
        (605, 260),
        (705, 300),
    )
    return tuple(
        StrutSize(
            name=f"{out}-{stroke}",
            extended=Q(out, "mm"),
            stroke=Q(stroke, "mm"),
            weakest=Q(40, "N"),
            strongest=Q(400, "N"),
        )
        for out, stroke in sizes
    )
