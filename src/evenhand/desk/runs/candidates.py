"""Runs brought back from the workbench as triage sees them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenhand.desk.logs.measuring import Taken, window_of
from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.errors import EvenhandError
from evenhand.metrics.alignment import Alignment
from evenhand.records.layouts import Layout
from evenhand.records.runs import RunState
from evenhand.records.tests import Measures, Test
from evenhand.records.windows import WHOLE, Window
from evenhand.store import originals, shelves
from evenhand.store import traces as trace_store
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack
from evenhand.traces.cutting import cut
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import SensorLog, Trace
from evenhand.triage.candidate import Candidate

OUT = (RunState.SET_ASIDE, RunState.REPLACED)


@dataclass(frozen=True, slots=True, kw_only=True)
class CellOnRecord:
    """The runs of one test on one setup that can be judged, in order; `out` are ids of those set aside."""

    runs: tuple[Candidate, ...]
    out: frozenset[str]

    @property
    def counting(self) -> tuple[Candidate, ...]:
        """The runs that are each other's siblings."""
        return tuple(run for run in self.runs if run.id not in self.out)

    def with_one(self, run_id: str) -> tuple[Candidate, ...]:
        """The same, and one run that may have been set aside."""
        return tuple(run for run in self.runs if run.id not in self.out or run.id == run_id)


@dataclass(slots=True, kw_only=True)
class Loader:
    """Brings runs back for judging; a sensor log that many runs share is read once."""

    wb: Workbench
    sensor_logs: dict[tuple[str, str], SensorLog | None]

    def cells(self, record: StudyOnRecord, test: Test) -> dict[str, CellOnRecord]:
        """All readable runs of one test, by setup."""
        return {setup: self.cell(record, test, setup) for setup in record.setups}

    def cell(self, record: StudyOnRecord, test: Test, setup: str) -> CellOnRecord:
        """All readable runs of one cell."""
        known = [each for each in record.cell(test.key, setup) if UNREADABLE not in each.metrics.absent]
        framed = [each.run.id for each in known if test.measures is Measures.FRAMES]
        packed = trace_store.packed_traces(self.wb, framed)
        traces = {run: unpack(trace) for run, trace in packed.items()}
        stamps = record.setups[setup].stamps
        return CellOnRecord(
            runs=tuple(self.candidate(each, test, traces.get(each.run.id), stamps) for each in known),
            out=frozenset(each.run.id for each in known if each.state in OUT),
        )

    def candidate(
        self, each: RunOnRecord, test: Test, trace: Trace | None, setup_stamps: Mapping[str, str]
    ) -> Candidate:
        """A run of these frames as triage sees it; what it is silent about, its setup says for it."""
        window = window_of(test, each.run)
        part = None if trace is None else cut(trace, window)
        sensors, alignment = self.sensors(each, trace, window)
        return Candidate(
            id=each.run.id,
            label=each.run.label,
            headline=each.headline(test),
            trace=part,
            whole=None if part is trace else trace,
            cut_alone=not window.cuts_like(test.window),
            sensors=sensors,
            alignment=alignment,
            metrics=each.metrics,
            stamps={**setup_stamps, **each.run.stamps},
            ambient_c=each.run.ambient_c,
            log_sha256=each.run.log if test.measures is Measures.FRAMES else None,
            flaws=trace.flaws if trace else (),
            boot=each.run.boot,
            order=each.run.order,
        )

    def trace(self, each: RunOnRecord, test: Test) -> Trace | None:
        """All frames of the run, where its test has any."""
        if test.measures is not Measures.FRAMES or UNREADABLE in each.metrics.absent:
            return None
        return unpack(trace_store.packed_trace(self.wb, each.run.id))

    def sensors(
        self, each: RunOnRecord, trace: Trace | None, window: Window = WHOLE
    ) -> tuple[SensorLog | None, Alignment | None]:
        """The readings beside what is measured of a run with these frames, and what told which they are."""
        log = self.sensor_log(each)
        if log is None:
            return None, None
        lasts_s = each.run.duration_s or (each.metrics.values.get("duration_s") if trace is None else None)
        taken = Taken(trace=trace, started_at=each.run.started_at, duration_s=lasts_s)
        found = taken.part_of(log, window)
        return found if found is not None and found[0].time_s.size else (None, None)

    def sensor_log(self, each: RunOnRecord) -> SensorLog | None:
        """The whole sensor log that a run names, where it can be read."""
        run = each.run
        if run.sensors is None or run.sensor_layout is None:
            return None
        key = (run.sensors, run.sensor_layout)
        if key not in self.sensor_logs:
            layout = shelves.one(self.wb, Layout, run.sensor_layout)
            data = originals.original(self.wb, run.sensors)
            self.sensor_logs[key] = readable(data, layout, name=run.label)
        return self.sensor_logs[key]


def readable(data: bytes, layout: Layout, *, name: str) -> SensorLog | None:
    """A sensor log, or None where it cannot be read: the import has told so."""
    try:
        return read_sensors(data, layout, name=name)
    except EvenhandError:
        return None
