"""What triage judged, as pictures: the exhibits of a run's faults in the views that publish draws."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import RunOnRecord
from evenhand.desk.runs.candidates import CellOnRecord, Loader
from evenhand.desk.runs.judging import Around
from evenhand.desk.runs.triaging import around_study
from evenhand.publish.figures.evidence_views import Evidence
from evenhand.records.faults import Fault
from evenhand.store.workbench import Workbench
from evenhand.triage.exhibits.by_kind import as_judged, exhibit
from evenhand.triage.prepared import Prepared
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True)
class TestOnRecord:
    """One test of a study with all its runs loaded: cells by setup."""

    __test__ = False  # tells pytest that this is not a test of ours

    around: Around
    cells: Mapping[str, CellOnRecord]
    prepared: Prepared


@dataclass(slots=True, kw_only=True)
class Judge:
    """Gives the evidence of runs; a test that many of them belong to is loaded once."""

    wb: Workbench
    loader: Loader
    arounds: dict[str, Around] = field(default_factory=dict)
    tests: dict[tuple[str, str], TestOnRecord] = field(default_factory=dict)

    def evidence(self, each: RunOnRecord, fault: Fault) -> Evidence | None:
        """One fault of one run with what was judged; None where its log left nothing to look at."""
        if UNREADABLE in each.metrics.absent:
            return None
        test = self.test_of(each)
        found = exhibit(self.view(each, fault, test), each.run.id, fault)
        if found is None:
            return None
        return Evidence(
            test=each.run.test,
            setup=each.run.setup,
            run=each.run.label,
            fault=fault,
            trace=found.trace,
            readings=found.readings,
            below=found.below,
            setups=setups_of(test),
        )

    def test_of(self, each: RunOnRecord) -> TestOnRecord:
        """The test of a run in the study that judged it."""
        key = (each.run.study, each.run.test)
        if key not in self.tests:
            if each.run.study not in self.arounds:
                self.arounds[each.run.study] = around_study(self.wb, each.run.study)
            around = self.arounds[each.run.study]
            record = around.record
            cells = {s: self.loader.cell(record, record.tests[each.run.test], s) for s in record.setups}
            self.tests[key] = TestOnRecord(around=around, cells=cells, prepared=Prepared(DEFAULT))
        return self.tests[key]

    def view(self, each: RunOnRecord, fault: Fault, test: TestOnRecord) -> CellView:
        """The run's cell as it stood when the fault was found; a run that was set aside stands in it too."""
        run, cell = each.run, test.cells[each.run.setup]
        return as_judged(
            cell.with_one(run.id),
            test.around.company(test.cells, of=(run.test, run.setup)),
            of=(run.id, fault.kind),
            prepared=test.prepared,
        )


def judge(wb: Workbench) -> Judge:
    """One who gives the evidence of runs in this workbench."""
    return Judge(wb=wb, loader=Loader(wb=wb, sensor_logs={}))


def setups_of(test: TestOnRecord) -> dict[str, str]:
    """Whose each run of a test is."""
    return {run.id: setup for setup, cell in test.cells.items() for run in cell.runs}
