"""Run the notebooks and keep their outputs; the only writer of committed outputs.

    python tests/freeze.py [--check] [NAME …]

Without names all notebooks are run.  A second run writes the same bytes: no
times, no state of controls, nothing of the machine.  With --check nothing is
written, and the notebooks whose outputs would change are named.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import nbformat

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

ROOT = Path(__file__).resolve().parents[1]
NOTEBOOKS = ROOT / "notebooks"
VIEW = "application/vnd.jupyter.widget-view+json"
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
# What a cell may carry beside its source: its tags, and whether it is folded.
KEPT = ("jp-MarkdownHeadingCollapsed", "jupyter", "tags")


def executed(notebook: nbformat.NotebookNode, folder: Path, seconds: int = 120) -> nbformat.NotebookNode:
    """The notebook run from its first cell to its last, as if it lay in `folder`; a failing cell raises."""
    from nbclient import NotebookClient

    client = NotebookClient(
        notebook, timeout=seconds, kernel_name="python3", record_timing=False, store_widget_state=False,
        coalesce_streams=True, resources={"metadata": {"path": str(folder)}},
    )
    ran: nbformat.NotebookNode = client.execute()
    return ran


def normalised(notebook: nbformat.NotebookNode) -> nbformat.NotebookNode:
    """The notebook with nothing in it that a second run could change, or that tells of the machine."""
    identifiers = dict.fromkeys(_view_identifiers(notebook.cells))
    numbered = {old: f"{number:032x}" for number, old in enumerate(identifiers, start=1)}
    clean = nbformat.from_dict(_replaced(notebook, numbered))
    clean.metadata = nbformat.from_dict({"kernelspec": KERNEL, "language_info": {"name": "python"}})
    for cell in clean.cells:
        cell.metadata = nbformat.from_dict({key: cell.metadata[key] for key in KEPT if key in cell.metadata})
    return clean


def frozen_text(notebook: nbformat.NotebookNode) -> str:
    """The text of a normalised notebook's file."""
    text: str = nbformat.writes(normalised(notebook))
    return text.rstrip("\n") + "\n"


def freeze(path: Path, *, check: bool = False) -> bool:
    """Run one notebook and keep its outputs; True when the file's bytes differ from what the run gave."""
    fresh = frozen_text(executed(nbformat.read(path, as_version=4), path.parent)).encode()
    if fresh == path.read_bytes():
        return False
    if not check:
        path.write_bytes(fresh)
    return True


def prepare_kernels(profile: str) -> None:
    """Let kernels find the package, and keep them away from the reader's own start-up files."""
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH", "")]))
    os.environ["IPYTHONDIR"] = profile
    # The demo is frozen, never a build that a reader has open.
    os.environ["RECKONER_BUILDS"] = str(Path(profile) / "my_builds")


def main(arguments: list[str] | None = None) -> int:
    """Freeze the notebooks named, or all; with --check, 1 when any differs."""
    parser = argparse.ArgumentParser(description="Run the notebooks and keep their outputs.")
    parser.add_argument("--check", action="store_true", help="write nothing; name the notebooks that would change")
    parser.add_argument("names", nargs="*", help="notebooks such as 05_lids; all when none is named")
    given = parser.parse_args(arguments)
    paths = [_path(name) for name in given.names] or sorted(NOTEBOOKS.glob("*.ipynb"))
    if missing := [path.name for path in paths if not path.is_file()]:
        parser.error(f"no notebook {', '.join(missing)} in notebooks/")
    changed = 0
    with tempfile.TemporaryDirectory() as profile:
        prepare_kernels(profile)
        for path in paths:
            differs = freeze(path, check=given.check)
            changed += differs
            print(f"{path.name}: {('would change' if given.check else 'written') if differs else 'as it was'}")
    return 1 if given.check and changed else 0


def _path(name: str) -> Path:
    return NOTEBOOKS / f"{Path(name).name.removesuffix('.ipynb')}.ipynb"


def _view_identifiers(cells: Iterable[Mapping[str, Any]]) -> Iterable[str]:
    """The identifiers of the controls shown, in the order they are shown."""
    for cell in cells:
        for output in cell.get("outputs", ()):
            view = output.get("data", {}).get(VIEW)
            if view:
                yield view["model_id"]


def _replaced(node: Any, texts: Mapping[str, str]) -> Any:
    """The same nested value with every text replaced wherever it stands."""
    if not texts:
        return node
    pattern = re.compile("|".join(map(re.escape, texts)))

    def walk(value: Any) -> Any:
        if isinstance(value, str):
            return pattern.sub(lambda found: texts[found.group()], value)
        if isinstance(value, dict):
            return {key: walk(part) for key, part in value.items()}
        return [walk(part) for part in value] if isinstance(value, list) else value

    return walk(node)


if __name__ == "__main__":
    sys.exit(main())
