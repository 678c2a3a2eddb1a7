"""What was noted beside a slot, carried to the run that landed there: the room and the watts at the wall."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from evenhand.desk.bench.landed_tests import judge_landed
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.run_facts import NOTED, noted
from evenhand.desk.on_record import StudyOnRecord
from evenhand.folders.study_folder import RunEntry
from evenhand.records.plans import Slot
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench


def run_of_slot(record: StudyOnRecord, slot: Slot) -> str | None:
    """The run that fills a slot of the standing plan; None while the slot is still to be run."""
    plan = plan_on_record(record)
    now = plan.now(slot.number) if plan else None
    if now is None or now.state.open or (now.slot.test, now.slot.setup) != (slot.test, slot.setup):
        return None
    return now.run


def carry_late(
    wb: Workbench, run: str, entry: RunEntry, place: tuple[int | None, int | None], *, now: datetime
) -> None:
    """What was noted beside its slot, by plan and number, while a run was read, goes to the run as well."""
    beside = noted(wb, *place)
    carry(wb, run, {key: value for key, value in beside.items() if getattr(entry, key) is None}, now=now)


def carry(wb: Workbench, run: str, said: Mapping[str, float | None], *, now: datetime) -> bool:
    """Puts readings on a run; what they were before stays in history. Whether anything changed."""
    with wb.writing():
        before = run_store.run(wb, run)
        after = replace(
            before,
            ambient_c=said.get("ambient_c", before.ambient_c),
            wall_w=said.get("wall_w", before.wall_w),
        )
        if after == before:
            return False
        run_store.save_run(wb, after, now=now)
    return True


def carry_and_judge(wb: Workbench, run: str, key: str, text: str, *, now: datetime) -> None:
    """Puts a reading on a run that has landed, "" takes it away, and judges the run's test again."""
    if key not in NOTED or not carry(wb, run, {key: float(text) if text else None}, now=now):
        return
    test = run_store.run(wb, run).test
    for study in run_store.studies_of(wb, run):
        judge_landed(wb, study, test, now=now)
