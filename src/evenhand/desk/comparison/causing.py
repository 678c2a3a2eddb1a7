"""Which part made the difference, as far as all setups with runs can tell; and what may not be compared."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.comparison.cells import cell
from evenhand.desk.latest import Latest
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.cause import Cause
from evenhand.findings.causes import Bench, causes
from evenhand.findings.fairness import Fairness, fairness
from evenhand.findings.finding import Cell
from evenhand.findings.machines import Machine
from evenhand.findings.refusals import refusals
from evenhand.records.builds import Part
from evenhand.store import shelves
from evenhand.store.rows import as_text
from evenhand.store.workbench import Workbench

LATELY = Latest(8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grounds:
    """Every setup that has runs of the study's tests: a swap is often none of those compared."""

    bench: Bench
    record: StudyOnRecord

    @property
    def said(self) -> tuple[object, ...]:
        """All that a cause depends on."""
        machines = [(m.setup, m.build, tuple(m.parts.values())) for m in self.bench.machines]
        return as_text(machines), self.bench.cells, as_text(self.record.study)

    def machine(self, setup: str) -> Machine:
        """The machine of a setup."""
        return next(machine for machine in self.bench.machines if machine.key == setup)


def grounds_of(wb: Workbench, record: StudyOnRecord) -> Grounds:
    """What causes of this study are looked for in."""
    keys = dict.fromkeys(part for build in record.builds.values() for part in build.parts)
    parts = shelves.some(wb, Part, keys)
    machines = tuple(machine_of(record, setup, parts) for setup in record.setups)
    cells = all_cells(record)
    refused = refusals(machines, cells, record.compared_tests)
    return Grounds(bench=Bench(machines=machines, cells=cells, refused=refused), record=record)


def machine_of(record: StudyOnRecord, key: str, parts: dict[str, Part]) -> Machine:
    """A setup with its build, its parts and the runs of it that count."""
    setup = record.setups[key]
    build = record.builds[setup.build]
    counting = (each.run for each in record.runs if each.run.setup == key and each.state.counts)
    own = {part: parts[part] for part in build.parts if part in parts}
    return Machine(setup=setup, build=build, parts=own, runs=tuple(counting))


def all_cells(record: StudyOnRecord) -> tuple[Cell, ...]:
    """The headline cells of every setup with runs, beside those that the study compares."""
    return record.once("headline cells", _all_cells)


def _all_cells(record: StudyOnRecord) -> tuple[Cell, ...]:
    return tuple(
        cell(record, test, setup, test.metric) for test in record.compared_tests for setup in record.setups
    )


def causes_of(grounds: Grounds, a: str, b: str) -> tuple[Cause, ...]:
    """What makes a better than b, test by test."""
    study, bench = grounds.record.study, grounds.bench
    return LATELY.of(("causes", a, b, grounds.said), lambda: causes(a, b, bench=bench, study=study))


def differences(grounds: Grounds, a: str, b: str) -> Fairness:
    """What differs between two setups, each marked as the question, an accident, or not to be read."""
    return fairness(grounds.machine(a), grounds.machine(b))
