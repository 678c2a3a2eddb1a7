"""How far two courses must be shifted to lie over each other."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.scenes import scene_take, winding, window

from evenhand.triage.curves import Floats, calm_frames, curve
from evenhand.triage.lags import Line, correlation, distance, line, overlap, shift
from evenhand.triage.thresholds import DEFAULT

LIMITS = DEFAULT.curve


def course(times_ms: Floats) -> Line:
    calm = calm_frames(times_ms, LIMITS)
    return line(curve(np.log(times_ms), times_ms / 1000, calm), LIMITS.bin_s, LIMITS)


@pytest.mark.parametrize("late_s", [-4.3, -1.0, -0.2, 0.35, 2.6, 7.1])
def test_a_shift_is_found_to_a_fraction_of_a_bin(late_s: float) -> None:
    found, gain = shift(course(scene_take(1, begins_s=-late_s)), course(scene_take(2)), 12.0, LIMITS)
    assert found == pytest.approx(late_s, abs=0.12)
    assert gain > 0.2


def test_takes_that_begin_together_are_not_shifted() -> None:
    assert shift(course(scene_take(1)), course(scene_take(2)), 12.0, LIMITS) == (0.0, 0.0)


def test_no_shift_beyond_the_most_is_tried() -> None:
    found, _ = shift(course(scene_take(1, begins_s=7.0)), course(scene_take(2)), 3.0, LIMITS)
    assert abs(found) <= 3.1


def test_a_still_scene_cannot_be_late() -> None:
    still = [course(scene_take(i, scene=np.zeros_like)) for i in (1, 2)]
    assert shift(*still, 12.0, LIMITS) == (0.0, 0.0)


def test_a_slow_stretch_is_not_shifted_out_of_sight_in_a_scene_that_repeats_itself() -> None:
    def waves(at_s: Floats) -> Floats:
        return 0.1 * np.sin(2 * np.pi * at_s / 8)

    loaded = scene_take(1, scene=waves, slower=window(1, 6, 0.6))
    found, _ = shift(course(loaded), course(scene_take(2, scene=waves, begins_s=0.2)), 12.0, LIMITS)
    assert abs(found) < 1


def test_what_a_shift_leaves_in_common_is_compared_place_by_place() -> None:
    early, late = course(scene_take(1, begins_s=3.0, noise=0.001)), course(scene_take(2, noise=0.001))
    at_s, a, b = overlap(early, late, -3.0, LIMITS)
    assert at_s[-1] < 37
    assert np.abs(a - b).max() < 0.05
    assert a[5] == pytest.approx(np.log(10) + winding(at_s[5] + 3.25), abs=0.06)


def test_one_bin_decides_little_and_too_few_decide_nothing() -> None:
    apart = np.zeros(20)
    apart[3] = 5.0
    assert distance(apart, LIMITS) == pytest.approx(LIMITS.distance_cap / 20)
    assert distance(apart[:3], replace(LIMITS, fewest_bins=6)) == np.inf


def test_a_flat_course_correlates_with_nothing() -> None:
    assert correlation(np.ones(9), np.arange(9.0)) == 0.0
    assert correlation(np.arange(9.0), 3 * np.arange(9.0) + 1) == pytest.approx(1.0)
