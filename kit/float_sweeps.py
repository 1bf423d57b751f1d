"""Sweeps over the floats: how far apart they are against stiffness and tilt, how thick against freeboard."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result
from kit.float_trial import Aboard, tried
from kit.floats import FloatBody, check_floats
from kit.handed import along
from kit.kinds import Count, In, Out, Rows, Text
from kit.loading import at_means, nominal
from kit.quantities import Q, Quantity

__all__ = ["DiameterTried", "FloatSweeps", "SpacingTried", "float_sweeps"]

_SPREADS = np.linspace(0.6, 1.3, 15)
_SIZES = np.linspace(0.6, 1.3, 15)
_NO_REST = "it does not come to rest"


@result
class SpacingTried:
    """The same floats, nearer together or further apart."""

    name: Annotated[str, Text("spacing", "80 % of what is entered")]
    spacing: Annotated[Quantity, Out("m", "outermost axes apart", resolution=0.01)]
    stiffness: Annotated[Quantity, Out("m", "least GM", resolution=0.01, rounding="down", absent=_NO_REST)]
    tilt: Annotated[Quantity, Out("deg", "tilt, worst crowd", resolution=0.1, rounding="up", absent=_NO_REST)]


@result
class DiameterTried:
    """The same floats, thinner or thicker."""

    name: Annotated[str, Text("size", "80 % of what is entered")]
    diameter: Annotated[Quantity, Out("mm", "diameter or height of the largest", resolution=1)]
    deck_edge: Annotated[Quantity, Out("mm", "deck edge, unloaded", resolution=1, rounding="down", absent=_NO_REST)]
    crowd_deck: Annotated[Quantity, Out(
        "mm", "deck edge, worst crowd", resolution=1, rounding="down", absent=_NO_REST)]


@result
class FloatSweeps:
    """Two sweeps."""

    spacings: Annotated[tuple[SpacingTried, ...], Rows("further apart")]
    diameters: Annotated[tuple[DiameterTried, ...], Rows("thicker")]


@calculator("archimedes")
def float_sweeps(
    *,
    load: Annotated[Quantity, In("kg", "mass of everything but the floats, wet through", 436, ge=0, le=1e6)],
    load_z: Annotated[Quantity, along("z of the centre of that mass", 0.18)],
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100)],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100)],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    people: Annotated[int, Count("people aboard at once", 4, ge=0, le=200)],
    sharing: Annotated[int, Count("people who may share an edge or a corner", 3, ge=0, le=200)],
    person_mass: Annotated[Quantity, In("kg", "mass of one person, dressed and wet", 80, ge=20, le=200)],
) -> FloatSweeps:
    """The floats as entered, moved apart and made thicker, each tried under every crowd.

    Further apart: y of every float grows in proportion, past the deck's edge
    where it must.  Thicker: all sizes of the section, walls with them, so that
    mass by length grows as the square; tops stay where they are, and floats may
    overlap.  The load sits over the middle.  Worked at the means of the samples.
    """
    check_floats(floats)
    person = nominal(person_mass, "kg")
    carried = Aboard(
        nominal(density, "kg/m^3"), (nominal(load, "kg"), 0.0, 0.0, nominal(load_z, "m")),
        (nominal(deck_length, "m"), nominal(deck_width, "m"), nominal(deck_top, "m")),
        float(np.mean(np.minimum(sharing, people))) * person, float(np.mean(people)) * person)
    fixed = at_means(floats)
    return FloatSweeps(
        spacings=tuple(_spread(fixed, carried, float(share)) for share in _SPREADS),
        diameters=tuple(_thicker(fixed, carried, float(share)) for share in _SIZES))


def _spread(floats: Sequence[FloatBody], carried: Aboard, share: float) -> SpacingTried:
    moved = [replace(one, y=share * one.y) for one in floats]
    found = tried(moved, carried, flood=False)
    across = [float(one.y.m_as("m")) for one in moved]
    return SpacingTried(
        name=f"{100 * share:.0f} % of what is entered", spacing=Q(max(across) - min(across), "m"),
        stiffness=Q(found.stiffness, "m"), tilt=Q(found.crowd_tilt, "deg"))


def _thicker(floats: Sequence[FloatBody], carried: Aboard, share: float) -> DiameterTried:
    made = [_scaled(one, share) for one in floats]
    found = tried(made, carried, flood=False)
    largest = max(float(_high(one).m_as("mm")) for one in made)
    return DiameterTried(
        name=f"{100 * share:.0f} % of what is entered", diameter=Q(largest, "mm"), deck_edge=Q(found.edge, "m"),
        crowd_deck=Q(found.crowd_edge, "m"))


def _high(one: FloatBody) -> Quantity:
    high = one.diameter if one.is_round else one.height
    assert high is not None
    return high


def _scaled(one: FloatBody, share: float) -> FloatBody:
    """A float with its section grown, its top where it was."""
    high = one.length if one.direction == "standing" else _high(one)
    grown = high if one.direction == "standing" else share * high
    cells: dict[str, Any] = {"z": one.z + (high - grown) / 2, "wall": share * one.wall, "ends": share**2 * one.ends}
    for name in ("diameter", "width", "height"):
        if getattr(one, name) is not None:
            cells[name] = share * getattr(one, name)
    for name in ("mass_per_metre", "weighed"):
        if getattr(one, name) is not None:
            cells[name] = share**2 * getattr(one, name)
    return replace(one, **cells)
