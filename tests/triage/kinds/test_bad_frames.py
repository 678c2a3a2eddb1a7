from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import cell, judge, only, plain, run, take, with_first

from evenhand.records.faults import Severity
from evenhand.traces.flaws import PAST_BELIEF
from evenhand.traces.trace import Flaw


def spoilt(*values: float, seed: int = 1) -> np.ndarray:
    times = take(seed)
    times[1000 : 1000 + len(values)] = values
    return times


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0.0, "a frame time of zero"),
        (-4.0, "a negative frame time"),
        (np.nan, "no readable frame time"),
        (np.inf, "an infinite frame time"),
    ],
)
def test_one_impossible_frame_time_puts_a_run_in_doubt(value: float, words: str) -> None:
    fault = only(judge(with_first(cell(), run("1", spoilt(value))))["1"], "bad-frame-times")
    assert fault.severity is Severity.IN_DOUBT
    assert words in fault.evidence


def test_more_than_one_row_in_a_thousand_blocks_the_run() -> None:
    three, four = (run("1", spoilt(*[0.0] * k)) for k in (3, 4))
    assert only(judge([three])["1"], "bad-frame-times").severity is Severity.IN_DOUBT
    assert only(judge([four])["1"], "bad-frame-times").severity is Severity.BLOCKS


def test_the_sentence_counts_the_rows_and_says_where_the_first_stands() -> None:
    fault = only(judge([run("1", spoilt(0.0, -1.0))])["1"], "bad-frame-times")
    at_s = float(take(1)[:1000].sum()) / 1000
    assert plain(fault.evidence) == (
        "2 rows of 3,000 (0.07 %) hold a frame time of zero or a negative frame time, "
        f"the first after {at_s:.1f} s."
    )
    assert fault.places[0].from_s == pytest.approx(at_s)


def test_a_log_without_one_usable_frame_is_told_in_words_too() -> None:
    fault = only(judge([run("1", np.zeros(50), headline=None)])["1"], "bad-frame-times")
    assert fault.severity is Severity.BLOCKS


def test_a_frame_past_belief_is_told_by_its_line_and_costs_no_memory() -> None:
    times = spoilt(np.nan)
    flaw = Flaw(kind=PAST_BELIEF, detail="line 1,002: 1.84467e+13 ms at most", line=1002)
    told = run("1", times, flaws=(flaw,))
    fault = only(judge([told])["1"], "bad-frame-times")
    assert "1 row of 3,000" in plain(fault.evidence)
    assert "a frame time past belief (line 1,002: 1.84467e+13 ms at most)" in fault.evidence
    assert "no readable" not in fault.evidence


def test_a_stored_trace_with_a_frame_past_belief_can_be_judged() -> None:
    assert only(judge([run("1", spoilt(18_446_744_073_709.55))])["1"], "bad-frame-times")
