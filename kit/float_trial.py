"""One set of floats tried whole: unloaded, under every crowd, and with each compartment flooded.

Work on plain SI numbers, for searches and sweeps; everything is one value.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kit.crowd_cases import deck_edge, spots_of
from kit.floats import FloatBody, float_table
from kit.flood_cases import middles_of, nearest_edge
from kit.hydro_shapes import Array
from kit.hydrostatics import AFLOAT, Attitude
from kit.loading import Raft, raft_of, with_lumps
from kit.lost_pieces import rest_without
from kit.quantities import Q, Quantity

__all__ = ["Aboard", "Trial", "tried"]


@dataclass(frozen=True, slots=True)
class Aboard:
    """What a set of floats carries: everything but the floats with its place, the deck, and the people; SI numbers."""

    density: float
    load: tuple[float, float, float, float]
    deck: tuple[float, float, float]
    group: float
    every: float
    standing: float = 1.0
    edge_inset: float = 0.2
    corner_inset: float = 0.4


@dataclass(frozen=True, slots=True)
class Trial:
    """How it lies: drafts and deck edges in metres, tilts in degrees; nan where it does not come to rest."""

    mass: float
    draft: float
    edge: float
    stiffness: float
    crowd_tilt: float
    crowd_edge: float
    flooded_tilt: float
    flooded_edge: float


def tried(floats: Sequence[FloatBody], carried: Aboard, *, flood: bool = True) -> Trial:
    """The set under all that it has to bear; without `flood` no compartment is lost."""
    density = Q(carried.density, "kg/m^3")
    whole = raft_of(floats, density)
    own = np.asarray(float_table(floats).wet.m_as("kg"))
    places = [[float(getattr(one, axis).m_as("m")) for axis in "xyz"] for one in floats]
    base: list[Array] = [np.array([value]) for value in carried.load]
    mass = base[0] + own.sum()
    middle = [(base[0] * base[n + 1] + sum(m * place[n] for m, place in zip(own, places, strict=True))) / mass
              for n in range(3)]
    start = [mass, *middle]
    sides = [Q(side, "m") for side in (*carried.deck[:2], carried.edge_inset, carried.corner_inset)]
    spots = spots_of(sides[0], sides[1], sides[2], sides[3], "end")
    head = carried.deck[2] + carried.standing
    shrink = carried.group / carried.every if carried.every else 0.0
    crowds = [(carried.group, x, y, head) for _, x, y in spots]
    crowds += [(carried.every, x * shrink, y * shrink, head) for _, x, y in spots[:4]]
    lies = whole.rest(with_lumps(start, [(0.0, 0.0, 0.0, 0.0), *crowds]), scan=False)
    tilts, edges = _figures(lies, carried)
    lost = (np.nan, np.nan)
    if flood:
        lost = _flooded(whole, floats, start, [crowds[n] for n in range(4)], carried)
    return Trial(
        float(own.sum()), float((lies.depth / lies.up_z)[0, 0] - whole.bodies.reach[0][0]), float(edges[0]),
        float(np.minimum(lies.metacentric_x, lies.metacentric_y)[0, 0]), float(tilts[1:].max()),
        float(edges[1:].min()), *lost)


def _figures(lies: Attitude, carried: Aboard) -> tuple[Array, Array]:
    deck: list[Quantity] = [Q(side, "m") for side in carried.deck]
    held = lies.state[:, 0] == AFLOAT
    return (np.where(held, np.degrees(lies.tilt)[:, 0], np.nan),
            np.where(held, deck_edge(lies, deck[0], deck[1], deck[2])[:, 0], np.nan))


def _flooded(
    whole: Raft, floats: Sequence[FloatBody], start: Sequence[Array], groups: Sequence[tuple[object, ...]],
    carried: Aboard,
) -> tuple[float, float]:
    """Greatest tilt and least deck edge with each compartment lost and the group at the edge next to it."""
    pieces = raft_of(floats, Q(carried.density, "kg/m^3"), split=True)
    near = [nearest_edge(place, carried.deck[0], carried.deck[1]) for place in middles_of(pieces)]
    kept = np.asarray(float_table(floats).kept.m_as(""))[list(pieces.owners)][:, None]
    load = with_lumps(start, [groups[n] for n in near])  # type: ignore[misc]
    lies = rest_without(whole, pieces, kept, [(n,) for n in range(len(near))], load, scan=False)
    tilts, edges = _figures(lies, carried)
    return float(tilts.max()), float(edges.min())
