"""Stage 01: frame and deck."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated

from kit.bending import BoardBending, board_bending
from kit.boards import DeckBoards, JoistLayout, deck_boards, joist_layout
from kit.calculator import row
from kit.fasteners import ScrewCount, ScrewSpacing, screw_count, screw_spacing
from kit.grades import StrengthClass, strength_class
from kit.handed import Hazard, Part, Purchase, Task
from kit.kinds import Count, In, Rows, Text
from kit.members import Members, members
from kit.pilot import PilotHole, pilot_hole
from kit.quantities import Q, Quantity
from kit.screw_strength import ScrewStrength, screw_strength
from kit.squareness import Squareness, squareness
from kit.stage import run, stage, take

__all__ = ["Article", "frame"]

WOOD = {"fitting_moisture": "brief.fitting_moisture", "wet_moisture": "brief.wet_moisture"}
SCREW = {"rules": "brief.rules", "diameter": "frame.spacing.diameter"}
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
    deck: DeckBoards = run(deck_boards, **WOOD),
    joists: JoistLayout = run(joist_layout, length="frame.deck.board_run", width="frame.deck.across"),
    timbers: Members = run(members, **WOOD),
    square: Squareness = run(
        squareness, left="frame.deck.length", right="frame.deck.length", named_side="frame.deck.width",
        other_side="frame.deck.width", named_end="brief.named_end"),
    grade: StrengthClass = run(strength_class),
    foot: BoardBending = run(
        board_bending, rules="brief.rules", span="frame.joists.spacing", width="frame.deck.board_width",
        thickness="frame.deck.thickness", bending="frame.grade.bending", elasticity="frame.grade.elasticity"),
    spacing: ScrewSpacing = run(
        screw_spacing, rules="brief.rules", density="frame.grade.density", length="frame.deck.board_run",
        width="frame.deck.board_width", thickness="frame.deck.thickness", in_one_row="frame.joists.joists",
        rows="frame.screws.each"),
    pilot: PilotHole = run(pilot_hole, timber="frame.strength.main_timber", root="frame.strength.root", **SCREW),
    strength: ScrewStrength = run(
        screw_strength, side_timber="frame.deck.timber", side_density="frame.grade.density",
        main_density="frame.grade.density", side_thickness="frame.deck.thickness", duration="frame.foot.duration",
        service="frame.foot.service", **DRILLED),
    screws: ScrewCount = run(screw_count, boards="frame.deck.board_count", joists="frame.joists.joists"),
    box: int = take("frame.screws.box"),
    fittings: Annotated[Sequence[Part], Rows("fittings with mass and place: ladder, rails, saddles, cleats",
                                             find="weigh them; one row for what sits in one place")] = (),
    articles: Annotated[Sequence[Article], Rows("fittings to buy")] = (),
    board_length: Annotated[Quantity, In("m", "length of a bought board", 3, ge=0.3, le=12, find="ask the yard")]
    = Q(3, "m"),
    board_price: Annotated[Quantity, In("money", "price of a bought board", 13.4, ge=0, le=1e4, resolution=0.01,
                                        find="ask the yard")] = Q(0, "money"),
    screw_size: Annotated[str, Text("size and grade of the screws", "A4 5 x 60 mm")] = "-",
    box_price: Annotated[Quantity, In("money", "price of a box of screws", 24, ge=0, le=1e4, resolution=0.01)]
    = Q(0, "money"),
    quick: Annotated[Quantity, hours("hours if all goes well", 20)],
    likely: Annotated[Quantity, hours("most likely hours", 26)],
    slow: Annotated[Quantity, hours("hours if much goes wrong", 38)],
) -> Iterator[Part | Purchase | Task | Hazard]:
    """Boards, members and fittings with their places; timber, screws and fittings to buy."""
    yield Part(name="deck boards", mass=deck.mass, x=Q(0, "m"), y=Q(0, "m"), z=deck.middle, wet_mass=deck.wet_mass)
    for one in timbers.by_row:
        yield Part(name=one.name, mass=one.mass, x=one.x, y=one.y, z=one.z, wet_mass=one.wet_mass)
    yield from fittings
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
