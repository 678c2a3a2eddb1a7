"""Keep a run, set it aside, take a decision back: each is added to its history, nothing is deleted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.desk.bench.slots import leave_out, needed_slot, take_up_again
from evenhand.desk.logs.run_logs import RunLogs, logs_of
from evenhand.desk.on_record import RunOnRecord, load_runs
from evenhand.desk.runs.fitting_reasons import FITTING
from evenhand.desk.runs.measured_part import measured_part
from evenhand.desk.runs.said import Said
from evenhand.desk.runs.stand_ins import replacement_note, stand_ins_that_do_not_count
from evenhand.desk.runs.triaging import Watch, triage_study, unjudged_of
from evenhand.desk.study.away import refuse_away
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.metrics.definitions import definition
from evenhand.metrics.run_metrics import Definition
from evenhand.records.faults import Fault, Ground
from evenhand.records.runs import Decision, Reason, RunState
from evenhand.records.states import blocking, holding
from evenhand.records.tests import Test
from evenhand.store import decisions, originals, shelves
from evenhand.store import runs as run_store
from evenhand.store.history import Change, history_of
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class RunHistory:
    """One run, all decisions about it, changes of its record, and the names its log was seen under.

    `absent` are the numbers it cannot carry, by label, each with the reason; `measured` says which part of
    its log they are of, "" where that is all of it.
    """

    run: RunOnRecord
    decisions: tuple[Decision, ...]
    changes: tuple[Change, ...]
    log_names: tuple[str, ...]
    definitions: tuple[Definition, ...]
    absent: tuple[tuple[str, str], ...]
    logs: RunLogs
    unjudged: tuple[str, ...]
    measured: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """What a decision changed: the run as it stands now, and siblings whose state changed with it.

    `warnings` tells of runs that stay replaced by one that does not count any more.
    """

    run: RunOnRecord
    also: tuple[RunOnRecord, ...]
    warnings: tuple[str, ...] = ()


def find_run(wb: Workbench, name: str) -> RunOnRecord:
    """The run with this id, the only one whose id begins so, or the only one with this label."""
    try:
        run = run_store.run(wb, name)
    except NotFound:
        labelled = run_store.labelled(wb, name)
        if not labelled:
            raise
        if len(labelled) > 1:
            ids = ", ".join(f"{each.id} (study {each.study})" for each in labelled[:5])
            raise NotFound(
                f"{len(labelled)} runs are labelled '{name}': {ids}",
                where=str(wb.path),
                todo="name one by its id",
            ) from None
        run = labelled[0]
    return next(each for each in load_runs(wb, run.study) if each.run.id == run.id)


def run_history(wb: Workbench, name: str) -> RunHistory:
    """Everything on record about one run."""
    each = find_run(wb, name)
    return RunHistory(
        run=each,
        decisions=decisions.decisions_of_run(wb, each.run.id),
        changes=history_of(wb, "runs", each.run.id),
        log_names=originals.names(wb, each.run.log) if each.run.log else (),
        definitions=tuple(definition(key) for key in each.metrics.values),
        absent=tuple((label_of(key), reason) for key, reason in each.metrics.absent.items()),
        logs=logs_of(wb, each),
        unjudged=unjudged_of(wb, each),
        measured=measured_part(shelves.one(wb, Test, each.run.test), each),
    )


def label_of(key: str) -> str:
    """What a number is called; the key itself where it is none, such as that of a whole log.

    >>> label_of("low_01pct"), label_of("sensors")
    ('0.1% low', 'sensors')
    """
    try:
        return definition(key).label
    except NotFound:
        return key


def _one_of(word: str, known: Sequence[str]) -> str:
    """The nearest of a short list, and all of it: reasons are picked, not guessed.

    >>> _one_of("nonsens", ["nonsense", "other"]), _one_of("zzz", ["nonsense", "other"])
    ("did you mean 'nonsense'? Known: nonsense, other", 'known: nonsense, other')
    """
    hint = nearest(word, known)
    return f"{hint} Known: {', '.join(sorted(known))}" if hint.endswith("?") else hint


def _reason_for(word: str, known: Sequence[str]) -> str:
    """What to say instead of a word that is no reason; of a fault the reasons that go with it."""
    fitting = FITTING.get(word)
    if fitting is None:
        return _one_of(word, known)
    return f"'{word}' is what was found; a reason that goes with it: {' or '.join(fitting)}"


def keep(wb: Workbench, name: str, *, said: Said, watch: Watch | None = None) -> Decided:
    """Let a run count though faults are on show. Over a blocking fault it needs a note that says why."""
    each = find_run(wb, name)
    blocks = blocking(each.faults)
    if blocks and not said.note.strip():
        raise BadRecord(
            f"'{blocks[0].title}' blocks this run: {blocks[0].evidence}",
            where=f"run {each.run.id} ({each.run.label})",
            todo=f"{blocks[0].todo.rstrip('.')}; or keep it all the same with --note that says why",
        )
    return decide(wb, each, decision_about(each, RunState.KEPT, said), said=said, watch=watch)


def set_aside(wb: Workbench, name: str, *, reason: str, said: Said, watch: Watch | None = None) -> Decided:
    """Leave a run out, for one of the reasons fixed in advance; it stays on record and in every view.

    Its slot of the plan comes up again; `set_aside_for_good` leaves that out too.
    """
    known = [one.value for one in Reason]
    if reason not in known:
        raise BadRecord(f"'{reason}' is not a reason", where="--reason", todo=_reason_for(reason, known))
    if reason == Reason.OTHER.value and not said.note.strip():
        raise BadRecord(
            "the reason 'other' needs words", where="--note", todo="say what is wrong with the run"
        )
    each = find_run(wb, name)
    decision = decision_about(each, RunState.SET_ASIDE, said, reason=Reason(reason))
    return decide(wb, each, decision, said=said, watch=watch)


def set_aside_for_good(
    wb: Workbench, name: str, *, reason: str, said: Said, watch: Watch | None = None
) -> Decided:
    """The same, and leave its slot of the plan out: it is not made again. Raises BadRecord without one."""
    with wb.writing():
        slot = needed_slot(wb, find_run(wb, name))
        decided = set_aside(wb, name, reason=reason, said=said, watch=watch)
        leave_out(wb, slot, decided.run.run.id, said)
    return decided


def replace_run(wb: Workbench, name: str, *, by: str, said: Said, watch: Watch | None = None) -> Decided:
    """Leave a run out because another run of the same test and setup was made in its place."""
    each, other = find_run(wb, name), find_run(wb, by)
    if (each.run.test, each.run.setup) != (other.run.test, other.run.setup) or each.run.id == other.run.id:
        raise BadRecord(
            f"{other.run.label} is not another run of the same test on the same setup",
            where=f"run {each.run.id}",
            todo="name a run of the same cell",
        )
    if not other.state.counts:
        raise stands_in_for_nothing(other)
    told = replace(said, note=replacement_note(other.run, said.note))
    return decide(wb, each, decision_about(each, RunState.REPLACED, told), said=said, watch=watch)


def stands_in_for_nothing(other: RunOnRecord) -> BadRecord:
    """The refusal of a replacement that does not count itself, which would leave its cell a run short."""
    doubt = other.state is RunState.IN_DOUBT
    return BadRecord(
        f"{other.run.label} does not count itself: it is {other.state.value}",
        where=f"run {other.run.id}",
        todo=f"{'keep it' if doubt else 'reopen it'} first, or name a run that counts",
    )


def take_back(wb: Workbench, name: str, *, said: Said, watch: Watch | None = None) -> Decided:
    """Take the decisions about a run back: it stands again where its faults put it, and so does its slot."""
    each = find_run(wb, name)
    if each.decision is None or each.decision.state is RunState.LANDED:
        raise BadRecord(
            "there is no decision to take back", where=f"run {each.run.id}", todo="see `evenhand runs STUDY`"
        )
    return decide(wb, each, decision_about(each, RunState.LANDED, said), said=said, watch=watch)


def decision_about(
    each: RunOnRecord, state: RunState, said: Said, *, reason: Reason | None = None
) -> Decision:
    """A decision about a run as it stands now, with the faults that are on show as they are told now."""
    return Decision(
        run=each.run.id,
        at=said.now,
        state=state,
        reason=reason,
        note=said.note.strip(),
        over=tuple(fault.kind for fault in holding(each.faults)),
        masked=said.masked,
        grounds=tuple(map(ground_of, each.faults)),
    )


def ground_of(fault: Fault) -> Ground:
    """A fault as it stands now, to be kept with a decision: triage may tell it otherwise tomorrow."""
    return Ground(
        kind=fault.kind,
        title=fault.title,
        severity=fault.severity,
        evidence=fault.evidence,
        numbers=dict(fault.numbers),
    )


def decide(
    wb: Workbench, each: RunOnRecord, decision: Decision, *, said: Said, watch: Watch | None = None
) -> Decided:
    """Add one decision and judge the run's studies again: every other run stands in other company now.

    An earlier word that the run's slot is left out goes with the decision that it came with. Raises
    StudyIsAway where every study of the run is put away.
    """
    runs = load_runs(wb, each.run.study)
    before, told = {r.run.id: r.state for r in runs}, stand_ins_that_do_not_count(runs)
    with wb.writing():
        refuse_away(wb, *run_store.studies_of(wb, each.run.id))
        take_up_again(wb, each, said)
        decisions.add_decision(wb, decision)
        for study in run_store.studies_of(wb, each.run.id):
            triage_study(wb, study, now=decision.at, watch=watch)
    after = load_runs(wb, each.run.study)
    changed = [r for r in after if r.state is not before[r.run.id] and r.run.id != each.run.id]
    return Decided(
        run=next(r for r in after if r.run.id == each.run.id),
        also=tuple(changed),
        warnings=tuple(w for run, w in stand_ins_that_do_not_count(after).items() if told.get(run) != w),
    )
