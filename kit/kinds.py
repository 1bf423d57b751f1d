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
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal, Protocol

import numpy as np

from kit.quantities import Q, Quantity, adopt, is_quantity, unit
from kit.sampling import is_sampling
from kit.workshop import Prefs, ReadError, read, read_any, show, write

if TYPE_CHECKING:
    from hypothesis.strategies import SearchStrategy

__all__ = [
    "BASES", "KINDS", "Asks", "Basis", "Choice", "Count", "In", "Kind", "Out", "Rows", "Says", "Text", "Unreadable", "YesNo",
]

Basis = Literal["measured", "data sheet", "handbook", "common practice", "estimate"]
BASES: tuple[Basis, ...] = ("measured", "data sheet", "handbook", "common practice", "estimate")
Rounding = Literal["near", "up", "down"]


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Text that could not be read, kept as a value so that it can never fall back to a default unseen."""

    text: str
    why: str


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
    def allowed(self, prefs: Prefs = ...) -> str: ...
    def remarks(self, value: Any, prefs: Prefs = ...) -> tuple[str, ...]: ...
    def strategy(self) -> SearchStrategy[Any]: ...


@dataclass(frozen=True, slots=True)
class In:
    """A quantity: unit to show it in, meaning, everyday example, closed limits in that unit.

    `valid` is the range of the equation or source behind it (outside, the
    result carries a remark), `everyday` the range a builder would not wonder
    at.  `find` says how to find or measure it, `basis` how it is usually known.
    `difference` marks a temperature difference.  Unit "*" takes any unit.
    """

    unit: str
    meaning: str
    example: float
    ge: float = field(kw_only=True)
    le: float = field(kw_only=True)
    valid: tuple[float, float] | None = field(default=None, kw_only=True)
    everyday: tuple[float, float] | None = field(default=None, kw_only=True)
    resolution: float | None = field(default=None, kw_only=True)
    rounding: Rounding = field(default="near", kw_only=True)
    find: str = field(default="", kw_only=True)
    basis: Basis = field(default="estimate", kw_only=True)
    difference: bool = field(default=False, kw_only=True)

    def __post_init__(self) -> None:
        if not self.ge <= self.example <= self.le:
            raise ValueError(f"{self.meaning}: the example {self.example} is outside {self.ge} to {self.le}")
        if self.unit != "*":
            unit(self._name)

    @property
    def _name(self) -> str:
        return f"delta_{self.unit}" if self.difference and self.unit in ("degC", "degF") else self.unit

    @property
    def usual(self) -> Quantity:
        return Q(self.example, "" if self.unit == "*" else self._name)

    def check(self, value: Any) -> tuple[Any, str | None]:
        try:
            given = self._given(value)
        except ReadError as error:
            return value, str(error)
        bounds = _limits(self, given.units)
        if bounds is None:
            return value, f"{_brief(value)} is not {_described(self.unit)}; write {self.sample()}"
        low, high = bounds
        magnitude = given.magnitude
        if isinstance(magnitude, float):
            if low <= magnitude <= high:
                return given, None
            if is_sampling():
                return Quantity(np.nan, given.units), None
            return value, self._refusal(given)
        return self._check_array(given, np.asarray(magnitude, dtype=float), low, high)

    def _check_array(self, given: Quantity, values: Any, low: float, high: float) -> tuple[Any, str | None]:
        if values.size == 0:
            return given, f"there is no value in it; write {self.sample()}"
        # min and max are nan if anything is nan, so one pass over each finds every fault.
        if values.min() >= low and values.max() <= high:
            return given, None
        with np.errstate(invalid="ignore"):
            good = (values >= low) & (values <= high)
        if is_sampling():
            return Quantity(np.where(good, values, np.nan), given.units), None
        first = show(Quantity(float(values[~good].flat[0]), given.units), "" if self.unit == "*" else self._name)
        return given, f"{int((~good).sum())} of {values.size} values are outside {self.allowed()}; the first is {first}"

    def _given(self, value: Any) -> Quantity:
        if isinstance(value, Quantity) and isinstance(value.magnitude, float):
            return value
        if isinstance(value, Unreadable):
            raise ReadError(value.why)
        if is_quantity(value) or isinstance(value, str):
            return read_any(value, "" if self.unit == "*" else self.unit, difference=self.difference)
        if self.unit in ("", "1") and isinstance(value, (int, float, np.ndarray)) and not isinstance(value, bool):
            return Q(value)
        return read_any(value, "" if self.unit == "*" else self.unit, difference=self.difference)

    def _refusal(self, given: Quantity) -> str:
        if np.isnan(given.magnitude):
            return f"it is not a number; write {self.sample()}"
        text = _plain(given) if self.unit == "*" else _plain(given.to(self._name))
        return f"{text} is outside {self.allowed()}"

    def read(self, text: str, prefs: Prefs = Prefs()) -> Quantity | Unreadable:
        try:
            return read(text, "" if self.unit == "*" else self.unit, difference=self.difference, prefs=prefs)
        except ReadError as error:
            return Unreadable(text, str(error))

    def write(self, value: Any) -> str:
        return write(adopt(value))

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        given = adopt(value)
        name = f"{given.units:~C}" if self.unit == "*" else self._name
        return show(given, name, resolution=self.resolution, rounding=self.rounding, prefs=prefs,
                    difference=self.difference)

    def sample(self, prefs: Prefs = Prefs()) -> str:
        """The everyday example, as text that `read` accepts."""
        return _plain(Quantity(float(self.example), unit(self._name))) if self.unit != "*" else "2.5 m"

    def allowed(self, prefs: Prefs = Prefs()) -> str:
        if self.unit == "*":
            return "any positive amount with its unit, such as 2.5 m"
        name = _label(self._name)
        return f"{self.ge:.12g} to {self.le:.12g}{name}, such as {self.example:.12g}{name}"

    def remarks(self, value: Any, prefs: Prefs = Prefs()) -> tuple[str, ...]:
        said = []
        for span, sentence in (
            (self.valid, "outside the range {} that its source was made for"),
            (self.everyday, "unusual: everyday values are {}"),
        ):
            if span is not None and (share := _share_outside(value, self._name, span)):
                where = sentence.format(f"{span[0]:.12g} to {span[1]:.12g}{_label(self._name)}")
                of = "" if np.ndim(value.magnitude) == 0 else f" in {share:.1%} of the values"
                said.append(f"{self.meaning}: {self.show(value, prefs)} is {where}{of}")
        return tuple(said)

    def strategy(self) -> SearchStrategy[Any]:
        from hypothesis import strategies as st

        floats = st.one_of(
            st.floats(self.ge, self.le, allow_nan=False),
            st.floats(max(self.ge, self.example * 0.8), min(self.le, self.example * 1.25))
            if self.example > 0 else st.floats(self.ge, self.le),
        )
        return floats.map(lambda v: Q(v, "" if self.unit == "*" else self._name))


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
        if is_quantity(value) and adopt(value).dimensionless:
            value = adopt(value).m_as("")
        if isinstance(value, bool) or not isinstance(value, (int, float, np.integer, np.floating, np.ndarray)):
            return value, f"{_brief(value)} is not a whole number; write {self.example}"
        array = np.asarray(value, dtype=float)
        if not np.all(array == np.floor(array)) and not is_sampling():
            return value, f"{_brief(value)} is not a whole number; write {self.example}"
        if not np.all((array >= self.ge) & (array <= self.le)) and not is_sampling():
            return value, f"{_brief(value)} is outside {self.allowed()}"
        return (int(value), None) if array.ndim == 0 and np.isfinite(array) else (value, None)

    def read(self, text: str, prefs: Prefs = Prefs()) -> int | Unreadable:
        bare = text.strip()
        if bare.isascii() and bare.lstrip("+-").isdigit() and len(bare) <= 9:
            return int(bare)
        return Unreadable(text, f"'{_clip(text)}' is not a whole number; write {self.example}")

    def write(self, value: Any) -> str:
        return str(int(value))

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        return f"{value:.0f}" if np.ndim(value) == 0 else show(Q(value), "")

    def allowed(self, prefs: Prefs = Prefs()) -> str:
        return f"{self.ge} to {self.le}, such as {self.example}"

    def remarks(self, value: Any, prefs: Prefs = Prefs()) -> tuple[str, ...]:
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
        return value, f"{_brief(given)} is not one of {self.allowed()}"

    def read(self, text: str, prefs: Prefs = Prefs()) -> str | Unreadable:
        bare = text.strip()
        for option in self.options:
            if bare.casefold() == option.casefold():
                return option
        return Unreadable(text, f"'{_clip(text)}' is not one of {self.allowed()}")

    def write(self, value: Any) -> str:
        return str(value)

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        return str(value)

    def allowed(self, prefs: Prefs = Prefs()) -> str:
        return ", ".join(f"'{option}'" for option in self.options)

    def remarks(self, value: Any, prefs: Prefs = Prefs()) -> tuple[str, ...]:
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
        if not isinstance(value, str):
            return value, f"{_brief(value)} is not text; write '{self.example}'"
        if not value.strip() or len(value) > self.longest or not value.isprintable():
            return value, f"'{_clip(value)}' is not {self.allowed()}"
        return value, None

    def read(self, text: str, prefs: Prefs = Prefs()) -> str | Unreadable:
        value, why = self.check(text.strip())
        return value if why is None else Unreadable(text, why)

    def write(self, value: Any) -> str:
        return str(value)

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        return str(value)

    def allowed(self, prefs: Prefs = Prefs()) -> str:
        return f"1 to {self.longest} printable characters on one line, such as '{self.example}'"

    def remarks(self, value: Any, prefs: Prefs = Prefs()) -> tuple[str, ...]:
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
        if isinstance(value, (bool, np.bool_)):
            return bool(value), None
        return value, f"{_brief(value)} is not yes or no"

    def read(self, text: str, prefs: Prefs = Prefs()) -> bool | Unreadable:
        answer = {"yes": True, "no": False}.get(text.strip().casefold())
        return Unreadable(text, f"'{_clip(text)}' is not yes or no") if answer is None else answer

    def write(self, value: Any) -> str:
        return "yes" if value else "no"

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        return self.write(value)

    def allowed(self, prefs: Prefs = Prefs()) -> str:
        return "yes or no"

    def remarks(self, value: Any, prefs: Prefs = Prefs()) -> tuple[str, ...]:
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
            return value, f"{_brief(value)} is not a list of rows; write [{self.row.__name__}(...)]"
        for place, row in enumerate(value, start=1):
            if not isinstance(row, self.row):
                return value, f"row {place} is {_brief(row)}; write {self.row.__name__}(...)"
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

    def allowed(self, prefs: Prefs = Prefs()) -> str:
        return f"{self.least} to {self.most} rows of {self.row.__name__}"

    def remarks(self, value: Any, prefs: Prefs = Prefs()) -> tuple[str, ...]:
        kinds = self.row.declaration.inputs
        return tuple(
            f"{row.name}: {said}" if hasattr(row, "name") else said
            for row in value for name, entry in kinds.items() if getattr(row, name) is not None
            for said in entry.kind.remarks(getattr(row, name), prefs)
        )

    def strategy(self) -> SearchStrategy[Any]:
        from hypothesis import strategies as st

        most = min(self.most, max(self.least, 3))
        rows = st.builds(self.row, **{name: e.kind.strategy() for name, e in self.row.declaration.inputs.items()})
        unique = (lambda row: row.name) if "name" in self.row.declaration.inputs else None
        return st.lists(rows, min_size=self.least, max_size=most, unique_by=unique).map(tuple)


@dataclass(frozen=True, slots=True)
class Out:
    """A result: unit to show it in and its meaning.

    `rounding` is its safe direction (freeboard down, draft up).  `absent` is
    what to say when the result does not exist (nan).  `over` names the result
    that is the axis of a curve.
    """

    unit: str
    meaning: str
    resolution: float | None = field(default=None, kw_only=True)
    rounding: Rounding = field(default="near", kw_only=True)
    absent: str = field(default="not worked out", kw_only=True)
    over: str = field(default="", kw_only=True)

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        """The result as a person reads it."""
        if value is None:
            return self.absent
        given = adopt(value) if is_quantity(value) else Q(value)
        if np.all(np.isnan(given.magnitude)):
            return self.absent
        name = f"{given.units:~C}" if self.unit == "*" else self.unit
        return show(given, name, resolution=self.resolution, rounding=self.rounding, prefs=prefs,
                    difference=self.unit.startswith("delta_"))


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
        values["name"] = f"{values['name']} {place + 1}"
    return row(**values)


@lru_cache(maxsize=8192)
def _limits(kind: In, units: Any) -> tuple[float, float] | None:
    """A kind's limits in another unit; None when that unit measures something else."""
    if kind.unit == "*":
        return kind.ge, kind.le
    own = unit(kind._name)
    if own == units:
        return kind.ge, kind.le
    try:
        low, high = (Quantity(float(v), own).to(units).magnitude for v in (kind.ge, kind.le))
    except Exception:
        return None
    # Conversion may move a limit by its last bit; a value entered exactly at the limit must pass.
    slack = 1e-12 * max(abs(low), abs(high))
    return low - slack, high + slack


def _share_outside(value: Quantity, name: str, span: tuple[float, float]) -> float:
    m = np.asarray(value.m_as(unit(name)), dtype=float)
    with np.errstate(invalid="ignore"):
        return float(np.mean((m < span[0]) | (m > span[1])))


def _label(name: str) -> str:
    if name in ("", "1"):
        return ""
    return f" {name}".replace("**", "^").replace("delta_", "").replace("percent", "%")


def _plain(q: Quantity) -> str:
    return f"{q.magnitude:.12g}{_label(f'{q.units:~C}')}"


def _described(name: str) -> str:
    return f"an amount in {_label(name).strip()}" if name not in ("", "1") else "a pure number"


def _clip(text: str) -> str:
    shown = text if len(text) <= 40 else text[:37] + "..."
    return shown.encode("unicode_escape").decode() if not shown.isprintable() else shown


def _brief(value: Any) -> str:
    if isinstance(value, Unreadable):
        return f"'{_clip(value.text)}'"
    if is_quantity(value) and np.ndim(value.magnitude) == 0:
        return _plain(adopt(value)) if isinstance(value, Quantity) else f"{value}"
    return _clip(repr(value))
