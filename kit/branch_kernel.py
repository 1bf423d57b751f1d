"""Flows from one pump to several outlets, on plain arrays in SI units.

The outlets lie along the first axis of a branch's arrays.  A flow is where the
pump's head equals lift and losses; with several outlets open the head at the
tee is sought at which what they pass is what the pump delivers.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from kit.pipe_kernel import Curve, Line, rising_root

__all__ = ["alone", "clean_and_blocked", "together"]

Array = Any


def alone(pump: Curve, shared: Line, branch: Line, lift: Array) -> Array:
    """Flow of each outlet with only its own valve open; nothing where the pump does not lift so high."""

    def work(flow: Array) -> tuple[Array, Array]:
        (near, near_slope), (far, far_slope), (gives, falls) = shared.head(flow), branch.head(flow), pump.at(flow)
        return lift + near + far - gives, near_slope + far_slope - falls

    # An outlet below the water may draw more than the pump passes by itself.
    fall = (pump.head[-2] - pump.head[-1]) / (pump.flow[-1] - pump.flow[-2])
    most = np.where(lift < pump.head[0], pump.flow[-1] + np.maximum(-lift, 0) / fall, 0 * pump.flow[-1])
    most = np.where(np.isnan(pump.head[0]), np.nan, most)
    return rising_root(work, np.zeros(()), most, most)


def together(pump: Curve, shared: Line, branch: Line, lift: Array, each: Array) -> Array:
    """Flow of each outlet with every valve open; `each` is its flow alone, which it cannot exceed.

    An outlet above the head at the tee passes nothing.
    """
    bound = each * (1 + 1e-9)

    last = each

    def flows(tee: Array) -> Array:
        nonlocal last

        def work(flow: Array) -> tuple[Array, Array]:
            far, slope = branch.head(flow)
            return lift + far - tee, slope

        last = rising_root(work, np.zeros(()), np.where(tee > lift, bound, 0), last)
        return last

    def balance(tee: Array) -> tuple[Array, Array]:
        part = flows(tee)
        whole = part.sum(axis=0)
        (near, near_slope), (gives, falls) = shared.head(whole), pump.at(whole)
        passes = np.where(part > 0, 1 / branch.head(part)[1], 0).sum(axis=0)
        return tee + near - gives, 1 + (near_slope - falls) * passes

    # With more open the head at the tee is no higher than with any of them alone.
    most = np.where(each > 0, pump.at(each)[0] - shared.head(each)[0], pump.head[0])
    top, foot = most.min(axis=0), np.minimum(lift.min(axis=0), most.min(axis=0))
    return flows(rising_root(balance, foot, top, 0.8 * top + 0.2 * foot))


def clean_and_blocked(shared: Line, strainer: Array, share: Array, shape: tuple[int, ...]) -> Line:
    """The shared pipe twice along a new first axis, clean and with a share of its strainer stopped up.

    The strainer's loss goes with one over the open area squared.
    """
    losses = np.broadcast_arrays(shared.loss, shared.loss + strainer * ((1 - share) ** -2.0 - 1), np.zeros(shape))[:2]
    return replace(shared, loss=np.stack(losses)[:, None])
