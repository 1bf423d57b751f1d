"""A lid with its struts in several states: what all share is worked out once, on plain arrays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import numpy as np

from kit.calculator import row
from kit.kinds import In, Text
from kit.lid_swing import GRAVITY, balance, settled
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["FREE_FALL", "LidState", "State", "Swung", "ready"]

FREE_FALL = float(GRAVITY.magnitude)


@row
class LidState:
    """What the lid does in one state, at its worst of cold and worn, 20 degC and new, hot and new."""

    name: Annotated[str, Text("state", "leaning to the front")]
    shut: Annotated[Quantity, In("N*m", "kept shut with", 9, ge=-1e6, le=1e6, resolution=0.1, rounding="down")]
    hold: Annotated[Quantity, In("N*m", "kept open with", 2, ge=-1e6, le=1e6, resolution=0.1, rounding="down")]
    hand_open: Annotated[Quantity, In("N", "hand opening, at most", 35, ge=0, le=1e6, resolution=1, rounding="up")]
    hand_close: Annotated[Quantity, In("N", "hand closing, at most", 20, ge=0, le=1e6, resolution=1, rounding="up")]
    balances: Annotated[str, Text("balances at, 20 degC", "51.7°")]
    does: Annotated[str, Text("left alone", "stays shut", longest=80)]


@dataclass(frozen=True, slots=True)
class State:
    """One state at its worst, in newtons and metres on plain arrays; `left` closes it before any strut is counted."""

    left: Any
    helped: bool
    shut: Any
    hold: Any
    most_open: Any
    most_close: Any


@dataclass(frozen=True, slots=True)
class Swung:
    """What all states share, in newtons, metres and radians on plain arrays: six states cost little more than one."""

    angle: Quantity
    cos: Any
    sin: Any
    lever: tuple[Any, Any]
    spring: Any
    pushes: tuple[Any, ...]
    least: Any
    greatest: Any
    drag: Any
    hinge_friction: Any
    hinge_hold: Any
    handle: Any

    def state(self, mass: Any, lean: Any, helped: bool = True) -> State:
        """The lid with another mass, leaning to the front by `lean`, with its struts or without."""
        a, b = self.lever
        c, s = np.cos(lean), np.sin(lean)
        # a cos(t - lean) - b sin(t - lean), taken apart so that no sample's sine is worked out twice.
        left = (
            mass * FREE_FALL * (a * c + b * s) * self.cos + mass * FREE_FALL * (a * s - b * c) * self.sin - self.spring
        )
        drag = (self.drag if helped else 0 * self.drag) + self.hinge_friction
        heavy, light = (left - (push if helped else 0 * push) for push in (self.least, self.greatest))
        return State(
            left,
            helped,
            light[0],
            -heavy[-1] + self.hinge_hold,
            ((heavy + drag) / self.handle).max(axis=0),
            ((drag - light) / self.handle).max(axis=0),
        )

    def hand(self, one: State, way: int, temperature: int) -> Any:
        """The hand opening (1) or closing (-1) it, cold and worn (0) to hot and new (2)."""
        push = self.pushes[temperature] if one.helped else 0 * self.drag
        return (way * (one.left - push) + self.drag * one.helped + self.hinge_friction) / self.handle

    def row(self, name: str, one: State) -> LidState:
        """The state as a line of the table."""
        net = one.left - (self.pushes[1] if one.helped else 0 * self.drag)
        # What is said in words is said of the mean of the samples.
        angle, net = ((v.mean(axis=-1) if np.ndim(v) > 1 else v) for v in (self.angle.magnitude, net))
        at = nominal(balance(Quantity(angle, self.angle.units), Q(net, "N*m")))
        shut, hold = nominal(one.shut), nominal(one.hold)
        does = "springs open" if shut < 0 else "stays shut" + (", stays open" if hold >= 0 else ", falls shut")
        return LidState(
            name=name,
            shut=ready(one.shut, "N*m"),
            hold=ready(one.hold, "N*m"),
            hand_open=ready(np.maximum(one.most_open, 0.0), "N"),
            hand_close=ready(np.maximum(one.most_close, 0.0), "N"),
            balances=f"{at:.1f}°" if np.isfinite(at) else "never",
            does=does,
        )


def ready(value: Any, unit: str) -> Quantity:
    """A result of the plain arrays as a quantity."""
    return settled(Q(value, unit))
