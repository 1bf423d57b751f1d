"""How an older record becomes one of today: steps from each number to the next, and names that changed.

A step is a pure function from the dictionary of a file to the dictionary one
number later.  Names that changed are listed beside it by path; `[]` after a
table stands for each of its rows, as in `raft.afloat.floats[].diameter`.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

__all__ = ["SCHEMA", "STEPS", "Step", "moved", "upgraded"]

# The number that this kit writes.
SCHEMA = 1


@dataclass(frozen=True, slots=True)
class Step:
    """One step from a schema number to the next: paths renamed first, then the dictionary changed."""

    renamed: Mapping[str, str] = field(default_factory=dict)
    change: Callable[[dict[str, Any]], dict[str, Any]] | None = None


# By the number they start from.
STEPS: Mapping[int, Step] = {}


def upgraded(data: Mapping[str, Any], steps: Mapping[int, Step] = STEPS, target: int = SCHEMA) -> dict[str, Any]:
    """The dictionary brought to the target number; what was given stays as it was.

    Raises LookupError when a step is missing.
    """
    made = copy.deepcopy(dict(data))
    while (number := made["schema"]) < target:
        if number not in steps:
            raise LookupError(f"there is no step from schema {number} to {number + 1}")
        step = steps[number]
        for old, new in step.renamed.items():
            made = moved(made, old, new)
        if step.change is not None:
            made = step.change(made)
        made["schema"] = number + 1
    return made


def moved(data: Mapping[str, Any], old: str, new: str) -> dict[str, Any]:
    """The dictionary with what lies at one path moved to another; nothing happens when nothing lies there.

    What lies at the new path already stays where it is, and so does the old.

    >>> moved({"lids": {"balance": {"strok": "150 mm"}}}, "lids.balance.strok", "lids.balance.stroke")
    {'lids': {'balance': {'stroke': '150 mm'}}}
    """
    made = copy.deepcopy(dict(data))
    table, is_column, column = old.partition("[].")
    if is_column:
        new_table, _, new_column = new.partition("[].")
        if new_table != table:
            raise ValueError(f"{old} can only be renamed within its table, not to {new}; rename the table on its own")
        rows = _group(made, table.split("."))
        for row in (rows or {}).values():
            if isinstance(row, dict) and column in row and new_column not in row:
                row[new_column] = row.pop(column)
        return made
    *trail, last = old.split(".")
    source = _group(made, trail)
    if source is None or last not in source:
        return made
    *new_trail, new_last = new.split(".")
    target = _group(made, new_trail, make=True)
    if target is not None and new_last not in target:
        target[new_last] = source.pop(last)
    return made


def _group(data: dict[str, Any], trail: list[str], *, make: bool = False) -> dict[str, Any] | None:
    group: Any = data
    for key in trail:
        if make and isinstance(group, dict) and key not in group:
            group[key] = {}
        group = group.get(key) if isinstance(group, dict) else None
    return group if isinstance(group, dict) else None
