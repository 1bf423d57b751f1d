"""Charging: currents, cold, the regulator, and air for what a battery gives off."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from kit.battery import Chemistry, fact
from kit.calculator import calculator, result
from kit.checks import Check, at_least, at_most, does_not_apply, fails, open_check
from kit.kinds import Asks, Choice, Count, In, Out, Says, YesNo
from kit.months import Year
from kit.quantities import Q, Quantity
from kit.sources import read_facts
from kit.struts import nominal

__all__ = ["BatteryAir", "Charging", "battery_air", "charging"]

# A panel gives a quarter more than it is rated for under broken clouds and in the cold: common practice.
_CLOUD_EDGE = 1.25
_FREEZING = Q(0, "degC")


@result
class Charging:
    """Charging currents against what battery and regulator take."""

    limit: Annotated[Quantity, Out("A", "greatest charging current of the battery", resolution=0.1, rounding="down")]
    limit_cold: Annotated[Quantity, Out("A", "the same near freezing", resolution=0.1, rounding="down")]
    share: Annotated[Quantity, Out("percent", "charging current over capacity", resolution=0.1)]
    bright: Annotated[Quantity, Out("A", "panel current under broken clouds", resolution=0.1, rounding="up")]
    in_frost: Annotated[str, Says("what happens in frost")]
    not_too_fast: Annotated[Check, Asks("charging current of the battery", "battery-manuals", hazard=True)]
    regulator_fits: Annotated[Check, Asks("current of the regulator", "practice")]
    regulator_stands: Annotated[Check, Asks("volts of the regulator's input, panels cold and open", "practice")]
    not_in_frost: Annotated[
        Check, Asks("a lithium battery is never charged below freezing", "battery-manuals", hazard=True)
    ]
    loads_fit: Annotated[Check, Asks("current of the regulator's load side", "practice")]


@calculator("battery-manuals", "ieee-1013", "practice")
def charging(
    *,
    chemistry: Annotated[Chemistry, Choice("kind of battery", find="printed on it")],
    capacity: Annotated[Quantity, In("Ah", "capacity of the bank", 33, ge=0.1, le=40_000)],
    current: Annotated[Quantity, In("A", "current of the panels in full sun", 1.7, ge=0, le=2000)],
    cold: Annotated[Quantity, In("degC", "coldest air", -10, ge=-60, le=40)],
    regulator_current: Annotated[
        Quantity,
        In("A", "current the regulator is made for", 5, chosen=True,
           ge=0.1, le=500, basis="data sheet", find="printed on it"),
    ],
    open_volts: Annotated[
        Quantity,
        In(
            "V",
            "open volts of the panels as joined",
            21.6,
            ge=1,
            le=500,
            basis="data sheet",
            find="printed as Voc, times those one behind the other",
        ),
    ],
    regulator_volts: Annotated[
        Quantity,
        In("V", "greatest volts of the regulator's input", 30, chosen=True,
           ge=5, le=600, basis="data sheet", find="printed on it"),
    ],
    together: Annotated[Quantity, In("A", "current if everything runs at once", 3.9, ge=0, le=20_000)] = Q(0, "A"),
    most: Annotated[
        Quantity | None,
        In(
            "A",
            "greatest charging current, by the battery's maker",
            9.9,
            ge=0.01,
            le=5000,
            find="printed on it as initial current",
        ),
    ] = None,
    heater: Annotated[bool, YesNo("the battery has a heater", find="read its sheet")] = False,
    cut_out: Annotated[
        bool, YesNo("battery or regulator stops charging below freezing", find="its sheet says low-temperature cut-out")
    ] = False,
) -> Charging:
    """The panels' current against battery and regulator, and no charging of lithium in frost.

    Limit = capacity over 5 h unless the maker says otherwise; lithium takes a
    tenth of its capacity up to 10 degC and none below freezing.  The regulator
    is held against a quarter more than full sun.  Open volts rise by a third of a
    percent for each degree below 25.

    >>> made = charging(chemistry="lithium iron phosphate", capacity=Q("20 Ah"), current=Q("2 A"), cold=Q("-10 degC"),
    ...     regulator_current=Q("5 A"), open_volts=Q("21.6 V"), regulator_volts=Q("30 V"))
    >>> made.not_in_frost.verdict
    'fails'
    """
    rate = fact(chemistry, "rate")
    limit = (capacity * rate).to("A") if most is None else most.to("A")
    lithium = chemistry.startswith("lithium")
    slow = (capacity * fact(chemistry, "cold-rate")).to("A") if lithium else limit
    bright = current * _CLOUD_EDGE
    cold_volts = open_volts * (1 + 0.0033 * np.maximum(25 - cold.m_as("degC"), 0.0))
    year = Year(capacity, current, cold, regulator_current, open_volts, regulator_volts, together, most)

    def flat(value: Quantity, unit: str) -> Quantity:
        return year.out(np.atleast_1d(value.m_as(unit)), unit)

    return Charging(
        limit=flat(limit, "A"),
        limit_cold=flat(slow, "A"),
        bright=flat(bright, "A"),
        share=flat((current / capacity * Q(1, "h")).to("percent"), "percent"),
        in_frost=_in_frost(lithium, heater, cut_out, cold),
        not_too_fast=at_most(
            flat(bright, "A"), flat(limit, "A"), reason="current under broken clouds, a quarter over full sun"
        ),
        regulator_fits=at_most(flat(bright, "A"), flat(regulator_current, "A"), factor="a quarter over full sun"),
        regulator_stands=at_most(flat(cold_volts, "V"), flat(regulator_volts, "V")),
        not_in_frost=_frost(lithium, heater, cut_out, cold),
        loads_fit=at_most(flat(together, "A"), flat(regulator_current, "A")),
    )


def _in_frost(lithium: bool, heater: bool, cut_out: bool, cold: Quantity) -> str:
    if not lithium:
        return "a lead-acid battery may be charged in frost, at raised volts"
    if nominal(cold.m_as("degC")) >= 0:
        return "it does not freeze there"
    if heater:
        return "its heater keeps the cells above freezing while it is charged"
    if cut_out:
        return "charging stops below freezing: those days bring nothing"
    return "nothing keeps it from being charged below freezing, which ruins the cells and can set them on fire later"


def _frost(lithium: bool, heater: bool, cut_out: bool, cold: Quantity) -> Check:
    """Frost and nothing against it fails; whether it freezes is decided on every sample."""
    if not lithium:
        return does_not_apply("only lithium cells are harmed by charging in frost")
    if heater or cut_out:
        return at_least(
            Q(1.0),
            Q(1.0),
            share=False,
            reason="kept by its heater" if heater else "kept by stopping the charge below freezing",
        )
    return at_least(cold, _FREEZING, share=False, reason="no heater, and nothing stops the charge below freezing")


@result
class BatteryAir:
    """Air that carries off the hydrogen of a charging battery."""

    flow: Annotated[
        Quantity,
        Out("m^3/h", "air to pass through its box", resolution=0.01, rounding="up", absent="none by this rule"),
    ]
    opening: Annotated[
        Quantity,
        Out(
            "cm^2",
            "free opening low, and as much again high",
            resolution=0.1,
            rounding="up",
            absent="none by this rule",
        ),
    ]
    vents_low: Annotated[Check, Asks("free opening low down in the battery box", "en-62485", hazard=True)]
    vents_high: Annotated[Check, Asks("free opening at its highest point", "en-62485", hazard=True)]
    no_spark: Annotated[Check, Asks("no relay, switch or fuse in the air of the battery", "en-62485", hazard=True)]


@calculator("en-62485")
def battery_air(
    *,
    chemistry: Annotated[Chemistry, Choice("kind of battery", find="printed on it")],
    block_volts: Annotated[Quantity, In("V", "volts of one block", 12, ge=1, le=60, basis="data sheet")],
    series: Annotated[int, Count("blocks one behind the other in a string", 1, ge=1, le=24)] = 1,
    capacity: Annotated[Quantity, In("Ah", "capacity of the bank", 33, ge=0.1, le=40_000)],
    gassing: Annotated[
        Quantity | None,
        In(
            "mA",
            "gassing current of each ampere hour",
            10,
            ge=0.1,
            le=100,
            resolution=0.1,
            find="valve-regulated 10, vented 20, on a regulator that keeps to its volts",
        ),
    ] = None,
    low: Annotated[
        Quantity | None,
        In("cm^2", "free opening low down", 6.5, ge=0, le=10_000, find="holes times their area, less mesh"),
    ] = None,
    high: Annotated[
        Quantity | None,
        In("cm^2", "free opening at the top", 6.5, ge=0, le=10_000, find="holes times their area, less mesh"),
    ] = None,
    apart: Annotated[
        bool | None,
        YesNo("regulator, relays, switches and fuse stand outside the battery's box or below it", True),
    ] = None,
) -> BatteryAir:
    """Openings that thin the hydrogen down to a fifth of what burns.

    Q = v q s n I C with v 24, q 0.42 L/Ah, s 5, n cells, I the gassing current;
    A = 28 Q cm2 low and as much high, where hydrogen goes.  n counts cells, not
    blocks: six in a block of 12 V.  A sealed battery gives off gas too when it
    is charged too hard.  No rule of gas covers lithium.

    >>> box = battery_air(chemistry="sealed lead-acid", block_volts=Q("12 V"), capacity=Q("100 Ah"))
    >>> round(float(box.flow.m_as("m^3/h")), 2), round(float(box.opening.m_as("cm^2")), 1)
    (0.3, 8.5)
    """
    if chemistry.startswith("lithium"):
        why = "lithium gives off no gas in use; its box needs the maker's own rules"
        none = does_not_apply(why)
        empty = Q(np.nan, "m^3/h")
        return BatteryAir(flow=empty, opening=Q(np.nan, "cm^2"), vents_low=none, vents_high=none, no_spark=none)
    facts = read_facts("battery")
    rate = fact(chemistry, "gas") if gassing is None else gassing.to("A") / Q(1, "Ah")
    cells = np.maximum(np.round(np.asarray((series * block_volts / fact(chemistry, "cell")).m_as(""))), 1.0)[()]
    flow = (facts["dilution"].q * facts["safety"].q * facts["gas"].q * cells * rate * capacity).to("m^3/h")
    opening = (facts["opening"].q * flow).to("cm^2")
    return BatteryAir(
        flow=flow,
        opening=opening,
        vents_low=_vent(low, opening, "low down"),
        vents_high=_vent(high, opening, "at the top"),
        no_spark=_spark(apart),
    )


def _vent(given: Quantity | None, wanted: Quantity, where: str) -> Check:
    if given is None:
        return open_check(f"free opening {where} is not entered")
    return at_least(given, wanted)


def _spark(apart: bool | None) -> Check:
    if apart is None:
        return open_check("say where regulator, switches and fuse stand")
    return (
        at_least(Q(1.0), Q(1.0), share=False, reason="outside its air")
        if apart
        else fails("a spark in the battery's air can set hydrogen off: move relay, switch and fuse out")
    )
