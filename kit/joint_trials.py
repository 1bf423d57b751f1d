"""Finger joints put together many times on paper, with errors drawn at random.

The closed form of `kit.joint_fit` stands beside the count.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_most, does_not_apply
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
    Faces,
    chance,
    faces_of,
    rate_of,
)
from kit.kinds import Asks, Choice, Count, Out
from kit.quantities import Q, Quantity
from kit.timber import Cut, species

__all__ = ["JointTrials", "joint_trials"]

# So many errors are drawn in a second or two.
_MOST_DRAWS = 2e7


@result
class JointTrials:
    """The same joints put together many times on paper."""

    together: Annotated[Quantity, Out("percent", "share of the sets that went together", resolution=0.1)]
    doubt: Annotated[Quantity, Out("percent", "standard error of that share", resolution=0.1, rounding="up")]
    closed_form: Annotated[Quantity, Out("percent", "chance by closed form", resolution=0.1)]
    tight_median: Annotated[Quantity, Out("mm", "gap at the tightest face, middle of the sets", resolution=0.01)]
    tight_bad: Annotated[Quantity, Out("mm", "the same, one set in twenty is tighter", resolution=0.01,
                                       rounding="down")]
    binding: Annotated[Quantity, Out("1", "faces that bind in a set that does not go, on average", resolution=0.1,
                                     absent="every set went together")]
    agrees: Annotated[Check, Asks("trials and closed form agree", "kit")]


@calculator("practice", "scholz-1995")
def joint_trials(
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
    shape: Annotated[Literal["normal", "even"], Choice("how an error lies within its tolerance", "normal")] = "normal",
    sets: Annotated[int, Count("sets to try", 4000, ge=100, le=20_000)] = 4000,
    seed: Annotated[int, Count("number the draws begin from", 1, ge=0, le=999_999)] = 1,
) -> JointTrials:
    """Many sets of finger joints with errors drawn at random, counted.

    Each set draws one error of cutter and film and one for every wall of every
    finger; it goes together when no face is tighter than allowed.  The same
    seed draws the same errors.  An even error fills its tolerance alike, a
    normal one has it as three standard deviations; only for that the closed
    form holds.

    >>> tried = joint_trials(fingers=19, finger=Q(22.1, "mm"), joints=4, clearance=Q(0.05, "mm"), wall=Q(0.02, "mm"))
    >>> print(f"{tried.together.m_as('percent'):.0f} %, closed form {tried.closed_form.m_as('percent'):.0f} %")
    62 %, closed form 63 %
    """
    _not_too_many(joints, fingers, sets)
    grows = rate_of(timber, cut) * apart
    faces = faces_of(fingers, finger, clearance, wall, oversize, oversize_doubt, film, film_doubt, grows, least)
    tight, binding = _tried(faces, round(float(np.mean(joints))), shape, sets, np.random.default_rng(seed))
    went = np.where(np.isnan(tight).any(axis=0), np.nan, (binding == 0).mean(axis=0))
    doubt = Q(100 * np.sqrt(np.maximum(went * (1 - went), 1 / sets) / sets)[()], "percent")
    together, closed = Q(100 * went[()], "percent"), Q(100 * chance(faces, joints)[1], "percent")
    with np.errstate(divide="ignore", invalid="ignore"):
        bind = binding.sum(axis=0) / (binding > 0).sum(axis=0)
    return JointTrials(
        together=together, doubt=doubt, closed_form=closed,
        tight_median=Q(np.quantile(tight, 0.5, axis=0)[()], "mm"),
        tight_bad=Q(np.quantile(tight, 0.05, axis=0)[()], "mm"), binding=Q(bind[()]),
        agrees=_agrees(closed, together, doubt, shape),
    )


def _not_too_many(joints: Any, fingers: Any, sets: int) -> None:
    require(np.all(joints * fingers * sets <= _MOST_DRAWS),
            f"joints, fingers and sets multiply to more than {_MOST_DRAWS:.0f} draws; try fewer sets, such as 4000",
            "sets")


def _tried(faces: Faces, joints: int, shape: str, sets: int, draws: np.random.Generator) -> tuple[Any, Any]:
    """Gap at the tightest face of every set, and how many of its faces bind."""
    samples = np.ndim(faces.means) > 1 or any(np.ndim(sd) for sd in (faces.shared, faces.single, faces.least))
    column = (slice(None), None) if samples else slice(None)
    tight: Any = np.full(sets, np.inf)[column]
    binding: Any = np.zeros(sets)[column]
    shared = faces.shared * _draw(draws, shape, sets)[column]
    for _ in range(joints):
        for mean in np.repeat(faces.means, faces.alike, axis=0):
            gap = mean + shared + faces.single * _draw(draws, shape, sets)[column]
            tight, binding = np.minimum(tight, gap), binding + (gap < faces.least)
    return tight, binding


def _draw(draws: np.random.Generator, shape: str, sets: int) -> Any:
    """Errors of standard deviation one, or even ones that fill the tolerance of three."""
    return draws.standard_normal(sets) if shape == "normal" else draws.uniform(-SIGMAS, SIGMAS, sets)


def _agrees(closed: Quantity, went: Quantity, doubt: Quantity, shape: str) -> Check:
    if shape != "normal":
        return does_not_apply("the closed form is for normal errors")
    return at_most(abs(closed - went), 4 * doubt, share=False, factor="is four standard errors of the count")
