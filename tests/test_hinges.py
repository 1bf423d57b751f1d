"""What hinges and their screws carry: worked cases, balance of forces, errors."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from kit.calculator import InputError, declared
from kit.hinges import HingeLoad, hinge_load, hinge_screws
from kit.quantities import Q
from tests.lid_cases import CASES, agrees_one_by_one, at, balance_of, half_digit

OF_HINGES = declared(hinge_load).inputs
# Angle, then the force of the hinges on the lid with a hand that holds it, along and square to the closed lid.
ON_THE_LID = """
0  186.2 12.3
15 178.4 13.4
30 157.3 19.2
45 133.1 26.0
60 110.7 31.5
75 91.9  34.4
85 81.8  34.6
"""


def load_of(name: str, **changed: Any) -> HingeLoad:
    """The hinges of a case, struts at 20 degC unless it says otherwise."""
    more = {"hot": Q("20 degC"), "spacing": Q("400 mm"), "screw_withdrawal": Q("331.5 N"), "screw_shear": Q("301.5 N")}
    given = CASES[name] | more | changed
    return hinge_load(**{key: value for key, value in given.items() if key in OF_HINGES})


@pytest.mark.parametrize("line", ON_THE_LID.strip().splitlines())
def test_the_hinges_on_the_lid_at_one_angle(line: str) -> None:
    """The pull on the hinges is the reaction of the worked case turned round, within its rounding."""
    angle, along, above = line.split()
    load = load_of("plain", opening=Q(float(angle) or 85, "deg"))
    assert -at(load.along, "N", angle) == pytest.approx(float(along), abs=half_digit(along))
    assert -at(load.lifting, "N", angle) == pytest.approx(float(above), abs=half_digit(above))


def test_screws_of_one_hinge_that_takes_all() -> None:
    """Shut: shear 62.2 N and pull 11.3 N a screw; 0.21 and 0.034 of their strengths add up to 0.24."""
    used = load_of("plain").used.m_as("")[0]
    shear = np.hypot(186.2, 0) / 3 / 301.5
    pull = 12.3 * (1 + 14 / 8) / 3 / 331.5
    # Both reactions are rounded to 0.05 N.
    assert used == pytest.approx(shear + pull, abs=0.05 / 3 / 301.5 + 0.05 * 2.75 / 3 / 331.5)
    assert used == pytest.approx(0.24, abs=0.005)


def test_prying_of_a_leaf() -> None:
    """100 N square to a leaf with 14 mm to the pin and 8 mm to its far edge pulls the screws with 275 N."""
    plain, pried = (load_of("plain", knuckle=Q(e, "mm"), screw_shear=Q(20_000, "N"), screws=1) for e in (0, 14))
    assert (pried.withdrawal / plain.withdrawal).m_as("") == pytest.approx(2.75)


def test_it_says_which_way_the_lid_pulls() -> None:
    """The demo's shut lid lifts its hinges with 80 N and pushes them back with 122 N, fall left out."""
    load = load_of("locker", friction=Q("0 N"), fall=Q("0 deg"), handle=Q("640 mm"))
    assert load.shut_along.m_as("N") == pytest.approx(-122, abs=0.5)
    assert load.shut_lifting.m_as("N") == pytest.approx(80, abs=0.5)
    assert (
        load.direction
        == "with the lid shut it pulls the hinges up off the body with 80 N and pushes them back with 122 N"
    )
    assert "presses the hinges down with 12 N" in load_of("plain").direction


def test_forces_and_moments_balance_at_every_angle() -> None:
    """Struts, weight, hand and hinges leave nothing over, in a frame that does not lean."""
    load = load_of("tilted", friction=Q("0 N"))
    lid = balance_of("tilted")
    turn, weight = load.angle.m_as("rad"), 20 * 9.80665
    x = 280 * np.cos(turn) + 40 * np.sin(turn) - 60
    y = 280 * np.sin(turn) - 40 * np.cos(turn) + 270
    push, hand = 2 * lid.force_nominal.m_as("N"), lid.open_nominal.m_as("N")
    fall = np.radians(-20)
    along = push * x / np.hypot(x, y) + weight * np.sin(fall) - hand * np.sin(turn)
    above = push * y / np.hypot(x, y) - weight * np.cos(fall) + hand * np.cos(turn)
    np.testing.assert_allclose(load.along.m_as("N"), along, rtol=1e-9)
    np.testing.assert_allclose(load.lifting.m_as("N"), above, rtol=1e-9)


def test_a_strut_off_the_middle_adds_its_couple() -> None:
    """In the middle there is none; off it, the pair at the end hinges is force x offset / spacing."""
    middle, off = load_of("plain"), load_of("plain", off_middle=Q("300 mm"))
    assert middle.racking_pair.m_as("N") == 0
    assert off.racking_pair.m_as("N") == pytest.approx(194.42 * 300 / 400, abs=0.005)
    assert off.racking.m_as("N*m") == pytest.approx(194.42 * 0.3, abs=0.002)
    assert off.screws_hold.value > middle.screws_hold.value


@pytest.mark.parametrize(
    ("change", "factor"), [({"screws": 6}, 0.5), ({"screw_withdrawal": Q("663 N"), "screw_shear": Q("603 N")}, 0.5)]
)
def test_use_goes_with_the_number_and_strength_of_screws(change: dict[str, Any], factor: float) -> None:
    """Twice the screws or twice their strength halves what is used."""
    before, after = load_of("plain").screws_hold.value, load_of("plain", **change).screws_hold.value
    assert (after / before).m_as("") == pytest.approx(factor)


def test_a_leaf_upright_on_the_back_turns_shear_into_pull() -> None:
    """The lid pushes back with 186.2 N: across the screws of a leaf on the rim, straight out of one on the back."""
    flat, upright = (
        load_of("plain", leaf=leaf, screw_shear=Q("20 kN")) for leaf in ("flat on the rim", "upright on the back")
    )
    pull, shear = 186.2 * 2.75 / 3 / 331.5, 12.3 / 3 / 20_000
    # The reaction is rounded to 0.05 N.
    assert upright.used.m_as("")[0] == pytest.approx(pull + shear, abs=0.05 * 2.75 / 3 / 331.5)
    assert flat.used.m_as("")[0] < 0.1 * upright.used.m_as("")[0]


def test_hot_struts_and_friction_pull_harder() -> None:
    """Both raise the push on the mounts."""
    assert load_of("locker", hot=Q("45 degC")).mount_force > load_of("locker").mount_force
    assert load_of("locker").mount_force.m_as("N") == pytest.approx(184.57 + 10, abs=0.005)


@pytest.mark.parametrize(("spacing", "needed"), [("600 mm", 2), ("601 mm", 3), ("1200 mm", 3), ("100 mm", 2)])
def test_hinges_needed_by_their_distance(spacing: str, needed: int) -> None:
    """One more for each further 600 mm between the end hinges, never fewer than two."""
    load = load_of("plain", spacing=Q(spacing))
    assert load.hinges_needed.m_as("") == needed
    assert load.enough_hinges.passes is (needed == 2)


SCREW = {"diameter": Q("4.2 mm"), "root": Q("3.3 mm"), "thread": Q("30 mm"), "specific_gravity": Q(0.45)}


def test_a_screw_in_wet_timber_holds_seven_tenths() -> None:
    """Wet service takes 30 % off both loads; the dry ones stand beside."""
    dry, wet = (hinge_screws(**SCREW, service=service) for service in ("dry", "wet"))
    assert (wet.withdrawal / dry.withdrawal).m_as("") == pytest.approx(0.7)
    assert (wet.lateral / dry.lateral).m_as("") == pytest.approx(0.7)
    assert wet.withdrawal_dry == dry.withdrawal


@pytest.mark.parametrize(("name", "power"), [("diameter", 1), ("thread", 1), ("specific_gravity", 2)])
def test_withdrawal_goes_with_each_term(name: str, power: int) -> None:
    """Diameter and thread count once, specific gravity twice."""
    one, other = hinge_screws(**SCREW), hinge_screws(**(SCREW | {name: 1.1 * SCREW[name]}))
    assert (other.withdrawal / one.withdrawal).m_as("") == pytest.approx(1.1**power)


@pytest.mark.parametrize("name", ["root", "thread", "specific_gravity", "leaf_thickness"])
def test_no_term_makes_a_screw_weaker_across(name: str) -> None:
    """A thicker root, deeper thread, denser timber or thicker leaf never takes strength away."""
    given = SCREW | {"leaf_thickness": Q("1.2 mm")}
    assert hinge_screws(**(given | {name: 1.2 * given[name]})).lateral >= hinge_screws(**given).lateral


def test_a_thin_leaf_is_crushed_first() -> None:
    """What gives way is said of the leaf and the timber, not of two pieces of wood."""
    assert hinge_screws(**SCREW, leaf_thickness=Q("0.8 mm")).governed_by.startswith("mode")
    assert "head-side" not in hinge_screws(**SCREW).governed_by


def test_a_shallow_screw_is_flagged() -> None:
    """Less than six diameters fails its check; less than seven carries a note beside the older rule."""
    screw = hinge_screws(**(SCREW | {"thread": Q("25 mm")}), group="IV")
    assert screw.deep_enough.verdict == "fails"
    assert any("seven diameters" in note for note in screw.notes)


def test_a_root_as_thick_as_the_screw_is_refused() -> None:
    """The exact sentence, beside both boxes."""
    with pytest.raises(InputError) as error:
        hinge_screws(**(SCREW | {"root": Q("4.2 mm")}))
    assert error.value.faults == dict.fromkeys(
        ("root", "diameter"), "the root must be thinner than the screw, such as 3.3 mm for 4.2 mm")


@pytest.mark.parametrize("name", list(CASES))
def test_samples_of_the_hinges_agree_one_by_one(name: str) -> None:
    """Everything in doubt at once gives what each sample gives alone."""
    more = {
        "spacing": Q("400 mm"),
        "off_middle": Q("150 mm"),
        "screw_withdrawal": Q("331 N"),
        "screw_shear": Q("301 N"),
    }
    agrees_one_by_one(hinge_load, {key: value for key, value in (CASES[name] | more).items() if key in OF_HINGES})


def test_samples_of_the_screws_agree_one_by_one() -> None:
    """Everything in doubt at once gives what each sample gives alone."""
    agrees_one_by_one(hinge_screws, SCREW | {"leaf_thickness": Q("2 mm"), "group": "IV"})


def test_one_hinge_is_refused() -> None:
    """The exact sentence for a count out of bounds."""
    with pytest.raises(InputError) as error:
        load_of("plain", hinges=1)
    assert error.value.faults == {"hinges": "1 is outside 2 to 40, such as 2"}
