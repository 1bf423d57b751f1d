"""Charts of the raft's closer looks: the righting lever with what happens on the way, and the sweeps over the floats."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from kit.build.build import Build
from kit.notebook.curves import Axis, Band, Curve, Limit, chart
from kit.quantities import Q, Quantity

__all__ = ["asked", "lever_chart", "spread_chart", "thickness_chart", "tilt_chart"]

# People and loose things slide off a deck at about this slope. Common practice, no source.
SLIDES = 15.0
SHORT = {"comes out of the water": "out", "is wholly under": "under", "goes under": "under"}


def asked(build: Build, name: str, title: str) -> Any:
    """The result of a closer look.  Raises LookupError with what to do where it was not asked for."""
    found = build.closer(f"raft.{name}")
    if found is None:
        raise LookupError(f"work out “{title}” first: its button stands with its table")
    return found


def lever_chart(build: Build) -> str:
    """The righting lever to 90 degrees, the wall-sided formula, and every edge, opening and float on the way."""
    look = asked(build, "lever", "Lever")
    lever = look.lever
    # The formula runs away: it is drawn as far as the chart reaches.
    top = 1.15 * float(np.nanmax(lever.m_as("m")))
    walls = np.where(look.walls.m_as("m") <= top, look.walls.m_as("m"), np.nan)
    points = [
        (event.angle, event.lever, _short(event.name)) for event in look.events
        if math.isfinite(event.angle.magnitude) and 0 < event.angle.m_as("deg") < 90]
    usable = float(look.usable.m_as("deg")) if math.isfinite(look.usable.magnitude) else 90.0
    inside = np.where(look.angle.m_as("deg") <= min(usable, SLIDES), lever.m_as("m"), np.nan)
    curves = [Curve(lever, "righting lever (GZ)", 2.6), Curve(Q(walls, "m"), "wall-sided formula", 1.2, "5 3")]
    return chart(
        look.angle, curves, axes=(Axis("heel", "deg", 15), Axis("lever", "m")),
        title="What rights it, upright to on its side; shaded: before people slide or an edge is under",
        bands=[Band(Q(0 * inside, "m"), Q(inside, "m"))], limits=[Limit(Q(0, "m"), "")],
        points=_apart(points), height=280, prefs=build.prefs)


def _short(name: str) -> str:
    for words, short in SHORT.items():
        if name.endswith(words):
            return f"{name.removesuffix(words).strip()} {short}"
    return name


def _apart(points: Sequence[tuple[Quantity, Quantity, str]]) -> list[tuple[Quantity, Quantity, str]]:
    """Events nearer to each other than a degree are one mark."""
    made: list[tuple[Quantity, Quantity, str]] = []
    for angle, lever, text in sorted(points, key=lambda point: float(point[0].m_as("deg"))):
        if made and angle.m_as("deg") - made[-1][0].m_as("deg") < 3:
            made[-1] = (made[-1][0], made[-1][1], f"{made[-1][2]}; {text}")
        else:
            made.append((angle, lever, text))
    return made


def _column(rows: Sequence[Any], name: str, unit: str) -> Quantity:
    return Q(np.array([float(getattr(row, name).m_as(unit)) for row in rows]), unit)


def _beyond(curve: Quantity) -> None:
    """Refuse a chart of nothing."""
    if not np.isfinite(curve.magnitude).any():
        raise LookupError("none of the sizes tried comes to rest")


def spread_chart(build: Build) -> str:
    """The floats further apart: metacentric height."""
    rows = asked(build, "sweeps", "Sweeps").spacings
    stiff = _column(rows, "stiffness", "m")
    _beyond(stiff)
    return chart(
        _column(rows, "spacing", "m"), [Curve(stiff, "least GM, unloaded", 2.2)],
        axes=(Axis("outermost axes apart", "m"), Axis("metacentric height", "m")),
        title="Further apart: stiffer", points=_now(build, rows, "spacing", "stiffness", "m", "m"), prefs=build.prefs)


def tilt_chart(build: Build) -> str:
    """The floats further apart: tilt under the worst crowd."""
    rows = asked(build, "sweeps", "Sweeps").spacings
    tilt = _column(rows, "tilt", "deg")
    _beyond(tilt)
    return chart(
        _column(rows, "spacing", "m"), [Curve(tilt, "tilt, worst crowd", 2.2)],
        axes=(Axis("outermost axes apart", "m"), Axis("tilt", "deg")), title="Further apart: less tilt under people",
        points=_now(build, rows, "spacing", "tilt", "m", "deg"), prefs=build.prefs)


def thickness_chart(build: Build) -> str:
    """The floats thicker: freeboard unloaded and under the worst crowd."""
    rows = asked(build, "sweeps", "Sweeps").diameters
    edge, crowd = (_column(rows, name, "mm") for name in ("deck_edge", "crowd_deck"))
    _beyond(edge)
    wanted = build.value("raft.afloat.wanted")
    limits = [] if wanted is None else [Limit(wanted.to("mm"), f"wanted unloaded {build.shown('raft.afloat.wanted')}")]
    return chart(
        _column(rows, "diameter", "mm"), [Curve(edge, "deck edge, unloaded", 2.2), Curve(crowd, "worst crowd", 1.6, "5 3")],
        axes=(Axis("diameter or height of the largest", "mm"), Axis("deck edge above water", "mm")),
        title="Thicker: higher", limits=limits, points=_now(build, rows, "diameter", "crowd_deck", "mm", "mm"),
        prefs=build.prefs)


def _now(build: Build, rows: Sequence[Any], across: str, up: str, unit: str, over: str) -> list[tuple[Quantity, Quantity, str]]:
    """The floats as they are entered: the middle of the sweep."""
    row = min(rows, key=lambda one: abs(float(one.name.split()[0]) - 100))
    if not math.isfinite(getattr(row, up).magnitude):
        return []
    return [(getattr(row, across).to(unit), getattr(row, up).to(over), "as entered")]
