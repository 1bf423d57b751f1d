"""The browser harness itself, tried on a small notebook written here.

The notebook holds what a stage's form does: a box with a label, a result that
follows it, a message beside it for nonsense, and a button that writes a file.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest

from tests.browser.lab import LabPage

NAME = "throwaway.ipynb"
CELLS = [
    "import html\nimport pathlib\nimport ipywidgets as W",
    """\
box = W.Text(value="3", description="Width", continuous_update=False)
shown = W.HTML()
button = W.Button(description="Record")

def refresh(_=None):
    try:
        shown.value = f'<div class="good">twice is {2 * float(box.value):g}</div>'
    except ValueError as fault:
        shown.value = f'<div class="bad">{html.escape(str(fault))}</div>'""",
    """\
box.observe(refresh, "value")
button.on_click(lambda _: pathlib.Path("recorded.txt").write_text(box.value))
refresh()
W.VBox([box, shown, button])""",
]


def _write(folder: Path, name: str, cells: list[str]) -> None:
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source) for source in cells])
    notebook.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(notebook, folder / name)


@pytest.fixture
def form(page: LabPage) -> Iterator[LabPage]:
    """The throwaway notebook, open and run."""
    _write(page.lab.notebooks, NAME, CELLS)
    page.open_notebook(NAME)
    page.run_all()
    yield page
    for left in (NAME, "recorded.txt"):
        (page.lab.notebooks / left).unlink(missing_ok=True)


def test_a_change_shows_in_the_result_and_nonsense_in_the_message(form: LabPage) -> None:
    """A number typed into the box moves the result; nonsense is answered beside it; recording reaches the disk."""
    assert form.code_cell_errors() == []
    form.wait_for_text(".good", "twice is 6")

    form.fill("Width", "4.5")
    form.wait_for_text(".good", "twice is 9")

    form.fill("Width", "wide")
    form.wait_for_text(".bad", "could not convert")
    assert form.page.locator(".good").count() == 0

    form.fill("Width", "7")
    form.wait_for_text(".good", "twice is 14")
    form.click("Record")
    written = form.lab.notebooks / "recorded.txt"
    form.wait_until(lambda: written.is_file() and written.read_text() == "7")
    assert form.faults == []
    assert form.outside == []


def test_themes_and_widths_change_what_is_shown(form: LabPage, tmp_path: Path) -> None:
    """The dark theme darkens the picture of the same notebook, and a narrow window narrows it."""
    from PIL import Image

    form.set_theme(dark=False)
    light = Image.open(form.screenshot(tmp_path / "light.png")).convert("L")
    form.set_theme(dark=True)
    dark = Image.open(form.screenshot(tmp_path / "dark.png")).convert("L")
    form.narrow(420)
    narrow = Image.open(form.screenshot(tmp_path / "narrow.png"))

    assert light.resize((1, 1)).getpixel((0, 0)) > 200 > 80 > dark.resize((1, 1)).getpixel((0, 0))
    assert light.width == 1280
    assert narrow.width == 420


def test_a_failing_cell_is_reported_with_the_cells_after_it(page: LabPage) -> None:
    """A cell that raises is named with its error, and the cell after it as not run."""
    _write(page.lab.notebooks, "failing.ipynb", ["1 + 1", "1 / 0", "2 + 2"])
    page.open_notebook("failing.ipynb")
    page.run_all()
    try:
        assert page.code_cell_errors() == ["cell 2: ZeroDivisionError: division by zero", "cell 3 was not run"]
    finally:
        (page.lab.notebooks / "failing.ipynb").unlink()
