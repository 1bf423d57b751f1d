"""Rope, chain, shackles, cleats and anchors: every term moved, every verdict reached."""

from __future__ import annotations

from typing import Any

import pytest

from kit.anchors import ProvedAnchor, dead_weight, pull_test
from kit.calculator import InputError
from kit.cleats import cleat_fixing
from kit.mooring_gear import gear_strength, rope_strength
from kit.pull_down import pull_down
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one

# -- rope --------------------------------------------------------------------------------------------


def rope(**changed: Any) -> Any:
    """12 mm nylon with a label."""
    return rope_strength(**{"fibre": "nylon", "diameter": Q(12, "mm"), "breaking": Q(27, "kN"), **changed})


def test_shares_and_factor_are_taken_off_once():
    """27 kN times 0.85 times 0.5 over 3."""
    assert rope().kept.m_as("kN") == pytest.approx(27 * 0.85 * 0.5)
    assert rope().working.m_as("kN") == pytest.approx(27 * 0.85 * 0.5 / 3)
    assert rope(factor=Q(5)).working.m_as("kN") == pytest.approx(27 * 0.85 * 0.5 / 5)


@pytest.mark.parametrize(("fibre", "times"), [("nylon", 2.5), ("polyester", 2), ("polypropylene", 1.4), ("manila", 1)])
def test_fibres_by_the_rule(fibre: Any, times: float):
    """Each by its factor; with the square of the diameter."""
    made, wide = rope(fibre=fibre, breaking=None), rope(fibre=fibre, breaking=None, diameter=Q(24, "mm"))

    assert (made.rule_breaking / rope(fibre="manila", breaking=None).rule_breaking).m == pytest.approx(times)
    assert (wide.rule_breaking / made.rule_breaking).m == pytest.approx(4)
    assert made.new_breaking == made.rule_breaking


def test_a_label_far_above_the_rule_is_doubted():
    """40 kN on 12 mm nylon."""
    assert rope().label_near_rule.verdict == "meets"
    assert rope(breaking=Q(40, "kN")).label_near_rule.verdict == "fails"
    assert rope(breaking=None).label_near_rule.verdict == "does not apply"


# -- gear --------------------------------------------------------------------------------------------


def gear(**changed: Any) -> Any:
    """The gear of one leg."""
    given = {
        "tension": Q(1.08, "kN"),
        "lost_pull": Q(2300, "N"),
        "slope": Q(12, "deg"),
        "breaking": Q(27, "kN"),
        "kept": Q(11.475, "kN"),
        "chain_breaking": Q(32, "kN"),
        "shackle_limit": Q(7.3, "kN"),
    }
    return gear_strength(**{**given, **changed})


def test_the_rope_needed_goes_with_load_and_factor():
    """And against the share that is kept."""
    assert gear(tension=Q(2.16, "kN")).need.m == pytest.approx(2 * gear().need.m)
    assert gear(factor=Q(6)).need.m == pytest.approx(2 * gear().need.m)
    assert gear(kept=Q(22.95, "kN")).need.m == pytest.approx(gear().need.m / 2)


def test_the_size_of_rope_follows_from_the_greater_need():
    """A rope of that size by the rule has just that strength; a lost leg or a weaker fibre asks for more."""
    size = gear(lost_pull=Q(0, "N")).size_needed

    assert rope(diameter=size, breaking=None).rule_breaking.m_as("kN") == pytest.approx(gear().need.m_as("kN"))
    assert gear(lost_pull=Q(9000, "N")).size_needed > size
    assert gear(lost_pull=Q(0, "N"), fibre="manila").size_needed.m_as("mm") == pytest.approx(size.m_as("mm") * 2.5**0.5)


@pytest.mark.parametrize(
    ("changed", "check"),
    [
        ({"tension": Q(4, "kN")}, "line"),
        ({"lost_pull": Q(10_000, "N")}, "line_lost"),
        ({"chain_breaking": Q(6, "kN")}, "chain"),
        ({"shackle_limit": Q(2, "kN")}, "shackle"),
    ],
)
def test_each_piece_can_fail(changed: Any, check: str):
    """It meets as it is and fails when that piece is too weak."""
    assert getattr(gear(), check).passes
    assert getattr(gear(**changed), check).verdict == "fails"


def test_the_weakest_piece_is_named():
    """The knot; or the chain when that is weaker."""
    assert gear().weakest == "the rope at its knot"
    assert gear(chain_breaking=Q(8, "kN")).weakest == "the chain"
    assert gear(chain_breaking=Q(8, "kN")).least.m_as("kN") == pytest.approx(8)


# -- cleats ------------------------------------------------------------------------------------------


def cleat(**changed: Any) -> Any:
    """Four M8 bolts through 68 mm."""
    given = {
        "rules": "European",
        "tension": Q(1.08, "kN"),
        "slope": Q(12, "deg"),
        "limit": Q(5, "kN"),
        "bolts": 4,
        "diameter": Q(8, "mm"),
        "tensile": Q(500, "MPa"),
        "washer": Q(30, "mm"),
        "timber": Q(68, "mm"),
        "spacing": Q(60, "mm"),
        "height": Q(40, "mm"),
        "density": Q(350, "kg/m^3"),
    }
    return cleat_fixing(**{**given, **changed})


def test_bolts_share_what_runs_along_the_deck():
    """1.5 times the pull, level part, over four."""
    assert cleat(slope=Q(0, "deg")).along_deck.m_as("N") == pytest.approx(1.5 * 1080 / 4)
    assert cleat(bolts=8).along_deck.m == pytest.approx(cleat().along_deck.m / 2)


def test_a_tall_cleat_pries():
    """Twice the height, twice the prying; twice the spacing, half; with a level rope there is nothing else."""
    level = cleat(slope=Q(0, "deg"))

    assert level.out_of_deck.m_as("N") == pytest.approx(1.5 * 1080 * 40 / 60 / 2)
    assert cleat(slope=Q(0, "deg"), height=Q(80, "mm")).out_of_deck.m == pytest.approx(2 * level.out_of_deck.m)
    assert cleat(slope=Q(0, "deg"), spacing=Q(120, "mm")).out_of_deck.m == pytest.approx(level.out_of_deck.m / 2)
    assert cleat().out_of_deck > level.out_of_deck * 0.97


def test_a_leg_lost_counts_when_it_is_more():
    """2300 N against 1.5 times 1080 N."""
    assert cleat(lost_pull=Q(2300, "N"), slope=Q(0, "deg")).design_pull.m_as("N") == pytest.approx(2300)
    assert cleat(lost_pull=Q(100, "N")).design_pull.m_as("N") == pytest.approx(1620)


def test_washers_press_with_their_area():
    """A wider one carries more; less the hole."""
    assert (cleat(washer=Q(60, "mm")).washer_holds / cleat().washer_holds).m == pytest.approx((3600 - 81) / (900 - 81))


@pytest.mark.parametrize(
    ("changed", "check"),
    [
        ({"bolts": 1, "tension": Q(3, "kN")}, "holds_sideways"),
        ({"washer": Q(12, "mm")}, "holds_out"),
        ({"limit": Q(0.5, "kN")}, "cleat_holds"),
    ],
)
def test_each_check_of_a_cleat_turns(changed: Any, check: str):
    """Meets as it is."""
    assert getattr(cleat(), check).passes
    assert getattr(cleat(**changed), check).verdict == "fails"


def test_other_codes_are_not_covered():
    """Only the European expressions are worked out."""
    assert cleat(rules="North American").holds_sideways.verdict == "not covered"


def test_a_washer_smaller_than_its_hole_is_refused():
    """Washer and bolt are named."""
    with pytest.raises(InputError) as refused:
        cleat(washer=Q(9, "mm"))

    assert set(refused.value.faults) == {"washer", "diameter"}


# -- anchors -----------------------------------------------------------------------------------------


def test(proven: Any = (3.4, 3.4), **changed: Any) -> Any:
    """Anchors by what each was seen to hold, in kN."""
    anchors = [ProvedAnchor(name=f"anchor {n}", proven=None if p is None else Q(p, "kN")) for n, p in enumerate(proven)]
    return pull_test(
        **{"kind": "ground screws or stakes", "anchors": anchors, "anchor_pull": Q(1.057, "kN"), **changed}
    )


test.__test__ = False  # type: ignore[attr-defined]


def test_the_least_anchor_counts():
    """The weakest is named, and decides."""
    found = test((3.4, 3.0, 5.0))

    assert found.least.m_as("kN") == pytest.approx(3.0)
    assert found.weakest == "anchor 1"
    assert found.holds.verdict == "fails"
    assert test().holds.verdict == "marginal"


def test_an_anchor_that_was_not_pulled_leaves_it_open():
    """It is named; nothing looks like a pass."""
    found = test((3.4, None))

    assert found.holds.verdict == "open"
    assert found.holds.reason == "not pulled yet: anchor 1"
    assert found.holds_lost.verdict == "open"


def test_a_lost_leg_asks_with_its_own_factor():
    """2300 N times 1.25 level; more on a slope."""
    assert test(lost_pull=Q(2300, "N")).lost_needed.m_as("kN") == pytest.approx(2.875)
    assert test(lost_pull=Q(2300, "N"), anchor_angle=Q(60, "deg")).lost_needed.m_as("kN") == pytest.approx(5.75)
    assert test(lost_pull=Q(4000, "N")).holds_lost.verdict == "fails"


def test_a_steep_pull_is_remarked_on():
    """Above 25 degrees."""
    assert any("steeply" in note for note in test(anchor_angle=Q(30, "deg")).notes)
    assert test(anchor_angle=Q(20, "deg")).notes == ()


def test_dead_weights_are_not_pull_tested():
    """The pull test does not apply to them, nor the weight to others."""
    assert test(kind="dead weights").holds.verdict == "does not apply"
    assert block(kind="anchors that dig in").slide.verdict == "does not apply"


def block(**changed: Any) -> Any:
    """200 kg of concrete."""
    given = {"kind": "dead weights", "mass": Q(200, "kg"), "pull": Q(200, "N"), "density": Q(1000, "kg/m^3")}
    return dead_weight(**{**given, **changed})


def test_a_block_loses_the_weight_of_the_water():
    """Concrete keeps 58.3 %, iron more."""
    assert block().share_kept.m_as("percent") == pytest.approx(58.333, abs=1e-3)
    assert block(block=Q(7200, "kg/m^3")).share_kept.m_as("percent") == pytest.approx(86.11, abs=0.01)


def test_uplift_costs_hold_twice():
    """It lightens the block, and the block slides sooner."""
    assert block(uplift=Q(40, "N")).holding < block().holding
    assert block(uplift=Q(2000, "N")).lifts.verdict == "fails"
    assert block().lifts.verdict == "meets"


def test_the_mass_needed_holds():
    """A block of the mass needed is just enough."""
    needed = block(uplift=Q(40, "N")).needed_mass

    assert block(mass=needed, uplift=Q(40, "N")).slide.share == pytest.approx(1)
    assert block(pull=Q(400, "N")).slide.verdict == "fails"


def test_a_block_that_floats_is_refused():
    """Its density is named."""
    with pytest.raises(InputError) as refused:
        block(block=Q(1200, "kg/m^3"), density=Q(1100, "kg/m^3"), mass=Q(-1, "kg"))

    assert "mass" in refused.value.faults


# -- all ---------------------------------------------------------------------------------------------


def test_samples_of_gear_cleats_and_anchors():
    """Each against itself, one by one."""
    agrees_one_by_one(lambda pick: rope(breaking=pick([20, 27, 30], "kN"), wet=pick([80, 85, 90], "percent")), 3)
    agrees_one_by_one(lambda pick: gear(tension=pick([1, 2, 8], "kN"), slope=pick([5, 12, 20], "deg")), 3)
    agrees_one_by_one(lambda pick: cleat(tension=pick([1, 2, 8], "kN"), density=pick([300, 350, 400], "kg/m^3")), 3)
    agrees_one_by_one(lambda pick: test((pick([3, 3.4, 4], "kN").m, 3.5), anchor_pull=pick([1, 1.1, 2], "kN")), 3)
    agrees_one_by_one(lambda pick: block(mass=pick([100, 200, 900], "kg"), uplift=pick([0, 20, 90], "N")), 3)


def test_the_pull_as_a_part():
    """Where the cleats are, as a mass."""
    (part,) = pull_down(pull=Q(12, "kg"), x=Q(0.1, "m")).as_parts

    assert part.name == "mooring pull-down"
    assert (part.mass.m_as("kg"), part.x.m_as("m")) == (12, 0.1)
