"""The page of stage 00: a sentence from six guesses, a plan of the deck with its people, how deep the floats go, the site card."""

from __future__ import annotations

import math

from kit.build.build import Build
from kit.notebook.paper import Card
from kit.notebook.svg import Sheet
from kit.notebook.waits import Clause, needs, split_clauses
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["DRAWINGS", "card", "plan", "sentence"]

PLAN = {"the size of the deck": ("brief.first.length", "brief.first.width"), "the people aboard": ("brief.people",)}
ROOM_RIGHT, ROOM_LEFT, ROOM_UP, ROOM_FOOT = 196, 40, 40, 40
BLANK = "________"


def sentence(build: Build) -> str:
    """Whether it floats, who carries it, what it costs; what is refused or still open."""
    said, missing = split_clauses(build, _CLAUSES)
    parts = [f"{text[:1].upper()}{text[1:]}." for text in said]
    wrong = [asks.label for _, asks, check in build.checks("brief") if check.verdict == "fails"]
    if wrong:
        parts.append(f"Fails: {', '.join(wrong)}.")
    if missing:
        parts.append(f"Still open: {', '.join(missing)}.")
    return " ".join(parts)


def _floats(build: Build) -> str:
    says = {"meets": "it floats", "marginal": "it floats, only just", "fails": "the floats are too small"}
    return (
        f"{says.get(build.check('brief.first.floats').verdict, 'not enough is known')}: {build.shown('brief.first.light')} of the "
        f"floats under water empty, {build.shown('brief.first.loaded')} with {build.shown('brief.people')} aboard"
    )


def _carried(build: Build) -> str:
    return (
        f"to carry it in one piece takes {build.shown('brief.first.carriers')} people on dry, firm ground, and nobody should "
        "on any other"
    )


def _costs(build: Build) -> str:
    return f"it costs about {_round(build, build.value('brief.first.cost'))} with contingency"


def _round(build: Build, money: Quantity) -> str:
    """A guess has no pennies."""
    return show(money, "money", resolution=1, rounding="up", prefs=build.prefs)


_CLAUSES: dict[str, Clause] = {
    "whether it floats": (("brief.first.loaded", "brief.people"), _floats),
    "who carries it": (("brief.first.carriers",), _carried),
    "what it costs": (("brief.first.cost",), _costs),
}


def plan(build: Build, width: int = 600) -> str:
    """The deck in plan with everybody on it, and how far the floats go under, from the guesses alone."""
    needs(build, PLAN)
    length, wide = (float(build.value(f"brief.first.{name}").m_as("m")) for name in ("length", "width"))
    people = int(build.value("brief.people"))
    scale = (width - ROOM_RIGHT - ROOM_LEFT) / length
    sheet = Sheet((-length / 2 - ROOM_LEFT / scale, length / 2 + ROOM_RIGHT / scale),
                  (-wide / 2 - ROOM_UP / scale, wide / 2 + ROOM_FOOT / scale),
                  f"plan of the deck with {people} people, and the floats under water", width=width, margin=0, down=True)
    sheet.rect(-length / 2, -wide / 2, length, wide, weight=2, fill=0.05)
    for x, y in _spread(people, length, wide):
        # Shoulders of a standing person are about half a metre across.
        sheet.circle(x, y, 0.25, weight=1)
    sheet.across(-length / 2, length / 2, -wide / 2, build.shown("brief.first.length"), off=-16)
    sheet.along(-wide / 2, wide / 2, -length / 2, build.shown("brief.first.width"), off=-16)
    sheet.origin(names=("", ""))
    sheet.words(length / 2 + 5 / scale, 0, build.shown("brief.named_end"), size=11, anchor="middle", turn=90)
    _gauge(build, sheet, length / 2, wide)
    sheet.scale_bar(0.5, show(Q(500, "mm"), "mm", prefs=build.prefs))
    sheet.note(0, "Circles: people. Origin: middle of the deck.")
    return sheet.svg()


def _spread(people: int, length: float, wide: float) -> list[tuple[float, float]]:
    """Places for people in rows as even as can be, a short row in the middle of its line."""
    columns = max(1, round(math.sqrt(people * length / wide)))
    rows = math.ceil(people / columns)
    places = []
    for row in range(rows):
        here = min(columns, people - row * columns)
        y = (row + 0.5) / rows * wide - wide / 2
        places += [((n + 0.5) / here * length - length / 2, y) for n in range(here)]
    return places


def _gauge(build: Build, sheet: Sheet, edge: float, wide: float) -> None:
    """The floats' volume as a column, filled to where the water comes: empty, with everybody, and the limit dashed."""
    check = build.check("brief.first.floats")
    if build.value("brief.first.loaded") is None or check.limit is None:
        return
    left, broad, foot = edge + 42 / sheet.scale, 34 / sheet.scale, wide / 2
    sheet.rect(left, -wide / 2, broad, wide, weight=1.6)
    sheet.words(left - 4 / sheet.scale, -wide / 2 - 7 / sheet.scale, "volume of the floats", size=11)
    marks = [(f"{words} {build.shown(path)}", float(build.value(path).m_as("")), "") for words, path in (
        ("empty", "brief.first.light"), (f"{build.shown('brief.people')} aboard", "brief.first.loaded"))]
    sheet.rect(left, foot - min(marks[0][1], 1) * wide, broad, min(marks[0][1], 1) * wide, weight=0.5, fill=0.25)
    marks.append((f"limit {show(check.limit, '', prefs=build.prefs)}", float(check.limit.m_as("")), "7 4"))
    above = math.inf
    for words, share, dash in sorted(marks, key=lambda mark: mark[1]):
        height = foot - min(share, 1.1) * wide
        sheet.line([(left, height), (left + broad + 8 / sheet.scale, height)], weight=1.6, dash=dash)
        # Words keep clear of one another however near the lines are.
        above = min(height, above - 14 / sheet.scale)
        sheet.words(left + broad + 11 / sheet.scale, above + 4 / sheet.scale, words, size=11)


def card(build: Build) -> Card:
    """What to measure at the water."""
    people = build.value("brief.consents.people") or ()
    return Card(
        steps=(
            "Lower a weighted line at nine points within 5 m of where it will lie; keep the shallowest.",
            "Look for the strand line; ask the keeper how far the level falls and rises in a dry and a wet year.",
            "Throw an orange peel and time it over 5 m: that is the current.",
            "Note which way the longest stretch of open water lies: that is where the waves come from.",
            "Photograph the way in for a trailer, and write down who has a key.",
            "Ask each of those below in writing, and keep the letters.",
        ),
        blanks=(
            ("shallowest depth within 5 m, of nine", build.shown("brief.depth.shallowest")),
            ("how far the level falls below that", build.shown("brief.depth.falls")),
            ("temperature of the water", build.shown("brief.water.temperature")),
            ("current, seconds over 5 m", ""),
            ("longest open water: how far, which way", ""),
            ("strongest gust: which map or station", build.shown("brief.gust")),
            ("people on the best day", build.shown("brief.people")),
            ("trailer comes within; key with", ""),
        ),
        tables=(("Who has to say yes", ("who", "answer so far", "asked on", "answered on"),
                 [(p.name, p.answer, BLANK, BLANK) for p in people]),) if people else (),
    )


DRAWINGS = {"drawing": plan}
