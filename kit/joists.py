"""Is a joist strong and stiff enough for what it bears: bending, shear, bearing and sag by the rules of the build."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_most, does_not_apply, not_covered, open_check
from kit.fasteners import Rules, rule_family
from kit.grades import NO_DESIGN, Grade, design, foreign, grade_choice, rolled, strength_input
from kit.kinds import Asks, Choice, In, Out, Says, YesNo
from kit.quantities import Q, Quantity
from kit.screw_strength import Duration, WetOrDry

__all__ = ["JoistStrength", "joist_strength"]

_NONE = "no design value by the handbook only"


def _force(meaning: str, unit: str, example: float, le: float) -> In:
    return In(unit, meaning, example, ge=0, le=le, find="what it bears, worked out beside this", basis="estimate")


@result
class JoistStrength:
    """Stresses and sag of a joist beside what they may be."""

    bending_stress: Annotated[Quantity, Out("MPa", "bending stress, load factors included")]
    bending_allowed: Annotated[Quantity, Out("MPa", "bending strength to design with", absent=_NONE)]
    shear_stress: Annotated[Quantity, Out("MPa", "shear stress, load factors included")]
    shear_allowed: Annotated[Quantity, Out("MPa", "shear strength to design with", absent=_NONE)]
    bearing_stress: Annotated[Quantity, Out("MPa", "pressure on the busiest support, load factors included")]
    bearing_allowed: Annotated[Quantity, Out("MPa", "bearing strength to design with", absent=_NONE)]
    least_seat: Annotated[Quantity, Out("mm", "least length of joist that must rest there", resolution=1,
                                        rounding="up", absent=_NONE)]
    sag: Annotated[Quantity, Out("mm", "sag between supports under a crowd or one person", resolution=0.1,
                                 rounding="up")]
    sag_lasting: Annotated[Quantity, Out("mm", "sag with dead load after years", resolution=0.1, rounding="up")]
    tip: Annotated[Quantity, Out("mm", "how far the overhang goes down under them", resolution=0.1, rounding="up")]
    tip_lasting: Annotated[Quantity, Out("mm", "the same with dead load after years", resolution=0.1, rounding="up")]
    size_factor: Annotated[Quantity, Out("1", "factor for the size of the stick")]
    duration_factor: Annotated[Quantity, Out("1", "factor for duration of load, and by European rules for damp")]
    governed_by: Annotated[str, Says("which strength is used most")]
    bends: Annotated[Check, Asks("joists carry a crowd or a person", "build-rules", hazard=True)]
    shears: Annotated[Check, Asks("joists are not sheared beside a support", "build-rules")]
    bears: Annotated[Check, Asks("joists are not crushed on their supports", "build-rules")]
    held: Annotated[Check, Asks("joists are held down where a load lifts them off", "practice")]
    stiff: Annotated[Check, Asks("joists do not give too much under people", "AWC-DCA6")]
    stiff_lasting: Annotated[Check, Asks("joists do not sag too much with the years", "practice")]
    stiff_tip: Annotated[Check, Asks("overhang does not give too much under people", "AWC-DCA6")]
    notes: tuple[str, ...] = ()


@calculator("EN1995-1-1", "NDS-2018", "AWC-DCA6")
def joist_strength(
    *,
    rules: Annotated[Rules, rule_family()],
    grade: Annotated[Grade | None, grade_choice()] = None,
    bending: Annotated[Quantity, strength_input("bending strength of the grade", 24, 80)],
    shear: Annotated[Quantity, strength_input("shear strength of the grade", 4, 15)],
    across: Annotated[Quantity, strength_input("bearing strength across the grain", 2.5, 20)],
    elasticity: Annotated[Quantity, In("MPa", "mean modulus of elasticity of the grade", 11_000, ge=3000, le=25_000,
                                       basis="data sheet", find="strength class table")],
    thickness: Annotated[Quantity, In("mm", "thickness of the joist", 45, ge=15, le=300, everyday=(35, 100),
                                      resolution=0.5, find="calipers", basis="measured")],
    depth: Annotated[Quantity, In("mm", "depth of the joist", 120, ge=30, le=600, everyday=(70, 300), resolution=1,
                                  find="rule", basis="measured")],
    seat: Annotated[Quantity, In("mm", "length of joist that rests on one support", 90, ge=5, le=1000,
                                 everyday=(35, 200), resolution=1, find="width of the saddle or bearer",
                                 basis="measured")] = Q(38, "mm"),
    shared: Annotated[bool, YesNo("at least three alike side by side under boards that spread the load", True)] = False,
    incised: Annotated[bool, YesNo("cut full of slits for treatment, as North American yards sell it")] = False,
    duration: Annotated[Duration, Choice("how long the load lasts", "a week or less")] = "a week or less",
    service: Annotated[WetOrDry, Choice("the wood in service", "wet", find="a deck that is rained on: wet")] = "wet",
    sagging: Annotated[Quantity, _force("greatest moment between supports", "N*m", 250, 1e7)],
    hogging: Annotated[Quantity, _force("greatest moment over a support", "N*m", 567, 1e7)],
    force: Annotated[Quantity, _force("greatest shear", "N", 2300, 1e7)],
    reaction: Annotated[Quantity, _force("greatest load on one support", "N", 3700, 1e7)],
    uplift: Annotated[Quantity, _force("greatest pull off a support", "N", 1540, 1e7)] = Q(0, "N"),
    strap: Annotated[Quantity | None, In("N", "pull that the strap or screws at one support hold", 3000, ge=0, le=1e6,
                                         find="data sheet of the strap, and its screws by the screw page",
                                         basis="data sheet")] = None,
    longest: Annotated[Quantity, In("mm", "longest span", 650, ge=1, le=30_000, resolution=1)],
    overhang: Annotated[Quantity, In("mm", "longer overhang", 250, ge=0, le=30_000, resolution=1)],
    bow: Annotated[Quantity, _force("sag between supports, times stiffness", "N*m^3", 4.4, 1e9)],
    bow_lasting: Annotated[Quantity, _force("sag with the years, times stiffness", "N*m^3", 4.6, 1e9)],
    dip: Annotated[Quantity, _force("dip of the overhang, times stiffness", "N*m^3", 22, 1e9)],
    dip_lasting: Annotated[Quantity, _force("dip with the years, times stiffness", "N*m^3", 22.5, 1e9)],
    share_of_span: Annotated[Quantity, In("1", "span over the sag allowed under people", 360, ge=100, le=1000)]
    = Q(360, "1"),
    share_lasting: Annotated[Quantity, In("1", "span over the sag allowed with the years", 240, ge=50, le=1000)]
    = Q(240, "1"),
    share_of_overhang: Annotated[Quantity, In("1", "overhang over the dip allowed under people", 180, ge=50, le=1000)]
    = Q(180, "1"),
) -> JoistStrength:
    """Stress and sag of a rectangular joist on edge, beside the strength and the shares of span allowed.

    Bending M / (b h^2 / 6), shear 1.5 V / (b h), bearing R / (b seat), sag from
    E b h^3 / 12.  European: strengths by kmod / 1.3, bending by (150 mm / h)^0.2
    and 1.1 when shared, shear by 0.67 for cracks.  North American: reference
    values by size, duration, wet service, incising and 1.15 when shared.
    Bearing is taken without the help of wood beside the seat.  Boards screwed
    down hold the upper edge; a deep joist on its own tips over and is not
    covered.

    >>> crossing = joist_strength(rules="European", bending=Q(24, "MPa"), shear=Q(4, "MPa"), across=Q(2.5, "MPa"),
    ...     elasticity=Q(11, "GPa"), thickness=Q(45, "mm"), depth=Q(120, "mm"), seat=Q(90, "mm"),
    ...     sagging=Q(250, "N*m"), hogging=Q(567, "N*m"), force=Q(2297, "N"), reaction=Q(3656, "N"),
    ...     longest=Q(650, "mm"), overhang=Q(250, "mm"), bow=Q(4.4, "N*m^3"), bow_lasting=Q(4.6, "N*m^3"),
    ...     dip=Q(22.2, "N*m^3"), dip_lasting=Q(22.6, "N*m^3"))
    >>> print(f"{crossing.bending_stress:.2f~P} of {crossing.bending_allowed:.1f~P}, {crossing.governed_by}")
    5.25 MPa of 13.5 MPa, bearing
    """
    allowed = design(rules, bending=bending, shear=shear, across=across, elasticity=elasticity, depth=depth,
                     duration=duration, service=service, shared=shared, incised=incised, sized=rolled(grade))
    moment = Q(np.maximum(sagging.m_as("N*m"), hogging.m_as("N*m"))[()], "N*m")
    stresses = (Q(moment / (thickness * depth**2 / 6), "MPa"), Q(1.5 * force / (thickness * depth), "MPa"),
                Q(reaction / (thickness * seat), "MPa"))
    stiff = Q(allowed.elasticity * thickness * depth**3 / 12, "N*m^2")
    sags = [Q(one / stiff, "mm") for one in (bow, bow_lasting, dip, dip_lasting)]
    undesigned = NO_DESIGN if rules == "handbook only" else foreign(grade, rules)
    checks = _strong(undesigned, rules, stresses, allowed[:3])
    whole = np.any(overhang.m > 0)
    return JoistStrength(
        bending_stress=stresses[0], bending_allowed=allowed.bending, shear_stress=stresses[1],
        shear_allowed=allowed.shear, bearing_stress=stresses[2], bearing_allowed=allowed.across,
        least_seat=Q(reaction / (thickness * allowed.across), "mm"), sag=sags[0], sag_lasting=sags[1], tip=sags[2],
        tip_lasting=sags[3], size_factor=Q(allowed.size + 0 * depth.m, "1"),
        duration_factor=Q(allowed.duration, "1"), governed_by=_governing(undesigned, checks),
        bends=checks[0], shears=checks[1], bears=checks[2], held=_held(uplift, strap),
        stiff=at_most(sags[0], Q(longest / share_of_span, "mm")),
        stiff_lasting=at_most(sags[1], Q(longest / share_lasting, "mm")),
        stiff_tip=at_most(sags[2], Q(overhang / share_of_overhang, "mm")) if whole
        else does_not_apply("it has no overhang"),
        notes=_remarks(rules, thickness, depth),
    )


def _strong(undesigned: str | None, rules: str, stresses: Any, strengths: Any) -> tuple[Check, ...]:
    if undesigned is not None:
        return (not_covered(undesigned),) * 3
    factor = "loads 1.35 and 1.5, material 1.3" if rules == "European" else "allowable"
    return tuple(at_most(stress, strength, factor=factor) for stress, strength in zip(stresses, strengths, strict=True))


def _held(uplift: Quantity, strap: Quantity | None) -> Check:
    """Straps are asked for only where something lifts; without their strength nothing can be said."""
    if not np.any(uplift.m > 0):
        return does_not_apply("nothing lifts it off a support")
    return open_check("enter what the strap at one support holds") if strap is None else at_most(uplift, strap)


def _governing(undesigned: str | None, checks: tuple[Check, ...]) -> str:
    """The strength that is used most, by the mean when sampled."""
    if undesigned is not None:
        return "no strength: " + undesigned
    used = {name: float(np.nanmean(np.where(np.isfinite(check.share), check.share, 0.0)))
            for name, check in zip(("bending", "shear", "bearing"), checks, strict=True)}
    return max(used, key=lambda name: used[name])


def _remarks(rules: str, thickness: Quantity, depth: Quantity) -> tuple[str, ...]:
    said = {
        "European": ("size and crack factors and the creep of wet wood are from memory, not yet read in EN 1995-1-1",),
        "North American": ("size, wet service and creep factors are from memory, not yet read in NDS-2018",),
        "handbook only": (),
    }[rules]
    slender = float(np.nanmean(np.asarray((depth / thickness).m_as(""))))
    tips = ("it is more than four times as deep as thick: noggings or blocking must keep it upright",)
    return said + (tips if slender > 4 else ())
