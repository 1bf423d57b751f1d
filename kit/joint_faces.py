"""The faces of a comb of fingers: the gap each has as intended, and the chance that all of them go.

Shared by the fit of finger joints and by the trials of it, with the
declarations of the inputs that both have.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from kit.calculator import InputError
from kit.kinds import Count, In
from kit.nominal import nominal
from kit.quantities import Q, Quantity
from kit.timber import SPECIES

__all__ = [
    "APART", "CLEARANCE", "FILM", "FILM_DOUBT", "FINGER", "FINGERS", "JOINTS", "LEAST", "OVERSIZE", "OVERSIZE_DOUBT",
    "SIGMAS", "WALL", "Faces", "chance", "faces_of", "normal", "rate_of",
]

# A tolerance is so many standard deviations. Common practice, no source.
SIGMAS = 3.0
# Trapezoids over the error all faces share, out to six standard deviations of a normal distribution.
_SHARED = np.linspace(-6.0, 6.0, 49)
_WEIGHTS = np.exp(-_SHARED**2 / 2) / np.exp(-_SHARED**2 / 2).sum()


def _gap(meaning: str, example: float, *, ge: float = 0, find: str = "") -> In:
    """A length in the fit of a joint."""
    return In("mm", meaning, example, ge=ge, le=5, resolution=0.01, find=find, basis="measured")


FINGERS = Count("fingers and slots together", 19, ge=2, le=199)
JOINTS = Count("joints that must all go together", 4, ge=1, le=100, find="corners of the box")
FINGER = In("mm", "width of one finger", 22.1, ge=1, le=500, resolution=0.01)
APART = In("percent", "moisture of one board less that of the other", 0, ge=-20, le=20, everyday=(-1, 1),
           resolution=0.1, find="moisture meter on both, just before they are put together", basis="measured")
CLEARANCE = _gap("slot less finger as intended, both faces together", 0.10, ge=-0.5,
                 find="0.05 to 0.15 mm for water-based glue")
WALL = _gap("give or take of one wall of a finger or slot", 0.02,
            find="cut five alike and measure them; machine 0.02, hand-guided router 0.1")
OVERSIZE = _gap("width of a test slot less the width intended", 0, ge=-2,
                find="cut one slot in an offcut and measure it; a worn or running-out cutter shows here")
OVERSIZE_DOUBT = _gap("give or take of the width of a slot", 0.02)
FILM = _gap("film of finish or primer on each wall", 0, find="0 when the joint is glued before it is finished")
FILM_DOUBT = _gap("give or take of the film", 0)
LEAST = _gap("least gap at one face with which it still goes together", 0, ge=-1,
             find="0 without force; less than 0 where soft wood may be pressed in")


@dataclass(frozen=True, slots=True)
class Faces:
    """Gap of the faces of a comb in mm: means (kinds of face, ...), and the standard deviations of both kinds of error.

    Faces that close alike are one kind, `alike` of them.
    """

    means: Any
    alike: Any
    shared: Any
    single: Any
    least: Any


def rate_of(timber: str, cut: str) -> Quantity:
    """Movement for each percent of moisture.  Raises InputError where none is tabulated."""
    rate = SPECIES[timber].coefficient(cut)
    if rate is None:
        why = f"no movement of {timber} is known; choose a species whose movement is tabulated, such as white oak"
        raise InputError("", {"timber": why})
    return rate


def faces_of(
    fingers: Any, finger: Quantity, clearance: Quantity, wall: Quantity, oversize: Quantity, oversize_doubt: Quantity,
    film: Quantity, film_doubt: Quantity, grows: Quantity, least: Quantity,
) -> Faces:
    """The faces of the comb, in millimetres; kinds of face stand in the first axis.

    `grows` is by how much one board is longer than the other, as a share; its
    comb is lined up in the middle, so that faces close towards both ends.
    """
    count = round(float(nominal(Q(fingers * 1.0)).magnitude))
    shift = np.asarray((finger * grows).m_as("mm"))
    mean = np.asarray((clearance / 2 + oversize - 2 * film).m_as("mm"))
    number = np.arange(1, count)
    places = (number - count / 2) * np.where(number % 2 == 0, 1.0, -1.0) if np.any(shift != 0) else np.zeros(count - 1)
    closing, alike = np.unique(places, return_counts=True)
    wide = (slice(None), *(None,) * np.ndim(shift + mean))
    single = np.sqrt(2) * wall.m_as("mm") / SIGMAS
    shared = np.hypot(oversize_doubt.m_as("mm"), 2 * film_doubt.m_as("mm")) / SIGMAS
    return Faces(mean + closing[wide] * shift, alike, shared, single, least.m_as("mm"))


def normal(room: Any, sd: Any) -> Any:
    """Chance that a normal error of this deviation stays within the room there is; exact sizes go or do not."""
    from scipy.special import ndtr  # slow to import

    with np.errstate(over="ignore"):  # a spread of next to nothing: goes or does not
        z = np.where(sd > 0, room / np.where(sd > 0, sd, 1.0), np.where(room >= 0, np.inf, -np.inf))
    return ndtr(np.where(np.isnan(room), np.nan, z))[()]


def chance(faces: Faces, joints: Any) -> tuple[Any, Any]:
    """Chance that every face of one joint goes, and of so many joints, over the error that they share."""
    room = faces.means - faces.least
    tight = normal(room.min(axis=0), faces.shared)
    single = np.asarray(faces.single)[..., None]
    shared = np.multiply.outer(np.asarray(faces.shared), _SHARED)
    every = np.ones((*np.broadcast_shapes(np.shape(tight), np.shape(faces.single)), len(_SHARED)))
    for one, times in zip(room, faces.alike, strict=True):
        every = every * normal(np.asarray(one)[..., None] + shared, single) ** times
    # Where walls are exact all faces hang on the one shared error.
    walls = np.asarray(faces.single) > 0
    together = np.asarray(joints)[..., None]
    return (np.where(walls, every @ _WEIGHTS, tight)[()], np.where(walls, every**together @ _WEIGHTS, tight)[()])
