"""Where the rain goes on a lid: fall, overhang, drip edge; where two lids meet; the seal on the rim."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit import lid_swing
from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply, open_check
from kit.kinds import Asks, Choice, In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import nominal, nq

__all__ = ["MeetingEdge", "RainOff", "RimSeal", "meeting_edge", "rain_off", "rim_seal"]

FACTS = read_facts("lids")


def _gap(meaning: str, example: float, find: str = "rule or calipers") -> In:
    return In("mm", meaning, example, ge=0, le=200, resolution=0.1, find=find, out_by="0.5 mm")


@result
class RainOff:
    """How water leaves a lid."""

    falls: Annotated[
        Quantity, Out("deg", "fall that is left when the float lists against it", resolution=0.1, rounding="down")
    ]
    per_metre: Annotated[Quantity, Out("mm/m", "the same", resolution=1, rounding="down")]
    drop: Annotated[Quantity, Out("mm", "front edge below the hinge edge, at rest", resolution=1)]
    runs_off: Annotated[
        Quantity, Out("L/min", "water that leaves the lid in a cloudburst", resolution=0.1, rounding="up")
    ]
    goes: Annotated[str, Says("where the rain goes, in words")]
    sheds: Annotated[Check, Asks("water runs off and does not stand", "practice")]
    overhangs: Annotated[Check, Asks("lid overhangs what it covers", "practice")]
    drips: Annotated[Check, Asks("drip groove is deep enough", "practice")]
    groove_in: Annotated[Check, Asks("drip groove is far enough from the edge", "practice")]


@calculator("kit", "practice")
def rain_off(
    *,
    fall: lid_swing.Fall,
    list_against: Annotated[
        Quantity,
        In(
            "deg",
            "how far the float may list against the fall, at rest",
            1,
            ge=0,
            le=30,
            find="what stage 10 says with nobody aboard; 0 on firm ground",
        ),
    ] = Q(0, "deg"),
    depth: Annotated[Quantity, In("mm", "depth of the lid", 640, ge=50, le=3000)],
    width: Annotated[Quantity, In("mm", "width of the lid", 550, ge=50, le=5000)],
    overhang: Annotated[Quantity, _gap("lid beyond the side that it covers", 25)],
    groove: Annotated[
        Quantity | None, _gap("depth of the drip groove; leave out where the edge is bevelled", 4)
    ] = None,
    groove_from_edge: Annotated[Quantity, _gap("drip groove from the lid's edge", 10)] = Q(10, "mm"),
    cloudburst: Annotated[
        Quantity,
        In(
            "mm/hour",
            "heaviest rain",
            100,
            ge=1,
            le=500,
            basis="common practice",
            find=("national rain tables, five minutes' rain"),
        ),
    ] = Q(100, "mm/hour"),
    least_fall: Annotated[
        Quantity,
        In(
            "deg",
            "least fall wanted",
            0.5,
            ge=0,
            le=20,
            chosen=True,
            basis="common practice",
            find="9 mm in a metre is half a degree",
        ),
    ] = Q(0.5, "deg"),
    least_overhang: Annotated[
        Quantity, In("mm", "least overhang wanted", 15, ge=0, le=200, chosen=True, basis="common practice")
    ] = Q(15, "mm"),
) -> RainOff:
    """Whether rain leaves a lid and drips clear of the box below.

    What is left of the fall when the float lists against it must still shed;
    drop = depth x sin(fall); run-off = rain x area.  Wind that drives rain up
    under the edge is left out: that is the seal's business.

    >>> lid = rain_off(fall=Q(2, "deg"), depth=Q(640, "mm"), width=Q(550, "mm"), overhang=Q(25, "mm"))
    >>> print(f"{lid.drop.m_as('mm'):.0f} mm, {lid.runs_off.m_as('L/min'):.1f} L/min")
    22 mm, 0.6 L/min
    """
    # A lid may fall to its hinge edge as well: then it must shed there.
    left = (abs(fall) - list_against).to("deg")
    per_metre = (nq.tan(left).to("") * 1000 * Q(1, "mm/m")).to("mm/m")
    edge = "front" if nominal(fall) >= 0 else "hinge"
    none = does_not_apply("the edge is bevelled, not grooved")
    return RainOff(
        falls=left,
        per_metre=per_metre,
        drop=(depth * nq.sin(fall)).to("mm"),
        runs_off=(cloudburst * depth * width).to("L/min"),
        goes=f"runs to the {edge} edge and drips off there"
        if nominal(left) > 0
        else "stands on the lid whenever the float lists against its fall",
        sheds=at_least(left, least_fall),
        overhangs=at_least(overhang, least_overhang),
        drips=none if groove is None else at_least(groove, FACTS["groove deep"].q),
        groove_in=none if groove is None else at_least(groove_from_edge, FACTS["groove in"].q),
    )


@result
class MeetingEdge:
    """The gap between a lid and its neighbour through the year, the lap over it and the seal in it."""

    moves_in: Annotated[Quantity, Out("mm", "gap closes by, wet", resolution=0.1, rounding="up")]
    moves_out: Annotated[Quantity, Out("mm", "gap opens by, dry", resolution=0.1, rounding="up")]
    gap_wet: Annotated[Quantity, Out("mm", "gap, wet", resolution=0.1, rounding="down")]
    gap_dry: Annotated[Quantity, Out("mm", "gap, dry", resolution=0.1, rounding="up")]
    gap_needed: Annotated[Quantity, Out("mm", "least gap at fitting", resolution=0.1, rounding="up")]
    lap_dry: Annotated[Quantity, Out("mm", "lap beyond the gap, dry", resolution=0.1, rounding="down")]
    squeezed_wet: Annotated[
        Quantity, Out("percent", "seal squeezed, wet", resolution=1, rounding="up", absent="no seal in the gap")
    ]
    squeezed_dry: Annotated[
        Quantity, Out("percent", "seal squeezed, dry", resolution=1, rounding="down", absent="no seal in the gap")
    ]
    never_jams: Annotated[Check, Asks("lids never touch, wet", "practice")]
    laps: Annotated[Check, Asks("lap covers the gap, dry", "practice")]
    seal_lives: Annotated[Check, Asks("seal is not crushed, wet", "practice")]
    seal_seals: Annotated[Check, Asks("seal still touches, dry", "practice")]


@calculator("kit", "practice")
def meeting_edge(
    *,
    swells: Annotated[Quantity, In("mm", "the lid's width grows by, wet", 3, ge=-200, le=200, out_by="1 mm")],
    shrinks: Annotated[
        Quantity, In("mm", "the lid's width changes by, dry (shrinking is minus)", -2, ge=-200, le=200, out_by="1 mm")
    ] = Q(0, "mm"),
    width: Annotated[Quantity, In("mm", "width of the lid", 550, ge=50, le=5000)],
    neighbour: Annotated[
        Quantity, In("mm", "width of its neighbour of the same wood (0: does not move)", 400, ge=0, le=5000)
    ] = Q(0, "mm"),
    held: Annotated[
        Literal["in its middle", "at its far edge"],
        Choice("where lid and neighbour are held: half or all of each moves to the gap"),
    ] = "in its middle",
    placing: Annotated[Quantity, In("mm", "hinge play and error of placing", 1, ge=0, le=20, chosen=True)] = Q(1, "mm"),
    gap: Annotated[Quantity, _gap("gap at fitting", 6, "strips of card or a drill shank")],
    lap: Annotated[Quantity, _gap("width of the strip that laps over the gap, from the edge it is fixed to", 25)],
    least_gap: Annotated[
        Quantity, In("mm", "least gap wanted, wet", 1, ge=0, le=50, chosen=True, basis="common practice")
    ] = Q(1, "mm"),
    least_lap: Annotated[
        Quantity, In("mm", "least lap wanted beyond the gap", 8, ge=0, le=100, chosen=True, basis="common practice")
    ] = Q(8, "mm"),
    seal: Annotated[
        Quantity | None, In("mm", "thickness of the free seal in the gap", 10, ge=1, le=100, basis="data sheet")
    ] = None,
    squeeze_most: Annotated[
        Quantity, In("percent", "most that the seal may be squeezed", 60, ge=5, le=95, chosen=True, basis="data sheet")
    ] = Q(60, "percent"),
    squeeze_least: Annotated[
        Quantity, In("percent", "least that it must be squeezed", 15, ge=0, le=90, chosen=True, basis="data sheet")
    ] = Q(15, "percent"),
) -> MeetingEdge:
    """Work out the gap where a lid meets its neighbour, wet and dry, and what laps and seals it.

    Both move by movement x width, half of it to the gap where a piece is held in
    its middle.  Wet: gap - growth - placing; dry: gap + shrinkage + placing.  A
    strip fixed to one edge laps what is left of it beyond the open gap; a seal is
    squeezed by (free - gap) / free.

    >>> edge = meeting_edge(swells=Q(5.5, "mm"), shrinks=Q(-2.2, "mm"), width=Q(550, "mm"), neighbour=Q(400, "mm"),
    ...                     gap=Q(6, "mm"), lap=Q(25, "mm"))
    >>> print(f"{edge.gap_wet.m_as('mm'):.2f} to {edge.gap_dry.m_as('mm'):.2f} mm")
    0.25 to 8.90 mm
    """
    require(
        squeeze_least <= squeeze_most, "the least squeeze must not be above the most", "squeeze_least", "squeeze_most"
    )
    share = (1 + neighbour / width).to("") * (0.5 if held == "in its middle" else 1.0)
    # Wood that is hung dry may never be narrower again: the gap is then widest as it was fitted.
    wider, narrower = nq.maximum(swells, shrinks), nq.minimum(swells, shrinks)
    none_at_all = Q(0, "mm")
    closes = (nq.maximum(wider, none_at_all) * share + placing).to("mm")
    opens = (nq.maximum(-narrower, none_at_all) * share + placing).to("mm")
    wet, dry = gap - closes, gap + opens
    lap_dry = lap - dry
    thick = Q(np.nan, "mm") if seal is None else seal
    squeezed = [(100 * (1 - at / thick)).m_as("") for at in (wet, dry)]
    first, last = (Q(np.maximum(one, 0), "percent") for one in squeezed)
    none = does_not_apply("no seal is in the gap")
    return MeetingEdge(
        moves_in=closes,
        moves_out=opens,
        gap_wet=wet,
        gap_dry=dry,
        gap_needed=closes + least_gap,
        lap_dry=lap_dry,
        squeezed_wet=first,
        squeezed_dry=last,
        never_jams=at_least(wet, least_gap),
        laps=at_least(lap_dry, least_lap),
        seal_lives=none if seal is None else at_most(first, squeeze_most),
        seal_seals=none if seal is None else at_least(last, squeeze_least),
    )


@result
class RimSeal:
    """What it takes to squeeze the seal on the rim."""

    moment: Annotated[
        Quantity,
        Out("N*m", "moment that squeezes the seal all round", resolution=0.1, rounding="up", absent="seal not entered"),
    ]
    latch: Annotated[
        Quantity,
        Out(
            "N",
            "pull that the latch must have at the front edge",
            resolution=1,
            rounding="up",
            absent="seal not entered",
        ),
    ]
    strip: Annotated[Quantity, Out("mm", "seal needed for one lid", resolution=10, rounding="up")]
    seal_shuts: Annotated[Check, Asks("lid and latch squeeze the seal", "kit")]


@calculator("kit")
def rim_seal(
    *,
    depth: Annotated[Quantity, In("mm", "depth of the lid", 640, ge=50, le=3000)],
    width: Annotated[Quantity, In("mm", "width of the lid", 550, ge=50, le=5000)],
    hinge_side: Annotated[
        Literal["sealed", "open"], Choice("whether the seal runs along the hinge side too")
    ] = "sealed",
    line_force: Annotated[
        Quantity | None,
        In(
            "N/m",
            "force that squeezes a metre of seal as far as wanted",
            20,
            ge=0,
            le=5000,
            find="press a hand's length on a kitchen scale to that height",
        ),
    ] = None,
    shut: Annotated[Quantity, In("N*m", "least moment that keeps the lid shut", 15, ge=-5000, le=5000)],
    latch_pull: Annotated[Quantity, In("N", "pull of the latch at the front edge", 40, ge=0, le=5000)] = Q(0, "N"),
) -> RimSeal:
    """Moment about the hinges that a seal on the rim pushes back with.

    Front: f x width x depth; two sides: f x depth^2; along the hinges next to
    nothing.  What the lid's own shut moment does not give the latch must.

    >>> seal = rim_seal(depth=Q(640, "mm"), width=Q(550, "mm"), line_force=Q(30, "N/m"), shut=Q(15, "N*m"))
    >>> print(f"{seal.moment.m_as('N*m'):.1f} N m, latch {seal.latch.m_as('N'):.0f} N")
    22.8 N m, latch 12 N
    """
    line = Q(np.nan, "N/m") if line_force is None else line_force
    moment = (line * (width * depth + depth**2)).to("N*m")
    latch = nq.maximum((moment - shut) / depth, Q(0, "N")).to("N")
    strip = (2 * depth + (2 if hinge_side == "sealed" else 1) * width).to("mm")
    return RimSeal(
        moment=moment,
        latch=latch,
        strip=strip,
        seal_shuts=open_check("the force that squeezes the seal is not entered")
        if line_force is None
        else at_least((shut + latch_pull * depth).to("N*m"), moment),
    )
