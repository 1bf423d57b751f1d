"""A pump's curve from points that were measured or printed, at the volts it gets."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import numpy as np

from kit.calculator import applies, calculator, require, result, row
from kit.checks import Check, at_most
from kit.kinds import Asks, In, Out, Rows, Text
from kit.liquid_water import GRAVITY, Density
from kit.pipe_flow import flow_input, si
from kit.pipe_kernel import Curve
from kit.quantities import Q, Quantity

__all__ = ["POINTS", "OpenFlow", "Points", "PumpCurve", "PumpPoint", "ShutOff", "Speed", "curve_of", "pump_curve"]

# Points of the curve that is drawn.
POINTS = 41

Speed = Annotated[Quantity, In(
    "percent", "speed of the pump, share of that at which its points were taken", 100, ge=10, le=200, resolution=1)]


ShutOff = Annotated[Quantity, In(
    "m", "head at which it lifts no more, outlet shut", 12, ge=0.1, le=1000, everyday=(1, 60), resolution=0.1,
    basis="data sheet", find="gauge on a shut outlet, 1 bar is 10.2 m; or lift the hose of a weak pump until it stops")]
OpenFlow = Annotated[Quantity, In(
    "L/min", "flow with nothing to lift", 12.5, ge=0.01, le=100_000, everyday=(2, 200), resolution=0.1,
    basis="data sheet", find="bucket and watch, a short wide hose held at the water's level; or the label")]


@row
class PumpPoint:
    """One point of a pump's curve."""

    name: Annotated[str, Text("point", "outlet shut")]
    flow: Annotated[Quantity, flow_input("flow", 8, find="bucket and watch, the hose end held at that height")]
    head: Annotated[Quantity, In(
        "m", "head: height of the hose end above the water", 6.5, ge=0, le=1000, resolution=0.1, basis="measured",
        find="short wide hose held up; two heights are enough to begin with; a gauge of 1 bar is 10.2 m")]


Points = Annotated[Sequence[PumpPoint], Rows(
    "points of the pump's curve between the two", most=40,
    find="the pump's sheet, or a bucket and a watch at two heights")]


@result
class PumpCurve:
    """What a pump gives from a shut outlet to an open one."""

    speed: Annotated[Quantity, Out("percent", "speed, share of that of the points", resolution=1)]
    shut_off: Annotated[Quantity, Out("m", "head with every outlet shut", resolution=0.1, rounding="down")]
    shut_pressure: Annotated[Quantity, Out("bar", "pressure with every outlet shut", resolution=0.01, rounding="up")]
    most_flow: Annotated[Quantity, Out("L/min", "flow with nothing to lift and no pipe", resolution=0.1)]
    most_power: Annotated[Quantity, Out("W", "most power it gives to the water", resolution=0.1)]
    best_flow: Annotated[Quantity, Out("L/min", "flow at which it gives most power", resolution=0.1)]
    flow: Annotated[Quantity, Out("L/min", "flow")]
    head: Annotated[Quantity, Out("m", "head", over="flow")]
    power: Annotated[Quantity, Out("W", "power given to the water", over="flow")]
    holds: Annotated[Check, Asks("pipes and joints hold the pump with every outlet shut", "practice")]


def curve_of(shut_off_head: Quantity, open_flow: Quantity, points: Sequence[PumpPoint], speed: Quantity) -> Curve:
    """The curve at a speed, in SI units, points in order of flow; refuses points that do not fall.

    Flow goes with speed, head with its square.  A sample whose head does not
    fall from point to point becomes nan.
    """
    flows = [0 * si(open_flow, "m^3/s"), *(si(point.flow, "m^3/s") for point in points), si(open_flow, "m^3/s")]
    heads = [si(shut_off_head, "m"), *(si(point.head, "m") for point in points), 0 * si(shut_off_head, "m")]
    flow, head, share = (np.stack(np.broadcast_arrays(*rows)) for rows in (
        (*flows, *heads), (*heads, *flows), (si(speed, "1"), *flows, *heads)))
    count = len(flows)
    order = np.argsort(flow[:count], axis=0, kind="stable")
    flow, head = (np.take_along_axis(values[:count], order, axis=0) for values in (flow, head))
    farther, lower = np.diff(flow, axis=0), -np.diff(head, axis=0)
    same = (farther == 0) & (lower == 0)
    same[[0, -1]] = False  # a point measured twice is one point, but no point is an end of the curve
    good = np.all(((farther > 0) & (lower > 0)) | same, axis=0)
    require(good, "from the shut outlet to the open one every point needs a larger flow and a lower head than the one "
            "before it, such as 4 L/min at 10 m, then 8 L/min at 6.5 m; where a curve has a hump leave out what lies "
            "left of it", "points", "shut_off_head", "open_flow")
    # Flows that do not rise would divide by nothing: such a sample gets flows that do, and heads that are none.
    ranks = np.arange(count, dtype=float).reshape((count,) + (1,) * (flow.ndim - 1))
    return Curve(np.where(good, flow, ranks) * share[0], np.where(good, head, np.nan) * share[0] ** 2)


@calculator("affinity", "practice")
def pump_curve(
    *,
    shut_off_head: ShutOff,
    open_flow: OpenFlow,
    points: Points = (),
    volts: Annotated[Quantity, In(
        "V", "volts at the pump while it runs", 12, ge=1, le=1000, everyday=(5, 60), basis="measured",
        find="meter at the pump's own terminals, pump running, battery as low as it may get")] = Q(12, "V"),
    curve_volts: Annotated[Quantity, In(
        "V", "volts at which the points were taken", 12, chosen=True,
        ge=1, le=1000, everyday=(5, 60), basis="data sheet",
        find="printed beside the curve")] = Q(12, "V"),
    density: Density = Q(999.7, "kg/m^3"),
    rating: Annotated[Quantity, In(
        "bar", "pressure that the weakest pipe or joint may get", 3, chosen=True, ge=0.1, le=100, basis="data sheet",
        resolution=0.1, find="printed on the hose; a clip on a smooth barb holds little")] = Q(3, "bar"),
) -> PumpCurve:
    """A pump's head by its flow, straight between the points given, at the volts it gets.

    Speed goes with volts, Q ~ n, H ~ n^2: true of points that belong together,
    and a fair guess for a small direct-current motor.  A straight line lies
    under a curve that bows up, on the safe side.  Label figures of greatest
    head and greatest flow never come together: they are the two ends.  Wear,
    heat and air in the water are left out.

    >>> small = pump_curve(shut_off_head=Q(12, "m"), open_flow=Q(12.5, "L/min"))
    >>> print(f"{small.shut_pressure:.2f~P} shut, at most {small.most_power:.1f~P} at {small.best_flow:.1f~P}")
    1.18 bar shut, at most 6.1 W at 6.2 L/min
    """
    speed = (volts / curve_volts).to("percent")
    require((speed >= Q(10, "percent")) & (speed <= Q(200, "percent")),
            "the pump would turn at less than a tenth or more than twice the speed of its curve; give volts nearer to "
            "each other, such as 11.5 V of 12 V", "volts", "curve_volts")
    curve = curve_of(shut_off_head, open_flow, points, speed)
    applies((speed >= Q(70, "percent")) & (speed <= Q(130, "percent")),
            "so far from its volts speed no longer goes with volts: measure the pump at the volts it gets")
    applies(bool(points), "only the two ends are known: a pump gives more in between than the straight line drawn")
    most = curve.flow[-1]
    flow = np.linspace(0, 1, POINTS).reshape((POINTS,) + (1,) * np.ndim(most)) * most
    head = curve.at(flow)[0]
    power = si(density * GRAVITY, "N/m^3") * flow * head
    best = np.argmax(np.nan_to_num(power), axis=0)[None]
    shut_off = Q(curve.head[0][()], "m")
    shut_pressure = (density * GRAVITY * shut_off).to("bar")
    return PumpCurve(
        speed=speed, shut_off=shut_off, shut_pressure=shut_pressure,
        most_flow=Q(most[()], "m^3/s").to("L/min"),
        most_power=Q(np.take_along_axis(power, best, 0)[0][()], "W"),
        best_flow=Q(np.take_along_axis(np.broadcast_to(flow, power.shape), best, 0)[0][()], "m^3/s").to("L/min"),
        flow=Q(flow, "m^3/s").to("L/min"), head=Q(head, "m"), power=Q(power, "W"),
        holds=at_most(shut_pressure, rating),
    )
