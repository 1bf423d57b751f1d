"""How the raft would stand against every rule there is a figure for, chosen or not."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, get_args

import numpy as np

from kit.calculator import calculator, declared, result
from kit.checks import Check, at_least
from kit.crowd import crowd, rule_scope
from kit.crowd_cases import Criterion
from kit.floats import FloatBody
from kit.handed import along
from kit.kinds import Asks, Count, In, Out, Rows, Says, Text
from kit.loading import at_means, nominal
from kit.passenger_rules import float_stuff, weather_metacentre
from kit.quantities import Q, Quantity, spell
from kit.righting import DownfloodingOpening, righting
from kit.sources import read_facts
from kit.workshop import show

__all__ = ["Scope", "Yardstick", "Yardsticks", "yardsticks"]


@result
class Yardstick:
    """One figure of one rule."""

    name: Annotated[str, Text("what is asked", "tilt, people at an edge")]
    rule: Annotated[str, Says("rule")]
    figure: Annotated[str, Says("here")]
    limit: Annotated[str, Says("asked")]
    stands: Annotated[str, Says("how it would stand")]


@result
class Scope:
    """What a rule is made for."""

    name: Annotated[str, Text("rule", "landing-float rule")]
    scope: Annotated[str, Says("made for")]


@result
class Area:
    """Area under the righting lever to one side."""

    name: Annotated[str, Text("side", "right side")]
    angle: Annotated[Quantity, Out("deg", "up to", resolution=0.1, absent="it sinks")]
    area: Annotated[Quantity, Out("m*deg", "area", resolution=0.01, rounding="down", absent="it sinks")]
    limit: Annotated[Quantity, Out("m*deg", "asked in protected waters", resolution=0.01)]


@result
class Yardsticks:
    """Every rule, and what it is made for: a private raft is certified by none."""

    says: Annotated[str, Says("what this is worth")]
    rules: Annotated[tuple[Yardstick, ...], Rows("how it would stand")]
    scopes: Annotated[tuple[Scope, ...], Rows("what the rules are made for")]
    area: Annotated[tuple[Area, ...], Rows("areas under the righting lever (46 CFR 171.052)")]


@calculator("en-14504", "ufc-4-152-01", "mca-workboat", "cfr-46-178", "cfr-46-171", "cfr-46-170", "cfr-18-1304")
def yardsticks(
    *,
    mass: Annotated[Quantity, In("kg", "whole mass, wet through", 760, ge=1, le=1e6)],
    x: Annotated[Quantity, along("x of the centre of gravity")],
    y: Annotated[Quantity, along("y of the centre of gravity")],
    z: Annotated[Quantity, along("z of the centre of gravity", -0.02)],
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")],
    deck_length: Annotated[Quantity, In("m", "length of the deck, along x", 3, ge=0.2, le=100, basis="measured")],
    deck_width: Annotated[Quantity, In("m", "width of the deck, along y", 2.2, ge=0.2, le=100, basis="measured")],
    deck_top: Annotated[Quantity, along("top of the deck above the underside of the frame", 0.148)],
    people: Annotated[int, Count("people aboard at once", 4, ge=0, le=200)],
    sharing: Annotated[int, Count("people who may share an edge or a corner", 3, ge=0, le=200)],
    person_mass: Annotated[Quantity, In("kg", "mass of one person, dressed and wet", 80, ge=20, le=200)],
    catch: Annotated[Quantity, In("m^2", "area times drag coefficient above water", 2.4, ge=0, le=2000)],
    lever: Annotated[Quantity, In("m", "height of that above the middle of the draft", 0.4, ge=-5, le=30)],
    openings: Annotated[
        Sequence[DownfloodingOpening], Rows("openings through which it would flood", least=0, most=20)] = (),
) -> Yardsticks:
    """How the raft would stand against every rule, chosen or not, and what each rule is made for.

    Each rule with its own loads.  None is made for a private swimming raft and
    none certifies one; nothing here is a check of the build.  Worked at the
    means of the samples.
    """
    numbers = {"mass": (mass, "kg"), "x": (x, "m"), "y": (y, "m"), "z": (z, "m"), "density": (density, "kg/m^3"),
               "deck_length": (deck_length, "m"), "deck_width": (deck_width, "m"), "deck_top": (deck_top, "m")}
    place: dict[str, Any] = {name: Q(nominal(q, text), text) for name, (q, text) in numbers.items()}
    fixed, holes = at_means(floats), at_means(openings)
    aboard, few = (round(float(np.mean(count))) for count in (people, sharing))
    given: dict[str, Any] = {"people": aboard, "sharing": min(few, aboard),
                             "person_mass": Q(nominal(person_mass, "kg"), "kg")}
    rows: list[Yardstick] = []
    for rule in get_args(Criterion)[:-2]:
        made = crowd(**place, **given, floats=fixed, criterion=rule)
        rows += _of_crowd(rule, made)
    stuff = float_stuff(floats=fixed, criterion="reservoir owner's rule")
    rows += _told("reservoir owner's rule", stuff, ("encased", "not_reused", "dry"))
    rows += _weather(place, made, nominal(catch, "m^2"), nominal(lever, "m"))
    areas = []
    for side in ("right side", "left side"):
        curve = righting(**place, floats=fixed, towards=side, openings=holes)
        areas.append(Area(name=side, angle=curve.rule_angle, area=curve.rule_area,
                          limit=read_facts("floating_rules")["area-protected"].q))
    return Yardsticks(
        says="Worked out, not certified: none of these rules is made for a private swimming raft.",
        rules=tuple(rows), area=tuple(areas),
        scopes=tuple(Scope(name=rule, scope=rule_scope(rule)) for rule in get_args(Criterion)[:-1]))


# Checks of the crowd by the start of the rule they belong to.
_OF = {
    "EN": ("edge_heel", "edge_freeboard", "corner_heel", "corner_freeboard", "aboard_heel", "aboard_freeboard",
           "metacentre"),
    "landing": ("landing_load", "landing_uniform"), "small": ("workboat_heel", "workboat_freeboard"),
    "pontoon": ("pontoon_side", "pontoon_end"),
}


def _of_crowd(rule: str, made: Any) -> list[Yardstick]:
    return _told(rule, made, next(names for start, names in _OF.items() if rule.startswith(start)))


def _told(rule: str, made: Any, names: Sequence[str]) -> list[Yardstick]:
    checks = declared(type(made)).checks
    return [_row(rule, checks[name], getattr(made, name)) for name in names]


def _row(rule: str, asks: Asks, check: Check) -> Yardstick:
    return Yardstick(
        name=asks.label.partition(" (")[0], rule=rule, figure=_shown(check.value, check.limit),
        limit=f"{check.direction} {_shown(check.limit, check.limit)}" if check.limit is not None else "-",
        stands=_stands(check))


def _shown(value: Quantity | None, like: Quantity | None) -> str:
    if value is None or like is None or not np.all(np.isfinite(np.asarray(value.magnitude, dtype=float))):
        return "-"
    text = spell(like)
    # A pure number beside a pure number says nothing by itself here.
    return show(Q(nominal(value, text), text), text) if text else "-"


def _stands(check: Check) -> str:
    """In words that are no verdict of the build."""
    if check.verdict in ("meets", "marginal"):
        return "would hold"
    if check.verdict == "fails":
        return f"would not hold{f': {check.reason}' if check.reason else ''}"
    return check.reason or check.verdict


def _weather(place: dict[str, Any], made: Any, catch: float, lever: float) -> list[Yardstick]:
    """The weather rule and the least metacentric height of passenger vessels, with all aboard."""
    length, width = place["deck_length"], place["deck_width"]
    edge = nominal(made.aboard_deck, "m")
    if not np.isfinite(edge) or edge <= 0:
        return [Yardstick(name="metacentric height in wind", rule="46 CFR 170.170", figure="-", limit="-",
                          stands="would not hold: an edge is under water with all aboard")]
    angle = np.degrees(np.arctan(edge / nominal(width, "m")))
    asked = weather_metacentre(
        length=length, area=Q(catch, "m^2"), lever=Q(min(max(lever, 0.0), 30.0), "m"), mass=place["mass"],
        angle=Q(float(np.clip(angle, 0.1, 60)), "deg"))
    least = at_least(made.stiffness, asked.needed)
    other = at_least(made.stiffness, read_facts("floating_rules")["rule-metacentre"].q)
    return [
        _row("46 CFR 170.170", Asks("metacentric height in wind, protected waters", "cfr-46-170"), least),
        _row("46 CFR 170.173", Asks("metacentric height", "cfr-46-170"), other)]
