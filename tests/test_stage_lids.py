"""Stage 05 in a graph of its own: links, demo entries, what it hands on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

import pytest

from kit.build.graph import Graph, Outcome
from kit.build.inputs import assemble, take_in
from kit.calculator import calculator, result
from kit.handed import Hazard, Part, Purchase, Task
from kit.kinds import In, Out, YesNo
from kit.quantities import Q, Quantity
from kit.sources import SOURCES
from kit.stage import run, stage
from kit.stages.lids import lids

ENTRIES = {
    "lids.lids_fitted": "2",
    "lids.fittings_mass": "3.5 kg",
    "lids.fittings_y": "-0.25 m",
    "lids.fittings_z": "0.531 m",
    "lids.hinge_price": "14 GBP",
    "lids.strut_price": "18 GBP",
    "lids.latch_price": "15 GBP",
    "lids.seal_price": "18 GBP",
    "lids.balance.handle": "620 mm",
    "lids.balance.fall": "2 deg",
    "lids.balance.opening": "80 deg",
    "lids.balance.force": "150 N",
    "lids.balance.extended": "365 mm",
    "lids.balance.stroke": "150 mm",
    "lids.balance.lid_mount_along": "100 mm",
    "lids.balance.lid_mount_above": "-30 mm",
    "lids.balance.body_mount_along": "250 mm",
    "lids.balance.body_mount_above": "-200 mm",
    "lids.balance.lean": "7 deg",
    "lids.hinges.spacing": "400 mm",
    "lids.screws.diameter": "4.8 mm",
    "lids.screws.thread": "40 mm",
    "lids.screws.specific_gravity": "0.32",
    "lids.held_open.kind": "stop at the hinge",
    "lids.held_open.lid_end_along": "120 mm",
    "lids.held_open.strength": "1000 N",
    "lids.hinge_line.slots": "5 mm",
    "lids.hinge_metals.leaf": "stainless steel",
    "lids.hinge_metals.screws": "stainless steel",
    "lids.hinge_metals.wood": "oak, chestnut, cedar, Douglas fir",
    "lids.rain.overhang": "20 mm",
    "lids.meeting_edge.gap": "10 mm",
    "lids.meeting_edge.lap": "30 mm",
    "lids.rim_seal.line_force": "20 N/m",
    "lids.rim_seal.latch_pull": "40 N",
}


@result
class Panel:
    """What the lids need of a panel."""

    mass: Annotated[Quantity, Out("kg", "mass")]
    centre: Annotated[Quantity, Out("mm", "centre of gravity from the hinge edge")]
    depth: Annotated[Quantity, Out("mm", "depth")]
    width: Annotated[Quantity, Out("mm", "width")]
    wet_mass: Annotated[Quantity, Out("kg", "mass wet through")]


@calculator("kit")
def a_panel(*, weighed: Annotated[Quantity, In("kg", "mass", 8.6, ge=0, le=100)]) -> Panel:
    """A lid of a size."""
    return Panel(mass=weighed, centre=Q(315, "mm"), depth=Q(640, "mm"), width=Q(550, "mm"), wet_mass=1.1 * weighed)


@result
class Lean:
    """What the lids need of the float."""

    tilt: Annotated[Quantity, Out("deg", "tilt")]


@calculator("kit")
def a_crowd(*, leans: Annotated[Quantity, In("deg", "tilt", 6.6, ge=0, le=90)]) -> Lean:
    """A float with people at its edge."""
    return Lean(tilt=leans)


@result
class Moves:
    """What the lids need of a panel's movement."""

    change: Annotated[Quantity, Out("mm", "change of its width")]


@calculator("kit")
def a_movement(*, moves: Annotated[Quantity, In("mm", "change", 5, ge=-50, le=50)]) -> Moves:
    """A lid that swells."""
    return Moves(change=moves)


@stage("panels", "02", "Panels", settles="a stand-in")
def panels(
    *,
    lid: Panel = run(a_panel),
    top: Panel = run(a_panel),
    swelling: Moves = run(a_movement),
    shrinking: Moves = run(a_movement),
) -> Iterator[Part]:
    """Nothing to hand on."""
    yield from ()


@stage("raft", "10", "Float", settles="a stand-in")
def raft(*, crowd: Lean = run(a_crowd)) -> Iterator[Part]:
    """Nothing to hand on."""
    yield from ()


@stage("brief", "00", "Brief", settles="a stand-in")
def brief(
    *,
    cold: Annotated[Quantity, In("degC", "coldest air", -10, ge=-60, le=40)],
    lid_steel: Annotated[Quantity, In("degC", "hottest steel", 45, ge=0, le=90)],
    lid_wind: Annotated[Quantity, In("m/s", "wind in which lids are shut", 8, ge=0, le=40)],
    children: Annotated[bool, YesNo("are children about")],
) -> Iterator[Part]:
    """Nothing to hand on."""
    yield from ()


def worked(**changed: str) -> tuple[Graph, dict[str, Any], dict[str, Outcome]]:
    """The stage worked out with the demo build's entries, some changed."""
    around = {
        "brief.cold": "-10 degC",
        "brief.lid_steel": "45 degC",
        "brief.lid_wind": "8 m/s",
        "brief.children": "yes",
        "panels.lid.weighed": "8.6 kg",
        "panels.top.weighed": "5 kg",
        "panels.swelling.moves": "5 mm",
        "panels.shrinking.moves": "-2 mm",
        "raft.crowd.leans": "6.6 deg",
    }
    graph = Graph([brief, panels, lids, raft])
    # The mass and tilt of the stand-ins are entries of the same name as their results.
    values = take_in(graph, ENTRIES | around | changed, {})
    assert values.unknown == ()
    ready = assemble(graph, values)
    return graph, ready, graph.evaluate(ready)


def test_the_demo_entries_settle_the_stage() -> None:
    """Every calculator works, the listed checks meet, and only what is known of the box's vents stays open."""
    graph, ready, done = worked()
    assert all(outcome.works for outcome in done.values())
    verdicts = {path: check.verdict for path, _, check in graph.checks(ready, done)}
    passing = ("meets", "marginal", "does not apply")
    assert {path for path, verdict in verdicts.items() if verdict not in passing} == {
        f"lids.locker.{name}" for name in ("two_vents", "vent_size", "vents_apart", "opens_from_inside")
    }
    assert verdicts["lids.balance.lean"] == "meets"


def test_what_is_handed_on() -> None:
    """One part of 3.5 kg in its place, four articles at the demo's prices, 8 hours and four hazards with sources."""
    graph, _, done = worked()
    parts = [row for _, row in graph.handed(done, Part)]
    assert [(p.name, p.mass.m_as("kg"), p.y.m_as("m"), p.z.m_as("m")) for p in parts] == [
        ("hinges, struts, latches", 3.5, -0.25, 0.531)
    ]
    costs = {row.name: float(row.cost.m_as("money")) for _, row in graph.handed(done, Purchase)}
    assert costs == {"hinges": 56, "gas struts": 36, "latches": 30, "seal": 18}
    tasks = [row for _, row in graph.handed(done, Task)]
    assert [(t.quick.m_as("h"), t.likely.m_as("h"), t.slow.m_as("h")) for t in tasks] == [(5, 8, 14)]
    hazards = [row for _, row in graph.handed(done, Hazard)]
    assert len(hazards) == 4 and all(hazard.cites in SOURCES and hazard.at != "-" for hazard in hazards)


def test_a_heavier_lid_is_felt_at_the_hand_and_at_the_hinges() -> None:
    """The mass of the panel reaches moments, hinges and slam without being entered again."""
    (_, _, light), (_, _, heavy) = worked(), worked(**{"panels.lid.weighed": "10 kg"})
    for key, name in (("lids.balance", "hand_open"), ("lids.slam", "energy")):
        assert getattr(heavy[key].result, name) > getattr(light[key].result, name)
    assert heavy["lids.hinges"].result.shut_along != light["lids.hinges"].result.shut_along


def test_a_pencilled_lean_is_held_against_the_float() -> None:
    """Seven degrees pencilled are too far from nine worked out, and the check says by how much."""
    graph, ready, done = worked(**{"raft.crowd.leans": "9 deg"})
    closing = next(check for path, _, check in graph.checks(ready, done) if path == "lids.balance.lean")
    assert closing.verdict == "fails"
    assert closing.value.m_as("deg") == pytest.approx(2)


def test_without_a_float_the_lean_is_an_ordinary_entry() -> None:
    """A bench has no raft: the stage still stands, and its lean is not held against anything."""
    graph = Graph([brief, panels, lids, raft], off=("raft",))
    assert graph.places["lids.balance.lean"].pencil is None
    assert len(lids.first_look) <= 6 and all(f"lids.{path}" in graph.places for path in lids.first_look)
