"""Wind, waves and current on a moored raft: every term moved."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from kit.calculator import InputError
from kit.quantities import Q
from tests.mooring_cases import below, caught, pushed
from tests.one_by_one import agrees_one_by_one


def newtons(load, name):
    """A result in newtons."""
    return getattr(load, name).m_as("N")


def test_wind_goes_with_the_square_of_its_speed():
    """Twice the gust pushes four times as hard; waves entered stay."""
    once, twice = pushed(gust=Q(10, "m/s")), pushed(gust=Q(20, "m/s"))

    assert newtons(twice, "wind_side") == pytest.approx(4 * newtons(once, "wind_side"))
    assert newtons(twice, "wave_side") == pytest.approx(newtons(once, "wave_side"))


def test_wind_goes_with_area_and_drag():
    """0.6125 V^2 on area times coefficient, row by row."""
    load = pushed(sides=[*caught(2, 1.2), *caught(1, 0.8, "other")])

    assert newtons(load, "wind_side") == pytest.approx(0.5 * 1.225 * 625 * (2.4 + 0.8))


def test_waves_go_with_height_squared_and_the_side_they_meet():
    """Twice the height four times the push; side to end as length to width."""
    low, high = pushed(waves=Q(0.2, "m")), pushed(waves=Q(0.4, "m"))

    assert newtons(high, "wave_side") == pytest.approx(4 * newtons(low, "wave_side"))
    assert newtons(low, "wave_side") / newtons(low, "wave_end") == pytest.approx(3 / 2.2)


def test_waves_left_out_are_those_of_the_fetch():
    """Four times the fetch twice the height; a wind for the waves replaces the gust; fetches end in a grown sea."""
    short, far = pushed(waves=None), pushed(waves=None, fetch=Q(1000, "m"))

    eased = pushed(waves=None, wave_wind=Q(12.5, "m/s"))
    assert (far.wave_height / short.wave_height).m_as("") == pytest.approx(2)
    assert (eased.wave_height / short.wave_height).m_as("") == pytest.approx(0.5)
    assert short.waves_covered.verdict == "does not apply"
    grown = pushed(gust=Q(5, "m/s"), waves=None, fetch=Q(100_000, "m")).wave_height
    assert grown.m_as("m") == pytest.approx(0.243 * 25 / 9.80665)


def test_a_wave_height_below_that_of_the_fetch_fails():
    """0.20 m are 0.202 m to the nearest 10 mm; 0.15 m are not."""
    assert pushed(waves=Q(0.2, "m")).waves_covered.verdict == "meets"
    assert pushed(waves=Q(0.15, "m")).waves_covered.verdict == "fails"


def test_a_current_pushes_with_its_square_and_harder_near_the_bottom():
    """In deep water 0.5 rho V^2 C A; with the bottom close the coefficient tends to 3.2, from the side only."""
    deep = pushed(current=Q(0.5, "m/s"), under=below(1.2, 0.3), depth=Q(200, "m"))
    near = pushed(current=Q(0.5, "m/s"), under=below(1.2, 0.3), depth=Q(0.17, "m"))

    assert newtons(deep, "current_side") == pytest.approx(0.5 * 1000 * 0.25 * 1.2 * 1.2, rel=1e-5)
    assert newtons(near, "current_side") == pytest.approx(0.5 * 1000 * 0.25 * 3.2 * 1.2)
    assert newtons(near, "current_end") == pytest.approx(newtons(deep, "current_end"))
    assert newtons(pushed(current=Q(1, "m/s")), "current_side") == 0


def test_the_curve_meets_the_side_and_the_end():
    """At 0 degrees the end's load, at 90 the side's, alike from opposite directions; the worst is its greatest."""
    load = pushed(current=Q(0.3, "m/s"), under=below(1.2, 0.3))
    at = dict(zip(load.heading.m_as("deg"), load.by_heading.m_as("N"), strict=True))

    assert at[0] == pytest.approx(newtons(load, "end_on"))
    assert at[90] == pytest.approx(newtons(load, "side"))
    assert at[50] == pytest.approx(at[230])
    assert newtons(load, "worst") == pytest.approx(max(at.values()))


@pytest.mark.parametrize(
    ("side", "end", "words"),
    [
        (3, 1, "the right or left side"),
        (1, 3, "the ladder end or the other end"),
        (2, 2, "a corner, 45 degrees off the ladder end"),
    ],
)
def test_the_worst_direction_is_named(side, end, words):
    """Broadside, end-on, and slanting on a square raft."""
    load = pushed(sides=caught(side), ends=caught(end), waves=Q(0, "m"), end="ladder end")

    assert load.worst_from == words


def test_nothing_pushes_on_a_calm_day():
    """No wind, no wave."""
    assert pushed(gust=Q(0, "m/s"), waves=Q(0, "m")).worst_from == "nowhere: nothing pushes"


def test_waves_too_high_for_the_water_are_remarked_on():
    """More than half the depth breaks."""
    assert any("they break" in note for note in pushed(waves=Q(0.5, "m"), depth=Q(0.6, "m")).notes)


def test_a_raft_on_the_bottom_is_refused():
    """Draft and depth are both named."""
    with pytest.raises(InputError) as refused:
        pushed(draft=Q(0.5, "m"), depth=Q(0.4, "m"))

    assert refused.value.faults == dict.fromkeys(
        ("draft", "depth"), "it would lie on the bottom: the draft is more than the depth"
    )


def test_units_do_not_matter():
    """Miles an hour, written in km/h, and feet."""
    assert newtons(pushed(gust=Q(90, "km/h"), fetch=Q(250 / 0.3048, "ft")), "worst") == pytest.approx(
        newtons(pushed(), "worst")
    )


def test_samples_are_worked_as_one_by_one():
    """Speeds, heights, areas and depths together."""

    def plain(pick: Any) -> Any:
        load = pushed(
            gust=pick([20, 25, 30], "m/s"),
            waves=pick([0.1, 0.2, 0.3], "m"),
            current=pick([0, 0.3, 0.6], "m/s"),
            depth=pick([1, 2, 3], "m"),
            under=below(2, 0.3),
        )
        # The curves have the directions on their first axis; they are compared for every calculator elsewhere.
        return load.worst, load.side, load.end_on, load.wave_by_fetch, load.waves_covered

    agrees_one_by_one(plain, 3)


def test_a_curve_of_samples_has_them_on_its_last_axis():
    """Directions first."""
    load = pushed(gust=Q(np.array([20.0, 25.0, 30.0]), "m/s"))

    assert load.by_heading.shape == (load.heading.size, 3)
