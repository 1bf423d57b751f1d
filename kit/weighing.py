"""What a raft weighs, at fitting and wet through, and where its centre of gravity is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.floats import Ballast, FloatBody, check_floats, columns, float_table
from kit.handed import Part
from kit.kinds import In, Out, Rows, Text
from kit.quantities import Q, Quantity
from kit.slack import SlackTank, surface_moments

__all__ = ["RaftWeight", "Weighed", "weigh"]


@result
class Weighed:
    """One thing on the raft: its mass at fitting and its moments about the middle of the deck."""

    name: Annotated[str, Text("part", "deck boards")]
    mass: Annotated[Quantity, Out("kg", "mass at fitting")]
    moment_x: Annotated[Quantity, Out("kg*m", "moment towards the named end")]
    moment_y: Annotated[Quantity, Out("kg*m", "moment to the right")]


@result
class RaftWeight:
    """Mass and centre of the whole raft, at fitting and wet through."""

    mass: Annotated[Quantity, Out("kg", "whole mass at fitting", rounding="up")]
    x: Annotated[Quantity, Out("m", "x of the centre of gravity")]
    y: Annotated[Quantity, Out("m", "y of the centre of gravity")]
    z: Annotated[Quantity, Out("m", "z of the centre of gravity")]
    wet_mass: Annotated[Quantity, Out("kg", "whole mass wet through, with growth", rounding="up")]
    wet_x: Annotated[Quantity, Out("m", "x of the centre of gravity, wet")]
    wet_y: Annotated[Quantity, Out("m", "y of the centre of gravity, wet")]
    wet_z: Annotated[Quantity, Out("m", "z of the centre of gravity, wet")]
    parts_mass: Annotated[Quantity, Out("kg", "mass of the parts, without floats and ballast")]
    floats_mass: Annotated[Quantity, Out("kg", "mass of the floats")]
    ballast_mass: Annotated[Quantity, Out("kg", "mass of the ballast placed")]
    load: Annotated[Quantity, Out("kg", "mass of everything but the floats, wet through", rounding="up")]
    load_z: Annotated[Quantity, Out("m", "z of the centre of that mass")]
    fluid_z: Annotated[Quantity, Out("m", "z of the centre of gravity, raised by the free surface of slack tanks")]
    wet_fluid_z: Annotated[Quantity, Out("m", "the same, wet")]
    lost_across: Annotated[Quantity, Out(
        "m", "metacentric height lost to slack tanks across, wet", resolution=0.001, rounding="up")]
    lost_lengthwise: Annotated[Quantity, Out(
        "m", "metacentric height lost to slack tanks lengthwise, wet", resolution=0.001, rounding="up")]
    drums: Annotated[Quantity, Out("1", "drums among the floats", rounding="up")]
    blocks: Annotated[Quantity, Out("m^3", "foam in bare blocks", resolution=0.01, rounding="up")]
    tubes_length: Annotated[Quantity, Out("m", "round tube in the floats", rounding="up")]
    discs: Annotated[Quantity, Out("1", "end caps and bulkheads in the floats", rounding="up")]
    foam: Annotated[Quantity, Out("m^3", "foam in the floats", resolution=0.01, rounding="up")]
    moment_x: Annotated[Quantity, Out("kg*m", "moment towards the named end, ballast left out")]
    moment_y: Annotated[Quantity, Out("kg*m", "moment to the right, ballast left out")]
    resting: Annotated[Quantity, Out("percent", "share of the mass that is allowances")]
    weighed: Annotated[tuple[Weighed, ...], Rows("part by part")]
    as_parts: Annotated[tuple[Part, ...], Rows("floats, tanks and ballast as parts")]


@calculator("kit")
def weigh(
    *,
    parts: Annotated[Sequence[Part], Rows("parts that the floats carry", least=0, most=500)],
    floats: Annotated[Sequence[FloatBody], Rows("floats", least=1, most=40)],
    ballast: Annotated[Sequence[Ballast], Rows("ballast placed", least=0, most=40)] = (),
    growth: Annotated[Quantity, In(
        "kg", "weed and slime on the floats after a season", 25, ge=0, le=5000,
        find="scrape a square metre of a neighbour's float and weigh it")] = Q(0, "kg"),
    tanks: Annotated[Sequence[SlackTank], Rows("slack tanks, with the liquid in them", least=0, most=40)] = (),
) -> RaftWeight:
    """Mass and centre of everything that floats, at fitting and wet through.

    Sums of mass and of mass times place over parts, floats and ballast.  Growth
    sits where the floats are.  The free surface of slack tanks counts as a rise of
    the centre of gravity by the greater of the two losses, so that every load case
    is on the safe side.  People, snow and water on deck are left out: they
    are load cases.

    >>> deck = Part(name="deck", mass=Q(100, "kg"), x=Q(0, "m"), y=Q(0, "m"), z=Q(0.1, "m"))
    >>> tube = FloatBody(name="port", diameter=Q(500, "mm"), length=Q(3, "m"), z=Q(-0.26, "m"),
    ...                  mass_per_metre=Q(22.25, "kg/m"))
    >>> print(f"{weigh(parts=[deck], floats=[tube]).mass:.1f~P}")
    166.8 kg
    """
    check_floats(floats)
    table = float_table(floats)
    float_places = columns(floats, x="m", y="m", z="m")
    fitted, soaked = _both_states(parts)
    placed, each, held = _group(ballast), _grown(table.wet, growth), _group(tanks)
    dry = [fitted, (table.dry, *float_places), held, placed]
    wet = [soaked, (each, *float_places), held, placed]
    mass, *moments = _sums(dry)
    wet_mass, *wet_moments = _sums(wet)
    require(np.all(mass > Q(0, "kg")) and np.all(wet_mass > Q(0, "kg")),
            "everything together weighs nothing; enter the masses of the floats", "floats")
    before = _sums(dry[:3])
    allowed = _sums([_group([part for part in parts if part.allowance])])[0]
    load, *load_moments = _sums([wet[0], *wet[2:]])
    across, lengthwise = (moments_.sum(axis=0) for moments_ in surface_moments(tanks))
    greater = Q(np.maximum(across.m_as("kg*m"), lengthwise.m_as("kg*m"))[()], "kg*m")
    blocks = np.array([one.is_foam for one in floats])
    return RaftWeight(
        mass=mass, wet_mass=wet_mass, parts_mass=_sums(dry[:1])[0], floats_mass=table.dry.sum(axis=0),
        ballast_mass=_sums(dry[3:])[0], foam=table.foam[~blocks].sum(axis=0).to("m^3"),
        blocks=table.foam[blocks].sum(axis=0).to("m^3"), drums=Q(sum(one.shape == "drum" for one in floats)),
        fluid_z=(moments[2] + greater) / mass, wet_fluid_z=(wet_moments[2] + greater) / wet_mass,
        lost_across=across / wet_mass, lost_lengthwise=lengthwise / wet_mass,
        load=load, load_z=load_moments[2] / (load + Q(1e-9, "kg")),
        tubes_length=sum((f.length for f in floats if f.shape == "round tube"), Q(0, "m")),
        discs=Q(sum(f.cells + 1 for f in floats if f.shape == "round tube")),
        moment_x=before[1], moment_y=before[2], resting=(allowed / mass).to("percent"),
        weighed=tuple(_weighed(list(zip((parts, floats, tanks, ballast), dry, strict=True)))),
        as_parts=tuple(_as_parts(floats, table.dry, each, [*tanks, *ballast])),
        **{axis: moment / mass for axis, moment in zip("xyz", moments, strict=True)},
        **{f"wet_{axis}": moment / wet_mass for axis, moment in zip("xyz", wet_moments, strict=True)},
    )


def _group(rows: Sequence[Any]) -> tuple[Any, ...]:
    """Mass and place of rows."""
    if not rows:
        return tuple(Q(np.zeros(0), text) for text in ("kg", "m", "m", "m"))
    return columns(rows, mass="kg", x="m", y="m", z="m")


def _both_states(parts: Sequence[Part]) -> tuple[tuple[Any, ...], tuple[Any, ...]]:
    """Mass and place of the parts at fitting, and wet: a wet mass that is left out is the mass at fitting."""
    if not parts:
        return _group(parts), _group(parts)
    mass, wet, *place = columns(parts, mass="kg", wet_mass="kg", x="m", y="m", z="m")
    given = np.array([part.wet_mass is not None for part in parts]).reshape((-1,) + (1,) * (wet.ndim - 1))
    return (mass, *place), (Q(np.where(given, wet.m_as("kg"), mass.m_as("kg")), "kg"), *place)


def _grown(wet: Any, growth: Quantity) -> Any:
    """Growth shared over the floats alike."""
    share = growth / wet.shape[0]
    return wet + share if wet.ndim > 1 or not np.ndim(share.magnitude) else wet[:, None] + share


def _sums(groups: Sequence[tuple[Any, ...]]) -> tuple[Any, ...]:
    """Mass, and its moments about the datum, of groups of (masses, x, y, z); worked in kg and m, seven times a raft."""
    mass: Any = 0.0
    moments: list[Any] = [0.0] * 3
    for masses, *places in groups:
        heavy = masses.m_as("kg")
        mass = mass + heavy.sum(axis=0)
        for n, place in enumerate(places):
            arm = place.m_as("m")
            moments[n] = moments[n] + (heavy * (arm[:, None] if heavy.ndim > arm.ndim else arm)).sum(axis=0)
    return (Q(mass, "kg"), *(Q(moment, "kg*m") for moment in moments))


def _weighed(groups: Sequence[tuple[Sequence[Any], tuple[Any, ...]]]) -> Any:
    for rows, (masses, x, y, _) in groups:
        along, across = masses * x, masses * y
        for place, one in enumerate(rows):
            yield Weighed(name=one.name, mass=masses[place], moment_x=along[place], moment_y=across[place])


def _as_parts(floats: Sequence[FloatBody], dry: Any, wet: Any, heavies: Sequence[Any]) -> Any:
    for one, mass, soaked in zip(floats, dry, wet, strict=True):
        yield Part(name=one.name, mass=mass, x=one.x, y=one.y, z=one.z, wet_mass=soaked)
    for heavy in heavies:
        yield Part(name=heavy.name, mass=heavy.mass, x=heavy.x, y=heavy.y, z=heavy.z)
