"""First guesses and totals: whether it floats, who can carry it, what it costs, how long it takes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.handed import Part, Purchase, Task
from kit.kinds import Asks, Count, In, Out, Rows
from kit.quantities import Q, Quantity

__all__ = ["FirstLook", "Totals", "first_look", "totals"]

# Share of the floats' volume that may be under water with everybody aboard. Common practice, no source.
DEEPEST = 0.7
# What one person is asked to carry on dry, firm ground. Common practice, no source: an upper filter of
# 25 kg close to the waist is often quoted and falls with reach, so less is planned for.
CARRIED = 20.0
# Quantile of the normal distribution that four projects in five do not exceed.
FOUR_IN_FIVE = 0.8416


@result
class FirstLook:
    """What six guesses already say."""

    lift: Annotated[Quantity, Out("kg", "mass the floats carry when just under water", rounding="down", resolution=1)]
    light: Annotated[Quantity, Out("percent", "share of the floats under water with nobody aboard", rounding="up")]
    loaded: Annotated[Quantity, Out("percent", "share of the floats under water with everybody aboard", rounding="up")]
    room: Annotated[Quantity, Out("m^2", "deck area for each person", rounding="down")]
    carriers: Annotated[Quantity, Out("1", "people to carry it in one piece on dry, firm ground", rounding="up")]
    cost: Annotated[Quantity, Out("money", "cost with contingency", rounding="up")]
    floats: Annotated[Check, Asks("floats with everybody aboard", "practice")]
    roomy: Annotated[Check, Asks("deck for each person", "BinSchUO-2008")]
    affordable: Annotated[Check, Asks("within the money there is", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice", "BinSchUO-2008")
def first_look(
    *,
    length: Annotated[Quantity, In("m", "length of the deck", 3, ge=0.3, le=30, everyday=(1, 8), find="pace it out")],
    width: Annotated[Quantity, In("m", "width of the deck", 2.2, ge=0.3, le=30, everyday=(1, 5), find="pace it out")],
    people: Annotated[int, Count("people aboard at once", 4, ge=0, le=200, find="ask who will use it on the best day")],
    mass: Annotated[
        Quantity,
        In(
            "kg",
            "mass of everything, floats too, without people",
            700,
            ge=1,
            le=50_000,
            find="30 to 50 kg for each square metre of deck, floats, and what stands on it",
        ),
    ],
    float_volume: Annotated[
        Quantity,
        In(
            "L",
            "volume of all floats together",
            2300,
            ge=1,
            le=200_000,
            find="length x diameter^2 x 0.785 for each tube",
        ),
    ],
    materials: Annotated[
        Quantity,
        In(
            "money",
            "what all materials may cost",
            4500,
            ge=0,
            le=1e6,
            find="half of it is usually the floats and the deck",
        ),
    ],
    person_mass: Annotated[
        Quantity,
        In("kg", "mass of one person, dressed", 80, ge=20, le=200, find="codes use 73 to 84 kg; ask your people"),
    ] = Q(80, "kg"),
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1050)] = Q(1000, "kg/m^3"),
    contingency: Annotated[Quantity, In("percent", "contingency on cost", 15, ge=0, le=100)] = Q(15, "percent"),
    budget: Annotated[Quantity | None, In("money", "money there is", 5500, ge=0, le=1e6)] = None,
) -> FirstLook:
    """From six guesses: does it float, who can carry it, what does it cost.

    Archimedes only: mass over density against the volume of the floats.  Whether
    it lies level and stays up with people at an edge needs the float stage.

    >>> guess = first_look(length=Q(3, "m"), width=Q(2.2, "m"), people=4, mass=Q(700, "kg"),
    ...                    float_volume=Q(2300, "L"), materials=Q(4500, "money"))
    >>> print(f"{guess.loaded.m_as('percent'):.0f} % under water, cost {guess.cost.magnitude:.0f}")
    44 % under water, cost 5175
    """
    lift = (density * float_volume).to("kg")
    aboard = mass + people * person_mass
    loaded = (aboard / lift).to("percent")
    room = (length * width / np.maximum(people, 1)).to("m^2")
    cost = materials * (1 + contingency)
    return FirstLook(
        lift=lift,
        light=(mass / lift).to("percent"),
        loaded=loaded,
        room=room,
        carriers=Q(np.ceil((mass / Q(CARRIED, "kg")).m_as("") - 1e-9)),
        cost=cost.to("money"),
        floats=at_most(loaded, Q(100 * DEEPEST, "percent"), factor="leaves three tenths of the floats dry"),
        # 3.75 persons a square metre of free deck is the densest crowd the inland passenger rule reckons with.
        roomy=at_least(room, Q(1 / 3.75, "m^2")),
        affordable=does_not_apply("no sum of money is entered")
        if budget is None
        else at_most(cost.to("money"), budget),
        notes=(
            "Nothing here says that it lies level or stays up with people at an edge: see float and ballast.",
            "The count of carriers holds for dry, firm ground; none is given for wet, slippery or unstable ground.",
        ),
    )


@result
class Totals:
    """Mass, cost and hours of the whole build."""

    mass: Annotated[Quantity, Out("kg", "mass of all parts at fitting", rounding="up")]
    wet: Annotated[Quantity, Out("kg", "mass of all parts when wet through", rounding="up")]
    x: Annotated[Quantity, Out("m", "x of the centre of mass", resolution=0.001)]
    y: Annotated[Quantity, Out("m", "y of the centre of mass", resolution=0.001)]
    z: Annotated[Quantity, Out("m", "z of the centre of mass", resolution=0.001)]
    materials: Annotated[Quantity, Out("money", "cost of everything to buy", rounding="up")]
    set_aside: Annotated[Quantity, Out("money", "contingency", rounding="up")]
    cost: Annotated[Quantity, Out("money", "cost with contingency", rounding="up")]
    hours: Annotated[Quantity, Out("h", "likely hours of work", resolution=1)]
    independent: Annotated[Quantity, Out("h", "standard deviation if every task erred on its own", resolution=0.1)]
    allow: Annotated[
        Quantity, Out("h", "hours to allow: four builds in five take no more", resolution=1, rounding="up")
    ]
    mass_guessed: Annotated[Quantity, Out("percent", "share of the mass that rests on allowances", rounding="up")]
    cost_guessed: Annotated[Quantity, Out("percent", "share of the cost that rests on allowances", rounding="up")]
    hours_guessed: Annotated[Quantity, Out("percent", "share of the hours that rests on allowances", rounding="up")]
    affordable: Annotated[Check, Asks("within the money there is", "kit")]


@calculator("kit", "practice")
def totals(
    *,
    parts: Annotated[Sequence[Part], Rows("everything with mass")] = (),
    purchases: Annotated[Sequence[Purchase], Rows("everything to buy")] = (),
    tasks: Annotated[Sequence[Task], Rows("everything to do")] = (),
    contingency: Annotated[Quantity, In("percent", "contingency on cost", 15, ge=0, le=100, basis="estimate")],
    shared_error: Annotated[
        Quantity,
        In(
            "percent",
            "how far all hours may be off together",
            20,
            ge=0,
            le=100,
            find="compare your last guess with what it took",
        ),
    ] = Q(20, "percent"),
    budget: Annotated[Quantity | None, In("money", "money there is", 5500, ge=0, le=1e6)] = None,
) -> Totals:
    """Sums over all stages: mass and its centre, cost with contingency taken once, hours by three points.

    Mean of a task (quick + 4 likely + slow)/6, standard deviation (slow - quick)/6.
    The hours to allow add an error that all tasks share (weather, the same pair
    of hands) to the independent ones; without it the band would be far too narrow.
    """
    require(len(parts) + len(purchases) + len(tasks) > 0, "nothing to add up yet", "parts", "purchases", "tasks")
    masses, guessed = _column(parts, "mass", "kg"), _flags(parts)
    costs, hours = _column(purchases, "cost", "money"), _column(tasks, "mean", "h")
    mass, materials, likely = Q(sum(masses), "kg"), Q(sum(costs), "money"), Q(sum(hours), "h")
    set_aside = (materials * contingency).to("money")
    independent = Q(sum(spread**2 for spread in _column(tasks, "spread", "h")) ** 0.5, "h")
    together = (independent**2 + (shared_error * likely) ** 2) ** 0.5
    heavy = np.maximum(mass.magnitude, 1e-9)
    x, y, z = (
        Q(sum(m * place for m, place in zip(masses, _column(parts, axis, "m"), strict=True)) / heavy, "m")
        for axis in "xyz"
    )
    cost = materials + set_aside
    return Totals(
        mass=mass,
        wet=Q(sum(_column(parts, "soaked", "kg")), "kg"),
        x=x,
        y=y,
        z=z,
        materials=materials,
        set_aside=set_aside,
        cost=cost,
        hours=likely,
        independent=independent,
        allow=(likely + FOUR_IN_FIVE * together).to("h"),
        mass_guessed=_share(masses, guessed),
        cost_guessed=_share(costs, _flags(purchases)),
        hours_guessed=_share(hours, _flags(tasks)),
        affordable=does_not_apply("no sum of money is entered") if budget is None else at_most(cost, budget),
    )


def _column(rows: Sequence[Any], name: str, unit: str) -> list[Any]:
    """One column as bare numbers (or samples) in one unit: a build has a hundred rows, and each sum goes over all."""
    return [getattr(row, name).m_as(unit) for row in rows]


def _flags(rows: Sequence[Any]) -> list[bool]:
    return [row.allowance for row in rows]


def _share(amounts: Sequence[Any], guessed: Sequence[bool]) -> Quantity:
    """Share of a sum that rests on allowances; nothing of nothing is 0 %."""
    whole = np.asarray(sum(amounts), dtype=float)
    some = np.asarray(sum(a for a, guess in zip(amounts, guessed, strict=True) if guess), dtype=float)
    shape = np.broadcast(some, whole).shape
    return Q(np.divide(100 * some, whole, out=np.zeros(shape), where=whole > 0)[()], "percent")
