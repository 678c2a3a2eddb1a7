"""What a window would change, before anybody cuts: numbers of a run and its siblings, and what is found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.measuring import window_of
from evenhand.desk.logs.measuring_again import measured
from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.runs.candidates import OUT, Loader
from evenhand.desk.runs.cutting import CutAsked, refuse_scores
from evenhand.desk.runs.judging import judge_test
from evenhand.desk.runs.triaging import around_study, spreads_of
from evenhand.desk.runs.window_checks import unfit_words
from evenhand.findings.finding import Finding
from evenhand.metrics.wall import with_wall
from evenhand.records.faults import Fault
from evenhand.records.states import state_of
from evenhand.records.tests import Test
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPreview:
    """The study as it is and as it would be; `touched` are the ids of runs that would be measured otherwise.

    `unfit` tells of each run that the window does not fit, by its id: it could not be stored then.
    """

    before: StudyOnRecord
    after: StudyOnRecord
    test: Test
    touched: tuple[str, ...]
    unfit: dict[str, str]

    def findings(self) -> Iterator[tuple[Finding, Finding]]:
        """Each finding of the test as it is and as it would be."""
        both = (findings_now(each).findings for each in (self.before, self.after))
        before, after = ([f for f in found if f.test == self.test.key] for found in both)
        yield from zip(before, after, strict=True)


def preview_cut(wb: Workbench, record: StudyOnRecord, asked: CutAsked) -> CutPreview:
    """The runs of the study measured as asked, nothing stored. Raises BadRecord for a test of scores."""
    each = record.run(asked.run)
    test = record.tests[each.run.test]
    refuse_scores(test)
    cut = replace(test, window=asked.window) if asked.every else test
    loader = Loader(wb=wb, sensor_logs={})
    runs, unfit = {}, {}
    for one in touched_by(record, asked):
        own = one.run.window if asked.every else asked.window
        would = replace(one, run=replace(one.run, window=own))
        runs[one.run.id], why = measured_so(loader, would, cut)
        if why and one.state not in OUT:
            unfit[one.run.id] = why
    after = replace(
        record,
        tests={**record.tests, cut.key: cut},
        runs=tuple(runs.get(one.run.id, one) for one in record.runs),
    )
    judged = after if unfit else judged_so(wb, after, cut, loader)
    return CutPreview(before=record, after=judged, test=cut, touched=tuple(runs), unfit=unfit)


def judged_so(wb: Workbench, after: StudyOnRecord, test: Test, loader: Loader) -> StudyOnRecord:
    """The study with what would be found in the runs of the test, and so with where they would stand."""
    around = replace(around_study(wb, after.study.key), record=after, spreads=spreads_of(after))
    own = run_store.first_stored_in(wb, after.study.key)
    found = judge_test(around, test, loader.cells(after, test), own=own).faults
    return replace(after, runs=tuple(standing_so(each, found, own) for each in after.runs))


def standing_so(
    each: RunOnRecord, found: Mapping[str, tuple[Fault, ...]], own: frozenset[str]
) -> RunOnRecord:
    """A run with these faults; one that another study judges stays as it is."""
    if each.run.id not in found or each.run.id not in own:
        return each
    faults = found[each.run.id]
    return replace(each, faults=faults, state=state_of(faults, [each.decision] if each.decision else []))


def touched_by(record: StudyOnRecord, asked: CutAsked) -> Iterator[RunOnRecord]:
    """The runs that would be measured otherwise: those of the test without a window of their own, or one."""
    for one in record.runs:
        readable = UNREADABLE not in one.metrics.absent
        if asked.every:
            wanted = one.run.test == record.run(asked.run).run.test and one.run.window is None
        else:
            wanted = one.run.id == asked.run
        if wanted and readable:
            yield one


def measured_so(loader: Loader, would: RunOnRecord, test: Test) -> tuple[RunOnRecord, str]:
    """A run with its numbers in the window that would stand for it, and why that does not fit, or ""."""
    trace = loader.trace(would, test)
    if trace is None:
        return would, ""
    metrics = with_wall(measured(loader, would, trace, window_of(test, would.run)), would.run.wall_w)
    return replace(would, metrics=metrics), unfit_words(would, test, trace)
