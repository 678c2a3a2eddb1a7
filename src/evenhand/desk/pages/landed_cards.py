"""The run that has just landed: what to think of it in a sentence, its numbers, and what was found in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from evenhand.desk.bench.bench_values import as_typed
from evenhand.desk.bench.masking import Mask
from evenhand.desk.bench.plan_standing import PlanNow
from evenhand.desk.bench.rig_clock import clock_doubt
from evenhand.desk.bench.slot_photos import photos_of_run
from evenhand.desk.bench.slots import slot_after
from evenhand.desk.logs.same_file import same_file_words
from evenhand.desk.on_record import NOT_JUDGED, RunOnRecord, StudyOnRecord
from evenhand.desk.pages.run_cards import Choice, Found, RunCard, card_of
from evenhand.desk.runs.run_names import run_named
from evenhand.publish.numbers import run_words, with_unit
from evenhand.records.runs import RunState
from evenhand.records.states import holding
from evenhand.records.tests import Measures
from evenhand.store import arrivals
from evenhand.store.workbench import Workbench
from evenhand.triage.unjudged import none_alike

JUDGING = timedelta(minutes=1)  # by then a run was judged, or whoever judged it was stopped
LOW = "low_1pct"
UNLIKE = (
    "differs from its siblings, as these do from each other: none is held for it. "
    "Find what disturbs this test before you make more of it."
)


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
    `named` is what the bench calls it, `slot_after` what becomes of its slot if it is set aside. One that is
    not `judged` is being held against its siblings at this moment.
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
    judged: bool = True

    @property
    def waits(self) -> bool:
        """Whether it waits for a decision."""
        return self.card.waits and self.judged

    @property
    def found(self) -> tuple[Found, ...]:
        """What was found in it."""
        return self.card.found if self.judged else ()

    @property
    def choice(self) -> Choice:
        """What may be decided."""
        return self.card.choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Lately:
    """A study while runs come in: when each was filed, and the ids of those that came under the plan."""

    record: StudyOnRecord
    filed: Mapping[str, datetime]
    planned: frozenset[str]
    now: datetime

    def being_judged(self, each: RunOnRecord) -> bool:
        """Whether a run came in so shortly ago that it is being held against its siblings yet."""
        filed = self.filed.get(each.run.id)
        return NOT_JUDGED in each.faults and filed is not None and self.now - filed < JUDGING

    @property
    def waiting(self) -> list[RunOnRecord]:
        """The runs that wait for a decision."""
        runs = self.record.runs
        return [each for each in runs if each.state is RunState.IN_DOUBT and not self.being_judged(each)]

    @property
    def came(self) -> list[RunOnRecord]:
        """The runs that came in under the plan, the last one last."""
        own = [each for each in self.record.runs if each.run.id in self.planned]
        return sorted(own, key=lambda each: self.filed[each.run.id])


def lately(wb: Workbench, record: StudyOnRecord, plan: PlanNow | None, *, now: datetime) -> Lately:
    """What came into a study, as it stands at this moment."""
    placed = () if plan is None else arrivals.placed_in_plan(wb, plan.plan.id)
    filed = arrivals.moments_filed(wb, record.study.key)
    planned = frozenset(p.run for p in placed if p.run in filed)
    return Lately(record=record, filed=filed, planned=planned, now=now)


def landed_card(wb: Workbench, of: Lately, *, mask: Mask | None) -> LandedCard | None:
    """The run to look at now: the last that waits, or else the last that came in under the plan."""
    shown = of.waiting[-1:] or of.came[-1:]
    return _card(wb, of, shown[0], mask=mask) if shown else None


def fresh_card(wb: Workbench, of: Lately, *, mask: Mask | None) -> LandedCard | None:
    """The run that came in last, where it does not wait itself, but others do that came before it."""
    waiting, came = of.waiting[-1:], of.came[-1:]
    if not waiting or not came or came[0] in of.waiting or came[0].state not in FRESH:
        return None
    filed = of.filed.get(waiting[0].run.id)
    if filed is not None and filed > of.filed[came[0].run.id]:
        return None
    return _card(wb, of, came[0], mask=mask)


FRESH = (RunState.LANDED, RunState.IN_DOUBT)  # nobody has decided about it; in doubt: it is being judged


def _card(wb: Workbench, of: Lately, each: RunOnRecord, *, mask: Mask | None) -> LandedCard:
    record, open_names = of.record, mask is None
    return LandedCard(
        card=card_of(record, each, mask=mask),
        when=ago_words(of.now - of.filed[each.run.id]) if each.run.id in of.filed else "",
        sentence=sentence_of(of, each, mask=mask),
        readings=readings_of(record, each) if open_names else (),
        clock=clock_doubt(record, each, of.filed),
        decided=each.decision is not None and each.state not in FRESH,
        photos=photos_of_run(wb, record, each.run.id) if open_names else (),
        ambient=as_typed(each.run.ambient_c) if open_names else "",
        wall=as_typed(each.run.wall_w) if open_names else "",
        named=run_named(record, each, mask=mask),
        slot_after=slot_after(record, each.run.id)
        if open_names
        else "Its slot comes up again if it is still needed.",
        elsewhere=same_file_words(wb, record, each.run.id, masked=not open_names),
        judged=not of.being_judged(each),
    )


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


def sentence_of(of: Lately, each: RunOnRecord, *, mask: Mask | None) -> str:
    """What to think of a run, in a sentence."""
    record = of.record
    run, cell = run_named(record, each, mask=mask), record.cell(each.run.test, each.run.setup)
    siblings = [other for other in cell if other.run.id != each.run.id and other.state.counts]
    if NOT_JUDGED in each.faults:
        going_on = "has landed and is being judged" if of.being_judged(each) else "has not been judged yet"
        return f"{run} {going_on}."
    if holding(each.faults):
        ending = "does not match its siblings" if siblings else "is not as it should be"
        return f"{run} {ending}."
    if not siblings:
        return f"{run} stands alone yet."
    if none_alike([other.headline(record.tests[each.run.test]) for other in cell if other.state.counts]):
        return f"{run} {UNLIKE}"
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
