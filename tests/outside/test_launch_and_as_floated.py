"""Lifting, launching, leak test, ice, openings, as floated, inclining against published figures and other methods."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from shapely.geometry import Point, box

from kit.as_floated import as_floated
from kit.carrying import Lift, carrying
from kit.climate import Month
from kit.ice import ice
from kit.inclining import Shift, inclining
from kit.launching import float_off, skids
from kit.leak_test import CellTest, leak_test
from kit.openings import Opening, openings
from kit.quantities import Q
from tests.mooring_cases import seen
from tests.raft_cases import FRESH, hull


def recommended(**how):
    """The mass recommended for one person."""
    lift = {
        "name": "load",
        "mass": Q(10, "kg"),
        "carriers": 1,
        "out": Q(25, "cm"),
        "low": Q(75, "cm"),
        "travel": Q(25, "cm"),
        "grip": "good",
    }
    return carrying(lifts=[Lift(**{**lift, **how})]).judged[0].recommended.m_as("kg")


@pytest.mark.outside("carrying", "homeworksource.com/p/1089113, worked solution of the NIOSH equation: 15.7 kg")
def test_a_worked_lift():
    """25 cm out, 55 cm high, 95 cm up, 3 a minute, a fair grip."""
    found = recommended(low=Q(55, "cm"), travel=Q(95, "cm"), rate=Q(3, "1/min"), grip="fair")

    # Two multipliers are rounded to two digits there.
    assert found == pytest.approx(15.7, abs=0.05 + 15.7 * (0.005 / 0.87))


# Printed multipliers and products, each multiplier rounded to two digits: distance out, height, travel, turn, grip.
CANADA = [
    (
        {"out": Q(31.25, "cm"), "low": Q(8.3, "cm"), "travel": Q(112.5, "cm"), "grip": "poor"},
        (0.80, 0.80, 0.86, 1.0, 0.90),
    ),
    (
        {"out": Q(31.25, "cm"), "low": Q(75, "cm"), "travel": Q(34.6, "cm"), "grip": "poor"},
        (0.80, 1.0, 0.95, 1.0, 0.90),
    ),
    ({"out": Q(50, "cm"), "low": Q(75, "cm"), "travel": Q(34.6, "cm")}, (0.50, 1.0, 0.95, 1.0, 1.0)),
    ({"out": Q(31.25, "cm"), "low": Q(75, "cm"), "travel": Q(34.6, "cm")}, (0.80, 1.0, 0.95, 1.0, 1.0)),
]


@pytest.mark.outside(
    "carrying", "CCOHS, NIOSH lifting equation: 11.4, 15.7, 10.9 and 17.5 kg, products of printed multipliers"
)
@pytest.mark.parametrize(
    ("how", "multipliers", "printed"),
    [(*case, printed) for case, printed in zip(CANADA, (11.4, 15.7, 10.9, 17.5), strict=True)],
)
def test_multipliers_as_printed(how, multipliers, printed):
    """Inputs that give the printed multipliers give the printed mass: five roundings of half a digit."""
    found = recommended(**how)

    assert found == pytest.approx(23 * math.prod(multipliers), rel=5 * 0.005 / 0.8)
    assert found == pytest.approx(printed, abs=0.5)


@pytest.mark.outside(
    "skids", "Beer and Johnston, Statics, ch. 8: 60 lb on 20 degrees, friction 0.30: 35.9 lb at 36.7 degrees"
)
def test_the_least_force_up_a_slope():
    """Magnitude and direction as printed."""
    moved = skids(mass=Q(60, "lb"), slope=Q(20, "deg"), way="dry timber skids", friction=Q(0.30), rope=Q(2000, "N"))

    assert moved.least_pull.m_as("lbf") == pytest.approx(35.9, abs=0.05)
    assert moved.best_angle.m_as("deg") == pytest.approx(36.7, abs=0.05)


@pytest.mark.outside("float_off", "moment of the immersed box about its shallow end, by scipy quad and brentq")
@pytest.mark.parametrize(("draft", "slope"), [(0.17, 5), (0.17, 12), (0.5, 3), (0.05, 15)])
def test_when_the_deep_end_lifts(draft, slope):
    """The depth at which lift times its distance equals half the weight times the length; what the support keeps."""
    length, steep = 3.0, math.sin(math.radians(slope))

    def immersed(s, depth):
        return max(depth - (length - s) * steep, 0.0)

    def moment(depth):
        dry = max(length - depth / steep, 0.0)
        return quad(lambda s: immersed(s, depth) * s, dry, length)[0] - draft * length**2 / 2

    depth = brentq(moment, 1e-4, draft + length * steep, xtol=1e-12)
    dry = max(length - depth / steep, 0.0)
    carried = quad(lambda s: immersed(s, depth), dry, length)[0] / (draft * length)
    off = float_off(draft=Q(draft, "m"), support=Q(150, "mm"), length=Q(length, "m"), slope=Q(slope, "deg"))

    assert off.lifts_first.m_as("m") == pytest.approx(0.15 + depth, abs=1e-6)
    assert off.on_support.m_as("percent") == pytest.approx(100 * (1 - carried), abs=1e-3)


@pytest.mark.outside("leak_test", "CoolProp: air kept at one density from 30 to 5 degC")
def test_pressure_lost_by_cooling():
    """A sealed float closed at 30 degC and cooled to 5 loses 8.36 kPa by the law of gases; real air within 0.3 %."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    density = coolprop.PropsSI("D", "T", 303.15, "P", 101_325 + 1, "Air")
    real = 101_326 - coolprop.PropsSI("P", "T", 278.15, "D", density, "Air")
    found = leak_test(
        cells=[CellTest(name="cell", start=Q(0.01, "mbar"), stop=Q(0, "mbar"), warm=Q(30, "degC"), cool=Q(5, "degC"))]
    ).results[0]

    assert found.by_cooling.m_as("kPa") == pytest.approx(8.36, abs=0.005)
    assert found.by_cooling.m_as("Pa") == pytest.approx(real, rel=3e-3)


@pytest.mark.outside("ice", "heat balance of growing ice integrated by scipy solve_ivp")
@pytest.mark.parametrize(("days", "cold"), [(10, -4), (60, -12)])
def test_ice_by_integration(days, cold):
    """dh/dt = k dT/(rho L h) from a film of 0.1 mm."""
    rate = 2.2 * -cold / (917 * 334e3)
    grown = solve_ivp(lambda t, h: rate / h, (0, days * 86_400), [1e-4], rtol=1e-9, atol=1e-12).y[0, -1]
    found = ice(
        months=[Month(name="January", temperature=Q(1, "degC"), humidity=Q(80, "percent"))],
        spell=Q(days, "d"),
        coldest=Q(cold, "degC"),
    )

    assert found.thickness.m_as("m") == pytest.approx(grown, rel=1e-4)


@pytest.mark.outside("openings", "CPSC publication 325: 3.5 and 9 in; CFOC 6.2.1.9: 3/8 and 1 in")
@pytest.mark.parametrize(
    ("inches", "head", "finger"),
    [
        (3.4, True, True),
        (3.6, False, True),
        (8.9, False, True),
        (9.1, True, True),
        (0.37, True, True),
        (0.5, True, False),
        (0.99, True, False),
        (1.01, True, True),
    ],
)
def test_openings_at_the_published_edges(inches, head, finger):
    """On either side of each printed size, in inches."""
    found = openings(every=[Opening(name="gap", size=Q(inches, "in"), closed=False)])

    assert found.no_head.passes is head
    assert found.no_finger.passes is finger


# -- afloat ------------------------------------------------------------------------------------------


@pytest.mark.outside("as_floated", "circles clipped at the waterline by shapely, heeled")
@pytest.mark.parametrize(("left", "right"), [(488, 488), (500, 470), (440, 520)])
def test_mass_of_four_tubes_by_clipping(left, right):
    """Sections of 20 000 sides cut by a sloping line: area times length times density; the centre over their middle."""
    found = seen(right, left, right, left)
    slope = (left - right) / 1000 / 2.2
    level = 0.148 - (left + right) / 2000
    heel = math.atan(slope)
    below = box(-9, -9, 9, 9).intersection(_under(level, slope))
    cuts = [Point(y, -0.26).buffer(0.25, quad_segs=5000).intersection(below) for y in (-0.85, -0.325, 0.325, 0.85)]
    area = sum(cut.area for cut in cuts)
    y, z = (sum(cut.area * getattr(cut.centroid, axis) for cut in cuts) / area for axis in "xy")

    assert found.mass.m_as("kg") == pytest.approx(999.7 * 3 * area, rel=1e-6)
    assert found.y.m_as("m") == pytest.approx(y - (-0.02 - z) * math.tan(heel), abs=1e-5)
    assert found.x.m_as("m") == pytest.approx(0, abs=1e-9)


def _under(level, slope):
    from shapely.geometry import Polygon

    return Polygon([(-9, -9), (9, -9), (9, level + 9 * slope), (-9, level - 9 * slope)])


@pytest.mark.outside("as_floated", "a box by hand: volume and centroid of a trapezium")
def test_a_trimmed_box():
    """6.0 x 2.4 m, drafts 0.20 m at the named end and 0.16 m at the other: 2592 kg, and its centroid."""
    barge = [hull(2.4, 0.6, 6.0)]
    found = as_floated(
        named_right=Q(400, "mm"),
        named_left=Q(400, "mm"),
        other_right=Q(440, "mm"),
        other_left=Q(440, "mm"),
        floats=barge,
        density=FRESH,
        deck_length=Q(6, "m"),
        deck_width=Q(2.4, "m"),
        deck_top=Q(0.6, "m"),
        z=Q(0.5, "m"),
        predicted=Q(2592, "kg"),
        predicted_x=Q(0, "m"),
        predicted_y=Q(0, "m"),
    )
    slope = 0.04 / 6
    centroid = slope * 6**3 / 12 / (6 * 0.18)
    middle = (0.18**2 + slope**2 * 36 / 12) / (2 * 0.18)

    assert found.mass.m_as("kg") == pytest.approx(2592, rel=1e-9)
    assert found.x.m_as("m") == pytest.approx(centroid - (0.5 - middle) * slope, abs=1e-9)


@pytest.mark.outside("inclining", "Ship Stability for Masters and Mates, 6th ed., exercises 14.2 and 14.4: GM 0.4 m")
@pytest.mark.parametrize(("ship", "moved", "across", "tilt"), [(4515, 15, 4.2, 2.0), (1500, 10, 10, 9.45)])
def test_stiffness_by_a_moved_mass(ship, moved, across, tilt):
    """The list that the book gives, read as a pendulum, gives back GM; its answers are rounded to two figures."""
    swing = math.tan(math.radians(tilt))
    test = inclining(
        shifts=[Shift(name="one", mass=Q(moved, "t"), moved=Q(across, "m"), swing=Q(swing, "m"))],
        pendulum=Q(1, "m"),
        mass=Q(ship, "t"),
        predicted_z=Q(5, "m"),
        predicted_stiffness=Q(0.4, "m"),
    )

    assert test.stiffness.m_as("m") == pytest.approx(0.4, rel=0.05 / 4.2)
    assert np.isfinite(test.doubt.m_as("m"))
