"""Every notebook of the project, run in JupyterLab as a reader would."""

from __future__ import annotations

import pytest

from tests.browser.lab import ROOT, LabPage

NAMES = sorted(path.name for path in (ROOT / "notebooks").glob("*.ipynb"))


@pytest.mark.parametrize("name", NAMES)
def test_a_notebook_runs_to_its_end(page: LabPage, name: str) -> None:
    """Each code cell runs without an error, the page reports none, and nothing is fetched from elsewhere."""
    page.open_notebook(name)
    page.run_all()

    assert page.code_cell_errors() == []
    assert page.faults == []
    assert page.outside == []
