"""A beam by cubic finite elements, every load tried by brute force: what three moments are held against."""

from __future__ import annotations

import itertools

import numpy as np

__all__ = ["Brute", "brute_force"]


class Brute:
    """A uniform beam with rigid supports; loads in N/m and N, places in m, stiffness E I of 1 N m2."""

    def __init__(self, length, supports, steps=24):
        stops = sorted({0.0, *supports, length})
        self.nodes = np.unique(np.concatenate([np.linspace(a, b, steps + 1) for a, b in itertools.pairwise(stops)]))
        self.stretch = np.searchsorted(np.array(stops), (self.nodes[:-1] + self.nodes[1:]) / 2) - 1
        self.stretches = len(stops) - 1
        self.held = [int(np.argmin(abs(self.nodes - place))) for place in supports]
        count = 2 * self.nodes.size
        stiff = np.zeros((count, count))
        for e, h in enumerate(np.diff(self.nodes)):
            stiff[2 * e:2 * e + 4, 2 * e:2 * e + 4] += self.element(h)
        self.stiff = stiff
        self.elements = np.stack([self.element(h) for h in np.diff(self.nodes)])
        self.places = 2 * np.arange(self.nodes.size - 1)[:, None] + np.arange(4)
        self.free = np.setdiff1d(np.arange(count), 2 * np.array(self.held))
        self.solver = np.linalg.inv(stiff[np.ix_(self.free, self.free)])

    @staticmethod
    def element(h):
        """Stiffness of one cubic element: two deflections (down) and two turns."""
        return np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h], [-12, -6 * h, 12, -6 * h],
                         [6 * h, 2 * h * h, -6 * h, 4 * h * h]]) / h**3

    def solve(self, even, point=None):
        """Deflections, sagging moments at nodes, reactions and shears for a load on each stretch and one at a node."""
        h = np.diff(self.nodes)
        shares = np.stack([1 + 0 * h, h / 6, 1 + 0 * h, -h / 6], axis=1)
        own = (np.asarray(even)[self.stretch] * h / 2)[:, None] * shares
        force = np.zeros(self.stiff.shape[0])
        np.add.at(force, self.places, own)
        if point is not None:
            force[2 * point[0]] += point[1]
        moved = np.zeros_like(force)
        moved[self.free] = self.solver @ force[self.free]
        ends = np.einsum("eij,ej->ei", self.elements, moved[self.places]) - own
        moments = np.append(ends[:, 1], -ends[-1, 3])
        reactions = (force - self.stiff @ moved)[2 * np.array(self.held)]
        return moved[::2], moments, reactions, np.abs(ends[:, [0, 2]]).max()


def brute_force(length, supports, dead, live, point, counted_on):
    """The worst of every choice of loaded stretches and of a person at every node, by name."""
    beam = Brute(length, supports)
    whole = np.ones(beam.stretches)
    cases = [(pattern, None) for pattern in itertools.product((0.0, live), repeat=beam.stretches)]
    cases += [(np.zeros(beam.stretches), (node, point)) for node in range(beam.nodes.size)]
    worst = dict.fromkeys(("sagging", "hogging", "shear", "reaction", "uplift", "sag_live", "tip_live"), 0.0)
    inside = (beam.nodes > min(supports)) & (beam.nodes < max(supports))
    for even, one in cases:
        _, moments, reactions, shear = beam.solve(dead * whole + even, one)
        moved = beam.solve(np.array(even), one)[0]
        lifted = beam.solve(counted_on * whole + even, one)[2]
        found = {"sagging": moments.max(), "hogging": -moments.min(), "shear": shear, "reaction": reactions.max(),
                 "uplift": -lifted.min(), "sag_live": moved[inside].max(), "tip_live": moved[[0, -1]].max()}
        worst = {name: max(worst[name], found[name]) for name in worst}
    return worst
