"""Every load case of a raft in one table: each corner, list, trim, stiffness, and the rule it is judged by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.crowd_cases import Criterion, spots_of
from kit.floats import FloatBody, check_floats, columns
from kit.handed import along
from kit.hydro_shapes import Array
from kit.hydrostatics import Attitude
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.loading import Raft, corners, crowns, judged, nominal, raft_of, si, with_lumps
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.weather_afloat import Windage

__all__ = ["LoadCase", "LoadCases", "limits_of", "load_cases"]

_NO_REST = "it does not come to rest"
_NONE = "none there"
_GRAVITY = 9.80665
_PLATE = 1.2
_CORNERS = ("end_right", "end_left", "other_right", "other_left")
_SIDES = ((1, 1), (1, -1), (-1, 1), (-1, -1))


@result
class LoadCase:
    """How the raft lies in one load case; its corners are named from the named end."""

    name: Annotated[str, Text("load case", "3 people, right side")]
    end_right: Annotated[Quantity, Out("mm", "deck, end right", resolution=1, rounding="down", absent=_NO_REST)]
    end_left: Annotated[Quantity, Out("mm", "deck, end left", resolution=1, rounding="down", absent=_NO_REST)]
    other_right: Annotated[Quantity, Out("mm", "deck, other right", resolution=1, rounding="down", absent=_NO_REST)]
    other_left: Annotated[Quantity, Out("mm", "deck, other left", resolution=1, rounding="down", absent=_NO_REST)]
    top_end_right: Annotated[Quantity, Out("mm", "float top, end right", resolution=1, rounding="down", absent=_NONE)]
    top_end_left: Annotated[Quantity, Out("mm", "float top, end left", resolution=1, rounding="down", absent=_NONE)]
    top_other_right: Annotated[Quantity, Out(
        "mm", "float top, other right", resolution=1, rounding="down", absent=_NONE)]
    top_other_left: Annotated[Quantity, Out(
        "mm", "float top, other left", resolution=1, rounding="down", absent=_NONE)]
    trim: Annotated[Quantity, Out("deg", "trim, named end down", resolution=0.1, absent=_NO_REST)]
    list: Annotated[Quantity, Out("deg", "heel, right down", resolution=0.1, absent=_NO_REST)]
    stiffness_x: Annotated[Quantity, Out("m", "GM lengthwise", resolution=0.01, rounding="down", absent=_NO_REST)]
    stiffness_y: Annotated[Quantity, Out("m", "GM across", resolution=0.01, rounding="down", absent=_NO_REST)]
    tilts_little: Annotated[Check, Asks("tilt", "archimedes")]
    stays_dry: Annotated[Check, Asks("deck edge", "archimedes")]


@result
class LoadCases:
    """Every load case, and which is the worst."""

    judged_by: Annotated[str, Says("judged by")]
    worst: Annotated[str, Says("lowest deck edge of all cases")]
    least: Annotated[Quantity, Out("mm", "that deck edge", resolution=1, rounding="down", absent=_NO_REST)]
    cases: Annotated[tuple[LoadCase, ...], Rows("load cases")]


@calculator("archimedes", "is-code", "wind-pressure", "en-14504")
def load_cases(
    *,
    mass: Annotated[Quantity, In("kg", "whole mass at fitting", 703.6, ge=1, le=1e6)],
    x: Annotated[Quantity, along("x of the centre of gravity")],
    y: Annotated[Quantity, along("y of the centre of gravity")],
    z: Annotated[Quantity, along("z of the centre of gravity", -0.02)],
    wet_mass: Annotated[Quantity, In("kg", "whole mass, wet through with growth", 760, ge=1, le=1e6)],
    wet_x: Annotated[Quantity, along("x of the centre of gravity, wet")],
    wet_y: Annotated[Quantity, along("y of the centre of gravity, wet")],
    wet_z: Annotated[Quantity, along("z of the centre of gravity, wet", -0.02)],
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100, basis="measured")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100, basis="measured")],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    people: Annotated[int, Count("people aboard at once", 4, ge=0, le=200)],
    sharing: Annotated[int, Count("people who may share an edge or a corner", 3, ge=0, le=200)],
    person_mass: Annotated[Quantity, In("kg", "mass of one person, dressed and wet", 80, ge=20, le=200)],
    criterion: Annotated[Criterion, Choice("rule the raft is held against")],
    windage: Annotated[Sequence[Windage], Rows("what the wind catches", least=0, most=40)] = (),
    gust: Annotated[Quantity, In("m/s", "strongest gust, 3 s", 25, ge=0, le=90)],
    lid_wind: Annotated[Quantity, In("m/s", "wind above which the lids are shut", 8, ge=0, le=40)] = Q(8, "m/s"),
    lid_area: Annotated[Quantity | None, In(
        "m^2", "all lids that may stand open, seen from the side", 0.7, ge=0, le=100)] = None,
    lid_z: Annotated[Quantity, along("z of the middle of the open lids", 0.9)] = Q(0.9, "m"),
    snow: Annotated[Quantity, In("kPa", "snow on the deck", 0.5, ge=0, le=10)] = Q(0.5, "kPa"),
    tow: Annotated[Quantity, In(
        "N", "pull of a tow", 300, ge=0, le=1e5,
        find="spring balance in the tow line; or the pull of the boat at rest")] = Q(300, "N"),
    tow_z: Annotated[Quantity, along("z of the cleat of the tow", 0.17)] = Q(0.17, "m"),
    ladder_x: Annotated[Quantity | None, along("x of a person on the swim ladder", 1.7)] = None,
    ladder_y: Annotated[Quantity, along("y of a person on the swim ladder", 0.6)] = Q(0, "m"),
    ladder_z: Annotated[Quantity, along("height of that person's centre, climbing out", 0.5)] = Q(0.5, "m"),
    heavy_person: Annotated[Quantity, In("kg", "mass of one heavy person on the ladder, wet", 120, ge=20, le=300)] = Q(
        120, "kg"),
    standing: Annotated[Quantity, In(
        "m", "height of a person's centre of gravity above the deck", 1.0, ge=0.2, le=1.5)] = Q(1.0, "m"),
    edge_inset: Annotated[Quantity, In("m", "distance of their feet from an edge", 0.2, ge=0, le=2)] = Q(0.2, "m"),
    corner_inset: Annotated[Quantity, In(
        "m", "distance of a group in a corner from both edges", 0.4, ge=0, le=2)] = Q(0.4, "m"),
    end: Annotated[str, Text("the end that x points to", "ladder end", longest=30)] = "named end",
) -> LoadCases:
    """Deck edge and float top at every corner, list, trim and stiffness (GM) in every load case, by full equilibrium.

    The first case is the raft as fitted, the second wet through with growth;
    all others are wet: people at each edge and corner and all aboard, one heavy
    person on the ladder, wind on shut and on open lids, snow, a tow from each
    side.  A float top is told for the quarter of the raft under a corner.  Each
    case is held against the tilt and deck edge of the rule chosen.  Waves and
    moorings are left out.
    """
    check_floats(floats)
    require(np.all(np.asarray(sharing) <= np.asarray(people)),
            "more people share an edge than are aboard; mend one of the two", "sharing", "people")
    cells = (q for one in windage for q in (one.area, one.drag, one.z, one.end_area) if q is not None)
    raft = raft_of(
        floats, density, mass, x, y, z, wet_mass, wet_x, wet_y, wet_z, deck_length, deck_width, deck_top, person_mass,
        gust, lid_wind, lid_z, snow, tow, tow_z, ladder_y, ladder_z, heavy_person, standing, edge_inset, corner_inset,
        Q(people), Q(sharing), *(q for q in (lid_area, ladder_x) if q is not None), *cells)
    dry = [si(q, text) for q, text in zip((mass, x, y, z), ("kg", "m", "m", "m"), strict=True)]
    wet = [si(q, text) for q, text in zip((wet_mass, wet_x, wet_y, wet_z), ("kg", "m", "m", "m"), strict=True)]
    spots = spots_of(deck_length, deck_width, edge_inset, corner_inset, end)
    head, top = si(deck_top, "m") + si(standing, "m"), si(deck_top, "m")
    group, every = si(Q(sharing) * person_mass, "kg"), si(Q(people) * person_mass, "kg")
    shrink = np.divide(group, every, out=np.zeros_like(every), where=every > 0)
    who = f"{_whole(sharing)} people"
    lumps: list[tuple[str, tuple[Any, ...]]] = [("wet through, nobody aboard", (0.0, 0.0, 0.0, 0.0))]
    lumps += [(f"{who}, {name}", (group, px, py, head)) for name, px, py in spots]
    lumps += [(f"all aboard, {name}", (every, px * shrink, py * shrink, head)) for name, px, py in spots[:4]]
    lumps += [("all aboard in the middle", (every, 0.0, 0.0, head))]
    if ladder_x is not None:
        lumps += [("one heavy person on the ladder",
                   (si(heavy_person, "kg"), si(ladder_x, "m"), si(ladder_y, "m"), si(ladder_z, "m")))]
    lumps += [("under snow", (si(snow * deck_length * deck_width, "N") / _GRAVITY, 0.0, 0.0, top))]
    hold = raft.out(raft.draft(wet) / 2 + raft.bodies.reach[0], "m")
    pulls = _pulls(windage, hold, gust, lid_wind, lid_area, lid_z, tow * (tow_z - hold), end)
    names = ["as fitted, nobody aboard", *(name for name, _ in lumps), *(name for name, _, _ in pulls)]
    loads = _loads(raft, dry, wet, [lump for _, lump in lumps], pulls)
    lies = raft.rest(loads)
    rows = _Rows(raft, lies, names, criterion, (deck_length, deck_width, deck_top))
    least = rows.edges.min(axis=(0, 1))
    return LoadCases(
        judged_by=limits_of(criterion)[2], worst=rows.worst(), least=raft.out(least, "m"),
        cases=tuple(rows.row(n) for n in range(len(names))))


def _whole(count: Any) -> int:
    """A count, of samples its middle."""
    return round(float(np.mean(count)))


def _pulls(
    windage: Sequence[Windage], hold: Quantity, gust: Quantity, lid_wind: Quantity, lid_area: Quantity | None,
    lid_z: Quantity, tow: Quantity, end: str,
) -> list[tuple[str, tuple[int, int], Any]]:
    """Name, way in plan and moment of everything that pulls level."""
    ways = (("left", (0, 1)), ("right", (0, -1)), ("other end", (1, 0)), (end, (-1, 0)))
    density = 0.5 * read_facts("floating_rules")["wind-air"].q
    made = []
    area, drag, height, end_area = columns(windage, area="m^2", drag="", z="m", end_area="m^2") if windage else _NOTHING
    from_end = any(one.end_area is not None for one in windage)
    for n, (side, way) in enumerate(ways):
        catch = ((area if n < 2 else end_area) * drag * (height - hold)).sum(axis=0)
        lids = _PLATE * lid_area * (lid_z - hold) if lid_area is not None else None
        if n < 2 or from_end:
            made.append((f"gust from the {side}", way, si(abs(density * gust**2 * catch), "N*m")))
        if lids is not None:
            moment = density * lid_wind**2 * (catch + lids)
            made.append((f"lids open, wind from the {side}", way, si(abs(moment), "N*m")))
        # Towed away from there: the water holds against it lower down.
        made.append((f"towed away from the {side}", way, si(abs(tow), "N*m")))
    return made


_NOTHING = (Q(np.zeros(1), "m^2"), Q(np.zeros(1), ""), Q(np.zeros(1), "m"), Q(np.zeros(1), "m^2"))


def _loads(raft: Raft, dry: Any, wet: Any, lumps: Any, pulls: Any) -> list[Array]:
    """Mass, x, y and z of all cases: dry, wet with each lump, wet with its weight moved by each pull."""
    loaded = with_lumps(wet, [*lumps, *([(0.0, 0.0, 0.0, 0.0)] * len(pulls))])
    made = [np.concatenate([np.broadcast_to(first, (1, raft.samples)),
                            np.broadcast_to(np.atleast_2d(rest), (len(lumps) + len(pulls), raft.samples))])
            for first, rest in zip(dry, loaded, strict=True)]
    for n, (_, way, moment) in enumerate(pulls, start=1 + len(lumps)):
        for axis in (0, 1):
            made[1 + axis][n] = made[1 + axis][n] + way[axis] * moment / (wet[0] * _GRAVITY)
    return made


def limits_of(criterion: str) -> tuple[Quantity | None, Quantity, str]:
    """Greatest tilt (None where the rule has none), least deck edge, and the rule with them in words."""
    facts = read_facts("floating_rules")
    for start, tilt, edge in (
        ("EN", "en-heel", "en-freeboard"), ("landing", "landing-tilt", ""),
        ("small", "workboat-heel", "workboat-freeboard"),
    ):
        if criterion.startswith(start):
            least = facts[edge].q if edge else Q(0, "m")
            said = f"tilt at most {facts[tilt].value:g} degrees, deck edge at least {least.m_as('mm'):g} mm above water"
            return facts[tilt].q, least, f"{criterion}: {said}; its own loads are other ones"
    return None, Q(0, "m"), f"{criterion}: no limit of tilt; no deck edge may go under"


class _Rows:
    """Load cases that were worked, as rows."""

    def __init__(self, raft: Raft, lies: Attitude, names: Sequence[str], criterion: str, deck: Any) -> None:
        self.raft, self.lies, self.names = raft, lies, names
        self.tilt, self.least, _ = limits_of(criterion)
        # (corners, cases, samples)
        self.edges = np.stack([lies.above_water(*corner) for corner in corners(*deck)])
        self.tops = self._tops()
        self.tilts = np.degrees(lies.tilt)

    def _tops(self) -> Array:
        """Least float top in each quarter of the raft; nan in a quarter without a float."""
        found = [np.full(self.tilts_shape, np.inf) for _ in _SIDES]
        for px, py, height in crowns(self.raft, self.lies):
            for n, (sx, sy) in enumerate(_SIDES):
                # A float on the middle line belongs to both sides.
                if sx * nominal(Q(px, "m"), "m") > -1e-6 and sy * nominal(Q(py, "m"), "m") > -1e-6:
                    found[n] = np.minimum(found[n], height)
        return np.where(np.isinf(found), np.nan, found)

    @property
    def tilts_shape(self) -> tuple[int, ...]:
        return self.edges.shape[1:]

    def worst(self) -> str:
        """The case with the lowest deck edge, or the first that does not come to rest; of samples, by their means."""
        least = self.edges.min(axis=0)
        lost = np.flatnonzero(np.isnan(least).any(axis=1))
        if lost.size:
            return f"{self.names[lost[0]]}: it does not come to rest"
        return self.names[int(np.argmin(least.mean(axis=1)))]

    def row(self, n: int) -> LoadCase:
        """One case."""
        raft, lies, one = self.raft, self.lies, slice(n, n + 1)
        part = Attitude(*(getattr(lies, name)[one] for name in Attitude.__slots__))
        tilt, least = raft.out(self.tilts[n], "deg"), raft.out(self.edges[:, n].min(axis=0), "m")
        shown = {name: raft.out(self.edges[k, n], "m") for k, name in enumerate(_CORNERS)}
        shown |= {f"top_{name}": raft.out(self.tops[k, n], "m") for k, name in enumerate(_CORNERS)}
        limit = self.tilt
        return LoadCase(
            name=self.names[n], trim=raft.out(np.degrees(lies.trim[n]), "deg"),
            list=raft.out(np.degrees(lies.heel[n]), "deg"), stiffness_x=raft.out(lies.metacentric_x[n], "m"),
            stiffness_y=raft.out(lies.metacentric_y[n], "m"),
            tilts_little=does_not_apply("the rule has no limit of tilt", tilt) if limit is None else judged(
                raft, part, self.names[one], lambda: at_most(tilt, limit)),
            stays_dry=judged(raft, part, self.names[one], lambda: at_least(
                least, self.least, share=bool(self.least.magnitude))), **shown)
