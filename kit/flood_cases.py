"""Compartments lost with people next to them: which edge, which corner, which pair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, TypeAlias

import numpy as np

from kit.calculator import row
from kit.crowd_cases import Place
from kit.hydro_shapes import Array
from kit.hydrostatics import Attitude
from kit.kinds import Text
from kit.loading import Raft, nominal, with_lumps
from kit.lost_pieces import rest_without
from kit.quantities import Q

__all__ = [
    "NEAREST",
    "Case",
    "FloodScene",
    "FloodedPair",
    "a_side",
    "further_cases",
    "middles_of",
    "nearest_corner",
    "nearest_edge",
    "numbered_pairs",
]

# Compartments lost, and the number of the spot where people stand: NEAREST is the edge next to it, whichever that is.
Case: TypeAlias = tuple[tuple[int, ...], int]
NEAREST = -1
# Nearer to the middle than this share of the deck a compartment is next to both corners.
_HALF_WAY = 0.1


@row
class FloodedPair:
    """Two compartments that may flood together: one knock, one leak, one pipe between them."""

    name: Annotated[str, Text("pair", "both outer, ladder end")]
    first: Annotated[str, Text("compartment", "port outer, cell 1 of 2")]
    second: Annotated[str, Text("and compartment", "port outer, cell 2 of 2")]


@dataclass(frozen=True, slots=True)
class FloodScene:
    """A raft and its compartments with what rests on them, the spots where people stand, and the size of the deck."""

    whole: Raft
    pieces: Raft
    base: Sequence[Array]
    group: Array
    head: Array
    spots: Sequence[Place]
    kept: Array
    size: tuple[Array, Array]

    def rest(self, cases: Sequence[Case]) -> Attitude:
        """How it lies with each set of compartments lost and the group at its spot."""
        along, across = _places(self.pieces)
        lumps = [
            (self.group, *place, self.head) for lost, spot in cases
            for place in [self._next_to(along[lost[0]], across[lost[0]]) if spot == NEAREST else self.spots[spot][1:]]]
        return rest_without(
            self.whole, self.pieces, self.kept, [lost for lost, _ in cases], with_lumps(self.base, lumps))

    def _next_to(self, x: Array, y: Array) -> tuple[Array, Array]:
        """The edge next to a compartment, in each sample its own."""
        (_, _, right), (_, _, left), (_, near, _), (_, far, _) = self.spots[:4]
        sideways = np.abs(y / self.size[1]) >= np.abs(x / self.size[0])
        return (np.where(sideways, 0.0, np.where(x >= 0, near, far)),
                np.where(sideways, np.where(y >= 0, right, left), 0.0))

    def at_means(self) -> FloodScene:
        """The same at the means of the samples."""
        return FloodScene(
            self.whole.middle(), self.pieces.middle(), [_mean(part) for part in self.base], _mean(self.group),
            _mean(self.head), [(name, _mean(x), _mean(y)) for name, x, y in self.spots],
            np.array([_mean(row_)[:1] for row_ in self.kept]), (_mean(self.size[0]), _mean(self.size[1])))


def _mean(values: Array) -> Array:
    return np.array([nominal(Q(values, "m"), "m")])


def further_cases(pieces: Raft, pairs: Sequence[tuple[int, int]], size: tuple[float, float]) -> list[Case]:
    """Every compartment with people in the corner next to it; every pair with them at its edge, then its corners."""
    places = middles_of(pieces)
    made: list[Case] = [((n,), spot) for n, place in enumerate(places)
                        for spot in _corners_near(place, nearest_edge(place, *size), size)]
    for pair in pairs:
        place = places[list(pair)].mean(axis=0)
        edge = nearest_edge(place, *size)
        made += [(pair, edge), *((pair, spot) for spot in _corners_near(place, edge, size))]
    return made


def numbered_pairs(
    together: Sequence[FloodedPair], names: Sequence[str]
) -> tuple[list[tuple[int, int]], dict[str, str]]:
    """The pairs by number of their compartments, and what is wrong with those that cannot be found."""
    found, strange = [], {}
    for pair in together:
        missing = [name for name in (pair.first, pair.second) if name not in names]
        if missing or pair.first == pair.second:
            strange[pair.name] = missing[0] if missing else f"twice {pair.first}"
        else:
            found.append((names.index(pair.first), names.index(pair.second)))
    return found, strange


def middles_of(raft: Raft) -> Array:
    """Middle of every compartment in plan, (compartments, 2), of samples by their means."""
    return np.hstack(_places(raft.middle()))


def _places(raft: Raft) -> tuple[Array, Array]:
    """Places x and y of the middle of every compartment, (compartments, samples or one)."""
    t, b, u = raft.bodies.tubes, raft.bodies.boxes, raft.bodies.uprights
    turned = t.lengthwise[:, None]
    rows = ([np.where(turned, t.along, t.across), b.x, u.x], [np.where(turned, t.across, t.along), b.y, u.y])
    wide = max(part.shape[1] for each in rows for part in each if len(part))
    x, y = (np.concatenate([np.broadcast_to(part, (len(part), wide)) for part in each]) for each in rows)
    return x, y


def nearest_edge(place: Array, length: float, width: float) -> int:
    """The edge nearest to a place: 0 right, 1 left, 2 named end, 3 other end."""
    x, y = place[0] / length, place[1] / width
    return (0 if y >= 0 else 1) if abs(y) >= abs(x) else (2 if x >= 0 else 3)


def nearest_corner(place: Array) -> int:
    """The corner nearest to a place: 4 named end right, 5 named end left, 6 other end right, 7 other end left."""
    return 4 + (0 if place[0] >= 0 else 2) + (0 if place[1] >= 0 else 1)


def _corners_near(place: Array, edge: int, size: tuple[float, float]) -> list[int]:
    """The corner of an edge that is next to a place, or both of them where it lies half way."""
    axis = 0 if edge < 2 else 1
    named = place[axis] / size[axis]
    sides = [0, 1] if abs(named) < _HALF_WAY else [0 if named > 0 else 1]
    right_left = edge if edge < 2 else None
    return [4 + (2 * side + right_left if right_left is not None else 2 * (edge - 2) + side) for side in sides]


def a_side(pieces: Raft) -> int:
    """Compartments on the side that has fewer; one over the middle counts for neither."""
    across = middles_of(pieces)[:, 1]
    return int(min((across > 1e-6).sum(), (across < -1e-6).sum()))
