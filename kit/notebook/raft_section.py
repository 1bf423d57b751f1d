"""The raft from its end, at the waterline: unloaded, with everybody aboard, and with people at one side."""

from __future__ import annotations

import math
from collections.abc import Callable

from kit.afloat import afloat
from kit.build.build import Build
from kit.notebook.raft_plan import deck_of, mm
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.quantities import Q
from kit.workshop import show

__all__ = ["section"]

SECTION = {
    "the size of the deck": ("frame.deck.width", "frame.deck.top"), "the floats": ("raft.afloat.outlines",),
    "how it lies": ("raft.afloat.waterline",),
}
ROOM_SIDES, ROOM_UP, ROOM_FOOT = 120, 14, 84
# Height of the water over the datum at a place across the raft, both in metres of the raft's own axes.
Water = Callable[[float], float]


def section(build: Build, width: int = 760) -> str:
    """Floats, deck and three waterlines, with the freeboards and the draft measured on them."""
    needs(build, SECTION)
    if not math.isfinite(build.value("raft.afloat.waterline").magnitude):
        raise LookupError("it does not come to rest in the water by its own weight")
    _, wide, top = deck_of(build)
    outlines = build.value("raft.afloat.outlines")
    foot = min(float(one.z_low.m_as("m")) for one in outlines)
    half = max(wide / 2, *(abs(float(getattr(one, side).m_as("m"))) for one in outlines for side in ("y_low", "y_high")))
    scale = (width - 2 * ROOM_SIDES) / (2 * half)
    head = top + _standing(build) + 0.1
    sheet = Sheet((-half - ROOM_SIDES / scale, half + ROOM_SIDES / scale), (foot - ROOM_FOOT / scale, head + ROOM_UP / scale),
                  "the raft seen from its end, with three waterlines", width=width, margin=0)
    _body(build, sheet)
    _waters(build, sheet, half)
    _people(build, sheet)
    sheet.origin(names=("y", "z"))
    sheet.scale_bar(0.5, show(Q(500, "mm"), "mm", prefs=build.prefs))
    sheet.notes(
        f"Seen towards the {build.shown('brief.named_end')}, in the raft's own axes. 1: as fitted, nobody aboard. 2: wet through, "
        "everybody aboard in the middle. 3: wet through, the group at the right side (drawn level lengthwise). Origin: middle "
        "of the deck, underside of the frame.", keep=170)
    return sheet.svg()


def _standing(build: Build) -> float:
    return float((build.value("raft.crowd.standing") or Q(1, "m")).m_as("m"))


def _body(build: Build, sheet: Sheet) -> None:
    """Floats in outline, each shape once, and the deck with its frame."""
    seen = set()
    for one in build.value("raft.afloat.outlines"):
        y, z, v, w = (float(getattr(one, name).m_as("m")) for name in ("y_low", "z_low", "y_high", "z_high"))
        if (y, z, v, w) in seen:
            continue
        seen.add((y, z, v, w))
        # A tube that lies across shows its side, not its round end.
        if one.shape == "round tube" and math.isclose(v - y, w - z, rel_tol=1e-6):
            sheet.circle((y + v) / 2, (z + w) / 2, (v - y) / 2, weight=2, fill=0.07)
        else:
            sheet.rect(y, z, v - y, w - z, weight=2, fill=0.07)
    _, wide, top = deck_of(build)
    sheet.rect(-wide / 2, 0, wide, top, weight=2, fill=0.12)
    sheet.words(0.32 * wide, top / 2 - 4 / sheet.scale, "frame and deck", size=11, anchor="middle")


def _waters(build: Build, sheet: Sheet, half: float) -> None:
    """Waterlines with their numbers; the freeboard of the first at the left edge, of the last at the right."""
    _, wide, top = deck_of(build)
    light, loaded, crowd = _light(build), _loaded(build), _crowd(build)
    out = half + 34 / sheet.scale
    # Names at the ends keep clear of one another however near the waterlines are.
    names: list[tuple[float, str]] = []
    for number, water, weight, dash in ((1, light, 2.2, ""), (2, loaded, 1.4, "10 4"), (3, crowd, 1.6, "2 4")):
        if water is not None:
            sheet.line([(-out, water(-out)), (out, water(out))], weight=weight, dash=dash)
            names.append((water(out), str(number)))
    below = math.inf
    for height, name in sorted(names, reverse=True):
        below = min(height, below - 14 / sheet.scale)
        sheet.words(out + 6 / sheet.scale, below - 4 / sheet.scale, name, size=13, bold=True)
    foot = min(float(one.z_low.m_as("m")) for one in build.value("raft.afloat.outlines"))
    low = light(-wide / 2)
    sheet.along(low, top, -wide / 2, mm(build, Q(top - low, "m"), "down"), off=-26)
    sheet.along(foot, light(0), 0, "", off=0)
    sheet.words(0, foot - 15 / sheet.scale, f"draft {mm(build, build.value('raft.afloat.draft'), 'up')}", anchor="middle")
    if loaded is not None:
        low = loaded(-wide / 2)
        sheet.along(low, top, -wide / 2, f"all aboard {mm(build, Q(top - low, 'm'), 'down')}", off=-62)
    if crowd is not None:
        edge = build.value("raft.crowd.spots")[0].deck_edge
        sheet.along(crowd(wide / 2), top, wide / 2, mm(build, edge, "down"), off=30)


def _light(build: Build) -> Water:
    at, lean = float(build.value("raft.afloat.waterline").m_as("m")), _slope(build.value("raft.afloat.list"))
    return lambda y: at + lean * y


def _slope(angle: object) -> float:
    return math.tan(math.radians(angle.m_as("deg")))  # type: ignore[attr-defined]


def _loaded(build: Build) -> Water | None:
    """The water with everybody aboard in the middle, the raft wet through: the same equilibrium with their mass added."""
    people, person = build.value("brief.people"), build.value("brief.person_mass")
    mass = build.value("raft.weight.wet_mass")
    if None in (people, person, mass) or not people:
        return None
    every = people * person
    top, whole = build.value("frame.deck.top"), mass + every
    x, y, z = (build.value(f"raft.weight.wet_{axis}") * mass for axis in "xyz")
    lies = afloat(
        mass=whole, x=x / whole, y=y / whole, z=(z + every * (top + Q(_standing(build), "m"))) / whole,
        floats=build.value("raft.afloat.floats"), density=build.value("brief.water.density"),
        deck_length=build.value("frame.deck.length"), deck_width=build.value("frame.deck.width"), deck_top=top)
    at, lean = float(lies.waterline.m_as("m")), _slope(lies.list)
    return (lambda y: at + lean * y) if math.isfinite(at) else None


def _crowd(build: Build) -> Water | None:
    """The water with the group at the right side, from the lowest deck edge and the tilt."""
    spots = build.value("raft.crowd.spots")
    if not spots or not math.isfinite(spots[0].tilt.magnitude):
        return None
    _, wide, top = deck_of(build)
    turn, edge = math.radians(spots[0].tilt.m_as("deg")), float(spots[0].deck_edge.m_as("m"))
    # The edge is measured plumb; along the raft's own upright it is longer by the cosine.
    at = top - edge / math.cos(turn)
    return lambda y: at + (y - wide / 2) * math.tan(turn)


def _people(build: Build, sheet: Sheet) -> None:
    """The group at the right side: where its weight acts, a metre above the deck."""
    spots, sharing, person = (build.value(path) for path in ("raft.crowd.spots", "brief.sharing", "brief.person_mass"))
    if not spots or person is None or not sharing:
        return
    _, _, top = deck_of(build)
    y, high = float(spots[0].y.m_as("m")), top + _standing(build)
    sheet.line([(y, top), (y, high)], weight=0.9, dash="3 3")
    sheet.circle(y, high, 5 / sheet.scale, weight=1.5, fill=1)
    sheet.arrow((y, high), (y, high - 50 / sheet.scale), weight=2.4)
    words = f"{sharing} people, {show(sharing * person, 'kg', prefs=build.prefs)}, at the right side"
    sheet.words(y - 10 / sheet.scale, high - 4 / sheet.scale, words, size=11.5, anchor="end")
    if math.isfinite(spots[0].tilt.magnitude):
        tilt = show(spots[0].tilt, "deg", resolution=0.1, rounding="up", prefs=build.prefs)
        sheet.words(y - 10 / sheet.scale, high - 20 / sheet.scale, f"tilt {tilt}", size=11.5, anchor="end")
    else:
        sheet.words(y - 10 / sheet.scale, high - 20 / sheet.scale, "it does not come to rest like this", size=11.5, anchor="end",
                    bold=True)
