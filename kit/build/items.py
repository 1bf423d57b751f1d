"""How an entry stands in a record's file, and how it is read from there and put back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date, datetime, time
from typing import Any

from kit.build.entries import BASES, ROW_SPEAKS, Entry, clipped

__all__ = ["about_of", "as_item", "date_of", "entry_of", "is_entry", "is_group", "is_marker", "text_of", "with_row"]

_FIELDS = tuple(one.name for one in fields(Entry))


def is_entry(item: object) -> bool:
    """True for what stands for one input: a bare value, or a table with a key `value`."""
    if isinstance(item, dict):
        return "value" in item and not isinstance(item["value"], dict | list)
    return not isinstance(item, list)


def is_marker(item: object) -> bool:
    """True for a table that says it has no rows."""
    return isinstance(item, dict) and item == {"rows": "none"}


def is_group(item: object) -> bool:
    """True for a table that holds entries, rows or cells."""
    return isinstance(item, dict) and not is_entry(item) and not is_marker(item)


def text_of(value: object) -> str:
    """Bare numbers, dates and yes or no as if they stood in quotes: `count = 4`, `wet = true`."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int) and value.bit_length() > 14_000:
        # Python refuses to write so many digits in tens.
        return hex(value)
    return value.isoformat() if isinstance(value, date | time) else str(value)


def date_of(value: object) -> date | None:
    """A date, or None when it is none."""
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        return None


def entry_of(item: Any, path: str = "", problems: list[str] | None = None) -> Entry:
    """An entry as it stands; what cannot be understood is left out and added to the problems."""
    problems = [] if problems is None else problems
    if not isinstance(item, dict):
        return Entry(text_of(item))
    for key in item:
        if key not in _FIELDS:
            problems.append(f"{path} has a key '{clipped(key)}' that means nothing here; it is kept")
    about = about_of(item, path, problems)
    for key in ("give_or_take", "shared"):
        if _says(item.get(key)):
            about[key] = text_of(item[key])
    return Entry(text_of(item["value"]), **about)


def about_of(group: Mapping[str, Any], path: str = "", problems: list[str] | None = None) -> dict[str, Any]:
    """Basis, source, note and date of an entry or row, as far as they are given and understood."""
    about: dict[str, Any] = {}
    for key in ROW_SPEAKS:
        given = group.get(key)
        if not _says(given):
            continue
        value = _understood(key, given)
        if value is not None:
            about[key] = value
        elif problems is not None:
            hint = f"it may be {', '.join(BASES)}" if key == "basis" else "write one such as 2026-05-02"
            problems.append(f"{path}: the {key} '{clipped(text_of(given))}' is not understood and not used; {hint}")
    return about


def _understood(key: str, given: object) -> Any:
    if key == "basis":
        return given if given in BASES else None
    return date_of(given) if key == "date" else text_of(given)


def _says(value: object) -> bool:
    return value is not None and value != "" and not isinstance(value, dict | list)


def with_row(entry: Entry, about: Mapping[str, Any]) -> Entry:
    """A cell together with what its row says where the cell itself says nothing; without a row, the entry tidied."""
    def own(name: str) -> Any:
        return getattr(entry, name) or about.get(name) or ("" if name in ("source", "note") else None)

    own_doubt = entry.give_or_take or None, entry.shared or None
    return Entry(entry.value, own("basis"), *own_doubt, own("source"), own("note"), own("date"))


def as_item(entry: Entry, about: Mapping[str, Any], before: Any) -> Any:
    """An entry as it is to stand: bare text when there is only a value; keys that nobody knows are kept."""
    said = {name: getattr(entry, name) for name in _FIELDS}
    said = {key: value for key, value in said.items() if value and about.get(key) != value}
    strange = {key: value for key, value in before.items() if key not in _FIELDS} if isinstance(before, dict) else {}
    if said.keys() == {"value"} and not isinstance(before, dict):
        return entry.value
    return {**said, **strange}
