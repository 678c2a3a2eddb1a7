"""Pauses: where a run stands still for a second or more."""

from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import run
from tests.triage.scenes import scene_take, with_pause

from evenhand.triage.curves import Floats
from evenhand.triage.features import features
from evenhand.triage.pauses import Pause, pauses
from evenhand.triage.thresholds import DEFAULT


def of(times_ms: Floats) -> tuple[Pause, ...]:
    return pauses(features(run("1", times_ms)), DEFAULT.pause)


def test_one_frame_of_three_seconds_is_a_pause_though_no_bin_knows_it() -> None:
    (found,) = of(with_pause(scene_take(1), 15.0, 3000.0))
    assert found.start_s == pytest.approx(15.0, abs=0.05)
    assert found.end_s - found.start_s == pytest.approx(3.0)
    assert found.lost_s == pytest.approx(3.0, abs=0.03)
    assert found.longest_ms == 3000.0


def test_long_frames_close_to_each_other_are_one_pause() -> None:
    times = scene_take(1)
    at = int(np.searchsorted(np.cumsum(times) / 1000, 15.0))
    for k in range(5):
        times = np.insert(times, at + 5 * k, 400.0)
    (found,) = of(times)
    assert found.lost_s == pytest.approx(2.0, abs=0.1)


def test_hitches_are_no_pause() -> None:
    times = scene_take(1)
    times[::200] = 350.0
    assert of(times) == ()


def test_good_takes_and_handfuls_of_frames_have_none() -> None:
    assert of(scene_take(1)) == ()
    assert of(np.array([10.0, 5000.0])) == ()
    assert of(np.array([10.0])) == ()
