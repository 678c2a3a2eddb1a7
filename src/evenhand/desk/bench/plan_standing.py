"""A plan beside what has become of it: each slot's state, and what comes next on each rig."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from evenhand.desk.bench.bench_values import UNITS
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.findings.live_finding import NONE_GONE, Gone, Live, LiveFinding, out_of_reach
from evenhand.plans.laying import minutes_of
from evenhand.plans.next_run import in_order
from evenhand.records.plans import BenchNote, Placing, Plan, Slot
from evenhand.records.runs import RunState


class SlotState(StrEnum):
    """Where a slot stands."""

    DONE = "done"
    IN_DOUBT = "in doubt"
    SKIPPED = "skipped"
    SETTLED = "settled"
    NEXT = "next"
    LATER = "later"

    @property
    def open(self) -> bool:
        """Whether it is still to be run."""
        return self in (SlotState.NEXT, SlotState.LATER)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotNow:
    """A slot as it stands.

    `rig` is the build it runs on. `run` names the run that fills it, or that did until it was set aside.
    `why` says in words why it is skipped, settled or to be run again. `due` marks those that may be started
    now; `notes` what was written beside it, by key (ambient_c, wall_w, note).
    """

    slot: Slot
    rig: str
    state: SlotState
    run: str | None = None
    why: str = ""
    due: bool = False
    notes: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanNow:
    """The standing plan with every slot's state, and what may be said at its looks.

    `coming` holds the open slots in the order in which they are run. `minutes_left` is by the clock. `gone`
    are the tests and setups that it was planned without, with the runs that they have.
    """

    plan: Plan
    slots: tuple[SlotNow, ...]
    coming: tuple[SlotNow, ...]
    live: Live
    minutes_left: float
    gone: Gone = field(default_factory=dict)

    def needs(self, test: str, setup: str) -> bool:
        """Whether a test still needs runs of a setup, as far as the plan goes."""
        return self.live.needs(test, setup, gone=self.gone)

    @property
    def dropped(self) -> frozenset[str]:
        """The setups that it was planned without."""
        return frozenset(setup for _, setup in self.gone)

    @property
    def due(self) -> tuple[SlotNow, ...]:
        """What may be started now: one slot, or one on each of several rigs."""
        return tuple(now for now in self.coming if now.due)

    @property
    def finished(self) -> bool:
        """Whether nothing is left to run."""
        return not self.coming

    def next_on(self, rig: str) -> SlotNow | None:
        """What comes next on a rig, whether or not it is due already."""
        return next((now for now in self.coming if now.rig == rig), None)

    def now(self, number: int) -> SlotNow | None:
        """The slot of this number as it stands."""
        return next((now for now in self.slots if now.slot.number == number), None)

    def place(self, number: int) -> int:
        """Which slot of the plan it is, from 1, as people count."""
        return 1 + [now.slot.number for now in self.slots].index(number)

    def count(self, state: SlotState) -> int:
        """How many slots are in this state."""
        return sum(now.state is state for now in self.slots)


@dataclass(frozen=True, slots=True, kw_only=True)
class Traces:
    """What is on record about a plan's slots: placings and notes of all the study's plans, by slot number."""

    placings: Mapping[int, tuple[Placing, ...]]
    notes: Mapping[int, Mapping[str, BenchNote]]


def standing_plan(
    plan: Plan, record: StudyOnRecord, *, traces: Traces, live: Live, gone: Gone = NONE_GONE
) -> PlanNow:
    """Every slot of a plan with its state.

    A slot is filled by the run that was filed under it, or else by a run of its test, setup and boot. A run
    that was set aside or replaced fills nothing: its slot is open again. Open slots that no unsettled finding
    needs are settled; a pair that what is `gone` keeps from its next look needs none.
    """
    runs = {each.run.id: each for each in record.runs}
    filled = _filled(plan, record, traces.placings)
    says = _Says(live=live, gone=gone)
    first = [_now(slot, runs.get(filled.get(slot.number, "")), record, traces, says) for slot in plan.slots]
    coming = _coming(first, says)
    places = {now.slot.number: now for now in coming}
    return PlanNow(
        plan=plan,
        slots=tuple(places.get(now.slot.number, now) for now in first),
        coming=coming,
        live=live,
        minutes_left=minutes_of([now.slot for now in coming]),
        gone=gone,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Says:
    """What may be said at the looks, beside what the plan does without."""

    live: Live
    gone: Gone


def _filled(plan: Plan, record: StudyOnRecord, placings: Mapping[int, tuple[Placing, ...]]) -> dict[int, str]:
    """Runs by slot number: those filed under it (the last that counts, else the last), then by their boot."""
    runs = {each.run.id: each for each in record.runs}
    found: dict[int, str] = {}
    for slot in plan.slots:
        own = [p.run for p in placings.get(slot.number, ()) if p.run in runs and _fits(runs[p.run], slot)]
        good = [run for run in own if not _out(runs[run])]
        if own:
            found[slot.number] = str((good or own)[-1])
    taken = set(found.values())
    by_boot: dict[tuple[str, str, str | None], list[str]] = {}
    for each in record.runs:
        if each.run.id not in taken and not _out(each):
            by_boot.setdefault((each.run.test, each.run.setup, each.run.boot), []).append(each.run.id)
    for slot in plan.slots:
        if slot.number not in found and by_boot.get((slot.test, slot.setup, slot.boot)):
            found[slot.number] = by_boot[slot.test, slot.setup, slot.boot].pop(0)
    return found


def _fits(each: RunOnRecord, slot: Slot) -> bool:
    return (each.run.test, each.run.setup) == (slot.test, slot.setup)


def _out(each: RunOnRecord) -> bool:
    return each.state in (RunState.SET_ASIDE, RunState.REPLACED)


def _now(slot: Slot, each: RunOnRecord | None, record: StudyOnRecord, traces: Traces, says: _Says) -> SlotNow:
    written = {
        key: note.value
        for key, note in traces.notes.get(slot.number, {}).items()
        if note.value and not _of_run_out(note, each)
    }
    skip = written.pop("skip", "")
    state, why = _state(slot, each, skip, says)
    if state is SlotState.LATER and not _compared(slot, record):
        state, why = SlotState.SETTLED, TAKEN_OUT
    return SlotNow(
        slot=slot, rig=record.setups[slot.setup].build, state=state, run=each.run.id if each else None,
        why=why, notes=written,
    )  # fmt: skip


def _compared(slot: Slot, record: StudyOnRecord) -> bool:
    return slot.test in record.study.tests and slot.setup in record.study.setups


def _of_run_out(note: BenchNote, each: RunOnRecord | None) -> bool:
    """Whether a reading is of the run that was set aside: the one to be made in its place has its own."""
    if each is None or not _out(each) or each.decision is None:
        return False
    return note.key in UNITS and note.at <= each.decision.at


def _state(slot: Slot, each: RunOnRecord | None, skip: str, says: _Says) -> tuple[SlotState, str]:
    if each is not None and each.state is RunState.IN_DOUBT:
        return SlotState.IN_DOUBT, ""
    if each is not None and not _out(each):
        return SlotState.DONE, ""
    if skip:
        of_run = each is not None and skip == left_out_words(each.run.id)
        return SlotState.SKIPPED, LEFT_OUT if of_run else skip
    if not says.live.needs(slot.test, slot.setup, gone=says.gone):
        if (slot.test, slot.setup) in says.gone:
            return SlotState.SETTLED, WITHOUT
        return SlotState.SETTLED, settled_words(says.live.settled_with(slot.test, slot.setup))
    return SlotState.LATER, "" if each is None else f"the run made of it was {each.state.value}: run it again"


WITHOUT = "planned without its rig"
TAKEN_OUT = "taken out of the study"
LEFT_OUT = "the run made of it was set aside, and its slot left out"


def left_out_words(run: str) -> str:
    """What is on record of a slot that was left out with its run.

    >>> left_out_words("3f9a")
    'run 3f9a was set aside, and its slot left out'
    """
    return f"run {run} was set aside, and its slot left out"


def settled_words(findings: Sequence[LiveFinding]) -> str:
    """Why no more runs of a cell are needed.

    >>> settled_words(())
    'settled'
    """
    looks = sorted({found.look for found in findings if found.look is not None})
    return f"settled at the look at {looks[-1]} runs" if looks else "settled"


def _coming(slots: Sequence[SlotNow], says: _Says) -> tuple[SlotNow, ...]:
    """Open slots in running order: the first of each rig is next, those of the first turn are due."""
    open_slots = {now.slot.number: now for now in slots if now.state.open}
    begun = {
        (now.slot.block, now.slot.test) for now in slots if now.state in (SlotState.DONE, SlotState.IN_DOUBT)
    }
    ordered = in_order([now.slot for now in open_slots.values()], begun=begun, cost=_costs(says))
    turn = (ordered[0].turn or -ordered[0].number) if ordered else 0
    return tuple(_placed(ordered, open_slots, turn))


def _placed(ordered: Sequence[Slot], slots: Mapping[int, SlotNow], turn: int) -> Iterator[SlotNow]:
    rigs: set[str] = set()
    for slot in ordered:
        now = slots[slot.number]
        first = now.rig not in rigs
        rigs.add(now.rig)
        yield SlotNow(
            slot=slot, rig=now.rig, run=now.run, why=now.why,
            state=SlotState.NEXT if first else SlotState.LATER,
            due=first and (slot.turn or -slot.number) == turn, notes=now.notes,
        )  # fmt: skip


def _costs(says: _Says) -> dict[str, float]:
    """By test, the minutes in which all its pairs may settle; none before the first look or where unknown."""
    costs: dict[str, float] = {}
    unknown = set[str]()
    for found in says.live.findings:
        if found.settled or out_of_reach(found, says.gone):
            continue
        if found.look is None or found.settle is None or found.settle.minutes is None:
            unknown.add(found.test)
        else:
            costs[found.test] = max(costs.get(found.test, 0.0), found.settle.minutes)
    return {test: cost for test, cost in costs.items() if test not in unknown}
