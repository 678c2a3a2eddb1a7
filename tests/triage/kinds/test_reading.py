from __future__ import annotations

from dataclasses import replace

import pytest
from tests.triage.cells import cell, judge, only

from evenhand.records.faults import Severity
from evenhand.traces.flaws import (
    COMMENT_INSIDE,
    DUPLICATED_ROW,
    MIXED_LINE_ENDS,
    PAST_MIDNIGHT,
    REPEATED_HEADER,
    SHORT_ROW,
)
from evenhand.traces.trace import Flaw
from evenhand.triage.candidate import Candidate


def flawed(kind: str, times: int = 1) -> Candidate:
    return replace(cell(1)[0], flaws=(Flaw(kind=kind, detail="lines 7 and others", line=7, count=times),))


@pytest.mark.parametrize(
    ("rows", "severity"),
    [(3, Severity.NOTE), (4, Severity.IN_DOUBT), (60, Severity.IN_DOUBT), (61, Severity.BLOCKS)],
)
def test_rows_that_could_not_be_read_matter_by_their_share(rows: int, severity: Severity) -> None:
    fault = only(judge([flawed(SHORT_ROW, rows)])["1"], "damaged-log")
    assert fault.severity is severity
    assert f"{rows}\u00a0rows of 3,000" in fault.evidence


def test_a_header_among_the_rows_means_two_takes_in_one_file() -> None:
    assert only(judge([flawed(REPEATED_HEADER)])["1"], "damaged-log").severity is Severity.IN_DOUBT


def test_duplicated_rows_count_like_unreadable_ones() -> None:
    assert only(judge([flawed(DUPLICATED_ROW, 30)])["1"], "damaged-log").severity is Severity.IN_DOUBT


def test_mixed_line_ends_are_noted() -> None:
    assert only(judge([flawed(MIXED_LINE_ENDS)])["1"], "damaged-log").severity is Severity.NOTE


@pytest.mark.parametrize("kind", [COMMENT_INSIDE, PAST_MIDNIGHT])
def test_what_harms_nothing_is_not_told(kind: str) -> None:
    assert judge([flawed(kind)])["1"] == ()


def test_a_flaw_told_by_both_log_and_run_is_told_once() -> None:
    run = flawed(SHORT_ROW, 4)
    assert run.trace is not None
    both = replace(run, trace=replace(run.trace, flaws=run.flaws))
    assert only(judge([both])["1"], "damaged-log").numbers["touched_rows"] == 4
