"""The page of stage 01: boards and joists in a sentence, the deck in plan, a board end with its screws, the card."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kit.build.build import Build
from kit.notebook import frame_drawings as drawn
from kit.notebook.board_end import screws
from kit.notebook.paper import Card
from kit.notebook.svg import Sheet
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "card", "cut_rows", "plan", "sentence"]

LAYOUT = {
    "the boards": ("frame.deck.lines",), "the joists": ("frame.joists.lines",),
    "the diagonals": ("frame.square.target",),
}
# Pixels kept for dimensions left and right of the plan, above and below it.
ROOM_SIDES, ROOM_UP = (48, 118), (34, 130)
# A point of the deck, along the boards and across them from the first corner, in world metres.
Turn = Callable[[float, float], tuple[float, float]]


def sentence(build: Build) -> str:
    """Boards, gaps, joists, diagonals, what a foot does and what it weighs; then what fails or is open."""
    said, missing = split_clauses(build, _CLAUSES)
    parts = [f"{text[:1].upper()}{text[1:]}." for text in said]
    wrong = [asks.label for _, asks, check in build.checks("frame") if check.verdict == "fails"]
    if wrong:
        parts.append(f"Fails: {', '.join(wrong)}.")
    if missing:
        parts.append(f"Still open: {', '.join(missing)}.")
    return " ".join(parts)


def _boards(build: Build) -> str:
    whole = build.shown("frame.deck.full_boards")
    if build.value("frame.deck.edge_width") == build.value("frame.deck.board_width"):
        laid = f"{build.shown('frame.deck.board_count')} whole boards"
    else:
        laid = f"{whole} whole boards and 2 ripped to {build.shown('frame.deck.edge_width')}"
    moves = f" ({build.shown('frame.deck.gap_wet')} wet, {build.shown('frame.deck.gap_dry')} dry)"
    return f"{laid} lie with gaps of {build.shown('frame.deck.exact_gap')}{moves}"


def _joists(build: Build) -> str:
    """What bends them most, how far they give, and which strength is used most where there is one to design with."""
    said = (f"what bends a joist most is {build.shown('frame.joist_loads.governed_by')}; it gives {build.shown('frame.joist_strength.sag')} "
            f"between supports and {build.shown('frame.joist_strength.tip')} at its end")
    checks = {"bending": "bends", "shear": "shears", "bearing": "bears"}
    name = checks.get(str(build.value("frame.joist_strength.governed_by")))
    check = build.check(f"frame.joist_strength.{name}") if name else None
    if name is None or check is None:
        return said
    return f"{said}, and uses {100 * float(check.share):.0f} % of its strength, in {build.shown('frame.joist_strength.governed_by')}"


_CLAUSES: dict[str, Clause] = {
    "the boards": (("frame.deck.exact_gap", "frame.deck.full_boards"), _boards),
    "the joists": (("frame.joists.spacing",), lambda b: (
        f"{b.shown('frame.joists.joists')} joists stand at {b.shown('frame.joists.spacing')} centres")),
    "the diagonals": (("frame.square.target",), lambda b: f"both diagonals are {b.shown('frame.square.target')} when it is square"),
    "one heavy foot": (("frame.foot.deflection",), lambda b: (
        f"one heavy foot bends a board by {b.shown('frame.foot.deflection')}")),
    "what the joists bear": (("frame.joist_strength.governed_by", "frame.joist_loads.governed_by", "frame.joist_strength.tip"), _joists),
    "the mass": (("frame.deck.mass", "frame.timbers.mass"), lambda b: (
        f"boards and frame timber weigh {b.shown('frame.deck.mass')} and {b.shown('frame.timbers.mass')} at fitting, "
        f"{b.shown('frame.deck.wet_mass')} and {b.shown('frame.timbers.wet_mass')} wet through")),
}


# -- plan -------------------------------------------------------------------------------------------------------------


def plan(build: Build, width: int = 700) -> str:
    """The deck from above: boards, joists and rims under them, screws, diagonals; everything from one end and one side."""
    needs(build, LAYOUT)
    length, wide = (float(build.value(f"frame.deck.{name}").m_as("m")) for name in ("length", "width"))
    # Texts stay as large as they are however small the drawing: room for them is reckoned in pixels.
    scale = (width - sum(ROOM_SIDES)) / length
    left, right = (-length / 2 - ROOM_SIDES[0] / scale, length / 2 + ROOM_SIDES[1] / scale)
    sheet = Sheet((left, right), (-wide / 2 - ROOM_UP[0] / scale, wide / 2 + ROOM_UP[1] / scale),
                  "the deck from above with boards, joists, screws and diagonals", width=width, margin=0, down=True)
    turn = _turn(build, length, wide)
    _frame(build, sheet, turn)
    _laid(build, sheet, turn)
    _screw_dots(build, sheet, turn)
    for side in (1, -1):
        sheet.line([(-length / 2, -side * wide / 2), (length / 2, side * wide / 2)], weight=0.9, dash="14 5 2 5")
    _running(build, sheet, length, wide)
    sheet.origin()
    sheet.across(-length / 2, length / 2, -wide / 2, f"left side, {build.shown('frame.deck.length')}", off=-12)
    sheet.along(-wide / 2, wide / 2, -length / 2, f"other end, {build.shown('frame.deck.width')}", off=-12)
    sheet.words(length / 2 + 6 / sheet.scale, 0, build.shown("brief.named_end"), anchor="middle", size=11, turn=90)
    sheet.scale_bar(0.5, show(Q(500, "mm"), "mm", prefs=build.prefs))
    sheet.notes(
        f"Both diagonals, corner to corner: {build.shown('frame.square.target')}. Gap block: "
        f"{build.shown('frame.deck.exact_gap')}. Dots: screws. Dashed: joists and rims below. Joist middles from the "
        f"{_first_end(build)}, boards from the first edge.", keep=170)
    return sheet.svg()


def _along_length(build: Build) -> bool:
    return bool(build.value("frame.deck.run") == "along the length")


def _first_end(build: Build) -> str:
    away = f"end opposite the {build.shown('brief.named_end')}"
    return away if _along_length(build) else "left side"


def _turn(build: Build, length: float, width: float) -> Turn:
    """How a point along and across the boards lies in the plan."""
    if _along_length(build):
        return lambda along, across: (along - length / 2, across - width / 2)
    return lambda along, across: (across - length / 2, along - width / 2)


def _box(sheet: Sheet, turn: Turn, along: tuple[float, float], across: tuple[float, float], **how: Any) -> None:
    (a, b), (c, d) = along, across
    sheet.line([turn(a, c), turn(b, c), turn(b, d), turn(a, d)], closed=True, **how)


def _size(build: Build, path: str) -> float:
    return float(build.value(path).m_as("m"))


def _frame(build: Build, sheet: Sheet, turn: Turn) -> None:
    """Joists between two rims, dashed because the boards hide them."""
    run, across = _size(build, "frame.deck.board_run"), _size(build, "frame.deck.across")
    thick, rim = _size(build, "frame.joists.thickness"), _size(build, "frame.joists.rim_thickness")
    if rim:
        for start in (0, across - rim):
            _box(sheet, turn, (0, run), (start, start + rim), weight=0.9, dash="4 3")
    for joist in build.value("frame.joists.lines"):
        middle = float(joist.from_end.m_as("m"))
        _box(sheet, turn, (middle - thick / 2, middle + thick / 2), (rim, across - rim), weight=0.9, dash="4 3", fill=0.07)


def _laid(build: Build, sheet: Sheet, turn: Turn) -> None:
    run = _size(build, "frame.deck.board_run")
    for board in build.value("frame.deck.lines"):
        _box(sheet, turn, (0, run), (float(board.start.m_as("m")), float(board.end.m_as("m"))), weight=1.1)


def _screw_dots(build: Build, sheet: Sheet, turn: Turn) -> None:
    """A dot for every screw, all in one path, since there are hundreds."""
    rows, edge = int(build.value("frame.screws.each") or 0), build.value("frame.spacing.edge")
    if not rows or edge is None:
        return
    marks = []
    for board in build.value("frame.deck.lines"):
        start, end = float(board.start.m_as("m")), float(board.end.m_as("m"))
        for joist in build.value("frame.joists.lines"):
            for across in _across(start, end, float(edge.m_as("m")), rows):
                a, b = sheet.at(*turn(float(joist.from_end.m_as("m")), across))
                marks.append(f"M{a:.1f} {b:.1f}h0")
    sheet.body.append(f'<path d="{"".join(marks)}" stroke="currentColor" stroke-width="3.4" stroke-linecap="round"/>')


def _across(start: float, end: float, edge: float, rows: int) -> list[float]:
    if rows == 1:
        return [(start + end) / 2]
    return [start + edge + n * (end - start - 2 * edge) / (rows - 1) for n in range(rows)]


def _running(build: Build, sheet: Sheet, length: float, width: float) -> None:
    """Joists and boards, each from one end or edge, never from one another."""
    joists = [(float(j.from_end.m_as("m")), _row(build, j.from_end, 1)) for j in build.value("frame.joists.lines")]
    boards = [(float(b.start.m_as("m")), _row(build, b.start, 0.5)) for b in build.value("frame.deck.lines")]
    below, beside = (joists, boards) if _along_length(build) else (boards, joists)
    sheet.running(-length / 2, [(x - length / 2, text) for x, text in below], width / 2, off=14)
    sheet.running_along(-width / 2, [(y - width / 2, text) for y, text in beside], length / 2 + 24 / sheet.scale, off=12)


def _row(build: Build, size: Quantity, resolution: float) -> str:
    return show(size, "mm", resolution=resolution, prefs=build.prefs)


# -- card -------------------------------------------------------------------------------------------------------------


def card(build: Build) -> Card:
    """How to lay it out, what to cut, what to measure before anything is fixed."""
    if not all(known(build, paths) for paths in LAYOUT.values()):
        return Card(steps=("The card is ready when the deck, the boards and the joists are entered.",))
    return Card(
        steps=(
            f"Measure five boards and put their mean width in; {build.shown('frame.deck.board_width')} is planned.",
            f"Mark all joist middles on both rims together, every one from the {_first_end(build)} (drawing), then cut.",
            f"First corner by 3-4-5: marks at {build.shown('frame.right_angle.long_leg')} and {build.shown('frame.right_angle.short_leg')} "
            f"from it, {build.shown('frame.right_angle.slope')} apart; a batten of {build.shown('frame.right_angle.brace')} braces it.",
            f"Screw the frame together on a level place. Bring both diagonals to {build.shown('frame.square.target')} and brace it; "
            "sides first, diagonals second, corner heights last.",
            f"Lay the edge board along a line, then work across with gap blocks of {build.shown('frame.deck.exact_gap')}; anything "
            f"from {build.shown('frame.gap.lay_at_least')} to {build.shown('frame.gap.lay_at_most')} stays right all year. Check "
            "against the running dimensions at every third board.",
            f"Drill {_drills(build)}; screws {build.shown('frame.spacing.end')} from board ends, "
            f"{build.shown('frame.spacing.edge')} from edges, heads flush.",
        ),
        tables=(("Cut list", ("pieces", "name", "section", "cut length", "timber"), cut_rows(build)),),
        blanks=_blanks(build),
        drawing=plan(build, 600),
        sheets=(("Screws at a board end", _or_words(screws, build, 520)),
                ("One joist on its supports", _or_words(drawn.joist, build, 620))),
    )


def _drills(build: Build) -> str:
    if not known(build, ("frame.pilot.clearance_drill", "frame.pilot.thread_drill")):
        return "as the offcut shows"
    return (
        f"{build.shown('frame.pilot.clearance_drill')} through the board, then {build.shown('frame.pilot.thread_drill')} "
        "into the joist"
    )


def _or_words(drawing: Callable[[Build, int], str], build: Build, width: int) -> str:
    try:
        return drawing(build, width)
    except LookupError as why:
        return f"<p>{why.args[0]}</p>"


def cut_rows(build: Build) -> list[tuple[str, ...]]:
    """Boards and members with their sections and cut lengths; equal pieces in one row."""
    thick, run = build.shown("frame.deck.thickness"), build.shown("frame.deck.board_run")
    timber = build.shown("frame.deck.timber")
    rows: list[tuple[str, ...]] = [
        (build.shown(f"frame.deck.{count}"), name, f"{thick} x {build.shown(f'frame.deck.{wide}')}", run, timber)
        for count, name, wide in (
            ("full_boards", "boards", "board_width"), ("edge_boards", "edge boards, ripped", "edge_width"))
    ]
    for member in build.value("frame.timbers.pieces") or ():
        sizes = [show(getattr(member, name), "mm", resolution=0.5, prefs=build.prefs) for name in ("thickness", "depth")]
        length = show(member.length, "mm", prefs=build.prefs)
        rows.append((str(member.pieces), member.name, " x ".join(sizes), length, member.timber))
    return rows


def _blanks(build: Build) -> Sequence[tuple[str, str]]:
    end = build.shown("brief.named_end")
    length, width = build.shown("frame.deck.length"), build.shown("frame.deck.width")
    target = build.shown("frame.square.target")
    return (
        ("mean width of five boards", build.shown("frame.deck.board_width")),
        ("moisture of the boards", build.shown("frame.deck.laid_moisture")),
        ("left side; right side", f"{length} each"),
        (f"{end}; other end", f"{width} each"),
        (f"diagonal, other end left to {end} right", target),
        (f"diagonal, other end right to {end} left", target),
        (f"heights at the {end}: left; right", "all four equal"),
        ("heights at the other end: left; right", "all four equal"),
        ("gaps at three places", build.shown("frame.deck.exact_gap")),
        ("offcut: drilled, screwed, no split", "yes"),
    )


DRAWINGS = {
    "drawing": plan, "screws": screws, "joist": drawn.joist, "moments": drawn.moments,
    "moisture": drawn.moisture_year, "gap": drawn.gap_year, "gap_ends": drawn.gap_ends,
}

# What the build sheet shows with its doubt.
MAIN = (
    "frame.deck.mass",
    "frame.deck.gap_wet",
    "frame.deck.gap_dry",
    "frame.foot.deflection",
)
