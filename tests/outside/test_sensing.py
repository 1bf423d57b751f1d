"""Dividers, thermistors, bus, pins, switches, logging and schedule against print, brute force and solvers."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import Bounds, LinearConstraint, brentq, milp

from kit.dividers import divider, flattest
from kit.i2c import BusDevice, two_wire_bus
from kit.logbook import debounce, log_volume
from kit.pins import Pin, Signal, can, pin_plan
from kit.quantities import Q
from kit.schedule import Slot, schedule_clashes
from kit.switching import coil_release, switch_heat
from kit.thermistors import ThermistorPoint, thermistor


def half_digit(printed):
    """Half of the last digit of a printed number."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2]) * (1 + 1e-9)


# -- divider -------------------------------------------------------------------------------------------------


@pytest.mark.outside("divider", "every corner of the tolerances tried, the input found as a node of the circuit")
def test_the_worst_voltage_is_the_worst_of_all_corners():
    """Kirchhoff's current law at the input, solved for each of the four pairs of resistors."""
    found = divider(upper=Q(100, "kohm"), lower=Q(22, "kohm"), tolerance=Q(1, "percent"), highest=Q(15.3, "V"),
                    bears=Q(3.3, "V"))
    corners = [brentq(lambda v, up=up, down=down: (15.3 - v) / up - v / down, 0, 15.3)
               for up, down in itertools.product((99e3, 101e3), (21.78e3, 22.22e3))]

    assert found.worst.m_as("V") == pytest.approx(max(corners), rel=1e-12)
    assert found.too_low.m_as("percent") == pytest.approx(100 * (1 - min(corners) / (15.3 * 22 / 122)), rel=1e-9)


@pytest.mark.outside("divider", "common practice, no source: a 10-bit input has 1024 levels")
def test_ten_bits_have_1024_levels():
    """And twelve 4096."""
    levels = [divider(upper=Q(100, "kohm"), lower=Q(22, "kohm"), highest=Q(15.3, "V"), bears=Q(3.3, "V"), bits=bits)
              .levels.m for bits in (10, 12)]

    assert levels == [1024, 4096]


@pytest.mark.outside("divider", "Lessons in Electric Circuits, volume IV chapter 13: 1/10 in over 40 ft needs 13 bits")
def test_steps_halve_with_every_bit():
    """4800 steps are wanted; twelve bits give 4096, thirteen 8192."""
    def steps(bits):
        """Steps over 48 V read by a divider of ten to one: 10 mV of battery is a tenth of an inch."""
        found = divider(upper=Q(90, "kohm"), lower=Q(10, "kohm"), highest=Q(48, "V"), nominal=Q(40, "V"),
                        bears=Q(5, "V"), reference=Q(4.8, "V"), bits=bits, wanted=Q(10, "mV"))
        return found.fine.verdict

    assert (steps(12), steps(13)) == ("fails", "meets")


@pytest.mark.outside("divider", "charging of a capacitor integrated by scipy")
def test_the_converter_settles_in_the_time_worked_out():
    """The capacitor behind the divider's resistance is half a step from its end after that time."""
    found = divider(upper=Q(100, "kohm"), lower=Q(22, "kohm"), highest=Q(15.3, "V"), bears=Q(3.3, "V"))
    tau = found.source.m_as("ohm") * 8e-12
    end = found.settles_in.m_as("s")
    solved = solve_ivp(lambda t, v: (1 - v) / tau, (0, end), [0.0], rtol=1e-10, atol=1e-13)

    assert 1 - solved.y[0, -1] == pytest.approx(0.5 / 4096, rel=1e-4)


@pytest.mark.outside("divider", "state of charge table in a charge controller's manual, p. 30")
def test_the_flattest_stretch_of_the_printed_rest_volts_is_found():
    """60 to 80 percent, 12.20 to 12.42 V: 1.1 V for the whole charge."""
    assert flattest().m_as("V") == pytest.approx((12.42 - 12.20) / 0.2)


# -- thermistors ---------------------------------------------------------------------------------------------

# 10 kohm at 25 degC, resistance in ohm by degrees, as the kernel's tables took them from the makers' sheets.
EPCOS = {-20: 68104, -10: 42576, 0: 27326, 10: 17973, 20: 12090, 30: 8311, 40: 5825, 50: 4158, 85: 1451, 100: 973}
MURATA = {0: 28674, 10: 18399, 20: 12169, 30: 8271, 40: 5762, 50: 4105, 85: 1454}


def through(table, celsius, **changed):
    """Resistance at one temperature by the law through 0, 25 and 50 degrees."""
    points = [ThermistorPoint(name=str(t), temperature=Q(t, "degC"), resistance=Q(r, "ohm"))
              for t, r in ((0, table[0]), (25, 10_000), (50, table[50]))]
    given = {"law": "three points", "points": points, "cold": Q(celsius, "degC"), "hot": Q(celsius + 1, "degC")}
    return thermistor(**given | changed)


def off_by(found, printed):
    """Error in degrees: difference of the logarithms over their slope from one end of the degree to the other."""
    slope = np.log((found.hot_resistance / found.cold_resistance).m_as(""))
    return np.log((found.cold_resistance.m_as("ohm")) / printed) / slope


@pytest.mark.outside("thermistor", "Murata and EPCOS data sheets in the Linux kernel's ntc_thermistor.c")
@pytest.mark.parametrize(("table", "celsius"), [
    *((EPCOS, t) for t in EPCOS), *((MURATA, t) for t in MURATA)], ids=lambda v: str(v) if isinstance(v, int) else "")
def test_the_three_point_law_runs_through_the_printed_table(table, celsius):
    """To 0.015 degrees between the points used, to 0.15 degrees beyond them."""
    within = 0.015 if 0 <= celsius <= 50 else 0.15
    assert off_by(through(table, celsius), table[celsius]) == pytest.approx(0, abs=within)


@pytest.mark.outside("thermistor", "EPCOS data sheet in the Linux kernel's ntc_thermistor.c, B25/85")
def test_beta_is_good_near_its_points_and_off_by_a_degree_far_away():
    """With B 3435 from 25 and 85 degrees, the printed resistance at 0 degrees reads 1.07 degrees too warm."""
    beta = np.log(10_000 / EPCOS[85]) / (1 / 298.15 - 1 / 358.15)
    assert beta == pytest.approx(3435, abs=0.5)

    def read(ohms):
        """Temperature at which the beta law has this resistance."""
        def missed(celsius):
            return thermistor(beta=Q(3435, "K"), cold=Q(celsius, "degC"), hot=Q(celsius + 1, "degC")
                              ).cold_resistance.m_as("ohm") - ohms
        return brentq(missed, -45, 140)

    assert read(EPCOS[85]) == pytest.approx(85, abs=0.03)
    assert read(EPCOS[0]) == pytest.approx(1.07, abs=0.005)


@pytest.mark.outside("thermistor", "differences of the voltage curve itself")
def test_the_step_is_the_slope_of_the_voltage():
    """One step of the converter over the numerical slope of volts by degrees."""
    found = thermistor(cold=Q(-20, "degC"), hot=Q(60, "degC"))
    slope = np.gradient(found.volts.m_as("V"), found.temperature.m_as("degC"), edge_order=2)

    assert found.step.m[1:-1] == pytest.approx((3.3 / 4096 / -slope)[1:-1], rel=5e-3)


# -- bus -----------------------------------------------------------------------------------------------------


@pytest.mark.outside("two_wire_bus", "rise of an RC circuit integrated by scipy, 0.3 to 0.7 of the supply")
def test_the_bus_rises_in_the_time_worked_out():
    """Time from 0.3 to 0.7 of the supply, found on the integrated curve."""
    found = two_wire_bus(devices=[BusDevice(name="a", address="0x20", capacitance=Q(90, "pF"))],
                         pull_up=Q(4.7, "kohm"), cable=Q(3, "m"))
    tau = 4700 * found.capacitance.m_as("pF") * 1e-12
    curve = solve_ivp(lambda t, v: (1 - v) / tau, (0, 3 * tau), [0.0], rtol=1e-10, atol=1e-12, dense_output=True).sol
    times = [brentq(lambda t, level=level: curve(t)[0] - level, 0, 3 * tau) for level in (0.3, 0.7)]

    assert found.rise.m_as("s") == pytest.approx(times[1] - times[0], rel=1e-6)


@pytest.mark.outside("two_wire_bus", "NXP UM10204 rev. 5, 7.1: 0.8473; 0.4 V and 3 mA")
def test_limits_of_the_pull_up_have_the_printed_constants():
    """t/(0.8473 C) to the four printed digits; (3.3 - 0.4)/3 mA."""
    found = two_wire_bus(devices=[BusDevice(name="a", address="0x20", capacitance=Q(0, "pF"))], speed="400 kHz",
                         pull_up=Q(1, "kohm"), controller=Q(100, "pF"), cable=Q(3, "m"))

    assert 300 / (found.most.m_as("kohm") * 400) == pytest.approx(0.8473, abs=0.00005)
    assert found.least.m_as("ohm") == pytest.approx(2.9 / 3e-3)
    # No pull-up serves 400 pF at 400 kHz from 3.3 V: what rises in time cannot be pulled down.
    assert found.most < found.least


@pytest.mark.outside("two_wire_bus", "NXP UM10204 rev. 5, Table 3: reserved addresses")
def test_there_are_112_addresses_to_use():
    """0000 xxx and 1111 xxx are reserved."""
    free = [number for number in range(128)
            if two_wire_bus(devices=[BusDevice(name="a", address=hex(number))], pull_up=Q(3, "kohm")).free.passes]

    assert len(free) == 112
    assert [n for n in range(128) if n >> 3 not in (0b0000, 0b1111)] == free


# -- pins ----------------------------------------------------------------------------------------------------

KINDS = ("digital in", "digital out", "PWM out", "analog in", "bus data", "bus clock")


def random_case(seed):
    """A controller of six pins and five signals, drawn at random."""
    random = np.random.default_rng(seed)
    pins = [Pin(name=str(n), bears=Q(float(random.choice([3.3, 5.0])), "V"), input=bool(random.integers(2)),
                output=bool(random.integers(2)), pwm=bool(random.integers(2)), analog=bool(random.integers(2)),
                special=str(random.choice(["-", "bus data", "bus clock"]))) for n in range(6)]
    signals = [Signal(name=f"s{n}", need=str(random.choice(KINDS)), volts=Q(float(random.choice([3.3, 5.0])), "V"))
               for n in range(5)]
    return pins, signals


def harm(pin, signal):
    """1 where the pin would see more than it bears."""
    return float(signal.volts > pin.bears)


@pytest.mark.outside("pin_plan", "every assignment tried one by one")
@pytest.mark.parametrize("seed", range(12))
def test_no_assignment_places_more_signals_or_harms_fewer_pins(seed):
    """As many signals find a pin as in the best of all ways, and of those ways as few pins as possible are harmed."""
    pins, signals = random_case(seed)
    best = (0, 0.0)
    for order in itertools.permutations([*range(6), *[None] * 5], 5):
        pairs = [(pins[p], s) for p, s in zip(order, signals, strict=True) if p is not None]
        if all(can(pin, s.need) for pin, s in pairs):
            best = max(best, (len(pairs), -sum(harm(pin, s) for pin, s in pairs)))
    plan = pin_plan(pins=pins, signals=signals)
    used = [use for use in plan.uses if use.pin != "none"]

    assert (len(used), -sum(float(use.volts > use.bears) for use in used)) == best
    assert len({use.pin for use in used}) == len(used)


@pytest.mark.outside("pin_plan", "the same assignment as an integer programme solved by scipy's milp")
def test_the_integer_programme_finds_as_many_places():
    """Binary choice of a pin for each signal, at most one each way; the greatest number that can be placed."""
    for seed in range(40, 52):
        pins, signals = random_case(seed)
        able = np.array([[float(can(pin, s.need)) for pin in pins] for s in signals])
        each = np.kron(np.eye(len(signals)), np.ones(len(pins)))
        once = np.kron(np.ones(len(signals)), np.eye(len(pins)))
        solved = milp(-able.ravel(), integrality=np.ones(able.size), bounds=Bounds(0, able.ravel()),
                      constraints=LinearConstraint(np.vstack([each, once]), -np.inf, 1))

        assert sum(use.pin != "none" for use in pin_plan(pins=pins, signals=signals).uses) == round(-solved.fun)


# -- switches and coils --------------------------------------------------------------------------------------


@pytest.mark.outside("switch_heat", "Neamen ex 8.1 and 8.2, Boylestad ex 12.18, Jacob ex 4.6: power at the limit")
@pytest.mark.parametrize(("watts", "thermal", "ambient", "limit"), [
    ("2.32", 1.75 + 50, 30, 150), ("15.48", 1.75 + 1 + 5, 30, 150), ("61.54", 0.5 + 0.6 + 1.5, 40, 200),
    ("2.92", 2.5 + 2.0 + 24.61, 40, 125)])
def test_the_printed_power_brings_the_junction_to_its_limit(watts, thermal, ambient, limit):
    """Within what half of the last digit of the printed power is worth in degrees."""
    found = switch_heat(current=Q(10, "A"), volts=Q(12, "V"), resistance=Q(float(watts) * 10, "mohm"),
                        rises=Q(0, "percent/K"), thermal=Q(thermal, "K/W"), ambient=Q(ambient, "degC"))

    assert found.junction.m_as("degC") == pytest.approx(limit, abs=half_digit(watts) * thermal)


@pytest.mark.outside("switch_heat", "TI data sheet TPS2062: resistance, power and temperature worked round and round")
def test_the_temperature_is_where_the_rounds_end():
    """Twenty rounds of resistance at the last temperature, then power, then temperature."""
    celsius = 45.0
    for _ in range(60):
        ohms = 0.05 * (1 + 0.006 * (celsius - 25))
        celsius = 45 + 60 * (0.7 * 4**2 * ohms + 0.5 * 14 * 4 * 500e-9 * 20e3)
    found = switch_heat(current=Q(4, "A"), volts=Q(14, "V"), duty=Q(70, "percent"), frequency=Q(20, "kHz"),
                        resistance=Q(50, "mohm"), rises=Q(0.6, "percent/K"), edges=Q(500, "ns"), thermal=Q(60, "K/W"),
                        ambient=Q(45, "degC"))

    assert found.junction.m_as("degC") == pytest.approx(celsius, abs=1e-6)


@pytest.mark.outside("switch_heat", "Jacob, Power Electronics, ex 3.5: 15 V, duty 0.35, 8.87 V effective")
def test_effective_volts_of_a_pulse_train_as_printed():
    """And by the integral of the square over one period."""
    found = switch_heat(current=Q(1, "A"), volts=Q(15, "V"), duty=Q(35, "percent"), resistance=Q(10, "mohm"),
                        ambient=Q(25, "degC"))

    assert found.effective.m_as("V") == pytest.approx(8.87, abs=half_digit("8.87"))
    assert found.effective.m_as("V") == pytest.approx(np.sqrt(quad(lambda t: 15.0**2, 0, 0.35)[0]))


@pytest.mark.outside("coil_release", "heat in the coil's resistance integrated by scipy while the current dies")
def test_the_energy_of_the_coil_is_what_its_resistance_burns():
    """The current through an ideal diode falls by L di/dt = -R i; all of L I^2/2 becomes heat."""
    found = coil_release(volts=Q(12, "V"), resistance=Q(24, "ohm"), inductance=Q(100, "mH"), diodes=1)
    solved = solve_ivp(lambda t, y: [-24 / 0.1 * y[0], 24 * y[0] ** 2], (0, 0.2), [0.5, 0.0], rtol=1e-10, atol=1e-14)

    assert found.energy.m_as("J") == pytest.approx(solved.y[1, -1], rel=1e-6)
    at = np.interp(found.decay.m_as("s"), solved.t, solved.y[0])
    assert at == pytest.approx(0.5 / np.e, rel=1e-3)


# -- logging, bouncing, schedule -----------------------------------------------------------------------------


@pytest.mark.outside("log_volume", "common practice, no source: a reading every 10 minutes is 144 a day")
def test_a_reading_every_ten_minutes_is_144_a_day():
    """Counted one by one through a day."""
    assert log_volume(every=Q(10, "min")).a_day.m == len(range(0, 24 * 60, 10)) == 144


@pytest.mark.outside("debounce", "fall of an RC circuit integrated by scipy")
def test_the_capacitor_holds_as_long_as_the_bounce():
    """It falls to the threshold when the bounce is over."""
    found = debounce(bounce=Q(20, "ms"), resistor=Q(10, "kohm"), supply=Q(3.3, "V"), threshold=Q(0.8, "V"))
    tau = 1e4 * found.capacitor.m_as("uF") * 1e-6
    solved = solve_ivp(lambda t, v: -v / tau, (0, 0.02), [3.3], rtol=1e-10, atol=1e-12)

    assert solved.y[0, -1] == pytest.approx(0.8, rel=1e-6)


@pytest.mark.outside("schedule_clashes", "a day walked through second by second")
@pytest.mark.parametrize("seed", range(6))
def test_a_walk_through_the_day_finds_the_same_clashes_and_current(seed):
    """Whole minutes, so that a step of one minute misses nothing."""
    random = np.random.default_rng(seed)
    slots = [
        Slot(name=f"s{n}", starts=Q(int(random.integers(1440)) / 60, "h"), lasts=Q(int(random.integers(1, 240)), "min"),
             times=int(random.choice([1, 2, 4])), current=Q(float(random.integers(1, 9)), "A"),
             shares=str(random.choice(["pump", "-"]))) for n in range(6)]
    runs = np.zeros((6, 1440), dtype=bool)
    for n, one in enumerate(slots):
        for turn in range(one.times):
            start = round(one.starts.m * 60) + turn * 1440 // one.times
            runs[n, (start + np.arange(round(one.lasts.m))) % 1440] = True
    amps = np.array([one.current.m for one in slots])
    found = schedule_clashes(slots=slots, most=Q(100, "A"))
    together = {(a, b): int((runs[a] & runs[b]).sum()) for a, b in itertools.combinations(range(6), 2)
                if slots[a].shares == slots[b].shares == "pump"}

    assert found.busiest.m_as("A") == pytest.approx((amps @ runs).max())
    assert found.apart.value.m == sum(minutes > 0 for minutes in together.values())
    assert {c.name: round(c.together.m_as("min")) for c in found.clashes} == {
        f"s{a} with s{b}": minutes for (a, b), minutes in together.items() if minutes}
