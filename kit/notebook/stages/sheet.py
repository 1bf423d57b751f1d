"""The page of stage 12: totals in a sentence, a bar of where the mass and money go, the card for the wall."""

from __future__ import annotations

from kit.build.build import Build
from kit.handed import Part, Purchase
from kit.notebook.build_lists import BUY_HEAD, buy_rows, total_rows
from kit.notebook.cut_drawing import sheet_layout, sticks
from kit.notebook.paper import Card
from kit.notebook.text import counts, escape
from kit.quantities import Q
from kit.workshop import show

__all__ = ["DRAWINGS", "bars", "card", "sentence"]


def sentence(build: Build) -> str:
    """Mass, cost, hours, what is not in them yet, and how much of it is still a guess."""
    outcome = build.now.outcomes["sheet.all"]
    if not outcome.works:
        return "The totals are not worked out yet."
    titles = (build.graph.stages[key].title if key in build.graph.stages else key for key in outcome.lacks)
    lacks = f"Not counted yet, because something is still open there: {', '.join(titles)}. " if outcome.lacks else ""
    return (
        f"{lacks}{build.shown('sheet.all.mass')} in all, {build.shown('sheet.all.cost')} with contingency, likely "
        f"{build.shown('sheet.all.hours')} of work (allow {build.shown('sheet.all.allow')}). Still resting on allowances: "
        f"{build.shown('sheet.all.mass_guessed')} of the mass, {build.shown('sheet.all.cost_guessed')} of the cost, "
        f"{build.shown('sheet.all.hours_guessed')} of the hours. Checks of the whole build: {counts(build.count())}."
    )


def bars(build: Build) -> str:
    """Mass and cost by stage, as bars."""
    stages = list(build.graph.stages.values())
    mass = {s.key: sum(p.mass.m_as("kg") for key, p in build.handed(Part) if key == s.key) for s in stages}
    cost = {s.key: sum(b.cost.magnitude for key, b in build.handed(Purchase) if key == s.key) for s in stages}
    # A stage that brings neither mass nor cost has no line.
    stages = [stage for stage in stages if mass[stage.key] or cost[stage.key]]
    line, left, wide = 24, 124, 150
    body = []
    for column, (title, amounts, unit) in enumerate((("mass", mass, "kg"), ("cost", cost, "money"))):
        x = left + column * (wide + 78)
        most = max([*amounts.values(), 1e-9])
        body.append(_words(x, 16, title, bold=True))
        for place, stage in enumerate(stages):
            y = 28 + place * line
            if column == 0:
                body.append(_words(left - 8, y + 12, f"{stage.number} {stage.title}", anchor="end"))
            long = wide * amounts[stage.key] / most
            body.append(f'<rect x="{x}" y="{y}" width="{long:.1f}" height="15" fill="currentColor" fill-opacity="0.3" stroke="currentColor"/>')
            body.append(_words(x + long + 5, y + 12, show(Q(amounts[stage.key], unit), unit, resolution=1, prefs=build.prefs)))
    height = 40 + line * len(stages)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 {height}" width="600" height="{height}" role="img" '
        f'font-family="Liberation Sans, Arial, sans-serif" aria-label="mass and cost by stage">{"".join(body)}</svg>'
    )


def _words(x: float, y: float, text: str, *, anchor: str = "start", bold: bool = False) -> str:
    weight = ' font-weight="700"' if bold else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="12" text-anchor="{anchor}" fill="currentColor"{weight}>{escape(text)}</text>'


def card(build: Build) -> Card:
    """The buy list for Saturday."""
    rows = [row[:-1] for row in buy_rows(build)]
    return Card(
        steps=("Compare the revision with the record before you buy or cut.", "Tick what is in the shed."),
        tables=(("Totals", ("what", "value"), list(total_rows(build))), ("Buy list", BUY_HEAD[:-1], rows)),
    )


DRAWINGS = {"drawing": bars, "cuts": sticks, "sheets": sheet_layout}
