"""Closer looks: worked out when they are asked for, never with the build, and known to be out of date."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kit.build import Build
from kit.build.graph import Graph, GraphError
from kit.build.record import Record
from kit.handed import Part
from kit.notebook.closer_look import CloserLook
from kit.notebook.page import Page
from kit.quantities import Q
from kit.stage import closer, run, stage
from tests.toy import STAGES, Draft, draft


@stage("survey", "90", "Survey", settles="How deep it would sit.")
def survey(*, again: Draft = closer(draft, lean="deck.board.thickness")) -> Iterator[Part]:
    """A closer look that hangs on another stage and has entries of its own."""
    yield from ()


@pytest.fixture
def build(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Build:
    """A record of the toy with a stage that looks closer."""
    graph = Graph([*STAGES, survey])
    monkeypatch.setattr("kit.build.build.graph_without", lambda off: graph)
    file = tmp_path / "toy.toml"
    box = '[survey.again]\nlength = "3 m"\nwidth = "2 m"\ndepth = "300 mm"\n'
    file.write_text(f'schema = 1\n[build]\nname = "Toy"\nrevision = 1\n[deck.board]\nthickness = "28 mm"\n{box}')
    return Build(Record(file))


def test_a_closer_look_is_not_worked_out_with_the_build(build: Build) -> None:
    """The build has no outcome for it until it is asked for, and its checks are not among the build's."""
    assert "survey.again" not in build.now.outcomes
    assert build.closer("survey.again") is None
    assert not [path for path, _, _ in build.checks() if path.startswith("survey")]


def test_asked_for_it_is_worked_out_and_kept_until_something_it_rests_on_changes(build: Build) -> None:
    """The result of a change elsewhere is the same object; a change of its own entry puts it out of date."""
    first = build.ask("survey.again")
    assert first.works
    build.enter("deck.planks.per_metre", "3 kg/m")
    assert build.closer("survey.again") is first.result
    build.enter("deck.board.thickness", "38 mm")
    assert build.closer("survey.again") is None and not build.is_current("survey.again")
    again = build.ask("survey.again").result
    assert (again.draft - first.result.draft).m_as("mm") == pytest.approx(10)


def test_a_closer_look_nobody_has_is_refused_by_name(build: Build) -> None:
    """The sentence says which there are."""
    with pytest.raises(KeyError, match=r"no closer look survey\.twice; it has survey\.again"):
        build.ask("survey.twice")


def test_nothing_may_hang_on_a_closer_look() -> None:
    """A link to its result, and a body that uses it, are refused when the stages are put together."""

    @stage("later", "91", "Later", settles="Something else.")
    def later(*, box: Draft = run(draft, length="survey.again.draft")) -> Iterator[Part]:
        """It would wait for the closer look."""
        yield from ()

    with pytest.raises(GraphError, match=r"survey\.again is a closer look, worked out only when it is asked for"):
        Graph([*STAGES, survey, later])

    with pytest.raises(TypeError, match="stage hasty uses again, but a closer look is worked out only when"):

        @stage("hasty", "92", "Hasty", settles="Too much.")
        def hasty(*, again: Draft = closer(draft)) -> Iterator[Part]:
            """It uses what is not there."""
            yield Part(name="box", mass=Q(1, "kg"), x=again.draft, y=Q(0, "m"), z=Q(0, "m"))


def test_the_page_shows_it_and_strikes_it_through_when_it_is_out_of_date(build: Build) -> None:
    """Worked out when the cell runs; after a change the old numbers are struck through and the button is offered."""
    page = Page(build, build.graph.stages["survey"])
    view = CloserLook(page, "again")
    assert view.button.disabled and "br-stale" not in view.out.value.split("</style>")[1]
    assert "draft" in view.plain()
    page.act(lambda: build.enter("survey.again.width", "3 m"))
    assert not view.button.disabled and "br-stale" in view.out.value.split("</style>")[1]
    assert "work it out again" in view.plain()
    view.button.click()
    assert view.button.disabled and page.trouble == ""
