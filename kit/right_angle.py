"""A right angle with a tape alone: the 3-4-5 triangle on a big frame, and what a slip of the tape does to it."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_most, does_not_apply
from kit.kinds import Asks, In, Out, Says
from kit.quantities import Q, Quantity

__all__ = ["RightAngle", "right_angle"]


@result
class RightAngle:
    """Three marks that make a right angle, and how far off it the third may be."""

    long_leg: Annotated[Quantity, Out("mm", "mark on the long side, from the corner", resolution=1)]
    short_leg: Annotated[Quantity, Out("mm", "mark on the short side, from the corner", resolution=1)]
    slope: Annotated[Quantity, Out("mm", "between the two marks when the corner is square", resolution=1)]
    slip: Annotated[Quantity, Out("mm", "error over the whole short side when the tape is out as said", resolution=0.1,
                                  rounding="up")]
    angle: Annotated[Quantity, Out("deg", "corner as measured", resolution=0.01, absent="not measured yet")]
    offset: Annotated[Quantity, Out("mm", "far end of the short side out of square, + opens the corner",
                                    resolution=0.1, absent="not measured yet")]
    brace: Annotated[Quantity, Out("mm", "shortest batten that braces the corner, mark to mark and 100 mm over",
                                   resolution=10, rounding="up")]
    advice: Annotated[str, Says("what to do")]
    sure_enough: Annotated[Check, Asks("3-4-5 is large enough for this tape", "kit")]
    square: Annotated[Check, Asks("corner is square by 3-4-5", "kit")]


@calculator("kit", "practice")
def right_angle(
    *,
    long_side: Annotated[Quantity, In("mm", "long side of the frame", 3000, ge=300, le=60_000, everyday=(1000, 20_000),
                                      resolution=1, find="tape", basis="measured")],
    short_side: Annotated[Quantity, In("mm", "short side of the frame", 2200, ge=300, le=60_000,
                                       everyday=(600, 12_000), resolution=1, find="tape", basis="measured")],
    step: Annotated[Quantity, In("mm", "the legs are whole multiples of this, three and four of them", 100, ge=1,
                                 le=1000, resolution=1, chosen=True)] = Q(100, "mm"),
    tape: Annotated[Quantity, In("mm", "how far the tape may be out over the slope", 1, ge=0.1, le=20, resolution=0.1)]
    = Q(1, "mm"),
    measured: Annotated[Quantity | None, In("mm", "measured between the two marks", 2500, ge=100, le=100_000,
                                            resolution=1, find="tape, mark to mark", basis="measured")] = None,
    tolerance: Annotated[Quantity, In("mm", "difference that can be left standing", 3, ge=0.1, le=100,
                                      everyday=(1, 10), resolution=0.5, chosen=True)] = Q(3, "mm"),
) -> RightAngle:
    """The largest 3-4-5 triangle that lies on two sides of a frame.

    Legs 4 k and 3 k with k the largest multiple of `step` that fits the sides;
    the slope is 5 k.  A slope that is out by q turns the corner by q c/(a b),
    so a small triangle on a big frame proves little.  With the slope measured
    the corner follows from the law of cosines.

    >>> found = right_angle(long_side=Q(3, "m"), short_side=Q(2200, "mm"))
    >>> print(f"{found.long_leg:.0f~P}, {found.short_leg:.0f~P}, {found.slope:.0f~P}; {found.slip:.1f~P} out")
    2800 mm, 2100 mm, 3500 mm; 1.3 mm out
    """
    long, short, each = (one.m_as("mm") for one in (long_side, short_side, step))
    count = np.floor(np.minimum(np.maximum(long, short) / 4, np.minimum(long, short) / 3) / each + 1e-9)
    require(count >= 1, "not one step fits the sides; write a step of 100 mm", "step")
    unit = np.where(count >= 1, count, np.nan)[()] * each
    # The longer leg lies on the longer side, whichever that is called.
    along, over = np.where(long >= short, 4, 3) * unit, np.where(long >= short, 3, 4) * unit
    slope = Q(5 * unit, "mm")
    slip = Q(tape * slope / Q(along * over, "mm^2") * short_side, "mm")
    angle = Q(np.nan * unit, "deg") if measured is None else _corner(along, over, measured)
    offset = Q(-short_side * np.cos(angle.m_as("rad")), "mm")
    return RightAngle(
        long_leg=Q(along[()], "mm"), short_leg=Q(over[()], "mm"), slope=slope, slip=slip, angle=angle, offset=offset,
        brace=Q(slope + Q(100, "mm"), "mm"), advice=_advice(slope, measured, offset, tolerance),
        sure_enough=at_most(slip, tolerance),
        square=does_not_apply("no 3-4-5 was measured") if measured is None else at_most(abs(offset), tolerance),
    )


def _corner(along: Any, over: Any, measured: Quantity) -> Quantity:
    """The angle between two legs whose ends lie `measured` apart."""
    cosine = (along**2 + over**2 - measured.m_as("mm") ** 2) / (2 * along * over)
    require(np.all(np.abs(cosine) <= 1), "these three lengths make no triangle; measure again, such as 3500 mm between "
            "marks at 2800 mm and 2100 mm", "measured")
    with np.errstate(invalid="ignore"):
        return Q(np.degrees(np.arccos(cosine))[()], "deg")


def _advice(slope: Quantity, measured: Quantity | None, offset: Quantity, tolerance: Quantity) -> str:
    """What to do, in one sentence; of the mean when sampled."""
    brace = "nail a batten across the corner, mark to mark, before anybody moves it"
    if measured is None:
        return f"Bring the two marks {_mean(slope):.0f} mm apart, then {brace}."
    out = _mean(offset)
    if abs(out) <= _mean(tolerance):
        return f"The corner is square: {brace}."
    return f"{'Close' if out > 0 else 'Open'} the corner until the marks are {_mean(slope):.0f} mm apart, then {brace}."


def _mean(value: Quantity) -> float:
    plain = np.asarray(value.m_as("mm"), dtype=float)
    return float(np.nanmean(plain)) if np.isfinite(plain).any() else 0.0
