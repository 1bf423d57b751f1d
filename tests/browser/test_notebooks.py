"""Every notebook of the project, run in JupyterLab as a reader would."""

from __future__ import annotations

import pytest

from tests.browser.lab import ROOT, LabPage

NAMES = sorted(path.name for path in (ROOT / "notebooks").glob("*.ipynb"))


@pytest.mark.parametrize("name", NAMES)
def test_a_notebook_runs_to_its_end(page: LabPage, name: str) -> None:
    """No cell and no page reports an error, nothing is fetched from elsewhere, and a screen reader can read it all."""
    page.open_notebook(name)
    page.run_all()

    assert page.code_cell_errors() == []
    assert page.faults == []
    assert page.outside == []
    assert page.inaccessible() == []
