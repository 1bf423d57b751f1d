"""Random rafts of tubes both ways, boxes, blocks and drums, some of it flooded: cut as solids, and by their energy."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from scipy.optimize import minimize, root

from kit.hydro_energy import Load
from kit.hydro_kernel import Boxes, Compartments, Tubes, Uprights
from kit.hydrostatics import AFLOAT, SINKS, TURNS_OVER, settle

DENSITY = 1000.0


class Raft:
    """A random raft: its compartments for the kernel, and the same as closed solids of many sides."""

    def __init__(self, seed: int, sides: int = 1200) -> None:
        rng = np.random.default_rng(seed)
        outer = rng.uniform(0.8, 1.2)
        tubes, boxes, drums = [], [], []
        for y in (-outer, outer):
            tubes.append(
                (1, rng.uniform(-0.2, 0.2), y, rng.uniform(-0.3, -0.1), rng.uniform(2, 3), rng.uniform(0.2, 0.3))
            )
        tubes.append(
            (0, rng.uniform(-1, 1), rng.uniform(-0.1, 0.1), -0.2, rng.uniform(0.8, 1.4), rng.uniform(0.15, 0.25))
        )
        boxes.append((rng.uniform(-0.8, 0.8), rng.uniform(-0.3, 0.3), -0.4, rng.uniform(0.6, 1.2), 0.5, 0.35))
        for x in (-1.0, 1.0):
            drums.append((x, rng.uniform(-0.4, 0.4), -0.5, rng.uniform(0.2, 0.32), rng.uniform(0.5, 0.9)))
        t, b, u = (np.array(rows, dtype=float) for rows in (tubes, boxes, drums))
        self.bodies = Compartments(
            Tubes(t[:, 0] > 0, *(t[:, [n]] for n in range(1, 6))),
            Boxes(*(b[:, [n]] for n in range(6))),
            Uprights(*(u[:, [n]] for n in range(5))),
        )
        # One compartment in three is flooded, with some foam in it.
        self.share = np.ones(len(self.bodies))
        if seed % 3 == 0:
            self.share[int(rng.integers(len(self.bodies)))] = rng.uniform(0.2, 0.6)
        lift = DENSITY * float((self.share * self.bodies.volumes[:, 0]).sum())
        self.mass = rng.uniform(0.25, 0.5) * lift
        self.centre = np.array([rng.uniform(-0.15, 0.15), rng.uniform(-0.15, 0.15), rng.uniform(0.0, 0.3)])
        self.solids = [solid(row, sides) for row in (*tubes, *boxes, *drums)]

    def load(self) -> Load:
        """The one load case."""
        mass, *place = (np.array([v]) for v in (self.mass, *self.centre))
        return Load(mass, place[0], place[1], place[2], self.share[:, None])

    def under(self, depth: float, up: np.ndarray) -> tuple[float, np.ndarray]:
        """Volume under the plane and its moment, by clipping the solids."""
        volume, moment = 0.0, np.zeros(3)
        for body, share in zip(self.solids, self.share, strict=True):
            height = body.vertices @ up
            if height.min() >= depth:
                continue
            cut = body if height.max() <= depth else body.slice_plane(up * depth, -up)
            # Pyramids over the faces with their tips in the plane: the face that is cut open has none.
            corners, tip = cut.triangles, up * depth
            each = np.einsum("ij,ij->i", corners[:, 0] - tip, np.cross(corners[:, 1] - tip, corners[:, 2] - tip)) / 6
            volume += share * each.sum()
            moment += share * (each[:, None] * (corners.sum(axis=1) + tip) / 4).sum(axis=0)
        return volume, moment


def solid(row: tuple[float, ...], sides: int) -> trimesh.Trimesh:
    """A closed solid for a tube (lengthwise, along, across, z, length, radius), a box or a drum."""
    if len(row) == 6 and row[0] in (0, 1) and isinstance(row[0], int):
        lengthwise, along, across, z, length, radius = row
        made = trimesh.creation.cylinder(radius, length, sections=sides)
        axis = [0, 1, 0] if lengthwise else [1, 0, 0]
        made.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2, axis))
        made.apply_translation([along, across, z] if lengthwise else [across, along, z])
        return made
    if len(row) == 6:
        x, y, z, length, width, height = row
        made = trimesh.creation.box((length, width, height))
        made.apply_translation([x, y, z + height / 2])
        return made
    x, y, z, radius, height = row
    made = trimesh.creation.cylinder(radius, height, sections=sides)
    made.apply_translation([x, y, z + height / 2])
    return made


def upwards(trim: float, heel: float) -> np.ndarray:
    """Unit vector up from the slopes along x and y."""
    up = np.array([-np.tan(trim), -np.tan(heel), 1.0])
    return up / np.linalg.norm(up)


@pytest.mark.outside("afloat", "trimesh: random rafts cut as solids, equilibrium found by scipy root on what is left")
@pytest.mark.parametrize("seed", range(20))
def test_a_random_raft_rests_where_solids_say(seed):
    """Draft to 0.01 mm, list and trim to 0.001 degrees; round solids of 1200 sides displace 5e-6 too little."""
    raft = Raft(seed)
    rest = settle(raft.bodies, np.array([DENSITY]), raft.load())
    assert rest.state[0] == AFLOAT

    def off(state):
        up = upwards(state[1], state[2])
        volume, moment = raft.under(state[0], up)
        arm = raft.centre - moment / volume
        # Both centres stand one over the other, and the lift is the weight.
        return [volume * DENSITY / raft.mass - 1, *(arm - (arm @ up) * up)[:2]]

    start = [rest.depth[0] + 0.004, rest.trim[0] + 0.003, rest.heel[0] - 0.002]
    found = root(off, start, tol=1e-9, options={"eps": 1e-6})
    # Facets of 1200 sides: an area too small by 2 pi^2 / (3 n^2) of itself, some 1e-6 m of draft.
    assert rest.depth[0] == pytest.approx(found.x[0], abs=1e-5)
    assert np.degrees(rest.trim[0]) == pytest.approx(np.degrees(found.x[1]), abs=1e-3)
    assert np.degrees(rest.heel[0]) == pytest.approx(np.degrees(found.x[2]), abs=1e-3)


def energy(raft: Raft, depth: float, up: np.ndarray) -> float:
    """Energy over g of the raft and the water it displaces, by clipped solids."""
    volume, moment = raft.under(depth, up)
    return raft.mass * (up @ raft.centre - depth) + DENSITY * (depth * volume - up @ moment)


@pytest.mark.outside(
    "flooded", "minimum of the energy of random rafts, some flooded, by clipped solids and scipy minimize"
)
@pytest.mark.parametrize("seed", [0, 3, 4, 7])
def test_a_random_raft_rests_at_the_least_energy(seed):
    """No forces and no metacentre: heel and trim to 0.02 degrees, as far as a flat minimum shows them."""
    raft = Raft(seed, sides=150)
    rest = settle(raft.bodies, np.array([DENSITY]), raft.load())
    assert rest.state[0] == AFLOAT

    least = minimize(
        lambda state: energy(raft, state[0], upwards(state[1], state[2])),
        [rest.depth[0] + 0.02, rest.trim[0] + 0.05, rest.heel[0] - 0.05],
        method="Nelder-Mead",
        options={"xatol": 1e-7, "fatol": 1e-9, "maxiter": 400},
    )
    # 150 sides displace 3e-4 too little; what that tilts is far below the tolerance.
    assert np.degrees(rest.trim[0]) == pytest.approx(np.degrees(least.x[1]), abs=0.02)
    assert np.degrees(rest.heel[0]) == pytest.approx(np.degrees(least.x[2]), abs=0.02)


@pytest.mark.outside("flooded", "energy of random overloaded rafts scanned over heel and trim on small cubes")
def test_what_turns_over_has_no_minimum_and_what_floats_has_one():
    """Eight rafts with a crowd far out: a scan of its own, on small cubes, agrees about every one."""
    over = 0
    for seed in range(8):
        raft = Raft(100 + seed, sides=16)
        rng = np.random.default_rng(seed)
        raft.mass *= 1.1
        raft.centre = np.array([rng.uniform(-0.3, 0.3), rng.uniform(0.2, 0.8), rng.uniform(0.3, 0.9)])
        rest = settle(raft.bodies, np.array([DENSITY]), raft.load())
        assert rest.state[0] in (AFLOAT, TURNS_OVER, SINKS)
        has = has_minimum(raft)
        assert (rest.state[0] == AFLOAT) == has, f"seed {seed}"
        over += not has
    assert 2 <= over <= 6


def has_minimum(raft: Raft) -> bool:
    """Whether the energy over heel and trim has a lowest point inside 58 degrees, on cubes of 80 mm."""
    points, weights = columns(raft)
    angles = np.radians(np.arange(-60, 61, 3.0))
    grid = np.array([[scanned(raft, points, weights, upwards_by(a, b)) for b in angles] for a in angles])
    inside = np.hypot(*np.meshgrid(angles, angles, indexing="ij")) < np.radians(57)
    best = np.pad(grid, 1, constant_values=-np.inf)
    count = len(angles)
    around = [best[1 + i : 1 + i + count, 1 + j : 1 + j + count] for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j]
    lowest = (grid <= np.min(around, axis=0)) & inside
    return bool(lowest.any())


def upwards_by(a: float, b: float) -> np.ndarray:
    """Unit vector up for a tilt given as a vector of angles."""
    size = np.hypot(a, b)
    share = np.sin(size) / size if size else 1.0
    return np.array([-a * share, -b * share, np.cos(size)])


def columns(raft: Raft, step: float = 0.08) -> tuple[np.ndarray, np.ndarray]:
    """Middles of small cubes in all compartments and the volume each stands for."""
    points, weights = [], []
    t, b, u = raft.bodies.tubes, raft.bodies.boxes, raft.bodies.uprights
    shapes = [
        (t.lengthwise[n], t.along[n, 0], t.across[n, 0], t.z[n, 0], t.length[n, 0], t.radius[n, 0])
        for n in range(len(t.z))
    ]
    volumes = raft.bodies.volumes[:, 0] * raft.share

    def cubes(*halves):
        return np.stack(np.meshgrid(*(np.arange(-h + step / 2, h, step) for h in halves), indexing="ij"), -1).reshape(
            -1, 3
        )

    found = []
    for lengthwise, along, across, z, length, radius in shapes:
        grid = cubes(length / 2, radius, radius)
        grid = grid[np.hypot(grid[:, 1], grid[:, 2]) <= radius]
        found.append(
            (grid if lengthwise else grid[:, [1, 0, 2]]) + ([along, across, z] if lengthwise else [across, along, z])
        )
    for n in range(len(b.z)):
        grid = cubes(b.length[n, 0] / 2, b.width[n, 0] / 2, b.height[n, 0] / 2)
        found.append(grid + np.array([b.x[n, 0], b.y[n, 0], b.z[n, 0] + b.height[n, 0] / 2]))
    for n in range(len(u.z)):
        grid = cubes(u.radius[n, 0], u.radius[n, 0], u.height[n, 0] / 2)
        grid = grid[np.hypot(grid[:, 0], grid[:, 1]) <= u.radius[n, 0]]
        found.append(grid + np.array([u.x[n, 0], u.y[n, 0], u.z[n, 0] + u.height[n, 0] / 2]))
    for grid, volume in zip(found, volumes, strict=True):
        points.append(grid)
        weights.append(np.full(len(grid), volume / len(grid)))
    return np.concatenate(points), np.concatenate(weights)


def scanned(raft: Raft, points: np.ndarray, weights: np.ndarray, up: np.ndarray) -> float:
    """Energy at a tilt with the sinkage solved: the water rises until the cubes under it weigh as much as the raft."""
    heights = points @ up
    order = np.argsort(heights)
    h, lift = heights[order], DENSITY * np.cumsum(weights[order])
    n = int(np.searchsorted(lift, raft.mass))
    depth = h[min(n, len(h) - 1)]
    under = order[:n]
    return float(raft.mass * (up @ raft.centre - depth) + DENSITY * (weights[under] * (depth - heights[under])).sum())
