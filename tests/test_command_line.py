"""The command line: notebooks copied out, papers written, and refusals in one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.__main__ import main
from kit.build.places import notebooks_folder


def test_notebooks_are_copied_into_a_folder_of_ones_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every notebook and what makes it importable; a second time nothing is overwritten."""
    folder = tmp_path / "mine"
    assert main(["notebooks", str(folder)]) == 0
    assert {f.name for f in folder.iterdir()} == {f.name for f in notebooks_folder().glob("*.ipynb")} | {"_here.py"}
    (folder / "00_brief.ipynb").write_text("mine")

    assert main(["notebooks", str(folder)]) == 1
    assert "is there already; name another folder, nothing was written" in capsys.readouterr().err
    assert (folder / "00_brief.ipynb").read_text() == "mine"


def test_the_papers_of_a_build_are_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page, a PDF and the buy list, in the folder of builds."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    monkeypatch.setattr("kit.notebook.build_sheet.SAMPLES", 200)
    assert main(["sheet", "tarn_locker"]) == 0
    names = {file.name for file in tmp_path.iterdir()}

    assert names == {f"tarn_locker_{end}" for end in ("build_sheet.html", "build_sheet.pdf", "buy_list.csv")}


def test_a_build_there_is_not_is_refused_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The exit status is 1 and no traceback is printed."""
    monkeypatch.setenv("RECKONER_BUILDS", str(tmp_path))
    assert main(["sheet", "no_such_build"]) == 1
    said = capsys.readouterr().err
    assert "no_such_build" in said and "Traceback" not in said
