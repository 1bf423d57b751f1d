"""Checks: verdicts by comparison, never by a ratio."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.checks import (
    VERDICTS,
    Check,
    at_least,
    at_most,
    between,
    count_verdicts,
    does_not_apply,
    fails,
    not_covered,
    open_check,
    reopened,
    worst_first,
)
from kit.quantities import Q, UnitError

FREEBOARD = Q(150, "mm")
NAN = float("nan")
INF = float("inf")


@pytest.mark.parametrize(
    ("freeboard", "verdict", "share"),
    [
        (-20, "fails", INF),
        (0, "fails", INF),
        (100, "fails", 1.5),
        (149.999, "fails", 150 / 149.999),
        (150, "marginal", 1.0),
        (151, "marginal", 150 / 151),
        (400, "meets", 0.375),
        (NAN, "fails", NAN),
        (INF, "meets", 0.0),
        (-INF, "fails", INF),
    ],
)
def test_a_freeboard_is_held_against_its_least(freeboard: float, verdict: str, share: float) -> None:
    """A negative one has a small ratio and fails all the same; one that does not exist fails."""
    check = at_least(Q(freeboard, "mm"), FREEBOARD)

    assert check.verdict == verdict
    assert check.passes == (verdict != "fails")
    assert check.share == pytest.approx(share, nan_ok=True)


@pytest.mark.parametrize(
    ("tilt", "verdict", "share"),
    [
        (-3, "meets", 0.0),
        (0, "meets", 0.0),
        (5, "meets", 5 / 6),
        (5.4, "meets", 0.9),
        (5.41, "marginal", 5.41 / 6),
        (6, "marginal", 1.0),
        (6.001, "fails", 6.001 / 6),
        (NAN, "fails", NAN),
        (INF, "fails", INF),
    ],
)
def test_a_tilt_is_held_against_its_most(tilt: float, verdict: str, share: float) -> None:
    """Over nine tenths is marginal, the limit itself is kept."""
    check = at_most(Q(tilt, "deg"), Q(6, "deg"))

    assert check.verdict == verdict
    assert check.share == pytest.approx(share, nan_ok=True)


@pytest.mark.parametrize(
    ("value", "limit", "verdict", "share"),
    [
        (5, 0, "fails", INF),
        (0, 0, "meets", 0.0),
        (-5, 0, "meets", 0.0),
        (-5, -10, "fails", INF),
        (-20, -10, "meets", 0.0),
    ],
)
def test_a_most_of_nothing_or_less_is_compared(value: float, limit: float, verdict: str, share: float) -> None:
    """The share is nothing when the limit is kept, without end when it is not."""
    check = at_most(Q(value, "mm"), Q(limit, "mm"))

    assert (check.verdict, check.share) == (verdict, share)


def test_the_sum_of_two_parts_meets_its_limit_whatever_the_last_bit_says() -> None:
    """0.1 m + 0.2 m is at most 0.3 m, in either direction and in other units."""
    total = Q(0.1, "m") + Q(0.2, "m")

    assert at_most(total, Q(0.3, "m")).passes
    assert at_most(total, Q(300, "mm")).passes
    assert at_least(Q(0.3, "m"), total).passes


def test_values_in_other_units_are_compared_as_amounts() -> None:
    """Six inches are more than 150 mm; degrees are compared on their scale; kilograms are no length."""
    assert at_least(Q(6, "in"), FREEBOARD).passes
    assert at_least(Q(68, "degF"), Q(18, "degC"), share=False).verdict == "meets"
    assert at_most(Q(41, "degF"), Q(0, "degC"), share=False).verdict == "fails"
    with pytest.raises((UnitError, TypeError)):
        at_least(Q(6, "kg"), FREEBOARD)


def test_a_check_without_a_share_is_never_marginal() -> None:
    """18 degrees is no share of 18 degrees."""
    check = at_least(Q(18, "degC"), Q(18, "degC"), share=False)

    assert check.verdict == "meets"
    assert np.isnan(check.share)


@pytest.mark.parametrize(
    ("gap", "verdict", "share"),
    [
        (2.9, "fails", 3 / 2.9),
        (3, "marginal", 1.0),
        (5, "meets", 5 / 8),
        (7.5, "marginal", 7.5 / 8),
        (8, "marginal", 1.0),
        (8.1, "fails", 8.1 / 8),
        (-5, "fails", INF),
        (NAN, "fails", NAN),
    ],
)
def test_a_gap_must_lie_between_two_limits_both_allowed(gap: float, verdict: str, share: float) -> None:
    """The share is that of the nearer limit."""
    check = between(Q(gap, "mm"), Q(3, "mm"), Q(0.8, "cm"))

    assert check.verdict == verdict
    assert check.share == pytest.approx(share, nan_ok=True)
    assert (check.direction, check.upper) == ("between", Q(0.8, "cm"))


@given(st.floats(-1e9, 1e9), st.floats(-1e9, 1e9))
def test_no_passing_check_breaks_its_limit(value: float, limit: float) -> None:
    """Passing means keeping the limit to within 1e-12 of it; at least one of two directions passes."""
    least, most = at_least(Q(value, "mm"), Q(limit, "mm")), at_most(Q(value, "mm"), Q(limit, "mm"))
    slack = 1e-12 * abs(limit)

    assert least.passes == (value >= limit - slack)
    assert most.passes == (value <= limit + slack)
    assert least.passes or most.passes


@pytest.mark.parametrize(
    ("check", "verdict"),
    [
        (fails("there is no balance angle"), "fails"),
        (open_check("waits for the brief"), "open"),
        (not_covered("beyond 2.5 m", Q(3, "m")), "not covered"),
        (does_not_apply("no children about"), "does not apply"),
    ],
)
def test_a_check_that_compares_nothing_says_why_and_never_passes(check: Check, verdict: str) -> None:
    """Each of the four keeps its reason."""
    assert check.verdict == verdict
    assert not check.passes
    assert check.reason


def test_a_bare_check_does_not_pass() -> None:
    """What was never compared is not met."""
    assert Check().verdict == "fails"


def test_reopening_keeps_what_was_worked_out_and_spares_what_does_not_apply() -> None:
    """A passing check whose sum lacks something is open."""
    reopened_check = reopened(at_least(Q(400, "mm"), FREEBOARD), "panels are missing")
    spared = does_not_apply("no children about")

    assert (reopened_check.verdict, reopened_check.reason) == ("open", "panels are missing")
    assert reopened_check.value == Q(400, "mm")
    assert reopened(spared, "panels are missing") is spared


# -- samples ---------------------------------------------------------------------------------------------


def sampled() -> Check:
    """Four samples of freeboard, one too low, one not worked out."""
    return at_least(Q(np.array([100.0, 200, 400, NAN]), "mm"), FREEBOARD)


def test_over_samples_the_verdict_is_the_worst_and_each_sample_is_decided_on_its_own() -> None:
    """Met, share and single checks agree."""
    check = sampled()
    alone = [at_least(Q(v, "mm"), FREEBOARD) for v in (100, 200, 400, NAN)]

    assert check.verdict == "fails"
    assert list(check.met) == [one.met for one in alone] == [False, True, True, False]
    np.testing.assert_allclose(check.share, [one.share for one in alone])


def test_one_marginal_sample_makes_a_passing_check_marginal() -> None:
    """All of 160 to 400 mm pass, 160 mm marginally."""
    assert at_least(Q(np.array([160.0, 400]), "mm"), FREEBOARD).verdict == "marginal"


def test_the_probability_is_the_share_of_samples_that_meet_with_its_standard_error() -> None:
    """Two of four: 0.5 give or take sqrt(0.25/4); a sample that is not worked out does not meet."""
    assert sampled().probability == (0.5, pytest.approx(0.25))


def test_a_probability_of_one_from_samples_has_an_error() -> None:
    """From 10 000 samples that all meet, nothing rarer than 1 in 10 000 can be excluded."""
    many = at_least(Q(np.full(10_000, 400.0), "mm"), FREEBOARD)

    assert many.probability == (1.0, pytest.approx(1e-4))


@pytest.mark.parametrize(
    ("check", "share"),
    [(at_least(Q(400, "mm"), FREEBOARD), 1.0), (at_least(Q(1, "mm"), FREEBOARD), 0.0), (fails("no"), 0.0)],
)
def test_a_single_value_meets_or_does_not(check: Check, share: float) -> None:
    """Without samples the share is whole and has no error of sampling."""
    assert check.probability == (share, 0.0)


@pytest.mark.parametrize("check", [open_check("why"), not_covered("why"), does_not_apply("why")])
def test_nothing_compared_has_no_probability(check: Check) -> None:
    """Both numbers are nan."""
    assert np.isnan(check.probability).all()


def test_a_limit_may_be_sampled_too() -> None:
    """Value and limit broadcast."""
    check = at_most(Q(5, "deg"), Q(np.array([4.0, 6]), "deg"))

    assert list(check.met) == [False, True]


# -- counting and sorting --------------------------------------------------------------------------------


def one_of_each() -> list[Check]:
    """A check of every verdict, best first."""
    return [
        does_not_apply("why"), at_least(Q(400, "mm"), FREEBOARD), at_least(Q(151, "mm"), FREEBOARD),
        not_covered("why"), open_check("why"), fails("why"),
    ]


def test_every_verdict_is_counted_even_when_there_is_none() -> None:
    """Absence of a verdict is shown as nought, not left out."""
    assert count_verdicts(one_of_each()) == dict.fromkeys(VERDICTS, 1)
    assert count_verdicts([]) == dict.fromkeys(VERDICTS, 0)


def test_the_worst_stands_first_and_the_most_used_before_the_least() -> None:
    """Fails, open, not covered, marginal, meets, does not apply; among failures the one furthest off."""
    near, far = at_least(Q(140, "mm"), FREEBOARD), at_least(Q(-20, "mm"), FREEBOARD)
    every: list[Any] = sorted([*one_of_each(), near, far], key=worst_first)

    assert [c.verdict for c in every] == [
        "fails", "fails", "fails", "open", "not covered", "marginal", "meets", "does not apply",
    ]
    assert every[0] is far
    assert every[1] is near
