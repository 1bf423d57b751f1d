"""The drill template for both mounts of a lid's strut, at true size on one sheet of A4."""

from __future__ import annotations

from kit.build.build import Build
from kit.notebook.svg import Sheet
from kit.notebook.waits import needs

__all__ = ["template"]

# Browsers print 96 pixels to the inch at 100 %: this many to the metre.
TRUE_SIZE = 96 / 0.0254
# Half the width of one piece of the template, and what is left around a hole, in metres.
HALF, ROOM = 0.041, 0.018
# What fits between the margins of A4 upright beside a heading, in metres.
TALLEST = 0.225


def template(build: Build) -> str:
    """Two pieces to cut out: one edge lies on the rim or the lid's underside, one line is set out from the front edge."""
    needs(build, {"the mounts": ("lids.travel.body_mount_below_rim", "lids.travel.lid_mount_from_front")})
    pin = build.value("lids.travel.pin_above_rim")
    downs = [
        float(build.value("lids.travel.body_mount_below_rim").m_as("m")),
        float((-build.value("lids.balance.lid_mount_above") - pin).m_as("m")),
    ]
    low, high = min(-d - ROOM for d in downs), max(0.0, *(ROOM - d for d in downs))
    if high - low > TALLEST:
        raise LookupError("the mounts lie too far from the rim for one sheet of A4; set them out with a rule and a square")
    wide = 4 * HALF + 0.012
    sheet = Sheet((0, wide), (low - 0.022, high + 0.004), "drill template for both mounts, true size",
                  width=round(wide * TRUE_SIZE) + 16, margin=8)
    behind = [build.shown(f"lids.travel.{mount}_mount_from_front") for mount in ("body", "lid")]
    _piece(sheet, HALF, downs[0], ("this edge on", "the rim"), behind[0], "locker's side: drill at the cross")
    _piece(sheet, wide - HALF, downs[1], ("this edge on the", "lid's underside"), behind[1], "lid bracket: its eye at the cross")
    _check_bar(sheet, low - 0.014)
    return sheet.svg()


def _piece(sheet: Sheet, x: float, down: float, edge: tuple[str, str], behind: str, title: str) -> None:
    """One piece: the reference edge bold, the line to set out, the hole, and the cut dashed."""
    low, high = min(-down, 0.0) - ROOM, max(0.0, ROOM - down)
    sheet.rect(x - HALF, low, 2 * HALF, high - low, weight=0.8, dash="5 4")
    sheet.line([(x - HALF, 0), (x + HALF, 0)], weight=2.6)
    sheet.line([(x, low), (x, high)], weight=0.8, dash="10 3 2 3")
    sheet.circle(x, -down, 0.003, weight=1.4)
    sheet.cross(x, -down, size=16)
    for line, (left, right) in enumerate(zip(edge, (f"this line {behind}", "behind the front edge"), strict=True)):
        sheet.words(x - HALF + 0.002, -0.0045 - 0.004 * line, left, size=10.5, bold=True)
        sheet.words(x + 0.002, -0.0045 - 0.004 * line, right, size=10.5)
    sheet.words(x - HALF + 0.002, low + 0.003, title, size=10.5)


def _check_bar(sheet: Sheet, y: float) -> None:
    """A bar to hold a rule to before anything is drilled."""
    sheet.line([(0.004, y), (0.104, y)], weight=1.6)
    for x in range(11):
        sheet.line([(0.004 + x / 100, y), (0.004 + x / 100, y + (0.004 if x % 5 == 0 else 0.0025))], weight=1)
    sheet.words(0.108, y, "100 mm: check with a rule", size=11)
