"""What comes out of each outlet of a small pump: one valve open, all of them, and with a strainer half stopped up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.branch_kernel import alone, clean_and_blocked, together
from kit.calculator import applies, calculator, require, result
from kit.checks import Check, at_least, does_not_apply
from kit.kinds import Asks, Choice, In, Out, Rows, Says
from kit.liquid_water import GRAVITY, Density, thickness_of, warmth
from kit.outlet_rows import FITTINGS, SHARED, DeckAbove, Outlet, OutletFlow, PipeFitting, SharedPipe
from kit.pipe_flow import Bore, Roughness, si
from kit.pipe_kernel import Line, head_of
from kit.pump import OpenFlow, Points, ShutOff, Speed, curve_of
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["OutletFlows", "outlet_flows", "system_head"]

@result
class OutletFlows:
    """What every outlet gives, and which is the neediest."""

    by_outlet: Annotated[tuple[OutletFlow, ...], Rows("outlets")]
    neediest: Annotated[str, Says("outlet that is nearest to giving too little, and where its head goes")]
    all_open: Annotated[Quantity, Out("L/min", "flow of all, every valve open", resolution=0.1)]
    most_flow: Annotated[Quantity, Out("L/min", "greatest flow in the shared pipe", resolution=0.1, rounding="up")]
    least_flow: Annotated[Quantity, Out("L/min", "least flow of one outlet alone", resolution=0.1)]
    pipe_length: Annotated[Quantity, Out("m", "pipe in all", resolution=0.01, rounding="up")]
    highest: Annotated[Quantity, Out("m", "highest outlet above the water", resolution=0.01, rounding="up")]
    finest: Annotated[Quantity, Out("mm", "finest hole that water comes out of", resolution=0.1)]
    kinematic: Annotated[Quantity, Out("mm^2/s", "kinematic viscosity of the water")]
    season_open: Annotated[Quantity, Out("min", "pump runs on a day in the season", resolution=0.1)]
    winter_open: Annotated[Quantity, Out("min", "pump runs on a day out of the season", resolution=0.1)]
    season_valves: Annotated[Quantity, Out("min", "valves open on a day in the season, added up", resolution=0.1)]
    winter_valves: Annotated[Quantity, Out("min", "valves open on a day out of the season, added up", resolution=0.1)]
    open_together: Annotated[Quantity, Out("1", "valves open at the same time, at most")]
    season_water: Annotated[Quantity, Out("L", "water on a day in the season", resolution=1)]
    season_lifted: Annotated[Quantity, Out("Wh", "work done on the water on a day in the season", resolution=0.01)]
    enough: Annotated[Check, Asks("every outlet gives what is wanted, one valve open", "practice")]
    enough_blocked: Annotated[Check, Asks("every outlet gives what is wanted, strainer partly stopped up", "practice")]
    enough_together: Annotated[Check, Asks("every outlet gives what is wanted, every valve open", "practice")]
    valves_open: Annotated[Check, Asks("the pump's pressure opens every valve", "practice")]


@calculator("colebrook", "munson", "sanks-minor", "torricelli", "affinity")
def outlet_flows(
    *,
    shut_off_head: ShutOff,
    open_flow: OpenFlow,
    points: Points = (),
    speed: Speed = Q(100, "percent"),
    outlets: Annotated[Sequence[Outlet], Rows("outlets", least=1, most=20)],
    deck: DeckAbove = Q(0, "m"),
    shared_length: SharedPipe,
    shared_bore: Bore,
    strainer: Annotated[Quantity, In("1", "loss coefficient of the clean strainer", 2, ge=0, le=10_000,
                                     find="1 to 3 for a coarse basket; its sheet for a fine one")] = Q(2),
    shared_loss: Annotated[Quantity, In(
        "1", "loss coefficient of the rest of the shared pipe not listed under fittings", 0.5, ge=0, le=10_000)] = Q(0),
    fittings: Annotated[Sequence[PipeFitting], Rows("fittings", most=60, find="walk along each pipe and count")] = (),
    stopped: Annotated[Quantity, In("percent", "share of the strainer taken to be stopped up by weed", 50, chosen=True,
                                    ge=0, le=95,
                                    basis="common practice")] = Q(50, "percent"),
    use: Annotated[Literal["one valve at a time", "all at once"], Choice("how the outlets are used")]
    = "one valve at a time",
    roughness: Roughness = Q(1.5, "um"),
    temperature: Annotated[Quantity, warmth("temperature of the water", 10)] = Q(10, "degC"),
    density: Density = Q(999.7, "kg/m^3"),
) -> OutletFlows:
    """Flow of every outlet where the pump's head meets lift and losses.

    H(Q) = lift + (f L/D + K) v^2/2g of the shared pipe and its own + (Q/CA)^2/2g
    at the hole; with several open the head at the tee is found at which they
    pass what the pump gives.  Lift counts from the water's surface to the mouth,
    wherever the pump stands.  Loss of a stopped-up strainer goes with one over
    its open area squared.  Water hammer, air and kinks are left out.

    >>> outlet = Outlet(name="hand shower", height=Q(1.65, "m"), length=Q(2.4, "m"), bore=Q(13, "mm"),
    ...                 hole=Q(6.5, "mm"), loss=Q(6))
    >>> given = outlet_flows(shut_off_head=Q(12, "m"), open_flow=Q(12.5, "L/min"), outlets=[outlet],
    ...                      shared_length=Q(1.2, "m"), shared_bore=Q(13, "mm"), shared_loss=Q(2))
    >>> print(f"{given.least_flow:.1f~P}; {given.neediest}")
    7.7 L/min; hand shower, where most of the head goes through its hole
    """
    _check_lines(outlets, fittings)
    pump, nu = curve_of(shut_off_head, open_flow, points, speed), thickness_of(temperature, density)
    shape = np.broadcast_shapes(*(np.shape(getattr(v, "magnitude", v)) for v in (
        speed, deck, shared_length, shared_bore, strainer, shared_loss, stopped, roughness, nu, *_cells(outlets))),
        pump.flow.shape[1:])
    system = _System(outlets, fittings, deck, nu, roughness, shape)
    shared = system.shared(shared_length, shared_bore, strainer + shared_loss)
    either = clean_and_blocked(shared, si(strainer, "1"), si(stopped, "1"), shape)
    flow, slow = alone(pump, either, system.branch, system.lift)
    part = together(pump, shared, system.branch, system.lift, flow)
    wanted = system.column("wanted", "m^3/s")
    rows = tuple(_of_outlet(n, outlets[n].name, system, shared, (flow, slow, part), pump, density)
                 for n in range(len(outlets)))
    minutes = {when: system.column(when, "s") for when in ("season", "winter")}
    one = use == "one valve at a time"
    run = {when: times.sum(axis=0) if one else times.max(axis=0) for when, times in minutes.items()}
    litres = (minutes["season"] * (flow if one else part)).sum(axis=0)
    lifted = sum((row.power * Q(minutes["season"][n], "s") for n, row in enumerate(rows)), Q(0, "J"))
    applies(np.all(system.branch.roughness <= 0.05 * system.branch.bore),
            "a wall is rougher than a twentieth of its bore, which Colebrook does not cover")
    whole = part.sum(axis=0)
    return OutletFlows(
        by_outlet=rows, neediest=_neediest(flow, wanted, outlets, rows),
        all_open=_litres(whole), most_flow=_litres(np.maximum(whole, flow.max(axis=0))),
        pipe_length=Q((shared.length + system.branch.length.sum(axis=0))[()], "m"),
        least_flow=_litres(flow.min(axis=0)), highest=Q(system.lift.max(axis=0)[()], "m"),
        finest=Q(system.column("hole", "mm").min(axis=0)[()], "mm"), kinematic=nu,
        season_valves=Q(minutes["season"].sum(axis=0)[()], "s").to("min"),
        winter_valves=Q(minutes["winter"].sum(axis=0)[()], "s").to("min"),
        open_together=Q(1.0 if one else float(len(outlets))),
        season_open=Q(run["season"][()], "s").to("min"), winter_open=Q(run["winter"][()], "s").to("min"),
        season_water=Q(litres[()], "m^3").to("L"), season_lifted=lifted.to("Wh"),
        enough=_enough(flow, wanted, outlets, rows), enough_blocked=_enough(slow, wanted, outlets, rows),
        enough_together=(_enough(part, wanted, outlets, rows) if not one
                         else does_not_apply("one valve at a time was chosen")),
        valves_open=_valves(outlets, system, pump, density),
    )


def system_head(given: Any, flow: Quantity) -> Quantity:
    """Head that the way to one outlet takes at each of several flows, for a drawing.

    `given` holds the inputs of `outlet_flows` by name, with one outlet alone.
    """
    nu = thickness_of(given["temperature"], given["density"])
    system = _System(given["outlets"], given["fittings"], given["deck"], nu, given["roughness"], ())
    shared = system.shared(given["shared_length"], given["shared_bore"], given["strainer"] + given["shared_loss"])
    q = si(flow, "m^3/s")
    return Q(system.lift[0] + shared.head(q)[0] + system.branch.head(q)[0], "m")


class _System:
    """The outlets' pipes as arrays: outlets along the first axis, samples along the last."""

    def __init__(self, outlets: Sequence[Outlet], fittings: Sequence[PipeFitting], deck: Quantity, nu: Quantity,
                 roughness: Quantity, shape: tuple[int, ...]) -> None:
        self.outlets, self.fittings, self.shape = outlets, fittings, shape
        self.nu, self.roughness = si(nu, "m^2/s"), si(roughness, "m")
        self.lift = self.column("height", "m") + si(deck, "m")
        counts = np.array([one.holes for one in outlets], dtype=float).reshape((-1,) + (1,) * len(shape))
        area = self.column("coefficient", "1") * counts * np.pi / 4 * self.column("hole", "m") ** 2
        extra = np.array([self._listed(one.name) for one in outlets]).reshape(counts.shape)
        self.branch = Line(self.column("length", "m"), self.column("bore", "m"), self.column("loss", "1") + extra,
                           self.roughness, self.nu, head_of(1.0, area))

    def column(self, name: str, unit: str) -> Any:
        """One column of the outlets."""
        return np.stack([np.broadcast_to(si(getattr(one, name), unit), self.shape) for one in self.outlets])

    def _listed(self, line: str) -> float:
        """Loss of the fittings listed for a pipe."""
        return float(sum(FITTINGS[one.kind] * one.count for one in self.fittings if one.line == line))

    def shared(self, length: Quantity, bore: Quantity, loss: Quantity) -> Line:
        """The pipe that all outlets draw through."""
        return Line(si(length, "m"), si(bore, "m"), si(loss, "1") + self._listed(SHARED), self.roughness, self.nu)


def _cells(outlets: Sequence[Outlet]) -> list[Any]:
    names = ("height", "length", "bore", "hole", "coefficient", "loss", "wanted", "season", "winter")
    return [getattr(one, name) for one in outlets for name in names]


def _check_lines(outlets: Sequence[Outlet], fittings: Sequence[PipeFitting]) -> None:
    there = [SHARED, *(one.name for one in outlets)]
    stray = sorted({one.line for one in fittings} - set(there))
    require(not stray, f"there is no pipe called '{', '.join(stray)}'; write {', '.join(there[:-1])} or {there[-1]}",
            "fittings")


def _of_outlet(n: int, name: str, system: _System, shared: Line, flows: tuple[Any, Any, Any], pump: Any,
               density: Quantity) -> OutletFlow:
    flow = flows[0][n]
    (near, near_fit, _), (far, far_fit, hole) = shared.parts(flow), (part[n] for part in system.branch.parts(flows[0]))
    speed = system.branch.speed(flows[0])[n]
    # What the moving water carries along is no pressure on the wall.
    ahead = Q((hole - head_of(speed, 1.0))[()], "m")
    head = Q(pump.at(flow)[0][()], "m")
    return OutletFlow(
        name=name, lift=Q(system.lift[n][()], "m"), flow=_litres(flow), blocked=_litres(flows[1][n]),
        shared=_litres(flows[2][n]), head=head, along=Q((near + far)[()], "m"),
        fittings=Q((near_fit + far_fit)[()], "m"), at_hole=Q(hole[()], "m"),
        pressure=(density * GRAVITY * ahead).to("kPa"), speed=Q(speed[()], "m/s"),
        power=(density * GRAVITY * head * Q(flow[()], "m^3/s")).to("W"),
    )


def _litres(flow: Any) -> Quantity:
    """A flow as people know it, without the detour by the registry: this is done for every outlet and case."""
    return Q(flow[()] * 60_000, "L/min")


def _worst(flow: Any, wanted: Any) -> Any:
    """The outlet with the least flow for what is wanted of it, by sample."""
    need = np.where(wanted > 0, wanted / np.maximum(flow, 1e-12), 0)
    return np.argmax(np.nan_to_num(need, nan=np.inf), axis=0)[None]


def _named(flow: Any, wanted: Any, outlets: Sequence[Outlet], rows: Sequence[OutletFlow]) -> tuple[str, str]:
    """The neediest outlet at the middle of the samples, and where its head goes."""
    middle = [np.array([nominal(one) for one in values]) if values.ndim > 1 else values for values in (flow, wanted)]
    place = int(_worst(*middle)[0])
    name, one = outlets[place].name, rows[place]
    if not middle[0][place] > 0:
        return name, "the pump does not lift so high"
    goes = {
        "into lifting it": one.lift, "along the pipe: a wider bore helps": one.along,
        "into fittings and valves": one.fittings, "through its hole": one.at_hole,
    }
    return name, f"most of the head goes {max(goes, key=lambda where: nominal(goes[where]))}"


def _neediest(flow: Any, wanted: Any, outlets: Sequence[Outlet], rows: Sequence[OutletFlow]) -> str:
    return ", where ".join(_named(flow, wanted, outlets, rows))


def _enough(flow: Any, wanted: Any, outlets: Sequence[Outlet], rows: Sequence[OutletFlow]) -> Check:
    worst = _worst(flow, wanted)
    least, need = (_litres(np.take_along_axis(values, worst, axis=0)[0]) for values in (flow, wanted))
    return at_least(least, need, reason=": ".join(_named(flow, wanted, outlets, rows)))


def _valves(outlets: Sequence[Outlet], system: _System, pump: Any, density: Quantity) -> Check:
    """Pressure on a shut valve, the pump running, against what it needs to open: the least to spare of all."""
    needing = [n for n, one in enumerate(outlets) if one.opens_at is not None]
    if not needing:
        return does_not_apply("no valve needs pressure to open")
    weight = si(density * GRAVITY, "N/m^3")
    there = np.stack([np.broadcast_to(weight * (pump.head[0] - system.lift[n]), system.shape) for n in needing])
    need = np.stack([np.broadcast_to(si(outlets[n].opens_at, "Pa"), system.shape) for n in needing])
    worst = np.argmin(np.nan_to_num(there - need, nan=-np.inf), axis=0)[None]
    has, wants = (Q(np.take_along_axis(values, worst, axis=0)[0][()], "Pa").to("kPa") for values in (there, need))
    return at_least(has, wants, reason=f"least to spare at {outlets[needing[int(np.ravel(worst)[0])]].name}")
