"""Rafts that several tests share: the parts of Tarn Locker, its floats and its deck."""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.afloat import Afloat, afloat
from kit.floats import Ballast, FloatBody
from kit.handed import Part
from kit.hydro_energy import Load
from kit.hydro_kernel import Boxes, Compartments, Tubes
from kit.quantities import Q

WATER = Q(999.7, "kg/m^3")
FRESH = Q(1000, "kg/m^3")
SALT = Q(1025, "kg/m^3")
ANY_DECK = {"deck_length": Q(1, "m"), "deck_width": Q(1, "m"), "deck_top": Q(1, "m")}
DECK = {"deck_length": Q(3, "m"), "deck_width": Q(2.2, "m"), "deck_top": Q(0.148, "m")}
GROWTH = Q(25, "kg")
# name, mass in kg, x, y, z in m
PARTS = (
    ("deck boards", 103.5, 0, 0, 0.134),
    ("joists", 49.0, 0, 0, 0.060),
    ("rims", 17.4, 0, 0, 0.060),
    ("noggings", 7.4, 0, 0, 0.060),
    ("saddles, straps", 17, 0, 0, -0.03),
    ("screws, bolts", 6, 0, 0, 0.08),
    ("locker carcass", 23.7, 0, 0, 0.358),
    ("fixed top", 5.2, 0, 0, 0.581),
    ("lid, named end", 8.6, 0.475, 0, 0.581),
    ("lid, other end", 8.6, -0.475, 0, 0.581),
    ("hinges, struts", 3.5, 0, -0.25, 0.531),
    ("cleats", 2.4, 0, 0, 0.168),
    ("grip, oil", 4.5, 0, 0, 0.148),
    ("battery", 13, 0, 0.05, 0.268),
    ("control box", 2.5, 0, -0.15, 0.428),
    ("panels", 7, 0, -0.42, 0.778),
    ("pump, pipes", 4.5, 0.55, -0.15, 0.278),
    ("shower post", 3, 0.95, -0.20, 0.678),
    ("lamps, cable", 3.5, 0, 0, 0.10),
    ("ladder", 16, 1.60, 0.60, -0.05),
    ("hand rails", 6, 1.40, 0.60, 0.578),
    ("gear, left", 15, -0.475, 0, 0.328),
    ("gear, right", 15, 0.475, 0, 0.328),
    ("mooring", 12, 0, 0, 0.08),
)
TIMBER = {"deck boards": 103.5, "joists": 49.0, "rims": 17.4, "noggings": 7.4}
SOAKED = 31.8


def parts(**changed: Any) -> tuple[Part, ...]:
    """The parts of Tarn Locker; `changed` gives another (mass, x, y, z) by the name with underscores."""
    made = []
    for name, *numbers in PARTS:
        mass, x, y, z = changed.get(name.replace(" ", "_"), numbers)
        wet = mass + SOAKED * TIMBER[name] / sum(TIMBER.values()) if name in TIMBER else mass
        made.append(Part(name=name, mass=Q(mass, "kg"), x=Q(x, "m"), y=Q(y, "m"), z=Q(z, "m"), wet_mass=Q(wet, "kg")))
    return tuple(made)


def tube(name: str = "tube", **changed: Any) -> FloatBody:
    """One float of Tarn Locker."""
    given = {
        "diameter": Q(500, "mm"),
        "length": Q(3, "m"),
        "z": Q(-0.26, "m"),
        "mass_per_metre": Q(22.25, "kg/m"),
        "ends": Q(7.44, "kg"),
        "wall": Q(15.3, "mm"),
        "foam": Q(60, "percent"),
        "foam_density": Q(20, "kg/m^3"),
        "cells": 2,
    }
    return FloatBody(name=name, **{**given, **changed})


def floats(ys: tuple[float, ...] = (-0.85, -0.325, 0.325, 0.85), **changed: Any) -> tuple[FloatBody, ...]:
    """The floats of Tarn Locker, at other places or otherwise changed."""
    return tuple(tube(f"tube {n}", y=Q(y, "m"), **changed) for n, y in enumerate(ys, start=1))


def bare(**changed: Any) -> FloatBody:
    """A float without mass, for published cases that give the whole mass."""
    given: dict[str, Any] = {"name": "hull", "z": Q(0, "m"), "mass_per_metre": Q(0, "kg/m"), **changed}
    return FloatBody(**given)


BALLAST = (Ballast(name="ballast", mass=Q(28, "kg"), x=Q(-1.4, "m"), y=Q(-0.28, "m"), z=Q(0.02, "m")),)


# -- for the kernel ------------------------------------------------------------------------------


def compartments(tubes: Any = (), boxes: Any = ()) -> Compartments:
    """Tubes as (lengthwise, along, across, z, length, radius), boxes as (x, y, underside, length, width, height)."""
    t, b = np.array(tubes, dtype=float).reshape(-1, 6), np.array(boxes, dtype=float).reshape(-1, 6)
    return Compartments(Tubes(t[:, 0] > 0, *(t[:, [n]] for n in range(1, 6))), Boxes(*(b[:, [n]] for n in range(6))))


def loads(bodies: Compartments, mass: Any, x: Any = 0.0, y: Any = 0.0, z: Any = 0.0, share: Any = None) -> Load:
    """Load cases for the kernel."""
    flat = [np.array(v, dtype=float) for v in np.broadcast_arrays(*(np.atleast_1d(v) for v in (mass, x, y, z)))]
    whole = np.ones((len(bodies), flat[0].size)) if share is None else share
    return Load(flat[0], flat[1], flat[2], flat[3], whole)


# -- for published cases --------------------------------------------------------------------------


def half_digit(printed: str) -> float:
    """Half a unit of the last digit printed."""
    decimals = len(printed.partition(".")[2])
    return 0.5 * 10.0**-decimals * (1 + 1e-9)


def hull(width: float, height: float, length: float, **more: Any) -> FloatBody:
    """A box with its underside at z = 0; sizes in metres."""
    return bare(
        shape="box", width=Q(width, "m"), height=Q(height, "m"), length=Q(length, "m"), z=Q(height / 2, "m"), **more
    )


def lies(hulls: Any, mass: float, z: float = 0.0, x: float = 0.0, y: float = 0.0, density: Any = FRESH) -> Afloat:
    """A set of hulls with a mass in kg at a place in metres."""
    return afloat(mass=Q(mass, "kg"), x=Q(x, "m"), y=Q(y, "m"), z=Q(z, "m"), floats=hulls, density=density, **ANY_DECK)
