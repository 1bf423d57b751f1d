"""How a raft lies by its own weight: draft, freeboard, list, trim and stiffness."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.floats import FloatBody, check_floats
from kit.handed import along
from kit.kinds import Asks, In, Out, Rows, Says, Text, YesNo
from kit.loading import corners, judged, nominal, raft_of, si, tops
from kit.quantities import Q, Quantity
from kit.spacing_of_floats import gaps, half_sizes

__all__ = ["Afloat", "Outline", "afloat"]

_NO_REST = "it does not come to rest"


@result
class Outline:
    """The box around a float, for drawings."""

    name: Annotated[str, Text("float", "port outer")]
    shape: Annotated[str, Says("round tube or box")]
    x_low: Annotated[Quantity, Out("m", "its end towards the other end")]
    x_high: Annotated[Quantity, Out("m", "its end towards the named end")]
    y_low: Annotated[Quantity, Out("m", "its left side")]
    y_high: Annotated[Quantity, Out("m", "its right side")]
    z_low: Annotated[Quantity, Out("m", "its underside")]
    z_high: Annotated[Quantity, Out("m", "its top")]


@result
class Afloat:
    """How the raft lies by its own weight."""

    draft: Annotated[Quantity, Out("mm", "draft of the floats at the middle", rounding="up", absent=_NO_REST)]
    waterline: Annotated[Quantity, Out("m", "z of the water at the middle", absent=_NO_REST)]
    deck_edge: Annotated[Quantity, Out("mm", "least deck edge above water", rounding="down", absent=_NO_REST)]
    end_right: Annotated[Quantity, Out("mm", "named end, right: deck above water", rounding="down", absent=_NO_REST)]
    end_left: Annotated[Quantity, Out("mm", "named end, left: deck above water", rounding="down", absent=_NO_REST)]
    other_right: Annotated[Quantity, Out("mm", "other end, right: deck above water", rounding="down", absent=_NO_REST)]
    other_left: Annotated[Quantity, Out("mm", "other end, left: deck above water", rounding="down", absent=_NO_REST)]
    float_top: Annotated[Quantity, Out("mm", "least float top above water", rounding="down", absent=_NO_REST)]
    trim: Annotated[Quantity, Out("deg", "trim, named end down", resolution=0.01, absent=_NO_REST)]
    list: Annotated[Quantity, Out("deg", "list, right side down", resolution=0.01, absent=_NO_REST)]
    lies: Annotated[str, Says("how it lies, in words")]
    lift: Annotated[Quantity, Out("kg", "mass of water that the floats displace at most", rounding="down")]
    reserve: Annotated[Quantity, Out("kg", "lift left over", rounding="down")]
    reserve_of_mass: Annotated[Quantity, Out("percent", "lift left over, share of the mass", rounding="down")]
    reserve_of_lift: Annotated[Quantity, Out("percent", "lift left over, share of the whole lift", rounding="down")]
    buoyancy: Annotated[Quantity, Out("m", "height of the centre of buoyancy above the floats' undersides (KB)",
                                      absent=_NO_REST)]
    radius_x: Annotated[Quantity, Out("m", "metacentre above the centre of buoyancy, lengthwise (BM)", absent=_NO_REST)]
    radius_y: Annotated[Quantity, Out("m", "metacentre above the centre of buoyancy, across (BM)", absent=_NO_REST)]
    stiffness_x: Annotated[Quantity, Out("m", "metacentric height lengthwise (GM)", rounding="down", absent=_NO_REST)]
    stiffness_y: Annotated[Quantity, Out("m", "metacentric height across (GM)", rounding="down", absent=_NO_REST)]
    sinkage: Annotated[Quantity, Out("kg/m", "load that sinks it by a length", absent=_NO_REST)]
    floats_gap: Annotated[Quantity, Out("mm", "least gap between two floats", absent="there is one float")]
    outlines: Annotated[tuple[Outline, ...], Rows("floats in plan and section")]
    carried: Annotated[Check, Asks("the floats carry it", "archimedes", hazard=True)]
    comes_to_rest: Annotated[Check, Asks("it comes to rest upright", "archimedes", hazard=True)]
    level: Annotated[Check, Asks("it lies level", "level-pack")]
    dry_deck: Annotated[Check, Asks("deck edge is as high above water as wanted", "practice")]
    no_overlap: Annotated[Check, Asks("no two floats are in the same place", "kit")]
    no_head_trap: Annotated[Check, Asks("no gap between floats can hold a head", "cpsc-325", hazard=True)]


@calculator("archimedes", "level-pack", "cpsc-325")
def afloat(
    *,
    mass: Annotated[Quantity, In("kg", "whole mass", 703.6, ge=1, le=1e6, find="weigh every part")],
    x: Annotated[Quantity, along("x of the centre of gravity")],
    y: Annotated[Quantity, along("y of the centre of gravity")],
    z: Annotated[Quantity, along("z of the centre of gravity", -0.02)],
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100, basis="measured")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100, basis="measured")],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    end: Annotated[str, Text("the end that x points to", "ladder end", longest=30)] = "named end",
    wanted: Annotated[Quantity, In("m", "deck edge above water that is wanted, unloaded", 0.3, ge=0, le=5)] = Q(
        0.3, "m"),
    level_within: Annotated[Quantity, In(
        "deg", "list or trim that passes for level", 0.597, ge=0.05, le=5, resolution=0.01)] = Q(0.597, "deg"),
    gaps_closed: Annotated[bool, YesNo("are the gaps between the floats closed to swimmers (mesh or boards)")] = False,
) -> Afloat:
    """Draft, freeboard, list, trim and stiffness in still water, found in one equilibrium of sinkage, heel and trim.

    Mass equals displaced water and the centre of gravity stands over that of
    the displaced water; round tubes are segments of circles, not boxes.  Only
    the floats displace water: deck and frame do not, even where they dip.

    >>> tubes = [FloatBody(name=f"tube {n}", diameter=Q(500, "mm"), length=Q(3, "m"), y=Q(y, "m"), z=Q(-0.26, "m"),
    ...          mass_per_metre=Q(22.25, "kg/m")) for n, y in enumerate((-0.85, -0.325, 0.325, 0.85))]
    >>> lies = afloat(mass=Q(703.6, "kg"), x=Q(0, "m"), y=Q(0, "m"), z=Q(-0.02, "m"), floats=tubes,
    ...     density=Q(999.7, "kg/m^3"), deck_length=Q(3, "m"), deck_width=Q(2.2, "m"), deck_top=Q(0.148, "m"))
    >>> print(f"{lies.draft:.3f~P}, {lies.lies}")
    0.170 m, level lengthwise, level across
    """
    check_floats(floats)
    raft = raft_of(floats, density, mass, x, y, z, deck_length, deck_width, deck_top, wanted, level_within)
    lies = raft.rest([si(mass, "kg"), si(x, "m"), si(y, "m"), si(z, "m")])
    one = lies.reshaped((raft.samples,))
    edges = np.stack([one.above_water(*corner) for corner in corners(deck_length, deck_width, deck_top)])
    underside = raft.bodies.reach[0]
    lift = (raft.density * raft.bodies.volumes.sum(axis=0))
    out = raft.out
    edge = out(edges.min(axis=0), "m")
    trim, heel = out(np.degrees(one.trim), "deg"), out(np.degrees(one.heel), "deg")
    between, trapped = gaps(floats)
    slope = out(np.degrees(np.maximum(np.abs(one.trim), np.abs(one.heel))), "deg")
    carried = out(np.broadcast_to(lift, (raft.samples,)), "kg")

    def when_at_rest(compare: Any) -> Check:
        return judged(raft, lies, ("unloaded",), compare)

    return Afloat(
        draft=out(one.depth / one.up_z - underside, "m"), waterline=out(one.depth / one.up_z, "m"), deck_edge=edge,
        end_right=out(edges[0], "m"), end_left=out(edges[1], "m"), other_right=out(edges[2], "m"),
        other_left=out(edges[3], "m"), float_top=out(tops(raft, one), "m"), trim=trim, list=heel,
        lies=_in_words(trim, heel, deck_length, deck_width, end),
        lift=carried, reserve=carried - mass, reserve_of_mass=((carried - mass) / mass).to("percent"),
        reserve_of_lift=((carried - mass) / carried).to("percent"), buoyancy=out(one.buoyancy_z - underside, "m"),
        radius_x=out(one.metacentric_x + one.height_g, "m"), radius_y=out(one.metacentric_y + one.height_g, "m"),
        stiffness_x=out(one.metacentric_x, "m"), stiffness_y=out(one.metacentric_y, "m"),
        sinkage=out(one.waterplane * raft.density, "kg/m"), floats_gap=between,
        outlines=tuple(_outline(one) for one in floats), carried=at_most(mass, carried),
        comes_to_rest=when_at_rest(lambda: at_least(out(one.metacentric_least, "m"), Q(0, "m"))),
        level=when_at_rest(lambda: at_most(slope, level_within)),
        dry_deck=when_at_rest(lambda: at_least(edge, wanted)),
        no_overlap=at_least(between, Q(0, "mm"), share=False) if len(floats) > 1 else does_not_apply("one float"),
        no_head_trap=_head_trap(floats, trapped, gaps_closed),
    )


def _outline(one: FloatBody) -> Outline:
    half = half_sizes(one)
    box = {f"{axis}_{side}": getattr(one, axis) + sign * size for axis, size in zip("xyz", half, strict=True)
           for side, sign in (("low", -1), ("high", 1))}
    return Outline(name=one.name, shape=one.shape, **box)


def _head_trap(floats: Sequence[FloatBody], trapped: Quantity, closed: bool) -> Check:
    if closed:
        return does_not_apply("the gaps are closed to swimmers")
    if len(floats) < 2:
        return does_not_apply("there is one float")
    why = "a gap from 89 to 229 mm lets a body through and holds a head"
    return at_most(trapped, Q(0, "mm"), share=False, reason=why)


def _in_words(trim: Quantity, heel: Quantity, length: Quantity, width: Quantity, end: str) -> str:
    """Trim and list as a builder sees them; of samples, their mean."""
    return (
        f"{_lean(nominal(trim, 'deg'), nominal(length, 'm'), (f'{end} down', 'other end down'), 'lengthwise')}, "
        f"{_lean(nominal(heel, 'deg'), nominal(width, 'm'), ('right side down', 'left side down'), 'across')}"
    )


def _lean(angle: float, over: float, sides: tuple[str, str], way: str) -> str:
    if not np.isfinite(angle):
        return f"no rest {way}"
    drop = over * float(np.tan(np.radians(angle))) * 1000
    if abs(drop) < 0.5:
        return f"level {way}"
    return f"{sides[0] if drop > 0 else sides[1]} {abs(drop):.0f} mm over {over:.1f} m"
