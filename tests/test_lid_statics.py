"""A lid held at rest, a lid that falls shut, and a way out of the box beneath."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.calculator import InputError
from kit.lid_statics import HeldLid, held_lid, lid_slam
from kit.lockers import way_out
from kit.quantities import Q
from tests.lid_cases import agrees_one_by_one

PROP = {
    "weight": Q("84 N"),
    "centre": Q("315 mm"),
    "angle": Q("50 deg"),
    "held_at": Q("470 mm"),
    "known": "other end",
    "foot_across": Q("178 mm"),
    "foot_up": Q("0 mm"),
}
BOX = {
    "children": True,
    "lid_force": Q("31 N"),
    "latch_force": Q("10 N"),
    "vents": 2,
    "vent_area": Q("650 mm^2"),
    "apart": Q("150 mm"),
}


def held(**changed: Any) -> HeldLid:
    """A propped lid, some inputs changed."""
    return held_lid(**(PROP | changed))


@given(
    angle=st.floats(-80, 80),
    centre=st.floats(10, 600),
    load=st.floats(0, 500),
    direction=st.floats(30, 150),
    off=st.floats(0, 300),
)
def test_forces_and_moments_of_a_held_lid_balance(
    angle: float, centre: float, load: float, direction: float, off: float
) -> None:
    """Both sums of force, the moment about the pin, and both couples about the middle of two hinges are nothing."""
    try:
        lid = held_lid(
            weight=Q("84 N"),
            centre=Q(centre, "mm"),
            load=Q(load, "N"),
            load_at=Q("400 mm"),
            angle=Q(angle, "deg"),
            held_at=Q("470 mm"),
            known="direction",
            direction=Q(direction, "deg"),
            off_middle=Q(off, "mm"),
            spacing=Q("400 mm"),
        )
    except InputError:
        return
    force, way, turn = lid.force.m_as("N"), np.radians(direction), np.radians(angle)
    scale = 1e-9 * (abs(force) + 84 + load)
    assert force * np.cos(way) + lid.hinge_across.m_as("N") == pytest.approx(0, abs=scale)
    assert force * np.sin(way) + lid.hinge_up.m_as("N") == pytest.approx(84 + load, abs=scale)
    weights = (84 * centre + load * 400) * np.cos(turn)
    assert force * 470 * np.sin(way - turn) == pytest.approx(weights, abs=scale * 1e3)
    assert (lid.near_across + lid.far_across).m_as("N") == pytest.approx(lid.hinge_across.m_as("N"), abs=scale)
    assert (lid.near_up - lid.far_up).m_as("N") * 200 == pytest.approx(-force * np.sin(way) * off, abs=scale * 1e3)


def test_a_rope_pulls_and_a_prop_pushes() -> None:
    """The sign of the force is said in words."""
    assert held().acts == "pushes on the lid"
    assert held(foot_across=Q("-300 mm"), foot_up=Q("900 mm")).acts == "pulls on the lid"


def test_units_of_a_held_lid_do_not_matter() -> None:
    """Pounds and inches give the force that newtons and millimetres give."""
    inch = held(weight=Q(84 / 4.4482216152605, "lbf"), centre=Q(315 / 25.4, "in"))
    assert inch.force.m_as("N") == pytest.approx(held().force.m_as("N"), rel=1e-12)


def test_a_force_through_the_pin_is_refused() -> None:
    """It cannot hold the lid, and the sentence says so."""
    with pytest.raises(InputError, match="the force passes through the pin and cannot hold the lid"):
        held(known="direction", direction=Q("50 deg"))


def test_an_end_half_given_is_refused() -> None:
    """The exact sentence when only one of two distances is known."""
    with pytest.raises(InputError) as error:
        held(foot_up=None)
    assert set(error.value.faults.values()) == {
        "its other end must be given both ways, such as 178 mm across and 0 mm up"
    }


def test_samples_of_a_held_lid_agree_one_by_one() -> None:
    """Everything in doubt at once gives what each sample gives alone."""
    agrees_one_by_one(held_lid, PROP)
    agrees_one_by_one(held_lid, PROP | {"known": "direction", "direction": Q("95 deg")})


def test_a_slam_in_numbers() -> None:
    """0.5 m from 60 degrees: 7.138 rad/s, 3.569 m/s, 0.3402 s, 25.48 J for 12 kg; 0.6 m from 30: 2.971 m/s, 17.65 J."""
    slam = lid_slam(mass=Q("12 kg"), depth=Q("0.5 m"), opening=Q("60 deg"))
    assert slam.turning.m_as("rad/s") == pytest.approx(7.138, abs=0.0005)
    assert slam.edge_speed.m_as("m/s") == pytest.approx(3.569, abs=0.0005)
    assert slam.time.m_as("s") == pytest.approx(0.3402, abs=0.00005)
    assert slam.energy.m_as("J") == pytest.approx(25.48, abs=0.005)
    low = lid_slam(mass=Q("12 kg"), depth=Q("0.6 m"), opening=Q("30 deg"))
    assert low.edge_speed.m_as("m/s") == pytest.approx(2.971, abs=0.0005)
    assert low.energy.m_as("J") == pytest.approx(17.65, abs=0.01)


def test_mass_only_changes_the_energy_of_a_slam() -> None:
    """A heavy lid falls no faster than a light one."""
    one, other = (lid_slam(mass=Q(m, "kg"), depth=Q("0.5 m"), opening=Q("60 deg")) for m in (5, 10))
    assert (other.energy / one.energy).m_as("") == pytest.approx(2)
    assert other.edge_speed == one.edge_speed


def test_an_upright_lid_is_let_go_at_85_degrees() -> None:
    """Opened further it could stand, so a note says where it is let go."""
    slam = lid_slam(mass=Q("5 kg"), depth=Q("0.5 m"), opening=Q("110 deg"))
    assert slam.time == lid_slam(mass=Q("5 kg"), depth=Q("0.5 m"), opening=Q("85 deg")).time
    assert slam.notes


def test_samples_of_a_slam_agree_one_by_one() -> None:
    """Everything in doubt at once gives what each sample gives alone."""
    agrees_one_by_one(lid_slam, {"mass": Q("8.6 kg"), "depth": Q("640 mm"), "opening": Q("85.3 deg")})


def test_a_box_at_the_limits_lets_a_child_out() -> None:
    """Exactly 650 mm2, 150 mm and 50 N are allowed; a little worse fails."""
    names = ("two_vents", "vent_size", "vents_apart", "opens_from_inside")
    box = way_out(**(BOX | {"latch_force": Q("19 N")}))
    assert all(getattr(box, name).passes for name in names)
    worse = way_out(
        **(BOX | {"latch_force": Q("19.1 N"), "vents": 1, "vent_area": Q("649 mm^2"), "apart": Q("149 mm")})
    )
    assert {getattr(worse, name).verdict for name in names} == {"fails"}


def test_what_is_not_known_of_a_box_stays_open() -> None:
    """Nothing entered: four open checks; no children: none applies."""
    box = way_out(children=True, lid_force=Q("31 N"))
    assert {box.two_vents.verdict, box.vent_size.verdict, box.vents_apart.verdict, box.opens_from_inside.verdict} == {
        "open"
    }
    assert way_out(children=False, lid_force=Q("31 N")).two_vents.verdict == "does not apply"


def test_samples_of_a_box_agree_one_by_one() -> None:
    """Everything in doubt at once gives what each sample gives alone."""
    agrees_one_by_one(way_out, BOX)
