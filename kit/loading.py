"""The door from rows of floats and quantities to the equilibrium kernel, and back to results and checks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

from kit.checks import Check, fails, open_check
from kit.floats import FloatBody, columns
from kit.hydro_energy import Load
from kit.hydro_kernel import Boxes, Compartments, Tubes, Uprights
from kit.hydrostatics import SINKS, TURNS_OVER, UNSOLVED, Attitude, afloat_at, floating, settle
from kit.quantities import Q, Quantity, spell

__all__ = ["Raft", "at_means", "corners", "crowns", "judged", "nominal", "raft_of", "si", "tops", "with_lumps"]

Array: TypeAlias = NDArray[Any]
Row = TypeVar("Row", bound=Any)
# Compartments as (float, place along it, how many).
Cut: TypeAlias = Sequence[tuple[int, int, int]]


def si(value: Quantity, unit_text: str) -> Array:
    """A quantity as an array of plain numbers with its samples last; one value where there are none."""
    return np.atleast_1d(np.asarray(value.m_as(unit_text), dtype=float))


def nominal(value: Quantity, unit_text: str) -> float:
    """One number for a quantity that may be sampled: the mean of its finite values."""
    values = si(value, unit_text)
    finite = values[np.isfinite(values)]
    return float(finite.mean()) if finite.size else float("nan")


def at_means(rows: Sequence[Row]) -> list[Row]:
    """Rows of a table with every sampled cell at the mean of its finite values."""
    made = []
    for one in rows:
        cells = {}
        for name in one.__dataclass_fields__:
            value = getattr(one, name)
            if np.ndim(getattr(value, "magnitude", 0.0)):
                text = spell(value)
                cells[name] = Q(nominal(value, text), text)
        made.append(replace(one, **cells) if cells else one)
    return made


@dataclass(frozen=True, slots=True)
class Raft:
    """Floats in water, ready to be loaded.

    `owners` and `names` go by compartment; `single` when nothing is sampled.
    """

    bodies: Compartments
    density: Array
    owners: tuple[int, ...]
    names: tuple[str, ...]
    samples: int
    single: bool

    def rest(self, load: Sequence[Array], share: Array | None = None, *, scan: Array | bool = True) -> Attitude:
        """How each load case (mass, x, y, z) lies: cases on the first axis, samples (or one) on the last.

        A case that does not come to rest is looked for in a scan of the energy
        unless its `scan` is False or samples are worked: it is nan either way.
        """
        shape, made = self._load(load, share)
        asked = scan if self.single else False
        return settle(self.bodies, self.density, made, self.samples, scan=asked).reshaped(shape)

    def level(self, load: Sequence[Array], up: Array | None = None) -> Attitude:
        """How each load case would lie if it were held level, or each at its own tilt, the columns of `up`."""
        shape, made = self._load(load, None)
        column = np.arange(made.mass.size) % self.samples
        water = np.broadcast_to(self.density, (self.samples,))[column]
        held = np.array([[0.0], [0.0], [1.0]]) if up is None else up
        each = np.ascontiguousarray(np.broadcast_to(held[:, :, None], (3, *shape))).reshape(3, -1)
        return afloat_at(self.bodies.of_cases(column), water, made, each).reshaped(shape)

    def draft(self, load: Sequence[Array]) -> Array:
        """How deep it would lie if one load case were held level, from the lowest underside; nan where it sinks."""
        _, made = self._load(load, None)
        water = np.broadcast_to(self.density, (self.samples,))
        up = np.zeros((3, self.samples))
        up[2] = 1.0
        whole = self.bodies.of_cases(np.arange(self.samples))
        enough = made.mass < water * whole.volumes.sum(axis=0)
        return np.where(enough, floating(whole, water, made, up) - whole.reach[0], np.nan)

    def middle(self) -> Raft:
        """The raft at the means of its samples, for counts and names that are not worked out sample by sample."""
        t, b, u = self.bodies.tubes, self.bodies.boxes, self.bodies.uprights
        tubes = Tubes(t.lengthwise, *(_mean(v) for v in (t.along, t.across, t.z, t.length, t.radius)))
        boxes = Boxes(*(_mean(v) for v in (b.x, b.y, b.z, b.length, b.width, b.height)))
        drums = Uprights(*(_mean(v) for v in (u.x, u.y, u.z, u.radius, u.height)))
        return Raft(Compartments(tubes, boxes, drums), _mean(self.density), self.owners, self.names, 1, True)

    def _load(self, load: Sequence[Array], share: Array | None) -> tuple[tuple[int, ...], Load]:
        rows = [np.atleast_2d(np.asarray(part, dtype=float)) for part in load]
        shape = (max(len(part) for part in rows), self.samples)
        mass, x, y, z = (np.ascontiguousarray(np.broadcast_to(part, shape)).ravel() for part in rows)
        parts = len(self.bodies)
        whole = np.ones((parts, 1, 1)) if share is None else share
        spread = np.ascontiguousarray(np.broadcast_to(whole, (parts, *shape))).reshape(parts, -1)
        return shape, Load(mass, x, y, z, spread)

    def out(self, values: Array, unit_text: str) -> Quantity:
        """A result as a quantity: a single value, or one a sample."""
        return Q(float(values[0]) if self.single and values.size == 1 else values, unit_text)


def _mean(values: Array) -> Array:
    """Mean of the finite samples, kept as a last axis of one."""
    if values.shape[-1] == 1 or not values.size:
        return values[..., :1]
    good = np.isfinite(values)
    count = np.maximum(good.sum(axis=-1, keepdims=True), 1)
    return np.asarray(np.where(good, values, 0).sum(axis=-1, keepdims=True) / count)


def with_lumps(base: Sequence[Array], lumps: Sequence[tuple[Any, Any, Any, Any]]) -> tuple[Array, ...]:
    """Mass and centre of a base (mass, x, y, z) with one lump added, case by case."""
    totals = [base[0] + lump[0] for lump in lumps]
    placed = [
        np.stack(np.broadcast_arrays(*((base[0] * base[n] + lump[0] * lump[n]) / total
                                       for lump, total in zip(lumps, totals, strict=True))))
        for n in (1, 2, 3)
    ]
    return (np.stack(np.broadcast_arrays(*totals)), *placed)


def raft_of(floats: Sequence[FloatBody], density: Quantity, *others: Quantity, split: bool = False) -> Raft:
    """The floats as the kernel takes them; `split` cuts each into its compartments, counted from the named end
    (or from the right where it lies crosswise).  `others` are the further inputs that may carry samples.
    """
    kinds = [_shape(one) for one in floats]
    cut = [
        [(n, k, one.cells if split else 1) for n, one in enumerate(floats) if kinds[n] == kind
         for k in range(one.cells if split else 1)]
        for kind in ("tube", "box", "upright")
    ]
    order = [*cut[0], *cut[1], *cut[2]]
    sizes = columns(floats, diameter="m", width="m", height="m", length="m", x="m", y="m", z="m")
    every = [density, *others, Q(sizes[3].magnitude[0], "m")]
    samples = int(np.broadcast_shapes((1,), *(np.shape(q.magnitude) for q in every))[0])
    return Raft(
        Compartments(
            _tubes(floats, cut[0], sizes), _boxes(floats, cut[1], sizes), _uprights(floats, cut[2], sizes)),
        si(density, "kg/m^3"),
        tuple(n for n, _, _ in order),
        tuple(floats[n].name + (f", cell {k + 1} of {of}" if of > 1 else "") for n, k, of in order),
        samples, not any(np.ndim(q.magnitude) for q in every),
    )


def _shape(one: FloatBody) -> str:
    if not one.is_round:
        return "box"
    return "upright" if one.direction == "standing" else "tube"


class _Pieces:
    """Columns of the floats, one row a compartment."""

    def __init__(self, floats: Sequence[FloatBody], cut: Cut, sizes: Sequence[Quantity]) -> None:
        self.which = np.array([n for n, _, _ in cut], dtype=np.intp)
        self.of = np.array([of for _, _, of in cut], dtype=float)[:, None]
        names = ("diameter", "width", "height", "length", "x", "y", "z")
        self.sizes = dict(zip(names, sizes, strict=True))
        self.lengthwise = np.array([floats[n].direction == "lengthwise" for n in self.which], dtype=bool)
        place = np.array([k for _, k, _ in cut], dtype=float)[:, None]
        self.shift = (0.5 - (place + 0.5) / self.of) * self["length"]

    def __getitem__(self, name: str) -> Array:
        values = np.asarray(self.sizes[name].m_as("m"))[self.which]
        return values if values.ndim > 1 else values[:, None]


def _tubes(floats: Sequence[FloatBody], cut: Cut, sizes: Sequence[Quantity]) -> Tubes:
    p = _Pieces(floats, cut, sizes)
    turned = p.lengthwise[:, None]
    along, across = np.where(turned, p["x"], p["y"]) + p.shift, np.where(turned, p["y"], p["x"])
    return Tubes(p.lengthwise, along, across, p["z"], p["length"] / p.of, p["diameter"] / 2)


def _boxes(floats: Sequence[FloatBody], cut: Cut, sizes: Sequence[Quantity]) -> Boxes:
    p = _Pieces(floats, cut, sizes)
    turned, length = p.lengthwise[:, None], p["length"] / p.of
    return Boxes(
        p["x"] + np.where(turned, p.shift, 0), p["y"] + np.where(turned, 0, p.shift), p["z"] - p["height"] / 2,
        np.where(turned, length, p["width"]), np.where(turned, p["width"], length), p["height"])


def _uprights(floats: Sequence[FloatBody], cut: Cut, sizes: Sequence[Quantity]) -> Uprights:
    """Drums on end; their compartments are counted from the top."""
    p = _Pieces(floats, cut, sizes)
    height = p["length"] / p.of
    return Uprights(p["x"], p["y"], p["z"] + p.shift - height / 2, p["diameter"] / 2, height)


def corners(length: Quantity, width: Quantity, top: Quantity) -> list[tuple[Array, Array, Array]]:
    """The corners of the deck top: named end right, named end left, other end right, other end left."""
    x, y, z = si(length, "m") / 2, si(width, "m") / 2, si(top, "m")
    return [(x, y, z), (x, -y, z), (-x, y, z), (-x, -y, z)]


def tops(raft: Raft, lies: Attitude) -> Array:
    """Least height above the water of the top of any float."""
    return np.asarray(np.minimum.reduce(np.broadcast_arrays(*(height for _, _, height in crowns(raft, lies)))))


def crowns(raft: Raft, lies: Attitude) -> Iterator[tuple[Array, Array, Array]]:
    """Ends of every float's top: x, y, and the height above the water."""
    t, b, u = raft.bodies.tubes, raft.bodies.boxes, raft.bodies.uprights
    for n in range(len(t.z)):
        across = lies.up_y if t.lengthwise[n] else lies.up_x
        rise = t.radius[n] * np.hypot(across, lies.up_z)
        for end in (-0.5, 0.5):
            along = t.along[n] + end * t.length[n]
            x, y = (along, t.across[n]) if t.lengthwise[n] else (t.across[n], along)
            yield x, y, lies.above_water(x, y, t.z[n]) + rise
    for n in range(len(b.z)):
        for i, j in ((-1, -1), (-1, 1), (1, -1), (1, 1)):
            x, y = b.x[n] + i * b.length[n] / 2, b.y[n] + j * b.width[n] / 2
            yield x, y, lies.above_water(x, y, b.z[n] + b.height[n])
    for n in range(len(u.z)):
        lowest = u.radius[n] * np.hypot(lies.up_x, lies.up_y)
        yield u.x[n], u.y[n], lies.above_water(u.x[n], u.y[n], u.z[n] + u.height[n]) - lowest


def judged(raft: Raft, lies: Attitude, names: Sequence[str], compare: Callable[[], Check]) -> Check:
    """The comparison where every case comes to rest; else why not, with one case named.

    While sampling a case without rest is nan and meets nothing.
    """
    if not raft.single:
        return compare()
    for code, make, why in (
        (SINKS, fails, "it sinks: the floats carry less than it weighs"),
        (TURNS_OVER, fails, "it turns over: the energy over heel and trim has no minimum below 60 degrees"),
        (UNSOLVED, open_check, "could not be solved: no rest was reached"),
    ):
        found = np.flatnonzero(np.any(lies.state == code, axis=-1))
        if found.size:
            return make(f"{names[int(found[0])]}: {why}")
    return compare()
