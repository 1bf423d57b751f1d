"""Glue: coverage, open time and clamps."""

from __future__ import annotations

import pytest

from kit.calculator import InputError
from kit.glue import Joint, glue_coverage, glue_up
from kit.quantities import Q
from tests.one_by_one import agrees_one_by_one


def joint(name="edges", length=Q(1, "m"), width=Q(20, "mm"), count=5, faces="both"):
    """Five joints of a metre, 20 mm wide: 0.1 m2."""
    return Joint(name=name, length=length, width=width, count=count, faces=faces)


def coverage(*joints, **changed):
    """200 g/m2, 15 % waste."""
    return glue_coverage(joints=joints or [joint()], **{"spread": Q(200, "g/m^2")} | changed)


def test_mass_is_area_times_faces_times_spread_times_waste():
    """0.1 m2, two faces, 200 g/m2 and 15 % more."""
    found = coverage()

    assert found.joint_area.m_as("m^2") == pytest.approx(0.1)
    assert found.spread_area.m_as("m^2") == pytest.approx(0.2)
    assert found.mass.m_as("g") == pytest.approx(0.2 * 200 * 1.15)


def test_one_face_takes_half_of_both():
    """The area of the joint stays, the area to spread halves."""
    both, one = coverage(), coverage(joint(faces="one"))

    assert (one.mass / both.mass).m_as("") == pytest.approx(0.5)
    assert one.joint_area == both.joint_area


@pytest.mark.parametrize(("name", "twice"), [("length", Q(2, "m")), ("width", Q(40, "mm")), ("count", 10)])
def test_mass_goes_with_each_size(name, twice):
    """Twice as long, wide or many is twice the glue."""
    assert (coverage(joint(**{name: twice})).mass / coverage().mass).m_as("") == pytest.approx(2)


def test_rows_add_up():
    """The whole is the sum of its rows with the waste upon it."""
    found = coverage(joint("a"), joint("b", count=2, faces="one"))

    assert [row.name for row in found.by_joint] == ["a", "b"]
    assert sum(row.mass.m_as("g") for row in found.by_joint) * 1.15 == pytest.approx(found.mass.m_as("g"))


def test_film_and_spread_say_the_same():
    """A film of 0.2 mm at 1100 kg/m3 is 220 g/m2."""
    by_film = coverage(by="film thickness", film=Q(0.2, "mm"), spread=None)

    assert by_film.mass.m_as("g") == pytest.approx(coverage(spread=Q(220, "g/m^2")).mass.m_as("g"))


def test_film_is_spread_over_density_and_dries_by_its_solids():
    """190 g/m2 of 1100 kg/m3 is 0.173 mm wet, of which half stays."""
    found = coverage(spread=Q(190, "g/m^2"), density=Q(1100, "kg/m^3"), solids=Q(50, "percent"))

    assert found.wet_film.m_as("mm") == pytest.approx(0.190 / 1.1)
    assert found.dry_film.m_as("mm") == pytest.approx(0.095 / 1.1)


def test_bottles_are_whole_and_an_exact_fit_takes_no_further_one():
    """46 g come out of one bottle of 46 g, 46.1 g do not."""
    assert coverage(bottle=Q(46, "g")).bottles == Q(1)
    assert coverage(bottle=Q(45.9, "g")).bottles == Q(2)
    assert coverage(joint(count=0)).bottles == Q(0)


def test_a_class_below_the_exposure_fails():
    """D3 is not enough in the weather, but under cover it is."""
    assert coverage(durability="D3").durable.verdict == "fails"
    assert coverage(durability="D3", exposure="outdoors under cover").durable.verdict == "meets"
    assert coverage(durability="D4").durable.verdict == "meets"


def test_a_label_without_a_class_leaves_the_check_open():
    """Nothing is taken for granted."""
    assert coverage().durable.verdict == "open"


@pytest.mark.parametrize(("by", "name"), [("spread rate", "spread"), ("film thickness", "film")])
def test_the_amount_that_was_chosen_must_be_there(by, name):
    """The sentence stands beside the input that is missing."""
    with pytest.raises(InputError) as refused:
        coverage(by=by, spread=None, film=None)

    assert list(refused.value.faults) == [name]


def test_a_missing_spread_is_refused_in_one_sentence():
    """What is missing, why it is needed, and an example."""
    with pytest.raises(InputError) as refused:
        coverage(spread=None)

    assert refused.value.faults["spread"] == (
        "it is missing; the amount is to be worked out by spread rate, such as 200 g/m^2")


def test_samples_of_coverage_agree_with_one_by_one():
    """Rows and totals."""
    agrees_one_by_one(lambda pick: coverage(
        joint("a", length=pick([1.0, 1.1], "m")), joint("b", faces="one"), spread=pick([180, 220], "g/m^2"),
        waste=pick([10, 20], "percent"), bottle=pick([40, 250], "g")), 2)


def glued(**changed):
    """The lid of a locker."""
    given = {
        "joints": 4, "at_once": 4, "joint_time": Q(40, "s"), "fixed_time": Q(90, "s"), "open_time": Q(8, "min"),
        "length": Q(640, "mm"), "thickness": Q(26, "mm"), "board_width": Q(110, "mm"), "pressure": Q(1.2, "MPa"),
        "clamp_force": Q(4, "kN"), "clamps": 6, "timber": "white oak", "workshop_temperature": Q(15, "degC"),
    }
    return glue_up(**given | changed)


def test_time_is_the_fixed_time_and_the_time_of_each_joint():
    """90 s and four times 40 s are 250 s of 480."""
    found = glued()

    assert found.time.m_as("s") == pytest.approx(250)
    assert found.spare.m_as("s") == pytest.approx(230)
    assert found.in_time.verdict == "meets"
    assert found.in_time.share == pytest.approx(250 / 480)


def test_more_joints_than_there_are_take_no_more_time():
    """Ten at once of four joints are four."""
    assert glued(at_once=10).time == glued().time
    assert glued(at_once=10).goes == Q(1)


def test_too_many_at_once_fail():
    """Ten joints of 40 s and 90 s are 490 s of 480."""
    assert glued(joints=20, at_once=10).in_time.verdict == "fails"


def test_joints_in_one_go_keep_the_planned_share():
    """80 % of 480 s less 90 s hold seven joints of 40 s, all of it nine, and 15 % of it none."""
    assert glued().joints_per_go == Q(7)
    assert glued(planned_share=Q(100, "percent")).joints_per_go == Q(9)
    assert glued(planned_share=Q(15, "percent")).joints_per_go == Q(0)


def test_an_exact_fit_counts_as_a_joint():
    """370 s less 90 s hold exactly seven."""
    assert glued(open_time=Q(370, "s"), planned_share=Q(100, "percent")).joints_per_go == Q(7)


def test_goes_are_whole():
    """Nine joints, four at once, are three goes."""
    assert glued(joints=9).goes == Q(3)


def test_force_is_pressure_times_area():
    """1.2 MPa on 26 x 640 mm."""
    assert glued().force.m_as("N") == pytest.approx(1.2 * 26 * 640)
    assert glued().area.m_as("mm^2") == pytest.approx(26 * 640)


def test_clamps_by_force_are_whole_and_an_exact_fit_takes_no_further_one():
    """19.97 kN take five of 4 kN; exactly 20 kN too."""
    assert glued().clamps_by_force == Q(5)
    assert glued(thickness=Q(25, "mm"), pressure=Q(1.25, "MPa")).clamps_by_force == Q(5)
    assert glued(clamp_force=Q(3.99, "kN")).clamps_by_force == Q(6)


def test_clamps_by_spread_take_the_board_and_the_strip_under_the_pads():
    """Pads reach 110 mm to each side: three on 640 mm; with 60 mm of strip two; on narrow boards more."""
    assert glued().clamps_by_spread == Q(3)
    assert glued(caul=Q(60, "mm")).clamps_by_spread == Q(2)
    assert glued(board_width=Q(40, "mm")).clamps_by_spread == Q(8)


def test_the_larger_number_of_clamps_is_needed():
    """Five by force against three by spread; eight by spread against five by force."""
    assert glued().clamps_needed == Q(5)
    assert glued(board_width=Q(40, "mm")).clamps_needed == Q(8)


def test_clamps_that_are_missing_fail_and_say_what_happens():
    """Four clamps give 16 of 20 kN: four fifths of the pressure."""
    four = glued(clamps=4)

    assert four.clamped.verdict == "fails"
    assert "80% of the pressure" in four.short
    assert four.pressure_reached.m_as("MPa") == pytest.approx(16e3 / (26 * 640))


def test_clamps_too_far_apart_say_so():
    """Seven clamps give the force on boards that want eight by spread."""
    assert "too far apart" in glued(board_width=Q(40, "mm"), clamps=7).short


def test_enough_clamps_say_so():
    """Five of six."""
    assert glued().short == "5 of your 6 clamps do it."
    assert glued().clamped.share == pytest.approx(5 / 6)


def test_spacing_shares_the_length():
    """Five clamps on 640 mm stand 128 mm apart, within what spreads."""
    found = glued()

    assert found.spacing.m_as("mm") == pytest.approx(128)
    assert found.spacing <= found.widest_spacing


def test_a_cold_workshop_fails():
    """9 degC under a glue made for 10."""
    assert glued(workshop_temperature=Q(9, "degC")).warm.verdict == "fails"
    assert glued(workshop_temperature=Q(10, "degC")).warm.verdict == "meets"
    assert glued(least_temperature=Q(16, "degC")).warm.verdict == "fails"


def test_a_pressure_that_is_not_usual_for_the_wood_is_remarked():
    """0.5 MPa on oak is little, and 1.2 MPa on cedar is much."""
    assert glued().notes == ()
    assert "hardwood" in glued(pressure=Q(0.5, "MPa")).notes[0]
    assert "softwood" in glued(timber="western redcedar").notes[0]


def test_units_of_inputs_do_not_matter():
    """480 s are 8 min and 174.045 psi are 1.2 MPa."""
    other = glued(open_time=Q(480, "s"), pressure=Q(1.2e6 / 6894.757293168361, "psi"))

    assert other.force.m_as("N") == pytest.approx(glued().force.m_as("N"))
    assert other.joints_per_go == glued().joints_per_go


def test_samples_of_a_glue_up_agree_with_one_by_one():
    """Counts by force and spread, and every check."""
    agrees_one_by_one(lambda pick: glued(
        joint_time=pick([40, 60, 80], "s"), open_time=pick([8, 6, 4], "min"), pressure=pick([1.2, 1.0, 1.4], "MPa"),
        clamp_force=pick([4, 3, 5], "kN"), board_width=pick([110, 60, 40], "mm"),
        workshop_temperature=pick([15, 9, 20], "degC")), 3)
