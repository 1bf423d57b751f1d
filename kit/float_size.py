"""How many round tubes, or how long, for the freeboard that is wanted."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most
from kit.handed import along
from kit.kinds import Asks, Count, In, Out
from kit.quantities import Q, Quantity

__all__ = ["FloatSize", "float_size"]


@result
class FloatSize:
    """Tubes that carry the load at the freeboard wanted."""

    lift: Annotated[Quantity, Out("kg/m", "lift of a tube wholly under water, less its own mass", rounding="down")]
    usable: Annotated[Quantity, Out("kg/m", "lift at the draft allowed, less its own mass", rounding="down")]
    draft_allowed: Annotated[Quantity, Out("mm", "draft that leaves the deck edge as high as wanted", rounding="down")]
    needed: Annotated[Quantity, Out("1", "tubes needed", rounding="up", absent="no number of them is enough")]
    length_needed: Annotated[Quantity, Out(
        "m", "length needed of the tubes there are", rounding="up", absent="no length of them is enough")]
    enough: Annotated[Check, Asks("there are enough tubes", "archimedes", hazard=True)]
    long_enough: Annotated[Check, Asks("the tubes are long enough", "archimedes")]
    fit: Annotated[Check, Asks("the tubes fit under the deck side by side", "kit")]


@calculator("archimedes")
def float_size(
    *,
    load: Annotated[Quantity, In("kg", "mass of everything but the floats, wet through", 436, ge=0, le=1e6)],
    diameter: Annotated[Quantity, In("mm", "outside diameter of a tube", 500, ge=50, le=3000, basis="data sheet")],
    length: Annotated[Quantity, In("m", "length of a tube", 3, ge=0.2, le=50)],
    mass_per_metre: Annotated[Quantity, In(
        "kg/m", "mass of a tube by length, foam included", 24.3, ge=0, le=2000, basis="data sheet")],
    ends: Annotated[Quantity, In("kg", "end caps and bulkheads of one tube", 7.4, ge=0, le=2000)] = Q(0, "kg"),
    axis: Annotated[Quantity, along("z of the tubes' axis", -0.26)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100)],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    wanted: Annotated[Quantity, In("m", "deck edge above water that is wanted, unloaded", 0.4, ge=0, le=5)],
    count: Annotated[int, Count("tubes there are or will be bought", 4, ge=1, le=40)],
) -> FloatSize:
    """Number and length of lengthwise tubes for a load that sits over the middle.

    Usable lift by length is rho A(h) - w, A the segment of the circle up to the
    draft h allowed, w the tube's own mass by length: a tube sunk deeper than its
    middle gains less with every millimetre.  People, list and trim, ballast and a
    flooded tube are left out: whole sets of floats are tried elsewhere.
    """
    radius = (diameter / 2).to("m")
    underside = axis - radius
    allowed = deck_top - wanted - underside
    depth = np.clip(((allowed / radius).m_as("")), 0.0, 2.0) - 1
    segment = Q(np.pi / 2 + np.arcsin(depth) + depth * np.sqrt(1 - depth**2)) * radius**2
    usable = (density * segment - mass_per_metre).to("kg/m")
    lift = (density * np.pi * radius**2 - mass_per_metre).to("kg/m")
    each = (usable * length - ends).to("kg")
    require(np.all(load >= Q(0, "kg")), "the load is negative", "load")
    needed = _when(each, np.ceil(((load / _positive(each)).m_as("")) - 1e-9), "")
    long = _when(usable, ((load / count + ends) / _positive(usable)).m_as("m"), "m")
    width_taken = count * diameter
    return FloatSize(
        lift=lift, usable=usable, draft_allowed=allowed.to("m"), needed=needed, length_needed=long,
        enough=at_least(Q(count * np.ones(np.shape(needed.magnitude))), needed),
        long_enough=at_least(length, long), fit=at_most(width_taken, deck_width, share=False),
    )


def _positive(values: Any) -> Any:
    """The same where positive, one elsewhere, so that nothing is divided by nothing."""
    plain = np.asarray(values.magnitude, dtype=float)
    return Q(np.where(plain > 0, plain, 1.0)[()], f"{values.units:~C}")


def _when(positive: Any, values: Any, unit_text: str) -> Quantity:
    """Values where something lifts, nan where nothing does."""
    return Q(np.where(np.asarray(positive.magnitude) > 0, values, np.nan)[()], unit_text)
