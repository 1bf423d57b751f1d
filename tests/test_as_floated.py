"""As floated and inclining: back from readings to what was put in, and what is suspected."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from kit.afloat import afloat
from kit.as_floated import as_floated
from kit.calculator import InputError
from kit.handed import Part
from kit.inclining import Shift, inclining
from kit.quantities import Q
from tests.mooring_cases import seen
from tests.one_by_one import agrees_one_by_one
from tests.raft_cases import DECK, WATER, floats, parts

READINGS = {
    "named_right": "end_right",
    "named_left": "end_left",
    "other_right": "other_right",
    "other_left": "other_left",
}


def lying(mass: float, x: float, y: float, z: float = -0.02) -> Any:
    """How the raft of Tarn Locker lies with a mass at a place."""
    return afloat(mass=Q(mass, "kg"), x=Q(x, "m"), y=Q(y, "m"), z=Q(z, "m"), floats=floats(), density=WATER, **DECK)


def back(lies: Any, z: float = -0.02, **more: Any) -> Any:
    """Its freeboards as readings, back to mass and centre.

    A rule is held along the side of the raft, square to its deck; the freeboard worked out is plumb.
    """
    steep = np.sqrt(1 + np.tan(lies.trim.m_as("rad")) ** 2 + np.tan(lies.list.m_as("rad")) ** 2)
    read = {name: getattr(lies, of) * steep for name, of in READINGS.items()}
    given = {"predicted": Q(703.6, "kg"), "predicted_x": Q(0, "m"), "predicted_y": Q(0, "m"), **more}
    return as_floated(**read, floats=floats(), density=WATER, z=Q(z, "m"), **DECK, **given)


@pytest.mark.parametrize(("mass", "x", "y"), [(703.6, 0, 0), (760, 0.05, -0.02), (900, -0.1, 0.08), (620, 0.02, 0.05)])
def test_what_was_floated_comes_back(mass: float, x: float, y: float):
    """Mass to a gram in a thousand, place to a tenth of a millimetre."""
    found = back(lying(mass, x, y))

    assert found.mass.m_as("kg") == pytest.approx(mass, rel=1e-5)
    assert found.x.m_as("m") == pytest.approx(x, abs=1e-4)
    assert found.y.m_as("m") == pytest.approx(y, abs=1e-4)


def test_higher_centre_of_gravity_leans_more_for_the_same_place():
    """The height assumed moves the place found only when it leans."""
    assert seen(488, 488, 488, 488, z=Q(0.5, "m")).y.m == pytest.approx(0, abs=1e-12)
    assert seen(470, 506, 470, 506, z=Q(0.5, "m")).y < seen(470, 506, 470, 506).y


def test_each_give_or_take_counts():
    """Readings, the floats' height and their size each widen the mass; only readings widen the place much."""
    small = {"reading_doubt": Q(0.1, "mm"), "height_doubt": Q(0, "mm"), "size_doubt": Q(0, "mm")}
    base = seen(488, 488, 488, 488, **small)

    for name in small:
        assert seen(488, 488, 488, 488, **{**small, name: Q(6, "mm")}).mass_doubt > base.mass_doubt
    assert seen(488, 488, 488, 488, **{**small, "reading_doubt": Q(6, "mm")}).y_doubt > 10 * base.y_doubt


def test_the_give_or_take_is_that_of_drawn_readings():
    """Readings drawn at random within it spread the mass by the same root of squares."""
    random = np.random.default_rng(3)
    draws = random.normal(0, 3, (4, 4000))
    found = seen(*(Q(488 + one, "mm").m for one in draws))
    one = seen(488, 488, 488, 488, height_doubt=Q(0, "mm"), size_doubt=Q(0, "mm"))

    assert found.mass.m_as("kg").std() == pytest.approx(one.mass_doubt.m_as("kg"), rel=0.05)
    assert found.y.m_as("m").std() == pytest.approx(one.y_doubt.m_as("m"), rel=0.05)


def test_a_twisted_set_of_readings_is_doubted():
    """One corner 40 mm off the plane of the others lies 10 mm off the plane nearest to all."""
    found = seen(528, 488, 488, 488)

    assert found.twist.m_as("mm") == pytest.approx(10)
    assert found.readings_agree.verdict == "fails"
    assert seen(498, 488, 498, 488).readings_agree.verdict == "meets"


def test_nothing_is_said_before_all_four_corners_are_read():
    """Open, with the number that is missing."""
    found = as_floated(
        named_right=Q(488, "mm"),
        floats=floats(),
        density=WATER,
        z=Q(0, "m"),
        predicted=Q(700, "kg"),
        predicted_x=Q(0, "m"),
        predicted_y=Q(0, "m"),
        **DECK,
    )

    assert found.mass_agrees.verdict == "open"
    assert found.says == "3 of 4 corners not measured yet"
    assert np.isnan(found.mass.m)


def test_readings_off_the_floats_are_refused():
    """The deck under water by more than all floats, or above them."""
    with pytest.raises(InputError) as refused:
        seen(5000, 5000, 5000, 5000)

    assert set(refused.value.faults) == set(READINGS)


# -- suspicion ---------------------------------------------------------------------------------------


def made_heavier(name: str, by: float) -> Any:
    """Tarn Locker with one part heavier than planned, floated, and the readings judged against the plan."""
    planned = parts()
    frame = [(p.mass.m_as("kg"), p.x.m_as("m"), p.y.m_as("m")) for p in planned] + [(321.3, 0, 0)]
    mass = sum(m for m, _, _ in frame)
    x, y = (sum(row[0] * row[axis] for row in frame) / mass for axis in (1, 2))
    part = next(p for p in planned if p.name == name)
    heavier = mass + by
    at = [(mass * was + by * getattr(part, axis).m_as("m")) / heavier for was, axis in ((x, "x"), (y, "y"))]
    return back(
        lying(heavier, *at),
        predicted=Q(mass, "kg"),
        predicted_x=Q(x, "m"),
        predicted_y=Q(y, "m"),
        parts=planned,
        reading_doubt=Q(1, "mm"),
        height_doubt=Q(1, "mm"),
        size_doubt=Q(1, "mm"),
    )


@pytest.mark.parametrize(("name", "by"), [("ladder", 25), ("battery", 20), ("gear, left", 30), ("panels", -6)])
def test_the_part_that_is_heavier_is_found(name: str, by: float):
    """It is among those that alone explain the readings, by about its mass; the lump lies near it."""
    found = made_heavier(name, by)
    suspect = next(one for one in found.suspects if one.name == name)

    assert suspect.heavier.m_as("kg") == pytest.approx(by, abs=0.5)
    assert suspect.words.startswith("alone it explains it, at ")
    assert suspect.misfit.m < 0.1
    if abs(by) > found.mass_doubt.m_as("kg"):
        part = next(p for p in parts() if p.name == name)
        assert found.lump_x.m_as("m") == pytest.approx(part.x.m_as("m"), abs=0.03)
        assert found.lump_y.m_as("m") == pytest.approx(part.y.m_as("m"), abs=0.03)


def test_a_part_elsewhere_does_not_explain_it():
    """A heavier ladder is not explained by the gear at the other end."""
    found = made_heavier("ladder", 25)

    assert found.suspects[0].name in ("ladder", "hand rails")
    assert all(one.words == "alone it does not explain it" for one in found.suspects if one.name == "gear, left")
    assert "look at ladder" in found.says or "look at hand rails" in found.says


def test_a_difference_within_the_doubt_is_none():
    """4 kg of 700 are not seen with 3 mm readings."""
    found = back(lying(707.6, 0, 0))

    assert found.says == "as predicted, within the give or take of the readings"
    assert np.isnan(found.lump_x.m)


def test_a_correction_is_proposed_with_mass_and_place():
    """What the lump says, as a row; nothing when it is as predicted or lighter."""
    assert back(lying(760, 0.05, 0)).proposal == "correction as floated: 56 kg at x 0.67 m, y 0.00 m"
    assert back(lying(703.6, 0, 0)).proposal.startswith("none: it is as predicted")
    assert back(lying(640, 0, 0)).proposal.startswith("none: it is 64 kg lighter")


def test_no_part_explains_two_things():
    """Something heavier at one corner and lighter at the opposite one."""
    planned = [Part(name="mast", mass=Q(10, "kg"), x=Q(1.4, "m"), y=Q(1, "m"), z=Q(0, "m"))]
    found = back(lying(760, -0.1, 0.06), parts=planned, reading_doubt=Q(1, "mm"))

    assert found.says.endswith("no single part explains it")


def test_checks_of_mass_and_place_turn():
    """25 kg and 20 mm pass by default."""
    assert back(lying(703.6, 0, 0)).mass_agrees.verdict == "meets"
    assert back(lying(740, 0, 0)).mass_agrees.verdict == "fails"
    assert back(lying(703.6, 0.03, 0)).place_agrees.verdict == "fails"


def test_samples_as_floated():
    """Readings, water and doubts together; the suspects are those of the means."""

    def plain(pick: Any) -> Any:
        found = seen(
            pick([480, 488, 495], "mm").m,
            488,
            pick([470, 488, 500], "mm").m,
            490,
            predicted=pick([690, 700, 720], "kg"),
            reading_doubt=pick([1, 3, 5], "mm"),
        )
        return found.mass, found.mass_doubt, found.x, found.x_doubt, found.twist, found.lump_y, found.mass_agrees

    agrees_one_by_one(plain, 3)


# -- inclining ---------------------------------------------------------------------------------------


def swings(stiff: float, mass: float, moments: Any) -> list[Shift]:
    """Readings of a pendulum of 1.5 m on a raft of that stiffness."""
    return [
        Shift(name=str(n), mass=Q(80, "kg"), moved=Q(m / 80, "m"), swing=Q(1.5 * m / (mass * stiff), "m"))
        for n, m in enumerate(moments)
    ]


def test_stiffness_and_height_come_back():
    """GM as put in; what is less stiff is higher by as much."""
    test = inclining(
        shifts=swings(2.9, 780, (40, 80, 60)),
        mass=Q(780, "kg"),
        predicted_z=Q(-0.02, "m"),
        predicted_stiffness=Q(3.1, "m"),
    )

    assert test.stiffness.m_as("m") == pytest.approx(2.9)
    assert test.higher.m_as("m") == pytest.approx(0.2)
    assert test.z.m_as("m") == pytest.approx(0.18)
    assert test.says == "higher than predicted: less stiff"


def test_the_equilibrium_inclines_as_the_rule_says():
    """A person moved on the raft of Tarn Locker: its tilt gives back the metacentric height that was worked out."""
    before = lying(780, 0, 0)
    after = lying(780, 0, 80 * 0.5 / 780)
    swing = 1.5 * np.tan(after.list.m_as("rad"))
    test = inclining(
        shifts=[Shift(name="one", mass=Q(80, "kg"), moved=Q(0.5, "m"), swing=Q(swing, "m"))],
        mass=Q(780, "kg"),
        predicted_z=Q(-0.02, "m"),
        predicted_stiffness=before.stiffness_y,
    )

    assert test.stiffness.m_as("m") == pytest.approx(before.stiffness_y.m_as("m"), rel=2e-3)


def test_more_and_larger_readings_are_less_in_doubt():
    """A longer pendulum too."""
    given = {"mass": Q(780, "kg"), "predicted_z": Q(0, "m"), "predicted_stiffness": Q(3, "m")}
    one = inclining(shifts=swings(3, 780, (40,)), **given)

    assert inclining(shifts=swings(3, 780, (40, 40, 40, 40)), **given).doubt.m == pytest.approx(one.doubt.m / 2)
    assert inclining(shifts=swings(3, 780, (80,)), **given).doubt.m == pytest.approx(one.doubt.m / 2)
    scattered = swings(3, 780, (40, 40)) + swings(2, 780, (40.0,))
    named = [Shift(name=f"n{n}", mass=s.mass, moved=s.moved, swing=s.swing) for n, s in enumerate(scattered)]
    assert inclining(shifts=named, **given).doubt > one.doubt


def test_the_check_of_height_allows_the_tests_doubt():
    """Higher by a hand within the doubt passes; by a metre it does not; without readings it is open."""
    given = {"mass": Q(780, "kg"), "predicted_z": Q(0, "m")}

    assert inclining(shifts=swings(3, 780, (40,)), predicted_stiffness=Q(3.15, "m"), **given).agrees.verdict == "meets"
    assert inclining(shifts=swings(3, 780, (40,)), predicted_stiffness=Q(4.5, "m"), **given).agrees.verdict == "fails"
    assert inclining(predicted_stiffness=Q(3, "m"), **given).agrees.verdict == "open"


def test_a_large_tilt_is_remarked_on():
    """The rule is for small angles."""
    test = inclining(
        shifts=swings(0.2, 780, (80,)), mass=Q(780, "kg"), predicted_z=Q(0, "m"), predicted_stiffness=Q(1, "m")
    )

    assert any("4 degrees" in note for note in test.notes)


def test_samples_of_an_inclining_test():
    """Masses and swings together."""
    agrees_one_by_one(
        lambda pick: inclining(
            shifts=[
                Shift(name="one", mass=Q(80, "kg"), moved=Q(1, "m"), swing=pick([40, 50, 60], "mm")),
                Shift(name="two", mass=Q(80, "kg"), moved=Q(0.5, "m"), swing=pick([20, 26, 28], "mm")),
            ],
            mass=pick([700, 780, 800], "kg"),
            predicted_z=Q(0, "m"),
            predicted_stiffness=Q(3, "m"),
        ),
        3,
    )
    agrees_one_by_one(
        lambda pick: inclining(
            shifts=swings(3, 780, (40, 70)),
            pendulum=pick([1, 1.5, 2], "m"),
            mass=pick([700, 780, 800], "kg"),
            predicted_z=Q(0, "m"),
            predicted_stiffness=Q(3, "m"),
        ),
        3,
    )
