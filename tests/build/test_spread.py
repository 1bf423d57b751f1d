"""Doubt of a build: intervals, chances, swings and what can turn a check, on cases worked out by hand."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Annotated

import numpy as np
import pytest

from kit.build import Build
from kit.build.give_or_take import read_give_or_take
from kit.build.influence import indices
from kit.build.record import Entry
from kit.build.spread import work_out
from kit.calculator import calculator, result
from kit.checks import Check, at_least
from kit.kinds import Asks, In, Out
from kit.quantities import Q, Quantity
from kit.workshop import ReadError
from tests.build.small import small_build

LENGTH = In("mm", "length", 100, ge=-1e6, le=1e6)


@result
class Gap:
    """What is left between two lengths."""

    gap: Annotated[Quantity, Out("mm", "gap")]
    fits: Annotated[Check, Asks("it fits", "practice")]


@calculator("practice")
def gap(
    *,
    hole: Annotated[Quantity, In("mm", "hole", 103, ge=0, le=1e6)],
    one: Annotated[Quantity, In("mm", "one board", 50, ge=0, le=1e6)],
    other: Annotated[Quantity, In("mm", "another board", 50, ge=0, le=1e6)],
    least: Annotated[Quantity, In("mm", "least gap", 1, ge=0, le=1e6, chosen=True)],
    at: Annotated[Quantity, In("mm", "place", 0, ge=-1e6, le=1e6, out_by="20 mm")] = Q(0, "mm"),
) -> Gap:
    """Hole less two boards."""
    left = hole - one - other + 0 * at
    return Gap(gap=left, fits=at_least(left, least))


def a_gap(folder: Path, patch: pytest.MonkeyPatch, shared: str = "", **changed: Entry) -> Build:
    """A hole of 103 mm give or take 1, two boards of 50 mm give or take 1, at least 1 mm wanted."""
    entries = {
        "hole": Entry("103 mm", "measured", give_or_take="1 mm"),
        "one": Entry("50 mm", "measured", give_or_take="1 mm", shared=shared or None),
        "other": Entry("50 mm", "measured", give_or_take="1 mm", shared=shared or None),
        "least": Entry("1 mm", "estimate"),
    }
    return small_build(folder, patch, gap, {**entries, **changed})


def test_what_is_chosen_is_in_no_doubt(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The least gap is a wish: it is not among the doubtful entries until somebody gives it a give or take."""
    spread = work_out(a_gap(tmp_path, monkeypatch), count=100)

    assert {group.name for group in spread.groups} == {"one.it.hole", "one.it.one", "one.it.other"}


def test_a_coordinate_is_out_by_an_amount_and_not_by_a_share(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A place of 0 mm without a give or take of its own is drawn within 20 mm."""
    spread = work_out(a_gap(tmp_path, monkeypatch, at=Entry("0 mm", "estimate")), count=100)
    place = next(group for group in spread.groups if group.name == "one.it.at").members[0]

    assert place.give_or_take.widths(place.value)[:2] == (20.0, 20.0)


def test_straight_lines_add_as_squares(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three lengths of half-width 1 mm: standard deviation of the gap is 1 mm, by both ways, and each has a third."""
    spread = work_out(a_gap(tmp_path, monkeypatch), count=20_000)
    figure = spread.figures["one.it.gap"]

    assert figure.straight.m_as("mm") == pytest.approx(1.0)
    assert figure.standard.m_as("mm") == pytest.approx(1.0, abs=0.015)
    assert [swing.share for swing in spread.swings("one.it.gap")] == pytest.approx([1 / 3] * 3)


def test_boards_that_err_together_move_together(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two boards of one batch: the gap's variance is (1 + 4) / 3, and the batch swings it by 4 mm on its own."""
    spread = work_out(a_gap(tmp_path, monkeypatch, shared="batch"), count=20_000)
    widest = spread.swings("one.it.gap")[0]

    assert spread.figures["one.it.gap"].straight.m_as("mm") == pytest.approx(math.sqrt(5 / 3))
    assert spread.figures["one.it.gap"].standard.m_as("mm") == pytest.approx(math.sqrt(5 / 3), abs=0.02)
    assert (widest.group.name, widest.low, widest.high) == ("batch", pytest.approx(5), pytest.approx(1))


def test_a_chance_is_the_share_of_samples_that_meet_and_has_an_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At least 1 mm of a gap of 3 mm, less even sums: 1 - 1/48 by the volume of the corner of a cube."""
    chance = work_out(a_gap(tmp_path, monkeypatch), count=20_000).chances[0]
    exact = 1 - 1 / 48  # three even numbers of half-width 1 sum below -2: the corner of a cube, 1/6 of an eighth

    assert chance.met == pytest.approx(exact, abs=4 * chance.error)
    assert chance.error == pytest.approx(math.sqrt(exact / 48 / 20_000), rel=0.1)


def test_what_can_turn_a_check_on_its_own_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With at least 2.5 mm wanted each length alone can fail the check; with 1 mm none can."""
    tight = a_gap(tmp_path, monkeypatch)
    assert work_out(tight, count=100).turning == []
    tight.enter("one.it.least", "2.5 mm")
    turning = work_out(tight, count=100).turning

    assert {group.name for group, _ in turning} == {"one.it.hole", "one.it.one", "one.it.other"}
    assert turning[0][1] == ["one.it.fits"]


def test_the_same_seed_draws_the_same_samples(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two workings-out with one seed agree to the last bit; another seed does not."""
    build = a_gap(tmp_path, monkeypatch)
    one, same, other = (work_out(build, count=500, seed=s).figures["one.it.gap"].low.m for s in (3, 3, 4))

    assert one == same != other


def test_indices_of_a_sum_add_up_to_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A sum of three equal doubts: a third each, alone as well as together."""
    found = indices(a_gap(tmp_path, monkeypatch), "one.it.gap", draws=4096)

    assert [one.alone for one in found] == pytest.approx([1 / 3] * 3, abs=0.01)
    assert [one.together for one in found] == pytest.approx([1 / 3] * 3, abs=0.01)


def test_an_index_of_what_is_not_doubtful_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The sentence names it."""
    build = a_gap(tmp_path, monkeypatch)
    with pytest.raises(KeyError, match=r"one\.it\.least is not a doubtful entry"):
        indices(build, "one.it.gap", of=["one.it.least"])
    with pytest.raises(KeyError, match=r"the build has no result at one\.it\.gape"):
        indices(build, "one.it.gape")


@pytest.mark.parametrize(
    ("text", "down", "up", "standard"),
    [
        ("2 mm", 2, 2, 2 / math.sqrt(3)),
        ("triangle 2 mm", 2, 2, 2 / math.sqrt(6)),
        ("normal 2 mm", 2, 2, 1),
        ("+3 mm -1 mm", 1, 3, 4 / math.sqrt(12)),
        ("-1 mm + 3 mm", 1, 3, 4 / math.sqrt(12)),
        ("triangle +3 mm", 0, 3, 3 / math.sqrt(18)),
        ("+10 % −5 %", 5, 10, 15 / math.sqrt(12)),
    ],
)
def test_a_give_or_take_has_two_sides_and_a_standard_deviation(
    text: str, down: float, up: float, standard: float
) -> None:
    """Widths at 100 mm, and the standard deviation that as many quantiles have."""
    half = read_give_or_take(text, LENGTH)
    value = Q(100, "mm")

    assert half.widths(value)[:2] == pytest.approx((down, up))
    assert half.standard(value).m_as("mm") == pytest.approx(standard)
    spread = half.quantile(value, (np.arange(100_000) + 0.5) / 100_000)
    assert float(np.std(spread.m_as("mm"))) == pytest.approx(standard, rel=1e-3)
    if "normal" not in text:
        assert float(half.quantile(value, 0).m) == pytest.approx(100 - down, abs=1e-4)
        assert float(half.quantile(value, 1).m) == pytest.approx(100 + up, abs=1e-4)


def test_a_normal_with_unequal_sides_has_the_deviation_of_its_quantiles() -> None:
    """Half the draws lie to either side, each side with its own width."""
    half = read_give_or_take("normal +4 mm -2 mm", LENGTH)
    draws = half.quantile(Q(0, "mm"), (np.arange(100_000) + 0.5) / 100_000).m_as("mm")

    assert float(np.std(draws)) == pytest.approx(half.standard(Q(0, "mm")).m_as("mm"), rel=1e-3)
    assert float(np.mean(draws > 0)) == pytest.approx(0.5)


@pytest.mark.parametrize("text", ["+3 mm +1 mm", "+", "+3 mm -", "wide"])
def test_a_give_or_take_that_cannot_be_read_is_refused(text: str) -> None:
    """One sentence each."""
    with pytest.raises(ReadError):
        read_give_or_take(text, LENGTH)
