"""How a set of floats lies in the water: sinkage, heel and trim together, at any angle up to 60 degrees.

A kernel on plain SI numbers.  A floating body at rest stands at a minimum of
the potential energy of itself and the water it displaces.  `settle` walks down
that energy by safeguarded Newton steps, for many load cases and samples at once.

A raft `turns over` only when neither that walk nor a scan of the energy over
heel and trim finds a minimum below `SEARCHED`; a minimum that the scan shows
but no walk reaches is `unsolved`.  The two are never confused.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.hydro_energy import Energy, Load, energy_at, newton_step
from kit.hydro_kernel import Compartments, immersed

__all__ = [
    "AFLOAT", "SEARCHED", "SINKS", "TURNS_OVER", "UNSOLVED", "Attitude", "Load", "afloat_at", "floating", "settle",
]

Array: TypeAlias = NDArray[Any]

# Greatest tilt searched, in radians. Long before it everything loose has slid off.
SEARCHED = np.radians(60.0)
AFLOAT, SINKS, TURNS_OVER, UNSOLVED = 0, 1, 2, 3

_STEPS = 80
_CHUNK = 4096
_KICK = np.radians(2.0)
# Spacing of the scan over heel and trim.
_GRID = np.radians(np.arange(-66.0, 67.0, 6.0))
# And of the closer looks around a minimum that no walk reaches.
_CLOSER = np.radians([1.0, 0.2])


@dataclass(frozen=True, slots=True)
class Attitude:
    """How the body lies: the water plane, its immersed part and its stiffness; nan unless `state` is AFLOAT.

    `height_g` is the height of the centre of gravity above that of buoyancy,
    `metacentric_x` the metacentric height lengthwise (trim), `metacentric_y`
    across (heel), `metacentric_least` in the weakest direction.
    """

    state: Array
    depth: Array
    up_x: Array
    up_y: Array
    up_z: Array
    buoyancy_x: Array
    buoyancy_y: Array
    buoyancy_z: Array
    waterplane: Array
    height_g: Array
    metacentric_x: Array
    metacentric_y: Array
    metacentric_least: Array

    @property
    def trim(self) -> Array:
        """Slope along x, positive with the named end down, as an angle."""
        return np.arctan2(-self.up_x, self.up_z)

    @property
    def heel(self) -> Array:
        """Slope along y, positive with the right side down, as an angle."""
        return np.arctan2(-self.up_y, self.up_z)

    @property
    def tilt(self) -> Array:
        """Greatest slope of the deck in any direction."""
        return np.arctan2(np.hypot(self.up_x, self.up_y), self.up_z)

    def above_water(self, x: Any, y: Any, z: Any) -> Array:
        """Height above the water of a point of the body."""
        return np.asarray(self.up_x * x + self.up_y * y + self.up_z * z - self.depth)

    def reshaped(self, shape: tuple[int, ...]) -> Attitude:
        """The same with its cases in another arrangement."""
        return Attitude(*(np.asarray(getattr(self, f.name)).reshape(shape) for f in fields(self)))


def settle(
    bodies: Compartments, density: Array, load: Load, samples: int = 1, *, scan: Array | bool = True
) -> Attitude:
    """Where each case comes to rest, started level.

    `load` is flat over (cases, samples), samples last; `density` and every
    compartment have `samples` columns or one.  Cases are worked in chunks so
    that the working set stays in the processor's cache.  A case without `scan`
    that does not come to rest is UNSOLVED, never said to turn over.
    """
    cases = load.mass.size
    flat = np.arange(cases)
    scanned = np.broadcast_to(scan, (cases,))

    def settled(which: NDArray[np.intp]) -> Attitude:
        column = which % samples
        water = density[column] if density.size > 1 else np.broadcast_to(density, which.shape)
        return _settle(bodies.of_cases(column), water, load.of_cases(which), scanned[which])

    if cases <= _CHUNK:
        return settled(flat)
    # The work is nearly all inside array operations, which let other threads run; all get the same share of it.
    workers = os.cpu_count() or 1
    chunks = np.array_split(flat, workers * -(-cases // (workers * _CHUNK)))
    with ThreadPoolExecutor(max_workers=workers) as pool:
        parts = list(pool.map(settled, chunks))
    return Attitude(*(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Attitude)))


def _settle(bodies: Compartments, density: Array, load: Load, scan: Array) -> Attitude:
    holds = density * (load.share * bodies.volumes).sum(axis=0)
    known = np.isfinite(holds + load.mass + load.x + load.y + load.z)
    state = np.where(known & (load.mass >= holds), SINKS, UNSOLVED)
    todo = np.flatnonzero(known & (load.mass < holds))
    level = np.zeros((3, load.mass.size))
    level[2] = 1.0
    depth = np.full(load.mass.size, np.nan)
    low, high = bodies.reach
    depth[todo] = (low + (high - low) * np.divide(load.mass, holds, where=holds > 0, out=np.zeros_like(holds)))[todo]
    reached = _descend(bodies, density, load, todo, depth, level)
    state[reached] = AFLOAT
    lost = np.setdiff1d(todo, reached)
    lost = lost[scan[lost]]
    if lost.size:
        state[lost] = _by_scan(bodies, density, load, lost, depth, level)
    good = np.flatnonzero(state == AFLOAT)
    return _described(bodies, density, load, state, depth, level, good)


# -- walking down the energy ---------------------------------------------------------------------


def _descend(
    bodies: Compartments, density: Array, load: Load, todo: NDArray[np.intp], depth: Array, up: Array
) -> NDArray[np.intp]:
    """Newton steps until each case rests at a minimum; writes into `depth` and `up`, returns the cases that do."""
    active = todo
    damping, last = np.zeros(todo.size), np.full(todo.size, np.inf)
    kicked = np.zeros(todo.size, dtype=bool)
    resting: list[NDArray[np.intp]] = []
    here, water, part = bodies.of_cases(active), density[active], load.of_cases(active)
    at = energy_at(here, water, part, depth[active], up[:, active])
    for _ in range(_STEPS):
        step, turn, still, stable, last = newton_step(at, damping, last)
        saddle = still & ~stable & ~kicked
        turn = np.where(saddle, _KICK * at.weakest(), turn)
        kicked = kicked | saddle
        new_depth, new_up = depth[active] + step, _turned(up[:, active], at.axes, turn)
        rests = still & stable
        gone = up[2, active] < np.cos(SEARCHED + np.radians(8))
        if rests.any() or gone.any():
            done, stay = active[rests], ~(rests | gone)
            depth[done], up[:, done] = new_depth[rests], new_up[:, rests]
            resting.append(done)
            active, damping, kicked, saddle = active[stay], damping[stay], kicked[stay], saddle[stay]
            last = last[stay]
            new_depth, new_up = new_depth[stay], new_up[:, stay]
            if not active.size:
                break
            here, water, part = bodies.of_cases(active), density[active], load.of_cases(active)
            at = Energy(*(getattr(at, f.name)[..., stay] for f in fields(Energy)))
        after = energy_at(here, water, part, new_depth, new_up)
        better = (after.energy <= at.energy + 1e-12 * part.mass) | saddle
        depth[active] = np.where(better, new_depth, depth[active])
        up[:, active] = np.where(better, new_up, up[:, active])
        damping = np.where(better, np.where(damping > 1e-3, damping / 8, 0.0), np.maximum(4 * damping, 0.05))
        at = after if better.all() else Energy(
            *(np.where(better, getattr(after, f.name), getattr(at, f.name)) for f in fields(Energy)))
    found: NDArray[np.intp] = np.concatenate([*resting, np.empty(0, dtype=np.intp)])
    held: NDArray[np.intp] = found[up[2, found] >= np.cos(SEARCHED)]
    return held


def _turned(up: Array, axes: Array, turn: Array) -> Array:
    moved: Array = up + axes[0] * turn[0] + axes[1] * turn[1]
    return np.asarray(moved / np.sqrt((moved**2).sum(axis=0)))


# -- when the walk fails -------------------------------------------------------------------------


def _by_scan(
    bodies: Compartments, density: Array, load: Load, lost: NDArray[np.intp], depth: Array, up: Array
) -> Array:
    """Scan the energy over heel and trim, sinkage solved; walk again from the minimum nearest to upright."""
    return np.array([_looked_for(bodies, density, load, int(case), depth, up) for case in lost])


def _looked_for(bodies: Compartments, density: Array, load: Load, case: int, depth: Array, up: Array) -> int:
    """AFLOAT from a minimum of the scan; UNSOLVED when one stays under ever closer scans and no walk reaches it.

    A valley that runs askew to a coarse grid shows minima that are none: one
    counts only while a closer scan around it still finds a lowest point inside.
    """
    found = TURNS_OVER
    for tilt in _minima(bodies, density, load, case, np.zeros(2), _GRID):
        place: Array | None = tilt
        for step in (0.0, *_CLOSER):
            if step and place is not None:
                around = step * np.arange(-7, 8)
                place = next(iter(_minima(bodies, density, load, case, place, around)), None)
            if place is None:
                break
            start, _ = _tilted(place[:1], place[1:])
            up[:, case] = start[:, 0]
            depth[case] = _scanned(bodies, density, load, case, start)[1][0]
            if _descend(bodies, density, load, np.array([case]), depth, up).size:
                return AFLOAT
        if place is not None:
            found = UNSOLVED
    return found


def _minima(
    bodies: Compartments, density: Array, load: Load, case: int, middle: Array, around: Array
) -> Iterator[Array]:
    """Tilts of the lowest points inside a square grid about `middle`, those nearest to upright first."""
    tilt_x, tilt_y = (grid.ravel() for grid in np.meshgrid(middle[0] + around, middle[1] + around, indexing="ij"))
    ups, inside = _tilted(tilt_x, tilt_y)
    energy, _ = _scanned(bodies, density, load, case, ups)
    lowest = np.flatnonzero(_basins(energy.reshape(around.size, around.size)).ravel() & inside)
    for n in lowest[np.argsort(-ups[2, lowest], kind="stable")]:
        yield np.array([tilt_x[n], tilt_y[n]])


def _scanned(bodies: Compartments, density: Array, load: Load, case: int, ups: Array) -> tuple[Array, Array]:
    """Energy and depth of one case at many tilts.  Energy stands still in depth, so a millimetre is near enough."""
    one = np.array([case])
    many = np.zeros(ups.shape[1], dtype=np.intp)
    here, part = bodies.of_cases(one).of_cases(many), load.of_cases(one[many])
    water = np.repeat(density[one], many.size)
    depths = floating(here, water, part, ups, close=1e-3)
    wet = immersed(here, part.share, depths, (ups[0], ups[1], ups[2]))
    lift, centre = (wet.x, wet.y, wet.z), (part.x, part.y, part.z)
    energy = sum(n * (part.mass * g - water * b) for n, g, b in zip(ups, centre, lift, strict=True))
    return np.asarray(energy + depths * (water * wet.volume - part.mass)), depths


def _tilted(tilt_x: Array, tilt_y: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Unit vectors up for tilts given as a vector of angles, held below 75 degrees, and which lie within the search."""
    size = np.hypot(tilt_x, tilt_y)
    held = np.minimum(size, np.radians(75))
    share = np.where(size > 0, np.sin(held) / np.where(size > 0, size, 1), 1.0)
    return np.stack([-tilt_x * share, -tilt_y * share, np.cos(held)]), size <= SEARCHED


def _basins(energy: Array) -> NDArray[np.bool_]:
    """Points of a grid that lie no higher than all eight neighbours."""
    edged = np.pad(energy, 1, constant_values=-np.inf)
    rows, columns = energy.shape
    around = [
        edged[1 + i:1 + i + rows, 1 + j:1 + j + columns] for i in (-1, 0, 1) for j in (-1, 0, 1) if (i, j) != (0, 0)
    ]
    return np.asarray(energy <= np.min(around, axis=0))


# -- at a given tilt -----------------------------------------------------------------------------


def floating(bodies: Compartments, density: Array, load: Load, up: Array, *, close: float = 1e-7) -> Array:
    """Depth of the water plane that carries the mass at a given tilt: bracketed, Newton where that falls inside.

    A step of `close` or less, taken, leaves an error of about its square.
    """
    low, high = _bracket(bodies, up)
    filled = load.mass / (density * (load.share * bodies.volumes).sum(axis=0))
    depth = low + (high - low) * np.clip(filled, 0.05, 0.95)
    n = (up[0], up[1], up[2])
    before, done = np.full(depth.shape, np.inf), np.isnan(depth)
    for _ in range(_STEPS):
        wet = immersed(bodies, load.share, depth, n)
        over = density * wet.volume - load.mass
        low, high = np.where(over < 0, depth, low), np.where(over < 0, high, depth)
        with np.errstate(divide="ignore", invalid="ignore"):
            guess = depth - over * up[2] / (density * wet.area)
        # Newton's step leaps to and fro over an edge where the waterplane jumps: where it gains little, halve instead.
        inside = (guess >= low) & (guess <= high) & (np.abs(over) <= before / 2)
        before = np.abs(over)
        new = np.where(inside, guess, (low + high) / 2)
        # Each case stops by itself, so that it ends where it would alone; halving must go to the end.
        moved, depth = np.abs(new - depth), np.where(done, depth, new)
        done |= np.where(inside, moved < close, high - low < close * close) | np.isnan(new)
        if done.all():
            break
    return np.asarray(depth)


def _bracket(bodies: Compartments, up: Array) -> tuple[Array, Array]:
    """A depth below and one above every corner of every compartment."""
    lows, highs = [], []
    t, b = bodies.tubes, bodies.boxes
    if len(t.z):
        turned = t.lengthwise[:, None]
        x, y = np.where(turned, t.along, t.across), np.where(turned, t.across, t.along)
        middle = up[0] * x + up[1] * y + up[2] * t.z
        out = t.length / 2 + t.radius
        lows.append(middle - out)
        highs.append(middle + out)
    if len(b.z):
        middle = up[0] * b.x + up[1] * b.y + up[2] * (b.z + b.height / 2)
        out = (b.length + b.width + b.height) / 2
        lows.append(middle - out)
        highs.append(middle + out)
    u = bodies.uprights
    if len(u.z):
        middle = up[0] * u.x + up[1] * u.y + up[2] * (u.z + u.height / 2)
        out = u.radius + u.height / 2
        lows.append(middle - out)
        highs.append(middle + out)
    return np.concatenate(lows).min(axis=0), np.concatenate(highs).max(axis=0)


def afloat_at(bodies: Compartments, density: Array, load: Load, up: Array) -> Attitude:
    """The attitude at a given tilt with only the sinkage solved, for righting levers."""
    depth = floating(bodies, density, load, up)
    enough = load.mass < density * (load.share * bodies.volumes).sum(axis=0)
    state = np.where(enough, AFLOAT, SINKS)
    return _described(bodies, density, load, state, depth, up, np.flatnonzero(enough))


def _described(
    bodies: Compartments, density: Array, load: Load, state: Array, depth: Array, up: Array, good: NDArray[np.intp]
) -> Attitude:
    blank = np.full((12, load.mass.size), np.nan)
    if good.size:
        here, water, part = bodies.of_cases(good), density[good], load.of_cases(good)
        d, n = depth[good], up[:, good]
        at = energy_at(here, water, part, d, n)
        centre = at.centre / at.volume
        height = n[0] * (part.x - centre[0]) + n[1] * (part.y - centre[1]) + n[2] * (part.z - centre[2])
        least, a, _, c = at.tilting()
        blank[:, good] = np.stack(
            [d, *n, *centre, at.area / n[2], height, a / part.mass, c / part.mass, least / part.mass])
    return Attitude(state.astype(float), *blank)
