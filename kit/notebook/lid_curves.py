"""The curves of a lid through its swing: what the hand does opening and closing it, and the weight against the struts."""

from __future__ import annotations

import math

import numpy as np

from kit.build.build import Build
from kit.notebook.curves import Axis, Band, Curve, Limit, chart
from kit.notebook.waits import needs
from kit.quantities import Q, Quantity

__all__ = ["FORCES", "STATES", "closing", "moments", "opening"]

STATES = {"cold": "cold and worn", "nominal": "20 °C and new", "hot": "hot and new"}
FORCES = {"the balance of the lid": ("lids.balance.open_cold",)}
ANGLE = Axis("opening angle", "deg", 10)


def _curves(build: Build, name: str) -> list[Curve]:
    """A curve for each state: cold the heaviest, 20 °C plain, hot dashed."""
    looks = {"cold": (2.6, ""), "nominal": (1.6, ""), "hot": (1.8, "6 3")}
    return [Curve(build.value(f"lids.balance.{name}_{state}"), words, *looks[state]) for state, words in STATES.items()]


def _hand(build: Build, name: str, verb: str) -> str:
    needs(build, FORCES)
    curves = _curves(build, name)
    limit = build.value("lids.balance.hand_limit")
    return chart(
        build.value("lids.balance.angle"), curves,
        axes=(ANGLE, Axis("hand, square to the lid", "N")), title=f"Hand {verb} the lid: below zero it goes by itself",
        bands=[Band(curves[0].y, curves[2].y)],
        limits=[Limit(limit, f"limit {build.shown('lids.balance.hand_limit')}")], prefs=build.prefs,
    )


def opening(build: Build) -> str:
    """What the hand does while it opens the lid, cold to hot, against the limit."""
    return _hand(build, "open", "opening")


def closing(build: Build) -> str:
    """What the hand does while it closes the lid, cold to hot, against the limit."""
    return _hand(build, "close", "closing")


def moments(build: Build) -> str:
    """The weight against the struts: where their curves cross the lid balances."""
    needs(build, FORCES)
    weight, struts = build.value("lids.balance.gravity"), _curves(build, "strut")
    points = []
    for state in STATES:
        at = build.value(f"lids.balance.balance_{state}")
        if at is not None and math.isfinite(at.m_as("deg")):
            points.append((at, _at(build, weight, at), build.shown(f"lids.balance.balance_{state}")))
    return chart(
        build.value("lids.balance.angle"), [Curve(weight, "weight, closes it", 3.2), *struts],
        axes=(ANGLE, Axis("moment about the pin", "N*m")), title="Weight against struts: where they cross it balances",
        bands=[Band(struts[0].y, struts[2].y)], points=points, prefs=build.prefs,
    )


def _at(build: Build, curve: Quantity, angle: Quantity) -> Quantity:
    """A curve of the swing at an angle between two of its points, in a straight line, to place a mark."""
    angles = build.value("lids.balance.angle")
    return Q(float(np.interp(angle.m_as("deg"), angles.m_as("deg"), curve.m_as("N*m"))), "N*m")
