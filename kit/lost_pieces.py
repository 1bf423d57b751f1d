"""Compartments lost: the whole floats, less the pieces that no longer lift.

Work on plain SI numbers.  A raft whose floats were all cut into compartments
would be cut up in every load case; instead each case has its whole floats and,
against them, the one or two pieces that it lost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.hydro_kernel import Boxes, Compartments, Tubes, Uprights
from kit.hydro_shapes import Array
from kit.hydrostatics import Attitude
from kit.loading import Raft

__all__ = ["rest_without"]


def rest_without(
    whole: Raft, pieces: Raft, kept: Array, lost: Sequence[Sequence[int]], load: Sequence[Array], *,
    scan: Array | bool = True,
) -> Attitude:
    """How each load case lies without some pieces: cases on the first axis, samples on the last.

    `scan` is that of `Raft.rest`, one for all or one a case of one sample.
    `lost` names the pieces of each case, `kept` the share of its volume that
    each piece still displaces (pieces, samples or one), `load` is mass, x, y
    and z of each case.
    """
    cases, samples = len(lost), whole.samples
    slots = max((len(one) for one in lost), default=0)
    index = np.full((slots, cases), -1)
    for case, which in enumerate(lost):
        index[:len(which), case] = which
    rows = [part for slot in index for part in _slot(pieces.bodies, kept, slot, samples)]
    bodies = _together(_tiled(whole.bodies, cases), [part for part, _ in rows])
    share = _shares(whole.bodies, rows, cases * samples)
    density = whole.density if whole.density.size == 1 else np.tile(whole.density, cases)
    damaged = Raft(bodies, density, (), (), cases * samples, whole.single)
    flat = [np.broadcast_to(np.atleast_2d(part), (cases, samples)).reshape(1, -1) for part in load]
    return damaged.rest(flat, share[:, None, :], scan=scan).reshaped((cases, samples))


def _slot(bodies: Compartments, kept: Array, which: NDArray[np.intp], samples: int) -> Iterator[tuple[Any, Array]]:
    """One row for each kind of piece that some case loses, and its share: what it keeps, less the whole."""
    first = 0
    for shapes in (bodies.tubes, bodies.boxes, bodies.uprights):
        if not (count := len(shapes.z)):
            continue
        here = (which >= first) & (which < first + count)
        turned = shapes.lengthwise[np.where(here, which - first, 0)] if isinstance(shapes, Tubes) else None
        for way in (None,) if turned is None else (True, False):
            fits = here if turned is None else here & (turned == way)
            if fits.any():
                # Cases that lose none of this kind take any piece of it, with a share of nothing.
                place = np.where(fits, which, which[fits][0])
                gone = np.where(fits[:, None], kept[place] - 1.0, 0.0)
                row = _row(shapes, place - first, way, samples)
                yield row, np.broadcast_to(gone, (which.size, samples)).reshape(-1)
        first += count


def _row(shapes: Any, place: NDArray[np.intp], way: bool | None, samples: int) -> Any:
    """One compartment that is another one in each case."""
    made = {
        f.name: np.broadcast_to(getattr(shapes, f.name)[place], (place.size, samples)).reshape(1, -1)
        for f in fields(shapes) if f.name != "lengthwise"}
    return type(shapes)(**made) if way is None else Tubes(np.array([way]), **made)


def _tiled(bodies: Compartments, cases: int) -> Compartments:
    """The same bodies in every case."""
    def tiled(shapes: Any) -> Any:
        made = {f.name: getattr(shapes, f.name) for f in fields(shapes)}
        return type(shapes)(**{
            name: np.tile(v, (1, cases)) if v.ndim > 1 and v.shape[1] > 1 else v for name, v in made.items()})

    return Compartments(tiled(bodies.tubes), tiled(bodies.boxes), tiled(bodies.uprights))


def _together(bodies: Compartments, rows: Sequence[Any]) -> Compartments:
    def stacked(shapes: Any) -> Any:
        kind = type(shapes)
        every = [shapes, *(row for row in rows if isinstance(row, kind))]
        return kind(*(_stacked([getattr(one, f.name) for one in every]) for f in fields(kind)))

    return Compartments(stacked(bodies.tubes), stacked(bodies.boxes), stacked(bodies.uprights))


def _stacked(parts: Sequence[Array]) -> Array:
    if parts[0].ndim == 1 or len(parts) == 1:
        return np.concatenate(parts)
    wide = max(part.shape[1] for part in parts)
    return np.concatenate([np.broadcast_to(part, (len(part), wide)) for part in parts])


def _shares(bodies: Compartments, rows: Sequence[tuple[Any, Array]], columns: int) -> Array:
    """Shares in the order of the bodies: whole floats of a shape, then what was lost of it."""
    made = []
    for shapes, kind in ((bodies.tubes, Tubes), (bodies.boxes, Boxes), (bodies.uprights, Uprights)):
        made.append(np.ones((len(shapes.z), columns)))
        made += [gone[None] for row, gone in rows if isinstance(row, kind)]
    return np.concatenate(made)
