"""Columns of a table of rows as arrays, so that a calculator works on all rows at once.

A column has one line a row; its last axis holds the samples and has length one
when nothing is sampled.  `cell` takes that axis off again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from kit.quantities import Quantity, unit

__all__ = ["at_rows", "cell", "cells", "column", "middle", "numbers", "picked", "worst_row"]


def column(values: Iterable[Quantity | None], unit_text: str, otherwise: float = np.nan) -> Any:
    """Cells of one column as an array of shape (rows, 1) or (rows, samples); a cell left out is `otherwise`."""
    wanted = unit(unit_text)
    plain = [otherwise if v is None else v.magnitude if v.units == wanted else v.m_as(wanted) for v in values]
    return Quantity(_stacked(plain), wanted)


def numbers(values: Iterable[Any]) -> np.ndarray[Any, Any]:
    """Counts, or yes and no as 1 and 0, as an array of the same shape as a column."""
    return _stacked(list(values))


def _stacked(plain: Sequence[Any]) -> np.ndarray[Any, Any]:
    if all(np.ndim(value) == 0 for value in plain):
        return np.array(plain, dtype=float)[:, None]
    return np.stack(np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in plain)))


def cell(values: Any) -> Quantity:
    """Without the axis of samples when it has length one."""
    plain = values.magnitude[..., 0] if values.shape[-1:] == (1,) else values.magnitude
    return Quantity(float(plain) if np.ndim(plain) == 0 else plain, values.units)


def cells(values: Any, rows: int) -> list[Quantity]:
    """The rows of a column one by one, `rows` of them even when one line stands for all."""
    plain, units = values.magnitude, values.units
    if plain.shape[0] != rows:
        plain = np.broadcast_to(plain, (rows, *plain.shape[1:]))
    if plain.shape[1:] == (1,):
        return [Quantity(float(value), units) for value in plain[:, 0]]
    return [Quantity(line, units) for line in plain]


def picked(table: np.ndarray[Any, Any], places: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Values of a table at places that may be nan: nan there."""
    known = np.isfinite(places)
    return np.where(known, table[np.where(known, places, 0).astype(int)], np.nan)


def middle(value: Any) -> float:
    """The mean of the samples that exist, or the value itself, in its own unit."""
    plain = np.asarray(getattr(value, "magnitude", value), dtype=float)
    known = plain[np.isfinite(plain)]
    return float(known.mean()) if known.size else float("nan")


def worst_row(used: Any) -> tuple[np.ndarray[Any, Any], int]:
    """The row of greatest share in each sample, and the row that is greatest on the mean; nan counts as least."""
    shares = np.where(np.isnan(used), -np.inf, np.asarray(used, dtype=float))
    finite = np.where(np.isfinite(shares), shares, np.where(shares > 0, 1e300, -1e300))
    return shares.argmax(axis=0), int((finite / shares.shape[1]).sum(axis=1).argmax())


def at_rows(values: Any, rows: np.ndarray[Any, Any]) -> Quantity:
    """Of each sample the value in the row named for it."""
    spread = np.broadcast_to(values.magnitude, (values.shape[0], max(values.shape[1], rows.size)))
    places = np.broadcast_to(rows, spread.shape[1:])
    return cell(Quantity(np.take_along_axis(spread, places[None, :], axis=0)[0], values.units))
