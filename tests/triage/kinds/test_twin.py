from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import GAME, STUDY, cell, held, judge, kinds, only, plain, run, take, with_first

from evenhand.records.faults import Severity
from evenhand.records.windows import Window
from evenhand.traces.cutting import cut
from evenhand.triage.candidate import Candidate, Company


def trimmed(name: str, times: np.ndarray, *, start_s: float, end_s: float) -> np.ndarray:
    ends = np.cumsum(times) / 1000
    return times[(ends > start_s) & (ends <= ends[-1] - end_s)]


@pytest.mark.parametrize(("start_s", "end_s"), [(2.0, 0.0), (0.0, 2.0), (0.7, 1.3)])
def test_a_copy_trimmed_by_two_seconds_and_renamed_is_blocked(start_s: float, end_s: float) -> None:
    runs = cell(4)
    copy = run("renamed", trimmed("renamed", take(101), start_s=start_s, end_s=end_s))
    found = judge([*runs, copy])
    fault = only(found["renamed"], "twin")
    assert held(found) == {"renamed"}
    assert fault.severity is Severity.BLOCKS
    assert fault.numbers["r"] > 0.995
    assert fault.siblings == ("2",)
    assert "of run 2, which is 2.0 s longer" in plain(fault.evidence)


def test_the_original_is_told_but_not_held() -> None:
    found = judge([*cell(4), run("renamed", trimmed("renamed", take(101), start_s=2.0, end_s=0.0))])
    fault = only(found["2"], "twin")
    assert fault.severity is Severity.NOTE
    assert fault.siblings == ("renamed",)
    assert kinds(found["1"]) == kinds(found["3"]) == set()


def test_the_shorter_is_the_copy_even_when_it_comes_first() -> None:
    runs = with_first(cell(4), run("1", trimmed("1", take(101), start_s=2.0, end_s=0.0)))
    assert held(judge(runs)) == {"1"}


def test_of_equal_logs_the_later_is_the_copy() -> None:
    found = judge([*cell(3), run("again", take(100))])
    assert held(found) == {"again"}


def test_the_same_bytes_are_said_to_be_so() -> None:
    runs = [replace(r, log_sha256=f"hash {r.id}") for r in cell(3)]
    found = judge([*runs, replace(runs[0], id="again", label="run again")])
    assert "byte for byte the log of run 1" in only(found["again"], "twin").evidence


def test_the_same_bytes_are_found_where_frame_times_never_differ() -> None:
    steady = np.full(600, 16.6668)
    one, two = (run(name, steady, log_sha256="same") for name in "ab")
    assert only(judge([one, two])["b"], "twin").severity is Severity.BLOCKS


def test_steady_logs_that_differ_are_no_twins() -> None:
    rng = np.random.default_rng(1)
    steady = [run(str(i), np.round(16.6668 + 0.00005 * rng.standard_normal(600), 4)) for i in range(3)]
    assert all("twin" not in kinds(faults) for faults in judge(steady).values())


def test_three_copies_hold_two_of_them() -> None:
    assert held(judge([*cell(2), run("b", take(100)), run("c", take(100))])) == {"b", "c"}


def test_a_copy_in_another_unit_is_still_a_copy() -> None:
    found = judge([*cell(3), run("s", take(100) / 1000)])
    assert {"twin", "wrong-units"} <= kinds(found["s"])


def test_a_copy_with_noise_on_top_is_in_doubt() -> None:
    noise = np.exp(0.010 * np.random.default_rng(5).standard_normal(3000))
    found = judge([*cell(3), run("like", take(100) * noise)])
    assert only(found["like"], "twin").severity is Severity.IN_DOUBT


def test_takes_of_a_scene_that_repeats_itself_frame_by_frame_are_no_twins() -> None:
    script = np.exp(0.05 * np.random.default_rng(9).standard_normal(3000))
    runs = [
        run(str(i), (10 + 0.08 * i) * script * np.exp(0.012 * np.random.default_rng(i).standard_normal(3000)))
        for i in range(4)
    ]
    assert held(judge(runs)) == set()


def test_frames_that_alternate_do_not_make_twins() -> None:
    def uneven(seed: int) -> np.ndarray:
        times = take(seed, noise=0.004, still=True, fps=90 + seed)
        return times * np.where(np.arange(times.size) % 2, 1, 1.12)

    assert held(judge([run(str(i), uneven(i)) for i in range(4)])) == set()


def test_a_copy_is_found_although_its_frames_alternate() -> None:
    uneven = take(1, noise=0.004, still=True) * np.where(np.arange(3000) % 2, 1, 1.12)
    good = [run(str(i), take(i, noise=0.004, still=True, fps=99 + i)) for i in range(2, 5)]
    found = judge([run("1", uneven), *good, run("copy", uneven[200:])])
    assert only(found["copy"], "twin").severity is Severity.BLOCKS


def test_frames_that_only_repeat_themselves_are_no_print() -> None:
    steady = np.tile([16.0, 17.0, 16.5], 400)
    assert "twin" not in kinds(judge([run("a", steady), run("b", steady[3:])])["b"])


def test_a_log_filed_under_another_setup_is_found() -> None:
    other = tuple(run(f"other {i}", take(50 + i, fps=80)) for i in range(3))
    company = Company(test=GAME, peers=(other,), study_spread=STUDY)
    found = judge(with_first(cell(4), run("1", take(50, fps=80))), company)
    fault = only(found["1"], "twin")
    assert fault.severity is Severity.BLOCKS
    assert "of another setup" in fault.evidence


def test_score_runs_read_from_one_table_are_no_twins() -> None:
    rows = [replace(r, trace=None, log_sha256="table") for r in cell(3)]
    assert held(judge(rows)) == set()


def measured(whole: Candidate, *, start_s: float, end_s: float) -> Candidate:
    """A run of which only a window is measured."""
    assert whole.trace is not None
    part = cut(whole.trace, Window(start_s=start_s, end_s=end_s))
    return replace(whole, trace=part, whole=whole.trace)


@pytest.mark.parametrize("gone_s", [2.0, 20.0])
def test_a_trimmed_copy_is_found_wherever_the_measured_window_lies(gone_s: float) -> None:
    copy = run("renamed", trimmed("renamed", take(101), start_s=gone_s, end_s=0.0))
    runs = [measured(each, start_s=0.5, end_s=8.5) for each in (*cell(4), copy)]
    found = judge(runs)
    assert held(found) == {"renamed"}
    assert f"which is {gone_s:.1f} s longer" in plain(only(found["renamed"], "twin").evidence)


def test_other_takes_are_no_copies_where_only_a_window_is_measured() -> None:
    assert held(judge([measured(each, start_s=2.0, end_s=9.0) for each in cell(4)])) == set()
