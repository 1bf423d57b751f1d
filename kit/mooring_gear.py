"""Rope, chain and shackles of a mooring: what they carry wet, knotted and with a factor."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply
from kit.kinds import Asks, Choice, In, Out, Says
from kit.loading import nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["Fibre", "GearStrength", "RopeStrength", "gear_strength", "rope_strength"]

Fibre = Literal["nylon", "polyester", "polypropylene", "manila"]
_FACTS = read_facts("mooring")


def _share(meaning: str, example: float, find: str = "") -> In:
    return In("percent", meaning, example, ge=10, le=100, find=find, basis="handbook")


def _factor(meaning: str, example: float, find: str = "") -> In:
    return In("1", meaning, example, ge=1, le=20, chosen=True, find=find, basis="handbook")


def _strength(
    meaning: str, example: float, find: str = "the label, or the maker's list", *, chosen: bool = False
) -> In:
    return In("kN", meaning, example, ge=0.1, le=5000, basis="data sheet", find=find, chosen=chosen)


@result
class RopeStrength:
    """What a rope carries when it is wet and knotted."""

    rule_breaking: Annotated[Quantity, Out("kN", "breaking strength by the rule for small rope", resolution=0.1,
                                           rounding="down")]
    new_breaking: Annotated[Quantity, Out("kN", "breaking strength reckoned with, new and dry", resolution=0.1,
                                          rounding="down")]
    kept: Annotated[Quantity, Out("kN", "of that left, wet and knotted", resolution=0.1, rounding="down")]
    working: Annotated[Quantity, Out("kN", "load it may carry", resolution=0.1, rounding="down")]
    label_near_rule: Annotated[Check, Asks("the label's strength is near the rule's", "small-line-rule")]


@calculator("ufc-4-159-03", "small-line-rule")
def rope_strength(
    *,
    fibre: Annotated[Fibre, Choice("fibre of the rope", "nylon", find="nylon stretches, polypropylene floats")],
    diameter: Annotated[Quantity, In("mm", "diameter of the rope", 12, ge=3, le=80, everyday=(8, 32), resolution=1,
                                     find="girth divided by 3.1416", basis="data sheet")],
    breaking: Annotated[Quantity | None, _strength("breaking strength of the new dry rope", 27)] = None,
    wet: Annotated[Quantity, _share("strength kept when wet", 85, "nylon 85; polyester and polypropylene 100")]
    = Q(85, "percent"),
    knotted: Annotated[Quantity, _share("strength kept at a knot", 50, "bowline 40 to 60; eye splice 80 to 90")]
    = Q(50, "percent"),
    factor: Annotated[Quantity, _factor("factor on the strength kept", 3, "synthetic mooring line 3")] = Q(3),
) -> RopeStrength:
    """Breaking strength of small rope by its label or by the rule, what is left wet and knotted, and the working load.

    Rule: 900 lbf times the circumference in inches squared times 2.5 for nylon,
    2 polyester, 1.4 polypropylene, 1 manila.  Sun, chafe, ice in the strands and
    age are left out: change the rope when it is furred or stiff.

    >>> rope = rope_strength(fibre="nylon", diameter=Q(12, "mm"), breaking=Q(27, "kN"))
    >>> print(f"{rope.kept:.1f~P} kept, {rope.working:.1f~P} to work with")
    11.5 kN kept, 3.8 kN to work with
    """
    girth = np.pi * diameter
    rule = (_FACTS["small-line"].q * _FACTS[f"line-{fibre}"].value * girth**2).to("kN")
    new = rule if breaking is None else breaking
    kept = (new * wet * knotted).to("kN")
    return RopeStrength(
        rule_breaking=rule, new_breaking=new, kept=kept, working=kept / factor,
        label_near_rule=does_not_apply("no label: the rule is reckoned with") if breaking is None
        else at_most(breaking, 1.5 * rule, reason="a label half as much again above the rule is read wrongly, or is "
                     "for another rope"),
    )


@result
class GearStrength:
    """Whether each piece of a leg holds the load."""

    need: Annotated[Quantity, Out("kN", "breaking strength the new rope needs", resolution=0.1, rounding="up")]
    size_needed: Annotated[Quantity, Out("mm", "diameter of such a rope, by the rule for small rope", resolution=1,
                                         rounding="up")]
    lost_need: Annotated[Quantity, Out("kN", "breaking strength it needs when another leg has parted", resolution=0.1,
                                       rounding="up")]
    chain_working: Annotated[Quantity, Out("kN", "load the chain may carry", resolution=0.1, rounding="down")]
    least: Annotated[Quantity, Out("kN", "load at which the first piece gives", resolution=0.1, rounding="down")]
    weakest: Annotated[str, Says("piece that gives first, all at their breaking strength")]
    line: Annotated[Check, Asks("rope, wet and knotted", "ufc-4-159-03", hazard=True)]
    line_lost: Annotated[Check, Asks("rope, when another leg has parted", "practice", hazard=True)]
    chain: Annotated[Check, Asks("chain", "ufc-4-159-03", hazard=True)]
    shackle: Annotated[Check, Asks("shackles", "practice", hazard=True)]


@calculator("ufc-4-159-03", "practice")
def gear_strength(
    *,
    tension: Annotated[Quantity, In("kN", "pull in the most loaded leg", 1.09, ge=0, le=2000)],
    lost_pull: Annotated[Quantity, In("N", "greatest pull when one leg has parted", 2300, ge=0, le=2e6)],
    slope: Annotated[Quantity, In("deg", "slope of the rope at the cleat", 12.5, ge=0, le=89)],
    fibre: Annotated[Fibre, Choice("fibre of the rope", "nylon")] = "nylon",
    breaking: Annotated[Quantity, _strength("breaking strength of the new dry rope", 27)],
    kept: Annotated[Quantity, _strength("of that left, wet and knotted", 11.5, "")],
    factor: Annotated[Quantity, _factor("factor on the rope", 3)] = Q(3),
    lost_factor: Annotated[Quantity, _factor(
        "factor that is left when a leg has parted", 1.25, "common practice, no source: the weather passes, then mend"
    )] = Q(1.25),
    chain_breaking: Annotated[Quantity, _strength("breaking strength of the chain", 32)],
    chain_factor: Annotated[Quantity, _factor("factor on the chain", 3)] = Q(3),
    shackle_limit: Annotated[Quantity, _strength("working load limit stamped on the smallest shackle", 7.3,
                                                 "stamped on its bow, in t: times 9.8", chosen=True)],
) -> GearStrength:
    """Rope, chain and shackle of the most loaded leg against its pull, whole and with another leg lost.

    The rope needs T times factor over the shares kept wet and at the knot; its
    size by the rule for small rope follows from the greater need.  A shackle's
    stamped limit already holds its maker's factor.  Chafe at the cleat, worn pins
    and unmoused shackles are left out: look at them.

    >>> gear = gear_strength(tension=Q(1.06, "kN"), lost_pull=Q(2300, "N"), slope=Q(12, "deg"), breaking=Q(27, "kN"),
    ...     kept=Q(11.475, "kN"), chain_breaking=Q(32, "kN"), shackle_limit=Q(7.3, "kN"))
    >>> print(f"{gear.need:.1f~P} of 27 kN, {gear.line.verdict}; {gear.weakest}")
    7.5 kN of 27 kN, meets; the rope at its knot
    """
    share = (kept / breaking).to("")
    lost = (lost_pull / np.cos(slope.m_as("rad"))).to("kN")
    strengths = {"the rope at its knot": kept, "the chain": chain_breaking}
    need, lost_need = tension * factor / share, lost * lost_factor / share
    most = Q(np.maximum(need.m_as("kN"), lost_need.m_as("kN")), "kN")
    girth = np.sqrt((most / (_FACTS["small-line"].q * _FACTS[f"line-{fibre}"].value)).m_as("mm^2"))
    return GearStrength(
        need=need, size_needed=Q(girth / np.pi, "mm"), lost_need=lost_need, chain_working=chain_breaking / chain_factor,
        least=_least(strengths), weakest=min(strengths, key=lambda name: nominal(strengths[name], "kN")),
        line=at_most(need, breaking, factor="factor, wet and knot are in the need"),
        line_lost=at_most(lost_need, breaking, factor="factor, wet and knot are in the need"),
        chain=at_most(Q(np.maximum(tension.m_as("kN"), lost.m_as("kN")), "kN"), chain_breaking / chain_factor,
                      factor="factor taken off"),
        shackle=at_most(Q(np.maximum(tension.m_as("kN"), lost.m_as("kN")), "kN"), shackle_limit,
                        factor="the maker's factor is in the limit"),
    )


def _least(strengths: dict[str, Any]) -> Quantity:
    return Q(np.minimum.reduce(np.broadcast_arrays(*(v.m_as("kN") for v in strengths.values())))[()], "kN")
