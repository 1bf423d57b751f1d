"""Stage 04: recesses filled with resin, from volume to mix cards."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from kit.after_cure import AfterCure, after_cure
from kit.handed import Hazard, Part, Purchase, Task, along
from kit.kinds import Count, In
from kit.pour import Inlay, Pour, inlay, pour
from kit.pour_clock import Pigment, PourClock, pigment, pour_clock
from kit.pour_simulation import CupCalibration, CureSimulation, cup_calibration, cure_simulation
from kit.quantities import Q, Quantity
from kit.recesses import Recesses, recesses
from kit.resin import MixRatio, WeighingError, mix_ratio, weighing_error
from kit.resin_heat import PourHeat, pour_heat
from kit.stage import closer, run, stage, take

__all__ = ["resin"]


def _hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=5000, find="hours at the bench, curing left out")


@stage(
    "resin", "04", "Resin",
    settles="How much of A and B goes into which cup, in how many layers and cups, and how that stands to the heat it "
            "makes.",
    first_look=("mix.by", "mix.parts_a", "mix.parts_b", "pour.cups", "pour.largest_batch", "heat.temperature"),
    have_at_hand=("the data sheet of the resin", "a scale of 0.1 g, checked with coins", "a depth gauge",
                  "a 10 mL syringe, to find the densities", "a test cup and a thermometer"),
    mistakes=(
        "Weighing out a ratio that the label gives by volume.",
        "Mixing one large cup to be done with it: in bulk it cures sooner and far hotter.",
        "Zeroing the scale between A and B on one cup and not on the next.",
        "Taking the drawn depth: a pocket 0.2 mm deeper than 2 mm takes a tenth more.",
        "Pouring without a seal coat: air from the grain comes up as bubbles while the resin warms.",
        "Clear resin outdoors without a finish that keeps the sun's rays off it.",
    ),
)
def resin(
    *,
    recesses: Recesses = run(recesses),
    mix: MixRatio = run(mix_ratio),
    pour: Pour = run(pour, volume="resin.recesses.volume", wetted="resin.recesses.wetted", depth="resin.recesses.depth",
                     ratio="resin.mix.by_mass", density="resin.mix.density", density_a="resin.mix.density_a",
                     density_b="resin.mix.density_b"),
    inlay: Inlay = run(inlay, volume="resin.recesses.volume", seal="resin.pour.seal", density="resin.mix.density",
                       wood_density="panels.top.density"),
    scale: WeighingError = run(weighing_error, batch="resin.pour.cup_mass", ratio="resin.mix.by_mass"),
    heat: PourHeat = run(pour_heat, depth="resin.recesses.as_slab", layers="resin.pour.layers"),
    clock: PourClock = run(pour_clock, cups="resin.pour.cups", layers="resin.pour.layers",
                           cup_mass="resin.pour.cup_mass", mixing_time="resin.pour.mixing_time",
                           placing_rate="resin.pour.placing_rate", pot_life="resin.pour.pot_life"),
    tint: Pigment = run(pigment, cup_mass="resin.pour.cup_mass", cups="resin.pour.cups",
                        division="resin.scale.division"),
    after: AfterCure = run(after_cure, depth="resin.recesses.depth", hottest="brief.lid_steel",
                           cured_at="brief.workshop_temperature"),
    simulation: CureSimulation = closer(
        cure_simulation, depth="resin.heat.layer", temperature="resin.heat.temperature", density="resin.heat.density",
        room="resin.heat.temperature", heat="resin.heat.heat", specific_heat="resin.heat.specific_heat",
        conductivity="resin.heat.conductivity", surface="resin.heat.surface", speed="resin.heat.speed"),
    cup: CupCalibration = closer(cup_calibration, heat="resin.heat.heat", specific_heat="resin.heat.specific_heat"),
    set_mass: Any = take("resin.pour.set_mass"),
    deck_top: Any = take("frame.deck.top"),
    x: Annotated[Quantity, along("x of the middle of the inlay, towards the named end")] = Q(0, "m"),
    y: Annotated[Quantity, along("y of the middle of the inlay, to the right")] = Q(0, "m"),
    height: Annotated[Quantity, In("m", "height of the inlay above the deck", 0.433, ge=-5, le=10, resolution=0.001)]
    = Q(0.433, "m"),
    price: Annotated[Quantity, In("money", "price of one set of resin", 21, ge=0, le=1e6, resolution=0.01)]
    = Q(0, "money"),
    pigments: Annotated[int, Count("pots of pigment", 2, ge=0, le=50)] = 0,
    pigment_price: Annotated[Quantity, In("money", "price of one pot of pigment", 6, ge=0, le=1e6, resolution=0.01)]
    = Q(0, "money"),
    quick: Annotated[Quantity, _hours("hours if all goes well", 4)] = Q(0, "h"),
    likely: Annotated[Quantity, _hours("most likely hours", 6)] = Q(0, "h"),
    slow: Annotated[Quantity, _hours("hours if much goes wrong", 10)] = Q(0, "h"),
    curing: Annotated[Quantity, In("d", "days until the resin may be planed or sanded", 3, ge=0, le=60,
                                   find="data sheet, at the temperature of your workshop")] = Q(3, "d"),
) -> Iterator[Part | Purchase | Task | Hazard]:
    """The inlay weighs what the resin weighs, less the wood cut out for it."""
    deck = Q(0, "m") if deck_top is None else deck_top
    yield Part(name="resin inlay", mass=inlay.added, x=x, y=y, z=deck + height)
    yield Purchase(name="resin, A and B", needed=pour.to_buy, pack=set_mass, price=price, shop="resin supplier")
    yield Purchase(name="pigment", needed=Q(pigments), price=pigment_price, size="pot", shop="resin supplier")
    yield Task(name="seal, pour and plane the inlay", quick=quick, likely=likely, slow=slow, wait=curing,
               after="machining: machine recesses, letters and joints")
    yield Hazard(text="A cup of mixed resin left standing can smoke or catch fire. Spread it out early; carry a hot "
                      "cup outdoors onto bare ground and leave it.", cites="UFC-3-250-06", at="mixing")
    yield Hazard(text="Resin, hardener and thinners can each leave you with an allergy for life. Gloves of butyl, or "
                      "nitrile changed when wetted, eye protection, fresh air; never wash skin with solvent.",
                 cites="HSE-RR079", at="weighing, mixing, pouring")
    yield Hazard(text="Half-cured dust is as bad as the liquid: sand only what is hard through, with extraction and a "
                      "mask, and wash afterwards.", cites="HESIS-epoxy", at="planing and sanding")
