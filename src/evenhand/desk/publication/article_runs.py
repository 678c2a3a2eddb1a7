"""The runs that an article lists, each with its files: those compared, and those behind its causes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from evenhand.desk.comparison.causing import causes_of, grounds_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.editions.article import RunRow
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.publish.numbers import decimals_alone, number, run_words, with_unit
from evenhand.records.tests import Test
from evenhand.store.workbench import Workbench


def runs_of(record: StudyOnRecord, names: Names, files: Mapping[str, str]) -> Iterator[RunRow]:
    """Every run that is compared, with its number, its state and its files."""
    return _rows(record, record.compared_runs, names, files)


def runs_behind_causes(
    wb: Workbench, record: StudyOnRecord, names: Names, files: Mapping[str, str]
) -> Iterator[RunRow]:
    """Every run of setups that are not compared, but tell apart what a part does between two that are."""
    grounds = grounds_of(wb, record)
    cells = {
        (cause.test, setup)
        for a, b in combinations(record.study.setups, 2)
        for cause in causes_of(grounds, a, b)
        for setup in cause.weights
        if setup not in record.study.setups
    }
    own = tuple(each for each in record.runs if (each.run.test, each.run.setup) in cells)
    return _rows(record, own, names, files)


def _rows(
    record: StudyOnRecord, own: Sequence[RunOnRecord], names: Names, files: Mapping[str, str]
) -> Iterator[RunRow]:
    counting = Counter((each.run.test, each.run.setup) for each in own if each.state.counts)
    for each in own:
        test = record.tests[each.run.test]
        found, reason = each.headline(test), each.decision.reason if each.decision else None
        because = f": {reason.meaning}" if reason is not None else ""
        alone = each.state.counts and counting[each.run.test, each.run.setup] == 1
        digests = [("log", each.run.log or ""), ("sensors", each.run.sensors or "")]
        yield RunRow(
            label=each.run.label, test=isolated(test.name), setup=names.setup(each.run.setup),
            state=f"{each.state.value}{because}",
            number="none" if found is None else told_as(found, test, alone=alone),
            files=tuple((name, files[digest]) for name, digest in digests if digest in files),
        )  # fmt: skip


def told_as(found: float, test: Test, *, alone: bool) -> str:
    """A run's number: enough digits to tell it from its siblings; a machine's only run as the machine's."""
    if not alone:
        return run_words(found, test.unit)
    return with_unit(number(found, decimals_alone(found)), test.unit)
