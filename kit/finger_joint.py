"""Finger joints at a corner: how many fingers, how wide, how deep, and where each begins.

    >>> corner = finger_joint(width=Q(420, "mm"), thickness=Q(22, "mm"), other=Q(22, "mm"), fingers=19)
    >>> print(f"fingers of {corner.finger:.1f~P}, glue line {corner.glue_path:.0f~P} in and out")
    fingers of 22.1 mm, glue line 816 mm in and out

Whether they go together is worked out in `kit.joint_fit`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least
from kit.kinds import Asks, Count, In, Out, Rows, Says
from kit.nominal import nominal
from kit.quantities import Q, Quantity

__all__ = ["FingerJoint", "FingerMark", "finger_joint"]

# A slot must be this much wider than the cutter that is to work in it. Common practice, no source.
_ROOM = Q(0.1, "mm")


@result
class FingerMark:
    """One finger or slot along the edge of the first board."""

    name: Annotated[str, Says("what it is")]
    start: Annotated[Quantity, Out("mm", "begins, from the datum edge", resolution=0.1)]
    end: Annotated[Quantity, Out("mm", "ends", resolution=0.1)]


@result
class FingerJoint:
    """The fingers of one corner."""

    fingers_cut: Annotated[Quantity, Out("1", "fingers and slots together, an odd number")]
    finger: Annotated[Quantity, Out("mm", "width of one finger by even division", resolution=0.01)]
    pin: Annotated[Quantity, Out("mm", "width to cut the fingers", resolution=0.01, rounding="down")]
    slot: Annotated[Quantity, Out("mm", "width to cut the slots", resolution=0.01, rounding="up")]
    depth: Annotated[Quantity, Out("mm", "depth to cut the slots", resolution=0.1)]
    least_proud: Annotated[Quantity, Out("mm", "least that fingers stand proud of the other board", resolution=0.1)]
    most_proud: Annotated[Quantity, Out("mm", "most that fingers stand proud, to be sanded off", resolution=0.1)]
    glue_path: Annotated[Quantity, Out("mm", "length of the glue line, in and out", resolution=1)]
    glue_area: Annotated[Quantity, Out("cm^2", "area of the glue line, one face", resolution=0.1)]
    long_grain: Annotated[Quantity, Out("cm^2", "of that long grain to long grain, the part that holds",
                                        resolution=0.1, rounding="down")]
    chained: Annotated[Quantity, Out("mm", "error at the last finger when each is marked from the one before",
                                     resolution=0.01, rounding="up")]
    marks: Annotated[tuple[FingerMark, ...], Rows("fingers of the first board, all from one edge")]
    takes_cutter: Annotated[Check, Asks("the slot is wider than the cutter", "practice")]
    stands_proud: Annotated[Check, Asks("fingers reach through the other board", "practice")]
    notes: tuple[str, ...] = ()


@calculator("practice", "kit")
def finger_joint(
    *,
    width: Annotated[Quantity, In("mm", "width of the boards at the corner", 420, ge=10, le=3000, everyday=(40, 1200),
                                  resolution=0.5, find="rule, along the corner", basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the first board", 22, ge=2, le=150, everyday=(6, 60),
                                      resolution=0.1, find="calipers, after planing", basis="measured")],
    other: Annotated[Quantity, In("mm", "thickness of the other board, through which the fingers reach", 22, ge=2,
                                  le=150, everyday=(6, 60), resolution=0.1, find="calipers, after planing",
                                  basis="measured")],
    fingers: Annotated[int | None, Count("fingers and slots together, if decided", 19, ge=3, le=999,
                                         find="odd, so that both edges are alike")] = None,
    target: Annotated[Quantity, In("mm", "width of finger wanted", 22, ge=2, le=500, everyday=(5, 60),
                                   find="about the thickness of the boards", basis="common practice",
                                   chosen=True)] = Q(22, "mm"),
    clearance: Annotated[Quantity, In("mm", "slot less finger, both faces together", 0.10, ge=-0.5, le=5,
                                      everyday=(0.02, 0.3), resolution=0.01, basis="common practice",
                                      find="0.05 to 0.15 mm for water-based glue; more for thick epoxy", chosen=True)]
    = Q(0.10, "mm"),
    proud: Annotated[Quantity, In("mm", "fingers to stand proud, to be sanded off", 0.5, ge=0, le=10, resolution=0.1,
                                  find="more than the thickness of the boards varies", chosen=True)] = Q(0.5, "mm"),
    thickness_doubt: Annotated[Quantity, In("mm", "give or take of the other board's thickness", 0.2, ge=0, le=5,
                                            resolution=0.05, find="calipers at six places", basis="measured")]
    = Q(0.2, "mm"),
    cutter: Annotated[Quantity, In("mm", "diameter of the cutter, measured", 3, ge=0.5, le=50, resolution=0.01,
                                   find="width of a test slot, by feeler gauge or calipers", basis="measured")]
    = Q(3, "mm"),
    step: Annotated[Quantity, In("mm", "error of one mark", 0.05, ge=0, le=2, resolution=0.01,
                                 find="knife line 0.1, pencil 0.3, machine 0.02", basis="estimate")] = Q(0.05, "mm"),
) -> FingerJoint:
    """Fingers of a corner by even division of the width.

    n is the odd number nearest to width / target, or as decided; a finger is
    width / n.  The clearance is shared: fingers are cut clearance / 2 narrower,
    slots clearance / 2 wider.  Slots are cut as deep as the other board is thick
    and proud besides.  In and out the glue line is width + (n - 1) other long.
    Round inside corners left by a cutter are left out.

    >>> corner = finger_joint(width=Q(150, "mm"), thickness=Q(12, "mm"), other=Q(12, "mm"), target=Q(12, "mm"))
    >>> print(f"{corner.fingers_cut.magnitude:.0f} of {corner.finger:.3f~P}")
    13 of 11.538 mm
    """
    _odd(fingers)
    count = _nearest_odd(width, target) if fingers is None else Q(float(fingers))
    finger = (width / count).to("mm")
    path = (width + (count - 1) * other).to("mm")
    slot = finger + clearance / 2
    return FingerJoint(
        fingers_cut=count, finger=finger, pin=finger - clearance / 2, slot=slot,
        depth=other + proud, least_proud=proud - thickness_doubt, most_proud=proud + thickness_doubt,
        glue_path=path, glue_area=(path * thickness).to("cm^2"),
        long_grain=((count - 1) * other * thickness).to("cm^2"),
        chained=count * step,
        marks=tuple(_marks(
            nominal(finger).m_as("mm"), nominal(clearance).m_as("mm"), round(float(nominal(count).magnitude)))),
        takes_cutter=at_least(slot, cutter + _ROOM, share=False, factor="0.1 mm more than the cutter"),
        stands_proud=at_least(proud - thickness_doubt, Q(0, "mm"), share=False),
    )


def _odd(fingers: Any) -> None:
    require(fingers is None or np.all(np.asarray(fingers) % 2 == 1),
            "the number of fingers must be odd, so that both edges of a board are alike, such as 19", "fingers")


def _nearest_odd(width: Quantity, target: Quantity) -> Quantity:
    return Q(np.maximum(2 * np.round(((width / target).m_as("") - 1) / 2) + 1, 3.0))


def _marks(finger: float, clearance: float, count: int) -> Iterator[FingerMark]:
    """In millimetres.  The first board begins and ends with a finger; its outer edges are not cut."""
    wall = clearance / 4
    for n in range(count):
        kind, side = ("finger", 1) if n % 2 == 0 else ("slot", -1)
        start = n * finger + (0 if n == 0 else side) * wall
        end = (n + 1) * finger - (0 if n == count - 1 else side) * wall
        yield FingerMark(name=f"{kind} {n // 2 + 1}", start=Q(start, "mm"), end=Q(end, "mm"))
