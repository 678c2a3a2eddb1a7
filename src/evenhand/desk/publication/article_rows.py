"""The tests of an article: every pair's findings on one scale, and what each machine reached."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.comparison.charting import average_of
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.compare import compare_page
from evenhand.desk.pages.compare_choice import Asked, pairs_of
from evenhand.desk.pages.compare_rows import FindingRow
from evenhand.desk.publication.material import rates_on_record
from evenhand.editions.article import PairShown, RateTable, RowShown
from evenhand.metrics.definitions import definition
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital
from evenhand.publish.spans import estimate_words
from evenhand.store.workbench import Workbench
from evenhand.verdicts.weighed_metrics import LOW_METRIC


def pairs_shown(wb: Workbench, record: StudyOnRecord) -> Iterator[PairShown]:
    """Every pair as the comparison shows it, the first one first."""
    for a, b in pairs_of(findings_now(record)):
        shown = compare_page(wb, record.study.key, Asked(pair=f"{a}~{b}"))
        if shown.rows is not None:
            yield PairShown(
                heading=shown.answer, about=shown.terms, tests_head=shown.rows.head,
                tests=tuple(map(_row, shown.rows.rows)),
                index_head=shown.index.shown.head if shown.index else None,
                indexes=tuple(map(_row, shown.index.shown.rows)) if shown.index else (),
            )  # fmt: skip


def _row(row: FindingRow) -> RowShown:
    return RowShown(
        name=row.name, small=row.small, picture=row.picture, state=row.state, interval=row.interval,
        note=row.note, sort=row.sort, slot=row.slot, sums=row.sums,
    )  # fmt: skip


def rate_table(record: StudyOnRecord, names: Names) -> RateTable:
    """Each machine's average in each test, and its 1% low where there is one, with intervals."""
    rates = rates_on_record(record)
    rows = []
    for test in record.compared_tests:
        for metric in (average_of(test), LOW_METRIC):
            own = [rates.get((test.key, setup, metric)) for setup in record.study.setups]
            if any(own):
                said = tuple("none" if one is None else estimate_words(one) for one in own)
                rows.append((isolated(test.name), capital(definition(metric).label), said))
    return RateTable(machines=tuple(map(names.setup, record.study.setups)), rows=tuple(rows))
