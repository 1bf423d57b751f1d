"""Stage 12: the build sheet, everything of all stages together."""

from __future__ import annotations

from collections.abc import Iterator

from kit.cut_plan import CutPlan, cut_plan
from kit.estimating import Totals, totals
from kit.handed import Hazard, Task
from kit.order_of_work import OrderOfWork, order_of_work
from kit.quantities import Q
from kit.sheet_cuts import SheetCuts, sheet_cuts
from kit.stage import EVERY, run, stage

__all__ = ["sheet"]


@stage(
    "sheet",
    "12",
    "Build sheet",
    settles="What to buy, cut and mix, how long it takes, what it costs, and what is still a guess that matters.",
    first_look=("brief.contingency", "brief.budget", "all.shared_error"),
    have_at_hand=("the other stages, at least in first look",),
    mistakes=(
        "Cutting from a printed sheet older than the record: compare the revision first.",
        "Adding a contingency to every item and once more at the end.",
        "Counting drying and delivery as hours of work, or forgetting them altogether.",
    ),
)
def sheet(
    *,
    all: Totals = run(
        totals, parts=EVERY, purchases=EVERY, tasks=EVERY, contingency="brief.contingency", budget="brief.budget"
    ),
    order: OrderOfWork = run(order_of_work, tasks=EVERY, purchases=EVERY),
    cuts: CutPlan = run(cut_plan, pieces=EVERY, bought=EVERY),
    layout: SheetCuts = run(sheet_cuts, pieces=EVERY, bought=EVERY, kerf="sheet.cuts.kerf"),
) -> Iterator[Task | Hazard]:
    """Totals over all stages; the sheet itself is written from them."""
    yield Task(name="keeping the build sheet", quick=Q(3, "h"), likely=Q(4, "h"), slow=Q(6, "h"))
    yield Hazard(
        text="These are worked out, not certified. Local codes, the owner and licensed trades decide; have "
        "guards, ladders, lifting points and mains power checked by a qualified person.",
        cites="practice",
        at="before you cut",
    )
