"""Stage 02: lids, fixed top and carcass, from rough boards to mass and place; glue and clamps."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, cast

from kit.finger_joint import FingerJoint, finger_joint
from kit.glue import GlueCoverage, GlueUp, glue_coverage, glue_up
from kit.glue_plan import GlueLines, GluePlan, glue_lines, glue_plan
from kit.handed import Hazard, Part, Piece, Purchase, Surface, Task, along
from kit.joint_fit import JointFit, joint_fit
from kit.joint_trials import JointTrials, joint_trials
from kit.kinds import In, Text
from kit.moisture import YearlyMoisture, yearly_moisture
from kit.panel_boards import PanelsOfBoards, panel_boards
from kit.panel_gaps import PanelGaps, panel_gaps
from kit.panel_year import PanelYear, panel_year
from kit.panels import Panel, Sheet, panel, sheet
from kit.quantities import Q, Quantity
from kit.stage import closer, run, stage, take
from kit.timber import Movement, movement

__all__ = ["panels"]

MOISTURES = {"fitting_moisture": "brief.fitting_moisture", "wet_moisture": "brief.wet_moisture"}
LID = {"size": "panels.lid.width", "timber": "panels.lid.timber", "start": "brief.fitting_moisture"}
MOVES = {"width": "panels.lid.width", "timber": "panels.lid.timber", "cut": "panels.swelling.cut",
         "start": "brief.fitting_moisture"}
CLAMPS = {name: f"panels.glue_up.{name}"
          for name in ("fixed_time", "open_time", "clamp_force", "clamps", "planned_share", "caul")}
FINGERS = {"fingers": "panels.fingers.fingers_cut", "finger": "panels.fingers.finger",
           "clearance": "panels.fingers.clearance", "timber": "panels.carcass.timber"}
TRIED = FINGERS | {name: f"panels.finger_fit.{name}" for name in (
    "joints", "wall", "oversize", "oversize_doubt", "film", "film_doubt", "cut", "apart", "least")}


def _height(meaning: str, example: float) -> In:
    """A height above the deck."""
    return In("m", meaning, example, ge=-5, le=10, resolution=0.001, find="rule, from the top of the deck")


def _price(meaning: str, example: float) -> In:
    """What one pack costs."""
    return In("money", meaning, example, ge=0, le=1e6, resolution=0.01, find="ask the yard")


def _hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=5000, find="hours at the bench, drying left out")


@stage(
    "panels", "02", "Panels and glue",
    settles="How much rough timber the lids, the fixed top and the carcass take, what they weigh, which way they move, "
            "and whether glue, time and clamps reach.",
    first_look=("lid.thickness", "lid.boards", "lid.timber", "glue_up.clamps", "glue_up.open_time", "glue_up.at_once"),
    have_at_hand=("calipers and a rule", "a moisture meter, or an offcut to weigh and dry", "the label of the glue",
                  "a bathroom scale and two blocks, to squeeze with one clamp", "a watch for the dry run"),
    mistakes=(
        "Reckoning with the rough width of a board: jointing takes a few millimetres off each edge.",
        "Gluing battens across a wide panel, or screwing them without slots: it moves by millimetres and splits.",
        "Gluing at the dryness of a heated room what will live outdoors.",
        "Finger joints in boards of unequal moisture: over a wide corner one percent is more than all clearance.",
        "Starting the clock when the last board is spread instead of the first.",
        "Clamps at the ends only: the pressure of a pad reaches no further than the board is wide.",
    ),
)
def panels(
    *,
    lid: Panel = run(panel, **MOISTURES),
    top: Panel = run(panel, timber="panels.lid.timber", thickness="panels.lid.thickness", depth="panels.lid.depth",
                     rough_thickness="panels.lid.rough_thickness", **MOISTURES),
    carcass_boards: PanelsOfBoards = run(panel_boards, thickness="panels.carcass.thickness"),
    carcass: Sheet = run(sheet, area="panels.carcass_boards.area", **MOISTURES),
    year: YearlyMoisture = run(yearly_moisture, months="brief.year.months"),
    swelling: Movement = run(movement, end="panels.year.most", **LID),
    shrinking: Movement = run(movement, end="panels.year.least", cut="panels.swelling.cut", **LID),
    gap_and_slots: PanelGaps = run(panel_gaps, driest="panels.shrinking.end", wettest="panels.swelling.end", **MOVES),
    gap_by_month: PanelYear = run(panel_year, months="brief.year.months", gap="panels.gap_and_slots.gap",
                                  held="panels.gap_and_slots.held", **MOVES),
    fingers: FingerJoint = run(finger_joint, thickness="panels.carcass.thickness", other="panels.carcass.thickness",
                               cutter="machining.inside_corner.diameter"),
    finger_fit: JointFit = run(joint_fit, **FINGERS),
    trials: JointTrials = closer(joint_trials, **TRIED),
    glue_lines: GlueLines = run(
        glue_lines, lid_lines="panels.lid.joints", lid_length="panels.lid.depth", lid_thickness="panels.lid.thickness",
        lid_board="panels.lid.board_width", top_lines="panels.top.joints", top_board="panels.top.board_width",
        lid_pressure="panels.glue_up.pressure", panels="panels.carcass_boards.to_glue",
        corners="panels.finger_fit.joints", corner_path="panels.fingers.glue_path",
        corner_thickness="panels.carcass.thickness"),
    coverage: GlueCoverage = run(glue_coverage, joints="panels.glue_lines.joints"),
    glue_up: GlueUp = run(glue_up, joints="panels.lid.joints", length="panels.lid.depth",
                          thickness="panels.lid.thickness", board_width="panels.lid.board_width",
                          timber="panels.lid.timber", workshop_temperature="brief.workshop_temperature"),
    all_glue_ups: GluePlan = run(glue_plan, panels="panels.glue_lines.to_glue", joint_time="panels.glue_up.per_metre",
                                 **CLAMPS),
    deck_top: Any = take("frame.deck.top"),
    lid_boards: int = take("panels.lid.boards"),
    top_boards: int = take("panels.top.boards"),
    battens: Any = take("panels.lid.battens"),
    end: Any = take("panels.lid.end"),
    bottle: Any = take("panels.coverage.bottle"),
    lid_x: Annotated[Quantity, along("how far the centre of each lid is from the middle, along x", 0.475)]
    = Q(0.475, "m"),
    lid_y: Annotated[Quantity, along("y of the centre of the lids and the fixed top, to the right")] = Q(0, "m"),
    lid_height: Annotated[Quantity, _height("height of the lids and the fixed top, shut, above the deck", 0.433)]
    = Q(0.433, "m"),
    carcass_height: Annotated[Quantity, _height("height of the centre of the carcass above the deck", 0.21)]
    = Q(0.21, "m"),
    carcass_timber: Annotated[str, Text("carcass timber, as you ask for it at the yard", "cedar")] = "boards",
    carcass_length: Annotated[Quantity, In("m", "length of a bought board of the carcass", 3, ge=0.1, le=20,
                                           find="ask the yard", chosen=True)] = Q(3, "m"),
    carcass_price: Annotated[Quantity, _price("price of a board of the carcass", 35.5)] = Q(0, "money"),
    lid_length: Annotated[Quantity, In("m", "length of a bought board of lids and top", 2.8, ge=0.1, le=20,
                                       find="ask the yard", chosen=True)] = Q(2.8, "m"),
    lid_price: Annotated[Quantity, _price("price of a board of lids and top", 34)] = Q(0, "money"),
    crooked: Annotated[Quantity, In("percent", "waste of rough boards: knots, splits, crooked ends", 15, ge=0, le=200,
                                    find="15 for clear boards, 30 for cheap ones", basis="common practice")]
    = Q(15, "percent"),
    covered: Annotated[Quantity, In("m^2", "area of the carcass that is glued, bedded or left bare", 0.7, ge=0, le=500,
                                    find="edges and corners that meet, what stands on the deck, under the seals")]
    = Q(0, "m^2"),
    glue_price: Annotated[Quantity, _price("price of one bottle of glue", 14)] = Q(0, "money"),
    quick: Annotated[Quantity, _hours("hours if all goes well", 12)] = Q(0, "h"),
    likely: Annotated[Quantity, _hours("most likely hours", 16)] = Q(0, "h"),
    slow: Annotated[Quantity, _hours("hours if much goes wrong", 26)] = Q(0, "h"),
    drying: Annotated[Quantity, In("d", "days the glue wants before the panels are worked", 2, ge=0, le=60)]
    = Q(2, "d"),
) -> Iterator[Part | Purchase | Task | Hazard | Piece | Surface]:
    """Two lids, a fixed top between them and the carcass below."""
    deck = Q(0, "m") if deck_top is None else deck_top
    shut = deck + lid_height
    yield Part(name="locker carcass", mass=carcass.mass, wet_mass=carcass.wet_mass, x=Q(0, "m"), y=lid_y,
               z=deck + carcass_height)
    yield Part(name="fixed top", mass=top.mass, wet_mass=top.wet_mass, x=Q(0, "m"), y=lid_y, z=shut)
    yield Part(name="lid, other end", mass=lid.mass, wet_mass=lid.wet_mass, x=-lid_x, y=lid_y, z=shut)
    yield Part(name="lid, named end", mass=lid.mass, wet_mass=lid.wet_mass, x=lid_x, y=lid_y, z=shut)
    more = 1 + crooked.m_as("")
    yield Purchase(name="carcass timber", needed=carcass_boards.board_length * more, pack=carcass_length,
                   price=carcass_price, size=carcass_timber, shop="timber yard")
    yield Purchase(name="lid and top timber", needed=(2 * lid.board_length + top.board_length) * more, pack=lid_length,
                   price=lid_price, size="rough boards", shop="timber yard")
    yield Purchase(name="glue", needed=coverage.mass, pack=bottle, price=glue_price, shop="hardware shop")
    yield Task(name="make lids, top and carcass", quick=quick, likely=likely, slow=slow, wait=drying)
    yield Hazard(text="Dust of wood can bring on asthma, and dust of hardwood cancer of the nose. Take it off at the "
                      "tool, wear a mask, vacuum; never sweep it dry.", cites="OSHA-wood-dust", at="sawing and sanding")
    yield Hazard(text="Glues and their solvents harm lungs and skin, and vapour can catch fire. Air the room, no "
                      "flame, gloves; the safety sheet of your glue comes first.", cites="memory", at="gluing")
    yield Hazard(text="Planer and saw throw back short, warped or nailed pieces. Keep out of the line of the board, "
                      "use push sticks, leave guards on.", cites="practice", at="preparing boards")
    yield Piece(name="lid boards", stock="lid and top timber", length=lid.rough_length, count=2 * lid_boards)
    yield Piece(name="top boards", stock="lid and top timber", length=top.rough_length, count=top_boards)
    for batten in battens:
        yield Piece(name=batten.name, stock="lid and top timber", length=batten.length + 2 * end, count=2)
    for one in carcass_boards.by_panel:
        yield Piece(name=one.name, stock="carcass timber", length=one.rough_length, count=cast(int, one.boards))
    yield Surface(name="lids, faces and edges", area=2 * lid.faces, bare=2 * lid.hidden)
    yield Surface(name="lids, end grain", area=2 * lid.ends, kind="end grain")
    yield Surface(name="fixed top, faces and edges", area=top.faces, bare=top.hidden)
    yield Surface(name="fixed top, end grain", area=top.ends, kind="end grain")
    yield Surface(name="carcass, faces and edges", area=carcass.outside + carcass_boards.edges, bare=covered)
