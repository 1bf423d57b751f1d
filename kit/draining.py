"""Frost and draining: in which months pipes must be empty, and whether they run empty by themselves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, result, row
from kit.checks import Check, at_least, at_most
from kit.climate import MONTHS, Month, MonthName, by_month
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text, YesNo
from kit.pipe_flow import Bore
from kit.quantities import Q, Quantity
from kit.struts import nominal

__all__ = ["DrainPipe", "DrainStep", "Draining", "Frost", "draining", "frost"]


@result
class Frost:
    """The months in which water in a pipe may freeze."""

    month: Annotated[Quantity, Out("1", "month of the year")]
    temperature: Annotated[Quantity, Out("degC", "mean air temperature", over="month")]
    freezing: Annotated[str, Says("months in which pipes must be empty")]
    nights: Annotated[str, Says("other months with a chance of a frosty night")]
    left_full: Annotated[Quantity, Out("1", "months of frost in which the pipes are full", resolution=1, rounding="up")]
    drained: Annotated[Check, Asks("the pipes are empty in every month of frost", "practice")]


@calculator("practice")
def frost(
    *,
    months: Annotated[Sequence[Month], Rows("air by month", least=1, most=12)],
    cold: Annotated[Quantity, In("degC", "coldest air", -10, ge=-60, le=40, find="nearest weather station")],
    drained_from: Annotated[MonthName, Choice("first month in which the pipes are empty", "November")],
    drained_until: Annotated[MonthName, Choice("last month in which the pipes are empty", "March")],
    mean: Annotated[Quantity, In(
        "degC", "monthly mean at and below which frost is usual", 6, ge=-10, le=20, basis="common practice",
        chosen=True, find="nights are some 4 to 5 degC colder than the mean of the month; common practice, no source")]
    = Q(6, "degC"),
    nights_below: Annotated[Quantity, In(
        "degC", "monthly mean below which a single night may freeze", 10, ge=-10, le=25, basis="common practice",
        chosen=True)] = Q(10, "degC"),
) -> Frost:
    """Months of frost from the mean temperature of each, held against the months in which the pipes are empty.

    A month is one of frost when its mean is at or below a limit and the place
    freezes at all.  A thin hose freezes in one night of hard frost; a pump or
    valve with water in it splits.  Wind and clear sky make it worse.

    >>> year = [Month(name="January", temperature=Q(1, "degC"), humidity=Q(88, "percent")),
    ...         Month(name="July", temperature=Q(14, "degC"), humidity=Q(80, "percent"))]
    >>> frost(months=year, cold=Q(-10, "degC"), drained_from="November", drained_until="March").freezing
    'November to March'
    """
    temperature, _ = by_month(months)
    # Samples of the limits need an axis of their own beside the months.
    sampled = np.ndim(cold.magnitude) or np.ndim(mean.magnitude)
    means = temperature.m_as("degC")
    by_sample = means[:, None] if sampled and means.ndim == 1 else means
    low = (by_sample <= mean.m_as("degC")) & (np.asarray(cold.m_as("degC")) < 0)
    first, last = MONTHS.index(drained_from), MONTHS.index(drained_until)
    empty = np.array([(n - first) % 12 <= (last - first) % 12 for n in range(12)])
    full = low & ~empty.reshape((12,) + (1,) * (low.ndim - 1))
    middle = [nominal(one) for one in means]
    limit, chilly, least = (nominal(one.m_as("degC")) for one in (mean, nights_below, cold))
    usual = [n for n in range(12) if middle[n] <= limit and least < 0]
    chance = [n for n in range(12) if n not in usual and middle[n] < chilly and least < 0]
    number = Q(full.sum(axis=0).astype(float)[()])
    return Frost(
        month=Q(np.arange(1.0, 13.0)), temperature=temperature, freezing=_said(usual),
        nights=_said(chance), left_full=number,
        drained=at_most(number, Q(0), share=False, reason=_reason(usual, empty)),
    )


def _said(months: Sequence[int]) -> str:
    """Months in words, a run of three or more by its ends, round the turn of the year."""
    if len(months) == 12:
        return "all year"
    runs: list[list[int]] = []
    # Beginning after a month that is not among them, no run is cut in two.
    start = next((n for n in range(12) if n not in months), 0)
    for n in ((start + k) % 12 for k in range(12)):
        if n in months:
            if runs and (runs[-1][-1] + 1) % 12 == n:
                runs[-1].append(n)
            else:
                runs.append([n])
    said = [
        f"{MONTHS[run[0]]} to {MONTHS[run[-1]]}" if len(run) > 2 else ", ".join(MONTHS[n] for n in run) for run in runs
    ]
    return ", ".join(said) or "none"


def _reason(usual: Sequence[int], empty: Any) -> str:
    full = [n for n in usual if not empty[n]]
    return f"full in {_said(full)}" if full else "no month of frost finds them full"


@row
class DrainPipe:
    """A pipe that has to run empty."""

    name: Annotated[str, Text("pipe", "to the shower")]
    length: Annotated[Quantity, In("m", "length", 2.4, out_by="50 mm",
                                   ge=0.01, le=1000, resolution=0.01, basis="measured")]
    bore: Bore
    high: Annotated[Quantity, In("m", "its high end, above the deck", 1.16, out_by="20 mm",
                                 ge=-50, le=100, resolution=0.01,
                                 basis="measured")]
    low: Annotated[Quantity, In("m", "its low end, above the deck", 0.13, out_by="20 mm",
                                ge=-50, le=100, resolution=0.01,
                                basis="measured")]
    sags: Annotated[bool, YesNo("does it sag, loop or rise again on its way")] = False


@result
class DrainStep:
    """One step of draining, in order."""

    name: Annotated[str, Text("step", "1")]
    does: Annotated[str, Says("what to do")]


@result
class Draining:
    """Water in the pipes, and how it gets out."""

    volume: Annotated[Quantity, Out("L", "water in pipes, pump and strainer", resolution=0.01, rounding="up")]
    mass: Annotated[Quantity, Out("kg", "its mass", resolution=0.01, rounding="up")]
    flattest: Annotated[Quantity, Out("deg", "fall of the flattest pipe", resolution=0.1, rounding="down")]
    which: Annotated[str, Says("flattest pipe")]
    swells: Annotated[Quantity, Out("mL", "room that ice would need besides", resolution=1, rounding="up")]
    steps: Annotated[tuple[DrainStep, ...], Rows("draining, in order")]
    runs_empty: Annotated[Check, Asks("every pipe falls enough to run empty, however it lies", "practice")]


# Ice takes up about a tenth more room than water: 917 against 1000 kg/m^3.
_ICE = Q(1000 / 917 - 1)


@calculator("practice", "kit")
def draining(
    *,
    pipes: Annotated[Sequence[DrainPipe], Rows("pipes", least=1, most=40)],
    held: Annotated[Quantity, In("L", "water in pump, valves and strainer", 0.1, ge=0, le=1000, resolution=0.01,
                                 find="pour it out and measure")] = Q(0.1, "L"),
    lean: Annotated[Quantity, In("deg", "how far the whole may lean the wrong way at rest", 0.6, ge=0, le=30,
                                 resolution=0.1)] = Q(0, "deg"),
    fall: Annotated[Quantity, In("deg", "fall that a pipe needs", 0.6, chosen=True, ge=0, le=45, resolution=0.1,
                                 basis="common practice", find="1 in 100 is 0.6 degrees; common practice")]
    = Q(0.6, "deg"),
    density: Annotated[Quantity, In("kg/m^3", "density of the water", 999.7, ge=950, le=1100, basis="handbook")]
    = Q(999.7, "kg/m^3"),
) -> Draining:
    """Water held, the flattest pipe against the fall it needs, and the order in which to drain.

    Fall is the angle whose sine is (high - low)/length; a pipe that sags has none.  It must
    be more than what a pipe needs plus what the raft may lean the wrong way.
    Air must come in at the top before water runs out at the bottom.

    >>> empties = draining(pipes=[DrainPipe(name="to the shower", length=Q(2.4, "m"), bore=Q(13, "mm"),
    ...                                     high=Q(1.16, "m"), low=Q(0.13, "m"))])
    >>> print(f"{empties.volume:.2f~P}; {empties.runs_empty.verdict}")
    0.42 L; meets
    """
    volume = sum((np.pi / 4 * one.bore**2 * one.length for one in pipes), held).to("L")
    slopes = np.stack(np.broadcast_arrays(*(_slope(one) for one in pipes)))
    flattest = Q(slopes.min(axis=0)[()], "deg")
    which = pipes[int(np.argmin([nominal(one) for one in slopes]))]
    need = fall + lean
    said = f"{which.name} sags" if which.sags else f"flattest: {which.name}"
    return Draining(
        volume=volume, mass=(volume * density).to("kg"), flattest=flattest, which=which.name,
        swells=(volume * _ICE).to("mL"), steps=_steps(pipes),
        runs_empty=at_least(flattest, need, reason=said, factor="limit includes the lean of the raft"),
    )


def _slope(one: DrainPipe) -> Any:
    """Fall of a pipe in degrees along its length; a pipe that sags has none."""
    share = np.clip(((one.high - one.low) / one.length).m_as(""), -1.0, 1.0)
    return np.where(one.sags, 0.0, np.degrees(np.arcsin(share)))


def _steps(pipes: Sequence[DrainPipe]) -> tuple[DrainStep, ...]:
    """Air in at the top first, then water out from the lowest end upwards; built from the middle of the values."""
    down = sorted(pipes, key=lambda one: -nominal(one.high))
    up = sorted(pipes, key=lambda one: nominal(one.low))
    words = [
        "take the fuse of the pump out, so that it cannot start dry",
        f"let air in at the high ends, the highest first: {_names(down)}",
        f"let the water out at the low ends, the lowest first: {_names(up)}",
        *(f"lift '{one.name}' by hand from one end to the other, for it sags" for one in pipes if one.sags),
        "lift the strainer out of the water, turn the pump upside down and shake it",
        "leave every ball valve half open: shut or open it traps water in its ball",
    ]
    return tuple(DrainStep(name=str(n), does=text) for n, text in enumerate(words, start=1))


def _names(pipes: Sequence[DrainPipe]) -> str:
    return ", ".join(f"'{one.name}'" for one in pipes)
