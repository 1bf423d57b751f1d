"""What a builder says about each outlet, its pipe and its fittings, and what comes out of each."""

from __future__ import annotations

from typing import Annotated

from kit.calculator import result, row
from kit.kinds import Choice, Count, In, Out, Text
from kit.pipe_flow import Bore, Coefficient, flow_input
from kit.quantities import Q, Quantity
from kit.sources import read_table

__all__ = ["FITTINGS", "SHARED", "DeckAbove", "Outlet", "OutletFlow", "PipeFitting", "SharedPipe"]

# The name of the pipe that every outlet draws through.
SHARED = "shared"
FITTINGS: dict[str, float] = {line["fitting"]: float(line["loss"]) for line in read_table("fittings")}

Length = In("m", "length of pipe", 2.4, out_by="50 mm", ge=0, le=1000, resolution=0.01, basis="measured",
            find="string along its real way, bends and all")
DeckAbove = Annotated[Quantity, In(
    "m", "deck top above the water, nobody aboard", 0.49, ge=-5, le=50, resolution=0.01,
    find="rule from the deck down to the water; zero when heights are measured from the water")]
SharedPipe = Annotated[Quantity, In(
    "m", "length of the pipe that all outlets share, from the water to the first tee", 1.2, out_by="50 mm",
    ge=0, le=1000,
    resolution=0.01, basis="measured", find="string along its real way, through the pump")]


@row
class Outlet:
    """One place where water comes out, and the pipe that leads only to it."""

    name: Annotated[str, Text("outlet", "hand shower")]
    height: Annotated[Quantity, In("m", "its mouth above the deck", 1.16, out_by="20 mm",
                                   ge=-50, le=100, resolution=0.01,
                                   basis="measured", find="rule; the highest place it is held at")]
    length: Annotated[Quantity, Length]
    bore: Bore
    hole: Annotated[Quantity, In("mm", "diameter of its hole", 6.5, out_by="0.1 mm",
                                 ge=0.1, le=1000, everyday=(0.5, 50),
                                 resolution=0.1, basis="measured", find="drill shank that just fits")]
    holes: Annotated[int, Count("holes", 1, ge=1, le=1000)] = 1
    coefficient: Coefficient = Q(0.62)
    loss: Annotated[Quantity, In("1", "loss coefficient of what is not listed under fittings", 1, ge=0, le=10_000,
                                 find="a valve by its Kv, barbs, a tee")] = Q(0)
    wanted: Annotated[Quantity, flow_input("flow wanted", 6, chosen=True, find="6 L/min is a modest shower")] = Q(
        6, "L/min")
    opens_at: Annotated[Quantity | None, In(
        "kPa", "pressure its valve needs before it opens", 20, ge=0, le=2000, basis="data sheet",
        find="servo-assisted electric valves need 20 to 50; direct-acting ones and taps need none: leave out")] = None
    season: Annotated[Quantity, In("min", "minutes open on a day in the season", 4, ge=0, le=1440)] = Q(0, "min")
    winter: Annotated[Quantity, In("min", "minutes open on a day out of the season", 0, ge=0, le=1440)] = Q(0, "min")


@row
class PipeFitting:
    """Fittings of one kind on one pipe."""

    name: Annotated[str, Text("fittings", "elbows at the post")]
    line: Annotated[str, Text("pipe they are on: 'shared', or the name of an outlet", SHARED)]
    kind: Annotated[str, Choice("kind of fitting", "elbow", options=tuple(FITTINGS), basis="handbook")]
    count: Annotated[int, Count("how many", 2, ge=0, le=200)] = 1


@result
class OutletFlow:
    """One outlet: what it gives, and where the head goes while only its valve is open."""

    name: Annotated[str, Text("outlet", "hand shower")]
    lift: Annotated[Quantity, Out("m", "its mouth above the water", resolution=0.01, rounding="up")]
    flow: Annotated[Quantity, Out("L/min", "flow, alone", resolution=0.1)]
    blocked: Annotated[Quantity, Out("L/min", "flow, strainer partly stopped up", resolution=0.1)]
    shared: Annotated[Quantity, Out("L/min", "flow, every valve open", resolution=0.1)]
    head: Annotated[Quantity, Out("m", "head the pump gives", resolution=0.01)]
    along: Annotated[Quantity, Out("m", "of that lost along the pipe", resolution=0.01)]
    fittings: Annotated[Quantity, Out("m", "of that lost in fittings", resolution=0.01)]
    at_hole: Annotated[Quantity, Out("m", "of that left at the hole", resolution=0.01)]
    pressure: Annotated[Quantity, Out("kPa", "pressure ahead of the hole", resolution=0.1)]
    speed: Annotated[Quantity, Out("m/s", "speed in its pipe", resolution=0.01)]
    power: Annotated[Quantity, Out("W", "power in the water", resolution=0.1)]
