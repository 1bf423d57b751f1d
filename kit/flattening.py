"""Getting a board flat: what cup, bow and twist cost of its thickness, and facing a top after the pour.

    >>> board = stock_facing(finished=Q(26, "mm"), thickness=Q(32, "mm"), cup=Q(2, "mm"), twist=Q(3, "mm"))
    >>> print(f"{board.needed:.1f~P} needed, {board.spare:.1f~P} to spare")
    31.5 mm needed, 0.5 mm to spare

Twist counts half: shimmed evenly, two corners stand a quarter of it high and two a quarter low.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most
from kit.kinds import Asks, In, Out, Says
from kit.quantities import Q, Quantity

__all__ = ["FaceAfterPour", "StockFacing", "face_after_pour", "stock_facing"]

_NEAR = 1e-9


@result
class StockFacing:
    """Thickness a rough board has to have."""

    shape: Annotated[Quantity, Out("mm", "thickness lost to cup, bow and twist", rounding="up", resolution=0.1)]
    allowance: Annotated[Quantity, Out("mm", "allowance over the finished thickness", rounding="up", resolution=0.1)]
    needed: Annotated[Quantity, Out("mm", "rough thickness needed", rounding="up", resolution=0.1)]
    spare: Annotated[Quantity, Out("mm", "to spare", rounding="down", resolution=0.1)]
    shim: Annotated[Quantity, Out("mm", "shim under each of the two corners it rocks between", resolution=0.1)]
    passes: Annotated[Quantity, Out("1", "passes for both faces", rounding="up")]
    yielded: Annotated[Quantity, Out("percent", "wood that stays", rounding="down", resolution=1)]
    thick: Annotated[Check, Asks("board thick enough to come out flat", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice")
def stock_facing(
    *,
    finished: Annotated[Quantity, In("mm", "finished thickness", 26, ge=1, le=300, resolution=0.1, chosen=True)],
    thickness: Annotated[Quantity, In("mm", "rough thickness, where it is thinnest", 32, ge=1, le=400, resolution=0.1,
                                      find="calipers at both ends and the middle", basis="measured")],
    cup: Annotated[Quantity, In("mm", "cup: hollow across its width", 1, ge=0, le=50, resolution=0.1, basis="measured",
                                find="straight edge across, feeler or rule under it")] = Q(0, "mm"),
    bow: Annotated[Quantity, In("mm", "bow: hollow along its length", 1, ge=0, le=100, resolution=0.1, basis="measured",
                                find="string from end to end; cut to length first")] = Q(0, "mm"),
    twist: Annotated[Quantity, In("mm", "twist: gap under the fourth corner", 2, ge=0, le=100, resolution=0.1,
                                  basis="measured", find="three corners down on a flat bench, feeler under the fourth")]
    = Q(0, "mm"),
    skim: Annotated[Quantity, In("mm", "clean cut on each face", 1, ge=0, le=20, resolution=0.1,
                                 basis="common practice", find="until saw marks are gone")] = Q(1, "mm"),
    pass_depth: Annotated[Quantity, In("mm", "depth of one pass", 1, ge=0.05, le=20, resolution=0.1, chosen=True)]
    = Q(1, "mm"),
) -> StockFacing:
    """Rough thickness for a flat board: finished + cup + bow + twist/2 + a skim on each face.

    A bent board of even thickness loses the height of its bend once, not once a
    face: what one face loses in the middle the other loses at its edges.  A
    twist that leaves a gap g under the fourth corner is shared to +-g/4 by shims
    under two corners, so it costs g/2.  The three are added, which is the safe
    side.  Wood that moves while it is cut is left out: leave it overnight.

    >>> stock_facing(finished=Q(20, "mm"), thickness=Q(24, "mm"), twist=Q(6, "mm")).thick.verdict
    'fails'
    """
    shape = (cup + bow + twist / 2).to("mm")
    allowance = shape + 2 * skim
    needed = (finished + allowance).to("mm")
    return StockFacing(
        shape=shape, allowance=allowance, needed=needed, spare=(thickness - needed).to("mm"), shim=(twist / 2).to("mm"),
        passes=Q(np.ceil((np.maximum((thickness - finished).m_as("mm"), 0) / pass_depth.m_as("mm")) - _NEAR)),
        yielded=(finished / thickness).to("percent"), thick=at_most(allowance, (thickness - finished).to("mm")),
    )


@result
class FaceAfterPour:
    """A top faced after the resin has cured."""

    cut: Annotated[Quantity, Out("mm", "cut off the wood", resolution=0.1)]
    from_resin: Annotated[Quantity, Out("mm", "cut off the highest resin", resolution=0.1)]
    passes: Annotated[Quantity, Out("1", "passes", rounding="up")]
    recess_left: Annotated[Quantity, Out("mm", "depth of resin left", rounding="down", resolution=0.1)]
    thickness_left: Annotated[Quantity, Out("mm", "thickness left", rounding="down", resolution=0.1)]
    cut_recess_to: Annotated[Quantity, Out("mm", "depth to cut the recess for the resin wanted", rounding="up",
                                           resolution=0.1)]
    says: Annotated[str, Says("what to do first")]
    resin_deep: Annotated[Check, Asks("resin left deep enough", "practice")]
    wood_thick: Annotated[Check, Asks("top left thick enough", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice")
def face_after_pour(
    *,
    recess_depth: Annotated[Quantity, In("mm", "depth the recess was cut", 4, ge=0.05, le=200, resolution=0.1,
                                         basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the top before", 26, ge=1, le=300, resolution=0.1,
                                      basis="measured")],
    proud: Annotated[Quantity, In("mm", "resin standing above the wood", 0.3, ge=0, le=30, resolution=0.1,
                                  basis="measured", find="rule on edge over it")] = Q(0, "mm"),
    dish: Annotated[Quantity, In("mm", "resin sunk below the wood at its lowest", 0.2, ge=0, le=30, resolution=0.1,
                                 basis="measured", find="rule over it, feeler under; 3 to 5 % of the depth")]
    = Q(0, "mm"),
    skim: Annotated[Quantity, In("mm", "clean cut below that", 0.2, ge=0, le=10, resolution=0.1,
                                 basis="common practice")] = Q(0.2, "mm"),
    pass_depth: Annotated[Quantity, In("mm", "depth of one pass", 0.5, ge=0.05, le=10, resolution=0.1, chosen=True)]
    = Q(0.5, "mm"),
    least_resin: Annotated[Quantity, In("mm", "least depth of resin to leave", 2, ge=0, le=100, resolution=0.1,
                                        chosen=True, basis="common practice")] = Q(2, "mm"),
    least_thickness: Annotated[Quantity, In("mm", "least thickness of the top", 25, ge=0.5, le=300, resolution=0.1,
                                            chosen=True)],
) -> FaceAfterPour:
    """Facing a poured top: down to the lowest resin and a skim below it, off wood and resin alike.

    cut = dish + skim off the wood, and the height the resin stands proud besides
    off the resin; what is left of recess and top is less by the cut.  Depth,
    overfill and facing hang together: cut the recess deeper by what facing takes.

    >>> top = face_after_pour(recess_depth=Q(4, "mm"), thickness=Q(26, "mm"), proud=Q(0.3, "mm"), dish=Q(0.2, "mm"),
    ...                       least_thickness=Q(25, "mm"))
    >>> print(f"{top.cut:.1f~P} off, {top.recess_left:.1f~P} of resin left")
    0.4 mm off, 3.6 mm of resin left
    """
    cut = (dish + skim).to("mm")
    require(cut < recess_depth, "facing would take all of the resin; fill the hollow first, or cut the recess deeper",
            "dish", "skim", "recess_depth")
    require(cut < thickness, "facing would take all of the top", "dish", "skim", "thickness")
    resin, wood = (recess_depth - cut).to("mm"), (thickness - cut).to("mm")
    return FaceAfterPour(
        cut=cut, from_resin=cut + proud,
        passes=Q(np.maximum(np.ceil(((cut + proud) / pass_depth).m_as("") - _NEAR), 0)),
        recess_left=resin, thickness_left=wood, cut_recess_to=(least_resin + cut).to("mm"),
        says=_says(float(np.nanmean(dish.m_as("mm"))), float(np.nanmean(proud.m_as("mm")))),
        resin_deep=at_least(resin, least_resin), wood_thick=at_most(cut, (thickness - least_thickness).to("mm")),
    )


def _says(dish: float, proud: float) -> str:
    """In words, from the middle of the values when they are samples."""
    if dish > 0.5:
        return "Top the hollow up and let it cure before facing: it saves more wood than a deeper cut."
    if proud > 0:
        return "Begin with the cutter just touching the highest resin, and go down in thin passes: warm resin smears."
    return "A skim does it: resin and wood stand level."
