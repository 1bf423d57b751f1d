"""What holds a nail, wood screw or lag screw against being pulled out of wood.

Three figures that must never be taken for one another: the Wood Handbook's is
the average load at which it fails, the North American one is a reference value
for working loads, the European one a characteristic value that is still to be
divided by its partial factor.
"""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import applies, calculator, result
from kit.kinds import Choice, In, Out
from kit.quantities import Q, Quantity
from kit.yield_limits import FACTS

__all__ = [
    "AVERAGE", "Fastener", "Into", "Withdrawal", "european_withdrawal", "handbook_withdrawal", "reference_withdrawal",
    "withdrawal",
]

Fastener = Literal["wood screw", "lag screw", "nail"]
Into = Literal["side grain", "end grain"]

AVERAGE = ("the handbook's withdrawal is the average load at which fasteners of this kind pull out; half of them fail "
           "below it: never load one to it")


@result
class Withdrawal:
    """Withdrawal of one fastener by three families of rules."""

    ultimate: Annotated[Quantity, Out("N", "average load at failure, never to be allowed")]
    reference: Annotated[Quantity, Out("N", "North American reference value, ten years' load, dry", rounding="down",
                                       absent="not allowed in end grain")]
    reference_per_length: Annotated[Quantity, Out("N/mm", "North American reference value for each length of thread",
                                                  absent="not allowed in end grain")]
    parameter: Annotated[Quantity, Out("MPa", "European withdrawal parameter",
                                       absent="not covered: enter the declared value of the data sheet")]
    characteristic: Annotated[Quantity, Out("N", "European characteristic value", rounding="down",
                                            absent="not covered: enter the declared value of the data sheet")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "NDS-2018", "EN1995-1-1")
def withdrawal(
    *,
    fastener: Annotated[Fastener, Choice("kind of fastener", "wood screw")],
    diameter: Annotated[Quantity, In("mm", "nominal diameter: shank, or outside of the thread", 5, ge=1, le=30,
                                     everyday=(2, 13), resolution=0.1, find="calipers", basis="data sheet")],
    held: Annotated[Quantity, In("mm", "thread, or nail, in the point-side wood", 32, ge=1, le=500, everyday=(15, 150),
                                 resolution=1, find="rule; the tip of a lag screw does not count")],
    gravity: Annotated[Quantity, In("1", "specific gravity at 12 % moisture", 0.48, ge=0.1, le=1.3,
                                    basis="handbook")],
    assigned_gravity: Annotated[Quantity, In("1", "specific gravity assigned by the North American rules, oven-dry",
                                             0.5, ge=0.1, le=1.3, basis="handbook")],
    density: Annotated[Quantity, In("kg/m^3", "characteristic density of the class", 350, ge=100, le=1200,
                                    basis="handbook")],
    into: Annotated[Into, Choice("grain that the fastener enters")] = "side grain",
    angle: Annotated[Quantity, In("deg", "European: angle of a screw to the grain", 90, ge=30, le=90)] = Q(90, "deg"),
    declared: Annotated[Quantity | None, In("MPa", "withdrawal parameter declared for the screw at 350 kg/m^3", 12,
                                            ge=1, le=50, find="the screw's declaration of performance",
                                            basis="data sheet")] = None,
) -> Withdrawal:
    """Withdrawal of one fastener: average at failure, North American reference, European characteristic.

    Average: nail G^2.5 D L, wood screw G^2 D L, lag screw G^1.5 D^0.75 L, each
    with its constant; the reference has the same form with about a fifth of it.
    European screws: f d l kd/(1.2 cos^2 a + sin^2 a), f = 0.52 d^-0.5 l^-0.1
    rho^0.8 from 6 to 12 mm, or the declared parameter; smooth nails 20e-6 rho^2 d l.
    Breaking of the screw and pulling its head through are left out.

    >>> screw = withdrawal(fastener="wood screw", diameter=Q(0.19, "in"), held=Q(1.25, "in"), gravity=Q(0.68),
    ...                    assigned_gravity=Q(0.73), density=Q(530, "kg/m^3"))
    >>> print(f"{screw.ultimate.m_as('lbf'):.0f} lbf on average, {screw.reference.m_as('lbf'):.0f} lbf to work with")
    1724 lbf on average, 361 lbf to work with
    """
    end = into == "end grain"
    reference, per_length = reference_withdrawal(fastener, diameter, held, assigned_gravity, end)
    parameter, characteristic = european_withdrawal(fastener, diameter, held, density, angle, declared, end)
    applies(not end or fastener == "lag screw", "a screw or nail in end grain holds erratically; find another way")
    return Withdrawal(
        ultimate=handbook_withdrawal(fastener, diameter, held, gravity, end),
        reference=reference, reference_per_length=per_length, parameter=parameter, characteristic=characteristic,
        notes=(AVERAGE, "its constants are from memory, not yet read in FPL-GTR-190 chapter 8"),
    )


def handbook_withdrawal(fastener: str, d: Quantity, held: Quantity, gravity: Quantity, end: bool) -> Quantity:
    """Average load at failure; in end grain three quarters of it, for screws."""
    g = gravity.m_as("")
    if fastener == "lag screw":
        # The exponent of the diameter makes this constant hang on the inch.
        side = Q(FACTS["handbook_lag"].value * g**1.5 * d.m_as("in") ** 0.75 * held.m_as("in"), "lbf")
    else:
        nail = fastener == "nail"
        side = FACTS["handbook_nail" if nail else "handbook_screw"].q * g ** (2.5 if nail else 2) * d * held
    return Q(side * (0.75 if end and fastener != "nail" else 1.0), "N")


def reference_withdrawal(
    fastener: str, d: Quantity, held: Quantity, gravity: Quantity, end: bool
) -> tuple[Quantity, Quantity]:
    """North American reference value, and that for each length; nan where the rules forbid it."""
    g = gravity.m_as("")
    if fastener == "lag screw":
        each = Q(FACTS["reference_lag"].value * g**1.5 * d.m_as("in") ** 0.75, "lbf/in")
    else:
        nail = fastener == "nail"
        each = FACTS["reference_nail" if nail else "reference_screw"].q * g ** (2.5 if nail else 2) * d
    allowed = 1.0 if not end else 0.75 if fastener == "lag screw" else np.nan
    per_length = Q(each * allowed, "N/mm")
    return Q(per_length * held, "N"), per_length


def european_withdrawal(
    fastener: str, d: Quantity, held: Quantity, density: Quantity, angle: Quantity, declared: Quantity | None, end: bool
) -> tuple[Quantity, Quantity]:
    """Withdrawal parameter and characteristic value by EN 1995-1-1; nan where its range does not reach.

    The published fits take mm and kg/m^3 as plain numbers.
    """
    size, length, rho = d.m_as("mm"), held.m_as("mm"), density.m_as("kg/m^3")
    if fastener == "nail":
        covered = (length >= 12 * size) & (not end)
        parameter = np.where(covered, FACTS["nail_axial"].value * rho**2, np.nan)
        return Q(parameter[()], "MPa"), Q((parameter * size * length)[()], "N")
    covered = (length >= 6 * size) & (not end)
    if declared is not None:
        parameter, slim = declared.m_as("MPa") * (rho / 350) ** 0.8, 1.0
    else:
        covered = covered & (size >= 6) & (size <= 12)
        parameter = FACTS["screw_axial"].value * size**-0.5 * length**-0.1 * rho**0.8
        slim = np.minimum(size / 8, 1)
    parameter = np.where(covered, parameter, np.nan)
    turned = 1.2 * np.cos(angle.m_as("rad")) ** 2 + np.sin(angle.m_as("rad")) ** 2
    return Q(parameter[()], "MPa"), Q((parameter * size * length * slim / turned)[()], "N")
