"""The two cards of the bench: the run that has just landed, and the run that is next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from evenhand.desk.bench_day import photos_of, warm_up_left
from evenhand.desk.bench_values import as_typed
from evenhand.desk.masking import Mask, masked_id
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.run_cards import Choice, Found, RunCard, card_of
from evenhand.desk.plan_standing import PlanNow, SlotNow
from evenhand.desk.rig_clock import clock_doubt
from evenhand.desk.run_names import run_named
from evenhand.desk.same_file import same_file_words
from evenhand.desk.slot_photos import photos_of_run
from evenhand.desk.slots import slot_after, slot_words
from evenhand.publish.numbers import capital, number, run_words, with_unit
from evenhand.records.runs import RunState
from evenhand.records.states import holding
from evenhand.records.tests import Measures
from evenhand.store import arrivals
from evenhand.store.workbench import Workbench
from evenhand.triage.unjudged import none_alike

LOW = "low_1pct"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One number, large: what it is, and its digits beside its unit."""

    label: str
    digits: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedCard:
    """A run that landed: what to think of it in a sentence, its numbers, and its card of the list of runs.

    `decided` marks one that somebody has decided about: there is nothing to think of it any more. `clock`
    says why the rig's clock cannot be right; `photos` are those taken beside its slot,
    none while names are hidden.
    `ambient` and `wall` are what was read beside it, `elsewhere` where its file is on record as another run.
    `named` is what the bench calls it, `slot_after` what becomes of its slot if it is set aside.
    """

    card: RunCard
    when: str
    sentence: str
    readings: tuple[Reading, ...]
    decided: bool = False
    clock: str = ""
    photos: tuple[int, ...] = ()
    ambient: str = ""
    wall: str = ""
    elsewhere: str = ""
    named: str = ""
    slot_after: str = ""

    @property
    def waits(self) -> bool:
        """Whether it waits for a decision."""
        return self.card.waits

    @property
    def found(self) -> tuple[Found, ...]:
        """What was found in it."""
        return self.card.found

    @property
    def choice(self) -> Choice:
        """What may be decided."""
        return self.card.choice


@dataclass(frozen=True, slots=True, kw_only=True)
class NextCard:
    """The next run on one rig. `left_s` counts the warm-up down, None where none was begun."""

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


def landed_card(
    wb: Workbench, record: StudyOnRecord, plan: PlanNow | None, *, mask: Mask | None, now: datetime
) -> LandedCard | None:
    """The run to look at now: the last that waits, or else the last that came in under the plan."""
    moments = arrival_moments(wb, plan)
    waiting = [each for each in record.runs if each.state is RunState.IN_DOUBT]
    came = [each for each in record.runs if each.run.id in moments]
    shown = waiting[-1:] or came[-1:]
    if not shown:
        return None
    each = shown[0]
    return LandedCard(
        card=card_of(record, each, mask=mask),
        when=ago_words(now - moments[each.run.id]) if each.run.id in moments else "",
        sentence=sentence_of(record, each, mask=mask),
        readings=() if mask is not None else readings_of(record, each),
        clock=clock_doubt(record, each, arrivals.moments_filed(wb, record.study.key)),
        decided=each.decision is not None and each.state not in (RunState.LANDED, RunState.IN_DOUBT),
        photos=() if mask is not None else photos_of_run(wb, record, each.run.id),
        ambient="" if mask is not None else as_typed(each.run.ambient_c),
        wall="" if mask is not None else as_typed(each.run.wall_w),
        named=run_named(record, each, mask=mask),
        slot_after=slot_after(record, each.run.id)
        if mask is None
        else "Its slot comes up again if it is still needed.",
        elsewhere=same_file_words(wb, record, each.run.id, masked=mask is not None),
    )


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


def stands_with_slot(record: StudyOnRecord, each: RunOnRecord) -> str:
    """Where a run stands, and what became of its slot where it does not count."""
    out = each.state in (RunState.SET_ASIDE, RunState.REPLACED)
    return ", ".join(filter(None, (each.state.value, slot_words(record, each.run.id) if out else "")))


def arrival_moments(wb: Workbench, plan: PlanNow | None) -> dict[str, datetime]:
    """When each run of a plan was filed."""
    if plan is None:
        return {}
    return {p.run: p.at for p in arrivals.placed_in_plan(wb, plan.plan.id) if p.run is not None}


def ago_words(passed: timedelta) -> str:
    """How long ago something was.

    >>> ago_words(timedelta(seconds=4)), ago_words(timedelta(minutes=12)), ago_words(timedelta(hours=30))
    ('landed just now', 'landed 12 minutes ago', 'landed 30 hours ago')
    """
    seconds = passed.total_seconds()
    if seconds < 60:
        return "landed just now"
    if seconds < 3600:
        return f"landed {counted_plain(int(seconds // 60), 'minute')} ago"
    return f"landed {counted_plain(int(seconds // 3600), 'hour')} ago"


def counted_plain(n: int, thing: str) -> str:
    """A count in digits and its noun.

    >>> counted_plain(1, "hour")
    '1 hour'
    """
    return f"{n} {thing}{'' if n == 1 else 's'}"


def sentence_of(record: StudyOnRecord, each: RunOnRecord, *, mask: Mask | None) -> str:
    """What to think of a run, in a sentence."""
    run, cell = run_named(record, each, mask=mask), record.cell(each.run.test, each.run.setup)
    siblings = [other for other in cell if other.run.id != each.run.id and other.state.counts]
    if holding(each.faults):
        ending = "does not match its siblings" if siblings else "is not as it should be"
        return f"{run} {ending}."
    if not siblings:
        return f"{run} stands alone yet."
    if none_alike([other.headline(record.tests[each.run.test]) for other in cell if other.state.counts]):
        return f"{run} differs from its siblings, as these do from each other: none is held for it."
    if any(fault.siblings for fault in each.faults):
        return f"{run} differs from {_siblings_doubted(len(siblings))}."
    return f"{run} matches its {'sibling' if len(siblings) == 1 else 'siblings'}."


def _siblings_doubted(count: int) -> str:
    """Siblings that a run differs from without being held for it, and why not.

    >>> _siblings_doubted(1)
    'its sibling; of two, nobody can say which is odd'
    """
    return "its sibling; of two, nobody can say which is odd" if count == 1 else "its siblings, as noted"


def readings_of(record: StudyOnRecord, each: RunOnRecord) -> tuple[Reading, ...]:
    """The headline number, the 1% low of frames, and the wall meter, as far as they are known."""
    test = record.tests[each.run.test]
    found = []
    value = each.headline(test)
    if value is not None:
        label = "Average" if test.measures is Measures.FRAMES else "Score"
        found.append(Reading(label=label, digits=digits_of(value, test.unit), unit=test.unit))
    low = each.metrics.values.get(LOW)
    if low is not None and test.metric != LOW:
        found.append(Reading(label="1% low", digits=digits_of(low, test.unit), unit=test.unit))
    if each.run.wall_w is not None:
        found.append(Reading(label="At the wall", digits=as_typed(each.run.wall_w), unit="W"))
    return tuple(found)


def digits_of(value: float, unit: str) -> str:
    """A run's number without its unit, with the digits that lists give it."""
    return run_words(value, unit).removesuffix(with_unit("", unit)) if unit else run_words(value, unit)


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
