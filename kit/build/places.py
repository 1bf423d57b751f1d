"""Where builds lie: the reader's own folder, and the demo builds that come with the kit.

The folder of builds is `my_builds` beside the notebooks, or the folder named
by the environment variable RECKONER_BUILDS.  It holds one record a build and
`open.txt`, which names the one that is open.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from kit.build.record import Record

__all__ = [
    "DEMO",
    "builds_folder",
    "copy_notebooks",
    "demo_file",
    "demo_folder",
    "demo_names",
    "free_name",
    "known_builds",
    "new_build",
    "notebooks_folder",
    "open_file",
    "remember",
]

# The demo that opens when nothing else has been opened yet.
DEMO = "tarn_locker"

_POINTER = "open.txt"


def demo_folder() -> Path:
    """The folder of the demo builds: inside the installed package, or `shared/` of the checkout."""
    packed = Path(__file__).resolve().parent.parent / "demo_builds"
    return packed if packed.is_dir() else Path(__file__).resolve().parent.parent.parent / "shared" / "builds"


def demo_file(name: str) -> Path | None:
    """The record of a demo by its bare name, or None when there is no such demo."""
    if not name.isidentifier():
        return None
    file = demo_folder() / f"{name}.toml"
    return file if file.is_file() else None


def demo_names() -> list[str]:
    """The demo builds that come with the kit, by name."""
    return sorted(file.stem for file in demo_folder().glob("*.toml"))


def builds_folder() -> Path:
    """The reader's folder of builds; it is made when something is first written."""
    named = os.environ.get("RECKONER_BUILDS")
    if named:
        return Path(named)
    notebooks = Path(__file__).resolve().parent.parent.parent / "notebooks"
    return (notebooks if notebooks.is_dir() else Path.cwd()) / "my_builds"


def notebooks_folder() -> Path:
    """The folder of the guided notebooks: inside the installed package, or of the checkout."""
    packed = Path(__file__).resolve().parent.parent / "workbooks"
    return packed if packed.is_dir() else Path(__file__).resolve().parent.parent.parent / "notebooks"


def copy_notebooks(folder: Path) -> list[Path]:
    """Copy the guided notebooks into a folder, which is made; returns the files.

    Raises FileExistsError, with nothing written, when one of them is there already.
    """
    wanted = {file: folder / file.name for file in sorted(notebooks_folder().glob("*.ipynb"))}
    wanted[notebooks_folder() / "_here.py"] = folder / "_here.py"
    for target in wanted.values():
        if target.exists():
            raise FileExistsError(f"{target} is there already; name another folder, nothing was written")
    folder.mkdir(parents=True, exist_ok=True)
    for source, target in wanted.items():
        target.write_bytes(source.read_bytes())
    return list(wanted.values())


def known_builds() -> list[Path]:
    """The records in the reader's folder, by name."""
    folder = builds_folder()
    return sorted(folder.glob("*.toml")) if folder.is_dir() else []


def open_file() -> Path:
    """The record that is open: the one last remembered, else the demo."""
    pointer = builds_folder() / _POINTER
    if pointer.is_file():
        name = pointer.read_text(encoding="utf-8").strip()
        shipped = demo_file(name.removeprefix("demo: ")) if name.startswith("demo: ") else None
        named = shipped or builds_folder() / f"{Path(name).name}.toml"
        if named.is_file():
            return named
    return demo_folder() / f"{DEMO}.toml"


def remember(name: str) -> None:
    """Make a build of the reader's folder, or "demo: NAME", the one that opens next."""
    folder = builds_folder()
    folder.mkdir(parents=True, exist_ok=True)
    (folder / _POINTER).write_text(f"{name}\n", encoding="utf-8")


def new_build(name: str) -> Path:
    """Make a blank record in the reader's folder.  Raises ValueError for a name that cannot be a file."""
    words = name.strip()
    stem = re.sub(r"[^a-z0-9]+", "_", words.casefold()).strip("_")
    if not stem or len(words) > 60 or not words.isprintable():
        raise ValueError(f"'{words[:60]}' cannot name a build; write a few letters or digits, such as 'garden bench'")
    folder = builds_folder()
    folder.mkdir(parents=True, exist_ok=True)
    file = free_name(stem)
    Record.create(file, words)
    return file


def free_name(name: str) -> Path:
    """A file in the reader's folder that does not exist yet: NAME.toml, NAME_2.toml, ..."""
    stem = Path(name).stem
    folder = builds_folder()
    place = folder / f"{stem}.toml"
    count = 2
    while place.exists():
        place = folder / f"{stem}_{count}.toml"
        count += 1
    return place
