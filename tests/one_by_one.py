"""Whether a calculator given samples says the same as when it is called once a sample."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

from kit.checks import Check
from kit.quantities import Q, Quantity
from kit.sampling import sampling

__all__ = ["Pick", "agrees_one_by_one"]

# Gives an input from its values and unit: all of them as an array, or the one whose turn it is.
Pick = Callable[[list[float], str], Quantity]


def agrees_one_by_one(calculate: Callable[[Pick], Any], count: int) -> None:
    """Every quantity and check of `calculate` agrees to 1e-9, and nothing of it is left out."""
    with sampling():
        together = dict(_numbers("", calculate(lambda values, unit: Q(np.array(values, dtype=float), unit)), count))
    for place in range(count):
        alone = dict(_numbers("", calculate(lambda values, unit, place=place: Q(values[place], unit)), 1))

        assert alone.keys() == together.keys()
        for path, value in alone.items():
            assert together[path][place] == pytest.approx(value[0], rel=1e-9, nan_ok=True), path


def _numbers(path: str, thing: Any, count: int) -> Iterator[tuple[str, Any]]:
    if isinstance(thing, Quantity):
        yield path, np.broadcast_to(np.asarray(thing.to_base_units().magnitude, dtype=float), (count,))
    elif isinstance(thing, Check):
        yield f"{path}.met", np.broadcast_to(np.asarray(thing.met, dtype=float), (count,))
        yield f"{path}.share", np.broadcast_to(np.asarray(thing.share, dtype=float), (count,))
        yield from ((f"{path}.{n}", v) for q in ("value", "limit", "upper") if getattr(thing, q) is not None
                    for n, v in _numbers(q, getattr(thing, q), count))
    elif isinstance(thing, tuple):
        for place, part in enumerate(thing):
            yield from _numbers(f"{path}[{place}]", part, count)
    elif hasattr(type(thing), "declaration"):
        for name, part in vars(thing).items():
            yield from _numbers(f"{path}.{name}", part, count)
