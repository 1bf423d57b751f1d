"""Stage 07: loads, sun, panels and battery, and whether they last the winter."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from kit.battery import BatteryBank, battery_bank
from kit.battery_hours import YearByHour, year_by_hour
from kit.battery_volts import BatteryVolts, battery_volts
from kit.battery_year import BatteryYear, battery_year
from kit.charging import BatteryAir, Charging, battery_air, charging
from kit.energy_balance import EnergyBalance, Reserve, energy_balance, reserve
from kit.handed import Hazard, Part, Purchase, Task, along
from kit.held_valve import HeldValve, held_valve
from kit.kinds import In
from kit.lamps_left import LeftOn, left_on
from kit.more_power import MorePower, more_power
from kit.panel_yield import PanelYield, panel_yield
from kit.power_loads import PowerLoads, power_loads
from kit.quantities import Q, Quantity
from kit.solar_panels import PanelSun, panel_sun
from kit.stage import EVERY, closer, run, stage, take
from kit.sun import SunYear, sun_year

__all__ = ["power"]

_SEASON = {"season_begins": "brief.season_begins", "season_ends": "brief.season_ends"}
_AIR = {"air": "brief.year.months"}
_KIND = {"chemistry": "power.battery.chemistry"}
_BLOCK = _KIND | {"block_volts": "power.battery.block_volts", "series": "power.battery.series"}
# What every run of drawn years rests on.
_SHINES = {
    "energy": "power.panel_yield.energy", "clearness": "power.sun.clearness", "direct": "power.panels.direct",
    "diffuse": "power.panels.diffuse", "ground": "power.panels.ground",
}  # fmt: skip
_DRAWN_YEARS = _SHINES | _AIR | _KIND | {
    "drawn": "power.loads.energy", "usable": "power.battery.usable", "depth": "power.battery.depth",
    "daylight": "power.panels.daylight", "heater": "power.charging.heater",
}  # fmt: skip


def _price(meaning: str, example: float) -> In:
    return In("money", meaning, example, ge=0, le=1e5, resolution=0.01, find="ask the shop")


def _hours(meaning: str, example: float) -> In:
    return In("h", meaning, example, ge=0, le=2000)


@stage(
    "power", "07", "Power",
    settles="Whether it lasts the winter: what eats how much, what sun there is, how big a panel and battery, how many "
            "grey days, and what one more of either would buy.",
    first_look=("loads.own", "panels.faces", "battery.chemistry", "battery.block_capacity",
                "days_without_sun.days_season", "days_without_sun.days_winter"),
    have_at_hand=("the label of every load, or a meter in series with it for ten minutes", "the panel's label",
                  "the battery's 20 hour figure and its age", "a photo along the panel at noon in December"),
    mistakes=(
        "Looking at December only: the month to fear is that with the most load for its sun, often the last of the "
        "season.",
        "Forgetting what draws day and night: ten milliamperes are 3 Wh a day, each day.",
        "Joining two 12 V batteries one behind the other where the build is for 12 V: that is 24 V. Side by side they "
        "are 12 V with twice the ampere hours.",
        "Taking the panel's watts times hours of daylight: in December a day at 54 degrees north has less than one "
        "hour of full sun on a panel that lies flat.",
        "Reading the charge from the volts while something runs or the sun shines.",
        "Counting losses twice, once in the loads and once in the yield.",
    ),
)
def power(
    *,
    loads: PowerLoads = run(power_loads, others=EVERY, latitude="brief.latitude", **_SEASON),
    sun: SunYear = run(sun_year, latitude="brief.latitude", altitude="brief.altitude"),
    panels: PanelSun = run(panel_sun, latitude="brief.latitude", months="power.sun.months", **_SEASON),
    panel_yield: PanelYield = run(
        panel_yield, sun="power.panels.sun", daylight="power.panels.daylight", power="power.panels.power", **_AIR),
    in_against_out: EnergyBalance = run(
        energy_balance, energy="power.panel_yield.energy", drawn="power.loads.energy", power="power.panels.power",
        biggest="power.loads.biggest", biggest_winter="power.loads.biggest_winter", **_SEASON),
    battery: BatteryBank = run(
        battery_bank, system_volts="power.loads.volts", cold="brief.cold", cut_off="power.volts.lowest",
        **_AIR, **_SEASON),
    volts: BatteryVolts = run(battery_volts, cold="brief.cold", **_BLOCK),
    days_without_sun: Reserve = run(
        reserve, season="power.loads.season", winter="power.loads.winter", usable_season="power.battery.usable_season",
        usable_winter="power.battery.usable_winter", volts="power.battery.volts", capacity="power.battery.capacity",
        depth="power.battery.depth", divisor="power.battery.divisor", ratio="power.in_against_out.season_ratio"),
    drawn_years: BatteryYear = run(battery_year, **_DRAWN_YEARS),
    charging: Charging = run(
        charging, capacity="power.battery.capacity", current="power.panel_yield.current", cold="brief.cold",
        together="power.loads.together", **_KIND),
    battery_air: BatteryAir = run(battery_air, capacity="power.battery.capacity", **_BLOCK),
    lamps_left_on: LeftOn = run(
        left_on, lamps="power.loads.lamps", always="power.loads.always", usable="power.battery.usable_winter",
        depth="power.battery.depth", volts="power.battery.volts", **_KIND),
    valve: HeldValve = run(
        held_valve, season="power.loads.season", lamps="power.loads.lamps", power="water.energy.coil",
        open_time="water.outlets.season_valves", openings="water.energy.openings", pulse="water.energy.pulse"),
    year_by_hour: YearByHour = closer(
        year_by_hour, latitude="brief.latitude", own="power.loads.own", others=EVERY, volts="power.loads.volts",
        clock_ahead="power.loads.clock_ahead", usable="power.battery.usable", depth="power.battery.depth",
        capacity="power.battery.capacity", limit="power.charging.limit", heater="power.charging.heater",
        seed="power.drawn_years.seed", **_SHINES, **_AIR, **_KIND, **_SEASON),
    one_more: MorePower = closer(
        more_power, panels="power.panels.panels", strings="power.battery.strings", blocks="power.battery.blocks",
        panel_price="power.panel_price", battery_price="power.battery_price", seed="power.drawn_years.seed",
        **_DRAWN_YEARS),
    panel_count: Any = take("power.panels.panels"),
    blocks: Any = take("power.battery.blocks"),
    block_mass: Annotated[Quantity, In("kg", "mass of one battery block", 13, ge=0.05, le=200, basis="data sheet",
                                       find="printed on it, or a bathroom scale")],
    battery_x: Annotated[Quantity, along("x of the battery's middle, towards the named end")] = Q(0, "m"),
    battery_y: Annotated[Quantity, along("y of the battery's middle, to the right", 0.05)] = Q(0, "m"),
    battery_z: Annotated[Quantity, along("z of the battery's middle, up from the underside of the frame", 0.268)],
    panel_mass: Annotated[Quantity, In("kg", "mass of all panels with their bracket", 7, ge=0.05, le=2000,
                                       basis="data sheet", find="bathroom scale")],
    panel_x: Annotated[Quantity, along("x of the panels' middle, towards the named end")] = Q(0, "m"),
    panel_y: Annotated[Quantity, along("y of the panels' middle, to the right", -0.42)] = Q(0, "m"),
    panel_z: Annotated[Quantity, along("z of the panels' middle, up from the underside of the frame", 0.778)],
    panel_price: Annotated[Quantity, _price("price of one panel", 23)] = Q(0, "money"),
    battery_price: Annotated[Quantity, _price("price of one battery block", 84)] = Q(0, "money"),
    regulator_price: Annotated[Quantity, _price("price of the regulator", 28)] = Q(0, "money"),
    quick: Annotated[Quantity, _hours("hours if all goes well", 4)] = Q(4, "h"),
    likely: Annotated[Quantity, _hours("most likely hours", 6)] = Q(6, "h"),
    slow: Annotated[Quantity, _hours("hours if much goes wrong", 9)] = Q(9, "h"),
) -> Iterator[Part | Purchase | Task | Hazard]:
    """Battery and panels to the mass list; panels, battery and regulator to the buy list."""
    yield Part(name="battery", mass=blocks * block_mass, x=battery_x, y=battery_y, z=battery_z)
    yield Part(name="panels, bracket", mass=panel_mass, x=panel_x, y=panel_y, z=panel_z)
    yield Purchase(name="solar panels", needed=panel_count, price=panel_price, shop="solar dealer",
                   size="see power, tilt and volts in stage 07")
    yield Purchase(name="battery", needed=blocks, price=battery_price, shop="battery dealer",
                   size="see kind, volts and ampere hours in stage 07")
    yield Purchase(name="charge regulator", needed=Q(1), price=regulator_price, shop="solar dealer",
                   size="see currents and volts in stage 07")
    yield Task(name="fit battery, panels and regulator", quick=quick, likely=likely, slow=slow,
               after="frame: frame and deck; lids: hang lids, fit struts and latches")
    yield Hazard(
        text="A charging battery gives off hydrogen, a sealed one too when it is charged too hard: openings low and "
             "high in its box, no spark near it, and no flame when you open it.",
        cites="en-62485", at="fitting the battery")
    yield Hazard(
        text="A battery drives hundreds of amperes through a spanner: fuse it at its plus pole before "
             "anything else, poles covered, rings off, plus first off and last on.", cites="practice",
        at="joining the battery")
    yield Hazard(
        text="Never charge a lithium battery below freezing: it plates, and may burn later on a warm day. Heater or "
             "cut-out, or no charging in frost.", cites="battery-manuals", at="choosing the battery")
    yield Hazard(
        text="Only extra-low voltage goes on or near the water, and a mains charger stays ashore; ask a licensed "
             "electrician for anything beyond.", cites="practice", at="any electrical work")
