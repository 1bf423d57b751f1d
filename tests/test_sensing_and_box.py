"""Divider, probe, bus, pins, switches, log, schedule, box, splash and panel: one test a term, edges, refusals."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.climate import Month
from kit.dividers import divider
from kit.drill_plan import PanelPart, drill_plan
from kit.enclosure import box_air, box_heat
from kit.i2c import BusDevice, two_wire_bus
from kit.logbook import debounce, log_volume
from kit.pins import Pin, Signal, pin_plan
from kit.quantities import Q
from kit.sampling import sampling
from kit.schedule import Slot, schedule_clashes
from kit.switching import coil_release, switch_heat
from kit.thermistors import ThermistorPoint, thermistor
from kit.water_safe import Seal, low_voltage, splash


def divided(**changed):
    """100 and 22 kohm of 1 % on 15.3 V and a 3.3 V input."""
    given = {"upper": Q(100, "kohm"), "lower": Q(22, "kohm"), "highest": Q(15.3, "V"), "bears": Q(3.3, "V")}
    return divider(**given | changed)


def bus(*devices, **changed):
    """A bus with a pull-up of 4.7 kohm."""
    return two_wire_bus(devices=devices, **{"pull_up": Q(4.7, "kohm")} | changed)


def fault(call):
    """The faults of a refusal, by input."""
    with pytest.raises(InputError) as caught:
        call()
    return caught.value.faults


# -- divider -------------------------------------------------------------------------------------------------


def test_each_resistor_moves_the_input_its_own_way():
    """A larger lower one raises it, a larger upper one lowers it, and both together change nothing but the drain."""
    base = divided()

    assert divided(lower=Q(24, "kohm")).worst > base.worst
    assert divided(upper=Q(120, "kohm")).worst < base.worst
    both = divided(upper=Q(1000, "kohm"), lower=Q(220, "kohm"))
    assert both.worst.m_as("V") == pytest.approx(base.worst.m_as("V"))
    assert (base.drain / both.drain).m_as("") == pytest.approx(10)


def test_tolerance_widens_the_worst_case_only():
    """The nominal reading stays; without tolerance worst and nominal are one."""
    exact, loose = divided(tolerance=Q(0, "percent")), divided(tolerance=Q(5, "percent"))

    assert exact.at_highest == loose.at_highest
    assert exact.worst.m_as("V") == pytest.approx(exact.at_highest.m_as("V"))
    # To first order twice the tolerance times one less the ratio.
    assert loose.too_high.m_as("percent") == pytest.approx(2 * 5 * (1 - 22 / 122), rel=0.06)


def test_a_divider_for_the_label_fails_and_says_so():
    """12 V would give 2.98 V, 15.3 V gives 3.85: the seeded mistake."""
    found = divided(lower=Q(33, "kohm"))

    assert found.at_nominal.m_as("V") == pytest.approx(2.98, abs=0.005)
    assert found.input_safe.verdict == "fails"
    assert found.input_safe.reason.endswith("the nominal voltage alone would look right")
    assert divided(lower=Q(82, "kohm")).input_safe.reason.endswith("even the nominal voltage is too much")


def test_the_label_as_highest_voltage_is_caught():
    """12 V is no charger's highest."""
    assert divided(highest=Q(12, "V")).highest_sound.verdict == "fails"
    assert divided(highest=Q(13.8, "V")).highest_sound.passes


def test_a_slow_divider_wants_a_capacitor():
    """A megohm against 2 microseconds; 100 nF holds it, 10 nF does not."""
    slow = {"upper": Q(10_000, "kohm"), "lower": Q(2200, "kohm")}

    assert divided(**slow).settled.verdict == "fails"
    assert divided(**slow, capacitor=Q(100, "nF")).settled.passes
    assert divided(**slow, capacitor=Q(10, "nF")).settled.verdict == "fails"


def test_percent_of_charge_is_given_for_lead_only():
    """A table exists for one kind; half a percent a step, and resistors of 1 % hide 18 percent of charge."""
    lead, other = divided(), divided(battery="other")

    assert lead.step_charge.m_as("percent") == pytest.approx(0.406, abs=0.001)
    assert lead.error_charge.m_as("percent") == pytest.approx(18, abs=0.2)
    assert np.isnan(other.step_charge.m)


def test_a_highest_voltage_below_the_nominal_is_refused():
    """With what to write."""
    assert fault(lambda: divided(highest=Q(11, "V"))) == {
        "highest": "the highest voltage lies below the nominal one; write 15.3 V for 12 V"}


# -- probe ---------------------------------------------------------------------------------------------------


def test_a_probe_is_coarser_with_fewer_bits_and_warms_itself_more_from_more_volts():
    """Four times the step with two bits less; four times the warmth from twice the volts."""
    base = thermistor()

    assert (thermistor(bits=10).coarsest / base.coarsest).m_as("") == pytest.approx(4)
    assert (thermistor(supply=Q(6.6, "V")).warmest / base.warmest).m_as("") == pytest.approx(4)
    assert thermistor(spreads=Q(3, "mW/K")).warmest.m == pytest.approx(base.warmest.m / 2)


def test_beta_and_three_points_of_the_same_law_are_one():
    """Three points taken from a beta law have no third term to speak of."""
    def ohms(celsius):
        return 10_000 * np.exp(3435 * (1 / (celsius + 273.15) - 1 / 298.15))

    points = [ThermistorPoint(name=str(t), temperature=Q(t, "degC"), resistance=Q(ohms(t), "ohm")) for t in (0, 25, 50)]
    by_points, by_beta = thermistor(law="three points", points=points), thermistor()

    assert by_points.term_b.m == pytest.approx(by_beta.term_b.m, rel=1e-6)
    assert by_points.resistance.m == pytest.approx(by_beta.resistance.m, rel=1e-8)


def test_points_that_no_thermistor_has_are_refused():
    """Resistance that rises with warmth, and too few points."""
    rising = [ThermistorPoint(name=str(t), temperature=Q(t, "degC"), resistance=Q(1000 + 10 * t, "ohm"))
              for t in (0, 25, 50)]

    assert "resistance must fall as it gets warmer" in fault(
        lambda: thermistor(law="three points", points=rising))["points"]
    assert fault(lambda: thermistor(law="three points", points=rising[:2])) == {
        "points": "give three points of the data sheet, such as 0, 25 and 50 degC"}


def test_three_points_may_be_sampled():
    """Each sample its own law."""
    def probe(middle):
        points = [ThermistorPoint(name=str(t), temperature=Q(t, "degC"), resistance=r) for t, r in (
            (0, Q(27_326, "ohm")), (25, middle), (50, Q(4158, "ohm")))]
        return thermistor(law="three points", points=points).cold_resistance

    with sampling():
        together = probe(Q(np.array([9900.0, 10_000, 10_050]), "ohm"))
    alone = [probe(Q(r, "ohm")).m for r in (9900.0, 10_000, 10_050)]
    assert together.m == pytest.approx(alone, rel=1e-9)


# -- bus -----------------------------------------------------------------------------------------------------


def test_two_devices_at_one_address_fail_and_are_named():
    """The seeded mistake, written once in hex and once in decimal."""
    found = bus(BusDevice(name="display", address="0x3C"), BusDevice(name="sensor", address="60"))

    assert found.differ.verdict == "fails"
    assert found.differ.reason == "display and sensor both at 0x3C"


def test_an_address_of_eight_bits_is_refused_with_the_one_meant():
    """0x78 as eight bits is 0x3C as seven; what is no number at all is refused too."""
    assert fault(lambda: bus(BusDevice(name="display", address="0xF0")))["devices"] == (
        "'0xF0' of display is no 7-bit address; write 0x78, for the 8-bit form holds the direction too")
    assert "write 0x3C" in fault(lambda: bus(BusDevice(name="display", address="3C")))["devices"]


def test_boards_with_pull_ups_of_their_own_pull_in_parallel():
    """Five boards of 4.7 kohm are more than a device can sink; none at all never rises."""
    boards = [BusDevice(name=f"b{n}", address=f"0x{0x20 + n:02X}", pull_up=Q(4.7, "kohm")) for n in range(5)]
    found = bus(*boards)

    assert found.together.m_as("kohm") == pytest.approx(4.7 / 6)
    assert found.sinks.verdict == "fails" and found.rises.passes
    bare = bus(BusDevice(name="a", address="0x20"), pull_up=None)
    assert bare.rises.verdict == bare.sinks.verdict == "fails"
    assert "fit one of at least 0.97 kohm" in bare.rises.reason


def test_cable_slows_the_bus_until_it_is_too_long():
    """At the longest cable the rise takes all the time there is."""
    device = BusDevice(name="a", address="0x20")
    longest = bus(device).longest

    assert bus(device, cable=longest * 0.999).rises.passes
    assert bus(device, cable=longest * 1.001).rises.verdict == "fails"


# -- pins ----------------------------------------------------------------------------------------------------


def test_a_float_switch_on_the_battery_side_is_named():
    """15 V at an input of 3.3 V: the seeded mistake."""
    found = pin_plan(pins=[Pin(name="1"), Pin(name="2")], signals=[
        Signal(name="button", need="digital in"), Signal(name="float switch", need="digital in", volts=Q(15, "V"))])

    assert found.unharmed.verdict == "fails"
    assert found.unharmed.reason == "float switch, digital in: divide it or put a switch between"


def test_a_pin_that_bears_more_is_taken_where_it_is_needed():
    """Of two alike, the signal of 5 V gets the one that bears it, whatever the order of the table."""
    pins = [Pin(name="low"), Pin(name="high", bears=Q(5, "V"))]
    for signals in ((3.3, 5.0), (5.0, 3.3)):
        found = pin_plan(pins=pins, signals=[
            Signal(name=str(v), need="digital in", volts=Q(v, "V")) for v in signals])
        assert {use.name: use.pin for use in found.uses} == {"3.3": "low", "5.0": "high"}
        assert found.unharmed.passes


def test_plain_pins_go_first():
    """A lamp that is only switched does not take the one analogue pin."""
    found = pin_plan(pins=[Pin(name="rich", analog=True), Pin(name="plain")],
                     signals=[Signal(name="lamp", need="digital out")])

    assert found.uses[0].pin == "plain" and found.spares == "rich"


def test_a_pin_that_is_asked_for_is_kept_and_asked_for_twice_is_said():
    """Two signals that both want pin 4: one goes without and the check names both."""
    found = pin_plan(pins=[Pin(name="4"), Pin(name="5")], signals=[
        Signal(name="a", need="digital out", pin="4"), Signal(name="b", need="digital out", pin="4")])

    assert found.distinct.verdict == "fails" and found.distinct.reason == "pin 4: a and b"
    assert found.placed.verdict == "fails"


def test_a_pin_that_is_not_there_is_refused():
    """With the pins there are."""
    found = fault(lambda: pin_plan(pins=[Pin(name="4")], signals=[Signal(name="a", need="digital out", pin="9")]))

    assert found == {"signals": "'a' asks for pin '9', which is not there; write one of 4 or '-'"}


def test_the_divider_brings_its_own_volts():
    """The signal that comes from it is held at the divider's worst, not at what its row says."""
    found = pin_plan(pins=[Pin(name="a", analog=True)], signals=[Signal(name="battery", need="analog in")],
                     divided_volts=Q(3.9, "V"))

    assert found.unharmed.verdict == "fails" and found.unharmed.value.m_as("V") == 3.9


# -- switches, coils, log ------------------------------------------------------------------------------------


def heated(**changed):
    """3 A through 12 mohm in 50 degrees of air."""
    given = {"current": Q(3, "A"), "volts": Q(15.3, "V"), "resistance": Q(12, "mohm"), "ambient": Q(50, "degC")}
    return switch_heat(**given | changed)


def test_each_term_warms_the_switch():
    """Current squared, resistance, duty, edges and frequency, thermal resistance, air."""
    base = heated()

    for warmer in ({"current": Q(4, "A")}, {"resistance": Q(20, "mohm")}, {"frequency": Q(20, "kHz")},
                   {"thermal": Q(80, "K/W")}, {"ambient": Q(60, "degC")}, {"rises": Q(0.9, "percent/K")}):
        assert heated(**warmer).junction > base.junction
    assert heated(duty=Q(50, "percent")).junction < base.junction


def test_a_switch_may_run_away():
    """Where each degree makes more heat than it sheds there is no temperature, and the check says so."""
    found = heated(current=Q(60, "A"))

    assert np.isnan(found.junction.m)
    assert found.cool.verdict == "fails" and "without end" in found.cool.reason


def test_a_gate_for_ten_volts_is_not_opened_by_three():
    """The check names it."""
    assert heated(gate_needs=Q(10, "V")).gate.verdict == "fails"


def test_steps_of_brightness_are_clock_over_frequency():
    """80 MHz over 19531 Hz is 4096; a plain switch has none."""
    assert heated(frequency=Q(19_531.25, "Hz")).levels.m == pytest.approx(4096)
    assert np.isnan(heated().levels.m)


def test_every_coil_needs_its_diode():
    """Three coils and two diodes fail; none at all does not apply."""
    def coils(n, diodes):
        return coil_release(volts=Q(12, "V"), resistance=Q(24, "ohm"), coils=n, diodes=diodes)

    assert coils(3, 2).caught.verdict == "fails"
    assert coils(3, 3).caught.passes and coils(3, 4).caught.passes
    assert coils(0, 0).caught.verdict == "does not apply"


def test_readings_that_are_held_back_spare_the_card_and_are_lost_with_the_power():
    """Six at a time: a sixth of the writes, an hour lost."""
    one, six = (log_volume(every=Q(10, "min"), held=n, card=Q(0.001, "GB"), endures=100) for n in (1, 6))

    assert (one.flushes / six.flushes).m == pytest.approx(6)
    assert six.worn_after > one.worn_after
    assert six.lost.m_as("min") == 60


@pytest.mark.parametrize(("every", "size", "megabytes"), [(1, 24, "12.6"), (1 / 6, 12, "37.8")])
def test_a_year_of_readings(every, size, megabytes):
    """24 bytes a minute and 12 bytes every ten seconds."""
    assert log_volume(every=Q(every, "min"), size=Q(size, "B")).a_year.m_as("MB") == pytest.approx(
        float(megabytes), abs=0.05)


def test_a_clock_drifts_by_its_parts_in_a_million():
    """20 in a million are 630 seconds a year of 365 days."""
    assert log_volume(every=Q(10, "min"), unset=Q(365, "d")).drift.m_as("s") == pytest.approx(630.7, abs=0.05)


def test_bounce_is_outlasted_by_whole_samples():
    """Exactly 20 ms of bounce take one sample more than four of 5 ms."""
    found = debounce(bounce=Q(20, "ms"), equal=4)

    assert found.samples.m == 5
    assert found.bridged.verdict == "marginal"
    assert debounce(bounce=Q(20, "ms"), equal=3).bridged.verdict == "fails"
    assert debounce(bounce=Q(20, "ms"), equal=60).quick.verdict == "fails"
    assert debounce(bounce=Q(20, "ms"), equal=60, feels="slow").quick.passes


# -- schedule ------------------------------------------------------------------------------------------------


def slot(name, starts, lasts, **changed):
    """A slot in hours and minutes."""
    return Slot(name=name, starts=Q(starts, "h"), lasts=Q(lasts, "min"), **changed)


def test_two_that_share_nothing_may_run_together():
    """Only what only one may use makes a clash."""
    def clashes(shares):
        return schedule_clashes(most=Q(9, "A"), slots=[
            slot("a", 7, 30, shares=shares), slot("b", 7.25, 30, shares=shares)]).apart.verdict

    assert clashes("pump") == "fails" and clashes("-") == "meets"


def test_a_slot_that_begins_as_another_ends_is_no_clash():
    """Seven to half past seven, and half past seven."""
    found = schedule_clashes(most=Q(9, "A"), slots=[slot("a", 7, 30, shares="pump"), slot("b", 7.5, 30, shares="pump")])

    assert found.apart.passes


def test_times_wrap_over_midnight():
    """From 23:30 for an hour meets 00:15."""
    found = schedule_clashes(most=Q(9, "A"), slots=[
        slot("late", 23.5, 60, shares="pump"), slot("early", 0.25, 10, shares="pump")])

    assert found.clashes[0].together.m_as("min") == pytest.approx(10)
    assert found.clashes[0].first.m_as("h") == pytest.approx(0.25)


def test_more_current_at_once_than_allowed_fails_and_names_what_runs():
    """3 and 4 A at once over 6 A."""
    found = schedule_clashes(most=Q(6, "A"), slots=[
        slot("pump", 7, 30, current=Q(3, "A")), slot("winch", 7.2, 5, current=Q(4, "A"))])

    assert found.within.verdict == "fails" and found.within.reason == "pump, winch"


# -- box -----------------------------------------------------------------------------------------------------

WINTER = [Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent"))]


def aired(**changed):
    """Workshop air shut in, January outside."""
    given = {"shut_at": Q(15, "degC"), "shut_humidity": Q(65, "percent"), "coldest": Q(-10, "degC"), "months": WINTER}
    return box_air(**given | changed)


def test_a_sealed_box_keeps_the_workshops_air():
    """15 degrees and 65 % condense at 8.5; a drying agent of 20 % takes the dew to -8, of 10 % below -10."""
    wet, dry, drier = (aired(kind="sealed", drier=Q(p, "percent")) for p in (100, 20, 10))

    assert wet.sealed_dry.verdict == dry.sealed_dry.verdict == "fails"
    assert drier.sealed_dry.passes
    assert wet.breathing_dry.verdict == "does not apply"


def test_a_breathing_box_is_wet_where_the_air_is_full():
    """At 100 % with a wall no warmer than the air nothing is left; a warmer wall helps."""
    full = [Month(name="January", temperature=Q(1, "degC"), humidity=Q(100, "percent"))]

    assert aired(months=full, warmer=Q(0, "delta_degC")).breathing_dry.passes  # exactly at the dew point
    assert aired().margin.m.min() > aired(warmer=Q(0.2, "delta_degC")).margin.m.min()


def test_the_sun_outweighs_the_electronics():
    """One watt in the shade against a dark face in the sun."""
    def box(**changed):
        given = {"length": Q(300, "mm"), "width": Q(200, "mm"), "height": Q(150, "mm"), "heat": Q(1, "W"),
                 "hot": Q(32, "degC"), "bears": Q(60, "degC")}
        return box_heat(**given | changed)

    shade, light, dark = (box(shade=s) for s in ("in the shade", "light, in the sun", "dark, in the sun"))
    assert shade.rise < light.rise < dark.rise
    assert dark.rise.m > 10 * shade.rise.m
    assert dark.cool.verdict == "fails" and shade.cool.passes
    assert box(passes=Q(11, "W/m^2/K")).rise.m == pytest.approx(shade.rise.m / 2)


# -- splash, low voltage, panel ------------------------------------------------------------------------------


def test_a_box_is_as_tight_as_its_leakiest_part():
    """The gland of IP44 is the weakest, and fails where it is hosed."""
    found = splash(parts=[Seal(name="box", code="IP66"), Seal(name="gland", code="ip44", place="hosed")])

    assert found.weakest == "gland, ip44"
    assert found.tight.verdict == "fails" and found.tight.reason == "gland: ip44 where it is hosed"


def test_two_codes_beside_each_other_count_both():
    """IP65/IP67 stands a hose and going under."""
    for place in ("hosed", "may go under"):
        assert splash(parts=[Seal(name="box", code="IP65/IP67", place=place)]).tight.passes


def test_a_connector_is_held_to_its_rated_current():
    """The one that uses most of it is named; without a rating the check stays open."""
    def plug(name, load, rated):
        return Seal(name=name, code="IP67", load=Q(load, "A"), rated=None if rated is None else Q(rated, "A"))

    found = splash(parts=[plug("lamp", 0.2, 5), plug("pump", 9, 7.5), Seal(name="box", code="IP65")])
    assert found.connectors.verdict == "fails" and found.connectors.reason == "pump"
    assert splash(parts=[plug("pump", 3, None)]).connectors.verdict == "open"
    assert splash(parts=[Seal(name="box", code="IP65")]).connectors.verdict == "does not apply"


def test_what_is_no_ip_code_is_refused():
    """With what to write."""
    assert fault(lambda: splash(parts=[Seal(name="box", code="waterproof")])) == {
        "parts": "'waterproof' of box is no IP code; write IP65 or IP65/IP67"}


def test_low_voltage_checks_each_name_their_cause():
    """One wrong answer at a time."""
    right = {"highest": Q(15.3, "V"), "mains": "none afloat", "joints_in_water": False, "side_by_side": Q(1, "m"),
             "apart": Q(100, "mm"), "twisted": True, "earth": "one point"}
    sound = low_voltage(**right)
    assert all(check.passes for check in (sound.extra_low, sound.isolated, sound.joints_dry, sound.separate,
                                          sound.one_earth))

    assert low_voltage(**right | {"mains": "not known"}).isolated.verdict == "open"
    assert low_voltage(**right | {"mains": "not isolated"}).isolated.verdict == "fails"
    assert low_voltage(**right | {"joints_in_water": True}).joints_dry.verdict == "fails"
    assert low_voltage(**right | {"apart": Q(20, "mm")}).separate.verdict == "fails"
    assert low_voltage(**right | {"apart": Q(50, "mm"), "twisted": False}).separate.verdict == "fails"
    assert low_voltage(**right | {"side_by_side": Q(0.3, "m")}).separate.verdict == "does not apply"
    for earth in ("several points", "through the water"):
        assert low_voltage(**right | {"earth": earth}).one_earth.verdict == "fails"


def panel(*sizes, **changed):
    """One row of square parts."""
    parts = [PanelPart(name=f"p{n}", kind="switch", hole_width=Q(8, "mm"), width=Q(s, "mm"), height=Q(s, "mm"))
             for n, s in enumerate(sizes)]
    given = {"parts": parts, "width": Q(100, "mm"), "height": Q(60, "mm"), "room": Q(60, "mm")}
    return drill_plan(**given | changed)


def test_gaps_are_equal_whatever_the_parts():
    """Widths of 10, 20 and 30 mm in 100 mm leave four gaps of 10 mm."""
    found = panel(10, 20, 30, finger=Q(10, "mm"))

    assert [hole.x.m_as("mm") for hole in found.holes] == pytest.approx([15, 40, 75])
    assert found.across.passes


def test_parts_that_do_not_fit_leave_a_gap_below_nothing():
    """Four of 30 mm in 100 mm: the gap is negative and the check fails."""
    found = panel(30, 30, 30, 30)

    assert found.least_gap.m < 0 and found.across.verdict == "fails"


def test_a_hole_larger_than_its_part_is_found():
    """8 mm through a part of 6 mm."""
    assert panel(6).holes_hidden.verdict == "fails"


def test_wires_need_room_to_bend_behind():
    """30 mm of body and 20 of bend in 60, and not in 45."""
    assert panel(20).behind.passes
    assert panel(20, room=Q(45, "mm")).behind.verdict == "fails"
