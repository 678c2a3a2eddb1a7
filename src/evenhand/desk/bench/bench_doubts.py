"""Why a reading looks odd, beside the study's terms and what was read before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.desk.bench.bench_values import room_doubt, wall_doubt
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.records.plans import BenchNote, Plan
from evenhand.store import plans as plan_store
from evenhand.store.workbench import Workbench


def doubt_of(wb: Workbench, plan: Plan, slot: int, key: str, value: float) -> str:
    """Why a reading looks odd beside the study's terms and what was read before."""
    record, place = load_study(wb, plan.study), plan.slot(slot)
    assert place is not None
    notes = [n for n in plan_store.notes_of(wb, plan.id) if n.key == key and n.value and n.slot != slot]
    if key == "ambient_c":
        first = [each.run.ambient_c for each in record.runs if each.run.ambient_c is not None]
        before = float(notes[0].value) if notes else first[-1] if first else None
        return room_doubt(value, record.study.ambient_c, before)
    rig = record.setups[place.setup].build
    return wall_doubt(value, [*_wall_runs(record, rig), *_wall_notes(record, plan, notes, rig)])


def _wall_runs(record: StudyOnRecord, rig: str) -> list[float]:
    return [
        each.run.wall_w
        for each in record.runs
        if each.run.wall_w is not None and record.setups[each.run.setup].build == rig
    ]


def _wall_notes(record: StudyOnRecord, plan: Plan, notes: Sequence[BenchNote], rig: str) -> list[float]:
    there: Mapping[int, str] = {slot.number: record.setups[slot.setup].build for slot in plan.slots}
    return [float(written.value) for written in notes if there.get(written.slot) == rig]
