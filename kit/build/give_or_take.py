"""A give or take: how far an entry may be out to either side, and how that is spread.

Read from text: "5 %", "2 mm", "triangle 0.1 m", "normal 7 %", and to unequal
sides "+3 mm -1 mm".  Even (rectangular) is meant when no shape is named; the
half-widths of a normal one hold 95 % of it, two standard deviations.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from scipy.special import ndtri

from kit.kinds import In
from kit.quantities import Q, Quantity
from kit.workshop import ReadError, read

__all__ = ["GiveOrTake", "Side", "even_share", "read_give_or_take"]

Shape = Literal["even", "triangle", "normal"]

_SIDES = re.compile(r"\s*([+-])\s*([^+-]+?)\s*(?=[+-]|$)")
_SMALLEST = 1e-12


@dataclass(frozen=True, slots=True)
class Side:
    """How far to one side: an amount, or a share of the value."""

    amount: Quantity | None = None
    share: float | None = None

    def at(self, value: Quantity) -> Quantity:
        """The width at a value, in the value's own unit (a difference for temperatures)."""
        if self.amount is not None:
            return self.amount
        assert self.share is not None
        name = f"{value.units:~C}"
        return Q(abs(value.magnitude) * self.share, f"delta_{name}" if name in ("degC", "degF") else name)


@dataclass(frozen=True, slots=True)
class GiveOrTake:
    """How far up and how far down, and the shape in between."""

    shape: Shape
    up: Side
    down: Side

    def widths(self, value: Quantity) -> tuple[float, float, Any]:
        """Widths down and up at a value as bare numbers, and their unit."""
        up, down = self.up.at(value), self.down.at(value)
        return float(down.m_as(up.units)), float(up.magnitude), up.units

    def is_nothing(self, value: Quantity) -> bool:
        """True when there is no doubt at all."""
        down, up, _ = self.widths(value)
        return down == 0 and up == 0

    def quantile(self, value: Quantity, share: Any) -> Quantity:
        """The value below which a share of all draws lies; `share` between 0 and 1, of any shape.

        Even: straight from end to end.  Triangle: the value is its peak.  Normal:
        half lies to either side, each with a standard deviation of half its width.
        """
        down, up, name = self.widths(value)
        p = np.clip(np.asarray(share, dtype=float), _SMALLEST, 1 - _SMALLEST)
        if self.shape == "even":
            moved = -down + p * (down + up)
        elif self.shape == "triangle":
            total = (down + up) or 1.0
            low, high = np.sqrt(p * total * down) - down, up - np.sqrt((1 - p) * total * up)
            moved = np.where(p * total < down, low, high)
        else:
            z = ndtri(p)
            moved = z * np.where(z < 0, down, up) / 2
        result: Quantity = value + Quantity(moved[()], name)
        return result

    def standard(self, value: Quantity) -> Quantity:
        """Standard deviation (GUM: half-width over the root of 3 for even, of 6 for triangle)."""
        down, up, name = self.widths(value)
        if self.shape == "even":
            size = (down + up) / np.sqrt(12)
        elif self.shape == "triangle":
            size = np.sqrt((down**2 + up**2 + down * up) / 18)
        else:
            mean = (up - down) / 2 / np.sqrt(2 * np.pi)
            size = np.sqrt((down**2 + up**2) / 8 - mean**2)
        return Quantity(float(size), name)


def even_share(share: float) -> GiveOrTake:
    """The same share of the value to either side, evenly spread."""
    return GiveOrTake("even", Side(share=share), Side(share=share))


def read_give_or_take(text: str, kind: In) -> GiveOrTake:
    """A give or take from its text.  Raises ReadError with one sentence."""
    words = text.strip().split(maxsplit=1)
    shape: Shape = "even"
    rest = text.strip().removeprefix("±").strip()
    if words and words[0] in ("even", "triangle", "normal"):
        shape, rest = words[0], words[1] if len(words) > 1 else ""  # type: ignore[assignment]
    if not rest.startswith(("+", "-", "\N{MINUS SIGN}")):
        side = _side(rest, kind)
        return GiveOrTake(shape, side, side)
    rest = rest.replace("\N{MINUS SIGN}", "-")
    found = _SIDES.findall(rest)
    signs = [sign for sign, _ in found]
    if not found or len(set(signs)) != len(signs) or _SIDES.sub("", rest).strip():
        raise ReadError(f"'{text}' is not a give or take; write '5 %', '2 mm', or to unequal sides '+3 mm -1 mm'")
    sides = {sign: _side(amount, kind) for sign, amount in found}
    return GiveOrTake(shape, sides.get("+", Side(share=0.0)), sides.get("-", Side(share=0.0)))


def _side(amount: str, kind: In) -> Side:
    if amount.endswith("%") and kind.unit != "percent":
        share = float(read(amount, "percent").m_as(""))
        side, size = Side(share=share), share
    else:
        name = "" if kind.unit == "*" else kind.unit
        width = read(amount, name, difference=name in ("degC", "degF"))
        side, size = Side(amount=width), float(width.magnitude)
    if size < 0:
        raise ReadError(f"'{amount}' is negative; a give or take is a half-width, such as '5 %' or '2 mm'")
    return side
