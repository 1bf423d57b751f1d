"""The equilibrium kernel: what must hold whatever the numbers, and where it says that nothing can be found."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit import hydrostatics
from kit.hydro_kernel import immersed
from kit.hydrostatics import AFLOAT, SINKS, TURNS_OVER, UNSOLVED, afloat_at, settle
from tests.raft_cases import compartments, loads

RHO = np.array([1000.0])
TWIN = [(1, 0, -1.0, 0.0, 6.0, 0.3), (1, 0, 1.0, 0.0, 6.0, 0.3)]
BARGE = [(0, 0, 0, 6.0, 2.4, 0.6)]
# Four boxes of which one is lost: the centre of gravity stands over the diagonal of its neighbours.
CORNERS = [(x, y, 0, 2.0, 0.8, 0.5) for x in (-1.6, 1.6) for y in (-1.0, 1.0)]
tilts = st.floats(-0.9, 0.9)


def up(trim, heel):
    """The unit vector up for slopes along x and y."""
    vector = np.array([-np.tan(trim), -np.tan(heel), 1.0])
    return (vector / np.linalg.norm(vector))[:, None]


def wet(bodies, depth, n):
    """What a water plane cuts off, every compartment whole."""
    return immersed(bodies, np.ones((len(bodies), 1)), np.array([depth]), (n[0], n[1], n[2]))


@pytest.mark.parametrize("bodies", [compartments(tubes=TWIN), compartments(boxes=BARGE)])
def test_all_under_water_is_the_whole_volume_and_all_above_is_none(bodies):
    """A plane far above or far below cuts off everything or nothing, at any tilt."""
    n = up(0.3, -0.4)

    assert wet(bodies, 50.0, n).volume == pytest.approx(bodies.volumes.sum())
    assert wet(bodies, -50.0, n).volume == pytest.approx(0)
    assert wet(bodies, 50.0, n).area == pytest.approx(0, abs=1e-12)


@settings(max_examples=60)
@given(trim=tilts, heel=tilts, depth=st.floats(-0.5, 0.6), mixed=st.booleans())
def test_waterplane_is_the_slope_of_volume_and_of_moment(trim, heel, depth, mixed):
    """Raising the water by dh adds area times dh, and moment of area times dh, at any tilt."""
    bodies = compartments(
        tubes=[(1, 0.1, -1.0, 0.0, 2.0, 0.3), (0, 0.2, 0.3, 0.1, 1.5, 0.25)],
        boxes=[(0.4, 0.6, -0.2, 1.2, 0.5, 0.4)] if mixed else (),
    )
    n, step = up(trim, heel), 1e-7
    lower, upper, here = (wet(bodies, depth + d, n) for d in (-step, step, 0.0))

    for moment, area in (("volume", "area"), ("x", "area_x"), ("y", "area_y")):
        slope = (getattr(upper, moment) - getattr(lower, moment)) / (2 * step)
        # Where a tube just touches, its chord is 2 sqrt(2 R step) = 5e-4 m wide half a step on, over 2 m of tube.
        assert getattr(here, area) / n[2] == pytest.approx(slope, abs=1e-3)


@settings(max_examples=40)
@given(mass=st.floats(100, 3000), y=st.floats(-0.15, 0.15), x=st.floats(-0.3, 0.3), z=st.floats(-0.2, 0.5))
def test_at_rest_lift_equals_weight_and_its_centre_stands_under_the_centre_of_gravity(mass, x, y, z):
    """The balance of forces and moments that the energy was minimised for."""
    bodies = compartments(tubes=TWIN)
    lies = settle(bodies, RHO, loads(bodies, mass, x, y, z))
    if lies.state[0] != AFLOAT:
        return
    n = np.stack([lies.up_x, lies.up_y, lies.up_z])
    found = wet(bodies, lies.depth[0], n)
    arm = np.array([x, y, z])[:, None] - np.stack([lies.buoyancy_x, lies.buoyancy_y, lies.buoyancy_z])

    assert RHO * found.volume == pytest.approx(mass, rel=1e-8)
    assert np.abs(np.cross(arm[:, 0], n[:, 0])).max() < 1e-6


@pytest.mark.parametrize("bodies", [compartments(tubes=TWIN), compartments(boxes=BARGE)])
@pytest.mark.parametrize("mass", [800.0, 1500.0])
def test_metacentric_height_is_the_slope_of_the_righting_lever(bodies, mass):
    """The lever at 0.01 degrees either way, by the balance of moments, over the angle."""
    z, angle = 0.4, np.radians(0.01)
    levers = []
    for sign in (-1, 1):
        lies = afloat_at(bodies, RHO, loads(bodies, mass, z=z), up(0, sign * angle))
        levers.append(np.cos(angle) * lies.buoyancy_y - sign * np.sin(angle) * (z - lies.buoyancy_z))
    upright = afloat_at(bodies, RHO, loads(bodies, mass, z=z), up(0, 0))

    assert (levers[1] - levers[0]) / (2 * angle) == pytest.approx(upright.metacentric_y, rel=1e-6)


@pytest.mark.parametrize("part", [0.1, 0.35, 0.5, 0.8])
def test_the_metacentre_of_one_tube_is_its_axis(part):
    """KB + BM = R at any draft: a tube alone cannot be heeled."""
    bodies = compartments(tubes=[(1, 0, 0, 0.3, 4.0, 0.3)])
    lies = afloat_at(bodies, RHO, loads(bodies, part * float(RHO[0] * bodies.volumes[0, 0]), z=0.3), up(0, 0))

    assert lies.metacentric_y == pytest.approx(0, abs=1e-9)
    assert lies.buoyancy_z + lies.metacentric_y + lies.height_g == pytest.approx(0.3)


def test_half_its_lift_sinks_a_tube_to_its_axis():
    """A tube loaded with half of what it displaces lies with its axis in the surface."""
    bodies = compartments(tubes=[(1, 0, 0, 0.3, 4.0, 0.3)])
    lies = afloat_at(bodies, RHO, loads(bodies, 0.5 * float(RHO[0] * bodies.volumes[0, 0])), up(0, 0))

    assert lies.depth == pytest.approx(0.3)


def test_more_tubes_share_the_load_alike():
    """Several tubes with as many times the load sink as deep as one with its own."""
    one, three = compartments(tubes=TWIN[:1]), compartments(tubes=[(1, 0, y, 0, 6.0, 0.3) for y in (-1, 0, 1)])

    single = afloat_at(one, RHO, loads(one, 500.0), up(0, 0))
    assert afloat_at(three, RHO, loads(three, 1500.0), up(0, 0)).depth == pytest.approx(single.depth)


def test_cutting_a_float_into_cells_changes_nothing_while_all_are_whole():
    """Seven cells of a tube and of a box together are the tube and the box."""
    whole = compartments(tubes=[(1, 0.2, -0.9, 0, 3.5, 0.3)], boxes=[(0.2, 0.9, -0.3, 3.5, 0.6, 0.5)])
    cells = compartments(
        tubes=[(1, 0.2 + 3.5 * ((k + 0.5) / 7 - 0.5), -0.9, 0, 0.5, 0.3) for k in range(7)],
        boxes=[(0.2 + 3.5 * ((k + 0.5) / 7 - 0.5), 0.9, -0.3, 0.5, 0.6, 0.5) for k in range(7)],
    )
    one, many = (settle(b, RHO, loads(b, 700.0, 0.3, 0.05, 0.4)) for b in (whole, cells))

    assert many.trim == pytest.approx(one.trim, abs=1e-8)
    assert many.heel == pytest.approx(one.heel, abs=1e-8)
    assert many.depth == pytest.approx(one.depth, abs=1e-9)


def test_a_raft_turned_by_a_quarter_lies_the_same_way_round():
    """Trim of tubes along x is heel of the same tubes along y."""
    along, across = compartments(tubes=TWIN), compartments(tubes=[(0, *row[1:]) for row in TWIN])
    one = settle(along, RHO, loads(along, 900.0, 0.4, 0.1, 0.3))
    other = settle(across, RHO, loads(across, 900.0, 0.1, 0.4, 0.3))

    assert other.heel == pytest.approx(one.trim)
    assert other.trim == pytest.approx(one.heel)


def test_the_sign_of_list_and_trim_follows_the_weight():
    """Weight towards +x lowers the named end, weight towards +y the right side; the other way round mirrored."""
    bodies = compartments(boxes=BARGE)
    lies = settle(bodies, RHO, loads(bodies, 2000.0, [0.1, -0.1], [0.05, -0.05], 0.3))

    assert lies.trim[0] > 0 and lies.heel[0] > 0
    assert lies.trim[1] == pytest.approx(-lies.trim[0])
    assert lies.heel[1] == pytest.approx(-lies.heel[0])
    assert lies.above_water(3.0, 1.2, 0.6)[0] < lies.above_water(-3.0, -1.2, 0.6)[0]


def test_more_mass_than_lift_sinks():
    """A raft heavier than all the water it can displace is said to sink, nothing else."""
    bodies = compartments(tubes=TWIN)
    lies = settle(bodies, RHO, loads(bodies, [3392.0, 3394.0]))

    assert list(lies.state) == [AFLOAT, SINKS]
    assert np.isnan(lies.tilt[1])


def test_a_corner_float_lost_turns_over_and_says_so_after_a_scan():
    """The energy of this raft has no minimum below 60 degrees."""
    bodies, share = compartments(boxes=CORNERS), np.ones((4, 1))
    share[3] = 0.0

    lies = settle(bodies, RHO, loads(bodies, 1000.0, z=0.75, share=share))
    assert lies.state[0] == TURNS_OVER


def test_without_the_scan_nothing_is_said_to_turn_over():
    """Turning over is a finding of the scan; a walk that finds no rest only fails to solve."""
    bodies, share = compartments(boxes=CORNERS), np.ones((4, 1))
    share[3] = 0.0

    lies = settle(bodies, RHO, loads(bodies, 1000.0, z=0.75, share=share), scan=False)
    assert lies.state[0] == UNSOLVED


def test_a_walk_cut_short_is_unsolved_never_turned_over(monkeypatch):
    """A raft floats at a small angle; robbed of its steps the solver must not call it capsized."""
    bodies = compartments(boxes=CORNERS)
    load = loads(bodies, 1000.0, 0.1, 0.1, 0.75)
    assert settle(bodies, RHO, load).state[0] == AFLOAT

    monkeypatch.setattr(hydrostatics, "_STEPS", 1)
    assert settle(bodies, RHO, load).state[0] == UNSOLVED


def test_the_scan_finds_a_rest_that_the_walk_from_level_does_not_reach(monkeypatch):
    """With the first walk taken away the scan still starts a second one at the minimum it shows."""
    bodies = compartments(boxes=CORNERS)
    load = loads(bodies, 1000.0, 0.1, 0.1, 0.75)
    straight = settle(bodies, RHO, load)
    walks = iter([lambda *_: np.empty(0, dtype=np.intp), hydrostatics._descend])

    monkeypatch.setattr(hydrostatics, "_descend", lambda *given: next(walks)(*given))
    lies = settle(bodies, RHO, load)
    assert lies.state[0] == AFLOAT
    assert lies.tilt == pytest.approx(straight.tilt, abs=1e-7)


def test_a_raft_too_tender_to_stand_level_lies_over_to_one_side():
    """Balanced on an unstable level it is pushed off, and rests where the curvature is positive."""
    bodies = compartments(boxes=[(0, 0, 0, 6.0, 1.2, 1.2)])
    mass = 0.4 * float(RHO[0] * bodies.volumes[0, 0])
    upright = afloat_at(bodies, RHO, loads(bodies, mass, z=0.60), up(0, 0))
    lies = settle(bodies, RHO, loads(bodies, mass, z=0.60))

    assert upright.metacentric_y < 0
    assert lies.state[0] == AFLOAT and abs(lies.heel[0]) > np.radians(5)
    assert lies.metacentric_least > 0


def test_cases_and_samples_are_worked_as_if_each_were_alone():
    """Many at once, over more than one chunk, equal one by one to 1e-9, whatever the others do."""
    bodies = compartments(tubes=TWIN)
    rng = np.random.default_rng(7)
    mass, y, x = rng.uniform(200, 3600, 40), rng.uniform(-0.5, 0.5, 40), rng.uniform(-1, 1, 40)
    together = settle(bodies, RHO, loads(bodies, np.tile(mass, 300), np.tile(x, 300), np.tile(y, 300), 0.3), scan=False)
    alone = [settle(bodies, RHO, loads(bodies, m, a, b, 0.3), scan=False) for m, a, b in zip(mass, x, y, strict=True)]

    for name in ("state", "depth", "up_x", "up_y", "metacentric_least"):
        np.testing.assert_allclose(
            getattr(together, name)[-40:], np.concatenate([getattr(one, name) for one in alone]), rtol=1e-9, atol=1e-12
        )


def test_a_sample_that_is_nan_stays_nan_and_spoils_no_other():
    """One sample without a value leaves the rest as they are."""
    bodies = compartments(tubes=TWIN)
    lies = settle(bodies, RHO, loads(bodies, [900.0, np.nan, 900.0], z=0.3))

    assert np.isnan(lies.depth[1])
    assert lies.depth[0] == lies.depth[2]
