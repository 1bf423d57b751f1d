"""The raft against solid clipping, an energy minimum of its own, and the sheet of the demo build."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from scipy.optimize import brentq, minimize

from kit.afloat import afloat
from kit.crowd import crowd
from kit.hydro_kernel import immersed
from kit.hydrostatics import AFLOAT, settle
from kit.quantities import Q
from kit.weather_afloat import Windage, weather_afloat
from kit.weighing import weigh
from tests.raft_cases import (
    BALLAST,
    DECK,
    GROWTH,
    WATER,
    compartments,
    floats,
    half_digit,
    loads,
    parts,
)

# -- independent solids and energy -----------------------------------------------------------------


@pytest.mark.outside("afloat", "trimesh: solids cut by the water plane, volume and centroid of what is left")
@pytest.mark.parametrize("seed", range(12))
def test_what_the_water_cuts_off_by_solid_clipping(seed):
    """A cylinder of 2000 sides leaves 3e-6 m3 of facets; a box leaves rounding."""
    rng = np.random.default_rng(seed)
    tube, lengthwise = seed % 2 == 0, bool(rng.integers(2))
    length, radius, centre = rng.uniform(0.5, 3), rng.uniform(0.1, 0.4), rng.uniform(-1, 1, 3)
    sides, slope, way = rng.uniform(0.2, 1.5, 2), rng.uniform(0, 0.9), rng.uniform(0, 2 * np.pi)
    up = np.array([-np.sin(slope) * np.cos(way), -np.sin(slope) * np.sin(way), np.cos(slope)])
    depth = up @ centre + rng.uniform(-0.25, 0.25)
    if tube:
        solid = trimesh.creation.cylinder(radius, length, sections=2000)
        solid.apply_transform(
            trimesh.transformations.rotation_matrix(np.pi / 2, [0, 1, 0] if lengthwise else [1, 0, 0])
        )
        along, across = (centre[0], centre[1]) if lengthwise else (centre[1], centre[0])
        bodies = compartments(tubes=[(lengthwise, along, across, centre[2], length, radius)])
    else:
        solid = trimesh.creation.box((length, *sides))
        bodies = compartments(boxes=[(centre[0], centre[1], centre[2] - sides[1] / 2, length, *sides)])
    solid.apply_translation(centre)
    cut = solid.slice_plane(up * depth, -up).convex_hull
    found = immersed(bodies, np.ones((1, 1)), np.array([depth]), tuple(up[:, None]))

    assert found.volume[0] == pytest.approx(cut.volume, abs=3e-6)
    moments = np.array([found.x[0], found.y[0], found.z[0]])
    np.testing.assert_allclose(moments, cut.volume * cut.center_mass, atol=6e-6)


def voxels(tubes, boxes, step):
    """Middles of small cubes inside tubes (lengthwise) and boxes."""
    points = []
    for _, along, across, z, length, radius in tubes:
        grid = np.stack(
            np.meshgrid(
                *(np.arange(-half + step / 2, half, step) for half in (length / 2, radius, radius)), indexing="ij"
            ),
            -1,
        ).reshape(-1, 3)
        points.append(grid[np.hypot(grid[:, 1], grid[:, 2]) <= radius] + [along, across, z])
    for x, y, z, length, width, height in boxes:
        grid = np.stack(
            np.meshgrid(
                *(np.arange(-half / 2 + step / 2, half / 2, step) for half in (length, width, height)), indexing="ij"
            ),
            -1,
        ).reshape(-1, 3)
        points.append(grid + np.array([x, y, z + height / 2]))
    return np.concatenate(points)


@pytest.mark.outside(
    "crowd", "minimum of the potential energy of a model of small cubes, by scipy minimize: no forces, no metacentre"
)
@pytest.mark.parametrize("seed", range(4))
def test_a_random_raft_rests_where_its_energy_is_least(seed):
    """Heel and trim to 0.15 degrees, as far as cubes of 20 mm can tell."""
    rng = np.random.default_rng(100 + seed)
    outer = rng.uniform(0.7, 1.0)
    tubes = [(1, rng.uniform(-0.2, 0.2), y, -0.2, rng.uniform(2, 3), rng.uniform(0.18, 0.25)) for y in (-outer, outer)]
    boxes = [(rng.uniform(-0.5, 0.5), rng.uniform(-0.2, 0.2), -0.3, 1.0, 0.4, 0.3)]
    bodies = compartments(tubes=tubes, boxes=boxes)
    mass = rng.uniform(0.25, 0.5) * 1000 * float(bodies.volumes.sum())
    place = np.array([rng.uniform(-0.2, 0.2), rng.uniform(-0.12, 0.12), 0.1])
    rest = settle(bodies, np.array([1000.0]), loads(bodies, mass, *place))
    cubes, step = voxels(tubes, boxes, 0.02), 0.02
    each = float(bodies.volumes.sum()) / len(cubes)

    def energy(state):
        depth, trim, heel = state
        up = np.array([-np.tan(trim), -np.tan(heel), 1.0])
        up /= np.linalg.norm(up)
        # A cube in the surface counts in part, so that the energy has no steps.
        below = depth - cubes @ up
        return (
            mass * (up @ place - depth)
            + 1000
            * each
            * (np.clip(below + step / 2, 0, step) ** 2 / (2 * step) + np.maximum(below - step / 2, 0)).sum()
        )

    least = minimize(
        energy, [-0.2, 0.0, 0.0], method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-7, "maxiter": 2000}
    )
    assert rest.state[0] == AFLOAT
    assert np.degrees(rest.trim[0]) == pytest.approx(np.degrees(least.x[1]), abs=0.15)
    assert np.degrees(rest.heel[0]) == pytest.approx(np.degrees(least.x[2]), abs=0.15)


# -- the demo build --------------------------------------------------------------------------------


def tarn_locker(**load):
    """Ballasted, wet, with people."""
    weight = weigh(parts=parts(), floats=floats(), ballast=BALLAST, growth=GROWTH)
    return crowd(
        mass=weight.wet_mass,
        x=weight.wet_x,
        y=weight.wet_y,
        z=weight.wet_z,
        floats=floats(),
        density=WATER,
        people=4,
        sharing=3,
        criterion="EN 14504 (borrowed yardstick)",
        **DECK,
        **{"person_mass": Q(80, "kg"), **load},
    )


@pytest.mark.outside(
    "crowd", "Tarn Locker worked out two ways: segments with a root finder, and voxels with an energy minimum"
)
def test_tarn_locker_with_people_comes_out_as_its_sheet_says():
    """Tilt 6.6 and deck edge 0.310 m at an edge; 7.0 degrees and GM 1.71 m with all aboard."""
    made = tarn_locker()

    for found, printed in (
        (made.edge_tilt.m_as("deg"), "6.6"),
        (made.edge_deck.m_as("m"), "0.310"),
        (made.aboard_tilt.m_as("deg"), "7.0"),
        (made.stiffness.m_as("m"), "1.71"),
    ):
        assert found == pytest.approx(float(printed), abs=half_digit(printed))


@pytest.mark.outside("crowd", "Tarn Locker by voxels of 10 to 20 mm, which agree to 5 mm")
@pytest.mark.parametrize(("person", "printed"), [(80, "0.228"), (84, "0.212"), (100, "0.134")])
def test_tarn_locker_with_people_in_a_corner(person, printed):
    """Deck edge to 5 mm, the agreement the sheet itself claims for its two methods."""
    assert tarn_locker(person_mass=Q(person, "kg")).corner_deck.m_as("m") == pytest.approx(float(printed), abs=0.005)


@pytest.mark.outside("afloat", "Tarn Locker by hand: A = 675.6/(999.7 x 12) = .05632 m2 a tube")
def test_tarn_locker_light():
    """Draft 165 mm before ballast, deck edge 488 mm all round after it."""
    before = weigh(parts=parts(), floats=floats())
    after = weigh(parts=parts(), floats=floats(), ballast=BALLAST)
    light, levelled = (
        afloat(mass=w.mass, x=w.x, y=w.y, z=w.z, floats=floats(), density=WATER, **DECK) for w in (before, after)
    )

    assert before.mass.m_as("kg") == pytest.approx(675.6, abs=half_digit("675.6"))
    assert light.draft.m_as("mm") == pytest.approx(165, abs=half_digit("165"))
    for corner in ("end_right", "end_left", "other_right", "other_left"):
        assert getattr(levelled, corner).m_as("mm") == pytest.approx(488, abs=1)


@pytest.mark.outside("afloat", "closed form for tubes: tan(trim) = M x / (rho n c L^3/12 - M (height of G above B))")
def test_trim_of_tarn_locker_by_closed_form():
    """Chord at the level waterline, length to the third power: 0.569 degrees; so little tilt hardly moves the chord."""
    weight = weigh(parts=parts(), floats=floats())
    made = afloat(mass=weight.mass, x=weight.x, y=weight.y, z=weight.z, floats=floats(), density=WATER, **DECK)
    mass, draft = weight.mass.m_as("kg"), brentq(lambda h: 12 * 999.7 * segment(h) - weight.mass.m_as("kg"), 0, 0.5)
    chord = 2 * math.sqrt(2 * 0.25 * draft - draft**2)
    below = chord**3 / (12 * segment(draft))
    stiff = 999.7 * 4 * chord * 27 / 12 - mass * (weight.z.m_as("m") + 0.26 + below)

    assert made.trim.m_as("deg") == pytest.approx(math.degrees(math.atan(mass * weight.x.m_as("m") / stiff)), abs=0.002)


def segment(h, radius=0.25):
    """Area of a circular segment of height h."""
    return radius**2 * math.acos((radius - h) / radius) - (radius - h) * math.sqrt(2 * radius * h - h * h)


@pytest.mark.outside("weather_afloat", "Tarn Locker by hand: 0.5 x 1.225 x 25^2 x 2.38 m2; snow of 0.5 kPa on 6.6 m2")
def test_tarn_locker_in_wind_and_snow():
    """Force 910 N; deck edge 0.42 m under snow."""
    weight = weigh(parts=parts(), floats=floats(), ballast=BALLAST, growth=GROWTH)
    caught = [
        Windage(name=n, area=Q(a, "m^2"), drag=Q(c), z=Q(z, "m"))
        for n, a, c, z in (
            ("floats", 0.99, 0.8, -0.175),
            ("deck", 0.444, 1.3, 0.074),
            ("locker", 0.69, 1.2, 0.37),
            ("panel", 0.15, 1.2, 0.778),
        )
    ]
    made = weather_afloat(
        mass=weight.wet_mass,
        x=weight.wet_x,
        y=weight.wet_y,
        z=weight.wet_z,
        floats=floats(),
        density=WATER,
        gust=Q(25, "m/s"),
        windage=caught,
        snow=Q(0.5, "kPa"),
        criterion="EN 14504 (borrowed yardstick)",
        **DECK,
    )

    assert made.catch.m_as("m^2") == pytest.approx(2.38, abs=half_digit("2.38"))
    assert made.force.m_as("N") == pytest.approx(0.5 * 1.225 * 625 * 2.38, rel=0.002)
    assert made.snow_deck.m_as("m") == pytest.approx(0.42, abs=half_digit("0.42"))
