from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import run, take

from evenhand.triage.features import features
from evenhand.triage.limits.rates import ScreenLimits
from evenhand.triage.screens import Grid, same_beat, screen_grid

LIMITS = ScreenLimits()


def grid(times: np.ndarray) -> Grid | None:
    return screen_grid(features(run("1", times)), LIMITS)


def beats(pattern: list[int], hertz: float, jitter: float, n: int = 2000) -> np.ndarray:
    shake = jitter * 1000 / hertz * np.random.default_rng(1).standard_normal(n)
    return np.resize(pattern, n) * 1000 / hertz + np.diff(shake, prepend=0.0)


def test_the_period_is_found_whatever_multiple_is_the_fullest() -> None:
    for pattern in ([1, 1, 2], [2, 2, 3], [3, 3, 3, 4], [1, 3, 3]):
        found = grid(beats(pattern, 165.0, 0.02))
        assert found is not None, pattern
        assert found.rate_fps == pytest.approx(165.0, rel=1e-3)


def test_shares_are_those_of_the_frames() -> None:
    found = grid(beats([1, 1, 2, 1], 100.0, 0.03))
    assert found is not None
    assert found.shares[:3] == pytest.approx([0.75, 0.25, 0.0])
    assert (found.main, found.next_share, found.between) == (1, 0.25, 0.0)


def test_a_beat_is_kept_and_free_frames_keep_none() -> None:
    kept = grid(beats([1, 2, 1, 1], 100.0, 0.03))
    rng = np.random.default_rng(2)
    free = grid(np.resize([1, 2, 1, 1], 2000) * 10.0 + 0.4 * rng.standard_normal(2000))
    assert kept is not None
    assert free is not None
    assert kept.memory < 0.5
    assert free.memory > 0.8


def test_a_moving_scene_lies_on_no_grid() -> None:
    for seed in range(10):
        assert grid(take(seed, noise=0.01 + 0.006 * seed)) is None


def test_one_frame_time_is_no_grid() -> None:
    assert grid(np.full(1000, 16.6667)) is None


def test_a_free_run_does_not_keep_the_beat_of_one_beside_it() -> None:
    found = grid(beats([1, 2, 1, 1], 100.0, 0.03))
    assert found is not None
    assert same_beat(features(run("2", beats([1], 100.0, 0.03))), found, LIMITS) is not None
    assert same_beat(features(run("2", take(1, fps=100.0, still=True, noise=0.01))), found, LIMITS) is None
    assert same_beat(features(run("2", take(1, fps=97.0, still=True, noise=0.01))), found, LIMITS) is None


@pytest.mark.parametrize(
    "times", [np.full(100, 5.0), np.full(100, 10.0), np.full(70, 900.0), np.full(3, 10.0)]
)
def test_a_run_of_one_frame_time_beside_a_screen_is_judged_without_an_error(times: np.ndarray) -> None:
    found = grid(beats([1, 2, 1, 1], 100.0, 0.03))
    assert found is not None
    beside = same_beat(features(run("2", times)), found, LIMITS)
    assert (beside is not None) is bool(times.size == 100 and times[0] == 10.0)
