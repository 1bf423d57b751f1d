"""Where the mounts of a lid's strut go, and whether the strut reaches."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit import struts
from kit.calculator import applies, calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.kinds import Asks, In, Out, Says
from kit.quantities import Q, Quantity
from kit.struts import Mounts, in_metres, nominal, nq, pick, require_sense, swing, trimmed, turned

__all__ = ["StrutMounts", "StrutTravel", "strut_mounts", "strut_travel"]


@result
class StrutTravel:
    """A strut's length and arm through the swing of a lid, and whether it reaches."""

    angle: Annotated[Quantity, Out("deg", "opening angle", resolution=0.1)]
    length: Annotated[Quantity, Out("mm", "length of the strut", over="angle", resolution=0.1)]
    arm: Annotated[Quantity, Out("mm", "arm of the push about the pin (plus opens)", over="angle", resolution=0.1)]
    lid_mount_x: Annotated[Quantity, Out("mm", "lid mount, along the closed lid from the pin", over="angle")]
    lid_mount_y: Annotated[Quantity, Out("mm", "lid mount, above the pin", over="angle")]
    centre_x: Annotated[Quantity, Out("mm", "centre of gravity, along the closed lid from the pin", over="angle")]
    centre_y: Annotated[Quantity, Out("mm", "centre of gravity, above the pin", over="angle")]
    edge_x: Annotated[Quantity, Out("mm", "front edge, along the closed lid from the pin", over="angle")]
    edge_y: Annotated[Quantity, Out("mm", "front edge, above the pin", over="angle")]
    shut_length: Annotated[Quantity, Out("mm", "length with the lid shut", resolution=0.1)]
    open_length: Annotated[Quantity, Out("mm", "length with the lid open", resolution=0.1)]
    shortest: Annotated[Quantity, Out("mm", "shortest length on the way", rounding="down", resolution=0.1)]
    longest: Annotated[Quantity, Out("mm", "longest length on the way", rounding="up", resolution=0.1)]
    left_in: Annotated[Quantity, Out("mm", "stroke left where the strut is shortest", rounding="down", resolution=0.1)]
    left_out: Annotated[Quantity, Out("mm", "stroke left where the strut is longest", rounding="down", resolution=0.1)]
    dead_centre: Annotated[Quantity, Out("deg", "angle at which strut and pin lie in one line", resolution=0.1,
                                         absent="no dead centre on the way")]
    lid_mount_from_front: Annotated[Quantity, Out("mm", "lid mount behind the front edge", resolution=1)]
    body_mount_from_front: Annotated[Quantity, Out("mm", "body mount behind the lid's front edge", resolution=1)]
    body_mount_below_rim: Annotated[Quantity, Out("mm", "body mount below the rim that the lid lies on", resolution=1)]
    path: Annotated[str, Says("how the strut moves, in words")]
    rod_end: Annotated[str, Says("which way round it goes, so that its rod points down with the lid shut")]
    not_bottomed: Annotated[Check, Asks("strut is never pushed to its end on the way", "kit")]
    not_the_stop: Annotated[Check, Asks("strut is not what stops the lid", "kit")]


@calculator("kit", "practice")
def strut_travel(
    *,
    opening: struts.Opening,
    lid_mount_along: struts.LidAlong,
    lid_mount_above: struts.LidAbove,
    body_mount_along: struts.BodyAlong,
    body_mount_above: struts.BodyAbove,
    extended: struts.Extended,
    stroke: struts.Stroke,
    depth: struts.Depth,
    centre: Annotated[Quantity, In("mm", "centre of gravity of the lid, along it from the pin", 315, ge=0, le=3000,
                                   find="balance the lid on a broom handle")],
    centre_above: Annotated[Quantity, In("mm", "centre of gravity above the pin", 0, ge=-300, le=300)] = Q(0, "mm"),
    pin_above_rim: Annotated[Quantity, In("mm", "hinge pin above the rim that the lid lies on", 0, ge=-200, le=200,
                                    out_by="2 mm",
                                          find="rule, from the rim to the middle of the pin")] = Q(0, "mm"),
    margin: Annotated[Quantity, In("mm", "stroke left over at either end", 5, ge=0, le=100, chosen=True)]
    = Q(5, "mm"),
    struts_fitted: struts.StrutCount = 1,
) -> StrutTravel:
    """Length and arm of a strut at every angle of the lid, and the stroke left at either end.

    The lid mount (p, q) turns with the lid, S = |P(angle) - B|, and the arm is
    dS/dangle.  Where strut and pin come to lie in one line S is an extreme,
    which a look at shut and open alone would miss; it is worked out exactly.
    Slack in the eyes and bending of the lid are left out.

    >>> travel = strut_travel(opening=Q(80, "deg"), lid_mount_along=Q(100, "mm"), lid_mount_above=Q(-30, "mm"),
    ...     body_mount_along=Q(250, "mm"), body_mount_above=Q(-200, "mm"), extended=Q(365, "mm"), stroke=Q(150, "mm"),
    ...     depth=Q(640, "mm"), centre=Q(315, "mm"))
    >>> print(f"{travel.shut_length.m_as('mm'):.0f} mm shut, {travel.open_length.m_as('mm'):.0f} mm open")
    227 mm shut, 357 mm open
    """
    mounts = in_metres(Mounts(lid_mount_along, lid_mount_above, body_mount_along, body_mount_above))
    require_sense(mounts, opening, extended, stroke)
    angle = swing(opening, *mounts.places(), depth, centre, centre_above)
    length, arm = mounts.reach(angle)
    shortest, longest, dead = mounts.extremes(opening)
    applies(opening <= Q(90, "deg"), "a lid that opens past 90 degrees needs a stop of its own")
    left_in, left_out = (shortest - extended + stroke).to("mm"), (extended - longest).to("mm")
    x, y = mounts.lid(angle)
    centre_x, centre_y = turned(centre, centre_above, angle)
    edge_x, edge_y = turned(depth, Q(0, "mm"), angle)
    return StrutTravel(
        **trimmed({
            "angle": angle, "length": length.to("mm"), "arm": arm.to("mm"),
            "lid_mount_x": x.to("mm"), "lid_mount_y": y.to("mm"), "centre_x": centre_x.to("mm"),
            "centre_y": centre_y.to("mm"), "edge_x": edge_x.to("mm"), "edge_y": edge_y.to("mm"),
        }),
        shut_length=mounts.reach(Q(0, "deg"))[0].to("mm"),
        open_length=mounts.reach(opening)[0].to("mm"),
        shortest=shortest.to("mm"),
        longest=longest.to("mm"),
        left_in=left_in,
        left_out=left_out,
        dead_centre=dead.to("deg"),
        lid_mount_from_front=depth - lid_mount_along,
        body_mount_from_front=depth - body_mount_along,
        body_mount_below_rim=-body_mount_above - pin_above_rim,
        path=_path(dead, mounts, opening),
        rod_end=_rod_down(body_mount_above - lid_mount_above),
        not_bottomed=at_least(left_in, margin) if struts_fitted else does_not_apply("no strut is fitted"),
        not_the_stop=at_least(left_out, margin) if struts_fitted else does_not_apply("no strut is fitted"),
    )


def _rod_down(higher: Quantity) -> str:
    """The oil in the tube has to lie on the seal of the rod while the lid is shut, which is most of the time."""
    above = nominal(higher.to("mm"))
    if abs(above) < 1:
        return "either way round: it lies level with the lid shut, so open the lid now and then to oil its seal"
    return f"rod at the {'lid' if above > 0 else 'body'}, tube at the {'body' if above > 0 else 'lid'}"


def _path(dead: Quantity, mounts: Mounts, opening: Quantity) -> str:
    turn, at_shut = nominal(dead), nominal(mounts.reach(Q(0, "deg"))[1])
    if np.isfinite(turn):
        return f"pulls the lid shut up to {turn:.1f} degrees, where it is in line with the pin; pushes it open beyond"
    if at_shut < 0:
        return "pulls the lid shut all the way"
    if nominal(mounts.reach(opening)[1]) < 0:
        return "pushes the lid open at first and pulls it shut when it is open"
    return "pushes the lid open all the way"


@result
class StrutMounts:
    """The two places where the mount on the body can go."""

    chord: Annotated[Quantity, Out("mm", "how far the lid mount moves, straight across", resolution=0.1)]
    change: Annotated[Quantity, Out("mm", "how much the strut's length has to change", resolution=0.1)]
    gentle_along: Annotated[Quantity, Out("mm", "gentle place, along the lid from the pin", absent="no such place")]
    gentle_above: Annotated[Quantity, Out("mm", "gentle place, above the pin", absent="no such place")]
    gentle_arm: Annotated[Quantity, Out("mm", "arm of the push there with the lid shut", absent="no such place")]
    gentle_shortest: Annotated[Quantity, Out("mm", "shortest length on the way from there", absent="no such place")]
    eager_along: Annotated[Quantity, Out("mm", "eager place, along the lid from the pin", absent="no such place")]
    eager_above: Annotated[Quantity, Out("mm", "eager place, above the pin", absent="no such place")]
    eager_arm: Annotated[Quantity, Out("mm", "arm of the push there with the lid shut", absent="no such place")]
    eager_shortest: Annotated[Quantity, Out("mm", "shortest length on the way from there", absent="no such place")]
    reaches: Annotated[Check, Asks("lid mount moves far enough for that change of length", "kit")]


@calculator("kit")
def strut_mounts(
    *,
    opening: struts.Opening,
    lid_mount_along: struts.LidAlong,
    lid_mount_above: struts.LidAbove,
    shut_length: Annotated[Quantity, In("mm", "wanted length of the strut with the lid shut", 227, ge=20, le=3000,
                                        find="fully out less the stroke, and 5 mm or more to spare")],
    open_length: Annotated[Quantity, In("mm", "wanted length of the strut with the lid open", 357, ge=20, le=3000,
                                        find="fully out less 5 mm or more")],
) -> StrutMounts:
    """Where the mount on the body can go for a wanted length of the strut, shut and open.

    The place lies on a circle about the lid mount when shut and on another about
    the lid mount when open; they cut in two points, if at all.  *Gentle* is the
    one with the smaller arm when shut: it leaves the lid shut; *eager* pushes it
    up at once.  Look at the shortest length too: on the way over a dead centre
    the strut gets shorter than when shut.

    >>> where = strut_mounts(opening=Q(85, "deg"), lid_mount_along=Q(200, "mm"), lid_mount_above=Q(-30, "mm"),
    ...                      shut_length=Q(313.21, "mm"), open_length=Q(552.42, "mm"))
    >>> print(f"{where.gentle_along.magnitude:.0f} mm along, {where.gentle_above.magnitude:.0f} mm above")
    500 mm along, -120 mm above
    """
    shut, shut_up = lid_mount_along, lid_mount_above
    to_x, to_y = turned(shut, shut_up, opening)
    across_x, across_y = to_x - shut, to_y - shut_up
    chord = nq.hypot(across_x, across_y)
    require(chord > Q(1e-6, "mm"), "the lid mount does not move; set it away from the pin",
            "lid_mount_along", "lid_mount_above")
    chord = nq.maximum(chord, Q(1e-6, "mm"))
    foot = (shut_length**2 - open_length**2 + chord**2) / (2 * chord)
    beside_squared = shut_length**2 - foot**2
    beside = pick(beside_squared >= Q(0, "mm^2"), abs(beside_squared) ** 0.5, Q(np.nan, "mm"))
    places = []
    for side in (1, -1):
        along = shut + (foot * across_x - side * beside * across_y) / chord
        above = shut_up + (foot * across_y + side * beside * across_x) / chord
        mounts = Mounts(shut, shut_up, along, above)
        places.append((mounts.reach(Q(0, "deg"))[1], along, above, mounts.extremes(opening)[0]))
    one, other = places
    gentler = one[0] <= other[0]
    gentle = [pick(gentler, a, b).to("mm") for a, b in zip(one, other, strict=True)]
    eager = [pick(gentler, b, a).to("mm") for a, b in zip(one, other, strict=True)]
    change = abs(open_length - shut_length).to("mm")
    return StrutMounts(
        chord=chord.to("mm"), change=change,
        gentle_arm=gentle[0], gentle_along=gentle[1], gentle_above=gentle[2], gentle_shortest=gentle[3],
        eager_arm=eager[0], eager_along=eager[1], eager_above=eager[2], eager_shortest=eager[3],
        reaches=at_most(change, chord.to("mm"), share=False),
    )
