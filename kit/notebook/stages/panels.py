"""The page of stage 02: what a lid weighs and takes, its boards and clamps from above, its rings, the clock of the glue."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kit.build.build import Build
from kit.notebook.build_lists import one_line
from kit.notebook.clock import Bar, clock, minutes
from kit.notebook.curves import Axis, Curve, chart
from kit.notebook.cut_drawing import own_sticks
from kit.notebook.joint_drawing import fingers
from kit.notebook.paper import Card
from kit.notebook.svg import Sheet
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "card", "clamp_rows", "glue_clock", "plan", "section", "sentence"]


def sentence(build: Build) -> str:
    """Mass and centre, clamps and clock, and how far it moves; what is not worked out yet is said to be open."""
    said, missing = split_clauses(build, _CLAUSES)
    if missing:
        said.append(f"still open: {', '.join(missing)}")
    text = "; ".join(said)
    return f"{text[:1].upper()}{text[1:]}."


def _weight(build: Build) -> str:
    return f"a lid weighs {build.shown('panels.lid.mass')}, its centre {build.shown('panels.lid.centre')} from the hinge edge"


def _enough(build: Build) -> str:
    return build.shown("panels.glue_up.short").rstrip(".")


def _in_time(build: Build) -> str:
    time, opened = (minutes(build.value(f"panels.glue_up.{name}")) for name in ("time", "open_time"))
    late = build.value("panels.glue_up.time") > build.value("panels.glue_up.open_time")
    return f"the last clamp is on at {time}, {'too late for' if late else 'within'} the open time of {opened}"


def _wider(build: Build) -> str:
    change = build.value("panels.swelling.change")
    size = show(abs(change), "mm", resolution=0.1, prefs=build.prefs)
    way = "wider" if change.magnitude >= 0 else "narrower"
    return f"at {build.shown('panels.swelling.end')} moisture a lid is {size} {way} than when it was fitted"


def _gap(build: Build) -> str:
    return f"leave {build.shown('panels.gap_and_slots.gap')} at each moving edge"


def _corners(build: Build) -> str:
    return (
        f"{build.value('panels.finger_fit.joints')} corners of {build.shown('panels.fingers.fingers_cut')} fingers go together in "
        f"{build.shown('panels.finger_fit.chance_set')} of all tries"
    )


_CLAUSES: dict[str, Clause] = {
    "the mass of the lid": (("panels.lid.mass", "panels.lid.centre"), _weight),
    "the clamps": (("panels.glue_up.short",), _enough),
    "the clock of the glue": (("panels.glue_up.time", "panels.glue_up.open_time"), _in_time),
    "the movement": (("panels.swelling.change", "panels.swelling.end"), _wider),
    "the gap around it": (("panels.gap_and_slots.gap",), _gap),
    "the corners": (("panels.finger_fit.chance_set", "panels.fingers.fingers_cut"), _corners),
}
_LID: dict[str, Sequence[str]] = {"the size of the lid and its boards": ("panels.lid.width", "panels.lid.depth", "panels.lid.boards", "panels.lid.thickness", "panels.lid.mass")}
_CLAMPS: dict[str, Sequence[str]] = {"the clamps of the glue-up": ("panels.glue_up.spacing", "panels.glue_up.clamps_needed")}


def _mm(build: Build, size: Quantity) -> str:
    return show(size, "mm", prefs=build.prefs)


def _steps(build: Build, count: int, whole: Quantity) -> list[Quantity]:
    """Board edges or the like: `count` equal steps to the whole."""
    return [whole * (n / count) for n in range(1, count + 1)]


def _clamps(build: Build) -> list[Quantity]:
    """Where clamps stand along the glue line, from the hinge edge; the first at half the spacing."""
    spacing = build.value("panels.glue_up.spacing")
    return [spacing * (n + 0.5) for n in range(int(build.value("panels.glue_up.clamps_needed").magnitude))]


def plan(build: Build, width_on_page: int = 640) -> str:
    """A lid from above with its boards, glue lines, battens and clamps, all from the left end of the hinge edge."""
    needs(build, _LID | _CLAMPS)
    width, depth = build.value("panels.lid.width"), build.value("panels.lid.depth")
    boards = int(build.value("panels.lid.boards"))
    w, d = width.m_as("m"), depth.m_as("m")
    # Words beside the lid keep their size, so on a narrow page the lid itself is drawn smaller.
    beside = 1.21 * w / max(width_on_page - 64 - 193, 100)
    sheet = Sheet((-0.1 * w - 75 * beside, 1.11 * w + 118 * beside), (-20 * beside, d + 74 * beside), "a lid from above with boards, glue lines, battens and clamps", width=width_on_page, margin=32, down=True)
    sheet.rect(0, 0, w, d, weight=2.2, fill=0.05)
    edges = _steps(build, boards, width)
    for place, edge in enumerate(edges):
        x = edge.m_as("m")
        if place < boards - 1:
            sheet.line([(x, 0), (x, d)], weight=2.2)
        sheet.words(x - w / boards / 2, 0.985 * d, f"{place + 1}", anchor="middle", bold=True)
    _battens(build, sheet, w)
    clamps = _clamps(build)
    for place, at in enumerate(clamps):
        _clamp(sheet, w, at.m_as("m"), above=place % 2 == 0)
    sheet.running(0, [(q.m_as("m"), _mm(build, q)) for q in edges], d, off=20)
    right = [(at.m_as("m"), f"{_mm(build, at)} clamp {place + 1}, {_side(place)}") for place, at in enumerate(clamps)]
    sheet.running_along(0, [*right, (d, f"{_mm(build, depth)} front edge")], 1.11 * w, off=12)
    centre = build.value("panels.lid.centre")
    sheet.cross(w / 2, centre.m_as("m"))
    left = [(b.place.m_as("m"), f"batten {_mm(build, b.place)}") for b in build.value("panels.lid.battens") or ()]
    sheet.running_along(0, [*left, (centre.m_as("m"), f"centre {_mm(build, centre)}")], -0.09 * w, off=-12)
    sheet.origin()
    sheet.words(w / 2, -0.055 * d, "hinge edge", anchor="middle", size=11)
    bar = Q(4, "in") if build.prefs.system == "inch" else Q(100, "mm")
    sheet.scale_bar(bar.m_as("m"), _mm(build, bar))
    sheet.notes("Dashed: battens below, put on after the glue-up. Cross: centre of gravity. Thick lines: glue.")
    return sheet.svg()


def _side(place: int) -> str:
    return "above" if place % 2 == 0 else "below"


def _battens(build: Build, sheet: Sheet, w: float) -> None:
    for batten in build.value("panels.lid.battens") or ():
        long, wide, y = batten.length.m_as("m"), batten.width.m_as("m"), batten.place.m_as("m")
        sheet.rect((w - long) / 2, y - wide / 2, long, wide, weight=1, dash="5 4")


def _clamp(sheet: Sheet, w: float, y: float, *, above: bool) -> None:
    """A clamp across all boards: solid with dark pads above the panel, dashed with light pads below it."""
    sheet.line([(-0.07 * w, y), (1.07 * w, y)], weight=2.6 if above else 1.4, dash="" if above else "9 4")
    for x in (-0.05 * w, w):
        sheet.rect(x, y - 0.022 * w, 0.05 * w, 0.044 * w, weight=1.4, fill=0.75 if above else 0)


def section(build: Build) -> str:
    """A lid cut across its boards: how the rings lie, how far its edges move, and the batten with its slots."""
    needs(build, _LID)
    width, thick = build.value("panels.lid.width"), build.value("panels.lid.thickness")
    boards, cut = int(build.value("panels.lid.boards")), build.value("panels.swelling.cut") or "not entered"
    w, t = width.m_as("m"), thick.m_as("m")
    sheet = Sheet((-0.04 * w, 1.04 * w), (-3.9 * t, 2.6 * t), f"a lid cut across its boards, {cut}", width=680, margin=34)
    for place in range(boards):
        _board(sheet, w / boards * place, w / boards, t, str(cut), bark_up=place % 2 == 0)
    battens = build.value("panels.lid.battens") or ()
    if battens:
        _slotted(sheet, w, battens[0].length.m_as("m"), battens[0].thickness.m_as("m"))
    sheet.running(0, [(q.m_as("m"), _mm(build, q)) for q in _steps(build, boards, width)], -t if battens else 0, off=26)
    for line, words in enumerate(_movements(build)):
        sheet.words(w / 2, 2.3 * t - line * 0.6 * t, words, anchor="middle", size=11.5)
    sheet.note(1, _rings(str(cut)))
    sheet.note(0, "Batten: middle screw in a round hole, outer screws in slots across the panel; no glue on the batten.")
    return sheet.svg()


def _rings(cut: str) -> str:
    if cut == "flat-sawn":
        return "Flat-sawn: turn every second board over, bark side (b) up, then down, so that no cup runs through."
    if cut == "quarter-sawn":
        return "Quarter-sawn: rings stand upright; the panel stays flat either way up, so turn boards for looks and grain."
    return f"Rings: {cut}. Turn every second board over, bark side up, then down."


def _board(sheet: Sheet, x: float, wide: float, t: float, cut: str, *, bark_up: bool) -> None:
    """One board in section with its rings, drawn as a sketch: only their direction means something."""
    sheet.rect(x, 0, wide, t, weight=2)
    middle, way = x + wide / 2, 1 if bark_up else -1
    if cut == "quarter-sawn":
        for n in range(1, 10):
            a = x + wide * n / 10
            sheet.line([(a - 0.06 * t, 0.06 * t), (a + 0.05 * t, 0.5 * t), (a + 0.02 * t, 0.94 * t)], weight=0.7)
        return
    if cut != "flat-sawn":
        for n in range(1, 8):
            a = x + (wide - 0.8 * t) * n / 8
            sheet.line([(a, 0.06 * t), (a + 0.8 * t, 0.94 * t)], weight=0.7)
        return
    # Rings about a heart well outside the board; the side away from the heart is the bark side.
    heart = t / 2 - way * 1.3 * t
    for n in range(5):
        radius = (0.95 + 0.22 * n) * t
        _ring(sheet, (middle, heart), radius, way, (x, wide, t))
    sheet.words(middle, t * (1.12 if bark_up else -0.32), "b", size=10, anchor="middle")


def _ring(sheet: Sheet, heart: tuple[float, float], radius: float, way: int, board: tuple[float, float, float]) -> None:
    x, wide, t = board
    points = []
    for n in range(41):
        across = (n / 20 - 1) * min(radius * 0.999, wide / 2)
        up = heart[1] + way * (radius**2 - across**2) ** 0.5
        if 0 <= up <= t and x <= heart[0] + across <= x + wide:
            points.append((heart[0] + across, up))
    if len(points) > 1:
        sheet.line(points, weight=0.7)


def _slotted(sheet: Sheet, w: float, long: float, thick: float) -> None:
    left = (w - long) / 2
    sheet.rect(left, -thick, long, thick, weight=1.4, dash="5 4")
    for share, slot in ((0.5, False), (0.08, True), (0.92, True)):
        x = left + share * long
        sheet.line([(x, -1.15 * thick), (x, 0.5 * thick)], weight=1.8)
        if slot:
            sheet.rect(x - 0.35 * thick, -thick, 0.7 * thick, thick, weight=1, fill=0.18)


def _movements(build: Build) -> list[str]:
    """The width at each end of the year, and what that means for one edge."""
    said, halves = [], []
    for name in ("swelling", "shrinking"):
        change, end = build.value(f"panels.{name}.change"), build.value(f"panels.{name}.end")
        if change is not None and end is not None:
            sign = "+" if change.magnitude >= 0 else "-"
            size = show(abs(change), "mm", resolution=0.1, prefs=build.prefs)
            said.append(f"at {build.shown(f'panels.{name}.end')} moisture {sign}{size}")
            halves.append(change / 2)
    if not said:
        return ["movement: not worked out"]
    start = build.shown("panels.swelling.start")
    return [f"against {start} at fitting: {', '.join(said)}", f"each edge, from the middle screw: {_travel(build, halves)}"]


def _travel(build: Build, halves: Sequence[Quantity]) -> str:
    out = max([Q(0, "mm"), *halves], key=lambda q: q.m_as("mm"))
    back = min([Q(0, "mm"), *halves], key=lambda q: q.m_as("mm"))
    ways = [(out, "outwards"), (-back, "inwards")]
    return " and ".join(f"{show(q, 'mm', resolution=0.1, rounding='up', prefs=build.prefs)} {way}" for q, way in ways if q.magnitude > 0) or "none"


def glue_clock(build: Build) -> str:
    """One go from the first glue to the last clamp, against the planned and the whole open time."""
    needs(build, {"the times of the glue-up": ("panels.glue_up.time",), "the boards of the lid": ("panels.lid.joints",)})
    each, rest = build.value("panels.glue_up.joint_time"), build.value("panels.glue_up.fixed_time")
    count = min(int(build.value("panels.glue_up.at_once")), int(build.value("panels.lid.joints").magnitude))
    opened, share = build.value("panels.glue_up.open_time"), build.value("panels.glue_up.planned_share")
    joints = [Bar(each * n, each * (n + 1), f"{n + 1}", 0.12) for n in range(count)]
    clamping = Bar(each * count, each * count + rest, minutes(each * count + rest), 0.35)
    limits = [
        (opened, f"open time {minutes(opened)}"),
        (share * opened, f"planned for {build.shown('panels.glue_up.planned_share')} of it: {minutes(share * opened)}"),
    ]
    return clock([("glue lines", joints), ("line up, clamp", [clamping])], limits, "since the first glue", "clock of one glue-up")


def clamp_rows(build: Build) -> list[tuple[str, str, str]]:
    """Every clamp with its place from the hinge edge and its side of the panel."""
    return [(f"{n + 1}", _mm(build, at), _side(n)) for n, at in enumerate(_clamps(build))]


def card(build: Build) -> Card:
    """The glue-up at the bench."""
    if not known(build, ("panels.glue_up.spacing", "panels.lid.mass")):
        return Card(steps=("The card is ready when the lid and the glue-up are worked out: fill in what is open.",))
    return Card(
        steps=(
            f"Weigh or meter the boards: {build.shown('panels.lid.fitting_moisture')} is planned, and no two boards more than 2 % apart.",
            "Joint and plane, number the boards, mark the bark side (b) on each end, chalk a triangle across them.",
            "Close everything dry with every clamp, and time it. Only then open the glue.",
            f"Glue on both faces. The clock starts with the first glue: last clamp by {minutes(build.value('panels.glue_up.time'))}, never after {minutes(build.value('panels.glue_up.open_time'))}.",
            "Clamps as drawn, the middle one first; stop when an even bead comes out all along.",
            f"Leave it alone for {build.shown('panels.drying')}. Then the battens, no glue: round hole in the middle, outside {_slots(build)}.",
        ),
        tables=(
            ("Rough boards, then into the clamps", _BENCH, _board_rows(build)),
        ),
        blanks=(
            ("moisture of the driest and the wettest board", build.shown("panels.lid.fitting_moisture")),
            ("workshop, wood and glue", build.shown("panels.glue_up.workshop_temperature")),
            ("last clamp, dry run and with glue", minutes(build.value("panels.glue_up.time"))),
            ("mass of each finished lid, balance point from the hinge edge", f"{build.shown('panels.lid.mass')}, {build.shown('panels.lid.centre')}"),
        ),
        # Drawn for this width, so that the card stays on one sheet and the letters keep their size.
        drawing=plan(build, 436),
    )


def _slots(build: Build) -> str:
    """How long to make the slots, and where the screw sits in them when the batten is put on."""
    if not known(build, ("panels.gap_and_slots.slot", "panels.gap_and_slots.screw_place")):
        return "slots"
    return f"slots of {build.shown('panels.gap_and_slots.slot')}, the screw {build.shown('panels.gap_and_slots.screw_place')} from their outer end"


_BENCH = ("panel", "boards", "rough length", "rough section", "planes to", "goes", "last clamp", "clamps", "apart")


def _board_rows(build: Build) -> list[tuple[str, ...]]:
    """Every panel on one line: its rough boards, and its turn in the clamps where it has glue lines."""

    def section(key: str) -> str:
        return " x ".join(build.shown(f"panels.{key}.{name}") for name in ("rough_width", "rough_thickness"))

    rows = [
        (title, *(build.shown(f"panels.{key}.{name}") for name in ("boards", "rough_length")), section(key),
         build.shown(f"panels.{key}.thickness"))
        for key, title in (("lid", "each lid"), ("top", "fixed top"))
    ]
    for one in build.value("panels.carcass_boards.by_panel") or ():
        rows.append((one.name, f"{one.boards.magnitude:.0f}", _mm(build, one.rough_length), section("carcass_boards"),
                     build.shown("panels.carcass_boards.thickness")))
    goes = _goes(build)
    lines = [(*row, *goes.get("lids" if row[0] == "each lid" else row[0], ("",) * 4)) for row in rows]
    return [(line[0], *map(one_line, line[1:])) for line in lines]


def _goes(build: Build) -> dict[str, tuple[str, ...]]:
    return {
        one.name: (
            f"{one.goes.magnitude:.0f}", minutes(one.time), f"{one.clamps.magnitude:.0f}",
            show(one.spacing, "mm", resolution=1, rounding="down", prefs=build.prefs),
        )
        for one in build.value("panels.all_glue_ups.by_panel") or ()
    }


def gap_year(build: Build) -> str:
    """The gap at a moving edge of a lid, month by month, against the one it was fitted with and the least allowed."""
    needs(build, {"the gap through the year": ("panels.gap_by_month.gap_left", "panels.gap_and_slots.gap")})
    fitted, least = build.value("panels.gap_by_month.gap"), build.value("panels.gap_and_slots.least_gap")
    months, said = build.value("panels.gap_by_month.month"), []
    for size, words in ((fitted, "as fitted"), (least, "must stay")):
        text = f"{words} {show(size, 'mm', resolution=0.1, rounding='up', prefs=build.prefs)}"
        said.append(Curve(size * np.ones(len(months)), text, 1.4, "7 4"))
    return chart(
        months, [Curve(build.value("panels.gap_by_month.gap_left"), "month by month", 2.4), *said],
        axes=(Axis("month of the year", "", 1), Axis("gap at a moving edge", "mm")),
        title="Gap around a lid through the year", prefs=build.prefs,
    )


DRAWINGS = {
    "drawing": plan, "section": section, "clock": glue_clock, "fingers": fingers, "gap": gap_year,
    "sticks": own_sticks("panels"),
}

# What the build sheet shows with its doubt.
MAIN = (
    "panels.lid.mass",
    "panels.coverage.mass",
    "panels.glue_up.time",
)
