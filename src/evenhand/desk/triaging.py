"""Judge the runs of a study again: after an import, and after every decision."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

from evenhand.desk.candidates import OUT, CellOnRecord, Loader
from evenhand.desk.learning import keep_lessons, learned_before
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.readings import UNREADABLE
from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Layout
from evenhand.records.runs import RunState
from evenhand.records.states import holding
from evenhand.records.tests import Test
from evenhand.store import faults as fault_store
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.judged import judged_on, note_judged
from evenhand.store.rows import as_text
from evenhand.store.workbench import Workbench
from evenhand.triage.candidate import Company
from evenhand.triage.learned import NOTHING, Learned
from evenhand.triage.lessons import Lesson, lesson_of
from evenhand.triage.prepared import Prepared
from evenhand.triage.spread import Cell, Spread, cell_spreads, lent, of_others
from evenhand.triage.thresholds import DEFAULT, reasons
from evenhand.triage.triage import triage_cell
from evenhand.triage.unjudged import unjudged
from evenhand.triage.view import look

Watch = Callable[[int, int, str], None]

JUDGING = "judging"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdicts:
    """What was found in every run of one test, by run id, and what each cell of it teaches."""

    faults: Mapping[str, tuple[Fault, ...]]
    lessons: tuple[Lesson, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """What a study lends to the judgement of each of its tests; `layouts` are those its logs are read by."""

    record: StudyOnRecord
    spreads: Mapping[Cell, Spread]
    learned: Mapping[str, Learned]
    layouts: tuple[Layout, ...]

    def company(self, cells: Mapping[str, CellOnRecord], *, of: Cell) -> Company:
        """What the runs of one cell are judged against."""
        others = (runs.counting for other, runs in cells.items() if other != of[1])
        return Company(
            test=self.record.tests[of[0]],
            peers=tuple(peers for peers in others if peers),
            ambient_c=self.record.study.ambient_c,
            study_spread=of_others(self.spreads, but=of),
            learned=self.learned.get(of[0], NOTHING),
        )


def triage_study(wb: Workbench, study: str, *, now: datetime, watch: Watch | None = None) -> int:
    """Judge every run of a study and keep the faults; how many runs hold one.

    Runs that were set aside no longer count as siblings; each of them is judged against those that do,
    so that what is found never depends on the order in which runs came and decisions were made. A run
    that several studies use is judged in the one it was first stored in, and is company in the others.
    A test that was judged on the very same before is left alone.
    """
    around = around_study(wb, study)
    loader = Loader(wb=wb, sensor_logs={})
    before = judged_on(wb, study)
    own = run_store.first_stored_in(wb, study)
    tests = list(around.record.tests.values())
    for done, test in enumerate(tests, start=1):
        digest = digest_of(around, test)
        if before.get(test.key) != digest:
            verdicts = triage_test(around, test, loader, own=own)
            with wb.writing():
                for run, faults in verdicts.faults.items():
                    if run in own:
                        fault_store.save_faults(wb, run, faults, code_version=CODE_VERSION, now=now)
                keep_lessons(wb, study, test.key, verdicts.lessons, now=now)
                note_judged(wb, study, test.key, digest)
        if watch is not None:
            watch(done, len(tests), f"{JUDGING} {test.name}")
    found = fault_store.faults_of(wb, study)
    return sum(bool(holding(found[run].faults)) for run in own if run in found)


def triage_test(around: Around, test: Test, loader: Loader, *, own: frozenset[str]) -> Verdicts:
    """Judge every run of one test; what its cells teach is taken from the runs in `own` alone."""
    record = around.record
    cells = {setup: loader.cell(record, test, setup) for setup in record.setups}
    prepared = Prepared(DEFAULT)
    found: dict[str, tuple[Fault, ...]] = {}
    lessons = []
    for setup, runs in cells.items():
        company = around.company(cells, of=(test.key, setup))
        found |= triage_cell(runs.counting, company, prepared=prepared)
        lessons.append(_lesson(record, runs, found, company, prepared, own=own))
        for run in runs.out:
            found[run] = triage_cell(runs.with_one(run), company, prepared=prepared)[run]
    for each in record.runs:
        if each.run.test == test.key and each.headline(test) is None:
            found[each.run.id] = (numberless(each, test), *found.get(each.run.id, ()))
    return Verdicts(faults=found, lessons=tuple(lessons))


def _lesson(
    record: StudyOnRecord,
    runs: CellOnRecord,
    found: Mapping[str, tuple[Fault, ...]],
    company: Company,
    prepared: Prepared,
    *,
    own: frozenset[str],
) -> Lesson:
    """What the good runs of a cell teach: those without a holding fault, and those kept over one."""
    kept = {each.run.id for each in record.runs if _kept(each)}
    good = [r for r in runs.counting if r.id in own and (r.id in kept or not holding(found[r.id]))]
    return lesson_of(look(good, company, DEFAULT, prepared))


def unjudged_of(wb: Workbench, each: RunOnRecord) -> tuple[str, ...]:
    """What could not be judged about a run, and why: one plain sentence each."""
    if UNREADABLE in each.metrics.absent:
        return ("Anything: its log could not be read.",)
    around = around_study(wb, each.run.study)
    test, setup = around.record.tests[each.run.test], each.run.setup
    loader = Loader(wb=wb, sensor_logs={})
    cells = {name: loader.cell(around.record, test, name) for name in around.record.setups}
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


def digest_of(around: Around, test: Test) -> str:
    """A digest of all that the judgement of one test depends on: the same one gives the same faults."""
    record = around.record
    runs = [_of_run(record, each) for each in record.runs if each.run.test == test.key]
    spreads = [lent(of_others(around.spreads, but=(test.key, setup))) for setup in record.setups]
    study = (
        record.study.ambient_c,
        list(record.setups),
        [(s.variance, s.df) if s else None for s in spreads],
    )
    rules = [(limit.name, limit.value) for limit in reasons(DEFAULT)]
    whole = as_text((CODE_VERSION, rules, test, study, around.learned.get(test.key), around.layouts, runs))
    return hashlib.sha256(whole.encode()).hexdigest()


def _of_run(record: StudyOnRecord, each: RunOnRecord) -> tuple[object, ...]:
    """What is known of a run, and the part it plays: out of the comparison, or kept whatever was found."""
    known = (each.run, record.setups[each.run.setup].stamps, each.metrics.values, each.metrics.absent)
    return (*known, each.state in OUT, _kept(each))


def _kept(each: RunOnRecord) -> bool:
    return each.decision is not None and each.decision.state is RunState.KEPT


def numberless(each: RunOnRecord, test: Test) -> Fault:
    """The fault of a run without its test's headline number: its log gave none, or too little for it."""
    if UNREADABLE in each.metrics.absent:
        return unreadable(each)
    return Fault(
        kind="no headline number",
        title="No headline number",
        severity=Severity.BLOCKS,
        evidence=f"{test.metric}: {each.metrics.absent.get(test.metric, 'not among its numbers')}.",
        todo="record a longer run, or correct the test's metric",
    )


def unreadable(each: RunOnRecord) -> Fault:
    """The fault of a run whose log gave no numbers."""
    return Fault(
        kind="unreadable log",
        title="The log could not be read",
        severity=Severity.BLOCKS,
        evidence=each.metrics.absent[UNREADABLE],
        todo="mend what the reason says and import again; the original is kept",
    )


def spreads_of(record: StudyOnRecord) -> dict[Cell, Spread]:
    """What each cell of the study knows of run-to-run spread; runs that were set aside add nothing."""
    headlines: dict[Cell, list[float]] = {}
    for test in record.tests.values():
        for setup in record.setups:
            numbers = (r.headline(test) for r in record.cell(test.key, setup) if r.state not in OUT)
            headlines[test.key, setup] = [number for number in numbers if number is not None]
    return cell_spreads(headlines)
