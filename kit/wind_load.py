"""Wind, waves and current on a moored raft, from every direction."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import applies, calculator, require, result, row
from kit.checks import Check, at_least, does_not_apply
from kit.floats import columns
from kit.kinds import Asks, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.weather_afloat import Windage

__all__ = ["HEADINGS", "Underwater", "WeatherLoad", "by_direction", "from_where", "weather_load"]

# Directions that weather comes from, clockwise from the named end, seen from above.
HEADINGS = np.arange(0.0, 360.0, 5.0)
_FACTS = read_facts("mooring")
_GRAVITY = Q(9.80665, "m/s^2")
# What a slanting wind adds: a cube edge-on is pushed by 0.80 sqrt(2)/1.05 of its push face-on.
_SLANT = 2 * (_FACTS["edge-on"].value * np.sqrt(2) / _FACTS["face-on"].value - 1)


@row
class Underwater:
    """One thing below water that a current pushes on."""

    name: Annotated[str, Text("what the current pushes on", "floats below water")]
    side: Annotated[Quantity, In("m^2", "area seen from the side", 2.04, ge=0, le=5000,
                                 find="length times draft, each float for itself")]
    side_drag: Annotated[Quantity, In("1", "drag coefficient from the side", 1.2, ge=0.05, le=3,
                                      find="round tube or box across the flow 1.2")] = Q(1.2)
    end: Annotated[Quantity, In("m^2", "area seen from the end", 0.23, ge=0, le=5000,
                                find="immersed part of each float's end")]
    end_drag: Annotated[Quantity, In("1", "drag coefficient from the end", 1.0, ge=0.05, le=3,
                                     find="tube end-on 0.85 to 1.0")] = Q(1.0)


@result
class WeatherLoad:
    """What pushes on the raft, from every direction."""

    pressure: Annotated[Quantity, Out("Pa", "pressure of the gust", rounding="up")]
    wave_by_fetch: Annotated[Quantity, Out("m", "wave height that the fetch allows", resolution=0.01, rounding="up")]
    wave_height: Annotated[Quantity, Out("m", "wave height reckoned with", resolution=0.01, rounding="up")]
    wind_side: Annotated[Quantity, Out("N", "wind from the side", rounding="up")]
    wind_end: Annotated[Quantity, Out("N", "wind from the end", rounding="up")]
    wave_side: Annotated[Quantity, Out("N", "waves from the side", rounding="up")]
    wave_end: Annotated[Quantity, Out("N", "waves from the end", rounding="up")]
    current_side: Annotated[Quantity, Out("N", "current from the side", rounding="up")]
    current_end: Annotated[Quantity, Out("N", "current from the end", rounding="up")]
    side: Annotated[Quantity, Out("N", "all together from the side", rounding="up")]
    end_on: Annotated[Quantity, Out("N", "all together from the end", rounding="up")]
    heading: Annotated[Quantity, Out("deg", "direction it comes from, clockwise from the named end")]
    by_heading: Annotated[Quantity, Out("N", "all together", rounding="up", over="heading")]
    wind_by_heading: Annotated[Quantity, Out("N", "of that the wind", rounding="up", over="heading")]
    worst: Annotated[Quantity, Out("N", "greatest load, from any direction", rounding="up")]
    worst_from: Annotated[str, Says("direction of the greatest load, in words")]
    waves_covered: Annotated[Check, Asks("wave height entered is no less than the fetch allows", "wave-growth")]


@calculator("wind-pressure", "munson-drag", "ufc-4-159-03", "wave-growth", "wave-drift")
def weather_load(
    *,
    gust: Annotated[Quantity, In("m/s", "strongest gust, 3 s", 25, ge=0, le=90, everyday=(15, 50),
                                 find="national wind map, then exposure; gust, not mean")],
    sides: Annotated[Sequence[Windage], Rows("what the wind catches from the side", least=1, most=40)],
    ends: Annotated[Sequence[Windage], Rows("what the wind catches from the end", least=1, most=40)],
    under: Annotated[Sequence[Underwater], Rows("what the current pushes on", most=40)] = (),
    current: Annotated[Quantity, In("m/s", "strongest current", 0, ge=0, le=3,
                                    find="time an orange peel over 5 m, after rain")] = Q(0, "m/s"),
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    draft: Annotated[Quantity, In("m", "draft of the floats", 0.17, ge=0, le=10, resolution=0.01)],
    depth: Annotated[Quantity, In("m", "depth at low water", 3.2, ge=0.1, le=200, resolution=0.01)],
    fetch: Annotated[Quantity, In("m", "longest open water the wind can blow over", 250, ge=0, le=100_000,
                                  find="measure it on a map")],
    waves: Annotated[Quantity | None, In("m", "wave height, crest to trough", 0.2, ge=0, le=5, resolution=0.01,
                                         find="marked stick in a storm; left out: by the fetch")] = None,
    wave_wind: Annotated[Quantity | None, In("m/s", "wind that lasts ten minutes, for the waves", 17, ge=0, le=60,
                                             find="about two thirds of the gust; left out: the gust, on the safe side"
                                             )] = None,
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100, basis="measured")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100, basis="measured")],
    end: Annotated[str, Text("the end that x points to", "ladder end", longest=30)] = "named end",
) -> WeatherLoad:
    """Load of wind, waves and current together, from every direction, and the worst one.

    Wind and current: 0.5 rho V^2 times area times drag coefficient; near the
    bottom a current pushes harder, C + (3.2 - C) (T/d)^2.  Waves: 0.5 rho g a^2
    a metre of front, as if it threw them all back.  A slanting wind follows the
    published edge-on cube; all three are taken to come together.  Snatching
    while it surges, and ice, are left out.

    >>> side, end = (Windage(name=n, area=Q(a, "m^2"), drag=Q(1.2), z=Q(0.3, "m")) for n, a in (("s", 2), ("e", 1.4)))
    >>> load = weather_load(gust=Q(25, "m/s"), sides=[side], ends=[end], density=Q(999.7, "kg/m^3"),
    ...     draft=Q(0.17, "m"), depth=Q(3.2, "m"), fetch=Q(250, "m"), deck_length=Q(3, "m"), deck_width=Q(2.2, "m"))
    >>> print(f"{load.worst:.0f~P} from {load.worst_from}")
    1069 N from the right or left side
    """
    require(np.all(draft <= depth), "it would lie on the bottom: the draft is more than the depth", "draft", "depth")
    pressure = (0.5 * read_facts("floating_rules")["wind-air"].q * gust**2).to("Pa")
    grown = _grown(gust if wave_wind is None else wave_wind, fetch)
    height = grown if waves is None else waves
    applies(height <= 0.5 * depth, "the water is shallow for these waves: they break, and push more")
    front = (0.5 * density * _GRAVITY * (height / 2) ** 2).to("N/m")
    side_current, end_current = _current(under, current, density, draft, depth)
    parts = {
        "wind_side": pressure * _catch(sides), "wind_end": pressure * _catch(ends),
        "wave_side": front * deck_length, "wave_end": front * deck_width,
        "current_side": side_current, "current_end": end_current,
    }
    parts = {name: value.to("N") for name, value in parts.items()}
    headings = HEADINGS
    every = np.hypot(*by_direction(parts, headings))
    windy = np.hypot(*by_direction({k: v if k.startswith("wind") else 0 * v for k, v in parts.items()}, headings))
    return WeatherLoad(
        pressure=pressure, wave_by_fetch=grown, wave_height=height, **parts,
        side=parts["wind_side"] + parts["wave_side"] + parts["current_side"],
        end_on=parts["wind_end"] + parts["wave_end"] + parts["current_end"], heading=Q(headings, "deg"),
        by_heading=Q(every, "N"), wind_by_heading=Q(windy, "N"), worst=Q(every.max(axis=0), "N"),
        worst_from=_worst_from(every, headings, end),
        waves_covered=does_not_apply("the wave height is worked out from the fetch") if waves is None
        else at_least(waves, grown - Q(5, "mm"), reason="to the nearest 10 mm", share=False),
    )


def by_direction(parts: Any, headings: Any) -> tuple[Any, Any]:
    """Loads along x and y in N, headings first and samples last, of weather that comes from each heading (degrees).

    Headings may themselves be sampled, on their last axis.
    `parts` are quantities by the names of `WeatherLoad`.  Wind along an axis
    goes with s (1 + k c^2), s and c the sine and cosine to it; waves and current
    with s |s|, as they push square to a side.
    """
    values = {name: np.asarray(parts[name].m_as("N"), dtype=float) for name in (
        "wind_side", "wind_end", "wave_side", "wave_end", "current_side", "current_end")}
    turn = np.radians(headings)
    if turn.ndim == 1 and any(v.ndim for v in values.values()):
        turn = turn[:, None]
    c, s = np.cos(turn), np.sin(turn)
    steady = {side: values[f"wave_{side}"] + values[f"current_{side}"] for side in ("side", "end")}
    along = values["wind_end"] * c * (1 + _SLANT * s**2) + steady["end"] * c * np.abs(c)
    across = values["wind_side"] * s * (1 + _SLANT * c**2) + steady["side"] * s * np.abs(s)
    return along, across


def _catch(rows: Sequence[Windage]) -> Any:
    area, drag = columns(rows, area="m^2", drag="")
    return (area * drag).sum(axis=0)


def _current(rows: Sequence[Underwater], current: Quantity, density: Quantity, draft: Quantity, depth: Quantity) -> Any:
    """Current from the side, where the bottom makes it push harder, and from the end."""
    if not rows:
        nothing = (0 * density * current**2 * draft * depth).to("N")
        return nothing, nothing
    side, side_drag, end, end_drag = columns(rows, side="m^2", side_drag="", end="m^2", end_drag="")
    near = np.asarray((draft / depth).m_as("")) ** _FACTS["shallow-power"].value
    if near.ndim and side.ndim == 1:
        # Rows without samples beside a depth with them: rows stay on the first axis.
        side, side_drag = side[:, None], side_drag[:, None]
    limit = np.maximum(_FACTS["shallow"].value, side_drag.m_as(""))
    drag = side_drag + (Q(limit) - side_drag) * near
    push = 0.5 * density * current**2
    return (push * (side * drag).sum(axis=0)).to("N"), (push * (end * end_drag).sum(axis=0)).to("N")


def _grown(wind: Quantity, fetch: Quantity) -> Quantity:
    """Height of waves in deep water after so much fetch, at most that of a fully grown sea."""
    by_fetch = _FACTS["growth"].value * wind * np.sqrt(fetch / _GRAVITY)
    most = _FACTS["growth-end"].value * wind**2 / _GRAVITY
    return Q(np.minimum(by_fetch.m_as("m"), most.m_as("m")), "m")


def _worst_from(every: Any, headings: Any, end: str) -> str:
    """The direction in words, of samples by their means; opposite directions push alike."""
    mean = every if every.ndim == 1 else np.nanmean(every, axis=1)
    if not np.any(mean > 0):
        return "nowhere: nothing pushes"
    turn = float(headings[int(np.argmax(np.round(mean, 6)))]) % 180
    if min(turn, 180 - turn) < 22.5:
        return f"the {end} or the other end"
    return "the right or left side" if abs(turn - 90) < 22.5 else f"a corner, {turn:.0f} degrees off the {end}"


def from_where(heading: float, end: str) -> str:
    """A direction in words, by the nearest of eight."""
    names = (f"the {end}", f"the {end}, right", "the right side", "the other end, right", "the other end",
             "the other end, left", "the left side", f"the {end}, left")
    return names[round(heading / 45) % 8]


