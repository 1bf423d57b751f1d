"""Righting levers to 90 degrees, free surfaces, damage by two methods, and rules: printed figures and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import simpson

from kit.crowd import crowd
from kit.damage import damage
from kit.float_sets import FloatStock, float_sets
from kit.float_sweeps import float_sweeps
from kit.floats import Ballast
from kit.flooded import flooded
from kit.handed import Part
from kit.level_ways import Movable, level_ways
from kit.load_cases import load_cases
from kit.passenger_rules import float_stuff, weather_metacentre
from kit.pontoon_test import section_allowed
from kit.quantities import Q
from kit.righting import DownfloodingOpening, righting
from kit.sealed_float import sealed_air
from kit.slack import SlackTank, free_surface
from kit.weather_afloat import Windage, weather_afloat
from kit.weighing import weigh
from kit.yardsticks import yardsticks
from tests.raft_cases import (
    ANY_DECK,
    BALLAST,
    DECK,
    FRESH,
    GROWTH,
    SALT,
    WATER,
    bare,
    floats,
    half_digit,
    hull,
    lies,
    parts,
)
from tests.test_ballast import places

EN = "EN 14504 (borrowed yardstick)"
WEIGHT = weigh(parts=parts(), floats=floats(), ballast=BALLAST, growth=GROWTH)
WET = {"mass": WEIGHT.wet_mass, "x": WEIGHT.wet_x, "y": WEIGHT.wet_y, "z": WEIGHT.wet_z}
PEOPLE = {"people": 4, "sharing": 3, "person_mass": Q(80, "kg")}


def twin(mass, **changed):
    """Two tubes of 0.60 m, 6 m long, 2 m apart, KG 0.80 m."""
    tubes = [bare(name=str(y), diameter=Q(600, "mm"), length=Q(6, "m"), y=Q(y, "m"), z=Q(0.3, "m")) for y in (-1, 1)]
    given = {"mass": Q(mass, "kg"), "y": Q(0, "m"), "z": Q(0.8, "m"), "floats": tubes, "density": FRESH, **ANY_DECK}
    return righting(**{**given, **changed})


# -- righting levers -------------------------------------------------------------------------------


@pytest.mark.outside("righting", "twin tubes in closed form: lift-off at asin(0.3), the lever gone at atan(1.0/0.5)")
@pytest.mark.parametrize(("mass", "lifts"), [(1696.46, "17.46"), (1000, "9.85")])
def test_a_tube_comes_out_where_closed_form_says(mass, lifts):
    """First event and vanishing angle, to half their last digits."""
    found = twin(mass)

    event = next(one for one in found.events if one.name == "-1 comes out of the water")
    assert event.angle.m_as("deg") == pytest.approx(float(lifts), abs=half_digit(lifts))
    assert found.vanishes.m_as("deg") == pytest.approx(63.43, abs=half_digit("63.43"))
    # The peak is at lift-off, here to the degree of the curve.
    assert found.at.m_as("deg") == pytest.approx(float(lifts), abs=1)


@pytest.mark.outside(
    "righting", "twin hulls with one out of the water: GZ = (s/2) cos - (KG - z) sin, whatever the mass"
)
def test_after_lift_off_the_lever_does_not_hang_on_the_mass():
    """From 20 degrees to the last at which the low tube still carries, to 1e-9 m."""
    heavy, light = twin(1696.46), twin(1000)

    angles = np.radians(np.arange(20, 61))
    closed = np.cos(angles) - 0.5 * np.sin(angles)
    np.testing.assert_allclose(light.lever.m_as("m")[20:61], closed, atol=1e-9)
    np.testing.assert_allclose(heavy.lever.m_as("m")[20:61], closed, atol=1e-9)


@pytest.mark.outside(
    "righting", "box 65 x 12 x 8 m in salt water: the first edge at atan((8 - 4)/6) = 33.69 degrees (one fifth)"
)
def test_the_wall_sided_formula_holds_until_the_first_edge():
    """To 1e-9 m before the edge, and told where it ends; past it the formula is wrong."""
    found = righting(
        mass=Q(3198e3 / 125, "kg"), y=Q(0, "m"), z=Q(0.8, "m"), floats=[hull(2.4, 1.6, 13.0)], density=SALT, **ANY_DECK
    )

    assert found.first.m_as("deg") == pytest.approx(33.69, abs=half_digit("33.69"))
    np.testing.assert_allclose(found.walls.m_as("m")[:34], found.lever.m_as("m")[:34], atol=1e-9)
    # Printed for full size: 1.3217 by the formula, 1.1337 exact.
    assert 5 * found.walls.m_as("m")[40] == pytest.approx(1.3217, abs=half_digit("1.3217"))
    assert found.walls.m_as("m")[40] - found.lever.m_as("m")[40] > 0.03


@pytest.mark.outside("righting", "scipy simpson over the curve, against the height that gravity gains over buoyancy")
@pytest.mark.parametrize("towards", ["right side", "named end"])
def test_the_area_under_the_lever_is_the_work_done(towards):
    """A curve with kinks at a tenth of a degree from the truth: 2e-3 of the area."""
    found = righting(**WET, floats=floats(), density=WATER, towards=towards, **DECK)
    end = int(found.rule_angle.m_as("deg"))

    area = simpson(found.lever.m_as("m")[: end + 1], x=found.angle.m_as("deg")[: end + 1])
    assert found.rule_area.m_as("m*deg") == pytest.approx(area, rel=2e-3)


@pytest.mark.outside("righting", "a box on its side: another box, whose lever is its half height less KG, by hand")
def test_a_box_on_its_side_is_another_box():
    """At 90 degrees the lever is half the height less KG, whatever the mass."""
    breadth, height, length, mass, gravity = 2.0, 0.8, 4.0, 1600.0, 0.5
    found = righting(
        mass=Q(mass, "kg"),
        y=Q(0, "m"),
        z=Q(gravity, "m"),
        floats=[hull(breadth, height, length)],
        density=FRESH,
        **ANY_DECK,
    )

    # On its side the lift acts in the middle of its height; gravity stands KG over the keel.
    assert found.lever.m_as("m")[90] == pytest.approx(height / 2 - gravity, abs=1e-9)


def test_an_opening_ends_the_usable_range():
    """A vent low at the right side floods before the deck edge does."""
    vent = DownfloodingOpening(name="vent", x=Q(0, "m"), y=Q(1.0, "m"), z=Q(0.0, "m"))
    found = righting(**WET, floats=floats(), density=WATER, openings=[vent], **DECK)

    assert found.ends_with == "vent goes under"
    assert found.usable < righting(**WET, floats=floats(), density=WATER, **DECK).usable


# -- free surface ----------------------------------------------------------------------------------


def tank(**changed):
    """A tank of 2.0 x 1.0 m with a free surface."""
    given = {
        "name": "tank",
        "mass": Q(400, "kg"),
        "x": Q(0, "m"),
        "y": Q(0, "m"),
        "z": Q(0.2, "m"),
        "length": Q(2, "m"),
        "width": Q(1, "m"),
    }
    return SlackTank(**{**given, **changed})


@pytest.mark.outside(
    "free_surface", "USCG examination item 0449: two tanks 40 x 30 ft, SG 0.86, 9000 long tons: 0.48 ft"
)
def test_two_slack_tanks_of_a_ship():
    """The item's 35 cubic feet to the long ton is sea water of 1.025."""
    foot, ton = 0.3048, 2240 * 0.45359237
    sea = ton / (35 * foot**3)
    tanks = [
        tank(name=n, length=Q(40 * foot, "m"), width=Q(30 * foot, "m"), liquid=Q(0.86 / 1.025 * sea, "kg/m^3"))
        for n in "ab"
    ]
    found = free_surface(mass=Q(9000 * ton, "kg"), tanks=tanks)

    assert found.across.m_as("ft") == pytest.approx(0.48, abs=half_digit("0.48"))


@pytest.mark.outside("free_surface", "barge 6.0 x 2.4 m of 2592 kg: 0.0643 m, in two strips 0.0161 m, by hand")
def test_a_wall_quarters_what_a_tank_takes():
    """The loss falls with the square of the number of strips."""
    one, two = (free_surface(mass=Q(2592, "kg"), tanks=[tank(strips=n)]).across.m_as("m") for n in (1, 2))

    assert one == pytest.approx(0.0643, abs=half_digit("0.0643"))
    assert two == pytest.approx(0.0161, abs=half_digit("0.0161"))
    assert one / two == pytest.approx(4)


@pytest.mark.outside("weigh", "barge: 100 kg lifted from 0.6 m to a hook at 2.5 m takes 0.0733 m of GM, by hand")
def test_a_hanging_weight_acts_at_its_hook():
    """The centre rises by w (z hook - z stowed)/m."""

    def height(z):
        hulls = [hull(2.4, 0.6, 6.0)]
        rows = [
            Part(name=n, mass=Q(m, "kg"), x=Q(0, "m"), y=Q(0, "m"), z=Q(up, "m"))
            for n, m, up in (("barge", 2492, 0.5), ("load", 100, z))
        ]
        return weigh(parts=rows, floats=hulls).z.m_as("m")

    assert height(2.5) - height(0.6) == pytest.approx(0.0733, abs=half_digit("0.0733"))


def test_slack_tanks_raise_the_centre_that_load_cases_use():
    """By the greater of the two losses; the true centre stays where it is."""
    full = weigh(parts=parts(), floats=floats(), tanks=[tank()])

    lost = max(full.lost_across.m_as("m"), full.lost_lengthwise.m_as("m"))
    assert full.wet_fluid_z.m_as("m") - full.wet_z.m_as("m") == pytest.approx(lost)
    assert weigh(parts=parts(), floats=floats()).fluid_z == weigh(parts=parts(), floats=floats()).z


# -- hulls, damage, ballast ------------------------------------------------------------------------


@pytest.mark.outside(
    "afloat", "catamaran with half-ordinates 0, 4, 6.2, 7.2, 6.4, 4.9, 0 cm, 6 m apart: BM 3.12 m by Simpson"
)
def test_a_catamaran_by_simpsons_rule():
    """A box at each station as long as its multiplier says is Simpson's rule for area and for cubes alike."""
    ordinates, multipliers, spacing = (0, 4, 6.2, 7.2, 6.4, 4.9, 0), (1, 4, 2, 4, 1.5, 2, 0.5), 3.6
    hulls, x = [], 0.0
    for n, (half, factor) in enumerate(zip(ordinates, multipliers, strict=True)):
        long = factor * spacing / 3
        x += long
        if half:
            hulls += [
                hull(2 * half / 100, 2.0, long, name=f"{n} {y}", x=Q(x - long / 2 - 9, "m"), y=Q(y, "m"))
                for y in (-3, 3)
            ]
    area = sum(float((one.width * one.length).m_as("m^2")) for one in hulls)
    assert area / 2 == pytest.approx(1.8384, abs=half_digit("1.8384"))
    # 5.3 m3 a hull sink these boxes deeper than a hull of the same waterplane; BM is I over V whatever the draft.
    deep = [
        hull(float(one.width.m_as("m")), 4.0, float(one.length.m_as("m")), name=one.name, x=one.x, y=one.y)
        for one in hulls
    ]
    x_middle = sum(float((one.width * one.length * one.x).m_as("m^3")) for one in deep) / area
    found = lies(deep, 2 * 5300, z=0.5, x=x_middle)

    assert found.radius_y.m_as("m") == pytest.approx(3.12, abs=half_digit("3.12"))


@pytest.mark.outside(
    "flooded", "the added-weight method: water let in to the level outside, its mass and place iterated"
)
def test_lost_buoyancy_and_added_weight_find_one_waterline():
    """Box floats, one flooded: the same height of the deck corners to 1e-6 m."""
    places_ = [(x, y) for x in (-2, 0, 2) for y in (-1, 1)]
    hulls = [hull(0.7, 0.5, 1.6, name=f"{x} {y}", x=Q(x, "m"), y=Q(y, "m")) for x, y in places_]
    lost = flooded(
        mass=Q(1200, "kg"),
        x=Q(0, "m"),
        y=Q(0, "m"),
        z=Q(0.55, "m"),
        floats=hulls,
        density=FRESH,
        sharing=0,
        person_mass=Q(80, "kg"),
        leak_tested=True,
        criterion=EN,
        deck_length=Q(5.6, "m"),
        deck_width=Q(2.7, "m"),
        deck_top=Q(0.5, "m"),
    ).cells[2]

    # Middle float on the left: water in it stands level with that outside, so it fills to its own immersion.
    x0, y0, plan = 0.0, -1.0, 1.6 * 0.7
    inside, mass, centre = np.zeros(3), 1200.0, np.array([0.0, 0.0, 0.55])
    water = 0.0
    for _ in range(200):
        whole = mass + water
        at = (mass * centre + water * inside) / whole
        found = lies(hulls, whole, x=float(at[0]), y=float(at[1]), z=float(at[2]))
        low = math.tan(found.list.m_as("rad"))
        slope = math.tan(found.trim.m_as("rad"))
        depth = found.waterline.m_as("m") + slope * x0 + low * y0
        water = 1000 * plan * depth
        # Centre of the water in a box whose surface slopes: second moments over the volume.
        inside = np.array(
            [
                x0 + slope * 1.6**2 / 12 / depth,
                y0 + low * 0.7**2 / 12 / depth,
                depth / 2 + (slope**2 * 1.6**2 + low**2 * 0.7**2) / 24 / depth,
            ]
        )
    edge = min(
        (0.5 - found.waterline.m_as("m") - slope * x - low * y) / math.sqrt(1 + slope**2 + low**2)
        for x in (-2.8, 2.8)
        for y in (-1.35, 1.35)
    )
    assert lost.deck_edge.m_as("m") == pytest.approx(edge, abs=1e-6)


@pytest.mark.outside("weigh", "105 kg at 0.15 m put into 1400 kg with KG 0.75 m: new KG 0.7081 m")
def test_low_ballast_brings_the_centre_down():
    """Mass and moments by hand."""
    rows = [Part(name="raft", mass=Q(1400, "kg"), x=Q(0.12, "m"), y=Q(-0.05, "m"), z=Q(0.75, "m"))]
    tanks = [
        Ballast(name=str(m), mass=Q(m, "kg"), x=Q(-1.6, "m"), y=Q(y, "m"), z=Q(0.15, "m"))
        for m, y in ((87.5, 1.0), (17.5, -1.0))
    ]
    found = weigh(parts=rows, floats=[hull(2.4, 0.6, 6.0)], ballast=tanks)

    assert found.z.m_as("m") == pytest.approx(0.7081, abs=half_digit("0.7081"))
    assert (found.x.m_as("m"), found.y.m_as("m")) == pytest.approx((0, 0), abs=1e-12)


@pytest.mark.outside("level_ways", "by hand: 40 kg moved by M/40 balances; 10 kg moved 1 m leaves M - 10")
def test_a_part_moved_balances_by_its_moment():
    """What one part can do alone, and what ballast is left to do."""
    rows = [
        Part(name="battery", mass=Q(40, "kg"), x=Q(0.5, "m"), y=Q(0, "m"), z=Q(0, "m")),
        Part(name="box", mass=Q(10, "kg"), x=Q(1, "m"), y=Q(0, "m"), z=Q(0, "m")),
    ]
    limits = [
        Movable(name=n, x_least=Q(low, "m"), x_most=Q(1, "m"), y_least=Q(0, "m"), y_most=Q(0, "m"), cost=Q(c, "money"))
        for n, low, c in (("battery", -2, 5), ("box", 0, 1))
    ]
    found = level_ways(
        parts=rows,
        moment_x=Q(30, "kg*m"),
        moment_y=Q(0, "kg*m"),
        places=places(),
        movable=limits,
        deck_length=Q(3, "m"),
        deck_width=Q(2.2, "m"),
        ballast_pack=Q(7, "kg"),
        ballast_price=Q(3, "money"),
    )
    ways = {way.name: way for way in found.ways}

    assert ways["move battery"].says == "move it 0.75 m away from the named end"
    assert ways["move battery"].ballast.m_as("kg") == 0
    assert ways["move box"].ballast.m_as("kg") == pytest.approx(20 / 1.4)
    assert ways["ballast alone"].ballast.m_as("kg") == pytest.approx(30 / 1.4)
    # 4 pieces of 3 alone; 3 pieces and 1 with the box; 5 with the battery: the cheapest first.
    assert [way.cost.m_as("money") for way in found.ways] == sorted(way.cost.m_as("money") for way in found.ways)
    assert found.ways[0].name == "move battery"


# -- rules -----------------------------------------------------------------------------------------


@pytest.mark.outside("crowd", "46 CFR 178.340: exposed area, in closed form A1 <= min((Af + A0)/2, 0.75 Af)")
@pytest.mark.parametrize(("upright", "allowed"), [(0.5, "0.75"), (0.3, "0.65")])
def test_the_section_that_the_pontoon_test_allows(upright, allowed):
    """Half immersed 0.75 of the section, 30 per cent immersed 0.65."""
    assert section_allowed(1.0, upright) == pytest.approx(float(allowed))


@pytest.mark.outside("weather_metacentre", "46 CFR 170.170 by hand: L 6 m, A 5.4 m2, H 0.8 m, W 1.7 t, T 8 degrees")
def test_the_weather_rule_of_passenger_vessels():
    """P 274.8 Pa, GM at least 0.507 m."""
    found = weather_metacentre(
        length=Q(6, "m"), area=Q(5.4, "m^2"), lever=Q(0.8, "m"), mass=Q(1700, "kg"), angle=Q(8, "deg")
    )

    assert found.pressure.m_as("Pa") == pytest.approx(274.8, abs=half_digit("274.8"))
    assert found.needed.m_as("m") == pytest.approx(0.507, abs=half_digit("0.507"))


@pytest.mark.outside(
    "weather_afloat", "platform 4.0 x 2.4 m at 25 m/s by hand: 382.8 (1.3 x 1.8 + 1.2 x 1.92) = 1777.8 N"
)
def test_wind_on_a_platform_with_a_box():
    """The force of both bodies together."""
    caught = [
        Windage(name="deck", area=Q(1.8, "m^2"), drag=Q(1.3), z=Q(0.2, "m")),
        Windage(name="box", area=Q(1.92, "m^2"), drag=Q(1.2), z=Q(1, "m")),
    ]
    found = weather_afloat(
        **WET, floats=floats(), density=WATER, gust=Q(25, "m/s"), windage=caught, criterion="none", **DECK
    )

    assert found.force.m_as("N") == pytest.approx(1777.8, abs=half_digit("1777.8"))


@pytest.mark.outside("sealed_air", "ideal gas by hand: closed at 30, now 5 degrees: 92.97 kPa, 8.36 below the air")
def test_air_shut_in_on_a_hot_day_pulls_the_ends_in():
    """Both pressures to half their last digits."""
    found = sealed_air(closed=Q(30, "degC"), now=Q(5, "degC"), diameter=Q(470, "mm"))

    assert found.inside.m_as("kPa") == pytest.approx(92.97, abs=half_digit("92.97"))
    assert found.over.m_as("kPa") == pytest.approx(-8.36, abs=half_digit("8.36"))


@pytest.mark.outside(
    "float_stuff", "18 CFR 1304.400: bare foam and reused drums are barred; 36 CFR 327.30: 1.5 per cent"
)
def test_bare_foam_and_old_drums_are_barred():
    """Each of the three by itself."""
    block = bare(name="block", shape="foam block", width=Q(0.6, "m"), height=Q(0.4, "m"), length=Q(2, "m"))
    drum = bare(name="drum", shape="drum", direction="standing", diameter=Q(580, "mm"), length=Q(0.88, "m"))
    found = float_stuff(floats=[block, drum], criterion="none", also=True, reused=True)

    assert found.encased.verdict == found.not_reused.verdict == "fails"
    assert float_stuff(floats=[drum], criterion="reservoir owner's rule").not_reused.verdict == "open"
    wet = floats(uptake=Q(2, "percent"))
    assert float_stuff(floats=wet, criterion="reservoir owner's rule").dry.verdict == "fails"
    assert float_stuff(floats=wet, criterion=EN).dry.verdict == "does not apply"


# -- closer looks against the calculators of the build ----------------------------------------------


@pytest.mark.outside(
    "load_cases", "Tarn Locker by segments with a root finder and by voxels: 6.6 degrees, 0.310, 0.228 m"
)
def test_load_cases_are_those_of_the_sheet():
    """Three at an edge and three in a corner as printed, the corner to the 5 mm that the sheet's methods agree to."""
    fitted = {"mass": WEIGHT.mass, "x": WEIGHT.x, "y": WEIGHT.y, "z": WEIGHT.z}
    found = load_cases(
        **fitted,
        **{f"wet_{name}": value for name, value in WET.items()},
        floats=floats(),
        density=WATER,
        **DECK,
        **PEOPLE,
        criterion=EN,
        gust=Q(25, "m/s"),
        ladder_x=Q(1.7, "m"),
    )
    cases = {case.name: case for case in found.cases}

    edge, corner = cases["3 people, right side"], cases["3 people, named end, right"]
    assert edge.list.m_as("deg") == pytest.approx(6.6, abs=half_digit("6.6"))
    assert edge.end_right.m_as("m") == pytest.approx(0.310, abs=half_digit("0.310"))
    assert corner.end_right.m_as("m") == pytest.approx(0.228, abs=0.005)
    assert cases["as fitted, nobody aboard"].end_right.m_as("mm") == pytest.approx(488, abs=1)
    made = crowd(**WET, floats=floats(), density=WATER, **DECK, **PEOPLE, criterion=EN, ladder_x=Q(1.7, "m"))
    assert cases["one heavy person on the ladder"].list.m_as("deg") < made.ladder_tilt.m_as("deg")


@pytest.mark.outside(
    "damage", "Tarn Locker by voxels with an energy minimum: without foam three at that edge turn it over"
)
def test_damage_says_what_foam_does():
    """Without foam a compartment lost turns it over, as printed; with 60 per cent every case comes to rest."""
    found = damage(**WET, floats=floats(), density=WATER, **DECK, **PEOPLE)
    tried = {row.name: row for row in found.designs}

    assert found.lost == "none"
    assert tried["0 % foam"].says == "it turns over"
    one = flooded(
        **WET,
        floats=floats(),
        density=WATER,
        **DECK,
        sharing=3,
        person_mass=Q(80, "kg"),
        leak_tested=True,
        criterion=EN,
    )
    assert tried["60 % foam"].deck_edge.m_as("m") == pytest.approx(one.deck_edge.m_as("m"), abs=1e-9)


@pytest.mark.outside("float_sets", "the same rafts one by one by the calculators that stand beside other methods here")
def test_a_set_of_floats_is_the_raft_it_makes():
    """Deck edge under the worst crowd of four tubes, and two rules about gaps."""
    pipe = FloatStock(
        name="pipe",
        diameter=Q(500, "mm"),
        wall=Q(15.3, "mm"),
        mass_per_metre=Q(22.25, "kg/m"),
        sold=Q(6, "m"),
        price=Q(444, "money"),
        end_price=Q(17, "money"),
        end_mass=Q(2.48, "kg"),
    )
    load = {"load": Q(436, "kg"), "load_z": Q(0.18, "m")}
    found = float_sets(
        **load, stock=[pipe], density=WATER, **DECK, **PEOPLE, wanted=Q(0.4, "m"), criterion=EN, foam=Q(60, "percent")
    )
    rows = {row.name: row for row in found.sets}
    tubes = floats(ys=tuple(np.linspace(-0.85, 0.85, 4)))
    whole = weigh(
        parts=[Part(name="load", mass=load["load"], x=Q(0, "m"), y=Q(0, "m"), z=load["load_z"])], floats=tubes
    )
    made = crowd(
        mass=whole.mass, x=whole.x, y=whole.y, z=whole.z, floats=tubes, density=WATER, **DECK, **PEOPLE, criterion=EN
    )

    assert found.best == "4 x pipe"
    worst = min(made.edge_deck, made.corner_deck, made.aboard_deck)
    assert rows["4 x pipe"].crowd_deck.m_as("m") == pytest.approx(worst.m_as("m"), abs=1e-6)
    # Two lengths of 6 m make four of 3 m; three discs in each, foam left out of the price.
    assert rows["4 x pipe"].cost.m_as("money") == pytest.approx(2 * 444 + 12 * 17)
    assert "overlap" in rows["5 x pipe"].says


@pytest.mark.outside("float_sweeps", "parallel axes: the waterplane's moment grows with the square of the spacing")
def test_further_apart_is_stiffer_by_the_square():
    """Two sizes of the same sweep differ by A y^2 alone, the draft being the same."""
    found = float_sweeps(load=Q(436, "kg"), load_z=Q(0.18, "m"), floats=floats(), density=WATER, **DECK, **PEOPLE)
    gm = {row.name.split()[0]: row.stiffness.m_as("m") for row in found.spacings}

    # GM = KB - KG + (own + share^2 A y^2)/V: three points on one parabola without a linear term.
    slope = (gm["100"] - gm["80"]) / (1 - 0.8**2)
    assert gm["60"] == pytest.approx(gm["80"] - slope * (0.8**2 - 0.6**2), abs=1e-9)
    thick = [row.crowd_deck.m_as("m") for row in found.diameters if np.isfinite(row.crowd_deck.magnitude)]
    assert thick == sorted(thick)


@pytest.mark.outside("yardsticks", "Tarn Locker: 500 lb tilt it by more than the 6 degrees of the landing-float rule")
def test_other_rules_are_told_and_never_fail():
    """Every rule has rows, none is a verdict, and each says what it is made for."""
    found = yardsticks(**WET, floats=floats(), density=WATER, **DECK, **PEOPLE, catch=Q(2.4, "m^2"), lever=Q(0.4, "m"))
    told = {row.name: row.stands for row in found.rules}

    assert told["tilt under 226.8 kg anywhere"] == "would not hold"
    assert told["tilt, people at an edge"] == "would hold"
    assert told["hull left exposed, test weight to a side"].startswith("it is made for two round closed hulls")
    assert "outside its scope" in next(row.scope for row in found.scopes if row.name == EN)
    assert all(word not in row.stands for row in found.rules for word in ("fails", "meets"))
