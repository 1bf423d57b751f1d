"""Ballast that levels a raft: the least mass in the places there are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_most
from kit.floats import Ballast, columns
from kit.handed import along
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text
from kit.least_ballast import MOST_PLACES, least_ballast, whole_places
from kit.loading import nominal
from kit.quantities import Q, Quantity

__all__ = ["BallastPlace", "Levelled", "PlaceFilled", "ballast"]


@row
class BallastPlace:
    """A place where ballast may go."""

    name: Annotated[str, Text("place", "under the deck, other end, left")]
    x: Annotated[Quantity, along("x of its middle", -1.4)]
    y: Annotated[Quantity, along("y of its middle", -0.8)]
    z: Annotated[Quantity, along("z of its middle", 0.02)]
    capacity: Annotated[Quantity, In(
        "kg", "most it can take", 60, ge=0, le=20_000, find="its volume in litres times 2.2 for paving, 7.8 for steel")]
    holds: Annotated[Literal["solid ballast", "water"], Choice("what it holds")] = "solid ballast"


@result
class PlaceFilled:
    """What goes into one place."""

    name: Annotated[str, Text("place", "under the deck, other end, left")]
    mass: Annotated[Quantity, Out("kg", "ballast that goes there")]
    capacity: Annotated[Quantity, Out("kg", "most it can take")]
    says: Annotated[str, Says("how full")]


@result
class Levelled:
    """Ballast needed, place by place, and what is left off level."""

    total: Annotated[Quantity, Out("kg", "ballast needed", rounding="up")]
    left_x: Annotated[Quantity, Out("kg*m", "moment left towards the named end with the ballast needed")]
    left_y: Annotated[Quantity, Out("kg*m", "moment left to the right with the ballast needed")]
    placed_mass: Annotated[Quantity, Out("kg", "ballast placed")]
    placed_left: Annotated[Quantity, Out("kg*m", "moment left in any direction with the ballast placed")]
    caution: Annotated[str, Says("what to mind")]
    filled: Annotated[tuple[PlaceFilled, ...], Rows("ballast, place by place")]
    can_level: Annotated[Check, Asks("the places can level it", "kit")]
    placed_levels: Annotated[Check, Asks("the ballast placed levels it", "kit")]


@calculator("kit")
def ballast(
    *,
    moment_x: Annotated[Quantity, In("kg*m", "moment towards the named end, ballast left out", 39.3, ge=-1e6, le=1e6)],
    moment_y: Annotated[Quantity, In("kg*m", "moment to the right, ballast left out", 8.4, ge=-1e6, le=1e6)],
    places: Annotated[Sequence[BallastPlace], Rows("places for ballast", least=1, most=MOST_PLACES)],
    placed: Annotated[Sequence[Ballast], Rows("ballast placed", least=0, most=40)] = (),
    within: Annotated[Quantity, In(
        "kg*m", "moment that may be left", 5, ge=0.01, le=1e5,
        find="5 kg m tilts a small raft by about a tenth of a degree")] = Q(5, "kg*m"),
    prefer: Annotated[Literal["least mass", "full or empty"], Choice(
        "what is preferred", find="water tanks are pressed full or left empty, so that nothing runs about")] = (
            "least mass"),
) -> Levelled:
    """The least mass that brings the centre of gravity over the middle, in places that can only take so much.

    Least sum of masses with both moments balanced and each place between empty
    and full: at the least, no more than two places are partly filled.  Where it
    cannot be, the fill that leaves the least moment.  Moving a part comes
    before adding one, and the height of the ballast is not judged here.

    >>> corner = [BallastPlace(name=f"{x} {y}", x=Q(x, "m"), y=Q(y, "m"), z=Q(0, "m"), capacity=Q(120, "kg"))
    ...           for x in (1.6, -1.6) for y in (1.0, -1.0)]
    >>> print(f"{ballast(moment_x=Q(168, 'kg*m'), moment_y=Q(-70, 'kg*m'), places=corner).total:.1f~P}")
    105.0 kg
    """
    x, y, capacity = columns(places, x="m", y="m", capacity="kg")
    masses = _masses(x, y, capacity, moment_x, moment_y, within if prefer == "full or empty" else None)
    left_x, left_y = (
        _without_noise(moment + (masses * arm).sum(axis=0), moment) for moment, arm in ((moment_x, x), (moment_y, y)))
    have, place_x, place_y = _placed(placed)
    still_x, still_y = moment_x + (have * place_x).sum(axis=0), moment_y + (have * place_y).sum(axis=0)
    left, remaining = (np.sqrt(a**2 + b**2) for a, b in ((left_x, left_y), (still_x, still_y)))
    return Levelled(
        total=masses.sum(axis=0), left_x=left_x, left_y=left_y, placed_mass=have.sum(axis=0),
        placed_left=remaining, caution=_caution(places, masses),
        filled=tuple(
            PlaceFilled(name=place.name, mass=mass, capacity=place.capacity, says=_how_full(mass, place.capacity))
            for place, mass in zip(places, masses, strict=True)),
        can_level=at_most(left, within),
        placed_levels=at_most(remaining, within),
    )


def _without_noise(left: Quantity, of: Quantity) -> Quantity:
    """A rest of the last bits of a cancelled moment is nothing."""
    noise = np.abs(left.m_as("kg*m")) <= 1e-9 * np.maximum(np.abs(of.m_as("kg*m")), 1.0)
    return Q(np.where(noise, 0.0, left.m_as("kg*m"))[()], "kg*m")


def _placed(rows: Sequence[Ballast]) -> tuple[Any, ...]:
    if rows:
        return columns(rows, mass="kg", x="m", y="m")
    return Q(np.zeros(0), "kg"), Q(np.zeros(0), "m"), Q(np.zeros(0), "m")


def _how_full(mass: Any, capacity: Any) -> str:
    """Full, empty or between; of samples, their means."""
    held, most = nominal(mass, "kg"), nominal(capacity, "kg")
    if not held > 1e-9 * max(most, 1.0):
        return "empty"
    return "full" if held >= most * (1 - 1e-9) else "partly filled"


def _caution(places: Sequence[BallastPlace], masses: Any) -> str:
    """What tanks of water need, and which of them would be slack."""
    water = [(place.name, _how_full(mass, place.capacity))
             for place, mass in zip(places, masses, strict=True) if place.holds == "water"]
    used = [pair for pair in water if pair[1] != "empty"]
    if not used:
        return "Solid ballast: fix it so that it cannot slide, and paint its mass on it."
    slack = [name for name, how in used if how == "partly filled"]
    said = "Vent every tank at its highest corner, or air is trapped and it is never full; keep frost out of it."
    if slack:
        said += (f" {slack[0]} would be slack: its water runs to the low side. Prefer full or empty, divide it "
                 "lengthwise, or enter it among the slack tanks.")
    return said


def _masses(
    x: Any, y: Any, capacity: Any, moment_x: Quantity, moment_y: Quantity, within: Quantity | None
) -> Any:
    """Masses by place, one column a sample where anything is sampled; whole places where `within` may stay."""
    parts = [x.m_as("m"), y.m_as("m"), capacity.m_as("kg")]
    wanted = [-np.atleast_1d(np.asarray(m.m_as("kg*m"), dtype=float)) for m in (moment_x, moment_y)]
    rows = [part if part.ndim > 1 else part[:, None] for part in parts]
    allowed = () if within is None else (np.shape(np.atleast_1d(within.magnitude)),)
    samples = np.broadcast_shapes(*(r.shape[1:] for r in rows), *(w.shape for w in wanted), *allowed)
    spread = [np.broadcast_to(r, (len(r), *samples)) for r in rows]
    moments = [np.broadcast_to(w, samples) for w in wanted]
    found = least_ballast(spread[0], spread[1], spread[2], *moments)
    if within is not None:
        may = np.broadcast_to(np.atleast_1d(np.asarray(within.m_as("kg*m"), dtype=float)), samples)
        found = whole_places(spread[0], spread[1], spread[2], moments[0], moments[1], may, found)
    single = not (parts[0].ndim > 1 or np.ndim(moment_x.magnitude) or np.ndim(moment_y.magnitude)
                  or (within is not None and np.ndim(within.magnitude)))
    return Q(found[:, 0] if single else found, "kg")
