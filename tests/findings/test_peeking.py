"""Looks nobody declared: evidence that holds at any time, and asks for more."""

from __future__ import annotations

import pytest
from tests.findings.test_live import RATIOS, STUDY, cells

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Outcome
from evenhand.findings.peeking import Peeked, peek_study


def peeked(runs: int, test: str, ratio: float = 1.0) -> Peeked:
    made = cells(runs, RATIOS | {test: ratio})
    return next(p for p in peek_study(made, study=STUDY) if p.test == test)


def test_a_large_difference_is_ahead_once_the_evidence_reaches_its_bar() -> None:
    found = peeked(6, "quay", 1.2)
    assert found.outcome is Outcome.AHEAD
    assert found.e is not None
    assert found.e >= found.needed == len(RATIOS) / 0.05


def test_two_runs_never_settle_anything() -> None:
    assert peeked(2, "quay", 1.5).outcome is Outcome.UNSETTLED


def test_equals_become_level_with_enough_runs() -> None:
    found = peeked(12, "lantern")
    assert found.outcome is Outcome.LEVEL
    assert found.low is not None
    assert found.high is not None
    assert 1 / 1.03 < found.low < 1 < found.high < 1.03


def test_one_run_has_no_interval() -> None:
    found = peeked(1, "quay")
    assert (found.outcome, found.low, found.high, found.e) == (Outcome.UNSETTLED, None, None, None)


@pytest.mark.parametrize("runs", [3, 5, 8])
def test_its_interval_is_wider_than_one_that_allows_a_single_look(runs: int) -> None:
    made = cells(runs, RATIOS)
    alone = {f.test: f for f in compare_study(made, study=STUDY).findings}
    for found in peek_study(made, study=STUDY):
        one = alone[found.test]
        if found.low is not None and found.high is not None:
            assert found.high / found.low > (one.high or 0) / (one.low or 1)
