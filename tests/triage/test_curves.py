"""The course of a run, averaged over any bins."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.triage.curves import calm_frames, curve, running_median
from evenhand.triage.thresholds import DEFAULT

CALM = np.array([True, True, False, True, True])
COURSE = curve(np.log([10.0, 10.0, 90.0, 20.0, 20.0]), np.array([1.0, 1, 9, 2, 2]), CALM)


def test_a_bin_is_the_mean_of_its_calm_frames_weighed_by_how_far_they_reach() -> None:
    (told,) = COURSE.over(np.array([11.0, 15.0]), least_calm=0.4)
    assert np.exp(told) == pytest.approx(20.0)
    (half,) = COURSE.over(np.array([0.5, 1.5]), least_calm=0.4)
    assert np.exp(half) == pytest.approx(10.0)


def test_a_bin_that_long_frames_fill_is_unknown_and_so_is_what_lies_outside() -> None:
    told = COURSE.over(np.array([-1.0, 0.0, 2.0, 6.0, 11.0, 15.0, 16.0]), least_calm=0.4)
    assert np.isnan(told).tolist() == [True, False, True, True, False, True]
    assert COURSE.length == 15.0


def test_bins_may_lie_anywhere_between_frames() -> None:
    cuts = np.array([0.3, 1.7])
    assert np.exp(COURSE.over(cuts, least_calm=0.4)) == pytest.approx([10.0])


def test_calm_frames_follow_the_scene_however_few_there_are() -> None:
    assert calm_frames(np.empty(0), DEFAULT.curve).size == 0
    assert calm_frames(np.array([10.0]), DEFAULT.curve).tolist() == [True]
    steps = np.repeat([10.0, 25.0, 10.0], 200)
    assert calm_frames(steps, DEFAULT.curve).mean() > 0.97


def test_a_window_longer_than_the_run_is_cut_to_it() -> None:
    assert running_median(np.array([1.0, 5.0, 2.0, 9.0]), 61).tolist() == [1.0, 2.0, 5.0, 9.0]
