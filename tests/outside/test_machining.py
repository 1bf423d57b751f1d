"""Machining against printed figures, and against geometry and motion worked another way."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import linprog
from shapely import Point, Polygon, affinity

from kit.cutter_paths import Operation
from kit.flattening import face_after_pour, stock_facing
from kit.grooves import scallop, v_groove
from kit.hold_down import hold_down
from kit.inside_corners import corner_relief, ramp
from kit.move_time import run_time, timed_run
from kit.operations import operations
from kit.quantities import Q
from kit.router import router_cut
from kit.shop_tools import drilling, planer_marks, saw_cut


def half_digit(printed):
    """Half of the last digit of a printed number."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


def cut(**changed):
    """A 3 mm cutter in hardwood."""
    given = {"diameter": Q(3, "mm"), "flutes": 2, "speed": Q(18_000, "rpm"), "chip_load": Q(0.05, "mm"),
             "pass_depth": Q(2, "mm"), "step_over": Q(1.2, "mm"), "stock": "hardwood", "spindle_power": Q(500, "W")}
    return router_cut(**given | changed)


@pytest.mark.outside("router_cut", "worked by hand: F = z n fz, in millimetres and in inches")
@pytest.mark.parametrize(("speed", "load", "unit", "printed"), [
    (18_000, Q(0.10, "mm"), "mm/min", "3600"), (16_000, Q(0.15, "mm"), "mm/min", "4800"),
    (18_000, Q(0.005, "in"), "in/min", "180"), (18_000, Q(0.05, "mm"), "mm/min", "1800")])
def test_feeds_worked_by_hand(speed, load, unit, printed):
    """Products of the printed numbers, exactly; the last is the feed of the demo build."""
    assert cut(speed=Q(speed, "rpm"), chip_load=load).feed.m_as(unit) == pytest.approx(float(printed), rel=1e-9)


@pytest.mark.outside("router_cut", "BioResources 18(3) 5334 (2023): 15 000 rpm at 3 and 6 m/min, two edges")
@pytest.mark.parametrize(("feed", "load"), [("3", "0.10"), ("6", "0.20")])
def test_feed_per_tooth_of_a_published_study(feed, load):
    """The feeds were read; the feed per tooth follows for two edges, which the study does not print."""
    found = cut(speed=Q(15_000, "rpm"), chip_load=Q(float(load), "mm"))

    assert found.feed.m_as("m/min") == pytest.approx(float(feed), abs=half_digit(feed) * 1e-6)


@pytest.mark.outside("router_cut", "numpy: an edge moved through the wood in ten thousand steps")
@pytest.mark.parametrize("share", [0.05, 0.1, 0.3, 0.5, 0.8, 1.0])
def test_chip_thickness_by_moving_an_edge_through_the_wood(share):
    """Thickness fz sin(turn) where the edge is within the step-over: greatest, mean over the arc, and the arc."""
    found = cut(diameter=Q(10, "mm"), step_over=Q(10 * share, "mm"), chip_load=Q(0.1, "mm"))
    turn = np.linspace(0, np.pi, 200_001)
    deep_in = 5 * (1 - np.cos(turn)) <= 10 * share * (1 + 1e-12)
    chips = 0.1 * np.sin(turn[deep_in])

    assert found.peak_chip.m_as("mm") == pytest.approx(chips.max(), rel=1e-4)
    assert found.mean_chip.m_as("mm") == pytest.approx(chips.mean(), rel=1e-4)
    assert found.engagement.m_as("rad") == pytest.approx(turn[deep_in].max(), abs=1e-4)


@pytest.mark.outside("router_cut", "worked by hand: ae/D 0.1 gives a peak of 0.600 and a mean of 0.311 of fz")
def test_chip_thinning_worked_by_hand():
    """Printed to three decimals."""
    found = cut(diameter=Q(10, "mm"), step_over=Q(1, "mm"), chip_load=Q(0.1, "mm"))

    assert found.thinning.m_as("") == pytest.approx(0.600, abs=0.0005)
    assert (found.mean_chip / Q(0.1, "mm")).m_as("") == pytest.approx(0.311, abs=0.0005)
    assert found.full_chip_feed.m_as("mm/min") == pytest.approx(found.feed.m_as("mm/min") / 0.6, rel=1e-9)


@pytest.mark.outside("router_cut", "energy: power times time is the volume cut times its energy; torque times turns")
def test_power_and_torque_by_energy():
    """A minute's cut holds 4.32 cm3 at 50 J each; the torque turns 2 pi n."""
    found = cut()

    assert (found.power * Q(1, "min")).m_as("J") == pytest.approx(4.32 * 50, rel=1e-9)
    turning = 2 * math.pi * 18_000 / 60
    assert found.torque.m_as("N*m") * turning == pytest.approx(found.power.m_as("W"), rel=1e-9)


@pytest.mark.outside("v_groove", "worked by hand: mouths and angles of V cutters")
@pytest.mark.parametrize(("mouth", "angle", "tip", "printed"), [
    (6, 90, 0, "3.000"), (6, 60, 0, "5.196"), (6, 120, 0, "1.732"), (3, 60, 0.2, "2.425"), (5, 60, 0, "4.33")])
def test_depths_of_v_grooves_worked_by_hand(mouth, angle, tip, printed):
    """To half the last digit; the last is the lettering of the demo build."""
    found = v_groove(mouth=Q(mouth, "mm"), angle=Q(angle, "deg"), tip=Q(tip, "mm"), diameter=Q(12, "mm"),
                     thickness=Q(26, "mm"))

    assert found.depth.m_as("mm") == pytest.approx(float(printed), abs=half_digit(printed))


@pytest.mark.outside("v_groove", "shapely: the triangle of the cutter met with the wood")
@pytest.mark.parametrize(("mouth", "angle", "tip", "deepest"), [
    (5, 60, 0, None), (5, 60, 0.3, None), (8, 90, 0.2, 2.5), (20, 120, 0, 3), (3, 30, 0.1, 40)])
def test_section_and_floor_of_a_groove_by_clipping(mouth, angle, tip, deepest):
    """A cutter that runs along both flanks at the depth allowed leaves the section, floor and flank worked out."""
    found = v_groove(mouth=Q(mouth, "mm"), angle=Q(angle, "deg"), tip=Q(tip, "mm"), diameter=Q(60, "mm"),
                     thickness=Q(200, "mm"), deepest=None if deepest is None else Q(deepest, "mm"), length=Q(1, "m"))
    depth, slope = found.depth.m_as("mm"), math.tan(math.radians(angle / 2))
    tool = Polygon([(-tip / 2, -depth), (tip / 2, -depth), (tip / 2 + slope * 100, 100 - depth),
                    (-tip / 2 - slope * 100, 100 - depth)])
    wood = Polygon([(-60, 0), (60, 0), (60, -200), (-60, -200)])
    run = mouth / 2 - (tip / 2 + slope * depth)
    cut_away = affinity.translate(tool, -run).union(affinity.translate(tool, run)).convex_hull.intersection(wood)

    assert found.section.m_as("mm^2") == pytest.approx(cut_away.area, rel=1e-9)
    assert found.volume.m_as("mL") == pytest.approx(cut_away.area, rel=1e-9)
    at_floor = cut_away.intersection(Polygon([(-60, -depth), (60, -depth), (60, 1e-6 - depth), (-60, 1e-6 - depth)]))
    assert found.floor.m_as("mm") == pytest.approx(at_floor.bounds[2] - at_floor.bounds[0], abs=1e-5)
    wide, high = (mouth - found.floor.m_as("mm")) / 2, depth
    assert found.flank.m_as("mm") == pytest.approx(math.hypot(wide, high), rel=1e-6)


@pytest.mark.outside("v_groove", "recesses: what resin fills is what the V cuts away")
def test_what_a_v_cuts_is_what_resin_fills():
    """The letters of the demo build, worked out by the stage of the resin."""
    from kit.recesses import Recess, recesses

    letters = Recess(name="letters", shape="V-groove", width=Q(5, "mm"), length=Q(0.9, "m"), angle=Q(60, "deg"))
    found = v_groove(mouth=Q(5, "mm"), angle=Q(60, "deg"), diameter=Q(12, "mm"), thickness=Q(26, "mm"),
                     length=Q(0.9, "m"))

    assert found.volume.m_as("mL") == pytest.approx(recesses(pockets=[letters]).volume.m_as("mL"), rel=1e-12)


@pytest.mark.outside("scallop", "worked by hand, first and fourth also read in print: ridges under a ball")
@pytest.mark.parametrize(("radius", "step", "printed"), [(3, 0.5, "0.01043"), (3, 1, "0.04196"), (1.5, 0.3, "0.00752")])
def test_ridges_worked_by_hand(radius, step, printed):
    """To half the last digit."""
    found = scallop(tip="ball", diameter=Q(2 * radius, "mm"), step_over=Q(step, "mm"))

    assert found.ridge.m_as("mm") == pytest.approx(float(printed), abs=half_digit(printed))


@pytest.mark.outside("scallop", "worked by hand: step-over for a ridge")
@pytest.mark.parametrize(("ridge", "printed"), [(0.005, "0.3463"), (0.02, "0.6917")])
def test_step_over_for_a_ridge_worked_by_hand(ridge, printed):
    """To half the last digit, and back again."""
    found = scallop(tip="ball", diameter=Q(6, "mm"), step_over=Q(0.5, "mm"), wanted=Q(ridge, "mm"))
    again = scallop(tip="ball", diameter=Q(6, "mm"), step_over=found.step_for_wanted)

    assert found.step_for_wanted.m_as("mm") == pytest.approx(float(printed), abs=half_digit(printed))
    assert again.ridge.m_as("mm") == pytest.approx(ridge, rel=1e-9)


@pytest.mark.outside("scallop", "scipy: the lower envelope of two tools integrated from path to path")
@pytest.mark.parametrize(("tip", "angle"), [("ball", 90), ("V", 60), ("V", 120)])
def test_mean_of_what_is_left_by_integration(tip, angle):
    """Least of two neighbouring tools at each place, its greatest value and its mean."""
    size, step = 6.0, 1.0
    found = scallop(tip=tip, diameter=Q(size, "mm"), step_over=Q(step, "mm"), angle=Q(angle, "deg"))

    def left(x):
        heights = []
        for middle in (0.0, step):
            out = abs(x - middle)
            heights.append(size / 2 - math.sqrt(size**2 / 4 - out**2) if tip == "ball"
                           else out / math.tan(math.radians(angle / 2)))
        return min(heights)

    area, _ = quad(left, 0, step, points=[step / 2])
    assert found.mean_left.m_as("mm") == pytest.approx(area / step, rel=1e-7)
    assert found.ridge.m_as("mm") == pytest.approx(left(step / 2), rel=1e-9)


def sides(corner):
    """A large corner of an angle, with its point at the origin and one side along x."""
    turn = math.radians(corner)
    return Polygon([(0, 0), (60, 0), (60 * math.cos(turn / 2) * 1.2, 60 * math.sin(turn / 2) * 1.2),
                    (60 * math.cos(turn), 60 * math.sin(turn))])


@pytest.mark.outside("corner_relief", "shapely: what a round tool can reach in a corner")
@pytest.mark.parametrize("corner", [50, 60, 90, 120, 140])
def test_wood_left_in_a_corner_by_clipping(corner):
    """The corner shrunk and grown again by the tool: its area is less by what is left in the corner."""
    found = corner_relief(diameter=Q(6, "mm"), relief="none", corner=Q(corner, "deg"))
    pocket = sides(corner)
    reached = pocket.buffer(-3).buffer(3, quad_segs=4096)
    near = Point(0, 0).buffer(25)

    lost = pocket.difference(reached).intersection(near).area
    assert found.area_left.m_as("mm^2") == pytest.approx(lost, rel=1e-4)
    assert found.left_in.m_as("mm") == pytest.approx(reached.distance(Point(0, 0)), rel=1e-4)


@pytest.mark.outside("corner_relief", "shapely: a sharp corner laid into the relieved one")
@pytest.mark.parametrize("corner", [60, 90, 120])
@pytest.mark.parametrize("relief", ["across the corner", "along one side"])
def test_a_relief_lets_a_sharp_corner_in_and_cuts_no_further_than_said(corner, relief):
    """The tool at the centre given touches the point; beyond each side it cuts no further than the overcut."""
    found = corner_relief(diameter=Q(6, "mm"), relief=relief, corner=Q(corner, "deg"))
    centre = Point(found.centre_along.m_as("mm"), found.centre_off.m_as("mm"))
    tool = centre.buffer(3, quad_segs=2048)
    turn = math.radians(corner)
    # How far the tool reaches beyond the line of each side.
    below = -tool.bounds[1]
    other = max(x * -math.sin(turn) + y * math.cos(turn) for x, y in tool.exterior.coords)

    assert centre.distance(Point(0, 0)) == pytest.approx(3, rel=1e-9)
    assert max(below, other) == pytest.approx(found.overcut.m_as("mm"), abs=1e-5)
    line = Polygon([(-60 * math.cos(turn), -60 * math.sin(turn)), (60 * math.cos(turn), 60 * math.sin(turn)),
                    (60 * math.cos(turn), 60 * math.sin(turn) + 1e-7)])
    assert tool.intersection(line.exterior).length / 2 == pytest.approx(found.opening.m_as("mm"), rel=1e-3)
    swept = Point(*_stop(corner)).buffer(3, quad_segs=2048).union(tool).convex_hull
    rounded = sides(corner).buffer(-3).buffer(3, quad_segs=2048)
    left = sides(corner).difference(rounded).difference(swept).intersection(Point(0, 0).buffer(25))
    assert left.area < 1e-3


def _stop(corner):
    """Centre of the tool where it touches both sides."""
    half = math.radians(corner / 2)
    return 3 / math.tan(half), 3.0


@pytest.mark.outside("corner_relief", "shapely: a rounded piece with clearance inside an unrelieved corner")
@pytest.mark.parametrize("corner", [60, 90, 120])
@pytest.mark.parametrize("play", [0.0, 0.1, 0.3])
def test_least_rounding_of_the_piece_by_laying_it_in(corner, play):
    """The piece with the rounding worked out touches the arc; with a tenth less it lies in the wood."""
    found = corner_relief(diameter=Q(6, "mm"), relief="none", corner=Q(corner, "deg"), play=Q(play, "mm"))
    needed = found.least_radius.m_as("mm")
    pocket = sides(corner).buffer(-3).buffer(3, quad_segs=2048)

    def overlap(radius):
        piece = sides(corner).buffer(-play - radius, join_style="mitre").buffer(radius, quad_segs=2048)
        return piece.difference(pocket).intersection(Point(0, 0).buffer(20)).area

    assert overlap(needed) < 2e-4
    assert overlap(needed - 0.1) > overlap(needed) + 1e-5


def walked(length, segments, feed, acceleration):
    """Time of a path by its greatest possible speed at each place, integrated along every piece."""
    each = length / segments

    def slowness(x):
        return 1 / min(feed, math.sqrt(2 * acceleration * x), math.sqrt(2 * acceleration * (each - x)))

    spot = min(feed**2 / (2 * acceleration), each / 2)
    parts = [(0, spot), (spot, each - spot), (each - spot, each)]
    return segments * sum(quad(slowness, low, high)[0] for low, high in parts if high > low)


@pytest.mark.outside("run_time", "scipy: the greatest speed at each place integrated along the path")
@pytest.mark.parametrize(("each", "feed", "rate"), [(0.3, 0.05, 0.4), (0.02, 0.05, 0.4), (0.001, 0.05, 0.4),
                                                    (0.004, 0.05, 0.3), (0.1, 0.1, 2.0)])
def test_time_of_a_path_by_integration(each, feed, rate):
    """Long pieces that hold the feed, short ones that never reach it."""
    found = run_time(length=Q(10 * each, "m"), segments=10, feed=Q(feed, "m/s"), acceleration=Q(rate, "m/s^2"))

    assert found.time.m_as("s") == pytest.approx(walked(10 * each, 10, feed, rate), rel=1e-6)


@pytest.mark.outside("timed_run", "scipy: a run integrated along its path, then worked back")
def test_acceleration_is_worked_back_from_a_run():
    """What went in comes out."""
    taken = walked(6.0, 39, 0.05, 0.4)
    found = timed_run(length=Q(6, "m"), segments=39, feed=Q(50, "mm/s"), time=Q(taken, "s"))

    assert found.acceleration.m_as("m/s^2") == pytest.approx(0.4, rel=1e-6)


@pytest.mark.outside("operations", "worked by hand: a raster of 300 x 200 mm at 3000 mm/min")
@pytest.mark.parametrize(("step", "lines", "printed"), [(1.0, 201, "20.17"), (0.5, 401, "40.17")])
def test_a_raster_worked_by_hand(step, lines, printed):
    """Lines, path and time at an even feed; a machine that starts at once takes no longer."""
    face = Operation(name="face", cut="facing", length=Q(300, "mm"), area=Q(600, "cm^2"), depth=Q(0.4, "mm"))
    found = operations(
        work=[face], diameter=Q(6, "mm"), feed=Q(3000, "mm/min"), pass_depth=Q(1, "mm"), step_over=Q(step, "mm"),
        thickness=Q(26, "mm"), spindle_power=Q(500, "W"), acceleration=Q(20, "m/s^2"), slope=Q(45, "deg"),
        change=Q(0, "min"), travel=Q(0, "mm"), lift=Q(0.5, "mm")).by_operation[0]

    assert found.path.m_as("mm") == pytest.approx(lines * 300 + 200, rel=1e-9)
    assert (found.path / found.feed).m_as("min") == pytest.approx(float(printed), abs=half_digit(printed))
    assert found.time.m_as("min") == pytest.approx(float(printed), rel=0.02)


@pytest.mark.outside("operations", "shapely: the area swept by the path of a pocket")
@pytest.mark.parametrize(("long", "wide", "diameter", "step"), [(65, 36, 3, 1.2), (120, 40, 6, 2.4), (30, 30, 6, 5.9)])
def test_the_path_of_a_pocket_clears_it(long, wide, diameter, step):
    """The lines and the lap whose length is worked out, drawn out: the tool clears all but the corners."""
    from shapely import LineString, unary_union

    x, y = long - diameter, wide - diameter
    lines = [min(n * step, y) for n in range(math.floor(y / step + 1e-9) + 1)]
    raster = LineString([p for n, at in enumerate(lines) for p in ((0, at), (x, at))[:: -1 if n % 2 else 1]])
    lap = LineString([(0, 0), (x, 0), (x, y), (0, y), (0, 0)])
    cleared = unary_union([raster, lap]).buffer(diameter / 2, quad_segs=64)
    pocket = Operation(name="p", cut="pocket", length=Q(long, "mm"), area=Q(long * wide, "mm^2"), depth=Q(1, "mm"))
    found = operations(work=[pocket], diameter=Q(diameter, "mm"), feed=Q(1800, "mm/min"), pass_depth=Q(2, "mm"),
                       step_over=Q(step, "mm"), thickness=Q(26, "mm"), spindle_power=Q(500, "W"))

    corners = (4 - math.pi) * (diameter / 2) ** 2
    assert cleared.area == pytest.approx(long * wide - corners, rel=2e-3)
    # The kit counts the last step up to the far wall with the raster's steps.
    assert found.by_operation[0].path.m_as("mm") == pytest.approx(
        len(lines) * x + y + 2 * (x + y), rel=1e-9)


@pytest.mark.outside("planer_marks", "Wengert, knife marks per inch: 3600 rpm, 3 knives, 30 ft/min are 30 marks")
def test_knife_marks_as_printed():
    """Turns times knives by twelve times the feed."""
    found = planer_marks(knives=3, speed=Q(3600, "rpm"), feed=Q(30, "ft/min"), head=Q(100, "mm"))

    assert found.per_inch.m_as("1/in") == pytest.approx(30, rel=1e-9)
    assert found.fine.limit.m_as("1/in") == pytest.approx(20)


@pytest.mark.outside("planer_marks", "worked by hand: 12 m/min, 8500 rpm, two knives, 0.706 mm")
def test_pitch_of_knife_marks_worked_by_hand():
    """Printed to three decimals."""
    found = planer_marks(knives=2, speed=Q(8500, "rpm"), feed=Q(12, "m/min"), head=Q(50, "mm"))

    assert found.pitch.m_as("mm") == pytest.approx(0.706, abs=0.0005)


@pytest.mark.outside("planer_marks", "two circles of the head, a pitch apart, met halfway")
def test_waves_between_knife_marks_by_two_circles():
    """The rule pitch^2/(4 D) against the circles themselves."""
    found = planer_marks(knives=1, speed=Q(3000, "rpm"), feed=Q(9, "m/min"), head=Q(60, "mm"))
    ridge = 30 - math.sqrt(30**2 - 1.5**2)

    assert found.pitch.m_as("mm") == pytest.approx(3)
    assert found.wave.m_as("mm") == pytest.approx(ridge, rel=1e-3)


@pytest.mark.outside("saw_cut", "numpy: a tooth followed through the wood; energy of the kerf")
def test_chips_of_a_saw_by_following_a_tooth():
    """Thickness is the feed across the rim; teeth in the wood are those between the faces; energy is the kerf's."""
    found = saw_cut(blade=Q(254, "mm"), teeth=24, speed=Q(4000, "rpm"), feed=Q(5, "m/min"), height=Q(28, "mm"),
                    above=Q(8, "mm"), kerf=Q(3, "mm"), length=Q(6, "m"))
    turn = np.linspace(0, np.pi / 2, 400_001)
    height = 127 * np.cos(turn)
    within = (height <= 127 - 8) & (height >= 127 - 36)
    tooth = 5000 / (4000 * 24)

    assert found.tooth_feed.m_as("mm") == pytest.approx(tooth, rel=1e-9)
    assert found.mean_chip.m_as("mm") == pytest.approx((tooth * np.sin(turn[within])).mean(), rel=1e-4)
    assert found.in_wood.m_as("") == pytest.approx(24 * np.ptp(turn[within]) / (2 * np.pi), rel=1e-4)
    assert (found.power * found.time).m_as("J") == pytest.approx(50 * 600 * 0.3 * 2.8, rel=1e-9)


@pytest.mark.outside("drilling", "worked by hand: 118 deg point, 0.2 mm a turn at 1500 rpm")
def test_a_hole_worked_by_hand():
    """The point of a 118 deg drill is 0.300 of its diameter, as drill tables print it."""
    found = drilling(diameter=Q(10, "mm"), speed=Q(1500, "rpm"), turn_feed=Q(0.2, "mm"), depth=Q(28, "mm"),
                     holes=Q(60), moving=Q(0, "s"))

    assert found.point.m_as("mm") == pytest.approx(3.00, abs=0.005)
    assert found.feed.m_as("mm/min") == pytest.approx(300)
    assert found.time.m_as("min") == pytest.approx(31.00 / 300 * 60, abs=0.005)


@pytest.mark.outside("ramp", "numpy: the length of a helix added up from short chords")
def test_a_helix_by_adding_up_chords():
    """Distance, slope and whole turns."""
    found = ramp(way="helix", depth=Q(5, "mm"), feed=Q(1200, "mm/min"), diameter=Q(6, "mm"), room=Q(5, "mm"),
                 slope=Q(4, "deg"))
    turns = int(found.legs.m_as(""))
    t = np.linspace(0, 2 * np.pi * turns, 400_001)
    path = np.stack([2.5 * np.cos(t), 2.5 * np.sin(t), 5 * t / t[-1]])

    assert found.distance.m_as("mm") == pytest.approx(np.linalg.norm(np.diff(path), axis=0).sum(), rel=1e-8)
    assert turns == math.ceil(5 / (math.pi * 5 * math.tan(math.radians(4))))
    assert found.time.m_as("s") == pytest.approx(found.distance.m_as("mm") / 20, rel=1e-9)


@pytest.mark.outside("stock_facing", "scipy: the plane that leaves the thickest flat board")
@pytest.mark.parametrize("gap", [1.0, 4.0])
def test_a_twist_costs_half_its_gap_by_the_best_plane(gap):
    """Least spread of a twisted face about any plane, by linear programming over its whole grid."""
    x, y = (grid.ravel() for grid in np.meshgrid(np.linspace(-1, 1, 21), np.linspace(-1, 1, 21)))
    height = gap * (1 + x) * (1 + y) / 4
    # Unknowns: plane a + b x + c y, highest and lowest residual.
    plane = np.stack([np.ones_like(x), x, y], axis=1)
    above = np.hstack([-plane, -np.ones((len(x), 1)), np.zeros((len(x), 1))])
    below = np.hstack([plane, np.zeros((len(x), 1)), np.ones((len(x), 1))])
    best = linprog([0, 0, 0, 1, -1], A_ub=np.vstack([above, below]), b_ub=np.concatenate([-height, height]),
                   bounds=[(None, None)] * 5)
    found = stock_facing(finished=Q(20, "mm"), thickness=Q(40, "mm"), twist=Q(gap, "mm"))

    assert found.shape.m_as("mm") == pytest.approx(best.fun, abs=1e-7)


@pytest.mark.outside("stock_facing", "numpy: the thickest flat slab inside a cupped board")
def test_a_cup_costs_its_height_once():
    """A board of even thickness bent to a shallow arc: lowest point of its top less highest of its underside."""
    across = np.linspace(-1, 1, 2001)
    under = 2.0 * (1 - across**2)
    found = stock_facing(finished=Q(20, "mm"), thickness=Q(30, "mm"), cup=Q(2, "mm"), skim=Q(0, "mm"))

    assert 30 - found.shape.m_as("mm") == pytest.approx((under + 30).min() - under.max(), abs=1e-9)


@pytest.mark.outside("stock_facing", "common practice, no source: 1 1/8 in is brought to about 0.8 in first")
def test_rough_stock_of_the_trade_leaves_room_to_be_flattened():
    """From 1 1/8 in to 0.8 in there are 8 mm: a cup of 3, a twist of 4 and a skim on each face fit."""
    found = stock_facing(finished=Q(0.8, "in"), thickness=Q("1 1/8 in"), cup=Q(3, "mm"), twist=Q(4, "mm"))

    assert found.thick.verdict == "meets"
    assert found.spare.m_as("mm") == pytest.approx(28.575 - 20.32 - 7, abs=0.001)


@pytest.mark.outside("face_after_pour", "volumes: what is left of recess and top by what is planed away")
def test_facing_by_volumes():
    """Wood and resin lose the same layer; the recess holds less by its opening times the cut."""
    found = face_after_pour(recess_depth=Q(4, "mm"), thickness=Q(26, "mm"), dish=Q(0.2, "mm"), proud=Q(0.3, "mm"),
                            least_thickness=Q(25, "mm"))
    before, opening = 25.4, 63.5
    resin_left = before - opening * found.cut.m_as("mm") / 10

    assert resin_left / opening * 10 == pytest.approx(found.recess_left.m_as("mm"), rel=1e-9)
    assert 26 - found.cut.m_as("mm") == pytest.approx(found.thickness_left.m_as("mm"))


@pytest.mark.outside("hold_down", "worked by hand: friction under four clamps, three tabs in shear")
def test_holding_worked_by_hand():
    """0.25 (4 x 500 - 0.5 x 40) = 495 N; 3 x 6 x 1.5 x 4 = 108 N."""
    found = hold_down(force=Q(20, "N"), edges=2, clamps=4, clamp_force=Q(500, "N"), outline=Q(0.3, "m"))

    assert found.grip.m_as("N") == pytest.approx(495)
    assert found.tabs == Q(3)
    assert found.tab_hold.m_as("N") == pytest.approx(108)
    assert found.held.share == pytest.approx(160 / 495)
