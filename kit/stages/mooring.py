"""Stage 11: what holds the raft, how it gets into the water, and what it turns out to be there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from kit.anchors import DeadWeight, PullTest, dead_weight, pull_test
from kit.as_floated import AsFloated, as_floated
from kit.carrying import Carrying, carrying
from kit.cleats import CleatFixing, cleat_fixing
from kit.handed import Hazard, Part, Purchase, Task
from kit.ice import Ice, ice
from kit.inclining import Inclined, inclining
from kit.kinds import Count, In
from kit.launching import FloatOff, Skids, float_off, skids
from kit.leak_test import LeakTest, leak_test
from kit.moored import Moored, moored
from kit.mooring_gear import GearStrength, RopeStrength, gear_strength, rope_strength
from kit.mooring_legs import LegAtRest, LegInStorm, leg_at_rest, leg_in_storm
from kit.openings import Openings, openings
from kit.pull_down import PullDown, pull_down
from kit.quantities import Q, Quantity
from kit.stage import EVERY, pencil, run, stage, take
from kit.wind_load import WeatherLoad, weather_load

__all__ = ["mooring"]

DECK = {"deck_length": "frame.deck.length", "deck_width": "frame.deck.width"}
WATER = {"density": "brief.water.density"}
PARTS_OF_LOAD = {
    name: f"mooring.load.{name}"
    for name in ("wind_side", "wind_end", "wave_side", "wave_end", "current_side", "current_end", "worst")
}
LENGTHS = {"rope": "mooring.leg.rope", "stiffness": "mooring.leg.stiffness"}
HEIGHTS = {"high_height": "mooring.leg.high_height", "low_height": "mooring.leg.low_height"}
LOST = {"lost_pull": "mooring.legs_together.lost_pull"}


def price(meaning: str, example: float) -> In:
    """What one pack costs."""
    return In("money", meaning, example, ge=0, le=1e5, resolution=0.01, find="ask the chandler")


def hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=2000)


@stage(
    "mooring", "11", "Mooring and launch",
    settles="What wind and waves pull at, how many legs of what rope and chain, what each anchor must be seen to hold; "
            "how it is carried, launched and floated off; and what it turns out to weigh.",
    first_look=("brief.gust", "brief.rises", "leg.rope", "leg.chain", "leg.preload", "rope.breaking"),
    have_at_hand=("the depth where the anchors go, and how far the water falls and rises", "the label of the rope",
                  "a load cell or a spring balance on a 3:1, and something to pull against",
                  "who helps on the day, and what they will stand on", "a rule, a pencil and a calm hour afloat"),
    mistakes=(
        "Sharing the load evenly among the legs: in a gust from a corner one leg has all of it.",
        "Forgetting the leg that parts: its neighbours then stretch to twice the load and more.",
        "Scope counted at low water, without the height of the cleat.",
        "A concrete block by its dry weight: under water two fifths are gone, and it slides at a third of the rest.",
        "Mean wind taken for the gust, and knots or km/h put into a sum that wants m/s.",
        "A rope stronger than its shackle, and a shackle without a wire through its pin.",
    ),
)
def mooring(
    *,
    load: WeatherLoad = run(
        weather_load, gust="brief.gust", sides="raft.weather.windage", current="brief.current",
        draft="raft.afloat.draft", depth="brief.depth.lowest", fetch="brief.fetch", end="brief.named_end",
        **DECK, **WATER),
    rope: RopeStrength = run(rope_strength),
    leg: LegAtRest = run(
        leg_at_rest, depth="brief.depth.shallowest", falls="brief.depth.falls", rises="brief.rises",
        fairlead="raft.afloat.deck_edge", breaking="mooring.rope.new_breaking", working="mooring.rope.working",
        carries="raft.afloat.reserve", **WATER),
    legs_together: Moored = run(
        moored, legs="mooring.leg.legs", distance="mooring.leg.distance", length="mooring.leg.length",
        pull_high="mooring.leg.pull_high", **LENGTHS, **HEIGHTS, **PARTS_OF_LOAD),
    storm: LegInStorm = run(
        leg_in_storm, pull="mooring.legs_together.pull", chain="mooring.leg.chain",
        rope_weight="mooring.leg.rope_weight", chain_weight="mooring.leg.chain_weight", **LENGTHS, **HEIGHTS),
    gear: GearStrength = run(
        gear_strength, tension="mooring.storm.tension", slope="mooring.storm.angle",
        fibre="mooring.rope.fibre", breaking="mooring.rope.new_breaking", kept="mooring.rope.kept",
        factor="mooring.rope.factor", **LOST),
    cleats: CleatFixing = run(
        cleat_fixing, rules="brief.rules", tension="mooring.storm.tension", slope="mooring.storm.angle",
        density="frame.grade.density", **LOST),
    pull_test: PullTest = run(
        pull_test, anchor_pull="mooring.storm.anchor_pull", anchor_angle="mooring.storm.anchor_angle",
        lost_factor="mooring.gear.lost_factor", **LOST),
    block: DeadWeight = run(
        dead_weight, kind="mooring.pull_test.kind", pull="mooring.legs_together.pull",
        uplift="mooring.storm.uplift", **WATER),
    pull_down: PullDown = run(pull_down, pull=pencil("mooring.leg.pull_down", within=Q(5, "kg"))),
    ice: Ice = run(ice, months="brief.year.months"),
    openings: Openings = run(openings),
    leak_test: LeakTest = run(leak_test),
    lifting: Carrying = run(carrying),
    skids: Skids = run(skids),
    float_off: FloatOff = run(float_off, draft="raft.afloat.draft", length="frame.deck.length"),
    floated: AsFloated = run(
        as_floated, floats="raft.afloat.floats", deck_top="frame.deck.top", z="raft.weight.z",
        predicted="raft.weight.mass", predicted_x="raft.weight.x", predicted_y="raft.weight.y", parts=EVERY,
        **DECK, **WATER),
    inclined: Inclined = run(
        inclining, mass="raft.weight.mass", predicted_z="raft.weight.z",
        predicted_stiffness="raft.afloat.stiffness_y"),
    legs: Any = take("mooring.leg.legs"),
    rope_length: Any = take("mooring.leg.rope"),
    chain_length: Any = take("mooring.leg.chain"),
    tail: Annotated[Quantity, In("m", "rope for knots and the tail on the cleat, each leg", 2, ge=0, le=50)]
    = Q(2, "m"),
    anchor_price: Annotated[Quantity, price("price of one anchor", 48)] = Q(0, "money"),
    chain_price: Annotated[Quantity, price("price of a metre of chain", 7)] = Q(0, "money"),
    rope_coil: Annotated[Quantity, In("m", "rope in one coil", 100, chosen=True,
                                      ge=1, le=2000, basis="data sheet")] = Q(100, "m"),
    rope_price: Annotated[Quantity, price("price of one coil of rope", 110)] = Q(0, "money"),
    shackles_each: Annotated[int, Count("shackles in one leg", 2, ge=0, le=20)] = 2,
    shackle_price: Annotated[Quantity, price("price of one shackle", 7.75)] = Q(0, "money"),
    quick: Annotated[Quantity, hours("hours if all goes well", 10)] = Q(10, "h"),
    likely: Annotated[Quantity, hours("most likely hours", 14)] = Q(14, "h"),
    slow: Annotated[Quantity, hours("hours if much goes wrong", 24)] = Q(24, "h"),
) -> Iterator[Part | Purchase | Task | Hazard]:
    """The pull of the legs as a part; anchors, chain, rope and shackles to buy; a day of laying and launching."""
    yield from pull_down.as_parts
    yield Purchase(name="anchors", needed=Q(len(legs)), price=anchor_price, size="see stage 11", shop="ground anchors",
                   wait=Q(7, "d"))
    yield Purchase(name="mooring chain", needed=len(legs) * chain_length, pack=Q(1, "m"), price=chain_price,
                   shop="chandler")
    yield Purchase(name="mooring rope", needed=len(legs) * (rope_length + tail), pack=rope_coil, price=rope_price,
                   shop="chandler")
    yield Purchase(name="shackles", needed=Q(len(legs) * shackles_each), price=shackle_price, shop="chandler")
    yield Task(name="anchors, launch, as floated", quick=quick, likely=likely, slow=slow,
               after="brief: brief, survey and consents; raft: floats, leak test, ballast; frame: frame and deck; "
                     "lids: hang lids, fit struts and latches; wiring: wire, fuse, label and test")
    yield Hazard(
        text="A rope or chain that parts under load flies back and kills: nobody stands in line with it, astride it or "
             "in a loop of it, least of all at the pull test.", cites="practice", at="pull test, winching")
    yield Hazard(
        text="Nobody stands below a raft or a float on a slope; one person alone gives the word, a second rope holds "
             "back, wheels are chocked.", cites="practice", at="launching")
    yield Hazard(
        text="No number covers a lift in water, on weed or mud, or of a thing that sways: float it, roll it or winch "
             "it, with hands clear of what may close.", cites="niosh-94-110", at="joining frame and floats afloat")
    yield Hazard(
        text="Legs near the surface hold swimmers and propellers: keep them steep or weighted for the first metres, "
             "mark them, and allow nobody under the raft.", cites="practice", at="use")
