"""Stages 02 and 04 of the demo build: what stands in them, and what a change does."""

from __future__ import annotations

import pytest

from kit.build.build import Build
from kit.handed import Hazard, Part, Purchase, Task


@pytest.fixture
def build():
    """The demo build, from its record."""
    return Build.open("tarn_locker")


def handed(build, kind, stage):
    """What a stage hands on, by name."""
    return {row.name: row for _, row in build.handed(kind, stage)}


def amount(build, path, unit):
    """A result in a unit."""
    return build.value(path).m_as(unit)


@pytest.mark.parametrize(("path", "unit", "printed"), [
    ("panels.lid.mass", "kg", "8.6"), ("panels.lid.centre", "mm", "315"), ("panels.lid.board_width", "mm", "110"),
    ("panels.coverage.joint_area", "m^2", "0.41"), ("panels.glue_up.force", "kN", "20.0"),
    ("panels.glue_up.time", "s", "250"), ("resin.recesses.volume", "mL", "101.7"),
    ("resin.pour.mixed_volume", "mL", "123"),
    ("resin.pour.component_b", "g", "41.2"), ("resin.mix.density", "g/mL", "1.079"),
    ("resin.recesses.as_slab", "mm", "4.0"), ("resin.heat.bound", "mm", "5.2"),
])
def test_figures_of_the_demo_come_out(build, path, unit, printed):
    """To half the last digit that the demo's own sheet gives."""
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])

    assert amount(build, path, unit) == pytest.approx(float(printed), abs=half)


@pytest.mark.parametrize(("name", "printed"), [
    ("ring", "29.4"), ("long kites", "37.4"), ("short kites", "20.2"), ("disc", "5.0"), ("letters", "9.7")])
def test_recesses_of_the_rose_come_out(build, name, printed):
    """In millilitres, to half a tenth."""
    rows = {row.name: row.volume.m_as("mL") for row in build.value("resin.recesses.by_recess")}

    assert rows[name] == pytest.approx(float(printed), abs=0.05)


def test_checks_of_the_demo_meet_and_the_cup_test_is_still_to_make(build):
    """All that apply but one can be taken, and none fails or is close to its limit."""
    verdicts = {path: check.verdict for path, _, check in build.checks() if path.split(".")[0] in ("panels", "resin")}
    idle = {"panels.gap_and_slots.stays_clear", "panels.gap_and_slots.not_wide", "panels.gap_and_slots.slotted"}

    assert {path for path, verdict in verdicts.items() if verdict == "does not apply"} == {*idle, "resin.clock.window"}
    others = {path: verdict for path, verdict in verdicts.items() if verdict not in ("meets", "does not apply")}
    assert others == {"resin.heat.cup_test": "open"}


def test_parts_lie_where_the_demo_has_them(build):
    """Mass to a tenth of a kilogram, place to a millimetre; the inlay weighs 0.04 kg on top of the fixed top."""
    parts = handed(build, Part, "panels") | handed(build, Part, "resin")
    places = {name: (part.mass.m_as("kg"), part.x.m_as("m"), part.z.m_as("m")) for name, part in parts.items()}

    assert places["locker carcass"] == pytest.approx((23.7, 0, 0.358), abs=0.05)
    assert places["fixed top"] == pytest.approx((5.1, 0, 0.581), abs=0.05)
    assert places["lid, other end"] == pytest.approx((8.6, -0.475, 0.581), abs=0.05)
    assert places["lid, named end"] == pytest.approx((8.6, 0.475, 0.581), abs=0.05)
    assert places["resin inlay"][0] == pytest.approx(0.04, abs=0.005)


def test_purchases_cost_what_the_demo_pays(build):
    """In the demo's money."""
    bought = handed(build, Purchase, "panels") | handed(build, Purchase, "resin")

    assert {name: row.cost.magnitude for name, row in bought.items()} == pytest.approx({
        "carcass timber": 213, "lid and top timber": 170, "glue": 14, "resin, A and B": 21, "pigment": 12})


def test_every_stage_names_hours_and_at_most_four_hazards(build):
    """One task and three hazards each."""
    for stage in ("panels", "resin"):
        assert len(handed(build, Task, stage)) == 1
        assert 1 <= len(build.handed(Hazard, stage)) <= 4


def test_a_thicker_lid_is_heavier_everywhere_and_asks_for_thicker_stock(build):
    """26 to 30 mm: mass of the boards by 30/26, the fixed top follows, and 32 mm rough is no longer enough."""
    before = {path: amount(build, path, "kg") for path in ("panels.lid.board_mass", "panels.top.board_mass")}

    build.enter("panels.lid.thickness", "30 mm")

    for path, mass in before.items():
        assert amount(build, path, "kg") == pytest.approx(mass * 30 / 26)
    assert build.check("panels.lid.thick_enough").verdict == "fails"
    assert handed(build, Part, "panels")["lid, named end"].mass == build.value("panels.lid.mass")


def test_more_boards_change_the_clamps_by_their_width(build):
    """Ten boards of 55 mm: clamps reach half as far, and there are nine joints instead of four."""
    reach = amount(build, "panels.glue_up.widest_spacing", "mm")

    build.enter("panels.lid.boards", "10")

    assert amount(build, "panels.glue_up.widest_spacing", "mm") == pytest.approx(reach / 2)
    assert amount(build, "panels.glue_up.goes", "") == 3


def test_a_deeper_letter_takes_more_resin_in_every_cup(build):
    """A mouth of 6 mm holds 36/25 of one of 5 mm, at the same angle."""
    letters = {row.name: row.volume for row in build.value("resin.recesses.by_recess")}["letters"]
    before = amount(build, "resin.pour.cup_mass", "g")

    build.enter("resin.recesses.pockets[letters].width", "6 mm")

    after = {row.name: row.volume for row in build.value("resin.recesses.by_recess")}["letters"]
    assert (after / letters).m_as("") == pytest.approx(36 / 25)
    assert amount(build, "resin.pour.cup_mass", "g") > before
    assert build.value("resin.pour.cards")[0].reading_b == build.value("resin.pour.cup_mass")


def test_a_volume_ratio_on_the_scale_needs_its_densities(build):
    """Without them the mix, the pour and the scale wait, and the recesses do not."""
    for path in ("resin.mix.density_a", "resin.mix.density_b"):
        build.leave_out(path)
    build.enter("resin.mix.by", "volume")

    assert build.value("resin.pour.mass") is None
    assert build.value("resin.recesses.volume") is not None
