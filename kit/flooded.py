"""One compartment flooded, each in turn, and the pairs that are named, with people at that edge."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, does_not_apply, open_check
from kit.crowd_cases import Criterion, deck_edge, spots_of
from kit.floats import FloatBody, check_floats, float_table
from kit.flood_cases import NEAREST, Case, FloodedPair, FloodScene, a_side, further_cases, numbered_pairs
from kit.handed import along
from kit.hydrostatics import Attitude
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text, YesNo
from kit.loading import Raft, judged, nominal, raft_of, si
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["CellFlooded", "Flooded", "flooded"]

_NO_REST = "it does not come to rest"


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
    corner_stays_up: Annotated[Check, Asks(
        "it comes to rest with any one compartment flooded and people in that corner", "archimedes", hazard=True)]
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
    asked with them in the corner next to it too.  Corners and pairs are worked at
    the means of the samples.  Foam counts as entered: fitted and weighed.
    """
    check_floats(floats)
    loose = (mass, x, y, z, deck_length, deck_width, deck_top, person_mass, standing, edge_inset, corner_inset)
    whole = raft_of(floats, density, *loose, Q(sharing))
    pieces = raft_of(floats, density, *loose, Q(sharing), split=True)
    spots = spots_of(deck_length, deck_width, edge_inset, corner_inset, end)
    scene = FloodScene(
        whole, pieces, [si(mass, "kg"), si(x, "m"), si(y, "m"), si(z, "m")], si(Q(sharing) * person_mass, "kg"),
        si(deck_top, "m") + si(standing, "m"), spots,
        np.asarray(float_table(floats).kept.m_as(""))[list(pieces.owners)].reshape(len(pieces.names), -1),
        (si(deck_length, "m"), si(deck_width, "m")))
    pairs, strange = numbered_pairs(together, pieces.names)
    cells: list[Case] = [((n,), NEAREST) for n in range(len(pieces.names))]
    further = further_cases(pieces, pairs, _size(deck_length, deck_width))
    # One walk for all where nothing is sampled; else the corners and the pairs are worked at the means.
    lies = scene.rest([*cells, *further]) if whole.single else scene.rest(cells)
    rest = _part(lies, slice(len(cells), None)) if whole.single else scene.at_means().rest(further)
    one = _part(lies, slice(0, len(cells)))
    edges, tilts = deck_edge(one, deck_length, deck_width, deck_top), np.degrees(one.tilt)
    least = whole.out(edges.min(axis=0), "m")
    dry = judged(whole, one, pieces.names, lambda: at_least(least, read_facts("floating_rules")["en-damaged"].q))
    if not criterion.startswith("EN"):
        dry = does_not_apply("another criterion was chosen", least)
    foamed = all(one_.is_foam or np.all(one_.foam.m_as("percent") >= 100) for one_ in floats)
    middle, named = whole.middle(), [one_.name for one_ in together if one_.name not in strange]
    at_pairs = [n for n, (lost, _) in enumerate(further) if len(lost) == 2]
    at_corners = [n for n, (lost, _) in enumerate(further) if len(lost) == 1]
    return Flooded(
        tilt=whole.out(tilts.max(axis=0), "deg"), deck_edge=least, worst=_worst(pieces, edges),
        rule=_rule(a_side(pieces), floats),
        cells=tuple(CellFlooded(name=name, tilt=whole.out(tilts[n], "deg"), deck_edge=whole.out(edges[n], "m"))
                    for n, name in enumerate(pieces.names)),
        pairs=_of_pairs(named, pairs, further, rest, [_nominal_length(q) for q in (deck_length, deck_width, deck_top)]),
        stays_up=judged(whole, one, pieces.names, lambda: at_least(
            whole.out(one.metacentric_least.min(axis=0), "m"), Q(0, "m"))),
        corner_stays_up=_rests(
            middle, _part(rest, at_corners), [f"{pieces.names[further[n][0][0]]}, people {spots[further[n][1]][0]}"
                                              for n in at_corners]),
        freeboard=dry if leak_tested or foamed or not dry.passes else open_check(
            "holds by the figures, but air floats count only once every float is leak-tested"),
        pair_stays_up=_pairs_check(strange, bool(named), lambda: _rests(
            middle, _part(rest, at_pairs), [f"{named[pairs.index((further[n][0][0], further[n][0][1]))]}, people "
                                            f"{spots[further[n][1]][0]}" for n in at_pairs])),
    )


def _size(length: Quantity, width: Quantity) -> tuple[float, float]:
    return nominal(length, "m"), nominal(width, "m")


def _nominal_length(value: Quantity) -> Quantity:
    return Q(nominal(value, "m"), "m")


def _of_pairs(
    named: Sequence[str], pairs: Sequence[tuple[int, int]], further: Sequence[Case], rest: Attitude,
    deck: Sequence[Quantity],
) -> tuple[CellFlooded, ...]:
    """How it lies with each pair flooded and people at the edge nearest to it, at the means of the samples."""
    edges, tilts = deck_edge(rest, deck[0], deck[1], deck[2]), np.degrees(rest.tilt)
    first = [next(n for n, (lost, _) in enumerate(further) if lost == pair) for pair in pairs]
    return tuple(
        CellFlooded(name=name, tilt=Q(float(tilts[n, 0]), "deg"), deck_edge=Q(float(edges[n, 0]), "m"))
        for name, n in zip(named, first, strict=True))


def _rests(raft: Raft, lies: Attitude, names: Sequence[str]) -> Check:
    """Whether every case comes to rest; nothing is compared, and no doubt is worked."""
    return judged(raft, lies, names, lambda: Check(
        state="meets", reason="worked at the values entered; their give or take is left out"))


def _pairs_check(strange: dict[str, str], any_: bool, compare: Any) -> Check:
    if strange:
        pair, name = next(iter(strange.items()))
        return open_check(f"{pair}: there is no compartment called {name}; names are as in the table of compartments")
    return compare() if any_ else does_not_apply("no pair is named")


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
