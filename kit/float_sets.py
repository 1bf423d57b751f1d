"""Sets of floats from a list of stock, each tried whole and ranked by cost and mass."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import InputError, calculator, require, result, row
from kit.crowd_cases import Criterion
from kit.float_trial import Aboard, Trial, tried
from kit.floats import FloatBody, check_floats, float_table
from kit.handed import along
from kit.kinds import Choice, Count, In, Out, Rows, Says, Text
from kit.load_cases import limits_of
from kit.loading import nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["FloatSet", "FloatSets", "FloatStock", "float_sets"]

_COUNTS = (2, 3, 4, 5, 6, 8)
_NO_REST = "it does not come to rest"


@row
class FloatStock:
    """A pipe, a drum or a block that can be bought."""

    name: Annotated[str, Text("stock", "PE pipe 500 x 15.3")]
    shape: Annotated[Literal["round tube", "foam block"], Choice("shape")] = "round tube"
    diameter: Annotated[Quantity | None, In(
        "mm", "outside diameter of a pipe", 500, ge=50, le=3000, basis="data sheet")] = None
    width: Annotated[Quantity | None, In("mm", "width of a block", 600, ge=50, le=5000)] = None
    height: Annotated[Quantity | None, In("mm", "height of a block", 400, ge=50, le=3000)] = None
    wall: Annotated[Quantity, In("mm", "wall thickness of a pipe", 15.3, ge=0, le=200)] = Q(0, "mm")
    mass_per_metre: Annotated[Quantity, In(
        "kg/m", "mass by length, without foam", 22.25, ge=0, le=2000, basis="data sheet")]
    sold: Annotated[Quantity, In("m", "length it is sold in", 6, ge=0.2, le=50, basis="data sheet")]
    price: Annotated[Quantity, In("money", "price of one such length", 444, ge=0, le=1e6, resolution=0.01)]
    end_price: Annotated[Quantity, In("money", "price of one end cap or bulkhead, fitted", 50, ge=0, le=1e5)] = Q(
        0, "money")
    end_mass: Annotated[Quantity, In("kg", "mass of one end cap or bulkhead", 2.5, ge=0, le=500)] = Q(0, "kg")


@result
class FloatSet:
    """One set, tried whole."""

    name: Annotated[str, Text("set", "4 x PE pipe 500 x 15.3")]
    cost: Annotated[Quantity, Out("money", "cost", resolution=1, rounding="up")]
    mass: Annotated[Quantity, Out("kg", "mass of the floats", rounding="up")]
    deck_edge: Annotated[Quantity, Out("mm", "deck edge, unloaded", resolution=1, rounding="down", absent=_NO_REST)]
    stiffness: Annotated[Quantity, Out("m", "least GM", resolution=0.01, rounding="down", absent=_NO_REST)]
    crowd_tilt: Annotated[Quantity, Out("deg", "tilt, worst crowd", resolution=0.1, rounding="up", absent=_NO_REST)]
    crowd_deck: Annotated[Quantity, Out(
        "mm", "deck edge, worst crowd", resolution=1, rounding="down", absent=_NO_REST)]
    flooded_deck: Annotated[Quantity, Out(
        "mm", "deck edge, one cell flooded", resolution=1, rounding="down", absent=_NO_REST)]
    gap: Annotated[Quantity, Out("mm", "gap between floats", resolution=1, rounding="down")]
    says: Annotated[str, Says("against it")]


@result
class FloatSets:
    """The sets, those that hold first and the cheapest of them on top."""

    best: Annotated[str, Says("the cheapest that holds")]
    lightest: Annotated[str, Says("the lightest that holds")]
    sets: Annotated[tuple[FloatSet, ...], Rows("sets tried")]


@calculator("archimedes", "en-14504", "cpsc-325")
def float_sets(
    *,
    load: Annotated[Quantity, In("kg", "mass of everything but the floats, wet through", 436, ge=0, le=1e6)],
    load_z: Annotated[Quantity, along("z of the centre of that mass", 0.18)],
    stock: Annotated[Sequence[FloatStock], Rows("stock that can be bought", least=1, most=12)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100)],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100)],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    wanted: Annotated[Quantity, In("m", "deck edge above water that is wanted, unloaded", 0.4, ge=0, le=5)],
    people: Annotated[int, Count("people aboard at once", 4, ge=0, le=200)],
    sharing: Annotated[int, Count("people who may share an edge or a corner", 3, ge=0, le=200)],
    person_mass: Annotated[Quantity, In("kg", "mass of one person, dressed and wet", 80, ge=20, le=200)],
    criterion: Annotated[Criterion, Choice("rule the raft is held against")],
    cells: Annotated[int, Count("compartments in each pipe", 2, ge=1, le=6)] = 2,
    foam: Annotated[Quantity, In("percent", "share of a pipe's inside that is foam", 60, ge=0, le=100)] = Q(
        0, "percent"),
    foam_density: Annotated[Quantity, In("kg/m^3", "density of the foam", 20, ge=5, le=300)] = Q(20, "kg/m^3"),
    foam_price: Annotated[Quantity, In("money", "price of a cubic metre of foam", 105, ge=0, le=1e5)] = Q(0, "money"),
    under: Annotated[Quantity, In(
        "mm", "from the underside of the frame down to the floats' tops", 10, ge=0, le=1000)] = Q(10, "mm"),
) -> FloatSets:
    """Every number of floats of every stock, as long as the deck and spread evenly under it, tried as a whole raft.

    Each is tried unloaded, under every crowd and with each compartment flooded
    under people at that edge, in full equilibrium, and held against the rule
    chosen, the freeboard wanted, and gaps that overlap or hold a head.  The
    load sits over the middle, as ballast leaves it.  Enter the set you choose
    as floats.  Worked at the means of the samples.
    """
    require(np.all(np.asarray(sharing) <= np.asarray(people)),
            "more people share an edge than are aboard; mend one of the two", "sharing", "people")
    size = tuple(nominal(q, "m") for q in (deck_length, deck_width, deck_top))
    person = nominal(person_mass, "kg")
    carried = Aboard(
        nominal(density, "kg/m^3"), (nominal(load, "kg"), 0.0, 0.0, nominal(load_z, "m")),
        (size[0], size[1], size[2]), float(np.mean(sharing)) * person, float(np.mean(people)) * person)
    rules = _Rules(criterion, nominal(wanted, "m"))
    fill = {name: Q(nominal(q, text), text) for name, q, text in (
        ("foam", foam, "percent"), ("foam_density", foam_density, "kg/m^3"))}
    made = []
    for one, floats, gap in _candidates(stock, cells, fill, size, nominal(under, "m")):
        found = tried(floats, carried)
        cost = _cost(one, floats, cells, nominal(foam_price, "money"))
        against = rules.against(found, gap)
        made.append((bool(against), cost, found.mass, FloatSet(
            name=f"{len(floats)} x {one.name}", cost=Q(cost, "money"), mass=Q(found.mass, "kg"),
            deck_edge=Q(found.edge, "m"), stiffness=Q(found.stiffness, "m"), crowd_tilt=Q(found.crowd_tilt, "deg"),
            crowd_deck=Q(found.crowd_edge, "m"), flooded_deck=Q(found.flooded_edge, "m"), gap=Q(gap, "m"),
            says="; ".join(against) or rules.gap_told(gap))))
    made.sort(key=lambda entry: entry[:3])
    good = [entry for entry in made if not entry[0]]
    light = min(good, key=lambda entry: entry[2], default=None)
    return FloatSets(
        best=good[0][3].name if good else "none of these holds",
        lightest=light[3].name if light else "none of these holds",
        sets=tuple(entry[3] for entry in made))


def _candidates(
    stock: Sequence[FloatStock], cells: int, fill: dict[str, Quantity], size: Sequence[float], under: float
) -> Iterator[tuple[FloatStock, list[FloatBody], float]]:
    """Stock, floats and the gap between them, for every number that is tried."""
    count_of_cells = int(np.max(cells))
    for one in stock:
        tube = one.shape == "round tube"
        across, high = (one.diameter, one.diameter) if tube else (one.width, one.height)
        if across is None or high is None:
            why = "a round tube needs a diameter" if tube else "a foam block needs a width and a height"
            raise InputError("", {"stock": f"{one.name}: {why}, such as 500 mm"})
        wide, deep = nominal(across, "m"), nominal(high, "m")
        sizes: dict[str, Any] = {"diameter": Q(wide, "m")} if tube else {"width": Q(wide, "m"), "height": Q(deep, "m")}
        if tube:
            sizes |= {**fill, "wall": Q(nominal(one.wall, "m"), "m"), "cells": count_of_cells,
                      "ends": Q((count_of_cells + 1) * nominal(one.end_mass, "kg"), "kg")}
        else:
            sizes["foam_density"] = fill["foam_density"]
        outer = max(size[1] / 2 - wide / 2, 0.0)
        for count in _COUNTS:
            places = np.linspace(-outer, outer, count)
            floats = [FloatBody(
                name=f"{n + 1}", shape=one.shape, length=Q(size[0], "m"), y=Q(float(y), "m"),
                z=Q(-under - deep / 2, "m"), mass_per_metre=Q(nominal(one.mass_per_metre, "kg/m"), "kg/m"), **sizes)
                for n, y in enumerate(places)]
            check_floats(floats)
            yield one, floats, 2 * outer / (count - 1) - wide


def _cost(one: FloatStock, floats: Sequence[FloatBody], cells: int, foam_price: float) -> float:
    """Whole lengths of the stock, ends and bulkheads, and the foam inside."""
    sold, length = nominal(one.sold, "m"), float(floats[0].length.m_as("m"))
    from_one = np.floor(sold / length + 1e-9)
    lengths = np.ceil(len(floats) / from_one) if from_one >= 1 else np.ceil(len(floats) * length / sold - 1e-9)
    cost = float(lengths) * nominal(one.price, "money")
    if one.shape == "foam block":
        return cost
    ends = len(floats) * (int(np.max(cells)) + 1) * nominal(one.end_price, "money")
    return cost + ends + float(float_table(floats).foam.m_as("m^3").sum()) * foam_price


class _Rules:
    """What stands against a set."""

    def __init__(self, criterion: str, wanted: float) -> None:
        tilt, edge, _ = limits_of(criterion)
        facts, borrowed = read_facts("floating_rules"), criterion.startswith("EN")
        self.tilt = np.inf if tilt is None else tilt.m_as("deg")
        self.edge, self.wanted = edge.m_as("m"), wanted
        self.damaged = facts["en-damaged"].q.m_as("m") if borrowed else 0.0
        self.stiff = facts["en-metacentre"].q.m_as("m") if borrowed else 0.0
        openings = read_facts("openings")
        self.low, self.high = (openings[f"head-{end}"].q.m_as("m") for end in ("low", "high"))

    def against(self, found: Trial, gap: float) -> list[str]:
        """Every reason against it."""
        said = {
            "they overlap under this deck": gap >= 0,
            "too low unloaded": found.edge >= self.wanted,
            "too tender": found.stiffness >= self.stiff,
            "tilts too far under people": found.crowd_tilt <= self.tilt,
            "too low under people": found.crowd_edge >= self.edge,
            "too low with a compartment flooded": found.flooded_edge >= self.damaged,
        }
        return [why for why, kept in said.items() if not kept]

    def gap_told(self, gap: float) -> str:
        """A gap that holds a head can be closed: it is told and counts for nothing."""
        return "nothing, but close the gaps: they hold a head" if self.low < gap < self.high else "nothing"
