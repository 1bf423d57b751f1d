"""Saw, planer and drill: feed per tooth, knife marks, time per hole.

    >>> planed = planer_marks(knives=3, speed=Q(3600, "rpm"), feed=Q(30, "ft/min"), head=Q(100, "mm"))
    >>> print(f"{planed.per_inch.m_as('1/in'):.0f} marks to the inch")
    30 marks to the inch

Guards on, riving knife in, push stick in hand: no figure here says that a cut is safe.
"""

from __future__ import annotations

import math
from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, require, result
from kit.checks import Check, at_least, at_most, between, does_not_apply
from kit.kinds import Asks, Choice, Count, In, Out
from kit.quantities import Q, Quantity
from kit.router import per_turn

__all__ = ["Drilling", "PlanerMarks", "SawCut", "drilling", "planer_marks", "saw_cut"]

_NEAR = 1e-9


@result
class SawCut:
    """One cut with a circular saw."""

    rim_speed: Annotated[Quantity, Out("m/s", "speed of the teeth", resolution=0.1)]
    tooth_feed: Annotated[Quantity, Out("mm", "feed per tooth", resolution=0.001)]
    mean_chip: Annotated[Quantity, Out("mm", "mean thickness of a chip", resolution=0.001)]
    in_wood: Annotated[Quantity, Out("1", "teeth in the wood at once", resolution=0.1)]
    power: Annotated[Quantity, Out("W", "power at the blade", rounding="up", resolution=10)]
    fastest: Annotated[Quantity, Out("m/min", "fastest feed that the motor allows", rounding="down", resolution=0.1)]
    time: Annotated[Quantity, Out("min", "time in the wood for all cuts", rounding="up", resolution=0.1)]
    sawdust: Annotated[Quantity, Out("L", "solid wood turned to dust", resolution=0.1)]
    chip: Annotated[Check, Asks("chips neither dust nor chunks", "practice")]
    powered: Annotated[Check, Asks("power of the motor", "kit")]
    turns: Annotated[Check, Asks("speed the blade is marked for", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice", "memory")
def saw_cut(
    *,
    blade: Annotated[Quantity, In("mm", "diameter of the blade", 254, ge=50, le=1000, resolution=1, find="on the blade",
                                  basis="data sheet")],
    teeth: Annotated[int, Count("teeth", 24, ge=2, le=300, find="on the blade", basis="data sheet")],
    speed: Annotated[Quantity, In("rpm", "speed of the blade", 4000, ge=300, le=20_000, resolution=50,
                                  basis="data sheet")],
    feed: Annotated[Quantity, In("m/min", "feed", 5, ge=0.05, le=100, everyday=(1, 20), resolution=0.1,
                                 find="time a board of known length through the saw", basis="measured")],
    height: Annotated[Quantity, In("mm", "thickness of the wood", 28, ge=1, le=300, resolution=1, basis="measured")],
    above: Annotated[Quantity, In("mm", "blade standing above the wood", 8, ge=0, le=300, resolution=1,
                                  find="to the gullets: about 8 mm", basis="common practice")] = Q(8, "mm"),
    kerf: Annotated[Quantity, In("mm", "width of the cut", 3, ge=0.5, le=12, resolution=0.1, basis="measured",
                                 find="calipers in a cut")] = Q(3, "mm"),
    length: Annotated[Quantity, In("m", "length of all cuts", 6, ge=0, le=10_000, resolution=0.1)] = Q(6, "m"),
    motor: Annotated[Quantity, In("W", "power of the motor", 1500, ge=100, le=20_000, basis="data sheet",
                                  find="its plate says what it takes in; it gives about two thirds")] = Q(1000, "W"),
    cutting_energy: Annotated[Quantity, In("J/cm^3", "energy to cut away a volume of wood", 50, ge=2, le=500,
                                           find="power meter, cutting less idling, by the volume cut in a second")]
    = Q(50, "J/cm^3"),
    marked: Annotated[Quantity | None, In("rpm", "greatest speed marked on the blade", 7000, ge=300, le=30_000,
                                          basis="data sheet", find="on the blade", chosen=True)] = None,
    thin: Annotated[Quantity, In("mm", "least feed per tooth", 0.03, ge=0.001, le=1, basis="common practice",
                                 find="less rubs and burns")] = Q(0.03, "mm"),
    thick: Annotated[Quantity, In("mm", "greatest feed per tooth", 0.25, ge=0.01, le=3, basis="common practice",
                                  find="more tears and overloads")] = Q(0.25, "mm"),
) -> SawCut:
    """Feed per tooth, chip, power and time of a circular saw whose table carries the wood.

    fz = F / (n z).  The teeth cut between the angles at which the rim passes the
    two faces of the wood, so the mean chip is fz (height/R) / that arc.  Power is
    kerf times height times feed times the energy to cut a volume of wood.

    >>> rip = saw_cut(blade=Q(254, "mm"), teeth=24, speed=Q(4000, "rpm"), feed=Q(5, "m/min"), height=Q(28, "mm"))
    >>> print(f"{rip.rim_speed:.0f~P}, {rip.tooth_feed.m_as('mm'):.3f} mm a tooth, {rip.power:.0f~P}")
    53 m/s, 0.052 mm a tooth, 350 W
    """
    require(above + height <= blade / 2, "the blade does not reach through: wood and stand-up together are more than "
            "half its diameter", "blade", "height", "above")
    require(thin < thick, "the least must be below the greatest, such as 0.03 and 0.25 mm", "thin", "thick")
    r, top, under = (q.m_as("mm") for q in (blade / 2, above, above + height))
    arc = np.arccos(np.clip((r - under) / r, -1, 1)) - np.arccos(np.clip((r - top) / r, -1, 1))
    tooth = (feed / (per_turn(teeth) * speed)).to("mm")
    power = (kerf * height * feed * cutting_energy).to("W")
    return SawCut(
        rim_speed=(math.pi * per_turn(1) * blade * speed).to("m/s"), tooth_feed=tooth,
        mean_chip=tooth * (height / (blade / 2)).m_as("") / arc, in_wood=Q(teeth * arc / (2 * math.pi)), power=power,
        fastest=(feed * motor / power).to("m/min"), time=(length / feed).to("min"),
        sawdust=(length * kerf * height).to("L"), chip=between(tooth.to("um"), thin.to("um"), thick.to("um")),
        powered=at_most(power, motor),
        turns=does_not_apply("no greatest speed is entered: read it on the blade before you fit it")
        if marked is None else at_most(speed.to("rpm"), marked.to("rpm")),
    )


@result
class PlanerMarks:
    """The surface a planer or jointer leaves."""

    pitch: Annotated[Quantity, Out("mm", "distance from mark to mark", resolution=0.01)]
    per_inch: Annotated[Quantity, Out("1/in", "marks to the inch", rounding="down", resolution=0.1)]
    wave: Annotated[Quantity, Out("mm", "height of the waves between marks", rounding="up", resolution=0.0001)]
    fastest: Annotated[Quantity, Out("m/min", "fastest feed for the marks wanted", rounding="down", resolution=0.1)]
    passes: Annotated[Quantity, Out("1", "passes", rounding="up")]
    time: Annotated[Quantity, Out("min", "time in the machine", rounding="up", resolution=0.1)]
    fine: Annotated[Check, Asks("knife marks close enough", "wengert-marks")]
    notes: tuple[str, ...] = ()


@calculator("wengert-marks", "kit")
def planer_marks(
    *,
    knives: Annotated[int, Count("knives in the head", 3, ge=1, le=20, basis="data sheet")],
    speed: Annotated[Quantity, In("rpm", "speed of the head", 5000, ge=500, le=20_000, resolution=50,
                                  basis="data sheet")],
    feed: Annotated[Quantity, In("m/min", "feed", 7, ge=0.2, le=60, resolution=0.1, basis="data sheet",
                                 find="time a board of known length through it")],
    head: Annotated[Quantity, In("mm", "diameter over the knives", 62, ge=20, le=300, resolution=1,
                                 basis="data sheet")],
    equal: Annotated[Literal["yes", "no"], Choice("all knives cut alike", "yes",
                                                  find="unless jointed together, one knife leaves all the marks")]
    = "yes",
    rough: Annotated[Quantity, In("mm", "thickness before", 32, ge=1, le=500, resolution=0.5, basis="measured")]
    = Q(32, "mm"),
    planed: Annotated[Quantity, In("mm", "thickness after", 26, ge=1, le=500, resolution=0.1, basis="measured")]
    = Q(26, "mm"),
    cut: Annotated[Quantity, In("mm", "depth of one pass", 1.5, ge=0.05, le=10, resolution=0.1, chosen=True)]
    = Q(1.5, "mm"),
    length: Annotated[Quantity, In("m", "length of all boards", 10, ge=0, le=10_000, resolution=0.1)] = Q(10, "m"),
    least: Annotated[Quantity, In("1/in", "marks to the inch wanted", 20, ge=2, le=100, chosen=True)] = Q(20, "1/in"),
) -> PlanerMarks:
    """Knife marks: pitch F / (n z), waves of pitch^2 / (4 D), passes and time.

    The wave is what two circles of the head's diameter leave between them.  A
    knife that stands a hundredth of a millimetre proud leaves all the marks: then
    one knife counts.

    >>> marks = planer_marks(knives=2, speed=Q(8500, "rpm"), feed=Q(12, "m/min"), head=Q(50, "mm"))
    >>> print(f"{marks.pitch.m_as('mm'):.3f} mm")
    0.706 mm
    """
    require(planed <= rough, "the thickness after planing cannot be greater, such as 26 of 32 mm", "rough", "planed")
    leaving = knives if equal == "yes" else 1
    a_turn = per_turn(leaving) * speed
    pitch = (feed / a_turn).to("mm")
    passes = Q(np.ceil(((rough - planed) / cut).m_as("") - _NEAR))
    return PlanerMarks(
        pitch=pitch, per_inch=(1 / pitch).to("1/in"), wave=(pitch**2 / (4 * head)).to("mm"),
        fastest=(a_turn / least).to("m/min"), passes=passes, time=(passes * length / feed).to("min"),
        fine=at_least((1 / pitch).to("1/in"), least.to("1/in")),
    )


@result
class Drilling:
    """Holes of one size."""

    feed: Annotated[Quantity, Out("mm/min", "feed", rounding="down", resolution=10)]
    edge_speed: Annotated[Quantity, Out("m/min", "speed of the drill's rim", resolution=1)]
    lip: Annotated[Quantity, Out("mm", "chip of one lip", resolution=0.001)]
    point: Annotated[Quantity, Out("mm", "length of the point", resolution=0.1)]
    travel: Annotated[Quantity, Out("mm", "travel to the full depth", rounding="up", resolution=0.1)]
    lifts: Annotated[Quantity, Out("1", "lifts in a hole to clear chips")]
    each: Annotated[Quantity, Out("s", "time for one hole", rounding="up", resolution=0.1)]
    time: Annotated[Quantity, Out("min", "time for all", rounding="up", resolution=1)]
    power: Annotated[Quantity, Out("W", "power at the drill", rounding="up", resolution=1)]
    drills: Annotated[Quantity, Out("1", "drills to have at hand", rounding="up")]
    bites: Annotated[Check, Asks("it cuts and does not rub", "practice")]
    long_enough: Annotated[Check, Asks("flutes long enough for the hole", "kit")]
    reaches: Annotated[Check, Asks("drill reaches the bottom of the hole", "kit")]
    notes: tuple[str, ...] = ()


@calculator("kit", "practice")
def drilling(
    *,
    diameter: Annotated[Quantity, In("mm", "drill", 3.5, ge=0.3, le=80, resolution=0.1, basis="measured")],
    speed: Annotated[Quantity, In("rpm", "speed", 1500, ge=20, le=30_000, resolution=50, basis="data sheet")],
    turn_feed: Annotated[Quantity, In("mm", "feed in one turn", 0.2, ge=0.005, le=5, resolution=0.01, basis="measured",
                                      find="time one hole and divide; by hand about 0.1 to 0.4")],
    depth: Annotated[Quantity, In("mm", "depth of the hole at its full width", 28, ge=0.5, le=1000, resolution=1,
                                  basis="measured")],
    holes: Annotated[Quantity, In("1", "holes", 240, ge=0, le=1e6, resolution=1)],
    lips: Annotated[int, Count("cutting lips", 2, ge=1, le=4)] = 2,
    point_angle: Annotated[Quantity, In("deg", "angle of its point", 118, ge=60, le=180, resolution=1,
                                        basis="data sheet")] = Q(118, "deg"),
    bite: Annotated[Quantity, In("1", "depth between lifts, in diameters", 5, ge=0.5, le=50, basis="common practice")]
    = Q(5),
    moving: Annotated[Quantity, In("s", "time from hole to hole", 6, ge=0, le=600, resolution=1, basis="measured",
                                   find="time twenty holes with a template")] = Q(6, "s"),
    flute: Annotated[Quantity | None, In("mm", "length of the flutes", 39, ge=1, le=1000, resolution=1,
                                         basis="measured")] = None,
    above: Annotated[Quantity, In("mm", "wider hole above it, drilled before", 0, ge=0, le=1000, resolution=1,
                                  find="thickness of the upper piece, where this hole is in the lower one",
                                  basis="measured")] = Q(0, "mm"),
    stands_out: Annotated[Quantity | None, In("mm", "drill standing out of the chuck", 80, ge=1, le=1500, resolution=1,
                                              find="rule, the drill held by as much of its shank as the chuck takes",
                                              basis="measured")] = None,
    lasts: Annotated[Quantity, In("1", "holes one drill lasts", 400, ge=1, le=1e6, find="count once")] = Q(400),
    cutting_energy: Annotated[Quantity, In("J/cm^3", "energy to cut away a volume of wood", 50, ge=2, le=500)]
    = Q(50, "J/cm^3"),
) -> Drilling:
    """Feed, time and number of drills for holes of one size.

    The point adds D / (2 tan(angle/2)); each bite of so many diameters but the
    last ends with a lift, whose way up and back is left out.  A wider hole above
    costs no time, but the drill must reach through it.  Power is the area of the
    hole times feed times the energy to cut a volume of wood.

    >>> deck = drilling(diameter=Q(3.5, "mm"), speed=Q(1500, "rpm"), turn_feed=Q(0.2, "mm"), depth=Q(28, "mm"),
    ...                 holes=Q(240))
    >>> print(f"{deck.each:.0f~P} a hole, {deck.time:.0f~P} in all")
    12 s a hole, 47 min in all
    """
    feed = (per_turn(1) * speed * turn_feed).to("mm/min")
    point = (diameter / (2 * np.tan(point_angle.m_as("rad") / 2))).to("mm")
    travel = (depth + point).to("mm")
    each = (travel / feed).to("s") + moving.to("s")
    lip = (turn_feed / lips).to("mm")
    return Drilling(
        feed=feed, edge_speed=(math.pi * per_turn(1) * diameter * speed).to("m/min"), lip=lip, point=point,
        travel=travel,
        lifts=Q(np.maximum(np.ceil((travel / (bite * diameter)).m_as("") - _NEAR), 1) - 1), each=each,
        time=(holes * each).to("min"), power=(math.pi / 4 * diameter**2 * feed * cutting_energy).to("W"),
        drills=Q(np.ceil((holes / lasts).m_as("") - _NEAR)),
        bites=at_least(lip.to("um"), Q(30, "um"), reason="less rubs, heats and hardens the hole"),
        long_enough=does_not_apply("no length of flutes is entered") if flute is None
        else at_least(flute.to("mm"), travel),
        reaches=does_not_apply("how far the drill stands out is not entered") if stands_out is None
        else at_least(stands_out.to("mm"), (above + travel).to("mm")),
    )
