"""What the tests of several pages share: the demo build, one with nothing entered, and a reader of drawings."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

from kit.build.build import Build

__all__ = ["blank_build", "demo_build", "texts_of"]

SVG = "{http://www.w3.org/2000/svg}"


def demo_build() -> Build:
    """The demo as it is recorded."""
    return Build.open("tarn_locker")


def blank_build(folder: Path) -> Build:
    """A build in which nothing has been entered."""
    file = folder / "blank.toml"
    file.write_text('schema = 1\n\n[build]\nname = "Blank"\nrevision = 1\n', encoding="utf-8")
    return Build.open(file)


def texts_of(drawing: str) -> list[str]:
    """Every text of a drawing, which has to be well-formed and in the colour of the page."""
    root = ElementTree.fromstring(drawing)
    assert root.tag == f"{SVG}svg"
    for element in root.iter():
        for name in ("fill", "stroke"):
            assert element.get(name, "none") in ("none", "currentColor")
    return [element.text or "" for element in root.iter(f"{SVG}text")]
