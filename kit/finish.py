"""Coats of finish: the area left to coat, litres by kind of surface, film and tins.

    >>> panels = Surface(name="panels", area=Q(9.2, "m^2"), bare=Q(1.2, "m^2"))
    >>> oil = finish_coats(extra=[panels], coats=2, spread=Q(8, "m^2/L"), tin=Q(2.5, "L"), tins=1)
    >>> print(f"{oil.area:.1f~P}, {oil.litres:.1f~P}")
    8.0 m², 2.2 L

Glued faces and faces left bare are taken off where a surface is declared.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, between, does_not_apply, open_check
from kit.handed import Surface
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["FinishCoats", "FinishKind", "SurfaceCoats", "finish_coats"]

FinishKind = Literal["oil or stain that soaks in", "paint or varnish that forms a film"]

_FACTS = read_facts("finish")
_NEAR = 1e-9
_SOAKS = "oil or stain that soaks in"


@result
class SurfaceCoats:
    """One surface and what it takes."""

    name: Annotated[str, Text("surface", "lids")]
    kind: Annotated[str, Says("how it was worked")]
    area: Annotated[Quantity, Out("m^2", "to coat", resolution=0.01)]
    left_bare: Annotated[Quantity, Out("m^2", "not coated", resolution=0.01)]
    coats: Annotated[Quantity, Out("1", "coats")]
    litres: Annotated[Quantity, Out("L", "finish, waste included", rounding="up", resolution=0.01)]


@result
class FinishCoats:
    """Finish for all surfaces."""

    area: Annotated[Quantity, Out("m^2", "area to coat", resolution=0.1)]
    planed: Annotated[Quantity, Out("m^2", "of that planed", resolution=0.1)]
    sawn: Annotated[Quantity, Out("m^2", "of that sawn", resolution=0.1)]
    end_grain: Annotated[Quantity, Out("m^2", "of that end grain", resolution=0.01)]
    left_bare: Annotated[Quantity, Out("m^2", "glued, bedded or left bare", resolution=0.1)]
    coated: Annotated[Quantity, Out("m^2", "area times coats", resolution=0.1)]
    litres: Annotated[Quantity, Out("L", "finish needed, waste included", rounding="up", resolution=0.1)]
    tins_needed: Annotated[Quantity, Out("1", "tins needed", rounding="up")]
    over: Annotated[Quantity, Out("L", "left in the tins bought", rounding="down", resolution=0.1)]
    wet_film: Annotated[Quantity, Out("um", "wet film of one coat on planed wood", resolution=1)]
    dry_film: Annotated[Quantity, Out("um", "dry film of all coats on planed wood", rounding="down", resolution=1,
                                      absent="solids are not entered")]
    coats_for_film: Annotated[Quantity, Out("1", "coats for the film wanted", rounding="up",
                                            absent="no film is wanted")]
    by_surface: Annotated[tuple[SurfaceCoats, ...], Rows("finish by surface")]
    enough: Annotated[Check, Asks("finish bought for all coats", "kit")]
    usual: Annotated[Check, Asks("spread as a published table has it", "FPL-GTR-190")]
    film: Annotated[Check, Asks("dry film thick enough", "FPL-GTR-190")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "practice", "kit")
def finish_coats(
    *,
    surfaces: Annotated[Sequence[Surface], Rows("surfaces of the other stages")] = (),
    extra: Annotated[Sequence[Surface], Rows("surfaces besides", find="what no other stage has")] = (),
    kind: Annotated[FinishKind, Choice("kind of finish", "oil or stain that soaks in", basis="data sheet")]
    = "oil or stain that soaks in",
    coats: Annotated[int, Count("coats", 2, ge=1, le=12, find="the tin; two outdoors")] = 2,
    end_coats: Annotated[int, Count("coats on end grain", 3, ge=1, le=12, basis="common practice")] = 3,
    spread: Annotated[Quantity, In(
        "m^2/L", "area that a litre covers on planed wood", 8, ge=0.5, le=40, everyday=(3, 16), resolution=0.1,
        find="coat an offcut of 0.5 x 0.5 m and weigh the pot before and after", basis="data sheet")],
    thirst: Annotated[Quantity, In(
        "percent", "of that on sawn wood and end grain", 50, ge=5, le=100, find="rough wood halves it",
        basis="handbook")] = Q(50, "percent"),
    waste: Annotated[Quantity, In("percent", "waste: pot, brush, rags", 10, ge=0, le=100, basis="common practice")]
    = Q(10, "percent"),
    tin: Annotated[Quantity, In("L", "finish in one tin", 2.5, ge=0.05, le=200, basis="data sheet", find="the tin",
                                chosen=True)],
    tins: Annotated[int, Count("tins bought", 1, ge=0, le=200)],
    solids: Annotated[Quantity | None, In("percent", "solids by volume", 45, ge=1, le=100, find="data sheet",
                                          basis="data sheet")] = None,
    wanted: Annotated[Quantity | None, In("um", "dry film wanted", 100, ge=1, le=2000, chosen=True,
                                          find="data sheet; paint outdoors 100 to 130")] = None,
) -> FinishCoats:
    """Litres = sum of (area - bare) coats / spread, sawn wood and end grain at their own spread, and waste.

    Wet film is 1 / spread, the dry film that times solids times coats.  A finish
    that soaks in leaves next to no film.  Faces that touch the ground, edges of
    boards in a stack and a second go at thirsty places are left out.

    >>> fence = Surface(name="fence", area=Q(12, "m^2"), kind="sawn")
    >>> stain = finish_coats(extra=[fence], coats=2, spread=Q(7.3, "m^2/L"), waste=Q(0, "percent"), tin=Q(2.5, "L"),
    ...                      tins=3)
    >>> print(f"{stain.litres:.2f~P}, {stain.tins_needed.magnitude:.0f} tins")
    6.58 L, 3 tins
    """
    every = (*surfaces, *extra)
    for one in every:
        require(one.bare <= one.area * (1 + _NEAR), f"{one.name}: more is left bare than there is; the whole area "
                "comes first, such as 1.2 m^2 with 0.1 m^2 bare", "extra")
    by_kind = {"planed": (coats, 1.0), "sawn": (coats, thirst.m_as("")), "end grain": (end_coats, thirst.m_as(""))}
    rows = tuple(_row(one, *by_kind[one.kind], spread, 1 + waste.m_as("")) for one in every)
    area = {name: _sum((r.area for r in rows if r.kind == name), "m^2") for name in by_kind}
    litres = _sum((r.litres for r in rows), "L")
    bought = tins * tin.to("L")
    wet = (1 / spread).to("um")
    dry = Q(np.nan, "um") if solids is None else (wet * solids * coats).to("um")
    return FinishCoats(
        area=sum(area.values(), Q(0, "m^2")), planed=area["planed"], sawn=area["sawn"], end_grain=area["end grain"],
        left_bare=_sum((r.left_bare for r in rows), "m^2"), coated=_sum((r.area * r.coats for r in rows), "m^2"),
        litres=litres, tins_needed=Q(np.ceil((litres / tin).m_as("") - _NEAR)),
        over=Q(np.maximum((bought - litres).m_as("L"), 0), "L"), wet_film=wet, dry_film=dry,
        coats_for_film=_coats_for(wanted, wet, solids), by_surface=rows, enough=at_least(bought, litres),
        usual=_usual(kind, spread), film=_film(kind, wanted, dry),
    )


def _row(one: Surface, coats: int, share: Any, spread: Quantity, more: Any) -> SurfaceCoats:
    net = Q(np.maximum((one.area - one.bare).m_as("m^2"), 0), "m^2")
    return SurfaceCoats(name=one.name, kind=one.kind, area=net, left_bare=one.bare.to("m^2"), coats=Q(coats),
                        litres=(net * coats / (spread * share) * more).to("L"))


def _sum(parts: Any, unit: str) -> Quantity:
    return sum(parts, Q(0, unit))


def _coats_for(wanted: Quantity | None, wet: Quantity, solids: Quantity | None) -> Quantity:
    if wanted is None or solids is None:
        return Q(np.nan)
    return Q(np.ceil((wanted / (wet * solids)).m_as("") - _NEAR))


def _usual(kind: str, spread: Quantity) -> Check:
    """Only the spread of stains was readable."""
    if kind != _SOAKS:
        return does_not_apply("the published spread is for stains that soak in; the tin decides")
    return between(spread.to("m^2/L"), _FACTS["stain-smooth-low"].q, _FACTS["stain-smooth-high"].q)


def _film(kind: str, wanted: Quantity | None, dry: Quantity) -> Check:
    if kind == _SOAKS:
        return does_not_apply("a finish that soaks in leaves no film to speak of")
    least = _FACTS["paint-film-low"].q.to("um") if wanted is None else wanted.to("um")
    if np.all(np.isnan(dry.magnitude)):
        return open_check("enter the solids by volume, from the data sheet")
    return at_least(dry, least)
