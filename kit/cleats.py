"""Mooring cleats bolted through the deck: what their bolts and washers hold."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, not_covered
from kit.fasteners import Rules, rule_family
from kit.kinds import Asks, Choice, Count, In, Out
from kit.quantities import Q, Quantity
from kit.screw_strength import duration_factors
from kit.sources import read_facts
from kit.yield_limits import FACTS

__all__ = ["CleatFixing", "cleat_fixing"]

_MOORING = read_facts("mooring")


@result
class CleatFixing:
    """The bolts of one cleat."""

    design_pull: Annotated[Quantity, Out("N", "pull on the cleat, with its factor", rounding="up")]
    along_deck: Annotated[Quantity, Out("N", "of that on each bolt, along the deck", rounding="up")]
    out_of_deck: Annotated[Quantity, Out("N", "of that on the most pulled bolt, out of the deck", rounding="up")]
    bearing: Annotated[Quantity, Out("N", "bolt pressed into the timber, characteristic", rounding="down")]
    bending: Annotated[Quantity, Out("N", "bolt bent in the timber, characteristic", rounding="down")]
    sideways: Annotated[Quantity, Out("N", "sideways load one bolt may carry", rounding="down")]
    washer_holds: Annotated[Quantity, Out("N", "pull one washer may carry", rounding="down")]
    modification: Annotated[Quantity, Out("1", "factor for wet timber and a gust")]
    holds_sideways: Annotated[Check, Asks("cleat bolts, along the deck", "EN1995-1-1", hazard=True)]
    holds_out: Annotated[Check, Asks("cleat bolts and washers, out of the deck", "EN1995-1-1", hazard=True)]
    cleat_holds: Annotated[Check, Asks("the cleat itself", "practice", hazard=True)]


@calculator("EN1995-1-1", "EN338", "practice")
def cleat_fixing(
    *,
    rules: Annotated[Rules, rule_family()],
    tension: Annotated[Quantity, In("kN", "pull in the most loaded leg", 1.09, ge=0, le=2000)],
    slope: Annotated[Quantity, In("deg", "slope of the rope at the cleat", 12.5, ge=0, le=90)],
    lost_pull: Annotated[Quantity, In("N", "greatest pull when one leg has parted", 2300, ge=0, le=2e6)] = Q(0, "N"),
    limit: Annotated[Quantity, In("kN", "working load of the cleat itself", 5, chosen=True,
                                  ge=0.1, le=1000, basis="data sheet",
                                  find="the maker; cast cleats of unknown strength: do not")],
    bolts: Annotated[int, Count("bolts through one cleat", 4, ge=1, le=12)],
    diameter: Annotated[Quantity, In("mm", "diameter of the bolts", 8, out_by="0.1 mm",
                                     ge=4, le=24, resolution=1, basis="data sheet")],
    tensile: Annotated[Quantity, In("MPa", "tensile strength of the bolt steel", 500, ge=200, le=1200,
                                    basis="data sheet", find="stainless A2-50 or A4-50: 500, A4-70: 700")],
    washer: Annotated[Quantity, In("mm", "diameter of the washer or backing plate", 30, out_by="0.5 mm",
                                   ge=8, le=300, resolution=1)],
    timber: Annotated[Quantity, In("mm", "timber that the bolts go through", 68, out_by="2 mm",
                                   ge=10, le=400, resolution=1,
                                   find="deck board and the block under it")],
    spacing: Annotated[Quantity, In("mm", "distance of the bolts along the pull", 60, out_by="2 mm",
                                    ge=10, le=600, resolution=1)],
    height: Annotated[Quantity, In("mm", "height of the rope above the deck", 40, out_by="5 mm",
                                   ge=0, le=300, resolution=1)],
    density: Annotated[Quantity, In("kg/m^3", "characteristic density of the timber", 350, ge=150, le=1200,
                                    basis="handbook", find="stamped class: C16 310, C24 350")],
    service: Annotated[Literal["dry", "wet"], Choice("the wood in service", "wet", find="a deck: wet")] = "wet",
) -> CleatFixing:
    """Bolts of one cleat sideways and pulled, by the European expressions for a thin steel plate on timber.

    Sideways: least of 0.4 f t d and 1.15 sqrt(2 M f d) a bolt, times kmod/1.3.
    Pulled: the rope's lift shared by all, and its height above the deck over the
    bolts' spacing shared by the far half; a washer may press 3 fc,90.  The load
    is 1.5 times the pull, or the pull with a leg lost where that is more.  What
    carries the deck boards themselves, and splitting near a board's end, are left
    out: bolt through a block that bears on two joists.

    >>> cleat = cleat_fixing(rules="European", tension=Q(1.09, "kN"), slope=Q(12, "deg"), limit=Q(5, "kN"), bolts=4,
    ...     diameter=Q(8, "mm"), tensile=Q(500, "MPa"), washer=Q(30, "mm"), timber=Q(68, "mm"), spacing=Q(60, "mm"),
    ...     height=Q(40, "mm"), density=Q(350, "kg/m^3"))
    >>> print(f"{cleat.along_deck:.0f~P} of {cleat.sideways:.0f~P} a bolt")
    400 N of 2468 N a bolt
    """
    require(np.all(washer > 1.2 * diameter), "the washer must be wider than the bolt's hole", "washer", "diameter")
    pull = Q(np.maximum(_MOORING["load-factor"].value * tension.m_as("N"),
                        lost_pull.m_as("N") / np.maximum(np.cos(slope.m_as("rad")), 0.1)), "N")
    along, lift = pull * np.cos(slope.m_as("rad")), pull * np.sin(slope.m_as("rad"))
    far = max(1, bolts // 2)
    out = along * height / spacing / far + lift / bolts
    bearing, bending = _sideways(diameter, tensile, timber, density)
    factor = duration_factors("wind or impact", service)[1] / FACTS["material_factor"].value
    sideways = Q(np.minimum(bearing.m_as("N"), bending.m_as("N")), "N") * factor
    hole = diameter + Q(1, "mm")
    across = Q(_MOORING["bearing-across"].value * density.m_as("kg/m^3"), "MPa")
    presses = _MOORING["washer"].value * across * np.pi / 4 * (washer**2 - hole**2) * factor
    other = not_covered("only the European expressions are worked out for cleats; see the code chosen")
    european = rules == "European"
    return CleatFixing(
        design_pull=pull, along_deck=(along / bolts).to("N"), out_of_deck=out.to("N"), bearing=bearing,
        bending=bending, sideways=sideways, washer_holds=presses.to("N"),
        modification=Q(duration_factors("wind or impact", service)[1]),
        holds_sideways=at_most((along / bolts).to("N"), sideways, factor="design value") if european else other,
        holds_out=at_most(out.to("N"), presses.to("N"), factor="design value") if european else other,
        cleat_holds=at_least(limit, (pull / _MOORING["load-factor"].value).to("kN"),
                             factor="the maker's factor is in the limit"),
    )


def _sideways(diameter: Quantity, tensile: Quantity, timber: Quantity, density: Quantity) -> tuple[Quantity, Quantity]:
    """Bearing and bending of one bolt, load square to the grain; the published fits take mm, kg/m^3 and N/mm^2."""
    d, rho = diameter.m_as("mm"), density.m_as("kg/m^3")
    bears = FACTS["embedment"].value * (1 - 0.01 * d) * rho / np.where(d > 6, 1.35 + 0.015 * d, 1.0)
    moment = FACTS["yield_moment"].value * tensile.m_as("MPa") * d**2.6
    bent = _MOORING["bolt-thin"].value * np.sqrt(2 * moment * bears * d)
    return Q(_MOORING["bolt-bearing"].value * bears * timber.m_as("mm") * d, "N"), Q(bent, "N")
