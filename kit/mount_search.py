"""Which strut to order and where both its mounts go, looked for among hundreds of thousands of places."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit import lid_swing, struts
from kit.calculator import applies, calculator, require
from kit.kinds import Choice, In, Rows
from kit.lid_swing import GRAVITY
from kit.mount_finder import Finder
from kit.mount_kernel import Demands
from kit.mount_rows import ClearBox, MountSearch, StrutSize, strut_list
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import nominal

__all__ = ["mount_search"]

FACTS = read_facts("lids")


def _place(meaning: str, example: float) -> In:
    return In("mm", meaning, example, ge=-3000, le=3000, resolution=1, chosen=True, find="rule, lid shut, from the pin")


@calculator("kit", "practice", "plate-drag")
def mount_search(
    *,
    mass: lid_swing.LidMass,
    centre: lid_swing.Centre,
    centre_above: lid_swing.CentreAbove = Q(0, "mm"),
    handle: lid_swing.Handle,
    fall: lid_swing.Fall = Q(0, "deg"),
    opening: struts.Opening,
    depth: struts.Depth,
    width: lid_swing.Width,
    struts_fitted: struts.StrutCount = 1,
    law: Annotated[struts.Law, Choice("how its force rises: in a straight line, or as a closed gas does")] = "linear",
    friction: lid_swing.Friction = Q(10, "N"),
    worn: lid_swing.Worn = Q(0.85),
    cold: Annotated[Quantity, struts.strut_temperature("coldest strut in use", -10)],
    hot: Annotated[Quantity, struts.strut_temperature("hottest strut in use", 45)],
    hinge_friction: lid_swing.HingeFriction = Q(0, "N*m"),
    hinge_hold: lid_swing.HingeHold = Q(0, "N*m"),
    spring: lid_swing.Spring = Q(0, "N*m"),
    spring_rate: lid_swing.SpringRate = Q(0, "N*m/deg"),
    hand_limit: lid_swing.HandLimit = Q(50, "N"),
    shut_margin: lid_swing.ShutMargin = Q(4, "N*m"),
    open_margin: lid_swing.OpenMargin = Q(3, "N*m"),
    lean: lid_swing.Lean = None,
    wind: lid_swing.Gust = None,
    margin: Annotated[Quantity, In("mm", "stroke left over at either end", 5, ge=0, le=100, chosen=True)] = Q(5, "mm"),
    rise_before: Annotated[
        Quantity | None,
        In("deg", "cold and worn, it rises by itself at the latest from", 70, ge=0, le=170, chosen=True),
    ] = None,
    fall_before: Annotated[
        Quantity | None, In("deg", "hot and new, it still falls shut from up to", 15, ge=0, le=170, chosen=True)
    ] = None,
    mount_limit: Annotated[
        Quantity | None,
        In(
            "N",
            "most that either mount may get",
            600,
            ge=1,
            le=50_000,
            find="screws, bracket and what they are fixed in",
        ),
    ] = None,
    lid_from: Annotated[Quantity, _place("lid mount, along the lid: from", 60)] = Q(60, "mm"),
    lid_to: Annotated[Quantity, _place("lid mount, along the lid: to", 400)] = Q(400, "mm"),
    lid_low: Annotated[Quantity, _place("lid mount, above the pin: lowest", -50)] = Q(-50, "mm"),
    lid_high: Annotated[Quantity, _place("lid mount, above the pin: highest", -30)] = Q(-30, "mm"),
    body_from: Annotated[Quantity, _place("body mount, along the lid: from", 20)] = Q(20, "mm"),
    body_to: Annotated[Quantity, _place("body mount, along the lid: to", 600)] = Q(600, "mm"),
    body_low: Annotated[Quantity, _place("body mount, above the pin: lowest", -350)] = Q(-350, "mm"),
    body_high: Annotated[Quantity, _place("body mount, above the pin: highest", -40)] = Q(-40, "mm"),
    drilling: Annotated[Quantity, In("mm", "how far off a mount may be drilled", 2, ge=0, le=20, chosen=True)] = Q(
        2, "mm"
    ),
    thickness: Annotated[Quantity, In("mm", "thickness of the strut's tube", 18, ge=4, le=80)] = Q(18, "mm"),
    catalogue: Annotated[Sequence[StrutSize], Rows("struts that can be had", least=1, most=60)] = strut_list(),
    clear: Annotated[Sequence[ClearBox], Rows("places that must stay clear", most=20)] = (),
) -> MountSearch:
    """Find struts and mounts that keep every limit of a lid, ranked by how far the force may be off.

    For each lid mount, strut and spare length the body mount lies where two
    circles cut; both places are rounded to whole millimetres and held against:
    stroke left at either end over the whole swing, so that no strut is ever the
    stop; shut and open moments, hand, lean and wind, cold and worn and hot and
    new; places to keep clear.  Each demand bounds the force; the rank is how far
    the force may be off when both mounts are drilled off by `drilling` at worst.
    Samples are searched at their means.  Left out: the law of the rod's size,
    the bracket's strength, bending of the lid.

    >>> found = mount_search(mass=Q(8.6, "kg"), centre=Q(315, "mm"), handle=Q(620, "mm"), fall=Q(2, "deg"),
    ...     opening=Q(80, "deg"), depth=Q(640, "mm"), width=Q(550, "mm"), cold=Q(-10, "degC"), hot=Q(45, "degC"),
    ...     lean=Q(7, "deg"), wind=Q(8, "m/s"), catalogue=strut_list()[7:8])
    >>> print(found.best.partition(";")[0])
    strut 365-150 of 160 N
    """
    require(struts_fitted >= 1, "there is no strut to place, such as 1", "struts_fitted")
    require(cold <= hot, "the coldest strut must not be warmer than the hottest", "cold", "hot")
    for low, high, names in (
        (lid_from, lid_to, ("lid_from", "lid_to")),
        (lid_low, lid_high, ("lid_low", "lid_high")),
        (body_from, body_to, ("body_from", "body_to")),
        (body_low, body_high, ("body_low", "body_high")),
    ):
        require(low <= high, "it must not begin behind where it ends, such as 60 mm to 400 mm", *names)
    applies(opening <= Q(90, "deg"), "a lid that opens past 90 degrees needs a stop of its own")
    applies(struts_fitted > 1, "a single strut off the middle racks the hinges: see what it does to them in the stage")
    demands = _demands(
        mass,
        centre,
        centre_above,
        fall,
        opening,
        handle,
        struts_fitted,
        friction,
        hinge_friction,
        hinge_hold,
        spring,
        spring_rate,
        worn,
        cold,
        hot,
        hand_limit,
        shut_margin,
        open_margin,
        lean,
        wind,
        rise_before,
        fall_before,
        mount_limit,
        width,
        depth,
    )
    search = Finder(demands, catalogue, law, _si(margin, "m"), _si(drilling, "m"))
    lid = [_si(q, "m") for q in (lid_from, lid_to, lid_low, lid_high)]
    body = [_si(q, "m") for q in (body_from, body_to, body_low, body_high)]
    boxes = np.array(
        [
            sorted(_si(q, "m") for q in (box.along_from, box.along_to))
            + sorted(_si(q, "m") for q in (box.above_from, box.above_to))
            for box in clear
        ]
    ).reshape(-1, 4)
    kept = search.sift(search.candidates(lid), body, boxes, _si(thickness, "m") / 2)
    return search.report(kept)


def _si(q: Any, unit: str, absent: float = np.nan) -> float:
    return absent if q is None else nominal(q.to(unit))


def _demands(
    mass: Quantity,
    centre: Quantity,
    centre_above: Quantity,
    fall: Quantity,
    opening: Quantity,
    handle: Quantity,
    count: Any,
    friction: Quantity,
    hinge_friction: Quantity,
    hinge_hold: Quantity,
    spring: Quantity,
    spring_rate: Quantity,
    worn: Quantity,
    cold: Quantity,
    hot: Quantity,
    hand_limit: Quantity,
    shut_margin: Quantity,
    open_margin: Quantity,
    lean: Quantity | None,
    wind: Quantity | None,
    rise_before: Quantity | None,
    fall_before: Quantity | None,
    mount_limit: Quantity | None,
    width: Quantity,
    depth: Quantity,
) -> Demands:
    """The lid and its limits in SI units, samples at their means; what was not entered asks nothing."""
    states = [_si(t, "K") / 293.15 * share for t, share in ((cold, _si(worn, "")), (hot, 1.0))] + [1.0]
    gust = (
        0.0
        if wind is None
        else float(
            FACTS["air"].q.m_as("kg/m^3")
            * _si(wind, "m/s") ** 2
            / 2
            * FACTS["plate drag"].q.m_as("")
            * _si(width, "m")
            * _si(depth, "m") ** 2
            / 2
        )
    )
    return Demands(
        weight=_si(mass, "kg") * float(GRAVITY.magnitude),
        centre=_si(centre, "m"),
        centre_above=_si(centre_above, "m"),
        fall=_si(fall, "rad"),
        opening=_si(opening, "rad"),
        handle=_si(handle, "m"),
        count=int(count),
        friction=_si(friction, "N"),
        hinge_friction=_si(hinge_friction, "N*m"),
        hinge_hold=_si(hinge_hold, "N*m"),
        spring=_si(spring, "N*m"),
        spring_rate=_si(spring_rate, "N*m/rad"),
        scales=(min(states), max(states)),
        hand_limit=_si(hand_limit, "N"),
        shut_margin=_si(shut_margin, "N*m"),
        open_margin=_si(open_margin, "N*m"),
        lean=_si(lean, "rad", 0.0),
        wind=gust if wind is not None else -np.inf,
        rise_before=_si(rise_before, "rad"),
        fall_before=_si(fall_before, "rad"),
        mount_limit=_si(mount_limit, "N"),
    )
