"""Wind on the side of the raft, and snow on its deck."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_least, at_most
from kit.crowd_cases import deck_edge
from kit.floats import FloatBody, check_floats, columns
from kit.handed import along
from kit.kinds import Asks, In, Out, Rows, Text
from kit.loading import judged, raft_of, si, with_lumps
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["WeatherAfloat", "Windage", "weather_afloat"]

_NO_REST = "it does not come to rest"
_GRAVITY = 9.80665


@row
class Windage:
    """One thing that the wind catches from the side."""

    name: Annotated[str, Text("what the wind catches", "locker")]
    area: Annotated[Quantity, In(
        "m^2", "area seen from the side", 0.69, ge=0, le=500, find="length times height above water, from the drawing")]
    drag: Annotated[Quantity, In(
        "1", "drag coefficient", 1.2, ge=0.1, le=3, find="flat plate 1.2, long box 1.3, tube in line with others 0.8")]
    z: Annotated[Quantity, along("z of the middle of that area", 0.36)]


@result
class WeatherAfloat:
    """Wind heel and the deck edge under snow."""

    force: Annotated[Quantity, Out("N", "force of the gust from the side", rounding="up")]
    catch: Annotated[Quantity, Out("m^2", "area times drag coefficient", resolution=0.01)]
    lever: Annotated[Quantity, Out("m", "height of that force above the middle of the draft", absent=_NO_REST)]
    moment: Annotated[Quantity, Out("N*m", "heeling moment", rounding="up", absent=_NO_REST)]
    heel: Annotated[Quantity, Out("deg", "greatest tilt in the gust", rounding="up", absent=_NO_REST)]
    wind_deck: Annotated[Quantity, Out("mm", "deck edge in the gust", rounding="down", absent=_NO_REST)]
    snow_mass: Annotated[Quantity, Out("kg", "snow on the whole deck", rounding="up")]
    snow_deck: Annotated[Quantity, Out("mm", "deck edge under snow", rounding="down", absent=_NO_REST)]
    heels_little: Annotated[Check, Asks("tilt in the gust (EN 14504, borrowed)", "en-14504", hazard=True)]
    carries_snow: Annotated[Check, Asks("deck edge under snow (EN 14504, borrowed)", "en-14504")]


@calculator("archimedes", "wind-pressure", "en-14504")
def weather_afloat(
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
    gust: Annotated[Quantity, In("m/s", "strongest gust, 3 s", 25, ge=0, le=90)],
    windage: Annotated[Sequence[Windage], Rows("what the wind catches", least=1, most=40)],
    snow: Annotated[Quantity, In(
        "kPa", "snow on the deck", 0.5, ge=0, le=10, find="the national snow map; wet snow is 2 to 5 kN/m^3")] = Q(
            0.5, "kPa"),
) -> WeatherAfloat:
    """Heel in a gust from either side, and the deck edge under snow all over.

    Force is 0.5 rho V^2 times the sum of area times drag coefficient; its lever
    runs from the middle of that area down to half the draft, where the water
    holds against it.  Moorings that hold the raft higher, waves, and gusts that
    come in step with its roll are left out.
    """
    check_floats(floats)
    raft = raft_of(floats, density, mass, x, y, z, deck_length, deck_width, deck_top, gust, snow,
                   *(q for one in windage for q in (one.area, one.drag, one.z)))
    base = [si(mass, "kg"), si(x, "m"), si(y, "m"), si(z, "m")]
    area, drag, height = columns(windage, area="m^2", drag="", z="m")
    catch = (area * drag).sum(axis=0)
    # Nothing to catch the wind has no middle: its moment is then nothing whatever it is divided by.
    caught = catch.m_as("m^2")
    middle = (area * drag * height).sum(axis=0) / Q(np.where(caught > 0, caught, 1.0)[()], "m^2")
    force = (0.5 * read_facts("floating_rules")["wind-air"].q * gust**2 * catch).to("N")
    level = raft.level(base).reshaped((raft.samples,))
    hold = raft.out((level.depth + raft.bodies.reach[0]) / 2, "m")
    lever = (middle - hold).to("m")
    moment = (force * lever).to("N*m")
    shift = si(abs(moment), "N*m") / (base[0] * _GRAVITY)
    load = si(snow * deck_length * deck_width, "N") / _GRAVITY
    cases = [(0.0, 0.0, 0.0, 0.0)] * 2 + [(load, 0.0, 0.0, si(deck_top, "m"))]
    loaded = list(with_lumps(base, cases))
    loaded[2] = loaded[2] + np.stack(np.broadcast_arrays(shift, -shift, 0 * shift))
    lies = raft.rest(loaded)
    edges, tilts = deck_edge(lies, deck_length, deck_width, deck_top), np.degrees(lies.tilt)
    heel, wind_deck = raft.out(tilts[:2].max(axis=0), "deg"), raft.out(edges[:2].min(axis=0), "m")
    snow_deck = raft.out(edges[2], "m")
    facts = read_facts("floating_rules")
    return WeatherAfloat(
        force=force, catch=catch, lever=lever, moment=moment, heel=heel, wind_deck=wind_deck,
        snow_mass=raft.out(np.broadcast_to(load, (raft.samples,)), "kg"), snow_deck=snow_deck,
        heels_little=judged(raft, _part(lies, slice(0, 2)), ("gust from the left", "gust from the right"),
                            lambda: at_most(heel, facts["en-heel"].q)),
        carries_snow=judged(raft, _part(lies, slice(2, 3)), ("under snow",),
                            lambda: at_least(snow_deck, facts["en-freeboard"].q)),
    )


def _part(lies: Any, part: slice) -> Any:
    return type(lies)(*(getattr(lies, name)[part] for name in type(lies).__slots__))
