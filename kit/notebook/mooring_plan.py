"""A mooring from above and from the side, and its load by direction."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from kit.build.build import Build
from kit.notebook.curves import Axis, Curve, Limit, chart
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["leg_side", "load_curve", "metres", "mooring_plan"]

DECK = ("frame.deck.length", "frame.deck.width")
PLAN = {"the size of the deck": DECK, "the legs": ("mooring.leg.legs", "mooring.leg.distance")}
SIDE = {"the leg": ("mooring.storm.high_x", "mooring.leg.usual_height")}
LOAD = {"wind and what it catches": ("mooring.load.by_heading",)}


def metres(build: Build, length: Quantity, resolution: float = 0.1) -> str:
    """A length as it is paced or taped."""
    return show(length, "m", resolution=resolution, prefs=build.prefs)


def mooring_plan(build: Build, width: int = 640) -> str:
    """Legs and anchors from above, to scale: lengths, bearings, and how far the raft goes when a leg parts."""
    needs(build, PLAN)
    length, wide = (float(build.value(path).m_as("m")) for path in DECK)
    legs, away = build.value("mooring.leg.legs"), float(build.value("mooring.leg.distance").m_as("m"))
    ends = [_anchor(one, away) for one in legs]
    reach_x = max([length / 2, *(abs(x) for x, _ in ends)])
    reach_y = max([wide / 2, *(abs(y) for _, y in ends)])
    margin = 118
    scale = (width - 2 * margin) / (2 * reach_x)
    foot = 62 / scale
    sheet = Sheet((-reach_x - margin / scale, reach_x + margin / scale), (-reach_y - 56 / scale, reach_y + 54 / scale + foot),
                  "the mooring from above, to scale", width=width, margin=0, down=True)
    sheet.rect(-length / 2, -wide / 2, length, wide, weight=2.2, fill=0.08)
    for one, (x, y) in zip(legs, ends, strict=True):
        _leg(build, sheet, one, x, y)
    _drift(build, sheet)
    sheet.origin(names=("x", "y"))
    end = build.shown("brief.named_end")
    drift = build.value("mooring.legs_together.drift")
    out = max(length / 2 + 34 / sheet.scale, float(drift.m_as("m")) if drift is not None and math.isfinite(drift.magnitude) else 0)
    sheet.words(out + 6 / sheet.scale, 4 / sheet.scale, end, size=11, bold=True)
    sheet.scale_bar(5, metres(build, Q(5, "m")))
    there = drift is not None and math.isfinite(drift.magnitude)
    parted = f" Dashed: the raft may go {build.shown('mooring.legs_together.drift')} when a leg parts." if there else ""
    sheet.notes(
        f"Every leg {build.shown('mooring.leg.length')}: {build.shown('mooring.leg.rope')} of rope, {build.shown('mooring.leg.chain')} of chain "
        f"(thick). Directions clockwise from the {end}; anchors from the cleat, then from the middle of the deck, ahead being the {end}.{parted}",
        keep=110)
    return sheet.svg()


def _anchor(leg: Any, away: float) -> tuple[float, float]:
    turn = float(leg.bearing.m_as("rad"))
    x, y = (float(getattr(leg, axis).m_as("m")) for axis in "xy")
    return x + away * math.cos(turn), y + away * math.sin(turn)


def _leg(build: Build, sheet: Sheet, leg: Any, x: float, y: float) -> None:
    """Rope, chain at its end, a cross for the anchor, and three lines of text outside it."""
    start = tuple(float(getattr(leg, axis).m_as("m")) for axis in "xy")
    share = 1 - float(build.value("mooring.leg.chain").m_as("m")) / float(build.value("mooring.leg.length").m_as("m"))
    joint = (start[0] + share * (x - start[0]), start[1] + share * (y - start[1]))
    sheet.line([(start[0], start[1]), joint], weight=1.2)
    sheet.line([joint, (x, y)], weight=3.2)
    sheet.cross(x, y, size=7)
    side, lift = ("start" if x >= start[0] else "end"), (1 if y >= start[1] else -1)
    turned = show(leg.bearing, "deg", resolution=1, prefs=build.prefs)
    words = [leg.name, f"{turned}, {metres(build, build.value('mooring.leg.distance'))}",
             f"{metres(build, Q(abs(x), 'm'))} {'ahead' if x > 0 else 'back'}, {metres(build, Q(abs(y), 'm'))} {'right' if y > 0 else 'left'}"]
    first = y + (20 / sheet.scale if lift > 0 else -40 / sheet.scale)
    out = -10 / sheet.scale if side == "start" else 10 / sheet.scale
    for n, text in enumerate(words):
        sheet.words(x + out, first + 14 * n / sheet.scale, text, size=11, anchor=side, bold=n == 0)


def _drift(build: Build, sheet: Sheet) -> None:
    drift = build.value("mooring.legs_together.drift")
    if drift is None or not math.isfinite(drift.magnitude):
        return
    radius = float(drift.m_as("m"))
    sheet.circle(0, 0, radius, weight=1, dash="5 4")


def leg_side(build: Build, width: int = 640) -> str:
    """One leg from the side at high and at low water under the pull of the storm, to scale, heights from the bottom."""
    needs(build, SIDE)
    curves = {name: [[float(v) for v in build.value(f"mooring.storm.{name}_{axis}").m_as("m")] for axis in "xz"]
              for name in ("high", "low")}
    heights = {name: build.value(f"mooring.leg.{name}_height") for name in ("low", "usual", "high", "flood")}
    cleat = build.value("raft.afloat.deck_edge")
    lift = 0.0 if cleat is None else float(cleat.m_as("m"))
    far = max(curves["high"][0][-1], curves["low"][0][-1])
    top = max(float(h.m_as("m")) for h in heights.values())
    left, right = 128, 24
    scale = (width - left - right) / far
    sheet = Sheet((-left / scale, far + right / scale), (-44 / scale, top + 26 / scale), "one mooring leg from the side, to scale",
                  width=width, margin=0)
    sheet.line([(-left / scale, 0), (far + right / scale, 0)], weight=2)
    words = {"low": "low water", "usual": "usual level", "high": "high water", "flood": "flood"}
    for name, height in heights.items():
        water = float(height.m_as("m")) - lift
        sheet.line([(0, water), (far + right / scale, water)], weight=0.8, dash="9 4" if name in ("low", "high") else "2 4")
    for name in ("high", "low"):
        x, z = curves[name]
        sheet.line(list(zip(x, z, strict=True)), weight=2.2 if name == "high" else 1.4, dash="" if name == "high" else "6 3")
        sheet.dot(x[-1], z[-1], size=3.4)
    sheet.cross(0, 0, size=7)
    chain = float(build.value("mooring.leg.chain").m_as("m"))
    joint = _along(curves["high"], chain / float(build.value("mooring.leg.length").m_as("m")), build.value("mooring.storm.station").m)
    sheet.dot(*joint, size=2.6)
    sheet.words(joint[0] + 5 / scale, joint[1] - 10 / scale, "chain, rope", size=10.5)
    marks = [(float(h.m_as("m")) - lift, f"{words[name]} {metres(build, Q(float(h.m_as('m')) - lift, 'm'), 0.01)}") for name, h in heights.items()]
    sheet.running_along(0, marks, 0, off=-10)
    sheet.across(0, curves["high"][0][-1], 0, metres(build, Q(curves["high"][0][-1], "m"), 0.01), off=24)
    angle = build.shown("mooring.storm.angle")
    sheet.words(curves["high"][0][-1] - 8 / scale, top - float((heights["flood"] - heights["high"]).m_as("m")) + 12 / scale,
                f"{build.shown('mooring.storm.tension')} at {angle}", size=11, anchor="end", bold=True)
    return sheet.svg()


def _along(curve: Sequence[Sequence[float]], share: float, stations: Any) -> tuple[float, float]:
    """The point of a drawn leg at a share of its length."""
    for n in range(1, len(stations)):
        if stations[n] >= share:
            part = (share - stations[n - 1]) / (stations[n] - stations[n - 1])
            x, z = (axis[n - 1] + part * (axis[n] - axis[n - 1]) for axis in curve)
            return x, z
    return curve[0][-1], curve[1][-1]


def load_curve(build: Build) -> str:
    """The load over the direction the weather comes from: all together, and the wind alone."""
    needs(build, LOAD)
    heading, every = (build.value(f"mooring.load.{name}") for name in ("heading", "by_heading"))
    half = heading.m_as("deg") <= 180
    ready = build.value("mooring.pull_test.least")
    limits = []
    if ready is not None and math.isfinite(ready.magnitude):
        factor = float(build.value("mooring.pull_test.factor").magnitude)
        slope = math.cos(float(build.value("mooring.storm.anchor_angle").m_as("rad")))
        limits = [Limit((ready / factor * slope).to("N"), "what one anchor is good for")]
    end = build.shown("brief.named_end")
    return chart(
        Q(heading.m_as("deg")[half], "deg"),
        [Curve(Q(every.m_as("N")[half], "N"), "wind, waves, current", 2.4),
         Curve(Q(build.value("mooring.load.wind_by_heading").m_as("N")[half], "N"), "wind alone", 1.4, "6 3")],
        axes=(Axis(f"weather from, clockwise: 0 {end}, 90 right, 180 other end", "deg", 30), Axis("load", "N")),
        title="What pushes on the raft, by direction", limits=limits, prefs=build.prefs,
    )
