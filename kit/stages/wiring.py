"""Stage 08: wires and fuses, sensors and controller, the box they live in and its panel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from kit.dividers import Divider, divider
from kit.drill_plan import DrillPlan, drill_plan
from kit.enclosure import BoxAir, BoxHeat, box_air, box_heat
from kit.fuses import Fuses, fuses
from kit.handed import Hazard, Load, Part, Purchase, Task, along
from kit.i2c import TwoWireBus, two_wire_bus
from kit.kinds import Count, In
from kit.logbook import Debounce, LogVolume, debounce, log_volume
from kit.pins import PinPlan, pin_plan
from kit.quantities import Q, Quantity
from kit.schedule import ScheduleClashes, schedule_clashes
from kit.stage import closer, run, stage, take
from kit.switching import CoilRelease, SwitchHeat, coil_release, switch_heat
from kit.thermistors import Thermistor, thermistor
from kit.water_safe import LowVoltage, Splash, low_voltage, splash
from kit.wire_runs import WireRuns, wire_runs
from kit.wire_size import WireSize, wire_size

__all__ = ["wiring"]

HIGHEST = "wiring.divider.highest"


def price(meaning: str, example: float) -> In:
    """What one pack costs."""
    return In("money", meaning, example, ge=0, le=1e5, resolution=0.01, find="ask the shop")


def hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=2000)


@stage(
    "wiring", "08", "Wiring and sensing",
    settles="Which wire and which fuse go where, what the controller still gets while the pump starts, that no input "
            "is burnt and no two devices clash, which pin takes which wire, and how the box stays dry and cool.",
    first_look=("divider.highest", "divider.upper", "divider.lower", "cables.resistance", "cables.lowest",
                "cables.controller_least"),
    have_at_hand=("a sketch of where everything sits, and a string laid along each cable's real path",
                  "the running and the starting current of the pump, from a clamp meter",
                  "the label of every fuse, and what is printed on the cable",
                  "the pin diagram of the controller and the data sheets of what hangs on it",
                  "the panel, and calipers for the bodies of its switches"),
    mistakes=(
        "Reckoning the length one way: the current comes back too.",
        "A fuse for the load and a wire thinner than the fuse; or the fuse at the load end, where it guards nothing.",
        "Dividing the 12 V of the label: in a cold winter noon the charger gives more than 15.",
        "Wiring a switch of the 12 V side straight to an input of 3.3 V.",
        "Two boards on one bus that came from the shop with the same address.",
        "Feeding the controller from the pump's wires, so that it starts anew whenever the pump does.",
    ),
)
def wiring(
    *,
    cables: WireRuns = run(wire_runs, volts="power.volts.nominal", lowest="power.volts.lowest"),
    fuses: Fuses = run(fuses, runs="wiring.cables.runs", highest=HIGHEST, resistance="wiring.cables.resistance"),
    divider: Divider = run(divider, nominal="wiring.cables.volts", highest="power.volts.highest"),
    probe: Thermistor = run(thermistor, cold="brief.cold", hot="brief.hot"),
    bus: TwoWireBus = run(two_wire_bus),
    pin_plan: PinPlan = run(pin_plan, divided_volts="wiring.divider.worst"),
    switch_heat: SwitchHeat = run(switch_heat, volts=HIGHEST, ambient="wiring.box_heat.inside"),
    coils: CoilRelease = run(coil_release, volts=HIGHEST),
    debounce: Debounce = run(debounce),
    logging: LogVolume = run(log_volume),
    schedule: ScheduleClashes = run(schedule_clashes),
    box_heat: BoxHeat = run(box_heat, hot="brief.hot"),
    box_air: BoxAir = run(box_air, shut_at="brief.workshop_temperature", shut_humidity="brief.workshop_humidity",
                      coldest="brief.cold", months="brief.year.months"),
    splash: Splash = run(splash),
    low_voltage: LowVoltage = run(low_voltage, highest=HIGHEST),
    drill_plan: DrillPlan = run(drill_plan),
    one_wire: WireSize = closer(wire_size, volts="wiring.cables.volts"),
    cable_laid: Any = take("wiring.cables.cable"),
    volts: Any = take("wiring.cables.volts"),
    fuse_rows: Any = take("wiring.fuses.fuses"),
    box_mass: Annotated[Quantity, In("kg", "control box with everything in it", 2.5, ge=0, le=200, find="scale")],
    box_x: Annotated[Quantity, along("x of its middle, towards the named end")] = Q(0, "m"),
    box_y: Annotated[Quantity, along("y of its middle, to the right", -0.15)] = Q(0, "m"),
    box_z: Annotated[Quantity, along("z of its middle, up from the underside of the frame", 0.428)],
    cable_mass: Annotated[Quantity, In("kg", "lamps and cable", 3.5, ge=0, le=500, find="scale, coiled up")],
    cable_x: Annotated[Quantity, along("x of their middle, towards the named end")] = Q(0, "m"),
    cable_y: Annotated[Quantity, along("y of their middle, to the right")] = Q(0, "m"),
    cable_z: Annotated[Quantity, along("z of their middle, up from the underside of the frame", 0.1)],
    logger_current: Annotated[Quantity, In("mA", "current of controller and sensors, all day", 20, ge=0, le=50_000,
                                           find="meter in series for ten minutes")],
    lamps: Annotated[int, Count("lamps", 6, ge=0, le=500)] = 0,
    lamp_price: Annotated[Quantity, price("price of one lamp", 9)] = Q(0, "money"),
    spare: Annotated[Quantity, In("percent", "cable bought above the length laid", 15, ge=0, le=100)]
    = Q(15, "percent"),
    cable_price: Annotated[Quantity, price("price of a metre of cable", 2)] = Q(0, "money"),
    fuse_price: Annotated[Quantity, price("price of one fuse with its holder", 6)] = Q(0, "money"),
    glands: Annotated[int, Count("cable glands and connectors", 10, ge=0, le=500)] = 0,
    gland_price: Annotated[Quantity, price("price of one", 3)] = Q(0, "money"),
    controller_price: Annotated[Quantity, price("price of controller and sensors", 78)] = Q(0, "money"),
    box_price: Annotated[Quantity, price("price of the box", 40)] = Q(0, "money"),
    quick: Annotated[Quantity, hours("hours if all goes well", 10)] = Q(10, "h"),
    likely: Annotated[Quantity, hours("most likely hours", 14)] = Q(14, "h"),
    slow: Annotated[Quantity, hours("hours if much goes wrong", 24)] = Q(24, "h"),
) -> Iterator[Part | Purchase | Task | Load | Hazard]:
    """Box, lamps and cable to the mass list; cable, fuses, glands, controller and box to the buy list; its own draw."""
    yield Part(name="control box", mass=box_mass, x=box_x, y=box_y, z=box_z)
    yield Part(name="lamps and cable", mass=cable_mass, x=cable_x, y=cable_y, z=cable_z)
    yield Load(name="logger", power=Q(volts * logger_current, "W"), season=Q(24, "h"), winter=Q(24, "h"))
    shop = "boat chandler"
    yield Purchase(name="cable", needed=Q(cable_laid * (1 + spare), "m"), pack=Q(1, "m"), price=cable_price, shop=shop,
                   size="two wires, tinned class 5; sizes in stage 08")
    yield Purchase(name="fuses and holders", needed=Q(len(fuse_rows)), price=fuse_price, shop=shop,
                   size="ratings in stage 08")
    yield Purchase(name="glands and connectors", needed=Q(glands), price=gland_price, shop=shop)
    yield Purchase(name="controller and sensors", needed=Q(1), price=controller_price, shop="electronics shop")
    yield Purchase(name="control box", needed=Q(1), price=box_price, shop="electronics shop")
    yield Purchase(name="lamps", needed=Q(lamps), price=lamp_price, shop=shop)
    yield Task(name="wire, fuse, label and test", quick=quick, likely=likely, slow=slow,
               after="power: fit battery, panels and regulator; water: pump, pipes and outlets")
    yield Hazard(
        text="Mains beside water kills. Everything afloat runs from the battery; a charger stays ashore, safely "
             "separated, and anything on the mains is work for a licensed electrician under local rules.",
        cites="IEC-60364-7-702", at="before anything is connected")
    yield Hazard(
        text="A 12 V battery gives no shock, but a spanner across it glows and burns: rings off, main fuse fitted "
             "first and its link left out to the end, terminals covered.", cites="CFR-183.455",
        at="connecting the battery")
    yield Hazard(
        text="No fuse, relay or plug inside a shut battery box: gas from charging collects there and one spark lights "
             "it.", cites="practice", at="placing the fuses")
    yield Hazard(
        text="Wire at the bench or with the raft ashore; if it must be afloat, wear a buoyancy aid, have a second "
             "person, and let no cordless tool hang over a swimmer.", cites="OSHA-1926.106", at="fitting on the water")
