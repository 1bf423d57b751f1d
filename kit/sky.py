"""Where the sun stands and how much of it comes through, as plain arrays.

Everything here works on radians, hours and megajoules in numpy arrays whose
first axis is the twelve months and whose last is the samples; the calculators
that call it turn quantities into those at their door.  Latitude is positive
north; azimuth is measured clockwise from north.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

__all__ = [
    "DAYS",
    "MEAN_DAYS",
    "SOLAR",
    "Tilted",
    "cooper",
    "daily_diffuse",
    "daily_top",
    "monthly_diffuse",
    "sunset",
    "tilted",
]

# Days of each month, and the day of the year whose radiation is nearest to the month's mean (Klein).
DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MEAN_DAYS = np.array([17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344])[:, None]
# Solar constant, megajoules a square metre and minute: the figure of FAO paper 56 (1367 W/m^2).
SOLAR = 0.0820
# Sunset at which the diffuse fractions of Erbs change from winter to the rest of the year.
_WINTER = np.radians(81.4)
# Places at which the mean over all headings is taken: three are good to 0.3 % up to a swing of 60 degrees to either
# side, twelve to 0.1 % for one that goes all round.
_FEW, _MANY = np.polynomial.legendre.leggauss(3), np.polynomial.legendre.leggauss(12)
_WIDE_SWING = np.radians(60)
_LEAST = 1e-9


class Tilted(NamedTuple):
    """What a tilted face gets of each part of the sun, against what the flat gets of it; direct sun also when still."""

    direct: Any
    sky: Any
    ground: Any
    still: Any


def cooper(day: Any) -> Any:
    """Declination of the sun on a day of the year, radians."""
    return np.radians(23.45) * np.sin(2 * np.pi * (284 + day) / 365)


def sunset(latitude: Any, declination: Any) -> Any:
    """Hour angle of sunset, radians: 0 where the sun does not rise, pi where it does not set."""
    return np.arccos(np.clip(-np.tan(latitude) * np.tan(declination), -1.0, 1.0))


def daily_top(latitude: Any, declination: Any, distance: Any) -> Any:
    """Radiation of a day on the flat above the air, MJ/m^2; `distance` is the inverse relative distance of the sun."""
    down = sunset(latitude, declination)
    reach = down * np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination) * np.sin(down)
    return 24 * 60 / np.pi * SOLAR * distance * np.maximum(reach, 0.0)


def monthly_diffuse(clearness: Any, down: Any) -> Any:
    """Share of a month's mean radiation that is diffuse (Erbs), from clearness and the hour angle of sunset."""
    k = np.clip(clearness, 0.0, 0.8)
    dark = 1.391 + k * (-3.560 + k * (4.189 - 2.137 * k))
    rest = 1.311 + k * (-3.022 + k * (3.427 - 1.821 * k))
    return np.clip(np.where(down <= _WINTER, dark, rest), 0.0, 1.0)


def daily_diffuse(clearness: Any, down: Any) -> Any:
    """Share of one day's radiation that is diffuse (Erbs), from its clearness and the hour angle of sunset."""
    k = clearness
    dark = np.where(k < 0.715, 1.0 + k * (-0.2727 + k * (2.4495 + k * (-11.9514 + 9.3879 * k))), 0.143)
    rest = np.where(k < 0.722, 1.0 + k * (0.2832 + k * (-2.5557 + 0.8448 * k)), 0.175)
    return np.clip(np.where(down <= _WINTER, dark, rest), 0.0, 1.0)


def tilted(latitude: Any, declination: Any, tilt: Any, azimuth: Any, swing: Any) -> Tilted:
    """Direct, sky and ground shares of a face that swings evenly to either side of its azimuth by `swing`.

    Direct: the day's mean of the cosine at the face over the mean on the flat,
    while the sun is both up and before the face.  Sky and ground: a sky of one
    brightness (Liu and Jordan).  All angles in radians.
    """
    still = _direct(latitude, declination, tilt, azimuth)

    def mean(points: Any) -> Any:
        return sum(
            share / 2 * (_direct(latitude, declination, tilt, azimuth + turn * swing) if turn else still)
            for turn, share in zip(*points, strict=True)
        )

    direct = still if not np.any(swing) else mean(_FEW)
    if np.any(swing > _WIDE_SWING):
        direct = np.where(swing > _WIDE_SWING, mean(_MANY), direct)
    return Tilted(direct, (1 + np.cos(tilt)) / 2, (1 - np.cos(tilt)) / 2, still)


def _direct(latitude: Any, declination: Any, tilt: Any, azimuth: Any) -> Any:
    """Sum over the day of the cosine at the face, over that on the flat.

    At the face it is a + b cos w + c sin w of the hour angle w (afternoon
    positive); the sun is before the face while w is within an arc around the
    face's own noon, and that arc is met with the day by hand, without a sweep.
    """
    sin_d, cos_d, sin_l, cos_l = np.sin(declination), np.cos(declination), np.sin(latitude), np.cos(latitude)
    down = sunset(latitude, declination)
    flat = down * sin_l * sin_d + cos_l * cos_d * np.sin(down)
    upright, to_south, to_west = np.cos(tilt), np.sin(tilt) * -np.cos(azimuth), np.sin(tilt) * -np.sin(azimuth)
    a = sin_d * (sin_l * upright - cos_l * to_south)
    b = cos_d * (cos_l * upright + sin_l * to_south)
    c = cos_d * to_west
    noon, reach = np.arctan2(c, b), np.hypot(b, c)
    half = np.arccos(np.clip(-a / np.maximum(reach, _LEAST), -1.0, 1.0))
    seen = np.zeros(np.broadcast_shapes(np.shape(flat), np.shape(half)))
    # The arc before the face may reach over midnight: it is met with the day a turn earlier and later too.
    for turn in (-2 * np.pi, 0.0, 2 * np.pi):
        start, end = np.maximum(-down, noon + turn - half), np.minimum(down, noon + turn + half)
        if turn == 0 or np.any(end > start):
            seen = seen + _between(a, reach, start, end, noon + turn)
    return seen / 2 / np.maximum(flat, _LEAST) * (flat > _LEAST)


def _between(a: Any, reach: Any, start: Any, end: Any, noon: Any) -> Any:
    """Integral of a + reach cos(w - noon) from start to end, nothing where the end comes first."""
    whole = a * (end - start) + reach * (np.sin(end - noon) - np.sin(start - noon))
    return np.where(end > start, np.maximum(whole, 0.0), 0.0)
