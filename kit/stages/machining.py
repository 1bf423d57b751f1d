"""Stage 03: the router row by row, its grooves, corners and holding; saw, planer and drill."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from kit.flattening import FaceAfterPour, StockFacing, face_after_pour, stock_facing
from kit.grooves import Scallop, VGroove, scallop, v_groove
from kit.handed import Hazard, Purchase, Task
from kit.hold_down import HoldDown, hold_down
from kit.inside_corners import CornerRelief, Ramp, corner_relief, ramp
from kit.kinds import Count, In, Text
from kit.move_time import RunTime, TimedRun, run_time, timed_run
from kit.operations import Operations, operations
from kit.quantities import Q, Quantity
from kit.router import RouterCut, router_cut
from kit.shop_tools import Drilling, PlanerMarks, SawCut, drilling, planer_marks, saw_cut
from kit.stage import closer, run, stage

__all__ = ["machining"]


def same(*names: str) -> dict[str, str]:
    """Inputs that other calculators of this stage share with the main cutter, where they are entered once."""
    return {name: f"machining.main_cutter.{name}" for name in names}


ENERGY = same("cutting_energy")
CUTTER = same("diameter")
MAIN = CUTTER | ENERGY | same("pass_depth", "step_over", "spindle_power", "fastest")


def _hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=5000, find="hours at the bench: fixing, zero, test cuts, clearing up")


@stage(
    "machining", "03", "Machining",
    settles="What feed and depth for which cutter, how long the machine runs, where zero is set, how deep a V goes, "
            "what a corner keeps, and whether the work is held.",
    first_look=("main_cutter.diameter", "main_cutter.flutes", "main_cutter.speed", "main_cutter.chip_load",
                "main_cutter.pass_depth", "main_cutter.step_over"),
    have_at_hand=("calipers, and the cutters themselves", "the wood, measured at five places",
                  "the sheet of the machine: power, feeds, acceleration", "a watch, for one timed run",
                  "an offcut to cut first"),
    mistakes=(
        "Feeding too slowly to be careful: the cutter rubs, burns the edge and goes blunt.",
        "Taking the feed from a table without counting the flutes.",
        "Reckoning the depth of a V from its full angle instead of half of it.",
        "Trusting the diameter on the shank: a slot is as wide as the cutter really is.",
        "Zero on the bed for a recess that resin fills: its depth then errs with the thickness of the wood.",
        "Cutting a piece free without tabs, and trying the fit of a joint before it is sanded.",
    ),
)
def machining(
    *,
    main_cutter: RouterCut = run(router_cut),
    operations: Operations = run(
        operations, feed="machining.main_cutter.feed", thickness="panels.lid.thickness",
        may_be_off="resin.recesses.depth_doubt", **MAIN),
    v_groove: VGroove = run(v_groove, thickness="panels.lid.thickness"),
    inside_corner: CornerRelief = run(corner_relief, slot_width="panels.fingers.slot"),
    ramp: Ramp = run(ramp, feed="machining.main_cutter.feed", depth="machining.main_cutter.pass_depth", **CUTTER),
    holding: HoldDown = run(hold_down, force="machining.main_cutter.force", edges="machining.main_cutter.flutes"),
    stock_facing: StockFacing = run(stock_facing, finished="panels.lid.thickness",
                                    thickness="panels.lid.rough_thickness"),
    after_the_pour: FaceAfterPour = run(
        face_after_pour, thickness="panels.lid.thickness", recess_depth="resin.recesses.depth",
        least_resin="resin.after.least_left"),
    saw: SawCut = run(saw_cut, height="frame.deck.thickness", **ENERGY),
    planer: PlanerMarks = run(planer_marks, rough="panels.lid.rough_thickness", planed="panels.lid.thickness"),
    drilling: Drilling = run(drilling, diameter="frame.pilot.thread_drill", depth="frame.strength.penetration",
                                 above="frame.deck.thickness", holes="frame.screws.needed", **ENERGY),
    through_holes: Drilling = run(drilling, diameter="frame.pilot.clearance_drill", depth="frame.deck.thickness",
                                  holes="frame.screws.needed", **ENERGY),
    ridges: Scallop = closer(scallop),
    one_run: RunTime = closer(run_time, feed="machining.main_cutter.feed",
                              acceleration="machining.operations.acceleration"),
    timed_run: TimedRun = closer(timed_run),
    cutters_to_buy: Annotated[int, Count("cutters to buy", 2, ge=0, le=200)] = 0,
    cutter_price: Annotated[Quantity, In("money", "price of one cutter", 14, ge=0, le=1e5, resolution=0.01)]
    = Q(0, "money"),
    cutter_size: Annotated[str, Text("which cutters", "3 mm and 6 mm, two flutes", longest=120)] = "-",
    quick: Annotated[Quantity, _hours("hours besides the machine's running time, if all goes well", 3)] = Q(0, "h"),
    likely: Annotated[Quantity, _hours("most likely hours besides the machine's running time", 5)] = Q(0, "h"),
    slow: Annotated[Quantity, _hours("hours besides the machine's running time, if much goes wrong", 10)] = Q(0, "h"),
) -> Iterator[Purchase | Task | Hazard]:
    """The hours are those at the bench and those the machine runs, for nobody leaves it alone."""
    if cutters_to_buy:
        yield Purchase(name="router cutters", needed=Q(cutters_to_buy), price=cutter_price, size=cutter_size,
                       shop="tool shop")
    running = operations.machine_time
    yield Task(name="machine recesses, letters and joints", quick=quick + running, likely=likely + running,
               slow=slow + running, after="panels: make lids, top and carcass")
    yield Hazard(text="A router cutter throws what it loosens and never stops at once. Eyes and ears covered, sleeves "
                      "and hair tied back, spindle stopped before a hand goes near; never leave it running alone.",
                 cites="practice", at="routing")
    yield Hazard(text="Dust of wood can bring on asthma, and dust of hardwood cancer of the nose; fine dust in a "
                      "collector can explode. Take it off at the tool, empty the bag often, no sparks.",
                 cites="OSHA-wood-dust", at="routing, sawing, planing")
    yield Hazard(text="Saw and planer throw back short, warped or nailed wood. Guards and riving knife on, push stick "
                      "in hand, nobody in line with the board, nothing shorter than the maker allows.",
                 cites="practice", at="sawing and planing")
    yield Hazard(text="A blade or cutter turned faster than it is marked for can burst: read its marking and the "
                      "machine's speed before it is fitted.", cites="practice", at="changing cutters")
