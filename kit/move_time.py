"""Time that a machine takes for its moves, starts and stops included.

    >>> raster = run_time(length=Q(60.5, "m"), segments=401, feed=Q(3000, "mm/min"), acceleration=Q(400, "mm/s^2"))
    >>> print(f"{raster.steady:.2f~P} at an even feed, {raster.time:.2f~P} with starts and stops")
    20.17 min at an even feed, 21.00 min with starts and stops

A machine that slows for every corner loses a feed's worth of acceleration each time.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result
from kit.kinds import Count, In, Out, Says
from kit.quantities import Q, Quantity

__all__ = ["RunTime", "TimedRun", "run_time", "seconds", "timed_run"]


def seconds(length: Any, segments: Any, feed: Any, acceleration: Any) -> Any:
    """Time for a length in equal straight segments, each from rest to rest; kernel in metres and seconds.

    A segment long enough to reach the feed takes length/feed + feed/acceleration,
    a shorter one 2 sqrt(length/acceleration).
    """
    many = np.maximum(segments, 1)
    each = np.asarray(length, dtype=float) / many
    reaches = each >= feed**2 / acceleration
    return many * np.where(reaches, each / feed + feed / acceleration, 2 * np.sqrt(each / acceleration))


@result
class RunTime:
    """Time of a path."""

    steady: Annotated[Quantity, Out("min", "time at an even feed", rounding="up", resolution=0.1)]
    time: Annotated[Quantity, Out("min", "time with starts and stops", rounding="up", resolution=0.1)]
    added: Annotated[Quantity, Out("percent", "what starting and stopping adds", rounding="up", resolution=1)]
    mean_feed: Annotated[Quantity, Out("mm/min", "mean feed reached", rounding="down", resolution=10)]
    needed: Annotated[Quantity, Out("mm", "shortest segment that reaches the feed", rounding="up", resolution=0.1)]
    says: Annotated[str, Says("whether the feed is reached")]


@calculator("kit")
def run_time(
    *,
    length: Annotated[Quantity, In("m", "length of the path", 60.5, ge=1e-4, le=1e5, resolution=0.1,
                                   find="the programme says so; or area by step-over")],
    segments: Annotated[int, Count("straight pieces with a stop between", 401, ge=1, le=1_000_000,
                                   find="two a path of a raster: the path and the step; four for a rectangle")],
    feed: Annotated[Quantity, In("mm/min", "feed set", 3000, ge=10, le=60_000, resolution=10)],
    acceleration: Annotated[Quantity, In("mm/s^2", "acceleration of the machine", 400, ge=5, le=20_000,
                                         everyday=(50, 5000), resolution=10,
                                         find="its settings; or time a known run and work it back",
                                         basis="data sheet")],
) -> RunTime:
    """Time of a path made of equal straight pieces, each from rest to rest.

    Long pieces: length/F + F/a each; pieces shorter than F^2/a never reach the
    feed and take 2 sqrt(length/a).  A machine that looks ahead through gentle
    corners is faster, so this is the slow side.

    >>> short = run_time(length=Q(1, "m"), segments=1000, feed=Q(3000, "mm/min"), acceleration=Q(400, "mm/s^2"))
    >>> print(f"{short.mean_feed:.0f~P}")
    600 mm/min
    """
    metres, speed, rate = length.m_as("m"), feed.m_as("m/s"), acceleration.m_as("m/s^2")
    time = Q(seconds(metres, segments, speed, rate), "s").to("min")
    steady = (length / feed).to("min")
    needed = Q(speed**2 / rate, "m").to("mm")
    return RunTime(
        steady=steady, time=time, added=((time / steady - 1) * Q(100, "percent")).to("percent"),
        mean_feed=(length / time).to("mm/min"), needed=needed,
        says=_says(float(np.nanmean(needed.magnitude)), float(np.nanmean(metres)) / segments * 1000),
    )


def _says(needed: float, each: float) -> str:
    """In words, from the middle of the values when they are samples."""
    if each >= needed:
        return f"Pieces of {each:.0f} mm reach the feed: they need {needed:.1f} mm to speed up and slow down."
    return f"Pieces of {each:.1f} mm never reach the feed, which needs {needed:.1f} mm: a higher one gains nothing."


@result
class TimedRun:
    """What a timed run says about the machine."""

    acceleration: Annotated[Quantity, Out("mm/s^2", "acceleration of the machine", rounding="down", resolution=10)]
    lost: Annotated[Quantity, Out("s", "time lost at each stop", resolution=0.01)]
    reached: Annotated[Quantity, Out("mm", "shortest piece that reaches the feed", rounding="up", resolution=0.1)]


@calculator("kit")
def timed_run(
    *,
    length: Annotated[Quantity, In("m", "length of the timed path", 6, ge=0.01, le=1e4, resolution=0.01,
                                   find="a zigzag of 20 lines of 300 mm", basis="measured")],
    segments: Annotated[int, Count("straight pieces with a stop between", 39, ge=1, le=100_000,
                                   find="count lines and steps", basis="measured")],
    feed: Annotated[Quantity, In("mm/min", "feed set", 3000, ge=10, le=60_000, resolution=10, basis="measured")],
    time: Annotated[Quantity, In("s", "time it took, without going down and up", 125, ge=0.1, le=1e5, resolution=0.1,
                                 find="a watch, from first to last movement", basis="measured")],
) -> TimedRun:
    """Acceleration of a machine from one timed run: a = n F / (T - L/F).

    Holds while every piece is long enough to reach the feed; pieces of one
    length are the surest.

    >>> found = timed_run(length=Q(6, "m"), segments=39, feed=Q(3000, "mm/min"), time=Q(125, "s"))
    >>> print(f"{found.acceleration:.0f~P}")
    390 mm/s²
    """
    speed = feed.to("mm/s")
    over = (time - length / feed).to("s")
    require(over.m_as("s") > 0, "it is shorter than the path at an even feed; check the length, the feed and the watch",
            "time")
    rate = (segments * speed / Q(np.where(over.m_as("s") > 0, over.m_as("s"), np.nan)[()], "s")).to("mm/s^2")
    reached = (speed**2 / rate).to("mm")
    require(length / segments >= reached, "the pieces are too short to reach the feed; time longer ones, or slower",
            "length", "segments")
    return TimedRun(acceleration=rate, lost=over / segments, reached=reached)
