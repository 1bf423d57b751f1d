"""What the hinges of a lid on gas struts have to hold, and what their screws can hold."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit import lid_swing, struts
from kit.calculator import applies, calculator, require, result
from kit.checks import Check, at_least, at_most
from kit.kinds import Asks, Choice, Count, In, Out, Says
from kit.lid_swing import GRAVITY, Swing, settled
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import Mounts, Strut, in_metres, nominal, nq, require_sense, swing, trimmed
from kit.withdrawal import reference_withdrawal
from kit.yield_limits import NORTH_AMERICAN_MODES, bending_yield, dowel_bearing, governing, least, yield_modes

__all__ = ["HingeLoad", "HingeScrews", "hinge_load", "hinge_screws"]

FACTS = read_facts("lids")
Leaf = Literal["flat on the rim", "upright on the back"]
Group = Literal["I", "II", "III", "IV"]
# What the yield modes are called where the piece under the head is a leaf of steel.
WORDS = {
    mode: words.replace("head-side wood", "leaf").replace("point-side wood", "timber")
    for mode, words in NORTH_AMERICAN_MODES.items()
}
# A force along the closed lid and square to it.
Pair = tuple[Quantity, Quantity]


@result
class HingeLoad:
    """The pull of the lid on its hinges through the swing, and on the screws of one leaf."""

    angle: Annotated[Quantity, Out("deg", "opening angle", resolution=0.1)]
    along: Annotated[Quantity, Out("N", "pull on all hinges along the closed lid (plus to the front)", over="angle")]
    lifting: Annotated[Quantity, Out("N", "pull on all hinges square to the closed lid (plus lifts)", over="angle")]
    together: Annotated[Quantity, Out("N", "pull on all hinges, both together", over="angle", rounding="up")]
    used: Annotated[Quantity, Out("1", "share of the screws' strength used", over="angle", rounding="up",
                                  resolution=0.01)]
    greatest: Annotated[Quantity, Out("N", "greatest pull on the hinges", rounding="up", resolution=1)]
    shut_along: Annotated[Quantity, Out("N", "pull along the closed lid, lid shut (plus to the front)", resolution=1)]
    shut_lifting: Annotated[Quantity, Out("N", "pull square to the closed lid, lid shut (plus lifts)", resolution=1)]
    racking: Annotated[Quantity, Out("N*m", "greatest couple of a strut off the middle", rounding="up", resolution=0.1)]
    racking_pair: Annotated[Quantity, Out("N", "what that couple adds at one end hinge and takes at the other",
                                          rounding="up", resolution=1)]
    mount_force: Annotated[Quantity, Out("N", "greatest push on either mount of a strut", rounding="up", resolution=1)]
    withdrawal: Annotated[Quantity, Out("N", "greatest pull on one screw, straight out", rounding="up", resolution=1)]
    shear: Annotated[Quantity, Out("N", "greatest load across one screw", rounding="up", resolution=1)]
    hinge_pitch: Annotated[Quantity, Out("mm", "distance between hinges", rounding="up", resolution=1)]
    hinges_needed: Annotated[Quantity, Out("1", "hinges needed by their distance", rounding="up", resolution=1)]
    hinges_as_a_door: Annotated[Quantity, Out("1", "hinges if it were a door", rounding="up", resolution=1)]
    direction: Annotated[str, Says("which way the lid pulls on its hinges, in words")]
    enough_hinges: Annotated[Check, Asks("hinges not too far apart", "memory")]
    screws_hold: Annotated[Check, Asks("screws of one leaf hold, pull and shear together", "civil-formulas")]


@calculator("kit", "civil-formulas", "nfpa-80", "den-hartog", "memory")
def hinge_load(
    *,
    mass: lid_swing.LidMass,
    centre: lid_swing.Centre,
    centre_above: lid_swing.CentreAbove = Q(0, "mm"),
    handle: lid_swing.Handle,
    fall: lid_swing.Fall = Q(0, "deg"),
    opening: struts.Opening,
    struts_fitted: struts.StrutCount = 1,
    force: struts.StrutForce,
    force_ratio: struts.StrutRatio = Q(1.25),
    extended: struts.Extended,
    stroke: struts.Stroke,
    law: Annotated[struts.Law, Choice("how its force rises: in a straight line, or as a closed gas does")] = "linear",
    friction: lid_swing.Friction = Q(10, "N"),
    spring: lid_swing.Spring = Q(0, "N*m"),
    spring_rate: lid_swing.SpringRate = Q(0, "N*m/deg"),
    rod: struts.StrutRod = None,
    lid_mount_along: struts.LidAlong,
    lid_mount_above: struts.LidAbove,
    body_mount_along: struts.BodyAlong,
    body_mount_above: struts.BodyAbove,
    hot: Annotated[Quantity, struts.strut_temperature("hottest strut in use", 45)],
    hinges: Annotated[int, Count("hinges", 2, ge=2, le=40)] = 2,
    spacing: Annotated[Quantity, In("mm", "distance between the two end hinges, middle to middle", 400, ge=20, le=5000,
                                    resolution=1, basis="measured", find="rule along the hinge edge")],
    width: lid_swing.Width,
    off_middle: Annotated[Quantity, In("mm", "struts' middle, off the middle of the lid's width", 220, ge=0, le=2500,
                                       out_by="5 mm",
                                       resolution=1, find="0 for a strut on either side")] = Q(0, "mm"),
    leaf: Annotated[Leaf, Choice("how the fixed leaf lies")] = "flat on the rim",
    screws: Annotated[int, Count("screws in each leaf", 3, ge=1, le=60)] = 3,
    knuckle: Annotated[Quantity, In("mm", "from the line of screws to the middle of the pin", 14, ge=0, le=100,
                                    basis="measured", find="calipers on the hinge")] = Q(14, "mm"),
    toe: Annotated[Quantity, In("mm", "from the line of screws to the far edge of the leaf", 8, ge=1, le=100,
                                basis="measured", find="calipers on the hinge")] = Q(8, "mm"),
    screw_withdrawal: Annotated[Quantity, In("N", "design load of one screw, straight out", 331, ge=1, le=20_000)],
    screw_shear: Annotated[Quantity, In("N", "design load of one screw, across it", 301, ge=1, le=20_000)],
    pitch: Annotated[Quantity, In("mm", "greatest distance between hinges", 600, ge=50, le=2000, chosen=True,
                                  basis="common practice")] = Q(600, "mm"),
) -> HingeLoad:
    """What hinges and their screws carry while a hand, or the seat, holds the lid at each angle.

    Pull on the hinges = struts + weight + hand, by the balance of forces, with
    the struts hot, new and being pushed in.  Any one hinge is taken to carry all
    of it, for how it is shared cannot be known; a strut off the middle adds its
    couple.  The leaf pries: tension = normal load (1 + knuckle/toe), reckoned
    whichever way the load points.  Pull and shear are added in a straight line.
    Left out: wind, people leaning on the open lid, a slam.

    >>> load = hinge_load(mass=Q(8.6, "kg"), centre=Q(315, "mm"), handle=Q(620, "mm"), fall=Q(2, "deg"),
    ...     opening=Q(80, "deg"), force=Q(150, "N"), extended=Q(365, "mm"), stroke=Q(150, "mm"),
    ...     lid_mount_along=Q(100, "mm"), lid_mount_above=Q(-30, "mm"), body_mount_along=Q(250, "mm"),
    ...     body_mount_above=Q(-200, "mm"), hot=Q(20, "degC"), friction=Q(0, "N"), spacing=Q(400, "mm"),
    ...     width=Q(550, "mm"), screw_withdrawal=Q(331, "N"), screw_shear=Q(301, "N"))
    >>> print(load.direction)
    with the lid shut it pulls the hinges up off the body with 81 N and pushes them back with 119 N
    """
    mounts = in_metres(Mounts(lid_mount_along, lid_mount_above, body_mount_along, body_mount_above))
    require_sense(mounts, opening, extended, stroke)
    strut = in_metres(Strut(force, force_ratio, extended, stroke, law, rod))
    lid = Swing(mass, centre.to("m"), centre_above.to("m"), fall, mounts, strut, struts_fitted, friction,
                (spring, spring_rate))
    angle = swing(opening, mass, centre, centre_above, handle, fall, struts_fitted, force, force_ratio, extended,
                  stroke, friction, rod, spring, spring_rate, *mounts.places(), hot, off_middle, spacing, knuckle, toe,
                  screws,
                  screw_withdrawal, screw_shear)
    push, along, lifting = _pulls(lid, angle, handle.to("m"), hot)
    lever, pry = (off_middle / spacing).m_as(""), (1 + knuckle / toe).m_as("")
    leaves = [_in_one_leaf(push, (along, lifting), turn, lever) for turn in (_upright(leaf), angle)]
    out, across = (np.maximum(*sides) / screws for sides in zip(*leaves, strict=True))
    share = np.max([
        pry * normal / screws / screw_withdrawal.m_as("N") + shear / screws / screw_shear.m_as("N")
        for normal, shear in leaves
    ], axis=0)
    together = nq.hypot(along, lifting)
    couple = nq.hypot(*push) * off_middle
    needed = Q(np.maximum(np.ceil((spacing / pitch).m_as("") - 1e-9) + 1, 2))
    apart = (spacing / (hinges - 1)).to("mm")
    first = [settled(Quantity(part.magnitude[0], part.units)) for part in (along, lifting)]
    return HingeLoad(
        **trimmed({"angle": angle, "along": along, "lifting": lifting, "together": together, "used": Q(share)}),
        greatest=_most(together), shut_along=first[0], shut_lifting=first[1],
        racking=_most(couple).to("N*m"), racking_pair=_most(couple / spacing).to("N"),
        mount_force=_most(nq.hypot(*push) / np.maximum(struts_fitted, 1)),
        withdrawal=_most(Q(pry * out, "N")), shear=_most(Q(across, "N")),
        hinges_needed=needed, hinges_as_a_door=_as_a_door(width), direction=_in_words(*map(nominal, first)),
        hinge_pitch=apart, enough_hinges=at_most(apart, pitch), screws_hold=at_most(_most(Q(share)), Q(1)),
    )


def _pulls(lid: Swing, angle: Quantity, handle: Quantity, hot: Quantity) -> tuple[Pair, Quantity, Quantity]:
    """The push of all struts, then the whole pull on the hinges, along and above in the closed lid's axes."""
    length, arm = lid.mounts.reach(angle)
    each = lid.strut.push(length, hot, 1.0) + lid.friction * np.sign(arm.magnitude)
    push_x, push_y = (lid.count * each * part for part in lid.mounts.toward_lid(angle))
    hand = ((lid.gravity(angle) - lid.helped(angle) - lid.count * each * arm) / handle).to("N")
    weight = (lid.mass * GRAVITY).to("N")
    along = push_x + weight * nq.sin(lid.fall) - hand * nq.sin(angle)
    lifting = push_y - weight * nq.cos(lid.fall) + hand * nq.cos(angle)
    return (push_x.to("N"), push_y.to("N")), along.to("N"), lifting.to("N")


def _upright(leaf: Leaf) -> Quantity:
    return Q(0 if leaf == "flat on the rim" else 90, "deg")


def _in_one_leaf(push: Pair, pull: Pair, turn: Quantity, lever: Any) -> tuple[Any, Any]:
    """What one hinge may get square to a leaf turned by `turn`, and in its plane, in newtons on plain arrays.

    All of the pull, or half of it and the couple of a strut off the middle,
    which comes and goes as a pair.
    """
    c, s = np.cos(turn.m_as("rad")), np.sin(turn.m_as("rad"))
    (push_x, push_y), (x, y) = ([part.m_as("N") for part in pair] for pair in (push, pull))
    parts = ((y * c - x * s, push_y * c - push_x * s), (x * c + y * s, push_x * c + push_y * s))
    normal, plane = (np.maximum(abs(whole), abs(whole) / 2 + lever * abs(strut)) for whole, strut in parts)
    return normal, plane


def _most(curve: Quantity) -> Quantity:
    return settled(Quantity(abs(curve.magnitude).max(axis=0), curve.units))


def _as_a_door(width: Quantity) -> Quantity:
    beyond = ((width - FACTS["door width"].q) / FACTS["door step"].q).m_as("")
    return Q(2 + np.ceil(np.maximum(beyond, 0) - 1e-9))


def _in_words(along: float, lifting: float) -> str:
    up = f"pulls the hinges up off the body with {lifting:.0f} N" if lifting > 0 else (
        f"presses the hinges down with {-lifting:.0f} N")
    to = "pulls them to the front" if along > 0 else "pushes them back"
    return f"with the lid shut it {up} and {to} with {abs(along):.0f} N"


@result
class HingeScrews:
    """What one screw of a hinge may be loaded with."""

    withdrawal: Annotated[Quantity, Out("N", "design load straight out of side grain", rounding="down", resolution=1)]
    lateral: Annotated[Quantity, Out("N", "design load across it", rounding="down", resolution=1)]
    withdrawal_dry: Annotated[Quantity, Out("N", "reference load straight out, timber dry", rounding="down",
                                            resolution=1)]
    lateral_dry: Annotated[Quantity, Out("N", "reference load across, timber dry", rounding="down", resolution=1)]
    lateral_by_the_older_rule: Annotated[Quantity, Out("N", "load across by the older rule, timber dry, to compare",
                                                       resolution=1, absent="species group not given")]
    governed_by: Annotated[str, Says("what gives way first across the screw")]
    deep_enough: Annotated[Check, Asks("screw deep enough for its load across", "memory")]


@calculator("NDS-2018", "civil-formulas", "memory")
def hinge_screws(
    *,
    diameter: Annotated[Quantity, In("mm", "diameter of the screw as sold", 4.2, ge=2, le=8, basis="measured",
                                     find="calipers over the thread; No. 8 is 4.17 mm, No. 10 is 4.83 mm")],
    thread: Annotated[Quantity, In("mm", "thread that holds in the timber", 30, ge=5, le=120,
                                   find="screw length less leaf and plain shank, at most two thirds of the screw")],
    leaf_thickness: Annotated[Quantity, In("mm", "thickness of the hinge leaf", 2, ge=0.8, le=10, basis="measured",
                                           find="calipers")] = Q(2, "mm"),
    specific_gravity: Annotated[Quantity, In("", "specific gravity of the timber, oven-dry", 0.45, ge=0.28, le=0.9)],
    service: Annotated[Literal["dry", "wet"], Choice("timber in service: wet is above 19 % of dry mass")] = "wet",
    root: Annotated[Quantity | None, In("mm", "diameter at the root of the thread", 3.3, ge=1, le=7, basis="measured",
                                        find="calipers between the threads; left out: 0.8 of the diameter")] = None,
    group: Annotated[Group | None, Choice("species group of the older rule: I ash, beech, oak; II Douglas fir, larch; "
                                          "III redwood; IV cedar, spruce")] = None,
) -> HingeScrews:
    """Design loads of one wood screw through a steel leaf into side grain, normal duration of load.

    Straight out: 2850 psi x G^2 x diameter x thread.  Across: the least of six
    yield modes, with the leaf as the piece under the head.  The older rule, a
    constant of the species group x diameter^2, stands beside it.  Never counts
    in end grain or in the edge of board materials.

    >>> screw = hinge_screws(diameter=Q(0.164, "in"), thread=Q(30, "mm"), specific_gravity=Q(0.45),
    ...                      service="dry")
    >>> print(f"{screw.withdrawal.m_as('N'):.0f} N out, {screw.lateral.m_as('N'):.0f} N across")
    497 N out, 393 N across
    """
    root = FACTS["root"].q * diameter if root is None else root
    require(root < diameter, "the root must be thinner than the screw, such as 3.3 mm for 4.2 mm", "root", "diameter")
    withdrawal, _ = reference_withdrawal("wood screw", diameter, thread, specific_gravity, False)
    across = Q(90, "deg")
    # Half of a tip two diameters long does not bear, and something always does.
    bears = Q(np.maximum((thread - root).m_as("mm"), 0.1), "mm")
    modes = yield_modes(root, diameter, across, side=(leaf_thickness, FACTS["leaf bearing"].q),
                        main=(bears, dowel_bearing(specific_gravity, diameter, across)),
                        bending=bending_yield(diameter))
    lateral = least(modes)
    share = FACTS["wet"].q if service == "wet" else Q(1)
    older = Q(np.nan, "N") if group is None else (FACTS[f"lateral {group}"].q * diameter**2).to("N")
    applies(group is None or thread >= FACTS["depth"].q * diameter,
            "shallower than seven diameters: the older rule gives too much")
    return HingeScrews(
        withdrawal=Q(withdrawal, "N") * share, lateral=lateral * share, withdrawal_dry=Q(withdrawal, "N"),
        lateral_dry=lateral, lateral_by_the_older_rule=older, governed_by=governing(modes, WORDS),
        deep_enough=at_least(thread.to("mm"), (6 * diameter).to("mm"), share=False),
    )
