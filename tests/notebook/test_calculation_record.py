"""What a calculation record should have stands on the build sheet under the words its page of the handbook names."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kit.notebook.build_sheet import build_sheet
from kit.notebook.page import open_stage
from kit.notebook.paper import sheet_page

PAGE = Path(__file__).resolve().parents[2] / "shared" / "handbook" / "calculation_record.md"
# Words in italics that name something in a notebook and not on the sheet.
ELSEWHERE = {"Behind it", "not covered", "Checks"}


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The sheet of the demo as a page."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("RECKONER_BUILDS", str(tmp_path_factory.mktemp("builds")))
        build = open_stage("sheet", "tarn_locker").build
        return sheet_page(build, "Build sheet", build_sheet(build, doubt=200))


def lines() -> list[list[str]]:
    """The rows of the table."""
    text = PAGE.read_text(encoding="utf-8")
    rows = [line.strip("| ").split("|") for line in text.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in row] for row in rows[2:]]


def test_all_twenty_five_points_are_answered() -> None:
    """Each has a number of its own and says where it stands."""
    assert [row[0] for row in lines()] == [str(n) for n in range(1, 26)]
    assert all(row[2] for row in lines())


@pytest.mark.parametrize("number", range(1, 26))
def test_what_the_page_names_is_on_the_sheet(sheet: str, number: int) -> None:
    """Every title in italics is found on the printed page."""
    named = [words for words in re.findall(r"\*([^*]+)\*", lines()[number - 1][2]) if words not in ELSEWHERE]

    assert [words for words in named if words not in sheet] == []
