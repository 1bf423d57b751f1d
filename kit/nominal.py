"""The middle of a sampled value, for what cannot be worked out for ten thousand samples at once.

Lists of batches, cut plans and their like are made once, from the nominal
value: the mean of the finite samples.  Where there are only a few samples each
is worked out by itself, so that nothing is lost that can be had.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from kit.quantities import Quantity

__all__ = ["FEW", "each_of_few", "nominal"]

# So many samples are worked out one by one; of more only the middle one is.
FEW = 16


def nominal(value: Quantity) -> Quantity:
    """The value itself, or the mean of its finite samples; 0 where there are none."""
    if np.ndim(value.magnitude) == 0:
        return value
    finite = value.magnitude[np.isfinite(value.magnitude)]
    return Quantity(float(finite.mean()) if finite.size else 0.0, value.units)


def each_of_few(
    work: Callable[[Callable[[Quantity], Quantity]], tuple[Any, ...]], varying: Sequence[Quantity],
    middle: tuple[Any, ...],
) -> tuple[Any, ...]:
    """The numbers that `work(pick)` makes for each of a few samples; of one value or of many the `middle` ones.

    `pick` takes the value of the moment out of a quantity; `varying` are all
    quantities it is asked for.  A sample in which one of them is nan is nan.
    """
    counts = {np.size(value.magnitude) for value in varying if np.ndim(value.magnitude)}
    if not counts or max(counts) > FEW:
        return middle
    many = max(counts)
    broken = np.any([np.broadcast_to(~np.isfinite(value.magnitude), (many,)) for value in varying], axis=0)

    def at(n: int) -> Callable[[Quantity], Quantity]:
        return lambda value: value if np.ndim(value.magnitude) == 0 else Quantity(value.magnitude[n], value.units)

    made = [None if broken[n] else work(at(n)) for n in range(many)]
    return tuple(
        np.array([np.nan if one is None else one[place] for one in made], dtype=float) for place in range(len(middle)))
