"""Wires, fuses and runs: one test a term, edges, refusals."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.fuses import Fuse, fuses
from kit.quantities import Q
from kit.runs import Run, tree
from kit.sampling import sampling
from kit.sources import SOURCES, read_table
from kit.wire import INSULATIONS, SIZES, wire
from kit.wire_runs import wire_runs
from kit.wire_size import wire_size
from tests.one_by_one import agrees_one_by_one


def laid(**changed):
    """5 A through 8 m of 2.5 mm2 class 5 at 20 degrees."""
    given = {"size": "2.5 mm2", "make": "class 5", "temperature": Q(20, "degC"), "one_way": Q(8, "m"),
             "current": Q(5, "A")}
    return wire(**given | changed)


def run(name="pump", **changed):
    """A pump on the battery."""
    given = {"name": name, "one_way": Q(1.8, "m"), "current": Q(3, "A"), "size": "1.5 mm2", "fuse": "it"}
    return Run(**given | changed)


def runs_of(*runs, **changed):
    """The runs on a battery of 15 mohm."""
    return wire_runs(runs=runs, **{"resistance": Q(15, "mohm"), "controller": runs[0].name} | changed)


def guard(runs, *rows, **changed):
    """The fuses on a battery of 15 mohm."""
    return fuses(runs=runs, fuses=rows, **{"highest": Q(15.3, "V"), "resistance": Q(15, "mohm")} | changed)


def fuse(name="it", rating=5.0, **changed):
    """A fuse near the battery."""
    return Fuse(name=name, rating=Q(rating, "A"), **{"bare": Q(50, "mm")} | changed)


@pytest.mark.parametrize("table", ["wires", "ampacity", "wiring", "fuse_melting", "rest_volts"])
def test_every_row_of_a_table_names_a_source_and_how_it_is_known(table):
    """No row is without either."""
    for line in read_table(table):
        assert line["source"] in SOURCES
        assert line["known"] in ("read", "worked out", "memory", "common practice")


# -- one wire ------------------------------------------------------------------------------------------------


def test_drop_goes_with_length_current_and_both_ways():
    """Twice the length or current loses twice the volts; out and back count."""
    base = laid().drop

    assert base.m_as("V") == pytest.approx(2 * 8 * 5 * 7.98e-3)
    assert laid(one_way=Q(16, "m")).drop / base == pytest.approx(2)
    assert laid(current=Q(10, "A")).drop / base == pytest.approx(2)


def test_hot_copper_loses_more_and_bears_less():
    """At 40 degrees 0.689 V for 0.638 V."""
    hot = laid(temperature=Q(40, "degC"))

    assert hot.drop.m_as("V") == pytest.approx(0.689, abs=0.0005)
    assert hot.ampacity < laid(temperature=Q(30, "degC")).ampacity


def test_the_nominal_area_alone_would_promise_too_little_drop():
    """2.5 mm2 of solid copper would lose 14 % less than the greatest resistance allows."""
    assert 1 - (5 * 16 / 58 / 2.5) / laid().drop.m_as("V") == pytest.approx(0.136, abs=0.001)


def test_tinned_wire_resists_more_than_plain_and_class_2_less():
    """In that order, for a metric size and for a gauge."""
    for name in ("2.5 mm2", "14 AWG"):
        tinned, plain = (laid(size=name, make=kind).drop for kind in ("tinned class 5", "class 5"))
        assert tinned > plain
    assert laid(make="class 2").drop < laid().drop


def test_better_insulation_and_smaller_bundles_bear_more():
    """Never less, over every insulation and every size of bundle."""
    by_kind = [laid(insulation=kind).ampacity.m for kind in INSULATIONS]
    by_bundle = [laid(wires=n).ampacity.m for n in range(1, 25)]

    assert by_kind == sorted(by_kind)
    assert by_bundle == sorted(by_bundle, reverse=True)
    assert [laid(wires=n).ampacity / laid().ampacity for n in (3, 4, 7)] == pytest.approx([0.7, 0.6, 0.5])


def test_insulation_at_its_own_temperature_bears_nothing():
    """60 degree insulation in 60 degrees of air, and beyond."""
    assert laid(temperature=Q(60, "degC")).ampacity.m == laid(temperature=Q(80, "degC")).ampacity.m == 0


def test_a_metric_size_bears_what_the_gauge_below_it_bears():
    """2.5 mm2 takes the figure of 14 AWG, 1.5 mm2 that of 16 AWG; nothing is read off between."""
    assert laid(insulation="105 degC", temperature=Q(30, "degC")).ampacity.m == 35
    assert laid(size="1.5 mm2", insulation="105 degC", temperature=Q(30, "degC")).ampacity.m == 25


def test_below_18_gauge_no_current_is_given():
    """nan, and the reader is told why."""
    assert np.isnan(laid(size="0.75 mm2").ampacity.m)


def test_sizes_of_the_other_system_are_named():
    """The thinnest that is not thinner."""
    assert laid(size="2.5 mm2").nearest == "12 AWG"
    assert laid(size="12 AWG").nearest == "4 mm2"


# -- the thinnest that will do -------------------------------------------------------------------------------


def sized(**changed):
    """3 A over 1.8 m, a start of 9 A, a fuse of 5 A."""
    given = {"one_way": Q(1.8, "m"), "current": Q(3, "A"), "start": Q(9, "A"), "fuse": Q(5, "A")}
    return wire_size(**given | changed)


def test_each_demand_can_be_the_one_that_governs():
    """A long run by its drop, a heavy start by that, a large fuse by the current."""
    assert sized(one_way=Q(8, "m")).governed == "drop while it runs"
    assert sized(start=Q(60, "A")).governed == "drop at start"
    assert sized(fuse=Q(25, "A")).governed == "current and fuse"


def test_the_size_follows_the_fuse_not_the_load():
    """A fuse of 25 A asks for a wire that bears 25 A, however little the load draws."""
    found = sized(current=Q(0.5, "A"), start=None, fuse=Q(25, "A"))

    assert found.size == "4 mm2" and found.ampacity.m == 25


def test_where_no_size_will_do_the_check_fails():
    """300 A over 100 m at 12 V."""
    found = sized(one_way=Q(100, "m"), current=Q(300, "A"), start=None, fuse=None)

    assert found.found.verdict == "fails"
    assert found.size.startswith("none held here")


def test_a_nominal_size_by_the_formula_is_not_always_enough():
    """3.83 mm2 by the formula at 20 degrees; class 5 wire of 4 mm2 then loses 3.3 %, so 6 mm2 is taken."""
    found = sized(one_way=Q(8, "m"), current=Q(5, "A"), start=None, make="class 5", temperature=Q(20, "degC"))

    assert found.by_drop.m_as("mm^2") == pytest.approx(3.83, abs=0.005)
    assert found.size == "6 mm2"


def test_chosen_sizes_agree_one_by_one():
    """Samples that need different sizes get them."""
    agrees_one_by_one(lambda pick: sized(one_way=pick([0.5, 4, 20], "m"), current=pick([1, 5, 12], "A"),
                                         start=pick([2, 20, 40], "A"), fuse=pick([3, 10, 20], "A")), 3)


# -- runs ----------------------------------------------------------------------------------------------------


def test_a_run_is_sized_on_its_own_and_on_the_whole_way():
    """The whole way is its own drop and that of the run it hangs on."""
    found = runs_of(run("main", current=Q(6, "A"), size="4 mm2", one_way=Q(0.6, "m")), run(fed_by="main"))
    main, pump = found.by_run

    assert pump.whole_way.m == pytest.approx(main.drop.m + pump.drop.m)
    assert found.way_drop.reason == "pump"


def test_an_undersized_wire_fails_and_is_named():
    """Twelve metres of 0.75 mm2 for the pump."""
    found = runs_of(run("lamps", current=Q(0.2, "A")), run(size="0.75 mm2", one_way=Q(12, "m")))

    assert found.critical_drop.verdict == "fails" and found.critical_drop.reason == "pump"
    assert found.by_run[1].least == "6 mm2"


def test_less_critical_runs_may_lose_ten_percent():
    """What fails at 3 % meets at 10 %."""
    long = {"one_way": Q(8, "m")}

    assert runs_of(run(**long)).critical_drop.verdict == "fails"
    lamp = runs_of(run(**long, critical=False))
    assert lamp.other_drop.passes and lamp.critical_drop.verdict == "not covered"


def test_a_motor_on_the_controllers_own_wires_pulls_it_down():
    """The same start on wires of its own leaves the controller more."""
    main = run("main", current=Q(6, "A"), size="1.5 mm2", one_way=Q(4, "m"))
    box, pump = run("box", current=Q(0.1, "A"), fed_by="main"), run(start=Q(30, "A"), fed_by="main")
    shared = runs_of(main, box, pump, controller="box")
    apart = runs_of(main, box, run(start=Q(30, "A")), controller="box")

    assert shared.feed < apart.feed
    assert shared.feed_while == "pump"
    assert shared.controller_stays.reason.startswith("while starting: pump")


def test_a_weak_battery_resets_the_controller():
    """300 mohm inside and 20 A of start take it below 7 V."""
    found = runs_of(run("box", current=Q(0.1, "A")), run(start=Q(20, "A")), resistance=Q(300, "mohm"))

    assert found.controller_stays.verdict == "fails"


def test_a_controller_that_is_no_run_fails_in_words():
    """Nothing is passed that could not be looked at."""
    found = runs_of(run(), controller="brain")

    assert found.controller_stays.verdict == "fails"
    assert "there is no run called 'brain'" in found.controller_stays.reason


def test_a_trunk_must_carry_what_hangs_on_it():
    """3 A of pump and 3 A of winch on a trunk reckoned with 5 A."""
    found = runs_of(run("main", current=Q(5, "A")), run(fed_by="main"), run("winch", fed_by="main"))

    assert found.trunks_whole.verdict == "fails"
    assert found.trunks_whole.reason == "main, that feeds pump, winch"


def test_an_overloaded_wire_is_named():
    """30 A on 1.5 mm2."""
    found = runs_of(run("lamps", current=Q(0.2, "A")), run(current=Q(30, "A")))

    assert found.wires_bear.verdict == "fails" and found.wires_bear.reason.startswith("pump")


def test_a_thin_single_wire_is_too_thin_to_last():
    """0.75 mm2 passes in a sheath, not alone, and not at all below 0.75."""
    assert runs_of(run(size="0.75 mm2")).thick_enough.passes
    assert runs_of(run(size="0.75 mm2", sheathed=False)).thick_enough.verdict == "fails"
    assert runs_of(run(size="0.5 mm2", one_way=Q(150, "mm"))).thick_enough.passes


def test_copper_and_cable_are_summed():
    """Two wires of 1.5 mm2, 1.8 m each, at 8890 kg/m3."""
    found = runs_of(run())

    assert found.copper.m_as("kg") == pytest.approx(2 * 1.8 * 1.5e-6 * 8890)
    assert found.cable.m_as("m") == pytest.approx(1.8)


def test_a_run_that_hangs_on_nothing_is_refused():
    """With the name that is missing and what to write."""
    with pytest.raises(InputError) as caught:
        runs_of(run(fed_by="mian"))

    assert caught.value.faults == {"runs": "run 'pump' hangs on 'mian', which is not there; write 'battery'"}


def test_runs_in_a_ring_are_refused():
    """And do not hang the kit, sampled or not."""
    ring = [run("a", fed_by="b"), run("b", fed_by="a")]
    with pytest.raises(InputError) as caught:
        runs_of(*ring)

    assert "hangs on itself" in caught.value.faults["runs"]
    with sampling():
        assert tree(ring).shape == (2, 2)


# -- fuses ---------------------------------------------------------------------------------------------------


def test_a_run_without_a_fuse_fails_and_is_named():
    """The seeded mistake: one fuse left out."""
    found = guard([run(), run("lamps", fuse="-")], fuse())

    assert found.guarded.verdict == "fails" and found.guarded.reason == "no fuse: lamps"


def test_a_panel_that_limits_itself_needs_no_fuse():
    """2.6 A at most on a wire that bears 15 A; a source of 20 A needs one."""
    assert guard([run(fuse="-", source_most=Q(2.6, "A"))]).guarded.passes
    assert guard([run(fuse="-", source_most=Q(20, "A"))]).guarded.verdict == "fails"


def test_a_fuse_larger_than_its_thinnest_wire_fails():
    """20 A over a pump's 1.5 mm2 and a lamp's 1 mm2: the lamp's 10 A is the limit."""
    found = guard([run(), run("lamp", current=Q(0.2, "A"), size="1 mm2")], fuse(rating=20))

    assert found.wire_bears.verdict == "fails"
    assert found.by_fuse[0].most.m_as("A") == 10
    assert found.by_fuse[0].guards == "pump, lamp"


def test_a_fuse_carries_its_load_and_a_quarter_more():
    """3 A ask for 3.75 A."""
    assert guard([run()], fuse(rating=3.8)).carries.passes
    assert guard([run()], fuse(rating=3.7)).carries.verdict == "fails"


def test_a_trunk_fuse_counts_the_trunk_once():
    """Its load is the trunk's current, not that and the runs that hang on it."""
    found = guard([run("main", current=Q(6, "A"), size="4 mm2", fuse="main"), run(fed_by="main", fuse="main")],
                  fuse("main", 10))

    assert found.by_fuse[0].load.m_as("A") == pytest.approx(6)


def test_a_blade_fuse_may_go_while_a_motor_starts():
    """9 A through 5 A is carried 0.19 s: enough for a tenth of a second, not for half a second."""
    motor = [run(start=Q(9, "A"))]

    assert guard(motor, fuse()).starts.passes
    assert guard(motor, fuse(), start_time=Q(0.5, "s")).starts.verdict == "fails"
    assert guard(motor, fuse(carries_start=Q(2, "s")), start_time=Q(0.5, "s")).starts.passes
    assert guard(motor, fuse(kind="cartridge")).starts.verdict == "not covered"


def test_two_fuses_in_a_row_are_a_step_apart():
    """10 A over 5 A lets the nearer go first; 6 A over 5 A does not."""
    runs = [run("main", current=Q(4, "A"), size="4 mm2", fuse="main"), run(fed_by="main")]

    assert guard(runs, fuse("main", 10), fuse(at="main")).selective.passes
    close = guard(runs, fuse("main", 6), fuse(at="main")).selective
    assert close.verdict == "fails" and close.reason.startswith("main to it")


def test_a_strong_battery_is_more_than_a_blade_fuse_can_break():
    """12.8 V behind 5 mohm is 2560 A; a cartridge for 20 kA can, and one of unknown strength is not passed."""
    strong = {"resistance": Q(5, "mohm")}

    assert guard([run()], fuse(), **strong).can_break.verdict == "fails"
    assert guard([run()], fuse(kind="cartridge", breaks=Q(20_000, "A")), **strong).can_break.passes
    assert guard([run()], fuse(kind="bolted"), **strong).can_break.verdict == "not covered"


def test_wire_before_the_fuse_lowers_the_short_circuit():
    """At the far end of the trunk it is less than at the battery."""
    runs = [run("main", current=Q(4, "A"), size="4 mm2", fuse="main"), run(fed_by="main")]
    found = guard(runs, fuse("main", 10), fuse(at="main"))

    assert found.by_fuse[1].fault < found.by_fuse[0].fault


def test_a_fuse_rated_below_the_charger_fails():
    """12 V glass on 15.3 V."""
    assert guard([run()], fuse(volts=Q(12, "V"))).volts_fit.verdict == "fails"
    assert guard([run()], fuse(volts=Q(32, "V"))).volts_fit.passes
    assert guard([run()], fuse()).volts_fit.verdict == "not covered"


def test_a_fuse_that_is_not_there_is_refused_by_name():
    """With the fuses there are."""
    with pytest.raises(InputError) as caught:
        guard([run(fuse="pmup")], fuse("pump"))

    assert caught.value.faults == {
        "runs": "run 'pump' names the fuse 'pmup', which is not there; write one of pump or '-'"}


def test_a_build_without_fuses_fails_only_where_it_should():
    """No fuse at all: unguarded, and the rest does not apply."""
    found = guard([run(fuse="-")])

    assert found.guarded.verdict == "fails"
    assert found.near.verdict == "does not apply"


def test_runs_and_fuses_agree_one_by_one():
    """Length, current, start, temperature, rating and the battery's own resistance sampled together."""
    def worked(pick):
        runs = [run("main", current=pick([4, 6, 9], "A"), one_way=pick([0.4, 0.6, 2], "m"), size="4 mm2", fuse="main"),
                run(fed_by="main", current=pick([1, 3, 4], "A"), start=pick([2, 9, 30], "A"),
                    temperature=pick([10, 30, 55], "degC"))]
        battery = pick([5, 15, 80], "mohm")
        near = Fuse(name="it", rating=pick([3, 5, 8], "A"), bare=pick([20, 90, 300], "mm"), at="main")
        return (wire_runs(runs=runs, resistance=battery, controller="main"),
                guard(runs, fuse("main", 10), near, resistance=battery))

    agrees_one_by_one(worked, 3)


def test_a_unit_of_input_does_not_matter():
    """Feet and milliamperes as metres and amperes."""
    found = laid(one_way=Q(8 / 0.3048, "ft"), current=Q(5000, "mA"))

    assert found.drop.m_as("V") == pytest.approx(laid().drop.m_as("V"))
    assert len(SIZES) == len(set(SIZES)) == len(read_table("wires"))
