"""A year of the battery by days, many drawn years at once: its charge, days without power, energy thrown away."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, NamedTuple

import numpy as np

from kit import sky
from kit.battery import Chemistry
from kit.calculator import calculator, result
from kit.checks import Check, at_most
from kit.climate import Month, by_month
from kit.dull_days import MONTH_OF, drawn_sun
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, YesNo
from kit.months import Year, middle, name_of
from kit.quantities import Q, Quantity, spell
from kit.struts import nominal

__all__ = ["BatteryYear", "Run", "battery_year", "run_days", "upper_share"]

# More samples than this are worked out from their mean: a drawn year for each would take seconds.
MANY = 50
# Days run before the first of January, with the autumn of the same year, so that the year does not begin full.
_BEFORE = 120
_DAY = Q(np.arange(1, 366), "d")


class Run(NamedTuple):
    """What came of drawn years: share of the usable charge at the end of each day, energy lacking and thrown away."""

    charge: Any
    lacking: Any
    thrown: Any


def run_days(comes: Any, goes: Any, holds: Any) -> Run:
    """The charge of each day, from energy that comes (days, years, samples), goes and may be held (days, 1, samples).

    It moves by what is left over or lacking, over what may be held that day,
    between the cut-off (0) and full (1).  Charge that the cold hides comes back
    with the warmth: the share stays when what may be held changes.
    """
    step = (comes - goes) / holds
    charge = np.empty_like(step)
    level = np.ones_like(step[0])
    add, least, most = np.add, np.maximum, np.minimum
    for change in step[-_BEFORE:]:
        most(least(add(level, change, out=level), 0.0, out=level), 1.0, out=level)
    begin = level.copy()
    for now, change in zip(charge, step, strict=True):
        level = most(least(add(level, change, out=now), 0.0, out=now), 1.0, out=now)
    # What would have been without cut-off and without a full battery, against what was.
    gap = (np.concatenate([begin[None], charge[:-1]]) + step - charge) * holds
    return Run(charge, np.maximum(-gap, 0.0), np.maximum(gap, 0.0))


def upper_share(count: Any, of: int, confidence: float = 0.95) -> Any:
    """The share that is not exceeded with a confidence, `count` of `of` having been seen (Clopper and Pearson)."""
    from scipy.special import betaincinv

    seen = np.asarray(count, dtype=float)
    return np.where(seen >= of, 1.0, betaincinv(seen + 1, np.maximum(of - seen, 1e-9), confidence))


@result
class BatteryYear:
    """Many drawn years of the battery."""

    day: Annotated[Quantity, Out("d", "day of the year")]
    usual: Annotated[Quantity, Out("percent", "charge, half of the years above", over="day", resolution=1)]
    lean: Annotated[
        Quantity, Out("percent", "charge, one year in twenty below", over="day", resolution=1, rounding="down")
    ]
    worst: Annotated[
        Quantity, Out("percent", "charge, lowest of all drawn years", over="day", resolution=1, rounding="down")
    ]
    lost: Annotated[Quantity, Out("d", "days without power in ten years", resolution=1, rounding="up")]
    give_or_take: Annotated[Quantity, Out("d", "give or take, at 95 % confidence", resolution=1, rounding="up")]
    years_lost: Annotated[Quantity, Out("percent", "years with a day without power", resolution=1, rounding="up")]
    years_at_most: Annotated[
        Quantity, Out("percent", "such years at most, at 95 % confidence", resolution=1, rounding="up")
    ]
    lowest: Annotated[Quantity, Out("percent", "lowest charge of a usual year", resolution=1, rounding="down")]
    lacking: Annotated[Quantity, Out("Wh", "energy lacking in a mean year", resolution=1, rounding="up")]
    thrown: Annotated[Quantity, Out("percent", "of a year's energy thrown away", resolution=1)]
    frost_days: Annotated[
        Quantity, Out("d", "days in a year on which frost stops the charge", resolution=1, rounding="up")
    ]
    darkest: Annotated[str, Says("month with most days without power")]
    said: Annotated[str, Says("days without power, in words")]
    holds_out: Annotated[Check, Asks("days without power in ten years", "graham-1988")]


@calculator("bendt-1981", "graham-1988", "erbs-1982", "klein-1977")
def battery_year(
    *,
    energy: Annotated[Quantity, In("Wh", "energy into the battery, a mean day of each month", 39, ge=0, le=1e6)],
    drawn: Annotated[Quantity, In("Wh", "drawn from it, a mean day of each month", 30.9, ge=0, le=1e6)],
    usable: Annotated[Quantity, In("Wh", "energy that may be used, each month", 198, ge=0.1, le=1e7)],
    depth: Annotated[Quantity, In("percent", "share of the battery that may be used", 50, ge=5, le=100)],
    clearness: Annotated[Quantity, In("1", "clearness of each month", 0.38, ge=0.02, le=0.85)],
    direct: Annotated[
        Quantity, In("1", "direct sun on the panels over that on the flat, each month", 1.6, ge=0, le=1e6)
    ] = Q(1),
    diffuse: Annotated[Quantity, In("1", "diffuse sun on the panels over that on the flat", 0.75, ge=0, le=1)] = Q(1),
    ground: Annotated[Quantity, In("1", "sun from the ground over the sun on the flat", 0.05, ge=0, le=1)] = Q(0),
    daylight: Annotated[Quantity, In("h", "from sunrise to sunset, each month", 12, ge=0, le=24)] = Q(12, "h"),
    air: Annotated[Sequence[Month], Rows("air by month", least=1, most=12)],
    chemistry: Annotated[Chemistry, Choice("kind of battery")] = "sealed lead-acid",
    heater: Annotated[bool, YesNo("the battery has a heater")] = False,
    allowed: Annotated[
        Quantity,
        In(
            "d",
            "days without power you would put up with in ten years",
            10,
            ge=0,
            le=3650,
            resolution=1,
            chosen=True,
            find="a dark lamp: some; an alarm: none",
        ),
    ],
    years: Annotated[int, Count("years to draw", 40, ge=10, le=400)] = 100,
    seed: Annotated[int, Count("seed of the weather", 1, ge=0, le=10_000)] = 1,
) -> BatteryYear:
    """Run the battery through many drawn years, day by day.

    Charge tomorrow = charge + (energy in - energy out) / usable, between the cut-off
    and full; what the cold hides comes back with the warmth.  The clearness of
    each day is drawn for its month, dull days following dull ones; the energy of
    a day follows its direct and diffuse sun.  Lithium takes nothing on a day whose
    mean air is below freezing, unless it has a heater.  Hours within the day, snow
    on the panels and years that are dark as a whole are left out.  Over 50 samples
    at once are worked out from their mean.

    >>> year = battery_year(energy=Q("39 Wh"), drawn=Q("20 Wh"), usable=Q("198 Wh"), depth=Q("50 %"),
    ...     clearness=Q(0.38), air=[Month(name="May", temperature=Q("9 degC"), humidity=Q("80 %"))], allowed=Q("3 d"))
    >>> round(float(year.lost.m_as("d"))), year.holds_out.verdict
    (0, 'meets')
    """
    curves = (energy, drawn, usable, depth, clearness, direct, diffuse, ground, daylight, by_month(air)[0])
    units = ("Wh", "Wh", "Wh", "", "", "", "", "", "h", "degC")
    box = Year(*curves, allowed)
    plain = [box.si(one, unit) for one, unit in zip(curves, units, strict=True)]
    if box.samples > MANY:
        box, plain = Year(), [np.nanmean(one, axis=1, keepdims=True) for one in plain]
        allowed = Q(nominal(allowed), spell(allowed))
    wide = [np.broadcast_to(one, (12, box.samples)) for one in plain]
    run, comes, frozen = drawn_run(wide, chemistry, heater, years, seed)
    return _told(box, run, comes, wide, frozen, allowed, years)


def drawn_run(wide: Sequence[Any], chemistry: str, heater: bool, years: int, seed: int) -> tuple[Run, Any, Any]:
    """The run of the drawn years, the energy that came on each day, and which days frost took."""
    energy, drawn, usable, _, clearness, direct, diffuse, ground, daylight, air = wide
    down = np.pi * daylight / 24
    shape = drawn_sun((clearness, direct, diffuse, ground, down), years, seed)
    comes = energy[MONTH_OF][:, None, :] * shape
    frozen = np.zeros((365, air.shape[1]), dtype=bool)
    if chemistry.startswith("lithium") and not heater:
        frozen = by_days(air) < 0
        comes = np.where(frozen[:, None, :], 0.0, comes)
    return run_days(comes, drawn[MONTH_OF][:, None, :], usable[MONTH_OF][:, None, :]), comes, frozen


def by_days(months: Any) -> Any:
    """Means of the months read off for every day between the middles of the months, shape (365, samples)."""
    middle = np.cumsum(sky.DAYS) - sky.DAYS / 2
    at = np.arange(365) + 0.5
    return np.stack([np.interp(at, middle, column, period=365) for column in months.T], axis=-1)


def _told(
    box: Year, run: Run, comes: Any, wide: Sequence[Any], frozen: Any, allowed: Quantity, years: int
) -> BatteryYear:
    depth = wide[3]
    level = 100 * (1 - depth[0] + depth[0] * run.charge)
    dark = np.where(np.isnan(run.lacking), np.nan, run.lacking > 1e-6)
    each = dark.sum(axis=0)
    lost, doubt = 10 * each.mean(axis=0), 10 * 1.96 * each.std(axis=0, ddof=1) / np.sqrt(years)
    hit = (each > 0).sum(axis=0)
    # Nothing seen in so many years says no more than three days at most in as many (rule of three).
    doubt = np.where(hit == 0, 10 * 3.0 / years, doubt) + 0 * lost
    ordered = np.sort(level, axis=1)
    months = middle(np.add.reduceat(dark.sum(axis=1), np.cumsum(sky.DAYS) - sky.DAYS))
    words = _said(nominal(lost), nominal(doubt), years, months)
    spare = run.thrown.sum(axis=(0, 1)) / np.maximum(comes.sum(axis=(0, 1)), 1e-9)
    days = box.out(lost, "d")
    return BatteryYear(
        day=_DAY,
        usual=box.out(ordered[:, years // 2], "percent"),
        lean=box.out(ordered[:, years // 20], "percent"),
        worst=box.out(ordered[:, 0], "percent"),
        lost=days,
        give_or_take=box.out(doubt, "d"),
        years_lost=box.out(100 * hit / years + 0 * lost, "percent"),
        years_at_most=box.out(100 * upper_share(hit, years) + 0 * lost, "percent"),
        lowest=box.out(ordered[:, years // 2].min(axis=0), "percent"),
        lacking=box.out(run.lacking.sum(axis=0).mean(axis=0), "Wh"),
        thrown=box.out(100 * spare, "percent"),
        frost_days=box.out(frozen.sum(axis=0) + 0 * lost, "d"),
        darkest=_darkest(months),
        said=words,
        holds_out=at_most(days, allowed, reason=words),
    )


def _darkest(months: Any) -> str:
    return name_of(int(np.nanargmax(months))) if np.any(months > 0) else "none"


def _said(days: float, spread: float, years: int, months: Any) -> str:
    """Days in ten years with their confidence, as one would say them."""
    if not days > 0:
        return f"none in {years} drawn years; fewer than {max(spread, 1):.0f} in ten years at 95 % confidence"
    count = round(days)
    often = "less than a day" if count == 0 else "1 day" if count == 1 else f"{count} days"
    where = f"most of them in {_darkest(months)}" if count > 1 else f"in {_darkest(months)} if at all"
    return f"{often} in ten years, give or take {np.ceil(spread):.0f} at 95 % confidence ({years} drawn years), {where}"
