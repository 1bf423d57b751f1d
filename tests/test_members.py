"""Mass and stock of a frame's members."""

from __future__ import annotations

import pytest

from kit.members import Member, Sold, members
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

FRAME = (("joists", 8, 2110), ("rims", 2, 3000), ("noggings", 7, 366))


def piece(name="joists", count=8, length=2110, depth=None, stock="frame timber", timber="Douglas-fir (coast)"):
    """Pieces of 45 x 120 mm."""
    deep = Q(120, "mm") if depth is None else depth
    return Member(name=name, timber=timber, pieces=count, thickness=Q(45, "mm"), depth=deep,
                  length=Q(length, "mm"), stock=stock, x=Q(0, "m"), y=Q(0, "m"), z=Q(0.06, "m"))


def frame(*pieces, **changed):
    """At 12 % fitted and 28 % wet."""
    given = {"pieces": pieces or [piece(*row) for row in FRAME], "fitting_moisture": Q(12, "percent"),
             "wet_moisture": Q(28, "percent")}
    return members(**given | changed)


def test_members_worked_by_hand():
    """Volume times 1120 x 0.48 kg/m3: 49.0, 17.4 and 7.4 kg."""
    found = frame()

    assert [round(one.mass.m_as("kg"), 1) for one in found.by_row] == [49.0, 17.4, 7.4]
    assert found.mass.m_as("kg") == pytest.approx(sum(one.mass.m_as("kg") for one in found.by_row))
    assert (found.wet_mass / found.mass).m_as("") == pytest.approx(1.28 / 1.12)
    assert found.volume.m_as("m^3") == pytest.approx(0.045 * 0.12 * (8 * 2.11 + 2 * 3 + 7 * 0.366))


def test_the_stock_to_buy_is_the_length_of_all_pieces_and_its_waste():
    """25.442 m and a tenth."""
    stock, = frame().stocks

    assert stock.metres.m_as("m") == pytest.approx((8 * 2.11 + 2 * 3 + 7 * 0.366) * 1.1)
    assert (stock.name, stock.section, stock.pieces.m) == ("frame timber", "45 x 120 mm Douglas-fir (coast)", 17)


def test_a_stock_is_sold_as_its_offer_says():
    """By the piece with a price, or by the metre without one."""
    offered, = frame(sold=[Sold(name="frame timber", length=Q(4.8, "m"), price=Q(26.5, "money"))]).stocks
    plain, = frame().stocks

    assert (offered.sold_length.m_as("m"), offered.price.m) == (4.8, 26.5)
    assert (plain.sold_length.m_as("m"), plain.price.m) == (1, 0)


def test_two_sections_of_one_stock_are_bought_apart_and_said_so():
    """The second is called after the first member cut from it, never after a size."""
    found = frame(piece(), piece("posts", 4, 900, depth=Q(45, "mm")))

    assert [stock.name for stock in found.stocks] == ["frame timber", "frame timber, posts"]
    assert "'frame timber, posts' has a section of its own and is bought apart" in found.notes


def test_an_offer_that_nothing_is_cut_from_is_said():
    """A price with a misspelt stock would otherwise be lost without a word."""
    found = frame(sold=[Sold(name="frame timbre", length=Q(4.8, "m"), price=Q(26.5, "money"))])

    assert "no member is cut from 'frame timbre', which has a price" in found.notes


def test_samples_of_members_agree_one_by_one():
    """Cells of rows too."""
    agrees_one_by_one(lambda pick: frame(
        piece(depth=pick([120, 118, 121], "mm")), piece("rims", 2, 3000, stock="rims"),
        fitting_moisture=pick([12, 15, 10], "percent")).by_row, 3)
