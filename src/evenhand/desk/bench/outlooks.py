"""What a plan is good for, from the spread that a study's runs and earlier studies have shown."""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Mapping
from dataclasses import replace

from evenhand.desk.comparison.findings_now import cells_now
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.runs.judging import was_kept
from evenhand.desk.runs.learning import learned_before
from evenhand.findings.finding import Cell
from evenhand.findings.measured import measured
from evenhand.plans.looks import Looks
from evenhand.plans.outlook import Outlook, outlook
from evenhand.plans.spreads import Expected, Known, Source, expected_spreads
from evenhand.records.states import holding
from evenhand.store.workbench import Workbench
from evenhand.triage.spread import far_off

CARRIED = 0.5  # a spread that falls to half of itself without a few odd runs is theirs: it is said


def outlook_of(wb: Workbench, record: StudyOnRecord, looks: Looks, *, effect: float | None = None) -> Outlook:
    """How wide each test's interval will be, and which tests will show `effect` (a log; the margin's)."""
    tests = [test.key for test in record.compared_tests if test.locked_fps is None]
    setups = len(record.study.setups)
    past = {
        key: (known.spread.value, known.spread.weight)
        for key, known in learned_before(wb, record.study.key).items()
        if known.spread.weight
    }
    return outlook(
        _with_odd(record, expected_spreads(tests, own=own_spreads(record), past=past)),
        looks=looks,
        comparisons=len(tests) * setups * (setups - 1) // 2,
        effect=math.log1p(record.study.margin if effect is None else effect),
    )


def own_spreads(record: StudyOnRecord) -> dict[str, Known]:
    """The spread of each test so far: variance of log headlines pooled over setups, degrees of freedom.

    Of the very replicates that are compared: all runs that count, those kept in spite of what was found too.
    """
    found = {test: measured(cells) for test, cells in _compared(record).items()}
    return {test: (m.means.variance, m.means.df) for test, m in found.items() if m and m.means.df}


def _compared(record: StudyOnRecord) -> dict[str, dict[str, Cell]]:
    """The cells that are compared by their headline number, by test and setup."""
    cells: dict[str, dict[str, Cell]] = {}
    for cell in cells_now(record):
        if cell.headline:
            cells.setdefault(cell.test, {})[cell.setup] = cell
    return cells


def _with_odd(record: StudyOnRecord, expected: Mapping[str, Expected]) -> dict[str, Expected]:
    """The same, with the runs that carry a spread by themselves and how far the others lie apart."""
    told = dict(expected)
    for test, cells in _compared(record).items():
        odd = frozenset(run for cell in cells.values() for run in _odd_in(record, cell))
        if not odd or test not in told or told[test].source is not Source.OWN:
            continue
        rest = measured({key: _without(cell, odd) for key, cell in cells.items()})
        if rest and rest.means.df and math.sqrt(rest.means.variance) <= CARRIED * told[test].scatter.sd:
            told[test] = replace(told[test], odd=tuple(sorted(odd)), rest=math.sqrt(rest.means.variance))
    return told


def _odd_in(record: StudyOnRecord, cell: Cell) -> Iterator[str]:
    """The counting runs of a cell that were kept in spite of what holds them, or lie far off the others."""
    far = far_off([math.log(o.value) for o in cell.observations if o.value > 0])
    for o in cell.observations:
        each = record.run(o.run)
        if (was_kept(each) and holding(each.faults)) or (o.value > 0 and math.log(o.value) == far):
            yield o.run


def _without(cell: Cell, odd: Container[str]) -> Cell:
    return replace(cell, observations=tuple(o for o in cell.observations if o.run not in odd))
