"""The box, its air and its panel against dew-point tables, other libraries and the IP code's own table."""

from __future__ import annotations

import itertools

import numpy as np
import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from scipy.integrate import solve_ivp
from shapely.geometry import box

from kit.climate import Month
from kit.drill_plan import PanelPart, drill_plan
from kit.enclosure import box_air, box_heat, dew_point, vapour_pressure
from kit.quantities import Q
from kit.water_safe import Seal, low_voltage, splash

# A weather station's page: dew point in whole tenths for air of 25 degrees at 10, 20 ... 90 percent, and single pairs.
HALESOWEN = dict(zip(range(10, 100, 10), (-8.7, 0.5, 6.2, 10.4, 13.8, 16.7, 19.1, 21.3, 23.2), strict=True))
PAIRS = [(20, 50, 9.3), (20, 80, 16.4), (15, 90, 13.4), (10, 50, 0.1), (0, 50, -9.2)]


@pytest.mark.outside("box_air", "table of dew points, halesowenweather.co.uk")
@pytest.mark.parametrize(("celsius", "humidity", "printed"), [*((25, h, d) for h, d in HALESOWEN.items()), *PAIRS])
def test_dew_points_as_printed(celsius, humidity, printed):
    """To a tenth: the table prints tenths and does not say by which formula."""
    found = dew_point(Q(celsius, "degC"), Q(humidity, "percent"))

    assert found.m_as("degC") == pytest.approx(printed, abs=0.1)


@pytest.mark.outside("box_air", "psychrolib 2.5, dew point by the ASHRAE equations")
@pytest.mark.parametrize(("celsius", "share"), list(itertools.product((1, 10, 25, 40), (0.2, 0.5, 0.95))))
def test_dew_points_of_another_library_agree(celsius, share):
    """Above freezing to 0.05 degrees; below it that library goes over ice, where this formula stays over water."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    theirs = psychrolib.GetTDewPointFromRelHum(celsius, share)
    if theirs > 0:
        assert dew_point(Q(celsius, "degC"), Q(share, "1")).m_as("degC") == pytest.approx(theirs, abs=0.05)


@pytest.mark.outside("box_air", "ASHRAE Fundamentals 2017 chapter 1 Table 3: pressure of saturated vapour")
@pytest.mark.parametrize(("celsius", "pascal"), [(5, "872.6"), (25, "3169.7"), (50, "12351.3")])
def test_vapour_pressures_as_printed(celsius, pascal):
    """The WMO's formula is said to be good to half a percent."""
    assert vapour_pressure(Q(celsius, "degC")).m_as("Pa") == pytest.approx(float(pascal), rel=0.005)


@pytest.mark.outside("box_air", "CoolProp, moist air at 1 atm: grams of water in nine litres")
def test_the_water_shut_in_is_that_of_moist_air():
    """Humidity ratio over volume, to 1 %: half from the formula, the rest because moist air holds 0.4 % more vapour."""
    found = box_air(shut_at=Q(25, "degC"), shut_humidity=Q(60, "percent"), coldest=Q(0, "degC"), volume=Q(9, "L"),
                    months=[Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent"))])
    state = ("T", 298.15, "R", 0.6, "P", 101325.0)
    grams = 1000 * 9e-3 * HAPropsSI("W", *state) / HAPropsSI("V", *state)

    assert found.water.m_as("g") == pytest.approx(grams, rel=0.01)


@pytest.mark.outside("box_heat", "warming of the box integrated by scipy until nothing changes")
def test_the_box_ends_at_the_temperature_worked_out():
    """5 W inside, 54 W of sun on its top of 300 x 200 mm: C dT/dt = P + sun - U A (T - Ta) runs to the same end."""
    found = box_heat(length=Q(300, "mm"), width=Q(200, "mm"), height=Q(150, "mm"), heat=Q(5, "W"), hot=Q(20, "degC"),
                     shade="dark, in the sun", bears=Q(60, "degC"))
    area = 2 * (0.3 * 0.2 + 0.3 * 0.15 + 0.2 * 0.15)
    solved = solve_ivp(lambda t, temp: (5 + 0.9 * 1000 * 0.06 - 5.5 * area * (temp - 20)) / 800, (0, 2e4), [20.0],
                       rtol=1e-9)

    assert found.surface.m_as("m^2") == pytest.approx(area)
    assert found.inside.m_as("degC") == pytest.approx(solved.y[0, -1], abs=1e-4)


@pytest.mark.outside("box_heat", "ASHRAE sol-air temperature: 0.052 m2K/W for a dark face")
def test_a_dark_face_in_the_sun_gets_as_hot_as_the_handbook_says():
    """1000 W/m2 on an upright dark face: 52 K above the air; ours has 0.9/17 for 0.052."""
    found = box_heat(length=Q(300, "mm"), width=Q(200, "mm"), height=Q(150, "mm"), heat=Q(5, "W"), hot=Q(20, "degC"),
                     shade="dark, in the sun", bears=Q(60, "degC"))

    assert found.skin.m_as("degC") - 20 == pytest.approx(52, abs=1)


# Which second digits stand what, written out from the text of the standard: a digit up to 6 holds for all lower ones,
# 7 and 8 do not hold for 5 and 6.
STANDS = {"dry, under a roof": "0123456789", "rain": "3456789", "splashed": "456789", "hosed": "569",
          "may go under": "78"}


@pytest.mark.outside("splash", "IEC 60529, which tests imply which")
@pytest.mark.parametrize(("place", "digit"), list(itertools.product(STANDS, "0123456789")))
def test_what_a_digit_stands(place, digit):
    """Every digit in every place."""
    found = splash(parts=[Seal(name="part", code=f"IP6{digit}", place=place)])

    assert found.tight.passes == (digit in STANDS[place])


@pytest.mark.outside("low_voltage", "Lessons in Electric Circuits, volume I chapter 3: 20 V through 1 kohm is 20 mA")
def test_current_through_a_wet_body():
    """And 12 mA at 12 V, as much as a hand can just let go of at 60 Hz by the same book."""
    def touched(volts):
        return low_voltage(highest=Q(volts, "V"), mains="none afloat", joints_in_water=False,
                           side_by_side=Q(1, "m"), apart=Q(100, "mm"), twisted=True, earth="one point").touch.m_as("mA")

    assert touched(20) == pytest.approx(20)
    assert touched(12) == pytest.approx(12)


@pytest.mark.outside("low_voltage", "IEC 60364-7-702, zones 0 and 1: at most 30 V direct current")
@pytest.mark.parametrize(("volts", "verdict"), [(30, "marginal"), (30.1, "fails"), (15.3, "meets")])
def test_voltage_beside_water(volts, verdict):
    """The limit itself is allowed."""
    found = low_voltage(highest=Q(volts, "V"), mains="none afloat", joints_in_water=False, side_by_side=Q(1, "m"),
                        apart=Q(100, "mm"), twisted=True, earth="one point")

    assert found.extra_low.verdict == verdict


@pytest.mark.outside("drill_plan", "outlines laid down with shapely: distances between neighbours and to the edges")
@pytest.mark.parametrize("seed", range(8))
def test_parts_lie_apart_by_the_gaps_worked_out(seed):
    """No two overlap, neighbours of a row and the panel's sides are the gap of that row away."""
    random = np.random.default_rng(seed)
    parts = [PanelPart(name=f"p{n}", kind="switch", row=int(random.integers(1, 4)), hole_width=Q(8, "mm"),
                       width=Q(float(random.uniform(12, 40)), "mm"), height=Q(float(random.uniform(12, 40)), "mm"))
             for n in range(7)]
    plan = drill_plan(parts=parts, width=Q(400, "mm"), height=Q(300, "mm"), room=Q(80, "mm"))
    faces = {}
    for part, hole in zip(parts, plan.holes, strict=True):
        x, y = hole.x.m_as("mm"), hole.y.m_as("mm")
        w, h = part.width.m_as("mm") / 2, part.height.m_as("mm") / 2
        faces[part.name] = box(x - w, y - h, x + w, y + h)
    panel = box(0, 0, 400, 300)

    for level in {part.row for part in parts}:
        row = sorted((faces[p.name] for p in parts if p.row == level), key=lambda face: face.bounds[0])
        gap = next(h.gap.m_as("mm") for p, h in zip(parts, plan.holes, strict=True) if p.row == level)
        edges = [0.0, *itertools.chain.from_iterable((f.bounds[0], f.bounds[2]) for f in row), 400.0]
        assert np.diff(edges)[::2] == pytest.approx(gap)
    assert all(panel.contains(face) for face in faces.values())
    assert all(a.distance(b) > 0 for a, b in itertools.combinations(faces.values(), 2))
