"""Withdrawal, yield modes and the strength of a screw."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.quantities import Q
from kit.sampling import sampling
from kit.screw_strength import screw_strength
from kit.withdrawal import AVERAGE, withdrawal
from kit.yield_limits import bending_yield, dowel_bearing, johansen, yield_limit
from tests.one_by_one import agrees_one_by_one


def strength(**changed):
    """A screw of 5 x 60 mm through a larch board of 28 mm into Douglas-fir."""
    given = {"rules": "European", "side_timber": "western larch", "main_timber": "Douglas-fir (coast)",
             "side_density": Q(350, "kg/m^3"), "main_density": Q(350, "kg/m^3"), "side_thickness": Q(28, "mm"),
             "length": Q(60, "mm"), "thread": Q(36, "mm"), "diameter": Q(5, "mm"), "root": Q(3.2, "mm"),
             "tensile": Q(500, "MPa"), "pre_drilled": True}
    return screw_strength(**given | changed)


def pulled(**changed):
    """A wood screw of 5 mm with 32 mm of thread."""
    given = {"fastener": "wood screw", "diameter": Q(5, "mm"), "held": Q(32, "mm"), "gravity": Q(0.48),
             "assigned_gravity": Q(0.5), "density": Q(350, "kg/m^3")}
    return withdrawal(**given | changed)


def american(**changed):
    """A nail of 0.148 in through 0.75 in."""
    given = {"diameter": Q(0.148, "in"), "side_thickness": Q(0.75, "in"), "main_bearing_length": Q(2.102, "in"),
             "side_bearing": Q(4650, "psi"), "main_bearing": Q(4650, "psi"), "bending": Q(90_000, "psi")}
    return yield_limit(**given | changed)


def european(**changed):
    """A nail of 3.1 mm through 45 mm."""
    given = {"diameter": Q(3.1, "mm"), "side_thickness": Q(45, "mm"), "penetration": Q(45, "mm"),
             "side_embedment": Q(20.44, "MPa"), "main_embedment": Q(20.44, "MPa"), "yield_moment": Q(3410, "N*mm")}
    return johansen(**given | changed)


# -- withdrawal ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fastener", ["wood screw", "lag screw", "nail"])
def test_withdrawal_goes_with_the_length_held(fastener):
    """Twice the length is twice the average and twice the reference."""
    once, twice = pulled(fastener=fastener), pulled(fastener=fastener, held=Q(64, "mm"))

    assert (twice.ultimate / once.ultimate).m_as("") == pytest.approx(2)
    assert (twice.reference / once.reference).m_as("") == pytest.approx(2)


@pytest.mark.parametrize(("fastener", "gravity", "diameter"), [
    ("nail", 2.5, 1), ("wood screw", 2, 1), ("lag screw", 1.5, 0.75)])
def test_withdrawal_goes_with_powers_of_gravity_and_diameter(fastener, gravity, diameter):
    """The exponents of the three equations, in the average and in the reference."""
    base = pulled(fastener=fastener)
    dense = pulled(fastener=fastener, gravity=Q(0.96), assigned_gravity=Q(1.0))
    thick = pulled(fastener=fastener, diameter=Q(10, "mm"))

    for name in ("ultimate", "reference"):
        assert (getattr(dense, name) / getattr(base, name)).m_as("") == pytest.approx(2**gravity)
        assert (getattr(thick, name) / getattr(base, name)).m_as("") == pytest.approx(2**diameter)


def test_the_average_is_never_offered_without_its_warning():
    """It is the load at which half of them have failed."""
    assert AVERAGE in pulled().notes
    assert "never load one to it" in AVERAGE


def test_end_grain_is_forbidden_to_screws_and_nails_and_costs_lag_screws_a_quarter():
    """There is no reference value where the rules give none."""
    for fastener in ("wood screw", "nail"):
        assert np.isnan(pulled(fastener=fastener, into="end grain").reference.m)
    lag, side = (pulled(fastener="lag screw", into=into) for into in ("end grain", "side grain"))
    assert (lag.reference / side.reference).m_as("") == pytest.approx(0.75)
    assert (lag.ultimate / side.ultimate).m_as("") == pytest.approx(0.75)


def test_the_european_value_exists_only_in_its_range():
    """From 6 to 12 mm and 6 diameters deep, unless the screw has a declared value."""
    six = {"diameter": Q(6, "mm"), "held": Q(60, "mm")}

    assert np.isnan(pulled().characteristic.m)
    assert np.isfinite(pulled(**six).characteristic.m)
    assert np.isnan(pulled(diameter=Q(6, "mm"), held=Q(35, "mm")).characteristic.m)
    assert pulled(declared=Q(12, "MPa")).characteristic.m_as("N") == pytest.approx(12 * 5 * 32)
    assert np.isnan(pulled(**six, into="end grain").characteristic.m)


def test_a_slanting_european_screw_holds_less():
    """At 45 degrees it is divided by 1.1."""
    straight, slanting = (pulled(diameter=Q(8, "mm"), held=Q(80, "mm"), angle=Q(a, "deg")) for a in (90, 45))

    assert (straight.characteristic / slanting.characteristic).m_as("") == pytest.approx(1.1)


def test_inches_give_the_same_withdrawal():
    """The unit of an entry does not matter, not even where the equation is in inches."""
    metric, inches = pulled(fastener="lag screw"), pulled(
        fastener="lag screw", diameter=Q(5 / 25.4, "in"), held=Q(32 / 25.4, "in"))

    assert inches.ultimate.m_as("N") == pytest.approx(metric.ultimate.m_as("N"))
    assert inches.reference.m_as("N") == pytest.approx(metric.reference.m_as("N"))


# -- yield modes -----------------------------------------------------------------------------------------


def test_the_least_mode_governs_and_is_said_in_words():
    """A thin side piece bends the nail once; a thick one twice; a thin main piece is crushed."""
    assert american().governed_by == "mode IIIs: the fastener bends once and crushes the head-side wood"
    assert american(side_thickness=Q(1.5, "in")).governed_by == "mode IV: the fastener bends in both pieces"
    assert american(main_bearing_length=Q(0.15, "in"), bending=Q(150_000, "psi")).governed_by.startswith("mode Im")
    assert european(side_thickness=Q(4, "mm"), yield_moment=Q(20_000, "N*mm")).governed_by.startswith("mode a")


def test_crushing_goes_with_length_and_bearing():
    """Im and Is are thickness times bearing times diameter over the reduction."""
    assert (american(side_thickness=Q(1.5, "in")).mode_is / american().mode_is).m_as("") == pytest.approx(2)
    assert (american(main_bearing=Q(9300, "psi")).mode_im / american().mode_im).m_as("") == pytest.approx(2)


def test_two_hinges_go_with_the_root_of_bending_yield():
    """Four times the bending yield is twice mode IV, and twice mode f."""
    assert (american(bending=Q(180_000, "psi")).mode_iv / american(bending=Q(45_000, "psi")).mode_iv).m_as(
        "") == pytest.approx(2)
    assert (european(yield_moment=Q(13_640, "N*mm")).mode_f / european().mode_f).m_as("") == pytest.approx(2)


def test_exchanging_the_pieces_exchanges_the_modes():
    """With two equal woods the head side becomes the point side."""
    one, other = european(penetration=Q(30, "mm")), european(side_thickness=Q(30, "mm"))

    assert one.mode_a.m == pytest.approx(other.mode_b.m)
    assert one.mode_d.m == pytest.approx(other.mode_e.m)
    assert one.mode_c.m == pytest.approx(other.mode_c.m)


def test_the_rope_effect_is_a_quarter_of_the_pull_within_its_cap():
    """At 15 % of the rest at most; crushing has none."""
    plain, little, much = (european(axial=Q(n, "N"), rope_share=Q(15, "percent")) for n in (0, 100, 5000))

    assert little.mode_f.m_as("N") == pytest.approx(plain.mode_f.m_as("N") + 25)
    assert much.mode_f.m_as("N") == pytest.approx(plain.mode_f.m_as("N") * 1.15)
    assert much.mode_a == plain.mode_a
    assert much.rope.m_as("N") == pytest.approx(plain.mode_f.m_as("N") * 0.15)


def test_thick_fasteners_hang_on_the_angle_to_the_grain():
    """From 1/4 in on, across the grain is less; below it is the same. The angle in the reduction counts too."""
    small, large = Q(0.2, "in"), Q(0.375, "in")
    along, across = Q(0, "deg"), Q(90, "deg")

    assert dowel_bearing(Q(0.5), small, along) == dowel_bearing(Q(0.5), small, across)
    assert dowel_bearing(Q(0.5), large, across) < dowel_bearing(Q(0.5), large, along)
    assert american(diameter=large, angle=across).mode_iv < american(diameter=large, angle=along).mode_iv


def test_a_thick_thread_with_a_thin_root_is_reduced_by_its_angle():
    """A lag screw of 1/4 in with a root of 0.173 in keeps the small factor, turned by 1.25."""
    plain = american(diameter=Q(0.173, "in"))
    lag = american(diameter=Q(0.173, "in"), nominal=Q(0.25, "in"), angle=Q(90, "deg"))

    assert (plain.mode_iv / lag.mode_iv).m_as("") == pytest.approx(1.25)


@pytest.mark.parametrize(("inches", "thousand"), [
    (0.138, 100), (0.164, 90), (0.190, 80), (0.216, 80), (0.242, 70), (0.312, 60), (0.5, 45)])
def test_bending_yield_goes_by_the_nominal_diameter(inches, thousand):
    """Numbers 6, 8, 10, 12 and 14, and two lag screws."""
    assert bending_yield(Q(inches, "in")).m_as("psi") == pytest.approx(1000 * thousand)


def test_samples_of_modes_agree_one_by_one():
    """Across the bands of the reduction; the words are those of the mean."""
    def both(pick):
        one = american(diameter=pick([0.148, 0.2, 0.3], "in"), side_thickness=pick([0.75, 1.5, 0.5], "in"),
                       angle=Q(90, "deg"))
        two = european(diameter=pick([3.1, 4, 5], "mm"), axial=pick([0, 300, 9000], "N"))
        return tuple(v for made in (one, two) for name, v in vars(made).items() if name not in ("governed_by", "notes"))

    agrees_one_by_one(both, 3)


# -- one screw -------------------------------------------------------------------------------------------


def test_a_screw_worked_by_hand():
    """With d = 3.52, fh = 0.082 x 0.9648 x 350 = 27.69, M = 150 x 3.52^2.6 = 3953; f = 1010 N, of which 0.7 / 1.3."""
    found = strength()
    moment, bearing = 0.3 * 500 * 3.52**2.6, 0.082 * (1 - 0.0352) * 350
    two_hinges = 1.15 * (2 * moment * bearing * 3.52) ** 0.5

    assert found.mode_f.m_as("N") == pytest.approx(two_hinges)
    assert found.characteristic_lateral == found.mode_f
    assert found.lateral.m_as("N") == pytest.approx(two_hinges * 0.7 / 1.3)
    assert (found.penetration.m_as("mm"), found.thread_held.m_as("mm")) == (32, 32)


def test_the_chosen_rules_give_the_design_value_and_both_are_shown():
    """Changing the rules changes what one may load, not the working beside it."""
    here, there = strength(), strength(rules="North American")

    assert here.mode_iv == there.mode_iv
    assert here.mode_f == there.mode_f
    assert there.lateral.m_as("N") == pytest.approx(there.reference_lateral.m_as("N") * 1.25 * 0.7)
    assert there.withdrawal.m_as("N") == pytest.approx(there.reference_withdrawal.m_as("N") * 1.25 * 0.7)


def test_the_handbook_alone_gives_no_design_value():
    """Its checks are not covered and its warning is plain, whatever the load."""
    found = strength(rules="handbook only", lateral_load=Q(1, "N"), pulling_load=Q(1, "N"))

    assert np.isnan(found.lateral.m)
    assert np.isnan(found.withdrawal.m)
    assert {found.holds_sideways.verdict, found.holds_pull.verdict, found.holds_both.verdict} == {"not covered"}
    assert AVERAGE in found.notes
    assert found.average_withdrawal.m > 0


@pytest.mark.parametrize(("made", "service", "lateral", "withdrawal"), [
    ("dry", "dry", 1.0, 1.0), ("dry", "wet", 0.7, 0.7), ("wet", "wet", 0.7, 0.7), ("wet", "dry", 0.7, 1.0)])
def test_wet_wood_lowers_the_north_american_value(made, service, lateral, withdrawal):
    """A screw thinner than 1/4 in put into wet wood that dries keeps 0.7; a thicker one 0.4."""
    found = strength(rules="North American", made=made, service=service)

    assert (found.wet_factor_lateral.m, found.wet_factor_withdrawal.m) == (lateral, withdrawal)
    thick = strength(rules="North American", made=made, service=service, diameter=Q(8, "mm"), length=Q(90, "mm"))
    assert thick.wet_factor_lateral.m == (0.4 if (made, service) == ("wet", "dry") else lateral)


@pytest.mark.parametrize(("duration", "american_factor", "european_factor"), [
    ("permanent", 0.9, 0.5), ("ten years", 1.0, 0.55), ("two months", 1.15, 0.65), ("a week or less", 1.25, 0.7),
    ("wind or impact", 1.6, 0.9)])
def test_short_loads_may_be_larger(duration, american_factor, european_factor):
    """Both families, wet service."""
    found = strength(duration=duration)

    assert (found.duration_factor.m, found.modification.m) == (american_factor, european_factor)


def test_a_declared_value_brings_withdrawal_and_the_rope_effect():
    """Without it a screw of 5 mm has neither by European rules."""
    without, declared = strength(pulling_load=Q(100, "N")), strength(pulling_load=Q(100, "N"), declared=Q(12, "MPa"))

    assert without.holds_pull.verdict == "not covered"
    assert declared.holds_pull.verdict == "meets"
    assert declared.mode_f.m_as("N") == pytest.approx(without.mode_f.m_as("N") + 12 * 5 * 32 / 4)


def test_loads_are_held_against_the_design_value():
    """At the value it is marginal, above it fails, without a load there is no check."""
    value = strength().lateral

    assert strength(lateral_load=value).holds_sideways.verdict == "marginal"
    assert strength(lateral_load=1.01 * value).holds_sideways.verdict == "fails"
    assert strength().holds_sideways.verdict == "does not apply"


def test_two_loads_at_once_ask_for_more_than_each():
    """Eight tenths of each: both pass alone; the squares add up to 1.28 and fail, the oblique load is in between."""
    for rules in ("European", "North American"):
        base = strength(rules=rules, declared=Q(12, "MPa"))
        found = strength(rules=rules, declared=Q(12, "MPa"), lateral_load=0.8 * base.lateral,
                         pulling_load=0.8 * base.withdrawal)
        assert found.holds_sideways.passes
        assert found.holds_pull.passes
        assert found.holds_both.verdict == "fails"


def test_a_point_that_hardly_goes_in_carries_nothing():
    """29 mm is less than 6 diameters: the check fails and no strength is claimed."""
    found = strength(length=Q(57, "mm"), lateral_load=Q(1, "N"))

    assert found.goes_in.verdict == "fails"
    assert found.holds_sideways.verdict == "not covered"


def test_a_screw_that_does_not_reach_is_refused():
    """The sentence stands beside both entries."""
    with pytest.raises(InputError) as caught:
        strength(length=Q(28, "mm"))

    sentence = "the screw does not reach the lower piece; write 60 mm for a board of 28 mm"
    assert caught.value.faults == {"length": sentence, "side_thickness": sentence}


def test_a_sample_whose_point_hardly_goes_in_is_not_met():
    """Of three boards the thickest leaves less than 6 diameters; its strength is not claimed."""
    with sampling():
        found = strength(side_thickness=Q(np.array([28.0, 29, 31]), "mm"), lateral_load=Q(100, "N"))

    assert list(found.goes_in.met) == list(found.holds_sideways.met) == [True, True, False]


def test_samples_of_a_screw_agree_one_by_one():
    """Sizes, and with them penetration and every mode; the words are those of the mean."""
    def found(pick):
        made = strength(side_thickness=pick([28, 29, 26], "mm"), diameter=pick([5, 4.9, 5.2], "mm"),
                        root=pick([3.2, 3.1, 3.4], "mm"), lateral_load=Q(300, "N"), pulling_load=Q(100, "N"),
                        declared=Q(12, "MPa"))
        return tuple(v for name, v in vars(made).items() if name not in ("governed_by", "notes"))

    agrees_one_by_one(found, 3)
