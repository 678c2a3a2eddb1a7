from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import ALONE, GAME, cell, held, judge, kinds, only, plain, run, take, with_first

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Company
from evenhand.triage.kinds.frame_scatter import frame_scatter
from evenhand.triage.learned import Known, Learned
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import look


def test_frames_that_scatter_twice_as_much_are_told_and_not_held() -> None:
    found = judge(with_first(cell(), run("1", take(1, noise=0.06), headline=100.0)))
    fault = only(found["1"], "frame-scatter")
    assert fault.severity is Severity.NOTE
    assert held(found) == set()
    assert fault.title == "Frames scatter more than its siblings'"
    assert fault.numbers["ratio"] == pytest.approx(2.0, rel=0.05)
    assert "scatter by 5.9" in plain(fault.evidence) or "scatter by 6.0" in plain(fault.evidence)


def test_frames_that_scatter_half_as_much_are_told_as_well() -> None:
    found = judge(with_first(cell(), run("1", take(1, noise=0.015), headline=100.0)))
    assert only(found["1"], "frame-scatter").title == "Frames scatter less than its siblings'"


def test_a_fifth_more_is_how_takes_differ() -> None:
    assert "frame-scatter" not in kinds(judge(with_first(cell(), run("1", take(1, noise=0.036))))["1"])


def test_a_test_that_repeats_its_scatter_badly_says_so_through_its_past() -> None:
    runs = with_first(cell(), run("1", take(1, noise=0.06), headline=100.0))
    wild = Learned(scatter=Known(value=0.6**2, weight=40.0))
    assert "frame-scatter" not in kinds(judge(runs, Company(test=GAME, learned=wild))["1"])


def test_of_two_runs_both_are_told() -> None:
    found = judge([run("1", take(1, noise=0.12)), run("2", take(2))], ALONE)
    assert all("nobody can say" in only(found[i], "frame-scatter").evidence for i in "12")


@pytest.mark.parametrize("times", [np.full(3000, 10.0), take(1)[:2], take(1)[:1], np.empty(0)])
def test_a_constant_or_hardly_any_run_is_no_fault(times: np.ndarray) -> None:
    view = look(with_first(cell(), run("1", times, headline=100.0)), ALONE, DEFAULT)
    assert list(frame_scatter(view)) == []
