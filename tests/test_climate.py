"""The weather of the year, read off the months that are known."""

from __future__ import annotations

import numpy as np
import pytest

from kit import Q
from kit.calculator import InputError
from kit.climate import MONTHS, Month, by_month, climate


def month(name: str, temperature: float = 5, humidity: float = 80) -> Month:
    """A month of the year."""
    return Month(name=name, temperature=Q(temperature, "degC"), humidity=Q(humidity, "percent"))


def test_a_month_that_is_given_is_kept_as_it_is() -> None:
    """All twelve months given come back in the order of the year, however they were entered."""
    given = [month(name, place, 50 + place) for place, name in enumerate(MONTHS)]
    year = climate(months=given[::-1])
    assert year.temperature.m_as("degC").tolist() == pytest.approx(list(range(12)))
    assert year.humidity.m_as("percent").tolist() == pytest.approx([50 + place for place in range(12)])


def test_a_month_between_two_lies_on_the_straight_line_between_them() -> None:
    """From January to July it rises by a sixth of the difference a month, and falls again after it."""
    year = climate(months=[month("January", 0), month("July", 12)])
    assert year.temperature.m_as("degC").tolist() == pytest.approx([0, 2, 4, 6, 8, 10, 12, 10, 8, 6, 4, 2])
    assert (year.coldest, year.warmest) == ("January", "July")


def test_the_turn_of_the_year_is_bridged() -> None:
    """December lies between November and March when those are its neighbours."""
    year = climate(months=[month("March", 8), month("November", 4)])
    assert year.temperature.m_as("degC")[[11, 0, 1]].tolist() == pytest.approx([5, 6, 7])


def test_one_month_stands_for_the_whole_year() -> None:
    """With a single month every month is that month."""
    assert np.ptp(climate(months=[month("May", 9)]).temperature.m_as("degC")) == 0


def test_samples_stand_last() -> None:
    """Samples of a month's temperature give twelve rows of samples."""
    temperature, humidity = by_month(
        [month("January"), Month(name="July", temperature=Q(np.arange(3.0), "degC"), humidity=Q(70, "percent"))]
    )
    assert temperature.shape == (12, 3)
    assert humidity.shape == (12,)


def test_a_month_given_twice_is_refused() -> None:
    """Which of the two would count is not guessed."""
    with pytest.raises(InputError, match="two rows are called 'May'"):
        climate(months=[month("May"), month("May")])


def test_no_month_at_all_is_refused() -> None:
    """The sentence says what to give."""
    with pytest.raises(InputError, match="give at least one month, such as January with 1 degC and 88 %"):
        climate(months=[])
