"""The heat of curing resin held against printed figures, a textbook's plane wall and an independent integrator."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from kit.cure_model import Layers, cure, reaction_rate
from kit.pour_simulation import CupReading, cup_calibration, cure_simulation
from kit.quantities import Q

PACK = "slab table worked out beside the published kinetics (doi of the source kinetics-2015): peaks in degC"


def layers(depth_mm, top, bottom, **more):
    """The resin of the table, 20 degC all round."""
    known = {
        "start": 293.15, "around": 293.15, "density": 1150, "specific_heat": 1700.0, "conductivity": 0.2, "heat": 446e3,
    }
    return Layers(depth=np.asarray(depth_mm) / 1000, top=top, bottom=bottom, **(known | more))


DEPTHS = (3, 5, 8, 10, 15, 20, 30, 40)


@pytest.mark.outside("cure_simulation", PACK)
@pytest.mark.parametrize(("top", "bottom", "printed", "within"), [
    (10, 0, "24.8 32.2 184.9 225.5 271 305 342 352", 1.5),
    (10, 3.75, "23.0 26.3 37.7 - 234 267 308 331", 1.0),
    (np.inf, np.inf, "20.1 20.2 20.5 20.7 21.7 23.3 30.5 -", 0.3),
])
def test_peaks_of_a_slab_come_out_as_printed(top, bottom, printed, within):
    """Steps and cells as in the table; the two cells on the edge of running away are tried below."""
    peaks = cure(layers(DEPTHS, top, bottom)).peak - 273.15
    for found, text in zip(peaks, printed.split(), strict=True):
        if text != "-":
            assert found == pytest.approx(float(text), abs=within)


@pytest.mark.outside("cure_simulation", PACK)
def test_cells_on_the_edge_of_running_away_come_out_within_their_doubt():
    """109 +- 4 degC at 10 mm on wood and 139 at 40 mm held, which move by degrees with the step."""
    assert cure(layers([10], 10, 3.75)).peak[0] - 273.15 == pytest.approx(109, abs=5)
    assert cure(layers([40], np.inf, np.inf)).peak[0] - 273.15 == pytest.approx(139, abs=5)


@pytest.mark.outside("cure_simulation", PACK)
@pytest.mark.parametrize(("speed", "printed"), [
    (0.5, "22.5 26.8 37.5"), (0.25, "21.1 22.7 24.8"), (0.1, "20.4 21.0 21.6"),
])
def test_slower_resins_stay_cooler_as_printed(speed, printed):
    """Peaks at 5, 10 and 15 mm on wood."""
    peaks = cure(layers([5, 10, 15], 10, 3.75, speed=speed)).peak - 273.15
    assert peaks == pytest.approx([float(text) for text in printed.split()], abs=0.5)


@pytest.mark.outside("cure_simulation", "plane wall, one-term solution (textbook formula), Bi 2.5, Fo 0.5: 0.62323")
def test_a_wall_that_does_not_react_cools_as_the_textbook_says():
    """50 mm, h 10, k 0.2: at Fo 0.5 the back is at 0.62323 of its warmth, by cells of half a millimetre."""
    wall = layers([50], 10, 0, start=323.15, heat=0.0)
    longest = 0.5 * 0.05**2 / (0.2 / (1150 * 1700))
    run = cure(wall, cells=100, step=longest / 200, longest=longest)

    assert (run.temperature[0, -1] - 293.15) / 30 == pytest.approx(0.62323, abs=0.0005)


@pytest.mark.outside("cure_simulation", "isothermal times of the published kinetics, worked out beside them")
@pytest.mark.parametrize(("degrees", "printed"), [
    (15, "2.343 6.040 10.593"), (20, "1.666 4.324 7.609"), (25, "1.197 3.128 5.522"), (60, "0.152 0.416 0.751"),
])
def test_isothermal_times_come_out_as_printed(degrees, printed):
    """The reciprocal of the rate integrated over the share cured."""
    for share, text in zip((0.1, 0.3, 0.5), printed.split(), strict=True):
        # The fourth power takes the infinite slope at nothing out of the integral.
        seconds, _ = quad(lambda u: 4 * u**3 / reaction_rate(u**4, degrees + 273.15), 0, share**0.25)
        assert seconds / 3600 == pytest.approx(float(text), abs=0.0015)


@pytest.mark.outside("cure_simulation", "conservation of energy")
@pytest.mark.parametrize(("top", "bottom"), [(0, 0), (10, 3.75), (np.inf, np.inf)])
def test_heat_made_is_heat_kept_and_heat_lost(top, bottom):
    """What the reaction gave off is in the layer or has left by a face."""
    run = cure(layers([4, 8, 20], top, bottom), until=420)
    depth = np.array([4, 8, 20]) / 1000
    made = 1150 * 446e3 * depth * run.share.mean(axis=1)
    kept = 1150 * 1700 * depth * (run.temperature.mean(axis=1) - 293.15)

    assert kept + run.lost == pytest.approx(made, rel=1e-9)


@pytest.mark.outside("cure_simulation", "convergence with cells and steps")
def test_finer_cells_and_steps_change_the_peak_less_and_less():
    """Halved twice, each halving moves the peak of 20 mm by less than the one before, and the last by under 1 K."""
    peaks = [float(cure(layers([20], 10, 3.75), cells=c, share=s, step=t).peak[0])
             for c, s, t in ((10, 0.016, 80), (20, 0.008, 40), (40, 0.004, 20))]
    first, second = abs(peaks[1] - peaks[0]), abs(peaks[2] - peaks[1])

    assert second < first and second < 1.0


@pytest.mark.outside("cup_calibration", "scipy.integrate.solve_ivp: a cup of known speed, Runge-Kutta to 1e-9")
@pytest.mark.parametrize(("speed", "cooling"), [(0.4, 1.2), (1.0, 2.5)])
def test_a_cup_of_known_speed_is_recovered(speed, cooling):
    """Readings every ten minutes from an independent integration give speed and cooling back within 2 %."""
    def flow(_, state):
        alpha, warm = max(state[0], 0.0), state[1]
        rate = float(reaction_rate(alpha, warm, speed))
        return [rate, 446e3 / 1700 * rate - cooling / 3600 * (warm - 293.15)]

    times = np.arange(0, 6 * 3600 + 1, 600.0)
    known = solve_ivp(flow, (0, times[-1]), [0.0, 293.15], t_eval=times, rtol=1e-9, atol=1e-9, max_step=20).y[1]
    readings = [
        CupReading(name=f"{t / 60:.0f}", time=Q(t / 60, "min"), temperature=Q(k - 273.15, "degC"))
        for t, k in zip(times, known, strict=True)
    ]
    found = cup_calibration(readings=readings, room=Q(20, "degC"))

    assert found.found_speed.m == pytest.approx(speed, rel=0.02)
    assert found.cooling.m_as("1/h") == pytest.approx(cooling, rel=0.03)
    assert found.fits.verdict == "meets"


@pytest.mark.outside("cure_simulation", "UFC 3-250-06 (2004), 15: below 140 F while it hardens")
def test_the_published_rule_parts_a_thin_layer_from_a_deep_one():
    """4 mm on wood stays below 60 degC by both readings; 12 mm runs away by one of them and says so."""
    thin, deep = (
        cure_simulation(depth=Q(d, "mm"), temperature=Q(20, "degC"), room=Q(20, "degC")) for d in (4, 12)
    )

    assert thin.cool.verdict == "meets" and "no approval" in thin.says
    assert deep.cool.verdict == "fails" and deep.says.startswith("runs away")
    assert deep.peak > deep.peak_stiffening
