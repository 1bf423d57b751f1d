"""Holding the work: clamps against the push of the cutter, and tabs that keep a piece until it is cut out.

    >>> held = hold_down(force=Q(5, "N"), edges=2, clamps=4, clamp_force=Q(500, "N"), outline=Q(1, "m"))
    >>> print(f"{held.tabs.magnitude:.0f} tabs, held {held.margin.magnitude:.0f} times over")
    5 tabs, held 50 times over

A piece that comes loose is thrown: when in doubt, one more screw.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, does_not_apply
from kit.kinds import Asks, Count, In, Out, Says
from kit.quantities import Q, Quantity

__all__ = ["HoldDown", "hold_down"]

# What a margin against no push at all is called.
_ENDLESS = 1e6


@result
class HoldDown:
    """Clamps and tabs."""

    push: Annotated[Quantity, Out("N", "push of the cutter along the bed", rounding="up", resolution=1)]
    lift: Annotated[Quantity, Out("N", "pull of an up-cut spiral, upwards", rounding="up", resolution=1)]
    grip: Annotated[Quantity, Out("N", "push that the clamps hold by friction", rounding="down", resolution=1)]
    margin: Annotated[Quantity, Out("1", "times that is held", rounding="down", resolution=0.1)]
    tabs: Annotated[Quantity, Out("1", "tabs to leave round a piece cut free", rounding="up")]
    tab_hold: Annotated[Quantity, Out("N", "push that those tabs hold", rounding="down", resolution=1)]
    reminder: Annotated[str, Says("before the spindle turns")]
    held: Annotated[Check, Asks("clamps hold the work", "kit")]
    tabs_hold: Annotated[Check, Asks("tabs hold the piece", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice", "memory")
def hold_down(
    *,
    force: Annotated[Quantity, In("N", "greatest force on one edge of the cutter", 5, ge=0, le=1e5, resolution=0.1)],
    edges: Annotated[int, Count("edges that may cut at once", 2, ge=1, le=12, find="all of them in a slot")] = 2,
    spiral: Annotated[Quantity, In("percent", "share of it that a spiral lifts", 50, ge=0, le=200, basis="estimate",
                                   find="0 for straight edges and down-cut spirals; tan of the spiral angle")]
    = Q(50, "percent"),
    clamps: Annotated[int, Count("clamps, or screws through waste", 4, ge=0, le=200)],
    clamp_force: Annotated[Quantity, In("N", "force of one", 500, ge=0, le=50_000, resolution=10, basis="measured",
                                        find="squeeze a bathroom scale: 50 kg is about 500 N")],
    friction: Annotated[Quantity, In("1", "friction, wood on the bed", 0.25, ge=0.02, le=1.5, resolution=0.05,
                                     find="tilt the bed until a block slides: the tangent; 0.2 to 0.5")] = Q(0.25),
    factor: Annotated[Quantity, In("1", "times the push that must be held", 4, ge=1, le=20, chosen=True,
                                   basis="common practice", find="knots and a dull edge push several times as hard")]
    = Q(4),
    outline: Annotated[Quantity, In("m", "outline of the piece cut free", 0.09, ge=0, le=100, resolution=0.01)]
    = Q(0, "m"),
    tab_spacing: Annotated[Quantity, In("mm", "greatest distance between tabs", 200, ge=5, le=2000, resolution=10,
                                        basis="common practice")] = Q(200, "mm"),
    tab_width: Annotated[Quantity, In("mm", "width of a tab", 6, ge=0.5, le=100, resolution=0.5, chosen=True)]
    = Q(6, "mm"),
    tab_height: Annotated[Quantity, In("mm", "height of a tab", 1.5, ge=0.1, le=50, resolution=0.1, chosen=True)]
    = Q(1.5, "mm"),
    shear: Annotated[Quantity, In("MPa", "shear strength of the wood in a tab", 4, ge=0.2, le=30, resolution=0.5,
                                  find="weak direction of weak wood: about 4 MPa, from memory")] = Q(4, "MPa"),
) -> HoldDown:
    """Friction under clamps against the push of all edges; tabs by spacing, at least three.

    grip = friction (clamps times force - lift), held `factor` times.  A tab
    shears over width times height; only whole tabs count, and none is taken for
    friction.  Vibration, climb cutting and a lever arm above the bed are left out.

    >>> hold_down(force=Q(60, "N"), clamps=1, clamp_force=Q(300, "N")).held.verdict
    'fails'
    """
    push = (force * edges).to("N")
    lift = push * spiral.m_as("")
    pressed = Q(np.maximum((clamps * clamp_force - lift).m_as("N"), 0), "N")
    grip = pressed * friction
    tabs = np.where(outline.m_as("m") > 0, np.maximum(np.ceil((outline / tab_spacing).m_as("") - 1e-9), 3), 0)[()]
    hold = (tabs * tab_width * tab_height * shear).to("N")
    needed = push * factor
    margin = np.minimum(grip.m_as("N") / np.maximum(push.m_as("N"), 1e-9), _ENDLESS)
    return HoldDown(
        push=push, lift=lift, grip=grip, margin=Q(margin), tabs=Q(tabs), tab_hold=hold,
        reminder="Clamps out of the cutter's way, a dry run above the wood, bed clear, eyes and ears covered; stop the "
                 "spindle before a hand goes near.",
        held=at_least(grip, needed, factor="the push is taken several times"), tabs_hold=_tabs(tabs, hold, needed),
    )


def _tabs(tabs: Any, hold: Quantity, needed: Quantity) -> Check:
    """Nothing to hold where nothing is cut free."""
    if not np.any(tabs):
        return does_not_apply("nothing is cut free")
    return at_least(hold, needed, factor="the push is taken several times")
