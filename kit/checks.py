"""Checks: a result held against a limit, and what may be said of it.

A verdict is decided by comparing the unrounded result with the limit, never by
their ratio: a freeboard of -20 mm against 150 mm has a small ratio and fails.
`meets` and `marginal` (over nine tenths of the limit used) are passes.  A
result that does not exist fails; an input that is missing leaves a check
`open`; outside an equation's range it is `not covered`; a criterion or stage
that was not chosen `does not apply`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Literal, get_args

import numpy as np

from kit.quantities import Quantity

__all__ = [
    "MARGINAL", "VERDICTS", "Check", "Direction", "Verdict", "at_least", "at_most", "between",
    "count_verdicts", "does_not_apply", "fails", "not_covered", "open_check", "reopened", "worst_first",
]

Verdict = Literal["meets", "marginal", "fails", "open", "not covered", "does not apply"]
Direction = Literal["at least", "at most", "between", ""]
VERDICTS: tuple[Verdict, ...] = get_args(Verdict)

# The share of a limit above which a passing check is called marginal. Common practice, no source.
MARGINAL = 0.9


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Check:
    """One result held against one limit.

    `value` is what was worked out, `limit` what it is held against (`upper` too
    when it must lie between two).  `met` is True or False, or an array of them
    when the build was sampled.  `share` is how much of the limit is used (nan
    where that has no meaning).  `state` is set where nothing could be compared.
    `reason` says why, in a sentence; `factor` says what the limit already holds.
    """

    value: Quantity | None = None
    limit: Quantity | None = None
    upper: Quantity | None = None
    direction: Direction = ""
    met: Any = False
    share: Any = np.nan
    state: Verdict | None = None
    reason: str = ""
    factor: str = ""

    @property
    def verdict(self) -> Verdict:
        """One word; over samples it is the worst that any sample gets."""
        if self.state is not None:
            return self.state
        if not np.all(self.met):
            return "fails"
        with np.errstate(invalid="ignore"):
            return "marginal" if np.any(np.asarray(self.share) > MARGINAL) else "meets"

    @property
    def passes(self) -> bool:
        """True only when something was compared and the limit is kept."""
        return self.verdict in ("meets", "marginal")

    @property
    def probability(self) -> tuple[float, float]:
        """Share of samples that meet the limit, and that share's standard error.

        Both are nan when nothing could be compared.  Over n samples the error is
        never given as zero, as nothing rarer than about 1/n can be seen; a single
        value has no error of sampling.
        """
        if self.state not in (None, "fails"):
            return np.nan, np.nan
        met = np.atleast_1d(self.met)
        p = float(np.mean(met))
        return p, float(np.sqrt(max(p * (1 - p), 1 / met.size) / met.size)) if met.size > 1 else 0.0


def at_least(value: Quantity, limit: Quantity, *, reason: str = "", factor: str = "", share: bool = True) -> Check:
    """The result must not fall below the limit.  `share=False` where a ratio means nothing (temperatures)."""
    met = _compare(np.greater_equal, value, limit)
    used = _ratio(limit, value, met) if share else np.nan
    return Check(value=value, limit=limit, direction="at least", met=met, share=used, reason=reason, factor=factor)


def at_most(value: Quantity, limit: Quantity, *, reason: str = "", factor: str = "", share: bool = True) -> Check:
    """The result must not rise above the limit."""
    met = _compare(np.less_equal, value, limit)
    used = _ratio(value, limit, met) if share else np.nan
    return Check(value=value, limit=limit, direction="at most", met=met, share=used, reason=reason, factor=factor)


def between(value: Quantity, low: Quantity, high: Quantity, *, reason: str = "", factor: str = "") -> Check:
    """The result must lie between two limits, both allowed."""
    above, below = at_least(value, low), at_most(value, high)
    share = np.fmax(above.share, below.share)
    return Check(
        value=value, limit=low, upper=high, direction="between",
        met=np.logical_and(above.met, below.met)[()], share=share[()], reason=reason, factor=factor,
    )


def fails(reason: str) -> Check:
    """A check that fails because its result does not exist: there is no balance angle, say."""
    return Check(state="fails", reason=reason)


def open_check(reason: str) -> Check:
    """A check that cannot be taken yet: an input is missing or could not be worked out."""
    return Check(state="open", reason=reason)


def not_covered(reason: str, value: Quantity | None = None) -> Check:
    """Outside the range the equation or source was made for."""
    return Check(state="not covered", reason=reason, value=value)


def does_not_apply(reason: str, value: Quantity | None = None) -> Check:
    """The criterion or the stage was not chosen."""
    return Check(state="does not apply", reason=reason, value=value)


def reopened(check: Check, reason: str) -> Check:
    """The same check, open: something that feeds its sum could not be worked out."""
    return check if check.state == "does not apply" else replace(check, state="open", reason=reason)


def count_verdicts(checks: Iterable[Check]) -> dict[Verdict, int]:
    """How many of each verdict, every verdict named."""
    counts: dict[Verdict, int] = dict.fromkeys(VERDICTS, 0)
    for check in checks:
        counts[check.verdict] += 1
    return counts


def worst_first(check: Check) -> tuple[int, float]:
    """A sort key: fails, open, not covered, marginal, meets, does not apply; most used first."""
    order = ("fails", "open", "not covered", "marginal", "meets", "does not apply")
    share = float(np.max(np.nan_to_num(np.asarray(check.share, dtype=float), nan=0.0)))
    return order.index(check.verdict), -share


def _compare(relation: Any, value: Quantity, limit: Quantity) -> Any:
    """A missing number is never met.  Equality is forgiven 1e-12 of the limit: 0.1 + 0.2 must meet 0.3."""
    v, bound = _in_one_unit(value, limit)
    slack = 1e-12 * np.abs(bound)
    with np.errstate(invalid="ignore"):
        return relation(v, bound - slack if relation is np.greater_equal else bound + slack)[()]


def _ratio(used: Quantity, of: Quantity, met: Any) -> Any:
    """Share used: 0 where nothing is needed and the limit is kept, inf where nothing is there and it is not."""
    u, o = _in_one_unit(used, of)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        ratio = np.where((u > 0) & (o > 0), u / o, np.where(met, 0.0, np.inf))
    return np.where(np.isnan(u) | np.isnan(o), np.nan, ratio)[()]


def _in_one_unit(one: Quantity, other: Quantity) -> tuple[Any, Any]:
    return np.asarray(one.magnitude, dtype=float), np.asarray(other.m_as(one.units), dtype=float)
