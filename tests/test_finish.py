"""Coats, drying calendar, sanding, sealant and upkeep: term by term."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.climate import Month
from kit.drying import drying_calendar, outdoor_months
from kit.enclosure import dew_point
from kit.finish import finish_coats
from kit.handed import Surface
from kit.quantities import Q
from kit.sanding import grit_sequence, sanding
from kit.sealant import SealJoint, sealant
from kit.upkeep import upkeep
from tests.one_by_one import agrees_one_by_one

TINS = {"spread": Q(8, "m^2/L"), "tin": Q(2.5, "L"), "tins": 1}
OIL = {"coats": 2, "way": "wet on wet", "earliest": Q(20, "min"), "latest": Q(60, "min"), "hard": Q(72, "h"),
       "area": Q(8, "m^2"), "pace": Q(10, "m^2/h"), "temperature": Q(20, "degC"), "humidity": Q(50, "percent")}
PAINT = OIL | {"way": "each coat dry", "earliest": Q(16, "h"), "latest": Q(72, "h"), "coats": 3, "hard": Q(48, "h")}
SAND = {"area": Q(8, "m^2"), "first": "80", "last": "120", "panel": Q(0.4, "m^2"), "panel_time": Q(6, "min")}
KEPT = {"finish": "oil stain on smooth wood", "every": Q(2, "yr"), "area": Q(8, "m^2"), "spread": Q(8, "m^2/L"),
        "pace": Q(10, "m^2/h")}


def surface(name="panel", area=8.0, bare=0.0, kind="planed"):
    """A surface in square metres."""
    return Surface(name=name, area=Q(area, "m^2"), bare=Q(bare, "m^2"), kind=kind)


def litres(*surfaces, **changed):
    """Finish for surfaces."""
    return finish_coats(extra=surfaces or [surface()], **TINS | changed).litres.m_as("L")


# -- coats ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("changed", "times"), [
    ({"coats": 4}, 2), ({"spread": Q(4, "m^2/L")}, 2), ({"waste": Q(20, "percent")}, 1.2 / 1.1), ({"end_coats": 9}, 1)])
def test_litres_go_with_each_term(changed, times):
    """Coats, spread and waste; coats of end grain change nothing on a planed face."""
    assert litres(**changed) / litres() == pytest.approx(times)


def test_sawn_wood_drinks_twice_and_end_grain_gets_three_coats():
    """At half the spread; end grain three coats instead of two."""
    assert litres(surface(kind="sawn")) / litres() == pytest.approx(2)
    assert litres(surface(kind="end grain")) / litres() == pytest.approx(3)


def test_glued_and_bare_faces_take_nothing():
    """8 m2 of 14.6, the deck top left bare."""
    found = finish_coats(surfaces=[surface("deck", 6.6, 6.6)], extra=[surface("panels", 9.2, 1.2)], **TINS)

    assert (found.area.m_as("m^2"), found.left_bare.m_as("m^2")) == pytest.approx((8.0, 7.8))
    assert found.litres.m_as("L") == pytest.approx(2.2)
    assert [row.name for row in found.by_surface] == ["deck", "panels"]


def test_more_bare_than_there_is_is_refused():
    """By its name, with an example."""
    with pytest.raises(InputError) as caught:
        finish_coats(extra=[surface("lid", 1.0, 1.5)], **TINS)

    assert caught.value.faults == {"extra": "lid: more is left bare than there is; the whole area comes first, such as "
                                            "1.2 m^2 with 0.1 m^2 bare"}


@pytest.mark.parametrize(("tins", "verdict"), [(0, "fails"), (1, "meets"), (2, "meets")])
def test_tins_bought_are_held_against_the_litres(tins, verdict):
    """2.2 L of tins of 2.5."""
    found = finish_coats(extra=[surface()], **TINS | {"tins": tins})

    assert (found.enough.verdict, found.tins_needed) == (verdict, Q(1))


def test_nothing_to_coat_takes_nothing():
    """No surface, no litre, no tin."""
    found = finish_coats(**TINS)

    assert (found.litres.magnitude, found.tins_needed.magnitude) == (0, 0)


def test_a_film_finish_is_open_until_its_solids_are_known():
    """Then it needs a tenth of a millimetre."""
    paint = TINS | {"kind": "paint or varnish that forms a film", "extra": [surface()]}

    assert finish_coats(**paint).film.verdict == "open"
    assert finish_coats(**paint, coats=2, solids=Q(40, "percent")).film.passes
    assert finish_coats(**paint, coats=1, solids=Q(40, "percent")).film.verdict == "fails"
    assert finish_coats(extra=[surface()], **TINS).film.verdict == "does not apply"


def test_feet_and_gallons_say_the_same():
    """Area in square feet."""
    feet = finish_coats(extra=[Surface(name="a", area=Q(8 / 0.3048**2, "ft^2"))], **TINS)

    assert feet.litres.m_as("L") == pytest.approx(2.2)


# -- drying -----------------------------------------------------------------------------------------------


def test_wet_on_wet_the_area_at_once_is_limited_by_the_window():
    """At 10 m2 an hour 48 minutes pass before the first spot is coated again; at 5 m2 an hour it is too late."""
    quick, slow, halved = (drying_calendar(**OIL | changed) for changed in (
        {}, {"pace": Q(5, "m^2/h")}, {"pace": Q(5, "m^2/h"), "sections": 2}))

    assert quick.gap.m_as("min") == pytest.approx(48)
    assert (quick.in_window.verdict, slow.in_window.verdict, halved.in_window.verdict) == ("meets", "fails", "meets")
    assert slow.largest.m_as("m^2") == pytest.approx(5)


def test_the_clock_never_names_a_minute_before_the_coat_may_go_on():
    """20 min at 20 degC are 28.3 at 15: half past nine less a minute, not two."""
    oiled = drying_calendar(**OIL | {"temperature": Q(15, "degC"), "sections": 4})

    assert oiled.gap.m_as("min") == pytest.approx(20 * 2**0.5)
    assert [coat.when for coat in oiled.calendar] == ["day 1, 09:00", "day 1, 09:29"]


def test_ten_degrees_colder_takes_twice_as_long():
    """The earliest and the hardening, not the latest."""
    warm, cold = (drying_calendar(**PAINT | {"temperature": Q(t, "degC")}) for t in (20, 10))

    assert cold.slower.m_as("") == pytest.approx(2 * warm.slower.m_as(""))
    assert (cold.earliest_here / warm.earliest_here).m_as("") == pytest.approx(2)
    assert cold.latest_here == warm.latest_here
    assert cold.ready > warm.ready


def test_heat_shortens_the_window_too():
    """At 30 degC half of the latest time is left."""
    assert drying_calendar(**OIL | {"temperature": Q(30, "degC")}).latest_here.m_as("min") == pytest.approx(30)


def test_damp_air_slows_only_what_dries_by_water_leaving():
    """Half the shortage of vapour, twice the time."""
    damp = {"humidity": Q(75, "percent")}

    assert drying_calendar(**PAINT | damp).slower.m_as("") == pytest.approx(1)
    assert drying_calendar(**PAINT | damp, dries="water-based").slower.m_as("") == pytest.approx(2)


def test_a_coat_that_would_run_into_the_night_waits_for_the_morning():
    """Three coats on three days; with three hours between them two on the first."""
    assert [c.when for c in drying_calendar(**PAINT).calendar] == ["day 1, 09:00", "day 2, 09:00", "day 3, 09:00"]
    quick = drying_calendar(**PAINT | {"earliest": Q(3, "h")})
    assert [c.when for c in quick.calendar] == ["day 1, 09:00", "day 1, 12:48", "day 1, 16:36"]


def test_a_weekend_away_misses_a_window():
    """Earliest 20 h is the next morning but one: 48 h, beyond a window of 40."""
    missed = drying_calendar(**PAINT | {"earliest": Q(30, "h"), "latest": Q(40, "h")})

    assert missed.in_window.verdict == "fails"


def test_waiting_is_not_labour():
    """Hours with the brush are taken off."""
    found = drying_calendar(**OIL)

    assert found.brushing.m_as("h") == pytest.approx(1.6)
    assert (found.ready - found.brushing).m_as("d") == pytest.approx(found.waiting.m_as("d"))
    assert found.days.magnitude == np.ceil(found.waiting.magnitude)


@pytest.mark.parametrize(("changed", "check"), [
    ({"temperature": Q(3, "degC")}, "warm"), ({"humidity": Q(90, "percent")}, "not_damp"),
    ({"colder": Q(8, "delta_degC")}, "no_dew"), ({"moisture": Q(22, "percent")}, "wood_dry"),
    ({"pace": Q(0.5, "m^2/h"), "way": "each coat dry"}, "in_a_day")])
def test_each_thing_that_spoils_a_coat_fails_its_check(changed, check):
    """Cold, damp, dew, wet wood, and a coat that no day is long enough for."""
    assert getattr(drying_calendar(**OIL | changed), check).verdict == "fails"
    assert getattr(drying_calendar(**OIL | {"moisture": Q(12, "percent")}), check).passes


def test_a_window_that_shuts_before_it_opens_is_refused():
    """The sentence stands beside both."""
    with pytest.raises(InputError) as caught:
        drying_calendar(**OIL | {"latest": Q(10, "min")})

    why = "the latest time is before the earliest, such as 20 and 60 min"
    assert caught.value.faults == {"earliest": why, "latest": why}


def test_saturated_air_is_at_its_dew_point():
    """And drier air further above it."""
    for temperature in (-5.0, 5.0, 25.0):
        air = Q(temperature, "degC")
        assert dew_point(air, Q(100, "percent")).m_as("degC") == pytest.approx(temperature)
        assert dew_point(air, Q(40, "percent")) < dew_point(air, Q(60, "percent"))


def test_months_are_named_round_the_turn_of_the_year():
    """In the south the warm months run over New Year; with none warm enough it says so."""
    south = [Month(name="January", temperature=Q(20, "degC"), humidity=Q(60, "percent")),
             Month(name="July", temperature=Q(1, "degC"), humidity=Q(60, "percent"))]
    cold = [Month(name="January", temperature=Q(-5, "degC"), humidity=Q(60, "percent"))]
    always = [Month(name="January", temperature=Q(20, "degC"), humidity=Q(50, "percent"))]

    assert outdoor_months(months=south).says == "September to May"
    assert outdoor_months(months=cold).says.startswith("none")
    assert outdoor_months(months=cold).outdoors.verdict == "fails"
    assert outdoor_months(months=always).says == "any month"


# -- sanding ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("first", "last", "step", "grits"), [
    (80, 120, 1.3, (80, 100, 120)), (80, 180, 1.5, (80, 120, 180)), (60, 60, 1.3, (60,)),
    (60, 120, 1.3, (60, 80, 100, 120)), (80, 220, 1.3, (80, 100, 120, 150, 180, 220))])
def test_grits_take_the_widest_step_allowed(first, last, step, grits):
    """And the next one sold where none is within it, as from 60 to 80."""
    assert grit_sequence(first, last, step) == grits


@pytest.mark.parametrize(("changed", "times"), [
    ({"area": Q(16, "m^2")}, 2), ({"panel_time": Q(12, "min")}, 2), ({"panel": Q(0.8, "m^2")}, 0.5),
    ({"last": "80"}, 1 / 3), ({"edges": Q(50, "percent")}, 1.5)])
def test_sanding_hours_go_with_each_term(changed, times):
    """Area, pace, grits, edges."""
    assert (sanding(**SAND | changed).likely / sanding(**SAND).likely).m_as("") == pytest.approx(times)


def test_discs_and_packs_are_whole_for_every_grit():
    """8 m2 by 2 m2 a disc is four a grit, a pack of five for each of three."""
    found = sanding(**SAND)

    assert (found.discs.magnitude, found.packs.magnitude) == (12, 3)
    assert sanding(**SAND | {"area": Q(10.1, "m^2")}).packs.magnitude == 6


def test_the_last_grit_is_held_against_the_finish():
    """180 polishes the pores shut before oil and is right before varnish."""
    film = "paint or varnish that forms a film"

    assert sanding(**SAND | {"last": "180"}).last_grit.verdict == "fails"
    assert sanding(**SAND | {"last": "180"}, finish=film).last_grit.verdict == "meets"
    assert sanding(**SAND | {"last": "100"}, finish=film).last_grit.verdict == "fails"


def test_grits_the_wrong_way_round_are_refused():
    """In a sentence beside both."""
    with pytest.raises(InputError, match="the first grit must be the coarser, such as 80 and 120"):
        sanding(**SAND | {"first": "120", "last": "80"})


# -- sealant ----------------------------------------------------------------------------------------------


def joint(**changed):
    """A moving joint of 12 x 6 mm with a rod behind it."""
    given = {"name": "top", "section": "rectangle", "width": Q(12, "mm"), "depth": Q(6, "mm"), "length": Q(2, "m"),
             "share": Q(50, "percent"), "backed": True}
    return SealJoint(**given | changed)


def sealed(*joints, **changed):
    """A panel that swells by 5 and shrinks by 2 mm."""
    given = {"movement": Q(5, "mm"), "other_way": Q(-2, "mm"), "cartridges": 2}
    return sealant(joints=joints or [joint()], **given | changed)


def test_a_joint_takes_its_share_of_the_larger_movement():
    """Half of 5 mm on 12 mm; half of 7 the other way round is too much."""
    assert sealed().by_joint[0].strain.m_as("percent") == pytest.approx(100 * 2.5 / 12)
    assert sealed().by_joint[0].least_width.m_as("mm") == pytest.approx(10)
    assert sealed().stretches.verdict == "meets"
    assert sealed(other_way=Q(-7, "mm")).stretches.verdict == "fails"


def test_a_share_of_an_unknown_movement_is_open():
    """A joint said to take half of what the panel moves is not free of it because nobody has said how far that is."""
    found = sealed(movement=Q(0, "mm"), other_way=Q(0, "mm"))

    assert found.stretches.verdict == "open"
    assert found.stretches.reason.startswith("top: enter how far the panel moves")


@pytest.mark.parametrize(("changed", "check", "verdict"), [
    ({"depth": Q(4, "mm")}, "deep_enough", "fails"), ({"depth": Q(14, "mm")}, "not_too_deep", "fails"),
    ({"backed": False}, "two_sided", "fails"), ({"share": Q(0, "percent")}, "stretches", "does not apply"),
    ({"share": Q(0, "percent"), "backed": False}, "two_sided", "does not apply"), ({}, "two_sided", "meets")])
def test_the_shape_of_a_moving_joint(changed, check, verdict):
    """Deep enough, not too deep, free at the back; a joint that does not move may be as it likes."""
    assert getattr(sealed(joint(**changed)), check).verdict == verdict


def test_a_rectangle_without_a_depth_is_refused():
    """By the joint's name."""
    with pytest.raises(InputError) as caught:
        sealed(joint(depth=None))

    assert caught.value.faults == {"joints": "top: a rectangle needs its depth, such as 6 mm for 12 mm of width"}


def test_cartridges_are_whole_and_waste_counts():
    """144 mL with 15 % is one of 310 mL and two of 150."""
    assert sealed().volume.m_as("mL") == pytest.approx(144 * 1.15)
    assert sealed().needed == Q(1)
    assert sealed(cartridge=Q(150, "mL")).needed == Q(2)
    assert sealed(cartridge=Q(150, "mL"), cartridges=1).enough.verdict == "fails"


# -- upkeep -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("every", "renewals"), [(2, 4), (3, 3), (5, 1), (10, 0), (1, 9)])
def test_a_renewal_on_the_last_day_is_not_made(every, renewals):
    """Ten years."""
    assert upkeep(**KEPT | {"every": Q(every, "yr")}).renewals == Q(renewals)


def test_litres_hours_and_cost_are_those_of_the_renewals():
    """Four of 8 m2 at 8 m2 a litre and 10 m2 an hour, with two hours of cleaning each."""
    found = upkeep(**KEPT, tin_price=Q(50, "money"))

    assert found.litres.m_as("L") == pytest.approx(4.4)
    assert found.hours.m_as("h") == pytest.approx(4 * 2.8)
    assert found.cost.m_as("money") == pytest.approx(4.4 / 2.5 * 50)


def test_a_finish_without_a_published_life_is_left_to_its_tin():
    """And says so."""
    found = upkeep(**KEPT | {"finish": "another, by its tin"})

    assert found.in_time.verdict == "does not apply"
    assert np.isnan(found.longest.magnitude)


# -- samples ----------------------------------------------------------------------------------------------


def test_samples_of_every_calculator_equal_single_calls():
    """Two or three samples each, cells of rows included."""
    agrees_one_by_one(lambda pick: finish_coats(
        extra=[Surface(name="a", area=pick([8, 9, 7], "m^2"), kind="sawn")], solids=Q(40, "percent"),
        **TINS | {"spread": pick([8, 6, 7], "m^2/L")}), 3)
    agrees_one_by_one(lambda pick: drying_calendar(**PAINT | {"temperature": pick([8, 15, 24], "degC"),
                                                              "humidity": pick([50, 80, 65], "percent")}), 3)
    agrees_one_by_one(lambda pick: drying_calendar(**OIL | {"pace": pick([8, 15, 5], "m^2/h")}), 3)
    agrees_one_by_one(lambda pick: sanding(**SAND | {"panel_time": pick([5, 6, 8], "min")}), 3)
    agrees_one_by_one(lambda pick: sealed(joint(width=pick([12, 10], "mm")), movement=pick([5, -6], "mm")), 2)
    agrees_one_by_one(lambda pick: upkeep(**KEPT | {"every": pick([2, 3.3], "yr")}), 2)
