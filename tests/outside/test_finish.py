"""Coats, drying, sanding and sealant against printed figures and independent libraries."""

from __future__ import annotations

import datetime
import math
from itertools import pairwise

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from scipy.integrate import solve_ivp

from kit.climate import Month
from kit.drying import drying_calendar, outdoor_months
from kit.enclosure import dew_point, vapour_pressure
from kit.finish import finish_coats
from kit.handed import Surface
from kit.quantities import Q
from kit.sanding import sanding
from kit.sealant import SealJoint, sealant
from kit.sources import read_facts
from kit.upkeep import upkeep


def half_digit(printed):
    """Half of the last digit of a printed number."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


def coated(kind="planed", area=8.0, **changed):
    """One surface of a kind."""
    given = {"coats": 2, "spread": Q(8, "m^2/L"), "waste": Q(10, "percent"), "tin": Q(2.5, "L"), "tins": 1}
    return finish_coats(extra=[Surface(name="one", area=Q(area, "m^2"), kind=kind)], **given | changed)


@pytest.mark.outside("finish_coats", "Wood Handbook FPL-GTR-190 (2010), chapter 16: spread of oil stain, ft2 a gallon")
@pytest.mark.parametrize(("fact", "feet", "metric"), [
    ("stain-smooth-low", "200", "4.9"), ("stain-smooth-high", "400", "9.8"),
    ("stain-sawn-low", "100", "2.4"), ("stain-sawn-high", "200", "4.9")])
def test_a_gallon_covers_what_the_handbook_prints(fact, feet, metric):
    """231 cubic inches over so many square feet, and the metric figure printed beside it, to its last digit."""
    spread = Q(float(feet) * 0.09290304 / (231 * 0.016387064), "m^2/L")
    found = coated(area=float(feet) * 0.09290304, coats=1, waste=Q(0, "percent"), spread=spread)

    assert found.litres.m_as("L") == pytest.approx(231 * 0.016387064, rel=1e-9)
    assert read_facts("finish")[fact].value == float(metric)
    # 100 ft2 a gallon is 2.454 m2/L, printed 2.4.
    assert spread.m_as("m^2/L") == pytest.approx(float(metric), abs=0.06)


@pytest.mark.outside("finish_coats", "worked by hand: litres, and the demo build's 8.0 m2 in two coats")
@pytest.mark.parametrize(("kind", "area", "coats", "spread", "waste", "printed"), [
    ("planed", 12, 3, 10, 0, "3.6"), ("sawn", 12, 2, 7.30, 0, "6.58"), ("planed", 8, 2, 8, 10, "2.2")])
def test_litres_worked_by_hand(kind, area, coats, spread, waste, printed):
    """Sawn wood at half of 7.30 is the 3.65 m2/L printed."""
    found = coated(kind, area, coats=coats, spread=Q(spread, "m^2/L"), waste=Q(waste, "percent"))

    assert found.litres.m_as("L") == pytest.approx(float(printed), abs=half_digit(printed))


@pytest.mark.outside("finish_coats", "worked by hand: 45 % solids at 10 m2/L; 115 um at 9.8 m2/L and 38 %")
def test_films_worked_by_hand():
    """Film and coats, 2.97 rounded up."""
    one = coated(coats=1, spread=Q(10, "m^2/L"), solids=Q(45, "percent"))
    three = coated(spread=Q(9.8, "m^2/L"), solids=Q(38, "percent"), wanted=Q(115, "um"))

    assert one.dry_film.m_as("um") == pytest.approx(45, abs=0.5)
    assert three.coats_for_film == Q(3)


@pytest.mark.outside("finish_coats", "NIST Handbook 44 (2024), Appendix C: 1604 ft2 to a US gallon at one mil")
def test_a_mil_of_wet_film():
    """The spread of a gallon at one mil gives a wet film of one mil."""
    found = coated(spread=Q(1604 * 0.09290304 / (231 * 0.016387064), "m^2/L"))

    assert found.wet_film.m_as("mil") == pytest.approx(1, rel=0.5 / 1604)


@pytest.mark.outside("drying_calendar", "CoolProp: dew point of humid air at one atmosphere")
@pytest.mark.parametrize("temperature", [0.0, 5.0, 15.0, 25.0, 35.0])
@pytest.mark.parametrize("humidity", [20.0, 50.0, 65.0, 90.0])
def test_dew_point_against_a_library(temperature, humidity):
    """Within a tenth of a degree above freezing; below it the library takes ice, this kit water."""
    theirs = dew(temperature, humidity / 100)
    ours = drying_calendar(
        coats=1, way="each coat dry", earliest=Q(1, "h"), hard=Q(1, "d"), temperature=Q(temperature, "degC"),
        humidity=Q(humidity, "percent"), area=Q(1, "m^2"), pace=Q(5, "m^2/h")).dew.m_as("degC")

    if theirs > 0.05:
        assert ours == pytest.approx(theirs, abs=0.1)


def dew(temperature, share):
    """Dew point by the library, in degrees Celsius."""
    return HAPropsSI("D", "T", temperature + 273.15, "R", share, "P", 101325) - 273.15


@pytest.mark.outside("drying_calendar", "published table of dew points at 25, 20, 15, 10 and 0 degC")
@pytest.mark.parametrize(("temperature", "humidity", "printed"), [
    (25, 10, "-8.7"), (25, 50, "13.8"), (25, 90, "23.2"), (20, 50, "9.3"), (20, 80, "16.4"), (15, 90, "13.4"),
    (10, 50, "0.1"), (0, 50, "-9.2")])
def test_dew_points_as_printed(temperature, humidity, printed):
    """Printed to a tenth; tables differ by a tenth among themselves."""
    found = dew_point(Q(temperature, "degC"), Q(humidity, "percent"))

    assert found.m_as("degC") == pytest.approx(float(printed), abs=0.1)


@pytest.mark.outside("drying_calendar", "ASHRAE Fundamentals 2017, chapter 1, table 3: saturation pressure")
@pytest.mark.parametrize(("temperature", "printed"), [(5, "872.6"), (25, "3169.7"), (50, "12351.3")])
def test_vapour_pressure_as_printed(temperature, printed):
    """The formula used here is within 0.4 % of the table, as its source says of it."""
    assert vapour_pressure(Q(temperature, "degC")).m_as("Pa") == pytest.approx(float(printed), rel=0.004)


@pytest.mark.outside("drying_calendar", "scipy and CoolProp: water leaving a film by the air's shortage of vapour")
@pytest.mark.parametrize(("temperature", "humidity"), [(15, 65), (10, 80), (28, 40)])
def test_a_water_based_coat_dries_as_the_air_takes_it_up(temperature, humidity):
    """A film that loses water in proportion to the shortage, by the library's pressures, is as many times as slow."""
    def dry_time(t, share):
        shortage = PropsSI("P", "T", t + 273.15, "Q", 0, "Water") * (1 - share)
        gone = solve_ivp(lambda _, w: [-shortage / 1000], (0, 1e4), [1.0], events=_empty, rtol=1e-9)
        return gone.t_events[0][0]

    found = drying_calendar(
        coats=1, way="each coat dry", earliest=Q(1, "h"), hard=Q(1, "d"), dries="water-based",
        temperature=Q(temperature, "degC"), humidity=Q(humidity, "percent"), area=Q(1, "m^2"), pace=Q(5, "m^2/h"))

    assert found.slower.m_as("") == pytest.approx(
        dry_time(temperature, humidity / 100) / dry_time(20, 0.5), rel=0.005)


def _empty(_, water):
    return water[0]


_empty.terminal = True


@pytest.mark.outside("drying_calendar", "the clock of the standard library, coat after coat through days and nights")
@pytest.mark.parametrize(("coats", "earliest", "area", "pace"), [
    (3, 16, 8, 8), (2, 3, 20, 6), (4, 26, 5, 10), (3, 2, 8, 8)])
def test_the_calendar_of_dry_coats_by_the_clock(coats, earliest, area, pace):
    """A painter who begins as soon as the tin and the working day let him."""
    now, done = datetime.datetime(2024, 5, 1, 9), None
    starts, brush = [], datetime.timedelta(hours=area / pace)
    for _ in range(coats):
        if done is not None:
            now = done + datetime.timedelta(hours=earliest)
            if now.hour < 9:
                now = now.replace(hour=9, minute=0, second=0)
            elif now + brush > now.replace(hour=18, minute=0, second=0):
                now = (now + datetime.timedelta(days=1)).replace(hour=9, minute=0, second=0)
        starts.append(now)
        done = now + brush
    found = drying_calendar(
        coats=coats, way="each coat dry", earliest=Q(earliest, "h"), hard=Q(48, "h"), area=Q(area, "m^2"),
        pace=Q(pace, "m^2/h"), temperature=Q(20, "degC"), humidity=Q(50, "percent"))

    hours = [(start - starts[0]).total_seconds() / 3600 for start in starts]
    assert [c.starts.m_as("h") for c in found.calendar] == pytest.approx(hours)
    assert found.calendar[-1].when.endswith(f"{starts[-1]:%H:%M}")


@pytest.mark.outside("outdoor_months", "CoolProp: the margin above the dew point, month by month")
def test_margins_of_the_year_against_a_library():
    """The demo build's year; above freezing within a tenth of a degree."""
    months = [Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
              Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent"))]
    found = outdoor_months(months=months)
    for place, margin in enumerate(found.margin.m_as("delta_degC")):
        way = abs(place - 6) / 6
        t, share = 14 + way * (1 - 14), 0.80 + way * 0.08
        theirs = dew(t, share)
        assert theirs < 0.5 or margin == pytest.approx(t - theirs, abs=0.1)


@pytest.mark.outside("sanding", "common practice, no source: grits run from 80 to 220")
def test_grits_run_from_80_to_220():
    """Every step within one and a half times, none of them back."""
    found = sanding(area=Q(8, "m^2"), first="80", last="220", grades="every other", panel=Q(0.4, "m^2"),
                    panel_time=Q(4, "min"))
    grits = [int(one.name) for one in found.by_grit]

    assert grits[0] == 80 and grits[-1] == 220
    assert all(1 < b / a <= 1.5 for a, b in pairwise(grits))


@pytest.mark.outside("sanding", "common practice, no source: 8 to 15 minutes a square metre and grit")
@pytest.mark.parametrize(("minutes", "hours"), [(8, "3.2"), (15, "6.0")])
def test_hours_by_the_usual_pace(minutes, hours):
    """Eight square metres with three grits, multiplied by hand."""
    found = sanding(area=Q(8, "m^2"), first="80", last="120", panel=Q(1, "m^2"), panel_time=Q(minutes, "min"))

    assert found.likely.m_as("h") == pytest.approx(float(hours), abs=half_digit(hours))


SECTIONS = [
    ("rectangle", 6, 6, "8.33"), ("rectangle", 10, 6, "5.00"), ("rectangle", 12, 6, "4.17"),
    ("rectangle", 5, 5, "12.0"),
    ("fillet", 8, None, "9.375"), ("round bead", 6, None, "10.61")]


@pytest.mark.outside("sealant", "worked by hand: metres from a cartridge of 300 mL by section")
@pytest.mark.parametrize(("section", "width", "depth", "printed"), SECTIONS)
def test_metres_from_a_cartridge_worked_by_hand(section, width, depth, printed):
    """To half the last digit; 310 mL reach 310/300 as far."""
    joint = SealJoint(name="one", section=section, width=Q(width, "mm"), length=Q(1, "m"),
                      depth=None if depth is None else Q(depth, "mm"))
    short, long = (sealant(joints=[joint], cartridge=Q(size, "mL"), cartridges=1).by_joint[0].reach.m_as("m")
                   for size in (300, 310))

    assert short == pytest.approx(float(printed), abs=half_digit(printed) * (1 + 1e-9))
    assert long == pytest.approx(short * 310 / 300)


@pytest.mark.outside("sealant", "numpy: sections added up in thin strips")
@pytest.mark.parametrize(("section", "width", "height"), [
    ("fillet", 8, lambda x: 8 - x), ("round bead", 6, lambda x: 2 * math.sqrt(max(9 - (x - 3) ** 2, 0)))])
def test_sections_by_strips(section, width, height):
    """A triangle and a circle in a hundred thousand strips."""
    strips = (np.arange(100_000) + 0.5) * width / 100_000
    area = sum(height(x) for x in strips) * width / 100_000
    joint = SealJoint(name="one", section=section, width=Q(width, "mm"), length=Q(1, "m"))

    found = sealant(joints=[joint], cartridges=1).by_joint[0]
    assert found.section.m_as("mm^2") == pytest.approx(area, rel=1e-5)
    assert found.volume.m_as("mL") == pytest.approx(area, rel=1e-5)


@pytest.mark.outside("upkeep", "Wood Handbook FPL-GTR-190 (2010), chapter 16: life of stain and of a first clear coat")
@pytest.mark.parametrize(("finish", "low", "high"), [
    ("oil stain on smooth wood", 2, 4), ("oil stain on sawn wood", None, 10), ("clear water repellent", 1, 1)])
def test_lives_of_finishes_as_printed(finish, low, high):
    """Renewed at the longest life it is in time, a quarter of a year later it is not."""
    given = {"area": Q(8, "m^2"), "spread": Q(8, "m^2/L"), "pace": Q(10, "m^2/h")}
    found = upkeep(finish=finish, every=Q(high, "yr"), **given)

    assert found.longest.m_as("yr") == high
    assert low is None or found.soonest.m_as("yr") == low
    assert found.in_time.passes
    assert not upkeep(finish=finish, every=Q(high + 0.25, "yr"), **given).in_time.passes
