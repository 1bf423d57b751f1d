"""People at an edge, in a corner, all aboard: how far the raft tilts, and how many each spot carries."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least
from kit.crowd_cases import Criterion, Scene, criterion_checks, crowd_cases, pontoon_checks, spots_of
from kit.floats import FloatBody, check_floats
from kit.handed import along
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.loading import raft_of, si
from kit.pontoon_test import beyond_the_test
from kit.quantities import Q, Quantity
from kit.sources import read_facts, read_table

__all__ = ["Crowd", "Spot", "crowd", "rule_scope"]

_NO_REST = "it does not come to rest"


@result
class Spot:
    """One place where people gather."""

    name: Annotated[str, Text("spot", "right side")]
    x: Annotated[Quantity, Out("m", "where they stand, towards the named end")]
    y: Annotated[Quantity, Out("m", "where they stand, to the right")]
    tilt: Annotated[Quantity, Out("deg", "tilt with all who may share it", rounding="up", absent=_NO_REST)]
    deck_edge: Annotated[Quantity, Out("mm", "least deck edge above water then", rounding="down", absent=_NO_REST)]
    carries: Annotated[Quantity, Out("1", "people here before the deck edge is wet, up to 12", rounding="down")]


@result
class Crowd:
    """How the raft lies under its people, and how that stands against the criterion chosen."""

    tilt: Annotated[Quantity, Out("deg", "greatest tilt of all cases", rounding="up", absent=_NO_REST)]
    edge_tilt: Annotated[Quantity, Out("deg", "greatest tilt, people at an edge", rounding="up", absent=_NO_REST)]
    edge_deck: Annotated[Quantity, Out("mm", "deck edge, people at an edge", rounding="down", absent=_NO_REST)]
    corner_tilt: Annotated[Quantity, Out("deg", "greatest tilt, people in a corner", rounding="up", absent=_NO_REST)]
    corner_deck: Annotated[Quantity, Out("mm", "deck edge, people in a corner", rounding="down", absent=_NO_REST)]
    aboard_tilt: Annotated[Quantity, Out("deg", "greatest tilt, all aboard", rounding="up", absent=_NO_REST)]
    aboard_deck: Annotated[Quantity, Out("mm", "deck edge, all aboard", rounding="down", absent=_NO_REST)]
    stiffness: Annotated[Quantity, Out(
        "m", "metacentric height (GM), all aboard in the middle", rounding="down", absent=_NO_REST)]
    ladder_tilt: Annotated[Quantity, Out(
        "deg", "tilt, one heavy person on the ladder", rounding="up", absent="no ladder is entered")]
    ladder_deck: Annotated[Quantity, Out(
        "mm", "deck edge, one heavy person on the ladder", rounding="down", absent="no ladder is entered")]
    worst: Annotated[str, Says("where people do most harm")]
    scope: Annotated[str, Says("what the rule chosen is made for")]
    spots: Annotated[tuple[Spot, ...], Rows("spots, with the people each carries")]
    stays_up: Annotated[Check, Asks("it comes to rest wherever its people stand", "archimedes", hazard=True)]
    stays_dry: Annotated[Check, Asks("no deck edge goes under", "archimedes", hazard=True)]
    edge_heel: Annotated[Check, Asks("tilt, people at an edge (EN 14504, borrowed yardstick)", "en-14504")]
    edge_freeboard: Annotated[Check, Asks("deck edge, people at an edge (EN 14504, borrowed)", "en-14504")]
    corner_heel: Annotated[Check, Asks("tilt, people in a corner (EN 14504, borrowed)", "en-14504")]
    corner_freeboard: Annotated[Check, Asks("deck edge, people in a corner (EN 14504, borrowed)", "en-14504")]
    aboard_heel: Annotated[Check, Asks("tilt, all aboard (EN 14504, borrowed)", "en-14504")]
    aboard_freeboard: Annotated[Check, Asks("deck edge, all aboard (EN 14504, borrowed)", "en-14504")]
    metacentre: Annotated[Check, Asks("metacentric height, all aboard (EN 14504, borrowed)", "en-14504")]
    landing_load: Annotated[Check, Asks("tilt under 226.8 kg anywhere (landing floats)", "ufc-4-152-01")]
    landing_uniform: Annotated[Check, Asks("carries 2.39 kPa all over (landing floats)", "ufc-4-152-01")]
    workboat_heel: Annotated[Check, Asks("tilt, all persons to one side (small workboats)", "mca-workboat")]
    workboat_freeboard: Annotated[Check, Asks("freeboard, all persons to one side (small workboats)", "mca-workboat")]
    pontoon_side: Annotated[Check, Asks("hull left exposed, test weight to a side (pontoon test)", "cfr-46-178")]
    pontoon_end: Annotated[Check, Asks("float tops dry, test weight at an end (pontoon test)", "cfr-46-178")]
    ladder_heel: Annotated[Check, Asks("tilt, one heavy person on the ladder (EN 14504, borrowed)", "en-14504")]
    ladder_freeboard: Annotated[Check, Asks(
        "deck edge, one heavy person on the ladder (EN 14504, borrowed)", "en-14504")]


@calculator("archimedes", "is-code", "en-14504", "ufc-4-152-01", "mca-workboat", "cfr-46-178")
def crowd(
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
    criterion: Annotated[Criterion, Choice(
        "rule the raft is held against", find="none is made for a swimming raft: ask who insures it")],
    end: Annotated[str, Text("the end that x points to", "ladder end", longest=30)] = "named end",
    standing: Annotated[Quantity, In(
        "m", "height of a person's centre of gravity above the deck", 1.0, ge=0.2, le=1.5)] = Q(1.0, "m"),
    edge_inset: Annotated[Quantity, In(
        "m", "distance of their feet from an edge", 0.2, ge=0, le=2)] = Q(0.2, "m"),
    corner_inset: Annotated[Quantity, In(
        "m", "distance of a group in a corner from both edges", 0.4, ge=0, le=2)] = Q(0.4, "m"),
    ladder_x: Annotated[Quantity | None, along("x of a person on the swim ladder", 1.7)] = None,
    ladder_y: Annotated[Quantity, along("y of a person on the swim ladder", 0.6)] = Q(0, "m"),
    ladder_z: Annotated[Quantity, along("height of that person's centre, climbing out", 0.5)] = Q(0.5, "m"),
    heavy_person: Annotated[Quantity, In(
        "kg", "mass of one heavy person on the ladder, wet", 120, ge=20, le=300)] = Q(120, "kg"),
) -> Crowd:
    """Tilt and freeboard with people at the worst places, in the wet state, by full equilibrium at any angle.

    The people are one mass at their feet's place, `standing` above the deck;
    they do not lean or slide.  All aboard is the group at an edge and the rest
    in the middle; one heavy person hangs on the ladder outside the deck, where
    there is one.  The number a spot carries is found at the nominal values; how
    the raft would stand against a criterion not chosen is shown beside it.
    Worked out, not certified: waves, wakes and people who jump are left out.
    """
    check_floats(floats)
    require(np.all(np.asarray(sharing) <= np.asarray(people)),
            "more people share an edge than are aboard; mend one of the two", "sharing", "people")
    loose = (mass, x, y, z, deck_length, deck_width, deck_top, person_mass, standing, edge_inset, corner_inset,
             ladder_y, ladder_z, heavy_person, *(() if ladder_x is None else (ladder_x,)))
    raft = raft_of(floats, density, *loose, Q(people), Q(sharing))
    spots = spots_of(deck_length, deck_width, edge_inset, corner_inset, end)
    scene = Scene(
        raft, (si(mass, "kg"), si(x, "m"), si(y, "m"), si(z, "m")), spots, si(deck_top, "m") + si(standing, "m"),
        (deck_length, deck_width, deck_top),
        None if ladder_x is None else (
            si(heavy_person, "kg"), (si(ladder_x, "m"), si(ladder_y, "m"), si(ladder_z, "m"))),
        _rail(deck_width) if criterion.startswith("pontoon") else None)
    group, rest = si(Q(sharing) * person_mass, "kg"), si(Q(people - sharing) * person_mass, "kg")
    aboard = np.atleast_1d(np.asarray(people, dtype=float))
    cases, carried = crowd_cases(scene, group, rest, aboard, person_mass, criterion)
    lies = cases.lies
    crowded = cases.of("edge", "corner", "aboard", "ladder")
    middle = cases.of("middle")
    stiff = raft.out(np.minimum(lies.metacentric_x, lies.metacentric_y)[middle[0]], "m")
    weakest = raft.out(lies.metacentric_least[crowded].min(axis=0), "m")
    figures: dict[str, Any] = {
        f"{kind}_{what}": cases.figure(what, kind) for kind in ("edge", "corner", "aboard") for what in ("tilt", "deck")
    }
    for what, unit in (("tilt", "deg"), ("deck", "m")):
        figures[f"ladder_{what}"] = Q(np.nan, unit) if ladder_x is None else cases.figure(what, "ladder")
    least = cases.figure("deck", "edge", "corner", "aboard", "ladder")
    checks: dict[str, Any] = criterion_checks(cases, criterion, stiff) | pontoon_checks(
        cases, criterion, beyond_the_test(floats, deck_top, people))
    return Crowd(
        tilt=cases.figure("tilt", "edge", "corner", "aboard"), stiffness=stiff, worst=cases.worst(crowded),
        scope=rule_scope(criterion),
        spots=tuple(
            Spot(name=name, x=raft.out(px, "m"), y=raft.out(py, "m"), tilt=raft.out(cases.tilts[n], "deg"),
                 deck_edge=raft.out(cases.edges[n], "m"), carries=Q(carried[n]))
            for n, (name, px, py) in enumerate(spots)),
        stays_up=cases.judge(lambda: at_least(weakest, Q(0, "m")), crowded),
        stays_dry=cases.judge(lambda: at_least(least, Q(0, "m"), share=False), crowded),
        **figures, **checks,
    )


def _rail(deck_width: Quantity) -> Any:
    """Lever of the test moment W (B - K)/2."""
    return np.maximum(si(deck_width, "m") - read_facts("floating_rules")["pontoon-rail"].value, 0) / 2


@lru_cache(maxsize=16)
def rule_scope(criterion: str) -> str:
    """What a rule is made for, and that it is made for no raft like this."""
    return next(line["scope"] for line in read_table("float_rules") if line["rule"] == criterion)
