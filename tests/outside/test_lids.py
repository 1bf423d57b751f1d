"""Lids, struts and hinges against published statics, printed rules and independent libraries."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, fsolve
from shapely import LineString, Point

from kit.hinges import hinge_load, hinge_screws
from kit.lid_statics import HeldLid, held_lid, lid_slam
from kit.lids import strut_balance
from kit.mounts import strut_mounts, strut_travel
from kit.quantities import Q
from tests.lid_cases import CASES, balance_of, half_digit, travel_of

outside = pytest.mark.outside


def close(value: float, printed: str) -> None:
    """The value rounds to what is printed."""
    assert value == pytest.approx(float(printed), abs=half_digit(printed))


# -- published statics ------------------------------------------------------------------------------------------------


@outside("held_lid", "J. P. Den Hartog, Mechanics, problem 25")
def test_a_ladder_held_by_a_rope() -> None:
    """A hinged ladder of 1000 lb at 45 degrees with 200 lb on it, rope at its tip 30 degrees off plumb."""
    ladder = held_lid(
        weight=Q("1000 lbf"),
        centre=Q("5 ft"),
        load=Q("200 lbf"),
        load_at=Q("8 ft"),
        angle=Q("45 deg"),
        held_at=Q("10 ft"),
        known="direction",
        direction=Q("120 deg"),
    )
    close(ladder.force.m_as("lbf"), "483")
    close(abs(ladder.hinge_across.m_as("lbf")), "242")
    close(ladder.hinge_up.m_as("lbf"), "782")


@outside("held_lid", "Beer and Johnston, Vector Mechanics: Statics, chapter 4, roof scuttle")
def test_a_roof_scuttle_on_a_rod() -> None:
    """A lid of 75 lb, 26 by 32 in, at 50 degrees on a rod of 15 in at one edge takes 116.6 lb, as the book says."""
    # The rod meets the edge where the three sides close the triangle: 7 in of frame, 15 in of rod, and the edge.
    edge = brentq(lambda r: np.hypot(r * np.cos(np.radians(50)) - 7, r * np.sin(np.radians(50))) - 15, 10, 30)
    lid = held_lid(
        weight=Q("75 lbf"),
        centre=Q("16 in"),
        angle=Q("50 deg"),
        held_at=Q(edge, "in"),
        known="other end",
        foot_across=Q("7 in"),
        foot_up=Q("0 in"),
        off_middle=Q("13 in"),
        spacing=Q("26 in"),
    )
    close(edge, "18.51")
    close(lid.length.m_as("in"), "15.0")
    close(lid.force.m_as("lbf"), "116.6")
    close(-lid.near_up.m_as("lbf"), "72.7")
    close(-lid.near_across.m_as("lbf"), "38.1")
    close(lid.far_up.m_as("lbf"), "37.5")
    close(lid.far_across.m_as("lbf"), "0.0")


@outside("held_lid", "Beer and Johnston, Vector Mechanics: Statics, problem 4.69, storm window")
def test_a_storm_window_held_out_by_a_stick() -> None:
    """A window of 10 kg, 1500 mm deep, held 23.074 degrees out by a stick of 600 mm: 19.62 N."""
    opening = 2 * np.degrees(np.arcsin(300 / 1500))
    window = held_lid(
        weight=Q(10 * 9.81, "N"),
        centre=Q("750 mm"),
        angle=Q(opening - 90, "deg"),
        held_at=Q("1500 mm"),
        known="other end",
        foot_across=Q("0 mm"),
        foot_up=Q("-1500 mm"),
    )
    close(opening, "23.074")
    close(window.force.m_as("N"), "19.62")
    close(window.length.m_as("mm"), "600")


@outside("held_lid", "Set problem on a hatch (thestudentroom.co.uk thread 1494093), g = 9.8")
@pytest.mark.parametrize("angle", [0, 20, 45, 80])
def test_a_hatch_lifted_straight_up_at_its_edge(angle: float) -> None:
    """Half the weight of 12 kg, 58.8 N, at any angle."""
    close(upward("117.6 N", angle, 300, 600).force.m_as("N"), "58.8")


@outside("held_lid", "Set problem on a ceiling hatch (pearson.com exam preparation)")
def test_a_ceiling_hatch_pushed_up_at_its_centre() -> None:
    """All of its 180 N, and nothing at the hinge."""
    hatch = upward("180 N", 0, 300, 300)
    close(hatch.force.m_as("N"), "180")
    assert hatch.hinges.m_as("N") == pytest.approx(0, abs=1e-9)


@outside("held_lid", "J. P. Den Hartog, Mechanics, problem 33, balanced drawbridge")
@pytest.mark.parametrize("angle", [0, 30, 60])
def test_a_balanced_drawbridge(angle: float) -> None:
    """The cable 16 ft from the hinge of a deck of 4000 lb carries 2000 lb however far the deck is raised."""
    close(upward("4000 lbf", angle, 8 * 304.8, 16 * 304.8).force.m_as("lbf"), "2000")


def upward(weight: str, angle: float, centre: float, held_at: float) -> HeldLid:
    """A lid lifted straight up."""
    return held_lid(
        weight=Q(weight),
        centre=Q(centre, "mm"),
        angle=Q(angle, "deg"),
        held_at=Q(held_at, "mm"),
        known="direction",
        direction=Q("90 deg"),
    )


# -- printed rules for hinges and screws ------------------------------------------------------------------------------


@outside("hinge_screws", "Handbook of civil engineering formulas, p. 170, equations 6.37 and 6.38")
@pytest.mark.parametrize(
    ("diameter", "thread", "group", "result", "unit", "printed"),
    [
        ("0.190 in", "1 in", "II", "withdrawal", "lbf", "109.65"),
        ("0.164 in", "1 in", "IV", "withdrawal", "lbf", "94.65"),
        ("0.164 in", "20 mm", "IV", "withdrawal", "N", "331.5"),
        ("0.164 in", "2 in", "IV", "lateral_by_the_older_rule", "lbf", "67.78"),
        ("0.164 in", "2 in", "IV", "lateral_by_the_older_rule", "N", "301.5"),
        ("0.164 in", "2 in", "II", "lateral_by_the_older_rule", "lbf", "106.5"),
    ],
)
def test_one_screw(diameter: str, thread: str, group: Any, result: str, unit: str, printed: str) -> None:
    """Wood screws No. 8 and No. 10 in timber of specific gravity 0.45, dry, as the two equations give them."""
    screw = hinge_screws(diameter=Q(diameter), thread=Q(thread), specific_gravity=Q(0.45), group=group, service="dry")
    close(getattr(screw, result).m_as(unit), printed)


@outside("hinge_load", "NFPA 80 Standard for fire doors, 6.4")
@pytest.mark.parametrize(
    ("width", "hinges"), [("1524 mm", 2), ("1525 mm", 3), ("90 in", 3), ("91 in", 4), ("300 mm", 2)]
)
def test_hinges_of_a_door(width: str, hinges: int) -> None:
    """Two up to 60 in, one more for each further 30 in or part of it."""
    load = hinge_load(**_hinges("plain"), width=Q(width))
    assert load.hinges_as_a_door.m_as("") == hinges


def _hinges(name: str) -> dict[str, Any]:
    left_out = ("worn", "cold", "depth", "width", "lean", "wind")
    more = {"spacing": Q("400 mm"), "screw_withdrawal": Q("331 N"), "screw_shear": Q("301 N")}
    return {key: value for key, value in CASES[name].items() if key not in left_out} | more


# -- independent methods ----------------------------------------------------------------------------------------------


def strut_force(length: float, law: str, ratio: float) -> float:
    """The strut of the plain case, new at 20 degC, in newtons and metres, written anew."""
    share = min(max((0.56 - length) / 0.25, 0.0), 1.0)
    return 150 * (1 + (ratio - 1) * share) if law == "linear" else 150 / (1 - (1 - 1 / ratio) * share)


def strut_length(turn: float) -> float:
    """Distance of the mounts of the plain case by complex numbers, in metres."""
    return abs((0.2 - 0.03j) * np.exp(1j * turn) - (0.5 - 0.12j))


@outside("strut_balance", "conservation of energy: strut work by scipy.integrate.quad, central difference over angle")
@settings(max_examples=60)
@given(
    angle=st.floats(1, 85),
    ratio=st.floats(1, 2),
    fall=st.floats(-30, 30),
    above=st.floats(-50, 50),
    law=st.sampled_from(["linear", "gas"]),
)
def test_the_net_moment_is_the_slope_of_the_energy(
    angle: float, ratio: float, fall: float, above: float, law: Any
) -> None:
    """Closing moment = +d(weight's height energy - work the strut has given)/dangle at any angle and shape."""

    def energy(turn: float) -> float:
        height = ((0.3 + 1j * above / 1000) * np.exp(1j * (turn - np.radians(fall)))).imag
        work, _ = quad(strut_force, strut_length(0), strut_length(turn), args=(law, ratio), epsabs=1e-12)
        return 12 * 9.80665 * height - work

    lid = balance_of(
        "plain",
        opening=Q(angle, "deg"),
        force_ratio=Q(ratio),
        fall=Q(fall, "deg"),
        centre_above=Q(above, "mm"),
        law=law,
    )
    turn, step = np.radians(angle), 1e-4
    slope = (energy(turn + step) - energy(turn - step)) / (2 * step)
    # The difference errs by the third derivative (some 300 N m) times the step squared, and by rounding.
    assert lid.net_nominal.m_as("N*m")[-1] == pytest.approx(slope, abs=1e-5)


@outside("strut_balance", "scipy.optimize.brentq on the moments written with complex numbers")
@pytest.mark.parametrize("law", ["linear", "gas"])
@pytest.mark.parametrize("force", [120.0, 150.0, 190.0])
def test_the_balance_angle_is_the_root_of_the_moments(law: Any, force: float) -> None:
    """Found on the curve, it agrees with a bracketed root to a hundred-thousandth of a degree."""

    def closing(turn: float) -> float:
        lid = (0.2 - 0.03j) * np.exp(1j * turn)
        push = (lid - (0.5 - 0.12j)) / strut_length(turn) * strut_force(strut_length(turn), law, 1.3) * force / 150
        return 12 * 9.80665 * 0.3 * np.cos(turn) - (lid.conjugate() * push).imag

    root = np.degrees(brentq(closing, 0.01, np.radians(85), xtol=1e-12))
    lid = balance_of("plain", law=law, force=Q(force, "N"))
    assert lid.balance_nominal.m_as("deg") == pytest.approx(root, abs=1e-5)


@outside("strut_balance", "CoolProp 6 or later, real nitrogen at constant density")
@pytest.mark.parametrize("celsius", [-10, 45])
def test_a_strut_follows_real_nitrogen_within_a_hundredth(celsius: float) -> None:
    """A 150 N strut on an 8 mm rod is charged to about 30 bar; there the ideal law errs by less than one per cent."""
    area = np.pi / 4 * 0.008**2
    filled = 150 / area + 101325
    density = PropsSI("D", "T", 293.15, "P", filled, "Nitrogen")
    real = (PropsSI("P", "T", celsius + 273.15, "D", density, "Nitrogen") - 101325) * area
    lid = balance_of("plain", cold=Q(celsius, "degC"), hot=Q(60, "degC"), rod=Q("8 mm"), extended=Q(552.4244, "mm"))
    assert lid.force_cold.m_as("N")[-1] == pytest.approx(real, rel=0.01)


@outside("strut_travel", "shapely: distance and turned geometry; dead centre by the shortest distance")
@pytest.mark.parametrize("name", ["plain", "over-centre", "tilted", "locker"])
def test_lengths_are_distances_of_points_turned(name: str) -> None:
    """Every length of the swing is the distance of two points, one turned about the pin."""
    from shapely.affinity import rotate

    case, travel = CASES[name], travel_of(name)
    lid, body = (
        Point(*(case[f"{which}_mount_{way}"].m_as("mm") for way in ("along", "above"))) for which in ("lid", "body")
    )
    turned = [rotate(lid, angle, origin=(0, 0)) for angle in travel.angle.m_as("deg")]
    np.testing.assert_allclose(travel.length.m_as("mm"), [point.distance(body) for point in turned], rtol=1e-12)
    swept = LineString(
        [rotate(lid, angle, origin=(0, 0)) for angle in np.linspace(0, case["opening"].m_as("deg"), 4001)]
    )
    # A chord of 4000 steps lies less than a ten-thousandth of a millimetre inside its arc.
    assert travel.shortest.m_as("mm") == pytest.approx(swept.distance(body), abs=1e-4)


@outside("strut_mounts", "scipy.optimize.fsolve on two distances; shapely intersection of two circles")
@pytest.mark.parametrize(("shut", "opened"), [(305.0, 495.0), (313.21, 552.42), (400.0, 420.0)])
def test_places_solve_both_distances(shut: float, opened: float) -> None:
    """Each place found is a root of the two distances, started from the two cuts of two many-sided circles."""
    first, turn = 200 - 30j, np.radians(85)
    second = first * np.exp(1j * turn)
    circles = [Point(p.real, p.imag).buffer(r, quad_segs=4000).exterior for p, r in ((first, shut), (second, opened))]
    roots = [
        fsolve(
            lambda b: [abs(complex(*b) - first) - shut, abs(complex(*b) - second) - opened], (cut.x, cut.y), xtol=1e-13
        )
        for cut in circles[0].intersection(circles[1]).geoms
    ]
    found = strut_mounts(
        opening=Q("85 deg"),
        lid_mount_along=Q("200 mm"),
        lid_mount_above=Q("-30 mm"),
        shut_length=Q(shut, "mm"),
        open_length=Q(opened, "mm"),
    )
    places = [
        (getattr(found, f"{k}_along").m_as("mm"), getattr(found, f"{k}_above").m_as("mm")) for k in ("gentle", "eager")
    ]
    assert sorted(map(tuple, roots)) == [pytest.approx(place, abs=1e-6) for place in sorted(places)]


@outside("lid_slam", "scipy.integrate.solve_ivp on the equation of motion")
@pytest.mark.parametrize(("depth", "angle"), [(0.5, 60.0), (0.6, 30.0), (0.64, 80.0)])
def test_a_falling_lid_obeys_its_equation_of_motion(depth: float, angle: float) -> None:
    """Rate and time of landing agree with the motion integrated step by step."""

    def shut(_: float, state: Any) -> float:
        return float(state[0])

    shut.terminal = True  # type: ignore[attr-defined]
    motion = solve_ivp(
        lambda _, s: [s[1], -1.5 * 9.80665 / depth * np.cos(s[0])],
        (0, 5),
        [np.radians(angle), 0.0],
        events=shut,
        rtol=1e-10,
        atol=1e-12,
    )
    slam = lid_slam(mass=Q("12 kg"), depth=Q(depth, "m"), opening=Q(angle, "deg"))
    assert slam.time.m_as("s") == pytest.approx(motion.t_events[0][0], rel=1e-7)
    assert slam.turning.m_as("rad/s") == pytest.approx(-motion.y_events[0][0][1], rel=1e-7)


@outside("hinge_load", "virtual work: the pin moved a little along and up, everything else held")
@pytest.mark.parametrize("angle", [5.0, 40.0, 80.0])
def test_hinges_do_the_work_that_the_pin_would_let_go(angle: float) -> None:
    """Moving pin and lid together by a small step changes energy by hinge force x step, hand force included."""
    load = hinge_load(**(_hinges("plain") | {"opening": Q(angle, "deg"), "hot": Q("20 degC")}), width=Q("600 mm"))
    hand = balance_of("plain", opening=Q(angle, "deg")).open_nominal.m_as("N")[-1]
    turn = np.radians(angle)

    def energy(step: complex) -> float:
        length = abs((0.2 - 0.03j) * np.exp(1j * turn) + step - (0.5 - 0.12j))
        work, _ = quad(strut_force, strut_length(turn), length, args=("linear", 1.3), epsabs=1e-13)
        pull = hand * 1j * np.exp(1j * turn)
        return float(12 * 9.80665 * step.imag - work - (pull.conjugate() * step).real)

    small = 1e-5
    along, above = ((energy(small * way) - energy(-small * way)) / (2 * small) for way in (1, 1j))
    assert load.along.m_as("N")[-1] == pytest.approx(-along, abs=1e-4)
    assert load.lifting.m_as("N")[-1] == pytest.approx(-above, abs=1e-4)


def test_every_calculator_of_the_lids_is_held_against_something_outside() -> None:
    """The calculators named by the marks of this file are all that these modules have, the box's rule apart."""
    marked = {
        mark.args[0]
        for test in list(globals().values())
        for mark in getattr(test, "pytestmark", [])
        if mark.name == "outside"
    }
    assert marked == {
        c.__name__ for c in (held_lid, lid_slam, strut_balance, strut_travel, strut_mounts, hinge_load, hinge_screws)
    }
