"""Runs of dull and bright days drawn from the clearness of the months, as plain arrays.

A day's clearness follows the distribution of Bendt, Collares-Pereira and Rabl
for its month, and hangs on the day before it through a transformed variable
with a correlation of 0.29 (Graham, Hollands and Unny).  The draws come from a
seed, so that two builds, or a build before and after a change, are held against
the same weather.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from kit import sky

__all__ = [
    "FROM_DAY_TO_DAY",
    "MONTH_OF",
    "clearness_at",
    "drawn_clearness",
    "drawn_sun",
    "greatest",
    "steepness",
    "sun_of_days",
]

FROM_DAY_TO_DAY = 0.29
LEAST = 0.05
# The month, from 0, of each day of the year.
MONTH_OF = np.repeat(np.arange(12), sky.DAYS)
# Places of the distribution at which the mean over all weather is taken.
_PLACES = (np.arange(40) + 0.5) / 40


@lru_cache(maxsize=8)
def _chances(years: int, seed: int) -> Any:
    """Where each day stands among all days of its kind, 0 dullest to 1, shape (365, years)."""
    from scipy.special import ndtr

    rng = np.random.default_rng([seed, 365])
    news = rng.standard_normal((365, years))
    stands = np.empty_like(news)
    stands[0] = news[0]
    for day in range(1, 365):
        stands[day] = FROM_DAY_TO_DAY * stands[day - 1] + np.sqrt(1 - FROM_DAY_TO_DAY**2) * news[day]
    chances = np.asarray(ndtr(stands))
    chances.flags.writeable = False
    return chances


def greatest(mean: Any) -> Any:
    """Clearness of the clearest day of a month, from the month's mean (Hollands and Huget)."""
    return 0.6313 + 0.267 * mean - 11.9 * (mean - 0.75) ** 8


def steepness(mean: Any) -> Any:
    """The exponent of the distribution of a month's days, from the month's mean (Bendt and others)."""
    span = greatest(mean) - LEAST
    far = span / (greatest(mean) - mean)
    g = -1.498 + (1.184 * far - 27.182 * np.exp(-1.5 * far)) / span
    return np.where(np.abs(g) < 1e-6, 1e-6, g)


def clearness_at(chance: Any, mean: Any) -> Any:
    """Clearness of the day that stands at a place of the distribution of its month."""
    k = np.clip(mean, 0.1, 0.78)
    g = steepness(k)
    return LEAST + np.log1p(chance * np.expm1(g * (greatest(k) - LEAST))) / g


def drawn_clearness(mean: Any, years: int, seed: int) -> Any:
    """Clearness of every day of several drawn years, shape (365, years, samples), for means of (12, samples)."""
    return clearness_at(_chances(years, seed)[:, :, None], mean[MONTH_OF][:, None, :])


def sun_of_days(days: Any, mean: Any, direct: Any, diffuse: Any, ground: Any, down: Any) -> Any:
    """Sun on the panels of every drawn day over the mean of its month, shape of `days`.

    A day of clearness k brings k [(1 - d) direct + d diffuse + ground] with the
    diffuse share d of that day; the mean is over all weather that the month may
    have, so that the drawn days give back the month's mean in the long run.
    """

    def brings(k: Any, at: Any, axis: int) -> Any:
        parts = [np.expand_dims(one[at], axis) for one in (direct, diffuse, ground, down)]
        share = sky.daily_diffuse(k, parts[3])
        return k * ((1 - share) * parts[0] + share * parts[1] + parts[2])

    every = clearness_at(_PLACES[None, :, None], mean[:, None, :])
    means = brings(every, slice(None), 1).mean(axis=1)
    return brings(days, MONTH_OF, 1) / np.maximum(means[MONTH_OF][:, None, :], 1e-9)


def drawn_sun(curves: Sequence[Any], years: int, seed: int) -> Any:
    """`sun_of_days` of drawn years for clearness, direct, diffuse, ground and hour angle of sunset, (12, samples) each.

    Of a single sample it is kept, as most changes to a build leave its weather alone.
    """
    if curves[0].shape[1] > 1:
        return sun_of_days(drawn_clearness(curves[0], years, seed), *curves)
    return _kept(tuple(np.ascontiguousarray(one).tobytes() for one in curves), years, seed)


@lru_cache(maxsize=8)
def _kept(curves: tuple[bytes, ...], years: int, seed: int) -> Any:
    parts = [np.frombuffer(one).reshape(12, 1) for one in curves]
    made = sun_of_days(drawn_clearness(parts[0], years, seed), *parts)
    made.flags.writeable = False
    return made
