"""Spoil each calculator three ways and see that a test notices: a factor, a sign, a unit.

    python tests/mutations.py                 # all of them, some minutes
    python tests/mutations.py strut_balance   # some of them

In a copy of the project one expression of the calculator is changed at a time,
and the tests that name the calculator are run until the first fails.  A change
nobody notices is printed, and the exit status is 1.
"""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from queue import Queue
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

import kit  # noqa: E402

__all__ = ["Spoilt", "main", "spoilt"]

WORKERS = 2
# A factor that no rounding of a printed figure forgives.
FACTOR = 1.13
UNITS = {
    "mm": "cm", "cm": "mm", "m": "cm", "m^2": "cm^2", "mm^2": "cm^2", "m^3": "L", "L": "mL", "mL": "L", "kg": "g",
    "g": "kg", "N": "kN", "kN": "N", "MPa": "kPa", "Pa": "kPa", "kPa": "Pa", "N/mm^2": "kPa", "s": "min", "min": "s",
    "h": "min", "d": "h", "W": "kW", "Wh": "kJ", "A": "mA", "mA": "A", "V": "mV", "Ah": "mAh", "ohm": "kohm",
    "deg": "rad", "rad": "deg", "percent": "1", "": "percent", "1": "percent", "N*m": "N*mm", "kg/m^3": "g/L",
    "m/s": "km/h", "L/min": "L/s",
}  # fmt: skip


class Spoilt(NamedTuple):
    """One change to one calculator: its kind, where, and the module's text with it."""

    name: str
    module: str
    kind: str
    line: int
    said: str
    text: str


def calculators() -> dict[str, str]:
    """The module of every calculator, by name."""
    found = {}
    for one in pkgutil.iter_modules(kit.__path__):
        if one.ispkg or one.name.startswith("__"):
            continue
        module = importlib.import_module(f"kit.{one.name}")
        for name, thing in vars(module).items():
            is_one = hasattr(thing, "declaration") and callable(thing) and not isinstance(thing, type)
            if is_one and getattr(thing, "__module__", "") == module.__name__:
                found[name] = one.name
    return found


def _bodies(tree: ast.Module, name: str) -> list[ast.stmt]:
    """Statements of a calculator and of the module's own functions it calls, its own first."""
    functions = {one.name: one for one in tree.body if isinstance(one, ast.FunctionDef)}
    done: list[str] = []
    todo = [name]
    statements: list[ast.stmt] = []
    while todo:
        current = todo.pop(0)
        if current in done or current not in functions:
            continue
        done.append(current)
        statements += functions[current].body
        for call in ast.walk(ast.Module(functions[current].body, [])):
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Name):
                todo.append(call.func.id)
    return statements


def _nodes(statements: Sequence[ast.stmt]) -> Iterator[ast.expr]:
    for one in statements:
        if isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant):
            continue
        yield from (node for node in ast.walk(one) if isinstance(node, ast.expr) and hasattr(node, "end_col_offset"))


def _factor(node: ast.expr, source: str) -> str | None:
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div) and not _is_text(node):
        return f"({FACTOR} * ({source}))"
    return None


def _sign(node: ast.expr, source: str) -> str | None:
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub) and not _is_text(node):
        other = ast.Sub() if isinstance(node.op, ast.Add) else ast.Add()
        return f"({ast.unparse(ast.BinOp(node.left, other, node.right))})"
    return None


def _unit(node: ast.expr, source: str) -> str | None:
    if isinstance(node, ast.Call) and node.args and isinstance(node.args[-1], ast.Constant):
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        word = node.args[-1].value
        is_nan = isinstance(node.args[0], ast.Attribute) and node.args[0].attr == "nan"
        if name in ("Q", "m_as") and isinstance(word, str) and word in UNITS and not is_nan:
            changed = ast.Call(node.func, [*node.args[:-1], ast.Constant(UNITS[word])], node.keywords)
            return f"({ast.unparse(changed)})"
    return None


def _result(node: ast.expr, source: str, by: float) -> str | None:
    """Where a body only hands on: one argument of the result it makes."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id[:1].isupper() and node.keywords:
        for keyword in node.keywords:
            if keyword.arg and not isinstance(keyword.value, ast.Constant | ast.JoinedStr | ast.Tuple | ast.Compare):
                text = ast.unparse(keyword.value)
                return source.replace(f"{keyword.arg}={text}", f"{keyword.arg}={by} * ({text})", 1)
    return None


def _is_text(node: ast.BinOp) -> bool:
    return any(
        isinstance(side, ast.JoinedStr | ast.Tuple | ast.List | ast.ListComp)
        or (isinstance(side, ast.Constant) and isinstance(side.value, str))
        for side in (node.left, node.right)
    )


KINDS: dict[str, tuple[Callable[[ast.expr, str], str | None], float]] = {
    "factor": (_factor, FACTOR), "sign": (_sign, -1.0), "unit": (_unit, 1000.0),
}  # fmt: skip


def spoilt(name: str, module: str) -> Iterator[Spoilt]:
    """A change of each kind to a calculator, in the middle of where it can be made; one kind may have no place."""
    text = (ROOT / "kit" / f"{module}.py").read_text(encoding="utf-8")
    nodes = list(_nodes(_bodies(ast.parse(text), name)))
    for kind, (change, by) in KINDS.items():
        places = [(node, new) for node in nodes if (new := change(node, _source(text, node))) is not None]
        if not places:
            found = ((node, _result(node, _source(text, node), by)) for node in nodes)
            places = [(node, new) for node, new in found if new is not None and new != _source(text, node)]
        if places:
            node, new = places[len(places) // 2]
            old = _source(text, node)
            yield Spoilt(name, module, kind, node.lineno, f"{_flat(old)} -> {_flat(new)}", _replaced(text, node, new))


def _flat(words: str) -> str:
    return " ".join(words.split())[:90]


def _source(text: str, node: ast.expr) -> str:
    return ast.get_source_segment(text, node) or ""


def _replaced(text: str, node: ast.expr, new: str) -> str:
    lines = text.splitlines(keepends=True)
    # Columns of the parser count bytes.
    start = sum(len(line) for line in lines[: node.lineno - 1])
    start += len(lines[node.lineno - 1].encode()[: node.col_offset].decode())
    return text[:start] + new + text[start + len(_source(text, node)) :]


def tests_of(name: str, module: str) -> list[str]:
    """Test files that name a calculator, and the examples of its own module; comparisons with the outside first."""
    word = re.compile(rf"\b{name}\b")
    passed_over = ("browser", "notebook")
    files = [
        file for file in sorted((ROOT / "tests").rglob("test_*.py"))
        if not set(passed_over) & set(file.parts) and word.search(file.read_text(encoding="utf-8"))
    ]  # fmt: skip
    files.sort(key=lambda file: "outside" not in file.parts)
    return [f"kit/{module}.py", *(str(file.relative_to(ROOT)) for file in files)]


@contextmanager
def _copies(count: int) -> Iterator[Queue[Path]]:
    with tempfile.TemporaryDirectory() as folder:
        free: Queue[Path] = Queue()
        for number in range(count):
            copy = Path(folder) / str(number)
            copy.mkdir()
            for part in ("kit", "tests", "shared"):
                shutil.copytree(ROOT / part, copy / part, ignore=shutil.ignore_patterns("__pycache__"))
            for file in ("pyproject.toml", "README.md", "conftest.py"):
                if (ROOT / file).is_file():
                    shutil.copy(ROOT / file, copy / file)
            free.put(copy)
        yield free


def noticed(change: Spoilt, free: Queue[Path]) -> bool:
    """True when a test fails with the change in place."""
    copy = free.get()
    file = copy / "kit" / f"{change.module}.py"
    before = file.read_text(encoding="utf-8")
    try:
        file.write_text(change.text, encoding="utf-8")
        ran = subprocess.run(
            [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-p", "no:nbval", "-o",
             "addopts=--import-mode=importlib --doctest-modules", *tests_of(change.name, change.module)],
            cwd=copy, capture_output=True, text=True, env={**_environment(), "PYTHONPATH": str(copy)},
        )  # fmt: skip
        return ran.returncode == 1 or "error" in ran.stdout.lower()
    finally:
        file.write_text(before, encoding="utf-8")
        free.put(copy)


def _environment() -> dict[str, str]:
    import os

    return {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}


def main(wanted: Sequence[str]) -> int:
    """Spoil the calculators named, or all; print what nobody noticed."""
    every = calculators()
    if strange := [name for name in wanted if name not in every]:
        print(f"there is no calculator {strange[0]}")
        return 2
    changes = [one for name in (wanted or sorted(every)) for one in spoilt(name, every[name])]
    unnoticed = 0
    with _copies(WORKERS) as free, ThreadPoolExecutor(WORKERS) as pool:
        for change, seen in zip(changes, pool.map(lambda one: noticed(one, free), changes), strict=True):
            unnoticed += not seen
            if not seen:
                where = f"kit/{change.module}.py:{change.line}"
                print(f"NOT NOTICED  {change.name} {change.kind} ({where}): {change.said}", flush=True)
    print(f"{len(changes)} changes to {len(wanted or every)} calculators, {len(changes) - unnoticed} noticed")
    return 1 if unnoticed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
