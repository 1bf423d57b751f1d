"""Anchors of a mooring: proved by a pull test, or a dead weight on the bottom."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

import numpy as np

from kit.calculator import applies, calculator, require, result, row
from kit.checks import Check, at_least, at_most, does_not_apply, open_check
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["AnchorKind", "DeadWeight", "ProvedAnchor", "PullTest", "dead_weight", "pull_test"]

AnchorKind = Literal["ground screws or stakes", "anchors that dig in", "dead weights"]
_GRAVITY = Q(9.80665, "m/s^2")
# Above this a buried anchor's hold falls sharply; read in one magazine, so only a remark.
_STEEP = Q(25, "deg")


@row
class ProvedAnchor:
    """One anchor, and the pull it was seen to hold."""

    name: Annotated[str, Text("anchor", "ladder end, right")]
    proven: Annotated[Quantity | None, In(
        "kN", "pull it held for a minute", 3.4, ge=0, le=2000, resolution=0.01, basis="measured",
        find="winch against a tree with a load cell, or a spring balance on a 3:1, along the bottom")] = None


@result
class PullTest:
    """What every anchor must have been seen to hold."""

    needed: Annotated[Quantity, Out("kN", "pull that each anchor is to be tested to", resolution=0.01, rounding="up")]
    lost_needed: Annotated[Quantity, Out("kN", "pull it needs when another leg has parted", resolution=0.01,
                                         rounding="up")]
    least: Annotated[Quantity, Out("kN", "least pull that was proved", resolution=0.01, rounding="down",
                                   absent="not every anchor is tested yet")]
    weakest: Annotated[str, Says("anchor that holds least")]
    holds: Annotated[Check, Asks("anchors, by pull test", "ufc-4-159-03", hazard=True)]
    holds_lost: Annotated[Check, Asks("anchors, when another leg has parted", "practice", hazard=True)]


@calculator("ufc-4-159-03", "practice")
def pull_test(
    *,
    kind: Annotated[AnchorKind, Choice("anchors", "ground screws or stakes", find="push a pole into the bottom")],
    anchors: Annotated[Sequence[ProvedAnchor], Rows("anchors and their tests", least=1, most=20)],
    anchor_pull: Annotated[Quantity, In("kN", "pull on the most loaded anchor", 1.08, ge=0, le=2000)],
    anchor_angle: Annotated[Quantity, In("deg", "slope of the leg at the anchor", 10.5, ge=0, le=90)] = Q(0, "deg"),
    lost_pull: Annotated[Quantity, In("N", "greatest pull when one leg has parted", 2300, ge=0, le=2e6)] = Q(0, "N"),
    factor: Annotated[Quantity, In("1", "factor on the load", 3, ge=1, le=10, chosen=True, basis="handbook",
                                   find="piles and plates 3; anchors that drag 1.5 to 2")] = Q(3),
    lost_factor: Annotated[Quantity, In("1", "factor when a leg has parted", 1.25, ge=1, le=10, chosen=True,
                                        find="common practice, no source")] = Q(1.25),
) -> PullTest:
    """The pull each anchor must be proved to, whole and with another leg lost, against what was proved.

    No soil sum is made: what a screw or stake holds in your bottom is found by
    pulling it.  Pull at the slope it will see, in the season when the bottom is
    softest, and hold a minute.

    >>> test = pull_test(kind="ground screws or stakes", anchor_pull=Q(1.057, "kN"),
    ...     anchors=[ProvedAnchor(name=str(n), proven=Q(3.4, "kN")) for n in range(4)])
    >>> print(f"{test.needed:.2f~P} of 3.4 kN: {test.holds.verdict}")
    3.17 kN of 3.4 kN: marginal
    """
    needed = (anchor_pull * factor).to("kN")
    lost = (lost_pull / np.cos(np.minimum(anchor_angle.m_as("rad"), np.radians(80))) * lost_factor).to("kN")
    applies(anchor_angle <= _STEEP, "the leg pulls the anchor up steeply: what digs in holds far less above 25 degrees")
    if kind == "dead weights":
        why = does_not_apply("dead weights are reckoned by their weight")
        return PullTest(needed=needed, lost_needed=lost, least=needed * np.nan, weakest="none is tested", holds=why,
                        holds_lost=why)
    untested = [one.name for one in anchors if one.proven is None]
    proved = [one.proven for one in anchors if one.proven is not None]
    if untested:
        why = open_check(f"not pulled yet: {', '.join(untested)}")
        return PullTest(needed=needed, lost_needed=lost, least=needed * np.nan, weakest=f"unknown: {untested[0]}",
                        holds=why, holds_lost=why)
    values = np.stack(np.broadcast_arrays(*(one.m_as("kN") for one in proved)))
    least = Q(values.min(axis=0)[()], "kN")
    weakest = anchors[int(np.argmin(values if values.ndim == 1 else np.nanmean(values, axis=1)))].name
    return PullTest(
        needed=needed, lost_needed=lost, least=least, weakest=weakest,
        holds=at_most(needed, least, factor="factor is in the need"),
        holds_lost=at_most(lost, least, factor="factor is in the need"),
    )


@result
class DeadWeight:
    """A block on the bottom as an anchor."""

    submerged: Annotated[Quantity, Out("N", "its weight under water", rounding="down")]
    share_kept: Annotated[Quantity, Out("percent", "share of its weight that is left under water")]
    holding: Annotated[Quantity, Out("N", "horizontal pull at which it slides", rounding="down")]
    needed_mass: Annotated[Quantity, Out("kg", "mass in air of the block that would hold", resolution=1,
                                         rounding="up")]
    slide: Annotated[Check, Asks("dead weight does not slide", "practice", hazard=True)]
    lifts: Annotated[Check, Asks("dead weight is not lifted", "practice", hazard=True)]


@calculator("archimedes", "ufc-4-159-03", "practice")
def dead_weight(
    *,
    kind: Annotated[AnchorKind, Choice("anchors", "dead weights")],
    mass: Annotated[Quantity, In("kg", "mass of one block, in air", 200, ge=1, le=1e6, find="size times density")],
    block: Annotated[Quantity, In("kg/m^3", "density of the block", 2400, ge=1200, le=11_400, basis="handbook",
                                  find="concrete 2300 to 2400, granite 2700, iron 7200")] = Q(2400, "kg/m^3"),
    friction: Annotated[Quantity, In("1", "friction on the bottom", 0.3, ge=0.05, le=1.2, find="mud 0.3, sand 0.5: "
                                     "from memory; better, drag it with a spring balance")] = Q(0.3),
    pull: Annotated[Quantity, In("N", "horizontal pull of the leg", 1060, ge=0, le=1e6)],
    uplift: Annotated[Quantity, In("N", "upward pull of the leg on it", 200, ge=0, le=1e6)] = Q(0, "N"),
    factor: Annotated[Quantity, In("1", "factor on the load", 1.5, ge=1, le=10, chosen=True,
                                   find="common practice; the source gives none and says to take care")] = Q(1.5),
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
) -> DeadWeight:
    """A block's weight under water, the pull at which it slides, and the mass that would be needed.

    W = m g (1 - rho_w/rho); it slides at H = mu W/(1 + mu tan a), a the slope of
    the leg at the block.  Sinking into mud, which helps, and scour and a sloping
    bottom, which do not, are left out.

    >>> block = dead_weight(kind="dead weights", mass=Q(200, "kg"), pull=Q(300, "N"), density=Q(1000, "kg/m^3"))
    >>> print(f"{block.submerged:.1f~P}, slides at {block.holding:.1f~P}")
    1144.1 N, slides at 343.2 N
    """
    require(np.all(block > density), "the block floats; enter the density of what sinks", "block")
    kept = 1 - density / block
    weight = (mass * _GRAVITY * kept).to("N")
    steep = np.divide(uplift.m_as("N"), pull.m_as("N"), out=np.zeros(np.broadcast_shapes(
        np.shape(pull.m), np.shape(uplift.m))), where=np.asarray(pull.m_as("N")) > 0)[()]
    holding = weight * friction / (1 + friction * steep)
    needed = factor * (pull / friction + uplift) / (_GRAVITY * kept)
    if kind != "dead weights":
        why = does_not_apply("other anchors were chosen")
        slide = lifts = why
    else:
        slide = at_most(factor * pull, holding, factor="factor is in the need")
        lifts = at_least(weight, factor * uplift, factor="factor is in the limit")
    return DeadWeight(submerged=weight, share_kept=Q(kept, "").to("percent"), holding=holding.to("N"),
                      needed_mass=needed.to("kg"), slide=slide, lifts=lifts)
