"""Plans and what is written beside their slots, put on record unless their study is put away."""

from __future__ import annotations

from evenhand.desk.study.away import refuse_away
from evenhand.records.plans import BenchNote, Plan
from evenhand.store import plans
from evenhand.store.workbench import Workbench


def write_plan(wb: Workbench, made: Plan) -> Plan:
    """The plan with its number. Raises StudyIsAway."""
    with wb.writing():
        refuse_away(wb, made.study)
        return plans.save_plan(wb, made)


def write_note(wb: Workbench, note: BenchNote) -> None:
    """What somebody wrote beside a slot. Raises StudyIsAway, and NotFound where there is no such plan."""
    with wb.writing():
        refuse_away(wb, plans.plan(wb, note.plan).study)
        plans.add_note(wb, note)
