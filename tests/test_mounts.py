"""Where the mounts of a strut go: worked cases, laws that must hold, errors."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kit.calculator import InputError, declared
from kit.mounts import StrutMounts, strut_mounts, strut_travel
from kit.quantities import Q
from tests.lid_cases import CASES, agrees_one_by_one, at, half_digit, travel_of

PLAIN = """
0  313.21 28.735
15 331.39 107.146
30 367.23 162.279
45 414.14 192.252
60 466.14 202.128
75 518.71 197.412
85 552.42 188.243
"""
ARMS_OVER_CENTRE = [("0", "-26.278"), ("2", "-12.163"), ("5", "9.129"), ("80", "220.588")]
OF_TRAVEL = declared(strut_travel).inputs
OF_MOUNTS = {"opening": Q("85 deg"), "lid_mount_along": Q("200 mm"), "lid_mount_above": Q("-30 mm")}


def places(shut: str, opened: str, **changed: Any) -> StrutMounts:
    """Places for the mount on the body, for two lengths in millimetres."""
    given = OF_MOUNTS | {"shut_length": Q(float(shut), "mm"), "open_length": Q(float(opened), "mm")} | changed
    return strut_mounts(**given)


@pytest.mark.parametrize("line", PLAIN.strip().splitlines())
def test_length_and_arm_at_one_angle(line: str) -> None:
    """Both agree with the worked case within the rounding of its figures."""
    angle, length, arm = line.split()
    travel = travel_of("plain", opening=Q(float(angle) or 85, "deg"))
    assert at(travel.length, "mm", angle) == pytest.approx(float(length), abs=half_digit(length))
    assert at(travel.arm, "mm", angle) == pytest.approx(float(arm), abs=half_digit(arm))


def test_too_little_stroke_left_is_flagged() -> None:
    """3.2 mm left when shut fails the margin of 5 mm; 7.6 mm left when open keeps it."""
    travel = travel_of("plain")
    assert travel.left_in.m_as("mm") == pytest.approx(3.2, abs=0.05)
    assert travel.left_out.m_as("mm") == pytest.approx(7.6, abs=0.05)
    assert (travel.not_bottomed.verdict, travel.not_the_stop.verdict) == ("fails", "meets")


def test_a_strut_just_short_of_its_end_is_flagged() -> None:
    """0.17 mm from being pushed to its end is not enough."""
    travel = travel_of("springs open")
    assert travel.left_in.m_as("mm") == pytest.approx(0.17, abs=0.005)
    assert travel.not_bottomed.verdict == "fails"


def test_the_shortest_length_may_lie_on_the_way() -> None:
    """Over a dead centre at 3.714 degrees the strut gets shorter than when shut, and the check sees it."""
    travel = travel_of("over-centre")
    assert travel.dead_centre.m_as("deg") == pytest.approx(3.7140, abs=0.00005)
    assert travel.shortest.m_as("mm") == pytest.approx(280.749, abs=0.0005)
    assert travel.shut_length.m_as("mm") == pytest.approx(281.60, abs=0.005)
    assert travel.left_in.m_as("mm") == pytest.approx(10.7, abs=0.05)
    assert (
        travel.path == "pulls the lid shut up to 3.7 degrees, where it is in line with the pin; pushes it open beyond"
    )
    tight = travel_of("over-centre", extended=Q("536.2 mm"))
    assert tight.not_bottomed.verdict == "fails"
    assert tight.shut_length > Q("281.2 mm")


@pytest.mark.parametrize(("angle", "printed"), ARMS_OVER_CENTRE)
def test_the_arm_changes_sign_over_the_dead_centre(angle: str, printed: str) -> None:
    """Before it the strut closes the lid, after it the strut opens it."""
    travel = travel_of("over-centre", opening=Q(float(angle) or 80, "deg"))
    assert at(travel.arm, "mm", angle) == pytest.approx(float(printed), abs=half_digit(printed))


def test_the_longest_length_may_lie_on_the_way_too() -> None:
    """With strut and pin in line on the far side, the strut is as long as both distances together."""
    travel = travel_of(
        "plain",
        opening=Q("170 deg"),
        body_mount_along=Q("300 mm"),
        body_mount_above=Q("20 mm"),
        lid_mount_above=Q("100 mm"),
        extended=Q("527 mm"),
    )
    assert travel.longest.m_as("mm") == pytest.approx(np.hypot(300, 20) + np.hypot(200, 100), abs=1e-9)
    assert travel.not_the_stop.verdict == "fails"
    assert max(travel.shut_length, travel.open_length) < Q("522 mm")


@settings(max_examples=40)
@given(
    p=st.floats(20, 500),
    q=st.floats(-200, 100),
    x=st.floats(-100, 800),
    y=st.floats(-600, -20),
    angle=st.floats(5, 160),
)
def test_the_arm_is_the_growth_of_length(p: float, q: float, x: float, y: float, angle: float) -> None:
    """Arm = dS/dangle, by a central difference of the length at the end of two swings."""

    def swing(opening: float) -> Any:
        return travel_of(
            "plain",
            opening=Q(opening, "deg"),
            lid_mount_along=Q(p, "mm"),
            lid_mount_above=Q(q, "mm"),
            body_mount_along=Q(x, "mm"),
            body_mount_above=Q(y, "mm"),
            extended=Q(2000, "mm"),
        )

    step = 0.01
    try:
        low, middle, high = (swing(angle + d) for d in (-step, 0, step))
    except InputError:
        assume(False)
    assume(middle.shortest > Q(20, "mm"))
    slope = (high.open_length - low.open_length).m_as("mm") / (2 * np.radians(step))
    # Third derivative of the length is at most about (arm/length)^2 x 1 m; the step squared makes it vanish.
    assert middle.arm.m_as("mm")[-1] == pytest.approx(slope, abs=0.01)
    assert middle.shortest.m_as("mm") <= middle.length.m_as("mm").min() + 1e-9
    assert middle.longest.m_as("mm") >= middle.length.m_as("mm").max() - 1e-9


@pytest.mark.parametrize(
    ("shut", "opened", "gentle", "eager"),
    [("305", "495", (503.14, 3.62), (54.98, -298.32)), ("313.21", "552.42", (500.00, -119.98), (170.71, -341.84))],
)
def test_two_places_for_the_body_mount(
    shut: str, opened: str, gentle: tuple[float, float], eager: tuple[float, float]
) -> None:
    """Both points in which the circles cut agree with the worked case to its tenth of a millimetre or better."""
    found = places(shut, opened)
    assert found.chord.m_as("mm") == pytest.approx(273.26, abs=0.005)
    assert (found.gentle_along.m_as("mm"), found.gentle_above.m_as("mm")) == pytest.approx(gentle, abs=0.01)
    assert (found.eager_along.m_as("mm"), found.eager_above.m_as("mm")) == pytest.approx(eager, abs=0.01)
    assert found.reaches.verdict == "meets"


def test_more_stroke_than_the_mount_moves_has_no_place() -> None:
    """A length that changes by 280 mm asks more than a chord of 273 mm can give."""
    found = places("300", "580")
    assert np.isnan(found.gentle_along.magnitude) and np.isnan(found.eager_along.magnitude)
    assert found.reaches.verdict == "fails"


def test_a_place_found_gives_the_lengths_wanted() -> None:
    """Put into the travel, either place gives the lengths shut and open that were asked for."""
    found = places("305", "495")
    for along, above in ((found.gentle_along, found.gentle_above), (found.eager_along, found.eager_above)):
        travel = travel_of("plain", body_mount_along=along, body_mount_above=above)
        assert (travel.shut_length.m_as("mm"), travel.open_length.m_as("mm")) == pytest.approx((305, 495), abs=1e-9)


def test_a_drawing_gets_three_positions() -> None:
    """Shut, half open and open are the first, middle and last points; the edge goes round in a circle."""
    travel = travel_of("locker")
    assert travel.angle.m_as("deg")[[0, 20, 40]] == pytest.approx([0, 40, 80])
    assert np.hypot(travel.edge_x.m_as("mm"), travel.edge_y.m_as("mm")) == pytest.approx(640)
    gap = np.hypot(travel.lid_mount_x.m_as("mm") - 250, travel.lid_mount_y.m_as("mm") + 200)
    np.testing.assert_allclose(gap, travel.length.m_as("mm"))
    assert travel.lid_mount_from_front.m_as("mm") == 540
    assert travel.body_mount_below_rim.m_as("mm") == 200


@pytest.mark.parametrize("name", list(CASES))
def test_samples_of_the_travel_agree_one_by_one(name: str) -> None:
    """Everything in doubt at once gives what each sample gives alone."""
    agrees_one_by_one(strut_travel, {key: value for key, value in CASES[name].items() if key in OF_TRAVEL})


def test_samples_of_the_places_agree_one_by_one() -> None:
    """Samples for which there is no place are absent, the others are found."""
    agrees_one_by_one(strut_mounts, OF_MOUNTS | {"shut_length": Q("305 mm"), "open_length": Q("576 mm")}, count=12)


def test_units_of_the_mounts_do_not_matter() -> None:
    """Inches give the length that millimetres give."""
    one = travel_of("plain", lid_mount_along=Q(200, "mm"), opening=Q("85 deg"))
    other = travel_of("plain", lid_mount_along=Q(200 / 25.4, "in"), opening=Q(np.radians(85), "rad"))
    np.testing.assert_allclose(one.length.m_as("mm"), other.length.m_as("mm"), rtol=1e-12)


def test_mounts_in_one_place_are_refused() -> None:
    """The exact sentence, beside each of the four boxes."""
    with pytest.raises(InputError) as error:
        travel_of("plain", body_mount_along=Q("200 mm"), body_mount_above=Q("-30 mm"))
    assert set(error.value.faults.values()) == {"the two mounts meet on the way; move one of them"}
    assert len(error.value.faults) == 4


def test_a_mount_on_the_pin_is_refused() -> None:
    """A lid mount that does not move can hold nothing."""
    with pytest.raises(InputError, match="the lid mount does not move; set it away from the pin"):
        places("305", "495", lid_mount_along=Q("0 mm"), lid_mount_above=Q("0 mm"))


def test_a_lid_past_upright_is_told_of_a_stop() -> None:
    """Opening past 90 degrees carries a note."""
    assert "a lid that opens past 90 degrees needs a stop of its own" in travel_of("plain", opening=Q("100 deg")).notes
