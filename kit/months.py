"""Curves over the twelve months that calculators hand to one another.

A curve has the months in its first axis and samples, when there are any, in its
last.  A single value stands for every month.  Within a calculator every curve
has both axes; `Year.out` drops the last one again when nothing was sampled.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.climate import MONTHS
from kit.quantities import Q, Quantity, is_quantity

__all__ = ["MONTH", "Year", "in_season", "middle", "month_named", "name_of"]

MONTH = Q(np.arange(1, 13))


class Year:
    """Quantities of one calculator brought to months by samples."""

    def __init__(self, *given: Any) -> None:
        """Look at everything that may be sampled; None is passed over."""
        shapes = [np.shape(one.magnitude if is_quantity(one) else one) for one in given if one is not None]
        self.samples = max((shape[-1] for shape in shapes if self._sampled(shape)), default=1)
        self.is_sampled = any(map(self._sampled, shapes))

    @staticmethod
    def _sampled(shape: tuple[int, ...]) -> bool:
        return bool(shape) and shape != (12,)

    def si(self, value: Any, unit: str) -> Any:
        """Plain numbers in a unit, shape (12 or 1, samples or 1)."""
        m = _plain(value, unit)
        if m.shape == (12,):
            return m[:, None]
        return m if m.ndim == 2 else np.atleast_1d(m)[None, :]

    def curve(self, value: Quantity, unit: str) -> Quantity:
        """The same with its unit."""
        return Q(self.si(value, unit), unit)

    def out(self, value: Any, unit: str = "") -> Quantity:
        """A quantity or plain numbers as a result: a curve of (12,) or (12, samples), or one value or (samples,)."""
        m = _plain(value, unit)
        wide = np.broadcast_to(m, (*m.shape[:-1], self.samples)) if m.ndim else np.broadcast_to(m, (self.samples,))
        return Q((wide if self.is_sampled else wide[..., 0]).copy(), unit)

    def months(self, value: Any, unit: str = "") -> Quantity:
        """As `out`, with all twelve months even where they are alike."""
        m = _plain(value, unit)
        return self.out(np.broadcast_to(m, (12, m.shape[-1])), unit)


def _plain(value: Any, unit: str) -> Any:
    """Numbers of a quantity in a unit; plain numbers as they are."""
    return np.asarray(value.m_as(unit) if is_quantity(value) else value, dtype=float)


def middle(months: Any) -> Any:
    """The mean of the samples that exist, month by month; nan where none does."""
    there = np.isfinite(months)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(there, months, 0.0).sum(axis=-1) / there.sum(axis=-1)


def month_named(name: str) -> int:
    """Place of a month in the year, January 0."""
    names: tuple[str, ...] = MONTHS
    return names.index(name)


def name_of(place: int) -> str:
    """The month at a place of the year."""
    return MONTHS[place]


def in_season(begins: str, ends: str) -> Any:
    """True for each of the twelve months that lies in the season, which may run over the turn of the year."""
    first, last = month_named(begins), month_named(ends)
    months = np.arange(12)
    return (months - first) % 12 <= (last - first) % 12
