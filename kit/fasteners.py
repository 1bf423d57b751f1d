"""Where screws go and how many: distances to end, edge and one another, equal spacing, boxes to buy.

Distances are counted in diameters of the screw.  The European table knows two
densities and the pre-drilled hole; the North American figures are those of the
specification's commentary, which recommends them.  The Wood Handbook gives none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, does_not_apply, fails, not_covered
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text, YesNo
from kit.quantities import Q, Quantity, is_quantity
from kit.sources import read_table

__all__ = [
    "Crossing", "Rules", "ScrewCount", "ScrewLine", "ScrewSpacing", "rule_family", "screw_count", "screw_spacing",
]

Rules = Literal["European", "North American", "handbook only"]

# Above this diameter screws are spaced as bolts, by other tables.
_THICKEST = {"European": Q(6, "mm"), "North American": Q(0.25, "in"), "handbook only": Q(0, "mm")}
_DENSEST = Q(500, "kg/m^3")
_LIGHT = Q(420, "kg/m^3")
_NO_RULE = "the handbook gives no distances; choose European or North American rules"


def rule_family() -> Choice:
    """The kind of an input that names the family of rules, chosen once for the whole build."""
    return Choice("rules for timber and screws", "European", find="your country's; chosen once for the whole build")


@result
class ScrewLine:
    """Where one screw of a row goes."""

    name: Annotated[str, Text("screw, counted from the first end", "1")]
    from_end: Annotated[Quantity, Out("mm", "from the end of the board", resolution=1)]


@result
class ScrewSpacing:
    """Distances a screw needs, and those it gets."""

    case: Annotated[str, Says("column of the table used")]
    needed_end: Annotated[Quantity, Out("mm", "end distance needed", resolution=0.5, rounding="up", absent="no rule")]
    needed_edge: Annotated[Quantity, Out("mm", "edge distance needed", resolution=0.5, rounding="up", absent="no rule")]
    needed_along: Annotated[Quantity, Out("mm", "spacing needed along the grain", resolution=0.5, rounding="up",
                                          absent="no rule")]
    needed_across: Annotated[Quantity, Out("mm", "spacing needed across the grain", resolution=0.5, rounding="up",
                                           absent="no rule")]
    along: Annotated[Quantity, Out("mm", "equal spacing along the grain", resolution=0.5, absent="one screw in a row")]
    across: Annotated[Quantity, Out("mm", "equal spacing across the grain", resolution=0.5, absent="one row")]
    most_in_row: Annotated[Quantity, Out("1", "most screws that fit in a row", resolution=1, absent="no rule")]
    most_rows: Annotated[Quantity, Out("1", "most rows that fit in the width", resolution=1, absent="no rule")]
    lines: Annotated[tuple[ScrewLine, ...], Rows("screws of one row, running from the end")]
    board_end: Annotated[Check, Asks("screws are far enough from the board end", "build-rules")]
    board_edge: Annotated[Check, Asks("screws are far enough from the board edge", "build-rules")]
    in_row: Annotated[Check, Asks("screws in a row are far enough apart", "build-rules")]
    between_rows: Annotated[Check, Asks("rows are far enough apart", "build-rules")]
    drilling: Annotated[Check, Asks("wood can take these screws without pre-drilling", "EN1995-1-1")]
    notes: tuple[str, ...] = ()


@calculator("EN1995-1-1", "NDS-2018")
def screw_spacing(
    *,
    rules: Annotated[Rules, rule_family()],
    diameter: Annotated[Quantity, In("mm", "outer diameter of the screw", 5, ge=2, le=20, everyday=(3, 10),
                                     resolution=0.1, find="calipers over the thread", basis="data sheet")],
    pre_drilled: Annotated[bool, YesNo("holes are drilled first", True)],
    density: Annotated[Quantity, In("kg/m^3", "characteristic density of the board", 350, ge=200, le=1200, resolution=1,
                                    find="stamped class: C16 310, C24 350; D30 530", basis="handbook")],
    angle: Annotated[Quantity, In("deg", "angle between the force and the grain of the board", 90, ge=0, le=90,
                                  resolution=1)] = Q(90, "deg"),
    end_loaded: Annotated[bool, YesNo("the force pulls the screw towards the board end")] = False,
    edge_loaded: Annotated[bool, YesNo("the force pulls the screw towards the board edge")] = False,
    length: Annotated[Quantity, In("mm", "length of the board or joint along the grain", 3000, ge=20, le=30_000,
                                   resolution=1, find="tape", basis="measured")],
    width: Annotated[Quantity, In("mm", "width of the board or joint", 145, ge=10, le=2000, resolution=0.5,
                                  find="calipers", basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the board", 28, ge=5, le=300, resolution=0.5,
                                      find="calipers", basis="measured")],
    end: Annotated[Quantity, In("mm", "screw from the board end", 60, ge=0, le=5000, everyday=(15, 150), resolution=1,
                                find="rule, as marked on the board", chosen=True)],
    edge: Annotated[Quantity, In("mm", "screw from the board edge", 30, ge=0, le=1000, everyday=(10, 100), resolution=1,
                                 find="rule, as marked on the board", chosen=True)],
    in_one_row: Annotated[int, Count("screws in one row along the board", 8, ge=1, le=500)],
    rows: Annotated[int, Count("rows across the width", 2, ge=1, le=50)],
) -> ScrewSpacing:
    """Distances between screws and to the board's end and edge, against what keeps it from splitting.

    Every distance is base + add |cos or sin(angle)| times the diameter, by the
    column for pre-drilled holes or for the density.  The screws of a row stand
    at (length - 2 end)/(n - 1).  A force from wind on a deck acts in any
    direction: take the angle that asks for more.  Without pre-drilling a board
    thinner than max(7 d, (13 d - 30 mm) rho / 400 kg/m^3) splits.

    >>> laid = screw_spacing(rules="European", diameter=Q(5, "mm"), pre_drilled=True, density=Q(350, "kg/m^3"),
    ...     length=Q(3, "m"), width=Q(145, "mm"), thickness=Q(28, "mm"), end=Q(22, "mm"), edge=Q(30, "mm"),
    ...     in_one_row=8, rows=2)
    >>> print(laid.board_end.verdict, f"{laid.needed_end:.0f~P}")
    fails 35 mm
    """
    require(length > 2 * end, "the two end distances leave no room; write 60 mm for a board of 3000 mm", "end")
    require((width > 2 * edge) | (np.asarray(rows) < 2), "the two edge distances leave no room; write 30 mm for 145 mm",
            "edge")
    case = _case(rules, pre_drilled, density)
    at_end, at_edge = "loaded end" if end_loaded else "end", "loaded edge" if edge_loaded else "edge"
    thin = diameter <= _THICKEST[rules]
    needed_along, needed_across, needed_end, needed_edge = (
        _needed(rules, case, distance, diameter, angle, density, thin)
        for distance in ("along", "across", at_end, at_edge))
    along, across = _equal(length - 2 * end, in_one_row), _equal(width - 2 * edge, rows)
    hold = _holder(rules, thin)
    return ScrewSpacing(
        case=case, needed_end=needed_end, needed_edge=needed_edge, needed_along=needed_along,
        needed_across=needed_across, along=along, across=across,
        most_in_row=_fits(length - 2 * end, needed_along), most_rows=_fits(width - 2 * edge, needed_across),
        lines=_screw_lines(length, end, in_one_row),
        board_end=hold(end, needed_end, f"{at_end}, {case}"), board_edge=hold(edge, needed_edge, f"{at_edge}, {case}"),
        in_row=hold(along, needed_along, case) if _middle(in_one_row) > 1 else does_not_apply("one screw in a row"),
        between_rows=hold(across, needed_across, case) if _middle(rows) > 1 else does_not_apply("one row"),
        drilling=_drilling(rules, pre_drilled, diameter, density, thickness),
        notes=("the distances are the commentary's recommendation, from memory, not yet read in NDS-2018",)
        if rules == "North American" else (),
    )


def _middle(value: Any, unit: str = "1") -> float:
    """The mean of the samples that exist, or the value itself: what a column of the table is chosen by."""
    plain = np.asarray(value.m_as(unit) if is_quantity(value) else value, dtype=float)
    return float(np.nanmean(plain)) if np.isfinite(plain).any() else float("nan")


def _case(rules: str, pre_drilled: bool, density: Quantity) -> str:
    """The column of the table, in words; of the mean density when sampled."""
    if pre_drilled:
        return "pre-drilled"
    if rules == "European":
        return "light" if _middle(density, "kg/m^3") <= _LIGHT.m else "heavy"
    return "driven"


@lru_cache(maxsize=1)
def _table() -> Mapping[tuple[str, str, str], Mapping[str, str]]:
    return {(line["rules"], line["case"], line["distance"]): line for line in read_table("screw_spacing")}


def _needed(
    rules: str, case: str, distance: str, diameter: Quantity, angle: Quantity, density: Quantity, thin: Any
) -> Quantity:
    """The distance needed; nan where the screw is too thick for the table."""
    diameter = Q(np.where(thin, diameter.m_as("mm"), np.nan)[()], "mm")
    if case in ("light", "heavy"):
        light, heavy = (_by_column(rules, column, distance, diameter, angle).m for column in ("light", "heavy"))
        return Q(np.where(density <= _LIGHT, light, heavy)[()], "mm")
    return _by_column(rules, case, distance, diameter, angle)


def _by_column(rules: str, case: str, distance: str, diameter: Quantity, angle: Quantity) -> Quantity:
    line = _table().get((rules, case, distance))
    if line is None:
        return Q(diameter * np.nan, "mm")
    turned = np.abs({"cos": np.cos, "sin": np.sin}[line["of"]](angle.m_as("rad")))
    add = np.where(diameter.m_as("mm") < 5, float(line["add_thin"]), float(line["add"]))[()]
    return Q(diameter * (float(line["base"]) + add * turned), "mm")


def _equal(room: Quantity, count: Any) -> Quantity:
    between = np.asarray(count, dtype=float) - 1
    return Q(room / np.where(between > 0, between, np.nan)[()], "mm")


def _fits(room: Quantity, needed: Quantity) -> Quantity:
    share = np.asarray((room / needed).m_as(""), dtype=float)
    return Q(np.where(share >= 0, np.floor(share + 1e-9) + 1, np.where(np.isnan(share), np.nan, 0))[()], "1")


def _holder(rules: str, thin: Any) -> Any:
    """How a distance is held against what is needed, or the check that says why it cannot be."""
    if rules == "handbook only":
        return lambda given, needed, reason: not_covered(_NO_RULE, given)
    if not np.any(thin):
        thick = f"screws over {_THICKEST[rules].m_as('mm'):.4g} mm are spaced as bolts, which is not held here"
        return lambda given, needed, reason: not_covered(thick, given)
    return lambda given, needed, reason: at_least(given, needed, reason=reason)


def _drilling(rules: str, pre_drilled: bool, diameter: Quantity, density: Quantity, thickness: Quantity) -> Check:
    if pre_drilled:
        return does_not_apply("the holes are drilled first")
    if rules != "European":
        return not_covered("no figure for this family of rules: drive one into an offcut and look for splits")
    if np.all(density > _DENSEST):
        return fails("wood above 500 kg/m^3 must be pre-drilled")
    size, rho = diameter.m_as("mm"), density.m_as("kg/m^3")
    least = np.where(density > _DENSEST, np.nan, np.maximum(7 * size, (13 * size - 30) * rho / 400))[()]
    return at_least(thickness, Q(least, "mm"), reason="expression 8.18, from memory")


def _screw_lines(length: Quantity, end: Quantity, count: Any) -> tuple[ScrewLine, ...]:
    """The screws of a row, of the mean sizes when sampled."""
    whole, first, number = _middle(length, "mm"), _middle(end, "mm"), round(_middle(count))
    places = np.linspace(first, whole - first, number) if number > 1 else np.array([first])
    return tuple(ScrewLine(name=str(turn), from_end=Q(place, "mm")) for turn, place in enumerate(places, start=1))


@row
class Crossing:
    """Places where pieces cross and are screwed."""

    name: Annotated[str, Text("crossings", "rims on joists")]
    crossings: Annotated[int, Count("places", 16, ge=0, le=100_000)]
    screws: Annotated[int, Count("screws in each", 2, ge=1, le=50)]


@result
class ScrewCount:
    """Screws to drive and to buy."""

    in_deck: Annotated[Quantity, Out("1", "screws in the deck", resolution=1)]
    screws: Annotated[Quantity, Out("1", "screws to drive", resolution=1)]
    needed: Annotated[Quantity, Out("1", "screws to buy, spares included", resolution=1, rounding="up")]
    boxes: Annotated[Quantity, Out("1", "boxes to buy", resolution=1)]
    left_over: Annotated[Quantity, Out("1", "screws left over", resolution=1)]


@calculator("practice")
def screw_count(
    *,
    boards: Annotated[int, Count("boards", 15, ge=1, le=1000)],
    joists: Annotated[int, Count("joists under each board", 8, ge=1, le=200)],
    each: Annotated[int, Count("screws where a board crosses a joist", 2, ge=1, le=8)] = 2,
    others: Annotated[Sequence[Crossing], Rows("other crossings with the same screw")] = (),
    spares: Annotated[Quantity, In("percent", "spares for those that strip or sink", 5, ge=0, le=100,
                                   everyday=(3, 15), chosen=True)] = Q(5, "percent"),
    box: Annotated[int, Count("screws in a box", 200, ge=1, le=10_000, find="the label")],
) -> ScrewCount:
    """Screws by crossings, and boxes to buy.

    screws = boards * joists * each, and the other crossings; a number that fits
    a box exactly needs no further box.

    >>> count = screw_count(boards=15, joists=8, box=200)
    >>> print(f"{count.screws.m:.0f} screws, {count.boxes.m:.0f} boxes")
    240 screws, 2 boxes
    """
    deck = np.asarray(boards, dtype=float) * joists * each
    total = deck + sum(one.crossings * one.screws for one in others)
    needed = np.ceil(total * (1 + spares.m_as("")) - 1e-9)
    boxes = np.ceil(needed / box - 1e-9)
    return ScrewCount(in_deck=Q(deck, "1"), screws=Q(total, "1"), needed=Q(needed, "1"), boxes=Q(boxes, "1"),
                      left_over=Q(boxes * box - needed, "1"))
