"""A record's text brought from one dictionary to another with comments, order and layout kept.

The file's last line says that it is complete, because a TOML file cut off
between two tables still reads as a whole one.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, MutableMapping, Sequence
from itertools import pairwise
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import InlineTable, Table, Whitespace

from kit.build.items import is_entry, is_group, text_of

__all__ = ["END", "edited", "is_complete", "plain_text"]

END = "# end of record"

Renamed = Sequence[tuple[Sequence[str], Mapping[str, str]]]


def is_complete(text: str) -> bool:
    """True when the last line that is not blank is the end mark."""
    return text.rstrip().rpartition("\n")[2].strip() == END


def edited(text: str, before: Mapping[str, Any], wanted: Mapping[str, Any], renamed: Renamed = ()) -> str | None:
    """The text changed so that it reads as `wanted`, or None when its layout does not allow it.

    What comes out has been read back and says exactly what is wanted.
    """
    body = _without_end(text)
    try:
        document = tomlkit.parse(body)
        for trail, names in renamed:
            _rename(document, trail, names)
            before = _renamed(before, trail, names)
        _sync((), document, before, wanted)
        made = _with_end(tomlkit.dumps(document))
    except (TOMLKitError, KeyError, TypeError, ValueError, AttributeError, IndexError, RecursionError):
        # Dotted keys and tables written in pieces defeat the editor in many ways; the caller writes such a file anew.
        return None
    return next((one for one in (_tidy(_line_ends(made), text), made) if says(one, wanted)), None)


def says(text: str, wanted: Mapping[str, Any]) -> bool:
    """True when a text reads as a dictionary, the order of the rows included."""
    try:
        return _same(tomllib.loads(text), wanted)
    except (ValueError, RecursionError):
        return False


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, dict) and isinstance(other, Mapping):
        rows = [[key for key, inner in group.items() if is_group(inner)] for group in (one, other)]
        deep = any(_is_row(inner) for inner in one.values())
        return one.keys() == other.keys() and (not deep or rows[0] == rows[1]) and all(
            _same(inner, other[key]) for key, inner in one.items()
        )
    return type(one) is type(other) and (one == other or (one != one and other != other))


def _in_order(one: Any, other: Any) -> bool:
    """True when two values are the same and so is the order of all keys in them."""
    if isinstance(one, dict) and isinstance(other, dict):
        return list(one) == list(other) and all(_in_order(inner, other[key]) for key, inner in one.items())
    return bool(one == other)


def _is_table(trail: tuple[str, ...], item: object) -> bool:
    """True for what gets a heading of its own; a state stands on one line."""
    return is_group(item) and (len(trail) < 2 or trail[0] != "states")


def _is_row(item: object) -> bool:
    return isinstance(item, dict) and is_group(item) and any(map(is_entry, item.values()))


# -- editing with comments kept ---------------------------------------------------------------------


def _sync(trail: tuple[str, ...], table: Any, before: Mapping[str, Any], wanted: Mapping[str, Any]) -> None:
    for key in before:
        if key not in wanted:
            table.remove(key)
    for key, item in wanted.items():
        if key not in before:
            table.append(key, _made((*trail, key), item))
        elif isinstance(item, dict) and isinstance(before[key], dict) and is_entry(item) == is_entry(before[key]):
            if not _in_order(item, before[key]):
                _sync_one((*trail, key), table, before[key], item)
        elif item != before[key] or type(item) is not type(before[key]):
            table[key] = _made((*trail, key), item)
    _arrange(table, before, wanted)


def _sync_one(trail: tuple[str, ...], table: Any, before: Mapping[str, Any], wanted: Mapping[str, Any]) -> None:
    """A table with a heading is changed key by key; one that stands on a line is written anew, its comment kept."""
    if isinstance(table[trail[-1]], InlineTable):
        table[trail[-1]] = _made(trail, wanted)
    else:
        _sync(trail, table[trail[-1]], before, wanted)


def _arrange(table: Any, before: Mapping[str, Any], wanted: Mapping[str, Any]) -> None:
    """Put sub-tables in order when it is not the order they stand in already."""
    groups = [key for key, item in wanted.items() if is_group(item)]
    stand = [key for key in before if key in groups] + [key for key in groups if key not in before]
    if stand == groups:
        return
    kept = {key: table[key] for key in groups}
    for key in groups:
        table.remove(key)
    for key in groups:
        table.append(key, kept[key])


def _rename(document: MutableMapping[str, Any], trail: Sequence[str], names: Mapping[str, str]) -> None:
    table: Any = document
    for key in trail:
        table = table[key]
    stand = [key for key in table if isinstance(table[key], Table | InlineTable)]
    kept = {key: table[key] for key in stand}
    for key in stand:
        table.remove(key)
    for key in stand:
        item = kept[key]
        # A table remembers the heading it was read with; a new name needs a table that has none yet.
        fresh = Table(item.value, item.trivia, False, item.is_super_table()) if isinstance(item, Table) else item
        table.append(names.get(key, key), fresh)


def _renamed(data: Mapping[str, Any], trail: Sequence[str], names: Mapping[str, str]) -> dict[str, Any]:
    if not trail:
        return {names.get(key, key): item for key, item in data.items()}
    return {key: _renamed(item, trail[1:], names) if key == trail[0] else item for key, item in data.items()}


def _made(trail: tuple[str, ...], item: Any) -> Any:
    if not _is_table(trail, item):
        made = tomlkit.value(_inline(item))
        if isinstance(made, InlineTable) and not made.as_string().endswith(" }"):
            # Reading a date takes the space behind it away.
            made.value.append(None, Whitespace(" "))
        return made
    tables = [key for key, inner in item.items() if _is_table((*trail, key), inner)]
    table = tomlkit.table(is_super_table=bool(tables) and len(tables) == len(item))
    for key in sorted(item, key=lambda key: key in tables):
        table.append(key, _made((*trail, key), item[key]))
    return table


def _without_end(text: str) -> str:
    """The text without end marks; one that something was added below goes only if it is no part of a value."""
    body = text.rstrip()
    if is_complete(body):
        body = body[: body.rfind(END)].rstrip(" \t")
    if END not in body:
        return body
    bare = "".join(line for line in _lines(body) if line.strip() != END)
    try:
        return bare if tomllib.loads(bare) == tomllib.loads(body) else body
    except ValueError:
        return body


def _lines(text: str) -> list[str]:
    """Lines with their ends as TOML sees them; other signs that may end a line are part of it."""
    return re.split(r"(?<=\n)", text)


def _with_end(text: str) -> str:
    line = "\r\n" if "\r\n" in text else "\n"
    return f"{text.rstrip()}{line}{line}{END}{line}"


def _line_ends(made: str) -> str:
    """Line ends of one kind: new lines come with the short one, whatever the file has."""
    return re.sub("(?<!\r)\n", "\r\n", made) if "\r\n" in made else made


def _tidy(made: str, text: str) -> str:
    """One blank line before every heading, and none below the comment above it, where that was so before."""
    if _has_tight_heading(text):
        return made
    titles = {above.strip() for above, line in pairwise(text.split("\n")) if _is_heading(line) and _is_comment(above)}
    lines: list[str] = []
    for line in _lines(made):
        if _is_heading(line) and len(lines) > 1:
            if not lines[-1].strip() and lines[-2].strip() in titles:
                lines.pop()
            elif lines[-1].strip() and not _is_comment(lines[-1]):
                lines.append(line[len(line.rstrip()):])
        if line.strip() or not lines or lines[-1].strip() or "\n\n\n" in text or "\n\r\n\r\n" in text:
            lines.append(line)
    return "".join(lines)


def _has_tight_heading(text: str) -> bool:
    pairs = pairwise(text.split("\n"))
    return any(_is_heading(line) and above.strip() and not _is_comment(above) for above, line in pairs)


def _is_heading(line: str) -> bool:
    return line.lstrip().startswith("[")


def _is_comment(line: str) -> bool:
    return line.lstrip().startswith("#")


# -- writing anew -----------------------------------------------------------------------------------


def plain_text(data: Mapping[str, Any]) -> str:
    """A whole record written anew from its dictionary."""
    lines: list[str] = []
    _write_table((), data, lines)
    return _with_end("\n".join(lines))


def _write_table(trail: tuple[str, ...], group: Mapping[str, Any], lines: list[str]) -> None:
    leaves = {key: item for key, item in group.items() if not _is_table((*trail, key), item)}
    if trail and (leaves or not group):
        lines += ["", f"[{'.'.join(map(_key, trail))}]"]
    lines += [f"{_key(key)} = {_inline(item)}" for key, item in leaves.items()]
    for key, item in group.items():
        if key not in leaves:
            _write_table((*trail, key), item, lines)


def _key(key: str) -> str:
    return key if key.isascii() and key.replace("_", "").replace("-", "").isalnum() else _quoted(key)


def _quoted(text: str) -> str:
    plain = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(letter if letter.isprintable() else _escaped(letter) for letter in plain) + '"'


def _escaped(letter: str) -> str:
    return f"\\u{ord(letter):04x}" if ord(letter) < 0x10000 else f"\\U{ord(letter):08x}"


def _inline(item: Any) -> str:
    if isinstance(item, bool):
        return "true" if item else "false"
    if isinstance(item, str):
        return _quoted(item)
    if isinstance(item, Mapping):
        members = ", ".join(f"{_key(key)} = {_inline(inner)}" for key, inner in item.items())
        return f"{{ {members} }}" if item else "{}"
    if isinstance(item, list):
        return f"[{', '.join(map(_inline, item))}]"
    return text_of(item)
