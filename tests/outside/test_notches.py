"""Notches, cut lengths, right angles, fixings and boards over many joists against other ways of working them out."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from shapely.affinity import rotate
from shapely.geometry import LineString, Point, box

from kit.board_spans import board_spans
from kit.boards import joist_layout
from kit.cut_lengths import cut_lengths
from kit.fixings import fixing
from kit.members import Member
from kit.moment_envelope import moment_envelope
from kit.notches import notch
from kit.quantities import Q
from kit.right_angle import right_angle
from tests.beam_fem import Brute, brute_force


@pytest.mark.outside("notch", "energy release at a notch corner (Gustafsson 1988, from memory) with E/G of 16")
@pytest.mark.parametrize(("deep", "out"), [(18, 50), (20, 40), (30, 60), (40, 100)])
def test_a_notch_loses_as_fracture_mechanics_says(deep, out):
    """Against a notch of 20 mm at 40 mm; the code writes sqrt(6 / (0.6 x 16)) = 0.79 as 0.8, which is 1 % at most."""
    def ours(cut, reach):
        return notch(rules="European", thickness=Q(45, "mm"), depth=Q(120, "mm"), shear=Q(4, "MPa"), force=Q(1, "kN"),
                     cut=Q(cut, "mm"), length=Q(60, "mm"), from_support=Q(reach, "mm")).reduction.m

    def energy(cut, reach):
        share = 1 - cut / 120
        return 1 / (math.sqrt(0.6 * 16 * share * (1 - share)) + reach / 120 * math.sqrt(6 * (1 / share - share**2)))

    assert ours(deep, out) < 1
    assert ours(deep, out) / ours(20, 40) == pytest.approx(energy(deep, out) / energy(20, 40), rel=0.01)


@pytest.mark.outside("cut_lengths", "shapely: lengths measured between members drawn as rectangles")
def test_lengths_of_the_demo_are_those_of_its_drawing():
    """Rims along both sides, joists between them, noggings between joists."""
    laid = joist_layout(length=Q(3, "m"), width=Q(2.2, "m"), joists=8, thickness=Q(45, "mm"), inset=Q(60, "mm"))
    rims = [box(0, 0, 3000, 45), box(0, 2155, 3000, 2200)]
    drawn = [box(line.from_end.m_as("mm") - 22.5, 45, line.from_end.m_as("mm") + 22.5, 2155) for line in laid.lines]
    lengths = {"joists": (rims[0].distance(rims[1]), 8), "rims": (3000.0, 2),
               "noggings": (drawn[0].distance(drawn[1]), 7)}
    rows = [Member(name=name, timber="Douglas-fir (coast)", pieces=pieces, thickness=Q(45, "mm"), depth=Q(120, "mm"),
                   length=Q(length, "mm"), x=Q(0, "m"), y=Q(0, "m"), z=Q(60, "mm"))
            for name, (length, pieces) in lengths.items()]
    found = cut_lengths(pieces=rows, joist_length=laid.joist_length, rim_length=Q(3, "m"), clear=laid.clear, joists=8)

    assert found.furthest.m_as("mm") == pytest.approx(0, abs=1e-9)
    assert found.spare.m == 0


@pytest.mark.outside("right_angle", "plane geometry: 3-4-5 m out by 1 mm, worked by hand: 0.0239 deg, 1.67 mm over 4 m")
def test_a_slip_of_the_tape_turns_the_corner_as_worked_by_hand():
    """5 / (3 x 4) mm a metre."""
    found = right_angle(long_side=Q(4, "m"), short_side=Q(4, "m"), step=Q(1, "m"), measured=Q(5001, "mm"))
    slip = right_angle(long_side=Q(4, "m"), short_side=Q(4, "m"), step=Q(1, "m"), tape=Q(1, "mm")).slip

    assert found.angle.m_as("deg") - 90 == pytest.approx(0.0239, abs=5e-5)
    assert slip.m_as("mm") == pytest.approx(1.67, abs=0.005)


@pytest.mark.outside("right_angle", "shapely: a side turned about its corner")
@pytest.mark.parametrize("turned", [-0.4, -0.05, 0.1, 0.6])
def test_a_turned_side_is_found_out(turned):
    """The slope measured between two marks on the drawing gives the turn and the offset back."""
    side = rotate(LineString([(0, 0), (0, 2200)]), turned, origin=(0, 0))
    mark = side.interpolate(2100)
    found = right_angle(long_side=Q(3000, "mm"), short_side=Q(2200, "mm"),
                        measured=Q(Point(2800, 0).distance(mark), "mm"))

    assert found.angle.m_as("deg") == pytest.approx(90 + turned)
    assert found.offset.m_as("mm") == pytest.approx(-side.coords[1][0])


@pytest.mark.outside("span_forces", "beam by cubic finite elements: moments along a joist for its drawing")
@pytest.mark.parametrize(("length", "places"), [(2.2, (0.25, 0.775, 1.425, 1.95)), (5.0, (0.4, 2.0, 3.5))])
def test_the_moment_diagram_is_that_of_every_load(length, places):
    """Most and least at the middle of every span and over every support, every pattern and a person at every node."""
    x, most, least = moment_envelope(places, Q(length, "m"), dead=Q(110, "N/m"), crowd=Q(900, "N/m"),
                                     person=Q(1500, "N"), on_dead=1.35, on_live=1.5)
    beam = Brute(length, places)
    found = [beam.solve(1.35 * 110 + 1.5 * 900 * np.array(pattern))[1]
             for pattern in itertools.product((0.0, 1.0), repeat=beam.stretches)]
    found += [beam.solve(1.35 * 110 * np.ones(beam.stretches), (node, 1.5 * 1500))[1]
              for node in range(beam.nodes.size)]
    checked = [*places, *((a + b) / 2 for a, b in itertools.pairwise(places))]

    for place in checked:
        at, node = np.argmin(abs(x.m_as("m") - place)), np.argmin(abs(beam.nodes - place))
        moments = [one[node] for one in found]
        assert most.m_as("N*m")[at] == pytest.approx(max(moments), rel=5e-3, abs=0.5)
        assert least.m_as("N*m")[at] == pytest.approx(min(moments), rel=5e-3, abs=0.5)


@pytest.mark.outside("board_spans", "beam by cubic finite elements: a board over five joists, every load")
def test_a_board_over_five_joists_bears_what_finite_elements_say():
    """1500 N at every node or 2 kPa on any choice of spans, 28 x 145 at 0.45 m with ends of 0.1 m."""
    places = tuple(0.1 + 0.45 * n for n in range(5))
    found = board_spans(rules="handbook only", bending=Q(24, "MPa"), across=Q(2.5, "MPa"), elasticity=Q(11, "GPa"),
                        width=Q(145, "mm"), thickness=Q(28, "mm"), spacing=Q(450, "mm"), joists=5,
                        overhang=Q(100, "mm"), load=Q(1500, "N"), crowd=Q(2, "kPa"))
    dead = 700 * 9.80665 * 0.145 * 0.028
    brute = brute_force(2.0, places, dead, 290.0, 1500.0, dead)
    service = brute_force(2.0, places, 0.0, 290.0, 1500.0, 0.0)

    # A walking foot is read off a parabola, within half a percent.
    bent = max(brute["sagging"], brute["hogging"]) / (0.145 * 0.028**2 / 6) / 1e6
    assert found.stress.m_as("MPa") == pytest.approx(bent, rel=5e-3)
    stiff = 11e9 * 0.145 * 0.028**3 / 12
    assert found.deflection.m_as("m") == pytest.approx(service["sag_live"] / stiff, rel=5e-3)
    assert found.pressure.m_as("Pa") == pytest.approx(brute["reaction"] / (0.145 * 0.045), rel=5e-3)
    assert found.uplift.m_as("N") == pytest.approx(brute["uplift"], rel=1e-2)


@pytest.mark.outside("fixing", "statics: forces and moments of the post solved as three equations")
def test_bolts_balance_the_push():
    """A push, a pull above and a thrust below: no force left over sideways and no moment about the push."""
    found = fixing(rules="handbook only", across=Q(2.5, "MPa"), force=Q(890, "N"), lever=Q(900, "mm"),
                   arm=Q(80, "mm"), bolts=1, strength=Q(20, "kN"))
    # Pull T at the upper row and thrust C at the lower one: T - C = F, and 900 T - 980 C = 0 about the push.
    pull, thrust = np.linalg.solve([[1, -1], [0.9, -0.98]], [890, 0])

    assert thrust > 0
    assert found.pull.m_as("N") == pytest.approx(pull)
