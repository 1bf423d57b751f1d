"""The page of stage 05: what the lid does in a sentence, its section in three positions, the hand's curves, the card."""

from __future__ import annotations

import math
from typing import Any

from kit.build.build import Build
from kit.notebook.lid_curves import FORCES, STATES, closing, moments, opening
from kit.notebook.lid_places import leaning, places
from kit.notebook.lid_template import template
from kit.notebook.paper import Card
from kit.notebook.svg import Sheet
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.quantities import Q
from kit.workshop import show

__all__ = ["DRAWINGS", "MAIN", "card", "section", "sentence"]

# Shut, half open and open: places in the curves of a swing.
POSITIONS = (0, 20, -1)
# Pixels kept for the dimensions on the right of the section and below it.
ROOM_RIGHT, ROOM_FOOT = 130, 98
# Where a point of the moving lid is found among the curves of its travel.
PLACES = {"lid_mount": ("lid_mount_x", "lid_mount_y"), "centre": ("centre_x", "centre_y"), "edge": ("edge_x", "edge_y")}
SWING = {"the mounts and the strut": ("lids.travel.length", "lids.balance.handle", "lids.balance.depth")}


def sentence(build: Build) -> str:
    """What the lid does by itself, what the hand does, how far the strut is from its ends; then what fails or is open."""
    said, missing = split_clauses(build, _CLAUSES)
    parts = [f"{text[:1].upper()}{text[1:]}." for text in said]
    wrong = [asks.label for _, asks, check in build.checks("lids") if check.verdict == "fails"]
    if wrong:
        parts.append(f"Fails: {', '.join(wrong)}.")
    if missing:
        parts.append(f"Still open: {', '.join(missing)}.")
    return " ".join(parts)


_CLAUSES: dict[str, Clause] = {
    "what the lid does by itself": (
        ("lids.balance.leaning_to",), lambda b: f"the lid {b.shown('lids.balance.leaning_to')}"),
    "the hand": (
        ("lids.balance.hand_open", "lids.balance.hand_close"),
        lambda b: f"a hand at the handle opens it with at most {b.shown('lids.balance.hand_open')} and closes it with at "
                  f"most {b.shown('lids.balance.hand_close')}, cold and worn or hot and new"),
    "the strut's reach": (
        ("lids.travel.left_in", "lids.travel.left_out"),
        lambda b: f"the strut keeps {b.shown('lids.travel.left_in')} in hand at its short end and "
                  f"{b.shown('lids.travel.left_out')} at its long end"),
    "the pull on the hinges": (("lids.hinges.direction",), lambda b: b.shown("lids.hinges.direction")),
}


def section(build: Build, width: int = 680) -> str:
    """The lid from the side, to scale, shut, half open and open, with both mounts measured from edges."""
    needs(build, SWING)
    sheet = _paper(build, width)
    _locker(build, sheet)
    for place in reversed(POSITIONS):
        _lid(build, sheet, place)
    for place in reversed(POSITIONS):
        _strut(build, sheet, place)
    _hand_path(build, sheet)
    _mounts(build, sheet)
    sheet.origin(names=("", ""))
    sheet.scale_bar(0.1, show(Q(100, "mm"), "mm", prefs=build.prefs))
    sheet.notes(
        f"Origin: hinge pin. The shut lid is drawn level; it falls {build.shown('lids.balance.fall')} to the front. Arrows: "
        "weight. Dot-dashed: half open.", keep=90)
    return sheet.svg()


def _metres(build: Build, path: str) -> float:
    return float(build.value(path).m_as("m"))


def _place(build: Build, name: str, place: int) -> tuple[float, float]:
    """A point of the moving lid at one of the positions, in metres."""
    along, above = (build.value(f"lids.travel.{path}") for path in PLACES[name])
    return float(along[place].m_as("m")), float(above[place].m_as("m"))


def _paper(build: Build, width: int) -> Sheet:
    """A sheet that holds the whole swing, the locker's side and the dimensions."""
    depth, handle = _metres(build, "lids.balance.depth"), _metres(build, "lids.balance.handle")
    edges = [_place(build, "edge", n) for n in range(len(build.value("lids.travel.angle")))]
    mounts = [_body(build), *(_place(build, "lid_mount", n) for n in POSITIONS)]
    left, right = min([0, *(x for x, _ in edges), *(x for x, _ in mounts)]) - 0.05, max(depth, handle)
    low, high = _foot(build), max(y for _, y in edges) + 0.05
    # Texts stay as large as they are however small the drawing: room for them is reckoned in pixels.
    scale = (width - 28 - ROOM_RIGHT) / (right - left)
    return Sheet((left, right + ROOM_RIGHT / scale), (low - ROOM_FOOT / scale, high),
                 "the lid from the side, shut, half open and open", width=width, margin=14)


def _body(build: Build) -> tuple[float, float]:
    return _metres(build, "lids.balance.body_mount_along"), _metres(build, "lids.balance.body_mount_above")


def _rim(build: Build) -> float:
    """Height of the rim, which is also the underside of the shut lid, above the pin."""
    return -_metres(build, "lids.travel.pin_above_rim")


def _foot(build: Build) -> float:
    """Where the drawn part of the locker's side ends."""
    return min(_body(build)[1], _place(build, "lid_mount", 0)[1], _rim(build)) - 0.05


def _locker(build: Build, sheet: Sheet) -> None:
    depth, rim, foot = _metres(build, "lids.balance.depth"), _rim(build), _foot(build)
    sheet.rect(0, foot, depth, rim - foot, weight=1, fill=0.04)
    sheet.line([(0, rim), (depth, rim)], weight=2.2)
    # On the narrow drawing of the card these words would lie on those of the body mount.
    if sheet.width > 500:
        sheet.words(0.02 * depth, foot + 0.012, "side of the locker", size=11)


def _lid(build: Build, sheet: Sheet, place: int) -> None:
    """The lid's section at one position with its centre of gravity and the way its weight pulls."""
    turn = math.radians(build.value("lids.travel.angle")[place].m_as("deg"))
    low, depth = _rim(build), _metres(build, "lids.balance.depth")
    high = low + _thickness(build)
    corners = [(0, low), (depth, low), (depth, high), (0, high)]
    half = place == POSITIONS[1]
    sheet.line([_turned(corner, turn) for corner in corners], closed=True, weight=1 if half else 2,
               dash="9 3 2 3" if half else "", fill=0 if half else 0.1)
    x, y = _place(build, "centre", place)
    sheet.cross(x, y)
    fall, long = math.radians(build.value("lids.balance.fall").m_as("deg")), 0.1 * depth
    # With the shut lid drawn level, plumb leans forward by the fall of the lid.
    sheet.arrow((x, y), (x + long * math.sin(fall), y - long * math.cos(fall)), weight=1.2)
    edge_x, edge_y = _place(build, "edge", place)
    name = ("shut", f"half open {_deg(build, place)}", f"open {_deg(build, place)}")[POSITIONS.index(place)]
    # Clear of the dimensions that start at the shut lid's front edge.
    up = high if place == POSITIONS[0] else edge_y - 0.01 * depth
    sheet.words(edge_x + 0.03 * depth, up, name, size=12, bold=True)


def _turned(point: tuple[float, float], turn: float) -> tuple[float, float]:
    x, y = point
    return x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)


def _thickness(build: Build) -> float:
    """The lid's thickness where a stage knows it; a thin line of a lid otherwise."""
    there = "panels" in build.graph.stages and build.value("panels.lid.thickness") is not None
    return _metres(build, "panels.lid.thickness") if there else 0.02


def _deg(build: Build, place: int) -> str:
    return show(build.value("lids.travel.angle")[place], "deg", resolution=0.1, prefs=build.prefs)


def _strut(build: Build, sheet: Sheet, place: int) -> None:
    """The strut at one position: the tube as thick as it looks, then the bare rod, which points down with the lid shut."""
    (x, y), (u, v) = _body(build), _place(build, "lid_mount", place)
    eye = (u, v)
    if y < _place(build, "lid_mount", 0)[1]:
        (x, y), (u, v) = (u, v), (x, y)
    tube = _metres(build, "lids.balance.extended") - _metres(build, "lids.balance.stroke")
    share = min(1.0, tube / math.hypot(u - x, v - y))
    dash = "9 3 2 3" if place == POSITIONS[1] else ""
    sheet.line([(x, y), (x + share * (u - x), y + share * (v - y))], weight=1.2 if dash else 5, dash=dash)
    sheet.line([(x, y), (u, v)], weight=1.2 if dash else 1.8, dash=dash)
    sheet.circle(*eye, 0.006, weight=1.4)


def _hand_path(build: Build, sheet: Sheet) -> None:
    """The way of the handle, with the angle beyond which the lid rises by itself."""
    handle, open_to = _metres(build, "lids.balance.handle"), float(build.value("lids.travel.angle")[-1].m_as("deg"))
    sheet.arc(0, 0, handle, 0, open_to, dash="4 4")
    sheet.dot(handle, 0, size=3)
    tip = math.radians(0.17 * open_to)
    x, y = 0.98 * handle * math.cos(tip), 0.98 * handle * math.sin(tip)
    for line, words in enumerate(("path of the handle,", f"{build.shown('lids.balance.handle')} from the pin")):
        sheet.words(x, y - 14 * line / sheet.scale, words, size=11, anchor="end")
    balance = build.value("lids.balance.balance_nominal")
    if balance is not None and math.isfinite(balance.m_as("deg")):
        turn = math.radians(balance.m_as("deg"))
        words = f"balances at {build.shown('lids.balance.balance_nominal')}, 20 °C"
        sheet.dot(handle * math.cos(turn), handle * math.sin(turn), words, size=4)


def _mounts(build: Build, sheet: Sheet) -> None:
    """Both mounts with running dimensions from the front edge and from the rim."""
    depth, rim, foot = _metres(build, "lids.balance.depth"), _rim(build), _foot(build)
    (x, y), (u, v) = _body(build), _place(build, "lid_mount", 0)
    sheet.circle(x, y, 0.006, weight=1.4, fill=1)
    sheet.words(x + 0.015, y - 0.028, "body mount", size=11)
    sheet.words(u - 0.012, v - 0.03, "lid mount", size=11, anchor="end")
    for a, b in ((x, y), (u, v)):
        sheet.line([(a, b), (a, foot)], weight=0.5, dash="2 3")
        sheet.line([(a, b), (depth, b)], weight=0.5, dash="2 3")
    marks = [
        (x, build.shown("lids.travel.body_mount_from_front")),
        (u, build.shown("lids.travel.lid_mount_from_front")),
        (0, build.shown("lids.balance.depth")),
    ]
    sheet.running(depth, marks, foot, off=18)
    sheet.words(depth + 0.012, foot - 18 / sheet.scale, "from the front edge", size=10.5)
    down = [
        (y, f"{build.shown('lids.travel.body_mount_below_rim')} below the rim"),
        (v, f"{_below_lid(build)} below the lid"),
    ]
    sheet.running_along(rim, down, depth, off=22)


def _below_lid(build: Build) -> str:
    """The lid mount below the lid's underside: shut, the lid lies on the rim."""
    below = -build.value("lids.balance.lid_mount_above") - build.value("lids.travel.pin_above_rim")
    return show(below, "mm", prefs=build.prefs)


# -- card -------------------------------------------------------------------------------------------------------------


def card(build: Build) -> Card:
    """Where to drill, what to expect at the handle, what to measure."""
    if not (known(build, SWING["the mounts and the strut"]) and known(build, FORCES["the balance of the lid"])):
        return Card(steps=("The card is ready when the lid, its strut and both mounts are entered.",))
    return Card(
        steps=(
            f"Weigh and balance the lid with everything on it; {build.shown('lids.balance.mass')} and "
            f"{build.shown('lids.balance.centre')} are planned. If it is off, enter it before drilling.",
            "Hang the lid and shut it on its seal. Prop it whenever a hand is inside.",
            "Mark both mounts from the front edge and the rim (table, or the template), then hold the strut to the marks: "
            "its two lengths must be those of the table.",
            f"Back thin wood before drilling. Lid mount first, then the body mount, lid propped open, strut fully out; "
            f"{build.shown('lids.travel.rod_end')}.",
            f"Set a stop or stay at {build.shown('lids.balance.opening')}: the strut must never be the stop.",
            "Try the pilot drill of the hinge screws in an offcut. Fit the latch, then open and close the lid ten times.",
        ),
        tables=(
            ("Mounts, lid shut", ("mount", "behind the front edge", "down", "of the pin"), _mount_rows(build)),
            ("Through the swing", ("position", "strut, eye to eye", "hand opening, cold", "at 20 °C", "hot"), _swing_rows(build)),
        ),
        blanks=(
            ("mass of the lid; its centre from the pin",
             f"{build.shown('lids.balance.mass')}; {build.shown('lids.balance.centre')}"),
            ("strut pressed on a scale, rod just moving in", _on_a_scale(build)),
            ("strut, eye to eye, shut; open",
             f"{build.shown('lids.travel.shut_length')}; {build.shown('lids.travel.open_length')}"),
            ("spring balance at the handle, opening from shut", _newtons(build, build.value("lids.balance.open_nominal")[0])),
            ("rises by itself above", build.shown("lids.balance.balance_nominal")),
        ),
        drawing=section(build, 350),
        sheets=(("Template for the mounts, true size: print at 100 %", _template_or_words(build)),),
    )


def _template_or_words(build: Build) -> str:
    try:
        return template(build)
    except LookupError as why:
        return f"<p>{why.args[0]}</p>"


def _mount_rows(build: Build) -> list[tuple[str, ...]]:
    def of_pin(mount: str) -> str:
        along, above = (build.shown(f"lids.balance.{mount}_mount_{way}") for way in ("along", "above"))
        return f"{along} along, {above} above"

    return [
        ("on the lid", build.shown("lids.travel.lid_mount_from_front"), f"{_below_lid(build)} below the lid", of_pin("lid")),
        ("on the body", build.shown("lids.travel.body_mount_from_front"),
         f"{build.shown('lids.travel.body_mount_below_rim')} below the rim", of_pin("body")),
    ]


def _swing_rows(build: Build) -> list[tuple[str, ...]]:
    rows = []
    for place, name in zip(POSITIONS, ("shut", "half open", "open"), strict=True):
        length = show(build.value("lids.travel.length")[place], "mm", prefs=build.prefs)
        forces = (_newtons(build, build.value(f"lids.balance.open_{state}")[place]) for state in STATES)
        rows.append((f"{name}, {_deg(build, place)}", length, *forces))
    return rows


def _newtons(build: Build, force: Any) -> str:
    # Less than nothing to do for the hand means that the lid pulls away: say so, a sign alone is misread.
    text = show(abs(force), "N", resolution=1, prefs=build.prefs)
    return text if force.magnitude >= 0 else f"springs open, {text}"


def _on_a_scale(build: Build) -> str:
    """What a scale shows under the strut: its force as the mass that weighs as much, friction of pushing in included."""
    force = build.value("lids.balance.force") + build.value("lids.balance.friction")
    return show((force / Q(9.80665, "m/s^2")).to("kg"), "kg", resolution=0.1, prefs=build.prefs)


DRAWINGS = {
    "drawing": section, "opening": opening, "closing": closing, "moments": moments, "leaning": leaning, "places": places,
    "template": template,
}

# What the build sheet shows with its doubt.
MAIN = (
    "lids.balance.shut",
    "lids.balance.hold",
    "lids.balance.hand_open",
)
