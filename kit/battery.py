"""The battery: how its blocks are joined, and what of it can be used warm and cold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import applies, calculator, result
from kit.checks import Check, at_least, at_most, between, does_not_apply
from kit.climate import Month, MonthName, by_month
from kit.kinds import Asks, Choice, Count, In, Out, Rows, Says
from kit.months import MONTH, Year, in_season
from kit.quantities import Q, Quantity
from kit.sources import read_facts, read_table
from kit.struts import nominal

__all__ = ["BatteryBank", "Chemistry", "battery_bank", "cold_multiplier", "fact", "freezes_at"]

Chemistry = Literal["sealed lead-acid", "flooded lead-acid", "lithium iron phosphate"]
_SHORT = {"sealed lead-acid": "sealed", "flooded lead-acid": "flooded", "lithium iron phosphate": "lithium"}


def fact(chemistry: str, what: str) -> Quantity:
    """A handbook value of a chemistry, such as "cell" or "charge"."""
    return read_facts("battery")[f"{_SHORT[chemistry]}-{what}"].q


def cold_multiplier(chemistry: str, celsius: Any) -> Any:
    """How many times the wanted capacity has to be bought for a temperature, by the table; level at its ends."""
    kind = "lithium" if chemistry.startswith("lithium") else "lead"
    rows = sorted(
        (float(r["temperature"]), float(r["multiplier"])) for r in read_table("battery_cold") if r["kind"] == kind
    )
    return np.interp(celsius, [t for t, _ in rows], [m for _, m in rows])


def freezes_at(left: Any) -> Any:
    """Freezing point of the acid, degC, of a lead-acid battery with a share of its charge left."""

    def column(what: str) -> tuple[list[float], list[float]]:
        rows = [(float(r["x"]), float(r["y"])) for r in read_table("acid") if r["what"] == what]
        return [x for x, _ in rows], [y for _, y in rows]

    return np.interp(np.interp(100 * left, *column("gravity")), *column("freezes"))


@result
class BatteryBank:
    """The blocks together."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    usable: Annotated[Quantity, Out("Wh", "energy that may be used", over="month", resolution=1, rounding="down")]
    divisor: Annotated[
        Quantity, Out("1", "capacity is divided by this in the cold", over="month", resolution=0.01, rounding="up")
    ]
    volts: Annotated[Quantity, Out("V", "volts of the bank, nominal", resolution=0.1)]
    capacity: Annotated[Quantity, Out("Ah", "capacity of the bank", resolution=0.1, rounding="down")]
    energy: Annotated[Quantity, Out("Wh", "energy of the bank, full and new", resolution=1, rounding="down")]
    usable_season: Annotated[
        Quantity, Out("Wh", "may be used in the coldest month of the season", resolution=1, rounding="down")
    ]
    usable_winter: Annotated[
        Quantity, Out("Wh", "may be used in the coldest month of the year", resolution=1, rounding="down")
    ]
    depth: Annotated[Quantity, Out("percent", "share that may be used", resolution=1)]
    blocks: Annotated[Quantity, Out("1", "blocks in all")]
    strings: Annotated[Quantity, Out("1", "strings side by side")]
    joined: Annotated[str, Says("how they are joined")]
    right_volts: Annotated[Check, Asks("the bank has the volts of the build", "kuphaldt", hazard=True)]
    few_strings: Annotated[Check, Asks("not too many strings side by side", "practice")]
    no_ice: Annotated[Check, Asks("the acid does not freeze when it is down", "acid-freezing")]
    not_too_deep: Annotated[Check, Asks("no more is used than this kind bears again and again", "ieee-1013")]


@calculator("kuphaldt", "ieee-1013", "acid-freezing")
def battery_bank(
    *,
    chemistry: Annotated[Chemistry, Choice("kind of battery", find="printed on it")],
    block_volts: Annotated[
        Quantity, In("V", "volts of one block", 12, chosen=True, ge=1, le=60, basis="data sheet", find="printed on it")
    ],
    block_capacity: Annotated[
        Quantity,
        In(
            "Ah",
            "capacity of one block",
            33,
            ge=0.5,
            le=2000,
            basis="data sheet",
            find="printed on it: the 20 hour figure, or the 100 hour one for small loads",
        ),
    ],
    series: Annotated[int, Count("blocks one behind the other in a string", 1, ge=1, le=24)] = 1,
    parallel: Annotated[int, Count("strings side by side", 1, ge=1, le=20)] = 1,
    system_volts: Annotated[Quantity, In("V", "volts of the build", 12, chosen=True, ge=1, le=60)] = Q(12, "V"),
    usable_share: Annotated[
        Quantity | None,
        In("percent", "share that may be used before it is cut off", 50, chosen=True,
           ge=5, le=100, find="lead 50, lithium 80"),
    ] = None,
    health: Annotated[
        Quantity,
        In(
            "percent",
            "capacity it has left of its rated one",
            100,
            ge=20,
            le=120,
            find="new 100; worn out 80; test: hours at a known current down to the cut-off",
        ),
    ] = Q(100, "percent"),
    cold_season: Annotated[
        Quantity | None,
        In(
            "1",
            "capacity divisor in the cold of the season, by its maker",
            1.1,
            ge=1,
            le=4,
            resolution=0.01,
            find="leave it out for the table by the month's mean air",
        ),
    ] = None,
    cold_winter: Annotated[
        Quantity | None, In("1", "the same out of the season", 1.35, ge=1, le=4, resolution=0.01)
    ] = None,
    air: Annotated[Sequence[Month], Rows("air by month", least=1, most=12)],
    cold: Annotated[Quantity, In("degC", "coldest air", -10, ge=-60, le=40)] = Q(0, "degC"),
    season_begins: Annotated[MonthName, Choice("first month of the season", "April")] = "April",
    season_ends: Annotated[MonthName, Choice("last month of the season", "October")] = "October",
    cut_off: Annotated[
        Quantity | None, In("V", "volts at which loads are cut off", 11.5, ge=1, le=70, resolution=0.1)
    ] = None,
) -> BatteryBank:
    """Volts add along a string, ampere hours add side by side; the cold and the cut-off leave less than is printed.

    E = V C times share usable times health over the cold divisor, for every
    month.  A string is as weak as its weakest block; blocks of unlike age side
    by side charge one another and are not covered.  Small loads hardly pull the
    volts down: they empty a lead-acid battery to the charge that rests at the
    cut-off, past the share reckoned with, so its acid is looked at there.

    >>> two = battery_bank(chemistry="sealed lead-acid", block_volts=Q("12 V"), block_capacity=Q("7 Ah"), parallel=2,
    ...     air=[Month(name="June", temperature=Q("20 degC"), humidity=Q("60 %"))])
    >>> print(round(float(two.volts.m_as("V"))), round(float(two.capacity.m_as("Ah"))), two.joined)
    12 14 2 blocks side by side
    """
    year = Year(
        block_volts,
        block_capacity,
        series,
        parallel,
        system_volts,
        usable_share,
        health,
        cold_season,
        cold_winter,
        cold,
        *(m.temperature for m in air),
        cut_off,
    )
    share = fact(chemistry, "usable") if usable_share is None else usable_share
    season = in_season(season_begins, season_ends)
    divisor = _divisor(year, chemistry, by_month(air)[0], cold_season, cold_winter, season)
    volts, capacity = series * block_volts, parallel * block_capacity
    energy = volts * capacity
    usable = year.curve(energy, "Wh") * Q(year.si(share, "") * year.si(health, "") / divisor)
    plain = usable.m_as("Wh")
    deep = year.si(share, "")[0]
    return BatteryBank(
        month=MONTH,
        usable=year.months(plain, "Wh"),
        divisor=year.months(divisor),
        volts=year.out(_flat(year, volts, "V"), "V"),
        capacity=year.out(_flat(year, capacity, "Ah"), "Ah"),
        energy=year.out(_flat(year, energy, "Wh"), "Wh"),
        usable_season=year.out(_least(plain, season), "Wh"),
        usable_winter=year.out(_least(plain, ~season), "Wh"),
        depth=year.out(100 * deep, "percent"),
        blocks=year.out(np.atleast_1d(np.asarray(series * parallel, dtype=float))),
        strings=year.out(np.atleast_1d(np.asarray(parallel, dtype=float))),
        joined=_joined(series, parallel),
        right_volts=_volts_fit(year, volts, system_volts, series, parallel),
        few_strings=at_most(
            year.out(np.atleast_1d(np.asarray(parallel, dtype=float))),
            Q(4.0),
            share=False,
            reason="more than four strings never share the current evenly",
        ),
        no_ice=_no_ice(year, chemistry, 1 - deep, cold, _down_to(year, cut_off, volts)),
        not_too_deep=_deep(year, chemistry, deep),
    )


def _flat(year: Year, value: Quantity, unit: str) -> Any:
    return year.si(value, unit)[0]


def _least(months: Any, part: Any) -> Any:
    return months[part].min(axis=0) if part.any() else months.min(axis=0)


def _divisor(year: Year, chemistry: str, air: Quantity, season_given: Any, winter_given: Any, season: Any) -> Any:
    table = cold_multiplier(chemistry, year.si(air, "degC"))
    in_it = table if season_given is None else year.si(season_given, "")
    out_of_it = table if winter_given is None else year.si(winter_given, "")
    low = nominal(np.min(year.si(air, "degC"), axis=0))
    applies(low >= -20 or winter_given is not None, "Colder than the table of capacity against cold goes.")
    return np.where(season[:, None], in_it, out_of_it)


def _joined(series: Any, parallel: Any) -> str:
    along, beside = round(nominal(series)), round(nominal(parallel))
    if along == 1:
        return "one block" if beside == 1 else f"{beside} blocks side by side"
    if beside == 1:
        return f"{along} blocks one behind the other"
    return f"{beside} strings side by side, each of {along} blocks one behind the other"


def _volts_fit(year: Year, volts: Quantity, wanted: Quantity, series: Any, parallel: Any) -> Check:
    """Within 15 % of the volts of the build: a lithium bank of 12.8 V is one of 12 V."""
    have, want = nominal(volts.m_as("V")), nominal(wanted.m_as("V"))
    reason = ""
    if abs(have - want) > 0.15 * want:
        reason = f"the bank gives {have:.3g} V, the build is for {want:.3g} V: {_joined(series, parallel)}; " + (
            "join blocks side by side" if have > want else "join blocks one behind the other"
        )
    around = _flat(year, wanted, "V")
    found = between(
        year.out(_flat(year, volts, "V"), "V"),
        year.out(0.85 * around, "V"),
        year.out(1.15 * around, "V"),
        reason=reason,
    )
    # Near the edge of the span is no worse than in its middle.
    return replace(found, share=np.nan)


def _down_to(year: Year, cut_off: Quantity | None, volts: Quantity) -> Any:
    """Share of its charge at which a lead-acid bank rests at the volts of the cut-off; all of it without one."""
    if cut_off is None:
        return 1.0
    rows = read_table("rest_volts")
    charge, rests = ([float(row[name]) for row in rows] for name in ("charge", "volts"))
    of_twelve = 12 * _flat(year, cut_off, "V") / _flat(year, volts, "V")
    return np.interp(of_twelve, rests, charge) / 100


def _deep(year: Year, chemistry: str, deep: Any) -> Check:
    if chemistry.startswith("lithium"):
        return does_not_apply("a lithium battery is guarded by its own electronics")
    return at_most(
        year.out(100 * deep, "percent"),
        fact(chemistry, "deepest"),
        reason="from memory; a lead-acid battery that is emptied further dies within a few winters",
    )


def _no_ice(year: Year, chemistry: str, left: Any, cold: Quantity, down_to: Any) -> Check:
    if chemistry.startswith("lithium"):
        return does_not_apply("there is no acid in a lithium battery")
    lowest = np.minimum(left, down_to)
    return at_least(
        year.out(_flat(year, cold, "degC"), "degC"),
        year.out(freezes_at(lowest), "degC"),
        share=False,
        reason=f"coldest air against the freezing point of the acid with {100 * nominal(lowest):.0f} % of its charge, "
               "down at the cut-off",
    )
