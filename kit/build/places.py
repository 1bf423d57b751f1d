"""Where builds lie: the reader's own folder, and the demo builds that come with the kit.

The folder of builds is `my_builds` beside the notebooks, or the folder named
by the environment variable RECKONER_BUILDS.  It holds one record a build and
`open.txt`, which names the one that is open.
"""

from __future__ import annotations

import os
from pathlib import Path

__all__ = ["DEMO", "builds_folder", "demo_file", "demo_folder", "free_name", "known_builds", "open_file", "remember"]

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


def builds_folder() -> Path:
    """The reader's folder of builds; it is made when something is first written."""
    named = os.environ.get("RECKONER_BUILDS")
    if named:
        return Path(named)
    notebooks = Path(__file__).resolve().parent.parent.parent / "notebooks"
    return (notebooks if notebooks.is_dir() else Path.cwd()) / "my_builds"


def known_builds() -> list[Path]:
    """The records in the reader's folder, by name."""
    folder = builds_folder()
    return sorted(folder.glob("*.toml")) if folder.is_dir() else []


def open_file() -> Path:
    """The record that is open: the one last remembered, else the demo."""
    pointer = builds_folder() / _POINTER
    if pointer.is_file():
        named = builds_folder() / Path(pointer.read_text(encoding="utf-8").strip()).name
        if named.is_file():
            return named
    return demo_folder() / f"{DEMO}.toml"


def remember(file: Path) -> None:
    """Make a record of the reader's folder, or a demo, the one that opens next."""
    folder = builds_folder()
    folder.mkdir(parents=True, exist_ok=True)
    (folder / _POINTER).write_text(f"{file.name}\n", encoding="utf-8")


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
