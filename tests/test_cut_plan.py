"""The cut plan: saw cuts, lengths on sale, offcuts, what is bought, and never worse than the simple rule."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.calculator import InputError
from kit.cut_plan import StickOffer, cut_plan
from kit.handed import Piece, Purchase
from kit.quantities import Q
from kit.stick_cuts import StickSize, cut_sticks, first_fit_decreasing
from tests.one_by_one import agrees_one_by_one


def pieces(*wanted, stock="oak"):
    """Pieces of one stock, (length in mm, count) each."""
    return [
        Piece(name=f"p{n}", stock=stock, length=Q(length, "mm"), count=count)
        for n, (length, count) in enumerate(wanted)
    ]


def offer(length, price=0.0, end=0.0, stock="oak"):
    """A length on offer."""
    return StickOffer(
        name=f"{length}", stock=stock, length=Q(length, "mm"), price=Q(price, "money"), end_cut=Q(end, "mm")
    )


def buys(metres, pack, price=10.0, name="oak"):
    """A line of the buy list."""
    return Purchase(name=name, needed=Q(metres, "m"), pack=Q(pack, "m"), price=Q(price, "money"))


def test_a_piece_flush_with_the_end_needs_no_cut():
    """Two pieces of 998.5 mm and one saw cut of 3 mm are 2000 mm."""
    assert cut_plan(pieces=pieces((998.5, 2)), offers=[offer(2000)]).sticks_needed == Q(1)
    assert cut_plan(pieces=pieces((998.6, 2)), offers=[offer(2000)]).sticks_needed == Q(2)


def test_a_wider_saw_cut_takes_more_sticks():
    """Four pieces of 500 mm fill 2 m only without a saw."""
    sticks = [cut_plan(pieces=pieces((500, 4)), offers=[offer(2000)], kerf=Q(k, "mm")).sticks_needed for k in (0, 3)]

    assert sticks == [Q(1), Q(2)]


def test_end_cuts_are_taken_off_both_ends():
    """A stick of 2 m less 10 mm at each end holds 1980 mm and no more; the first piece begins at 10 mm."""
    plan = cut_plan(pieces=pieces((1980, 1)), offers=[offer(2000, end=10)])

    assert plan.sticks_needed == Q(1)
    assert plan.sticks[0].cuts[0].start == Q(10, "mm")
    assert cut_plan(pieces=pieces((1981, 1)), offers=[offer(2000, end=10)]).fits.verdict == "fails"


def test_pieces_lie_one_saw_cut_apart_longest_first():
    """Running from the end of the stick: 0 to 900, 903 to 1403."""
    (stick,) = cut_plan(pieces=pieces((500, 1), (900, 1)), offers=[offer(2000)]).sticks

    assert [(cut.name, cut.start.magnitude, cut.end.magnitude) for cut in stick.cuts] == [
        ("p1", 0, 900),
        ("p0", 903, 1403),
    ]
    assert stick.offcut == Q(2000 - 1406, "mm")


def test_an_offcut_is_kept_from_the_length_that_the_reader_sets():
    """594 mm are worth keeping at 400 and waste at 600, and the sums follow."""
    kept, thrown = (
        cut_plan(pieces=pieces((500, 1), (900, 1)), offers=[offer(2000)], keep=Q(k, "mm")) for k in (400, 600)
    )

    assert (kept.sticks[0].fate, thrown.sticks[0].fate) == ("keep", "waste")
    assert kept.usable_offcuts.m_as("mm") == pytest.approx(594)
    assert kept.wasted.m_as("mm") == pytest.approx(6)
    assert thrown.wasted.m_as("mm") == pytest.approx(600)


def test_every_millimetre_of_a_stick_is_accounted_for():
    """Pieces, offcuts and waste together are what is bought."""
    plan = cut_plan(pieces=pieces((690, 14), (550, 4)), offers=[offer(2800, 34)])
    bought = plan.sticks_needed * Q(2800, "mm")
    inside = Q(690 * 14 + 550 * 4, "mm")

    assert (inside + plan.usable_offcuts + plan.wasted).m_as("mm") == pytest.approx(bought.m_as("mm"))
    assert plan.used.m_as("percent") == pytest.approx((inside / bought).m_as("percent"))


def test_the_cheaper_length_is_taken_and_without_prices_the_least_length():
    """One of 3 m for 10 against one of 2 m for 11; without prices 2 m are less."""
    for prices, taken in (((11, 10), 3000), ((0, 0), 2000), ((11, 0), 2000)):
        plan = cut_plan(pieces=pieces((1500, 1)), offers=[offer(2000, prices[0]), offer(3000, prices[1])])

        assert plan.sticks[0].length == Q(taken, "mm")


def test_a_price_that_is_missing_is_said():
    """Prices count only when every length has one."""
    plan = cut_plan(pieces=pieces((1500, 1)), offers=[offer(2000, 11), offer(3000)])

    assert plan.notes == ("oak: not every length has a price, so the least length is sought",)


def test_the_buy_list_must_cover_the_plan():
    """Five pieces of 690 mm take two boards of 2.8 m: one bought is short of one, two are enough."""
    short, enough = (cut_plan(pieces=pieces((690, 5)), bought=[buys(m, 2.8)]) for m in (2.8, 5.6))

    assert (short.covered.verdict, enough.covered.verdict) == ("fails", "meets")
    assert short.covered.value == Q(1)
    assert short.covered.reason == "sticks that the buy list lacks: oak"
    assert (short.by_stock[0].bought, short.by_stock[0].needed) == (Q(1), Q(2))


def test_a_piece_that_only_an_offer_holds_is_not_covered_by_the_buy_list():
    """3 m out of boards of 2.8 m cannot be, whatever their number."""
    plan = cut_plan(pieces=pieces((3000, 1)), bought=[buys(10, 2.8)], offers=[offer(3600, 12)])

    assert plan.fits.verdict == "meets"
    assert plan.covered.verdict == "fails"


def test_an_offer_says_what_it_would_save():
    """Two of 3 m in one of 6 m for 15, against two boards for 10 each."""
    plan = cut_plan(pieces=pieces((2900, 2)), bought=[buys(6, 3)], offers=[offer(6000, 15)])

    assert plan.saved == Q(5, "money")
    assert plan.price == Q(15, "money")
    assert plan.covered.verdict == "meets"


def test_a_stage_finds_its_own_stock_first():
    """Two stages may sell 'boards' in two lengths."""
    two = [Piece(name=f"{stage}: p", stock="boards", length=Q(900, "mm"), count=2) for stage in ("frame", "panels")]
    plan = cut_plan(pieces=two, bought=[buys(2, 2, name="frame: boards"), buys(1, 1, name="panels: boards")])

    assert [(s.name, s.sticks.magnitude, s.bought.magnitude) for s in plan.by_stock] == [
        ("boards", 1, 1),
        ("boards", 2, 1),
    ]
    assert plan.covered.value == Q(1)


def test_a_stock_that_nobody_sells_leaves_the_check_open():
    """Its length is asked for."""
    plan = cut_plan(pieces=pieces((900, 2)))

    assert plan.covered.verdict == "open"
    assert plan.covered.reason == "no length is known in which oak is sold; enter one among those on offer"


def test_pieces_with_a_width_and_an_empty_list_cut_nothing():
    """They come out of sheets, and both checks say that they do not apply."""
    wide = Piece(name="side", stock="ply", length=Q(900, "mm"), width=Q(400, "mm"))
    for none in ([wide], []):
        plan = cut_plan(pieces=none)

        assert plan.sticks_needed == Q(0)
        assert {plan.covered.verdict, plan.fits.verdict} == {"does not apply"}


def test_a_negative_saw_cut_is_refused_in_one_sentence():
    """The input, what was given, what is allowed and an example."""
    with pytest.raises(InputError) as refused:
        cut_plan(pieces=pieces((900, 2)), kerf=Q(-1, "mm"))

    assert str(refused.value) == (
        "cut_plan: 1 to mend\nkerf (width of a saw cut): -1 mm is outside 0 to 20 mm, such as 3 mm"
    )


def test_few_samples_are_planned_one_by_one():
    """Every number and check; the sticks themselves are those of the middle."""

    def one(pick):
        made = cut_plan(
            pieces=pieces((690, 14)),
            bought=[buys(13.6, 2.8)],
            kerf=pick([1, 9, 16], "mm"),
            keep=pick([300, 900, 50], "mm"),
        )
        return (made.sticks_needed, made.used, made.wasted, made.usable_offcuts, made.price, made.covered, made.fits)

    agrees_one_by_one(one, 3)


def test_the_unit_of_an_input_does_not_matter():
    """3 mm are 0.118 in."""
    mine, theirs = (
        cut_plan(pieces=pieces((690, 14)), offers=[offer(2800)], kerf=k) for k in (Q(3, "mm"), Q(3 / 25.4, "in"))
    )

    assert theirs.wasted.m_as("mm") == pytest.approx(mine.wasted.m_as("mm"), rel=1e-12)


@settings(max_examples=80, deadline=None)
@given(
    wanted=st.dictionaries(st.integers(150, 2600), st.integers(1, 6), min_size=1, max_size=10),
    kerf=st.sampled_from([0.0, 3.0, 6.4]),
    extra=st.lists(st.tuples(st.integers(2600, 6000), st.integers(10, 40)), max_size=2),
)
def test_a_plan_cuts_every_piece_fits_every_stick_and_is_never_worse_than_first_fit(wanted, kerf, extra):
    """Whatever the pieces: the simple rule at the bench never costs less, and the bound lies below the cost."""
    lengths, counts = [float(length) for length in wanted], list(wanted.values())
    sizes = [StickSize(4800.0, 26.0), *(StickSize(float(length), float(price)) for length, price in extra)]
    made = cut_sticks(lengths, counts, sizes, kerf, most_patterns=60, most_nodes=5)
    simple = first_fit_decreasing(lengths, counts, 4800.0, kerf)

    assert [sum(p[n] for _, p in made.sticks) for n in range(len(lengths))] == counts
    for size, pattern in made.sticks:
        assert (
            sum(n * (length + kerf) for n, length in zip(pattern, lengths, strict=True))
            <= sizes[size].usable + kerf + 1e-6
        )
    assert made.cost == pytest.approx(sum(sizes[size].cost for size, _ in made.sticks))
    assert made.cost <= 26.0 * len(simple) + 1e-9
    assert made.bound <= made.cost * (1 + 1e-12)
