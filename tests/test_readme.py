"""The README keeps its word: its commands, its examples and its links."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
FENCE = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
BLOCKS = FENCE.findall(README)
# A python block is a script; the text block that follows it is what the script prints.
FOLLOWING = [*BLOCKS[1:], ("", "")]
SCRIPTS = [(body, *after) for (kind, body), after in zip(BLOCKS, FOLLOWING, strict=True) if kind == "python"]
NOTEBOOKS = sorted(path.name for path in (ROOT / "notebooks").glob("*.ipynb"))


def _commands() -> list[str]:
    return re.findall(r"^python3 -m venv .*$", README, re.MULTILINE)


def _windows(command: str) -> str:
    """The same command as it is written in a Windows Command Prompt."""
    changes = {"python3": "py", ".venv/bin/": ".venv\\Scripts\\", "'": '"', "notebooks/": "notebooks\\"}
    for here, there in changes.items():
        command = command.replace(here, there)
    return command


def test_the_readme_has_a_script() -> None:
    """At least one python block stands in the README, each with what it prints below it."""
    assert SCRIPTS
    assert all(kind == "text" for _, kind, _ in SCRIPTS)


@pytest.mark.parametrize(("script", "printed"), [(body, shown) for body, _, shown in SCRIPTS], ids=range(len(SCRIPTS)))
def test_a_script_prints_what_stands_below_it(script: str, printed: str, tmp_path: Path) -> None:
    """A python block, run as a script in an empty folder, prints the text block below it and no warning."""
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=tmp_path, check=False)

    assert ran.stderr == ""
    assert ran.stdout == printed


def test_two_commands_set_everything_up() -> None:
    """One command opens the notebooks and one passes every test, each made of three steps."""
    opens, tests = _commands()

    assert [len(command.split(" && ")) for command in (opens, tests)] == [3, 3]
    assert ".venv/bin/jupyter lab notebooks/" in opens
    assert tests.endswith(" && .venv/bin/pytest")


def test_no_folder_of_tests_is_passed_over(request: pytest.FixtureRequest) -> None:
    """No folder of the package, the tests or the notebooks has a name that pytest passes over."""
    passed_over = request.config.getini("norecursedirs")
    folders = {path.parent for top in ("kit", "tests", "notebooks") for path in (ROOT / top).rglob("*.py")}
    inside = [folder for folder in folders if ".ipynb_checkpoints" not in folder.parts]

    assert [folder for folder in inside if any(folder.match(pattern) for pattern in passed_over)] == []


def test_ci_runs_the_test_command() -> None:
    """The pattern by which .ci/run looks for the README's test command finds that command and nothing else."""
    sought = re.findall(r"grep -m1 -E '(.*)' README.md", (ROOT / ".ci" / "run").read_text(encoding="utf-8"))

    assert [line for pattern in sought for line in README.splitlines() if re.search(pattern, line)] == _commands()[1:]


def test_windows_has_the_same_commands() -> None:
    """Each command stands in the README in its Windows form too."""
    assert [command for command in _commands() if _windows(command) not in README] == []


@pytest.mark.parametrize("first", NOTEBOOKS[:1])
def test_the_first_notebook_is_the_one_opened(first: str) -> None:
    """The command opens the first notebook there is."""
    assert _commands()[0].endswith(f"notebooks/{first}")


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "CHANGELOG.md"])
def test_links_lead_somewhere(page: str) -> None:
    """Every link to a file of the project has that file at its end."""
    links = re.findall(r"\]\((?!https?:|#)([^)#]+)", (ROOT / page).read_text(encoding="utf-8"))

    assert [link for link in links if not (ROOT / link).exists()] == []
