"""Stage 01: frame and deck."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated

import numpy as np

from kit.bending import BoardBending, board_bending
from kit.board_spans import BoardSpans, board_spans
from kit.boards import DeckBoards, JoistLayout, deck_boards, joist_layout
from kit.calculator import row
from kit.cut_lengths import CutLengths, cut_lengths
from kit.fasteners import ScrewCount, ScrewSpacing, screw_count, screw_spacing
from kit.fixings import Fixing, fixing
from kit.grades import StrengthClass, strength_class
from kit.handed import Hazard, Part, Piece, Purchase, Surface, Task
from kit.joists import JoistStrength, joist_strength
from kit.kinds import Count, In, Rows, Text, YesNo
from kit.longest_span import LongestSpan, longest_span
from kit.members import Members, members
from kit.moisture import GapYear, YearlyMoisture, gap_year, yearly_moisture
from kit.notches import Notch, notch
from kit.pilot import PilotHole, pilot_hole
from kit.quantities import Q, Quantity
from kit.right_angle import RightAngle, right_angle
from kit.screw_strength import ScrewStrength, screw_strength
from kit.spans import SpanForces, span_forces
from kit.squareness import Squareness, squareness
from kit.stage import closer, run, stage, take

__all__ = ["Article", "frame"]

WOOD = {"fitting_moisture": "brief.fitting_moisture", "wet_moisture": "brief.wet_moisture"}
SCREW = {"rules": "brief.rules", "diameter": "frame.spacing.diameter"}
RULED = {"rules": "brief.rules", "grade": "frame.grade.grade", "service": "frame.foot.service",
         "duration": "frame.foot.duration"}
BENT = RULED | {"bending": "frame.grade.bending", "across": "frame.grade.across",
                "elasticity": "frame.grade.elasticity"}
SHEARED = {"shear": "frame.grade.shear"}
HELD = {"rules": "brief.rules", "grade": "frame.grade.grade", "across": "frame.grade.across",
        "service": "frame.foot.service"}
JOIST = {"thickness": "frame.joists.thickness", "depth": "frame.deck.frame_depth"}
AIR = {"months": "brief.year.months"}
DRILLED = SCREW | {"pre_drilled": "frame.spacing.pre_drilled"}


@row
class Article:
    """Something of the frame that is bought by the piece."""

    name: Annotated[str, Text("article", "mooring cleats")]
    pieces: Annotated[int, Count("pieces", 4, ge=1, le=10_000)]
    price: Annotated[Quantity, In("money", "price of one", 11, ge=0, le=1e5, resolution=0.01, find="ask the shop")]
    size: Annotated[str, Text("size or grade", "stainless, 200 mm", longest=120)] = "-"
    shop: Annotated[str, Text("kind of shop", "chandler")] = "-"


def hours(meaning: str, example: float) -> In:
    """Hours of work."""
    return In("h", meaning, example, ge=0, le=2000)


@stage(
    "frame", "01", "Frame and deck",
    settles="How many boards, at what gap and with what last rip; where the joists and screws go; whether it is "
            "square; what the frame weighs dry and wet, and what to buy for it.",
    first_look=("deck.length", "deck.width", "deck.timber", "deck.board_width", "deck.gap", "joists.joists"),
    have_at_hand=("five boards, a rule and calipers", "a moisture meter, or an offcut, a scale and an oven",
                  "the stamp on the timber", "the box of screws", "a tape longer than the diagonal"),
    mistakes=(
        "Taking the nominal size of a board for its real one: fifteen boards add up a small error fifteen times.",
        "Marking joists one from the next; mark them all from one end.",
        "Calling a frame square because its diagonals agree when opposite sides do not.",
        "Screwing close to a board end without a hole: it splits on the first dry day.",
        "Laying boards that are wet from treatment with the gap that dry ones need.",
        "Counting the smooth shank or the tip of a screw as thread.",
    ),
)
def frame(
    *,
    moisture: YearlyMoisture = run(yearly_moisture, **AIR),
    deck: DeckBoards = run(deck_boards, driest="frame.moisture.least", wettest="frame.moisture.most", **WOOD),
    gap: GapYear = run(
        gap_year, sun="frame.moisture.sun", rain="frame.moisture.rain", board_width="frame.deck.board_width",
        gap="frame.deck.exact_gap", timber="frame.deck.timber", cut="frame.deck.cut",
        laid_moisture="frame.deck.laid_moisture", least_gap="frame.deck.least_gap",
        greatest_gap="frame.deck.greatest_gap", **AIR),
    joists: JoistLayout = run(joist_layout, length="frame.deck.board_run", width="frame.deck.across"),
    timbers: Members = run(members, **WOOD),
    cut_list: CutLengths = run(
        cut_lengths, pieces="frame.timbers.pieces", joist_length="frame.joists.joist_length",
        rim_length="frame.deck.board_run", clear="frame.joists.clear", joists="frame.joists.joists"),
    square: Squareness = run(
        squareness, left="frame.deck.length", right="frame.deck.length", named_side="frame.deck.width",
        other_side="frame.deck.width", named_end="brief.named_end"),
    right_angle: RightAngle = run(
        right_angle, long_side="frame.deck.length", short_side="frame.deck.width",
        tolerance="frame.square.tolerance"),
    grade: StrengthClass = run(strength_class),
    foot: BoardBending = run(
        board_bending, rules="brief.rules", span="frame.joists.spacing", width="frame.deck.board_width",
        thickness="frame.deck.thickness", overhang="frame.joists.inset", grade="frame.grade.grade",
        bending="frame.grade.bending", shear="frame.grade.shear", elasticity="frame.grade.elasticity"),
    boards: BoardSpans = closer(
        board_spans, width="frame.deck.board_width", thickness="frame.deck.thickness", spacing="frame.joists.spacing",
        joists="frame.joists.joists", joist_thickness="frame.joists.thickness", overhang="frame.joists.inset",
        load="frame.foot.load", crowd="frame.joist_loads.crowd", share_of_span="frame.foot.share_of_span",
        **BENT),
    joist_loads: SpanForces = run(
        span_forces, length="frame.deck.across", floats="raft.afloat.floats", run="frame.deck.run",
        spacing="frame.joists.spacing", deck_weight="frame.deck.weight", person="frame.foot.load",
        rules="brief.rules", service="frame.foot.service"),
    joist_strength: JoistStrength = run(
        joist_strength, sagging="frame.joist_loads.sagging", hogging="frame.joist_loads.hogging",
        force="frame.joist_loads.shear", reaction="frame.joist_loads.reaction", uplift="frame.joist_loads.uplift",
        longest="frame.joist_loads.longest", overhang="frame.joist_loads.overhang", bow="frame.joist_loads.sag_live",
        bow_lasting="frame.joist_loads.sag_lasting", dip="frame.joist_loads.tip_live",
        dip_lasting="frame.joist_loads.tip_lasting", **BENT, **SHEARED, **JOIST),
    longest_span: LongestSpan = closer(
        longest_span, spacing="frame.joists.spacing", crowd="frame.joist_loads.crowd", seat="frame.joist_strength.seat",
        shared="frame.joist_strength.shared", incised="frame.joist_strength.incised",
        present="frame.joist_loads.longest", **BENT, **SHEARED, **JOIST),
    notch: Notch = run(notch, force="frame.joist_loads.shear", **RULED, **SHEARED, **JOIST),
    rail: Fixing = run(fixing, **HELD),
    ladder: Fixing = run(fixing, **HELD),
    spacing: ScrewSpacing = run(
        screw_spacing, rules="brief.rules", density="frame.grade.density", length="frame.deck.board_run",
        width="frame.deck.board_width", thickness="frame.deck.thickness", in_one_row="frame.joists.joists",
        rows="frame.screws.each", end="frame.joists.inset"),
    pilot: PilotHole = run(pilot_hole, timber="frame.strength.main_timber", root="frame.strength.root", **SCREW),
    strength: ScrewStrength = run(
        screw_strength, side_timber="frame.deck.timber", side_density="frame.grade.density",
        main_density="frame.grade.density", side_thickness="frame.deck.thickness", duration="frame.foot.duration",
        service="frame.foot.service", **DRILLED),
    screws: ScrewCount = run(screw_count, boards="frame.deck.board_count", joists="frame.joists.joists"),
    box: int = take("frame.screws.box"),
    whole: int = take("frame.deck.full_boards"),
    ripped: int = take("frame.deck.edge_boards"),
    fittings: Annotated[Sequence[Part], Rows("fittings with mass and place: ladder, rails, saddles, cleats",
                                             find="weigh them; one row for what sits in one place")] = (),
    articles: Annotated[Sequence[Article], Rows("fittings to buy")] = (),
    board_length: Annotated[Quantity, In("m", "length of a bought board", 3, ge=0.3, le=12, find="ask the yard",
                                         chosen=True)]
    = Q(3, "m"),
    board_price: Annotated[Quantity, In("money", "price of a bought board", 13.4, ge=0, le=1e4, resolution=0.01,
                                        find="ask the yard")] = Q(0, "money"),
    screw_size: Annotated[str, Text("size and grade of the screws", "A4 5 x 60 mm")] = "-",
    box_price: Annotated[Quantity, In("money", "price of a box of screws", 24, ge=0, le=1e4, resolution=0.01)]
    = Q(0, "money"),
    coated: Annotated[bool, YesNo("the top of the deck is coated", find="bare boards grip better and need no upkeep")]
    = False,
    quick: Annotated[Quantity, hours("hours if all goes well", 20)],
    likely: Annotated[Quantity, hours("most likely hours", 26)],
    slow: Annotated[Quantity, hours("hours if much goes wrong", 38)],
) -> Iterator[Part | Purchase | Task | Hazard | Piece | Surface]:
    """Boards, members and fittings with their places; timber, screws and fittings to buy; lengths to cut."""
    yield Part(name="deck boards", mass=deck.mass, x=Q(0, "m"), y=Q(0, "m"), z=deck.middle, wet_mass=deck.wet_mass)
    for one in timbers.by_row:
        yield Part(name=one.name, mass=one.mass, x=one.x, y=one.y, z=one.z, wet_mass=one.wet_mass)
    yield from fittings
    if np.any(whole):
        yield Piece(name="deck boards, whole", stock="deck boards", length=deck.board_run, count=whole)
    yield Piece(name="edge boards, to rip", stock="deck boards", length=deck.board_run, count=ripped)
    for one in timbers.by_row:
        yield Piece(name=one.name, stock=one.stock, length=one.length, count=one.pieces)
    yield Surface(name="deck top", area=deck.face, bare=deck.face * (0 if coated else 1))
    yield Surface(name="frame timber", area=timbers.faces, bare=timbers.faces, kind="sawn")
    yield Purchase(name="deck boards", needed=deck.metres, pack=board_length, price=board_price, size=deck.section,
                   shop="timber yard")
    for stock in timbers.stocks:
        yield Purchase(name=stock.name, needed=stock.metres, pack=stock.sold_length, price=stock.price,
                       size=stock.section, shop="timber yard")
    yield Purchase(name="deck screws", needed=screws.needed, pack=Q(box), price=box_price, size=screw_size,
                   shop="fixings")
    for article in articles:
        yield Purchase(name=article.name, needed=Q(article.pieces), price=article.price, size=article.size,
                       shop=article.shop)
    yield Task(name="frame and deck", quick=quick, likely=likely, slow=slow)
    yield Hazard(text="Ladder, rails and their fixings hold people over water: have a qualified person check them; no "
                      "figure worked out here approves them.", cites="practice", at="fitting ladder and rails")
    yield Hazard(text="An opening between 90 and 230 mm, in the ladder, the rails or under the deck, can hold a head: "
                      "make it smaller or larger, or close it.", cites="cpsc-325", at="fitting ladder and rails")
    yield Hazard(text="Ripping the edge boards: riving knife in, push stick in hand, eyes, ears and lungs covered, "
                      "nobody behind the saw.", cites="practice", at="ripping the edge boards")
    yield Hazard(text="Mains tools near water or on wet ground only behind a residual-current device; battery tools "
                      "are better.", cites="practice", at="any work at the shore")
