"""The bench page: what is so far, what has just landed, which run is next, and what was made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.inbox_shares import elsewhere_words
from evenhand.desk.bench.live_finding import LiveHeader, live_header
from evenhand.desk.bench.masking import Mask, mask_of
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow, SlotState
from evenhand.desk.bench.planning import plan_now
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.bench_cards import DoneCard, NextCard, done_card, next_card
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.pages.just_done import Just, back_words
from evenhand.desk.pages.landed_cards import LandedCard, Lately, ago_words, fresh_card, landed_card, lately
from evenhand.desk.pages.late_note import late_words
from evenhand.desk.pages.live_pairs import LivePair, live_pairs
from evenhand.desk.pages.photos import albums_in
from evenhand.desk.pages.run_cards import RunCard, card_of, state_words
from evenhand.desk.pages.skipped import Skipped, skipped_of
from evenhand.desk.runs.run_names import run_named
from evenhand.publish.numbers import capital, count_word, listed, number, run_words
from evenhand.store.workbench import Workbench

AROUND = 8  # lines of the list on either side of now


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One slot in the list: its place, whose it is, and where it stands."""

    place: int
    who: str
    slot: int
    test: str
    boot: str
    stands: str
    value: str
    address: str
    sort: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplanned:
    """A run that came in since the first plan and is none of its slots: its card, and its number in words.

    `named` is what the bench calls it, `when` says how long ago it landed.
    """

    card: RunCard
    value: str
    named: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchPage:
    """Everything on the bench page.

    `landed` is the run to look at, `others` how many more wait; `fresh` is the one that came in after it,
    where it waits and that one does not. `next` holds one card for each rig whose turn it is, `later`
    counts the runs to come that `lines` leaves out. `masked` says that names are hidden; `key` is that of
    the study. `unplanned` are the runs of the day that are not in the plan. `open` is the place of each
    run to be made, by its plan and slot. `albums` are the builds, each with the address of its photos.
    `skipped` are the slots that were left out, `just_skipped` the one that was left out a moment ago,
    `undone` says what was taken back then. `late` says where a reading went whose run had landed by then;
    `nothing_yet` stands where no run is to be looked at. `inbox` counts the files that wait and are of
    this study or may be, `elsewhere` tells of those of other studies. A study that is not `ready` lacks
    the two setups, or the test, that a plan needs.
    """

    frame: Frame
    key: str
    answer: str
    live: LiveHeader | None
    landed: LandedCard | None
    others: int
    next: tuple[NextCard, ...]
    lines: tuple[Line, ...]
    later: int
    progress: str
    plan: int | None
    finished: bool
    masked: bool
    inbox: int
    runs: int
    open: Mapping[tuple[int, int], int]
    done: DoneCard | None = None
    unplanned: tuple[Unplanned, ...] = ()
    albums: tuple[tuple[str, str], ...] = ()
    skipped: tuple[Skipped, ...] = ()
    just_skipped: Skipped | None = None
    undone: str = ""
    ready: bool = True
    late: str = ""
    nothing_yet: str = ""
    fresh: LandedCard | None = None
    elsewhere: str = ""

    @property
    def pairs(self) -> tuple[LivePair, ...]:
        """Where every pair stands, none while names are hidden."""
        return live_pairs(self.live.lines) if self.live else ()


def bench_page(wb: Workbench, study: str, *, now: datetime, just: Just | None = None) -> BenchPage:
    """The bench of a study as it stands at this moment, after what was `just` done."""
    just = just or Just()
    record = load_study(wb, study)
    plan = plan_now(wb, study, record=record)
    masked = names_hidden(record)
    mask = mask_of(record) if masked else None
    came = lately(wb, record, plan, now=now)
    landed = landed_card(wb, came, mask=mask)
    left_out = tuple(skipped_of(record, plan, mask=mask)) if plan else ()
    return BenchPage(
        frame=frame_of(record, "bench"),
        key=study,
        answer=answer_of(plan, len(came.waiting)),
        live=None if masked else live_header(record),
        landed=landed,
        others=len(came.waiting) - (landed is not None and landed.waits),
        next=tuple(next_card(wb, record, plan, slot, now=now) for slot in plan.due) if plan else (),
        lines=tuple(lines_of(record, plan, mask=mask)) if plan else (),
        later=max(0, len(plan.coming) - AROUND) if plan else 0,
        progress=progress_words(record, plan) if plan else "",
        plan=plan.plan.id if plan else None,
        ready=len(record.study.setups) > 1 and bool(record.study.tests),
        finished=plan is not None and plan.finished,
        masked=masked,
        inbox=record.inbox,
        elsewhere=elsewhere_words(wb, study),
        runs=len(record.runs),
        open=places_open(plan) if plan else {},
        done=done_card(record, just.done, mask=mask),
        unplanned=tuple(unplanned_of(came, plan, mask=mask)) if plan else (),
        albums=() if masked else albums_in(record),
        skipped=left_out,
        just_skipped=next((each for each in left_out if each.slot == just.skipped), None),
        undone=back_words(record, plan, just, mask=mask),
        late=late_words(record, plan, just.late, mask=mask) if just.late else "",
        nothing_yet=nothing_yet_words(plan) if plan else "",
        fresh=fresh_card(wb, came, mask=mask),
    )


def nothing_yet_words(plan: PlanNow) -> str:
    """What stands in place of a run to look at: of runs of an earlier plan some may count in this one."""
    if plan.count(SlotState.DONE):
        return "Nothing has landed since this plan was made; what was made before it counts."
    return "Nothing has landed under this plan yet."


def unplanned_of(of: Lately, plan: PlanNow, *, mask: Mask | None) -> Iterator[Unplanned]:
    """What came in since the first plan was made and was filed under no slot, nor fills one."""
    record, came, begun = of.record, of.filed, of.record.plans[0].at
    planned = {now.run for now in plan.slots} | {each.run for each in record.placed if each.slot is not None}
    for each in record.runs:
        if each.run.id in planned or each.run.id not in came or came[each.run.id] < begun:
            continue
        test = record.tests[each.run.test]
        value = None if mask is not None else each.headline(test)
        shown = "" if value is None else run_words(value, test.unit)
        card = card_of(record, each, mask=mask)
        named = run_named(record, each) if mask is None else f"{card.who}, {card.test}"
        yield Unplanned(card=card, value=shown, named=named, when=ago_words(of.now - came[each.run.id]))


def places_open(plan: PlanNow) -> dict[tuple[int, int], int]:
    """The place of each run yet to be made, by its plan and slot."""
    return {
        (plan.plan.id, now.slot.number): plan.place(now.slot.number) for now in plan.slots if now.state.open
    }


def answer_of(plan: PlanNow | None, waits: int) -> str:
    """What the page opens with; so many runs wait for a decision."""
    if plan is None:
        return "No bench day is planned yet."
    said = f"{capital(count_word(waits))} {'run waits' if waits == 1 else 'runs wait'}" if waits else ""
    if plan.finished:
        left = f"{said} for a decision, and nothing" if waits else "Nothing"
        return f"The plan is done. {left} is left to run."
    due = len(plan.due)
    coming = "one is next" if due == 1 else f"{count_word(due)} are next"
    return f"{capital(f'{said}, {coming}' if said else coming)}."


def progress_words(record: StudyOnRecord, plan: PlanNow) -> str:
    """How far the plan is, in runs and time, and what it does without."""
    done = plan.count(SlotState.DONE) + plan.count(SlotState.IN_DOUBT)
    said = f"{number(done)} of {number(len(plan.slots))} runs made"
    for state, word in ((SlotState.SETTLED, "not needed any more"), (SlotState.SKIPPED, "skipped")):
        if plan.count(state):
            said += f", {number(plan.count(state))} {word}"
    left = "" if plan.finished else f" {time_words(plan.minutes_left)} left."
    without = tuple(names_of(record).setup(key) for key in record.study.setups if key in plan.dropped)
    return f"{said}.{left}{f' Planned without {listed(without)}.' if without else ''}"


def time_words(minutes: float) -> str:
    """Minutes as hours and minutes.

    >>> time_words(8), time_words(135), time_words(60)
    ('8 min', '2 h 15 min', '1 h')
    """
    whole = max(1, round(minutes))
    hours, rest = divmod(whole, 60)
    return " ".join(filter(None, (f"{hours} h" if hours else "", f"{rest} min" if rest else "")))


def lines_of(record: StudyOnRecord, plan: PlanNow, *, mask: Mask | None) -> Iterator[Line]:
    """What was made last and what comes, in the order of the plan."""
    made = [slot for slot in plan.slots if not slot.state.open and slot.state is not SlotState.SETTLED]
    made.sort(key=lambda slot: slot.slot.order)
    shown = (*made[-AROUND:], *plan.coming[:AROUND])
    for slot in sorted(shown, key=lambda now: plan.place(now.slot.number)):
        yield line_of(record, plan, slot, mask=mask)


def line_of(record: StudyOnRecord, plan: PlanNow, now: SlotNow, *, mask: Mask | None) -> Line:
    """One slot of the list. While names are hidden, a run that was made shows neither name nor number."""
    names, slot = names_of(record), now.slot
    each = next((run for run in record.runs if run.run.id == now.run), None) if now.run else None
    test = record.tests[slot.test]
    value = None if each is None else each.headline(test)
    hidden = mask is not None and each is not None
    state = SlotState.LATER if now.state is SlotState.NEXT and not now.due else now.state
    shown = "" if value is None or hidden or state.open else run_words(value, test.unit)
    return Line(
        place=plan.place(slot.number),
        who="a build" if hidden else names.setup(slot.setup),
        slot=0 if hidden else names.slot(slot.setup).number,
        test=names.test(slot.test),
        boot=slot.boot,
        stands=state_words(each.state) if each and not state.open else state.value,
        value=shown,
        address="" if each is None or hidden else address(record.study.key, "runs", each.run.id),
        sort=state.value.replace(" ", "-"),
    )
