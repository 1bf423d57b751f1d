"""The suction side of a pump: whether it draws, whether it primes, and whether its strainer is safe to swim near."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply, open_check
from kit.kinds import Asks, Choice, In, Out, Says
from kit.liquid_water import (
    GRAVITY,
    Altitude,
    Density,
    LowWeather,
    air_pressure,
    thickness_of,
    vapour_pressure,
    warmth,
)
from kit.outlet_rows import DeckAbove
from kit.pipe_flow import Bore, Roughness, flow_input, si
from kit.pipe_kernel import Line
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["Priming", "Suction", "suction"]

Priming = Literal["by itself", "filled by hand, foot valve", "stands under water"]


@result
class Suction:
    """What presses water into a pump, and what that has to cover."""

    lift: Annotated[Quantity, Out("m", "pump above the water (under it is minus)", resolution=0.01, rounding="up")]
    air: Annotated[Quantity, Out("kPa", "pressure of the air, low weather", resolution=0.1, rounding="down")]
    vapour: Annotated[Quantity, Out("kPa", "pressure at which the water boils", resolution=0.1, rounding="up")]
    presses: Annotated[Quantity, Out("m", "head of water that air can hold up, less vapour", resolution=0.1,
                                     rounding="down")]
    lost: Annotated[Quantity, Out("m", "head lost ahead of the pump", resolution=0.01, rounding="up")]
    available: Annotated[Quantity, Out("m", "head left at the pump (NPSH available)", resolution=0.1, rounding="down")]
    inlet: Annotated[Quantity, Out("kPa", "pressure in the pipe at the pump, against the air outside", resolution=0.1)]
    highest: Annotated[Quantity, Out("m", "highest place of the pump above the water", resolution=0.1, rounding="down")]
    primes_to: Annotated[Quantity, Out("m", "height above the water that it primes itself to", resolution=0.1,
                                       rounding="down", absent="it does not have to prime itself")]
    priming_time: Annotated[Quantity, Out("s", "time until the water reaches the pump", resolution=1, rounding="up",
                                          absent="not asked for, or it never does")]
    face_speed: Annotated[Quantity, Out("m/s", "speed through the openings of the strainer", resolution=0.01,
                                        rounding="up", absent="open area not known")]
    covered: Annotated[Quantity, Out("mm", "water over the strainer when the raft leans", rounding="down")]
    goes: Annotated[str, Says("what takes most of the head that air can hold up")]
    draws: Annotated[Check, Asks("the pump runs full of water, without boiling it (NPSH)", "npsh")]
    primes: Annotated[Check, Asks("the pump can prime itself to this height", "practice")]
    gentle: Annotated[Check, Asks("strainer draws too gently to hold hair or a hand", "EN-13451-3", hazard=True)]
    under: Annotated[Check, Asks("strainer stays under water when the raft leans", "practice")]


@calculator("npsh", "us-atmosphere", "wmo-cimo", "iapws-01mpa", "colebrook", "EN-13451-3")
def suction(
    *,
    deck: DeckAbove = Q(0, "m"),
    pump_height: Annotated[Quantity, In("m", "pump's inlet above the deck (below is minus)", 0.13, out_by="20 mm",
                                        ge=-20, le=20,
                                        resolution=0.01, basis="measured", find="rule from the deck to its inlet")],
    length: Annotated[Quantity, In("m", "pipe from the strainer to the pump", 0.9, out_by="50 mm",
                                   ge=0, le=200, resolution=0.01,
                                   basis="measured", find="string along its real way")],
    bore: Bore,
    loss: Annotated[Quantity, In("1", "loss coefficient ahead of the pump, strainer left out", 2, ge=0, le=10_000,
                                 find="its entry, elbows and check valve from the table of fittings")] = Q(2),
    strainer: Annotated[Quantity, In("1", "loss coefficient of the clean strainer", 2, ge=0, le=10_000)] = Q(2),
    stopped: Annotated[Quantity, In("percent", "share of the strainer taken to be stopped up by weed", 50, chosen=True,
                                    ge=0, le=95,
                                    basis="common practice")] = Q(50, "percent"),
    flow: Annotated[Quantity, flow_input("greatest flow through the pump", 11)],
    temperature: Annotated[Quantity, warmth("warmest water it has to draw", 20)] = Q(25, "degC"),
    altitude: Altitude = Q(0, "m"),
    low_weather: LowWeather = Q(3, "percent"),
    needs: Annotated[Quantity, In(
        "m", "head that the pump itself needs (NPSH required)", 3, ge=0, le=15, resolution=0.1, basis="data sheet",
        find="its sheet; if it is silent, 10 m less the greatest suction lift it claims for a filled pipe")]
    = Q(3, "m"),
    margin: Annotated[Quantity, In("m", "to spare above that", 0.5, chosen=True, ge=0, le=5, resolution=0.1,
                                   basis="common practice")] = Q(0.5, "m"),
    priming: Annotated[Priming, Choice("how it gets its first water", "by itself")] = "by itself",
    dry_lift: Annotated[Quantity, In(
        "m", "height it primes itself to, dry, at sea level", 1.5, ge=0, le=9, resolution=0.1, basis="data sheet",
        find="'self-priming to' on the label; far less than its filled lift")] = Q(1, "m"),
    air_rate: Annotated[Quantity | None, In("L/min", "air it moves while it is dry", 3, ge=0.01, le=1000)] = None,
    open_area: Annotated[Quantity | None, In(
        "cm^2", "area of all openings of the strainer", 20, ge=0.1, le=10_000, resolution=0.1, basis="measured",
        find="count the holes of one square and multiply; mesh is about half open")] = None,
    fastest: Annotated[Quantity, In("m/s", "fastest water through the strainer's openings", 0.5, chosen=True,
                                    ge=0.05, le=2,
                                    resolution=0.01, basis="handbook")] = Q(0.5, "m/s"),
    strainer_depth: Annotated[Quantity, In("m", "strainer below the water, nobody aboard", 0.3, out_by="20 mm",
                                           ge=0, le=50,
                                           resolution=0.01, basis="measured", find="rule along its pipe")],
    strainer_out: Annotated[Quantity, In("m", "strainer away from the middle of the deck, level", 0.6, out_by="20 mm",
                                         ge=0, le=50,
                                         resolution=0.01, basis="measured")] = Q(0, "m"),
    lean: Annotated[Quantity, In("deg", "how far the raft leans with people at its edge", 6.6, ge=0, le=45,
                                 resolution=0.1)] = Q(0, "deg"),
    cover: Annotated[Quantity, In("mm", "water wanted over the strainer", 100, chosen=True, ge=0, le=5000,
                                  basis="common practice")] = Q(100, "mm"),
    roughness: Roughness = Q(1.5, "um"),
    density: Density = Q(999.7, "kg/m^3"),
) -> Suction:
    """Head left at a pump's inlet, the height it primes to, and the pull of its strainer.

    NPSH = (p_air - p_vapour)/(rho g) - lift - losses, the strainer partly
    stopped up; it must be more than the pump needs.  A pump primes itself less
    high where the air is thin.  Dissolved air comes out long before water boils.
    The strainer rises by its distance from the middle times tan(lean); that a
    crowd also sinks the raft is left out, on the safe side.

    >>> found = suction(deck=Q(0.49, "m"), pump_height=Q(0.13, "m"), length=Q(0.9, "m"), bore=Q(13, "mm"),
    ...                 flow=Q(11, "L/min"), altitude=Q(320, "m"), strainer_depth=Q(0.3, "m"))
    >>> print(f"{found.available:.1f~P} left; the pump may stand {found.highest:.1f~P} above the water")
    7.6 m left; the pump may stand 4.7 m above the water
    """
    weight = density * GRAVITY
    lift = deck + pump_height
    air, vapour = air_pressure(altitude, low_weather), vapour_pressure(temperature)
    presses = ((air - vapour) / weight).to("m")
    lost = _lost(length, bore, loss + strainer / (1 - stopped.m_as("")) ** 2, roughness, flow,
                 thickness_of(temperature, density))
    available = presses - lift - lost
    need = needs + margin
    reach = (dry_lift * air / air_pressure(Q(0, "m"))).to("m")
    face = Q(np.nan * flow.magnitude, "m/s") if open_area is None else (
        flow / (open_area * (1 - stopped.m_as("")))).to("m/s")
    goes = max(takes := _takes(lift, lost, vapour, air, weight), key=lambda name: nominal(takes[name]))
    covered = (strainer_depth - strainer_out * np.tan(lean.m_as("rad"))).to("mm")
    by_itself = reach if priming == "by itself" else Q(np.nan * reach.magnitude, "m")
    return Suction(
        lift=lift, primes_to=by_itself, air=air.to("kPa"), vapour=vapour.to("kPa"), presses=presses, lost=lost,
        available=available, inlet=(-weight * (lift + lost)).to("kPa"), highest=presses - lost - need,
        priming_time=_priming_time(lift, length, bore, air, weight, air_rate), face_speed=face, covered=covered,
        goes=goes, draws=_draws(available, need, goes),
        primes=_primes(priming, lift, reach),
        gentle=open_check("the open area of the strainer is not known: measure it") if open_area is None else at_most(
            face, fastest, reason="borrowed from swimming pools; part of the strainer stopped up"),
        under=at_least(covered, cover),
    )


def _lost(
    length: Quantity, bore: Quantity, loss: Quantity, roughness: Quantity, flow: Quantity, nu: Quantity
) -> Quantity:
    line = Line(si(length, "m"), si(bore, "m"), si(loss, "1"), si(roughness, "m"), si(nu, "m^2/s"))
    along, fittings, _ = line.parts(si(flow, "m^3/s"))
    return Q((along + fittings)[()], "m")


# What to do about each thing that takes most of the head.
_CURES = {
    "the lift": "set the pump lower",
    "friction and the strainer": "use a wider suction pipe and a larger strainer",
    "the vapour of warm water": "draw cooler water from deeper down",
    "thin air at this height": "set the pump under water",
}


def _takes(lift: Quantity, lost: Quantity, vapour: Quantity, air: Quantity, weight: Quantity) -> dict[str, Quantity]:
    """What each takes of the ten metres that the air holds up at sea level."""
    thin = air_pressure(Q(0, "m")) - air
    return dict(zip(_CURES, (lift, lost, (vapour / weight).to("m"), (thin / weight).to("m")), strict=True))


def _draws(available: Quantity, need: Quantity, goes: str) -> Check:
    cure = "" if nominal(available) >= nominal(need) else f": {_CURES[goes]}"
    return at_least(available, need, factor="limit includes a margin",
                    reason=f"of what the air presses most goes into {goes}{cure}")


def _primes(priming: Priming, lift: Quantity, reach: Quantity) -> Check:
    if priming == "stands under water":
        return at_most(lift, Q(0, "m"), share=False, reason="a pump that is said to stand under water must do so")
    if priming == "filled by hand, foot valve":
        return does_not_apply("it is filled by hand and its foot valve keeps the water")
    return at_most(lift, reach, reason="the height on the label holds at sea level; thin air lowers it")


def _priming_time(
    lift: Quantity, length: Quantity, bore: Quantity, air: Quantity, weight: Quantity, rate: Quantity | None
) -> Quantity:
    """Time to draw the air out of the suction pipe: V/S ln(p / (p - rho g h)), the pipe full of air to the end."""
    if rate is None:
        return Q(np.nan * lift.magnitude, "s")
    height = Q(np.maximum(lift.m_as("m"), 0.0)[()], "m")
    left = 1 - (weight * height / air).m_as("")
    with np.errstate(divide="ignore", invalid="ignore"):
        turns = Q(np.where(left > 0, -np.log(np.maximum(left, 1e-300)), np.nan)[()])
    time: Quantity = (length * np.pi / 4 * bore**2 / rate * turns).to("s")
    return time
