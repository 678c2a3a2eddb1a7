"""The two cards of the bench: the run that has just landed, and the run that is next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from evenhand.desk.bench.bench_day import warm_up_left
from evenhand.desk.bench.bench_values import as_typed
from evenhand.desk.bench.masking import Mask, masked_id
from evenhand.desk.bench.photographing import photos_of
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow
from evenhand.desk.bench.slot_files import waiting_by_slot
from evenhand.desk.bench.slots import slot_words
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.runs.run_names import run_named
from evenhand.publish.numbers import capital, number, with_unit
from evenhand.records.runs import RunState
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class NextCard:
    """The next run on one rig. `left_s` counts the warm-up down, None where none was begun.

    `waiting` is the name of a file in the inbox that may be its log, `build` the key of the machine.
    """

    plan: int
    number: int
    place: str
    who: str
    slot: int
    test: str
    state: str
    rig: str
    scene: str
    settings: str
    boot: str
    warm_up_s: int
    left_s: int | None
    ambient: str
    wall: str
    ambient_hint: str
    wall_hint: str
    note: str
    photos: tuple[int, ...]
    why: str
    script: bool
    waiting: str = ""
    build: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneCard:
    """What was just decided, in a sentence, and the run it was about."""

    key: str
    words: str


def done_card(record: StudyOnRecord, key: str, *, mask: Mask | None) -> DoneCard | None:
    """What was just decided about the run of this id, or masked id; None where nothing was."""
    for each in record.runs:
        own = each.run.id if mask is None else masked_id(each.run.id)
        if own == key and each.decision is not None and each.decision.state is not RunState.LANDED:
            called = run_named(record, each, mask=None) if mask is None else f"run {own}"
            return DoneCard(key=own, words=f"{capital(called)}: {stands_with_slot(record, each)}")
    return None


def undone_words(record: StudyOnRecord, key: str, *, mask: Mask | None) -> str:
    """That the decision about the run of this id, or masked id, was just taken back; "" where one stands."""
    for each in record.runs:
        own = each.run.id if mask is None else masked_id(each.run.id)
        if own == key and (each.decision is None or each.decision.state is RunState.LANDED):
            called = run_named(record, each, mask=None) if mask is None else f"run {own}"
            now = "it waits again" if each.state is RunState.IN_DOUBT else "it counts as it landed"
            return f"{capital(called)}: the decision is taken back, {now}"
    return ""


def stands_with_slot(record: StudyOnRecord, each: RunOnRecord) -> str:
    """Where a run stands, and what became of its slot where it does not count."""
    out = each.state in (RunState.SET_ASIDE, RunState.REPLACED)
    return ", ".join(filter(None, (each.state.value, slot_words(record, each.run.id) if out else "")))


def next_card(
    wb: Workbench, record: StudyOnRecord, plan: PlanNow, now_: SlotNow, *, now: datetime
) -> NextCard:
    """The next run on one rig, with all that whoever stands there needs."""
    slot, names, notes = now_.slot, names_of(record), dict(now_.notes)
    test, setup = record.tests[slot.test], record.setups[slot.setup]
    left = warm_up_left(slot, notes, now)
    before = last_readings(record, now_.rig)
    return NextCard(
        plan=plan.plan.id,
        number=slot.number,
        place=f"run {plan.place(slot.number)} of {len(plan.slots)}",
        who=names.setup(slot.setup),
        slot=names.slot(slot.setup).number,
        test=names.test(slot.test),
        state=setup.state,
        rig=record.builds[setup.build].name,
        scene=test.scene,
        settings=", ".join(f"{key} {value}" for key, value in test.settings.items()),
        boot=slot.boot,
        warm_up_s=round(slot.warm_up * 60),
        left_s=None if left is None else round(left.total_seconds()),
        ambient=notes.get("ambient_c", ""),
        wall=notes.get("wall_w", ""),
        ambient_hint=before.get("ambient_c", ""),
        wall_hint=before.get("wall_w", ""),
        note=notes.get("note", ""),
        photos=tuple(each.id for each in photos_of(wb, plan.plan, slot.number)),
        why=now_.why,
        script=test.script is not None,
        waiting=waiting_by_slot(wb).get((plan.plan.id, slot.number), ""),
        build=setup.build,
    )


def last_readings(record: StudyOnRecord, rig: str) -> dict[str, str]:
    """What room and wall meter said before, as hints: the room at the last run, the wall on this rig."""
    found: dict[str, str] = {}
    for each in record.runs:
        if each.run.ambient_c is not None:
            found["ambient_c"] = f"{with_unit(number(each.run.ambient_c, 1), '°C')} at the last run"
        if each.run.wall_w is not None and record.setups[each.run.setup].build == rig:
            found["wall_w"] = f"{with_unit(as_typed(each.run.wall_w), 'W')} at its last run"
    return found
