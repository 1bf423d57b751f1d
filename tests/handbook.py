"""Write the handbook: every calculator, every source, and what each calculator was checked against.

    python tests/handbook.py            writes shared/handbook/
    python tests/handbook.py --check    says what would change and writes nothing

All of it comes from declarations, from the bibliography and from the markers of
`tests/outside`, so nothing in the handbook is written twice.
"""

from __future__ import annotations

import ast
import functools
import importlib
import pkgutil
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

import kit  # noqa: E402
from kit.calculator import CALCULATORS, Declaration, Entry, declared  # noqa: E402
from kit.kinds import In, Out, Rows, Says  # noqa: E402
from kit.sources import SOURCES, read_table  # noqa: E402
from kit.stage import Stage  # noqa: E402
from tests.handbook_stages import stage_lines, stage_pages  # noqa: E402

__all__ = ["HANDBOOK", "OutsideCheck", "differences", "main", "outside_checks", "pages"]

HANDBOOK = ROOT / "shared" / "handbook"
OUTSIDE = ROOT / "tests" / "outside"
# Pages that somebody wrote: no declaration says what stands there.
BY_HAND = {"calculation_record.md", "limits.md"}
_MADE = "<!-- Written by tests/handbook.py from the declarations; changes made here are lost. -->"


class OutsideCheck(NamedTuple):
    """One test that holds a calculator against something outside the kit."""

    calculator: str
    source: str
    says: str
    where: str


# -- the pages -------------------------------------------------------------------------------------------


def pages(checks: Sequence[OutsideCheck] | None = None) -> dict[str, str]:
    """Every page of the handbook by file name."""
    every = outside_checks() if checks is None else checks
    made = all_calculators()
    return {
        "calculators.md": _calculators_page(made, every),
        "checks.md": _checks_page(made, every),
        "sources.md": _sources_page(made),
        **_stage_texts(),
    }


@functools.lru_cache(maxsize=1)
def _stage_texts() -> dict[str, str]:
    """The page of every stage by file name."""
    return {name: _stage_page(stage) for name, stage in stage_pages().items()}


def _stage_page(stage: Stage) -> str:
    """The page of a stage, from blocks to text."""
    lines: list[str] = []
    heading: Sequence[str] = ()
    rows: list[Sequence[str]] = []
    for kind, *words in stage_lines(stage):
        if kind == "table":
            heading, rows = words, []
        elif kind == "row":
            rows.append(words)
        elif kind == "end":
            lines += _table(heading, rows) if rows else []
        elif kind == "item":
            lines.append(f"- {_cell(words[0])}")
        elif kind == "title":
            lines += [f"# {words[0]}", "", _MADE]
        else:
            lines += ["", f"## {words[0]}", ""] if kind == "heading" else ["", words[0]]
    return _page(lines)


@functools.lru_cache(maxsize=1)
def all_calculators() -> dict[str, Declaration]:
    """The declaration of every calculator of the kit, by module and then by name."""
    for module in pkgutil.iter_modules(kit.__path__):
        if not module.ispkg:
            importlib.import_module(f"kit.{module.name}")
    ordered = sorted(CALCULATORS.items(), key=lambda item: (item[1].__module__, item[0]))
    return {f"{made.__module__}.{name}": declared(made) for name, made in ordered}


def _calculators_page(made: Mapping[str, Declaration], checks: Sequence[OutsideCheck]) -> str:
    lines = [
        "# Calculators", "", _MADE, "",
        "Each is a plain function of the module it is listed under; every input is given by name. Limits are closed.",
        "An input without a default must be given.",
    ]
    module = ""
    for path, declaration in made.items():
        if path.rpartition(".")[0] != module:
            module = path.rpartition(".")[0]
            summary = (importlib.import_module(module).__doc__ or "").strip().split("\n")[0]
            lines += ["", f"## {module}", "", summary]
        lines += ["", f"### {declaration.name}", "", declaration.summary, *_parts(declaration)]
        count = sum(check.calculator == declaration.name for check in checks)
        held = f"{count} outside {'check' if count == 1 else 'checks'}" if count else "no outside check yet"
        lines += ["", f"Sources: {_cited(declaration.sources)}. [{held}](checks.md#{declaration.name})"]
    lines += ["", *_rows_section(made)]
    return _page(lines)


def _parts(declaration: Declaration) -> Iterator[str]:
    if declaration.inputs:
        yield from _table(_INPUTS, (_input(entry) for entry in declaration.inputs.values()))
    if declaration.outputs:
        rows = (_output(name, out) for name, out in declaration.outputs.items())
        yield from _table(("result", "meaning", "unit", "shown"), rows)
    if declaration.checks:
        limits = ((f"`{name}`", asks.label, _cited([asks.source] if asks.source else []) or "-")
                  for name, asks in declaration.checks.items())
        yield from _table(("check", "asks", "limit from"), limits)


_INPUTS = ("input", "meaning", "allowed", "if not given", "how known", "how to find it")


def _input(entry: Entry) -> tuple[str, ...]:
    kind = entry.kind
    allowed = kind.allowed()
    if isinstance(kind, Rows):
        allowed = f"{kind.least} to {kind.most} rows of [{kind.row.__name__}](#{_anchor(_row_heading(kind.row))})"
    if isinstance(kind, In) and kind.valid:
        allowed += f"; source made for {kind.valid[0]:.12g} to {kind.valid[1]:.12g}"
    return f"`{entry.name}`", kind.meaning, allowed, _default(entry), kind.basis, kind.find or "-"


def _default(entry: Entry) -> str:
    if entry.required:
        return "must be given"
    if entry.default is None or (isinstance(entry.kind, Rows) and not entry.default):
        return "left out"
    return entry.kind.show(entry.default)


def _output(name: str, out: Out | Says | Rows) -> tuple[str, ...]:
    if isinstance(out, Says):
        return f"`{name}`", out.meaning, "words", "-"
    if isinstance(out, Rows):
        return f"`{name}`", out.meaning, f"rows of {out.row.__name__}", "-"
    said = [f"rounded {out.rounding}"] if out.rounding != "near" else []
    said += [f"to {out.resolution:.12g}"] if out.resolution is not None else []
    said += [f"over `{out.over}`"] if out.over else []
    said += [f"or \"{out.absent}\""] if out.absent != Out("1", "-").absent else []
    return f"`{name}`", out.meaning, {"1": "-", "": "-", "*": "any"}.get(out.unit, out.unit), ", ".join(said) or "-"


def _rows_section(made: Mapping[str, Declaration]) -> Iterator[str]:
    """Every class of rows that some calculator takes."""
    rows = {kind.row for declaration in made.values() for kind in _tables(declaration)}
    yield "## Rows of tables"
    for row in sorted(rows, key=lambda row: (row.__name__, row.__module__)):
        declaration = declared(row)
        yield from ("", f"### {_row_heading(row)}", "", f"{declaration.summary} From `{row.__module__}`.")
        yield from _table(_INPUTS, (_input(entry) for entry in declaration.inputs.values()))


def _row_heading(row: type) -> str:
    """A heading that no calculator has."""
    return f"Row: {row.__name__}"


def _tables(declaration: Declaration) -> Iterator[Rows]:
    for entry in declaration.inputs.values():
        if isinstance(entry.kind, Rows):
            yield entry.kind
            yield from _tables(declared(entry.kind.row))


def _sources_page(made: Mapping[str, Declaration]) -> str:
    lines = [
        "# Sources", "", _MADE, "",
        "Every source by the key that calculators, limits and tables of the kit name it with.",
    ]
    cited = _citations(made)
    for key in sorted(SOURCES, key=str.casefold):
        source = SOURCES[key]
        said = (("where", source.where), ("note", source.note), ("used by", ", ".join(sorted(cited.get(key, ())))))
        lines += ["", f"## {key}", "", source.title, "", *(f"- {what}: {text}" for what, text in said if text)]
    return _page(lines)


def _citations(made: Mapping[str, Declaration]) -> dict[str, set[str]]:
    """Who names each source: calculators, limits of checks, handbook tables."""
    cited: dict[str, set[str]] = {}
    for declaration in made.values():
        for key in declaration.sources:
            cited.setdefault(key, set()).add(f"`{declaration.name}`")
        for name, asks in declaration.checks.items():
            cited.setdefault(asks.source, set()).add(f"`{declaration.name}.{name}`")
    for table in sorted((ROOT / "kit" / "tables").glob("*.csv")):
        for line in read_table(table.stem):
            for key in line.get("source", "").split(" and "):
                cited.setdefault(key, set()).add(f"table {table.stem}")
    return cited


def _checks_page(made: Mapping[str, Declaration], checks: Sequence[OutsideCheck]) -> str:
    names = {declaration.name: path for path, declaration in made.items()}
    without = [name for name in sorted(names) if not any(check.calculator == name for check in checks)]
    lines = [
        "# Checks against the outside", "", _MADE, "",
        f"{len(names) - len(without)} of {len(names)} calculators are held against something outside the kit:",
        "a published figure or an independent library. Every line is a test of `tests/outside`.",
    ]
    if without:
        lines += ["", f"Without an outside check yet: {', '.join(f'`{name}`' for name in without)}."]
    for name in sorted(names):
        mine = sorted({(check.source, check.says, check.where) for check in checks if check.calculator == name})
        lines += ["", f"## {name}"]
        rows = ((source, says, f"`{where}`") for source, says, where in mine)
        lines += _table(("outside", "what holds", "test"), rows) if mine else ["", "No outside check yet."]
    return _page(lines)


# -- the markers of the tests ----------------------------------------------------------------------------


def outside_checks(folder: Path = OUTSIDE) -> list[OutsideCheck]:
    """Every `@pytest.mark.outside(calculator, source)` of the tests in a folder.

    Marks on a class or of a whole module (`pytestmark`) count for every test in
    it; the two texts may be built from texts the module names.  Raises
    ValueError for a marker that does not hold two texts.
    """
    found: list[OutsideCheck] = []
    for file in sorted(folder.rglob("test_*.py")):
        found += _TestFile(file).checks()
    return sorted(set(found))


class _TestFile:
    """One file of tests, read without running it."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.tree = ast.parse(file.read_text(encoding="utf-8"), filename=str(file))
        self.marker = {"pytest.mark.outside"}
        self.texts: dict[str, str] = {}
        for name, value in self._assigned():
            if ast.unparse(value) in self.marker:
                self.marker.add(name)
            elif (text := self._text(value)) is not None:
                self.texts[name] = text

    def checks(self) -> Iterator[OutsideCheck]:
        """The outside checks of the file."""
        whole = [value for name, value in self._assigned() if name == "pytestmark"]
        nodes = [node for value in whole for node in (value.elts if isinstance(value, ast.List) else [value])]
        yield from self._of_body(self.tree.body, self._marks(nodes))

    def _assigned(self) -> Iterator[tuple[str, ast.expr]]:
        for node in self.tree.body:
            if isinstance(node, ast.Assign):
                yield from ((target.id, node.value) for target in node.targets if isinstance(target, ast.Name))

    def _of_body(self, body: Iterable[ast.stmt], marks: Sequence[tuple[str, str]]) -> Iterator[OutsideCheck]:
        for node in body:
            if isinstance(node, ast.ClassDef):
                yield from self._of_body(node.body, [*marks, *self._marks(node.decorator_list)])
            elif isinstance(node, ast.FunctionDef) and node.name.startswith("test"):
                says = (ast.get_docstring(node) or node.name).split("\n\n")[0].replace("\n", " ")
                for calculator, source in [*marks, *self._marks(node.decorator_list)]:
                    yield OutsideCheck(calculator, source, says, f"{self.file.stem}::{node.name}")

    def _marks(self, nodes: Iterable[ast.expr]) -> list[tuple[str, str]]:
        marks = []
        for node in nodes:
            if isinstance(node, ast.Call) and ast.unparse(node.func) in self.marker:
                texts = [self._text(arg) for arg in node.args]
                if len(texts) != 2 or node.keywords or not all(texts):
                    where = f"{self.file.name}, line {node.lineno}"
                    raise ValueError(f"{where}: write @pytest.mark.outside('calculator', 'source')")
                marks.append((str(texts[0]), str(texts[1])))
        return marks

    def _text(self, node: ast.expr) -> str | None:
        """The text of an expression made of plain texts and of names of texts; None for any other."""
        if isinstance(node, ast.Constant):
            return node.value if isinstance(node.value, str) else None
        if isinstance(node, ast.Name):
            return self.texts.get(node.id)
        if isinstance(node, ast.FormattedValue):
            return self._text(node.value) if node.format_spec is None else None
        parts = node.values if isinstance(node, ast.JoinedStr) else []
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
            parts = [node.left, node.right]
        texts = [self._text(part) for part in parts]
        return "".join(map(str, texts)) if texts and None not in texts else None


# -- writing ---------------------------------------------------------------------------------------------


def _cited(keys: Sequence[str]) -> str:
    return ", ".join(f"[{key}](sources.md#{_anchor(key)})" for key in keys)


def _anchor(key: str) -> str:
    """The anchor a code host makes of a heading."""
    return "".join(c for c in key.lower().replace(" ", "-") if c.isalnum() or c in "-_")


def _table(heading: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = ["", "| " + " | ".join(heading) + " |", "|" + " --- |" * len(heading)]
    return lines + ["| " + " | ".join(map(_cell, row)) + " |" for row in rows]


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def _page(lines: Iterable[str]) -> str:
    return "\n".join(lines).rstrip() + "\n"


def differences(folder: Path = HANDBOOK) -> list[str]:
    """The pages in a folder that are not what this script would write."""
    made = pages()
    there = {path.relative_to(folder).as_posix() for path in folder.rglob("*.md")} - BY_HAND
    stale = [name for name, text in made.items() if name not in there or (folder / name).read_bytes() != text.encode()]
    return sorted({*stale, *(there - set(made))})


def write(folder: Path = HANDBOOK) -> None:
    """Write every page, with line ends that are the same everywhere."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in pages().items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(text.encode())


def main(arguments: Sequence[str]) -> int:
    """Write the handbook, or with --check say what is not as it would be written; returns the exit status."""
    if list(arguments) not in ([], ["--check"]):
        print("write: python tests/handbook.py [--check]")
        return 2
    if not arguments:
        write()
        return 0
    stale = differences()
    if stale:
        print(f"not as the declarations say: {', '.join(stale)}; run python tests/handbook.py")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
