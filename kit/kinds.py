"""What an input or result is: unit, meaning, limits, and all that follows from them.

A kind stands in an annotation, `Annotated[Quantity, In("mm", "board width", 145,
ge=5, le=2000)]`, and is the single declaration of that input.  Every kind
answers the same questions, so that form, record, handbook and tests never ask
which kind they hold:

`check(value)`   the value made ready, and why it is refused (None when it is not)
`read(text)`     a value from workshop text, or an `Unreadable` that says why not
`write(value)`   text for the record, which reads back exactly
`show(value)`    text for a person, rounded to shop resolution
`allowed()`      what may be entered, with an example
`remarks(value)` sentences on a value that is accepted but unusual or outside a source's range

Quantities (`In`, `Out`) are in `kit.amounts`, everything else is here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from kit.amounts import BASES, Basis, In, Out, Unreadable, brief, clip, some_of
from kit.quantities import Q, UnitError, adopt, is_quantity
from kit.sampling import is_sampling
from kit.workshop import Prefs, show

if TYPE_CHECKING:
    from hypothesis.strategies import SearchStrategy

__all__ = [
    "BASES", "KINDS", "Asks", "Basis", "Choice", "Count", "In", "Kind", "Out", "Rows", "Says", "Text", "Unreadable",
    "YesNo",
]

_WHOLE = re.compile(r"[+-]?[0-9]{1,9}")


class Kind(Protocol):
    """What every kind of input answers."""

    @property
    def meaning(self) -> str: ...
    @property
    def find(self) -> str: ...
    @property
    def basis(self) -> Basis: ...
    @property
    def usual(self) -> Any: ...
    def check(self, value: Any) -> tuple[Any, str | None]: ...
    def read(self, text: str, prefs: Prefs = ...) -> Any: ...
    def write(self, value: Any) -> str: ...
    def show(self, value: Any, prefs: Prefs = ...) -> str: ...
    def allowed(self, prefs: Prefs | None = None) -> str: ...
    def remarks(self, value: Any, prefs: Prefs | None = None) -> tuple[str, ...]: ...
    def strategy(self) -> SearchStrategy[Any]: ...


@dataclass(frozen=True, slots=True)
class Count:
    """A whole number of things."""

    meaning: str
    example: int
    ge: int = field(kw_only=True)
    le: int = field(kw_only=True)
    find: str = field(default="", kw_only=True)
    basis: Basis = field(default="estimate", kw_only=True)

    @property
    def usual(self) -> int:
        return self.example

    def check(self, value: Any) -> tuple[Any, str | None]:
        if isinstance(value, str):
            value = self.read(value)
        if isinstance(value, Unreadable):
            return value, value.why
        if type(value) is int and self.ge <= value <= self.le:
            return value, None
        given = _pure_number(value)
        if given is None:
            return value, f"{brief(value)} is not a whole number; write {self.example}"
        whole = given == np.floor(given)
        good = whole & (given >= self.ge) & (given <= self.le)
        if given.ndim == 0:
            return (int(given), None) if good else (value, self._refusal(value, bool(whole)))
        if is_sampling() or (given.size and good.all()):
            return np.where(good, given, np.nan), None
        if not given.size:
            return value, f"there is no value in it; write {self.example}"
        first = self._refusal(float(given[~good].flat[0]), bool(whole[~good].flat[0]))
        return value, f"{some_of(int((~good).sum()), given.size)} not allowed; the first: {first}"

    def _refusal(self, value: Any, whole: bool) -> str:
        given = f"{value:.12g}" if isinstance(value, float) else brief(value)
        if whole:
            return f"{given} is outside {self.allowed()}"
        return f"{given} is not a whole number; write {self.example}"

    def read(self, text: str, prefs: Prefs = Prefs()) -> int | Unreadable:
        bare = text.strip()
        if _WHOLE.fullmatch(bare):
            return int(bare)
        return Unreadable(text, f"'{clip(text)}' is not a whole number; write {self.example}")

    def write(self, value: Any) -> str:
        return str(int(value))

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        number = value.m_as("") if is_quantity(value) else value  # a count may be linked to a result
        return f"{number:.0f}" if np.ndim(number) == 0 else show(Q(number), "")

    def allowed(self, prefs: Prefs | None = None) -> str:
        return f"{self.ge} to {self.le}, such as {self.example}"

    def remarks(self, value: Any, prefs: Prefs | None = None) -> tuple[str, ...]:
        return ()

    def strategy(self) -> SearchStrategy[Any]:
        from hypothesis import strategies as st

        return st.one_of(st.just(self.example), st.integers(self.ge, self.le))


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words.  The words come from the annotation's Literal, or from `options`."""

    meaning: str
    example: str = ""
    options: tuple[str, ...] = field(default=(), kw_only=True)
    find: str = field(default="", kw_only=True)
    basis: Basis = field(default="estimate", kw_only=True)

    @property
    def usual(self) -> str:
        return self.example or self.options[0]

    def check(self, value: Any) -> tuple[Any, str | None]:
        if isinstance(value, str) and value in self.options:
            return value, None
        given = value.text if isinstance(value, Unreadable) else value
        return value, f"{brief(given)} is not one of {self.allowed()}"

    def read(self, text: str, prefs: Prefs = Prefs()) -> str | Unreadable:
        bare = text.strip()
        for option in self.options:
            if bare.casefold() == option.casefold():
                return option
        return Unreadable(text, f"'{clip(text)}' is not one of {self.allowed()}")

    def write(self, value: Any) -> str:
        return str(value)

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        return str(value)

    def allowed(self, prefs: Prefs | None = None) -> str:
        return ", ".join(f"'{option}'" for option in self.options)

    def remarks(self, value: Any, prefs: Prefs | None = None) -> tuple[str, ...]:
        return ()

    def strategy(self) -> SearchStrategy[Any]:
        from hypothesis import strategies as st

        return st.sampled_from(self.options)


@dataclass(frozen=True, slots=True)
class Text:
    """A few words, such as a name."""

    meaning: str
    example: str
    longest: int = field(default=60, kw_only=True)
    find: str = field(default="", kw_only=True)
    basis: Basis = field(default="estimate", kw_only=True)

    @property
    def usual(self) -> str:
        return self.example

    def check(self, value: Any) -> tuple[Any, str | None]:
        if isinstance(value, Unreadable):
            return value, value.why
        if not isinstance(value, str):
            return value, f"{brief(value)} is not text; write '{self.example}'"
        if not value.strip() or len(value) > self.longest or not value.isprintable():
            return value, f"'{clip(value)}' is not {self.allowed()}"
        return value, None

    def read(self, text: str, prefs: Prefs = Prefs()) -> str | Unreadable:
        value, why = self.check(text.strip())
        return value if why is None else Unreadable(text, why)

    def write(self, value: Any) -> str:
        return str(value)

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        return str(value)

    def allowed(self, prefs: Prefs | None = None) -> str:
        return f"1 to {self.longest} printable characters on one line, such as '{self.example}'"

    def remarks(self, value: Any, prefs: Prefs | None = None) -> tuple[str, ...]:
        return ()

    def strategy(self) -> SearchStrategy[Any]:
        from hypothesis import strategies as st

        letters = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=min(12, self.longest))
        return st.one_of(st.just(self.example), letters)


@dataclass(frozen=True, slots=True)
class YesNo:
    """Yes or no."""

    meaning: str
    example: bool = False
    find: str = field(default="", kw_only=True)
    basis: Basis = field(default="estimate", kw_only=True)

    @property
    def usual(self) -> bool:
        return self.example

    def check(self, value: Any) -> tuple[Any, str | None]:
        if isinstance(value, str):
            value = self.read(value)
        if isinstance(value, (bool, np.bool_)):
            return bool(value), None
        return value, f"{brief(value)} is not yes or no"

    def read(self, text: str, prefs: Prefs = Prefs()) -> bool | Unreadable:
        answer = {"yes": True, "no": False}.get(text.strip().casefold())
        return Unreadable(text, f"'{clip(text)}' is not yes or no") if answer is None else answer

    def write(self, value: Any) -> str:
        return "yes" if value else "no"

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        return self.write(value)

    def allowed(self, prefs: Prefs | None = None) -> str:
        return "yes or no"

    def remarks(self, value: Any, prefs: Prefs | None = None) -> tuple[str, ...]:
        return ()

    def strategy(self) -> SearchStrategy[Any]:
        from hypothesis import strategies as st

        return st.booleans()


@dataclass(frozen=True, slots=True)
class Rows:
    """A table: a sequence of row objects of one type, each with a name of its own."""

    meaning: str
    least: int = field(default=0, kw_only=True)
    most: int = field(default=200, kw_only=True)
    find: str = field(default="", kw_only=True)
    basis: Basis = field(default="estimate", kw_only=True)
    row: Any = field(default=None, kw_only=True)

    @property
    def usual(self) -> tuple[Any, ...]:
        return tuple(usual_row(self.row, n) for n in range(max(self.least, 1)))

    def check(self, value: Any) -> tuple[Any, str | None]:
        if isinstance(value, self.row):
            return value, f"one {self.row.__name__} stands alone; write [{self.row.__name__}(...)]"
        if isinstance(value, str) or not isinstance(value, Sequence):
            return value, f"{brief(value)} is not a list of rows; write [{self.row.__name__}(...)]"
        for place, row in enumerate(value, start=1):
            if not isinstance(row, self.row):
                return value, f"row {place} is {brief(row)}; write {self.row.__name__}(...)"
        if not self.least <= len(value) <= self.most:
            return value, f"{len(value)} rows given; {self.least} to {self.most} are allowed"
        names = [row.name for row in value if hasattr(row, "name")]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            return value, f"two rows are called '{twice[0]}'; every row needs a name of its own"
        return tuple(value), None

    def read(self, text: str, prefs: Prefs = Prefs()) -> Unreadable:
        return Unreadable(text, "a table is entered row by row")

    def write(self, value: Any) -> str:
        raise TypeError("a table is written cell by cell")

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        return f"{len(value)} row" + ("" if len(value) == 1 else "s")

    def allowed(self, prefs: Prefs | None = None) -> str:
        return f"{self.least} to {self.most} rows of {self.row.__name__}"

    def remarks(self, value: Any, prefs: Prefs | None = None) -> tuple[str, ...]:
        kinds = {name: e.kind for name, e in self.row.declaration.inputs.items() if isinstance(e.kind, In)}
        return tuple(
            f"{row.name}: {said}" if hasattr(row, "name") else said
            for row in (value if kinds else ()) for name, kind in kinds.items() if getattr(row, name) is not None
            for said in kind.remarks(getattr(row, name), prefs)
        )

    def strategy(self) -> SearchStrategy[Any]:
        from hypothesis import strategies as st

        most = min(self.most, max(self.least, 3))
        rows = st.builds(self.row, **{name: e.kind.strategy() for name, e in self.row.declaration.inputs.items()})
        unique = (lambda row: row.name) if "name" in self.row.declaration.inputs else None
        return st.lists(rows, min_size=self.least, max_size=most, unique_by=unique).map(tuple)


@dataclass(frozen=True, slots=True)
class Says:
    """A result in words."""

    meaning: str


@dataclass(frozen=True, slots=True)
class Asks:
    """A check: what it asks, and the source of its limit."""

    label: str
    source: str = ""
    hazard: bool = field(default=False, kw_only=True)


# Every kind of input; a protocol with properties cannot be asked `isinstance` without working them out.
KINDS = (In, Count, Choice, Text, YesNo, Rows)


def usual_row(row: Callable[..., Any], place: int = 0) -> Any:
    """A row of everyday values, named so that several differ."""
    values = {name: entry.kind.usual for name, entry in row.declaration.inputs.items()}  # type: ignore[attr-defined]
    if place and "name" in values:
        kind = row.declaration.inputs["name"].kind  # type: ignore[attr-defined]
        options = getattr(kind, "options", ())
        values["name"] = options[place % len(options)] if options else f"{values['name']} {place + 1}"
    return row(**values)


def _pure_number(value: Any) -> Any:
    """A number, array or quantity without a unit as an array of floats; None for anything else."""
    if is_quantity(value):
        try:
            value = adopt(value).m_as("")
        except (UnitError, TypeError, ValueError):
            return None
    if isinstance(value, bool) or not isinstance(value, (int, float, np.integer, np.floating, np.ndarray)):
        return None
    try:
        return np.asarray(value, dtype=float)
    except (OverflowError, TypeError, ValueError):
        return None
