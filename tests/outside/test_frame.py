"""Layout, squareness and bending against geometry and beam theory worked out in another way."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad
from shapely.geometry import LineString, MultiPoint, Polygon, box
from shapely.ops import unary_union

from kit.bending import board_bending
from kit.boards import deck_boards, joist_layout
from kit.fasteners import Crossing, screw_count
from kit.grades import strength_class
from kit.members import Member, members
from kit.quantities import Q
from kit.squareness import squareness

MIDDLING = {"fitting_moisture": Q(12, "percent"), "wet_moisture": Q(28, "percent")}
LAID = MIDDLING | {"laid_moisture": Q(15, "percent"), "driest": Q(14, "percent"), "wettest": Q(20, "percent")}


def half_digit(printed):
    """Half of the last digit of a printed number."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2]) * (1 + 1e-9)


@pytest.mark.outside("squareness", "plane geometry: diagonals of a racked frame, worked by hand")
@pytest.mark.parametrize(("length", "width", "difference", "diagonal", "angle", "offset"), [
    (1800, 1200, 6, "2163.33", "0.1722", "3.606"), (1800, 1200, 2, "2163.33", "0.0574", "1.202"),
    (3000, 4000, 10, "5000.00", "0.1194", "8.333"), (915, 915, 2, "1294.01", "0.0886", "1.414"),
])
def test_racked_frames_worked_by_hand(length, width, difference, diagonal, angle, offset):
    """Diagonals that differ by a whole number and add up as their squares ask for."""
    total = math.sqrt(4 * (length**2 + width**2) - difference**2)
    found = squareness(
        left=Q(length, "mm"), right=Q(length, "mm"), named_side=Q(width, "mm"), other_side=Q(width, "mm"),
        first_diagonal=Q((total + difference) / 2, "mm"), second_diagonal=Q((total - difference) / 2, "mm"))

    assert found.target.m_as("mm") == pytest.approx(float(diagonal), abs=half_digit(diagonal))
    assert found.angle.m_as("deg") == pytest.approx(float(angle), abs=half_digit(angle))
    assert -found.offset.m_as("mm") == pytest.approx(float(offset), abs=half_digit(offset))


@pytest.mark.outside("squareness", "shapely: random flat quadrilaterals, lengths and angles by coordinates")
@pytest.mark.parametrize("seed", range(20))
def test_a_flat_frame_closes_and_its_worst_corner_is_found(seed):
    """Corners thrown within 60 mm of a rectangle; every length taken from the coordinates."""
    random = np.random.default_rng(seed)
    # other left, named left, named right, other right: the named end lies at large x.
    corners = np.array([(0, 0), (3000, 0), (3000, 2200), (0, 2200)]) + random.uniform(-60, 60, (4, 2))
    side = [LineString([corners[n], corners[(n + 1) % 4]]).length for n in range(4)]
    found = squareness(
        left=Q(side[0], "mm"), named_side=Q(side[1], "mm"), right=Q(side[2], "mm"), other_side=Q(side[3], "mm"),
        first_diagonal=Q(LineString([corners[0], corners[2]]).length, "mm"),
        second_diagonal=Q(LineString([corners[3], corners[1]]).length, "mm"))
    edges = np.roll(corners, -1, axis=0) - corners
    headings = np.degrees(np.arctan2(edges[:, 1], edges[:, 0]))
    turns = (headings - np.roll(headings, 1)) % 360

    assert Polygon(corners).is_valid
    assert found.closing_error.m_as("mm") == pytest.approx(0, abs=1e-6)
    assert found.worst_corner.m_as("deg") == pytest.approx(np.abs(180 - turns - 90).max(), abs=1e-9)


@pytest.mark.outside("deck_boards", "shapely: area of the union of the boards as laid")
@pytest.mark.parametrize(("width", "board", "gap"), [(2200, 145, 6), (2437, 95, 5), (1500, 120, 8), (900, 200, 0)])
def test_boards_cover_the_deck_but_for_its_gaps(width, board, gap):
    """Rectangles drawn from the running dimensions do not overlap, stay on the deck and have the volume."""
    found = deck_boards(length=Q(3, "m"), width=Q(width, "mm"), board_width=Q(board, "mm"), thickness=Q(28, "mm"),
                        gap=Q(gap, "mm"), timber="western larch", frame_depth=Q(120, "mm"), **LAID)
    drawn = [box(0, line.start.m_as("mm"), 3000, line.end.m_as("mm")) for line in found.lines]
    covered = unary_union(drawn)

    assert covered.area == pytest.approx(sum(one.area for one in drawn))
    assert covered.area * 28 == pytest.approx(found.volume.m_as("mm^3"))
    assert covered.bounds == pytest.approx((0, 0, 3000, width))


@pytest.mark.outside("joist_layout", "shapely: distances between joists drawn from one end")
def test_joists_drawn_from_one_end_stand_at_their_clear_distance():
    """Every two neighbours are the clear distance apart, and the first and last lie as far from their ends."""
    found = joist_layout(length=Q(3, "m"), width=Q(2.2, "m"), joists=8, thickness=Q(45, "mm"), inset=Q(60, "mm"))
    drawn = [box(line.from_end.m_as("mm") - 22.5, 0, line.from_end.m_as("mm") + 22.5, 2110) for line in found.lines]

    for before, after in pairwise(drawn):
        assert before.distance(after) == pytest.approx(found.clear.m_as("mm"))
    assert MultiPoint([one.centroid for one in drawn]).centroid.x == pytest.approx(1500)


@pytest.mark.outside("members", "specific gravity by definition; PS 20-05: a nominal 2 x 6 is 1.5 x 5.5 in")
def test_a_two_by_six_weighs_its_volume_of_wood_and_water():
    """Ten feet of Douglas-fir at 12 %: 62.4 lb/ft3 of water, 0.48 of it wood, 12 % upon it."""
    one = Member(name="plank", timber="Douglas-fir (coast)", pieces=1, thickness=Q(1.5, "in"), depth=Q(5.5, "in"),
                 length=Q(10, "ft"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0, "m"))
    found = members(pieces=[one], **MIDDLING)

    # 62.4 is rounded to a tenth of a pound; water at 1000 kg/m3 is 62.43.
    assert found.mass.m_as("lb") == pytest.approx(1.5 * 5.5 / 144 * 10 * 62.4 * 0.48 * 1.12, rel=0.05 / 62.4)


@pytest.mark.outside("screw_count", "counting every crossing of boards and joists one by one")
def test_screws_are_those_of_every_crossing():
    """Boards and joists drawn as lines cross in 120 places; two rims cross eight joists."""
    boards = [LineString([(0, y), (20, y)]) for y in range(1, 16)]
    joists = [LineString([(x, 0), (x, 20)]) for x in range(1, 9)]
    crossings = sum(one.crosses(other) for one in boards for other in joists)
    found = screw_count(boards=15, joists=8, each=2, box=100, spares=Q(0, "percent"),
                        others=[Crossing(name="rims", crossings=16, screws=3)])

    assert found.in_deck.m == 2 * crossings
    assert found.screws.m == 2 * crossings + 48
    assert found.boxes.m == 3


@pytest.mark.outside("strength_class", "EN 338 C24 density as used in a solved example of EN 1995-1-1: 350 kg/m3")
def test_the_density_of_c24_is_the_printed_one():
    """The one value of the table that was read; its bending strength is checked beside it."""
    assert strength_class(grade="C24").density.m_as("kg/m^3") == 350
    assert strength_class(grade="C24").bending.m_as("MPa") == 24


@pytest.mark.outside("board_bending", "EN 1995-1-1, C24, medium term, service class 1: design strength 14.769 MPa")
def test_design_strength_of_c24_is_the_printed_one():
    """24 x 0.8 / 1.3 at the depth where size no longer helps."""
    found = board_bending(rules="European", load=Q(1, "kN"), span=Q(1, "m"), width=Q(150, "mm"),
                          thickness=Q(150, "mm"), bending=Q(24, "MPa"), elasticity=Q(11, "GPa"),
                          duration="two months", service="dry")

    assert found.strength.m_as("MPa") == pytest.approx(14.769, abs=half_digit("14.769"))


@pytest.mark.outside("board_bending", "worked by hand: deck board 28 x 140, E 7 GPa, 400 mm, 300 lbf at mid-span")
def test_a_deck_board_worked_by_hand():
    """0.99 mm, a 403rd of the span, 7.3 MPa without load factors."""
    found = board_bending(rules="North American", load=Q(1334, "N"), span=Q(400, "mm"), width=Q(140, "mm"),
                          thickness=Q(28, "mm"), bending=Q(7, "MPa"), elasticity=Q(7, "GPa"), service="dry")

    assert found.deflection.m_as("mm") == pytest.approx(0.99, abs=half_digit("0.99"))
    assert 400 / found.deflection.m_as("mm") == pytest.approx(403, abs=0.5)
    assert found.stress.m_as("MPa") == pytest.approx(7.3, abs=half_digit("7.3"))


@pytest.mark.outside("board_bending", "Wood Handbook FPL-GTR-190, Table 9-1: 1/48 at mid-span; virtual work")
def test_deflection_is_the_integral_of_virtual_work():
    """The integral of M m / (E I) along the board, by quadrature."""
    load, span, stiff = 1500.0, 0.411, 11e9 * 0.145 * 0.028**3 / 12
    half, _ = quad(lambda x: load * x / 2 * x / 2 / stiff, 0, span / 2)
    found = board_bending(rules="European", load=Q(load, "N"), span=Q(span, "m"), width=Q(145, "mm"),
                          thickness=Q(28, "mm"), bending=Q(24, "MPa"), elasticity=Q(11, "GPa"))

    assert found.deflection.m_as("m") == pytest.approx(2 * half)
