"""A mooring that several tests share: four legs at 45 degrees, their gear, and calls with one thing changed."""

from __future__ import annotations

from typing import Any

from kit.as_floated import AsFloated, as_floated
from kit.moored import Moored, MooringLeg, moored
from kit.mooring_legs import LegAtRest, LegInStorm, leg_at_rest, leg_in_storm
from kit.quantities import Q
from kit.weather_afloat import Windage
from kit.wind_load import Underwater, WeatherLoad, weather_load
from tests.raft_cases import DECK, WATER, floats

BEARINGS = (45, 135, 225, 315)


def legs(bearings: Any = BEARINGS, longer: Any = None) -> tuple[MooringLeg, ...]:
    """Legs by their bearings in degrees."""
    more = longer or [0] * len(bearings)
    return tuple(
        MooringLeg(name=f"leg {b}", x=Q(0, "m"), y=Q(0, "m"), bearing=Q(b, "deg"), longer=Q(extra, "m"))
        for b, extra in zip(bearings, more, strict=True)
    )


def caught(area: Any, drag: Any = 1.2, name: str = "body") -> list[Windage]:
    """One thing that the wind catches."""
    return [Windage(name=name, area=Q(area, "m^2"), drag=Q(drag), z=Q(0.3, "m"))]


def below(side: Any, end: Any, side_drag: Any = 1.2, end_drag: Any = 1.0) -> list[Underwater]:
    """One thing under water."""
    return [
        Underwater(name="hull", side=Q(side, "m^2"), end=Q(end, "m^2"), side_drag=Q(side_drag), end_drag=Q(end_drag))
    ]


def pushed(**changed: Any) -> WeatherLoad:
    """The load on a raft of 3.0 by 2.2 m."""
    given: dict[str, Any] = {
        "gust": Q(25, "m/s"),
        "sides": caught(2),
        "ends": caught(1.4),
        "density": Q(1000, "kg/m^3"),
        "draft": Q(0.17, "m"),
        "depth": Q(3.2, "m"),
        "fetch": Q(250, "m"),
        "waves": Q(0.2, "m"),
        "deck_length": Q(3, "m"),
        "deck_width": Q(2.2, "m"),
    }
    return weather_load(**{**given, **changed})


def at_rest(**changed: Any) -> LegAtRest:
    """A leg of 20 m of rope and 3 m of chain."""
    given: dict[str, Any] = {
        "depth": Q(3.5, "m"),
        "falls": Q(0.3, "m"),
        "rises": Q(0.6, "m"),
        "flood": Q(0.5, "m"),
        "fairlead": Q(0.49, "m"),
        "legs": legs(),
        "rope": Q(20, "m"),
        "chain": Q(3, "m"),
        "rope_mass": Q(0.092, "kg/m"),
        "chain_mass": Q(1.4, "kg/m"),
        "breaking": Q(27, "kN"),
        "stretch": Q(8, "percent"),
        "preload": Q(145, "N"),
        "working": Q(3.8, "kN"),
        "carries": Q(400, "kg"),
        "density": Q(999.7, "kg/m^3"),
    }
    return leg_at_rest(**{**given, **changed})


def in_storm(**changed: Any) -> LegInStorm:
    """The same leg under the pull of a storm."""
    given: dict[str, Any] = {
        "pull": Q(1057, "N"),
        "high_height": Q(4.59, "m"),
        "low_height": Q(3.69, "m"),
        "rope": Q(20, "m"),
        "chain": Q(3, "m"),
        "rope_weight": Q(0.11, "N/m"),
        "chain_weight": Q(12, "N/m"),
        "stiffness": Q(67.5, "kN"),
    }
    return leg_in_storm(**{**given, **changed})


def held(**changed: Any) -> Moored:
    """A raft on four legs."""
    given: dict[str, Any] = {
        "legs": legs(),
        "distance": Q(22.67, "m"),
        "length": Q(23, "m"),
        "rope": Q(20, "m"),
        "stiffness": Q(67.5, "kN"),
        "high_height": Q(4.59, "m"),
        "low_height": Q(3.69, "m"),
        "pull_high": Q(450, "N"),
        "wind_side": Q(910, "N"),
        "wind_end": Q(650, "N"),
        "wave_side": Q(147, "N"),
        "wave_end": Q(108, "N"),
        "current_side": Q(0, "N"),
        "current_end": Q(0, "N"),
        "worst": Q(1057, "N"),
    }
    return moored(**{**given, **changed})


def seen(nr: Any, nl: Any, other_right: Any, other_left: Any, **changed: Any) -> AsFloated:
    """Freeboards in mm of the floats of Tarn Locker, back to mass and centre."""
    given: dict[str, Any] = {
        "named_right": Q(nr, "mm"),
        "named_left": Q(nl, "mm"),
        "other_right": Q(other_right, "mm"),
        "other_left": Q(other_left, "mm"),
        "floats": floats(),
        "density": WATER,
        "z": Q(-0.02, "m"),
        "predicted": Q(703.6, "kg"),
        "predicted_x": Q(0, "m"),
        "predicted_y": Q(0, "m"),
        **DECK,
    }
    return as_floated(**{**given, **changed})
