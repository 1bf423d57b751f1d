"""Which inputs a result hangs on, alone and together: first-order and total indices of variance.

    indices(build, "raft.afloat.draft")

An index of first order is the share of the result's variance that would go if
the input were known exactly; the total index has besides what it does together
with others.  Both come from `scipy.stats.sobol_indices` on draws of the inputs
that matter most one at a time; all others stay at their values.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy import stats

from kit.build.build import Build
from kit.build.doubt import doubtful, kept_within
from kit.build.inputs import Values, assemble, kind_of
from kit.build.spread import Group, groups
from kit.kinds import In
from kit.sampling import sampling

__all__ = ["Index", "indices"]


@dataclass(frozen=True, slots=True)
class Index:
    """Share of a result's variance that hangs on one input: alone, and with all it does together with others."""

    name: str
    alone: float
    together: float


def indices(build: Build, path: str, *, of: Sequence[str] = (), draws: int = 1024, seed: int = 1) -> list[Index]:
    """Indices of a single result at `path`, largest total first.

    `of` names entries or shared names; empty means every doubtful one, which
    takes `draws` times their number of workings-out.  `draws` is a power of two.
    Raises KeyError for a name that is not doubtful or a path that is no single
    result, ValueError when the result is missing on some draws or never moves.
    """
    now = build.now
    known = {group.name: group for group in groups(doubtful(build.graph, now.values, now.entries))}
    if strange := [name for name in of if name not in known]:
        raise KeyError(f"{strange[0]} is not a doubtful entry or shared name of this build")
    chosen = [known[name] for name in (of or known)]
    node, _, name = path.rpartition(".")
    if node not in build.graph.nodes or name not in build.graph.nodes[node].outputs:
        raise KeyError(f"the build has no result at {path}")

    def worked(shares: np.ndarray) -> np.ndarray:
        made = _result(build, chosen, shares, node, name)
        if made.shape[-1:] != shares.shape[1:] or not np.all(np.isfinite(made)):
            raise ValueError(f"{path} is missing on some draws, or does not move with any of these")
        return made

    even: Any = [stats.uniform()] * len(chosen)
    found = stats.sobol_indices(func=worked, n=draws, dists=even, rng=np.random.default_rng(seed))
    first, total = np.ravel(found.first_order), np.ravel(found.total_order)
    made = [Index(g.name, float(a), float(b)) for g, a, b in zip(chosen, first, total, strict=True)]
    return sorted(made, key=lambda one: -one.together)


def _result(build: Build, chosen: Sequence[Group], shares: np.ndarray, node: str, name: str) -> np.ndarray:
    values: dict[str, Any] = dict(build.now.values.cells)
    for group, share in zip(chosen, shares, strict=True):
        for doubt in group.members:
            kind = kind_of(build.graph, doubt.path)
            assert isinstance(kind, In)
            values[doubt.path] = kept_within(kind, doubt.give_or_take.quantile(doubt.value, share))
    ready = assemble(build.graph, Values(values, build.now.values.tables))
    with sampling():
        outcome = build.graph.evaluate(ready, only=build.graph.upstream(node))[node]
    if not outcome.works:
        return np.full(1, np.nan)
    return np.asarray(getattr(outcome.result, name).magnitude, dtype=float)
