"""Wood through the year: the moisture of each month, and what it does to the gaps of a deck."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import applies, calculator, require, result
from kit.checks import Check, between, not_covered
from kit.climate import MONTHS, Month, by_month
from kit.kinds import Asks, Choice, In, Out, Rows, Says
from kit.quantities import Q, Quantity
from kit.timber import SPECIES, Cut, across, moisture, sorbed, species

__all__ = ["GapYear", "YearlyMoisture", "gap_year", "yearly_moisture"]

# The sorption equation was fitted between these; air beyond them is taken at the nearest edge.
_COLDEST, _WARMEST, _DAMPEST = -1.2, 55.0, 0.95


def _more(meaning: str, find: str) -> In:
    """A difference of moisture, in percent of dry mass."""
    return In("percent", meaning, 2, ge=0, le=20, everyday=(0, 6), resolution=0.1, find=find, basis="estimate")


def _sun() -> In:
    return _more("how much drier sun and wind make it in the driest weeks, in % of dry mass",
                 "0 under cover; 1 to 3 for a deck in full sun; a meter in a dry July tells")


def _rain() -> In:
    return _more("how much wetter rain makes it in the wettest weeks, in % of dry mass",
                 "0 under cover; 2 to 6 where water stands; a meter in a wet January tells")


@result
class YearlyMoisture:
    """The moisture of wood that stays out all year, month by month."""

    month: Annotated[Quantity, Out("1", "month of the year", resolution=1)]
    moisture: Annotated[Quantity, Out("percent", "moisture the wood comes to in the air of the month", over="month",
                                      resolution=0.1)]
    least: Annotated[Quantity, Out("percent", "driest of the year, sun and wind included", resolution=0.1)]
    most: Annotated[Quantity, Out("percent", "wettest of the year, rain included", resolution=0.1)]
    mean: Annotated[Quantity, Out("percent", "mean of the year", resolution=0.1)]
    driest_month: Annotated[str, Says("driest month")]
    wettest_month: Annotated[str, Says("wettest month")]


@calculator("FPL-RN-0268", "FPL-GTR-190")
def yearly_moisture(
    *,
    months: Annotated[Sequence[Month], Rows("air by month", least=1, find="nearest weather station, monthly means")],
    sun: Annotated[Quantity, _sun()] = Q(0, "percent"),
    rain: Annotated[Quantity, _rain()] = Q(0, "percent"),
) -> YearlyMoisture:
    """Moisture that wood comes to month by month, with the driest and the wettest of the year.

    Each month by the sorption equation of `equilibrium_moisture`: air of
    temperature T and humidity h, no more.  Boards follow it within weeks, thick
    timber within months, so thick timber never gets as far as the curve.  Sun,
    wind and rain are not in the equation: `sun` is taken off the driest month
    and `rain` put on the wettest.  Wood under water is not meant.

    >>> year = yearly_moisture(months=[Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
    ...                                Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent"))])
    >>> print(f"{year.least.m_as('percent'):.1f} % in {year.driest_month}, {year.most.m_as('percent'):.1f} %")
    16.3 % in July, 19.9 %
    """
    curve = _curve(months)
    plain = curve if curve.ndim == 1 else np.nanmean(np.where(np.isfinite(curve), curve, np.nan), axis=-1)
    return YearlyMoisture(
        month=Q(np.arange(1, 13), "1"), moisture=Q(curve, "percent"),
        least=_driest(curve, sun), most=_wettest(curve, rain), mean=Q(curve.mean(axis=0), "percent"),
        driest_month=MONTHS[_place(np.argmin, plain)], wettest_month=MONTHS[_place(np.argmax, plain)],
    )


def _place(which: Any, values: Any) -> int:
    return int(which(np.nan_to_num(values)))


def _driest(curve: Any, sun: Quantity) -> Quantity:
    return Q(np.maximum(curve.min(axis=0) - sun.m_as("percent"), 0.0)[()], "percent")


def _wettest(curve: Any, rain: Quantity) -> Quantity:
    return Q((curve.max(axis=0) + rain.m_as("percent"))[()], "percent")


def _curve(months: Sequence[Month]) -> Any:
    """Moisture of the twelve months in percent, samples last (plain numbers: an empirical fit)."""
    temperature, humidity = by_month(months)
    t, h = temperature.m_as("degC"), humidity.m_as("")
    if t.ndim != h.ndim:
        t, h = (one[:, None] if one.ndim == 1 else one for one in (t, h))
    inside = (t >= _COLDEST - 1e-9) & (t <= _WARMEST + 1e-9) & (h <= _DAMPEST + 1e-9)
    applies(inside, "the moisture equation was made for air of -1 to 55 degC and up to 95 % humidity; months beyond "
                    "are taken at its edge")
    return np.asarray(sorbed(np.clip(t, _COLDEST, _WARMEST), np.minimum(h, _DAMPEST)), dtype=float)


@result
class GapYear:
    """A gap between two deck boards through the year."""

    month: Annotated[Quantity, Out("1", "month of the year", resolution=1)]
    monthly: Annotated[Quantity, Out("mm", "gap at the moisture of the month", over="month", resolution=0.1,
                                 absent="no movement of this species is known")]
    widest: Annotated[Quantity, Out("mm", "widest of the year, sun and wind included", resolution=0.1, rounding="up",
                                    absent="no movement of this species is known")]
    narrowest: Annotated[Quantity, Out("mm", "narrowest of the year, rain included", resolution=0.1, rounding="down",
                                       absent="no movement of this species is known")]
    lay_at_least: Annotated[Quantity, Out("mm", "least gap to lay with on the day, so that it still drains",
                                          resolution=0.1, rounding="up",
                                          absent="no movement of this species is known")]
    lay_at_most: Annotated[Quantity, Out("mm", "greatest gap to lay with on the day, so that fingers stay out",
                                         resolution=0.1, rounding="down",
                                         absent="no movement of this species is known")]
    laid_well: Annotated[Check, Asks("gap at laying keeps both limits all year", "practice")]
    notes: tuple[str, ...] = ()


@calculator("FPL-RN-0268", "FPL-GTR-190", "practice", "EN1176-1")
def gap_year(
    *,
    months: Annotated[Sequence[Month], Rows("air by month", least=1, find="nearest weather station, monthly means")],
    sun: Annotated[Quantity, _sun()] = Q(0, "percent"),
    rain: Annotated[Quantity, _rain()] = Q(0, "percent"),
    board_width: Annotated[Quantity, In("mm", "width of a board on the day it is laid", 145, ge=40, le=300,
                                        everyday=(70, 200), resolution=0.5, find="calipers on five boards, the mean",
                                        basis="measured")],
    gap: Annotated[Quantity, In("mm", "gap on the day the boards are laid", 6, ge=0, le=20, everyday=(3, 8),
                                resolution=0.1, find="the gap block", chosen=True)],
    timber: Annotated[str, species("species of the boards", "western larch")],
    cut: Annotated[Cut, Choice("how the boards were sawn, by the rings at their ends",
                               find="rings flat along the face: flat-sawn; upright: quarter-sawn")] = "flat-sawn",
    laid_moisture: Annotated[Quantity, moisture("moisture of the boards on the day they are laid", 15)],
    least_gap: Annotated[Quantity, In("mm", "least gap that drains", 3, ge=0, le=20, resolution=0.1,
                                      chosen=True)] = Q(3, "mm"),
    greatest_gap: Annotated[Quantity, In("mm", "greatest gap a finger stays out of", 8, ge=1, le=25, resolution=0.1,
                                         chosen=True)]
    = Q(8, "mm"),
) -> GapYear:
    """A gap between two boards month by month, and the gaps it may be laid with on the day.

    gap = gap laid - b C (M - M laid), b the width and C the movement of the
    species.  Boards swell into the gap from both sides by half each, which adds
    up to one board.  A gap that would be less than nothing stands as it comes
    out, below zero: the boards press on one another.

    >>> year = gap_year(months=[Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
    ...                         Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent"))],
    ...     board_width=Q(145, "mm"), gap=Q(6, "mm"), timber="western larch", laid_moisture=Q(15, "percent"))
    >>> print(f"{year.narrowest:.1f~P} to {year.widest:.1f~P}")
    3.7 mm to 5.4 mm
    """
    require(greatest_gap >= least_gap, "the greatest gap is below the least; write 8 mm for the greatest, 3 for the "
            "least", "least_gap", "greatest_gap")
    kind, curve = SPECIES[timber], _curve(months)
    extremes = (_driest(curve, sun), _wettest(curve, rain))
    dry, wet = (_swelling(kind, cut, board_width, laid_moisture, at) for at in extremes)
    # Months stand in front of the samples.
    sampled = curve.ndim == 1 and any(np.ndim(one.magnitude) for one in (board_width, laid_moisture, gap))
    by_the_month = Q(curve[:, None] if sampled else curve, "percent")
    swelling = _swelling(kind, cut, board_width, laid_moisture, by_the_month)
    least, most = Q(least_gap + wet, "mm"), Q(greatest_gap + dry, "mm")
    known = kind.coefficient(cut) is not None
    return GapYear(
        month=Q(np.arange(1, 13), "1"), monthly=Q(gap - swelling, "mm"), widest=Q(gap - dry, "mm"),
        narrowest=Q(gap - wet, "mm"), lay_at_least=Q(np.maximum(least.m, 0.0)[()], "mm"), lay_at_most=most,
        laid_well=between(gap, least, most) if known else not_covered(f"no movement of {timber} is known"),
        notes=kind.remembered("shrinkage_radial", "shrinkage_tangential"),
    )


def _swelling(kind: Any, cut: str, width: Quantity, laid: Quantity, at: Quantity) -> Quantity:
    """How much wider one board is than on the day it was laid; nan where nothing is known of its movement."""
    share = across(kind, cut, laid, at)
    return Q(width * (at.m * np.nan if share is None else share.m), "mm")
