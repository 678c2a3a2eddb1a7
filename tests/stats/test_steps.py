"""A lasting change of level is found; a spike, a drift and noise are not."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evenhand.stats.steps import level_steps


def steps(series: np.ndarray) -> list[int]:
    return [s.at for s in level_steps(series, hold=10, min_share=0.02)]


def test_steps_are_found_where_they_are_with_their_levels() -> None:
    series = np.r_[np.full(40, 100.0), np.full(60, 90.0), np.full(50, 97.0)]
    found = level_steps(series, hold=10, min_share=0.02)
    assert [(s.at, s.before, s.after) for s in found] == [(40, 100.0, 90.0), (100, 90.0, 97.0)]
    assert found[0].share == pytest.approx(-0.1)


def test_a_spike_is_no_step() -> None:
    series = np.full(100, 100.0)
    series[50:52] = 0.0
    assert steps(series) == []


def test_a_slow_drift_is_no_step() -> None:
    assert steps(np.linspace(100, 80, 600)) == []


def test_a_change_below_the_least_share_is_no_step() -> None:
    assert steps(np.r_[np.full(50, 100.0), np.full(50, 98.5)]) == []


def test_too_short_a_series_has_no_steps() -> None:
    assert steps(np.r_[np.full(9, 1.0), np.full(9, 2.0)]) == []
    assert steps(np.zeros(0)) == []


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1), st.floats(0.001, 0.05))
def test_noise_alone_hardly_ever_looks_like_a_step(seed: int, noise: float) -> None:
    series = 100 * np.exp(np.random.default_rng(seed).normal(0, noise, 300))
    assert len(steps(series)) <= 1


def test_false_steps_in_noise_are_rare_and_true_ones_are_found() -> None:
    rng = np.random.default_rng(11)
    false = sum(bool(steps(100 + rng.normal(0, 2, 300))) for _ in range(300))
    true = sum(
        any(abs(at - 150) <= 3 for at in steps(np.r_[np.full(150, 100.0), np.full(150, 93.0)] + noise))
        for noise in rng.normal(0, 2, (300, 300))
    )
    assert false <= 3  # 0 of 1,000 where the threshold was chosen
    assert true >= 280  # 97 % there
