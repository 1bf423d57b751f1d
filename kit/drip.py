"""A line of drip emitters: what the first and the last give, and how even the line is."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, does_not_apply
from kit.kinds import Asks, Count, In, Out
from kit.liquid_water import Density, thickness_of, warmth
from kit.pipe_flow import Bore, Roughness, si
from kit.pipe_kernel import Line, rising_root
from kit.quantities import Q, Quantity

__all__ = ["DripLine", "drip_line"]

# Power of the flow in the loss of a smooth small pipe, which the factor of many outlets needs.
_POWER = 1.75
# Share of the whole loss that the middle emitter has behind it.
_MIDDLE = 0.75


@result
class DripLine:
    """A line of emitters at work."""

    first: Annotated[Quantity, Out("L/h", "first emitter", resolution=0.01, absent="no emitters")]
    last: Annotated[Quantity, Out("L/h", "last emitter", resolution=0.01, rounding="down", absent="no emitters")]
    total: Annotated[Quantity, Out("L/h", "all emitters", resolution=0.1)]
    lost: Annotated[Quantity, Out("m", "head lost along the line", resolution=0.01, rounding="up")]
    uniformity: Annotated[Quantity, Out("percent", "last emitter over the first", resolution=1, rounding="down",
                                        absent="no emitters, or no pressure")]
    a_day: Annotated[Quantity, Out("L", "water a day", resolution=0.1)]
    even: Annotated[Check, Asks("the last emitter gives nearly as much as the first", "practice")]


@calculator("emitter-law", "colebrook")
def drip_line(
    *,
    emitters: Annotated[int, Count("emitters along the line", 20, ge=0, le=2000)] = 0,
    spacing: Annotated[Quantity, In("m", "distance between two", 0.3, ge=0.01, le=100, resolution=0.01)] = Q(0.3, "m"),
    bore: Bore = Q(13, "mm"),
    rated_flow: Annotated[Quantity, In("L/h", "flow of one emitter as rated", 4, ge=0.05, le=500, resolution=0.1,
                                       basis="data sheet")] = Q(4, "L/h"),
    rated_head: Annotated[Quantity, In("m", "head at which that is", 10, ge=0.1, le=100, resolution=0.1,
                                       basis="data sheet", find="1 bar is 10.2 m")] = Q(10, "m"),
    exponent: Annotated[Quantity, In("1", "power of the head in its flow", 0.5, ge=0, le=1, resolution=0.01,
                                     basis="data sheet", find="0.5 plain, near 0 compensating, 1 a long thin tube")]
    = Q(0.5),
    head: Annotated[Quantity, In("m", "head at the start of the line", 10, ge=0, le=200, resolution=0.1,
                                 find="height of the tank over the line, or the pressure there")] = Q(10, "m"),
    rise: Annotated[Quantity, In("m", "rise of the ground from first to last (falling is minus)", 0, out_by="50 mm",
                                 ge=-50, le=50,
                                 resolution=0.01)] = Q(0, "m"),
    hours: Annotated[Quantity, In("h", "hours open a day", 0.5, ge=0, le=24, resolution=0.1)] = Q(0, "h"),
    roughness: Roughness = Q(1.5, "um"),
    temperature: Annotated[Quantity, warmth("temperature of the water", 15)] = Q(15, "degC"),
    density: Density = Q(999.7, "kg/m^3"),
    least: Annotated[Quantity, In("percent", "least the last may give of the first", 90, ge=10, le=100, chosen=True,
                                  basis="common practice")] = Q(90, "percent"),
) -> DripLine:
    """Emitters q = k H^x along a pipe whose flow shrinks from one to the next.

    The loss is that of the whole flow over the whole length times the factor of
    many outlets, 1/(m+1) + 1/2N + sqrt(m-1)/6N^2; the mean emitter sees the
    head less three quarters of it.  Clogging and the scatter of making, often
    worse than either, are left out.

    >>> line = drip_line(emitters=50, hours=Q(0.5, "h"))
    >>> print(f"{line.total:.0f~P}, last {line.uniformity.m:.0f} % of the first")
    199 L/h, last 99 % of the first
    """
    n = np.asarray(emitters, dtype=float)
    x, start, up = si(exponent, "1"), si(head, "m"), si(rise, "m")
    k = si(rated_flow, "m^3/s") / si(rated_head, "m") ** x
    safe = np.maximum(n, 1)
    factor = 1 / (_POWER + 1) + 1 / (2 * safe) + (_POWER - 1) ** 0.5 / (6 * safe**2)
    nu = thickness_of(temperature, density)
    line = Line(safe * si(spacing, "m"), si(bore, "m"), 0.0, si(roughness, "m"), si(nu, "m^2/s"))

    def law(pressure: Any) -> Any:
        return k * np.maximum(pressure, 0) ** x

    def work(flow: Any) -> tuple[Any, Any]:
        loss, slope = (factor * part for part in line.head(flow))
        middle = np.maximum(start - _MIDDLE * loss - up / 2, 1e-12)
        given = n * law(np.where(start - _MIDDLE * loss - up / 2 > 0, middle, 0))
        return flow - given, 1 + given * x / middle * _MIDDLE * slope

    whole = rising_root(work, np.zeros(()), n * law(start + np.abs(up)) + 1e-12)
    whole = np.where(n > 0, whole, 0 * whole)
    lost = np.where(n > 0, factor * line.head(whole)[0], 0)
    first = np.where(n > 0, law(start + 0 * whole), np.nan)
    last = np.where(n > 0, law(start - lost - up), np.nan)
    with np.errstate(divide="ignore", invalid="ignore"):
        even = Q(np.where(first > 0, last / np.where(first > 0, first, 1), np.nan)[()]).to("percent")
    total = Q(whole[()], "m^3/s").to("L/h")
    return DripLine(
        first=Q(first[()], "m^3/s").to("L/h"), last=Q(last[()], "m^3/s").to("L/h"), total=total, lost=Q(lost[()], "m"),
        uniformity=even, a_day=(total * hours).to("L"),
        even=at_least(even, least, share=False) if np.any(n > 0) else does_not_apply("there are no emitters"),
    )
