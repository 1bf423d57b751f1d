"""The kinds that hold quantities: `In` for an input, `Out` for a result.

Everything is decided in the unit a value comes in: the limits are turned into
that unit once and kept, so that checking an entry is two comparisons.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

import numpy as np

from kit.quantities import Q, Quantity, adopt, convert, is_quantity, spell, unit, ureg
from kit.sampling import is_sampling
from kit.showing import Rounding, other_system
from kit.workshop import Prefs, ReadError, read, read_any, show, write

if TYPE_CHECKING:
    from hypothesis.strategies import SearchStrategy

__all__ = ["BASES", "Basis", "In", "Out", "Rounding", "Unreadable", "brief", "clip", "some_of"]

Basis = Literal["measured", "data sheet", "handbook", "common practice", "estimate"]
BASES: tuple[Basis, ...] = ("measured", "data sheet", "handbook", "common practice", "estimate")

# How the workshop's reader is asked for any unit, and for a pure number.
_ASKED = {"*": "", "": "1"}
_OURS: Any = ureg.Quantity
_BLOCK = 2**17


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Text that could not be read, kept as a value so that it can never fall back to a default unseen."""

    text: str
    why: str


class _Span(NamedTuple):
    """Limits in one unit, and the span within which nothing is remarked on."""

    low: float
    high: float
    quiet_from: float
    quiet_to: float


@dataclass(frozen=True, slots=True)
class In:
    """A quantity: unit to show it in, meaning, everyday example, closed limits in that unit.

    `valid` is the range of the equation or source behind it (outside, the
    result carries a remark), `everyday` the range a builder would not wonder
    at.  `find` says how to find or measure it, `basis` how it is usually known.
    `difference` marks a temperature difference.  Unit "*" takes any unit.
    `chosen` marks what the reader decides (a wish, a limit, a criterion): it is
    in no doubt unless a give or take is entered.  `out_by` is the half-width
    taken where none is entered and a share of the value would mean nothing, as
    for a coordinate near zero: "20 mm".
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
    chosen: bool = field(default=False, kw_only=True)
    out_by: str = field(default="", kw_only=True)
    _spans: dict[Any, _Span] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        if not self.ge <= self.example <= self.le:
            raise ValueError(f"{self.meaning}: the example {self.example} is outside {self.ge} to {self.le}")
        for span in (self.valid, self.everyday):
            if span is not None and not span[0] <= span[1]:
                raise ValueError(f"{self.meaning}: the range {span[0]} to {span[1]} runs backwards")
        if self.unit != "*":
            self._span(unit(self._name))

    @property
    def _name(self) -> str:
        return f"delta_{self.unit}" if self.difference and self.unit in ("degC", "degF") else self.unit

    @property
    def usual(self) -> Quantity:
        return Q(self.example, "" if self.unit == "*" else self._name)

    def check(self, value: Any) -> tuple[Any, str | None]:
        made, why, _ = self.look(value)
        return made, why

    def look(self, value: Any) -> tuple[Any, str | None, bool]:
        """What `check` says, and whether there may be something to remark on: one look at an array serves both."""
        # Every entry of every calculator comes this way: a few comparisons, and the rest only when they fail.
        if isinstance(value, _OURS):
            span, m = self._spans.get(value._units), value._magnitude
            if span is not None and isinstance(m, float) and span.low <= m <= span.high:
                return value, None, not span.quiet_from <= m <= span.quiet_to
        return self._look(value)

    def _look(self, value: Any) -> tuple[Any, str | None, bool]:
        try:
            given = self._given(value)
        except ReadError as error:
            return value, str(error), False
        span = self._span(given.units)
        if isinstance(given.magnitude, float):
            least = most = given.magnitude
        elif given.magnitude.size:
            least, most = _extremes(given.magnitude)
        else:
            return given, f"there is no value in it; write {self.sample()}", False
        if span.low <= least and most <= span.high:
            return given, None, not (span.quiet_from <= least and most <= span.quiet_to)
        if isinstance(given.magnitude, float):
            made, why = (Quantity(np.nan, given.units), None) if is_sampling() else (value, self._refusal(given))
        else:
            made, why = self._mend_array(given, given.magnitude, span)
        return made, why, self._can_remark

    @property
    def _can_remark(self) -> bool:
        return self.valid is not None or self.everyday is not None

    def _mend_array(self, given: Quantity, values: Any, span: _Span) -> tuple[Any, str | None]:
        good = (values >= span.low) & (values <= span.high)
        if is_sampling():
            return Quantity(np.where(good, values, np.nan), given.units), None
        outside = int(values.size - np.count_nonzero(good))
        first = self._refusal(Quantity(float(values[~good].flat[0]), given.units))
        return given, f"{some_of(outside, values.size)} not allowed; the first: {first}"

    def _given(self, value: Any) -> Quantity:
        """The value as a quantity of this kind, or a ReadError."""
        if isinstance(value, Unreadable):
            raise ReadError(value.why)
        if isinstance(value, _OURS) and value._units in self._spans:
            given = adopt(value)
        else:
            given = read_any(value, _ASKED.get(self.unit, self.unit), difference=self.difference)
        flat = isinstance(given.magnitude, float) or np.ndim(given.magnitude)
        return given if flat else Quantity(float(given.magnitude), given.units)

    def _span(self, units: Any) -> _Span:
        """The limits in a unit that is known to be of this kind."""
        if (kept := self._spans.get(units._units)) is not None:
            return kept
        own = units if self.unit == "*" else unit(self._name)
        quiet = [span for span in (self.valid, self.everyday) if span is not None]
        inner = max((s[0] for s in quiet), default=-np.inf), min((s[1] for s in quiet), default=np.inf)
        low, high, quiet_from, quiet_to = (
            float(convert(Quantity(float(v), own), units).magnitude) for v in (self.ge, self.le, *inner)
        )
        # Conversion may move a limit by its last bit; a value entered exactly at the limit must pass.
        slack = 0.0 if own == units else 1e-12 * max(abs(low), abs(high))
        made = _Span(low - slack, high + slack, quiet_from - slack, quiet_to + slack)
        if len(self._spans) < 200:
            self._spans[units._units] = made
        return made

    def _refusal(self, given: Quantity) -> str:
        if np.isnan(given.magnitude):
            return f"it is not a number; write {self.sample()}"
        if self.unit == "*" or given.units == unit(self._name):
            return f"{_plain(given, 17 if self._seems_inside(given) else 12)} is outside {self.allowed()}"
        own = convert(given, unit(self._name))
        return f"{_plain(given)} ({_plain(own)}) is outside {self.allowed()}"

    def _seems_inside(self, given: Quantity) -> bool:
        return self.ge <= float(f"{given.magnitude:.12g}") <= self.le

    def read(self, text: str, prefs: Prefs = Prefs()) -> Quantity | Unreadable:
        try:
            return read(text, _ASKED.get(self.unit, self.unit), difference=self.difference, prefs=prefs)
        except ReadError as error:
            return Unreadable(text, str(error))

    def write(self, value: Any) -> str:
        return write(adopt(value))

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        given = adopt(value)
        name = "" if self.unit == "*" else self._name
        return show(given, name, resolution=self.resolution, rounding=self.rounding, prefs=prefs,
                    difference=self.difference)

    def sample(self, prefs: Prefs | None = None) -> str:
        """The everyday example, as text that `read` accepts."""
        return "2.5 m" if self.unit == "*" else self._amount(self.example, prefs)

    def allowed(self, prefs: Prefs | None = None) -> str:
        if self.unit == "*":
            return f"{self.ge:.12g} to {self.le:.12g} of any unit, such as 2.5 m"
        return f"{self._range((self.ge, self.le), prefs)}, such as {self.sample(prefs)}"

    def _range(self, span: tuple[float, float], prefs: Prefs | None) -> str:
        low, high = (self._amount(v, prefs) for v in span)
        return f"{low.split(' ')[0]} to {high}"

    def _amount(self, value: float, prefs: Prefs | None) -> str:
        """A value in the declared unit, in the reader's system and currency when those are known."""
        if prefs is None or self.unit == "*":
            return f"{value:.12g}{_label(self._name)}"
        seen = other_system(self._name, "inch") if prefs.system == "inch" else self._name
        there = convert(Q(value, self._name), unit(seen)).magnitude
        figures = f"{there:.12g}" if unit(seen) == unit(self._name) else f"{there:.4g}"
        return figures + _label(seen).replace("money", prefs.currency)

    def remarks(self, value: Any, prefs: Prefs | None = None) -> tuple[str, ...]:
        if not self._can_remark or not self.look(value)[2]:
            return ()
        return tuple(self._remarks(convert(value, unit(self._name)), prefs))

    def _remarks(self, own: Quantity, prefs: Prefs | None) -> list[str]:
        said = []
        for span, sentence in (
            (self.valid, "outside the range {} that its source was made for"),
            (self.everyday, "unusual: everyday values are {}"),
        ):
            if span is not None and (share := _share_outside(own.magnitude, span)):
                many = np.ndim(own.magnitude) > 0
                given = self.show(own, prefs or Prefs()) if many else self._amount(own.magnitude, prefs)
                of = f" in {share:.1%} of the values" if many else ""
                said.append(f"{self.meaning}: {given} is {sentence.format(self._range(span, prefs))}{of}")
        return said

    def strategy(self) -> SearchStrategy[Any]:
        from hypothesis import strategies as st

        floats = st.one_of(
            st.floats(self.ge, self.le, allow_nan=False),
            st.floats(max(self.ge, self.example * 0.8), min(self.le, self.example * 1.25))
            if self.example > 0 else st.floats(self.ge, self.le),
        )
        return floats.map(lambda v: Q(v, "" if self.unit == "*" else self._name))


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

    def __post_init__(self) -> None:
        if self.unit != "*":
            unit(self.unit)

    def show(self, value: Any, prefs: Prefs = Prefs()) -> str:
        """The result as a person reads it."""
        if value is None:
            return self.absent
        given = adopt(value) if is_quantity(value) else Q(value)
        if np.all(np.isnan(given.magnitude)):
            return self.absent
        name = "" if self.unit == "*" else self.unit
        return show(given, name, resolution=self.resolution, rounding=self.rounding, prefs=prefs,
                    difference=self.unit.startswith("delta_"))


def clip(text: str) -> str:
    """Text that may be hostile, shortened and with what cannot be printed escaped."""
    shown = text if len(text) <= 40 else text[:37] + "..."
    return shown.encode("unicode_escape").decode() if not shown.isprintable() else shown


def brief(value: Any) -> str:
    """What was given, shortly, for a message."""
    if isinstance(value, Unreadable):
        return f"'{clip(value.text)}'"
    if isinstance(value, _OURS) and np.ndim(value.magnitude) == 0:
        return _plain(adopt(value))
    return clip(repr(value))


def some_of(some: int, of: int) -> str:
    """How many of how many, as the head of a sentence: "1 of 3 values is"."""
    return f"{some} of {of} values {'is' if some == 1 else 'are'}"


def _extremes(values: Any) -> tuple[float, float]:
    """Least and greatest of an array, both nan if anything in it is; by blocks that stay in the processor's cache."""
    if values.size <= _BLOCK or values.ndim != 1:
        return values.min(), values.max()
    blocks = [values[start:start + _BLOCK] for start in range(0, values.size, _BLOCK)]
    ends = np.array([(block.min(), block.max()) for block in blocks])
    return ends[:, 0].min(), ends[:, 1].max()


def _share_outside(magnitude: Any, span: tuple[float, float]) -> float:
    m = np.asarray(magnitude, dtype=float)
    slack = 1e-12 * max(abs(span[0]), abs(span[1]))
    return float(np.mean((m < span[0] - slack) | (m > span[1] + slack)))


def _label(name: str) -> str:
    if name in ("", "1"):
        return ""
    return f" {name}".replace("**", "^").replace("delta_", "").replace("percent", "%")


def _plain(q: Quantity, figures: int = 12) -> str:
    return f"{q.magnitude:.{figures}g}{_label(spell(q))}"
