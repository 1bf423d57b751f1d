"""Loads, sun, panels, battery: one test a term, samples against one by one, the exact text of an error."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from kit import sky
from kit.battery import battery_bank, cold_multiplier
from kit.battery_hours import year_by_hour
from kit.battery_volts import battery_volts
from kit.battery_year import _said, battery_year
from kit.calculator import InputError
from kit.charging import battery_air, charging
from kit.climate import MONTHS, Month
from kit.energy_balance import energy_balance, reserve
from kit.handed import Load
from kit.held_valve import held_valve
from kit.lamps_left import left_on, peukert_time
from kit.load_hours import Take, by_the_hour
from kit.months import Year, in_season
from kit.more_power import more_power
from kit.panel_yield import panel_yield
from kit.power_loads import DrawnLoad, power_loads
from kit.quantities import Q, Quantity
from kit.sampling import sampling
from kit.solar_panels import PanelFace, panel_sun
from kit.sun import SunMonth, sun_year

AIR = [
    Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
    Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent")),
]
CLEAR = [SunMonth(name=name, clearness=Q(0.4)) for name in MONTHS]


def load(name: str = "lamps", **given: Any) -> DrawnLoad:
    """A load of one watt for three hours unless told otherwise."""
    plain: dict[str, Any] = {"power": Q("1 W"), "season": Q("3 h"), "winter": Q("1 h")}
    return DrawnLoad(name=name, **(plain | given))


def drawn(*loads: DrawnLoad, **given: Any) -> Any:
    """The loads worked out at 12 V and 54.5 degrees."""
    return power_loads(**({"volts": Q("12 V"), "latitude": Q("54.5 deg"), "own": loads} | given))


def wh(q: Quantity) -> float:
    """Plain watt hours."""
    return float(q.m_as("Wh"))


# -- loads -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "june", "december"),
    [
        ({"duty": "always"}, 24, 24),
        ({"duty": "hours a day"}, 3, 1),
        ({"duty": "hours a day", "winter": None}, 3, 3),
        ({"duty": "runs a day", "runs": Q(4), "run": Q("15 min")}, 1, 1),
        ({"duty": "by the clock", "begins": Q("18 h"), "ends": Q("23 h")}, 5, 5),
        ({"duty": "by the clock", "begins": Q("22 h"), "ends": Q("6 h")}, 8, 8),
        ({"duty": "by the clock", "begins": Q("0 h"), "ends": Q("24 h")}, 24, 24),
        ({"duty": "always", "when": "in season"}, 24, 0),
        ({"duty": "always", "when": "out of season"}, 0, 24),
        ({"duty": "always", "pieces": 6}, 144, 144),
        ({"duty": "hours a day", "standby": Q("5 mA")}, 3 + 0.06 * 21, 1 + 0.06 * 23),
    ],
)
def test_a_load_by_its_duty(given: dict[str, Any], june: float, december: float) -> None:
    """Watt hours of a load of one watt on a mean day of June, in the season, and December, out of it."""
    energy = drawn(load(**given)).energy

    assert wh(energy[5]) == pytest.approx(june)
    assert wh(energy[11]) == pytest.approx(december)


def test_a_load_from_dusk_to_dawn_follows_the_night() -> None:
    """At 54.5 degrees the night of June is 7.1 h and of December 16.9 h; south of the equator it is the other way."""
    north = drawn(load(duty="dusk to dawn")).energy
    south = drawn(load(duty="dusk to dawn"), latitude=Q("-54.5 deg")).energy

    assert (wh(north[5]), wh(north[11])) == pytest.approx((7.11, 16.88), abs=0.05)
    assert wh(south[5]) > 16 > 8 > wh(south[11])


def test_a_load_from_dusk_until_an_hour() -> None:
    """Until 23 h it burns from sunset; where the clock is ahead, dusk comes later by the clock."""
    until = {"duty": "from dusk until", "ends": Q("23 h")}
    plain, ahead = drawn(load(**until)).energy, drawn(load(**until), clock_ahead=Q("1 h")).energy

    dusk = 24 - 16.88 / 2
    assert wh(plain[11]) == pytest.approx(23 - dusk, abs=0.03)
    assert wh(plain[11] - ahead[11]) == pytest.approx(1)
    # 2 h is after midnight; 21 h in June is still light by the sun's own clock less than half an hour before dusk.
    assert wh(drawn(load(duty="from dusk until", ends=Q("2 h"))).energy[11]) == pytest.approx(26 - dusk, abs=0.03)
    assert wh(drawn(load(duty="from dusk until", ends=Q("20 h"))).energy[5]) == 0


def test_a_current_is_taken_at_the_volts_of_the_build() -> None:
    """20 mA all day are 5.76 Wh at 12 V and 11.52 Wh at 24 V."""
    logger = load(power=None, current=Q("20 mA"), duty="always")

    assert wh(drawn(logger).season) == pytest.approx(5.76)
    assert wh(drawn(logger, volts=Q("24 V")).season) == pytest.approx(11.52)


def test_wires_and_converters_swell_what_is_drawn() -> None:
    """With 90 % arriving, one over 0.9 is drawn."""
    assert wh(drawn(load(), wiring=Q("90 %")).season) == pytest.approx(3 / 0.9)


def test_loads_of_other_stages_are_added() -> None:
    """A handed load counts like an own one, with its start."""
    pump = Load(name="water: pump", power=Q("36 W"), season=Q("12 min"), winter=Q("0 h"), start=Q("108 W"))
    both = drawn(load(), others=[pump])

    assert wh(both.season) == pytest.approx(3 + 7.2)
    assert wh(both.winter) == pytest.approx(1)
    assert float(both.together.m_as("A")) == pytest.approx(37 / 12)
    assert float(both.peak.m_as("A")) == pytest.approx(109 / 12)
    assert both.biggest == "water: pump" and both.biggest_winter == "lamps"


def test_own_rows_and_handed_rows_give_the_same_totals() -> None:
    """Pump as an own row or as one handed on makes no difference to energy, currents and peak."""
    own = drawn(load(), load("pump", power=Q("36 W"), season=Q("12 min"), winter=Q("0 h"), start=Q("9 A")))
    handed = drawn(
        load(), others=[Load(name="pump", power=Q("36 W"), season=Q("12 min"), winter=Q("0 h"), start=Q("108 W"))]
    )

    for name in ("season", "winter", "together", "peak", "always", "lamps"):
        assert getattr(own, name).to_base_units().m == pytest.approx(getattr(handed, name).to_base_units().m), name


def test_what_draws_day_and_night_is_asked_for() -> None:
    """Without any such load the check is open; a standby current is enough to meet it."""
    assert drawn(load()).standby_listed.verdict == "open"
    assert drawn(load(standby=Q("1 mA"))).standby_listed.verdict == "meets"
    assert drawn(load(duty="always")).standby_listed.verdict == "meets"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"power": None}, "lamps: give its power or its current, such as 0.6 W or 50 mA"),
        ({"season": None}, "lamps: give hours a day in the season, such as 3 h"),
        ({"duty": "runs a day"}, "lamps: give runs a day and the length of one, such as 4 and 3 min"),
        (
            {"duty": "by the clock", "begins": Q("3 h")},
            "lamps: give the hours it begins and ends, such as 18 h and 23 h",
        ),
        ({"duty": "from dusk until"}, "lamps: give the hour it ends, such as 23 h"),
    ],
)
def test_a_load_that_lacks_something_is_refused_by_name(given: dict[str, Any], said: str) -> None:
    """One sentence that names the load, what is missing, and an example."""
    with pytest.raises(InputError) as caught:
        drawn(load(**given))
    assert caught.value.faults == {"own": said}


def test_power_and_current_that_disagree_are_remarked_on() -> None:
    """The power counts, and the reader is told."""
    made = drawn(load(power=Q("6 W"), current=Q("50 mA")))

    assert wh(made.season) == pytest.approx(18)
    assert "lamps: both power and current are given; the power counts." in made.notes


def test_a_valve_held_open_against_a_latching_one() -> None:
    """6 W for 12 minutes are 1.2 Wh a day, 20 minutes of lamps; eight openings by pulses of 50 ms are 1.3 mWh."""
    valve = held_valve(power=Q("6 W"), open_time=Q("12 min"), openings=Q(8), season=Q("30 Wh"), lamps=Q("3.6 W"))

    assert wh(valve.held) == pytest.approx(1.2)
    assert wh(valve.latching) == pytest.approx(2 * 8 * 6 * 0.05 / 3600)
    assert wh(valve.spared) == pytest.approx(wh(valve.held) - wh(valve.latching))
    assert float(valve.share.m_as("percent")) == pytest.approx(4, abs=0.01)
    assert float(valve.minutes.m_as("min")) == pytest.approx(20, abs=0.05)
    with pytest.raises(InputError) as caught:
        held_valve(power=Q("6 W"), open_time=Q("12 min"), openings=Q(10_000), pulse=Q("5 s"))
    assert set(caught.value.faults) == {"openings", "pulse"}


def test_hours_of_the_day_add_up() -> None:
    """By the hour a load runs as long as by the day, in one stretch from its hour, or evenly."""
    hours = np.full((12, 1), 5.0)
    stretch = Take("it", 1.0, 0.0, hours, 1.0, True, np.full((12, 1), 22.0))
    even = Take("it", 1.0, 0.0, hours, 1.0, False)

    for one in (stretch, even):
        assert by_the_hour(one).sum(axis=1) == pytest.approx(hours)
    assert by_the_hour(stretch)[0, :, 0].nonzero()[0].tolist() == [0, 1, 2, 22, 23]


@pytest.mark.parametrize(
    ("begins", "ends", "months"),
    [
        ("April", "October", range(3, 10)),
        ("November", "February", (0, 1, 10, 11)),
        ("May", "May", (4,)),
        ("May", "April", range(12)),
    ],
)
def test_a_season_may_run_over_the_turn_of_the_year(begins: str, ends: str, months: Any) -> None:
    """Its months, both ends included."""
    assert in_season(begins, ends).nonzero()[0].tolist() == list(months)


# -- sun and panels ----------------------------------------------------------------------------------------


def test_clearness_is_taken_as_the_reader_knows_it() -> None:
    """Radiation counts before sunshine, sunshine before clearness; months between are read off; none is an estimate."""
    of = {
        "radiation": SunMonth(name="May", radiation=Q("5 kWh/m^2"), sunshine=Q("3 h"), clearness=Q(0.2)),
        "sunshine": SunMonth(name="May", sunshine=Q("0 h"), clearness=Q(0.5)),
        "clearness": SunMonth(name="May", clearness=Q(0.5)),
    }
    found = {key: sun_year(latitude=Q("50 deg"), months=[one]) for key, one in of.items()}

    assert float(found["radiation"].ground[4].m_as("kWh/m^2")) == pytest.approx(5)
    assert float(found["sunshine"].clearness[4]) == pytest.approx(0.25)
    assert found["clearness"].clearness.magnitude == pytest.approx(np.full(12, 0.5))
    guess = sun_year(latitude=Q("50 deg"))
    assert guess.known == "an estimate from the latitude"
    assert any("estimate" in note for note in guess.notes)
    assert float(guess.clearness[5]) > float(guess.clearness[11])
    assert float(sun_year(latitude=Q("-50 deg")).clearness[5]) < float(sun_year(latitude=Q("-50 deg")).clearness[11])


def test_a_month_sunnier_than_a_clear_sky_fails() -> None:
    """8 kWh/m2 in December at 50 degrees is a slip of the pen."""
    sun = sun_year(latitude=Q("50 deg"), months=[SunMonth(name="December", radiation=Q("8 kWh/m^2"))])

    assert sun.believable.verdict == "fails"


def test_seasons_are_the_other_way_round_in_the_south() -> None:
    """December is darkest in the north, June in the south; at the equator days are 12 h long."""
    assert sun_year(latitude=Q("50 deg")).darkest == "December"
    assert sun_year(latitude=Q("-50 deg")).darkest == "June"
    assert sun_year(latitude=Q("0 deg")).daylight.m_as("h") == pytest.approx(np.full(12, 12.0))


def faces(*, tilt: float = 60, azimuth: float = 180, **given: Any) -> Any:
    """Sun on one face at 54.5 degrees in a year of one clearness."""
    row = {key: given.pop(key) for key in ("shade", "winter_shade", "pieces") if key in given}
    one = PanelFace(name="it", power=Q("15 W"), tilt=Q(tilt, "deg"), azimuth=Q(azimuth, "deg"), **row)
    return panel_sun(**({"faces": [one], "latitude": Q("54.5 deg"), "months": CLEAR} | given))


def test_a_flat_face_gets_what_the_flat_gets() -> None:
    """Lying flat, the direct share is one, the whole sky is seen and no ground."""
    flat = faces(tilt=0)

    assert flat.sun.m_as("kWh/m^2") == pytest.approx(flat.flat.m_as("kWh/m^2"))
    assert flat.direct.magnitude == pytest.approx(np.ones(12))


def test_east_and_west_are_alike_and_south_is_best_in_winter() -> None:
    """The day is symmetrical about noon; a face that looks north gets no direct sun in December."""
    east, west = faces(azimuth=90), faces(azimuth=270)

    assert east.sun.m_as("kWh/m^2") == pytest.approx(west.sun.m_as("kWh/m^2"))
    assert float(faces(azimuth=180).sun[11].m) > float(east.sun[11].m) > float(faces(azimuth=0).sun[11].m)
    assert float(faces(azimuth=0).direct[11]) == 0


def test_a_face_that_swings_gets_less_and_swinging_all_round_forgets_where_it_looked() -> None:
    """Little by 5 degrees, a tenth or more of December's direct sun by 60; all round, two thirds of it."""
    still, little, much = (faces(swing=Q(turn, "deg")) for turn in (0, 5, 60))

    assert 0 < float(little.swing_loss.m_as("percent")) < 0.5
    assert float(much.direct[11]) < 0.9 * float(still.direct[11])
    assert float(faces(swing=Q("180 deg")).direct[11]) == pytest.approx(0.36 * float(still.direct[11]), rel=0.1)


@pytest.mark.parametrize(("swing", "within"), [(20, 5e-4), (60, 4e-3), (90, 1e-3), (180, 2e-3)])
def test_swinging_is_the_mean_over_its_headings(swing: float, within: float) -> None:
    """Against the mean of 181 faces between the ends of a swing."""
    turns = np.linspace(-swing, swing, 181)
    each = [faces(azimuth=(180 + float(turn)) % 360).direct.magnitude for turn in turns]
    mean = np.trapezoid(each, turns, axis=0) / (2 * swing)

    assert faces(swing=Q(swing, "deg")).direct.magnitude == pytest.approx(mean, rel=within)


def test_shade_takes_direct_sun_only_and_may_be_worse_in_winter() -> None:
    """In full shade the sky and the ground are left; a winter shade of its own counts out of the season."""
    bare, dark = faces(), faces(shade=Q("100 %"))

    assert dark.direct.magnitude == pytest.approx(np.zeros(12))
    assert np.all(dark.sun.m > 0) and np.all(dark.sun.m < bare.sun.m)
    winter = faces(shade=Q("0 %"), winter_shade=Q("50 %"))
    assert winter.direct.magnitude[[5, 11]] == pytest.approx(bare.direct.magnitude[[5, 11]] * [1, 0.5])


def test_faces_count_by_their_power() -> None:
    """Two like faces of unlike power lie between the two, nearer to the stronger."""
    south = PanelFace(name="south", power=Q("30 W"), tilt=Q("60 deg"), azimuth=Q("180 deg"))
    north = PanelFace(name="north", power=Q("10 W"), tilt=Q("60 deg"), azimuth=Q("0 deg"))
    both = panel_sun(faces=[south, north], latitude=Q("54.5 deg"), months=CLEAR)

    expected = (3 * faces(azimuth=180).sun + faces(azimuth=0).sun) / 4
    assert both.sun.m_as("kWh/m^2") == pytest.approx(expected.m_as("kWh/m^2"))
    assert float(both.power.m_as("W")) == 40


def earned(**given: Any) -> Any:
    """A panel of 30 W on 2 kWh/m2 a day of ten hours."""
    plain: dict[str, Any] = {
        "sun": Q("2 kWh/m^2"), "daylight": Q("10 h"), "power": Q("30 W"), "air": AIR, "panel_volts": Q("18 V"),
        "charge_volts": Q("13.2 V"), "regulator": "switches the panel to the battery",
    }  # fmt: skip
    return panel_yield(**(plain | given))


def test_each_loss_of_the_yield_counts_once() -> None:
    """The pieces multiply: dirt, wires, regulator, battery; a yield as a whole stands instead of them all."""
    made = earned(soiling=Q("10 %"), mismatch=Q("20 %"), charging=Q("50 %"))

    assert made.pieces.m_as("") == pytest.approx(np.full(12, 0.9 * 0.8 * 13.2 / 18 * 0.5))
    assert made.energy.m_as("Wh") == pytest.approx(np.full(12, 60 * 0.9 * 0.8 * 13.2 / 18 * 0.5))
    whole = earned(yield_factor=Q("60 %"))
    assert whole.energy.m_as("Wh") == pytest.approx(np.full(12, 36.0))
    assert np.all(whole.pieces.m != whole.taken.m)


def test_a_switching_regulator_wastes_volts_and_a_tracking_one_loses_to_heat() -> None:
    """Higher panel volts cost the one and not the other; a hot roof costs the other and not the one."""
    tracks = {"regulator": "tracks the best point"}

    assert wh(earned(panel_volts=Q("20 V")).energy[0]) < wh(earned().energy[0])
    assert wh(earned(panel_volts=Q("20 V"), **tracks).energy[0]) == pytest.approx(wh(earned(**tracks).energy[0]))
    roof = {"mounting": "flat on a roof"}
    assert wh(earned(**roof, **tracks).energy[6]) < wh(earned(**tracks).energy[6])
    assert wh(earned(**roof).energy[6]) == pytest.approx(wh(earned().energy[6]))
    assert float((earned(**roof).hot - earned().hot).m_as("delta_degC")[0]) > 5


def test_a_panel_of_too_few_volts_cannot_charge() -> None:
    """A 12 V battery is not charged by a panel of 13 V on a hot day."""
    assert earned(panel_volts=Q("13 V")).fits.verdict == "fails"
    assert earned().fits.verdict in ("meets", "marginal")


# -- balance, reserve, battery -----------------------------------------------------------------------------


def test_the_worst_month_is_that_of_the_least_sun_for_its_load() -> None:
    """With an even load December; with a summer's load that ends in October, October."""
    sun = np.array([18, 27, 37, 48, 54, 55, 53, 49, 41, 39, 26, 18.0])
    even = energy_balance(energy=Q(sun, "Wh"), drawn=Q("10 Wh"), power=Q("30 W"))
    ours = energy_balance(
        energy=Q(sun, "Wh"), drawn=Q(np.where(in_season("April", "October"), 31.0, 11.0), "Wh"), power=Q("30 W")
    )

    assert even.worst in ("January", "December")
    assert (ours.worst, ours.worst_season) == ("October", "October")
    assert float(ours.needed.m_as("W")) == pytest.approx(30 * 1.2 * 31 / 39)


def test_a_check_of_energy_names_month_amounts_and_the_biggest_load() -> None:
    """The sentence beside the verdict says what to mend."""
    made = energy_balance(energy=Q("20 Wh"), drawn=Q("40 Wh"), power=Q("30 W"), biggest="lamps")

    assert made.enough_season.verdict == "fails"
    assert made.enough_season.reason == "April: 20.0 Wh a day come in, 40.0 Wh go out; most goes to lamps"


def battery(**given: Any) -> Any:
    """A block of 12 V 33 Ah."""
    plain: dict[str, Any] = {
        "chemistry": "sealed lead-acid", "block_volts": Q("12 V"), "block_capacity": Q("33 Ah"), "air": AIR,
    }  # fmt: skip
    return battery_bank(**(plain | given))


def test_cold_age_and_the_cut_off_each_take_from_the_battery() -> None:
    """By the table at 1 and 14 degrees, by the maker's divisor where it is given, times health and usable share."""
    table, own = battery(), battery(cold_season=Q(1), cold_winter=Q(1.35))

    assert wh(table.usable[0]) == pytest.approx(198 / float(cold_multiplier("sealed lead-acid", 1.0)))
    assert wh(own.usable[0]) == pytest.approx(198 / 1.35)
    assert wh(own.usable[6]) == pytest.approx(198)
    assert wh(battery(cold_season=Q(1), health=Q("80 %")).usable[6]) == pytest.approx(0.8 * 198)
    assert wh(battery(cold_season=Q(1), usable_share=Q("80 %")).usable[6]) == pytest.approx(0.8 * 396)
    assert wh(battery(chemistry="lithium iron phosphate", block_volts=Q("12.8 V"), cold_season=Q(1)).usable[6]) == (
        pytest.approx(0.8 * 12.8 * 33)
    )


def test_the_bank_has_the_volts_of_the_build_or_says_how_to_join_it() -> None:
    """12.8 V passes for 12 V; 24 V and 6 V do not."""
    assert battery(chemistry="lithium iron phosphate", block_volts=Q("12.8 V")).right_volts.verdict == "meets"
    assert battery(series=2, parallel=2).joined == "2 strings side by side, each of 2 blocks one behind the other"
    assert battery(block_volts=Q("6 V")).right_volts.reason == (
        "the bank gives 6 V, the build is for 12 V: one block; join blocks one behind the other"
    )
    assert battery(series=2, parallel=2, system_volts=Q("24 V")).right_volts.verdict == "meets"
    assert battery(parallel=5).few_strings.verdict == "fails"


def test_a_discharged_battery_freezes_sooner() -> None:
    """At -10 degrees it stands half charged but not empty; lithium has no acid."""
    assert battery(cold=Q("-10 degC")).no_ice.verdict == "meets"
    assert battery(cold=Q("-12 degC"), usable_share=Q("100 %")).no_ice.verdict == "fails"
    assert battery(chemistry="lithium iron phosphate").no_ice.verdict == "does not apply"


def test_the_acid_is_looked_at_where_small_loads_really_stop() -> None:
    """11.5 V rests at 18.5 % of the charge, whatever share was reckoned with: acid of 1.150 freezes at -15 degrees."""
    kept = battery(cold=Q("-20 degC"), cut_off=Q("12.06 V"))
    low = battery(cold=Q("-20 degC"), cut_off=Q("11.5 V"))

    # Half charged: gravity 1.190, between -15.0 at 1.150 and -26.7 at 1.200, so -24.4.
    assert kept.no_ice.verdict == "meets"
    assert kept.no_ice.limit.m_as("degC") == pytest.approx(-24.36, abs=0.01)
    assert low.no_ice.verdict == "fails"
    assert low.no_ice.limit.m_as("degC") == pytest.approx(-14.9, abs=0.2)
    assert "19 % of its charge" in low.no_ice.reason
    two = battery(cold=Q("-20 degC"), cut_off=Q("23 V"), series=2, system_volts=Q("24 V"))
    assert two.no_ice.limit.m_as("degC") == pytest.approx(low.no_ice.limit.m_as("degC"))


def test_a_lead_acid_battery_is_not_planned_to_be_emptied() -> None:
    """Eight tenths at worst; lithium has its own guard."""
    assert battery(usable_share=Q("50 %")).not_too_deep.verdict == "meets"
    assert battery(usable_share=Q("100 %")).not_too_deep.verdict == "fails"
    assert battery(chemistry="lithium iron phosphate").not_too_deep.verdict == "does not apply"


@pytest.mark.parametrize(
    ("chemistry", "charge", "verdict"),
    [
        ("sealed lead-acid", "14.4 V", "meets"), ("sealed lead-acid", "28.8 V", "fails"),
        ("sealed lead-acid", "7.2 V", "fails"), ("sealed lead-acid", "15.3 V", "fails"),
        ("flooded lead-acid", "15.3 V", "meets"), ("lithium iron phosphate", "14.4 V", "meets"),
        ("lithium iron phosphate", "14.8 V", "fails"),
    ],
)  # fmt: skip
def test_charging_volts_have_to_suit_the_cells(chemistry: str, charge: str, verdict: str) -> None:
    """Those of a 24 V battery boil one of 12 V, those of lead-acid burn lithium, and too few never fill it."""
    block = Q("12.8 V") if chemistry.startswith("lithium") else Q("12 V")
    made = battery_volts(chemistry=chemistry, block_volts=block, cold=Q("0 degC"), charge=Q(charge))  # type: ignore[arg-type]

    assert made.suits.verdict == verdict


def test_loads_that_come_back_above_the_charging_volts_never_do() -> None:
    """25 V is a slip for 12.5 V."""
    plain: dict[str, Any] = {"chemistry": "sealed lead-acid", "block_volts": Q("12 V"), "cold": Q("0 degC")}

    assert battery_volts(**plain, comes_back=Q("12.5 V")).comes_on.verdict == "meets"
    assert battery_volts(**plain, comes_back=Q("25 V")).comes_on.verdict == "fails"


def test_volts_scale_with_the_blocks_and_may_be_set() -> None:
    """Two blocks double them; what the regulator is set to counts; without a sensor nothing is added in the cold."""
    plain: dict[str, Any] = {"chemistry": "sealed lead-acid", "block_volts": Q("12 V"), "cold": Q("-10 degC")}
    two = battery_volts(**plain, series=2)

    assert float(two.highest.m_as("V")) == pytest.approx(30.6)
    assert float(battery_volts(**plain, charge=Q("14.1 V"), colder=Q("0 mV")).highest.m_as("V")) == pytest.approx(14.1)
    warm = battery_volts(**(plain | {"cold": Q("25 degC")}))
    assert float(warm.highest.m_as("V")) == pytest.approx(14.4)
    close = battery_volts(**plain, cut_off=Q("12.3 V"), comes_back=Q("12.4 V"))
    assert close.apart.verdict == "fails"
    assert battery_volts(**plain, cut_off=Q("10 V")).in_order.verdict == "fails"


def test_days_without_sun_and_used_each_day() -> None:
    """Half the load lasts twice as long; a load of a third of the battery each day is too much."""
    given: dict[str, Any] = {
        "winter": Q("10 Wh"), "usable_season": Q("198 Wh"), "usable_winter": Q("147 Wh"), "days_season": Q("4 d"),
        "days_winter": Q("5 d"),
    }  # fmt: skip
    one, two = reserve(season=Q("30 Wh"), **given), reserve(season=Q("60 Wh"), **given)

    assert float((one.season_days / two.season_days).m_as("")) == pytest.approx(2)
    assert two.lasts_season.verdict == "fails"
    assert reserve(season=Q("130 Wh"), **given).shallow.verdict == "fails"
    assert float(one.season_worn.m_as("d")) == pytest.approx(0.8 * float(one.season_days.m_as("d")))
    assert np.isnan(reserve(season=Q("30 Wh"), ratio=Q(0.9), **given).refill.magnitude)


def charged(**given: Any) -> Any:
    """A 33 Ah battery at 1.7 A."""
    plain: dict[str, Any] = {
        "chemistry": "sealed lead-acid", "capacity": Q("33 Ah"), "current": Q("1.7 A"), "cold": Q("-10 degC"),
        "regulator_current": Q("5 A"), "open_volts": Q("21.6 V"), "regulator_volts": Q("30 V"),
    }  # fmt: skip
    return charging(**(plain | given))


def test_currents_and_volts_of_charging() -> None:
    """Each limit by itself: battery, regulator by current, by volts in the cold, by its loads."""
    assert charged(current=Q("6 A")).not_too_fast.verdict == "fails"
    assert charged(most=Q("2 A")).not_too_fast.verdict == "fails"
    assert charged(regulator_current=Q("2 A")).regulator_fits.verdict == "fails"
    assert charged(open_volts=Q("28 V")).regulator_stands.verdict == "fails"
    assert charged(open_volts=Q("28 V"), cold=Q("20 degC")).regulator_stands.passes
    assert charged(together=Q("6 A")).loads_fit.verdict == "fails"


@pytest.mark.parametrize(
    ("given", "verdict", "words"),
    [
        ({}, "fails", "nothing keeps it"),
        ({"heater": True}, "meets", "its heater"),
        ({"cut_out": True}, "meets", "stops below freezing"),
        ({"cold": Q("2 degC")}, "meets", "does not freeze"),
        ({"chemistry": "sealed lead-acid"}, "does not apply", "may be charged in frost"),
    ],
)
def test_lithium_is_not_charged_in_frost(given: dict[str, Any], verdict: str, words: str) -> None:
    """It fails unless a heater or a cut-out is said to be there, and the words say what happens."""
    made = charged(**({"chemistry": "lithium iron phosphate"} | given))

    assert made.not_in_frost.verdict == verdict
    assert words in made.in_frost


def test_air_for_the_battery_is_asked_for() -> None:
    """Openings that are not entered leave their checks open; small ones fail; a spark in its air fails."""
    given: dict[str, Any] = {"chemistry": "flooded lead-acid", "block_volts": Q("12 V"), "capacity": Q("33 Ah")}

    assert battery_air(**given).vents_low.verdict == "open"
    small = battery_air(**given, low=Q("1 cm^2"), high=Q("9 cm^2"), apart=False)
    assert [small.vents_low.verdict, small.vents_high.verdict, small.no_spark.verdict] == ["fails", "meets", "fails"]
    lithium = battery_air(**(given | {"chemistry": "lithium iron phosphate"}))
    assert lithium.vents_low.verdict == "does not apply"


def test_lamps_left_on() -> None:
    """From full, from a reading, and nothing left; a reading on charge and of lithium are remarked on."""
    given: dict[str, Any] = {"lamps": Q("3.6 W"), "usable": Q("198 Wh")}

    assert float(left_on(**given).hours.m_as("h")) == pytest.approx(55)
    assert float(left_on(**given, reading=Q("12.42 V")).hours.m_as("h")) == pytest.approx(0.6 * 55)
    empty = left_on(**given, reading=Q("11.8 V"))
    assert float(empty.hours.m_as("h")) == 0
    assert empty.said == "nothing is left above the cut-off: the lamps are off already"
    assert any("on charge" in note for note in left_on(**given, reading=Q("13.8 V")).notes)
    lithium = left_on(**given, reading=Q("13.1 V"), chemistry="lithium iron phosphate")
    assert any("lithium" in note for note in lithium.notes) and lithium.by_reading == ()
    assert [round(float(row.hours.m_as("h"))) for row in left_on(**given).by_reading] == [55, 44, 33, 22, 11]


def test_peukert_says_where_it_does_not_hold() -> None:
    """A few milliamperes are outside the range it was found in."""
    assert peukert_time(capacity=Q("33 Ah"), current=Q("2 A")).notes == ()
    assert any("outside" in note for note in peukert_time(capacity=Q("33 Ah"), current=Q("20 mA")).notes)


# -- drawn years -------------------------------------------------------------------------------------------


def year(**given: Any) -> Any:
    """Drawn years of a battery that is just enough."""
    plain: dict[str, Any] = {
        "energy": Q("36 Wh"), "drawn": Q("30 Wh"), "usable": Q("100 Wh"), "depth": Q("50 %"), "clearness": Q(0.38),
        "air": AIR, "allowed": Q("10 d"), "years": 40,
    }  # fmt: skip
    return battery_year(**(plain | given))


def days(made: Any) -> float:
    """Days without power in ten years."""
    return float(made.lost.m_as("d"))


def test_more_sun_less_load_and_a_bigger_battery_each_spare_dark_days() -> None:
    """One term at a time, in the same weather."""
    now = days(year())

    assert now > 0
    assert days(year(energy=Q("45 Wh"))) < now
    assert days(year(drawn=Q("25 Wh"))) < now
    assert days(year(usable=Q("150 Wh"))) < now


def test_the_same_seed_is_the_same_weather() -> None:
    """Twice the same; another seed another weather, within the give or take of both."""
    one, other = year(seed=3), year(seed=4)

    assert days(one) == days(year(seed=3))
    assert days(one) != days(other)
    assert abs(days(one) - days(other)) < float((one.give_or_take + other.give_or_take).m_as("d"))


def test_more_years_are_surer() -> None:
    """Sixteen times the years, about a quarter of the doubt."""
    few, many = year(years=25), year(years=400)

    assert float((few.give_or_take / many.give_or_take).m_as("")) == pytest.approx(4, rel=0.5)


def test_frost_takes_days_from_lithium_only() -> None:
    """Three degrees below freezing in January: bare lithium loses weeks, with a heater or lead none."""
    cold = [Month(name="January", temperature=Q(-3, "degC"), humidity=Q(80, "percent")), AIR[1]]
    bare = year(air=cold, chemistry="lithium iron phosphate")

    assert float(bare.frost_days.m_as("d")) > 30
    for given in ({"chemistry": "lithium iron phosphate", "heater": True}, {"chemistry": "sealed lead-acid"}):
        assert float(year(air=cold, **given).frost_days.m_as("d")) == 0
        assert days(year(air=cold, **given)) < days(bare)


def test_a_year_without_a_dark_day_says_what_that_is_worth() -> None:
    """None seen in 40 years is fewer than one in ten years at 95 % confidence, and no more than 8 % of years."""
    calm = year(usable=Q("5000 Wh"))

    assert calm.said == "none in 40 drawn years; fewer than 1 in ten years at 95 % confidence"
    assert float(calm.years_at_most.m_as("percent")) == pytest.approx(100 * (1 - 0.05 ** (1 / 40)))
    assert calm.holds_out.verdict == "meets"
    assert year(allowed=Q("0 d")).holds_out.verdict == "fails"


@pytest.mark.parametrize(
    ("days", "words"),
    [(0.4, "less than a day in ten years"), (1.2, "1 day in ten years"), (6.6, "7 days in ten years")],
)
def test_a_few_dark_days_are_said_as_one_would_say_them(days: float, words: str) -> None:
    """Neither "0 days, most of them in October" nor "1 days"."""
    said = _said(days, 0.8, 100, np.arange(12.0))

    assert said.startswith(f"{words}, give or take 1 at 95 % confidence")
    assert ("most of them in December" in said) == (days > 1.5)


def test_many_samples_are_worked_out_from_their_mean() -> None:
    """Up to fifty each by itself; beyond, the mean stands for all, as the calculator says."""
    spread = np.linspace(30, 42, 51)
    with sampling():
        many, few = year(energy=Q(spread, "Wh")), year(energy=Q(spread[:3], "Wh"))

    assert days(many) == days(year())
    assert few.lost.m_as("d") == pytest.approx([days(year(energy=Q(float(e), "Wh"))) for e in spread[:3]])


def hourly(**given: Any) -> Any:
    """Two drawn years by the hour."""
    plain: dict[str, Any] = {
        "energy": Q("36 Wh"), "latitude": Q("54.5 deg"), "clearness": Q(0.38),
        "own": [load(power=Q("1.25 W"), duty="always")],
        "usable": Q("100 Wh"), "depth": Q("50 %"), "capacity": Q("17 Ah"), "limit": Q("3.4 A"), "air": AIR, "years": 3,
    }  # fmt: skip
    return year_by_hour(**(plain | given))


def test_by_the_hour_a_charging_limit_a_taper_and_a_heavy_current_cost() -> None:
    """One term at a time: held back by a small limit, not taken near full, more drawn by a heavy current."""
    plain = hourly()

    assert float(plain.held_back.m_as("percent")) == 0
    assert float(hourly(limit=Q("0.2 A")).held_back.m_as("percent")) > 5
    assert float(hourly(tapers_from=Q("60 %")).thrown.m_as("")) > float(hourly(tapers_from=Q("98 %")).thrown.m_as(""))
    assert float(plain.heavy.m_as("percent")) == 0
    pump = load("pump", power=Q("60 W"), season=Q("30 min"), winter=Q("30 min"))
    rated = 17 / 20
    expected = ((60 / 12 / rated) ** 0.15 - 1) * 100
    assert float(hourly(own=[pump]).heavy.m_as("percent")) == pytest.approx(expected, rel=1e-6)


def test_by_the_hour_nothing_is_lost_where_nothing_lacks() -> None:
    """A battery ten times as big never cuts off; without sun everything is off."""
    assert float(hourly(usable=Q("2000 Wh")).lost.m_as("d")) == 0
    dark = hourly(energy=Q("0 Wh"))
    assert float(dark.lost.m_as("d")) == pytest.approx(3650)
    assert float(dark.lost_hours.m_as("h")) == pytest.approx(8760)


def test_what_one_more_buys_is_what_the_year_says() -> None:
    """A panel more on one is a year with twice the energy; a string more one with twice the battery."""
    given: dict[str, Any] = {
        "energy": Q("36 Wh"), "drawn": Q("30 Wh"), "usable": Q("100 Wh"), "depth": Q("50 %"), "clearness": Q(0.38),
        "air": AIR, "years": 40,
    }  # fmt: skip
    by_name = {
        one.name: one for one in more_power(**given, panel_price=Q(23, "money"), battery_price=Q(84, "money")).options
    }

    assert days(by_name["as it is"]) == pytest.approx(days(year()))
    assert days(by_name["one more panel"]) == pytest.approx(days(year(energy=Q("72 Wh"))))
    assert days(by_name["one more battery"]) == pytest.approx(days(year(usable=Q("200 Wh"))))
    assert float(by_name["one more of each"].cost.magnitude) == 107


def clear_may(clearness: Quantity) -> SunMonth:
    """May alone."""
    return SunMonth(name="May", clearness=clearness)


# -- samples and units -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "make",
    [
        lambda pick: drawn(load(power=pick([1, 2, 3], "W"), season=pick([2, 3, 4], "h"))),
        lambda pick: sun_year(latitude=pick([50, 54, 60], "deg"), months=[clear_may(pick([0.3, 0.4, 0.5], ""))]),
        lambda pick: faces(tilt=50, swing=pick([0, 10, 140], "deg"), latitude=pick([50, 54, 60], "deg")),
        lambda pick: earned(power=pick([20, 30, 40], "W"), charging=pick([70, 80, 90], "percent")),
        lambda pick: battery(block_capacity=pick([20, 30, 40], "Ah"), health=pick([80, 90, 100], "percent")),
        lambda pick: year(energy=pick([30, 36, 40], "Wh")),
    ],
)  # fmt: skip
def test_samples_agree_with_one_by_one(make: Callable[[Callable[[list[float], str], Quantity]], Any]) -> None:
    """Every quantity of three samples at once is what each sample gives alone, to 1e-9."""
    with sampling():
        together = make(lambda values, unit: Q(np.array(values, dtype=float), unit))
    for place in range(3):
        alone = make(lambda values, unit, place=place: Q(values[place], unit))
        for name, value in vars(alone).items():
            if isinstance(value, Quantity):
                many = getattr(together, name).m_as(value.units)
                picked = many[..., place] if np.ndim(many) > np.ndim(value.magnitude) else many
                np.testing.assert_allclose(picked, value.magnitude, rtol=1e-9, atol=1e-9, err_msg=name)


def test_the_unit_of_an_input_does_not_matter() -> None:
    """Minutes for hours, kilowatts for watts, megajoules for kilowatt hours."""
    assert wh(drawn(load(power=Q("0.001 kW"), season=Q("180 min"))).season) == pytest.approx(3)
    assert wh(earned(sun=Q("7.2 MJ/m^2")).energy[0]) == pytest.approx(wh(earned().energy[0]))


def test_curves_and_single_values_are_told_apart_by_their_twelve_months() -> None:
    """Twelve numbers are the months; any other number of them are samples."""
    box = Year(Q(np.arange(12.0), "Wh"), Q([1, 2, 3], "Wh"))

    assert box.is_sampled and box.samples == 3
    assert box.si(Q(np.arange(12.0), "Wh"), "Wh").shape == (12, 1)
    assert box.si(Q([1, 2, 3], "Wh"), "Wh").shape == (1, 3)
    assert not Year(Q(np.arange(12.0), "Wh")).is_sampled


def test_polar_days_and_nights_have_sunsets_that_exist() -> None:
    """At 66 degrees in June the sun hardly sets; sunset stays between nothing and half a turn."""
    down = sky.sunset(np.radians(66), sky.cooper(sky.MEAN_DAYS))

    assert np.all((down >= 0) & (down <= np.pi))
