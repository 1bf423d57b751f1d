"""What a joist or board bears: the worst moments, shears, reactions and sag over its supports.

A crowd loads the stretches that make it worst, or one person stands where it is
worst; the two do not come together.  Sizes of the wood come in only by its own
mass: what the wood makes of these forces is worked out in `kit.joists`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import InputError, calculator, require, result, row
from kit.continuous import POINTS, Cases, Line, along_spans, line_of, peak, point_loads, uniform_loads, worst
from kit.fasteners import Rules, rule_family
from kit.floats import FloatBody
from kit.grades import creep_factor, load_factors
from kit.kinds import Choice, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.screw_strength import WetOrDry

__all__ = ["Loads", "SpanForces", "Support", "places_of", "span_forces", "what_bends", "worst_of"]

_MOST_SUPPORTS = 6
# Supports that lie within this of one another, in m, are one.
_ONE_SEAT = 1e-3
# Of the dead load only this much is counted on where it holds a support down, by the European rules. From memory.
_COUNTED_ON = 0.9
_GRID = np.linspace(0.0, 1.0, 9)


@row
class Support:
    """A place where the member rests."""

    name: Annotated[str, Text("support", "outer saddle, left")]
    place: Annotated[Quantity, In("mm", "its middle from the first end of the member", 250, ge=0, le=30_000,
                                  resolution=1, find="tape, from the end", basis="measured")]


@result
class SpanForces:
    """The worst a member bears, load factors included where they say so."""

    longest: Annotated[Quantity, Out("mm", "longest span between two supports", resolution=1)]
    overhang: Annotated[Quantity, Out("mm", "longer of the two overhangs", resolution=1)]
    dead_line: Annotated[Quantity, Out("N/m", "deck and own mass on one metre, without factor")]
    live_line: Annotated[Quantity, Out("N/m", "crowd on one metre, without factor")]
    sagging: Annotated[Quantity, Out("N*m", "greatest moment between supports, load factors included", rounding="up")]
    hogging: Annotated[Quantity, Out("N*m", "greatest moment over a support, load factors included", rounding="up")]
    shear: Annotated[Quantity, Out("N", "greatest shear, load factors included", rounding="up")]
    reaction: Annotated[Quantity, Out("N", "greatest load on one support, load factors included", rounding="up")]
    uplift: Annotated[Quantity, Out("N", "greatest pull that lifts it off a support, load factors included",
                                    rounding="up")]
    sag_live: Annotated[Quantity, Out("N*m^3", "sag between supports under crowd or person, times stiffness E I")]
    sag_lasting: Annotated[Quantity, Out("N*m^3", "sag with dead load and what the years add, times E I")]
    tip_live: Annotated[Quantity, Out("N*m^3", "how far the longer overhang goes down under them, times E I")]
    tip_lasting: Annotated[Quantity, Out("N*m^3", "the same with dead load and what the years add, times E I")]
    governed_by: Annotated[str, Says("what bends it most")]


@calculator("EN1995-1-1", "NDS-2018", "kit")
def span_forces(
    *,
    length: Annotated[Quantity, In("mm", "length of the member", 2200, ge=100, le=30_000, everyday=(600, 6000),
                                   resolution=1, find="tape", basis="measured")],
    supports: Annotated[Sequence[Support], Rows("supports of the member, besides the floats",
                                                find="saddles, posts, brackets; none where it lies on floats only")]
    = (),
    floats: Annotated[Sequence[FloatBody], Rows("floats that it lies across")] = (),
    run: Annotated[Literal["along the length", "along the width"],
                   Choice("which way the boards run; joists lie across them")] = "along the length",
    spacing: Annotated[Quantity, In("mm", "width of deck that it carries: joist centre to joist centre", 411, ge=20,
                                    le=5000, everyday=(90, 700), resolution=1)],
    deck_weight: Annotated[Quantity, In("kPa", "weight of the deck on it, wet", 0.18, ge=0, le=20,
                                        everyday=(0.05, 1))],
    own_weight: Annotated[Quantity, In("N/m", "weight of one metre of the member, wet", 35, ge=0, le=2000,
                                       everyday=(5, 200))] = Q(35, "N/m"),
    crowd: Annotated[Quantity, In("kPa", "crowd on the deck", 2.39, ge=0, le=20, everyday=(0.9, 5), chosen=True,
                                  find="landing floats 2.39 kPa (50 lb/ft2); house decks 1.92 kPa", basis="handbook")]
    = Q(2.39, "kPa"),
    person: Annotated[Quantity, In("N", "one heavy foot, or a leg of a ladder, where it is worst", 1500, ge=0,
                                   le=50_000, everyday=(800, 2500), chosen=True)] = Q(1500, "N"),
    rules: Annotated[Rules, rule_family()] = "European",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
    lasting: Annotated[Quantity, In("percent", "share of the crowd that stands there for years", 0, ge=0, le=100,
                                    chosen=True)] = Q(0, "percent"),
) -> SpanForces:
    """Worst moments, shear, support load and sag of a straight member over two to six supports.

    Three moments, M- L + 2 M (L + l) + M+ l = -(w L^3 + w l^3)/4, for each
    stretch loaded alone; the crowd stands on those stretches that make a result
    worse.  A person is tried at the tips and along every span.  Supports do not
    give: on floats the softer ones shed load to the stiffer, which is left out.
    Shear flexibility is left out too: it adds a few percent to the sag.

    >>> crossing = span_forces(length=Q(2200, "mm"), spacing=Q(411.4, "mm"), deck_weight=Q(0.178, "kPa"), supports=[
    ...     Support(name=str(mm), place=Q(mm, "mm")) for mm in (250, 775, 1425, 1950)])
    >>> print(f"{crossing.hogging.m_as('N*m'):.0f} N m, {crossing.governed_by}")
    567 N m, one person, over a support
    """
    places = places_of(supports, floats, run, length)
    given = (length, spacing, deck_weight, own_weight, crowd, person, lasting)
    line = line_of(places, np.atleast_1d(length.m_as("m")))
    dead = Q(deck_weight * spacing + own_weight, "N/m")
    live = Q(crowd * spacing, "N/m")
    loads = Loads(dead.m, live.m, person.m_as("N"), lasting.m_as(""), *load_factors(rules),
                   creep_factor(rules, service))
    found = worst_of(line, loads)
    single = places.shape[1] == 1 and not any(np.ndim(one.magnitude) for one in given)
    made = {name: Q(value[0] if single else value, _UNITS[name]) for name, value in found.items() if name in _UNITS}
    made |= {name: Q(made[name], "mm") for name in ("longest", "overhang")}
    return SpanForces(dead_line=dead, live_line=live, governed_by=what_bends(found), **made)


_UNITS = {"longest": "m", "overhang": "m", "sagging": "N*m", "hogging": "N*m", "shear": "N", "reaction": "N",
          "uplift": "N", "sag_live": "N*m^3", "sag_lasting": "N*m^3", "tip_live": "N*m^3", "tip_lasting": "N*m^3"}


class Loads:
    """Loads in N/m and N, and their factors, plain numbers or one a sample."""

    def __init__(self, dead: Any, live: Any, point: Any, lasting: Any, on_dead: float, on_live: float,
                 creep: float) -> None:
        self.dead, self.live, self.point, self.lasting = (np.atleast_1d(one) for one in (dead, live, point, lasting))
        self.on_dead, self.on_live, self.creep = on_dead, on_live, creep


def places_of(supports: Sequence[Support], floats: Sequence[FloatBody], run: str, length: Quantity) -> Any:
    """Places of the supports in m from the first end, shape (supports, samples)."""
    way, axis = ("lengthwise", "y") if run == "along the length" else ("crosswise", "x")
    whole = np.atleast_1d(length.m_as("m"))
    found = [np.atleast_1d(one.place.m_as("m")) for one in supports]
    found += [whole / 2 + getattr(one, axis).m_as("m") for one in floats if one.direction == way]
    kept: list[Any] = []
    for place in found:
        # Two floats in one line, end to end, are one support.
        if not any(np.nanmax(np.abs(place - one), initial=0.0) < _ONE_SEAT for one in kept):
            kept.append(place)
    if not 2 <= len(kept) <= _MOST_SUPPORTS:
        why = (f"{len(kept)} places to rest on are given; a member needs 2 to {_MOST_SUPPORTS}, such as two saddles at "
               "250 mm and 1950 mm of a joist of 2200 mm")
        raise InputError("", {"supports": why})
    places = np.sort(np.stack(np.broadcast_arrays(*kept, whole)[:-1]), axis=0)
    require((places[0] >= 0).all() and (places[-1] <= whole + 1e-9).all(),
            "a support lies beyond the end of the member; write 250 mm to 1950 mm for one of 2200 mm", "supports")
    return places


def worst_of(line: Line, loads: Loads) -> dict[str, Any]:
    """Every worst result, in SI, by name; and the moments of crowd and person apart."""
    even, point = uniform_loads(line), point_loads(line)
    dead, live, one = loads.on_dead * loads.dead, loads.on_live * loads.live, loads.on_live * loads.point
    sag_crowd, sag_one = _sagging(line, even, point, dead, live, one)
    over_dead = dead * even.moments.sum(axis=1)
    hog_crowd = -(over_dead + live * worst(even.moments, least=True)).min(axis=0)
    hog_one = (one * _most(line, -point.moments) - over_dead).max(axis=0)
    return {
        "longest": line.spans.max(axis=0) + 0 * dead, "overhang": np.maximum(line.first, line.last) + 0 * dead,
        "sagging": np.maximum(sag_crowd, sag_one), "hogging": np.maximum(np.maximum(hog_crowd, hog_one), 0.0),
        **_at_supports(line, even, point, dead, live, one, loads), **_sags(line, even, point, loads),
        "crowd sags": sag_crowd, "one sags": sag_one, "crowd hogs": hog_crowd, "one hogs": hog_one,
    }


def _pattern(line: Line, even: Cases) -> tuple[Any, Any]:
    """For every span the moments at its two ends when the crowd stands where it makes its middle sag most."""
    n = line.spans.shape[0]
    middles = (even.moments[:-1] + even.moments[1:]) / 2
    own = np.zeros_like(middles)
    own[np.arange(n), np.arange(1, n + 1)] = line.spans**2 / 8
    chosen = middles + own > 0
    return (even.moments[:-1] * chosen).sum(axis=1), (even.moments[1:] * chosen).sum(axis=1)


def _sagging(line: Line, even: Cases, point: Cases, dead: Any, live: Any, one: Any) -> tuple[Any, Any]:
    """Greatest moment between supports under dead load with the crowd, and with one person."""
    first, last = _pattern(line, even)
    all_first, all_last = even.moments[:-1].sum(axis=1), even.moments[1:].sum(axis=1)
    start, end, load = dead * all_first + live * first, dead * all_last + live * last, dead + live
    with np.errstate(divide="ignore", invalid="ignore"):
        lean = np.where(load > 0, (end - start) / (load * line.spans**2), 0.0)
    share = np.clip(0.5 + lean, 0.0, 1.0)
    crowd = _moment(line, share, start, end, load).max(axis=0)
    at = POINTS[:, None, None]
    still = _moment(line, at, dead * all_first, dead * all_last, dead)
    first, last = _own_ends(line, point)
    under = still + one * (line.spans * at * (1 - at) + first * (1 - at) + last * at)
    return np.maximum(crowd, 0.0), np.maximum(peak(under).max(axis=0), 0.0)


def _own_ends(line: Line, point: Cases) -> tuple[Any, Any]:
    """The moments at both ends of the span that the person stands in, shape (places, spans, samples)."""
    n = np.arange(line.spans.shape[0])
    every = along_spans(point.moments, n.size)
    return every[:, n, n], every[:, n + 1, n]


def _most(line: Line, answers: Any) -> Any:
    """The most that one point load gives anywhere, never below nothing."""
    n = line.spans.shape[0]
    return np.maximum(peak(along_spans(answers, n)).max(axis=1), np.maximum(answers[:, [0, -1]].max(axis=1), 0.0))


def _moment(line: Line, share: Any, start: Any, end: Any, load: Any) -> Any:
    return start * (1 - share) + end * share + load * line.spans**2 * share * (1 - share) / 2


def _at_supports(line: Line, even: Cases, point: Cases, dead: Any, live: Any, one: Any,
                 loads: Loads) -> dict[str, Any]:
    """Shear beside a support, load on one, and pull off one."""
    # A person beside a support brings all of his weight to that end of the span; elsewhere he may turn the shear round.
    sides = [_most_shear(dead, live, one, even_side, point_side)
             for even_side, point_side in ((even.left, point.left), (even.right, point.right))]
    tips = [dead * over + np.maximum(live * over, one * (over > 0)) for over in (line.first, line.last)]
    rest, most = even.reactions.sum(axis=1), np.maximum(point.reactions[:, [0, -1]].max(axis=1), 1.0)
    counted = (_COUNTED_ON if loads.on_dead > 1 else 1.0) * loads.dead * rest
    up = -np.minimum(counted + live * worst(even.reactions, least=True), counted - one * _most(line, -point.reactions))
    down = dead * rest + np.maximum(live * worst(even.reactions), one * most)
    return {"shear": np.max([*sides, *tips], axis=0), "reaction": down.max(axis=0),
            "uplift": np.maximum(up.max(axis=0), 0.0)}


def _most_shear(dead: Any, live: Any, one: Any, even: Any, point: Any) -> Any:
    """Greatest shear at one end of every span, either way."""
    still = dead * even.sum(axis=1)
    down = still + np.maximum(live * worst(even), one * np.maximum(point.max(axis=1), 1.0))
    up = still + np.minimum(live * worst(even, least=True), one * np.minimum(point.min(axis=1), 0.0))
    return np.maximum(down, -up).max(axis=0)


def _bow(line: Line, share: Any, start: Any, end: Any, load: Any) -> Any:
    """Sag times stiffness at a share of each span, from the moments at its ends and the load on it."""
    x, span = share * line.spans, line.spans
    return (load * x * (span**3 - 2 * span * x**2 + x**3) / 24 + start * x * (span - x) * (2 * span - x) / (6 * span)
            + end * x * (span**2 - x**2) / (6 * span))


def _sags(line: Line, even: Cases, point: Cases, loads: Loads) -> dict[str, Any]:
    """Sag between supports and of the longer overhang, times stiffness, without load factors."""
    grid, at = _GRID[:, None, None], POINTS[:, None, None]
    first, last = _pattern(line, even)
    still = loads.dead * _bow(line, grid, even.moments[:-1].sum(axis=1), even.moments[1:].sum(axis=1), 1.0)
    crowd = loads.live * _bow(line, grid, first, last, 1.0)
    one = loads.point * (_bow(line, at, *_own_ends(line, point), 0.0) + line.spans**3 * (at * (1 - at))**2 / 3)
    one = np.maximum(peak(one), 0.0)
    years = 1 + loads.creep
    lasting = np.maximum(peak(years * still + (1 + loads.creep * loads.lasting) * crowd),
                         peak(years * still) + one)
    tips = loads.dead * even.tips.sum(axis=1)
    people, foot = loads.live * worst(even.tips), loads.point * np.stack([point.tips[0, 0], point.tips[1, -1]])
    grown = years * tips + np.maximum((1 + loads.creep * loads.lasting) * people, foot)
    tip, tip_grown = (np.where(line.last > line.first, ends[1], ends[0]) for ends in (np.maximum(people, foot), grown))
    return {"sag_live": np.maximum(np.maximum(peak(crowd), one).max(axis=0), 0.0),
            "sag_lasting": np.maximum(lasting.max(axis=0), 0.0),
            "tip_live": np.maximum(tip, 0.0), "tip_lasting": np.maximum(tip_grown, 0.0)}


def what_bends(found: dict[str, Any]) -> str:
    """What bends it most, by the mean of the samples."""
    ways = {"a crowd, between supports": "crowd sags", "one person, between supports": "one sags",
            "a crowd, over a support": "crowd hogs", "one person, over a support": "one hogs"}
    means = {said: float(np.nanmean(found[key])) if np.isfinite(found[key]).any() else -np.inf
             for said, key in ways.items()}
    return max(means, key=lambda said: means[said])
