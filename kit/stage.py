"""How a stage is written: it names the calculators it runs and where their inputs come from.

    @stage("lids", "05", "Lids", settles="...", first_look=("balance.force",))
    def lids(
        *,
        balance: StrutBalance = run(strut_balance, mass="panels.lid.mass", cold="brief.cold"),
        strut_mass: Annotated[Quantity, In("kg", "one strut", 0.4, ge=0.01, le=10)] = Q(0.4, "kg"),
    ) -> Iterator[Part | Hazard]:
        yield Part(name="struts", mass=2 * strut_mass, x=..., y=..., z=...)

Every input of a calculator that is not linked is an entry of the build, at the
path `stage.argument.input`; an input of the stage itself is at `stage.input`.
A stage computes nothing: its body only yields parts, purchases, tasks and
hazards, and waits only for those of its arguments that it reads.
"""

from __future__ import annotations

import dis
import inspect
from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, dataclass, field
from typing import Any, TypeVar, cast, get_args, get_type_hints

from kit.calculator import Declaration, Entry, _entry, declared
from kit.quantities import Quantity

__all__ = ["EVERY", "Every", "Pencil", "Run", "Stage", "Take", "closer", "pencil", "run", "stage", "take", "title_of"]

R = TypeVar("R")


class Every:
    """A link that collects the rows of one type which all other stages hand on."""

    def __repr__(self) -> str:
        return "EVERY"


EVERY: Any = Every()


@dataclass(frozen=True, slots=True)
class Pencil:
    """An input whose guess stands until the result at `path` is near enough to replace it."""

    path: str
    within: Quantity


@dataclass(frozen=True, slots=True)
class Run:
    """A calculator to run, and the links of its inputs; `asked` when only the reader sets it going."""

    calculator: Callable[..., Any]
    links: Mapping[str, str | Every | Pencil]
    asked: bool = False

    @property
    def declaration(self) -> Declaration:
        return declared(self.calculator)


def title_of(name: str) -> str:
    """The name of a stage's argument as a heading."""
    return name.replace("_", " ").capitalize()


@dataclass(frozen=True, slots=True)
class Take:
    """An entry or result of another calculator that the body needs."""

    path: str


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of a build, as declared."""

    key: str
    number: str
    title: str
    settles: str
    body: Callable[..., Iterator[Any]]
    runs: Mapping[str, Run]
    takes: Mapping[str, Take]
    entries: Mapping[str, Entry]
    gives: tuple[type, ...]
    uses: frozenset[str]
    first_look: tuple[str, ...] = ()
    mistakes: tuple[str, ...] = ()
    have_at_hand: tuple[str, ...] = ()
    headline: Callable[..., str] | None = field(default=None)
    looks: Mapping[str, Run] = field(default_factory=dict)


def run(calculator: Callable[..., R], **links: str | Every | Pencil) -> R:
    """Run a calculator in a stage, some inputs linked to `stage.argument.field` or `stage.input` elsewhere.

    The value is a marker that only `@stage` reads; its type is the calculator's
    result so that the body is typed.
    """
    return cast(R, Run(calculator, links))


def closer(calculator: Callable[..., R], **links: str | Every | Pencil) -> R:
    """Offer a calculator that is too slow for every keystroke: a search, a year by the hour.

    It is not worked out with the build but when a reader asks (`Build.ask`), so
    nothing else may hang on its results and its checks are not counted.
    """
    return cast(R, Run(calculator, links, asked=True))


def take(path: str) -> Any:
    """Hand the body an entry or result from elsewhere, such as `take("lids.balance.struts")`."""
    return Take(path)


def pencil(path: str, within: Quantity) -> Any:
    """Keep an input as an ordinary entry, and check it against the result that will replace it."""
    return Pencil(path, within)


def stage(
    key: str,
    number: str,
    title: str,
    *,
    settles: str,
    first_look: tuple[str, ...] = (),
    mistakes: tuple[str, ...] = (),
    have_at_hand: tuple[str, ...] = (),
    headline: Callable[..., str] | None = None,
) -> Callable[[Callable[..., Iterator[Any]]], Stage]:
    """Make a stage of a body whose keyword-only arguments name calculators, takes and own entries.

    `first_look` lists at most six paths, within the stage or from its top, that are asked first;
    `headline` makes one sentence from the stage's results.  Raises TypeError
    when an argument is none of the three or more than six entries are asked first.
    """
    if len(first_look) > 6:
        raise TypeError(f"stage {key}: {len(first_look)} entries in the first look; six at most")

    def decorate(body: Callable[..., Iterator[Any]]) -> Stage:
        hints = get_type_hints(body, include_extras=True)
        runs: dict[str, Run] = {}
        looks: dict[str, Run] = {}
        takes: dict[str, Take] = {}
        entries: dict[str, Entry] = {}
        for name, parameter in inspect.signature(body).parameters.items():
            value = parameter.default
            if isinstance(value, Run):
                (looks if value.asked else runs)[name] = value
                _check_links(key, name, value)
            elif isinstance(value, Take):
                takes[name] = value
            else:
                default = MISSING if value is inspect.Parameter.empty else value
                entries[name] = _entry(f"{key}.{name}", name, hints[name], default)
        used = _used(body)
        if waiting := sorted(used & looks.keys()):
            raise TypeError(f"stage {key} uses {waiting[0]}, but a closer look is worked out only when it is asked for")
        yielded = get_args(hints["return"])
        gives = get_args(yielded[0]) or yielded if yielded else ()
        return Stage(
            key, number, title, settles, body, runs, takes, entries,
            tuple(g for g in gives if hasattr(g, "declaration")), used,
            first_look, mistakes, have_at_hand, headline, looks,
        )

    return decorate


def _used(body: Callable[..., Any]) -> frozenset[str]:
    """The names a body reads; what it does not read it need not wait for."""
    read: set[str] = set()
    for step in dis.get_instructions(body):
        if "LOAD_FAST" in step.opname or step.opname in ("LOAD_DEREF", "LOAD_CLOSURE"):
            read.update(step.argval if isinstance(step.argval, tuple) else (step.argval,))
    return frozenset(read)


def _check_links(key: str, name: str, running: Run) -> None:
    inputs = running.declaration.inputs
    for linked in running.links:
        if linked not in inputs:
            raise TypeError(f"{key}.{name} links {linked}, but {running.declaration.name} has only {', '.join(inputs)}")
