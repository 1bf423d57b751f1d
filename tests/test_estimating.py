"""First guesses and totals, term by term."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.estimating import first_look, totals
from kit.handed import Part, Purchase, Task
from kit.quantities import Q

GUESS = {
    "length": Q(3, "m"), "width": Q(2.2, "m"), "people": 4, "mass": Q(700, "kg"), "float_volume": Q(2300, "L"),
    "materials": Q(4500, "money"),
}


def part(name: str, mass: float, x: float = 0.0, **more: object) -> Part:
    """A part on the middle line."""
    return Part(name=name, mass=Q(mass, "kg"), x=Q(x, "m"), y=Q(0, "m"), z=Q(0.5, "m"), **more)


def task(name: str, quick: float, likely: float, slow: float) -> Task:
    """A task by its three hours."""
    return Task(name=name, quick=Q(quick, "h"), likely=Q(likely, "h"), slow=Q(slow, "h"))


def test_more_people_sink_the_floats_by_their_mass_over_the_lift():
    """Four people of 80 kg on 2300 L take 320/2300 more."""
    crowded, empty = first_look(**GUESS), first_look(**{**GUESS, "people": 0})

    assert crowded.loaded.m_as("") - empty.loaded.m_as("") == pytest.approx(320 / 2300)
    assert crowded.light.m_as("") == pytest.approx(700 / 2300)


def test_carriers_are_whole_people_and_an_exact_load_needs_no_further_one():
    """700 kg at 20 kg each are 35 people; 701 kg are 36."""
    assert first_look(**GUESS).carriers.m_as("") == 35
    assert first_look(**{**GUESS, "mass": Q(701, "kg")}).carriers.m_as("") == 36


def test_contingency_is_taken_once_on_the_cost_and_held_against_the_money_there_is():
    """4500 and 15 % are 5175: 5175 meets, 5174 fails; without a sum the check does not apply."""
    def verdict(budget: float | None) -> str:
        money = None if budget is None else Q(budget, "money")
        return first_look(**GUESS, contingency=Q(15, "percent"), budget=money).affordable.verdict

    assert [verdict(5175), verdict(5174), verdict(None)] == ["marginal", "fails", "does not apply"]


def test_the_centre_of_mass_is_the_mean_of_the_places_by_mass():
    """3 kg at -1 m and 1 kg at 1 m balance at -0.5 m."""
    sums = totals(parts=[part("a", 3, -1), part("b", 1, 1)], contingency=Q(0, "percent"))

    assert sums.mass.m_as("kg") == 4
    assert sums.x.m_as("m") == pytest.approx(-0.5)
    assert sums.z.m_as("m") == pytest.approx(0.5)


def test_wet_mass_stands_beside_the_mass_at_fitting():
    """A part without a wet mass takes up no water."""
    sums = totals(parts=[part("a", 3, wet_mass=Q(4, "kg")), part("b", 1)], contingency=Q(0, "percent"))

    assert (sums.mass.m_as("kg"), sums.wet.m_as("kg")) == (4, 5)


def test_a_purchase_costs_whole_packs_and_contingency_is_kept_apart():
    """2.1 packs of 10 are 3 packs, 30; 10 % more is set aside, not hidden in the price."""
    sums = totals(purchases=[Purchase(name="a", needed=Q(2.1, "m"), pack=Q(1, "m"), price=Q(10, "money"))],
                  contingency=Q(10, "percent"))

    assert [q.m_as("money") for q in (sums.materials, sums.set_aside, sums.cost)] == pytest.approx([30, 3, 33])


def test_hours_to_allow_hold_the_error_that_all_tasks_share():
    """With no error of their own, 100 h and 20 % shared allow 100 + 0.8416 x 20 h."""
    sums = totals(tasks=[task("a", 100, 100, 100)], contingency=Q(0, "percent"))

    assert sums.independent.m_as("h") == 0
    assert sums.allow.m_as("h") == pytest.approx(100 + 0.8416 * 20)


def test_what_rests_on_allowances_is_said_as_a_share():
    """1 of 4 kg is 25 %; of no money, 0 %."""
    sums = totals(parts=[part("a", 3), part("b", 1, allowance=True)], contingency=Q(0, "percent"))

    assert sums.mass_guessed.m_as("percent") == pytest.approx(25)
    assert sums.cost_guessed.m_as("percent") == 0


def test_samples_are_added_one_by_one():
    """Two samples of a mass give two totals."""
    sums = totals(parts=[part("a", np.array([1.0, 2.0])), part("b", 3)], contingency=Q(0, "percent"))

    assert sums.mass.m_as("kg").tolist() == [4, 5]


def test_nothing_to_add_up_is_refused_beside_all_three_tables():
    """An empty build has no totals."""
    with pytest.raises(InputError) as caught:
        totals(contingency=Q(0, "percent"))

    assert caught.value.faults == dict.fromkeys(("parts", "purchases", "tasks"), "nothing to add up yet")
