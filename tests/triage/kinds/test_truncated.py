from __future__ import annotations

from dataclasses import replace

import pytest
from tests.triage.cells import cell, judge, only, with_first

from evenhand.records.faults import Severity
from evenhand.traces.flaws import CUT_ARCHIVE, NO_FINAL_LINE_END, SHORT_LAST_ROW
from evenhand.traces.trace import Flaw

NO_END = Flaw(kind=NO_FINAL_LINE_END, detail="line 3,001", line=3001)


@pytest.mark.parametrize("kind", [SHORT_LAST_ROW, CUT_ARCHIVE])
def test_a_log_cut_within_a_row_is_blocked(kind: str) -> None:
    runs = cell()
    fault = only(
        judge(with_first(runs, replace(runs[0], flaws=(Flaw(kind=kind, detail=""),))))["1"], "truncated"
    )
    assert fault.severity is Severity.BLOCKS


def test_the_line_is_named() -> None:
    runs = cell()
    cut = replace(runs[0], flaws=(Flaw(kind=SHORT_LAST_ROW, detail="line 3,001", line=3001),))
    assert only(judge(with_first(runs, cut))["1"], "truncated").evidence.startswith(
        "Line 3,001: the last row"
    )


def test_a_missing_line_end_counts_against_siblings_that_have_one() -> None:
    runs = cell()
    found = judge(with_first(runs, replace(runs[0], flaws=(NO_END,))))
    assert only(found["1"], "truncated").severity is Severity.BLOCKS
    assert "siblings end properly" in only(found["1"], "truncated").evidence


def test_a_program_that_never_ends_its_last_line_is_no_fault() -> None:
    assert all(not faults for faults in judge([replace(r, flaws=(NO_END,)) for r in cell()]).values())


def test_of_a_single_log_nobody_can_say_so_it_is_only_noted() -> None:
    fault = only(judge([replace(cell(1)[0], flaws=(NO_END,))])["1"], "truncated")
    assert fault.severity is Severity.NOTE
