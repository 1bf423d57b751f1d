"""Stage 06: what is coated, sanded and sealed, with what, when, and again when."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from kit.drying import DryingCalendar, OutdoorMonths, drying_calendar, outdoor_months
from kit.finish import FinishCoats, finish_coats
from kit.handed import Hazard, Purchase, Task
from kit.kinds import In, Text
from kit.quantities import Q, Quantity
from kit.sanding import Sanding, sanding
from kit.sealant import Sealant, sealant
from kit.stage import EVERY, run, stage, take
from kit.upkeep import Upkeep, upkeep

__all__ = ["finish"]


def _price(meaning: str, example: float) -> In:
    """What one pack costs."""
    return In("money", meaning, example, ge=0, le=1e5, resolution=0.01, find="ask the shop")


def _hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=5000, find="hours with brush and gun: masking, coats, joints, cleaning")


@stage(
    "finish", "06", "Finish and seal",
    settles="How many tins, discs and cartridges; what is not coated; when each coat may go on and when it may be "
            "used; how long sanding takes; and what is put on again, when.",
    first_look=("coats.coats", "coats.spread", "coats.tins", "drying.earliest", "drying.hard", "sanding.panel_time"),
    have_at_hand=("the tin and its data sheet", "an offcut of 0.5 x 0.5 m and a kitchen scale",
                  "a watch, for one panel",
                  "a thermometer for the wood and a hygrometer", "a lidded metal can, with water in it"),
    mistakes=(
        "A film finish on a deck that people walk on.",
        "End grain left unsealed: it drinks many times what a face does, and rots first.",
        "A second coat of penetrating oil after the first has dried: it stays on top, shiny and sticky.",
        "The spread for smooth wood taken for sawn boards, which take twice as much.",
        "Sealant stuck on three sides: it cannot stretch, and tears.",
        "Hardwood sanded to 220 and finer before oil: it polishes the pores shut.",
    ),
)
def finish(
    *,
    coats: FinishCoats = run(finish_coats, surfaces=EVERY),
    drying: DryingCalendar = run(
        drying_calendar, coats="finish.coats.coats", area="finish.coats.area", temperature="brief.workshop_temperature",
        humidity="brief.workshop_humidity", moisture="brief.fitting_moisture"),
    outdoors: OutdoorMonths = run(outdoor_months, months="brief.year.months",
                                  least_temperature="finish.drying.least_temperature"),
    sanding: Sanding = run(sanding, area="finish.coats.area", finish="finish.coats.kind"),
    sealant: Sealant = run(sealant, movement="panels.swelling.change", other_way="panels.shrinking.change"),
    upkeep: Upkeep = run(upkeep, area="finish.coats.area", spread="finish.coats.spread", waste="finish.coats.waste",
                        pace="finish.drying.pace", tin="finish.coats.tin", tin_price="finish.tin_price"),
    tins: Any = take("finish.coats.tins"),
    tin: Any = take("finish.coats.tin"),
    cartridges: Any = take("finish.sealant.cartridges"),
    cartridge: Any = take("finish.sealant.cartridge"),
    finish_name: Annotated[str, Text("finish, as you ask for it in the shop", "exterior oil, clear", longest=120)]
    = "-",
    tin_price: Annotated[Quantity, _price("price of one tin", 48)] = Q(0, "money"),
    sealant_name: Annotated[str, Text("sealant, as you ask for it in the shop", "class 25, for wood outdoors",
                                      longest=120)] = "-",
    cartridge_price: Annotated[Quantity, _price("price of one cartridge", 8)] = Q(0, "money"),
    disc_size: Annotated[str, Text("discs, as you ask for them in the shop", "150 mm, open grain", longest=120)]
    = "-",
    pack_price: Annotated[Quantity, _price("price of one pack of discs", 6)] = Q(0, "money"),
    quick: Annotated[Quantity, _hours("hours to coat and seal, if all goes well", 5)] = Q(0, "h"),
    likely: Annotated[Quantity, _hours("most likely hours to coat and seal", 6)] = Q(0, "h"),
    slow: Annotated[Quantity, _hours("hours to coat and seal, if much goes wrong", 9)] = Q(0, "h"),
) -> Iterator[Purchase | Task | Hazard]:
    """Tins and cartridges as bought, packs of discs as needed; the hours a coat is wet are waiting, not labour."""
    yield Purchase(name="finish", needed=tins * tin, pack=tin, price=tin_price, size=finish_name, shop="paint shop")
    yield Purchase(name="sealant", needed=cartridges * cartridge, pack=cartridge, price=cartridge_price,
                   size=sealant_name, shop="hardware shop")
    yield Purchase(name="abrasives", needed=sanding.packs, price=pack_price, size=disc_size, shop="hardware shop")
    yield Task(name="sand, coat and seal", quick=quick + sanding.quick, likely=likely + sanding.likely,
               slow=slow + sanding.slow, wait=drying.days,
               after="panels: make lids, top and carcass; machining: machine recesses, letters and joints; "
                     "resin: seal, pour and plane the inlay")
    yield Hazard(text="Rags wet with drying oil heat up and catch fire by themselves, hours later. Hang each out flat "
                      "outdoors, or drown it in a lidded metal can of water; empty the can the same day.",
                 cites="OSHA-1910.106", at="after every coat")
    yield Hazard(text="Dust of oak, cedar and old finish harms lungs and nose; of cured resin too. Extraction on the "
                      "sander, a mask that fits, vacuum instead of broom.", cites="OSHA-wood-dust", at="sanding")
    yield Hazard(text="Solvent vapour is heavier than air, dulls the head and can flash. Doors open, no flame or pilot "
                      "light, gloves; the safety sheet of your finish comes first.", cites="memory", at="coating")
    yield Hazard(text="Wet finish, rags and washings must not reach the water: finish ashore, let it harden, take the "
                      "waste away.", cites="practice", at="any work at the shore")
