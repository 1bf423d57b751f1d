"""What a screw, nail or lag screw carries sideways between two pieces of wood, mode by mode.

Either the wood is crushed under the fastener or the fastener bends; every way
this can happen is worked out and the least governs.  The North American and the
European rules write the same mechanics with other factors.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.kinds import In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = [
    "EUROPEAN_MODES", "FACTS", "NORTH_AMERICAN_MODES", "EuropeanModes", "YieldModes", "bending_yield",
    "dowel_bearing", "governing", "johansen", "johansen_modes", "least", "yield_limit", "yield_modes",
]

FACTS = read_facts("connections")

NORTH_AMERICAN_MODES: Mapping[str, str] = {
    "Im": "the point-side wood is crushed",
    "Is": "the head-side wood is crushed",
    "II": "the fastener tilts and crushes both pieces",
    "IIIm": "the fastener bends once and crushes the point-side wood",
    "IIIs": "the fastener bends once and crushes the head-side wood",
    "IV": "the fastener bends in both pieces",
}
EUROPEAN_MODES: Mapping[str, str] = {
    "a": "the head-side wood is crushed",
    "b": "the point-side wood is crushed",
    "c": "the fastener tilts and crushes both pieces",
    "d": "the fastener bends once and crushes the head-side wood",
    "e": "the fastener bends once and crushes the point-side wood",
    "f": "the fastener bends in both pieces",
}


def governing(modes: Mapping[str, Quantity], words: Mapping[str, str]) -> str:
    """The least mode in words: "mode IIIs: ..."; of the mean when sampled."""
    means = {name: float(np.nanmean(value.m_as("N"))) for name, value in modes.items() if np.isfinite(value.m).any()}
    if not means:
        return "not worked out"
    least = min(means, key=lambda name: means[name])
    return f"mode {least}: {words[least]}"


def least(modes: Mapping[str, Quantity]) -> Quantity:
    """The least of the modes, sample by sample."""
    return Q(np.min(np.broadcast_arrays(*(mode.m_as("N") for mode in modes.values())), axis=0), "N")


# Bending yield by nominal diameter, upper end of each band. Nails read; screws by the same bands, only No. 10 read.
_BANDS = ((0.142, 100), (0.177, 90), (0.236, 80), (0.273, 70), (0.344, 60))


def bending_yield(nominal: Quantity) -> Quantity:
    """Bending yield strength of a plain steel nail or screw by its nominal diameter, where no data sheet gives it."""
    inches = np.asarray(nominal.m_as("in"), dtype=float)
    # A printed diameter is rounded to a thousandth of an inch.
    bands = [inches <= top + 5e-4 for top, _ in _BANDS]
    return Q(np.select(bands, [float(ksi) for _, ksi in _BANDS], 45.0)[()] * 1000, "psi")


def dowel_bearing(gravity: Quantity, diameter: Quantity, angle: Quantity) -> Quantity:
    """Dowel bearing strength of wood by its assigned gravity; from 1/4 in on it hangs on the angle to the grain."""
    g, d, turn = gravity.m_as(""), diameter.m_as("in"), angle.m_as("rad")
    small = FACTS["bearing_small"].value * g**1.84
    along, across = FACTS["bearing_along"].value * g, FACTS["bearing_across"].value * g**1.45 / np.sqrt(d)
    large = along * across / (along * np.sin(turn) ** 2 + across * np.cos(turn) ** 2)
    return Q(np.where(d < 0.25, small, large)[()], "psi")


@result
class YieldModes:
    """Six yield modes, single shear, reference values."""

    mode_im: Annotated[Quantity, Out("N", "mode Im, point-side wood crushed")]
    mode_is: Annotated[Quantity, Out("N", "mode Is, head-side wood crushed")]
    mode_ii: Annotated[Quantity, Out("N", "mode II, tilts in both")]
    mode_iiim: Annotated[Quantity, Out("N", "mode IIIm, bends once, point-side wood crushed")]
    mode_iiis: Annotated[Quantity, Out("N", "mode IIIs, bends once, head-side wood crushed")]
    mode_iv: Annotated[Quantity, Out("N", "mode IV, bends in both")]
    reference: Annotated[Quantity, Out("N", "reference lateral value of one fastener", rounding="down")]
    governed_by: Annotated[str, Says("which mode governs")]


@calculator("NDS-2018")
def yield_limit(
    *,
    diameter: Annotated[Quantity, In("mm", "diameter in the shear plane: shank of a nail, root of a thread", 3.76, ge=1,
                                     le=30, everyday=(2, 12), resolution=0.01, find="calipers", basis="data sheet")],
    nominal: Annotated[Quantity | None, In("mm", "nominal diameter of a threaded fastener", 5, ge=1, le=30,
                                           resolution=0.1, basis="data sheet")] = None,
    side_thickness: Annotated[Quantity, In("mm", "wood on the head side", 19, ge=3, le=300, resolution=0.5)],
    main_bearing_length: Annotated[Quantity, In("mm", "length that bears in the point-side wood, less half the tip",
                                                53.4, ge=3, le=500, resolution=0.5)],
    side_bearing: Annotated[Quantity, In("MPa", "dowel bearing strength on the head side", 32, ge=5, le=200)],
    main_bearing: Annotated[Quantity, In("MPa", "dowel bearing strength on the point side", 32, ge=5, le=200)],
    bending: Annotated[Quantity, In("MPa", "bending yield strength of the fastener", 620, ge=200, le=1500,
                                    basis="data sheet")],
    angle: Annotated[Quantity, In("deg", "largest angle between load and grain", 0, ge=0, le=90)] = Q(0, "deg"),
) -> YieldModes:
    """Reference lateral value by the yield-limit equations, single shear, all six modes.

    With Re = Fem/Fes, Rt = lm/ls and the reduction Rd: Im = D lm Fem/Rd,
    Is = D ls Fes/Rd, II = k1 D ls Fes/Rd, IIIm = k2 D lm Fem/((1 + 2 Re) Rd),
    IIIs = k3 D ls Fem/((2 + Re) Rd), IV = D^2/Rd sqrt(2 Fem Fyb/(3 (1 + Re))).
    Load duration and moisture come afterwards; groups of fasteners are left out.

    >>> nail = yield_limit(diameter=Q(0.148, "in"), side_thickness=Q(0.75, "in"), main_bearing_length=Q(2.102, "in"),
    ...     side_bearing=Q(4650, "psi"), main_bearing=Q(4650, "psi"), bending=Q(90_000, "psi"))
    >>> print(f"{nail.reference.m_as('lbf'):.0f} lbf, {nail.governed_by}")
    105 lbf, mode IIIs: the fastener bends once and crushes the head-side wood
    """
    modes = yield_modes(
        diameter, diameter if nominal is None else nominal, angle,
        side=(side_thickness, side_bearing), main=(main_bearing_length, main_bearing), bending=bending)
    return YieldModes(
        mode_im=modes["Im"], mode_is=modes["Is"], mode_ii=modes["II"], mode_iiim=modes["IIIm"],
        mode_iiis=modes["IIIs"], mode_iv=modes["IV"], reference=least(modes),
        governed_by=governing(modes, NORTH_AMERICAN_MODES),
    )


def yield_modes(
    diameter: Quantity, nominal: Quantity, angle: Quantity, *,
    side: tuple[Quantity, Quantity], main: tuple[Quantity, Quantity], bending: Quantity,
) -> dict[str, Quantity]:
    """The six modes from (bearing length, bearing strength) of each piece."""
    (ls, fes), (lm, fem) = side, main
    re, rt = (fem / fes).m_as(""), (lm / ls).m_as("")
    stiff_main, stiff_side = ((2 * bending / (3 * fem) * (diameter / length) ** 2).m_as("") for length in (lm, ls))
    k1 = (np.sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)) / (1 + re)
    k2 = -1 + np.sqrt(2 * (1 + re) + stiff_main * (1 + 2 * re))
    k3 = -1 + np.sqrt(2 * (1 + re) / re + stiff_side * (2 + re))
    crushing, tilting, bent = _reductions(diameter, nominal, angle)
    modes = {
        "Im": diameter * lm * fem / crushing, "Is": diameter * ls * fes / crushing,
        "II": k1 * diameter * ls * fes / tilting,
        "IIIm": k2 * diameter * lm * fem / ((1 + 2 * re) * bent), "IIIs": k3 * diameter * ls * fem / ((2 + re) * bent),
        "IV": diameter**2 / bent * ((2 * fem * bending / (3 * (1 + re))) ** 0.5),
    }
    return {name: Q(value, "N") for name, value in modes.items()}


def _reductions(diameter: Quantity, nominal: Quantity, angle: Quantity) -> tuple[Any, Any, Any]:
    """The reduction Rd for crushing, for tilting and for bending modes."""
    d, shank = (np.asarray(size.m_as("in"), dtype=float) for size in (diameter, nominal))
    small = np.where(d <= 0.17, 2.2, 10 * d + 0.5)
    turned = 1 + angle.m_as("deg") / 360
    # A thread of 1/4 in or more whose root is thinner keeps the small factor, turned: from memory.
    small = np.where(shank >= 0.25, small * turned, small)
    return tuple(np.where(d < 0.25, small, whole * turned)[()] for whole in (4.0, 3.6, 3.2))  # type: ignore[return-value]


@result
class EuropeanModes:
    """Six failure modes, single shear, characteristic values."""

    mode_a: Annotated[Quantity, Out("N", "mode a, head-side wood crushed")]
    mode_b: Annotated[Quantity, Out("N", "mode b, point-side wood crushed")]
    mode_c: Annotated[Quantity, Out("N", "mode c, tilts in both, rope effect included")]
    mode_d: Annotated[Quantity, Out("N", "mode d, bends once, head-side wood crushed, rope effect included")]
    mode_e: Annotated[Quantity, Out("N", "mode e, bends once, point-side wood crushed, rope effect included")]
    mode_f: Annotated[Quantity, Out("N", "mode f, bends in both, rope effect included")]
    rope: Annotated[Quantity, Out("N", "rope effect within the governing mode")]
    characteristic: Annotated[Quantity, Out("N", "characteristic lateral value of one fastener", rounding="down")]
    governed_by: Annotated[str, Says("which mode governs")]


@calculator("EN1995-1-1")
def johansen(
    *,
    diameter: Annotated[Quantity, In("mm", "effective diameter: shank of a nail, 1.1 times the root of a screw", 3.5,
                                     ge=1, le=30, everyday=(2, 12), resolution=0.01, basis="data sheet")],
    side_thickness: Annotated[Quantity, In("mm", "wood on the head side", 28, ge=3, le=300, resolution=0.5)],
    penetration: Annotated[Quantity, In("mm", "how far the point goes into the point-side wood", 32, ge=3, le=500,
                                        resolution=0.5)],
    side_embedment: Annotated[Quantity, In("MPa", "embedment strength on the head side", 27, ge=2, le=150)],
    main_embedment: Annotated[Quantity, In("MPa", "embedment strength on the point side", 27, ge=2, le=150)],
    yield_moment: Annotated[Quantity, In("N*mm", "yield moment of the fastener", 4000, ge=100, le=2e6)],
    axial: Annotated[Quantity, In("N", "withdrawal capacity behind the rope effect", 0, ge=0, le=1e5)] = Q(0, "N"),
    rope_share: Annotated[Quantity, In("percent", "rope effect at most, as a share of the rest", 100, ge=0, le=100,
                                       find="screws 100, round nails 15, square nails 25")] = Q(100, "percent"),
) -> EuropeanModes:
    """Characteristic lateral value by the six expressions for wood to wood, single shear.

    With b = fh2/fh1, r = t2/t1 and the yield moment M: a = fh1 t1 d, b = fh2 t2 d,
    c tilting, d and e one hinge, f two hinges, 1.15 sqrt(2b/(1+b)) sqrt(2 M fh1 d).
    To c, d, e and f comes the rope effect, a quarter of the withdrawal capacity
    but at most a share of the rest.  Groups of fasteners are left out.

    >>> nail = johansen(diameter=Q(3.1, "mm"), side_thickness=Q(45, "mm"), penetration=Q(45, "mm"),
    ...     side_embedment=Q(20.44, "MPa"), main_embedment=Q(20.44, "MPa"), yield_moment=Q(3410, "N*mm"))
    >>> print(f"{nail.characteristic.m_as('N'):.0f} N, {nail.governed_by}")
    756 N, mode f: the fastener bends in both pieces
    """
    modes, ropes = johansen_modes(diameter, side=(side_thickness, side_embedment), main=(penetration, main_embedment),
                                  moment=yield_moment, axial=axial, share=rope_share)
    lowest = least(modes)
    rope = np.select([modes[name].m == lowest.m for name in modes], [ropes[name].m for name in modes], np.nan)
    return EuropeanModes(
        mode_a=modes["a"], mode_b=modes["b"], mode_c=modes["c"], mode_d=modes["d"], mode_e=modes["e"],
        mode_f=modes["f"], rope=Q(rope, "N"), characteristic=lowest, governed_by=governing(modes, EUROPEAN_MODES),
    )


def johansen_modes(
    d: Quantity, *, side: tuple[Quantity, Quantity], main: tuple[Quantity, Quantity], moment: Quantity, axial: Quantity,
    share: Quantity,
) -> tuple[dict[str, Quantity], dict[str, Quantity]]:
    """The six modes from (thickness, embedment) of each piece, and the rope effect within each."""
    (t1, fh1), (t2, fh2) = side, main
    b, r = (fh2 / fh1).m_as(""), (t2 / t1).m_as("")
    bent1, bent2 = ((moment / (fh1 * d * t**2)).m_as("") for t in (t1, t2))
    tilt = (np.sqrt(b + 2 * b**2 * (1 + r + r**2) + b**3 * r**2) - b * (1 + r)) / (1 + b)
    once1 = 1.05 / (2 + b) * (np.sqrt(2 * b * (1 + b) + 4 * b * (2 + b) * bent1) - b)
    once2 = 1.05 / (1 + 2 * b) * (np.sqrt(2 * b**2 * (1 + b) + 4 * b * (1 + 2 * b) * bent2) - b)
    plain = {
        "a": fh1 * t1 * d, "b": fh2 * t2 * d, "c": fh1 * t1 * d * tilt, "d": fh1 * t1 * d * once1,
        "e": fh1 * t2 * d * once2, "f": 1.15 * np.sqrt(2 * b / (1 + b)) * (2 * moment * fh1 * d) ** 0.5,
    }
    newtons = {name: Q(value, "N") for name, value in plain.items()}
    quarter = axial.m_as("N") / 4
    ropes = {name: Q(0 * quarter if name in "ab" else np.minimum(quarter, value.m * share.m_as("")), "N")
             for name, value in newtons.items()}
    return {name: Q(value + ropes[name], "N") for name, value in newtons.items()}, ropes
