"""Photos that were taken beside a slot of a plan, as photos of the run that was filed under it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from evenhand.desk.bench.slots import slot_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.records.plans import Attachment, Slot
from evenhand.store import attachments
from evenhand.store.workbench import Workbench


def photos_of_run(wb: Workbench, record: StudyOnRecord, run: str) -> tuple[int, ...]:
    """The numbers of a run's photos, the first first.

    Where a slot was run again, a photo is of the first run filed after it was taken, or else of the last one.
    """
    kept = attachments.attachments_of(wb, record.study.key)
    return tuple(
        each.id for each in kept if each.run == run or (not each.run and run == _owner(record, each))
    )


def _owner(record: StudyOnRecord, taken: Attachment) -> str | None:
    """The run that a photo of a slot is of; None as long as the slot is yet to be run."""
    slot = _slot(record, taken.plan, taken.slot)
    if slot is None:
        return None
    filed = sorted(_filed(record, slot), key=lambda each: each[0])
    after = [run for at, run in filed if at >= taken.at]
    if after:
        return after[0]
    held = next((run for run in _by_boot(record, slot) if run not in {own for _, own in filed}), None)
    last = held or (filed[-1][1] if filed else None)
    now = slot_of(record, last) if last else None
    return None if now is not None and now.state.open else last


def _slot(record: StudyOnRecord, plan: int | None, number: int | None) -> Slot | None:
    own = next((each for each in record.plans if each.id == plan), None)
    return own.slot(number) if own is not None and number is not None else None


def _filed(record: StudyOnRecord, slot: Slot) -> Iterator[tuple[datetime, str]]:
    """The runs that were filed under a slot, which keeps its number in later plans; and when."""
    cell = {each.run.id for each in record.cell(slot.test, slot.setup)}
    for placing in record.placed:
        if placing.slot == slot.number and placing.run in cell:
            yield placing.at, placing.run


def _by_boot(record: StudyOnRecord, slot: Slot) -> Iterator[str]:
    """The run of a slot's test, setup and boot that fills it without having been filed under it."""
    for each in record.cell(slot.test, slot.setup):
        now = slot_of(record, each.run.id) if each.run.boot == slot.boot else None
        if now is not None and now.slot.number == slot.number:
            yield each.run.id
