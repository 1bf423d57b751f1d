"""What a raft weighs and how it lies: every term, the words, and the refusals."""

from __future__ import annotations

import numpy as np
import pytest

from kit.afloat import afloat
from kit.calculator import InputError
from kit.floats import FloatBody, float_table
from kit.handed import Part
from kit.pipe_lift import pipe_lift
from kit.quantities import Q
from kit.righting import righting
from kit.water_density import water_density
from kit.weighing import weigh
from tests.one_by_one import agrees_one_by_one
from tests.raft_cases import BALLAST, DECK, GROWTH, WATER, floats, parts, tube


def demo(**changed):
    """Tarn Locker afloat by its own weight at fitting."""
    placed = changed.pop("ballast", ())
    given = changed.pop("floats", floats())
    weight = weigh(parts=changed.pop("parts", parts()), floats=given, ballast=placed)
    return afloat(
        mass=weight.mass,
        x=weight.x,
        y=weight.y,
        z=weight.z,
        floats=given,
        **{"density": WATER, "end": "ladder end", **DECK, **changed},
    )


# -- weighing ------------------------------------------------------------------------------------


def test_the_whole_weighs_what_its_parts_floats_and_ballast_weigh():
    """Masses add, and so do moments."""
    weight = weigh(parts=parts(), floats=floats(), ballast=BALLAST)
    masses = [p.mass.m_as("kg") for p in parts()]

    assert weight.parts_mass.m_as("kg") == pytest.approx(sum(masses))
    assert weight.mass.m_as("kg") == pytest.approx(sum(masses) + weight.floats_mass.m_as("kg") + 28)
    assert sum(one.mass.m_as("kg") for one in weight.weighed) == pytest.approx(weight.mass.m_as("kg"))
    assert (weight.mass * weight.x).m_as("kg*m") == pytest.approx(weight.moment_x.m_as("kg*m") + 28 * -1.4)


def test_a_float_weighs_its_pipe_its_discs_and_its_foam():
    """22.25 kg/m over 3 m, 7.44 kg of discs, and 60 % of the inside at 20 kg/m3."""
    inside = np.pi / 4 * (0.5 - 2 * 0.0153) ** 2 * (3 - 3 * 0.0153)
    weight = weigh(parts=(), floats=floats())

    assert weight.foam.m_as("m^3") == pytest.approx(4 * 0.6 * inside)
    assert weight.floats_mass.m_as("kg") == pytest.approx(4 * (66.75 + 7.44 + 0.6 * inside * 20))


def test_wet_adds_soaked_timber_and_growth():
    """31.8 kg of water in the timber and 25 kg of growth on the floats; the growth hangs low."""
    weight = weigh(parts=parts(), floats=floats(), growth=GROWTH)
    clean = weigh(parts=parts(), floats=floats())

    assert (weight.wet_mass - weight.mass).m_as("kg") == pytest.approx(31.8 + 25)
    assert weight.wet_z < clean.wet_z


def test_only_a_bare_block_of_foam_takes_up_water_while_it_is_whole():
    """Foam behind a wall stays dry until the wall leaks."""
    block = FloatBody(
        name="block",
        shape="box",
        width=Q(600, "mm"),
        height=Q(250, "mm"),
        length=Q(2.4, "m"),
        z=Q(0, "m"),
        mass_per_metre=Q(0, "kg/m"),
        foam=Q(100, "percent"),
        uptake=Q(5, "percent"),
    )
    walled = tube(uptake=Q(5, "percent"))

    assert (float_table([block]).wet - float_table([block]).dry)[0].m_as("kg") == pytest.approx(0.05 * 0.36 * 1000)
    assert (float_table([walled]).wet - float_table([walled]).dry)[0].m_as("kg") == 0


def test_allowances_show_as_a_share_of_the_mass():
    """Two equal parts, one an allowance, on a float that weighs as much as both."""
    two = [
        Part(name=n, mass=Q(40.16, "kg"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0, "m"), allowance=a)
        for n, a in (("known", False), ("guessed", True))
    ]
    weight = weigh(parts=two, floats=[tube()])

    assert weight.resting.m_as("percent") == pytest.approx(25, abs=0.05)


def test_floats_and_ballast_are_handed_on_as_parts_that_weigh_the_same():
    """What the build sheet adds up is what the raft was worked out with."""
    weight = weigh(parts=parts(), floats=floats(), ballast=BALLAST, growth=GROWTH)

    assert sum(p.mass.m_as("kg") for p in weight.as_parts) == pytest.approx(weight.floats_mass.m_as("kg") + 28)
    assert sum(p.soaked.m_as("kg") for p in weight.as_parts) == pytest.approx(weight.floats_mass.m_as("kg") + 28 + 25)


# -- afloat --------------------------------------------------------------------------------------


def test_draft_and_freeboard_make_up_the_height_of_the_raft():
    """Deck top to float underside is 658 mm, whatever it weighs, when it lies level."""
    lies = demo(parts=(), ballast=())

    assert (lies.draft + lies.deck_edge).m_as("mm") == pytest.approx(658)
    assert (lies.deck_edge - lies.float_top).m_as("mm") == pytest.approx(158)


def test_salt_water_carries_more():
    """In the sea the draft is smaller and the lift larger."""
    fresh, sea = demo(), demo(density=water_density(kind="sea", temperature=Q(10, "degC")).density)

    assert sea.draft < fresh.draft
    assert sea.lift > fresh.lift


def test_reserve_is_told_as_a_share_of_the_mass_and_of_the_lift():
    """The two are different numbers for one thing."""
    lies = demo()
    mass = lies.lift - lies.reserve

    assert lies.reserve_of_mass.m_as("") == pytest.approx((lies.reserve / mass).m_as(""))
    assert lies.reserve_of_lift.m_as("") == pytest.approx((lies.reserve / lies.lift).m_as(""))


def test_floats_further_apart_stiffen_as_the_square():
    """The part of BM from the floats' distance grows fourfold when they stand twice as far out."""
    near, far = (demo(floats=floats((-y, y))) for y in (0.5, 1.0))
    ratio = near.sinkage / WATER / (near.lift - near.reserve) * WATER

    gained = far.radius_y - near.radius_y
    assert gained.m_as("m") == pytest.approx((ratio * (Q(1, "m^2") - Q(0.25, "m^2"))).m_as("m"), rel=0.02)


def test_metacentre_is_buoyancy_plus_radius_less_gravity():
    """GM = KB + BM - KG, all from the floats' undersides, on a level raft."""
    lies = demo(ballast=BALLAST)
    z = weigh(parts=parts(), floats=floats(), ballast=BALLAST).z
    gravity = z - Q(-0.51, "m")

    assert (lies.buoyancy + lies.radius_y - gravity).m_as("m") == pytest.approx(lies.stiffness_y.m_as("m"), abs=1e-4)


def test_words_name_the_low_end_and_the_low_side():
    """The ladder pulls its end and its side down."""
    assert demo().lies == "ladder end down 30 mm over 3.0 m, right side down 9 mm over 2.2 m"


def test_words_follow_a_ladder_moved_to_the_other_end():
    """The other end goes down instead, and the ballast that levels it changes ends."""
    moved = parts(ladder=(16, -1.6, 0.6, -0.05), hand_rails=(6, -1.4, 0.6, 0.578))

    assert demo(parts=moved).lies.startswith("other end down")
    assert weigh(parts=moved, floats=floats()).moment_x.m_as("kg*m") == pytest.approx(39.325 - 2 * (25.6 + 8.4))


def test_a_symmetric_deck_of_another_species_changes_draft_and_list_but_no_moment():
    """Cedar is 39.9 kg lighter: it floats higher and lists otherwise, and the ballast stays as it was."""
    larch, cedar = parts(), parts(deck_boards=(63.6, 0, 0, 0.134))
    one, other = demo(parts=larch), demo(parts=cedar)
    before, after = (weigh(parts=p, floats=floats()) for p in (larch, cedar))

    assert after.moment_x.m_as("kg*m") == pytest.approx(before.moment_x.m_as("kg*m"))
    assert after.moment_y.m_as("kg*m") == pytest.approx(before.moment_y.m_as("kg*m"))
    assert (one.draft - other.draft).m_as("mm") == pytest.approx(7, abs=0.5)
    assert other.list != one.list


def test_a_sinking_raft_fails_and_says_why():
    """More mass than lift: no draft, and the checks say that it sinks."""
    lies = demo(floats=floats((0.0,), diameter=Q(300, "mm")))

    assert lies.carried.verdict == "fails"
    assert lies.comes_to_rest.reason == "unloaded: it sinks: the floats carry less than it weighs"
    assert np.isnan(lies.draft.magnitude)


def test_six_tubes_do_not_fit_under_the_deck():
    """Two tubes more within the same width overlap, and the check says so."""
    crowded = demo(floats=floats(tuple(np.linspace(-0.85, 0.85, 6))))

    assert crowded.no_overlap.verdict == "fails"
    assert crowded.floats_gap.m_as("mm") == pytest.approx(1700 / 5 - 500)


def test_tubes_crossing_one_above_the_other_do_not_overlap():
    """A crosswise tube may lie over lengthwise ones."""
    over = tube("over", direction="crosswise", length=Q(2, "m"), z=Q(0.26, "m"))

    assert demo(floats=(*floats(), over)).floats_gap.m_as("mm") == pytest.approx(20)


@pytest.mark.parametrize(
    ("gap", "verdict"), [(80, "meets"), (95, "fails"), (150, "fails"), (220, "fails"), (240, "meets")]
)
def test_a_gap_that_holds_a_head_fails(gap, verdict):
    """From 3.5 to 9 in a body passes and a head does not."""
    y = (0.5 + gap / 1000) / 2

    assert demo(floats=floats((-y, y))).no_head_trap.verdict == verdict


def test_closed_gaps_do_not_count():
    """The gap of 150 mm between the inner floats is closed by mesh."""
    assert demo().no_head_trap.verdict == "fails"
    assert demo(gaps_closed=True).no_head_trap.verdict == "does not apply"


def test_floats_that_have_another_between_them_make_no_gap():
    """Only neighbours trap: the outer pair is far enough apart to hold a head, with a float in between."""
    lies = demo(
        floats=(
            tube("left", y=Q(-0.6, "m")),
            tube("middle", y=Q(0, "m"), diameter=Q(600, "mm")),
            tube("right", y=Q(0.6, "m")),
        )
    )

    assert lies.no_head_trap.verdict == "meets"


def test_level_is_held_by_the_greater_of_list_and_trim():
    """As built the trim is close to the limit; ballast levels it."""
    assert demo().level.verdict == "marginal"
    assert demo(ballast=BALLAST).level.verdict == "meets"
    assert demo(level_within=Q(0.3, "deg")).level.verdict == "fails"


def test_the_unit_of_an_input_does_not_matter():
    """Feet, pounds and millimetres give the same raft."""
    metric = demo(floats=floats((-0.5, 0.5)))
    inch = demo(floats=floats((-0.5, 0.5), length=Q(3 / 0.3048, "ft"), diameter=Q(500 / 25.4, "in")))

    assert inch.draft.m_as("m") == pytest.approx(metric.draft.m_as("m"))


def test_a_tube_without_a_diameter_is_refused_by_name():
    """The whole sentence, as it stands beside the table."""
    with pytest.raises(InputError) as caught:
        demo(floats=(tube("left", diameter=None), tube("right")))
    assert caught.value.faults["floats"] == "left: a round tube needs a diameter, such as 500 mm"


def test_a_wall_thicker_than_the_tube_is_refused():
    """Twice the wall may not be more than the diameter."""
    with pytest.raises(InputError, match="twice the wall is more than its size"):
        demo(floats=(tube(diameter=Q(30, "mm")),))


# -- righting, pipe, water -----------------------------------------------------------------------


def test_the_lever_starts_at_nothing_and_bends_away_from_its_stiffness():
    """At 1 degree GM sin to two in a thousand; past the outer tubes' lifting out of the water much less."""
    curve = righting(mass=Q(703.6, "kg"), y=Q(0, "m"), z=Q(-0.019, "m"), floats=floats(), density=WATER, **DECK)
    sine = np.sin(curve.angle.m_as("rad"))

    assert curve.lever[0].m_as("m") == pytest.approx(0, abs=1e-12)
    assert curve.lever[1].m_as("m") == pytest.approx((curve.stiffness * sine[1]).m_as("m"), rel=2e-3)
    assert curve.lever[20] < 0.6 * curve.stiffness * sine[20]


def test_a_centre_off_the_middle_takes_its_distance_from_the_lever():
    """At no heel the lever is the offset itself, against the raft."""
    curve = righting(mass=Q(703.6, "kg"), y=Q(0.1, "m"), z=Q(-0.019, "m"), floats=floats(), density=WATER, **DECK)

    assert curve.lever[0].m_as("m") == pytest.approx(-0.1)


def test_lift_and_mass_of_a_pipe_are_what_it_displaces():
    """Net lift by length plus mass by length is the displacement; a thicker wall lifts less."""
    thin, thick = (pipe_lift(pipe=f"PVC NPS 8 schedule {n}", density=Q(1000, "kg/m^3")) for n in (40, 80))

    assert (thin.lift + thin.mass).m_as("kg/m") == pytest.approx(thin.displacement.m_as("kg/m"))
    assert thick.lift < thin.lift


def test_salt_and_cold_make_water_heavier():
    """Each term moves the density its way; 4 degC is the heaviest fresh water."""

    def density(kind, celsius, salt=None):
        given = {} if salt is None else {"salinity": Q(salt, "g/kg")}
        return water_density(kind=kind, temperature=Q(celsius, "degC"), **given).density.m_as("kg/m^3")

    assert density("fresh", 4) > max(density("fresh", 1), density("fresh", 8), density("fresh", 20))
    assert density("fresh", 10) < density("brackish", 10) < density("sea", 10)
    assert density("brackish", 10, 20) - density("brackish", 10, 10) == pytest.approx(7.8, abs=0.1)


def test_salt_in_fresh_water_is_refused():
    """The two inputs contradict one another, and both say so."""
    with pytest.raises(InputError) as caught:
        water_density(kind="fresh", temperature=Q(10, "degC"), salinity=Q(20, "g/kg"))
    assert caught.value.faults["salinity"] == (
        "fresh water holds at most 1 g/kg of salt; choose 'brackish', or leave the salt out"
    )


# -- samples -------------------------------------------------------------------------------------


def test_samples_of_a_raft_agree_one_by_one():
    """Mass, place, diameter and water sampled: each sample is the raft worked out alone."""
    agrees_one_by_one(
        lambda pick: afloat(
            mass=pick([600, 700, 1500], "kg"),
            x=pick([0.06, -0.02, 0.1], "m"),
            y=Q(0.01, "m"),
            z=Q(-0.02, "m"),
            floats=floats(diameter=pick([500, 494, 503], "mm")),
            density=pick([999.7, 1025, 998], "kg/m^3"),
            **DECK,
        ),
        3,
    )


def test_samples_of_the_weights_agree_one_by_one():
    """Masses of parts, floats, growth and ballast sampled."""
    agrees_one_by_one(
        lambda pick: weigh(
            parts=[Part(name="deck", mass=pick([100, 120], "kg"), x=pick([0, 0.1], "m"), y=Q(0, "m"), z=Q(0.1, "m"))],
            floats=floats(wall=pick([15.3, 14], "mm")),
            ballast=BALLAST,
            growth=pick([25, 30], "kg"),
        ),
        2,
    )


def test_samples_of_a_righting_lever_agree_one_by_one():
    """Mass and centre sampled, angle in front."""
    agrees_by_column = righting(
        mass=Q(np.array([600.0, 800.0]), "kg"),
        y=Q(0, "m"),
        z=Q(np.array([0.0, 0.3]), "m"),
        floats=floats(),
        density=WATER,
        **DECK,
    )
    for n, (mass, z) in enumerate(((600, 0.0), (800, 0.3))):
        alone = righting(mass=Q(mass, "kg"), y=Q(0, "m"), z=Q(z, "m"), floats=floats(), density=WATER, **DECK)
        np.testing.assert_allclose(agrees_by_column.lever.m_as("m")[:, n], alone.lever.m_as("m"), rtol=1e-9, atol=1e-12)
        assert agrees_by_column.greatest[n].m_as("m") == pytest.approx(alone.greatest.m_as("m"))
