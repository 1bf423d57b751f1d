"""One compartment flooded, each in turn, with people at that edge."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, open_check
from kit.crowd_cases import deck_edge, spots_of
from kit.floats import FloatBody, check_floats, float_table
from kit.handed import along
from kit.kinds import Asks, Count, In, Out, Rows, Says, Text, YesNo
from kit.loading import Raft, judged, nominal, raft_of, si, with_lumps
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["CellFlooded", "Flooded", "flooded"]

_NO_REST = "it does not come to rest"


@result
class CellFlooded:
    """How the raft lies with one compartment flooded."""

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
    cells: Annotated[tuple[CellFlooded, ...], Rows("compartment by compartment")]
    stays_up: Annotated[Check, Asks("it comes to rest with any one compartment flooded", "archimedes", hazard=True)]
    freeboard: Annotated[Check, Asks("deck edge with one compartment flooded (EN 14504, borrowed)", "en-14504",
                                     hazard=True)]


@calculator("archimedes", "en-14504")
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
    end: Annotated[str, Text("the end that x points to", "ladder end", longest=30)] = "named end",
    standing: Annotated[Quantity, In(
        "m", "height of a person's centre of gravity above the deck", 1.0, ge=0.2, le=1.5)] = Q(1.0, "m"),
    edge_inset: Annotated[Quantity, In("m", "distance of their feet from an edge", 0.2, ge=0, le=2)] = Q(0.2, "m"),
) -> Flooded:
    """How the raft lies with each compartment flooded in turn and people at the edge nearest to it.

    Lost buoyancy: mass and centre of gravity stay, and a flooded compartment
    displaces only its foam, less the water that takes up, and the stuff of its
    walls.  Two compartments at once, and compartments joined by a leak, are left
    out.  Foam counts as entered: fitted and weighed.
    """
    check_floats(floats)
    loose = (mass, x, y, z, deck_length, deck_width, deck_top, person_mass, standing, edge_inset)
    raft = raft_of(floats, density, *loose, Q(sharing), split=True)
    group = si(Q(sharing) * person_mass, "kg")
    head = si(deck_top, "m") + si(standing, "m")
    spots = spots_of(deck_length, deck_width, edge_inset, edge_inset, end)[:4]
    nearest = _nearest(raft, nominal(deck_length, "m"), nominal(deck_width, "m"))
    lumps = [(group, spots[n][1], spots[n][2], head) for n in nearest]
    base = [si(mass, "kg"), si(x, "m"), si(y, "m"), si(z, "m")]
    kept = np.asarray(float_table(floats).kept.m_as(""))[list(raft.owners)]
    lies = raft.rest(with_lumps(base, lumps), _one_lost(kept))
    edges, tilts = deck_edge(lies, deck_length, deck_width, deck_top), np.degrees(lies.tilt)
    least = raft.out(edges.min(axis=0), "m")
    stiff = raft.out(lies.metacentric_least.min(axis=0), "m")
    dry = judged(raft, lies, raft.names, lambda: at_least(least, read_facts("floating_rules")["en-damaged"].q))
    foamed = all(np.all(one.foam.m_as("percent") >= 100) for one in floats)
    return Flooded(
        tilt=raft.out(tilts.max(axis=0), "deg"), deck_edge=least, worst=_worst(raft, edges),
        cells=tuple(CellFlooded(name=name, tilt=raft.out(tilts[n], "deg"), deck_edge=raft.out(edges[n], "m"))
                    for n, name in enumerate(raft.names)),
        stays_up=judged(raft, lies, raft.names, lambda: at_least(stiff, Q(0, "m"))),
        freeboard=dry if leak_tested or foamed or not dry.passes else open_check(
            "holds by the figures, but air floats count only once every float is leak-tested"),
    )


def _one_lost(kept: Any) -> Any:
    """Buoyant shares, compartments by cases by samples, with one compartment flooded in each case."""
    cells = len(kept)
    rows = kept.reshape(cells, 1, -1)
    return np.where(np.eye(cells, dtype=bool)[:, :, None], rows, 1.0)


def _nearest(raft: Raft, length: float, width: float) -> list[int]:
    """The edge nearest to each compartment, of samples by their means: 0 right, 1 left, 2 named end, 3 other end."""
    middle = raft.middle().bodies
    t, b = middle.tubes, middle.boxes
    turned = t.lengthwise[:, None]
    xs = [*np.where(turned, t.along, t.across)[:, 0] / length, *b.x[:, 0] / length]
    ys = [*np.where(turned, t.across, t.along)[:, 0] / width, *b.y[:, 0] / width]
    return [(0 if y >= 0 else 1) if abs(y) >= abs(x) else (2 if x >= 0 else 3) for x, y in zip(xs, ys, strict=True)]


def _worst(raft: Raft, edges: Any) -> str:
    lost = np.flatnonzero(np.isnan(edges).any(axis=1))
    if lost.size:
        return f"{raft.names[int(lost[0])]}: it does not come to rest"
    return raft.names[int(np.argmin(edges.mean(axis=1)))]
