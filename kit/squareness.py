"""Is a frame square: four sides, two diagonals, and which corner to push how far.

Corners have names in words: x runs towards the named end, left and right are
those of somebody who faces it.  Equal diagonals alone prove nothing: an
isosceles trapezoid has them too, and so has a frame that is twisted out of its
plane; so the sides are compared first and the corner heights last.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_most, open_check
from kit.kinds import Asks, In, Out, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["Squareness", "squareness"]

_NOT_MEASURED = "measure both diagonals, corner to corner on the same edge of the timber"
_NO_HEIGHTS = "measure the height of all four corners above a level line"


def _side(meaning: str, example: float) -> In:
    return In("mm", meaning, example, ge=100, le=30_000, everyday=(400, 12_000), resolution=1,
              find="tape, along the outside edge", basis="measured")


def _height(meaning: str) -> In:
    return In("mm", meaning, 50, ge=-500, le=2000, resolution=1, find="rule down from a level line or straight edges",
              basis="measured")


def _none(meaning: str, unit: str = "mm", resolution: float = 0.1) -> Out:
    return Out(unit, meaning, resolution=resolution, absent="not measured yet")


@result
class Squareness:
    """What six measurements say of a frame's shape."""

    target: Annotated[Quantity, Out("mm", "diagonal to aim for, both ways", resolution=0.5)]
    difference: Annotated[Quantity, _none("first diagonal less the second", resolution=1)]
    taper_length: Annotated[Quantity, Out("mm", "right side less left side", resolution=1)]
    taper_width: Annotated[Quantity, Out("mm", "side at the named end less the opposite one", resolution=1)]
    angle: Annotated[Quantity, _none("lean of the ends against the left side, + towards the named end", "deg", 0.01)]
    offset: Annotated[Quantity, _none("push along the right side that makes it square, + towards the named end")]
    worst_corner: Annotated[Quantity, _none("how far the worst corner is from 90 degrees", "deg", 0.01)]
    closing_error: Annotated[Quantity, _none("measured right side less the one the other five ask for", resolution=1)]
    twist: Annotated[Quantity, _none("fourth corner above the plane of the other three", resolution=1)]
    advice: Annotated[str, Says("what to do")]
    sides_equal: Annotated[Check, Asks("opposite sides are equal", "kit")]
    diagonals_equal: Annotated[Check, Asks("diagonals are equal", "kit")]
    measured_well: Annotated[Check, Asks("the six measurements belong to one flat frame", "kit")]
    flat: Annotated[Check, Asks("the frame lies in one plane", "kit")]


@calculator("kit", "practice")
def squareness(
    *,
    left: Annotated[Quantity, _side("left side, along the length", 1800)],
    right: Annotated[Quantity, _side("right side, along the length", 1800)],
    named_side: Annotated[Quantity, _side("side at the named end", 1200)],
    other_side: Annotated[Quantity, _side("side at the other end", 1200)],
    first_diagonal: Annotated[Quantity | None, _side("diagonal from the other end left to the named end right", 2166)]
    = None,
    second_diagonal: Annotated[Quantity | None, _side("diagonal from the other end right to the named end left", 2160)]
    = None,
    height_named_left: Annotated[Quantity | None, _height("height at the named end, left")] = None,
    height_named_right: Annotated[Quantity | None, _height("height at the named end, right")] = None,
    height_other_left: Annotated[Quantity | None, _height("height at the other end, left")] = None,
    height_other_right: Annotated[Quantity | None, _height("height at the other end, right")] = None,
    tolerance: Annotated[Quantity, In("mm", "difference that can be left standing", 3, ge=0.1, le=100, everyday=(1, 10),
                                      resolution=0.5)] = Q(3, "mm"),
    named_end: Annotated[str, Text("the end that x points to", "named end", longest=30)] = "named end",
) -> Squareness:
    """Shape of a four-sided frame from its sides and diagonals, with the corner to push.

    With mean length a, mean width b and diagonals d1, d2 the ends lean by e,
    sin e = (d1^2 - d2^2)/(4 a b), and the right side must go back by b sin e.
    Corner angles follow from the law of cosines, so that a trapezoid with equal
    diagonals is caught.  Five lengths fix a flat frame: what the sixth is out
    by shows a slip of the tape, or a twist.

    >>> frame = squareness(left=Q(1800, "mm"), right=Q(1800, "mm"), named_side=Q(1200, "mm"), other_side=Q(1200, "mm"),
    ...                    first_diagonal=Q(2166, "mm"), second_diagonal=Q(2160, "mm"))
    >>> print(frame.advice)
    Hold the left side and push the right side 3.6 mm away from the named end, at the corner named end, right.
    """
    length, width = Q((left + right) / 2, "mm"), Q((named_side + other_side) / 2, "mm")
    taper_length, taper_width = Q(right - left, "mm"), Q(named_side - other_side, "mm")
    target = Q(np.hypot(length.m_as("mm"), width.m_as("mm")), "mm")
    first, second = (target * np.nan if d is None else Q(d, "mm") for d in (first_diagonal, second_diagonal))
    measured = first_diagonal is not None and second_diagonal is not None
    corners = _corners(left, right, named_side, other_side, first, second)
    lean = ((first**2 - second**2) / (4 * length * width)).m_as("")
    require(not measured or bool(np.all(np.isfinite(corners)) and np.all(np.abs(lean) < 1)),
            "these lengths do not close into a frame; measure again, such as 2166 mm for 1800 mm by 1200 mm",
            "first_diagonal", "second_diagonal")
    with np.errstate(invalid="ignore"):
        angle, offset = Q(np.arcsin(lean), "rad"), Q(-width * lean, "mm")
    error = _closing(left, right, named_side, other_side, first, second)
    twist = _twist(height_named_left, height_named_right, height_other_left, height_other_right)
    unequal = Q(np.maximum(abs(taper_length.m), abs(taper_width.m)), "mm")
    not_yet = None if measured else open_check(_NOT_MEASURED)
    return Squareness(
        target=target, difference=first - second, taper_length=taper_length, taper_width=taper_width,
        angle=Q(angle, "deg"), offset=offset, worst_corner=Q(Q(np.abs(corners - np.pi / 2).max(axis=0), "rad"), "deg"),
        closing_error=error, twist=target * np.nan if twist is None else twist,
        advice=_advice(measured, offset, unequal, error, tolerance, named_end),
        sides_equal=at_most(unequal, tolerance), diagonals_equal=not_yet or at_most(abs(first - second), tolerance),
        measured_well=not_yet or at_most(abs(error), 2 * tolerance, reason="six readings, each a little out"),
        flat=open_check(_NO_HEIGHTS) if twist is None else at_most(abs(twist), tolerance),
    )


def _corners(left: Any, right: Any, named: Any, other: Any, first: Any, second: Any) -> Any:
    """Angles in radians at other left, named left, named right and other right, corners in front."""
    return np.stack(np.broadcast_arrays(
        _between(left, other, second), _between(left, named, first),
        _between(right, named, second), _between(right, other, first)))


def _between(one: Quantity, two: Quantity, across: Quantity) -> Any:
    cosine = ((one**2 + two**2 - across**2) / (2 * one * two)).m_as("")
    with np.errstate(invalid="ignore"):
        return np.arccos(np.asarray(cosine))


def _closing(left: Any, right: Any, named: Any, other: Any, first: Any, second: Any) -> Quantity:
    """The right side as measured, less the distance of its ends when the other five lengths are drawn in a plane.

    The left side is drawn along x from the origin; plain numbers in mm.
    """
    a, b, c, d, e, f = (side.m_as("mm") for side in (left, right, named, other, first, second))
    with np.errstate(invalid="ignore"):
        x_other = (a**2 + d**2 - f**2) / (2 * a)
        x_named = (a**2 - c**2 + e**2) / (2 * a)
        y_other, y_named = np.sqrt(d**2 - x_other**2), np.sqrt(e**2 - x_named**2)
    return Q(b - np.hypot(x_named - x_other, y_named - y_other), "mm")


def _twist(named_left: Any, named_right: Any, other_left: Any, other_right: Any) -> Quantity | None:
    if any(height is None for height in (named_left, named_right, other_left, other_right)):
        return None
    return Q(named_right - named_left + other_left - other_right, "mm")


def _advice(measured: bool, offset: Quantity, unequal: Quantity, error: Quantity, tolerance: Quantity, end: str) -> str:
    """What to do, in one sentence; of the mean when sampled."""
    push, uneven, wrong, enough = (float(np.nanmean(v.m_as("mm"))) if np.isfinite(v.m).any() else 0.0
                                   for v in (offset, unequal, error, tolerance))
    if uneven > enough:
        return "Mend the lengths first: opposite sides differ, and equal diagonals do not make such a frame square."
    if not measured:
        return "Measure both diagonals before anything is fixed."
    if abs(wrong) > 2 * enough:
        return "Measure again: the six lengths do not make one flat frame; a tape slipped, or the frame is twisted."
    if abs(push) < 0.05:
        return "It is square: fix the braces before anybody moves it."
    way, corner = ("away from", f"{end}, right") if push < 0 else ("towards", "other end, right")
    return f"Hold the left side and push the right side {abs(push):.1f} mm {way} the {end}, at the corner {corner}."
