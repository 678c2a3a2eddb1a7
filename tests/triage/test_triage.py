"""The whole room at work: what the parts share, and what the order of detectors buys."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import (
    ALONE,
    GAME,
    STUDY,
    WORK,
    cell,
    held,
    judge,
    kinds,
    run,
    scores,
    take,
    trace,
    with_first,
)

from evenhand.triage.candidate import Company
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.triage import triage_cell


@pytest.mark.parametrize("n", [1, 2, 3, 5, 7])
@pytest.mark.parametrize(("fps", "seconds"), [(25.0, 11.0), (34.0, 11.0), (100.0, 30.0), (165.0, 60.0)])
def test_good_runs_pass_whatever_their_rate_length_and_number(n: int, fps: float, seconds: float) -> None:
    assert all(not faults for faults in judge(cell(n, fps=fps, seconds=seconds)).values())


def test_every_run_is_answered_for_even_an_empty_cell() -> None:
    assert judge([]) == {}
    assert judge(scores(4.6, 4.62), Company(test=WORK)) == {"1": (), "2": ()}


def test_triage_is_pure_the_same_runs_give_the_same_faults_and_are_unchanged() -> None:
    times = take(1)
    times[7] = np.nan
    runs = with_first(cell(), run("1", times))
    before = [r.trace.frame_times_ms.copy() for r in runs if r.trace is not None]
    assert judge(runs) == judge(runs)
    assert all(
        np.array_equal(r.trace.frame_times_ms, b, equal_nan=True)
        for r, b in zip(runs, before, strict=True)
        if r.trace
    )


def test_the_order_of_runs_changes_no_fault_of_a_single_run() -> None:
    runs = with_first(cell(), run("1", np.maximum(take(1), 12.5)))
    there, back = judge(runs), judge(runs[::-1])
    assert {i: kinds(f) for i, f in there.items()} == {i: kinds(f) for i, f in back.items()}


def test_a_change_of_rate_changes_no_verdict() -> None:
    def scaled(factor: float) -> dict[str, set[str]]:
        runs = [run(str(i), take(i, fps=90.0) * factor) for i in range(4)]
        odd = run("odd", take(9, fps=90.0 * 1.12) * factor)
        return {i: kinds(f) for i, f in judge([*runs, odd]).items()}

    assert scaled(1.0) == scaled(0.81) == scaled(1.3)


def test_after_an_exclusion_triage_again_may_find_what_was_hidden() -> None:
    """Two odd runs of four excuse each other; once one is set aside, the other stands alone."""
    company = Company(test=WORK, study_spread=STUDY)
    runs = scores(5.10, 5.12, 4.60, 4.62)
    assert held(judge(runs, company)) == set()
    assert held(judge(runs[1:], company)) == {"2"}


def test_runs_that_share_a_doubt_are_still_each_others_siblings() -> None:
    company = Company(test=WORK, study_spread=STUDY, ambient_c=(20.0, 25.0))
    warm = [replace(r, ambient_c=28.0) for r in scores(5.10, 4.55, 4.60, 4.62, 4.58)]
    found = judge(warm, company)
    assert kinds(found["1"]) == {"room", "odd-level"}
    assert kinds(found["2"]) == {"room"}


def test_a_doubt_of_its_own_keeps_a_run_from_being_a_sibling() -> None:
    company = Company(test=WORK, study_spread=STUDY, ambient_c=(20.0, 25.0))
    runs = [replace(r, ambient_c=22.0) for r in scores(4.60, 4.62, 4.58)]
    warm = replace(scores(5.4)[0], id="warm", ambient_c=28.0)
    found = judge([warm, *runs], company)
    assert kinds(found["warm"]) == {"room", "odd-level"}
    assert held(found) == {"warm"}


def test_a_cell_with_three_spoilt_runs_keeps_its_good_ones() -> None:
    times = take(3)
    clock = np.cumsum(times) / 1000 * 3
    runs = [
        *(run(str(i), take(i)) for i in (10, 11)),
        run("units", take(1) * 1000),
        run("rows", times, trace=trace(times, clock)),
        run("copy", take(10)),
    ]
    assert held(judge(runs)) == {"units", "rows", "copy"}


def test_thresholds_are_passed_in() -> None:
    strict = replace(DEFAULT, length=replace(DEFAULT.length, short_share=0.005, prior_spread=1e-4))
    runs = with_first(cell(), run("1", take(1, seconds=29.0)))
    assert held(dict(triage_cell(runs, ALONE))) == set()
    assert "1" in held(dict(triage_cell(runs, ALONE, thresholds=strict)))


def test_one_frame_logs_and_empty_logs_break_nothing() -> None:
    tiny = [
        run("a", np.array([16.7])),
        run("b", np.array([]), headline=None),
        run("c", np.array([16.7, 16.9])),
    ]
    assert set(judge([*tiny, *cell(2)], Company(test=GAME))) == {"a", "b", "c", "1", "2"}


def test_every_fault_has_words_numbers_and_advice() -> None:
    times = take(1)
    times[5] = -1.0
    runs = with_first(cell(), run("1", np.maximum(times, 11.0), stamps={"driver": "1"}, ambient_c=40.0))
    found = judge(runs, replace(ALONE, ambient_c=(20.0, 25.0)))["1"]
    assert len(found) >= 2
    for fault in found:
        assert fault.title
        assert fault.evidence.endswith(".")
        assert fault.todo.endswith(".")
        assert fault.numbers
