"""The handbook is what its script writes, and the script reads the outside checks from the tests themselves."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kit.calculator import CALCULATORS
from kit.kinds import Kind
from kit.sources import SOURCES
from tests import handbook
from tests.handbook import OutsideCheck, differences, outside_checks, pages

TEST = '''
import pytest
from pytest import mark

pytestmark = [pytest.mark.outside("whole", "a book, table 1"), pytest.mark.slow]

@pytest.mark.outside("one", "a book, table 2")
@pytest.mark.outside("two", "a library")
@pytest.mark.parametrize("x", [1])
def test_it(x):
    """It holds
    over two lines.

    And more.
    """

class TestMany:
    @pytest.mark.outside("three", "a standard")
    def test_inside(self):
        pass

BOOK = "a book"
LONG = BOOK + ", part 2"
outside = pytest.mark.outside

@outside("four", f"{LONG}, table 5")
def test_named():
    """Texts may have names."""

def helper():
    """No test."""
'''


def written(folder: Path, text: str) -> list[OutsideCheck]:
    """The checks found in a folder of one test file."""
    (folder / "test_sample.py").write_text(text, encoding="utf-8")
    return outside_checks(folder)


def test_markers_are_collected_from_functions_classes_and_modules(tmp_path: Path) -> None:
    """Each with the first paragraph of the test's docstring, or its name, and where it stands."""
    found = written(tmp_path, TEST)

    it, inside, named = (f"test_sample::test_{name}" for name in ("it", "inside", "named"))
    assert found == [
        OutsideCheck("four", "a book, part 2, table 5", "Texts may have names.", named),
        OutsideCheck("one", "a book, table 2", "It holds over two lines.", it),
        OutsideCheck("three", "a standard", "test_inside", inside),
        OutsideCheck("two", "a library", "It holds over two lines.", it),
        OutsideCheck("whole", "a book, table 1", "It holds over two lines.", it),
        OutsideCheck("whole", "a book, table 1", "Texts may have names.", named),
        OutsideCheck("whole", "a book, table 1", "test_inside", inside),
    ]


@pytest.mark.parametrize("marker", ['("one")', '("one", SOURCE)', '("one", "")', '("one", source="a book")', "()"])
def test_a_marker_that_cannot_be_read_is_an_error(tmp_path: Path, marker: str) -> None:
    """A check that went missing from the table would look like one never made."""
    with pytest.raises(ValueError, match=r"test_sample.py, line 2: write @pytest.mark.outside"):
        written(tmp_path, f"import pytest\n@pytest.mark.outside{marker}\ndef test_it(): pass\n")


def test_every_outside_check_names_a_calculator_there_is() -> None:
    """A misspelt name would leave its calculator without its check."""
    handbook.all_calculators()

    assert [check for check in outside_checks() if check.calculator not in CALCULATORS] == []


def test_every_calculator_and_source_has_its_heading() -> None:
    """Nothing declared is left out."""
    made = pages()

    for name in CALCULATORS:
        assert f"\n### {name}\n" in made["calculators.md"]
        assert f"\n## {name}\n" in made["checks.md"]
    for key in SOURCES:
        assert f"\n## {key}\n" in made["sources.md"]


def test_a_calculator_without_an_outside_check_is_listed_as_such() -> None:
    """With no checks at all every calculator is listed; with one for a calculator it is not."""
    name = sorted(CALCULATORS)[0]
    none = pages([])["checks.md"]
    one = pages([OutsideCheck(name, "a book", "it holds", "test_it")])["checks.md"]

    assert f"0 of {len(CALCULATORS)} calculators" in none
    assert none.count("No outside check yet.") == len(CALCULATORS)
    assert f"1 of {len(CALCULATORS)} calculators" in one
    assert "| a book | it holds | `test_it` |" in one


def test_every_row_of_a_table_has_the_cells_of_its_heading() -> None:
    """A bar within a cell would move the rest of its line."""
    for text in pages().values():
        width = 0
        for line in text.splitlines():
            cells = len(re.findall(r"(?<!\\)\|", line)) if line.startswith("|") else 0
            assert cells in (0, width) or width == 0, line
            width = cells


def test_links_between_pages_lead_to_headings() -> None:
    """Every link of a page has its heading, and no two headings of a page are alike."""
    made = pages()
    anchors = {
        name: {handbook._anchor(line.lstrip("# ")) for line in text.splitlines() if line.startswith("#")}
        for name, text in made.items()
    }
    for name, text in made.items():
        assert sum(line.startswith("#") for line in text.splitlines()) == len(anchors[name]), name
    for here, text in made.items():
        for page, anchor in re.findall(r"\]\(([a-z]*\.?m?d?)#([^)]+)\)", text):
            assert anchor in anchors[page or here], f"{here}: {page}#{anchor}"


def test_writing_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    """The pages hang on nothing but the declarations."""
    handbook.write(tmp_path)
    first = {path.name: path.read_bytes() for path in tmp_path.rglob("*.md")}
    handbook.write(tmp_path)

    assert {path.name: path.read_bytes() for path in tmp_path.rglob("*.md")} == first
    assert differences(tmp_path) == []
    assert all(b"\r" not in text and text.endswith(b"\n") for text in first.values())


def test_a_page_that_was_changed_added_or_lost_is_named(tmp_path: Path) -> None:
    """Each by its file name."""
    handbook.write(tmp_path)
    (tmp_path / "checks.md").write_text("mine", encoding="utf-8")
    (tmp_path / "sources.md").unlink()
    (tmp_path / "more.md").write_text("mine", encoding="utf-8")

    assert differences(tmp_path) == ["checks.md", "more.md", "sources.md"]


def test_the_script_takes_check_and_nothing_else(capsys: pytest.CaptureFixture[str]) -> None:
    """Anything else is told how to write it."""
    assert handbook.main(["--chekc"]) == 2
    assert capsys.readouterr().out == "write: python tests/handbook.py [--check]\n"


def test_the_handbook_is_what_its_script_writes(capsys: pytest.CaptureFixture[str]) -> None:
    """The committed pages equal what the declarations say now."""
    assert handbook.main(["--check"]) == 0, capsys.readouterr().out


def test_no_page_names_a_folder_of_this_machine() -> None:
    """Pages are the same wherever they are written."""
    assert not any(str(handbook.ROOT) in text for text in pages().values())
    assert Kind.__name__ not in pages()["calculators.md"]
