"""Distances of screws, how many fit, how many to buy, and the holes they want."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.fasteners import Crossing, screw_count, screw_spacing
from kit.pilot import pilot_hole
from kit.quantities import Q
from kit.sampling import sampling
from kit.sources import SOURCES, read_table
from tests.one_by_one import agrees_one_by_one


def spaced(**changed):
    """Two rows of eight screws of 5 mm in a pre-drilled board of 145 x 28 mm."""
    given = {"rules": "European", "diameter": Q(5, "mm"), "pre_drilled": True, "density": Q(350, "kg/m^3"),
             "length": Q(3, "m"), "width": Q(145, "mm"), "thickness": Q(28, "mm"), "end": Q(60, "mm"),
             "edge": Q(30, "mm"), "in_one_row": 8, "rows": 2}
    return screw_spacing(**given | changed)


def hole(**changed):
    """A screw of 5 mm into Douglas-fir."""
    given = {"rules": "European", "timber": "Douglas-fir (coast)", "duty": "lateral", "diameter": Q(5, "mm"),
             "root": Q(3.2, "mm")}
    return pilot_hole(**given | changed)


@pytest.mark.parametrize("table", ["screw_spacing", "screws", "connections"])
def test_every_row_of_a_table_names_a_source_and_how_it_is_known(table):
    """No row is without either."""
    for line in read_table(table):
        assert line["source"] in SOURCES
        assert line["known"] in ("read", "worked out", "memory", "common practice")


def test_a_screw_too_near_the_board_end_fails():
    """22 mm from the end where 7 diameters, 35 mm, are needed; 35 mm meets it exactly."""
    near, far = spaced(end=Q(22, "mm")), spaced(end=Q(35, "mm"))

    assert near.board_end.verdict == "fails"
    assert near.board_end.reason == "end, pre-drilled"
    assert near.needed_end.m_as("mm") == pytest.approx(35)
    assert far.board_end.passes


def test_every_distance_goes_with_the_diameter():
    """Six millimetres ask for a fifth more than five."""
    five, six = spaced(), spaced(diameter=Q(6, "mm"))

    for name in ("needed_end", "needed_edge", "needed_along", "needed_across"):
        assert (getattr(six, name) / getattr(five, name)).m_as("") == pytest.approx(1.2)


def test_pre_drilling_lets_screws_stand_closer():
    """Every distance shrinks, and dense wood without it asks for more still."""
    drilled, light, heavy = spaced(), spaced(pre_drilled=False), spaced(pre_drilled=False, density=Q(480, "kg/m^3"))

    for name in ("needed_end", "needed_edge", "needed_along", "needed_across"):
        assert getattr(drilled, name).m < getattr(light, name).m < getattr(heavy, name).m
    assert (drilled.case, light.case, heavy.case) == ("pre-drilled", "light", "heavy")


def test_density_of_420_still_counts_as_light():
    """The limit of the column belongs to it."""
    assert spaced(pre_drilled=False, density=Q(420, "kg/m^3")).case == "light"
    assert spaced(pre_drilled=False, density=Q(420.1, "kg/m^3")).case == "heavy"


def test_a_loaded_end_and_edge_ask_for_more():
    """7 d becomes (7 + 5 cos a) d, 3 d becomes (3 + 4 sin a) d."""
    along = spaced(angle=Q(0, "deg"), end_loaded=True)
    across = spaced(angle=Q(90, "deg"), edge_loaded=True)

    assert along.needed_end.m_as("mm") == pytest.approx(60)
    assert across.needed_edge.m_as("mm") == pytest.approx(35)


def test_screws_stand_at_equal_spacing():
    """2880 mm in seven spaces, 85 mm in one; positions run from the end."""
    found = spaced()

    assert found.along.m_as("mm") == pytest.approx(2880 / 7)
    assert found.across.m_as("mm") == pytest.approx(85)
    assert [line.from_end.m_as("mm") for line in found.lines] == pytest.approx([60 + 2880 / 7 * n for n in range(8)])


def test_the_most_that_fit_meet_the_spacing_and_one_more_fails():
    """2880 mm at 20 mm across the grain's force are 145 screws; the 146th stands too close."""
    most = spaced().most_in_row.m

    assert most == 145
    assert spaced(in_one_row=int(most)).in_row.passes
    assert spaced(in_one_row=int(most) + 1).in_row.verdict == "fails"
    assert spaced(rows=int(spaced().most_rows.m) + 1).between_rows.verdict == "fails"


def test_a_single_screw_has_no_neighbour():
    """Spacing does not apply, end and edge do."""
    found = spaced(in_one_row=1, rows=1)

    assert found.in_row.verdict == found.between_rows.verdict == "does not apply"
    assert np.isnan(found.along.m)
    assert found.board_end.verdict == "meets"


def test_thin_and_dense_boards_must_be_drilled():
    """28 mm is less than 7 diameters; above 500 kg/m3 nothing helps; drilled, the question falls away."""
    assert spaced(pre_drilled=False).drilling.verdict == "fails"
    assert spaced(pre_drilled=False, thickness=Q(36, "mm")).drilling.passes
    assert spaced(pre_drilled=False, thickness=Q(90, "mm"), density=Q(550, "kg/m^3")).drilling.verdict == "fails"
    assert spaced().drilling.verdict == "does not apply"


def test_rules_that_do_not_reach_are_said_not_to():
    """The handbook gives no distances, and thick screws are spaced as bolts: never a pass."""
    for found in (spaced(rules="handbook only"), spaced(diameter=Q(8, "mm")),
                  spaced(rules="North American", diameter=Q(8, "mm"))):
        assert {check.verdict for check in (found.board_end, found.board_edge, found.in_row, found.between_rows)} == {
            "not covered"}


def test_north_american_distances_are_said_to_be_from_memory():
    """10 diameters from an unloaded end without a hole, 5 with one."""
    driven, drilled = (spaced(rules="North American", pre_drilled=drilled) for drilled in (False, True))

    assert driven.needed_end.m_as("mm") == pytest.approx(50)
    assert drilled.needed_end.m_as("mm") == pytest.approx(25)
    assert "from memory" in drilled.notes[0]


def test_inches_give_the_same_distances():
    """The unit of an entry does not matter."""
    inches = spaced(diameter=Q(5 / 25.4, "in"), end=Q(22 / 25.4, "in"))

    assert inches.needed_end.m_as("mm") == pytest.approx(35)
    assert inches.board_end.verdict == "fails"


def test_end_distances_that_meet_are_refused():
    """The sentence stands beside the entry."""
    with pytest.raises(InputError) as caught:
        spaced(end=Q(1600, "mm"))

    assert caught.value.faults == {"end": "the two end distances leave no room; write 60 mm for a board of 3000 mm"}


def test_samples_of_spacing_agree_one_by_one():
    """Across the columns of the table and the thin screws; lists are those of the mean."""
    def found(pick):
        made = spaced(pre_drilled=False, diameter=pick([4.9, 5.1, 6], "mm"), density=pick([410, 430, 490], "kg/m^3"),
                      end=pick([60, 50, 70], "mm"), thickness=pick([28, 40, 50], "mm"))
        return tuple(value for name, value in vars(made).items() if name not in ("lines", "notes", "case"))

    agrees_one_by_one(found, 3)


def test_a_sample_beyond_the_table_is_not_met():
    """One screw of three is too thick and one board too dense: neither passes, and the others are what they were."""
    with sampling():
        found = spaced(pre_drilled=False, diameter=Q(np.array([5, 5, 6.5]), "mm"), thickness=Q(60, "mm"),
                       density=Q(np.array([350.0, 520, 350]), "kg/m^3"))

    assert list(found.board_edge.met) == [True, False, False]
    assert list(found.drilling.met) == [True, False, True]


def test_screws_are_boards_times_joists_times_each_and_the_rest():
    """15 x 8 x 2 = 240, 16 crossings of 3 more; spares are rounded up, and so are boxes."""
    found = screw_count(boards=15, joists=8, box=100, others=[Crossing(name="rims", crossings=16, screws=3)])

    assert (found.in_deck.m, found.screws.m) == (240, 288)
    assert found.needed.m == 303
    assert (found.boxes.m, found.left_over.m) == (4, 97)


def test_a_box_that_fits_exactly_needs_no_further_one():
    """240 in boxes of 120 are two; of 119, three."""
    for box, boxes in ((120, 2), (119, 3)):
        assert screw_count(boards=15, joists=8, box=box, spares=Q(0, "percent")).boxes.m == boxes


def test_a_count_of_samples_is_counted_sample_by_sample():
    """Boards may come from a deck whose width is in doubt."""
    found = screw_count(boards=np.array([15.0, 16.0]), joists=8, box=200)

    assert found.screws.m == pytest.approx([240, 256])


def test_the_european_hole_is_seven_tenths_of_the_screw():
    """3.5 mm for 5 mm; the shank goes through a hole of its own size."""
    found = hole()

    assert (found.thread_drill.m_as("mm"), found.clearance_drill.m_as("mm")) == (3.5, 5)
    assert hole(diameter=Q(6, "mm")).thread_hole.m_as("mm") == pytest.approx(4.2)


def test_a_hole_is_drilled_with_the_next_smaller_drill_and_clearance_with_the_next_larger():
    """5.2 mm asks for 3.64 and 5.2: 3.5 and 5.5 are in the set."""
    found = hole(diameter=Q(5.2, "mm"))

    assert (found.thread_drill.m_as("mm"), found.clearance_drill.m_as("mm")) == (3.5, 5.5)


def test_inch_drills_come_from_an_inch_set():
    """3.5 mm is 8.8 sixty-fourths: 1/8 in below, and 13/64 in above 5 mm."""
    found = hole(drills="inch")

    assert found.thread_drill.m_as("in") == pytest.approx(8 / 64)
    assert found.clearance_drill.m_as("in") == pytest.approx(13 / 64, abs=1e-5)


@pytest.mark.parametrize(("timber", "duty", "share"), [
    ("western redcedar", "withdrawal", None), ("Douglas-fir (coast)", "withdrawal", None),
    ("loblolly pine", "withdrawal", 0.7), ("white oak", "withdrawal", 0.9),
    ("western redcedar", "lateral", 0.875), ("loblolly pine", "lateral", 0.875), ("white oak", "lateral", 1.0),
])
def test_the_north_american_hole_goes_by_gravity_and_duty(timber, duty, share):
    """Shares of the root: G up to 0.5, up to 0.6 and above."""
    found = hole(rules="North American", timber=timber, duty=duty)
    if share is None:
        assert np.isnan(found.thread_hole.m)
        assert "none is required" in found.rule
        return

    assert found.thread_hole.m_as("mm") == pytest.approx(3.2 * share)


def test_the_handbook_hole_goes_by_hardwood_and_softwood():
    """70 and 90 % of the root."""
    soft, hard = (hole(rules="handbook only", timber=timber) for timber in ("Sitka spruce", "white oak"))

    assert soft.thread_hole.m_as("mm") == pytest.approx(3.2 * 0.7)
    assert hard.thread_hole.m_as("mm") == pytest.approx(3.2 * 0.9)


def test_a_root_thicker_than_the_screw_is_refused():
    """The sentence stands beside both entries."""
    with pytest.raises(InputError) as caught:
        hole(root=Q(5, "mm"))

    sentence = "the root must be thinner than the screw, such as 3.2 mm for a screw of 5 mm"
    assert caught.value.faults == {"root": sentence, "diameter": sentence}


def test_samples_of_holes_agree_one_by_one():
    """Each sample takes its own drill."""
    agrees_one_by_one(lambda pick: hole(diameter=pick([4.5, 5, 5.2], "mm"), root=pick([2.9, 3.2, 3.4], "mm")), 3)
