"""A lidded box that a child can get into: air, and a way out."""

from __future__ import annotations

from typing import Annotated

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply, open_check
from kit.kinds import Asks, Count, In, Out, YesNo
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["WayOut", "way_out"]

FACTS = read_facts("lids")


@result
class WayOut:
    """Air and a way out for somebody shut in under a lid."""

    push: Annotated[Quantity, Out("N", "push that opens the lid from inside", rounding="up", resolution=1,
                                  absent="latch not measured")]
    two_vents: Annotated[Check, Asks("two vents that cannot be covered at once", "toy-box")]
    vent_size: Annotated[Check, Asks("each vent is large enough", "toy-box")]
    vents_apart: Annotated[Check, Asks("vents are far enough apart", "toy-box")]
    opens_from_inside: Annotated[Check, Asks("lid opens from inside", "toy-box")]


@calculator("toy-box")
def way_out(
    *,
    children: Annotated[bool, YesNo("are children about", True)],
    lid_force: Annotated[Quantity, In("N", "greatest force that opens the lid, latch undone", 31, ge=-5000, le=5000)],
    latch_force: Annotated[Quantity | None, In("N", "what the latch adds, pushed from inside", 10, ge=0, le=5000, find=(
        "spring balance or bathroom scale from inside"))] = None,
    vents: Annotated[int | None, Count("vents into the box", 2, ge=0, le=100)] = None,
    vent_area: Annotated[Quantity | None, In("mm^2", "open area of the smallest vent", 800, ge=0, le=1e6, find=(
        "a round hole of 29 mm has 660 mm^2"))] = None,
    apart: Annotated[Quantity | None, In("mm", "distance between the vents", 300, ge=0, le=5000)] = None,
) -> WayOut:
    """Whether a child shut in the box has air and can get out.

    The rule is borrowed from a toy standard, whose scope a locker is outside:
    two vents of 650 mm^2, 150 mm apart, and a lid that opens from inside with
    50 N.  It is the least; a lid that cannot latch by itself is better.

    >>> box = way_out(children=True, lid_force=Q(31, "N"), latch_force=Q(10, "N"), vents=2,
    ...               vent_area=Q(800, "mm^2"), apart=Q(300, "mm"))
    >>> box.opens_from_inside.verdict
    'meets'
    """
    push = None if latch_force is None else lid_force + latch_force
    limits = (Q(2), FACTS["vent area"].q, FACTS["vents apart"].q)
    given = (None if vents is None else Q(vents), vent_area, apart)
    names = ("the number of vents", "the area of a vent", "the distance between the vents")
    if not children:
        checks = [does_not_apply("no children are about")] * 4
    else:
        checks = [
            open_check(f"{name} is not entered") if value is None else at_least(value, limit)
            for name, value, limit in zip(names, given, limits, strict=True)
        ]
        push_limit = FACTS["push from inside"].q
        checks.append(open_check("what the latch adds is not entered") if push is None else at_most(push, push_limit))
    return WayOut(
        push=Q(float("nan"), "N") if push is None else push.to("N"),
        two_vents=checks[0], vent_size=checks[1], vents_apart=checks[2], opens_from_inside=checks[3],
    )
