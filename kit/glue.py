"""Glue: how much it takes, how many joints fit into its open time, and whether there are clamps enough.

    >>> lid = Joint(name="lid boards", length=Q(640, "mm"), width=Q(26, "mm"), count=8, faces="both")
    >>> needed = glue_coverage(joints=[lid], spread=Q(200, "g/m^2"))
    >>> print(f"{needed.mass:.0f~P} for {needed.joint_area:.3f~P}")
    61 g for 0.133 m²

Times and pressures of a glue stand on its label; the examples are for a
water-based one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import InputError, applies, calculator, result, row
from kit.checks import Check, at_least, at_most, open_check
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.timber import SPECIES, species

__all__ = ["GlueCoverage", "GlueUp", "Joint", "JointGlue", "glue_coverage", "glue_up"]

Exposure = Literal["dry indoors", "damp indoors", "outdoors under cover", "outdoors in the weather"]
Durability = Literal["D1", "D2", "D3", "D4", "none stated"]

_USUAL = read_facts("glue")
# The lowest durability class of EN 204 for each exposure; from memory, to be confirmed in the standard.
_CLASS = {"dry indoors": 1, "damp indoors": 2, "outdoors under cover": 3, "outdoors in the weather": 4}
# A whole number is whole when it is this near.
_NEAR = 1e-9


@row
class Joint:
    """Glue lines of one size."""

    name: Annotated[str, Text("joint", "lid boards edge to edge")]
    length: Annotated[Quantity, In("mm", "length of the glue line", 640, ge=1, le=50_000, resolution=1,
                                   basis="measured", find="rule; for finger joints, string laid in and out")]
    width: Annotated[Quantity, In("mm", "width of the glue line: thickness of the boards", 26, ge=0.5, le=5000,
                                  resolution=0.5, find="calipers", basis="measured")]
    count: Annotated[int, Count("glue lines of this size", 4, ge=0, le=5000)]
    faces: Annotated[Literal["one", "both"], Choice("faces that are spread", "both",
                                                    find="both for anything that must not fail")]


@result
class JointGlue:
    """Glue for one row of joints."""

    name: Annotated[str, Text("joint", "lid boards")]
    area: Annotated[Quantity, Out("m^2", "area of the glue lines, one face each", resolution=0.001)]
    mass: Annotated[Quantity, Out("g", "glue, without waste", resolution=0.1, rounding="up")]


@result
class GlueCoverage:
    """Glue for a set of joints."""

    joint_area: Annotated[Quantity, Out("m^2", "area of the glue lines, one face each", resolution=0.001)]
    spread_area: Annotated[Quantity, Out("m^2", "area to spread, both faces counted where both are", resolution=0.001)]
    mass: Annotated[Quantity, Out("g", "glue with waste", resolution=1, rounding="up")]
    volume: Annotated[Quantity, Out("mL", "glue with waste", resolution=1, rounding="up")]
    wet_film: Annotated[Quantity, Out("mm", "wet film on each face spread", resolution=0.01)]
    dry_film: Annotated[Quantity, Out("mm", "what is left of it when the water has gone", resolution=0.01)]
    bottles: Annotated[Quantity, Out("1", "bottles to buy", rounding="up")]
    by_joint: Annotated[tuple[JointGlue, ...], Rows("glue by joint")]
    durable: Annotated[Check, Asks("durability class of the glue for where it will stand", "EN-204")]
    notes: tuple[str, ...] = ()


@calculator("practice", "EN-204", "kit")
def glue_coverage(
    *,
    joints: Annotated[Sequence[Joint], Rows("joints", least=1)],
    by: Annotated[Literal["spread rate", "film thickness"], Choice(
        "how the amount of glue is known", "spread rate")] = "spread rate",
    spread: Annotated[Quantity | None, In(
        "g/m^2", "glue on each face spread", 200, ge=10, le=2000, everyday=(100, 400),
        find="weigh the bottle before and after one joint; the label gives a range", basis="data sheet")] = None,
    film: Annotated[Quantity | None, In(
        "mm", "thickness of the wet film on each face spread, or of the gap to fill", 0.15, ge=0.01, le=10,
        everyday=(0.05, 1), find="feeler gauge in the dry joint", basis="measured")] = None,
    density: Annotated[Quantity, In(
        "kg/m^3", "density of the liquid glue", 1100, ge=700, le=2000, everyday=(1000, 1300),
        find="10 mL in a syringe on the scale", basis="data sheet")] = Q(1100, "kg/m^3"),
    solids: Annotated[Quantity, In(
        "percent", "solid share of the glue by volume", 50, ge=1, le=100, find="data sheet", basis="data sheet")]
    = Q(50, "percent"),
    waste: Annotated[Quantity, In(
        "percent", "waste: squeeze-out, brush, bottle", 15, ge=0, le=200, basis="common practice")] = Q(15, "percent"),
    bottle: Annotated[Quantity, In(
        "g", "glue in one bottle", 250, ge=1, le=50_000, basis="data sheet",
        find="the label; a volume times the density", chosen=True)] = Q(250, "g"),
    durability: Annotated[Durability, Choice("durability class on the label", "D4", basis="data sheet")]
    = "none stated",
    exposure: Annotated[Exposure, Choice("where the joints will be", "outdoors in the weather")]
    = "outdoors in the weather",
) -> GlueCoverage:
    """Glue for rows of joints, by spread rate or by the thickness of the film.

    mass = sum(length * width * count * faces) * spread * (1 + waste), where the
    spread is film * density when the film is what is known.  End grain drinks
    more than this; count it twice.

    >>> gap = Joint(name="gap", length=Q(1, "m"), width=Q(500, "mm"), count=1, faces="one")
    >>> filled = glue_coverage(joints=[gap], by="film thickness", film=Q(0.15, "mm"), waste=Q(0, "percent"))
    >>> print(f"{filled.volume:.0f~P}")
    75 mL
    """
    rate = _rate(by, spread, film, density)
    areas = [(j.length * j.width * j.count).to("m^2") for j in joints]
    spread_areas = [area * (2 if j.faces == "both" else 1) for area, j in zip(areas, joints, strict=True)]
    spread_area = sum(spread_areas, Q(0, "m^2"))
    mass = (spread_area * rate * (1 + waste.m_as(""))).to("g")
    wet = (rate / density).to("mm")
    return GlueCoverage(
        joint_area=sum(areas, Q(0, "m^2")), spread_area=spread_area,
        mass=mass, volume=(mass / density).to("mL"),
        wet_film=wet, dry_film=wet * solids.m_as(""),
        bottles=Q(np.ceil((mass / bottle).m_as("") - _NEAR)),
        by_joint=tuple(
            JointGlue(name=j.name, area=area, mass=(faces * rate).to("g"))
            for j, area, faces in zip(joints, areas, spread_areas, strict=True)
        ),
        durable=_durable(durability, exposure),
    )


def _rate(by: str, spread: Quantity | None, film: Quantity | None, density: Quantity) -> Quantity:
    """Glue on a unit of spread area, by whichever of the two is known."""
    if by == "spread rate":
        if spread is None:
            why = "it is missing; the amount is to be worked out by spread rate, such as 200 g/m^2"
            raise InputError("glue_coverage", {"spread": why})
        return spread.to("g/m^2")
    if film is None:
        why = "it is missing; the amount is to be worked out by the thickness of the film, such as 0.15 mm"
        raise InputError("glue_coverage", {"film": why})
    return Q(film * density, "g/m^2")


def _durable(durability: str, exposure: str) -> Check:
    if durability == "none stated":
        return open_check("the label states no durability class; ask its maker whether the glue may be used there")
    return at_least(Q(float(durability[1])), Q(_CLASS[exposure]), share=False,
                    reason="what the classes D1 to D4 stand for is from memory: confirm it on the label")


@result
class GlueUp:
    """One glue-up: its clock and its clamps."""

    joints_per_go: Annotated[Quantity, Out("1", "most joints in one go within the planned time", rounding="down")]
    goes: Annotated[Quantity, Out("1", "goes needed for all joints, as planned", rounding="up")]
    time: Annotated[Quantity, Out("s", "from the first glue to the last clamp", rounding="up", resolution=1)]
    spare: Annotated[Quantity, Out("s", "open time left over", rounding="down", resolution=1)]
    per_metre: Annotated[Quantity, Out("s", "time for a joint of a metre", rounding="up", resolution=1)]
    area: Annotated[Quantity, Out("cm^2", "area of one joint", resolution=0.1)]
    force: Annotated[Quantity, Out("kN", "clamping force on one joint", rounding="up", resolution=0.1)]
    clamps_by_force: Annotated[Quantity, Out("1", "clamps needed for the force", rounding="up")]
    clamps_by_spread: Annotated[Quantity, Out("1", "clamps needed so that their pressure overlaps", rounding="up")]
    clamps_needed: Annotated[Quantity, Out("1", "clamps needed", rounding="up")]
    spacing: Annotated[Quantity, Out(
        "mm", "distance between clamps; the first at half of it", rounding="down", resolution=1)]
    widest_spacing: Annotated[Quantity, Out(
        "mm", "widest spacing whose pressure still overlaps", rounding="down", resolution=1)]
    pressure_reached: Annotated[Quantity, Out(
        "MPa", "pressure with every clamp there is, tightened fully", rounding="down", resolution=0.01)]
    caul_needed: Annotated[Quantity, Out("mm", "caul with which the clamps for the force are enough", rounding="up",
                                         resolution=1)]
    short: Annotated[str, Says("what the clamps there are will do")]
    in_time: Annotated[Check, Asks("last clamp on within the open time", "practice")]
    clamped: Annotated[Check, Asks("clamps for the joint", "practice")]
    warm: Annotated[Check, Asks("workshop warm enough for the glue", "practice")]
    notes: tuple[str, ...] = ()


@calculator("AC-43.13-1B", "practice", "kit")
def glue_up(
    *,
    joints: Annotated[int, Count("glue lines in the panel", 4, ge=1, le=500, find="boards less one")],
    at_once: Annotated[int, Count("glue lines you mean to close in one go", 4, ge=1, le=500, find="rehearse it dry")],
    joint_time: Annotated[Quantity, In(
        "s", "time to spread and close one joint", 40, ge=1, le=3600, basis="measured",
        find="time one joint in a dry run, with water for glue")],
    fixed_time: Annotated[Quantity, In(
        "s", "time for everything else: lining up, clamps", 90, ge=0, le=7200, basis="measured",
        find="time it in a dry run")],
    open_time: Annotated[Quantity, In(
        "min", "open time of the glue at the temperature of the workshop", 8, ge=0.5, le=240, everyday=(3, 60),
        find="smear some on an offcut and note when it strings; warm and dry air shortens it", basis="data sheet")],
    length: Annotated[Quantity, In("mm", "length of one joint", 640, ge=10, le=20_000, basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the boards", 26, ge=3, le=500, basis="measured")],
    board_width: Annotated[Quantity, In(
        "mm", "width of the narrowest outer board, from clamp pad to the first glue line", 110, ge=5, le=2000,
        basis="measured")],
    pressure: Annotated[Quantity, In(
        "MPa", "pressure the glue wants", 1.2, ge=0.01, le=5, everyday=(0.1, 2), basis="data sheet",
        find="label; water-based glue about 0.7 to 1.0 on softwood, 1.2 to 1.7 on hardwood; thick epoxy far less")],
    clamp_force: Annotated[Quantity, In(
        "kN", "force of one clamp", 4, ge=0.05, le=60, everyday=(0.5, 12), basis="measured",
        find="squeeze a bathroom scale between two blocks: 100 kg is about 1 kN")],
    clamps: Annotated[int, Count("clamps there are", 6, ge=0, le=500, find="count those that reach across")],
    timber: Annotated[str, species("species of the boards", "white oak")],
    workshop_temperature: Annotated[Quantity, In(
        "degC", "temperature in the workshop, wood and glue", 15, ge=-10, le=45, basis="measured",
        find="thermometer on the bench")],
    least_temperature: Annotated[Quantity, In(
        "degC", "least temperature the glue is made for", 10, ge=-10, le=40, basis="data sheet",
        find="the label; water-based glue turns to chalk below 5 to 10 degC")] = Q(10, "degC"),
    planned_share: Annotated[Quantity, In(
        "percent", "share of the open time to plan on", 80, ge=10, le=100, basis="common practice",
        find="the rest is for the clamp that slips", chosen=True)] = Q(80, "percent"),
    caul: Annotated[Quantity, In(
        "mm", "thickness of the strip under the clamp pads", 20, ge=0, le=300, basis="measured")] = Q(0, "mm"),
) -> GlueUp:
    """How many joints fit into the open time, and how many clamps one joint needs.

    time = fixed + joints * each; for a joint of another length each goes with
    the length.  Force = pressure * length * thickness, the same through every
    joint of a panel; clamps by force = ceil(force / force of one).  Pressure
    spreads at 45 degrees from each pad, so that pads may stand 2 * (board_width +
    caul) apart: clamps by spread = ceil(length / that).  The larger number is
    needed.  Friction and bowed boards are left out.

    >>> lid = glue_up(joints=4, at_once=4, joint_time=Q(40, "s"), fixed_time=Q(90, "s"), open_time=Q(8, "min"),
    ...               length=Q(640, "mm"), thickness=Q(26, "mm"), board_width=Q(110, "mm"), pressure=Q(1.2, "MPa"),
    ...               clamp_force=Q(4, "kN"), clamps=6, timber="white oak", workshop_temperature=Q(15, "degC"))
    >>> print(f"{lid.force:.1f~P}, {lid.clamps_needed.magnitude:.0f} clamps, {lid.time:.0f~P}")
    20.0 kN, 5 clamps, 250 s
    """
    _usual_pressure(timber, pressure)
    within = Q(np.floor(((planned_share * open_time - fixed_time) / joint_time).m_as("") + _NEAR))
    time = (fixed_time + np.minimum(at_once, joints) * joint_time).to("s")
    area = (length * thickness).to("cm^2")
    force = (pressure * area).to("kN")
    widest = (2 * (board_width + caul)).to("mm")
    by_force = _whole(force / clamp_force)
    by_spread = _whole(length / widest)
    needed = Q(np.maximum(by_force.magnitude, by_spread.magnitude))
    reached = (clamps * clamp_force / area).to("MPa")
    return GlueUp(
        joints_per_go=Q(np.clip(within.magnitude, 0, None)),
        goes=_whole(Q(joints / np.minimum(at_once, joints))),
        time=time, spare=(open_time - time).to("s"), per_metre=(joint_time / length.m_as("m")).to("s"),
        area=area, force=force, clamps_by_force=by_force, clamps_by_spread=by_spread, clamps_needed=needed,
        spacing=(length / needed).to("mm"), widest_spacing=widest, pressure_reached=reached,
        caul_needed=Q(np.maximum((length / by_force / 2 - board_width).m_as("mm"), 0.0), "mm"),
        short=_short(needed, clamps, reached, pressure),
        in_time=at_most(time, open_time.to("s")),
        clamped=at_least(Q(clamps), needed),
        warm=at_least(workshop_temperature, least_temperature, share=False),
    )


def _whole(share: Any) -> Quantity:
    """The next whole number of things, an exact fit needing no further one; at least one."""
    return Q(np.maximum(np.ceil(share.m_as("") - _NEAR), 1))


def _usual_pressure(timber: str, pressure: Quantity) -> None:
    group = SPECIES[timber].group
    if f"{group}-low" not in _USUAL:
        return
    low, high = (_USUAL[f"{group}-{end}"].q for end in ("low", "high"))
    applies((pressure >= low) & (pressure <= high),
            f"water-based glue on {group} usually wants {low.magnitude:g} to {high.magnitude:g} MPa (common practice)")


def _short(needed: Quantity, clamps: Any, reached: Quantity, pressure: Quantity) -> str:
    """In words, from the middle of the values when they are samples."""
    need, have = float(np.nanmean(needed.magnitude)), float(np.mean(clamps))
    if have >= need:
        return f"{need:.0f} of your {have:.0f} clamps do it."
    share = float(np.nanmean(np.asarray((reached / pressure).m_as(""))))
    if share >= 1:
        return (f"{have:.0f} clamps give the force, but they stand too far apart: the joint opens between them. "
                "Put a thick straight strip under the pads.")
    return (f"{have:.0f} clamps give {share:.0%} of the pressure: a thick glue line, weak and slow to dry. "
            "Borrow clamps, plane the edges to a closer fit, or glue a shorter panel.")
