"""Wires, runs and fuses against printed tables, worked examples and a circuit solved node by node."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.sparse import lil_matrix
from scipy.sparse.linalg import spsolve

from kit.fuses import Fuse, fuses
from kit.quantities import Q
from kit.runs import Run
from kit.wire import SIZES, area_of, resistance_of, wire
from kit.wire_runs import wire_runs
from kit.wire_size import wire_size

# ASTM B258 writes the diameter as a geometric row from 0.46 in (4/0) to 0.005 in (36 AWG).
AWG = {name: int(name.removesuffix(" AWG")) for name in SIZES if name.endswith("AWG")}


def gauge_area(number):
    """Area of a wire gauge in mm2 by the standard's own row."""
    return np.pi / 4 * (0.127 * 92 ** ((36 - number) / 39)) ** 2


@pytest.mark.outside("wire", "ASTM B258, the row of diameters")
@pytest.mark.parametrize("name", AWG)
def test_gauges_have_the_area_of_the_standards_row(name):
    """To the four figures with which they are held."""
    assert area_of(name).m_as("mm^2") == pytest.approx(gauge_area(AWG[name]), rel=5e-4)


@pytest.mark.outside("wire", "Lessons in Electric Circuits, volume I chapter 12, table of solid wire")
@pytest.mark.parametrize(("number", "inches"), [
    (10, "0.1019"), (12, "0.08081"), (14, "0.06408"), (16, "0.05082"), (18, "0.04030")])
def test_gauges_have_the_printed_diameter(number, inches):
    """In inches, to half of the last printed digit."""
    diameter = np.sqrt(area_of(f"{number} AWG").m_as("mm^2") * 4 / np.pi) / 25.4
    half = 0.5 * 10.0 ** -len(inches.partition(".")[2])

    # The area is held with four figures, which is half of that in the diameter.
    assert diameter == pytest.approx(float(inches), abs=half + 2.5e-4 * float(inches))


@pytest.mark.outside("wire", "NEC chapter 9, Table 8, against 1/58 ohm mm2/m and the area of ASTM B258")
@pytest.mark.parametrize("name", AWG)
def test_stranded_gauges_resist_two_percent_more_than_solid_copper(name):
    """Strands lie 2 % longer than the wire; the table prints three figures and rounds strands to whole mils."""
    solid = 1 / 58 / gauge_area(AWG[name]) * (234.5 + 75) / 254.5

    assert resistance_of(name, "class 5", Q(75, "degC")).m_as("ohm/m") == pytest.approx(1.02 * solid, rel=0.006)


@pytest.mark.outside("wire", "Lessons in Electric Circuits, volume I chapter 12: 2300 ft of 14 AWG are 5.651 ohm")
def test_a_long_wire_resists_as_printed():
    """The book takes solid wire and 1.678e-8 ohm m; standard copper has 1.7241e-8, and strands another 2 %."""
    ours = resistance_of("14 AWG", "class 5", Q(20, "degC")).m_as("ohm/ft") * 2300

    assert ours / 1.02 * 1.678 / 1.7241 == pytest.approx(5.651, rel=0.005)


@pytest.mark.outside("wire", "IEC 60228, factors that bring a measured resistance to 20 degC, in a maker's reprint")
@pytest.mark.parametrize(("celsius", "printed"), [(15, "1.020"), (25, "0.980"), (50, "0.893"), (75, "0.820")])
def test_hot_copper_resists_more_by_the_printed_factor(celsius, printed):
    """The reprint uses 250/(230 + T) where the standard of copper has 254.5/(234.5 + T): 0.3 % apart at 75 degC."""
    cold, hot = (resistance_of("4 mm2", "class 5", Q(t, "degC")).m for t in (20, celsius))

    assert cold / hot == pytest.approx(float(printed), rel=0.003)


@pytest.mark.outside("wire", "33 CFR 183.425 Table 5, note: 105 degC wire at 50 degC, 0.85")
def test_warm_air_leaves_the_printed_share_of_the_current():
    """The rule for warm air is from memory; it comes within a hundredth of the one factor that was read."""
    found = [wire(size="14 AWG", insulation="105 degC", temperature=Q(t, "degC"), one_way=Q(1, "m"), current=Q(1, "A"))
             for t in (30, 50)]

    assert found[0].ampacity.m_as("A") == 35
    assert (found[1].ampacity / found[0].ampacity).m_as("") == pytest.approx(0.85, abs=0.01)


@pytest.mark.outside("wire_size", "ABYC E-11 method, a chandler's worked example: 10 A, 11 + 10 ft, 12 V")
@pytest.mark.parametrize(("percent", "mils", "gauge"), [(3, 6271, "12 AWG"), (10, 1881, "16 AWG")])
def test_a_run_needs_the_printed_circular_mils_and_gauge(percent, mils, gauge):
    """10.75 ohm circular mil/ft is copper at 29.3 degC; the area to one part in a thousand, the gauge exactly."""
    found = wire_size(one_way=Q(10.5, "ft"), current=Q(10, "A"), allowed=Q(percent, "percent"), system="AWG",
                      make="class 5", temperature=Q(29.3, "degC"), insulation="105 degC")

    assert found.by_drop.m_as("mil^2") * 4 / np.pi == pytest.approx(mils, rel=1e-3)
    assert found.size == gauge


@pytest.mark.outside("wire_size", "Mehta, Principles of Electrical Engineering, example 13.2: sections of a feeder")
def test_sections_add_up_to_the_printed_area():
    """220, 190, 150 and 50 A over 40, 60, 50 and 100 m, 10 V in all, 1.78e-8 ohm m: 1.164 cm2."""
    needed = sum(
        wire_size(one_way=Q(m, "m"), current=Q(a, "A"), volts=Q(250, "V"), allowed=Q(4, "percent"),
                  temperature=Q(20, "degC")).by_drop.m_as("cm^2")
        for a, m in ((220, 40), (190, 60), (150, 50), (50, 100)))

    assert needed * 1.78e-8 / (1e-6 / 58) == pytest.approx(1.164, abs=0.0005)


# -- runs as a circuit ---------------------------------------------------------------------------------------

RUNS = [
    Run(name="main", one_way=Q(0.6, "m"), current=Q(9, "A"), size="4 mm2"),
    Run(name="board", fed_by="main", one_way=Q(1.1, "m"), current=Q(5, "A"), size="2.5 mm2"),
    Run(name="controller", fed_by="board", one_way=Q(0.7, "m"), current=Q(0.3, "A"), size="1 mm2"),
    Run(name="pump", fed_by="board", one_way=Q(1.8, "m"), current=Q(3, "A"), start=Q(9, "A"), size="1.5 mm2"),
    Run(name="winch", fed_by="main", one_way=Q(3, "m"), current=Q(4, "A"), start=Q(30, "A"), size="6 mm2"),
    Run(name="fan", fed_by="board", one_way=Q(2, "m"), current=Q(0.5, "A"), start=Q(2, "A"), size="1 mm2"),
]
DRAWN = {"controller": 0.3, "pump": 3.0, "winch": 4.0, "fan": 0.5}


def node_volts(drawn, source, inside):
    """Volts at the end of every run: conductances of the wires, currents drawn at the ends, solved as one system."""
    names = ["battery", *(run.name for run in RUNS)]
    matrix, pulled = lil_matrix((len(names), len(names))), np.zeros(len(names))
    matrix[0, 0] = 1 / inside
    pulled[0] = source / inside
    for run in RUNS:
        far, near = names.index(run.name), names.index(run.fed_by)
        ohms = 2 * run.one_way.m_as("m") * resistance_of(run.size, run.make, run.temperature).m
        for a, b in ((near, far), (far, near)):
            matrix[a, a] += 1 / ohms
            matrix[a, b] -= 1 / ohms
        pulled[far] -= drawn.get(run.name, 0.0)
    return dict(zip(names, spsolve(matrix.tocsr(), pulled), strict=True))


@pytest.mark.outside("wire_runs", "the same circuit solved by nodal analysis with scipy")
def test_volts_at_every_end_are_those_of_the_solved_circuit():
    """Where trunks carry exactly what hangs on them, running volts agree at every node."""
    exact = [Run(**{**vars(run), "current": Q(total, "A")}) for run, total in zip(
        RUNS, (7.8, 3.8, 0.3, 3.0, 4.0, 0.5), strict=True)]
    found = wire_runs(runs=exact, resistance=Q(15, "mohm"), lowest=Q(11.5, "V"))
    solved = node_volts(DRAWN, 11.5, 0.015)

    for line in found.by_run:
        assert line.volts.m_as("V") == pytest.approx(solved[line.name], abs=1e-9)


@pytest.mark.outside("wire_runs", "the same circuit solved by nodal analysis with scipy, each motor starting in turn")
def test_the_controllers_feed_is_the_least_over_every_start():
    """The winch pulls it down most, through the trunk alone; the pump through two shared runs."""
    exact = [Run(**{**vars(run), "current": Q(total, "A")}) for run, total in zip(
        RUNS, (7.8, 3.8, 0.3, 3.0, 4.0, 0.5), strict=True)]
    found = wire_runs(runs=exact, resistance=Q(15, "mohm"), lowest=Q(11.5, "V"))
    feeds = {run.name: node_volts(DRAWN | {run.name: run.start.m}, 11.5, 0.015)["controller"]
             for run in RUNS if run.start is not None}

    assert found.feed.m_as("V") == pytest.approx(min(feeds.values()), abs=1e-9)
    assert found.feed_while == min(feeds, key=feeds.get) == "winch"


# -- fuses ---------------------------------------------------------------------------------------------------


def guarded(rating, load, **changed):
    """One run of 16 AWG, one fuse at the battery."""
    given = {"name": "run", "one_way": Q(1, "m"), "current": Q(load, "A"), "size": "16 AWG", "fuse": "it",
             "insulation": "105 degC"} | changed
    return fuses(runs=[Run(**given)], fuses=[Fuse(name="it", rating=Q(rating, "A"), bare=Q(50, "mm"))],
                 highest=Q(15, "V"), resistance=Q(15, "mohm"))


@pytest.mark.outside("fuses", "NEC 210.20 (125 %) and 33 CFR 183.425 Table 5")
def test_five_amperes_for_long_take_a_fuse_of_seven_and_a_half():
    """5 A ask for 6.25 A; 7.5 A is the next made, and 16 AWG with 105 degC insulation bears 25 A."""
    small, next_made = guarded(5, 5), guarded(7.5, 5)

    assert next_made.by_fuse[0].least.m_as("A") == pytest.approx(6.25)
    assert next_made.by_fuse[0].most.m_as("A") == 25
    assert small.carries.verdict == "fails" and next_made.carries.passes and next_made.wire_bears.passes


@pytest.mark.outside("fuses", "NEC 210.20 and 33 CFR 183.425 Table 5, 60 degC insulation in warm air")
def test_a_full_wire_is_refused_in_hot_air():
    """20 A on 12 AWG with 60 degC insulation: a fuse of 25 A is the limit in 30 degrees of air, too much in 50."""
    cool, hot = (guarded(25, 20, size="12 AWG", insulation="60 degC", temperature=Q(t, "degC")) for t in (30, 50))

    assert cool.carries.passes and cool.wire_bears.passes
    assert hot.wire_bears.verdict == "fails"
    # 0.58 of 25 A by the factor as printed to two places.
    assert hot.by_fuse[0].most.m_as("A") == pytest.approx(0.58 * 25, abs=0.005 * 25)


@pytest.mark.outside("fuses", "Lessons in Electric Circuits, volume I chapter 11: 10 V behind 0.2 ohm, shorted")
def test_a_short_circuit_draws_what_the_battery_can_push():
    """50 A, and no wire in between."""
    found = fuses(runs=[Run(name="run", one_way=Q(1, "m"), current=Q(1, "A"), size="1 mm2", fuse="it")],
                  fuses=[Fuse(name="it", rating=Q(2, "A"), bare=Q(50, "mm"))], highest=Q(15, "V"), rest=Q(10, "V"),
                  resistance=Q(200, "mohm"))

    assert found.by_fuse[0].fault.m_as("A") == pytest.approx(50)


@pytest.mark.outside("fuses", "33 CFR 183.455: 7 in, or 40 in when sheathed all the way")
@pytest.mark.parametrize(("millimetres", "sheathed", "verdict"), [
    (177, False, "marginal"), (179, False, "fails"), (1015, True, "marginal"), (1017, True, "fails")])
def test_a_fuse_sits_within_the_published_distance(millimetres, sheathed, verdict):
    """A millimetre to either side of it."""
    run = Run(name="run", one_way=Q(1, "m"), current=Q(1, "A"), size="1 mm2", fuse="it")
    fuse = Fuse(name="it", rating=Q(2, "A"), bare=Q(millimetres, "mm"), sheathed=sheathed)

    assert fuses(runs=[run], fuses=[fuse], highest=Q(15, "V"), resistance=Q(15, "mohm")).near.verdict == verdict


@pytest.mark.outside("wire_size", "every size tried one by one")
def test_the_thinnest_size_that_does_is_found():
    """Over lengths, currents and insulations: no thinner size of the series keeps all three demands."""
    for metres, amperes, kind in itertools.product((0.5, 3, 12), (0.2, 4, 25), ("60 degC", "105 degC")):
        found = wire_size(one_way=Q(metres, "m"), current=Q(amperes, "A"), insulation=kind)
        does = []
        for name in (s for s in SIZES if s.endswith("mm2")):
            one = wire(size=name, insulation=kind, one_way=Q(metres, "m"), current=Q(amperes, "A"))
            if one.drop.m_as("V") <= 0.36 and one.ampacity.m_as("A") >= amperes:
                does.append(name)
        assert found.size == (does[0] if does else "none held here: shorten the run or split the load")
