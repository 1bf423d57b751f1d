"""Stage 05: the lid, its struts and its hinges."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from kit.handed import Hazard, Part, Purchase, Task, along
from kit.hinge_line import (
    ContinuousHinge,
    HingeLine,
    HingeMetals,
    continuous_hinge,
    hinge_line,
    hinge_metals,
)
from kit.hinges import HingeLoad, HingeScrews, hinge_load, hinge_screws
from kit.kinds import Count, In
from kit.lid_again import LidAgain, lid_again
from kit.lid_motion import LidMotion, lid_motion
from kit.lid_rain import MeetingEdge, RainOff, RimSeal, meeting_edge, rain_off, rim_seal
from kit.lid_statics import LidSlam, lid_slam
from kit.lid_weight import LidWeight, lid_weight
from kit.lids import StrutBalance, strut_balance
from kit.lockers import WayOut, way_out
from kit.mount_rows import MountSearch
from kit.mount_search import mount_search
from kit.mounts import StrutMounts, StrutTravel, strut_mounts, strut_travel
from kit.open_stay import OpenStay, open_stay
from kit.quantities import Q, Quantity
from kit.stage import closer, pencil, run, stage, take

__all__ = ["lids"]


def same(*names: str) -> dict[str, str]:
    """Inputs that other calculators of this stage share with the balance, where they are entered once."""
    return {name: f"lids.balance.{name}" for name in names}


LID_MOUNT = same("opening", "lid_mount_along", "lid_mount_above")
STRUT = LID_MOUNT | same("body_mount_along", "body_mount_above", "extended", "stroke", "centre", "centre_above")
TRAVEL = STRUT | same("depth", "struts_fitted")
SLAM = same("mass", "depth", "opening")
SPRINGS = same("spring", "spring_rate")
LID = STRUT | SPRINGS | same(
    "mass", "handle", "fall", "struts_fitted", "force", "force_ratio", "law", "friction", "rod", "hot")
SIZE = same("width", "depth")
STATES = same("worn", "cold", "hinge_friction")
AGAIN = LID | STATES | same("hinge_hold", "hand_limit", "lean")
MOTION = {name: path for name, path in (LID | STATES | same("depth")).items() if name != "handle"}
STAY = SIZE | same("mass", "centre", "centre_above", "fall", "opening", "lean", "wind") | {
    "strut_least": "lids.balance.strut_open", "strut_most": "lids.balance.strut_open_most"}
SEARCH = SIZE | SPRINGS | STATES | same(
    "mass", "centre", "centre_above", "handle", "fall", "opening", "struts_fitted", "law", "friction", "hot",
    "hinge_hold", "hand_limit", "shut_margin", "open_margin", "lean", "wind")
MOVES = {"swells": "panels.swelling.change", "shrinks": "panels.shrinking.change", "width": "lids.balance.width"}


def price(meaning: str, example: float) -> In:
    """What one pack costs."""
    return In("money", meaning, example, ge=0, le=1e5, resolution=0.01, find="ask the shop")


def hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=2000)


@stage(
    "lids", "05", "Lids",
    settles="Which strut to order and where to drill for it; that the lid stays shut, opens lightly and stays open, "
            "cold and worn, hot and new, and leaning; what the hinges and their screws have to hold.",
    first_look=("balance.force", "balance.opening", "balance.lid_mount_along", "balance.lid_mount_above",
                "balance.body_mount_along", "balance.body_mount_above"),
    have_at_hand=("the lid itself, or its mass and where it balances", "a bathroom scale and a spring balance",
                  "the strut's length and stroke, and the force printed on it", "a rule and a bevel gauge"),
    mistakes=(
        "Looking at the strut's length only with the lid shut and open: over a dead centre it gets shorter in between.",
        "Weighing the lid before its battens, handle, seal and latch are on.",
        "Forgetting a cold morning in the fifth year: from 20 to -10 degC a strut loses a tenth of its force, and more "
        "with age.",
        "Counting two struts as one, or the other way round.",
        "Letting the strut be the stop, or fitting it rod upwards: its eye tears out, or its seal runs dry.",
        "Forgetting the hinges: a strut pushes the lid off its hinge with far more than the lid weighs.",
    ),
)
def lids(
    *,
    weight: LidWeight = run(
        lid_weight, panel="panels.lid.mass", panel_wet="panels.lid.wet_mass", panel_centre="panels.lid.centre",
        depth="panels.lid.depth", width="panels.lid.width"),
    balance: StrutBalance = run(
        strut_balance, mass="lids.weight.mass", centre="lids.weight.centre", centre_above="lids.weight.centre_above",
        depth="panels.lid.depth", width="panels.lid.width", cold="brief.cold", hot="brief.lid_steel",
        wind="brief.lid_wind",
        lean=pencil("raft.crowd.tilt", within=Q(1, "deg"))),
    travel: StrutTravel = run(strut_travel, **TRAVEL),
    places: StrutMounts = run(
        strut_mounts, **LID_MOUNT, shut_length="lids.travel.shut_length", open_length="lids.travel.open_length"),
    leaning_and_wet: LidAgain = run(
        lid_again, wet_mass="lids.weight.wet_mass", snow="lids.weight.snow_mass", snow_centre="lids.weight.snow_centre",
        **AGAIN),
    held_open: OpenStay = run(open_stay, **STAY),
    screws: HingeScrews = run(hinge_screws),
    hinges: HingeLoad = run(
        hinge_load, screw_withdrawal="lids.screws.withdrawal", screw_shear="lids.screws.lateral",
        width="lids.balance.width", **LID),
    hinge_line: HingeLine = run(
        hinge_line, hinges="lids.hinges.hinges", spacing="lids.hinges.spacing", **MOVES),
    hinge_metals: HingeMetals = run(hinge_metals),
    continuous_hinge: ContinuousHinge = run(
        continuous_hinge, pull="lids.hinges.greatest", racking="lids.hinges.racking", knuckle="lids.hinges.knuckle",
        toe="lids.hinges.toe", screw_withdrawal="lids.screws.withdrawal", screw_shear="lids.screws.lateral"),
    slam: LidSlam = run(lid_slam, **SLAM),
    rain: RainOff = run(rain_off, fall="lids.balance.fall", **SIZE),
    meeting_edge: MeetingEdge = run(meeting_edge, neighbour="panels.top.width", **MOVES),
    rim_seal: RimSeal = run(rim_seal, shut="lids.balance.shut", **SIZE),
    mounts: MountSearch = closer(mount_search, **SEARCH),
    let_go: LidMotion = closer(lid_motion, **MOTION),
    locker: WayOut = run(way_out, children="brief.children", lid_force="lids.balance.hand_open"),
    struts_fitted: Any = take("lids.balance.struts_fitted"),
    hinges_fitted: Any = take("lids.hinges.hinges"),
    kind_of_hinge: Any = take("lids.continuous_hinge.fitted"),
    strip: Any = take("lids.rim_seal.strip"),
    holder: Any = take("lids.held_open.kind"),
    lids_fitted: Annotated[int, Count("lids", 2, ge=1, le=100)] = 1,
    fittings_mass: Annotated[Quantity, In("kg", "hinges, struts and latches together", 3.5, ge=0, le=500,
                                          find="kitchen scale, all in a bucket")],
    fittings_x: Annotated[Quantity, along("x of their middle, towards the named end")] = Q(0, "m"),
    fittings_y: Annotated[Quantity, along("y of their middle, to the right", -0.25)] = Q(0, "m"),
    fittings_z: Annotated[Quantity, along("z of their middle, up from the underside of the frame", 0.531)],
    hinge_price: Annotated[Quantity, price("price of one hinge", 14)] = Q(0, "money"),
    strut_price: Annotated[Quantity, price("price of one strut", 18)] = Q(0, "money"),
    latch_price: Annotated[Quantity, price("price of one latch", 15)] = Q(0, "money"),
    seal_price: Annotated[Quantity, price("price of one roll of seal", 18)] = Q(0, "money"),
    stay_price: Annotated[Quantity, price("price of one chain or cord with its fittings", 8)] = Q(0, "money"),
    seal_roll: Annotated[Quantity, In("m", "length of seal on a roll", 5, ge=0.5, le=200)] = Q(5, "m"),
    quick: Annotated[Quantity, hours("hours if all goes well", 5)] = Q(5, "h"),
    likely: Annotated[Quantity, hours("most likely hours", 8)] = Q(8, "h"),
    slow: Annotated[Quantity, hours("hours if much goes wrong", 14)] = Q(14, "h"),
) -> Iterator[Part | Purchase | Task | Hazard]:
    """Fittings to the mass list; hinges, struts, latches and seal to the buy list."""
    yield Part(name="hinges, struts, latches", mass=fittings_mass, x=fittings_x, y=fittings_y, z=fittings_z)
    each = 1 if kind_of_hinge == "continuous hinge" else hinges_fitted
    yield Purchase(name="hinges", needed=Q(lids_fitted * each), price=hinge_price, shop="ironmonger")
    yield Purchase(name="gas struts", needed=Q(lids_fitted * struts_fitted), price=strut_price, shop="strut maker",
                   size="see length, stroke and force in stage 05", wait=Q(7, "d"))
    yield Purchase(name="latches", needed=Q(lids_fitted), price=latch_price, shop="ironmonger")
    yield Purchase(name="seal", needed=lids_fitted * strip, pack=seal_roll, price=seal_price,
                   shop="ironmonger")
    if holder == "chain or cord":
        yield Purchase(name="stay chains", needed=Q(lids_fitted), price=stay_price, shop="ironmonger")
    yield Task(name="hang lids, fit struts and latches", quick=quick, likely=likely, slow=slow,
               after="panels: make lids, top and carcass; finish: sand, coat and seal")
    yield Hazard(
        text="A child can climb in and be shut in: cut two vents of at least 650 mm2 that are 150 mm apart, "
             "and fit no latch that locks by itself or needs more than 50 N from inside.", cites="toy-box", at="locker")
    yield Hazard(
        text="A lid that slips comes down on heads and hands: set a prop or stay before anybody reaches in, and when "
             "a strut is off.", cites="practice", at="every opening")
    yield Hazard(
        text="A strut stays charged for life: do not open, drill, heat or grind it. Fit it rod down with the lid shut, "
             "and undo a mount only with the lid propped where the strut is fully out.", cites="practice",
        at="fitting the struts")
    yield Hazard(
        text="Fingers are crushed between lid, strut and rim: keep hands off moving mounts, and leave a gap or a "
             "soft seal at the rim.", cites="practice", at="fitting the struts")
