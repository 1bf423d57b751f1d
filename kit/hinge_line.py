"""The line of the hinges: straight enough to swing, free to swell, of metals that bear each other; one long hinge."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply, fails, open_check
from kit.kinds import Asks, Choice, Count, In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import nq

__all__ = ["ContinuousHinge", "HingeLine", "HingeMetals", "continuous_hinge", "hinge_line", "hinge_metals"]

FACTS = read_facts("lids")
Metal = Literal["stainless steel", "brass", "bronze", "zinc-coated steel", "plain steel", "aluminium"]
Wood = Literal["oak, chestnut, cedar, Douglas fir", "treated with copper", "other"]
Air = Literal["salt", "fresh water", "under cover"]
_INDEX = {
    "stainless steel": "stainless",
    "brass": "brass",
    "bronze": "bronze",
    "zinc-coated steel": "zinc",
    "plain steel": "steel",
    "aluminium": "aluminium",
}
_APART = {"salt": "apart salt", "fresh water": "apart fresh", "under cover": "apart dry"}


@result
class HingeLine:
    """How far the hinges may be out of line, how the lid moves between them, and the gap at its hinge edge."""

    pitch: Annotated[Quantity, Out("mm", "distance between hinges", resolution=1)]
    line_allowed: Annotated[
        Quantity,
        Out("mm", "how far a hinge may lie out of the line of its neighbours", resolution=0.1, rounding="down"),
    ]
    grows: Annotated[Quantity, Out("mm", "the lid grows between its end hinges by", resolution=0.1, rounding="up")]
    shrinks_by: Annotated[Quantity, Out("mm", "and shrinks between them by", resolution=0.1, rounding="up")]
    slot: Annotated[
        Quantity, Out("mm", "free way that the screws of one end hinge need, either way", resolution=0.1, rounding="up")
    ]
    gap_wet: Annotated[Quantity, Out("mm", "gap at the hinge edge, wet", resolution=0.1, rounding="down")]
    straight: Annotated[Check, Asks("hinges lie in one line", "kit")]
    free_to_move: Annotated[Check, Asks("slotted holes let the lid swell along its hinges", "kit")]
    gap_stays: Annotated[Check, Asks("gap at the hinge edge stays open when wet", "practice")]


@calculator("kit", "practice")
def hinge_line(
    *,
    hinges: Annotated[int, Count("hinges", 2, ge=2, le=40)] = 2,
    spacing: Annotated[
        Quantity, In("mm", "distance between the two end hinges, middle to middle", 400, ge=20, le=5000)
    ],
    width: Annotated[Quantity, In("mm", "width of the lid along its hinges", 550, ge=50, le=5000)],
    swells: Annotated[Quantity, In("mm", "the lid's width grows by, wet", 3, ge=-200, le=200, out_by="1 mm")],
    shrinks: Annotated[
        Quantity, In("mm", "the lid's width changes by, dry (shrinking is minus)", -2, ge=-200, le=200, out_by="1 mm")
    ] = Q(0, "mm"),
    play: Annotated[
        Quantity,
        In(
            "mm",
            "play of a pin in its knuckle, to one side",
            0.2,
            ge=0,
            le=5,
            resolution=0.05,
            basis="measured",
            find="wiggle one hinge against a rule: half of what it moves",
        ),
    ] = Q(0.2, "mm"),
    out_of_line: Annotated[
        Quantity | None,
        In(
            "mm",
            "farthest that a hinge's pin lies from a line along the others",
            0.3,
            ge=0,
            le=50,
            basis="measured",
            out_by="0.2 mm",
            find="a straight edge or a taut string along the pins",
        ),
    ] = None,
    slots: Annotated[
        Quantity, In("mm", "free way of the screws in slotted holes, either way", 1.5, ge=0, le=20, out_by="0.2 mm")
    ] = Q(0, "mm"),
    give: Annotated[
        Quantity, In("mm", "what screws and wood give without harm", 1, ge=0, le=5, basis="common practice")
    ] = Q(1, "mm"),
    edge_gap: Annotated[
        Quantity,
        In(
            "mm",
            "gap between the lid's hinge edge and what is behind it, at fitting",
            3,
            ge=0,
            le=100,
            resolution=0.1,
            basis="measured",
            find="feeler or a strip of card",
        ),
    ] = Q(3, "mm"),
    edge_swells: Annotated[
        Quantity,
        In(
            "mm",
            "the lid's depth grows by, wet",
            0.3,
            ge=-100,
            le=100,
            out_by="0.2 mm",
            find=("hardly anything along the grain; the whole movement where boards run along the hinges"),
        ),
    ] = Q(0, "mm"),
    least_gap: Annotated[
        Quantity, In("mm", "least gap wanted there", 1, ge=0, le=20, chosen=True, basis="common practice")
    ] = Q(1, "mm"),
) -> HingeLine:
    """Whether a row of hinges swings freely and lets a lid swell.

    A pin between two others may lie out of their line by twice the play of one:
    its own and that of its neighbours.  Between its end hinges the lid grows by
    movement x spacing / width; half of it at either end, all of it where one end
    is fixed, so one end hinge is slotted for the whole.  Bending of the lid and
    twist of a leaf are left out.

    >>> line = hinge_line(hinges=3, spacing=Q(400, "mm"), width=Q(550, "mm"), swells=Q(5.5, "mm"),
    ...                   out_of_line=Q(0.3, "mm"))
    >>> line.straight.verdict, round(float(line.grows.m_as("mm")), 1)
    ('meets', 4.0)
    """
    share = spacing / width
    grows = (nq.maximum(nq.maximum(swells, shrinks), Q(0, "mm")) * share).to("mm")
    smaller = (nq.maximum(-nq.minimum(swells, shrinks), Q(0, "mm")) * share).to("mm")
    slot = nq.maximum(nq.maximum(grows, smaller) - give, Q(0, "mm"))
    allowed, gap = 2 * play, (edge_gap - edge_swells).to("mm")
    if hinges == 2:
        straight = does_not_apply("two hinges always lie in one line")
    elif out_of_line is None:
        straight = open_check("how far a hinge lies out of line is not measured")
    else:
        straight = at_most(out_of_line, allowed)
    return HingeLine(
        pitch=(spacing / (hinges - 1)).to("mm"),
        line_allowed=allowed.to("mm"),
        grows=grows,
        shrinks_by=smaller,
        slot=slot,
        gap_wet=gap,
        straight=straight,
        free_to_move=at_least(slots, slot, factor="what screws and wood give is taken off"),
        gap_stays=at_least(gap, least_gap),
    )


@result
class HingeMetals:
    """Whether hinge, screws and timber bear each other."""

    apart: Annotated[Quantity, Out("V", "difference of the metals' index", resolution=0.01)]
    pairing: Annotated[Check, Asks("leaf and screws do not eat each other", "memory")]
    screws_nobler: Annotated[Check, Asks("screws are no less noble than the leaf", "memory")]
    bears_wood: Annotated[Check, Asks("metals bear the timber", "memory")]
    in_words: Annotated[str, Says("what goes first, in words")]


@calculator("memory", "practice")
def hinge_metals(
    *,
    leaf: Annotated[Metal, Choice("metal of the hinges", "stainless steel")],
    screws: Annotated[Metal, Choice("metal of their screws", "stainless steel")],
    wood: Annotated[
        Wood,
        Choice(
            "timber: acid woods attack zinc and steel, copper treatment attacks steel, zinc and aluminium",
            "oak, chestnut, cedar, Douglas fir",
        ),
    ],
    air: Annotated[Air, Choice("where it is", "fresh water")] = "fresh water",
) -> HingeMetals:
    """Compare the metals of a hinge, its screws and the timber.

    Two metals that touch in the wet form a cell: the further their indices lie
    apart, the faster the less noble goes; screws are small beside a leaf, so
    they must not be the less noble.  Acid woods stain and eat zinc and steel.

    >>> hinge_metals(leaf="brass", screws="zinc-coated steel", wood="other").pairing.verdict
    'fails'
    """
    one, other = (FACTS[f"potential {_INDEX[metal]}"].q for metal in (leaf, screws))
    apart = abs(one - other)
    bad = {
        "oak, chestnut, cedar, Douglas fir": ("zinc-coated steel", "plain steel"),
        "treated with copper": ("plain steel", "zinc-coated steel", "aluminium"),
    }.get(wood, ("plain steel",) if air != "under cover" else ())
    wrong = sorted({metal for metal in (leaf, screws) if metal in bad})
    first = "they are alike" if leaf == screws else f"the {'leaf' if one > other else 'screws'} would go first"
    return HingeMetals(
        apart=apart,
        pairing=at_most(apart, FACTS[_APART[air]].q),
        screws_nobler=at_most(other, one, share=False),
        in_words=first,
        bears_wood=fails(f"{' and '.join(wrong)} in {wood if wood != 'other' else 'the wet'} rusts or is eaten away")
        if wrong
        else at_most(Q(0), Q(0), reason="neither is attacked"),
    )


@result
class ContinuousHinge:
    """One hinge along the whole edge: load along it, and on its end screws."""

    screws: Annotated[Quantity, Out("1", "screws in one leaf", absent="no continuous hinge")]
    line_load: Annotated[
        Quantity,
        Out("N/mm", "pull for each length of hinge", resolution=0.01, rounding="up", absent="no continuous hinge"),
    ]
    each: Annotated[
        Quantity, Out("N", "pull on each screw, all sharing", resolution=1, rounding="up", absent="no continuous hinge")
    ]
    end_screw: Annotated[
        Quantity,
        Out("N", "what the couple adds at an end screw", resolution=1, rounding="up", absent="no continuous hinge"),
    ]
    used: Annotated[
        Quantity,
        Out("1", "share of an end screw's strength used", resolution=0.01, rounding="up", absent="no continuous hinge"),
    ]
    screws_hold: Annotated[Check, Asks("screws of a continuous hinge hold", "civil-formulas")]
    close_enough: Annotated[Check, Asks("screws of a continuous hinge are close enough", "practice")]


@calculator("kit", "civil-formulas", "practice")
def continuous_hinge(
    *,
    fitted: Annotated[Literal["separate hinges", "continuous hinge"], Choice("kind of hinge")] = "separate hinges",
    length: Annotated[Quantity, In("mm", "length of the hinge", 520, ge=50, le=5000)] = Q(520, "mm"),
    screw_pitch: Annotated[Quantity, In("mm", "distance between its screws", 60, ge=10, le=500)] = Q(60, "mm"),
    end: Annotated[Quantity, In("mm", "first screw from its end", 20, ge=2, le=200)] = Q(20, "mm"),
    pull: Annotated[Quantity, In("N", "greatest pull of the lid on its hinges", 190, ge=0, le=50_000)],
    racking: Annotated[Quantity, In("N*m", "couple of a strut off the middle", 40, ge=0, le=5000)] = Q(0, "N*m"),
    knuckle: Annotated[Quantity, In("mm", "from the line of screws to the middle of the pin", 14, ge=0, le=100)] = Q(
        14, "mm"
    ),
    toe: Annotated[Quantity, In("mm", "from the line of screws to the far edge of the leaf", 8, ge=1, le=100)] = Q(
        8, "mm"
    ),
    screw_withdrawal: Annotated[Quantity, In("N", "design load of one screw, straight out", 331, ge=1, le=20_000)],
    screw_shear: Annotated[Quantity, In("N", "design load of one screw, across it", 301, ge=1, le=20_000)],
    widest: Annotated[
        Quantity,
        In("mm", "greatest distance between its screws", 100, ge=10, le=500, chosen=True, basis="common practice"),
    ] = Q(100, "mm"),
) -> ContinuousHinge:
    """Load on the screws of a hinge that runs along the whole lid.

    The pull spreads evenly, R/L; a couple M goes to n equally spaced screws by
    their distance from the middle, M y / sum(y^2) = 6 M (n - 1) / (n (n + 1) l) at
    the ends, l between the end screws.  The load may point any way: the worst
    share is load x root((pry/withdrawal)^2 + (1/shear)^2), pry = 1 + knuckle/toe.

    >>> hinge = continuous_hinge(fitted="continuous hinge", pull=Q(190, "N"), racking=Q(40, "N*m"),
    ...                          screw_withdrawal=Q(331, "N"), screw_shear=Q(301, "N"))
    >>> print(f"{hinge.screws.magnitude:.0f} screws, {hinge.used.magnitude:.2f} used")
    9 screws, 0.59 used
    """
    row = length - 2 * end
    require(row > screw_pitch / 2, "there is no room for two screws; set the first nearer to the end", "length", "end")
    # Screws are spread evenly, no further apart than their pitch.
    spaces = np.maximum(np.ceil((row / screw_pitch).m_as("") - 1e-9), 1)
    count, row = spaces + 1, nq.maximum(row, Q(1, "mm"))
    each, added = (pull / count).to("N"), (6 * racking * spaces / (count * (count + 1) * row)).to("N")
    pry = (1 + knuckle / toe).m_as("")
    used = ((each + added) * np.hypot(pry / screw_withdrawal.m_as("N"), 1 / screw_shear.m_as("N")) / Q(1, "N")).to("")
    if fitted == "separate hinges":
        none, no = Q(np.nan), does_not_apply("the lid has separate hinges")
        return ContinuousHinge(
            screws=none,
            line_load=Q(np.nan, "N/mm"),
            each=Q(np.nan, "N"),
            end_screw=Q(np.nan, "N"),
            used=none,
            screws_hold=no,
            close_enough=no,
        )
    return ContinuousHinge(
        screws=Q(count),
        line_load=(pull / length).to("N/mm"),
        each=each,
        end_screw=added,
        used=used,
        screws_hold=at_most(used, Q(1)),
        close_enough=at_most((row / spaces).to("mm"), widest),
    )
