"""What one wood screw between two pieces carries, sideways and pulled, by the rules chosen for the build.

Both families are worked out side by side with all their modes and factors; the
one that was chosen gives the design value.  "Handbook only" gives an average
load at failure and no design value.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Annotated, Any, Literal, NamedTuple

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply, not_covered
from kit.fasteners import Rules, rule_family
from kit.kinds import Asks, Choice, In, Out, Says, YesNo
from kit.quantities import Q, Quantity
from kit.sources import read_table
from kit.timber import SPECIES, species
from kit.withdrawal import AVERAGE, european_withdrawal, handbook_withdrawal, reference_withdrawal
from kit.yield_limits import (
    EUROPEAN_MODES,
    FACTS,
    NORTH_AMERICAN_MODES,
    bending_yield,
    dowel_bearing,
    governing,
    johansen_modes,
    least,
    yield_modes,
)

__all__ = ["Duration", "ScrewStrength", "WetOrDry", "duration_factors", "screw_strength"]

Duration = Literal["permanent", "ten years", "two months", "a week or less", "wind or impact"]
WetOrDry = Literal["dry", "wet"]
_NO_DESIGN = "handbook only: an average load at failure is no strength to design with"


@result
class ScrewStrength:
    """Strength of one wood screw, with its working."""

    penetration: Annotated[Quantity, Out("mm", "how far the point goes into the lower piece", rounding="down")]
    thread_held: Annotated[Quantity, Out("mm", "thread in the lower piece", rounding="down")]
    mode_im: Annotated[Quantity, Out("N", "North American mode Im")]
    mode_is: Annotated[Quantity, Out("N", "North American mode Is")]
    mode_ii: Annotated[Quantity, Out("N", "North American mode II")]
    mode_iiim: Annotated[Quantity, Out("N", "North American mode IIIm")]
    mode_iiis: Annotated[Quantity, Out("N", "North American mode IIIs")]
    mode_iv: Annotated[Quantity, Out("N", "North American mode IV")]
    reference_lateral: Annotated[Quantity, Out("N", "North American reference lateral value")]
    reference_withdrawal: Annotated[Quantity, Out("N", "North American reference withdrawal value")]
    duration_factor: Annotated[Quantity, Out("1", "North American load duration factor")]
    wet_factor_lateral: Annotated[Quantity, Out("1", "North American wet service factor, lateral")]
    wet_factor_withdrawal: Annotated[Quantity, Out("1", "North American wet service factor, withdrawal")]
    mode_a: Annotated[Quantity, Out("N", "European mode a")]
    mode_b: Annotated[Quantity, Out("N", "European mode b")]
    mode_c: Annotated[Quantity, Out("N", "European mode c, rope effect included")]
    mode_d: Annotated[Quantity, Out("N", "European mode d, rope effect included")]
    mode_e: Annotated[Quantity, Out("N", "European mode e, rope effect included")]
    mode_f: Annotated[Quantity, Out("N", "European mode f, rope effect included")]
    characteristic_lateral: Annotated[Quantity, Out("N", "European characteristic lateral value")]
    characteristic_withdrawal: Annotated[Quantity, Out("N", "European characteristic withdrawal value",
                                                       absent="not covered: enter the declared value")]
    modification: Annotated[Quantity, Out("1", "European modification factor")]
    average_withdrawal: Annotated[Quantity, Out("N", "handbook's average withdrawal at failure, never to be allowed")]
    lateral: Annotated[Quantity, Out("N", "lateral load one screw may be given", rounding="down",
                                     absent="no design value by the handbook only")]
    withdrawal: Annotated[Quantity, Out("N", "pulling load one screw may be given", rounding="down",
                                        absent="no design value: not covered by the rules chosen")]
    governed_by: Annotated[str, Says("which lateral mode governs")]
    goes_in: Annotated[Check, Asks("the point goes in far enough", "build-rules")]
    holds_sideways: Annotated[Check, Asks("one screw carries its lateral load", "build-rules")]
    holds_pull: Annotated[Check, Asks("one screw carries its pulling load", "build-rules")]
    holds_both: Annotated[Check, Asks("one screw carries both at once", "build-rules")]
    notes: tuple[str, ...] = ()


class _Family(NamedTuple):
    modes: Mapping[str, Quantity]
    lateral: Quantity
    withdrawal: Quantity
    factors: tuple[Quantity, ...]


@calculator("NDS-2018", "EN1995-1-1", "FPL-GTR-190")
def screw_strength(
    *,
    rules: Annotated[Rules, rule_family()],
    side_timber: Annotated[str, species("species under the head", "western larch")],
    main_timber: Annotated[str, species("species at the point")],
    side_density: Annotated[Quantity, In("kg/m^3", "characteristic density under the head", 350, ge=150, le=1200,
                                         find="stamped class: C16 310, C24 350", basis="handbook")],
    main_density: Annotated[Quantity, In("kg/m^3", "characteristic density at the point", 350, ge=150, le=1200,
                                         find="stamped class: C16 310, C24 350", basis="handbook")],
    side_thickness: Annotated[Quantity, In("mm", "thickness of the piece under the head", 28, ge=5, le=200,
                                           resolution=0.5, find="calipers", basis="measured")],
    length: Annotated[Quantity, In("mm", "length of the screw", 60, ge=10, le=400, everyday=(30, 200), resolution=1,
                                   find="the box", basis="data sheet")],
    thread: Annotated[Quantity, In("mm", "threaded length with the tip", 36, ge=5, le=400, resolution=1,
                                   find="rule", basis="data sheet")],
    diameter: Annotated[Quantity, In("mm", "nominal diameter, outside of the thread", 5, ge=2, le=14, everyday=(3, 10),
                                     resolution=0.1, find="the box, or calipers", basis="data sheet")],
    root: Annotated[Quantity, In("mm", "diameter at the root of the thread", 3.2, ge=1.2, le=12, resolution=0.05,
                                 find="calipers between the threads; about two thirds of the nominal",
                                 basis="data sheet")],
    tensile: Annotated[Quantity, In("MPa", "tensile strength of the screw steel", 500, ge=200, le=1500,
                                    everyday=(350, 1000), find="stainless A2 or A4: 500 to 700", basis="data sheet")],
    pre_drilled: Annotated[bool, YesNo("holes are drilled first", True)],
    smooth_shank: Annotated[bool, YesNo("a smooth shank as thick as the thread reaches 4 diameters into the lower "
                                        "piece")] = False,
    angle: Annotated[Quantity, In("deg", "largest angle between load and grain", 90, ge=0, le=90)] = Q(90, "deg"),
    duration: Annotated[Duration, Choice("how long the load lasts", "a week or less")] = "a week or less",
    made: Annotated[WetOrDry, Choice("the wood when the screws go in", "dry", find="wet: above 19 %")] = "dry",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
    lateral_load: Annotated[Quantity | None, In("N", "lateral load on one screw", 300, ge=0, le=1e5)] = None,
    pulling_load: Annotated[Quantity | None, In("N", "pulling load on one screw", 200, ge=0, le=1e5)] = None,
    declared: Annotated[Quantity | None, In("MPa", "withdrawal parameter declared for the screw at 350 kg/m^3", 12,
                                            ge=1, le=50, find="the screw's declaration of performance",
                                            basis="data sheet")] = None,
) -> ScrewStrength:
    """Lateral and withdrawal strength of one wood screw in side grain, single shear, both families of rules.

    North American: least of six yield modes on the root diameter, times load
    duration and wet service; bending yield by the nominal diameter.  European:
    least of six expressions with d = 1.1 root, M = 0.3 f d^2.6 and the rope
    effect, times kmod/1.3.  Several screws in a row, breaking of the screw and
    pulling the head through are left out.

    >>> one = screw_strength(rules="European", side_timber="western larch", main_timber="Douglas-fir (coast)",
    ...     side_density=Q(350, "kg/m^3"), main_density=Q(350, "kg/m^3"), side_thickness=Q(28, "mm"),
    ...     length=Q(60, "mm"), thread=Q(36, "mm"), diameter=Q(5, "mm"), root=Q(3.2, "mm"), tensile=Q(500, "MPa"),
    ...     pre_drilled=True)
    >>> print(f"{one.lateral:.0f~P}, {one.governed_by}")
    544 N, mode f: the fastener bends in both pieces
    """
    penetration = Q(length - side_thickness, "mm")
    require(penetration > Q(0, "mm"), "the screw does not reach the lower piece; write 60 mm for a board of 28 mm",
            "length", "side_thickness")
    require(root < diameter, "the root must be thinner than the screw, such as 3.2 mm for a screw of 5 mm",
            "root", "diameter")
    held = Q(np.minimum(thread.m_as("mm"), penetration.m), "mm")
    kinds = SPECIES[side_timber], SPECIES[main_timber]
    american = _north_american(kinds, side_thickness, penetration, held, diameter, root, angle,
                               (duration, made, service))
    european = _european((side_thickness, side_density), (penetration, main_density), held, diameter, root, tensile,
                         pre_drilled, smooth_shank, angle, declared, duration, service)
    lateral, withdrawal, governed = _chosen(rules, american, european)
    deep = at_least(penetration, 6 * diameter, share=False, reason="6 diameters")
    shallow = None if np.any(deep.met) else not_covered("the point goes in less than 6 diameters")
    sideways, pulled = (Q(np.where(deep.met, value.m, np.nan)[()], "N") for value in (lateral, withdrawal))
    im, i_s, ii, iiim, iiis, iv = american.modes.values()
    a, b, c, d, e, f = european.modes.values()
    return ScrewStrength(
        penetration=penetration, thread_held=held, mode_im=im, mode_is=i_s, mode_ii=ii, mode_iiim=iiim, mode_iiis=iiis,
        mode_iv=iv, reference_lateral=american.lateral, reference_withdrawal=american.withdrawal,
        duration_factor=american.factors[0], wet_factor_lateral=american.factors[1],
        wet_factor_withdrawal=american.factors[2], mode_a=a, mode_b=b, mode_c=c, mode_d=d, mode_e=e, mode_f=f,
        characteristic_lateral=european.lateral, characteristic_withdrawal=european.withdrawal,
        modification=european.factors[0], average_withdrawal=handbook_withdrawal(
            "wood screw", diameter, held, kinds[1].gravity, False),
        lateral=lateral, withdrawal=withdrawal, governed_by=governed,
        goes_in=deep,
        holds_sideways=shallow or _held(rules, sideways, lateral_load, "no lateral load was entered"),
        holds_pull=shallow or _held(rules, pulled, pulling_load, "no pulling load was entered"),
        holds_both=shallow or _both(rules, sideways, pulled, lateral_load, pulling_load),
        notes=_remarks(rules, made, service),
    )


def _north_american(
    kinds: Any, side: Quantity, penetration: Quantity, held: Quantity, diameter: Quantity, root: Quantity,
    angle: Quantity, conditions: tuple[str, str, str],
) -> _Family:
    """Reference values and factors; half of a tip two diameters long does not bear, and something always does."""
    bearing = [dowel_bearing(kind.assigned_gravity, diameter, angle) for kind in kinds]
    modes = yield_modes(root, diameter, angle, side=(side, bearing[0]), bending=bending_yield(diameter),
                        main=(Q(np.maximum((penetration - root).m_as("mm"), 0.1), "mm"), bearing[1]))
    duration, made, service = conditions
    thin = np.asarray(diameter.m_as("in")) < 0.25
    wet_lateral = 0.7 if service == "wet" else np.where(thin, 0.7, 0.4)[()] if made == "wet" else 1.0
    factors = (duration_factors(duration, service)[0], wet_lateral, 0.7 if service == "wet" else 1.0)
    pulled, _ = reference_withdrawal("wood screw", diameter, held, kinds[1].assigned_gravity, False)
    return _Family(modes, least(modes), pulled, tuple(Q(factor) for factor in factors))


def _european(
    side: tuple[Quantity, Quantity], main: tuple[Quantity, Quantity], held: Quantity, diameter: Quantity,
    root: Quantity, tensile: Quantity, pre_drilled: bool, smooth: bool, angle: Quantity, declared: Quantity | None,
    duration: str, service: str,
) -> _Family:
    """Characteristic values; without a covered withdrawal value there is no rope effect."""
    effective = diameter if smooth else Q(1.1 * root, "mm")
    (t1, rho1), (t2, rho2) = side, main
    fh1, fh2 = (_embedment(rho, effective, pre_drilled, angle) for rho in (rho1, rho2))
    # The published fit takes N/mm^2 and mm and gives N mm.
    moment = Q(FACTS["yield_moment"].value * tensile.m_as("MPa") * effective.m_as("mm") ** 2.6, "N*mm")
    _, pulled = european_withdrawal("wood screw", diameter, held, rho2, Q(90, "deg"), declared, False)
    rope = Q(np.nan_to_num(pulled.m), "N")
    modes, _ = johansen_modes(effective, side=(t1, fh1), main=(t2, fh2), moment=moment, axial=rope,
                              share=Q(100, "percent"))
    return _Family(modes, least(modes), pulled, (Q(duration_factors(duration, service)[1]),))


def _embedment(density: Quantity, effective: Quantity, pre_drilled: bool, angle: Quantity) -> Quantity:
    """Embedment strength in MPa from kg/m^3 and mm; above 6 mm as for bolts, which hang on the angle to the grain."""
    rho, d, turn = density.m_as("kg/m^3"), effective.m_as("mm"), angle.m_as("rad")
    along = FACTS["embedment"].value * rho * (1 - 0.01 * d)
    thin = along if pre_drilled else FACTS["embedment"].value * rho * d**-0.3
    across = (1.35 + 0.015 * d) * np.sin(turn) ** 2 + np.cos(turn) ** 2
    return Q(np.where(d <= 6, thin, along / across)[()], "MPa")


def duration_factors(duration: str, service: str) -> tuple[float, float]:
    """North American load duration factor and European modification factor of solid timber."""
    line = _duration(duration)
    return float(line["north_american"]), float(line["kmod_wet" if service == "wet" else "kmod_dry"])


@lru_cache(maxsize=8)
def _duration(name: str) -> Mapping[str, str]:
    return next(line for line in read_table("load_duration") if line["duration"] == name)


def _chosen(rules: str, american: _Family, european: _Family) -> tuple[Quantity, Quantity, str]:
    """Design values by the rules chosen, and the governing mode in words."""
    if rules == "North American":
        duration, wet, wet_pull = american.factors
        return (Q(american.lateral * duration * wet, "N"), Q(american.withdrawal * duration * wet_pull, "N"),
                governing(american.modes, NORTH_AMERICAN_MODES))
    if rules == "European":
        share = european.factors[0] / FACTS["material_factor"].q
        return (Q(european.lateral * share, "N"), Q(european.withdrawal * share, "N"),
                governing(european.modes, EUROPEAN_MODES))
    return Q(european.lateral * np.nan, "N"), Q(european.lateral * np.nan, "N"), "no design value by the handbook only"


def _held(rules: str, strength: Quantity, load: Quantity | None, without: str) -> Check:
    if rules == "handbook only":
        return not_covered(_NO_DESIGN)
    if load is None:
        return does_not_apply(without)
    if not np.isfinite(strength.m).any():
        return not_covered("these rules do not reach this screw: enter the withdrawal parameter declared for it")
    return at_most(load, strength, factor="design value")


def _both(rules: str, lateral: Quantity, withdrawal: Quantity, sideways: Any, pull: Any) -> Check:
    """European: squares of the two shares add up to 1 at most. North American: the oblique load by its angle."""
    if rules == "handbook only":
        return not_covered(_NO_DESIGN)
    if sideways is None or pull is None:
        return does_not_apply("one of the two loads was not entered")
    if not np.isfinite(withdrawal.m).any():
        return not_covered("these rules do not reach this screw when it is pulled")
    shares = (sideways / lateral).m_as(""), (pull / withdrawal).m_as("")
    if rules == "European":
        return at_most(Q(np.hypot(*shares)), Q(1), reason="root of the sum of the squared shares")
    along, across = sideways.m_as("N"), pull.m_as("N")
    load = np.hypot(along, across)
    with np.errstate(divide="ignore", invalid="ignore"):
        used = np.where(load > 0, (along * shares[0] + across * shares[1]) / load, 0.0)
    return at_most(Q(used[()]), Q(1), reason="oblique load")


def _remarks(rules: str, made: str, service: str) -> tuple[str, ...]:
    said = {
        "North American": ("the wet service factors are from memory, not yet read in NDS-2018 Table 11.3.3",)
        if "wet" in (made, service) else (),
        "European": ("the constants for embedment and withdrawal are from memory, not yet read in EN 1995-1-1",),
        "handbook only": (AVERAGE,),
    }
    return said[rules]
