"""What a round cutter leaves in an inside corner, and how it gets down to the floor.

    >>> corner = corner_relief(diameter=Q(3, "mm"), relief="across the corner")
    >>> print(f"{corner.left_in:.2f~P} left in the corner, cut {corner.overcut:.2f~P} beyond each side")
    0.62 mm left in the corner, cut 0.44 mm beyond each side

Plan geometry of a round tool; its run-out and bending are left out.
"""

from __future__ import annotations

import math
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.kinds import Asks, Choice, In, Out, Says
from kit.quantities import Q, Quantity

__all__ = ["CornerRelief", "Ramp", "corner_relief", "ramp"]

Relief = Literal["none", "across the corner", "along one side"]


@result
class CornerRelief:
    """An inside corner as the cutter leaves it."""

    left_in: Annotated[Quantity, Out("mm", "wood left in the corner, measured from its point", resolution=0.01)]
    area_left: Annotated[Quantity, Out("mm^2", "area of that wood in plan", resolution=0.01)]
    starts: Annotated[Quantity, Out("mm", "where the rounding begins, from the corner along each side",
                                    resolution=0.01)]
    least_radius: Annotated[Quantity, Out("mm", "least rounding of the piece that goes in, where nothing is relieved",
                                          rounding="up", resolution=0.05)]
    move: Annotated[Quantity, Out("mm", "how far the cutter goes on from where it would stop", resolution=0.01)]
    centre_along: Annotated[Quantity, Out("mm", "centre of the relief from the corner, along one side",
                                          resolution=0.01)]
    centre_off: Annotated[Quantity, Out("mm", "centre of the relief from that side, inwards", resolution=0.01)]
    overcut: Annotated[Quantity, Out("mm", "how far the relief cuts beyond a side", resolution=0.01)]
    opening: Annotated[Quantity, Out("mm", "length of side that is lost to it", resolution=0.01)]
    says: Annotated[str, Says("what to do at the corner")]
    fits: Annotated[Check, Asks("a sharp corner goes in", "kit")]
    hidden: Annotated[Check, Asks("the relief stays hidden", "kit")]
    slot: Annotated[Check, Asks("the cutter goes into the slot", "practice")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice")
def corner_relief(
    *,
    diameter: Annotated[Quantity, In("mm", "cutter diameter as measured", 3, ge=0.2, le=50, resolution=0.05,
                                     find="calipers; or cut a slot and measure it", basis="measured")],
    relief: Annotated[Relief, Choice("relief of inside corners", "across the corner",
                                     find="across the corner shows on both sides; along one side hides on the other")],
    corner: Annotated[Quantity, In("deg", "angle of the corner", 90, ge=20, le=160, resolution=1, find="bevel gauge",
                                   basis="measured")] = Q(90, "deg"),
    part_radius: Annotated[Quantity, In("mm", "rounding of the piece that goes in", 0, ge=0, le=50, resolution=0.1,
                                        find="0 when it is left sharp", basis="measured")] = Q(0, "mm"),
    play: Annotated[Quantity, In("mm", "clearance on each side", 0.05, ge=0, le=5, resolution=0.05, basis="measured")]
    = Q(0, "mm"),
    slot_width: Annotated[Quantity | None, In("mm", "narrowest slot to cut", 22.1, ge=0.2, le=1000, resolution=0.1,
                                              basis="measured")] = None,
    shoulder: Annotated[Quantity | None, In("mm", "what covers the relief, from the side", 3, ge=0, le=100,
                                            resolution=0.1, chosen=True, find="leave it out if nothing does")] = None,
) -> CornerRelief:
    """Wood a cutter of radius r leaves in a corner of angle a, and where to cut it away.

    The arc lies r (1/sin(a/2) - 1) from the corner, begins r / tan(a/2) along
    each side and leaves r^2 (1/tan(a/2) - (180 deg - a)/2).  Across the corner the
    cutter goes on along the halving line until it touches the point: it then
    cuts r (1 - sin(a/2)) beyond each side.  Along one side it goes on beside that
    side until it reaches the point, and cuts r (1 + cos a) beyond the other.
    A piece rounded by q, with clearance c all round, goes in unrelieved when
    q >= r - c / (1 - sin(a/2)).

    >>> corner_relief(diameter=Q(6, "mm"), relief="none").fits.verdict
    'fails'
    """
    half = corner.m_as("rad") / 2
    radius, sine = diameter / 2, np.sin(half)
    where = _PLACES[relief](radius.m_as("mm"), half)
    move, along, off, over, opening = (Q(v, "mm") for v in where)
    # Clearance lets a rounding be smaller: the corner of the piece stands back from the corner by c / sin(a/2).
    needed = Q(np.maximum((radius - play / (1 - sine)).m_as("mm"), 0), "mm")
    return CornerRelief(
        left_in=radius * (1 / sine - 1), area_left=(radius**2 * (1 / np.tan(half) - (math.pi / 2 - half))).to("mm^2"),
        starts=radius / np.tan(half), least_radius=needed, move=move, centre_along=along, centre_off=off, overcut=over,
        opening=opening, says=_SAYS[relief],
        fits=at_least(part_radius, needed) if relief == "none" else does_not_apply("the corner is cut free"),
        hidden=_hidden(relief, over, shoulder), slot=_slot(slot_width, diameter),
    )


def _uncut(r: Any, half: Any) -> tuple[Any, ...]:
    """Where a plain corner leaves the cutter: move, centre along and off, overcut, opening, in millimetres."""
    none = 0.0 * r * half
    return none, r / np.tan(half), r + none, none, none


def _across(r: Any, half: Any) -> tuple[Any, ...]:
    """On along the halving line until the cutter touches the corner."""
    return r / np.sin(half) - r, r * np.cos(half), r * np.sin(half), r * (1 - np.sin(half)), 2 * r * np.cos(half)


def _beside(r: Any, half: Any) -> tuple[Any, ...]:
    """On beside one side until the cutter touches the corner; the other side is cut."""
    none = 0.0 * r * half
    return r / np.tan(half), none, r + none, r * (1 + np.cos(2 * half)), 2 * r * np.sin(2 * half)


_PLACES: dict[str, Any] = {"none": _uncut, "across the corner": _across, "along one side": _beside}
_SAYS = {
    "none": "Corners stay round: round the piece that goes in, or chop the corner out with a chisel.",
    "across the corner": "The cutter goes on along the halving line until it touches the point; a little shows on both "
                         "sides.",
    "along one side": "The cutter goes on beside one side until it touches the point; that side stays whole, the "
                      "relief shows on the other.",
}


def _hidden(relief: str, over: Quantity, shoulder: Quantity | None) -> Check:
    if relief == "none":
        return does_not_apply("there is no relief")
    if shoulder is None:
        return does_not_apply("nothing is said to cover it")
    return at_most(over, shoulder)


def _slot(width: Quantity | None, diameter: Quantity) -> Check:
    """A slot a tenth wider than the cutter can still be corrected; one as wide as the cutter cannot."""
    if width is None:
        return does_not_apply("no slot is given")
    return at_least(width, diameter + Q(0.1, "mm"), factor="a tenth of a millimetre to correct the fit")


Way = Literal["straight ramp", "helix", "plunge"]


@result
class Ramp:
    """Getting a cutter down to depth."""

    legs: Annotated[Quantity, Out("1", "runs to and fro, or turns of the helix", rounding="up", absent="a plunge")]
    distance: Annotated[Quantity, Out("mm", "distance travelled on the way down", resolution=1)]
    angle_used: Annotated[Quantity, Out("deg", "slope it really runs at", resolution=0.1)]
    sinking: Annotated[Quantity, Out("mm/min", "speed downwards", rounding="down", resolution=1)]
    time: Annotated[Quantity, Out("s", "time on the way down", rounding="up", resolution=0.1)]
    hole: Annotated[Quantity, Out("mm", "width of the opening it cuts", resolution=0.1)]
    gentle: Annotated[Check, Asks("slope the cutter can cut at its end", "practice")]
    clears: Annotated[Check, Asks("no pillar is left in the middle", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice")
def ramp(
    *,
    way: Annotated[Way, Choice("how the cutter goes in", "straight ramp")],
    depth: Annotated[Quantity, In("mm", "depth to go down", 4, ge=0.05, le=200, resolution=0.1, basis="measured")],
    feed: Annotated[Quantity, In("mm/min", "feed along the path", 1800, ge=10, le=60_000, resolution=10)],
    diameter: Annotated[Quantity, In("mm", "cutter diameter", 3, ge=0.2, le=80, resolution=0.1, basis="measured")],
    room: Annotated[Quantity, In("mm", "length of straight path there is, or diameter of the helix's path", 40, ge=0.1,
                                 le=5000, resolution=1, basis="measured",
                                 find="measured at the middle of the cutter")],
    slope: Annotated[Quantity, In("deg", "slope you mean to use", 3, ge=0.1, le=45, resolution=0.5, chosen=True,
                                  find="2 to 5 deg for a cutter whose edges do not meet in the middle")] = Q(3, "deg"),
    steepest: Annotated[Quantity, In("deg", "steepest slope of the cutter", 10, ge=0.1, le=90, resolution=1,
                                     basis="data sheet", find="its sheet; 90 deg if its edges meet in the middle")]
    = Q(10, "deg"),
    plunge_share: Annotated[Quantity, In("percent", "feed straight down, of the feed along", 30, ge=1, le=100,
                                         basis="common practice")] = Q(30, "percent"),
) -> Ramp:
    """Going down on a slope instead of straight: distance, time and slope.

    Straight runs of length L at slope g sink L tan g each; a helix of diameter d
    sinks pi d tan g a turn.  Whole runs or turns are made, so the slope is
    eased until they end at depth.  A helix wider than the cutter leaves a pillar.
    Starting, stopping and turning are left out here.

    >>> down = ramp(way="straight ramp", depth=Q(4, "mm"), feed=Q(1800, "mm/min"), diameter=Q(3, "mm"),
    ...             room=Q(40, "mm"))
    >>> print(f"{down.legs.magnitude:.0f} runs, {down.angle_used:.1f~P}, {down.time:.1f~P}")
    2 runs, 2.9 deg, 2.7 s
    """
    require((way != "helix") | (room.m_as("mm") > 0.0), "a helix needs a diameter, such as 2.4 mm", "room")
    if way == "plunge":
        sinking = (feed * plunge_share).to("mm/min")
        nothing = Q(0.0 * depth.magnitude + np.nan, "")
        return Ramp(
            legs=nothing, distance=depth.to("mm"), angle_used=Q(90.0 + 0.0 * depth.magnitude, "deg"), sinking=sinking,
            time=(depth / sinking).to("s"), hole=diameter.to("mm"), clears=does_not_apply("a plunge leaves none"),
            gentle=at_least(steepest, Q(90, "deg"), share=False, reason="only a cutter whose edges meet in the middle"),
        )
    run = math.pi * room if way == "helix" else room
    legs = np.maximum(np.ceil((depth / (run * np.tan(slope.m_as("rad")))).m_as("") - 1e-9), 1)
    level = legs * run
    used = np.degrees(np.arctan((depth / level).m_as("")))
    distance = Q(np.hypot(level.m_as("mm"), depth.m_as("mm")), "mm")
    time = (distance / feed).to("s")
    return Ramp(
        legs=Q(legs), distance=distance, angle_used=Q(used, "deg"), sinking=(depth / time).to("mm/min"), time=time,
        hole=(room + diameter).to("mm"), gentle=at_most(Q(used, "deg"), steepest),
        clears=at_most(room, diameter) if way == "helix" else does_not_apply("a straight ramp leaves none"),
    )
