"""Draft, initial stability and righting levers against worked examples of ship stability and polygon clipping."""

from __future__ import annotations

import math

import pytest
from scipy.optimize import brentq
from shapely import affinity
from shapely.geometry import Point, box

from kit.float_size import float_size
from kit.pipe_lift import pipe_lift
from kit.quantities import Q
from kit.righting import righting
from kit.weighing import weigh
from tests.raft_cases import (
    ANY_DECK,
    DECK,
    FRESH,
    SALT,
    bare,
    floats,
    half_digit,
    hull,
    lies,
)

# -- draft -----------------------------------------------------------------------------------------


def clipped_draft(diameter, length, count, mass, density):
    """Draft of round tubes by clipping a circle of many sides, root found by brentq."""
    circle = Point(0, 0).buffer(diameter / 2, quad_segs=5000)

    def over(height):
        return density * count * length * circle.intersection(box(-9, -9, 9, height)).area - mass

    return brentq(over, -diameter / 2, diameter / 2, xtol=1e-9) + diameter / 2


@pytest.mark.outside("afloat", "polygon clipping of a circle of 20 000 sides by shapely, root by scipy brentq")
@pytest.mark.parametrize(
    ("diameter", "length", "count", "mass", "density", "draft", "rest"),
    [
        (0.300, 3, 1, 50, 1000, "85.72", ("50.42", "162.06", "0.813")),
        (0.300, 3, 1, 106.02875, 1000, "150.00", ("86.34", "106.03", "0.900")),
        (0.300, 3, 1, 170, 1000, "224.23", ("123.95", "42.06", "0.782")),
        (0.16827, 3, 6, 200, 999.1, "84.15", ("48.43", "199.93", "3.026")),
    ],
)
def test_draft_of_round_tubes(diameter, length, count, mass, density, draft, rest):
    """Draft to 0.01 mm, by clipping here and as printed; centre of buoyancy, reserve and load by depth as printed."""
    tubes = [bare(name=str(n), diameter=Q(diameter, "m"), length=Q(length, "m"), y=Q(n, "m")) for n in range(count)]
    # The centre of gravity low in the tubes: one tube alone must not roll.
    found = lies(tubes, mass, z=-0.1, y=(count - 1) / 2, density=Q(density, "kg/m^3"))

    assert found.draft.m_as("mm") == pytest.approx(
        1000 * clipped_draft(diameter, length, count, mass, density), abs=0.01
    )
    assert found.draft.m_as("mm") == pytest.approx(float(draft), abs=0.01)
    buoyancy, reserve, sinkage = rest
    assert found.buoyancy.m_as("mm") == pytest.approx(float(buoyancy), abs=0.01)
    assert found.reserve.m_as("kg") == pytest.approx(float(reserve), abs=half_digit(reserve))
    assert found.sinkage.m_as("kg/mm") == pytest.approx(float(sinkage), abs=half_digit(sinkage))


@pytest.mark.outside("afloat", "worked by hand: T = m / (rho L B)")
@pytest.mark.parametrize(("density", "printed"), [(FRESH, "104.17"), (SALT, "101.63")])
def test_draft_of_a_box(density, printed):
    """2.4 x 1.2 m with 300 kg, fresh and salt."""
    found = lies([hull(1.2, 0.5, 2.4)], 300, z=0.1, density=density)

    assert found.draft.m_as("mm") == pytest.approx(float(printed), abs=0.01)


@pytest.mark.outside("afloat", "Den Hartog, Mechanics (1948), problem 75: a ship from salt to fresh water")
def test_a_ship_sinks_deeper_in_fresh_water():
    """10 000 long tons on 12 000 ft2, specific gravity 1.02 against 62.4 lb/ft3: 0.5866 ft; a hundredth of it here."""
    area, mass = 120 * 0.3048**2, 100 * 2240 * 0.45359237
    fresh = 62.4 * 0.45359237 / 0.3048**3
    hulls = [hull(3.0, 9.9, area / 3.0)]

    drafts = [lies(hulls, mass, z=0.1, density=Q(rho, "kg/m^3")).draft.m_as("ft") for rho in (fresh, 1.02 * fresh)]
    assert drafts[0] - drafts[1] == pytest.approx(0.5866, abs=half_digit("0.5866"))


@pytest.mark.outside("weigh", "worked by hand: net lift of expanded polystyrene = rho - foam - water taken up")
@pytest.mark.parametrize(("uptake", "printed"), [(0, "353.38"), (5, "335.38")])
def test_net_lift_of_a_foam_block(uptake, printed):
    """2.4 x 0.6 x 0.25 m at 18.4 kg/m3, dry and with 5 % of water by volume."""
    block = bare(
        shape="box",
        width=Q(0.6, "m"),
        height=Q(0.25, "m"),
        length=Q(2.4, "m"),
        foam=Q(100, "percent"),
        foam_density=Q(18.4, "kg/m^3"),
        uptake=Q(uptake, "percent"),
    )
    weight = weigh(parts=(), floats=[block])

    assert 360 - weight.wet_mass.m_as("kg") == pytest.approx(float(printed), abs=half_digit(printed))
    assert weight.mass.m_as("kg") == pytest.approx(6.62, abs=half_digit("6.62"))


@pytest.mark.outside("pipe_lift", "ASTM D1785 and EN 1401-1 tables; net lift by hand at 1000 kg/m3")
@pytest.mark.parametrize(
    ("pipe", "mass", "lift"),
    [
        ("PVC NPS 4 schedule 40", "2.985", "7.28"),
        ("PVC NPS 6 schedule 80", "7.907", "14.33"),
        ("PVC NPS 8 schedule 40", "7.895", "29.80"),
        ("PVC NPS 12 schedule 80", "24.461", "57.91"),
        ("PVC-U 110 x 3.2 mm", "1.71", "7.79"),
        ("PVC-U 160 x 4.0 mm", "3.07", "17.04"),
        ("PVC-U 200 x 4.9 mm", "4.70", "26.72"),
        ("PVC-U 250 x 6.2 mm", "7.49", "41.60"),
        ("PVC-U 315 x 7.7 mm", "11.65", "66.28"),
    ],
)
def test_net_lift_of_standard_pipes(pipe, mass, lift):
    """Mass by length as listed (0.001 of rounding), lift to half its last digit and that of the mass."""
    found = pipe_lift(pipe=pipe, density=FRESH)

    assert found.mass.m_as("kg/m") == pytest.approx(float(mass), abs=0.001)
    assert found.lift.m_as("kg/m") == pytest.approx(float(lift), abs=half_digit(lift) + 0.001)


@pytest.mark.outside("float_size", "closed form against shapely: segment of a circle by clipping")
@pytest.mark.parametrize("wanted", [0.25, 0.40, 0.55])
def test_usable_lift_by_clipping(wanted):
    """Lift up to the draft allowed, less the tube; a polygon of 20 000 sides leaves 1e-6 of it."""
    made = float_size(
        load=Q(440, "kg"),
        diameter=Q(500, "mm"),
        length=Q(3, "m"),
        axis=Q(-0.26, "m"),
        mass_per_metre=Q(24.3, "kg/m"),
        density=FRESH,
        wanted=Q(wanted, "m"),
        count=4,
        deck_width=DECK["deck_width"],
        deck_top=DECK["deck_top"],
    )
    water = 0.148 - wanted + 0.26
    area = Point(0, 0).buffer(0.25, quad_segs=5000).intersection(box(-1, -1, 1, water)).area

    assert made.usable.m_as("kg/m") == pytest.approx(1000 * area - 24.3, abs=1e-3)


# -- initial stability -----------------------------------------------------------------------------


@pytest.mark.outside("afloat", "Reed's Naval Architecture for Marine Engineers, 4th ed., example 5.4")
def test_a_raft_of_two_cylinders():
    """1.5 m across, 6 m long, 3 m apart, half immersed: I 43.875 m4, V 10.603 m3, BM 4.138 m."""
    tubes = [bare(name=str(y), diameter=Q(1.5, "m"), length=Q(6, "m"), y=Q(y, "m")) for y in (-1.5, 1.5)]
    mass = 1000 * 2 * math.pi / 4 * 1.5**2 * 6 / 2
    found = lies(tubes, mass, z=0.0)

    assert found.draft.m_as("m") == pytest.approx(0.75)
    assert found.radius_y.m_as("m") == pytest.approx(4.138, abs=half_digit("4.138"))
    assert found.radius_y.m_as("m") * mass / 1000 == pytest.approx(43.875, abs=half_digit("43.875"))


@pytest.mark.outside(
    "afloat", "Derrett, Ship Stability for Masters and Mates, 5th ed., p. 142, example 2 (one fifth of its size)"
)
def test_a_box_shaped_vessel():
    """65 x 12 x 8 m, draft 4 m in salt water, KG 4 m: KB 2, BM 3, GM 1 m; moment at 5 degrees 278.9 t m."""
    scale, mass = 5, 65 * 12 * 4 * 1025 / 5**3
    found = lies([hull(12 / scale, 8 / scale, 65 / scale)], mass, z=4 / scale, density=SALT)

    assert found.buoyancy.m_as("m") * scale == pytest.approx(2)
    assert found.radius_y.m_as("m") * scale == pytest.approx(3)
    assert found.stiffness_y.m_as("m") * scale == pytest.approx(1)
    # The book rounds the sine of 5 degrees to 0.0872: 0.06 % more than it is.
    assert 3198 * found.stiffness_y.m_as("m") * scale * math.sin(math.radians(5)) == pytest.approx(278.9, rel=7e-4)


@pytest.mark.outside("afloat", "MIT 2.017J, problem 40, catamaran; I/V of its waterplane in full")
def test_a_catamaran_of_two_boxes():
    """Beam 6b over hulls of b: BM = 38/6 b^2/T, of which the printed 25/4 leaves out the hulls' own inertia."""
    beam, draft = 0.8, 0.4
    hulls = [hull(beam, 1.2, 5.0, name=str(y), y=Q(y, "m")) for y in (-2.5 * beam, 2.5 * beam)]
    found = lies(hulls, 2 * 1000 * beam * 5.0 * draft, z=0.5)

    assert found.radius_y.m_as("m") == pytest.approx(38 / 6 * beam**2 / draft)
    assert found.radius_y.m_as("m") == pytest.approx(25 / 4 * beam**2 / draft, rel=0.014)


@pytest.mark.outside(
    "afloat", "F. M. White, Fluid Mechanics, example 2.12: a box afloat with its centre at the waterline"
)
@pytest.mark.parametrize(("ratio", "stands"), [(2.44, False), (2.46, True)])
def test_a_box_stands_when_wider_than_2_45_of_its_draft(ratio, stands):
    """MG = L^2/(3H) - H/2, L half the width: it changes sign at width 2.45 H."""
    draft = 0.5
    width = ratio * draft
    curve = righting(
        mass=Q(1000 * width * draft * 6, "kg"),
        y=Q(0, "m"),
        z=Q(draft, "m"),
        floats=[hull(width, 2, 6.0)],
        density=FRESH,
        **ANY_DECK,
    )

    assert (curve.stiffness.m_as("m") > 0) is stands
    assert curve.stiffness.m_as("m") == pytest.approx((width / 2) ** 2 / (3 * draft) - draft / 2, abs=1e-9)


@pytest.mark.outside("afloat", "Den Hartog, Mechanics (1948), problem 77: heel of a box from a shift of its centre")
def test_a_shift_of_the_centre_heels_a_box():
    """Shift = alpha (b^2/(12 d) - d/2) for a small angle, the centre of gravity in the waterline."""
    b, d, delta = 3.0, 0.5, 1e-4
    found = lies([hull(b, 2.0, 5.0)], 1000 * b * d * 5.0, z=d, y=delta)

    assert found.list.m_as("rad") == pytest.approx(delta / (b**2 / (12 * d) - d / 2), rel=1e-4)


@pytest.mark.outside("afloat", "barge 6.0 x 2.4 m: tan rule, and clipping of the section with the root found")
@pytest.mark.parametrize(
    ("shift", "printed"), [((0, 80 * 1.0), "0.7835"), ((0, 300 * 0.8), "2.3472"), ((80 * 2.0, 0), "0.21756")]
)
def test_list_and_trim_of_a_barge(shift, printed):
    """2592 kg fresh, KG 0.5 m; a load moved across or along. List to 0.001 degrees."""
    found = lies([hull(2.4, 0.6, 6.0)], 2592, z=0.5, x=shift[0] / 2592, y=shift[1] / 2592)
    angle = found.list if shift[1] else found.trim

    assert angle.m_as("deg") == pytest.approx(float(printed), abs=0.001 if shift[1] else half_digit(printed))
    if shift[0]:
        assert 6000 * math.tan(found.trim.m_as("rad")) == pytest.approx(22.78, abs=half_digit("22.78"))


@pytest.mark.outside("afloat", "barge 6.0 x 2.4 m: closed form of a rectangle")
def test_metacentric_heights_of_a_barge():
    """BM and GM both ways, to 1e-4 m."""
    found = lies([hull(2.4, 0.6, 6.0)], 2592, z=0.5)

    for name, printed in (
        ("radius_y", "2.6667"),
        ("stiffness_y", "2.2567"),
        ("radius_x", "16.6667"),
        ("stiffness_x", "16.2567"),
    ):
        assert getattr(found, name).m_as("m") == pytest.approx(float(printed), abs=1e-4)


@pytest.mark.outside(
    "afloat", "examination item: 12 250 t, KM 8 m = KG, KB 3.8 m, 2 t moved 12 m, wall sided (one tenth)"
)
def test_a_vessel_without_stiffness_lists_by_the_cube_root():
    """tan^3 = 2 w d/(W BM): 5.58 degrees."""
    radius, draft = 0.42, 0.76
    breadth = math.sqrt(12 * draft * radius)
    length = 12250 / 1000 / (draft * breadth)
    found = lies([hull(breadth, 2.0, length)], 12250, z=0.8, y=2 * 12 / 12250 / 10)

    assert found.list.m_as("deg") == pytest.approx(5.58, abs=half_digit("5.58"))


@pytest.mark.outside("afloat", "Derrett, Ship Stability for Masters and Mates, 5th ed., p. 241: angle of loll")
def test_a_tender_box_lolls():
    """The tangent is sqrt(-2 GM/BM) for vertical sides, to either side."""
    breadth, draft, gravity = 1.2, 0.5, 0.52
    stiff = draft / 2 + breadth**2 / (12 * draft) - gravity
    found = lies([hull(breadth, 1.2, 5.0)], 1000 * breadth * draft * 5.0, z=gravity)

    expected = math.degrees(math.atan(math.sqrt(-2 * stiff / (breadth**2 / (12 * draft)))))
    assert abs(found.list.m_as("deg")) == pytest.approx(expected, abs=1e-3)


# -- large angles ----------------------------------------------------------------------------------


@pytest.mark.outside(
    "righting", "Derrett, Ship Stability for Masters and Mates, 5th ed., p. 142, example 1 (one tenth of a box like it)"
)
def test_the_wall_sided_lever_of_a_ship():
    """KB 3, KM 6, KG 5.5 m at 25 degrees: GZ 0.35 m."""
    draft, radius = 0.6, 0.3
    breadth = math.sqrt(12 * draft * radius)
    mass = 1000 * breadth * draft * 4
    curve = righting(mass=Q(mass, "kg"), y=Q(0, "m"), z=Q(0.55, "m"), floats=[hull(breadth, 2.0, 4.0)], density=FRESH,
        **ANY_DECK)

    assert 10 * curve.lever[25].m_as("m") == pytest.approx(0.35, abs=half_digit("0.35"))
    assert 10 * curve.lever[25].m_as("m") == pytest.approx(0.3492, abs=half_digit("0.3492"))


@pytest.mark.outside(
    "righting", "box 65 x 12 x 8 m in salt water: wall-sided formula, and clipping past the deck edge (one fifth)"
)
@pytest.mark.parametrize(("angle", "printed"), [(25, "0.5605"), (35, "0.9868"), (40, "1.1337")])
def test_the_lever_of_a_box_before_and_after_its_deck_edge_goes_in(angle, printed):
    """The edge enters at 33.69 degrees; past it the formula is wrong by 0.01 m at 35 and 0.19 m at 40."""
    curve = righting(
        mass=Q(3198e3 / 125, "kg"), y=Q(0, "m"), z=Q(0.8, "m"), floats=[hull(2.4, 1.6, 13.0)], density=SALT, **ANY_DECK
    )

    assert 5 * curve.lever[angle].m_as("m") == pytest.approx(float(printed), abs=half_digit(printed))


TWIN_TUBES = [
    (2, "0.1302", "0.2188"),
    (5, "0.3197", "0.5322"),
    (8, "0.4936", "0.7993"),
    (10, "0.5961", "0.8980"),
    (12, "0.6840", "0.8742"),
    (15, "0.7788", "0.8365"),
    (17, "0.8055", "0.8101"),
    (20, "0.7687", "0.7687"),
    (25, "0.6950", "0.6950"),
    (30, "0.6160", "0.6160"),
    (40, "0.4446", "0.4446"),
    (60, "0.0670", "0.0670"),
]


@pytest.mark.outside("righting", "twin tubes 0.60 m, 2 m apart: segments with the axis rule, and clipping of polygons")
@pytest.mark.parametrize(("mass", "column", "stiff"), [(1696.46, 1, "3.7441"), (1000, 2, "6.3006")])
def test_the_lever_of_twin_tubes(mass, column, stiff):
    """KG 0.80 m above the undersides; levers to 2e-4 m (facets of the polygons), GM to 1e-4 m."""
    tubes = [bare(name=str(y), diameter=Q(600, "mm"), length=Q(6, "m"), y=Q(y, "m"), z=Q(0.3, "m")) for y in (-1, 1)]
    curve = righting(mass=Q(mass, "kg"), y=Q(0, "m"), z=Q(0.8, "m"), floats=tubes, density=FRESH, **ANY_DECK)

    assert curve.stiffness.m_as("m") == pytest.approx(float(stiff), abs=1e-4)
    for row in TWIN_TUBES:
        assert curve.lever[row[0]].m_as("m") == pytest.approx(float(row[column]), abs=2e-4), f"{row[0]} degrees"


@pytest.mark.outside("righting", "shapely: the section rotated, clipped at the waterline found by brentq")
@pytest.mark.parametrize("degrees", [7, 18, 33])
def test_the_lever_of_four_tubes_by_clipping(degrees):
    """Tarn Locker's four tubes; polygons of 4000 sides leave 1e-5 m."""
    mass, gravity, ys = 703.6, -0.019, (-0.85, -0.325, 0.325, 0.85)
    curve = righting(mass=Q(mass, "kg"), y=Q(0, "m"), z=Q(gravity, "m"), floats=floats(ys), density=FRESH,
        **ANY_DECK)
    turned = [affinity.rotate(Point(y, -0.26).buffer(0.25, quad_segs=1000), -degrees, origin=(0, gravity)) for y in ys]

    def wetted(level):
        return [one.intersection(box(-5, -5, 5, level)) for one in turned]

    level = brentq(lambda z: 3000 * sum(p.area for p in wetted(z)) - mass, -3, 3, xtol=1e-10)
    under = [p for p in wetted(level) if p.area > 0]
    lever = sum(p.area * p.centroid.x for p in under) / sum(p.area for p in under)

    assert curve.lever[degrees].m_as("m") == pytest.approx(lever, abs=1e-5)
