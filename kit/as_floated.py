"""As floated: from freeboards measured at four corners back to mass and centre of gravity, and what differs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.calculator import calculator, require, result
from kit.checks import Check, at_most, open_check
from kit.floats import FloatBody, check_floats
from kit.handed import Part, along
from kit.hydro_kernel import immersed
from kit.kinds import Asks, In, Out, Rows, Says, Text
from kit.loading import Raft, corners, nominal, raft_of, si
from kit.quantities import Q, Quantity

__all__ = ["AsFloated", "Suspect", "as_floated"]

Array: TypeAlias = NDArray[Any]
_NOT_YET = "not measured yet"
# Two unknowns are left once one part is blamed: 95 in 100 of honest misfits are below this (chi-squared, 2 degrees).
_EXPLAINED = 5.991
_LISTED = 6


def _reading(corner: str) -> In:
    return In("mm", f"deck above water, {corner}", 488, ge=-1000, le=20_000, resolution=1, basis="measured",
              out_by="3 mm",
              find="rule down the side at the corner, nobody aboard, flat calm; the mean of three")


@result
class Suspect:
    """One part, and how much heavier it would have to be to explain what was measured."""

    name: Annotated[str, Text("part", "battery")]
    heavier: Annotated[Quantity, Out("kg", "how much heavier it would be (negative: lighter)", resolution=0.1)]
    doubt: Annotated[Quantity, Out("kg", "give or take", resolution=0.1, rounding="up")]
    misfit: Annotated[Quantity, Out("1", "what would stay unexplained (6 and less: nothing to speak of)",
                                    resolution=0.1)]
    words: Annotated[str, Says("does it explain what was measured")]


@result
class AsFloated:
    """Mass and centre as measured, beside the prediction."""

    mass: Annotated[Quantity, Out("kg", "mass as floated", absent=_NOT_YET)]
    mass_doubt: Annotated[Quantity, Out("kg", "give or take of that", rounding="up", absent=_NOT_YET)]
    x: Annotated[Quantity, Out("m", "x of the centre of gravity as floated", absent=_NOT_YET)]
    x_doubt: Annotated[Quantity, Out("m", "give or take of that", rounding="up", absent=_NOT_YET)]
    y: Annotated[Quantity, Out("m", "y of the centre of gravity as floated", absent=_NOT_YET)]
    y_doubt: Annotated[Quantity, Out("m", "give or take of that", rounding="up", absent=_NOT_YET)]
    draft: Annotated[Quantity, Out("mm", "draft at the middle as floated", rounding="up", absent=_NOT_YET)]
    trim: Annotated[Quantity, Out("deg", "trim as floated, named end down", resolution=0.01, absent=_NOT_YET)]
    list: Annotated[Quantity, Out("deg", "list as floated, right side down", resolution=0.01, absent=_NOT_YET)]
    twist: Annotated[Quantity, Out("mm", "how far a corner lies off the plane of the four readings", resolution=0.1,
                                   rounding="up", absent=_NOT_YET)]
    heavier: Annotated[Quantity, Out("kg", "heavier than predicted", absent=_NOT_YET)]
    lump_x: Annotated[Quantity, Out("m", "x where that mass would sit", absent="not told by these readings")]
    lump_y: Annotated[Quantity, Out("m", "y where that mass would sit", absent="not told by these readings")]
    suspects: Annotated[tuple[Suspect, ...], Rows("parts that alone would explain it, best first")]
    says: Annotated[str, Says("what was found")]
    proposal: Annotated[str, Says("row to enter where no part can be blamed, known by measuring")]
    mass_agrees: Annotated[Check, Asks("mass as floated agrees with the sum of the parts", "practice")]
    place_agrees: Annotated[Check, Asks("centre of gravity as floated agrees with the parts", "practice")]
    readings_agree: Annotated[Check, Asks("the four readings lie in one plane", "kit")]


@calculator("archimedes", "practice")
def as_floated(
    *,
    named_right: Annotated[Quantity | None, _reading("named end, right")] = None,
    named_left: Annotated[Quantity | None, _reading("named end, left")] = None,
    other_right: Annotated[Quantity | None, _reading("other end, right")] = None,
    other_left: Annotated[Quantity | None, _reading("other end, left")] = None,
    reading_doubt: Annotated[Quantity, In("mm", "give or take of one reading", 3, chosen=True,
                                          ge=0.1, le=200, resolution=0.5)] = Q(
        3, "mm"),
    height_doubt: Annotated[Quantity, In(
        "mm", "give or take of the floats' height under the deck", 3, chosen=True, ge=0, le=200, resolution=0.5,
        find="measure deck top to float underside at both ends")] = Q(3, "mm"),
    size_doubt: Annotated[Quantity, In("mm", "give or take of the floats' diameter or width, all alike", 3, chosen=True,
                                       ge=0,
                                       le=200, resolution=0.5, find="girth of each, divided by 3.1416")] = Q(3, "mm"),
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100, basis="measured")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100, basis="measured")],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    z: Annotated[Quantity, along("z of the centre of gravity, as predicted or inclined", -0.02)],
    predicted: Annotated[Quantity, In("kg", "mass predicted, nobody aboard", 703.6, ge=1, le=1e6)],
    predicted_x: Annotated[Quantity, along("x of the centre of gravity predicted")],
    predicted_y: Annotated[Quantity, along("y of the centre of gravity predicted")],
    parts: Annotated[Sequence[Part], Rows("parts that may be other than thought", most=500)] = (),
    within: Annotated[Quantity, In("kg", "difference of mass that passes", 25, ge=0, le=1e5, chosen=True)] = Q(
        25, "kg"),
    within_place: Annotated[Quantity, In("mm", "difference of the centre that passes", 20, ge=0, le=5000, chosen=True)
                            ] = Q(20, "mm"),
) -> AsFloated:
    """Mass and centre of gravity from four freeboards, their give or take, and which part could explain a difference.

    The readings fix the water plane; what it cuts off the floats is the mass
    (rho V), and the centre of gravity stands over the middle of that, at its
    predicted height.  Give or take by shifting each reading, the floats' height
    and their size in turn, root of squares.  A part is suspected when its mass
    alone, changed where it sits, explains mass and both moments.  Nothing is
    changed in the build: enter what you find where the part is declared.

    >>> tubes = [FloatBody(name=f"tube {n}", diameter=Q(500, "mm"), length=Q(3, "m"), y=Q(y, "m"), z=Q(-0.26, "m"),
    ...          mass_per_metre=Q(22.25, "kg/m")) for n, y in enumerate((-0.85, -0.325, 0.325, 0.85))]
    >>> seen = dict.fromkeys(("named_right", "named_left", "other_right", "other_left"), Q(485, "mm"))
    >>> found = as_floated(**seen, floats=tubes, density=Q(999.7, "kg/m^3"), deck_length=Q(3, "m"), z=Q(-0.02, "m"),
    ...     deck_width=Q(2.2, "m"), deck_top=Q(0.148, "m"), predicted=Q(703.6, "kg"), predicted_x=Q(0, "m"),
    ...     predicted_y=Q(0, "m"))
    >>> print(f"{found.mass:.0f~P} give or take {found.mass_doubt:.0f~P}: {found.heavier:.0f~P} more")
    723 kg give or take 22 kg: 20 kg more
    """
    check_floats(floats)
    readings = (named_right, named_left, other_right, other_left)
    seen = [one for one in readings if one is not None]
    if len(seen) < 4:
        missing = 4 - len(seen)
        return _blank(f"{missing} of 4 corners not measured yet")
    raft = raft_of(floats, density, deck_length, deck_width, deck_top, z, predicted, predicted_x, predicted_y,
                   reading_doubt, height_doubt, size_doubt, within, within_place, *seen)
    water = _water_planes(seen, corners(deck_length, deck_width, deck_top), si(reading_doubt, "m"),
                          si(height_doubt, "m"), raft.samples)
    told = np.stack(_lying(raft, water, si(z, "m")))
    require(np.all(np.isfinite(told[:, 0])), "these readings put the water off the floats, above or below all of them: "
            "read again, such as 488 mm", "named_right", "named_left", "other_right", "other_left")
    bigger = np.stack(_lying(_grown(raft, si(size_doubt, "m")), water[:, :1], si(z, "m")))
    base, steps = told[:, 0], np.concatenate([told[:, 1:] - told[:, :1], bigger - told[:, :1]], axis=1)
    spread = np.sqrt((steps**2).sum(axis=1))
    out = raft.out
    mass, x, y = (out(base[n], text) for n, text in enumerate(("kg", "m", "m")))
    heavier, moments = mass - predicted, (mass * x - predicted * predicted_x, mass * y - predicted * predicted_y)
    away = np.maximum(np.abs((x - predicted_x).m_as("mm")), np.abs((y - predicted_y).m_as("mm")))
    off, doubt = si(heavier, "kg"), spread[0]
    lumps = [out(np.where(np.abs(off) > doubt, si(m, "kg*m") / np.where(off == 0, 1.0, off), np.nan), "m")
             for m in moments]
    suspects = _suspects(parts, base, steps, (off, *(si(m, "kg*m") for m in moments)))
    slope_x, slope_y = water[1, 0], water[2, 0]
    twist = out(np.abs(_off_plane(seen)), "m")
    return AsFloated(
        mass=mass, mass_doubt=out(spread[0], "kg"), x=x, x_doubt=out(spread[1], "m"), y=y, y_doubt=out(spread[2], "m"),
        draft=out(water[0, 0] - raft.bodies.reach[0], "m"), trim=out(np.degrees(np.arctan(slope_x)), "deg"),
        list=out(np.degrees(np.arctan(slope_y)), "deg"), twist=twist, heavier=heavier,
        lump_x=lumps[0], lump_y=lumps[1], suspects=suspects,
        proposal=_proposal(heavier, lumps, doubt=out(doubt, "kg")),
        says=_says(nominal(heavier, "kg"), nominal(out(doubt, "kg"), "kg"), suspects),
        mass_agrees=at_most(abs(heavier), within), place_agrees=at_most(Q(away, "mm"), within_place),
        readings_agree=at_most(twist, 2 * reading_doubt, reason="twice the give or take of a reading; else read again, "
                               "or the deck is twisted"),
    )


def _blank(why: str) -> AsFloated:
    units = {"mass": "kg", "mass_doubt": "kg", "x": "m", "x_doubt": "m", "y": "m", "y_doubt": "m", "draft": "mm",
             "trim": "deg", "list": "deg", "twist": "mm", "heavier": "kg", "lump_x": "m", "lump_y": "m"}
    made: dict[str, Any] = {name: Q(np.nan, text) for name, text in units.items()}
    made |= dict.fromkeys(("mass_agrees", "place_agrees", "readings_agree"), open_check(why))
    return AsFloated(suspects=(), says=why, proposal=why, **made)


def _off_plane(seen: Sequence[Quantity]) -> Array:
    """How far each of four corners of a rectangle lies off the plane nearest to them all."""
    nr, nl, r, left = (si(one, "m") for one in seen)
    return np.asarray((nr - nl - r + left) / 4)


def _water_planes(seen: Sequence[Quantity], edge: Any, doubt: Array, height: Array, samples: int) -> Array:
    """Height of the water over the datum at the middle and its slopes along x and y: as read, with each reading raised
    by its give or take in turn, and with all of them raised.  Shape (3, 6, samples).
    """
    heights = np.stack(np.broadcast_arrays(*(si(one, "m") for one in seen), np.zeros(samples))[:4])
    shifts = np.concatenate([np.zeros((1, 4, 1)), np.eye(4)[:, :, None], np.ones((1, 4, 1))])
    by = np.stack(np.broadcast_arrays(*([0 * doubt] + [doubt] * 4 + [height])))[:, None]
    level = edge[0][2] - (heights[None] + shifts * by)
    x, y = edge[0][0], edge[0][1]
    nr, nl, r, left = (level[:, n] for n in range(4))
    return np.stack([(nr + nl + r + left) / 4, (nr + nl - r - left) / (4 * x), (nr - nl + r - left) / (4 * y)])


def _lying(raft: Raft, water: Array, z: Array) -> tuple[Array, Array, Array]:
    """Mass, and x and y of the centre of gravity, for water planes (3, cases, samples)."""
    middle, along_x, along_y = (plane.ravel() for plane in np.broadcast_arrays(*water))
    steep = np.sqrt(1 + along_x**2 + along_y**2)
    up = np.stack([-along_x / steep, -along_y / steep, 1 / steep])
    column = np.arange(middle.size) % raft.samples
    bodies = raft.bodies.of_cases(column)
    wet = immersed(bodies, np.ones((len(raft.bodies), middle.size)), middle / steep, (up[0], up[1], up[2]))
    density = np.broadcast_to(raft.density, (raft.samples,))[column]
    whole = bodies.volumes.sum(axis=0)
    cut = (wet.volume > 1e-9 * whole) & (wet.volume < whole * (1 - 1e-12))
    volume = np.where(cut, wet.volume, np.nan)
    lift = np.broadcast_to(z, (raft.samples,))[column] - wet.z / volume
    shape = water.shape[1:]
    return ((density * volume).reshape(shape), (wet.x / volume + lift * up[0] / up[2]).reshape(shape),
            (wet.y / volume + lift * up[1] / up[2]).reshape(shape))


def _grown(raft: Raft, by: Array) -> Raft:
    """The raft with all its floats thicker by so much."""
    tubes = replace(raft.bodies.tubes, radius=raft.bodies.tubes.radius + by / 2)
    boxes = replace(raft.bodies.boxes, width=raft.bodies.boxes.width + by)
    return replace(raft, bodies=replace(raft.bodies, tubes=tubes, boxes=boxes))


def _suspects(parts: Sequence[Part], base: Array, steps: Array, off: tuple[Array, ...]) -> tuple[Suspect, ...]:
    """Parts whose mass alone, changed in its place, would explain the difference; of samples, at their means."""
    good = np.isfinite(base.sum(axis=0) + steps.sum(axis=(0, 1)) + sum(off))
    if not good.any():
        return ()
    mass, x, y = (float(one[good].mean()) for one in base)
    moved = steps[:, :, good].mean(axis=2)
    changes = np.stack([moved[0], mass * moved[1] + x * moved[0], mass * moved[2] + y * moved[0]])
    seen = np.array([float(np.broadcast_to(one, good.shape)[good].mean()) for one in off])
    weight = np.linalg.pinv(changes @ changes.T, rcond=1e-12)
    found = []
    for part in parts:
        place = np.array([1.0, nominal(part.x, "m"), nominal(part.y, "m")])
        stiff = place @ weight @ place
        if not np.isfinite(stiff) or stiff <= 0:
            continue
        more, weighs = float(place @ weight @ seen / stiff), nominal(part.mass, "kg")
        if weighs + more < 0:
            continue  # nothing weighs less than nothing
        left = max(float(seen @ weight @ seen - more**2 * stiff), 0.0)
        times = f"{(weighs + more) / weighs:.1f} times its mass" if weighs > 0 else "where nothing was planned"
        found.append((left, part.name, more, float(1 / np.sqrt(stiff)), times))
    return tuple(
        Suspect(name=name, heavier=Q(more, "kg"), doubt=Q(doubt, "kg"), misfit=Q(left),
                words=f"alone it explains it, at {times}" if left <= _EXPLAINED else "alone it does not explain it")
        for left, name, more, doubt, times in sorted(found)[:_LISTED])


def _proposal(heavier: Quantity, lumps: Sequence[Quantity], *, doubt: Quantity) -> str:
    """A correction as a row with mass and place; nothing where the readings tell of none."""
    mass, x, y = nominal(heavier, "kg"), *(nominal(one, "m") for one in lumps)
    if not np.isfinite(mass + x + y) or abs(mass) <= nominal(doubt, "kg"):
        return "none: it is as predicted, within the give or take"
    if mass < 0:
        return f"none: it is {-mass:.0f} kg lighter; look for a part that was planned too heavy, or not fitted yet"
    return f"correction as floated: {mass:.0f} kg at x {x:.2f} m, y {y:.2f} m".replace("-", "\N{MINUS SIGN}")


def _says(off: float, doubt: float, suspects: tuple[Suspect, ...]) -> str:
    if not np.isfinite(off + doubt):
        return "the readings are so doubtful that the water may be off the floats: read again"
    if abs(off) <= doubt:
        return "as predicted, within the give or take of the readings"
    more = "heavier" if off > 0 else "lighter"
    said = f"{abs(off):.0f} kg {more} than predicted, give or take {doubt:.0f} kg"
    good = [one.name for one in suspects if one.misfit.m <= _EXPLAINED]
    return f"{said}; look at {', '.join(good[:3])}" if good else f"{said}; no single part explains it"
