"""Stage 08 of the demo build: figures worked out by hand, what it hands on, and one mistake of each kind."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from kit.build import Build
from kit.handed import Hazard, Load, Part, Purchase, Task


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Build]:
    """Tarn Locker, opened once, with a folder of builds of its own."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("RECKONER_BUILDS", str(tmp_path_factory.mktemp("builds")))
        yield Build.open("tarn_locker")


@pytest.fixture
def demo(opened: Build) -> Iterator[Build]:
    """The demo as it is recorded; what a test tries is put back after it."""
    yield opened
    opened.put_back()


# The sheet of the demo: pump run 1.3 of 3 % steady and 3.8 of 10 % at start, input 2.80 of 3.3 V.
WORKED = [
    ("wiring.cables.critical_drop", "percent", "1.3", "0.43"), ("wiring.cables.start_keeps", "percent", "3.8", "0.38"),
    ("wiring.divider.input_safe", "V", "2.80", "0.85"),
]


@pytest.mark.parametrize(("path", "unit", "value", "used"), WORKED)
def test_a_check_of_the_demo_comes_out_as_worked_by_hand(
    demo: Build, path: str, unit: str, value: str, used: str
) -> None:
    """Value and share to half of their last printed digits."""
    check = demo.check(path)
    half = 0.5 * 10.0 ** -len(value.partition(".")[2])

    assert check.passes
    assert check.value is not None
    assert check.value.m_as(unit) == pytest.approx(float(value), abs=half)
    assert float(check.share) == pytest.approx(float(used), abs=0.005)


def test_no_check_of_the_stage_fails_is_marginal_or_open(demo: Build) -> None:
    """Everything was measured or read off a data sheet."""
    assert {check.verdict for _, _, check in demo.checks("wiring")} == {"meets", "does not apply"}


def test_what_it_hands_on(demo: Build) -> None:
    """Box and lamps as on the sheet, 268 GBP in all, 10, 14 and 24 hours, and the logger's own 5.8 Wh a day."""
    parts = {part.name: part for _, part in demo.handed(Part, "wiring")}
    bought = sum(one.cost.magnitude for _, one in demo.handed(Purchase, "wiring"))
    (task,) = (one for _, one in demo.handed(Task, "wiring"))
    (load,) = (one for _, one in demo.handed(Load, "wiring"))

    control, lamps = parts["control box"], parts["lamps and cable"]
    assert (control.mass.m, control.y.m, control.z.m) == (2.5, -0.15, 0.428)
    assert (lamps.mass.m, lamps.z.m) == (3.5, 0.10)
    assert bought == pytest.approx(96 + 118 + 54)
    assert [q.m_as("h") for q in (task.quick, task.likely, task.slow)] == [10, 14, 24]
    assert (load.power * load.season).m_as("Wh") == pytest.approx(5.8, abs=0.05)
    assert len(list(demo.handed(Hazard, "wiring"))) <= 4


# One mistake of each kind: what is entered, the check that fails, and words that name the cause.
MISTAKES = [
    ("divider from the nominal volts", {"wiring.divider.lower": "33 kohm"}, "wiring.divider.input_safe",
     "the nominal voltage alone would look right"),
    ("highest volts taken from the label", {"wiring.divider.highest": "12 V"}, "wiring.divider.highest_sound",
     "a 12 V battery on charge reaches 14.4 V"),
    ("undersized wire", {"wiring.cables.runs[pump].size": "0.5 mm2"}, "wiring.cables.critical_drop", "pump"),
    ("missing fuse", {"wiring.cables.runs[lamps left].fuse": "-"}, "wiring.fuses.guarded", "no fuse: lamps left"),
    ("fuse larger than the wire", {"wiring.fuses.fuses[pump].rating": "25 A"}, "wiring.fuses.wire_bears", "pump"),
    ("fuse at the load end", {"wiring.fuses.fuses[main].bare": "600 mm"}, "wiring.fuses.near", "main"),
    ("address clash", {"wiring.bus.devices[clock].address": "0x3C"}, "wiring.bus.differ",
     "display and clock both at 0x3C"),
    ("12 V on an input of 3.3 V", {"wiring.pin_plan.signals[float switch].volts": "15.3 V"}, "wiring.pin_plan.unharmed",
     "float switch"),
    ("old battery", {"wiring.cables.resistance": "600 mohm"}, "wiring.cables.controller_stays", "starting: pump"),
    ("thin wire from the battery", {"wiring.cables.runs[battery run].size": "0.5 mm2",
                                    "wiring.cables.runs[battery run].one_way": "6 m"},
     "wiring.cables.controller_stays", "starting: pump"),
    ("coil without a diode", {"wiring.coils.diodes": "2"}, "wiring.coils.caught", "without a diode"),
    ("two rinses at once", {"wiring.schedule.slots[evening rinse].starts": "7.05 h"}, "wiring.schedule.apart",
     "morning rinse with evening rinse, over pump"),
    ("box hosed that was only dipped", {"wiring.splash.parts[deck lamps].place": "hosed"}, "wiring.splash.tight",
     "IP67 is not tested against a hose"),
    ("charger not isolated", {"wiring.low_voltage.mains": "not isolated"}, "wiring.low_voltage.isolated", "mains"),
    ("dark box in the sun", {"wiring.box_heat.shade": "dark, in the sun"}, "wiring.box_heat.cool", "dark, in the sun"),
    ("switch too deep", {"wiring.drill_plan.parts[pump].depth": "55 mm"}, "wiring.drill_plan.behind", "pump"),
]


@pytest.mark.parametrize(("entries", "path", "cause"), [m[1:] for m in MISTAKES], ids=[m[0] for m in MISTAKES])
def test_a_mistake_makes_the_check_fail_that_names_its_cause(
    demo: Build, entries: dict[str, str], path: str, cause: str
) -> None:
    """The check met before, fails after, and its reason says what is wrong."""
    assert demo.check(path).passes
    for where, text in entries.items():
        demo.enter(where, text)
    check = demo.check(path)

    assert check.verdict == "fails"
    assert cause in check.reason


def test_the_box_takes_its_air_from_the_brief(demo: Build) -> None:
    """Damper winter air brings the wall nearer to the dew point."""
    before = demo.value("wiring.box_air.margin").m_as("delta_degC").min()
    demo.enter("brief.year.months[January].humidity", "97 %")

    assert demo.value("wiring.box_air.margin").m_as("delta_degC").min() < before


def test_a_longer_cable_travels_to_the_buy_list(demo: Build) -> None:
    """Five metres more of cable, a sixth as spare, at 2 GBP."""
    before = demo.value("sheet.all.materials").magnitude
    demo.enter("wiring.cables.runs[lamps left].one_way", "9.5 m")

    assert demo.value("sheet.all.materials").magnitude - before == pytest.approx(2 * (np.ceil(23 * 1.15) - 21))


def test_doubt_of_the_stage_is_worked_out_without_losing_samples(demo: Build) -> None:
    """Two thousand samples: every result of the stage is there in each."""
    doubted = demo.doubt(2000)

    drop = doubted["wiring.cables"].result.worst_drop.m_as("percent")
    assert drop.shape == (2000,) and np.isfinite(drop).all()
    assert np.mean(drop) == pytest.approx(demo.value("wiring.cables.worst_drop").m_as("percent"), rel=0.02)


def test_a_wire_is_looked_for_when_it_is_asked(demo: Build) -> None:
    """The closer look stands beside the build and hangs on its voltage."""
    for name, text in {"one_way": "1.8 m", "current": "3 A", "start": "9 A", "fuse": "5 A"}.items():
        demo.enter(f"wiring.one_wire.{name}", text)
    demo.ask("wiring.one_wire")

    assert demo.closer("wiring.one_wire").size == "1 mm2"
