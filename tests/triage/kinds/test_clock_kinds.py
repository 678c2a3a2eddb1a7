"""Frame times against the clock beside them: rows that are not frames, and clocks that slip."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import cell, judge, kinds, only, plain, run, take, trace, with_first

from evenhand.records.faults import Severity
from evenhand.traces.trace import Trace
from evenhand.triage.candidate import Candidate


def clocked(times: np.ndarray, clock: np.ndarray) -> Candidate:
    return run("1", times, trace=trace(times, clock))


def with_gap(gap_s: float, *, start_s: float = 12.0) -> Candidate:
    times = take(1)
    clock = np.cumsum(times) / 1000
    keep = (clock < start_s) | (clock > start_s + gap_s)
    return clocked(times[keep], clock[keep])


def test_every_fourth_frame_logged_is_no_log_of_frames() -> None:
    times = take(1)
    clock = np.cumsum(times) / 1000
    fault = only(judge(with_first(cell(), clocked(times[::4], clock[::4])))["1"], "not-frames")
    assert fault.severity is Severity.BLOCKS
    assert fault.numbers["span_over_sum"] == pytest.approx(4.0, rel=0.02)
    assert "stand for more than one frame each" in fault.evidence


def test_every_frame_logged_twice_is_no_log_of_frames() -> None:
    times = np.repeat(take(1), 2)
    fault = only(judge([clocked(times, np.cumsum(times) / 2000)])["1"], "not-frames")
    assert "repeat frames" in fault.evidence


@pytest.mark.parametrize("unit", [1.0, 1e3], ids=["seconds", "milliseconds"])
def test_a_clock_read_as_frame_times_is_told_as_one_and_no_run_as_a_copy(unit: float) -> None:
    runs = [run(str(k), np.cumsum(take(k)) / 1000 * unit, trace=None) for k in (1, 2, 3)]
    runs = [replace(r, trace=trace(np.cumsum(take(k)) / 1000 * unit, None)) for k, r in enumerate(runs)]
    for faults in judge(runs).values():
        assert kinds(faults) & {"not-frames", "wrong-units", "twin"} == {"not-frames"}
        fault = only([f for f in faults if f.kind == "not-frames"], "not-frames")
        assert fault.severity is Severity.BLOCKS
        assert "3,000 rows the frame times never fall" in plain(fault.evidence)
        assert "elapsed time" in fault.todo


def test_frame_times_that_are_held_and_rise_once_are_no_clock() -> None:
    times = np.where(np.arange(3000) < 1500, 10.0, 10.5)
    assert "not-frames" not in kinds(judge([run("1", times)])["1"])


def test_one_long_gap_is_a_slipped_clock_not_another_kind_of_row() -> None:
    assert kinds(judge([with_gap(6.0)])["1"]) == {"slipped-clock"}


def test_a_gap_puts_the_run_in_doubt_and_is_placed() -> None:
    fault = only(judge(with_first(cell(), with_gap(0.8)))["1"], "slipped-clock")
    assert fault.severity is Severity.IN_DOUBT
    assert fault.places[0].from_s == pytest.approx(12.0, abs=0.1)
    assert "missing" in fault.evidence
    assert "for a frame of" in plain(fault.evidence)


@pytest.mark.parametrize(("share", "found"), [(0.0025, False), (0.0040, True)])
def test_a_clock_may_be_off_by_three_parts_in_a_thousand(share: float, found: bool) -> None:
    times = take(1)
    clock = np.cumsum(np.concatenate(([0.0], times[:-1]))) / 1000 * (1 + share)
    assert ("slipped-clock" in kinds(judge([clocked(times, clock)])["1"])) is found


def test_a_clock_that_is_set_back_is_found_even_where_the_sums_agree() -> None:
    times = take(1)
    clock = np.cumsum(times) / 1000
    clock[500:1500] -= 0.5
    fault = only(judge([clocked(times, clock)])["1"], "slipped-clock")
    assert fault.numbers["backward_steps"] == 1


@pytest.mark.parametrize("decimals", [1, 2, 3])
def test_a_coarse_clock_is_no_fault(decimals: int) -> None:
    times = take(1)
    assert judge([clocked(times, np.round(np.cumsum(times) / 1000, decimals))])["1"] == ()


def test_the_clock_may_stand_at_the_start_or_the_end_of_a_frame() -> None:
    times = take(1)
    times[0] = 900.0  # loading: it must not count against a clock that starts after it
    ends = np.cumsum(times) / 1000
    assert judge([clocked(times, ends)])["1"] == ()
    assert judge([clocked(times, ends - times / 1000)])["1"] == ()


def test_frame_times_derived_from_the_clock_are_no_second_witness() -> None:
    spoilt = with_gap(6.0)
    assert spoilt.trace is not None
    assert judge([replace(spoilt, trace=replace(spoilt.trace, derived=True))])["1"] == ()


def test_a_log_without_a_clock_is_not_judged() -> None:
    assert judge([replace(with_gap(6.0), trace=Trace(frame_times_ms=take(1)))])["1"] == ()


def test_a_clock_that_steps_back_and_forth_is_not_said_to_be_too_much_by_nothing() -> None:
    times = take(1)
    clock = np.cumsum(times) / 1000
    clock[100:2900:200] -= 0.1
    fault = only(judge([clocked(times, clock)])["1"], "slipped-clock")
    said = plain(fault.evidence)
    assert said.startswith("The clock beside the frame times steps back 14 times, though both")
    assert "too much" not in fault.evidence
    assert "missing" not in fault.evidence


def test_an_absurd_clock_is_told_by_its_power_of_ten() -> None:
    times = take(1)
    clock = np.cumsum(times) / 1000
    clock[-1] = 1e300
    fault = only(judge([clocked(times, clock)])["1"], "slipped-clock")
    assert "1.0e+300" in fault.evidence
    assert len(fault.evidence) < 300
