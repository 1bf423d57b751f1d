"""The clock of a pour: one pair of hands, cup after cup, layer after layer, and what pigment goes into each."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, between, does_not_apply, open_check
from kit.kinds import Asks, Count, In, Out, Rows, Says
from kit.quantities import Q, Quantity

__all__ = ["Pigment", "PourClock", "Turn", "pigment", "pour_clock"]


@result
class Turn:
    """One thing the hands do, by the clock: 0:00 is when the first cup of the seal coat is begun."""

    name: Annotated[str, Says("what")]
    begins: Annotated[str, Says("begin at (hours:minutes)")]
    stirred: Annotated[str, Says("stirred by")]
    poured: Annotated[str, Says("poured by")]
    thick: Annotated[str, Says("no good after")]


@result
class PourClock:
    """When each cup is begun, poured and past use, and when the next layer may follow."""

    turns: Annotated[tuple[Turn, ...], Rows("the clock, cup by cup")]
    one_cup: Annotated[Quantity, Out("min", "weigh, stir and pour one cup", resolution=0.1, rounding="up")]
    spare: Annotated[Quantity, Out("min", "left of the pot life when a cup is poured", resolution=0.1, rounding="down")]
    one_layer: Annotated[Quantity, Out("min", "all cups of a layer, one after another", resolution=1, rounding="up")]
    wait: Annotated[Quantity, Out("h", "between layers", resolution=0.1)]
    in_all: Annotated[Quantity, Out("h", "from the seal coat to the last cup", resolution=0.1, rounding="up")]
    in_time: Annotated[Check, Asks("each cup is poured within its pot life", "ASTM-D2471")]
    wet_edge: Annotated[Check, Asks("the last cup of a layer meets resin that still flows", "practice")]
    window: Annotated[Check, Asks("the next layer follows within the maker's window", "practice")]
    sealed: Annotated[Check, Asks("the seal coat has stopped bubbling before the first layer", "practice")]


@calculator("practice", "ASTM-D2471")
def pour_clock(
    *,
    cups: Annotated[int, Count("cups in all", 2, ge=1, le=500)],
    layers: Annotated[Quantity, In("1", "layers", 1, ge=1, le=1000)] = Q(1),
    cup_mass: Annotated[Quantity, In("g", "resin in one cup", 66, ge=0, le=100_000)],
    mixing_time: Annotated[Quantity, In("min", "time to weigh and stir one cup", 5, ge=0.5, le=120, basis="measured")],
    placing_rate: Annotated[Quantity, In("g/min", "how fast you pour", 20, ge=0.1, le=10_000, basis="measured")],
    pot_life: Annotated[Quantity, In("min", "pot life of such a cup", 30, ge=1, le=10_000, basis="data sheet")],
    soonest: Annotated[Quantity | None, In(
        "h", "next layer not before", 4, ge=0, le=500, basis="data sheet",
        find="data sheet; when it has set but is tacky")] = None,
    latest: Annotated[Quantity | None, In(
        "h", "next layer not after, else sand and wash first", 24, ge=0, le=2000, basis="data sheet")] = None,
    planned: Annotated[Quantity, In("h", "wait you plan between layers", 8, ge=0, le=2000, chosen=True)] = Q(8, "h"),
    seal_wait: Annotated[Quantity, In("min", "wait you plan after the seal coat", 60, ge=0, le=10_000, chosen=True)]
    = Q(60, "min"),
    seal_needs: Annotated[Quantity, In(
        "min", "seal coat needs until no bubble rises", 45, ge=0, le=10_000, basis="measured",
        find="watch it; pour while the wood cools, not while it warms")] = Q(45, "min"),
) -> PourClock:
    """Cup after cup by one pair of hands: begin, stir, pour; the next layer after its wait.

    A cup takes its mixing time and its mass over the pouring rate; it is no
    good once its pot life has passed since it was stirred together.  Cups of a
    layer follow one another; layers follow after the wait planned, which the
    maker's window bounds.  The clock is built from nominal times.

    >>> rose = pour_clock(cups=2, cup_mass=Q(66, "g"), mixing_time=Q(5, "min"), placing_rate=Q(20, "g/min"),
    ...                   pot_life=Q(30, "min"))
    >>> [(turn.name, turn.begins, turn.thick) for turn in rose.turns]
    [('seal coat', '0:00', '0:30'), ('layer 1, cup 1', '1:00', '1:30'), ('layer 1, cup 2', '1:08', '1:38')]
    """
    placing = (cup_mass / placing_rate).to("min")
    one = (mixing_time + placing).to("min")
    count = np.ceil(cups / np.asarray(layers.m_as("")) - 1e-9)
    one_layer = Q(count * one.m_as("min"), "min")
    wait = planned.to("h")
    in_all = (seal_wait + layers * one_layer + (layers - 1) * wait).to("h")
    window = _window(layers, wait, soonest, latest)
    if soonest is not None and latest is not None:
        require(soonest <= latest, "the next layer cannot be allowed later than its latest; swap the two", "soonest",
                "latest")
    return PourClock(
        turns=_turns(cups, layers, mixing_time, placing, pot_life, wait, seal_wait),
        one_cup=one, spare=(pot_life - one).to("min"), one_layer=one_layer, wait=wait, in_all=in_all,
        in_time=at_most(one, pot_life.to("min")),
        wet_edge=at_most(one_layer, pot_life.to("min"),
                         reason="cups that follow too slowly leave a seam; in separate recesses it does not matter"),
        window=window, sealed=at_least(seal_wait.to("min"), seal_needs.to("min")),
    )


def _window(layers: Quantity, wait: Quantity, soonest: Quantity | None, latest: Quantity | None) -> Check:
    several = np.asarray(layers.m_as("") > 1)
    if soonest is None or latest is None:
        return open_check("the maker's window between layers is not entered") if several.any() else does_not_apply(
            "it is poured in one layer")
    # Where there is one layer nothing waits, and nothing can be missed.
    wait = Q(np.asarray(np.where(several, wait.m_as("h"), soonest.m_as("h")), dtype=float)[()], "h")
    return between(wait, soonest.to("h"), latest.to("h"),
                   reason="too soon it is still hot; too late it does not bond without sanding and washing")


def _middle(quantity: Quantity, unit: str) -> float:
    """The middle of the values when they are samples."""
    return float(np.nanmean(np.asarray(quantity.m_as(unit))))


def _turns(
    cups: int, layers: Quantity, mixing: Quantity, placing: Quantity, life: Quantity, wait: Quantity, seal: Quantity
) -> tuple[Turn, ...]:
    stir, pour, thick = _middle(mixing, "min"), _middle(placing, "min"), _middle(life, "min")
    count = max(1, round(_middle(layers, "")))
    turns = [_turn("seal coat", 0.0, stir, pour, thick)]
    now, done = _middle(seal, "min"), 0
    for layer in range(1, count + 1):
        # Cups that do not divide evenly: the first layers take one more.
        share = (cups * layer) // count - (cups * (layer - 1)) // count
        for cup in range(share):
            done += 1
            turns.append(_turn(f"layer {layer}, cup {cup + 1}", now, stir, pour, thick))
            now += stir + pour
        now += _middle(wait, "min")
    return tuple(turns)


def _turn(name: str, begin: float, stir: float, pour: float, thick: float) -> Turn:
    return Turn(
        name=name, begins=_clock(begin), stirred=_clock(begin + stir), poured=_clock(begin + stir + pour),
        thick=_clock(begin + thick),
    )


def _clock(minutes: float) -> str:
    """Hours and minutes, seconds left out towards the sooner."""
    whole = int(minutes + 1e-6)
    return f"{whole // 60}:{whole % 60:02d}"


@result
class Pigment:
    """Pigment for one cup."""

    mass: Annotated[Quantity, Out("g", "pigment in one cup", resolution=0.01)]
    volume: Annotated[Quantity, Out("mL", "pigment in one cup", resolution=0.01)]
    all_cups: Annotated[Quantity, Out("g", "pigment in all cups", resolution=0.1, rounding="up")]
    drops: Annotated[Quantity, Out("1", "drops of 0.05 mL in one cup", resolution=1)]
    ratio_kept: Annotated[Check, Asks("no more pigment than the resin takes", "practice")]
    weighable: Annotated[Check, Asks("the scale can weigh it out", "practice")]


@calculator("practice")
def pigment(
    *,
    cup_mass: Annotated[Quantity, In("g", "resin in one cup", 66, ge=0.01, le=100_000)],
    cups: Annotated[int, Count("cups in all", 2, ge=1, le=500)] = 1,
    share: Annotated[Quantity, In("percent", "pigment for the mass of the mix", 2, ge=0, le=30, everyday=(0.1, 6),
                                  find="try it in a spoonful on the wood")],
    most: Annotated[Quantity, In("percent", "most the maker allows", 5, ge=0.1, le=30, basis="data sheet")]
    = Q(5, "percent"),
    density: Annotated[Quantity, In("g/mL", "density of the pigment", 1.3, ge=0.3, le=8, basis="data sheet",
                                    find="1 mL in a syringe on the scale")] = Q(1.3, "g/mL"),
    division: Annotated[Quantity, In("g", "division of the scale", 0.1, ge=0.001, le=100, basis="data sheet")]
    = Q(0.1, "g"),
) -> Pigment:
    """Pigment by mass and by volume for one cup; too much leaves the resin soft.

    mass = share of the mix; a drop is taken as 0.05 mL (common practice).  It
    counts as waste of neither component: stir it into A before B goes in, and
    weigh A with it.

    >>> black = pigment(cup_mass=Q(66.4, "g"), share=Q(2, "percent"))
    >>> print(f"{black.mass:.2f~P}, {black.drops.m_as(''):.0f} drops")
    1.33 g, 20 drops
    """
    mass = (cup_mass * share.m_as("")).to("g")
    volume = (mass / density).to("mL")
    return Pigment(
        mass=mass, volume=volume, all_cups=mass * cups, drops=(volume / Q(0.05, "mL")).to(""),
        ratio_kept=at_most(share.to("percent"), most.to("percent")),
        weighable=at_least(mass, 5 * division, reason="under five divisions a scale only guesses: count drops instead"),
    )
