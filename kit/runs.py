"""Runs of wire as rows, and which of them lie on the way from the battery to each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from typing import Annotated, Any

import numpy as np

from kit.calculator import require, row
from kit.columns import column, numbers
from kit.kinds import In, Text, YesNo
from kit.quantities import Q, Quantity
from kit.wire import (
    SIZES,
    Insulation,
    Make,
    Size,
    bundled,
    current,
    current_left,
    hotter,
    insulation,
    length,
    make,
    size,
    surroundings,
    tables,
)

__all__ = ["BATTERY", "Run", "amps_of", "bears_of", "ohms_of", "tree"]

BATTERY = "battery"


@row
class Run:
    """One run of two wires, out and back."""

    name: Annotated[str, Text("run", "pump", longest=40)]
    fed_by: Annotated[str, Text("run it hangs on, or 'battery'", BATTERY, longest=40)] = BATTERY
    one_way: Annotated[Quantity, length()]
    current: Annotated[Quantity, current("most current in use, of all that hangs on it")]
    start: Annotated[Quantity | None, In("A", "current at the moment it starts", 9, ge=0, le=5000, find=(
        "clamp meter, peak; a motor draws 3 to 10 times its running current"))] = None
    size: Annotated[Size, size()]
    critical: Annotated[bool, YesNo("pump, electronics or main feeder: 3 % and not 10 %", True)] = True
    fuse: Annotated[str, Text("fuse that guards it, '-' for none", "main", longest=40)] = "-"
    source_most: Annotated[Quantity | None, In("A", "most a source that limits itself can give", 2.6, ge=0, le=500,
                                               find="a panel: its short-circuit current, from the label")] = None
    make: Annotated[Make, make()] = "tinned class 5"
    insulation: Annotated[Insulation, insulation()] = "60 degC"
    temperature: Annotated[Quantity, surroundings()] = field(
        default_factory=lambda: Q(30, "degC")
    )
    wires: Annotated[int, bundled()] = 2
    sheathed: Annotated[bool, YesNo("both wires in one sheath", True)] = True


def amps_of(runs: Sequence[Run]) -> Any:
    """What each run carries at most in use."""
    return column((one.current for one in runs), "A")


def ohms_of(runs: Sequence[Run], *, cold: bool = False) -> Any:
    """Resistance of each run, out and back, at its own temperature or at 20 degC."""
    per_metre = np.array([tables().resistance[one.make][SIZES.index(one.size)] for one in runs])[:, None]
    warm = 1.0 if cold else hotter(column((one.temperature for one in runs), "degC"))
    return Q(2 * column((one.one_way for one in runs), "m").m * per_metre * warm, "ohm")


def bears_of(runs: Sequence[Run]) -> Any:
    """Current each run may carry for long; nan where no table goes."""
    base = np.array([tables().current[one.insulation][SIZES.index(one.size)] for one in runs])[:, None]
    most = np.array([float(one.insulation.removesuffix(" degC")) for one in runs])[:, None]
    left = current_left(most, column((one.temperature for one in runs), "degC").m, numbers(one.wires for one in runs))
    return Q(base * left, "A")


def tree(runs: Sequence[Run]) -> np.ndarray[Any, Any]:
    """One line a run, with 1 for every run on its way from the battery, itself included.

    Refuses a run that hangs on one that is not there, or on itself.
    """
    place = {one.name: n for n, one in enumerate(runs)}
    ways = np.zeros((len(runs), len(runs)))
    for n, one in enumerate(runs):
        at = n
        while True:
            ways[n, at] = 1
            above = runs[at].fed_by
            if above == BATTERY:
                break
            known = above in place
            require(known, f"run '{runs[at].name}' hangs on '{above}', which is not there; write 'battery'", "runs")
            again = known and ways[n, place[above]] == 1
            require(not again, f"run '{one.name}' hangs on itself; one run on its way has to say 'battery'", "runs")
            if not known or again:
                break
            at = place[above]
    return ways
