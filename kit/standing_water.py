"""Whether water from a lake is fit to stand under: warm, stale and finely sprayed water is not."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply, fails, open_check
from kit.kinds import Asks, Choice, In, Out, Says, YesNo
from kit.liquid_water import warmth
from kit.pipe_flow import flow_input
from kit.quantities import Q, Quantity

__all__ = ["ShowerWater", "shower_water"]

Source = Literal["lake or stream", "rain tank", "mains"]
Spray = Literal["coarse jet", "shower rose", "fine mist"]


@result
class ShowerWater:
    """What makes a spray of lake water safe enough, and what does not."""

    flush: Annotated[Quantity, Out("s", "run it before anybody stands under it, after it stood", resolution=1,
                                   rounding="up", absent="nothing flows")]
    flush_water: Annotated[Quantity, Out("L", "water for that", resolution=0.1, rounding="up")]
    says: Annotated[str, Says("what it is fit for")]
    cool: Annotated[Check, Asks("the water is too cool for Legionella to grow", "WHO-legionella", hazard=True)]
    coarse: Annotated[Check, Asks("it falls in drops too coarse to breathe in", "practice", hazard=True)]
    flushed: Annotated[Check, Asks("stale water is run off before use", "practice", hazard=True)]
    watched: Annotated[Check, Asks("it is shut off in a bloom of algae", "NYSDOH-algae", hazard=True)]
    told: Annotated[Check, Asks("a notice says that it is not drinking water", "practice", hazard=True)]


@calculator("WHO-legionella", "NYSDOH-algae", "practice")
def shower_water(
    *,
    source: Annotated[Source, Choice("where the water comes from", "lake or stream")],
    warmest: Annotated[Quantity, warmth("warmest that the water gets where it is drawn", 18)],
    limit: Annotated[Quantity, In(
        "degC", "warmest water to be sprayed", 20, ge=10, le=25, chosen=True, basis="handbook",
        find="below 25, better below 20; read only on pages that quote a health agency")] = Q(20, "degC"),
    spray: Annotated[Spray, Choice("how it comes out", "coarse jet")],
    finest: Annotated[Quantity, In("mm", "finest hole it comes out of", 6.5, ge=0.05, le=1000, resolution=0.1,
                                   basis="measured")],
    coarsest_mist: Annotated[Quantity, In("mm", "holes finer than this make mist", 1, chosen=True,
                                          ge=0.1, le=5, resolution=0.1,
                                          basis="common practice")] = Q(1, "mm"),
    volume: Annotated[Quantity, In("L", "water that stands in the pipes", 0.82, ge=0, le=1000, resolution=0.01)],
    flow: Annotated[Quantity, flow_input("flow of the slowest outlet", 8.8)],
    turns: Annotated[Quantity, In("1", "times the water in the pipes is changed by a flush", 3, chosen=True,
                                  ge=1, le=20,
                                  basis="common practice")] = Q(3),
    planned: Annotated[Quantity | None, In("s", "flush that the notice asks for", 30, chosen=True,
                                           ge=0, le=3600)] = None,
    bloom: Annotated[bool | None, YesNo("does somebody look for a bloom and shut the water off")] = None,
    notice: Annotated[bool | None, YesNo("is there a notice at every outlet")] = None,
) -> ShowerWater:
    """Whether an untreated spray is kept cool, coarse, fresh and known for what it is.

    Flush time = turns * volume / flow.  Water that stood in a hose in the sun
    may be warm enough to grow in, and hot enough to scald: the flush is for
    both.  None of this makes lake water fit to drink, and nothing here replaces
    a test of the water or what the local health authority says.

    >>> water = shower_water(source="lake or stream", warmest=Q(18, "degC"), spray="coarse jet", finest=Q(6.5, "mm"),
    ...                      volume=Q(0.82, "L"), flow=Q(8.8, "L/min"), planned=Q(30, "s"), bloom=True, notice=True)
    >>> print(f"run it {water.flush:.0f~P}: {water.says}")
    run it 17 s: a rinse, never a drink; not in a bloom, not on open wounds
    """
    stands = turns * volume
    flush = (stands / Q(_positive(flow), "L/min")).to("s")
    mains = source == "mains"
    return ShowerWater(
        flush=flush, flush_water=stands.to("L"), says=_SAYS[source],
        cool=at_most(warmest, limit, share=False,
                     reason="limit not verified in its source; look it up and ask the health authority"),
        coarse=(fails("a fine mist is breathed in: use a coarse jet") if spray == "fine mist" else
                at_least(finest, coarsest_mist, share=False, reason="holes as fine as that make drops that float")),
        flushed=open_check("say how long the notice asks to run it") if planned is None else at_least(planned, flush),
        watched=does_not_apply("mains water") if mains else _yes(
            bloom, "say who looks for a bloom", "nobody looks for a bloom: its poisons harm skin, liver and nerves"),
        told=does_not_apply("mains water") if mains else _yes(
            notice, "say whether there is a notice", "put a notice at every outlet: not drinking water"),
    )


_SAYS: dict[str, str] = {
    "lake or stream": "a rinse, never a drink; not in a bloom, not on open wounds",
    "rain tank": "a rinse, never a drink; empty and clean the tank each season",
    "mains": "as the supplier says, as long as the hose is fit for drinking water and flushed",
}


def _positive(flow: Quantity) -> object:
    plain = np.asarray(flow.m_as("L/min"))
    return np.where(plain > 0, plain, np.nan)[()]


def _yes(answer: bool | None, ask: str, why: str) -> Check:
    """A question that only yes settles."""
    if answer is None:
        return open_check(ask)
    return Check(met=True, reason="yes, as answered") if answer else fails(why)
