"""Wood through the year, and the gap between two boards."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.climate import MONTHS, Month
from kit.moisture import gap_year, yearly_moisture
from kit.quantities import Q
from kit.timber import equilibrium_moisture
from tests.one_by_one import agrees_one_by_one


def month(name, temperature, humidity):
    """A month of the year."""
    return Month(name=name, temperature=Q(temperature, "degC"), humidity=Q(humidity, "percent"))


TARN = (month("January", 1, 88), month("July", 14, 80))


def gap(**changed):
    """Larch boards of 145 mm laid at 15 % with 6 mm between them."""
    given = {"months": TARN, "board_width": Q(145, "mm"), "gap": Q(6, "mm"), "timber": "western larch",
             "laid_moisture": Q(15, "percent")}
    return gap_year(**given | changed)


def test_every_month_is_that_of_its_air():
    """The curve is the equilibrium moisture of the twelve months, and its ends are its least and most."""
    air = [(month_, 2 + place, 90 - 2 * place) for place, month_ in enumerate(MONTHS)]
    year = yearly_moisture(months=[month(*one) for one in air])
    single = [equilibrium_moisture(temperature=Q(t, "degC"), humidity=Q(h, "percent")).moisture.m for _, t, h in air]

    assert year.moisture.m.tolist() == pytest.approx(single)
    assert (year.least.m, year.most.m, year.mean.m) == pytest.approx((min(single), max(single), np.mean(single)))
    assert (year.driest_month, year.wettest_month) == ("December", "January")


def test_sun_dries_and_rain_wets():
    """Each is put upon its own end, and none is drier than dry."""
    plain = yearly_moisture(months=TARN)
    out = yearly_moisture(months=TARN, sun=Q(2, "percent"), rain=Q(5, "percent"))
    desert = yearly_moisture(months=[month("July", 30, 5)], sun=Q(20, "percent"))

    assert (out.least - plain.least).m_as("percent") == pytest.approx(-2)
    assert (out.most - plain.most).m_as("percent") == pytest.approx(5)
    assert desert.least.m == 0


def test_air_beyond_the_equation_is_said():
    """Fog and hard frost are taken at its edge, with a remark."""
    foggy = yearly_moisture(months=[month("January", -20, 100)])
    edge = equilibrium_moisture(temperature=Q(-1.2, "degC"), humidity=Q(95, "percent")).moisture

    assert foggy.most.m == pytest.approx(edge.m)
    assert any("up to 95 % humidity" in note for note in foggy.notes)
    assert yearly_moisture(months=TARN).notes == ()


def test_a_gap_closes_as_boards_swell():
    """Twice the width moves twice as far, quarter-sawn less, and a gap at the moisture of laying is the one laid."""
    narrow, wide, upright = gap(), gap(board_width=Q(290, "mm")), gap(cut="quarter-sawn")
    still = gap(laid_moisture=Q(yearly_moisture(months=TARN).moisture[0].m, "percent"))

    assert (6 - narrow.narrowest.m_as("mm")) * 2 == pytest.approx(6 - wide.narrowest.m_as("mm"))
    assert upright.narrowest > narrow.narrowest
    assert still.monthly[0].m_as("mm") == pytest.approx(6)
    assert narrow.monthly.m_as("mm").min() == pytest.approx(narrow.narrowest.m_as("mm"))


def test_the_window_of_gaps_at_laying_keeps_both_limits():
    """Laid with the least of the window the narrowest of the year is the least that drains; with the most, a finger."""
    found = gap(sun=Q(2, "percent"))

    assert gap(gap=found.lay_at_least, sun=Q(2, "percent")).narrowest.m_as("mm") == pytest.approx(3)
    assert gap(gap=found.lay_at_most, sun=Q(2, "percent")).widest.m_as("mm") == pytest.approx(8)
    assert found.laid_well.verdict == "meets"
    assert gap(gap=Q(5, "mm")).laid_well.verdict == "fails"


def test_a_species_whose_movement_nobody_knows_is_not_covered():
    """No number, and the check says why."""
    unknown = gap(timber="slash pine")

    assert unknown.laid_well.verdict == "not covered"
    assert unknown.laid_well.reason == "no movement of slash pine is known"
    assert np.isnan(unknown.widest.m)


def test_limits_that_run_backwards_are_refused():
    """With what to write."""
    with pytest.raises(InputError, match="the greatest gap is below the least; write 8 mm for the greatest"):
        gap(least_gap=Q(9, "mm"))


def may(pick):
    """A May whose air is sampled."""
    return Month(name="May", temperature=pick([5, 8, 30], "degC"), humidity=pick([60, 80, 99], "percent"))


def test_samples_agree_one_by_one():
    """Air, sun, board and laying may each be sampled, together or not; of a curve its fifth month is compared."""
    def year(pick):
        found = yearly_moisture(months=[may(pick), TARN[0]], sun=pick([0, 1, 2], "percent"))
        return found.least, found.most, found.mean, found.moisture[4]

    def gaps(pick, air):
        sizes = {"board_width": pick([90, 145, 200], "mm"), "laid_moisture": pick([12, 15, 30], "percent")}
        found = gap(months=air(pick), **sizes)
        return found.widest, found.narrowest, found.lay_at_least, found.lay_at_most, found.monthly[4], found.laid_well

    agrees_one_by_one(year, 3)
    agrees_one_by_one(lambda pick: gaps(pick, lambda _: TARN), 3)
    agrees_one_by_one(lambda pick: gaps(pick, lambda pick: [may(pick)]), 3)
