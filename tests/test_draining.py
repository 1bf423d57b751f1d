"""Months of frost, and pipes that run empty."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.climate import Month
from kit.draining import DrainPipe, draining, frost
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

JANUARY, JULY = 1, 14


def year(january=JANUARY, july=JULY):
    """A year known by two months."""
    return [Month(name=name, temperature=Q(t, "degC"), humidity=Q(80, "percent"))
            for name, t in (("January", january), ("July", july))]


def frozen(**changed):
    """An upland year, pipes empty from November to March."""
    given = {"months": year(), "cold": Q(-10, "degC"), "drained_from": "November", "drained_until": "March"}
    return frost(**given | changed)


def test_months_at_or_below_the_limit_are_months_of_frost():
    """1 degree in January and 14 in July on a straight line: 5.33 in March, 7.5 in April."""
    made = frozen()

    assert made.freezing == "November to March"
    assert made.nights == "April, May, September, October"
    assert made.temperature[2].m_as("degC") == pytest.approx(1 + 13 / 3)
    assert list(made.month.magnitude) == list(range(1, 13))
    assert made.drained.verdict == "meets"
    assert frozen(mean=Q(5, "degC")).freezing == "December to February"
    assert frozen(mean=Q(2, "degC")).freezing == "January"
    assert frozen(mean=Q(20, "degC")).freezing == "all year"


def test_a_month_of_frost_with_full_pipes_fails_and_is_named():
    """Emptied only from December to February."""
    made = frozen(drained_from="December", drained_until="February")

    assert made.left_full == Q(2)
    assert made.drained.verdict == "fails"
    assert made.drained.reason == "full in March, November"


def test_pipes_may_be_empty_within_one_year_too():
    """South of the line the cold months are in the middle of the calendar."""
    south = frozen(months=year(january=14, july=1), drained_from="May", drained_until="September")

    assert south.freezing == "May to September"
    assert south.drained.verdict == "meets"
    assert frozen(months=year(january=14, july=1)).left_full == Q(5)


def test_where_it_never_freezes_nothing_has_to_be_empty():
    """A coldest air above freezing."""
    made = frozen(cold=Q(2, "degC"), drained_from="July", drained_until="July")

    assert (made.freezing, made.nights) == ("none", "none")
    assert made.drained.verdict == "meets"


def test_samples_of_frost_agree_with_one_by_one():
    """Means, coldest air and limit."""
    def some(pick):
        made = frozen(months=year(january=0), cold=pick([-10, 1, -5], "degC"), mean=pick([6, 6, 9], "degC"))
        return made.left_full, made.drained

    agrees_one_by_one(some, 3)


def pipe(name="riser", **changed):
    """Two metres falling by one."""
    given = {"name": name, "length": Q(2, "m"), "bore": Q(13, "mm"), "high": Q(1, "m"), "low": Q(0, "m")}
    return DrainPipe(**given | changed)


def emptied(*pipes, **changed):
    """These pipes with nothing else that holds water."""
    return draining(**{"pipes": pipes or (pipe(),), "held": Q(0, "L")} | changed)


def test_water_is_area_by_length_and_what_is_held_besides():
    """13 mm and 2 m hold 0.2655 L; ice needs nine hundredths more room."""
    made = emptied(held=Q(0.1, "L"))

    assert made.volume.m_as("L") == pytest.approx(math.pi / 4 * 0.013**2 * 2000 + 0.1)
    assert made.mass.m_as("kg") == pytest.approx(made.volume.m_as("m^3") * 999.7)
    assert made.swells.m_as("mL") == pytest.approx(made.volume.m_as("mL") * (1000 / 917 - 1))
    assert emptied(pipe(), pipe("b")).volume.m_as("L") == pytest.approx(2 * emptied().volume.m_as("L"))


def test_the_flattest_pipe_is_judged():
    """30 degrees, and one that falls a hundredth."""
    made = emptied(pipe(), pipe("along the deck", high=Q(0.02, "m")))

    assert emptied().flattest.m_as("deg") == pytest.approx(30)
    assert made.flattest.m_as("deg") == pytest.approx(math.degrees(math.asin(0.01)))
    assert emptied(pipe(high=Q(1.5, "m"), low=Q(0.5, "m"))).flattest.m_as("deg") == pytest.approx(30)
    assert made.which == "along the deck"
    assert made.runs_empty.verdict == "fails"
    assert made.runs_empty.reason == "flattest: along the deck"
    assert emptied(pipe(high=Q(0.05, "m"))).runs_empty.passes


def test_the_lean_of_the_raft_adds_to_the_fall_a_pipe_needs():
    """1.4 degrees are enough on land and not on a raft that leans one."""
    gentle = pipe(high=Q(0.05, "m"))

    assert emptied(gentle, lean=Q(1, "deg")).runs_empty.verdict == "fails"
    assert emptied(gentle, lean=Q(1, "deg")).runs_empty.limit.m_as("deg") == pytest.approx(1.6)


def test_a_pipe_that_sags_never_runs_empty_by_itself():
    """However far its ends are apart, and the steps say what to do."""
    made = emptied(pipe(sags=True))

    assert made.runs_empty.verdict == "fails"
    assert made.runs_empty.reason == "riser sags"
    assert any("lift 'riser' by hand" in step.does for step in made.steps)


def test_a_pipe_longer_than_its_fall_stands_upright_at_most():
    """Rounding of heights must not make an angle that does not exist."""
    assert emptied(pipe(high=Q(2.5, "m"))).flattest.m_as("deg") == pytest.approx(90)


def test_air_comes_in_at_the_top_before_water_goes_out_at_the_bottom():
    """High ends from the highest, then low ends from the lowest; fuse first, valves last."""
    made = emptied(pipe("a", high=Q(0.5, "m"), low=Q(0.2, "m")), pipe("b", high=Q(1.5, "m"), low=Q(0.1, "m")))
    does = [step.does for step in made.steps]

    assert "fuse" in does[0] and "half open" in does[-1]
    assert does[1].endswith("the highest first: 'b', 'a'")
    assert does[2].endswith("the lowest first: 'b', 'a'")
    assert [step.name for step in made.steps] == [str(n) for n in range(1, len(does) + 1)]


def test_samples_of_draining_agree_with_one_by_one():
    """Cells of the rows, lean and density."""
    def some(pick):
        made = emptied(pipe(high=pick([1, 0.01, 3], "m")), pipe("b", length=pick([2, 3, 4], "m")),
                       lean=pick([0, 1, 2], "deg"))
        return made.volume, made.mass, made.flattest, made.swells, made.runs_empty

    agrees_one_by_one(some, 3)


def test_months_of_frost_are_counted_in_whole_numbers():
    """Never a part of a month."""
    assert np.all(np.asarray(frozen(drained_from="June", drained_until="June").left_full.magnitude) == 5)
