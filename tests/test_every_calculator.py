"""What holds for every calculator of the kit, from its declaration alone.

A trade that is added to the kit is taken up here without a word: its
calculators are found, called with their usual values, with random values within
the declared limits, and with arrays of samples.
"""

from __future__ import annotations

import importlib
import itertools
import math
import pkgutil
import warnings
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from typing import Any, NamedTuple

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

import kit
from kit.calculator import CALCULATORS, Entry, InputError, declared
from kit.checks import VERDICTS, Check
from kit.kinds import Asks, Choice, In, Out, Rows, Says, YesNo, usual_row
from kit.quantities import Q, Quantity, is_quantity, same_kind, unit
from kit.sampling import sampling
from kit.sources import SOURCES

MODULES = sorted(module.name for module in pkgutil.iter_modules(kit.__path__) if not module.ispkg)
BROKEN: dict[str, Exception] = {}
for _name in MODULES:
    try:
        importlib.import_module(f"kit.{_name}")
    except Exception as error:  # a module that cannot be imported fails its own test and hides no other
        BROKEN[_name] = error
NAMES = sorted(CALCULATORS)
# What an Out says when its author has declared nothing about a result that does not exist.
UNDECLARED = Out("1", "anything").absent
# Explaining a failure takes minutes here and says little; the shrunken example says enough.
PHASES = (Phase.generate, Phase.shrink)
SAMPLES = 6
# Calculators that search for an equilibrium many times a call: fewer random examples, so that the suite stays quick.
LIMITED = {
    "righting": 5, "crowd": 8, "flooded": 8, "afloat": 15, "weather_afloat": 8, "float_size": 15,
    "damage": 1, "float_sets": 1, "float_sweeps": 1, "yardsticks": 1, "load_cases": 3,
    "cure_simulation": 1, "cup_calibration": 2, "year_by_hour": 1, "more_power": 2,
}
LIMITED |= {"hose_choices": 8, "mount_search": 6}


def usual(name: str) -> dict[str, Any]:
    """The everyday value of every input; what may be left out is given too."""
    return {key: entry.kind.usual for key, entry in declared(CALCULATORS[name]).inputs.items()}


def call(name: str, values: Mapping[str, Any]) -> Any:
    """The calculator's result; any warning is an error, as a reader of a notebook would see it."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        return CALCULATORS[name](**values)


def strategy(entry: Entry) -> st.SearchStrategy[Any]:
    """Values of an input, with None where it may be left out."""
    drawn: st.SearchStrategy[Any] = entry.kind.strategy()
    return st.none() | drawn if entry.optional else drawn


# -- walking over a result -------------------------------------------------------------------------------


def declared_parts(made: Any, path: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Every declared part of a result, rows within it included: path, declaration, value."""
    declaration = declared(made)
    for name, out in {**declaration.outputs, **declaration.checks}.items():
        value = getattr(made, name)
        yield f"{path}{name}", out, value
        if isinstance(out, Rows):
            for place, line in enumerate(value):
                yield from declared_parts(line, f"{path}{name}[{place}].")


def missing(value: Any) -> bool:
    """True where a number in a result is nan or endless."""
    if value is None:
        return True
    magnitude = value.magnitude if is_quantity(value) else value
    return not bool(np.all(np.isfinite(np.asarray(magnitude, dtype=float))))


def assert_declared(name: str, made: Any) -> None:
    """Every part of a result is what its declaration says it is."""
    for path, out, value in declared_parts(made):
        where = f"{name}.{path}"
        if isinstance(out, Out):
            if out.absent == UNDECLARED:
                assert not missing(value), f"{where} is {value}; its Out does not say what to show when it is absent"
            if is_quantity(value) and not missing(value) and out.unit != "*":
                assert same_kind(value.units, unit(out.unit)), f"{where} is in {value.units}, not in {out.unit}"
            assert out.show(value), where
        elif isinstance(out, Asks):
            assert isinstance(value, Check) and value.verdict in VERDICTS, where
            assert value.verdict in ("meets", "marginal", "fails") or value.reason, f"{where} does not say why"
        elif isinstance(out, Says):
            assert isinstance(value, str) and value.strip(), where
        elif isinstance(out, Rows):
            assert isinstance(value, tuple), where
    assert all(isinstance(note, str) and note for note in made.notes), name


# -- declarations ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", MODULES)
def test_every_module_of_the_kit_can_be_imported(name: str) -> None:
    """A trade that cannot be imported is missing from everything."""
    if name in BROKEN:
        raise BROKEN[name]


def test_the_kit_has_calculators() -> None:
    """An empty list would let every other test of this file pass."""
    assert len(NAMES) >= 10


@pytest.mark.parametrize("name", NAMES)
def test_a_summary_is_one_sentence(name: str) -> None:
    """The first line of the docstring ends with a full stop and holds no other sentence."""
    summary = declared(CALCULATORS[name]).summary

    assert summary.endswith(".")
    assert ". " not in summary
    assert summary[0].isupper()
    assert len(summary) <= 120


@pytest.mark.parametrize("name", NAMES)
def test_every_source_is_in_the_bibliography(name: str) -> None:
    """Sources of the calculator and of each limit; there is at least one."""
    declaration = declared(CALCULATORS[name])
    cited = [*declaration.sources, *(asks.source for asks in declaration.checks.values())]

    assert declaration.sources
    assert [key for key in cited if key not in SOURCES] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_part_says_what_it_is(name: str) -> None:
    """Inputs, results, words, tables and checks each have a meaning; a curve names an axis that is there."""
    declaration = declared(CALCULATORS[name])

    assert declaration.outputs or declaration.checks
    assert all(entry.kind.meaning.strip() for entry in declaration.inputs.values())
    assert all(out.meaning.strip() for out in declaration.outputs.values())
    assert all(asks.label.strip() for asks in declaration.checks.values())
    assert all(out.over in ("", *declaration.outputs) for out in declaration.outputs.values() if isinstance(out, Out))


# -- calls -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_a_calculator_works_with_its_usual_values(name: str) -> None:
    """The everyday examples make sense together and remark on nothing unusual among themselves."""
    assert_declared(name, call(name, usual(name)))


@pytest.mark.parametrize("name", NAMES)
def test_a_calculator_works_with_only_what_must_be_given(name: str) -> None:
    """What may be left out may be left out; a refusal is allowed only where a rule asks for one of several."""
    inputs = declared(CALCULATORS[name]).inputs
    try:
        made = call(name, {key: entry.kind.usual for key, entry in inputs.items() if entry.required})
    except InputError:
        return
    assert_declared(name, made)


@pytest.mark.parametrize("name", NAMES)
def test_random_inputs_end_in_a_result_or_an_input_error(name: str) -> None:
    """Within the declared limits nothing crashes, warns, or gives a number that is none."""
    inputs = {key: strategy(entry) for key, entry in declared(CALCULATORS[name]).inputs.items()}

    @settings(max_examples=LIMITED.get(name, 30), phases=PHASES, suppress_health_check=list(HealthCheck), database=None)
    @given(st.fixed_dictionaries(inputs))
    def holds(values: dict[str, Any]) -> None:
        try:
            made = call(name, values)
        except InputError as error:
            assert error.faults
            return
        assert_declared(name, made)

    holds()


# -- arrays against single values ------------------------------------------------------------------------


class Draws:
    """Random values of one kind of input: half of them near its example, half anywhere within its limits."""

    def __init__(self, seed: str) -> None:
        self.random = np.random.default_rng(zlib.crc32(seed.encode()))

    def number(self, kind: In, *, near: bool) -> float:
        """A number in the unit of the kind."""
        if near and kind.example:
            return float(np.clip(kind.example * self.random.uniform(0.85, 1.15), kind.ge, kind.le))
        return float(self.random.uniform(kind.ge, kind.le))

    def quantity(self, kind: In, *, near: bool) -> Quantity:
        """The number with its unit."""
        return Q(self.number(kind, near=near), "" if kind.unit == "*" else kind._name)

    def varied(
        self, values: Mapping[str, Any], kinds: Mapping[str, Entry], *, near: bool, rows: bool
    ) -> dict[str, Any]:
        """The values with every plain quantity, or with `rows` every quantity in a table too, drawn anew."""
        drawn = dict(values)
        for key, entry in kinds.items():
            if isinstance(entry.kind, In) and values[key] is not None:
                drawn[key] = self.quantity(entry.kind, near=near)
            elif rows and isinstance(entry.kind, Rows):
                drawn[key] = tuple(self.row(entry.kind.row, line, near=near) for line in values[key])
        return drawn

    def row(self, kind: Any, line: Any, *, near: bool) -> Any:
        """A row with its quantities drawn anew."""
        cells = {key: getattr(line, key) for key in declared(kind).inputs}
        return kind(**self.varied(cells, declared(kind).inputs, near=near, rows=False))


def stacked(drawn: Sequence[Any]) -> Any:
    """Single values of one input, or rows, as one value with the samples in its last axis."""
    first = drawn[0]
    if is_quantity(first):
        return Quantity(np.array([value.m_as(first.units) for value in drawn]), first.units)
    if isinstance(first, tuple):
        return tuple(map(stacked, zip(*drawn, strict=True)))
    if hasattr(type(first), "declaration"):
        cells = declared(first).inputs
        return type(first)(**{key: stacked([getattr(line, key) for line in drawn]) for key in cells})
    return first


class Number(NamedTuple):
    """One number of a result: where, what, whether it stands in a table, and whether its check compared nothing."""

    path: str
    value: Any
    in_table: bool = False
    stated: bool = False


def numbers(made: Any, path: str = "", *, in_table: bool = False) -> Iterator[Number]:
    """Every number in a result.  Of a check that compared nothing only that it is not met."""
    if is_quantity(made) or isinstance(made, (bool, int, float, np.bool_, np.number, np.ndarray)):
        yield Number(path, made, in_table)
    elif isinstance(made, tuple):
        for place, one in enumerate(made):
            yield from numbers(one, f"{path}[{place}]", in_table=True)
    elif isinstance(made, Check) and made.state is not None:
        yield Number(f"{path}.met", False, in_table, stated=True)
    elif isinstance(made, Check) or hasattr(type(made), "declaration"):
        for f in fields(made):
            yield from numbers(getattr(made, f.name), f"{path}.{f.name}", in_table=in_table)


def assert_same(name: str, many: Any, single: Sequence[Any]) -> None:
    """Each sample of a result equals the result worked out from that sample alone, to 1e-9."""
    found = {number.path: number for number in numbers(many)}
    # A check that compares nothing for all samples together says no more than any of them alone.
    silent = tuple(number.path.removesuffix("met") for number in found.values() if number.stated)
    for place, alone in enumerate(single):
        for number in numbers(alone):
            if number.path.startswith(silent):
                continue
            if number.path not in found:
                # A table whose rows are counted from the nominal value may have other rows for one sample.
                assert number.in_table, f"{name}{number.path} is missing among the samples"
                continue
            assert_one(f"{name}{number.path}, sample {place}", found[number.path], number.value, place)


def assert_one(where: str, together: Number, alone: Any, place: int) -> None:
    """One sample of one number equals the number worked out alone."""
    value = together.value
    given = np.asarray(alone.m_as(value.units) if is_quantity(alone) else alone, dtype=float)
    sampled = np.asarray(value.magnitude if is_quantity(value) else value, dtype=float)
    if together.in_table and sampled.ndim == given.ndim:
        return  # built from the nominal value
    picked = sampled[..., place] if sampled.ndim > given.ndim else sampled
    scale = float(np.max(np.abs(given[np.isfinite(given)]), initial=0))
    np.testing.assert_allclose(picked, given, rtol=1e-9, atol=1e-9 * scale + 1e-15, err_msg=where)


def valid_draws(name: str, base: Mapping[str, Any], draws: Draws, *, rows: bool) -> list[dict[str, Any]]:
    """Draws that are not refused on their own, as many as are wanted and can be found."""
    kinds = declared(CALCULATORS[name]).inputs
    found: list[dict[str, Any]] = []
    for attempt in range(8 * SAMPLES):
        drawn = draws.varied(base, kinds, near=attempt % 3 != 2, rows=rows)
        try:
            CALCULATORS[name](**drawn)
        except InputError:
            continue
        found.append(drawn)
        if len(found) == SAMPLES:
            break
    return found


def bases(name: str) -> Iterator[dict[str, Any]]:
    """The usual values, and those with each word of each choice in turn; two rows in every table."""
    inputs = declared(CALCULATORS[name]).inputs
    base = usual(name)
    for key, entry in inputs.items():
        if isinstance(entry.kind, Rows):
            least = min(max(2, entry.kind.least), entry.kind.most)
            base[key] = tuple(usual_row(entry.kind.row, place) for place in range(least))
    yield base
    for key, entry in inputs.items():
        if isinstance(entry.kind, Choice):
            yield from ({**base, key: word} for word in entry.kind.options if word != base[key])
        elif isinstance(entry.kind, YesNo):
            yield {**base, key: not base[key]}
        elif entry.optional:
            yield {**base, key: None}


def compare_samples(name: str, *, rows: bool) -> int:
    """Compare samples with single calls on every base; returns how many samples were compared."""
    compared = 0
    draws = Draws(name)
    for base in itertools.islice(bases(name), LIMITED.get(name)):
        drawn = valid_draws(name, base, draws, rows=rows)
        if not drawn:
            continue
        together = {key: stacked([one[key] for one in drawn]) for key in base}
        with sampling():
            many = call(name, together)
            assert_same(name, many, [CALCULATORS[name](**one) for one in drawn])
        compared += len(drawn)
    return compared


def has(name: str, kind: type) -> bool:
    """True when a calculator has an input of a kind."""
    return any(isinstance(entry.kind, kind) for entry in declared(CALCULATORS[name]).inputs.values())


@pytest.mark.parametrize("name", [name for name in NAMES if has(name, In)])
def test_samples_equal_single_calls(name: str) -> None:
    """With every plain quantity an array, each element is what a single call gives, for every word of every choice."""
    assert compare_samples(name, rows=False) >= SAMPLES


@pytest.mark.parametrize("name", [name for name in NAMES if has(name, Rows)])
def test_samples_in_the_cells_of_tables_equal_single_calls(name: str) -> None:
    """The same with every quantity of every row an array too."""
    assert compare_samples(name, rows=True) >= SAMPLES


@pytest.mark.parametrize("name", [name for name in NAMES if has(name, In)])
def test_a_sample_out_of_its_limits_spoils_no_other(name: str) -> None:
    """With one of the samples out of range the others are what they were, and nothing is raised."""
    inputs = declared(CALCULATORS[name]).inputs
    base = next(bases(name))
    drawn = valid_draws(name, base, Draws(f"{name} spoilt"), rows=False)[:2]
    assert len(drawn) == 2
    together = {key: stacked([*(one[key] for one in drawn), drawn[0][key]]) for key in base}
    with sampling():
        alone = [CALCULATORS[name](**one) for one in drawn]
        for key in [key for key, entry in inputs.items() if isinstance(entry.kind, In)][: LIMITED.get(name)]:
            spoilt = Quantity(together[key].magnitude.copy(), together[key].units)
            spoilt.magnitude[-1] = math.nan
            assert_same(name, CALCULATORS[name](**{**together, key: spoilt}), alone)


@pytest.mark.parametrize("name", NAMES)
def test_an_unknown_input_is_refused_by_name(name: str) -> None:
    """The whole call is refused, with the names there are or the one that was meant."""
    with pytest.raises(InputError) as caught:
        CALCULATORS[name](**usual(name), colour_of_the_sky="blue")
    assert list(caught.value.faults) == ["colour_of_the_sky"]


@pytest.mark.parametrize("name", NAMES)
def test_everything_wrong_is_said_at_once(name: str) -> None:
    """A call without anything names every input that must be given, in the order of the declaration."""
    required = [key for key, entry in declared(CALCULATORS[name]).inputs.items() if entry.required]
    if not required:
        pytest.skip("nothing must be given")
    with pytest.raises(InputError) as caught:
        CALCULATORS[name]()
    assert list(caught.value.faults) == required
