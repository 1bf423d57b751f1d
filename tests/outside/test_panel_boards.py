"""Boards, glue-ups, movement and sheets against printed figures, hand counts and another geometry library."""

from __future__ import annotations

from itertools import pairwise, permutations

import numpy as np
import pytest
from shapely.geometry import box
from shapely.ops import unary_union

from kit.climate import Month
from kit.glue_plan import glue_lines, glue_plan
from kit.handed import Piece
from kit.panel_boards import GluedPanel, PanelToGlue, board_measure, panel_boards
from kit.panel_gaps import panel_gaps
from kit.panel_year import panel_year
from kit.quantities import Q
from kit.sheet_cuts import SheetOffer, sheet_cuts


@pytest.mark.parametrize(
    ("thickness", "width", "feet", "printed"),
    [(2, 4, 14, "9.33"), (2, 6, 16, "16.0"), (1, 9, 8, "6.0"), (2, 10, 14, "23.33")],
)
@pytest.mark.outside("board_measure", "US Navy, Engineering Aid Basic, board measure")
def test_board_feet_are_those_of_the_book(thickness, width, feet, printed):
    """To the last digit printed."""
    made = board_measure(thickness=Q(thickness, "in"), width=Q(width, "in"), length=Q(feet, "ft"))
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])

    assert made.feet.m_as("bdft") == pytest.approx(float(printed), abs=half)


@pytest.mark.parametrize("width", np.arange(100, 1300, 61))
@pytest.mark.outside("panel_boards", "boards laid down one by one until they reach")
def test_boards_are_the_fewest_that_reach(width):
    """As at the bench; a single board is not trimmed."""
    laid = 1
    if width > 134:
        while laid * 134 < width + 10:
            laid += 1
    panel = GluedPanel(name="top", length=Q(640, "mm"), width=Q(float(width), "mm"))
    made = panel_boards(panels=[panel], rough_width=Q(140, "mm"), rough_thickness=Q(27, "mm"), thickness=Q(22, "mm"))

    assert made.by_panel[0].boards_each == Q(laid)
    assert made.by_panel[0].lines_each == Q(laid - 1)


@pytest.mark.outside("glue_lines", "shapely, seams between boards laid side by side")
def test_glue_lines_are_the_seams_between_boards():
    """Two lids of five boards and a top of four, as rectangles: the length of every seam, times the thickness."""
    seams = 0.0
    for count, wide, times in ((5, 110, 2), (4, 100, 1)):
        strips = [box(n * wide, 0, (n + 1) * wide, 640) for n in range(count)]
        seams += times * sum(a.intersection(b).length for a, b in pairwise(strips))
    found = glue_lines(
        lid_lines=4,
        lid_length=Q(640, "mm"),
        lid_thickness=Q(26, "mm"),
        lid_board=Q(110, "mm"),
        top_lines=3,
        top_board=Q(100, "mm"),
        lid_pressure=Q(1.2, "MPa"),
    )

    assert found.edge_glued.m_as("mm^2") == pytest.approx(seams * 26)


@pytest.mark.parametrize(("psi", "pounds"), [("125", 3125), ("150", 3750), ("200", 5000)])
@pytest.mark.outside("glue_plan", "FAA Advisory Circular 43.13-1B, 1-8: pressures for softwood and hardwood")
def test_printed_pressures_ask_for_this_force(psi, pounds):
    """A joint of 25 by 1 inch is 25 square inches."""
    row = PanelToGlue(name="joint", count=1, lines=1, length=Q(25, "in"), thickness=Q(1, "in"), board_width=Q(4, "in"))
    plan = glue_plan(
        panels=[row],
        joint_time=Q(60, "s"),
        fixed_time=Q(90, "s"),
        open_time=Q(8, "min"),
        pressure=Q(float(psi), "psi"),
        clamp_force=Q(900, "lbf"),
        clamps=6,
    )

    assert plan.by_panel[0].force.m_as("lbf") == pytest.approx(pounds)
    assert plan.by_panel[0].clamps == Q(-(-pounds // 900))


@pytest.mark.parametrize(("board", "clamps"), [(90, 6), (60, 8), (30, 15)])
@pytest.mark.outside("glue_plan", "a joint under pads whose pressure spreads at 45 degrees, point by point")
def test_every_point_of_the_joint_is_under_a_pad(board, clamps):
    """900 mm at 1 MPa: every point lies in a cone; with one clamp fewer one does not, or the force is short."""
    row = PanelToGlue(
        name="joint", count=1, lines=1, length=Q(900, "mm"), thickness=Q(25, "mm"), board_width=Q(board, "mm")
    )
    plan = glue_plan(
        panels=[row],
        joint_time=Q(60, "s"),
        fixed_time=Q(90, "s"),
        open_time=Q(8, "min"),
        pressure=Q(1, "MPa"),
        clamp_force=Q(4, "kN"),
        clamps=20,
    )
    points = np.linspace(0, 900, 1801)

    def held(count):
        pads = (np.arange(count) + 0.5) * 900 / count
        under = (np.abs(points[:, None] - pads) <= board + 1e-9).any(axis=1).all()
        return bool(under) and count * 4000 >= 900 * 25 * 1.0

    assert plan.by_panel[0].clamps == Q(clamps)
    assert held(clamps)
    assert not held(clamps - 1)


# Wood Handbook, FPL-GTR-190, Table 13-5: movement for each percent, radial and tangential, as printed (read).
PRINTED = {
    "white oak": ("0.00180", "0.00365"),
    "black walnut": ("0.00190", "0.00274"),
    "black cherry": ("0.00126", "0.00248"),
}


@pytest.mark.parametrize("timber", PRINTED)
@pytest.mark.parametrize(("cut", "place"), [("quarter-sawn", 0), ("flat-sawn", 1)])
@pytest.mark.outside("panel_gaps", "Wood Handbook FPL-GTR-190, Table 13-5, equation 13-2, board by board")
def test_a_panel_moves_as_its_boards_by_the_printed_coefficients(timber, cut, place):
    """Ten boards of 40 mm from 7 to 13 %, each longer by D C dM, are laid side by side again."""
    rate = float(PRINTED[timber][place])
    boards = sum(40 * (1 + rate * 6) for _ in range(10))
    found = panel_gaps(
        width=Q(400, "mm"),
        timber=timber,
        cut=cut,
        start=Q(7, "percent"),
        driest=Q(7, "percent"),
        wettest=Q(13, "percent"),
    )

    # The coefficient is printed to five decimals.
    assert found.swells.m_as("mm") == pytest.approx(boards - 400, abs=400 * 6 * 0.5e-5)


# Wood Handbook Table 4-2 by way of a reprint: temperature in degF, humidity, moisture in percent.
TABLE = [("50", "65", "12.3"), ("70", "30", "6.2"), ("70", "80", "16.0"), ("30", "50", "9.5")]


@pytest.mark.parametrize(("fahrenheit", "humidity", "printed"), TABLE)
@pytest.mark.outside("panel_year", "Wood Handbook FPL-GTR-190, Table 4-2, with Table 13-5 for white oak")
def test_a_month_moves_a_panel_by_the_printed_moisture(fahrenheit, humidity, printed):
    """One month's air, its printed moisture and the printed coefficient, by hand."""
    air = Month(name="May", temperature=Q(float(fahrenheit), "degF").to("degC"), humidity=Q(float(humidity), "percent"))
    found = panel_year(
        months=[air],
        width=Q(500, "mm"),
        timber="white oak",
        cut="quarter-sawn",
        start=Q(10, "percent"),
        gap=Q(10, "mm"),
    )
    by_hand = 500 * 0.00180 * (float(printed) - 10)

    # The moisture is printed to a tenth of a percent, which the equation meets to about as much.
    assert found.change[4].m_as("mm") == pytest.approx(by_hand, abs=500 * 0.00180 * 0.1)


def sheets_for(sizes, length, width, kerf):
    """The layout of pieces (length, width) in sheets of one size."""
    pieces = [Piece(name=f"p{n}", stock="ply", length=Q(a, "mm"), width=Q(b, "mm")) for n, (a, b) in enumerate(sizes)]
    offer = SheetOffer(name="ply", stock="ply", length=Q(length, "mm"), width=Q(width, "mm"))
    return sheet_cuts(pieces=pieces, offers=[offer], kerf=Q(kerf, "mm"))


@pytest.mark.outside("sheet_cuts", "shapely, pieces as polygons with half a saw cut round each")
def test_pieces_of_a_layout_do_not_touch():
    """The union of all pieces, each half a saw cut larger, has the area of them together."""
    rng = np.random.default_rng(5)
    found = sheets_for([tuple(rng.integers(100, 900, 2)) for _ in range(18)], 2440, 1220, 4)
    for sheet in found.sheets:
        grown = [
            box(*(v.m_as("mm") for v in (p.x, p.y, p.x + p.along, p.y + p.across))).buffer(2, join_style="mitre")
            for p in sheet.pieces
        ]
        assert unary_union(grown).area == pytest.approx(sum(one.area for one in grown))


def fewest_by_trying(sizes, length, width):
    """The fewest sheets by guillotine cuts, every order and both ways to cut, no saw cut."""
    best = [len(sizes)]

    def put(left, free, sheets):
        if sheets >= best[0]:
            return
        if not left:
            best[0] = sheets
            return
        (a, b), rest = left[0], left[1:]
        for n, (x, y) in enumerate(free):
            if a <= x and b <= y:
                others = free[:n] + free[n + 1 :]
                put(rest, [*others, (x - a, y), (a, y - b)], sheets)
                put(rest, [*others, (x - a, b), (x, y - b)], sheets)
        put(rest, [*free, (length - a, width), (a, width - b)], sheets + 1)
        put(rest, [*free, (length - a, b), (length, width - b)], sheets + 1)

    for order in set(permutations(sizes)):
        put(list(order), [], 0)
    return best[0]


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.outside("sheet_cuts", "every order and every cut of five pieces, tried one by one")
def test_small_layouts_are_as_good_as_the_best_and_bounds_hold(seed):
    """Five pieces: the rules find what trying everything finds, and what is called proven is so."""
    rng = np.random.default_rng(seed)
    sizes = [(int(a), int(b)) for a, b in rng.integers(2, 9, (5, 2))]
    best = fewest_by_trying(sizes, 10, 10)
    found = sheets_for([(100 * a, 100 * b) for a, b in sizes], 1000, 1000, 0)

    assert found.sheets_needed == Q(best)
    assert found.by_stock[0].fewest.magnitude <= best
