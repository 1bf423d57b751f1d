"""Humid air: vapour pressure over water and the dew point.

    >>> print(f"{dew_point(Q(20, 'degC'), Q(50, 'percent')).magnitude:.1f} degC")
    9.3 degC

Air below freezing is taken over water, as weather stations do, not over ice.
"""

from __future__ import annotations

import numpy as np

from kit.quantities import Q, Quantity

__all__ = ["dew_point", "vapour_pressure"]

# WMO-No. 8, Annex 4.B: e = 6.112 exp(17.62 t / (243.12 + t)) hPa.
_PRESSURE, _SLOPE, _OFFSET = 6.112, 17.62, 243.12


def vapour_pressure(temperature: Quantity) -> Quantity:
    """Saturation pressure of water vapour over water at an air temperature."""
    t = temperature.m_as("degC")
    return Q(100 * _PRESSURE * np.exp(_SLOPE * t / (_OFFSET + t)), "Pa")


def dew_point(temperature: Quantity, humidity: Quantity) -> Quantity:
    """Temperature to which air of a relative humidity has to cool before dew falls; nan for dry air."""
    t, share = temperature.m_as("degC"), np.asarray(humidity.m_as(""), dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        g = np.where(share > 0, np.log(share), np.nan) + _SLOPE * t / (_OFFSET + t)
    return Q((_OFFSET * g / (_SLOPE - g))[()], "degC")
