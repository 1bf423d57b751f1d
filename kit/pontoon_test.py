"""The simplified proof test of a passenger pontoon boat, worked instead of weighed: two closed hulls and no more."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from kit.checks import Check, at_least, at_most, not_covered
from kit.floats import FloatBody
from kit.hydro_shapes import Array
from kit.hydrostatics import Attitude
from kit.loading import Raft, nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["beyond_the_test", "end_check", "immersed_section", "section_allowed", "side_check"]

_ALIKE = 1e-6


def beyond_the_test(floats: Sequence[FloatBody], deck_top: Quantity, people: Any) -> str:
    """Why the test is not made for this raft; nothing where it is."""
    facts = read_facts("floating_rules")
    if len(floats) != 2 or any(not one.is_round or one.direction != "lengthwise" for one in floats):
        return "it is made for two round closed hulls that lie lengthwise"
    one = floats[0]
    sizes = [[nominal(getattr(f, name), "m") for name in ("diameter", "length", "x", "z")] for f in floats]
    across = [nominal(f.y, "m") for f in floats]
    if not np.allclose(sizes[0], sizes[1], atol=_ALIKE) or not np.isclose(sum(across), 0, atol=_ALIKE):
        return "its two hulls must be alike and as far to the left as to the right"
    diameter, top = sizes[0][0], nominal(one.z, "m") + sizes[0][0] / 2
    asked = {
        "the hulls' centres are too near to each other":
            abs(across[0] - across[1]) >= facts["pontoon-centres"].value - _ALIKE,
        "the hulls are too thin": diameter >= facts["pontoon-diameter"].value - _ALIKE,
        "the deck stands too high over the hulls":
            nominal(deck_top, "m") - top <= facts["pontoon-deck"].value + _ALIKE,
        "there are too many people": float(np.max(people)) <= facts["pontoon-people"].value,
    }
    return next((why for why, kept in asked.items() if not kept), "")


def immersed_section(raft: Raft, lies: Attitude, hull: int) -> Array:
    """Area of a lying tube's section under water, square to its axis at its middle."""
    t = raft.bodies.tubes
    x, y = (t.along, t.across) if t.lengthwise[hull] else (t.across, t.along)
    steep = np.hypot(lies.up_y if t.lengthwise[hull] else lies.up_x, lies.up_z)
    out = np.clip(lies.above_water(x[hull], y[hull], t.z[hull]) / (steep * t.radius[hull]), -1, 1)
    return np.asarray(t.radius[hull] ** 2 * (np.arccos(out) - out * np.sqrt(1 - out**2)))


def section_allowed(whole: Any, upright: Any) -> Any:
    """Greatest section under water when heeled: what is left exposed is no less than what the shift put under, nor than
    a quarter of the section.
    """
    exposed = read_facts("floating_rules")["pontoon-exposed"].value
    return np.minimum((whole + upright) / 2, (1 - exposed) * whole)


def side_check(raft: Raft, lies: Attitude, upright: int, heeled: Sequence[int], why: str) -> Check:
    """The lower hull's section under water against what is allowed, in every heeled case."""
    if why:
        return not_covered(why)
    whole = np.pi * raft.bodies.tubes.radius[0] ** 2
    under = np.stack([immersed_section(raft, lies, hull) for hull in (0, 1)])
    allowed = section_allowed(whole, under[:, upright].mean(axis=0))
    worst = under[:, list(heeled)].max(axis=(0, 1))
    return at_most(raft.out(worst, "m^2"), raft.out(np.broadcast_to(allowed, (raft.samples,)), "m^2"))


def end_check(raft: Raft, tops: Array, why: str) -> Check:
    """No hull's top under water with the whole load at an end."""
    if why:
        return not_covered(why)
    return at_least(raft.out(tops.min(axis=0), "m"), Q(0, "m"), share=False)
