"""Load cases of a crowd: where people stand, how the raft then lies, and what a chosen criterion says of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.checks import Check, at_least, at_most, does_not_apply
from kit.hydrostatics import AFLOAT, Attitude
from kit.loading import Raft, corners, judged, si, tops, with_lumps
from kit.pontoon_test import end_check, side_check
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = [
    "Cases", "Criterion", "Place", "Scene", "criterion_checks", "crowd_cases", "deck_edge",
    "pontoon_checks", "spots_of",
]

Criterion = Literal[
    "EN 14504 (borrowed yardstick)", "landing-float rule", "small workboat rule", "pontoon simplified test",
    "reservoir owner's rule", "none"]
Array: TypeAlias = NDArray[Any]
# Name, x and y of a spot.
Place: TypeAlias = tuple[str, Array, Array]
Deck: TypeAlias = tuple[Quantity, Quantity, Quantity]

# Greatest number of people tried at one spot.
_MOST = 12
_GRAVITY = 9.80665


@dataclass(frozen=True, slots=True)
class Scene:
    """A raft with its own mass and centre, the spots where people stand, and how high their centre is."""

    raft: Raft
    base: tuple[Array, ...]
    spots: Sequence[Place]
    head: Array
    deck: Deck
    ladder: tuple[Array, tuple[Array, Array, Array]] | None = None
    """Mass of one heavy person on the swim ladder, and where that acts."""
    rail: Array | None = None
    """Lever of the pontoon test's moment."""


@dataclass(frozen=True, slots=True)
class Cases:
    """Load cases that were worked: kind and name of each, tilt in degrees and least deck edge in metres."""

    raft: Raft
    kinds: tuple[str, ...]
    names: tuple[str, ...]
    lies: Attitude
    tilts: Array
    edges: Array

    def of(self, *kinds: str) -> NDArray[np.intp]:
        """Which cases are of these kinds."""
        return np.flatnonzero([kind in kinds for kind in self.kinds])

    def figure(self, what: str, *kinds: str) -> Quantity:
        """Greatest "tilt" or least "deck" edge of these kinds; nan where a case does not come to rest."""
        which = self.of(*kinds)
        if what == "tilt":
            return self.raft.out(self.tilts[which].max(axis=0), "deg")
        return self.raft.out(self.edges[which].min(axis=0), "m")

    def judge(self, compare: Callable[[], Check], which: NDArray[np.intp]) -> Check:
        """The comparison, unless one of these cases does not come to rest."""
        part = Attitude(*(getattr(self.lies, name)[which] for name in Attitude.__slots__))
        return judged(self.raft, part, [self.names[n] for n in which], compare)

    def worst(self, which: NDArray[np.intp]) -> str:
        """The case with the lowest deck edge, or the first that does not come to rest; of samples, by their mean."""
        edges = self.edges[which]
        lost = np.flatnonzero(np.isnan(edges).any(axis=1))
        if lost.size:
            return f"{self.names[which[lost[0]]]}: it does not come to rest"
        return str(self.names[which[np.argmin(edges.mean(axis=1))]])


def spots_of(length: Quantity, width: Quantity, edge: Quantity, corner: Quantity, end: str) -> list[Place]:
    """The eight spots: sides and ends first, then corners."""
    ex, ey = (np.maximum(si(side, "m") / 2 - si(edge, "m"), 0) for side in (length, width))
    cx, cy = (np.maximum(si(side, "m") / 2 - si(corner, "m"), 0) for side in (length, width))
    none = 0 * ex
    return [
        ("right side", 0 * ey, ey), ("left side", 0 * ey, -ey), (end, ex, none), ("other end", -ex, none),
        (f"{end}, right", cx, cy), (f"{end}, left", cx, -cy),
        ("other end, right", -cx, cy), ("other end, left", -cx, -cy),
    ]


def deck_edge(lies: Attitude, length: Quantity, width: Quantity, top: Quantity) -> Array:
    """Least height of the deck's corners above the water, case by case."""
    return np.asarray(np.minimum.reduce([lies.above_water(*corner) for corner in corners(length, width, top)]))


def crowd_cases(
    scene: Scene, group: Array, rest: Array, people: Array, person: Quantity, criterion: str
) -> tuple[Cases, list[int]]:
    """Every load case at once: the group at each spot, all aboard, and the loads of the other criteria; and how many
    people each spot carries, up to 12, before the least deck edge is under water, at the means of the samples.

    While sampling, the loads of a criterion that was not chosen are left out.
    """
    facts = read_facts("floating_rules")
    spots, head, every = scene.spots, scene.head, group + rest
    shrink = np.divide(group, every, out=np.zeros_like(every), where=every > 0)
    planned: list[tuple[str, str, tuple[Any, Any, Any, Any]]] = []
    planned += [("edge" if n < 4 else "corner", name, (group, x, y, head)) for n, (name, x, y) in enumerate(spots)]
    planned += [
        ("aboard", f"all aboard, {name}", (every, x * shrink, y * shrink, head)) for name, x, y in spots[:4]]
    planned += [("middle", "all aboard in the middle", (every, 0.0, 0.0, head))]
    if scene.ladder is not None:
        planned += [("ladder", "one heavy person on the ladder", (scene.ladder[0], *scene.ladder[1]))]
    if scene.raft.single or criterion.startswith("landing"):
        single, area = si(facts["landing-load"].q, "kg"), si(scene.deck[0] * scene.deck[1], "m^2")
        spread = area * si(facts["landing-uniform"].q, "Pa") / _GRAVITY
        planned += [("landing", f"226.8 kg, {name}", (single, x, y, head)) for name, x, y in spots]
        planned += [("uniform", "2.39 kPa all over", (spread, 0.0, 0.0, si(scene.deck[2], "m")))]
    if scene.raft.single or criterion.startswith("small"):
        crew = people * si(facts["workboat-person"].q, "kg")
        planned += [("crew", f"all persons, {name}", (crew, x, y, head)) for name, x, y in spots[:2]]
    if scene.rail is not None:
        planned += [("pontoon", f"test weight, {name}", (every, 0.0 * y, np.sign(y) * scene.rail, head))
                    for name, _, y in spots[:2]]
        planned += [("pontoon end", f"test weight, {name}", (every, x, 0.0 * x, head)) for name, x, _ in spots[2:4]]
    # Whether a load of a criterion that was not chosen turns the raft over decides nothing and is not scanned for.
    asked = np.array([kind not in _ELSEWHERE or kind in _CHOSEN.get(criterion, ()) for kind, _, _ in planned])
    load, gathered = with_lumps(scene.base, [lump for _, _, lump in planned]), _people_at_spots(scene, person)
    if scene.raft.single:
        # One walk for all: what costs is the number of steps, not of cases.
        both = tuple(np.concatenate(parts) for parts in zip(load, gathered, strict=True))
        every_one = scene.raft.rest(both, scan=np.append(asked, np.zeros(len(gathered[0]), dtype=bool)))
        lies, crowded = (
            Attitude(*(getattr(every_one, name)[part] for name in Attitude.__slots__))
            for part in (slice(0, len(planned)), slice(len(planned), None)))
    else:
        lies, crowded = scene.raft.rest(load, scan=asked), scene.raft.middle().rest(gathered, scan=False)
    return Cases(
        scene.raft, tuple(kind for kind, _, _ in planned), tuple(name for _, name, _ in planned), lies,
        np.degrees(lies.tilt), deck_edge(lies, *scene.deck)), _carried(scene, crowded)


_ELSEWHERE = ("landing", "uniform", "crew", "pontoon", "pontoon end")
_CHOSEN: dict[str, tuple[str, ...]] = {
    "landing-float rule": ("landing", "uniform"), "small workboat rule": ("crew",),
    "pontoon simplified test": ("pontoon", "pontoon end"),
}

# Field of the check, criterion it belongs to, kind of case, figure, and key of its limit (none: above water).
_ASKED = (
    ("edge_heel", "EN", "edge", "tilt", "en-heel"),
    ("edge_freeboard", "EN", "edge", "deck", "en-freeboard"),
    ("corner_heel", "EN", "corner", "tilt", "en-heel"),
    ("corner_freeboard", "EN", "corner", "deck", "en-freeboard"),
    ("aboard_heel", "EN", "aboard", "tilt", "en-heel"),
    ("aboard_freeboard", "EN", "aboard", "deck", "en-freeboard"),
    ("ladder_heel", "EN", "ladder", "tilt", "en-heel"),
    ("ladder_freeboard", "EN", "ladder", "deck", "en-freeboard"),
    ("landing_load", "landing", "landing", "tilt", "landing-tilt"),
    ("landing_uniform", "landing", "uniform", "deck", ""),
    ("workboat_heel", "small", "crew", "tilt", "workboat-heel"),
    ("workboat_freeboard", "small", "crew", "deck", "workboat-freeboard"),
)


def criterion_checks(cases: Cases, criterion: str, stiff: Quantity) -> dict[str, Check]:
    """The checks of every criterion; one that was not chosen does not apply, and shows how it would stand."""
    facts = read_facts("floating_rules")
    chosen = criterion.startswith("EN")
    made = {"metacentre": at_least(stiff, facts["en-metacentre"].q) if chosen else _not_chosen(stiff)}
    for field, of, kind, what, key in _ASKED:
        which = cases.of(kind)
        if not which.size:
            made[field] = does_not_apply("no ladder is entered") if kind == "ladder" else _not_chosen(None)
            continue
        value = cases.figure(what, kind)
        limit = facts[key].q if key else Q(0, "m")
        check = at_most(value, limit) if what == "tilt" else at_least(value, limit)
        made[field] = cases.judge(_constant(check), which) if criterion.startswith(of) else _not_chosen(value)
    return made


def pontoon_checks(cases: Cases, criterion: str, why: str) -> dict[str, Check]:
    """The two checks of the pontoon test; `why` says what takes this raft out of it."""
    if not criterion.startswith("pontoon"):
        return {name: _not_chosen(None) for name in ("pontoon_side", "pontoon_end")}
    middle, side, end = cases.of("middle"), cases.of("pontoon"), cases.of("pontoon end")
    lies = cases.lies

    def at_ends() -> Check:
        part = Attitude(*(getattr(lies, name)[end] for name in Attitude.__slots__))
        return end_check(cases.raft, tops(cases.raft, part), why)

    return {
        "pontoon_side": cases.judge(
            lambda: side_check(cases.raft, lies, int(middle[0]), [int(n) for n in side], why), side),
        "pontoon_end": cases.judge(at_ends, end),
    }


def _constant(check: Check) -> Callable[[], Check]:
    return lambda: check


def _not_chosen(value: Quantity | None) -> Check:
    return does_not_apply("another criterion was chosen", value)


def _people_at_spots(scene: Scene, person: Quantity) -> tuple[Array, ...]:
    """Loads of 1 to 12 people at each spot, at the means of the samples."""
    base = [np.atleast_1d(_middle(part)) for part in scene.base]
    weight, head = _middle(si(person, "kg")), _middle(scene.head)
    people = weight * np.arange(1, _MOST + 1)
    masses = np.tile(people, len(scene.spots))[:, None]
    x, y = (np.repeat([_middle(place) for place in places], _MOST)[:, None]
            for places in zip(*((x, y) for _, x, y in scene.spots), strict=True))
    return tuple(part[0] for part in with_lumps(base, [(masses, x, y, head)]))


def _carried(scene: Scene, lies: Attitude) -> list[int]:
    """How many of the groups in turn leave every deck edge dry, spot by spot."""
    deck = [Q(_middle(si(side, "m")), "m") for side in scene.deck]
    dry = (deck_edge(lies, *deck) >= 0) & (lies.state == AFLOAT)
    return [int(run) for run in np.cumprod(dry.reshape(len(scene.spots), _MOST), axis=1).sum(axis=1)]


def _middle(values: Any) -> float:
    finite = np.asarray(values)[np.isfinite(values)]
    return float(finite.mean()) if finite.size else float("nan")
