"""A router cutter in wood: its feed and chip, how deep it may go, and what that asks of the spindle.

    >>> cut = router_cut(diameter=Q(3, "mm"), flutes=2, speed=Q(18_000, "rpm"), chip_load=Q(0.05, "mm"),
    ...                  pass_depth=Q(2, "mm"), step_over=Q(1.2, "mm"), stock="hardwood", spindle_power=Q(500, "W"))
    >>> print(f"{cut.feed:.0f~P}, {cut.removal:.2f~P}")
    1800 mm/min, 4.32 cm³/min

Chip loads are starting values: listen, look at the chips and feel the cutter.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import applies, calculator, require, result
from kit.checks import Check, at_most, between, not_covered
from kit.kinds import Asks, Choice, Count, In, Out, Says
from kit.quantities import Q, Quantity
from kit.sources import read_table

__all__ = ["RouterCut", "Stock", "chip_range", "deepest_pass", "per_turn", "router_cut"]

Stock = Literal["softwood", "hardwood", "plywood or board"]

# Cemented carbide, and the share of its diameter that is left between the flutes. From memory, to be confirmed.
CARBIDE = Q(550, "GPa")
CORE = 0.6
# A pass may be one diameter deep, half of one for a cutter of 2 mm and less. Common practice, no source.
_DEPTH_AT, _DEPTH_SHARE = (2.0, 3.0), (0.5, 1.0)


@result
class RouterCut:
    """Feed, chip, power and bending of one router cutter."""

    feed: Annotated[Quantity, Out("mm/min", "feed", rounding="down", resolution=10)]
    surface_speed: Annotated[Quantity, Out("m/s", "speed of the cutting edge", resolution=0.1)]
    engagement: Annotated[Quantity, Out("deg", "arc of the cutter that is in the wood", resolution=1)]
    peak_chip: Annotated[Quantity, Out("mm", "thickest place of a chip", resolution=0.001)]
    mean_chip: Annotated[Quantity, Out("mm", "mean thickness of a chip over that arc", resolution=0.001)]
    thinning: Annotated[Quantity, Out("percent", "thickest place as a share of the feed per tooth", resolution=1)]
    full_chip_feed: Annotated[Quantity, Out(
        "mm/min", "feed that would make chips as thick as in a full-width cut", rounding="down", resolution=10)]
    removal: Annotated[Quantity, Out("cm^3/min", "wood removed in a minute", resolution=0.1)]
    power: Annotated[Quantity, Out("W", "power at the cutter", rounding="up", resolution=1)]
    torque: Annotated[Quantity, Out("N*m", "mean torque at the cutter", rounding="up", resolution=0.001)]
    force: Annotated[Quantity, Out("N", "greatest force on one edge", rounding="up", resolution=0.1)]
    bend: Annotated[Quantity, Out("mm", "how far the tip gives way under it", rounding="up", resolution=0.001)]
    usual_low: Annotated[Quantity, Out("mm", "least usual feed per tooth", resolution=0.005)]
    usual_high: Annotated[Quantity, Out("mm", "greatest usual feed per tooth", resolution=0.005)]
    start: Annotated[Quantity, Out("mm", "feed per tooth to begin with: a third of the way up", resolution=0.005)]
    start_feed: Annotated[Quantity, Out("mm/min", "feed to begin with", rounding="down", resolution=10)]
    deepest: Annotated[Quantity, Out("mm", "deepest pass", rounding="down", resolution=0.1)]
    listen: Annotated[str, Says("what to listen and look for")]
    chips: Annotated[Check, Asks("chips neither dust nor splinters", "practice")]
    shallow: Annotated[Check, Asks("depth of one pass", "practice")]
    powered: Annotated[Check, Asks("power of the spindle", "kit")]
    stiff: Annotated[Check, Asks("the cutter gives way little", "kit")]
    reached: Annotated[Check, Asks("feed the machine can go", "kit")]
    notes: tuple[str, ...] = ()


@calculator("practice", "memory", "kit")
def router_cut(
    *,
    diameter: Annotated[Quantity, In("mm", "cutter diameter as measured", 3, ge=0.2, le=80, everyday=(1, 25),
                                     resolution=0.05, basis="measured", find="calipers; or cut a slot and measure it")],
    flutes: Annotated[int, Count("cutting edges", 2, ge=1, le=12, find="look at its end", basis="data sheet")],
    speed: Annotated[Quantity, In("rpm", "spindle speed", 18_000, ge=100, le=60_000, everyday=(6000, 30_000),
                                  resolution=100, basis="data sheet", find="the dial, or a strobe")],
    chip_load: Annotated[Quantity, In("mm", "feed per tooth", 0.05, ge=0.001, le=3, everyday=(0.02, 0.6),
                                      resolution=0.005, basis="common practice",
                                      find="begin a third of the way up the usual range, then listen", chosen=True)],
    pass_depth: Annotated[Quantity, In("mm", "depth of one pass", 2, ge=0.02, le=100, everyday=(0.2, 25),
                                       resolution=0.1, chosen=True, find="half a diameter to begin with")],
    step_over: Annotated[Quantity, In("mm", "step-over: width of the cut", 1.2, ge=0.01, le=80, resolution=0.05,
                                      chosen=True, find="40 % of the diameter to clear; the diameter in a slot")],
    stock: Annotated[Stock, Choice("what is cut", "hardwood")],
    spindle_power: Annotated[Quantity, In("W", "power the spindle gives at that speed", 500, ge=10, le=20_000,
                                          find="its plate; of a router motor count on two thirds of the plate",
                                          basis="data sheet")],
    cutting_energy: Annotated[Quantity, In(
        "J/cm^3", "energy to cut away a volume of wood", 50, ge=2, le=500, everyday=(15, 150),
        find="power meter: watts cutting less watts idling, by the volume cut in a second; thin chips and hard wood "
             "take more")] = Q(50, "J/cm^3"),
    stick_out: Annotated[Quantity, In("mm", "cutter standing out of the collet", 18, ge=1, le=200, resolution=1,
                                      find="rule", basis="measured")] = Q(18, "mm"),
    may_bend: Annotated[Quantity, In("mm", "how far the tip may give way", 0.05, ge=0.001, le=1, resolution=0.005,
                                     chosen=True, find="half the clearance of a joint")] = Q(0.05, "mm"),
    fastest: Annotated[Quantity, In("mm/min", "fastest feed of the machine", 3000, ge=50, le=60_000, resolution=10,
                                    basis="data sheet", find="its sheet; a hand-held router about 3000")]
    = Q(3000, "mm/min"),
) -> RouterCut:
    """Feed, chip thickness, power and bending of a straight router cutter, cut by cut.

    F = z n fz.  The edge is in the wood over the arc acos(1 - 2 ae/D), ae the
    step-over: the chip's thickest place is fz sin of that arc, or fz once the
    arc passes a right angle, and its mean fz (2 ae/D)/arc.  Power is ae ap F times
    the energy to cut a volume of wood; the greatest force on an edge is that
    energy times the chip's thickest section, on a cantilever of three fifths of
    the diameter.  Radial force, grain and a dull edge are left out.

    >>> cut = router_cut(diameter=Q(12, "mm"), flutes=2, speed=Q(16_000, "rpm"), chip_load=Q(0.15, "mm"),
    ...                  pass_depth=Q(6, "mm"), step_over=Q(1.2, "mm"), stock="softwood", spindle_power=Q(2, "kW"))
    >>> print(f"{cut.feed:.0f~P}, chip {cut.thinning.magnitude:.0f} % of the feed per tooth")
    4800 mm/min, chip 60 % of the feed per tooth
    """
    require(step_over <= diameter, "the step-over cannot be wider than the cutter, such as 1.2 mm of 3 mm",
            "step_over", "diameter")
    share = np.asarray((step_over / diameter).m_as(""), dtype=float)
    arc = np.arccos(np.clip(1 - 2 * share, -1, 1))
    thinning = np.where(share < 0.5, 2 * np.sqrt(np.clip(share * (1 - share), 0, None)), 1.0)[()]
    mean = (2 * share / arc)[()]
    feed = (per_turn(flutes) * speed * chip_load).to("mm/min")
    removal = (step_over * pass_depth * feed).to("cm^3/min")
    power = (removal * cutting_energy).to("W")
    edge_speed = (math.pi * per_turn(1) * diameter * speed).to("m/s")
    peak_chip = chip_load * thinning
    force = (cutting_energy * pass_depth * peak_chip).to("N")
    low, high = chip_range(stock, diameter)
    start = low + (high - low) / 3
    return RouterCut(
        feed=feed, surface_speed=edge_speed, engagement=Q(np.degrees(arc)[()], "deg"),
        peak_chip=peak_chip, mean_chip=chip_load * mean, thinning=Q(100 * thinning, "percent"),
        full_chip_feed=feed / thinning, removal=removal, power=power,
        torque=(power / edge_speed * diameter / 2).to("N*m"), force=force,
        bend=(bend := _bend(force, stick_out, diameter)),
        usual_low=low, usual_high=high, start=start, start_feed=(per_turn(flutes) * speed * start).to("mm/min"),
        deepest=deepest_pass(diameter), listen=_listen(peak_chip, low, high),
        chips=_chips(diameter, peak_chip, low, high),
        shallow=at_most(pass_depth, deepest_pass(diameter)),
        powered=at_most(power, spindle_power), stiff=at_most(bend.to("um"), may_bend.to("um")),
        reached=at_most(feed, fastest),
    )


def per_turn(count: Any) -> Quantity:
    """Things that happen once each turn, so many of them: cutting edges, knives, teeth."""
    return Q(count, "1/rev")


def _bend(force: Quantity, length: Quantity, diameter: Quantity) -> Quantity:
    """The tip of a round cantilever under a force across it."""
    second_moment = math.pi / 64 * (CORE * diameter) ** 4
    return Q(force * length**3 / (3 * CARBIDE * second_moment), "mm")


@lru_cache(maxsize=8)
def _loads(stock: str) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    """Diameters of the table, and the least and greatest feed per tooth at each, in millimetres."""
    lines = [line for line in read_table("chip_loads") if line["stock"] == stock]
    low, high, at = (tuple(float(line[name]) for line in lines) for name in ("low", "high", "diameter"))
    return at, low, high


def chip_range(stock: str, diameter: Quantity) -> tuple[Quantity, Quantity]:
    """The usual feed per tooth for a cutter, read off between the diameters of the table.

    Beyond the table it is in proportion to the diameter, which the calculator calls not covered.
    """
    at, low, high = _loads(stock)
    d = np.asarray(diameter.m_as("mm"), dtype=float)
    beyond = np.where(d < at[0], d / at[0], np.where(d > at[-1], d / at[-1], 1.0))
    return Q((np.interp(d, at, low) * beyond)[()], "mm"), Q((np.interp(d, at, high) * beyond)[()], "mm")


def deepest_pass(diameter: Quantity) -> Quantity:
    """How deep one pass may be: one diameter, half of one for the thinnest cutters."""
    d = np.asarray(diameter.m_as("mm"), dtype=float)
    return Q((d * np.interp(d, _DEPTH_AT, _DEPTH_SHARE))[()], "mm")


def _chips(diameter: Quantity, chip: Quantity, low: Quantity, high: Quantity) -> Check:
    """Held against the usual range only where the table covers the cutter."""
    at = _loads("hardwood")[0]
    d = np.asarray(diameter.m_as("mm"), dtype=float)
    covered = (d >= at[0] * 0.99) & (d <= at[-1] * 1.06)
    applies(covered, f"usual chip loads are known for cutters of {at[0]:g} to {at[-1]:g} mm (1/8 to 1/2 in)")
    if not np.all(covered):
        return not_covered(f"usual chip loads are known for cutters of {at[0]:g} to {at[-1]:g} mm", chip)
    # In micrometres: a chip is thinner than the resolution at which a shop shows millimetres.
    return between(chip.to("um"), low.to("um"), high.to("um"), reason="common practice, a value to begin with")


def _listen(chip: Quantity, low: Quantity, high: Quantity) -> str:
    """In words, from the middle of the values when they are samples."""
    thick, least, most = (float(np.nanmean(q.m_as("mm"))) for q in (chip, low, high))
    if thick < least:
        return "Chips thinner than usual: a whine, dust and a hot or brown edge mean feed faster or turn slower."
    if thick > most:
        return "Chips thicker than usual: a growl, torn edges or a cutter that pulls mean feed slower or take less."
    return "A steady hum and chips you can pick up: right. Dust or heat: feed faster. Growling or tearing: feed slower."
