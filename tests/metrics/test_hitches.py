"""A hitch is judged against the exact median of its 61 frames, however that median is found."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from evenhand.metrics.hitches import hitch_frames, stretches


def plain_hitch_frames(x: np.ndarray) -> np.ndarray:
    """The definition, word for word, one frame at a time."""
    marked = np.zeros(x.size, bool)
    for i in range(x.size):
        start = min(max(i - 30, 0), max(x.size - 61, 0))
        median = np.median(x[start : start + 61])
        marked[i] = x[i] > 2.5 * median and x[i] > median + 8
    return marked


def calm(n: int = 200) -> np.ndarray:
    return np.full(n, 10.0)


def test_a_frame_must_exceed_both_limits() -> None:
    x = calm()
    x[[50, 100]] = 25.0, 25.001  # 2.5 × 10 is not more than 2.5 × 10
    assert np.flatnonzero(hitch_frames(x)).tolist() == [100]
    quick = np.full(200, 2.0)
    quick[[50, 100]] = 10.0, 10.001  # five times the median, yet 8 ms above it only once
    assert np.flatnonzero(hitch_frames(quick)).tolist() == [100]


def test_the_median_belongs_to_the_61_frames_around_the_frame() -> None:
    x = np.r_[np.full(100, 5.0), np.full(100, 20.0)]
    x[100 - 31] = 40.0  # all of its window is at 5 ms but for none of the slow ones
    x[150] = 40.0  # in the slow half the same frame is no hitch
    assert np.flatnonzero(hitch_frames(x)).tolist() == [69]
    level_change = np.r_[np.full(100, 5.0), np.full(100, 20.0)]
    # frame 100 has 30 quick frames and itself with 30 slow ones around it: the median is 20
    assert not hitch_frames(level_change).any()


def test_the_first_and_last_thirty_frames_share_the_outermost_window() -> None:
    x = calm()
    x[[0, 29, 199]] = 30.0
    assert np.flatnonzero(hitch_frames(x)).tolist() == [0, 29, 199]


def test_a_short_run_has_one_median() -> None:
    assert hitch_frames(np.array([10.0, 10.0, 30.0])).tolist() == [False, False, True]
    assert hitch_frames(np.zeros(0)).size == 0


@pytest.mark.parametrize("n", [1, 2, 60, 61, 62, 74, 75, 76, 90, 91, 121, 135, 400])
@pytest.mark.parametrize("spread", [0.05, 0.5, 1.5])
def test_candidates_lose_no_hitch_at_any_length(n: int, spread: float) -> None:
    rng = np.random.default_rng(n)
    for _ in range(5):
        x = rng.lognormal(2.0, spread, n)
        assert np.array_equal(hitch_frames(x), plain_hitch_frames(x))


@settings(max_examples=150, deadline=None)
@given(
    arrays(
        np.float64,
        st.integers(1, 260),
        elements=st.sampled_from([0.5, 1.0, 3.9, 4.0, 8.0, 12.0, 12.1, 20.0, 20.5, 33.0, 100.0]),
    )
)
def test_exactly_the_plain_definition(x: np.ndarray) -> None:
    assert np.array_equal(hitch_frames(x), plain_hitch_frames(x))


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 2**32 - 1), st.floats(0.1, 0.9))
def test_exactly_the_plain_definition_with_two_levels_at_random(seed: int, share: float) -> None:
    rng = np.random.default_rng(seed)
    x = np.where(rng.random(300) < share, 4.0, 14.0) + rng.normal(0, 0.8, 300)
    assert np.array_equal(hitch_frames(x), plain_hitch_frames(x))


def test_neighbouring_hitch_frames_are_one_stretch() -> None:
    assert stretches(np.array([1, 1, 0, 0, 1, 0, 1, 1, 1], bool)) == 3
    assert stretches(np.zeros(4, bool)) == 0
    assert stretches(np.zeros(0, bool)) == 0
