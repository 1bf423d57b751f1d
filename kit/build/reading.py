"""A record's bytes understood, or refused with file, line and cause."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kit.build import schema
from kit.build.content import Content, read_content
from kit.build.entries import RecordError
from kit.build.toml_text import END, is_complete

__all__ = ["Reading", "understand"]


@dataclass(frozen=True, slots=True)
class Reading:
    """A record as it was read: bytes, text, the dictionary as in the file and as of today, and its content."""

    raw: bytes
    text: str
    in_file: Mapping[str, Any]
    data: Mapping[str, Any]
    content: Content

    @property
    def schema(self) -> int:
        """The schema number in the file."""
        return int(self.in_file["schema"])


def understand(file: Path, raw: bytes, steps: Mapping[int, schema.Step], current: int) -> Reading:
    """What a record says.  Raises RecordError in one sentence when it cannot be understood."""
    text = _decoded(file, raw)
    in_file = _parsed(file, text)
    problems = [] if is_complete(text) else [
        f"{file.name} does not end with the line '{END}': it may have been cut off, or something was added below it"
    ]
    data = _of_today(file, in_file, steps, current)
    return Reading(raw, text, in_file, data, read_content(data, problems))


def _decoded(file: Path, raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise RecordError(f"{file.name}, line {line}: a byte is not UTF-8 text; the file was left as it is") from None


def _parsed(file: Path, text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise RecordError(f"{file.name}: brackets are nested too deep; the file was left as it is") from None
    except ValueError as error:
        where = re.search(r" \(at line (\d+), column \d+\)", str(error))
        line = where[1] if where else str(text.count("\n") + 1)
        cause = str(error).replace(where[0] if where else " (at end of document)", "")
        cause = cause.encode("unicode_escape").decode("ascii") if not cause.isprintable() else cause
        raise RecordError(
            f"{file.name}, line {line}: {cause[:200]}; the file was left as it is, correct it there and try again"
        ) from None


def _of_today(file: Path, data: Mapping[str, Any], steps: Mapping[int, schema.Step], current: int) -> Mapping[str, Any]:
    number = data.get("schema")
    if not isinstance(number, int) or isinstance(number, bool) or number < 1:
        raise RecordError(
            f"{file.name} is not a record of a build: it has no schema number; "
            f"the first line of a record is 'schema = {current}'"
        )
    if number > current:
        raise RecordError(
            f"{file.name} was written by a newer version (schema {number:.12g}, this one knows up to {current}); "
            "it was left as it is; install the newer version to open it"
        )
    try:
        return data if number == current else schema.upgraded(data, steps, current)
    except Exception as error:
        # A step meets whatever a hand has written; no failure of it may look like a failure of the reader's.
        raise RecordError(
            f"{file.name} could not be brought from schema {number} to {current} and was left as it is: {error}"
        ) from error
