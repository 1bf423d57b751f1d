"""A panel through the year: how wide it is in each month, and what gap that leaves around it.

    >>> year = [Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
    ...         Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent"))]
    >>> lid = panel_year(months=year, width=Q(550, "mm"), timber="white oak", cut="quarter-sawn",
    ...                  start=Q(12, "percent"), gap=Q(6, "mm"))
    >>> print(f"{lid.widest_gap:.1f~P} in {lid.dry_month}, {lid.least_gap:.1f~P} in {lid.wet_month}")
    3.9 mm in July, 2.1 mm in January

The gap at fitting itself is worked out in `kit.panel_gaps`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, cast

import numpy as np

from kit.calculator import InputError, calculator, result
from kit.climate import Month
from kit.kinds import Choice, In, Out, Rows, Says
from kit.moisture import yearly_moisture
from kit.panel_gaps import Held
from kit.quantities import Q, Quantity
from kit.timber import SPECIES, Cut, across, moisture, species

__all__ = ["PanelYear", "panel_year"]


@result
class PanelYear:
    """Width and gap month by month."""

    month: Annotated[Quantity, Out("1", "month of the year", resolution=1)]
    change: Annotated[Quantity, Out("mm", "wider than when fitted", over="month", resolution=0.1)]
    gap_left: Annotated[Quantity, Out("mm", "gap at a moving edge", over="month", resolution=0.1)]
    widest_gap: Annotated[Quantity, Out("mm", "widest gap of the year", resolution=0.1, rounding="up")]
    least_gap: Annotated[Quantity, Out("mm", "least gap of the year", resolution=0.1, rounding="down")]
    dry_month: Annotated[str, Says("month of the widest gap")]
    wet_month: Annotated[str, Says("month of the least gap")]
    notes: tuple[str, ...] = ()


@calculator("FPL-RN-0268", "FPL-GTR-190")
def panel_year(
    *,
    months: Annotated[Sequence[Month], Rows("air by month", least=1, find="nearest weather station, monthly means")],
    width: Annotated[Quantity, In("mm", "width across the grain when fitted", 550, ge=1, le=5000, everyday=(50, 1200),
                                  resolution=0.1, find="rule", basis="measured")],
    timber: Annotated[str, species("species", "white oak")],
    cut: Annotated[Cut, Choice("how the boards were sawn, by the rings at their ends", "quarter-sawn")],
    start: Annotated[Quantity, moisture("moisture when it is fitted", 12)],
    gap: Annotated[Quantity, In("mm", "gap at each moving edge when it is fitted", 6, ge=0, le=500, resolution=0.1,
                                find="rule", basis="measured")],
    held: Annotated[Held, Choice("where the panel is held fast", "in the middle")] = "in the middle",
) -> PanelYear:
    """Width of a panel and the gap around it by the mean air of each month.

    change = width * C * (moisture of the month - start); a panel held in the
    middle moves by half of that at each edge.  Sun, rain and the weeks that wood
    lags behind the air are left out: the wettest day is wetter than its month.

    >>> year = [Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent"))]
    >>> lid = panel_year(months=year, width=Q(550, "mm"), timber="white oak", cut="quarter-sawn",
    ...                  start=Q(12, "percent"), gap=Q(6, "mm"))
    >>> print(f"{lid.change[0]:.0f~P} wider")
    8 mm wider
    """
    kind, year = SPECIES[timber], yearly_moisture(months=months)
    # Months stand in front of the samples.
    curve = year.moisture.magnitude
    sampled = curve.ndim == 1 and any(np.ndim(one.magnitude) for one in (width, start, gap))
    moved = across(kind, cut, start, Q(curve[:, None] if sampled else curve, "percent"))
    if moved is None:
        why = f"no movement of {timber} is known; choose a species whose movement is tabulated, such as white oak"
        raise InputError("", {"timber": why})
    change = Q(width * moved, "mm")
    left = Q(gap - change / (2 if held == "in the middle" else 1), "mm")
    return PanelYear(
        month=year.month, change=change, gap_left=left,
        widest_gap=Q(left.magnitude.max(axis=0)[()], "mm"), least_gap=Q(left.magnitude.min(axis=0)[()], "mm"),
        dry_month=year.driest_month, wet_month=year.wettest_month,
        notes=(*cast(Any, year).notes, *kind.remembered("movement_radial", "movement_tangential")),
    )
