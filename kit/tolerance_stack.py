"""How the errors of several sizes add up in one gap: worst case, root of squares, inflated, and by trial.

    >>> four = [StackPart(name=n, tolerance=Q(1, "mm"), shape="even") for n in "abcd"]
    >>> gap = tolerance_stack(parts=four)
    >>> print(f"worst {gap.worst:.2f~P}, by squares {gap.by_squares:.2f~P}, 19 in 20 within {gap.trial:.2f~P}")
    worst 4.00 mm, by squares 2.00 mm, 19 in 20 within 2.24 mm

For the faces of finger joints see `kit.joint_fit`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_least, does_not_apply
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Text
from kit.nominal import FEW
from kit.quantities import Q, Quantity

__all__ = ["StackPart", "ToleranceStack", "tolerance_stack"]

Shape = Literal["normal", "even", "triangle"]
# Standard deviation of an error within a tolerance of one: a third of it, or that of an even or triangular spread.
_DEVIATION: dict[str, float] = {"normal": 1 / 3, "even": 1 / 3**0.5, "triangle": 1 / 6**0.5}
# 19 errors in 20 of a normal distribution lie within so many deviations.
_NINETEEN = 1.959964


@row
class StackPart:
    """One size that the gap is made of."""

    name: Annotated[str, Text("size", "opening")]
    size: Annotated[Quantity, In("mm", "size as intended", 0, ge=-20_000, le=20_000, resolution=0.01,
                                 find="drawing")] = Q(0, "mm")
    times: Annotated[Quantity, In("1", "how often it enters the gap: 1 widens it, -1 narrows it", 1, ge=-100,
                                  le=100)] = Q(1)
    tolerance: Annotated[Quantity, In("mm", "give or take", 0.5, ge=0, le=100, resolution=0.01, basis="measured",
                                      find="measure five; half of what lies between least and greatest")]
    shape: Annotated[Shape, Choice("how the error lies within it", "normal",
                                   find="normal: the tolerance is three standard deviations")] = "normal"


@result
class ToleranceStack:
    """One gap made of several sizes."""

    gap: Annotated[Quantity, Out("mm", "gap as intended", resolution=0.01)]
    worst: Annotated[Quantity, Out("mm", "give or take, every error at its worst", resolution=0.01, rounding="up")]
    by_squares: Annotated[Quantity, Out("mm", "give or take by root of squares", resolution=0.01, rounding="up")]
    inflated: Annotated[Quantity, Out(
        "mm", "the same, half as much again for errors that lean one way", resolution=0.01, rounding="up")]
    deviation: Annotated[Quantity, Out("mm", "standard deviation of the gap", resolution=0.01)]
    within: Annotated[Quantity, Out("mm", "19 gaps in 20 lie within, as if normal", resolution=0.01, rounding="up")]
    trial: Annotated[Quantity, Out("mm", "19 gaps in 20 lie within, by trial", resolution=0.01, rounding="up")]
    chance: Annotated[Quantity, Out("percent", "share of the trials in which the gap is wide enough", resolution=0.1,
                                    absent="no least gap is asked for")]
    worst_clears: Annotated[Check, Asks("gap wide enough at the worst", "kit")]
    squares_clear: Annotated[Check, Asks("gap wide enough by root of squares", "kit")]
    notes: tuple[str, ...] = ()


@calculator("scholz-1995", "practice")
def tolerance_stack(
    *,
    parts: Annotated[Sequence[StackPart], Rows("sizes that make the gap", least=1, most=40)],
    least: Annotated[Quantity | None, In("mm", "least gap that is good enough", 0.05, ge=-1000, le=1000)] = None,
    inflation: Annotated[Quantity, In("1", "factor for errors that lean one way", 1.5, ge=1, le=3)] = Q(1.5),
    trials: Annotated[int, Count("gaps to try", 20_000, ge=1000, le=100_000)] = 20_000,
    seed: Annotated[int, Count("number the draws begin from", 1, ge=0, le=999_999)] = 1,
) -> ToleranceStack:
    """Give or take of a gap that is a sum of sizes, each with its own give or take.

    gap = sum(a x); worst case T = sum |a| t; root of squares T = sqrt(sum (a
    t)^2), made for many independent, centred errors whose tolerance is three
    standard deviations; inflated, half as much again.  For a go or no-go fit of
    few parts in one build take the worst case.  Of many samples the trials are
    made for the middle one.

    >>> gap = tolerance_stack(parts=[StackPart(name=f"{n}", tolerance=Q(0.5, "mm")) for n in range(5)])
    >>> print(f"{gap.worst:.3f~P}, {gap.by_squares:.3f~P}, {gap.inflated:.3f~P}")
    2.500 mm, 1.118 mm, 1.677 mm
    """
    gap = sum((one.times * one.size for one in parts), Q(0, "mm")).to("mm")
    bands = [(abs(one.times) * one.tolerance).m_as("mm") for one in parts]
    by_squares = Q(np.sqrt(sum(np.square(band) for band in bands)), "mm")
    deviation = Q(np.sqrt(sum(np.square(b * _DEVIATION[one.shape]) for b, one in zip(bands, parts, strict=True))), "mm")
    worst = Q(sum(bands), "mm")
    within, share = _tried(parts, bands, None if least is None else least - gap, trials, seed)
    return ToleranceStack(
        gap=gap, worst=worst, by_squares=by_squares, inflated=by_squares * inflation, deviation=deviation,
        within=_NINETEEN * deviation, trial=Q(within, "mm"), chance=Q(share, "percent"),
        worst_clears=_clears(gap - worst, least), squares_clear=_clears(gap - by_squares, least),
    )


def _clears(gap: Quantity, least: Quantity | None) -> Check:
    if least is None:
        return does_not_apply("no least gap is asked for")
    return at_least(gap, least, share=False)


def _tried(
    parts: Sequence[StackPart], bands: Sequence[Any], room: Quantity | None, trials: int, seed: int
) -> tuple[Any, Any]:
    """Half-width that holds 19 errors in 20, and the share in percent that is no narrower than `room` asks."""
    draws = np.random.default_rng(seed)
    errors = [_draw(draws, one.shape, trials) for one in parts]
    asked = 0.0 if room is None else room.m_as("mm")
    wide = np.broadcast_shapes(*(np.shape(band) for band in bands), np.shape(asked))
    if wide and wide[0] > FEW:
        bands, asked, wide = [np.nanmean(band) for band in bands], np.nanmean(asked), ()
    column = (slice(None), None) if wide else slice(None)
    found = sum((error[column] * band for error, band in zip(errors, bands, strict=True)), np.zeros((trials, *wide)))
    within = np.quantile(np.abs(found), 0.95, axis=0)
    if room is None:
        return within[()], np.nan
    share = np.where(np.isnan(within + asked), np.nan, 100 * (found >= asked).mean(axis=0))
    return within[()], share[()]


def _draw(draws: np.random.Generator, shape: str, count: int) -> Any:
    """Errors within a tolerance of one."""
    if shape == "normal":
        return draws.standard_normal(count) / 3
    return draws.uniform(-1, 1, count) if shape == "even" else draws.triangular(-1, 0, 1, count)
