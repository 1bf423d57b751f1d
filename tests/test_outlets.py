"""Several outlets on one pump: what moves the flow, one valve open and all of them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.calculator import InputError
from kit.outlet_rows import Outlet, PipeFitting
from kit.outlets import outlet_flows, system_head
from kit.pump import PumpPoint
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

POINTS = tuple(PumpPoint(name=f"{q}", flow=Q(q, "L/min"), head=Q(h, "m")) for q, h in ((4, 10), (8, 6.5), (11, 2.5)))


def outlet(name="shower", **changed):
    """A hole of 6.5 mm, 1.65 m above the water, 2.4 m of hose."""
    given = {"name": name, "height": Q(1.65, "m"), "length": Q(2.4, "m"), "bore": Q(13, "mm"), "hole": Q(6.5, "mm"),
             "loss": Q(6), "season": Q(4, "min")}
    return Outlet(**given | changed)


def flows(*outlets, **changed):
    """The pump of 12 m and 12.5 L/min with these outlets."""
    given = {"shut_off_head": Q(12, "m"), "open_flow": Q(12.5, "L/min"), "points": POINTS,
             "outlets": outlets or (outlet(),), "shared_length": Q(1.2, "m"), "shared_bore": Q(13, "mm"),
             "strainer": Q(2), "shared_loss": Q(2)}
    return outlet_flows(**given | changed)


def flow_of(made, place=0):
    """Flow of an outlet alone, in L/min."""
    return made.by_outlet[place].flow.m_as("L/min")


def test_where_the_head_goes_adds_up_to_what_the_pump_gives():
    """Lift, pipe, fittings and hole; and the pump's own line gives as much at that flow."""
    one = flows().by_outlet[0]

    assert (one.lift + one.along + one.fittings + one.at_hole).m_as("m") == pytest.approx(one.head.m_as("m"), rel=1e-9)
    assert one.head.m_as("m") == pytest.approx(np.interp(one.flow.m_as("L/min"), [8, 11], [6.5, 2.5]), rel=1e-9)


@pytest.mark.parametrize(("less", "more"), [
    ({"height": Q(3, "m")}, {"height": Q(1, "m")}), ({"length": Q(10, "m")}, {"length": Q(1, "m")}),
    ({"bore": Q(10, "mm")}, {"bore": Q(16, "mm")}), ({"hole": Q(4, "mm")}, {"hole": Q(9, "mm")}),
    ({"coefficient": Q(0.6)}, {"coefficient": Q(0.97)}), ({"loss": Q(12)}, {"loss": Q(0)}),
])
def test_each_thing_about_an_outlet_moves_its_flow_the_right_way(less, more):
    """Higher, longer, narrower, finer, sharper-edged, with more fittings: less; and the other way round."""
    assert flow_of(flows(outlet(**less))) < flow_of(flows()) < flow_of(flows(outlet(**more)))


@pytest.mark.parametrize(("less", "more"), [
    ({"deck": Q(1, "m")}, {"deck": Q(-1, "m")}), ({"shared_length": Q(9, "m")}, {"shared_length": Q(0.1, "m")}),
    ({"shared_bore": Q(10, "mm")}, {"shared_bore": Q(16, "mm")}), ({"strainer": Q(9)}, {"strainer": Q(0)}),
    ({"shared_loss": Q(9)}, {"shared_loss": Q(0)}), ({"temperature": Q(1, "degC")}, {"temperature": Q(30, "degC")}),
    ({"roughness": Q(150, "um")}, {"roughness": Q(0, "um")}),
    ({"speed": Q(90, "percent")}, {"speed": Q(110, "percent")}),
])
def test_each_thing_about_the_shared_pipe_moves_the_flow_the_right_way(less, more):
    """Further up, longer, narrower, dirtier, colder, rougher, slower: less."""
    assert flow_of(flows(**less)) < flow_of(flows()) < flow_of(flows(**more))


def test_two_holes_pass_what_one_of_twice_the_area_does():
    """Two of 4.596 mm are one of 6.5 mm."""
    two = flows(outlet(hole=Q(6.5 / math.sqrt(2), "mm"), holes=2))

    assert flow_of(two) == pytest.approx(flow_of(flows()), rel=1e-9)


def test_fittings_add_to_the_pipe_they_are_named_for():
    """An elbow is 1.5 more: on the outlet's own pipe or on the shared one of the same bore it is the same."""
    two = {line: PipeFitting(name="e", line=line, kind="elbow", count=2) for line in ("shared", "shower")}
    elbows = [flows(fittings=[one]) for one in two.values()]

    assert flow_of(elbows[0]) == pytest.approx(flow_of(flows(shared_loss=Q(5))), rel=1e-12)
    assert flow_of(elbows[1]) == pytest.approx(flow_of(flows(outlet(loss=Q(9)))), rel=1e-12)


def test_a_fitting_on_a_pipe_there_is_not_is_refused():
    """The sentence lists the pipes."""
    with pytest.raises(InputError) as refused:
        flows(fittings=[PipeFitting(name="e", line="bath", kind="elbow")])

    assert refused.value.faults == {"fittings": "there is no pipe called 'bath'; write shared or shower"}


def test_half_a_strainer_loses_four_times_as_much():
    """Half the area, a quarter of its square; none stopped up changes nothing."""
    one = flows(stopped=Q(50, "percent")).by_outlet[0]

    assert one.blocked.m_as("L/min") == pytest.approx(flow_of(flows(strainer=Q(8))), rel=1e-9)
    assert flows(stopped=Q(0, "percent")).by_outlet[0].blocked.m_as("L/min") == pytest.approx(flow_of(flows()))


def test_all_open_pass_less_each_and_more_together():
    """And the head at the tee is the same seen from either outlet and from the pump."""
    low, high = outlet("jet", height=Q(0.6, "m"), hole=Q(7, "mm")), outlet()
    made = flows(low, high)
    part = [one.shared.m_as("m^3/s") for one in made.by_outlet]

    assert all(one.shared < one.flow for one in made.by_outlet)
    assert made.all_open.m_as("m^3/s") == pytest.approx(sum(part), rel=1e-9)
    assert made.all_open > max(one.flow for one in made.by_outlet)
    assert made.most_flow == made.all_open
    tees = [_ahead_of_tee(one, q) for one, q in zip((low, high), part, strict=True)]
    assert tees[0] == pytest.approx(tees[1], rel=1e-8)


def _ahead_of_tee(one, flow):
    """Head at the tee that drives a flow out of an outlet."""
    given = {"outlets": (one,), "fittings": (), "deck": Q(0, "m"), "shared_length": Q(0, "m"),
             "shared_bore": Q(1, "m"), "strainer": Q(0), "shared_loss": Q(0), "temperature": Q(10, "degC"),
             "density": Q(999.7, "kg/m^3"), "roughness": Q(1.5, "um")}
    return system_head(given, Q(flow, "m^3/s")).m_as("m")


def test_an_outlet_too_high_for_the_tee_passes_nothing_while_a_low_one_is_open():
    """Alone it gives some; beside a wide one at the water's level it runs dry."""
    made = flows(outlet("wide", height=Q(0, "m"), hole=Q(13, "mm"), coefficient=Q(1), loss=Q(0)),
                 outlet(height=Q(6, "m")), use="all at once")

    assert flow_of(made, 1) > 1
    assert made.by_outlet[1].shared.m_as("L/min") == 0
    assert made.all_open.m_as("L/min") == pytest.approx(made.by_outlet[0].shared.m_as("L/min"))
    assert made.enough_together.verdict == "fails"
    assert made.enough_together.reason.startswith("shower")


def test_one_outlet_alone_passes_the_same_with_every_valve_open():
    """There is nothing to share with."""
    one = flows().by_outlet[0]

    assert one.shared.m_as("L/min") == pytest.approx(one.flow.m_as("L/min"), rel=1e-9)


def test_a_pump_that_does_not_lift_so_high_gives_nothing_and_says_so():
    """13 m against 12 m at most."""
    made = flows(outlet(height=Q(13, "m")))

    assert flow_of(made) == 0
    assert made.enough.verdict == "fails"
    assert made.enough.reason == "shower: the pump does not lift so high"


@pytest.mark.parametrize(("changed", "words"), [
    ({"height": Q(8, "m")}, "into lifting it"), ({"length": Q(40, "m")}, "along the pipe: a wider bore helps"),
    ({"loss": Q(80)}, "into fittings and valves"), ({"hole": Q(4, "mm")}, "through its hole"),
])
def test_the_neediest_outlet_is_named_with_where_its_head_goes(changed, words):
    """The cause, in words."""
    made = flows(outlet(**changed), outlet("easy", wanted=Q(0.1, "L/min")))

    assert made.neediest == f"shower, where most of the head goes {words}"
    assert made.enough.reason == f"shower: most of the head goes {words}"


def test_the_neediest_is_the_one_with_least_for_what_is_wanted_of_it():
    """Not the one with the least flow."""
    made = flows(outlet("drip", hole=Q(2, "mm"), wanted=Q(0.5, "L/min")), outlet("shower", wanted=Q(8, "L/min")))

    assert flow_of(made, 0) < flow_of(made, 1)
    assert made.enough.value.m_as("L/min") == pytest.approx(flow_of(made, 1))
    assert made.enough.limit == Q(8, "L/min")
    assert made.least_flow.m_as("L/min") == pytest.approx(flow_of(made, 0))


def test_all_at_once_is_checked_only_when_it_is_chosen():
    """A criterion not chosen never fails."""
    two = (outlet("a"), outlet("b"))

    assert flows(*two).enough_together.verdict == "does not apply"
    assert flows(*two, use="all at once").enough_together.verdict == "fails"


def test_minutes_add_up_one_by_one_and_run_side_by_side_all_at_once():
    """8 and 4 minutes: 12, or 8; water and work follow the flows."""
    two = (outlet("a", season=Q(8, "min"), winter=Q(1, "min")), outlet("b", season=Q(4, "min")))
    one, both = flows(*two), flows(*two, use="all at once")

    assert (one.season_open, one.winter_open) == (Q(12, "min"), Q(1, "min"))
    assert both.season_open == Q(8, "min")
    assert one.season_water.m_as("L") == pytest.approx(8 * flow_of(one, 0) + 4 * flow_of(one, 1))
    assert both.season_water.m_as("L") == pytest.approx(
        8 * both.by_outlet[0].shared.m_as("L/min") + 4 * both.by_outlet[1].shared.m_as("L/min"))
    power = [row.power.m_as("W") for row in one.by_outlet]
    assert one.season_lifted.m_as("J") == pytest.approx(power[0] * 480 + power[1] * 240)
    assert power[0] == pytest.approx(999.7 * 9.80665 * one.by_outlet[0].head.m_as("m") * flow_of(one) / 6e4)


def test_pressure_ahead_of_the_hole_is_what_the_moving_water_leaves():
    """An open end of pipe has none; a hole has its head less the velocity head."""
    one = flows().by_outlet[0]
    ahead = one.at_hole.m_as("m") - one.speed.m_as("m/s") ** 2 / 2 / 9.80665
    open_end = flows(outlet(hole=Q(13, "mm"), coefficient=Q(1))).by_outlet[0]

    assert one.pressure.m_as("Pa") == pytest.approx(999.7 * 9.80665 * ahead)
    assert open_end.pressure.m_as("kPa") == pytest.approx(0, abs=1e-9)


def test_a_valve_that_needs_pressure_may_never_open():
    """12 m less 1.65 m are 1.01 bar on a shut valve."""
    assert flows().valves_open.verdict == "does not apply"
    held = flows(outlet(opens_at=Q(50, "kPa"))).valves_open
    assert held.verdict == "meets"
    assert held.value.m_as("kPa") == pytest.approx(999.7 * 9.80665 * 10.35 / 1000)
    assert flows(outlet(opens_at=Q(150, "kPa"))).valves_open.verdict == "fails"
    two = flows(outlet("high", height=Q(9, "m"), opens_at=Q(20, "kPa")), outlet("low", opens_at=Q(20, "kPa")))
    assert two.valves_open.reason == "least to spare at high"


def test_lengths_lifts_and_holes_are_gathered():
    """1.2 m shared and two of 2.4 m; the highest and the finest."""
    made = flows(outlet("a", hole=Q(3, "mm")), outlet("b", height=Q(2, "m")), deck=Q(0.5, "m"))

    assert made.pipe_length.m_as("m") == pytest.approx(6)
    assert made.highest.m_as("m") == pytest.approx(2.5)
    assert made.finest.m_as("mm") == pytest.approx(3)


def test_an_outlet_below_the_water_may_pass_more_than_the_pump_alone():
    """It runs like a siphon."""
    assert flow_of(flows(outlet(height=Q(-9, "m"), hole=Q(13, "mm"), coefficient=Q(1), loss=Q(0)))) > 12.5


def test_a_wall_rougher_than_a_twentieth_of_a_bore_is_noted():
    """Colebrook does not cover it."""
    assert any("Colebrook" in note for note in flows(roughness=Q(1, "mm")).notes)


@settings(max_examples=25)
@given(st.lists(
    st.tuples(st.floats(-1, 11), st.floats(2, 12), st.floats(0.2, 20), st.floats(0, 30)), min_size=2, max_size=4))
def test_opening_another_valve_never_gives_an_outlet_more(parts):
    """Any heights, holes, lengths and fittings; and together they pass no less than the best alone."""
    rows = [outlet(f"{n}", height=Q(h, "m"), hole=Q(d, "mm"), length=Q(length, "m"), loss=Q(k))
            for n, (h, d, length, k) in enumerate(parts)]
    made = flows(*rows)

    for one in made.by_outlet:
        assert one.shared.m_as("L/min") <= one.flow.m_as("L/min") * (1 + 1e-6) + 1e-9
    assert made.all_open.m_as("L/min") >= max(one.flow.m_as("L/min") for one in made.by_outlet) * (1 - 1e-6)


def test_samples_of_outlets_agree_with_one_by_one():
    """Rows, pump, deck and pipe together; one sample in which the pump does not lift so high."""
    agrees_one_by_one(lambda pick: flows(
        outlet("jet", height=pick([0.6, 0.7, 13], "m"), hole=pick([7, 6, 5], "mm")),
        outlet(bore=pick([13, 12, 14], "mm")),
        deck=pick([0, 0.1, 0.2], "m"), shut_off_head=pick([12, 13, 11], "m"), strainer=pick([2, 3, 4], ""),
        temperature=pick([5, 10, 20], "degC"), use="all at once"), 3)
