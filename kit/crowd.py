"""People at an edge, in a corner, all aboard: how far the raft tilts, and how many each spot carries."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least
from kit.crowd_cases import Criterion, Scene, criterion_checks, crowd_cases, people_carried, spots_of
from kit.floats import FloatBody, check_floats
from kit.handed import along
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.loading import raft_of, si, with_lumps
from kit.quantities import Q, Quantity

__all__ = ["Crowd", "Spot", "crowd"]

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
        "m", "metacentric height (GM) level with all aboard", rounding="down", absent="it sinks")]
    worst: Annotated[str, Says("where people do most harm")]
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


@calculator("archimedes", "is-code", "en-14504", "ufc-4-152-01", "mca-workboat")
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
) -> Crowd:
    """Tilt and freeboard with people at the worst places, in the wet state, by full equilibrium at any angle.

    The people are one mass at their feet's place, `standing` above the deck;
    they do not lean or slide.  All aboard is the group at an edge and the rest
    in the middle.  The number a spot carries is found at the nominal values; how
    the raft would stand against a criterion not chosen is shown beside it.
    Worked out, not certified: waves, wakes and people who jump are left out.
    """
    check_floats(floats)
    require(np.all(np.asarray(sharing) <= np.asarray(people)),
            "more people share an edge than are aboard; mend one of the two", "sharing", "people")
    loose = (mass, x, y, z, deck_length, deck_width, deck_top, person_mass, standing, edge_inset, corner_inset)
    raft = raft_of(floats, density, *loose, Q(people), Q(sharing))
    spots = spots_of(deck_length, deck_width, edge_inset, corner_inset, end)
    scene = Scene(
        raft, (si(mass, "kg"), si(x, "m"), si(y, "m"), si(z, "m")), spots, si(deck_top, "m") + si(standing, "m"),
        (deck_length, deck_width, deck_top))
    group, rest = si(Q(sharing) * person_mass, "kg"), si(Q(people - sharing) * person_mass, "kg")
    cases = crowd_cases(scene, group, rest, np.atleast_1d(np.asarray(people, dtype=float)), criterion)
    lies = cases.lies
    crowded = cases.of("edge", "corner", "aboard")
    level = raft.level(with_lumps(scene.base, [(group + rest, 0.0, 0.0, scene.head)]))
    stiff = raft.out(np.minimum(level.metacentric_x, level.metacentric_y)[0], "m")
    carried = people_carried(scene, person_mass)
    weakest = raft.out(lies.metacentric_least[crowded].min(axis=0), "m")
    figures: dict[str, Any] = {
        f"{kind}_{what}": cases.figure(what, kind) for kind in ("edge", "corner", "aboard") for what in ("tilt", "deck")
    }
    least = cases.figure("deck", "edge", "corner", "aboard")
    checks: dict[str, Any] = criterion_checks(cases, criterion, stiff)
    return Crowd(
        tilt=cases.figure("tilt", "edge", "corner", "aboard"), stiffness=stiff, worst=cases.worst(crowded),
        spots=tuple(
            Spot(name=name, x=raft.out(px, "m"), y=raft.out(py, "m"), tilt=raft.out(cases.tilts[n], "deg"),
                 deck_edge=raft.out(cases.edges[n], "m"), carries=Q(carried[n]))
            for n, (name, px, py) in enumerate(spots)),
        stays_up=cases.judge(lambda: at_least(weakest, Q(0, "m")), crowded),
        stays_dry=cases.judge(lambda: at_least(least, Q(0, "m"), share=False), crowded),
        **figures, **checks,
    )
