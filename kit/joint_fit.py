"""Whether a set of finger joints goes together: worst case, root of squares, and the chance by closed form.

Each face of a finger has half the clearance.  Errors that all faces share (the
cutter's real width, a film) move them together; errors of single walls do not;
boards of unequal moisture have combs of unequal length, which closes every
second face towards both ends.  Tolerances are taken as three standard deviations.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most
from kit.joint_faces import (
    APART,
    CLEARANCE,
    FILM,
    FILM_DOUBT,
    FINGER,
    FINGERS,
    JOINTS,
    LEAST,
    OVERSIZE,
    OVERSIZE_DOUBT,
    SIGMAS,
    WALL,
    chance,
    faces_of,
    normal,
    rate_of,
)
from kit.kinds import Asks, Choice, In, Out, Says
from kit.nominal import nominal
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.timber import SPECIES, Cut, species

__all__ = ["JointFit", "joint_fit"]

_USUAL = read_facts("joints")


@result
class JointFit:
    """The fit of a set of finger joints."""

    face: Annotated[Quantity, Out("mm", "gap at a face as intended, cutter and film counted", resolution=0.01)]
    tightest: Annotated[Quantity, Out("mm", "the same at the tightest face", resolution=0.01, rounding="down")]
    worst: Annotated[Quantity, Out("mm", "tightest face, every error at its worst", resolution=0.01, rounding="down")]
    by_squares: Annotated[Quantity, Out(
        "mm", "tightest face, errors by root of squares", resolution=0.01, rounding="down")]
    loosest: Annotated[Quantity, Out(
        "mm", "thickest glue line, errors by root of squares", resolution=0.01, rounding="up")]
    comb: Annotated[Quantity, Out("mm", "difference in length of the two combs from their moisture", resolution=0.01)]
    chance_face: Annotated[Quantity, Out("percent", "chance that the tightest face goes", rounding="down",
                                         resolution=0.1)]
    chance_joint: Annotated[Quantity, Out("percent", "chance that one joint goes together", rounding="down",
                                          resolution=0.1)]
    chance_set: Annotated[Quantity, Out("percent", "chance that all joints go together", rounding="down",
                                        resolution=0.1)]
    take_off: Annotated[Quantity, Out("mm", "to take off each face so that they go, by root of squares",
                                      resolution=0.01, rounding="up")]
    advice: Annotated[str, Says("what to do")]
    goes_together: Annotated[Check, Asks("all finger joints go together", "kit")]
    glue_line: Annotated[Check, Asks("glue line of the finger joints thin enough", "wengert-gap")]
    notes: tuple[str, ...] = ()


@calculator("practice", "scholz-1995", "FPL-GTR-190", "wengert-gap")
def joint_fit(
    *,
    fingers: Annotated[int, FINGERS],
    finger: Annotated[Quantity, FINGER],
    joints: Annotated[int, JOINTS] = 1,
    clearance: Annotated[Quantity, CLEARANCE],
    wall: Annotated[Quantity, WALL],
    oversize: Annotated[Quantity, OVERSIZE] = Q(0, "mm"),
    oversize_doubt: Annotated[Quantity, OVERSIZE_DOUBT] = Q(0.02, "mm"),
    film: Annotated[Quantity, FILM] = Q(0, "mm"),
    film_doubt: Annotated[Quantity, FILM_DOUBT] = Q(0, "mm"),
    timber: Annotated[str, species("species of the boards", "western redcedar")] = "western redcedar",
    cut: Annotated[Cut, Choice("how the boards were sawn", "flat-sawn")] = "flat-sawn",
    apart: Annotated[Quantity, APART] = Q(0, "percent"),
    least: Annotated[Quantity, LEAST] = Q(0, "mm"),
    thickest: Annotated[Quantity, In("mm", "thickest glue line that still holds well", 0.15, ge=0.01, le=5,
                                     resolution=0.01, find="label; filled epoxy bridges more", basis="data sheet")]
    = _USUAL["glue-line"].q,
    wanted: Annotated[Quantity, In("percent", "chance wanted", 95, ge=1, le=99.99, basis="estimate")]
    = Q(95, "percent"),
) -> JointFit:
    """Gap at the faces of finger joints, and the chance that a whole set goes together without force.

    face = clearance/2 + oversize - 2 film; a cutter that cuts wide opens both
    walls of a face.  Boards apart by m percent in moisture close a face at x
    from the middle by C m x.  Worst case adds tolerances, root of squares adds
    their squares.  chance = E[product over faces Phi((mean + s - least)/single)]
    over the error s that all faces share.  Lined up in the middle; crushing,
    bow and wedging by the glue are left out.

    >>> fit = joint_fit(fingers=19, finger=Q(22.1, "mm"), joints=4, clearance=Q(0.10, "mm"), wall=Q(0.02, "mm"))
    >>> print(f"worst {fit.worst:.3f~P}, by squares {fit.by_squares:.3f~P}, {fit.chance_set.m_as('percent'):.1f} %")
    worst -0.010 mm, by squares 0.015 mm, 99.9 %
    """
    rate = rate_of(timber, cut)
    faces = faces_of(fingers, finger, clearance, wall, oversize, oversize_doubt, film, film_doubt, rate * apart, least)
    tightest, widest = Q(faces.means.min(axis=0)[()], "mm"), Q(faces.means.max(axis=0)[()], "mm")
    sd = np.sqrt(faces.shared**2 + faces.single**2)
    by_squares, loosest = tightest - Q(SIGMAS * sd, "mm"), widest + Q(SIGMAS * sd, "mm")
    take_off = Q(np.maximum((least - by_squares).m_as("mm"), 0), "mm")
    one_joint, every_joint = chance(faces, joints)
    chance_set = Q(100 * every_joint, "percent")
    return JointFit(
        face=(clearance / 2 + oversize - 2 * film).to("mm"), tightest=tightest,
        worst=tightest - oversize_doubt - 2 * film_doubt - 2 * wall, by_squares=by_squares, loosest=loosest,
        comb=(fingers * finger * rate * apart).to("mm"),
        chance_face=Q(100 * normal((tightest - least).m_as("mm"), sd), "percent"),
        chance_joint=Q(100 * one_joint, "percent"), chance_set=chance_set, take_off=take_off,
        advice=_advice(take_off, chance_set, wanted),
        goes_together=at_least(chance_set, wanted, share=False),
        glue_line=at_most(loosest, thickest),
        notes=SPECIES[timber].remembered("movement_radial", "movement_tangential"),
    )


def _advice(take_off: Quantity, found: Quantity, wanted: Quantity) -> str:
    """In words, from the middle of the values when they are samples."""
    off, usual = nominal(take_off), _USUAL["taken-off"].q
    if nominal(found) >= nominal(wanted):
        return "They should go together by hand; try one corner dry before the glue is opened."
    if off.magnitude <= 0:
        return "Some corner may stick: try all of them dry, and ease the faces that bind."
    said = f"Take about {max(off.m_as('mm'), 0.01):.2f} mm off each face, then try again."
    if off > usual:
        return f"{said} That is more than joints are eased by: cut them again."
    return (f"{said} Shops that find machined joints too tight take about 1/16 in (common practice, no source); "
            "so wide a gap wants a filled glue.")
