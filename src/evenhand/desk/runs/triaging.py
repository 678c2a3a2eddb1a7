"""Judge the runs of a study again: after an import, and after every decision."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from datetime import datetime
from functools import cache

from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import NOT_JUDGED, RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.runs.candidates import OUT, Loader
from evenhand.desk.runs.deputies import deputies_for, in_order
from evenhand.desk.runs.held_tests import at_hand
from evenhand.desk.runs.judging import Around, Verdicts, judge_test, text_of_run, was_kept
from evenhand.desk.runs.learning import keep_lessons, learned_before
from evenhand.records.layouts import Layout
from evenhand.records.states import holding
from evenhand.records.tests import Test
from evenhand.store import faults as fault_store
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.judged import judged_on, note_judged
from evenhand.store.rows import as_text
from evenhand.store.workbench import Workbench
from evenhand.triage.kinds.level_words import KIND as LEVEL
from evenhand.triage.spread import Cell, Spread, cell_spreads, lent, of_others, vouching
from evenhand.triage.thresholds import DEFAULT, reasons
from evenhand.triage.unjudged import unjudged

Watch = Callable[[int, int, str], None]
Telling = Callable[[RunOnRecord, Mapping[str, str]], str]

JUDGING = "judging"
ROUNDS = 2  # the second knows who is held; what holds a run for more than its level depends on neither


def triage_study(wb: Workbench, study: str, *, now: datetime, watch: Watch | None = None) -> int:
    """Judge every run of a study and keep the faults; how many runs hold one.

    Runs that were set aside no longer count as siblings; each of them is judged against those that do,
    so that what is found never depends on the order in which runs came and decisions were made. A run
    that several studies use is judged in the one it was first stored in, and is company in the others.
    A test that was judged on the very same before is left alone.
    What tests lend each other is known when all have been judged (`spreads_of`): those to which that makes a
    difference are judged once more.
    """
    own = run_store.first_stored_in(wb, study)
    for _ in range(ROUNDS):
        if not _judge_due(wb, study, own, now=now, watch=watch):
            break
    found = fault_store.faults_of(wb, study)
    return sum(bool(holding(found[run].faults)) for run in own if run in found)


def _judge_due(wb: Workbench, study: str, own: frozenset[str], *, now: datetime, watch: Watch | None) -> bool:
    """Judge the tests whose judgement depends on something that has changed; whether there were any."""
    around = around_study(wb, study)
    loader = Loader(wb=wb, sensor_logs={})
    before = judged_on(wb, study)
    tests = list(around.record.tests.values())
    digests = {test.key: digest_of(around, test) for test in tests}
    due = [test for test in tests if before.get(test.key) != digests[test.key]]
    with deputies_for(around, due, own=own) as deputies:
        judged = in_order(
            due,
            deputies,
            here=lambda test: triage_test(around, test, loader, own=own),
            load=lambda test: loader.cells(around.record, test),
        )
        for done, (test, verdicts) in enumerate(judged, start=1 + len(tests) - len(due)):
            keep_verdicts(wb, study, test, verdicts, own=own, digest=digests[test.key], now=now)
            if watch is not None:
                watch(done, len(tests), f"{JUDGING} {test.name}")
    return bool(due)


def keep_verdicts(
    wb: Workbench,
    study: str,
    test: Test,
    verdicts: Verdicts,
    *,
    own: frozenset[str],
    digest: str,
    now: datetime,
) -> None:
    """Put on record what was found in the runs of one test, what it teaches, and what it was judged on."""
    with wb.writing():
        for run, faults in verdicts.faults.items():
            if run in own:
                fault_store.save_faults(wb, run, faults, code_version=CODE_VERSION, now=now)
        keep_lessons(wb, study, test.key, verdicts.lessons, now=now)
        note_judged(wb, study, test.key, digest)


def triage_test(around: Around, test: Test, loader: Loader, *, own: frozenset[str]) -> Verdicts:
    """Judge every run of one test, in this process, with what is held of it at hand."""
    with at_hand(loader.wb.path, around.record.study.key, test) as held:
        cells = held.cells(loader, around.record)
        return judge_test(around, test, cells, own=own, prepared=held.prepared)


def unjudged_of(wb: Workbench, each: RunOnRecord) -> tuple[str, ...]:
    """What could not be judged about a run, and why: one plain sentence each."""
    if UNREADABLE in each.metrics.absent:
        return ("Anything: its log could not be read.",)
    around = around_study(wb, each.run.study)
    test, setup = around.record.tests[each.run.test], each.run.setup
    loader = Loader(wb=wb, sensor_logs={})
    cells = loader.cells(around.record, test)
    runs = cells[setup].with_one(each.run.id)
    found = {run.run.id: run.faults for run in around.record.cell(test.key, setup)}
    return unjudged(runs, around.company(cells, of=(test.key, setup)), found=found)[each.run.id]


def around_study(wb: Workbench, study: str) -> Around:
    """All that a study lends to the judgement of its runs."""
    record = load_study(wb, study)
    used = {key for each in record.runs for key in (each.run.log_layout, each.run.sensor_layout) if key}
    return Around(
        record=record,
        spreads=spreads_of(record),
        learned=learned_before(wb, study),
        layouts=tuple(shelves.one(wb, Layout, key) for key in sorted(used)),
    )


def digest_of(around: Around, test: Test, *, known: Telling | None = None) -> str:
    """A digest of all that the judgement of one test depends on: the same one gives the same faults.

    `known` may give what `text_of_run` gives of a run and its setup's stamps, where that was asked before.
    """
    record, of_run = around.record, known or text_of_run
    runs = (
        of_run(each, record.setups[each.run.setup].stamps)
        for each in record.runs
        if each.run.test == test.key
    )
    spreads = [lent(of_others(around.spreads, but=(test.key, setup))) for setup in record.setups]
    study = (
        record.study.ambient_c,
        list(record.setups),
        [(s.variance, s.df) if s else None for s in spreads],
    )
    lent_here = as_text((test, study, around.learned.get(test.key), around.layouts))
    whole = f"[{_code_and_rules()},{lent_here[1:-1]},[{','.join(runs)}]]"
    return hashlib.sha256(whole.encode()).hexdigest()


@cache
def _code_and_rules() -> str:
    """What judges: the same as long as this program runs."""
    return as_text((CODE_VERSION, [(limit.name, limit.value) for limit in reasons(DEFAULT)]))[1:-1]


def spreads_of(record: StudyOnRecord) -> dict[Cell, Spread]:
    """What each cell of the study knows of run-to-run spread; runs that were set aside add nothing.

    Nor do runs that are held while their siblings are not: one run in another unit, not decided on yet, would
    make all other tests blind to levels. A level is judged by this very spread, so it is no reason here: what
    is lent never depends on what it was judged by.
    """
    headlines: dict[Cell, list[float]] = {}
    for test in record.tests.values():
        for setup in record.setups:
            cell = [each for each in record.cell(test.key, setup) if each.state not in OUT]
            numbers = ((each.headline(test), _held_for(each)) for each in cell)
            known = [(number, held) for number, held in numbers if number is not None]
            headlines[test.key, setup] = vouching(known)
    return cell_spreads(headlines)


def _held_for(each: RunOnRecord) -> frozenset[str]:
    """The kinds that hold a run, but those that say nothing of its number before it has been judged by it."""
    kinds = frozenset(fault.kind for fault in holding(each.faults)) - {LEVEL, NOT_JUDGED.kind}
    return frozenset() if was_kept(each) else kinds
