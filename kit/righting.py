"""The righting lever of a raft from upright to its side, and what happens on the way."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result, row
from kit.floats import FloatBody, check_floats, columns
from kit.handed import along
from kit.hydro_energy import Load
from kit.kinds import Choice, In, Out, Rows, Says, Text
from kit.loading import Raft, nominal, raft_of, si
from kit.quantities import Q, Quantity
from kit.righting_events import Heeled, first_fall

__all__ = ["DownfloodingOpening", "HeelEvent", "RightingCurve", "righting"]

_DEGREES = np.arange(0.0, 91.0, 1.0)
_ANGLES = np.radians(_DEGREES)
# A wall-sided lever is worked no further: its tangent runs away.
_WALLS_TO = 70.0
_WAYS = {"right side": (0.0, 1.0), "left side": (0.0, -1.0), "named end": (1.0, 0.0), "other end": (-1.0, 0.0)}
_UNDER, _CLEAR = "deck edge goes under", "comes out of the water"
# The area rule of 46 CFR 171.052 stops here at the latest.
_RULE_TO = 40.0


@row
class DownfloodingOpening:
    """A place where water would get into a float or a hull: a vent, a hatch, an open top."""

    name: Annotated[str, Text("opening", "vent of the left float")]
    x: Annotated[Quantity, along("x of its lowest point")]
    y: Annotated[Quantity, along("y of its lowest point", -0.9)]
    z: Annotated[Quantity, along("z of its lowest point", 0.2)]


@result
class HeelEvent:
    """Something that happens as the raft is heeled."""

    name: Annotated[str, Text("what happens", "deck edge goes under")]
    angle: Annotated[Quantity, Out("deg", "heel", resolution=0.1, rounding="down", absent="not up to 90 degrees")]
    lever: Annotated[Quantity, Out("m", "righting lever then", absent="not up to 90 degrees")]


@result
class RightingCurve:
    """Righting lever against heel, trim held."""

    angle: Annotated[Quantity, Out("deg", "heel")]
    lever: Annotated[Quantity, Out("m", "righting lever (GZ)", over="angle", absent="it sinks")]
    walls: Annotated[Quantity, Out(
        "m", "lever by the wall-sided formula", over="angle", absent="past 70 degrees, or it sinks")]
    deck: Annotated[Quantity, Out("m", "low deck edge above water", over="angle", absent="it sinks")]
    stiffness: Annotated[Quantity, Out(
        "m", "metacentric height (GM) that way, level", rounding="down", absent="it sinks")]
    greatest: Annotated[Quantity, Out("m", "greatest lever up to 90 degrees", rounding="down", absent="it sinks")]
    at: Annotated[Quantity, Out("deg", "heel of the greatest lever, to one degree", absent="it sinks")]
    vanishes: Annotated[Quantity, Out(
        "deg", "heel at which the lever is gone", rounding="down", absent="beyond 90 degrees, or never there")]
    usable: Annotated[Quantity, Out(
        "deg", "heel at which the first edge or opening goes under, or the lever is gone", rounding="down",
        absent="beyond 90 degrees, or it sinks")]
    ends_with: Annotated[str, Says("what ends the usable range")]
    area: Annotated[Quantity, Out(
        "m*deg", "area under the lever up to there", rounding="down", absent="it sinks")]
    rule_angle: Annotated[Quantity, Out(
        "deg", "least of 40 degrees, first opening under water and greatest lever", absent="it sinks")]
    rule_area: Annotated[Quantity, Out(
        "m*deg", "area up to that angle (46 CFR 171.052)", rounding="down", absent="it sinks")]
    first: Annotated[Quantity, Out(
        "deg", "first edge of a float under or out: past it the wall-sided formula does not hold", rounding="down",
        absent="not up to 90 degrees")]
    events: Annotated[tuple[HeelEvent, ...], Rows("what happens on the way, in the order of the floats")]


@calculator("archimedes", "derrett", "cfr-46-171")
def righting(
    *,
    mass: Annotated[Quantity, In("kg", "whole mass", 703.6, ge=1, le=1e6)],
    x: Annotated[Quantity, along("x of the centre of gravity")] = Q(0, "m"),
    y: Annotated[Quantity, along("y of the centre of gravity")],
    z: Annotated[Quantity, along("z of the centre of gravity", -0.02)],
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100, basis="measured")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100, basis="measured")],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    towards: Annotated[
        Literal["right side", "left side", "named end", "other end"], Choice("side that goes down")] = "right side",
    openings: Annotated[Sequence[DownfloodingOpening], Rows(
        "openings through which it would flood", least=0, most=20,
        find="vents, hatches and open tops; a sealed float has none")] = (),
) -> RightingCurve:
    """Righting lever at each heel from upright to 90 degrees, sinkage solved, no trim, and what happens on the way.

    The lever is the level distance from the centre of gravity to the vertical
    through the centre of the displaced water; the area under it is the height
    that gravity gains over buoyancy.  The wall-sided formula
    GZ = (GM + BM tan^2 / 2) sin stands beside it as a cross-check: it holds
    until the first edge of a float is under or out, and for round tubes only at
    small angles.  Deck and frame displace nothing, and
    nothing on deck slides: people do, at about 15 degrees.
    """
    check_floats(floats)
    places = columns(openings, x="m", y="m", z="m") if openings else ()
    raft = raft_of(floats, density, mass, x, y, z, deck_length, deck_width, deck_top,
                   *(q for one in openings for q in (one.x, one.y, one.z)))
    heeled = _heeled(raft, (mass, x, y, z), towards)
    points = _points((deck_length, deck_width, deck_top), places, heeled.way)
    grid = np.broadcast_to(_ANGLES[:, None], (_ANGLES.size, raft.samples))
    held, up = heeled.at(grid)
    curve, work = heeled.lever(held, grid), heeled.work(held, up, grid.shape)
    clear = np.ascontiguousarray(heeled.clearances(points, grid))
    angles = first_fall(lambda angle: _each(heeled, points, angle), _ANGLES, clear)
    gone = first_fall(lambda angle: heeled.lever(heeled.at(angle)[0], angle), _ANGLES, curve[None], from_start=False)
    names = _event_names(raft, openings)
    levers = heeled.lever(heeled.at(np.nan_to_num(angles))[0], np.nan_to_num(angles))
    best = np.argmax(np.where(np.isnan(curve), -np.inf, curve), axis=0)
    sinks = np.isnan(curve[0])
    # A lying tube has no edges; of the others they are told too.
    wet, edged = len(points), len(raft.bodies) > len(raft.bodies.tubes.z)
    shown = len(names) if edged else wet + 2 * len(raft.names)
    ends = np.concatenate([angles[:wet], gone])
    limits = {
        "usable": _least(ends), "rule_angle": _least(
            np.concatenate([angles[1:wet], _ANGLES[best][None], np.full((1, raft.samples), np.radians(_RULE_TO))]))}
    areas = {name: _area(heeled, np.where(np.isnan(at), np.pi / 2, at), work[0]) for name, at in limits.items()}
    out, walls = raft.out, _walls(raft, heeled)
    return RightingCurve(
        angle=Q(_DEGREES, "deg"), lever=_of_one(raft, curve), walls=_of_one(raft, walls[0]),
        deck=_of_one(raft, clear[0]),
        stiffness=out(walls[1], "m"), greatest=out(np.take_along_axis(curve, best[None], axis=0)[0], "m"),
        at=out(np.where(sinks, np.nan, _DEGREES[best]), "deg"), vanishes=out(np.degrees(gone[0]), "deg"),
        usable=out(np.degrees(limits["usable"]), "deg"),
        ends_with=_ends_with(ends, [*names[:wet], "the lever is gone"]),
        area=out(np.degrees(areas["usable"]), "m*deg"),
        rule_angle=out(np.where(sinks, np.nan, np.degrees(limits["rule_angle"])), "deg"),
        rule_area=out(np.degrees(areas["rule_angle"]), "m*deg"), first=out(np.degrees(_least(angles[wet:])), "deg"),
        events=tuple(
            HeelEvent(name=name, angle=out(np.degrees(angle), "deg"),
                      lever=out(np.where(np.isnan(angle), np.nan, lever), "m"))
            for name, angle, lever in zip(names[:shown], angles[:shown], levers[:shown], strict=True)),
    )


def _heeled(raft: Raft, load: Sequence[Quantity], towards: str) -> Heeled:
    mass, *place = (np.ascontiguousarray(np.broadcast_to(si(q, text), (raft.samples,)))
                    for q, text in zip(load, ("kg", "m", "m", "m"), strict=True))
    whole = np.ones((len(raft.bodies), raft.samples))
    return Heeled(raft.bodies, raft.density, Load(mass, place[0], place[1], place[2], whole), _WAYS[towards])


def _points(
    deck: Sequence[Quantity], places: Sequence[Quantity], way: tuple[float, float]
) -> list[tuple[Any, Any, Any]]:
    """The low deck edge, then every opening."""
    length, width, top = (si(side, "m") for side in deck)
    edge = [(way[0] * length / 2, way[1] * width / 2, top)]
    if not places:
        return edge
    rows = [np.asarray(place.m_as("m")) for place in places]
    return edge + [(rows[0][n], rows[1][n], rows[2][n]) for n in range(len(rows[0]))]


def _each(heeled: Heeled, points: Sequence[tuple[Any, Any, Any]], angle: Any) -> Any:
    """Every clearance at its own event's angle."""
    return np.stack([row_[n] for n, row_ in enumerate(heeled.clearances(points, angle))])


def _event_names(raft: Raft, openings: Sequence[DownfloodingOpening]) -> list[str]:
    return [
        _UNDER, *(f"{one.name} goes under" for one in openings),
        *(f"{name} {_CLEAR}" for name in raft.names), *(f"{name} is wholly under" for name in raft.names),
        *(f"{name}: first edge of its underside comes out" for name in raft.names),
        *(f"{name}: first edge of its top goes under" for name in raft.names)]


def _of_one(raft: Raft, values: Any) -> Quantity:
    """A curve, or one a sample."""
    return Q(values[..., 0] if raft.single else values, "m")


def _least(angles: Any) -> Any:
    """The least of the angles that there are."""
    least = np.where(np.isnan(angles), np.inf, angles).min(axis=0)
    return np.where(np.isfinite(least), least, np.nan)


def _area(heeled: Heeled, angle: Any, upright: Any) -> Any:
    """Area under the levers up to an angle, a sample: what gravity's height over buoyancy has grown by."""
    held, up = heeled.at(angle)
    return heeled.work(held, up, angle.shape) - upright


def _walls(raft: Raft, heeled: Heeled) -> tuple[Any, Any]:
    """The wall-sided lever at all angles, and the metacentric height it begins with."""
    load = heeled.load
    level = raft.level([load.mass, load.x, load.y, load.z]).reshaped((raft.samples,))
    stiff = level.metacentric_x if heeled.way[0] else level.metacentric_y
    radius = stiff + level.height_g
    off = heeled.way[0] * (level.buoyancy_x - load.x) + heeled.way[1] * (level.buoyancy_y - load.y)
    angle = np.where(_DEGREES <= _WALLS_TO, _ANGLES, np.nan)[:, None]
    return np.cos(angle) * off + (stiff + radius * np.tan(angle) ** 2 / 2) * np.sin(angle), stiff


def _ends_with(ends: Any, names: Sequence[str]) -> str:
    """What comes first, of samples by their means."""
    means = [nominal(Q(end, "rad"), "rad") for end in ends]
    if not np.isfinite(means).any():
        return "nothing up to 90 degrees"
    return names[int(np.nanargmin(means))]
