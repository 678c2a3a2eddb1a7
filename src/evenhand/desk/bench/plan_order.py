"""What keeps a file from being filed unasked under a slot that it most likely is: the order of the plan."""

from __future__ import annotations

from datetime import datetime, timedelta

from evenhand.desk.bench.plan_standing import PlanNow, SlotNow, SlotState
from evenhand.desk.on_record import StudyOnRecord
from evenhand.records.plans import Arrival

BEGUN = "begun"  # the name under which it is kept when a file was first seen on its way


def begun_at(arrival: Arrival) -> datetime:
    """When a file was first seen: on its way, as far as that is known, else when it had come."""
    said = arrival.about.get(BEGUN, "")
    try:
        return datetime.fromisoformat(said) if said else arrival.at
    except ValueError:
        return arrival.at


def first_seen(now: datetime, ago_s: float) -> str:
    """When a file was first seen that was seen so many seconds ago, as it is kept."""
    return (now - timedelta(seconds=max(0.0, ago_s))).isoformat()


def ahead_of_order(plan: PlanNow, slot: SlotNow) -> str:
    """Why a slot is not up yet, in words; "" where it is."""
    if slot.due or not plan.due:
        return ""
    return f"run {plan.place(plan.due[0].slot.number)} of the plan is to be made before it"


def skipped_meanwhile(
    record: StudyOnRecord, plan: PlanNow, *, begun: datetime, rig: str | None = None
) -> str:
    """Which run was skipped while a file was on its way, in words: it may be the log of that one.

    `rig` is the build that it is known to be of; "" where none was skipped since it was `begun`.
    """
    said = {note.slot: note.at for note in record.written if note.plan == plan.plan.id and note.key == "skip"}
    for now in plan.slots:
        mine = now.state is SlotState.SKIPPED and rig in (None, now.rig)
        if mine and now.slot.number in said and begun < said[now.slot.number]:
            return f"run {plan.place(now.slot.number)} of the plan was skipped while it was on its way"
    return ""
