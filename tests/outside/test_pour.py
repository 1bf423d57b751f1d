"""Pour against a case worked by hand and against trying every number of cups."""

from __future__ import annotations

import random

import pytest

from kit.pour import inlay, pour
from kit.quantities import Q


def poured(**changed):
    """A pour with no waste, nothing soaked up and wide limits."""
    given = {
        "volume": Q(1200, "mL"), "wetted": Q(0, "cm^2"), "depth": Q(8, "mm"), "ratio": Q(0.45),
        "density": Q(1.10, "g/mL"), "largest_batch": Q(400, "g"), "pot_life": Q(60, "min"), "mixing_time": Q(5, "min"),
        "placing_rate": Q(1000, "g/min"), "layer_limit": Q(10, "mm"), "container": Q(5000, "mL"), "cups": 4,
        "set_mass": Q(500, "g"), "waste": Q(10, "percent"), "seal_coat": Q(0, "g/m^2"), "spare": 0,
    }
    return pour(**given | changed)


@pytest.mark.outside("pour", "worked by hand: 1200 mL, 10 % waste, 1.10 g/mL, batches of 400 g at most")
def test_batches_worked_by_hand():
    """1452 g in four batches of 363 g."""
    found = poured()

    assert found.mass.m_as("g") == pytest.approx(1452, abs=0.5)
    assert found.cups_needed == Q(4)
    assert found.cup_mass.m_as("g") == pytest.approx(363, abs=0.5)


def keeps_all_limits(mass, volume, layers, per_layer, largest, cup, left, rate):
    """Whether equal cups of that number keep every limit; equality is within 1e-9."""
    each, room = mass / layers / per_layer, 1 + 1e-9
    return each <= largest * room and volume / layers / per_layer <= cup * room and each <= rate * left * room


@pytest.mark.outside("pour", "trying one cup a layer more until every limit is kept")
def test_cups_are_the_fewest_that_keep_every_limit():
    """Two hundred pours drawn at random, the same each time."""
    draw = random.Random(4)
    for _ in range(200):
        volume, depth, largest = draw.uniform(10, 3000), draw.uniform(1, 40), draw.uniform(50, 1000)
        cup, life, rate = draw.uniform(100, 1000), draw.uniform(10, 60), draw.uniform(5, 100)
        found = poured(
            volume=Q(volume, "mL"), depth=Q(depth, "mm"), largest_batch=Q(largest, "g"), container=Q(cup, "mL"),
            fill=Q(60, "percent"), pot_life=Q(life, "min"), placing_rate=Q(rate, "g/min"), waste=Q(0, "percent"))
        layers = 1
        while depth / layers > 10:
            layers += 1
        per_layer = 1
        while not keeps_all_limits(volume * 1.10, volume, layers, per_layer, largest, 0.6 * cup, life - 5, rate):
            per_layer += 1

        assert found.layers == Q(layers)
        assert found.cups_needed == Q(layers * per_layer)


@pytest.mark.outside("inlay", "Archimedes: wood cut out and resin put in, weighed one after the other")
def test_an_inlay_weighs_the_difference_of_two_weighings():
    """A board of 5 kg is weighed, routed, weighed, filled and weighed: 102 mL of oak out, 102 mL of resin in."""
    board, out, resin = 5.0, 102e-6 * 761.6, 102e-6 * 1079.5
    routed = board - out
    filled = routed + resin

    found = inlay(volume=Q(102, "mL"), seal=Q(0, "mL"), density=Q(1.0795, "g/mL"), wood_density=Q(761.6, "kg/m^3"))

    assert found.added.m_as("kg") == pytest.approx(filled - board, abs=1e-9)
