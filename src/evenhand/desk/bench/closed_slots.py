"""Why a run of the plan is not to be made any more: it has landed, was left out, or is no longer needed."""

from __future__ import annotations

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow, SlotState
from evenhand.desk.on_record import StudyOnRecord
from evenhand.publish.numbers import run_words
from evenhand.records.runs import RunState

ELSEWHERE = "This run is not in the plan any more: the rest was planned anew meanwhile."


def closed_words(record: StudyOnRecord, plan: int, slot: int) -> str:
    """Why the slot of this plan is closed, in a sentence; "" where it is still to be run.

    While names are hidden no number of a run is told.
    """
    standing = plan_on_record(record)
    now = None if standing is None else _in_standing(record, standing, plan, slot)
    if standing is None or now is None:
        return ELSEWHERE
    return "" if now.state.open else _closed(record, f"Run {standing.place(now.slot.number)}", now)


def _in_standing(record: StudyOnRecord, standing: PlanNow, plan: int, slot: int) -> SlotNow | None:
    """The slot in the standing plan: it keeps its number there, and is the very same slot."""
    asked = next((each.slot(slot) for each in record.plans if each.id == plan), None)
    now = standing.now(slot)
    return now if now is not None and now.slot == asked else None


def _closed(record: StudyOnRecord, called: str, now: SlotNow) -> str:
    if now.state is SlotState.SKIPPED:
        return f"{called} was skipped meanwhile: {now.why}."
    if now.state is SlotState.SETTLED:
        return f"{called} is not needed any more: {now.why}."
    each = record.run(str(now.run))
    test = record.tests[now.slot.test]
    value = None if names_hidden(record) else each.headline(test)
    shown = "" if value is None else f", with {run_words(value, test.unit)}"
    waits = " It waits for a decision." if each.state is RunState.IN_DOUBT else ""
    return f"{called} has landed meanwhile{shown}.{waits}"
