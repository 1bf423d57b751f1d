"""A mooring leg of rope and chain as it hangs: a kernel on plain SI numbers.

From the raft down: rope, then chain to the anchor, on a level bottom.  The rope
stretches, the chain does not.  `H` is the horizontal pull, the same all along;
`lift` the downward pull of the leg at the raft.  What is not lifted lies on the
bottom.  Differences are written so that nearly weightless rope loses no digits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

__all__ = ["HangingLeg", "hanging_lift", "shape", "taut_pull"]

Array: TypeAlias = NDArray[Any]
_TINY = 1e-300
_STEPS = 80


@dataclass(frozen=True, slots=True)
class HangingLeg:
    """Lengths in m, weights under water in N/m, stiffness of the rope (force over strain) in N."""

    rope: Any
    chain: Any
    rope_weight: Any
    chain_weight: Any
    stiffness: Any

    @property
    def weight(self) -> Any:
        """Weight of the whole leg under water."""
        return self.rope * self.rope_weight + self.chain * self.chain_weight

    @property
    def spread_of_weight(self) -> Any:
        """Integral along the leg of the squared difference of the transverse pull from its mean, in N^2 m.

        Half of it over the pull squared is by how much a nearly straight leg is
        longer than the straight line.
        """
        a, b, wa, wb = self.chain, self.rope, self.chain_weight, self.rope_weight
        end = wa * a
        squares = wa**2 * a**3 / 3 + end**2 * b + end * wb * b**2 + wb**2 * b**3 / 3
        mean = wa * a**2 / 2 + end * b + wb * b**2 / 2
        return squares - mean**2 / (a + b)


def _hung(leg: HangingLeg, pull: Any, lift: Any) -> tuple[Any, ...]:
    """Lengths hanging, and the lift at the top, at the joint and at the lower end."""
    rope = np.minimum(leg.rope, lift / np.maximum(leg.rope_weight, _TINY))
    joint = np.maximum(lift - leg.rope * leg.rope_weight, 0.0)
    chain = np.where(joint > 0, np.minimum(leg.chain, joint / np.maximum(leg.chain_weight, _TINY)), 0.0)
    return rope, chain, joint, np.maximum(joint - leg.chain * leg.chain_weight, 0.0)


def _rise(leg: HangingLeg, pull: Any, lift: Any) -> tuple[Any, Any]:
    """Height of the top above the bottom, and its slope with the lift."""
    rope, chain, joint, foot = _hung(leg, pull, lift)
    tops = [np.hypot(pull, v) for v in (lift, joint, foot)]
    soft = 1 / leg.stiffness
    height = (rope * (lift + joint) * (1 / (tops[0] + tops[1]) + soft / 2)
              + chain * (joint + foot) / (tops[1] + tops[2]))
    steep = rope * soft
    for length, (v, t), (u, s) in ((rope, (lift, tops[0]), (joint, tops[1])),
                                   (chain, (joint, tops[1]), (foot, tops[2]))):
        steep = steep + length * pull**2 * (v + u + _TINY) / (t * s * (v * s + u * t + _TINY * pull))
    return height, steep


def hanging_lift(leg: HangingLeg, pull: Any, height: Any) -> Any:
    """The lift at the raft that makes the leg reach from the bottom up by `height` under a horizontal pull.

    Newton inside a bracket; nan where the leg is too short to reach up.
    """
    shape_of = np.broadcast_shapes(np.shape(pull), np.shape(height), np.shape(leg.rope), np.shape(leg.weight))
    h, p = (np.broadcast_to(np.asarray(v, dtype=float), shape_of) for v in (height, pull))
    length = leg.rope + leg.chain
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        flat = np.sqrt(np.maximum(length**2 - h**2, 1e-12 * length**2))
        low, high = np.zeros(shape_of), p * h / flat + leg.weight
        for _ in range(60):
            short = _rise(leg, p, high)[0] < h
            if not short.any():
                break
            high = np.where(short, 2 * high + 1, high)
        guess = np.minimum(p * h / flat + leg.weight / 2, high)
        for _ in range(_STEPS):
            rise, steep = _rise(leg, p, guess)
            over = rise - h
            low, high = np.where(over < 0, guess, low), np.where(over < 0, high, guess)
            new = guess - over / steep
            new = np.where((new >= low) & (new <= high), new, (low + high) / 2)
            step, guess = np.abs(new - guess), new
            if np.all((step <= 1e-13 * (guess + p)) | np.isnan(step)):
                break
    return np.where(h < length, guess, np.nan)


def shape(leg: HangingLeg, pull: Any, lift: Any, lifts: Any) -> tuple[Any, Any]:
    """Distance from the anchor and height above the bottom of the points where the lift is a share of that at the top.

    `lifts` are shares of the leg's length from the anchor up, on the first axis.
    """
    rope, chain, joint, foot = _hung(leg, pull, lift)
    lying = leg.rope + leg.chain - rope - chain
    along = lifts * (leg.rope + leg.chain)
    on_chain = np.clip(along - np.minimum(lying, leg.chain), 0, chain)
    lying_rope = np.maximum(lying - leg.chain, 0)
    on_rope = np.clip(along - leg.chain - lying_rope, 0, rope)
    flat = np.minimum(along, lying)
    x, z = flat + np.clip(along - leg.chain, 0, lying_rope) * pull / leg.stiffness, 0 * along * pull * lift
    for length, weight, start, soft in ((on_chain, leg.chain_weight, foot, 0.0),
                                        (on_rope, leg.rope_weight, joint, 1 / leg.stiffness)):
        top = start + weight * length
        across, up = _piece(length, weight, start, top, pull)
        x, z = x + across + length * pull * soft, z + up + length * (start + top) * soft / 2
    return x, z


def _piece(length: Any, weight: Any, start: Any, top: Any, pull: Any) -> tuple[Any, Any]:
    """Horizontal and vertical reach of a hanging piece between two lifts."""
    t, s = np.hypot(pull, top), np.hypot(pull, start)
    up = length * (start + top) / (t + s)
    # asinh(top/pull) - asinh(start/pull), as one asinh of a small number.
    ratio = (start + top + _TINY) * pull / (top * s + start * t + _TINY * pull)
    turn = weight * length / pull * ratio
    flat = np.where(turn > 1e-9, pull / np.maximum(weight, _TINY) * np.arcsinh(turn), length * ratio)
    return flat, up


def taut_pull(leg: HangingLeg, straight: Any) -> Any:
    """Tension of a nearly straight leg between two points `straight` apart: what it is stretched and what it sags.

    straight = L + T L_rope/EA - I/(2 T^2) has one positive root, found by Newton from above.
    """
    soft = leg.rope / leg.stiffness
    more, spread = straight - leg.rope - leg.chain, leg.spread_of_weight
    with np.errstate(invalid="ignore", divide="ignore"):
        t = np.where(more > 0, more / soft, 0) + np.cbrt(spread / (2 * soft))
        for _ in range(_STEPS):
            value = soft * t**3 - more * t**2 - spread / 2
            slope = 3 * soft * t**2 - 2 * more * t
            step = value / np.where(slope > 0, slope, np.inf)
            t = t - step
            if np.all((np.abs(step) <= 1e-14 * t) | np.isnan(step)):
                break
    return t
