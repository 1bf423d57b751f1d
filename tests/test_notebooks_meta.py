"""What every committed notebook has to be before its outputs are compared: run, clean, short, and comparable."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbformat.warnings import DuplicateCellId

from tests.freeze import KERNEL, NOTEBOOKS, frozen_text

PATHS = sorted(NOTEBOOKS.glob("*.ipynb"))
LARGEST = 450_000  # bytes; three notebooks with all their drawings are near it, and a code host still shows them
LONGEST = 12  # lines in a code cell
EXCUSED = {"nbval-skip", "nbval-ignore-output", "skip-execution"}
# A path from the root of a machine: after a blank, quote or bracket, two parts or more; or a drive letter.
ABSOLUTE = re.compile(r"""(?:^|[\s"'(\[=])(?:/[A-Za-z_][\w.-]*/[\w.-]|[A-Za-z]:\\\\?[\w.-])""", re.MULTILINE)


def _code(notebook: nbformat.NotebookNode) -> list[nbformat.NotebookNode]:
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def _texts(output: dict[str, Any]) -> Iterator[str]:
    """What nbval compares of an output: streams and everything textual but pictures."""
    if output["output_type"] == "stream":
        yield output["text"]
    for kind, content in output.get("data", {}).items():
        if kind.startswith("text/") and isinstance(content, str):
            yield content


def file_faults(text: str) -> Iterator[str]:
    """What is wrong with the file as a whole."""
    notebook = nbformat.reads(text, as_version=4)
    if len(text.encode()) > LARGEST:
        yield f"the file has {len(text.encode())} bytes, more than {LARGEST}"
    if "widgets" in notebook.metadata:
        yield "the state of controls is stored"
    if notebook.metadata.get("kernelspec", {}).get("name") != KERNEL["name"]:
        yield "the kernel is not python3"
    # Read as plain JSON: the notebook library mends missing and doubled identifiers as it reads.
    identifiers = [cell.get("id") for cell in json.loads(text)["cells"]]
    if None in identifiers or len(set(identifiers)) < len(identifiers):
        yield "a cell has no identifier of its own"
    if text != frozen_text(notebook):
        yield "the file was not written by tests/freeze.py"


def run_faults(text: str) -> Iterator[str]:
    """What is wrong with how it was run, and with what of it is compared."""
    code = _code(nbformat.reads(text, as_version=4))
    if [cell.execution_count for cell in code] != list(range(1, len(code) + 1)):
        yield "code cells are not counted 1, 2, 3 … in order"
    if any(output.output_type == "error" for cell in code for output in cell.outputs):
        yield "an error is shown"
    if any(EXCUSED & set(cell.metadata.get("tags", ())) for cell in code):
        yield "a cell is excused from running or comparing"
    if not any(words.strip() for cell in code for output in cell.outputs for words in _texts(output)):
        yield "no output with text is compared"


def cell_faults(text: str) -> Iterator[str]:
    """What is wrong with single cells."""
    notebook = nbformat.reads(text, as_version=4)
    for number, cell in enumerate(_code(notebook), start=1):
        if len(cell.source.splitlines()) > LONGEST:
            yield f"code cell {number} has more than {LONGEST} lines"
        if cell.source.rstrip().endswith(";"):
            yield f"code cell {number} ends with a semicolon"
    for number, cell in enumerate(notebook.cells, start=1):
        shown = [words for output in cell.get("outputs", ()) for words in _texts(output)]
        if any(ABSOLUTE.search(words) for words in [cell.source, *shown]):
            yield f"cell {number} names a path of a machine"


def faults(text: str) -> list[str]:
    """Everything that is wrong with the text of a notebook's file."""
    return [*file_faults(text), *run_faults(text), *cell_faults(text)]


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_a_notebook_is_clean_and_comparable(path: Path) -> None:
    """Nothing is wrong with the committed file."""
    assert faults(path.read_text(encoding="utf-8")) == []


def _sound() -> nbformat.NotebookNode:
    cells = [nbformat.v4.new_code_cell(f"{number} + 1", execution_count=number) for number in (1, 2)]
    for cell in cells:
        shown = nbformat.v4.new_output(
            "execute_result", data={"text/plain": "2"}, execution_count=cell.execution_count
        )
        cell.outputs = [shown]
    return nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell("3 kN/m, or/and N/mm"), *cells])


def _with(**changes: Any) -> str:
    """A sound notebook with its last cell changed, frozen again."""
    notebook = _sound()
    notebook.cells[-1].update(nbformat.from_dict(changes))
    return frozen_text(notebook)


def _stream(text: str) -> list[dict[str, str]]:
    return [{"output_type": "stream", "name": "stdout", "text": text}]


def test_a_sound_notebook_has_no_fault() -> None:
    """Units written with a slash are no paths, and a frozen, counted, short notebook passes."""
    assert faults(frozen_text(_sound())) == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (_with(source="x = 1;"), "code cell 2 ends with a semicolon"),
        (_with(source="x = 1\n" * 13), "code cell 2 has more than 12 lines"),
        (_with(execution_count=None), "code cells are not counted 1, 2, 3 … in order"),
        (_with(execution_count=7), "code cells are not counted 1, 2, 3 … in order"),
        (_with(source="open('/Users/reader/build.toml')"), "cell 3 names a path of a machine"),
        (_with(outputs=_stream("read C:\\builds\\raft.toml")), "cell 3 names a path of a machine"),
        (_with(metadata={"tags": ["nbval-skip"]}), "a cell is excused from running or comparing"),
        (_with(outputs=_stream("9" * 450_000)), "the file has 450"),
        (
            _with(outputs=[{"output_type": "error", "ename": "E", "evalue": "e", "traceback": []}]),
            "an error is shown",
        ),
        (frozen_text(_sound()).replace("python3", "python2"), "the kernel is not python3"),
        (frozen_text(_sound()) + "\n", "the file was not written by tests/freeze.py"),
        (frozen_text(_sound()).replace('"text/plain"', '"image/png"'), "no output with text is compared"),
        (
            frozen_text(_sound()).replace('"kernelspec"', '"widgets": {}, "kernelspec"'),
            "the state of controls is stored",
        ),
    ],
    ids=lambda given: given if len(given) < 60 else "",
)
def test_each_fault_is_found(text: str, fault: str) -> None:
    """A sound notebook spoilt in one way is reported with that fault."""
    assert any(found.startswith(fault) for found in faults(text))


def test_a_doubled_identifier_of_a_cell_is_found() -> None:
    """Two cells with one identifier are reported, although reading the file mends it."""
    notebook = _sound()
    doubled = frozen_text(notebook).replace(notebook.cells[2].id, notebook.cells[1].id)
    with pytest.warns(DuplicateCellId):
        found = list(file_faults(doubled))

    assert "a cell has no identifier of its own" in found
