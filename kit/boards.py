"""Laying boards and joists: how many, how wide the last one, where each lies, what the deck weighs.

Sizes are those of the wood in hand, not nominal ones.  Running dimensions are
given from one edge or end, so that no chain of small errors adds up.  Where a
calculation is sampled the counts follow each sample, but the lists of positions
are those of the mean sizes.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply, not_covered
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity, is_quantity
from kit.timber import SPECIES, Cut, across, moisture, species

__all__ = ["BoardLine", "DeckBoards", "JoistLayout", "JoistLine", "deck_boards", "joist_layout"]

# Gaps are made this much narrower than wanted when that saves ripping the edge boards. Common practice, no source.
_PLAY = Q(0.5, "mm")
_GRAVITY = Q(9.80665, "m/s^2")
# Ripping follows a fence that is set to half a millimetre. Common practice, no source.
_FENCE = Q(0.5, "mm")


def _middle(value: Any, unit: str = "mm") -> float:
    """The mean of the samples that exist, or the value itself: what a list of positions is made from."""
    plain = np.asarray(value.m_as(unit) if is_quantity(value) else value, dtype=float)
    return float(np.nanmean(plain)) if np.isfinite(plain).any() else float("nan")


@result
class BoardLine:
    """Where one board lies."""

    name: Annotated[str, Text("board, counted from the first edge", "1")]
    start: Annotated[Quantity, Out("mm", "its first edge from the first edge of the deck", resolution=0.5)]
    end: Annotated[Quantity, Out("mm", "its second edge from the first edge of the deck", resolution=0.5)]


@result
class DeckBoards:
    """A deck laid with boards: counts, rips, gaps, mass."""

    full_boards: Annotated[Quantity, Out("1", "boards of full width", resolution=1)]
    edge_boards: Annotated[Quantity, Out("1", "boards ripped for the two edges", resolution=1)]
    board_count: Annotated[Quantity, Out("1", "boards altogether", resolution=1)]
    edge_width: Annotated[Quantity, Out("mm", "width of each edge board", resolution=0.5)]
    exact_gap: Annotated[Quantity, Out("mm", "gap that comes out even: thickness of the gap block", resolution=0.1)]
    gap_wet: Annotated[Quantity, Out("mm", "gap when the boards are wettest", resolution=0.1, rounding="down",
                                     absent="no movement of this species is known")]
    gap_dry: Annotated[Quantity, Out("mm", "gap when the boards are driest", resolution=0.1, rounding="up",
                                     absent="no movement of this species is known")]
    volume: Annotated[Quantity, Out("m^3", "volume of the boards as laid")]
    mass: Annotated[Quantity, Out("kg", "mass at fitting", resolution=0.1)]
    wet_mass: Annotated[Quantity, Out("kg", "mass when wet through", resolution=0.1, rounding="up")]
    weight: Annotated[Quantity, Out("kPa", "weight of the wet boards on the joists")]
    face: Annotated[Quantity, Out("m^2", "upper faces of the boards", resolution=0.1)]
    metres: Annotated[Quantity, Out("m", "length of board to buy, waste included", resolution=0.1, rounding="up")]
    top: Annotated[Quantity, Out("m", "deck top above the underside of the frame", resolution=0.001)]
    middle: Annotated[Quantity, Out("m", "middle of the boards above the underside of the frame", resolution=0.001)]
    board_run: Annotated[Quantity, Out("mm", "deck along the boards, across the joists", resolution=1)]
    across: Annotated[Quantity, Out("mm", "deck across the boards, along the joists", resolution=1)]
    section: Annotated[str, Says("section and species of the boards")]
    lines: Annotated[tuple[BoardLine, ...], Rows("boards, running from the first edge")]
    drains: Annotated[Check, Asks("gap stays open for water when the boards are wettest", "practice")]
    fingers: Annotated[Check, Asks("gap too narrow for a finger when the boards are driest", "EN1176-1",
                                    hazard=True)]
    edge: Annotated[Check, Asks("edge boards are wide enough to hold two screws", "practice")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "practice", "EN1176-1")
def deck_boards(
    *,
    length: Annotated[Quantity, In("mm", "deck along x", 3000, ge=300, le=30_000, everyday=(1000, 12_000),
                                   resolution=1, find="tape along both sides", basis="measured")],
    width: Annotated[Quantity, In("mm", "deck along y", 2200, ge=300, le=30_000, everyday=(1000, 6000), resolution=1,
                                  find="tape across both ends", basis="measured")],
    run: Annotated[Literal["along the length", "along the width"],
                   Choice("which way the boards run")] = "along the length",
    board_width: Annotated[Quantity, In("mm", "width of a board in hand", 145, ge=40, le=300, everyday=(70, 200),
                                        resolution=0.5, find="calipers on five boards, the mean", basis="measured")],
    thickness: Annotated[Quantity, In("mm", "thickness of the boards", 28, ge=10, le=100, everyday=(18, 50),
                                      resolution=0.5, find="calipers on five boards, the least", basis="measured")],
    gap: Annotated[Quantity, In("mm", "gap wanted when the boards are laid", 6, ge=0, le=20, everyday=(3, 8),
                                resolution=0.1, find="dry boards 5 to 6 mm; boards wet from treatment close to none",
                                chosen=True)],
    timber: Annotated[str, species("species of the boards", "western larch")],
    cut: Annotated[Cut, Choice("how the boards were sawn, by the rings at their ends",
                               find="rings flat along the face: flat-sawn; upright: quarter-sawn")] = "flat-sawn",
    fitting_moisture: Annotated[Quantity, moisture("moisture of the wood when it is weighed and fitted", 12)],
    wet_moisture: Annotated[Quantity, moisture("moisture when wet through", 28)],
    laid_moisture: Annotated[Quantity, moisture("moisture of the boards on the day they are laid", 15)],
    driest: Annotated[Quantity, moisture("driest the boards become in service", 14)],
    wettest: Annotated[Quantity, moisture("wettest the boards become in service", 20)],
    frame_depth: Annotated[Quantity, In("mm", "depth of the frame under the boards", 120, ge=10, le=1000,
                                        everyday=(70, 250), resolution=1, find="rule, underside to top of a joist",
                                        basis="measured")],
    least_edge: Annotated[Quantity, In("mm", "narrowest edge board wanted", 60, ge=0, le=300, resolution=1,
                                       chosen=True)]
    = Q(60, "mm"),
    least_gap: Annotated[Quantity, In("mm", "least gap that drains", 3, ge=0, le=20, resolution=0.1,
                                      chosen=True)] = Q(3, "mm"),
    greatest_gap: Annotated[Quantity, In("mm", "greatest gap a finger stays out of", 8, ge=1, le=25, resolution=0.1,
                                         chosen=True)]
    = Q(8, "mm"),
    waste: Annotated[Quantity, In("percent", "waste of board length", 5, ge=0, le=100, everyday=(3, 20))]
    = Q(5, "percent"),
) -> DeckBoards:
    """Boards over a deck: full ones in the middle, one of equal width at each edge, all gaps the same.

    With width W over the boards, board b and gap g the least whole number n of
    full boards with n >= (W - g - 2b)/(b + g) leaves the widest edge boards,
    e = (W - n b - (n + 1) g)/2, between half a board and a whole one.  They are
    ripped to the half millimetre, and the gap takes up what is left; they stay
    whole where gaps up to 0.5 mm narrower allow it.  A gap moves by the movement
    of one whole board.  Cupping is left out.

    >>> deck = deck_boards(length=Q(3, "m"), width=Q(2.2, "m"), board_width=Q(145, "mm"), thickness=Q(28, "mm"),
    ...     gap=Q(6, "mm"), timber="western larch", fitting_moisture=Q(12, "percent"), wet_moisture=Q(28, "percent"),
    ...     laid_moisture=Q(15, "percent"), driest=Q(14, "percent"), wettest=Q(20, "percent"), frame_depth=Q(120, "mm"))
    >>> print(f"{deck.full_boards.m:.0f} full, 2 ripped to {deck.edge_width:.1f~P}, {deck.mass:.1f~P}")
    13 full, 2 ripped to 115.5 mm, 103.5 kg
    """
    along_length = run == "along the length"
    over, run_length = (width, length) if along_length else (length, width)
    require(over >= 2 * board_width, "the deck must be at least two boards wide, such as 2200 mm for boards of 145 mm",
            "board_width", "width" if along_length else "length")
    require(wettest >= driest, "the wettest moisture is below the driest; write 20 percent for wettest, 14 for driest",
            "driest", "wettest")
    count, edge, even = _shared_out(over, board_width, gap)
    kind = SPECIES[timber]
    volume = Q((count * board_width + 2 * edge) * run_length * thickness, "m^3")
    when_wet, when_dry = (_gap_at(even, board_width, across(kind, cut, laid_moisture, at)) for at in (wettest, driest))
    open_gap = None if kind.coefficient(cut) else not_covered(f"no movement of {timber} is known")
    return DeckBoards(
        full_boards=count, edge_boards=Q(0 * count + 2, "1"), board_count=Q(count + 2, "1"),
        edge_width=edge, exact_gap=even, gap_wet=when_wet, gap_dry=when_dry,
        volume=volume, mass=Q(volume * kind.density(fitting_moisture), "kg"),
        wet_mass=Q(volume * kind.density(wet_moisture), "kg"),
        weight=Q(volume * kind.density(wet_moisture) * _GRAVITY / (length * width), "kPa"),
        face=Q(volume / thickness, "m^2"), metres=Q((count + 2) * run_length * (1 + waste.m_as("")), "m"),
        top=Q(frame_depth + thickness, "m"), middle=Q(frame_depth + thickness / 2, "m"),
        board_run=run_length, across=over, section=f"{_middle(thickness):.4g} x {_middle(board_width):.4g} mm {timber}",
        lines=_lines(over, count, board_width, edge, even),
        drains=open_gap or at_least(when_wet, least_gap), fingers=open_gap or at_most(when_dry, greatest_gap),
        edge=at_least(edge, least_edge),
        notes=kind.remembered("gravity", "shrinkage_radial", "shrinkage_tangential"),
    )


def _gap_at(laid: Quantity, board: Quantity, share: Quantity | None) -> Quantity:
    """The gap between two boards that have each moved by a share of their width."""
    return Q(laid * np.nan if share is None else laid - board * share, "mm")


def _shared_out(over: Quantity, board: Quantity, gap: Quantity) -> tuple[Quantity, Quantity, Quantity]:
    """Number of full boards, width of each edge board and the gap that comes out even."""
    share = np.asarray(((over - gap - 2 * board) / (board + gap)).m_as(""), dtype=float)
    fence, whole = _FENCE.m_as("mm"), board.m_as("mm")
    with np.errstate(invalid="ignore"):
        least = np.ceil(share - 1e-9)
        count = Q(np.where(least >= 0, least, np.nan)[()], "1")
        wide = np.asarray(((over - count * board - (count + 1) * gap) / 2).m_as("mm"), dtype=float)
        ripped = np.floor(wide / fence + 1e-9) * fence
        all_whole = np.asarray(((over - (count + 2) * board) / (count + 1)).m_as("mm"), dtype=float)
        spared = all_whole >= np.maximum((gap - _PLAY).m_as("mm"), 0)
        edge = Q(np.where(spared, whole, ripped)[()], "mm")
    return count, edge, Q((over - count * board - 2 * edge) / (count + 1), "mm")


def _lines(over: Quantity, count: Quantity, board: Quantity, edge: Quantity, gap: Quantity) -> tuple[BoardLine, ...]:
    """Every board's edges from one side of the deck, by the mean sizes when sampled."""
    if not np.isfinite(_middle(count, "1")):
        return ()
    whole, rip, space = (_middle(size) for size in (board, edge, gap))
    widths = [rip, *[whole] * round(_middle(count, "1")), rip]
    starts = np.concatenate(([0.0], np.cumsum(np.array(widths[:-1]) + space)))
    return tuple(
        BoardLine(name=str(place), start=Q(start, "mm"), end=Q(start + width, "mm"))
        for place, (start, width) in enumerate(zip(starts, widths, strict=True), start=1)
    )


@result
class JoistLine:
    """Where the middle of one joist lies."""

    name: Annotated[str, Text("joist, counted from one end", "1")]
    from_end: Annotated[Quantity, Out("mm", "its middle from that end of the deck", resolution=1)]
    from_middle: Annotated[Quantity, Out("m", "its middle from the middle of the deck, + to the named end or right",
                                         resolution=0.001)]


@result
class JoistLayout:
    """Joists at equal centres."""

    spacing: Annotated[Quantity, Out("mm", "from centre to centre", resolution=0.1)]
    clear: Annotated[Quantity, Out("mm", "clear between two joists: length of a nogging", resolution=0.1)]
    needed: Annotated[Quantity, Out("1", "fewest joists for the greatest spacing allowed", resolution=1,
                                    absent="no greatest spacing was set")]
    joist_length: Annotated[Quantity, Out("mm", "joist between the two rims", resolution=1)]
    lines: Annotated[tuple[JoistLine, ...], Rows("joist centres, running from one end")]
    close_enough: Annotated[Check, Asks("joists are close enough for the boards", "practice")]


@calculator("practice", "kit")
def joist_layout(
    *,
    length: Annotated[Quantity, In("mm", "deck across the joists", 3000, ge=300, le=30_000, everyday=(1000, 12_000),
                                   resolution=1, find="tape", basis="measured")],
    width: Annotated[Quantity, In("mm", "deck along the joists", 2200, ge=300, le=30_000, everyday=(600, 6000),
                                  resolution=1, find="tape", basis="measured")],
    joists: Annotated[int, Count("joists", 8, ge=2, le=100)],
    thickness: Annotated[Quantity, In("mm", "thickness of a joist", 45, ge=15, le=200, everyday=(35, 100),
                                      resolution=0.5, find="calipers on five, the mean", basis="measured")],
    rim_thickness: Annotated[Quantity, In("mm", "thickness of the rim over the joist ends; 0 when there is none", 45,
                                          ge=0, le=150, resolution=0.5, find="calipers", basis="measured")]
    = Q(45, "mm"),
    inset: Annotated[Quantity, In("mm", "middle of an end joist from the end of the deck", 60, ge=0, le=1000,
                                  everyday=(20, 300), resolution=1, chosen=True)],
    greatest: Annotated[Quantity | None, In("mm", "greatest spacing the boards allow", 450, ge=100, le=2000,
                                            resolution=1, find="the boards' data sheet", chosen=True)] = None,
) -> JoistLayout:
    """Joists at equal centres between two end joists that are set in from the ends.

    spacing = (L - 2 inset) / (joists - 1).  Positions run from one end, the one
    opposite the named end (the left side where boards run across), never from
    joist to joist.

    >>> laid = joist_layout(length=Q(3, "m"), width=Q(2.2, "m"), joists=8, thickness=Q(45, "mm"), inset=Q(60, "mm"))
    >>> print(f"{laid.spacing:.1f~P} centres, {laid.clear:.1f~P} clear")
    411.4 mm centres, 366.4 mm clear
    """
    between = Q(length - 2 * inset, "mm")
    spacing = Q(between / (np.asarray(joists) - 1)[()], "mm")
    require(spacing > thickness, "the joists do not fit: fewer joists, thinner ones or a smaller inset, such as 60 mm",
            "joists", "thickness", "inset")
    require(width > 2 * rim_thickness, "the two rims leave no joist between them; write a rim of 45 mm",
            "rim_thickness")
    steps = np.nan if greatest is None else np.ceil(np.asarray((between / greatest).m_as("")) - 1e-9)[()]
    return JoistLayout(
        spacing=spacing, clear=Q(spacing - thickness, "mm"), needed=Q(steps + 1 + 0 * spacing.m, "1"),
        joist_length=Q(width - 2 * rim_thickness, "mm"), lines=_joist_lines(length, inset, joists),
        close_enough=does_not_apply("no greatest spacing was set") if greatest is None else at_most(spacing, greatest),
    )


def _joist_lines(length: Quantity, inset: Quantity, joists: Any) -> tuple[JoistLine, ...]:
    whole, first = _middle(length), _middle(inset)
    if not np.isfinite(whole - first):
        return ()
    places = np.linspace(first, whole - first, round(_middle(joists)))
    return tuple(
        JoistLine(name=str(number), from_end=Q(place, "mm"), from_middle=Q((place - whole / 2) / 1000, "m"))
        for number, place in enumerate(places, start=1)
    )
