"""A gas strut under a lid: where it sits, how long it is, how hard it pushes.

Everything is drawn from the hinge pin with the lid closed: *along* runs with
the closed lid towards its front edge, *above* is square to it, up.  The body
mount stays, the lid mount turns with the lid.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Annotated, Any, Literal, TypeVar

import numpy as np

from kit.calculator import require
from kit.kinds import Count, In
from kit.quantities import Q, Quantity, is_quantity, unit

__all__ = [
    "STEPS", "BodyAbove", "BodyAlong", "Depth", "Extended", "Law", "LidAbove", "LidAlong", "Mounts", "Opening",
    "Stroke", "Strut", "StrutCount", "StrutForce", "StrutRatio", "StrutRod", "in_metres", "nominal", "nq", "pick",
    "strut_temperature", "swing", "trimmed", "turned",
]

# Angles of a swing, both ends included: odd, so that half open is one of them; 80 degrees go by twos.
STEPS = 41
# The temperature at which a strut's force is stated, and the pressure of the air that pushes back on its rod.
STATED_AT = Q(293.15, "K")
AIR_PRESSURE = Q(101325, "Pa")

T = TypeVar("T")
# Numpy works on quantities, but its own type hints do not know that.
nq: Any = np
Law = Literal["linear", "gas"]

Opening = Annotated[Quantity, In(
    "deg", "angle through which the lid opens", 80, ge=1, le=170, everyday=(45, 110), resolution=0.1,
    find="hold the lid open where you want it and set a bevel gauge")]
LidAlong = Annotated[Quantity, In(
    "mm", "mount on the lid, along the lid from the hinge pin", 100, ge=-200, le=3000, everyday=(20, 600), resolution=1,
    out_by="2 mm",
    find="rule along the closed lid from the middle of the pin")]
LidAbove = Annotated[Quantity, In(
    "mm", "mount on the lid, above the hinge pin (below is minus)", -30, ge=-1000, le=1000, everyday=(-100, 60),
    resolution=1, out_by="2 mm", find="square down from the lid with a rule")]
BodyAlong = Annotated[Quantity, In(
    "mm", "mount on the body, along the closed lid from the hinge pin", 250, ge=-1000, le=3000, everyday=(-50, 800),
    resolution=1, out_by="2 mm", find="rule along the closed lid from the middle of the pin")]
BodyAbove = Annotated[Quantity, In(
    "mm", "mount on the body, above the hinge pin (below is minus)", -200, ge=-3000, le=2000, everyday=(-600, 50),
    resolution=1, out_by="2 mm", find="plumb down from the closed lid")]
Extended = Annotated[Quantity, In(
    "mm", "length of the strut fully out, eye to eye", 365, ge=50, le=3000, resolution=1, basis="data sheet",
    find="measure it lying free, middle of eye to middle of eye")]
Stroke = Annotated[Quantity, In(
    "mm", "stroke of the strut", 150, ge=10, le=1500, resolution=1, basis="data sheet",
    find="length of bare rod when fully out")]
StrutCount = Annotated[int, Count(
    "struts that work together", 1, ge=0, le=6, find="0 for a lid on a prop, a chain or spring hinges alone")]
StrutForce = Annotated[Quantity, In(
    "N", "force of one strut, new, fully out, at 20 degC", 150, ge=1, le=5000, everyday=(40, 1200), resolution=1,
    basis="data sheet", find="printed on the tube; or press it on a bathroom scale: 10 kg is 98 N")]
StrutRatio = Annotated[Quantity, In(
    "", "force fully pushed in over force fully out", 1.25, ge=1, le=3, valid=(1.05, 1.8), resolution=0.01,
    basis="data sheet", find="press it in on a scale and read both ends; small lid struts have 1.2 to 1.4")]
StrutRod = Annotated[Quantity | None, In(
    "mm", "diameter of the strut's rod, for the exact law of temperature", 8, ge=3, le=30, basis="measured",
    find="calipers on the bare rod; leave out if you cannot measure it")]
Depth = Annotated[Quantity, In(
    "mm", "depth of the lid from the hinge pin to the front edge", 640, ge=50, le=3000, everyday=(200, 1200),
    resolution=1, basis="measured", find="rule")]


def strut_temperature(meaning: str, example: float) -> In:
    """A temperature of the strut itself."""
    return In("degC", meaning, example, ge=-40, le=100, everyday=(-30, 80),
              find="steel in the sun gets 10 to 30 degC warmer than the air")


def nominal(value: Any) -> float:
    """The value a sentence is made from: the mean of its samples that exist."""
    found = np.asarray(getattr(value, "magnitude", value), dtype=float)
    return float(np.nanmean(found)) if np.any(np.isfinite(found)) else float("nan")


def pick(holds: Any, one: Quantity, other: Quantity) -> Quantity:
    """`one` where something holds, else `other`, in the unit of the first."""
    chosen: Any = np.where(holds, one.magnitude, other.m_as(one.units))
    return Quantity(chosen[()], one.units)


def swing(opening: Quantity, *others: Any) -> Quantity:
    """Angles from closed to open, in front of the samples when there are any."""
    sampled = any(np.ndim(getattr(value, "magnitude", value)) for value in (opening, *others))
    share = np.linspace(0, 1, STEPS)
    angle: Quantity = (share[:, None] if sampled else share) * opening
    return angle


def trimmed(curves: dict[str, Quantity]) -> dict[str, Quantity]:
    """Curves that no sample reaches lose the axis that waited for samples."""
    return {
        name: Quantity(curve.magnitude[:, 0], curve.units) if np.shape(curve.magnitude) == (STEPS, 1) else curve
        for name, curve in curves.items()
    }


@dataclass(frozen=True, slots=True)
class Mounts:
    """The two mounts of a strut, drawn from the hinge pin with the lid closed."""

    lid_along: Quantity
    lid_above: Quantity
    body_along: Quantity
    body_above: Quantity

    def places(self) -> tuple[Quantity, Quantity, Quantity, Quantity]:
        """The four distances."""
        return self.lid_along, self.lid_above, self.body_along, self.body_above

    def lid(self, angle: Quantity) -> tuple[Quantity, Quantity]:
        """Where the lid mount is when the lid has opened by `angle`."""
        return turned(self.lid_along, self.lid_above, angle)

    def reach(self, angle: Quantity) -> tuple[Quantity, Quantity]:
        """Length of the strut, and the arm of its push about the pin: the rate at which length grows with angle."""
        x, y = self.lid(angle)
        length = nq.maximum(nq.hypot(x - self.body_along, y - self.body_above), Q(1e-9, "m"))
        return length, (self.body_along * y - self.body_above * x) / length

    def toward_lid(self, angle: Quantity) -> tuple[Quantity, Quantity]:
        """The direction of the push on the lid, along and above, as parts of one."""
        (x, y), (length, _) = self.lid(angle), self.reach(angle)
        return (x - self.body_along) / length, (y - self.body_above) / length

    def dead_centre(self) -> Quantity:
        """The angle at which strut and pin lie in one line with the strut shortest, between -180 and 180 degrees."""
        body = nq.arctan2(self.body_above, self.body_along)
        turn = body - nq.arctan2(self.lid_above, self.lid_along)
        return Q((turn.m_as("deg") + 180) % 360 - 180, "deg")

    def extremes(self, opening: Quantity) -> tuple[Quantity, Quantity, Quantity]:
        """Shortest and longest length over the whole swing, and the dead centre within it (nan when there is none)."""
        (shut, _), (open_, _) = self.reach(Q(0, "deg")), self.reach(opening)
        body = nq.hypot(self.body_along, self.body_above)
        lid = nq.hypot(self.lid_along, self.lid_above)
        dead = self.dead_centre()
        inside = (dead >= Q(0, "deg")) & (dead <= opening)
        # In line on the far side of the pin the strut is longest.
        far = Q((dead.m_as("deg") + 180) % 360, "deg") <= opening
        shortest, longest = nq.minimum(shut, open_), nq.maximum(shut, open_)
        return (
            pick(inside, nq.minimum(abs(body - lid), shortest), shortest),
            pick(far, body + lid, longest),
            pick(inside, dead, Q(np.nan, "deg")),
        )


def require_sense(mounts: Mounts, opening: Quantity, extended: Quantity, stroke: Quantity) -> None:
    """Refuse a strut that cannot be, and mounts that come to lie in one place."""
    require(stroke < extended, "the stroke must be shorter than the strut fully out", "stroke", "extended")
    require(mounts.extremes(opening)[0] > Q(1, "mm"), "the two mounts meet on the way; move one of them",
            "lid_mount_along", "lid_mount_above", "body_mount_along", "body_mount_above")


def turned(along: Quantity, above: Quantity, angle: Quantity) -> tuple[Quantity, Quantity]:
    """A point of the lid after the lid has opened by `angle`."""
    c, s = nq.cos(angle), nq.sin(angle)
    return along * c - above * s, along * s + above * c


@dataclass(frozen=True, slots=True)
class Strut:
    """One strut: its law of force against length and temperature."""

    force: Quantity
    force_ratio: Quantity
    extended: Quantity
    stroke: Quantity
    law: Law
    rod: Quantity | None

    def push(self, length: Quantity, temperature: Quantity, worn: Any = 1.0) -> Quantity:
        """Its push at a length, without friction.

        A length that the strut cannot reach is taken as the nearest end of its
        stroke; whether it reaches is a check of its own.
        """
        share = np.clip(((self.extended - length) / self.stroke).m_as(""), 0, 1)
        ratio = self.force_ratio
        rise = 1 + (ratio - 1) * share if self.law == "linear" else 1 / (1 - (1 - 1 / ratio) * share)
        warmth = (temperature.to("K") / STATED_AT).m_as("")
        # The gas follows its absolute pressure; without the rod's size the air that pushes back on it is left out.
        air = Q(0, "N") if self.rod is None else (AIR_PRESSURE * np.pi / 4 * self.rod**2).to("N")
        push: Quantity = (self.force * worn * rise + air) * warmth - air
        return push


def in_metres(thing: T) -> T:
    """The same mounts or strut with every length in metres, so that no later step has to convert."""
    metres = unit("m")
    lengths = {
        f.name: value.to(metres) for f in fields(thing)  # type: ignore[arg-type]
        if is_quantity(value := getattr(thing, f.name)) and value.check("[length]")
    }
    return replace(thing, **lengths)  # type: ignore[type-var]
