"""The freeze script: a second run gives the same bytes, and nothing of the machine is kept."""

from __future__ import annotations

from pathlib import Path

import nbformat
import pytest
from nbclient.exceptions import CellExecutionError

from tests.freeze import executed, freeze, frozen_text

CONTROL = "import ipywidgets as W\nW.VBox([W.Text(value='12 mm'), W.HTML('12 mm')])"


def _notebook(folder: Path, *sources: str) -> Path:
    cells = [nbformat.v4.new_code_cell(source, metadata={"tags": ["kept"], "seen": "dropped"}) for source in sources]
    path = folder / "small.ipynb"
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata={"author": "dropped"}), path)
    return path


def test_a_second_run_writes_the_same_bytes(tmp_path: Path) -> None:
    """Freezing writes once; freezing or checking again finds nothing to change, controls and printing included."""
    path = _notebook(tmp_path, "print('a')\nprint('b')", CONTROL)

    assert freeze(path)
    first = path.read_bytes()
    assert not freeze(path)
    assert not freeze(path, check=True)
    assert path.read_bytes() == first


def test_a_check_writes_nothing(tmp_path: Path) -> None:
    """A check says that an unrun notebook would change, and leaves the file alone."""
    path = _notebook(tmp_path, "1 + 1")
    before = path.read_bytes()

    assert freeze(path, check=True)
    assert path.read_bytes() == before


def test_only_tags_and_folding_outlive_a_freeze(tmp_path: Path) -> None:
    """Times, states of controls and other programs' notes are dropped; tags stay and counts start at one."""
    path = _notebook(tmp_path, "2 + 2", CONTROL)
    freeze(path)
    notebook = nbformat.read(path, as_version=4)

    assert set(notebook.metadata) == {"kernelspec", "language_info"}
    assert [cell.metadata for cell in notebook.cells] == [{"tags": ["kept"]}] * 2
    assert [cell.execution_count for cell in notebook.cells] == [1, 2]
    assert notebook.cells[0].outputs[0].data["text/plain"] == "4"


def test_a_notebook_runs_in_the_folder_it_lies_in(tmp_path: Path) -> None:
    """A file beside the notebook is found by its bare name."""
    (tmp_path / "beside.txt").write_text("found")
    path = _notebook(tmp_path, "open('beside.txt').read()")
    freeze(path)

    assert nbformat.read(path, as_version=4).cells[0].outputs[0].data["text/plain"] == "'found'"


def test_a_failing_cell_stops_the_freeze_and_leaves_the_file(tmp_path: Path) -> None:
    """An error is raised with the cell's message and nothing is written."""
    path = _notebook(tmp_path, "1 / 0")
    before = path.read_bytes()

    with pytest.raises(CellExecutionError, match="division by zero"):
        freeze(path)
    assert path.read_bytes() == before


def test_identifiers_of_controls_are_numbered_wherever_they_stand() -> None:
    """An identifier met in a view is replaced by its number in the text beside it too."""
    view = {"application/vnd.jupyter.widget-view+json": {"model_id": "f00d" * 8}, "text/html": f"<i id={'f00d' * 8}>"}
    output = nbformat.v4.new_output("display_data", data=view)
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("x", outputs=[output])])
    text = frozen_text(notebook)

    assert "f00d" not in text
    assert text.count(f"{1:032x}") == 2


def test_running_leaves_no_state_of_controls(tmp_path: Path) -> None:
    """A notebook with controls is run without their state being stored in it."""
    ran = executed(nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(CONTROL)]), tmp_path)

    assert "widgets" not in ran.metadata
