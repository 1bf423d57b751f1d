"""Sealant joints by section: volume and cartridges, movement and shape.

    >>> inside = SealJoint(name="inside", section="fillet", width=Q(8, "mm"), length=Q(9.375, "m"))
    >>> seal = sealant(joints=[inside], cartridge=Q(300, "mL"), cartridges=1, waste=Q(0, "percent"))
    >>> print(f"{seal.volume:.0f~P}, {seal.needed.magnitude:.0f} cartridge")
    300 mL, 1 cartridge

A joint that moves wants two faces to hold to and a third that lets go.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import reduce
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import InputError, calculator, result, row
from kit.checks import Check, at_least, at_most, does_not_apply, fails, open_check
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Text, YesNo
from kit.quantities import Q, Quantity

__all__ = ["JointSealant", "SealJoint", "Sealant", "sealant"]

Section = Literal["rectangle", "fillet", "round bead"]

# A joint this shallow tears; from the trade, no source.
LEAST_DEPTH = Q(6, "mm")
_NEAR = 1e-9


@row
class SealJoint:
    """Joints of one section."""

    name: Annotated[str, Text("joint", "top on carcass")]
    section: Annotated[Section, Choice("section", "rectangle", find="fillet: a triangle in an inside corner")]
    width: Annotated[Quantity, In("mm", "width; leg of a fillet, diameter of a bead", 12, ge=0.5, le=100,
                                  resolution=0.5, basis="measured")]
    depth: Annotated[Quantity | None, In("mm", "depth of a rectangle", 6, ge=0.5, le=100, resolution=0.5,
                                         basis="measured", find="half the width, 6 mm at least")] = None
    length: Annotated[Quantity, In("m", "length of one", 2.1, ge=0, le=1000, resolution=0.1, basis="measured")]
    count: Annotated[int, Count("how many", 1, ge=0, le=1000)] = 1
    share: Annotated[Quantity, In("percent", "share of the panel's movement that it takes", 0, ge=0, le=200,
                                  find="50 where a panel is held in its middle; 0 where nothing moves",
                                  basis="estimate")] = Q(0, "percent")
    backed: Annotated[bool, YesNo("backer rod or tape behind it")] = False


@result
class JointSealant:
    """Sealant for one row."""

    name: Annotated[str, Text("joint", "top on carcass")]
    section: Annotated[Quantity, Out("mm^2", "section", resolution=0.1)]
    volume: Annotated[Quantity, Out("mL", "volume, without waste", rounding="up", resolution=1)]
    reach: Annotated[Quantity, Out("m", "length from one cartridge", rounding="down", resolution=0.1)]
    moves: Annotated[Quantity, Out("mm", "it moves by", rounding="up", resolution=0.1)]
    strain: Annotated[Quantity, Out("percent", "share of its width", rounding="up", resolution=1)]
    least_width: Annotated[Quantity, Out("mm", "least width for that", rounding="up", resolution=0.5)]


@result
class Sealant:
    """Sealant for all joints."""

    length: Annotated[Quantity, Out("m", "length of all joints", resolution=0.1)]
    volume: Annotated[Quantity, Out("mL", "sealant with waste", rounding="up", resolution=1)]
    needed: Annotated[Quantity, Out("1", "cartridges needed", rounding="up")]
    by_joint: Annotated[tuple[JointSealant, ...], Rows("sealant by joint")]
    enough: Annotated[Check, Asks("cartridges bought", "kit")]
    stretches: Annotated[Check, Asks("joints wide enough for their movement", "iso-11600")]
    deep_enough: Annotated[Check, Asks("moving joints deep enough to hold", "practice")]
    not_too_deep: Annotated[Check, Asks("moving joints no deeper than wide", "practice")]
    two_sided: Annotated[Check, Asks("moving joints free at the back", "practice")]
    notes: tuple[str, ...] = ()


@calculator("practice", "iso-11600", "kit")
def sealant(
    *,
    joints: Annotated[Sequence[SealJoint], Rows("joints to seal", least=1)],
    movement: Annotated[Quantity, In("mm", "movement of the panel across the grain", 3, ge=-200, le=200,
                                     resolution=0.1, find="stage 02; + is swelling", basis="handbook")]
    = Q(0, "mm"),
    other_way: Annotated[Quantity, In("mm", "its movement the other way", 1, ge=-200, le=200, resolution=0.1,
                                      basis="handbook")] = Q(0, "mm"),
    capability: Annotated[Quantity, In("percent", "movement the sealant takes, of its width", 25, ge=1, le=100,
                                       basis="data sheet",
                                       find="the cartridge: class 20 or 25; hard ones 7.5 or 12.5", chosen=True)]
    = Q(25, "percent"),
    waste: Annotated[Quantity, In("percent", "waste: nozzle, tooling, the end of a cartridge", 15, ge=0, le=100,
                                  basis="common practice")] = Q(15, "percent"),
    cartridge: Annotated[Quantity, In("mL", "sealant in a cartridge", 310, ge=10, le=10_000, basis="data sheet",
                                      chosen=True)]
    = Q(310, "mL"),
    cartridges: Annotated[int, Count("cartridges bought", 2, ge=0, le=1000)],
) -> Sealant:
    """Volume by section: rectangle w d, fillet of leg a: a^2/2, bead of diameter d: pi d^2/4.

    A metre of 1 mm^2 is 1 mL.  A joint takes its share of the panel's larger
    movement either way; that by the sealant's capability is its least width.
    Depth of a moving rectangle: half its width, at least 6 mm and no more than
    the width.  A moving joint must let go at the back.  Temperature and the time
    it takes to skin are left out.

    >>> slot = SealJoint(name="slot", section="rectangle", width=Q(12, "mm"), depth=Q(6, "mm"), length=Q(5, "m"),
    ...                  share=Q(50, "percent"), backed=True)
    >>> found = sealant(joints=[slot], movement=Q(5, "mm"), cartridges=2)
    >>> print(f"{found.by_joint[0].strain.magnitude:.0f} %, {found.stretches.verdict}")
    21 %, meets
    """
    most = Q(np.maximum(np.abs(movement.m_as("mm")), np.abs(other_way.m_as("mm"))), "mm")
    rows = tuple(_row(one, most, capability, cartridge) for one in joints)
    volume = sum((r.volume for r in rows), Q(0, "mL")) * (1 + waste.m_as(""))
    needed = Q(np.ceil((volume / cartridge).m_as("") - _NEAR))
    moving = [(one, made) for one, made in zip(joints, rows, strict=True) if np.any(made.moves.magnitude > 0)]
    return Sealant(
        length=sum((one.length.to("m") * one.count for one in joints), Q(0, "m")), volume=volume, needed=needed,
        by_joint=rows, enough=at_least(cartridges * cartridge.to("mL"), volume),
        stretches=_stretches(joints, rows, moving, capability),
        deep_enough=_deep_enough(moving), not_too_deep=_not_too_deep(moving), two_sided=_two_sided(moving),
    )


def _row(one: SealJoint, most: Quantity, capability: Quantity, cartridge: Quantity) -> JointSealant:
    section = _section(one)
    moves = (most * one.share.m_as("")).to("mm")
    return JointSealant(
        name=one.name, section=section, volume=(section * one.length * one.count).to("mL"),
        reach=(cartridge / section).to("m"), moves=moves, strain=(moves / one.width).to("percent"),
        least_width=moves / capability.m_as(""),
    )


def _section(one: SealJoint) -> Quantity:
    if one.section == "fillet":
        return Q(one.width**2 / 2, "mm^2")
    if one.section == "round bead":
        return Q(math.pi / 4 * one.width**2, "mm^2")
    if one.depth is None:
        why = f"{one.name}: a rectangle needs its depth, such as 6 mm for 12 mm of width"
        raise InputError("sealant", {"joints": why})
    return Q(one.width * one.depth, "mm^2")


def _stretches(
    joints: Sequence[SealJoint], rows: Sequence[JointSealant], moving: Sequence[Any], capability: Quantity
) -> Check:
    if not moving:
        # A joint that is to take a share of nothing waits for the movement rather than being free of it.
        if takes := [one.name for one in joints if np.any(one.share.magnitude > 0)]:
            return open_check(f"{', '.join(takes)}: enter how far the panel moves across the grain")
        return does_not_apply("no joint moves")
    worst = max(moving, key=lambda pair: float(np.nanmean(pair[1].strain.magnitude)))[0].name
    most = Q(reduce(np.maximum, (r.strain.m_as("percent") for r in rows)), "percent")
    return at_most(most, capability.to("percent"), reason=f"most: {worst}")


def _rectangles(moving: Sequence[Any]) -> dict[str, tuple[Any, Any]]:
    """Depth and width in millimetres of the rectangles that move, by name."""
    return {one.name: (one.depth.m_as("mm"), one.width.m_as("mm")) for one, _ in moving
            if one.section == "rectangle" and one.depth is not None}


def _deep_enough(moving: Sequence[Any]) -> Check:
    found = _rectangles(moving)
    if not found:
        return does_not_apply("no rectangular joint moves")
    worst = min(found, key=lambda name: float(np.nanmean(found[name][0])))
    return at_least(Q(reduce(np.minimum, (depth for depth, _ in found.values())), "mm"), LEAST_DEPTH,
                    share=False, reason=f"shallowest: {worst}")


def _not_too_deep(moving: Sequence[Any]) -> Check:
    """A joint as deep as wide still works; half its width is best.  The least depth is allowed to a narrow one."""
    found = _rectangles(moving)
    if not found:
        return does_not_apply("no rectangular joint moves")
    shares = {name: depth / np.maximum(width, LEAST_DEPTH.magnitude) for name, (depth, width) in found.items()}
    worst = max(shares, key=lambda name: float(np.nanmean(shares[name])))
    return at_most(Q(100 * reduce(np.maximum, shares.values()), "percent"), Q(100, "percent"),
                   reason=f"of the width; most: {worst}; half is best")


def _two_sided(moving: Sequence[Any]) -> Check:
    if not moving:
        return does_not_apply("no joint moves")
    stuck = [one.name for one, _ in moving if not one.backed]
    if stuck:
        return fails(f"{', '.join(stuck)}: stuck on three sides it tears; put a backer rod or tape behind it")
    free = Q(len(moving))
    return at_least(free, free, share=False)
