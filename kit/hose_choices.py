"""Which bore of hose to buy: the same outlets tried with each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check
from kit.kinds import Choice, In, Out, Rows, Says, Text
from kit.liquid_water import Density, warmth
from kit.outlet_rows import DeckAbove, Outlet, PipeFitting, SharedPipe
from kit.outlets import OutletFlows, outlet_flows
from kit.pipe_flow import Bore, Roughness
from kit.pump import OpenFlow, Points, ShutOff, Speed
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["HoseChoice", "HoseChoices", "HoseSize", "hose_choices"]


@row
class HoseSize:
    """A hose on the shelf."""

    name: Annotated[str, Text("hose", "13 mm")]
    bore: Bore
    price: Annotated[Quantity | None, In("money/m", "price of a metre", 3, ge=0, le=1000, resolution=0.01)] = None


# Bores that hose is commonly sold in; common practice, no source.
_COMMON = tuple(HoseSize(name=f"{bore} mm", bore=Q(bore, "mm")) for bore in (8, 10, 13, 16, 19, 25))


@result
class HoseChoice:
    """All pipes in one bore."""

    name: Annotated[str, Text("hose", "13 mm")]
    flow: Annotated[Quantity, Out("L/min", "neediest outlet, alone", resolution=0.1)]
    share: Annotated[Quantity, Out("percent", "of what is wanted there", resolution=1, rounding="down")]
    all_open: Annotated[Quantity, Out("L/min", "all together, every valve open", resolution=0.1)]
    speed: Annotated[Quantity, Out("m/s", "fastest water in a pipe", resolution=0.1)]
    holds: Annotated[Quantity, Out("L", "water that stands in the pipes", resolution=0.01)]
    cost: Annotated[Quantity, Out("money", "price of the lengths", resolution=0.01, absent="-")]
    says: Annotated[str, Says("against it")]


@result
class HoseChoices:
    """Every hose tried whole, and the finest that does."""

    choices: Annotated[tuple[HoseChoice, ...], Rows("hoses tried, all pipes alike")]
    finest: Annotated[str, Says("finest hose that gives what is wanted, strainer partly stopped up")]


@calculator("colebrook", "practice")
def hose_choices(
    *,
    shut_off_head: ShutOff,
    open_flow: OpenFlow,
    points: Points = (),
    speed: Speed = Q(100, "percent"),
    outlets: Annotated[Sequence[Outlet], Rows("outlets", least=1, most=20)],
    deck: DeckAbove = Q(0, "m"),
    shared_length: SharedPipe,
    strainer: Annotated[Quantity, In("1", "loss coefficient of the clean strainer", 2, ge=0, le=10_000)] = Q(2),
    shared_loss: Annotated[Quantity, In("1", "loss coefficient of the rest of the shared pipe", 0.5, ge=0, le=10_000)]
    = Q(0),
    fittings: Annotated[Sequence[PipeFitting], Rows("fittings", most=60)] = (),
    stopped: Annotated[Quantity, In("percent", "share of the strainer taken to be stopped up by weed", 50, ge=0, le=95)]
    = Q(50, "percent"),
    use: Annotated[Literal["one valve at a time", "all at once"], Choice("how the outlets are used")]
    = "one valve at a time",
    roughness: Roughness = Q(1.5, "um"),
    temperature: Annotated[Quantity, warmth("temperature of the water", 10)] = Q(10, "degC"),
    density: Density = Q(999.7, "kg/m^3"),
    sizes: Annotated[Sequence[HoseSize], Rows("hoses on the shelf", most=20, find="leave out for the common bores")]
    = (),
) -> HoseChoices:
    """Flows with every pipe in one bore after the other, the rest as it is.

    Each is worked out whole by `outlet_flows`; nothing is scaled.  Loss goes
    with about the fifth power of the bore: past some size only water that
    stands and goes stale is gained.

    >>> outlet = Outlet(name="hand shower", height=Q(1.65, "m"), length=Q(2.4, "m"), bore=Q(13, "mm"),
    ...                 hole=Q(6.5, "mm"), loss=Q(6))
    >>> hose_choices(shut_off_head=Q(12, "m"), open_flow=Q(12.5, "L/min"), outlets=[outlet],
    ...              shared_length=Q(1.2, "m"), shared_loss=Q(2)).finest
    '10 mm'
    """
    made = []
    for size in sizes or _COMMON:
        piped = [replace(one, bore=size.bore) for one in outlets]
        found = outlet_flows(
            shut_off_head=shut_off_head, open_flow=open_flow, points=points, speed=speed, outlets=piped, deck=deck,
            shared_length=shared_length, shared_bore=size.bore, strainer=strainer, shared_loss=shared_loss,
            fittings=fittings, stopped=stopped, use=use, roughness=roughness, temperature=temperature, density=density)
        made.append((size, found))
    return HoseChoices(
        choices=tuple(_choice(size, found, use) for size, found in made), finest=_finest(made, use))


def _choice(size: HoseSize, found: OutletFlows, use: str) -> HoseChoice:
    check = _check(found, use)
    assert check.value is not None and check.limit is not None
    wanted = np.asarray(check.limit.m_as("L/min"))
    share = np.where(wanted > 0, check.value.m_as("L/min") / np.where(wanted > 0, wanted, 1), 1.0)
    area = np.pi / 4 * size.bore**2
    none = Q(np.nan * found.pipe_length.magnitude, "money")
    return HoseChoice(
        name=size.name, flow=check.value, share=Q(share[()]).to("percent"), all_open=found.all_open,
        speed=(found.most_flow / area).to("m/s"), holds=(area * found.pipe_length).to("L"),
        cost=none if size.price is None else size.price * found.pipe_length, says=_against(found, use),
    )


def _check(found: OutletFlows, use: str) -> Check:
    return found.enough if use == "one valve at a time" else found.enough_together


def _against(found: OutletFlows, use: str) -> str:
    check = _check(found, use)
    if not check.passes:
        return f"too little: {check.reason}"
    return "nothing" if found.enough_blocked.passes else "too little once the strainer is partly stopped up"


def _finest(made: Sequence[tuple[HoseSize, OutletFlows]], use: str) -> str:
    good = [size for size, found in made if _against(found, use) == "nothing"]
    return min(good, key=lambda size: nominal(size.bore.to("mm"))).name if good else "none of them"
