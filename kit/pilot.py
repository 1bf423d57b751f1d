"""Which drills a screw wants: one for its thread in the lower piece, one for its shank in the upper."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.fasteners import Rules, rule_family
from kit.kinds import Choice, In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import read_table
from kit.timber import SPECIES, species

__all__ = ["Duty", "PilotHole", "pilot_hole"]

Duty = Literal["withdrawal", "lateral"]
DrillSet = Literal["metric", "inch"]


@result
class PilotHole:
    """Holes for one screw."""

    thread_hole: Annotated[Quantity, Out("mm", "hole for the thread, exact", resolution=0.05, rounding="down",
                                         absent="none is required")]
    thread_drill: Annotated[Quantity, Out("mm", "drill for it: the next smaller one", resolution=0.05, rounding="down",
                                          absent="none")]
    clearance_hole: Annotated[Quantity, Out("mm", "hole for the shank in the upper piece, exact", resolution=0.05,
                                            rounding="up")]
    clearance_drill: Annotated[Quantity, Out("mm", "drill for it: the next larger one", resolution=0.05, rounding="up",
                                             absent="none large enough in this set")]
    share: Annotated[Quantity, Out("percent", "thread hole as a share of the diameter it is counted from", resolution=1,
                                   absent="none is required")]
    rule: Annotated[str, Says("where the share comes from")]
    notes: tuple[str, ...] = ()


@calculator("NDS-2018", "EN1995-1-1", "FPL-GTR-190", "practice")
def pilot_hole(
    *,
    rules: Annotated[Rules, rule_family()],
    timber: Annotated[str, species("species that the thread goes into")],
    duty: Annotated[Duty, Choice("what the screw mainly does", "lateral", find="lateral: holds pieces from sliding; "
                                 "withdrawal: keeps them from lifting")],
    diameter: Annotated[Quantity, In("mm", "nominal diameter of the screw", 5, ge=2, le=14, everyday=(3, 8),
                                     resolution=0.1, find="the box, or calipers", basis="data sheet")],
    root: Annotated[Quantity, In("mm", "diameter at the root of the thread", 3.2, ge=1, le=12, resolution=0.05,
                                 find="calipers between the threads; about two thirds of the nominal",
                                 basis="data sheet")],
    drills: Annotated[DrillSet, Choice("drills in the workshop")] = "metric",
) -> PilotHole:
    """Holes for a screw through an upper into a lower piece, by the lower one's density.

    European: 70 % of the nominal diameter for the thread.  North American, by
    assigned gravity G: for withdrawal none up to 0.5, 70 % of the root up to
    0.6, 90 % above; for lateral loads 7/8 of the root up to 0.6 and the whole
    root above.  Handbook: 70 % of the root in softwood, 90 % in hardwood.  The
    upper piece is drilled the whole shank, so that the joint can draw together.

    >>> holes = pilot_hole(rules="European", timber="Douglas-fir (coast)", duty="lateral", diameter=Q(5, "mm"),
    ...                    root=Q(3.2, "mm"))
    >>> print(f"{holes.thread_drill:.1f~P} and {holes.clearance_drill:.1f~P}")
    3.5 mm and 5.0 mm
    """
    require(root < diameter, "the root must be thinner than the screw, such as 3.2 mm for a screw of 5 mm",
            "root", "diameter")
    share, rule = _share(rules, timber, duty)
    hole = Q((diameter if rules == "European" else root) * share, "mm")
    sizes = _sizes(drills)
    return PilotHole(
        thread_hole=hole, thread_drill=_below(hole, sizes), clearance_hole=Q(diameter, "mm"),
        clearance_drill=_above(Q(diameter, "mm"), sizes), share=Q(share * 100 + 0 * hole.m, "percent"), rule=rule,
        notes=("European share from memory, not yet read in EN 1995-1-1 10.4.5",) if rules == "European" else (),
    )


def _share(rules: str, timber: str, duty: str) -> tuple[float, str]:
    """The hole for the thread as a share: of the nominal diameter by European rules, else of the root."""
    kind = SPECIES[timber]
    g = kind.assigned_gravity.m
    if rules == "European":
        return 0.7, "70 % of the nominal diameter, EN 1995-1-1 10.4.5"
    if rules == "handbook only":
        hard = kind.group == "hardwood"
        words = "90 % of the root in hardwood" if hard else "70 % of the root in softwood"
        return (0.9 if hard else 0.7), f"{words}, Wood Handbook chapter 8"
    if duty == "lateral":
        return (0.875, "7/8 of the root, NDS 12.1.5") if g <= 0.6 else (1.0, "the whole root, NDS 12.1.5")
    if g <= 0.5:
        return np.nan, "none is required up to G = 0.5, NDS 12.1.5; an end still splits without one"
    return (0.7, "70 % of the root, NDS 12.1.5") if g <= 0.6 else (0.9, "90 % of the root, NDS 12.1.5")


@lru_cache(maxsize=2)
def _sizes(drills: str) -> Any:
    """The drills of a set in mm, small to large."""
    return np.sort([Q(float(line["size"]), line["unit"]).m_as("mm") for line in read_table("drills")
                    if line["set"] == drills])


def _below(hole: Quantity, sizes: Any) -> Quantity:
    wanted = np.asarray(hole.m_as("mm"), dtype=float)
    place = np.searchsorted(sizes, np.nan_to_num(wanted) + 1e-9, side="right") - 1
    return Q(np.where(np.isnan(wanted) | (place < 0), np.nan, sizes[np.maximum(place, 0)])[()], "mm")


def _above(hole: Quantity, sizes: Any) -> Quantity:
    wanted = np.asarray(hole.m_as("mm"), dtype=float)
    place = np.searchsorted(sizes, np.nan_to_num(wanted) - 1e-9, side="left")
    lost = np.isnan(wanted) | (place >= len(sizes))
    return Q(np.where(lost, np.nan, sizes[np.minimum(place, len(sizes) - 1)])[()], "mm")
