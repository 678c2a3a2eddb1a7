"""Runs on record into the cells that findings compare: who counts, who waits, who was set aside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from evenhand.desk.comparison.counting import better_of, observations
from evenhand.desk.comparison.doubting import doubt_of
from evenhand.desk.comparison.periods import under_of, unsteady_setup
from evenhand.desk.on_record import NOT_JUDGED, RunOnRecord, StudyOnRecord
from evenhand.findings.finding import Cell
from evenhand.findings.machines import said_of
from evenhand.findings.refusals import fixed_names
from evenhand.records.audiences import Property
from evenhand.records.runs import RunState
from evenhand.records.tests import Measures, Test
from evenhand.verdicts.weighed_metrics import LOW_METRIC, WALL_METRIC


def cells_of(record: StudyOnRecord) -> tuple[Cell, ...]:
    """One cell for each test, setup and compared metric of the study."""
    return tuple(
        cell(record, test, setup, metric)
        for test in record.compared_tests
        for setup in record.study.setups
        for metric in (test.metric, *test.also)
    )


def further_cells(record: StudyOnRecord, properties: frozenset[Property]) -> tuple[Cell, ...]:
    """Cells that an audience weighs and the comparison does not ask for: lows of games, watts of tests.

    Lows are always laid out, since another definition may flip a verdict.
    """
    asked = [(LOW_METRIC, test) for test in record.compared_tests if test.measures is Measures.FRAMES]
    if Property.POWER in properties:
        asked += [(WALL_METRIC, test) for test in record.compared_tests]
    return tuple(
        cell(record, test, setup, metric)
        for metric, test in asked
        if metric not in (test.metric, *test.also)
        for setup in record.study.setups
    )


def cell(record: StudyOnRecord, test: Test, setup: str, metric: str) -> Cell:
    """The runs of one test of the record on one setup under one metric, laid out once."""
    return record.once(f"cell {test.key} {setup} {metric}", lambda r: _cell(r, test, setup, metric))


def _cell(record: StudyOnRecord, test: Test, setup: str, metric: str) -> Cell:
    place = (test.key, setup)
    around = record.once(f"around {test.key} {setup}", lambda r: _around(r, test, setup))
    under = under_of(record, test.key, setup, metric)
    return record.of_runs(
        place, f"cell {metric}", (*around, under), lambda: _made(record, test, setup, metric)
    )


def _around(record: StudyOnRecord, test: Test, setup: str) -> tuple[object, ...]:
    """All that a cell tells and its runs do not: what is written of test and setup, and what others say."""
    return (
        test,
        record.setups[setup],
        doubt_of(record, test.key, setup),
        unsteady_setup(record, test.key, setup),
    )


def _made(record: StudyOnRecord, test: Test, setup: str, metric: str) -> Cell:
    runs = record.cell(test.key, setup)
    bare = record.once(f"cell {test.key} {setup}", lambda r: _bare(r, test, setup))
    return replace(
        bare,
        metric=metric,
        better=better_of(test, metric),
        observations=tuple(observations(runs, metric)),
        headline=metric == test.metric,
        cut_otherwise=tuple(cut_otherwise(test, runs, metric)),
        under=under_of(record, test.key, setup, metric),
        doubt=doubt_of(record, test.key, setup) if metric == test.metric else None,
    )


def _bare(record: StudyOnRecord, test: Test, setup: str) -> Cell:
    """What is the same under every metric: how many do not count, and what is said of those that do."""
    runs = record.cell(test.key, setup)
    says = stamps_of(record, setup, runs)
    return Cell(
        test=test.key,
        setup=setup,
        metric="",
        better="",
        observations=(),
        group=test.group,
        version=test.version,
        locked=test.locked_fps is not None,
        waiting=sum(r.state is RunState.IN_DOUBT for r in runs),
        unjudged=sum(r.state is RunState.IN_DOUBT and NOT_JUDGED in r.faults for r in runs),
        set_aside=sum(r.state in (RunState.SET_ASIDE, RunState.REPLACED) for r in runs),
        says=says,
        fixes=tuple(name for name in fixed_names(test) if name in dict(says)),
        unsteady=unsteady_setup(record, test.key, setup),
    )


def stamps_of(
    record: StudyOnRecord, setup: str, runs: tuple[RunOnRecord, ...]
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What the counting runs say of themselves, and their setup where no run does, by plain name in order."""
    counting = tuple(each.run for each in runs if each.state.counts)
    return tuple(sorted(said_of(record.setups[setup], counting).items()))


def cut_otherwise(test: Test, runs: tuple[RunOnRecord, ...], metric: str) -> Iterator[str]:
    """Why each counting run that is measured in another window than its test's is."""
    for each in runs:
        own = each.run.window
        if own is None or own.cuts_like(test.window):
            continue
        if each.state.counts and metric in each.metrics.values:
            yield own.reason
