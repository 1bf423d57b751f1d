"""Pieces cut from sheets: how they lie with the grain, how many sheets, and how good the layout is.

    >>> side = Piece(name="sides", stock="birch ply", length=Q(1500, "mm"), width=Q(420, "mm"), count=2)
    >>> ply = SheetOffer(name="ply 2440 x 1220", stock="birch ply", length=Q(2440, "mm"), width=Q(1220, "mm"))
    >>> laid = sheet_cuts(pieces=[side], offers=[ply])
    >>> print(f"{laid.sheets_needed.magnitude:.0f} sheet, {laid.used.m_as('percent'):.0f} % used")
    1 sheet, 42 % used

The layout itself is made in `kit.sheet_layout`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_most, does_not_apply, open_check
from kit.handed import Piece, Purchase
from kit.kinds import Asks, In, Out, Rows, Says, Text
from kit.nominal import each_of_few, nominal
from kit.quantities import Q, Quantity
from kit.sheet_layout import Layout, Rectangle, fewest_sheets, lay_out

__all__ = ["LaidPiece", "OneSheet", "SheetCuts", "SheetOffer", "StockSheets", "sheet_cuts"]

# Pieces that are laid out one by one: more take too long for every change of an entry.
_MOST_PIECES = 400


@row
class SheetOffer:
    """A sheet as it is sold; its grain runs along its length."""

    name: Annotated[str, Text("sheet", "ply 2440 x 1220")]
    stock: Annotated[str, Text("stock, as the pieces name it", "birch ply")]
    length: Annotated[Quantity, In("mm", "length, along the grain", 2440, ge=50, le=20_000, resolution=1, find="ask")]
    width: Annotated[Quantity, In("mm", "width, across the grain", 1220, ge=50, le=10_000, resolution=1, find="ask")]
    edge: Annotated[Quantity, In("mm", "cut off all round, edges that are knocked", 0, ge=0, le=200, resolution=1)] = Q(
        0, "mm")


@result
class LaidPiece:
    """One piece in a sheet."""

    name: Annotated[str, Says("piece")]
    x: Annotated[Quantity, Out("mm", "from the end of the sheet", resolution=1)]
    y: Annotated[Quantity, Out("mm", "from the edge of the sheet", resolution=1)]
    along: Annotated[Quantity, Out("mm", "size along the sheet", resolution=1)]
    across: Annotated[Quantity, Out("mm", "size across the sheet", resolution=1)]


@result
class OneSheet:
    """One sheet and what is cut from it."""

    stock: Annotated[str, Says("stock")]
    number: Annotated[Quantity, Out("1", "sheet")]
    length: Annotated[Quantity, Out("mm", "its length", resolution=1)]
    width: Annotated[Quantity, Out("mm", "its width", resolution=1)]
    used: Annotated[Quantity, Out("percent", "share in the pieces", rounding="down")]
    pieces: Annotated[tuple[LaidPiece, ...], Rows("its pieces")]


@result
class StockSheets:
    """One stock: how many sheets, and how near to the fewest possible."""

    name: Annotated[str, Says("stock")]
    sheets: Annotated[Quantity, Out("1", "sheets in the layout")]
    fewest: Annotated[Quantity, Out("1", "no layout takes fewer than")]
    bought: Annotated[Quantity, Out("1", "sheets on the buy list", absent="none of this stock")]
    used: Annotated[Quantity, Out("percent", "share of the sheets in the pieces", rounding="down")]
    proof: Annotated[str, Says("how near it is to the best possible")]


@result
class SheetCuts:
    """All sheets of the build."""

    sheets_needed: Annotated[Quantity, Out("1", "sheets in the layout")]
    area: Annotated[Quantity, Out("m^2", "area of the pieces", resolution=0.01)]
    used: Annotated[Quantity, Out("percent", "share of the sheets in the pieces", rounding="down",
                                  absent="nothing is cut from sheets")]
    sheets: Annotated[tuple[OneSheet, ...], Rows("sheets and their pieces")]
    by_stock: Annotated[tuple[StockSheets, ...], Rows("sheets by stock")]
    covered: Annotated[Check, Asks("the buy list covers the sheets", "kit")]
    fits: Annotated[Check, Asks("every piece fits its sheet", "kit")]


@calculator("kit", "practice")
def sheet_cuts(
    *,
    pieces: Annotated[Sequence[Piece], Rows("pieces to cut", most=500)],
    bought: Annotated[Sequence[Purchase], Rows("what is on the buy list", most=2000)] = (),
    offers: Annotated[Sequence[SheetOffer], Rows("sheets as they are sold", most=50)] = (),
    kerf: Annotated[Quantity, In("mm", "width of a saw cut", 3, ge=0, le=20, everyday=(1, 5), resolution=0.1,
                                 find="cut an offcut part way and measure the slot", basis="measured")] = Q(3, "mm"),
) -> SheetCuts:
    """Pieces with a width laid out in sheets so that every cut goes right through.

    Lengths lie along the grain unless a piece may turn.  Pieces are laid one by
    one where they leave the least, by twelve rules, and the best layout stands;
    it is not proven the best unless it needs no more sheets than the area of
    the pieces does.  A stock is cut from the first sheet on offer that holds
    all its pieces.  Of many samples only the middle one is laid out.

    >>> lid = Piece(name="lids", stock="ply", length=Q(640, "mm"), width=Q(550, "mm"), count=8)
    >>> sheet = SheetOffer(name="ply", stock="ply", length=Q(2440, "mm"), width=Q(1220, "mm"))
    >>> sheet_cuts(pieces=[lid], offers=[sheet]).by_stock[0].proof
    'not proven: by area alone it could be 1'
    """
    groups = _groups(pieces, bought, offers)

    def sums_for(pick: Any) -> tuple[Any, ...]:
        return _sums([_worked(group, pick, kerf) for group in groups])

    sheets = [offer for group in groups for offer in group.offers]
    varying = [kerf, *(q for g in groups for p in g.pieces for q in (p.length, p.width) if q is not None),
               *(q for o in sheets for q in (o.length, o.width, o.edge))]
    worked = [_worked(group, nominal, kerf) for group in groups]
    sums = each_of_few(sums_for, varying, _sums(worked))
    packs = [(one.purchase.packs, one) for one in groups if one.purchase is not None]
    return SheetCuts(
        sheets_needed=Q(sums[0]), area=Q(sums[1], "m^2"), used=Q(sums[2], "percent"),
        sheets=tuple(sheet for one in worked for sheet in _sheets(one)),
        by_stock=tuple(_stock(one) for one in worked if one.layout is not None),
        covered=_covered(groups, worked, packs),
        fits=_fits(groups, Q(sums[3]), worked),
    )


@dataclass(frozen=True, slots=True)
class _Group:
    name: str
    pieces: tuple[Piece, ...]
    offers: tuple[SheetOffer, ...]
    purchase: Purchase | None


@dataclass(frozen=True, slots=True)
class _Worked:
    """A stock laid out, in millimetres; `layout` is None where no sheet holds all its pieces."""

    group: _Group
    rectangles: tuple[Rectangle, ...]
    names: tuple[str, ...]
    sheet: tuple[float, float, float]
    layout: Layout | None
    fewest: int

    @property
    def area(self) -> float:
        return sum(one.length * one.width for one in self.rectangles) / 1e6


def _groups(
    pieces: Sequence[Piece], bought: Sequence[Purchase], offers: Sequence[SheetOffer]
) -> tuple[_Group, ...]:
    sold = {one.name: one for one in bought}
    named: dict[str, list[Piece]] = {}
    for piece in pieces:
        if piece.width is not None:
            own = f"{piece.name.rpartition(': ')[0]}: {piece.stock}"
            named.setdefault(own if own in sold else piece.stock, []).append(piece)
    return tuple(
        _Group(name, tuple(group), tuple(o for o in offers if o.stock in (name, group[0].stock)), sold.get(name))
        for name, group in named.items())


def _worked(group: _Group, pick: Any, kerf: Quantity) -> _Worked:
    saw = float(pick(kerf).m_as("mm"))
    rectangles, names = [], []
    for piece in group.pieces:
        assert piece.width is not None
        one = Rectangle(float(pick(piece.length).m_as("mm")), float(pick(piece.width).m_as("mm")), piece.turns)
        rectangles += [one] * piece.count
        names += [_plain(piece.name)] * piece.count
    for offer in group.offers:
        edge = float(pick(offer.edge).m_as("mm"))
        length, width = (float(pick(size).m_as("mm")) - 2 * edge for size in (offer.length, offer.width))
        if len(rectangles) <= _MOST_PIECES and all(_holds(length, width, one) for one in rectangles):
            made = lay_out(rectangles, length, width, saw)
            return _Worked(group, tuple(rectangles), tuple(names), (length, width, edge), made,
                           fewest_sheets(rectangles, length, width, saw))
    return _Worked(group, tuple(rectangles), tuple(names), (0.0, 0.0, 0.0), None, 0)


def _holds(length: float, width: float, one: Rectangle) -> bool:
    long, wide = length * (1 + 1e-9), width * (1 + 1e-9)
    return (one.length <= long and one.width <= wide) or (one.turns and one.width <= long and one.length <= wide)


def _sums(worked: Sequence[_Worked]) -> tuple[float, ...]:
    """Sheets, area of the pieces, share used, stocks that no sheet holds."""
    laid = [one for one in worked if one.layout is not None]
    bought = sum(one.layout.sheets * _whole_area(one) for one in laid if one.layout)
    inside = sum(one.area for one in laid)
    return (
        float(sum(one.layout.sheets for one in laid if one.layout)), sum(one.area for one in worked),
        100 * inside / bought if bought else np.nan, float(len(worked) - len(laid)),
    )


def _whole_area(one: _Worked) -> float:
    length, width, edge = one.sheet
    return (length + 2 * edge) * (width + 2 * edge) / 1e6


def _sheets(one: _Worked) -> Iterator[OneSheet]:
    if one.layout is None:
        return
    length, width, edge = one.sheet
    for number in range(one.layout.sheets):
        laid = [piece for piece in one.layout.laid if piece.sheet == number]
        yield OneSheet(
            stock=_plain(one.group.name), number=Q(number + 1.0), length=Q(length + 2 * edge, "mm"),
            width=Q(width + 2 * edge, "mm"),
            used=Q(100 * sum(p.long * p.wide for p in laid) / 1e6 / _whole_area(one), "percent"),
            pieces=tuple(
                LaidPiece(name=one.names[p.piece], x=Q(p.x + edge, "mm"), y=Q(p.y + edge, "mm"), along=Q(p.long, "mm"),
                          across=Q(p.wide, "mm")) for p in laid),
        )


def _stock(one: _Worked) -> StockSheets:
    assert one.layout is not None
    purchase = one.group.purchase
    packs = np.nan if purchase is None else nominal(Q(purchase.packs)).magnitude
    proven = one.layout.sheets == one.fewest
    return StockSheets(
        name=_plain(one.group.name), sheets=Q(float(one.layout.sheets)), fewest=Q(float(one.fewest)),
        bought=Q(float(packs)), used=Q(100 * one.area / (one.layout.sheets * _whole_area(one)), "percent"),
        proof="proven: no layout takes fewer" if proven else f"not proven: by area alone it could be {one.fewest}",
    )


def _plain(name: str) -> str:
    return name.rpartition(": ")[2]


def _covered(groups: Sequence[_Group], worked: Sequence[_Worked], packs: Sequence[tuple[Any, _Group]]) -> Check:
    if not groups:
        return does_not_apply("nothing is cut from sheets")
    if any(one.layout is None for one in worked):
        return open_check("not every piece has a sheet that holds it")
    if not packs:
        return does_not_apply("none of these sheets stands on the buy list")
    need = {one.group.name: one.layout.sheets for one in worked if one.layout}
    short = [np.maximum(need[group.name] - np.asarray(have, dtype=float), 0) for have, group in packs]
    return at_most(Q(sum(short)), Q(0.0), share=False, reason="sheets that the buy list lacks")


def _fits(groups: Sequence[_Group], without: Quantity, worked: Sequence[_Worked]) -> Check:
    if not groups:
        return does_not_apply("nothing is cut from sheets")
    unsold = [one.name for one in groups if not one.offers]
    if unsold:
        return open_check(f"no sheet of {_plain(unsold[0])} is known; enter one among those as they are sold")
    if any(len(one.rectangles) > _MOST_PIECES for one in worked):
        return open_check(f"more than {_MOST_PIECES} pieces of one stock are not laid out; name a part of them apart")
    names = [_plain(one.group.name) for one in worked if one.layout is None]
    which = f": {', '.join(names)}" if names else ""
    return at_most(without, Q(0.0), share=False, reason=f"stocks with a piece that no sheet holds{which}")
