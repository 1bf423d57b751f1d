"""Hoses tried one after the other."""

from __future__ import annotations

import math

import pytest

from kit.hose_choices import HoseSize, hose_choices
from kit.outlet_rows import Outlet
from kit.outlets import outlet_flows
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

PUMP = {"shut_off_head": Q(12, "m"), "open_flow": Q(12.5, "L/min"), "shared_length": Q(1.2, "m"), "shared_loss": Q(2)}


def outlet(bore, **changed):
    """A shower in one bore."""
    given = {"name": "shower", "height": Q(1.65, "m"), "length": Q(2.4, "m"), "bore": Q(bore, "mm"),
             "hole": Q(6.5, "mm"), "loss": Q(6)}
    return Outlet(**given | changed)


def tried(*bores, wanted=6, **changed):
    """These bores at three a metre."""
    sizes = [HoseSize(name=f"{bore} mm", bore=Q(bore, "mm"), price=Q(3, "money/m")) for bore in bores]
    return hose_choices(**PUMP | {"outlets": [outlet(20, wanted=Q(wanted, "L/min"))], "sizes": sizes} | changed)


def test_each_hose_is_worked_out_whole():
    """As the outlets themselves are with that bore everywhere."""
    made = tried(10, 16)

    for one, bore in zip(made.choices, (10, 16), strict=True):
        alone = outlet_flows(**PUMP, shared_bore=Q(bore, "mm"), outlets=[outlet(bore)])
        assert one.flow == alone.least_flow
        assert one.all_open == alone.all_open
        assert one.share.m_as("percent") == pytest.approx(one.flow.m_as("L/min") / 6 * 100)


def test_water_that_stands_and_cost_go_with_the_length():
    """3.6 m in all."""
    (one,) = tried(16).choices

    assert one.holds.m_as("L") == pytest.approx(math.pi / 4 * 0.16**2 * 36)
    assert one.cost.m_as("money") == pytest.approx(10.8)
    assert math.isnan(hose_choices(**PUMP, outlets=[outlet(13)]).choices[0].cost.magnitude)
    assert one.speed.m_as("m/s") == pytest.approx(one.flow.m_as("m^3/s") / (math.pi / 4 * 0.016**2))


def test_the_finest_that_does_is_named():
    """8 mm gives too little; without any that does there is none; the rest is said against each."""
    made = tried(25, 8, 16, 12)

    assert made.finest == "12 mm"
    assert made.choices[1].says.startswith("too little: shower")
    assert made.choices[0].says == "nothing"
    assert tried(8, 16, wanted=20).finest == "none of them"


def test_a_hose_that_fails_only_with_weed_in_the_strainer_is_not_the_finest():
    """Nine tenths stopped up."""
    made = tried(10, 25, stopped=Q(90, "percent"), wanted=6.2)

    assert made.choices[0].says == "too little once the strainer is partly stopped up"
    assert made.finest == "25 mm"


def test_the_common_bores_are_tried_when_none_are_named():
    """Six of them, and nothing wanted is always given."""
    made = hose_choices(**PUMP, outlets=[outlet(13, wanted=Q(0, "L/min"))])

    assert [one.name for one in made.choices] == ["8 mm", "10 mm", "13 mm", "16 mm", "19 mm", "25 mm"]
    assert made.finest == "8 mm"
    assert made.choices[0].share.m_as("percent") == pytest.approx(100)


def test_all_at_once_is_judged_by_the_flows_together():
    """Two showers on one pump."""
    two = [outlet(13), outlet(13, name="other")]

    assert tried(25, outlets=two).finest == "25 mm"
    both = tried(25, outlets=two, use="all at once")
    assert both.finest == "none of them"
    assert both.choices[0].flow < tried(25, outlets=two).choices[0].flow


def test_samples_of_hoses_agree_with_one_by_one():
    """Heads, lengths and bores."""
    def some(pick):
        sizes = [HoseSize(name="a", bore=pick([10, 13, 16], "mm"), price=pick([1, 2, 3], "money/m"))]
        (one,) = tried(sizes=sizes, shut_off_head=pick([12, 11, 13], "m"), shared_length=pick([1, 2, 3], "m")).choices
        return one.flow, one.share, one.all_open, one.speed, one.holds, one.cost

    agrees_one_by_one(some, 3)
