"""Head lost in one pipe with its fittings, what a valve costs, and what comes out of a hole."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import applies, calculator, result
from kit.kinds import Count, In, Out, Says
from kit.liquid_water import GRAVITY, Density, thickness_of, warmth
from kit.pipe_kernel import LAMINAR, Line, friction
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = [
    "Bore", "Coefficient", "Nozzle", "PipeLoss", "Roughness", "ValveLoss", "flow_input", "nozzle", "pipe_loss",
    "regime_of", "si", "valve_loss",
]

# Up to here no reliable value of friction is known; the larger one is taken.
UNSURE = 4000.0

Bore = Annotated[Quantity, In(
    "mm", "bore of the pipe", 13, out_by="0.3 mm", ge=1, le=1000, everyday=(6, 50), resolution=0.1, basis="measured",
    find="the drill shank that just fits; a hose is sold by its outside as often as by its bore")]
Roughness = Annotated[Quantity, In(
    "um", "roughness of the pipe's wall", 1.5, ge=0, le=5000, everyday=(0.5, 300), basis="handbook",
    find="hose, plastic and drawn tube 1.5; steel 45; galvanised iron 150")]
Coefficient = Annotated[Quantity, In(
    "1", "discharge coefficient of the hole", 0.62, ge=0.3, le=1, resolution=0.01, basis="handbook",
    find="a sharp-edged hole 0.62, a rounded or tapered nozzle 0.97, an open end of pipe 1")]
JET = Q(0.97)


def flow_input(meaning: str, example: float, **more: Any) -> In:
    """A flow of water."""
    return In("L/min", meaning, example, ge=0, le=100_000, basis="measured", resolution=0.1,
              find=more.pop("find", "fill a bucket of known size against a watch"), **more)


def si(quantity: Any, unit: str) -> Any:
    """Plain numbers in a unit, for the kernels."""
    return np.asarray(quantity.m_as(unit), dtype=float)


def regime_of(reynolds: Quantity) -> str:
    """How the water flows, in a word or two."""
    middle = nominal(reynolds)
    if middle < LAMINAR:
        return "laminar"
    return "turbulent" if middle > UNSURE else "in between, worked out as turbulent"


@result
class PipeLoss:
    """Head lost in a pipe and its fittings at one flow."""

    speed: Annotated[Quantity, Out("m/s", "mean speed in the pipe")]
    kinematic: Annotated[Quantity, Out("mm^2/s", "kinematic viscosity of the water")]
    reynolds: Annotated[Quantity, Out("1", "Reynolds number")]
    flows: Annotated[str, Says("how the water flows")]
    factor: Annotated[Quantity, Out("1", "friction factor (Darcy's; Fanning's is a quarter of it)", resolution=0.0001,
                                     absent="no flow")]
    along: Annotated[Quantity, Out("m", "head lost along the pipe", resolution=0.01, rounding="up")]
    fittings: Annotated[Quantity, Out("m", "head lost in fittings", resolution=0.01, rounding="up")]
    head: Annotated[Quantity, Out("m", "head lost in all", resolution=0.01, rounding="up")]
    pressure: Annotated[Quantity, Out("kPa", "pressure lost in all", resolution=0.1, rounding="up")]
    power: Annotated[Quantity, Out("W", "power turned into heat", resolution=0.01)]


@calculator("colebrook", "munson", "fluid-notes")
def pipe_loss(
    *,
    flow: Annotated[Quantity, flow_input("flow in the pipe", 6)],
    length: Annotated[Quantity, In("m", "length of the pipe", 4, ge=0, le=10_000, basis="measured",
                                   find="a string along its real way")],
    bore: Bore,
    loss: Annotated[Quantity, In("1", "sum of the loss coefficients of its fittings", 6.55, ge=0, le=10_000,
                                 find="add them up from the table of fittings")] = Q(0),
    roughness: Roughness = Q(1.5, "um"),
    temperature: Annotated[Quantity, warmth("temperature of the water", 20)] = Q(10, "degC"),
    density: Density = Q(999.7, "kg/m^3"),
    viscosity: Annotated[Quantity | None, In(
        "mm^2/s", "kinematic viscosity, of a liquid that is not water", 10, ge=0.05, le=1e5)] = None,
) -> PipeLoss:
    """Head that friction and fittings take from water flowing through a full round pipe.

    h = (f L/D + K) v^2/2g; f = 64/Re while the flow is laminar, else by
    Colebrook.  Between Reynolds numbers of 2300 and 4000 nothing reliable is
    known and the larger, turbulent loss is taken.  Hose that is kinked, ribbed
    or grown over inside loses more.

    >>> line = pipe_loss(flow=Q(6, "L/min"), length=Q(4, "m"), bore=Q(13, "mm"), loss=Q(6.55),
    ...                  temperature=Q(20, "degC"), density=Q(998.2, "kg/m^3"))
    >>> print(f"{line.speed:.2f~P}, {line.head:.2f~P} lost")
    0.75 m/s, 0.47 m lost
    """
    nu = thickness_of(temperature, density) if viscosity is None else viscosity
    line = Line(si(length, "m"), si(bore, "m"), si(loss, "1"), si(roughness, "m"), si(nu, "m^2/s"))
    q = si(flow, "m^3/s")
    reynolds = Q(line.reynolds(q)[()])
    applies((reynolds < Q(LAMINAR)) | (reynolds > Q(UNSURE)),
            "between laminar and turbulent flow no reliable loss is known; the larger one was taken")
    applies(roughness <= 0.05 * bore, "the wall is rougher than a twentieth of the bore: Colebrook does not cover that")
    along, fittings, _ = (Q(part[()], "m") for part in line.parts(q))
    pressure = (density * GRAVITY * (along + fittings)).to("kPa")
    return PipeLoss(
        speed=Q(line.speed(q)[()], "m/s"), kinematic=nu, reynolds=reynolds, flows=regime_of(reynolds),
        factor=Q(np.where(q > 0, friction(line.reynolds(q), line.roughness / line.bore)[0], np.nan)[()]),
        along=along, fittings=fittings, head=along + fittings, pressure=pressure, power=(pressure * flow).to("W"),
    )


@result
class ValveLoss:
    """What a valve of a known flow coefficient takes."""

    loss: Annotated[Quantity, Out("1", "its loss coefficient at the bore of the pipe", resolution=0.1, rounding="up")]
    pressure: Annotated[Quantity, Out("kPa", "pressure lost in it", resolution=0.1, rounding="up")]
    head: Annotated[Quantity, Out("m", "head lost in it", resolution=0.01, rounding="up")]


@calculator("kit")
def valve_loss(
    *,
    coefficient: Annotated[Quantity, In(
        "m^3/h", "flow coefficient Kv: cubic metres of water an hour at one bar", 0.9, ge=0.001, le=10_000,
        basis="data sheet", find="the valve's sheet; a Cv in US gallons and psi is Kv / 0.865")],
    flow: Annotated[Quantity, flow_input("flow through it", 8.8)],
    bore: Bore,
    density: Density = Q(999.7, "kg/m^3"),
) -> ValveLoss:
    """Pressure and head that a valve takes, from the flow coefficient on its sheet.

    dp = 1 bar (Q/Kv)^2 rho/1000, K = 2 dp / (rho v^2).  A small electric valve
    often takes more than all the pipe.

    >>> print(f"{valve_loss(coefficient=Q(0.9, 'm^3/h'), flow=Q(8.8, 'L/min'), bore=Q(13, 'mm')).head:.1f~P}")
    3.5 m
    """
    pressure = (Q(1, "bar") * (flow / coefficient) ** 2 * density / Q(1000, "kg/m^3")).to("kPa")
    area = np.pi / 4 * bore**2
    return ValveLoss(
        loss=(2 * Q(1, "bar") * area**2 / (Q(1000, "kg/m^3") * coefficient**2)).to(""), pressure=pressure,
        head=(pressure / (density * GRAVITY)).to("m"),
    )


@result
class Nozzle:
    """What comes out of a hole under a head of water."""

    flow: Annotated[Quantity, Out("L/min", "flow of all holes", resolution=0.1)]
    speed: Annotated[Quantity, Out("m/s", "speed of the jet", resolution=0.01)]
    rises: Annotated[Quantity, Out("m", "height a jet pointing up reaches, without the drag of the air")]
    narrowing: Annotated[Quantity, Out("1", "area of the jet over that of the hole", resolution=0.01)]


@calculator("torricelli")
def nozzle(
    *,
    head: Annotated[Quantity, In("m", "head of water at the hole", 2.6, ge=0, le=1000, basis="measured",
                                 find="a metre of head is 9.8 kPa, or 0.098 bar")],
    diameter: Annotated[Quantity, In("mm", "diameter of one hole", 6.5, ge=0.1, le=1000, everyday=(0.5, 30),
                                     resolution=0.1, basis="measured", find="drill shank that just fits")],
    holes: Annotated[int, Count("holes", 1, ge=1, le=1000)] = 1,
    coefficient: Coefficient = Q(0.62),
    speed_share: Annotated[Quantity, In("1", "speed of the jet over that without any loss", 0.97, ge=0.5, le=1,
                                        basis="handbook", resolution=0.001)] = JET,
) -> Nozzle:
    """Flow, speed and height of a free jet from a hole: Q = C A sqrt(2 g h), v = Cv sqrt(2 g h).

    The head is that in still water, or the total ahead of the hole.  Drag of
    the air and breaking up of the jet are left out: a fine spray rises far less.

    >>> jet = nozzle(head=Q(2.6, "m"), diameter=Q(6.5, "mm"))
    >>> print(f"{jet.flow:.1f~P} at {jet.speed:.1f~P}")
    8.8 L/min at 6.9 m/s
    """
    speed = (2 * GRAVITY * head) ** 0.5
    area = holes * np.pi / 4 * diameter**2
    return Nozzle(
        flow=(coefficient * area * speed).to("L/min"), speed=(speed_share * speed).to("m/s"),
        rises=speed_share**2 * head, narrowing=coefficient / speed_share,
    )
