"""The thinnest wire that keeps the drop, bears the current and is guarded by its fuse."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, fails
from kit.columns import cell, middle, picked
from kit.kinds import Asks, Choice, In, Out, Says
from kit.quantities import Q, Quantity
from kit.wire import (
    FACTS,
    SIZES,
    Insulation,
    Make,
    Size,
    ampacity_of,
    area_of,
    bundled,
    current,
    hotter,
    insulation,
    length,
    make,
    resistance_of,
    surroundings,
)

__all__ = ["WireSize", "series", "thinnest", "wire_size"]


@lru_cache(maxsize=2)
def series(system: str) -> tuple[Size, ...]:
    """Sizes of one system, thinnest first."""
    return tuple(sorted((s for s in SIZES if s.endswith(system)), key=lambda s: area_of(s).m))


def thinnest(least: Any) -> Any:
    """Place of the thinnest size that does, where `least` holds yes or no by size along its first axis; nan: none."""
    does = np.asarray(least, dtype=bool)
    return np.where(does.any(axis=0), does.argmax(axis=0), np.nan)[()]


@result
class WireSize:
    """The thinnest wire that keeps the drop, bears the current and is guarded by its fuse."""

    by_drop: Annotated[Quantity, Out("mm^2", "copper needed for the drop while it runs", rounding="up")]
    by_start: Annotated[Quantity, Out("mm^2", "copper needed for the drop at start", rounding="up")]
    area: Annotated[Quantity, Out("mm^2", "size to take", absent="none of the sizes held here will do")]
    size: Annotated[str, Says("size to take, of the mean inputs")]
    governed: Annotated[str, Says("what asks for it, of the mean inputs")]
    drop: Annotated[Quantity, Out("percent", "drop with it while it runs", rounding="up", absent="no size")]
    start_drop: Annotated[Quantity, Out("percent", "drop with it at start", rounding="up", absent="no size")]
    ampacity: Annotated[Quantity, Out("A", "current it may carry for long", rounding="down", absent="no size")]
    found: Annotated[Check, Asks("a size held here will do", "CFR-183.425", hazard=True)]


@calculator("IEC-60228", "CFR-183.425", "CFR-183.455", "ABYC-E-11")
def wire_size(
    *,
    one_way: Annotated[Quantity, length()],
    current: Annotated[Quantity, current()],
    start: Annotated[Quantity | None, In("A", "current at the moment it starts", 9, ge=0, le=5000,
                                         find="clamp meter, peak; a motor draws 3 to 10 times its running current")]
    = None,
    fuse: Annotated[Quantity | None, In("A", "fuse that guards it", 5, ge=0.1, le=500, chosen=True)] = None,
    volts: Annotated[Quantity, In("V", "nominal voltage", 12, ge=1, le=1000, chosen=True)] = Q(12, "V"),
    allowed: Annotated[Quantity, In("percent", "drop allowed while it runs", 3, ge=0.1, le=50,
                                    chosen=True)] = Q(3, "percent"),
    allowed_start: Annotated[Quantity, In("percent", "drop allowed at start", 10, ge=0.1, le=50,
                                          chosen=True)] = Q(10, "percent"),
    system: Annotated[Literal["mm2", "AWG"], Choice("sizes to choose from")] = "mm2",
    make: Annotated[Make, make()] = "tinned class 5",
    insulation: Annotated[Insulation, insulation()] = "60 degC",
    temperature: Annotated[Quantity, surroundings()] = Q(30, "degC"),
    wires: Annotated[int, bundled()] = 2,
) -> WireSize:
    """Choose a wire by drop, by current and by its fuse together.

    It must keep 2 L I R within the drop allowed, running and at start, and its
    allowed current must not lie below the fuse (or the load, when no fuse is
    named).  The copper needed is what a wire of the nominal area would need,
    S = 2 L I rho/dV; the size is chosen by the standard's greatest resistance.

    >>> pump = wire_size(one_way=Q(1.8, "m"), current=Q(3, "A"), start=Q(9, "A"), fuse=Q(5, "A"))
    >>> print(pump.size, f"{pump.drop.m_as('percent'):.1f} %")
    1 mm2 1.9 %
    """
    sizes = series(system)
    peak = current if start is None else start
    per_metre, bears = (np.stack(np.broadcast_arrays(*(np.atleast_1d(q.m) for q in by_size))) for by_size in (
        [resistance_of(s, make, temperature) for s in sizes],
        [ampacity_of(s, insulation, temperature, wires) for s in sizes]))
    loop = 2 * one_way / volts
    drops, starts = (np.atleast_1d((loop * i).m_as("m/ohm")) * per_metre for i in (current, peak))
    guard = np.atleast_1d((current if fuse is None else fuse).m_as("A"))
    fits = {"drop while it runs": drops <= np.atleast_1d(allowed.m_as("")),
            "drop at start": starts <= np.atleast_1d(allowed_start.m_as("")), "current and fuse": bears >= guard}
    place = np.asarray(thinnest(np.logical_and.reduce(np.broadcast_arrays(*fits.values()))))
    areas = np.array([area_of(s).m for s in sizes])
    area = cell(Q(picked(areas, place), "mm^2"))
    copper = FACTS["rho"].q * hotter(temperature) * loop
    return WireSize(
        by_drop=Q(copper * current / allowed, "mm^2"), by_start=Q(copper * peak / allowed_start, "mm^2"),
        area=area, size=_named(sizes, place), governed=_governed(fits),
        drop=_at(drops, place, "").to("percent"), start_drop=_at(starts, place, "").to("percent"),
        ampacity=_at(bears, place, "A"),
        found=_found(area, sizes),
    )


def _at(by_size: np.ndarray[Any, Any], place: np.ndarray[Any, Any], unit: str) -> Quantity:
    """Values of the chosen size; nan where there is none."""
    wide = np.broadcast_to(by_size, (by_size.shape[0], max(by_size.shape[1], place.size)))
    at = np.broadcast_to(place, wide.shape[1:])
    known = np.isfinite(at)
    chosen = wide[np.where(known, at, 0).astype(int), np.arange(wide.shape[1])]
    return cell(Q(np.where(known, chosen, np.nan), unit))


def _named(sizes: tuple[Size, ...], place: Any) -> str:
    at = middle(place)
    return sizes[round(at)] if np.isfinite(at) else "none held here: shorten the run or split the load"


def _governed(fits: dict[str, Any]) -> str:
    """The demand whose thinnest size is the thickest."""
    first = {name: middle(thinnest(does)) for name, does in fits.items()}
    if not all(np.isfinite(at) for at in first.values()):
        return next(name for name, at in first.items() if not np.isfinite(at))
    return max(first, key=lambda name: first[name])


def _found(area: Quantity, sizes: tuple[Size, ...]) -> Check:
    if np.isnan(area.m).all():
        return fails("no size held here keeps drop, current and fuse together")
    return at_most(area, area_of(sizes[-1]), reason="against the thickest size held here", share=False)
