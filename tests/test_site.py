"""The place of a build and the way out of its locker: every rule moved across its limit."""

from __future__ import annotations

import pytest

from kit.calculator import InputError, declared
from kit.lockers import way_out
from kit.quantities import Q
from kit.site import Permission, client_questions, permissions, signatures, swimming_water

BOX = {
    "children": True, "lid_force": Q(31, "N"), "latch_force": Q(10, "N"), "vents": 2, "vent_area": Q(800, "mm^2"),
    "apart": Q(300, "mm"),
}


@pytest.mark.parametrize(("answers", "verdict"), [
    (["granted", "not needed"], "meets"), (["granted", "asked"], "open"), (["granted", "not asked"], "open"),
    (["granted", "refused", "asked"], "fails"), ([], "open"),
])
def test_one_refusal_fails_and_one_silence_leaves_it_open(answers: list[str], verdict: str):
    """Nobody listed is no permission."""
    asked = permissions(people=[Permission(name=f"office {n}", answer=a) for n, a in enumerate(answers)])

    assert asked.may_begin.verdict == verdict


def test_the_depth_that_counts_is_that_at_low_water():
    """3.0 m that fall by 0.4 m leave 2.6 m: no head-first entry, and the sign says so."""
    water = swimming_water(shallowest=Q(3, "m"), falls=Q(0.4, "m"), diving=True)

    assert water.lowest.m_as("m") == pytest.approx(2.6)
    assert water.head_first.verdict == "fails"
    assert water.words == "No head-first entry."


def test_where_nobody_enters_head_first_the_check_does_not_apply():
    """The sign still says it."""
    water = swimming_water(shallowest=Q(1, "m"), falls=Q(0, "m"), diving=False)

    assert (water.head_first.verdict, water.words) == ("does not apply", "No head-first entry.")


def test_a_level_that_falls_by_more_than_the_depth_is_refused():
    """The sentence stands beside both entries."""
    with pytest.raises(InputError) as caught:
        swimming_water(shallowest=Q(1, "m"), falls=Q(2, "m"), diving=True)

    assert set(caught.value.faults) == {"shallowest", "falls"}


@pytest.mark.parametrize(("change", "check"), [
    ({"vents": 1}, "two_vents"), ({"vent_area": Q(600, "mm^2")}, "vent_size"), ({"apart": Q(100, "mm")}, "vents_apart"),
    ({"latch_force": Q(30, "N")}, "opens_from_inside"),
])
def test_each_rule_of_the_locker_fails_alone(change: dict[str, object], check: str):
    """One thing wrong turns one check."""
    box = way_out(**{**BOX, **change})
    names = ("two_vents", "vent_size", "vents_apart", "opens_from_inside")

    assert [name for name in names if not getattr(box, name).passes] == [check]


def test_a_question_without_an_answer_stays_open_and_is_named() -> None:
    """One dash leaves the check open; with all answered it meets."""
    every = dict.fromkeys(declared(client_questions).inputs, "yes, asked")

    assert client_questions(**every).answered.verdict == "meets"
    open_one = client_questions(**{**every, "winter": "-"})
    assert open_one.answered.verdict == "open"
    assert open_one.unanswered == "what becomes of it in winter"


@pytest.mark.parametrize(
    ("originator", "checker", "verdict"),
    [("-", "-", "open"), ("Ann", "-", "open"), ("-", "Ben", "open"), ("Ann", "ann ", "fails"), ("Ann", "Ben", "meets")],
)
def test_a_second_pair_of_eyes_is_another_persons(originator: str, checker: str, verdict: str) -> None:
    """Nobody named leaves it open, the same person fails, two people meet."""
    assert signatures(originator=originator, checker=checker).second_pair.verdict == verdict
