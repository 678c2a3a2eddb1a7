"""Tests whose runs are held in memory as triage sees them, so that judging one again works out nothing anew.

On a bench day one run joins its siblings at a time, an import judges each test twice, and a decision judges
it once more. What triage makes of each run and of each pair of runs is held for the tests that were judged
last; the verdicts are those of a judgement for which nothing is held.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from threading import Lock

from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.runs.candidates import OUT, CellOnRecord, Loader
from evenhand.desk.runs.judging import text_of_run
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.records.layouts import Layout
from evenhand.records.runs import Run
from evenhand.records.tests import Measures, Test
from evenhand.store import shelves
from evenhand.store import traces as trace_store
from evenhand.traces.codec import unpack
from evenhand.triage.candidate import Candidate
from evenhand.triage.prepared import Prepared
from evenhand.triage.thresholds import DEFAULT

MOST_FRAMES = 5_400_000  # held in memory in all, each with what is made of it some 90 bytes: 450 MiB
BY_THE_WAY = 1_000_000  # up to here a test is held that was not landed on: 90 MiB
STALE = 0.5  # share of the runs held of a test that may have changed before all of it is made anew

# A run, its numbers, its setup's stamps and its sensors' layout: the same make the same candidate.
MadeOf = tuple[Run, RunMetrics, Mapping[str, str], Layout | None]


@dataclass(slots=True, kw_only=True)
class Held:
    """What is held of one test: its runs as triage sees them, each with what it was made of."""

    test: Test
    prepared: Prepared = field(default_factory=lambda: Prepared(DEFAULT))
    runs: dict[str, tuple[MadeOf, Candidate]] = field(default_factory=dict)
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
        cells = {setup: self._known(record, setup) for setup in record.setups}
        used = {each.run.sensor_layout for runs in cells.values() for each in runs}
        layouts: dict[str | None, Layout] = {
            k: shelves.one(loader.wb, Layout, k) for k in used if k is not None
        }
        for setup, runs in cells.items():
            stamps = record.setups[setup].stamps
            made_of = {r.run.id: (r.run, r.metrics, stamps, layouts.get(r.run.sensor_layout)) for r in runs}
            self._renew(loader, [each for each in runs if self._changed(each, made_of)], made_of)
        return {setup: self._cell(runs) for setup, runs in cells.items()}

    def _known(self, record: StudyOnRecord, setup: str) -> list[RunOnRecord]:
        return [each for each in record.cell(self.test.key, setup) if UNREADABLE not in each.metrics.absent]

    def _changed(self, each: RunOnRecord, made_of: Mapping[str, MadeOf]) -> bool:
        held = self.runs.get(each.run.id)
        return held is None or held[0] != made_of[each.run.id]

    def _renew(self, loader: Loader, new: Sequence[RunOnRecord], made_of: Mapping[str, MadeOf]) -> None:
        traced = [each.run.id for each in new if self.test.measures is Measures.FRAMES]
        packed = trace_store.packed_traces(loader.wb, traced)
        for each in new:
            run = each.run.id
            trace = unpack(packed[run]) if run in packed else None
            self.gone += run in self.runs
            candidate = loader.candidate(each, self.test, trace, made_of[run][2])
            self.runs[run] = (made_of[run], candidate)

    def _cell(self, known: Sequence[RunOnRecord]) -> CellOnRecord:
        return CellOnRecord(
            runs=tuple(self.runs[each.run.id][1] for each in known),
            out=frozenset(each.run.id for each in known if each.state in OUT),
        )


@dataclass(slots=True, kw_only=True)
class Judge:
    """The tests of one workbench that were judged last, and the turn of those who judge them."""

    turn: Lock = field(default_factory=Lock)
    held: dict[tuple[str, str], Held] = field(default_factory=dict)

    def of(self, study: str, test: Test) -> Held:
        """What is held of a test; nothing of it where the test itself was changed."""
        held = self.held.pop((study, test.key), None)
        if held is None or held.test != test or held.gone > STALE * len(held.runs):
            held = Held(test=test)
        self.held[study, test.key] = held  # at the end: asked for last
        return held

    @property
    def frames(self) -> int:
        """How many frames are held in all."""
        return sum(held.frames for held in self.held.values())

    def let_go(self) -> None:
        """Forget the tests that were asked for longest ago, as long as too much is held."""
        while len(self.held) > 1 and self.frames > MOST_FRAMES:
            del self.held[next(iter(self.held))]


@cache
def judge_of(path: Path) -> Judge:  # noqa: ARG001  (one a workbench: the cache holds them)
    """The one that holds the tests of a workbench, in this process."""
    return Judge()


@contextmanager
def at_hand(path: Path, study: str, test: Test) -> Iterator[Held]:
    """What is held of a test, for one judgement of it; nothing while others judge.

    Nobody waits: who is here may hold the turn to write, for which those who judge would wait in turn. What
    was not held before stays only as long as little is.
    """
    judge = judge_of(path)
    if not judge.turn.acquire(blocking=False):
        yield Held(test=test)
        return
    try:
        before = judge.held.get((study, test.key))
        held = judge.of(study, test)
        yield held
        if held is not before and judge.frames > BY_THE_WAY:
            del judge.held[study, test.key]
    finally:
        judge.turn.release()
