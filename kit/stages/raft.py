"""Stage 10: floats, how the raft lies, its people, one compartment flooded, and the ballast that levels it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from kit.afloat import Afloat, afloat
from kit.ballast import Levelled, ballast
from kit.crowd import Crowd, crowd
from kit.damage import Damage, damage
from kit.float_sets import FloatSets, float_sets
from kit.float_size import FloatSize, float_size
from kit.float_sweeps import FloatSweeps, float_sweeps
from kit.flooded import Flooded, flooded
from kit.handed import Hazard, Part, Purchase, Task
from kit.kinds import In
from kit.level_ways import LevelWays, level_ways
from kit.load_cases import LoadCases, load_cases
from kit.passenger_rules import FloatStuff, float_stuff
from kit.quantities import Q, Quantity
from kit.righting import RightingCurve, righting
from kit.stage import EVERY, closer, run, stage
from kit.weather_afloat import WeatherAfloat, weather_afloat
from kit.weighing import RaftWeight, weigh
from kit.yardsticks import Yardsticks, yardsticks

__all__ = ["raft"]

# What every load case rests on: water, deck and floats; then the mass at fitting, or wet through.
_PLACE = {
    "floats": "raft.afloat.floats", "density": "brief.water.density", "deck_length": "frame.deck.length",
    "deck_width": "frame.deck.width", "deck_top": "frame.deck.top",
}
_DECK = {name: link for name, link in _PLACE.items() if name != "floats"}
_PEOPLE = {"people": "brief.people", "sharing": "brief.sharing", "person_mass": "brief.person_mass"}
# Places of people and loads are entered once, with the crowd and the weather.
_FEET = {name: f"raft.crowd.{name}" for name in ("standing", "edge_inset", "corner_inset")}
_LADDER = {name: f"raft.crowd.{name}" for name in ("ladder_x", "ladder_y", "ladder_z", "heavy_person")}
_WIND = {name: f"raft.weather.{name}" for name in ("windage", "lid_area", "lid_z", "snow")}
_DRY = {"mass": "raft.weight.mass", "x": "raft.weight.x", "y": "raft.weight.y", "z": "raft.weight.fluid_z"}
_WET = {
    "mass": "raft.weight.wet_mass", "x": "raft.weight.wet_x", "y": "raft.weight.wet_y", "z": "raft.weight.wet_fluid_z",
}
_BOTH = {**_DRY, **{f"wet_{name}": link for name, link in _WET.items()}}


def _price(meaning: str, example: float) -> In:
    return In("money", meaning, example, ge=0, le=1e6, resolution=0.01, find="ask the shop")


def _hours(meaning: str, example: float) -> In:
    return In("h", meaning, example, ge=0, le=5000)


@stage(
    "raft", "10", "Float and ballast",
    settles="How deep it sits and whether it is level; how many people where; what happens when a float leaks or the "
            "wind blows; and how much ballast goes where.",
    first_look=("brief.people", "brief.sharing", "brief.person_mass", "afloat.wanted", "crowd.criterion",
                "afloat.floats"),
    have_at_hand=("the mass and place of every part", "girth, length and mass of one float",
                  "the mass of a joist that lay in the water for a week", "who will stand where on the best day"),
    mistakes=(
        "Area times draft for a round tube: it is a segment of a circle, and the last quarter of the diameter "
        "carries only a fifth of the lift.",
        "The nominal size of a pipe is not its diameter, and caps, bulkheads and foam have mass.",
        "Dry timber in the sums: it soaks, and slime grows on the floats.",
        "People taken at the middle, at 65 kg, at deck level: they stand at an edge and their weight is a metre up.",
        "Much stiffness taken for much range: two or four tubes are stiff until one comes out of the water.",
        "Foam counted besides the tube it is in: it adds no lift, it only keeps water out when the tube leaks.",
    ),
)
def raft(
    *,
    weight: RaftWeight = run(weigh, parts=EVERY, floats="raft.afloat.floats"),
    afloat: Afloat = run(
        afloat, **_DRY, density="brief.water.density", deck_length="frame.deck.length",
        deck_width="frame.deck.width", deck_top="frame.deck.top", end="brief.named_end"),
    crowd: Crowd = run(crowd, **_WET, **_PLACE, **_PEOPLE, end="brief.named_end"),
    flooded: Flooded = run(
        flooded, **_WET, **_PLACE, sharing="brief.sharing", person_mass="brief.person_mass",
        criterion="raft.crowd.criterion", standing="raft.crowd.standing", edge_inset="raft.crowd.edge_inset",
        corner_inset="raft.crowd.corner_inset",
        end="brief.named_end"),
    weather: WeatherAfloat = run(
        weather_afloat, **_WET, **_PLACE, gust="brief.gust", criterion="raft.crowd.criterion",
        lid_wind="brief.lid_wind"),
    ballast: Levelled = run(
        ballast, moment_x="raft.weight.moment_x", moment_y="raft.weight.moment_y", placed="raft.weight.ballast"),
    size: FloatSize = run(
        float_size, load="raft.weight.load", density="brief.water.density", deck_width="frame.deck.width",
        deck_top="frame.deck.top", wanted="raft.afloat.wanted"),
    stuff: FloatStuff = run(float_stuff, floats="raft.afloat.floats", criterion="raft.crowd.criterion"),
    cases: LoadCases = closer(
        load_cases, **_BOTH, **_PLACE, **_PEOPLE, criterion="raft.crowd.criterion", **_FEET, **_LADDER, **_WIND,
        gust="brief.gust", lid_wind="brief.lid_wind", end="brief.named_end"),
    lever: RightingCurve = closer(righting, **_WET, **_PLACE),
    damage: Damage = closer(
        damage, **_WET, **_PLACE, **_PEOPLE, **_FEET, together="raft.flooded.together", end="brief.named_end"),
    ways: LevelWays = closer(
        level_ways, parts=EVERY, moment_x="raft.weight.moment_x", moment_y="raft.weight.moment_y",
        places="raft.ballast.places", within="raft.ballast.within", ballast_pack="raft.ballast_pack",
        ballast_price="raft.ballast_price", deck_length="frame.deck.length", deck_width="frame.deck.width"),
    sets: FloatSets = closer(
        float_sets, load="raft.weight.load", load_z="raft.weight.load_z", wanted="raft.afloat.wanted",
        criterion="raft.crowd.criterion", **_PEOPLE, **_DECK),
    sweeps: FloatSweeps = closer(
        float_sweeps, load="raft.weight.load", load_z="raft.weight.load_z", **_PEOPLE, **_PLACE),
    yardsticks: Yardsticks = closer(
        yardsticks, **_WET, **_PLACE, **_PEOPLE, catch="raft.weather.catch", lever="raft.weather.lever",
        openings="raft.lever.openings"),
    pipe: Annotated[Quantity, In("m", "length a pipe is sold in", 6, ge=0.5, le=20, basis="data sheet")] = Q(6, "m"),
    pipe_price: Annotated[Quantity, _price("price of one pipe", 444)] = Q(0, "money"),
    disc_price: Annotated[Quantity, _price("price of one end cap or bulkhead", 17)] = Q(0, "money"),
    foam_pack: Annotated[Quantity, In("m^3", "foam in one pack", 1.23, ge=0.01, le=100, resolution=0.01)] = Q(1, "m^3"),
    foam_price: Annotated[Quantity, _price("price of one pack of foam", 129)] = Q(0, "money"),
    welding_price: Annotated[Quantity, _price("price of the welding", 320)] = Q(0, "money"),
    drum_price: Annotated[Quantity, _price("price of one drum", 25)] = Q(0, "money"),
    block_pack: Annotated[Quantity, In(
        "m^3", "foam in one block as sold", 0.36, ge=0.001, le=100, resolution=0.01)] = Q(1, "m^3"),
    block_price: Annotated[Quantity, _price("price of one block of foam", 40)] = Q(0, "money"),
    ballast_pack: Annotated[Quantity, In("kg", "ballast in one piece", 7, ge=0.1, le=1000)] = Q(10, "kg"),
    ballast_price: Annotated[Quantity, _price("price of one piece of ballast", 3)] = Q(0, "money"),
    welding_wait: Annotated[Quantity, In("d", "days until the floats are back from welding", 14, ge=0, le=365)] = Q(
        14, "d"),
    quick: Annotated[Quantity, _hours("hours if all goes well", 10)] = Q(10, "h"),
    likely: Annotated[Quantity, _hours("most likely hours", 14)] = Q(14, "h"),
    slow: Annotated[Quantity, _hours("hours if much goes wrong", 22)] = Q(22, "h"),
) -> Iterator[Part | Purchase | Task | Hazard]:
    """Floats and ballast with their places; pipe, discs, foam, welding and ballast to buy."""
    yield from weight.as_parts
    yield Purchase(name="float pipe", needed=weight.tubes_length, pack=pipe, price=pipe_price, shop="pipe merchant")
    yield Purchase(name="end caps and bulkheads", needed=weight.discs, price=disc_price, shop="plastics merchant")
    yield Purchase(name="float foam", needed=weight.foam, pack=foam_pack, price=foam_price, shop="insulation merchant")
    yield Purchase(name="drums", needed=weight.drums, price=drum_price, shop="barrel merchant")
    yield Purchase(name="foam blocks", needed=weight.blocks, pack=block_pack, price=block_price,
                   shop="insulation merchant")
    yield Purchase(name="float welding", needed=Q(1), price=welding_price, shop="plastics welder", wait=welding_wait)
    yield Purchase(name="ballast", needed=weight.ballast_mass, pack=ballast_pack, price=ballast_price,
                   shop="builders' merchant")
    yield Task(name="floats, leak test, ballast", quick=quick, likely=likely, slow=slow, wait=welding_wait)
    yield Hazard(
        text="Worked out, not certified. Test it in shallow water with sandbags before anybody stands on it.",
        cites="practice", at="before anybody stands on it")
    yield Hazard(
        text="No head-first entry anywhere near it unless the shallowest water within 5 m is at least 2.7 m; no "
             "swimming under it.", cites="ARC-depth", at="use")
    yield Hazard(
        text="Close every opening under it from 89 to 229 mm, where a body passes and a head does not; mind those from "
             "9 to 25 mm, which hold a finger.", cites="cpsc-325", at="joining the floats")
    yield Hazard(
        text="Leak-test every float before it is built in: 0.05 bar of air, soap on the seams, 30 minutes. Never above "
             "0.1 bar: compressed air in plastic bursts.", cites="practice", at="leak test")
