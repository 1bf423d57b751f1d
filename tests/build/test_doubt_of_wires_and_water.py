"""What doubt draws in power, wires, water and mooring: never a wish, and no share of a place near zero."""

from __future__ import annotations

import pytest

from kit.build.build import Build
from kit.build.doubt import doubtful

_STAGES = ("power", "wiring", "water", "mooring")


@pytest.fixture(scope="module")
def widths() -> dict[str, float]:
    """The greater half-width of every doubtful entry of those stages, in its own unit, by path."""
    demo = Build.open("tarn_locker")
    found = doubtful(demo.graph, demo.now.values, demo.now.entries)
    return {
        doubt.path: max(doubt.give_or_take.widths(doubt.value)[:2])
        for doubt in found
        if doubt.path.split(".")[0] in _STAGES
    }


@pytest.mark.parametrize(
    "path",
    [
        "power.loads.volts", "power.battery.block_volts", "power.in_against_out.wanted",
        "power.charging.regulator_volts",
        "wiring.divider.upper", "wiring.divider.tolerance", "water.outlets.stopped", "water.shower.planned",
        "mooring.leg.wanted", "mooring.gear.shackle_limit",
    ],
)  # fmt: skip
def test_what_the_reader_decides_is_in_no_doubt(widths: dict[str, float], path: str) -> None:
    """A plan, a wish, a rating that is printed, a resistor whose tolerance is asked for besides."""
    assert path not in widths


@pytest.mark.parametrize(
    ("path", "width"),
    [
        ("water.outlets.outlets[deck jet].height", 20), ("water.suction.pump_height", 20),
        ("water.draining.pipes[pump to tee].low", 20), ("wiring.drill_plan.parts[display].hole_width", 0.1),
        ("mooring.openings.every[deck gaps, dry].size", 3), ("mooring.leak_test.cells[left inner, cell 1].stop", 1),
        ("water.pump.volts", 0.3), ("power.panels.swing", 2),
    ],
)  # fmt: skip
def test_what_is_measured_by_rule_or_gauge_is_out_by_an_amount(
    widths: dict[str, float], path: str, width: float
) -> None:
    """Twenty millimetres of a height above the deck, whatever it is: in millimetres, millibars, volts and degrees."""
    assert widths[path] == pytest.approx(width)
