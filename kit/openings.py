"""Openings in and under a raft that could hold a head or a finger."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_most, does_not_apply
from kit.kinds import Asks, In, Out, Rows, Says, Text, YesNo
from kit.loading import nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["JudgedOpening", "Opening", "Openings", "openings"]


@row
class Opening:
    """One opening, by its smaller size."""

    name: Annotated[str, Text("opening", "between the inner floats")]
    size: Annotated[Quantity, In("mm", "its smaller size, at its widest and at its narrowest the same row twice", 150,
                                 out_by="3 mm", ge=0, le=5000, resolution=1, basis="measured",
                                 find="a ball or a block pushed in; swell and shrink the boards in mind")]
    closed: Annotated[bool, YesNo("is it closed with mesh or boards", find="mesh of less than 9 mm or over 25 mm")]
    fingers: Annotated[bool, YesNo("can a hand reach it", True)] = True


@result
class JudgedOpening:
    """One opening and what it could hold."""

    name: Annotated[str, Text("opening", "between the inner floats")]
    holds: Annotated[str, Says("what it could hold")]


@result
class Openings:
    """What could be held, and where."""

    head: Annotated[Quantity, Out("mm", "how far the worst opening lies inside the range that holds a head",
                                  rounding="up")]
    finger: Annotated[Quantity, Out("mm", "how far the worst opening lies inside the range that holds a finger",
                                    resolution=0.1, rounding="up")]
    judged: Annotated[tuple[JudgedOpening, ...], Rows("opening by opening")]
    no_head: Annotated[Check, Asks("no opening can hold a head", "cpsc-325", hazard=True)]
    no_finger: Annotated[Check, Asks("no opening can hold a finger", "cfoc", hazard=True)]


@calculator("cpsc-325", "cfoc")
def openings(
    *,
    every: Annotated[Sequence[Opening], Rows("openings between floats, frame, ladder and rails", least=1, most=60,
                                             find="swim round it with a rule")],
) -> Openings:
    """Every opening against the sizes that let a body through and hold a head, and that hold a finger.

    Head: from 3.5 to 9 in (89 to 229 mm); finger: from 3/8 to 1 in (9.5 to
    25.4 mm), both taken as refused.  Borrowed from rules for playgrounds and
    child care.  V-shaped openings, ropes and loose mesh are left out.

    >>> found = openings(every=[Opening(name="inner floats", size=Q(150, "mm"), closed=False),
    ...                         Opening(name="ladder", size=Q(250, "mm"), closed=False)])
    >>> found.no_head.verdict, found.judged[0].holds
    ('fails', 'a head: close it')
    """
    heads, fingers = read_facts("openings"), read_facts("mooring")
    head = (heads["head-low"].q.to("mm"), heads["head-high"].q.to("mm"))
    finger = (fingers["trap-finger-low"].q.to("mm"), fingers["trap-finger-high"].q.to("mm"))
    open_ones = [one for one in every if not one.closed]
    reached = [one for one in open_ones if one.fingers]
    inside = _worst(open_ones, head), _worst(reached, finger)
    return Openings(
        head=inside[0], finger=inside[1],
        judged=tuple(JudgedOpening(name=one.name, holds=_holds(one, head, finger)) for one in every),
        no_head=_check(open_ones, inside[0], "from 89 to 229 mm: ", head),
        no_finger=_check(reached, inside[1], "from 9.5 to 25.4 mm: ", finger),
    )


def _depth_in(one: Opening, span: tuple[Quantity, Quantity]) -> Any:
    size = np.asarray(one.size.m_as("mm"))
    return np.minimum(size - span[0].m_as("mm"), span[1].m_as("mm") - size)[()]


def _worst(rows: Sequence[Opening], span: tuple[Quantity, Quantity]) -> Quantity:
    """Depth of the worst opening inside a range; negative when all are outside, by how much the nearest one is."""
    if not rows:
        return -span[0].to("mm")
    return Q(np.maximum.reduce(np.broadcast_arrays(*(_depth_in(one, span) for one in rows)))[()], "mm")


def _check(rows: Sequence[Opening], worst: Quantity, words: str, span: tuple[Quantity, Quantity]) -> Check:
    if not rows:
        return does_not_apply("every opening is closed or out of reach")
    held = [one.name for one in rows if np.mean(_depth_in(one, span)) > 0]
    return at_most(worst, Q(0, "mm"), share=False, reason=words + ", ".join(held) if held else "")


def _holds(one: Opening, head: tuple[Quantity, Quantity], finger: tuple[Quantity, Quantity]) -> str:
    if one.closed:
        return "nothing: it is closed"
    size = nominal(one.size, "mm")
    if head[0].m_as("mm") < size < head[1].m_as("mm"):
        return "a head: close it"
    if one.fingers and finger[0].m_as("mm") < size < finger[1].m_as("mm"):
        return "a finger: make it smaller or larger, or close it"
    return "nothing"
