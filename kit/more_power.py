"""What one more panel or battery buys: the same drawn years with each of a few changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.battery import Chemistry
from kit.battery_year import MANY, drawn_run
from kit.calculator import calculator, result
from kit.climate import Month, by_month
from kit.kinds import Choice, Count, In, Out, Rows, Says, Text, YesNo
from kit.months import Year
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["MorePower", "PowerOption", "more_power"]

# Panels and batteries added.
_OPTIONS = {
    "as it is": (0, 0), "one more panel": (1, 0), "two more panels": (2, 0), "one more battery": (0, 1),
    "two more batteries": (0, 2), "one more of each": (1, 1),
}  # fmt: skip


@result
class PowerOption:
    """One change and what it does."""

    name: Annotated[str, Text("change", "one more panel")]
    lost: Annotated[Quantity, Out("d", "days without power in ten years", resolution=0.1)]
    give_or_take: Annotated[Quantity, Out("d", "give or take, at 95 % confidence", resolution=0.1)]
    saved: Annotated[Quantity, Out("d", "fewer than as it is, in ten years", resolution=0.1)]
    ratio: Annotated[Quantity, Out("1", "in over out, worst month of the year", resolution=0.01)]
    days: Annotated[Quantity, Out("d", "days without sun in the worst month", resolution=0.1, rounding="down")]
    cost: Annotated[Quantity, Out("money", "it costs more", resolution=0.01)]


@result
class MorePower:
    """What each change buys."""

    options: Annotated[tuple[PowerOption, ...], Rows("what one more would buy")]
    best: Annotated[str, Says("the first step")]


@calculator("graham-1988", "bendt-1981", "ieee-1562")
def more_power(
    *,
    energy: Annotated[Quantity, In("Wh", "energy into the battery, a mean day of each month", 39, ge=0, le=1e6)],
    drawn: Annotated[Quantity, In("Wh", "drawn from it, a mean day of each month", 30.9, ge=0, le=1e6)],
    usable: Annotated[Quantity, In("Wh", "energy that may be used, each month", 198, ge=0.1, le=1e7)],
    depth: Annotated[Quantity, In("percent", "share of the battery that may be used", 50, ge=5, le=100)],
    clearness: Annotated[Quantity, In("1", "clearness of each month", 0.38, ge=0.02, le=0.85)],
    direct: Annotated[Quantity, In("1", "direct sun on the panels over that on the flat", 1.6, ge=0, le=1e6)] = Q(1),
    diffuse: Annotated[Quantity, In("1", "diffuse sun on the panels over that on the flat", 0.75, ge=0, le=1)] = Q(1),
    ground: Annotated[Quantity, In("1", "sun from the ground over the sun on the flat", 0.05, ge=0, le=1)] = Q(0),
    daylight: Annotated[Quantity, In("h", "from sunrise to sunset, each month", 12, ge=0, le=24)] = Q(12, "h"),
    air: Annotated[Sequence[Month], Rows("air by month", least=1, most=12)],
    chemistry: Annotated[Chemistry, Choice("kind of battery")] = "sealed lead-acid",
    heater: Annotated[bool, YesNo("the battery has a heater")] = False,
    panels: Annotated[Quantity, In("1", "panels there are", 2, ge=1, le=10_000)] = Q(1),
    strings: Annotated[Quantity, In("1", "strings of batteries there are", 1, ge=1, le=100)] = Q(1),
    blocks: Annotated[Quantity, In("1", "blocks in all", 1, ge=1, le=1000)] = Q(1),
    panel_price: Annotated[Quantity, In("money", "price of one panel", 23, ge=0, le=1e5, resolution=0.01)] = Q(
        0, "money"
    ),
    battery_price: Annotated[Quantity, In("money", "price of one block", 84, ge=0, le=1e5, resolution=0.01)] = Q(
        0, "money"
    ),
    years: Annotated[int, Count("years to draw", 100, ge=10, le=1000)] = 200,
    seed: Annotated[int, Count("seed of the weather", 1, ge=0, le=10_000)] = 1,
) -> MorePower:
    """Run the year by days again with one or two panels or batteries more, in the same weather.

    A further panel stands as the others do on the mean; a further battery is a
    further string of the same blocks.  As every change meets the same drawn
    days, their differences are surer than each number by itself.

    >>> more = more_power(energy=Q("30 Wh"), drawn=Q("30 Wh"), usable=Q("198 Wh"), depth=Q("50 %"), clearness=Q(0.38),
    ...     air=[Month(name="May", temperature=Q("9 degC"), humidity=Q("80 %"))], years=40)
    >>> more.options[1].name, bool(more.options[1].lost < more.options[0].lost)
    ('one more panel', True)
    """
    curves = (
        energy,
        drawn,
        usable,
        depth,
        clearness,
        direct,
        diffuse,
        ground,
        daylight,
        by_month(air)[0],
        panels,
        strings,
        blocks,
        panel_price,
        battery_price,
    )
    units = ("Wh", "Wh", "Wh", "", "", "", "", "", "h", "degC", "", "", "", "money", "money")
    box = Year(*curves)
    plain = [box.si(one, unit) for one, unit in zip(curves, units, strict=True)]
    if box.samples > MANY:
        box, plain = Year(), [np.nanmean(one, axis=1, keepdims=True) for one in plain]
    wide = [np.broadcast_to(one, (12, box.samples)) for one in plain]
    made: list[PowerOption] = []
    for name, added in _OPTIONS.items():
        made.append(_option(box, name, added, wide, chemistry, heater, years, seed, made[0] if made else None))
    return MorePower(options=tuple(made), best=_best(made))


def _option(
    box: Year,
    name: str,
    added: tuple[int, int],
    wide: list[Any],
    chemistry: str,
    heater: bool,
    years: int,
    seed: int,
    before: PowerOption | None,
) -> PowerOption:
    panels, strings, blocks, panel_price, battery_price = (one[0] for one in wide[10:])
    comes, holds = wide[0] * (1 + added[0] / panels), wide[2] * (1 + added[1] / strings)
    run, _, _ = drawn_run([comes, wide[1], holds, *wide[3:10]], chemistry, heater, years, seed)
    each = np.where(np.isnan(run.lacking), np.nan, run.lacking > 1e-6).sum(axis=0)
    lost = 10 * each.mean(axis=0)
    doubt = np.where(lost == 0, 30.0 / years, 10 * 1.96 * each.std(axis=0, ddof=1) / np.sqrt(years)) + 0 * lost
    out = box.out(lost, "d")
    cost = added[0] * panel_price + added[1] * blocks / strings * battery_price
    return PowerOption(
        name=name,
        lost=out,
        give_or_take=box.out(doubt, "d"),
        saved=Q(0.0, "d") + 0 * out if before is None else before.lost - out,
        ratio=box.out(np.minimum((comes / np.maximum(wide[1], 1e-6)).min(axis=0), 999.0)),
        days=box.out(np.minimum((holds / np.maximum(wide[1], 1e-6)).min(axis=0), 9999.0), "d"),
        cost=box.out(cost, "money"),
    )


def _best(made: list[PowerOption]) -> str:
    """The cheapest of the single steps that spares at least half of the days, or that there is nothing to spare."""
    now = nominal(made[0].lost)
    if not now > 0:
        return "nothing to buy: no day without power was drawn"
    singles = [one for one in made if one.name in ("one more panel", "one more battery")]
    useful = [one for one in singles if nominal(one.lost) <= now / 2] or [min(singles, key=lambda o: nominal(o.lost))]
    first = min(useful, key=lambda one: (nominal(one.cost), nominal(one.lost)))
    return f"{first.name} first: {now:.0f} days without power in ten years become {nominal(first.lost):.0f}"
