"""Setups over which others of their build gained more than a clock can give: their baseline is in doubt."""

from __future__ import annotations

from itertools import permutations

from evenhand.desk.comparison.counting import better_of, observations
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.machines import Machine
from evenhand.findings.scaling import doubts, tuned_gains
from evenhand.findings.settings import clock_points, clocks_of
from evenhand.records.tests import Test

Doubts = dict[tuple[str, str], Caveat]


def doubt_of(record: StudyOnRecord, test: str, setup: str) -> Caveat | None:
    """What is to be known of a setup's numbers in a test; None where no clock speaks against them."""
    return record.once("doubts", _doubts).get((test, setup))


def _doubts(record: StudyOnRecord) -> Doubts:
    found: Doubts = {}
    by_build: dict[str, list[Machine]] = {}
    for key, setup in record.setups.items():
        by_build.setdefault(setup.build, []).append(_machine(record, key))
    for machines in by_build.values():
        found |= _on_build(record, [machine for machine in machines if clocks_of(machine)])
    return found


def _on_build(record: StudyOnRecord, machines: list[Machine]) -> Doubts:
    if len(machines) < 2:
        return {}
    cells = [_cell(record, test, m.key) for test in record.compared_tests for m in machines]
    points = clock_points(machines, cells)
    there = {point.cell.setup for point in points}
    clocked = [machine for machine in machines if machine.key in there]
    return {
        (test, stock.key): caveat
        for tuned, stock in permutations(clocked, 2) if rose(clocks_of(stock), clocks_of(tuned))
        for test, caveat in doubts(tuned.key, stock.key, tuned_gains(
            tuned.key, stock.key, points, boot_allowance=record.study.boot_allowance,
        )).items()
    }  # fmt: skip


def rose(stock: dict[str, float], tuned: dict[str, float]) -> bool:
    """Whether a clock that both tell rose, and none of them fell."""
    both = [(stock[name], tuned[name]) for name in stock if name in tuned]
    return any(new > old for old, new in both) and all(new >= old for old, new in both)


def _machine(record: StudyOnRecord, key: str) -> Machine:
    """A setup with its runs that count; its parts are those of its build, which all of these share."""
    setup = record.setups[key]
    runs = tuple(each.run for each in record.runs if each.run.setup == key and each.state.counts)
    return Machine(setup=setup, build=record.builds[setup.build], parts={}, runs=runs)


def _cell(record: StudyOnRecord, test: Test, setup: str) -> Cell:
    return Cell(
        test=test.key, setup=setup, metric=test.metric, better=better_of(test, test.metric),
        observations=tuple(observations(record.cell(test.key, setup), test.metric)), group=test.group,
        version=test.version, locked=test.locked_fps is not None,
    )  # fmt: skip
