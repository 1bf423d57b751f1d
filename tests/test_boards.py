"""Boards over a deck and joists under it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.boards import deck_boards, joist_layout
from kit.calculator import InputError
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

WOOD = {"fitting_moisture": 12, "wet_moisture": 28, "laid_moisture": 15, "driest": 14.4, "wettest": 19.9}


def deck(**changed):
    """Larch boards of 145 mm on 3.0 by 2.2 m."""
    given = {"length": Q(3, "m"), "width": Q(2.2, "m"), "board_width": Q(145, "mm"), "thickness": Q(28, "mm"),
             "gap": Q(6, "mm"), "timber": "western larch", "frame_depth": Q(120, "mm")}
    return deck_boards(**given | {name: Q(value, "percent") for name, value in WOOD.items()} | changed)


def joists(**changed):
    """Eight joists of 45 mm under it."""
    given = {"length": Q(3, "m"), "width": Q(2.2, "m"), "joists": 8, "thickness": Q(45, "mm"), "inset": Q(60, "mm")}
    return joist_layout(**given | changed)


def test_a_deck_worked_by_hand():
    """13 x 145 + 2 x 115.5 + 14 x 6 = 2200; 2116 x 28 x 3000 mm of larch at 582.4 kg/m3 are 103.5 kg."""
    found = deck()

    assert (found.full_boards.m, found.edge_boards.m, found.board_count.m) == (13, 2, 15)
    assert found.edge_width.m_as("mm") == pytest.approx(115.5)
    assert found.exact_gap.m_as("mm") == pytest.approx(6)
    assert found.volume.m_as("m^3") == pytest.approx(2.116 * 0.028 * 3)
    assert found.mass.m_as("kg") == pytest.approx(2.116 * 0.028 * 3 * 582.4)
    assert found.wet_mass.m_as("kg") == pytest.approx(found.mass.m_as("kg") * 1.28 / 1.12)
    assert (found.top.m_as("mm"), found.middle.m_as("mm")) == (148, 134)
    assert found.metres.m_as("m") == pytest.approx(15 * 3 * 1.05)


@given(width=st.floats(300, 9000), board=st.floats(60, 250), gap=st.floats(0, 15))
def test_boards_and_gaps_fill_the_deck_exactly(width, board, gap):
    """Whatever the sizes, the last edge is the deck's; edge boards lie between half a board and a whole one."""
    if width < 2 * board:
        return
    found = deck(width=Q(width, "mm"), board_width=Q(board, "mm"), gap=Q(gap, "mm"))
    rip, even = found.edge_width.m_as("mm"), found.exact_gap.m_as("mm")
    ends = [line.end.m_as("mm") for line in found.lines]

    assert ends[-1] == pytest.approx(width, abs=1e-6)
    assert len(ends) == found.board_count.m == found.full_boards.m + 2
    assert found.full_boards.m * board + 2 * rip + (found.full_boards.m + 1) * even == pytest.approx(width, abs=1e-6)
    # Half a millimetre of fence and half a millimetre of play in the gap are allowed.
    assert (board - gap) / 2 - 0.51 <= rip <= board + 1e-9
    assert even >= max(gap - 0.5, 0) - 1e-9


def test_lines_run_from_the_first_edge_and_leave_the_gap_between():
    """Each board begins a gap after the one before it; no dimension is counted from its neighbour's mark."""
    found = deck()
    lines = found.lines

    assert lines[0].start.m_as("mm") == 0
    assert lines[0].end.m_as("mm") == pytest.approx(115.5)
    assert all(after.start.m_as("mm") - before.end.m_as("mm") == pytest.approx(6)
               for before, after in pairwise(lines))


def test_edge_boards_stay_whole_where_slightly_narrower_gaps_allow_it():
    """15 boards of 145 mm and 14 gaps of 5.8 mm are 2256.2 mm: nothing is ripped for want of 0.2 mm a gap."""
    found = deck(width=Q(2256.2, "mm"))

    assert found.edge_width.m_as("mm") == 145
    assert found.exact_gap.m_as("mm") == pytest.approx(5.8)


def test_boards_across_the_deck_change_places_with_those_along_it():
    """A deck turned by a right angle has the same boards."""
    turned = deck(run="along the width", length=Q(2.2, "m"), width=Q(3, "m"))

    assert turned.mass.m == pytest.approx(deck().mass.m)
    assert (turned.board_run.m_as("m"), turned.across.m_as("m")) == (3, 2.2)


def test_gaps_close_as_boards_swell_and_open_as_they_dry():
    """A flat-sawn larch board of 145 mm moves 0.468 mm a percent: 4.9 percent up, 0.6 down."""
    found = deck()

    assert found.gap_wet.m_as("mm") == pytest.approx(6 - 145 * 0.00323 * 4.9)
    assert found.gap_dry.m_as("mm") == pytest.approx(6 + 145 * 0.00323 * 0.6)
    assert found.drains.verdict == found.fingers.verdict == "meets"


def test_dry_boards_laid_tight_fail_to_drain_and_wet_ones_open_too_far():
    """The gap is right only for the moisture at which the boards are laid."""
    assert deck(gap=Q(3, "mm")).drains.verdict == "fails"
    assert deck(laid_moisture=Q(26, "percent")).fingers.verdict == "fails"
    assert deck(cut="quarter-sawn").gap_wet > deck().gap_wet


def test_a_species_whose_movement_is_unknown_leaves_the_gap_checks_uncovered():
    """No gap is made up for it."""
    found = deck(timber="slash pine")

    assert np.isnan(found.gap_wet.m)
    assert found.drains.verdict == found.fingers.verdict == "not covered"


def test_a_narrow_edge_board_fails():
    """The widest edge board that comes out is held against the one wanted."""
    assert deck(least_edge=Q(120, "mm")).edge.verdict == "fails"


def test_mass_goes_with_thickness_and_length():
    """Twice as thick or as long is twice the mass."""
    base = deck().mass

    assert (deck(thickness=Q(56, "mm")).mass / base).m_as("") == pytest.approx(2)
    assert (deck(length=Q(6, "m")).mass / base).m_as("") == pytest.approx(2)


def test_inches_and_millimetres_give_the_same_deck():
    """The unit of an entry does not matter."""
    inches = {name: Q(value.m_as("in"), "in") for name, value in {
        "length": Q(3, "m"), "width": Q(2.2, "m"), "board_width": Q(145, "mm"), "gap": Q(6, "mm")}.items()}

    assert deck(**inches).mass.m_as("kg") == pytest.approx(deck().mass.m_as("kg"))
    assert deck(**inches).edge_width.m_as("mm") == pytest.approx(115.5)


def test_a_deck_of_less_than_two_boards_is_refused_in_one_sentence():
    """The sentence stands beside both inputs."""
    with pytest.raises(InputError) as caught:
        deck(width=Q(300, "mm"), board_width=Q(200, "mm"))

    sentence = "the deck must be at least two boards wide, such as 2200 mm for boards of 145 mm"
    assert caught.value.faults == {"board_width": sentence, "width": sentence}


def test_samples_of_a_deck_agree_one_by_one():
    """Counts follow each sample; the list of positions is that of the mean and is left out here."""
    def found(pick):
        made = deck(width=pick([2200, 2150, 2260, 2310], "mm"), board_width=pick([145, 144, 145.5, 146], "mm"),
                    laid_moisture=pick([15, 12, 18, 15], "percent"))
        return tuple(value for name, value in vars(made).items() if name not in ("lines", "notes", "section"))

    agrees_one_by_one(found, 4)


def test_joists_worked_by_hand():
    """(3000 - 120) / 7 = 411.43 mm centres, 45 less is clear, 2200 - 90 long, the first 1440 mm from the middle."""
    found = joists()

    assert found.spacing.m_as("mm") == pytest.approx(2880 / 7)
    assert found.clear.m_as("mm") == pytest.approx(2880 / 7 - 45)
    assert found.joist_length.m_as("mm") == pytest.approx(2110)
    assert [line.from_end.m_as("mm") for line in found.lines] == pytest.approx([60 + 2880 / 7 * n for n in range(8)])
    assert [found.lines[0].from_middle.m, found.lines[-1].from_middle.m] == pytest.approx([-1.44, 1.44])


def test_the_fewest_joists_are_worked_out_and_held_against_those_there_are():
    """2880 mm at 450 at most needs seven spaces, so eight joists; an exact 480 takes six, so seven."""
    assert joists(greatest=Q(450, "mm")).needed.m == 8
    assert joists(greatest=Q(480, "mm")).needed.m == 7
    assert joists(greatest=Q(450, "mm")).close_enough.verdict == "marginal"
    assert joists(greatest=Q(400, "mm")).close_enough.verdict == "fails"
    assert joists().close_enough.verdict == "does not apply"


def test_joists_that_do_not_fit_are_refused():
    """A hundred joists of 45 mm are thicker than their spacing."""
    with pytest.raises(InputError, match="the joists do not fit"):
        joists(joists=100)


def test_samples_of_joists_agree_one_by_one():
    """Positions are those of the mean and are left out."""
    def found(pick):
        made = joists(length=pick([3000, 3010, 2990], "mm"), inset=pick([60, 55, 62], "mm"), greatest=Q(450, "mm"))
        return made.spacing, made.clear, made.needed, made.joist_length, made.close_enough

    agrees_one_by_one(found, 3)
