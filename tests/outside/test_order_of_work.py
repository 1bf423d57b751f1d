"""The order of work held against a published problem of one machine with heads and tails."""

from __future__ import annotations

import pytest

from kit.handed import Purchase, Task
from kit.order_of_work import order_of_work
from kit.quantities import Q

# Jobs of the example: head (comes on day), processing, tail (waits afterwards).
HEADS = (10, 13, 11, 20, 30, 0, 30)
HOURS = (5, 6, 7, 4, 3, 6, 2)
TAILS = (7, 26, 24, 21, 8, 17, 0)


@pytest.mark.outside(
    "order_of_work", "J. Carlier, The one-machine sequencing problem, 1982, example of seven jobs (from memory)"
)
def test_the_order_of_seven_jobs_is_that_of_schrages_rule() -> None:
    """Schrage's rule takes 53 days on these seven jobs; the best there is takes 50."""
    tasks, purchases = [], []
    for number, (head, hours, tail) in enumerate(zip(HEADS, HOURS, TAILS, strict=True), start=1):
        h = Q(hours, "h")
        tasks.append(Task(name=f"j{number}: work", quick=h, likely=h, slow=h, wait=Q(tail, "d")))
        if head:
            purchases.append(Purchase(name=f"j{number}: stuff", needed=Q(1), wait=Q(head, "d")))
    made = order_of_work(tasks=tasks, purchases=purchases, pace=Q(7, "h"))

    assert [step.name[1] for step in made.steps] == list("6123457")
    assert made.whole[0].days.m_as("d") == pytest.approx(53)
