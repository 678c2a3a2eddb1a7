"""Work the numbers of runs out again when they are cut otherwise: they always fit the window on record."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime

from evenhand.desk.logs.measuring import Taken, frames_measured, window_of, with_log, without_sensors
from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import RunOnRecord, load_runs
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.runs.candidates import Loader
from evenhand.errors import NotFound
from evenhand.folders.study_folder import StudyFolder
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.records.windows import WHOLE, Window
from evenhand.store import metrics as metric_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench
from evenhand.traces.trace import Trace


def as_cut_before(wb: Workbench, found: StudyFolder) -> StudyFolder:
    """A folder whose tests, where they are silent about a window, keep the one that was decided here."""
    cut = {test.key: windows_standing(wb, test.key).get(test.key) for test in found.tests}
    tests = (replace(test, window=test.window or cut[test.key]) for test in found.tests)
    return replace(found, tests=tuple(tests))


def windows_standing(wb: Workbench, test: str) -> dict[str, Window]:
    """The measured window of a test by its key; nothing where it has none, or is not on record."""
    try:
        window = shelves.one(wb, Test, test).window
    except NotFound:
        return {}
    return {} if window is None else {test: window}


@contextmanager
def measured_as_cut(wb: Workbench, tests: Sequence[str], *, now: datetime) -> Iterator[None]:
    """Afterwards runs of those tests that are cut otherwise are measured again; ask within a transaction."""
    before = {key: windows_standing(wb, key).get(key, WHOLE) for key in tests}
    yield
    for key, window in before.items():
        if not window.cuts_like(windows_standing(wb, key).get(key)):
            measure_test_again(wb, shelves.one(wb, Test, key), now=now)


def measure_test_again(wb: Workbench, test: Test, *, now: datetime) -> None:
    """The numbers of every run of a test, in all studies, in the windows that stand now."""
    loader = Loader(wb=wb, sensor_logs={})
    for each in runs_of_test(wb, test.key):
        measure_run_again(wb, each, test, loader, now=now)


def measure_run_again(wb: Workbench, each: RunOnRecord, test: Test, loader: Loader, *, now: datetime) -> None:
    """The numbers of one run in the window that stands for it now; none of a run whose log gave no frames."""
    trace = loader.trace(each, test)
    if trace is not None:
        metrics = measured(loader, each, trace, window_of(test, each.run))
        metric_store.save_metrics(wb, each.run.id, metrics, code_version=CODE_VERSION, now=now)


def measured(loader: Loader, each: RunOnRecord, trace: Trace, window: Window) -> RunMetrics:
    """A run's numbers in a window, from all its frames and the sensor log that was laid beside them."""
    metrics, log = frames_measured(trace, window), loader.sensor_log(each)
    if log is not None:
        taken = Taken(trace=trace, started_at=each.run.started_at, duration_s=each.run.duration_s)
        return with_log(metrics, log, taken, window)
    why = each.metrics.absent.get("sensors")
    return metrics if why is None else without_sensors(metrics, why)


def runs_of_test(wb: Workbench, test: str) -> tuple[RunOnRecord, ...]:
    """Every readable run of a test, whatever study it is in, each once."""
    found: dict[str, RunOnRecord] = {}
    for study in shelves.every(wb, Study):
        for each in load_runs(wb, study.key):
            if each.run.test == test and UNREADABLE not in each.metrics.absent:
                found.setdefault(each.run.id, each)
    return tuple(found.values())
