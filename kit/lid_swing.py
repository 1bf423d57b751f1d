"""The moments of a lid and its struts at any angle, and the angle at which they balance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import numpy as np

from kit.kinds import In
from kit.quantities import Q, Quantity
from kit.struts import STEPS, Mounts, Strut, nq

__all__ = [
    "GRAVITY",
    "NO_SPRING",
    "SHUT",
    "Centre",
    "CentreAbove",
    "Fall",
    "Friction",
    "Gust",
    "HandLimit",
    "Handle",
    "HingeFriction",
    "HingeHold",
    "Lean",
    "LidMass",
    "OpenMargin",
    "Reach",
    "ShutMargin",
    "Spring",
    "SpringRate",
    "Swing",
    "Width",
    "Worn",
    "balance",
    "settled",
]

GRAVITY = Q(9.80665, "m/s^2")
SHUT = Q(0, "deg")
NO_SPRING = (Q(0, "N*m"), Q(0, "N*m/deg"))
# Points of a curve through which a polynomial is drawn to find where it crosses zero.
NEIGHBOURS = 6

# A strut's length, and the arm of its push about the pin.
Reach = tuple[Quantity, Quantity]

LidMass = Annotated[Quantity, In(
    "kg", "mass of the lid with everything fixed to it", 8.6, ge=0.1, le=300, everyday=(1, 40), resolution=0.1,
    basis="measured", find="bathroom scale, with and without; count snow or standing water where they may lie")]
Centre = Annotated[Quantity, In(
    "mm", "centre of gravity of the lid, along it from the hinge pin", 315, ge=0, le=3000, resolution=1,
    basis="measured", find="balance the lid on a broom handle and measure to the hinge pin")]
CentreAbove = Annotated[Quantity, In(
    "mm", "centre of gravity above the hinge pin, lid closed (below is minus)", 0, ge=-300, le=300, resolution=1,
    out_by="5 mm",
    find="for a plain board: half its thickness, less what the pin stands above its underside")]
Handle = Annotated[Quantity, In(
    "mm", "where the hand takes hold, along the lid from the hinge pin", 620, ge=50, le=3000, resolution=1,
    basis="measured", find="rule")]
Width = Annotated[Quantity, In(
    "mm", "width of the lid along its hinges", 550, ge=50, le=5000, everyday=(200, 1500), resolution=1,
    basis="measured", find="rule")]
Fall = Annotated[Quantity, In(
    "deg", "fall of the closed lid: plus when its front edge lies lower than its hinge edge", 2, ge=-60, le=60,
    everyday=(-5, 15), resolution=0.1, find="spirit level and a rule: 35 mm in a metre is 2 degrees")]
Friction = Annotated[Quantity, In(
    "N", "friction of one strut, either way", 10, ge=0, le=500, everyday=(5, 40), resolution=1,
    find="half the difference between pushing it in and letting it out on a scale")]

Worn = Annotated[Quantity, In(
    "", "force left in an old strut, as a share of new", 0.85, ge=0.3, le=1, everyday=(0.75, 1), resolution=0.01,
    basis="common practice", find="struts lose a tenth to a fifth over their life")]
HingeFriction = Annotated[Quantity, In(
    "N*m", "friction of the hinges, friction hinges included", 0, ge=0, le=100,
    find="pull on the handle with a spring balance, strut off, up and down: half the difference x the handle's place")]
HingeHold = Annotated[Quantity, In(
    "N*m", "of that, what friction hinges still hold when worn", 0, ge=0, le=100, basis="data sheet",
    find="makers state a torque and what is left of it after so many swings; 0 for plain hinges")]
Spring = Annotated[Quantity, In(
    "N*m", "moment of spring hinges with the lid shut (opens)", 0, ge=0, le=500, basis="data sheet",
    find="torsion bars and spring hinges; 0 for plain hinges")]
SpringRate = Annotated[Quantity, In(
    "N*m/deg", "what they lose with each degree of opening", 0, ge=0, le=20, basis="data sheet")]
HandLimit = Annotated[Quantity, In(
    "N", "most that a hand should have to do", 50, ge=5, le=400, everyday=(20, 120), basis="common practice",
    chosen=True)]
ShutMargin = Annotated[Quantity, In(
    "N*m", "moment wanted to keep it shut", 4, ge=0, le=200, basis="common practice", chosen=True)]
OpenMargin = Annotated[Quantity, In(
    "N*m", "moment wanted to keep it open", 3, ge=0, le=200, basis="common practice", chosen=True)]
Lean = Annotated[Quantity | None, In(
    "deg", "how far all may lean towards the front, lid open", 7, ge=0, le=60,
    find="tilt of the float with people at its edge; 0 on firm ground")]
Gust = Annotated[Quantity | None, In(
    "m/s", "strongest gust in which the lid stands open", 8, ge=0, le=60, chosen=True)]


@dataclass(frozen=True, slots=True)
class Swing:
    """A lid and its struts: every moment about the pin at any angle from closed."""

    mass: Quantity
    centre: Quantity
    centre_above: Quantity
    fall: Quantity
    mounts: Mounts
    strut: Strut
    count: Any
    friction: Quantity
    spring: tuple[Quantity, Quantity] = NO_SPRING

    def helped(self, angle: Quantity) -> Quantity:
        """The opening moment of spring hinges, which unwind as the lid opens."""
        moment, rate = self.spring
        return nq.maximum(moment - rate * angle, Q(0, "N*m")).to("N*m")  # type: ignore[no-any-return]

    def gravity(self, angle: Quantity, lean: Quantity = SHUT) -> Quantity:
        """The closing moment of the weight, everything leaning `lean` further towards the front."""
        level = angle - self.fall - lean
        lever = self.centre * nq.cos(level) - self.centre_above * nq.sin(level)
        moment: Quantity = (self.mass * GRAVITY * lever).to("N*m")
        return moment

    def push(self, reach: Reach, temperature: Quantity, worn: Any) -> tuple[Quantity, Quantity]:
        """The push of one strut at a length and arm, and the opening moment of all, without friction."""
        length, arm = reach
        force = self.strut.push(length, temperature, worn)
        return force, (self.count * force * arm).to("N*m")

    def drag(self, reach: Reach) -> Quantity:
        """The moment of the struts' friction, which works against the motion."""
        moment: Quantity = (self.count * self.friction * abs(reach[1])).to("N*m")
        return moment


def settled(q: Quantity) -> Quantity:
    """A result that no sample reaches loses the axis that waited for samples."""
    return Quantity(q.magnitude[0], q.units) if np.shape(q.magnitude) == (1,) else q


def balance(angle: Quantity, closing: Quantity) -> Quantity:
    """The first angle at which a lid that lies shut begins to open by itself; nan where there is none.

    A polynomial through neighbouring points of the moment's curve is followed to
    zero, far closer than the last digit shown.  Works on plain arrays in newton
    metres.
    """
    moments = np.asarray(closing.m_as("N*m"))
    with np.errstate(invalid="ignore"):
        crossing = (moments[:-1] > 0) & (moments[1:] <= 0)
        exists = crossing.any(axis=0) & (moments[0] > 0)
    cell = np.argmax(crossing, axis=0)
    first = np.clip(cell - NEIGHBOURS // 2 + 1, 0, STEPS - NEIGHBOURS)
    near = np.stack([
        np.take_along_axis(moments, np.expand_dims(first + n, 0), axis=0)[0] for n in range(NEIGHBOURS)])
    differences = [np.diff(near, n, axis=0)[0] for n in range(NEIGHBOURS)]
    before, after = (np.take_along_axis(moments, np.expand_dims(cell + n, 0), axis=0)[0] for n in range(2))
    slope = np.where(exists, after - before, -1.0)
    start = cell - first
    t = start - before / slope
    # The slope of the whole step brings each turn a hundred times nearer.
    for _ in range(6):
        left = differences[-1]
        for n in range(NEIGHBOURS - 2, -1, -1):
            left = differences[n] + (t - n) / (n + 1) * left
        t = np.clip(t - left / slope, start, start + 1)
    turns = np.where(exists, first + t, np.nan)[()]
    step = Quantity(angle.magnitude[-1] / (STEPS - 1), angle.units)
    return settled((step * turns).to("deg"))
