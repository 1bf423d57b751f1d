"""What a push on a rail, or a person on a ladder, does to the bolts and the wood that hold it."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply, not_covered, open_check
from kit.fasteners import Rules, rule_family
from kit.grades import NO_DESIGN, Grade, design, foreign, grade_choice, load_factors, strength_input
from kit.kinds import Asks, Choice, Count, In, Out
from kit.quantities import Q, Quantity
from kit.screw_strength import Duration, WetOrDry

__all__ = ["Fixing", "fixing"]

_ASK = "have it checked by a qualified person"
# Wood under a washer may be pressed by three times its bearing strength: EN 1995-1-1 8.5.2, from memory.
_WASHER = 3.0


@result
class Fixing:
    """Pull on the bolts of a rail or ladder, and pressure under their washers."""

    moment: Annotated[Quantity, Out("N*m", "moment at the nearer row of bolts, load factor included", rounding="up",
                                    absent="no rail or ladder was entered")]
    pull: Annotated[Quantity, Out("N", "pull on one bolt, load factor included", rounding="up",
                                  absent="no rail or ladder was entered")]
    pressure: Annotated[Quantity, Out("MPa", "pressure of a washer on the wood, load factor included",
                                      absent="no rail or ladder was entered")]
    allowed: Annotated[Quantity, Out("MPa", "pressure to design with", absent="no design value by the handbook only")]
    holds: Annotated[Check, Asks("bolts hold a push", "practice", hazard=True)]
    presses: Annotated[Check, Asks("washers do not crush the wood", "build-rules")]


@calculator("WAC-51-51", "EN1995-1-1", "NDS-2018", "kit")
def fixing(
    *,
    rules: Annotated[Rules, rule_family()],
    grade: Annotated[Grade | None, grade_choice()] = None,
    across: Annotated[Quantity, strength_input("bearing strength across the grain", 2.5, 20)],
    force: Annotated[Quantity, In("N", "push that it must stand, any way", 890, ge=1, le=50_000, everyday=(300, 3000),
                                  chosen=True, find="one push on a guard rail 890 N (200 lbf); one person on a ladder "
                                  "1500 N", basis="handbook")] = Q(890, "N"),
    lever: Annotated[Quantity | None, In("mm", "from the push to the nearer row of bolts", 900, ge=1, le=5000,
                                         resolution=1, find="rail: its height above the bolts; ladder: how far the "
                                         "treads stand out", basis="measured")] = None,
    arm: Annotated[Quantity, In("mm", "between the two rows of bolts", 80, ge=5, le=5000, everyday=(40, 600),
                                resolution=1, find="rule, middle to middle", basis="measured")] = Q(80, "mm"),
    bolts: Annotated[int, Count("bolts in one row that share the push", 2, ge=1, le=50)] = 1,
    washer: Annotated[Quantity, In("mm", "washer: its diameter, of a square plate its side", 50, ge=5, le=500,
                                   everyday=(20, 120), resolution=1, find="calipers", basis="measured")]
    = Q(30, "mm"),
    hole: Annotated[Quantity, In("mm", "hole in the wood under it", 11, ge=2, le=100, resolution=0.5, find="drill",
                                 basis="measured")] = Q(11, "mm"),
    strength: Annotated[Quantity | None, In("N", "pull that one bolt may be given", 10_000, ge=1, le=1e6,
                                            find="data sheet of the bolt: design value", basis="data sheet")] = None,
    duration: Annotated[Duration, Choice("how long the load lasts", "wind or impact")] = "wind or impact",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
) -> Fixing:
    """Pull on bolts in two rows when something is pushed at the end of a lever.

    Moments about the farther row: pull = F (lever + arm) / (arm n), load factor
    1.5 by European rules; pressure = pull / (pi/4 (d^2 - hole^2)), allowed three
    times the bearing strength by European rules and once by North American.
    Bending of the post, shear of the bolts and splitting of the rim are left
    out: whatever comes out, a person who is qualified must look at it.

    >>> rail = fixing(rules="European", across=Q(2.5, "MPa"), lever=Q(900, "mm"), arm=Q(90, "mm"), bolts=2,
    ...               washer=Q(80, "mm"), strength=Q(10, "kN"))
    >>> print(f"{rail.pull.m_as('kN'):.1f} kN, {rail.presses.verdict}; {rail.holds.reason}")
    7.3 kN, meets; have it checked by a qualified person
    """
    allowed = design(rules, bending=across, shear=across, across=across, elasticity=across, depth=Q(150, "mm"),
                     duration=duration, service=service).across
    strong = Q(allowed * (_WASHER if rules == "European" else 1.0), "MPa")
    if lever is None:
        none, nothing = does_not_apply("no rail or ladder was entered"), np.nan * allowed.m
        return Fixing(moment=Q(nothing, "N*m"), pull=Q(nothing, "N"), pressure=Q(nothing, "MPa"), allowed=strong,
                      holds=none, presses=none)
    push = force * load_factors(rules)[1]
    pull = Q(push * (lever + arm) / (arm * np.asarray(bolts)[()]), "N")
    area = Q(np.pi / 4 * np.maximum(washer.m_as("mm") ** 2 - hole.m_as("mm") ** 2, 1.0), "mm^2")
    pressure = Q(pull / area, "MPa")
    undesigned = NO_DESIGN if rules == "handbook only" else foreign(grade, rules)
    return Fixing(
        moment=Q(push * lever, "N*m"), pull=pull, pressure=pressure, allowed=strong,
        holds=open_check(f"enter what one bolt holds, then {_ASK}") if strength is None
        else at_most(pull, strength, reason=_ASK),
        presses=not_covered(undesigned) if undesigned is not None else at_most(pressure, strong, reason=_ASK),
    )
