"""What is particular to a stage's page: its sentence, its drawings, its shop card.

A module here carries a stage's key as its name and may define
`sentence(build) -> str`, `DRAWINGS: dict[str, Callable[[Build], str]]` (SVG or an
`<img>` made by `kit.notebook.chart`), and `card(build) -> Card`.
A stage without such a module still has its form, results and checks.
"""

from __future__ import annotations

import importlib
import importlib.util
from types import ModuleType

__all__ = ["page_of"]


def page_of(key: str) -> ModuleType | None:
    """The module of a stage's page, or None when it has none."""
    name = f"{__name__}.{key}"
    return importlib.import_module(name) if importlib.util.find_spec(name) else None
