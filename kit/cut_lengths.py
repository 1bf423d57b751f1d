"""Do the lengths on the cut list fit the layout: joists between the rims, rims, noggings between the joists."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply
from kit.kinds import Asks, Count, In, Out, Rows, Text
from kit.members import Member
from kit.quantities import Q, Quantity

__all__ = ["CutLength", "CutLengths", "cut_lengths"]


@result
class CutLength:
    """One row of the cut list beside what the layout asks."""

    name: Annotated[str, Text("members", "joists")]
    asked: Annotated[Quantity, Out("mm", "length that the layout asks", resolution=1)]
    planned: Annotated[Quantity, Out("mm", "length on the cut list", resolution=1)]
    off: Annotated[Quantity, Out("mm", "cut list less layout; + is too long", resolution=0.1)]
    pieces_asked: Annotated[Quantity, Out("1", "pieces that the layout asks", resolution=1)]
    pieces_planned: Annotated[Quantity, Out("1", "pieces on the cut list", resolution=1)]


@result
class CutLengths:
    """The cut list held against the layout."""

    rows: Annotated[tuple[CutLength, ...], Rows("cut lengths beside the layout")]
    furthest: Annotated[Quantity, Out("mm", "furthest that a length is out", resolution=0.1,
                                      absent="no row of the cut list was found")]
    spare: Annotated[Quantity, Out("1", "pieces on the cut list less pieces asked, the worst row", resolution=1,
                                   absent="no row of the cut list was found")]
    fit: Annotated[Check, Asks("cut lengths are those of the layout", "practice")]
    enough: Annotated[Check, Asks("cut list has the pieces that the layout asks", "practice")]


@calculator("practice", "kit")
def cut_lengths(
    *,
    pieces: Annotated[Sequence[Member], Rows("members of the frame", least=1, find="the cut list")],
    joist_length: Annotated[Quantity, In("mm", "joist between the two rims", 2110, ge=10, le=30_000, resolution=1)],
    rim_length: Annotated[Quantity, In("mm", "rim over the joist ends", 3000, ge=10, le=30_000, resolution=1)],
    clear: Annotated[Quantity, In("mm", "clear between two joists", 366.4, ge=5, le=5000, resolution=0.1)],
    joists: Annotated[int, Count("joists", 8, ge=2, le=100)],
    joist_row: Annotated[str, Text("row of the cut list that holds the joists", "joists")] = "joists",
    rim_row: Annotated[str, Text("row that holds the rims", "rims")] = "rims",
    nogging_row: Annotated[str, Text("row that holds the noggings", "noggings")] = "noggings",
    tolerance: Annotated[Quantity, In("mm", "difference that can be left standing", 1, ge=0.1, le=50, resolution=0.1,
                                      chosen=True)] = Q(1, "mm"),
) -> CutLengths:
    """Compare typed cut lengths and counts with what the layout asks.

    Joists run between the rims, rims along all joists, noggings between two
    joists, one a bay.  Rows are found by name; a row that is not there is not
    compared, and joists that lie on top of bearers have no rims.

    >>> found = cut_lengths(joist_length=Q(2110, "mm"), rim_length=Q(3, "m"), clear=Q(366.4, "mm"), joists=8,
    ...     pieces=[Member(name="joists", timber="Douglas-fir (coast)", pieces=8, thickness=Q(45, "mm"),
    ...     depth=Q(120, "mm"), length=Q(2200, "mm"), x=Q(0, "m"), y=Q(0, "m"), z=Q(60, "mm"))])
    >>> print(f"{found.rows[0].off:.0f~P}, {found.fit.verdict}")
    90 mm, fails
    """
    asked = {joist_row: (joist_length, Q(joists, "1")), rim_row: (rim_length, Q(2, "1")),
             nogging_row: (clear, Q(np.asarray(joists)[()] - 1, "1"))}
    rows = tuple(_beside(one, *asked[one.name]) for one in pieces if one.name in asked)
    if not rows:
        none = does_not_apply(f"the cut list has no row called '{joist_row}', '{rim_row}' or '{nogging_row}'")
        return CutLengths(rows=(), furthest=Q(np.nan, "mm"), spare=Q(np.nan, "1"), fit=none, enough=none)
    furthest = Q(_extreme(np.maximum, [abs(row.off.m_as("mm")) for row in rows]), "mm")
    spare = Q(_extreme(np.minimum, [(row.pieces_planned - row.pieces_asked).m_as("") for row in rows]), "1")
    return CutLengths(
        rows=rows, furthest=furthest, spare=spare, fit=at_most(furthest, tolerance, share=False),
        enough=at_most(Q(-spare, "1"), Q(0, "1"), share=False, reason="pieces missing from the cut list"))


def _beside(one: Member, length: Quantity, count: Quantity) -> CutLength:
    return CutLength(name=one.name, asked=length, planned=one.length, off=Q(one.length - length, "mm"),
                     pieces_asked=count, pieces_planned=Q(one.pieces, "1"))


def _extreme(which: Any, values: list[Any]) -> Any:
    worst = values[0]
    for value in values[1:]:
        worst = which(worst, value)
    return worst
