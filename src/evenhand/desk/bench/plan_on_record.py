"""The standing plan of a study as it is on record, worked out once for each state of the record."""

from __future__ import annotations

from evenhand.desk.bench.plan_needs import minutes_by_test
from evenhand.desk.bench.plan_standing import PlanNow, Traces, standing_plan
from evenhand.desk.bench.planned_without import dropped_setups, gone_of
from evenhand.desk.comparison.findings_now import cells_now
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.live import live_study
from evenhand.plans.looks import declared
from evenhand.records.plans import BenchNote, Placing


def plan_on_record(record: StudyOnRecord) -> PlanNow | None:
    """The plan that stands with the state of its slots; None where there is none."""
    return record.once("plan", _plan)


def _plan(record: StudyOnRecord) -> PlanNow | None:
    plan = record.plan
    if plan is None:
        return None
    live = live_study(
        cells_now(record),
        study=record.study,
        looks=declared(plan.looks),
        minutes=minutes_by_test(record, plan),
    )
    return standing_plan(
        plan, record, traces=traces_of(record), live=live, gone=gone_of(record, dropped_setups(record))
    )


def traces_of(record: StudyOnRecord) -> Traces:
    """What was filed and written under the slots of the study's plans: a slot keeps its number when kept."""
    placings: dict[int, list[Placing]] = {}
    notes: dict[int, dict[str, BenchNote]] = {}
    for placing in record.placed:
        if placing.slot is not None:
            placings.setdefault(placing.slot, []).append(placing)
    for written in record.written:
        notes.setdefault(written.slot, {})[written.key] = written
    return Traces(placings={n: tuple(own) for n, own in placings.items()}, notes=notes)
