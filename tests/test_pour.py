"""Pour: amounts, layers, cups and cards."""

from __future__ import annotations

import math

import pytest

from kit.calculator import InputError
from kit.pour import inlay, pour
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one


def poured(**changed):
    """1 litre of recesses 10 mm deep, nothing wasted or soaked up, water for resin."""
    given = {
        "volume": Q(1000, "mL"), "wetted": Q(0, "cm^2"), "depth": Q(10, "mm"), "ratio": Q(0.5), "density": Q(1, "g/mL"),
        "largest_batch": Q(5000, "g"), "pot_life": Q(60, "min"), "mixing_time": Q(10, "min"),
        "placing_rate": Q(1000, "g/min"), "layer_limit": Q(10, "mm"), "container": Q(5000, "mL"), "cups": 1,
        "set_mass": Q(1000, "g"), "waste": Q(0, "percent"), "seal_coat": Q(0, "g/m^2"), "fill": Q(100, "percent"),
        "spare": 0,
    }
    return pour(**given | changed)


def test_waste_and_seal_coat_are_added():
    """A litre, a tenth more, and 0.5 m2 at 150 g/m2 of 1.25 g/mL."""
    found = poured(waste=Q(10, "percent"), wetted=Q(5000, "cm^2"), seal_coat=Q(150, "g/m^2"), density=Q(1.25, "g/mL"))

    assert found.seal.m_as("mL") == pytest.approx(0.5 * 150 / 1.25)
    assert found.mixed_volume.m_as("mL") == pytest.approx(1100 + 60)
    assert found.mass.m_as("g") == pytest.approx(1160 * 1.25)


def test_components_add_up_and_stand_in_their_ratio():
    """1000 g at one to a half."""
    found = poured()

    assert (found.component_a + found.component_b).m_as("g") == pytest.approx(1000)
    assert (found.component_b / found.component_a).m_as("") == pytest.approx(0.5)


@pytest.mark.parametrize(("limit", "layers"), [(10, 1), (9.99, 2), (5, 2), (3, 4)])
def test_layers_are_whole_and_an_exact_fit_takes_no_further_one(limit, layers):
    """10 mm at the limit are one layer."""
    found = poured(layer_limit=Q(limit, "mm"))

    assert found.layers == Q(layers)
    assert found.layer_depth.m_as("mm") == pytest.approx(10 / layers)


@pytest.mark.parametrize(("name", "limit", "which", "cups"), [
    ("largest_batch", Q(1000, "g"), "by_mass", 1), ("largest_batch", Q(500, "g"), "by_mass", 2),
    ("largest_batch", Q(499, "g"), "by_mass", 3),
    ("container", Q(500, "mL"), "by_container", 2), ("container", Q(499, "mL"), "by_container", 3),
    ("placing_rate", Q(10, "g/min"), "by_time", 2), ("placing_rate", Q(9.9, "g/min"), "by_time", 3),
])
def test_each_limit_sets_the_cups_and_an_exact_fit_takes_no_further_one(name, limit, which, cups):
    """1000 g against each limit alone; 50 min remain to pour."""
    found = poured(**{name: limit})

    assert getattr(found, which) == Q(cups)
    assert found.cups_needed == Q(cups)


def test_how_full_a_cup_may_be_counts():
    """Half a cup of two litres is one of one."""
    assert poured(container=Q(2000, "mL"), fill=Q(50, "percent")).by_container == Q(1)
    assert poured(container=Q(2000, "mL"), fill=Q(49, "percent")).by_container == Q(2)


def test_mixing_time_shortens_what_is_left_to_pour():
    """50 min at 20 g/min are 1000 g; 49 min are not."""
    assert poured(placing_rate=Q(20, "g/min")).by_time == Q(1)
    assert poured(placing_rate=Q(20, "g/min"), mixing_time=Q(11, "min")).by_time == Q(2)


def test_the_tightest_limit_governs_in_every_layer():
    """Two layers of 500 g, three cups each by mass, against two by container."""
    found = poured(layer_limit=Q(5, "mm"), largest_batch=Q(200, "g"), container=Q(300, "mL"))

    assert (found.by_mass, found.by_container) == (Q(3), Q(2))
    assert found.cups_needed == Q(6)


def test_every_colour_needs_a_cup():
    """Three colours, one batch."""
    assert poured(colours=3).cups_needed == Q(3)
    assert poured(colours=3, cups=2).enough_cups.verdict == "fails"
    assert poured(colours=3, cups=3).enough_cups.verdict == "meets"


def test_nothing_to_pour_needs_no_cup():
    """Zero volume gives zero, colours or not."""
    assert poured(volume=Q(0, "mL"), colours=3).cups_needed == Q(0)
    assert poured(volume=Q(0, "mL")).sets == Q(0)


def test_cups_are_equal_and_their_cards_run_on():
    """Four cups of 250 g: A to 166.7 g, B on top of it to 250 g, the scale not zeroed between."""
    found = poured(cups=4, density_a=Q(1.1, "g/mL"), density_b=Q(0.9, "g/mL"))

    assert [card.name for card in found.cards] == ["cup 1", "cup 2", "cup 3", "cup 4"]
    for card in found.cards:
        assert card.reading_a.m_as("g") == pytest.approx(250 / 1.5)
        assert card.reading_b.m_as("g") == pytest.approx(250)
        assert card.volume_a.m_as("mL") == pytest.approx(250 / 1.5 / 1.1)
        assert card.volume_b.m_as("mL") == pytest.approx(250 / 3 / 0.9)


def test_cards_name_their_layer():
    """Four cups over two layers: two each."""
    found = poured(cups=4, layer_limit=Q(5, "mm"))

    assert [card.layer.m_as("") for card in found.cards] == [1, 1, 2, 2]


def test_volumes_are_absent_without_densities():
    """The scale readings stand without them."""
    card = poured().cards[0]

    assert math.isnan(card.volume_a.magnitude) and math.isnan(card.volume_b.magnitude)
    assert card.reading_b.m_as("g") == pytest.approx(1000)


def test_a_spare_cup_is_bought_but_not_mixed():
    """Two cups of 500 g and one to spare are 1500 g: two sets of a kilogram."""
    found = poured(cups=2, spare=1)

    assert found.to_buy.m_as("g") == pytest.approx(1500)
    assert found.sets == Q(2)
    assert found.left_over.m_as("g") == pytest.approx(1000)
    assert poured(cups=2).sets == Q(1)


def test_placing_time_is_mixing_and_pouring():
    """10 min and 250 g at 50 g/min."""
    assert poured(cups=4, placing_rate=Q(50, "g/min")).placing_time.m_as("min") == pytest.approx(15)


def test_too_few_cups_fail():
    """One cup of 1000 g where 400 g were tried."""
    found = poured(largest_batch=Q(400, "g"))

    assert found.enough_cups.verdict == "fails"
    assert poured(largest_batch=Q(400, "g"), cups=3).enough_cups.verdict == "meets"


def test_a_mixing_time_as_long_as_the_pot_life_is_refused():
    """Nothing would be left to pour."""
    with pytest.raises(InputError) as refused:
        poured(mixing_time=Q(60, "min"))

    assert refused.value.faults == dict.fromkeys(
        ("mixing_time", "pot_life"),
        "weighing and stirring takes longer than the pot life; it must be shorter, such as 5 min of 30 min")


@pytest.mark.parametrize("mass", [0, -1, math.nan])
def test_a_largest_batch_of_nothing_is_refused(mass):
    """Zero, less than zero and not a number."""
    with pytest.raises(InputError):
        poured(largest_batch=Q(mass, "g"))


def test_the_unit_of_a_volume_does_not_matter():
    """1000 mL are 61.02 in3."""
    assert poured(volume=Q(1e6 / 25.4**3, "in^3")).mass.m_as("g") == pytest.approx(1000)


def test_samples_of_a_pour_agree_with_one_by_one():
    """Amounts, cups, layers and cards."""
    agrees_one_by_one(lambda pick: poured(
        volume=pick([900, 1000, 1100], "mL"), depth=pick([9, 10, 12], "mm"), pot_life=pick([60, 40, 15], "min"),
        placing_rate=pick([20, 30, 40], "g/min"), density=pick([1.0, 1.1, 1.2], "g/mL"),
        ratio=pick([0.4, 0.45, 0.5], ""), density_a=Q(1.1, "g/mL"), cups=4), 3)


def inlaid(**changed):
    """100 mL of resin of 1.1 g/mL in oak, 10 mL soaked up."""
    given = {"volume": Q(100, "mL"), "seal": Q(10, "mL"), "density": Q(1.1, "g/mL"), "wood_density": Q(700, "kg/m^3")}
    return inlay(**given | changed)


def test_an_inlay_weighs_its_resin_less_the_wood():
    """121 g in, 70 g out."""
    found = inlaid()

    assert found.resin_mass.m_as("g") == pytest.approx(121)
    assert found.wood_mass.m_as("g") == pytest.approx(70)
    assert found.added.m_as("g") == pytest.approx(51)


def test_wood_heavier_than_the_resin_adds_nothing():
    """No part weighs less than nothing."""
    assert inlaid(wood_density=Q(1400, "kg/m^3")).added == Q(0, "kg")


def test_samples_of_an_inlay_agree_with_one_by_one():
    """All three masses."""
    agrees_one_by_one(lambda pick: inlaid(volume=pick([90, 110], "mL"), wood_density=pick([700, 1400], "kg/m^3")), 2)
