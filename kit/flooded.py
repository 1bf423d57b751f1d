"""One compartment flooded, each in turn, and the pairs that are named, with people at that edge."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_least, does_not_apply, open_check
from kit.crowd_cases import Criterion, deck_edge, spots_of
from kit.floats import FloatBody, check_floats, float_table
from kit.handed import along
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text, YesNo
from kit.loading import Raft, judged, nominal, raft_of, si, with_lumps
from kit.lost_pieces import rest_without
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = [
    "CellFlooded", "Flooded", "FloodedPair", "flooded", "middles_of", "nearest_corner", "nearest_edge",
    "numbered_pairs",
]

_NO_REST = "it does not come to rest"
# Nearer to the middle than this share of the deck a compartment is next to both corners.
_HALF_WAY = 0.1


@row
class FloodedPair:
    """Two compartments that may flood together: one knock, one leak, one pipe between them."""

    name: Annotated[str, Text("pair", "both outer, ladder end")]
    first: Annotated[str, Text("compartment", "port outer, cell 1 of 2")]
    second: Annotated[str, Text("and compartment", "port outer, cell 2 of 2")]


@result
class CellFlooded:
    """How the raft lies with one compartment or one pair flooded."""

    name: Annotated[str, Text("compartment", "port outer, cell 1 of 2")]
    tilt: Annotated[Quantity, Out("deg", "tilt", rounding="up", absent=_NO_REST)]
    deck_edge: Annotated[Quantity, Out("mm", "least deck edge above water", rounding="down", absent=_NO_REST)]


@result
class Flooded:
    """The worst compartment to lose, and every one."""

    tilt: Annotated[Quantity, Out("deg", "greatest tilt, one compartment flooded", rounding="up", absent=_NO_REST)]
    deck_edge: Annotated[Quantity, Out(
        "m", "least deck edge, one compartment flooded", rounding="down", absent=_NO_REST)]
    worst: Annotated[str, Says("the worst compartment to lose")]
    rule: Annotated[str, Says("what helps when a lost compartment is too much")]
    cells: Annotated[tuple[CellFlooded, ...], Rows("compartment by compartment")]
    pairs: Annotated[tuple[CellFlooded, ...], Rows("the pairs named")]
    stays_up: Annotated[Check, Asks("it comes to rest with any one compartment flooded", "archimedes", hazard=True)]
    freeboard: Annotated[Check, Asks("deck edge with one compartment flooded (EN 14504, borrowed)", "en-14504",
                                     hazard=True)]
    pair_stays_up: Annotated[Check, Asks("it comes to rest with any pair named flooded", "archimedes", hazard=True)]


@calculator("archimedes", "en-14504", "kit")
def flooded(
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
    sharing: Annotated[int, Count("people at the edge over the flooded compartment", 3, ge=0, le=200)],
    person_mass: Annotated[Quantity, In("kg", "mass of one person, dressed and wet", 80, ge=20, le=200)],
    leak_tested: Annotated[bool, YesNo(
        "has every float been leak-tested",
        find="0.05 bar of air, soap on every seam, 30 minutes; never above 0.1 bar in plastic")],
    criterion: Annotated[Criterion, Choice("rule the raft is held against")],
    together: Annotated[Sequence[FloodedPair], Rows(
        "pairs of compartments that may flood together", least=0, most=20,
        find="two that a rock or a boat reaches at once, two that share a bulkhead; names as in the table of "
             "compartments")] = (),
    end: Annotated[str, Text("the end that x points to", "ladder end", longest=30)] = "named end",
    standing: Annotated[Quantity, In(
        "m", "height of a person's centre of gravity above the deck", 1.0, ge=0.2, le=1.5)] = Q(1.0, "m"),
    edge_inset: Annotated[Quantity, In("m", "distance of their feet from an edge", 0.2, ge=0, le=2)] = Q(0.2, "m"),
    corner_inset: Annotated[Quantity, In(
        "m", "distance of a group in a corner from both edges", 0.4, ge=0, le=2)] = Q(0.4, "m"),
) -> Flooded:
    """How the raft lies with each compartment flooded in turn and people at the edge nearest to it.

    Lost buoyancy: mass and centre of gravity stay, and a flooded compartment
    displaces only its foam, less the water that takes up, and the stuff of its
    walls.  So do the pairs that are named; more than two at once is left out.
    Tilt and deck edge are with the people at that edge; that it comes to rest is
    asked with them in the corner next to it too.
    Foam counts as entered: fitted and weighed.
    """
    check_floats(floats)
    loose = (
        mass, x, y, z, deck_length, deck_width, deck_top, person_mass, standing, edge_inset, corner_inset)
    whole = raft_of(floats, density, *loose, Q(sharing))
    pieces = raft_of(floats, density, *loose, Q(sharing), split=True)
    pairs, strange = numbered_pairs(together, pieces.names)
    lost = [*((n,) for n in range(len(pieces.names))), *pairs]
    spots = spots_of(deck_length, deck_width, edge_inset, corner_inset, end)
    size = nominal(deck_length, "m"), nominal(deck_width, "m")
    places = [middles_of(pieces)[list(which)].mean(axis=0) for which in lost]
    cells, cases = len(pieces.names), len(lost)
    # First everybody at the edge next to it; then in the corner next to it.
    near = [nearest_edge(place, *size) for place in places]
    more = [(n, spot) for n, place in enumerate(places)
            for spot in _corners_near(place, near[n], size)]
    owner = [*range(cases), *(n for n, _ in more)]
    stand = [*near, *(spot for _, spot in more)]
    group, head = si(Q(sharing) * person_mass, "kg"), si(deck_top, "m") + si(standing, "m")
    load = with_lumps([si(mass, "kg"), si(x, "m"), si(y, "m"), si(z, "m")],
                      [(group, spots[n][1], spots[n][2], head) for n in stand])
    kept = np.asarray(float_table(floats).kept.m_as(""))[list(pieces.owners)]
    every = rest_without(whole, pieces, kept.reshape(len(kept), -1), [lost[n] for n in owner], load)
    lies = _part(every, slice(0, cases))
    edges, tilts = deck_edge(lies, deck_length, deck_width, deck_top), np.degrees(lies.tilt)
    least, one = whole.out(edges[:cells].min(axis=0), "m"), _part(lies, slice(0, cells))
    named = [one_.name for one_ in together if one_.name not in strange]
    dry = judged(whole, one, pieces.names, lambda: at_least(least, read_facts("floating_rules")["en-damaged"].q))
    if not criterion.startswith("EN"):
        dry = does_not_apply("another criterion was chosen", least)
    foamed = all(one_.is_foam or np.all(one_.foam.m_as("percent") >= 100) for one_ in floats)

    def told(names: Sequence[str], start: int) -> tuple[CellFlooded, ...]:
        return tuple(CellFlooded(name=name, tilt=whole.out(tilts[n], "deg"), deck_edge=whole.out(edges[n], "m"))
                     for n, name in enumerate(names, start=start))

    def up(names: Sequence[str], start: int) -> Check:
        which = [place for place, n in enumerate(owner) if start <= n < start + len(names)]
        part = _part(every, which)
        said = [f"{names[owner[place] - start]}, people {spots[stand[place]][0]}" for place in which]
        return judged(whole, part, said, lambda: at_least(
            whole.out(part.metacentric_least.min(axis=0), "m"), Q(0, "m")))

    return Flooded(
        tilt=whole.out(tilts[:cells].max(axis=0), "deg"), deck_edge=least, worst=_worst(pieces, edges[:cells]),
        rule=_rule(_a_side(pieces), floats), cells=told(pieces.names, 0), pairs=told(named, cells),
        stays_up=up(pieces.names, 0),
        freeboard=dry if leak_tested or foamed or not dry.passes else open_check(
            "holds by the figures, but air floats count only once every float is leak-tested"),
        pair_stays_up=_pairs_check(strange, bool(named), lambda: up(named, cells)),
    )


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


def _pairs_check(strange: dict[str, str], any_: bool, compare: Any) -> Check:
    if strange:
        pair, name = next(iter(strange.items()))
        return open_check(f"{pair}: there is no compartment called {name}; names are as in the table of compartments")
    return compare() if any_ else does_not_apply("no pair is named")


def middles_of(raft: Raft) -> Any:
    """Middle of every compartment in plan, (compartments, 2), of samples by their means."""
    middle = raft.middle().bodies
    t, b, u = middle.tubes, middle.boxes, middle.uprights
    turned = t.lengthwise[:, None]
    x = np.concatenate([np.where(turned, t.along, t.across), b.x, u.x])
    y = np.concatenate([np.where(turned, t.across, t.along), b.y, u.y])
    return np.hstack([x, y])


def nearest_edge(place: Any, length: float, width: float) -> int:
    """The edge nearest to a place: 0 right, 1 left, 2 named end, 3 other end."""
    x, y = place[0] / length, place[1] / width
    return (0 if y >= 0 else 1) if abs(y) >= abs(x) else (2 if x >= 0 else 3)


def nearest_corner(place: Any) -> int:
    """The corner nearest to a place: 4 named end right, 5 named end left, 6 other end right, 7 other end left."""
    return 4 + (0 if place[0] >= 0 else 2) + (0 if place[1] >= 0 else 1)


def _corners_near(place: Any, edge: int, size: tuple[float, float]) -> list[int]:
    """The corner of an edge that is next to a place, or both of them where it lies half way."""
    axis = 0 if edge < 2 else 1
    named = place[axis] / size[axis]
    sides = [0, 1] if abs(named) < _HALF_WAY else [0 if named > 0 else 1]
    right_left = edge if edge < 2 else None
    return [4 + (2 * side + right_left if right_left is not None else 2 * (edge - 2) + side) for side in sides]


def _a_side(pieces: Raft) -> int:
    """Compartments on the side that has fewer; one over the middle counts for neither."""
    across = middles_of(pieces)[:, 1]
    return int(min((across > 1e-6).sum(), (across < -1e-6).sum()))


def _rule(a_side: int, floats: Sequence[FloatBody]) -> str:
    """What usually helps, and what there is now."""
    foam = min(100.0 if one.is_foam else nominal(one.foam, "percent") for one in floats)
    return (
        "Three or more compartments a side, or floats at least 30 % foam, as a rule of thumb without a source; there "
        f"are {a_side} on the side that has fewer, and the least foam in a float is {foam:.0f} %.")


def _part(lies: Any, part: Any) -> Any:
    return type(lies)(*(getattr(lies, name)[part] for name in type(lies).__slots__))


def _worst(raft: Raft, edges: Any) -> str:
    lost = np.flatnonzero(np.isnan(edges).any(axis=1))
    if lost.size:
        return f"{raft.names[int(lost[0])]}: it does not come to rest"
    return raft.names[int(np.argmin(edges.mean(axis=1)))]
