"""The present and its named alternatives, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kit.build.build import Build
from kit.checks import MARGINAL, Check
from kit.kinds import Asks

__all__ = ["Beside", "SharedCheck", "side_by_side"]

PRESENT = "as it stands"
# A check whose share of the limit moves less than this in every alternative is not worth a line.
MOVED = 0.02


@dataclass(frozen=True, slots=True)
class SharedCheck:
    """One check in the present and in every alternative."""

    path: str
    asks: Asks
    checks: tuple[Check, ...]

    @property
    def turns(self) -> bool:
        """True when some alternative has another verdict than the present."""
        return len({check.verdict for check in self.checks}) > 1

    @property
    def shares(self) -> tuple[float, ...]:
        """Share of the limit used, nan where it has no meaning."""
        return tuple(float(np.max(np.asarray(check.share, dtype=float))) for check in self.checks)

    @property
    def matters(self) -> bool:
        """True when it turns, or its share moves and comes near the limit anywhere."""
        shares = np.array([s for s in self.shares if np.isfinite(s)])
        return self.turns or bool(shares.size and np.ptp(shares) > MOVED and shares.max() > MARGINAL / 2)


@dataclass(frozen=True)
class Beside:
    """The present and its alternatives: names, builds, and the checks that part them."""

    names: tuple[str, ...]
    builds: tuple[Build, ...]
    checks: tuple[SharedCheck, ...]

    def shown(self, path: str) -> tuple[str, ...]:
        """A result in the present and in every alternative, as a person reads it."""
        return tuple(build.shown(path) for build in self.builds)


def side_by_side(build: Build, names: Sequence[str] = ()) -> Beside:
    """Work out the present as recorded and the alternatives named, or all.  Raises KeyError."""
    chosen = tuple(names or build.alternatives)
    present = Build(build.record, copy_to=build.copy_to)
    present.content, present._recorded = build.content, build.recorded
    builds = (present, *(build.beside(name) for name in chosen))
    each = [{path: (asks, check) for path, asks, check in one.checks()} for one in builds]
    shared = [
        SharedCheck(path, asks, tuple(one[path][1] for one in each))
        for path, (asks, _) in each[0].items()
        if all(path in one for one in each)
    ]
    return Beside((PRESENT, *chosen), builds, tuple(shared))
