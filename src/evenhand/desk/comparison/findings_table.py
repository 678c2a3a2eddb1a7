"""Findings as a table for a spreadsheet, no cell of which a spreadsheet would take for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator

from evenhand.desk.answers import finding_answer
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.finding import Comparison
from evenhand.publish.spreadsheets import neutral

PLAIN = ("test", "metric", "a", "b", "outcome", "ratio", "low", "high", "level", "n_a", "n_b", "method")
NUMBERS = ("bound_low", "bound_high", "p", "p_holm", "headline", "group", "measurably", "perhaps_small")
HEADER = (*PLAIN, *NUMBERS, "caveats", "test_name", "a_name", "b_name")


def findings_csv(record: StudyOnRecord, comparison: Comparison) -> str:
    """Every finding as a row under the names that ``compare --json`` uses, then the names for people."""
    written = io.StringIO()
    writer = csv.writer(written)
    writer.writerow(HEADER)
    writer.writerows(tuple(map(neutral, row)) for row in rows(record, comparison))
    return written.getvalue()


def rows(record: StudyOnRecord, comparison: Comparison) -> Iterator[Iterable[object]]:
    """The cells of each finding."""
    names = names_of(record)
    for finding in comparison.findings:
        said = finding_answer(finding)
        cells = [said[key] for key in (*PLAIN, *NUMBERS)]
        yield (
            *cells, "; ".join(said["caveats"]), names.test(finding.test), names.setup(finding.a),
            names.setup(finding.b),
        )  # fmt: skip
