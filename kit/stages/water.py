"""Stage 09: a small pump, its outlets, frost, and whether its water is fit to stand under."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from kit.draining import Draining, Frost, draining, frost
from kit.drip import DripLine, drip_line
from kit.handed import Hazard, Load, Part, Purchase, Task, along
from kit.held_column import HeldColumn, held_column
from kit.hose_choices import HoseChoices, hose_choices
from kit.kinds import Count, In
from kit.outlets import OutletFlows, outlet_flows
from kit.pump import PumpCurve, pump_curve
from kit.quantities import Q, Quantity
from kit.stage import closer, pencil, run, stage, take
from kit.standing_water import ShowerWater, shower_water
from kit.suction import Suction, suction
from kit.tank_time import FillAndEmpty, fill_and_empty
from kit.water_use import WaterUse, water_use

__all__ = ["water"]

# Where every calculator of this stage finds the water it works with.
_LAKE = {"density": "brief.water.density", "temperature": "brief.water.temperature"}
_CURVE = {
    "shut_off_head": "water.pump.shut_off_head", "open_flow": "water.pump.open_flow", "points": "water.pump.points",
    "speed": "water.pump.speed",
}
_OUTLETS = {
    name: f"water.outlets.{name}"
    for name in (
        "outlets", "deck", "shared_length", "strainer", "shared_loss", "fittings", "stopped", "use", "roughness")
}
_STRAINER = {name: f"water.outlets.{name}" for name in ("deck", "strainer", "stopped", "roughness")}


def price(meaning: str, example: float) -> In:
    """What one pack costs."""
    return In("money", meaning, example, ge=0, le=1e5, resolution=0.01, find="ask the shop")


def hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=2000)


def mass(meaning: str, example: float) -> In:
    """A mass that is weighed."""
    return In("kg", meaning, example, ge=0, le=1000, resolution=0.1, find="kitchen scale, all in a bucket")


@stage(
    "water", "09", "Water",
    settles="What comes out of each outlet, one valve open or all, clean or half stopped up; that the pump draws and "
            "primes; what it takes from the battery; what frost does; and whether the water is fit to stand under.",
    first_look=("pump.shut_off_head", "pump.open_flow", "outlets.deck", "outlets.outlets", "suction.pump_height",
                "outlets.use"),
    have_at_hand=("a bucket, a watch and the pump", "the drill shank that just fits each bore and hole",
                  "a string along each pipe", "the height of each outlet above the water"),
    mistakes=(
        "Taking the greatest head and the greatest flow on the label together: they are the two ends of one curve.",
        "Measuring lift from the pump: it counts from the water's surface to the mouth of the outlet.",
        "Taking the outside of a hose for its bore: a tenth less bore costs two thirds more head.",
        "Reckoning with a clean strainer: weed can stop up half of it in a week.",
        "A servo valve on a small pump: without its least pressure it never opens.",
        "A pump that is said to lift seven metres, set seven metres up: filled it may, dry it will not prime.",
    ),
)
def water(
    *,
    pump: PumpCurve = run(
        pump_curve, density="brief.water.density", volts=pencil("wiring.cables.motor_volts", within=Q(0.3, "V"))),
    outlets: OutletFlows = run(
        outlet_flows, **_CURVE, **_LAKE, deck=pencil("raft.afloat.deck_edge", within=Q(50, "mm"))),
    suction: Suction = run(
        suction, **_STRAINER, bore="water.outlets.shared_bore", flow="water.outlets.most_flow",
        temperature="water.shower.warmest", altitude="brief.altitude", density="brief.water.density",
        lean="raft.crowd.tilt"),
    energy: WaterUse = run(
        water_use, season_open="water.outlets.season_open", winter_open="water.outlets.winter_open",
        season_valves="water.outlets.season_valves", winter_valves="water.outlets.winter_valves",
        work="water.outlets.season_lifted"),
    shower: ShowerWater = run(
        shower_water, finest="water.outlets.finest", volume="water.draining.volume", flow="water.outlets.least_flow"),
    frost: Frost = run(frost, months="brief.year.months", cold="brief.cold"),
    draining: Draining = run(draining, lean="raft.afloat.level_within", density="brief.water.density"),
    held_column: HeldColumn = run(
        held_column, height="water.outlets.highest", filled_at="brief.water.temperature", altitude="brief.altitude",
        low_weather="water.suction.low_weather", density="brief.water.density"),
    bucket: FillAndEmpty = run(fill_and_empty, flow="water.outlets.least_flow"),
    drip_line: DripLine = run(drip_line, **_LAKE),
    hoses: HoseChoices = closer(hose_choices, **_CURVE, **_LAKE, **_OUTLETS),
    power: Any = take("water.energy.power"),
    coil: Any = take("water.energy.coil"),
    together: Any = take("water.outlets.open_together"),
    dry_mass: Annotated[Quantity, mass("pump, valves and pipes, empty", 3.7)],
    x: Annotated[Quantity, along("x of their middle, towards the named end", 0.55)] = Q(0, "m"),
    y: Annotated[Quantity, along("y of their middle, to the right", -0.15)] = Q(0, "m"),
    z: Annotated[Quantity, along("z of their middle, up from the underside of the frame", 0.278)] = Q(0.3, "m"),
    post_mass: Annotated[Quantity, mass("post that an outlet hangs on", 3)] = Q(0, "kg"),
    post_x: Annotated[Quantity, along("x of the post's middle, towards the named end", 0.95)] = Q(0, "m"),
    post_y: Annotated[Quantity, along("y of the post's middle, to the right", -0.2)] = Q(0, "m"),
    post_z: Annotated[Quantity, along("z of the post's middle, up from the frame's underside", 0.678)] = Q(0.7, "m"),
    pump_price: Annotated[Quantity, price("price of the pump", 62)] = Q(0, "money"),
    valves: Annotated[int, Count("valves", 2, ge=0, le=50)] = 1,
    valve_price: Annotated[Quantity, price("price of one valve", 19)] = Q(0, "money"),
    hose_spare: Annotated[Quantity, In("percent", "pipe bought besides", 10, ge=0, le=100, basis="common practice")]
    = Q(10, "percent"),
    hose_pack: Annotated[Quantity, In("m", "pipe on one roll", 6, chosen=True,
                                      ge=0.5, le=200, basis="data sheet")] = Q(5, "m"),
    hose_price: Annotated[Quantity, price("price of one roll with its fittings", 54)] = Q(0, "money"),
    strainer_price: Annotated[Quantity, price("price of the strainer", 14)] = Q(0, "money"),
    shower_price: Annotated[Quantity, price("price of shower and post", 22)] = Q(0, "money"),
    quick: Annotated[Quantity, hours("hours if all goes well", 5)] = Q(5, "h"),
    likely: Annotated[Quantity, hours("most likely hours", 8)] = Q(8, "h"),
    slow: Annotated[Quantity, hours("hours if much goes wrong", 13)] = Q(13, "h"),
) -> Iterator[Part | Purchase | Task | Hazard | Load]:
    """Pump, pipes with their water, and post to the mass list; what they draw to the battery; what to buy."""
    yield Part(name="pump, pipes, water", mass=dry_mass + draining.mass, x=x, y=y, z=z)
    yield Part(name="shower post", mass=post_mass, x=post_x, y=post_y, z=post_z)
    yield Load(name="pump", power=power, season=energy.pump_hours, winter=energy.winter_hours, start=energy.start)
    yield Load(name="valve", power=coil * together, season=energy.valve_hours / together,
               winter=energy.valve_winter / together)
    yield Purchase(name="pump", needed=Q(1), price=pump_price, shop="pump merchant", wait=Q(7, "d"))
    yield Purchase(name="valves", needed=Q(valves), price=valve_price, shop="pump merchant", wait=Q(7, "d"))
    yield Purchase(name="hose and fittings", needed=outlets.pipe_length * (1 + hose_spare.m_as("")), pack=hose_pack,
                   price=hose_price, shop="plumbers' merchant")
    yield Purchase(name="strainer", needed=Q(1), price=strainer_price, shop="pump merchant")
    yield Purchase(name="shower and post", needed=Q(1), price=shower_price, shop="plumbers' merchant")
    yield Task(name="pump, pipes and outlets", quick=quick, likely=likely, slow=slow,
               after="frame: frame and deck; panels: make lids, top and carcass")
    yield Hazard(
        text="People in the water and electricity: only extra-low voltage on board, the charger ashore; take the fuse "
             "out before a hand reaches for strainer or pump.", cites="practice", at="any work on the pump")
    yield Hazard(
        text="A suction opening holds hair, fingers and swimwear: a strainer larger than a hand that cannot come off, "
             "drawing gently, away from the ladder.", cites="EN-13451-3", at="fitting the strainer")
    yield Hazard(
        text="Lake water is not drinking water and its fine spray is breathed in: coarse jet, run stale water off, "
             "shut off in a bloom of algae, not on open wounds, a notice at every outlet.",
        cites="NYSDOH-algae", at="use")
    yield Hazard(
        text="Water that stood in a hose in the sun scalds, a child first: run it off away from people, and feel it "
             "before anybody stands under it.", cites="practice", at="use")
