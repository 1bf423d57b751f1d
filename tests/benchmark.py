"""Measure the budgets of time and print each beside its limit.

    python tests/benchmark.py

Both sides of a ratio are measured in turns in one run, the best of several, so
that a busy machine slows both alike.  Nothing here is a test: a slow machine
is no fault of the code.  The exit status is 1 when a budget is overrun.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from time import perf_counter
from typing import Annotated, Any, NamedTuple

ROOT = Path(__file__).resolve().parents[1]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

import numpy as np  # noqa: E402

from kit.build.build import Build  # noqa: E402
from kit.build.inputs import kind_of  # noqa: E402
from kit.calculator import calculator, result  # noqa: E402
from kit.kinds import In, Out  # noqa: E402
from kit.quantities import Q, Quantity, is_quantity, spell  # noqa: E402

__all__ = ["Budget", "main", "report"]

_KIT = "import kit"
# Building the registry is what the first quantity waits for.
_PINT = "import pint; pint.UnitRegistry().Quantity(1.0, 'mm').to('m')"
_DEMO = "tarn_locker"


class Budget(NamedTuple):
    """One thing measured, what it is held against, and its limit."""

    name: str
    measured: float
    limit: float
    unit: str
    beside: str

    @property
    def kept(self) -> bool:
        return self.measured <= self.limit


# -- clocks ----------------------------------------------------------------------------------------------


def best(*calls: Callable[[], Any], rounds: int = 9, number: int = 1) -> list[float]:
    """The best time of one call of each, in seconds, taken in turns."""
    times: list[list[float]] = [[] for _ in calls]
    for call in calls:
        call()
    for _ in range(rounds):
        for kept, call in zip(times, calls, strict=True):
            start = perf_counter()
            for _ in range(number):
                call()
            kept.append((perf_counter() - start) / number)
    return [min(kept) for kept in times]


def import_time(statement: str) -> float:
    """Seconds that a statement takes in a fresh interpreter, the start of the interpreter left out."""
    timed = f"from time import perf_counter as t; a = t(); {statement}; print(t() - a)"
    ran = subprocess.run([sys.executable, "-c", timed], cwd=ROOT, capture_output=True, text=True, check=True)
    return float(ran.stdout)


# -- a calculator of this script's own -------------------------------------------------------------------


@result
class Cable:
    """What a cable costs, electrically."""

    resistance: Annotated[Quantity, Out("ohm", "resistance, out and back")]
    drop: Annotated[Quantity, Out("V", "voltage lost")]


Length = Annotated[Quantity, In("m", "one-way length", 6, ge=0.01, le=200, everyday=(0.1, 50))]
Current = Annotated[Quantity, In("A", "steady current", 8, ge=0, le=200)]
Area = Annotated[Quantity, In("mm^2", "section of copper", 2.5, ge=0.01, le=120)]
Temperature = Annotated[Quantity, In("degC", "temperature of the copper", 20, ge=-40, le=120, valid=(-20, 100))]

# Round figures of copper: what they are exactly changes no time.
_RESISTIVITY, _PER_DEGREE = Q(0.0172, "ohm*mm^2/m"), Q(0.0039, "1/degC")


@calculator("kit")
def cable(*, length: Length, current: Current, area: Area, temperature: Temperature) -> Cable:
    """Voltage lost in a copper cable: Ohm's law over the loop, resistance rising with temperature."""
    warmer = temperature - Q(20, "degC")
    resistance = 2 * length * (_RESISTIVITY * (1 + _PER_DEGREE * warmer)) / area
    return Cable(resistance=resistance, drop=current * resistance)


@calculator("kit")
def idle(*, length: Length, current: Current, area: Area, temperature: Temperature) -> Cable:
    """Checks and notes as for a cable, and works nothing out: what remains is what the declaration adds."""
    return _NOTHING


_NOTHING = Cable(resistance=Q(0, "ohm"), drop=Q(0, "V"))


def bare(length: Any, current: Any, area: Any, temperature: Any) -> Any:
    """The same formula on bare numbers."""
    resistance = 2 * length * (0.0172 * (1 + 0.0039 * (temperature - 20))) / area
    return resistance, current * resistance


# -- the budgets -----------------------------------------------------------------------------------------


def importing() -> Iterator[Budget]:
    """`import kit` against the unit library with its own registry."""
    pairs = [(import_time(_KIT), import_time(_PINT)) for _ in range(7)]
    mine, theirs = (min(side) for side in zip(*pairs, strict=True))
    yield Budget("import kit", mine / theirs, 1.5, "x",
                 f"{mine * 1e3:.0f} ms; the unit library and its registry {theirs * 1e3:.0f} ms")


def declaring() -> Iterator[Budget]:
    """What checking and notes add to a call, on arrays and on single values."""
    stream = np.random.default_rng(1)
    spans = {
        "length": (1, 40, "m"), "current": (1, 20, "A"), "area": (1, 10, "mm^2"), "temperature": (0, 60, "degC"),
    }
    numbers = {name: stream.uniform(low, high, 1_000_000) for name, (low, high, _) in spans.items()}
    many = {name: Q(numbers[name], unit) for name, (_, _, unit) in spans.items()}
    body: Any = cable.__wrapped__  # type: ignore[attr-defined]
    nothing: Any = idle.__wrapped__  # type: ignore[attr-defined]
    added, empty, plain, whole = best(
        lambda: idle(**many), lambda: nothing(**many), lambda: bare(**numbers), lambda: cable(**many), rounds=25,
    )
    beside = f"adds {(added - empty) * 1e3:.2f} ms; bare numpy {plain * 1e3:.2f} ms; whole call {whole * 1e3:.2f} ms"
    yield Budget("declaration, four arrays of 1e6", (added - empty) / plain, 0.6, "x", beside)
    one = {name: Q((low + high) / 2, unit) for name, (low, high, unit) in spans.items()}
    checked, unchecked = best(lambda: cable(**one), lambda: body(**one), rounds=15, number=500)
    yield Budget("declaration, single values", (checked - unchecked) * 1e6, 20, "us",
                 f"whole call {checked * 1e6:.1f} us; the body on quantities {unchecked * 1e6:.1f} us")


def building() -> Iterator[Budget]:
    """The demo build: worked out whole, after one entry changed, and on samples."""
    build = Build.open(_DEMO)
    graph, ready = build.graph, build.now.ready
    (whole,) = best(lambda: graph.evaluate(ready), rounds=15)
    works = [outcome.works for outcome in build.now.outcomes.values()]
    yield Budget("whole build, warm", whole * 1e3, 200, "ms", f"{sum(works)} of {len(works)} nodes worked out")
    changes = sorted(one_change(build, path) for path in changeable(build))
    # The slowest of hundreds is as likely a hiccup of the machine: the last few are taken again.
    slowest, path = max(min(one_change(build, path), (seconds, path)) for seconds, path in changes[-6:])
    middle = statistics.median(seconds for seconds, _ in changes)
    yield Budget("one entry changed, the slowest", slowest * 1e3, 60, "ms",
                 f"{path}; median of {len(changes)} entries {middle * 1e3:.1f} ms")
    (sampled,) = best(lambda: build.doubt(10_000), rounds=3)
    yield Budget("10 000 samples", sampled / whole, 20, "x",
                 f"{sampled * 1e3:.0f} ms; one evaluation {whole * 1e3:.1f} ms")


def afloat() -> Iterator[Budget]:
    """Load and damage cases of the demo build: every compartment and named pair flooded under every crowd."""
    build = Build.open(_DEMO)
    graph, ready, done = build.graph, build.now.ready, build.now.outcomes
    (seconds,) = best(lambda: graph.look("raft.damage", ready, done), rounds=5)
    cases = int(graph.look("raft.damage", ready, done).result.worked.m_as(""))
    yield Budget("200 load and damage cases", seconds * 200 / cases, 2, "s",
                 f"{cases} cases and the designs tried beside them in {seconds * 1e3:.0f} ms")


def changeable(build: Build) -> list[str]:
    """Every quantity entered in the build, cells of tables included."""
    cells = build.now.values.cells
    return [path for path, value in cells.items() if isinstance(kind_of(build.graph, path), In) and is_quantity(value)]


def one_change(build: Build, path: str) -> tuple[float, str]:
    """Seconds from a changed text to new results, the best of three, and the path changed; the entry is put back."""
    kind = kind_of(build.graph, path)
    assert isinstance(kind, In)
    value, text = build.value(path), build.content.entries[path].value
    times = []
    for step in (1.001, 0.999, 1.002):
        moved = Q(min(max(value.magnitude * step, value.magnitude - 1), value.magnitude + 1), spell(value))
        start = perf_counter()
        build.enter(path, kind.write(moved))
        _ = build.now
        times.append(perf_counter() - start)
        build.enter(path, text)
        _ = build.now
    build.put_back(path)
    _ = build.now
    return min(times), path


def report() -> Iterator[Budget]:
    """Every budget, measured now."""
    yield from importing()
    yield from declaring()
    yield from building()
    yield from afloat()


def main() -> int:
    """Print a line for each budget; returns 1 when one is overrun."""
    over = 0
    print(f"{'budget':<34}{'measured':>12}{'limit':>10}")
    for budget in report():
        measured, limit = f"{budget.measured:.2f} {budget.unit}", f"{budget.limit:g} {budget.unit}"
        kept = "kept" if budget.kept else "OVER"
        print(f"{budget.name:<34}{measured:>12}{limit:>10}  {kept:<6} {budget.beside}", flush=True)
        over += not budget.kept
    return 1 if over else 0


if __name__ == "__main__":
    sys.exit(main())
