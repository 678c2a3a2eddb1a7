"""Where a reading went that was typed beside a slot whose run had landed by then."""

from __future__ import annotations

from evenhand.desk.bench.bench_values import UNITS, as_typed
from evenhand.desk.bench.masking import Mask
from evenhand.desk.bench.plan_standing import PlanNow
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.runs.run_names import run_named
from evenhand.publish.numbers import with_unit


def late_words(record: StudyOnRecord, plan: PlanNow | None, field: str, *, mask: Mask | None) -> str:
    """Which run a reading of a slot is noted with, by its field: its key, a hyphen and the slot's number.

    "" where that slot has no run, or the field is none. While names are hidden neither is told whose it is.
    """
    key, _, slot = field.partition("-")
    now = plan.now(int(slot)) if plan and key in UNITS and slot.isdecimal() and len(slot) < 10 else None
    each = next((run for run in record.runs if run.run.id == now.run), None) if now and now.run else None
    if each is None:
        return ""
    if mask is not None:
        return "Noted with the run of that slot: it has landed meanwhile."
    value = as_typed(getattr(each.run, key))
    what = with_unit(value, UNITS[key]) if value else "No reading"
    return f"{what} is noted with {run_named(record, each)}: it has landed meanwhile."
