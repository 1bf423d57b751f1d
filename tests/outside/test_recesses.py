"""Recesses against plane and solid geometry of independent libraries."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from scipy.integrate import quad
from shapely.geometry import Point, Polygon

from kit.quantities import Q
from kit.recesses import Recess, recesses

# Circles of the plane library are polygons of this many sides a quarter; what they miss is 2e-7 of the circle.
ROUND = {"quad_segs": 1500}


def hexagon(flats):
    """A regular hexagon by its width across flats."""
    corner = flats / math.sqrt(3)
    return Polygon([(corner * math.cos(a), corner * math.sin(a)) for a in np.arange(6) * math.pi / 3])


PLANS = {
    "rectangle": (Polygon([(0, 0), (100, 0), (100, 30), (0, 30)]), {"length": 100, "width": 30}),
    "hexagon": (hexagon(30), {"width": 30}),
    "kite": (Polygon([(0, 0), (40, 18), (130, 0), (40, -18)]), {"length": 130, "width": 36, "waist": 40}),
}


def only(**cells):
    """What recesses of one row hold; sizes in mm."""
    words = {key: value for key, value in cells.items() if key in ("shape", "count")}
    sizes = {key: Q(value, "deg" if key == "angle" else "mm") for key, value in cells.items() if key not in words}
    return recesses(pockets=[Recess(name="one", **words, **sizes)])


@pytest.mark.outside("recesses", "shapely: polygons with corners rounded by shrinking and growing")
@pytest.mark.parametrize("radius", [0, 1.5, 3])
@pytest.mark.parametrize("shape", PLANS)
def test_rounded_pockets_have_the_area_and_perimeter_of_rounded_polygons(shape, radius):
    """A cutter of that radius leaves what is left by shrinking the polygon and growing it again."""
    sharp, sizes = PLANS[shape]
    cut = sharp.buffer(-radius).buffer(radius, **ROUND) if radius else sharp

    found = only(shape=shape, depth=4, corner_radius=radius, **sizes)

    assert found.volume.m_as("mm^3") == pytest.approx(4 * cut.area, rel=1e-6)
    assert found.wetted.m_as("mm^2") == pytest.approx(cut.area + 4 * cut.length, rel=1e-6)


@pytest.mark.outside("recesses", "shapely: ring and disc as polygons")
def test_a_ring_and_a_disc_as_polygons_of_many_sides():
    """Area by the plane library times depth."""
    ring = Point(0, 0).buffer(150, **ROUND).difference(Point(0, 0).buffer(142, **ROUND))

    found = only(shape="ring", width=300, inner=284, depth=4)

    assert found.volume.m_as("mm^3") == pytest.approx(4 * ring.area, rel=1e-6)
    assert found.wetted.m_as("mm^2") == pytest.approx(ring.area + 4 * ring.length, rel=1e-6)
    assert only(shape="circle", width=40, depth=4).volume.m_as("mm^3") == pytest.approx(
        4 * Point(0, 0).buffer(20, **ROUND).area, rel=1e-6)


@pytest.mark.outside("recesses", "trimesh: V-groove as a solid prism")
@pytest.mark.parametrize("angle", [30, 60, 90, 120])
def test_a_v_groove_is_a_prism(angle):
    """The prism of a triangle, its volume by the solid library."""
    depth = 2.5 / math.tan(math.radians(angle / 2))
    ends = [(x, y, z) for x, y in ((-2.5, 0), (2.5, 0), (0, -depth)) for z in (0, 900)]
    prism = trimesh.points.PointCloud(ends).convex_hull

    found = only(shape="V-groove", width=5, length=900, angle=angle)

    assert found.volume.m_as("mm^3") == pytest.approx(prism.volume, rel=1e-9)
    assert found.depth.m_as("mm") == pytest.approx(depth, rel=1e-12)
    assert found.wetted.m_as("mm^2") == pytest.approx(prism.area - 2 * prism.volume / 900 - 5 * 900, rel=1e-9)


@pytest.mark.outside("recesses", "scipy quadrature of the section of a ball cutter")
@pytest.mark.parametrize("depth", [0.1, 1, 2, 3, 3.5, 6])
def test_a_ball_groove_by_adding_up_its_widths(depth):
    """Width at each height above the bottom, added up."""
    radius = 3

    def width(height):
        return 2 * (math.sqrt(2 * radius * height - height**2) if height < radius else radius)

    section, _ = quad(width, 0, depth, points=[min(radius, depth)], limit=200)
    found = only(shape="ball groove", width=6, length=100, depth=depth)
    assert found.volume.m_as("mm^3") == pytest.approx(100 * section, rel=1e-7)


@pytest.mark.outside("recesses", "worked by hand: hexagons across 30 mm, V of 60 degrees")
@pytest.mark.parametrize(("cells", "read", "unit", "printed"), [
    ({"shape": "hexagon", "width": 30, "depth": 4, "count": 37}, "volume", "mL", "115.355"),
    ({"shape": "hexagon", "width": 30, "depth": 4, "count": 37, "corner_radius": 3}, "volume", "mL", "114.925"),
    ({"shape": "V-groove", "width": 6, "length": 3000}, "volume", "mL", "46.765"),
    ({"shape": "V-groove", "width": 6, "length": 3000}, "depth", "mm", "5.196"),
    ({"shape": "V-groove", "depth": 5, "length": 1000}, "volume", "mL", "14.434"),
    ({"shape": "V-groove", "depth": 5, "length": 1000, "angle": 90}, "volume", "mL", "25.000"),
])
def test_volumes_worked_by_hand(cells, read, unit, printed):
    """To half the last digit printed."""
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])

    assert getattr(only(**cells), read).m_as(unit) == pytest.approx(float(printed), abs=half * (1 + 1e-9))


@pytest.mark.outside("recesses", "scipy: a wedge that makes heat and loses it by its mouth alone")
@pytest.mark.parametrize("angle", [30, 60, 90, 120, 150])
def test_a_v_is_never_hotter_than_the_flat_pour_named_for_it(angle):
    """Heat made everywhere alike, the tip of the V against the floor of the flat pour, by finite differences.

    The temperature of steady heating falls by the square of the depth: L^2/2 in a flat pour of depth L.  Half of the
    V is meshed in skewed triangles of linear elements, which is exact enough to 1 %.
    """
    found = only(shape="V-groove", width=2, length=100, angle=angle)
    slab = found.as_slab.m_as("mm")

    assert tip_temperature(1 / math.tan(math.radians(angle / 2))) <= 1.01 * slab**2 / 2


def tip_temperature(depth, n=40):
    """Temperature at the tip of a V of half mouth 1 and a depth, unit heating and conductivity, mouth held at zero."""
    rows = [(i, j) for i in range(n + 1) for j in range(i + 1)]
    place = {node: k for k, node in enumerate(rows)}
    points = np.array([(j / n, depth * i / n) for i, j in rows])
    stiff, load = np.zeros((len(rows), len(rows))), np.zeros(len(rows))
    for i in range(n):
        for j in range(i + 1):
            below = [((i, j), (i + 1, j + 1), (i, j + 1))] if j < i else []
            for corners in [((i, j), (i + 1, j), (i + 1, j + 1)), *below]:
                at = [place[c] for c in corners]
                side = np.column_stack([np.ones(3), points[at]])
                gradient, area = np.linalg.inv(side)[1:], abs(np.linalg.det(side)) / 2
                stiff[np.ix_(at, at)] += area * gradient.T @ gradient
                load[at] += area / 3
    free = [place[node] for node in rows if node[0] < n]
    return np.linalg.solve(stiff[np.ix_(free, free)], load[free])[0]


@pytest.mark.outside("recesses", "shapely: a frame opened by a round cutter")
@pytest.mark.parametrize("radius", [0, 1.5, 3])
def test_a_border_is_what_a_round_cutter_leaves_of_a_frame(radius):
    """Outer corners are rounded, inner ones stay sharp."""
    frame = Polygon([(0, 0), (100, 0), (100, 60), (0, 60)], [[(8, 8), (92, 8), (92, 52), (8, 52)]])
    cut = frame.buffer(-radius).buffer(radius, **ROUND) if radius else frame
    found = only(shape="border", length=100, width=60, stroke=8, depth=4, corner_radius=radius)

    assert found.volume.m_as("mm^3") == pytest.approx(4 * cut.area, rel=2e-4)


@pytest.mark.outside("recesses", "scipy.integrate.quad: a V whose mouth narrows along its length")
@pytest.mark.parametrize("narrow", [0, 1, 3.5])
def test_a_tapered_v_holds_what_its_sections_add_up_to(narrow):
    """Section w^2 / (4 tan 30 deg) integrated along 80 mm."""
    held, _ = quad(lambda x: (5 + (narrow - 5) * x / 80) ** 2 / (4 * math.tan(math.radians(30))), 0, 80)
    found = only(shape="tapered V", width=5, narrow=narrow, length=80, angle=60)

    assert found.volume.m_as("mm^3") == pytest.approx(held)
