"""The heat of one layer walked through its cure, and the speed of a reader's own resin from one test cup.

Always an estimate, never an approval.  The same published resin read two ways
(its chains moving freely to the end, or stiffening as they grow) runs away at
depths that differ up to threefold; both are shown, and the hotter counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any

import numpy as np
from scipy.optimize import least_squares

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_most, open_check
from kit.cure_model import RUNAWAY, Cured, Layers, cure
from kit.kinds import Asks, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = [
    "CupCalibration", "CupReading", "CurePoint", "CureSimulation", "DepthPoint", "cup_calibration", "cure_simulation",
]

_FACTS = read_facts("resin")
# Cells, share a step and longest step in seconds: within 3 K of ten times finer ones below runaway.
_COARSE: dict[str, Any] = {"cells": 20, "share": 0.01, "step": 60.0}
_ZERO = 273.15
_ESTIMATE = "an estimate by two readings of another resin's cure, never an approval: do a cup test of the same depth"


@result
class CurePoint:
    """The hottest place of the layer at one time, by both readings."""

    time: Annotated[Quantity, Out("min", "time after the pour", resolution=1)]
    free: Annotated[Quantity, Out("degC", "chains free to the end", resolution=1, rounding="up")]
    stiffening: Annotated[Quantity, Out("degC", "chains stiffening", resolution=1, rounding="up")]


@result
class DepthPoint:
    """The peak of a layer of one depth, by both readings."""

    depth: Annotated[Quantity, Out("mm", "depth", resolution=0.1)]
    free: Annotated[Quantity, Out("degC", "peak, chains free to the end", resolution=1, rounding="up")]
    stiffening: Annotated[Quantity, Out("degC", "peak, chains stiffening", resolution=1, rounding="up")]


@result
class CureSimulation:
    """How hot one layer becomes, by two readings of one published cure."""

    peak: Annotated[Quantity, Out(
        "degC", "peak in the hottest place, chains free to the end", resolution=1, rounding="up")]
    peak_stiffening: Annotated[Quantity, Out("degC", "peak, chains stiffening", resolution=1, rounding="up")]
    apart: Annotated[Quantity, Out("delta_degC", "what the form of the model alone makes of it", resolution=1)]
    says: Annotated[str, Says("what to make of it")]
    cool: Annotated[Check, Asks("hottest place below the published 60 degC (an estimate)", "UFC-3-250-06", hazard=True)]
    curve: Annotated[tuple[CurePoint, ...], Rows("temperature against time")]
    by_depth: Annotated[tuple[DepthPoint, ...], Rows("peak against depth")]


@calculator("kinetics-2015", "UFC-3-250-06", "kit")
def cure_simulation(
    *,
    depth: Annotated[Quantity, In("mm", "depth of the layer poured", 4, ge=0.2, le=100, resolution=0.1)],
    temperature: Annotated[Quantity, In("degC", "components when mixed", 20, ge=0, le=50, basis="measured")],
    room: Annotated[Quantity, In("degC", "wood and air", 20, ge=-10, le=50, basis="measured")],
    wood: Annotated[Quantity, In("mm", "wood below the recess", 20, ge=0, le=500, basis="measured")] = Q(20, "mm"),
    wood_conductivity: Annotated[Quantity, In("W/m/delta_degC", "conductivity of that wood across the grain", 0.12,
                                              ge=0.03, le=5, basis="handbook")] = Q(0.12, "W/m/delta_degC"),
    surface: Annotated[Quantity, In("W/m^2/delta_degC", "heat transfer at the surface, in still air about 10", 10, ge=1,
                                    le=100, basis="handbook")] = _FACTS["surface"].q,
    density: Annotated[Quantity, In("g/mL", "density of the cured resin", 1.15, ge=0.7, le=3)] = Q(1.15, "g/mL"),
    heat: Annotated[Quantity, In("J/g", "heat of reaction of the mix", 446, ge=50, le=800, basis="handbook")]
    = _FACTS["heat"].q,
    specific_heat: Annotated[Quantity, In("kJ/kg/delta_degC", "specific heat", 1.7, ge=0.5, le=4, basis="handbook")]
    = _FACTS["specific-heat"].q,
    conductivity: Annotated[Quantity, In(
        "W/m/delta_degC", "thermal conductivity", 0.2, ge=0.05, le=3, basis="handbook")] = _FACTS["conductivity"].q,
    speed: Annotated[Quantity, In("1", "speed of your resin against the published one", 1, ge=0.01, le=20,
                                  find="from a test cup, below")] = Q(1),
) -> CureSimulation:
    """Peak and course of temperature in a flat layer on wood, its surface in still air.

    rho c dT/dt = k d2T/dx2 + rho H d(alpha)/dt, heat leaving by the surface
    (h) and through the wood (1 / (thickness/k + 1/h)); d(alpha)/dt after Kamal
    and Sourour with the constants of one published infusion resin, times the
    speed.  Sides of the recess, changes of c and k while curing, and the
    warmth of the wood itself are left out.  Above 150 degC the figure says only
    that it runs away.

    >>> thin = cure_simulation(depth=Q(4, "mm"), temperature=Q(20, "degC"), room=Q(20, "degC"))
    >>> thin.cool.verdict
    'meets'
    """
    given = (
        depth, temperature, room, wood, wood_conductivity, surface, density, heat, specific_heat, conductivity, speed,
    )
    units = ("m", "K", "K", "m", "W/m/K", "W/m^2/K", "kg/m^3", "J/kg", "J/kg/K", "W/m/K", "")
    numbers = np.broadcast_arrays(*(np.asarray(_si(q, u), dtype=float) for q, u in zip(given, units, strict=True)))
    flat = np.stack([one.ravel() for one in numbers])
    peaks = _walk(np.repeat(flat, 2, axis=1), np.tile([False, True], flat.shape[1])).peak.reshape(-1, 2)
    free, stiff = (Q((peaks[:, k] - _ZERO).reshape(numbers[0].shape)[()], "degC") for k in (0, 1))
    hotter = Q(np.fmax(free.m, stiff.m), "degC")
    middle = np.nanmean(flat, axis=1)
    return CureSimulation(
        peak=free, peak_stiffening=stiff, apart=Q(np.abs(free.m - stiff.m), "delta_degC"), says=_words(peaks),
        cool=at_most(hotter, _FACTS["hottest"].q.to("degC"), share=False, reason=_ESTIMATE),
        curve=_curve(middle), by_depth=_by_depth(middle),
    )


def _si(quantity: Quantity, unit: str) -> Any:
    """Bare numbers; a rate for a difference of temperature is the same in kelvin."""
    return quantity.m_as(unit.replace("/K", "/delta_degC") if unit.endswith("/K") else unit)


def _walk(flat: np.ndarray, stiffening: np.ndarray, until: float = np.inf) -> Cured:
    """Layers walked through their cure, one a column of numbers in SI units; a column with a gap in it stays nan."""
    good = np.isfinite(flat).all(axis=0)
    depth, start, room, wood, across, surface, density, heat, specific_heat, conductivity, speed = np.where(
        good, flat, np.nanmean(np.where(good, flat, np.nan), axis=1)[:, None])
    below = 1 / (wood / across + 1 / surface)
    layers = Layers(depth, start, room, density, specific_heat, conductivity, heat, surface, below, speed, stiffening)
    run = cure(layers, until=until, **_COARSE)
    return replace(run, hottest=np.where(good, run.hottest, np.nan))


def _words(peaks: np.ndarray) -> str:
    hotter = np.fmax(peaks[:, 0], peaks[:, 1])
    if np.any(hotter >= RUNAWAY):
        return "runs away: it smokes and cracks; pour less deep, cooler, or in layers"
    if np.any(hotter > _FACTS["hottest"].q.m_as("K")):
        return "too hot by the published rule: pour less deep, cooler, or in layers"
    return "cool by both readings, which is an estimate and no approval: do a cup test of the same depth"


def _curve(middle: np.ndarray) -> tuple[CurePoint, ...]:
    run = _walk(np.stack([middle, middle], axis=1), np.array([False, True]))
    last = max(min(2.5 * float(run.peak_time.max()), 48 * 3600.0), 1800.0)
    times = np.linspace(0, last, 49)
    found = [np.interp(times, run.time[:, k], run.hottest[:, k]) - _ZERO for k in (0, 1)]
    return tuple(
        CurePoint(time=Q(float(t) / 60, "min"), free=Q(float(a), "degC"), stiffening=Q(float(b), "degC"))
        for t, a, b in zip(times, *found, strict=True)
    )


def _by_depth(middle: np.ndarray) -> tuple[DepthPoint, ...]:
    """Peaks at shares of the depth up to four times it; a layer that runs away is walked no further."""
    shares = np.array([0.5, 1, 1.5, 2, 3, 4])
    flat = np.repeat(middle[:, None], shares.size, axis=1)
    flat[0] *= shares
    peaks = _walk(np.concatenate([flat, flat], axis=1), np.repeat([False, True], shares.size), RUNAWAY).peak - _ZERO
    return tuple(
        DepthPoint(depth=Q(float(d) * 1e3, "mm"), free=Q(float(a), "degC"), stiffening=Q(float(b), "degC"))
        for d, a, b in zip(flat[0], peaks[: shares.size], peaks[shares.size :], strict=True)
    )


@row
class CupReading:
    """One reading of the thermometer in a test cup."""

    name: Annotated[str, Text("reading", "at 20 min")]
    time: Annotated[Quantity, In("min", "time after mixing", 20, ge=0, le=3000, basis="measured", find="clock")]
    temperature: Annotated[Quantity, In("degC", "in the middle of the cup", 24, ge=-10, le=300, basis="measured",
                                        find="thermometer, its tip in the middle")]


@result
class CupCalibration:
    """The speed of a resin and the cooling of its cup, fitted to one curve."""

    found_speed: Annotated[Quantity, Out(
        "1", "speed of your resin against the published one", resolution=0.01, absent="no cup has been read yet")]
    cooling: Annotated[Quantity, Out(
        "1/h", "share of its warmth the cup loses in an hour", resolution=0.1, absent="no cup has been read yet")]
    missed: Annotated[Quantity, Out(
        "delta_degC", "how far the fitted curve misses, root of mean square", resolution=0.1,
        absent="no cup has been read yet")]
    fits: Annotated[Check, Asks("the fitted curve passes near the readings", "kit")]
    advice: Annotated[str, Says("what to do with it")]


@calculator("kinetics-2015", "kit")
def cup_calibration(
    *,
    readings: Annotated[
        Sequence[CupReading], Rows("readings of the cup", find="every five minutes until it cools")] = (),
    room: Annotated[Quantity, In("degC", "room while the cup cured", 20, ge=-10, le=50, basis="measured")],
    heat: Annotated[Quantity, In("J/g", "heat of reaction of the mix", 446, ge=50, le=800, basis="handbook")]
    = _FACTS["heat"].q,
    specific_heat: Annotated[Quantity, In("kJ/kg/delta_degC", "specific heat", 1.7, ge=0.5, le=4, basis="handbook")]
    = _FACTS["specific-heat"].q,
) -> CupCalibration:
    """Speed of a resin from the temperatures of one cup, taken as warm throughout.

    c dT/dt = H d(alpha)/dt - c lambda (T - room): the speed and the cooling
    lambda are fitted by least squares.  At least five readings, some after the
    peak, or the two cannot be told apart.  A cup that is hotter inside than at
    its wall reads faster than it is, which errs to the safe side.

    >>> cup_calibration(room=Q(20, "degC")).fits.verdict
    'open'
    """
    if len(readings) < 5:
        nothing = Q(np.nan)
        return CupCalibration(
            found_speed=nothing, cooling=Q(np.nan, "1/h"), missed=Q(np.nan, "delta_degC"),
            fits=open_check(f"{len(readings)} readings are entered; at least five are needed, some after the peak"),
            advice="pour a test cup, note time and temperature until it cools",
        )
    cells = [getattr(reading, name) for name in ("time", "temperature") for reading in readings]
    units = ["s"] * len(readings) + ["K"] * len(readings) + ["K", "J/kg", "J/kg/K"]
    given = [*cells, room, heat, specific_heat]
    numbers = np.broadcast_arrays(*(np.asarray(_si(q, u), dtype=float) for q, u in zip(given, units, strict=True)))
    shape, flat = numbers[0].shape, np.stack([one.ravel() for one in numbers])
    times, found = flat[: len(readings)], flat[len(readings) : 2 * len(readings)]
    require(bool(np.all(~(np.diff(times, axis=0) <= 0))), "readings must stand in the order of time, each later than "
            "the last", "readings")
    fitted = np.array([_fit(times[:, k], found[:, k], *flat[-3:, k]) for k in range(flat.shape[1])])
    speed, cooling, missed = (fitted[:, k].reshape(shape)[()] for k in range(3))
    return CupCalibration(
        found_speed=Q(speed), cooling=Q(cooling * 3600, "1/h"), missed=Q(missed, "delta_degC"),
        fits=at_most(Q(missed, "delta_degC"), Q(3, "delta_degC"),
                     reason="a poor fit says the cup was not one temperature"),
        advice="enter the speed found as the speed of your resin, basis measured",
    )


def _cup(
    times: np.ndarray, start: float, room: float, heat: float, specific_heat: float, speed: float, cooling: float
) -> Any:
    # One cell that conducts without limit, with a surface that loses its warmth at that rate.
    layer = Layers(1.0, start, room, 1.0, specific_heat, 1e9, heat, cooling * specific_heat, 0.0, speed)
    run = cure(layer, cells=1, longest=float(times[-1]) + 60, share=0.01, step=60.0)
    return np.interp(times, run.time[:, 0], run.hottest[:, 0])


def _fit(
    times: np.ndarray, found: np.ndarray, room: float, heat: float, specific_heat: float
) -> tuple[float, float, float]:
    """Speed, cooling in 1/s and the root of the mean square missed; nan where a sample is."""
    if not np.all(np.isfinite([*times, *found, room, heat, specific_heat])):
        return np.nan, np.nan, np.nan

    def missed(logs: np.ndarray) -> Any:
        return _cup(times, found[0], room, heat, specific_heat, *np.exp(logs)) - found

    best = min(
        (least_squares(missed, np.log([speed, 1 / 3600]), bounds=(np.log([1e-3, 1e-6]), np.log([50, 0.1])),
                       diff_step=[1e-3, 1e-3])
         for speed in (0.1, 1.0)),
        key=lambda one: float(one.cost),
    )
    speed, cooling = np.exp(best.x)
    return float(speed), float(cooling), float(np.sqrt(np.mean(best.fun**2)))
