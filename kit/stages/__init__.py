"""The stages of a build, one small module each, in reading order.

A module in this folder is a stage when it holds a `Stage` under its own name;
nothing else has to be told about it.
"""

from __future__ import annotations

import importlib
import pkgutil

from kit.stage import Stage

__all__ = ["STAGES"]


def _found() -> tuple[Stage, ...]:
    names = [module.name for module in pkgutil.iter_modules(__path__)]
    stages = [getattr(importlib.import_module(f"{__name__}.{name}"), name) for name in names]
    return tuple(sorted(stages, key=lambda stage: stage.number))


STAGES: tuple[Stage, ...] = _found()
