"""Wind on the sides of a raft and on its open lids, and snow on its deck."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.crowd_cases import Criterion, deck_edge
from kit.floats import FloatBody, check_floats, columns
from kit.handed import along
from kit.hydrostatics import Attitude
from kit.kinds import Asks, Choice, In, Out, Rows, Text
from kit.loading import Raft, judged, raft_of, si, with_lumps
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["WeatherAfloat", "Windage", "weather_afloat"]

_NO_REST = "it does not come to rest"
_GRAVITY = 9.80665
# Drag coefficient of an open lid, a flat plate across the wind.
_PLATE = 1.2


@row
class Windage:
    """One thing that the wind catches."""

    name: Annotated[str, Text("what the wind catches", "locker")]
    area: Annotated[Quantity, In(
        "m^2", "area seen from the side", 0.69, ge=0, le=500, find="length times height above water, from the drawing")]
    drag: Annotated[Quantity, In(
        "1", "drag coefficient", 1.2, ge=0.1, le=3, find="flat plate 1.2, long box 1.3, tube in line with others 0.8")]
    z: Annotated[Quantity, along("z of the middle of that area", 0.36)]
    end_area: Annotated[Quantity | None, In("m^2", "area seen from the end", 0.5, ge=0, le=500)] = None


@result
class WeatherAfloat:
    """Wind heel, shut and with the lids open, and the deck edge under snow."""

    force: Annotated[Quantity, Out("N", "force of the gust from the side", rounding="up")]
    catch: Annotated[Quantity, Out("m^2", "area times drag coefficient", resolution=0.01)]
    lever: Annotated[Quantity, Out("m", "height of that force above the middle of the draft", absent=_NO_REST)]
    moment: Annotated[Quantity, Out("N*m", "heeling moment", rounding="up", absent=_NO_REST)]
    heel: Annotated[Quantity, Out("deg", "greatest tilt in the gust", rounding="up", absent=_NO_REST)]
    wind_deck: Annotated[Quantity, Out("mm", "deck edge in the gust", rounding="down", absent=_NO_REST)]
    lid_heel: Annotated[Quantity, Out(
        "deg", "greatest tilt, lids open in the wind", rounding="up", absent="no lid stands open")]
    lid_deck: Annotated[Quantity, Out(
        "mm", "deck edge, lids open in the wind", rounding="down", absent="no lid stands open")]
    snow_mass: Annotated[Quantity, Out("kg", "snow on the whole deck", rounding="up")]
    snow_deck: Annotated[Quantity, Out("mm", "deck edge under snow", rounding="down", absent=_NO_REST)]
    heels_little: Annotated[Check, Asks("tilt in the gust (EN 14504, borrowed)", "en-14504", hazard=True)]
    lids_heel_little: Annotated[Check, Asks("tilt, lids open in the wind (EN 14504, borrowed)", "en-14504")]
    carries_snow: Annotated[Check, Asks("deck edge under snow (EN 14504, borrowed)", "en-14504")]
    stays_dry: Annotated[Check, Asks("no deck edge goes under in wind or snow", "archimedes", hazard=True)]


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
    criterion: Annotated[Criterion, Choice("rule the raft is held against")],
    snow: Annotated[Quantity, In(
        "kPa", "snow on the deck", 0.5, ge=0, le=10, find="the national snow map; wet snow is 2 to 5 kN/m^3")] = Q(
            0.5, "kPa"),
    lid_wind: Annotated[Quantity, In("m/s", "wind above which the lids are shut", 8, ge=0, le=40)] = Q(8, "m/s"),
    lid_area: Annotated[Quantity | None, In(
        "m^2", "all lids that may stand open, seen from the side", 0.7, ge=0, le=100)] = None,
    lid_z: Annotated[Quantity, along("z of the middle of the open lids", 0.9)] = Q(0.9, "m"),
) -> WeatherAfloat:
    """Heel in a gust from any side, with the lids open in a lesser wind, and the deck edge under snow.

    Force is 0.5 rho V^2 times the sum of area times drag coefficient; its lever
    runs from the middle of that area down to half the draft, where the water
    holds against it.  Wind from an end counts where areas seen from the end are
    entered; an open lid is a flat plate of 1.2.  Moorings that hold the raft
    higher, waves, and gusts that come in step with its roll are left out.
    """
    check_floats(floats)
    ends = [one.end_area for one in windage if one.end_area is not None]
    raft = raft_of(floats, density, mass, x, y, z, deck_length, deck_width, deck_top, gust, snow, lid_wind, lid_z,
                   *([] if lid_area is None else [lid_area]), *ends,
                   *(q for one in windage for q in (one.area, one.drag, one.z)))
    base = [si(mass, "kg"), si(x, "m"), si(y, "m"), si(z, "m")]
    area, drag, height, end_area = columns(windage, area="m^2", drag="", z="m", end_area="m^2")
    hold = raft.out(raft.draft(base) / 2 + raft.bodies.reach[0], "m")
    catch = (area * drag).sum(axis=0)
    # Nothing to catch the wind has no middle: its moment is then nothing whatever it is divided by.
    caught = catch.m_as("m^2")
    middle = (area * drag * height).sum(axis=0) / Q(np.where(caught > 0, caught, 1.0)[()], "m^2")
    pressures = [0.5 * read_facts("floating_rules")["wind-air"].q * wind**2 for wind in (gust, lid_wind)]
    force, lever = (pressures[0] * catch).to("N"), (middle - hold).to("m")
    moment = (force * lever).to("N*m")
    pulls = [("gust", ("from the left", "from the right"), moment)]
    end_catch = (end_area * drag).sum(axis=0), (end_area * drag * height).sum(axis=0)
    from_end = end_catch[1] - end_catch[0] * hold
    if ends:
        pulls += [("gust", ("from the other end", "from the named end"), pressures[0] * from_end)]
    if lid_area is not None:
        lids = _PLATE * lid_area * (lid_z - hold)
        pulls += [("lids", ("from the left", "from the right"), pressures[1] * (catch * lever + lids))]
        if ends:
            pulls += [("lids", ("from the other end", "from the named end"), pressures[1] * (from_end + lids))]
    load = si(snow * deck_length * deck_width, "N") / _GRAVITY
    kinds, names, lies = _worked(raft, base, pulls, load, deck_top)
    tilts, edges = np.degrees(lies.tilt), deck_edge(lies, deck_length, deck_width, deck_top)
    told: dict[str, Quantity] = {"lids_tilt": Q(np.nan, "deg"), "lids_deck": Q(np.nan, "m")}
    for kind in dict.fromkeys(kinds):
        which = np.flatnonzero([one == kind for one in kinds])
        told[f"{kind}_tilt"] = raft.out(tilts[which].max(axis=0), "deg")
        told[f"{kind}_deck"] = raft.out(edges[which].min(axis=0), "m")

    def held(wanted: Sequence[str], compare: Callable[[], Check]) -> Check:
        which = np.flatnonzero([kind in wanted for kind in kinds])
        part = Attitude(*(getattr(lies, name)[which] for name in Attitude.__slots__))
        return judged(raft, part, [names[n] for n in which], compare)

    facts, chosen = read_facts("floating_rules"), criterion.startswith("EN")

    def yardstick(kind: str, what: str) -> Check:
        value = told[f"{kind}_{what}"]
        if not chosen:
            return does_not_apply("another criterion was chosen", value)
        limit = facts["en-heel" if what == "tilt" else "en-freeboard"].q
        return held([kind], lambda: (at_most if what == "tilt" else at_least)(value, limit))

    least = raft.out(edges.min(axis=0), "m")
    return WeatherAfloat(
        force=force, catch=catch, lever=lever, moment=moment, heel=told["gust_tilt"], wind_deck=told["gust_deck"],
        lid_heel=told["lids_tilt"], lid_deck=told["lids_deck"],
        snow_mass=raft.out(np.broadcast_to(load, (raft.samples,)), "kg"), snow_deck=told["snow_deck"],
        heels_little=yardstick("gust", "tilt"), carries_snow=yardstick("snow", "deck"),
        lids_heel_little=does_not_apply("no lid stands open") if lid_area is None else yardstick("lids", "tilt"),
        stays_dry=held(kinds, lambda: at_least(least, Q(0, "m"), share=False)),
    )


def _worked(
    raft: Raft, base: Sequence[Any], pulls: Sequence[tuple[str, tuple[str, str], Quantity]], snow: Any, top: Quantity
) -> tuple[list[str], list[str], Attitude]:
    """Kind and name of every case and how the raft lies in it: each moment to both sides, then snow."""
    count = 2 * len(pulls) + 1
    loaded = list(with_lumps(base, [(0.0, 0.0, 0.0, 0.0)] * (count - 1) + [(snow, 0.0, 0.0, si(top, "m"))]))
    for n, (_, sides, moment) in enumerate(pulls):
        sign = np.zeros((count, 1))
        sign[2 * n], sign[2 * n + 1] = 1.0, -1.0
        # A moment is the weight moved to its side.
        axis = 2 if sides[0] == "from the left" else 1
        loaded[axis] = loaded[axis] + sign * si(abs(moment), "N*m") / (base[0] * _GRAVITY)
    words = {"gust": "gust", "lids": "lids open, wind"}
    kinds = [kind for kind, _, _ in pulls for _ in (0, 1)] + ["snow"]
    names = [f"{words[kind]} {side}" for kind, sides, _ in pulls for side in sides] + ["under snow"]
    return kinds, names, raft.rest(loaded)
