"""Judge the runs of a study again: after an import, and after every decision."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from statistics import variance

from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.readings import UNREADABLE
from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Layout
from evenhand.records.runs import RunState
from evenhand.records.tests import Measures, Test
from evenhand.store import faults as fault_store
from evenhand.store import originals, shelves
from evenhand.store import traces as trace_store
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import SensorLog, Trace
from evenhand.traces.windows import of_run
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.triage import triage_cell
from evenhand.triage.unjudged import unjudged

OUT = (RunState.SET_ASIDE, RunState.REPLACED)


def triage_study(wb: Workbench, study: str, *, now: datetime, tests: Iterable[str] | None = None) -> int:
    """Judge every run of a study, or of some of its tests, and keep the faults; how many runs hold one.

    Runs that were set aside keep the faults they were set aside with, once they have been judged at all,
    and no longer count as siblings.
    """
    record = load_study(wb, study)
    loader = _Loader(wb=wb, sensor_logs={})
    held = 0
    for key in record.study.tests if tests is None else tests:
        found = triage_test(record, record.tests[key], loader)
        with wb.writing():
            for run, faults in found.items():
                fault_store.save_faults(wb, run, faults, code_version=CODE_VERSION, now=now)
                held += any(fault.severity is not Severity.NOTE for fault in faults)
    return held


def triage_test(record: StudyOnRecord, test: Test, loader: _Loader) -> dict[str, tuple[Fault, ...]]:
    """The faults of every run of one test that is judged now, by run id."""
    cells = candidates(record, test, loader)
    found: dict[str, tuple[Fault, ...]] = {}
    for setup, runs in cells.items():
        found |= triage_cell(runs, company(record, test, setup, cells))
    unread = [
        r for r in record.runs if r.run.test == test.key and UNREADABLE in r.metrics.absent and judged(r)
    ]
    return found | {each.run.id: (unreadable(each),) for each in unread}


def unjudged_of(wb: Workbench, each: RunOnRecord) -> tuple[str, ...]:
    """What could not be judged about a run, and why: one plain sentence each."""
    record = load_study(wb, each.run.study)
    test = record.tests[each.run.test]
    cells = candidates(record, test, _Loader(wb=wb, sensor_logs={}))
    runs = cells[each.run.setup]
    if each.run.id not in {run.id for run in runs}:
        return ("It was set aside or could not be read, so it is no longer judged against its siblings.",)
    return unjudged(runs, company(record, test, each.run.setup, cells))[each.run.id]


Cells = dict[str, list[Candidate]]


def candidates(record: StudyOnRecord, test: Test, loader: _Loader) -> Cells:
    """The runs of one test that are judged now, by setup, with traces and sensors."""
    return {
        setup: [
            loader.candidate(each, test)
            for each in record.cell(test.key, setup)
            if judged(each) and each.headline(test) is not None
        ]
        for setup in record.study.setups
    }


def company(record: StudyOnRecord, test: Test, setup: str, cells: Cells) -> Company:
    """What the runs of one cell are judged against."""
    return Company(
        test=test,
        peers=tuple(tuple(peers) for other, peers in cells.items() if other != setup and peers),
        ambient_c=record.study.ambient_c,
        study_spread=tuple(spread(record, but=(test.key, setup))),
    )


def judged(each: RunOnRecord) -> bool:
    """Whether a run is judged now: not when it was set aside after it had been judged."""
    seen_before = bool(each.faults) or (each.decision is not None and bool(each.decision.over))
    return not (each.state in OUT and seen_before)


def unreadable(each: RunOnRecord) -> Fault:
    """The fault of a run whose log gave no numbers."""
    return Fault(
        kind="unreadable log",
        title="The log could not be read",
        severity=Severity.BLOCKS,
        evidence=each.metrics.absent[UNREADABLE],
        todo="mend what the reason says and import again; the original is kept",
    )


def spread(record: StudyOnRecord, *, but: tuple[str, str]) -> Iterable[tuple[float, float]]:
    """What the study's other cells know of run-to-run spread: variance of the log headline, and its df."""
    for test in record.tests.values():
        for setup in record.study.setups:
            values = [
                math.log(value)
                for each in record.cell(test.key, setup)
                if each.state not in OUT and (value := each.headline(test)) and value > 0
            ]
            if (test.key, setup) != but and len(values) > 1:
                yield variance(values), float(len(values) - 1)


@dataclass(slots=True, kw_only=True)
class _Loader:
    """Brings runs back from the workbench for judging; a sensor log that many runs share is read once."""

    wb: Workbench
    sensor_logs: dict[str, SensorLog]

    def candidate(self, each: RunOnRecord, test: Test) -> Candidate:
        trace = self.trace(each, test)
        return Candidate(
            id=each.run.id,
            label=each.run.label,
            headline=each.headline(test),
            trace=trace,
            sensors=self.sensors(each),
            metrics=each.metrics,
            stamps=each.run.stamps,
            ambient_c=each.run.ambient_c,
            log_sha256=each.run.log if test.measures is Measures.FRAMES else None,
            flaws=trace.flaws if trace else (),
        )

    def trace(self, each: RunOnRecord, test: Test) -> Trace | None:
        if test.measures is not Measures.FRAMES or UNREADABLE in each.metrics.absent:
            return None
        return unpack(trace_store.packed_trace(self.wb, each.run.id))

    def sensors(self, each: RunOnRecord) -> SensorLog | None:
        run = each.run
        if run.sensors is None or run.sensor_layout is None:
            return None
        if run.sensors not in self.sensor_logs:
            layout = shelves.one(self.wb, Layout, run.sensor_layout)
            data = originals.original(self.wb, run.sensors)
            self.sensor_logs[run.sensors] = read_sensors(data, layout, name=run.label)
        duration = run.duration_s or each.metrics.values.get("duration_s")
        return of_run(self.sensor_logs[run.sensors], run.started_at, duration)
