"""Sources and handbook tables: every key stands once, every row says where it comes from and how it is known."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import get_args

import pytest

from kit.quantities import unit
from kit.sources import SOURCES, Fact, Known, read_facts, read_table

TABLES = Path(__file__).resolve().parents[1] / "kit" / "tables"
NAMES = sorted(path.stem for path in TABLES.glob("*.csv"))
FACTS = [name for name in NAMES if {"key", "value", "unit", "place"} <= set(read_table(name)[0])]


def lines(name: str) -> list[list[str]]:
    """The rows of a table as they stand in the file, heading first."""
    text = (TABLES / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.reader(line for line in text.splitlines() if line.strip() and not line.startswith("#")))


@pytest.mark.parametrize("name", NAMES)
def test_every_row_of_a_table_fills_its_columns(name: str) -> None:
    """A comma too many or too few would move a value under the wrong heading."""
    heading, *rows = lines(name)

    assert rows
    assert len(set(heading)) == len(heading)
    assert [row for row in rows if len(row) != len(heading)] == []


@pytest.mark.parametrize("name", NAMES)
def test_text_in_a_table_has_no_stray_spaces(name: str) -> None:
    """A space before a key makes it another key."""
    assert [cell for row in lines(name) for cell in row if cell != cell.strip()] == []


def test_every_source_has_a_key_of_its_own_and_a_title() -> None:
    """A key that stands twice would hide one of the two."""
    keys = [row["key"] for row in read_table("sources")]

    assert sorted(keys) == sorted(SOURCES)
    assert all(source.title and source.key == key for key, source in SOURCES.items())
    assert len({key.casefold() for key in keys}) == len(keys)


@pytest.mark.parametrize("name", [name for name in NAMES if name != "sources"])
def test_every_row_of_a_handbook_table_names_a_source_and_how_it_is_known(name: str) -> None:
    """Read, worked out, from memory or common practice; a row of two figures may name "one and another"."""
    for row in read_table(name):
        assert set(row["source"].split(" and ")) <= set(SOURCES), row
        assert row["known"] in get_args(Known), row


@pytest.mark.parametrize("name", FACTS)
def test_facts_have_keys_of_their_own_numbers_and_units(name: str) -> None:
    """Every fact can be had as a quantity."""
    facts = read_facts(name)

    assert len(facts) == len(read_table(name))
    for fact in facts.values():
        assert fact.meaning
        assert fact.q.units == unit(fact.unit)


def test_a_fact_hands_out_a_fresh_quantity_each_time() -> None:
    """Who changes one in place changes nobody else's."""
    fact = Fact("g", "acceleration of free fall", 9.80665, "m/s^2", "kit", "", "read")
    mine = fact.q
    mine *= 2

    assert fact.q.m_as("m/s^2") == 9.80665


def test_bibliography_and_tables_cannot_be_changed() -> None:
    """They are shared by everybody."""
    with pytest.raises(TypeError):
        SOURCES["kit"] = SOURCES["practice"]  # type: ignore[index]
    with pytest.raises(TypeError):
        read_table("sources")[0]["key"] = "mine"  # type: ignore[index]
    with pytest.raises(AttributeError):
        SOURCES["kit"].title = "mine"  # type: ignore[misc]


def test_comments_and_empty_lines_of_a_table_are_left_out() -> None:
    """What starts with # is for those who edit the file."""
    assert all(not row["key"].startswith("#") for row in read_table("sources"))
