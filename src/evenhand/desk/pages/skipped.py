"""Slots of the plan that were left out: which run each was to be, and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.bench.masking import Mask
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow, SlotState
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Skipped:
    """One slot that was left out: its plan and number, what it was to be, and why it is left out."""

    plan: int
    slot: int
    words: str
    why: str


def skipped_of(record: StudyOnRecord, plan: PlanNow, *, mask: Mask | None) -> Iterator[Skipped]:
    """Every slot that was left out, in the order of the plan."""
    for now in plan.slots:
        if now.state is SlotState.SKIPPED:
            words = slot_named(record, plan, now, hidden=mask is not None)
            yield Skipped(plan=plan.plan.id, slot=now.slot.number, words=words, why=now.why)


def taken_up_words(record: StudyOnRecord, plan: PlanNow, number: int, *, mask: Mask | None) -> str:
    """That a slot was just taken up again; "" where the plan has none such, or leaves it out."""
    now = plan.now(number)
    if now is None or now.state is SlotState.SKIPPED:
        return ""
    return f"{slot_named(record, plan, now, hidden=mask is not None)}: not skipped any more"


def slot_named(record: StudyOnRecord, plan: PlanNow, now: SlotNow, *, hidden: bool) -> str:
    """What a slot is called; while names are `hidden`, one that has a run must not tell of a build."""
    names, slot = names_of(record), now.slot
    who = "a build" if hidden and now.run is not None else names.setup(slot.setup)
    return f"Run {plan.place(slot.number)} of the plan, {who}, {names.test(slot.test)}"
