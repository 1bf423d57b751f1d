"""The record of a build, the graph of its results, what changed, and doubt.

`from kit.build import Build` is what a script needs; it is loaded when asked
for, since it brings in every stage.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kit.build.build import Build

__all__ = ["Build"]


def __getattr__(name: str) -> Any:
    if name == "Build":
        from kit.build.build import Build

        return Build
    raise AttributeError(f"kit.build has no {name}")
