"""What a stage hands on: parts, purchases, tasks, hazards, and pieces to cut, surfaces to coat, electrical loads.

All positions are from the build's datum: origin in the middle of the deck in
plan, on the underside of the frame; x towards the named end, y to the right
when facing it, z up.
"""

from __future__ import annotations

from dataclasses import field
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import InputError, row
from kit.kinds import Choice, Count, In, Text, YesNo
from kit.quantities import Q, Quantity, same_kind

__all__ = ["Allowance", "Hazard", "Load", "Part", "Piece", "Purchase", "Surface", "Task", "along"]


def along(meaning: str, example: float = 0.0) -> In:
    """A coordinate from the datum."""
    find = "rule, from the middle of the deck"
    return In("m", meaning, example, ge=-50, le=50, resolution=0.001, find=find, out_by="20 mm")


@row
class Part:
    """A thing with mass and a place."""

    name: Annotated[str, Text("part", "deck boards")]
    mass: Annotated[Quantity, In("kg", "mass at fitting", 12, ge=0, le=50_000, find="bathroom scale, with and without")]
    x: Annotated[Quantity, along("x of its centre, towards the named end")]
    y: Annotated[Quantity, along("y of its centre, to the right")]
    z: Annotated[Quantity, along("z of its centre, up from the underside of the frame", 0.1)]
    wet_mass: Annotated[Quantity | None, In("kg", "mass when wet through", 13, ge=0, le=50_000)] = None
    allowance: Annotated[bool, YesNo("stands in for a stage that is not worked out yet")] = False

    @property
    def soaked(self) -> Quantity:
        """Its mass in the wet state: as given, or as at fitting when it takes up no water."""
        return self.mass if self.wet_mass is None else self.wet_mass


@row
class Purchase:
    """Something to buy: how much is needed, how it is sold, at what price."""

    name: Annotated[str, Text("article", "deck boards")]
    needed: Annotated[Quantity, In("*", "amount needed, waste included", 1, ge=0, le=1e6)]
    pack: Annotated[Quantity, In("*", "amount in one pack", 1, ge=1e-6, le=1e6)] = field(default_factory=lambda: Q(1))
    price: Annotated[Quantity, In("money", "price of one pack", 10, ge=0, le=1e6, resolution=0.01)] = field(
        default_factory=lambda: Q(0, "money")
    )
    size: Annotated[str, Text("size or grade", "28 x 145 mm", longest=120)] = "-"
    shop: Annotated[str, Text("kind of shop", "timber yard")] = "-"
    wait: Annotated[Quantity, In("d", "delivery time", 3, ge=0, le=365)] = field(default_factory=lambda: Q(0, "d"))
    allowance: Annotated[bool, YesNo("stands in for a stage that is not worked out yet")] = False

    def __post_init__(self) -> None:
        # Refused even while sampling: this is no matter of a sample.
        if not same_kind(self.needed.units, self.pack.units):
            why = "amount needed and amount in a pack must be of one kind, such as 12 m in packs of 3 m"
            raise InputError("", dict.fromkeys(("needed", "pack"), why))

    @property
    def packs(self) -> Any:
        """Whole packs to buy; an amount within 1e-9 of a whole pack needs no further one."""
        # A build sums a hundred purchases at every change: in one unit no quantity need be made of the ratio.
        alike = self.needed.units == self.pack.units
        ratio = self.needed.magnitude / (self.pack.magnitude if alike else self.pack.m_as(self.needed.units))
        share = np.asarray(ratio, dtype=float)
        packs = np.ceil(share - 1e-9)
        return int(packs) if packs.ndim == 0 and np.isfinite(packs) else packs

    @property
    def cost(self) -> Quantity:
        """Price of the packs to buy."""
        cost: Quantity = self.packs * self.price
        return cost

    @property
    def left_over(self) -> Quantity:
        """What is left of the last pack."""
        left: Quantity = self.packs * self.pack - self.needed
        return left


@row
class Task:
    """Work to do, in hours of labour by three estimates, and days of waiting that are not labour."""

    name: Annotated[str, Text("task", "fit deck boards")]
    quick: Annotated[Quantity, In("h", "hours if all goes well", 2, ge=0, le=5000)]
    likely: Annotated[Quantity, In("h", "most likely hours", 3, ge=0, le=5000)]
    slow: Annotated[Quantity, In("h", "hours if much goes wrong", 6, ge=0, le=5000)]
    wait: Annotated[Quantity, In("d", "waiting after it: cure, dry, deliver", 1, ge=0, le=730)] = field(
        default_factory=lambda: Q(0, "d")
    )
    allowance: Annotated[bool, YesNo("stands in for a stage that is not worked out yet")] = False
    after: Annotated[
        str, Text("tasks to be done before it, a semicolon between", "frame: frame and deck", longest=300)
    ] = "-"

    @property
    def mean(self) -> Quantity:
        """Mean hours by the three-point rule, (quick + 4 likely + slow) / 6."""
        mean: Quantity = (self.quick + 4 * self.likely + self.slow) / 6
        return mean

    @property
    def spread(self) -> Quantity:
        """Standard deviation by the three-point rule, (slow - quick) / 6."""
        spread: Quantity = (self.slow - self.quick) / 6
        return spread


@row
class Hazard:
    """What can hurt somebody at a step, and what to do about it."""

    text: Annotated[str, Text("hazard and what to do", "A strut stays charged: never open it.", longest=400)]
    cites: Annotated[str, Text("key of its source", "practice")] = "practice"
    at: Annotated[str, Text("step it belongs to", "fitting the struts")] = "-"


@row
class Piece:
    """A length to cut from stock, or a rectangle to cut from a sheet when it has a width."""

    name: Annotated[str, Text("piece", "joists")]
    stock: Annotated[str, Text("stock it is cut from, as the yard sells it", "Douglas fir 45 x 120")]
    length: Annotated[Quantity, In("mm", "finished length, along the grain", 2110, ge=1, le=20_000, find="the layout")]
    count: Annotated[int, Count("pieces", 8, ge=1, le=10_000)] = 1
    width: Annotated[
        Quantity | None, In("mm", "finished width, of a piece cut from a sheet", 400, ge=1, le=5000, find="the layout")
    ] = None
    turns: Annotated[bool, YesNo("may lie across the grain of a sheet")] = False


@row
class Surface:
    """A face that may be coated: its whole area, and how much of it is glued, hidden or left bare."""

    name: Annotated[str, Text("surface", "lids, all faces")]
    area: Annotated[Quantity, In("m^2", "area", 1.2, ge=0, le=10_000, find="length times width of each face")]
    bare: Annotated[
        Quantity, In("m^2", "of that glued, bedded in sealant or left bare", 0.1, ge=0, le=10_000)
    ] = field(default_factory=lambda: Q(0, "m^2"))
    kind: Annotated[Literal["planed", "sawn", "end grain"], Choice("how it was worked", "planed")] = "planed"


@row
class Load:
    """Something that draws on the battery: its power, and its hours a day in the season and out of it."""

    name: Annotated[str, Text("load", "pump")]
    power: Annotated[Quantity, In("W", "power while it runs", 36, ge=0, le=10_000, find="clamp meter, running")]
    season: Annotated[Quantity, In("h", "time it runs on a day in the season", 0.2, ge=0, le=24)]
    winter: Annotated[Quantity, In("h", "time it runs on a day out of the season", 0, ge=0, le=24)]
    start: Annotated[
        Quantity | None, In("W", "power at the moment it starts", 108, ge=0, le=100_000, find="clamp meter, peak")
    ] = None
    dark: Annotated[bool, YesNo("runs only after sunset")] = False


@row
class Allowance:
    """A guess that stands in for a stage not worked out yet: mass and place, money, hours."""

    name: Annotated[str, Text("what is allowed for", "power: battery, panels, regulator")]
    stands_for: Annotated[
        Literal[
            "frame",
            "panels",
            "machining",
            "resin",
            "lids",
            "finish",
            "power",
            "wiring",
            "water",
            "raft",
            "mooring",
            "gear",
        ],
        Choice("stage it stands in for", "power"),
    ]
    mass: Annotated[Quantity, In("kg", "mass", 20, ge=0, le=50_000)] = field(default_factory=lambda: Q(0, "kg"))
    x: Annotated[Quantity, along("x of its centre, towards the named end")] = field(default_factory=lambda: Q(0, "m"))
    y: Annotated[Quantity, along("y of its centre, to the right")] = field(default_factory=lambda: Q(0, "m"))
    z: Annotated[Quantity, along("z of its centre, up from the underside of the frame", 0.3)] = field(
        default_factory=lambda: Q(0.3, "m")
    )
    cost: Annotated[Quantity, In("money", "cost", 150, ge=0, le=1e6, resolution=0.01)] = field(
        default_factory=lambda: Q(0, "money")
    )
    quick: Annotated[Quantity, In("h", "hours if all goes well", 4, ge=0, le=5000)] = field(
        default_factory=lambda: Q(0, "h")
    )
    likely: Annotated[Quantity, In("h", "most likely hours", 6, ge=0, le=5000)] = field(
        default_factory=lambda: Q(0, "h")
    )
    slow: Annotated[Quantity, In("h", "hours if much goes wrong", 9, ge=0, le=5000)] = field(
        default_factory=lambda: Q(0, "h")
    )
