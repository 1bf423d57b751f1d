"""How many round tubes, or how long, for the freeboard that is wanted."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most
from kit.handed import along
from kit.hydro_energy import Load
from kit.hydro_kernel import Boxes, Compartments, Tubes
from kit.hydrostatics import settle
from kit.kinds import Asks, Count, In, Out, Rows, Says, Text
from kit.loading import nominal
from kit.quantities import Q, Quantity

__all__ = ["FloatChoice", "FloatSize", "float_size"]

# Numbers of tubes that are tried, each a whole raft of its own.
_TRIED = (2, 3, 4, 5, 6, 8)
_NO_REST = "it does not come to rest"


@result
class FloatChoice:
    """One number of tubes, tried whole."""

    name: Annotated[str, Text("choice", "4 tubes")]
    mass: Annotated[Quantity, Out("kg", "mass of the tubes", rounding="up")]
    draft: Annotated[Quantity, Out("mm", "draft unloaded", rounding="up", absent=_NO_REST)]
    deck_edge: Annotated[Quantity, Out("mm", "deck edge above water, unloaded", rounding="down", absent=_NO_REST)]
    crowd_tilt: Annotated[Quantity, Out("deg", "tilt, people at a side", rounding="up", absent=_NO_REST)]
    crowd_deck: Annotated[Quantity, Out("mm", "deck edge, people at a side", rounding="down", absent=_NO_REST)]
    gap: Annotated[Quantity, Out("mm", "gap between tubes spread evenly under the deck", rounding="down")]
    says: Annotated[str, Says("what stands against it")]


@result
class FloatSize:
    """Tubes that carry the load at the freeboard wanted."""

    lift: Annotated[Quantity, Out("kg/m", "lift of a tube wholly under water, less its own mass", rounding="down")]
    usable: Annotated[Quantity, Out("kg/m", "lift at the draft allowed, less its own mass", rounding="down")]
    draft_allowed: Annotated[Quantity, Out("mm", "draft that leaves the deck edge as high as wanted", rounding="down")]
    needed: Annotated[Quantity, Out("1", "tubes needed", rounding="up", absent="no number of them is enough")]
    length_needed: Annotated[Quantity, Out(
        "m", "length needed of the tubes there are", rounding="up", absent="no length of them is enough")]
    choices: Annotated[tuple[FloatChoice, ...], Rows("numbers of tubes, each tried whole")]
    enough: Annotated[Check, Asks("there are enough tubes", "archimedes", hazard=True)]
    long_enough: Annotated[Check, Asks("the tubes are long enough", "archimedes")]
    fit: Annotated[Check, Asks("the tubes fit under the deck side by side", "kit")]


@calculator("archimedes")
def float_size(
    *,
    load: Annotated[Quantity, In("kg", "mass of everything but the floats, wet through", 436, ge=0, le=1e6)],
    load_z: Annotated[Quantity, along("z of the centre of that mass", 0.18)],
    diameter: Annotated[Quantity, In("mm", "outside diameter of a tube", 500, ge=50, le=3000, basis="data sheet")],
    length: Annotated[Quantity, In("m", "length of a tube", 3, ge=0.2, le=50)],
    mass_per_metre: Annotated[Quantity, In(
        "kg/m", "mass of a tube by length, foam included", 24.3, ge=0, le=2000, basis="data sheet")],
    ends: Annotated[Quantity, In("kg", "end caps and bulkheads of one tube", 7.4, ge=0, le=2000)] = Q(0, "kg"),
    axis: Annotated[Quantity, along("z of the tubes' axis", -0.26)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100)],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100)],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    wanted: Annotated[Quantity, In("m", "deck edge above water that is wanted, unloaded", 0.4, ge=0, le=5)],
    count: Annotated[int, Count("tubes there are or will be bought", 4, ge=1, le=40)],
    sharing: Annotated[int, Count("people who may share an edge", 3, ge=0, le=200)] = 0,
    person_mass: Annotated[Quantity, In("kg", "mass of one person", 80, ge=20, le=200)] = Q(80, "kg"),
    least: Annotated[Quantity, In("m", "least deck edge with those people at a side", 0.15, ge=0, le=3)] = Q(0.15, "m"),
) -> FloatSize:
    """Number and length of lengthwise tubes for a load that sits over the middle.

    Usable lift by length is rho A(h) - w, A the segment of the circle up to the
    draft h allowed, w the tube's own mass by length: a tube sunk deeper than its
    middle gains less with every millimetre.  Then whole numbers of tubes, spread
    evenly under the deck, are tried with people 0.2 m from a side, at the
    nominal values.  List and trim, ballast and a flooded tube are left out:
    check the raft you choose in full.
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
        choices=_choices(
            load=nominal(load, "kg"), z=nominal(load_z, "m"), radius=nominal(radius, "m"), length=nominal(length, "m"),
            each=nominal(mass_per_metre * length + ends, "kg"), axis=nominal(axis, "m"),
            density=nominal(density, "kg/m^3"), deck_width=nominal(deck_width, "m"),
            deck_top=nominal(deck_top, "m"), deck_length=nominal(deck_length, "m"), wanted=nominal(wanted, "m"),
            people=nominal(sharing * person_mass, "kg"), least=nominal(least, "m")),
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


def _choices(**n: float) -> tuple[FloatChoice, ...]:
    """Every number of tubes, unloaded and with people at a side, in one equilibrium call on plain SI numbers."""
    most, tried = max(_TRIED), np.repeat(_TRIED, 2)
    outer = max(n["deck_width"] / 2 - n["radius"], 0.0)
    y, share = np.zeros((most, tried.size)), np.zeros((most, tried.size))
    for case, count in enumerate(tried):
        y[:count, case], share[:count, case] = np.linspace(-outer, outer, count), 1.0
    bodies = Compartments(
        Tubes(np.ones(most, dtype=bool), np.zeros((most, 1)), y, np.full((most, 1), n["axis"]),
              np.full((most, 1), n["length"]), np.full((most, 1), n["radius"])),
        Boxes(*(np.empty((0, 1)) for _ in range(6))))
    people = np.where(np.arange(tried.size) % 2, n["people"], 0.0)
    own = n["load"] + tried * n["each"]
    mass = np.maximum(own + people, 1e-6)
    height = (n["load"] * n["z"] + tried * n["each"] * n["axis"] + people * (n["deck_top"] + 1.0)) / mass
    side = max(n["deck_width"] / 2 - 0.2, 0.0)
    load = Load(mass, np.zeros(tried.size), people * side / mass, height, share)
    lies = settle(bodies, np.array([n["density"]]), load, tried.size, scan=False)
    edge = np.minimum(
        lies.above_water(n["deck_length"] / 2, n["deck_width"] / 2, n["deck_top"]),
        lies.above_water(n["deck_length"] / 2, -n["deck_width"] / 2, n["deck_top"]))
    tilt, draft = np.degrees(lies.tilt), lies.depth / lies.up_z - (n["axis"] - n["radius"])
    made = []
    for k, count in enumerate(_TRIED):
        gap = (2 * outer / (count - 1) - 2 * n["radius"]) * 1000
        made.append(FloatChoice(
            name=f"{count} tubes", mass=Q(count * n["each"], "kg"), draft=Q(float(draft[2 * k]), "m"),
            deck_edge=Q(float(edge[2 * k]), "m"), crowd_tilt=Q(float(tilt[2 * k + 1]), "deg"),
            crowd_deck=Q(float(edge[2 * k + 1]), "m"), gap=Q(gap, "mm"),
            says=_against(gap, float(edge[2 * k]), float(edge[2 * k + 1]), n["wanted"], n["least"])))
    return tuple(made)


def _against(gap: float, edge: float, crowded: float, wanted: float, least: float) -> str:
    said = []
    if gap < 0:
        said.append("they overlap under this deck")
    if not edge >= wanted:
        said.append("too low unloaded")
    if not crowded >= least:
        said.append("too low with people at a side")
    return "; ".join(said) or "nothing"
