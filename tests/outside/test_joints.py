"""Joints against a published tolerance stack, numerical integration, and wood put together piece by piece."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, stats
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from kit.finger_joint import finger_joint
from kit.joint_faces import Faces, chance
from kit.joint_fit import joint_fit
from kit.joint_trials import joint_trials
from kit.plain_joints import dowel_joint, lap_joint, mitre_joint
from kit.quantities import Q
from kit.tolerance_stack import StackPart, tolerance_stack


def stack(count, tolerance, shape="normal"):
    """Equal parts in a row."""
    return tolerance_stack(
        parts=[StackPart(name=f"{n}", tolerance=Q(tolerance, "mm"), shape=shape) for n in range(count)], trials=100_000
    )


@pytest.mark.outside("tolerance_stack", "JCGM 101:2008, 9.2.3: four even errors of half-width the root of three")
def test_four_even_errors_spread_as_printed():
    """Printed: 3.92 as if normal, 3.88 by the exact distribution; their sum at the worst is four roots of three."""
    found = stack(4, math.sqrt(3), "even")

    assert found.worst.m_as("mm") == pytest.approx(6.928, abs=0.0005)
    assert found.within.m_as("mm") == pytest.approx(3.92, abs=0.005)
    # A hundred thousand draws place a quantile to about 0.01.
    assert found.trial.m_as("mm") == pytest.approx(3.88, abs=0.03)


@pytest.mark.parametrize(
    ("count", "tolerance", "worst", "squares", "inflated"),
    [(10, 0.1, "1.0", "0.316", None), (5, 0.5, "2.5", "1.118", "1.677")],
)
@pytest.mark.outside("tolerance_stack", "Scholz, Boeing (1995): worst case, root of squares, inflation by a half")
def test_equal_tolerances_add_as_printed(count, tolerance, worst, squares, inflated):
    """To the last digit printed."""
    found = stack(count, tolerance)

    assert f"{found.worst.m_as('mm'):.1f}" == worst
    assert f"{found.by_squares.m_as('mm'):.3f}" == squares
    assert inflated is None or f"{found.inflated.m_as('mm'):.3f}" == inflated


@pytest.mark.outside("finger_joint", "nearest odd number of 150 mm in fingers of 12 mm, by hand: 13 of 11.538 mm")
def test_fingers_of_a_drawer_side():
    """150 / 12 = 12.5, and the odd number nearest to that is 13."""
    corner = finger_joint(width=Q(150, "mm"), thickness=Q(12, "mm"), other=Q(12, "mm"), target=Q(12, "mm"))

    assert corner.fingers_cut == Q(13)
    assert f"{corner.finger.m_as('mm'):.3f}" == "11.538"


def combs(clearance, fingers=9, width=90.0, depth=10.0):
    """Two combs as polygons, from the marks of the first board."""
    corner = finger_joint(
        width=Q(width, "mm"),
        thickness=Q(depth, "mm"),
        other=Q(depth, "mm"),
        fingers=fingers,
        clearance=Q(clearance, "mm"),
        proud=Q(0, "mm"),
        thickness_doubt=Q(0, "mm"),
    )
    first = Polygon()
    for mark in corner.marks:
        if mark.name.startswith("finger"):
            first = first.union(box(mark.start.m_as("mm"), 0, mark.end.m_as("mm"), depth))
    second = Polygon()
    for n in range(1, fingers, 2):
        middle = (n + 0.5) * width / fingers
        pin = corner.pin.m_as("mm")
        second = second.union(box(middle - pin / 2, 0, middle + pin / 2, depth))
    return corner, first, second


@pytest.mark.outside("finger_joint", "shapely, two combs laid into one another as polygons")
def test_combs_fit_with_the_clearance_and_overlap_without():
    """With clearance they do not touch and may shift by half of it; with less than none they overlap."""
    _, first, second = combs(0.2)

    assert first.intersection(second).area == pytest.approx(0, abs=1e-9)
    assert first.distance(second) == pytest.approx(0.1, abs=1e-9)
    _, first, second = combs(-0.2)
    assert first.intersection(second).area > 1


@pytest.mark.outside("finger_joint", "shapely, length of the line between two combs")
def test_the_glue_line_is_as_long_as_the_line_between_the_combs():
    """Along every wall and every bottom, once."""
    corner = finger_joint(width=Q(420, "mm"), thickness=Q(22, "mm"), other=Q(22, "mm"), fingers=19)
    step, points = 420 / 19, [(0.0, 22.0)]
    for n in range(1, 19):
        high, low = (22.0, 0.0) if n % 2 else (0.0, 22.0)
        points += [(n * step, high), (n * step, low)]
    points.append((420.0, points[-1][1]))

    assert corner.glue_path.m_as("mm") == pytest.approx(LineString(points).length)


def by_quadrature(mean, shared, single, faces, joints):
    """The same chance by adaptive integration over the shared error."""
    value, _ = integrate.quad(
        lambda s: stats.norm.pdf(s, scale=shared) * np.prod(stats.norm.cdf((mean + s) / single) ** (faces * joints)),
        -9 * shared,
        9 * shared,
        limit=400,
        epsabs=1e-12,
    )
    return value


@pytest.mark.parametrize("clearance", [0.02, 0.05, 0.08, 0.12])
@pytest.mark.parametrize("wall", [0.01, 0.02, 0.05])
@pytest.mark.outside("joint_fit", "scipy.integrate.quad over the error that all faces share")
def test_the_chance_of_a_set_is_that_of_adaptive_integration(clearance, wall):
    """Four corners of nineteen fingers, to a hundredth of a percent."""
    fit = joint_fit(fingers=19, finger=Q(22.1, "mm"), joints=4, clearance=Q(clearance, "mm"), wall=Q(wall, "mm"))
    expected = by_quadrature(clearance / 2, 0.02 / 3, math.sqrt(2) * wall / 3, 18, 4)

    assert fit.chance_set.m_as("percent") == pytest.approx(100 * expected, abs=0.01)


@pytest.mark.outside("joint_fit", "counting faces: combs of unequal length lined up in the middle")
def test_moisture_closes_the_faces_as_two_scaled_combs_do():
    """One comb grown by C m: the least gap between a wall and its partner, wall by wall."""
    grown = 0.00234 * 1.0
    fit = joint_fit(fingers=19, finger=Q(22.1, "mm"), clearance=Q(2, "mm"), wall=Q(0, "mm"), apart=Q(1, "percent"))
    walls = (np.arange(1, 19) - 9.5) * 22.1
    side = np.where(np.arange(1, 19) % 2 == 0, 1, -1)

    assert fit.tightest.m_as("mm") == pytest.approx(float((1 + side * walls * grown).min()), rel=2e-3)
    assert fit.comb.m_as("mm") == pytest.approx(19 * 22.1 * grown, rel=2e-3)


@pytest.mark.parametrize(("clearance", "apart"), [(0.05, 0.0), (0.08, 0.05)])
@pytest.mark.outside("joint_trials", "closed form over the shared error, by adaptive integration")
def test_trials_agree_with_integration(clearance, apart):
    """Within four standard errors of twenty thousand sets; boards of unequal moisture included."""
    given = {"fingers": 9, "finger": Q(20, "mm"), "joints": 2, "clearance": Q(clearance, "mm"), "wall": Q(0.03, "mm")}
    tried = joint_trials(**given, apart=Q(apart, "percent"), sets=20_000)
    rate = joint_fit(**given, apart=Q(apart, "percent")).comb.m_as("mm") / (9 * 20)
    walls = (np.arange(1, 9) - 4.5) * 20 * np.where(np.arange(1, 9) % 2 == 0, 1, -1) * rate
    single = math.sqrt(2) * 0.03 / 3
    expected, _ = integrate.quad(
        lambda s: (
            stats.norm.pdf(s, scale=0.02 / 3) * np.prod(stats.norm.cdf((clearance / 2 + walls + s) / single)) ** 2
        ),
        -0.06,
        0.06,
    )

    assert tried.together.m_as("") == pytest.approx(expected, abs=4 * tried.doubt.m_as(""))
    assert tried.agrees.verdict in ("meets", "marginal")


def test_exact_walls_leave_the_shared_error_alone():
    """With no error of single walls every face goes or none: the chance is that of one normal error."""
    faces = Faces(np.array([0.01]), np.array([18]), 0.01, 0.0, 0.0)

    assert chance(faces, 4) == pytest.approx((stats.norm.cdf(1.0),) * 2)


@pytest.mark.parametrize(
    ("corners", "saw", "inside"), [(3, 60, 60), (4, 45, 90), (5, 36, 108), (6, 30, 120), (8, 22.5, 135)]
)
@pytest.mark.outside("mitre_joint", "angles of regular polygons")
def test_mitres_of_regular_frames(corners, saw, inside):
    """Every joiner's table of saw angles."""
    frame = mitre_joint(corners=corners, width=Q(50, "mm"), thickness=Q(20, "mm"))

    assert frame.saw_angle.m_as("deg") == pytest.approx(saw)
    assert frame.inside_angle.m_as("deg") == pytest.approx(inside)


@pytest.mark.outside("mitre_joint", "shapely, sides turned one after another round a frame")
def test_the_last_mitre_gapes_by_what_the_sides_miss():
    """Four sides whose ends are each cut 0.2 degrees short are laid round; the last edge and the first stand apart."""
    width, short = 70.0, 0.2
    inside = LineString([(0, 0), (0, width * math.sqrt(2))])
    last = affinity.rotate(inside, 2 * 4 * short, origin=(0, 0))
    frame = mitre_joint(corners=4, width=Q(width, "mm"), thickness=Q(20, "mm"), saw_error=Q(short, "deg"))
    across = LineString([inside.coords[1], last.coords[1]]).length

    # The gap is told along the tangent; the chord differs by a thousandth.
    assert frame.gap.m_as("mm") == pytest.approx(across, rel=2e-3)


@pytest.mark.outside("lap_joint", "shapely, area common to two strips that cross")
def test_a_lap_glues_where_two_strips_cross():
    """60 and 45 mm wide."""
    lap = lap_joint(
        first_width=Q(60, "mm"), second_width=Q(45, "mm"), first_thickness=Q(26, "mm"), second_thickness=Q(20, "mm")
    )
    common = box(0, -30, 500, 30).intersection(box(100, -200, 145, 200)).area

    assert lap.glue_area.m_as("mm^2") == pytest.approx(common)


@pytest.mark.parametrize("joint", [120.0, 260.0, 400.0, 401.0, 1000.0])
@pytest.mark.outside("dowel_joint", "dowels set one by one until none is wider apart than allowed")
def test_dowels_are_the_fewest_that_stand_close_enough(joint):
    """As at the bench: divide the run until the spacing is small enough."""
    row = dowel_joint(
        joint=Q(joint, "mm"),
        thickness=Q(22, "mm"),
        diameter=Q(8, "mm"),
        first_depth=Q(60, "mm"),
        second_depth=Q(22, "mm"),
        into_first=Q(25, "mm"),
        into_second=Q(15, "mm"),
    )
    spaces = 1
    while (joint - 60) / spaces > 100:
        spaces += 1

    assert row.dowels == Q(spaces + 1)
    assert row.spacing.m_as("mm") == pytest.approx((joint - 60) / spaces)
