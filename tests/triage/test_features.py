from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import run, take

from evenhand.triage.candidate import Candidate
from evenhand.triage.features import features, robust_spread


def test_only_finite_and_positive_frames_are_used_and_the_others_are_kept_by_row() -> None:
    f = features(run("1", np.array([10.0, 0.0, np.nan, 20.0, np.inf, -1.0, 30.0]), headline=1.0))
    assert f.frame_times_ms.tolist() == [10.0, 20.0, 30.0]
    assert f.bad_rows.tolist() == [1, 2, 4, 5]
    assert f.begins_s.tolist() == pytest.approx([0.0, 0.01, 0.03])
    assert f.rows == 7


def test_blocks_are_means_of_half_a_second_and_the_rest_is_dropped() -> None:
    f = features(run("1", np.concatenate([np.full(50, 10.0), np.full(25, 20.0), np.full(10, 20.0)])))
    assert np.exp(f.blocks).tolist() == pytest.approx([10.0, 20.0])


def test_blocks_of_a_slow_run_hold_eight_frames() -> None:
    f = features(run("1", np.full(80, 200.0)))
    assert f.block_s == pytest.approx(1.6)
    assert f.blocks.size == 10


def test_block_means_are_time_over_frames_whatever_their_lengths() -> None:
    times = take(3, fps=130.0)
    f = features(run("1", times))
    ends = np.cumsum(times) / 1000
    inside = times[(ends > 0.5) & (ends <= 1.0)]
    assert np.exp(f.blocks[1]) == pytest.approx(inside.mean())


def test_noise_is_the_spread_of_one_frame() -> None:
    assert features(run("1", take(1, noise=0.02, still=True))).noise == pytest.approx(0.02, rel=0.05)


def test_a_run_without_frames_has_empty_features() -> None:
    f = features(Candidate(id="1", label="1", headline=4.6))
    assert (f.frames, f.rows, f.blocks.size, f.steps.size) == (0, 0, 0, 0)
    assert np.isnan([f.noise, f.median_ms, f.duration_s]).all()


def test_robust_spread_is_the_sd_of_a_normal_sample() -> None:
    assert robust_spread(np.random.default_rng(1).normal(5, 2, 20_000)) == pytest.approx(2.0, rel=0.02)
