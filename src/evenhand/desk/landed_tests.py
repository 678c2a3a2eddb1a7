"""Judge one test again each time a run of it lands, without working out anew what the runs before it gave.

On a bench day one run joins its siblings at a time. What triage makes of each run and of each pair of runs is
held in memory for the tests that landed last; the verdicts are those of `triage_study`, which holds nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from pathlib import Path
from threading import Lock

from evenhand.desk.candidates import OUT, CellOnRecord, Loader
from evenhand.desk.judging import judge_test
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.readings import UNREADABLE
from evenhand.desk.triaging import around_study, digest_of, keep_verdicts, text_of_run
from evenhand.records.tests import Measures, Test
from evenhand.store import runs as run_store
from evenhand.store import traces as trace_store
from evenhand.store.judged import judged_on
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack
from evenhand.triage.candidate import Candidate
from evenhand.triage.prepared import Prepared
from evenhand.triage.thresholds import DEFAULT

MOST_FRAMES = 5_400_000  # held in memory in all, each with what is made of it some 90 bytes: 450 MiB
STALE = 0.5  # share of the runs held of a test that may have changed before all of it is made anew


@dataclass(slots=True, kw_only=True)
class Held:
    """What is held of one test: its runs as triage sees them, each with what it was made of."""

    test: Test
    prepared: Prepared = field(default_factory=lambda: Prepared(DEFAULT))
    runs: dict[str, tuple[object, Candidate]] = field(default_factory=dict)
    told: dict[str, tuple[RunOnRecord, Mapping[str, str], str]] = field(default_factory=dict)
    gone: int = 0

    @property
    def frames(self) -> int:
        """How many frames its runs have together."""
        traces = (made.whole or made.trace for _, made in self.runs.values())
        return sum(trace.frame_times_ms.size for trace in traces if trace is not None)

    def text_of(self, each: RunOnRecord, stamps: Mapping[str, str]) -> str:
        """What a digest says of a run, worked out once for each record of it."""
        told = self.told.get(each.run.id)
        if told is None or told[0] is not each or told[1] != stamps:
            told = self.told[each.run.id] = (each, stamps, text_of_run(each, stamps))
        return told[2]

    def cells(self, loader: Loader, record: StudyOnRecord) -> dict[str, CellOnRecord]:
        """All readable runs of the test, by setup; only those that are new or changed are read."""
        return {setup: self._cell(loader, record, setup) for setup in record.setups}

    def _cell(self, loader: Loader, record: StudyOnRecord, setup: str) -> CellOnRecord:
        stamps = record.setups[setup].stamps
        known = [each for each in record.cell(self.test.key, setup) if UNREADABLE not in each.metrics.absent]
        new = {each.run.id: each for each in known if self._changed(each, stamps)}
        traced = list(new) if self.test.measures is Measures.FRAMES else []
        packed = trace_store.packed_traces(loader.wb, traced)
        for run, each in new.items():
            trace = unpack(packed[run]) if run in packed else None
            self.gone += run in self.runs
            self.runs[run] = (_made_of(each, stamps), loader.candidate(each, self.test, trace, stamps))
        return CellOnRecord(
            runs=tuple(self.runs[each.run.id][1] for each in known),
            out=frozenset(each.run.id for each in known if each.state in OUT),
        )

    def _changed(self, each: RunOnRecord, stamps: Mapping[str, str]) -> bool:
        held = self.runs.get(each.run.id)
        return held is None or held[0] != _made_of(each, stamps)


def _made_of(each: RunOnRecord, stamps: Mapping[str, str]) -> object:
    return (each.run, each.metrics, stamps)


@dataclass(slots=True, kw_only=True)
class Judge:
    """The tests of one workbench that landed last, and the turn of those who judge them."""

    turn: Lock = field(default_factory=Lock)
    held: dict[tuple[str, str], Held] = field(default_factory=dict)

    def of(self, study: str, test: Test) -> Held:
        """What is held of a test; nothing of it where the test itself was changed."""
        held = self.held.pop((study, test.key), None)
        if held is None or held.test != test or held.gone > STALE * len(held.runs):
            held = Held(test=test)
        self.held[study, test.key] = held  # at the end: asked for last
        return held

    def let_go(self) -> None:
        """Forget the tests that landed longest ago, as long as too much is held."""
        while len(self.held) > 1 and sum(held.frames for held in self.held.values()) > MOST_FRAMES:
            del self.held[next(iter(self.held))]


@cache
def judge_of(path: Path) -> Judge:  # noqa: ARG001  (one a workbench: the cache holds them)
    """The one that judges what lands on a workbench, in this process."""
    return Judge()


def judge_landed(wb: Workbench, study: str, test: str, *, now: datetime) -> None:
    """Judge the runs of one test, one such judgement at a time.

    Who waits for another's turn finds the runs of all that waited judged together.
    """
    judge = judge_of(wb.path)
    with judge.turn:
        around = around_study(wb, study)
        held = judge.of(study, around.record.tests[test])
        digest = digest_of(around, held.test, known=held.text_of)
        if judged_on(wb, study).get(test) == digest:
            return
        cells = held.cells(Loader(wb=wb, sensor_logs={}), around.record)
        own = run_store.first_stored_in(wb, study)
        verdicts = judge_test(around, held.test, cells, own=own, prepared=held.prepared)
        keep_verdicts(wb, study, held.test, verdicts, own=own, digest=digest, now=now)
        judge.let_go()
