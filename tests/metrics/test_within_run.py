"""What one run may say of itself, and when it says nothing."""

import numpy as np
import pytest

from evenhand.metrics.frames import measure
from evenhand.metrics.within_run import block_frames, within_run
from evenhand.stats.within import mean_interval, quantile_interval
from evenhand.traces.trace import Trace


def run(seconds: float, mean_ms: float = 8.0, seed: int = 1) -> Trace:
    n = round(seconds * 1000 / mean_ms)
    return Trace(frame_times_ms=np.random.default_rng(seed).gamma(60, mean_ms / 60, n))


def test_the_intervals_hold_the_numbers_of_the_run() -> None:
    trace = run(60)
    told, intervals = measure(trace).values, within_run(trace)
    assert set(intervals) == {"average_fps", "low_1pct"}
    for key, (low, high) in intervals.items():
        assert low < told[key] < high


def test_slow_frames_are_low_rates() -> None:
    trace = run(60)
    frames = trace.frame_times_ms
    block = block_frames(frames)
    quick, slow = mean_interval(frames, block=block)
    assert within_run(trace)["average_fps"] == (1000 / slow, 1000 / quick)
    quick, slow = quantile_interval(frames, 0.99, block=block)
    assert within_run(trace)["low_1pct"] == (1000 / slow, 1000 / quick)


@pytest.mark.parametrize(
    ("seconds", "block_s"),
    [(5, 1.0), (7.5, 1.0), (60, 2.0), (202.5, 3.0), (3600, 3.0), (20, 2 / 3 ** (1 / 3))],
)
def test_blocks_grow_as_the_cube_root_of_the_run_between_one_and_three_seconds(
    seconds: float, block_s: float
) -> None:
    frames = np.full(round(seconds * 100), 10.0)
    assert block_frames(frames) == pytest.approx(block_s * 100, abs=0.5)


def test_a_run_too_short_for_ten_blocks_says_nothing() -> None:
    assert within_run(run(9.5)) == {}
    assert within_run(Trace(frame_times_ms=np.full(5, np.nan))) == {}


def test_a_run_of_few_frames_says_nothing_of_its_slowest_percent() -> None:
    assert set(within_run(run(23, mean_ms=8.0))) == {"average_fps"}


def test_flawed_frames_do_not_enter() -> None:
    trace = run(30)
    flawed = Trace(frame_times_ms=np.insert(trace.frame_times_ms, [100, 2000], [np.nan, -1.0]))
    assert within_run(flawed) == within_run(trace)


def test_frames_longer_than_a_block_are_blocks_of_their_own() -> None:
    assert block_frames(np.full(4, 9000.0)) == 1
    assert "average_fps" in within_run(Trace(frame_times_ms=np.array([9000.0, 8000.0, 7000.0])))
