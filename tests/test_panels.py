"""Panels: rough boards, mass, centre of gravity."""

from __future__ import annotations

import pytest

from kit.calculator import InputError
from kit.panels import Batten, Fitting, panel, sheet
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one


def batten(name, place, length=Q(500, "mm")):
    """A batten of the lid at a place from the hinge."""
    return Batten(name=name, length=length, width=Q(60, "mm"), thickness=Q(26, "mm"), place=Q(place, "mm"))


def lid(**changed):
    """The lid of a locker, with whatever is changed."""
    given = {
        "timber": "white oak", "width": Q(550, "mm"), "depth": Q(640, "mm"), "thickness": Q(26, "mm"), "boards": 5,
        "rough_width": Q(118, "mm"), "rough_thickness": Q(32, "mm"), "fitting_moisture": Q(12, "percent"),
        "wet_moisture": Q(28, "percent"), "battens": [batten("hinge", 120), batten("front", 500)],
        "fittings": [Fitting(name="handle", mass=Q(0.3, "kg"), place=Q(620, "mm"))],
    }
    return panel(**given | changed)


def test_mass_is_volume_times_density_plus_fittings():
    """0.55 x 0.64 x 0.026 m and two battens of oak at 761.6 kg/m3, and 0.3 kg of handle."""
    volume = 0.55 * 0.64 * 0.026 + 2 * 0.5 * 0.06 * 0.026

    assert lid().mass.m_as("kg") == pytest.approx(volume * 0.68 * 1120 + 0.3, rel=1e-12)


def test_centre_without_battens_and_fittings_is_the_middle():
    """A bare panel balances at half its depth."""
    assert lid(battens=(), fittings=()).centre.m_as("mm") == pytest.approx(320)


def test_a_batten_at_the_front_moves_the_centre_to_the_front():
    """The moment of a batten about the middle moves the centre by that moment over the mass."""
    bare, with_one = lid(battens=(), fittings=()), lid(battens=[batten("front", 600)], fittings=())

    moved = (with_one.batten_mass * Q(280, "mm") / with_one.mass).m_as("mm")
    assert (with_one.centre - bare.centre).m_as("mm") == pytest.approx(moved)
    assert moved > 0


def test_a_fitting_moves_the_centre_towards_itself():
    """A heavier handle at the front draws the centre to the front, and adds its own mass."""
    light, heavy = (lid(fittings=[Fitting(name="handle", mass=Q(m, "kg"), place=Q(620, "mm"))]) for m in (0.1, 1.1))

    assert heavy.centre > light.centre
    assert (heavy.mass - light.mass).m_as("kg") == pytest.approx(1)


@pytest.mark.parametrize("name", ["width", "depth", "thickness"])
def test_board_mass_goes_with_each_size(name):
    """Twice the size in any direction is twice the mass of the boards."""
    size = {"width": Q(550, "mm"), "depth": Q(640, "mm"), "thickness": Q(26, "mm")}[name]

    assert (lid(**{name: 2 * size}).board_mass / lid().board_mass).m_as("") == pytest.approx(2)


def test_heavier_species_is_heavier():
    """Cedar is 0.32 of water where oak is 0.68."""
    assert (lid(timber="western redcedar").board_mass / lid().board_mass).m_as("") == pytest.approx(32 / 68)


def test_wet_timber_gains_as_its_moisture_and_fittings_gain_nothing():
    """From 12 to 28 % the timber gains 16 parts in 112; the handle does not."""
    found = lid()

    gain = (found.board_mass + found.batten_mass) * (28 - 12) / 112
    assert (found.wet_mass - found.mass).m_as("kg") == pytest.approx(gain.m_as("kg"))


def test_moisture_at_fitting_weighs():
    """Boards fitted at 20 % instead of 12 weigh 120 to 112."""
    assert (lid(fitting_moisture=Q(20, "percent")).board_mass / lid().board_mass).m_as("") == pytest.approx(120 / 112)


def test_a_weighed_mass_stands_before_the_worked_out_one():
    """The scale is believed, and what the sizes gave stays in sight."""
    found = lid(weighed=Q(9, "kg"))

    assert found.mass == Q(9, "kg")
    assert found.worked_out == lid().mass
    assert found.centre == lid().centre


def test_boards_needed_counts_what_jointing_and_trimming_take():
    """560 mm over boards of 118 - 6 mm: exactly five; a millimetre narrower takes a sixth."""
    assert lid().boards_needed == Q(5)
    assert lid(rough_width=Q(117, "mm")).boards_needed == Q(6)
    assert lid(trim=Q(11, "mm")).boards_needed == Q(6)
    assert lid(edge=Q(4, "mm")).boards_needed == Q(6)


def test_boards_that_do_not_reach_fail():
    """Four boards of 112 mm make 448, and 560 are needed."""
    four = lid(boards=4)

    assert four.wide_enough.verdict == "fails"
    assert four.jointed_width.m_as("mm") == pytest.approx(448)
    assert lid().wide_enough.verdict == "meets"


def test_a_thickness_that_the_rough_board_does_not_hold_fails():
    """32 mm less 3 mm a face leave 26, so 27 cannot be planed out of it."""
    assert lid(thickness=Q(26, "mm")).thick_enough.verdict == "meets"
    assert lid(thickness=Q(27, "mm")).thick_enough.verdict == "fails"
    assert lid(face=Q(3.1, "mm")).thick_enough.verdict == "fails"
    assert lid(face=Q(1, "mm")).planed_thickness.m_as("mm") == pytest.approx(30)


def test_rough_volume_adds_every_allowance():
    """Boards are longer by 50 mm; battens grow by 6, 6 and 50 mm."""
    volume = 5 * 118 * 32 * 690 + 2 * 550 * 66 * 32

    assert lid().rough_volume.m_as("mm^3") == pytest.approx(volume)
    assert lid(end=Q(0, "mm"), battens=()).rough_volume.m_as("mm^3") == pytest.approx(5 * 118 * 32 * 640)


def test_glue_lines_are_one_less_than_boards():
    """Five boards have four joints of 640 x 26 mm; one board has none."""
    assert lid().joints == Q(4)
    assert lid().joint_area.m_as("mm^2") == pytest.approx(4 * 640 * 26)
    assert lid(boards=1).joints == Q(0)


def test_the_unit_of_an_input_does_not_matter():
    """26 mm is 1.023622 in."""
    assert lid(thickness=Q(26 / 25.4, "in")).mass.m_as("kg") == pytest.approx(lid().mass.m_as("kg"), rel=1e-12)


def test_a_width_that_jointing_uses_up_is_refused():
    """The sentence stands beside both inputs."""
    with pytest.raises(InputError) as refused:
        lid(rough_width=Q(6, "mm"))

    assert refused.value.faults == dict.fromkeys(
        ("rough_width", "edge"),
        "nothing is left of a rough board after jointing; the width must be more than twice what is jointed off, "
        "such as 118 mm with 3 mm off each edge")


def test_a_thickness_outside_its_limits_is_refused_in_one_sentence():
    """The input, what was given, what is allowed and an example."""
    with pytest.raises(InputError) as refused:
        lid(thickness=Q(2, "mm"))

    assert str(refused.value) == (
        "panel: 1 to mend\n"
        "thickness (thickness of the boards after planing): 2 mm is outside 3 to 150 mm, such as 26 mm")


def test_samples_of_a_panel_agree_with_one_by_one():
    """Every result and check, rows included."""
    def one(pick):
        return lid(
            width=pick([540, 550, 560], "mm"), thickness=pick([25, 26, 27], "mm"),
            rough_width=pick([118, 110, 120], "mm"), face=pick([3, 2, 4], "mm"),
            fitting_moisture=pick([11, 12, 15], "percent"),
            battens=[batten("hinge", 120, length=pick([490, 500, 520], "mm"))],
            fittings=[Fitting(name="handle", mass=pick([0.2, 0.3, 0.4], "kg"), place=pick([600, 610, 620], "mm"))])

    agrees_one_by_one(one, 3)


def carcass(**changed):
    """The cedar carcass of a locker."""
    given = {"timber": "western redcedar", "area": Q(3, "m^2"), "thickness": Q(22, "mm"),
             "fitting_moisture": Q(12, "percent"), "wet_moisture": Q(28, "percent")}
    return sheet(**given | changed)


def test_a_sheet_weighs_area_times_thickness_times_density():
    """3 m2 of 22 mm cedar at 358.4 kg/m3."""
    assert carcass().mass.m_as("kg") == pytest.approx(3 * 0.022 * 0.32 * 1120)
    assert carcass().outside.m_as("m^2") == pytest.approx(6)


def test_a_sheet_is_bought_with_its_waste():
    """A tenth more than the area, and more waste is more stock."""
    assert carcass().stock.m_as("m^2") == pytest.approx(3.3)
    assert carcass(waste=Q(25, "percent")).stock.m_as("m^2") == pytest.approx(3.75)


def test_a_sheet_gains_water_and_believes_the_scale():
    """The gain is that of the timber worked out, upon the mass that was weighed."""
    weighed = carcass(weighed=Q(25, "kg"))

    assert weighed.mass == Q(25, "kg")
    assert (weighed.wet_mass - weighed.mass).m_as("kg") == pytest.approx(carcass().mass.m_as("kg") * 16 / 112)


def test_samples_of_a_sheet_agree_with_one_by_one():
    """Every result."""
    agrees_one_by_one(lambda pick: carcass(
        area=pick([2.9, 3.1], "m^2"), thickness=pick([21, 22], "mm"), wet_moisture=pick([25, 30], "percent")), 2)
