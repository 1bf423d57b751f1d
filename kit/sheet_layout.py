"""Rectangles cut from sheets by straight cuts through: a layout that is good, and a bound that says how good.

A kernel on plain numbers.  Pieces go one after another into the free rectangle
they fill best; what is left of it is split in two by a cut right through, so
that every layout can be cut on a panel saw.  Several orders of pieces and rules
of splitting are tried and the best layout is kept.  It need not be the best
possible: the area of the pieces, and pieces that cannot share a sheet, give a
number of sheets below which no layout goes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

__all__ = ["Laid", "Layout", "Rectangle", "fewest_sheets", "lay_out"]

_NEAR = 1e-9


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A piece: its length lies along the grain of the sheet unless it may turn."""

    length: float
    width: float
    turns: bool = False


@dataclass(frozen=True, slots=True)
class Laid:
    """Where a piece lies: its number, sheet, corner, and its sizes along and across the sheet."""

    piece: int
    sheet: int
    x: float
    y: float
    long: float
    wide: float


@dataclass(frozen=True, slots=True)
class Layout:
    """Every piece laid out, and the rectangles left over: sheet, corner, sizes."""

    laid: tuple[Laid, ...]
    left: tuple[tuple[int, float, float, float, float], ...]
    sheets: int


Free = tuple[int, float, float, float, float]


def lay_out(pieces: Sequence[Rectangle], length: float, width: float, kerf: float) -> Layout:
    """Every piece, on as few sheets as the rules find.  Each piece must fit the sheet one way round."""
    best = None
    for order in _ORDERS:
        numbers = sorted(range(len(pieces)), key=lambda n: order(pieces[n]))
        for split in (_short_first, _long_first, _widest_left):
            made = _filled(pieces, numbers, length, width, kerf, split)
            if best is None or _worth(made) < _worth(best):
                best = made
    assert best is not None
    return best


def _worth(one: Layout) -> tuple[float, ...]:
    """Fewer sheets first, then the largest rectangle left in one piece."""
    return one.sheets, -max((long * wide for _, _, _, long, wide in one.left), default=0.0)


_ORDERS: tuple[Callable[[Rectangle], tuple[float, ...]], ...] = (
    lambda piece: (-piece.length * piece.width,),
    lambda piece: (-piece.length, -piece.width),
    lambda piece: (-piece.width, -piece.length),
    lambda piece: (-max(piece.length, piece.width), -min(piece.length, piece.width)),
)


def _filled(
    pieces: Sequence[Rectangle], numbers: Sequence[int], length: float, width: float, kerf: float,
    split: Callable[[float, float, float, float], bool],
) -> Layout:
    free: list[Free] = []
    laid: list[Laid] = []
    sheets = 0
    for number in numbers:
        found = _best_place(pieces[number], free, length + width)
        if found is None:
            free.append((sheets, 0.0, 0.0, length, width))
            sheets += 1
            found = _best_place(pieces[number], free, length + width)
            assert found is not None, "a piece does not fit an empty sheet"
        place, long, wide = found
        sheet, x, y, room_long, room_wide = free.pop(place)
        laid.append(Laid(number, sheet, x, y, long, wide))
        over_long, over_wide = room_long - long - kerf, room_wide - wide - kerf
        # One cut goes through the whole rectangle; the other only through what lies beside the piece.
        if split(over_long, over_wide, long, wide):
            parts = ((x + long + kerf, y, over_long, room_wide), (x, y + wide + kerf, long, over_wide))
        else:
            parts = ((x + long + kerf, y, over_long, wide), (x, y + wide + kerf, room_long, over_wide))
        free += [(sheet, *part) for part in parts if part[2] > _NEAR * length and part[3] > _NEAR * width]
    return Layout(tuple(laid), tuple(free), sheets)


def _short_first(over_long: float, over_wide: float, long: float, wide: float) -> bool:
    return over_long > over_wide


def _long_first(over_long: float, over_wide: float, long: float, wide: float) -> bool:
    return over_long <= over_wide


def _widest_left(over_long: float, over_wide: float, long: float, wide: float) -> bool:
    """The cut that leaves the larger single rectangle."""
    through = max(over_long * (wide + max(over_wide, 0)), long * max(over_wide, 0))
    beside = max(over_long * wide, (long + max(over_long, 0)) * max(over_wide, 0))
    return through > beside


def _best_place(piece: Rectangle, free: Sequence[Free], scale: float) -> tuple[int, float, float] | None:
    """The free rectangle with the least area to spare, the piece lying along the grain where it must."""
    found: tuple[float, int, float, float] | None = None
    for long, wide in _ways(piece):
        for place, (_, _, _, room_long, room_wide) in enumerate(free):
            if long <= room_long + _NEAR * scale and wide <= room_wide + _NEAR * scale:
                spare = room_long * room_wide - long * wide
                if found is None or spare < found[0] - _NEAR:
                    found = spare, place, long, wide
    return found and found[1:]


def _ways(piece: Rectangle) -> Iterator[tuple[float, float]]:
    yield piece.length, piece.width
    if piece.turns and piece.length != piece.width:
        yield piece.width, piece.length


def fewest_sheets(pieces: Sequence[Rectangle], length: float, width: float, kerf: float) -> int:
    """A number of sheets below which no layout goes: by area, and by pieces of which no two share a sheet."""
    area = sum((piece.length + kerf) * (piece.width + kerf) for piece in pieces)
    by_area = area / ((length + kerf) * (width + kerf))
    alone = [p for p in pieces if all(2 * a + kerf > length and 2 * b + kerf > width for a, b in _ways(p))]
    whole = int(by_area * (1 - _NEAR))
    return max(whole + (by_area * (1 - _NEAR) > whole), len(alone), 1 if pieces else 0)
