"""Where the body mount of a lid's strut can go: the map of the search, each place as dark as it is forgiving."""

from __future__ import annotations

from typing import Any

from kit.build.build import Build
from kit.mount_finder import square
from kit.notebook.curves import Axis, Band, Curve, Limit, chart
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.quantities import Q, Quantity
from kit.workshop import show

__all__ = ["leaning", "places"]

# Places of the list that are drawn with their strut, and half the side of a place's square, in metres.
DRAWN, HALF = 3, 0.005
NOTE = ("Each square: a place for the body mount, the fuller the more its force may be off. Numbers: the first of the list, "
        "its strut drawn with the lid shut; a ring is its lid mount. Dot-dashed: kept clear.")


def places(build: Build, width: int = 680) -> str:
    """The map, from the hinge pin with the lid shut, to scale."""
    needs(build, {"the size of the lid": ("lids.balance.depth", "lids.travel.pin_above_rim")})
    found = build.closer("lids.mounts")
    if found is None:
        raise LookupError("it waits for the search above: press its button")
    if not found.spots:
        raise LookupError("no place keeps every limit: the search above says what stands in the way")
    depth, rim = _m(build.value("lids.balance.depth")), -_m(build.value("lids.travel.pin_above_rim"))
    # The search keeps the best of each square centimetre: that square is drawn.
    spots = [(*(square(_m(q)) / 100 for q in (s.body_along, s.body_above)), s.off.m_as("percent")) for s in found.spots]
    boxes = build.value("lids.mounts.clear") or ()
    low = min(rim - 0.1, *(y for _, y, _ in spots), *(_m(b.above_from) for b in boxes)) - 0.03
    left, right = min(-0.02, *(x for x, _, _ in spots)), max(depth, *(x for x, _, _ in spots))
    high = max(rim + 0.03, *(y for _, y, _ in spots)) + 0.06
    sheet = Sheet((left, right + 0.02), (low, high), "where the body mount can go, lid shut", width=width, margin=46)
    _box(sheet, depth, rim, low, boxes)
    most = max(off for _, _, off in spots)
    for x, y, off in spots:
        sheet.rect(x - HALF, y - HALF, 2 * HALF, 2 * HALF, weight=0, fill=0.05 + 0.4 * (off / most) ** 2)
    for one in reversed(found.found[:DRAWN]):
        _strut(sheet, one)
    sheet.origin(names=("", ""))
    sheet.scale_bar(0.1, show(Q(100, "mm"), "mm", prefs=build.prefs))
    sheet.notes(NOTE, keep=95)
    return sheet.svg()


def _m(length: Quantity) -> float:
    return float(length.m_as("m"))


def _box(sheet: Sheet, depth: float, rim: float, low: float, boxes: Any) -> None:
    """The locker's side below its rim, the shut lid on it, and what must stay clear."""
    sheet.rect(0, low, depth, rim - low, weight=1, fill=0.03)
    sheet.line([(0, rim), (depth, rim)], weight=2.2)
    sheet.line([(0, rim), (0, rim + 0.026), (depth, rim + 0.026), (depth, rim)], weight=1.4)
    sheet.words(depth, rim + 0.034, "shut lid, front edge here", size=11, anchor="end")
    for box in boxes:
        x, y = _m(box.along_from), _m(box.above_from)
        sheet.rect(x, y, _m(box.along_to) - x, _m(box.above_to) - y, weight=1.2, dash="9 3 2 3")
        sheet.words(x + 0.006, y + 0.008, box.name, size=11)


def _strut(sheet: Sheet, one: Any) -> None:
    p, q, x, y = (_m(part) for part in (one.lid_along, one.lid_above, one.body_along, one.body_above))
    sheet.line([(p, q), (x, y)], weight=1.6)
    sheet.circle(p, q, 0.006, weight=1.6)
    sheet.dot(x, y, one.name.partition(":")[0], size=4)


def leaning(build: Build) -> str:
    """The hand through the swing with everything leaning to the front and to the back, and with the lid wet through."""
    needs(build, {"the balance of the lid": ("lids.leaning_and_wet.open_to_front",)})
    shown = [("open_to_front", "opening, to the front", 2.6, ""), ("open_to_back", "opening, to the back", 1.4, ""),
             ("open_wet", "opening, wet through", 1.4, "2 3"), ("close_to_back", "closing, to the back", 1.8, "6 3"),
             ("close_to_front", "closing, to the front", 1.2, "6 3")]
    curves = [Curve(build.value(f"lids.leaning_and_wet.{name}"), words, weight, dash) for name, words, weight, dash in shown]
    return chart(
        build.value("lids.leaning_and_wet.angle"), curves, bands=[Band(curves[1].y, curves[0].y)],
        axes=(Axis("opening angle", "deg", 10), Axis("hand, square to the lid", "N")),
        title="The hand when everything leans, opening cold and worn, closing hot and new",
        limits=[Limit(build.value("lids.balance.hand_limit"), f"limit {build.shown('lids.balance.hand_limit')}")],
        prefs=build.prefs,
    )
