"""What a page says while something is still missing: clauses that are left out, drawings that say what they wait for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from kit.build.build import Build

__all__ = ["Clause", "known", "needs", "split_clauses"]

Clause = tuple[Sequence[str], Callable[[Build], str]]


def known(build: Build, paths: Sequence[str]) -> bool:
    """True when every path has a value in force."""
    return all(build.value(path) is not None for path in paths)


def needs(build: Build, wanted: Mapping[str, Sequence[str]]) -> None:
    """Raise LookupError with one sentence that names, in words, what has no value yet."""
    missing = [words for words, paths in wanted.items() if not known(build, paths)]
    if missing:
        raise LookupError(f"it waits for {', '.join(missing)}")


def split_clauses(build: Build, clauses: Mapping[str, Clause]) -> tuple[list[str], list[str]]:
    """The clauses that can be said, and the names of those that cannot be said yet."""
    said = [words(build) for paths, words in clauses.values() if known(build, paths)]
    return said, [name for name, (paths, _) in clauses.items() if not known(build, paths)]
