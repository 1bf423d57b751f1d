"""The weather of a place through the year, month by month, as the brief gives it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal, get_args

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.kinds import Choice, In, Out, Rows, Says
from kit.quantities import Q, Quantity

__all__ = ["MONTHS", "Climate", "Month", "MonthName", "by_month", "climate", "month_weights"]

MonthName = Literal[
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
]  # fmt: skip
MONTHS: tuple[MonthName, ...] = get_args(MonthName)


@row
class Month:
    """Mean air of one month."""

    name: Annotated[MonthName, Choice("month", "January")]
    temperature: Annotated[
        Quantity, In("degC", "mean air temperature", 1, ge=-50, le=45, find="nearest weather station, monthly means")
    ]
    humidity: Annotated[
        Quantity,
        In("percent", "mean relative humidity", 88, ge=5, le=100, find="nearest weather station, monthly means"),
    ]


@result
class Climate:
    """Temperature and humidity of every month, those not given read off between their neighbours."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    temperature: Annotated[Quantity, Out("degC", "mean air temperature", over="month")]
    humidity: Annotated[Quantity, Out("percent", "mean relative humidity", over="month")]
    coldest: Annotated[str, Says("coldest month")]
    warmest: Annotated[str, Says("warmest month")]


def month_weights(names: Sequence[str]) -> np.ndarray:
    """Shares by which each of the twelve months is read off between the months given, round the turn of the year."""
    given = sorted((MONTHS.index(name), column) for column, name in enumerate(names))
    places = [place for place, _ in given]
    weights = np.zeros((12, len(names)))
    for month in range(12):
        after = next((k for k, place in enumerate(places) if place >= month), 0)
        before = after - 1 if len(given) > 1 else after
        span = (places[after] - places[before]) % 12 or 12
        share = ((month - places[before]) % 12) / span if places[after] != month else 1.0
        weights[month, given[after][1]] += share
        weights[month, given[before][1]] += 1 - share
    return weights


def by_month(months: Sequence[Month]) -> tuple[Quantity, Quantity]:
    """Temperature and humidity of the twelve months, shape (12,) or (12, samples).

    Months that are not given are read off on a straight line between the
    nearest that are.  Raises InputError when there is none.
    """
    names = [one.name for one in months]
    require(bool(names), "give at least one month, such as January with 1 degC and 88 %", "months")
    weights = month_weights(names)

    def mixed(unit: str, columns: Sequence[Quantity]) -> Quantity:
        values = np.stack(np.broadcast_arrays(*(np.asarray(one.to(unit).magnitude, dtype=float) for one in columns)))
        return Q(weights @ values, unit)

    return mixed("degC", [m.temperature for m in months]), mixed("percent", [m.humidity for m in months])


@calculator("practice")
def climate(
    *,
    months: Annotated[
        Sequence[Month], Rows("air by month", find="January and July are enough to begin with; all twelve are better")
    ],
) -> Climate:
    """Read the year off the months that are known.

    A month between two that are given lies on the straight line between them.

    >>> year = climate(months=[Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
    ...                        Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent"))])
    >>> year.coldest, year.warmest, round(float(year.temperature[3].m), 1)
    ('January', 'July', 7.5)
    """
    temperature, humidity = by_month(months)
    middle = temperature.magnitude if temperature.ndim == 1 else temperature.magnitude.mean(axis=-1)
    return Climate(
        month=Q(np.arange(1, 13)),
        temperature=temperature,
        humidity=humidity,
        coldest=MONTHS[int(np.argmin(middle))],
        warmest=MONTHS[int(np.argmax(middle))],
    )
