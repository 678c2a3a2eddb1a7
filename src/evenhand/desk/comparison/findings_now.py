"""What a study's counting runs say as it stands: worked out once for each state of its record."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import replace

from evenhand.desk.comparison.cells import cells_of
from evenhand.desk.comparison.counting import observation
from evenhand.desk.latest import Latest
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.findings.compare import compare_study
from evenhand.findings.exclusions import LeftOutRun, exclusions
from evenhand.findings.finding import Cell, Comparison
from evenhand.findings.machines import said_of, same_values
from evenhand.findings.refusals import fixed_names
from evenhand.store.rows import as_text

LATELY = Latest(8)  # of the studies that are being looked at, their findings and their views of runs left out


def cells_now(record: StudyOnRecord) -> tuple[Cell, ...]:
    """The cells that are compared."""
    return record.once("cells", cells_of)


def findings_now(record: StudyOnRecord) -> Comparison:
    """Findings and indexes, without the view of every left-out run, which takes the longest."""
    return record.once("findings", _findings)


def comparison_now(record: StudyOnRecord) -> Comparison:
    """Findings, indexes, and the view with and without every run that was left out."""
    return record.once("comparison", _comparison)


def _findings(record: StudyOnRecord) -> Comparison:
    cells, study, minutes = cells_now(record), record.study, minutes_of(record)
    return LATELY.of(_said(record), lambda: compare_study(cells, study=study, minutes=minutes))


def _comparison(record: StudyOnRecord) -> Comparison:
    cells, study, minutes, left = cells_now(record), record.study, minutes_of(record), tuple(left_out(record))
    out = LATELY.of((left, _said(record)), lambda: exclusions(cells, left, study=study, minutes=minutes))
    return replace(findings_now(record), exclusions=out)


def _said(record: StudyOnRecord) -> Hashable:
    """All that findings depend on: they stay as they are where only something else was written down."""
    return (cells_now(record), as_text(record.study), as_text(minutes_of(record)))


def minutes_of(record: StudyOnRecord) -> dict[str, float]:
    """How long one run of each test takes, where the study says so."""
    return {t.key: t.minutes for t in record.tests.values() if t.minutes is not None}


def left_out(record: StudyOnRecord) -> Iterator[LeftOutRun]:
    """Every run that does not count though it carries its test's headline number."""
    said = {(c.test, c.setup): c.says for c in cells_now(record) if c.headline}
    for each in record.compared_runs:
        test = record.tests[each.run.test]
        if not each.state.counts and each.headline(test) is not None:
            says = _otherwise(record, each, dict(said.get((test.key, each.run.setup), ())))
            yield LeftOutRun(
                test=test.key, setup=each.run.setup, metric=test.metric,
                observation=observation(each, test.metric), says=says,
                fixes=tuple(name for name in fixed_names(test) if name in dict(says)),
            )  # fmt: skip


def _otherwise(
    record: StudyOnRecord, each: RunOnRecord, cell: dict[str, tuple[str, ...]]
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What a run says that the counting runs of its cell do not."""
    own = said_of(record.setups[each.run.setup], [each.run])
    return tuple((name, x) for name, x in own.items() if not same_values(x, cell.get(name, ())))
