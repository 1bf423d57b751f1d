"""The demo's frame: joists on the floats, the year's gaps, the cut list, and what travels to other stages."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.build import Build
from kit.handed import Piece, Surface


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Build:
    """Tarn Locker, with a folder of builds of its own."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    return Build.open("tarn_locker")


@pytest.mark.parametrize(("path", "unit", "printed"), [
    ("frame.moisture.least", "percent", "14.4"), ("frame.moisture.most", "percent", "19.9"),
    ("frame.gap.narrowest", "mm", "3.7"), ("frame.gap.widest", "mm", "6.3"),
    ("frame.joist_loads.overhang", "mm", "250"), ("frame.joist_loads.longest", "mm", "650"),
])
def test_the_sheet_of_the_demo_comes_out(demo: Build, path: str, unit: str, printed: str) -> None:
    """To half the last digit that the demo's own sheet gives; floats lie at 0.85 and 0.325 m from the middle."""
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])

    assert demo.value(path).m_as(unit) == pytest.approx(float(printed), abs=half)


def test_a_float_that_is_moved_moves_a_support(demo: Build) -> None:
    """Outer floats drawn in by 100 mm make the overhang 350 mm and its moment larger."""
    before = demo.value("frame.joist_loads.hogging")
    for float_body, y in (("left outer", "-0.75 m"), ("right outer", "0.75 m")):
        demo.enter(f"raft.afloat.floats[{float_body}].y", y)

    assert demo.value("frame.joist_loads.overhang").m_as("mm") == pytest.approx(350)
    assert demo.value("frame.joist_loads.hogging") > before
    assert demo.check("frame.joist_strength.bends").passes


def test_damper_air_closes_the_gaps(demo: Build) -> None:
    """A January of 94 % brings the boards above 23 % and the gap below what drains."""
    demo.enter("brief.year.months[January].humidity", "94 %")

    assert demo.value("frame.moisture.most").m_as("percent") > 23
    assert demo.check("frame.deck.drains").verdict == "fails"


def test_a_rim_of_another_thickness_asks_for_other_joists(demo: Build) -> None:
    """Rims of 40 mm: joists of 2110 mm are 10 mm short."""
    demo.enter("frame.joists.rim_thickness", "40 mm")

    assert demo.check("frame.cut_list.fit").verdict == "fails"
    assert demo.value("frame.cut_list.furthest").m_as("mm") == pytest.approx(10)


def test_every_piece_names_a_stock_that_is_bought(demo: Build) -> None:
    """Fifteen deck boards and seventeen members, cut from the two stocks of the purchases."""
    pieces = [row for _, row in demo.handed(Piece, "frame")]
    assert {piece.stock for piece in pieces} == {"deck boards", "frame timber"}
    assert sum(int(piece.count) for piece in pieces) == 15 + 17


def test_the_deck_top_is_bare_until_somebody_coats_it(demo: Build) -> None:
    """6.3 square metres, all of them bare; none once the deck is coated."""
    top = next(row for _, row in demo.handed(Surface, "frame") if row.name == "deck top")
    assert top.area.m_as("m^2") == pytest.approx(6.3, abs=0.05)
    assert top.bare.m_as("m^2") == pytest.approx(top.area.m_as("m^2"))
    demo.enter("frame.coated", "yes")

    top = next(row for _, row in demo.handed(Surface, "frame") if row.name == "deck top")
    assert top.bare.m == 0


def test_rules_are_never_mixed(demo: Build) -> None:
    """A European grade under North American rules is not covered, until a grade of theirs is chosen."""
    demo.enter("brief.rules", "North American")
    assert demo.check("frame.joist_strength.bends").verdict == "not covered"
    assert demo.check("frame.foot.strong").verdict == "not covered"

    demo.enter("frame.grade.grade", "Douglas fir-larch No. 2")
    assert demo.check("frame.joist_strength.bends").passes
