"""Judge the runs of one test, given all that its study lends to it: a pure step, fit for another process."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.runs.candidates import OUT, CellOnRecord
from evenhand.desk.runs.window_checks import outside
from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Layout
from evenhand.records.runs import RunState
from evenhand.records.tests import Test
from evenhand.store.rows import as_text
from evenhand.triage.candidate import Company
from evenhand.triage.learned import NOTHING, Learned
from evenhand.triage.lessons import Lesson, lesson_of, vouches
from evenhand.triage.prepared import Prepared
from evenhand.triage.spread import Cell, Spread, of_others
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.triage import triage_cell
from evenhand.triage.view import look

Cells = Mapping[str, CellOnRecord]


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

    def company(self, cells: Cells, *, of: Cell) -> Company:
        """What the runs of one cell are judged against."""
        others = (runs.counting for other, runs in cells.items() if other != of[1])
        return Company(
            test=self.record.tests[of[0]],
            peers=tuple(peers for peers in others if peers),
            ambient_c=self.record.study.ambient_c,
            study_spread=of_others(self.spreads, but=of),
            learned=self.learned.get(of[0], NOTHING),
        )


def judge_test(
    around: Around, test: Test, cells: Cells, *, own: frozenset[str], prepared: Prepared | None = None
) -> Verdicts:
    """Judge every run of one test; what its cells, by setup, teach is taken from the runs in `own` alone.

    `prepared` spares what was worked out of these very runs of this test before.
    """
    record = around.record
    prepared = Prepared(DEFAULT) if prepared is None else prepared
    found: dict[str, tuple[Fault, ...]] = {}
    lessons = []
    for setup, runs in cells.items():
        company = around.company(cells, of=(test.key, setup))
        found |= triage_cell(runs.counting, company, prepared=prepared)
        lessons.append(_lesson(record, runs, found, company, prepared, own=own))
        for run in runs.out:
            found[run] = triage_cell(runs.with_one(run), company, prepared=prepared)[run]
    traces = {run.id: run.whole or run.trace for runs in cells.values() for run in runs.runs}
    for each in (each for each in record.runs if each.run.test == test.key):
        trace = traces.get(each.run.id)
        past = None if trace is None else outside(each, test, trace)
        if past is not None:
            found[each.run.id] = (past, *found.get(each.run.id, ()))
        elif each.headline(test) is None:
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
    """What the good runs of a cell teach: those that nothing calls odd, and those kept in spite of it."""
    kept = {each.run.id for each in record.runs if was_kept(each)}
    good = [r for r in runs.counting if r.id in own and (r.id in kept or vouches(found[r.id]))]
    return lesson_of(look(good, company, DEFAULT, prepared))


def was_kept(each: RunOnRecord) -> bool:
    """Whether somebody decided to keep a run, whatever was found."""
    return each.decision is not None and each.decision.state is RunState.KEPT


def text_of_run(each: RunOnRecord, stamps: Mapping[str, str]) -> str:
    """What is known of a run, and the part it plays: out of the comparison, or kept whatever was found."""
    known = (each.run, stamps, each.metrics.values, each.metrics.absent)
    return as_text((*known, each.state in OUT, was_kept(each)))


def numberless(each: RunOnRecord, test: Test) -> Fault:
    """The fault of a run without its test's headline number: its log gave none, or too little for it."""
    if UNREADABLE in each.metrics.absent:
        return unreadable(each)
    return Fault(
        kind="no-headline-number",
        title="No headline number",
        severity=Severity.BLOCKS,
        evidence=f"{test.metric}: {each.metrics.absent.get(test.metric, 'not among its numbers')}.",
        todo=_how_to_get_one(each),
    )


def _how_to_get_one(each: RunOnRecord) -> str:
    """What to do about a run without a number: more frames help none that holds not one to be used."""
    if each.metrics.values.get("frames") == 0:
        return "see which column holds the frame times and in what unit, or record the run again"
    return "record a longer run, or correct the test's metric"


def unreadable(each: RunOnRecord) -> Fault:
    """The fault of a run whose log gave no numbers."""
    return Fault(
        kind="unreadable-log",
        title="The log could not be read",
        severity=Severity.BLOCKS,
        evidence=each.metrics.absent[UNREADABLE],
        todo="mend what the reason says and import again; the original is kept",
    )
