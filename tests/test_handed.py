"""What stages hand on: parts, purchases, tasks, hazards and allowances."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.calculator import InputError, declared
from kit.handed import Allowance, Hazard, Part, Purchase, Task
from kit.kinds import usual_row
from kit.quantities import Q
from kit.sampling import sampling
from kit.sources import SOURCES


def boards(needed: Any, pack: Any = Q(3, "m"), price: Any = Q(9.5, "money")) -> Purchase:
    """Deck boards sold by the length."""
    return Purchase(name="deck boards", needed=needed, pack=pack, price=price)


@pytest.mark.parametrize(
    ("metres", "packs"),
    [(0, 0), (0.001, 1), (3, 1), (3.0000000001, 1), (3.001, 2), (12, 4), (12 * (1 + 1e-12), 4), (12.5, 5)],
)
def test_packs_are_whole_and_a_billionth_over_buys_no_further_one(metres: float, packs: int) -> None:
    """Twelve metres in lengths of three are four, whatever the last bit says."""
    assert boards(Q(metres, "m")).packs == packs


@given(st.floats(0, 1e6), st.floats(1e-3, 1e3))
def test_the_packs_hold_what_is_needed_and_one_fewer_would_not(needed: float, pack: float) -> None:
    """Within the billionth that is forgiven."""
    bought = boards(Q(needed, "m"), Q(pack, "m"))

    # A float share of up to 1e9 packs carries an error of about 1e-7 packs of its own.
    slack = 2e-9 + 4e-16 * needed / pack
    assert bought.packs >= needed / pack - slack
    assert bought.packs - 1 < needed / pack + slack
    assert isinstance(bought.packs, int)


def test_tenths_that_add_up_to_a_pack_buy_one_pack() -> None:
    """Ten times 0.1 m is 1 m."""
    assert boards(sum((Q(0.1, "m") for _ in range(10)), Q(0, "m")), Q(1, "m")).packs == 1
    assert boards(sum((Q(0.1, "m") for _ in range(3)), Q(0, "m")), Q(0.3, "m")).packs == 1


def test_cost_and_what_is_left_over_follow_from_the_packs() -> None:
    """13 m in lengths of 3 m: five at 9.50, 2 m left."""
    bought = boards(Q(13, "m"))

    assert bought.cost.m_as("money") == 47.5
    assert bought.left_over.m_as("m") == pytest.approx(2)


def test_need_and_pack_may_be_in_two_units_of_one_kind() -> None:
    """Feet of boards sold by the metre."""
    assert boards(Q(10, "ft"), Q(1, "m")).packs == 4


@pytest.mark.parametrize("pack", [Q(1, "kg"), Q(1)])
def test_need_and_pack_of_two_kinds_are_refused_when_the_purchase_is_made(pack: Any) -> None:
    """Metres are not sold by the kilogram; also while sampling."""
    with pytest.raises(InputError, match=r"Purchase: 2 to mend\nneeded .*must be of one kind") as caught:
        boards(Q(12, "m"), pack)
    assert set(caught.value.faults) == {"needed", "pack"}
    with sampling(), pytest.raises(InputError):
        boards(Q(12, "m"), pack)


def test_a_pack_of_nothing_is_refused() -> None:
    """Otherwise no number of packs would do."""
    with pytest.raises(InputError, match="pack"):
        boards(Q(12, "m"), Q(0, "m"))


def test_packs_of_samples_are_whole_sample_by_sample() -> None:
    """What is not worked out stays so."""
    with sampling():
        bought = boards(Q(np.array([2.0, 3, 3.5, math.nan]), "m"))

    np.testing.assert_array_equal(bought.packs, [1, 1, 2, math.nan])
    np.testing.assert_array_equal(bought.cost.m_as("money"), [9.5, 9.5, 19, math.nan])
    np.testing.assert_allclose(bought.left_over.m_as("m"), [1, 0, 2.5, math.nan])


def test_a_purchase_without_a_price_costs_nothing_and_is_there_at_once() -> None:
    """Defaults of price, pack and delivery."""
    bought = Purchase(name="offcuts", needed=Q(3))

    assert (bought.cost.m_as("money"), bought.wait.m_as("d"), bought.packs) == (0, 0, 3)


def test_a_part_weighs_wet_what_it_weighs_dry_unless_it_soaks() -> None:
    """Steel stays, timber gains."""
    where: dict[str, Any] = {"x": Q(0, "m"), "y": Q(0, "m"), "z": Q(0, "m")}

    assert Part(name="screws", mass=Q(2, "kg"), **where).soaked.m_as("kg") == 2
    assert Part(name="boards", mass=Q(80, "kg"), wet_mass=Q(95, "kg"), **where).soaked.m_as("kg") == 95


@pytest.mark.parametrize(
    ("cell", "value"),
    [("mass", Q(-1, "kg")), ("mass", Q(5, "N")), ("x", Q(60, "m")), ("y", 3), ("z", Q(math.nan, "m")), ("name", "")],
)
def test_a_part_of_no_sense_is_refused_by_its_cell(cell: str, value: Any) -> None:
    """Negative mass, a force, a place far off, no unit, no number, no name."""
    good: dict[str, Any] = {"name": "boards", "mass": Q(80, "kg"), "x": Q(0, "m"), "y": Q(0, "m"), "z": Q(0, "m")}

    with pytest.raises(InputError) as caught:
        Part(**good | {cell: value})
    assert list(caught.value.faults) == [cell]


def test_hours_of_a_task_follow_the_three_point_rule() -> None:
    """2, 3 and 6 hours: 20/6 expected, 4/6 standard deviation."""
    task = Task(name="fit deck boards", quick=Q(2, "h"), likely=Q(3, "h"), slow=Q(6, "h"))

    assert task.mean.m_as("h") == pytest.approx(20 / 6)
    assert task.spread.m_as("h") == pytest.approx(4 / 6)
    assert task.wait.m_as("d") == 0


@pytest.mark.parametrize("kind", [Part, Purchase, Task, Hazard, Allowance])
def test_every_row_can_be_made_from_its_usual_cells(kind: Any) -> None:
    """Each has a name or a text, a summary, and cells that allow their own examples."""
    made = usual_row(kind)

    assert declared(kind).summary.endswith(".")
    for name in declared(kind).inputs:
        assert getattr(made, name) is not None


def test_a_hazard_cites_a_source_there_is() -> None:
    """The default is common practice."""
    assert Hazard(text="A strut stays charged: never open it.").cites in SOURCES


def test_an_allowance_stands_for_one_stage_of_the_list() -> None:
    """A stage of another name is refused with the names there are."""
    with pytest.raises(InputError, match="'sails' is not one of 'frame', 'panels'"):
        Allowance(name="sails", stands_for="sails")  # type: ignore[arg-type]
