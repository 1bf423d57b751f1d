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
import types
import typing
from collections.abc import Callable, Mapping
from contextvars import ContextVar
from dataclasses import MISSING, dataclass, fields, replace
from typing import Any, Literal, ParamSpec, TypeVar, dataclass_transform, get_args, get_origin, get_type_hints

import numpy as np

from kit.kinds import KINDS, Asks, Choice, In, Kind, Out, Rows, Says
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

# What an annotation with `| None` is made of.
_UNIONS = (typing.Union, types.UnionType)

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
        name, inputs = function.__name__, declaration.inputs

        @functools.wraps(function)
        def checked(*args: P.args, **given: P.kwargs) -> R:
            if args:
                raise InputError(name, {"inputs": _named_only(declaration)})
            ready, loud = _read(name, inputs, given)
            said: list[str] = []
            token = _REMARKS.set(said)
            try:
                made = function(**ready)  # type: ignore[call-arg]
            except InputError as error:
                raise _here(error, name, inputs) from None
            finally:
                _REMARKS.reset(token)
            notes = [line for n in loud for line in inputs[n].kind.remarks(ready[n])] + said
            return replace(made, notes=(*made.notes, *notes)) if notes else made  # type: ignore[type-var, attr-defined]

        checked.declaration = declaration  # type: ignore[attr-defined]
        checked.__doc__ = f"{inspect.getdoc(function)}\n\n{_inputs_block(declaration)}"
        if function.__module__.partition(".")[0] == "kit":
            _enter(name, checked)
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
    return _read(where, inputs, given)[0]


def _read(where: str, inputs: Mapping[str, Entry], given: Mapping[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """The inputs made ready, and the names of those that may have remarks: asking all would cost every call."""
    ready: dict[str, Any] = {}
    faults: dict[str, str] = {}
    loud: list[str] = []
    for name, entry in inputs.items():
        kind = entry.kind
        if name not in given:
            if entry.default is MISSING:
                faults[name] = f"it is missing; allowed: {kind.allowed()}"
            else:
                ready[name] = entry.default
            continue
        value = given[name]
        if value is None and entry.optional:
            ready[name] = None
            continue
        if isinstance(kind, In):
            ready[name], why, may_remark = kind.look(value)
        else:
            ready[name], why = kind.check(value)
            may_remark = isinstance(kind, Rows)
        if why is not None:
            faults[name] = why
        elif may_remark:
            loud.append(name)
    for name in given:
        if name not in inputs:
            faults[name] = _unknown(name, inputs)
    if faults:
        raise InputError(where, faults, _meanings(inputs))
    return ready, loud


def _unknown(name: str, inputs: Mapping[str, Entry]) -> str:
    near = difflib.get_close_matches(name, inputs, n=1)
    if near:
        return f"there is no such input; did you mean '{near[0]}'?"
    return f"there is no such input; there are {', '.join(inputs)}"


def _named_only(declaration: Declaration) -> str:
    first = next(iter(declaration.inputs), "")
    return f"give every input by name, such as {declaration.name}({first}=...)"


def _here(error: InputError, where: str, inputs: Mapping[str, Entry]) -> InputError:
    """A refusal of `require`, which does not know who asked, with the name of the one who did."""
    return error if error.where else InputError(where, error.faults, _meanings(inputs))


def _meanings(inputs: Mapping[str, Entry]) -> dict[str, str]:
    return {name: entry.kind.meaning for name, entry in inputs.items()}


def _enter(name: str, made: Callable[..., Any]) -> None:
    known = CALCULATORS.get(name)
    if known is not None and known.__module__ != made.__module__:
        raise TypeError(f"{made.__module__}: {known.__module__} has a calculator called {name} already; rename one")
    CALCULATORS[name] = made


def _declare_function(function: Callable[..., Any], sources: tuple[str, ...]) -> Declaration:
    unknown = [key for key in sources if key not in SOURCES]
    if unknown:
        named = ", ".join(unknown)
        raise TypeError(f"{function.__name__}: no source is called {named}; add it to kit/tables/sources.csv")
    hints = get_type_hints(function, include_extras=True)
    inputs = {}
    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.kind is not inspect.Parameter.KEYWORD_ONLY:
            raise TypeError(f"{function.__name__}: input {name} must be keyword-only (put * first)")
        default = MISSING if parameter.default is inspect.Parameter.empty else parameter.default
        inputs[name] = _entry(f"{function.__name__}.{name}", name, hints[name], default)
    returns = hints.get("return")
    if not hasattr(returns, "declaration"):
        raise TypeError(f"{function.__name__} must return a class made by @result, not {returns}")
    found = declared(returns)
    if both := sorted(inputs.keys() & (found.outputs.keys() | found.checks.keys())):
        # A path of a build is calculator and name: an entry would hide the result of the same name.
        raise TypeError(f"{function.__name__}: {', '.join(both)} is an input and a result; rename one of the two")
    summary = (inspect.getdoc(function) or "").split("\n")[0]
    return Declaration(function.__name__, inputs, found.outputs, found.checks, sources, returns, summary)


def _declared_class(cls: type[T], *, checked: bool) -> type[T]:
    if not checked and "notes" not in inspect.get_annotations(cls):
        cls.__annotations__["notes"] = "tuple[str, ...]"
        cls.notes = ()  # type: ignore[attr-defined]
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
        elif kind is not None or checked:
            default = f.default if f.default_factory is MISSING else f.default_factory()
            inputs[f.name] = _entry(f"{cls.__name__}.{f.name}", f.name, hints[f.name], default)
        elif f.name != "notes":
            raise TypeError(f"{cls.__name__}.{f.name} has no kind; annotate it with Out, Says, Asks or Rows")
    reserved = {"basis", "give_or_take", "shared", "source", "note", "date", "state"} & set(inputs)
    if checked and reserved:
        raise TypeError(f"{cls.__name__}: the record keeps {', '.join(sorted(reserved))} for itself; rename the column")
    summary = (inspect.getdoc(cls) or "").split("\n")[0]
    made.declaration = Declaration(cls.__name__, inputs, outputs, checks, (), None, summary)  # type: ignore[attr-defined]
    if checked:
        _check_when_made(made, inputs)
    return made


def _check_when_made(made: Any, inputs: Mapping[str, Entry]) -> None:
    """Let a row read its cells as a calculator reads its inputs: a missing one is a sentence, not a crash."""
    finish = getattr(made, "__post_init__", None)

    @functools.wraps(made.__init__)
    def __init__(self: Any, *args: Any, **given: Any) -> None:
        if args:
            raise InputError(made.__name__, {"cells": _named_only(made.declaration)})
        self.__dict__.update(read_inputs(made.__name__, inputs, given))
        if finish is not None:
            try:
                finish(self)
            except InputError as error:
                raise _here(error, made.__name__, inputs) from None

    made.__init__ = __init__


def _entry(where: str, name: str, hint: Any, default: Any) -> Entry:
    kind = _kind(hint)
    if not isinstance(kind, KINDS):
        example = "Annotated[Quantity, In('mm', 'width', 145, ge=5, le=2000)]"
        raise TypeError(f"{where} has no kind; annotate it like {example}")
    optional = default is None or type(None) in (*get_args(hint), *get_args(get_args(hint)[0]))
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
        words = next((a for a in (base, *get_args(base)) if get_origin(a) is Literal), base)
        kind = replace(kind, options=get_args(words))
    if isinstance(kind, Choice) and kind.example and kind.example not in kind.options:
        raise TypeError(f"{kind.meaning}: the example '{kind.example}' is not one of its options")
    if isinstance(kind, Rows):
        table = next((a for a in (base, *get_args(base)) if get_origin(a) not in (None, *_UNIONS)), None)
        row = next(iter(get_args(table)), None)
        if not hasattr(row, "declaration"):
            raise TypeError(f"{kind.meaning}: {base} is not a table; write Sequence[Row] with a class made by @row")
        kind = replace(kind, row=row)
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
