"""People at edges and corners, a compartment flooded, wind and snow: every term, and what may be said of it."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.crowd import crowd
from kit.flooded import flooded
from kit.quantities import Q
from kit.sampling import sampling
from kit.weather_afloat import Windage, weather_afloat
from kit.weighing import weigh
from tests.one_by_one import agrees_one_by_one
from tests.raft_cases import BALLAST, DECK, GROWTH, WATER, floats, parts

EN = "EN 14504 (borrowed yardstick)"
WEIGHT = weigh(parts=parts(), floats=floats(), ballast=BALLAST, growth=GROWTH)
WET = {"mass": WEIGHT.wet_mass, "x": WEIGHT.wet_x, "y": WEIGHT.wet_y, "z": WEIGHT.wet_z}
LEVEL = {"mass": Q(760, "kg"), "x": Q(0, "m"), "y": Q(0, "m"), "z": Q(-0.02, "m")}
WINDAGE = (Windage(name="deck and locker", area=Q(1.2, "m^2"), drag=Q(1.2), z=Q(0.25, "m")),)


def people(**changed):
    """Tarn Locker, ballasted and wet, with its people."""
    return crowd(
        **{
            **WET,
            "floats": floats(),
            "density": WATER,
            "people": 4,
            "sharing": 3,
            "criterion": EN,
            "person_mass": Q(80, "kg"),
            "end": "ladder end",
            **DECK,
            **changed,
        }
    )


def damaged(**changed):
    """Tarn Locker with one compartment flooded and three people at that edge."""
    return flooded(
        **{
            **WET,
            "floats": floats(),
            "density": WATER,
            "sharing": 3,
            "person_mass": Q(80, "kg"),
            "leak_tested": True,
            "criterion": EN,
            **DECK,
            **changed,
        }
    )


def weather(**changed):
    """A level raft in wind and under snow."""
    return weather_afloat(
        **{
            **LEVEL,
            "floats": floats(),
            "density": WATER,
            "gust": Q(25, "m/s"),
            "windage": WINDAGE,
            "criterion": EN,
            **DECK,
            **changed,
        }
    )


# -- crowd ---------------------------------------------------------------------------------------


def test_nobody_aboard_leaves_the_raft_as_it_was():
    """No people: every case is the raft alone, which is level."""
    empty = people(people=0, sharing=0, **LEVEL)

    assert empty.tilt.m_as("deg") == pytest.approx(0, abs=1e-6)
    assert empty.edge_deck == empty.corner_deck


def test_a_symmetric_raft_tilts_alike_to_both_sides_and_both_ends():
    """Right and left, one end and the other, and all four corners."""
    tilts = [spot.tilt.m_as("deg") for spot in people(**LEVEL).spots]

    assert tilts[0] == pytest.approx(tilts[1])
    assert tilts[2] == pytest.approx(tilts[3])
    assert max(tilts[4:]) == pytest.approx(min(tilts[4:]))


@pytest.mark.parametrize(
    ("changed", "more"),
    [
        ({"person_mass": Q(90, "kg")}, True),
        ({"sharing": 4}, True),
        ({"standing": Q(1.3, "m")}, True),
        ({"edge_inset": Q(0.5, "m")}, False),
        ({"density": Q(1025, "kg/m^3")}, False),
    ],
)
def test_each_term_moves_the_tilt_its_way(changed, more):
    """Heavier, more and taller people tilt it more; feet further in and salt water less."""
    assert (people(**changed).edge_tilt > people().edge_tilt) is more


def test_the_rest_of_the_people_stand_in_the_middle():
    """All aboard sinks the edge further than the group alone, and a group of all is the group alone."""
    assert people().aboard_deck < people().edge_deck
    assert people(people=3).aboard_tilt.m_as("deg") == pytest.approx(people(people=3).edge_tilt.m_as("deg"))


def test_where_people_do_most_harm_is_named():
    """The corner nearest to the ladder, which the ballast does not quite hold up."""
    assert people().worst == "ladder end, right"


def test_a_spot_carries_the_number_before_its_edge_is_wet():
    """One more person than it carries puts the edge under, or turns the raft over."""
    for n, spot in enumerate(people().spots):
        count = int(spot.carries.m_as(""))
        for there, dry in ((count, True), (count + 1, False)):
            found = people(people=there, sharing=there).spots[n].deck_edge.m_as("m")
            assert (found >= 0) is dry, spot.name


def test_heavy_people_fail_the_corner():
    """At 100 kg each the corner is closer to the water than the borrowed yardstick allows."""
    assert people(person_mass=Q(100, "kg")).corner_freeboard.verdict == "fails"
    assert people(person_mass=Q(84, "kg")).corner_freeboard.verdict == "meets"


@pytest.mark.parametrize(
    ("criterion", "own"),
    [
        (
            EN,
            {
                "edge_heel",
                "edge_freeboard",
                "corner_heel",
                "corner_freeboard",
                "aboard_heel",
                "aboard_freeboard",
                "metacentre",
            },
        ),
        ("landing-float rule", {"landing_load", "landing_uniform"}),
        ("small workboat rule", {"workboat_heel", "workboat_freeboard"}),
        ("none", set()),
    ],
)
def test_only_the_criterion_chosen_is_judged(criterion, own):
    """The others do not apply, whatever the raft does; the kit's own two always apply."""
    made = people(criterion=criterion)
    judged = {name for name in type(made).declaration.checks if getattr(made, name).verdict != "does not apply"}

    assert judged == own | {"stays_up", "stays_dry"}


def test_a_criterion_not_chosen_shows_how_the_raft_would_stand():
    """The value is there, no verdict with it."""
    shown = people().landing_load

    assert shown.verdict == "does not apply"
    chosen = people(criterion="landing-float rule").landing_load
    assert shown.value.m_as("deg") == pytest.approx(chosen.value.m_as("deg"))


def test_a_crowd_that_turns_the_raft_over_fails_by_name():
    """Four tubes of 400 mm: three people in one corner turn it over, and the check says which corner."""
    small = floats(
        diameter=Q(400, "mm"),
        z=Q(-0.21, "m"),
        mass_per_metre=Q(14.3, "kg/m"),
        ends=Q(4, "kg"),
        wall=Q(12.3, "mm"),
        foam=Q(0, "percent"),
    )
    weight = weigh(parts=parts(), floats=small, ballast=BALLAST, growth=GROWTH)
    made = people(mass=weight.wet_mass, x=weight.wet_x, y=weight.wet_y, z=weight.wet_z, floats=small)

    assert made.stays_up.verdict == "fails"
    assert made.stays_up.reason.endswith("it turns over: the energy over heel and trim has no minimum below 60 degrees")
    assert np.isnan(made.corner_tilt.magnitude)
    assert made.edge_heel.verdict == "fails" or np.isfinite(made.edge_tilt.magnitude)


def test_what_cannot_be_solved_is_open_never_turned_over(monkeypatch):
    """A solver robbed of its steps leaves the checks open; not one of them fails or meets."""
    monkeypatch.setattr("kit.hydrostatics._STEPS", 1)
    made = people()

    assert {made.stays_up.verdict, made.edge_heel.verdict, made.corner_freeboard.verdict} == {"open"}
    assert "could not be solved" in made.stays_up.reason


def test_more_people_at_an_edge_than_aboard_is_refused():
    """The sentence stands beside both inputs."""
    with pytest.raises(InputError) as caught:
        people(people=2, sharing=3)
    assert caught.value.faults["sharing"] == "more people share an edge than are aboard; mend one of the two"
    assert "people" in caught.value.faults


def test_samples_of_a_crowd_agree_one_by_one():
    """Mass of a person and of the raft sampled; the counts of people are found at the nominal and left out here."""
    with sampling():
        many = people(person_mass=Q(np.array([70.0, 85.0, 100.0]), "kg"), mass=Q(np.array([740.0, 760.0, 800.0]), "kg"))
    for n, (own, raft) in enumerate(((70, 740), (85, 760), (100, 800))):
        alone = people(person_mass=Q(own, "kg"), mass=Q(raft, "kg"))
        for name in ("tilt", "edge_tilt", "corner_deck", "aboard_deck", "stiffness"):
            assert getattr(many, name)[n].magnitude == pytest.approx(getattr(alone, name).magnitude, rel=1e-9)
        assert bool(many.corner_freeboard.met[n]) is alone.corner_freeboard.passes


# -- flooded -------------------------------------------------------------------------------------


def test_every_compartment_is_flooded_in_turn():
    """Eight cells in four floats, named from the named end."""
    names = [cell.name for cell in damaged().cells]

    assert len(names) == 8
    assert names[:2] == ["tube 1, cell 1 of 2", "tube 1, cell 2 of 2"]


def test_a_flooded_float_full_of_dry_foam_changes_nothing():
    """Nothing is lost where water finds no room, walls or none."""
    full = floats(foam=Q(100, "percent"), wall=Q(0, "mm"))
    sides = [spot.tilt.m_as("deg") for spot in people(floats=full, people=3).spots[:2]]

    assert damaged(floats=full).tilt.m_as("deg") == pytest.approx(max(sides), abs=1e-6)


def test_foam_and_the_stuff_of_the_walls_hold_it_up():
    """More foam, drier foam and thicker walls leave the deck edge higher."""
    edge = damaged().deck_edge

    assert damaged(floats=floats(foam=Q(70, "percent"))).deck_edge > edge
    assert damaged(floats=floats(uptake=Q(10, "percent"))).deck_edge < edge
    assert damaged(floats=floats(wall=Q(10, "mm"))).deck_edge < edge


def test_without_foam_it_turns_over():
    """The same raft without foam, one half-tube flooded and three people at that edge."""
    made = damaged(floats=floats(foam=Q(0, "percent")))

    assert made.stays_up.verdict == "fails"
    assert "turns over" in made.stays_up.reason


def test_more_cells_lose_less():
    """A float cut in four loses a quarter."""
    assert damaged(floats=floats(cells=4)).deck_edge > damaged().deck_edge


def test_a_middle_cell_of_a_middle_float_gives_no_list():
    """Flooding on the centre line heels it to neither side: the tilt is the trim of the people alone."""
    three = floats((-0.85, 0, 0.85), cells=3)
    alone = damaged(floats=three, sharing=0, **LEVEL).cells

    assert alone[4].name == "tube 2, cell 2 of 3"
    assert alone[4].tilt.m_as("deg") == pytest.approx(0, abs=1e-6)
    assert alone[0].tilt.m_as("deg") > 1


def test_air_floats_count_only_once_they_are_leak_tested():
    """The sum holds; without the test nothing may be said to meet."""
    assert damaged().freeboard.verdict == "meets"
    assert damaged(leak_tested=False).freeboard.verdict == "open"
    assert damaged(leak_tested=False, floats=floats(foam=Q(100, "percent"))).freeboard.verdict == "meets"


def test_a_failure_is_not_hidden_by_a_missing_leak_test():
    """What fails by the figures fails, tested or not."""
    assert damaged(leak_tested=False, floats=floats(foam=Q(0, "percent"))).freeboard.verdict == "fails"


def test_samples_of_the_flooded_raft_agree_one_by_one():
    """Foam, mass and people sampled."""
    agrees_one_by_one(
        lambda pick: damaged(
            floats=floats(foam=pick([55, 70], "percent")), mass=pick([740, 780], "kg"), person_mass=pick([75, 90], "kg")
        ),
        2,
    )


# -- weather -------------------------------------------------------------------------------------


def test_wind_force_grows_as_the_square_of_the_gust():
    """Twice the gust, four times the force and moment."""
    one, two = weather(gust=Q(10, "m/s")), weather(gust=Q(20, "m/s"))

    assert two.force.m_as("N") == pytest.approx(4 * one.force.m_as("N"))
    assert two.moment.m_as("N*m") == pytest.approx(4 * one.moment.m_as("N*m"))
    assert two.heel > one.heel


def test_wind_acts_at_the_middle_of_what_it_catches_and_the_water_at_half_draft():
    """Two areas: their middle by area times drag, down to half of the draft."""
    two = (*WINDAGE, Windage(name="panel", area=Q(0.4, "m^2"), drag=Q(1.2), z=Q(0.85, "m")))
    one, both = weather(), weather(windage=two)
    underside = -0.51

    assert (both.lever - one.lever).m_as("m") == pytest.approx((1.2 * 0.25 + 0.4 * 0.85) / 1.6 - 0.25)
    draft = 2 * (0.25 - one.lever.m_as("m") - underside)
    assert draft == pytest.approx(0.179, abs=0.001)


def test_wind_heel_balances_the_righting_moment_at_small_angles():
    """tan(heel) = moment over weight and metacentric height, to the bend of the curve at a degree."""
    made = weather()
    level = people(people=0, sharing=0, **LEVEL).stiffness.m_as("m")

    expected = made.moment.m_as("N*m") / (760 * 9.80665 * level)
    assert np.tan(made.heel.m_as("rad")) == pytest.approx(expected, rel=2e-3)


def test_no_wind_no_heel_and_nothing_to_catch_it_no_force():
    """Both ends of the range give a result."""
    calm = weather(gust=Q(0, "m/s"))
    bare = weather(windage=(Windage(name="nothing", area=Q(0, "m^2"), drag=Q(1), z=Q(0, "m")),))

    assert calm.heel.m_as("deg") == pytest.approx(0, abs=1e-9)
    assert bare.force.m_as("N") == 0


def test_snow_is_its_pressure_over_the_deck():
    """0.5 kPa on 6.6 m2 is 336.5 kg, and it sinks the deck by its share of the lift."""
    made = weather()

    assert made.snow_mass.m_as("kg") == pytest.approx(500 * 6.6 / 9.80665)
    assert weather(snow=Q(1, "kPa")).snow_deck < made.snow_deck


def test_samples_of_the_weather_agree_one_by_one():
    """Gust, area, snow and mass sampled."""
    agrees_one_by_one(
        lambda pick: weather(
            gust=pick([20, 28], "m/s"),
            mass=pick([700, 800], "kg"),
            snow=pick([0.3, 0.6], "kPa"),
            windage=(Windage(name="all", area=pick([1.1, 1.3], "m^2"), drag=Q(1.2), z=Q(0.25, "m")),),
        ),
        2,
    )
