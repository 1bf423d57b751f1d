"""Samples in one input alone: the others stay single values, as they do when a builder doubts one figure only."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from kit.calculator import CALCULATORS, InputError, declared
from kit.kinds import In, Rows
from kit.quantities import Quantity
from kit.sampling import sampling
from tests.test_every_calculator import Draws, assert_same, call, usual

NAMES = [
    "box_air", "box_heat", "coil_release", "debounce", "divider", "drill_plan", "fuses", "log_volume", "low_voltage",
    "pin_plan", "schedule_clashes", "splash", "switch_heat", "thermistor", "two_wire_bus", "wire", "wire_runs",
    "wire_size",
]


def changes(name):
    """Every quantity of the calculator, and every quantity of the first row of each of its tables."""
    for key, entry in declared(CALCULATORS[name]).inputs.items():
        if isinstance(entry.kind, In):
            yield key, None, entry.kind
        elif isinstance(entry.kind, Rows):
            cells = declared(entry.kind.row).inputs
            yield from ((key, column, one.kind) for column, one in cells.items() if isinstance(one.kind, In))


def changed(base, key, column, value):
    """The usual values with one of them replaced."""
    if column is None:
        return base | {key: value}
    first, *others = base[key]
    cells = {cell: getattr(first, cell) for cell in declared(first).inputs}
    return base | {key: (type(first)(**cells | {column: value}), *others)}


@pytest.mark.parametrize(("name", "key", "column", "kind"), [
    pytest.param(name, *one, id=f"{name}-{one[0]}-{one[1]}") for name in NAMES for one in changes(name)])
def test_samples_of_one_input_alone_agree_one_by_one(name, key, column, kind):
    """To 1e-9, for every result and check."""
    draws, base, found = Draws(f"{name}{key}{column}"), usual(name), []
    for attempt in itertools.islice(itertools.count(), 40):
        value = draws.quantity(kind, near=attempt % 3 != 2)
        try:
            found.append((value, CALCULATORS[name](**changed(base, key, column, value))))
        except InputError:
            continue
        if len(found) == 4:
            break
    assert len(found) == 4
    units = found[0][0].units
    together = Quantity(np.array([value.m_as(units) for value, _ in found]), units)
    with sampling():
        assert_same(name, call(name, changed(base, key, column, together)), [one for _, one in found])
