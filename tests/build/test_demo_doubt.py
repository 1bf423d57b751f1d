"""What the demo's doubt draws in the stages of the bench: sizes by the rule they were read from, wishes not at all."""

from __future__ import annotations

import pytest

from kit.build.build import Build
from kit.build.doubt import Doubt, doubtful
from kit.quantities import Quantity


@pytest.fixture(scope="module")
def drawn() -> dict[str, Doubt]:
    """Every doubtful entry of the demo by path."""
    build = Build.open("tarn_locker")
    return {one.path: one for one in doubtful(build.graph, build.now.values, build.now.entries)}


@pytest.mark.parametrize(("path", "millimetres"), [
    ("frame.deck.length", 3), ("frame.deck.thickness", 0.5), ("frame.timbers.pieces[rims].length", 1),
    ("panels.carcass_boards.panels[long sides].length", 1), ("machining.saw.blade", 0.5), ("frame.ladder.arm", 5)])
def test_a_size_is_drawn_within_what_its_rule_can_tell(drawn, path, millimetres):
    """A deck of three metres is not three centimetres out."""
    down, up, name = drawn[path].give_or_take.widths(drawn[path].value)

    assert Quantity(max(down, up), name).m_as("mm") == pytest.approx(millimetres)


@pytest.mark.parametrize("path", [
    "frame.deck.gap", "frame.joists.inset", "frame.spacing.edge", "frame.foot.load", "panels.fingers.clearance",
    "panels.gap_and_slots.least_gap", "machining.main_cutter.chip_load", "machining.operations.work[ring].depth",
    "finish.coats.tin", "finish.sealant.cartridge", "finish.sealant.capability"])
def test_what_the_builder_decides_is_not_drawn(drawn, path):
    """Wishes, limits, plans and the size of a pack."""
    assert path not in drawn


def test_no_length_of_the_bench_is_a_fifth_of_itself_out(drawn):
    """Save hollows, films and errors of a few millimetres, whose own size is guessed; places have their own."""
    wide = []
    for path, one in drawn.items():
        if path.split(".")[0] in ("frame", "panels", "machining", "finish") and one.value.check("[length]"):
            down, up, name = one.give_or_take.widths(one.value)
            size, out = one.value.m_as("mm"), Quantity(max(down, up), name).m_as("mm")
            if size > 3.5 and out > 0.2 * size and path[-2:] not in (".x", ".y", ".z"):
                wide.append(path)

    assert wide == []
