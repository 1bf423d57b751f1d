"""What a panel needs around it and under it to move: the gap at fitting, and the slots of its battens.

    >>> lid = panel_gaps(width=Q(550, "mm"), timber="white oak", cut="quarter-sawn", start=Q(12, "percent"),
    ...                  driest=Q(10, "percent"), wettest=Q(20, "percent"), least_gap=Q(3, "mm"))
    >>> print(f"{lid.swells:.1f~P} wider when wettest; fit it with {lid.gap:.1f~P} at each edge")
    7.9 mm wider when wettest; fit it with 7.0 mm at each edge

How much wood moves is in `kit.timber`.
"""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import InputError, applies, calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.kinds import Asks, Choice, In, Out
from kit.quantities import Q, Quantity
from kit.timber import SPECIES, Cut, across, moisture, species

__all__ = ["PanelGaps", "panel_gaps"]

Held = Literal["in the middle", "at one edge"]


@result
class PanelGaps:
    """Room for a panel to move."""

    swells: Annotated[Quantity, Out("mm", "wider when wettest than when fitted", resolution=0.1, rounding="up")]
    shrinks: Annotated[Quantity, Out("mm", "narrower when driest than when fitted", resolution=0.1, rounding="up")]
    travel_out: Annotated[Quantity, Out("mm", "a moving edge goes outwards by", resolution=0.1, rounding="up")]
    travel_in: Annotated[Quantity, Out("mm", "a moving edge goes inwards by", resolution=0.1, rounding="up")]
    gap: Annotated[Quantity, Out("mm", "gap to leave at each moving edge when it is fitted", resolution=0.1,
                                 rounding="up")]
    gap_wet: Annotated[Quantity, Out("mm", "gap left when wettest", resolution=0.1, rounding="down")]
    gap_dry: Annotated[Quantity, Out("mm", "gap when driest", resolution=0.1, rounding="up")]
    screw_out: Annotated[Quantity, Out("mm", "farthest screw goes outwards by", resolution=0.1, rounding="up")]
    screw_in: Annotated[Quantity, Out("mm", "farthest screw goes inwards by", resolution=0.1, rounding="up")]
    slot: Annotated[Quantity, Out("mm", "length of the slot of the farthest screw", resolution=0.5, rounding="up")]
    screw_place: Annotated[Quantity, Out("mm", "middle of the screw from the outer end of the slot, when fitted",
                                         resolution=0.5, rounding="up")]
    stays_clear: Annotated[Check, Asks("gap around the panel when wettest", "practice")]
    not_wide: Annotated[Check, Asks("gap around the panel when driest", "practice")]
    slotted: Annotated[Check, Asks("slots of the battens are long enough", "practice")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "practice")
def panel_gaps(
    *,
    width: Annotated[Quantity, In("mm", "width across the grain when fitted", 550, ge=1, le=5000, everyday=(50, 1200),
                                  resolution=0.1, find="rule", basis="measured")],
    timber: Annotated[str, species("species", "white oak")],
    cut: Annotated[Cut, Choice("how the boards were sawn, by the rings at their ends", "quarter-sawn")],
    start: Annotated[Quantity, moisture("moisture when it is fitted", 12)],
    driest: Annotated[Quantity, moisture("moisture when driest", 10)],
    wettest: Annotated[Quantity, moisture("moisture when wettest", 20)],
    least_gap: Annotated[Quantity, In("mm", "gap that must stay when wettest", 2, ge=0, le=100, resolution=0.5,
                                      find="1 to 3 mm, so that it never binds", basis="common practice",
                                      chosen=True)] = Q(2, "mm"),
    fitted_gap: Annotated[Quantity | None, In("mm", "gap as fitted, where it is decided", 7, ge=0, le=200,
                                              resolution=0.1, find="rule, at each moving edge",
                                              basis="measured")] = None,
    most_gap: Annotated[Quantity | None, In("mm", "widest gap that is allowed when driest", 12, ge=0, le=300,
                                            find="rain, or fingers", chosen=True)] = None,
    held: Annotated[Held, Choice("where the panel is held fast", "in the middle")] = "in the middle",
    screw: Annotated[Quantity, In("mm", "diameter of the batten's screws", 5, ge=1, le=20, resolution=0.1,
                                  basis="data sheet")] = Q(5, "mm"),
    farthest: Annotated[Quantity | None, In(
        "mm", "farthest screw from where the panel is held", 220, ge=0, le=5000, resolution=1, basis="measured",
        find="rule, across the panel")] = None,
    slot_made: Annotated[Quantity | None, In("mm", "length of the slots as made", 14, ge=1, le=200, resolution=0.5,
                                             basis="measured")] = None,
    spare: Annotated[Quantity, In("mm", "room to spare at each end of a slot", 1, ge=0, le=20, resolution=0.5,
                                  basis="common practice", chosen=True)] = Q(1, "mm"),
) -> PanelGaps:
    """Gap at fitting and slots so that a panel neither binds nor splits.

    It swells by width * C * (wettest - start) and shrinks by width * C * (start
    - driest), half of it at each edge when it is held in the middle.  gap =
    least_gap + what an edge goes outwards.  A screw at a distance a from where
    the panel is held moves a * C times the same; its slot is as long as the
    screw is thick, both ways and twice the spare together.  Cupping is left out.

    >>> lid = panel_gaps(width=Q(550, "mm"), timber="white oak", cut="quarter-sawn", start=Q(12, "percent"),
    ...                  driest=Q(12, "percent"), wettest=Q(20, "percent"), farthest=Q(220, "mm"))
    >>> print(f"slot {lid.slot:.1f~P}")
    slot 10.2 mm
    """
    require(wettest >= driest, "the wettest must not be drier than the driest, such as 10 % and 20 %", "driest",
            "wettest")
    kind = SPECIES[timber]
    wet, dry = across(kind, cut, start, wettest), across(kind, cut, start, driest)
    if wet is None or dry is None:
        why = f"no movement of {timber} is known; choose a species whose movement is tabulated, such as white oak"
        raise InputError("", {"timber": why})
    applies(np.logical_and(driest >= Q(6, "percent"), wettest <= Q(14, "percent")),
            "the movement coefficient was made for moistures of 6 to 14 %; outside it is approximate")
    arm = width / 2 if held == "in the middle" else width
    reach = arm if farthest is None else farthest
    out, back = _positive(arm * wet), _positive(-arm * dry)
    screw_out, screw_in = _positive(reach * wet), _positive(-reach * dry)
    gap = (least_gap + out).to("mm")
    fitted = gap if fitted_gap is None else fitted_gap.to("mm")
    slot = (screw + screw_out + screw_in + 2 * spare).to("mm")
    return PanelGaps(
        swells=_positive(width * wet), shrinks=_positive(-width * dry), travel_out=out, travel_in=back, gap=gap,
        gap_wet=fitted - out, gap_dry=fitted + back, screw_out=screw_out, screw_in=screw_in, slot=slot,
        # The screw goes with the panel: it needs its way out towards the outer end.
        screw_place=(screw / 2 + screw_out + spare).to("mm"),
        stays_clear=does_not_apply("the gap at fitting is not decided; the one worked out keeps clear")
        if fitted_gap is None else at_least(fitted - out, least_gap.to("mm")),
        not_wide=does_not_apply("no widest gap is set") if most_gap is None else at_most(fitted + back, most_gap),
        slotted=does_not_apply("no slots are made yet") if slot_made is None else at_least(slot_made, slot),
        notes=kind.remembered("movement_radial", "movement_tangential", "shrinkage_radial", "shrinkage_tangential"),
    )


def _positive(size: Quantity) -> Quantity:
    return Q(np.maximum(size.m_as("mm"), 0.0), "mm")
