"""Two-part resin: its mixing ratio, and what a scale does to it.

Component A is the resin, component B the hardener; "2:1" on a label reads two
of A to one of B.  A ratio is never used before it is known whether it is by
mass or by volume: with densities of 1.15 and 0.95 g/mL, two to one by volume
is 100 to 41 by mass, not 100 to 50.

    >>> label = mix_ratio(parts_a=Q(100), parts_b=Q(45), by="mass",
    ...                   density_a=Q(1.15, "g/mL"), density_b=Q(0.95, "g/mL"))
    >>> print(f"{label.density:.3f~P}")
    1.079 g/mL

Read the data sheet of your resin first: where it differs, it is right.
"""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_most
from kit.kinds import Asks, Choice, In, Out, Says
from kit.quantities import Q, Quantity

__all__ = ["MixRatio", "WeighingError", "liquid_density", "mix_ratio", "weighing_error"]


def liquid_density(meaning: str, example: float) -> In:
    """The kind of an input that is the density of a component."""
    return In("g/mL", meaning, example, ge=0.7, le=3, everyday=(0.85, 1.6), resolution=0.01, basis="measured",
              find="10 mL in a syringe on the scale, at the temperature of the pour")


def _parts(meaning: str, example: float) -> In:
    """Parts of a ratio."""
    return In("1", meaning, example, ge=0.01, le=10_000, find="label or data sheet", basis="data sheet")


@result
class MixRatio:
    """One ratio, read both ways."""

    by_mass: Annotated[Quantity, Out("1", "mass of B for one of A", absent="needs both densities")]
    by_volume: Annotated[Quantity, Out("1", "volume of B for one of A", absent="needs both densities")]
    hundred: Annotated[Quantity, Out("g", "grams of B for 100 g of A", resolution=0.1, absent="needs both densities")]
    density: Annotated[Quantity, Out("g/mL", "density of the mix", resolution=0.001, absent="needs both densities")]
    reads: Annotated[str, Says("how the label reads")]
    wrong_way: Annotated[Quantity, Out(
        "percent", "hardener too much (+) if mass is taken for volume or the other way round", resolution=0.1,
        absent="needs both densities")]


@calculator("kit")
def mix_ratio(
    *,
    parts_a: Annotated[Quantity, _parts("parts of component A (resin)", 100)],
    parts_b: Annotated[Quantity, _parts("parts of component B (hardener)", 45)],
    by: Annotated[Literal["mass", "volume"], Choice("what the parts are", "mass", find="label: by weight or by volume",
                                                    basis="data sheet")],
    measured_with: Annotated[Literal["scale", "measuring cups"], Choice("what you measure with", "scale")] = "scale",
    density_a: Annotated[Quantity | None, liquid_density("density of component A", 1.15)] = None,
    density_b: Annotated[Quantity | None, liquid_density("density of component B", 0.95)] = None,
) -> MixRatio:
    """A mixing ratio by mass and by volume, and the density of the mix.

    r_mass = r_volume * rho_B / rho_A, both B over A; the mix has
    (1 + r) / (1/rho_A + r/rho_B) with r by mass, no change of volume.  Pigment
    or filler in A changes its density: measure again.  A volume ratio on a
    scale, or a mass ratio in cups, is refused until both densities are known.

    >>> cups = mix_ratio(parts_a=Q(2), parts_b=Q(1), by="volume", density_a=Q(1.15, "g/mL"), density_b=Q(0.95, "g/mL"))
    >>> print(f"{cups.hundred:.1f~P} of B to 100 g of A")
    41.3 g of B to 100 g of A
    """
    known = density_a is not None and density_b is not None
    fitting = by == ("mass" if measured_with == "scale" else "volume")
    tool = measured_with.removesuffix("s")
    require(known or fitting, f"the ratio is by {by} but it is measured with a {tool}; enter both densities, such as "
            "1.15 g/mL, or measure by what the label says", "density_a", "density_b")
    printed = Q(parts_b / parts_a)
    nothing = Q(np.nan * printed.magnitude)
    heavier = Q(density_b / density_a, "1") if density_a is not None and density_b is not None else nothing
    by_mass = printed if by == "mass" else printed * heavier
    by_volume = printed if by == "volume" else printed / heavier
    return MixRatio(
        by_mass=by_mass, by_volume=by_volume, hundred=Q(100, "g") * by_mass,
        density=_mixed(by_mass, density_a, density_b),
        reads=f"{_nominal(parts_a):.4g} of A (resin) to {_nominal(parts_b):.4g} of B (hardener), by {by}",
        wrong_way=Q(100 * ((1 / heavier if by == "volume" else heavier) - 1), "1") * Q(1, "percent"),
    )


def _mixed(ratio: Quantity, density_a: Quantity | None, density_b: Quantity | None) -> Quantity:
    if density_a is None or density_b is None:
        return Q(np.nan * ratio.magnitude, "g/mL")
    return Q((1 + ratio) / (1 / density_a + ratio / density_b), "g/mL")


def _nominal(q: Quantity) -> float:
    """The middle of the values when they are samples."""
    return float(np.nanmean(np.asarray(q.m_as(""))))


@result
class WeighingError:
    """What the steps of a scale do to the ratio."""

    component_a: Annotated[Quantity, Out("g", "component A", resolution=0.1)]
    component_b: Annotated[Quantity, Out("g", "component B", resolution=0.1)]
    worst: Annotated[Quantity, Out("percent", "worst error of the ratio", resolution=0.01, rounding="up")]
    standard: Annotated[Quantity, Out("percent", "standard error of the ratio", resolution=0.01, rounding="up")]
    least_batch: Annotated[Quantity, Out("g", "smallest batch that this scale can weigh", resolution=1, rounding="up")]
    fine_enough: Annotated[Check, Asks("scale fine enough for one cup", "practice")]


@calculator("practice", "kit")
def weighing_error(
    *,
    division: Annotated[Quantity, In("g", "division of the scale", 0.1, ge=0.001, le=100, everyday=(0.01, 5),
                                     find="the step by which its display moves", basis="data sheet")],
    batch: Annotated[Quantity, In("g", "resin in one cup", 66, ge=0.01, le=100_000, everyday=(10, 5000))],
    ratio: Annotated[Quantity, In("1", "mass of B for one of A", 0.45, ge=0.001, le=10, basis="data sheet")],
    limit: Annotated[Quantity, In("percent", "error of the ratio allowed", 5, ge=0.1, le=20, basis="common practice",
                                  find="data sheet; 2 is careful, 5 is what the trade allows")] = Q(5, "percent"),
) -> WeighingError:
    """Error of the mixing ratio from the steps of the scale, each component read once.

    Each reading is off by half a division d at most: worst (m_B + d/2) /
    (m_A - d/2) / r - 1; as a standard error sqrt(u_A^2 + u_B^2) with u = d/2 /
    sqrt(3) / m.  A scale that drifts or lies is left out: check it with coins.

    >>> small = weighing_error(division=Q(1, "g"), batch=Q(20, "g"), ratio=Q(0.45))
    >>> print(f"{small.worst.m_as('percent'):.1f} %")
    12.1 %
    """
    a = batch / (1 + ratio)
    b = a * ratio
    half = division / 2
    require(half < a, "half a division is as much as component A itself; use a finer scale, such as one of 0.1 g",
            "division", "batch")
    left = Q(np.where((a - half).m_as("g") > 0, (a - half).m_as("g"), np.nan)[()], "g")
    worst = ((b + half) / left / ratio - 1).m_as("") * Q(100, "percent")
    spread = half.m_as("g") / np.sqrt(3) * np.hypot(1 / a.m_as("g"), 1 / b.m_as("g"))
    allowed = limit.m_as("")
    return WeighingError(
        component_a=a.to("g"), component_b=b.to("g"), worst=worst, standard=Q(100 * spread, "percent"),
        least_batch=(half * (1 + ratio) * (1 + (1 + allowed) * ratio) / (ratio * allowed)).to("g"),
        fine_enough=at_most(worst, limit.to("percent"), reason="no standard was found; the limit is the trade's"),
    )
