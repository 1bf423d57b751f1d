"""Species, density, moisture and movement."""

from __future__ import annotations

import pytest

from kit.calculator import InputError
from kit.quantities import Q
from kit.sources import SOURCES, read_table
from kit.timber import CUTS, SPECIES, across, equilibrium_moisture, movement, wood_density
from tests.one_by_one import agrees_one_by_one


def moved(**changed):
    """A cedar board of 140 mm, from 12 to 14 %."""
    given = {"size": Q(140, "mm"), "timber": "western redcedar", "cut": "flat-sawn", "start": Q(12, "percent"),
             "end": Q(14, "percent")}
    return movement(**given | changed)


def test_every_value_of_the_species_table_names_a_source_and_how_it_is_known():
    """No row is without either, and every species has a group, a decay rating and a gravity."""
    for line in read_table("species"):
        assert line["source"] in SOURCES, line
        assert line["known"] in ("read", "worked out", "memory", "common practice"), line
    for kind in SPECIES.values():
        assert kind.group in ("softwood", "hardwood")
        assert "resistant" in kind.decay
        assert 0.2 < kind.gravity.m < 1.2


@pytest.mark.parametrize("name", SPECIES)
def test_wood_shrinks_more_along_the_rings_than_across_them(name):
    """Tangential movement is above radial, and in between lies between."""
    flat, quarter, between = (SPECIES[name].coefficient(cut) for cut in CUTS)
    if flat is None:
        assert quarter is between is None
        return

    assert quarter.m < between.m < flat.m


@pytest.mark.parametrize("name", SPECIES)
def test_oven_dry_volume_is_smaller_so_its_gravity_is_higher_where_it_is_worked_out(name):
    """The gravity by oven-dry volume is above that by the volume at 12 %, unless a group's value is assigned."""
    kind = SPECIES[name]
    if "gravity_assigned" not in kind.facts:
        assert kind.assigned_gravity.m > kind.gravity.m


def test_density_is_dry_mass_and_its_water():
    """At 12 % it is 1.12 times, at 28 % 1.28 times the oven-dry mass."""
    dry, wet = (wood_density(timber="white oak", at=Q(at, "percent")) for at in (12, 28))

    assert (dry.density / dry.dry_density).m_as("") == pytest.approx(1.12)
    assert (wet.density / dry.density).m_as("") == pytest.approx(1.28 / 1.12)


def test_a_value_from_memory_is_said_to_be_so():
    """The gravity of larch was read, that of cedar was not."""
    read, remembered = (wood_density(timber=name, at=Q(12, "percent")).notes
                        for name in ("western larch", "western redcedar"))

    assert read == ()
    assert remembered == (
        "western redcedar: the gravity (0.32) is from memory, not yet read in FPL-GTR-190 Table 5-3a",)


def test_wood_takes_up_more_in_damper_and_colder_air():
    """Humidity raises the moisture it comes to, warmth lowers it."""
    shop, damp, warm = (
        equilibrium_moisture(temperature=Q(t, "degC"), humidity=Q(h, "percent")).moisture.m_as("percent")
        for t, h in ((15, 65), (15, 80), (30, 65)))

    assert warm < shop < damp


def test_bone_dry_air_leaves_bone_dry_wood():
    """At no humidity there is no moisture."""
    assert equilibrium_moisture(temperature=Q(20, "degC"), humidity=Q(0, "percent")).moisture.m == pytest.approx(0)


def test_a_temperature_in_fahrenheit_is_the_same_temperature():
    """59 degF is 15 degC."""
    metric, imperial = (equilibrium_moisture(temperature=Q(*t), humidity=Q(65, "percent")).moisture.m_as("percent")
                        for t in ((15, "degC"), (59, "degF")))

    assert imperial == pytest.approx(metric)


def test_movement_is_size_times_coefficient_times_moisture():
    """140 mm, 0.00234 a percent, two percent; drying is the opposite of swelling."""
    swollen, dried = moved(), moved(end=Q(10, "percent"))

    assert swollen.change.m_as("mm") == pytest.approx(140 * 0.00234 * 2)
    assert dried.change.m == pytest.approx(-swollen.change.m)
    assert swollen.size_after.m_as("mm") == pytest.approx(140 + 140 * 0.00234 * 2)


def test_quarter_sawn_boards_move_less():
    """Radial movement is less than half of tangential in cedar."""
    assert moved(cut="quarter-sawn").change.m < 0.5 * moved().change.m


def test_wood_swells_no_further_once_its_walls_are_full():
    """Cedar stops at 22 %, larch at 30 %."""
    assert moved(end=Q(22, "percent")).change == moved(end=Q(60, "percent")).change
    larch = {"timber": "western larch"}
    assert moved(**larch, end=Q(22, "percent")).change < moved(**larch, end=Q(30, "percent")).change
    assert moved(**larch, end=Q(30, "percent")).change == moved(**larch, end=Q(200, "percent")).change


def test_outside_six_to_fourteen_percent_movement_is_said_to_be_approximate():
    """The coefficient was made for that range."""
    said = "the movement coefficient was made for moistures of 6 to 14 %; outside it is approximate"

    assert said not in moved().notes
    assert said in moved(end=Q(18, "percent")).notes


def test_a_species_without_movement_is_refused_until_a_coefficient_is_entered():
    """No number is made up for it; entered, the number is used."""
    with pytest.raises(InputError) as caught:
        moved(timber="slash pine")

    assert str(caught.value) == (
        "movement: 1 to mend\n"
        "coefficient: no movement of slash pine is known; enter a coefficient such as 0.0025 1/percent")
    assert moved(timber="slash pine", coefficient=Q(0.0025, "1/percent")).change.m_as("mm") == pytest.approx(0.7)
    assert across(SPECIES["slash pine"], "flat-sawn", Q(12, "percent"), Q(14, "percent")) is None


def test_the_line_from_green_to_dry_agrees_near_ten_percent():
    """The coefficient is made from the same shrinkage, so both lines say the same there to a few percent."""
    found = moved(start=Q(9, "percent"), end=Q(11, "percent"))

    assert found.by_total_shrinkage.m_as("mm") == pytest.approx(found.change.m_as("mm"), rel=0.01)


def test_samples_of_moisture_agree_one_by_one():
    """Where swelling stops too."""
    agrees_one_by_one(lambda pick: moved(size=pick([100, 140, 200], "mm"), start=pick([8, 12, 25], "percent"),
                                         end=pick([12, 40, 21], "percent")), 3)
    agrees_one_by_one(lambda pick: equilibrium_moisture(temperature=pick([0, 15, 40], "degC"),
                                                        humidity=pick([20, 65, 95], "percent")), 3)
