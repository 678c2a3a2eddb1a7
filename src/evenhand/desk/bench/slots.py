"""What becomes of a plan's slot whose run is set aside: it comes up again, unless it is left out as well."""

from __future__ import annotations

from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.plan_standing import WITHOUT, SlotNow, SlotState, left_out_words, settled_words
from evenhand.desk.bench.plan_written import write_note
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord
from evenhand.records.plans import BenchNote
from evenhand.store.workbench import Workbench


def slot_of(record: StudyOnRecord, run: str) -> SlotNow | None:
    """The slot of the standing plan that a run fills, or did until it was set aside; None without one."""
    plan = plan_on_record(record)
    return next((now for now in plan.slots if now.run == run), None) if plan else None


def slot_words(record: StudyOnRecord, run: str) -> str:
    """What became of the slot of a run that does not count, to end a sentence; "" where it has none."""
    held = slot_of(record, run)
    if held is None:
        return ""
    if held.state.open:
        return "its slot comes up again"
    if held.state is SlotState.SETTLED:
        whose = "the rest is" if held.why == WITHOUT else "its test is"
        return f"its slot is not run again: {whose} {held.why}"
    return "its slot is left out" if held.state is SlotState.SKIPPED else ""


def slot_after(record: StudyOnRecord, run: str) -> str:
    """What becomes of the slot of a waiting run once it is set aside, as a sentence; "" without a slot."""
    held, plan = slot_of(record, run), plan_on_record(record)
    if held is None or plan is None:
        return ""
    slot = held.slot
    if plan.needs(slot.test, slot.setup):
        return "Its slot comes up again."
    if (slot.test, slot.setup) in plan.gone:
        return f"Its slot is not run again: the rest is {WITHOUT}."
    why = settled_words(plan.live.settled_with(slot.test, slot.setup))
    return f"Its slot is not run again: its test is {why}."


def comes_up_again(record: StudyOnRecord, run: str) -> bool:
    """Whether the slot of a run has to be run again once the run is set aside."""
    held, plan = slot_of(record, run), plan_on_record(record)
    return held is not None and plan is not None and plan.needs(held.slot.test, held.slot.setup)


def needed_slot(wb: Workbench, each: RunOnRecord) -> tuple[int, int]:
    """Plan and number of the slot that a run fills. Raises BadRecord where there is none to leave out."""
    record = load_study(wb, each.run.study)
    held = slot_of(record, each.run.id)
    if held is None or record.plan is None:
        raise BadRecord(
            "this run fills no slot of the plan that could be left out",
            where=f"run {each.run.id}",
            todo="set it aside alone",
        )
    return record.plan.id, held.slot.number


def leave_out(wb: Workbench, slot: tuple[int, int], run: str, said: Said) -> None:
    """Leaves a slot out whose run was set aside, so that it is not made again."""
    _write(wb, slot, left_out_words(run), said)


def take_up_again(wb: Workbench, each: RunOnRecord, said: Said) -> None:
    """Takes back that the slot of a run was left out with it; a slot skipped for another reason stays so."""
    told = {note.slot: note for note in load_study(wb, each.run.study).written if note.key == "skip"}
    for note in told.values():
        if note.value == left_out_words(each.run.id):
            _write(wb, (note.plan, note.slot), "", said)


def _write(wb: Workbench, slot: tuple[int, int], value: str, said: Said) -> None:
    plan, number = slot
    write_note(wb, BenchNote(plan=plan, slot=number, key="skip", value=value, by=said.by, at=said.now))
