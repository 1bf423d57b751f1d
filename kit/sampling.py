"""Whether values are samples of a doubtful input rather than one entry.

Refusing ten thousand samples because one lies outside a limit would make doubt
impossible to work out; while sampling, such a sample becomes nan instead.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

__all__ = ["is_sampling", "sampling"]

_SAMPLING: ContextVar[bool] = ContextVar("sampling", default=False)


@contextmanager
def sampling() -> Iterator[None]:
    """Within this block a sample outside its limits is nan, not a refusal."""
    token = _SAMPLING.set(True)
    try:
        yield
    finally:
        _SAMPLING.reset(token)


def is_sampling() -> bool:
    """True inside a `sampling()` block."""
    return _SAMPLING.get()
