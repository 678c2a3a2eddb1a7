"""Plan bench days: make a plan, see how it stands, note and skip, plan the rest anew without a rig."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.desk.bench.bench_doubts import doubt_of
from evenhand.desk.bench.bench_values import UNITS, understood
from evenhand.desk.bench.closed_slots import closed_words
from evenhand.desk.bench.hiding import hide_under
from evenhand.desk.bench.plan_needs import (
    Terms,
    bench_of,
    cells_wanted,
    first_free,
    pace_of,
    runs_there,
    still_needed,
)
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.plan_standing import PlanNow, SlotState, Traces, standing_plan
from evenhand.desk.bench.plan_written import write_note, write_plan
from evenhand.desk.bench.run_facts import notes_standing
from evenhand.desk.bench.slot_readings import carry_and_judge, run_of_slot
from evenhand.desk.comparison.findings_now import cells_now
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.study.away import refuse_away
from evenhand.desk.study.looks_changed import looks_at
from evenhand.errors import BadRecord, NotFound, Overtaken
from evenhand.findings.live import live_study
from evenhand.plans.laying import Pace, lay_out
from evenhand.plans.looks import declared
from evenhand.records.plans import BenchNote, Plan, Slot
from evenhand.store import plans as plan_store
from evenhand.store.workbench import Workbench

KEYS = ("ambient_c", "wall_w", "note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """What was written down, why it looks odd, or "", and the run of the slot where one has landed."""

    note: BenchNote
    doubt: str = ""
    run: str | None = None


def make_plan(wb: Workbench, study: str, terms: Terms, *, seed: int, now: datetime) -> Plan:
    """A plan for the runs that a study still lacks, put on record in the place of earlier ones.

    Raises BadRecord where the looks cannot be declared, there is nothing to run, or the study is put away.
    """
    refuse_away(wb, study)
    record = load_study(wb, study)
    made = laid_out(record, terms, seed=seed, before=followed(record), now=now)
    return hide_under(wb, record, write_plan(wb, made), now=now)


def followed(record: StudyOnRecord) -> tuple[Plan, ...]:
    """The earlier plans of a study that somebody has begun to follow: by a run, a note, or what was filed."""
    begun = {each.plan for each in record.placed} | {each.plan for each in record.written}
    boots = {each.run.boot for each in record.runs}
    return tuple(
        plan for plan in record.plans if plan.id in begun or any(slot.boot in boots for slot in plan.slots)
    )


def laid_out(
    record: StudyOnRecord, terms: Terms, *, seed: int, before: Sequence[Plan] = (), now: datetime
) -> Plan:
    """The same, not yet on record; the numbers of the plans `before` are not used again.

    A cell that is settled at looks which its runs on record have passed already gets no more.
    """
    looks = declared(terms.looks)
    wanted, bench = cells_wanted(record, terms), bench_of(record)
    live = live_study(cells_now(record), study=record.study, looks=looks)
    needs = {
        cell: max(0, looks.last - runs_there(record, cell)) if live.needs(*cell) else 0 for cell in wanted
    }
    if not any(needs.values()):
        had = min(runs_there(record, cell) for cell in wanted)
        why = f"every test is settled or has {looks.last} runs of each"
        if had < looks.last:
            why = (
                f"with looks {looks_at(looks.at)} the runs on record, {had} of each, settle every test; "
                "they were made before such looks were declared"
            )
        raise BadRecord(
            f"nothing is left to run: {why}",
            where=f"study {record.study.key}",
            todo="see the comparison, or declare later looks alone",
        )
    begin = first_free(record, before)
    slots = lay_out(needs, bench=bench, pace=terms.pace, seed=seed, begin=begin)
    return Plan(study=record.study.key, at=now, seed=seed, looks=looks.at, slots=slots, note=terms.note)


def preview(record: StudyOnRecord, terms: Terms, *, seed: int, now: datetime) -> PlanNow:
    """The plan that `make_plan` would make, as it would stand. Raises BadRecord as that does."""
    plan = laid_out(record, terms, seed=seed, before=followed(record), now=now)
    live = live_study((), study=record.study, looks=declared(plan.looks))
    return standing_plan(plan, record, traces=Traces(placings={}, notes={}), live=live)


def replan(
    wb: Workbench,
    study: str,
    *,
    seed: int,
    now: datetime,
    without: Sequence[str] = (),
    pace: Pace | None = None,
) -> Plan:
    """The rest of the standing plan laid out anew, without these rigs (builds); done and skipped slots stay.

    Every cell gets the runs that it still lacks, in new blocks with fresh boots, so that what is left is as
    balanced as a plan of its own. A rig that comes back is planned for again by leaving it out of
    `without`. Raises NotFound without a plan, BadRecord where fewer than two setups are left or nothing is.
    """
    record = load_study(wb, study)
    standing = plan_on_record(record)
    if standing is None:
        raise NotFound(f"study '{study}' has no plan", where=str(wb.path), todo="make one first")
    rest = still_needed(record, standing, without)
    kept = tuple(
        now_.slot for now_ in standing.slots if not now_.state.open and now_.state is not SlotState.SETTLED
    )
    begin = first_free(record, followed(record), used=kept)
    bench = bench_of(record)
    slots = lay_out(rest, bench=bench, pace=pace or pace_of(standing.plan, bench), seed=seed, begin=begin)
    left_out = ", ".join(record.builds[key].name if key in record.builds else key for key in without)
    made = Plan(
        study=study, at=now, seed=seed, looks=standing.plan.looks, slots=(*kept, *slots),
        note=f"planned anew without {left_out}" if left_out else "planned anew",
    )  # fmt: skip
    return hide_under(wb, record, write_plan(wb, made), now=now)


def bring_back(wb: Workbench, study: str, plan: int, *, now: datetime) -> Plan:
    """Lets an earlier plan of the study stand again; 0 takes the standing one back and leaves none.

    Raises NotFound where it is none of the study's plans.
    """
    record = load_study(wb, study)
    if plan == 0:
        return write_plan(wb, Plan(study=study, at=now, seed=0, looks=(), slots=(), note="taken back"))
    earlier = plan_store.plan(wb, plan)
    if earlier.study != study:
        raise NotFound(f"study '{study}' has no plan {plan}", where=str(wb.path), todo="see its plan")
    again = write_plan(wb, replace(earlier, at=now, note=f"plan {plan} again", id=0))
    return hide_under(wb, record, again, now=now)


def plan_now(wb: Workbench, study: str, *, record: StudyOnRecord | None = None) -> PlanNow | None:
    """The standing plan with each slot's state; None where the study has none."""
    return plan_on_record(record or load_study(wb, study))


def note(wb: Workbench, plan: int, slot: int, key: str, value: str, *, by: str, now: datetime) -> Noted:
    """Writes something beside a slot: ambient_c, wall_w, or a note in words; an empty value takes it back.

    A reading under a slot whose run has landed is that run's as well. Numbers may come with comma or
    point and their unit. Raises BadRecord for what is no such number or key.
    """
    made = plan_store.plan(wb, plan)
    if key not in KEYS:
        raise BadRecord(f"'{key}' is nothing to note", where="bench", todo=f"one of: {', '.join(KEYS)}")
    own = _slot(made, slot)
    doubt, text = "", value.strip()
    if key in UNITS and text:
        number = understood(key, text)
        doubt, text = doubt_of(wb, made, slot, key, number), f"{number:g}"
    written = BenchNote(plan=plan, slot=slot, key=key, value=text, by=by, at=now)
    new = text != stands_noted(wb, plan, slot, key)
    if new:
        write_note(wb, written)
    run = run_of_slot(load_study(wb, made.study), own)
    if new and run is not None:
        carry_and_judge(wb, run, key, text, now=now)
    return Noted(note=written, doubt=doubt, run=run)


def stands_noted(wb: Workbench, plan: int, slot: int, key: str) -> str:
    """What stands noted beside a slot under a key, or ""."""
    told = [note.value for note in notes_standing(wb, plan, slot) if note.key == key]
    return told[-1] if told else ""


def skip(wb: Workbench, plan: int, slot: int, reason: str, *, by: str, now: datetime) -> BenchNote:
    """Leaves a slot out, with the reason in words.

    Raises BadRecord without one, and Overtaken where its run has landed meanwhile, or is not to be made.
    """
    study = _slot_of(wb, plan, slot)
    if not reason.strip():
        raise BadRecord("a slot is skipped without a reason", where="bench", todo="say why in a few words")
    with wb.writing():
        closed = closed_words(load_study(wb, study), plan, slot)
        if closed:
            raise Overtaken(f"{closed} Nothing was skipped", where="bench", todo="see what is next")
        return _write_skip(wb, plan, slot, reason.strip(), by=by, now=now)


def unskip(wb: Workbench, plan: int, slot: int, *, by: str, now: datetime) -> BenchNote:
    """Takes a skip back."""
    _slot_of(wb, plan, slot)
    return _write_skip(wb, plan, slot, "", by=by, now=now)


def _write_skip(wb: Workbench, plan: int, slot: int, reason: str, *, by: str, now: datetime) -> BenchNote:
    written = BenchNote(plan=plan, slot=slot, key="skip", value=reason, by=by, at=now)
    write_note(wb, written)
    return written


def _slot_of(wb: Workbench, plan: int, slot: int) -> str:
    """The study of the plan. Raises NotFound where there is no such plan or slot."""
    found = plan_store.plan(wb, plan)
    _slot(found, slot)
    return found.study


def _slot(plan: Plan, number: int) -> Slot:
    found = plan.slot(number)
    if found is None:
        raise NotFound(
            f"plan {plan.id} has no slot {number}", where=f"study {plan.study}", todo="see the bench page"
        )
    return found
