"""Judge the runs of a study again: after an import, and after every decision."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.readings import UNREADABLE
from evenhand.errors import EvenhandError
from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Layout
from evenhand.records.runs import RunState
from evenhand.records.tests import Measures, Test
from evenhand.store import faults as fault_store
from evenhand.store import originals, shelves
from evenhand.store import runs as run_store
from evenhand.store import traces as trace_store
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import SensorLog, Trace
from evenhand.traces.windows import of_run
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.prepared import Prepared
from evenhand.triage.spread import Cell, Spread, cell_spreads, of_others
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.triage import triage_cell
from evenhand.triage.unjudged import unjudged

Watch = Callable[[int, int, str], None]

JUDGING = "judging"
OUT = (RunState.SET_ASIDE, RunState.REPLACED)


def triage_study(wb: Workbench, study: str, *, now: datetime, watch: Watch | None = None) -> int:
    """Judge every run of a study and keep the faults; how many runs hold one.

    Runs that were set aside no longer count as siblings; each of them is judged against those that do,
    so that what is found never depends on the order in which runs came and decisions were made. A run
    that several studies use is judged in the one it was first stored in, and is company in the others.
    """
    record = load_study(wb, study)
    loader = _Loader(wb=wb, sensor_logs={})
    held, spreads = 0, spreads_of(record)
    for done, test in enumerate(record.tests.values(), start=1):
        found = triage_test(record, test, loader, spreads)
        with wb.writing():
            for run, faults in found.items():
                if run_store.studies_of(wb, run)[0] != study:
                    continue
                fault_store.save_faults(wb, run, faults, code_version=CODE_VERSION, now=now)
                held += any(fault.severity is not Severity.NOTE for fault in faults)
        if watch is not None:
            watch(done, len(record.tests), f"{JUDGING} {test.name}")
    return held


def triage_test(
    record: StudyOnRecord, test: Test, loader: _Loader, spreads: Mapping[Cell, Spread]
) -> dict[str, tuple[Fault, ...]]:
    """The faults of every run of one test, by run id."""
    cells = {setup: _cell(record, test, setup, loader) for setup in record.setups}
    found: dict[str, tuple[Fault, ...]] = {}
    prepared = Prepared(DEFAULT)
    for setup, runs in cells.items():
        around = company(record, cells, of=(test.key, setup), spreads=spreads)
        found |= triage_cell(runs.counting, around, prepared=prepared)
        for run in runs.out:
            found[run] = triage_cell(runs.with_one(run), around, prepared=prepared)[run]
    for each in record.runs:
        if each.run.test == test.key and each.headline(test) is None:
            found[each.run.id] = (numberless(each, test), *found.get(each.run.id, ()))
    return found


def unjudged_of(wb: Workbench, each: RunOnRecord) -> tuple[str, ...]:
    """What could not be judged about a run, and why: one plain sentence each."""
    if UNREADABLE in each.metrics.absent:
        return ("Anything: its log could not be read.",)
    record = load_study(wb, each.run.study)
    test, setup = record.tests[each.run.test], each.run.setup
    loader = _Loader(wb=wb, sensor_logs={})
    cells = {name: _cell(record, test, name, loader) for name in record.setups}
    runs = cells[setup].with_one(each.run.id)
    around = company(record, cells, of=(test.key, setup), spreads=spreads_of(record))
    return unjudged(runs, around)[each.run.id]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """The runs of one test on one setup that can be judged, in order; `out` are ids of those set aside."""

    runs: tuple[Candidate, ...]
    out: frozenset[str]

    @property
    def counting(self) -> tuple[Candidate, ...]:
        return tuple(run for run in self.runs if run.id not in self.out)

    def with_one(self, run_id: str) -> tuple[Candidate, ...]:
        return tuple(run for run in self.runs if run.id not in self.out or run.id == run_id)


def _cell(record: StudyOnRecord, test: Test, setup: str, loader: _Loader) -> _Cell:
    known = [each for each in record.cell(test.key, setup) if UNREADABLE not in each.metrics.absent]
    return _Cell(
        runs=tuple(loader.candidate(each, test, record.setups[setup].stamps) for each in known),
        out=frozenset(each.run.id for each in known if each.state in OUT),
    )


def company(
    record: StudyOnRecord, cells: Mapping[str, _Cell], *, of: Cell, spreads: Mapping[Cell, Spread]
) -> Company:
    """What the runs of one cell are judged against."""
    others = (runs.counting for other, runs in cells.items() if other != of[1])
    return Company(
        test=record.tests[of[0]],
        peers=tuple(peers for peers in others if peers),
        ambient_c=record.study.ambient_c,
        study_spread=of_others(spreads, but=of),
    )


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


@dataclass(slots=True, kw_only=True)
class _Loader:
    """Brings runs back from the workbench for judging; a sensor log that many runs share is read once."""

    wb: Workbench
    sensor_logs: dict[tuple[str, str], SensorLog | None]

    def candidate(self, each: RunOnRecord, test: Test, setup_stamps: Mapping[str, str]) -> Candidate:
        """A run as triage sees it; what it does not say of itself, its setup says for it."""
        trace = self.trace(each, test)
        return Candidate(
            id=each.run.id,
            label=each.run.label,
            headline=each.headline(test),
            trace=trace,
            sensors=self.sensors(each),
            metrics=each.metrics,
            stamps={**setup_stamps, **each.run.stamps},
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
        key = (run.sensors, run.sensor_layout)
        if key not in self.sensor_logs:
            layout = shelves.one(self.wb, Layout, run.sensor_layout)
            data = originals.original(self.wb, run.sensors)
            self.sensor_logs[key] = readable(data, layout, name=run.label)
        log = self.sensor_logs[key]
        duration = run.duration_s or each.metrics.values.get("duration_s")
        return None if log is None else of_run(log, run.started_at, duration)


def readable(data: bytes, layout: Layout, *, name: str) -> SensorLog | None:
    """A sensor log, or None where it cannot be read: the import has told so."""
    try:
        return read_sensors(data, layout, name=name)
    except EvenhandError:
        return None
