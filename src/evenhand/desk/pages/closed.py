"""The page that stands in for one closed until the plan is done: why, how far the plan is, what to do."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.frame import PAGES, Frame, address, frame_of
from evenhand.publish.numbers import capital, counted
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedPage:
    """Everything the page shows; `plan` is the plan under which names are hidden."""

    frame: Frame
    answer: str
    left: str
    plan: int
    bench: str
    runs: str


def closed_page(wb: Workbench, study: str, page: str) -> ClosedPage:
    """What stands in for `page`, one of PAGES or any other. Raises NotFound."""
    record = load_study(wb, study)
    plan = plan_on_record(record)
    left = len(plan.coming) if plan else 0
    return ClosedPage(
        frame=frame_of(record, page if page in PAGES else "bench"),
        answer="Names are hidden until the plan is done, so this page is closed.",
        left=f"{capital(counted(left, 'run is', 'runs are'))} left to make. "
        "After the last one it opens by itself.",
        plan=plan.plan.id if plan else 0,
        bench=address(study, "bench"),
        runs=f"{address(study, 'runs')}?masked=1",
    )
