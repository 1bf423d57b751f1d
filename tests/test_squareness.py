"""Is a frame square, and which corner is to be pushed."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.calculator import InputError
from kit.quantities import Q
from kit.squareness import squareness
from tests.one_by_one import agrees_one_by_one


def frame(first=None, second=None, right=1800, other=1200, **changed):
    """A frame of 1800 by 1200 mm, diagonals in mm."""
    given = {"left": Q(1800, "mm"), "right": Q(right, "mm"), "named_side": Q(1200, "mm"), "other_side": Q(other, "mm"),
             "first_diagonal": None if first is None else Q(first, "mm"),
             "second_diagonal": None if second is None else Q(second, "mm")}
    return squareness(**given | changed)


def heights(*values):
    """Corner heights in mm: named left, named right, other left, other right."""
    names = ("height_named_left", "height_named_right", "height_other_left", "height_other_right")
    return {name: Q(value, "mm") for name, value in zip(names, values, strict=True)}


def racked(offset):
    """Both diagonals of a frame whose right side has slid by `offset` towards the named end."""
    deep = math.sqrt(1200**2 - offset**2)
    return math.hypot(1800 + offset, deep), math.hypot(1800 - offset, deep)


def test_before_measuring_it_says_what_to_aim_for():
    """The diagonal of 1800 by 1200 mm is 2163.3 mm; its checks stay open, never met."""
    found = frame()

    assert found.target.m_as("mm") == pytest.approx(math.hypot(1800, 1200))
    assert found.diagonals_equal.verdict == found.measured_well.verdict == found.flat.verdict == "open"
    assert found.advice == "Measure both diagonals before anything is fixed."
    assert np.isnan(found.offset.m)


@pytest.mark.parametrize("offset", [3.6, -3.6, 20])
def test_the_push_puts_a_racked_frame_right(offset):
    """The slide that made the frame is what is to be pushed back, and its angle is asin(slide / width)."""
    found = frame(*racked(offset))

    assert found.offset.m_as("mm") == pytest.approx(-offset)
    assert found.angle.m_as("deg") == pytest.approx(math.degrees(math.asin(offset / 1200)))
    assert found.worst_corner.m_as("deg") == pytest.approx(abs(found.angle.m_as("deg")))
    assert found.closing_error.m_as("mm") == pytest.approx(0, abs=1e-6)


def test_the_advice_names_the_corner_and_the_way():
    """A long first diagonal goes back from the named end, a long second one towards it."""
    long_first, long_second = racked(3.6)

    assert frame(long_first, long_second, named_end="ladder end").advice == (
        "Hold the left side and push the right side 3.6 mm away from the ladder end, at the corner ladder end, right.")
    assert frame(long_second, long_first, named_end="ladder end").advice == (
        "Hold the left side and push the right side 3.6 mm towards the ladder end, at the corner other end, right.")


def test_a_square_frame_is_left_alone():
    """Equal diagonals, equal sides and no twist meet every check."""
    found = frame(*racked(0), **heights(0, 0, 0, 0))

    assert found.advice == "It is square: fix the braces before anybody moves it."
    assert {check.verdict for check in (found.sides_equal, found.diagonals_equal, found.measured_well, found.flat)} == {
        "meets"}


def test_a_trapezoid_with_equal_diagonals_is_caught():
    """Right side 40 mm longer, symmetric: the diagonals agree to the last digit and the corners are out."""
    diagonal = math.hypot(1820, math.sqrt(1200**2 - 20**2))
    found = frame(diagonal, diagonal, right=1840)

    assert found.diagonals_equal.verdict == "meets"
    assert found.measured_well.verdict == "meets"
    assert found.sides_equal.verdict == "fails"
    assert found.worst_corner.m_as("deg") == pytest.approx(math.degrees(math.asin(20 / 1200)))
    assert found.advice.startswith("Mend the lengths first: opposite sides differ")


def test_a_slip_of_the_tape_shows():
    """A diagonal read 20 mm short fits no flat frame."""
    first, second = racked(0)
    found = frame(first, second - 20)

    assert found.measured_well.verdict == "fails"
    assert found.advice.startswith("Measure again")


def test_a_twist_shows_in_the_heights_only():
    """One corner 10 mm up: equal diagonals hide it, the heights do not."""
    found = frame(*racked(0), **heights(50, 60, 50, 50))

    assert found.diagonals_equal.verdict == "meets"
    assert found.twist.m_as("mm") == pytest.approx(10)
    assert found.flat.verdict == "fails"


def test_a_frame_that_only_leans_is_not_twisted():
    """A plane has no twist, however it lies."""
    assert frame(**heights(30, 50, 10, 30)).twist.m_as("mm") == pytest.approx(0)


def test_inches_give_the_same_push():
    """The unit of an entry does not matter."""
    first, second = racked(3.6)
    inches = {"first_diagonal": Q(first / 25.4, "in"), "second_diagonal": Q(second / 25.4, "in")}

    assert frame(**inches).offset.m_as("mm") == pytest.approx(-3.6)


def test_lengths_that_do_not_close_are_refused():
    """A diagonal longer than two sides together is beside both boxes."""
    with pytest.raises(InputError) as caught:
        frame(3100, 2163)

    sentence = "these lengths do not close into a frame; measure again, such as 2166 mm for 1800 mm by 1200 mm"
    assert caught.value.faults == {"first_diagonal": sentence, "second_diagonal": sentence}


def test_samples_of_a_frame_agree_one_by_one():
    """Every length an array; the advice is that of the mean."""
    def found(pick):
        made = squareness(
            left=pick([1800, 1801, 1799], "mm"), right=pick([1800, 1802, 1800], "mm"),
            named_side=pick([1200, 1199, 1200], "mm"), other_side=pick([1200, 1200, 1201], "mm"),
            first_diagonal=pick([2166, 2164, 2161], "mm"), second_diagonal=pick([2160, 2163, 2166], "mm"))
        return tuple(value for name, value in vars(made).items() if name not in ("advice", "notes"))

    agrees_one_by_one(found, 3)
