"""The inclining test: how high the centre of gravity is, from a mass moved across and a pendulum."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import numpy as np

from kit.calculator import applies, calculator, result, row
from kit.checks import Check, at_most, open_check
from kit.floats import columns
from kit.handed import along
from kit.kinds import Asks, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["Inclined", "Shift", "inclining"]

_NOT_YET = "not inclined yet"


@row
class Shift:
    """One reading: a mass moved across, and how far the pendulum went."""

    name: Annotated[str, Text("reading", "1 to the right")]
    mass: Annotated[Quantity, In("kg", "mass that is moved", 80, ge=0.01, le=1e7, basis="measured",
                                 find="a person who stands still, or cans of water")]
    moved: Annotated[Quantity, In("m", "how far across", 1.0, ge=0.001, le=100, resolution=0.01, basis="measured")]
    swing: Annotated[Quantity, In("mm", "how far the pendulum went the same way", 37, ge=0.01, le=50_000,
                                  resolution=0.5, basis="measured", find="let it hang in a bucket of water")]


@result
class Inclined:
    """Metacentric height and the height of the centre of gravity."""

    stiffness: Annotated[Quantity, Out("m", "metacentric height across (GM)", resolution=0.01, rounding="down",
                                       absent=_NOT_YET)]
    doubt: Annotated[Quantity, Out("m", "give or take of that, two standard errors", resolution=0.01, rounding="up",
                                   absent=_NOT_YET)]
    z: Annotated[Quantity, Out("m", "z of the centre of gravity", resolution=0.01, absent=_NOT_YET)]
    higher: Annotated[Quantity, Out("m", "higher than predicted", resolution=0.01, absent=_NOT_YET)]
    tilt: Annotated[Quantity, Out("deg", "greatest tilt of the test", absent=_NOT_YET)]
    says: Annotated[str, Says("what was found")]
    agrees: Annotated[Check, Asks("centre of gravity is no higher than predicted, within the test's doubt", "kit")]


@calculator("archimedes", "practice")
def inclining(
    *,
    shifts: Annotated[Sequence[Shift], Rows("readings, some to each side", most=40)] = (),
    pendulum: Annotated[Quantity, In("m", "length of the pendulum", 1.5, ge=0.1, le=50, resolution=0.01,
                                     basis="measured", find="pin to scale; the longer the better")] = Q(1.5, "m"),
    reading_doubt: Annotated[Quantity, In("mm", "give or take of a swing", 2, chosen=True,
                                          ge=0.05, le=200, resolution=0.5)] = Q(
        2, "mm"),
    mass: Annotated[Quantity, In("kg", "whole mass afloat, the moved mass with it", 783, ge=1, le=1e8)],
    predicted_z: Annotated[Quantity, along("z of the centre of gravity predicted", -0.02)],
    predicted_stiffness: Annotated[Quantity, In("m", "metacentric height across predicted", 3.1, ge=-10, le=500)],
    within: Annotated[Quantity, In("m", "height above the prediction that passes", 0.1, ge=0, le=20, resolution=0.01,
                                   chosen=True)] = Q(0.1, "m"),
) -> Inclined:
    """Metacentric height and height of the centre of gravity from masses moved across.

    GM = w d/(m tan f), tan f the pendulum's swing over its length, fitted over
    all readings by least squares through nothing; the centre is at the predicted
    metacentre, predicted z + GM, less GM.  Wind, moorings that hold it, water
    that runs across and more than about 4 degrees of tilt spoil it.

    >>> test = inclining(shifts=[Shift(name="one", mass=Q(80, "kg"), moved=Q(1, "m"), swing=Q(50, "mm"))],
    ...     pendulum=Q(1.5, "m"), mass=Q(783, "kg"), predicted_z=Q(-0.02, "m"), predicted_stiffness=Q(3.0, "m"))
    >>> print(f"GM {test.stiffness:.2f~P} give or take {test.doubt:.2f~P}")
    GM 3.07 m give or take 0.14 m
    """
    if not shifts:
        nothing = Q(np.nan, "m")
        return Inclined(stiffness=nothing, doubt=nothing, z=nothing, higher=nothing, tilt=Q(np.nan, "deg"),
                        says=_NOT_YET, agrees=open_check("no reading was entered"))
    weights, ways, swings = columns(shifts, mass="kg", moved="m", swing="m")
    moments, long = (weights * ways).m_as("kg*m"), np.asarray(pendulum.m_as("m"), dtype=float)
    tangents = swings.m
    if long.ndim and tangents.ndim == 1:
        # Readings without samples beside a pendulum with them: readings stay on the first axis.
        moments, tangents = moments[:, None], tangents[:, None]
    tangents = tangents / long
    squares = (moments**2).sum(axis=0)
    rate = (tangents * moments).sum(axis=0) / squares
    by_reading = np.asarray(reading_doubt.m_as("m")) / long / np.sqrt(squares) / np.sqrt(3)
    count = len(shifts)
    by_scatter = np.sqrt(((tangents - rate * moments) ** 2).sum(axis=0) / max(count - 1, 1) / squares)
    error = np.maximum(by_reading, by_scatter) if count > 1 else by_reading
    height = 1 / (rate * np.asarray(mass.m_as("kg")))
    tilt = Q(np.degrees(np.arctan(tangents)).max(axis=0)[()], "deg")
    applies(tilt <= Q(4, "deg"), "tilted more than 4 degrees: the rule for small angles no longer holds")
    stiff, doubt = Q(height, "m"), Q(2 * height * error / rate, "m")
    higher = predicted_stiffness - stiff
    return Inclined(
        stiffness=stiff, doubt=doubt, z=predicted_z + higher, higher=higher, tilt=tilt,
        says="higher than predicted: less stiff" if np.mean(higher.m) > 0 else "lower than predicted: stiffer",
        agrees=at_most(higher - doubt, within, share=False),
    )

