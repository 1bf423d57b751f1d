"""Grits in order, hours from one timed panel, discs to buy.

    >>> faces = sanding(area=Q(8, "m^2"), first="80", last="120", panel=Q(0.4, "m^2"), panel_time=Q(6, "min"))
    >>> print(f"{faces.sequence}: {faces.likely:.0f~P}, {faces.discs.magnitude:.0f} discs")
    80, 100, 120: 6 h, 12 discs

Dust of oak and cedar harms: take it off at the tool, wear a mask.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, between
from kit.finish import FinishKind
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.sources import read_table

__all__ = ["Grit", "GritStep", "Sanding", "grit_sequence", "sanding"]

Grit = Literal["60", "80", "100", "120", "150", "180", "220", "240", "320"]

# Last grit before the finish, by kind. Common practice, no source.
_LAST = {"oil or stain that soaks in": (80, 120), "paint or varnish that forms a film": (120, 180)}
# Widest step from grit to grit; one of more than half leaves scratches. Common practice, no source.
_STEP = {"every grade": 1.3, "every other": 1.5}
_NEAR = 1e-9


@result
class GritStep:
    """One grit of the sequence."""

    name: Annotated[str, Text("grit", "80")]
    grain: Annotated[Quantity, Out("um", "median grain", resolution=1)]
    step: Annotated[Quantity, Out("1", "times the grit before", resolution=0.01, absent="the first")]
    time: Annotated[Quantity, Out("h", "likely hours", rounding="up", resolution=0.1)]
    discs: Annotated[Quantity, Out("1", "discs", rounding="up")]


@result
class Sanding:
    """Sanding of all faces."""

    sequence: Annotated[str, Says("grits in order")]
    grits: Annotated[Quantity, Out("1", "grits")]
    pace: Annotated[Quantity, Out("min/m^2", "time for a square metre with one grit", rounding="up", resolution=0.1)]
    quick: Annotated[Quantity, Out("h", "hours if all goes well", resolution=0.1)]
    likely: Annotated[Quantity, Out("h", "likely hours", rounding="up", resolution=0.1)]
    slow: Annotated[Quantity, Out("h", "hours if much goes wrong", rounding="up", resolution=0.1)]
    discs: Annotated[Quantity, Out("1", "discs", rounding="up")]
    packs: Annotated[Quantity, Out("1", "packs, each of one grit", rounding="up")]
    widest: Annotated[Quantity, Out("1", "widest step from grit to grit", rounding="up", resolution=0.01)]
    by_grit: Annotated[tuple[GritStep, ...], Rows("grit by grit")]
    steps: Annotated[Check, Asks("no scratch left that the next grit cannot take out", "practice")]
    last_grit: Annotated[Check, Asks("last grit right for the finish", "practice")]
    usual: Annotated[Check, Asks("pace within the usual", "practice")]
    notes: tuple[str, ...] = ()


@calculator("practice", "fepa-43", "kit")
def sanding(
    *,
    area: Annotated[Quantity, In("m^2", "area to sand", 8, ge=0, le=10_000, resolution=0.1)],
    first: Annotated[Grit, Choice("first grit", "80", find="the coarsest that takes out the marks, no coarser",
                                  basis="common practice")],
    last: Annotated[Grit, Choice("last grit", "120", basis="common practice",
                                 find="oil outdoors 80 to 120; a film 150 to 180; the sequence may run to 220")],
    panel: Annotated[Quantity, In("m^2", "area of the panel you timed", 0.4, ge=0.005, le=100, resolution=0.01,
                                  find="length times width of the faces sanded", basis="measured")],
    panel_time: Annotated[Quantity, In("min", "time it took with one grit", 6, ge=0.05, le=2000, resolution=0.5,
                                       find="watch; count changing the disc", basis="measured")],
    grades: Annotated[Literal["every grade", "every other"], Choice("grades taken", "every grade",
                                                                    basis="common practice")] = "every grade",
    edges: Annotated[Quantity, In("percent", "besides for edges, corners, recesses", 0, ge=0, le=300, basis="estimate",
                                  find="0 if the timed panel had its share of them; they take twice as long")]
    = Q(0, "percent"),
    faster: Annotated[Quantity, In("percent", "faster if all goes well", 25, ge=0, le=90)] = Q(25, "percent"),
    slower: Annotated[Quantity, In("percent", "slower if much goes wrong", 50, ge=0, le=400)] = Q(50, "percent"),
    disc_area: Annotated[Quantity, In("m^2", "area one disc lasts for", 2, ge=0.01, le=100, resolution=0.1,
                                      find="count them on the first face", basis="measured")] = Q(2, "m^2"),
    pack: Annotated[int, Count("discs in a pack", 5, ge=1, le=1000, basis="data sheet")] = 5,
    finish: Annotated[FinishKind, Choice("kind of finish", "oil or stain that soaks in")]
    = "oil or stain that soaks in",
) -> Sanding:
    """Hours = area times minutes for a square metre times number of grits; discs and packs grit by grit.

    The sequence takes from each grit the widest step allowed towards the last.
    A step of more than one and a half times leaves scratches that the next grit
    does not reach the bottom of.  No published rate was found: time one panel.

    >>> oak = sanding(area=Q(1, "m^2"), first="80", last="220", grades="every other", panel=Q(0.4, "m^2"),
    ...               panel_time=Q(4, "min"))
    >>> oak.sequence
    '80, 120, 180, 220'
    """
    require(int(first) <= int(last), "the first grit must be the coarser, such as 80 and 120", "first", "last")
    grits = grit_sequence(int(first), int(last), _STEP[grades])
    pace = (panel_time / panel).to("min/m^2")
    each = (area * pace * (1 + edges.m_as(""))).to("h")
    discs = Q(np.ceil((area / disc_area).m_as("") - _NEAR))
    packs = Q(np.ceil(discs.magnitude / pack - _NEAR))
    widest = max((after / before for before, after in pairwise(grits)), default=1.0)
    likely = each * len(grits)
    return Sanding(
        sequence=", ".join(map(str, grits)), grits=Q(len(grits)), pace=pace, quick=likely * (1 - faster.m_as("")),
        likely=likely, slow=likely * (1 + slower.m_as("")), discs=discs * len(grits), packs=packs * len(grits),
        widest=Q(widest),
        by_grit=tuple(
            GritStep(name=str(grit), grain=Q(_grains()[grit], "um"), step=Q(grit / before if before else np.nan),
                     time=each, discs=discs)
            for before, grit in zip((0, *grits), grits, strict=False)),
        steps=at_most(Q(widest), Q(1.5)),
        last_grit=_last_grit(int(last), *_LAST[finish]),
        usual=between(pace, Q(5, "min/m^2"), Q(30, "min/m^2"), reason="usually 8 to 15, edges and recesses double"),
    )


def _last_grit(last: int, low: int, high: int) -> Check:
    """Held against the nearer end of the range; a grit is no amount, so no share is taken of it."""
    why = f"{low} to {high} before this kind of finish"
    if last < low:
        return at_least(Q(last), Q(low), share=False, reason=why)
    return at_most(Q(last), Q(high), share=False, reason=why)


@lru_cache(maxsize=1)
def _grains() -> dict[int, float]:
    """Grits that are sold, with their median grain in micrometres."""
    return {int(line["grit"]): float(line["grain"]) for line in read_table("grits")}


def grit_sequence(first: int, last: int, step: float) -> tuple[int, ...]:
    """Grits from `first` to `last`, each the finest within `step` times the one before, or the next that is sold."""
    every = [grit for grit in _grains() if first <= grit <= last]
    made = [first]
    while made[-1] < last:
        finer = [grit for grit in every if grit > made[-1]]
        within = [grit for grit in finer if grit <= made[-1] * step * (1 + _NEAR)]
        made.append(max(within) if within else finer[0])
    return tuple(made)
