"""What doubt makes of the build: an interval for every result, a chance for every check, and what matters most.

Two ways stand side by side.  Samples: every doubtful entry drawn at once,
thousands of times (JCGM 101).  Straight lines: every entry moved on its own by
its standard deviation, the movements added as squares (GUM, equation 10).
Where the two part, the build is bent there and the samples are believed.

Entries that err together are moved together.  What the build makes from its
nominal values only (lists, layouts, ballast) does not move in either way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from kit.build.build import Build
from kit.build.doubt import Doubt, doubtful, kept_within, sample
from kit.build.graph import Outcome
from kit.build.inputs import Values, assemble, kind_of
from kit.checks import Check
from kit.kinds import Asks, In, Out
from kit.quantities import Quantity, is_quantity
from kit.sampling import sampling

__all__ = ["Chance", "Figure", "Group", "Spread", "Swing", "groups", "work_out"]

COVERED = 0.95
PARTED = 0.15


@dataclass(frozen=True, slots=True)
class Figure:
    """One result under doubt: its value, the interval that holds 95 %, and its standard deviation by both ways."""

    path: str
    out: Out
    nominal: Quantity
    low: Quantity
    middle: Quantity
    high: Quantity
    standard: Quantity
    straight: Quantity
    missing: int

    @property
    def parts(self) -> bool:
        """True when the ends of the two intervals lie further apart than 0.15 of the standard deviation.

        Ends found from 10 000 samples are themselves out by 0.03 of it; the
        bound is a judgement, after the manner of JCGM 101 clause 8.
        """
        u = float(self.straight.magnitude)
        ends = float(self.nominal.magnitude) - 1.96 * u, float(self.nominal.magnitude) + 1.96 * u
        found = (float(q.m_as(self.nominal.units)) for q in (self.low, self.high))
        allowed = PARTED * float(self.standard.magnitude)
        return any(abs(one - other) > allowed for one, other in zip(ends, found, strict=True))


@dataclass(frozen=True, slots=True)
class Chance:
    """One check under doubt: the share of samples in which it is met, and that share's standard error."""

    path: str
    asks: Asks
    check: Check
    met: float
    error: float


@dataclass(frozen=True, slots=True)
class Group:
    """One doubtful entry, or all that err together under one shared name."""

    name: str
    members: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class Swing:
    """What one group does on its own to one result: the result with the group at its low and at its high end."""

    group: Group
    low: float
    high: float
    share: float

    @property
    def width(self) -> float:
        return abs(self.high - self.low)


def groups(found: Sequence[Doubt]) -> list[Group]:
    """Doubtful entries, those with a shared name put together."""
    together: dict[str, list[Doubt]] = {}
    for doubt in found:
        together.setdefault(doubt.shared or doubt.path, []).append(doubt)
    return [Group(name, tuple(members)) for name, members in together.items()]


def work_out(build: Build, *, count: int = 10_000, seed: int = 1) -> Spread:
    """The build as it is now under doubt, on `count` samples drawn with `seed`."""
    now = build.now
    found = doubtful(build.graph, now.values, now.entries)
    sampled = sample(build.graph, now.values, now.entries, count=count, seed=seed)
    return Spread(build, groups(found), sampled, count, seed)


class Spread:
    """A build worked out under doubt."""

    def __init__(
        self, build: Build, found: Sequence[Group], sampled: Mapping[str, Outcome], count: int, seed: int
    ) -> None:
        self.build, self.groups, self.sampled, self.count, self.seed = build, tuple(found), sampled, count, seed
        self.now = build.now

    # -- samples --------------------------------------------------------------------------------

    @cached_property
    def figures(self) -> dict[str, Figure]:
        """Every single result that doubt reaches, by path."""
        return {figure.path: figure for figure in self._figures()}

    def _figures(self) -> Iterator[Figure]:
        nominal = {path: value for path, _, value in self.build.graph.results(self.now.outcomes)}
        for path, out, value in self.build.graph.results(self.sampled):
            if out.over or not is_quantity(value) or np.ndim(value.magnitude) != 1 or path not in nominal:
                continue
            if np.ndim(nominal[path].magnitude) or value.magnitude.size != self.count:
                continue
            good = value.magnitude[np.isfinite(value.magnitude)]
            if not good.size or not np.ptp(good):
                continue
            name = value.units
            low, middle, high = np.quantile(good, [(1 - COVERED) / 2, 0.5, (1 + COVERED) / 2])
            delta = (1 * name).units if value._is_multiplicative else (value[0] - value[0]).units
            made = [Quantity(float(q), name) for q in (low, middle, high)]
            yield Figure(
                path, out, nominal[path].to(name), made[0], made[1], made[2],
                Quantity(float(np.std(good, ddof=1)), delta), Quantity(self.straight(path), delta),
                self.count - good.size,
            )  # fmt: skip

    @cached_property
    def chances(self) -> list[Chance]:
        """Every check that is compared with a limit, least likely to be met first."""
        nominal = {path: check for path, _, check in self.build.checks()}
        made = [
            Chance(path, asks, nominal[path], *check.probability)
            for path, asks, check in self.build.graph.checks({}, self.sampled)
            if path in nominal and nominal[path].state in (None, "fails") and check.state in (None, "fails")
        ]
        return sorted(made, key=lambda one: (one.met, one.path))

    # -- one at a time --------------------------------------------------------------------------

    @cached_property
    def _moved(self) -> Mapping[str, Outcome]:
        """The build with each group at its ends and at its standard deviations: four samples a group, one as it is."""
        return self._with_shares(
            [{group.name: share} for group in self.groups for share in ("low", "high", "minus", "plus")]
        )

    def _with_shares(self, cases: Sequence[Mapping[str, str]]) -> Mapping[str, Outcome]:
        count = len(cases) + 1
        values: dict[str, Any] = dict(self.now.values.cells)
        place = {group.name: at for at, group in enumerate(self.groups)}
        for group in self.groups:
            at = 1 + 4 * place[group.name]
            for doubt in group.members:
                kind = kind_of(self.build.graph, doubt.path)
                assert isinstance(kind, In)
                ends = _ends(doubt, kind)
                filled = np.full(count, float(doubt.value.magnitude))
                filled[at : at + 4] = ends
                values[doubt.path] = Quantity(filled, doubt.value.units)
        with sampling():
            return self.build.graph.evaluate(assemble(self.build.graph, Values(values, self.now.values.tables)))

    def _row(self, path: str) -> np.ndarray | None:
        """A result over the moved builds, shape (groups, 4); None when nothing reaches it."""
        node, _, name = path.rpartition(".")
        outcome = self._moved[node]
        if not outcome.works:
            return None
        value = getattr(outcome.result, name)
        if np.ndim(value.magnitude) != 1 or value.magnitude.size != 1 + 4 * len(self.groups):
            return None
        return np.asarray(value.magnitude[1:], dtype=float).reshape(-1, 4)

    def straight(self, path: str) -> float:
        """Standard deviation of a result by straight lines, in the result's own unit."""
        row = self._row(path)
        return 0.0 if row is None else float(np.sqrt(np.nansum(((row[:, 3] - row[:, 2]) / 2) ** 2)))

    def swings(self, path: str) -> list[Swing]:
        """What each group does to a result on its own, widest first; those that do nothing are left out.

        `share` is the group's part of the variance by straight lines.  Raises KeyError.
        """
        if path not in self.figures:
            raise KeyError(f"{path} is not a single result that doubt reaches")
        row = self._row(path)
        if row is None:
            return []
        parts = np.nan_to_num(((row[:, 3] - row[:, 2]) / 2) ** 2)
        whole = float(parts.sum()) or 1.0
        made = [
            Swing(group, float(low), float(high), float(part) / whole)
            for group, (low, high, _, _), part in zip(self.groups, row, parts, strict=True)
        ]
        return sorted((one for one in made if one.width > 0), key=lambda one: -one.width)

    @cached_property
    def turning(self) -> list[tuple[Group, list[str]]]:
        """Groups that can turn a check on their own within their give or take, with the checks, most checks first."""
        now = {path: check for path, _, check in self.build.checks()}
        turned: dict[str, list[str]] = {}
        for path, _, check in self.build.graph.checks({}, self._moved):
            met = np.atleast_1d(check.met)
            if check.state is not None or met.size == 1 or now[path].state is not None:
                continue
            ends = met[1:].reshape(-1, 4)[:, :2]
            for at in np.flatnonzero(np.any(ends != met[0], axis=1)):
                turned.setdefault(self.groups[at].name, []).append(path)
        by_name = {group.name: group for group in self.groups}
        return sorted(((by_name[n], paths) for n, paths in turned.items()), key=lambda one: (-len(one[1]), one[0].name))


def _ends(doubt: Doubt, kind: In) -> np.ndarray:
    """A value at its low and high end, and one standard deviation below and above, within its limits."""
    down, up, name = doubt.give_or_take.widths(doubt.value)
    by = doubt.give_or_take.standard(doubt.value).m_as(name)
    moved = doubt.value + Quantity(np.array([-down, up, -by, by]), name)
    return np.asarray(kept_within(kind, moved).m_as(doubt.value.units), dtype=float)
