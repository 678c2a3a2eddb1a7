from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import ALONE, GAME, WORK, cell, held, judge, kinds, only, plain, run, take, with_first

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Candidate, Company


def brief(seconds: float, fps: float = 100.0) -> Candidate:
    return run("1", take(1, seconds=seconds, fps=fps))


@pytest.mark.parametrize(
    ("frames", "severity"),
    [(2, Severity.BLOCKS), (9, Severity.BLOCKS), (10, Severity.IN_DOUBT), (99, Severity.IN_DOUBT)],
)
@pytest.mark.parametrize("n", [1, 2, 3, 5])
def test_a_run_of_few_frames_is_held_however_many_siblings_it_has(
    n: int, frames: int, severity: Severity
) -> None:
    found = judge(with_first(cell(n), run("1", take(1)[:frames])))
    assert only(found["1"], "too-short").severity is severity
    assert held(found) == {"1"}


@pytest.mark.parametrize(("seconds", "found"), [(4.5, True), (5.3, False), (11.0, False)])
def test_under_five_seconds_a_run_is_in_doubt(seconds: float, found: bool) -> None:
    assert ("too-short" in kinds(judge([brief(seconds)])["1"])) is found


def test_a_hundred_frames_are_asked_for_even_of_slow_runs() -> None:
    assert "too-short" in kinds(judge([brief(9.0, fps=10.0)])["1"])
    assert "too-short" not in kinds(judge([brief(12.0, fps=10.0)])["1"])


def test_all_runs_of_a_cell_may_be_too_short() -> None:
    assert held(judge(cell(3, seconds=3.0))) == {"1", "2", "3"}


def test_it_is_told_in_words_that_fit_a_run_of_two_frames() -> None:
    fault = only(judge([run("1", np.array([16.6, 16.7]))])["1"], "too-short")
    assert fault.title == "Too short to judge"
    assert plain(fault.evidence).startswith(
        "This run lasts 33.3 ms and holds 2 usable frames; at least 5 s and 100 frames are asked for"
    )


def test_no_usable_frame_is_the_shortest_run_of_all() -> None:
    fault = only(judge([run("1", np.zeros(3), headline=None)])["1"], "too-short")
    assert plain(fault.evidence).startswith("This run holds 0 usable frames")


def test_where_length_is_a_result_only_frames_are_counted() -> None:
    free = Company(test=replace(GAME, free_length=True))
    assert judge([brief(3.0)], free)["1"] == ()
    assert "too-short" in kinds(judge([brief(0.5)], free)["1"])


def test_another_unit_and_a_test_of_scores_leave_no_length_to_judge() -> None:
    assert "too-short" not in kinds(judge([run("1", take(1) / 1000)])["1"])
    assert judge([brief(1.0)], replace(ALONE, test=WORK))["1"] == ()
