"""Heat of curing resin: how hot it could get, and how deep two textbook bounds would let it be poured.

Nothing here approves a pour.  The speed of curing comes from one published
resin that is not yours; the same resin read two ways differs threefold in the
depth it allows.  A test cup of the same depth, with a thermometer in it, is
worth more than this page.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Annotated, Any

import numpy as np

from kit.calculator import applies, calculator, result
from kit.checks import Check, at_most, between, open_check
from kit.kinds import Asks, Count, In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import read_facts

__all__ = ["PourHeat", "cure_rate", "pour_heat"]

_FACTS = read_facts("resin")
_ESTIMATE = ("an estimate from the curing speed of another resin, never an approval: within the conservative bound or "
             "not, do a cup test of the same depth")


@result
class PourHeat:
    """How hot a pour could get, and the depths two bounds allow."""

    rise: Annotated[Quantity, Out("delta_degC", "rise if no heat escapes", resolution=1, rounding="up")]
    ceiling: Annotated[Quantity, Out("degC", "temperature if no heat escapes", resolution=1, rounding="up")]
    rate: Annotated[Quantity, Out("1/h", "greatest speed of curing at the temperature of the pour, share an hour")]
    activation: Annotated[Quantity, Out("kJ", "activation energy at that speed, for one mole")]
    slab_bound: Annotated[Quantity, Out(
        "mm", "depth by conduction through the resin", resolution=0.1, rounding="down")]
    film_bound: Annotated[Quantity, Out(
        "mm", "depth by heat leaving the surface", resolution=0.1, rounding="down")]
    bound: Annotated[Quantity, Out("mm", "the lesser of the two depths: an estimate", resolution=0.1, rounding="down")]
    layer: Annotated[Quantity, Out("mm", "depth of the layer poured", resolution=0.1, rounding="up")]
    biot: Annotated[Quantity, Out("1", "surface transfer times depth over conductivity", resolution=0.01)]
    advice: Annotated[str, Says("what to make of it")]
    within: Annotated[Check, Asks("pour depth within the conservative bound (an estimate, no approval)",
                                  "frank-kamenetskii", hazard=True)]
    warmth: Annotated[Check, Asks("components warmed before mixing", "UFC-3-250-06")]
    cup_test: Annotated[Check, Asks("peak in the test cup", "UFC-3-250-06", hazard=True)]
    notes: tuple[str, ...] = ()


@calculator("kinetics-2015", "frank-kamenetskii", "semenov", "UFC-3-250-06")
def pour_heat(
    *,
    depth: Annotated[Quantity, In("mm", "depth of the pour", 4, ge=0.05, le=500, resolution=0.1, basis="measured")],
    temperature: Annotated[Quantity, In(
        "degC", "temperature of components, wood and room at the pour", 20, ge=0, le=50, everyday=(15, 35),
        find="thermometer in the bottle and on the wood; take the warmest of the day", basis="measured")],
    layers: Annotated[int, Count("layers it is poured in", 1, ge=1, le=1000)] = 1,
    density: Annotated[Quantity, In(
        "g/mL", "density of the cured resin", 1.15, ge=0.7, le=3, find="weigh a cured lump and its volume of water",
        basis="data sheet")] = Q(1.15, "g/mL"),
    heat: Annotated[Quantity, In(
        "J/g", "heat of reaction of the mix", 446, ge=50, le=800, everyday=(300, 550), basis="handbook",
        find="data sheet, seldom printed")] = _FACTS["heat"].q,
    specific_heat: Annotated[Quantity, In(
        "kJ/kg/delta_degC", "specific heat", 1.7, ge=0.5, le=4, basis="handbook")] = _FACTS["specific-heat"].q,
    conductivity: Annotated[Quantity, In(
        "W/m/delta_degC", "thermal conductivity", 0.2, ge=0.05, le=3, basis="handbook")] = _FACTS["conductivity"].q,
    surface: Annotated[Quantity, In(
        "W/m^2/delta_degC", "heat transfer at the surface, in still air about 10", 10, ge=1, le=100,
        basis="handbook")] = _FACTS["surface"].q,
    underside: Annotated[Quantity, In(
        "W/m^2/delta_degC", "heat transfer through the wood below; 0 counts on none", 3.75, ge=0, le=100,
        find="1/(thickness/0.12 + 0.1) for wood, thickness in m: 3.75 through 20 mm")] = Q(0, "W/m^2/delta_degC"),
    speed: Annotated[Quantity, In(
        "1", "speed of your resin against the one behind this estimate", 1, ge=0.01, le=20,
        find="leave at 1 until a test cup has been measured")] = Q(1),
    cup_peak: Annotated[Quantity | None, In(
        "degC", "peak temperature in a test cup of the same depth", 35, ge=0, le=400, basis="measured",
        find="a can about as wide as the recess is deep or wider, thermometer in the middle")] = None,
) -> PourHeat:
    """Adiabatic ceiling and two conservative depth bounds of a curing layer.

    Ceiling T + H/c.  With r the greatest isothermal speed and E its activation
    energy: slab a^2 = 0.878 k R T^2 / (E rho H r), one face held and the other
    insulated, and film L = (h + U) R T^2 / (e E rho H r), one temperature
    throughout.  The lesser is the bound.  Use-up of the resin, which helps, and
    the sides of the recess, which may, are left out.

    >>> small = pour_heat(depth=Q(4, "mm"), temperature=Q(20, "degC"))
    >>> print(f"{small.bound:.1f~P}, ceiling {small.ceiling.m_as('degC'):.0f} degC")
    5.2 mm, ceiling 282 degC
    """
    kelvin = temperature.to("K")
    per_second, joule = cure_rate(kelvin.magnitude)
    rate, activation = Q(per_second, "1/s") * speed, Q(joule, "J")
    # Temperature step that multiplies the speed by e, over the heat made in a volume.
    step = (_FACTS["gas-constant"].q * kelvin**2 / activation) / (density * heat * rate)
    slab = Q(np.sqrt((_FACTS["slab"].q * conductivity * step).m_as("mm^2")), "mm")
    film = ((surface + underside) * step / math.e).to("mm")
    bound = Q(np.minimum(slab.magnitude, film.magnitude), "mm")
    layer = (depth / layers).to("mm")
    biot = (surface * bound / conductivity).to("")
    applies(biot <= Q(0.1), "the depth by the surface was made for Biot numbers below 0.1: a cross-check, not a proof")
    rise = Q(heat / specific_heat, "delta_degC")
    return PourHeat(
        rise=rise, ceiling=Q(temperature.m_as("degC") + rise.magnitude, "degC"),
        rate=rate.to("1/h"), activation=activation.to("kJ"),
        slab_bound=slab, film_bound=film, bound=bound, layer=layer, biot=biot, advice=_advice(layer, bound),
        within=at_most(layer, bound, reason=_ESTIMATE),
        warmth=_warmth(temperature), cup_test=_cup_test(cup_peak),
        notes=_remembered(specific_heat, conductivity),
    )


def _remembered(specific_heat: Quantity, conductivity: Quantity) -> tuple[str, ...]:
    """A note for every value in use that was not read in its source."""
    used = {"specific-heat": specific_heat, "conductivity": conductivity}
    return tuple(
        f"the {_FACTS[key].meaning} ({_FACTS[key].value:g} {_FACTS[key].unit.replace('delta_', '')}) is from memory"
        for key, value in used.items() if np.all(value.m_as(_FACTS[key].q.units) == _FACTS[key].value)
    )


def cure_rate(kelvin: Any) -> tuple[Any, Any]:
    """Greatest isothermal speed of curing in 1/s, and its activation energy in J for one mole, at SI temperatures.

    d(alpha)/dt = (k1 + k2 alpha^m)(1 - alpha)^n, k = A exp(-E/RT), is greatest
    where m k2 alpha^(m-1) (1 - alpha) = n (k1 + k2 alpha^m); the left less the
    right falls throughout, so that halving finds it.  One published infusion
    resin: it serves to test this estimate, not to design with.
    """
    a1, e1, a2, e2, m, n, gas = (_FACTS[key].value for key in ("A1", "E1", "A2", "E2", "m", "n", "gas-constant"))
    k1, k2 = a1 * np.exp(-e1 / (gas * kelvin)), a2 * np.exp(-e2 / (gas * kelvin))
    low, high = 1e-9 + 0 * kelvin, 1 - 1e-9 + 0 * kelvin
    for _ in range(50):
        middle = (low + high) / 2
        rising = m * k2 * middle ** (m - 1) * (1 - middle) > n * (k1 + k2 * middle**m)
        low, high = np.where(rising, middle, low), np.where(rising, high, middle)
    cured = ((low + high) / 2)[()]
    second = k2 * cured**m
    return (k1 + second) * (1 - cured) ** n, (k1 * e1 + second * e2) / (k1 + second)


def _warmth(temperature: Quantity) -> Check:
    """A share of a temperature means nothing, so none is given."""
    held = between(temperature.to("degC"), _FACTS["coolest"].q.to("degC"), _FACTS["warmest"].q.to("degC"))
    return replace(held, share=np.nan)


def _cup_test(peak: Quantity | None) -> Check:
    if peak is None:
        return open_check("no test cup of the same depth has been measured yet")
    return at_most(peak.to("degC"), _FACTS["hottest"].q.to("degC"), share=False,
                   reason="the rule was written for epoxy with stone in it")


def _advice(layer: Quantity, bound: Quantity) -> str:
    """In words, from the middle of the values when they are samples."""
    test = "do a cup test of the same depth, and leave a warm cup alone."
    if float(np.nanmean(layer.magnitude)) <= float(np.nanmean(bound.magnitude)):
        return f"Within the conservative bound; {test}"
    return f"Deeper than the conservative bound: pour thinner layers, or {test}"
