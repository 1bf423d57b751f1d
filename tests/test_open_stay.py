"""What holds a lid open; the line, metals and screws of its hinges; rain, the edge where two lids meet, the seal."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from kit.calculator import InputError, declared
from kit.hinge_line import Air, Metal, Wood, continuous_hinge, hinge_line, hinge_metals
from kit.lid_rain import meeting_edge, rain_off, rim_seal
from kit.lid_statics import held_lid
from kit.lids import strut_balance
from kit.open_stay import OpenStay, open_stay
from kit.quantities import Q
from tests.lid_cases import CASES, agrees_one_by_one

outside = pytest.mark.outside
LID = {name: value for name, value in CASES["locker"].items() if name in declared(open_stay).inputs}


def stay(**changed: Any) -> OpenStay:
    """What holds the demo's lid open, some inputs changed."""
    return open_stay(**({"kind": "prop"} | LID | changed))


@outside("open_stay", "the calculator for a lid at rest, held by a line between two points")
def test_a_prop_bears_what_a_lid_at_rest_needs() -> None:
    """Without wind, lean and struts the push is that of a lid held at rest between the same two points."""
    one = stay(wind=None, lean=None, fall=Q(0, "deg"), lid_end_above=Q(0, "mm"))
    rest = held_lid(
        weight=Q(8.6 * 9.80665, "N"),
        centre=Q(315, "mm"),
        angle=Q(80, "deg"),
        held_at=Q(400, "mm"),
        known="other end",
        foot_across=Q(400, "mm"),
        foot_up=Q(-20, "mm"),
    )
    assert one.push.m_as("N") == pytest.approx(rest.force.m_as("N"), rel=1e-9)
    assert one.length.m_as("mm") == pytest.approx(rest.length.m_as("mm"), rel=1e-9)


def test_wind_struts_and_lean_act_in_their_directions() -> None:
    """Wind adds to both moments, struts take from closing and add to throwing back, lean adds to closing."""
    plain = stay(wind=None, lean=None)
    windy = stay(lean=None)
    gust = strut_balance(**CASES["locker"]).wind_moment
    assert (windy.closing - plain.closing).m_as("N*m") == pytest.approx(gust.m_as("N*m"))
    assert stay(lean=Q(10, "deg")).closing > stay(lean=Q(0, "deg")).closing
    strutted = stay(strut_least=Q(2, "N*m"), strut_most=Q(20, "N*m"))
    assert (stay().closing - strutted.closing).m_as("N*m") == pytest.approx(2)
    assert strutted.opening_on > stay().opening_on


def test_a_chain_bears_only_a_pull_and_takes_what_arrives() -> None:
    """Its push is nothing; 2 J over 4 mm add 1000 N."""
    chain = {"kind": "chain or cord", "strut_most": Q(20, "N*m"), "give": Q(4, "mm")}
    quiet, landed = stay(**chain), stay(**chain, landing=Q(2, "J"))
    assert quiet.push.m_as("N") == 0
    assert (landed.pull - quiet.pull).m_as("N") == pytest.approx(1000)
    assert stay(landing=Q(2, "J"), give=Q(4, "mm")).arrival.m_as("N") == 0


def test_a_strut_is_never_the_stop() -> None:
    """Struts that push on where the lid is open need a chain or a stop; a prop is none."""
    for kind, verdict in (
        ("none", "fails"),
        ("prop", "fails"),
        ("chain or cord", "meets"),
        ("stop at the hinge", "meets"),
    ):
        assert stay(kind=kind, strut_most=Q(20, "N*m")).stopped.verdict == verdict
    assert stay(kind="none").stopped.verdict == "meets"
    assert stay(kind="none", opening=Q(100, "deg")).stopped.verdict == "fails"


def test_what_it_may_bear_is_asked_for() -> None:
    """Open without a strength, failing above it, not asked where nothing is fitted."""
    assert stay().holds.verdict == "open"
    assert stay(strength=Q(5, "N")).holds.verdict == "fails"
    assert stay(strength=Q(500, "N")).holds.verdict == "meets"
    assert stay(kind="none").holds.verdict == "does not apply"


def test_a_stay_that_points_at_the_pin_is_refused() -> None:
    """A prop whose line passes through the pin has no arm."""
    with pytest.raises(InputError, match="points at the pin"):
        stay(body_end_along=Q(0, "mm"), body_end_above=Q(0, "mm"))


# -- hinges ---------------------------------------------------------------------------------------------------------


def test_three_hinges_may_be_out_of_line_by_twice_their_play() -> None:
    """Pins of 0.2 mm play in three knuckles: a search over shift and tilt of the lid finds 0.4 mm, no more."""

    def swings(offset: float) -> bool:
        shift, tilt = np.meshgrid(np.linspace(-0.5, 0.5, 201), np.linspace(-0.5, 0.5, 51))
        holes = ((-1, 0.0), (0, offset), (1, 0.0))
        return bool(np.any(np.all([abs(shift + tilt * at - hole) <= 0.2 + 1e-9 for at, hole in holes], axis=0)))

    allowed = hinge_line(hinges=3, spacing=Q(400, "mm"), width=Q(550, "mm"), swells=Q(0, "mm"), play=Q(0.2, "mm"))
    assert allowed.line_allowed.m_as("mm") == pytest.approx(0.4)
    assert swings(0.4) and not swings(0.41)


def test_straightness_is_asked_of_three_hinges_only() -> None:
    """Two always line up, three are open until measured, then held against twice the play."""

    def verdict(hinges: int, out: Any) -> str:
        line = hinge_line(hinges=hinges, spacing=Q(400, "mm"), width=Q(550, "mm"), swells=Q(0, "mm"), out_of_line=out)
        return line.straight.verdict

    assert [verdict(2, None), verdict(3, None), verdict(3, Q(0.3, "mm")), verdict(3, Q(0.5, "mm"))] == [
        "does not apply",
        "open",
        "meets",
        "fails",
    ]


def test_slots_take_the_larger_movement_less_what_wood_gives() -> None:
    """5.5 mm on 550 mm are 4 mm between hinges 400 mm apart; 1 mm is given; order of wet and dry does not matter."""
    one = hinge_line(spacing=Q(400, "mm"), width=Q(550, "mm"), swells=Q(5.5, "mm"), shrinks=Q(-2.75, "mm"))
    other = hinge_line(spacing=Q(400, "mm"), width=Q(550, "mm"), swells=Q(-2.75, "mm"), shrinks=Q(5.5, "mm"))
    assert (one.grows.m_as("mm"), one.shrinks_by.m_as("mm"), one.slot.m_as("mm")) == pytest.approx((4, 2, 3))
    assert (other.grows.m_as("mm"), other.slot.m_as("mm")) == pytest.approx((4, 3))


@pytest.mark.parametrize(
    ("leaf", "screws", "wood", "air", "failing"),
    [
        ("stainless steel", "stainless steel", "oak, chestnut, cedar, Douglas fir", "salt", set()),
        ("brass", "zinc-coated steel", "other", "fresh water", {"pairing", "screws_nobler"}),
        (
            "zinc-coated steel",
            "stainless steel",
            "oak, chestnut, cedar, Douglas fir",
            "fresh water",
            {"pairing", "bears_wood"},
        ),
        ("brass", "stainless steel", "other", "salt", {"screws_nobler"}),
        ("aluminium", "aluminium", "treated with copper", "under cover", {"bears_wood"}),
    ],
)
def test_metals_that_do_not_bear_each_other_are_named(
    leaf: Metal, screws: Metal, wood: Wood, air: Air, failing: set[str]
) -> None:
    """Each pair fails by what a carpenter would expect, and by nothing else."""
    made = hinge_metals(leaf=leaf, screws=screws, wood=wood, air=air)
    assert {
        name for name in ("pairing", "screws_nobler", "bears_wood") if getattr(made, name).verdict == "fails"
    } == failing


@outside("continuous_hinge", "numpy.linalg.lstsq: forces of least squares that balance a couple")
def test_the_couple_goes_to_the_end_screws_as_least_squares_has_it() -> None:
    """Forces on nine screws that balance 40 N m with the least sum of squares: the end one as the formula says."""
    hinge = continuous_hinge(
        fitted="continuous hinge",
        pull=Q(190, "N"),
        racking=Q(40, "N*m"),
        screw_withdrawal=Q(331, "N"),
        screw_shear=Q(301, "N"),
    )
    places = np.linspace(-0.24, 0.24, int(hinge.screws.magnitude))
    forces = np.linalg.lstsq(np.stack([np.ones_like(places), places]), np.array([0.0, 40.0]), rcond=None)[0]
    assert hinge.end_screw.m_as("N") == pytest.approx(float(abs(forces[-1])), rel=1e-9)


def test_the_share_used_is_the_worst_over_all_directions() -> None:
    """Turning the pull through a circle, pull with its prying and shear added, never gives more, and reaches it."""
    hinge = continuous_hinge(
        fitted="continuous hinge", pull=Q(500, "N"), screw_withdrawal=Q(331, "N"), screw_shear=Q(301, "N")
    )
    turn = np.linspace(0, np.pi / 2, 2001)
    each = 500 / hinge.screws.magnitude
    shares = each * np.cos(turn) * (1 + 14 / 8) / 331 + each * np.sin(turn) / 301
    assert hinge.used.magnitude == pytest.approx(shares.max(), rel=1e-6)


def test_separate_hinges_ask_nothing_of_a_continuous_one() -> None:
    """Both its checks do not apply and its results are absent."""
    hinge = continuous_hinge(pull=Q(190, "N"), screw_withdrawal=Q(331, "N"), screw_shear=Q(301, "N"))
    assert hinge.screws_hold.verdict == "does not apply" and np.isnan(hinge.used.magnitude)


# -- rain -----------------------------------------------------------------------------------------------------------


def test_rain_runs_to_the_low_edge_while_any_fall_is_left() -> None:
    """Two degrees against a list of one shed, against a list of two they do not; 35 mm in a metre is two degrees."""
    size = {"depth": Q(640, "mm"), "width": Q(550, "mm"), "overhang": Q(20, "mm")}
    level = rain_off(fall=Q(2, "deg"), **size)
    assert level.per_metre.m_as("mm/m") == pytest.approx(34.92, abs=0.005)
    assert "front" in level.goes and "hinge" in rain_off(fall=Q(-2, "deg"), **size).goes
    assert rain_off(fall=Q(2, "deg"), list_against=Q(1, "deg"), **size).sheds.verdict == "meets"
    listing = rain_off(fall=Q(2, "deg"), list_against=Q(2, "deg"), **size)
    assert listing.sheds.verdict == "fails" and "stands" in listing.goes


def test_a_cloudburst_leaves_as_it_came() -> None:
    """100 mm an hour on 0.352 m2 are 35.2 L an hour."""
    lid = rain_off(fall=Q(2, "deg"), depth=Q(640, "mm"), width=Q(550, "mm"), overhang=Q(20, "mm"))
    assert lid.runs_off.m_as("L/hour") == pytest.approx(35.2)


def test_a_drip_groove_is_deep_and_away_from_the_edge() -> None:
    """A scratch fails, a groove at the very edge fails, a bevel is asked nothing."""

    def made(**groove: Any) -> Any:
        return rain_off(fall=Q(2, "deg"), depth=Q(640, "mm"), width=Q(550, "mm"), overhang=Q(20, "mm"), **groove)

    assert made(groove=Q(1, "mm")).drips.verdict == "fails"
    assert made(groove=Q(4, "mm"), groove_from_edge=Q(3, "mm")).groove_in.verdict == "fails"
    assert made().drips.verdict == "does not apply"


def edge(**changed: Any) -> Any:
    """Two pieces of 550 and 400 mm that meet, some inputs changed."""
    given = {
        "swells": Q(5.5, "mm"),
        "shrinks": Q(-2.2, "mm"),
        "width": Q(550, "mm"),
        "neighbour": Q(400, "mm"),
        "gap": Q(6, "mm"),
        "lap": Q(25, "mm"),
    }
    return meeting_edge(**(given | changed))


def test_the_gap_closes_by_half_of_both_and_the_play() -> None:
    """1 % of half of 950 mm and a millimetre: 5.75 mm; held at the far edge 10.5 mm; dry the other way."""
    assert edge().moves_in.m_as("mm") == pytest.approx(0.01 * 475 + 1)
    assert edge(held="at its far edge").moves_in.m_as("mm") == pytest.approx(0.01 * 950 + 1)
    assert edge().moves_out.m_as("mm") == pytest.approx(0.004 * 475 + 1)
    assert edge().gap_needed.m_as("mm") == pytest.approx(6.75)
    assert edge().never_jams.verdict == "fails" and edge(gap=Q(7, "mm")).never_jams.verdict == "meets"


def test_wood_hung_dry_never_opens_the_gap_by_shrinking() -> None:
    """When both seasons are wetter than the workshop only the play opens it."""
    assert edge(shrinks=Q(1, "mm")).moves_out.m_as("mm") == pytest.approx(1)


def test_a_seal_lives_between_crushed_and_loose() -> None:
    """10 mm of seal in a gap of 0.25 to 8.9 mm is crushed and loose; a wider gap with a thicker seal is neither."""
    bad = edge(seal=Q(10, "mm"))
    assert bad.squeezed_wet.m_as("percent") == pytest.approx(97.5)
    assert bad.squeezed_dry.m_as("percent") == pytest.approx(11)
    assert (bad.seal_lives.verdict, bad.seal_seals.verdict) == ("fails", "fails")
    good = edge(gap=Q(16, "mm"), seal=Q(23, "mm"), lap=Q(40, "mm"))
    assert good.seal_lives.passes and good.seal_seals.passes


@outside("rim_seal", "numpy.trapezoid of the seal's force along front and sides")
def test_the_seals_moment_is_its_force_summed_round_the_rim() -> None:
    """Force x distance from the pin summed along the front and both sides, to a thousandth."""
    seal = rim_seal(depth=Q(640, "mm"), width=Q(550, "mm"), line_force=Q(30, "N/m"), shut=Q(15, "N*m"))
    down = np.linspace(0, 0.64, 1001)
    summed = 30 * 0.55 * 0.64 + 2 * np.trapezoid(30 * down, down)
    assert seal.moment.m_as("N*m") == pytest.approx(float(summed), rel=1e-3)
    assert seal.latch.m_as("N") == pytest.approx((float(summed) - 15) / 0.64, rel=1e-3)


def test_a_latch_makes_up_what_the_lid_does_not_give() -> None:
    """Without a latch it fails, with what is named it meets, unknown it is open."""
    size = {"depth": Q(640, "mm"), "width": Q(550, "mm"), "shut": Q(15, "N*m")}
    first = rim_seal(**size, line_force=Q(30, "N/m"))
    assert first.seal_shuts.verdict == "fails"
    assert rim_seal(**size, line_force=Q(30, "N/m"), latch_pull=first.latch * 1.001).seal_shuts.passes
    assert rim_seal(**size).seal_shuts.verdict == "open"


def test_samples_equal_single_calls() -> None:
    """Arrays give what each sample gives alone."""
    agrees_one_by_one(open_stay, {"kind": "prop", **LID})
    agrees_one_by_one(
        meeting_edge,
        {
            "swells": Q(5.5, "mm"),
            "shrinks": Q(-2.2, "mm"),
            "width": Q(550, "mm"),
            "gap": Q(6, "mm"),
            "lap": Q(25, "mm"),
            "seal": Q(10, "mm"),
        },
    )
