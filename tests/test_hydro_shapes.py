"""Drums on end, bodies on their side, floats of every kind: each term, and what may be entered."""

from __future__ import annotations

import numpy as np
import pytest

from kit.calculator import InputError
from kit.damage import damage
from kit.floats import check_floats, float_table
from kit.flood_cases import FloodedPair
from kit.hydro_kernel import Compartments, Uprights
from kit.hydro_turned import held_at
from kit.hydrostatics import afloat_at
from kit.least_ballast import whole_places
from kit.quantities import Q
from kit.sampling import sampling
from tests.raft_cases import bare, compartments, lies, loads, tube
from tests.test_crowd import WET, damaged, people


def mixed():
    """A tube each way, a box and a drum on end."""
    flat = compartments(
        tubes=[(1, 0, -0.8, -0.2, 3, 0.25), (0, 0.1, 0.3, -0.2, 2, 0.2)], boxes=[(0.5, 0.5, -0.3, 1, 0.4, 0.3)]
    )
    drum = Uprights(*(np.array([[v]]) for v in (-0.5, 0.6, -0.4, 0.3, 0.9)))
    return Compartments(flat.tubes, flat.boxes, drum)


def test_a_body_looked_at_from_another_side_is_the_same_body():
    """At slopes that both ways can work, tubes cut as drums and drums as tubes give the same water, to 1e-12."""
    rng = np.random.default_rng(1)
    slope, way = np.radians(rng.uniform(46, 70, 40)), rng.choice([0, np.pi / 2, np.pi, -np.pi / 2], 40)
    way = way + rng.uniform(-0.2, 0.2, 40)
    up = np.stack([-np.sin(slope) * np.cos(way), -np.sin(slope) * np.sin(way), np.cos(slope)])
    bodies, density = mixed(), np.full(40, 1000.0)
    load = loads(bodies, np.full(40, 400.0), 0.05, 0.02, 0.1)
    turned, straight = held_at(bodies, density, load, up), afloat_at(bodies, density, load, up)

    np.testing.assert_allclose(turned.depth, straight.depth, atol=1e-9)
    for axis in "xyz":
        np.testing.assert_allclose(getattr(turned, axis), getattr(straight, f"buoyancy_{axis}"), atol=1e-9)


def test_half_its_lift_sinks_a_standing_drum_to_its_middle():
    """A drum of 0.58 x 0.88 m; its draft is mass over density and area."""
    found = lies([bare(shape="drum", direction="standing", diameter=Q(580, "mm"), length=Q(0.88, "m"))], 116.25, z=-0.4)

    assert found.draft.m_as("m") == pytest.approx(116.25 / (1000 * np.pi / 4 * 0.58**2), abs=1e-9)


def test_a_standing_drum_is_stiff_by_its_circle():
    """BM = R^2/(4 T)."""
    found = lies([bare(shape="drum", direction="standing", diameter=Q(580, "mm"), length=Q(0.88, "m"))], 100, z=-0.4)

    assert found.radius_y.m_as("m") == pytest.approx(0.29**2 / (4 * found.draft.m_as("m")), abs=1e-9)
    assert found.radius_x.m_as("m") == pytest.approx(found.radius_y.m_as("m"), abs=1e-9)


def test_a_drum_lying_is_a_tube():
    """Every result alike."""
    drum, pipe = (
        lies([bare(shape=s, diameter=Q(580, "mm"), length=Q(0.88, "m"))], 80, z=-0.2) for s in ("drum", "round tube")
    )

    assert drum.draft == pipe.draft
    assert drum.stiffness_y == pipe.stiffness_y


def test_a_block_is_foam_all_through():
    """What it keeps when water gets at it is all but what it takes up."""
    block = bare(shape="foam block", width=Q(0.6, "m"), height=Q(0.4, "m"), length=Q(2, "m"), uptake=Q(5, "percent"))
    table = float_table([block])

    assert float(table.kept.magnitude[0]) == pytest.approx(0.95)
    assert table.dry.m_as("kg")[0] == pytest.approx(0.48 * 20)
    assert table.wet.m_as("kg")[0] == pytest.approx(0.48 * 20 + 0.48 * 0.05 * 1000)


def test_a_float_weighed_whole_is_believed():
    """Its mass by length is then not used."""
    assert float_table([tube(weighed=Q(91, "kg"))]).dry.m_as("kg")[0] == pytest.approx(91)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"diameter": None, "shape": "drum"}, "port: a drum needs a diameter, such as 500 mm"),
        (
            {"shape": "box", "direction": "standing", "width": Q(1, "m"), "height": Q(1, "m")},
            "port: only a round tube or a drum stands on end; turn its sizes instead",
        ),
        ({"mass_per_metre": None}, "port: enter its mass by length, such as 22 kg/m, or weigh it whole"),
        (
            {"shape": "foam block", "width": Q(1, "m"), "height": Q(1, "m")},
            "port: a foam block has no wall; call it a box, or leave the wall out",
        ),
    ],
)
def test_a_float_that_cannot_be_is_refused_in_one_sentence(changed, said):
    """The sentence names the float and what to do."""
    with pytest.raises(InputError) as caught:
        check_floats([tube("port", **changed)])
    assert caught.value.faults["floats"] == said


def test_whole_places_leave_no_more_than_they_may_and_weigh_least():
    """Against every choice of full and empty, one by one."""
    rng = np.random.default_rng(4)
    x, y, most = rng.uniform(-2, 2, (5, 40)), rng.uniform(-1, 1, (5, 40)), rng.uniform(5, 60, (5, 40))
    mx, my, within = rng.uniform(-60, 60, 40), rng.uniform(-30, 30, 40), np.full(40, 15.0)
    found = whole_places(x, y, most, mx, my, within, np.full((5, 40), np.nan))

    for n in range(40):
        best = np.inf
        for choice in range(32):
            full = np.array([(choice >> k) & 1 for k in range(5)]) * most[:, n]
            if np.hypot(mx[n] - full @ x[:, n], my[n] - full @ y[:, n]) <= 15:
                best = min(best, full.sum())
        assert (found[:, n].sum() == pytest.approx(best)) if np.isfinite(best) else np.isnan(found[:, n]).all()


# -- damage and the ladder ---------------------------------------------------------------------------


def pair(first, second):
    """A named pair."""
    return [FloodedPair(name="pair", first=first, second=second)]


def test_a_pair_loses_more_than_either_of_its_compartments():
    """Lower and more tilted than the worse of the two."""
    made = damaged(together=pair("tube 1, cell 1 of 2", "tube 2, cell 1 of 2"))
    cells = {cell.name: cell for cell in made.cells}

    assert made.pairs[0].deck_edge < min(cells["tube 1, cell 1 of 2"].deck_edge, cells["tube 2, cell 1 of 2"].deck_edge)
    assert made.pair_stays_up.verdict == "fails"
    assert "tube 1" not in damaged().pair_stays_up.reason


def test_a_pair_that_is_not_there_is_open_and_names_it():
    """A misspelt compartment never passes."""
    check = damaged(together=pair("tube 9", "tube 1, cell 1 of 2")).pair_stays_up

    assert check.verdict == "open"
    assert "there is no compartment called tube 9" in check.reason


def test_people_in_the_corner_next_to_it_turn_it_over_where_an_edge_does_not():
    """Little foam: at the edge it holds, in the corner it does not, and the check says where."""
    from tests.raft_cases import floats

    check = damaged(floats=floats(foam=Q(20, "percent"))).corner_stays_up
    assert check.verdict == "fails"
    assert "turns over" in check.reason
    assert "named end" in check.reason or "other end" in check.reason


def test_damage_counts_what_turns_over_and_what_was_not_solved_apart(monkeypatch):
    """A solver robbed of its steps has solved nothing; it says so and turns nothing over."""
    given = {
        **WET,
        "density": Q(999.7, "kg/m^3"),
        "people": 4,
        "sharing": 3,
        "person_mass": Q(80, "kg"),
        "deck_length": Q(3, "m"),
        "deck_width": Q(2.2, "m"),
        "deck_top": Q(0.148, "m"),
    }
    monkeypatch.setattr("kit.hydrostatics._STEPS", 1)
    found = damage(**given, floats=[tube(str(y), y=Q(y, "m"), cells=1) for y in (-0.8, 0.8)])

    assert "could not be solved" in found.lost
    assert "turn over" not in found.lost


def test_a_heavier_person_on_the_ladder_tilts_it_more():
    """And without a ladder the checks do not apply."""
    light, heavy = (people(ladder_x=Q(1.7, "m"), heavy_person=Q(m, "kg")) for m in (80, 150))

    assert heavy.ladder_tilt > light.ladder_tilt
    assert people().ladder_heel.verdict == "does not apply"
    with sampling():
        both = people(ladder_x=Q(1.7, "m"), heavy_person=Q(np.array([80.0, 150.0]), "kg"))
    assert both.ladder_tilt.m_as("deg") == pytest.approx([light.ladder_tilt.m_as("deg"), heavy.ladder_tilt.m_as("deg")])


def test_the_pontoon_test_covers_two_hulls_only():
    """Four tubes are not covered; two fat ones under a low deck are judged."""
    from tests.raft_cases import floats

    assert people(criterion="pontoon simplified test").pontoon_side.verdict == "not covered"
    two = floats(ys=(-1.0, 1.0), diameter=Q(700, "mm"), z=Q(-0.35, "m"), length=Q(4, "m"))
    made = people(criterion="pontoon simplified test", floats=two, deck_length=Q(4, "m"), deck_width=Q(2.7, "m"))
    assert made.pontoon_side.verdict in ("meets", "marginal", "fails")
    assert made.pontoon_side.limit.m_as("m^2") <= 0.75 * np.pi / 4 * 0.7**2 + 1e-9
