"""Glue against printed figures and plane geometry."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import unary_union
from shapely.geometry import LineString, Polygon

from kit.glue import Joint, glue_coverage, glue_up
from kit.quantities import Q
from kit.sources import read_facts


@pytest.mark.outside("glue_coverage", "NIST Handbook 44 (2024), Appendix C: US gallon 231 in3; 1604 ft2 at one mil")
def test_a_gallon_covers_1604_square_feet_one_mil_thick():
    """231 cubic inches; the coverage is printed to the whole square foot."""
    gallon, printed = 231, "1604"
    feet = Joint(name="square foot", length=Q(1, "ft"), width=Q(12, "in"), count=int(printed), faces="one")

    film = glue_coverage(joints=[feet], by="film thickness", film=Q(1, "mil"), waste=Q(0, "percent"))

    assert film.volume.m_as("in^3") == pytest.approx(gallon, rel=0.5 / int(printed))


@pytest.mark.outside("glue_coverage", "worked by hand: gap of 0.15 mm, spread of 190 and 200 g/m2")
@pytest.mark.parametrize(("joint", "given", "read", "unit", "printed"), [
    ((1, 0.5, 1, "one"), {"by": "film thickness", "film": Q(0.15, "mm")}, "volume", "mL", "75"),
    ((0.9, 0.022, 4, "both"), {"spread": Q(200, "g/m^2")}, "mass", "g", "31.7"),
    ((1, 1, 1, "one"), {"spread": Q(190, "g/m^2"), "density": Q(1100, "kg/m^3")}, "wet_film", "mm", "0.173"),
])
def test_amounts_worked_by_hand(joint, given, read, unit, printed):
    """To half the last digit printed."""
    length, width, count, faces = joint
    row = Joint(name="one", length=Q(length, "m"), width=Q(width, "m"), count=count, faces=faces)

    found = getattr(glue_coverage(joints=[row], waste=Q(0, "percent"), **given), read).m_as(unit)
    assert found == pytest.approx(float(printed), abs=half_digit(printed) * (1 + 1e-9))


def half_digit(printed):
    """Half of the last digit of a printed number."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


def clamped(**changed):
    """A joint of oak, 4 kN clamps."""
    given = {
        "joints": 1, "at_once": 1, "joint_time": Q(40, "s"), "fixed_time": Q(90, "s"), "open_time": Q(8, "min"),
        "length": Q(900, "mm"), "thickness": Q(25, "mm"), "board_width": Q(90, "mm"), "pressure": Q(1, "MPa"),
        "clamp_force": Q(4, "kN"), "clamps": 6, "timber": "white oak", "workshop_temperature": Q(15, "degC"),
    }
    return glue_up(**given | changed)


@pytest.mark.outside("glue_up", "worked by hand: 900 x 25 mm at 1.0 MPa, boards of 90 mm")
def test_a_long_edge_worked_by_hand():
    """22.5 kN, six clamps of 4 kN; end clamps 90 mm in and 180 mm apart are five."""
    found = clamped()

    assert found.force.m_as("kN") == pytest.approx(22.5)
    assert found.clamps_by_force == Q(6)
    assert found.clamps_by_spread == Q(5)


@pytest.mark.outside("glue_up", "FAA AC 43.13-1B, 1-8: 125 to 150 psi on softwood, 150 to 200 psi on hardwood")
@pytest.mark.parametrize(("fact", "printed", "metric"), [
    ("resorcinol-softwood-low", "125", "0.86"), ("resorcinol-softwood-high", "150", "1.03"),
    ("resorcinol-hardwood-low", "150", "1.03"), ("resorcinol-hardwood-high", "200", "1.38"),
])
def test_resorcinol_pressures_on_a_square_foot(fact, printed, metric):
    """As many pounds of force on a square inch as printed, so 144 times that on a square foot."""
    pressure = read_facts("glue")[fact].q
    found = clamped(pressure=pressure, length=Q(1, "ft"), thickness=Q(12, "in"))

    assert found.force.m_as("lbf") == pytest.approx(144 * float(printed), rel=1e-9)
    assert pressure.m_as("MPa") == pytest.approx(float(metric), abs=half_digit(metric))


@pytest.mark.outside("glue_up", "shapely: pads that spread at 45 degrees cover the glue line")
@pytest.mark.parametrize(("length", "board"), [(900, 90), (640, 110), (640, 40), (1000, 125), (1001, 125), (150, 200)])
def test_pads_cover_the_whole_glue_line_and_one_less_does_not(length, board):
    """Triangles under evenly spaced pads, met with the glue line."""
    line = LineString([(0, 0), (length, 0)])

    def bare(clamps):
        pads = (np.arange(clamps) + 0.5) * length / clamps
        cones = unary_union([Polygon([(x, board), (x - board, 0), (x + board, 0)]) for x in pads])
        return line.difference(cones).length

    needed = int(clamped(length=Q(length, "mm"), board_width=Q(board, "mm")).clamps_by_spread.m_as(""))
    assert bare(needed) == pytest.approx(0, abs=1e-6)
    assert needed == 1 or bare(needed - 1) > 1e-6
