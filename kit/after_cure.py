"""After the pour: how far resin sinks and is planed, how wood moves round it, and how warm it may become in use."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply, open_check
from kit.kinds import Asks, In, Out, YesNo
from kit.quantities import Q, Quantity

__all__ = ["AfterCure", "after_cure"]

# Room-cured resin ends this far above the temperature it cured at; and stays this far below in use. From memory.
_ABOVE_CURE, _BELOW_GLASS = 15.0, 10.0


@result
class AfterCure:
    """What is left to plane, how the wood moves round the inlay, and whether the sun softens it."""

    dish: Annotated[Quantity, Out("mm", "how far the middle sinks as it cures", resolution=0.01, rounding="up")]
    overfill: Annotated[Quantity, Out("mm", "fill this far above the face", resolution=0.1, rounding="up")]
    facing: Annotated[Quantity, Out("mm", "to be planed off the resin at most", resolution=0.1, rounding="up")]
    left: Annotated[Quantity, Out("mm", "depth of resin left after facing", resolution=0.1, rounding="down")]
    movement: Annotated[Quantity, Out("mm", "wood beside the inlay wants to move by this across the grain",
                                      resolution=0.01, rounding="up")]
    strain: Annotated[Quantity, Out("percent", "that as a share of the inlay's width", resolution=0.01, rounding="up")]
    softens: Annotated[Quantity, Out("degC", "glass temperature counted on", resolution=1, rounding="down")]
    flat: Annotated[Check, Asks("the router takes enough to reach all of the face", "practice")]
    deep_enough: Annotated[Check, Asks("resin left after facing", "practice")]
    gives: Annotated[Check, Asks("resin gives as far as the wood moves", "practice")]
    stays_hard: Annotated[Check, Asks("hottest in use below the glass temperature, less 10 degrees", "memory")]
    shaded: Annotated[Check, Asks("a finish keeps the sun's rays off the resin", "practice")]
    notes: tuple[str, ...] = ()


@calculator("practice", "memory")
def after_cure(
    *,
    depth: Annotated[Quantity, In("mm", "deepest recess", 4, ge=0.05, le=500, resolution=0.1, basis="measured")],
    shrinkage: Annotated[Quantity, In(
        "percent", "shrinkage by volume after the resin has set", 4, ge=0, le=12, basis="common practice",
        find="data sheet; 3 to 5 is usual")] = Q(4, "percent"),
    facing_cut: Annotated[Quantity, In(
        "mm", "the router takes off this much, resin and wood together", 0.5, ge=0, le=20, resolution=0.1, chosen=True,
        find="how uneven the face is, measured with a straight edge, and a little more")] = Q(0.5, "mm"),
    unevenness: Annotated[Quantity, In(
        "mm", "how uneven the face of the wood is", 0.3, ge=0, le=20, resolution=0.1, basis="measured",
        find="straight edge and feeler gauge, both ways")] = Q(0.3, "mm"),
    least_left: Annotated[Quantity, In("mm", "depth of resin wanted in the end", 2, ge=0, le=500, chosen=True)]
    = Q(2, "mm"),
    width: Annotated[Quantity, In("mm", "widest recess across the grain", 300, ge=0, le=5000, basis="measured")],
    wood_change: Annotated[Quantity, In(
        "percent", "change of the wood's width between fitting and service, either way", 1.5, ge=-20, le=20,
        find="the movement of the panel over its width")],
    elongation: Annotated[Quantity, In(
        "percent", "stretch the cured resin bears", 3, ge=0.1, le=200, basis="data sheet",
        find="data sheet: elongation at break, and take half of it")] = Q(3, "percent"),
    cured_at: Annotated[Quantity, In("degC", "temperature it cured at", 18, ge=-10, le=150, basis="measured",
                                     find="thermometer beside it, overnight")],
    glass: Annotated[Quantity | None, In(
        "degC", "glass temperature on the data sheet, for that cure", 55, ge=0, le=200, basis="data sheet")] = None,
    hottest: Annotated[Quantity, In(
        "degC", "hottest its surface becomes in use", 45, ge=0, le=120,
        find="thermometer under a dark offcut in the summer sun; dark resin can pass 60")],
    outdoors: Annotated[bool, YesNo("does sun reach it", True)] = True,
    topcoat: Annotated[bool | None, YesNo("will a finish that stops the sun's rays cover it")] = None,
) -> AfterCure:
    """Dish, facing, movement round an inlay, and the warmth it bears.

    Bonded on all sides it shrinks downwards alone: dish = depth * s, so it is
    filled by that and by the unevenness above the face.  Facing takes what
    stands proud and the cut itself.  Wood beside a hard inlay of width w wants
    to move by w times its own change; the resin or the glue line must give.
    Without a data sheet the glass temperature is taken as the temperature of
    the cure and 15 degrees (from memory).  A cure afterwards in warmth, which
    raises it, is left out.

    >>> rose = after_cure(depth=Q(4, "mm"), width=Q(300, "mm"), wood_change=Q(0.9, "percent"), cured_at=Q(18, "degC"),
    ...                   hottest=Q(45, "degC"))
    >>> print(f"sinks {rose.dish:.2f~P}, fill {rose.overfill:.2f~P} proud: {rose.stays_hard.verdict}")
    sinks 0.16 mm, fill 0.46 mm proud: fails
    """
    dish = (depth * shrinkage.m_as("")).to("mm")
    overfill = dish + unevenness
    left = (depth - facing_cut).to("mm")
    change = Q(np.abs(wood_change.m_as("percent")), "percent")
    known = glass if glass is not None else Q(cured_at.m_as("degC") + _ABOVE_CURE, "degC")
    bearable = Q(known.m_as("degC") - _BELOW_GLASS, "degC")
    notes = () if glass is not None else (
        "the glass temperature is taken as that of the cure and 15 degC, which is from memory: ask the maker",
    )
    return AfterCure(
        dish=dish, overfill=overfill.to("mm"), facing=(unevenness + facing_cut).to("mm"), left=left,
        movement=(width * change.m_as("")).to("mm"), strain=change, softens=known,
        flat=at_least(facing_cut, unevenness.to("mm"), reason="less leaves hollows that the cutter never touched"),
        deep_enough=at_least(left, least_left),
        gives=at_most(change, elongation, reason="a slip of glue or a soft border takes what it does not bear"),
        stays_hard=at_most(hottest, bearable, share=False,
                           reason="soft resin marks and creeps; a lighter colour stays cooler"),
        shaded=_shaded(outdoors, topcoat), notes=notes,
    )


def _shaded(outdoors: bool, topcoat: bool | None) -> Check:
    if not outdoors:
        return does_not_apply("no sun reaches it")
    if topcoat is None:
        return open_check("it is not said yet what covers it; clear resin yellows and chalks in the sun")
    return at_least(Q(float(topcoat)), Q(1), share=False, reason="" if topcoat else "bare resin yellows and chalks")
