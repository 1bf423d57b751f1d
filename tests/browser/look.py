"""Pictures of every notebook in JupyterLab, to be looked at: light, dark, and in a narrow window.

    python tests/browser/look.py FOLDER [NAME …]

FOLDER lies outside the project.  Each notebook is opened, run and photographed
from top to bottom; a long one is cut into pieces that can be read on a screen.
The last line says which notebooks showed an error.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

if __package__ in {None, ""}:  # run as a file, not as a module
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.browser.lab import ROOT, Lab, LabPage, chromium, launch, open_page

VIEWS = {"light": (False, 1280), "dark": (True, 1280), "narrow": (False, 420)}
PIECE = 1600


def main(arguments: list[str] | None = None) -> int:
    """Photograph the notebooks named, or all; 1 when any shows an error."""
    parser = argparse.ArgumentParser(description="Pictures of the notebooks, in light, dark and narrow.")
    parser.add_argument("folder", type=Path, help="where the pictures go, outside the project")
    parser.add_argument("names", nargs="*", help="notebooks such as 05_lids; all when none is named")
    given = parser.parse_args(arguments)
    folder = given.folder.resolve()
    if folder.is_relative_to(ROOT):
        parser.error(f"{given.folder} lies inside the project; name a folder outside it, such as ../pictures")
    executable = chromium()
    if executable is None:
        parser.error("no Chromium found; install it, or name one in the variable CHROMIUM")
    folder.mkdir(parents=True, exist_ok=True)
    names = [Path(name).stem for name in given.names] or sorted(p.stem for p in (ROOT / "notebooks").glob("*.ipynb"))
    faults: list[str] = []
    with tempfile.TemporaryDirectory() as scratch, Lab(Path(scratch)) as lab, launch(executable) as browser:
        for name in names:
            with open_page(lab, browser) as page:
                faults += [f"{name}: {fault}" for fault in photograph(page, name, folder)]
    print("\n".join(faults) or f"{len(names)} notebooks photographed, none shows an error")
    return 1 if faults else 0


def photograph(page: LabPage, name: str, folder: Path) -> list[str]:
    """Take every view of one notebook; returns what went wrong on the page."""
    page.open_notebook(f"{name}.ipynb")
    page.run_all()
    for view, (dark, width) in VIEWS.items():
        page.set_theme(dark)
        page.narrow(width)
        for piece in _cut(page.screenshot(folder / f"{name}-{view}.png")):
            print(piece)
    return page.code_cell_errors() + page.faults


def _cut(picture: Path) -> list[Path]:
    """The picture in pieces of readable height; a short one stays whole."""
    from PIL import Image

    whole = Image.open(picture)
    if whole.height <= PIECE:
        return [picture]
    pieces = []
    for number, top in enumerate(range(0, whole.height, PIECE), start=1):
        piece = picture.with_stem(f"{picture.stem}-{number}")
        whole.crop((0, top, whole.width, min(top + PIECE, whole.height))).save(piece)
        pieces.append(piece)
    picture.unlink()
    return pieces


if __name__ == "__main__":
    raise SystemExit(main())
