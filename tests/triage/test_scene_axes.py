"""What moves a scene on: the clock, the clock outside long frames, or frames."""

from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import run
from tests.triage.scenes import scene_take, seen, winding, with_pause

from evenhand.triage.curves import Floats
from evenhand.triage.pairs import Pair, pair
from evenhand.triage.scene_axes import Axis


def laid(first: Floats, second: Floats) -> Pair:
    view = seen((run("1", first), run("2", second)))
    found = pair(*view.runs, view)
    assert found is not None
    return found


def by_frames(seed: int, level: float) -> Floats:
    """Four thousand frames of one flight: each moves the scene on by a hundredth of a second."""
    noise = 0.02 * np.random.default_rng(seed).standard_normal(4000)
    return np.exp(np.log(10) + level + winding(np.arange(4000) / 100) + noise)


def test_a_scene_is_played_by_the_clock_unless_something_else_is_plainly_nearer() -> None:
    assert laid(scene_take(1), scene_take(2)).axis is Axis.TIME


def test_a_fixed_number_of_frames_at_different_rates_is_laid_over_by_frames() -> None:
    found = laid(by_frames(1, 0.0), by_frames(2, 0.08))
    assert found.axis is Axis.FRAMES
    assert found.shape < 0.015
    assert found.level == pytest.approx(-0.08, abs=0.01)


def test_takes_of_not_quite_as_many_frames_are_laid_over_by_parts_of_them() -> None:
    def stretched(seed: int, frames: int, level: float) -> Floats:
        noise = 0.02 * np.random.default_rng(seed).standard_normal(frames)
        scene = winding(40 * np.arange(frames) / frames)
        return np.exp(np.log(10) + level * np.linspace(0, 1, frames) + scene + noise)

    found = laid(stretched(1, 3990, 0.07), stretched(2, 4020, 0.0))
    assert found.axis is Axis.SHARE
    assert found.agreement > 0.95
    assert np.mean(found.apart[:8]) == pytest.approx(0.0, abs=0.01)
    assert np.mean(found.apart[-8:]) == pytest.approx(0.07, abs=0.015)


def test_places_are_told_in_seconds_of_each_run_whatever_it_was_laid_over_by() -> None:
    found = laid(by_frames(1, 0.0), by_frames(2, 0.08))
    assert found.other_at_s[-1] / found.at_s[-1] == pytest.approx(np.exp(0.08), rel=0.01)
    assert found.turned.at_s is found.other_at_s


def test_a_scene_that_waits_for_a_pause_is_laid_over_outside_it() -> None:
    found = laid(with_pause(scene_take(1), 15.0, 3000.0)[:-200], scene_take(2))
    assert found.axis is Axis.UNHITCHED
    assert found.shape < 0.015
    after = found.at_s > 20
    assert found.at_s[after][0] - found.other_at_s[after][0] == pytest.approx(3.0, abs=0.1)


def test_takes_of_as_many_frames_that_last_far_apart_are_laid_over_by_frames() -> None:
    def take(seed: int) -> Floats:
        return np.exp(np.log(10) + 0.06 * np.random.default_rng(seed).standard_normal(3000))

    crawled = take(1)
    crawled[1200:2100] *= 1.9
    found = laid(crawled, take(2))
    assert found.axis is Axis.FRAMES
    assert found.level == pytest.approx(0.0, abs=0.02)
