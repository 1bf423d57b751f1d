"""Which strut to order and where both its mounts go, looked for among hundreds of thousands of places."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit import lid_swing, struts
from kit.calculator import applies, calculator, require, result, row
from kit.kinds import Choice, In, Out, Rows, Says, Text
from kit.lid_swing import GRAVITY
from kit.mount_kernel import LOWER, UPPER, Array, Candidates, Demands, bounds, clears, cut_circles, extremes
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import nominal

__all__ = ["ClearBox", "FoundMount", "MountSearch", "Rejected", "StrutSize", "mount_search", "strut_list"]

FACTS = read_facts("lids")
LISTED, OF_A_SIZE = 12, 3
# Candidates that are looked at closely, each with its mounts drilled off in eight ways.
CLOSE = 600
# Places of the lid mount down and up, and how the strut's spare length is shared between its two ends.
DEEP, SLACKS = 5, 9
MOST = 420_000


@row
class StrutSize:
    """A strut that can be had, charged to any force between two."""

    name: Annotated[str, Text("strut", "365-150")]
    extended: struts.Extended
    stroke: struts.Stroke
    weakest: Annotated[Quantity, In("N", "weakest it is sold, fully out at 20 degC", 50, ge=1, le=5000)]
    strongest: Annotated[Quantity, In("N", "strongest it is sold", 400, ge=1, le=5000)]
    step: Annotated[Quantity, In("N", "step of force in which it is sold", 10, ge=1, le=1000)] = Q(10, "N")
    force_ratio: struts.StrutRatio = Q(1.25)


@row
class ClearBox:
    """A place that must stay free for what is inside, from the hinge pin with the lid shut."""

    name: Annotated[str, Text("what must fit", "battery")]
    along_from: Annotated[Quantity, In("mm", "from, along the lid", 300, ge=-1000, le=3000)]
    along_to: Annotated[Quantity, In("mm", "to, along the lid", 600, ge=-1000, le=3000)]
    above_from: Annotated[Quantity, In("mm", "from, above the pin (below is minus)", -400, ge=-3000, le=2000)]
    above_to: Annotated[Quantity, In("mm", "to, above the pin", -300, ge=-3000, le=2000)]


@row
class FoundMount:
    """A strut and both its mounts that satisfy everything asked."""

    name: Annotated[str, Text("rank and strut", "1: 365-150")]
    force: Annotated[Quantity, In("N", "force to order", 150, ge=0, le=1e4, resolution=1)]
    lid_along: Annotated[Quantity, In("mm", "lid mount along", 100, ge=-1e4, le=1e4, resolution=1)]
    lid_above: Annotated[Quantity, In("mm", "lid mount above", -30, ge=-1e4, le=1e4, resolution=1)]
    body_along: Annotated[Quantity, In("mm", "body mount along", 250, ge=-1e4, le=1e4, resolution=1)]
    body_above: Annotated[Quantity, In("mm", "body mount above", -200, ge=-1e4, le=1e4, resolution=1)]
    off: Annotated[Quantity, In("percent", "force may be off by", 12, ge=0, le=1e4, resolution=0.1, rounding="down")]
    weakest: Annotated[Quantity, In("N", "least force that would do", 130, ge=0, le=1e5, resolution=1,
                                    rounding="up")]
    strongest: Annotated[Quantity, In("N", "greatest force that would do", 170, ge=0, le=1e5, resolution=1,
                                      rounding="down")]
    left_in: Annotated[Quantity, In("mm", "stroke left in", 10, ge=-1e3, le=1e4, resolution=0.1, rounding="down")]
    left_out: Annotated[Quantity, In("mm", "stroke left out", 8, ge=-1e3, le=1e4, resolution=0.1, rounding="down")]


@row
class Rejected:
    """Why candidates were rejected, and how many."""

    name: Annotated[str, Text("reason", "outside the space for the body mount", longest=200)]
    count: Annotated[Quantity, In("1", "candidates", 1000, ge=0, le=1e9, resolution=1)]


@result
class MountSearch:
    """Struts and mounts that keep every limit, the most forgiving first, and why the others do not."""

    looked_at: Annotated[Quantity, Out("1", "candidates looked at")]
    good: Annotated[Quantity, Out("1", "candidates that keep every limit")]
    best: Annotated[str, Says("the most forgiving of them")]
    main_reason: Annotated[str, Says("what most of the others fail by")]
    found: Annotated[tuple[FoundMount, ...], Rows("struts and mounts, the most forgiving first")]
    rejected: Annotated[tuple[Rejected, ...], Rows("why candidates were rejected")]
    spot: Annotated[Quantity, Out("1", "number of a place", absent="no place found")]
    spot_along: Annotated[Quantity, Out("mm", "body mount along", over="spot", absent="no place found")]
    spot_above: Annotated[Quantity, Out("mm", "body mount above", over="spot", absent="no place found")]
    spot_lid_along: Annotated[Quantity, Out("mm", "its lid mount along", over="spot", absent="no place found")]
    spot_lid_above: Annotated[Quantity, Out("mm", "its lid mount above", over="spot", absent="no place found")]
    spot_off: Annotated[Quantity, Out("percent", "force may be off by, drilled as marked", over="spot",
                                      absent="no place found")]


def strut_list() -> tuple[StrutSize, ...]:
    """Fifteen sizes to begin with, in even steps; put in their place what your shop has."""
    sizes = ((160, 50), (200, 60), (245, 80), (245, 90), (285, 100), (305, 120), (335, 130), (365, 150), (405, 160),
             (445, 180), (485, 200), (520, 220), (560, 250), (605, 260), (705, 300))
    return tuple(
        StrutSize(name=f"{out}-{stroke}", extended=Q(out, "mm"), stroke=Q(stroke, "mm"), weakest=Q(40, "N"),
                  strongest=Q(400, "N")) for out, stroke in sizes
    )


def _place(meaning: str, example: float) -> In:
    return In("mm", meaning, example, ge=-3000, le=3000, resolution=1, chosen=True, find="rule, lid shut, from the pin")


@calculator("kit", "practice", "plate-drag")
def mount_search(
    *,
    mass: lid_swing.LidMass,
    centre: lid_swing.Centre,
    centre_above: lid_swing.CentreAbove = Q(0, "mm"),
    handle: lid_swing.Handle,
    fall: lid_swing.Fall = Q(0, "deg"),
    opening: struts.Opening,
    depth: struts.Depth,
    width: lid_swing.Width,
    struts_fitted: struts.StrutCount = 1,
    law: Annotated[struts.Law, Choice("how its force rises: in a straight line, or as a closed gas does")] = "linear",
    friction: lid_swing.Friction = Q(10, "N"),
    worn: lid_swing.Worn = Q(0.85),
    cold: Annotated[Quantity, struts.strut_temperature("coldest strut in use", -10)],
    hot: Annotated[Quantity, struts.strut_temperature("hottest strut in use", 45)],
    hinge_friction: lid_swing.HingeFriction = Q(0, "N*m"),
    hinge_hold: lid_swing.HingeHold = Q(0, "N*m"),
    spring: lid_swing.Spring = Q(0, "N*m"),
    spring_rate: lid_swing.SpringRate = Q(0, "N*m/deg"),
    hand_limit: lid_swing.HandLimit = Q(50, "N"),
    shut_margin: lid_swing.ShutMargin = Q(4, "N*m"),
    open_margin: lid_swing.OpenMargin = Q(3, "N*m"),
    lean: lid_swing.Lean = None,
    wind: lid_swing.Gust = None,
    margin: Annotated[Quantity, In("mm", "stroke left over at either end", 5, ge=0, le=100, chosen=True)] = Q(5, "mm"),
    rise_before: Annotated[Quantity | None, In("deg", "cold and worn, it rises by itself at the latest from", 70, ge=0,
                                               le=170, chosen=True)] = None,
    fall_before: Annotated[Quantity | None, In("deg", "hot and new, it still falls shut from up to", 15, ge=0, le=170,
                                               chosen=True)] = None,
    mount_limit: Annotated[Quantity | None, In("N", "most that either mount may get", 600, ge=1, le=50_000,
                                               find="screws, bracket and what they are fixed in")] = None,
    lid_from: Annotated[Quantity, _place("lid mount, along the lid: from", 60)] = Q(60, "mm"),
    lid_to: Annotated[Quantity, _place("lid mount, along the lid: to", 400)] = Q(400, "mm"),
    lid_low: Annotated[Quantity, _place("lid mount, above the pin: lowest", -50)] = Q(-50, "mm"),
    lid_high: Annotated[Quantity, _place("lid mount, above the pin: highest", -30)] = Q(-30, "mm"),
    body_from: Annotated[Quantity, _place("body mount, along the lid: from", 20)] = Q(20, "mm"),
    body_to: Annotated[Quantity, _place("body mount, along the lid: to", 600)] = Q(600, "mm"),
    body_low: Annotated[Quantity, _place("body mount, above the pin: lowest", -350)] = Q(-350, "mm"),
    body_high: Annotated[Quantity, _place("body mount, above the pin: highest", -40)] = Q(-40, "mm"),
    drilling: Annotated[Quantity, In("mm", "how far off a mount may be drilled", 2, ge=0, le=20, chosen=True)]
    = Q(2, "mm"),
    thickness: Annotated[Quantity, In("mm", "thickness of the strut's tube", 18, ge=4, le=80)] = Q(18, "mm"),
    catalogue: Annotated[Sequence[StrutSize], Rows("struts that can be had", least=1, most=60)] = strut_list(),
    clear: Annotated[Sequence[ClearBox], Rows("places that must stay clear", most=20)] = (),
) -> MountSearch:
    """Find struts and mounts that keep every limit of a lid, ranked by how far the force may be off.

    For each lid mount, strut and spare length the body mount lies where two
    circles cut; both places are rounded to whole millimetres and held against:
    stroke left at either end over the whole swing, so that no strut is ever the
    stop; shut and open moments, hand, lean and wind, cold and worn and hot and
    new; places to keep clear.  Each demand bounds the force; the rank is how far
    the force may be off when both mounts are drilled off by `drilling` at worst.
    Samples are searched at their means.  Left out: the law of the rod's size,
    the bracket's strength, bending of the lid.

    >>> found = mount_search(mass=Q(8.6, "kg"), centre=Q(315, "mm"), handle=Q(620, "mm"), fall=Q(2, "deg"),
    ...     opening=Q(80, "deg"), depth=Q(640, "mm"), width=Q(550, "mm"), cold=Q(-10, "degC"), hot=Q(45, "degC"),
    ...     lean=Q(7, "deg"), wind=Q(8, "m/s"), catalogue=strut_list()[7:8])
    >>> found.found[0].off > Q(5, "percent")
    True
    """
    require(struts_fitted >= 1, "there is no strut to place, such as 1", "struts_fitted")
    require(cold <= hot, "the coldest strut must not be warmer than the hottest", "cold", "hot")
    for low, high, names in ((lid_from, lid_to, ("lid_from", "lid_to")), (lid_low, lid_high, ("lid_low", "lid_high")),
                             (body_from, body_to, ("body_from", "body_to")),
                             (body_low, body_high, ("body_low", "body_high"))):
        require(low <= high, "it must not begin behind where it ends, such as 60 mm to 400 mm", *names)
    applies(opening <= Q(90, "deg"), "a lid that opens past 90 degrees needs a stop of its own")
    applies(struts_fitted > 1, "a single strut off the middle racks the hinges: see what it does to them in the stage")
    demands = _demands(
        mass, centre, centre_above, fall, opening, handle, struts_fitted, friction, hinge_friction, hinge_hold, spring, spring_rate,
        worn, cold, hot, hand_limit, shut_margin, open_margin, lean, wind, rise_before, fall_before, mount_limit, width,
        depth)
    search = _Search(demands, catalogue, law, _si(margin, "m"), _si(drilling, "m"))
    lid = [_si(q, "m") for q in (lid_from, lid_to, lid_low, lid_high)]
    body = [_si(q, "m") for q in (body_from, body_to, body_low, body_high)]
    boxes = np.array([sorted(_si(q, "m") for q in (box.along_from, box.along_to))
                      + sorted(_si(q, "m") for q in (box.above_from, box.above_to)) for box in clear]).reshape(-1, 4)
    kept = search.sift(search.candidates(lid), body, boxes, _si(thickness, "m") / 2)
    return search.report(kept)


def _si(q: Any, unit: str, absent: float = np.nan) -> float:
    return absent if q is None else nominal(q.to(unit))


def _demands(
    mass: Quantity, centre: Quantity, centre_above: Quantity, fall: Quantity, opening: Quantity, handle: Quantity,
    count: Any, friction: Quantity, hinge_friction: Quantity, hinge_hold: Quantity, spring: Quantity,
    spring_rate: Quantity, worn: Quantity,
    cold: Quantity, hot: Quantity, hand_limit: Quantity, shut_margin: Quantity, open_margin: Quantity,
    lean: Quantity | None, wind: Quantity | None, rise_before: Quantity | None, fall_before: Quantity | None,
    mount_limit: Quantity | None, width: Quantity, depth: Quantity,
) -> Demands:
    """The lid and its limits in SI units, samples at their means; what was not entered asks nothing."""
    states = [_si(t, "K") / 293.15 * share for t, share in ((cold, _si(worn, "")), (hot, 1.0))] + [1.0]
    gust = 0.0 if wind is None else float(
        FACTS["air"].q.m_as("kg/m^3") * _si(wind, "m/s") ** 2 / 2 * FACTS["plate drag"].q.m_as("")
        * _si(width, "m") * _si(depth, "m") ** 2 / 2)
    return Demands(
        weight=_si(mass, "kg") * float(GRAVITY.magnitude), centre=_si(centre, "m"),
        centre_above=_si(centre_above, "m"), fall=_si(fall, "rad"), opening=_si(opening, "rad"), handle=_si(handle, "m"),
        count=int(count), friction=_si(friction, "N"), hinge_friction=_si(hinge_friction, "N*m"),
        hinge_hold=_si(hinge_hold, "N*m"),
        spring=_si(spring, "N*m"), spring_rate=_si(spring_rate, "N*m/rad"), scales=(min(states), max(states)),
        hand_limit=_si(hand_limit, "N"), shut_margin=_si(shut_margin, "N*m"), open_margin=_si(open_margin, "N*m"),
        lean=_si(lean, "rad", 0.0), wind=gust if wind is not None else -np.inf,
        rise_before=_si(rise_before, "rad"), fall_before=_si(fall_before, "rad"), mount_limit=_si(mount_limit, "N"))


class _Search:
    """One search: its candidates, what rejects them, and what is left."""

    def __init__(self, d: Demands, sizes: Sequence[StrutSize], law: str, margin: float, drilling: float) -> None:
        self.d, self.sizes, self.gas, self.margin, self.drilling = d, sizes, law == "gas", margin, drilling
        self.reasons: dict[str, int] = {}
        self.extended, self.stroke, self.weakest, self.strongest, self.step, self.ratio = (
            np.array([_si(getattr(size, name), unit) for size in sizes])
            for name, unit in (("extended", "m"), ("stroke", "m"), ("weakest", "N"), ("strongest", "N"), ("step", "N"),
                               ("force_ratio", "")))
        self.looked_at = 0

    def candidates(self, lid: list[float]) -> Candidates:
        """Every lid mount with every strut and spare length, both places of the body mount, in whole millimetres."""
        along = int(np.clip(MOST // (len(self.sizes) * DEEP * 2 * SLACKS**2), 4, 40))
        p = np.unique(np.round(np.linspace(lid[0], lid[1], along), 3))
        q = np.unique(np.round(np.linspace(lid[2], lid[3], DEEP), 3))
        spare = np.linspace(0.0, 0.5, SLACKS) ** 1.5
        grid = np.meshgrid(p, q, np.arange(len(self.sizes)), spare, spare, indexing="ij")
        p, q, row, first, last = (part.ravel() for part in grid)
        row = row.astype(int)
        usable = np.maximum(self.stroke[row] - 2 * self.margin - 0.003, 0.0)
        # A millimetre and a half beyond the margin, which rounding may take away again.
        shut = self.extended[row] - self.stroke[row] + self.margin + 0.0015 + first * usable
        opened = self.extended[row] - self.margin - 0.0015 - last * usable
        x, y = cut_circles(p, q, self.d.opening, shut, opened)
        self.looked_at = x.size
        made = Candidates(np.tile(p, 2), np.tile(q, 2), x.ravel(), y.ravel(), np.tile(row, 2))
        made = self._drop(made, np.isfinite(made.x), "the strut's change of length does not fit the lid mount's way")
        return Candidates(made.p, made.q, np.round(made.x, 3), np.round(made.y, 3), made.row)

    def _drop(self, c: Candidates, keep: Array, why: str) -> Candidates:
        lost = int(np.count_nonzero(~keep))
        if lost:
            self.reasons[why] = self.reasons.get(why, 0) + lost
        return c.only(keep)

    def sift(self, c: Candidates, body: list[float], boxes: Array, room: float) -> tuple[Candidates, Array, Array]:
        """Those that keep every limit, with the force to order and by how much it may be off, drilled as marked."""
        inside = (c.x >= body[0] - 1e-9) & (c.x <= body[1] + 1e-9) & (c.y >= body[2] - 1e-9) & (c.y <= body[3] + 1e-9)
        c = self._drop(c, inside, "the body mount lies outside the space given for it")
        shortest, _ = extremes(c, self.d.opening)
        c = self._drop(c, shortest - self._shortest(c) >= self.margin, "the strut is pushed to its end on the way")
        _, longest = extremes(c, self.d.opening)
        c = self._drop(c, self.extended[c.row] - longest >= self.margin, "the strut would be what stops the lid")
        c = self._drop(c, clears(c, self.d.opening, boxes, room), "the strut passes through a place to keep clear")
        return self._forces(c)

    def _shortest(self, c: Candidates) -> Array:
        return self.extended[c.row] - self.stroke[c.row]

    def _bounds(self, c: Candidates) -> tuple[Array, Array]:
        return bounds(c, self.d, (self.extended[c.row], self.stroke[c.row], self.ratio[c.row], self.gas))

    def _forces(self, c: Candidates) -> tuple[Candidates, Array, Array]:
        low, high = self._bounds(c)
        least, most = low.max(axis=0), high.min(axis=0)
        for one, words in enumerate(LOWER):
            for other, against in enumerate(UPPER):
                torn = (least > most) & (low.argmax(axis=0) == one) & (high.argmin(axis=0) == other)
                if count := int(np.count_nonzero(torn)):
                    self.reasons[f"the force needed {words} is too much {against}"] = count
        keep = least <= most
        c, least, most = c.only(keep), least[keep], most[keep]
        force = self._sold(c, least, most)
        off = np.minimum(force / np.maximum(least, 1e-9) - 1, 1 - force / np.maximum(most, 1e-9))
        # A hundredth is kept back: the sweep here is in steps, and a lid knows every angle.
        good = off >= 0.01
        c = self._drop(c, good, "no force that is sold lies between what it needs and what it may be")
        return c, force[good], off[good]

    def _sold(self, c: Candidates, least: Array, most: Array) -> Array:
        """The force that is sold and lies nearest to the middle of what would do."""
        weakest, strongest, step = self.weakest[c.row], self.strongest[c.row], self.step[c.row]
        # Off by the same share either way: the middle is 2 a b / (a + b).
        least = np.maximum(least, 1e-9)
        wanted = 2 * least / (1 + least / most)
        steps = np.floor((strongest - weakest) / step + 1e-9)
        return weakest + np.clip(np.round((wanted - weakest) / step), 0, np.maximum(steps, 0)) * step

    def report(self, kept: tuple[Candidates, Array, Array]) -> MountSearch:
        c, force, off = kept
        good = len(c)
        near = np.argsort(-off, kind="stable")[:CLOSE]
        spots = _spots(c, off)
        drilled = self._drilled(c.only(near), force[near])
        rank = np.argsort(-drilled, kind="stable")
        rows = tuple(self._found(c, force, near[place], drilled[place], n)
                     for n, place in enumerate(_apart(c.only(near), rank)) if drilled[place] > 0)
        reasons = sorted(self.reasons.items(), key=lambda item: -item[1])
        return MountSearch(
            looked_at=Q(float(self.looked_at)), good=Q(float(good)), found=rows,
            rejected=tuple(Rejected(name=name, count=Q(float(count))) for name, count in reasons),
            best=_best(rows), main_reason=reasons[0][0] if reasons else "none was rejected",
            spot=Q(np.arange(1.0, len(spots) + 1)), spot_along=Q(c.x[spots] * 1000, "mm"),
            spot_above=Q(c.y[spots] * 1000, "mm"), spot_lid_along=Q(c.p[spots] * 1000, "mm"),
            spot_lid_above=Q(c.q[spots] * 1000, "mm"), spot_off=Q(off[spots] * 100, "percent"),
        )

    def _drilled(self, c: Candidates, force: Array) -> Array:
        """By how much the force may be off when either mount is drilled off its mark, at worst."""
        worst = np.full(len(c), np.inf)
        e = self.drilling
        for lid, body in [((0.0, 0.0), (0.0, 0.0))] + [
            (((e * dx, e * dy), (0.0, 0.0)) if on_lid else ((0.0, 0.0), (e * dx, e * dy)))
            for on_lid in (True, False) for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))
        ]:
            moved = c.moved(lid, body)
            low, high = self._bounds(moved)
            shortest, longest = extremes(moved, self.d.opening)
            reaches = (shortest >= self._shortest(moved)) & (longest <= self.extended[moved.row])
            off = np.minimum(force / np.maximum(low.max(axis=0), 1e-9) - 1, 1 - force / np.maximum(high.min(axis=0), 1e-9))
            worst = np.minimum(worst, np.where(reaches, off, -1.0))
        return np.minimum(worst, 10.0)

    def _found(self, c: Candidates, force: Array, place: int, off: float, rank: int) -> FoundMount:
        one = c.only(np.array([place]))
        low, high = self._bounds(one)
        shortest, longest = extremes(one, self.d.opening)
        size = self.sizes[int(one.row[0])]
        limit = min(float(high.min()), 1e5)
        return FoundMount(
            name=f"{rank + 1}: {size.name}", force=Q(float(force[place]), "N"), off=Q(100 * float(off), "percent"),
            lid_along=Q(1000 * float(one.p[0]), "mm"), lid_above=Q(1000 * float(one.q[0]), "mm"),
            body_along=Q(1000 * float(one.x[0]), "mm"), body_above=Q(1000 * float(one.y[0]), "mm"),
            weakest=Q(max(float(low.max()), 0.0), "N"), strongest=Q(limit, "N"),
            left_in=Q(1000 * float((shortest - self._shortest(one))[0]), "mm"),
            left_out=Q(1000 * float((self.extended[one.row] - longest)[0]), "mm"))


def _apart(c: Candidates, rank: Array) -> list[int]:
    """The best of each neighbourhood, a few of each strut, so that the list holds real alternatives."""
    seen: set[tuple[int, ...]] = set()
    of_size: dict[int, int] = {}
    chosen: list[int] = []
    for place in rank:
        key = (int(c.row[place]), *(int(round(part[place] / 0.04)) for part in (c.p, c.x, c.y)))
        if key not in seen and of_size.get(key[0], 0) < OF_A_SIZE:
            seen.add(key)
            of_size[key[0]] = of_size.get(key[0], 0) + 1
            chosen.append(int(place))
        if len(chosen) == LISTED:
            break
    return chosen


def _spots(c: Candidates, off: Array) -> Array:
    """The best candidate of each square of ten millimetres for the body mount."""
    order = np.argsort(-off, kind="stable")
    cells = np.stack([np.round(c.x[order], 2), np.round(c.y[order], 2)], axis=1)
    _, first = np.unique(cells, axis=0, return_index=True)
    return order[first]


def _best(rows: Sequence[FoundMount]) -> str:
    if not rows:
        return "nothing keeps every limit: widen the space for the mounts, raise the hand's limit or add struts"
    one = rows[0]
    mm = {name: getattr(one, name).m_as("mm") for name in ("lid_along", "lid_above", "body_along", "body_above")}
    return (f"strut {one.name.partition(': ')[2]} of {one.force.m_as('N'):.0f} N; lid mount {mm['lid_along']:.0f} mm along, "
            f"{mm['lid_above']:.0f} mm above; body mount {mm['body_along']:.0f} mm along, {mm['body_above']:.0f} mm above")
