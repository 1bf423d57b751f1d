"""The clock of a pour, pigment, and what follows the cure: each rule moved, each check across its limit."""

from __future__ import annotations

import pytest

from kit.after_cure import after_cure
from kit.calculator import InputError
from kit.pour_clock import pigment, pour_clock
from kit.pour_simulation import CupReading, cup_calibration, cure_simulation
from kit.quantities import Q

CLOCK = {
    "cups": 4, "layers": Q(2), "cup_mass": Q(60, "g"), "mixing_time": Q(5, "min"), "placing_rate": Q(20, "g/min"),
    "pot_life": Q(30, "min"), "soonest": Q(4, "h"), "latest": Q(24, "h"), "planned": Q(8, "h"),
}
AFTER = {
    "depth": Q(4, "mm"), "width": Q(300, "mm"), "wood_change": Q(1, "percent"), "cured_at": Q(20, "degC"),
    "hottest": Q(40, "degC"), "glass": Q(55, "degC"), "topcoat": True,
}


def test_cups_follow_one_another_and_layers_after_their_wait():
    """Two layers of two cups of 8 minutes each, an hour after the seal coat, eight hours apart."""
    turns = pour_clock(**CLOCK).turns

    assert [(t.name, t.begins) for t in turns] == [
        ("seal coat", "0:00"), ("layer 1, cup 1", "1:00"), ("layer 1, cup 2", "1:08"),
        ("layer 2, cup 1", "9:16"), ("layer 2, cup 2", "9:24"),
    ]
    assert (turns[1].stirred, turns[1].poured, turns[1].thick) == ("1:05", "1:08", "1:30")


def test_times_of_a_layer_and_of_all():
    """A cup 8 min, a layer 16, all of it 1 h + 2 x 16 min + 8 h."""
    clock = pour_clock(**CLOCK)

    assert clock.one_cup.m_as("min") == pytest.approx(8)
    assert clock.one_layer.m_as("min") == pytest.approx(16)
    assert clock.spare.m_as("min") == pytest.approx(22)
    assert clock.in_all.m_as("h") == pytest.approx(9 + 32 / 60)


@pytest.mark.parametrize(("changed", "check", "verdict"), [
    ({"pot_life": Q(8, "min")}, "in_time", "marginal"), ({"pot_life": Q(7.9, "min")}, "in_time", "fails"),
    ({"pot_life": Q(15, "min")}, "wet_edge", "fails"), ({"planned": Q(3, "h")}, "window", "fails"),
    ({"planned": Q(25, "h")}, "window", "fails"), ({"planned": Q(10, "h")}, "window", "meets"),
    ({"latest": None}, "window", "open"), ({"layers": Q(1)}, "window", "meets"),
    ({"layers": Q(1), "latest": None}, "window", "does not apply"), ({"seal_wait": Q(30, "min")}, "sealed", "fails"),
])
def test_checks_of_the_clock(changed, check, verdict):
    """Each limit crossed."""
    found = getattr(pour_clock(**(CLOCK | changed)), check).verdict
    assert found == verdict or (verdict == "meets" and found == "marginal")


def test_a_window_that_closes_before_it_opens_is_refused():
    """Both inputs are named."""
    with pytest.raises(InputError, match="the next layer cannot be allowed later than its latest") as caught:
        pour_clock(**(CLOCK | {"soonest": Q(30, "h")}))
    assert set(caught.value.faults) == {"soonest", "latest"}


def test_pigment_by_mass_volume_and_drops():
    """Two per cent of 65 g are 1.3 g, a millilitre at 1.3 g/mL, twenty drops; a coarse scale cannot weigh it."""
    found = pigment(cup_mass=Q(65, "g"), cups=3, share=Q(2, "percent"))

    assert found.mass.m_as("g") == pytest.approx(1.3)
    assert found.volume.m_as("mL") == pytest.approx(1.0)
    assert found.drops.m_as("") == pytest.approx(20)
    assert found.all_cups.m_as("g") == pytest.approx(3.9)
    assert (found.ratio_kept.verdict, found.weighable.verdict) == ("meets", "meets")
    assert pigment(cup_mass=Q(65, "g"), share=Q(6, "percent")).ratio_kept.verdict == "fails"
    assert pigment(cup_mass=Q(65, "g"), share=Q(2, "percent"), division=Q(1, "g")).weighable.verdict == "fails"


def test_resin_sinks_by_its_shrinkage_and_is_filled_that_much_proud():
    """4 % of 4 mm is 0.16 mm; with 0.3 mm of unevenness the fill stands 0.46 mm proud; the cut leaves 3.5 mm."""
    found = after_cure(**AFTER)

    assert found.dish.m_as("mm") == pytest.approx(0.16)
    assert found.overfill.m_as("mm") == pytest.approx(0.46)
    assert found.facing.m_as("mm") == pytest.approx(0.8)
    assert found.left.m_as("mm") == pytest.approx(3.5)
    assert found.movement.m_as("mm") == pytest.approx(3.0)


@pytest.mark.parametrize(("changed", "check", "verdict"), [
    ({"facing_cut": Q(0.2, "mm")}, "flat", "fails"), ({"least_left": Q(3.6, "mm")}, "deep_enough", "fails"),
    ({"wood_change": Q(-3.1, "percent")}, "gives", "fails"), ({"hottest": Q(46, "degC")}, "stays_hard", "fails"),
    ({"hottest": Q(45, "degC")}, "stays_hard", "meets"), ({"topcoat": None}, "shaded", "open"),
    ({"topcoat": False}, "shaded", "fails"), ({"outdoors": False, "topcoat": None}, "shaded", "does not apply"),
])
def test_checks_after_the_cure(changed, check, verdict):
    """Each limit crossed."""
    assert getattr(after_cure(**(AFTER | changed)), check).verdict == verdict


def test_without_a_data_sheet_the_glass_temperature_is_from_memory_and_says_so():
    """Cure temperature and 15 degrees."""
    found = after_cure(**(AFTER | {"glass": None}))

    assert found.softens.m_as("degC") == pytest.approx(35)
    assert any("from memory" in note for note in found.notes)


def test_a_warmer_room_and_a_deeper_layer_run_hotter():
    """Each step up raises the peak."""
    peaks = [
        float(cure_simulation(depth=Q(d, "mm"), temperature=Q(t, "degC"), room=Q(t, "degC")).peak.m_as("degC")) - t
        for d, t in ((3, 20), (4, 20), (4, 24))
    ]
    assert peaks == sorted(peaks)


def test_readings_out_of_order_are_refused_and_few_leave_it_open():
    """A clock that runs backwards is named; four readings are too few."""
    rows = [CupReading(name=str(n), time=Q(n, "min"), temperature=Q(20 + n, "degC")) for n in (0, 10, 20, 30, 40)]

    assert cup_calibration(readings=rows[:4], room=Q(20, "degC")).fits.verdict == "open"
    with pytest.raises(InputError, match="readings must stand in the order of time"):
        cup_calibration(readings=rows[::-1], room=Q(20, "degC"))
