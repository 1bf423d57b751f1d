"""Doubt through the same path as the demo: cases of JCGM 101 and of the GUM, and indices known in closed form."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Annotated

import numpy as np
import pytest

from kit.build.influence import indices
from kit.build.record import Entry
from kit.build.spread import Figure, work_out
from kit.calculator import calculator, result
from kit.kinds import In, Out
from kit.quantities import Q, Quantity
from tests.build.small import small_build

Number = Annotated[Quantity, In("1", "a number", 0, ge=-1e9, le=1e9)]


@result
class Answer:
    """One number."""

    y: Annotated[Quantity, Out("1", "the answer")]


@calculator("practice")
def total(*, a: Number, b: Number, c: Number, d: Number) -> Answer:
    """A sum of four."""
    return Answer(y=a + b + c + d)


@calculator("practice")
def ishigami(*, a: Number, b: Number, c: Number) -> Answer:
    """A function whose indices are known: sin a + 7 sin^2 b + 0.1 c^4 sin a."""
    x, y, z = (q.magnitude for q in (a, b, c))
    return Answer(y=Q(np.sin(x) + 7 * np.sin(y) ** 2 + 0.1 * z**4 * np.sin(x)))


@calculator("practice")
def many(*, a: Number, b: Number, c: Number, d: Number, e: Number, f: Number, g: Number, h: Number) -> Answer:
    """The G-function with a = 0, 1, 4.5, 9, 99, 99, 99, 99."""
    product = Q(1.0)
    for x, weight in zip((a, b, c, d, e, f, g, h), (0, 1, 4.5, 9, 99, 99, 99, 99), strict=True):
        product = product * (Q(np.abs(4 * x.magnitude - 2)) + weight) / (1 + weight)
    return Answer(y=product)


@calculator("practice")
def mass_calibration(
    *,
    reference: Annotated[Quantity, In("mg", "reference weight", 1e5, ge=0, le=1e9)],
    added: Annotated[Quantity, In("mg", "small weight added", 1.234, ge=0, le=1e3)],
    air: Annotated[Quantity, In("kg/m^3", "density of air", 1.2, ge=0, le=10)],
    weight: Annotated[Quantity, In("kg/m^3", "density of the weight", 8000, ge=1, le=1e5)],
    standard: Annotated[Quantity, In("kg/m^3", "density of the reference", 8000, ge=1, le=1e5)],
) -> Answer:
    """JCGM 101 clause 9.3: deviation of a conventional mass from its nominal value."""
    buoyancy = 1 + (air - Q(1.2, "kg/m^3")) * (1 / weight - 1 / standard)
    return Answer(y=((reference + added) * buoyancy - Q(1e5, "mg")) / Q(1, "mg"))


@calculator("practice")
def end_gauge(
    *,
    standard: Annotated[Quantity, In("mm", "length of the standard", 50.000623, ge=0, le=100)],
    difference: Annotated[Quantity, In("mm", "measured difference", 215e-6, ge=-1, le=1)],
    expansion: Number,
    expansions: Number,
    temperature: Number,
    temperatures: Number,
) -> Answer:
    """GUM annex H.1: length of an end gauge in nanometres, expansions in 1e-6 per degree."""
    warm = (expansions * temperature + expansion * temperatures) * 1e-6
    return Answer(y=(standard + difference - standard * warm) / Q(1e-6, "mm"))


def _figure(folder: Path, patch: pytest.MonkeyPatch, of: object, entries: dict[str, Entry], count: int) -> Figure:
    spread = work_out(small_build(folder, patch, of, entries), count=count, seed=1)  # type: ignore[arg-type]
    return spread.figures["one.it.y"]


def _number(text: str, give_or_take: str) -> Entry:
    return Entry(text, "estimate", give_or_take=give_or_take)


ROOT3 = math.sqrt(3)


@pytest.mark.parametrize(
    ("takes", "published", "within"),
    [
        (["normal 2"] * 4, "3.92", 0.03),
        ([f"even {ROOT3}"] * 4, "3.88", 0.03),
        ([f"even {ROOT3}"] * 3 + [f"even {10 * ROOT3}"], "17.02", 0.05),
    ],
)
def test_sums_of_four_have_the_published_interval(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, takes: list[str], published: str, within: float
) -> None:
    """JCGM 101:2008 tables 2 and 3 and clause 9.2.4; within three standard errors of a quantile of 2e5 samples."""
    entries = {name: _number("0", take) for name, take in zip("abcd", takes, strict=True)}
    figure = _figure(tmp_path, monkeypatch, total, entries, 200_000)

    assert float(figure.high.m) == pytest.approx(float(published), abs=within)
    assert float(figure.low.m) == pytest.approx(-float(published), abs=within)


def test_straight_lines_part_from_samples_where_one_even_input_rules(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """JCGM 101 clause 9.2.4: the GUM gives 19.9 (1.96 times u 10.15) where samples give 17.0, and the flag is up."""
    entries = {n: _number("0", f"even {ROOT3}") for n in "abc"} | {"d": _number("0", f"even {10 * ROOT3}")}
    figure = _figure(tmp_path, monkeypatch, total, entries, 100_000)

    assert float(figure.straight.m) == pytest.approx(10.15, abs=0.005)
    assert 1.96 * float(figure.straight.m) == pytest.approx(19.89, abs=0.01)
    assert figure.parts


def test_straight_lines_agree_with_samples_on_a_sum_of_normals(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """JCGM 101 table 2: u is 2.0 by both ways and nothing parts."""
    figure = _figure(tmp_path, monkeypatch, total, {n: _number("0", "normal 2") for n in "abcd"}, 100_000)

    assert float(figure.straight.m) == pytest.approx(2.0, abs=1e-9)
    assert float(figure.standard.m) == pytest.approx(2.0, abs=0.015)
    assert not figure.parts


def test_a_mass_calibration_has_the_published_doubt(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """JCGM 101 clause 9.3: 1.234 mg, u 0.0754 by samples and 0.0539 by straight lines; they part."""
    entries = {
        "reference": _number("100000 mg", "normal 0.1 mg"),
        "added": _number("1.234 mg", "normal 0.04 mg"),
        "air": _number("1.2 kg/m^3", "0.1 kg/m^3"),
        "weight": _number("8000 kg/m^3", "1000 kg/m^3"),
        "standard": _number("8000 kg/m^3", "50 kg/m^3"),
    }
    figure = _figure(tmp_path, monkeypatch, mass_calibration, entries, 200_000)

    assert float(figure.nominal.m) == pytest.approx(1.234, abs=0.0005)
    assert float(figure.standard.m) == pytest.approx(0.0754, abs=0.0004)
    assert float(figure.straight.m) == pytest.approx(0.0539, abs=0.0001)
    assert float(figure.low.m) == pytest.approx(1.085, abs=0.002)
    assert float(figure.high.m) == pytest.approx(1.384, abs=0.002)
    assert figure.parts


def test_an_end_gauge_has_the_published_uncertainty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """GUM annex H.1: 50 000 838 nm with a combined standard uncertainty of 32 nm by straight lines."""
    entries = {
        "standard": _number("50.000623 mm", "normal 0.00005 mm"),
        "difference": _number("0.000215 mm", "normal 0.0000194 mm"),
        "expansion": _number("11.5", "2"),
        "expansions": _number("0", "1"),
        "temperature": _number("-0.1", "normal 0.82"),
        "temperatures": _number("0", "0.05"),
    }
    figure = _figure(tmp_path, monkeypatch, end_gauge, entries, 1000)

    assert float(figure.nominal.m) == pytest.approx(50_000_838, abs=0.5)
    assert float(figure.straight.m) == pytest.approx(31.71, abs=0.05)


def test_indices_of_a_known_function_come_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ishigami's function: first order .3139, .4424, 0 and total .5576, .4424, .2437, in closed form."""
    build = small_build(tmp_path, monkeypatch, ishigami, {n: _number("0", str(math.pi)) for n in "abc"})
    found = {one.name[-1]: one for one in indices(build, "one.it.y", draws=8192)}

    assert [found[n].alone for n in "abc"] == pytest.approx([0.3139, 0.4424, 0], abs=0.01)
    assert [found[n].together for n in "abc"] == pytest.approx([0.5576, 0.4424, 0.2437], abs=0.01)


def test_indices_of_a_product_come_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The G-function with a = 0, 1, 4.5, 9: first order .7162, .1790, .0237, .0072; the largest total .7871."""
    build = small_build(tmp_path, monkeypatch, many, {n: _number("0.5", "0.5") for n in "abcdefgh"})
    found = {one.name[-1]: one for one in indices(build, "one.it.y", draws=8192)}

    assert [found[n].alone for n in "abcd"] == pytest.approx([0.7162, 0.1790, 0.0237, 0.0072], abs=0.01)
    assert found["a"].together == pytest.approx(0.7871, abs=0.01)
