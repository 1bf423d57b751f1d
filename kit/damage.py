"""Every compartment and named pair flooded under every crowd, and what design would bear it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.crowd_cases import Place, deck_edge, spots_of
from kit.floats import FloatBody, check_floats, float_table
from kit.flood_cases import FloodedPair, middles_of, nearest_corner, nearest_edge, numbered_pairs
from kit.handed import along
from kit.hydro_shapes import Array
from kit.hydrostatics import AFLOAT, SINKS, TURNS_OVER, Attitude
from kit.kinds import Count, In, Out, Rows, Says, Text
from kit.loading import Raft, at_means, nominal, raft_of, with_lumps
from kit.lost_pieces import rest_without
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["Damage", "DamageCase", "DesignTried", "damage"]

_NO_REST = "it does not come to rest"
_FOAM = (0, 20, 30, 40, 50, 60, 70, 80, 90, 100)
_CELLS = (1, 2, 3, 4, 6)


@result
class DamageCase:
    """One compartment or pair flooded: nobody aboard, and under the crowd that does most harm."""

    name: Annotated[str, Text("flooded", "port outer, cell 1 of 2")]
    empty_tilt: Annotated[Quantity, Out("deg", "tilt, nobody aboard", resolution=0.1, rounding="up", absent=_NO_REST)]
    empty_deck: Annotated[Quantity, Out(
        "mm", "deck edge, nobody aboard", resolution=1, rounding="down", absent=_NO_REST)]
    tilt: Annotated[Quantity, Out("deg", "tilt, worst crowd", resolution=0.1, rounding="up", absent=_NO_REST)]
    deck_edge: Annotated[Quantity, Out("mm", "deck edge, worst crowd", resolution=1, rounding="down", absent=_NO_REST)]
    where: Annotated[str, Says("worst crowd")]
    carries: Annotated[Quantity, Out("1", "people at the edge next to it before a deck edge is wet, up to 8")]


@result
class DesignTried:
    """The same floats with other foam or other compartments, one flooded: people at its edge, and the worst crowd."""

    name: Annotated[str, Text("tried", "60 % foam")]
    tilt: Annotated[Quantity, Out("deg", "tilt, people at its edge", resolution=0.1, rounding="up", absent=_NO_REST)]
    deck_edge: Annotated[Quantity, Out(
        "mm", "deck edge, people at its edge", resolution=1, rounding="down", absent=_NO_REST)]
    crowd_deck: Annotated[Quantity, Out(
        "mm", "deck edge, in its corner", resolution=1, rounding="down", absent=_NO_REST)]
    says: Annotated[str, Says("how it stands")]


@result
class Damage:
    """The damage cases, and the designs that would bear the worst of them."""

    worked: Annotated[Quantity, Out("1", "load and damage cases worked out")]
    worst: Annotated[str, Says("worst of all")]
    lost: Annotated[str, Says("cases in which it does not come to rest")]
    foam_needed: Annotated[str, Says("least foam in every float that leaves 100 mm at edge and corner")]
    cells_needed: Annotated[str, Says("least compartments that leave 100 mm at edge and corner")]
    cases: Annotated[tuple[DamageCase, ...], Rows("flooded in turn")]
    designs: Annotated[tuple[DesignTried, ...], Rows("other foam, other compartments")]


@calculator("archimedes", "en-14504")
def damage(
    *,
    mass: Annotated[Quantity, In("kg", "whole mass, wet through", 760, ge=1, le=1e6)],
    x: Annotated[Quantity, along("x of the centre of gravity")],
    y: Annotated[Quantity, along("y of the centre of gravity")],
    z: Annotated[Quantity, along("z of the centre of gravity", -0.02)],
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100, basis="measured")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100, basis="measured")],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    people: Annotated[int, Count("people aboard at once", 4, ge=0, le=200)],
    sharing: Annotated[int, Count("people who may share an edge or a corner", 3, ge=0, le=200)],
    person_mass: Annotated[Quantity, In("kg", "mass of one person, dressed and wet", 80, ge=20, le=200)],
    together: Annotated[Sequence[FloodedPair], Rows("pairs that may flood together", least=0, most=20)] = (),
    end: Annotated[str, Text("the end that x points to", "ladder end", longest=30)] = "named end",
    standing: Annotated[Quantity, In(
        "m", "height of a person's centre of gravity above the deck", 1.0, ge=0.2, le=1.5)] = Q(1.0, "m"),
    edge_inset: Annotated[Quantity, In("m", "distance of their feet from an edge", 0.2, ge=0, le=2)] = Q(0.2, "m"),
    corner_inset: Annotated[Quantity, In(
        "m", "distance of a group in a corner from both edges", 0.4, ge=0, le=2)] = Q(0.4, "m"),
) -> Damage:
    """Each compartment, and each pair named, flooded under every crowd; then the least foam and compartments that do.

    Lost buoyancy in full equilibrium at any angle, nobody aboard, the group at
    every edge and corner, and all aboard.  Designs are tried with the group at
    the edge next to the flooded compartment, foam and bulkheads weighed in.
    Everything is worked at the means of the samples.
    """
    check_floats(floats)
    fixed = at_means(floats)
    here = _Here(
        fixed, Q(nominal(density, "kg/m^3"), "kg/m^3"),
        [nominal(q, text) for q, text in zip((mass, x, y, z), ("kg", "m", "m", "m"), strict=True)],
        [Q(nominal(q, "m"), "m") for q in (deck_length, deck_width, deck_top)],
        nominal(deck_top, "m") + nominal(standing, "m"))
    sides = [Q(nominal(q, "m"), "m") for q in (deck_length, deck_width, edge_inset, corner_inset)]
    spots = spots_of(sides[0], sides[1], sides[2], sides[3], end)
    person = nominal(person_mass, "kg")
    group, every = float(np.mean(sharing)) * person, float(np.mean(people)) * person
    crowds = _crowds(spots, group, every, here.head)
    rows, states = here.damaged(together, crowds, spots, person)
    designs, foam, cells = here.designs(spots, group)
    worst = min(rows, key=lambda row: (np.isfinite(row.deck_edge.magnitude), row.deck_edge.magnitude))
    return Damage(
        worked=Q(states.size), worst=f"{worst.name} flooded, {worst.where}", lost=_counted(states),
        foam_needed=foam, cells_needed=cells, cases=tuple(rows), designs=tuple(designs))


def _counted(states: Array) -> str:
    """How many cases of each ending there are; turned over and not solved are never one."""
    over, sunk = (int((states == code).sum()) for code in (TURNS_OVER, SINKS))
    open_ = int(states.size - over - sunk - (states == AFLOAT).sum())
    said = [f"{count} {words}" for count, words in (
        (over, "turn over"), (sunk, "sink"), (open_, "could not be solved")) if count]
    return ", ".join(said) or "none"


def _crowds(spots: Sequence[Place], group: float, every: float, head: float) -> list[tuple[str, tuple[Any, ...]]]:
    shrink = group / every if every else 0.0
    made: list[tuple[str, tuple[Any, ...]]] = [("nobody aboard", (0.0, 0.0, 0.0, 0.0))]
    made += [(f"people, {name}", (group, x, y, head)) for name, x, y in spots]
    made += [(f"all aboard, {name}", (every, x * shrink, y * shrink, head)) for name, x, y in spots[:4]]
    return [*made, ("all aboard in the middle", (every, 0.0, 0.0, head))]


class _Here:
    """The raft at nominal values, with what rests on it."""

    def __init__(
        self, floats: Sequence[FloatBody], density: Quantity, base: Sequence[float], deck: Sequence[Quantity],
        head: float,
    ) -> None:
        self.floats, self.density, self.deck, self.head = list(floats), density, deck, head
        self.base = [np.array([value]) for value in base]
        self.size = float(deck[0].m_as("m")), float(deck[1].m_as("m"))
        self.whole = raft_of(self.floats, density)
        self.pieces = raft_of(self.floats, density, split=True)

    def _rest(self, pieces: Raft, kept: Array, lost: Any, load: Any, *, scan: Any) -> tuple[Attitude, Array, Array]:
        lies = rest_without(self.whole, pieces, kept, lost, load, scan=scan)
        return lies, np.degrees(lies.tilt)[:, 0], deck_edge(lies, self.deck[0], self.deck[1], self.deck[2])[:, 0]

    def damaged(
        self, together: Sequence[FloodedPair], crowds: Any, spots: Sequence[Place], person: float
    ) -> tuple[list[DamageCase], Array]:
        """A row for each compartment and pair, and the state of every case."""
        pairs, strange = numbered_pairs(together, self.pieces.names)
        lost = [*((n,) for n in range(len(self.pieces.names))), *pairs]
        names = [*self.pieces.names, *(pair.name for pair in together if pair.name not in strange)]
        near = self._near(lost)
        few = [(k * person, spots[n][1], spots[n][2], self.head) for n in near for k in range(1, 9)]
        lumps = [lump for _ in lost for _, lump in crowds]
        which = [one for one in lost for _ in crowds] + [one for one in lost for _ in range(8)]
        kept = _kept(self.floats)[list(self.pieces.owners)][:, None]
        # Whether a smaller group's case that does not come to rest turns over or sinks is not told: it is not scanned.
        asked = np.arange(len(which)) < len(lumps)
        lies, tilts, edges = self._rest(
            self.pieces, kept, which, with_lumps(self.base, [*lumps, *few]), scan=asked)
        each, states = len(crowds), lies.state[:len(lumps), 0]
        rows = []
        for n, name in enumerate(names):
            part = slice(n * each, (n + 1) * each)
            tilt, edge = tilts[part], edges[part]
            worst = int(np.argmin(np.where(np.isnan(edge), -np.inf, edge)))
            people = len(lumps) + 8 * n
            dry = edges[people:people + 8] >= 0
            rows.append(DamageCase(
                name=name, empty_tilt=Q(float(tilt[0]), "deg"), empty_deck=Q(float(edge[0]), "m"),
                tilt=Q(float(tilt[worst]), "deg"), deck_edge=Q(float(edge[worst]), "m"),
                where=crowds[worst][0] + _state(float(states[part][worst])),
                carries=Q(int(np.cumprod(dry).sum()) if edge[0] >= 0 else 0)))
        return rows, states

    def _near(self, lost: Any) -> list[int]:
        middles = middles_of(self.pieces)
        return [nearest_edge(middles[list(one)].mean(axis=0), *self.size) for one in lost]

    def designs(self, spots: Sequence[Place], group: float) -> tuple[list[DesignTried], str, str]:
        """Other foam, then other compartments; and the least of each that leaves the freeboard of the rule."""
        tried = [(f"{share} % foam", [replace(one, foam=Q(share, "percent")) for one in self.floats])
                 for share in _FOAM]
        for count in _CELLS:
            many = f"{count} compartment{'s' if count > 1 else ''} in each float"
            tried.append((many, [replace(one, cells=count) for one in self.floats]))
        limit = read_facts("floating_rules")["en-damaged"].q.m_as("m")
        rows, found = [], []
        for name, floats in tried:
            tilt, edge, corner, state = self._design(floats, spots, group)
            found.append(bool(edge >= limit and corner >= limit))
            says = "holds" if found[-1] else "holds with people at its edge only" if edge >= limit else (
                _state(state).strip(" :") or "too low")
            rows.append(DesignTried(
                name=name, tilt=Q(tilt, "deg"), deck_edge=Q(edge, "m"), crowd_deck=Q(corner, "m"), says=says))
        split = len(_FOAM)
        foam = next((name for (name, _), good in zip(tried[:split], found, strict=False) if good), "no foam is enough")
        cells = next((name for (name, _), good in zip(tried[split:], found[split:], strict=True) if good),
                     "none of those tried is enough")
        return rows, foam, cells

    def _design(self, floats: Sequence[FloatBody], spots: Sequence[Place], group: float) -> tuple[float, ...]:
        """Greatest tilt and least deck edge with people at the edge next to it, least with them in the corner,
        and the state of the first case that does not come to rest.
        """
        pieces = raft_of(floats, self.density, split=True)
        middles = middles_of(pieces)
        cells = len(middles)
        near = [nearest_edge(place, *self.size) for place in middles] + [nearest_corner(place) for place in middles]
        more = (float_table(floats).dry - float_table(self.floats).dry).m_as("kg")
        base = self.base
        for m, one in zip(more, floats, strict=True):
            x, y, z = (float(getattr(one, axis).m_as("m")) for axis in "xyz")
            base = [part[0] for part in with_lumps(base, [(float(m), x, y, z)])]
        load = with_lumps(base, [(group, spots[n][1], spots[n][2], self.head) for n in near])
        kept = _kept(floats)[list(pieces.owners)][:, None]
        lies, tilts, edges = self._rest(pieces, kept, [(n,) for n in range(cells)] * 2, load, scan=False)
        lost = np.flatnonzero(lies.state[:, 0] != AFLOAT)
        state = float(AFLOAT)
        if lost.size:
            # The first that does not come to rest says why for all.
            first = int(lost[0])
            alone, _, _ = self._rest(
                pieces, kept, [(first % cells,)], [part[first:first + 1] for part in load], scan=True)
            state = float(alone.state[0, 0])
        return float(tilts[:cells].max()), float(edges[:cells].min()), float(edges[cells:].min()), state


def _kept(floats: Sequence[FloatBody]) -> Array:
    return np.asarray(float_table(floats).kept.m_as(""))


def _state(state: float) -> str:
    """What stands behind a case that does not come to rest."""
    words = {float(AFLOAT): "", float(SINKS): ": it sinks", float(TURNS_OVER): ": it turns over"}
    return words.get(state, ": no rest was found")
