"""Everything on record about one study, loaded once and handed around."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping
from dataclasses import dataclass, field, replace
from operator import is_
from typing import TypeAlias, TypeVar, cast

from evenhand.desk.bench.inbox_shares import waiting_by_study, waiting_for
from evenhand.findings.finding import Observation
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.metrics.wall import with_wall
from evenhand.records.away import StudyAway
from evenhand.records.builds import Build, Setup
from evenhand.records.faults import Fault, Severity
from evenhand.records.plans import BenchNote, Placing, Plan
from evenhand.records.runs import Decision, Run, RunState
from evenhand.records.states import state_of
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import arrivals, decisions, faults, metrics, plans, runs, shelves
from evenhand.store.away import studies_away
from evenhand.store.faults import Triaged
from evenhand.store.marks import Marks, marks_of
from evenhand.store.metrics import Measured
from evenhand.store.workbench import Workbench

T = TypeVar("T")

Kept: TypeAlias = dict[str, tuple[object, object]]
"""By what it is: what it was made of, and what was made."""

NO_METRICS = RunMetrics(values={})

NOT_JUDGED = Fault(
    kind="not-judged-yet",
    title="Not judged yet",
    severity=Severity.IN_DOUBT,
    evidence="The import that brought this run in was stopped before the run was held against its siblings.",
    todo="Import the study's folder again; what is on record already is not read twice.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunOnRecord:
    """One run with its numbers, its faults, the decision that stands, and so its state.

    `named` is False where the study's folder, when last brought in, named it no longer.
    """

    run: Run
    metrics: RunMetrics
    faults: tuple[Fault, ...]
    decision: Decision | None
    state: RunState
    named: bool = True
    marks: Marks = field(default=(), repr=False, compare=False)
    seen: dict[str, Observation] = field(init=False, repr=False, compare=False, default_factory=dict)
    """Its numbers as findings take them, by metric, once they were asked for (`comparison.counting`)."""

    def headline(self, test: Test) -> float | None:
        """The test's headline number, where the run carries it."""
        return self.metrics.values.get(test.metric)


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyOnRecord:
    """A study and its runs in order of arrival, with everything that it or they name.

    A study may compare fewer tests and setups than have runs: `tests` and `setups` hold all of them,
    those that are compared first; `study.tests` and `study.setups` say which these are. Of `plans` the last
    one stands; `placed` and `written` are what was filed and noted under the slots of any of them. `inbox`
    counts the files that came in by themselves and wait, and are of this study or may be: of `unclaimed` of
    them nobody has said which study they are of. `away` says since when and why it is put away, None where
    it is not.
    """

    study: Study
    builds: Mapping[str, Build]
    setups: Mapping[str, Setup]
    tests: Mapping[str, Test]
    runs: tuple[RunOnRecord, ...]
    plans: tuple[Plan, ...] = ()
    placed: tuple[Placing, ...] = ()
    written: tuple[BenchNote, ...] = ()
    inbox: int = 0
    unclaimed: int = 0
    away: StudyAway | None = None
    _once: dict[str, object] = field(init=False, repr=False, compare=False, default_factory=dict)
    _cells: Mapping[tuple[str, str], tuple[RunOnRecord, ...]] = field(init=False, repr=False, compare=False)
    _by_id: Mapping[str, RunOnRecord] = field(init=False, repr=False, compare=False)
    _of_runs: dict[tuple[str, str], Kept] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_cells", by_cell(self.runs))
        object.__setattr__(self, "_by_id", {each.run.id: each for each in self.runs})

    def once(self, what: str, work: Callable[[StudyOnRecord], T]) -> T:
        """What follows from this record alone, worked out the first time somebody asks for it."""
        if what not in self._once:
            self._once[what] = work(self)
        return cast("T", self._once[what])

    def of_runs(self, place: tuple[str, str], what: str, given: object, work: Callable[[], T]) -> T:
        """What follows from the runs of a cell and what is `given`, for as long as both stay as they are.

        It outlives this record: whoever reads the study again has it, where no run of the cell is another.
        """
        kept = self._of_runs.setdefault(place, {})
        found = kept.get(what)
        if found is None or found[0] != given:
            found = kept[what] = given, work()
        return cast("T", found[1])

    def go_on_from(self, before: StudyOnRecord) -> None:
        """Takes over what was worked out of cells before, where all their runs are the same."""
        for place, own in self._cells.items():
            were = before.cell(*place)
            if len(were) == len(own) and all(map(is_, were, own)):
                self._of_runs[place] = before._of_runs.setdefault(place, {})

    def cell(self, test: str, setup: str) -> tuple[RunOnRecord, ...]:
        """The runs of one test on one setup."""
        return self._cells.get((test, setup), ())

    def run(self, key: str) -> RunOnRecord:
        """The run of the study under this id."""
        return self._by_id[key]

    @property
    def plan(self) -> Plan | None:
        """The plan that stands, if there is one; a plan without slots says that none does."""
        return self.plans[-1] if self.plans and self.plans[-1].slots else None

    @property
    def compared_tests(self) -> tuple[Test, ...]:
        """The tests that are compared, in the study's order."""
        return tuple(self.tests[key] for key in self.study.tests)

    @property
    def compared_runs(self) -> tuple[RunOnRecord, ...]:
        """The runs of tests and setups that are compared, in order of arrival."""
        return tuple(filter(self.compares, self.runs))

    def compares(self, each: RunOnRecord) -> bool:
        """Whether a run belongs to a test and a setup that are compared."""
        return each.run.test in self.study.tests and each.run.setup in self.study.setups


def by_cell(runs: tuple[RunOnRecord, ...]) -> dict[tuple[str, str], tuple[RunOnRecord, ...]]:
    """The runs of each test and setup, in order of arrival."""
    cells: dict[tuple[str, str], list[RunOnRecord]] = {}
    for each in runs:
        cells.setdefault((each.run.test, each.run.setup), []).append(each)
    return {cell: tuple(own) for cell, own in cells.items()}


def load_study(wb: Workbench, key: str) -> StudyOnRecord:
    """The study under this key, read anew only after a change. Raises NotFound with the nearest one known."""

    def read(before: StudyOnRecord | None) -> StudyOnRecord:
        with wb.reading():
            return read_study(wb, key, before=before)

    return wb.lately_again(("study", key), read)


def read_study(wb: Workbench, key: str, *, before: StudyOnRecord | None = None) -> StudyOnRecord:
    """The study under this key as it lies on the workbench now; runs that are as they were `before` stay."""
    study = shelves.one(wb, Study, key)
    loaded = load_runs(wb, key, before=before.runs if before else ())
    setup_keys = dict.fromkeys((*study.setups, *(each.run.setup for each in loaded)))
    test_keys = dict.fromkeys((*study.tests, *(each.run.test for each in loaded)))
    planned = tuple(_without(plan, test_keys, setup_keys) for plan in plans.plans_of(wb, key))
    setups = shelves.some(wb, Setup, setup_keys)
    found = StudyOnRecord(
        study=study,
        builds=shelves.some(wb, Build, (setup.build for setup in setups.values())),
        setups=setups,
        tests=shelves.some(wb, Test, test_keys),
        runs=loaded,
        plans=planned,
        placed=tuple(one for plan in planned for one in arrivals.placed_in_plan(wb, plan.id)),
        written=tuple(one for plan in planned for one in plans.notes_of(wb, plan.id)),
        inbox=waiting_for(wb, key),
        unclaimed=waiting_by_study(wb).get(None, 0),
        away=studies_away(wb).get(key),
    )
    if before:
        found.go_on_from(before)
    return found


def _without(plan: Plan, tests: Container[str], setups: Container[str]) -> Plan:
    """A plan without the runs of what was taken out of the study before any of it was run."""
    left = tuple(slot for slot in plan.slots if slot.test in tests and slot.setup in setups)
    return plan if len(left) == len(plan.slots) else replace(plan, slots=left)


def load_runs(wb: Workbench, study: str, *, before: tuple[RunOnRecord, ...] = ()) -> tuple[RunOnRecord, ...]:
    """The runs of a study, in a handful of queries however many there are.

    Of runs that were read `before`, only those are read again about which anything is another now.
    """
    marks = marks_of(wb, study)
    known = {each.run.id: each for each in before if marks.get(each.run.id) == each.marks}
    decided = decisions.latest_decisions(wb, study)
    gone = runs.not_named(wb, study)
    fresh = _read_runs(wb, study, [run for run in marks if run not in known])
    loaded = []
    for run_id, own in marks.items():
        each, last, named = known.get(run_id) or fresh[run_id], decided.get(run_id), run_id not in gone
        if each.decision != last or each.named is not named or each.marks != own:
            state = state_of(each.faults, [last] if last else [])
            each = replace(each, decision=last, state=state, named=named, marks=own)
        loaded.append(each)
    return tuple(loaded)


FEW = 24  # runs: so many are sooner read one by one than all of a large study at once


def _read_runs(wb: Workbench, study: str, wanted: list[str]) -> dict[str, RunOnRecord]:
    """Runs with their numbers and faults, nothing decided yet; all of the study where many are wanted."""
    if len(wanted) > FEW:
        measured, triaged = metrics.metrics_of(wb, study), faults.faults_of(wb, study)
        return {
            run.id: _undecided(run, measured.get(run.id), triaged.get(run.id))
            for run in runs.runs_of(wb, study)
        }
    return {run_id: _read_run(wb, study, run_id) for run_id in wanted}


def _read_run(wb: Workbench, study: str, run_id: str) -> RunOnRecord:
    run = replace(runs.run(wb, run_id), study=study)
    return _undecided(run, metrics.metrics_of_run(wb, run_id), faults.faults_of_run(wb, run_id))


def _undecided(run: Run, measured: Measured | None, triaged: Triaged | None) -> RunOnRecord:
    found = triaged.faults if triaged else (NOT_JUDGED,)
    return RunOnRecord(
        run=run,
        metrics=with_wall(measured.metrics, run.wall_w) if measured else NO_METRICS,
        faults=found,
        decision=None,
        state=state_of(found, []),
    )
