"""What is entered for a stage's own body: a word for a number there is a sentence, never the end of the whole build."""

from __future__ import annotations

import pytest

from kit.build.build import Build
from kit.kinds import Count, In

_OWN = [
    (stage.key, name, "0.04" if isinstance(entry.kind, Count) else "abc")
    for stage in Build.open("tarn_locker").graph.stages.values()
    for name, entry in stage.entries.items()
    if isinstance(entry.kind, Count | In)
]


@pytest.fixture(scope="module")
def demo() -> Build:
    """The demo; every test puts back what it tries."""
    return Build.open("tarn_locker")


_MINE = ("mooring", "power", "water", "wiring")


@pytest.mark.parametrize(("stage", "name", "text"), [one for one in _OWN if one[0] in _MINE])
def test_a_word_for_a_number_of_a_stage_itself_is_a_sentence(demo: Build, stage: str, name: str, text: str) -> None:
    """The entry is named, the rest of the build stays worked out, and the stage hands nothing on that rests on it."""
    path = f"{stage}.{name}"
    demo.enter(path, text)
    try:
        assert demo.fault(path)
        assert name in demo.now.outcomes[stage].fault.faults
        assert [key for key, outcome in demo.now.outcomes.items() if outcome.fault] == [stage]
    finally:
        demo.put_back(path)


def test_a_length_that_a_body_takes_from_a_calculator_may_be_nonsense_too(demo: Build) -> None:
    """The rope to buy is reckoned in the body from the length entered for the leg."""
    demo.enter("mooring.leg.rope", "as much as there is")
    try:
        assert "rope_length" in demo.now.outcomes["mooring"].fault.faults
    finally:
        demo.put_back("mooring.leg.rope")
