"""What holds a lid open for certain: a prop, a chain, or a stop at the hinge."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit import lid_swing, struts
from kit.calculator import calculator, require, result
from kit.checks import Check, at_most, does_not_apply, open_check
from kit.kinds import Asks, Choice, In, Out, Says
from kit.lid_swing import GRAVITY
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import nominal, nq, turned

__all__ = ["OpenStay", "open_stay"]

FACTS = read_facts("lids")
Kind = Literal["prop", "chain or cord", "stop at the hinge", "none"]


@result
class OpenStay:
    """The moments that try to shut and to throw back an open lid, and the force in what holds it."""

    closing: Annotated[Quantity, Out("N*m", "greatest moment that would shut it", rounding="up", resolution=0.1)]
    opening_on: Annotated[
        Quantity, Out("N*m", "greatest moment that would throw it back", rounding="up", resolution=0.1)
    ]
    length: Annotated[
        Quantity, Out("mm", "length between its two ends, lid open", resolution=1, absent="a stop has no length")
    ]
    shut_length: Annotated[
        Quantity, Out("mm", "distance of its two ends, lid shut", resolution=1, absent="a stop has no length")
    ]
    arm: Annotated[
        Quantity, Out("mm", "arm of its force about the pin", resolution=1, rounding="down", absent="nothing is fitted")
    ]
    push: Annotated[
        Quantity, Out("N", "push that it has to bear", rounding="up", resolution=1, absent="nothing is fitted")
    ]
    pull: Annotated[
        Quantity, Out("N", "pull that it has to bear", rounding="up", resolution=1, absent="nothing is fitted")
    ]
    arrival: Annotated[
        Quantity,
        Out("N", "of that, from a lid that arrives of itself", rounding="up", resolution=1, absent="nothing is fitted"),
    ]
    works_in: Annotated[str, Says("what it does, in words")]
    holds: Annotated[Check, Asks("what holds the lid open is strong enough", "kit")]
    stopped: Annotated[Check, Asks("something other than a strut stops it where it is open", "kit", hazard=True)]


@calculator("kit", "plate-drag")
def open_stay(
    *,
    kind: Annotated[Kind, Choice("what holds it open beside the struts", "prop")] = "none",
    mass: lid_swing.LidMass,
    centre: lid_swing.Centre,
    centre_above: lid_swing.CentreAbove = Q(0, "mm"),
    fall: lid_swing.Fall = Q(0, "deg"),
    opening: struts.Opening,
    depth: struts.Depth,
    width: lid_swing.Width,
    lean: lid_swing.Lean = None,
    wind: lid_swing.Gust = None,
    strut_least: Annotated[
        Quantity, In("N*m", "least opening moment of struts and hinges, lid open", 18, ge=-5000, le=5000)
    ] = Q(0, "N*m"),
    strut_most: Annotated[
        Quantity, In("N*m", "greatest opening moment of struts and springs, lid open", 25, ge=-5000, le=5000)
    ] = Q(0, "N*m"),
    lid_end_along: Annotated[
        Quantity,
        In(
            "mm",
            "its end at the lid, or where the stop bears: along from the pin",
            400,
            ge=-500,
            le=3000,
            resolution=1,
            find="rule",
        ),
    ] = Q(400, "mm"),
    lid_end_above: Annotated[
        Quantity,
        In("mm", "its end at the lid, above the pin", -10, ge=-1000, le=1000, out_by="5 mm", resolution=1, find="rule"),
    ] = Q(-10, "mm"),
    body_end_along: Annotated[
        Quantity,
        In(
            "mm",
            "its end at the body, along the shut lid from the pin",
            400,
            ge=-1000,
            le=3000,
            resolution=1,
            find="rule",
        ),
    ] = Q(400, "mm"),
    body_end_above: Annotated[
        Quantity,
        In(
            "mm", "its end at the body, above the pin", -20, ge=-3000, le=1000, out_by="5 mm", resolution=1, find="rule"
        ),
    ] = Q(-20, "mm"),
    landing: Annotated[
        Quantity,
        In(
            "J",
            "energy of a lid that rises by itself",
            2.2,
            ge=0,
            le=5000,
            find=("the closer look at its motion says it"),
        ),
    ] = Q(0, "J"),
    give: Annotated[
        Quantity,
        In(
            "mm",
            "by how much stay and fixings give when it arrives",
            5,
            ge=0.2,
            le=100,
            find=("a rubber stop gives 3 to 10 mm, a chain between screws 1 to 3 mm"),
        ),
    ] = Q(5, "mm"),
    strength: Annotated[Quantity | None, In("N", "what it and its fixings may bear", 500, ge=1, le=50_000)] = None,
) -> OpenStay:
    """Force in a prop, chain or stop that holds a lid open against wind, lean and its own struts.

    Shut it is driven by wind, and by its weight with everything leaning to the
    front, less the least of the struts; back by wind, the most of the struts, and
    its weight past upright or leaning to the back.  Force = moment / arm.  What
    arrives of itself adds 2 x energy / give.  A chain bears only a pull, a stop
    only what throws the lid back.

    >>> stay = open_stay(kind="prop", mass=Q(8.6, "kg"), centre=Q(315, "mm"), opening=Q(80, "deg"), depth=Q(640, "mm"),
    ...     width=Q(550, "mm"), lean=Q(7, "deg"), wind=Q(8, "m/s"), strength=Q(500, "N"))
    >>> print(f"{stay.push.m_as('N'):.0f} N, {stay.length.m_as('mm'):.0f} mm long")
    43 N, 522 mm long
    """
    tilt = Q(0, "deg") if lean is None else lean
    gust = (
        Q(0, "N*m")
        if wind is None
        else (FACTS["air"].q * wind**2 / 2 * FACTS["plate drag"].q * width * depth**2 / 2).to("N*m")
    )
    zero = Q(0, "N*m")
    closing = nq.maximum(gust + _weight(mass, centre, centre_above, opening - fall - tilt) - strut_least, zero)
    back = nq.maximum(gust - _weight(mass, centre, centre_above, opening - fall + tilt) + strut_most, zero)
    u, v = turned(lid_end_along, lid_end_above, opening)
    length = nq.hypot(u - body_end_along, v - body_end_above)
    arm = abs(body_end_along * v - body_end_above * u) / nq.maximum(length, Q(0.1, "mm"))
    lever = nq.hypot(lid_end_along, lid_end_above)
    arm = (lever if kind == "stop at the hinge" else arm).to("mm")
    require(
        arm >= Q(1, "mm") if kind != "none" else True,
        "it points at the pin and cannot hold the lid; move one end",
        "lid_end_along",
        "body_end_along",
    )
    reach = nq.maximum(arm, Q(1, "mm"))
    # The edge's energy is met where the stay is, over what it gives there.
    # A prop is set by hand: nothing arrives at it.
    arrives = (0 if kind == "prop" else 2) * landing / give
    push, pull = (closing / reach).to("N"), (back / reach + arrives).to("N")
    nothing = Q(np.nan, "N")
    pushed, pulled = kind == "prop", kind != "none"
    return OpenStay(
        closing=closing,
        opening_on=back,
        length=length.to("mm") if kind in ("prop", "chain or cord") else Q(np.nan, "mm"),
        shut_length=nq.hypot(lid_end_along - body_end_along, lid_end_above - body_end_above).to("mm")
        if kind in ("prop", "chain or cord")
        else Q(np.nan, "mm"),
        arm=arm if kind != "none" else Q(np.nan, "mm"),
        push=push if pushed else (Q(0, "N") if kind != "none" else nothing),
        pull=pull if pulled else nothing,
        arrival=arrives.to("N") if pulled else nothing,
        works_in=_in_words(kind, nominal(closing), nominal(back)),
        holds=_holds(kind, push, pull, strength),
        stopped=_stopped(kind, strut_most - _weight(mass, centre, centre_above, opening - fall)),
    )


def _weight(mass: Quantity, centre: Quantity, above: Quantity, angle: Quantity) -> Quantity:
    moment: Quantity = (mass * GRAVITY * (centre * nq.cos(angle) - above * nq.sin(angle))).to("N*m")
    return moment


def _holds(kind: Kind, push: Quantity, pull: Quantity, strength: Quantity | None) -> Check:
    if kind == "none":
        return does_not_apply("no prop, chain or stop is fitted")
    if strength is None:
        return open_check("what it and its fixings may bear is not entered")
    return at_most(nq.maximum(push, pull) if kind == "prop" else pull, strength)


def _stopped(kind: Kind, onward: Quantity) -> Check:
    """What struts, springs and the lid's own weight still push on where it is open must be met by a stop."""
    if kind in ("chain or cord", "stop at the hinge"):
        return at_most(0 * onward, Q(0, "N*m"), share=False, reason=f"a {kind} stops it")
    return at_most(onward, Q(0, "N*m"), share=False, reason="only the strut would stop it: fit a chain, or a stop")


def _in_words(kind: Kind, closing: float, back: float) -> str:
    shut = f"{closing:.1f} N m try to shut it" if closing > 0 else "nothing tries to shut it"
    thrown = f"{back:.1f} N m try to throw it back" if back > 0 else "nothing tries to throw it back"
    bears = {
        "prop": "a prop bears both if it is fixed at both ends, else only the first",
        "chain or cord": "a chain bears the second only: the struts or a latch must bear the first",
        "stop at the hinge": "a stop bears the second only: the struts or a latch must bear the first",
        "none": "the struts alone bear them",
    }
    return f"{shut}, {thrown}; {bears[kind]}"
