"""How several legs share the load on a moored raft, and what happens when one of them parts."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Annotated, Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.calculator import calculator, result, row
from kit.checks import Check, at_most, does_not_apply, not_covered
from kit.floats import columns
from kit.handed import along
from kit.kinds import Asks, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.wind_load import by_direction

__all__ = ["LegCase", "Moored", "MooringLeg", "moored"]

Array: TypeAlias = NDArray[Any]
_STEPS = 60
_CHUNK = 512
_GAP = Q(120, "deg")


@row
class MooringLeg:
    """One leg: where it is made fast and which way it runs."""

    name: Annotated[str, Text("leg", "ladder end, right")]
    x: Annotated[Quantity, along("x of its cleat, towards the named end", 1.4)]
    y: Annotated[Quantity, along("y of its cleat, to the right", 1.0)]
    bearing: Annotated[Quantity, In("deg", "direction to its anchor, clockwise from the named end", 45, ge=0, le=360,
                                    resolution=1, find="compass, standing on the raft", out_by="3 deg")]
    longer: Annotated[Quantity, In("m", "how much longer than the others", 0, ge=-20, le=20, resolution=0.01,
                                   out_by="0.1 m")] = Q(0, "m")


@result
class LegCase:
    """What happens when one leg parts and the weather comes from where it held."""

    name: Annotated[str, Text("leg", "ladder end, right")]
    load: Annotated[Quantity, Out("N", "load from its direction", rounding="up")]
    lost_pull: Annotated[Quantity, Out("N", "pull in the most loaded other leg when it parts", rounding="up")]
    lost_leg: Annotated[str, Says("leg that is then loaded most")]
    drift: Annotated[Quantity, Out("m", "how far the raft then goes, at low water", resolution=0.1, rounding="up",
                                   absent="it drifts off")]


@result
class Moored:
    """The pull to design a leg for, and what a lost leg does."""

    pull: Annotated[Quantity, Out("N", "horizontal pull to design each leg for", rounding="up")]
    pull_alone: Annotated[Quantity, Out("N", "load when one leg takes all of it", rounding="up")]
    pull_tight: Annotated[Quantity, Out("N", "pull at rest at high water and half the load", rounding="up")]
    lost_pull: Annotated[Quantity, Out("N", "greatest pull when one leg has parted, high water (0: nothing else holds)",
                                       rounding="up")]
    lost_times: Annotated[Quantity, Out("1", "greatest pull then over the load from where that leg held",
                                        rounding="up")]
    drift: Annotated[Quantity, Out("m", "how far the raft goes when one leg has parted, low water", resolution=0.1,
                                   rounding="up", absent="it drifts off")]
    gap: Annotated[Quantity, Out("deg", "greatest angle between neighbouring legs", rounding="up")]
    cases: Annotated[tuple[LegCase, ...], Rows("each leg lost in turn")]
    held_all_round: Annotated[Check, Asks("legs hold it from all sides", "practice", hazard=True)]
    clear_of_shore: Annotated[Check, Asks("stays clear of the shore when one leg parts", "practice")]


@calculator("kit", "practice")
def moored(
    *,
    legs: Annotated[Sequence[MooringLeg], Rows("mooring legs", least=1, most=20)],
    distance: Annotated[Quantity, In("m", "from below each cleat to its anchor", 22.7, ge=0.1, le=600)],
    length: Annotated[Quantity, In("m", "length of one leg", 23, ge=0.2, le=600)],
    rope: Annotated[Quantity, In("m", "of that rope", 20, ge=0.1, le=600)],
    stiffness: Annotated[Quantity, In("kN", "pull that would double the rope's length", 67.5, ge=0.1, le=1e6)],
    high_height: Annotated[Quantity, In("m", "cleat above the bottom at high water", 4.59, ge=0.05, le=500)],
    low_height: Annotated[Quantity, In("m", "cleat above the bottom at low water", 3.69, ge=0.05, le=500)],
    pull_high: Annotated[Quantity, In("N", "pull of a leg at rest at high water", 450, ge=0, le=1e6)],
    wind_side: Annotated[Quantity, In("N", "wind from the side", 910, ge=0, le=1e6)],
    wind_end: Annotated[Quantity, In("N", "wind from the end", 650, ge=0, le=1e6)],
    wave_side: Annotated[Quantity, In("N", "waves from the side", 147, ge=0, le=1e6)],
    wave_end: Annotated[Quantity, In("N", "waves from the end", 108, ge=0, le=1e6)],
    current_side: Annotated[Quantity, In("N", "current from the side", 0, ge=0, le=1e6)],
    current_end: Annotated[Quantity, In("N", "current from the end", 0, ge=0, le=1e6)],
    worst: Annotated[Quantity, In("N", "greatest load, from any direction", 1057, ge=0, le=2e6)],
    room: Annotated[Quantity | None, In("m", "clear water around the raft", 15, ge=0, le=10_000,
                                        find="to the nearest rock, shore or swimmer's lane at low water")] = None,
) -> Moored:
    """What one leg has to hold, and pull and drift when a leg parts in the weather that it held against.

    Design: one leg takes all, or rest and half the load where the legs are
    tight.  Lost: the raft, held only by taut legs that stretch (T = EA e/L_rope
    beyond their straight reach), goes to where pulls and load balance, the least
    of the energy.  Turning of the raft and the surge as the leg parts are left out.

    >>> legs = [MooringLeg(name=str(b), x=Q(0, "m"), y=Q(0, "m"), bearing=Q(b, "deg")) for b in (45, 135, 225, 315)]
    >>> held = moored(legs=legs, distance=Q(22.6, "m"), length=Q(23, "m"), rope=Q(20, "m"), stiffness=Q(67.5, "kN"),
    ...     high_height=Q(4.59, "m"), low_height=Q(3.69, "m"), pull_high=Q(0, "N"), wind_side=Q(900, "N"),
    ...     wind_end=Q(900, "N"), wave_side=Q(0, "N"), wave_end=Q(0, "N"), current_side=Q(0, "N"),
    ...     current_end=Q(0, "N"), worst=Q(970, "N"))
    >>> print(f"{held.pull:.0f~P}; one leg lost: {held.lost_times:.1f~P} loads in its neighbour")
    970 N; one leg lost: 2.2 loads in its neighbour
    """
    bearing, longer = columns(legs, bearing="rad", longer="m")
    parts = {"wind_side": wind_side, "wind_end": wind_end, "wave_side": wave_side, "wave_end": wave_end,
             "current_side": current_side, "current_end": current_end}
    loads = _loads(parts, bearing)
    turns = bearing.m if bearing.ndim > 1 else bearing.m[:, None]
    centre = np.atleast_1d(distance.m_as("m")) * np.stack([np.cos(turns), np.sin(turns)])
    found = [_parted(legs, centre, _reach(length, height, longer), loads, (stiffness / rope).m_as("N/m"))
             for height in (high_height, low_height)]
    pulls, drifts = found[0][0].max(axis=0), found[1][1]
    load = np.hypot(*loads)
    worst_lost, drift = Q(_most(pulls), "N"), Q(_most(drifts), "m")
    with np.errstate(divide="ignore", invalid="ignore"):
        times = np.where(load > 0, pulls / load, 0.0)
    tight = pull_high + worst / 2
    gap = _gap(bearing.m_as("deg"))
    return Moored(
        pull=Q(np.maximum(worst.m_as("N"), tight.m_as("N"))[()], "N"), pull_alone=worst, pull_tight=tight,
        lost_pull=worst_lost, lost_times=Q(_most(times)), drift=drift, gap=gap,
        cases=tuple(_cases(legs, load, found)),
        held_all_round=at_most(gap, _GAP, reason="common practice: a third of the circle at most") if len(legs) > 2
        else not_covered("on fewer than three legs it swings; there must be water all round it"),
        clear_of_shore=does_not_apply("no clear water was entered") if room is None else at_most(drift, room),
    )


def _most(values: Any) -> Any:
    return np.max(values, axis=0)[()]


def _loads(parts: Any, bearing: Quantity) -> tuple[Any, Any]:
    """The push on the raft along x and y when the weather comes from where each leg lies: legs first, samples last."""
    along_x, along_y = by_direction(parts, np.degrees(bearing.m))
    return -along_x, -along_y


def _reach(length: Quantity, height: Quantity, longer: Quantity) -> Any:
    """How far a straight leg reaches along the water, legs first."""
    more = longer.m if longer.ndim > 1 else longer.m[:, None]
    whole = np.atleast_1d(length.m_as("m")) + more
    return np.sqrt(np.maximum(whole**2 - np.atleast_1d(height.m_as("m")) ** 2, 1e-6))


def _parted(
    legs: Sequence[MooringLeg], centre: Array, reach: Any, loads: tuple[Any, Any], rate: Any
) -> tuple[Array, Array]:
    """Pull of every leg (legs, lost leg, samples) and drift (lost leg, samples) with each leg lost in turn."""
    count = len(legs)
    if count == 1:
        nothing = 0 * (loads[0] + loads[1])
        return nothing[None], nothing + np.nan
    push = np.stack(np.broadcast_arrays(*loads))
    single = not (push.ndim > 2 or np.ndim(rate) or centre.shape[-1] > 1 or reach.shape[-1] > 1)
    push = push if push.ndim > 2 else push[..., None]
    n = np.broadcast_shapes((push.shape[-1],), (centre.shape[-1],), (reach.shape[-1],), np.shape(rate))[-1]
    made = [_settled(*(_slice(part, cut) for part in (push, centre, reach, np.asarray(rate))))
            for cut in (slice(first, first + _CHUNK) for first in range(0, n, _CHUNK))]
    pulls, drift = (np.concatenate(parts, axis=-1) for parts in zip(*made, strict=True))
    return (pulls[..., 0], drift[..., 0]) if single else (pulls, drift)


def _slice(part: Array, cut: slice) -> Array:
    """Samples of a last axis that has them."""
    return part[..., cut] if part.ndim and part.shape[-1] > 1 else part


def _settled(push: Array, centre: Array, reach: Array, rate: Array) -> tuple[Array, Array]:
    """Pulls and drift of a chunk of samples, small enough to stay in the processor's cache."""
    kept = ~np.eye(push.shape[1], dtype=bool)
    start = _start(push, centre, reach, kept) + _give(push, reach, rate)
    n = np.broadcast_shapes(start.shape[-1:], push.shape[-1:], reach.shape[-1:], rate.shape)[-1]
    pulls, place = _balance(np.broadcast_to(start, (*start.shape[:2], n)), push, centre[:, :, None, :],
                            reach[:, None, :], rate, kept[:, :, None])
    return pulls, np.hypot(*place)


def _give(push: Array, reach: Array, rate: Any) -> Array:
    """How far legs square to the push let it go, F = k (d/R)^2 d: beyond it every leg that will be taut is taut."""
    size = np.hypot(*push)
    way = push / np.where(size > 0, size, 1.0)
    return np.asarray(way * np.cbrt(size / rate * np.mean(reach, axis=0) ** 2))


def _balance(
    place: Array, push: Array, centre: Array, reach: Array, rate: Any, kept: Array
) -> tuple[Array, Array]:
    """Newton down the energy of stretched legs and load, damped; `place` is (2, lost leg, samples)."""
    soft = np.full(place.shape[1:], 1e-8)
    state = _forces(place, push, centre, reach, rate, kept)
    for _ in range(_STEPS):
        energy, slope, (a, b, c), _ = state
        lift = soft * rate
        det = (a + lift) * (c + lift) - b * b
        step = -np.stack([(c + lift) * slope[0] - b * slope[1], (a + lift) * slope[1] - b * slope[0]]) / det
        size = np.hypot(*step)
        step = step / np.maximum(1, size / 5)
        new = place + step
        after = _forces(new, push, centre, reach, rate, kept)
        better = after[0] <= energy + 1e-9 * np.abs(energy) + 1e-12
        place = np.where(better, new, place)
        soft = np.where(better, soft / 20, soft * 8 + 0.1)
        state = after if better.all() else _either(better, after, state)
        if np.all((size < 1e-9 * (1 + np.hypot(*place))) | np.isnan(size)):
            break
    return state[3], place


def _either(better: Array, one: Any, other: Any) -> Any:
    return tuple(_either(better, a, b) if isinstance(a, tuple) else np.where(better, a, b)
                 for a, b in zip(one, other, strict=True))


def _forces(place: Array, push: Array, centre: Array, reach: Array, rate: Any, kept: Array) -> tuple[Any, ...]:
    """Energy, slope, curvature and pulls of taut legs."""
    off = place[:, None] - centre
    away = np.sqrt(off[0] ** 2 + off[1] ** 2)
    stretched = np.where(kept, np.maximum(away - reach, 0.0), 0.0)
    pull = rate * stretched
    way = off / away
    taut = np.where(stretched > 0, rate, 0.0)
    across = pull / away
    slope = (pull * way).sum(axis=1) - push
    first = taut - across
    curve = (
        (first * way[0] ** 2 + across).sum(axis=0), (first * way[0] * way[1]).sum(axis=0),
        (first * way[1] ** 2 + across).sum(axis=0),
    )
    energy = (0.5 * pull * stretched).sum(axis=0) - (push * place).sum(axis=0)
    return energy, slope, curve, pull


def _start(push: Array, centre: Array, reach: Array, kept: Array) -> Array:
    """Where each case would lie if the legs did not stretch: furthest along the push within reach of every anchor.

    Such a place is the end of one leg that lies along the push, or where the
    circles of two legs cross; or the middle, where legs are tight before there is
    any push.  (2, lost leg, samples).
    """
    size = np.hypot(*push)
    way = np.where(size > 0, push / np.where(size > 0, size, 1.0), np.array([1.0, 0.0])[:, None, None])
    single = centre[:, None] + reach[None, None] * way[:, :, None]
    pairs = list(combinations(range(kept.shape[0]), 2))
    one, other = ([pair[n] for pair in pairs] for n in (0, 1))
    crossing = _crossings(centre[:, one], reach[one], centre[:, other], reach[other])
    both = kept[:, one] & kept[:, other]
    shape = np.broadcast_shapes(single.shape[2:], (1, crossing.shape[-1]))[-1]
    tried = np.concatenate([
        np.broadcast_to(single, (*single.shape[:3], shape)),
        np.broadcast_to(crossing[:, None], (2, kept.shape[0], crossing.shape[1], shape)),
        np.zeros((2, kept.shape[0], 1, shape)),
    ], axis=2)
    allowed = np.concatenate([kept, both, both, kept.any(axis=1, keepdims=True)], axis=1)[:, :, None]
    off = tried[:, :, :, None] - centre[:, None, None]
    beyond = np.sqrt(off[0] ** 2 + off[1] ** 2) - reach[None, None]
    over = np.where(kept[:, None, :, None], beyond, -np.inf).max(axis=2)
    over = np.where(allowed & np.isfinite(over), over, np.inf)
    good = over <= np.maximum(over.min(axis=1, keepdims=True), 1e-9)
    score = np.where(good, (tried * way[:, :, None]).sum(axis=0), -np.inf)
    best = score.argmax(axis=1)[None, :, None]
    return np.asarray(np.take_along_axis(tried, np.broadcast_to(best, (2, *best.shape[1:])), axis=2)[:, :, 0])


def _crossings(a: Array, r: Array, b: Array, q: Array) -> Array:
    """Where circles about `a` and `b` cross, both points; where they do not, a point between them."""
    line = b - a
    apart = np.sqrt(line[0] ** 2 + line[1] ** 2)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        along_line = (apart**2 + r**2 - q**2) / (2 * apart)
        off = np.sqrt(np.maximum(r**2 - along_line**2, 0))
        unit = line / apart
        square = np.stack([-unit[1], unit[0]])
        return np.concatenate([a + along_line * unit + sign * off * square for sign in (-1, 1)], axis=1)


def _gap(degrees: Any) -> Quantity:
    """Greatest angle between neighbouring legs."""
    turns = np.sort(np.mod(degrees, 360), axis=0)
    between = np.concatenate([np.diff(turns, axis=0), turns[:1] + 360 - turns[-1:]])
    return Q(between.max(axis=0)[()], "deg")


def _cases(legs: Sequence[MooringLeg], load: Any, found: Any) -> Any:
    for n, one in enumerate(legs):
        pulls = found[0][0][:, n]
        mean = np.nan_to_num(pulls if pulls.ndim == 1 else np.nan_to_num(pulls).mean(axis=1))
        most = "nothing else holds" if len(legs) == 1 else legs[int(np.argmax(mean))].name
        yield LegCase(name=one.name, load=Q(load[n], "N"), lost_pull=Q(pulls.max(axis=0)[()], "N"), lost_leg=most,
                      drift=Q(found[1][1][n], "m"))
