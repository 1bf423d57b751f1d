"""Forms, drawings and paper for notebooks; only here are ipywidgets and matplotlib imported."""

from __future__ import annotations

from kit.notebook.page import open_stage

__all__ = ["open_stage"]
