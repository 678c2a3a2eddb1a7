"""What the logs of one run hold that is odd, and how its sensor log was joined to its frames."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.desk.runs.candidates import Loader
from evenhand.errors import EvenhandError
from evenhand.metrics.alignment import Alignment
from evenhand.records.layouts import Layout, LogKind
from evenhand.records.tests import Measures, Test
from evenhand.store import originals, shelves
from evenhand.store.workbench import Workbench
from evenhand.traces.flaws import MEANINGS
from evenhand.traces.scores import read_scores
from evenhand.traces.trace import Flaw
from evenhand.triage.sensing import joined, off_alike


@dataclass(frozen=True, slots=True, kw_only=True)
class LogFlaw:
    """Something odd in one of a run's logs: its meaning, this one in `detail`, first line, how often."""

    log: LogKind
    kind: str
    meaning: str
    detail: str
    line: int | None
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RunLogs:
    """What is told of a run's logs; `sensors_joined` is empty without a sensor log that could be placed."""

    flaws: tuple[LogFlaw, ...] = ()
    sensors_joined: str = ""


def logs_of(wb: Workbench, each: RunOnRecord) -> RunLogs:
    """What the readers listed for the logs of a run, and what told where it lies in its sensor log.

    Nothing is told of a log that could not be read: the run's faults say so.
    """
    test = shelves.one(wb, Test, each.run.test)
    loader = Loader(wb=wb, sensor_logs={})
    trace = loader.trace(each, test)
    whole = loader.sensor_log(each)
    _, alignment = loader.sensors(each, trace)
    return RunLogs(
        flaws=(
            *_told(LogKind.FRAMES, trace.flaws if trace else ()),
            *_told(LogKind.SCORES, _of_scores(wb, each, test)),
            *_told(LogKind.SENSORS, whole.flaws if whole else ()),
        ),
        sensors_joined="" if alignment is None else joined(alignment, _alike(loader, each, test, alignment)),
    )


def _alike(loader: Loader, each: RunOnRecord, test: Test, alignment: Alignment) -> int:
    """How many others of its cell are off by as much; looked up only where that would be a doubt."""
    if not alignment.doubtful:
        return 0
    cell = load_study(loader.wb, each.run.study).cell(test.key, each.run.setup)
    others = (
        loader.sensors(other, loader.trace(other, test))[1] for other in cell if other.run.id != each.run.id
    )
    return off_alike(alignment, others)


def _of_scores(wb: Workbench, each: RunOnRecord, test: Test) -> tuple[Flaw, ...]:
    run = each.run
    if test.measures is not Measures.SCORE or run.log is None or run.log_layout is None:
        return ()
    if UNREADABLE in each.metrics.absent:
        return ()
    try:
        layout = shelves.one(wb, Layout, run.log_layout)
        return read_scores(originals.original(wb, run.log), layout, name=run.label).flaws
    except EvenhandError:
        return ()


def _told(log: LogKind, flaws: Iterable[Flaw]) -> list[LogFlaw]:
    return [
        LogFlaw(
            log=log,
            kind=flaw.kind,
            meaning=MEANINGS[flaw.kind],
            detail=flaw.detail,
            line=flaw.line,
            count=flaw.count,
        )
        for flaw in flaws
    ]
