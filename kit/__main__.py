"""What is done from a command line: copy the notebooks somewhere, write the papers of a build.

python -m kit notebooks my_folder
python -m kit sheet tarn_locker
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from kit.build import Build
from kit.build.places import builds_folder, copy_notebooks
from kit.build.record import RecordError

__all__ = ["main"]


def _papers(name: str) -> list[Path]:
    from kit.notebook.build_lists import buy_csv
    from kit.notebook.build_sheet import SAMPLES, build_sheet
    from kit.notebook.paper import write_page
    from kit.notebook.pdf import write_pdf

    known = builds_folder() / f"{name}.toml"
    build = Build.open(known if known.is_file() else name)
    title, body = f"Build sheet of {build.name}", build_sheet(build, doubt=SAMPLES)
    page = write_page(build, "build_sheet", title, body)
    printed = write_pdf(build, "build_sheet", title, body)
    bought = builds_folder() / f"{build.record.file.stem}_buy_list.csv"
    bought.write_text(buy_csv(build), encoding="utf-8")
    return [page, printed, bought]


def main(said: Sequence[str] | None = None) -> int:
    """Do what the command line says; returns the exit status."""
    parser = argparse.ArgumentParser(prog="python -m kit", description="Build Reckoner from a command line.")
    actions = parser.add_subparsers(dest="action", required=True)
    copy = actions.add_parser("notebooks", help="copy the guided notebooks into a folder of your own")
    copy.add_argument("folder", type=Path, help="where they go; it is made, and nothing in it is overwritten")
    paper = actions.add_parser("sheet", help="write the build sheet as a page and as PDF, and the buy list")
    paper.add_argument("build", help="a demo, a build of your folder, or the file of a record")
    given = parser.parse_args(said)
    try:
        written = copy_notebooks(given.folder) if given.action == "notebooks" else _papers(given.build)
    except (OSError, RecordError) as error:
        print(error, file=sys.stderr)
        return 1
    for file in written:
        print(f"written: {file}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
