"""Lids that several tests share, worked out beforehand by formula and by energy, and how tests compare with them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from kit.calculator import declared
from kit.checks import Check
from kit.kinds import In
from kit.lids import StrutBalance, strut_balance
from kit.mounts import StrutTravel, strut_travel
from kit.quantities import Quantity, is_quantity
from kit.sampling import sampling

__all__ = ["CASES", "agrees_one_by_one", "at", "balance_of", "half_digit", "travel_of"]


def case(**given: str) -> dict[str, Any]:
    """A lid at 20 degC, with new struts free of friction unless it says otherwise."""
    usual = {
        "fall": "0 deg",
        "width": "600 mm",
        "depth": "600 mm",
        "worn": "1",
        "cold": "10 degC",
        "hot": "30 degC",
        "friction": "0 N",
    }
    kinds = declared(strut_balance).inputs
    return {name: kinds[name].kind.read(text) for name, text in (usual | given).items()}


CASES = {
    "plain": case(
        mass="12 kg",
        centre="300 mm",
        handle="600 mm",
        lid_mount_along="200 mm",
        lid_mount_above="-30 mm",
        body_mount_along="500 mm",
        body_mount_above="-120 mm",
        force="150 N",
        force_ratio="1.3",
        extended="560 mm",
        stroke="250 mm",
        opening="85 deg",
    ),
    "over-centre": case(
        mass="8 kg",
        centre="250 mm",
        centre_above="20 mm",
        handle="500 mm",
        lid_mount_along="220 mm",
        lid_mount_above="-50 mm",
        body_mount_along="500 mm",
        body_mount_above="-80 mm",
        force="100 N",
        force_ratio="1.25",
        extended="530 mm",
        stroke="260 mm",
        opening="80 deg",
    ),
    "tilted": case(
        mass="20 kg",
        centre="400 mm",
        centre_above="30 mm",
        handle="800 mm",
        lid_mount_along="280 mm",
        lid_mount_above="-40 mm",
        body_mount_along="60 mm",
        body_mount_above="-270 mm",
        force="110 N",
        force_ratio="1.35",
        extended="540 mm",
        stroke="240 mm",
        opening="70 deg",
        law="gas",
        struts_fitted="2",
        fall="-20 deg",
    ),
    "springs open": case(
        mass="12 kg",
        centre="300 mm",
        handle="600 mm",
        lid_mount_along="200 mm",
        lid_mount_above="-30 mm",
        body_mount_along="50 mm",
        body_mount_above="-290 mm",
        force="200 N",
        force_ratio="1.3",
        extended="500 mm",
        stroke="200 mm",
        opening="85 deg",
    ),
    "locker": case(
        mass="8.6 kg",
        centre="315 mm",
        handle="620 mm",
        fall="2 deg",
        opening="80 deg",
        depth="640 mm",
        width="550 mm",
        force="150 N",
        force_ratio="1.25",
        extended="365 mm",
        stroke="150 mm",
        friction="10 N",
        worn="0.85",
        lid_mount_along="100 mm",
        lid_mount_above="-30 mm",
        body_mount_along="250 mm",
        body_mount_above="-200 mm",
        cold="-10 degC",
        hot="45 degC",
        lean="7 deg",
        wind="8 m/s",
    ),
}
_OF_TRAVEL = declared(strut_travel).inputs


def balance_of(name: str, **changed: Any) -> StrutBalance:
    """The moments of a case, some inputs changed."""
    return strut_balance(**(CASES[name] | changed))


def travel_of(name: str, **changed: Any) -> StrutTravel:
    """The strut's travel of a case, some inputs changed."""
    given = CASES[name] | changed
    return strut_travel(**{key: value for key, value in given.items() if key in _OF_TRAVEL})


def at(curve: Quantity, unit: str, angle: str) -> float:
    """The end of a curve that was worked out up to `angle`, or its beginning when that is 0."""
    return float(curve.m_as(unit)[0 if float(angle) == 0 else -1])


def half_digit(printed: str) -> float:
    """Half a unit of the last digit printed."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2]) * (1 + 1e-9)


def agrees_one_by_one(calculator: Callable[..., Any], given: dict[str, Any], count: int = 4) -> None:
    """Every quantity moved a little, all samples at once, gives what each sample gives alone, to 1e-9."""
    draws = np.random.default_rng(5)
    kinds = {name: entry.kind for name, entry in declared(calculator).inputs.items()}
    moved = {
        name: Quantity(value.magnitude * (1 - 0.01 * draws.uniform(0, 1, count)), value.units)
        for name, value in given.items()
        if isinstance(kinds[name], In)
    }
    with sampling():
        together = calculator(**(given | moved))
    for place in range(count):
        alone = calculator(**(given | {n: Quantity(float(v.magnitude[place]), v.units) for n, v in moved.items()}))
        for name, one in vars(alone).items():
            _same(getattr(together, name), one, place, name)


def _same(many: Any, one: Any, place: int, name: str) -> None:
    if isinstance(one, Check) and one.value is not None:
        assert bool(np.atleast_1d(many.met)[place if np.ndim(many.met) else 0]) == one.met
        many, one = many.value, one.value
    if is_quantity(one):
        found = np.asarray(many.m_as(one.units))
        if found.ndim > np.ndim(one.magnitude):
            found = found[..., place]
        np.testing.assert_allclose(found, one.magnitude, rtol=1e-9, atol=1e-10, err_msg=name)
