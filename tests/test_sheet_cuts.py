"""Sheets: straight cuts, grain, saw cuts, bounds, and what is bought."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.handed import Piece, Purchase
from kit.quantities import Q
from kit.sheet_cuts import SheetOffer, sheet_cuts
from kit.sheet_layout import Rectangle, fewest_sheets, lay_out
from tests.one_by_one import agrees_one_by_one


def piece(length, width, count=1, *, turns=False, name="p", stock="ply"):
    """Rectangles of one size."""
    return Piece(name=name, stock=stock, length=Q(length, "mm"), width=Q(width, "mm"), count=count, turns=turns)


def sheet(length=2440, width=1220, edge=0.0, stock="ply"):
    """A sheet as it is sold."""
    return SheetOffer(
        name=f"{length} x {width}", stock=stock, length=Q(length, "mm"), width=Q(width, "mm"), edge=Q(edge, "mm")
    )


def laid(*pieces, offers=(), bought=(), kerf=3.0):
    """The layout."""
    return sheet_cuts(pieces=pieces, offers=offers or [sheet()], bought=bought, kerf=Q(kerf, "mm"))


def test_the_saw_cut_decides_how_many_fit():
    """Two of 610 mm fill 1220 mm only without a saw."""
    assert laid(piece(2440, 610, 2), kerf=0).sheets_needed == Q(1)
    assert laid(piece(2440, 610, 2), kerf=3).sheets_needed == Q(2)


def test_grain_holds_a_piece_the_way_it_lies():
    """1300 mm along the grain fit a sheet of 2440; across it they would not, and only a piece that may turn does."""
    narrow = [sheet(1000, 2000)]

    assert laid(piece(1300, 400), offers=narrow).fits.verdict == "fails"
    turned = laid(piece(1300, 400, turns=True), offers=narrow)
    assert turned.fits.verdict == "meets"
    assert (turned.sheets[0].pieces[0].along, turned.sheets[0].pieces[0].across) == (Q(400, "mm"), Q(1300, "mm"))


def test_a_knocked_edge_is_cut_off_all_round():
    """10 mm a side leave 2420 mm; the first piece begins 10 mm in."""
    found = laid(piece(2420, 600), offers=[sheet(edge=10)])

    assert (found.sheets[0].pieces[0].x, found.sheets[0].pieces[0].y) == (Q(10, "mm"), Q(10, "mm"))
    assert laid(piece(2421, 600), offers=[sheet(edge=10)]).fits.verdict == "fails"


def test_the_share_used_is_area_over_area():
    """Two of 1200 x 600 out of one sheet."""
    found = laid(piece(1200, 600, 2))

    assert found.used.m_as("") == pytest.approx(2 * 1200 * 600 / (2440 * 1220))
    assert found.area.m_as("m^2") == pytest.approx(1.44)


def test_a_layout_that_needs_no_more_than_its_area_is_proven():
    """Four quarters fill a sheet; eight lids take two where the area alone would do with one."""
    full, lids = laid(piece(1220, 610, 4), kerf=0), laid(piece(640, 550, 8))

    assert full.by_stock[0].proof == "proven: no layout takes fewer"
    assert lids.by_stock[0].proof == "not proven: by area alone it could be 1"
    assert (lids.by_stock[0].sheets, lids.by_stock[0].fewest) == (Q(2), Q(1))


def test_pieces_too_big_to_share_a_sheet_prove_their_number():
    """Three of 1300 x 700: by area two sheets would do, yet no two lie on one."""
    found = laid(piece(1300, 700, 3), offers=[sheet(2440, 1220)])

    assert fewest_sheets([Rectangle(1300, 700)] * 3, 2440, 1220, 3) == 3
    assert found.by_stock[0].proof == "proven: no layout takes fewer"


def test_the_buy_list_must_cover_the_sheets():
    """Two sheets for eight lids; one bought is one short."""

    def verdict(packs):
        buys = [Purchase(name="ply", needed=Q(packs), price=Q(60, "money"))]
        return laid(piece(640, 550, 8), bought=buys).covered.verdict

    assert [verdict(1), verdict(2)] == ["fails", "meets"]
    assert laid(piece(640, 550, 8)).covered.verdict == "does not apply"


def test_a_stock_without_a_sheet_is_open_and_sticks_are_left_alone():
    """What is missing is asked for; a piece without a width comes out of a stick."""
    stick = Piece(name="rail", stock="pine", length=Q(900, "mm"))

    assert laid(piece(640, 550, stock="oak ply")).fits.reason == (
        "no sheet of oak ply is known; enter one among those as they are sold"
    )
    assert laid(stick).fits.verdict == "does not apply"


def test_few_samples_are_laid_out_one_by_one():
    """Numbers and checks; the sheets themselves are those of the middle."""

    def one(pick):
        made = laid(Piece(name="lids", stock="ply", length=pick([640, 1300], "mm"), width=Q(550, "mm"), count=4))
        return (made.sheets_needed, made.used, made.area, made.fits)

    agrees_one_by_one(one, 2)


def overlap(one, other, kerf):
    """True where two pieces stand nearer than a saw cut."""
    apart_x = one.x + one.long + kerf <= other.x + 1e-6 or other.x + other.long + kerf <= one.x + 1e-6
    apart_y = one.y + one.wide + kerf <= other.y + 1e-6 or other.y + other.wide + kerf <= one.y + 1e-6
    return not (apart_x or apart_y)


def can_be_sawn(pieces, kerf):
    """True when some straight cut right through parts the pieces, and so on until each is alone."""
    if len(pieces) <= 1:
        return True
    for axis, size in (("x", "long"), ("y", "wide")):
        for edge in sorted({getattr(p, axis) + getattr(p, size) for p in pieces}):
            before = [p for p in pieces if getattr(p, axis) + getattr(p, size) <= edge + 1e-6]
            after = [p for p in pieces if getattr(p, axis) >= edge + kerf - 1e-6]
            if after and len(before) + len(after) == len(pieces):
                return can_be_sawn(before, kerf) and can_be_sawn(after, kerf)
    return False


@settings(max_examples=60, deadline=None)
@given(
    sizes=st.lists(st.tuples(st.integers(50, 1200), st.integers(50, 1000), st.booleans()), min_size=1, max_size=14),
    kerf=st.sampled_from([0.0, 3.0, 8.0]),
)
def test_every_layout_can_be_sawn_and_keeps_sheet_grain_and_bound(sizes, kerf):
    """Pieces lie inside, apart by the saw, along the grain, and straight cuts through part them all."""
    pieces = [Rectangle(float(a), float(b), turns) for a, b, turns in sizes]
    made = lay_out(pieces, 1220.0, 1010.0, kerf)

    assert sorted(one.piece for one in made.laid) == list(range(len(pieces)))
    assert made.sheets >= fewest_sheets(pieces, 1220.0, 1010.0, kerf)
    for one in made.laid:
        assert one.x + one.long <= 1220 + 1e-6 and one.y + one.wide <= 1010 + 1e-6
        assert pieces[one.piece].turns or (one.long, one.wide) == (pieces[one.piece].length, pieces[one.piece].width)
    for number in range(made.sheets):
        there = [one for one in made.laid if one.sheet == number]
        assert there
        assert not any(overlap(a, b, kerf) for n, a in enumerate(there) for b in there[:n])
        assert can_be_sawn(there, kerf)
