"""One board over all its joists: what the neighbouring spans add to the simple sum of `board_bending`."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_most, not_covered
from kit.continuous import line_of
from kit.fasteners import Rules, rule_family
from kit.grades import NO_DESIGN, Grade, design, foreign, grade_choice, load_factors, strength_input
from kit.kinds import Asks, Choice, Count, In, Out, Says
from kit.quantities import Q, Quantity
from kit.screw_strength import Duration, WetOrDry
from kit.spans import Loads, what_bends, worst_of

__all__ = ["BoardSpans", "board_spans"]

# A board over more joists than this behaves like one over so many, to a thousandth.
_MOST_SPANS = 7


@result
class BoardSpans:
    """A board that runs over all its joists under one foot or a crowd."""

    stress: Annotated[Quantity, Out("MPa", "greatest bending stress, load factors included")]
    strength: Annotated[Quantity, Out("MPa", "bending strength to design with",
                                      absent="no design value by the handbook only")]
    shear_stress: Annotated[Quantity, Out("MPa", "greatest shear stress, load factors included")]
    pressure: Annotated[Quantity, Out("MPa", "pressure on the busiest joist, load factors included")]
    deflection: Annotated[Quantity, Out("mm", "how far it gives between joists under a foot or a crowd",
                                        resolution=0.01)]
    on_two: Annotated[Quantity, Out("mm", "how far it would give on two joists alone", resolution=0.01)]
    uplift: Annotated[Quantity, Out("N", "pull on the screws of one joist, load factors included", rounding="up")]
    governed_by: Annotated[str, Says("what bends it most")]
    strong: Annotated[Check, Asks("board over all joists carries a foot or a crowd", "build-rules")]
    presses: Annotated[Check, Asks("board does not crush on its joists", "build-rules")]
    stiff: Annotated[Check, Asks("board over all joists does not give too much", "practice")]


@calculator("EN1995-1-1", "NDS-2018", "kit")
def board_spans(
    *,
    rules: Annotated[Rules, rule_family()],
    grade: Annotated[Grade | None, grade_choice()] = None,
    bending: Annotated[Quantity, strength_input("bending strength of the grade", 24, 80)],
    across: Annotated[Quantity, strength_input("bearing strength across the grain", 2.5, 20)],
    elasticity: Annotated[Quantity, In("MPa", "mean modulus of elasticity of the grade", 11_000, ge=3000, le=25_000,
                                       basis="data sheet", find="strength class table")],
    width: Annotated[Quantity, In("mm", "width of the board", 145, ge=20, le=400, resolution=0.5, find="calipers",
                                  basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the board", 28, ge=8, le=150, resolution=0.5,
                                      find="calipers, the thinnest of five", basis="measured")],
    spacing: Annotated[Quantity, In("mm", "joist centre to joist centre", 411, ge=50, le=3000, everyday=(250, 700),
                                    resolution=1)],
    joists: Annotated[int, Count("joists under it", 8, ge=2, le=100)],
    joist_thickness: Annotated[Quantity, In("mm", "thickness of a joist", 45, ge=10, le=300, resolution=0.5,
                                            find="calipers", basis="measured")] = Q(45, "mm"),
    overhang: Annotated[Quantity, In("mm", "board end beyond the middle of the last joist", 60, ge=0, le=1500,
                                     everyday=(0, 250), resolution=1)] = Q(0, "mm"),
    load: Annotated[Quantity, In("N", "one heavy foot, or a leg of a ladder", 1500, ge=0, le=50_000,
                                 everyday=(800, 2500))] = Q(1500, "N"),
    crowd: Annotated[Quantity, In("kPa", "crowd on the deck", 2.39, ge=0, le=20, everyday=(0.9, 5))] = Q(2.39, "kPa"),
    duration: Annotated[Duration, Choice("how long the load lasts", "a week or less")] = "a week or less",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
    share_of_span: Annotated[Quantity, In("1", "span over the deflection allowed", 300, ge=100, le=1000)] = Q(300, "1"),
) -> BoardSpans:
    """One board continuous over its joists, one foot where it is worst or a crowd on the worst spans.

    The three-moment working of `span_forces` with every joist a support, at
    most eight of them: further ones change nothing.  The board's own mass is
    taken at 700 kg/m3.  Joists do not give; neighbouring boards do not help.

    >>> deck = board_spans(rules="European", bending=Q(24, "MPa"), across=Q(2.5, "MPa"), elasticity=Q(11, "GPa"),
    ...     width=Q(145, "mm"), thickness=Q(28, "mm"), spacing=Q(411.4, "mm"), joists=8, overhang=Q(60, "mm"))
    >>> print(f"{deck.stress:.1f~P}, {deck.deflection:.2f~P} for {deck.on_two:.2f~P} on two joists")
    10.0 MPa, 0.52 mm for 0.75 mm on two joists
    """
    require(spacing > joist_thickness, "the joists touch; write 411 mm for joists of 45 mm", "spacing",
            "joist_thickness")
    dead, people = Q(Q(700, "kg/m^3") * Q(9.80665, "m/s^2") * width * thickness, "N/m"), Q(crowd * width, "N/m")
    found = _forces(spacing, overhang, joists, (dead, people, load), rules)
    allowed = design(rules, bending=bending, shear=bending, across=across, elasticity=elasticity, depth=thickness,
                     duration=duration, service=service, sized=True)
    stiff = Q(allowed.elasticity * width * thickness**3 / 12, "N*m^2")
    moment = Q(np.maximum(found["sagging"], found["hogging"]), "N*m")
    stress = Q(moment / (width * thickness**2 / 6), "MPa")
    pressure = Q(Q(found["reaction"], "N") / (width * joist_thickness), "MPa")
    sag = Q(Q(found["sag_live"], "N*m^3") / stiff, "mm")
    undesigned = NO_DESIGN if rules == "handbook only" else foreign(grade, rules)
    unknown = None if undesigned is None else not_covered(undesigned)
    return BoardSpans(
        stress=stress, strength=allowed.bending, pressure=pressure, deflection=sag, uplift=Q(found["uplift"], "N"),
        shear_stress=Q(1.5 * Q(found["shear"], "N") / (width * thickness), "MPa"),
        on_two=Q(Q(np.maximum((load * spacing**3 / 48).m_as("N*m^3"), (5 * people * spacing**4 / 384).m_as("N*m^3")),
                   "N*m^3") / stiff, "mm"),
        governed_by=what_bends(found), strong=unknown or at_most(stress, allowed.bending),
        presses=unknown or at_most(pressure, allowed.across), stiff=at_most(sag, Q(spacing / share_of_span, "mm")),
    )


def _forces(spacing: Quantity, overhang: Quantity, joists: Any, loads: tuple[Quantity, ...], rules: str) -> Any:
    """The worst results by name, in SI, plain numbers for plain inputs."""
    between, out = np.atleast_1d(spacing.m_as("m")), np.atleast_1d(overhang.m_as("m"))
    # A count may be sampled; how many joists are looked at goes by the mean.
    spans = int(min(round(float(np.nanmean(joists))) - 1, _MOST_SPANS))
    places = out + between * np.arange(spans + 1)[:, None]
    line = line_of(places, places[-1] + out)
    dead, live, point = (one.to_base_units().m for one in loads)
    found = worst_of(line, Loads(dead, live, point, 0.0, *load_factors(rules), 0.0))
    single = not any(np.ndim(one.m) for one in (spacing, overhang, *loads))
    return {name: value[0] if single else value for name, value in found.items()}
