"""How far a joist may span between two supports under a crowd: the length that a span table gives."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply, not_covered
from kit.fasteners import Rules, rule_family
from kit.grades import NO_DESIGN, Grade, design, foreign, grade_choice, load_factors, rolled, strength_input
from kit.kinds import Asks, Choice, In, Out, Says, YesNo
from kit.quantities import Q, Quantity
from kit.screw_strength import Duration, WetOrDry

__all__ = ["LongestSpan", "longest_span"]

_NONE = "no design value by the handbook only"


@result
class LongestSpan:
    """The longest span by each way of failing, and the one that governs."""

    by_bending: Annotated[Quantity, Out("mm", "longest span by bending", resolution=1, rounding="down", absent=_NONE)]
    by_shear: Annotated[Quantity, Out("mm", "longest span by shear", resolution=1, rounding="down", absent=_NONE)]
    by_bearing: Annotated[Quantity, Out("mm", "longest span by bearing on its seats", resolution=1, rounding="down",
                                        absent=_NONE)]
    by_sag: Annotated[Quantity, Out("mm", "longest span by sag under the crowd", resolution=1, rounding="down")]
    span: Annotated[Quantity, Out("mm", "longest span", resolution=1, rounding="down", absent=_NONE)]
    governed_by: Annotated[str, Says("what governs it")]
    short_enough: Annotated[Check, Asks("joists do not span further than they may on two supports", "build-rules")]


@calculator("AWC-DCA6", "NDS-2018", "EN1995-1-1")
def longest_span(
    *,
    rules: Annotated[Rules, rule_family()],
    grade: Annotated[Grade | None, grade_choice()] = None,
    bending: Annotated[Quantity, strength_input("bending strength of the grade", 24, 80)],
    shear: Annotated[Quantity, strength_input("shear strength of the grade", 4, 15)],
    across: Annotated[Quantity, strength_input("bearing strength across the grain", 2.5, 20)],
    elasticity: Annotated[Quantity, In("MPa", "mean modulus of elasticity of the grade", 11_000, ge=3000, le=25_000,
                                       basis="data sheet", find="strength class table")],
    thickness: Annotated[Quantity, In("mm", "thickness of the joist", 45, ge=15, le=300, everyday=(35, 100),
                                      resolution=0.5, find="calipers", basis="measured")],
    depth: Annotated[Quantity, In("mm", "depth of the joist", 120, ge=30, le=600, everyday=(70, 300), resolution=1,
                                  find="rule", basis="measured")],
    spacing: Annotated[Quantity, In("mm", "joist centre to joist centre", 411, ge=50, le=5000, everyday=(250, 700),
                                    resolution=1)],
    crowd: Annotated[Quantity, In("kPa", "crowd on the deck", 2.39, ge=0.05, le=20, everyday=(0.9, 5), chosen=True,
                                  find="landing floats 2.39 kPa (50 lb/ft2); house decks 1.92 kPa", basis="handbook")]
    = Q(2.39, "kPa"),
    dead: Annotated[Quantity, In("kPa", "dead load: boards and joists, wet", 0.3, ge=0, le=20, everyday=(0.1, 1))]
    = Q(0.3, "kPa"),
    seat: Annotated[Quantity, In("mm", "length of joist that rests on one support", 90, ge=5, le=1000,
                                 everyday=(35, 200), resolution=1, find="width of the saddle or bearer",
                                 basis="measured")] = Q(38, "mm"),
    shared: Annotated[bool, YesNo("at least three alike side by side under boards that spread the load", True)] = True,
    incised: Annotated[bool, YesNo("cut full of slits for treatment, as North American yards sell it")] = False,
    duration: Annotated[Duration, Choice("how long the load lasts", "ten years")] = "a week or less",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
    share_of_span: Annotated[Quantity, In("1", "span over the sag allowed under the crowd", 360, ge=100, le=1000)]
    = Q(360, "1"),
    present: Annotated[Quantity | None, In("mm", "longest span there is", 650, ge=1, le=30_000, resolution=1)] = None,
) -> LongestSpan:
    """Longest span of one joist on two supports under an even load over all of it.

    Bending sqrt(8 S f / w), shear 2 b h f / (1.5 w), bearing 2 b seat f / w, and
    sag (384 E I / (5 n w))^(1/3) with n the share of the span and w the crowd
    alone.  Spans are clear, load and strength of the family chosen.  A person
    on the middle and neighbouring spans are looked at elsewhere.

    >>> deck = longest_span(rules="North American", grade="southern pine No. 2, 7.25 in deep", bending=Q(925, "psi"),
    ...     shear=Q(175, "psi"), across=Q(565, "psi"), elasticity=Q(1.4e6, "psi"), thickness=Q(1.5, "in"),
    ...     depth=Q(7.25, "in"), spacing=Q(16, "in"), crowd=Q(40, "lbf/ft^2"), dead=Q(10, "lbf/ft^2"),
    ...     duration="ten years")
    >>> print(f"{deck.span.m_as('ft'):.2f} ft, {deck.governed_by}")
    11.82 ft, bending
    """
    allowed = design(rules, bending=bending, shear=shear, across=across, elasticity=elasticity, depth=depth,
                     duration=duration, service=service, shared=shared, incised=incised, sized=rolled(grade))
    on_dead, on_live = load_factors(rules)
    heavy, people = Q((on_dead * dead + on_live * crowd) * spacing, "N/m"), Q(crowd * spacing, "N/m")
    section, area = Q(thickness * depth**2 / 6, "m^3"), Q(thickness * depth, "m^2")
    ways = {
        "bending": Q(np.sqrt((8 * section * allowed.bending / heavy).m_as("m^2")), "m"),
        "shear": Q(2 * area * allowed.shear / 1.5 / heavy, "m"),
        "bearing": Q(2 * thickness * seat * allowed.across / heavy, "m"),
        "sag": Q(np.cbrt((384 * allowed.elasticity * section * depth / 2 / (5 * share_of_span * people)).m_as("m^3")),
                 "m"),
    }
    ways = {name: Q(one, "mm") for name, one in ways.items()}
    span = Q(np.min(np.broadcast_arrays(*(one.m for one in ways.values())), axis=0)[()], "mm")
    undesigned = NO_DESIGN if rules == "handbook only" else foreign(grade, rules)
    return LongestSpan(
        by_bending=ways["bending"], by_shear=ways["shear"], by_bearing=ways["bearing"], by_sag=ways["sag"], span=span,
        governed_by=_governing(undesigned, ways), short_enough=_check(undesigned, present, span),
    )


def _check(undesigned: str | None, present: Quantity | None, span: Quantity) -> Check:
    if present is None:
        return does_not_apply("no span was given to compare with")
    return not_covered(undesigned) if undesigned is not None else at_most(present, span)


def _governing(undesigned: str | None, ways: dict[str, Quantity]) -> str:
    """The shortest of the four, by the mean when sampled."""
    if undesigned is not None:
        return undesigned
    means = {name: float(np.mean(np.nan_to_num(one.m, nan=np.inf))) for name, one in ways.items()}
    return min(means, key=lambda name: means[name])
