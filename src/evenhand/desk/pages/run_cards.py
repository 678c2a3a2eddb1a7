"""A run in a list: who, where in the bench day, what was found, what was decided, and what may be decided."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from evenhand.desk.bench.masking import Mask, masked_id
from evenhand.desk.bench.slots import comes_up_again
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.frame import address
from evenhand.desk.runs.asking import sight
from evenhand.desk.runs.drawings import chief_fault
from evenhand.desk.runs.fitting_reasons import FITTING
from evenhand.desk.study.moments import Clock, as_stamped, begun_words
from evenhand.publish.numbers import capital
from evenhand.publish.palette import SLOTS
from evenhand.records.faults import Fault, Severity
from evenhand.records.runs import Decision, Reason, RunState
from evenhand.records.states import blocking


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One fault in words; `holds` says that it keeps the run out until somebody decides."""

    kind: str
    title: str
    evidence: str
    todo: str
    holds: bool

    @property
    def short(self) -> str:
        """The first sentence of what was found, with its numbers, and what to do."""
        first = re.split(r"(?<=\.) (?=[A-Z])", self.evidence, maxsplit=1)[0].removesuffix(".")
        return f"{first}: {self.todo[:1].lower()}{self.todo[1:]}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What may be decided about a run, and what each decision needs; `seen` is what it rests on.

    `reasons` are values with their words, a fitting one first; `stand_ins` runs made after it, of which
    one could be it made again. `slot` says that it fills a slot of the plan, which would come up again and
    may be left out too.
    """

    seen: str
    needs_note: bool
    reasons: tuple[tuple[str, str], ...]
    stand_ins: tuple[tuple[str, str], ...]
    open: bool
    slot: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RunCard:
    """One run of the list. `key` is its id, or its masked id where names are hidden.

    `stands` says where it stands, `why` what was decided and why; `picture` is where its small picture is;
    `notes` is said beside it that no fault tells.
    """

    key: str
    address: str
    who: str
    slot: int
    test: str
    place: str
    label: str
    stands: str
    waits: bool
    found: tuple[Found, ...]
    more_found: int
    why: str
    picture: str
    choice: Choice
    notes: str = ""


def card_of(
    record: StudyOnRecord, each: RunOnRecord, *, mask: Mask | None = None, clock: Clock = as_stamped
) -> RunCard:
    """One run, under a letter and without its place in the bench day where a mask is given."""
    names, faults = names_of(record), each.faults
    key = each.run.id if mask is None else masked_id(each.run.id)
    shown = faults if mask is None else tuple(mask.fault(fault, each.run.id) for fault in faults)
    chief = chief_fault(each)
    ordered = sorted(shown, key=lambda fault: (fault.severity is Severity.NOTE, fault.kind != _kind(chief)))
    own = address(record.study.key, "runs", key)
    return RunCard(
        key=key,
        address=own,
        who=names.setup(each.run.setup) if mask is None else mask.setups[each.run.setup],
        slot=names.slot(each.run.setup).number if mask is None else masked_slot(mask, each.run.setup),
        test=names.test(each.run.test),
        place=place_words(each, clock) if mask is None else "",
        label=each.run.label if mask is None else f"run {key}",
        stands=state_words(each.state),
        waits=each.state is RunState.IN_DOUBT,
        found=tuple(found_of(fault) for fault in ordered[:2]),
        more_found=max(0, len(ordered) - 2),
        why="" if each.decision is None else decided_words(each.decision, mask=mask),
        picture=f"{own}/small" if chief else "",
        choice=choice_of(record, each, mask=mask),
    )


def _kind(fault: Fault | None) -> str:
    return fault.kind if fault else ""


def masked_slot(mask: Mask, setup: str) -> int:
    """The colour of a letter: that of its place in the alphabet, as on masked pictures."""
    return 1 + list(mask.setups).index(setup) % len(SLOTS)


def found_of(fault: Fault) -> Found:
    """One fault in words."""
    return Found(
        kind=fault.kind,
        title=fault.title,
        evidence=fault.evidence,
        todo=fault.todo.rstrip("."),
        holds=fault.severity is not Severity.NOTE,
    )


def choice_of(record: StudyOnRecord, each: RunOnRecord, *, mask: Mask | None = None) -> Choice:
    """What may be decided about a run."""
    cell = record.cell(each.run.test, each.run.setup)
    others = [r for r in cell if r.state.counts and r is not each]
    called = [(r.run.id, r.run.label) for r in others if made_after(r, each, cell)]
    if mask is not None:
        # All of them, by masked id: which came later, and in which order, would tell theirs.
        called = [(code, f"run {code}") for code in sorted(masked_id(r.run.id) for r in others)]
    return Choice(
        seen=sight(each),
        needs_note=bool(blocking(each.faults)),
        reasons=reasons_for(each.faults),
        stand_ins=tuple(called),
        open=each.state in (RunState.LANDED, RunState.IN_DOUBT),
        slot=comes_up_again(record, each.run.id),
    )


def made_after(one: RunOnRecord, other: RunOnRecord, came: Sequence[RunOnRecord]) -> bool:
    """Whether a run was made after another: by the order of the day, else the clock, else as they `came`."""
    if one.run.order is not None and other.run.order is not None:
        return one.run.order > other.run.order
    if one.run.started_at is not None and other.run.started_at is not None:
        return one.run.started_at > other.run.started_at
    return came.index(one) > came.index(other)


def reasons_for(faults: Iterable[Fault]) -> tuple[tuple[str, str], ...]:
    """Every reason with its meaning, those that go with what was found first.

    >>> reasons_for(())[0]
    ('rate-cap', 'A limiter or a screen held the rate')
    """
    fitting = [reason for fault in faults for reason in FITTING.get(fault.kind, ())]
    return tuple((reason.value, capital(reason.meaning)) for reason in dict.fromkeys((*fitting, *Reason)))


def state_words(state: RunState) -> str:
    """Where a run stands, in a word or two.

    >>> state_words(RunState.IN_DOUBT)
    'waits'
    """
    return {RunState.LANDED: "counts", RunState.IN_DOUBT: "waits"}.get(state, state.value)


def decided_words(decision: Decision, *, mask: Mask | None = None) -> str:
    """What was decided and why, in a sentence."""
    if decision.state is RunState.LANDED:
        return ""
    note = decision.note if mask is None else mask.written(decision.note)
    reason = decision.reason.meaning if decision.reason else ""
    said = ": ".join(word for word in (capital(decision.state.value), reason) if word)
    if decision.state is RunState.REPLACED and note:
        return f"{capital(note)}."
    masked = " Names were hidden." if decision.masked else ""
    return f"{said}.{f' “{note}”' if note else ''}{masked}"


def place_words(each: RunOnRecord, clock: Clock = as_stamped) -> str:
    """Where a run stands in the bench day: boot, order and time, as far as they are on record.

    >>> from evenhand.desk.on_record import NO_METRICS
    >>> from evenhand.records.runs import Run
    >>> run = Run(id="3f9a", study="s", test="t", setup="a", label="x", boot="2", order=3)
    >>> place_words(RunOnRecord(run=run, metrics=NO_METRICS, faults=(), decision=None, state=RunState.KEPT))
    'boot 2, place 3 in the order'
    >>> run = Run(id="3f9b", study="s", test="t", setup="a", label="y")
    >>> place_words(RunOnRecord(run=run, metrics=NO_METRICS, faults=(), decision=None, state=RunState.KEPT))
    'boot not known'
    """
    run = each.run
    boot = run.boot or "boot not known"
    boot = boot if "boot" in boot.casefold() else f"boot {boot}"
    order = "" if run.order is None else f"place {run.order} in the order"
    when = "" if run.started_at is None else begun_words(run.started_at, clock)
    return ", ".join(word for word in (boot, order, when) if word)
