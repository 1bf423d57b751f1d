"""The graph of a build: links, waiting, faults, what a change reaches, and samples against single workings-out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from typing import Any

import numpy as np
import pytest

from kit.build.changes import compare
from kit.build.doubt import doubtful, draw, one_of, sample
from kit.build.give_or_take import read_give_or_take
from kit.build.graph import Graph, GraphError, alike
from kit.build.inputs import Values, assemble, kind_of, take_in
from kit.calculator import InputError
from kit.checks import Check
from kit.handed import Part
from kit.kinds import In
from kit.quantities import Q, is_quantity
from kit.stage import EVERY, pencil, run, stage
from tests.toy import STAGES, BoardMass, Draft, board_mass, deck, draft, site

TEXTS = {
    "site.density": "450 kg/m^3",
    "deck.board.thickness": "28 mm",
    "deck.board.area": "6 m^2",
    "deck.planks.per_metre": "2 kg/m",
    "deck.planks.planks[left].length": "2 m",
    "deck.planks.planks[right].length": "2 m",
    "float_stage.box.length": "3 m",
    "float_stage.box.width": "2 m",
    "float_stage.box.depth": "300 mm",
}
TABLES = {"deck.planks.planks": ("left", "right")}


def graph() -> Graph:
    """The toy build."""
    return Graph(STAGES)


def worked(
    changes: dict[str, str | None] | None = None, last: Any = None, tables: Any = None
) -> tuple[dict[str, Any], dict[str, Any]]:
    """The toy worked out with some texts changed."""
    texts = {path: text for path, text in (TEXTS | (changes or {})).items() if text is not None}
    made = graph()
    ready = assemble(made, take_in(made, texts, tables or TABLES))
    return ready, made.evaluate(ready, last)


def test_a_change_in_one_stage_reaches_every_result_that_hangs_on_it() -> None:
    """A thicker board in the deck sinks the box of another stage by mass over area."""
    thin = worked()[1]["float_stage.box"].result.draft
    thick = worked({"deck.board.thickness": "38 mm"})[1]["float_stage.box"].result.draft

    assert (thick - thin).m_as("mm") == pytest.approx(10e-3 * 6 * 450 / (1000 * 6) * 1000)


def test_an_entry_over_a_link_replaces_it_and_taking_it_out_brings_the_link_back() -> None:
    """Density of the board follows the site unless it is entered here."""
    linked = worked()[1]["deck.board"].result.mass
    here = worked({"deck.board.density": "900 kg/m^3"})[1]["deck.board"].result.mass

    assert here.m_as("kg") == pytest.approx(2 * linked.m_as("kg"))


def test_what_is_missing_is_named_and_stops_only_what_hangs_on_it() -> None:
    """Without a thickness the board waits for it, the planks do not, and no check may say more than open."""
    ready, done = worked({"deck.board.thickness": None})

    assert done["deck.board"].waits == ("deck.board.thickness",)
    assert done["deck.planks"].works
    assert done["float_stage.box"].lacks == ("deck",)
    checks = {path: check for path, _, check in graph().checks(ready, done)}
    assert checks["deck.board.light"].verdict == "open"
    assert checks["float_stage.box.dry"].verdict == "open"
    assert "deck" in checks["float_stage.box.dry"].reason


def test_a_wrong_entry_is_a_fault_of_its_own_node_and_never_falls_back_to_the_link() -> None:
    """Text that cannot be read over a linked input gives its own sentence."""
    done = worked({"deck.board.density": "heavy"})[1]

    assert not done["deck.board"].works
    assert "density" in done["deck.board"].fault.faults


def test_a_wrong_cell_of_a_table_names_row_and_column() -> None:
    """The fault says which plank and what."""
    done = worked({"deck.planks.planks[left].length": "5 kg"})[1]

    assert list(done["deck.planks"].fault.faults) == ["planks: [left].length"]


def test_a_body_does_not_wait_for_an_entry_it_never_reads() -> None:
    """The entry deck.idle is required and missing, yet the deck hands on its parts."""
    assert worked()[1]["deck"].works


def test_only_what_a_change_reaches_is_worked_out_again() -> None:
    """The outcomes of untouched nodes are the very same objects."""
    first = worked()[1]
    second = worked({"float_stage.box.depth": "400 mm"}, last=first)[1]

    assert second["deck.board"] is first["deck.board"]
    assert second["float_stage.box"] is not first["float_stage.box"]


def test_working_out_stops_where_values_are_equal() -> None:
    """28 mm written as 2.8 cm runs the board again, but not what hangs on its result."""
    first = worked()[1]
    second = worked({"deck.board.most": "90 kg"}, last=first)[1]

    assert second["deck.board"] is not first["deck.board"]
    assert second["float_stage.box"] is first["float_stage.box"]


def test_a_stage_switched_off_leaves_its_links_as_plain_entries() -> None:
    """Without the site the density of the board must be entered or takes its default."""
    made = Graph(STAGES, off=["site"])

    assert made.places["deck.board.density"].link is None
    assert "site" not in made.nodes


def test_a_link_to_nothing_says_what_there_is() -> None:
    """The message names the link, the path and the nearest names."""

    @stage("wrong", "02", "Wrong", settles="nothing")
    def wrong(*, board: BoardMass = run(board_mass, density="site.dens")) -> Iterator[Part]:
        """A stage with a misspelt link."""
        yield from ()

    with pytest.raises(
        GraphError, match=r"wrong.board.density is linked to site.dens, but site has no dens; it has density"
    ):
        Graph([site, wrong])


def test_a_link_of_another_dimension_is_refused() -> None:
    """A density cannot feed a thickness."""

    @stage("wrong", "02", "Wrong", settles="nothing")
    def wrong(*, board: BoardMass = run(board_mass, thickness="site.density")) -> Iterator[Part]:
        """A stage with a link of the wrong kind."""
        yield from ()

    with pytest.raises(GraphError, match=r"that is in kg/m\^3, not in mm"):
        Graph([site, wrong])


def test_a_calculator_that_would_wait_for_itself_is_refused_with_its_path() -> None:
    """Two links in a ring are named."""

    @stage("ring", "02", "Ring", settles="nothing")
    def ring(
        *,
        one: BoardMass = run(board_mass, most="ring.two.mass"),
        two: BoardMass = run(board_mass, most="ring.one.mass"),
    ) -> Iterator[Part]:
        """A stage that bites its tail."""
        yield from ()

    with pytest.raises(GraphError, match=r"wait for itself: ring\.(one waits for ring\.two|two waits for ring\.one)"):
        Graph([ring])


def test_a_pencilled_value_stands_and_is_checked_against_its_result() -> None:
    """The guess is used, and the closing check compares it with the worked-out value."""

    @stage("tub", "11", "Tub", settles="a loop cut by a pencilled value")
    def tub(
        *,
        box: Draft = run(draft, parts=EVERY, lean=pencil("tub.box.draft", Q(50, "mm"))),
    ) -> Iterator[Part]:
        """A box that leans by about its own draft."""
        yield from ()

    made = Graph([site, deck, tub])
    texts = {p.replace("float_stage", "tub"): t for p, t in TEXTS.items()} | {"tub.box.lean": "10 mm"}
    ready = assemble(made, take_in(made, texts, TABLES))
    checks = {path: check for path, _, check in made.checks(ready, made.evaluate(ready))}

    assert checks["tub.box.lean"].verdict == "meets"
    assert checks["tub.box.lean"].value.m_as("mm") == pytest.approx((450 * 0.168 + 1 + 8) / 6)


def test_an_entry_nobody_knows_is_listed_and_harmless() -> None:
    """A misspelt path is reported as unknown."""
    values = take_in(graph(), TEXTS | {"deck.board.thicknes": "3 mm"}, TABLES)

    assert values.unknown == ("deck.board.thicknes",)


def test_the_report_of_a_change_names_results_moved_checks_turned_and_parts_changed() -> None:
    """A board too heavy turns its check and moves the draft."""
    before, after = worked(), worked({"deck.board.thickness": "60 mm"})
    report = compare(graph(), before, after)

    assert [(t.path, t.old, t.new) for t in report.turned] == [("deck.board.light", "meets", "fails")]
    assert {"deck.board.mass", "float_stage.box.draft"} <= {m.path for m in report.moved}
    assert [p.path for p in report.parts] == ["deck: board", "float_stage: box"]


def _numbers(thing: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every number in a result, nested rows and checks included; what does not apply has none to compare."""
    if isinstance(thing, Check) and thing.state == "does not apply":
        return
    if is_quantity(thing):
        yield path, thing.to_base_units().magnitude if not str(thing.units).startswith("degree") else thing.magnitude
    elif isinstance(thing, (float, int, np.ndarray)) and not isinstance(thing, bool):
        yield path, thing
    elif isinstance(thing, tuple):
        for place, one in enumerate(thing):
            yield from _numbers(one, f"{path}[{place}]")
    elif isinstance(thing, Check) or hasattr(type(thing), "declaration"):
        for f in fields(thing):
            yield from _numbers(getattr(thing, f.name), f"{path}.{f.name}")


def assert_samples_agree(made: Graph, values: Values, entries: Any, count: int = 5) -> int:
    """Every result of a sampled build equals its own single working-out, to 1e-9; returns how many were compared."""
    drawn = dict(values.cells)
    for doubt in doubtful(made, values, entries):
        drawn[doubt.path] = draw(doubt, kind_of(made, doubt.path), count, 1)
    together = sample(made, values, entries, count=count, seed=1)
    compared = 0
    for place in range(count):
        alone = made.evaluate(assemble(made, one_of(values, drawn, place)))
        for key, outcome in alone.items():
            assert outcome.works == together[key].works, key
            if not outcome.works:
                continue
            many = dict(_numbers(together[key].result))
            for path, number in _numbers(outcome.result):
                sampled = np.asarray(many.get(path, np.nan))
                # A list whose length hangs on a count (board edges, mix cards) is made for the nominal values.
                if "[" in path and not made.nodes[key].is_body and sampled.ndim == np.ndim(number):
                    continue
                picked = sampled[..., place] if sampled.ndim > np.ndim(number) else sampled
                np.testing.assert_allclose(picked, number, rtol=1e-9, atol=1e-12, err_msg=f"{key}{path}")
                compared += 1
    return compared


class Entry:
    """An entry as the record gives it."""

    def __init__(self, give_or_take: str | None = None, shared: str | None = None, basis: str = "estimate") -> None:
        self.give_or_take, self.shared, self.basis = give_or_take, shared, basis


def test_samples_of_the_whole_toy_agree_with_one_by_one_evaluation() -> None:
    """Every result and check value of five samples, rows and curves included, equals its own single working-out."""
    made = graph()
    values = take_in(made, TEXTS, TABLES)
    entries = {path: Entry("7 %") for path in values.cells}

    assert assert_samples_agree(made, values, entries) > 100


def test_cells_that_err_together_widen_the_doubt_of_their_sum() -> None:
    """Two planks cut by one rule: a shared draw doubles the variance of independent ones, within sampling error."""
    made = graph()
    values = take_in(made, TEXTS, TABLES)
    cells = [p for p in values.cells if p.endswith(".length") and "planks" in p]
    alone = sample(made, values, {p: Entry("10 %") for p in cells}, count=20_000)["deck.planks"].result.mass
    together = sample(made, values, {p: Entry("10 %", "rule") for p in cells}, count=20_000)["deck.planks"].result.mass

    ratio = np.var(together.m_as("kg")) / np.var(alone.m_as("kg"))
    # The variance of a variance of n even draws is about 0.8/n of its square: 3 sigma of the ratio is 4 %.
    assert ratio == pytest.approx(2, rel=0.04)


def test_a_new_doubtful_entry_leaves_all_other_draws_alone() -> None:
    """Streams are keyed by path."""
    made = graph()
    values = take_in(made, TEXTS, TABLES)
    one = sample(made, values, {"deck.board.thickness": Entry("5 %")}, count=50)["deck.board"].result.volume
    two = sample(made, values, {"deck.board.thickness": Entry("5 %"), "site.density": Entry("5 %")}, count=50)[
        "deck.board"
    ].result.volume

    assert np.array_equal(one.magnitude, two.magnitude)


@pytest.mark.parametrize(
    ("text", "shape", "share", "amount"),
    [
        ("5 %", "even", 0.05, None),
        ("normal 7 %", "normal", 0.07, None),
        ("triangle 2 mm", "triangle", None, 2.0),
        ("±1 mm", "even", None, 1.0),
    ],
)
def test_a_give_or_take_is_read_from_its_text(text: str, shape: str, share: float | None, amount: float | None) -> None:
    """Shape, then share or amount."""
    half = read_give_or_take(text, In("mm", "width", 10, ge=0, le=100))

    assert half.shape == shape
    assert half.up == half.down
    assert half.up.share == (pytest.approx(share) if share is not None else None)
    assert (half.up.amount.m_as("mm") if half.up.amount is not None else None) == amount


def test_rows_compare_by_their_cells_and_arrays_by_their_values() -> None:
    """Two parts with equal cells are alike; one changed cell makes them differ."""
    one = Part(name="a", mass=Q(np.array([1.0, 2.0]), "kg"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0, "m"))
    same = Part(name="a", mass=Q(np.array([1.0, 2.0]), "kg"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0, "m"))
    other = Part(name="a", mass=Q(np.array([1.0, 2.5]), "kg"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0, "m"))

    assert alike(one, same)
    assert not alike(one, other)


def test_a_row_checks_its_cells_when_it_is_made() -> None:
    """A part with a mass in metres is refused where it is written."""
    with pytest.raises(InputError, match=r"mass \(mass at fitting\): 5 m is not an amount in kg|mass"):
        Part(name="a", mass=Q(5, "m"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0, "m"))


def test_annotated_inputs_of_a_body_are_entries_of_the_stage() -> None:
    """site.density is a place with its declared kind."""
    place = graph().places["site.density"]

    assert place.kind.unit == "kg/m^3"
    assert place.required
