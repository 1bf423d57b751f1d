"""The page of stage 04: cups and layers in a sentence, the pour in section, the clock of the cups, the mix cards."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

from kit.build.build import Build
from kit.notebook.clock import Bar, clock
from kit.notebook.curves import Axis, Curve, Limit, chart
from kit.notebook.paper import Card
from kit.notebook.svg import Sheet
from kit.notebook.waits import Clause, known, needs, split_clauses
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = [
    "DRAWINGS", "MAIN", "batch_clock", "card", "cure_chart", "depth_chart", "mix_rows", "recess_rows", "section", "sentence", "widths",
]

Profile = list[tuple[float, float]]
_POINTED = ("V-groove", "tapered V")


def sentence(build: Build) -> str:
    """What goes into how many cups and layers, and how that stands to the depth bound, which approves nothing."""
    said, missing = split_clauses(build, _CLAUSES)
    if missing:
        said.append(f"Still open: {', '.join(missing)}.")
    return " ".join(said)


def _cups(build: Build) -> str:
    cards = build.value("resin.pour.cards")
    layers = _counted(build.value("resin.pour.layers"), "layer")
    if not cards or not build.value("resin.pour.mass").magnitude:
        return "There is nothing to pour yet."
    a, b = (_grams(build, getattr(cards[0], name)) for name in ("reading_a", "reading_b"))
    return (
        f"{build.shown('resin.pour.mass')} of resin in {_counted(Q(len(cards)), 'cup')} and {layers}: zero the scale with "
        f"the empty cup on it, A to {a}, then B to {b}."
    )


def _depth(build: Build) -> str:
    return (
        f"A layer is {build.shown('resin.heat.layer')} deep against a bound of {build.shown('resin.heat.bound')}, an estimate "
        f"and no approval. {build.shown('resin.heat.advice')}"
    )


_CLAUSES: dict[str, Clause] = {
    "the cups": (("resin.pour.cards", "resin.pour.mass", "resin.pour.layers"), _cups),
    "the heat of the layer": (("resin.heat.layer", "resin.heat.bound", "resin.heat.advice"), _depth),
}


def _counted(number: Quantity, name: str) -> str:
    count = round(float(number.magnitude))
    return f"{count} {name}{'' if count == 1 else 's'}"


def _grams(build: Build, mass: Quantity) -> str:
    return show(mass, "g", resolution=0.1, prefs=build.prefs)


def _tenth(build: Build, depth: Quantity) -> str:
    return show(depth, "mm", resolution=0.1, prefs=build.prefs)


def widths(pocket: Any, depth: Quantity) -> Profile:
    """The outline of a recess cut across its middle in metres, from its left lip to its right one; depth is downwards."""
    d = depth.m_as("m")
    if pocket.shape in _POINTED:
        half = d * math.tan(pocket.angle.m_as("rad") / 2)
        return [(-half, 0), (0, -d), (half, 0)]
    wide = pocket.width.m_as("m") / 2
    if pocket.shape == "ring":
        wide = (pocket.width - pocket.inner).m_as("m") / 4
    if pocket.shape == "border":
        wide = pocket.stroke.m_as("m") / 2
    if pocket.shape == "ball groove":
        bowl = min(d, wide)
        turns = [math.acos((wide - bowl) / wide) * (n / 10 - 1) for n in range(21)]
        round_floor = [(wide * math.sin(t), wide - d - wide * math.cos(t)) for t in turns]
        return [(round_floor[0][0], 0), *round_floor, (round_floor[-1][0], 0)]
    return [(-wide, 0), (-wide, -d), (wide, -d), (wide, 0)]


def _chosen(build: Build) -> list[tuple[Any, Any]]:
    """The deepest recess with straight walls and the deepest V: one rules the heat, the other the depth."""
    pairs = [
        pair for pair in zip(build.value("resin.recesses.pockets"), build.value("resin.recesses.by_recess"), strict=True)
        if pair[0].count
    ]
    vs = [pair for pair in pairs if pair[0].shape in _POINTED]
    straight = [pair for pair in pairs if pair[0].shape not in _POINTED]
    return [max(group, key=lambda pair: pair[1].depth.m_as("m")) for group in (straight, vs) if group]


def section(build: Build) -> str:
    """The pour cut across: wood, seal coat, layers, and the depth bound, measured down from the face of the wood."""
    needs(build, {"the recesses": ("resin.recesses.by_recess",), "the layers of the pour": ("resin.pour.layer_depth",)})
    chosen, bound = _chosen(build), build.value("resin.heat.bound")
    layer = build.value("resin.pour.layer_depth")
    if not chosen:
        raise LookupError("there is no recess to draw yet")
    deepest = max(found.depth.m_as("m") for _, found in chosen)
    low = max([deepest, *([bound.m_as("m")] if bound is not None else [])])
    # A wide recess is shown as far as six depths, with a broken edge; the rest of it is the same.
    most = 6 * deepest
    wide = [min(max(x for x, _ in widths(*_pd(pair))) * 2, most) for pair in chosen]
    gap = 1.4 * deepest
    total = sum(wide) + gap * (len(chosen) + 1)
    sheet = Sheet((-0.02 * total, total + 0.56 * total), (-1.75 * low, 0.8 * low), "the pour in section", width=600, margin=20)
    sheet.rect(0, -1.45 * low, total, 1.45 * low, weight=0, fill=0.07)
    marks, x = [(0.0, "face of the wood")], gap
    for (pocket, found), across in zip(chosen, wide, strict=True):
        _recess(sheet, build, pocket, found, x + across / 2, across)
        marks.append((-found.depth.m_as("m"), f"{_tenth(build, found.depth)} floor of {pocket.name}"))
        x += across + gap
    for n in range(1, int(build.value("resin.pour.layers").magnitude)):
        marks.append((-n * layer.m_as("m"), f"{_tenth(build, layer * n)} top of layer {n} from below"))
    if bound is not None:
        sheet.line([(0, -bound.m_as("m")), (total, -bound.m_as("m"))], weight=1.3, dash="9 5")
        shown = show(bound, "mm", resolution=0.1, rounding="down", prefs=build.prefs)
        marks.append((-bound.m_as("m"), f"{shown} bound, no approval"))
    sheet.running_along(0, marks, total, off=14)
    sheet.origin(0, 0, ("", "z"))
    bar = Q(0.25, "in") if build.prefs.system == "inch" else Q(5, "mm")
    sheet.scale_bar(bar.m_as("m"), show(bar, "mm", prefs=build.prefs))
    sheet.note(1, "The bound is an estimate for a flat layer; a V of the same depth runs cooler.")
    sheet.note(0, f"Thick: seal coat, {build.shown('resin.pour.seal')}. Slanted: resin, {_counted(build.value('resin.pour.layers'), 'layer')}.")
    return sheet.svg()


def _pd(pair: tuple[Any, Any]) -> tuple[Any, Quantity]:
    return pair[0], pair[1].depth


def _recess(sheet: Sheet, build: Build, pocket: Any, found: Any, middle: float, across: float) -> None:
    outline = [(middle + max(min(x, across / 2), -across / 2), z) for x, z in widths(pocket, found.depth)]
    broken = max(x for x, _ in widths(pocket, found.depth)) * 2 > across + 1e-9
    sheet.line(outline, weight=3.2)
    _slanted(sheet, outline)
    sheet.line([outline[0], outline[-1]], weight=1)
    layer = build.value("resin.pour.layer_depth").m_as("m")
    floor, top = min(z for _, z in outline), max(x for x, _ in outline)
    for n in range(1, int(build.value("resin.pour.layers").magnitude)):
        z = floor + n * layer
        if z < -1e-9:
            half = _half_at(outline, middle, z)
            sheet.line([(middle - half, z), (middle + half, z)], weight=1.6)
    name = f"{pocket.name}{', part' if broken else ''}"
    sheet.words((outline[0][0] + top) / 2, 0.3 * -floor, name, anchor="middle", bold=True)


def _half_at(outline: Profile, middle: float, z: float) -> float:
    """Half the width of a symmetrical outline at a height."""
    right = [(x - middle, y) for x, y in outline if x >= middle - 1e-12]
    for (xa, za), (xb, zb) in pairwise(right):
        if min(za, zb) <= z <= max(za, zb) and za != zb:
            return xa + (xb - xa) * (z - za) / (zb - za)
    return max(x for x, _ in right)


def _slanted(sheet: Sheet, outline: Profile) -> None:
    """Slanted lines inside an outline, so that resin tells from wood in black and white."""
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    middle, floor = (left + right) / 2, min(z for _, z in outline)
    step = -floor / 3.2
    place = left + floor
    while place < right:
        inside = []
        for n in range(41):
            z = floor * (1 - n / 40)
            x = place + (z - floor)
            if abs(x - middle) <= _half_at(outline, middle, z):
                inside.append((x, z))
        if len(inside) > 1:
            sheet.line([inside[0], inside[-1]], weight=0.6)
        place += step


def batch_clock(build: Build) -> str:
    """The cups of one layer, one after the other by one pair of hands, each against its own pot life."""
    needs(build, {"the cups of the pour": ("resin.pour.cards", "resin.pour.placing_time")})
    mixing, life = build.value("resin.pour.mixing_time"), build.value("resin.pour.pot_life")
    each = build.value("resin.pour.placing_time")
    cards = [c for c in build.value("resin.pour.cards") or () if c.layer.magnitude == 1]
    if not cards:
        raise LookupError("there is no cup to mix yet")
    rows = []
    for n, one in enumerate(cards):
        start = each * n
        bars = [
            Bar(start, start + mixing, "mix", 0.1), Bar(start + mixing, start + each, "pour", 0.35),
            Bar(start + each, max(start + life, start + each, key=lambda q: q.m_as("min")), "", 0),
        ]
        rows.append((one.name, bars))
    limits = [(life, f"pot life of cup 1: {build.shown('resin.pour.pot_life')}"), (each * len(cards), "last cup poured")]
    return clock(rows, limits, "since cup 1 was begun; empty: pot life left", "clock of the cups of one layer")


def mix_rows(build: Build) -> list[tuple[str, ...]]:
    """One row a cup, as the scale reads it."""
    return [
        (c.name, f"{c.layer.magnitude:.0f}", _grams(build, c.reading_a), _grams(build, c.reading_b), "________")
        for c in build.value("resin.pour.cards") or ()
    ]


def recess_rows(build: Build) -> list[tuple[str, ...]]:
    """One row a recess: what it holds, what the give or take of the depths would add, how deep, a blank for what is found."""
    return [
        (
            r.name, show(r.volume, "mL", resolution=0.1, prefs=build.prefs),
            show(r.share, "percent", resolution=1, rounding="up", prefs=build.prefs), _tenth(build, r.depth), "________",
        )
        for r in build.value("resin.recesses.by_recess") or ()
    ]


def card(build: Build) -> Card:
    """The mix sheet at the bench, one line a cup."""
    if not known(build, ("resin.pour.cards", "resin.heat.bound")) or not _chosen(build):
        return Card(steps=("The card is ready when the recesses, the ratio and the pour are worked out: fill in what is open.",))
    return Card(
        steps=(
            "Gloves, glasses, air. A bare patch outdoors for a cup that gets hot, and a clear way to it.",
            "Probe every recess at five points; if the depth is not as planned, type it in and print this sheet again.",
            f"Seal coat first: about {build.shown('resin.pour.seal')} brushed on floors and walls. Pour while the wood cools.",
            f"The label: {build.shown('resin.mix.reads')}. Empty cup on, zero the scale once, A first, B on top of it. Never the other way round, never zero between.",
            f"Weigh and stir in {build.shown('resin.pour.mixing_time')}, scrape walls and floor, then out of the cup: pot life is {build.shown('resin.pour.pot_life')}.",
            "If the cup is warm, stop: do not pour it. Carry it outdoors and leave it there.",
            f"Plane or sand only when it is hard through, {build.shown('resin.curing')} or as the data sheet says.",
        ),
        tables=(
            ("Mix: the scale reads, zeroed once", ("cup", "layer", "A to", "then B to", "B in at (time)"), mix_rows(build)),
            ("Recesses", ("recess", "volume", "more if depths are off", "depth", "deepest of five points"), recess_rows(build)),
        ),
        blanks=(
            ("scale with a coin of known mass", ""),
            ("bottles, wood and room", build.shown("resin.heat.temperature")),
            ("test cup: peak temperature and time", ""),
            ("numbers on the bottles of A and B", ""),
        ),
        drawing=batch_clock(build),
    )


def cure_chart(build: Build) -> str:
    """The hottest place of a layer against time, by both readings, and the published limit."""
    found = build.closer("resin.simulation")
    if found is None:
        raise LookupError("it waits for the closer look at the heat of a layer; work it out first")
    time, free, stiff = (
        Q([float(getattr(one, name).m_as(unit)) for one in found.curve], unit)
        for name, unit in (("time", "h"), ("free", "degC"), ("stiffening", "degC"))
    )
    return chart(
        time, [Curve(free, "chains free"), Curve(stiff, "stiffening", dash="5 3")],
        axes=(Axis("time after the pour", "h"), Axis("hottest place", "degC")),
        title=f"A layer of {build.shown('resin.heat.layer')} as it cures: an estimate",
        limits=[Limit(Q(60, "degC"), "60 °C, published")], prefs=build.prefs,
    )


def depth_chart(build: Build) -> str:
    """The peak against the depth of a layer, by both readings; above 150 °C it only says that it runs away."""
    found = build.closer("resin.simulation")
    if found is None:
        raise LookupError("it waits for the closer look at the heat of a layer; work it out first")
    depth = Q([float(one.depth.m_as("mm")) for one in found.by_depth], "mm")
    peaks = (
        Q([min(float(getattr(one, name).m_as("degC")), 150.0) for one in found.by_depth], "degC")
        for name in ("free", "stiffening")
    )
    free, stiff = peaks
    return chart(
        depth, [Curve(free, "chains free"), Curve(stiff, "stiffening", dash="5 3")],
        axes=(Axis("depth of the layer", "mm"), Axis("peak", "degC")),
        title="Peak against depth: where the two part, nobody knows", prefs=build.prefs,
        limits=[Limit(Q(60, "degC"), "60 °C, published"), Limit(Q(150, "degC"), "runs away")],
    )


DRAWINGS = {"drawing": section, "clock": batch_clock, "cure": cure_chart, "depth": depth_chart}
# What the build sheet shows with its doubt.
MAIN = ("resin.pour.mass", "resin.heat.bound", "resin.recesses.volume")
