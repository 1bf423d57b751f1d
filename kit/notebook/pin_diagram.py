"""The pin plan: the controller as its reader described it, with the wire and signal of every pin."""

from __future__ import annotations

from typing import Any

from kit.build.build import Build
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs
from kit.workshop import show

__all__ = ["PINS", "pin_drawing", "pin_rows"]

PINS = {"the pins and signals": ("wiring.pin_plan.uses",)}
_ROW, _SIDE, _WIDE = 30, 236, 96


def pin_drawing(build: Build) -> str:
    """Pins in the order of the table, the first half down the left side; a filled dot is a pin in use."""
    needs(build, PINS)
    pins = list(build.value("wiring.pin_plan.pins"))
    uses = {use.pin: use for use in build.value("wiring.pin_plan.uses")}
    half = (len(pins) + 1) // 2
    wide, high = 2 * _SIDE + _WIDE, _ROW * (half + 1) + 30
    sheet = Sheet((0, wide), (0, high), "pin plan of the controller", width=wide + 16, margin=8, down=True)
    sheet.rect(_SIDE, 6, _WIDE, _ROW * (half + 1) - 12, weight=2, fill=0.06)
    sheet.words(_SIDE + _WIDE / 2, 20, "controller", size=11, anchor="middle")
    for n, pin in enumerate(pins):
        left = n < half
        y = _ROW * (n % half + 1) + 6
        _pin(build, sheet, pin, uses.get(pin.name), left, y)
    unplaced = [use.name for use in build.value("wiring.pin_plan.uses") if use.pin == "none"]
    sheet.notes("Filled: in use. After the signal: its wire and the highest voltage it brings; each pin bears "
                f"{_bears(build, pins)}." + (f" Without a pin: {', '.join(unplaced)}." if unplaced else ""), keep=0)
    return sheet.svg()


def _pin(build: Build, sheet: Sheet, pin: Any, use: Any, left: bool, y: float) -> None:
    x, out = (_SIDE, -1) if left else (_SIDE + _WIDE, 1)
    anchor = "end" if left else "start"
    sheet.words(x - out * 8, y + 4, pin.name, size=11, anchor="start" if left else "end", bold=True)
    sheet.line([(x, y), (x + out * 22, y)], weight=1.4 if use else 0.8)
    sheet.circle(x + out * 26, y, 4, weight=1.2, fill=1 if use else 0)
    if use is None:
        sheet.words(x + out * 36, y + 4, "free", size=10.5, anchor=anchor)
        return
    wire = "" if use.wire == "-" else f"wire {use.wire}, "
    sheet.words(x + out * 36, y - 1, use.name, size=11.5, anchor=anchor, bold=True)
    sheet.words(x + out * 36, y + 11, f"{use.need}, {wire}{show(use.volts, 'V', rounding='up', prefs=build.prefs)}",
                size=10, anchor=anchor)


def _bears(build: Build, pins: list[Any]) -> str:
    low, high = min(pin.bears for pin in pins), max(pin.bears for pin in pins)
    shown = [show(one, "V", rounding="down", prefs=build.prefs) for one in (low, high)]
    return shown[0] if shown[0] == shown[1] else f"{shown[0]} to {shown[1]}"


def pin_rows(build: Build) -> list[tuple[str, ...]]:
    """One row a signal, for the card."""
    return [(use.pin, use.name, use.need, "" if use.wire == "-" else use.wire,
             show(use.volts, "V", rounding="up", prefs=build.prefs), "________")
            for use in build.value("wiring.pin_plan.uses") or ()]
