"""The order of work: dependencies, waiting that takes no hands, deliveries, dates; orders tried one by one."""

from __future__ import annotations

import itertools

import pytest

from kit.calculator import InputError
from kit.handed import Purchase, Task
from kit.order_of_work import Before, OrderOfWork, order_of_work
from kit.quantities import Q

PACE = Q(7, "h")  # an hour a day, so that hours and days are the same number


def task(name: str, hours: float, wait: float = 0, after: str = "-") -> Task:
    """A task whose three estimates agree."""
    h = Q(hours, "h")
    return Task(name=name, quick=h, likely=h, slow=h, wait=Q(wait, "d"), after=after)


def begins(order: OrderOfWork) -> dict[str, float]:
    """Days on which tasks begin."""
    return {step.name: float(step.begins.m_as("d")) for step in order.steps}


def test_a_task_begins_when_those_before_it_are_done_and_have_cured() -> None:
    """Gluing takes a day and two to cure: planing begins on day three, and two days are idle."""
    order = order_of_work(tasks=[task("p: plane", 1, after="p: glue"), task("p: glue", 1, wait=2)], pace=PACE)

    assert begins(order) == pytest.approx({"p: glue": 0, "p: plane": 3})
    assert order.whole[0].idle.m_as("d") == pytest.approx(2)
    assert order.whole[0].days.m_as("d") == pytest.approx(4)


def test_other_work_goes_on_while_glue_cures() -> None:
    """A task that hangs on nothing fills the waiting, and nothing is idle."""
    tasks = [task("p: glue", 1, wait=2), task("p: plane", 1, after="p: glue"), task("f: saw", 2)]
    order = order_of_work(tasks=tasks, pace=PACE)

    assert begins(order) == pytest.approx({"p: glue": 0, "f: saw": 1, "p: plane": 3})
    assert order.whole[0].idle.m_as("d") == 0


def test_what_is_bought_must_have_come() -> None:
    """Tasks of a stage wait for its slowest delivery, those of others do not."""
    pipe = Purchase(name="raft: pipe", needed=Q(1), wait=Q(10, "d"))
    order = order_of_work(tasks=[task("raft: weld", 1), task("frame: saw", 1)], purchases=[pipe], pace=PACE)

    assert begins(order) == pytest.approx({"frame: saw": 0, "raft: weld": 10})
    assert order.steps[-1].because == "delivery of what is bought for it"


def test_half_the_hours_a_week_take_twice_the_days() -> None:
    """Labour stretches with the pace, waiting does not."""
    tasks = [task("p: glue", 4, wait=2), task("p: plane", 2, after="p: glue")]
    whole, half = (order_of_work(tasks=tasks, pace=p).whole[0].days.m_as("d") for p in (PACE, PACE / 2))

    assert (whole, half) == pytest.approx((8, 14))


def test_a_readers_own_rule_holds_a_task_back() -> None:
    """What is said under `before` counts like what the stage says."""
    rule = Before(name="f: saw", after="p: glue")
    order = order_of_work(tasks=[task("f: saw", 9), task("p: glue", 1)], before=[rule], pace=PACE)

    assert begins(order) == pytest.approx({"p: glue": 0, "f: saw": 1})


def test_a_name_that_is_no_task_is_remarked_on_and_not_waited_for() -> None:
    """A misspelt task is named; a stage that was switched off holds nothing up and is not talked about."""
    order = order_of_work(tasks=[task("f: saw", 1, after="f: gone; x: off")], pace=PACE)

    assert begins(order) == {"f: saw": 0}
    assert order.notes == ("f: saw would wait for 'f: gone', which is no task of this build",)


def test_tasks_that_wait_for_each_other_are_refused_with_the_round() -> None:
    """The sentence names the tasks."""
    with pytest.raises(InputError, match=r"tasks would wait for each other: .*a: one.*a: two"):
        order_of_work(tasks=[task("a: one", 1, after="a: two"), task("a: two", 1, after="a: one")])


def test_days_become_dates() -> None:
    """Begun on a Saturday, a task on day three falls on the Tuesday."""
    tasks = [task("p: glue", 1, wait=2), task("p: plane", 1, after="p: glue")]
    order = order_of_work(tasks=tasks, pace=PACE, begin="2027-03-06")

    assert [step.on for step in order.steps] == ["2027-03-06", "2027-03-09"]
    assert order.done == "2027-03-10"
    with pytest.raises(InputError, match="'soon' is no day; write year-month-day, such as 2027-03-06"):
        order_of_work(tasks=tasks, begin="soon")


def test_the_chain_names_what_the_last_day_hangs_on() -> None:
    """From the end backwards, through waiting and through hands that were busy."""
    tasks = [task("p: glue", 1, wait=9), task("p: plane", 1, after="p: glue"), task("f: saw", 2)]

    assert order_of_work(tasks=tasks, pace=PACE).chain == "p: plane ← p: glue"


@pytest.mark.parametrize("seed", range(30))
def test_no_order_breaks_a_rule_and_few_are_shorter(seed: int) -> None:
    """On random sets of six tasks all rules hold, and the best of all orders is at most a third shorter."""
    import numpy as np

    stream = np.random.default_rng(seed)
    names = [f"s: {letter}" for letter in "abcdef"]
    tasks = [
        task(
            name,
            float(stream.integers(1, 6)),
            float(stream.integers(0, 8)),
            "; ".join(n for n in names[:place] if stream.random() < 0.3) or "-",
        )
        for place, name in enumerate(names)
    ]
    order = order_of_work(tasks=tasks, pace=PACE)
    by_name = {step.name: step for step in order.steps}
    for one in tasks:
        for earlier in filter(lambda n: n != "-", one.after.split("; ")):
            assert by_name[one.name].begins.m >= by_name[earlier].ready.m - 1e-9
    spans = sorted((s.begins.m, s.ends.m) for s in order.steps)
    assert all(a[1] <= b[0] + 1e-9 for a, b in itertools.pairwise(spans))
    assert order.whole[0].days.m <= 4 / 3 * _best(tasks) + 1e-9


def _best(tasks: list[Task]) -> float:
    """The shortest time over every order of the tasks."""
    best = float("inf")
    for way in itertools.permutations(tasks):
        ready: dict[str, float] = {}
        day = 0.0
        for one in way:
            wanted = [n for n in one.after.split("; ") if n != "-"]
            if any(n not in ready for n in wanted):
                break
            day = max([day, *(ready[n] for n in wanted)]) + float(one.mean.m_as("h"))
            ready[one.name] = day + float(one.wait.m_as("d"))
        else:
            best = min(best, max(ready.values()))
    return best
