"""The one declaration: a keyword-only function whose annotations say everything.

`@calculator(source, ...)` reads the annotations once and returns a real
function that checks its inputs and, if any is wrong, raises one `InputError`
with every fault in it.  `@result` makes the frozen class a calculator returns;
`@row` makes the class of one line of a table, checked when it is made.

Inside a body `require` refuses combinations of inputs and `applies` notes that
an equation is used outside its range.
"""

from __future__ import annotations

import difflib
import functools
import inspect
import typing
from collections.abc import Callable, Iterator, Mapping
from contextvars import ContextVar
from dataclasses import MISSING, dataclass, fields, replace
from typing import Any, Literal, ParamSpec, TypeVar, dataclass_transform, get_args, get_origin, get_type_hints

import numpy as np

from kit.kinds import KINDS, Asks, Choice, Kind, Out, Rows, Says
from kit.sampling import is_sampling
from kit.sources import SOURCES

__all__ = [
    "CALCULATORS", "Declaration", "Entry", "InputError", "applies", "calculator", "declared", "read_inputs",
    "require", "result", "row",
]

P = ParamSpec("P")
R = TypeVar("R")
T = TypeVar("T")

# Every calculator of the kit by name, for the handbook and the tests that go over all of them.
CALCULATORS: dict[str, Callable[..., Any]] = {}

_REMARKS: ContextVar[list[str] | None] = ContextVar("remarks", default=None)


class InputError(ValueError):
    """One or more inputs cannot be used; `faults` has a sentence for each, by input name."""

    def __init__(self, where: str, faults: Mapping[str, str], meanings: Mapping[str, str] | None = None) -> None:
        self.where = where
        self.faults = dict(faults)
        self.meanings = dict(meanings or {})
        lines = [f"{where}: {len(faults)} to mend"]
        for name, why in faults.items():
            meaning = f" ({self.meanings[name]})" if name in self.meanings else ""
            lines.append(f"{name}{meaning}: {why}")
        super().__init__("\n".join(lines))


@dataclass(frozen=True, slots=True)
class Entry:
    """One declared input: its kind, and its default if it has one."""

    name: str
    kind: Kind
    default: Any = MISSING
    optional: bool = False

    @property
    def required(self) -> bool:
        """True when a value must be given."""
        return self.default is MISSING


@dataclass(frozen=True, slots=True)
class Declaration:
    """What a calculator, row or result declares."""

    name: str
    inputs: Mapping[str, Entry]
    outputs: Mapping[str, Out | Says | Rows]
    checks: Mapping[str, Asks]
    sources: tuple[str, ...]
    returns: type | None
    summary: str


def calculator(*sources: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Make a keyword-only function a checked calculator resting on the sources named by key.

    Raises TypeError when the declaration itself is wrong: an unknown source, an
    input without a kind, an example outside its limits, a default that the
    input's own kind refuses.
    """

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        declaration = _declare_function(function, sources)
        inputs = declaration.inputs

        @functools.wraps(function)
        def checked(*args: P.args, **given: P.kwargs) -> R:
            if args:
                raise InputError(function.__name__, {"inputs": _named_only(declaration)})
            ready = read_inputs(function.__name__, inputs, given)
            said: list[str] = []
            token = _REMARKS.set(said)
            try:
                made = function(**ready)  # type: ignore[call-arg]
            finally:
                _REMARKS.reset(token)
            notes = [*_input_remarks(inputs, ready), *said]
            return replace(made, notes=(*made.notes, *notes)) if notes else made  # type: ignore[type-var, attr-defined, return-value]

        checked.declaration = declaration  # type: ignore[attr-defined]
        checked.__doc__ = f"{inspect.getdoc(function)}\n\n{_inputs_block(declaration)}"
        CALCULATORS[function.__name__] = checked
        return checked

    return decorate


def declared(thing: Any) -> Declaration:
    """The declaration of a calculator, row class or result class."""
    found = getattr(thing, "declaration", None)
    if not isinstance(found, Declaration):
        raise TypeError(f"{thing!r} is not a calculator, row or result of this kit")
    return found


@dataclass_transform(frozen_default=True, kw_only_default=True, eq_default=False)
def result(cls: type[T]) -> type[T]:
    """Make a frozen class of results, keyword-only, with declared meanings.

    Every result class has `notes`, a tuple of sentences; it is added when left out.
    """
    return _declared_class(cls, checked=False)


@dataclass_transform(frozen_default=True, kw_only_default=True, eq_default=False)
def row(cls: type[T]) -> type[T]:
    """Make a frozen class of one table row, its cells checked against their kinds when it is made."""
    return _declared_class(cls, checked=True)


def require(holds: Any, sentence: str, *names: str) -> None:
    """Refuse a combination of inputs with a sentence that stands beside each input named.

    While sampling nothing is refused: a sample that breaks the rule must come
    out as nan by the formula's own means.
    """
    if is_sampling() or bool(np.all(holds)):
        return
    raise InputError("", dict.fromkeys(names, sentence))


def applies(holds: Any, sentence: str) -> None:
    """Note `sentence` on the result where an equation is used outside its range."""
    said = _REMARKS.get()
    if said is None or np.all(holds):
        return
    share = 1 - float(np.mean(holds))
    said.append(sentence if np.ndim(holds) == 0 else f"{sentence} (in {share:.1%} of the values)")


def read_inputs(where: str, inputs: Mapping[str, Entry], given: Mapping[str, Any]) -> dict[str, Any]:
    """Every input checked and defaults filled in; raises one InputError with every fault."""
    ready: dict[str, Any] = {}
    faults: dict[str, str] = {}
    for name, entry in inputs.items():
        if name not in given:
            if entry.default is MISSING:
                faults[name] = f"it is missing; allowed: {entry.kind.allowed()}"
            else:
                ready[name] = entry.default
            continue
        value = given[name]
        if value is None and entry.optional:
            ready[name] = None
            continue
        ready[name], why = entry.kind.check(value)
        if why is not None:
            faults[name] = why
    for name in given:
        if name not in inputs:
            faults[name] = _unknown(name, inputs)
    if faults:
        raise InputError(where, faults, {name: entry.kind.meaning for name, entry in inputs.items()})
    return ready


def _unknown(name: str, inputs: Mapping[str, Entry]) -> str:
    near = difflib.get_close_matches(name, inputs, n=1)
    if near:
        return f"there is no such input; did you mean '{near[0]}'?"
    return f"there is no such input; there are {', '.join(inputs)}"


def _named_only(declaration: Declaration) -> str:
    first = next(iter(declaration.inputs), "")
    return f"give every input by name, such as {declaration.name}({first}=...)"


def _input_remarks(inputs: Mapping[str, Entry], ready: Mapping[str, Any]) -> Iterator[str]:
    for name in _remarked(tuple(inputs.values())):
        if ready[name] is not None:
            yield from inputs[name].kind.remarks(ready[name])


@functools.lru_cache(maxsize=512)
def _remarked(entries: tuple[Entry, ...]) -> tuple[str, ...]:
    """The inputs that can have remarks at all; asking the others would cost every call."""
    return tuple(
        e.name for e in entries
        if getattr(e.kind, "valid", None) or getattr(e.kind, "everyday", None) or isinstance(e.kind, Rows)
    )


def _declare_function(function: Callable[..., Any], sources: tuple[str, ...]) -> Declaration:
    unknown = [key for key in sources if key not in SOURCES]
    if unknown:
        raise TypeError(f"{function.__name__}: no source is called {', '.join(unknown)}; add it to kit/tables/sources.csv")
    hints = get_type_hints(function, include_extras=True)
    inputs = {}
    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.kind is not inspect.Parameter.KEYWORD_ONLY:
            raise TypeError(f"{function.__name__}: input {name} must be keyword-only (put * first)")
        default = MISSING if parameter.default is inspect.Parameter.empty else parameter.default
        inputs[name] = _entry(f"{function.__name__}.{name}", name, hints[name], default)
    returns = hints.get("return")
    found = declared(returns)
    summary = (inspect.getdoc(function) or "").split("\n")[0]
    return Declaration(function.__name__, inputs, found.outputs, found.checks, sources, returns, summary)


def _declared_class(cls: type[T], *, checked: bool) -> type[T]:
    if not checked and "notes" not in cls.__dict__.get("__annotations__", {}):
        cls.__annotations__["notes"] = "tuple[str, ...]"
        cls.notes = ()  # type: ignore[attr-defined]
    if checked:
        cls.__post_init__ = _check_row  # type: ignore[attr-defined]
    # No slots: a dataclass with slots is a new class, and `declaration` must be reachable from the row itself.
    made = dataclass(frozen=True, eq=False, kw_only=True)(cls)
    hints = get_type_hints(made, include_extras=True)
    inputs: dict[str, Entry] = {}
    outputs: dict[str, Out | Says | Rows] = {}
    checks: dict[str, Asks] = {}
    for f in fields(made):  # type: ignore[arg-type]
        kind = _kind(hints[f.name])
        if isinstance(kind, Asks):
            checks[f.name] = kind
        elif isinstance(kind, Out | Says) or (isinstance(kind, Rows) and not checked):
            outputs[f.name] = kind
        elif kind is not None:
            inputs[f.name] = _entry(f"{cls.__name__}.{f.name}", f.name, hints[f.name], f.default)
    reserved = {"basis", "give_or_take", "shared", "source", "note", "date", "state"} & set(inputs)
    if checked and reserved:
        raise TypeError(f"{cls.__name__}: the record keeps {', '.join(sorted(reserved))} for itself; rename the column")
    summary = (inspect.getdoc(cls) or "").split("\n")[0]
    made.declaration = Declaration(cls.__name__, inputs, outputs, checks, (), None, summary)  # type: ignore[attr-defined]
    return made


def _check_row(self: Any) -> None:
    inputs = type(self).declaration.inputs
    ready = read_inputs(type(self).__name__, inputs, {name: getattr(self, name) for name in inputs})
    for name, value in ready.items():
        object.__setattr__(self, name, value)


def _entry(where: str, name: str, hint: Any, default: Any) -> Entry:
    kind = _kind(hint)
    if not isinstance(kind, KINDS):
        raise TypeError(f"{where} has no kind; annotate it like Annotated[Quantity, In('mm', 'width', 145, ge=5, le=2000)]")
    optional = type(None) in get_args(get_args(hint)[0]) if get_origin(hint) is typing.Annotated else False
    optional = optional or (default is None)
    if default is not MISSING and default is not None:
        default, why = kind.check(default)
        if why is not None:
            raise TypeError(f"{where}: its default is refused: {why}")
    return Entry(name, kind, default, optional)


def _kind(hint: Any) -> Any:
    """The kind in an annotation, completed with what the type itself says (words of a Literal, type of a row)."""
    inner = next((arg for arg in get_args(hint) if get_origin(arg) is typing.Annotated), hint)
    if get_origin(inner) is not typing.Annotated:
        return None
    base, *extras = get_args(inner)
    kind = next((e for e in extras if isinstance(e, (*KINDS, Out, Says, Asks))), None)
    if isinstance(kind, Choice) and not kind.options:
        words = base if get_origin(base) is Literal else next((a for a in get_args(base) if get_origin(a) is Literal), base)
        kind = replace(kind, options=get_args(words))
    if isinstance(kind, Choice) and kind.example and kind.example not in kind.options:
        raise TypeError(f"{kind.meaning}: the example '{kind.example}' is not one of its options")
    if isinstance(kind, Rows):
        kind = replace(kind, row=get_args(base)[0])
    return kind


def _inputs_block(declaration: Declaration) -> str:
    lines = ["Inputs:"]
    for name, entry in declaration.inputs.items():
        default = "" if entry.required or entry.default is None else f"; {entry.kind.show(entry.default)} if not given"
        optional = "; may be left out" if entry.optional else ""
        lines.append(f"    {name}: {entry.kind.meaning}; {entry.kind.allowed()}{default}{optional}")
    if declaration.outputs:
        lines += ["Results:"]
        for name, out in declaration.outputs.items():
            unit = f" [{out.unit}]" if isinstance(out, Out) and out.unit not in ("", "1") else ""
            lines.append(f"    {name}: {out.meaning}{unit}")
    if declaration.checks:
        lines += ["Checks:", *(f"    {name}: {asks.label}" for name, asks in declaration.checks.items())]
    if declaration.sources:
        lines += ["Sources:", *(f"    {key}: {SOURCES[key].title}" for key in declaration.sources)]
    return "\n".join(lines)
