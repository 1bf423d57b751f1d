"""The order of work: what waits for what, what can go on meanwhile, and when it is done at the reader's pace."""

from __future__ import annotations

import graphlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.handed import Purchase, Task
from kit.kinds import In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["Before", "OrderOfWork", "Step", "Whole", "order_of_work"]

_DAYS = 7.0


@row
class Before:
    """A task that must not begin before others are done, in the reader's own words."""

    name: Annotated[str, Text("task, with its stage", "mooring: launch and mooring", longest=160)]
    after: Annotated[
        str, Text("tasks to be done before it, a semicolon between", "raft: floats welded", longest=400)
    ] = "-"


@result
class Step:
    """One task in its turn."""

    name: Annotated[str, Says("task")]
    begins: Annotated[Quantity, Out("d", "begins on day", resolution=1)]
    ends: Annotated[Quantity, Out("d", "hands are free on day", resolution=1, rounding="up")]
    ready: Annotated[Quantity, Out("d", "cured, dried or delivered on day", resolution=1, rounding="up")]
    because: Annotated[str, Says("what it waited for")]
    on: Annotated[str, Says("date it begins")]


@result
class Whole:
    """The work as a whole, at nominal hours."""

    days: Annotated[Quantity, Out("d", "days from the first task to the last ready", resolution=1, rounding="up")]
    labour: Annotated[Quantity, Out("h", "hours of labour in it", resolution=1)]
    idle: Annotated[Quantity, Out("d", "days on which nothing can be done but wait", resolution=1, rounding="up")]


@result
class OrderOfWork:
    """All tasks in an order that one pair of hands can work; built from nominal hours."""

    steps: Annotated[tuple[Step, ...], Rows("tasks in the order of work")]
    whole: Annotated[tuple[Whole, ...], Rows("the work as a whole")]
    done: Annotated[str, Says("date it is done")]
    chain: Annotated[str, Says("what the last day hangs on, from the end backwards")]
    notes: tuple[str, ...] = ()


@dataclass(slots=True)
class _Job:
    name: str
    days: float
    wait: float
    after: tuple[str, ...]
    delivered: float
    begins: float = 0.0
    because: str = ""

    @property
    def ends(self) -> float:
        return self.begins + self.days

    @property
    def ready(self) -> float:
        return self.ends + self.wait


def _nominal(quantity: Quantity, unit: str) -> float:
    numbers = np.atleast_1d(quantity.m_as(unit))
    good = numbers[np.isfinite(numbers)]
    return float(good.mean()) if good.size else 0.0


def _names(text: str) -> tuple[str, ...]:
    return tuple(name for part in text.split(";") if (name := part.strip()) not in ("", "-"))


def _jobs(
    tasks: Sequence[Task], purchases: Sequence[Purchase], before: Sequence[Before], pace: float
) -> tuple[dict[str, _Job], list[str]]:
    """Tasks by name with what each waits for, and remarks on names that are no tasks."""
    delivery: dict[str, float] = {}
    for one in purchases:
        stage = one.name.partition(":")[0]
        delivery[stage] = max(delivery.get(stage, 0.0), _nominal(one.wait, "d"))
    more: dict[str, tuple[str, ...]] = {}
    for rule in before:
        more[rule.name] = (*more.get(rule.name, ()), *_names(rule.after))
    there = {task.name for task in tasks}
    stages = {name.partition(":")[0] for name in there}
    said = [f"'{name}' is no task of this build; what is said of it is not used" for name in more if name not in there]
    jobs = {}
    for task in tasks:
        wanted = dict.fromkeys((*_names(task.after), *more.get(task.name, ())))
        # A stage the build does not have holds nothing up, and nobody need be told.
        said += [f"{task.name} would wait for '{name}', which is no task of this build" for name in wanted
                 if name not in there and name.partition(":")[0] in stages]
        after = tuple(name for name in wanted if name in there)
        stage = task.name.partition(":")[0]
        jobs[task.name] = _Job(
            task.name, _nominal(task.mean, "h") / pace, _nominal(task.wait, "d"), after, delivery.get(stage, 0.0)
        )
    return jobs, said


def _lengths(jobs: Mapping[str, _Job], order: Iterable[str]) -> dict[str, float]:
    """Days from the end of each task to the end of the longest chain that hangs on it, its own waiting included."""
    tail = dict.fromkeys(jobs, 0.0)
    for name in reversed(list(order)):
        job = jobs[name]
        whole = tail[name] + job.days + job.wait
        for earlier in job.after:
            tail[earlier] = max(tail[earlier], whole)
    return {name: tail[name] + job.wait for name, job in jobs.items()}


def _free_from(job: _Job, jobs: Mapping[str, _Job]) -> tuple[float, str]:
    """The day from which a task may begin for all but the hands, and what holds it until then."""
    held = [(jobs[name].ready, name) for name in job.after]
    if job.delivered:
        held.append((job.delivered, "delivery of what is bought for it"))
    return max(held, default=(0.0, ""))


def _work_through(jobs: Mapping[str, _Job], lengths: Mapping[str, float]) -> tuple[list[_Job], float]:
    """Tasks one after another: of those that may begin the one with the longest chain behind it; and days idle."""
    done: list[_Job] = []
    waiting = list(jobs.values())
    day = idle = 0.0
    before = ""
    while waiting:
        open_now = [job for job in waiting if all(jobs[name] in done for name in job.after)]
        free = {job.name: _free_from(job, jobs) for job in open_now}
        soonest = min(at for at, _ in free.values())
        if soonest > day + 1e-9:
            idle += soonest - day
            day, before = soonest, ""
        able = [job for job in open_now if free[job.name][0] <= day + 1e-9]
        job = max(able, key=lambda one: lengths[one.name])
        held_until, holder = free[job.name]
        job.begins = day
        job.because = holder if held_until >= day - 1e-9 and holder else before
        done.append(job)
        waiting.remove(job)
        day, before = job.ends, job.name
    return done, idle


def _chain(done: Sequence[_Job]) -> str:
    by_name = {job.name: job for job in done}
    job: _Job | None = max(done, key=lambda one: one.ready)
    names = []
    while job is not None:
        names.append(job.name)
        job = by_name.get(job.because)
    return " ← ".join(names)


@calculator("practice")
def order_of_work(
    *,
    tasks: Annotated[Sequence[Task], Rows("everything to do", most=2000)] = (),
    purchases: Annotated[Sequence[Purchase], Rows("everything to buy", most=2000)] = (),
    before: Annotated[
        Sequence[Before], Rows("what else must be done first", find="ask of each task: what can I not do before it?")
    ] = (),
    pace: Annotated[
        Quantity, In("h", "hours of work in a week", 10, ge=0.5, le=168, everyday=(2, 60), chosen=True,
                     find="count the last four weekends")
    ] = Q(10, "h"),
    begin: Annotated[str, Text("day the work begins, year-month-day", "2027-03-06", longest=10)] = "-",
) -> OrderOfWork:
    """Put all tasks in an order that one pair of hands can work, and say when each begins.

    A task begins when the hands are free, all tasks named before it are done and
    have cured, dried or been delivered, and what is bought for its stage, ordered
    on the first day, has come.  Of several that may begin, the one with the
    longest chain behind it goes first.  Waiting takes no hands: other tasks go on
    meanwhile.  This is Schrage's rule for one machine with heads and tails.  Hours
    are the mean of three estimates, spread evenly over the week.
    Built from nominal hours only.

    >>> glue = Task(name="panels: glue up", quick=Q(7, "h"), likely=Q(7, "h"), slow=Q(7, "h"), wait=Q(2, "d"))
    >>> plane = Task(name="panels: plane", quick=Q(7, "h"), likely=Q(7, "h"), slow=Q(7, "h"), after="panels: glue up")
    >>> [step.name for step in order_of_work(tasks=[plane, glue], pace=Q(49, "h")).steps]
    ['panels: glue up', 'panels: plane']
    """
    require(len(tasks) > 0, "there is nothing to do yet; a stage hands on tasks once its hours are entered", "tasks")
    first = _date(begin)
    jobs, said = _jobs(tasks, purchases, before, _nominal(pace, "h") / _DAYS)
    try:
        order = list(graphlib.TopologicalSorter({job.name: job.after for job in jobs.values()}).static_order())
    except graphlib.CycleError as error:
        order = []
        require(False, f"tasks would wait for each other: {' waits for '.join(reversed(error.args[1]))}", "before")
    done, idle = _work_through(jobs, _lengths(jobs, order))
    last = max(job.ready for job in done)
    return OrderOfWork(
        steps=tuple(_step(job, first) for job in done),
        whole=(Whole(days=Q(last, "d"), labour=Q(sum(_nominal(t.mean, "h") for t in tasks), "h"), idle=Q(idle, "d")),),
        done=_on(first, last),
        chain=_chain(done),
        notes=tuple(said),
    )


def _step(job: _Job, first: date | None) -> Step:
    return Step(
        name=job.name, begins=Q(job.begins, "d"), ends=Q(job.ends, "d"), ready=Q(job.ready, "d"),
        because=job.because or "nothing", on=_on(first, job.begins),
    )


def _date(text: str) -> date | None:
    if text.strip() in ("", "-"):
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        require(False, f"'{text}' is no day; write year-month-day, such as 2027-03-06", "begin")
        return None


def _on(first: date | None, day: float) -> str:
    return "no day to begin is entered" if first is None else (first + timedelta(days=int(day + 1e-9))).isoformat()
