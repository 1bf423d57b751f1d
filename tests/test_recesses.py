"""Recesses: volume, wetted area, depth and its doubt."""

from __future__ import annotations

import math

import pytest

from kit.calculator import InputError
from kit.quantities import Q
from kit.recesses import Recess, recesses
from tests.one_by_one import agrees_one_by_one

MM = {
    "rectangle": {"width": 30, "length": 100, "depth": 4},
    "hexagon": {"width": 30, "depth": 4},
    "circle": {"width": 40, "depth": 4},
    "ring": {"width": 300, "inner": 284, "depth": 4},
    "border": {"width": 60, "length": 100, "stroke": 8, "depth": 4},
    "kite": {"width": 36, "length": 130, "depth": 4},
    "tapered V": {"width": 5, "narrow": 1, "length": 900},
    "V-groove": {"width": 5, "length": 900},
    "straight groove": {"width": 6, "length": 500, "depth": 4},
    "ball groove": {"width": 6, "length": 500, "depth": 2},
}


def recess(shape, name="one", count=1, angle=Q(60, "deg"), **sizes):
    """A recess of a shape, at its everyday sizes but for those given in mm."""
    cells = {key: Q(value, "mm") for key, value in (MM[shape] | sizes).items() if value is not None}
    return Recess(name=name, shape=shape, count=count, angle=angle, **cells)


def only(shape, doubt=Q(0.2, "mm"), **given):
    """What recesses of one row hold."""
    return recesses(pockets=[recess(shape, **given)], depth_doubt=doubt)


def volume(shape, **given):
    """Volume in mm3."""
    return only(shape, **given).volume.m_as("mm^3")


def wetted(shape, **given):
    """Walls and floor in mm2."""
    return only(shape, **given).wetted.m_as("mm^2")


def test_volumes_of_sharp_shapes():
    """Area times depth, by the areas of school."""
    assert volume("rectangle") == pytest.approx(30 * 100 * 4)
    assert volume("hexagon") == pytest.approx(math.sqrt(3) / 2 * 30**2 * 4)
    assert volume("circle") == pytest.approx(math.pi * 20**2 * 4)
    assert volume("ring") == pytest.approx(math.pi * (150**2 - 142**2) * 4)
    assert volume("kite") == pytest.approx(130 * 36 / 2 * 4)
    assert volume("straight groove") == pytest.approx(6 * 500 * 4)


def test_walls_and_floors_of_sharp_shapes():
    """Floor and perimeter times depth; a groove has two walls, its ends are left out."""
    assert wetted("rectangle") == pytest.approx(3000 + 260 * 4)
    assert wetted("hexagon") == pytest.approx(math.sqrt(3) / 2 * 900 + 6 * 30 / math.sqrt(3) * 4)
    assert wetted("circle") == pytest.approx(math.pi * (400 + 40 * 4))
    assert wetted("ring") == pytest.approx(math.pi * (150**2 - 142**2) + math.pi * 584 * 4)
    assert wetted("kite") == pytest.approx(130 * 18 + 4 * math.hypot(65, 18) * 4)
    assert wetted("straight groove") == pytest.approx(500 * (6 + 2 * 4))


def test_a_waist_off_the_middle_leaves_the_area_of_a_kite_and_lengthens_its_sides():
    """The area hangs on the diagonals alone."""
    assert volume("kite", waist=40) == pytest.approx(volume("kite"))
    assert wetted("kite", waist=40) == pytest.approx(130 * 18 + 2 * 4 * (math.hypot(40, 18) + math.hypot(90, 18)))


@pytest.mark.parametrize(("shape", "lost"), [("rectangle", (4 - math.pi) * 9), ("hexagon", 0.32251 * 9)])
def test_rounded_corners_lose_their_share(shape, lost):
    """Four square corners of 3 mm lose 0.858 r2, six of 120 degrees 0.32251 r2."""
    assert volume(shape) - volume(shape, corner_radius=3) == pytest.approx(lost * 4, rel=1e-4)


def test_a_kite_with_equal_diagonals_is_a_square():
    """Its rounded corners lose what those of a square lose."""
    square = volume("rectangle", width=50, length=50, corner_radius=4)

    diagonal = 50 * math.sqrt(2)
    assert volume("kite", width=diagonal, length=diagonal, corner_radius=4) == pytest.approx(square)


def test_a_fully_rounded_square_is_a_circle():
    """A corner radius of half the side leaves the circle that fits inside."""
    assert volume("rectangle", width=40, length=40, corner_radius=20) == pytest.approx(volume("circle"))
    assert wetted("rectangle", width=40, length=40, corner_radius=20) == pytest.approx(wetted("circle"))


def test_a_v_groove_by_its_mouth():
    """60 degrees, 6 mm wide: 5.196 mm deep, half a mouth times depth in section, two slants of 6 mm wetted."""
    found = only("V-groove", width=6, length=1000)

    assert found.depth.m_as("mm") == pytest.approx(3 * math.sqrt(3))
    assert found.volume.m_as("mm^3") == pytest.approx(3 * 3 * math.sqrt(3) * 1000)
    assert found.wetted.m_as("mm^2") == pytest.approx(2 * 6 * 1000)


def test_a_v_groove_by_its_depth():
    """5 mm deep: 14.43 mm2 at 60 degrees and 25 at 90."""
    assert volume("V-groove", width=None, depth=5, length=1) == pytest.approx(25 * math.tan(math.radians(30)))
    assert volume("V-groove", width=None, depth=5, length=1, angle=Q(90, "deg")) == pytest.approx(25)


def test_mouth_and_depth_of_a_v_groove_must_agree():
    """5 mm at 60 degrees are 4.33 mm deep, not 4."""
    assert volume("V-groove", depth=4.33) == pytest.approx(volume("V-groove"))
    with pytest.raises(InputError) as refused:
        only("V-groove", depth=4)

    assert refused.value.faults["pockets"] == (
        "one: mouth, angle and depth of the V do not agree; leave the depth empty, 5 mm at 60 deg is 4.33 mm deep")


def test_a_ball_groove_to_its_half_and_beyond():
    """A groove as deep as the radius is half a round; deeper, straight walls stand on it."""
    half = math.pi * 9 / 2 * 500

    assert volume("ball groove", depth=3) == pytest.approx(half)
    assert volume("ball groove", depth=5) == pytest.approx(half + 6 * 2 * 500)
    assert wetted("ball groove", depth=5) == pytest.approx((math.pi * 3 + 4) * 500)
    assert only("ball groove", depth=5).opening.m_as("mm^2") == pytest.approx(6 * 500)


@pytest.mark.parametrize("shape", MM)
def test_three_hold_three_times_as_much(shape):
    """Volume, opening and wetted area go with the count; depth does not."""
    one, three = only(shape), only(shape, count=3)

    assert (three.volume / one.volume).m_as("") == pytest.approx(3)
    assert (three.wetted / one.wetted).m_as("") == pytest.approx(3)
    assert three.depth == one.depth
    assert three.by_recess[0].each == one.by_recess[0].each


@pytest.mark.parametrize("shape", MM)
def test_doubt_of_depth_is_what_a_little_more_depth_holds(shape):
    """The change of volume for a hair of depth, by cutting that much deeper."""
    found, step = only(shape), 1e-5
    name, deeper = "depth", found.depth.m_as("mm") + step
    sizes = {"width": None, name: deeper} if shape == "V-groove" else {name: deeper}
    if shape == "tapered V":
        wider = 2 * step * math.tan(math.radians(30))
        sizes = {"width": MM[shape]["width"] + wider, "narrow": MM[shape]["narrow"] + wider}

    slope = (volume(shape, **sizes) - volume(shape)) / step
    assert found.doubt.m_as("mm^3") == pytest.approx(0.2 * slope, rel=1e-4)
    assert only(shape, doubt=Q(0.4, "mm")).doubt.m_as("mm^3") == pytest.approx(0.4 * slope, rel=1e-4)


def test_a_shallow_pocket_is_a_tenth_in_doubt():
    """0.2 mm of 2 mm are 10 % of the volume."""
    assert only("rectangle", depth=2).share.m_as("percent") == pytest.approx(10)
    assert only("rectangle", depth=2).by_recess[0].share.m_as("percent") == pytest.approx(10)


def test_doubts_add_up_for_they_share_one_zero():
    """Two recesses cut from one zero err together."""
    both = recesses(pockets=[recess("circle", "a"), recess("hexagon", "b")])

    assert both.doubt.m_as("mm^3") == pytest.approx(
        (only("circle").doubt + only("hexagon").doubt).m_as("mm^3"))


def test_the_deepest_recess_counts():
    """Of 4 mm and 4.33 mm the second."""
    both = recesses(pockets=[recess("circle", "a"), recess("V-groove", "b")])

    assert both.depth.m_as("mm") == pytest.approx(2.5 * math.sqrt(3))


def test_a_narrow_v_runs_no_hotter_than_a_flat_pour_of_less_depth():
    """Slant over root two: 3.54 mm for 5 mm of mouth at 60 degrees; a blunt V as a flat pour of its depth."""
    assert only("V-groove").as_slab.m_as("mm") == pytest.approx(5 / math.sqrt(2))
    blunt = only("V-groove", angle=Q(120, "deg"))

    assert blunt.as_slab == blunt.depth
    assert only("circle").as_slab == only("circle").depth


def test_no_recess_holds_nothing_and_has_no_share():
    """Zero pieces are zero millilitres."""
    none = only("circle", count=0)

    assert none.volume == Q(0, "mL")
    assert math.isnan(none.share.magnitude)


@pytest.mark.parametrize(("shape", "sizes", "word"), [
    ("rectangle", {"corner_radius": 16}, "half a side"),
    ("hexagon", {"corner_radius": 16}, "half the width"),
    ("ring", {"inner": 300}, "less than the outer"),
    ("kite", {"waist": 130}, "between the tips"),
    ("kite", {"corner_radius": 18}, "circle that fits inside"),
])
def test_sizes_that_do_not_fit_each_other_are_refused(shape, sizes, word):
    """The sentence names the row."""
    with pytest.raises(InputError) as refused:
        only(shape, **sizes)

    assert refused.value.faults["pockets"].startswith("one: ")
    assert word in refused.value.faults["pockets"]


@pytest.mark.parametrize(("shape", "name"), [
    (shape, name) for shape in MM for name in MM[shape] if (shape, name) != ("V-groove", "width")])
def test_a_cell_that_a_shape_needs_is_asked_for(shape, name):
    """Whichever is left out is named, with an example."""
    with pytest.raises(InputError) as refused:
        only(shape, **{name: None})

    assert f"needs its {name}, such as" in refused.value.faults["pockets"]


def test_the_unit_of_a_cell_does_not_matter():
    """Four millimetres are 0.15748 in."""
    metric = only("circle").volume.m_as("mL")
    inch = Recess(name="one", shape="circle", width=Q(40 / 25.4, "in"), depth=Q(4 / 25.4, "in"))

    assert recesses(pockets=[inch]).volume.m_as("mL") == pytest.approx(metric, rel=1e-12)


def test_samples_of_recesses_agree_with_one_by_one():
    """Every shape, with depths, sizes and radii that err."""
    def one(pick):
        depth = pick([3.8, 4.0, 4.3], "mm")
        rows = [recess(shape, shape) for shape in MM if "depth" not in MM[shape]]
        rows += [
            Recess(name=shape, shape=shape, depth=depth, corner_radius=pick([0, 1.5, 3], "mm"),
                   **{key: Q(value, "mm") for key, value in MM[shape].items() if key != "depth"})
            for shape in MM if "depth" in MM[shape]]
        rows.append(Recess(name="letters", shape="V-groove", length=Q(1, "m"), width=pick([4, 5, 6], "mm")))
        return recesses(pockets=rows, depth_doubt=pick([0.1, 0.2, 0.3], "mm"))

    agrees_one_by_one(one, 3)


def test_a_border_is_its_outside_less_its_inside():
    """A line 8 mm wide round 100 x 60 mm; its walls are both outlines."""
    assert volume("border") == pytest.approx((100 * 60 - 84 * 44) * 4)
    assert wetted("border") == pytest.approx(100 * 60 - 84 * 44 + 2 * (100 + 60 + 84 + 44) * 4)


def test_a_v_that_does_not_taper_is_a_v_groove():
    """Mouth, volume, walls and depth agree; one that runs to a point holds a third."""
    even, straight = only("tapered V", narrow=5), only("V-groove", width=5)
    for name in ("volume", "wetted", "opening", "depth", "as_slab"):
        assert getattr(even, name).m == pytest.approx(getattr(straight, name).m)
    assert volume("tapered V", narrow=0) == pytest.approx(straight.volume.m_as("mm^3") / 3)


def test_cut_right_through_only_the_walls_soak_up_resin():
    """The backing is sealed: the floor counts for nothing, the volume stays."""
    row = Recess(name="one", shape="circle", width=Q(40, "mm"), depth=Q(20, "mm"), through=True)
    found = recesses(pockets=[row])

    assert found.wetted.m_as("mm^2") == pytest.approx(math.pi * 40 * 20)
    assert found.volume.m_as("mm^3") == pytest.approx(math.pi * 20**2 * 20)


@pytest.mark.parametrize(("given", "sentence"), [
    ({"shape": "border", "stroke": 30}, "the line of a border must be less than half its outside"),
    ({"shape": "border", "corner_radius": 5}, "the corner radius is more than half the line of the border"),
    ({"shape": "tapered V", "narrow": 6}, "the narrow end of a tapered V must be no wider than its mouth"),
    ({"shape": "border", "stroke": None}, "a border needs its stroke"),
])
def test_borders_and_tapers_that_cannot_be_are_refused(given, sentence):
    """Each with its own sentence."""
    with pytest.raises(InputError, match=sentence):
        only(**given)


def test_a_groove_with_a_pointed_bottom_cannot_go_right_through():
    """The sentence says what to do."""
    row = Recess(name="one", shape="V-groove", width=Q(5, "mm"), length=Q(90, "mm"), through=True)
    with pytest.raises(InputError, match="a V-groove cannot be cut right through"):
        recesses(pockets=[row])
