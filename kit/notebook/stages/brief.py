"""The page of stage 00: a sentence from six guesses, a plan of the deck with its people, the site card."""

from __future__ import annotations

import math

from kit.build.build import Build
from kit.notebook.paper import Card
from kit.notebook.svg import Sheet

__all__ = ["DRAWINGS", "card", "plan", "sentence"]


def sentence(build: Build) -> str:
    """Whether it floats, who carries it, what it costs."""
    floats = build.check("brief.first.floats")
    says = {
        "meets": "It floats", "marginal": "It floats, only just", "fails": "The floats are too small", "open": "Not enough is known yet",
    }[floats.verdict]
    if floats.verdict == "open":
        return f"{says}: {floats.reason}."
    return (
        f"{says}: {build.shown('brief.first.light')} of the floats under water empty, {build.shown('brief.first.loaded')} with "
        f"{build.shown('brief.people')} aboard. {build.shown('brief.first.carriers')} people could carry it in one piece on dry, "
        f"firm ground; it costs about {build.shown('brief.first.cost')} with contingency."
    )


def plan(build: Build) -> str:
    """The deck in plan with everybody on it, from the guesses alone."""
    length, width = build.value("brief.first.length").m_as("m"), build.value("brief.first.width").m_as("m")
    people = int(build.value("brief.people"))
    sheet = Sheet((-length / 2, length / 2), (-width / 2, width / 2), f"plan of the deck with {people} people", width=560, down=True)
    sheet.rect(-length / 2, -width / 2, length, width, weight=2, fill=0.05)
    columns = max(1, math.ceil(math.sqrt(people * length / width)))
    rows = max(1, math.ceil(people / columns))
    for n in range(people):
        x = (n % columns + 0.5) / columns * length - length / 2
        y = (n // columns + 0.5) / rows * width - width / 2
        # Shoulders of a standing person are about half a metre across.
        sheet.circle(x, y, 0.25, weight=1)
    sheet.across(-length / 2, length / 2, -width / 2, build.shown("brief.first.length"), off=-24)
    sheet.along(-width / 2, width / 2, -length / 2, build.shown("brief.first.width"), off=-24)
    sheet.origin()
    sheet.words(length / 2, 0, f" {build.shown('brief.named_end')}", size=11, anchor="middle", turn=90)
    sheet.scale_bar(0.5, "0.5 m")
    return sheet.svg()


def card(build: Build) -> Card:
    """What to measure at the water."""
    return Card(
        steps=(
            "Lower a weighted line at nine points within 5 m of where it will lie; keep the shallowest.",
            "Look for the strand line; ask the keeper how far the level falls and rises in a dry and a wet year.",
            "Throw an orange peel and time it over 5 m: that is the current.",
            "Note which way the longest stretch of open water lies: that is where the waves come from.",
            "Photograph the way in for a trailer, and write down who has a key.",
        ),
        blanks=(
            ("shallowest depth within 5 m", build.shown("brief.depth.shallowest")),
            ("how far the level falls", build.shown("brief.depth.falls")),
            ("temperature of the water", build.shown("brief.water.temperature")),
            ("current", "none"), ("longest open water, which way", ""), ("people on the best day", build.shown("brief.people")),
            ("who said yes, on what date", ""),
        ),
        tables=(("Who has to say yes", ("who", "answer"), [(p.name, p.answer) for p in build.value("brief.consents.people") or ()]),),
    )


DRAWINGS = {"drawing": plan}
