"""The raft from above: floats, everything with mass, people at each spot; and the same deck as a launch-day plan."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from kit.build.build import Build
from kit.handed import Part
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["CORNERS", "centre_of_buoyancy", "deck_of", "launch", "mm", "places", "plan", "worded"]

DECK = ("frame.deck.length", "frame.deck.width", "frame.deck.top")
PLAN = {"the size of the deck": DECK, "the floats": ("raft.afloat.outlines",), "the masses": ("raft.weight.x",)}
# Freeboard of a corner, and where that corner is.
CORNERS = {"end_right": (1, 1), "end_left": (1, -1), "other_right": (-1, 1), "other_left": (-1, -1)}
# Pixels kept for the key on the right, for dimensions on the left, above and below.
ROOM_KEY, ROOM_LEFT, ROOM_UP, ROOM_FOOT = 218, 84, 26, 120
KEYED = 14
# Centres this near to each other are one place in a drawing, in metres.
ONE_PLACE = 0.025


@dataclass(frozen=True, slots=True)
class Heap:
    """Everything that has its centre over one point of the deck."""

    x: float
    y: float
    parts: tuple[tuple[str, Quantity], ...]

    @property
    def mass(self) -> Quantity:
        return sum((mass for _, mass in self.parts), Q(0, "kg"))

    @property
    def words(self) -> str:
        """The heaviest by name, the others by their number."""
        names = [name for name, _ in sorted(self.parts, key=lambda one: -float(one[1].m_as("kg")))]
        return names[0] if len(names) == 1 else f"{names[0]} + {len(names) - 1}"


def mm(build: Build, length: Quantity, rounding: Any = "near") -> str:
    """A length as it is read off a rule."""
    return show(length, "mm", resolution=1, rounding=rounding, prefs=build.prefs)


def deck_of(build: Build) -> tuple[float, float, float]:
    """Length, width and top of the deck, in metres."""
    length, width, top = (float(build.value(path).m_as("m")) for path in DECK)
    return length, width, top


def places(build: Build) -> list[Heap]:
    """Parts but floats, gathered where their centres lie over one point, the heaviest first."""
    floats = {one.name for one in build.value("raft.afloat.outlines")}
    found: list[tuple[float, float, list[tuple[str, Quantity]]]] = []
    for stage, part in build.handed(Part):
        if (stage == "raft" and part.name in floats) or not part.mass.magnitude:
            continue
        x, y = (float(getattr(part, axis).m_as("m")) for axis in "xy")
        near = next((heap for heap in found if math.hypot(heap[0] - x, heap[1] - y) < ONE_PLACE), None)
        if near is None:
            near = (x, y, [])
            found.append(near)
        near[2].append((part.name, part.mass.to("kg")))
    heaps = [Heap(x, y, tuple(parts)) for x, y, parts in found]
    return sorted(heaps, key=lambda heap: -float(heap.mass.m_as("kg")))


def centre_of_buoyancy(build: Build) -> tuple[float, float, float]:
    """Where the lift acts: plumb under the centre of gravity as the raft lies; in metres from the datum."""
    x, y, z = (float(build.value(f"raft.weight.{axis}").m_as("m")) for axis in "xyz")
    foot = min(float(one.z_low.m_as("m")) for one in build.value("raft.afloat.outlines"))
    high = foot + float(build.value("raft.afloat.buoyancy").m_as("m"))
    trim, heel = (math.radians(build.value(f"raft.afloat.{name}").m_as("deg")) for name in ("trim", "list"))
    return x + (z - high) * math.tan(trim), y + (z - high) * math.tan(heel), high


def worded(build: Build, x: Quantity, y: Quantity) -> str:
    """A place on the deck as two lengths from its middle, with the ways in words."""
    end = build.shown("brief.named_end")
    ways = ((f"towards the {end}", f"away from the {end}"), ("to the right", "to the left"))
    said = [
        f"{mm(build, abs(size))} {names[0] if size.magnitude > 0 else names[1]}"
        for size, names in zip((x, y), ways, strict=True) if abs(size.m_as("mm")) >= 0.5
    ]
    return ", ".join(said) or "in the middle"


def plan(build: Build, width: int = 700) -> str:
    """The deck from above with floats, masses, both centres, and the people each spot carries."""
    needs(build, PLAN)
    length, wide, _ = deck_of(build)
    heaps = places(build)
    outlines = build.value("raft.afloat.outlines")
    low = min(-length / 2, *(heap.x for heap in heaps), *(float(one.x_low.m_as("m")) for one in outlines))
    high = max(length / 2, *(heap.x for heap in heaps), *(float(one.x_high.m_as("m")) for one in outlines))
    scale = (width - ROOM_KEY - ROOM_LEFT) / (high - low)
    sheet = Sheet((low - ROOM_LEFT / scale, high + ROOM_KEY / scale),
                  (-wide / 2 - ROOM_UP / scale, wide / 2 + ROOM_FOOT / scale),
                  "the raft from above with its floats, masses and people", width=width, margin=0, down=True)
    _ground(build, sheet)
    sheet.words(0, -wide / 2 - 6 / sheet.scale, "left side", size=11, anchor="middle")
    _heaps(sheet, heaps, length)
    _spots(build, sheet)
    _centres(build, sheet)
    _key(build, sheet, heaps, high)
    _dimensions(build, sheet, length, wide)
    sheet.scale_bar(0.5, show(Q(500, "mm"), "mm", prefs=build.prefs))
    sheet.notes(
        "Boxed: people who can stand there before the lowest deck edge is wet (up to 12), as one group, the raft wet "
        "through. Discs: mass, by area. G: centre of gravity, B: centre of the lift. Names with +: others at the same place. All from the middle of the deck.",
        keep=150)
    return sheet.svg()


def _ground(build: Build, sheet: Sheet) -> None:
    """Deck, floats under it, origin and the name of the end."""
    length, wide, _ = deck_of(build)
    sheet.rect(-length / 2, -wide / 2, length, wide, weight=2.2, fill=0.03)
    for one in build.value("raft.afloat.outlines"):
        x, y = (float(getattr(one, f"{axis}_low").m_as("m")) for axis in "xy")
        size = [float((getattr(one, f"{axis}_high") - getattr(one, f"{axis}_low")).m_as("m")) for axis in "xy"]
        sheet.rect(x, y, *size, weight=1, dash="8 3")
        # Clear of the ballast at the end and of the boxes in the corners.
        sheet.words(x + 0.22 * size[0], y + 13 / sheet.scale, one.name, size=10.5)
    sheet.origin(names=("", ""))
    end = build.shown("brief.named_end")
    sheet.words(length / 2 + 5 / sheet.scale, 0, end, size=11, anchor="middle", turn=90, bold=True)


def _heaps(sheet: Sheet, heaps: Sequence[Heap], length: float) -> None:
    """A disc at every place, its area by the mass, and its number in the key."""
    for number, heap in enumerate(heaps, start=1):
        radius = 0.0045 * length * math.sqrt(float(heap.mass.m_as("kg")))
        sheet.circle(heap.x, heap.y, radius, weight=0.9, fill=0.14)
        out, edge = radius + 8 / sheet.scale, length / 2 - abs(heap.x)
        # Numbers stand away from the middle, where most of the masses are, and off the line of the deck's end.
        across, down = (-1.0 if heap.x < ONE_PLACE else 1.0, 0.0)
        if math.hypot(heap.x, heap.y) < ONE_PLACE:
            across, down = -0.7, 0.7
        elif 0 < edge < out + 8 / sheet.scale:
            across, down = 0.0, -1.0
        sheet.words(heap.x + out * across, heap.y + out * down + 4 / sheet.scale, str(number), size=10.5, anchor="middle")


def _spots(build: Build, sheet: Sheet) -> None:
    """The number of people in a box at each spot; a spot whose number is not known has no box."""
    half = 11 / sheet.scale
    for spot in build.value("raft.crowd.spots") or ():
        x, y = float(spot.x.m_as("m")), float(spot.y.m_as("m"))
        sheet.rect(x - half, y - half, 2 * half, 2 * half, weight=1.8)
        sheet.words(x, y + 6 / sheet.scale, f"{float(spot.carries.magnitude):.0f}", size=16, anchor="middle", bold=True)


def _centres(build: Build, sheet: Sheet) -> None:
    """Centre of gravity and centre of lift: one under the other, a hand apart when the raft leans."""
    x, y = (float(build.value(f"raft.weight.{axis}").m_as("m")) for axis in "xy")
    sheet.cross(x, y, size=9)
    lies = build.value("raft.afloat.trim")
    if lies is None or not math.isfinite(lies.magnitude):
        sheet.words(x + 12 / sheet.scale, y - 5 / sheet.scale, "G", bold=True, size=12)
        return
    u, v, _ = centre_of_buoyancy(build)
    together = math.hypot(u - x, v - y) * sheet.scale < 10
    sheet.words(x + 12 / sheet.scale, y - 5 / sheet.scale, "G, B" if together else "G", bold=True, size=12)
    sheet.circle(u, v, 6 / sheet.scale, weight=1.4)
    if not together:
        sheet.words(u + 10 / sheet.scale, v + 14 / sheet.scale, "B", bold=True, size=12)


def _key(build: Build, sheet: Sheet, heaps: Sequence[Heap], edge: float) -> None:
    """What stands where, the heaviest first; numbers of the drawing on the left, masses on the right."""
    left, right = edge + 30 / sheet.scale, edge + (ROOM_KEY - 6) / sheet.scale
    top = sheet.y0 + 14 / sheet.scale
    sheet.words(left, top, "mass at fitting", size=11, bold=True)
    rows = [(str(n), heap.words, heap.mass) for n, heap in enumerate(heaps[:KEYED], start=1)]
    if rest := heaps[KEYED:]:
        rows.append(("", f"{len(rest)} lighter places", sum((h.mass for h in rest), Q(0, "kg"))))
    floats = [part.mass.to("kg") for stage, part in build.handed(Part, "raft")
              if part.name in {one.name for one in build.value("raft.afloat.outlines")}]
    rows += [("", f"{len(floats)} floats", sum(floats, Q(0, "kg"))), ("", "all", build.value("raft.weight.mass"))]
    for place, (number, name, mass) in enumerate(rows, start=1):
        line = top + 15 * place / sheet.scale
        bold = name == "all"
        sheet.words(left - 6 / sheet.scale, line, number, size=10.5, anchor="end")
        sheet.words(left, line, name if len(name) < 28 else f"{name[:26]}…", size=10.5, bold=bold)
        sheet.words(right, line, show(mass, "kg", prefs=build.prefs), size=10.5, anchor="end", bold=bold)


def _dimensions(build: Build, sheet: Sheet, length: float, wide: float) -> None:
    """Running dimensions from the middle: deck ends and ballast along, float axes and deck sides across."""
    along = {-length / 2, length / 2, *(float(row.x.m_as("m")) for row in build.value("raft.weight.ballast") or ())}
    sheet.running(0, [(x, mm(build, Q(abs(x), "m"))) for x in sorted(along)], wide / 2, off=16)
    across = {-wide / 2, wide / 2}
    for one in build.value("raft.afloat.outlines"):
        across.add(round(float((one.y_low + one.y_high).m_as("m")) / 2, 6))
    low = min([-length / 2, *(float(one.x_low.m_as("m")) for one in build.value("raft.afloat.outlines"))])
    sheet.running_along(0, [(y, mm(build, Q(abs(y), "m"))) for y in sorted(across)], low, off=-18)


def launch(build: Build, width: int = 400) -> str:
    """Launch day: the freeboard to expect at each corner, and where the ballast lies."""
    needs(build, {**PLAN, "how it lies": ("raft.afloat.end_right",)})
    length, wide, _ = deck_of(build)
    scale = (width - 2 * 60) / length
    sheet = Sheet((-length / 2 - 60 / scale, length / 2 + 60 / scale), (-wide / 2 - 26 / scale, wide / 2 + 54 / scale),
                  "freeboards to expect at the four corners, and the ballast", width=width, margin=0, down=True)
    _ground(build, sheet)
    for name, (end, side) in CORNERS.items():
        x, y = end * length / 2, side * wide / 2
        sheet.dot(x, y, size=3)
        anchor = "end" if end > 0 else "start"
        shown = mm(build, build.value(f"raft.afloat.{name}"), "down")
        sheet.words(x, y + (18 if side > 0 else -9) / sheet.scale, f"expect {shown}", size=11, anchor=anchor, bold=True)
    for number, row in enumerate(build.value("raft.weight.ballast") or (), start=1):
        x, y = float(row.x.m_as("m")), float(row.y.m_as("m"))
        half = 9 / sheet.scale
        sheet.rect(x - half, y - half, 2 * half, 2 * half, weight=1.8, fill=0.25)
        sheet.words(x + 14 / sheet.scale, y + 4 / sheet.scale, f"B{number} {show(row.mass, 'kg', prefs=build.prefs)}", size=11,
                    bold=True)
    sheet.scale_bar(0.5, show(Q(500, "mm"), "mm", prefs=build.prefs))
    sheet.note(0, "Deck top to water, nobody aboard.")
    return sheet.svg()
